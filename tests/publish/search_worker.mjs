/* Runs the theme's own search worker outside a browser: one JSON query a line in, its hits as one JSON line out. */
import { readFileSync, readdirSync } from "node:fs";
import { createInterface } from "node:readline";
import vm from "node:vm";

const site = process.argv[2];
const folder = `${site}/assets/javascripts/workers/`;
const file = readdirSync(folder).find((name) => name.startsWith("search.") && name.endsWith(".js"));
const index = JSON.parse(readFileSync(`${site}/search/search_index.json`, "utf-8"));
let listen, answer;
const self = {
  console: { warn: () => {} }, addEventListener: (_, act) => { listen = act; }, postMessage: (reply) => answer(reply),
};
self.self = self;
vm.runInNewContext(readFileSync(folder + file, "utf-8"), self);
const ask = (type, data) => new Promise((done) => { answer = done; listen({ data: { type, data } }); });

await ask(0, { config: index.config, docs: index.docs, options: { suggest: false } });
for await (const line of createInterface({ input: process.stdin })) {
  const begun = performance.now();
  const { data } = await ask(2, JSON.parse(line));
  const hits = data.items.map((page) => page.map((hit) => ({ location: hit.location, score: hit.score })));
  console.log(JSON.stringify({ hits, ms: performance.now() - begun }));
}

// The reader's engine in a worker: it never blocks typing, it loads what a request needs, and it refuses to mix editions.
// Messages in: {id, start: true} or {id, text}. Messages out: {id, ready: {...}}, {id, text} or {id, failed: "..."}.
import { load } from "./load.js";

const here = new URL(".", import.meta.url);
const folder = here.pathname.split("/").at(-2);
const manifest = bytes("manifest.json").then((content) => JSON.parse(text(content)));

async function bytes(name) {
  // Nothing in a folder named by its content ever changes, so the browser's copy of it is as good as new.
  const answer = await fetch(new URL(name, here), { cache: "force-cache" });
  if (!answer.ok) throw new Error(`${name} could not be fetched (${answer.status})`);
  return new Uint8Array(await answer.arrayBuffer());
}

// The platform's digest exists only on a secure page; without it the page says that it did not compare.
async function digest(content) {
  if (!globalThis.crypto?.subtle) return null;
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function checked(name) {
  const [content, { files, build }] = await Promise.all([bytes(name), manifest]);
  const found = await digest(content);
  if (build !== folder || (found !== null && !found.startsWith(files[name]))) {
    throw new Error(`${name} is not the file of edition ${folder}; reload the page`);
  }
  return content;
}

const text = (content) => new TextDecoder().decode(content);

// The engine fetches its own binary: it is handed the one that was compared.
function handOver(url, content) {
  const plain = globalThis.fetch;
  globalThis.fetch = (asked, how) => String(asked) === url
    ? Promise.resolve(new Response(content, { headers: { "Content-Type": "application/wasm" } })) : plain(asked, how);
  return () => { globalThis.fetch = plain; };
}

async function start() {
  const script = import(new URL("micropython.js", here).href);
  const [wasm, core, { loadMicroPython }] = await Promise.all([checked("micropython.wasm"), checked("core.json"), script]);
  await checked("micropython.js");
  const url = new URL("micropython.wasm", here).href;
  const giveBack = handOver(url, wasm);
  try {
    return await load(loadMicroPython, { ...(await manifest).options, url }, { files: JSON.parse(text(core)), modules: [], data: "{}" });
  } finally {
    giveBack();
  }
}

// What one request computes with: modules by name, and files of data. A page says it in `from`.
async function needs(request, { packs, plan, audit, files, tables }) {
  let modules = [];
  let data = [];
  if (request.from) {
    data = request.from.filter((name) => name in files);
    modules = request.from.filter((name) => !data.includes(name));
  } else if (request.op === "plan") {
    modules = ["plan.case", "draw.svg", ...plan, ...(request.paper ? ["plan.papers"] : [])];
    data = ["data.json", "doses.json", "plan.json", ...tables];
  } else if (request.op === "doses") {
    modules = ["plan.doses"];
    data = ["data.json", "doses.json"];
  } else if (request.op === "audit") {
    modules = ["audit.steps", "draw.svg", "draw.audit", "draw.curve"];
    data = ["data.json", "plan.json", ...audit]; // the published counts are in plan.json
  } else if (request.tables || request.formula || request.name) {
    const { formulas, pictures, tables: homes } = JSON.parse(text(await fetchOnce("names.json")));
    const picture = request.op === "picture" ? request.name : request.figure?.name || request.figure;
    modules = [formulas[request.formula || request.name], pictures[picture]].filter(Boolean);
    if (picture) modules.unshift("draw.svg");
    if (request.tables) modules.push("page.documents");
    data = [...(request.tables || []).map((name) => homes[name]), "data.json", "doses.json"];
  } else {
    modules = Object.keys(packs);
  }
  return [modules, data];
}

// Packs with every pack they need; the one of a module that a request names is called like it.
function reached(names, packs, found = new Set()) {
  for (const name of names) {
    if (!(name in packs) || found.has(name)) continue;
    found.add(name);
    reached(packs[name], packs, found);
  }
  return found;
}

const fetched = new Map(); // name -> promise of its content
const taken = new Set();
const fetchOnce = (name) => {
  if (!fetched.has(name)) {
    fetched.set(name, checked(name));
    fetched.get(name).catch(() => fetched.delete(name)); // a lost connection may come back
  }
  return fetched.get(name);
};

async function prepare(requests) {
  const about = await manifest;
  const wanted = await Promise.all(requests.map((request) => needs(request, about)));
  const modules = wanted.flatMap(([names]) => names);
  const packs = [...reached(modules, about.packs)].filter((name) => !taken.has(name));
  const data = [...new Set(wanted.flatMap(([, names]) => names))].filter((name) => !taken.has(name) && name in about.files);
  const [sources, parts] = await Promise.all([
    Promise.all(packs.map((name) => fetchOnce(`modules/${name}.json`))), Promise.all(data.map(fetchOnce))]);
  const { add } = await (started ??= start());
  if (packs.length) add({ files: sources.flatMap((source) => JSON.parse(text(source))), modules, data: "{}" });
  packs.forEach((name) => taken.add(name));
  data.forEach((name, at) => {
    if (!taken.has(name)) add({ files: [], modules: [], data: text(parts[at]) });
    taken.add(name);
  });
}

let started = null;
onmessage = async ({ data: message }) => {
  try {
    started ??= start();
    started.catch(() => { started = null; });
    const requests = message.text ? [JSON.parse(message.text)].flat() : [];
    await prepare(requests);
    const { build } = await manifest;
    if (message.start) postMessage({ id: message.id, ready: { build, compared: Boolean(globalThis.crypto?.subtle) } });
    else postMessage({ id: message.id, text: (await started).reply(message.text) });
  } catch (error) {
    const told = String(error.message).trim().split("\n").pop().slice(0, 200);
    postMessage({ id: message.id, failed: `The engine of this page could not compute (${told}). The worked example stays as printed.` });
  }
};

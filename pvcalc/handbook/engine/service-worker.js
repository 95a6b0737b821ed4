/* Keeps the whole handbook on the device, one edition at a time. The build fills in the two lines below. */
"use strict";
const EDITION = "@EDITION@";
const SAVED_ON = "@SAVED_ON@";
const LIST = `precache-${EDITION}.json`;
const CACHE = `handbook-${EDITION}`;
const KEPT = 2; /* this edition, and the one that a page still open may rest on */
const PATIENCE_MS = 2500; /* one bar of reception may take for ever; then the saved copy opens */

const here = new URL("./", self.location);
const inside = (path) => new URL(path, here).href;
const onSavedPages = new Set(); /* pages that came from the device: what they ask for comes from there as well */

async function sum(content) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/* What a kept answer still needs: its type and the site's policy, not the lengths and encodings of its transport. */
const headers = (answer) => {
  const kept = {};
  for (const name of ["Content-Type", "Content-Security-Policy", "X-Content-Type-Options"]) {
    if (answer.headers.has(name)) kept[name] = answer.headers.get(name);
  }
  return kept;
};

/* Every file is compared with its digest before it is kept: an edition is saved whole or not at all. */
async function save() {
  const list = await (await fetch(inside(LIST), { cache: "no-store" })).json();
  const cache = await caches.open(CACHE);
  const names = Object.keys(list);
  const worker = async () => {
    for (let name = names.pop(); name !== undefined; name = names.pop()) {
      if (await cache.match(inside(name))) continue;
      const answer = await fetch(inside(name), { cache: "no-cache" });
      if (!answer.ok) throw new Error(`${name} could not be fetched`);
      const content = await answer.arrayBuffer();
      if (await sum(content) !== list[name]) throw new Error(`${name} is not of edition ${EDITION}`);
      await cache.put(inside(name), new Response(content, { headers: headers(answer) }));
    }
  };
  await Promise.all([worker(), worker(), worker(), worker()]);
}

self.addEventListener("install", (event) => event.waitUntil(save().then(() => self.skipWaiting())));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  const names = (await caches.keys()).filter((name) => name.startsWith("handbook-") && name !== CACHE);
  await Promise.all(names.slice(0, Math.max(0, names.length - (KEPT - 1))).map((name) => caches.delete(name)));
  await self.clients.claim();
})()));

/* The saved file of this edition and no other: its date is shown with it. */
async function saved(address) {
  const plain = new URL(address);
  plain.hash = "";
  return (await caches.open(CACHE)).match(plain.href, { ignoreSearch: true });
}

/* A saved page says so itself: the date stands in its head, where the page's script finds it. */
async function savedPage(address, client) {
  const found = await saved(address);
  if (!found) return undefined;
  onSavedPages.add(client);
  const text = (await found.text()).replace("<head>", `<head><meta name="handbook-saved" content="${SAVED_ON}">`);
  return new Response(text, { headers: headers(found) });
}

function withLimit(promise) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("no answer in time")), PATIENCE_MS);
    promise.then((value) => { clearTimeout(timer); resolve(value); }, (error) => { clearTimeout(timer); reject(error); });
  });
}

async function networkFirst(request, otherwise) {
  const network = fetch(request);
  network.catch(() => {}); /* it is looked at below; a late failure of what nobody waits for is none */
  try {
    const answer = await withLimit(network);
    if (answer.ok || answer.type === "opaqueredirect") return answer;
    return (await otherwise()) || answer;
  } catch {
    /* Nothing saved either: wait for the network, however long it takes. */
    return (await otherwise()) || network;
  }
}

/* An address with a version must be answered by that version and no other, whichever edition holds it. */
async function exact(request) {
  for (const name of await caches.keys()) {
    const found = name.startsWith("handbook-") && await (await caches.open(name)).match(request.url);
    if (found) return found;
  }
  return undefined;
}

async function answered(event, url) {
  const { request } = event;
  if (request.mode === "navigate") {
    const address = url.pathname.endsWith("/") ? new URL("index.html", url).href : request.url;
    return networkFirst(request, () => savedPage(address, event.resultingClientId));
  }
  if (url.searchParams.has("v") || url.pathname.includes("/assets/")) return (await exact(request)) || fetch(request);
  if (onSavedPages.has(event.clientId)) return (await saved(request.url)) || fetch(request);
  return networkFirst(request, () => saved(request.url));
}

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method === "GET" && url.href.startsWith(here.href)) event.respondWith(answered(event, url));
});

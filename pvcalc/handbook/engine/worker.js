// The reader's engine in a worker: it never blocks typing, and it refuses to mix two editions.
// Messages in: {start: true} once, then {id, text}. Messages out: {ready: {...}} or {failed: "..."}, then {id, text}.
import { load } from "./load.js";

const here = new URL(".", import.meta.url);

async function bytes(name) {
  const answer = await fetch(new URL(name, here));
  if (!answer.ok) throw new Error(`${name} could not be fetched (${answer.status})`);
  return new Uint8Array(await answer.arrayBuffer());
}

// The platform's digest exists only on a secure page; without it the page says that it did not compare.
async function digest(content) {
  if (!globalThis.crypto?.subtle) return null;
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function checked(name, manifest) {
  const content = await bytes(name);
  const found = await digest(content);
  if (found !== null && found !== manifest.files[name]) {
    throw new Error(`${name} is not the file of edition ${manifest.build}; reload the page`);
  }
  return content;
}

const text = (content) => new TextDecoder().decode(content);

async function start() {
  const manifest = JSON.parse(text(await bytes("manifest.json")));
  const [engine, wasm, modules, data] = await Promise.all(
    ["micropython.js", "micropython.wasm", "modules.json", "data.json"].map((name) => checked(name, manifest)));
  // The engine's two files were compared above; it takes them again itself, from the browser's cache.
  void [engine, wasm];
  const { loadMicroPython } = await import(new URL("micropython.js", here).href);
  const url = new URL("micropython.wasm", here).href;
  const reply = await load(loadMicroPython, { ...manifest.options, url }, {
    files: JSON.parse(text(modules)), modules: manifest.modules, data: text(data),
  });
  return { reply, manifest };
}

let started = null;
onmessage = async ({ data: message }) => {
  try {
    started ??= start();
    const { reply, manifest } = await started;
    if (message.start) postMessage({ ready: { build: manifest.build, digests: manifest.shared, compared: Boolean(globalThis.crypto?.subtle) } });
    else postMessage({ id: message.id, text: reply(message.text) });
  } catch (error) {
    const told = String(error.message).trim().split("\n").pop().slice(0, 200);
    postMessage({ id: message.id, failed: `The engine of this page could not compute (${told}). The worked example stays as printed.` });
  }
};

// Runs the shared modules in the reader's engine under node, for the tests.
// First line on stdin: {"files": [[path, text], ...], "modules": [...], "data": "..."}; the answer is {"ready": true}.
// Every later line: a JSON string, the request text for pvcalc.page.bridge.reply; the answer is a JSON string.
import fs from "node:fs";
import readline from "node:readline";
import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";
import { load } from "./load.js";

const options = JSON.parse(fs.readFileSync(new URL("options.json", import.meta.url), "utf8"));

function say(value) {
  fs.writeSync(1, JSON.stringify(value) + "\n");
}

function start(setup) {
  const shout = (line) => process.stderr.write(line + "\n");
  return load(loadMicroPython, { ...options, linebuffer: true, stdout: shout, stderr: shout }, setup);
}

let reply = null;
for await (const line of readline.createInterface({ input: process.stdin, crlfDelay: Infinity })) {
  try {
    if (reply === null) {
      reply = (await start(JSON.parse(line))).reply;
      say({ ready: true });
    } else {
      say(reply(JSON.parse(line)));
    }
  } catch (error) {
    // A traceback of the engine is a fault of ours: hand it to the test, which fails on it.
    say({ broken: String(error.message).slice(0, 4000) });
  }
}

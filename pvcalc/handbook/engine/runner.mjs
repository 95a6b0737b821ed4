// Runs the shared modules in the reader's engine under node, for the tests.
// First line on stdin: {"files": [[path, text], ...], "modules": [...], "data": "..."}; the answer is {"ready": true}.
// Every later line: a JSON string, the request text for pvcalc.bridge.reply; the answer is a JSON string.
// Only text crosses into the engine: its number bridge cuts whole numbers to 32 bits without a word.
import fs from "node:fs";
import readline from "node:readline";
import { loadMicroPython } from "@micropython/micropython-webassembly-pyscript/micropython.mjs";

const options = JSON.parse(fs.readFileSync(new URL("options.json", import.meta.url), "utf8"));

function say(value) {
  fs.writeSync(1, JSON.stringify(value) + "\n");
}

async function start(setup) {
  const engine = await loadMicroPython({
    ...options,
    linebuffer: true,
    stdout: (line) => process.stderr.write(line + "\n"),
    stderr: (line) => process.stderr.write(line + "\n"),
  });
  engine.FS.mkdir("/shared");
  engine.FS.mkdir("/shared/pvcalc");
  for (const [path, text] of setup.files) engine.FS.writeFile("/shared/" + path, text);
  engine.runPython("import sys\nsys.path.insert(0, '/shared')\nfrom pvcalc.bridge import reply\nimport pvcalc.bridge as bridge\nimport json\n" +
    "def begin(text):\n    setup = json.loads(text)\n    bridge.start(setup['modules'], setup['data'])\n");
  engine.globals.get("begin")(JSON.stringify({ modules: setup.modules, data: setup.data }));
  return engine.globals.get("reply");
}

let reply = null;
for await (const line of readline.createInterface({ input: process.stdin, crlfDelay: Infinity })) {
  try {
    if (reply === null) {
      reply = await start(JSON.parse(line));
      say({ ready: true });
    } else {
      say(reply(JSON.parse(line)));
    }
  } catch (error) {
    // A traceback of the engine is a fault of ours: hand it to the test, which fails on it.
    say({ broken: String(error.message).slice(0, 4000) });
  }
}

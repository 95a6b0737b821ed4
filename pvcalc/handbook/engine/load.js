// Starts the engine with shared modules; used by the browser's worker and by the tests' runner under node alike.
// Only text crosses into the engine: its number bridge cuts whole numbers to 32 bits without a word.

const BEGIN = `
import sys
sys.path.insert(0, '/shared')
from pvcalc.page import bridge
import json
reply = bridge.reply
def more(text):
    setup = json.loads(text)
    bridge.add(setup['modules'], setup['data'])
`;

// setup: { files: [[path, text], ...], modules: [name, ...], data: text }
// Returns { reply: request text in, reply text out; add: more of the same setup later }.
export async function load(loadMicroPython, options, setup) {
  const engine = await loadMicroPython(options);
  const write = (files) => files.forEach(([path, text]) => {
    engine.FS.mkdirTree("/shared/" + path.slice(0, path.lastIndexOf("/")));
    engine.FS.writeFile("/shared/" + path, text);
  });
  write(setup.files);
  engine.runPython(BEGIN);
  const more = engine.globals.get("more");
  const add = ({ files, modules, data }) => {
    write(files);
    more(JSON.stringify({ modules, data }));
  };
  add({ ...setup, files: [] });
  return { reply: engine.globals.get("reply"), add };
}

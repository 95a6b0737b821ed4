// Starts the engine with the shared modules and returns its one door: request text in, reply text out.
// Used by the browser's worker and by the tests' runner under node, so that both start it in the same way.
// Only text crosses into the engine: its number bridge cuts whole numbers to 32 bits without a word.

const BEGIN = `
import sys
sys.path.insert(0, '/shared')
from pvcalc.bridge import reply
import pvcalc.bridge as bridge
import json
def begin(text):
    setup = json.loads(text)
    bridge.start(setup['modules'], setup['data'])
`;

// setup: { files: [[path, text], ...], modules: [name, ...], data: text }
export async function load(loadMicroPython, options, setup) {
  const engine = await loadMicroPython(options);
  engine.FS.mkdir("/shared");
  engine.FS.mkdir("/shared/pvcalc");
  for (const [path, text] of setup.files) engine.FS.writeFile("/shared/" + path, text);
  engine.runPython(BEGIN);
  engine.globals.get("begin")(JSON.stringify({ modules: setup.modules, data: setup.data }));
  return engine.globals.get("reply");
}

"""The reader's engine on this machine: MicroPython under node, running the shared modules verbatim.

The site serves the same files to the browser; the tests ask the same requests of both interpreters.
"""

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine import sent

FOLDER = Path(__file__).parent
RUNNER = FOLDER / "runner.mjs"
PACKAGES = FOLDER / "node_modules"
MICROPYTHON = PACKAGES / "@micropython" / "micropython-webassembly-pyscript"

# How the engine is started, here and in the browser alike (engine/options.json). The heap starts at 4 MiB and
# grows by itself: nothing is collected while a call runs, and the largest call (one simulated beat) then
# needs no growth. The stack is eight times the default: a refusal from a nested list of records lies deep.
OPTIONS = json.loads((FOLDER / "options.json").read_text(encoding="utf-8"))


class EngineError(RuntimeError):
    """The engine could not be started, or broke while it answered."""


def node() -> str:
    """Path of node: the machine's own, else the one that a Python package brought into this environment.

    Raises: EngineError with the command that brings it.
    """
    found = shutil.which("node") or _bundled("node")
    if not found:
        raise EngineError("node is missing: run `make setup`.")
    return found


def _bundled(name):
    for folder in (Path(sys.prefix) / "bin", Path(sys.prefix) / "Scripts"):
        found = shutil.which(name, path=str(folder))
        if found:
            return found
    return None


def digests(files: list[tuple[str, str]] | None = None) -> list[tuple[str, str]]:
    """(path, sha256) of the modules as they are sent, shown on the page and compared by it before it computes."""
    return [(path, hashlib.sha256(text.encode("utf-8")).hexdigest()) for path, text in files or sent.sent_files()]


class Engine:
    """A running engine; use as a context manager.

    Args:
        data: the handbook's data (settings, tables, series) as JSON text.
        files, modules: other files than the shared ones, for the tests of the runner itself.
    """

    def __init__(self, data: str = "{}", files=None, modules=None):
        if not MICROPYTHON.exists():
            raise EngineError("the browser engine is not installed: run `make setup`.")
        self._setup = {"files": files or sent.sent_files(), "data": data,
                       "modules": catalogue.shared_modules() if modules is None else modules}
        self._process = None

    def __enter__(self):
        self._process = subprocess.Popen(
            [node(), str(RUNNER)], cwd=FOLDER, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            text=True, encoding="utf-8", env={**os.environ, "NODE_NO_WARNINGS": "1"})
        try:
            self._ask(self._setup)
        except BaseException:
            self.close()
            raise
        return self

    def __exit__(self, *_):
        self.close()

    def close(self):
        """End the process; asked twice it does nothing."""
        if self._process:
            self._process.stdin.close()
            self._process.stdout.close()
            self._process.wait(timeout=30)
            self._process = None

    def reply(self, request_text: str) -> str:
        """What `pvcalc.page.bridge.reply` answers in the engine.

        Raises: EngineError with the engine's traceback.
        """
        return self._ask(request_text)

    def _ask(self, value):
        self._process.stdin.write(json.dumps(value) + "\n")
        self._process.stdin.flush()
        line = self._process.stdout.readline()
        if not line:
            raise EngineError("the engine ended without an answer.")
        answer = json.loads(line)
        if isinstance(answer, dict) and "broken" in answer:
            raise EngineError(answer["broken"])
        return answer

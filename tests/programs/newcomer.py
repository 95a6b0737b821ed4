"""Does what kb/reference/new-developer.md says, word for word, in a fresh clone without caches, and prints the times.

Run as `make newcomer`. The page's own commands are read from its fences, so that the page cannot say something else.
"""

import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "kb" / "reference" / "new-developer.md"
# What a step must print for a newcomer to know that it worked.
WANTED = {" calc ": "22.1", " ledger ": "+ ", "diff": "kb/_record/ledger.txt"}


def commands() -> list[str]:
    """The commands of the page in their order; the server is left out, since it runs until it is stopped."""
    lines = [line for block in re.findall(r"(?ms)^```sh\n(.*?)^```", PAGE.read_text(encoding="utf-8")) for line in block.splitlines()]
    return [line for line in lines if line.strip() and line != "make serve"]


def bare(home: Path) -> dict:
    """An environment with a path, a language and an empty home: no caches, no settings of this machine but its registries."""
    kept = {name: value for name, value in os.environ.items()
            if name in ("PATH", "LANG", "SSL_CERT_FILE", "REQUESTS_CA_BUNDLE", "NODE_EXTRA_CA_CERTS", "HTTP_PROXY", "HTTPS_PROXY", "NO_PROXY",
                        "http_proxy", "https_proxy", "no_proxy") or name.startswith(("PIP_INDEX", "PIP_EXTRA", "PIP_CONFIG", "npm_config_registry"))}
    return {**kept, "HOME": str(home), "PIP_NO_CACHE_DIR": "1", "npm_config_cache": str(home / "npm")}


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        folder, home = Path(name) / "handbook", Path(name) / "home"
        home.mkdir()
        environment, began = bare(home), time.perf_counter()
        for command in [f"git clone -q '{ROOT}' '{folder}'", *commands()]:
            here = time.perf_counter()
            done = subprocess.run(command, shell=True, cwd=folder if folder.exists() else name, env=environment, capture_output=True, text=True)
            said = done.stdout + done.stderr
            missing = [words for key, words in WANTED.items() if key in command and words not in said]
            shown = command.replace(str(ROOT), "ORIGIN").replace(str(folder), "handbook")
            print(f"{time.perf_counter() - here:6.1f} s  {shown}", flush=True)
            if done.returncode or missing:
                print(f"did not work{': “' + missing[0] + '” was not printed' if missing else ''}:\n{said[-1500:]}")
                return 1
        print(f"{time.perf_counter() - began:6.1f} s  from nothing to here")
    return 0


if __name__ == "__main__":
    sys.exit(main())

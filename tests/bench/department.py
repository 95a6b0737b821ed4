"""Everything that needs no browser, in copies of the project as departments have it: other values, another shelf, a signature."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
from tests.helpers import adopted  # noqa: E402

SEEDS = (2, 3)


def main():
    failed = 0
    for seed in SEEDS:
        with tempfile.TemporaryDirectory() as name:
            folder = adopted.copy(Path(name))
            print(f"department {seed}:", ", ".join(key for key in adopted.adopt(folder, seed)))
            ran = subprocess.run([sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-m", "not browser", "-n", "2", "--dist", "loadfile"],
                                 cwd=folder, env={**os.environ, "HYPOTHESIS_PROFILE": "fast"})
            failed += ran.returncode
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

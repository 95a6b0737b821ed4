"""Which tests exist, and which of them ran on the files that this build is made from."""

import hashlib
import json
import re
from functools import cache
from pathlib import Path

from pvcalc.handbook.data import writing

RAN = "build/ran.json"
WATCHED = ("pvcalc/**/*.py", "pvcalc/handbook/engine/*.js", "tests/**/*.py", "kb/**/*.md", "kb/_data/**/*.yml",
           "kb/_record/*.*", "site_overrides/**/*.*", "mkdocs.yml")
UNWATCHED = ("node_modules", "__pycache__", "built")


def digest(root: Path) -> str:
    """Sixteen hexadecimal digits of every file that a test or a page is made from."""
    found = hashlib.sha256()
    for path in sorted({path for pattern in WATCHED for path in root.glob(pattern)}):
        if path.is_file() and not set(UNWATCHED) & set(path.parts):
            found.update(path.relative_to(root).as_posix().encode() + b"\0")
            found.update(path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return found.hexdigest()[:16]


def exists(root: Path, name: str) -> bool:
    """True when a test of that name, such as tests/test_x.py::test_y, stands in the suite."""
    path, _, function = name.partition("::")
    return function in _functions(root / path)


@cache
def _functions(path):
    if not path.is_file():
        return frozenset()
    return frozenset(re.findall(r"^def (test_\w+)\(", path.read_text(encoding="utf-8"), re.MULTILINE))


def record(root: Path, passed: set[str], failed: set[str]) -> None:
    """Write down which tests passed on the files as they are; earlier runs on the same files are kept."""
    now, path = digest(root), root / RAN
    before = read(root) if path.is_file() else {}
    if before.get("digest") == now:
        passed = (set(before["passed"]) - failed) | passed
    path.parent.mkdir(exist_ok=True)
    writing.write_text(path, json.dumps({"digest": now, "passed": sorted(passed - failed)}, indent=1) + "\n")


def read(root: Path) -> dict:
    """The record of the last runs, or an empty one."""
    path = root / RAN
    return json.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}


def passed_in_this_build(root: Path) -> set[str]:
    """Names of tests that passed on exactly these files; empty when the files moved since."""
    before = read(root)
    return set(before["passed"]) if before.get("digest") == digest(root) else set()

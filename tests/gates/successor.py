"""The same kb/ built by the theme's successor (zensical): what would be lost by moving there today.

Run by `make gates` as `python tests/gates/successor.py SITE`, SITE being our own build. Fails only when something is lost
that successor-lost.txt does not name; a line of that file that is no longer lost is printed, and wants to be taken out.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
KNOWN = Path(__file__).with_name("successor-lost.txt")
MARKS = {"worked example": 'class="worked', "equation": "<math", "picture": '<figure class="picture"', "computed number": 'class="num"',
         "citation": 'class="cite"', "reference entry": '<section class="entry"', "empty fields": "data-try=", "table": 'class="table-wrap"',
         "signature": '<section class="signature', "cautions at the foot": 'class="book-footer', "sources": 'class="sources"'}
RAW = re.compile(r"\[@\w|\[=\w|```(?:formula|table|printed|picture|series|settings|generated)")
BUILD = re.compile(r"assets/[0-9a-f]{12}/")


def build(folder: Path, with_overrides: bool) -> str:
    """Build a copy of the project; what went wrong, or ""."""
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(ROOT / "kb", folder / "kb")
    text = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    if with_overrides:
        shutil.copytree(ROOT / "site_overrides", folder / "site_overrides")
    else:
        text = re.sub(r"(?m)^  (?:custom_dir|logo|favicon):.*\n", "", text)
    (folder / "mkdocs.yml").write_text(text, encoding="utf-8")
    (folder / "pvcalc").symlink_to(ROOT / "pvcalc")
    done = subprocess.run([sys.executable, "-m", "zensical", "build", "--clean", "-f", "mkdocs.yml"], cwd=folder, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": str(folder)}, timeout=300)
    pages = list((folder / "site").rglob("*.html"))
    if done.returncode == 0 and len(pages) > 10:
        return ""
    return (done.stderr.strip() or done.stdout.strip() or "no pages").splitlines()[-1]


def lost(ours: Path, theirs: Path) -> list[str]:
    """What our build has and the other has not, a sentence each."""
    found = []
    for path in sorted(ours.rglob("*.html")):
        name = path.relative_to(ours).as_posix()
        if not (theirs / name).is_file():
            found.append(f"pages below {name.split('/')[0]}/" if name.startswith("worksheets/") else f"page {name}")
            continue
        first, second = (side.read_text(encoding="utf-8") for side in (path, theirs / name))
        found += [f"{what}, on {'every page' if what in ('cautions at the foot', 'signature') else name}"
                  for what, mark in MARKS.items() if second.count(mark) < first.count(mark)]
        if RAW.search(re.sub(r"(?s)<(code|pre)\b.*?</\1>", " ", second)):
            found.append(f"raw mark on {name}")
    for path in ours.rglob("*"):
        name = path.relative_to(ours).as_posix()
        if path.is_file() and not name.endswith(".html") and not (theirs / name).is_file():
            found.append("file " + re.sub(r"precache-\w+", "precache-BUILD", BUILD.sub("assets/BUILD/", name)))
    if (theirs / "_data").exists():
        found.append("exclude_docs: the data files are published as they are")
    # One folder of lost files is one loss.
    return sorted({re.sub(r"^file ((?:assets/BUILD|assets/\w+|css|js|worksheets|fonts|icons|search)/).*", r"files below \1", line) for line in found})


def main(arguments) -> int:
    ours = Path(arguments[0])
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        refused = build(copy, with_overrides=True)
        found = []
        if refused:
            # Machine paths and line numbers differ from run to run; the first words name the fault.
            print(f"successor: our templates do not render there: {refused[:300]}")
            found.append("our templates and looks do not render")
            refused = build(copy, with_overrides=False)
        if refused:
            print(f"successor: kb/ does not build at all: {refused[:300]}")
            return 1
        found = sorted([*found, *lost(ours, copy / "site")])
    known = [line for line in KNOWN.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    new = [line for line in found if line not in known]
    print(f"successor: {len(found)} things lost, {len(new)} of them new")
    for line in found:
        print(("  new: " if line in new else "  ") + line)
    for line in known:
        if line not in found:
            print(f"  no longer lost, take it out of {KNOWN.name}: {line}")
    return 1 if new else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""A release: the site as a dated zip that opens from a folder, the bound PDF, checksums, and which numbers moved.

`make release` builds the site and runs `python -m pvcalc.handbook.publish.release SITE INTO`. One commit gives the same bytes.
The release before is the last tag `release-…` that this commit descends from; its ledger is what ours is compared with.
"""

import hashlib
import os
import subprocess
import sys
import zipfile
from datetime import datetime, timezone
from importlib.metadata import version
from pathlib import Path

from pvcalc.handbook.checks import ledger
from pvcalc.handbook.publish import book

TAGS = "release-*"
FIRST = """Open index.html in this folder with a browser; no server and no network is needed, and the search works.

What a folder cannot do: recompute worked examples with your own numbers (browsers start no engine from a
folder) and keep itself up to date. The bound copy is {pdf}, beside the zip; SHA256SUMS tells whether a file was changed.
"""


def name_of(root: Path, when: int) -> str:
    """`handbook-VERSION-YYYYMMDD-COMMIT`, with `-changed` when files differ from the commit."""
    day = datetime.fromtimestamp(when, timezone.utc).strftime("%Y%m%d")
    commit = git(root, "rev-parse", "--short=8", "HEAD") or "uncommitted"
    changed = "-changed" if git(root, "status", "--porcelain") else ""
    return f"handbook-{version('pvcalc')}-{day}-{commit}{changed}"


def git(root: Path, *arguments) -> str:
    """What git says, or "" when it has nothing to say or is not there."""
    try:
        done = subprocess.run(["git", *arguments], cwd=root, capture_output=True, text=True, encoding="utf-8")
    except OSError:
        return ""
    return done.stdout.strip() if done.returncode == 0 else ""


def ledger_difference(root: Path) -> str:
    """The numbers that went, came or changed since the release before, as a text for people."""
    before_name = git(root, "describe", "--tags", "--abbrev=0", "--match", TAGS, "HEAD~1") or \
        git(root, "describe", "--tags", "--abbrev=0", "--match", TAGS)
    now = ledger.read(root)
    if not before_name:
        return f"First release: {len(now)} numbers, ledger {ledger.digest(now)}. There is no release before to compare with.\n"
    before = git(root, "show", f"{before_name}:{ledger.LEDGER}").splitlines()
    return difference(before, now, before_name)


def difference(before: list[str], now: list[str], before_name: str) -> str:
    """Two ledgers compared; a number with the same page, name and inputs but another value is one line.

    Args:
        before, now: ledger lines; before_name: what the older one is called.
    """
    gone, come = ledger.moved(before, now)
    old, new = dict(map(_split, gone)), dict(map(_split, come))
    changed = [key for key in old if key in new]
    lines = [f"Numbers since {before_name}: {len(changed)} changed, {len(gone) - len(changed)} went, {len(come) - len(changed)} came; "
             f"ledger {ledger.digest(before)} -> {ledger.digest(now)}.", ""]
    lines += [f"changed  {key}: {old[key]} -> {new[key]}" for key in changed]
    lines += [f"went     {key}: {value}" for key, value in old.items() if key not in new]
    lines += [f"came     {key}: {value}" for key, value in new.items() if key not in old]
    return "\n".join(lines).rstrip() + "\n"


def _split(line):
    """(what identifies a ledger line, its value)."""
    key, _, value = line.rpartition(" | ")
    return key, value


def pack(site: Path, extra: dict[str, bytes], into: Path, when: int) -> None:
    """Write the zip: everything in one folder of the zip's name, sorted, with one date and no owner.

    Args:
        site: the built site; extra: further files by name; into: the zip; when: seconds since 1970.
    """
    files = {path.relative_to(site).as_posix(): path.read_bytes() for path in site.rglob("*") if path.is_file()}
    files |= extra
    files["SHA256SUMS"] = sums(files)
    stamp = datetime.fromtimestamp(max(when, 315_532_800), timezone.utc).timetuple()[:6]  # a zip knows no year before 1980
    with zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as made:
        for name in sorted(files):
            entry = zipfile.ZipInfo(f"{into.stem}/{name}", stamp)
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o100644 << 16
            made.writestr(entry, files[name], compresslevel=9)


def sums(files: dict[str, bytes]) -> bytes:
    """Checksums as `sha256sum -c` reads them."""
    return "".join(f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in sorted(files.items())).encode()


def make(root: Path, site: Path, folder: Path, when: int, pdf: bytes) -> list[Path]:
    """Write zip, PDF, ledger difference and checksums into a folder and return their paths."""
    name = name_of(root, when)
    folder.mkdir(parents=True, exist_ok=True)
    moved = ledger_difference(root).encode()
    first = FIRST.format(pdf=f"{name}.pdf").encode()
    pack(site, {"LEDGER-DIFFERENCE.txt": moved, "READ-ME-FIRST.txt": first}, folder / f"{name}.zip", when)
    beside = {f"{name}.zip": (folder / f"{name}.zip").read_bytes(), f"{name}.pdf": pdf, f"{name}-ledger.txt": moved}
    beside[f"{name}-SHA256SUMS"] = sums(beside)
    for file, content in beside.items():
        (folder / file).write_bytes(content)
    return [folder / file for file in beside]


def main(arguments) -> int:
    """`release SITE INTO`: bind, pack and tell."""
    from mkdocs.config import load_config
    root, site, folder = Path("."), Path(arguments[0]), Path(arguments[1])
    chromium = book.chromium_path()
    if not chromium:
        print("release: Chromium prints the bound copy and was not found; name its path in PVCALC_CHROMIUM.", file=sys.stderr)
        return 1
    when = int(os.environ.get("SOURCE_DATE_EPOCH") or 0)
    config = load_config("mkdocs.yml")
    try:
        pdf = book.bind(site, config["nav"], book.facts_of(config, when), when, chromium)
    except book.BookFault as fault:
        print(f"release: {fault}", file=sys.stderr)
        return 1
    for path in make(root, site, folder, when, pdf):
        print(f"{path}  {path.stat().st_size / 1e6:.2f} MB")
    print(ledger_difference(root).splitlines()[0])
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

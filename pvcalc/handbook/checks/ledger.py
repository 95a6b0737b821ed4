"""The ledger: every number the site computes, with its inputs, and every one that was typed, one a line, so that nothing moves unseen."""

import hashlib
from pathlib import Path

from pvcalc.handbook.authoring import extension
from pvcalc.handbook.checks import typed_numbers
from pvcalc.handbook.data import writing
from pvcalc.handbook.data.findings import AuthorFaults, Finding

LEDGER = "kb/_record/ledger.txt"
CHANGES = "kb/changes.md"
MEND = "run `python -m pvcalc ledger --write`"


def lines(project) -> tuple[list[str], list[Finding]]:
    """All ledger lines in the order of pages, and the author faults met on the way."""
    collected, findings = [], []
    for path in project.chapters:
        slug = path.relative_to(project.root / "kb").as_posix().removesuffix(".md")
        try:
            page = extension.gathered(project, slug)
        except AuthorFaults as faults:
            findings += faults.findings
            continue
        # A number repeated with the same inputs on one page is one line.
        collected += list(dict.fromkeys(page.ledger)) + typed_numbers.of_page(project, slug)
    return collected, findings


def digest(ledger_lines) -> str:
    """Short digest of the numbers; the change list quotes it."""
    return hashlib.sha256("\n".join(ledger_lines).encode()).hexdigest()[:12]


def read(root: Path) -> list[str]:
    """The committed ledger, or an empty one."""
    path = root / LEDGER
    return path.read_text(encoding="utf-8").splitlines() if path.is_file() else []


def write(root: Path, ledger_lines) -> None:
    """Write the ledger with LF line ends."""
    writing.write_text(root / LEDGER, "\n".join(ledger_lines) + "\n")


def moved(before, after) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came."""
    old, new = set(before), set(after)
    return [line for line in before if line not in new], [line for line in after if line not in old]


def check(project) -> list[Finding]:
    """Findings: the ledger is stale, or it moved and the change list does not say so."""
    now, faults = lines(project)
    if faults:
        return faults
    committed = read(project.root)
    if committed != now:
        gone, come = moved(committed, now)
        first = next((place for place, pair in enumerate(zip(committed, now)) if pair[0] != pair[1]), min(len(committed), len(now)))
        return [Finding(LEDGER, first + 1, f"the ledger is stale: {len(gone)} lines went and {len(come)} came; {MEND}")]
    if digest(now) not in (project.root / CHANGES).read_text(encoding="utf-8"):
        return [Finding(CHANGES, 1, f"the ledger moved without a line here: add what changed and why, with `ledger {digest(now)}`; "
                                    f"{MEND} to see the lines that moved")]
    return []

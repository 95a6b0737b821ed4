"""Keeps what `tests/mutation/mutants.py` found in kb/_record/mutation.yml, where the page of changed lines reads it."""

from datetime import date
from pathlib import Path

import yaml

RECORD = Path("kb/_record/mutation.yml")
HEAD = ("# What happened when one constant, operator or comparison of a module was changed at a time; see tests/mutation/mutants.py.\n"
        "# Written by `python tests/mutation/mutants.py --write MODULE…`; only the arguments are written by hand.\n")
UNARGUED = "not argued yet"


def lines_of(diff: str) -> tuple[str, str]:
    """The line before and after, without their marks, of a one-change diff."""
    rows = diff.splitlines()
    before = " ".join(row[1:].strip() for row in rows if row.startswith("-"))
    return before, " ".join(row[1:].strip() for row in rows if row.startswith("+"))


def keep(root: Path, module: str, counts: dict, diffs: list[str], on: date) -> None:
    """Write one module's result; an argument given before for the same change stays."""
    path = root / RECORD
    record = yaml.safe_load(path.read_text(encoding="utf-8")) or {} if path.exists() else {}
    argued = {}  # a module may hold the same line twice: each keeps its own argument, in their order
    for one in record.get(module, {}).get("survivors", []):
        argued.setdefault((one["line"], one["changed"]), []).append(one["argument"])
    survivors = []
    for line, changed in map(lines_of, diffs):
        survivors.append({"line": line, "changed": changed, "argument": (argued.get((line, changed)) or [UNARGUED]).pop(0)})
    formulas, examples = counts["formulas"], counts["examples"]
    record[module] = {"changes": formulas["killed"] + formulas["survived"], "killed": formulas["killed"],
                      "example_changes": examples["killed"] + examples["survived"], "example_killed": examples["killed"],
                      "measured_on": on, "survivors": survivors}
    if formulas.get("within"):
        record[module]["within_a_pixel"] = formulas["within"]
    text = yaml.safe_dump(record, allow_unicode=True, sort_keys=True, width=200)
    path.write_text(HEAD + text, encoding="utf-8", newline="\n")

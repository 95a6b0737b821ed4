"""Which worked examples of the fact collection does no printed example carry yet?

    python tests/fact_coverage.py FOLDER

FOLDER holds the collection, one Markdown file a topic; its worked examples stand in one table a file. An id is that
table's first column with the topic's letter before it (`B-W3`), as in `fact="B-W3"` of a printed example.
tests/fact_reasons.yml says why some cannot be carried. Rows that only recompute a percentage from a source's own
counts test no formula and are counted apart. Exit 1 when an id is neither carried nor explained, or a reason is stale.
"""

import re
import sys
from collections import Counter
from pathlib import Path

from ruamel.yaml import YAML

from pvcalc import formula as core
from pvcalc.handbook import catalogue

TABLES = [("A", "assessment.md", 6), ("B", "sizing.md", 8), ("C", "haemodynamics.md", 7), ("D", "outcomes.md", 7),
          ("E", "technique.md", 12), ("M", "gaps-numbers.md", 13)]
REASONS = Path(__file__).parent / "fact_reasons.yml"
ID = re.compile(r"^([A-Z]+)(\d+)([a-z]?)(?:[–-](?:[A-Z]+)?(\d+))?$")


def ids_of(text, letter, section):
    """Ids of the table rows in one numbered section, ranges written out: `E8–E10` is three."""
    found = []
    inside = False
    for line in text.splitlines():
        if line.startswith("## "):
            inside = line.startswith(f"## {section}.")
        cell = line.split("|")[1].strip() if inside and line.startswith("|") else ""
        match = ID.match(cell)
        if match:
            first, last = match[2], match[4] or match[2]
            found += [f"{letter}-{match[1]}{number:0{len(first)}d}{match[3]}"
                      for number in range(int(first), int(last) + 1)]
    return found


def wanted(folder):
    """Ids of every worked example in the collection.

    Raises: SystemExit when a file or its table is not there: a silent nothing would look like full coverage.
    """
    ids = []
    for letter, name, section in TABLES:
        path = Path(folder) / name
        rows = ids_of(path.read_text(encoding="utf-8"), letter, section) if path.exists() else []
        if not rows:
            raise SystemExit(f"{name}: no worked examples found in section {section}")
        ids += rows
    return ids


def compare(ids, carried, reasons, percentages):
    """(without example or reason, reasons that are stale) for lists of ids."""
    missing = [one for one in ids if one not in carried and one not in reasons and one not in percentages]
    stale = [one for one in reasons if one in carried or one not in ids]
    return missing, stale


def main(arguments):
    if len(arguments) != 1:
        print(__doc__.strip().splitlines()[2].strip(), file=sys.stderr)
        return 2
    entries = catalogue.load()
    told = YAML(typ="safe").load(REASONS.read_text(encoding="utf-8")) or {}
    reasons, percentages = told.get("reasons") or {}, told.get("recomputed_percentages") or []
    ids = wanted(arguments[0])
    carried = {fact for example in core.PRINTED for fact in example.fact.split()}
    missing, stale = compare(ids, carried, reasons, percentages)
    for entry in entries.values():
        kinds = Counter(f"{example.kind}/{example.seen}" for example in entry.printed)
        print(f"{entry.name}: " + (", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items())) or "none"))
    everything = Counter(f"{example.kind}/{example.seen}" for example in core.PRINTED)
    print(f"{len(core.PRINTED)} printed examples: "
          + ", ".join(f"{count} {kind}" for kind, count in sorted(everything.items())))
    print(f"{len(ids)} worked examples in the collection: {len([one for one in ids if one in carried])} carried, "
          f"{len([one for one in ids if one in reasons])} with a reason, "
          f"{len([one for one in percentages if one not in carried])} recomputed percentages apart, "
          f"{len(missing)} without either")
    if missing:
        print("without: " + " ".join(missing))
    if stale:
        print("reason no longer needed: " + " ".join(stale))
    return 1 if missing or stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Keeps the search index small enough for a phone: generated reference pages answer by their headings only.

Of the formulas, name and first sentence stay. The list of works at the foot of a chapter stays out as well: it
is on every chapter and would bury what the chapter says.
"""

import json
from pathlib import Path

REFERENCE = "reference/"
FORMULAS = "reference/formulas.html#"
SCRIPT = "var __index = "  # the same index for a page opened from a folder


def trim(site: Path, entries) -> None:
    """Rewrite both forms of the index in the built site.

    Args:
        site: folder of the built site; entries: the formulas by name, as the catalogue gives them.
    """
    folder = site / "search"
    index = json.loads((folder / "search_index.json").read_text(encoding="utf-8"))
    for section in index["docs"]:
        section["text"] = _kept(section, entries)
    text = json.dumps(index, ensure_ascii=False, separators=(",", ":"))
    (folder / "search_index.json").write_text(text, encoding="utf-8", newline="\n")
    script = folder / "search_index.js"
    if script.exists():
        script.write_text(SCRIPT + text, encoding="utf-8", newline="\n")


def _kept(section, entries):
    place = section["location"]
    if place.startswith(FORMULAS):
        anchor = place.removeprefix(FORMULAS)
        return " ".join(f"<p>{entry.name} {entry.text.summary}</p>" for entry in entries.values() if entry.anchor == anchor)
    if place.startswith(REFERENCE) or place.endswith("#sources"):
        return ""
    return section["text"]

"""What the search looks in: the prose of each section, its heading, and the words people type for it.

Generated reference pages answer by their headings only, formulas by name and first sentence; the list of works at the
foot of a chapter stays out, it would bury what the chapter says. Marks, badges and tables are kept out where they are
made (`data-search-exclude`). Under a heading of a chapter `<!-- asked: low bp; hypotension -->` says what else people
type for that section; `kb/_data/words.yml` says which word of the handbook another word stands for.
"""

import json
import re
from pathlib import Path

from pvcalc.handbook.authoring.layers import headed
from pvcalc.handbook.data.typed_words import synonyms

REFERENCE = "reference/"
FORMULAS = "reference/formulas.html#"
SCRIPT = "var __index = "  # the same index for a page opened from a folder
ASKED = re.compile(r"<!--\s*asked:\s*(.*?)\s*-->")
# Where an answer stands counts: a sheet for the first minute first, lists and records of the makers last.
PLACES = [("drills/", 2), ("reference/", 0.25), ("worksheets/", 0.1), ("changes", 0.1), ("questions", 0.3), ("cases/", 0.6)]
PIPELINE = ["stemmer", "stopWordFilter", "trimmer"]  # who types "balloons" or "dilated" means the word in any of its forms
OFTEN = 3  # times a word stands in a section that is about it, when its heading does not say so
# How much a word weighs by where it stands; the theme ships 1000 for a title, so that one word there beats a whole answer.
FIELDS = {"title": {"boost": 6}, "text": {"boost": 1}, "tags": {"boost": 5}}


def trim(site: Path, entries, root: Path) -> None:
    """Rewrite both forms of the index in the built site.

    Args:
        site: folder of the built site; entries: the formulas by name, as the catalogue gives them; root: the project.
    """
    folder = site / "search"
    index = json.loads((folder / "search_index.json").read_text(encoding="utf-8"))
    index["config"].update(fields=FIELDS, pipeline=PIPELINE)
    asked, stands_for = asked_words(root), synonyms(root)
    for section in index["docs"]:
        section["text"] = _kept(section, entries)
        # What was written for this very section counts twice beside a word that many sections share.
        also = [*asked.get(section["location"], []) * 2, *_also(section, stands_for)]
        if also:
            section["tags"] = also
        section["boost"] = next((boost for folder, boost in PLACES if section["location"].startswith(folder)), 1)
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


def asked_words(root: Path) -> dict[str, list[str]]:
    """Location of a section (`sizing.html#which`) or page to what else people type for it."""
    found = {}
    for path in sorted((root / "kb").rglob("*.md")):
        page = path.relative_to(root / "kb").as_posix().removesuffix(".md") + ".html"
        lines = path.read_text(encoding="utf-8").splitlines()
        sections = {place: anchor for place, anchor, _ in headed(lines, "##+")}
        location = page
        for place, line in enumerate(lines):
            location = f"{page}#{sections[place]}" if place in sections else location
            match = ASKED.match(line.strip())
            if match:
                found.setdefault(location, []).extend(part.strip() for part in match[1].split(";") if part.strip())
    return found


def _also(section, stands_for):
    """Words that readers type for what this section is about: their meaning stands in its heading, or often in its text."""
    title, text = section["title"].lower(), re.sub("<[^>]*>", " ", section["text"]).lower()
    return [typed for typed, ours in stands_for.items()
            if (ours.lower() in title or text.count(ours.lower()) >= OFTEN) and typed.lower() not in title]

"""The numbers that somebody typed: one ledger line for each sentence, heading, cell row or fence line that holds a numeral.

What is computed moves in the ledger by itself; a typed numeral moves only because this reads it. Nothing is rendered here,
so a whole handbook is read in a moment.
"""

import re

from pvcalc.handbook.authoring import front_matter, layers, prose

OPENING = 64  # letters of a sentence by which its line is found again
TOKEN = re.compile(r"\[@[^\]]*\]|\[=[^\]]*\]|\[(?:practice|memory|derived)(?:: [^\]]*)?\]")
NUMERAL = re.compile(rf"\d+(?:[.,\u202f/:]\d+)*(?:{prose.SPACE}(?:{prose.UNITS})(?!\w)(?:/[\w²]+)*)?")
DIGITS = re.compile(r"\d+(?:[.,\u202f/:]\d+)*")
IDENTIFIER = re.compile(r"\{[:#.][^}]*\}")
ORDINAL = re.compile(r"^\s*\d+\.\s")  # the number of a step is set by its place
INPUT = re.compile(r"^\s*\w+: -?[\d.]+$")  # of a worked example: the computed line holds it
UNREGISTERED = ("changes", "reference/")  # a diary, and pages that are made from data


def registered(slug: str) -> bool:
    """True for a page whose typed numbers are held: chapters, drills and cases, not the change list or generated pages."""
    return not slug.startswith(UNREGISTERED)


def of_page(project, slug: str) -> list[str]:
    """Ledger lines of one page of the handbook; none for a page that is not registered."""
    if not registered(slug):
        return []
    return lines(slug, front_matter.source(project.root, project.root / "kb" / f"{slug}.md")[1])


def lines(slug: str, text: str) -> list[str]:
    """Ledger lines of a text, each once, in its order.

    Args:
        slug: page below kb/ without its ending; text: its Markdown without front matter.
    Returns `page | typed | anchor, opening words | marks and works | numerals`; identifiers and addresses of links hold no numeral.
    """
    found, anchor, remark = [], "", False
    written = text.splitlines()
    anchors = {place: name for place, name, _ in layers.headed(written, "#+")}
    for place, line in enumerate(written):
        anchor = anchors.get(place, anchor)
        remark = remark or line.lstrip().startswith("<!--")
        if not remark and (told := _told(line)):
            found.append(" | ".join([slug, "typed", f"#{anchor} {told[0]}", *told[1:]]))
        remark = remark and "-->" not in line
    return list(dict.fromkeys(found))


def _told(line):
    """(opening words, marks, numerals) of one line; None when it holds no typed numeral and cites no numbered place."""
    if INPUT.match(line):
        return None
    marks, line = TOKEN.findall(line), ORDINAL.sub("", line)
    plain = IDENTIFIER.sub("", prose.LINK.sub("]", TOKEN.sub("", line)))
    numerals = [_one_line(match[0]) for match in NUMERAL.finditer(plain)]
    if not numerals and not any(DIGITS.search(mark) for mark in marks if not mark.startswith("[=")):
        return None
    words = " ".join(DIGITS.sub("#", re.sub(r"[|*`\[\]]+", " ", plain)).split())
    named = [mark.split(" ")[0].rstrip("]") + "]" if mark.startswith("[=") else mark for mark in marks]  # its inputs have a line of their own
    shown = " ".join(" ".join(named).split()).replace("|", "/")
    return words[:OPENING].rstrip(), shown or "no mark", "; ".join(numerals) or "none typed"


def _one_line(numeral):
    return " ".join(numeral.replace("\u00a0", " ").replace("\u202f", "").split())

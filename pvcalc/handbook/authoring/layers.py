"""The layers of a section: `!!! l-answer`, `!!! l-why`, `??? l-evidence`; and the brief at the head of a chapter.

Inside an answer or a reason every provenance word and citation is taken out of the sentence and gathered in one small
sign behind it, which shows the weakest of them and opens to all. Evidence keeps its marks where they stand.
"""

import re
from dataclasses import dataclass, field
from html import escape

from markdown.extensions.toc import slugify

LAYER = re.compile(r"^(?P<indent>\s*)(?:!!!|\?\?\?\+?)\s+(?P<kind>l-(?:answer|why|evidence))\b")
HEADING = r"^{marks}\s+(?P<text>.+?)\s*(?:\{{[^}}]*#(?P<id>[\w-]+)[^}}]*\}})?\s*$"
SIGNED = ("l-answer", "l-why")
# What was seen least comes first: the sign shows the first of these that stands behind the answer.
WEAKEST_FIRST = ("memory", "practice", "second", "derived", "read")
SIGN_WORDS = {"memory": "recalled", "practice": "practice, not signed", "second": "read second-hand", "derived": "derived",
              "read": "seen in the source"}
CLOSING = ("What can go wrong", "Where documents disagree", "What is not known")  # every chapter ends so; no question
SHOWN = 72  # letters of a sentence that its line under the sign repeats


@dataclass
class Gathered:
    """What stands behind one answer: (first words of the sentence, its marks as HTML, provenance words)."""

    indent: str
    lines: list[tuple[str, str, list[str]]] = field(default_factory=list)

    def add(self, sentence: str, marks: str, seen: list[str]) -> None:
        """Keep one sentence's marks."""
        if marks:
            self.lines.append((sentence, marks, seen))

    def html(self) -> str:
        """The sign, closed; "" when nothing stands behind the answer but settings and formulas."""
        if not self.lines:
            return ""
        words = {word for _, _, seen in self.lines for word in seen}
        weakest = next((word for word in WEAKEST_FIRST if word in words), "read")
        items = "".join(f"<li>{escape(first_words(sentence))} {marks}</li>" for sentence, marks, _ in self.lines)
        return (f'<details class="sign sign--{weakest}" data-search-exclude=""><summary>{SIGN_WORDS[weakest]}</summary>'
                f"<ul>{items}</ul></details>")


def first_words(sentence: str) -> str:
    """The beginning of a sentence without its marks of Markdown, cut at a blank."""
    plain = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", re.sub(r"[*`]|^\s*(?:[-*]|\d+\.)\s+", "", sentence)).strip()
    if len(plain) <= SHOWN:
        return plain
    return plain[:SHOWN].rsplit(" ", 1)[0].rstrip(",;:") + " …"


def layer_of(line: str) -> tuple[str, str] | None:
    """(kind, indent of its content) when a line opens a layer."""
    found = LAYER.match(line)
    return (found["kind"], found["indent"] + "    ") if found else None


def headings(lines: list[str], marks: str = "##") -> dict[str, str]:
    """Anchor to question for every section of a page: its headings outside fences.

    Args:
        marks: which headings, as a pattern; `##` are a chapter's questions, `##+` all below the title.
    """
    return {anchor: text for _, anchor, text in headed(lines, marks)}


def headed(lines: list[str], marks: str):
    """(place among the lines, anchor, text) of every heading outside fences, with the anchors that the page gives them."""
    fence, heading, known = "", re.compile(HEADING.format(marks=marks)), []
    for place, line in enumerate(lines):
        ticks = re.match(r"\s*(`{3,}|~{3,})", line)
        if ticks:
            fence = "" if fence and line.strip().startswith(fence) else fence or ticks[1]
            continue
        match = None if fence else heading.match(line)
        if not match:
            continue
        text = re.sub(r"\[([^\]]*)\]\([^)]*\)|\{[^}]*\}", r"\1", match["text"])
        anchor = match["id"] or slugify(text, "-")
        # A second section of one name gets the number that the table of contents gives it.
        number = sum(1 for other in known if re.fullmatch(re.escape(anchor) + r"(_\d+)?", other))
        known.append(anchor if not number else f"{anchor}_{number}")
        yield place, known[-1], match["text"]


def brief_html(questions: list[tuple[str, str, str]], open_ones: int) -> str:
    """The chapter on one screen: (anchor, question, short answer as HTML); what is beyond `open_ones` is folded."""
    rows = [f'<a href="#{anchor}"><span>{escape(question)}</span> <b>{answer}</b></a>' for anchor, question, answer in questions]
    more = rows[open_ones:]
    folded = (f'<details class="brief__more"><summary>{len(more)} more question{"s" if len(more) > 1 else ""}</summary>{"".join(more)}</details>'
              if more else "")
    return f'<nav class="brief" aria-label="Questions of this chapter, with their answers">{"".join(rows[:open_ones])}{folded}</nav>'


def folded_sources(works: str, count: int) -> str:
    """The list of works at the foot of a chapter in layers: behind one line, as evidence is; a citation opens it."""
    return f'<details class="l-evidence"><summary>{count} work{"s" if count > 1 else ""}</summary>{works}</details>'

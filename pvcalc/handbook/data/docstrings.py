"""Reads a formula's docstring into its parts; the layout is the one DEVELOPERS.md shows."""

import inspect
import re
from dataclasses import dataclass, field

HEADINGS = ("Args", "Returns", "Valid", "Raises", "Not for", "Source", "In words")


@dataclass
class FormulaText:
    """What a formula says about itself.

    Attributes:
        summary: first line, without its full stop.
        latex: the equation, or "".
        in_words: the equation read aloud.
        cautions: further paragraphs, the cautions that belong beside the number.
        arguments: name -> meaning.
        returns, valid, not_for, source: text after those headings.
    """

    summary: str = ""
    latex: str = ""
    in_words: str = ""
    cautions: list[str] = field(default_factory=list)
    arguments: dict[str, str] = field(default_factory=dict)
    returns: str = ""
    valid: str = ""
    raises: str = ""
    not_for: str = ""
    source: str = ""

    @property
    def citations(self) -> list[tuple[str, str]]:
        """(key, locator) pairs of the Source line, in order."""
        return citations_in(self.source)


CITATION = re.compile(r"\[@([a-z0-9_]+)(?:,\s*([^\]]+))?\]")


def citations_in(text: str) -> list[tuple[str, str]]:
    """(key, locator) pairs cited in a text; the locator is "" when none is given."""
    return [(key, (locator or "").strip()) for key, locator in CITATION.findall(text)]


def parse(docstring: str | None) -> FormulaText:
    """Split a docstring into its parts; unknown paragraphs are cautions."""
    text = FormulaText()
    lines = inspect.cleandoc(docstring or "").splitlines()
    blocks = _blocks(lines)
    if blocks:
        text.summary = " ".join(blocks[0]).rstrip(".")
    for block in blocks[1:]:
        _place(text, block)
    return text


def _blocks(lines):
    """Paragraphs, split at blank lines and before every heading."""
    blocks, current = [], []
    for line in lines:
        starts = any(line.startswith(heading + ":") for heading in HEADINGS)
        if (not line.strip() or starts) and current:
            blocks.append(current)
            current = []
        if line.strip():
            current.append(line)
    if current:
        blocks.append(current)
    return blocks


def _place(text, block):
    first = block[0]
    for heading in HEADINGS:
        if first.startswith(heading + ":"):
            rest = [first[len(heading) + 1:]] + block[1:]
            if heading == "Args":
                text.arguments = _arguments(rest)
            else:
                setattr(text, heading.lower().replace(" ", "_"), " ".join(line.strip() for line in rest).strip())
            return
    joined = " ".join(line.strip() for line in block)
    if joined.startswith("$") and joined.endswith("$") and not text.latex:
        text.latex = joined.strip("$").strip()
    else:
        text.cautions.append(joined)


def _arguments(lines):
    meanings, name = {}, ""
    for line in lines:
        found = re.match(r"\s+(\w+):\s*(.*)", line)
        indent = len(line) - len(line.lstrip())
        if found and indent <= 4:
            name = found[1]
            meanings[name] = found[2].strip()
        elif name and line.strip():
            meanings[name] += " " + line.strip()
    return meanings

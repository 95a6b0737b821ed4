"""Inline marks of a sentence: citations, computed numbers, provenance words and mathematics."""

import re
from html import escape

from pvcalc import formula as core
from pvcalc.errors import PvcalcError
from pvcalc.handbook import evaluate, mathml
from pvcalc.handbook.findings import unknown

TOKENS = re.compile(
    r"(?P<code>(?P<ticks>`+).+?(?P=ticks))"
    r"|\[@(?P<key>[^\],\s]+)(?:,\s*(?P<locator>[^\]]+))?\]"
    r"|\[=(?P<computed>[^\]]+)\]"
    r"|\[(?P<mark>practice|memory|derived)\]"
    r"|(?<![\\$])\$\$(?P<display>[^$\n]+)\$\$"
    r"|(?<![\\$])\$(?!\s)(?P<math>[^$\n]+?)(?<!\s)\$")

MARK_WORDS = {
    "read": ("seen in the source", "somebody on the team has seen this in the source named"),
    "memory": ("recalled", "recalled, not seen in a source; confirm before use"),
    "practice": ("practice", "common practice, no single source"),
    "derived": ("derived", "computed for this handbook from numbers that carry their own source"),
}


def mark(word):
    """The visible word for a provenance, with its meaning for those who ask."""
    short, meaning = MARK_WORDS[word]
    return f'<span class="mark mark--{word}" title="{escape(meaning)}">{short}</span>'


class Inline:
    """Converts the marks of one page, noting faults, citations and ledger lines on it."""

    def __init__(self, project, page, store):
        self.project = project
        self.page = page
        self.store = store

    def convert(self, line, number):
        """The line with every mark replaced by finished HTML."""
        return TOKENS.sub(lambda match: self._token(match, number), line)

    def _token(self, match, number):
        if match["code"]:
            return match[0]
        if match["key"]:
            return self.store(self.citation(match["key"], match["locator"], number))
        if match["mark"]:
            return self.store(mark(match["mark"]))
        if match["computed"]:
            html = self._computed(match["computed"].strip(), number)
            return self.store(html) if html else match[0]
        try:
            return self.store(mathml.mathml(match["display"] or match["math"], bool(match["display"])))
        except mathml.MathFault as fault:
            self.page.fault(number, str(fault))
            return match[0]

    def citation(self, key, locator, number):
        """A numbered link to the source, or a noted fault."""
        if key not in self.project.data.sources:
            self.page.fault(number, unknown("source", key, self.project.data.sources))
            return escape(f"[@{key}]")
        if not locator:
            self.page.fault(number, f"[@{key}] needs a locator: page, table, figure, section or abstract")
            return escape(f"[@{key}]")
        return cite(self.project, self.page, key, locator.strip())

    def _computed(self, text, number):
        try:
            shown = evaluate.inline(self.project, self.page, text)
        except (evaluate.Fault, PvcalcError) as fault:
            self.page.fault(number, f"[={text}]: {fault}")
            return None
        return shown


def cite(project, page, key, locator):
    """Note one use of a source on the page and return its link."""
    if key not in page.citations:
        page.citations.append(key)
    page.rests_on.add(("source", key))
    uses = page.uses.setdefault(key, [])
    use_id = f"use-{key}-{len(uses) + 1}"
    uses.append((use_id, locator))
    source = project.data.sources[key]
    number = page.citations.index(key) + 1
    label = f"{short_name(source)}, {locator}"
    return (f'<a class="cite" id="{use_id}" href="#source-{key}" title="{escape(label)}" '
            f'aria-label="Source {number}: {escape(label)}">{number}</a>')


def short_name(source):
    """First author's family name, or the first words of the title, and the year."""
    authors = (source.authors or "").strip()
    first = authors.split(",")[0].strip() if authors and "not shown" not in authors else ""
    words = first.split(" ")
    name = " ".join(word for word in words if not re.fullmatch(r"[A-Z]{1,3}", word)) or source.title or "work"
    if not first:
        name = " ".join((source.title or "work").split(" ")[:5])
    return f"{name} {source.year}"


def full_citation(source):
    """The work as a reader finds it in a library."""
    parts = [source.authors, source.title and source.title.rstrip(".") + ".", source.journal]
    text = " ".join(part.rstrip(".") + "." if index == 0 else part for index, part in enumerate(parts) if part)
    text += f" {source.year}"
    if source.volume:
        text += f";{source.volume}"
    if source.pages:
        text += f":{source.pages}"
    text += "."
    if source.doi:
        text += f" doi {source.doi}."
    if source.pmid:
        text += f" PMID {source.pmid}."
    return text


def sources_list(project, page):
    """The numbered works of a page, each with how far it was seen and the places it is used."""
    items = []
    for key in page.citations:
        source = project.data.sources[key]
        uses = ", ".join(f'<a href="#{use_id}" class="back">{escape(locator)}</a>' for use_id, locator in page.uses[key])
        recalled = ""
        if source.memory:
            recalled = f' <span class="note">Recalled, not seen: {escape(", ".join(source.memory))}.</span>'
        extent = f' <span class="note">Seen: {escape(source.extent)}.</span>' if source.extent else ""
        items.append(
            f'<li id="source-{key}">{escape(full_citation(source))} {mark(source.seen)}{extent}{recalled} '
            f'<span class="uses">Used for: {uses}.</span> '
            f'<a href="{page.up}reference/sources.html#{key}">entry</a></li>')
    return '<ol class="sources">' + "".join(items) + "</ol>"


def fault_words(refusal: core.Refusal | dict) -> str:
    """All sentences of a refusal as one line."""
    faults = refusal["faults"] if isinstance(refusal, dict) else refusal.faults
    return " ".join(sentence for _, sentence in faults)

"""Inline marks of a sentence: citations, computed numbers, provenance words and mathematics."""

import re
from html import escape, unescape
from urllib.parse import quote

from pvcalc.core import formula as core
from pvcalc.core.errors import PvcalcError
from pvcalc.handbook.authoring import compute, mathml, prose
from pvcalc.handbook.data.findings import unknown
from pvcalc.handbook.data.schemas import UNSEEN

TOKENS = re.compile(
    r"(?P<code>(?P<ticks>`+).+?(?P=ticks))"
    r"|\[@(?P<key>[^\],\s]+)(?:,\s*(?P<locator>[^\]]+))?\]"
    r"|\[=(?P<computed>[^\]]+)\]"
    r"|\[(?P<mark>practice|memory|derived)\]"
    r"|\[derived:\s*(?P<sum>[^\]]+)\]"
    r"|(?<![\\$])\$\$(?P<display>[^$\n]+)\$\$"
    r"|(?<![\\$])\$(?!\s)(?P<math>[^$\n]+?)(?<!\s)\$")

MARK_WORDS = {
    "read": ("seen in the source", "somebody on the team has seen this in the source named"),
    "second": ("read second-hand", "read on a page that quotes the work, or in a conversion of it; not in its own print"),
    "memory": ("recalled", "recalled, not seen in a source; confirm before use"),
    "practice": ("practice", "common practice, no single source"),
    "house": ("ours", "the department's own value; the source named prints another"),
    "derived": ("derived", "computed for this handbook from numbers that carry their own source"),
}


GRADE_WORDS = {
    "guideline": "Guideline or house protocol", "primary": "Primary study", "review": "Review", "textbook": "Textbook or formulary",
    "label": "Label or notice of a regulator", "data": "Data set or standard", "software": "Open software",
    "low": "Low grade: a page nobody would cite for a decision",
}


def mark(word):
    """The visible word for a provenance, with its meaning for those who ask."""
    short, meaning = MARK_WORDS[word]
    return f'<span class="mark mark--{word}" data-search-exclude="" title="{escape(meaning)}">{short}</span>'


class Inline:
    """Converts the marks of one page, noting faults, citations and ledger lines on it."""

    def __init__(self, project, page, store):
        self.project = project
        self.page = page
        self.store = store

    def own_value_of_a_cited_sentence(self, line, number):
        """A fault where a line names works and no other ground, and shows a value that no work prints.

        A setting that was read says by itself when the department departed from what its work prints.
        """
        if "[@" not in line or any(f"[{word}]" in line for word in ("practice", "memory", "derived")):
            return
        for match in TOKENS.finditer(line):
            key = (match["computed"] or "").strip()
            setting = self.project.data.settings.get(key)
            if setting and setting.printed is None and setting.kind == "number":
                self.page.fault(number, f"[={key}] is the department's own, and its sentence names works only; add [practice]")

    def convert(self, line, number, gathered=None):
        """The line with every mark replaced by finished HTML.

        Args:
            gathered: where an answer gathers provenance words and citations; they then leave the sentence.
        """
        if "[memory]" not in line and "recalled" not in line:
            for match in TOKENS.finditer(line):
                setting = self.project.data.settings.get((match["computed"] or "").strip())
                if setting and setting.seen == "memory":
                    self.page.fault(number, f"[={match['computed']}] is recalled, and its sentence does not say so; add [memory]")
        self.own_value_of_a_cited_sentence(line, number)
        if "[derived:" in line and "[derived]" not in line:
            self.page.fault(number, "a sum stands in this sentence, and it does not say so; add [derived]")
        made, plain, behind, seen, end = [], [], [], [], 0
        for match in TOKENS.finditer(line):
            before = prose.held(line[end:match.start()])
            end = match.end()
            html = self._html(match, number)
            if gathered is not None and (match["mark"] or match["key"]):
                behind.append(html)
                seen.append(match["mark"] or self.seen_of(match["key"]))
                before = before.rstrip(" ")  # the blank before a mark goes with it
                html = ""
            made += [before, match[0] if html is None else self.store(html) if html else ""]
            plain += [before, match[0] if html is None else unescape(re.sub("<[^>]*>", "", html))]
        made.append(prose.held(line[end:]))
        if gathered is not None:
            gathered.add("".join(plain) + made[-1], " ".join(behind), seen)
        return "".join(made)

    def seen_of(self, key):
        """How far the work behind a citation was seen, as the sign ranks it."""
        source = self.project.data.sources.get(key)
        return source.read_how if source else "memory"

    def _html(self, match, number):
        """The finished HTML of one mark; None for what stays as it was typed: code, or a mark with a noted fault."""
        if match["code"]:
            return None
        if match["key"]:
            return self.citation(match["key"], match["locator"], number)
        if match["mark"]:
            return mark(match["mark"])
        if match["computed"]:
            return self._computed(match["computed"].strip(), number)
        if match["sum"]:
            return self._sum(match["sum"].strip(), number)
        try:
            return mathml.mathml(match["display"] or match["math"], bool(match["display"]))
        except mathml.MathFault as fault:
            self.page.fault(number, str(fault))
            return None

    def citation(self, key, locator, number):
        """A numbered link to the source, or a noted fault."""
        if key not in self.project.data.sources:
            self.page.fault(number, unknown("source", key, self.project.data.sources))
            return escape(f"[@{key}]")
        if not locator:
            self.page.fault(number, f"[@{key}] needs a locator: page, table, figure, section or abstract")
            return escape(f"[@{key}]")
        return cite(self.project, self.page, key, locator.strip())

    def _sum(self, text, number):
        """A sum evaluated; the mark [derived] of its sentence says what it is."""
        try:
            return f'<span class="num" translate="no" title="{escape(text)}">{compute.derived(self.project, self.page, text)}</span>'
        except (compute.Fault, PvcalcError) as fault:
            self.page.fault(number, f"[derived: {text}]: {fault}")
            return None

    def _computed(self, text, number):
        try:
            shown = compute.inline(self.project, self.page, text)
        except (compute.Fault, PvcalcError) as fault:
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
    label = f"{source.short_name}, {locator}"
    return (f'<a class="cite" id="{use_id}" href="#source-{key}" title="{escape(label)}" '
            f'aria-label="Source {number}: {escape(label)}">{number}</a>')


def full_citation(source):
    """The work as a reader finds it in a library; what was not shown is named once, at the end."""
    unseen = [field for field in ("authors", "title", "journal", "year") if getattr(source, field) == UNSEEN]
    text = " ".join(f"{getattr(source, field).rstrip('.')}." for field in ("authors", "title") if field not in unseen)
    issue = " ".join(str(getattr(source, field)) for field in ("journal", "year") if field not in unseen)
    if source.volume:
        issue += f";{source.volume}"
    if source.pages:
        issue += f":{source.pages}"
    text += f" {issue.strip(';: ')}." if issue.strip(";: ") else ""
    if source.doi:
        text += f" doi {source.doi}."
    for field, words in (("pmid", "PMID"), ("pmcid", "PMCID"), ("isbn", "ISBN"), ("number", "Number:")):
        if getattr(source, field):
            text += f" {words} {getattr(source, field)}."
    if unseen:
        named = unseen[0] if len(unseen) == 1 else ", ".join(unseen[:-1]) + " and " + unseen[-1]
        text += f" {named.capitalize()} not shown."
    return text.strip()


ADDRESSES = {"doi": "https://doi.org/", "pmid": "https://pubmed.ncbi.nlm.nih.gov/"}


def linked_citation(source):
    """The full citation as HTML, its DOI and its PubMed number as links that a reader may follow."""
    html = escape(full_citation(source))
    for field, address in ADDRESSES.items():
        number = getattr(source, field)
        if number:
            words = {"doi": f"doi {escape(number)}", "pmid": f"PMID {number}"}[field]
            html = html.replace(words, f'<a class="identifier" rel="external" href="{address}{quote(number)}">{words}</a>')
    return html


def sources_list(project, page):
    """The numbered works of a page, each with how far it was seen and the places it is used."""
    items = []
    for key in page.citations:
        source = project.data.sources[key]
        recalled = ""
        if source.memory:
            recalled = f' <span class="note">Recalled, not seen: {escape(", ".join(source.memory))}.</span>'
        # "Seen: abstract" says more than a badge would, and never contradicts it.
        badge = "" if source.read_how == "read" else f" {mark(source.read_how)}"
        items.append(
            f'<li id="source-{key}">{escape(full_citation(source))}{badge} <span class="note">{GRADE_WORDS[source.grade]}. Seen: {escape(source.extent)}.</span>{recalled} '
            f'<span class="uses">Used for: {_uses(page.uses[key])}. '
            f'<a href="{page.up}reference/sources.html#{key}">Full entry</a></span></li>')
    return (f'<details class="l-evidence"><summary>{len(items)} work{"s" if len(items) > 1 else ""}</summary>'
            '<ol class="sources">' + "".join(items) + "</ol></details>")


def _uses(uses):
    """Links back to every place that used a work; a part that was used often is named once, its places numbered."""
    parts = {}
    for use_id, locator in uses:
        parts.setdefault(locator, []).append(use_id)
    words = []
    for locator, places in parts.items():
        names = [escape(locator)] if len(places) == 1 else [str(number) for number in range(1, len(places) + 1)]
        links = ", ".join(f'<a href="#{place}" class="back">{name}</a>' for place, name in zip(places, names))
        words.append(links if len(places) == 1 else f"{escape(locator)} ({links})")
    return ", ".join(words)


def fault_words(refusal: core.Refusal | dict) -> str:
    """All sentences of a refusal as one line."""
    faults = refusal["faults"] if isinstance(refusal, dict) else refusal.faults
    return " ".join(sentence for _, sentence in faults)

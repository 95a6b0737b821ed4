"""The reviewer's worksheet: every number of a chapter with what it rests on, to be ticked by two readers.

The rows are the ledger's lines of that chapter, no more and no fewer; a page and a CSV file are made from them.
"""

import csv
import io
from dataclasses import dataclass

from pvcalc.core import formula as core
from pvcalc.handbook.authoring import compute, extension, inline
from pvcalc.handbook.checks import signing
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.data.docstrings import citations_in
from pvcalc.handbook.data.entries import split_reference

FOLDER = "worksheets"
RECALLED, PRACTICE, DIFFERS, UNREAD = "recalled", "house practice", "differs from print", "read by nobody"
MARKS = (RECALLED, PRACTICE, DIFFERS, UNREAD)
COLUMNS = ("chapter", "number", "kind", "name", "inputs", "value", "source", "locator", "provenance", "marks",
           "first reader", "second reader")


@dataclass(frozen=True)
class Row:
    """One number of a chapter.

    Attributes:
        kind: formula, setting, series, table or printed; name: what computed it or where it is kept.
        inputs, value: as the ledger writes them.
        cited: (source key, locator) of every work it rests on; words: what stands instead when there is none.
        seen: provenance; marks: those of `MARKS` that apply.
    """

    kind: str
    name: str
    inputs: str
    value: str
    cited: tuple[tuple[str, str], ...]
    words: str
    seen: str
    marks: tuple[str, ...]


def rows(project, slug: str) -> list[Row]:
    """The numbers of a chapter in its own order, each once."""
    page = extension.gathered(project, slug)
    found = {}
    for line, number in zip(page.ledger, page.numbers, strict=True):
        found.setdefault(line, number)
    return [_row(project, number) for number in found.values()]


def _row(project, number):
    reference = number["source"] or ""
    cited = tuple((key, locator or place_not_noted(project, key))
                  for key, locator in citations_in(reference) or [split_reference(reference)] if key in project.data.sources)
    return Row(number["kind"], number["name"], number["inputs"], number["value"], cited,
               "" if cited else _words(reference), number["seen"], tuple(_marks(project, number, cited)))


def place_not_noted(project, key: str) -> str:
    """What stands for a page or table where none was written down: how much of the work was open."""
    return f"place not noted; open was: {project.data.sources[key].extent}"


def _words(reference):
    return {"house": "house rule", "practice": "common practice", "memory": "recalled; no work known"}.get(reference, reference)


def _marks(project, number, cited):
    if number["seen"] == "memory":
        yield RECALLED
    if number["seen"] == "practice":
        yield PRACTICE
    if _differs(project, number):
        yield DIFFERS
    unopened = cited and all(project.data.sources[key].seen != "read" for key, _ in cited)
    if number["seen"] == "memory" or unopened:
        yield UNREAD


def _differs(project, number):
    """True when a print of this very number, or of the formula behind it, is not reproduced."""
    if number["kind"] == "series":
        return bool(project.data.series[number["name"]].differs)
    if number["kind"] == "printed":
        return not compute.outcome(_examples()[number["name"]]).agrees
    if number["kind"] == "formula":
        return any(not compute.outcome(example).agrees for example in project.formulas[number["name"]].printed)
    return False


def _examples():
    return {catalogue.printed_id(example): example for example in core.PRINTED}


ENTRIES = {"formula": "formulas", "setting": "settings", "series": "series", "table": "tables", "printed": "verification"}


def entry_of(row: Row, slug: str) -> str:
    """Address of the entry a number of a chapter belongs to, from the top of the site.

    A line of a case plan has no entry of its own: the plan names formula and source beside it.
    """
    return f"reference/{ENTRIES[row.kind]}.html#{row.name}" if row.kind in ENTRIES else f"{slug}.html"


def as_csv(project, slug: str) -> str:
    """The worksheet as comma-separated text, with empty columns for two readers."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for place, row in enumerate(rows(project, slug), 1):
        works = "; ".join(inline.full_citation(project.data.sources[key]) for key, _ in row.cited) or row.words
        locators = "; ".join(locator for _, locator in row.cited)
        writer.writerow([slug, place, row.kind, row.name, row.inputs, row.value, works, locators, row.seen,
                         "; ".join(row.marks), "", ""])
    return out.getvalue()


def page_sources(project) -> list[tuple[str, str]]:
    """(path below kb/, Markdown) of the worksheet page of every chapter."""
    made = []
    for slug in signing.signable(project):
        head = f"---\ntitle: Worksheet for {slug}\nsearch:\n  exclude: true\n---\n"
        made.append((f"{FOLDER}/{slug}.md", f"{head}# Worksheet: {slug}\n\n```generated\npage: worksheet\n```\n"))
    return made


def sheets(project) -> list[tuple[str, str]]:
    """(path below kb/, chapter) of every CSV file."""
    return [(f"{FOLDER}/{slug}.csv", slug) for slug in signing.signable(project)]

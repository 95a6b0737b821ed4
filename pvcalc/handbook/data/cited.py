"""Where each work is cited: chapters, tables, settings, series, formulas and printed examples; and what the works are like."""

from dataclasses import dataclass

from pvcalc.core import formula as core
from pvcalc.handbook.data.docstrings import citations_in
from pvcalc.handbook.data.entries import split_reference
from pvcalc.handbook.data.schemas import GRADES, UNSEEN

CHAPTER = "chapter"


@dataclass(frozen=True)
class Use:
    """One place that cites a work.

    Attributes:
        kind: chapter, table, setting, series, formula or example; name: its slug, key or name; locator: the part of the work.
    """

    kind: str
    name: str
    locator: str


def uses(project) -> dict[str, list[Use]]:
    """Every use of every work, by its key; a work that nothing cites has an empty list."""
    found = {key: [] for key in project.data.sources}
    for kind, name, reference in _references(project):
        for key, locator in citations_in(reference) or [split_reference(reference)]:
            if key in found:
                found[key].append(Use(kind, name, locator))
    return found


def _references(project):
    """(kind, name, reference) of everything that names a work; a reference is `key, locator` or text with citations."""
    for path in project.chapters:
        slug = path.relative_to(project.root / "kb").as_posix().removesuffix(".md")
        for line in path.read_text(encoding="utf-8").splitlines():
            if "[@" in line:
                yield CHAPTER, slug, line
    for name, table in project.tables.items():
        rows = [table, *table["rows"], *(table.get("cautions") or [])]
        yield from (("table", name, reference) for reference in dict.fromkeys(one["source"] for one in rows))
    yield from (("setting", key, setting.source) for key, setting in project.data.settings.items())
    yield from (("series", key, series.source) for key, series in project.data.series.items())
    for name, entry in project.formulas.items():
        yield "formula", name, entry.formula.source
        if "[@" in (entry.formula.function.__doc__ or ""):
            yield "formula", name, entry.formula.function.__doc__
    for example in core.PRINTED:
        yield "example", example.formula.name, f"{example.source}, {example.locator}"


def subject_of(places: list[Use]) -> str:
    """Slug of the chapter that cites a work most; "" for one that stands behind data and formulas only."""
    slugs = [use.name for use in places if use.kind == CHAPTER]
    return max(sorted(set(slugs)), key=slugs.count) if slugs else ""


def summary(project) -> dict:
    """Counts of the works by grade and by how they were read, and what is missing of them.

    Returns a dict: `works`, `by_grade`, `by_seen`, `identified` (an identifier, or journal, volume and page), `without_title`,
    `not_findable` (neither identified nor argued), `found_by` (the arguments), `uncited`.
    """
    works = project.data.sources
    count = {word: sum(1 for work in works.values() if work.read_how == word) for word in core.SEEN}
    return {
        "works": len(works),
        "by_grade": {grade: sum(1 for work in works.values() if work.grade == grade) for grade in GRADES},
        "by_seen": {word: number for word, number in count.items() if number},
        "identified": sum(1 for work in works.values() if work.identified),
        "without_title": sorted(key for key, work in works.items() if work.title == UNSEEN),
        "not_findable": sorted(key for key, work in works.items() if not work.identified and not work.found_by),
        "found_by": {key: work.found_by for key, work in sorted(works.items()) if not work.identified},
        "uncited": sorted(key for key, places in uses(project).items() if not places),
    }

"""The page of sources, by subject: each work, its grade, what of it was seen, who read it again, how a reader finds it."""

from html import escape

from pvcalc.handbook.authoring import inline
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters, table
from pvcalc.handbook.data import cited

HEADS = ["Work", "Key", "Grade", "Seen", "What was seen", "Second reading", "Notes"]
BEHIND = "Behind data, formulas and examples only"


@generated("sources")
def sources_page(project, page):
    """Every work under the chapter that cites it most; those that a library finds by an identifier come first."""
    works, places = project.data.sources, cited.uses(project)
    titles = {path.relative_to(project.root / "kb").as_posix().removesuffix(".md"): _title(path) for path in project.chapters}
    groups = {}
    for key in works:
        groups.setdefault(titles.get(cited.subject_of(places[key]), BEHIND), []).append(key)
    parts = []
    for title in sorted(groups, key=lambda title: (title == BEHIND, title)):
        keys = sorted(groups[title], key=lambda key: (not works[key].identified, works[key].short_name.lower(), key))
        rows = [_row(project, page, key) for key in keys]
        marks = [{"id": key, "data-grade": works[key].grade, "data-seen": works[key].read_how} for key in keys]
        parts.append(f"<h2>{escape(title)}</h2>{table(HEADS, rows, '', marks)}")
    found = cited.summary(project)
    return (f"<p>{found['works']} works. {found['identified']} have an identifier, or a journal with volume and page; for each of the "
            f"other {len(found['found_by'])} its row says how it is found. Each is cited as a work, never as the address of a copy. "
            "“Seen” says how much of it somebody on the team has read, “second reading” what came of it when somebody else read it again."
            f'</p><p>For your own list: <a href="{page.up}downloads/sources.json">all works as CSL-JSON</a> or '
            f'<a href="{page.up}downloads/sources.bib">as BibTeX</a>.</p>'
            + filters("source-rows", [("grade", "Grade", [grade for grade, number in found["by_grade"].items() if number]),
                                      ("seen", "Seen", list(found["by_seen"]))])
            + f'<div id="source-rows">{"".join(parts)}</div>')


def _title(path):
    """First heading of a chapter."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return next((line[2:].strip() for line in lines if line.startswith("# ")), path.stem)


def _row(project, page, key):
    source = project.data.sources[key]
    recalled = f"Recalled: {', '.join(source.memory)}." if source.memory else ""
    found = f"Found by: {source.found_by[0].lower()}{source.found_by[1:].rstrip('.')}." if source.found_by and not source.identified else ""
    notes = " ".join(part for part in (found, recalled, source.note or "") if part)
    return [inline.linked_citation(source), f"<code>{key}</code>", escape(source.grade), inline.mark(source.read_how),
            escape(source.extent), reading_words(project, page, key), escape(notes)]


def reading_words(project, page, key):
    """What came of the second reading, and of what; "" for a work that nobody read again."""
    reading = project.data.readings.get(key)
    if reading is None:
        return ""
    count = len(reading.against)
    words = f"{reading.verdict}, {reading.read_on.isoformat()}, by the {reading.by}; {count} place{'s' if count > 1 else ''} held against it"
    return (f'<a href="{page.up}reference/provenance.html#second-reading">{escape(words)}</a>'
            + (f" {escape(reading.note)}" if reading.note else ""))

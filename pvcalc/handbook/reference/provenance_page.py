"""The page that counts how far everything was seen, and lists what still has to be confirmed."""

from html import escape

from pvcalc.core import formula as core
from pvcalc.handbook.authoring import inline
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters, table
from pvcalc.handbook.data.docstrings import citations_in
from pvcalc.handbook.data.entries import split_reference


def records(project):
    """Everything that carries a provenance: (topic, what, name, seen, reference)."""
    for entry in project.formulas.values():
        yield entry.topic, "formula", entry.name, entry.formula.seen, entry.text.source
        for example in entry.printed:
            yield entry.topic, "printed example", f"{entry.name} {example.fact}", example.seen, f"{example.source}, {example.locator}"
    for key, setting in project.data.settings.items():
        yield setting.topic, "setting", key, setting.provenance, setting.source
    for key, series in project.data.series.items():
        yield "series", "series", key, series.seen, series.source
    for name, raw in project.tables.items():
        for row in raw["rows"]:
            yield f"table: {raw.get('topic', name)}", "table row", f"{name} {row.get('id', '')}", row.get("seen", raw.get("seen")), row.get("source", raw.get("source", ""))


@generated("provenance")
def provenance_page(project, page):
    """Counts by topic, then every recalled number with what to open."""
    counts, recalled = {}, []
    for topic, what, name, seen, reference in records(project):
        row = counts.setdefault(topic, dict.fromkeys(core.SEEN, 0))
        row[seen] = row.get(seen, 0) + 1
        if seen == "memory":
            recalled.append((topic, what, name, reference))
    heads = ["Topic", *(inline.MARK_WORDS[word][0] for word in core.SEEN)]
    rows = [[escape(topic)] + [str(row[word]) for word in core.SEEN] for topic, row in sorted(counts.items())]
    totals = ["<strong>all</strong>"] + [f"<strong>{sum(row[word] for row in counts.values())}</strong>" for word in core.SEEN]
    return ("<p>Counted over formulas, printed examples, settings, series and table rows. A recalled number is shown with that "
            "word, stays out of every plan, and waits here for somebody with the source in hand.</p>"
            + table(heads, rows + [totals], "counts")
            + f'<h2 id="to-confirm">To confirm: {len(recalled)}</h2>'
            + table(["Topic", "What", "Name", "Open this"],
                    [[escape(topic), what, f"<code>{escape(name)}</code>", _to_open(project, reference)]
                     for topic, what, name, reference in recalled], "confirm")
            + second_reading(project, page))


def second_reading(project, page):
    """Works that somebody else opened again: how many, and each with its verdict and what was held against it."""
    readings = project.data.readings
    counts = {}
    for reading in readings.values():
        counts[reading.verdict] = counts.get(reading.verdict, 0) + 1
    told = ", ".join(f"{verdict} {number}" for verdict, number in sorted(counts.items()))
    rows = [[f'<a href="{page.up}reference/sources.html#{key}"><code>{key}</code></a> {escape(project.data.sources[key].short_name)}',
             escape(reading.verdict), escape("; ".join(reading.against)),
             f"{reading.read_on.isoformat()}, {escape(reading.by)}", escape(reading.note or "")] for key, reading in readings.items()]
    marks = [{"data-verdict": reading.verdict} for reading in readings.values()]
    return (f'<h2 id="second-reading">Second reading: {len(readings)} works</h2><p>Somebody else opened a work again and held it against what '
            "the handbook says by it: the text carries it, the handbook was mended after it, or the text was not found. "
            f"So far: {escape(told)}. A work that is not listed was read once.</p>"
            + filters("reading-rows", [("verdict", "Verdict", sorted(counts))])
            + f'<div id="reading-rows">{table(["Work", "Verdict", "Held against it", "When, by whom", "Open"], rows, "", marks)}</div>')


def _to_open(project, reference):
    cited = citations_in(reference or "") or [split_reference(reference or "")]
    works = [inline.full_citation(project.data.sources[key]) + f" {locator}" for key, locator in cited if key in project.data.sources]
    return escape("; ".join(works) or (reference if reference and "[@" not in reference else "no source known; ask who recalled it"))

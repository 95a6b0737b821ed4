"""The page of a reviewer's worksheet; its rows come from `pvcalc.handbook.checks.worksheet_rows`."""

from html import escape

from pvcalc.handbook.authoring import inline
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters, table
from pvcalc.handbook.checks import worksheet_rows

HEADS = ["No.", "Number", "Value", "Source and place", "Provenance", "First reader", "Second reader"]
MOST_OF_A_VALUE = 400  # a list of every balloon passed over has 30,000 characters: eight sheets of one narrow column
BOX = '<span class="tick-box" role="img" aria-label="empty box"></span>'


@generated("worksheet")
def worksheet_page(project, page):
    """Every number of the chapter whose address the page carries."""
    slug = page.slug.removeprefix(worksheet_rows.FOLDER + "/")
    rows = worksheet_rows.rows(project, slug)
    name = slug.rsplit("/", 1)[-1]
    return (f'<p>Every computed number of <a href="{page.up}{slug}.html">{escape(slug)}</a>, {len(rows)} in all, as in the ledger. '
            "Open the source at the place named, write down what it says, and only then look at ours; the second reader does "
            "the same without seeing the first. A number without a work is judged by the department.</p>"
            f'<p><a href="{escape(name)}.csv" download="">The same as a CSV file</a> · print this page for paper · '
            f'<a href="{page.up}reference/signatures.html">signatures</a></p>'
            + filters("worksheet-rows", [("marks", "Only", list(worksheet_rows.MARKS)),
                                         ("seen", "Provenance", sorted({row.seen for row in rows})),
                                         ("kind", "Kind", sorted({row.kind for row in rows}))])
            + f'<div id="worksheet-rows">{_rows(project, page, slug, rows)}</div>')


def _rows(project, page, slug, rows):
    cells, attributes, name = [], [], slug.rsplit("/", 1)[-1]
    for place, row in enumerate(rows, 1):
        given = f"<br>{escape(row.inputs)}" if row.inputs else ""
        marks = "".join(f"<br><strong>{escape(mark)}</strong>" for mark in row.marks)
        cells.append([str(place), f'{escape(row.kind)} <a href="{page.up}{worksheet_rows.entry_of(row, slug)}"><code>{escape(row.name)}</code></a>{given}',
                      _value(row, name), _places(project, page, row), inline.mark(row.seen) + marks, BOX, BOX])
        attributes.append({"data-seen": row.seen, "data-kind": row.kind, "data-marks": "|".join(row.marks)})
    return table(HEADS, cells, "worksheet", attributes)


def _value(row, name):
    """The value as the ledger has it; a long one ends after a whole part and leads to the file that holds the rest."""
    value = row.value.replace("_", " ")
    if len(value) <= MOST_OF_A_VALUE:
        return escape(value)
    begun = value[:MOST_OF_A_VALUE].rpartition(", ")[0]
    return f'{escape(begun)} … <a href="{escape(name)}.csv" download="">all {len(value)} characters in the CSV file</a>'


def _places(project, page, row):
    if not row.cited:
        return escape(row.words)
    return "<br>".join(f"{inline.cite(project, page, key, locator)} "
                       f"{escape(project.data.sources[key].short_name)}, {escape(locator)}"
                       for key, locator in row.cited)

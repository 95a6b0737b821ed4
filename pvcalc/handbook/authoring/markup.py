"""Small pieces of HTML that every generated page is made of."""

import json
import re
from html import escape


def table(heads, rows, kind="", row_attributes=None):
    """A table that scrolls by itself when it is wide and turns into cards when it is narrow.

    Args:
        heads: column headings, as text.
        rows: lists of cells, each finished HTML.
        kind: extra class names of the table.
        row_attributes: for each row a dict of attributes such as {"data-topic": "sizing", "id": "x"}.

    `compared` in `kind` keeps it a table on a telephone too: rows that are compared must not stand screens apart.
    A column that no row fills is left out: on a telephone its heading would stand alone in every card.
    """
    kept = [place for place in range(len(heads)) if place == 0 or not rows or any(row[place].strip() for row in rows if place < len(row))]
    heads, rows = [heads[place] for place in kept], [[row[place] for place in kept if place < len(row)] for row in rows]
    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in heads)
    body = []
    for place, row in enumerate(rows):
        given = (row_attributes[place] if row_attributes else {}) or {}
        attributes = "".join(f' {key}="{escape(str(value))}"' for key, value in given.items())
        cells = "".join(f'<td data-label="{escape(label)}"{_wordy(cell)}>{cell}</td>' for label, cell in zip(heads, row))
        body.append(f"<tr{attributes}>{cells}</tr>")
    classes = kind if "compared" in kind else ("cards " + kind).strip()
    label = escape("Table: " + ", ".join(heads[:3]))
    return (f'<div class="table-wrap" data-search-exclude="" role="group" tabindex="0" aria-label="{label}"><table class="{classes}">'
            f"<thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table></div>")


def _wordy(cell):
    """A class for a cell that holds a sentence, so that it is not squeezed into a column of single words."""
    return ' class="wordy"' if len(re.sub("<[^>]*>", "", cell)) > 40 else ""


def paragraph(text):
    """One paragraph of plain text."""
    return f"<p>{escape(text)}</p>"


def code(text):
    """A name as code."""
    return f"<code>{escape(text)}</code>"


def breakable(text):
    """Plain text whose long names may go on in the next line after _ or /: none is wider than its column on paper."""
    return escape(text).replace("_", "_<wbr>").replace("/", "/<wbr>")


def filters(target, groups):
    """Choices that narrow a table down; the page's script wires them, without it every row shows.

    Args:
        target: id of the element that holds the table.
        groups: (attribute, legend, values) for each filter, such as ("topic", "Topic", ["sizing"]).
    """
    selects = []
    for attribute, legend, values in groups:
        options = "".join(f'<option value="{escape(value)}">{escape(value)}</option>' for value in values)
        selects.append(f'<label>{escape(legend)} <select data-filter="{attribute}"><option value="">all</option>{options}'
                       "</select></label>")
    return f'<div class="filter" data-search-exclude="" data-filters="{target}" hidden>{"".join(selects)}<output></output></div>'


def empty_fields(offer):
    """Where the page's script builds empty fields; `offer` says which. Nothing shows without the script.

    In single quotes: JSON is full of double ones, and each would take six letters.
    """
    return f"""<div class="try" data-try='{empty_offer(offer)}'></div>"""


def empty_offer(offer):
    """What a script is offered, as JSON for an attribute in single quotes."""
    text = json.dumps(offer, ensure_ascii=False, separators=(",", ":"))
    return escape(text, quote=False).replace("'", "&#39;")

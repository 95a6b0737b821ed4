"""The page that audits a file: the place of its form, and the columns it takes."""

import json
from html import escape

from pvcalc.audit import steps
from pvcalc.audit.counts import measure_words
from pvcalc.audit.definitions import DEFINITIONS, QUANTITIES
from pvcalc.audit.over_time import EVENTS
from pvcalc.core.formula import listing
from pvcalc.core.units import show_input, with_unit
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import code, table
from pvcalc.handbook.data.audit_columns import schema


@generated("audit_form")
def form_html(project, page) -> str:
    """The place where a page lets its reader choose a file; the script builds the form."""
    tables = project.tables
    offer = {"definitions": [[name, f"{tables[name]['title']} ({tables[name]['document']})"] for name, _, _ in DEFINITIONS],
             "events": [[name, measure_words(name)] for name in EVENTS], "quantities": sorted(QUANTITIES.items()),
             "schema": schema(project.root), "errors": steps.ERRORS, "most_rows": steps.MOST_ROWS_OF_A_PAGE}
    return (f'<div class="audit" id="audit" data-audit="{escape(json.dumps(offer, ensure_ascii=False))}"><p class="notice--missing">Choosing a file needs '
            "scripts. Without them: <code>python -m pvcalc audit FILE.csv --out DIR</code>.</p></div>")


@generated("audit_columns")
def columns_html(project, page) -> str:
    """The columns of an audit file as a table."""
    known = schema(project.root)
    rows = [[code(name), escape(_words(column)), escape(allowed(name, column)), "yes" if name in known["required"] else ""]
            for name, column in ((name, known["properties"][name]) for name in known["columnOrder"])]
    return table(["Column", "What", "Allowed", "Needed"], rows, "columns")


def _words(column):
    return column["title"] + (f" ({column['description']})" if "description" in column else "")


def allowed(name, column) -> str:
    """What a column takes, in words."""
    if "enum" in column:
        return listing(column["enum"])
    if column.get("format") == "date":
        return "a date such as 2024-03-31"
    if column["type"] == "string":
        return f"up to {column['maxLength']} letters"
    return f"{show_input(column['minimum'])} to {with_unit(show_input(column['maximum']), name)}"

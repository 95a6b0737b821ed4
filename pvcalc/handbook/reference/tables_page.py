"""The page of decision tables: every document's rows, each table with an address of its own."""

from html import escape

from pvcalc.decision import binding
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters
from pvcalc.handbook.authoring.table_fence import rows_html


@generated("tables")
def tables_page(project, page):
    """Every decision table, by topic; documents that disagree stand side by side, never averaged."""
    topics = {}
    for table in project.tables.values():
        topics.setdefault(table["topic"], []).append(table)
    for table in project.written.values():
        page.ledger += table_lines(table)
    rows = sum(len(table["rows"]) for table in project.tables.values())
    parts = [f"<p>{len(project.tables)} tables with {rows} rows. Each document keeps its own table, its edges as it prints them. "
             "“Silent” means that the document has no row for such a patient; “not seen” that nobody here has read its text.</p>",
             filters("all-tables", [("seen", "Seen", ["read", "second", "memory", "practice"])]), '<div id="all-tables">']
    for topic, tables in topics.items():
        parts.append(f'<h2 id="topic-{escape(topic)}">{escape(topic.replace("_", " ").capitalize())}</h2>')
        parts += [f'<section class="entry" id="{table["name"]}" data-seen="{table["seen"]}">'
                  f'<h3>{escape(table["document"])}: {escape(table["title"])}</h3>{rows_html(project, page, table, named=True)}</section>'
                  for table in tables]
    return "".join(parts) + "</div>"


def table_lines(table) -> list[str]:
    """Ledger lines of one table as written: who it is for, each sentence that is not a row's, then one line a row.

    A row's line holds its conditions with every cut-off, its answer with class, level and advice, its note, and where it
    was seen: a word moved in any of them moves the ledger.
    """
    name, lines = table["name"], []
    for what in ("document", "population", "policy", "applies", "optional", "silent", "mark", "superseded_by", "superseded_on"):
        if table.get(what):
            lines.append((name, what, _plain(table[what])))
    lines.append((name, "seen", f"{table['seen']}, {table['source']}"))
    lines += [(name, " ".join(str(step) for step in steps), text) for steps, text in binding.texts_of(table)
              if steps[0] not in ("rows", "cautions", "population", "silent", "mark")]
    lines += [(f"{name} caution", _plain(one["when"]), f"{one['text']} {one['source']}") for one in table.get("cautions") or []]
    lines += [(f"{name} {row['id']}", _conditions(row), _says(row)) for row in table["rows"]]
    return [" | ".join(["reference/tables", "table", one, what, " ".join(text.split())]) for one, what, text in lines]


def _plain(value):
    """Conditions or words of a table in one line."""
    if isinstance(value, dict):
        return ", ".join(f"{name} {_plain(value[name])}" for name in value)
    return " or ".join(value) if isinstance(value, list) else str(value)


def _conditions(row):
    parts = [_plain(row["when"])] if row.get("when") else []
    if row.get("any"):
        parts.append("any of: " + "; ".join(_plain(branch) for branch in row["any"]))
    if row.get("at_least"):
        criteria = [" or ".join(_plain(branch) for branch in binding.alternatives(one)) for one in row["at_least"]["of"]]
        parts.append(f"at least {row['at_least']['count']} of: " + "; ".join(criteria))
    return "; ".join(parts) or "otherwise"


def _says(row):
    then = "; ".join(f"{name}={value}" for name, value in row["then"].items())
    seen = ", ".join([row["seen"], *(f"{field} {row[field]}" for field in ("class_seen", "limits_seen") if row.get(field))])
    return f"{then}; {row['source']} ({seen})" + (f"; note: {row['note']}" if row.get("note") else "")

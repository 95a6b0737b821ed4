"""The page of decision tables: every document's rows, each table with an address of its own."""

from html import escape

from pvcalc.handbook.markup import filters


def tables_page(project, page):
    """Every decision table, by topic; documents that disagree stand side by side, never averaged."""
    from pvcalc.handbook.documents import rows_html
    topics = {}
    for table in project.tables.values():
        topics.setdefault(table["topic"], []).append(table)
    rows = sum(len(table["rows"]) for table in project.tables.values())
    parts = [f"<p>{len(project.tables)} tables with {rows} rows. Each document keeps its own table, its edges as it prints them. "
             "“Silent” means that the document has no row for such a patient; “not seen” that nobody here has read its text.</p>",
             filters("all-tables", [("seen", "Seen", ["read", "memory", "practice"])]), '<div id="all-tables">']
    for topic, tables in topics.items():
        parts.append(f'<h2 id="topic-{escape(topic)}">{escape(topic.replace("_", " ").capitalize())}</h2>')
        parts += [f'<section class="entry" id="{table["name"]}" data-seen="{table["seen"]}">'
                  f'<h3>{escape(table["document"])}: {escape(table["title"])}</h3>{rows_html(project, page, table, named=True)}</section>'
                  for table in tables]
    return "".join(parts) + "</div>"

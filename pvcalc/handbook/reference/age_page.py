"""The page of what falls due when, and of advice that was replaced."""

from html import escape

from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters, table
from pvcalc.handbook.checks import review_dates


@generated("age")
def age_page(project, page):
    """What falls due, soonest first; then the documents that were superseded, each still at its address."""
    due = review_dates.list_due(project)
    rows = [[f'<time datetime="{one.on.isoformat()}">{one.on.isoformat()}</time> <strong class="due__past" hidden>past</strong>',
             escape(one.what) + (f" ({one.count})" if one.what.startswith("rows") else ""),
             f'<a href="{page.up}{one.href}"><code>{escape(one.name)}</code></a>', escape(one.why)] for one in due]
    marks = [{"data-due": one.on.isoformat(), "data-kind": one.what, "data-why": one.why} for one in due]
    unread, read = (project.data.settings[f"review_{word}_months"].value for word in ("unread", "read"))
    return (f"<p>The unit of review is the row, the setting or the result. What rests on opinion, habit or memory falls due after "
            f"{unread} months, what was read in its document after {read}. A document with a day of its own counts from it, any other from the "
            "day this edition was entered. Which rows are past is judged by the clock of the device in your hand.</p>"
            '<p data-due-count="" role="status"></p>'
            + filters("due-rows", [("kind", "Kind", sorted({one.what for one in due})), ("why", "Rests on", sorted({one.why for one in due}))])
            + f'<div id="due-rows">{table(["Due", "What", "Name", "Rests on"], rows, "due", marks)}</div>'
            + '<h2 id="superseded">Superseded, and kept</h2><p>An old document keeps its address and its rows, so that a decision made '
            "under it can be read again; each says what replaced it.</p>"
            + table(["Document", "Replaced by", "On"], [_old(page, one) for one in review_dates.superseded(project)], "superseded"))


def _old(page, one):
    return [f'<a href="{page.up}reference/tables.html#{one["name"]}">{escape(one["document"])}: {escape(one["title"])}</a>',
            escape(one["superseded_by"]), escape(str(one.get("superseded_on") or "day not recorded"))]

"""How long each piece of advice may stand before somebody looks at it again.

The unit is the row of a document, a setting or a published result, never the book. What rests on opinion, habit
or memory is looked at within `review_unread_months`, what was read within `review_read_months`.
Every date follows from the data, so that one commit gives one page; what is past, the reader's own clock says.
"""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date

OPINION = ("C", "C-EO", "opinion", "expert")  # levels of evidence that are agreement, not observation


@dataclass(frozen=True, order=True)
class Due:
    """Something that falls due.

    Attributes:
        on: the day; what: kind of thing; name: its key; href: its entry, from the top of the site;
        why: the evidence that sets the interval; count: how many rows of it.
    """

    on: date
    what: str
    name: str
    href: str
    why: str
    count: int


def after(start: date, months: int) -> date:
    """The same day so many months on, or the last day of a shorter month."""
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    return date(year, month + 1, min(start.day, monthrange(year, month + 1)[1]))


def evidence_of(row: dict) -> str:
    """What a row of a decision table rests on: "opinion, habit or memory" or "read in its document"."""
    level = str(row["then"].get("level") or "")
    if row["seen"] in ("memory", "practice") or level in OPINION:
        return "opinion, habit or memory"
    return "read in its document"


def list_due(project) -> list[Due]:
    """Everything that falls due, soonest first."""
    settings = project.data.settings
    months = {"opinion, habit or memory": settings["review_unread_months"].value,
              "read in its document": settings["review_read_months"].value}
    # A document without a day of its own counts from the day the intervals were decided, when this edition was entered.
    entered = settings["review_read_months"].decided_on
    found = []
    for name, table in project.tables.items():
        read_on = date.fromisoformat(table["read_on"]) if table.get("read_on") else entered
        counts = {}
        for row in table["rows"]:
            counts[evidence_of(row)] = counts.get(evidence_of(row), 0) + 1
        found += [Due(after(read_on, months[why]), "rows of a document", name, f"reference/tables.html#{name}", why, count)
                  for why, count in counts.items()]
    for key, setting in settings.items():
        why = "read in its document" if setting.provenance in ("read", "second") else "opinion, habit or memory"
        found.append(Due(setting.review_by, "setting", key, f"reference/settings.html#{key}", why, 1))
    for key, series in project.data.series.items():
        why = "read in its document" if series.seen in ("read", "second", "derived") else "opinion, habit or memory"
        found.append(Due(after(entered, months[why]), "published result", key, f"reference/series.html#{key}", why, 1))
    for slug, signature in project.data.signoff.items():
        found.append(Due(signature.review_by, "signed chapter", slug, f"{slug}.html", f"signed by the {signature.role}", 1))
    return sorted(found)


def superseded(project) -> list[dict]:
    """Tables of documents that another has replaced, in the order of their names; each stays at its address."""
    return [project.tables[name] for name in sorted(project.tables) if project.tables[name].get("superseded_by")]

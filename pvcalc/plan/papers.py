"""What is written from a plan when somebody asks: report, letter, register row and outline to teach from. Loaded only then."""

from pvcalc.core.errors import PvcalcError
from pvcalc.decision.binding import bound_data
from pvcalc.plan.case import plan
from pvcalc.plan.outline import outline, outline_text
from pvcalc.plan.register import csv_text, row
from pvcalc.plan.report import letter_text, report, report_text

KINDS = ("report", "letter", "outline", "row")


def paper(data, made, kind, attempt="", date=""):
    """The text of one paper.

    Args:
        data: the handbook's data; made: a plan; kind: one of `KINDS`; attempt, date: for a row.
    Raises: PvcalcError naming what a row needs.
    """
    if kind == "row":
        return csv_text(row(made, attempt, date))
    if kind == "outline":
        return outline_text(outline(bound_data(data), made))
    parts = report(bound_data(data), made)
    return letter_text(parts) if kind == "letter" else report_text(parts)


def answer(data, asked):
    """A paper as a page asks for it: `paper` (its kind), `given`, and for a row `attempt` and `date`.

    Returns {"ok": true, "text"} or {"ok": false, "faults": [(field, sentence)]}.
    """
    try:
        made = plan(data, asked.get("given") or {})
        return {"ok": True, "text": paper(data, made, asked["paper"], asked.get("attempt") or "", asked.get("date") or "")}
    except PvcalcError as refusal:
        return {"ok": False, "faults": getattr(refusal, "faults", [("", str(refusal))])}

"""The audit of a programme: rows of an audit file in, one result out, the same on a page and in a terminal.

Three steps, so that a page can go in pieces and stop: `audit_csv.read` parts the file into rows, `check` makes cases of
rows, `audit` counts them. Nothing is guessed: what is blank is not known, and is counted as that.
"""

from pvcalc import audit_counts, audit_follow
from pvcalc.audit_csv import fault_words, read
from pvcalc.audit_definitions import Judge
from pvcalc.audit_rows import Reader, case_of, together
from pvcalc.audit_text import sections
from pvcalc.audit_unsure import sentences
from pvcalc.errors import NotUnderstood

MOST_ROWS_OF_A_PAGE = 5000
OUTER_CONFIDENCE = 0.998  # the wide limits of a funnel
ERRORS = 0.1  # alpha and beta of a chart when nobody chooses others; they are printed with it
FUNNEL_MEASURES = ("serious",)


def completed(options):
    """The options with what may stand in by itself: the errors of a chart and the kind of gradient, never a rate."""
    made = {"alpha": ERRORS, "beta": ERRORS, "quantity": "catheter"}
    for name in options:
        if options[name] is not None:
            made[name] = options[name]
    return made


def check(data, schema, header, rows, options, reader=None, judge=None):
    """Rows as cases.

    Args:
        data: the handbook's data (`tables`); schema: the column schema; header, rows: from `audit_csv.read`;
        options: see `audit_follow.options_of`; reader, judge: of an earlier piece of the same file.
    Returns (cases, bad): the good rows as dicts (`audit_rows.case_of`), and every fault of the others.
    """
    reader = reader or Reader(schema, header)
    judge = judge or Judge(data["tables"], completed(options)["quantity"])
    cases, bad = [], []
    for line, cells in rows:
        values, faults = reader.values(line, cells)
        faults += together(line, values, [one["column"] for one in faults])
        if faults:
            bad += faults
        else:
            cases.append(case_of(line, values, judge))
    return cases, bad


def audit(data, cases, options, left_out=0, absent=()):
    """Everything the report shows, as numbers.

    Args:
        data: settings, tables, series and statistics of the handbook.
        cases: from `check`; options: see `audit_follow.options_of`.
        left_out: rows at fault that were left out on purpose; absent: columns that the file does not have.
    Returns a dict: `cases`, `left_out`, `absent`, `first_day`, `last_day`, `confidence`, `options`, `strata`, `rates`,
        `definitions`, `benchmarks`, `years` (for the funnel), `charts`, `follow_up`, `reasons`, `medians`, `cannot_show`.
    Raises: Refusal when the options contradict each other, or there is no case.
    """
    options = completed(options)
    wanted = audit_follow.options_of(options)
    if not cases:
        raise NotUnderstood([("", "No row of the file is good: there is nothing to count.")])
    confidence = data["settings"]["interval_confidence"]
    ordered = sorted(cases, key=lambda case: (case["day"], case["line"]))
    grouped = audit_counts.groups(ordered)
    result = {
        "cases": len(cases), "left_out": left_out, "absent": list(absent), "confidence": confidence, "options": options,
        "outer_confidence": OUTER_CONFIDENCE, "first_day": ordered[0]["day"], "last_day": ordered[-1]["day"],
        "strata": audit_counts.strata(grouped), "rates": audit_counts.rates(grouped, confidence),
        "definitions": audit_counts.definitions(grouped, data["tables"], confidence),
        "benchmarks": audit_counts.benchmarks(data, grouped, confidence, OUTER_CONFIDENCE),
        "years": [(measure, audit_counts.by_year(ordered, measure)) for measure in FUNNEL_MEASURES],
        "charts": [audit_follow.chart(ordered, chart) for chart in wanted],
        "follow_up": audit_follow.follow_up(data, ordered, confidence),
        "reasons": audit_counts.reasons_words(ordered), "medians": audit_counts.medians(ordered),
    }
    result["cannot_show"] = sentences(result)
    return result


def answer(data, request):
    """One step of an audit on a page (see the module).

    Args:
        data: the handbook's data; request: `step` (read, check or report) with `schema`, and `text`, or `header`, `rows`
            and `options`, or `cases`, `options`, `left_out` and `absent`.
    Returns a dict with `ok`; faults of rows also as sentences (`told`).
    Raises: Refusal.
    """
    step = request["step"]
    if step == "read":
        found = read(request["text"], request["schema"])
        count = len(found["rows"]) + len(found["bad"])
        if count > MOST_ROWS_OF_A_PAGE:
            raise NotUnderstood([("", "The file has " + str(count) + " rows; a page takes " + str(MOST_ROWS_OF_A_PAGE)
                                  + ". Use the command line: python -m pvcalc audit FILE.csv --out DIR.")])
        found["ok"], found["told"] = True, [fault_words(one) for one in found["bad"]]
        return found
    if step == "check":
        cases, bad = check(data, request["schema"], request["header"], request["rows"], request["options"])
        return {"ok": True, "cases": cases, "bad": bad, "told": [fault_words(one) for one in bad]}
    result = audit(data, request["cases"], request["options"], request["left_out"], request["absent"])
    return {"ok": True, "sections": sections(result)}

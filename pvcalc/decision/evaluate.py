"""Decision tables: what one document says about one patient, and what it does not say.

A table is a dict (see `kb/_data/_tables`): `name`, `title`, `document`, `topic`, `source`, `seen`, `population`,
`policy` ("first" or "only-one"), `asks_for`, `rows`, and where they apply `applies`, `choices`, `optional`, `means`,
`assumes`, `cautions`, `silent`, `not_seen`, `mark`, `beside`, `superseded_by`, `superseded_on`.
A row has `id`, `when`, `any`, `at_least`, `then`, `source`, `seen`, `class_seen`, `limits_seen`,
`note`.

Truth has three values. A missing input never counts as "no": it leaves the row open, and the answer says which
inputs would settle it. Only inputs the table lists as `optional` may be left out for good.
"""

from pvcalc.core.errors import NoResult, NotUnderstood, OutOfRange, Refusal
from pvcalc.core.formula import from_text, Limit, listing, nearest_words, outside_sentence, shortened
from pvcalc.core.units import is_number, unit_of
from pvcalc.decision.conditions import HAIR, NEVER_ABOVE, branch_truth, edges_of, row_parts, row_truth, truth_of
from pvcalc.decision.vocabulary import name_words, value_words
from pvcalc.decision.words import (
    cut_off_words, headline, not_met_words, recalled_words, silence_words, superseded_words,
)
from pvcalc.decision.words import unmet_words, why_words

UNDECIDED = ("cannot_evaluate", "silent", "not_seen", "not_applicable")


def decide(table, inputs, window=None):
    """Evaluate one table.

    Args:
        table: the table as a dict.
        inputs: dict of input name to number or chosen word; leave out, or give None, what is not known.
        window: measurement error, a number for every quantity or a dict of name to number; a value this close
            to a cut-off that would change the answer is reported as "at the cut-off". The unrounded value is
            what is classified, always.
    Returns a dict. `answer` is the answer of the row, or one of "cannot_evaluate" (then `missing` lists the inputs
    that would settle it and `possible` the answers still open), "silent", "not_seen", "not_applicable".
    With it: `table`, `title`, `document`, `row`, `then`, `why`, `not_met` (pairs of row id and conditions that
    failed), `unchecked` (optional inputs that were not given), `near`, `at_cut_off`, `cautions`, `assumes`,
    `not_seen`, `silent` (why the document has no row), `mark`, `seen`, `recalled`, `source`, `note`, `superseded`, `headline`.
    Raises: Refusal naming every fault of the inputs at once.
    """
    given = checked(table, inputs)
    found = _outcome(table, given)
    near = _nearest(table, given, found, window)
    return _report(table, given, found, near)


def answer_of(table, inputs):
    """The bare `answer` of `decide`, for whoever asks thousands of times and shows no reasons. Raises: as `decide`."""
    return _outcome(table, checked(table, inputs))[0]


def run(table, given, window=None):
    """`decide` for values typed by a person; never raises for them.

    Returns the dict of `decide` with `ok` true, or `ok` false and `faults` as (field, sentence) pairs.
    """
    values, faults = {}, []
    for name in sorted(given):
        value = given[name]
        if isinstance(value, str):
            kind = "choice" if name in (table.get("choices") or {}) else "number"
            value, reason = from_text(value, Limit(kind))
            if reason and reason != "is blank":
                faults.append((name, _start(name) + " “" + shortened(given[name]) + "” " + reason + "."))
        if value is not None and value != "":
            values[name] = value
    try:
        answer = decide(table, values, window)
    except Refusal as refusal:
        faults += refusal.faults  # about other fields: what could not be read was not passed on
    if faults:
        return {"ok": False, "name": table["name"], "faults": sorted(faults)}
    answer["ok"] = True
    return answer


def inputs_for(table, everything):
    """The part of a larger set of inputs that this table asks for."""
    return {name: everything[name] for name in table["asks_for"] if everything.get(name) is not None}


def checked(table, inputs):
    """The inputs that were given, or a refusal that names every fault."""
    faults, kinds, given = [], [], {}
    choices = table.get("choices") or {}
    for name in sorted(inputs):
        value = inputs[name]
        if value is None:
            continue
        kind, sentence = _fault(table, choices, name, value)
        if sentence:
            faults.append((name, sentence))
            kinds.append(kind)
        else:
            given[name] = value if isinstance(value, str) else value + 0.0
    for lower, upper in NEVER_ABOVE:
        if lower in given and upper in given and given[lower] > given[upper]:
            faults.append((lower, "A " + value_words(lower, given[lower]) + " cannot exceed the "
                           + value_words(upper, given[upper]) + " of the same trace."))
            kinds.append(NoResult)
    if faults:
        raise (kinds[0] if len(set(kinds)) == 1 else Refusal)(faults)
    return given


def _fault(table, choices, name, value):
    if name not in table["asks_for"]:
        return NotUnderstood, (name + " is not an input of " + table["name"]
                               + nearest_words(name, table["asks_for"]) + ".")
    if name in choices:
        if isinstance(value, str) and value in choices[name]:
            return None, ""
        return NotUnderstood, (_start(name) + " must be chosen: " + listing(choices[name])
                               + nearest_words(str(value), choices[name]) + ".")
    if not is_number(value):
        return NotUnderstood, _start(name) + " must be a finite number."
    unit = unit_of(name)
    if unit and unit["low"] is not None and not unit["low"] <= value <= unit["high"]:
        limit = Limit("number", unit["low"], unit["high"])
        return OutOfRange, outside_sentence(name, value, limit, "plausible range of the unit")
    return None, ""


def _start(name):
    words = name_words(name)
    return words[0].upper() + words[1:]


def _outcome(table, given):
    """(answer, row or None, open rows): the bare decision."""
    if not table["rows"] and table.get("not_seen"):
        return "not_seen", None, []
    inside = branch_truth(table, table.get("applies") or {}, given)
    if inside is False:
        return "not_applicable", None, []
    open_rows, chosen = [], None
    for row in table["rows"]:
        truth = row_truth(table, row, given)
        if truth is None:
            open_rows.append(row)
        elif truth and chosen is None:
            chosen = row
            if table["policy"] == "first":
                break
    # Rows that never overlap cannot unseat a true one; under "first" an earlier open row can.
    if chosen is not None and table["policy"] != "first":
        open_rows = []
    if inside is None:
        return "cannot_evaluate", chosen, open_rows
    if open_rows:
        return "cannot_evaluate", chosen, open_rows
    if chosen is not None:
        return chosen["then"]["answer"], chosen, []
    if not table.get("silent"):
        raise NoResult([("", table["title"] + ": no row fits these inputs, and the table does not say that it is silent.")])
    return "silent", None, []


def _missing(table, given, open_rows):
    """Names, in the order the table asks for them, that still keep it open."""
    wanted = []
    groups = [table.get("applies") or {}]
    for row in open_rows:
        for part in row_parts(table, row, given):
            if part["truth"] is None:
                groups += [branch for branch in part["branches"] if branch_truth(table, branch, given) is None]
    for group in groups:
        wanted += [name for name in group if truth_of(table, name, group[name], given) is None]
    return [name for name in table["asks_for"] if name in wanted]


def _nearest(table, given, found, window):
    """The cut-off nearest to a given number whose crossing changes the row, or None."""
    best = None
    for name in table["asks_for"]:
        if name not in given or isinstance(given[name], str) or name in (table.get("applies") or {}):
            continue
        edges = edges_of(table, name)
        for place, edge in enumerate(edges):
            below = (edges[place - 1] + edge) / 2 if place else edge - 1
            above = (edge + edges[place + 1]) / 2 if place + 1 < len(edges) else edge + 1
            others = _other_sides(table, given, found, name, (below, edge, above))
            if not others:
                continue
            near = _near(name, given[name], edge, others, window)
            near["answer"] = found[0]
            if best is None or _closeness(near) < _closeness(best):
                best = near
    return best


def _other_sides(table, given, found, name, positions):
    """Answers at these positions of one input that differ from the answer found."""
    others = []
    for position in positions:
        moved = dict(given)
        moved[name] = position
        try:
            there = _outcome(table, moved)
        except NoResult:
            continue
        if (there[0], there[1]) != (found[0], found[1]) and there[0] not in others:
            others.append(there[0])
    return others


def _near(name, value, edge, others, window):
    error = window.get(name) if isinstance(window, dict) else window
    distance = abs(value - edge)
    return {"name": name, "threshold": edge, "distance": distance, "others": others, "window": error,
            "within": distance <= HAIR * max(1.0, abs(edge)) or (error is not None and distance <= error * (1 + 1e-9))}


def _closeness(near):
    """Sort key: distance in windows where a window is known, else as a share of the cut-off."""
    scale = near["window"] or abs(near["threshold"]) or 1.0
    return near["distance"] / scale


def _report(table, given, found, near):
    answer, row, open_rows = found
    decided = answer not in UNDECIDED
    chosen = row if decided else None
    missing = _missing(table, given, open_rows) if answer == "cannot_evaluate" else []
    possible = []
    for other in open_rows + ([row] if row is not None and not decided else []):
        if other["then"]["answer"] not in possible:
            possible.append(other["then"]["answer"])
    why = why_words(table, chosen, given) if chosen else []
    if answer == "not_applicable":
        why = unmet_words(table, table["applies"], given)
    report = {
        "table": table["name"], "title": table["title"], "document": table["document"], "answer": answer,
        "decided": decided, "row": chosen["id"] if chosen else "", "then": chosen["then"] if chosen else {},
        "why": why, "not_met": not_met_words(table, given) if answer != "not_applicable" else [],
        "missing": missing, "possible": possible,
        "unchecked": [name for name in table.get("optional") or [] if name not in given],
        "near": near, "at_cut_off": cut_off_words(near),
        "cautions": [caution["text"] for caution in table.get("cautions") or []
                     if branch_truth(table, caution["when"], given)],
        "assumes": table.get("assumes") or [], "not_seen": table.get("not_seen") or [],
        "silent": silence_words(table, given) if answer == "silent" else "",
        "mark": table.get("mark") or "", "seen": (chosen or {}).get("seen") or table["seen"],
        "recalled": recalled_words(table, chosen), "note": (chosen or {}).get("note") or "",
        "source": (chosen or {}).get("source") or table["source"], "superseded": superseded_words(table),
    }
    report["headline"] = headline(report)
    return report

"""What a decision table says, in words: its rows, why a row was met or not, and the line for the page."""

from pvcalc.core.formula import listing
from pvcalc.core.units import show_input, with_unit
from pvcalc.decision.conditions import (
    HAIR, alternatives, branches_of, branch_truth, condition_words, ordered, row_truth, truth_of,
)
from pvcalc.decision.vocabulary import name_words, number_words, value_words

SILENT_WORDS = "the document has no row here"


def branch_words(table, branch):
    """Conditions in words, in the table's order."""
    return [condition_words(name, branch[name]) for name in ordered(table, branch)]


def row_words(table, row):
    """A row's conditions in words: a list to be joined by "and"; alternatives stand in one entry with "or"."""
    words = branch_words(table, row.get("when") or {})
    if row.get("any"):
        words.append(" or ".join([" and ".join(branch_words(table, branch)) for branch in row["any"]]))
    if row.get("at_least"):
        wanted = row["at_least"]
        texts = [" or ".join([" and ".join(branch_words(table, branch)) for branch in alternatives(criterion)])
                 for criterion in wanted["of"]]
        words.append("at least " + show_input(wanted["count"]) + " of: " + "; ".join(texts))
    return words


def met_words(table, branch, given):
    """What was given, and the condition it meets."""
    texts = []
    for name in ordered(table, branch):
        if name not in given:
            texts.append(condition_words(name, branch[name]) + ", as the other gradient shows")
        elif isinstance(given[name], str):
            texts.append(value_words(name, given[name]))
        else:
            texts.append(value_words(name, given[name]) + ": " + _limits(name, branch[name]))
    return texts


def _limits(name, condition):
    """A number's condition without its name."""
    return condition_words(name, condition)[len(name_words(name)) + 1:]


def unmet_words(table, branch, given):
    """The conditions of a branch (input name to condition) that surely fail for these inputs, each in words beside the value given."""
    texts = []
    for name in ordered(table, branch):
        if truth_of(table, name, branch[name], given) is False:
            if name not in given:
                texts.append(name_words(name) + " not given")
            elif isinstance(given[name], str):
                texts.append(value_words(name, given[name]) + "; the row says " + condition_words(name, branch[name]))
            else:
                texts.append(value_words(name, given[name]) + ", not " + _limits(name, branch[name]))
    return texts


def why_words(table, row, given):
    """The conditions that hold for a row that was met, each once, in words: those of `when`, then of every alternative that holds."""
    words = met_words(table, row.get("when") or {}, given)
    for branch in branches_of(row)[1:]:
        if branch_truth(table, branch, given):
            words += [text for text in met_words(table, branch, given) if text not in words]
    return words


def not_met_words(table, given):
    """(row id, conditions that failed) for every row that is surely not met."""
    pairs = []
    for row in table["rows"]:
        if row_truth(table, row, given) is not False:
            continue
        words = []
        for branch in branches_of(row):
            if branch_truth(table, branch, given) is False:
                words += [text for text in unmet_words(table, branch, given) if text not in words]
        pairs.append((row["id"], words))
    return pairs


def cut_off_words(near):
    """A sentence when the number lies on the nearest cut-off or within its error of measurement, else "".

    Args:
        near: what `decision.decide` reports as `near`, distances in the unit of the input; or None.
    """
    if near is None or not near["within"]:
        return ""
    name = near["name"]
    edge = with_unit(number_words(near["threshold"]), name)
    if near["distance"] <= HAIR * max(1.0, abs(near["threshold"])):
        return "At the cut-off: " + name_words(name) + " is exactly " + edge + "."
    return ("At the cut-off: " + name_words(name) + " lies " + with_unit(show_input(near["distance"]), name)
            + " from " + edge + ", which is within the error of measurement; on the other side the answer is "
            + listing([other_side_words(other, near["answer"]) for other in near["others"]]) + ".")


def other_side_words(other, answer):
    """The answer beyond a cut-off, as it follows "the answer is"."""
    if other == "silent":
        return "none, because " + SILENT_WORDS.replace("here", "there")
    return answer_words(other) + (", by another row" if other == answer else "")


def answer_words(answer):
    """An answer as it is said on the page."""
    if answer == "silent":
        return SILENT_WORDS
    return answer.replace("_", " ")


def recalled_words(table, row):
    """What of an answer is recalled: all of it, its limits, its class and level, or nothing."""
    if (row or {}).get("seen", table["seen"]) == "memory":
        return "recalled"
    parts = [words for field, words in (("limits_seen", "limits"), ("class_seen", "class and level"))
             if row and row.get(field) == "memory"]
    return ", ".join(parts) + " recalled" if parts else ""


def superseded_words(table):
    """`superseded on 3 March 2025 by …`, `superseded in December 2025 by …`, or nothing."""
    if not table.get("superseded_by"):
        return ""
    when = str(table.get("superseded_on") or "")
    dated = ((" on " if "0" <= when[0] <= "9" else " in ") + when) if when else ""
    return "superseded" + dated + " by " + table["superseded_by"]


def silence_words(table, given):
    """Why a silent document has no row: what it says of itself, and which conditions of its rows are not met."""
    asked = []
    for row in table["rows"]:
        for branch in branches_of(row):
            failed = [name for name in ordered(table, branch) if truth_of(table, name, branch[name], given) is False]
            asked += [text for text in [condition_words(name, branch[name]) for name in failed] if text not in asked]
    said = [] if table["silent"] == SILENT_WORDS else [table["silent"]]
    return "; ".join(said + (["not met: " + "; ".join(asked)] if asked else []))


def open_words(report):
    """What an answer still needs, and which answers are possible until then."""
    needed = "still needed: " + ", ".join([name_words(name) for name in report["missing"]])
    return needed + ("; still possible: " + listing([answer_words(one) for one in report["possible"]]) if report["possible"] else "")


def unchecked_words(report):
    """Which inputs a given answer did without, or nothing."""
    if not report["unchecked"] or report["answer"] in ("cannot_evaluate", "not_applicable", "not_seen"):
        return ""
    return "Not given, and not looked at: " + ", ".join([name_words(name) for name in report["unchecked"]]) + "."


def headline(report):
    """One line for the page: document, answer, and the reason it can or cannot be given."""
    start = report["document"] + ": "
    answer = report["answer"]
    if answer == "cannot_evaluate":
        return start + "cannot be evaluated; " + open_words(report)
    if answer == "not_applicable":
        return start + "not for this patient (" + "; ".join(report["why"]) + ")"
    if answer == "not_seen":
        return start + "not seen: " + "; ".join(report["not_seen"])
    if answer == "silent":
        return start + SILENT_WORDS + (" (" + report["silent"] + ")" if report["silent"] else "")
    then = report["then"]
    grade = ", ".join([word + " " + str(then[word]) for word in ("class", "level") if then.get(word)])
    words = [text for text in (grade, report["recalled"], report["mark"]) if text]
    return start + answer_words(answer) + (" (" + "; ".join(words) + ")" if words else "")

"""What each document says about this patient: the grade, treat or not, what would change the answer, and visits after.

Documents are never averaged. Where they disagree the plan says so and gives no answer of its own.
"""

import math

from pvcalc.core.errors import Refusal
from pvcalc.core.units import DAYS_A_MONTH, show, show_input, with_unit
from pvcalc.decision import evaluate
from pvcalc.decision.vocabulary import name_words, number_words
from pvcalc.decision.words import answer_words, not_met_words, SILENT_WORDS
from pvcalc.plan.settings import setting

GRADES = ("mild", "moderate", "severe")
ANSWERS = ("yes", "no", "cannot_evaluate", "silent", "not_seen", "not_applicable")
GRADIENTS = ("doppler_peak_mmhg", "doppler_mean_mmhg", "catheter_peak_to_peak_mmhg", "gradient_mmhg", "velocity_m_s")
HOUSE = "gradient_as_severity"
LEFT_OUT = ["treat_aha_2011_atresia", "visits_dcrv_acc_2025",  # other diseases
            "visits_house"]  # asked by what is left after the balloon, and put first
# Answers of a severity table that are no grade: what is said instead.
NO_GRADE = {"trivial": ("mild", "the document's word is trivial"),
            "inside_the_printed_range": ("cannot_evaluate", "the document prints a range here and not a limit"),
            "not_to_be_used": ("not_applicable", "an outlier, not to be used")}
SURGICAL = ("surgery", "surgery_preferred", "replacement")


def known_inputs(patient, derived):
    """Every name that decision tables may ask for, as far as it is known; nothing is guessed."""
    known = {name: patient[name] for name in patient if isinstance(patient[name], (str, int, float))}
    known["age_months"] = patient["age_days"] / DAYS_A_MONTH
    known["age_group"] = "infant" if patient["age_years"] < 1 else "older_child"
    for name in ("doppler_peak_mmhg", "rv_systolic_mmhg", "rv_systemic_ratio"):
        if derived.get(name) is not None:
            known[name] = derived[name]
    if "doppler_velocity_m_s" in patient:
        known["velocity_m_s"] = patient["doppler_velocity_m_s"]
    elif "doppler_peak_mmhg" in patient:
        known["velocity_m_s"] = math.sqrt(patient["doppler_peak_mmhg"] / 4)  # the same trace, so a document that asks for either is answered
    # The row means lung flow that depends on the duct; it cannot depend on a closed one.
    if "critical_stenosis" not in known and patient.get("duct") == "closed":
        known["critical_stenosis"] = "no"
    known["short_forms"] = short_forms(known)
    return known


def windows(data, patient):
    """Measurement error by quantity: the settings, and a velocity's own where the gradient comes from one."""
    gradient = setting(data, "gradient_window_mmhg")
    slip = setting(data, "velocity_window_m_s")
    peak = gradient
    velocity = patient.get("doppler_velocity_m_s")
    if velocity is not None and "doppler_peak_mmhg" not in patient:
        peak = max(gradient, 8 * velocity * slip)
    return {"doppler_peak_mmhg": peak, "doppler_mean_mmhg": gradient, "catheter_peak_to_peak_mmhg": gradient,
            "velocity_m_s": slip, "rv_systemic_ratio": setting(data, "ratio_window_ratio"),
            "rv_systolic_mmhg": gradient}


def of_topic(data, *topics):
    """Tables of these topics: current ones first, those commonly quoted last, by name."""
    tables = [data["tables"][name] for name in sorted(data["tables"]) if data["tables"][name].get("topic") in topics
              and name not in LEFT_OUT]
    return sorted(tables, key=lambda table: (1 if table.get("mark") else 0, 1 if table.get("superseded_by") else 0,
                                             table["name"]))


def evaluated(table, known, window):
    """Report of one table; a refusal becomes an answer that cannot be evaluated."""
    try:
        return evaluate.decide(table, evaluate.inputs_for(table, known), window)
    except Refusal as refusal:
        return {"answer": "cannot_evaluate", "decided": False, "row": "", "then": {}, "why": [str(refusal)], "missing": [],
                "near": None, "at_cut_off": "", "cautions": [], "assumes": [], "not_seen": [], "seen": table["seen"],
                "recalled": "", "mark": table.get("mark") or "", "superseded": "", "note": "", "possible": []}


def entry(table, report, answer, words, why):
    """One line of `grade`, `treat` or `visits`."""
    then = report["then"]
    if report["recalled"]:
        why = (why + "; " if why else "") + report["recalled"]
    return {"document": table["document"], "table": table["name"], "title": table["title"], "row": report["row"],
            "answer": answer, "words": words, "class": str(then.get("class") or ""), "level": str(then.get("level") or ""),
            "advice": then.get("advice") or "", "why": why, "provenance": "" if report["answer"] == "not_seen" else report["seen"],
            "recalled": report["recalled"], "nearest": nearest_words(report), "at_cut_off": report["at_cut_off"],
            "cautions": list(report["cautions"]), "assumes": list(report["assumes"]) if report["decided"] else [],
            "superseded": report["superseded"], "mark": report["mark"], "missing": list(report["missing"])}


COMPUTED_DECIMALS = [("rv_systemic_ratio", 3), ("doppler_peak_mmhg", 2), ("age_years", 2), ("age_days", 1), ("age_months", 1)]


def short_forms(known):
    """(name, value with every digit, value at sensible digits) of what was computed and is longer than it need be."""
    pairs = []
    for name, decimals in COMPUTED_DECIMALS:
        if name in known:
            whole, short = show_input(known[name]), show_input(float(plain_digits(show(known[name], decimals))))
            if whole != short:
                pairs.append((name, with_unit(whole, name), with_unit(short, name)))
    return pairs


def shortened_values(text, known, near):
    """A sentence with computed values at sensible digits; one that lies a hair from its threshold keeps them all."""
    for name, whole, short in known["short_forms"]:
        if not (near and near["name"] == name and near["distance"] < 0.01):
            text = text.replace(whole, short)
    return text


def plain_digits(text):
    """A shown number as Python reads it."""
    return text.replace("\u2212", "-").replace("\u202f", "")


def why_of(table, report, known):
    """The conditions that decided, or why no row answers."""
    return shortened_values(why_words_of(table, report, known), known, report["near"])


def why_words_of(table, report, known):
    """The same with every digit."""
    if report["answer"] == "cannot_evaluate":
        if not report["missing"]:
            return "; ".join(report["why"])
        open_words = ""
        if "gradient_mmhg" in report["missing"]:
            open_words = "; the document does not say which gradient it means, so none is filled in"
        return "still needed: " + ", ".join([name_words(name) for name in report["missing"]]) + open_words
    if report["answer"] == "not_seen":
        return "not seen: " + "; ".join(report["not_seen"])
    if report["answer"] == "not_applicable":
        return "not for this patient: " + "; ".join(report["why"])
    if report["answer"] == "silent":
        failed = [row + ": " + ", ".join(words) for row, words in
                  not_met_words(table, evaluate.inputs_for(table, known)) if words]
        own = [table["silent"]] if table["silent"] != SILENT_WORDS or not failed else []
        return "; ".join(own + (["not met: " + "; ".join(failed)] if failed else []))
    return "; ".join(report["why"])


def nearest_words(report):
    """The nearest threshold that would change the answer, and whether it lies within the error of measurement."""
    near = report["near"]
    if near is None or report["answer"] in ("cannot_evaluate", "not_applicable", "not_seen"):
        return ""
    name = near["name"]
    error = "error of measurement not set" if near["window"] is None else (
        ("within" if near["within"] else "beyond") + " the measurement error of ± "
        + with_unit(show_input(float(plain_digits(show(near["window"], 2)))), name))
    decimals = 1 if near["distance"] < 10 else 0
    if name.endswith("ratio"):
        decimals = 3
    return ("nearest threshold: " + name_words(name) + " " + with_unit(number_words(near["threshold"]), name) + ", "
            + with_unit(show(near["distance"], decimals), name) + " away, " + error)


def suppression(data, known):
    """The house rule that comes before any grade: its entry, and whether the gradient is only a lower bound of the severity here."""
    table = data["tables"][HOUSE]
    report = evaluated(table, known, windows(data, known))
    lowered = report["answer"] == "lower_bound"
    answer = {"lower_bound": "suppressed", "usable": "not_applicable"}.get(report["answer"], "cannot_evaluate")
    words = {"lower_bound": "the gradient is a lower bound", "usable": "gradient may be graded"}.get(report["answer"], "cannot be evaluated")
    return entry(table, report, answer, words, why_of(table, report, known)), lowered


def grades(data, patient, known):
    """The grade by each document, the house rule first.

    Returns (list of entries, true when the gradient is only a lower bound here).
    """
    first, lowered = suppression(data, known)
    entries = [first]
    for table in of_topic(data, "severity"):
        report = evaluated(table, known, windows(data, patient))
        entries.append(graded(table, report, known, lowered))
    return entries, lowered


def graded(table, report, known, lowered):
    """One document's grade in the plan's words; where the gradient is a lower bound only its severe grade is told."""
    answer, words, why = report["answer"], answer_words(report["answer"]), why_of(table, report, known)
    if report["decided"] and answer not in GRADES:
        answer, note = NO_GRADE.get(answer, ("silent", "a band of a study, not a grade: " + words))
        why = note + ("; " + why if why else "")
        words = answer_words(answer)
    own = answer
    if lowered and report["decided"] and answer == "severe":
        words = "at least severe"
    elif lowered and report["decided"]:
        report, answer, words = bare(report), "suppressed", "not graded"
        why = "the gradient is only a lower bound here; the document's grade is not shown"
    made = entry(table, report, answer, words, why)
    made["own"] = own  # for the headline, which says in which range the gradient lies
    return made


def bare(report):
    """A report without its row, for an answer that is not shown."""
    made = dict(report)
    for name in ("row", "at_cut_off", "note"):
        made[name] = ""
    made["near"], made["then"], made["cautions"] = None, {}, []
    return made


def treatments(data, patient, known, lowered):
    """Treat or not by each document, and surgery instead where a document says so.

    Returns (entries, surgical entries, decision in words, true when current documents conflict).
    """
    window = windows(data, patient)
    entries = [treated(table, evaluated(table, known, window), known, lowered) for table in of_topic(data, "treat", "treat_child")]
    surgical = []
    for table in of_topic(data, "surgery"):
        report = evaluated(table, known, window)
        if report["answer"] in SURGICAL:
            surgical.append(entry(table, report, "yes", answer_words(report["answer"]), why_of(table, report, known)))
    words, conflict = decided_words(entries, surgical)
    return entries, surgical, words, conflict


def treated(table, report, known, lowered):
    """One document's answer as yes or no; its own softer word stays in `words`, class and advice."""
    answer, words, why = report["answer"], answer_words(report["answer"]), why_of(table, report, known)
    if answer == "may":
        answer, words = "yes", "may be considered"
        why = "may, not must" + ("; " + why if why else "")
    made = entry(table, report, answer if answer in ANSWERS else "cannot_evaluate", words, why)
    if made["words"] == "may be considered" and not made["class"]:
        made["class"] = "may"
    by_gradient = [name for name in table["asks_for"] if name in GRADIENTS]
    if lowered and by_gradient and (report["answer"] in ("no", "may") or made["answer"] == "silent"):
        made["answer"], made["words"], made["class"], made["level"], made["advice"] = "cannot_evaluate", "cannot be evaluated", "", "", ""
        made["why"] = "the document decides by a gradient, and the gradient is only a lower bound here"
        made["nearest"], made["at_cut_off"], made["row"] = "", "", ""
    return made


# Answers of current documents as they are counted; a "may" is counted apart from a "yes".
COUNTED = ("yes", "may", "no", "silent", "lack")


def current(one):
    """A document that counts: neither superseded nor without a source, for this age, and seen."""
    return not one["superseded"] and not one["mark"] and one["answer"] not in ("not_applicable", "not_seen")


def counted(one):
    """How one current document is counted."""
    if one["answer"] == "yes" and one["words"] == "may be considered":
        return "may"
    return "lack" if one["answer"] == "cannot_evaluate" else one["answer"]


def treat_counts(entries):
    """How many current documents say what: {"yes", "may", "no", "silent", "lack"}."""
    said = [counted(one) for one in entries if current(one)]
    return {word: len([one for one in said if one == word]) for word in COUNTED}


def treat_answer(entries, surgical):
    """`yes`, `no`, `disagree` or `none`: what the current documents say together. A count, never a verdict."""
    counts = treat_counts(entries)
    against = counts["no"] or [one for one in surgical if current(one)]
    if against:
        return "disagree" if counts["yes"] + counts["may"] else "no"
    return "yes" if counts["yes"] else "none"


def count_words(entries):
    """`TREAT: 3 current documents yes, 1 may, 0 no, 1 silent, 3 lack an input`."""
    counts = treat_counts(entries)
    return ("TREAT: " + str(counts["yes"]) + " current documents yes, " + str(counts["may"]) + " may, " + str(counts["no"]) + " no, "
            + str(counts["silent"]) + " silent, " + str(counts["lack"]) + " lack an input")


def decided_words(entries, surgical):
    """What the current documents say together, counted and named; never a bare "balloon"."""
    now = [one for one in entries if current(one)]
    names = []
    for word, start in (("yes", "Yes: "), ("may", "May: "), ("no", "No: ")):
        said = [marked(one) for one in now if counted(one) == word]
        names += [start + ", ".join(said)] if said else []
    against = [marked(one) + ", " + one["words"] for one in surgical if current(one)]
    names += ["Something else: " + "; ".join(against)] if against else []
    older = [one["document"] for one in entries if one["answer"] in ("yes", "no") and not current(one)]
    tail = ["Not counted: " + ", ".join(older) + " (superseded, or without a source)"] if older else []
    tail += ["Not seen: " + ", ".join([one["document"] for one in entries if one["answer"] == "not_seen"])] if [
        one for one in entries if one["answer"] == "not_seen"] else []
    answer = treat_answer(entries, surgical)
    close = {"disagree": ["Documents disagree; this plan does not choose: take it to the valve team"]}.get(answer, ["A count, not a verdict; the team decides"])
    return ". ".join([count_words(entries)] + names + tail + close) + ".", answer == "disagree"


def marked(one):
    """A document with what a reader must know of its answer."""
    notes = [text for text in (one["recalled"] if not one["mark"].startswith("recalled") else "", one["mark"]) if text]
    return one["document"] + (" (" + "; ".join(notes) + ")" if notes else "")


def pregnancy(data, patient, known, head):
    """What the documents on pregnancy say of a pregnant patient; the severity they ask for is the headline's range."""
    if patient.get("pregnant") != "yes":
        return []
    asked = dict(known)
    grade = {"at_least_severe": "severe", "none": head.get("range")}.get(head["grade"], head["grade"])
    if grade:
        asked["severity"] = grade
    return [entry(table, report, report["answer"], answer_words(report["answer"]), why_of(table, report, asked))
            for table, report in [(table, evaluated(table, asked, None)) for table in of_topic(data, "pregnancy")]]


def visits(data, patient, known):
    """When to be seen again after the procedure, by each document."""
    after = dict(known)
    after["treated_before"] = "yes"  # the plan's visits follow the procedure
    # What was measured before the balloon says nothing about the valve after it.
    for name in GRADIENTS + ("rv_systolic_mmhg", "rv_systemic_ratio", "symptoms", "rv_function"):
        after.pop(name, None)
    entries = []
    for table in of_topic(data, "visits"):
        report = evaluated(table, after, None)
        entries.append(entry(table, report, answer_words(report["answer"]) if report["decided"] else report["answer"],
                             answer_words(report["answer"]), why_of(table, report, after)))
    return entries



"""The one headline over all documents' grades, and the right ventricle's own pressure beside it.

A severe grade is never hidden; it may be unconfirmed. A mild or moderate grade is no headline while anything says that
the gradient may be too low. Only current documents for this age and quantity may head; recalled ones say so.
"""

from pvcalc.core.units import show, show_input
from pvcalc.plan import reading
from pvcalc.plan.derived import disagree
from pvcalc.plan.fit import DOPPLER_CODES
from pvcalc.plan.settings import setting

ORDER = ["mild", "moderate", "severe"]
WORDS = {"severe": "SEVERE", "at_least_severe": "AT LEAST SEVERE", "moderate": "MODERATE", "mild": "MILD", "none": "NO HEADLINE GRADE"}
NEWBORN_ADVICE = "decide on duct, saturation, forward flow"
HIGHER = "the ventricle's pressure is higher than this gradient explains"
STATE_WORDS = {"awake": "awake", "sedated": "sedated", "anaesthesia": "under anaesthesia"}
# A contradiction in a few words, for the headline.
SHORT = {"doppler_above_rv": "it is above the ventricle's own systolic, so not from the same moment",
         "doppler_above_catheter": "it is far above the catheter's step", "doppler_below_catheter": "the Doppler is lower"}


def headline(data, patient, entries, known, fits, values):
    """The headline grade as a record.

    Args:
        data: the handbook's data; patient: the inputs; entries: the grade of each document (`plan_documents.grades`);
        known: what `plan_reading.reading` made of the patient; fits: (code, sentence) pairs; values: what was derived.
    Returns {"grade", "confirmed", "documents_differ", "doubts", "sentence", "quantity"}; `doubts` are codes.
    """
    heads = [one for one in entries if may_head(one)]
    codes = [code for code, _ in fits]
    if not heads:
        alone = patient.get("catheter_peak_to_peak_mmhg")
        entered = "" if alone is None else " (catheter peak-to-peak " + show_input(alone) + " alone" + (", no Doppler gradient)" if values["doppler_peak_mmhg"] is None else ")")
        return record("none", "no", [], WORDS["none"] + ": no current document could grade what was entered" + entered + ".", "")
    if "kilopascals" in codes:
        return record("none", "no", [], WORDS["none"] + ": is a pressure in kPa? Look again before any grade.", "")
    groups = {quantity: [one for one in heads if quantity_of(data, one) == quantity] for quantity in ("doppler", "catheter")}
    quantity = "doppler" if highest(groups["doppler"]) >= highest(groups["catheter"]) else "catheter"
    graded, other = groups[quantity], groups["catheter" if quantity == "doppler" else "doppler"]
    if ORDER[highest(graded)] == "severe":
        made = severe(data, known, codes, quantity, values, patient, other)
    else:
        made = below_severe(data, entries, known, ORDER[highest(graded)], patient)
    made["documents_differ"] = "yes" if len(distinct_grades(graded)) > 1 else "no"
    made["quantity"], made["flow_known"] = quantity, bool(known.get("flow_across_valve"))
    made["sentence"] = sentence(made, graded, other, patient, values)
    return made


def record(grade, confirmed, doubts, words, quantity):
    """A headline without a grade."""
    return {"grade": grade, "confirmed": confirmed, "documents_differ": "no", "doubts": doubts, "sentence": words, "quantity": quantity}


def may_head(one):
    """A current document that graded this patient: neither superseded, nor without a source, nor of another age."""
    return one.get("own") in ORDER and not one["mark"] and not one["superseded"]


def quantity_of(data, one):
    """`catheter` or `doppler`: what a document's grade rests on."""
    return "catheter" if "catheter_peak_to_peak_mmhg" in data["tables"][one["table"]]["asks_for"] else "doppler"


def highest(entries):
    """Place in ORDER of the highest grade, -1 for none."""
    places = [ORDER.index(one["own"]) for one in entries]
    return max(places) if places else -1


def distinct_grades(entries):
    """The grades that some document gives, mildest first."""
    return [grade for grade in ORDER if [one for one in entries if one["own"] == grade]]


def severe(data, known, codes, quantity, values, patient, other):
    """A severe grade: heads always; the newborn's and the open duct's is a lower bound."""
    bounds = reading.lower_bound(data, known)
    reasons = []
    if quantity == "doppler":
        reasons = [(code, short(code, values, patient)) for code in codes if code in DOPPLER_CODES and code != "doppler_below_catheter"]
    elif "doppler_below_catheter" in codes:
        reasons = [("doppler_below_catheter", SHORT["doppler_below_catheter"])]
    # The pressures against each other have codes of their own, above.
    reasons += two_traces(patient) if quantity == "doppler" else []
    reasons += [(code, words) for code, words in reading.contradictions(data, known) if code != "contradicted"]
    # A milder Doppler beside a severe catheter: what takes it out of the headline is said too.
    beside = reading.doubts(data, known) if other else []
    said = [] if known.get("flow_across_valve") else ["flow_not_measured"]
    # A duct that may be open only makes the true grade higher.
    lowered = bounds or "duct" not in known
    return {"grade": "at_least_severe" if lowered else "severe", "confirmed": "no" if reasons else "yes",
            "doubts": [code for code, _ in reasons + bounds + beside] + said, "reasons": [words for _, words in reasons],
            "beside": [words for _, words in beside],
            "bounds": [words for _, words in bounds], "advice": bool(bounds) or "duct" not in known}


def two_traces(patient):
    """A velocity and a peak gradient that cannot be of one trace, as a reason."""
    velocity, peak = patient.get("doppler_velocity_m_s"), patient.get("doppler_peak_mmhg")
    if None in (velocity, peak) or not disagree(velocity, peak):
        return []
    return [("jet_disagrees", "velocity " + show_input(velocity) + " gives " + show(4 * velocity * velocity, 0) + ", peak typed " + show_input(peak)
             + ": two traces, or a slip of the unit (kPa?)")]


def short(code, values, patient):
    """A contradiction in a few words with its two numbers."""
    if code == "doppler_above_rv":
        return (show(values["doppler_peak_mmhg"], 0) + " is above the ventricle's own systolic " + show_input(patient["rv_systolic_mmhg"])
                + ", so not from the same moment")
    return SHORT[code]


def below_severe(data, entries, known, grade, patient):
    """A mild or moderate grade: heads only while nothing says that the gradient may be too low."""
    bounds = reading.lower_bound(data, known)
    if not bounds and entries[0]["answer"] == "cannot_evaluate":
        bounds = [("duct_not_stated", "duct not stated")]
    reasons = two_traces(patient) + reading.doubts(data, known)
    # What makes a gradient too high is said beside it and hides nothing.
    high = [(code, words) for code, words in reading.contradictions(data, known) if code != "contradicted"]
    said = [code for code, _ in high] + ([] if known.get("flow_across_valve") else ["flow_not_measured"])
    return {"grade": "none" if bounds or reasons else grade, "range": grade, "confirmed": "no" if bounds or reasons else "yes",
            "doubts": [code for code, _ in bounds + reasons] + said, "reasons": [words for _, words in reasons],
            "bounds": [words for _, words in bounds], "advice": bool(bounds), "high": [words for _, words in high]}


def sentence(made, graded, other, patient, values):
    """The headline in words: the grade, what it rests on, what speaks against it, where documents differ."""
    subject = subject_words(made["quantity"], patient, values)
    if made["grade"] == "none":
        words = WORDS["none"] + ": " + subject + " is in the " + made["range"] + " range; do not read it as mild: " + ", ".join(distinct(made["bounds"] + made["reasons"]))
    else:
        words = WORDS[made["grade"]] + " by " + subject
        if made["confirmed"] == "no":
            words += ", not confirmed: " + ", ".join(distinct(made["reasons"]))
        elif made["bounds"]:
            words += " (" + ", ".join(made["bounds"]) + ")"
    if made["advice"]:
        words += "; " + NEWBORN_ADVICE
    if made.get("high"):
        words += "; " + ", ".join(made["high"]) + ": the gradient may be too high"
    if made["documents_differ"] == "yes":
        words += "; documents differ: " + ", ".join([grade + " by " + ", ".join([one["document"] for one in graded if one["own"] == grade])
                                                     for grade in distinct_grades(graded)])
    rest = "catheter" if made["quantity"] == "doppler" else "doppler"
    if other:
        words += "; " + subject_words(rest, patient, values) + " is another quantity (" + " to ".join(distinct_grades(other)) + ")"
        if made.get("beside"):
            words += ": do not read it as mild, " + ", ".join(distinct(made["beside"]))
    elif rest == "doppler" and values["doppler_peak_mmhg"] is None:
        words += "; no Doppler gradient entered"
    elif rest == "catheter" and "catheter_peak_to_peak_mmhg" in patient:
        words += "; " + subject_words(rest, patient, values) + " is another quantity"
    if not [one for one in graded if not one["recalled"]]:
        words += "; recalled documents only"
    return words + "." + ("" if made["flow_known"] else " Flow not measured.")


def subject_words(quantity, patient, values):
    """`Doppler 69 (velocity 4.15) awake` or `catheter peak-to-peak 43`."""
    if quantity == "catheter":
        state = STATE_WORDS.get(patient.get("catheter_state"), "")
        return "catheter peak-to-peak " + show_input(patient["catheter_peak_to_peak_mmhg"]) + (" " + state if state else "")
    peak, velocity = values["doppler_peak_mmhg"], patient.get("doppler_velocity_m_s")
    words = "Doppler mean " + show_input(patient["doppler_mean_mmhg"]) if peak is None else "Doppler " + show(peak, 0)
    beside = (["velocity " + show_input(velocity)] if velocity is not None else []) + (
        ["mean " + show_input(patient["doppler_mean_mmhg"])] if peak is not None and "doppler_mean_mmhg" in patient else [])
    words += " (" + ", ".join(beside) + ")" if beside else ""
    state = STATE_WORDS.get(patient.get("doppler_state"), "")
    return words + (" " + state if state else "")


def distinct(words):
    """Each reason once, in order."""
    kept = []
    for one in words:
        if one and one not in kept:
            kept.append(one)
    return kept


def pressure_line(data, patient, known, values):
    """(word, sentence): the right ventricle's own pressure; severe names the pressure and never the valve."""
    word, inflated = reading.pressure_word(data, known)
    ratio, body, systemic = values["rv_systemic_ratio"], values["rv_systolic_mmhg"], patient.get("systemic_systolic_mmhg")
    if ratio is None:
        return word, ""
    both = "RV " + show(body, 0) + " / systemic " + show_input(systemic)
    if inflated:
        return word, both + " = " + show(ratio, 2) + ": ratio inflated by low systemic pressure: use mmHg."
    if word != "severe":
        return word, both + " = " + show(ratio, 2) + "."
    first = []
    if patient.get("septal_defect") == "yes":
        first.append("Ventricular septal defect: equal pressures are its rule.")
    artery = values["pa_systolic_mmhg"]
    if artery is not None and artery > setting(data, "pa_high_above_mmhg"):
        first.append("Lung artery " + show(artery, 0) + " is high.")
    said = ["valve step " + number(values["valve_gradient_mmhg"]), "below " + number(values["subvalve_gradient_mmhg"]), "lung artery " + number(artery)]
    return word, " ".join(first + ["RIGHT VENTRICULAR PRESSURE is severe (" + both + ", " + show(ratio, 2) + "). The ratio does not show the cause: " + ", ".join(said) + "."])


def number(value):
    """A pressure, or a question mark where it was not entered."""
    return "?" if value is None else show(value, 0)

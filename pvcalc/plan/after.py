"""After the balloon: the step at the valve and below it, HIGH, LOW or BETWEEN against before, and what is next.

The house's own bands decide; an answer is a word, a sentence and the rows it came from. Numbers never part tamponade from
a failing ventricle: the echo does.
"""

from pvcalc.core.units import show, show_input
from pvcalc.decision import evaluate
from pvcalc.formulas.low_pressure import ra_level_after_balloon, ra_level_without_before, rv_level_after_balloon
from pvcalc.plan.inputs import NAMES
from pvcalc.plan.settings import computed, named, setting, setting_text

FIELDS = [name for name in NAMES if name.startswith("after_")]
GRADES = ["none", "mild", "moderate", "severe"]
# What the house's bands answer, as one of the plan's words.
WORDS = {"stop": "done", "stop_and_review": "accept", "measure_again_and_upsize_once": "go_up_once", "one_step_up": "go_up_once",
         "stop_and_treat_muscle": "muscle_medicine", "stop_and_call_surgeon": "surgeon", "look_further": "lungs"}
MUSCLE = "The step is below the valve: no balloon for it"
SENTENCES = {
    "done": "Valve step below {residual_stop_below_mmhg} and the ventricle below {rv_systemic_done_below_ratio} of systemic.",
    "accept": "Waist gone at a full size: accept, no larger balloon. Echo before discharge, review at 6 weeks to 3 months.",
    "go_up_once": "Measure again in the open-valve frame, then once up, high pressure if dysplastic; then accept and refer.",
    "muscle_medicine": MUSCLE + ". No larger balloon, no inotrope FOR IT: fill, pressor step, beta-blocker from the trial dose once the outflow is seen "
                       "shutting or the step is below the valve; no beta-blocker on numbers. No answer: ECMO.",
    "surgeon": "STOP the balloon, whatever the gradient: call the surgeon before leaving the laboratory.",
    "failing": "The ventricle is failing: echo for fluid first, then inotrope and pressor by the anaesthetist, no beta-blocker, no volume, ECMO early. Numbers do not part "
               "tamponade from a failing ventricle: echo does.",
    "lungs": "The valve is open: repeat the systemic pressure, look at the branches and at the lungs (airway, carbon dioxide, oxygen, clot).",
    "stop_tear": "STOP: no more balloon. Wire stays, no more heparin, surgeon, ECMO and blood at first suspicion; protamine only after “no ECMO in the next "
                 "minutes” is said aloud.",
    "abandoned": "No balloon was filled across the valve: nothing follows for the valve; the attempt counts, and is a row of the audit.",
    "unknown": "What is next cannot be said: the pull-back below the valve and the pressure of the lung artery are needed.",
}


def after(data, patient, annulus_mm):
    """The record of the time after the balloon, or None before it.

    Args:
        data: the handbook's data; patient: the inputs; annulus_mm: the annulus that counts, or None.
    Returns a dict: `word` (done, accept, go_up_once, muscle_medicine, surgeon, failing, lungs, stop_tear, unknown), `sentence`,
    `valve_mmhg`, `below_mmhg` (None where not measured), `ratio`, `rv_level`, `ra_level`, `high_from_mmhg`, `low_to_mmhg`, `lines`.
    """
    if not [name for name in FIELDS if name in patient]:
        return None
    made = steps(patient)
    made["new_regurgitation"] = new_regurgitation(patient)
    made["rv_level"], made["high_from_mmhg"], made["low_to_mmhg"] = ventricle(data, patient)
    made["ra_level"] = atrium(data, patient)
    made["word"] = word_of(data, patient, made, annulus_mm)
    made["sentence"] = sentence(data, patient, made)
    made["lines"] = lines_of(patient, made)
    return made


def steps(patient):
    """Step at the valve and below it, ventricle over systemic; without a pressure below the valve the whole step is the valve's only when it is small."""
    body, below, artery = [patient.get("after_" + name + "_systolic_mmhg") for name in ("rv", "rvot", "pa")]
    systemic = patient.get("after_systemic_systolic_mmhg")
    made = {"valve_mmhg": None, "below_mmhg": None, "whole_mmhg": None, "ratio": None}
    if None not in (below, artery):
        made["valve_mmhg"] = max(0, below - artery)
    if None not in (body, below):
        made["below_mmhg"] = max(0, body - below)
    if None not in (body, artery):
        made["whole_mmhg"] = max(0, body - artery)
    if None not in (body, systemic):
        made["ratio"] = body / systemic
    return made


def new_regurgitation(patient):
    """The grade of regurgitation if it is worse than before by a grade, else `none`."""
    now, before = patient.get("after_pulmonary_regurgitation"), patient.get("pulmonary_regurgitation")
    if now is None:
        return "none"
    return now if GRADES.index(now) > GRADES.index(before or "none") else "none"


def ventricle(data, patient):
    """(HIGH, LOW, BETWEEN or "", HIGH from, LOW to) against the value before; without a systemic pressure the plain shares."""
    before, now, systemic = patient.get("rv_systolic_mmhg"), patient.get("after_rv_systolic_mmhg"), patient.get("after_systemic_systolic_mmhg")
    if None in (before, now, systemic):
        return "", None, None
    pairs, _ = computed(rv_level_after_balloon, rv_now_mmhg=now, rv_before_mmhg=before, systemic_now_mmhg=systemic,
                        high_from_ratio=setting(data, "rv_high_from_ratio"), high_over_systemic_ratio=setting(data, "rv_high_over_systemic_ratio"),
                        over_systemic_mmhg=setting(data, "rv_over_systemic_mmhg"), low_to_ratio=setting(data, "rv_low_to_ratio"))
    if pairs is None:
        return "", None, None
    return named(pairs, "rv_level"), setting(data, "rv_high_from_ratio") * before, setting(data, "rv_low_to_ratio") * before


def atrium(data, patient):
    """HIGH, ORDINARY or LOW against the value before; weak where nobody read it before; "" where it is not known now."""
    before, now, weight = patient.get("ra_pressure_mmhg"), patient.get("after_ra_pressure_mmhg"), patient.get("weight_kg")
    if now is None:
        return ""
    if None in (before, weight):
        pairs, _ = computed(ra_level_without_before, ra_now_mmhg=now, high_from_mmhg=setting(data, "ra_high_from_mmhg"),
                            low_below_mmhg=setting(data, "ra_low_below_unknown_mmhg"))
    else:
        pairs, _ = computed(ra_level_after_balloon, ra_now_mmhg=now, ra_before_mmhg=before, weight_kg=weight, rise_mmhg=setting(data, "ra_rise_mmhg"),
                            small_rise_mmhg=setting(data, "ra_small_rise_mmhg"), small_below_kg=setting(data, "ra_small_below_kg"),
                            high_from_mmhg=setting(data, "ra_high_from_mmhg"), fall_mmhg=setting(data, "ra_fall_mmhg"), low_to_mmhg=setting(data, "ra_low_to_mmhg"))
    return named(pairs, "ra_level") if pairs else ""


def word_of(data, patient, made, annulus_mm):
    """One word for what is next; the danger first."""
    if "yes" in (patient.get("after_tear"), patient.get("after_effusion")):
        return "stop_tear"
    if made["new_regurgitation"] in ("moderate", "severe"):
        return "surgeon"
    if made["rv_level"] == "LOW" and made["ra_level"] == "HIGH":
        return "failing"
    small, stop = setting(data, "infundibular_small_below_mmhg"), setting(data, "residual_stop_below_mmhg")
    valve, below = made["valve_mmhg"], made["below_mmhg"]
    if valve is None and made["whole_mmhg"] is not None and made["whole_mmhg"] < min(small, stop):
        valve = below = made["whole_mmhg"]  # too small in all to hide a second level
    if valve is None:
        return "unknown"
    artery = patient.get("after_pa_systolic_mmhg")
    if valve < stop and (below or 0) < small and artery is not None and artery > setting(data, "pa_high_above_mmhg") and not done_by_ratio(data, made):
        return "lungs"
    if patient["newborn"] == "yes":
        return newborn_word(data, made, valve, below or 0)
    given = {"newborn": "no", "new_regurgitation": made["new_regurgitation"], "tear": "no", "valve_gradient_mmhg": valve,
             "step_below_valve": "yes" if (below or 0) >= small else "no"}
    if made["ratio"] is not None:
        given["rv_systemic_ratio"] = min(made["ratio"], 3)
    if patient.get("after_waist"):
        given["waist"] = "gone" if patient["after_waist"] == "gone" else "persisted"
    if annulus_mm and patient.get("after_balloon_mm"):
        given["balloon_annulus_ratio"] = patient["after_balloon_mm"] / annulus_mm
    return WORDS.get(evaluate.decide(data["tables"]["residual_action"], given)["answer"], "unknown")


def done_by_ratio(data, made):
    """True when the ventricle over systemic is one that is called done."""
    return made["ratio"] is not None and made["ratio"] < setting(data, "rv_systemic_done_below_ratio")


def newborn_word(data, made, valve, below):
    """The newborn's end is forward flow and a ventricle below systemic, not a ratio of a half."""
    if below >= setting(data, "infundibular_small_below_mmhg") and valve < setting(data, "residual_up_from_mmhg"):
        return "muscle_medicine"
    if valve >= setting(data, "residual_up_from_mmhg"):
        return "go_up_once"
    if made["ratio"] is not None and made["ratio"] >= setting(data, "suprasystemic_ratio"):
        return "surgeon"
    return "done" if valve < setting(data, "residual_stop_below_mmhg") else "accept"


def sentence(data, patient, made):
    """What is next, in the plan's fixed words."""
    text = SENTENCES["abandoned" if made["word"] == "unknown" and patient.get("after_performed") == "no" else made["word"]]
    while "{" in text:
        start, _, rest = text.partition("{")
        key, _, rest = rest.partition("}")
        text = start + setting_text(data, key) + rest
    if made["word"] == "stop_tear" and patient.get("after_effusion") == "yes":
        text = "Fluid with a low pressure is tamponade whatever the atrium reads: drain. " + text
    if made["word"] == "surgeon" and made["new_regurgitation"] != "none":
        text = "New regurgitation, " + made["new_regurgitation"] + ". " + text
        if patient.get("duct") in ("open", "stented") or patient.get("aortopulmonary_shunt") == "yes":
            text += (" Duct or shunt open: circular shunt? Then prostaglandin down, duct smaller, no full oxygen.")
    if made["word"] == "muscle_medicine" and patient.get("asthma") == "yes":
        text += " Asthma: esmolol only, in the smallest step, the bronchodilator ready."
    if made["word"] == "done" and patient["newborn"] == "yes":
        text = "Forward flow must be seen, the ventricle is below systemic; the saturation may stay low while it recovers."
    if made["rv_level"] == "BETWEEN":
        text += " The ventricle is BETWEEN: echo decides, no beta-blocker on numbers."
    elif made["rv_level"] == "HIGH" and made["word"] != "muscle_medicine":
        text += " No beta-blocker on numbers."
    return text


def step_words(made):
    """`Step at the valve 18 mmHg, below it 58 mmHg`, a question mark for what was not measured."""
    valve, below = [("?" if value is None else show(value, 0)) + " mmHg" for value in (made["valve_mmhg"], made["below_mmhg"])]
    return "Step at the valve " + valve + ", below it " + below


def pressure_words(patient, made):
    """`RV 90 to 40 / systemic 110 = 0.36. PA 20. RA 6 to 5. RV is LOW (HIGH from 81, LOW to 60)`."""
    now, before = patient.get("after_rv_systolic_mmhg"), patient.get("rv_systolic_mmhg")
    parts = []
    if now is not None:
        words = "RV now " + show_input(now) + (", before " + show_input(before) if before is not None else "")
        if made["ratio"] is not None:
            words = "RV " + show_input(now) + " / systemic " + show_input(patient["after_systemic_systolic_mmhg"]) + " = " + show(made["ratio"], 2) + (
                ", before " + show_input(before) if before is not None else "")
        parts.append(words)
    if "after_pa_systolic_mmhg" in patient:
        parts.append("PA " + show_input(patient["after_pa_systolic_mmhg"]))
    if "after_ra_pressure_mmhg" in patient:
        ra = "RA " + (show_input(patient["ra_pressure_mmhg"]) + " to " if "ra_pressure_mmhg" in patient else "") + show_input(patient["after_ra_pressure_mmhg"])
        parts.append(ra + (" " + made["ra_level"] if made["ra_level"] else ""))
    else:
        parts.append("RA not entered")
    if made["rv_level"]:
        parts.append("RV is " + made["rv_level"] + " (HIGH from " + up(made["high_from_mmhg"]) + ", LOW to " + down(made["low_to_mmhg"]) + ")")
    return ". ".join(parts) + "."


def up(value):
    """A pressure from which something counts, to the nearest whole one: no transducer knows more."""
    return show(value, 0)


def down(value):
    """A pressure up to which something counts: the whole one below."""
    return show(int(value + 1e-6), 0)


def lines_of(patient, made):
    """Lines of the section on the time after the balloon."""
    lines = [step_words(made) + ".", pressure_words(patient, made), made["sentence"]]
    regurgitation = patient.get("after_pulmonary_regurgitation")
    if regurgitation is not None:
        lines.append("Regurgitation " + regurgitation + (", new or worse by a grade" if made["new_regurgitation"] != "none" else ", as before or trivial") + ".")
    return lines

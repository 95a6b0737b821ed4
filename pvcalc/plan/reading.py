"""How a gradient of this patient may be read: flow, systemic pressure, steps, and what speaks against a headline.

The rules stand in the tables of the topic `reading`; here they are asked. A table row that holds is a reason with a
code (its identity) and words (its advice); an input that is not known never counts as "no reason".
"""

from pvcalc.core.errors import Refusal
from pvcalc.core.units import show, show_input
from pvcalc.decision import evaluate
from pvcalc.decision.conditions import row_truth
from pvcalc.plan.settings import setting
from pvcalc.plan.sizing import surface

LOWER_BOUND, DOUBTS, CONTRADICTED, PRESSURE = "gradient_as_severity", "headline_doubt", "severe_doubt", "rv_pressure"


def reading(data, patient, values):
    """What the tables of this topic ask for, as far as it is known.

    Args:
        data: the handbook's data; patient: as `read_patient` gives it; values: what was derived (`plan_derived.derived`).
    Returns a dict of inputs by name; `flow_words`, `systemic_words` say where two of them come from.
    """
    known = {name: patient[name] for name in patient if isinstance(patient[name], (str, int, float))}
    for name in ("rv_systemic_ratio", "unexplained_mmhg", "subvalve_gradient_mmhg", "qp_qs_ratio"):
        if values.get(name) is not None:
            known[name] = values[name]
    flow, known["flow_words"] = flow_across(data, patient)
    if flow:
        known["flow_across_valve"] = flow
    systemic, known["systemic_words"] = systemic_pressure(data, patient)
    if systemic:
        known["systemic_pressure"] = systemic
    state = measuring_state(patient, values)
    if state:
        known["measuring_state"] = state
    return known


def flow_across(data, patient):
    """(`low`, `normal` or "", words) for the flow across the valve, which a shunt parts from the systemic output."""
    area, rate = surface(patient), patient.get("heart_rate_bpm")
    adult = is_adult(data, patient)
    limit = setting(data, "flow_low_adult_l_min_m2" if adult else "flow_low_child_l_min_m2")
    shunted = patient.get("septal_defect") == "yes" or patient.get("atrial_gap") == "left_to_right" or open_to_the_aorta(patient)
    flow, bound = patient.get("lung_flow_l_min"), ""
    if flow is None and patient.get("output_l_min") is not None:
        flow = patient["output_l_min"]
        bound = "at most" if patient.get("atrial_gap") == "right_to_left" else "at least" if shunted else ""
    about = "about " if patient.get("oxygen_uptake") == "assumed" else ""
    mixed = patient.get("pa_saturation_percent")
    if mixed is not None and not shunted and mixed < setting(data, "mixed_saturation_low_percent"):
        return "low", "pulmonary artery saturation " + show_input(mixed) + " %"
    if flow is None or area is None:
        return "", ""
    index = flow / area
    near = show(index, 1) == show(limit, 1)  # one digit is as good as a flow is known, but where it reads like the line itself
    words = about + (bound + " " if bound else "") + show(index, 2 if near else 1) + " L/min/m² across the valve"
    if index < limit:
        return ("", words) if bound == "at least" else ("low", words)
    if adult and rate is not None and bound != "at least" and index * 1000 / rate <= setting(data, "stroke_index_low_ml_m2"):
        return "low", about + "stroke index " + show(index * 1000 / rate, 0) + " mL/m²"
    return ("", words) if bound == "at most" else ("normal", words)


def is_adult(data, patient):
    """True from the age at which the department reads the adult's rules."""
    return patient["age_years"] >= setting(data, "adult_from_years")


def low_output_words(data, patient):
    """A sentence when an adult's output is so low that help is called, else ""."""
    area, output = surface(patient), patient.get("lung_flow_l_min", patient.get("output_l_min"))
    limit = setting(data, "flow_call_l_min_m2")
    if None in (area, output) or not is_adult(data, patient) or output / area >= limit:
        return ""
    return ("The output is low: " + show(output / area, 2) + " L/min/m², below " + show_input(limit)
            + ". Call for help before the case; the ventricle may not bear it.")


def open_to_the_aorta(patient):
    """True when the aorta fills the lung artery: open or stented duct, surgical shunt."""
    return patient.get("duct") in ("open", "stented") or patient.get("aortopulmonary_shunt") == "yes"


def systemic_pressure(data, patient):
    """(`ordinary`, `low` or "", words): whether the systemic pressure is one that a ratio may be formed with."""
    value, awake = patient.get("systemic_systolic_mmhg"), patient.get("systemic_awake_mmhg")
    if value is None:
        return "", ""
    if awake is not None:
        floor = setting(data, "systemic_of_awake_ratio") * awake
        words = show(setting(data, "systemic_of_awake_ratio") * 100, 0) + " % of " + show_input(awake) + " awake"
    else:
        floor, words = systemic_floor(data, patient)
    return ("ordinary" if value >= floor - 1e-9 else "low"), words


def systemic_floor(data, patient):
    """(mmHg, words) below which a systolic pressure is low for the age. Below one year the line is recalled and only held against."""
    years = patient["age_years"]
    if years < 1:
        key = "systemic_low_newborn_mmhg" if patient["newborn"] == "yes" else "systemic_low_infant_mmhg"
        return data["settings"][key], show_input(data["settings"][key]) + " at this age, recalled"
    counted = min(years, setting(data, "systemic_low_to_years"))
    floor = setting(data, "systemic_low_base_mmhg") + setting(data, "systemic_low_per_year_mmhg") * counted
    return floor, show(floor, 0) + " at this age"


def measuring_state(patient, values):
    """State in which a gradient was taken: `anaesthesia` only when every one was; None when that is not known."""
    states = []
    if values.get("doppler_peak_mmhg") is not None or "doppler_mean_mmhg" in patient:
        states.append(patient.get("doppler_state"))
    if "catheter_peak_to_peak_mmhg" in patient:
        states.append(patient.get("catheter_state"))
    lighter = [one for one in states if one in ("awake", "sedated")]
    if lighter:
        return lighter[0]
    return "anaesthesia" if states and None not in states else None


def met(data, name, known, answer=""):
    """(code, words) of every row of a table that holds for what is known; `answer` keeps those with this answer."""
    table = data["tables"][name]
    try:
        given = evaluate.checked(table, evaluate.inputs_for(table, known))
    except Refusal:
        return []
    return [(row["id"].partition(":")[2], row["then"].get("advice") or "") for row in table["rows"]
            if row_truth(table, row, given) is True and (not answer or row["then"]["answer"] == answer)]


def answered(data, name, known):
    """The report of one table for what is known."""
    table = data["tables"][name]
    return evaluate.decide(table, evaluate.inputs_for(table, known))


def lower_bound(data, known):
    """Reasons why the gradient is only a lower bound of the severity (newborn, lung artery filled from the aorta): (code, words)."""
    return met(data, LOWER_BOUND, known, "lower_bound")


def doubts(data, known):
    """Reasons why a mild or moderate grade is no headline: (code, words)."""
    found = met(data, DOUBTS, known, "not_the_headline")
    if "rv_function" not in known:
        found.append(("rv_function_not_stated", "right ventricular function not stated"))
    return found


def contradictions(data, known):
    """Reasons why a severe grade is not confirmed: (code, words)."""
    return met(data, CONTRADICTED, known, "not_confirmed")


def pressure_word(data, known):
    """`severe`, `not_severe` or `unknown` for the right ventricle's own pressure, and true when a low systemic pressure inflates the ratio."""
    report = answered(data, PRESSURE, known)
    word = {"severe_pressure": "severe", "not_severe": "not_severe"}.get(report["answer"], "unknown")
    return word, report["answer"] == "inflated"

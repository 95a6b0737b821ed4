"""The case as one row of an audit file, in the audit's own columns; what was not entered is a blank cell, never none and never no."""

from pvcalc.core.errors import NotUnderstood
from pvcalc.core.units import show_input
from pvcalc.plan.documents import plain_digits

COLUMNS = (
    "attempt,date,age_days,age_years,weight_kg,treated_before,valve,narrowing_above,operator,performed,abandoned_because,catheter_before_mmhg,"
    "catheter_after_mmhg,subvalve_before_mmhg,subvalve_after_mmhg,doppler_before_mmhg,doppler_after_mmhg,rv_systolic_before_mmhg,"
    "rv_systolic_after_mmhg,systemic_systolic_before_mmhg,systemic_systolic_after_mmhg,lv_systolic_after_mmhg,saturation_after_percent,annulus_mm,"
    "annulus_how,annulus_frame,balloon_annulus_ratio,event_level,died,heart_block,thrombosis,regurgitation_discharge,regurgitation_1_year,"
    "regurgitation_5_years,regurgitation_10_years,regurgitant_fraction_percent,late_doppler_mmhg,last_seen,reintervention,reintervention_date,"
    "reintervention_because,contrast_ml_per_kg,kap_per_kg_ugy_m2,sheath_french").split(",")
SAME = [("weight_kg", "weight_kg"), ("valve", "valve"), ("supravalvar_narrowing", "narrowing_above"), ("after_abandoned_because", "abandoned_because"),
        ("rv_systolic_mmhg", "rv_systolic_before_mmhg"), ("after_rv_systolic_mmhg", "rv_systolic_after_mmhg"),
        ("systemic_systolic_mmhg", "systemic_systolic_before_mmhg"), ("after_systemic_systolic_mmhg", "systemic_systolic_after_mmhg"),
        ("after_doppler_peak_mmhg", "doppler_after_mmhg"), ("after_saturation_percent", "saturation_after_percent"), ("after_died", "died"),
        ("after_thrombosis", "thrombosis"), ("after_pulmonary_regurgitation", "regurgitation_discharge"), ("after_sheath_french", "sheath_french")]
LEVELS = {"none": 1, "minor": 2, "moderate": 3, "major": 4, "catastrophic": 5}
BLOCK = {"none": "no", "passing": "no", "complete": "yes"}
# Columns whose limits are narrower than the plan's own fields: beyond them the cell stays blank.
NARROW = {"catheter_before_mmhg": (0, 300), "subvalve_before_mmhg": (0, 300),
          "saturation_after_percent": (30, 100), "balloon_annulus_ratio": (0.5, 2), "contrast_ml_per_kg": (0, 50), "kap_per_kg_ugy_m2": (0, 1000)}
ONLY_PERFORMED = ("catheter_after_mmhg", "doppler_after_mmhg", "balloon_annulus_ratio")
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
MOST_LETTERS = 24


def row(made, attempt, date):
    """Column to value of one attempt.

    Args:
        made: a plan (`case.plan`); attempt: the running number of the department's own list; date: such as 2026-03-31.
    Raises: NotUnderstood naming what a row needs and does not have.
    """
    patient = made["inputs"]
    faults = head_faults(attempt, date)
    performed = patient.get("after_performed") or ("yes" if "after_balloon_mm" in patient or "after_waist" in patient else None)
    if performed is None:
        faults.append(("after_performed", "A row needs to know whether a balloon was filled across the valve."))
    if faults:
        raise NotUnderstood(faults)
    values = {"attempt": attempt, "date": date, "performed": performed}
    if patient["age_years"] < 2:
        values["age_days"] = patient["age_days"]
    else:
        values["age_years"] = patient["age_years"]
    for field, column in SAME:
        values[column] = patient.get(field)
    values.update(worked_out(made, patient))
    for column in NARROW:
        low, high = NARROW[column]
        if values.get(column) is not None and not low <= values[column] <= high:
            values[column] = None
    if performed == "no":
        for column in ONLY_PERFORMED:
            values[column] = None
    return {column: cut(values[column]) for column in COLUMNS if values.get(column) is not None}


def head_faults(attempt, date):
    """Faults of the two cells that the plan does not ask for."""
    faults = []
    if not 1 <= len(attempt) <= MOST_LETTERS or [letter for letter in attempt if letter not in LETTERS]:
        faults.append(("attempt", "The attempt needs a running number of your own: up to 24 letters, digits, - and _; no name and no hospital number."))
    parts = date.split("-")
    if [len(part) for part in parts] != [4, 2, 2] or [letter for letter in "".join(parts) if letter not in "0123456789"]:
        faults.append(("date", "The date is year, month and day, such as 2026-03-31."))
    return faults


def worked_out(made, patient):
    """Cells that are not one field: treated before, gradients at the valve, the annulus that counts, ratio, level, block, and sums by weight."""
    after, derived, weight = made["after"] or {}, made["derived"], patient.get("weight_kg")
    values = {"treated_before": patient.get("treated_before"), "doppler_before_mmhg": derived["doppler_peak_mmhg"],
              "catheter_after_mmhg": after.get("valve_mmhg"), "subvalve_after_mmhg": after.get("below_mmhg"),
              "event_level": LEVELS.get(patient.get("after_event_level")), "heart_block": BLOCK.get(patient.get("after_heart_block")),
              "balloon_annulus_ratio": (made["afterwards"] or {}).get("ratio")}
    if values["treated_before"] is None and "earlier_treatment" in patient:
        values["treated_before"] = "no" if patient["earlier_treatment"] == "none" else "yes"
    values["catheter_before_mmhg"] = derived["valve_gradient_mmhg"] if "rvot_systolic_mmhg" in patient else patient.get("catheter_peak_to_peak_mmhg")
    if "rvot_systolic_mmhg" in patient:
        values["subvalve_before_mmhg"] = derived["subvalve_gradient_mmhg"]
    annulus = made["sizing"]["annulus"]
    if annulus:
        values["annulus_mm"], values["annulus_how"], values["annulus_frame"] = annulus["mm"], annulus["modality"], annulus["frame"]
    if weight and "contrast_used_ml" in patient:
        values["contrast_ml_per_kg"] = patient["contrast_used_ml"] / weight
    if weight and "after_kap_ugy_m2" in patient:
        values["kap_per_kg_ugy_m2"] = patient["after_kap_ugy_m2"] / weight
    return values


def cut(value):
    """A number to two decimals, a whole one without any; a word as it is."""
    if isinstance(value, str):
        return value
    short = int(value * 100 + (0.5 if value >= 0 else -0.5)) / 100
    return int(short) if short == int(short) else short


def cells(values):
    """The row as texts, in the order of the columns."""
    return [cell(values[column]) if column in values else "" for column in COLUMNS]


def cell(value):
    """A value as a spreadsheet reads it: no blank between thousands, a plain minus sign."""
    return value if isinstance(value, str) else plain_digits(show_input(value))


def csv_text(values, header=True):
    """The row as CSV, with the header of an audit file above it. No cell can hold a separator or begin a formula."""
    return (",".join(COLUMNS) + "\n" if header else "") + ",".join(cells(values)) + "\n"

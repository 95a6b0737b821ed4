"""Ceilings of this case: contrast, local anaesthetic, heparin and protamine, blood. Caps and steps are shown.

What rests on a recalled setting carries "recalled: sign first" in its own line.
"""

from pvcalc.core.units import show, show_input, show_named, total
from pvcalc.formulas.doses import allowable_blood_loss_ml, blood_volume_ml, heparin_bolus_units, local_anaesthetic_limit_ml, protamine_mg
from pvcalc.formulas.kidney import egfr_bedside_schwartz_ml_min_173, egfr_ckd_epi_2021_ml_min_173
from pvcalc.plan import doses
from pvcalc.plan.contrast import contrast, rows_of
from pvcalc.plan.dose_amounts import tenths_text
from pvcalc.plan.settings import computed, is_recalled, setting, setting_text, weakest_seen


def row(label, value=None, unit="", text="", steps="", formula="", note="", provenance=""):
    """One line of the limits."""
    return {"label": label, "value": value, "unit": unit, "text": text, "steps": steps, "formula": formula, "note": note,
            "provenance": provenance}


def case_limits(data, patient):
    """All ceilings.

    Returns (dict of lists of rows, the record of contrast or None, what is missing, warnings).
    """
    missing, warnings = [], []
    weight = patient.get("weight_kg")
    if weight is None:
        missing.append("weight, for every limit and every dose")
    elif patient["questions"]:
        missing.append("an answer to the question about age, height and weight, for every limit and every dose")
        weight = None
    made = {"contrast": [], "kidney": [], "local_anaesthetic": [], "heparin": [], "protamine": [], "blood": []}
    rate = filtration(patient, made, missing, warnings)
    spent = contrast(data, patient, rate)
    if weight is not None:
        made["contrast"] = contrast_rows(data, patient, weight, spent, missing)
        made["local_anaesthetic"] = from_sheet(data, patient, ["lidocaine_plain", "lidocaine_adrenaline", "bupivacaine"],
                                               local_anaesthetic_limit_ml.name)
        made["heparin"] = from_sheet(data, patient, ["heparin", "heparin_shut", "heparin_top_up"], heparin_bolus_units.name)
        blood(data, patient, weight, made, missing)
    protamine(data, patient, made, warnings)
    return made, spent, missing, warnings


def filtration(patient, made, missing, warnings):
    """Filtration rate by the formula of the age, or None."""
    creatinine, age = patient.get("creatinine_umol_l"), patient["age_years"]
    if creatinine is None:
        if age >= 18:
            missing.append("creatinine, for the contrast limit of an adult")
        return None
    if 16 <= age <= 25:
        warnings.append("Between 16 and 25 years the two filtration formulas jump on the 18th birthday; neither is right.")
    if age < 1:
        missing.append("a filtration rate: under one year there is no formula here")
        return None
    lacking = "height" if age < 18 else "sex"
    if ("height_cm" if age < 18 else "sex") not in patient:
        missing.append(lacking + ", for the filtration rate")
        return None
    if age < 18 and patient["questions"]:
        return None
    formula = egfr_bedside_schwartz_ml_min_173 if age < 18 else egfr_ckd_epi_2021_ml_min_173
    given = {"creatinine_umol_l": creatinine, "age_years": age}
    if age < 18:
        given["height_cm"] = patient["height_cm"]
    else:
        given["sex"] = patient["sex"]
    rate, fault = computed(formula, **given)
    if rate is None:
        missing.append("a filtration rate: " + fault)
        return None
    made["kidney"].append(row("Filtration rate", rate, "ml_min_173", show_named(rate, formula.name), "creatinine "
                              + show_input(creatinine) + " µmol/L", formula.name, provenance=formula.seen))
    return rate


def contrast_rows(data, patient, weight, spent, missing):
    """The ladder with what is left of it, the labels beside it, and one injection."""
    if spent["used_ml"] is None:
        missing.append("contrast used so far, for what is left of it (0 before the case)")
    rows = rows_of(data, patient, spent, row)
    run = row("One right ventricular injection", text="not above " + setting_text(data, "rv_injection_ml_kg") + ", at most "
              + setting_text(data, "rv_injection_cap_ml") + " and " + setting_text(data, "rv_injection_rate_cap_ml_s")
              + "; never through an end-hole catheter", provenance=weakest_seen(data, ["rv_injection_ml_kg"]))
    if patient["age_years"] < 18:
        volume = setting(data, "rv_injection_ml_kg") * weight
        if not caps(data, volume, "rv_injection_cap_ml"):
            run["value"], run["unit"] = volume, "ml"
            run["text"] = "up to " + show_named(volume, "limit_ml") + "; " + run["text"]
            run["steps"] = setting_text(data, "rv_injection_ml_kg") + " × " + show_input(weight) + " kg"
    return rows + [run]


def caps(data, value, cap_key):
    """True when a dose passes its cap; a recalled cap then leaves no number at all."""
    return value > data["settings"][cap_key]


def from_sheet(data, patient, names, formula):
    """Rows of the dose sheet as limits: the same dose, in the same words, with what of it is recalled."""
    return [row(one["label"], one["amount"], one["unit"], one["text"], one["steps"], formula,
                "; ".join([text for text in (one["mark"], one["state"], one["beware"]) if text]), one["provenance"])
            for one in doses.named_rows(data, patient, names)]


def protamine(data, patient, made, warnings):
    """Protamine against the heparin that was given, each bolus by its own age, the sum under the cap."""
    boluses = patient.get("heparin") or []
    cap = setting(data, "protamine_cap_mg")
    doses = []
    for bolus in boluses:
        dose, fault = computed(protamine_mg, heparin_units=bolus["units"], minutes_since=bolus["minutes_ago"], cap_mg=cap)
        if dose is None:
            warnings.append("Protamine: " + fault)
            return
        doses.append(dose)
        made["protamine"].append(row("Against " + show_input(bolus["units"]) + " units, " + show_input(bolus["minutes_ago"]) + " minutes ago",
                                     dose, "mg", tenths_text(dose), "1, 0.5, 0.375 or 0.25 mg for 100 units by 30, 60, 120 minutes and later",
                                     protamine_mg.name, provenance="read"))
    if doses:
        whole = total(doses)
        text = tenths_text(min(whole, cap)) + (", capped from " + tenths_text(whole) if whole > cap else "")
        made["protamine"].append(row("Protamine, all boluses", min(whole, cap), "mg", text, "cap " + setting_text(data, "protamine_cap_mg") + "; at most "
                                     + setting_text(data, "protamine_rate_mg") + " a minute, over at least "
                                     + setting_text(data, "protamine_least_time_minutes"), note="none when circulatory support may follow; "
                                     "recheck the clotting time; as reported, formulary decides", provenance="read"))


def blood(data, patient, weight, made, missing):
    """Blood volume by age group, and the loss to the haematocrit floor."""
    group, key, each = blood_per_kg(data, patient, weight)
    volume, fault = (None, "no volume for " + group) if each is None else computed(blood_volume_ml, weight_kg=weight, ml_per_kg=each)
    if volume is None:
        made["blood"].append(row("Blood volume", text="not computed: " + fault, note=heavy_note(data, patient, key)))
        return
    made["blood"].append(row("Blood volume, " + group, volume, "ml", show_named(volume, "ml"), show_input(each) + " mL/kg × " + show_input(weight) + " kg",
                             blood_volume_ml.name, heavy_note(data, patient, key), weakest_seen(data, [key])))
    if patient.get("newborn") == "yes" or patient.get("atrial_gap") == "right_to_left":
        made["blood"].append(row("Allowable blood loss", text="not computed: the floor of " + setting_text(data, "haematocrit_floor_percent")
                                 + " is not for a newborn nor for a cyanosed patient, who want a higher one"))
        return
    if patient.get("haematocrit_percent") is None:
        missing.append("haematocrit, for the blood loss that can be allowed")
        return
    loss, fault = computed(allowable_blood_loss_ml, blood_volume_ml=volume, start_haematocrit_percent=patient["haematocrit_percent"],
                           floor_haematocrit_percent=setting(data, "haematocrit_floor_percent"))
    if loss is None:
        made["blood"].append(row("Allowable blood loss", text="none: " + fault, provenance=weakest_seen(data, ["haematocrit_floor_percent"])))
        return
    made["blood"].append(row("Allowable blood loss", loss, "ml", "about " + show_named(loss, allowable_blood_loss_ml.name, 0), "from " + show_input(patient["haematocrit_percent"])
                             + " % to " + setting_text(data, "haematocrit_floor_percent"), allowable_blood_loss_ml.name,
                             "a cyanosed newborn needs a higher floor", weakest_seen(data, ["haematocrit_floor_percent"])))


def blood_per_kg(data, patient, weight):
    """(group in words, setting, mL/kg or None); a heavy adult of known height has less for each kilogram."""
    group = blood_group(patient["age_years"], patient.get("newborn"), patient.get("preterm"))
    if group == "adult" and body_mass_index(patient, weight) >= data["settings"]["blood_volume_obese_from_index"]:
        return "adult, heavy for the height", "blood_volume_obese_ml_per_kg", data["settings"]["blood_volume_obese_ml_per_kg"]
    each = [record["ml_per_kg"] for record in data["settings"]["blood_volume"] if record["group"] == group]
    return group, "blood_volume", each[0] if each else None


def body_mass_index(patient, weight):
    """Weight over height squared; 0 while the height is blank."""
    height_m = patient.get("height_cm", 0) / 100
    return weight / (height_m * height_m) if height_m else 0


def heavy_note(data, patient, key):
    """What to say of a heavy adult: the mark of the smaller volume, or that it counts once the height is known."""
    names = ("blood_volume_obese_from_index", "blood_volume_obese_ml_per_kg")
    mark = " (" + doses.RECALLED + ")" if [name for name in names if is_recalled(data, name)] else ""
    index, each = [data["settings"][name] for name in names]
    if key != "blood_volume":
        return "body mass index of " + show_input(index) + " and more" + mark
    if patient["age_years"] < 18:
        return ""
    return ("from a body mass index of " + show_input(index) + " on " + show_input(each) + " mL/kg" + mark
            + ("" if patient.get("height_cm") else "; the height is blank"))


def blood_group(years, newborn, preterm=None):
    """Age group of the blood volume; a newborn counts as term unless `preterm` is "yes"."""
    if newborn == "yes":
        return "preterm newborn" if preterm == "yes" else "term newborn"
    if years < 1:
        return "infant"
    return "child" if years < 18 else "adult"

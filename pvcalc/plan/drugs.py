"""Drug table for one weight, from the department's settings: dose, cap and steps; recalled figures only named."""

from pvcalc.core.units import show_input, show_named
from pvcalc.formulas.doses import infusion_rate_ml_h
from pvcalc.plan.settings import computed, confirm_words, is_recalled, setting, setting_text, weakest_seen

# For whom, label, dose by weight, cap, strength, unit of the dose.
DOSES = [
    ("all", "Volume, first bolus", "volume_bolus_ml_kg", "volume_bolus_cap_ml", "", "ml"),
    ("all", "Esmolol, load over 1 to 2 minutes", "esmolol_load_micrograms_kg", "esmolol_load_cap_mg", "", "micrograms"),
    ("child", "Phenylephrine, first bolus", "phenylephrine_child_low_micrograms_kg", "phenylephrine_cap_micrograms", "", "micrograms"),
    ("infant", "Propranolol IV, one step", "propranolol_iv_step_mg_kg", "propranolol_iv_infant_cap_mg", "", "mg"),
    ("after infancy", "Propranolol IV, one step", "propranolol_iv_step_mg_kg", "propranolol_iv_child_cap_mg", "", "mg"),
    ("all", "Adrenaline, arrest", "adrenaline_arrest_micrograms_kg", "adrenaline_arrest_cap_mg", "adrenaline_arrest_strength_mg_ml", "micrograms"),
    ("child", "Defibrillation, first shock", "shock_child_j_kg", "shock_cap_j", "", "j"),
    ("all", "Amiodarone, shockable arrest", "amiodarone_mg_kg", "amiodarone_cap_mg", "", "mg"),
    ("child", "Atropine", "atropine_mg_kg", "atropine_child_cap_mg", "", "mg"),
    ("all", "Adrenaline into the muscle, anaphylaxis", "adrenaline_im_mg_kg", "adrenaline_im_cap_mg", "adrenaline_im_strength_mg_ml", "mg"),
    ("all", "Fluid, anaphylaxis, first bolus", "anaphylaxis_fluid_ml_kg", "anaphylaxis_fluid_cap_ml", "", "ml"),
]
# Fixed doses of an adult.
FIXED = [("Phenylephrine, bolus", "phenylephrine_adult_micrograms"), ("Defibrillation, biphasic", "shock_adult_j"),
         ("Atropine", "atropine_adult_mg")]
# For whom, label, dose, ceiling, strength.
INFUSIONS = [
    ("all", "Esmolol, infusion", "esmolol_start_micrograms_kg_min", "esmolol_ceiling_micrograms_kg_min", "esmolol_strength_micrograms_ml"),
    ("all", "Phenylephrine, infusion", "phenylephrine_start_micrograms_kg_min", "phenylephrine_ceiling_micrograms_kg_min",
     "phenylephrine_strength_micrograms_ml"),
    ("all", "Noradrenaline, infusion", "noradrenaline_start_micrograms_kg_min", "noradrenaline_ceiling_micrograms_kg_min",
     "noradrenaline_strength_micrograms_ml"),
    ("open", "Alprostadil, duct open", "alprostadil_open_duct_micrograms_kg_min", "alprostadil_open_duct_ceiling_micrograms_kg_min",
     "alprostadil_strength_micrograms_ml"),
    ("closing", "Alprostadil, duct closing or shut", "alprostadil_closing_duct_micrograms_kg_min", "alprostadil_ceiling_micrograms_kg_min",
     "alprostadil_strength_micrograms_ml"),
]
NOTE = "as reported, formulary decides; confirm with pharmacist and anaesthetist"
IN_MICROGRAMS = {"mg": 1000.0, "micrograms": 1.0}


def drugs(data, patient):
    """Rows of the drug table; empty while the weight is blank or in question."""
    weight = patient.get("weight_kg")
    if weight is None or patient["questions"]:
        return []
    rows = []
    for who, label, dose, cap, strength, unit in DOSES:
        if meant(who, patient):
            rows.append(dose_row(data, label, dose, cap, strength, unit, weight))
    if patient["age_years"] >= 18:
        rows += [fixed_row(data, label, key) for label, key in FIXED]
    for who, label, dose, ceiling, strength in INFUSIONS:
        if meant(who, patient):
            rows.append(infusion_row(data, label, dose, ceiling, strength, weight))
    return rows


def meant(who, patient):
    """Whether a row is for this patient."""
    if who == "child":
        return patient["age_years"] < 18
    if who == "infant":
        return patient["age_years"] < 1
    if who == "after infancy":
        return 1 <= patient["age_years"] < 18
    if who == "open":
        return patient["newborn"] == "yes" and patient.get("duct") != "closed"
    if who == "closing":
        return patient["newborn"] == "yes" and patient.get("duct") != "open"
    return True


def drug_row(label, value, unit, text, steps, provenance):
    """One line of the drug table."""
    return {"label": label, "value": value, "unit": unit, "text": text, "steps": steps, "note": NOTE, "provenance": provenance}


def named_only(data, label, keys):
    """A row that rests on a recalled figure: the figures stand there, no number for this weight."""
    words = "; ".join([setting_text(data, key) for key in keys if key])
    return drug_row(label, None, "", "not computed: recalled, confirm with " + confirm_words(data, keys[0]), words, "memory")


def cap_in(cap_key, unit, value):
    """A cap in the unit of its dose."""
    cap_unit = cap_key.rpartition("_")[2]
    if unit in IN_MICROGRAMS and cap_unit in IN_MICROGRAMS:
        return value * IN_MICROGRAMS[cap_unit] / IN_MICROGRAMS[unit]
    return value


def dose_row(data, label, dose_key, cap_key, strength_key, unit, weight):
    """Dose by weight under its cap; millilitres only where the strength was read."""
    by_weight = data["settings"][dose_key] * weight
    cap = cap_in(cap_key, unit, data["settings"][cap_key])
    if is_recalled(data, dose_key) or (is_recalled(data, cap_key) and by_weight > cap):
        return named_only(data, label, [dose_key, cap_key])
    value = by_weight if is_recalled(data, cap_key) else min(by_weight, cap)
    steps = (setting_text(data, dose_key) + " × " + show_input(weight) + " kg = " + amount(by_weight, unit) + "; cap "
             + setting_text(data, cap_key) + (" applies" if by_weight > cap else ""))
    text, keys = amount(value, unit), [dose_key] if is_recalled(data, cap_key) else [dose_key, cap_key]
    if strength_key and not is_recalled(data, strength_key):
        volume = value / IN_MICROGRAMS["mg"] / setting(data, strength_key) if unit == "micrograms" else value / setting(data, strength_key)
        text += " = " + show_named(volume, "ml", 2) + " of " + setting_text(data, strength_key)
        keys.append(strength_key)
    return drug_row(label, value, unit, text, steps, weakest_seen(data, keys))


def amount(value, unit):
    """A dose in its unit, to what can be drawn up."""
    small = 3 if value < 10 else 1 if value < 100 else 0
    return show_named(value, unit, {"ml": 1, "mg": 3 if value < 1 else 2 if value < 10 else 1, "micrograms": small, "micrograms_min": small,
                                    "j": 0 if value >= 10 else 1}[unit])


def fixed_row(data, label, key):
    """A dose of an adult that does not go by weight."""
    if is_recalled(data, key):
        return named_only(data, label, [key])
    return drug_row(label, setting(data, key), key.rpartition("_")[2], setting_text(data, key), "fixed dose of an adult", weakest_seen(data, [key]))


def infusion_row(data, label, dose_key, ceiling_key, strength_key, weight):
    """Start of an infusion; a pump rate only where dose and strength were read."""
    if is_recalled(data, dose_key):
        return named_only(data, label, [dose_key, ceiling_key, strength_key])
    steps = "start " + setting_text(data, dose_key) + ", ceiling " + setting_text(data, ceiling_key)
    if is_recalled(data, strength_key):
        value = setting(data, dose_key) * weight
        return drug_row(label, value, "micrograms_min", amount(value, "micrograms_min") + "; no pump rate: strength "
                        + setting_text(data, strength_key), steps, weakest_seen(data, [dose_key]))
    rate, fault = computed(infusion_rate_ml_h, dose_micrograms_kg_min=setting(data, dose_key), weight_kg=weight,
                           concentration_micrograms_ml=setting(data, strength_key))
    if rate is None:
        return drug_row(label, None, "", "not computed: " + fault, steps, weakest_seen(data, [dose_key, strength_key]))
    return drug_row(label, rate, "ml_h", setting_text(data, dose_key) + " = " + show_named(rate, "infusion_ml_h", 3 if rate < 1 else 1) + " of "
                    + setting_text(data, strength_key), steps, weakest_seen(data, [dose_key, strength_key]))

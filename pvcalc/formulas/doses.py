"""Ceilings of one case: contrast, blood, local anaesthetic, heparin, protamine, and the rate of a pump."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed
from pvcalc.core.units import show, show_input, show_named
from pvcalc.formulas.kidney import UMOL_L_PER_MG_DL

CONTRAST_CAP_ML = 300
CONTRAST_ML_PER_KG = 5
MG_ML_PER_PERCENT = 10  # 1 % is 1 g in 100 mL
# Minutes since the bolus up to which a step holds, and protamine for 100 units of heparin; then what holds later.
PROTAMINE_STEPS_MG = [(30, 1.0), (60, 0.5), (120, 0.375)]
PROTAMINE_LATER_MG = 0.25


def _ask_contrast_cap(inputs):
    if CONTRAST_ML_PER_KG * inputs["weight_kg"] > CONTRAST_CAP_ML:
        return "The cap applies: 5 mL/kg would be more than 300 mL, so 300 mL is divided instead."
    return ""


@formula("cigarroa1989", asks=(_ask_contrast_cap,),
         limits_from="studied only in adults with raised creatinine; otherwise, and in every child, use the volume per kilogram",
         age_years=(18, 110), weight_kg=(30, 250), creatinine_umol_l=(88.4, 1500))
def contrast_limit_ml(*, age_years, weight_kg, creatinine_umol_l):
    r"""Contrast ceiling of an adult with raised creatinine, after Cigarroa.

    $V = \frac{\mathrm{min}(5 w, 300)}{c}$

    In words: 5 mL for each kilogram, at most 300 mL, divided by creatinine in mg/dL.

    The abstract prints the 300 mL beside the numerator; others apply it to the result. From 88.4 µmol/L
    upwards the reading used here is always the smaller of the two: 80 kg and 159 µmol/L give 167 mL, not 222 mL.
    Later uses carry no cap at all, and the rule sorted injured from uninjured hardly better than chance
    (area 0.59, [@yuan2021, abstract]): a ceiling, never a safe volume. What has been given already counts.

    Args:
        age_years: 18 or over; it only opens the formula.
        weight_kg: body weight.
        creatinine_umol_l: 88.4 or over.
    Valid: age 18 to 110 years, weight 30 to 250 kg, creatinine 88.4 to 1500 µmol/L; 115 adults of 61 ± 11 years with at least 159 µmol/L in [@cigarroa1989, abstract].
    Raises: OutOfRange under 18 years and under 88.4 µmol/L, where dividing would give absurd room.
    Not for: children or normal creatinine; use `contrast_ml_per_kg`.
    Source: [@cigarroa1989, abstract], the smaller reading.
    """
    numerator = min(CONTRAST_ML_PER_KG * weight_kg, CONTRAST_CAP_ML)
    return numerator * UMOL_L_PER_MG_DL / creatinine_umol_l


printed(contrast_limit_ml, "cigarroa1989", "80 kg, 1.8 mg/dL, cap before dividing", answer="167", seen="derived", kind="derived",
        fact="E-EX6", age_years=61, weight_kg=80, creatinine_umol_l=159.12)
printed(contrast_limit_ml, "cigarroa1989", "80 kg, 1.8 mg/dL, cap after dividing", answer="222", seen="derived", kind="derived",
        fact="E-EX6", differs="This is the larger of the two readings of the cap; the smaller one is used.",
        age_years=61, weight_kg=80, creatinine_umol_l=159.12)
printed(contrast_limit_ml, "cigarroa1989", "80 kg, 1.0 mg/dL: 400 capped", answer="300", seen="derived", kind="derived",
        fact="E-EL4", age_years=61, weight_kg=80, creatinine_umol_l=88.4)


@formula("gurm2011", contrast_ml=(0, 1000), egfr_ml_min_173=(3, 200))
def contrast_renal_ratio(*, contrast_ml, egfr_ml_min_173):
    r"""Contrast volume against filtration rate.

    $r = \frac{V}{G}$

    In words: mL of contrast divided by filtration rate in mL/min/1.73 m².

    Published warning lines run from 1.78 to 6.15, with different denominators, in adults with coronary disease.
    Choose one denominator in the unit and never mix it with clearance. No worked example of a patient was found.

    Args:
        contrast_ml: given so far, or planned.
        egfr_ml_min_173: by the formula that suits the age.
    Valid: contrast 0 to 1000 mL, filtration rate 3 to 200 mL/min/1.73 m², house limits.
    Raises: OutOfRange outside these.
    Not for: children, in whom no line was published; use `contrast_ml_per_kg`.
    Source: [@gurm2011, abstract], transcribed.
    """
    return contrast_ml / egfr_ml_min_173


for _contrast, _answer in ((107, "1.78"), (120, "2"), (180, "3"), (222, "3.7"), (240, "4"), (369, "6.15")):
    printed(contrast_renal_ratio, "", "volume at a filtration rate of 60", answer=_answer, seen="derived", kind="derived",
            fact="E-EL11", contrast_ml=_contrast, egfr_ml_min_173=60)


@formula("senthilnathan2009", contrast_ml=(0, 1000), weight_kg=(0.5, 250))
def contrast_ml_per_kg(*, contrast_ml, weight_kg):
    r"""Contrast volume for each kilogram of body weight.

    $v = \frac{V}{w}$

    In words: mL of contrast divided by body weight.

    In 2321 procedures in children the median was 3.9 mL/kg and a quarter had 6 or more. No worked example of a patient was found.

    Args:
        contrast_ml: given so far, test injections and flushes of the line included.
        weight_kg: body weight.
    Valid: contrast 0 to 1000 mL, weight 0.5 to 250 kg, house limits.
    Raises: OutOfRange outside these.
    Not for: an adult with raised creatinine on its own; show `contrast_limit_ml` too.
    Source: [@senthilnathan2009, abstract], transcribed.
    """
    return contrast_ml / weight_kg


printed(contrast_ml_per_kg, "", "what dividing by a child's creatinine would allow: 10 kg, 0.3 mg/dL", answer="16.7",
        seen="derived", kind="derived", fact="E-EL4", contrast_ml=167, weight_kg=10)


@formula("blood_loss_protocol", weight_kg=(0.5, 250), ml_per_kg=(45, 110))
def blood_volume_ml(*, weight_kg, ml_per_kg):
    r"""Estimated blood volume.

    $V = w \cdot b$

    In words: body weight times the volume for each kilogram.

    Printed values: preterm 90 to 100, term 80 to 90, infant 70 to 80, child 70 to 75, obese child 60 to 65, adult
    65 to 70 mL/kg; other pages print 85, 80, 75 (man) and 65 (woman). Compute with the lower end.

    Args:
        weight_kg: body weight.
        ml_per_kg: volume for each kilogram.
    Valid: weight 0.5 to 250 kg, 45 to 110 mL/kg, house limits.
    Raises: OutOfRange outside these.
    Not for: a patient who has bled or is polycythaemic without saying so.
    Source: [@blood_loss_protocol, table], transcribed.
    """
    return weight_kg * ml_per_kg


printed(blood_volume_ml, "blood_loss_protocol", "worked example", answer="400", fact="E-EW12", weight_kg=5, ml_per_kg=80)
printed(blood_volume_ml, "blood_volume_question", "180 mL at 1.8 kg", answer="180", fact="E-EL42", weight_kg=1.8, ml_per_kg=100)
printed(blood_volume_ml, "blood_loss_page", "newborn of 3 kg at 85 mL/kg", answer="255", seen="derived", kind="derived",
        fact="E-EL45", weight_kg=3, ml_per_kg=85)


@formula("blood_loss_protocol", blood_volume_ml=(20, 10000), start_haematocrit_percent=(15, 75), floor_haematocrit_percent=(10, 60))
def allowable_blood_loss_ml(*, blood_volume_ml, start_haematocrit_percent, floor_haematocrit_percent):
    r"""Blood loss that brings the haematocrit down to a chosen floor.

    $L = V \cdot \frac{H_i - H_f}{H_i}$

    In words: blood volume times the fall of the haematocrit, divided by the starting haematocrit.

    Putting the mean haematocrit in the denominator gives more room (18 % more from 36 to 25); it is not used.
    Samples and discarded flush count as loss.

    Args:
        blood_volume_ml: by `blood_volume_ml`.
        start_haematocrit_percent: before the case.
        floor_haematocrit_percent: lowest accepted; a cyanosed newborn needs a high one.
    Valid: volume 20 to 10 000 mL, start 15 to 75 %, floor 10 to 60 %, house limits.
    Raises: OutOfRange outside these; NoResult when the start is not above the floor.
    Not for: brisk bleeding, where the haematocrit lags; treat the pressure.
    Source: [@blood_loss_protocol, formula], transcribed.
    """
    if start_haematocrit_percent <= floor_haematocrit_percent:
        refuse("start_haematocrit_percent", "The starting haematocrit is at or below the floor: there is no loss to allow.")
    return blood_volume_ml * (start_haematocrit_percent - floor_haematocrit_percent) / start_haematocrit_percent


printed(allowable_blood_loss_ml, "blood_loss_protocol", "worked example", answer="122", fact="E-EW13", blood_volume_ml=400,
        start_haematocrit_percent=36, floor_haematocrit_percent=25)


def _ask_anaesthetic_cap(inputs):
    if inputs["weight_kg"] * inputs["limit_mg_kg"] > inputs["cap_mg"]:
        return ("The cap applies: " + show_input(inputs["cap_mg"]) + " mg, not the "
                + show(inputs["weight_kg"] * inputs["limit_mg_kg"], 0) + " mg of the weight rule.")
    return ""


@formula("", seen="derived", asks=(_ask_anaesthetic_cap,), decimals=2, weight_kg=(0.5, 250), limit_mg_kg=(0.5, 7), cap_mg=(10, 500),
         strength_percent=(0.1, 4))
def local_anaesthetic_limit_ml(*, weight_kg, limit_mg_kg, cap_mg, strength_percent):
    r"""Largest volume of a local anaesthetic.

    $V = \frac{\mathrm{min}(w \cdot d, m)}{10 s}$

    In words: the smaller of weight times limit and the cap, divided by ten times the strength in per cent.

    One per cent is 10 mg/mL. Limits differ: plain lidocaine 3 mg/kg in the stricter texts, 4.5 in the labels with a total
    under 300 mg (some formularies 200); with adrenaline 7 mg/kg, under 500 mg. A bupivacaine dose and a full
    lidocaine dose add up. Local formulary, pharmacist and anaesthetist decide.

    Args:
        weight_kg: body weight.
        limit_mg_kg: of this drug and mixture; a local setting.
        cap_mg: largest total, whatever the weight; a local setting.
        strength_percent: of the ampoule in hand.
    Valid: weight 0.5 to 250 kg, limit 0.5 to 7 mg/kg, cap 10 to 500 mg, strength 0.1 to 4 %, house limits.
    Raises: OutOfRange outside these.
    Not for: a second drug on top of the first; subtract what was given.
    Source: geometry of units; the limits come from the labels [@lidocaine_labels, three label texts].
    """
    return min(weight_kg * limit_mg_kg, cap_mg) / (MG_ML_PER_PERCENT * strength_percent)


printed(local_anaesthetic_limit_ml, "local_anaesthetic_ceilings", "1 % with adrenaline", answer="42", fact="E-EW16",
        weight_kg=60, limit_mg_kg=7, cap_mg=500, strength_percent=1)
for _cap, _strength, _answer in ((300, 0.5, "60"), (30, 1, "3"), (225, 1.5, "15"), (300, 1.5, "20"), (200, 2, "10"), (300, 2, "15")):
    printed(local_anaesthetic_limit_ml, "lidocaine_volumes", "total dose as the cap, weight too large to count", answer=_answer,
            fact="E-EW19", weight_kg=100, limit_mg_kg=4.5, cap_mg=_cap, strength_percent=_strength)


def _ask_heparin_cap(inputs):
    if inputs["weight_kg"] * inputs["units_per_kg"] > inputs["cap_units"]:
        return ("The cap applies: " + show_input(inputs["cap_units"]) + " units, not the "
                + show(inputs["weight_kg"] * inputs["units_per_kg"], 0) + " units of the weight rule.")
    return ""


@formula("", seen="practice", asks=(_ask_heparin_cap,), weight_kg=(0.5, 250), units_per_kg=(20, 150), cap_units=(500, 10000))
def heparin_bolus_units(*, weight_kg, units_per_kg, cap_units):
    r"""Heparin bolus by weight, with a cap.

    $H = \mathrm{min}(w \cdot u, m)$

    In words: the smaller of weight times units for each kilogram and the cap.

    The clotting time after 100 units/kg scatters from about 200 to 270 s between series: measure it. No worked
    example was found. Local formulary, pharmacist and anaesthetist decide.

    Args:
        weight_kg: body weight.
        units_per_kg: a local setting, commonly 50 to 100.
        cap_units: largest first dose, commonly 5000; a local setting.
    Valid: weight 0.5 to 250 kg, 20 to 150 units/kg, cap 500 to 10 000 units, house limits.
    Raises: OutOfRange outside these.
    Not for: a top-up without a clotting time, or a patient with heparin-induced thrombocytopenia.
    Source: common practice.
    """
    return min(weight_kg * units_per_kg, cap_units)


def _protamine_by_units(heparin_units, minutes_since):
    for latest, mg_per_100_units in PROTAMINE_STEPS_MG:
        if minutes_since <= latest:
            return mg_per_100_units * heparin_units / 100
    return PROTAMINE_LATER_MG * heparin_units / 100


def _ask_protamine_cap(inputs):
    if _protamine_by_units(inputs["heparin_units"], inputs["minutes_since"]) > inputs["cap_mg"]:
        return "The cap of " + show_input(inputs["cap_mg"]) + " mg applies: recheck the clotting time before any more."
    return ""


@formula("hospital_protamine", asks=(_ask_protamine_cap,), limits_from="house limits; heparin of the last 4 hours counts, at most 50 mg at once",
         heparin_units=(10, 20000), minutes_since=(0, 240), cap_mg=(1, 50))
def protamine_mg(*, heparin_units, minutes_since, cap_mg):
    r"""Protamine against one heparin bolus.

    $P = \mathrm{min}(k \cdot \frac{H}{100}, m)$

    In words: for each 100 units, 1 mg up to 30 minutes, 0.5 mg up to 60, 0.375 mg up to 120 and 0.25 mg later;
    never more than the cap.

    These are the lower ends of the printed ranges, because too much protamine itself prevents clotting. Reckon each
    bolus on its own and keep the sum under the cap. At most 5 mg a minute, over at least 10 minutes;
    then measure the clotting time. With circulatory support likely in the next minutes, give none.
    Local formulary, pharmacist and anaesthetist decide.

    Args:
        heparin_units: one bolus.
        minutes_since: minutes since that bolus.
        cap_mg: largest dose at once, at most 50 mg; a local setting.
    Valid: heparin 10 to 20 000 units, 0 to 240 minutes, cap 1 to 50 mg, house limits.
    Raises: OutOfRange outside these.
    Not for: low-molecular heparin, an infusion reckoned as one bolus, or known protamine or fish allergy.
    Source: [@hospital_protamine, table], lower ends.
    """
    return min(_protamine_by_units(heparin_units, minutes_since), cap_mg)


printed(protamine_mg, "hospital_protamine", "5000 units, 45 minutes: lower end of 25 to 37.5", answer="25", seen="derived",
        kind="derived", fact="E-EL36", heparin_units=5000, minutes_since=45, cap_mg=50)
printed(protamine_mg, "protamine_label", "an infusion of 1250 units/h, its last 2 hours", answer="30", seen="second", fact="E-EW35",
        differs="An infusion, rounded there: 2500 to 3750 units at 1 mg for 100 are 25 to 37.5 mg.",
        heparin_units=2500, minutes_since=0, cap_mg=50)


def _ask_pump_rate(inputs):
    rate = _pump_rate(inputs["dose_micrograms_kg_min"], inputs["weight_kg"], inputs["concentration_micrograms_ml"])
    if rate < 0.1 or rate > 100:
        return ("A pump rate of " + show_named(rate, "ml_h") + " is unusual: check micrograms against milligrams and "
                "nanograms, and the strength of the syringe.")
    return ""


def _pump_rate(dose_micrograms_kg_min, weight_kg, concentration_micrograms_ml):
    return dose_micrograms_kg_min * weight_kg * 60 / concentration_micrograms_ml


@formula("", seen="derived", asks=(_ask_pump_rate,), dose_micrograms_kg_min=(0.001, 1000), weight_kg=(0.5, 250),
         concentration_micrograms_ml=(0.1, 50000))
def infusion_rate_ml_h(*, dose_micrograms_kg_min, weight_kg, concentration_micrograms_ml):
    r"""Pump rate for an infusion by weight.

    $r = \frac{60 \cdot d \cdot w}{c}$

    In words: dose in micrograms/kg/min times weight times 60, divided by the concentration in micrograms/mL.

    One unit only, because micrograms, milligrams and nanograms on neighbouring lines are a thousandfold trap:
    10 mg/mL is 10 000 micrograms/mL; 10 nanograms are 0.01 micrograms. A second person checks weight, strength and rate.

    Args:
        dose_micrograms_kg_min: dose.
        weight_kg: body weight.
        concentration_micrograms_ml: in the syringe, after dilution.
    Valid: dose 0.001 to 1000 micrograms/kg/min, weight 0.5 to 250 kg, concentration 0.1 to 50 000 micrograms/mL, house limits.
    Raises: OutOfRange outside these.
    Not for: a dose printed per hour or per day; change it to a minute first.
    Source: geometry of units.
    """
    return _pump_rate(dose_micrograms_kg_min, weight_kg, concentration_micrograms_ml)


printed(infusion_rate_ml_h, "", "3.2 kg, 100 micrograms/kg/min, 10 mg/mL", answer="1.92", seen="derived", kind="derived",
        fact="E-ED1", dose_micrograms_kg_min=100, weight_kg=3.2, concentration_micrograms_ml=10000)
printed(infusion_rate_ml_h, "nursing_dosage", "10 micrograms/min of 50 mg in 250 mL; not by weight, so 1 kg", answer="3",
        fact="M-XM12", dose_micrograms_kg_min=10, weight_kg=1, concentration_micrograms_ml=200)
printed(infusion_rate_ml_h, "nursing_dosage", "0.05 mg/kg/h at 40 kg, 100 mg in 100 mL", answer="2", fact="M-XM13",
        dose_micrograms_kg_min=50 / 60, weight_kg=40, concentration_micrograms_ml=1000)
printed(infusion_rate_ml_h, "nursing_dosage", "8 mg/h of 25 mg in 50 mL; not by weight, so 1 kg", answer="16", fact="M-XM14",
        dose_micrograms_kg_min=8000 / 60, weight_kg=1, concentration_micrograms_ml=500)
printed(infusion_rate_ml_h, "neonatal_guideline", "5 nanograms/kg/min at 1 microgram/mL: mL/kg/h", answer="0.3", fact="M-XM15",
        dose_micrograms_kg_min=0.005, weight_kg=1, concentration_micrograms_ml=1)
printed(infusion_rate_ml_h, "heparin_question", "14 units/kg/h at 43.6 kg, 25 units/mL; units in place of micrograms", answer="24.4", seen="second",
        fact="M-XM16", dose_micrograms_kg_min=14 / 60, weight_kg=43.6, concentration_micrograms_ml=25)
printed(infusion_rate_ml_h, "heparin_question", "the same in units/h, units in place of micrograms", answer="610", seen="second",
        fact="M-XM16", dose_micrograms_kg_min=14 / 60, weight_kg=43.6, concentration_micrograms_ml=1)

"""Kidney function from serum creatinine: one formula for adults, one for children, never exchanged."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, formula, printed

UMOL_L_PER_MG_DL = 88.4  # the one conversion of creatinine; 88.42 follows from the molar mass
ADULT_YEARS = 18


@formula("", seen="derived", creatinine_mg_dl=(0.1, 17))
def creatinine_from_mg_dl_umol_l(*, creatinine_mg_dl):
    r"""Serum creatinine from mg/dL to µmol/L.

    $c = 88.4 \cdot m$

    In words: multiply by 88.4, the only conversion used in this handbook; 88.42 follows from the molar mass
    and changes the fourth figure. No worked example was found.

    Args:
        creatinine_mg_dl: serum creatinine.
    Valid: 0.1 to 17 mg/dL, house limits.
    Raises: OutOfRange outside that range.
    Not for: urea or urine creatinine.
    Source: unit change.
    """
    return UMOL_L_PER_MG_DL * creatinine_mg_dl


@formula("inker2021", seen="second", limits_from="house limits; for adults: from 1 to under 18 years use the bedside Schwartz formula",
         creatinine_umol_l=(10, 1500), age_years=(18, 110), sex=choices("female", "male"))
def egfr_ckd_epi_2021_ml_min_173(*, creatinine_umol_l, age_years, sex):
    r"""Filtration rate of an adult by the CKD-EPI equation of 2021.

    $G = 142 \cdot \mathrm{min}(c/k, 1)^a \cdot \mathrm{max}(c/k, 1)^{-1.2} \cdot 0.9938^t$

    In words: with creatinine in mg/dL, 142 times the smaller of creatinine over k and 1 to the power a, times the
    larger of them to the power −1.2, times 0.9938 to the power of the age; times 1.012 for a woman. k is 0.7 and
    a is −0.241 for a woman, 0.9 and −0.302 for a man.

    At the eighteenth birthday it jumps: a man of 170 cm with 79.6 µmol/L has 78 by the children's formula the
    day before and 127 by this one. Near that age show both and trust neither alone.

    Args:
        creatinine_umol_l: stable serum creatinine.
        age_years: 18 or over.
        sex: female or male.
    Valid: creatinine 10 to 1500 µmol/L, age 18 to 110 years, house limits; the age bound is that of the equation.
    Raises: OutOfRange outside these; under 18 years it names the formula for children.
    Not for: children, pregnancy, or creatinine that is changing; children: `egfr_bedside_schwartz_ml_min_173`.
    Source: [@inker2021, coefficients as open code carries them], transcribed.
    """
    female = sex == "female"
    scaled = creatinine_umol_l / UMOL_L_PER_MG_DL / (0.7 if female else 0.9)
    power = (-0.241 if female else -0.302) if scaled < 1 else -1.2
    return 142 * scaled ** power * 0.9938 ** age_years * (1.012 if female else 1)


printed(egfr_ckd_epi_2021_ml_min_173, "open_r_clinical", "unit test, 1.09 mg/dL", answer="80", fact="E-EW1",
        creatinine_umol_l=96.356, age_years=55, sex="male")
printed(egfr_ckd_epi_2021_ml_min_173, "open_r_clinical", "unit test", answer="66", fact="E-EW2",
        creatinine_umol_l=85, age_years=65, sex="female")
printed(egfr_ckd_epi_2021_ml_min_173, "open_r_clinical", "unit test", answer="89.7175", fact="E-EW4",
        differs="The library divides by 88.42, this handbook by 88.4: the third figure after the point moves.",
        creatinine_umol_l=70, age_years=52, sex="female")


@formula("schwartz2009", seen="second",
         limits_from="house limits; made for 1 to under 18 years: from 18 use the CKD-EPI formula, under 1 year there is no formula",
         creatinine_umol_l=(10, 1500), age_years=(1, 18), height_cm=(50, 210))
def egfr_bedside_schwartz_ml_min_173(*, creatinine_umol_l, age_years, height_cm):
    r"""Filtration rate of a child by the bedside Schwartz equation.

    $G = 0.413 \cdot \frac{h}{c}$

    In words: 0.413 times height in cm, divided by creatinine in mg/dL.

    It needs an enzymatic creatinine traceable to the standard. The older constant 0.55 reads 20 to 40 % too high with such assays.
    Under one year there is no creatinine formula, and a newborn's creatinine is the mother's.

    Args:
        creatinine_umol_l: stable serum creatinine.
        age_years: 1 to under 18; it only opens the formula.
        height_cm: height or length.
    Valid: creatinine 10 to 1500 µmol/L, age 1 to under 18 years, height 50 to 210 cm, house limits; the ages are those of the equation.
    Raises: OutOfRange outside these, NoResult at exactly 18 years; both name the formula for adults.
    Not for: adults, infants, or creatinine that is changing; adults: `egfr_ckd_epi_2021_ml_min_173`.
    Source: [@schwartz2009, equation as a society page prints it], transcribed.
    """
    if age_years >= ADULT_YEARS:
        refuse("age_years", "From 18 years on use the CKD-EPI formula; the children's formula ends before 18.")
    return 0.413 * height_cm * UMOL_L_PER_MG_DL / creatinine_umol_l


printed(egfr_bedside_schwartz_ml_min_173, "open_r_transplant", "unit test, 0.6 mg/dL; the age is not printed and does not count",
        answer="69.5", fact="E-EW10", creatinine_umol_l=53.04, age_years=4, height_cm=101)


@formula("cockcroft1976", seen="second", limits_from="house limits; for adults: from 1 to under 18 years use the bedside Schwartz formula",
         creatinine_umol_l=(10, 1500), age_years=(18, 110), weight_kg=(30, 250), sex=choices("female", "male"))
def creatinine_clearance_ml_min(*, creatinine_umol_l, age_years, weight_kg, sex):
    r"""Creatinine clearance of an adult by the formula of Cockcroft and Gault, not indexed to body surface.

    $C = \frac{(140 - t) \cdot w}{72 \cdot c}$

    In words: 140 minus age, times weight, divided by 72 times creatinine in mg/dL; times 0.85 for a woman.

    Ratios of contrast to clearance and of contrast to filtration rate are not the same.

    Args:
        creatinine_umol_l: stable serum creatinine.
        age_years: 18 or over.
        weight_kg: actual body weight; it misleads in obesity and oedema.
        sex: female or male.
    Valid: creatinine 10 to 1500 µmol/L, age 18 to 110 years, weight 30 to 250 kg, house limits.
    Raises: OutOfRange outside these; under 18 years it names the formula for children.
    Not for: children, pregnancy, or creatinine that is changing; children: `egfr_bedside_schwartz_ml_min_173`.
    Source: [@cockcroft1976, equation as open code carries it], transcribed; three printed answers agree.
    """
    clearance = (140 - age_years) * weight_kg * UMOL_L_PER_MG_DL / (72 * creatinine_umol_l)
    return clearance * (0.85 if sex == "female" else 1)


printed(creatinine_clearance_ml_min, "open_r_clinical", "unit test, 1.09 mg/dL", answer="97", fact="E-EW7",
        creatinine_umol_l=96.356, age_years=55, weight_kg=90, sex="male")
printed(creatinine_clearance_ml_min, "open_r_clinical", "unit test", answer="55", fact="E-EW8",
        creatinine_umol_l=85, age_years=65, weight_kg=60, sex="female")

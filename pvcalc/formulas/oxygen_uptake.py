"""Oxygen uptake when it was not measured: five estimates that disagree, kept apart."""

from math import log

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, flag, formula, printed

DEHMER_ML_MIN_M2 = 125  # adults at rest
LUNDELL_CHANGE_YEARS = 3  # infants below, children from here on


def _ask_over_forty(inputs):
    if inputs["age_years"] > 40:
        return "This equation was made for 3 to 40 years: over 40, measure the uptake or show a second estimate beside it."
    return ""


@formula("dicom_context", asks=(_ask_over_forty,),
         limits_from="made for 3 to 40 years, other bounds are house limits; under 3 years measure, or use the Seckeler estimate",
         age_years=(3, 100), heart_rate_bpm=(40, 220), sex=choices("female", "male"), body_surface_m2=(0.4, 3))
def oxygen_uptake_lafarge_ml_min(*, age_years, heart_rate_bpm, sex, body_surface_m2):
    r"""Resting oxygen uptake by the equation of LaFarge and Miettinen.

    $\dot{V} = A \cdot (138.1 - k \ln t + 0.378 f)$

    In words: body surface times (138.1, minus 11.49 for a male or 17.04 for a female times the natural
    logarithm of the age, plus 0.378 times the heart rate).

    Measured uptake is better. In ventilated children the equation was too high by 11 ± 21 % from 3 years on
    and by 53 ± 52 % below [@rutledge2010, abstract]; below 3 years it is refused here. Over 40 years it asks.

    Args:
        age_years: age.
        heart_rate_bpm: rate during sampling.
        sex: female or male.
        body_surface_m2: body surface.
    Valid: age 3 to 100 years (made for 3 to 40, [@rutledge2010, Methods]), rate 40 to 220 /min, surface 0.4 to 3 m², house limits.
    Raises: OutOfRange outside these.
    Not for: infants, and ventilated children without a second opinion; use `oxygen_uptake_seckeler_ml_min` or measure.
    Source: [@dicom_context, codes 122247 and 122248] after [@lafarge1970, not opened], transcribed.
    """
    fall = 11.49 if sex == "male" else 17.04
    return body_surface_m2 * (138.1 - fall * log(age_years) + 0.378 * heart_rate_bpm)


for _sex, _answer in (("male", "122.2"), ("female", "101.7")):
    printed(oxygen_uptake_lafarge_ml_min, "dicom_context", "formula only; no answer printed", answer=_answer, seen="derived",
            kind="derived", fact="C-E22", age_years=40, heart_rate_bpm=70, sex=_sex, body_surface_m2=1)
printed(oxygen_uptake_lafarge_ml_min, "dicom_context", "beside the Bergstra example", answer="232.1", seen="derived",
        kind="derived", fact="C-E25", age_years=40, heart_rate_bpm=70, sex="male", body_surface_m2=1.9)


@formula("bergstra1995", seen="memory", limits_from="house limits, adults only; in children use the Seckeler estimate",
         age_years=(18, 100), sex=choices("female", "male"), body_surface_m2=(1, 3))
def oxygen_uptake_bergstra_ml_min(*, age_years, sex, body_surface_m2):
    r"""Resting oxygen uptake of adults by the equation of Bergstra.

    $\dot{V} = 157.3 A + 10 s - 10.5 \ln t + 4.8$

    In words: 157.3 times body surface, plus 10 for a male, minus 10.5 times the natural logarithm of the age, plus 4.8.

    The last constant is recalled, not seen; many later papers print 10.5 for the sex term, the abstract 10, which makes
    the 10.5 probably a slip. In heart failure 82 % of 691 patients were more than 25 % off [@oxygen_heart_failure, abstract].

    Args:
        age_years: age.
        sex: female or male.
        body_surface_m2: body surface.
    Valid: age 18 to 100 years, surface 1 to 3 m², house limits.
    Raises: OutOfRange outside these.
    Not for: children; use `oxygen_uptake_seckeler_ml_min` or measure.
    Source: [@bergstra1995, abstract], its last constant recalled.
    """
    return 157.3 * body_surface_m2 + (10 if sex == "male" else 0) - 10.5 * log(age_years) + 4.8


printed(oxygen_uptake_bergstra_ml_min, "bergstra1995", "formula only; no answer printed", answer="274.9", seen="derived",
        kind="derived", fact="C-E25", age_years=40, sex="male", body_surface_m2=1.9)
printed(oxygen_uptake_bergstra_ml_min, "bergstra1995", "same, with the sex term 10.5 of later papers", answer="275.4",
        seen="derived", kind="derived", fact="C-E25", differs="Later papers print 10.5 for the sex term; the abstract prints 10.",
        age_years=40, sex="male", body_surface_m2=1.9)


@formula("dehmer1982", limits_from="house limits, adults only", body_surface_m2=(1, 3))
def oxygen_uptake_dehmer_ml_min(*, body_surface_m2):
    r"""Resting oxygen uptake of adults at a fixed 125 mL/min/m².

    $\dot{V} = 125 A$

    In words: 125 times body surface.

    The 125 is a convention: 108 patients measured 126 ± 26, from 65 to 250, and the paper warns against any estimate.
    In heart failure 39 % of 691 patients were more than 25 % off [@oxygen_heart_failure, abstract].

    Args:
        body_surface_m2: body surface.
    Valid: surface 1 to 3 m², house limits.
    Raises: OutOfRange outside that range.
    Not for: children; use `oxygen_uptake_seckeler_ml_min` or measure.
    Source: [@dehmer1982, abstract], its 126 rounded to the usual 125.
    """
    return DEHMER_ML_MIN_M2 * body_surface_m2


printed(oxygen_uptake_dehmer_ml_min, "dehmer1982", "beside the Bergstra example", answer="237.5", seen="derived",
        kind="derived", fact="C-E25", body_surface_m2=1.9)


@formula("seckeler_scan", seen="second", limits_from="house limits: from one day of age", age_years=(0.0027, 100), weight_kg=(1, 200),
         body_surface_m2=(0.1, 3), single_ventricle=flag(), critical_illness=flag())
def oxygen_uptake_seckeler_ml_min(*, age_years, weight_kg, body_surface_m2, single_ventricle, critical_illness):
    r"""Oxygen uptake in the catheter laboratory by the equation of Seckeler, newborn to adult.

    $\dot{V} = A \cdot (242.1 + 9.7 \ln t - 34 \ln w - 9.6 s - 11.2 c)$

    In words: body surface times (242.1, plus 9.7 times the natural logarithm of the age, minus 34 times that
    of the weight, minus 9.6 for a single ventricle, minus 11.2 in critical illness).

    Limits of agreement were −52 to 57 mL/min/m²: an estimate, not a measurement.
    The two last terms are yes or no. They are not the cardiac index and the stroke volume.

    Args:
        age_years: age; one day is 0.0027.
        weight_kg: body weight.
        body_surface_m2: body surface.
        single_ventricle: yes (1) or no (0).
        critical_illness: yes (1) or no (0).
    Valid: age 0.0027 to 100 years, weight 1 to 200 kg, surface 0.1 to 3 m², house limits.
    Raises: OutOfRange outside these; NoResult when the estimate is not positive.
    Not for: deciding by itself when the flow decides treatment; measure.
    Source: [@seckeler_scan, equation] after [@seckeler2015, abstract], transcribed.
    """
    indexed = 242.1 + 9.7 * log(age_years) - 34 * log(weight_kg) - 9.6 * single_ventricle - 11.2 * critical_illness
    if indexed <= 0:
        refuse("weight_kg", "Age and weight together give no positive uptake: check both.")
    return body_surface_m2 * indexed


printed(oxygen_uptake_seckeler_ml_min, "seckeler_scan", "formula only; no answer printed", answer="148.8", seen="derived",
        kind="derived", fact="C-E26", age_years=10, weight_kg=30, body_surface_m2=1, single_ventricle=0, critical_illness=0)


@formula("lundell1996", limits_from="house limits, infants and children; in adults measure, or use 125 mL/min/m²",
         age_years=(0, 18), sex=choices("female", "male"), height_cm=(30, 210), weight_kg=(1, 150), heart_rate_bpm=(40, 220),
         body_surface_m2=(0.1, 3))
def oxygen_uptake_lundell_ml_min(*, age_years, sex, height_cm, weight_kg, heart_rate_bpm, body_surface_m2):
    r"""Oxygen uptake of infants and children by the two equations of Lundell.

    $\dot{V} = A \cdot (3.42 h - 7.83 w + 0.38 f - 54.1)$

    In words: under 3 years, body surface times (3.42 times height, minus 7.83 times weight, plus 0.38 times
    heart rate, minus 54.1); from 3 years, body surface times (0.79 times rate minus 7.4 times surface plus
    108.1 for a boy; 0.77, 5.2 and 106.8 for a girl).

    The scatter is wide: 38.7 mL/min/m² (one standard deviation) under 3 years, 34 from 3 years on.
    No worked example was found.

    Args:
        age_years: age; chooses the equation.
        sex: female or male; counts from 3 years on.
        height_cm: counts under 3 years.
        weight_kg: counts under 3 years.
        heart_rate_bpm: rate during sampling.
        body_surface_m2: body surface.
    Valid: age 0 to 18 years, height 30 to 210 cm, weight 1 to 150 kg, rate 40 to 220 /min, surface 0.1 to 3 m², house limits.
    Raises: OutOfRange outside these; NoResult when the estimate is not positive.
    Not for: adults; measure.
    Source: [@lundell1996, abstract], transcribed.
    """
    if age_years < LUNDELL_CHANGE_YEARS:
        indexed = 3.42 * height_cm - 7.83 * weight_kg + 0.38 * heart_rate_bpm - 54.1
    elif sex == "male":
        indexed = 0.79 * heart_rate_bpm - 7.4 * body_surface_m2 + 108.1
    else:
        indexed = 0.77 * heart_rate_bpm - 5.2 * body_surface_m2 + 106.8
    if indexed <= 0:
        refuse("height_cm", "Height, weight and heart rate together give no positive uptake: check all three.")
    return body_surface_m2 * indexed

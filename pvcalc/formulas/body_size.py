"""Body surface, and the pulmonary annulus expected for it."""

import math

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, formula, printed
from pvcalc.core.units import DAYS_A_YEAR, show, show_input

# House practice: outside these the weight is asked about, not refused. In kg per square metre of height.
LEAST_BMI = 10
LEAST_BMI_PRETERM, PRETERM_BELOW_CM = 5, 48  # a healthy preterm of 1.6 kg and 41 cm has 9.5
GREATEST_BMI = [(125, 25), (150, 30)]  # up to, but not at, this height in cm
GREATEST_BMI_TALL = 40
POUND_KG = 0.45359237

GREATEST_Z = 6  # house limit: beyond it a slip of the unit is likelier than the valve


def weight_fits_height(inputs):
    """Question about a weight that does not fit the height, or "" when it does.

    Args:
        inputs: dict with `height_cm` and `weight_kg`.
    """
    height, weight = inputs["height_cm"], inputs["weight_kg"]
    index = weight / (height * height) * 10000
    if least_bmi(height) <= index <= greatest_bmi(height):
        return ""
    said = show_input(weight) + " kg at " + show_input(height) + " cm is unusual (" + show(index, 1) + " kg/m²): "
    mended = index * POUND_KG
    if least_bmi(height) <= mended <= greatest_bmi(height):  # a weight that is too low is lower still when mended
        return said + "was the weight typed in pounds? (" + show(weight * POUND_KG, 1) + " kg)"
    return said + "is the height in cm and the weight in kg?"


def least_bmi(height_cm):
    """Lowest body mass index that passes without a question at this height."""
    return LEAST_BMI_PRETERM if height_cm < PRETERM_BELOW_CM else LEAST_BMI


def greatest_bmi(height_cm):
    """Highest body mass index that passes without a question at this height."""
    for below_cm, index in GREATEST_BMI:
        if height_cm < below_cm:
            return index
    return GREATEST_BMI_TALL


def dubois_m2(height_cm, weight_kg):
    """1916 formula."""
    return 0.007184 * height_cm ** 0.725 * weight_kg ** 0.425


def mosteller_m2(height_cm, weight_kg):
    """1987 formula."""
    return math.sqrt(height_cm * weight_kg / 3600)


def haycock_m2(height_cm, weight_kg):
    """1978 formula."""
    return 0.024265 * height_cm ** 0.3964 * weight_kg ** 0.5378


def gehan_george_m2(height_cm, weight_kg):
    """1970 formula."""
    return 0.0235 * height_cm ** 0.42246 * weight_kg ** 0.51456


def boyd_m2(height_cm, weight_kg):
    """1935 formula; its exponent uses the weight in grams."""
    grams = weight_kg * 1000
    return 0.0003207 * height_cm ** 0.3 * grams ** (0.7285 - 0.0188 * math.log10(grams))


BODY_SURFACE = {"dubois": dubois_m2, "mosteller": mosteller_m2, "haycock": haycock_m2,
                "gehan_george": gehan_george_m2, "boyd": boyd_m2}


@formula("open_r_clinical", seen="read", asks=(weight_fits_height,), height_cm=(30, 220), weight_kg=(0.5, 250),
         by=choices("dubois", "mosteller", "haycock", "gehan_george", "boyd"))
def body_surface_m2(*, height_cm, weight_kg, by):
    r"""Body surface area, by one of five named formulas.

    $S = 0.024265 H^{0.3964} W^{0.5378}$

    In words: by Haycock, 0.024265 times height in cm to the power 0.3964 times weight in kg to the power 0.5378.

    The five differ: in a newborn DuBois and Mosteller lie below Haycock, Boyd and Gehan-George above. An
    indexed figure is to be compared only with norms made with the same formula.
    DuBois: 0.007184 times height^0.725 times weight^0.425. Mosteller: the square root of height times weight
    over 3600. Gehan-George: 0.0235 times height^0.42246 times weight^0.51456. Boyd: 0.0003207 times
    height^0.3 times grams^(0.7285 - 0.0188 log10 grams).

    Args:
        height_cm: standing height, or length.
        weight_kg: body weight.
        by: which formula.
    Valid: 30 to 220 cm and 0.5 to 250 kg, house limits.
    Raises: OutOfRange outside these.
    Not for: oedema or amputation without thought.
    Source: [@open_r_clinical, manual], transcribed; the original papers are recalled.
    """
    return BODY_SURFACE[by](height_cm, weight_kg)


FORMULAS_IN_ORDER = ["dubois", "mosteller", "haycock", "gehan_george", "boyd"]

for name, answer in [("dubois", "1.864"), ("mosteller", "1.882"), ("haycock", "1.895"),
                     ("gehan_george", "1.897"), ("boyd", "1.905")]:
    printed(body_surface_m2, "open_r_clinical", "unit tests", answer=answer, fact="B-S9 B-W1",
            height_cm=170, weight_kg=75, by=name)

for height, weight, answers in [
        (50, 3.5, ["0.2086", "0.2205", "0.2244", "0.2338", "0.2299"]),
        (60, 6, ["0.2994", "0.3162", "0.3224", "0.3332", "0.3339"]),
        (75, 9, ["0.4182", "0.4330", "0.4380", "0.4510", "0.4522"]),
        (110, 18, ["0.7411", "0.7416", "0.7401", "0.7575", "0.7552"]),
        (140, 35, ["1.1709", "1.1667", "1.1644", "1.1810", "1.1806"]),
        (170, 70, ["1.8097", "1.8181", "1.8257", "1.8313", "1.8347"])]:
    for name, answer in zip(FORMULAS_IN_ORDER, answers):
        printed(body_surface_m2, "open_r_clinical", "table of five formulas", answer=answer, seen="derived",
                kind="derived", fact="B-4", height_cm=height, weight_kg=weight, by=name)
printed(body_surface_m2, "phn_table", "worked child", answer="0.74007", seen="derived", kind="derived",
        fact="B-3c", height_cm=110, weight_kg=18, by="haycock")
printed(body_surface_m2, "phn_table", "worked newborn", answer="0.22441", seen="derived", kind="derived",
        fact="B-3c", height_cm=50, weight_kg=3.5, by="haycock")
printed(body_surface_m2, "phn_table", "worked newborn", answer="0.20862", seen="derived", kind="derived",
        fact="B-3c", height_cm=50, weight_kg=3.5, by="dubois")

# Mean and standard deviation of annulus (cm) over the square root of body surface, by view.
ANNULUS_NORM = {"short_axis": (1.91, 0.24), "long_axis": (2.01, 0.28)}


@formula("phn_table", seen="read", asks=(weight_fits_height,),
         limits_from="age as in lopez2017, otherwise house limits", annulus_mm=(3, 45), age_years=(0, 18),
         height_cm=(30, 210), weight_kg=(0.5, 150), view=choices("short_axis", "long_axis"))
def annulus_z(*, annulus_mm, age_years, height_cm, weight_kg, view):
    r"""How many standard deviations a pulmonary annulus lies from the mean of children of that body surface.

    $z = \frac{\frac{x}{\sqrt{S}} - m}{s}$

    In words: annulus in cm over the square root of body surface, less the mean, over the standard deviation;
    mean 1.91 and deviation 0.24 for the short axis, 2.01 and 0.28 for the long axis.

    The coefficients were read; that the body surface is Haycock's is RECALLED, and the formula of body surface
    alone moves z by 0.2 in a newborn. Another model gives the same newborn valve a z nearer to zero by 0.8:
    never compare z of two models.

    Args:
        annulus_mm: echocardiographic annulus, hinge point to hinge point, inner edges.
        age_years: the model ends at 18 years.
        height_cm: height.
        weight_kg: weight.
        view: the view in which the annulus was measured; the norms differ.
    Valid: to 18 years, range of [@lopez2017, Methods]; 3 to 45 mm, 30 to 210 cm and 0.5 to 150 kg, house limits.
    Raises: OutOfRange outside these; NoResult when z lies beyond 6 on either side.
    Not for: adults, obesity, an annulus from angiography, MR or CT; there is no norm for these here. The result
        does not size a balloon; `balloon_range_mm` does.
    Source: [@phn_table, coefficients], transcribed; body surface formula recalled.
    """
    mean, deviation = ANNULUS_NORM[view]
    z = (annulus_mm / 10 / math.sqrt(haycock_m2(height_cm, weight_kg)) - mean) / deviation
    if z < -GREATEST_Z or z > GREATEST_Z:
        refuse("annulus_mm", "Annulus " + show(annulus_mm, 1) + " mm would lie " + show(z, 1) + " standard deviations "
               "from the mean, beyond " + show(GREATEST_Z, 0) + ": is it in mm and not in cm, and are height and "
               "weight this patient's?")
    return z


for locator, annulus, height, weight, view, answer in [
        ("worked child", 14.0, 110, 18, "short_axis", "-1.18"), ("worked child", 14.0, 110, 18, "long_axis", "-1.37"),
        ("worked newborn", 6.0, 50, 3.5, "short_axis", "-2.68"),
        ("worked newborn", 6.0, 50, 3.5, "long_axis", "-2.66")]:
    printed(annulus_z, "phn_table", locator, answer=answer, seen="derived", kind="derived", fact="B-3c",
            annulus_mm=annulus, age_years=0 if height == 50 else 5, height_cm=height, weight_kg=weight, view=view)
printed(annulus_z, "phn_table", "worked child, weight typed in pounds", answer="-2.48", seen="derived",
        kind="derived", fact="T-N1", annulus_mm=14.0, age_years=5, height_cm=110, weight_kg=39.7, view="short_axis")


@formula("phn_table", seen="read", limits_from="age as in lopez2017, otherwise house limits", z=(-6, 6),
         age_years=(0, 18), body_surface_m2=(0.1, 2.5), view=choices("short_axis", "long_axis"))
def annulus_expected_at_surface_mm(*, z, age_years, body_surface_m2, view):
    r"""Pulmonary annulus that belongs to a z value, for a known body surface.

    $x = (m + z s) \sqrt{S}$

    In words: mean plus z deviations, times the square root of body surface; in cm, given here in mm.

    Args:
        z: standard deviations from the mean; 0 for the mean.
        age_years: the model ends at 18 years.
        body_surface_m2: body surface, by Haycock (that choice is recalled).
        view: the view the norm was made in.
    Valid: z of −6 to 6 and 0.1 to 2.5 square metres, house limits; to 18 years, range of [@lopez2017, Methods].
    Raises: OutOfRange outside these.
    Not for: adults or obesity; it is a norm, not a target for a balloon.
    Source: [@phn_table, coefficients], solved for the annulus.
    """
    mean, deviation = ANNULUS_NORM[view]
    return (mean + z * deviation) * math.sqrt(body_surface_m2) * 10


for surface, mean, low, high, long_mean in [
        (0.20, "8.54", "6.40", "10.69", "8.99"), (0.25, "9.55", "7.15", "11.95", "10.05"),
        (0.50, "13.51", "10.11", "16.90", "14.21"), (0.75, "16.54", "12.38", "20.70", "17.41"),
        (1.00, "19.10", "14.30", "23.90", "20.10"), (1.50, "23.39", "17.51", "29.27", "24.62"),
        (1.80, "25.63", "19.19", "32.07", "26.97"), (2.00, "27.01", "20.22", "33.80", "28.43")]:
    for z, view, answer in [(0, "short_axis", mean), (-2, "short_axis", low), (2, "short_axis", high),
                            (0, "long_axis", long_mean)]:
        printed(annulus_expected_at_surface_mm, "phn_table", "table by body surface", answer=answer, seen="derived",
                kind="derived", fact="B-3c", z=z, age_years=10, body_surface_m2=surface, view=view)


@formula("phn_table", seen="read", asks=(weight_fits_height,),
         limits_from="age as in lopez2017, otherwise house limits", z=(-6, 6), age_years=(0, 18),
         height_cm=(30, 210), weight_kg=(0.5, 150), view=choices("short_axis", "long_axis"))
def annulus_expected_mm(*, z, age_years, height_cm, weight_kg, view):
    r"""Pulmonary annulus that belongs to a z value, for a child of this height and weight.

    $x = (m + z s) \sqrt{S}$

    In words: mean plus z deviations, times the square root of body surface; in cm, given here in mm.

    The coefficients were read; that the body surface is Haycock's is RECALLED.

    Args:
        z: standard deviations from the mean; 0 for the mean.
        age_years: the model ends at 18 years.
        height_cm: height.
        weight_kg: weight.
        view: the view the norm was made in.
    Valid: z of −6 to 6, 30 to 210 cm and 0.5 to 150 kg, house limits; to 18 years, range of [@lopez2017, Methods].
    Raises: OutOfRange outside these.
    Not for: adults or obesity; it is a norm, not a target for a balloon.
    Source: [@phn_table, coefficients], solved for the annulus; body surface formula recalled.
    """
    mean, deviation = ANNULUS_NORM[view]
    return (mean + z * deviation) * math.sqrt(haycock_m2(height_cm, weight_kg)) * 10


for z, height, weight, view, answer in [(-1.18, 110, 18, "short_axis", "14.0"), (-1.37, 110, 18, "long_axis", "14.0"),
                                        (-2.68, 50, 3.5, "short_axis", "6.0"), (-2.66, 50, 3.5, "long_axis", "6.0")]:
    printed(annulus_expected_mm, "phn_table", "worked examples, read backwards", answer=answer, seen="derived",
            kind="derived", fact="B-3c", z=z, age_years=0 if height == 50 else 5, height_cm=height, weight_kg=weight,
            view=view)


def weight_range(days):
    """House practice, wide: kilograms that pass without a question."""
    years = days / DAYS_A_YEAR
    for below_years, least, most in [(28 / DAYS_A_YEAR, 0.5, 7), (1, 1.5, 16), (3, 5, 30), (6, 7, 50), (12, 12, 100),
                                     (18, 20, 180)]:
        if years < below_years:
            return least, most
    return 30, 250

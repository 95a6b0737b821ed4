"""Mechanics and units of the balloon catheter.

Nothing here is a limit for a device: the label of the balloon in the hand rules over every figure.
"""

import math

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed

KPA_PER_ATM = 101.325  # by definition
MM_PER_INCH = 25.4  # by definition
FRENCH_PER_MM = 3  # by definition: the scale counts thirds of a millimetre of DIAMETER


@formula("", seen="derived", diameter_mm=(2, 40), length_mm=(10, 100), shoulder_mm=(0, 40), shaft_mm=(0.3, 6))
def balloon_volume_ml(*, diameter_mm, length_mm, shoulder_mm, shaft_mm):
    r"""Volume of a balloon: a cylinder with a cone at each end.

    $V = \frac{\pi}{4} D^2 L + \frac{\pi h}{6} (D^2 + D d + d^2)$

    In words: the cylinder, plus two cut cones of the length of the shoulder.

    An upper estimate for the balloon alone: the shaft inside is not taken off (1 to 8 per cent), the syringe
    and the lumen are not counted. Pressure decides, not volume. Volume grows with the square of the diameter,
    so a balloon twice as wide takes about four times as long to empty through the same lumen.

    Args:
        diameter_mm: diameter of the cylinder.
        length_mm: length of the cylinder, without the shoulders.
        shoulder_mm: length of one shoulder.
        shaft_mm: outer diameter of the shaft.
    Valid: 2 to 40, 10 to 100, 0 to 40 and 0.3 to 6 mm, house limits; the shaft thinner than the balloon.
    Raises: OutOfRange outside these; NoResult when the shaft is not thinner than the balloon.
    Not for: deciding how much to inflate; use the gauge and the label.
    Source: geometry.
    """
    if shaft_mm >= diameter_mm:
        refuse("shaft_mm", "The shaft must be thinner than the balloon: are the two in each other's place?")
    cylinder = math.pi / 4 * diameter_mm * diameter_mm * length_mm
    cones = math.pi * shoulder_mm / 6 * (diameter_mm * diameter_mm + diameter_mm * shaft_mm + shaft_mm * shaft_mm)
    return (cylinder + cones) / 1000


for width, length, shoulder, answer in [(10, 20, 6, "1.98"), (14, 30, 8, "5.61"), (20, 40, 11, "15.2"),
                                        (25, 40, 13, "24.4"), (30, 40, 15, "36.0")]:
    printed(balloon_volume_ml, "", "cylinder and cones, shaft 2.5 mm", answer=answer, seen="derived", kind="derived",
            fact="B-B21", diameter_mm=width, length_mm=length, shoulder_mm=shoulder, shaft_mm=2.5)
# Without shoulders the volume is pi/4 D²L: 12 and 24 mm, both 40 mm long, are 4.524 and four times 4.524 mL.
printed(balloon_volume_ml, "", "square law, 12 mm", answer="4.524", seen="derived", kind="identity", fact="B-B22",
        diameter_mm=12, length_mm=40, shoulder_mm=0, shaft_mm=2.5)
printed(balloon_volume_ml, "", "square law, 24 mm: four times 4.524", answer="18.096", seen="derived",
        kind="identity", fact="B-B22", diameter_mm=24, length_mm=40, shoulder_mm=0, shaft_mm=2.5)


@formula("thin_vessel_formula", seen="read", pressure_atm=(0, 30), diameter_mm=(2, 40), wall_mm=(0.005, 0.5))
def wall_stress_mpa(*, pressure_atm, diameter_mm, wall_mm):
    r"""Hoop stress in the wall of an inflated balloon.

    $\sigma = \frac{P D}{2 t}$

    In words: pressure times diameter over twice the wall thickness.

    Shows why a wide balloon bears less pressure than a narrow one of the same wall. It is NOT a safety limit:
    the label's rated burst pressure is.

    Args:
        pressure_atm: inflation pressure above atmosphere.
        diameter_mm: balloon diameter.
        wall_mm: thickness of the wall.
    Valid: 0 to 30 atm, 2 to 40 mm and 0.005 to 0.5 mm, house limits.
    Raises: OutOfRange outside these.
    Not for: choosing an inflation pressure; read the label.
    Source: [@thin_vessel_formula, hoop stress], transcribed; the unit of pressure by definition.
    """
    return pressure_atm * KPA_PER_ATM / 1000 * diameter_mm / (2 * wall_mm)


for width, answer in [(10, "81"), (20, "162")]:
    printed(wall_stress_mpa, "thin_vessel_formula", "4 atm, wall 0.025 mm", answer=answer, seen="derived",
            kind="derived", fact="B-B5 B-B4", pressure_atm=4, diameter_mm=width, wall_mm=0.025)


@formula("scipy_constants", pressure_atm=(0, 40))
def pressure_kpa(*, pressure_atm):
    r"""Inflation pressure in kilopascals.

    $p = 101.325 P$

    In words: one atmosphere is 101.325 kPa, which is 1.01325 bar or 760 mmHg.

    Args:
        pressure_atm: gauge pressure in atmospheres.
    Valid: 0 to 40 atm, house limits.
    Raises: OutOfRange outside that range.
    Not for: deciding whether a balloon bears the pressure; read its label.
    Source: [@scipy_constants, atmosphere], transcribed.
    """
    return pressure_atm * KPA_PER_ATM


MMHG_PER_KPA = 7.500617  # 760 mmHg in 101.325 kPa

for atm, factor, place, answer in [
        (1, 1, "kPa", "101.325"), (1, 0.01, "bar", "1.01325"), (1, MMHG_PER_KPA, "mmHg", "760"),
        (4, 1, "kPa", "405.3"), (4, 0.01, "bar", "4.05"), (4, MMHG_PER_KPA, "mmHg", "3040")]:
    printed(pressure_kpa, "", "one and four atmospheres in " + place, answer=answer, seen="derived", kind="derived",
            fact="E-EL61", factor=factor, pressure_atm=atm)
for factor, place, answer in [(1000, "Pa", "101325"), (1 / 6.894757293168361, "psi", "14.69594877551345")]:
    printed(pressure_kpa, "scipy_constants", "one atmosphere in " + place, answer=answer,
            fact="B-B1 O-N71 O-N73", factor=factor, pressure_atm=1)
printed(pressure_kpa, "", "1 mmHg", answer="0.13332", seen="derived", kind="derived", fact="E-EL62",
        pressure_atm=1 / 760)
printed(pressure_kpa, "", "50 mmHg", answer="6.67", seen="derived", kind="derived", fact="E-EL62",
        pressure_atm=50 / 760)


@formula("french_scale", seen="second", decimals=2, french=(1, 40))
def french_mm(*, french):
    r"""Diameter of a catheter or sheath of a given French size.

    $d = \frac{F}{3}$

    In words: a third of the French size, in mm.

    Sheaths are named by what passes through them, catheters by what they measure outside; labels vary by
    about one hundredth. Some pages wrongly take the number for a circumference.

    Args:
        french: French size.
    Valid: 1 to 40 F, house limits.
    Raises: OutOfRange outside that range.
    Not for: whether a balloon passes a sheath; the label of the balloon says.
    Source: [@french_scale, definition], transcribed.
    """
    return french / FRENCH_PER_MM


printed(french_mm, "french_scale", "definition", answer="3", seen="second", fact="B-W7 B-C1", french=9)
printed(french_mm, "french_scale", "definition", answer="2", seen="second", fact="B-C1", french=6)
printed(french_mm, "french_scale", "page that takes it for a circumference", answer="3.18", seen="second", fact="B-C2",
        differs="the number is three times the diameter, not the circumference; 10 F is 3.33 mm", french=10)
printed(french_mm, "french_scale", "same page, corrected", answer="3.33", seen="derived", kind="derived",
        fact="B-C2", french=10)
printed(french_mm, "needle_textbook", "needles and wires", answer="1", fact="E-EW33", french=3)
for size, answer in [(1, "0.33"), (5, "1.67"), (6, "2.00"), (7, "2.33"), (8, "2.67"), (9, "3.00"), (10, "3.33"),
                     (12, "4.00")]:
    printed(french_mm, "french_scale", "list of sizes", answer=answer, seen="derived", kind="derived", fact="E-EL63",
            french=size)


@formula("", seen="derived", decimals=3, wire_inch=(0.008, 0.06))
def wire_mm(*, wire_inch):
    r"""Diameter of a guide wire in millimetres.

    $d = 25.4 w$

    In words: 25.4 times the size in inches.

    Args:
        wire_inch: wire size as on the label, such as 0.035.
    Valid: 0.008 to 0.06 in, house limits.
    Raises: OutOfRange outside that range.
    Not for: whether a wire passes a needle or a balloon; the labels say.
    Source: definition of the inch.
    """
    return wire_inch * MM_PER_INCH


for size, answer in [(0.014, "0.356"), (0.018, "0.457"), (0.021, "0.533"), (0.025, "0.635"), (0.032, "0.813"),
                     (0.035, "0.889"), (0.038, "0.965")]:
    printed(wire_mm, "", "list of sizes", answer=answer, seen="derived", kind="derived", fact="E-EL64", wire_inch=size)
printed(wire_mm, "needle_textbook", "needles and wires", answer="1", fact="E-EW33", wire_inch=0.038)
for size, answer in [(0.03225, "0.8192"), (0.02025, "0.514"), (0.050, "1.270")]:
    printed(wire_mm, "needle_gauge_table", "21 G and 18 G", answer=answer, seen="second", fact="E-EW31", wire_inch=size)
for size, answer in [(0.0137795, "350"), (0.0177165, "450"), (0.0354331, "900")]:
    printed(wire_mm, "metric_post", "inch to micrometre", answer=answer, seen="second", fact="E-EW32", factor=1000, wire_inch=size)

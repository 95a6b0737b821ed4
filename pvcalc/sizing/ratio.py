"""Balloon against annulus: ratio, range, what error does, and the phase trap.

Two balloons (`belt`), the calibration of a picture (`calibration`), the department's zones (`zones`) and the choice
from a shelf (`shelf`) have modules of their own, so that a page loads no more than its question needs.
"""

import math

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, formula, printed
from pvcalc.sizing.zones import ANNULUS, RATIO


@formula("", seen="derived", balloon_mm=(2, 60), annulus_mm=ANNULUS)
def balloon_ratio(*, balloon_mm, annulus_mm):
    r"""Balloon diameter over annulus diameter.

    $q = \frac{D}{A}$

    In words: balloon diameter divided by annulus diameter.

    A ratio means nothing without the frame the annulus was measured in: 1.25 times an end-systolic annulus is
    about 1.0 times the end-diastolic one, and 1.2 times the end-diastolic about 1.5 times the end-systolic.

    Args:
        balloon_mm: balloon diameter, or the belt diameter of two.
        annulus_mm: pulmonary annulus, hinge point to hinge point, in a named frame.
    Valid: 2 to 60 mm and 3 to 45 mm, house limits.
    Raises: OutOfRange outside these.
    Not for: two balloons by the sum of their diameters; use `two_balloon_diameter_mm` first.
    Source: arithmetic.
    """
    return balloon_mm / annulus_mm


def derived_example(made, row, place, answer, **rest):
    """An example worked out for this handbook, without a source."""
    printed(made, "", place, answer=answer, seen="derived", kind="derived", fact=row, **rest)


for row, place, balloon, annulus, answer in [
        ("B-A15", "30 mm balloon at 25 mm", 30, 25, "1.20"), ("B-A15", "30 mm balloon at 24 mm", 30, 24, "1.25"),
        ("B-D22", "belt of 23 + 20 at 28 mm", 35.22, 28, "1.258"), ("B-M4", "1.25 × 16 mm over 1.253 × 16 mm", 20,
                                                                 20.048, "0.998"),
        ("B-M4", "1.25 × 1.253 × 16 mm over 16 mm", 25.06, 16, "1.57"), ("B-A4", "7 mm at 6 mm", 7, 6, "1.17"),
        ("B-A4", "8 mm at 6 mm", 8, 6, "1.33")]:
    derived_example(balloon_ratio, row, place, answer, balloon_mm=balloon, annulus_mm=annulus)
derived_example(balloon_ratio, "B-D22", "sum of 23 + 20 over 28 mm", "1.536", balloon_mm=43, annulus_mm=28)


@formula("", seen="derived", gives=("low_mm", "high_mm"), annulus_mm=ANNULUS, low_ratio=RATIO, high_ratio=RATIO)
def balloon_range_mm(*, annulus_mm, low_ratio, high_ratio):
    r"""Balloon diameters between two ratios to the annulus.

    $D_{low} = q_{low} A, \quad D_{high} = q_{high} A$

    In words: annulus times the lower and times the upper ratio.

    Args:
        annulus_mm: pulmonary annulus, hinge point to hinge point, in the frame the ratios are meant for.
        low_ratio: lower ratio.
        high_ratio: upper ratio.
    Returns: low and high diameter.
    Valid: 3 to 45 mm and ratios of 0.8 to 1.6, house limits; the lower not above the upper.
    Raises: OutOfRange outside these; NoResult when the ratios are in the wrong order.
    Not for: an annulus whose frame, view or calibration is not known; measure it again.
    Source: arithmetic; the ratios are the department's.
    """
    if low_ratio > high_ratio:
        refuse("low_ratio", "The lower ratio is greater than the upper one: are the two in each other's place?")
    return [("low_mm", annulus_mm * low_ratio), ("high_mm", annulus_mm * high_ratio)]


for annulus, lowest, middle, highest in [(5.5, "6.1", "6.6", "6.9"), (6.1, "6.7", "7.3", "7.6"),
                                         (7, "7.7", "8.4", "8.8"), (8, "8.8", "9.6", "10")]:
    for ratio, answer in [(1.1, lowest), (1.2, middle), (1.25, highest)]:
        for end in ["low_mm", "high_mm"]:
            derived_example(balloon_range_mm, "B-A4", "newborn table", answer, annulus_mm=annulus, result=end,
                            low_ratio=ratio if end == "low_mm" else 1.0,
                            high_ratio=ratio if end == "high_mm" else 1.4)


@formula("", seen="derived", intended_ratio=RATIO, measurement_error_percent=(-60, 60))
def true_ratio(*, intended_ratio, measurement_error_percent):
    r"""Ratio that is really reached when the annulus was measured wrongly.

    $q_{true} = q (1 + \frac{e}{100})$

    In words: intended ratio times one plus the error; an annulus measured too large gives too large a balloon.

    Args:
        intended_ratio: ratio to the measured annulus.
        measurement_error_percent: measured less true annulus, as a percentage of the true one.
    Valid: 0.8 to 1.6 and −60 to 60 per cent, house limits.
    Raises: OutOfRange outside these.
    Not for: mending a measurement; measure again.
    Source: arithmetic.
    """
    return intended_ratio * (1 + measurement_error_percent / 100)


for row, place, error, answer in [
        ("B-M1", "echo, lower 95 % limit", -37, "0.79"), ("B-M1", "mean echo bias", -5.9, "1.18"),
        ("B-5c", "caliper -5 %", -5, "1.19"), ("B-5c", "caliper +5 %", 5, "1.31"),
        ("B-C6", "shaft instead of ring", 4.6, "1.31"), ("B-5c", "+10 %", 10, "1.38"),
        ("B-C8", "contrast-filled shaft, worst", 18.3, "1.48"), ("B-M4 T-N3", "diastolic as if systolic", 25.3, "1.57"),
        ("B-M1", "echo, upper 95 % limit", 25.5, "1.57")]:
    derived_example(true_ratio, row, place, answer, intended_ratio=1.25, measurement_error_percent=error)
derived_example(true_ratio, "B-M4", "1.20 times diastolic over systolic", "1.50", intended_ratio=1.20,
                measurement_error_percent=25.3)


@formula("", seen="derived", calibration_percent=(0, 50), caliper_percent=(0, 50), balloon_percent=(0, 50))
def combined_error_percent(*, calibration_percent, caliper_percent, balloon_percent):
    r"""Error of a ratio from three independent errors.

    $e = \sqrt{e_1^2 + e_2^2 + e_3^2}$

    In words: the square root of the sum of the three squares.

    Args:
        calibration_percent: error of the calibration, one standard deviation.
        caliper_percent: error of the measured line.
        balloon_percent: error of the balloon's diameter.
    Valid: 0 to 50 per cent each, house limits.
    Raises: OutOfRange outside these.
    Not for: errors that go the same way every time, such as a wrong frame; these do not shrink by squaring.
    Source: arithmetic of independent errors.
    """
    return math.sqrt(calibration_percent * calibration_percent + caliper_percent * caliper_percent
                     + balloon_percent * balloon_percent)


derived_example(combined_error_percent, "B-5c", "5, 5 and 3 per cent", "7.7", calibration_percent=5, caliper_percent=5,
                balloon_percent=3)


@formula("", seen="derived", area_ratio=(0.1, 9))
def diameter_ratio(*, area_ratio):
    r"""Ratio of diameters that belongs to a ratio of areas.

    $q = \sqrt{\frac{A_1}{A_2}}$

    In words: the square root of the ratio of the areas.

    Args:
        area_ratio: area of the balloon or balloons over the area of the annulus.
    Valid: 0.1 to 9, house limits.
    Raises: OutOfRange outside that range.
    Not for: the belt of two balloons, which encloses the gaps as well.
    Source: geometry.
    """
    return math.sqrt(area_ratio)


printed(diameter_ratio, "dogs1988", "diameter 33 % greater", answer="133", fact="B-W4", factor=100, area_ratio=1.76)
for area, answer in [(1.04, "1.020"), (1.28, "1.131"), (1.67, "1.292"), (1.76, "1.327"), (2.00, "1.414")]:
    printed(diameter_ratio, "dogs1988", "area ratios", answer=answer, seen="derived", kind="derived", fact="B-R35",
            area_ratio=area)
derived_example(diameter_ratio, "B-W10", "areas 1.84 and 1.44", "1.13", area_ratio=1.84 / 1.44)

# How much greater the end-diastolic annulus was than the end-systolic one, from the least to the most.
DIASTOLE_OVER_SYSTOLE = {"typical": (1.06, 1.53), "dysplastic": (1.14, 1.41)}


@formula("lo_annulus", seen="read", gives=("low_mm", "high_mm"), annulus_mm=ANNULUS,
         measured_in=choices("end_systole", "end_diastole"), valve=choices("typical", "dysplastic"))
def annulus_other_phase_band_mm(*, annulus_mm, measured_in, valve):
    r"""How widely the annulus spread in the other phase, in one series: a picture, never a measurement.

    $A_{dia} = k A_{sys}$

    In words: the end-diastolic annulus was 6 to 53 per cent greater than the end-systolic one in typical
    valves, 14 to 41 per cent in dysplastic ones.

    Never size a balloon on this band. Turned around and multiplied by a ratio it leads to balloons of more than
    1.5 times the annulus. Measure in the frame you need.

    Args:
        annulus_mm: annulus as measured.
        measured_in: the frame of that measurement.
        valve: `typical` or `dysplastic`.
    Returns: lowest and highest annulus seen in the other phase.
    Valid: 3 to 45 mm, house limits.
    Raises: OutOfRange outside that range.
    Not for: any computation that ends in a balloon; and not for the open-valve frame, which is neither of the two.
    Source: [@lo_annulus, Results], ranges transcribed.
    """
    low, high = DIASTOLE_OVER_SYSTOLE[valve]
    if measured_in == "end_systole":
        return [("low_mm", annulus_mm * low), ("high_mm", annulus_mm * high)]
    return [("low_mm", annulus_mm / high), ("high_mm", annulus_mm / low)]


# 6 to 53 and 14 to 41 per cent more than 10 mm; the way back takes 10.6 and 15.3, 11.4 and 14.1 mm to 10 mm.
for valve, least, most in [("typical", "10.6", "15.3"), ("dysplastic", "11.4", "14.1")]:
    printed(annulus_other_phase_band_mm, "lo_annulus", "range, applied to 10 mm", answer=least, seen="derived",
            kind="derived", fact="B-M4", result="low_mm", annulus_mm=10, measured_in="end_systole", valve=valve)
    printed(annulus_other_phase_band_mm, "lo_annulus", "range, applied to 10 mm", answer=most, seen="derived",
            kind="derived", fact="B-M4", result="high_mm", annulus_mm=10, measured_in="end_systole", valve=valve)
    printed(annulus_other_phase_band_mm, "lo_annulus", "range, read backwards", answer="10.00", seen="derived",
            kind="identity", fact="B-M4", result="high_mm", annulus_mm=float(least), measured_in="end_diastole",
            valve=valve)
    printed(annulus_other_phase_band_mm, "lo_annulus", "range, read backwards", answer="10.00", seen="derived",
            kind="identity", fact="B-M4", result="low_mm", annulus_mm=float(most), measured_in="end_diastole",
            valve=valve)

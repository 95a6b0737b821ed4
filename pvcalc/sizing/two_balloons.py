"""Two or three balloons side by side, and the single balloon they stand for.

The definition used changes the answer by up to 14 per cent, so each has its own name and none is
ever put in another's place. The belt (a tight band around the balloons) is the handbook's.
"""

import math

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed

BALLOON = (2, 40)  # mm, house limits
SHORT_FORM = 0.82  # recalled: literature writes 0.82 for 1/pi + 1/2 = 0.8183


def belt_mm(wide_mm, narrow_mm, centres_mm):
    """Length of a tight band around two circles, given both diameters and the distance of their centres."""
    difference = (wide_mm - narrow_mm) / 2
    straight = math.sqrt((centres_mm - difference) * (centres_mm + difference))
    return (math.pi / 2 * (wide_mm + narrow_mm) + (wide_mm - narrow_mm) * math.asin(difference / centres_mm)
            + 2 * straight)


def touching_belt_mm(balloon_a_mm, balloon_b_mm):
    """Length of a tight band around two touching balloons, in whichever order they come."""
    wide, narrow = max(balloon_a_mm, balloon_b_mm), min(balloon_a_mm, balloon_b_mm)
    return belt_mm(wide, narrow, (wide + narrow) / 2)


@formula("belt_formula", seen="read", balloon_a_mm=BALLOON, balloon_b_mm=BALLOON, centres_mm=(2, 100))
def spaced_balloon_belt_mm(*, balloon_a_mm, balloon_b_mm, centres_mm):
    r"""Length of a tight band around two round balloons whose centres lie a known distance apart.

    $L = \frac{\pi}{2} (D_1 + D_2) + (D_1 - D_2) \theta + 2 \sqrt{c^2 - \frac{(D_1 - D_2)^2}{4}},
    \quad \sin \theta = \frac{D_1 - D_2}{2 c}$

    In words: half the two circumferences, a correction for unequal size, and the two straight pieces.

    Here as a check: the only worked example of such a band that was found in print has a gap between the circles.

    Args:
        balloon_a_mm: diameter of one balloon.
        balloon_b_mm: diameter of the other.
        centres_mm: distance between their centres.
    Valid: 2 to 40 mm each and 2 to 100 mm apart, house limits.
    Raises: OutOfRange outside these; NoResult when the balloons would overlap.
    Not for: sizing; balloons in an annulus touch, so use `two_balloon_diameter_mm`.
    Source: [@belt_formula, equation], transcribed.
    """
    if centres_mm < (balloon_a_mm + balloon_b_mm) / 2 - 1e-9:
        refuse("centres_mm", "The centres are nearer than half the sum of the diameters, so the balloons would overlap.")
    return belt_mm(max(balloon_a_mm, balloon_b_mm), min(balloon_a_mm, balloon_b_mm), centres_mm)


# Radii 6 and 1, centres 13 apart; the radii were inferred from the printed solution.
printed(spaced_balloon_belt_mm, "belt_case", "solved example", answer="49.93905977", fact="B-W8",
        balloon_a_mm=12, balloon_b_mm=2, centres_mm=13)


@formula("", seen="derived", balloon_a_mm=BALLOON, balloon_b_mm=BALLOON)
def two_balloon_belt_mm(*, balloon_a_mm, balloon_b_mm):
    r"""Length of a tight band around two touching balloons, exactly.

    $L = \frac{\pi}{2} (D_1 + D_2) + (D_1 - D_2) \theta + 2 \sqrt{D_1 D_2},
    \quad \sin \theta = \frac{D_1 - D_2}{D_1 + D_2}$

    In words: half the two circumferences, a correction for unequal size, and the two straight pieces.

    Args:
        balloon_a_mm: diameter of one balloon; the order does not matter.
        balloon_b_mm: diameter of the other.
    Valid: 2 to 40 mm each, house limits.
    Raises: OutOfRange outside these.
    Not for: balloons that do not lie side by side at the annulus.
    Source: geometry.
    """
    return touching_belt_mm(balloon_a_mm, balloon_b_mm)


@formula("", seen="derived", decimals=2, balloon_a_mm=BALLOON, balloon_b_mm=BALLOON)
def two_balloon_diameter_mm(*, balloon_a_mm, balloon_b_mm):
    r"""Diameter of the single balloon with the same tight band as two touching balloons.

    $D_e = \frac{L}{\pi}$

    In words: the length of the band around both, divided by pi.

    It is a band, not the shape: before the annulus bends, the pair is as wide as the sum of both diameters, and
    a stiff round annulus is stretched less, with two gaps beside the balloons. Look at that width as well.

    Args:
        balloon_a_mm: diameter of one balloon; the order does not matter.
        balloon_b_mm: diameter of the other.
    Valid: 2 to 40 mm each, house limits.
    Raises: OutOfRange outside these.
    Not for: comparing with a paper that used another definition; say which one beside every figure.
    Source: geometry.
    """
    return touching_belt_mm(balloon_a_mm, balloon_b_mm) / math.pi


@formula("", seen="memory", decimals=2, balloon_a_mm=BALLOON, balloon_b_mm=BALLOON)
def two_balloon_diameter_short_mm(*, balloon_a_mm, balloon_b_mm):
    r"""Effective diameter of two balloons by the short form 0.82 times their sum.

    $D_e = 0.82 (D_1 + D_2)$

    In words: 0.82 times the sum of the two diameters.

    Close to the belt for balloons of nearly equal size, 2 per cent under it when one is half the other,
    5 per cent at a third.

    Args:
        balloon_a_mm: diameter of one balloon.
        balloon_b_mm: diameter of the other.
    Valid: 2 to 40 mm each, house limits.
    Raises: OutOfRange outside these.
    Not for: balloons of very unequal size; use `two_balloon_diameter_mm`.
    Source: recalled.
    """
    return SHORT_FORM * (balloon_a_mm + balloon_b_mm)


@formula("", seen="memory", decimals=2, balloon_a_mm=BALLOON, balloon_b_mm=BALLOON)
def two_balloon_diameter_literature_mm(*, balloon_a_mm, balloon_b_mm):
    r"""Effective diameter of two balloons by the perimeter form common in papers on this valve.

    $D_e = (\frac{1}{\pi} + \frac{1}{2}) (D_1 + D_2)$

    In words: 0.8183 times the sum of the two diameters; 0.82 is this number rounded.

    Equal to the belt only when both balloons are equal.

    Args:
        balloon_a_mm: diameter of one balloon.
        balloon_b_mm: diameter of the other.
    Valid: 2 to 40 mm each, house limits.
    Raises: OutOfRange outside these.
    Not for: balloons of very unequal size; use `two_balloon_diameter_mm`.
    Source: recalled.
    """
    return (1 / math.pi + 1 / 2) * (balloon_a_mm + balloon_b_mm)


@formula("", seen="practice", decimals=2, balloon_a_mm=BALLOON, balloon_b_mm=BALLOON)
def two_balloon_diameter_equal_area_mm(*, balloon_a_mm, balloon_b_mm):
    r"""Diameter of the single balloon with the same cross-section as two balloons together.

    $D_e = \sqrt{D_1^2 + D_2^2}$

    In words: the square root of the sum of the two squares.

    13.6 per cent below the belt for equal balloons. Never put in the belt's place without saying so: a pair
    sized by equal area and judged by a limit made for the belt is far too large.

    Args:
        balloon_a_mm: diameter of one balloon.
        balloon_b_mm: diameter of the other.
    Valid: 2 to 40 mm each, house limits.
    Raises: OutOfRange outside these.
    Not for: the ratio of a pair to an annulus; use `two_balloon_diameter_mm`.
    Source: common practice.
    """
    return math.sqrt(balloon_a_mm * balloon_a_mm + balloon_b_mm * balloon_b_mm)


@formula("", seen="derived", balloon_a_mm=BALLOON, balloon_b_mm=BALLOON)
def two_balloon_area_mm2(*, balloon_a_mm, balloon_b_mm):
    r"""Area inside a tight band around two touching balloons, gaps included.

    $A = (\frac{\pi}{2} + \theta) R^2 + (\frac{\pi}{2} - \theta) r^2 + 2 (R + r) \sqrt{R r},
    \quad \sin \theta = \frac{R - r}{R + r}$

    In words: the two round ends and the two four-sided pieces between them.

    Args:
        balloon_a_mm: diameter of one balloon.
        balloon_b_mm: diameter of the other.
    Valid: 2 to 40 mm each, house limits.
    Raises: OutOfRange outside these.
    Not for: flow past the balloons; the gaps depend on how far the annulus bends.
    Source: geometry.
    """
    wide, narrow = max(balloon_a_mm, balloon_b_mm) / 2, min(balloon_a_mm, balloon_b_mm) / 2
    lean = math.asin((wide - narrow) / (wide + narrow))
    ends = (math.pi / 2 + lean) * wide * wide + (math.pi / 2 - lean) * narrow * narrow
    return ends + 2 * (wide + narrow) * math.sqrt(wide * narrow)


def derived_example(made, row, place, answer, **rest):
    """An example worked out for this handbook, without a source."""
    printed(made, "", place, answer=answer, seen="derived", kind="derived", fact=row, **rest)


# Pair, then band (also to six figures), belt, literature form, short form, equal area, area inside the band.
for row, a, b, band, band6, belt, literature, short, equal, area in [
        ("B-D13", 10, 10, "51.42", "51.4159", "16.37", "16.37", "16.40", "14.14", "178.5"),
        ("B-D14", 15, 12, "69.58", "69.5783", "22.15", "22.09", "22.14", "19.21", "328.3"),
        ("B-D15", 18, 20, "97.74", "97.7429", "31.11", "31.10", "31.16", "26.91", "645.8"),
        ("B-D16", 23, 15, "98.54", "98.5355", "31.36", "31.10", "31.16", "27.46", "665.1"),
        ("B-D17", 12, 18, "77.73", "77.7259", "24.74", "24.55", "24.60", "21.63", "413.3"),
        ("B-D18", 20, 20, "102.8", "102.832", "32.73", "32.73", "32.80", "28.28", "714.2")]:
    for made, answer in [(two_balloon_belt_mm, band), (two_balloon_belt_mm, band6), (two_balloon_diameter_mm, belt),
                         (two_balloon_diameter_literature_mm, literature), (two_balloon_diameter_short_mm, short),
                         (two_balloon_diameter_equal_area_mm, equal), (two_balloon_area_mm2, area)]:
        derived_example(made, row, "table of pairs", answer, balloon_a_mm=a, balloon_b_mm=b)

COLUMNS = [8, 10, 12, 15, 18, 20, 23, 25]
for a, answers in [
        (8, ["13.09"]),
        (10, ["14.76", "16.37"]),
        (12, ["16.49", "18.03", "19.64"]),
        (15, ["19.16", "20.62", "22.15", "24.55"]),
        (18, ["21.90", "23.28", "24.74", "27.05", "29.46"]),
        (20, ["23.74", "25.08", "26.51", "28.75", "31.11", "32.73"]),
        (23, ["26.55", "27.83", "29.20", "31.36", "33.65", "35.22", "37.64"]),
        (25, ["28.43", "29.68", "31.01", "33.13", "35.37", "36.91", "39.29", "40.92"])]:
    for b, answer in zip(COLUMNS, answers):
        derived_example(two_balloon_diameter_mm, "B-2c", "table of combinations", answer, balloon_a_mm=a, balloon_b_mm=b)

# Belt over the wider balloon, by the size of the narrower one in tenths of the wider.
for tenths, answer in [(10, "1.637"), (9, "1.556"), (8, "1.476"), (7, "1.400"), (6.5, "1.362"), (5, "1.254"),
                       (3, "1.125")]:
    derived_example(two_balloon_diameter_mm, "B-2b", "table of size ratios", answer, factor=0.1,
                    balloon_a_mm=10, balloon_b_mm=tenths)

# A pair of equal balloons whose sum is 1.4 to 1.7 times an annulus of 20 mm.
for half, answer in [(14, "1.146"), (15, "1.227"), (16, "1.309"), (17, "1.391")]:
    derived_example(two_balloon_diameter_literature_mm, "B-D19", "sum over annulus", answer, factor=1 / 20,
                    balloon_a_mm=half, balloon_b_mm=half)
derived_example(two_balloon_diameter_literature_mm, "B-D3", "collapsed form", "0.81831", factor=1 / 20,
                balloon_a_mm=10, balloon_b_mm=10)

for annulus, a, b, answer in [(28, 23, 18, "1.202"), (28, 25, 16, "1.210"), (28, 22, 20, "1.228"),
                              (28, 23, 20, "1.258"), (25, 20, 18, "1.245")]:
    derived_example(two_balloon_diameter_mm, "B-D22" if annulus == 28 else "B-A15", "pair over annulus", answer,
                    factor=1 / annulus, balloon_a_mm=a, balloon_b_mm=b)
derived_example(two_balloon_diameter_mm, "B-D22", "pair for 28 mm", "35.22", balloon_a_mm=23, balloon_b_mm=20)
derived_example(two_balloon_diameter_mm, "B-A15", "pair over annulus", "1.258", factor=1 / 28, balloon_a_mm=23,
                balloon_b_mm=20)
derived_example(two_balloon_diameter_equal_area_mm, "B-D22", "same pair by equal area", "30.48", balloon_a_mm=23,
                balloon_b_mm=20)
derived_example(two_balloon_diameter_equal_area_mm, "B-D22", "same pair by equal area", "1.089", factor=1 / 28,
                balloon_a_mm=23, balloon_b_mm=20)
derived_example(two_balloon_diameter_equal_area_mm, "B-D23", "equal balloons", "1.4142", factor=0.1, balloon_a_mm=10,
                balloon_b_mm=10)
derived_example(two_balloon_diameter_mm, "B-D23", "equal balloons", "1.6366", factor=0.1, balloon_a_mm=10,
                balloon_b_mm=10)

# The only pair with its effective diameter seen in print, and no definition reproduces it.
NEAREST_IS_BELT = "the source does not say how it was computed; the exact belt, 24.74 mm, lies nearest"
for made in [two_balloon_diameter_mm, two_balloon_diameter_short_mm, two_balloon_diameter_literature_mm,
             two_balloon_diameter_equal_area_mm]:
    printed(made, "sequential_balloons1988", "effective diameter of 12 + 18 mm", answer="24.8", fact="B-W3 B-D9",
            differs=NEAREST_IS_BELT, balloon_a_mm=12, balloon_b_mm=18)
derived_example(two_balloon_diameter_literature_mm, "B-W17", "12 + 18 mm", "24.55", balloon_a_mm=12, balloon_b_mm=18)


@formula("", seen="derived", decimals=2, balloon_mm=BALLOON)
def three_balloon_diameter_mm(*, balloon_mm):
    r"""Diameter of the single balloon with the same tight band as three equal, touching balloons.

    $D_e = \frac{(\pi + 3) D}{\pi}$

    In words: 1.955 times the diameter of one.

    Args:
        balloon_mm: diameter of each of the three.
    Valid: 2 to 40 mm, house limits.
    Raises: OutOfRange outside that range.
    Not for: three balloons of different size.
    Source: geometry.
    """
    return (math.pi + 3) * balloon_mm / math.pi


derived_example(three_balloon_diameter_mm, "B-D25", "three equal balloons", "1.955", factor=0.1, balloon_mm=10)
derived_example(three_balloon_diameter_mm, "B-D25", "over the sum of the three", "0.652", factor=1 / 30, balloon_mm=10)


@formula("", seen="derived", annulus_mm=(3, 45), ratio=(0.8, 1.6))
def equal_pair_mm(*, annulus_mm, ratio):
    r"""Diameter of each of two equal balloons whose belt is a given multiple of the annulus.

    $D = \frac{q A}{1 + \frac{2}{\pi}}$

    In words: ratio times annulus, divided by 1.6366.

    Args:
        annulus_mm: pulmonary annulus, hinge point to hinge point, in a named frame.
        ratio: belt diameter over annulus.
    Valid: 3 to 45 mm and 0.8 to 1.6, house limits.
    Raises: OutOfRange outside these.
    Not for: an annulus one balloon on the shelf serves; balloons come in steps, so check the pair you have.
    Source: geometry.
    """
    return ratio * annulus_mm / (1 + 2 / math.pi)


for annulus, low, high in [(25, "18.3", "19.1"), (28, "20.5", "21.4"), (30, "22.0", "22.9"), (32, "23.5", "24.4")]:
    derived_example(equal_pair_mm, "B-D21", "equal pair", low, annulus_mm=annulus, ratio=1.20)
    derived_example(equal_pair_mm, "B-D21", "equal pair", high, annulus_mm=annulus, ratio=1.25)
for ratio, share, twice in [(1.20, "0.7332", "1.466"), (1.25, "0.7638", "1.528")]:
    derived_example(equal_pair_mm, "B-D21", "each balloon over annulus", share, factor=0.1, annulus_mm=10, ratio=ratio)
    derived_example(equal_pair_mm, "B-D20", "sum over annulus", twice, factor=0.2, annulus_mm=10, ratio=ratio)

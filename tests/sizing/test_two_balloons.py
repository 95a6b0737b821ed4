"""The belt around balloons against a general geometry library: its hull comes nearer as the discs get more corners."""

import math

import pytest
from shapely import Point
from shapely.ops import unary_union

from pvcalc.core.errors import NoResult
from pvcalc.sizing.two_balloons import (
    spaced_balloon_belt_mm, three_balloon_diameter_mm, two_balloon_area_mm2, two_balloon_belt_mm,
    two_balloon_diameter_equal_area_mm, two_balloon_diameter_literature_mm, two_balloon_diameter_mm,
    two_balloon_diameter_short_mm,
)

PAIRS = [(10, 10), (15, 12), (18, 20), (23, 15), (12, 18), (20, 20), (2, 40), (40, 2), (30, 14), (8, 8.5), (25, 16)]
CORNERS = [250, 500, 1000, 2000, 4000]  # in a quarter of a circle


def hull(discs, corners):
    """Convex hull of discs given as (x, y, diameter)."""
    return unary_union([Point(x, y).buffer(d / 2, quad_segs=corners) for x, y, d in discs]).convex_hull


@pytest.mark.parametrize("a, b", PAIRS)
def test_the_hull_of_two_touching_discs_comes_nearer_to_the_belt(a, b):
    discs = [(0, 0, a), ((a + b) / 2, 0, b)]
    belt = two_balloon_belt_mm(balloon_a_mm=a, balloon_b_mm=b)
    area = two_balloon_area_mm2(balloon_a_mm=a, balloon_b_mm=b)
    misses = [belt - hull(discs, corners).length for corners in CORNERS]
    area_misses = [area - hull(discs, corners).area for corners in CORNERS]
    assert all(miss > 0 for miss in misses), "a hull with corners lies inside the belt"
    assert all(later < earlier for earlier, later in zip(misses, misses[1:]))
    assert all(later < earlier for earlier, later in zip(area_misses, area_misses[1:]))
    assert misses[-1] < 3e-8 * belt and abs(area_misses[-1]) < 3e-7 * area


@pytest.mark.parametrize("a, b", PAIRS)
def test_the_exact_belt_at_the_corners_the_facts_used(a, b):
    found = hull([(0, 0, a), ((a + b) / 2, 0, b)], 20000)
    assert two_balloon_belt_mm(balloon_a_mm=a, balloon_b_mm=b) == pytest.approx(found.length, rel=2e-9)
    assert two_balloon_diameter_mm(balloon_a_mm=a, balloon_b_mm=b) == pytest.approx(found.length / math.pi, rel=2e-9)
    assert two_balloon_area_mm2(balloon_a_mm=a, balloon_b_mm=b) == pytest.approx(found.area, rel=2e-8)


@pytest.mark.parametrize("a, b, gap", [(12, 2, 6), (20, 20, 3), (14, 23, 0.5), (2, 40, 20)])
def test_discs_with_a_gap(a, b, gap):
    centres = (a + b) / 2 + gap
    found = hull([(0, 0, a), (centres, 0, b)], 20000)
    assert spaced_balloon_belt_mm(balloon_a_mm=a, balloon_b_mm=b, centres_mm=centres) == pytest.approx(found.length,
                                                                                                     rel=2e-9)


def test_discs_are_refused_from_where_they_overlap():
    # 12 and 9 mm touch at 10.5 mm: pi/2 × 21 + 3 × asin(1.5 / 10.5) + 2 × root of 108; a billionth less is a rounding.
    touching = 10.5 * math.pi + 3 * math.asin(1 / 7) + 2 * math.sqrt(108)
    for centres in (10.5, 10.5 - 1e-9):
        assert spaced_balloon_belt_mm(balloon_a_mm=9, balloon_b_mm=12, centres_mm=centres) == pytest.approx(touching, rel=1e-9)
    for centres in (10.5 - 3e-9, 10.4, 7, 2):
        with pytest.raises(NoResult) as caught:
            spaced_balloon_belt_mm(balloon_a_mm=9, balloon_b_mm=12, centres_mm=centres)
        assert caught.value.faults[0][0] == "centres_mm"


# 12 and 18 mm by each definition, by hand: 0.82 × 30, 0.81831 × 30, root of 468, 1.95493 × 12; the belt is 24.74.
@pytest.mark.parametrize("made, inputs, told", [
    (two_balloon_diameter_mm, dict(balloon_a_mm=12, balloon_b_mm=18), "24.74 mm"),
    (two_balloon_diameter_short_mm, dict(balloon_a_mm=12, balloon_b_mm=18), "24.60 mm"),
    (two_balloon_diameter_literature_mm, dict(balloon_a_mm=12, balloon_b_mm=18), "24.55 mm"),
    (two_balloon_diameter_equal_area_mm, dict(balloon_a_mm=12, balloon_b_mm=18), "21.63 mm"),
    (three_balloon_diameter_mm, dict(balloon_mm=12), "23.46 mm")])
def test_an_effective_diameter_is_told_to_a_hundredth(made, inputs, told):
    assert made.shown(made(**inputs)).replace("\u00a0", " ") == told


@pytest.mark.parametrize("d", [2, 10, 13.5, 40])
def test_three_equal_discs_that_touch_each_other(d):
    discs = [(0, 0, d), (d, 0, d), (d / 2, d * math.sqrt(3) / 2, d)]
    belt = math.pi * three_balloon_diameter_mm(balloon_mm=d)
    misses = [belt - hull(discs, corners).length for corners in CORNERS]
    assert all(0 < later < earlier for earlier, later in zip(misses, misses[1:]))
    assert hull(discs, 20000).length == pytest.approx(belt, rel=2e-9)


@pytest.mark.parametrize("d", [4, 10, 40])
def test_a_pair_with_almost_nothing_beside_it_is_the_balloon_alone(d):
    # Outside the formula's range on purpose: the limit D2 -> 0 of the geometry itself.
    from pvcalc.sizing.two_balloons import touching_belt_mm
    assert touching_belt_mm(d, 1e-9) / math.pi == pytest.approx(d, rel=1e-4)
    assert touching_belt_mm(d, d) / math.pi == pytest.approx(d * (1 + 2 / math.pi), rel=1e-14)

"""Cases of the examples of one picture, for tests that know what it shows, and what these ask of its strokes."""

import math

import pytest

from pvcalc.sizing.zones import zone_for
from tests.helpers.draw_examples import IDS, INPUTS, example
from tests.helpers.drawn_axes import close, corners, shapes

FIELDS = ("accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio", "forbidden_above_ratio")


def each(name):
    """One case for every input of a picture."""
    chosen = [place for place, (other, _) in enumerate(INPUTS) if other == name]
    return pytest.mark.parametrize("root, given", [pytest.param(place, INPUTS[place][1], id=IDS[place]) for place in chosen], indirect=["root"])


@pytest.fixture
def root(request):
    """The picture of a case of `each`."""
    return example(request.param)


def zone_of_case(given):
    """The zones that count for a case, or None."""
    return None if given["frame"] == "not_stated" else zone_for(given["zones"], given["frame"])


def border(root, place):
    """(left, top, right, bottom) of the border of the chart at a place."""
    frames = [corners(path)[0] for path in shapes(root, "path", "fig-axis")]
    (left, top), (_, bottom), (right, _) = frames[place]
    return left, top, right, bottom


def check_ends(root, place, wanted, across, upwards, heights=None):
    """The axes of a chart begin and end at these values."""
    left, top, right, bottom = border(root, place)
    assert close((left, right), tuple(across(value) for value in wanted), 0.1)
    if heights:
        assert close((bottom, top), tuple(upwards(value) for value in heights), 0.1)
    marks = [value for value, _ in across.marks]
    assert 2 <= len(marks) <= 9


def picture(name):
    return example([place for place, (other, _) in enumerate(INPUTS) if other == name][0])


def only(name):
    return pytest.mark.parametrize("name", [name])


def ends(path):
    points = corners(path)[0]
    return points[0], points[-1]


def nearest(point, points):
    return min(math.dist(point, other) for other in points)


def arrows(root, look):
    """[(tail, tip)] of the arrows of a look."""
    heads = [corners(path)[0][0] for path in shapes(root, "path", look + "-head")]
    return [(ends(path)[0], tip) for path, tip in zip(shapes(root, "path", look), heads, strict=True)]


def inside(point, polygon):
    """True when a place lies within a polygon (a line to the right crosses its border an odd number of times)."""
    x, y = point
    crossed = 0
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1]):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            crossed += 1
    return crossed % 2 == 1

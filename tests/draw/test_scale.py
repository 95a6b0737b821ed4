"""Every stroke of a balloon or a ring that carries a number stands where the scale written beside it says, to within rounding."""

import math

import pytest

from pvcalc.sizing import ratio as sizing
from tests.helpers.draw_examples import SVG
from tests.helpers.drawn_axes import (
    Scale, box, close, corners, half_up, line_of, number_in, of, scale_across, shapes, texts,
)
from tests.helpers.drawn_cases import FIELDS, each, root, zone_of_case  # noqa: F401  root is a fixture
from tests.helpers.drawn_shapes import box_of, looks


@each("balloon_on_annulus")
def test_every_circle_is_as_wide_as_its_ratio_says(root, given):
    ring, = shapes(root, "circle", "fig-annulus")
    x, y, one = of(ring, "cx", "cy", "r")
    filled, edge = (shapes(root, "circle", look)[0] for look in ("fig-balloon", "fig-balloon-edge"))
    wanted = given["balloon_mm"] / given["annulus_mm"] * one
    assert close(of(filled, "cx", "cy", "r"), (x, y, wanted)) and close(of(edge, "cx", "cy", "r"), (x, y, wanted))
    zone = zone_of_case(given)
    limits = [of(limit, "cx", "cy", "r") for limit in shapes(root, "circle", "fig-limit")]
    rings = shapes(root, "path", "fig-zone-accepted") + shapes(root, "path", "fig-zone-target")
    if not zone:
        assert limits == [] and rings == []
        return
    assert close(limits, [(x, y, zone["forbidden_above_ratio"] * one)])
    for drawn, (low, high) in zip(rings, [(FIELDS[0], FIELDS[3]), (FIELDS[1], FIELDS[2])], strict=True):
        for piece, ratio in zip(drawn.get("d").removesuffix("Z").split("Z"), (zone[high], zone[low]), strict=True):
            words = piece.replace("M", " ").replace("a", " ").replace("-", " -").split()
            left, level, radius = float(words[0]), float(words[1]), float(words[2])
            assert close((left, level, radius), (x - ratio * one, y, ratio * one))
            assert [float(word) for word in words[7:9]] == [pytest.approx(2 * radius, abs=0.02), 0]


@each("balloon_on_annulus")
def test_the_largest_circle_fills_its_room_and_the_words_of_the_ring_stand_in_its_middle(root, given):
    circles = [of(circle, "cx", "cy", "r") for circle in root.iter(SVG + "circle") if "fig-dots-good" not in looks(circle)]
    x, y, _ = circles[0]
    assert 105 <= max(radius for _, _, radius in circles) <= 110
    assert [abs(level - y) < 20 for _, level, _ in texts(root, x=x, anchor="middle")] == [True, True]


@each("balloon_on_annulus")
def test_the_scale_bar_of_a_balloon_is_as_long_as_it_says(root, given):
    check_scale_bar(root)


@each("two_balloons_belt")
def test_the_scale_bar_of_two_balloons_is_as_long_as_it_says(root, given):
    check_scale_bar(root)


def check_scale_bar(root):
    (x, y, words), = [one for one in texts(root, look="fig-small") if one[2].endswith(" mm")]
    bars = [corners(bar)[0] for bar in shapes(root, "path", "fig-measure")]
    (left, level), (right, also) = [bar for bar in bars if close(bar[0][0], x)][0]
    assert close(level, also) and close(level, y + 8)
    per_mm = float(root.get("data-units-per-mm"))
    assert close(right - left, number_in(words) * per_mm)
    assert number_in(words) == max(length for length in (10, 5, 2, 1) if length * per_mm <= 100 or length == 1)  # the longest that has room


@each("two_balloons_belt")
def test_both_balloons_and_the_annulus_lie_on_one_level_about_the_middle(root, given):
    per_mm = float(root.get("data-units-per-mm"))
    wide, narrow = max(given["balloon_a_mm"], given["balloon_b_mm"]), min(given["balloon_a_mm"], given["balloon_b_mm"])
    one, other, ring = (of(shapes(root, "circle", look)[0], "cx", "cy", "r") for look in ("fig-balloon", "fig-balloon-b", "fig-annulus"))
    level, left = one[1], 180 - (wide + narrow) / 2 * per_mm
    high = 2 * max(one[2], ring[2])
    across = max(2 * ring[2], 360 - 2 * left)
    assert across < 321 and high < 201 and (close(across, 320, 1) or close(high, 200, 1))  # as large as there is room for
    assert 36 < level - high / 2 < 50
    legend = [y for _, y, text in texts(root) if text.startswith("belt ")][0]
    assert 20 < legend - (level + high / 2) < 32
    assert close([one, other, ring], [(left + wide / 2 * per_mm, level, wide / 2 * per_mm), (360 - left - narrow / 2 * per_mm, level, narrow / 2 * per_mm),
                                      (180, level, given["annulus_mm"] / 2 * per_mm)])
    measured = [corners(bar)[0] for bar in shapes(root, "path", "fig-measure") if close(corners(bar)[0][0][1], 26)]
    assert close(measured, [[(left, 26), (360 - left, 26)]])
    assert close([line_of(line) for line in shapes(root, "line", "fig-curve-soft")], [(left, 26, left, level), (360 - left, 26, 360 - left, level)])
    assert [text for _, _, text in texts(root, x=one[0], y=level + 5)] == [f"{wide:g}"]
    assert [text for _, _, text in texts(root, x=other[0], y=level + 5)] == [f"{narrow:g}"]


def bar_scale(root, zone):
    """The scale of a bar of zones, from the numbers under its edges, each at the foot of its leader."""
    leaders = [line_of(line) for line in shapes(root, "line", "fig-leader")]
    marks = []
    for field, (x, top, below, foot) in zip(FIELDS, leaders):
        written = [text for _, _, text in texts(root, x=x, y=foot + 11, anchor="middle")]
        assert close(x, below) and f"{zone[field]:.2f}" in written
        marks.append((zone[field], x))
    assert len(leaders) == 5
    return Scale(marks), leaders[0][1]


def check_zone_bar(root, zone, pointers):
    scale, under = bar_scale(root, zone)
    bars = [(look, box(rect)) for look in ("plain", "accepted", "target", "reason", "forbidden") for rect in shapes(root, "rect", f"fig-zone-{look}")
            if close(box(rect)[3], under)]
    left, right = min(edges[0] for _, edges in bars), max(edges[2] for _, edges in bars)
    low, a, b, c, d, high = left, *(scale(zone[field]) for field in FIELDS[:4]), scale(zone[FIELDS[4]])
    wanted = [("plain", left, a), ("accepted", a, b), ("accepted", c, d), ("target", b, c), ("reason", d, high), ("forbidden", high, right)]
    assert low < a and [look for look, _, _ in wanted] == [look for look, _ in bars]
    assert close([(edges[0], edges[2]) for _, edges in bars], [(start, end) for _, start, end in wanted])
    assert {round(edges[3] - edges[1], 2) for _, edges in bars} == {26}
    for look, kind in (("target", "dots"), ("reason", "lines"), ("forbidden", "hatch")):
        tiles = [corners(path)[0] for path in shapes(root, "path", "fig-over") if path.get("fill") == f"url(#one-{kind})"]
        for start, top, end, foot in [edges for name, edges in bars if name == look]:
            assert close(tiles[0], [(start, top), (end, top), (end, foot), (start, foot), (start, top)])
    tiles = [corners(path)[0] for path in shapes(root, "path", "fig-over")]
    swatches = [[box(rect) for rect in shapes(root, "rect", f"fig-zone-{look}") if box(rect)[1] > under][0] for look in ("target", "accepted", "reason", "forbidden")]
    end = 0.0
    for (start, top, stop, foot), words in zip(swatches, ("target", "accepted", "written reason", "forbidden")):
        (x, y, stretch, _), = [box_of(each_text) for each_text in root.iter(SVG + "text") if each_text.text == words]
        assert close((stop - start, foot - top), (14, 14)) and top == swatches[0][1] and 3 <= x - stop <= 6 and top - 1 <= y < foot
        assert start - end >= 8 and (words == "accepted") is not any(close(tile, [(start, top), (stop, top), (stop, foot), (start, foot), (start, top)]) for tile in tiles)
        end = stretch
    for ratio in pointers:
        x = min(max(scale(ratio), left), right)
        tip, one, other = corners([path for path in shapes(root, "path", "fig-pointer")][0])[0][:3]
        assert close((tip[0], one[0], other[0]), (x, x - 6, x + 6)) and under - 26 <= tip[1] <= under and one[1] == other[1] < tip[1]
        assert close([line_of(line) for line in shapes(root, "line", "fig-curve")], [(x, under - 26, x, under)])
        named = [y for place, y, text in texts(root, look="fig-halo") if close(place, x) and half_up(ratio, 2) in text]
        assert named and 4 < one[1] - named[0] < 8  # over the pointer
    return scale, left, right, under


@each("balloon_on_annulus")
def test_the_bar_of_one_balloon_points_at_its_ratio(root, given):
    if zone_of_case(given):
        check_zone_bar(root, zone_of_case(given), [given["balloon_mm"] / given["annulus_mm"]])


@each("two_balloons_belt")
def test_the_bar_of_two_balloons_points_at_the_ratio_of_their_belt(root, given):
    if zone_of_case(given):
        one, other = sorted((given["balloon_a_mm"], given["balloon_b_mm"]))
        # Two straight pieces of 2 sqrt(ab), and of each circle the arc beyond where they touch it: radii a, b, a leaning by t.
        lean = math.asin((other - one) / (other + one))
        belt = 2 * math.sqrt(one * other) + one / 2 * (math.pi - 2 * lean) + other / 2 * (math.pi + 2 * lean)
        check_zone_bar(root, zone_of_case(given), [belt / math.pi / given["annulus_mm"]])


@each("error_band")
def test_the_band_reaches_from_the_lowest_to_the_highest_true_ratio(root, given):
    zone = zone_of_case(given)
    if not zone:
        assert shapes(root, "rect", "fig-band") == []
        return
    scale, left, right, under = check_zone_bar(root, zone, [given["intended_ratio"]])
    size = abs(given["measurement_error_percent"]) / 100
    # A ring measured too small by a part e is 1 / (1 - e) of what was read, and the ratio lower by as much.
    low, high = given["intended_ratio"] * (1 - size), given["intended_ratio"] * (1 + size)
    start, end = (min(max(scale(ratio), left), right) for ratio in (low, high))
    drawn, = shapes(root, "rect", "fig-band")
    assert close((box(drawn)[0], box(drawn)[2]), (start, max(end, start + 1)))
    assert under - 26 < box(drawn)[1] < box(drawn)[3] < under
    written = [(x, text) for x, y, text in texts(root, look="fig-strong") if close(y, under - 30)]
    aside = max(4, 10 - (end - start) / 2)
    wanted = [(start - aside, half_up(low, 2))] * (start - 34 > left) + [(end + aside, half_up(high, 2))] * (end + 34 < right)
    assert close([x for x, _ in written], [x for x, _ in wanted]) and [text for _, text in written] == [text for _, text in wanted]


# --- the ring ----------------------------------------------------------------------------------------


@each("hinge_points")
def test_the_ring_of_the_other_frame_is_wider_by_the_percentage(root, given):
    measures = shapes(root, "path", "fig-measure-strong") + shapes(root, "path", "fig-measure")
    ends = [corners(path)[0] for path in measures]
    one, other = (math.dist(*pair) for pair in ends)
    assert other / one == pytest.approx(1 + given["diastole_wider_percent"] / 100, abs=2e-3)
    dots = [of(dot, "cx", "cy") for dot in shapes(root, "circle", "fig-dot-good") + shapes(root, "circle", "fig-dot")]
    assert close(dots, [point for pair in ends for point in pair])


@each("phase_spread")
def test_the_ring_and_its_spread_stand_on_the_axis(root, given):
    scale = scale_across(root, 168)
    dot, = shapes(root, "circle", "fig-dot-good")
    assert close(of(dot, "cx"), (scale(given["annulus_mm"]),))
    band = dict(sizing.annulus_other_phase_band_mm(**given))
    drawn, = shapes(root, "rect", "fig-zone-reason")
    left, top, right, bottom = box(drawn)
    assert close((left, right), (scale(band["low_mm"]), scale(band["high_mm"])))
    hatch, = [path for path in shapes(root, "path", "fig-over")]
    assert close(corners(hatch)[0], [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
    x = scale(given["annulus_mm"])
    (dotted,) = [line_of(line) for line in shapes(root, "line", "fig-curve-soft")]
    assert close((dotted[0], dotted[2], dotted[3]), (x, x, 150))
    (words,) = [one for one in texts(root, look="fig-halo", anchor="middle")]
    assert close(words[0], (left + right) / 2) and top < words[1] < bottom
    assert words[2] == f"{band['low_mm']:.1f} to {band['high_mm']:.1f}\u00a0mm"
    (level,) = of(dot, "cy")
    beside = [(x, y) for x, y, text in texts(root, look="fig-strong") if text == f"{given['annulus_mm']:.1f}\u00a0mm"]
    assert len(beside) == 1 and close(abs(beside[0][0] - x), 10) and 3 < beside[0][1] - level < 7  # beside the dot, on its level
    here, there = [y for _, y, text in texts(root, x=12, look="fig-strong")]
    assert 14 < level - here < 24 and 6 < dotted[1] - level < 12 and 6 < top - there < 14 and there - level > 20  # each under its own words
    axis = line_of([line for line in shapes(root, "line", "fig-axis") if line_of(line)[1] == line_of(line)[3]][0])
    least, most = min(left, x), max(right, x)
    # The axis goes a tenth below the least and a little above the greatest of what it shows.
    assert close(scale.at(axis[0]), 0.9 * scale.at(least), 0.02) and 0.04 < scale.at(axis[2]) / scale.at(most) - 1 < 0.08

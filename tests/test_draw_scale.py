"""Every stroke that carries a number stands where the scale written beside it says, to within rounding."""

import cmath
import math
from bisect import bisect_left, bisect_right

import pytest

from pvcalc import follow_up, monitoring, sizing
from pvcalc.chance import two_sided_z
from pvcalc.zones import zone_for
from tests.draw_examples import IDS, INPUTS, SVG, example
from tests.drawn_axes import NEAR, Scale, box, close, corners, half_up, line_of, number_in, of, scale_across, scale_upwards, shapes, texts
from tests.drawn_shapes import box_of, looks, outlines


def each(name):
    """One case for every input of a picture."""
    chosen = [place for place, (other, _) in enumerate(INPUTS) if other == name]
    return pytest.mark.parametrize("root, given", [pytest.param(place, INPUTS[place][1], id=IDS[place]) for place in chosen], indirect=["root"])


@pytest.fixture
def root(request):
    return example(request.param)


# --- balloons ----------------------------------------------------------------------------------------


def zone_of_case(given):
    """The zones that count for a case, or None."""
    return None if given["frame"] == "not_stated" else zone_for(given["zones"], given["frame"])


FIELDS = ("accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio", "forbidden_above_ratio")


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
    assert close(max(2 * ring[2], 360 - 2 * left), 320, 1) or close(high, 200, 1)  # as large as there is room for
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


# --- curves ------------------------------------------------------------------------------------------


@each("damping")
def test_each_line_swings_as_its_equation_says(root, given):
    ratios = [given["over_damping_ratio"], given["good_damping_ratio"], given["under_damping_ratio"]]
    window = seconds_shown(root)
    plateaus = [corners(curve)[0][2][0] for curve in shapes(root, "path", "fig-curve")]
    assert close([x for x, _, text in texts(root, look="fig-small") if text == "flush"], plateaus, 4)
    for curve, grid, ratio in zip(shapes(root, "path", "fig-curve"), shapes(root, "line", "fig-grid"), ratios, strict=True):
        points, = corners(curve)
        left, zero, right, also = line_of(grid)
        assert also == zero
        assert close(points[0], (left, zero)) and close(points[1][1], zero) and close(points[-1][0], right)
        flush, release = points[2], points[3]
        assert flush[1] == release[1] and points[1][0] == flush[0] and left < flush[0] < release[0]
        # Solution of y'' + 2 d w y' + w^2 y = 0 let go from 1, by its two roots; a pair of equal roots is taken as a limit.
        ratio = ratio + 1e-7 if ratio == 1 else ratio
        swing = 2 * math.pi * given["natural_frequency_hz"]
        one, other = (swing * (-ratio + sign * cmath.sqrt(ratio * ratio - 1)) for sign in (1, -1))
        assert len(points) == 104
        for x, y in points[4:]:
            seconds = (x - release[0]) / (right - release[0]) * window
            height = ((one * cmath.exp(other * seconds) - other * cmath.exp(one * seconds)) / (one - other)).real
            steep = 0.006 * window / (right - release[0]) * swing * (zero - flush[1])  # the place across is rounded as well
            assert close(y, zero - height * (zero - flush[1]), 0.02 + steep)


def seconds_shown(root):
    words = " ".join(text for _, _, text in texts(root, look="fig-small"))
    return float(words.split(" seconds after the flush")[0].split()[-1])


@each("step_hazard")
def test_steps_and_their_hazards_stand_on_their_axes(root, given):
    years, free = given["years"], given["event_free_fractions"]
    check_ends(root, 0, (0, years[-1]), scale_across(root, 182), None)
    check_ends(root, 1, (0, years[-1]), scale_across(root, 360), None)
    # Two charts, one over the other: numbers across under each, numbers upwards beside each.
    above, below = (scale_across(root, y) for y in (182, 360))
    grid = [line_of(line) for line in shapes(root, "line", "fig-grid")]
    marks = [(number_in(text), y - 4.5) for _, y, text in texts(root, x=39, anchor="end")]
    assert close(sorted(y for _, y, _, _ in grid), sorted(y for _, y in marks))
    percent, rate = (Scale([mark for mark in marks if low < mark[1] < high]) for low, high in ((40, 170), (215, 345)))
    left, top, right, bottom = border(root, 0)
    lowest = percent.at(bottom)
    assert close(percent.at(top), 100) and close(lowest / 10, round(lowest / 10), 0.01) and lowest > -0.1
    assert 5 <= 100 * free[-1] - lowest <= 15.01 or close(lowest, 0) and free[-1] < 0.15
    left, top, right, bottom = border(root, 1)
    assert close(rate.at(bottom), 0, 0.01)
    bars = [box(bar) for bar in shapes(root, "rect", "fig-bar")]
    assert 0.8 < (bottom - min(bar[1] for bar in bars)) / (bottom - top) < 0.95
    dots = [of(dot, "cx", "cy") for dot in shapes(root, "circle", "fig-dot")]
    assert close(dots, [(above(year), percent(100 * share)) for year, share in zip(years, free)])
    curve, = shapes(root, "path", "fig-curve")
    assert close(corners(curve)[0], [(above(0), percent(100))] + dots)
    dotted, = [path for path in shapes(root, "path", "fig-curve-soft")]
    steady = -math.log(free[-1]) / years[-1]
    points, = corners(dotted)
    assert len(points) == 41 and close((points[0][0], points[-1][0]), (above(0), above(years[-1])))
    for x, y in points:
        year = (x - above(0)) / (above(1) - above(0))
        assert close(y, percent(100 * math.exp(-steady * year)))
    start, last = 0.0, 1.0
    for bar, year, share in zip(shapes(root, "rect", "fig-bar"), years, free, strict=True):
        hazard = math.log(last / share) / (year - start)
        left, top, right, foot = box(bar)
        assert close((left, top, right), (below(start), rate(100 * hazard), below(year))) and close(foot, rate(0))
        start, last = year, share
    level, = [line_of(line) for line in shapes(root, "line", "fig-curve-soft")]
    assert close(level, (below(0), rate(100 * steady), below(years[-1]), rate(100 * steady)))


@each("cusum_chart")
def test_the_chart_of_failures_counts_case_by_case(root, given):
    across, upwards = scale_across(root, 278), scale_upwards(root, 35)
    fair, poor = given["acceptable_fraction"], given["unacceptable_fraction"]
    odds = math.log(poor * (1 - fair) / (fair * (1 - poor)))
    cost = math.log((1 - fair) / (1 - poor)) / odds
    heights, failures = [0.0], 0
    for number, outcome in enumerate(given["outcomes"], 1):
        failures += outcome
        heights.append(failures - number * cost)
    curve, = shapes(root, "path", "fig-curve")
    points, = corners(curve)
    numbers = [round((x - across(0)) / (across(1) - across(0))) for x, _ in points]
    assert numbers[0] == 0 and numbers[-1] == len(given["outcomes"]) and numbers == sorted(set(numbers))
    assert close(points, [(across(number), upwards(heights[number])) for number in numbers], 0.1)
    assert len(points) == len(heights) or set(numbers) >= {0, heights.index(max(heights)), heights.index(min(heights)), len(heights) - 1}
    dots = [of(dot, "cx", "cy") for dot in shapes(root, "circle", "fig-dot")]
    failed = [number for number, outcome in enumerate(given["outcomes"], 1) if outcome]
    assert close(dots, [(across(number), upwards(heights[number])) for number in failed] if failures <= 400 else [], 0.1)
    for look, height in (("fig-limit", math.log((1 - given["beta"]) / given["alpha"]) / odds), ("fig-limit-good", -math.log((1 - given["alpha"]) / given["beta"]) / odds)):
        x, y, end, also = line_of(shapes(root, "line", look)[0])
        assert close((y, also), (upwards(height), upwards(height)), 0.1) and x < end


@each("event_free_chart")
def test_the_event_free_curve_steps_down_at_each_event(root, given):
    across, upwards = scale_across(root, 252), scale_upwards(root, 39)
    pairs = sorted(zip(given["times_years"], given["events"]))
    lowest = min(row[5] for row in follow_up.curve(given["times_years"], given["events"], two_sided_z(given["confidence"])))
    check_ends(root, 0, (0, pairs[-1][0]), across, upwards, (math.floor(10 * lowest) * 10, 100))
    share, wanted = 1.0, [(0, 1.0)]
    times = [time for time, _ in pairs]
    for time in sorted({time for time, happened in pairs if happened}):
        first, last = bisect_left(times, time), bisect_right(times, time)
        left, now = len(pairs) - first, sum(happened for _, happened in pairs[first:last])
        share *= 1 - now / left
        wanted.append((time, share))
    wanted.append((pairs[-1][0], share))
    curve, = shapes(root, "path", "fig-curve")
    check_steps(corners(curve)[0], wanted, across, upwards)
    rows = follow_up.curve(given["times_years"], given["events"], two_sided_z(given["confidence"]))
    for path, place in zip(shapes(root, "path", "fig-limit-inner"), (5, 6), strict=True):
        limits = [(0, 1.0)] + [(row[0], row[place]) for row in rows]
        check_steps(corners(path)[0], limits + [(pairs[-1][0], limits[-1][1])], across, upwards)
    for value, x in across.marks:
        at_risk = sum(1 for time in given["times_years"] if time >= value - 1e-9)
        assert [text for _, _, text in texts(root, x=x, y=292)] == [str(at_risk)]


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


def check_steps(points, wanted, across, upwards):
    """Each value holds until the next; of more than 240 steps the lowest and highest of each stretch are kept."""
    stairs = [point for place, (time, share) in enumerate(wanted) for point in ([(time, wanted[place - 1][1])] if place else []) + [(time, share)]]
    drawn = [(across(time), upwards(100 * share)) for time, share in stairs]
    if len(wanted) <= 240:
        assert close(points, drawn)
    else:
        assert close((points[0], points[-1]), (drawn[0], drawn[-1]))
        kept = points[::2]  # every second corner is one of the curve's own
        assert len(kept) > 120 and all(min(math.dist(one, other) for other in drawn) < 0.1 for one in kept)


@each("funnel_chart")
def test_units_and_limits_stand_on_the_axes_of_the_funnel(root, given):
    across, upwards = scale_across(root, 268), scale_upwards(root, 39)
    dots = [of(dot, "cx", "cy") for dot in shapes(root, "circle", "fig-dot")]
    assert close(dots, [(across(cases), upwards(100 * events / cases)) for events, cases in zip(given["unit_events"], given["unit_cases"])])
    for number, (x, y) in enumerate(dots, 1):
        assert [text for _, _, text in texts(root, x=x + 7, y=y - 5)] == [str(number)]
    level = [line_of(line) for line in shapes(root, "line", "fig-axis") if close(line_of(line)[1], upwards(100 * given["benchmark_fraction"]))]
    assert level and close(level[0][1], level[0][3]) and close(level[0][0], across(0))
    for look, confidence in (("fig-limit", "outer_confidence"), ("fig-limit-inner", "inner_confidence")):
        for path, edge in zip(shapes(root, "path", look), ("low_count", "high_count"), strict=True):
            points, = corners(path)
            assert len(points) > 20
            for x, y in points:
                size = round((x - across(0)) / (across(1) - across(0)))
                limit = dict(monitoring.funnel_limits(benchmark_fraction=given["benchmark_fraction"], cases=size, confidence=given[confidence]))
                assert close((x, y), (across(size), upwards(100 * limit[edge] / size)), 0.1)


@each("pressure_traces")
def test_pressures_stand_on_their_axes_and_gradients_between_them(root, given):
    across, upwards = scale_across(root, 272), scale_upwards(root, 35)
    right, artery, hz = given["rv_mmhg"], given["pa_mmhg"], given["sampling_hz"]
    check_ends(root, 0, (0, (len(right) - 1) / hz), across, upwards)
    left, top, end, bottom = border(root, 0)
    assert close(upwards.at(bottom), min(0, *right, *artery), 0.2)
    assert 0.7 < max(*right, *artery) / upwards.at(top) < 0.9 or max(right) < 20 < upwards.at(top)
    notice, = shapes(root, "rect", "fig-notice")
    assert close(box(notice)[0] - left, end - box(notice)[2]) and top <= box(notice)[1]  # in the middle, and over no curve
    assert box(notice)[3] < min(y for look in ("fig-rv", "fig-pa") for y in [point[1] for point in corners(shapes(root, "path", look)[0])[0]])
    picked = None
    for look, pressures in (("fig-rv", right), ("fig-pa", artery)):
        curve, = shapes(root, "path", look)
        points, = corners(curve)
        numbers = [round((x - across(0)) / (across(1) - across(0)) * hz) for x, _ in points]
        assert numbers == sorted(set(numbers)) and numbers[0] == 0 and numbers[-1] == len(pressures) - 1
        assert pressures.index(max(pressures)) in numbers and (len(pressures) > 134 or len(numbers) == len(pressures))
        assert len(numbers) > 60 and max(b - a for a, b in zip(numbers, numbers[1:])) * 134 < len(pressures) + 134
        assert close(points, [(across(number / hz), upwards(pressures[number])) for number in numbers], 0.1)
        assert picked in (None, numbers)
        picked = numbers
    gaps = [one - other for one, other in zip(right, artery)]
    widest = gaps.index(max(gaps))
    spans = [corners(path)[0] for path in shapes(root, "path", "fig-measure")]
    assert close(spans[0], [(across(widest / hz), upwards(pressure)) for pressure in (right[widest], artery[widest])], 0.1)
    x = spans[1][0][0]
    assert 8 < end - x < 24
    assert close(spans[1], [(x, upwards(max(right))), (x, upwards(max(artery)))], 0.1)
    for number, ((x, top), (_, foot)) in zip("21", spans):
        assert [text for _, _, text in texts(root, x=x, y=(top + foot) / 2 + 4) if text == number] or close(top, foot, 0.5)
    levels = [line_of(line) for line in shapes(root, "line", "fig-curve-soft")]
    assert close(levels, [(across(pressures.index(max(pressures)) / hz), upwards(max(pressures)), spans[1][0][0] + 5, upwards(max(pressures)))
                          for pressures in (right, artery)], 0.1)
    shaded = {round((x - across(0)) / (across(1) - across(0)) * hz) for path in shapes(root, "path", "fig-between") for x, _ in corners(path)[0]}
    assert shaded == {number for number in picked if gaps[number] > 0}
    for path in shapes(root, "path", "fig-between"):
        points = corners(path)[0][:-1]
        upper, lower = points[:len(points) // 2], points[len(points) // 2:][::-1]
        for (x, high), (also, low) in zip(upper, lower, strict=True):
            number = round((x - across(0)) / (across(1) - across(0)) * hz)
            assert close(x, also) and close((high, low), (upwards(right[number]), upwards(artery[number])), 0.1)


@each("two_level_pullback")
def test_pressures_of_the_pull_back_stand_on_the_axis(root, given):
    upwards = scale_upwards(root, 33)
    pa, rv = (given["pa_systolic_mmhg"], given["pa_diastolic_mmhg"]), given["rv_diastolic_mmhg"]
    levels = [pa[0], given["infundibulum_systolic_mmhg"], given["rv_systolic_mmhg"]]
    left, _, right, _ = line_of(shapes(root, "line", "fig-grid")[0])
    third = (right - left) / 3
    assert close([line_of(line) for line in shapes(root, "line", "fig-curve-soft")], [(left, upwards(level), right, upwards(level)) for level in levels])
    low = [pa[1], rv, rv]
    frame = border(root, 0)
    assert close(upwards.at(frame[3]), min(0, rv), 0.2) and 1.05 < upwards.at(frame[1]) / levels[2] < 1.12
    for place, look in enumerate(("fig-pa", "fig-curve", "fig-rv")):
        curve, = shapes(root, "path", look)
        points, = corners(curve)
        assert all(a < b for (a, _), (b, _) in zip(points, points[1:]))  # time never runs back
        assert close((points[0][0], points[-1][0]), (left + place * third, left + (place + 1) * third))
        assert close((min(y for _, y in points), max(y for _, y in points)), (upwards(levels[place]), upwards(low[place])))
        peaks = [x for x, y in points if close(y, upwards(levels[place]))]
        assert len(peaks) == 3 and close((peaks[1] - peaks[0], peaks[2] - peaks[1]), (third / 3, third / 3))
        assert [text for _, _, text in texts(root, x=left + (place + 0.5) * third, y=262)] == [f"{levels[place]:.0f}/{low[place]:.0f}".replace("-", "−")]
        assert [text for _, _, text in texts(root, x=left + (place + 0.5) * third, y=34)] == [("artery", "infundibulum", "RV body")[place]]
    bounds = [line_of(line) for line in shapes(root, "line", "fig-limit-inner")]
    assert close([(one[0], one[2]) for one in bounds], [(left + third, left + third), (left + 2 * third, left + 2 * third)])
    spans = [corners(path)[0] for path in shapes(root, "path", "fig-measure")]
    steps = [(left + third, levels[0], levels[1]), (left + 2 * third, levels[1], levels[2])]
    assert close(spans, [[(x, upwards(below)), (x, upwards(above))] for x, below, above in steps if above > below])
    for number, (x, below, above) in zip("12", steps):
        assert [text for _, _, text in texts(root, x=x, y=(upwards(below) + upwards(above)) / 2 + 4)] == [number]


@each("inflation_time_line")
def test_every_moment_stands_on_the_time_line(root, given):
    scale = scale_across(root, 200)
    axis = [line_of(line) for line in shapes(root, "line", "fig-axis") if line_of(line)[1] == line_of(line)[3]][0]
    marks = [line_of(line) for line in shapes(root, "line", "fig-axis") if line_of(line)[0] == line_of(line)[2]]
    assert close(marks, [(scale(second), axis[1], scale(second), axis[1] + 4) for second in range(len(marks))])
    end = max([given["empty_s"], given["inflate_s"] + given["limit_s"], *given["pacing_s"]]) + 1  # a second more than anything shown
    assert close((axis[0], axis[2]), (scale(0), scale(end))) and len(marks) == math.floor(end) + 1
    assert len({b - a for a, b in zip([value for value, _ in scale.marks], [value for value, _ in scale.marks][1:])}) == 1
    moments = [given["inflate_s"], given["waist_gone_s"], given["deflate_s"], given["empty_s"]]
    balloon, = shapes(root, "path", "fig-balloon")
    points = corners(balloon)[0][:4]
    assert close([x for x, _ in points], [scale(moment) for moment in moments])
    assert points[0][1] == points[3][1] == axis[1] and points[1][1] == points[2][1] < axis[1]
    if given["pacing_s"]:
        burst, = shapes(root, "rect", "fig-zone-reason")
        left, top, right, bottom = box(burst)
        assert close((left, right), tuple(scale(moment) for moment in given["pacing_s"]))
        hatch, = shapes(root, "path", "fig-over")
        assert close(corners(hatch)[0], [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
        moments = [given["pacing_s"][0], *moments, given["pacing_s"][1]]
    else:
        assert shapes(root, "rect", "fig-zone-reason") == []
    leaders = [line_of(line) for line in shapes(root, "line", "fig-leader")]
    assert close([(x, also, foot) for x, _, also, foot in leaders], [(scale(moment), scale(moment), axis[1]) for moment in moments])
    circles = [of(circle, "cx", "cy", "r") for circle in shapes(root, "circle", "fig-number")]
    for number, ((x, top, _, _), (cx, cy, r), moment) in enumerate(zip(leaders, circles, moments, strict=True), 1):
        assert close(cy, top) and abs(cx - x) <= r + NEAR
        assert close([one[:2] for one in texts(root, look="fig-strong") if one[2] == str(number)], [(cx, cy + 4.5)])
        assert [text for _, _, text in texts(root, look="fig-strong") if text.startswith(f"{number} ") and text.endswith(f": {moment:.1f} s")]
    one, other = circles[-4 - bool(given["pacing_s"]):][1:3]  # the waist goes and the balloon is emptied
    between = scale(given["deflate_s"]) - scale(given["waist_gone_s"])
    assert close((one[0] + other[0]) / 2, scale((given["deflate_s"] + given["waist_gone_s"]) / 2)) and close(other[0] - one[0], max(18, between))
    steps = {b - a for a, b in zip([value for value, _ in scale.marks], [value for value, _ in scale.marks][1:])}
    assert steps == {min(step for step in (1, 2, 5) if step * scale.slope >= 27)}  # the finest that leaves a number its room
    for place, one in enumerate(circles):
        assert all(math.dist(one[:2], other[:2]) >= one[2] + other[2] - NEAR for other in circles[:place])
    level = [top for _, top, _, _ in leaders][-4 - bool(given["pacing_s"]):][:4]
    assert close(level, [y for _, y in points])


@each("band_bar")
def test_bands_and_value_stand_on_the_bar(root, given):
    edges = [band["low"] for band in given["bands"]]
    written = [(number_in(text), x) for x, _, text in texts(root, look="fig-small")]
    scale = Scale(written)
    assert [value for value, _ in written] == edges
    bars = [rect for look in ("target", "accepted", "reason", "forbidden") for rect in shapes(root, "rect", f"fig-zone-{look}")]
    ends = [scale(edge) for edge in edges + [given["highest"]]]
    assert close([box(bar)[::2] for bar in bars], list(zip(ends, ends[1:])))
    names = {2: ["target", "forbidden"], 3: ["target", "reason", "forbidden"], 4: ["target", "accepted", "reason", "forbidden"]}[len(edges)]
    assert [bar.get("class") for bar in bars] == [f"fig-zone-{name}" for name in names]
    for kind, name in (("lines", "reason"), ("hatch", "forbidden")):
        for tile in [path for path in shapes(root, "path", "fig-over") if path.get("fill") == f"url(#one-{kind})"]:
            left, top, right, bottom = box(bars[names.index(name)])
            assert close(corners(tile)[0], [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
    assert len(shapes(root, "path", "fig-over")) == len({"reason", "forbidden"} & set(names))
    x = scale(min(given["value"], given["highest"]))
    tip, one, other = corners(shapes(root, "path", "fig-pointer")[0])[0][:3]
    assert close((tip[0], one[0], other[0]), (x, x - 7, x + 7)) and one[1] == other[1] < tip[1]
    assert close([line_of(line) for line in shapes(root, "line", "fig-curve")], [(x, *box(bars[0])[1::2][:1], x, box(bars[0])[3])])
    for number, (edge, place) in enumerate(zip(edges, ends), 1):
        assert close([one[0] for one in texts(root, look="fig-halo") if one[2] == str(number)], [place + 5])


# --- persons -----------------------------------------------------------------------------------------


@each("icon_array")
def test_a_person_fills_the_tile_and_the_square_has_room_for_all(root, given):
    tile = [each for each in root.iter() if each.get("id") == "one-free"][0]
    cell, high = of(tile, "width", "height")
    across = {100: 10, 1000: 40}[given["out_of"]]
    assert cell == high and cell * across <= 352
    for each_tile in [each for each in root.iter() if each.tag.endswith("pattern")]:
        cell = float(each_tile.get("width"))
        head, body = list(each_tile)
        x, y, r = of(head, "cx", "cy", "r")
        assert 0.12 * cell < r < 0.22 * cell and 0.5 * cell < shoulder_of(body) < 0.75 * cell
        assert close(x, cell / 2) and 0 < y - r and y + r < 0.45 * cell
        words = body.get("d").replace("M", "").replace("V", " ").replace("a", " ").replace("Z", "").split()
        left, foot, shoulder, half, bow = (float(word) for word in words[:5])
        wide, down = float(words[8]), float(words[-1])
        assert close(left + wide / 2, cell / 2) and close(half * 2, wide) and down == foot < cell and shoulder - bow > 0.35 * cell
        assert 0.5 * cell < wide < 0.7 * cell and y + r <= shoulder - bow + 0.05 * cell


def shoulder_of(body):
    """How far down a body its sides begin."""
    return float(body.get("d").split("V")[1].split("a")[0])


@each("icon_array")
def test_the_persons_of_each_kind_stand_row_by_row(root, given):
    across = {100: 10, 1000: 40}[given["out_of"]]
    tile = [each for each in root.iter() if each.get("id") == "one-free"][0]
    cell = float(tile.get("width"))
    taken = []
    for look in ("sure", "event", "may", "free"):
        kind = []
        for path in [path for path in shapes(root, "path", "fig-over") if path.get("fill") == f"url(#one-{look})"]:
            for piece in corners(path):
                left, right = min(x for x, _ in piece) / cell, max(x for x, _ in piece) / cell
                top, bottom = min(y for _, y in piece) / cell, max(y for _, y in piece) / cell
                assert all(close(edge, round(edge), 0.01) for edge in (left, right, top, bottom))
                kind += [row * across + column for row in range(round(top), round(bottom)) for column in range(round(left), round(right))]
        assert kind == sorted(kind)
        taken += kind
    assert taken == list(range(given["out_of"]))


@each("icon_array")
def test_no_words_lie_on_the_persons_and_each_kind_is_explained_beside_its_own_person(root, given):
    areas = {}
    for element, pieces in outlines(root):
        if "fig-over" in looks(element):
            points = [point for piece in pieces for point in piece]
            areas.setdefault(element.get("fill"), []).append((min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points)))
    square = [box for fill, boxes in areas.items() for box in boxes if "-key-" not in fill]
    left, top, right, bottom = (edge(box[i] for box in square) for i, edge in ((0, min), (1, min), (2, max), (3, max)))
    side = {100: 210, 1000: 352}[given["out_of"]]
    assert close((left, right - left), (4, side)) and close(bottom - top, {100: 210, 1000: 220}[given["out_of"]])
    for element in root.iter(SVG + "text"):
        x, y, end, foot = box_of(element)
        assert end <= left or right <= x or foot <= top or bottom <= y, element.text
    words = [(box_of(element), element.text) for element in root.iter(SVG + "text") if "fig-small" in looks(element)]
    for look, start in (("sure", "lower end"), ("event", "found"), ("may", "upper end"), ("free", "without")):
        (key,), ((x, y, _, foot),) = areas[f"url(#one-key-{look})"], [box for box, text in words if text.startswith(start)]
        assert close((key[2] - key[0], key[3] - key[1]), (16, 16)) and 3 <= x - key[2] <= 6
        assert key[1] - 1 <= y and foot <= key[3] + 3  # on one level
        assert key[0] >= right or key[1] >= bottom + 3
        tile = [element for element in root.iter() if element.get("id") == f"one-key-{look}"][0]
        assert of(tile, "width", "height") == (16, 16)
    keys = [areas[f"url(#one-key-{look})"][0] for look in ("sure", "event", "may", "free")]
    assert keys[0][0] > right or keys[0][1] - bottom < 12
    for place, one in enumerate(keys):
        assert all(abs(one[0] - other[0]) >= 100 or abs(one[1] - other[1]) >= 20 for other in keys[:place])
    last = [box for box, text in words if text.startswith(f"{given['events']:,} of".replace(",", "\u2009")) or text.startswith(f"{given['events']} of")]
    assert last and last[0][1] >= max(bottom, max(key[3] for key in keys)) + 4

"""Every stroke of a curve that carries a number stands where the scale written beside it says, to within rounding."""

import cmath
import math
from bisect import bisect_left, bisect_right

from pvcalc.statistics import survival, monitoring
from pvcalc.statistics.distributions import two_sided_z
from tests.helpers.drawn_axes import (
    NEAR, Scale, box, close, corners, line_of, number_in, of, scale_across, scale_upwards, shapes, texts,
)
from tests.helpers.drawn_cases import border, check_ends, each, root  # noqa: F401  root is a fixture


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
    check_ends(root, 0, (0, len(given["outcomes"])), across, upwards)
    up, down = math.log((1 - given["beta"]) / given["alpha"]) / odds, math.log((1 - given["alpha"]) / given["beta"]) / odds
    left, top, right, bottom = border(root, 0)
    assert 0.84 < max(up, *heights) / upwards.at(top) < 0.9 and 0.84 < min(-down, *heights) / upwards.at(bottom) < 0.9
    named = {text.split(":")[0]: y for _, y, text in texts(root, look="fig-halo")}
    assert 2 < upwards(-down) - named["acceptable"] < 8  # each over its line, the upper one clear of the lower
    assert 2 < upwards(up) - named["unacceptable"] < 8 or named["acceptable"] - named["unacceptable"] == 15 and named["unacceptable"] < upwards(up)
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
    lowest = min(row[5] for row in survival.curve(given["times_years"], given["events"], two_sided_z(given["confidence"])))
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
    rows = survival.curve(given["times_years"], given["events"], two_sided_z(given["confidence"]))
    for path, place in zip(shapes(root, "path", "fig-limit-inner"), (5, 6), strict=True):
        limits = [(0, 1.0)] + [(row[0], row[place]) for row in rows]
        check_steps(corners(path)[0], limits + [(pairs[-1][0], limits[-1][1])], across, upwards)
    for value, x in across.marks:
        at_risk = sum(1 for time in given["times_years"] if time >= value - 1e-9)
        assert [text for _, _, text in texts(root, x=x, y=292)] == [str(at_risk)]


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
    left, top, right, bottom = border(root, 0)
    assert close((left, bottom), (across(0), upwards(0))) and 1.05 < across.at(right) / max(given["unit_cases"]) < 1.15
    rates = [events / cases for events, cases in zip(given["unit_events"], given["unit_cases"])]
    high = max(3 * given["benchmark_fraction"], *rates, 0)
    assert upwards.at(top) < 100.2  # no rate is above one
    assert 1.2 < upwards.at(top) / 100 / high < 1.3 or high > 0.8 and close(upwards.at(top), 100, 0.2)
    dots = [of(dot, "cx", "cy") for dot in shapes(root, "circle", "fig-dot")]
    assert close(dots, [(across(cases), upwards(100 * events / cases)) for events, cases in zip(given["unit_events"], given["unit_cases"])])
    for number, (x, y) in enumerate(dots, 1):
        assert [text for _, _, text in texts(root, x=x + 7, y=y - 5)] == [str(number)]
    level = [line_of(line) for line in shapes(root, "line", "fig-axis") if close(line_of(line)[1], upwards(100 * given["benchmark_fraction"]))]
    assert level and close(level[0], (left, level[0][3], right, level[0][1]))
    for look, confidence in (("fig-limit", "outer_confidence"), ("fig-limit-inner", "inner_confidence")):
        for path, edge in zip(shapes(root, "path", look), ("low_count", "high_count"), strict=True):
            points, = corners(path)
            assert len(points) > 20 and (points[-1][0] > right - 6 or points[-1][1] < top + 30 or len(rates) == 1)
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
        beat = (len(points) - 1) // 3  # three beats of one shape
        assert len(points) == 3 * beat + 1 and close([(x + third / 3, y) for x, y in points[:-beat]], points[beat:])
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
        assert close([x for x, _, text in texts(root) if text == "none"], [scale(0)])
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

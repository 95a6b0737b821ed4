"""What a picture says: the same numbers in its strokes' words and in its alternative text, and those that follow from the inputs."""

import math

import pytest

from pvcalc.sizing import ratio as sizing
from pvcalc.sizing.zones import FRAME_WORDS
from pvcalc.statistics import survival, proportion
from pvcalc.statistics.distributions import two_sided_z
from tests.helpers.draw_examples import IDS, INPUTS, SVG, example
from tests.helpers.drawn_axes import half_up, numbers_in, texts
from tests.helpers.drawn_shapes import looks
from tests.helpers.drawn_cases import FIELDS, each, root, zone_of_case  # noqa: F401  root is a fixture

EVERY = pytest.mark.parametrize("place", range(len(INPUTS)), ids=IDS)
BLANK = "\u00a0"


def said(root):
    return root.find(SVG + "desc").text


def shown(root):
    """All visible words, one line after the other."""
    return " ".join(text for _, _, text in texts(root))


@EVERY
def test_every_number_in_the_picture_is_said_to_those_who_do_not_see_it(place):
    root = example(place)
    told = set(numbers_in(said(root)))
    for each_text in root.iter(SVG + "text"):
        marks_an_axis = "fig-small" in looks(each_text) and each_text.get("text-anchor") in ("middle", "end")
        if not marks_an_axis and each_text.text not in ("10 mm", "5 mm", "2 mm", "1 mm"):  # the scale is no finding
            missing = [number for number in numbers_in(each_text.text) if number not in told and number not in range(1, 7)]
            assert missing == [], each_text.text


@EVERY
def test_sentences_begin_with_a_capital_and_end_with_one_stop(place):
    words = said(example(place))
    assert words[0] == words[0].upper() and words.endswith(".") and ".." not in words and "  " not in words


def verdict(ratio, given):
    """The verdict on a ratio by the definitions of the zones; a ratio on an edge belongs to the better side."""
    zone = zone_of_case(given)
    if given["frame"] == "not_stated":
        return "Frame not stated: this ratio cannot be judged.", "fig-bad-text"
    if zone is None:
        return "No zones are set for this frame: this ratio cannot be judged.", "fig-bad-text"
    low, target_low, target_high, high, ceiling = (zone[field] for field in FIELDS)
    near = 1e-9
    words, look = (("Below the accepted zone.", "fig-odd-text") if ratio < low - near else
                   ("FORBIDDEN: too large.", "fig-bad-text") if ratio > ceiling + near else
                   ("Above the accepted zone: written reason only.", "fig-odd-text") if ratio > high + near else
                   ("In the target zone.", "fig-good-text") if target_low - near <= ratio <= target_high + near else
                   ("In the accepted zone.", "fig-strong"))
    on = [edge for edge in (low, target_low, target_high, high, ceiling) if abs(ratio - edge) <= 0.0005 + near]
    return words + (f" At the cut-off of {half_up(on[0], 2)} ({half_up(ratio, 3)})." if on else ""), look


def zones_said(given):
    zone = zone_of_case(given)
    if zone is None:
        return ""
    low, target_low, target_high, high, ceiling = (half_up(zone[field], 2) for field in FIELDS)
    return (f" Zones: target {target_low} to {target_high}, accepted {low} to {high}, with a written reason to {ceiling}, forbidden above.")


def rows_with(root, look):
    return " ".join(text for _, _, text in texts(root, look=look))


@each("balloon_on_annulus")
def test_a_balloon_is_told_with_its_ratio_frame_and_verdict(root, given):
    annulus, balloon = (half_up(given[key], 1) + BLANK + "mm" for key in ("annulus_mm", "balloon_mm"))
    ratio = given["balloon_mm"] / given["annulus_mm"]
    words, look = verdict(ratio, given)
    assert said(root) == (f"A balloon of {balloon} on an annulus of {annulus}, seen end-on and to scale. Frame: {FRAME_WORDS[given['frame']]}. "
                          f"Ratio {half_up(ratio, 2)}. {words}{zones_said(given)}")
    assert words in rows_with(root, look)
    beside = [text for x, _, text in texts(root, x=244) if not text.endswith(" mm")]
    assert " ".join(beside) == f"balloon {balloon} ratio {half_up(ratio, 2)} frame {FRAME_WORDS[given['frame']]}"
    middle = [text for _, _, text in texts(root, look="fig-halo", x=122)]
    assert middle == ["annulus", annulus]
    if zone_of_case(given):
        beyond = "" if 0.8 <= ratio <= 1.7 else " (beyond the bar)"
        assert half_up(ratio, 2) + beyond in [text for _, _, text in texts(root, look="fig-halo")]


@each("two_balloons_belt")
def test_two_balloons_are_told_with_their_belt_and_verdict(root, given):
    one, other = sorted((given["balloon_a_mm"], given["balloon_b_mm"]))
    lean = math.asin((other - one) / (other + one))
    belt = 2 * math.sqrt(one * other) + one / 2 * (math.pi - 2 * lean) + other / 2 * (math.pi + 2 * lean)
    ratio = belt / math.pi / given["annulus_mm"]
    words, look = verdict(ratio, given)
    equal = f"Belt as one balloon: {half_up(belt / math.pi, 2)}{BLANK}mm, ratio {half_up(ratio, 3)}."
    wider = f"The pair is {half_up((one + other) / given['annulus_mm'], 2)} times the annulus wide before the ring bends."
    for part in (f"Two balloons of {other:g} and {one:g} mm", f"belt of {half_up(belt, 1)}{BLANK}mm", f"annulus of {given['annulus_mm']:g} mm",
                 f"Frame: {FRAME_WORDS[given['frame']]}. Widest {half_up(one + other, 1)}{BLANK}mm. {equal} {words} {wider}{zones_said(given)}"):
        assert part in said(root)
    assert words in rows_with(root, look) and equal in shown(root) and wider in shown(root)
    for part in (f"belt {half_up(belt, 1)}{BLANK}mm", f"annulus {given['annulus_mm']:g}", f"widest before the ring bends: {half_up(one + other, 1)}{BLANK}mm"):
        assert part in [text for _, _, text in texts(root)]


@each("error_band")
def test_the_band_is_told_with_the_verdict_on_both_ends(root, given):
    size, ratio = abs(given["measurement_error_percent"]), given["intended_ratio"]
    low, high = ratio * (1 - size / 100), ratio * (1 + size / 100)
    first = (f"Intended {half_up(ratio, 2)}, annulus wrong by up to {half_up(size, 1)}{BLANK}% either way: true ratio {half_up(low, 2)} to {half_up(high, 2)}.")
    assert first in rows_with(root, "fig-strong") and said(root).startswith(first + f" Frame: {FRAME_WORDS[given['frame']]}. ")
    one, other = verdict(low, given)[0], verdict(high, given)[0]
    if zone_of_case(given):
        assert f"Lower end: {one} Upper end: {other}{zones_said(given)}" in said(root)
        assert f"Lower end: {one[0].lower()}{one[1:]} Upper end: {other[0].lower()}{other[1:]}" in shown(root)
        assert f"intended {half_up(ratio, 2)}" in [text for _, _, text in texts(root)]
    else:
        assert said(root).endswith(". " + one) and one in rows_with(root, "fig-bad-text")


@each("hinge_points")
def test_the_difference_between_the_frames_is_told_in_whole_per_cent(root, given):
    middle, low, high = (half_up(given[key], 0) + BLANK + "%" for key in ("diastole_wider_percent", "lowest_percent", "highest_percent"))
    text = f"At end-diastole the ring reads {middle} wider than at end-systole ({low} to {high})."
    assert text in said(root) and text in shown(root)


@each("phase_spread")
def test_the_spread_is_told_with_both_frames(root, given):
    band = dict(sizing.annulus_other_phase_band_mm(**given))
    low, high = half_up(band["low_mm"], 1), half_up(band["high_mm"], 1) + BLANK + "mm"
    here, other = ("end-systole", "end-diastole") if given["measured_in"] == "end_systole" else ("end-diastole", "end-systole")
    annulus = half_up(given["annulus_mm"], 1) + BLANK + "mm"
    assert said(root).startswith(f"Annulus {annulus} measured at {here}, {given['valve']} valve. At {other} it spread from {low} to {high} in one series. ")
    assert f"{here}, measured" in shown(root) and f"{other}, spread in one series" in shown(root)
    assert rows_with(root, "fig-bad-text") in said(root)


@each("pressure_traces")
def test_the_three_gradients_are_told_as_measured(root, given):
    right, artery = given["rv_mmhg"], given["pa_mmhg"]
    unit = BLANK + "mmHg"
    assert f"(highest {half_up(max(right), 0)}{unit})" in said(root)
    assert f"(highest {half_up(max(artery), 0)}{unit}, lowest {half_up(min(artery), 0)}{unit})" in said(root)
    assert f"over {half_up((len(right) - 1) / given['sampling_hz'], 2)} seconds" in said(root)
    gaps = [one - other for one, other in zip(right, artery)]
    strong = [text for x, _, text in texts(root, look="fig-strong", x=4)]
    assert [text.split(":")[0] for text in strong] == ["1 peak to peak", "2 peak instantaneous", "3 mean"]
    if len(right) == 100:  # one beat: the gradients follow from its extremes, and the mean from its area
        above = [gap for gap in gaps if gap > 0]
        assert strong[0] == f"1 peak to peak: {half_up(max(right) - max(artery), 0)}{unit}"
        assert strong[1] == f"2 peak instantaneous: {half_up(max(gaps), 0)}{unit}"
        assert abs(numbers_in(strong[2])[1] - sum(above) / len(above)) < 0.05 * max(gaps)
    for text, more in zip(strong, (text for _, _, text in texts(root, look="fig-small", x=22)), strict=True):
        assert f"{text[2:].replace(': ', ' gradient ')}: {more}." in said(root)


@each("damping")
def test_each_line_is_told_with_its_ratio(root, given):
    named = [("Over-damped", "over_damping_ratio"), ("Good", "good_damping_ratio"), ("Under-damped", "under_damping_ratio")]
    for place, (name, key) in enumerate(named):
        head = (4 + 120 * place, name, f"ratio {half_up(given[key], 2)}")
        column = [text for x, _, text in texts(root, x=head[0])]
        assert column[:2] == [head[1], head[2]]
        start = said(root).index(f"{name}, damping ratio {half_up(given[key], 2)}: ")
        for part in column[2:4]:
            assert part.split(":")[0] in said(root)[start:]
    window = max(0.42, 4 / given["natural_frequency_hz"])  # long enough for four swings of a slow line
    assert f"Natural frequency {half_up(given['natural_frequency_hz'], 1)}{BLANK}Hz, {half_up(window, 2)} seconds after the flush." in said(root)
    assert window * given["natural_frequency_hz"] >= 3.99


@each("two_level_pullback")
def test_the_pull_back_is_told_with_its_steps(root, given):
    unit = BLANK + "mmHg"
    pa, muscle, rv = (given[key] for key in ("pa_systolic_mmhg", "infundibulum_systolic_mmhg", "rv_systolic_mmhg"))
    low = half_up(given["rv_diastolic_mmhg"], 0).replace("-", "−")
    assert (f"artery {pa} over {given['pa_diastolic_mmhg']}{unit}. infundibulum {muscle} over {low}{unit}. RV body {rv} over {low}{unit}. Step at the valve "
            f"{muscle - pa}{unit}, step below the valve {rv - muscle}{unit}, total {rv - pa}{unit}.") in said(root)
    strong = [text for _, _, text in texts(root, look="fig-strong", x=4)]
    assert strong == [f"1 step at the valve: {muscle - pa}{unit}", f"2 step below the valve: {rv - muscle}{unit}", f"total: {rv - pa}{unit}"]


@each("inflation_time_line")
def test_the_inflation_is_told_moment_by_moment(root, given):
    moments = [("inflate", given["inflate_s"]), ("waist gone", given["waist_gone_s"]), ("deflate", given["deflate_s"]), ("empty", given["empty_s"])]
    if given["pacing_s"]:
        moments = [("pacing on", given["pacing_s"][0]), *moments, ("pacing off", given["pacing_s"][1])]
    taken = given["empty_s"] - given["inflate_s"]
    verdict = f"Inflate to empty: {half_up(taken, 1)} s, limit {half_up(given['limit_s'], 1)} s: {'TOO LONG.' if taken > given['limit_s'] else 'within.'}"
    told = ", ".join(f"{name} at {half_up(moment, 1)} s" for name, moment in moments)
    assert said(root) == f"One inflation against time{'' if given['pacing_s'] else ', without pacing'}: {told}. {verdict}"
    assert [text for _, _, text in texts(root, look="fig-bad-text" if taken > given["limit_s"] else "fig-good-text")] == [verdict]
    rows = [(x, y, text) for x, y, text in texts(root, look="fig-strong") if text.endswith(" s")]
    assert [text for _, _, text in rows] == [f"{place} {name}: {half_up(moment, 1)} s" for place, (name, moment) in enumerate(moments, 1)]
    # Read downwards, then in the second column.
    assert rows == sorted(rows) and len({x for x, _, _ in rows}) == 2 and [y for _, y, _ in rows][:3] == sorted({y for _, y, _ in rows})
    assert len({b - a for a, b in zip(sorted({y for _, y, _ in rows}), sorted({y for _, y, _ in rows})[1:])}) == 1
    assert [text for _, _, text in texts(root, look="fig-strong") if text == "none"] == ([] if given["pacing_s"] else ["none"])


@each("icon_array")
def test_the_counts_are_told_with_their_interval_and_never_as_nought(root, given):
    events, cases, out_of = given["events"], given["cases"], given["out_of"]
    limits = dict(proportion.exact_interval(events=events, cases=cases, confidence=given["confidence"]))
    nearest = [int(half_up(share * out_of, 0)) for share in (limits["low"], events / cases, limits["high"])]
    low, found = ("fewer than 1" if count == 0 and events else str(count) for count in nearest[:2])
    per = half_up(out_of, 0)
    foot = f"{events} of {cases} counted; 95{BLANK}% interval {low} to {nearest[2]} in {per}. {given['population_words']}"
    begun = found.replace("fewer", "Fewer")
    assert said(root) == f"{begun} in {per} had this: {given['event_words']}; {out_of - nearest[1]} in {per} had not. {foot}."
    assert rows_with(root, "fig-strong") == f"{begun} in {per}: {given['event_words']}"
    for part in (f"lower end: {low}", f"found: {found}", f"upper end: {nearest[2]}", "without the event", foot):
        assert f" {part} " in f" {shown(root)} "


@each("band_bar")
def test_the_value_is_told_with_its_band_and_the_cut_offs_it_touches(root, given):
    value = given["value"]
    unit, decimals = {"contrast_ml_per_kg": (BLANK + "mL/kg", 1), "rise_mmhg": (BLANK + "mmHg", 0)}[given["quantity"]]
    edges = [band["low"] for band in given["bands"]]
    number = max(place for place, edge in enumerate(edges, 1) if value >= edge)
    beyond = " (beyond the bar)" if value > given["highest"] else ""
    shown_value = half_up(value, decimals if value >= 0.1 else 2)  # what is not nought is never shown as nought
    if "kg" in unit and "." in shown_value:
        shown_value = shown_value.rstrip("0").rstrip(".")  # a dose keeps no idle nought
    told = f"{shown_value}{unit}{beyond} lies in band {number}, {given['bands'][number - 1]['words']}"
    on = [edge for edge in edges[1:] if abs(value - edge) <= 0.5 / 10 ** decimals]
    told += "".join(f"; at the cut-off of {edge:g}{unit}" for edge in on)
    bands = [f"from {band['low']:g}{unit}: {band['words']}" for band in given["bands"]]
    assert said(root) == f"{told}. Bands {'; '.join(bands)}."
    assert [text for _, _, text in texts(root, look="fig-odd-text")] == [f"at the cut-off of {edge:g}{unit}" for edge in on]
    assert all(band in shown(root) for band in bands) and bands[number - 1] in rows_with(root, "fig-strong")
    assert not any(band in rows_with(root, "fig-strong") for place, band in enumerate(bands, 1) if place != number)
    notes = [y for _, y, _ in texts(root, look="fig-odd-text")]
    assert all(15 <= y - max(other for _, other, _ in texts(root, x=28)) <= 22 for y in notes)
    assert [each_text.get("text-anchor", "start") for each_text in root.iter(SVG + "text") if "fig-small" in looks(each_text)] == ["start"] + ["middle"] * (len(edges) - 1)
    rows = [(y, text) for _, y, text in texts(root, x=10, look="fig-strong") if text.isdigit()]
    words = [(y, text) for _, y, text in texts(root, x=28)]
    assert rows == [(y, str(place)) for place, (y, text) in enumerate([one for one in words if one[1].startswith("from ")], 1)]


def percent(share, decimals=1):
    return half_up(100 * share, decimals) + BLANK + "%"


@each("step_hazard")
def test_each_step_is_told_with_its_hazard(root, given):
    years, free = given["years"], given["event_free_fractions"]
    parts, start, last = [], 0, 1
    for year, share in zip(years, free):
        parts.append(f"{start:g} to {year:g} years: {percent(share, 0)} free at the end, {half_up(100 * math.log(last / share) / (year - start), 2)} per 100 person-years")
        start, last = year, share
    steady = half_up(-100 * math.log(free[-1]) / years[-1], 2)
    text = (f"Bars: hazard of each step. Dotted: one constant hazard, {steady} per 100 person-years, that gives the same {percent(free[-1], 0)} at {years[-1]:g} years.")
    assert said(root) == f"Free of: {given['event_words']}. {'; '.join(parts)}. {text}" and text in shown(root)


@each("cusum_chart")
def test_the_chart_of_failures_is_told_with_its_verdict(root, given):
    fair, poor, outcomes = given["acceptable_fraction"], given["unacceptable_fraction"], given["outcomes"]
    odds = math.log(poor * (1 - fair) / (fair * (1 - poor)))
    cost, up, down = math.log((1 - fair) / (1 - poor)) / odds, math.log((1 - given["beta"]) / given["alpha"]) / odds, math.log((1 - given["alpha"]) / given["beta"]) / odds
    heights = [sum(outcomes[:number]) - number * cost for number in range(1, len(outcomes) + 1)]
    passed = [(number, height) for number, height in enumerate(heights, 1) if height > up or height < -down]
    verdict = "Between the lines: neither shown." if not passed else (
        f"Passed the upper line at case {passed[0][0]}: review." if passed[0][1] > 0 else f"Passed the lower line at case {passed[0][0]}.")
    look = "fig-bad-text" if passed and passed[0][1] > 0 else "fig-strong"
    assert [text for _, _, text in texts(root, look=look)] == [verdict] and said(root).startswith(verdict + " ")
    failures, count = sum(outcomes), half_up(len(outcomes), 0)
    text = (f"{failures} failures {'(dots) ' if failures <= 400 else ''}in {count} cases; {percent(fair)} against {percent(poor)}, alpha {given['alpha']:g}, "
            f"beta {given['beta']:g}. Each case without failure: down {half_up(cost, 3)}.")
    assert text in said(root) and text in shown(root)
    last = half_up(heights[-1], 2).replace("-", "−")
    assert said(root).endswith(f" Upper line {half_up(up, 2)}, lower line −{half_up(down, 2)}, last value {last}.")
    limits = {text: y for _, y, text in texts(root, look="fig-halo")}
    assert set(limits) == {f"unacceptable: {half_up(up, 2)}", f"acceptable: −{half_up(down, 2)}"}


@each("event_free_chart")
def test_the_event_free_curve_is_told_at_each_mark(root, given):
    times, events = given["times_years"], given["events"]
    happened = sum(events)
    text = f"{happened} events in {len(times)}. Dotted: {100 * given['confidence']:g}{BLANK}% limits from Greenwood's error."
    assert text in shown(root) and said(root).endswith(text) and said(root).startswith(f"Free of: {given['event_words']}. at ")
    marks = [text for _, y, text in texts(root, y=252)]
    rows = survival.curve(times, events, two_sided_z(given["confidence"]))
    for mark in marks:
        share, year = 1.0, float(mark)
        for time in sorted({time for time, now in zip(times, events) if now and time <= year + 1e-9}):
            left = sum(1 for other in times if other >= time)
            share *= 1 - sum(now for other, now in zip(times, events) if other == time) / left
        at_risk = sum(1 for time in times if time >= year - 1e-9)
        if share < 1:
            row = [row for row in rows if row[0] <= year + 1e-9][-1]
            assert f"at {year:g} years {percent(share)} ({percent(row[5])} to {percent(row[6])}), {at_risk} at risk" in said(root)
        else:
            assert f"at {year:g} years" not in said(root)


@each("funnel_chart")
def test_the_units_of_a_funnel_are_told_one_by_one(root, given):
    units = "; ".join(f"{number}: {events} of {cases}, {percent(events / cases)}"
                      for number, (events, cases) in enumerate(zip(given["unit_events"], given["unit_cases"]), 1))
    text = (f"Line: benchmark {percent(given['benchmark_fraction'])}. Dotted: {100 * given['inner_confidence']:g}{BLANK}% limits, dashed: "
            f"{100 * given['outer_confidence']:g}{BLANK}% limits, exact binomial.")
    assert said(root) == f"{given['event_words']}. {units}. {text}" and text in shown(root) and units + "." in shown(root)
    assert f"{given['event_words']}, %" in shown(root)

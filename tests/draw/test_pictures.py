"""Pictures: well-formed, named, to scale, and saying in words the numbers they show."""

import json
import math
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from pvcalc.core.errors import MissingInput, NotUnderstood, OutOfRange, Refusal, UnknownName
from pvcalc.core.formula import FORMULAS
from pvcalc.draw import svg
from pvcalc.page import bridge
from pvcalc.sizing import two_balloons as belts
from tests.helpers.draw_examples import BANDS, EXAMPLES, FRAME, SVG, by_class, parsed

CSS = (Path(__file__).parents[2] / "site_overrides/css/figures.css").read_text(encoding="utf-8")
EACH = pytest.mark.parametrize("name, inputs, said", EXAMPLES, ids=[name for name, _, _ in EXAMPLES])


def of(name, values):
    """Ids of cases that name the picture they are about; tests/mutation/mutants.py chooses by these."""
    return [f"{name}-{value}" for value in values]



def test_every_picture_has_an_example_here():
    assert sorted(svg.PICTURES) == sorted(name for name, _, _ in EXAMPLES)


@EACH
def test_a_picture_lists_its_arguments_in_order(name, inputs, said):
    made = svg.PICTURES[name]
    assert sorted(made.arguments) == sorted(made.limits) == sorted(inputs)


# Limits of their own: an audit draws longer series than a formula computes, and fewer steps fit on a page.
OWN = [("cusum_chart", "outcomes"), ("event_free_chart", "events"), ("step_hazard", "years"), ("step_hazard", "event_free_fractions"),
       ("two_level_pullback", "rv_systolic_mmhg")]


@EACH
def test_a_picture_takes_what_a_formula_of_the_same_quantity_takes(name, inputs, said):
    for argument, limit in svg.PICTURES[name].limits.items():
        namesakes = [vars(made.limits[argument]) for made in FORMULAS if argument in made.limits]
        assert not namesakes or vars(limit) in namesakes or (name, argument) in OWN, argument
        ends = [(one["low"], one["high"]) for one in namesakes]
        assert not namesakes or (limit.low, limit.high) in ends or argument == "rv_systolic_mmhg", argument


@EACH
def test_a_picture_is_named_described_and_free_of_style_and_script(name, inputs, said):
    root = parsed(name, inputs)
    assert root.get("role") == "img" and root.get("viewBox").startswith("0 0 360 ")
    ids = [each.get("id") for each in root.iter() if each.get("id")]
    assert len(ids) == len(set(ids)) and all(each == "one" or each.startswith("one-") for each in ids)
    title, text = [root.find(SVG + tag) for tag in ("title", "desc")]
    assert root.get("aria-labelledby").split() == [title.get("id"), text.get("id")]
    assert 10 < len(title.text) < 80 and len(text.text) > 60
    for each in root.iter():
        assert each.tag.removeprefix(SVG) not in ("script", "style", "image", "foreignObject", "a", "use")
        for key, value in each.attrib.items():
            assert key != "style" and not key.startswith("on") and "href" not in key
            assert "http" not in value and ("url(" not in value or value.startswith("url(#one-"))


@EACH
def test_the_alternative_text_says_the_numbers(name, inputs, said):
    text = parsed(name, inputs).find(SVG + "desc").text
    assert [words for words in said if words not in text] == []


@EACH
def test_every_pattern_is_defined_and_every_class_has_a_look(name, inputs, said):
    root = parsed(name, inputs)
    wanted = {value[5:-1] for each in root.iter() for value in each.attrib.values() if value.startswith("url(#")}
    assert wanted <= {each.get("id") for each in root.iter()}
    classes = {look for each in root.iter() for look in (each.get("class") or "").split()}
    assert [look for look in sorted(classes) if not re.search(r"\." + look + r"\b(?!-)", CSS)] == []


@EACH
def test_nothing_is_drawn_outside_the_frame(name, inputs, said):
    root = parsed(name, inputs)
    height = float(root.get("viewBox").split()[3])
    for each in root.iter():
        if each.tag in (SVG + "text", SVG + "circle", SVG + "rect") and not (each.get("class") or "").startswith("fig-person"):
            x = float(each.get("x") or each.get("cx") or 0)
            y = float(each.get("y") or each.get("cy") or 0)
            assert -0.5 <= x <= 360.5 and -0.5 <= y <= height + 0.5, ElementTree.tostring(each)
        if each.tag == SVG + "text":
            assert letters_end(each, x)[0] >= -2 and letters_end(each, x)[1] <= 366, each.text


def letters_end(element, x):
    """Rough left and right end of a line of text, six units a letter."""
    wide = 5.6 * len(element.text)
    anchor = element.get("text-anchor", "start")
    left = x - {"start": 0, "middle": wide / 2, "end": wide}[anchor]
    return left, left + wide


def test_letters_are_large_enough_on_a_phone():
    sizes = [float(size) for size in re.findall(r"font-size: ([\d.]+)px", CSS)]
    assert sizes and min(sizes) * 320 / svg.FRAME_WIDTH >= 11  # 360 px less the page's margins


def test_the_style_sheet_names_each_variable_for_light_and_dark():
    light, dark = [set(re.findall(r"(--fig-[a-z-]+):", block)) for block in CSS.split('[data-md-color-scheme="slate"]')[:2]]
    assert light == dark and set(re.findall(r"var\((--fig-[a-z-]+)", CSS)) == light


SIZES = [(6, 7), (18.4, 23), (24, 30), (25, 12), (10, 60)]


@pytest.mark.parametrize("annulus, balloon", SIZES, ids=of("balloon_on_annulus", SIZES))
def test_balloon_and_annulus_are_drawn_to_scale(annulus, balloon):
    root = parsed("balloon_on_annulus", {"annulus_mm": annulus, "balloon_mm": balloon, **FRAME})
    ring, = by_class(root, "circle", "fig-annulus")
    edge, = by_class(root, "circle", "fig-balloon-edge")
    assert float(edge.get("r")) / float(ring.get("r")) == pytest.approx(balloon / annulus, rel=2e-3)
    assert float(ring.get("r")) * 2 / float(root.get("data-units-per-mm")) == pytest.approx(annulus, rel=2e-3)


def path_length(data):
    """Length of a path made of M, L, A (circular) and Z, from its coordinates alone."""
    total, here = 0.0, None
    for kind, body in re.findall(r"([MLAZ])([^MLAZ]*)", data):
        numbers = [float(number) for number in re.findall(r"-?[\d.]+", body)]
        there = tuple(numbers[-2:])
        if kind == "L":
            total += math.dist(here, there)
        if kind == "A":
            turn = 2 * math.asin(min(1.0, math.dist(here, there) / 2 / numbers[0]))
            total += numbers[0] * (2 * math.pi - turn if numbers[3] else turn)
        here = there or here
    return total


PAIRS = [(10, 10), (12, 15), (18, 20), (23, 15), (12, 18), (20, 20), (25, 8), (40, 2)]


@pytest.mark.parametrize("a, b", PAIRS, ids=of("two_balloons_belt", PAIRS))
def test_the_belt_is_as_long_as_computed(a, b):
    root = parsed("two_balloons_belt", {"annulus_mm": 20, "balloon_a_mm": a, "balloon_b_mm": b, **FRAME})
    belt, = by_class(root, "path", "fig-belt")
    drawn = path_length(belt.get("d")) / float(root.get("data-units-per-mm"))
    assert drawn == pytest.approx(belts.two_balloon_belt_mm(balloon_a_mm=a, balloon_b_mm=b), rel=5e-3)
    one, = by_class(root, "circle", "fig-balloon")
    other, = by_class(root, "circle", "fig-balloon-b")
    apart = float(other.get("cx")) - float(one.get("cx"))
    assert apart == pytest.approx(float(one.get("r")) + float(other.get("r")), abs=0.02)


def icons(root, name):
    """How many persons of one look are drawn: area of the filled stretch over that of a person."""
    look = [each for each in root.iter(SVG + "path") if each.get("fill") == f"url(#one-{name})"]
    tile = [each for each in root.iter(SVG + "pattern") if each.get("id") == f"one-{name}"][0]
    area = 0.0
    for each in look:
        for box in each.get("d").split("M")[1:]:
            corners = walked("M" + box)
            area += (max(x for x, _ in corners) - min(x for x, _ in corners)) * (max(y for _, y in corners) - min(y for _, y in corners))
    return area / float(tile.get("width")) ** 2


def walked(data):
    """The places that a path of M, l, c and Z comes to, read as the SVG standard says: small letters count from where one is."""
    places = []
    for kind, body in re.findall(r"([MlcZ])([^MlcZ]*)", data):
        numbers = [float(number) for number in re.findall(r"-?[\d.]+", body)]
        step = 6 if kind == "c" else 2
        for place in range(0, len(numbers), step):
            x, y = numbers[place:place + step][-2:]
            places.append((x, y) if kind == "M" else (places[-1][0] + x, places[-1][1] + y))
    return places


@pytest.mark.parametrize("stroke", [svg.joined, svg.smooth])
def test_steps_lead_to_every_point_without_adding_up_errors(stroke):
    points = [(180 + 100 * math.sin(turn / 7), 200 + turn / 3) for turn in range(300)]
    ends = walked(stroke(points))
    assert len(ends) == len(points)
    assert max(math.dist(end, point) for end, point in zip(ends, points)) <= 0.0071  # half a hundredth either way, across the corner


# Published intervals: 81/263 gives 25.27 to 36.76 %, 0/20 gives 0 to 16.84 %.
COUNTED = [(81, 263, 100, (25, 6, 6, 63)), (0, 20, 100, (0, 0, 17, 83)), (2, 822, 1000, (0, 2, 7, 991)), (20, 20, 100, (83, 17, 0, 0))]


@pytest.mark.parametrize("events, cases, out_of, counts", COUNTED, ids=of("icon_array", COUNTED))
def test_as_many_persons_are_drawn_as_the_interval_says(events, cases, out_of, counts):
    root = parsed("icon_array", {"events": events, "cases": cases, "out_of": out_of, "confidence": 0.95, "event_words": "event",
                                 "population_words": "all"})
    drawn = [icons(root, look) for look in ("sure", "event", "may", "free")]
    assert drawn == pytest.approx(counts, abs=0.05)


@pytest.mark.parametrize("name", ["pressure_traces"])
def test_the_words_that_it_is_a_model_lie_inside_the_plot(name):
    root = parsed(name, changed(name))
    words = [each for each in root.iter(SVG + "text") if each.text == "A model, not your patient"]
    assert len(words) == 1 and 60 < float(words[0].get("x")) < 330 and 34 < float(words[0].get("y")) < 254


@pytest.mark.parametrize("name", ["icon_array"])
def test_markup_in_words_stays_words(name):
    root = parsed(name, {"events": 1, "cases": 10, "out_of": 100, "confidence": 0.95, "event_words": '<b onload="x">&',
                         "population_words": "</svg><script>"})
    assert not list(root.iter("script")) and not list(root.iter(SVG + "script"))
    assert any('<b onload="x">&' in (each.text or "") for each in root.iter(SVG + "text"))


def changed(name, **new):
    inputs = dict([(each, inputs) for each, inputs, _ in EXAMPLES if each == name][0][1])
    inputs.update(new)
    return inputs


@pytest.mark.parametrize("name, new, kind, field, words", [
    ("balloon_on_annulus", {"balloon_mm": 0.9}, OutOfRange, "balloon_mm", "typed in cm"),
    ("balloon_on_annulus", {"balloon_mm": None}, MissingInput, "balloon_mm", "is missing"),
    ("balloon_on_annulus", {"frame": "systole"}, NotUnderstood, "frame", "must be chosen"),
    ("balloon_on_annulus", {"zones": [{"target_low_ratio": 1}]}, NotUnderstood, "zones", "is missing"),
    ("balloon_on_annulus", {"colour": "red"}, NotUnderstood, "colour", "not an input"),
    ("balloon_on_annulus", {"annulus_mm": math.nan}, NotUnderstood, "annulus_mm", "finite number"),
    ("pressure_traces", {"pa_mmhg": [1.0] * 9}, Refusal, "pa_mmhg", "same number of samples"),
    ("pressure_traces", {"rv_mmhg": [1.0] * 9}, Refusal, "pa_mmhg", "same number of samples"),
    ("hinge_points", {"diastole_wider_percent": -0.5}, OutOfRange, "diastole_wider_percent", "outside"),
    ("hinge_points", {"lowest_percent": -0.5}, OutOfRange, "lowest_percent", "outside"),
    ("hinge_points", {"highest_percent": -0.5}, OutOfRange, "highest_percent", "outside"),
    ("hinge_points", {"diastole_wider_percent": 100.5}, OutOfRange, "diastole_wider_percent", "outside"),
    ("hinge_points", {"lowest_percent": 100.5}, OutOfRange, "lowest_percent", "outside"),
    ("hinge_points", {"highest_percent": 100.5}, OutOfRange, "highest_percent", "outside"),
    ("damping", {"good_damping_ratio": 0.85, "over_damping_ratio": 0.85}, Refusal, "", "must rise"),
    ("damping", {"good_damping_ratio": 0.9, "over_damping_ratio": 0.8}, Refusal, "", "must rise"),
    ("damping", {"good_damping_ratio": 0.45, "under_damping_ratio": 0.45}, Refusal, "", "must rise"),
    ("damping", {"good_damping_ratio": 0.4, "under_damping_ratio": 0.45}, Refusal, "", "must rise"),
    ("two_level_pullback", {"rv_systolic_mmhg": 30}, Refusal, "", "must rise"),
    ("two_level_pullback", {"rv_diastolic_mmhg": 40}, Refusal, "rv_diastolic_mmhg", "must lie below"),
    ("inflation_time_line", {"deflate_s": 4}, Refusal, "", "follow each other"),
    ("inflation_time_line", {"pacing_s": [3, 9.5]}, Refusal, "pacing_s", "before filling"),
    ("inflation_time_line", {"inflate_s": 4.5}, Refusal, "", "follow each other"),
    ("inflation_time_line", {"inflate_s": 5}, Refusal, "", "follow each other"),
    ("inflation_time_line", {"deflate_s": 9}, Refusal, "", "follow each other"),
    ("inflation_time_line", {"deflate_s": 9.2}, Refusal, "", "follow each other"),
    ("inflation_time_line", {"pacing_s": [2, 9.5]}, Refusal, "pacing_s", "before filling"),
    ("inflation_time_line", {"pacing_s": [0.5, 8.5]}, Refusal, "pacing_s", "before filling"),
    ("inflation_time_line", {"pacing_s": [0.5]}, Refusal, "pacing_s", "before filling"),
    ("two_level_pullback", {"pa_diastolic_mmhg": 22}, Refusal, "", "must rise"),
    ("two_level_pullback", {"pa_diastolic_mmhg": 30}, Refusal, "", "must rise"),
    ("two_level_pullback", {"rv_diastolic_mmhg": 38}, Refusal, "rv_diastolic_mmhg", "must lie below"),
    ("icon_array", {"events": 900}, Refusal, "events", "more than cases"),
    ("icon_array", {"out_of": 500}, Refusal, "out_of", "100 or in 1000"),
    ("icon_array", {"event_words": "one\ntwo"}, NotUnderstood, "event_words", "line break"),
    ("icon_array", {"event_words": "w" * 61}, NotUnderstood, "event_words", "1 to 60 letters"),
    ("band_bar", {"quantity": "contrast"}, Refusal, "quantity", "unit suffix"),
    ("band_bar", {"bands": [{"low": 0, "words": "a"}, {"low": 0, "words": "b"}]}, Refusal, "bands", "ever higher"),
    ("band_bar", {"bands": [{"low": 0, "words": "a"}, {"low": "1", "words": "b"}]}, Refusal, "bands", "a number"),
    ("band_bar", {"bands": [{"low": 0, "words": "a"}, {"low": 1, "words": 7}]}, Refusal, "bands", "a number"),
    ("band_bar", {"bands": [{"low": -1, "words": "a"}, {"low": 1, "words": "b"}]}, Refusal, "bands", "begin at 0"),
    ("band_bar", {"bands": BANDS[1:]}, Refusal, "bands", "begin at 0"),
    ("band_bar", {"value": -0.01}, OutOfRange, "value", "outside"),
    ("band_bar", {"highest": 0}, OutOfRange, "highest", "outside"),
    ("band_bar", {"bands": BANDS[:1]}, Refusal, "bands", ""),
    ("band_bar", {"bands": BANDS + [{"low": 9, "words": "a fifth has no look"}]}, Refusal, "bands", ""),
    ("step_hazard", {"years": [1], "event_free_fractions": [0.9]}, Refusal, "years", ""),
    ("step_hazard", {"years": [1], "event_free_fractions": [0.9]}, Refusal, "event_free_fractions", ""),
    ("band_bar", {"highest": 7}, Refusal, "bands", "ever higher"),
    ("event_free_chart", {"times_years": [0] * 6}, Refusal, "times_years", "no curve to draw"),
    ("event_free_chart", {"times_years": [], "events": []}, Refusal, "times_years", ""),
    ("event_free_chart", {"times_years": [], "events": []}, Refusal, "events", ""),
    ("event_free_chart", {"times_years": [-0.1] * 6}, OutOfRange, "times_years", "outside"),
    ("funnel_chart", {"unit_cases": [50, 50, 50]}, Refusal, "unit_cases", "number of cases"),
    ("funnel_chart", {"unit_events": [4, 51]}, Refusal, "unit_events", "more than cases"),
    ("funnel_chart", {"unit_events": [4, -1]}, OutOfRange, "unit_events", "outside"),
    ("funnel_chart", {"unit_cases": [50, 0]}, OutOfRange, "unit_cases", "outside"),
    ("funnel_chart", {"unit_events": [], "unit_cases": []}, Refusal, "unit_events", ""),
    ("funnel_chart", {"unit_events": [], "unit_cases": []}, Refusal, "unit_cases", ""),
    ("funnel_chart", {"inner_confidence": 0.95, "outer_confidence": 0.95}, Refusal, "outer_confidence", "higher confidence"),
    ("funnel_chart", {"inner_confidence": 0.4}, OutOfRange, "inner_confidence", "outside"),
    ("funnel_chart", {"inner_confidence": 1}, OutOfRange, "inner_confidence", "outside"),
    ("funnel_chart", {"inner_confidence": 0.6, "outer_confidence": 0.8}, OutOfRange, "outer_confidence", "outside"),
    ("funnel_chart", {"outer_confidence": 1}, OutOfRange, "outer_confidence", "outside"),
    ("cusum_chart", {"outcomes": []}, Refusal, "outcomes", ""),
    ("funnel_chart", {"unit_cases": [50]}, Refusal, "unit_cases", "number of cases"),
    ("funnel_chart", {"inner_confidence": 0.99, "outer_confidence": 0.95}, Refusal, "outer_confidence", "higher confidence"),
])
def test_bad_input_is_refused_in_a_sentence_tied_to_its_field(name, new, kind, field, words):
    with pytest.raises(kind) as refused:
        svg.picture(name, changed(name, **new), "one")
    assert [sentence for where, sentence in refused.value.faults if where == field and words in sentence]


@pytest.mark.parametrize("name", ["balloon_on_annulus"])
def test_all_faults_are_told_at_once_and_typed_numbers_are_read(name):
    with pytest.raises(Refusal) as refused:
        svg.picture("balloon_on_annulus", changed("balloon_on_annulus", annulus_mm="18,4,1", balloon_mm="900"), "one")
    assert [field for field, _ in refused.value.faults] == ["annulus_mm", "balloon_mm"]
    typed = changed("balloon_on_annulus", annulus_mm="18,4", balloon_mm=" 22.5 ")
    assert svg.picture("balloon_on_annulus", typed, "one") == svg.picture("balloon_on_annulus", changed("balloon_on_annulus"), "one")


IDENTIFIERS = ["", "1a", 'a"b', "a b", "é", None, "x" * 81]


@pytest.mark.parametrize("bad", IDENTIFIERS, ids=of("waist", IDENTIFIERS))
def test_an_identifier_that_could_break_the_page_is_refused(bad):
    with pytest.raises(NotUnderstood, match="identifier"):
        svg.picture("waist", {}, bad)


@pytest.mark.parametrize("name", ["waist"])
def test_an_unknown_picture_is_answered_with_the_nearest_name(name):
    with pytest.raises(UnknownName, match="nearest name: waist"):
        svg.picture("waste", {}, "one")


@pytest.mark.parametrize("name", ["balloon_on_annulus"])
def test_without_a_frame_there_is_no_verdict_and_no_zone(name):
    text = svg.picture("balloon_on_annulus", changed("balloon_on_annulus", frame="not_stated"), "one")
    assert "cannot be judged" in text and "target" not in text and "fig-zone" not in text


VERDICTS = [
    (11.494, "Below the accepted zone. Zones"), (11.496, "Below the accepted zone. At the cut-off of 1.15 (1.150)."),
    (12.504, "At the cut-off of 1.25 (1.250)."), (12.506, "In the accepted zone. Zones"), (15.004, "FORBIDDEN: too large. At the cut-off of 1.50"),
    (15.006, "FORBIDDEN: too large. Zones"),
    (11.4, "Below the accepted"), (11.5, "In the accepted"), (12.0, "In the target"), (12.5, "At the cut-off of 1.25"), (12.6, "In the accepted"),
    (13.0, "At the cut-off of 1.30"), (13.1, "written reason only"), (15.0, "written reason only. At the cut-off of 1.50"), (15.1, "FORBIDDEN")]


@pytest.mark.parametrize("balloon, words", VERDICTS, ids=of("balloon_on_annulus", [balloon for balloon, _ in VERDICTS]))
def test_the_verdict_follows_the_zones_edges_included(balloon, words):
    text = parsed("balloon_on_annulus", {"annulus_mm": 10, "balloon_mm": balloon, **FRAME}).find(SVG + "desc").text
    assert words in text


@pytest.mark.parametrize("name", ["balloon_on_annulus"])
def test_zones_that_meet_or_lie_beyond_the_bar_are_left_out_and_one_cut_off_is_told_once(name):
    zones = [{"accepted_low_ratio": 1.2, "target_low_ratio": 1.2, "target_high_ratio": 1.3, "accepted_high_ratio": 1.3, "forbidden_above_ratio": 1.8}]
    root = parsed(name, {"annulus_mm": 10, "balloon_mm": 12, "frame": "end_systole", "zones": zones})
    on_bar = [each for each in root.iter(SVG + "rect") if each.get("height") == "26"]
    assert [each.get("class") for each in on_bar] == ["fig-zone-plain", "fig-zone-target", "fig-zone-reason"]
    assert all(float(each.get("width")) > 0 for each in root.iter(SVG + "rect"))
    assert root.find(SVG + "desc").text.count("At the cut-off of 1.20") == 1


@pytest.mark.parametrize("name", ["inflation_time_line"])
def test_a_late_deflation_is_called_too_long(name):
    assert "TOO LONG" in svg.picture("inflation_time_line", changed("inflation_time_line", limit_s=6.9), "one")
    assert "TOO LONG" not in svg.picture("inflation_time_line", changed("inflation_time_line", limit_s=7), "one")
    assert "without pacing" in svg.picture("inflation_time_line", changed("inflation_time_line", pacing_s=[]), "one")


@pytest.mark.parametrize("value, text", [(0, "0"), (-0.001, "0"), (1.005, "1.01"), (12.3, "12.3"), (-7.25, "-7.25"), (100, "100"), (0.05, "0.05")])
def test_coordinates_are_short_and_never_minus_zero(value, text):
    assert svg.at(value) == text


def requests():
    asked = [{"op": "picture", "name": name, "given": inputs, "place": "one"} for name, inputs, _ in EXAMPLES]
    for step in range(0, 40, 2):
        annulus = 3 + step * 1.037
        asked.append({"op": "picture", "name": "balloon_on_annulus", "place": "one", "given": {"annulus_mm": annulus, "balloon_mm": annulus * 1.01 + step / 70, **FRAME}})
        asked.append({"op": "picture", "name": "two_balloons_belt", "place": "one",
                      "given": {"annulus_mm": annulus, "balloon_a_mm": 2 + step * 0.93, "balloon_b_mm": 40 - step * 0.9, **FRAME}})
        asked.append({"op": "picture", "name": "damping", "place": "one", "given": {
            "natural_frequency_hz": 1 + step, "over_damping_ratio": 0.91 + step / 50, "good_damping_ratio": 0.65, "under_damping_ratio": 0.02 + step / 90}})
    return asked


def test_both_interpreters_draw_the_same_text(engine):
    asked = json.dumps(requests())
    here, there = json.loads(bridge.reply(asked)), json.loads(engine.reply(asked))
    assert len(here) == len(there) >= 80 and all(answer["ok"] for answer in here)
    for request, one, other in zip(json.loads(asked), here, there):
        assert one == other, request["name"]


@pytest.mark.parametrize("name", ["band_bar"])
def test_a_bar_may_be_shorter_than_one_of_its_unit(name):
    root = parsed(name, {"quantity": "dose_mg", "value": 0.2, "highest": 0.5, "bands": [{"low": 0, "words": "a"}, {"low": 0.25, "words": "b"}]})
    assert "lies in band 1" in root.find(SVG + "desc").text


@pytest.mark.parametrize("name", ["step_hazard"])
def test_a_cohort_without_any_event_has_bars_of_no_height(name):
    root = parsed(name, {"years": [1, 2], "event_free_fractions": [1, 1], "event_words": "death"})
    bars = by_class(root, "rect", "fig-bar")
    assert [each.get("height") for each in bars] == ["0", "0"] and "0.00 per 100" in root.find(SVG + "desc").text
    level = float(bars[0].get("y"))
    assert [each.text for each in root.iter(SVG + "text") if each.get("text-anchor") == "end" and abs(float(each.get("y")) - 4.5 - level) < 0.1] == ["0"]


@pytest.mark.parametrize("name", ["event_free_chart"])
def test_a_single_case_is_a_curve_of_one_step(name):
    root = parsed(name, {"times_years": [2], "events": [1], "confidence": 0.95, "event_words": "death"})
    assert "at 2 years 0.0\u00a0%" in root.find(SVG + "desc").text

"""What stops the plan from proposing a balloon, on invented patients: each stop and its neighbour that goes on."""

import json

import pytest

from pvcalc.handbook.engine import needs
from pvcalc.plan import case, words
from tests.conftest import ROOT


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


RING = {"mm": 16.3, "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}
ECHO = {"mm": 15.8, "modality": "echo", "view": "long_axis", "frame": "open_valve_systole"}
CHILD = {"age_years": 8, "height_cm": 127, "weight_kg": 25.5, "valve": "domed", "rv_function": "normal", "doppler_peak_mmhg": 70, "annulus": [RING, ECHO]}
MUSCLE = {"rv_systolic_mmhg": 90, "rvot_systolic_mmhg": 49, "pa_systolic_mmhg": 20}


HEADINGS = [({"treated_before": "yes", "pulmonary_regurgitation": "severe"}, "follow-up", "Ten years later the valve leaks: which thresholds apply?"),
            ({"earlier_treatment": "tetralogy_repair"}, "follow-up", "Ten years later the valve leaks: which thresholds apply?"),
            ({"earlier_treatment": "outflow_stent"}, "special", "What is this handbook not for?")]


@pytest.mark.parametrize("against, stem, heading", HEADINGS, ids=[stem + "-" + list(given.values())[0] for given, stem, _ in HEADINGS])
def test_who_is_not_for_the_plan_is_led_to_the_heading_that_exists(data, against, stem, heading):
    made = case.plan(data, {**CHILD, **against})
    [part] = [part for part in words.sections(data, made) if part["id"] == "elsewhere"]
    chapter, _, anchor = part["chapter"].partition("#")
    headings = [line[3:].strip() for line in (ROOT / "kb" / f"{chapter}.md").read_text(encoding="utf-8").splitlines() if line.startswith("## ")]
    assert chapter == stem and heading in headings and anchor == "-".join("".join(mark for mark in heading.lower() if mark.isalnum() or mark == " ").split())
    assert [one["kind"] for one in part["lines"]] == ["stop"] and "This is not a case for the plan" in part["lines"][0]["text"]
    text = words.plain_text(words.sections(data, made))
    assert f"The chapter for this case: {stem}.html#{anchor}" in text and "They mean a native valve, which this is not." in text
    neighbour = words.sections(data, case.plan(data, CHILD))
    assert [part["lines"] for part in neighbour if part["id"] == "elsewhere"] == [[]] and "native valve, which this is not" not in words.plain_text(neighbour)


@pytest.mark.parametrize("code, against, beside", [
    ("weight_question", {"weight_kg": 56}, {"weight_kg": 26}), ("pregnancy_ask", {"age_years": 16, "height_cm": 165, "weight_kg": 60, "pregnant": "yes"}, {"pregnant": "no"}),
    ("severe_regurgitation", {"pulmonary_regurgitation": "severe"}, {"pulmonary_regurgitation": "moderate"}),
    # valve 29 and muscle 41; at 30 the valve is one to open
    ("muscle_only", MUSCLE, {**MUSCLE, "rvot_systolic_mmhg": 50}),
    # valve 20; muscle 19 is small
    ("muscle_only", {"rv_systolic_mmhg": 60, "rvot_systolic_mmhg": 40, "pa_systolic_mmhg": 20}, {"rv_systolic_mmhg": 60, "rvot_systolic_mmhg": 41, "pa_systolic_mmhg": 20}),
    # a step taken from the body of the ventricle and typed as the valve's: 90 - 70 = 20 in the artery, 45 below the valve
    ("muscle_only", {"rv_systolic_mmhg": 90, "rvot_systolic_mmhg": 45, "catheter_peak_to_peak_mmhg": 70}, {"rv_systolic_mmhg": 90, "rvot_systolic_mmhg": 75, "catheter_peak_to_peak_mmhg": 70}),
    ("not_for_plan", {"earlier_treatment": "tetralogy_repair"}, {"earlier_treatment": "none"}), ("not_for_plan", {"earlier_treatment": "outflow_stent"}, {"earlier_treatment": "balloon"}),
    ("not_for_plan", {"treated_before": "yes", "pulmonary_regurgitation": "moderate"}, {"treated_before": "yes", "pulmonary_regurgitation": "mild"}),
    ("not_for_plan", {"earlier_treatment": "surgical_valvotomy", "pulmonary_regurgitation": "severe"}, {"earlier_treatment": "surgical_valvotomy", "pulmonary_regurgitation": "none"}),
    ("no_frame", {"annulus": [{**RING, "frame": "not_stated"}]}, {"annulus": [RING]}), ("no_frame", {"annulus": [{**RING, "frame": "end_diastole"}]}, {"annulus": [RING]}),
    ("no_balloon_on_shelf", {"shelf_mm": [18]}, {"shelf_mm": [19]}), ("annuli_differ", {"annulus": [RING, {**ECHO, "mm": 18.1}]}, {"annulus": [RING, {**ECHO, "mm": 17.9}]})])
def test_a_stop_leaves_no_balloon_and_its_neighbour_has_one(data, code, against, beside):
    held, free = case.plan(data, {**CHILD, **against}), case.plan(data, {**CHILD, **beside})
    assert code in held["verdict"]["stop"] and held["verdict"]["balloon_mm"] == [] and held["sizing"]["proposal"] is None
    assert code not in free["verdict"]["stop"] and free["verdict"]["balloon_mm"] != []
    part = words.size_section(held)
    told = json.dumps(part, ensure_ascii=False)
    assert "target" not in told.lower(), "after a stop nothing says target"
    assert [one["text"] for one in part["lines"] if one["kind"] == "stop"]


def test_muscle_is_told_in_its_words(data):
    held = case.plan(data, {**CHILD, **MUSCLE})
    assert any("The step is below the valve: no balloon for it. Valve 29 mmHg, muscle 41 mmHg" in text for _, text in held["stops"])
    assert "step_below_valve" in held["verdict"]["fit"]


def test_who_is_not_for_the_plan_is_led_on(data):
    where = {earlier: case.plan(data, {**CHILD, "earlier_treatment": earlier})["verdict"]["redirect"] for earlier in ("none", "balloon", "tetralogy_repair", "outflow_stent")}
    assert where == {"none": "none", "balloon": "none", "tetralogy_repair": "follow_up", "outflow_stent": "surgery_team"}
    leak = case.plan(data, {**CHILD, "treated_before": "yes", "pulmonary_regurgitation": "severe"})
    assert leak["verdict"]["redirect"] == "follow_up" and leak["verdict"]["stop"] == ["not_for_plan"], "a treated valve that leaks is followed, not asked about"
    assert all(text.startswith("This is not a case for the plan") for code, text in leak["stops"] if code == "not_for_plan")


def test_a_dysplastic_valve_is_advice_and_stops_nothing(data):
    found = case.plan(data, {**CHILD, "valve": "dysplastic"})
    assert "dysplastic_team" in found["verdict"]["stop"] and found["verdict"]["balloon_mm"] == [20]


def test_a_shaft_as_the_ruler_is_calibrated_again(data):
    for ruler in ("clear_catheter_shaft", "contrast_filled_shaft", "none"):
        found = case.plan(data, {**CHILD, "annulus": [{**RING, "calibration": ruler}]})
        assert found["verdict"]["balloon_mm"] == [] and "marker catheter" in found["sizing"]["why"], ruler


@pytest.mark.parametrize("annulus, shelf, proposed, pairs", [
    # 22 over 19 is 1.158, accepted; 14 + 14 by the belt 22.9 = 1.206, listed and not proposed
    (19, [22, 14, 14], [22], True), (19, [23, 14, 14], [23], False), (19, [14, 14], [14, 14], True), (17.9, [14, 14], [], False),
    # from 25 mm two in the target come before one that is only accepted
    (25, [29, 19, 18], [19, 18], True)])
def test_pairs_are_listed_where_one_is_merely_accepted_and_proposed_only_where_none_is(data, annulus, shelf, proposed, pairs):
    found = case.plan(data, {**CHILD, "age_years": 30, "height_cm": 170, "weight_kg": 70, "annulus": [{**RING, "mm": annulus}], "shelf_mm": shelf})
    assert found["verdict"]["balloon_mm"] == proposed
    assert any(len(one["balloons_mm"]) == 2 for one in found["sizing"]["choices"]) is pairs

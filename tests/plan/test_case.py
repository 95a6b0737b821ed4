"""The plan as a whole: what is warned of before any number, the pictures it draws, and how a page asks for it."""

import json
import re
from types import SimpleNamespace

import pytest

from pvcalc.draw import belt, counts, sizing  # noqa: F401  the pictures of a plan are declared there
from pvcalc.handbook.engine import needs
from pvcalc.plan import case  # noqa: F401  the pictures of a plan are declared there

ZONES = {"target_low_ratio": 1.2, "target_high_ratio": 1.25, "accepted_low_ratio": 1.1, "accepted_high_ratio": 1.3, "forbidden_above_ratio": 1.5, "accepted_low_newborn_ratio": 1.0}
DATA = {"settings": ZONES, "notes": {}}
CHILD = {"age_years": 5, "height_cm": 110, "weight_kg": 18, "duct": "closed", "valve": "domed", "symptoms": "no"}
OPEN = {"mm": 16.3, "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


def warned(patient=None, ratio=None, systemic="ordinary", conflict=False, supra=1.0):
    data = {"settings": {"suprasystemic_ratio": supra}, "notes": {}}
    return case.case_warnings(data, patient or {}, SimpleNamespace(values={"rv_systemic_ratio": ratio}), {"systemic_pressure": systemic}, conflict)


@pytest.mark.parametrize("given, said", [
    ({}, None), ({"ratio": 1.1, "systemic": "low"}, None), ({"conflict": True}, "Documents disagree on treatment"),
    ({"ratio": 0.999}, None), ({"ratio": 1}, "The right ventricle is at or above systemic pressure (1.00): surgeon and ECMO know before the case."),
    ({"ratio": 0.95, "supra": 0.9}, "The right ventricle is at or above systemic pressure (0.95)"), ({"ratio": 1, "supra": 1.1}, None),
    ({"ratio": 1.256}, "The right ventricle is at or above systemic pressure (1.26)"),
    ({"patient": {"valve": "dysplastic"}}, "A dysplastic valve: a larger ratio does not rescue it."), ({"patient": {"valve": "domed"}}, None),
    ({"patient": {"rv_function": "reduced"}}, "The right ventricle is not normal"), ({"patient": {"rv_function": "falling"}}, "The right ventricle is not normal"),
    ({"patient": {"rv_function": "normal"}}, None), ({"patient": {"treated_before": "yes"}}, "Treated before: zones and limits here are for a native isolated stenosis."),
    ({"patient": {"treated_before": "no"}}, None), ({"patient": {"atrial_gap": "right_to_left"}}, "Atrial flow right to left: no air, no clot"),
    ({"patient": {"atrial_gap": "left_to_right"}}, None), ({"patient": {"atrial_gap": "none"}}, None)])
def test_a_warning_stands_where_it_must_and_nowhere_else(given, said):
    found = warned(**given)
    assert len(found) == (said is not None) and all(text.startswith(said) for text in found)


def test_the_missing_duct_is_told_in_words_and_another_input_by_its_name():
    assert case.grade_missing([{"missing": ["duct", "x"]}, {"missing": ["y"]}]) == ["the duct, open or closed, before any grade", "x"]


def test_each_sentence_stands_once_in_its_order():
    assert case.distinct(["b", "a", "", "b", "c", "a"]) == ["b", "a", "c"]


def sized(*widths, newborn="no"):
    return {"inputs": {"newborn": newborn}, "sizing": {"proposed": None, "choices": [{"balloons_mm": list(widths)}, {"balloons_mm": [12]}], "annulus": {"mm": 20, "frame": "end_systole"}}}


def test_the_first_choice_is_drawn_on_the_annulus():
    one = case.picture(DATA, sized(25), "here")
    # 25 over 20 is 1.25
    assert 'id="here-picture' in one and "25.0\u00a0mm" in one and "20.0\u00a0mm" in one and "1.25" in one
    pair = case.picture(DATA, sized(15, 14), "here")
    told = re.sub(r"<[^>]+>", " ", pair)
    assert 'id="here-picture' in pair and "15" in told and "14" in told and pair != case.picture(DATA, sized(15, 13), "here")
    assert case.picture(DATA, {"sizing": {"choices": []}}, "here") == ""


def test_each_count_of_the_family_is_drawn_with_one_denominator():
    count = {"events": 2, "cases": 100, "confidence": 0.95, "words": "died", "population": "children", "era": "1990s"}
    first, second = case.icon_arrays({"family": {"counts": [count, {**count, "events": 9}], "out_of": 100}}, "here")
    assert 'id="here-icons-1' in first and 'id="here-icons-2' in second and "children, 1990s" in re.sub(r"<[^>]+>", " ", first).replace("\u00a0", " ")
    assert 'id="here-icons-7' in case.icon_arrays({"family": {"counts": [count] * 7, "out_of": 100}}, "here")[-1]
    assert case.icon_arrays({"family": {"counts": [], "out_of": 100}}, "here") == []


def test_a_page_gets_the_plan_with_pictures_where_it_asks(data):
    asked = {"given": {**CHILD, "annulus": [OPEN]}}
    bare = case.answer(data, asked)
    assert bare["ok"] is True and set(bare) == {"ok", "plan", "sections", "dose_head"} and bare["plan"] == case.plan(data, asked["given"])
    drawn = case.answer(data, {**asked, "pictures": True})
    assert 'id="plan-picture' in drawn["picture"] and len(drawn["icons"]) == len(bare["plan"]["family"]["counts"]) > 0 and 'id="plan-icons-1' in drawn["icons"][0]
    assert 'id="mine-picture' in case.answer(data, {**asked, "pictures": True, "place": "mine"})["picture"]
    for blank in ({}, {"given": None}):
        assert case.answer(data, blank)["ok"] is False and case.answer(data, blank)["faults"][0][0] == "age_years"


def test_a_conflict_stands_in_front_of_the_proposal_and_of_nothing_else(data):
    given = {**CHILD, "age_years": 16, "height_cm": 170, "weight_kg": 60, "doppler_peak_mmhg": 39, "catheter_peak_to_peak_mmhg": 42}
    with_size = case.plan(data, {**given, "annulus": [OPEN]})
    assert with_size["conflict"] and with_size["sizing"]["proposal"].startswith("only if the valve team decides for a balloon: ")
    assert case.plan(data, given)["conflict"] and case.plan(data, given)["sizing"]["proposal"] is None
    calm = case.plan(data, {**CHILD, "annulus": [OPEN]})
    assert not calm["conflict"] and calm["sizing"]["proposal"].endswith("valve open") and not calm["sizing"]["proposal"].startswith("only")


def test_questions_stand_first_among_the_warnings_and_are_no_input(data):
    made = case.plan(data, {**CHILD, "weight_kg": 39.7, "valve": "dysplastic"})
    assert "pounds" in made["warnings"][0] and any(text.startswith("A dysplastic valve") for text in made["warnings"][1:])
    assert "questions" not in made["inputs"] and made["inputs"]["newborn"] == "no" and made["inputs"]["weight_kg"] == 39.7


def test_what_is_missing_is_gathered_from_every_part_with_the_grade_first(data):
    missing = case.plan(data, {"age_years": 0.5})["missing"]
    assert missing[0] == "the duct, open or closed, before any grade" and len(missing) == len(set(missing))
    for start in ("right ventricular systolic pressure", "an echo annulus with its view", "the annulus with modality, view and frame", "weight, for every limit"):
        assert any(text.startswith(start) for text in missing), start

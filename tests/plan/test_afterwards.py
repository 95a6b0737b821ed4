"""After the balloon: what is said of each finding and each blank, who is watched longer, and whose visits come first."""

import json

import pytest

from pvcalc.handbook.engine import needs
from pvcalc.plan import case
from pvcalc.plan.words import sections

CHILD = {"age_years": 8, "height_cm": 127, "weight_kg": 25.5, "valve": "domed", "rv_systolic_mmhg": 80, "pulmonary_regurgitation": "none",
         "annulus": [{"mm": 16, "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}]}
QUIET = {"after_rv_systolic_mmhg": 36, "after_rvot_systolic_mmhg": 34, "after_pa_systolic_mmhg": 22, "after_systemic_systolic_mmhg": 96,
         "after_pulmonary_regurgitation": "mild", "after_balloon_mm": 20}


@pytest.fixture(scope="module")
def data(loaded):
    return json.loads(needs.data_text(loaded))


@pytest.fixture
def told(data):
    """Lines of the part for a child and what is given, and the whole plan."""
    def lines(**inputs):
        made = case.plan(data, {**CHILD, **inputs})
        return [one["text"] for part in sections(data, made) if part["id"] == "after" for one in part["lines"]], made
    return lines


def test_before_the_balloon_there_is_no_such_part(told):
    lines, made = told()
    assert lines == [] and made["after"] is None and made["afterwards"] is None


@pytest.mark.parametrize("given, code", [
    ({"after_beta_blocker": "yes"}, "beta_blocker"), ({"after_heart_block": "complete"}, "heart_block"), ({"after_tear": "yes"}, "tear"),
    ({"after_effusion": "yes"}, "effusion"), ({"after_pulmonary_regurgitation": "moderate"}, "leak"), ({"after_rv_systolic_mmhg": 96}, "suprasystemic"),
    ({"after_rv_systolic_mmhg": 80}, "muscle"), ({"age_years": "", "age_days": 9, "height_cm": 50, "weight_kg": 3.2}, "newborn"),
    ({"after_ra_pressure_mmhg": 19, "ra_pressure_mmhg": 6}, "failing")])
def test_each_reason_for_high_care_is_found_and_named(told, given, code):
    lines, made = told(**{**QUIET, **given})
    assert code in made["afterwards"]["high_care"]
    assert [line for line in lines if line.startswith("Monitor 24") and ", high care: " in line]


def test_a_quiet_result_is_watched_the_ordinary_time(told):
    lines, made = told(**QUIET, after_heart_block="passing", after_beta_blocker="no")
    assert made["afterwards"]["high_care"] == [] and [line for line in lines if line.startswith("Monitor 6") and "high care" not in line]


def test_the_ventricle_just_below_systemic_is_no_reason(told):
    _, made = told(**{**QUIET, "after_rv_systolic_mmhg": 95})
    assert "suprasystemic" not in made["afterwards"]["high_care"]


def test_every_blank_is_said_as_a_blank(told):
    lines, _ = told(after_effusion="no")
    whole = "\n".join(lines)
    for words in ("Regurgitation", "Balloon", "Waist", "Inflations", "State of the pressures", "tear", "heart block", "worst event", "Contrast"):
        assert words + " not entered" in whole, words
    assert "effusion no;" in whole and "effusion not entered" not in whole


def test_the_house_table_comes_first_and_waits_for_the_leak(told):
    _, made = told(**QUIET)
    assert made["follow_up"][0]["table"] == "visits_house" and made["follow_up"][0]["row"] == "house:visits_child"
    lines, made = told(**{**QUIET, "after_pulmonary_regurgitation": ""})
    assert made["follow_up"][0]["answer"] == "cannot_evaluate"
    assert "The interval after them needs: pulmonary regurgitation after the balloon." in lines


def test_documents_that_do_not_answer_stand_at_the_very_end(data):
    parts = sections(data, case.plan(data, {**CHILD, **QUIET}))
    assert parts[-1]["id"] == "others" and parts[-1]["tables"]
    apart = [row[1] for part in parts[:-1] for table in part["tables"] if table["heads"][0] == "Document" for row in table["rows"]]
    assert not [answer for answer in apart if answer.startswith(("not applicable", "cannot evaluate", "silent"))]


def test_in_block_no_beta_blocker_is_offered(told):
    lines, made = told(**{**QUIET, "after_rv_systolic_mmhg": 80, "after_heart_block": "complete"})
    assert made["after"]["word"] == "muscle_medicine"
    line = [line for line in lines if line.startswith("Drug or surgeon: ")][0]
    assert "no beta-blocker in block" in line and "by the sheet" not in line and "pacing" in line


def test_an_abandoned_attempt_is_never_called_done(told):
    lines, made = told(after_performed="no", after_abandoned_because="unstable", after_effusion="no")
    whole = "\n".join(lines)
    assert made["verdict"]["after"] == "unknown" and "No balloon was filled across the valve: reason unstable." in lines
    assert "was not opened" in whole and "The valve opens" not in whole

"""Tables that name settings: the values put in, what answers then, and the same in the reader's engine."""

import json

import pytest

from pvcalc.core.errors import UnknownName
from pvcalc.decision.binding import bound, bound_data, named, names_in, names_in_text
from pvcalc.decision.conditions import BadCondition, read_condition
from pvcalc.decision.evaluate import decide
from pvcalc.handbook.engine import needs
from pvcalc.page import bridge
from pvcalc.plan import case

TABLE = {
    "name": "steps", "title": "Left over, after [=wait_minutes]", "document": "House", "topic": "invented", "source": "practice",
    "seen": "practice", "population": "anybody", "policy": "only-one", "asks_for": ["left_mmhg"], "reads": ["low_mmhg", "high_mmhg", "wait_minutes"],
    "means": {"left_mmhg": "step [=low_mmhg] or not"}, "cautions": [{"when": {"left_mmhg": ">= =high_mmhg"}, "text": "From [=high_mmhg].", "source": "practice"}],
    "rows": [
        {"id": "a", "when": {"left_mmhg": "< =low_mmhg"}, "then": {"answer": "stop", "advice": "Below [=low_mmhg]."}, "source": "practice", "seen": "practice"},
        {"id": "b", "any": [{"left_mmhg": ">= =low_mmhg and < =high_mmhg"}], "then": {"answer": "think"}, "source": "practice", "seen": "practice"},
        {"id": "c", "at_least": {"count": 1, "of": [[{"left_mmhg": ">= =high_mmhg"}, {"left_mmhg": "> 700"}]]}, "then": {"answer": "up"},
         "source": "practice", "seen": "practice", "note": "[=high_mmhg] and more"}]}
VALUES = {"low_mmhg": 30, "high_mmhg": 50, "wait_minutes": 5}


def test_names_stand_in_conditions_and_sentences():
    assert names_in(">= =low_mmhg and < 50") == ["low_mmhg"] and names_in("> 60") == names_in(["a", "b"]) == []
    assert names_in_text("between [=low_mmhg] and [=high_mmhg]") == ["low_mmhg", "high_mmhg"] and names_in_text("none") == []
    assert named(TABLE) == ["high_mmhg", "low_mmhg", "wait_minutes"]


def test_every_name_gets_its_value_and_the_written_table_stays_as_it_was():
    before = json.dumps(TABLE, sort_keys=True)
    made = bound(TABLE, VALUES)
    assert json.dumps(TABLE, sort_keys=True) == before
    assert "=" not in "".join(json.dumps(row["when"]) for row in made["rows"] if "when" in row)
    assert read_condition(made["rows"][1]["any"][0]["left_mmhg"]) == ("number", [(">=", 30.0), ("<", 50.0)])
    assert read_condition(made["rows"][2]["at_least"]["of"][0][0]["left_mmhg"]) == ("number", [(">=", 50.0)])
    assert made["title"] == "Left over, after 5\u00a0min" and made["means"]["left_mmhg"] == "step 30\u00a0mmHg or not"
    assert made["cautions"][0]["text"] == "From 50\u00a0mmHg." and made["rows"][0]["then"]["advice"] == "Below 30\u00a0mmHg."
    assert made["rows"][2]["note"] == "50\u00a0mmHg and more"
    assert bound(made, VALUES)["rows"] == made["rows"]  # safe to ask twice


@pytest.mark.parametrize("value, answer", [(29.9, "stop"), (30, "think"), (49.9, "think"), (50, "up")])
def test_a_bound_table_answers_on_both_sides_of_each_value(value, answer):
    assert decide(bound(TABLE, VALUES), {"left_mmhg": value})["answer"] == answer
    assert decide(bound(TABLE, {**VALUES, "low_mmhg": 31, "high_mmhg": 51}), {"left_mmhg": value + 1})["answer"] == answer


def test_a_table_that_names_nothing_is_not_copied_and_an_unbound_one_does_not_answer():
    plain = {"rows": [], "asks_for": []}
    assert bound(plain, {}) is plain
    with pytest.raises(BadCondition, match="names the setting low_mmhg"):
        decide(TABLE, {"left_mmhg": 3})
    with pytest.raises(UnknownName, match="no setting is called `low_mmhg`"):
        bound(TABLE, {"high_mmhg": 50, "wait_minutes": 5})


def test_the_data_of_the_handbook_are_bound_whole():
    data = {"settings": VALUES, "tables": {"steps": TABLE}}
    assert bound_data(data)["tables"]["steps"]["rows"][0]["when"] == {"left_mmhg": {"compare": [("<", 30.0)]}}
    assert data["tables"]["steps"] is TABLE


def test_a_page_asks_with_the_settings_of_the_moment():
    for low, answer in ((30, "think"), (40, "stop")):
        bridge.start([], json.dumps({"settings": {**VALUES, "low_mmhg": low}, "tables": {"steps": TABLE}}))
        told = json.loads(bridge.reply(json.dumps({"op": "block", "tables": ["steps"], "given": {"left_mmhg": "35"}})))
        assert [row["answer"] for row in told["rows"]] == [answer]


# --- the house's rules follow the house's settings -------------------------------------------------------------------

@pytest.mark.parametrize("key, value, table, given, before, after", [
    ("residual_stop_below_mmhg", 25, "residual_action", {"newborn": "no", "tear": "no", "new_regurgitation": "none", "valve_gradient_mmhg": 27,
                                                           "step_below_valve": "no", "rv_systemic_ratio": 0.4, "waist": "gone",
                                                           "balloon_annulus_ratio": 1.22}, "stop", "stop_and_review"),
    ("contrast_child_stop_and_think_ml_kg", 3, "contrast_child", {"age_years": 5, "contrast_ml_per_kg": 4}, "label_reached", "think"),
    ("contrast_label_low_ml_kg", 3, "contrast_child", {"age_years": 5, "contrast_ml_per_kg": 3.5}, "within_labels", "label_reached"),
    ("contrast_ladder_from_years", 2, "contrast_child", {"age_years": 1.5, "contrast_ml_per_kg": 1}, "within_labels", "not_valid"),
    ("contrast_ladder_filtration_ml_min_173", 50, "contrast_child", {"age_years": 40, "contrast_ml_per_kg": 1, "egfr_ml_min_173": 55}, "not_valid", "within_labels"),
    ("accepted_low_ratio", 1.18, "ratio_zone", {"balloon_annulus_ratio": 1.16, "newborn": "no"}, "accepted", "below"),
    ("smaller_annulus_limit_ratio", 1.2, "balloon_over_smaller", {"balloon_smaller_annulus_ratio": 1.26}, "within_the_limit", "stop_and_measure_again"),
    ("newborn_grade_off_days", 60, "gradient_as_severity", {"age_days": 40, "duct": "closed"}, "usable", "lower_bound"),
    ("rv_systemic_severe_ratio", 0.75, "rv_pressure", {"systemic_pressure": "ordinary", "rv_systemic_ratio": 0.7}, "severe_pressure", "not_severe"),
    ("doubt_ra_from_mmhg", 12, "headline_doubt", {"rv_function": "normal", "ra_pressure_mmhg": 9}, "not_the_headline", "may_be_the_headline"),
    ("desaturated_below_percent", 95, "headline_doubt", {"rv_function": "normal", "atrial_gap": "right_to_left", "saturation_percent": 93},
     "may_be_the_headline", "not_the_headline"),
    ("unexplained_above_mmhg", 40, "headline_doubt", {"rv_function": "normal", "unexplained_mmhg": 35}, "not_the_headline", "may_be_the_headline"),
    ("high_flow_above_ratio", 2, "severe_doubt", {"qp_qs_ratio": 1.8}, "not_confirmed", "confirmed"),
    ("anaemia_below_percent", 25, "severe_doubt", {"haematocrit_percent": 28}, "not_confirmed", "confirmed"),
    ("annulus_disagreement_percent", 15, "annulus_measurement", {"modality_difference_percent": 12, "annulus_frame": "open_valve_systole",
                                                                  "annulus_view": "echo", "calibration": "none"}, "measure_again", "do_not_size_on_this_alone"),
    ("smallest_contrast_below_ml_min_173", 20, "kidney_band", {"egfr_ml_min_173": 25, "other_nephrotoxins": "no"}, "protect", "usual_care"),
    ("rv_systemic_done_below_ratio", 0.6, "infundibular_action", {"rv_systemic_ratio": 0.55, "pressure_stable": "yes"}, "treat_the_muscle", "watch"),
    ("suprasystemic_ratio", 0.9, "residual_newborn", {"newborn": "yes", "forward_flow": "yes", "rv_systemic_ratio": 0.95, "saturation_stable": "yes"},
     "stop", "not_yet")])
def test_moving_a_setting_moves_the_house_table_that_names_it(loaded, key, value, table, given, before, after):
    settings = {name: entry.value for name, entry in loaded.data.settings.items()}
    assert settings[key] != value
    assert decide(loaded.tables[table], given)["answer"] == before
    assert decide(bound(loaded.written[table], {**settings, key: value}), given)["answer"] == after


def test_the_plan_reads_the_settings_of_the_moment(loaded):
    data = needs.data_of(loaded)
    given = {"age_days": 40, "duct": "closed", "doppler_peak_mmhg": 70}
    assert case.plan(data, given)["grade"][0]["answer"] != "suppressed"
    data["settings"] = {**data["settings"], "newborn_grade_off_days": 60}
    assert case.plan(data, given)["grade"][0]["answer"] == "suppressed"

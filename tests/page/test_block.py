"""What one block of a page shows: settings put in, results as texts, pictures from what is known, numbers as they were read."""

from types import SimpleNamespace

import pytest

from pvcalc.core import settings
from pvcalc.core.errors import PvcalcError, UnknownName
from pvcalc.core.formula import find
from pvcalc.draw import damping, sizing as draw_sizing  # noqa: F401  they declare what is asked for here
from pvcalc.formulas import body_size, pressure_trace  # noqa: F401  they declare what is asked for here
from pvcalc.page import block
from pvcalc.sizing import ratio  # noqa: F401  they declare what is asked for here
from tests.decision.test_evaluate import TABLE

ZONES = {"target_low_ratio": 1.2, "target_high_ratio": 1.25, "accepted_high_ratio": 1.3, "forbidden_above_ratio": 1.5,
         "accepted_low_ratio": 1.1, "accepted_low_newborn_ratio": 1.0}
SETTINGS = {**ZONES, "cap_ml": 60}


def test_a_setting_is_found_by_its_key_or_composed_of_several():
    assert settings.setting_of(SETTINGS, "cap_ml") == 60
    child = {name: ZONES[name] for name in ZONES if name != "accepted_low_newborn_ratio"}
    assert settings.setting_of(SETTINGS, "sizing_zones") == [child]
    assert settings.setting_of(SETTINGS, "sizing_zones_newborn") == [{**child, "accepted_low_ratio": 1.0}]
    with pytest.raises(UnknownName, match="no setting is called `cap_mg`; nearest name: cap_ml"):
        settings.setting_of(SETTINGS, "cap_mg")
    with pytest.raises(UnknownName, match="nearest name: sizing_zones"):
        settings.setting_of(SETTINGS, "sizing_zone")


def test_a_text_after_an_equals_sign_stands_for_a_setting_at_any_depth():
    assert settings.resolve(SETTINGS, "=cap_ml") == 60 and settings.resolve(SETTINGS, "cap_ml") == "cap_ml" and settings.resolve(SETTINGS, 3) == 3
    assert settings.resolve(SETTINGS, {"a": ["=cap_ml", {"b": "=target_low_ratio"}], "c": None}) == {"a": [60, {"b": 1.2}], "c": None}


RANGE = {"annulus_mm": "20", "low_ratio": "1,2", "high_ratio": 1.25}  # 24 and 25 mm


def test_an_example_tells_its_results_and_the_one_in_front_first():
    answer = block.example("balloon_range_mm", RANGE)
    assert answer["ok"] and answer["parts"] == [{"label": "low", "text": "24.0\u00a0mm"}, {"label": "high", "text": "25.0\u00a0mm"}]
    assert "picture" not in answer and "picture_faults" not in answer
    fronted = block.example("balloon_range_mm", RANGE, show="high_mm")["parts"]
    assert fronted == [{"label": "high", "text": "25.0\u00a0mm"}, {"label": "low", "text": "24.0\u00a0mm", "more": True}]
    refused = block.example("balloon_range_mm", {"annulus_mm": "x"})
    assert refused["ok"] is False and "parts" not in refused


FIGURE = {"name": "balloon_on_annulus", "balloon_mm": "high_mm", "frame": "end_systole", "zones": settings.setting_of(SETTINGS, "sizing_zones")}


def test_a_picture_is_drawn_from_the_inputs_and_the_results():
    answer = block.example("balloon_range_mm", RANGE, FIGURE, "here")
    # 25 / 20 = 1.25; the figure names a result, and the page's place is part of its identifier
    assert 'id="here-picture' in answer["picture"] and "25.0\u00a0mm" in answer["picture"] and "20.0\u00a0mm" in answer["picture"] and "1.25" in answer["picture"]
    assert 'id="live-picture' in block.example("balloon_range_mm", RANGE, FIGURE)["picture"]
    other = block.example("balloon_range_mm", RANGE, {**FIGURE, "balloon_mm": 23.0})
    assert "23.0\u00a0mm" in other["picture"] and "1.15" in other["picture"]


def test_inputs_that_cannot_be_drawn_leave_the_answer_and_tell_why():
    answer = block.example("balloon_range_mm", RANGE, {**FIGURE, "balloon_mm": 99.0})
    assert answer["ok"] and "picture" not in answer and [field for field, _ in answer["picture_faults"]] == ["balloon_mm"]
    with pytest.raises(UnknownName, match="no picture called nothing"):
        block.example("balloon_range_mm", RANGE, "nothing")


def test_a_picture_by_its_bare_name_takes_what_is_known_under_its_own_names():
    known = {"natural_frequency_hz": 20.0, "over_damping_ratio": 2.0, "good_damping_ratio": 0.7, "under_damping_ratio": 0.1, "something_else": "x"}
    assert block.drawing("damping", known, "there").startswith("<svg") and 'id="there-picture' in block.drawing("damping", known, "there")
    words = {**known, "under_damping_ratio": "later"}
    assert block.drawing({"name": "damping", "under_damping_ratio": 0.1}, words, "p") == block.drawing("damping", known, "p")


def made(gives=("a_mm",), columns=None, decimals=None):
    """A formula as far as its result is told."""
    return SimpleNamespace(gives=gives, columns=columns or {}, decimals=decimals, name="a_mm", shown=lambda value: f"shown {value}", limits={})


def test_one_result_is_told_as_the_formula_shows_it_and_several_by_their_labels():
    assert block.result_parts(made(gives=None), 3) == [{"label": "", "text": "shown 3"}]
    assert block.result_parts(made(), [("wide_mm", 12.34), ("rv_systolic_mmhg", 60.0)]) == [
        {"label": "wide", "text": "12.3\u00a0mm"}, {"label": "RV systolic", "text": "60\u00a0mmHg"}]
    assert block.result_parts(made(decimals=2), [("wide_mm", 12.345678)])[0]["text"] == "12.35\u00a0mm"


def test_a_list_of_twelve_is_told_and_a_longer_one_by_its_length():
    short, long = ("short_mm", [1.0] * 12), ("long_mm", [1.0] * 13)
    parts = block.result_parts(made(), [short, long, ("none_mm", [])])
    assert parts[1] == {"label": "long", "text": "13 values"} and parts[0]["text"].count("1.0") == 12
    told = block.fronted(parts, "short")
    assert [part["label"] for part in told] == ["short", "none"] and "more" not in told[0] and told[1]["more"] is True
    assert [part["label"] for part in block.fronted(parts, "long")] == ["long", "short", "none"]


def test_records_are_a_table_with_their_columns_in_order_or_by_name():
    records = [{"wide_mm": 12.0, "family": "A"}, {"family": "B"}]
    table = block.result_parts(made(columns={"found": ["wide_mm", "family"]}), [("found", records)])[0]
    assert (table["label"], table["heads"]) == ("found", ["Wide", "Family"])
    assert [row[1] for row in table["rows"]] == ["A", "B"] and table["rows"][0][0] == "12.0\u00a0mm" and "12" not in table["rows"][1][0]
    assert block.result_parts(made(), [("found", records)])[0]["heads"] == ["Family", "Wide"]
    assert block.result_parts(made(), [("found", records[:1])])[0]["rows"] == [["A", "12.0\u00a0mm"]]
    assert block.fronted([table, {"label": "a", "text": "1"}], "a")[1]["more"] is True


def test_a_heading_begins_with_a_capital_and_leaves_its_unit_to_the_cells():
    assert block.heading("major_width_mm") == "Major width" and block.heading("rv_systolic_mmhg") == "RV systolic"


def test_typed_texts_are_read_and_blanks_left_out():
    formula = find("balloon_range_mm")
    assert block.read_values(formula, {"annulus_mm": "18,4", "low_ratio": " ", "high_ratio": ""}) == {"annulus_mm": 18.4}
    assert block.read_values(formula, {"annulus_mm": 0, "low_ratio": None}) == {"annulus_mm": 0}


def test_what_is_known_are_the_inputs_and_the_results_by_name():
    assert block.known_values(made(), {"b": 1}, [("a_mm", 2), ("c", 3)]) == {"a_mm": 2, "b": 1, "c": 3}
    assert block.known_values(made(gives=None), {"b": 1}, 5) == {"b": 1, "a_mm": 5}


def test_each_typed_number_is_told_back_as_it_was_read():
    limits = find("mean_gradient_from_trace_mmhg").limits
    given = {"age_years": 5, "sampling_hz": "1000", "rv_mmhg": "1 2,5 3", "pa_mmhg": "1 x", "annulus_mm": "18,40", "view": "lateral", "weight_kg": 18, "low_ratio": ""}
    assert block.understood(given, limits) == [("annulus_mm", "18.4\u00a0mm"), ("rv_mmhg", "3 numbers"), ("sampling_hz", "1000\u00a0Hz")]


def test_a_typed_word_is_no_number_and_no_list():
    assert block.understood({"view": "short_axis", "annulus_mm": "14"}, find("annulus_z").limits) == [("annulus_mm", "14\u00a0mm")]


def test_a_block_asks_a_formula_with_settings_in_place():
    asked = {"formula": "balloon_range_mm", "given": {"annulus_mm": "20"}, "settings": {"low_ratio": "=target_low_ratio", "high_ratio": "=target_high_ratio"},
             "figure": {**FIGURE, "zones": "=sizing_zones"}, "place": "block", "show": "high_mm"}
    answer = block.request({"settings": SETTINGS}, asked)
    assert [part["text"] for part in answer["parts"]] == ["25.0\u00a0mm", "24.0\u00a0mm"] and answer["read"] == [("annulus_mm", "20\u00a0mm")]
    assert 'id="block-picture' in answer["picture"]
    assert 'id="live-picture' in block.request({"settings": SETTINGS}, {**asked, "place": None})["picture"]
    bare = block.request({}, {"formula": "balloon_ratio"})
    assert bare["ok"] is False and bare["read"] == []


def test_a_block_asks_documents_within_the_windows_of_the_settings():
    asked = {"tables": ["invented"], "given": {"age_years": "30", "doppler_peak_mmhg": "39,5"}, "window": {"doppler_peak_mmhg": "=error_mmhg"}}
    data = {"settings": {"error_mmhg": 1}, "tables": {"invented": TABLE}}
    answer = block.request(data, asked)
    assert answer["rows"][0]["cut_off"] and answer["rows"][0]["answer"] == "mild"
    assert answer["read"] == [("age_years", "30\u00a0years"), ("doppler_peak_mmhg", "39.5\u00a0mmHg")]
    assert block.request({**data, "settings": {"error_mmhg": 0.1}}, asked)["rows"][0]["cut_off"] == ""
    for known in ({}, data):
        with pytest.raises(PvcalcError, match="no decision table called unheard\\."):
            block.request(known, {"tables": ["unheard", "unseen"], "given": {}})

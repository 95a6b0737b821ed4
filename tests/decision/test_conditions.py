"""Conditions by their definition: a hair beside a cut-off, what one gradient says of the other, counted criteria, edges."""

import pytest

from pvcalc.decision.conditions import (
    alternatives, at_least, branches_of, criterion_truth, edges_of, holds, ordered, read_condition,
)
from pvcalc.decision.conditions import row_parts, row_truth, truth_of

BY_SIGN = {">": lambda a, b: a > b, ">=": lambda a, b: a >= b, "<": lambda a, b: a < b, "<=": lambda a, b: a <= b, "=": lambda a, b: a == b}


@pytest.mark.parametrize("sign", BY_SIGN)
@pytest.mark.parametrize("cut", [60, 0.5, 0, -3, -0.25])
def test_a_comparison_counts_a_thousand_millionth_beside_the_cut_off_as_on_it(sign, cut):
    scale = max(1, abs(cut))
    for step in (-1, -1.1e-9, -0.9e-9, 0, 0.9e-9, 1.1e-9, 1) + (1e-9,) * (cut == 0):
        on_it = abs(step) <= 1e-9
        expected = BY_SIGN[sign](cut if on_it else cut + step * scale, cut)
        assert holds("rv_volume_z", f"{sign} {cut}", {"rv_volume_z": cut + step * scale}) is expected, (sign, cut, step)


def agreed(values, sign, cut):
    """True or False when all these values agree, else None."""
    said = {BY_SIGN[sign](value, cut) for value in values}
    return said.pop() if len(said) == 1 else None


@pytest.mark.parametrize("sign", BY_SIGN)
@pytest.mark.parametrize("bound", [0, 36, 64])
def test_a_missing_gradient_is_settled_only_when_every_value_it_can_have_agrees(sign, bound):
    for cut in (0, 35, 36, 37, 64, 65):
        # A mean is at most the peak of its trace, so a peak is at least the mean; both range far beyond the cut-offs here.
        assert holds("doppler_mean_mmhg", f"{sign} {cut}", {"doppler_peak_mmhg": bound}) is agreed(range(-100, bound + 1), sign, cut)
        assert holds("doppler_peak_mmhg", f"{sign} {cut}", {"doppler_mean_mmhg": bound}) is agreed(range(bound, 300), sign, cut)
        for name in ("age_years", "doppler_velocity_m_s", "velocity_m_s"):
            assert holds(name, f"{sign} {cut}", {"doppler_peak_mmhg": bound, "doppler_mean_mmhg": bound}) is None


def test_a_choice_holds_when_its_word_is_listed_and_is_open_until_it_is_told():
    assert holds("valve", ["domed", "dysplastic"], {"valve": "dysplastic"}) is True
    assert holds("valve", "domed", {"valve": "dysplastic"}) is False
    assert holds("valve", "domed", {"doppler_peak_mmhg": 3}) is None


@pytest.mark.parametrize("text, read", [
    ("> 60", ("number", [(">", 60.0)])), ("  <=.5" , None), ("<= 0.5", ("number", [("<=", 0.5)])), ("= 2/3", ("number", [("=", 2 / 3)])),
    (">= -2 and < 9", ("number", [(">=", -2.0), ("<", 9.0)])), (" none ", ("choice", ["none"])), ("grade-2_b", ("choice", ["grade-2_b"])), ("type_2", ("choice", ["type_2"])),
    (("none", "mild"), ("choice", ["none", "mild"])), ("60", None), (".5", None), ("left to right", None), ("> --", None),
])
def test_a_condition_is_a_comparison_or_a_word(text, read):
    if read is None:
        with pytest.raises(ValueError, match="“" + (text if isinstance(text, str) else "").strip()):
            read_condition(text)
    else:
        assert read_condition(text) == read == read_condition(text)


@pytest.mark.parametrize("count, truths, expected", [
    (1, [True, None], True), (1, [None, False], None), (1, [False, False], False), (2, [True, None, None], None), (2, [None, None, False], None),
    (2, [None, False, False], False), (2, [True, False], False), (3, [True, True, True], True), (0, [False], True), (1, [], False)])
def test_enough_criteria_are_reached_open_or_out_of_reach(count, truths, expected):
    assert at_least(count, truths) is expected


TABLE = {
    "asks_for": ["age_years", "doppler_peak_mmhg", "symptoms", "qrs_ms", "rv_volume_z"], "optional": ["qrs_ms"],
    "applies": {"age_years": ">= 18"},
    "rows": [
        {"id": "A", "when": {"symptoms": "yes"}, "any": [{"doppler_peak_mmhg": "> 64"}, {"rv_volume_z": ">= 4 and < 7"}]},
        {"id": "B", "when": {"symptoms": "no"},
         "at_least": {"count": 2, "of": [{"doppler_peak_mmhg": "> 50"}, [{"qrs_ms": "> 140"}, {"rv_volume_z": "> 4", "age_years": "> 30"}], {"rv_volume_z": "> 2"}]}},
        {"id": "C"}]}
A, B, C = TABLE["rows"]


def test_an_optional_input_that_was_not_given_meets_nothing_and_any_other_stays_open():
    assert truth_of(TABLE, "qrs_ms", "> 140", {}) is False
    assert truth_of(TABLE, "rv_volume_z", "> 4", {}) is None
    assert truth_of({"optional": None}, "qrs_ms", "> 140", {}) is truth_of({}, "qrs_ms", "> 140", {}) is None
    assert truth_of(TABLE, "qrs_ms", "> 140", {"qrs_ms": 150}) is True


@pytest.mark.parametrize("row, given, truth", [
    (A, {"symptoms": "no"}, False), (A, {"symptoms": "yes"}, None), (A, {"symptoms": "yes", "rv_volume_z": 5}, True),
    (A, {"doppler_peak_mmhg": 70}, None), (A, {"doppler_peak_mmhg": 60, "rv_volume_z": 7}, False),
    (B, {"symptoms": "no", "doppler_peak_mmhg": 51, "rv_volume_z": 3}, True), (B, {"symptoms": "no", "doppler_peak_mmhg": 51}, None),
    (B, {"symptoms": "no", "doppler_peak_mmhg": 50, "rv_volume_z": 3, "qrs_ms": 141}, True),
    (B, {"symptoms": "no", "doppler_peak_mmhg": 50, "rv_volume_z": 3}, False), (B, {"symptoms": "no", "doppler_peak_mmhg": 50, "rv_volume_z": 5}, None),
    (B, {"symptoms": "no", "doppler_peak_mmhg": 50, "rv_volume_z": 5, "age_years": 31}, True), (C, {}, True)])
def test_a_row_is_met_by_its_conditions_one_alternative_and_enough_criteria(row, given, truth):
    assert row_truth(TABLE, row, given) is truth


def test_the_parts_of_a_row_end_at_a_first_part_that_failed_and_hold_the_branches_still_open():
    assert row_parts(TABLE, B, {"symptoms": "yes", "doppler_peak_mmhg": 60}) == [{"truth": False, "branches": [{"symptoms": "no"}]}]
    when, counted = row_parts(TABLE, B, {"symptoms": "no", "doppler_peak_mmhg": 60, "qrs_ms": 150})
    assert (when["truth"], counted["truth"]) == (True, True) and counted["branches"] == [{"rv_volume_z": "> 2"}]
    _, counted = row_parts(TABLE, B, {"symptoms": "no", "doppler_peak_mmhg": 60})
    assert counted["truth"] is None and counted["branches"] == [*B["at_least"]["of"][1], {"rv_volume_z": "> 2"}]


def test_one_alternative_of_a_criterion_is_enough():
    either = B["at_least"]["of"][1]
    assert alternatives(either) == either and alternatives(B["at_least"]["of"][0]) == [{"doppler_peak_mmhg": "> 50"}]
    assert criterion_truth(TABLE, either, {"qrs_ms": 141}) is True
    assert criterion_truth(TABLE, either, {"rv_volume_z": 5, "age_years": 30}) is False


def test_every_group_of_conditions_is_listed_and_names_stand_as_the_table_asks():
    assert branches_of(A) == [A["when"], *A["any"]]
    assert branches_of(B) == [B["when"], B["at_least"]["of"][0], *B["at_least"]["of"][1], B["at_least"]["of"][2]] and branches_of(C) == [{}]
    assert ordered(TABLE, {"rv_volume_z": 1, "age_years": 2, "symptoms": 3}) == ["age_years", "symptoms", "rv_volume_z"]


def test_edges_are_every_number_a_table_mentions_once_and_rising():
    assert edges_of(TABLE, "rv_volume_z") == [2, 4, 7] and edges_of(TABLE, "doppler_peak_mmhg") == [50, 64]
    assert edges_of(TABLE, "age_years") == [18, 30] and edges_of(TABLE, "symptoms") == []

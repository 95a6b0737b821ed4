"""What a plan may compute with, on invented settings: a recalled one is named and never a number of a result."""

from types import SimpleNamespace

import pytest

from pvcalc.core.errors import UnknownName
from pvcalc.formulas.body_size import body_surface_m2
from pvcalc.plan.settings import (
    Recalled, computed, confirm_words, is_recalled, line, named, setting, setting_text, weakest_seen,
)

ZONES = ("target_low_ratio", "target_high_ratio", "accepted_low_ratio", "accepted_high_ratio", "forbidden_above_ratio")
DATA = {
    "settings": {"dose_mg_kg": 0.02, "cap_ml": 250.0, "rest_hours": 6.5, "wait_days": 14.0, "limit_ratio": 1.3, "count_ratio": 2.0, "lost_mg": 3.0,
                 "big_ml": 100.0, "eighth_mg_kg": 0.125, "fine_ratio": 1.225, "tenth_ratio": 0.5, "two_ratio": 1.25, **dict.fromkeys(ZONES, 1.2)},
    "notes": {"dose_mg_kg": {"seen": "read"}, "cap_ml": {"seen": "memory", "confirm": "the pharmacist"}, "lost_mg": {},
              **{name: {"seen": "read"} for name in ZONES}}}


def test_a_value_or_the_reason_why_there_is_none():
    assert computed(body_surface_m2, height_cm=100, weight_kg=16, by="mosteller") == (pytest.approx((100 * 16 / 3600) ** 0.5), "")
    value, why = computed(body_surface_m2, height_cm=100, weight_kg=9999, by="mosteller")
    assert value is None and why.startswith("Weight 9999")
    with pytest.raises(Recalled, match="^x has recalled coefficients"):
        computed(SimpleNamespace(seen="memory", name="x"))


def test_one_of_several_results_by_its_name():
    assert named([("low_mm", 24), ("high_mm", 25)], "high_mm") == 25 and named([("low_mm", 24)], "wide_mm") is None


def test_what_nobody_saw_in_print_is_recalled_and_a_record_when_any_part_is():
    assert [is_recalled(DATA, key) for key in ("dose_mg_kg", "cap_ml", "lost_mg", "unheard")] == [False, True, False, False]
    assert is_recalled(DATA, "sizing_zones") is False
    for name in ZONES:
        assert is_recalled({**DATA, "notes": {**DATA["notes"], name: {"seen": "memory"}}}, "sizing_zones") is True


@pytest.mark.parametrize("words, weakest", [(["read", "read"], "read"), (["read", "derived"], "derived"), (["derived", "practice", "read"], "practice"),
                                            (["practice", "memory"], "memory"), ([None], "practice"), (["read", None], "practice")])
def test_a_number_was_seen_no_better_than_the_least_of_what_it_rests_on(words, weakest):
    notes = {f"part_{place}": {"seen": word} if word else {} for place, word in enumerate(words)}
    assert weakest_seen({"notes": notes}, list(notes)) == weakest


def test_a_setting_is_given_only_when_it_is_not_recalled():
    assert setting(DATA, "dose_mg_kg") == 0.02 and setting(DATA, "sizing_zones") == [dict.fromkeys(ZONES, 1.2)]
    with pytest.raises(Recalled, match="^setting cap_ml is recalled"):
        setting(DATA, "cap_ml")
    with pytest.raises(UnknownName):
        setting(DATA, "unheard")


@pytest.mark.parametrize("key, text", [
    ("dose_mg_kg", "0.02\u00a0mg/kg"), ("cap_ml", "250\u00a0mL (recalled: confirm)"), ("rest_hours", "6.5\u00a0hours"), ("wait_days", "14\u00a0days"),
    ("limit_ratio", "1.30"), ("count_ratio", "2"), ("lost_mg", "3\u00a0mg"), ("big_ml", "100\u00a0mL"), ("eighth_mg_kg", "0.125\u00a0mg/kg"),
    ("fine_ratio", "1.225"), ("tenth_ratio", "0.50"), ("two_ratio", "1.25")])
def test_a_setting_in_a_sentence_has_its_unit_every_digit_no_idle_nought_and_the_word_recalled(key, text):
    assert setting_text(DATA, key) == text


def test_who_confirms_a_setting():
    assert [confirm_words(DATA, key) for key in ("cap_ml", "dose_mg_kg", "unheard")] == ["the pharmacist", "the department", "the department"]


def test_a_line_carries_what_a_reader_needs_to_check_it():
    assert line("a") == {"text": "a", "kind": "line", "formula": "", "table": "", "chapter": "", "seen": "", "setting": ""}
    assert line("a", "warn", "f", "t", "c", "read", "k") == {"text": "a", "kind": "warn", "formula": "f", "table": "t", "chapter": "c", "seen": "read", "setting": "k"}

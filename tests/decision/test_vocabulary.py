"""The words of inputs, choices and comparisons, each written by hand as it must read in a sentence."""

import pytest

from pvcalc.decision.vocabulary import (
    PHRASES, QUANTITIES, choice_words, choices_words, comparison_words, name_words, number_words, value_words,
    word_shown,
)

MMHG = "\u00a0mmHg"


@pytest.mark.parametrize("name, words", [
    ("doppler_peak_mmhg", "peak Doppler gradient"), ("age_years", "age"), ("material_under_6_months", "prosthetic material or device in its first 6 months"),
    ("annulus_mm", "annulus"), ("pulmonary_regurgitation", "pulmonary regurgitation"), ("doppler_peak", "doppler peak")])
def test_an_input_is_called_by_its_words_or_by_its_name_without_the_unit(name, words):
    assert name_words(name) == words


def test_no_quantity_and_no_choice_is_worded_twice():
    assert len({name for name, _ in QUANTITIES}) == len(QUANTITIES)
    assert len({(name, word) for name, word, _ in PHRASES}) == len(PHRASES)


@pytest.mark.parametrize("name, word, shown", [("stage", "a", "A"), ("frame", "open_valve_systole", "open valve systole"), ("valve", "domed", "domed")])
def test_only_a_stage_is_a_capital_letter(name, word, shown):
    assert word_shown(name, word) == shown


@pytest.mark.parametrize("name, word, words", [
    ("symptoms", "yes", "with symptoms"), ("symptoms", "no", "without symptoms"), ("duct", "open", "arterial duct open"),
    ("critical_stenosis", "no", "not critical stenosis"), ("stage", "c", "stage: C"), ("valve_step", "yes", "valve step: yes"),
    ("valve", "domed", "domed valve"), ("valve", "dysplastic", "dysplastic valve"), ("valve", "bicuspid", "valve: bicuspid"), ("lesion", "domed", "lesion: domed")])
def test_a_choice_is_a_phrase_where_one_is_known_for_this_input_and_this_word(name, word, words):
    assert choice_words(name, word) == words


@pytest.mark.parametrize("name, words, said", [
    ("valve", ["domed"], "domed valve"), ("valve_step", ["yes"], "valve step: yes"), ("diabetes", ["yes", "no"], "diabetes: yes or no"), ("valve", ["domed", "dysplastic"], "domed valve or dysplastic valve"),
    ("rv_function", ["reduced", "falling"], "right ventricular function reduced or right ventricular function falling"),
    ("duct", ["open", "unknown"], "arterial duct: open or unknown"), ("pulmonary_regurgitation", ["none", "mild"], "pulmonary regurgitation: none or mild"),
    ("stage", ["a", "b", "c"], "stage: A, B or C"), ("lesion", ["domed", "dysplastic"], "lesion: domed or dysplastic")])
def test_several_choices_are_phrases_only_when_each_has_one(name, words, said):
    assert choices_words(name, words) == said.replace("arterial duct:", "duct:")


@pytest.mark.parametrize("name, value, said", [
    ("doppler_peak_mmhg", 64.0, "peak Doppler gradient 64" + MMHG), ("rv_volume_z", -2.5, "right ventricular volume z-score −2.5"),
    ("symptoms", "no", "without symptoms")])
def test_a_value_is_said_with_its_name_and_unit(name, value, said):
    assert value_words(name, value) == said


@pytest.mark.parametrize("number, said", [
    (1 / 3, "1/3"), (2 / 3, "2/3"), (0.5, "0.5"), (0.25, "0.25"), (0, "0"), (1, "1"), (60.0, "60"), (1.5, "1.5"), (-1, "−1"), (0.9, "0.9"), (0.35, "0.35"),
    (0.333, "0.333"), (0.666, "0.666"), (-0.5, "−0.5"), (-1 / 3, "−0.333333333333"), (4 / 3, "1.33333333333"),
    # a third to eleven digits is no third: three times it is 3e-11 from one
    (0.33333333334, "0.33333333334"), (0.1, "0.1")])
def test_a_third_is_written_as_a_third_and_any_other_number_as_it_is(number, said):
    assert number_words(number) == said


@pytest.mark.parametrize("parts, said", [
    ([(">=", 36.0), ("<=", 64.0)], "36 to 64" + MMHG), ([(">", 35.0), ("<=", 40.0)], "more than 35 and at most 40" + MMHG),
    ([("<=", 64.0), (">=", 36.0)], "at most 64 and at least 36" + MMHG), ([(">", 60.0)], "more than 60" + MMHG), ([(">=", 60.0)], "at least 60" + MMHG),
    ([("<", 60.0)], "less than 60" + MMHG), ([("<=", 60.0)], "at most 60" + MMHG), ([("=", 60.0)], "exactly 60" + MMHG),
    ([(">=", 36.0)], "at least 36" + MMHG), ([(">=", 36.0), ("<", 64.0)], "at least 36 and less than 64" + MMHG)])
def test_a_comparison_is_said_in_the_words_of_its_sign(parts, said):
    assert comparison_words("doppler_peak_mmhg", parts) == said
    assert comparison_words("view", [(">=", 1.0), ("<=", 2.0)]) == "1 to 2"

"""Estimates of oxygen uptake: recomputed by hand, kept apart, refused where they were never made for."""

import math

import pytest

from pvcalc.formulas import oxygen_uptake as uptake
from tests.helpers.edges import asked, assert_ranges, fault

LAFARGE = dict(age_years=8, heart_rate_bpm=90, sex="male", body_surface_m2=0.9)
NEWBORN = dict(age_years=3 / 365.25, weight_kg=3.2, body_surface_m2=1, single_ventricle=0, critical_illness=0)
LUNDELL = dict(age_years=2, sex="male", height_cm=86, weight_kg=12, heart_rate_bpm=110, body_surface_m2=0.55)


@pytest.mark.parametrize("sex, fall", [("male", 11.49), ("female", 17.04)])
def test_lafarge_by_common_logarithm(sex, fall):
    by_hand = 0.9 * (138.1 - fall * math.log10(8) / math.log10(math.e) + 0.378 * 90)
    assert uptake.oxygen_uptake_lafarge_ml_min(**{**LAFARGE, "sex": sex}) == pytest.approx(by_hand, rel=1e-12)


def test_lafarge_refuses_a_three_day_old_whom_it_would_give_twice_the_uptake():
    age = 3 / 365.25
    unchecked = 138.1 - 11.49 * math.log(age) + 0.378 * 140
    assert unchecked == pytest.approx(246, abs=0.5)
    sentence = fault(uptake.oxygen_uptake_lafarge_ml_min, {**LAFARGE, "age_years": age, "heart_rate_bpm": 140})
    assert "3 to 100 years" in sentence and "Seckeler" in sentence
    assert uptake.oxygen_uptake_seckeler_ml_min(**NEWBORN) == pytest.approx(156, abs=0.5)
    lundell = {**LUNDELL, "age_years": age, "height_cm": 49, "weight_kg": 3.2, "heart_rate_bpm": 140, "body_surface_m2": 1}
    assert uptake.oxygen_uptake_lundell_ml_min(**lundell) == pytest.approx(142, abs=0.5)


def test_lafarge_ranges_and_its_question_over_forty():
    assert_ranges(uptake.oxygen_uptake_lafarge_ml_min, LAFARGE, dict(
        age_years=(3, 100), heart_rate_bpm=(40, 220), body_surface_m2=(0.4, 3)))
    assert not asked(uptake.oxygen_uptake_lafarge_ml_min, {**LAFARGE, "age_years": 40})
    assert "3 to 40" in asked(uptake.oxygen_uptake_lafarge_ml_min, {**LAFARGE, "age_years": 40.01})


def test_bergstra_term_by_term():
    inputs = dict(age_years=math.e ** 4, sex="female", body_surface_m2=2)
    woman = uptake.oxygen_uptake_bergstra_ml_min(**inputs)
    assert woman == pytest.approx(314.6 - 42 + 4.8, rel=1e-12)
    assert uptake.oxygen_uptake_bergstra_ml_min(**{**inputs, "sex": "male"}) - woman == pytest.approx(10, rel=1e-9)
    assert uptake.oxygen_uptake_bergstra_ml_min.seen == "memory"
    assert_ranges(uptake.oxygen_uptake_bergstra_ml_min, dict(age_years=50, sex="male", body_surface_m2=1.8), dict(
        age_years=(18, 100), body_surface_m2=(1, 3)))


def test_dehmer_is_a_fixed_figure_for_adults():
    assert uptake.oxygen_uptake_dehmer_ml_min(body_surface_m2=1.6) == 200
    assert_ranges(uptake.oxygen_uptake_dehmer_ml_min, dict(body_surface_m2=1.6), dict(body_surface_m2=(1, 3)))


def test_seckeler_term_by_term():
    inputs = dict(age_years=math.e ** 2, weight_kg=math.e ** 3, body_surface_m2=0.8, single_ventricle=0, critical_illness=0)
    plain = uptake.oxygen_uptake_seckeler_ml_min(**inputs)
    assert plain == pytest.approx(0.8 * (242.1 + 19.4 - 102), rel=1e-12)
    assert plain - uptake.oxygen_uptake_seckeler_ml_min(**{**inputs, "single_ventricle": 1}) == pytest.approx(0.8 * 9.6, rel=1e-9)
    assert plain - uptake.oxygen_uptake_seckeler_ml_min(**{**inputs, "critical_illness": 1}) == pytest.approx(0.8 * 11.2, rel=1e-9)


def test_a_cardiac_index_or_a_stroke_volume_is_not_taken_for_a_yes_or_no():
    assert "yes (1) or no (0)" in fault(uptake.oxygen_uptake_seckeler_ml_min, {**NEWBORN, "critical_illness": 2.5})
    assert "yes (1) or no (0)" in fault(uptake.oxygen_uptake_seckeler_ml_min, {**NEWBORN, "single_ventricle": 40})


def test_seckeler_ranges_and_impossible_pair():
    assert_ranges(uptake.oxygen_uptake_seckeler_ml_min, NEWBORN, dict(
        age_years=(0.0027, 100), weight_kg=(1, 200), body_surface_m2=(0.1, 3)))
    mismatch = {**NEWBORN, "age_years": 0.0027, "weight_kg": 200}
    assert 0 < uptake.oxygen_uptake_seckeler_ml_min(**mismatch) < 5
    assert "check both" in fault(uptake.oxygen_uptake_seckeler_ml_min, {**mismatch, "single_ventricle": 1})


def test_lundell_changes_equation_at_three_years():
    assert uptake.oxygen_uptake_lundell_ml_min(**LUNDELL) == pytest.approx(0.55 * (294.12 - 93.96 + 41.8 - 54.1), rel=1e-12)
    just_under = {**LUNDELL, "age_years": 2.999}
    assert uptake.oxygen_uptake_lundell_ml_min(**just_under) == uptake.oxygen_uptake_lundell_ml_min(**LUNDELL)
    assert uptake.oxygen_uptake_lundell_ml_min(**{**just_under, "sex": "female"}) == uptake.oxygen_uptake_lundell_ml_min(**just_under)
    boy = uptake.oxygen_uptake_lundell_ml_min(**{**LUNDELL, "age_years": 3})
    girl = uptake.oxygen_uptake_lundell_ml_min(**{**LUNDELL, "age_years": 3, "sex": "female"})
    assert boy == pytest.approx(0.55 * (86.9 - 4.07 + 108.1), rel=1e-12)
    assert girl == pytest.approx(0.55 * (84.7 - 2.86 + 106.8), rel=1e-12)


def test_lundell_ranges_and_impossible_triple():
    assert_ranges(uptake.oxygen_uptake_lundell_ml_min, LUNDELL, dict(
        age_years=(0, 18), height_cm=(30, 210), weight_kg=(1, 150), heart_rate_bpm=(40, 220), body_surface_m2=(0.1, 3)))
    barely = {**LUNDELL, "height_cm": 50, "weight_kg": 20, "heart_rate_bpm": 104.6}
    assert 0 < uptake.oxygen_uptake_lundell_ml_min(**barely) < 0.1
    assert "check all three" in fault(uptake.oxygen_uptake_lundell_ml_min, {**barely, "heart_rate_bpm": 104})


@pytest.mark.parametrize("height, heart_rate", [(99, 158), (106, 95)])
def test_lundell_gives_no_uptake_of_exactly_nought(height, heart_rate):
    # 342 × 99 + 38 × 158 = 342 × 106 + 38 × 95 = 39 862 hundredths, and 783 × 44 + 5410 = 39 862 as well.
    given = {**LUNDELL, "height_cm": height, "weight_kg": 44}
    assert "check all three" in fault(uptake.oxygen_uptake_lundell_ml_min, {**given, "heart_rate_bpm": heart_rate})
    # One beat more is 0.38 mL/min/m² above nought, on a surface of 0.55 m².
    above = uptake.oxygen_uptake_lundell_ml_min(**{**given, "heart_rate_bpm": heart_rate + 1})
    assert above == pytest.approx(0.55 * 0.38, rel=1e-9)


def test_estimates_for_one_adult_disagree_and_are_never_merged():
    man = dict(age_years=40, sex="male", body_surface_m2=1.9)
    three = [uptake.oxygen_uptake_lafarge_ml_min(heart_rate_bpm=70, **man), uptake.oxygen_uptake_dehmer_ml_min(body_surface_m2=1.9),
             uptake.oxygen_uptake_bergstra_ml_min(**man)]
    assert three == sorted(three)
    assert three[-1] / three[0] > 1.15

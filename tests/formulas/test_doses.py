"""Ceilings of one case: every dangerous edge is stepped over, on both sides."""

import pytest
from pint import get_application_registry

from pvcalc.formulas import kidney, doses
from tests.helpers.edges import asked, assert_ranges, fault

UNITS = get_application_registry()
CONTRAST = dict(age_years=61, weight_kg=80, creatinine_umol_l=159.12)
LOCAL = dict(weight_kg=20, limit_mg_kg=3, cap_mg=200, strength_percent=1)
HEPARIN = dict(weight_kg=12, units_per_kg=100, cap_units=5000)
PROTAMINE = dict(heparin_units=1000, minutes_since=10, cap_mg=50)
PUMP = dict(dose_micrograms_kg_min=100, weight_kg=3.2, concentration_micrograms_ml=10000)
LOSS = dict(blood_volume_ml=400, start_haematocrit_percent=36, floor_haematocrit_percent=25)


def both_readings(weight, mg_dl):
    """The 300 mL beside the numerator, and on the result."""
    return min(5 * weight, 300) / mg_dl, min(5 * weight / mg_dl, 300)


@pytest.mark.parametrize("weight", [30, 45, 59.9, 60, 60.1, 80, 120, 250])
@pytest.mark.parametrize("mg_dl", [1.0, 1.001, 1.33, 1.34, 1.8, 2.5, 8])
def test_contrast_is_the_smaller_reading_of_the_cap(weight, mg_dl):
    ours = doses.contrast_limit_ml(age_years=61, weight_kg=weight, creatinine_umol_l=88.4 * mg_dl)
    assert ours == pytest.approx(min(both_readings(weight, mg_dl)), rel=1e-12)
    assert ours <= 300


def test_contrast_readings_differ_where_it_matters():
    assert [round(x) for x in both_readings(80, 1.8)] == [167, 222]
    assert [round(x) for x in both_readings(70, 1.8)] == [167, 194]
    assert round(doses.contrast_limit_ml(**{**CONTRAST, "weight_kg": 70})) == 167
    assert both_readings(80, 1) == (300, 300)


@pytest.mark.parametrize("inputs, words", [
    (dict(age_years=17.99, weight_kg=60, creatinine_umol_l=160), "18 to 110 years"),
    (dict(age_years=3, weight_kg=30, creatinine_umol_l=160), "in every child"),
    (dict(age_years=61, weight_kg=80, creatinine_umol_l=88.39), "88.4 to 1500"),
    (dict(age_years=61, weight_kg=80, creatinine_umol_l=40), "volume per kilogram")])
def test_contrast_is_refused_in_a_child_and_with_normal_creatinine(inputs, words):
    assert words in fault(doses.contrast_limit_ml, inputs)


def test_a_small_child_would_have_been_given_absurd_room():
    assert min(5 * 10, 300) / 0.3 == pytest.approx(167, abs=0.5)
    assert len(fault(doses.contrast_limit_ml, dict(age_years=1, weight_kg=10, creatinine_umol_l=0.3 * 88.4)).split(" is outside ")) == 4


def test_creatinine_in_milligrams_is_named():
    assert "mg/dL" in fault(doses.contrast_limit_ml, {**CONTRAST, "creatinine_umol_l": 1.8})


@pytest.mark.parametrize("weight, capped", [(59.9, False), (60, False), (60.1, True)])
def test_contrast_says_when_the_cap_applies(weight, capped):
    assert bool(asked(doses.contrast_limit_ml, {**CONTRAST, "weight_kg": weight})) == capped


def test_contrast_ratio_and_volume_per_kilogram():
    assert doses.contrast_renal_ratio(contrast_ml=45, egfr_ml_min_173=90) == 0.5
    assert doses.contrast_ml_per_kg(contrast_ml=30, weight_kg=6) == 5
    ml_per_kg = doses.contrast_ml_per_kg(contrast_ml=28, weight_kg=10)
    assert ml_per_kg * 320 / 1000 == pytest.approx(0.896, rel=1e-12)  # grams of iodine per kg at 320 mg/mL


@pytest.mark.parametrize("weight, limit, cap, ml", [
    (66.6, 3, 200, 19.98), (66.7, 3, 200, 20), (66.6, 4.5, 300, 29.97), (66.7, 4.5, 300, 30), (80, 3, 200, 20),
    (3.2, 3, 200, 0.96), (71.4, 7, 500, 49.98), (71.5, 7, 500, 50)])
def test_local_anaesthetic_on_both_sides_of_the_cap(weight, limit, cap, ml):
    inputs = dict(weight_kg=weight, limit_mg_kg=limit, cap_mg=cap, strength_percent=1)
    assert doses.local_anaesthetic_limit_ml(**inputs) == pytest.approx(ml, rel=1e-12)
    assert bool(asked(doses.local_anaesthetic_limit_ml, inputs)) == (ml == cap / 10)


def test_local_anaesthetic_exactly_at_the_cap_asks_nothing_and_the_question_names_both_doses():
    assert asked(doses.local_anaesthetic_limit_ml, dict(weight_kg=50, limit_mg_kg=4, cap_mg=200, strength_percent=1)) == ""
    question = asked(doses.local_anaesthetic_limit_ml, {**LOCAL, "weight_kg": 80})
    assert "200 mg" in question and "240 mg" in question


def test_percent_strength_by_units():
    strength = UNITS.Quantity(2, "g") / UNITS.Quantity(100, "mL")
    volume = UNITS.Quantity(60, "mg") / strength
    ours = doses.local_anaesthetic_limit_ml(weight_kg=20, limit_mg_kg=3, cap_mg=200, strength_percent=2)
    assert ours == pytest.approx(volume.to("mL").magnitude, rel=1e-12)
    assert "4 %" in fault(doses.local_anaesthetic_limit_ml, {**LOCAL, "strength_percent": 10})


@pytest.mark.parametrize("weight, units_per_kg, units, capped", [
    (49.9, 100, 4990, False), (50, 100, 5000, False), (50.1, 100, 5000, True), (3.2, 100, 320, False), (80, 50, 4000, False),
    (100.1, 50, 5000, True)])
def test_heparin_on_both_sides_of_the_cap(weight, units_per_kg, units, capped):
    inputs = dict(weight_kg=weight, units_per_kg=units_per_kg, cap_units=5000)
    assert doses.heparin_bolus_units(**inputs) == pytest.approx(units, rel=1e-12)
    assert bool(asked(doses.heparin_bolus_units, inputs)) == capped


def test_the_heparin_question_names_both_doses():
    question = asked(doses.heparin_bolus_units, {**HEPARIN, "weight_kg": 70})
    assert "5000 units" in question and "7000 units" in question


@pytest.mark.parametrize("minutes, mg", [
    (0, 10), (29.9, 10), (30, 10), (30.1, 5), (60, 5), (60.1, 3.75), (120, 3.75), (120.1, 2.5), (240, 2.5)])
def test_protamine_steps_of_a_thousand_units(minutes, mg):
    assert doses.protamine_mg(**{**PROTAMINE, "minutes_since": minutes}) == mg


# Printed ranges of milligrams for 100 units; ours must be their lower ends.
@pytest.mark.parametrize("minutes, low, high", [(5, 1, 1.5), (45, 0.5, 0.75), (90, 0.375, 0.5), (180, 0.25, 0.375)])
def test_protamine_is_the_lower_end_of_each_printed_range(minutes, low, high):
    given = doses.protamine_mg(heparin_units=100, minutes_since=minutes, cap_mg=50)
    assert given == low < high


@pytest.mark.parametrize("heparin, minutes, mg, capped", [
    (5000, 0, 50, False), (5001, 0, 50, True), (4990, 0, 49.9, False), (10000, 45, 50, False), (10001, 45, 50, True), (5000, 45, 25, False)])
def test_protamine_never_exceeds_its_cap(heparin, minutes, mg, capped):
    inputs = dict(heparin_units=heparin, minutes_since=minutes, cap_mg=50)
    assert doses.protamine_mg(**inputs) == pytest.approx(mg, rel=1e-12)
    assert bool(asked(doses.protamine_mg, inputs)) == capped


def test_protamine_cap_cannot_be_set_above_fifty():
    assert "1 to 50" in fault(doses.protamine_mg, {**PROTAMINE, "cap_mg": 51})
    assert "4 hours" in fault(doses.protamine_mg, {**PROTAMINE, "minutes_since": 241})
    assert doses.protamine_mg(heparin_units=5000, minutes_since=0, cap_mg=20) == 20


def test_an_infusion_label_lies_between_the_two_sums():
    low, high = (doses.protamine_mg(heparin_units=1250 * hours, minutes_since=0, cap_mg=50) for hours in (2, 3))
    assert (low, high) == (25, 37.5)


def test_doses_are_shown_without_a_trailing_zero():
    assert doses.protamine_mg.shown(25.0) == "25\u00a0mg"
    assert doses.protamine_mg.shown(3.75) == "3.8\u00a0mg"
    assert doses.infusion_rate_ml_h.shown(2.0) == "2\u00a0mL/h"
    assert doses.infusion_rate_ml_h.shown(1.92) == "1.92\u00a0mL/h"
    assert doses.infusion_rate_ml_h.shown(100.0) == "100\u00a0mL/h"


def test_pump_rate_by_units():
    rate = UNITS.Quantity(100, "ug/kg/min") * UNITS.Quantity(3.2, "kg") / UNITS.Quantity(10, "mg/mL")
    assert doses.infusion_rate_ml_h(**PUMP) == pytest.approx(rate.to("mL/h").magnitude, rel=1e-12)
    assert doses.infusion_rate_ml_h(**PUMP) == pytest.approx(1.92, rel=1e-12)


def test_micrograms_milligrams_and_nanograms_mixed_up_are_asked_about():
    assert asked(doses.infusion_rate_ml_h, PUMP) == ""
    assert "milligrams" in asked(doses.infusion_rate_ml_h, {**PUMP, "concentration_micrograms_ml": 10})  # mg/mL typed
    assert "nanograms" in asked(doses.infusion_rate_ml_h, {**PUMP, "dose_micrograms_kg_min": 0.1})  # mg typed


@pytest.mark.parametrize("concentration, odd", [(192, False), (191.9, True), (192000 * 0.99, True)])
def test_edges_of_a_usual_pump_rate_at_the_fast_end(concentration, odd):
    if concentration > 50000:
        assert fault(doses.infusion_rate_ml_h, {**PUMP, "concentration_micrograms_ml": concentration})
    else:
        assert bool(asked(doses.infusion_rate_ml_h, {**PUMP, "concentration_micrograms_ml": concentration})) == odd


@pytest.mark.parametrize("concentration, odd", [(600, False), (601, True)])
def test_edges_of_a_usual_pump_rate_at_the_slow_end(concentration, odd):
    inputs = dict(dose_micrograms_kg_min=0.5, weight_kg=2, concentration_micrograms_ml=concentration)
    assert bool(asked(doses.infusion_rate_ml_h, inputs)) == odd


def test_ten_nanograms_per_kilogram_of_a_newborn():
    rate = UNITS.Quantity(10, "ng/kg/min") * UNITS.Quantity(3, "kg") / UNITS.Quantity(10, "ug/mL")
    ours = doses.infusion_rate_ml_h(dose_micrograms_kg_min=0.01, weight_kg=3, concentration_micrograms_ml=10)
    assert ours == pytest.approx(rate.to("mL/h").magnitude, rel=1e-12)


def test_blood_loss_by_what_remains():
    lost = doses.allowable_blood_loss_ml(**LOSS)
    assert (400 - lost) * 36 == pytest.approx(400 * 25, rel=1e-12)
    mean_form = 400 * (36 - 25) / ((36 + 25) / 2)
    assert mean_form / lost - 1 == pytest.approx(0.18, abs=0.002)


def test_blood_loss_needs_a_start_above_the_floor():
    assert "floor" in fault(doses.allowable_blood_loss_ml, {**LOSS, "start_haematocrit_percent": 25})
    assert "floor" in fault(doses.allowable_blood_loss_ml, {**LOSS, "start_haematocrit_percent": 24})
    assert doses.allowable_blood_loss_ml(**{**LOSS, "start_haematocrit_percent": 25.5}) > 0
    assert "fraction" in fault(doses.allowable_blood_loss_ml, {**LOSS, "start_haematocrit_percent": 0.36})


def test_ranges():
    assert_ranges(doses.contrast_limit_ml, CONTRAST, dict(age_years=(18, 110), weight_kg=(30, 250), creatinine_umol_l=(88.4, 1500)))
    assert_ranges(doses.contrast_renal_ratio, dict(contrast_ml=50, egfr_ml_min_173=80), dict(contrast_ml=(0, 1000), egfr_ml_min_173=(3, 200)))
    assert_ranges(doses.contrast_ml_per_kg, dict(contrast_ml=50, weight_kg=20), dict(contrast_ml=(0, 1000), weight_kg=(0.5, 250)))
    assert_ranges(doses.blood_volume_ml, dict(weight_kg=10, ml_per_kg=75), dict(weight_kg=(0.5, 250), ml_per_kg=(45, 110)))
    assert_ranges(doses.allowable_blood_loss_ml, LOSS, dict(
        blood_volume_ml=(20, 10000), start_haematocrit_percent=(15, 75), floor_haematocrit_percent=(10, 60)))
    assert_ranges(doses.local_anaesthetic_limit_ml, LOCAL, dict(
        weight_kg=(0.5, 250), limit_mg_kg=(0.5, 7), cap_mg=(10, 500), strength_percent=(0.1, 4)))
    assert_ranges(doses.heparin_bolus_units, HEPARIN, dict(weight_kg=(0.5, 250), units_per_kg=(20, 150), cap_units=(500, 10000)))
    assert_ranges(doses.protamine_mg, PROTAMINE, dict(heparin_units=(10, 20000), minutes_since=(0, 240), cap_mg=(1, 50)))
    assert_ranges(doses.infusion_rate_ml_h, PUMP, dict(
        dose_micrograms_kg_min=(0.001, 1000), weight_kg=(0.5, 250), concentration_micrograms_ml=(0.1, 50000)))


def test_kidney_and_contrast_use_one_conversion():
    assert doses.UMOL_L_PER_MG_DL is kidney.UMOL_L_PER_MG_DL

"""Values at which a changed line went unnoticed before; each was worked out by hand.

`make mutants` changes one constant, operator or comparison at a time. What it once changed unnoticed is tried here.
"""

import pytest

from pvcalc.core import formula as core
from pvcalc.core.errors import PvcalcError
from pvcalc.formulas import body_size, flow, pressure_gradient, kidney, oxygen_uptake, resistance, valve_area
from pvcalc.sizing import balloon, calibration

# function, inputs, answer by hand.
ANSWERS = [
    # 1 mm of 10 mm is a tenth; 1 over cos 60° is 2, so all is measured twice as long; 75 of 750 is a tenth.
    (calibration.pixel_error_percent, dict(pixel_mm=1, reference_mm=10), 10),
    (calibration.foreshortening_error_percent, dict(angle_deg=60), 100),
    (calibration.magnification_error_percent, dict(offset_mm=75, source_distance_mm=750), 10),
    # (93 - 7) / 5.1 = 16.86...
    (resistance.systemic_resistance_wu, dict(mean_arterial_mmhg=93, mean_ra_mmhg=7, flow_l_min=5.1), 86 / 5.1),
    # (140 - 40) × 70 / (72 × 1 mg/dL), and 1 mg/dL is 88.4 µmol/L.
    (kidney.creatinine_clearance_ml_min, dict(creatinine_umol_l=88.4, age_years=40, weight_kg=70.5, sex="male"), 100 * 70.5 / 72),
    # 4 × 1² - 5: a low pressure in the right atrium is allowed.
    (pressure_gradient.pa_diastolic_pressure_mmhg, dict(pr_end_velocity_m_s=1.5, ra_pressure_mmhg=-5), 4),
]


@pytest.mark.parametrize(("function", "inputs", "answer"), ANSWERS, ids=[row[0].name for row in ANSWERS])
def test_an_answer_by_hand(function, inputs, answer):
    assert function(**inputs) == pytest.approx(answer, rel=2e-4)


# function, inputs, the field that must be named.
REFUSED = [
    (balloon.balloon_volume_ml, dict(diameter_mm=5, length_mm=20, shoulder_mm=0, shaft_mm=6), "shaft_mm"),
    (balloon.french_mm, dict(french=0.9), "french"),
    (calibration.calibrated_length_mm, dict(measured_px=0.9, reference_px=100, reference_mm=10), "measured_px"),
    (calibration.calibrated_length_mm, dict(measured_px=100, reference_px=0.9, reference_mm=10), "reference_px"),
    (pressure_gradient.velocity_from_gradient_m_s, dict(gradient_mmhg=0.9), "gradient_mmhg"),
    (pressure_gradient.pa_diastolic_pressure_mmhg, dict(pr_end_velocity_m_s=1, ra_pressure_mmhg=-5.1), "ra_pressure_mmhg"),
    (flow.fick_flow_l_min, dict(oxygen_uptake_ml_min=250, arterial_content_ml_dl=15, venous_content_ml_dl=15), "venous_content_ml_dl"),
    (kidney.egfr_bedside_schwartz_ml_min_173, dict(creatinine_umol_l=50, age_years=18, height_cm=150), "age_years"),
]


@pytest.mark.parametrize(("function", "inputs", "field"), REFUSED, ids=[f"{row[0].name} {row[2]}" for row in REFUSED])
def test_a_refusal_that_names_its_field(function, inputs, field):
    with pytest.raises(PvcalcError) as caught:
        function(**inputs)
    assert [name for name, _ in caught.value.faults] == [field]


def asked(function, **inputs):
    """Questions about inputs that are allowed but odd."""
    reply = core.run(function.name, inputs)
    assert reply["ok"], reply
    return reply["asks"]


@pytest.mark.parametrize(("weight", "quiet"), [(9.9, False), (10, True), (25, True), (25.1, False)])
def test_a_child_of_one_metre_is_asked_about_below_10_and_above_25(weight, quiet):
    # At 100 cm the index is the weight.
    assert (body_size.weight_fits_height({"height_cm": 100, "weight_kg": weight}) == "") is quiet


@pytest.mark.parametrize(("weight", "pounds"), [(26, True), (55, True), (56, False), (9, False)])
def test_pounds_are_suspected_only_when_they_would_fit(weight, pounds):
    # In kilograms: 26 lb are 11.8, 55 lb are 24.9, 56 lb are 25.4 (too heavy all the same), 9 is too light already.
    assert ("pounds" in body_size.weight_fits_height({"height_cm": 100, "weight_kg": weight})) is pounds


def test_the_refused_annulus_is_told_to_a_tenth():
    with pytest.raises(PvcalcError) as caught:
        body_size.annulus_z(annulus_mm=40.04, age_years=5, height_cm=110, weight_kg=18, view="short_axis")
    sentence = caught.value.faults[0][1]
    assert sentence.startswith("Annulus 40.0\u00a0mm would lie ") or sentence.startswith("Annulus 40.0 mm would lie ")
    told = sentence.split("would lie ")[1].split(" ")[0]
    assert len(told.split(".")[1]) == 1 and "beyond 6:" in sentence


@pytest.mark.parametrize(("tension", "saturation", "odd"), [(151, 0.9, True), (150, 0.9, False), (100, 0.9, False), (151, 0.97, False)])
def test_a_high_tension_with_a_low_saturation_is_asked_about(tension, saturation, odd):
    assert bool(asked(flow.oxygen_content_ml_dl, haemoglobin_g_dl=15, saturation_fraction=saturation, po2_mmhg=tension, binding_ml_g=1.36)) is odd


@pytest.mark.parametrize(("venous", "odd"), [(17.9, False), (18.1, True), (10, False)])
def test_a_small_difference_of_contents_is_asked_about(venous, odd):
    assert bool(asked(flow.fick_flow_l_min, oxygen_uptake_ml_min=250, arterial_content_ml_dl=20, venous_content_ml_dl=venous)) is odd


@pytest.mark.parametrize(("age", "odd"), [(30, False), (40, False), (40.1, True)])
def test_lafarge_over_forty_is_asked_about(age, odd):
    questions = asked(oxygen_uptake.oxygen_uptake_lafarge_ml_min, sex="male", age_years=age, heart_rate_bpm=80, body_surface_m2=1.8)
    assert bool(questions) is odd


def test_lundell_after_three_years_no_longer_asks_for_height_and_weight():
    # From 3 years on: (0.79 × 100 - 7.4 × 1 + 108.1) × 1 = 179.7.
    value = oxygen_uptake.oxygen_uptake_lundell_ml_min(age_years=10, sex="male", height_cm=140, weight_kg=30, heart_rate_bpm=100, body_surface_m2=1)
    assert value == pytest.approx(179.7)


def test_an_ejection_longer_than_its_beat_is_refused():
    with pytest.raises(PvcalcError) as caught:
        valve_area.gorlin_area_cm2(transvalvar_flow_l_min=5, heart_rate_bpm=150, ejection_period_s=0.5, mean_gradient_mmhg=30)
    assert caught.value.faults[0][0] == "ejection_period_s"


def shunt(aorta, mixed, vein, artery):
    """Questions about the four saturations of a shunt."""
    return asked(flow.shunt_ratio, aortic_saturation_fraction=aorta, mixed_venous_saturation_fraction=mixed,
                 pulmonary_vein_saturation_fraction=vein, pulmonary_artery_saturation_fraction=artery)


def test_a_ratio_of_one_between_far_apart_saturations_is_asked_about():
    assert shunt(0.95, 0.4, 0.95, 0.4)


def test_the_ends_of_the_noise_belong_to_it():
    # Binary fractions: 0.375 / 0.5 is 0.75 and (0.845 - 0.25) / 0.5 is 1.19, both without a rounding.
    assert shunt(0.875, 0.5, 1, 0.5) and shunt(0.845, 0.25, 1, 0.5)


def test_the_heaviest_child_in_pounds_that_would_fit_is_suspected():
    # 55.11556554621939 lb are 25 kg to the last bit, and 25 kg at 100 cm is the highest index that passes.
    assert 55.11556554621939 * 0.45359237 == 25
    assert "pounds" in body_size.weight_fits_height({"height_cm": 100, "weight_kg": 55.11556554621939})


def test_an_uptake_is_refused_from_nought_down_and_taken_above():
    # 242.1 + 9.7 ln(age) - 34 ln(200) - 9.6 - 11.2 is 0.48 at an age of 0.0151 years and -0.04 at 0.0143.
    given = dict(weight_kg=200, body_surface_m2=2, single_ventricle=1, critical_illness=1)
    assert oxygen_uptake.oxygen_uptake_seckeler_ml_min(age_years=0.0151, **given) == pytest.approx(2 * 0.4845, abs=0.001)
    with pytest.raises(PvcalcError):
        oxygen_uptake.oxygen_uptake_seckeler_ml_min(age_years=0.0143, **given)

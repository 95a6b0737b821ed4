"""What follows from the measurements, each number by hand, and what is said when one is missing."""

import math

import pytest

from pvcalc.formulas.body_size import body_surface_m2
from pvcalc.formulas.valve_area import gorlin_area_cm2
from pvcalc.plan.derived import NAMES, derived

DATA = {"settings": {"velocity_window_m_s": 0.1}, "notes": {"velocity_window_m_s": {"seen": "read"}}}
MMHG = "\u00a0mmHg"


def parts(questions=(), **patient):
    """What is derived for a patient; whatever lists what is missing is told as one text."""
    return derived(DATA, {"questions": list(questions), **patient})


def texts(made):
    return [one["text"] for one in made.lines]


def test_with_nothing_known_every_value_is_blank_and_what_is_needed_is_told():
    made = parts()
    assert made.values == dict.fromkeys(NAMES) and made.lines == [] and made.warnings == []
    assert made.missing == ["right ventricular systolic pressure (measured, or tricuspid jet with right atrial pressure)", "height and weight, for the body surface"]


def test_a_velocity_of_4_gives_64_with_its_own_error():
    made = parts(doppler_velocity_m_s=4.0)
    # 4 × 3.9² = 60.84 and 4 × 4.1² = 67.24
    assert made.values["doppler_peak_mmhg"] == 64
    assert texts(made)[0] == (f"Peak Doppler gradient from 4 m/s: 64{MMHG}. The velocity's own error makes that 60.8 to 67.2 mmHg. "
                              "Doppler peak, not catheter peak-to-peak.")
    assert (made.lines[0]["formula"], made.lines[0]["seen"], made.lines[0]["chapter"]) == ("bernoulli_gradient_mmhg", "read", "assessment")


def test_a_given_peak_stands_before_the_velocity():
    made = parts(doppler_velocity_m_s=4.0, doppler_peak_mmhg=60)
    assert made.values["doppler_peak_mmhg"] == 60 and texts(made)[0] == f"Peak Doppler gradient, as given: 60{MMHG}."
    assert (made.lines[0]["formula"], made.lines[0]["seen"]) == ("", "")


def test_the_ventricle_as_measured_its_ratio_and_the_jet_that_disagrees():
    made = parts(rv_systolic_mmhg=80, systemic_systolic_mmhg=100)
    assert made.values["rv_systolic_mmhg"] == 80 and made.values["rv_systemic_ratio"] == 0.8
    assert texts(made)[:2] == [f"Right ventricular systolic pressure, as given: 80{MMHG}.",
                               "Right ventricular over systemic systolic pressure, 80 over 100 mmHg: 0.80. "
                               "Both under the same sedation; low systemic pressure under anaesthesia inflates it."]
    assert "systemic systolic pressure, for the ratio of the right ventricle to it" in parts(rv_systolic_mmhg=80).missing
    assert "systemic" not in " ".join(parts(systemic_systolic_mmhg=100).missing)


def test_a_jet_beside_a_measured_ventricle_is_kept_for_the_comparison():
    # 4 × 5² + 5 = 105
    made = parts(tr_velocity_m_s=5.0, ra_pressure_mmhg=5, rv_systolic_mmhg=80)
    assert made.values["rv_systolic_mmhg"] == 80 and made.jet_estimate_mmhg == 105 and made.warnings == []
    assert parts(rv_systolic_mmhg=80).jet_estimate_mmhg is None and parts(tr_velocity_m_s=5.0, rv_systolic_mmhg=80).jet_estimate_mmhg is None


def test_the_ventricle_by_the_jet_needs_the_atrium_and_a_valve_that_is_not_free():
    made = parts(tr_velocity_m_s=4, ra_pressure_mmhg=5)
    assert made.values["rv_systolic_mmhg"] == 69 and made.lines[0]["formula"] == "rv_systolic_pressure_mmhg"
    assert texts(made)[0] == (f"Right ventricular systolic pressure from the tricuspid jet of 4 m/s and a right atrial pressure of 5 mmHg: 69{MMHG}. "
                              "An estimate: in everyday practice from half below to two thirds above the measured pressure.")
    assert parts(tr_velocity_m_s=4, ra_pressure_mmhg=0).values["rv_systolic_mmhg"] == 64
    assert parts(tr_velocity_m_s=4, ra_pressure_mmhg=5, tricuspid_regurgitation="moderate").values["rv_systolic_mmhg"] == 69
    free = parts(tr_velocity_m_s=4, ra_pressure_mmhg=5, tricuspid_regurgitation="severe")
    assert free.values["rv_systolic_mmhg"] is None and free.missing[0].startswith("a measured right ventricular pressure; free tricuspid regurgitation")
    assert parts(tr_velocity_m_s=4).missing[0] == "right atrial pressure, for the right ventricular pressure from the tricuspid jet"
    assert parts(tr_velocity_m_s=4, tricuspid_regurgitation="mild").missing[0].startswith("right atrial pressure")
    assert parts(ra_pressure_mmhg=4).missing[0].startswith("right ventricular systolic pressure (measured")
    assert parts(tricuspid_regurgitation="severe").missing[0].startswith("right ventricular systolic pressure (measured")


def test_the_pulmonary_artery_as_given_or_the_ventricle_less_the_step():
    given = parts(pa_systolic_mmhg=20)
    assert given.values["pa_systolic_mmhg"] == 20 and texts(given)[0] == f"Pulmonary artery systolic pressure, as given: 20{MMHG}."
    made = parts(rv_systolic_mmhg=80, catheter_peak_to_peak_mmhg=55)
    assert made.values["pa_systolic_mmhg"] == 25 and made.warnings == []
    assert texts(made)[1] == f"Pulmonary artery systolic pressure, right ventricle less the catheter peak-to-peak gradient: 25{MMHG}."
    for one in (parts(catheter_peak_to_peak_mmhg=55), parts(rv_systolic_mmhg=80), parts(tr_velocity_m_s=4, ra_pressure_mmhg=5, catheter_peak_to_peak_mmhg=55)):
        assert one.values["pa_systolic_mmhg"] is None
    impossible = parts(rv_systolic_mmhg=50, catheter_peak_to_peak_mmhg=52)
    assert impossible.values["pa_systolic_mmhg"] is None and len(impossible.warnings) == 1


def test_the_steps_of_a_pull_back_and_what_the_valve_leaves_unexplained():
    made = parts(rv_systolic_mmhg=98, rvot_systolic_mmhg=60, pa_systolic_mmhg=22, catheter_peak_to_peak_mmhg=40)
    assert [made.values[name] for name in ("valve_gradient_mmhg", "subvalve_gradient_mmhg", "unexplained_mmhg")] == [38, 38, 60]
    plain = parts(rv_systolic_mmhg=62, pa_systolic_mmhg=19, catheter_peak_to_peak_mmhg=43)
    assert [plain.values[name] for name in ("valve_gradient_mmhg", "subvalve_gradient_mmhg", "unexplained_mmhg")] == [43, None, 19]
    # without a catheter's step the Doppler peak stands in, and the step at the valve stays unknown: 4 × 3² = 36
    echo = parts(rv_systolic_mmhg=80, doppler_velocity_m_s=3)
    assert [echo.values[name] for name in ("valve_gradient_mmhg", "unexplained_mmhg")] == [None, 44]
    assert parts(rv_systolic_mmhg=80).values["unexplained_mmhg"] is None and parts(catheter_peak_to_peak_mmhg=40).values["valve_gradient_mmhg"] == 40


def test_the_body_surface_waits_for_height_weight_and_answers():
    made = parts(height_cm=110, weight_kg=18)
    # Haycock: 0.024265 × 18^0.5378 × 110^0.3964
    haycock = 0.024265 * 18 ** 0.5378 * 110 ** 0.3964
    assert made.values["body_surface_m2"] == pytest.approx(haycock, rel=1e-12) == body_surface_m2(height_cm=110, weight_kg=18, by="haycock")
    assert texts(made)[0] == f"Body surface by Haycock from 110 cm and 18 kg: {haycock:.2f}\u00a0m²."
    assert (made.lines[0]["formula"], made.lines[0]["seen"], made.lines[0]["chapter"]) == ("body_surface_m2", "read", "sizing")
    assert parts(height_cm=110).missing[-1] == "weight, for the body surface" and parts(weight_kg=18).missing[-1] == "height, for the body surface"
    held = parts(["Is that so?"], height_cm=110, weight_kg=18)
    assert held.values["body_surface_m2"] is None and held.missing[-1].startswith("an answer to the question about age, height and weight")


def test_the_output_gives_an_index_and_a_stroke_volume():
    made = parts(height_cm=110, weight_kg=18, output_l_min=3.0, heart_rate_bpm=100, duct="closed", catheter_mean_mmhg=36)
    haycock = 0.024265 * 18 ** 0.5378 * 110 ** 0.3964
    assert made.values["cardiac_index_l_min_m2"] == pytest.approx(3 / haycock) and made.values["stroke_volume_ml"] == pytest.approx(30)
    assert "Stroke volume: 30\u00a0mL." in texts(made) and any(text.startswith("Cardiac index: ") for text in texts(made))
    lone = parts(output_l_min=3.0, heart_rate_bpm=100)
    assert lone.values["cardiac_index_l_min_m2"] is None and lone.values["stroke_volume_ml"] == pytest.approx(30)
    assert "heart rate, for the stroke volume" in parts(output_l_min=3.0).missing and "heart rate, for the stroke volume" not in parts(heart_rate_bpm=90).missing


FLOW = {"output_l_min": 3.0, "catheter_mean_mmhg": 36, "duct": "closed", "heart_rate_bpm": 100, "ejection_period_s": 0.3}


def test_the_valve_area_by_gorlin_and_for_the_body_surface():
    made = parts(**FLOW, height_cm=110, weight_kg=18)
    # 3000 mL over 100 × 0.3 s is 100 mL/s; over 44.3 times the root of 36
    area = 100 / (44.3 * 6)
    assert made.values["valve_area_cm2"] == pytest.approx(area) and made.values["valve_area_index_cm2_m2"] == pytest.approx(area / made.values["body_surface_m2"])
    told = next(text for text in texts(made) if text.startswith("Valve area by"))
    assert told == ("Valve area by Gorlin, from 3 L/min across the valve and a catheter mean gradient of 36 mmHg: 0.38\u00a0cm². "
                    "No document grades this valve by its area.")
    assert any(text.startswith("Valve area for the body surface: ") for text in texts(made)) and "Hakki" not in " ".join(texts(made))
    assert parts(**FLOW).values["valve_area_index_cm2_m2"] is None and made.warnings == []
    # 36 mmHg over 100 mL/s, and 1333.22 dyn/cm² a mmHg
    assert made.values["valve_resistance_dyn_s_cm5"] == pytest.approx(36 / 100 * 1333.22, rel=1e-3)
    refused = parts(**{**FLOW, "ejection_period_s": 0.7})
    assert refused.values["valve_area_cm2"] is None and refused.missing[-1].startswith("a valve area: ") and not math.isnan(refused.values["stroke_volume_ml"])


def without(**change):
    return {name: value for name, value in {**FLOW, **change}.items() if value is not None}


@pytest.mark.parametrize("change, said", [
    ({"output_l_min": None}, "the flow across the valve, for its area"), ({"catheter_mean_mmhg": None}, "catheter mean gradient, for the valve area and resistance"),
    ({"ejection_period_s": None}, "ejection period, for the valve area and resistance"), ({"heart_rate_bpm": None}, "heart rate, for the valve area and resistance"),
    ({"heart_rate_bpm": None, "ejection_period_s": None}, "heart rate and ejection period, for the valve area"),
    ({"duct": "open"}, "a valve area: with a duct or shunt that is open"), ({"duct": None}, "a valve area: with a duct or shunt that is open"),
    ({"duct": "stented"}, "a valve area: with a duct or shunt that is open"), ({"aortopulmonary_shunt": "yes"}, "a valve area: with a duct or shunt that is open"),
    ({"atrial_gap": "right_to_left"}, "the flow across the valve, for its area: with a shunt it is the lung flow"),
    ({"atrial_gap": "left_to_right"}, "the flow across the valve, for its area: with a shunt it is the lung flow"),
    ({"septal_defect": "yes"}, "the flow across the valve, for its area: with a shunt it is the lung flow")])
def test_no_area_without_its_flow_gradient_ejection_and_a_closed_duct(change, said):
    made = parts(**without(**change))
    about_the_area = [text for text in made.missing if "area" in text]
    assert made.values["valve_area_cm2"] is None and len(about_the_area) == 1 and about_the_area[0].startswith(said)


def test_no_output_and_no_mean_ask_for_no_area():
    assert not any("area" in text for text in parts(duct="closed").missing)


def test_with_a_shunt_the_lung_flow_crosses_the_valve():
    # twice the systemic flow crosses, and the area is twice as large
    for gap in ("right_to_left", "left_to_right", "none"):
        made = parts(**FLOW, lung_flow_l_min=6.0, atrial_gap=gap)
        assert made.values["valve_area_cm2"] == pytest.approx(2 * 100 / (44.3 * 6)) and made.values["qp_qs_ratio"] == 2
    assert "Cardiac index, about (oxygen uptake assumed): " in " ".join(texts(parts(**FLOW, oxygen_uptake="assumed", height_cm=110, weight_kg=18)))
    for grade in ("moderate", "severe"):
        assert parts(**FLOW, pulmonary_regurgitation=grade).warnings == [f"With {grade} pulmonary regurgitation the area from net flow is too small."]
    assert parts(**FLOW, pulmonary_regurgitation="mild").warnings == []

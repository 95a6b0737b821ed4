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


# 4 × 4² + 5 = 69, 4 × 5² + 5 = 105; a quarter of 80 is 20, of 84 is 21, of 140 is 35.
@pytest.mark.parametrize("jet, measured, odd", [(4.0, 80, False), (5.0, 80, True), (5.0, 84, False), (5.0, 83, True), (5.0, 140, False), (5.0, 141, True), (4.0, 69, False)])
def test_a_jet_more_than_a_quarter_of_the_measured_pressure_away_is_warned_of(jet, measured, odd):
    made = parts(tr_velocity_m_s=jet, ra_pressure_mmhg=5, rv_systolic_mmhg=measured)
    assert made.values["rv_systolic_mmhg"] == measured and bool(made.warnings) is odd
    if odd:
        assert made.warnings == [f"The tricuspid jet gives 105 mmHg, the measured right ventricular pressure is {measured} mmHg: sedation, angle or zero line?"]


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


@pytest.mark.parametrize("artery, step, second_level", [(20, 49, True), (20, 50, False), (20, 55, False), (21, 49, False), (20, None, False)])
def test_a_fall_ten_greater_than_the_step_asks_for_a_second_level(artery, step, second_level):
    given = {"rv_systolic_mmhg": 80, "pa_systolic_mmhg": artery, **({} if step is None else {"catheter_peak_to_peak_mmhg": step})}
    told = parts(**given).warnings
    assert told == (["Right ventricle less pulmonary artery is 60 mmHg, the catheter peak-to-peak gradient 49 mmHg: is there a second level? Pull back in two steps."]
                    if second_level else [])
    assert parts(pa_systolic_mmhg=artery, catheter_peak_to_peak_mmhg=step or 1).warnings == []


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


FLOW = {"output_l_min": 3.0, "catheter_mean_mmhg": 36, "duct": "closed"}


def test_the_valve_area_by_hakki_and_for_the_body_surface():
    made = parts(**FLOW, height_cm=110, weight_kg=18)
    # Hakki: 3 L/min over the root of 36
    assert made.values["valve_area_cm2"] == pytest.approx(0.5) and made.values["valve_area_index_cm2_m2"] == pytest.approx(0.5 / made.values["body_surface_m2"])
    told = next(text for text in texts(made) if text.startswith("Valve area by"))
    assert told == (f"Valve area by Hakki, from 3 L/min across the valve and a catheter mean gradient of 36 mmHg: 0.50\u00a0cm². "
                    f"Gorlin's constant is recalled here, so {gorlin_area_cm2.name} is not computed in a plan.")
    assert any(text.startswith("Valve area for the body surface: ") for text in texts(made))
    assert parts(**FLOW).values["valve_area_index_cm2_m2"] is None and made.warnings == []


@pytest.mark.parametrize("change, said", [
    ({"output_l_min": None}, "the flow across the valve, for its area"), ({"catheter_mean_mmhg": None}, "the catheter mean gradient, for the valve area"),
    ({"duct": "open"}, "a valve area: with a duct that is open or not stated"), ({"duct": None}, "a valve area: with a duct that is open or not stated")])
def test_no_area_without_flow_gradient_and_a_closed_duct(change, said):
    given = {name: value for name, value in {**FLOW, **change}.items() if value is not None}
    made = parts(**given)
    about_the_area = [text for text in made.missing if "area" in text]
    assert made.values["valve_area_cm2"] is None and len(about_the_area) == 1 and about_the_area[0].startswith(said)


def test_no_output_and_no_mean_ask_for_no_area():
    assert not any("area" in text for text in parts(duct="closed").missing)


def test_flow_that_goes_elsewhere_is_warned_of():
    assert any(text.startswith("Flow crosses the atrial gap from right to left") for text in parts(**FLOW, atrial_gap="right_to_left").warnings)
    assert parts(**FLOW, atrial_gap="left_to_right").warnings == [] == parts(**FLOW, pulmonary_regurgitation="mild").warnings
    for grade in ("moderate", "severe"):
        assert parts(**FLOW, pulmonary_regurgitation=grade).warnings == [f"With {grade} pulmonary regurgitation the area from net flow is too small."]


def test_the_valve_resistance_needs_rate_and_ejection():
    made = parts(**FLOW, heart_rate_bpm=100, ejection_period_s=0.3)
    # Flow during ejection: 3000 mL over 100 × 0.3 s is 100 mL/s; 36 mmHg over 100 mL/s, and 1333.22 dyn/cm² a mmHg.
    assert made.values["valve_resistance_dyn_s_cm5"] == pytest.approx(36 / 100 * 1333.22, rel=1e-3)
    assert "heart rate and ejection period, for the valve resistance" in parts(**FLOW).missing
    assert "ejection period, for the valve resistance" in parts(**FLOW, heart_rate_bpm=100).missing
    assert "heart rate, for the valve resistance" in parts(**FLOW, ejection_period_s=0.3).missing
    refused = parts(**FLOW, heart_rate_bpm=100, ejection_period_s=0.7)
    assert refused.values["valve_resistance_dyn_s_cm5"] is None and refused.missing[-1].startswith("a valve resistance: ") and not math.isnan(refused.values["stroke_volume_ml"])

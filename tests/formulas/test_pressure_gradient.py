"""Gradients, pressures and balloon mechanics: values worked by hand, and the rules between fields."""

import math

import pytest

from pvcalc.core import formula as core
from pvcalc.core.errors import NoResult
from pvcalc.formulas import pressure_gradient
from pvcalc.formulas.pressure_gradient import (
    bernoulli_gradient_mmhg, bernoulli_gradient_proximal_mmhg, catheter_instantaneous_ceiling_mmhg,
    gradient_fall_percent, ivc_collapse_percent, pa_diastolic_pressure_mmhg, pa_systolic_pressure_mmhg,
    pressure_recovery_mmhg, rv_systemic_ratio, rv_systolic_pressure_mmhg,
)
from pvcalc.sizing.balloon import balloon_volume_ml, french_mm, pressure_kpa, wall_stress_mpa, wire_mm


@pytest.mark.parametrize("made, inputs, by_hand", [
    (bernoulli_gradient_mmhg, {"velocity_m_s": 2.5}, 25),
    (bernoulli_gradient_proximal_mmhg, {"velocity_m_s": 4, "proximal_velocity_m_s": 1.5}, 64 - 9),
    (rv_systolic_pressure_mmhg, {"tr_velocity_m_s": 3.5, "ra_pressure_mmhg": 8}, 49 + 8),
    (pa_diastolic_pressure_mmhg, {"pr_end_velocity_m_s": 1.5, "ra_pressure_mmhg": 6}, 9 + 6),
    (pa_systolic_pressure_mmhg, {"rv_systolic_mmhg": 90, "gradient_mmhg": 68, "gradient_kind": "peak_to_peak"}, 22),
    (ivc_collapse_percent, {"ivc_max_mm": 20, "ivc_min_mm": 9}, 55),
    (ivc_collapse_percent, {"ivc_max_mm": 21, "ivc_min_mm": 10.5}, 50),
    (catheter_instantaneous_ceiling_mmhg, {"peak_to_peak_mmhg": 50, "pa_pulse_pressure_mmhg": 13}, 63),
    (pressure_recovery_mmhg, {"velocity_m_s": 5, "effective_area_cm2": 1, "vessel_area_cm2": 4}, 100 * 2 * 3 / 16),
    (gradient_fall_percent, {"before_mmhg": 80, "after_mmhg": 20}, 75),
    (gradient_fall_percent, {"before_mmhg": 40, "after_mmhg": 50}, -25),
    (rv_systemic_ratio, {"rv_systolic_mmhg": 75, "systemic_systolic_mmhg": 100}, 0.75),
    (wall_stress_mpa, {"pressure_atm": 10, "diameter_mm": 8, "wall_mm": 0.05}, 1.01325 * 80),
    (pressure_kpa, {"pressure_atm": 6}, 607.95),
    (french_mm, {"french": 21}, 7),
    (wire_mm, {"wire_inch": 0.05}, 1.27)])
def test_by_hand(made, inputs, by_hand):
    assert made(**inputs) == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize("width, length, shoulder, over", [(10, 20, 6, 7.9), (14, 30, 8, 4.0), (20, 40, 11, 2.0),
                                                          (30, 40, 15, 1.0)])
def test_the_shaft_that_is_not_taken_off(width, length, shoulder, over):
    volume = balloon_volume_ml(diameter_mm=width, length_mm=length, shoulder_mm=shoulder, shaft_mm=2.5)
    shaft = math.pi / 4 * 2.5 * 2.5 * (length + 2 * shoulder) / 1000
    assert 100 * shaft / volume == pytest.approx(over, abs=0.0501)


def test_the_two_identities_of_pressure_recovery():
    velocity, share = 4.2, 0.3
    kinetic = 4 * velocity * velocity
    regained = pressure_recovery_mmhg(velocity_m_s=velocity, effective_area_cm2=share, vessel_area_cm2=1)
    assert kinetic - regained == pytest.approx(kinetic * (1 - 2 * share + 2 * share * share), rel=1e-12)
    total_loss = kinetic * (1 - share) * (1 - share)
    assert kinetic - regained == pytest.approx(total_loss + kinetic * share * share, rel=1e-12)


def test_the_ceiling_holds_for_any_two_traces():
    rv = [5, 30, 60, 85, 90, 70, 40, 10]
    pa = [12, 13, 18, 24, 25, 22, 16, 12]
    instantaneous = max(a - b for a, b in zip(rv, pa))
    ceiling = catheter_instantaneous_ceiling_mmhg(peak_to_peak_mmhg=max(rv) - max(pa),
                                                  pa_pulse_pressure_mmhg=max(pa) - min(pa))
    assert max(rv) - max(pa) <= instantaneous <= ceiling


@pytest.mark.parametrize("made, inputs, field", [
    (bernoulli_gradient_proximal_mmhg, {"velocity_m_s": 2, "proximal_velocity_m_s": 2}, "proximal_velocity_m_s"),
    (bernoulli_gradient_proximal_mmhg, {"velocity_m_s": 2, "proximal_velocity_m_s": 2.5}, "proximal_velocity_m_s"),
    (ivc_collapse_percent, {"ivc_max_mm": 20, "ivc_min_mm": 20.1}, "ivc_min_mm"),
    (pressure_recovery_mmhg, {"velocity_m_s": 3, "effective_area_cm2": 2.01, "vessel_area_cm2": 2}, ""),
    (pa_systolic_pressure_mmhg, {"rv_systolic_mmhg": 40, "gradient_mmhg": 40.1, "gradient_kind": "peak_to_peak"}, ""),
    (pa_systolic_pressure_mmhg, {"rv_systolic_mmhg": 40, "gradient_mmhg": 64, "gradient_kind": "instantaneous"}, ""),
    (balloon_volume_ml, {"diameter_mm": 2.5, "length_mm": 20, "shoulder_mm": 5, "shaft_mm": 2.5}, "shaft_mm")])
def test_two_values_in_each_others_place_are_refused(made, inputs, field):
    with pytest.raises(NoResult) as caught:
        made(**inputs)
    assert caught.value.faults[0][0] == field and caught.value.faults[0][1].endswith((".", "?"))


@pytest.mark.parametrize("made, inputs, result", [
    (bernoulli_gradient_proximal_mmhg, {"velocity_m_s": 2.5, "proximal_velocity_m_s": 2.4}, 1.96),
    (ivc_collapse_percent, {"ivc_max_mm": 20, "ivc_min_mm": 20}, 0),
    (pressure_recovery_mmhg, {"velocity_m_s": 3, "effective_area_cm2": 2, "vessel_area_cm2": 2}, 0),
    (pa_systolic_pressure_mmhg, {"rv_systolic_mmhg": 40, "gradient_mmhg": 40, "gradient_kind": "peak_to_peak"}, 0),
    (balloon_volume_ml, {"diameter_mm": 2.6, "length_mm": 20, "shoulder_mm": 0, "shaft_mm": 2.5},
     math.pi / 4 * 2.6 * 2.6 * 20 / 1000)])
def test_the_edge_of_such_a_rule_is_taken(made, inputs, result):
    assert made(**inputs) == pytest.approx(result, rel=1e-9, abs=1e-12)


def test_an_instantaneous_gradient_gives_a_lower_bound_and_says_so():
    asked = {"rv_systolic_mmhg": 80, "gradient_mmhg": 64}
    bound = core.run("pa_systolic_pressure_mmhg", {**asked, "gradient_kind": "instantaneous"})
    exact = core.run("pa_systolic_pressure_mmhg", {**asked, "gradient_kind": "peak_to_peak"})
    assert bound["value"] == exact["value"] == 16
    assert len(bound["asks"]) == 1 and "at least" in bound["asks"][0] and exact["asks"] == []
    assert pressure_gradient.bound_words("instantaneous") == "at least" and pressure_gradient.bound_words("peak_to_peak") == ""
    missing = core.run("pa_systolic_pressure_mmhg", asked)
    assert not missing["ok"] and missing["faults"][0][0] == "gradient_kind"


def test_a_velocity_in_centimetres_is_asked_about():
    answer = core.run("bernoulli_gradient_mmhg", {"velocity_m_s": "400"})
    assert answer["faults"][0][1].endswith("typed in cm/s (4\u00a0m/s)?")


def test_just_under_four_metres_a_second_is_not_rounded_before_it_is_judged():
    assert bernoulli_gradient_mmhg(velocity_m_s=3.999) < 64 == bernoulli_gradient_mmhg(velocity_m_s=4)
    assert bernoulli_gradient_mmhg(velocity_m_s=4.001) > 64


def test_kilopascals_are_asked_about():
    assert "typed in kPa (4" in core.run("pressure_kpa", {"pressure_atm": 405})["faults"][0][1]


@pytest.mark.parametrize("made", [french_mm, wire_mm])
def test_thin_things_are_shown_with_enough_digits(made):
    shown = {"french_mm": made.shown(5 / 3), "wire_mm": made.shown(0.3556)}[made.name]
    assert shown == {"french_mm": "1.67\u00a0mm", "wire_mm": "0.356\u00a0mm"}[made.name]

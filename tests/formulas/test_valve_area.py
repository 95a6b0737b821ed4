"""Valve areas: closed forms, energy balance by units, and the traps of rate, flow and damping."""

import math

import pytest
from pint import get_application_registry
from scipy.integrate import quad

from pvcalc.formulas import flow, pressure_gradient, resistance, valve_area
from tests.helpers.edges import asked, assert_ranges, fault

UNITS = get_application_registry()
GORLIN = dict(transvalvar_flow_l_min=5, heart_rate_bpm=75, ejection_period_s=0.336, mean_gradient_mmhg=18.3)
HAKKI = dict(transvalvar_flow_l_min=5, mean_gradient_mmhg=18.3)
ECHO = dict(outflow_diameter_mm=20, outflow_vti_cm=18, jet_vti_cm=90)


def test_gorlin_constant_is_the_root_of_twice_gravity():
    area = valve_area.gorlin_area_cm2(transvalvar_flow_l_min=6, heart_rate_bpm=100, ejection_period_s=0.3, mean_gradient_mmhg=25)
    assert 200 / 5 / area == pytest.approx(math.sqrt(2 * 980), abs=0.05)
    assert 200 / 5 / area == pytest.approx(44.3, rel=1e-12)


def test_gorlin_and_the_orifice_of_a_half_sine_flow_differ_by_the_closed_form():
    stroke_ml, period_s, orifice = 66.7, 0.33, 0.6
    peak = stroke_ml * math.pi / (2 * period_s)
    assert peak == pytest.approx(317.3, abs=0.3)
    constant = math.sqrt(2 * 1333.22 / 1.06)
    mean_gradient = quad(lambda t: (peak * math.sin(math.pi * t / period_s) / (constant * orifice)) ** 2, 0, period_s)[0] / period_s
    assert mean_gradient == pytest.approx(55.6, abs=0.15)
    gorlin = valve_area.gorlin_area_cm2(transvalvar_flow_l_min=stroke_ml * 75 / 1000, heart_rate_bpm=75, ejection_period_s=period_s,
                                        mean_gradient_mmhg=mean_gradient)
    assert gorlin / orifice == pytest.approx(1.132 * 0.9003, abs=0.001)
    assert valve_area.orifice_area_cm2(flow_ml_s=peak, gradient_mmhg=2 * mean_gradient) == pytest.approx(orifice, rel=1e-9)


def test_a_damped_trace_makes_the_area_too_large_by_a_third():
    true, damped = (valve_area.gorlin_area_cm2(**{**GORLIN, "mean_gradient_mmhg": mean}) for mean in (43.2, 24.2))
    assert damped / true == pytest.approx(1.34, abs=0.005)


def test_hakki_is_gorlin_where_rate_times_period_is_1000_over_44_3_and_drifts_with_the_rate():
    at_rest = dict(heart_rate_bpm=75, ejection_period_s=1000 / 44.3 / 75)
    assert valve_area.hakki_area_cm2(**HAKKI) == pytest.approx(valve_area.gorlin_area_cm2(**HAKKI, **at_rest), rel=1e-12)
    fast = valve_area.gorlin_area_cm2(**HAKKI, heart_rate_bpm=130, ejection_period_s=0.25)
    assert valve_area.hakki_area_cm2(**HAKKI) / fast > 1.4


def test_peak_to_peak_instead_of_mean_makes_hakki_much_smaller():
    mean, peak_to_peak = (valve_area.hakki_area_cm2(transvalvar_flow_l_min=5, mean_gradient_mmhg=g) for g in (42.1, 70.9))
    assert round(mean, 2) == 0.77 and round(peak_to_peak, 2) == 0.59


def test_net_flow_instead_of_forward_flow_calls_a_leaking_valve_narrow():
    net, forward = (valve_area.gorlin_area_cm2(**{**GORLIN, "transvalvar_flow_l_min": q}) for q in (3, 5))
    assert net / forward == pytest.approx(0.6, rel=1e-12)


def test_orifice_law_by_units():
    speed = (2 * UNITS.Quantity(49, "mmHg") / UNITS.Quantity(1.06, "g/cm**3")) ** 0.5
    area = UNITS.Quantity(300, "mL/s") / speed
    ours = valve_area.orifice_area_cm2(flow_ml_s=300, gradient_mmhg=49)
    assert ours == pytest.approx(area.to("cm**2").magnitude, rel=1e-5)
    assert 300 / 7 / ours == pytest.approx(50.15, abs=0.005)
    assert 300 / 7 / ours == pytest.approx(math.sqrt(2 * 1333.22 / 1.06), rel=1e-12)


def test_orifice_law_agrees_with_four_v_squared_to_its_rounding():
    area, speed = 0.5, 4.0
    simple = pressure_gradient.bernoulli_gradient_mmhg(velocity_m_s=speed)
    assert valve_area.orifice_area_cm2(flow_ml_s=area * speed * 100, gradient_mmhg=simple) == pytest.approx(area, rel=0.004)


def test_continuity_is_volume_over_jet_integral():
    volume = flow.stroke_volume_ml(output_l_min=math.pi * 18 * 75 / 1000, heart_rate_bpm=75)
    assert valve_area.continuity_area_cm2(**ECHO) == pytest.approx(volume / 90, rel=1e-12)


@pytest.mark.parametrize("volume, jet, printed, right", [(34, 120, "0.28", True), (46, 188, "0.38", False), (46, 120, "0.38", True)])
def test_printed_orifices_of_a_leaking_mitral_valve_one_of_them_wrong(volume, jet, printed, right):
    inputs = dict(outflow_diameter_mm=20, outflow_vti_cm=volume / math.pi, jet_vti_cm=jet)
    assert (abs(valve_area.continuity_area_cm2(**inputs) - float(printed)) <= 0.005) == right
    assert valve_area.continuity_area_cm2(**inputs) == pytest.approx(volume / jet, rel=1e-12)


@pytest.mark.parametrize("diameter, integral, printed", [(35, 10, 96), (20, 20, 62), (25, 25, 122), (35, 8, 76)])
def test_printed_volumes_of_annulus_times_integral(diameter, integral, printed):
    volume = 2 * valve_area.continuity_area_cm2(outflow_diameter_mm=diameter, outflow_vti_cm=integral, jet_vti_cm=2)
    assert math.floor(volume) == printed  # the slides cut the decimals off


def test_resistance_by_units_and_as_eighty_times_wood_units_of_the_open_valve():
    inputs = dict(mean_gradient_mmhg=42.1, transvalvar_flow_l_min=5, heart_rate_bpm=75, ejection_period_s=0.367)
    drop = UNITS.Quantity(42.1, "mmHg") / UNITS.Quantity(5000 / (75 * 0.367), "mL/s")
    ours = valve_area.valve_resistance_dyn_s_cm5(**inputs)
    assert ours == pytest.approx(drop.to("dyn * s / cm**5").magnitude, rel=1e-5)
    assert ours == pytest.approx(1333.22 * 42.1 * 75 * 0.367 / 5000, rel=1e-12)
    wood = 42.1 / (5 / (75 * 0.367 / 60))
    assert ours == pytest.approx(resistance.resistance_dyn_s_cm5(resistance_wu=wood), rel=1e-3)


def test_energy_loss_area_is_the_valve_seen_after_recovery():
    effective, vessel, speed = 0.6, 6.0, 4.0
    larger = valve_area.energy_loss_area_cm2(effective_area_cm2=effective, vessel_area_cm2=vessel)
    assert 1 / larger == pytest.approx(1 / effective - 1 / vessel, rel=1e-12)
    share = effective / vessel
    assert (effective / larger) ** 2 == pytest.approx((1 - share) ** 2, rel=1e-12)
    recovered = pressure_gradient.pressure_recovery_mmhg(velocity_m_s=speed, effective_area_cm2=effective, vessel_area_cm2=vessel)
    static_drop = pressure_gradient.bernoulli_gradient_mmhg(velocity_m_s=speed) - recovered
    total_loss = pressure_gradient.bernoulli_gradient_mmhg(velocity_m_s=speed) * (effective / larger) ** 2
    assert static_drop - total_loss == pytest.approx(4 * speed ** 2 * share ** 2, rel=1e-9)


def test_energy_loss_needs_a_wider_vessel():
    assert "wider" in fault(valve_area.energy_loss_area_cm2, dict(effective_area_cm2=2, vessel_area_cm2=2))
    assert valve_area.energy_loss_area_cm2(effective_area_cm2=2, vessel_area_cm2=2.01) > 100
    assert "wider" in fault(valve_area.energy_loss_area_cm2, dict(effective_area_cm2=2.1, vessel_area_cm2=2))


def test_index():
    assert valve_area.valve_area_index_cm2_m2(area_cm2=0.3, body_surface_m2=0.6) == 0.5


def test_ejection_as_long_as_the_beat_is_refused():
    beat = {**GORLIN, "heart_rate_bpm": 150}
    resistance = {**beat}
    assert "whole beat" in fault(valve_area.gorlin_area_cm2, {**beat, "ejection_period_s": 0.4})
    assert "whole beat" in fault(valve_area.valve_resistance_dyn_s_cm5, {**resistance, "ejection_period_s": 0.4})
    assert valve_area.gorlin_area_cm2(**{**beat, "ejection_period_s": 0.399}) > 0


@pytest.mark.parametrize("period, odd", [(0.159, True), (0.161, False), (0.519, False), (0.521, True)])
def test_an_unusual_share_of_the_beat_is_questioned(period, odd):
    inputs = {**GORLIN, "ejection_period_s": period}
    assert bool(asked(valve_area.gorlin_area_cm2, inputs)) == odd
    assert bool(asked(valve_area.valve_resistance_dyn_s_cm5, inputs)) == odd


@pytest.mark.parametrize("rate, period", [(60, 0.2), (50, 0.24), (60, 0.65)])
def test_the_edges_of_the_usual_share_are_usual(rate, period):
    assert asked(valve_area.gorlin_area_cm2, {**GORLIN, "heart_rate_bpm": rate, "ejection_period_s": period}) == ""


def test_constants_say_how_they_were_seen():
    assert valve_area.gorlin_area_cm2.seen == "derived" and math.sqrt(2 * 980) == pytest.approx(valve_area.GORLIN_CONSTANT, abs=0.05)
    assert valve_area.energy_loss_area_cm2.seen == "read"


@pytest.mark.parametrize("made", [valve_area.gorlin_area_cm2, valve_area.hakki_area_cm2])
def test_the_cautions_about_duct_and_regurgitation_stand_in_the_text(made):
    text = made.function.__doc__
    assert "Not for: an open arterial duct" in text and "moderate or more" in text


def test_ranges():
    timed = dict(transvalvar_flow_l_min=(0.1, 15), heart_rate_bpm=(30, 220), ejection_period_s=(0.08, 0.7), mean_gradient_mmhg=(1, 200))
    calm = {**GORLIN, "heart_rate_bpm": 75}
    assert_ranges(valve_area.gorlin_area_cm2, calm, timed)
    assert_ranges(valve_area.valve_resistance_dyn_s_cm5, calm, timed)
    assert_ranges(valve_area.hakki_area_cm2, HAKKI, dict(transvalvar_flow_l_min=(0.1, 15), mean_gradient_mmhg=(1, 200)))
    assert_ranges(valve_area.continuity_area_cm2, ECHO, dict(outflow_diameter_mm=(2, 50), outflow_vti_cm=(1, 60), jet_vti_cm=(2, 300)))
    assert_ranges(valve_area.orifice_area_cm2, dict(flow_ml_s=300, gradient_mmhg=49), dict(flow_ml_s=(1, 1500), gradient_mmhg=(0.5, 300)))
    assert_ranges(valve_area.energy_loss_area_cm2, dict(effective_area_cm2=0.6, vessel_area_cm2=6), dict(
        effective_area_cm2=(0.02, 10), vessel_area_cm2=(0.1, 20)))
    assert_ranges(valve_area.valve_area_index_cm2_m2, dict(area_cm2=0.6, body_surface_m2=1), dict(
        area_cm2=(0.02, 10), body_surface_m2=(0.1, 3.5)))

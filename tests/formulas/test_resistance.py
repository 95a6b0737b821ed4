"""Resistances against another library's units."""

import pytest
from pint import get_application_registry

from pvcalc.formulas import simulation, resistance
from tests.helpers.edges import assert_ranges, fault

UNITS = get_application_registry()
LUNGS = dict(mean_pa_mmhg=15, wedge_mmhg=5, flow_l_min=6)
BODY = dict(mean_arterial_mmhg=93, mean_ra_mmhg=3, flow_l_min=5)


def test_eighty_is_the_trades_rounding_of_79_993():
    exact = UNITS.Quantity(1, "mmHg * min / L").to("dyn * s / cm**5").magnitude
    assert exact == pytest.approx(79.993, abs=0.001)
    assert resistance.resistance_dyn_s_cm5(resistance_wu=1) == 80
    assert resistance.resistance_dyn_s_cm5(resistance_wu=1) == pytest.approx(exact, rel=1e-4)


def test_the_lungs_of_the_simulated_circulation_have_about_one_wood_unit():
    lungs = UNITS.Quantity(simulation.LUNG_MMHG_S_ML, "mmHg * s / mL").to("mmHg * min / L").magnitude
    # Normal is below two Wood units (the definition of raised resistance since 2022), and above a half.
    assert lungs == pytest.approx(simulation.LUNG_MMHG_S_ML * 1000 / 60, rel=1e-12) and 0.5 < lungs < 2


def test_pulmonary_and_systemic_resistance():
    assert resistance.pulmonary_resistance_wu(**LUNGS) == pytest.approx(10 / 6, rel=1e-12)
    assert resistance.systemic_resistance_wu(**BODY) == pytest.approx(18, rel=1e-12)
    drop = UNITS.Quantity(10, "mmHg") / UNITS.Quantity(6, "L/min")
    assert drop.to("mmHg * min / L").magnitude == pytest.approx(resistance.pulmonary_resistance_wu(**LUNGS), rel=1e-12)


def test_pressures_in_the_wrong_order_are_refused_and_equal_ones_give_none():
    assert "wedge" in fault(resistance.pulmonary_resistance_wu, {**LUNGS, "wedge_mmhg": 15.1})
    assert resistance.pulmonary_resistance_wu(**{**LUNGS, "wedge_mmhg": 15}) == 0
    assert "right atrial" in fault(resistance.systemic_resistance_wu, {**BODY, "mean_arterial_mmhg": 30, "mean_ra_mmhg": 30.1})
    assert resistance.systemic_resistance_wu(**{**BODY, "mean_arterial_mmhg": 30, "mean_ra_mmhg": 30}) == 0


def test_indexed_resistance_is_pressure_over_flow_index_and_not_divided_by_surface():
    surface = 0.25
    plain = resistance.pulmonary_resistance_wu(**{**LUNGS, "flow_l_min": 0.8})
    over_index = 10 / (0.8 / surface)
    assert resistance.indexed_resistance_wu_m2(resistance_wu=plain, body_surface_m2=surface) == pytest.approx(over_index, rel=1e-12)
    assert resistance.indexed_resistance_wu_m2(resistance_wu=plain, body_surface_m2=surface) < plain


def test_mean_pressure_counts_diastole_twice():
    assert resistance.mean_pressure_mmhg(systolic_mmhg=64, diastolic_mmhg=31) == pytest.approx((64 + 2 * 31) / 3, rel=1e-12)
    assert resistance.mean_pressure_mmhg(systolic_mmhg=40, diastolic_mmhg=40) == 40
    assert "exchanged" in fault(resistance.mean_pressure_mmhg, dict(systolic_mmhg=40, diastolic_mmhg=40.1))


def test_kilopascals_are_named_as_the_slip():
    mean_kpa = UNITS.Quantity(12.4, "kPa")
    assert mean_kpa.to("mmHg").magnitude == pytest.approx(93, abs=0.1)
    assert "kPa" in fault(resistance.systemic_resistance_wu, {**BODY, "mean_arterial_mmhg": 9.3})


def test_ranges():
    assert_ranges(resistance.pulmonary_resistance_wu, LUNGS, dict(mean_pa_mmhg=(1, 150), wedge_mmhg=(0, 60), flow_l_min=(0.1, 20)))
    assert_ranges(resistance.systemic_resistance_wu, BODY, dict(mean_arterial_mmhg=(10, 200), mean_ra_mmhg=(-5, 40), flow_l_min=(0.1, 20)))
    assert_ranges(resistance.indexed_resistance_wu_m2, dict(resistance_wu=2, body_surface_m2=1), dict(resistance_wu=(0, 100), body_surface_m2=(0.1, 3.5)))
    assert_ranges(resistance.resistance_dyn_s_cm5, dict(resistance_wu=2), dict(resistance_wu=(0, 100)))
    assert_ranges(resistance.mean_pressure_mmhg, dict(systolic_mmhg=120, diastolic_mmhg=80), dict(systolic_mmhg=(1, 300), diastolic_mmhg=(0, 200)))

"""Measures of the leak: second forms, order of the two numbers, the published anchor points."""

import math

import pytest

from pvcalc.formulas import regurgitation
from tests.helpers.edges import assert_ranges, fault


def test_fraction_from_two_ventricles_is_the_same_sum():
    right, left = 120.0, 75.0
    assert regurgitation.regurgitant_fraction_percent(forward_ml=right, reverse_ml=right - left) == pytest.approx(100 * (1 - left / right))
    assert regurgitation.regurgitant_fraction_percent(forward_ml=80, reverse_ml=0) == 0


@pytest.mark.parametrize("annulus_mm, integral, outflow_mm, outflow_integral, percent", [(35, 10, 20, 20, 34.7), (25, 25, 35, 8, 37.3)])
def test_fraction_from_annulus_areas(annulus_mm, integral, outflow_mm, outflow_integral, percent):
    valve, other = (math.pi / 400 * d * d * i for d, i in ((annulus_mm, integral), (outflow_mm, outflow_integral)))
    assert regurgitation.regurgitant_fraction_percent(forward_ml=valve, reverse_ml=valve - other) == pytest.approx(percent, abs=0.05)


def test_more_back_than_forward_is_refused():
    assert "exchanged" in fault(regurgitation.regurgitant_fraction_percent, dict(forward_ml=60, reverse_ml=60.1))
    assert regurgitation.regurgitant_fraction_percent(forward_ml=60, reverse_ml=60) == 100


def test_a_shorter_signal_gives_a_smaller_index():
    assert regurgitation.pr_index(regurgitation_ms=308, diastole_ms=400) == pytest.approx(0.77, rel=1e-12)
    assert regurgitation.pr_index(regurgitation_ms=400, diastole_ms=400) == 1
    assert "outlast" in fault(regurgitation.pr_index, dict(regurgitation_ms=400.5, diastole_ms=400))
    assert "seconds" in fault(regurgitation.pr_index, dict(regurgitation_ms=300, diastole_ms=0.4))


def test_integrals_back_over_forward():
    assert regurgitation.diastolic_systolic_ratio(diastolic_vti_cm=9.8, systolic_vti_cm=20) == pytest.approx(0.49, rel=1e-12)


def test_ranges():
    assert_ranges(regurgitation.regurgitant_fraction_percent, dict(forward_ml=80, reverse_ml=20), dict(forward_ml=(1, 400), reverse_ml=(0, 300)))
    assert_ranges(regurgitation.pr_index, dict(regurgitation_ms=300, diastole_ms=400), dict(regurgitation_ms=(0, 2500), diastole_ms=(50, 2500)))
    assert_ranges(regurgitation.diastolic_systolic_ratio, dict(diastolic_vti_cm=10, systolic_vti_cm=20), dict(
        diastolic_vti_cm=(0, 100), systolic_vti_cm=(1, 150)))

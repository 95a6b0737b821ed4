"""Hazards and event-free curves against lifelines, statsmodels and sums by hand."""

import math

import numpy as np
import pytest
from lifelines import KaplanMeierFitter
from lifelines.datasets import load_leukemia, load_waltons
from scipy import integrate
from statsmodels.duration.survfunc import SurvfuncRight

from pvcalc.statistics import survival
from tests.helpers.edges import assert_range, assert_ranges, fault

SIX = dict(times=[2, 3, 3, 5, 8, 8], events=[1, 1, 0, 0, 1, 1], confidence=0.95)


def cohorts():
    waltons, leukaemia = load_waltons(), load_leukemia()
    yield list(waltons["T"]), list(waltons["E"])
    for treated in (0, 1):
        one = leukaemia[leukaemia["Rx"] == treated]
        yield list(one["t"]), list(one["status"])
    yield [1, 1, 4, 5, 6, 9, 9, 22], [1, 1, 1, 1, 0, 1, 0, 1]


def numbers(times, events):
    return [float(time) for time in times], [int(event) for event in events]


@pytest.mark.parametrize("times, events", [numbers(*cohort) for cohort in cohorts()])
@pytest.mark.parametrize("confidence", [0.5, 0.95])
def test_curves_of_real_cohorts(times, events, confidence):
    ours = {name: np.array(value) for name, value in survival.kaplan_meier(times=times, events=events, confidence=confidence)}
    theirs = KaplanMeierFitter(alpha=1 - confidence).fit(times, events)
    at = theirs.survival_function_.index.isin(ours["times"])
    left = ours["survival"] > 0
    assert ours["survival"] == pytest.approx(theirs.survival_function_["KM_estimate"][at], rel=1e-12, abs=1e-15)
    limits = theirs.confidence_interval_[at]
    assert ours["low"][left] == pytest.approx(limits.iloc[:, 0][left], rel=1e-9)
    assert ours["high"][left] == pytest.approx(limits.iloc[:, 1][left], rel=1e-9)
    other = SurvfuncRight(times, events)
    assert list(ours["times"]) == list(other.surv_times)
    assert list(ours["at_risk"]) == list(other.n_risk)
    assert list(ours["events"]) == list(other.n_events)
    assert ours["survival"] == pytest.approx(other.surv_prob, rel=1e-12, abs=1e-15)
    assert ours["error"][left] == pytest.approx(other.surv_prob_se[left], rel=1e-10)


def test_order_of_the_patients_does_not_matter():
    turned = dict(times=SIX["times"][::-1], events=SIX["events"][::-1], confidence=0.95)
    assert survival.kaplan_meier(**SIX) == survival.kaplan_meier(**turned)


def test_nobody_left_keeps_the_last_upper_limit():
    curve = dict(survival.kaplan_meier(**SIX))
    assert curve["survival"][-1] == 0 and curve["error"][-1] == 0 and curve["low"][-1] == 0
    assert curve["high"][-1] == curve["high"][-2] < 1
    alone = dict(survival.kaplan_meier(times=[3], events=[1], confidence=0.95))
    assert (alone["survival"], alone["low"], alone["high"]) == ([0], [0], [1])
    # Whoever is lost on the day of an event was still at risk that day.
    assert curve["at_risk"] == [6, 5, 2]


def test_without_loss_the_error_is_that_of_a_proportion():
    curve = dict(survival.kaplan_meier_at(times=[8] * 13 + [23] * 8, events=[1] * 13 + [0] * 8, confidence=0.95, at_time=22.9))
    assert curve["survival"] == pytest.approx(8 / 21, rel=1e-14)
    assert curve["error"] == pytest.approx(math.sqrt(8 / 21 * 13 / 21 / 21), rel=1e-12)


def test_the_curve_is_read_from_its_first_event_to_its_last_patient():
    everywhere = dict(survival.kaplan_meier(**SIX))
    for at, row in ((2, 0), (2.9, 0), (3, 1), (7.9, 1), (8, 2)):
        there = dict(survival.kaplan_meier_at(**SIX, at_time=at))
        assert there == {name: everywhere[name][row] for name in ("survival", "error", "low", "high")}
    assert "first event" in fault(survival.kaplan_meier_at, {**SIX, "at_time": 1.9})
    assert "that long" in fault(survival.kaplan_meier_at, {**SIX, "at_time": 8.1})
    late = dict(times=[2, 5], events=[1, 0], confidence=0.95)
    assert dict(survival.kaplan_meier_at(**late, at_time=5))["survival"] == 0.5


def test_lists_that_are_no_cohort():
    assert "one entry" in fault(survival.kaplan_meier, {**SIX, "events": [1, 0]})
    assert "one entry" in fault(survival.kaplan_meier, {**SIX, "times": [2, 3]})
    assert "1 (event) or 0" in fault(survival.kaplan_meier, {**SIX, "events": [1, 1, 0, 0.5, 1, 1]})
    assert "zero_event_upper" in fault(survival.kaplan_meier, {**SIX, "events": [0] * 6})


def test_a_steady_hazard_there_and_back():
    for free, years in ((0.77, 15), (0.5, 2), (0.001, 80), (1, 5), (0.957, 0.01)):
        hazard = survival.annual_hazard(event_free_fraction=free, years=years)
        assert math.exp(-hazard * years) == pytest.approx(free, rel=1e-12)
        if hazard <= 5:
            assert 1 - survival.risk_over_years(annual_hazard=hazard, years=years) == pytest.approx(free, rel=1e-12)
            yearly = survival.annual_risk(event_free_fraction=free, years=years)
            assert yearly == pytest.approx(survival.risk_over_years(annual_hazard=hazard, years=1), rel=1e-10, abs=1e-15)
    assert str(survival.annual_hazard(event_free_fraction=1, years=5)) == "0.0"


def test_risk_is_the_integral_of_the_hazard():
    risk, _ = integrate.quad(lambda year: 0.3 * math.exp(-0.3 * year), 0, 7)
    assert survival.risk_over_years(annual_hazard=0.3, years=7) == pytest.approx(risk, rel=1e-10)
    assert survival.risk_over_years(annual_hazard=0, years=7) == 0


def test_the_steps_of_a_curve():
    steps = dict(survival.step_hazards(years=[1, 2, 5, 10], event_free_fractions=[0.94, 0.89, 0.88, 0.84]))
    assert steps["from_years"] == [0, 1, 2, 5] and steps["to_years"] == [1, 2, 5, 10]
    assert steps["hazards"] == pytest.approx([0.0619, 0.0547, 0.00377, 0.00930], abs=5e-5)
    assert steps["hazards"][2] == pytest.approx(0.00377, abs=5e-6)
    falls = -np.diff(np.log([1, 0.94, 0.89, 0.88, 0.84])) / np.diff([0, 1, 2, 5, 10])
    assert steps["hazards"] == pytest.approx(falls, rel=1e-12)
    assert steps["conditional_risk"] == pytest.approx(1 - np.array([0.94, 0.89, 0.88, 0.84]) / [1, 0.94, 0.89, 0.88], rel=1e-12)
    again = dict(survival.step_hazards(years=[5, 10, 20], event_free_fractions=[0.951, 0.875, 0.844]))
    assert again["hazards"] == pytest.approx([0.0100, 0.0167, 0.0036], abs=5e-5)
    flat = dict(survival.step_hazards(years=[1, 2], event_free_fractions=[0.9, 0.9]))
    assert flat["hazards"][1] == 0 and flat["conditional_risk"][1] == 0


def test_steps_that_are_no_curve():
    good = dict(years=[1, 2], event_free_fractions=[0.9, 0.8])
    assert "for each of the years" in fault(survival.step_hazards, {**good, "years": [1]})
    assert "for each of the years" in fault(survival.step_hazards, {**good, "event_free_fractions": [0.9]})
    for years in ([2, 1], [1, 1]):
        assert "must rise" in fault(survival.step_hazards, {**good, "years": years})
    assert "cannot rise" in fault(survival.step_hazards, {**good, "event_free_fractions": [0.8, 0.81]})


def test_a_conditional_risk_needs_no_steady_hazard():
    to_ten = survival.conditional_risk(event_free_start_fraction=0.89, event_free_end_fraction=0.84)
    assert 1 - to_ten == pytest.approx(0.944, abs=5e-4)  # 84 of 89 stay free
    steady = survival.annual_hazard(event_free_fraction=0.84, years=10)
    assert 1 - survival.risk_over_years(annual_hazard=steady, years=8) == pytest.approx(0.870, abs=5e-4)
    for years, free in ((1, 98.3), (2, 96.6), (5, 91.7)):
        assert 100 * (1 - survival.risk_over_years(annual_hazard=steady, years=years)) == pytest.approx(free, abs=0.05)
    assert survival.conditional_risk(event_free_start_fraction=0.8, event_free_end_fraction=0.8) == 0
    assert survival.conditional_risk(event_free_start_fraction=0.8, event_free_end_fraction=0) == 1
    assert "exchanged" in fault(survival.conditional_risk, dict(event_free_start_fraction=0.8, event_free_end_fraction=0.81))


def test_ranges():
    curve = dict(event_free_fraction=0.8, years=10)
    for made in (survival.annual_hazard, survival.annual_risk):
        assert_ranges(made, curve, dict(event_free_fraction=(0.001, 1), years=(0.01, 80)))
    assert_ranges(survival.risk_over_years, dict(annual_hazard=0.1, years=5), dict(annual_hazard=(0, 5), years=(0, 80)))
    assert_ranges(survival.conditional_risk, dict(event_free_start_fraction=0.9, event_free_end_fraction=0.8),
                  dict(event_free_start_fraction=(0.001, 1), event_free_end_fraction=(0, 1)))
    assert_range(survival.kaplan_meier, SIX, "confidence", 0.5, 0.9999)
    assert_range(survival.kaplan_meier_at, {**SIX, "at_time": 3}, "confidence", 0.5, 0.9999)
    assert_range(survival.kaplan_meier_at, {**SIX, "at_time": 3}, "at_time", 0, 50000)


def test_members_and_lengths_of_lists():
    limits = survival.kaplan_meier.limits
    assert [(limit.low, limit.high, limit.least, limit.most) for limit in (limits["times"], limits["events"])] == [
        (0, 50000, 1, 5000), (0, 1, 1, 5000)]
    assert {(limit.low, limit.high, limit.least, limit.most) for limit in survival.step_hazards.limits.values()} == {
        (0.01, 80, 1, 60), (0.001, 1, 1, 60)}
    there = survival.kaplan_meier_at.limits
    assert [(there[name].low, there[name].high, there[name].least, there[name].most) for name in ("times", "events")] == [
        (0, 50000, 1, 5000), (0, 1, 1, 5000)]

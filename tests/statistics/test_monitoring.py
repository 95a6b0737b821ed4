"""Charts and funnels recomputed independently, with scipy where it has the distribution."""

import itertools
import math

import numpy as np
import pytest
from scipy import stats

from pvcalc.statistics import monitoring, risk_adjusted
from tests.helpers.edges import assert_range, fault

DESIGNS = [(0.05, 0.1, 0.1, 0.1), (0.05, 0.1, 0.05, 0.2), (0.03, 0.09, 0.1, 0.1), (0.001, 0.9, 0.001, 0.4), (0.2, 0.201, 0.3, 0.01)]
CHART = dict(acceptable_fraction=0.05, unacceptable_fraction=0.1, alpha=0.1, beta=0.1)


def design(acceptable, unacceptable, alpha, beta):
    return dict(acceptable_fraction=acceptable, unacceptable_fraction=unacceptable, alpha=alpha, beta=beta)


def log_likelihood_ratio(outcomes, acceptable, unacceptable):
    """Of the two risks, after each case."""
    steps = stats.bernoulli.logpmf(outcomes, unacceptable) - stats.bernoulli.logpmf(outcomes, acceptable)
    return np.cumsum(steps)


@pytest.mark.parametrize("acceptable, unacceptable, alpha, beta", DESIGNS)
def test_the_chart_is_a_sequential_probability_ratio_test(acceptable, unacceptable, alpha, beta):
    chart = dict(monitoring.cusum_design(**design(acceptable, unacceptable, alpha, beta)))
    outcomes = [int(draw) for draw in np.random.default_rng(5).random(200) < 0.2]
    (_, path), = monitoring.cusum_path(outcomes=outcomes, step=chart["step"])
    odds = math.log(unacceptable / (1 - unacceptable)) - math.log(acceptable / (1 - acceptable))
    assert np.array(path) * odds == pytest.approx(log_likelihood_ratio(outcomes, acceptable, unacceptable), rel=1e-9, abs=1e-9)
    assert chart["upper_limit"] * odds == pytest.approx(math.log((1 - beta) / alpha), rel=1e-12)
    assert chart["lower_limit"] * odds == pytest.approx(math.log(beta / (1 - alpha)), rel=1e-12)


@pytest.mark.parametrize("acceptable, unacceptable, alpha, beta", DESIGNS)
def test_what_a_chart_can_say_and_when_it_says_it(acceptable, unacceptable, alpha, beta):
    inputs = design(acceptable, unacceptable, alpha, beta)
    chart, reach = dict(monitoring.cusum_design(**inputs)), dict(monitoring.cusum_reach(**inputs))
    down, up = math.log((1 - alpha) / beta), math.log((1 - beta) / alpha)
    clean, failing = math.log((1 - acceptable) / (1 - unacceptable)), math.log(unacceptable / acceptable)
    assert reach["clean_cases"] == math.floor(down / clean + 1e-7) + 1
    assert reach["failures_in_row_count"] == math.floor(up / failing + 1e-7) + 1
    assert reach["clean_cases_after_failure"] == pytest.approx(failing / clean, rel=1e-9)
    for case, verdict in ((0, "acceptable"), (1, "unacceptable")):
        needed = int(reach["failures_in_row_count"] if case else reach["clean_cases"])
        if needed > 4000:
            continue
        decided = dict(monitoring.cusum_verdict(outcomes=[case] * (needed + 3), **inputs))
        assert decided == {"verdict": verdict, "decided_after_cases": needed, "lower_limit": chart["lower_limit"],
                           "upper_limit": chart["upper_limit"]}
        if needed > 1:
            undecided = dict(monitoring.cusum_verdict(outcomes=[case] * (needed - 1), **inputs))
            assert (undecided["verdict"], undecided["decided_after_cases"]) == ("undecided", needed - 1)


def test_a_point_on_the_line_is_no_signal():
    # Two failures in a row land exactly on the upper line of 3 against 9 %: ln 3 twice is ln 9.
    inputs = design(0.03, 0.09, 0.1, 0.1)
    assert dict(monitoring.cusum_verdict(outcomes=[1, 1], **inputs))["verdict"] == "undecided"
    assert dict(monitoring.cusum_verdict(outcomes=[1, 1, 1], **inputs))["verdict"] == "unacceptable"
    assert not monitoring.beyond(2.0, 2.0) and not monitoring.beyond(2.0 * (1 + 5e-10), 2.0)
    assert monitoring.beyond(2.0 * (1 + 2e-9), 2.0) and not monitoring.beyond(-3.0, 2.0)
    # A billionth of the line, whatever its height.
    assert not monitoring.beyond(1 + 5e-10, 1.0) and monitoring.beyond(50 * (1 + 2e-9), 50.0)


def test_the_first_line_passed_decides():
    path = [0] * 41 + [1] * 30
    first = dict(monitoring.cusum_verdict(outcomes=path, **CHART))
    assert (first["verdict"], first["decided_after_cases"]) == ("acceptable", 41)
    (_, heights), = monitoring.cusum_path(outcomes=[0, 1, 1, 0], step=0.25)
    assert heights == [-0.25, 0.5, 1.25, 1.0]


def weight(event, predicted, odds_ratio):
    """Log-likelihood ratio of the case at odds multiplied by the odds ratio."""
    odds = odds_ratio * predicted / (1 - predicted)
    return stats.bernoulli.logpmf(event, odds / (1 + odds)) - stats.bernoulli.logpmf(event, predicted)


def test_weights_are_log_likelihood_ratios():
    for event, predicted, odds_ratio in itertools.product((0, 1), (0.0001, 0.0246, 0.5, 0.9999), (0.05, 0.5, 1.5, 2, 20)):
        ours = risk_adjusted.risk_adjusted_weight(event=event, predicted_fraction=predicted, odds_ratio=odds_ratio)
        assert ours == pytest.approx(weight(event, predicted, odds_ratio), rel=1e-9, abs=1e-12)


def series():
    dice = np.random.default_rng(11)
    risks = [float(risk) for risk in dice.uniform(0.02, 0.4, 300)]
    return [int(draw) for draw in dice.random(300) < np.array(risks) * np.where(np.arange(300) < 150, 0.3, 2)], risks


@pytest.mark.parametrize("odds_ratio", [2, 0.5, 1.5, 0.4])
def test_both_sides_of_the_risk_adjusted_chart(odds_ratio):
    events, risks = series()
    paths = dict(risk_adjusted.risk_adjusted_path(events=events, predicted_fractions=risks, odds_ratio=odds_ratio))
    worse = max(odds_ratio, 1 / odds_ratio)
    rising = np.cumsum([weight(event, risk, worse) for event, risk in zip(events, risks)])
    falling = np.cumsum([weight(event, risk, 1 / worse) for event, risk in zip(events, risks)])
    # A sum that is never let below 0 is the sum itself less its lowest point so far.
    assert paths["upper_path"] == pytest.approx(rising - np.minimum.accumulate(np.minimum(rising, 0)), rel=1e-9, abs=1e-9)
    assert paths["lower_path"] == pytest.approx(np.minimum.accumulate(np.minimum(falling, 0)) - falling, rel=1e-9, abs=1e-9)
    assert min(paths["upper_path"]) >= 0 >= max(paths["lower_path"])
    assert max(paths["upper_path"]) > 1 and min(paths["lower_path"]) < -1


def test_a_signal_sets_its_own_side_back_and_only_that():
    events, risks = series()
    limit = 2.0
    got = dict(risk_adjusted.risk_adjusted_signals(events=events, predicted_fractions=risks, odds_ratio=2, limit=limit))
    up, down, worse, better = 0.0, 0.0, [], []
    for place, (event, risk) in enumerate(zip(events, risks), start=1):
        up, down = max(0.0, up + weight(event, risk, 2)), max(0.0, down + weight(event, risk, 0.5))
        assert got["upper_path"][place - 1] == pytest.approx(up, abs=1e-9)
        assert got["lower_path"][place - 1] == pytest.approx(-down, abs=1e-9)
        if up > limit:
            worse.append(place)
            up = 0.0
        if down > limit:
            better.append(place)
            down = 0.0
    assert (got["worse_signals"], got["better_signals"]) == (worse, better)
    assert len(worse) > 1 and len(better) > 0 and got["first_signal_case"] == worse[0]
    quiet = dict(risk_adjusted.risk_adjusted_signals(events=events, predicted_fractions=risks, odds_ratio=2, limit=50))
    assert quiet["first_signal_case"] is None and quiet["worse_signals"] == quiet["better_signals"] == []
    assert quiet["upper_path"] == dict(
        risk_adjusted.risk_adjusted_path(events=events, predicted_fractions=risks, odds_ratio=2))["upper_path"]


def test_both_charts_start_from_nothing():
    for event in (0, 1):
        given = dict(events=[event], predicted_fractions=[0.3], odds_ratio=2)
        up, down = max(0.0, weight(event, 0.3, 2)), max(0.0, weight(event, 0.3, 0.5))
        for got in (dict(risk_adjusted.risk_adjusted_path(**given)), dict(risk_adjusted.risk_adjusted_signals(**given, limit=5))):
            assert got["upper_path"] == pytest.approx([up], abs=1e-12) and got["lower_path"] == pytest.approx([-down], abs=1e-12)


def test_constant_risk_makes_it_the_plain_chart_let_down_to_zero():
    outcomes = [1 if case in (1, 53, 55, 59, 63, 64, 67, 68, 90) else 0 for case in range(1, 105)]
    odds_ratio = 0.1 * 0.95 / (0.05 * 0.9)
    path = dict(risk_adjusted.risk_adjusted_path(events=outcomes, predicted_fractions=[0.05] * 104, odds_ratio=odds_ratio))
    step = dict(monitoring.cusum_design(**CHART))["step"]
    height, heights = 0.0, []
    for outcome in outcomes:
        height = max(0.0, height + outcome - step)
        heights.append(height)
    assert np.array(path["upper_path"]) / math.log(odds_ratio) == pytest.approx(heights, abs=1e-9)


@pytest.mark.parametrize("benchmark, cases", [(0.071, 50), (0.03, 30), (0.001, 20000), (0.001, 1), (0.9, 17), (0.5, 1), (0.018, 5000), (0.2, 333)])
@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.998, 0.9999])
def test_funnel_limits_interpolate_the_binomial_steps(benchmark, cases, confidence):
    got = dict(monitoring.funnel_limits(benchmark_fraction=benchmark, cases=cases, confidence=confidence))
    for name, q in (("low_count", (1 - confidence) / 2), ("high_count", (1 + confidence) / 2)):
        count = int(stats.binom.ppf(q, cases, benchmark))
        below, at = stats.binom.cdf([count - 1, count], cases, benchmark)
        line = np.interp(q, [below, at], [count - 1, count])
        assert got[name] == pytest.approx(max(0, line), rel=1e-6, abs=1e-6)
    assert 0 <= got["low_count"] <= got["high_count"] <= cases


@pytest.mark.parametrize("benchmark, cases", [(0.071, 50), (0.03, 30), (0.001, 20000), (0.9, 5), (0.5, 10), (0.2, 1)])
def test_alert_and_alarm_are_the_first_counts_rare_enough(benchmark, cases):
    got = dict(monitoring.funnel_alarm(benchmark_fraction=benchmark, cases=cases))
    for name, rare in (("alert_count", 0.025), ("alarm_count", 0.001)):
        assert got[name] == np.argmax(stats.binom.sf(np.arange(-1, cases + 1), cases, benchmark) <= rare)


def test_runs_by_going_through_every_series():
    for cases, run, true in itertools.product((1, 2, 3, 8, 10), (1, 2, 3), (0.02, 0.12, 0.7)):
        chance = 0.0
        for outcome in itertools.product((0, 1), repeat=cases):
            if "1" * run in "".join(map(str, outcome)):
                chance += true ** sum(outcome) * (1 - true) ** (cases - sum(outcome))
        ours = monitoring.run_risk(run_events=run, cases=cases, true_fraction=true)
        assert ours == pytest.approx(chance, rel=1e-12, abs=1e-15)
    assert monitoring.run_risk(run_events=5, cases=4, true_fraction=0.5) == 0


def test_the_interpreters_may_differ_by_a_billionth_and_no_more():
    assert set(monitoring.AGREES_WITHIN.values()) == {1e-9}, "far less than is ever shown"


def test_refusals():
    for made in (monitoring.cusum_reach, monitoring.cusum_design):
        for unacceptable in (0.1, 0.09):
            assert "above the acceptable" in fault(made, design(0.1, unacceptable, 0.1, 0.1))
    assert "1 (event) or 0" in fault(monitoring.cusum_path, dict(outcomes=[0, 0.5], step=0.1))
    assert "1 (event) or 0" in fault(monitoring.cusum_verdict, dict(outcomes=[0, 0.5], **CHART))
    good = dict(events=[0, 1], predicted_fractions=[0.1, 0.2], odds_ratio=2)
    for made, more in ((risk_adjusted.risk_adjusted_path, {}), (risk_adjusted.risk_adjusted_signals, {"limit": 2})):
        assert "no change" in fault(made, {**good, **more, "odds_ratio": 1})
        assert "1 (event) or 0" in fault(made, {**good, **more, "events": [0, 0.5]})
        assert "for each of the events" in fault(made, {**good, **more, "events": [0]})
        assert "for each of the events" in fault(made, {**good, **more, "predicted_fractions": [0.1]})
    assert "no change" in fault(risk_adjusted.risk_adjusted_weight, dict(event=1, predicted_fraction=0.1, odds_ratio=1))


def test_ranges():
    for made in (monitoring.cusum_design, monitoring.cusum_reach):
        assert_range(made, {**CHART, "unacceptable_fraction": 0.9}, "acceptable_fraction", 0.001, 0.9)
        assert_range(made, {**CHART, "acceptable_fraction": 0.001}, "unacceptable_fraction", 0.001, 0.9)
        for field in ("alpha", "beta"):
            assert_range(made, CHART, field, 0.001, 0.4)
    for field, low, high in (("alpha", 0.001, 0.4), ("beta", 0.001, 0.4), ("acceptable_fraction", 0.001, 0.9),
                             ("unacceptable_fraction", 0.001, 0.9)):
        assert_range(monitoring.cusum_verdict, {**CHART, "outcomes": [0, 1]}, field, low, high)
    assert_range(monitoring.cusum_path, dict(outcomes=[0, 1], step=0.1), "step", 0.0001, 0.9999)
    one = dict(event=1, predicted_fraction=0.1, odds_ratio=2)
    assert_range(risk_adjusted.risk_adjusted_weight, one, "predicted_fraction", 0.0001, 0.9999)
    assert_range(risk_adjusted.risk_adjusted_weight, one, "odds_ratio", 0.05, 20)
    many = dict(events=[0, 1], predicted_fractions=[0.1, 0.2], odds_ratio=2)
    assert_range(risk_adjusted.risk_adjusted_path, many, "odds_ratio", 0.05, 20)
    assert_range(risk_adjusted.risk_adjusted_signals, {**many, "limit": 2}, "odds_ratio", 0.05, 20)
    assert_range(risk_adjusted.risk_adjusted_signals, {**many, "limit": 2}, "limit", 0.1, 50)
    for made, more in ((monitoring.funnel_limits, {"confidence": 0.95}), (monitoring.funnel_alarm, {})):
        assert_range(made, {"cases": 40, **more}, "benchmark_fraction", 0.001, 0.9)
        assert_range(made, {"benchmark_fraction": 0.1, **more}, "cases", 1, 20000)
    assert_range(monitoring.funnel_limits, dict(benchmark_fraction=0.1, cases=40), "confidence", 0.5, 0.9999)
    run = dict(run_events=2, cases=10, true_fraction=0.1)
    for field, low, high in (("run_events", 1, 50), ("cases", 1, 5000), ("true_fraction", 0.0001, 0.9999)):
        assert_range(monitoring.run_risk, run, field, low, high)


def test_members_and_lengths_of_lists():
    outcomes = (0, 1, 1, 5000)
    risks = (0.0001, 0.9999, 1, 5000)

    def bounds(made, name):
        limit = made.limits[name]
        return limit.low, limit.high, limit.least, limit.most
    for made in (monitoring.cusum_path, monitoring.cusum_verdict):
        assert bounds(made, "outcomes") == outcomes
    for made in (risk_adjusted.risk_adjusted_path, risk_adjusted.risk_adjusted_signals):
        assert bounds(made, "events") == outcomes and bounds(made, "predicted_fractions") == risks


@pytest.mark.parametrize("apart", [5e-17, 1e-9, 0.00049])
@pytest.mark.parametrize("name", ["cusum_design", "cusum_reach", "cusum_verdict"])
def test_risks_too_near_each_other_for_any_chart_are_refused(name, apart):
    inputs = {**design(0.3, 0.3 + apart, 0.2, 0.001), **({"outcomes": [0, 1, 1]} if name == "cusum_verdict" else {})}
    assert inputs["unacceptable_fraction"] > 0.3
    assert "at least 0.0005 apart" in fault(getattr(monitoring, name), inputs)
    getattr(monitoring, name)(**{**inputs, "unacceptable_fraction": 0.301})

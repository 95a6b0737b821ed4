"""Intervals, tails and sample sizes against scipy, statsmodels and counting by hand."""

import itertools
import math

import numpy as np
import pytest
from scipy import optimize, special, stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from pvcalc.formulas import simulation
from pvcalc.statistics import distributions, proportion, sample_size
from tests.helpers.edges import assert_range, fault

COUNTS = [(events, cases) for cases in range(1, 61) for events in range(cases + 1)]
LARGE = [(0, 1000000), (1, 1000000), (3, 56453), (9999, 20000), (499000, 1000000), (999999, 1000000), (1000000, 1000000),
         (50, 8905), (300, 1000)]


def limits(made, **inputs):
    return [value for _, value in made(**inputs)]


def test_stirlings_coefficients_are_those_of_the_bernoulli_numbers():
    numbers = special.bernoulli(8)
    for place, coefficient in enumerate(distributions.STIRLING, start=1):
        assert coefficient == pytest.approx(numbers[2 * place] / (2 * place * (2 * place - 1)), rel=1e-14)
    assert distributions.STIRLING_FROM == 8


def test_the_number_of_ways_to_pick_some_of_all():
    for cases in (1, 2, 7, 8, 15, 16, 17, 60, 999, 20000):
        for events in sorted({0, 1, 2, 7, 8, 9, cases // 3, cases // 2, cases - 9, cases - 8, cases - 7, cases - 1, cases}):
            if 0 <= events <= cases:
                exact = math.log(math.comb(cases, events))
                assert distributions.log_ways(cases, events) == pytest.approx(exact, rel=1e-13, abs=2e-11), (cases, events)
    assert distributions.log_ways(1000000, 3) == pytest.approx(math.log(math.comb(1000000, 3)), rel=1e-14)
    assert distributions.log_ways(100000, 50000) == pytest.approx(math.log(math.comb(100000, 50000)), rel=1e-14)


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95, 0.998, 0.9999])
def test_every_exact_interval_of_up_to_sixty_cases(confidence):
    events, cases = np.array(COUNTS).T
    outside = (1 - confidence) / 2
    low = np.where(events == 0, 0, stats.beta.ppf(outside, np.maximum(events, 0.5), cases - events + 1))
    high = np.where(events == cases, 1, stats.beta.ppf(1 - outside, events + 1, np.maximum(cases - events, 0.5)))
    for place, (event, case) in enumerate(COUNTS):
        ours = limits(proportion.exact_interval, events=event, cases=case, confidence=confidence)
        assert ours == pytest.approx([low[place], high[place]], rel=1e-9, abs=1e-12), (event, case)


@pytest.mark.parametrize("events, cases", LARGE)
def test_exact_intervals_of_large_series(events, cases):
    ours = limits(proportion.exact_interval, events=events, cases=cases, confidence=0.95)
    assert ours == pytest.approx(proportion_confint(events, cases, 0.05, "beta"), rel=1e-9, abs=1e-14)


def test_no_event_and_nothing_but_events_have_closed_forms():
    for cases in (1, 2, 30, 211, 1000000):
        low, high = limits(proportion.exact_interval, events=0, cases=cases, confidence=0.95)
        assert low == 0 and high == pytest.approx(-math.expm1(math.log(0.025) / cases), rel=1e-9)
        low, high = limits(proportion.exact_interval, events=cases, cases=cases, confidence=0.95)
        assert high == 1 and low == pytest.approx(0.025 ** (1 / cases), rel=1e-9)
        low, high = limits(proportion.wilson_interval, events=0, cases=cases, confidence=0.95)
        assert low == 0 and high < 1
        low, high = limits(proportion.wilson_interval, events=cases, cases=cases, confidence=0.95)
        assert high == 1 and low > 0


def test_the_exact_interval_never_covers_less_than_it_says():
    for cases, true in itertools.product((7, 30, 55), (0.006, 0.03, 0.2, 0.5, 0.93)):
        covered = 0
        for events in range(cases + 1):
            low, high = limits(proportion.exact_interval, events=events, cases=cases, confidence=0.95)
            if low <= true <= high:
                covered += stats.binom.pmf(events, cases, true)
        assert covered >= 0.95


@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.998])
def test_every_wilson_interval_of_up_to_sixty_cases(confidence):
    theirs = proportion_confint(*np.array(COUNTS).T, 1 - confidence, "wilson")
    ours = [limits(proportion.wilson_interval, events=events, cases=cases, confidence=confidence) for events, cases in COUNTS]
    assert np.array(ours) == pytest.approx(np.array(theirs).T, rel=1e-11, abs=1e-13)


def test_differences_of_two_proportions():
    counts = [(0, 1), (1, 1), (0, 10), (5, 56), (17, 20), (60, 60), (0, 20000), (178, 835), (232, 895)]
    for (events_a, cases_a), (events_b, cases_b) in itertools.product(counts, counts):
        for confidence in (0.8, 0.95):
            theirs = confint_proportions_2indep(events_a, cases_a, events_b, cases_b, method="newcomb", alpha=1 - confidence)
            ours = limits(proportion.difference_interval, events_a=events_a, cases_a=cases_a, events_b=events_b,
                          cases_b=cases_b, confidence=confidence)
            assert ours == pytest.approx(theirs, rel=1e-10, abs=1e-12)
            assert -1 <= ours[0] <= ours[1] <= 1


def test_zero_events_one_sided_and_two_sided():
    for cases in (1, 2, 30, 299, 1000000):
        one = proportion.zero_event_upper(cases=cases, confidence=0.95, sides=1)
        two = proportion.zero_event_upper(cases=cases, confidence=0.95, sides=2)
        assert one == pytest.approx(-math.expm1(math.log(0.05) / cases), rel=1e-9)
        assert two == pytest.approx(limits(proportion.exact_interval, events=0, cases=cases, confidence=0.95)[1], rel=1e-9)
        assert one < two
    # Even odds are the least confidence taken: one case without the event leaves a risk of up to a half.
    assert proportion.zero_event_upper(cases=1, confidence=0.5, sides=1) == pytest.approx(0.5, rel=1e-12)


def test_tails_and_single_counts():
    for cases in (1, 2, 7, 30, 60, 1000, 200000):
        for events in sorted({0, 1, min(2, cases), cases // 10, cases // 2, cases - 1, cases}):
            for true in (0.0001, 0.006, 0.0714, 0.5, 0.93, 0.9999):
                tail = proportion.binomial_tail(events=events, cases=cases, benchmark_fraction=true)
                assert tail == pytest.approx(stats.binom.sf(events - 1, cases, true), rel=1e-9, abs=1e-13)
                just = proportion.exact_count_risk(events=events, cases=cases, true_fraction=true)
                assert just == pytest.approx(stats.binom.pmf(events, cases, true), rel=2e-9, abs=1e-290)
                assert distributions.at_most(cases, events, true, 1 - true) == pytest.approx(
                    stats.binom.cdf(events, cases, true), rel=1e-9, abs=1e-13)


def test_tails_beyond_the_series():
    assert distributions.at_least(5, 0, 0.3, 0.7) == 1 and distributions.at_least(5, -1, 0.3, 0.7) == 1
    assert distributions.at_least(5, 6, 0.3, 0.7) == 0 and distributions.at_most(5, -1, 0.3, 0.7) == 0
    # A tail that starts at the mean and one that starts just below it are summed from different ends.
    for events in (14, 15, 16):
        assert distributions.at_least(50, events, 0.3, 0.7) == pytest.approx(stats.binom.sf(events - 1, 50, 0.3), rel=1e-12)


def test_tails_far_out_keep_their_relative_precision():
    assert distributions.at_least(60, 50, 0.05, 0.95) == pytest.approx(stats.binom.sf(49, 60, 0.05), rel=1e-10)
    assert distributions.outward_sum(20000, 5, 0.9 * 5 / 19995) == pytest.approx(
        stats.binom.sf(4, 20000, 0.9 * 5 / 19995 / (1 + 0.9 * 5 / 19995))
        / stats.binom.pmf(5, 20000, 0.9 * 5 / 19995 / (1 + 0.9 * 5 / 19995)), rel=1e-9)


def test_the_normal_curve():
    for z in (-6, -3.3, -1.96, -0.4, -1e-9, 0, 1e-9, 0.4, 1, 1.959964, 3.3, 6, 8.5):
        assert distributions.normal_below(z) == pytest.approx(stats.norm.cdf(z), rel=1e-12, abs=2e-16)
    for probability in (1e-4, 0.025, 0.2, 0.4999, 0.5, 0.5001, 0.8, 0.975, 0.99995):
        assert distributions.normal_quantile(probability) == pytest.approx(stats.norm.ppf(probability), rel=1e-12, abs=1e-15)
    assert distributions.two_sided_z(0.95) == pytest.approx(1.959963984540054, rel=1e-13)


def test_clean_cases_are_the_fewest_that_do():
    for claim, confidence, sides in itertools.product((0.0005, 0.0024, 0.01, 0.2, 0.5), (0.5, 0.9, 0.95, 0.9999), (1, 2)):
        needed = sample_size.clean_cases_needed(claim_fraction=claim, confidence=confidence, sides=sides)
        left = (1 - confidence) / sides
        assert (1 - claim) ** needed <= left * (1 + 1e-6)
        assert (1 - claim) ** (needed - 1) > left * (1 - 1e-12)
    # Exactly reached: two clean cases halve a half to a quarter, whatever the last bit of the logarithms says.
    assert sample_size.clean_cases_needed(claim_fraction=0.5, confidence=0.75, sides=1) == 2
    for claim, cases in itertools.product((0.1, 0.2, 0.3), range(7, 25)):
        assert sample_size.clean_cases_needed(claim_fraction=claim, confidence=1 - (1 - claim) ** cases, sides=1) == cases


def brute(benchmark, alternative, alpha, power, most=3000):
    """The fewest cases by trying every number, with scipy."""
    cases = np.arange(1, most + 1)
    alarm = stats.binom.isf(alpha, cases, benchmark) + 1
    while (lower := (alarm > 0) & (stats.binom.sf(alarm - 2, cases, benchmark) <= alpha)).any():
        alarm -= lower
    return int(cases[stats.binom.sf(alarm - 1, cases, alternative) >= power][0])


@pytest.mark.parametrize("benchmark, alternative", [
    (0.01, 0.05), (0.03, 0.06), (0.05, 0.1), (0.09, 0.18), (0.1, 0.9), (0.3, 0.35), (0.5, 0.6), (0.85, 0.98), (0.876, 0.99)])
@pytest.mark.parametrize("alpha, power", [(0.05, 0.8), (0.01, 0.9), (0.0001, 0.8), (0.5, 0.5), (0.2, 0.999)])
def test_cases_for_power_are_the_fewest(benchmark, alternative, alpha, power):
    assert sample_size.cases_for_power(benchmark_fraction=benchmark, alternative_fraction=alternative, alpha=alpha,
                                      power=power) == brute(benchmark, alternative, alpha, power)


def test_cases_for_power_that_cannot_be():
    good = dict(benchmark_fraction=0.1, alternative_fraction=0.2, alpha=0.05, power=0.8)
    for alternative in (0.1, 0.05):
        assert "above the benchmark" in fault(sample_size.cases_for_power, {**good, "alternative_fraction": alternative})
    assert "20 000" in fault(sample_size.cases_for_power, {**good, "alternative_fraction": 0.1001}).replace("\u202f", " ")
    assert "20 000" in fault(sample_size.cases_for_power, {**good, "benchmark_fraction": 0.001, "alternative_fraction": 0.0012})
    # The last number of cases that is still given: 20 000 and no more.
    edge = [sample_size.cases_for_power(benchmark_fraction=0.5, alternative_fraction=0.5 + 0.0001 * step, alpha=0.05, power=0.8)
            for step in (90, 95, 100)]
    assert edge == sorted(edge, reverse=True) and 15000 < edge[-1] < edge[0] <= 20000


def test_a_chance_and_a_power_that_are_met_exactly_count_as_met():
    # All heads of so many have a chance of a half to that power; of fewer cases no count is as rare.
    for heads in range(1, 14):
        assert sample_size.alarm_count(heads, 0.5, 0.5 ** heads) == heads
        for risk in (0.6, 0.8, 0.9, 0.95, 0.99):
            if risk ** heads >= 0.5:
                assert sample_size.cases_for_power(benchmark_fraction=0.5, alternative_fraction=risk, alpha=0.5 ** heads,
                                                   power=risk ** heads) == heads, (heads, risk)
    # Up to 22 cases a single event is an alarm at 1 % (1 - 0.99^22 is 0.198); at a higher risk it comes within so many.
    for risk, cases in itertools.product((0.15, 0.2, 0.3, 0.4), range(2, 20)):
        power = 1 - (1 - risk) ** cases
        if 0.5 <= power <= 0.999:
            assert sample_size.cases_for_power(benchmark_fraction=0.01, alternative_fraction=risk, alpha=0.2, power=power) == cases


def test_twenty_thousand_cases_are_the_last_that_are_given():
    # 10 117 of 20 000 is just an alarm at this alpha, and at this risk it is reached with just this power.
    alpha = stats.binom.sf(10116, 20000, 0.5) * (1 + 1e-7)
    risk = optimize.brentq(lambda risk: stats.binom.sf(10116, 20000, risk) - 0.8, 0.5, 0.6, xtol=1e-15)
    just = dict(benchmark_fraction=0.5, alternative_fraction=risk * (1 + 1e-9), alpha=alpha, power=0.8)
    assert sample_size.cases_for_power(**just) == 20000 == brute(0.5, risk * (1 + 1e-9), alpha, 0.8, most=20000)
    assert "20 000" in fault(sample_size.cases_for_power, {**just, "alternative_fraction": risk * (1 - 1e-7)}).replace("\u202f", " ")


def test_a_test_against_a_benchmark():
    for cases, benchmark, alternative, alpha in itertools.product((5, 30, 160, 500), (0.02, 0.1, 0.5), (0.6, 0.9), (0.01, 0.05, 0.3)):
        alarm = int(np.argmax(stats.binom.sf(np.arange(-1, cases + 1), cases, benchmark) <= alpha))
        inputs = dict(benchmark_fraction=benchmark, alternative_fraction=alternative, cases=cases, alpha=alpha)
        if alarm > cases:
            assert "too few" in fault(sample_size.benchmark_test, inputs) or "so few" in fault(sample_size.benchmark_test, inputs)
            continue
        assert limits(sample_size.benchmark_test, **inputs) == pytest.approx(
            [alarm, stats.binom.sf(alarm - 1, cases, benchmark), stats.binom.sf(alarm - 1, cases, alternative)], rel=1e-9)
    for alternative in (0.1, 0.05):
        assert "above the benchmark" in fault(sample_size.benchmark_test, dict(
            benchmark_fraction=0.1, alternative_fraction=alternative, cases=30, alpha=0.05))
    assert "so few" in fault(sample_size.benchmark_test, dict(benchmark_fraction=0.5, alternative_fraction=0.6, cases=3, alpha=0.05))
    # A probability that meets alpha exactly counts as rare enough: a quarter, two heads of two.
    assert sample_size.alarm_count(2, 0.5, 0.25) == 2 and sample_size.alarm_count(2, 0.5, 0.249) == 3


def test_two_groups_by_the_textbook_formula():
    for a, b, ratio, alpha, power, sides in itertools.product((0.06, 0.45), (0.08, 0.25), (0.5, 1, 3), (0.01, 0.05), (0.8, 0.9), (1, 2)):
        inputs = dict(fraction_a=a, fraction_b=b, difference_fraction=abs(a - b), group_ratio=ratio, alpha=alpha, power=power,
                      sides=sides)
        pooled = np.average([a, b], weights=[1, ratio])
        top = (stats.norm.isf(alpha / sides) * np.sqrt((1 + 1 / ratio) * pooled * (1 - pooled))
               + stats.norm.ppf(power) * np.sqrt(a * (1 - a) + b * (1 - b) / ratio))
        plain = top ** 2 / (a - b) ** 2
        assert sample_size.cases_to_compare(**inputs, corrected=0) == pytest.approx(plain, rel=1e-10)
        grown = plain / 4 * (1 + np.sqrt(1 + 2 * (1 + ratio) / (plain * ratio * abs(a - b)))) ** 2
        assert sample_size.cases_to_compare(**inputs, corrected=1) == pytest.approx(grown, rel=1e-10)


def test_power_of_two_groups():
    for sides in (1, 2):
        error = np.sqrt(0.3 * 0.7 / 50 + 0.4 * 0.6 / 70)
        edge = stats.norm.isf(0.1 / sides)
        right, wrong = stats.norm.cdf(0.02 / error - edge), stats.norm.cdf(-0.02 / error - edge)
        assert sample_size.comparison_power(fraction_a=0.3, fraction_b=0.4, difference_fraction=0.02, cases_a=50, cases_b=70,
                                            alpha=0.1, sides=sides) == pytest.approx(right + wrong * (sides == 2), rel=1e-12)


def test_the_interpreters_may_differ_by_a_billionth_and_no_more():
    for module in (proportion, sample_size, simulation):
        assert set(module.AGREES_WITHIN.values()) == {1e-9}, "far less than is ever shown"


COUNT = dict(events=3, cases=40)


def test_ranges():
    for made in (proportion.wilson_interval, proportion.exact_interval):
        assert_range(made, dict(events=0, cases=1000000, confidence=0.95), "confidence", 0.5, 0.9999)
        assert_range(made, dict(cases=1000000, confidence=0.95), "events", 0, 1000000)
        assert_range(made, dict(events=0, confidence=0.95), "cases", 1, 1000000)
    for made, risk in ((proportion.binomial_tail, "benchmark_fraction"), (proportion.exact_count_risk, "true_fraction")):
        assert_range(made, COUNT, risk, 0.0001, 0.9999)
        assert_range(made, {"cases": 1000000, risk: 0.5}, "events", 0, 1000000)
        assert_range(made, {"events": 0, risk: 0.5}, "cases", 1, 1000000)
    zero = dict(cases=30, confidence=0.95, sides=1)
    for field, low, high in (("cases", 1, 1000000), ("confidence", 0.5, 0.9999), ("sides", 1, 2)):
        assert_range(proportion.zero_event_upper, zero, field, low, high)
    clean = dict(claim_fraction=0.01, confidence=0.95, sides=1)
    for field, low, high in (("claim_fraction", 0.0005, 0.5), ("confidence", 0.5, 0.9999), ("sides", 1, 2)):
        assert_range(sample_size.clean_cases_needed, clean, field, low, high)
    pair = dict(events_a=1, cases_a=1000000, events_b=1, cases_b=1000000, confidence=0.95)
    for field, low, high in (("events_a", 0, 1000000), ("events_b", 0, 1000000), ("confidence", 0.5, 0.9999),
                             ("cases_a", 1, 1000000), ("cases_b", 1, 1000000)):
        assert_range(proportion.difference_interval, pair, field, low, high)


def test_ranges_of_sample_sizes():
    power = dict(benchmark_fraction=0.1, alternative_fraction=0.5, alpha=0.05, power=0.8)
    for field, low, high in (("benchmark_fraction", 0.001, 0.9), ("alternative_fraction", 0.001, 0.99), ("alpha", 0.0001, 0.5),
                             ("power", 0.5, 0.999)):
        assert_range(sample_size.cases_for_power, power, field, low, high)
    test = dict(benchmark_fraction=0.1, alternative_fraction=0.5, alpha=0.05, cases=60)
    for field, low, high in (("benchmark_fraction", 0.001, 0.9), ("alternative_fraction", 0.001, 0.99), ("alpha", 0.0001, 0.5),
                             ("cases", 1, 20000)):
        assert_range(sample_size.benchmark_test, test, field, low, high)
    two = dict(fraction_a=0.4, fraction_b=0.5, difference_fraction=0.1, alpha=0.05, sides=2)
    for made, more, ranges in (
            (sample_size.cases_to_compare, dict(group_ratio=1, power=0.8, corrected=1), (("group_ratio", 0.1, 10), ("power", 0.5, 0.999))),
            (sample_size.comparison_power, dict(cases_a=50, cases_b=50), (("cases_a", 1, 20000), ("cases_b", 1, 20000)))):
        for field, low, high in ranges + (("fraction_a", 0.001, 0.999), ("fraction_b", 0.001, 0.999), ("alpha", 0.0001, 0.5),
                                          ("difference_fraction", 0.001, 0.9), ("sides", 1, 2)):
            assert_range(made, {**two, **more}, field, low, high)


def test_more_events_than_cases_are_refused_and_as_many_are_not():
    for made, more in ((proportion.wilson_interval, {"confidence": 0.95}), (proportion.exact_interval, {"confidence": 0.95}),
                       (proportion.binomial_tail, {"benchmark_fraction": 0.1}), (proportion.exact_count_risk, {"true_fraction": 0.1})):
        assert "more events" in fault(made, dict(events=6, cases=5, **more))
        assert made(events=5, cases=5, **more)
    pair = dict(events_a=1, cases_a=5, events_b=1, cases_b=5, confidence=0.95)
    for field in ("events_a", "events_b"):
        assert "more events" in fault(proportion.difference_interval, {**pair, field: 6})

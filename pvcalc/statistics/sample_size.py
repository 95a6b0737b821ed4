"""How many cases it takes: to claim a low risk, to find a high one, to compare two groups."""

from math import ceil, log, sqrt

from pvcalc.core.errors import refuse
from pvcalc.core.formula import flag, formula, printed, whole
from pvcalc.statistics.distributions import NEARLY, at_least, normal_below, normal_quantile

MOST_CASES = 20000
ALPHA = (0.0001, 0.5)
POWER = (0.5, 0.999)
AGREES_WITHIN = {"benchmark_test": 1e-9, "comparison_power": 1e-9}


@formula("eypasch1995", seen="derived", claim_fraction=(0.0005, 0.5), confidence=(0.5, 0.9999), sides=whole(1, 2))
def clean_cases_needed(*, claim_fraction, confidence, sides):
    r"""Cases in a row without any event before a risk below the claim is shown.

    $n = \left\lceil \frac{\ln \frac{1 - c}{s}}{\ln (1 - p)} \right\rceil$

    In words: the first whole number of clean cases that a true risk equal to the claim would seldom allow.

    A single event spoils the run; `exact_interval` then says what is left of the claim.

    Args:
        claim_fraction: the risk to be excluded, as a fraction of one.
        confidence: coverage, such as 0.95.
        sides: 1 for a one-sided limit, 2 for the upper end of a two-sided interval.
    Valid: claim 0.0005 to 0.5, confidence 0.5 to 0.9999, 1 to 2 sides, house limits.
    Raises: OutOfRange outside these.
    Not for: promising safety; a low-volume unit takes decades for a claim below 1 %.
    Source: [@eypasch1995, opening page], exact form solved for the number of cases.
    """
    exact = log((1 - confidence) / sides) / log(1 - claim_fraction)
    return ceil(exact * (1 - NEARLY))


def _most_cases(events, p, chance, least):
    """The most cases in which `events` or more still have at most this `chance`, from `least` up; cut at `MOST_CASES` + 1."""
    low, high = least, MOST_CASES + 1
    reach = 1
    while low + reach < high:
        if at_least(low + reach, events, p, 1 - p) > chance:
            high = low + reach
        else:
            low += reach
            reach *= 2
    while high - low > 1:
        middle = (low + high) // 2
        if at_least(middle, events, p, 1 - p) > chance:
            high = middle
        else:
            low = middle
    return low


def _fewest_cases(events, p, chance, most):
    """The fewest cases, up to `most`, in which `events` or more have at least this `chance`."""
    low, high = events - 1, most
    while high - low > 1:
        middle = (low + high) // 2
        if at_least(middle, events, p, 1 - p) >= chance:
            high = middle
        else:
            low = middle
    return high


def _alarm_surely_too_small(p, higher, alpha, power):
    """An alarm count well below the one sought, from the normal approximation: where the exact search may start."""
    reach = normal_quantile(1 - alpha) * sqrt(p * (1 - p)) + normal_quantile(power) * sqrt(higher * (1 - higher))
    cases = reach * reach / ((higher - p) * (higher - p))
    alarm = min(cases, MOST_CASES) * p
    return max(1, int(alarm - sqrt(alarm) - 10))


@formula("", seen="derived", benchmark_fraction=(0.001, 0.9), alternative_fraction=(0.001, 0.99), alpha=ALPHA, power=POWER)
def cases_for_power(*, benchmark_fraction, alternative_fraction, alpha, power):
    r"""Fewest cases that would find a risk above the benchmark.

    $P(X \geq c \mid n, p_0) \leq \alpha \quad P(X \geq c \mid n, p_1) \geq \mathrm{power}$

    In words: the first number of cases for which some alarm count is seldom reached at the benchmark
    and reached with the wanted power at the higher risk. The test is exact and one-sided.

    Power saws up and down with the number of cases; a few cases more may again fall just short of it
    (`benchmark_test` shows it for any number).

    Args:
        benchmark_fraction: acceptable risk, as a fraction of one.
        alternative_fraction: the higher risk that should not stay hidden.
        alpha: probability of an alarm at the benchmark.
        power: probability of an alarm at the higher risk.
    Valid: benchmark 0.001 to 0.9, higher risk up to 0.99, alpha 0.0001 to 0.5, power 0.5 to 0.999, house limits.
    Raises: OutOfRange outside these; NoResult when the risk is not above the benchmark, or above 20 000 cases.
    Not for: two groups of your own; use `cases_to_compare`.
    Source: computed from the definition of an exact binomial test.
    """
    if alternative_fraction <= benchmark_fraction:
        refuse("alternative_fraction", "The risk to be found must lie above the benchmark.")
    events = _alarm_surely_too_small(benchmark_fraction, alternative_fraction, alpha, power)
    most = 0
    while True:
        most = _most_cases(events, benchmark_fraction, alpha * (1 + NEARLY), max(most, events - 1))
        if at_least(most, events, alternative_fraction, 1 - alternative_fraction) >= power * (1 - NEARLY):
            return _fewest_cases(events, alternative_fraction, power * (1 - NEARLY), most)
        if most == MOST_CASES:
            refuse("", "More than 20 000 cases would be needed: these two risks lie too close together.")
        events += 1


@formula("", seen="derived", gives=("alarm_count", "true_alpha", "power"), benchmark_fraction=(0.001, 0.9),
         alternative_fraction=(0.001, 0.99), cases=whole(1, MOST_CASES), alpha=ALPHA)
def benchmark_test(*, benchmark_fraction, alternative_fraction, cases, alpha):
    r"""What a given number of cases can show against a benchmark.

    $P(X \geq c \mid n, p_0) \leq \alpha$

    In words: the smallest count that is seldom reached at the benchmark, how seldom that truly is, and how often it is
    reached at the higher risk.

    Args:
        benchmark_fraction: acceptable risk, as a fraction of one.
        alternative_fraction: the higher risk that should not stay hidden.
        cases: all cases.
        alpha: probability of an alarm at the benchmark that is still allowed.
    Returns: the alarm count, the true probability of an alarm at the benchmark, and the power.
    Valid: benchmark 0.001 to 0.9, higher risk up to 0.99, 1 to 20 000 cases, alpha 0.0001 to 0.5, house limits.
    Raises: OutOfRange outside these; NoResult when the risk is not above the benchmark, or no count is rare enough.
    Not for: looking after every case; use a chart made for it, `cusum_design`.
    Source: computed from the definition of an exact binomial test.
    """
    if alternative_fraction <= benchmark_fraction:
        refuse("alternative_fraction", "The risk to be found must lie above the benchmark.")
    alarm = alarm_count(cases, benchmark_fraction, alpha)
    if alarm > cases:
        refuse("cases", "With so few cases no count is rare enough at the benchmark to be an alarm.")
    return [("alarm_count", alarm), ("true_alpha", at_least(cases, alarm, benchmark_fraction, 1 - benchmark_fraction)),
            ("power", at_least(cases, alarm, alternative_fraction, 1 - alternative_fraction))]


def alarm_count(cases, benchmark, chance):
    """The smallest count that is reached with at most this `chance` at the benchmark; `cases` + 1 when there is none."""
    low, high = 0, cases + 1
    while high - low > 1:
        middle = (low + high) // 2
        if at_least(cases, middle, benchmark, 1 - benchmark) <= chance * (1 + NEARLY):
            high = middle
        else:
            low = middle
    return high


def _z(alpha, sides):
    return normal_quantile(1 - alpha / sides)


@formula("zar1999", fraction_a=(0.001, 0.999), fraction_b=(0.001, 0.999), difference_fraction=(0.001, 0.9),
         group_ratio=(0.1, 10), alpha=ALPHA, power=POWER, sides=whole(1, 2), corrected=flag())
def cases_to_compare(*, fraction_a, fraction_b, difference_fraction, group_ratio, alpha, power, sides, corrected):
    r"""Cases in the first of two groups that would show a difference of their risks.

    $n = \frac{\left(z_\alpha \sqrt{(r + 1) p (1 - p)} + z_\beta \sqrt{r p_a (1 - p_a) + p_b (1 - p_b)}\right)^2}{r d^2}$

    In words: normal approximation, pooled risk p under no difference, separate risks under the difference d;
    the second group has r times as many cases. With the continuity correction, n times
    (1 + root of (1 + 2 (r + 1) / (n r d))) squared, divided by 4. Round up.

    Args:
        fraction_a: risk expected in the first group.
        fraction_b: risk expected in the second group.
        difference_fraction: difference to be shown; usually that between the two risks.
        group_ratio: cases in the second group for each case in the first.
        alpha: probability of finding a difference that is not there.
        power: probability of finding the difference.
        sides: 1 or 2.
        corrected: with the continuity correction or not.
    Valid: risks 0.001 to 0.999, difference 0.001 to 0.9, ratio 0.1 to 10, alpha 0.0001 to 0.5, power 0.5 to 0.999, 1 to 2
    sides, house limits.
    Raises: OutOfRange outside these.
    Not for: a unit against a fixed benchmark; use `cases_for_power`. Not for fewer than about five expected events.
    Source: [@zar1999, example 24.26], form recovered from its two answers.
    """
    pooled = (fraction_a + group_ratio * fraction_b) / (group_ratio + 1)
    none = sqrt((group_ratio + 1) * pooled * (1 - pooled))
    some = sqrt(group_ratio * fraction_a * (1 - fraction_a) + fraction_b * (1 - fraction_b))
    root = (_z(alpha, sides) * none + _z(1 - power, 1) * some) / difference_fraction
    cases = root * root / group_ratio
    if not corrected:
        return cases
    grown = 1 + sqrt(1 + 2 * (group_ratio + 1) / (cases * group_ratio * difference_fraction))
    return cases * grown * grown / 4


@formula("statistics_manual", fraction_a=(0.001, 0.999), fraction_b=(0.001, 0.999), difference_fraction=(0.001, 0.9),
         cases_a=whole(1, MOST_CASES), cases_b=whole(1, MOST_CASES), alpha=ALPHA, sides=whole(1, 2))
def comparison_power(*, fraction_a, fraction_b, difference_fraction, cases_a, cases_b, alpha, sides):
    r"""Power of a comparison of two groups of given size.

    $\Phi\left(\frac{d}{\sqrt{\frac{p_a (1 - p_a)}{n_a} + \frac{p_b (1 - p_b)}{n_b}}} - z_\alpha\right)$

    In words: normal approximation; how often a true difference d exceeds z standard errors. Two-sided,
    the small chance of finding it the wrong way round is added.

    Args:
        fraction_a: risk expected in the first group.
        fraction_b: risk expected in the second group.
        difference_fraction: difference to be shown, less the margin when one is allowed.
        cases_a: cases in the first group.
        cases_b: cases in the second group.
        alpha: probability of finding a difference that is not there.
        sides: 1 or 2.
    Valid: risks 0.001 to 0.999, difference 0.001 to 0.9, 1 to 20 000 cases in each group, alpha 0.0001 to 0.5, 1 to 2
    sides, house limits.
    Raises: OutOfRange outside these.
    Not for: fewer than about five expected events in a group.
    Source: [@statistics_manual, manual page], form recovered from its answer.
    """
    error = sqrt(fraction_a * (1 - fraction_a) / cases_a + fraction_b * (1 - fraction_b) / cases_b)
    reach = difference_fraction / error
    z = _z(alpha, sides)
    wrong_way = normal_below(-reach - z) if sides == 2 else 0.0
    return normal_below(reach - z) + wrong_way


DERIVED = {"kind": "derived", "seen": "derived"}

for claim, one_sided, two_sided in ((0.01, "299", "368"), (0.006, "498", "613"), (0.0024, "1247", "1536")):
    for sides, answer in ((1, one_sided), (2, two_sided)):
        printed(clean_cases_needed, "", "clean cases for a claim", answer=answer, fact="D-Z32", **DERIVED,
                claim_fraction=claim, confidence=0.95, sides=sides)
for benchmark, alternative, answer in ((0.03, 0.06, "282"), (0.03, 0.09, "87"), (0.07, 0.14, "112"), (0.09, 0.18, "87"),
                                       (0.006, 0.012, "1509")):
    printed(cases_for_power, "", "exact one-sided 5 %, power 80 %", answer=answer, fact="D-Z34", **DERIVED,
            benchmark_fraction=benchmark, alternative_fraction=alternative, alpha=0.05, power=0.8)
for alternative, answer in ((0.08, "211"), (0.12, "65"), (0.2, "21"), (0.4, "7")):
    printed(cases_for_power, "chance_model2003", "competent at 4 %; one-sided 5 % and power 80 % inferred", answer=answer,
            fact="D-Z36", benchmark_fraction=0.04, alternative_fraction=alternative, alpha=0.05, power=0.8)
printed(cases_for_power, "poloniecki1998", "doubling from 10 %; one-sided 1 % inferred", answer="160", fact="D-Z35 D-W10",
        benchmark_fraction=0.1, alternative_fraction=0.2, alpha=0.01, power=0.9)
printed(benchmark_test, "poloniecki1998", "160 cases; one-sided 1 % inferred", answer="90", fact="D-W10", result="power",
        factor=100, benchmark_fraction=0.1, alternative_fraction=0.2, cases=160, alpha=0.01)
for result, answer in (("alarm_count", "26"), ("true_alpha", "0.0092"), ("power", "0.903")):
    printed(benchmark_test, "", "160 cases, computed exactly", answer=answer, fact="D-W10", **DERIVED, result=result,
            benchmark_fraction=0.1, alternative_fraction=0.2, cases=160, alpha=0.01)
for group_ratio, answer in ((1, "127.2343"), (3, "83.1527")):
    printed(cases_to_compare, "zar1999", "example 24.26", answer=answer, fact="M-XM18", fraction_a=0.45, fraction_b=0.25,
            difference_fraction=0.2, group_ratio=group_ratio, alpha=0.05, power=0.9, sides=2, corrected=1)
printed(cases_to_compare, "statistics_manual", "8 against 6 %", answer="2554", fact="M-XM19", fraction_a=0.08,
        fraction_b=0.06, difference_fraction=0.02, group_ratio=1, alpha=0.05, power=0.8, sides=2, corrected=0)
ROUNDED = "That library's own correction and rounding are not stated; the usual form gives one more or one less."
for fraction_a, fraction_b, answer, differs in ((0.6, 0.4, "106", ROUNDED), (0.5, 0.5, "109", ROUNDED), (0.3, 0.1, "71", "")):
    printed(cases_to_compare, "open_r_statpsych", "examples of its documentation, both groups alike", answer=answer,
            fact="M-XM22", differs=differs, fraction_a=fraction_a, fraction_b=fraction_b, difference_fraction=0.2,
            group_ratio=1, alpha=0.05, power=0.8, sides=2, corrected=1)
printed(comparison_power, "statistics_manual", "60 against 50 %, margin 0.01", answer="0.82", fact="M-XM20", fraction_a=0.6,
        fraction_b=0.5, difference_fraction=0.09, cases_a=400, cases_b=400, alpha=0.05, sides=1)
printed(comparison_power, "open_r_statpsych", "example of its documentation", answer="0.4998959", fact="M-XM21",
        fraction_a=0.5, fraction_b=0.5, difference_fraction=0.2, cases_a=60, cases_b=40, alpha=0.05, sides=2)

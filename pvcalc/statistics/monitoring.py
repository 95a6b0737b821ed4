"""Watching a series case by case, and a year against a benchmark."""

from math import floor, log

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, listed, printed, whole
from pvcalc.core.units import show
from pvcalc.statistics.distributions import NEARLY, at_most, exactly
from pvcalc.statistics.risk_adjusted import beyond, check_outcomes
from pvcalc.statistics.sample_size import alarm_count

MOST_CASES = 5000
RISK = (0.001, 0.9)
ERROR_RATE = (0.001, 0.4)
STEP = (0.0001, 0.9999)
LEAST_APART = 0.0005  # two risks nearer than this ask for thousands of millions of cases, and their logarithms cancel
AGREES_WITHIN = {"funnel_limits": 1e-9, "run_risk": 1e-9}


def _design(acceptable, unacceptable, alpha, beta):
    """(logarithm of the odds ratio, step, distance down, distance up) of the chart."""
    if unacceptable <= acceptable:
        refuse("unacceptable_fraction", "The unacceptable risk must lie above the acceptable one.")
    if unacceptable - acceptable < LEAST_APART - NEARLY:
        refuse("unacceptable_fraction", "The two risks must lie at least " + show(LEAST_APART, 4) + " apart: no chart tells nearer ones from each other.")
    odds = log(unacceptable * (1 - acceptable) / (acceptable * (1 - unacceptable)))
    return (odds, log((1 - acceptable) / (1 - unacceptable)) / odds, log((1 - alpha) / beta) / odds,
            log((1 - beta) / alpha) / odds)


@formula("rogers2004", gives=("step", "lower_limit", "upper_limit"), acceptable_fraction=RISK, unacceptable_fraction=RISK,
         alpha=ERROR_RATE, beta=ERROR_RATE)
def cusum_design(*, acceptable_fraction, unacceptable_fraction, alpha, beta):
    r"""Step and lines of a chart of cumulative failures.

    $s = \frac{\ln \frac{1 - p_0}{1 - p_1}}{\ln R} \quad h_0 = \frac{\ln \frac{1 - \alpha}{\beta}}{\ln R} \quad h_1 = \frac{\ln \frac{1 - \beta}{\alpha}}{\ln R} \quad R = \frac{p_1 (1 - p_0)}{p_0 (1 - p_1)}$

    In words: R is the odds ratio of the two risks; the step is what each case costs, the lines lie at −h₀ and +h₁.

    It is one sequential test: the first line crossed decides, and the chart is not to be set back to zero at will.
    The two risks decide the verdict more than the cases do, so they belong beside the chart with the definition of
    failure they were chosen for.

    Args:
        acceptable_fraction: risk that is acceptable, as a fraction of one.
        unacceptable_fraction: risk that is not.
        alpha: probability of calling an acceptable risk unacceptable.
        beta: probability of calling an unacceptable risk acceptable.
    Returns: the step, the lower line (negative) and the upper line.
    Valid: risks 0.001 to 0.9, error rates 0.001 to 0.4, house limits.
    Raises: OutOfRange outside these; NoResult when the unacceptable risk is not at least 0.0005 the higher.
    Not for: patients of very different risk; use `risk_adjusted_path`.
    Source: [@rogers2004, as written in an open program that cites it], transcribed from that program.
    """
    _, step, down, up = _design(acceptable_fraction, unacceptable_fraction, alpha, beta)
    return [("step", step), ("lower_limit", -down), ("upper_limit", up)]


def _count_past(limit, each):
    """The first whole number of equal moves that goes past the limit."""
    moves = int(floor(limit / each))
    while not beyond(moves * each, limit):
        moves += 1
    return moves


@formula("rogers2004", seen="derived", gives=("clean_cases", "clean_cases_after_failure", "failures_in_row_count"),
         acceptable_fraction=RISK, unacceptable_fraction=RISK, alpha=ERROR_RATE, beta=ERROR_RATE)
def cusum_reach(*, acceptable_fraction, unacceptable_fraction, alpha, beta):
    r"""What a chart of cumulative failures can say, and how fast.

    $n_0 > \frac{h_0}{s} \quad n_1 = \frac{1 - s}{s} \quad n_2 > \frac{h_1}{1 - s}$

    In words: clean cases from the start until the lower line is passed; clean cases that make good one failure, not
    counting the failing case; failures in a row from the start until the upper line is passed.

    Args:
        acceptable_fraction: risk that is acceptable, as a fraction of one.
        unacceptable_fraction: risk that is not.
        alpha: probability of calling an acceptable risk unacceptable.
        beta: probability of calling an unacceptable risk acceptable.
    Returns: the three numbers of cases.
    Valid: risks 0.001 to 0.9, error rates 0.001 to 0.4, house limits.
    Raises: OutOfRange outside these; NoResult when the unacceptable risk is not at least 0.0005 the higher.
    Not for: patients of very different risk; use `risk_adjusted_path`.
    Source: [@rogers2004, as written in an open program that cites it], derived from its step and lines.
    """
    _, step, down, up = _design(acceptable_fraction, unacceptable_fraction, alpha, beta)
    return [("clean_cases", _count_past(down, step)), ("clean_cases_after_failure", (1 - step) / step),
            ("failures_in_row_count", _count_past(up, 1 - step))]


@formula("rogers2004", gives=("path",), outcomes=listed(0, 1, 1, MOST_CASES), step=STEP)
def cusum_path(*, outcomes, step):
    r"""Height of the chart of cumulative failures after each case.

    $S_i = S_{i-1} + y_i - s$

    In words: up by one for a failure, and down by the step for every case.

    Args:
        outcomes: 1 for a failure and 0 for none, in the order of the cases, abandoned cases included.
        step: from `cusum_design`.
    Returns: one height for each case; up is worse.
    Valid: 1 to 5000 cases, step 0.0001 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when an outcome is neither 0 nor 1.
    Not for: outcomes sorted in any other way than by date. No worked example with all its cases was found in print.
    Source: [@rogers2004, as written in an open program that cites it], transcribed from that program.
    """
    check_outcomes(outcomes, "outcomes")
    failures, path = 0, []
    for place, outcome in enumerate(outcomes):
        failures += int(outcome)
        path.append(failures - (place + 1) * step)
    return [("path", path)]


@formula("rogers2004", gives=("verdict", "decided_after_cases", "lower_limit", "upper_limit"),
         outcomes=listed(0, 1, 1, MOST_CASES), acceptable_fraction=RISK, unacceptable_fraction=RISK, alpha=ERROR_RATE,
         beta=ERROR_RATE)
def cusum_verdict(*, outcomes, acceptable_fraction, unacceptable_fraction, alpha, beta):
    r"""Which line a chart of cumulative failures passed first.

    $S_i < -h_0 \quad \mathrm{or} \quad S_i > h_1$

    In words: below the lower line the risk is called acceptable, above the upper line unacceptable; until then nothing is.
    A point on a line has not passed it. What comes after the first line passed is not part of the test.

    Args:
        outcomes: 1 for a failure and 0 for none, in the order of the cases, abandoned cases included.
        acceptable_fraction: risk that is acceptable, as a fraction of one.
        unacceptable_fraction: risk that is not.
        alpha: probability of calling an acceptable risk unacceptable.
        beta: probability of calling an unacceptable risk acceptable.
    Returns: acceptable, unacceptable or undecided; the cases it took (all, when undecided); the two lines.
    Valid: 1 to 5000 cases, risks 0.001 to 0.9, error rates 0.001 to 0.4, house limits.
    Raises: OutOfRange outside these; NoResult when an outcome is neither 0 nor 1, or the risks are the wrong way round.
    Not for: judging a person by one chart. No worked example with all its cases was found in print.
    Source: [@rogers2004, as written in an open program that cites it], transcribed from that program.
    """
    check_outcomes(outcomes, "outcomes")
    _, step, down, up = _design(acceptable_fraction, unacceptable_fraction, alpha, beta)
    verdict, cases = first_passed(outcomes, step, down, up)
    return [("verdict", verdict), ("decided_after_cases", cases), ("lower_limit", -down), ("upper_limit", up)]


def first_passed(outcomes, step, down, up):
    """(verdict, cases it took) of the first line a chart of cumulative failures passes; a point on a line has not passed it.

    Args:
        outcomes: 1 for a failure and 0 for none, in the order of the cases; step, down, up: of the chart's design.
    Returns "unacceptable", "acceptable" or "undecided" (then with all the cases).
    """
    failures = 0
    for place, outcome in enumerate(outcomes):
        failures += int(outcome)
        height = failures - (place + 1) * step
        if beyond(height, up):
            return "unacceptable", place + 1
        if beyond(-height, down):
            return "acceptable", place + 1
    return "undecided", len(outcomes)


@formula("spiegelhalter2005", gives=("low_count", "high_count"), benchmark_fraction=(0.001, 0.9),
         cases=whole(1, 20000), confidence=(0.5, 0.9999))
def funnel_limits(*, benchmark_fraction, cases, confidence):
    r"""Limits of a funnel plot at one number of cases, interpolated between whole counts.

    $k - \frac{F(k) - q}{F(k) - F(k - 1)}$

    In words: k is the smallest count with a cumulative probability F of at least q; from it is taken the share of its
    probability by which F overshoots q. For 95 % confidence q is 0.025 below and 0.975 above.

    The interpolated line may pass a whole count that `funnel_alarm` does not yet call unusual: the line is for drawing,
    the alarm count for judging. A line that would fall below 0 is 0; a lower line of 0 calls no count unusually low.

    Args:
        benchmark_fraction: risk all are compared with, as a fraction of one; not the average of a few small units.
        cases: cases of the unit.
        confidence: probability between the lines, usually 0.95 and 0.998.
    Returns: lower and upper line, in events.
    Valid: benchmark 0.001 to 0.9, 1 to 20 000 cases, confidence 0.5 to 0.9999, house limits.
    Raises: OutOfRange outside these.
    Not for: ranking units.
    Source: [@spiegelhalter2005, abstract]; interpolation as in [@open_r_ems, documentation], with the limits at the benchmark itself.
    """
    outside = (1 - confidence) / 2
    return [("low_count", max(0.0, _interpolated(benchmark_fraction, cases, outside))),
            ("high_count", max(0.0, _interpolated(benchmark_fraction, cases, 1 - outside)))]


def _interpolated(p, cases, q):
    low, high = -1, cases
    while high - low > 1:
        middle = (low + high) // 2
        if at_most(cases, middle, p, 1 - p) >= q:
            high = middle
        else:
            low = middle
    return high - (at_most(cases, high, p, 1 - p) - q) / exactly(cases, high, p, 1 - p)


@formula("", seen="derived", gives=("alert_count", "alarm_count"), benchmark_fraction=(0.001, 0.9), cases=whole(1, 20000))
def funnel_alarm(*, benchmark_fraction, cases):
    r"""Counts that are unusually high for a benchmark: worth a look, and worth a halt.

    $P(X \geq c) \leq 0.025 \quad P(X \geq c) \leq 0.001$

    In words: the smallest counts reached by chance in no more than 1 in 40, and no more than 1 in 1000, series like this.

    Args:
        benchmark_fraction: risk all are compared with, as a fraction of one.
        cases: cases of the unit.
    Returns: alert count and alarm count; one more than the number of cases when no count is so rare.
    Valid: benchmark 0.001 to 0.9, 1 to 20 000 cases, house limits.
    Raises: OutOfRange outside these.
    Not for: looking after every case; use `cusum_design`.
    Source: the tails of 95 % and 99.8 % limits, as in [@spiegelhalter2005, abstract]; computed exactly.
    """
    return [("alert_count", alarm_count(cases, benchmark_fraction, 0.025)),
            ("alarm_count", alarm_count(cases, benchmark_fraction, 0.001))]


@formula("chance_model2003", seen="derived", run_events=whole(1, 50), cases=whole(1, MOST_CASES), true_fraction=(0.0001, 0.9999))
def run_risk(*, run_events, cases, true_fraction):
    r"""Chance of at least one run of so many events in a row, somewhere in a series.

    $P_n = P_{n-1} + (1 - P_{n-r-1}) (1 - p) p^r$

    In words: a first run of r events ends at case n when it was preceded by one clean case and no run before that.

    Runs look like a cause more often than they are one.

    Args:
        run_events: events in a row.
        cases: cases in the series.
        true_fraction: the true risk, as a fraction of one.
    Valid: runs of 1 to 50, 1 to 5000 cases, risk 0.0001 to 0.9999, house limits.
    Raises: OutOfRange outside these.
    Not for: events out of so many, in any order; use `binomial_tail`.
    Source: [@chance_model2003, abstract], recomputed by the usual recurrence.
    """
    whole_run = 1.0
    for _ in range(run_events):
        whole_run *= true_fraction
    chances = [0.0] * run_events + [whole_run]
    while len(chances) <= cases:
        chances.append(chances[-1] + (1 - chances[-run_events - 1]) * (1 - true_fraction) * whole_run)
    return chances[cases]


DERIVED = {"kind": "derived", "seen": "derived"}

for fact, acceptable, unacceptable, error, step, limit, clean, after, row in (
        ("D-Z20", 0.05, 0.1, 0.1, "0.0724", "2.941", "41", "12.8", "4"),
        ("D-Z21", 0.05, 0.1, 0.05, "0.0724", "3.941", "55", "12.8", "5"),
        ("D-Z22", 0.1, 0.2, 0.1, "0.1452", "2.709", "19", "5.9", "4"),
        ("D-Z23", 0.09, 0.18, 0.1, "0.1306", "2.756", "22", "6.7", "4"),
        ("D-Z24", 0.03, 0.09, 0.1, "0.0549", "1.890", "35", "17.2", "3"),
        ("D-Z25", 0.02, 0.05, 0.1, "0.0328", "2.319", "71", "29.5", "3")):
    chart = {"acceptable_fraction": acceptable, "unacceptable_fraction": unacceptable, "alpha": error, "beta": error}
    for made, result, answer in ((cusum_design, "step", step), (cusum_design, "lower_limit", "-" + limit),
                                 (cusum_design, "upper_limit", limit), (cusum_reach, "clean_cases", clean),
                                 (cusum_reach, "clean_cases_after_failure", after),
                                 (cusum_reach, "failures_in_row_count", row)):
        cut_off = "2.7095 in truth, cut off instead of rounded." if answer[-5:] == "2.709" else ""
        printed(made, "", "designs for a unit of this size", answer=answer, fact=fact, **DERIVED, differs=cut_off,
                result=result, **chart)

for confidence, answer in ((0.95, "13.9"), (0.998, "19.6")):
    printed(funnel_limits, "", "benchmark 7.1 %, in per cent of 50 cases", answer=answer, fact="M-MK5", **DERIVED,
            result="high_count", factor=2, benchmark_fraction=0.071, cases=50, confidence=confidence)
for confidence, answer in ((0.95, "6.97"), (0.998, "9.80")):
    printed(funnel_limits, "", "benchmark 7.1 %, in events of 50 cases", answer=answer, fact="M-MK5", **DERIVED,
            result="high_count", benchmark_fraction=0.071, cases=50, confidence=confidence)
for fact, benchmark, cases, alert, alarm in (("D-Z54", 0.071, 50, "8", "11"), ("D-Z55", 0.03, 30, "4", "6")):
    printed(funnel_alarm, "", "alert and alarm of a small unit", answer=alert, fact=fact, **DERIVED, result="alert_count",
            benchmark_fraction=benchmark, cases=cases)
    printed(funnel_alarm, "", "alert and alarm of a small unit", answer=alarm, fact=fact, **DERIVED, result="alarm_count",
            benchmark_fraction=benchmark, cases=cases)

NOT_REACHED = "Neither counting nor simulation gives it; 11.2 % is right."
for true, answer, differs in ((0.02, "0.4", ""), (0.04, "1.4", ""), (0.12, "21", NOT_REACHED)):
    printed(run_risk, "chance_model2003", "two or more deaths in a row in ten cases", answer=answer, fact="D-W13", factor=100,
            differs=differs, run_events=2, cases=10, true_fraction=true)

"""Counts of events among cases: intervals, tails and chances."""

from math import exp, log, sqrt

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed, whole
from pvcalc.statistics.distributions import at_least, exactly, lower_limit, two_sided_z

MOST_CASES = 1000000
CONFIDENCE = (0.5, 0.9999)
AGREES_WITHIN = {"exact_interval": 1e-9, "binomial_tail": 1e-9, "exact_count_risk": 1e-9, "difference_interval": 1e-9}


def check_count(events, cases, field="events"):
    """Refuse more events than cases."""
    if events > cases:
        refuse(field, "There cannot be more events than cases.")


def wilson_limits(events, cases, z):
    """(low, high) of the score interval that reaches `z` standard errors to each side."""
    share = events / cases
    spread = z * z / cases
    centre = (share + spread / 2) / (1 + spread)
    half = z * sqrt(share * (1 - share) / cases + spread / (4 * cases)) / (1 + spread)
    # The algebra gives exactly 0 and 1 at the ends; the arithmetic only nearly.
    return (centre - half if events else 0.0), (centre + half if events < cases else 1.0)


@formula("newcombe1998single", gives=("low", "high"), events=whole(0, MOST_CASES), cases=whole(1, MOST_CASES),
         confidence=CONFIDENCE)
def wilson_interval(*, events, cases, confidence):
    r"""Score interval of a proportion.

    $\frac{p + \frac{z^2}{2n} \pm z \sqrt{\frac{p (1 - p)}{n} + \frac{z^2}{4 n^2}}}{1 + \frac{z^2}{n}}$

    In words: the proportions from which the count seen is no more than z standard errors away.

    It covers the stated confidence on average; `exact_interval` covers it always and is wider. The plain interval
    of p ± z standard errors goes below zero for small counts and is not offered.

    Args:
        events: cases with the event.
        cases: all cases, abandoned ones included.
        confidence: coverage of the two-sided interval, such as 0.95.
    Returns: lower and upper limit, as fractions of one.
    Valid: 1 to 1 000 000 cases, confidence 0.5 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when events exceed cases.
    Not for: curves with patients lost on the way; use `kaplan_meier`.
    Source: [@newcombe1998single, method 3], transcribed.
    """
    check_count(events, cases)
    low, high = wilson_limits(events, cases, two_sided_z(confidence))
    return [("low", low), ("high", high)]


@formula("newcombe1998single", seen="derived", gives=("low", "high"), events=whole(0, MOST_CASES),
         cases=whole(1, MOST_CASES), confidence=CONFIDENCE)
def exact_interval(*, events, cases, confidence):
    r"""Exact binomial interval of a proportion.

    $P(X \geq k \mid p_{low}) = P(X \leq k \mid p_{high}) = \frac{1 - c}{2}$

    In words: the lower limit is the risk at which as many events or more would be seen with half the remaining
    probability; the upper limit the risk at which as many or fewer would.

    It never covers less than it says, and often more. Without events the lower limit is 0, and all of the interval
    lies on one side; it is still the two-sided one (`zero_event_upper` offers both).

    Args:
        events: cases with the event.
        cases: all cases, abandoned ones included.
        confidence: coverage of the two-sided interval, such as 0.95.
    Returns: lower and upper limit, as fractions of one.
    Valid: 1 to 1 000 000 cases, confidence 0.5 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when events exceed cases.
    Not for: curves with patients lost on the way; use `kaplan_meier`.
    Source: [@newcombe1998single, method 5], computed from its definition.
    """
    check_count(events, cases)
    outside = (1 - confidence) / 2
    return [("low", lower_limit(cases, events, outside)), ("high", 1 - lower_limit(cases, cases - events, outside))]


@formula("eypasch1995", cases=whole(1, MOST_CASES), confidence=CONFIDENCE, sides=whole(1, 2))
def zero_event_upper(*, cases, confidence, sides):
    r"""Highest risk that a series without any event leaves open.

    $p = 1 - \left(\frac{1 - c}{s}\right)^{\frac{1}{n}}$

    In words: the risk at which a run of n clean cases would have the remaining probability, halved for a two-sided limit.

    The "rule of three", 3 divided by n, is the one-sided 95 % limit; two-sided it is 3.7 divided by n. Say which.

    Args:
        cases: cases in a row without an event.
        confidence: coverage, such as 0.95.
        sides: 1 for a one-sided limit, 2 for the upper end of a two-sided interval.
    Valid: 1 to 1 000 000 cases, confidence 0.5 to 0.9999, 1 to 2 sides, house limits.
    Raises: OutOfRange outside these.
    Not for: series with an event; use `exact_interval`.
    Source: [@eypasch1995, opening page], exact form.
    """
    return 1 - exp(log((1 - confidence) / sides) / cases)


@formula("newcombe1998two", gives=("low", "high"), events_a=whole(0, MOST_CASES), cases_a=whole(1, MOST_CASES),
         events_b=whole(0, MOST_CASES), cases_b=whole(1, MOST_CASES), confidence=CONFIDENCE)
def difference_interval(*, events_a, cases_a, events_b, cases_b, confidence):
    r"""Score interval of the difference between two proportions.

    $d - \sqrt{(p_a - l_a)^2 + (u_b - p_b)^2} \quad d + \sqrt{(u_a - p_a)^2 + (p_b - l_b)^2}$

    In words: the difference a minus b, less and plus the root of the summed squares of the score intervals' arms.

    An interval that holds 0 does not show that the two are equal.

    Args:
        events_a: events in the first group.
        cases_a: cases in the first group.
        events_b: events in the second group.
        cases_b: cases in the second group.
        confidence: coverage of the two-sided interval, such as 0.95.
    Returns: lower and upper limit of a minus b, as fractions of one.
    Valid: 1 to 1 000 000 cases in each group, confidence 0.5 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when events exceed cases.
    Not for: the same patients before and after; the groups must be separate.
    Source: [@newcombe1998two, method 10], transcribed.
    """
    check_count(events_a, cases_a, "events_a")
    check_count(events_b, cases_b, "events_b")
    z = two_sided_z(confidence)
    low_a, high_a = wilson_limits(events_a, cases_a, z)
    low_b, high_b = wilson_limits(events_b, cases_b, z)
    share_a, share_b = events_a / cases_a, events_b / cases_b
    below = sqrt((share_a - low_a) * (share_a - low_a) + (high_b - share_b) * (high_b - share_b))
    above = sqrt((high_a - share_a) * (high_a - share_a) + (share_b - low_b) * (share_b - low_b))
    return [("low", share_a - share_b - below), ("high", share_a - share_b + above)]


@formula("", seen="practice", events=whole(0, MOST_CASES), cases=whole(1, MOST_CASES),
         benchmark_fraction=(0.0001, 0.9999))
def binomial_tail(*, events, cases, benchmark_fraction):
    r"""Probability of as many events or more, if the true risk were the benchmark.

    $P(X \geq k) = \sum_{i=k}^{n} \binom{n}{i} p^i (1 - p)^{n - i}$

    In words: the chances of k, k + 1 and so on up to n events, added.

    A small value says that chance alone seldom does this; a large one does not say that the unit is at the benchmark.

    Args:
        events: events seen.
        cases: all cases.
        benchmark_fraction: the risk to compare with, as a fraction of one.
    Valid: 1 to 1 000 000 cases, benchmark 0.0001 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when events exceed cases.
    Not for: looking after every case; use a chart made for it, `cusum_design`.
    Source: common practice.
    """
    check_count(events, cases)
    return at_least(cases, events, benchmark_fraction, 1 - benchmark_fraction)


@formula("", seen="practice", events=whole(0, MOST_CASES), cases=whole(1, MOST_CASES), true_fraction=(0.0001, 0.9999))
def exact_count_risk(*, events, cases, true_fraction):
    r"""Probability of exactly so many events, if the true risk were known.

    $P(X = k) = \binom{n}{k} p^k (1 - p)^{n - k}$

    In words: the number of ways to place k events among n cases, times the chance of each.

    Args:
        events: events counted.
        cases: all cases.
        true_fraction: the true risk, as a fraction of one.
    Valid: 1 to 1 000 000 cases, risk 0.0001 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when events exceed cases.
    Not for: judging a unit; use `binomial_tail`.
    Source: common practice.
    """
    check_count(events, cases)
    return exactly(cases, events, true_fraction, 1 - true_fraction)


def _both(made, source, locator, fact, low, high, how, factor=1.0, **inputs):
    """The two limits of one printed interval; `how` holds what they share, and `low_differs` or `high_differs`."""
    shared = {name: value for name, value in how.items() if name not in ("low_differs", "high_differs")}
    printed(made, source, locator, answer=low, fact=fact, result="low", factor=factor,
            differs=how.get("low_differs", ""), **shared, **inputs)
    printed(made, source, locator, answer=high, fact=fact, result="high", factor=factor,
            differs=how.get("high_differs", ""), **shared, **inputs)


READ = {"seen": "read"}
DERIVED = {"kind": "derived", "seen": "derived"}

for made, low, high, none_high in ((wilson_interval, ".2553", ".3662", ".1611"), (exact_interval, ".2527", ".3676", ".1684")):
    fact = "D-W01" if made is wilson_interval else "D-W02"
    method = "Table I, method 3" if made is wilson_interval else "Table I, method 5"
    _both(made, "newcombe1998single", method, fact, low, high, READ, events=81, cases=263, confidence=0.95)
    _both(made, "newcombe1998single", method, fact, "0", none_high, READ, events=0, cases=20, confidence=0.95)
for events_a, cases_a, events_b, cases_b, low, high, fact in (
        (56, 70, 48, 80, ".0524", ".3339", "D-W03"), (5, 56, 0, 29, "-.0381", ".1926", "D-W04"),
        (0, 10, 0, 20, "-.1611", ".2775", "D-W04")):
    _both(difference_interval, "newcombe1998two", "Table II, method 10", fact, low, high, READ,
          events_a=events_a, cases_a=cases_a, events_b=events_b, cases_b=cases_b, confidence=0.95)
_both(difference_interval, "grunkemeier2007", "two series of 835 and 895, interval computed from the counts", "M-XM23",
      "-8.6", "-0.6", DERIVED, 100, events_a=178, cases_a=835, events_b=232, cases_b=895, confidence=0.95)

# Intervals that papers on this field printed with their counts.
_both(exact_interval, "life_threatening2014", "abstract, deaths, numerator inferred", "D-W14", "0.18", "0.41", READ, 100,
      events=25, cases=8905, confidence=0.95)
_both(exact_interval, "life_threatening2014", "abstract, events, numerator inferred from 2.1 %", "D-W15", "1.8", "2.4",
      READ, 100, events=187, cases=8905, confidence=0.95)
ONE_OF_TWO = "The print is an interval of another kind: "
_both(exact_interval, "luceri2015", "abstract", "D-W17", "3.2", "19.4",
      {"low_differs": ONE_OF_TWO + "plus and minus t standard errors.",
       "high_differs": ONE_OF_TWO + "plus and minus t standard errors."}, 100, events=7, cases=62, confidence=0.95)
_both(exact_interval, "gournay1995", "abstract, stenosis", "D-W18", "66", "86",
      {"low_differs": ONE_OF_TWO + "plus and minus 1.96 standard errors, 66.6 to 86.2.",
       "because": "whole per cent: held to a tenth, as the plain interval's upper end rounds to the same figure",
       "within": 0.1, "high_differs": ONE_OF_TWO + "plus and minus 1.96 standard errors, 66.6 to 86.2."}, 100,
      events=55, cases=72, confidence=0.95)
_both(exact_interval, "gournay1995", "abstract, atresia", "D-X16", "28", "80",
      {"low_differs": "No usual interval gives these limits.", "high_differs": "No usual interval gives these limits."},
      100, events=5, cases=9, confidence=0.95)
_both(exact_interval, "mah2014", "abstract", "D-W19", "1.9", "2.6",
      {"low_differs": "The exact limit is 1.83: rounded up, or of another kind."}, 100,
      events=135, cases=6183, confidence=0.95)

# Intervals computed independently from the counts of the registries and series.
FROM_COUNTS = "interval computed from the printed counts"
for source, fact, events, cases, low, high in (
        ("stanger1990", "D-R01", 2, 822, "0.03", "0.88"), ("stanger1990", "D-R02", 5, 822, "0.20", "1.41"),
        ("stanger1990", "D-R03", 11, 822, "0.67", "2.38"), ("stanger1990", "D-R04", 21, 822, "1.59", "3.88"),
        ("stanger1990", "D-R08", 3, 822, "0.08", "1.06"), ("holzer2012", "D-R13", 0, 211, "0", "1.73"),
        ("moore2014", "D-R14", 0, 270, "0", "1.36"), ("egypt_multicentre", "D-R17", 2, 146, "0.17", "4.86"),
        ("egypt_multicentre", "D-R17", 1, 146, "0.02", "3.76"), ("rao1998", "D-R21", 9, 82, "5.1", "19.8"),
        ("lenoir2022", "D-R28", 14, 143, "5.5", "15.9"), ("parent_persistence", "D-R29", 3, 53, "1.2", "15.7"),
        ("cadavid2006", "D-R34", 17, 187, "5.4", "14.2"),
        ("abutair2025", "D-R47", 15, 62, "14.2", "36.7"), ("holzmann2018", "D-R51", 7, 14, "23", "77"),
        ("fawzy2007", "D-R63", 0, 90, "0", "4.0"), ("taggart2013", "D-R67", 0, 132, "0", "2.76"),
        ("", "D-Z50", 1, 30, "0.08", "17.2"), ("", "D-Z51", 2, 60, "0.41", "11.5"), ("", "D-Z52", 3, 40, "1.57", "20.4"),
        ("", "D-Z53", 4, 50, "2.2", "19.2"), ("", "D-Z30", 0, 30, "0", "11.57")):
    _both(exact_interval, source, FROM_COUNTS, fact, low, high, DERIVED, 100, events=events, cases=cases, confidence=0.95)
_both(exact_interval, "colli1995", FROM_COUNTS, "D-R40", "16.4", "48.1",
      {"low_differs": "Rounded twice: 16.347 by way of 16.35.", "kind": "derived", "seen": "derived"}, 100, events=11,
      cases=36, confidence=0.95)
for source, fact, events, cases, low, high in (
        ("stanger1990", "D-R01", 2, 822, "0.07", "0.88"), ("stanger1990", "D-R02", 5, 822, "0.26", "1.42"),
        ("devanagondi2016", "M-MA1", 37, 62, "47", "71"), ("devanagondi2016", "M-MA1", 3, 103, "1.0", "8.2"),
        ("rao1998", "M-MA3", 9, 82, "5.9", "19.6"), ("", "D-Z30", 0, 30, "0", "11.35")):
    _both(wilson_interval, source, FROM_COUNTS, fact, low, high, DERIVED, 100, events=events, cases=cases, confidence=0.95)
for events, answer in ((1, "5.57"), (2, "7.22"), (3, "8.77"), (4, "10.24")):
    printed(exact_interval, "", "small numerators, upper limit times cases", answer=answer, fact="D-F05", **DERIVED,
            result="high", factor=MOST_CASES, events=events, cases=MOST_CASES, confidence=0.95)

ROUGH = "Written roughly in the source: 3 divided by the number of cases gives 3.6 and 3.7."
for cases, answer, factor, differs in ((842, "3", 1000, ROUGH), (8192, "3", 10000, ROUGH), (100, "3", 100, ""),
                                       (50, "6", 100, ""), (1000, "0.3", 100, "")):
    printed(zero_event_upper, "eypasch1995", "rule of three, examples", answer=answer, fact="D-W05", factor=factor,
            differs=differs, cases=cases, confidence=0.95, sides=1)
printed(zero_event_upper, "rule_of_three_page", "3.69 divided by n", answer="3.69", fact="D-F04", factor=MOST_CASES,
        cases=MOST_CASES, confidence=0.95, sides=2)
for cases, sides, answer, fact in ((211, 1, "1.41", "D-R13"), (30, 1, "9.50", "D-Z30"), (30, 2, "11.57", "D-Z30")):
    printed(zero_event_upper, "", FROM_COUNTS, answer=answer, fact=fact, **DERIVED, factor=100, cases=cases, confidence=0.95,
            sides=sides)

for events, cases, benchmark, answer, fact in (
        (1, 30, 0.006, "0.165", "D-Z50"), (2, 60, 0.006, "0.051", "D-Z51"), (3, 40, 0.03, "0.118", "D-Z52"),
        (4, 50, 0.071, "0.478", "D-Z53"), (8, 50, 0.071, "0.024", "D-Z54"), (10, 50, 0.071, "0.0024", "D-Z54"),
        (4, 30, 0.03, "0.012", "D-Z55"), (5, 30, 0.03, "0.0018", "D-Z55")):
    printed(binomial_tail, "", "unit against benchmark", answer=answer, fact=fact, **DERIVED, events=events, cases=cases,
            benchmark_fraction=benchmark)
for true, answer in ((0.01, "0.740"), (0.006, "0.835"), (0.02, "0.545"), (0.03, "0.401"), (0.05, "0.215")):
    printed(exact_count_risk, "", "no event in 30 cases", answer=answer, fact="D-Z31", **DERIVED, events=0, cases=30,
            true_fraction=true)
printed(exact_count_risk, "chance_model2003", "no death in 40 cases at 8 %", answer="3.6", fact="D-W11 D-Z36", factor=100,
        events=0, cases=40, true_fraction=0.08)
for true, answer, differs in ((0.02, "1", "1.53 in truth: the print cuts it off instead of rounding."), (0.04, "5", ""),
                              (0.12, "23", "")):
    printed(exact_count_risk, "chance_model2003", "two deaths in ten cases", answer=answer, fact="D-W12", factor=100,
            differs=differs, events=2, cases=10, true_fraction=true)

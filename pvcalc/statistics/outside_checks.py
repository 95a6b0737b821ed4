"""Results that other programs print in their documentation and tests, held against the formulas of this room."""

import math

from pvcalc.core.formula import printed
from pvcalc.statistics.monitoring import funnel_alarm
from pvcalc.statistics.proportion import binomial_tail, difference_interval, exact_interval, wilson_interval
from pvcalc.statistics.risk_adjusted import risk_adjusted_path, risk_adjusted_weight
from pvcalc.statistics.sample_size import clean_cases_needed
from pvcalc.statistics.survival import kaplan_meier

SOFTWARE = {"kind": "other-software"}
RUN = {"kind": "other-software", "seen": "derived"}  # asked of that program here, not read in its text
MACHINE = {"because": "the last digits are another machine's arithmetic", "within": 1e-9}

# Ten cases at a risk of 5 %, events at the second and the eighth; then ten with fixed steps of +0.6 and −0.2.
TEN = [0, 1, 0, 0, 0, 0, 0, 1, 0, 0]
STEPS = {"odds_ratio": math.exp(0.8), "risk": (math.exp(0.2) - 1) / (math.exp(0.8) - 1)}  # the odds ratio and the risk that weigh +0.6 and −0.2
for _locator, _fact, _odds, _risk, _path in (
        ("tests of the risk-adjusted chart, ten cases", "O-N39", 2, 0.05,
         ("0.00", "0.64", "0.60", "0.55", "0.50", "0.45", "0.40", "1.04", "1.00", "0.95")),
        ("version 0.4.1, steps of +0.6 and −0.2", "O-N43", STEPS["odds_ratio"], STEPS["risk"],
         ("0", "0.6", "0.4", "0.2", "0", "0", "0", "0.6", "0.4", "0.2"))):
    for _case, _answer in enumerate(_path, 1):
        printed(risk_adjusted_path, "open_r_cusum", _locator, answer=_answer, fact=_fact, **SOFTWARE, result="upper_path", member=_case,
                events=TEN, predicted_fractions=[_risk] * 10, odds_ratio=_odds)
printed(risk_adjusted_weight, "open_r_cusum", "tests of the risk-adjusted chart, one event at a risk of 0.2", answer="0.51", fact="O-N40",
        **SOFTWARE, event=1, predicted_fraction=0.2, odds_ratio=2)

# A score, its logit −3.67 + 0.077 times the score; the tests themselves allow a hundredth.
for _score, _event, _odds, _answer in ((19, 0, 2, "-0.0954"), (19, 1, 2, "0.5986"), (0, 0, 2, "-0.0245"), (0, 1, 2, "0.6686"),
                                       (19, 0, 0.5, "0.05083")):
    printed(risk_adjusted_weight, "open_r_vlad", "tests, after Rigdon and Fricker, pages 225-226", answer=_answer, fact="O-N41", **SOFTWARE,
            because="the tests allow 0.01", within=0.01, event=_event, odds_ratio=_odds,
            predicted_fraction=1 / (1 + math.exp(3.67 - 0.077 * _score)))
for _score, _event, _odds, _answer in ((0, 0, 2, "-0.024"), (0, 1, 2, "0.669"), (50, 0, 2, "-0.433"), (50, 1, 2, "0.26"), (0, 0, 0.5, "0.012"),
                                       (0, 1, 0.5, "-0.681"), (50, 0, 0.5, "0.316"), (50, 1, 0.5, "-0.377")):
    printed(risk_adjusted_weight, "open_r_vlad", "tests, after Steiner 2014, page 234, with the scores 0 and 50 of the paper of 2000",
            answer=_answer, fact="O-N42", **SOFTWARE, event=_event, odds_ratio=_odds, predicted_fraction=1 / (1 + math.exp(3.68 - 0.077 * _score)))

# Counts against a benchmark, and intervals.
printed(binomial_tail, "scipy_stats", "documentation of binomtest", answer="0.18406106910639114", fact="O-N47", **SOFTWARE, **MACHINE,
        events=3, cases=15, benchmark_fraction=0.1)
printed(binomial_tail, "statsmodels_tests", "test of proportions, computed in R", answer="0.02654424571169085", fact="O-N49", **SOFTWARE,
        **MACHINE, events=51, cases=235, benchmark_fraction=1 / 6)
for _made, _source, _fact, _events, _cases, _low, _high in (
        (exact_interval, "scipy_stats", "O-N48", 7, 50, "0.05819170033997342", "0.26739600249700846"),
        (exact_interval, "statsmodels_tests", "O-N50", 18, 20, "0.6830172859809176", "0.9876514728297052"),
        (wilson_interval, "statsmodels_tests", "O-N50", 18, 20, "0.6989663547715128", "0.972133518786232"),
        (exact_interval, "statsmodels_tests", "O-N51", 4, 20, "0.05733399705003284", "0.436614002996668"),
        (wilson_interval, "statsmodels_tests", "O-N51", 4, 20, "0.0806576625797981", "0.4160174322518935"),
        (exact_interval, "statsmodels_tests", "O-N52", 4, 200, "0.005475565879556443", "0.05041360908989634"),
        (wilson_interval, "statsmodels_tests", "O-N52", 4, 200, "0.00780442641634947", "0.05028708690582643"),
        (wilson_interval, "statsmodels_tests", "O-N53", 19, 38, "0.348499283643951", "0.651500716356049")):
    for _end, _answer in (("low", _low), ("high", _high)):
        printed(_made, _source, "intervals of one proportion", answer=_answer, fact=_fact, **SOFTWARE, **MACHINE, result=_end, events=_events,
                cases=_cases, confidence=0.95)
for _end, _answer in (("low", "0.019"), ("high", "0.34")):
    printed(difference_interval, "statsmodels_tests", "table quoted from Fagerland, Lydersen and Laake 2015", answer=_answer, seen="second",
            fact="O-N54", result=_end, events_a=7, cases_a=34, events_b=1, cases_b=34, confidence=0.95)

# Eleven patients of the maintained arm of an open data set of leukaemia.
ARM = {"times": [9, 13, 13, 18, 23, 28, 31, 34, 45, 48, 161], "events": [1, 1, 0, 1, 1, 0, 1, 1, 0, 1, 0], "confidence": 0.95}
for _column, _answers in (("survival", (".909", ".818", ".716", ".614", ".491", ".368", ".184")),
                          ("error", (".0867", ".1163", ".1397", ".1526", ".1642", ".1627", ".1535"))):
    for _row, _answer in enumerate(_answers, 1):
        printed(kaplan_meier, "open_r_survival", "data set aml, maintained arm", answer=_answer, fact="O-N55", **SOFTWARE, result=_column,
                member=_row, **ARM)

# The same questions asked of an exact binomial distribution elsewhere.
for _claim, _answer in ((0.05, "59"), (0.01, "299"), (0.001, "2995")):
    printed(clean_cases_needed, "scipy_stats", "version 1.17.1, first number with binom.pmf(0, n, p) of 0.05 or less", answer=_answer,
            fact="O-S4", **RUN, claim_fraction=_claim, confidence=0.95, sides=1)
for _cases, _risk, _alert, _alarm in ((50, 0.071, "8", "11"), (200, 0.05, "17", "22"), (30, 0.1, "8", "10")):
    for _end, _answer in (("alert_count", _alert), ("alarm_count", _alarm)):
        printed(funnel_alarm, "scipy_stats", "version 1.17.1, first count whose binom.sf is rare enough", answer=_answer, fact="O-S5", **RUN,
                result=_end, cases=_cases, benchmark_fraction=_risk)

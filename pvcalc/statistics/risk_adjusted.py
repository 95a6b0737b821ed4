"""Charts that give each case its own predicted risk."""

from math import log

from pvcalc.core.errors import refuse
from pvcalc.core.formula import flag, formula, listed, printed
from pvcalc.statistics.distributions import NEARLY

MOST_CASES = 5000
RISK = (0.0001, 0.9999)
ODDS_RATIO = (0.05, 20)


def beyond(score, limit):
    """True when a chart has gone past its line; on the line is not past it, whatever the last bit says."""
    return score > limit * (1 + NEARLY)


def check_outcomes(outcomes, field):
    """Refuse a list that holds anything but events and non-events."""
    for outcome in outcomes:
        if outcome not in (0, 1):
            refuse(field, "Each entry must be 1 (event) or 0 (none).")


def _check_odds_ratio(odds_ratio):
    if odds_ratio == 1:
        refuse("odds_ratio", "An odds ratio of 1 looks for no change at all; 2 looks for doubled odds.")


def _weight(event, predicted, odds_ratio):
    return (log(odds_ratio) if event else 0.0) - log(1 - predicted + odds_ratio * predicted)


@formula("steiner2000", event=flag(), predicted_fraction=RISK, odds_ratio=ODDS_RATIO)
def risk_adjusted_weight(*, event, predicted_fraction, odds_ratio):
    r"""What one case adds to a risk-adjusted chart.

    $W = y \ln R - \ln (1 - p + R p)$

    In words: y is 1 for an event and 0 for none, p the predicted risk, R the odds ratio the chart looks for: above 1 for
    worse than predicted, below 1 for better.

    Args:
        event: 1 when it happened, 0 when not.
        predicted_fraction: risk predicted for this patient before the procedure, as a fraction of one.
        odds_ratio: the change of the odds that should not stay hidden.
    Valid: predicted risk 0.0001 to 0.9999, odds ratio 0.05 to 20 but not 1, house limits.
    Raises: OutOfRange outside these; NoResult at an odds ratio of 1.
    Not for: predictions made after the outcome was known.
    Source: [@steiner2000, page 446], transcribed from an open program that cites it.
    """
    _check_odds_ratio(odds_ratio)
    return _weight(event, predicted_fraction, odds_ratio)


def _checked(events, predicted, odds_ratio):
    """The two odds ratios looked for, the worse first; refuses lists that do not match."""
    _check_odds_ratio(odds_ratio)
    check_outcomes(events, "events")
    if len(events) != len(predicted):
        refuse("predicted_fractions", "There must be one predicted risk for each of the events.")
    return max(odds_ratio, 1 / odds_ratio), min(odds_ratio, 1 / odds_ratio)


@formula("steiner2000", gives=("upper_path", "lower_path"), events=listed(0, 1, 1, MOST_CASES),
         predicted_fractions=listed(0.0001, 0.9999, 1, MOST_CASES), odds_ratio=ODDS_RATIO)
def risk_adjusted_path(*, events, predicted_fractions, odds_ratio):
    r"""Both sides of a risk-adjusted chart after each case, never set back.

    $C_i = \max (0, C_{i-1} + W_i) \quad D_i = \min (0, D_{i-1} - W_i)$

    In words: the upper side adds the weights for an odds ratio above 1 and never falls below 0; the lower side subtracts
    those for its reciprocal and never rises above 0. Up is worse than predicted, down is better.

    Args:
        events: 1 for an event and 0 for none, in the order of the cases.
        predicted_fractions: risk predicted for each of them.
        odds_ratio: the change looked for; 2 looks for doubled and for halved odds, and so does 0.5.
    Returns: upper and lower side, one height for each case.
    Valid: 1 to 5000 cases, predicted risk 0.0001 to 0.9999, odds ratio 0.05 to 20 but not 1, house limits.
    Raises: OutOfRange outside these; NoResult when the lists do not match or an event is neither 0 nor 1.
    Not for: a verdict; see `risk_adjusted_signals`.
    Source: [@steiner2000, page 446], transcribed from an open program that cites it.
    """
    worse, better = _checked(events, predicted_fractions, odds_ratio)
    up, down, upper, lower = 0.0, 0.0, [], []
    for event, predicted in zip(events, predicted_fractions):
        up = max(0.0, up + _weight(event, predicted, worse))
        down = min(0.0, down - _weight(event, predicted, better))
        upper.append(up)
        lower.append(down)
    return [("upper_path", upper), ("lower_path", lower)]


@formula("steiner2000", gives=("first_signal_case", "worse_signals", "better_signals", "upper_path", "lower_path"),
         events=listed(0, 1, 1, MOST_CASES), predicted_fractions=listed(0.0001, 0.9999, 1, MOST_CASES),
         odds_ratio=ODDS_RATIO, limit=(0.1, 50))
def risk_adjusted_signals(*, events, predicted_fractions, odds_ratio, limit):
    r"""Cases at which a risk-adjusted chart signals; after a signal that side starts again from 0.

    $C_i > h \quad \mathrm{or} \quad D_i < -h$

    In words: a signal when a side has gone past the limit; a point on the limit is not a signal. With the case after a
    signal the side begins anew, once the cause has been looked for.

    The limit decides how often chance alone signals; ln((1 − β) / α) is a starting point, simulation of the unit's own
    mix of risks is better.

    Args:
        events: 1 for an event and 0 for none, in the order of the cases.
        predicted_fractions: risk predicted for each of them.
        odds_ratio: the change looked for; 2 looks for doubled and for halved odds, and so does 0.5.
        limit: height of the limit, the same on both sides.
    Returns: first case with a signal of worse results (none when there is none), all such cases, all cases with a signal
        of better results, and both sides of the chart, each with its height just before it starts again.
    Valid: 1 to 5000 cases, predicted risk 0.0001 to 0.9999, odds ratio 0.05 to 20 but not 1, limit 0.1 to 50, house limits.
    Raises: OutOfRange outside these; NoResult when the lists do not match or an event is neither 0 nor 1.
    Not for: limits borrowed from a unit with another mix of patients.
    Source: [@steiner2000, page 446], signal past the limit as in [@open_r_vlad, tests].
    """
    worse, better = _checked(events, predicted_fractions, odds_ratio)
    up, down, upper, lower, rises, falls = 0.0, 0.0, [], [], [], []
    for place, event in enumerate(events):
        up = max(0.0, up + _weight(event, predicted_fractions[place], worse))
        down = min(0.0, down - _weight(event, predicted_fractions[place], better))
        upper.append(up)
        lower.append(down)
        if beyond(up, limit):
            rises.append(place + 1)
            up = 0.0
        if beyond(-down, limit):
            falls.append(place + 1)
            down = 0.0
    return [("first_signal_case", rises[0] if rises else None), ("worse_signals", rises), ("better_signals", falls),
            ("upper_path", upper), ("lower_path", lower)]


# Predicted risks of the published model at scores 0 and 50: logit = -3.68 + 0.077 times the score.
AT_0, AT_50 = 0.0246024284, 0.5423979408
for predicted, event, odds_ratio, answer, fact in (
        (AT_0, 0, 2, "-0.024", "D-W06"), (AT_0, 1, 2, "0.67", "D-W06"), (AT_50, 0, 2, "-0.43", "D-W06"),
        (AT_50, 1, 2, "0.26", "D-W06"), (AT_0, 0, 0.5, "0.012", "D-W07"), (AT_0, 1, 0.5, "-0.681", "D-W07"),
        (AT_50, 0, 0.5, "0.316", "D-W07"), (AT_50, 1, 0.5, "-0.377", "D-W07")):
    printed(risk_adjusted_weight, "steiner2000", "page 446, scores 0 and 50", answer=answer, fact=fact, event=event,
            predicted_fraction=predicted, odds_ratio=odds_ratio)
for predicted, event, answer in ((AT_0, 0, "-0.0243"), (AT_0, 1, "0.6688"), (AT_50, 0, "-0.4333"), (AT_50, 1, "0.2598")):
    printed(risk_adjusted_weight, "open_r_vlad", "run again", answer=answer, fact="M-MK1", kind="derived", seen="derived",
            event=event, predicted_fraction=predicted, odds_ratio=2)

# 104 operations, deaths at 53, 55, 59, 63, 64, 67 and 68, one earlier and one later; which, the source does not say.
LATE_DEATHS = (53, 55, 59, 63, 64, 67, 68, 90)
for early, acceptable, unacceptable, answer in ((1, 0.05, 0.1, "63"), (52, 0.05, 0.1, "59"), (1, 0.02, 0.05, "59"),
                                                (52, 0.02, 0.05, "55")):
    printed(risk_adjusted_signals, "deleval1994", "abstract, chart computed from it", answer=answer, fact="D-W26",
            kind="derived", seen="derived", result="first_signal_case", limit=log(9), predicted_fractions=[acceptable] * 104,
            events=[1 if case == early or case in LATE_DEATHS else 0 for case in range(1, 105)],
            odds_ratio=unacceptable * (1 - acceptable) / (acceptable * (1 - unacceptable)))

"""Events over time: steady and stepwise hazards, and the event-free curve of a cohort."""

from math import exp, log, sqrt

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, listed, printed
from pvcalc.core.sorting import sorted_soon
from pvcalc.statistics.distributions import two_sided_z

EVENT_FREE = (0.001, 1)
MOST_PATIENTS = 5000


@formula("", seen="practice", event_free_fraction=EVENT_FREE, years=(0.01, 80))
def annual_hazard(*, event_free_fraction, years):
    r"""Steady yearly hazard that would leave this fraction event-free.

    $\lambda = -\frac{\ln S}{t}$

    In words: minus the natural logarithm of the event-free fraction, divided by the years.

    Restenosis comes early and valve replacement late: no steady hazard describes either. Where the
    curve's steps are known use `step_hazards`; a prevalence at one visit has no hazard at all.

    Args:
        event_free_fraction: fraction without the event, as a fraction of one.
        years: time to which it belongs.
    Valid: event-free 0.001 to 1, 0.01 to 80 years, house limits.
    Raises: OutOfRange outside these.
    Not for: a finding that was already there on the first day.
    Source: common practice.
    """
    return -log(event_free_fraction) / years


@formula("", seen="practice", annual_hazard=(0, 5), years=(0, 80))
def risk_over_years(*, annual_hazard, years):
    r"""Chance of the event within some years at a steady hazard.

    $p = 1 - e^{-\lambda t}$

    In words: one minus e to the power of minus hazard times years.

    Args:
        annual_hazard: events for each year that a patient is followed.
        years: the time asked for.
    Valid: hazard 0 to 5 a year, 0 to 80 years, house limits.
    Raises: OutOfRange outside these.
    Not for: hazards that change with time; use `conditional_risk` on the curve itself.
    Source: common practice.
    """
    return 1 - exp(-annual_hazard * years)


@formula("", seen="practice", event_free_fraction=EVENT_FREE, years=(0.01, 80))
def annual_risk(*, event_free_fraction, years):
    r"""Chance of the event within one year, if every year were alike.

    $p = 1 - S^{\frac{1}{t}}$

    In words: one minus the event-free fraction to the power of one divided by the years.

    Args:
        event_free_fraction: fraction without the event, as a fraction of one.
        years: time to which it belongs.
    Valid: event-free 0.001 to 1, 0.01 to 80 years, house limits.
    Raises: OutOfRange outside these.
    Not for: risks that change with time; use `step_hazards`.
    Source: common practice.
    """
    return 1 - exp(log(event_free_fraction) / years)


@formula("", seen="practice", event_free_start_fraction=EVENT_FREE, event_free_end_fraction=(0, 1))
def conditional_risk(*, event_free_start_fraction, event_free_end_fraction):
    r"""Chance of the event between two times, for those still free of it at the first.

    $p = 1 - \frac{S_2}{S_1}$

    In words: one minus the later event-free fraction divided by the earlier one. No steady hazard is assumed.

    Args:
        event_free_start_fraction: event-free fraction at the earlier time.
        event_free_end_fraction: event-free fraction at the later time.
    Valid: earlier fraction 0.001 to 1, later 0 to 1, house limits.
    Raises: OutOfRange outside these; NoResult when the curve would rise.
    Not for: two different cohorts.
    Source: common practice.
    """
    if event_free_end_fraction > event_free_start_fraction:
        refuse("event_free_end_fraction", "An event-free fraction cannot rise with time: are the two exchanged?")
    return 1 - event_free_end_fraction / event_free_start_fraction


@formula("", seen="practice", gives=("from_years", "to_years", "hazards", "conditional_risk"), years=listed(0.01, 80, 1, 60),
         event_free_fractions=listed(0.001, 1, 1, 60))
def step_hazards(*, years, event_free_fractions):
    r"""Hazard of each step of an event-free curve that starts at 1.

    $\lambda_i = \frac{\ln S_{i-1} - \ln S_i}{t_i - t_{i-1}}$

    In words: fall of the logarithm of the event-free fraction over a step, divided by the step's years.

    The last steps rest on few patients; a curve without numbers at risk has no usable interval. No worked example with
    these hazards was found in print; the risks of the steps are those of `conditional_risk`.

    Args:
        years: times at which the curve is given, rising.
        event_free_fractions: event-free fraction at each of them.
    Returns: start and end of each step, its yearly hazard, and the risk over the step for those still free at its start.
    Valid: 1 to 60 steps, 0.01 to 80 years, event-free 0.001 to 1, house limits.
    Raises: OutOfRange outside these; NoResult when the lists do not match, times do not rise or the curve rises.
    Not for: times beyond the last step.
    Source: common practice.
    """
    if len(years) != len(event_free_fractions):
        refuse("event_free_fractions", "There must be one event-free fraction for each of the years.")
    starts, hazards, risks = [0.0] + years[:-1], [], []
    free = 1.0
    for start, end, still_free in zip(starts, years, event_free_fractions):
        if end <= start:
            refuse("years", "The years must rise from one to the next.")
        if still_free > free:
            refuse("event_free_fractions", "An event-free fraction cannot rise with time.")
        hazards.append((log(free) - log(still_free)) / (end - start))
        risks.append(1 - still_free / free)
        free = still_free
    return [("from_years", starts), ("to_years", years), ("hazards", hazards), ("conditional_risk", risks)]


def curve(times, events, z):
    """Rows (time, at risk, events, survival, error, low, high) of the event-free curve, one for each time with an event."""
    if len(times) != len(events):
        refuse("events", "There must be one entry for each of the times.")
    for happened in events:
        if happened not in (0, 1):
            refuse("events", "Each entry must be 1 (event) or 0 (followed so far without one).")
    if 1 not in events:
        refuse("events", "Nobody had the event: there is no curve; `zero_event_upper` says what that can show.")
    rows = []
    pairs = sorted_soon(list(zip(times, events)))
    free, spread, place = 1.0, 0.0, 0
    while place < len(pairs):
        time, left = pairs[place][0], len(pairs) - place
        happened = 0
        while place < len(pairs) and pairs[place][0] == time:
            happened += int(pairs[place][1])
            place += 1
        if happened:
            free *= (left - happened) / left
            if left > happened:
                spread += happened / (left * (left - happened))
            rows.append(_row(time, left, happened, free, spread, z, rows))
    return rows


def _row(time, left, happened, free, spread, z, rows):
    """One row; its limits are symmetrical for ln(−ln S), so that they stay between 0 and 1."""
    if left == happened:
        # Nobody is left event-free: no error can be computed; the limit before still holds, as the curve only falls.
        return time, left, happened, 0.0, 0.0, 0.0, rows[-1][6] if rows else 1.0
    arm = z * sqrt(spread) / -log(free)
    return (time, left, happened, free, free * sqrt(spread), exp(log(free) * exp(arm)), exp(log(free) * exp(-arm)))


CURVE = ("times", "at_risk", "events", "survival", "error", "low", "high")


@formula("bewick2004", gives=CURVE, times=listed(0, 50000, 1, MOST_PATIENTS), events=listed(0, 1, 1, MOST_PATIENTS),
         confidence=(0.5, 0.9999))
def kaplan_meier(*, times, events, confidence):
    r"""Event-free curve of a cohort in which some are still being followed.

    $S(t) = \prod_{t_i \leq t} \frac{n_i - d_i}{n_i}$

    In words: at each time with an event, the curve is multiplied by the share of those at risk who did not have it.
    The standard error is Greenwood's: S times the root of the sum of d / (n (n − d)). The limits are symmetrical on
    the scale of ln(−ln S).

    Somebody whose follow-up ends on the day of another's event still counts as at risk on that day. Deaths from other
    causes must not be entered as the end of follow-up without saying so: they make the event look commoner.

    Args:
        times: follow-up of each patient, to the event or to the last visit, all in one unit.
        events: for each patient 1 when the follow-up ended with the event, 0 when without.
        confidence: coverage of the limits, such as 0.95.
    Returns: one entry for each time with an event: the time, those at risk just before, events, event-free fraction,
        Greenwood's standard error, lower and upper limit. Once nobody is left, error and lower limit are 0 and the upper
        limit stays where it was.
    Valid: 1 to 5000 patients, times 0 to 50 000, confidence 0.5 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult when the lists do not match or nobody had the event.
    Not for: times beyond the last follow-up.
    Source: [@bewick2004, table 2], transcribed.
    """
    rows = curve(times, events, two_sided_z(confidence))
    return [(name, [row[place] for row in rows]) for place, name in enumerate(CURVE)]


@formula("bewick2004", gives=("survival", "error", "low", "high"), times=listed(0, 50000, 1, MOST_PATIENTS),
         events=listed(0, 1, 1, MOST_PATIENTS), confidence=(0.5, 0.9999), at_time=(0, 50000))
def kaplan_meier_at(*, times, events, confidence, at_time):
    r"""Event-free fraction at one time, read off the curve of `kaplan_meier`.

    $S(t) = \prod_{t_i \leq t} \frac{n_i - d_i}{n_i}$

    In words: the height of the event-free curve at the time asked for, with its error and limits.

    Args:
        times: follow-up of each patient, to the event or to the last visit, all in one unit.
        events: for each patient 1 when the follow-up ended with the event, 0 when without.
        confidence: coverage of the limits, such as 0.95.
        at_time: the time asked for, in the same unit.
    Returns: event-free fraction, Greenwood's standard error, lower and upper limit.
    Valid: 1 to 5000 patients, times 0 to 50 000, confidence 0.5 to 0.9999, house limits.
    Raises: OutOfRange outside these; NoResult before the first event or after the last follow-up.
    Not for: comparing groups.
    Source: [@bewick2004, table 2], transcribed.
    """
    rows = [row for row in curve(times, events, two_sided_z(confidence)) if row[0] <= at_time]
    if not rows:
        refuse("at_time", "Before the first event everybody is event-free, and no error can be computed.")
    if at_time > max(times):
        refuse("at_time", "Nobody was followed that long.")
    return list(zip(("survival", "error", "low", "high"), rows[-1][3:]))


DERIVED = {"kind": "derived", "seen": "derived"}
FROM_CURVE = "step of the printed curve 94, 89, 88, 84 % at 1, 2, 5 and 10 years"

printed(annual_hazard, "prob_to_rate_manual", "half within 2 years", answer="0.35", fact="D-W20", event_free_fraction=0.5,
        years=2)
printed(annual_hazard, "prob_to_rate_manual", "half within 24 months, a month", answer="0.02", fact="D-W20", factor=1 / 12,
        differs="0.0289 in truth: the print cuts it off instead of rounding.", event_free_fraction=0.5, years=2)
for free, years, answer, fact in ((0.77, 15, "0.017424", "D-H01"), (0.93, 7, "0.010367", "D-H02"),
                                  (0.94, 1, "0.0619", "D-H03"), (0.84, 10, "0.01744", "D-H07"),
                                  (0.68, 40, "0.00964", "D-H09"), (0.94, 20, "0.00309", "D-H10"),
                                  (0.957, 25, "0.00176", "D-H11"), (0.951, 5, "0.0100", "D-H12"),
                                  (0.835, 10, "0.0180", "D-H27"), (0.845, 10, "0.0168", "D-H27")):
    printed(annual_hazard, "", "steady hazard", answer=answer, fact=fact, **DERIVED, event_free_fraction=free, years=years)
for hazard, years, answer, fact in ((0.017424, 5, "8.34", "D-H01"), (0.017424, 10, "15.99", "D-H01"),
                                    (0.010367, 15, "14.4", "D-H02"), (0.010367, 20, "18.7", "D-H02")):
    printed(risk_over_years, "", "risk at a steady hazard", answer=answer, fact=fact, **DERIVED, factor=100,
            annual_hazard=hazard, years=years)
printed(risk_over_years, "hazard_vignette", "3.36 events in 100 patient-years", answer="0.03304", fact="D-W21",
        annual_hazard=0.0336, years=1)
printed(annual_risk, "hazard_vignette", "20 % in 10 years", answer="0.0221", fact="D-W22", event_free_fraction=0.8, years=10)
for free, years, answer, fact in ((0.77, 15, "1.727", "D-H01"), (0.93, 7, "1.031", "D-H02"), (0.68, 40, "0.96", "D-H09"),
                                  (0.957, 25, "0.18", "D-H11")):
    printed(annual_risk, "", "risk of one year", answer=answer, fact=fact, **DERIVED, factor=100, event_free_fraction=free,
            years=years)
for start, end, answer, fact in ((1, 0.94, "6.0", "D-H03"), (0.94, 0.89, "5.32", "D-H04 D-W32"),
                                 (0.89, 0.88, "1.12", "D-H05 D-W32"), (0.88, 0.84, "4.55", "D-H06 D-W32")):
    printed(conditional_risk, "rao1998", FROM_CURVE, answer=answer, fact=fact, **DERIVED, factor=100,
            event_free_start_fraction=start, event_free_end_fraction=end)

# Eight patients: two events on day 1, one each on days 4 and 5, one lost on day 6, one event and one loss on day 9, one on 22.
EIGHT = {"times": [1, 1, 4, 5, 6, 9, 9, 22], "events": [1, 1, 1, 1, 0, 1, 0, 1], "confidence": 0.95}
for day, answer in ((1, ".750"), (4, ".625"), (5, ".500"), (9, ".333"), (22, ".000")):
    printed(kaplan_meier_at, "bewick2004", "table 2", answer=answer, fact="D-W23 M-MK7", result="survival", at_time=day, **EIGHT)
for result, answer in (("survival", "0.381"), ("error", "0.106")):
    printed(kaplan_meier_at, "survival_lecture", "8 of 21 left, nobody lost before", answer=answer, fact="D-W25", result=result,
            times=[8] * 13 + [23] * 8, events=[1] * 13 + [0] * 8, confidence=0.95, at_time=8)

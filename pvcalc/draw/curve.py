"""The event-free curve of a cohort, with its limits and the numbers at risk."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import listed
from pvcalc.core.units import show, show_input, show_named, total
from pvcalc.draw.axes import Axes, thinned, ticks
from pvcalc.draw.svg import PAGE, canvas, drawn, label, paragraph, words
from pvcalc.statistics.distributions import two_sided_z
from pvcalc.statistics.proportion import CONFIDENCE
from pvcalc.statistics.survival import curve

MOST_CASES = 200000
LONGEST_YEARS = 140
SAME_TIME = 1e-9  # years: a mark of 0.3 is 0.30000000000000004 in binary


def _percent(fraction):
    return show_named(fraction * 100, "percent", 1)


@drawn("times_years events confidence event_words", times_years=listed(0, LONGEST_YEARS, 1, MOST_CASES), events=listed(0, 1, 1, MOST_CASES),
       confidence=CONFIDENCE, event_words=words(60))
def event_free_chart(*, picture_id, times_years, events, confidence, event_words):
    """Share of a cohort still free of an event, with limits and numbers at risk.

    Args:
        times_years: follow-up of each one, to the event or to the last visit.
        events: 1 when the follow-up ended with the event, 0 when without.
        confidence: coverage of the limits, such as 0.95.
        event_words: free of what.
    """
    longest = max(times_years)
    if longest <= 0:
        refuse("times_years", "Nobody was followed for any time: there is no curve to draw.")
    rows = curve(times_years, events, two_sided_z(confidence))
    lowest = min([row[5] for row in rows])
    floor = int(lowest * 10) / 10
    axes = Axes(44, 44, 306, 190, (0, longest), (floor, 1))
    parts = [label(4, 16, "Free of: " + event_words, "fig-strong"), axes.frame("years after the balloon", "% free", factor=100)]
    for place, look in ((3, "fig-curve"), (5, "fig-limit-inner"), (6, "fig-limit-inner")):
        pairs = [(0, 1.0)] + [(row[0], row[place]) for row in rows]
        parts.append(axes.steps(thinned(pairs + [(longest, pairs[-1][1])]), look))
    said = []
    for mark in ticks(0, longest, 6):
        at_risk = total([time >= mark - SAME_TIME for time in times_years])
        parts.append(label(axes.x(mark), 292, show(at_risk, 0), "fig-small", "middle"))
        past = [row for row in rows if row[0] <= mark + SAME_TIME]
        if past:
            said.append("at " + show_input(mark) + " years " + _percent(past[-1][3]) + " (" + _percent(past[-1][5]) + " to "
                        + _percent(past[-1][6]) + "), " + show(at_risk, 0) + " at risk")
    parts.append(label(4, 276, "at risk", "fig-small"))
    text = (show(total(events), 0) + " events in " + show(len(events), 0) + ". Dotted: " + show_input(confidence * 100)
            + "\u00a0% limits from Greenwood's error.")
    written, bottom = paragraph(4, 314, text, PAGE, "fig-small")
    return canvas(picture_id, bottom - 8, "Event-free curve with numbers at risk",
                  "Free of: " + event_words + ". " + "; ".join(said) + ". " + text, parts + [written])

"""An event-free curve with the hazard of each of its steps."""

from pvcalc.core.formula import listed
from pvcalc.core.units import show, show_input, show_named
from pvcalc.draw.axes import Axes
from pvcalc.draw.svg import PAGE, canvas, circle, drawn, label, line, paragraph, rectangle, words
from pvcalc.statistics.survival import annual_hazard, step_hazards


def _percent(fraction):
    return show_named(fraction * 100, "percent", 0)


@drawn("years event_free_fractions event_words", years=listed(0.01, 80, 2, 20), event_free_fractions=listed(0.001, 1, 2, 20),
       event_words=words(60))
def step_hazard(*, picture_id, years, event_free_fractions, event_words):
    """A published event-free curve, and the yearly hazard of each of its steps beside one constant hazard.

    Args:
        years: ends of the steps, rising; event_free_fractions: share still free of the event there.
        event_words: free of what.
    """
    hazards = dict(step_hazards(years=years, event_free_fractions=event_free_fractions))["hazards"]
    last, end = years[-1], event_free_fractions[-1]
    constant = annual_hazard(event_free_fraction=end, years=last)
    low = int(end * 10 - 0.5) / 10
    upper = Axes(44, 44, 306, 120, (0, last), (low, 1))
    pairs = [(0, 1.0)] + [(years[i], event_free_fractions[i]) for i in range(len(years))]
    smooth_line = [(last * step / 40, end ** (step / 40)) for step in range(41)]
    parts = [label(4, 16, "Free of: " + event_words, "fig-strong"), upper.frame("", "% free", factor=100),
             upper.curve(smooth_line, "fig-curve-soft"), upper.curve(pairs, "fig-curve")]
    for a, b in pairs[1:]:
        parts.append(circle(upper.x(a), upper.y(b), 3.6, "fig-dot"))
    highest = max(list(hazards) + [constant]) * 1.15 + 1e-9
    lower = Axes(44, 222, 306, 120, (0, last), (0, highest))
    parts.append(lower.frame("years after the balloon", "events per 100 person-years", most_upwards=5, factor=100))
    said, start = [], 0.0
    for i in range(len(years)):
        x1, x2, y = lower.x(start), lower.x(years[i]), lower.y(hazards[i])
        parts.append(rectangle(x1, y, x2 - x1, lower.top + lower.height - y, "fig-bar"))
        said.append(show_input(start) + " to " + show_input(years[i]) + " years: " + _percent(event_free_fractions[i]) + " free at the end, "
                    + show(hazards[i] * 100, 2) + " per 100 person-years")
        start = years[i]
    y = lower.y(constant)
    parts.append(line(lower.left, y, lower.left + lower.width, y, "fig-curve-soft"))
    text = ("Bars: hazard of each step. Dotted: one constant hazard, " + show(constant * 100, 2)
            + " per 100 person-years, that gives the same " + _percent(end) + " at " + show_input(last) + " years.")
    written, bottom = paragraph(4, 392, text, PAGE, "fig-small")
    return canvas(picture_id, bottom - 8, "Event-free curve and the hazard of its steps",
                  "Free of: " + event_words + ". " + "; ".join(said) + ". " + text, parts + [written])

"""Charts of audit: cumulative failures, a funnel."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import listed
from pvcalc.core.units import show, show_input, show_named
from pvcalc.draw.axes import Axes
from pvcalc.draw.svg import PAGE, canvas, circle, drawn, label, line, paragraph, words
from pvcalc.statistics.monitoring import ERROR_RATE, RISK, cusum_design, first_passed, funnel_limits

MOST_CASES = 200000
MOST_DOTS = 400  # more failures than these would run into one another


def _percent(fraction, decimals=1):
    return show_named(fraction * 100, "percent", decimals)


def _share(confidence):
    return show_input(confidence * 100) + "\u00a0%"


@drawn("outcomes acceptable_fraction unacceptable_fraction alpha beta", outcomes=listed(0, 1, 1, MOST_CASES),
       acceptable_fraction=RISK, unacceptable_fraction=RISK, alpha=ERROR_RATE, beta=ERROR_RATE)
def cusum_chart(*, picture_id, outcomes, acceptable_fraction, unacceptable_fraction, alpha, beta):
    """Cumulative failures less those allowed, case by case, with the two decision lines.

    Args:
        outcomes: 1 for a failure, 0 for none, in the order of the cases.
        acceptable_fraction, unacceptable_fraction: failure rates to tell apart.
        alpha, beta: chances of a false alarm and of a missed one.
    """
    design = dict(cusum_design(acceptable_fraction=acceptable_fraction, unacceptable_fraction=unacceptable_fraction,
                               alpha=alpha, beta=beta))
    upper, lower = abs(design["upper_limit"]), -abs(design["lower_limit"])
    passed, passed_at = first_passed(outcomes, design["step"], -lower, upper)
    count, failures, scores = len(outcomes), 0, []
    for place, outcome in enumerate(outcomes):
        failures += int(outcome)
        scores.append(failures - (place + 1) * design["step"])
    axes = Axes(40, 40, 296, 220, (0, count), (min(lower, min(scores)) * 1.15, max(upper, max(scores)) * 1.15))
    parts = [axes.frame("case", "failures less allowed", most_upwards=8)]
    for limit, look in ((upper, "fig-limit"), (lower, "fig-limit-good")):
        parts.append(line(axes.left, axes.y(limit), axes.left + axes.width, axes.y(limit), look))
    parts.append(axes.curve([(0, 0)] + [(i + 1, scores[i]) for i in range(count)], "fig-curve"))
    dots = failures <= MOST_DOTS
    for i in range(count):
        if dots and outcomes[i] == 1:
            parts.append(circle(axes.x(i + 1), axes.y(scores[i]), 3.4, "fig-dot"))
    low_words = axes.y(lower) - 5
    high_words = min(axes.y(upper) - 5, low_words - 15)  # in a long series the lines come close
    for text, y in (("unacceptable: " + show(upper, 2), high_words), ("acceptable: " + show(lower, 2), low_words)):
        parts.append(label(axes.left + axes.width, y, text, "fig-small fig-halo", "end"))
    if passed == "unacceptable":
        verdict = "Passed the upper line at case " + str(passed_at) + ": review."
    elif passed == "acceptable":
        verdict = "Passed the lower line at case " + str(passed_at) + "."
    else:
        verdict = "Between the lines: neither shown."
    text = (show(failures, 0) + " failures " + ("(dots) " if dots else "") + "in " + show(count, 0) + " cases; " + _percent(acceptable_fraction) + " against "
            + _percent(unacceptable_fraction) + ", alpha " + show_input(alpha) + ", beta " + show_input(beta) + ". Each case without failure: down "
            + show(design["step"], 3) + ".")
    parts.append(label(4, 312, verdict, "fig-bad-text" if passed == "unacceptable" else "fig-strong"))
    written, bottom = paragraph(4, 330, text, PAGE, "fig-small")
    return canvas(picture_id, bottom - 8, "Cumulative chart of failures", verdict + " " + text + " Upper line " + show(upper, 2) + ", lower line "
                  + show(lower, 2) + ", last value " + show(scores[-1], 2) + ".", parts + [written])


def _beyond_words(beyond):
    """Which upper limits lie above the picture, so that nobody looks for a line that is not there."""
    if not beyond:
        return ""
    return " The upper " + " and ".join(beyond) + (" limits lie" if len(beyond) > 1 else " limit lies") + " above this picture: too few cases."


@drawn("benchmark_fraction inner_confidence outer_confidence unit_events unit_cases event_words", benchmark_fraction=RISK,
       inner_confidence=(0.5, 0.99), outer_confidence=(0.9, 0.9999), unit_events=listed(0, 5000, 1, 60), unit_cases=listed(1, 5000, 1, 60),
       event_words=words(60))
def funnel_chart(*, picture_id, benchmark_fraction, inner_confidence, outer_confidence, unit_events, unit_cases, event_words):
    """Event rates of several units, or several years of one, against their number of cases, within exact limits.

    Args:
        benchmark_fraction: rate to compare with.
        inner_confidence, outer_confidence: of the two pairs of limits, such as 0.95 and 0.998.
        unit_events, unit_cases: one pair for each dot.
        event_words: what is counted.
    """
    if len(unit_events) != len(unit_cases):
        refuse("unit_cases", "Each count of events needs its number of cases.")
    if not inner_confidence < outer_confidence:
        refuse("outer_confidence", "The outer limits need a higher confidence than the inner.")
    for events, cases in zip(unit_events, unit_cases):
        if events > cases:
            refuse("unit_events", "Events cannot be more than cases.")
    most = max(unit_cases) * 1.1
    sizes = sorted(set([max(2, int(most * step * step / 3600 + 0.5)) for step in range(6, 61)]))
    limits = {}
    for name, confidence in (("inner", inner_confidence), ("outer", outer_confidence)):
        limits[name] = [dict(funnel_limits(benchmark_fraction=benchmark_fraction, cases=size, confidence=confidence)) for size in sizes]
    rates = [events / cases for events, cases in zip(unit_events, unit_cases)]
    tall = min(1.0, max(rates + [benchmark_fraction * 3]) * 1.25)
    axes = Axes(44, 40, 306, 210, (0, most), (0, tall))
    parts, beyond = [axes.frame("cases", event_words + ", %", factor=100)], []
    for name, look in (("outer", "fig-limit"), ("inner", "fig-limit-inner")):
        for edge in ("low_count", "high_count"):
            pairs = [(size, limit[edge] / size) for size, limit in zip(sizes, limits[name])]
            inside = [pair for pair in pairs if 0 <= pair[1] <= tall]
            if inside:
                parts.append(axes.curve(inside, look))
            elif edge == "high_count":
                beyond.append(name)  # with few cases the limits are so wide that none of it lies on the page
    parts.append(line(axes.left, axes.y(benchmark_fraction), axes.left + axes.width, axes.y(benchmark_fraction), "fig-axis"))
    said = []
    for place, (events, cases, rate) in enumerate(zip(unit_events, unit_cases, rates)):
        x, y = axes.x(cases), axes.y(rate)
        parts.append(circle(x, y, 4.2, "fig-dot"))
        parts.append(label(x + 7, y - 5, str(place + 1), "fig-strong fig-halo"))
        said.append(str(place + 1) + ": " + show(events, 0) + " of " + show(cases, 0) + ", " + _percent(rate))
    text = ("Line: benchmark " + _percent(benchmark_fraction) + ". Dotted: " + _share(inner_confidence) + " limits, dashed: " + _share(outer_confidence) + " limits, exact binomial."
            + _beyond_words(beyond))
    written, bottom = paragraph(4, 304, text, PAGE, "fig-small")
    listing, bottom = paragraph(4, bottom + 2, "; ".join(said) + ".", PAGE, "fig-small")
    return canvas(picture_id, bottom - 8, "Funnel chart", event_words + ". " + "; ".join(said) + ". " + text, parts + [written, listing])

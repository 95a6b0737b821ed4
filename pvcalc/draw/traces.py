"""Pressure curves with their three gradients."""

from pvcalc.core.errors import refuse
from pvcalc.core.units import show, show_named
from pvcalc.draw.axes import Axes, notice
from pvcalc.draw.svg import canvas, drawn, joined, label, line, path, span
from pvcalc.formulas.pressure_trace import (
    LIMITS, mean_gradient_from_trace_mmhg, peak_instantaneous_from_trace_mmhg, peak_to_peak_from_trace_mmhg,
)

MOST_SAMPLES = 134  # of each curve: one for every second or third drawing unit
MODEL_WORDS = "A model, not your patient"


def _place_of_highest(values):
    return values.index(max(values))


@drawn("rv_mmhg pa_mmhg sampling_hz", **LIMITS)
def pressure_traces(*, picture_id, rv_mmhg, pa_mmhg, sampling_hz):
    """Ventricular and arterial pressure against time, the three gradients marked.

    Args:
        rv_mmhg, pa_mmhg: samples taken at the same instants.
        sampling_hz: samples in a second.
    """
    if len(rv_mmhg) != len(pa_mmhg):
        refuse("pa_mmhg", "Both curves must have the same number of samples.")
    given = {"rv_mmhg": rv_mmhg, "pa_mmhg": pa_mmhg, "sampling_hz": sampling_hz}
    # The picture's own limits are theirs: checking every sample three times more would cost a phone 60 ms.
    peak_to_peak = peak_to_peak_from_trace_mmhg.computed(given)
    instantaneous = peak_instantaneous_from_trace_mmhg.computed(given)
    mean = mean_gradient_from_trace_mmhg.computed(given)
    count = len(rv_mmhg)
    top_rv, top_pa = _place_of_highest(rv_mmhg), _place_of_highest(pa_mmhg)
    widest = _place_of_highest([rv_mmhg[i] - pa_mmhg[i] for i in range(count)])
    seconds = (count - 1) / sampling_hz
    high = max(max(rv_mmhg), max(pa_mmhg), 20)
    axes = Axes(40, 34, 312, 220, (0, seconds), (min(0, min(rv_mmhg), min(pa_mmhg)), high * 1.24))
    drawn_at = shown_samples(count, (count - 1, top_rv, top_pa, widest))
    rv = [(i / sampling_hz, rv_mmhg[i]) for i in drawn_at]
    pa = [(i / sampling_hz, pa_mmhg[i]) for i in drawn_at]
    parts = [axes.frame("seconds", "pressure, mmHg"), _between(axes, rv, pa), axes.curve(pa, "fig-pa"), axes.curve(rv, "fig-rv")]
    x = axes.x(widest / sampling_hz)
    parts.append(span(x, axes.y(rv_mmhg[widest]), x, axes.y(pa_mmhg[widest])))
    parts.append(label(x, axes.y((rv_mmhg[widest] + pa_mmhg[widest]) / 2) + 4, "2", "fig-strong fig-halo", "middle"))
    x = axes.left + axes.width - 14
    for value, place in ((rv_mmhg[top_rv], top_rv), (pa_mmhg[top_pa], top_pa)):
        parts.append(line(axes.x(place / sampling_hz), axes.y(value), x + 5, axes.y(value), "fig-curve-soft"))
    parts.append(span(x, axes.y(rv_mmhg[top_rv]), x, axes.y(pa_mmhg[top_pa])))
    parts.append(label(x, axes.y((rv_mmhg[top_rv] + pa_mmhg[top_pa]) / 2) + 4, "1", "fig-strong fig-halo", "middle"))
    parts.append(notice(axes.left + axes.width / 2 - 94, axes.top + 3, MODEL_WORDS, 188))
    told = [("1 peak to peak", peak_to_peak, "highest RV less highest PA, two instants"),
            ("2 peak instantaneous", instantaneous, "widest gap at one instant"),
            ("3 mean", mean, "shaded: average while RV is above PA")]
    y = 306
    for name, value, more in told:
        parts.append(label(4, y, name + ": " + show_named(value, "mmhg"), "fig-strong"))
        parts.append(label(22, y + 15, more, "fig-small"))
        y += 34
    parts.append(line(232, 300, 256, 300, "fig-rv") + label(262, 304, "ventricle (RV)", "fig-small"))
    parts.append(line(232, 334, 256, 334, "fig-pa") + label(262, 338, "artery (PA)", "fig-small"))
    said = (MODEL_WORDS + ". Pressure in the right ventricle (highest " + show_named(rv_mmhg[top_rv], "mmhg")
            + ") and in the lung artery (highest " + show_named(pa_mmhg[top_pa], "mmhg") + ", lowest "
            + show_named(min(pa_mmhg), "mmhg") + ") over " + show(seconds, 2) + " seconds. "
            + " ".join([name[2:] + " gradient " + show_named(value, "mmhg") + ": " + more + "." for name, value, more in told]))
    return canvas(picture_id, 396, "Ventricular and arterial pressure with three gradients", said, parts)


def shown_samples(count, kept):
    """Which samples are drawn: every one of a short record, of a long one about `MOST_SAMPLES` and those in `kept`.

    Straight strokes between them are within a pixel of the curve, and the peaks that are measured are always there.
    """
    stride = (count + MOST_SAMPLES - 1) // MOST_SAMPLES
    return sorted(set(list(range(0, count, stride)) + list(kept)))


def _between(axes, rv, pa):
    """The area between the curves wherever the ventricle is above the artery."""
    strokes, upper, lower = [], [], []
    for i in range(len(rv) + 1):
        if i < len(rv) and rv[i][1] > pa[i][1]:
            upper.append(rv[i])
            lower.append(pa[i])
        elif upper:
            lower.reverse()
            strokes.append(path(joined(axes.points(upper + lower), True), "fig-between"))
            upper, lower = [], []
    return "".join(strokes)

"""What the fluid line makes of a curve: the flush test of three lines."""

from math import cos, exp, pi, sin, sqrt

from pvcalc.core.errors import refuse
from pvcalc.core.units import show, show_named
from pvcalc.draw.axes import Axes
from pvcalc.draw.svg import PAGE, canvas, drawn, label, line, paragraph


def _release(damping_ratio, turns):
    """Height of a second-order line, let go from 1 at time 0, after `turns` radians of its natural swing."""
    if damping_ratio < 1:
        root = sqrt(1 - damping_ratio * damping_ratio)
        return exp(-damping_ratio * turns) * (cos(root * turns) + damping_ratio / root * sin(root * turns))
    root = sqrt(damping_ratio * damping_ratio - 1)
    if root < 1e-6:
        return (1 + turns) * exp(-turns)
    slow, fast = damping_ratio - root, damping_ratio + root
    return (fast * exp(-slow * turns) - slow * exp(-fast * turns)) / (fast - slow)


@drawn("natural_frequency_hz over_damping_ratio good_damping_ratio under_damping_ratio",
       natural_frequency_hz=(1, 200), over_damping_ratio=(0.8, 5), good_damping_ratio=(0.4, 0.9), under_damping_ratio=(0.02, 0.5))
def damping(*, picture_id, natural_frequency_hz, over_damping_ratio, good_damping_ratio, under_damping_ratio):
    """The flush test of three fluid lines: over-damped, good and under-damped.

    Args:
        natural_frequency_hz: of the line, the same in all three.
        over_damping_ratio, good_damping_ratio, under_damping_ratio: one for each line.
    """
    if not under_damping_ratio < good_damping_ratio < over_damping_ratio:
        refuse("", "The damping ratios must rise from under-damped to good to over-damped.")
    lines = [("Over-damped", over_damping_ratio, "creeps back, no swing: systolic reads low, diastolic high", "fig-bad-text"),
             ("Good", good_damping_ratio, "one small swing, then still", "fig-good-text"),
             ("Under-damped", under_damping_ratio, "rings on: systolic reads high, diastolic low", "fig-odd-text")]
    window = max(0.42, 4 / natural_frequency_hz)
    parts, said, bottoms = [], [], []
    for place, (name, ratio, more, look) in enumerate(lines):
        left = 4 + 120 * place
        axes = Axes(left, 44, 108, 120, (-0.3 * window, window), (-0.75, 1.15))
        pairs = [(-0.3 * window, 0), (-0.22 * window, 0), (-0.22 * window, 1), (0, 1)]
        for step in range(1, 101):
            seconds = window * step / 100
            pairs.append((seconds, _release(ratio, 2 * pi * natural_frequency_hz * seconds)))
        parts.append(label(left, 16, name, look))
        parts.append(label(left, 33, "ratio " + show(ratio, 2), "fig-small"))
        parts.append(line(left, axes.y(0), left + 108, axes.y(0), "fig-grid"))
        parts.append(axes.curve(pairs, "fig-curve"))
        parts.append(label(axes.x(-0.2 * window), 48, "flush", "fig-small"))
        written, bottom = paragraph(left, 182, more, 118, "fig-small", step=14)
        parts.append(written)
        bottoms.append(bottom)
        said.append(name + ", damping ratio " + show(ratio, 2) + ": " + more + ".")
    foot = ("Natural frequency " + show_named(natural_frequency_hz, "hz") + ", " + show(window, 2)
            + " seconds after the flush. Calculated curves. Mean pressure is kept; the mean gradient is not.")
    written, bottom = paragraph(4, max(bottoms) + 6, foot, PAGE, "fig-small")
    return canvas(picture_id, bottom - 8, "Flush test: over-damped, good, under-damped", " ".join(said) + " " + foot, parts + [written])

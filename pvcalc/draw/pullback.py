"""Pull-back at two levels, the shapes of valvar and infundibular curves, and one inflation against time."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import listed
from pvcalc.core.units import show, show_named
from pvcalc.draw.axes import Axes
from pvcalc.draw.svg import (
    arrow, canvas, circle, drawn, hatch, joined, label, line, paragraph, path, rectangle, smooth, span,
)

# One beat as (part of the beat, height): 0 is diastolic, 1 systolic pressure.
ARTERY = [(0, 0.12), (0.1, 0), (0.2, 0.75), (0.3, 1), (0.42, 0.8), (0.5, 0.55), (0.54, 0.62), (0.7, 0.4), (0.88, 0.2), (1, 0.12)]
VALVAR = [(0, 0.05), (0.08, 0.1), (0.13, 0.2), (0.22, 0.72), (0.33, 1), (0.44, 0.72), (0.53, 0.18), (0.58, 0), (0.75, 0.02), (1, 0.05)]
LATE = [(0, 0.05), (0.08, 0.1), (0.13, 0.22), (0.19, 0.56), (0.245, 0.66), (0.28, 0.62), (0.33, 0.7), (0.43, 1), (0.5, 0.7), (0.56, 0.15), (0.6, 0),
        (0.75, 0.02), (1, 0.05)]


def _beats(axes, start, width, count, shape, low, high, look):
    """`count` beats of one shape between two pressures, along `width` seconds."""
    pairs = []
    for beat in range(count):
        for part, height in shape[(1 if beat else 0):]:
            pairs.append((start + (beat + part) * width / count, low + (high - low) * height))
    return path(smooth(axes.points(pairs)), look)


@drawn("pa_systolic_mmhg pa_diastolic_mmhg infundibulum_systolic_mmhg rv_systolic_mmhg rv_diastolic_mmhg",
       pa_systolic_mmhg=(5, 120), pa_diastolic_mmhg=(0, 80), infundibulum_systolic_mmhg=(5, 300), rv_systolic_mmhg=(10, 300),
       rv_diastolic_mmhg=(-5, 40))
def two_level_pullback(*, picture_id, pa_systolic_mmhg, pa_diastolic_mmhg, infundibulum_systolic_mmhg, rv_systolic_mmhg,
                       rv_diastolic_mmhg):
    """Pressures as an end-hole catheter is drawn from the artery through the infundibulum to the body of the ventricle.

    Args:
        pa_systolic_mmhg, pa_diastolic_mmhg: trunk of the lung artery.
        infundibulum_systolic_mmhg: just below the valve; its diastolic pressure is that of the ventricle.
        rv_systolic_mmhg, rv_diastolic_mmhg: body of the right ventricle.
    """
    if not pa_diastolic_mmhg < pa_systolic_mmhg <= infundibulum_systolic_mmhg <= rv_systolic_mmhg:
        refuse("", "Pressures must rise from artery to infundibulum to ventricle, and systolic lie above diastolic; "
                   "check zero and the order of the numbers.")
    if not rv_diastolic_mmhg < infundibulum_systolic_mmhg:
        refuse("rv_diastolic_mmhg", "RV diastolic must lie below the systolic pressures.")
    top = rv_systolic_mmhg
    axes = Axes(38, 44, 316, 200, (0, 9), (min(0, rv_diastolic_mmhg), top * 1.08))
    sites = [("artery", ARTERY, pa_diastolic_mmhg, pa_systolic_mmhg, "fig-pa"),
             ("infundibulum", VALVAR, rv_diastolic_mmhg, infundibulum_systolic_mmhg, "fig-curve"),
             ("RV body", VALVAR, rv_diastolic_mmhg, rv_systolic_mmhg, "fig-rv")]
    parts = [axes.upward_marks(6)]
    for mark in (pa_systolic_mmhg, infundibulum_systolic_mmhg, rv_systolic_mmhg):
        parts.append(line(axes.left, axes.y(mark), axes.left + axes.width, axes.y(mark), "fig-curve-soft"))
    for place, (name, shape, low, high, look) in enumerate(sites):
        parts.append(_beats(axes, 3 * place, 3, 3, shape, low, high, look))
        parts.append(label(axes.x(3 * place + 1.5), 34, name, "fig-strong", "middle"))
        parts.append(label(axes.x(3 * place + 1.5), 262, show(high, 0) + "/" + show(low, 0), "fig-strong", "middle"))
        if place:
            parts.append(line(axes.x(3 * place), 22, axes.x(3 * place), 266, "fig-limit-inner"))
    parts.append(axes.border())
    parts.append(label(4, 16, "mmHg; catheter drawn back →", "fig-small"))
    valve, below = infundibulum_systolic_mmhg - pa_systolic_mmhg, rv_systolic_mmhg - infundibulum_systolic_mmhg
    for x, low, high, number in ((axes.x(3), pa_systolic_mmhg, infundibulum_systolic_mmhg, "1"),
                                 (axes.x(6), infundibulum_systolic_mmhg, rv_systolic_mmhg, "2")):
        if high > low:
            parts.append(span(x, axes.y(low), x, axes.y(high)))
        parts.append(label(x, axes.y((low + high) / 2) + 4, number, "fig-strong fig-halo", "middle"))
    steps = [("1 step at the valve", valve), ("2 step below the valve", below), ("total", valve + below)]
    for place, (name, value) in enumerate(steps):
        parts.append(label(4, 288 + 18 * place, name + ": " + show_named(value, "mmhg"), "fig-strong"))
    parts.append(label(4, 342, "At the valve diastole changes too; below it, it does not.", "fig-small"))
    said = ("Pull-back of an end-hole catheter. "
            + " ".join([name + " " + show(high, 0) + " over " + show_named(low, "mmhg") + "." for name, _, low, high, _ in sites])
            + " Step at the valve " + show_named(valve, "mmhg") + ", step below the valve " + show_named(below, "mmhg")
            + ", total " + show_named(valve + below, "mmhg") + ". Curve shapes are schematic, heights are to scale.")
    return canvas(picture_id, 350, "Pull-back at two levels", said, parts)


@drawn()
def valvar_or_infundibular(*, picture_id):
    """The shape of the ventricular curve when the valve, and when the infundibulum, is the narrow place."""
    panels = [("At the valve", VALVAR, "rises and falls evenly, one peak near mid-systole", 0.33),
              ("Infundibulum", LATE, "notch on the way up, then a higher peak late in systole", 0.43)]
    parts, said = [], []
    for place, (name, shape, more, peak) in enumerate(panels):
        left = 8 + 180 * place
        axes = Axes(left, 40, 160, 150, (0.05, 0.8), (-0.05, 1.08))
        parts.append(label(left, 18, name, "fig-strong"))
        parts.append(path(smooth(axes.points([(0.05, 0.08)] + [(part, height) for part, height in shape if 0.05 < part < 0.8] + [(0.8, 0.03)])), "fig-rv"))
        artery = [(0.05, 0.14), (0.16, 0.13), (0.24, 0.2), (0.33, 0.25), (0.44, 0.22), (0.5, 0.17), (0.53, 0.185), (0.64, 0.16), (0.8, 0.14)]
        parts.append(path(smooth(axes.points(artery)), "fig-pa"))
        parts.append(path(joined([(left, 36), (left, 190), (left + 160, 190)]), "fig-axis"))
        parts.append(line(axes.x(peak), axes.y(1.0) - 4, axes.x(peak), 190, "fig-curve-soft"))
        parts.append(circle(axes.x(peak), axes.y(1.0), 3.6, "fig-dot"))
        parts.append(label(axes.x(peak) + 8, axes.y(1.0) + 2, "peak", "fig-small"))
        if place:
            parts.append(arrow(axes.x(0.14), axes.y(0.86), axes.x(0.27), axes.y(0.66)))
            parts.append(label(axes.x(0.05) + 6, axes.y(0.9), "notch", "fig-small"))
        parts.append(paragraph(left, 212, more, 166, "fig-small", step=15)[0])
        said.append(name + ": " + more + ".")
    parts.append(line(8, 270, 32, 270, "fig-rv") + label(38, 274, "ventricle", "fig-small"))
    parts.append(line(118, 270, 142, 270, "fig-pa") + label(148, 274, "artery", "fig-small"))
    parts.append(label(354, 274, "schematic", "fig-small", "end"))
    return canvas(picture_id, 282, "Ventricular pressure curve, narrow at the valve or in the infundibulum",
                  "Two schematic curves of ventricular pressure over one beat, with the artery's low curve below. " + " ".join(said), parts)


@drawn("pacing_s inflate_s waist_gone_s deflate_s empty_s limit_s",
       pacing_s=listed(0, 60, 0, 2), inflate_s=(0, 60), waist_gone_s=(0, 60), deflate_s=(0, 60), empty_s=(0, 60), limit_s=(1, 60))
def inflation_time_line(*, picture_id, pacing_s, inflate_s, waist_gone_s, deflate_s, empty_s, limit_s):
    """One inflation against time: pacing, filling, waist gone, deflating, empty.

    Args:
        pacing_s: start and end of the pacing burst; an empty list when there is none.
        inflate_s, waist_gone_s, deflate_s, empty_s: when filling starts, the waist goes, emptying starts, the balloon is empty.
        limit_s: longest time from the start of filling to empty.
    """
    if not inflate_s < waist_gone_s <= deflate_s < empty_s:
        refuse("", "The times must follow each other: inflate, waist gone, deflate, empty.")
    if len(pacing_s) == 1 or (pacing_s and not pacing_s[0] < inflate_s < empty_s <= pacing_s[1]):
        refuse("pacing_s", "Pacing needs a start before filling and an end once the balloon is empty, or no times at all.")
    end = max([empty_s, inflate_s + limit_s] + list(pacing_s)) + 1
    axes = Axes(12, 70, 336, 112, (0, end), (0, 1.15))
    parts = [label(4, 16, "pacing", "fig-small")]
    hatched = picture_id + "-hatch"
    if pacing_s:
        x1, x2 = axes.x(pacing_s[0]), axes.x(pacing_s[1])
        parts.append(rectangle(x1, 24, x2 - x1, 20, "fig-zone-reason", 3))
        parts.append(path(joined([(x1, 24), (x2, 24), (x2, 44), (x1, 44)], True), "fig-over", hatched))
    else:
        parts.append(label(axes.x(0), 38, "none", "fig-strong"))
    shape = [(inflate_s, 0), (waist_gone_s, 1), (deflate_s, 1), (empty_s, 0)]
    parts.append(path(joined(axes.points(shape), True), "fig-balloon"))
    bottom = axes.top + axes.height
    parts.append(line(axes.left, bottom, axes.left + axes.width, bottom, "fig-axis"))
    full = axes.y(1)
    events = [("inflate", inflate_s, bottom), ("waist gone", waist_gone_s, full), ("deflate", deflate_s, full), ("empty", empty_s, bottom)]
    if pacing_s:
        events = [("pacing on", pacing_s[0], 34)] + events + [("pacing off", pacing_s[1], 34)]
    for second in range(int(end) + 1):
        x = axes.x(second)
        parts.append(line(x, bottom, x, bottom + 4, "fig-axis"))
        if second % (1 if end <= 12 else 2 if end <= 24 else 5) == 0:
            parts.append(label(x, bottom + 18, str(second), "fig-small", "middle"))
    aside = max(0, 9 - (axes.x(deflate_s) - axes.x(waist_gone_s)) / 2)  # two numbers on one level stand side by side
    for _, moment, y in events:
        parts.append(line(axes.x(moment), y, axes.x(moment), bottom, "fig-leader"))
    for place, (name, moment, y) in enumerate(events):
        x = axes.x(moment)
        shift = {"waist gone": -aside, "deflate": aside}.get(name, 0)
        parts.append(circle(x + shift, y, 9, "fig-number"))
        parts.append(label(x + shift, y + 4.5, str(place + 1), "fig-strong", "middle"))
        row, column = place % 3, place // 3
        parts.append(label(8 + 180 * column, 254 + 20 * row, str(place + 1) + " " + name + ": " + show(moment, 1) + " s", "fig-strong"))
    parts.append(label(4, 64, "balloon", "fig-small fig-halo"))
    parts.append(label(348, bottom + 33, "seconds", "fig-small", "end"))
    taken = empty_s - inflate_s
    over = taken > limit_s + 1e-9
    verdict = ("Inflate to empty: " + show(taken, 1) + " s, limit " + show(limit_s, 1) + " s: " + ("TOO LONG." if over else "within."))
    parts.append(label(8, 322, verdict, "fig-bad-text" if over else "fig-good-text"))
    said = ("One inflation against time" + ("" if pacing_s else ", without pacing") + ": "
            + ", ".join([name + " at " + show(moment, 1) + " s" for name, moment, _ in events]) + ". " + verdict)
    return canvas(picture_id, 330, "Time line of one inflation", said, parts, defs=hatch(hatched, "fig-hatch-odd"))

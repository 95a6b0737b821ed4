"""Pictures of the valve and the outflow: forms of valve, three levels, hinge points."""

from pvcalc.core.units import show_named
from pvcalc.draw.outflow import INFUNDIBULUM, SINUS, TRUNK, VALVE, Outflow
from pvcalc.draw.svg import PAGE, arrow, canvas, circle, drawn, label, line, paragraph, span

LEVELS = [
    ("below the valve", "infundibular: muscle", [(INFUNDIBULUM, 6)], -16),
    ("at the valve", "valvar: leaflets fused or thick", [], 5),
    ("above the valve", "supravalvar: wall of the trunk", [(TRUNK, 8), (SINUS, 17)], 32),
]


@drawn()
def outflow_levels(*, picture_id):
    """Three outflows in lateral view, each narrow at one level: below, at and above the valve."""
    parts = []
    for place, (name, more, narrowed, distance) in enumerate(LEVELS):
        left = 2 + 120 * place
        body = Outflow(left, 26, 0.72, narrowed)
        parts.append(body.drawn())
        parts.append(body.leaflets(13, 4, bow=4) if place == 1 else body.leaflets(16, 20))
        x, y = body.point(distance, -46)
        x2, y2 = body.point(distance, -27)
        parts.append(arrow(x, y, x2, y2, "fig-arrow"))
        parts.append(label(left + 2, 16, str(place + 1) + " " + name, "fig-strong"))
        parts.append(paragraph(left + 2, 196, more, 116, "fig-small")[0])
    parts.append(label(4, 240, "Lateral view: front of the chest left, head above.", "fig-small"))
    return canvas(picture_id, 248, "Three levels of outflow obstruction",
                  "Three outflows of the right ventricle in lateral view, front of the chest on the left. Narrow in 1 below "
                  "the valve, in the muscle of the infundibulum; in 2 at the valve, whose leaflets dome with a small hole; "
                  "in 3 above the valve, in the wall of the lung artery's trunk.", parts)


@drawn("diastole_wider_percent lowest_percent highest_percent",
       diastole_wider_percent=(0, 100), lowest_percent=(0, 100), highest_percent=(0, 100))
def hinge_points(*, picture_id, diastole_wider_percent, lowest_percent, highest_percent):
    """The hinge points in the frame to measure (valve open) and at the end of diastole (valve shut, ring wider).

    Args:
        diastole_wider_percent: how much wider the ring is at end-diastole than at end-systole, on average.
        lowest_percent, highest_percent: the range of that difference.
    """
    wide = 13 * (1 + diastole_wider_percent / 100)
    frames = [("Valve open:", "measure here", [(VALVE, 13), (INFUNDIBULUM, 10)], "fig-measure-strong"),
              ("End of diastole:", "not this frame", [(VALVE, wide), (INFUNDIBULUM, 19), (SINUS, 23)], "fig-measure")]
    parts = []
    for place, (name, advice, widths, look) in enumerate(frames):
        left = 4 + 182 * place
        body = Outflow(left, 44, 1.08, widths)
        parts.append(body.drawn())
        if place == 0:
            parts.append(body.leaflets(15, 6, bow=4))
            for aside in (-1.5, 1.5):
                parts.append(arrow(*(body.point(4, aside) + body.point(34, aside * 3) + ("fig-jet", 6))))
        else:
            parts.append(body.leaflets(-3, 0, bow=-4))
        (x1, y1), (x2, y2) = body.hinge(-1), body.hinge(1)
        parts.append(span(x1, y1, x2, y2, look))
        parts.append(circle(x1, y1, 3.6, "fig-dot-good" if place == 0 else "fig-dot"))
        parts.append(circle(x2, y2, 3.6, "fig-dot-good" if place == 0 else "fig-dot"))
        parts.append(label(left, 16, name, "fig-strong"))
        parts.append(label(left, 33, advice, "fig-good-text" if place == 0 else "fig-bad-text"))
    x, y = Outflow(4, 44, 1.08, frames[0][2]).hinge(1)
    parts.append(line(x + 5, y + 2, x + 34, y + 18, "fig-leader"))
    parts.append(label(x + 36, y + 26, "hinge point", "fig-small"))
    middle = show_named(diastole_wider_percent, "percent", 0)
    low, high = show_named(lowest_percent, "percent", 0), show_named(highest_percent, "percent", 0)
    text = ("Hinge to hinge, inner edges. At end-diastole the ring reads " + middle + " wider than at end-systole ("
            + low + " to " + high + "). Write the frame beside the number.")
    written, bottom = paragraph(4, 282, text, PAGE)
    parts.append(written)
    return canvas(picture_id, bottom - 6, "Hinge points, valve open and shut",
                  "Two frames of a lateral outflow angiogram, front of the chest on the left. Left: valve open, leaflets "
                  "domed into the artery with a jet, infundibulum narrow; a line joins the two hinge points; measure here. "
                  "Right: end of diastole, valve shut, infundibulum and ring wider; not this frame. " + text, parts)

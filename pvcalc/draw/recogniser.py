"""Low pressure after the balloon: what the pair of pressures and the echo look like, side by side."""

from pvcalc.draw.outflow import Outflow
from pvcalc.draw.svg import PAGE, arrow, canvas, drawn, label, line, paragraph, rectangle

RV_BEFORE, RA_BEFORE = 44, 15  # heights of the bars of the pressures before the balloon, each on a scale of its own
RA_NOW = {"HIGH": 30, "ordinary": 16, "LOW": 4}
FIELD_WIDTH, FIELD_HEIGHT = 180, 166
FIRST = 44  # top of the first row of fields

# Half widths of the six stations from the apex to the outflow tract.
SQUEEZED = [13, 22, 27, 22, 13, 11]
SHUT = [12, 19, 21, 14, 6, 2]
EMPTIED = [7, 10, 11, 8, 4, 1.5]
USUAL = [20, 34, 41, 34, 21, 15]
BIG = [30, 50, 58, 48, 30, 19]
BRISK = [10, 16, 19, 16, 12, 11]

# name, RV in words, its share of before, RA in words, RA bar, half widths, gap of the leaflets, fluid around it,
# distance from the valve at which an arrow points, what proves it and what follows
FIELDS = [
    ("Tamponade", "any", 0.6, "mostly HIGH", "HIGH", SQUEEZED, 14, True, None, "FLUID: drain, whatever the atrium reads"),
    ("Failing ventricle", "LOW", 0.45, "HIGH", "HIGH", BIG, 14, False, None, "big and still, no fluid: inotrope, no volume"),
    ("Muscle", "HIGH", 1.05, "ordinary", "ordinary", SHUT, 14, False, -22, "outflow seen shutting: no inotrope for it"),
    ("Muscle, emptied", "BETWEEN", 0.72, "LOW", "LOW", EMPTIED, 14, False, -22, "just before arrest: fill, pressor, ECMO"),
    ("Valve still tight", "HIGH", 0.95, "ordinary", "ordinary", USUAL, 2, False, 6, "step at the valve: lighten, no balloon yet"),
    ("Lungs", "HIGH", 1.0, "HIGH", "HIGH", USUAL, 14, False, 62, "no step: the lung artery is as high; no volume"),
    ("Bleeding", "LOW", 0.35, "LOW", "LOW", BRISK, 14, False, None, "small and brisk: volume, blood, groin, flank"),
    ("Allergy, too deep", "LOW", 0.42, "ordinary", "ordinary", SQUEEZED, 14, False, None, "open and brisk: lift the drapes, airway, skin"),
]


def _bars(x, base, share, atrium):
    """Outlined before, filled now: the ventricle's pair, then the atrium's."""
    strokes = []
    for place, (before, now) in enumerate(((RV_BEFORE, share * RV_BEFORE), (RA_BEFORE, RA_NOW[atrium]))):
        left = x + 36 * place
        strokes += [rectangle(left, base - before, 12, before, "fig-zone-plain"), rectangle(left + 14, base - now, 14, now, "fig-bar"),
                    label(left + 14, base + 15, ("RV", "RA")[place], "fig-small", "middle")]
    return strokes + [line(x - 4, base, x + 68, base, "fig-axis")]


def _heart(left, top, widths, gap, fluid, points_at):
    """The outflow in lateral view with this cavity, the fluid around it, and an arrow where the step is."""
    body = Outflow(left, top, 0.5, list(enumerate(widths)))
    strokes = [body.around(2.5, "fig-fluid")] if fluid else []
    strokes += [body.drawn(ridged=False), body.leaflets(12, gap)]
    if points_at is not None:
        strokes.append(arrow(*(body.point(points_at, 78) + body.point(points_at, 26) + ("fig-arrow",))))
    return strokes


@drawn()
def low_pressure_recogniser(*, picture_id):
    """Eight causes of a low pressure after the balloon: ventricle and atrium before and after, and the echo."""
    parts = [rectangle(4, 8, 12, 14, "fig-zone-plain"), label(22, 20, "before the balloon", "fig-small"),
             rectangle(164, 8, 14, 14, "fig-bar"), label(184, 20, "at the low pressure", "fig-small"),
             label(4, 36, "RV systolic and RA mean, each on its own scale", "fig-small")]
    said = []
    for place, (name, rv, share, ra, bar, widths, gap, fluid, points_at, more) in enumerate(FIELDS):
        left, top = 6 + FIELD_WIDTH * (place % 2), FIRST + FIELD_HEIGHT * (place // 2)
        parts.append(label(left, top + 14, name, "fig-strong"))
        parts.append(label(left, top + 30, "RV " + rv + ", RA " + ra, "fig-small"))
        parts += _bars(left + 4, top + 98, share, bar)
        parts += _heart(left + 84, top + 30, widths, gap, fluid, points_at)
        if fluid:
            parts.append(label(left + 168, top + 118, "fluid", "fig-small", "end"))
        parts.append(paragraph(left, top + 142, more, 168, "fig-small", step=14)[0])
        said.append(name + ": RV " + rv + ", RA " + ra + "; " + more + ".")
    for row in range(4):
        parts.append(line(0, FIRST + FIELD_HEIGHT * row, 360, FIRST + FIELD_HEIGHT * row, "fig-frame"))
    bottom = FIRST + FIELD_HEIGHT * 4
    parts.append(line(180, FIRST, 180, bottom, "fig-frame"))
    parts.append(line(0, bottom, 360, bottom, "fig-frame"))
    written, bottom = paragraph(4, bottom + 16, "Two numbers name no disease: echo decides, and fluid before everything.", PAGE - 90, "fig-strong")
    parts.append(written)
    return canvas(picture_id, bottom - 8, "Low pressure after the balloon: pressures and echo of eight causes",
                  "Eight fields, each with the ventricle's and the atrium's pressure before the balloon and at the low pressure, and the "
                  "ventricle on echo. " + " ".join(said) + " Two numbers name no disease: echo decides, and fluid before everything.", parts)

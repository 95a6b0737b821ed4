"""The two forms of narrow pulmonary valve, shut and open, from above and in profile."""

from math import cos, pi, sin

from pvcalc.draw.svg import (
    PAGE, arrow, at, canvas, circle, drawn, joined, label, line, paragraph, path, smooth, smooth_on,
)

COLUMNS = [45, 135, 225, 315]  # middles: from above shut and open, in profile shut and open
COMMISSURES = (90, 210, 330)  # degrees, clockwise from the right on the page


def _towards(x, y, radius, degrees):
    angle = degrees * pi / 180
    return x + radius * cos(angle), y + radius * sin(angle)


def _domed_above(x, y, is_open):
    """A cone of fused leaflets: no commissure reaches the wall, one small hole in the middle."""
    strokes = [circle(x, y, 34, "fig-cusp")]
    hole = 9 if is_open else 0
    for degrees in COMMISSURES:
        strokes.append(path(joined([_towards(x, y, hole + 4, degrees), _towards(x, y, 29, degrees)]), "fig-raphe"))
        if not is_open:
            strokes.append(path(joined([(x, y), _towards(x, y, 7, degrees)]), "fig-leaflet"))
    if is_open:
        strokes.append(circle(x, y, hole, "fig-hole"))
    return "".join(strokes)


def _dysplastic_above(x, y, is_open):
    """Three thick separate leaflets in a small ring; the slits between them reach the wall and hardly widen."""
    strokes = [circle(x, y, 29, "fig-hole")]
    shift, edge = (5.0, 6) if is_open else (2.6, 2.5)
    for degrees in COMMISSURES:
        middle = degrees + 60
        cx, cy = _towards(x, y, shift, middle)
        points = [(cx, cy)]
        for step in range(7):
            points.append(_towards(x, y, 27, degrees + edge + (120 - 2 * edge) * step / 6))
        strokes.append(path(joined(points, True), "fig-cusp-thick"))
        for reach, turn in ((5, 0), (12, -48), (12, 48), (20, -56), (20, 56)):
            strokes.append(circle(*(_towards(cx, cy, reach, middle + turn) + (2.4, "fig-leaflet-fill"))))
    return "".join(strokes)


def _profile(x, y, half, trunk, leaflets):
    """Wall in section, ventricle below and artery above, with the leaflets of a list of paths."""
    strokes = []
    for side in (-1, 1):
        inner = [(x + side * (half + 6), y + 34), (x + side * (half - 1), y + 16), (x + side * half, y),
                 (x + side * (half + 5), y - 9), (x + side * trunk, y - 24), (x + side * trunk, y - 40)]
        outer = [(x + side * (trunk + 2), y - 40), (x + side * (trunk + 2), y - 24), (x + side * (half + 7), y - 9),
                 (x + side * (half + 5), y + 1), (x + side * (half + 9), y + 16), (x + side * (half + 15), y + 34)]
        strokes.append(path(smooth(inner) + "L" + at(outer[0][0]) + " " + at(outer[0][1]) + smooth_on(outer), "fig-muscle"))
    for points, look in leaflets:
        strokes.append(path(smooth([(x + px, y - py) for px, py in points]), look))
    return "".join(strokes)


def _both_sides(points, look):
    return [(points, look), ([(-px, py) for px, py in points], look)]


def _domed_profile(x, y, is_open):
    if is_open:
        leaflets = _both_sides([(-20, 0), (-19, 13), (-11, 22), (-4, 25)], "fig-leaflet")
        jet = arrow(x, y - 12, x, y - 38, "fig-jet")
    else:
        leaflets = _both_sides([(-20, 0), (-14, -8), (-6, -8), (0, -3)], "fig-leaflet")
        jet = ""
    return _profile(x, y, 20, 28, leaflets) + jet


def _dysplastic_profile(x, y, is_open):
    if is_open:
        leaflets = _both_sides([(-14, 1), (-11, 8), (-7, 14)], "fig-leaflet-thick")
        jet = arrow(x, y + 6, x, y - 36, "fig-jet", 6)
    else:
        leaflets = _both_sides([(-14, 1), (-9, 5), (-4.5, 7)], "fig-leaflet-thick")
        jet = ""
    return _profile(x, y, 16, 15, leaflets) + jet


@drawn()
def valve_open_shut(*, picture_id):
    """A domed and a dysplastic valve, each shut and open, from above and in profile."""
    rows = [
        ("Domed valve", 94, _domed_above, _domed_profile,
         "Thin leaflets fused along their seams: it opens to a dome with one small hole. The trunk above is often wide."),
        ("Dysplastic valve", 254, _dysplastic_above, _dysplastic_profile,
         "Thick, stiff, lumpy leaflets, seams free: it hardly opens. Ring and trunk are often narrow."),
    ]
    parts = [label(90, 16, "from above", "fig-small", "middle"), label(270, 16, "in profile", "fig-small", "middle"),
             line(180, 8, 180, 306, "fig-frame")]
    for name, y, above, profile, more in rows:
        parts.append(label(4, y - 56, name, "fig-strong"))
        for column, is_open in ((0, False), (1, True)):
            parts.append(above(COLUMNS[column], y, is_open))
            parts.append(profile(COLUMNS[column + 2], y, is_open))
        for column, word in enumerate(("shut", "open", "shut", "open")):
            parts.append(label(COLUMNS[column], y + 52, word, "fig-small", "middle"))
    parts.append(line(0, 156, 360, 156, "fig-frame"))
    bottom = 332
    for name, _, _, _, more in rows:
        written, bottom = paragraph(4, bottom, name + ": " + more[0].lower() + more[1:], PAGE, "fig-small")
        parts.append(written)
        bottom += 4
    said = ("Two forms of narrow pulmonary valve, each shut and open, from above and in profile with the artery on top. "
            + " ".join([name + ": " + more[0].lower() + more[1:] for name, _, _, _, more in rows]))
    return canvas(picture_id, bottom - 10, "Domed and dysplastic valve, shut and open", said, parts)

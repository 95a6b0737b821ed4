"""The balloon in the outflow: where it lies, and how its waist comes and goes."""

from pvcalc.draw.outflow import INFUNDIBULUM, VALVE, Outflow, balloon_half_width, pinch
from pvcalc.draw.svg import arrow, canvas, drawn, joined, label, line, paragraph, path, smooth

POSITIONS = [
    # name, good, middle of the balloon from the valve, pinched there, what it means
    ("Too low", False, -13, True, "waist at the far end: most of the balloon stretches the muscle below the valve"),
    ("Right", True, 8, True, "waist in the middle third, between the two marks"),
    ("Too high", False, 29, True, "waist at the near end: the balloon stretches the artery"),
    ("Slipped", False, -50, False, "no waist: it jumped back; deflate at once"),
]


@drawn()
def balloon_position(*, picture_id):
    """Four outflows in lateral view with the balloon too low, right, too high and slipped back."""
    parts = []
    for place, (name, good, middle, pinched, more) in enumerate(POSITIONS):
        left, top = 6 + 180 * (place % 2), 14 + 284 * (place // 2)
        body = Outflow(left, top + 14, 1.02, [(VALVE, 13), (INFUNDIBULUM, 17)])
        parts += [body.drawn(), body.tricuspid(), body.wire()]
        parts.append(body.balloon(middle, 24, 13, 8 if pinched else None, 7.5))
        parts.append(body.leaflets(9, 11 if pinched else 5, bow=3))
        if not pinched:
            parts.append(arrow(*(body.point(-4, 32) + body.point(-36, 44) + ("fig-arrow",))))
        parts.append(label(left, top + 2, name, "fig-good-text" if good else "fig-bad-text"))
        parts.append(paragraph(left, top + 234, more, 172, "fig-small", step=14)[0])
    parts += [line(180, 8, 180, 562, "fig-frame"), line(0, 282, 360, 282, "fig-frame")]
    return canvas(picture_id, 566, "Balloon across the valve: too low, right, too high, slipped",
                  "Four outflows of the right ventricle in lateral view, in each a balloon with two marks on a wire that comes through "
                  "the tricuspid valve at the back. "
                  + " ".join([name + ": " + more + "." for name, _, _, _, more in POSITIONS]), parts)


WAISTS = [
    ("1 Appears", 11.0, 15.0, "slow fill: a waist shows between the marks"),
    ("2 Deepens", 16.0, 14.0, "more pressure, to nominal: the waist stays sharp"),
    ("3 Gone", 0.0, 9.0, "it jumps open: the fused seams have given way"),
    ("4 Comes back", 8.0, 22.0, "it melted slowly and returns: dysplastic valve or recoil of the ring"),
]


def _waisted(x, y, depth, spread):
    """A balloon lying along the page, 132 long, pinched in the middle by two leaflets."""
    half, reach = 26.0, 46.0
    upper = []
    for step in range(49):
        along = -66 + 132 * step / 48
        width = balloon_half_width(along, reach, 20, half) - pinch(along, spread) * depth
        upper.append((along, max(width, 2.0)))
    outline = [(x + along, y - width) for along, width in upper]
    below = [(x + along, y + width) for along, width in upper]
    below.reverse()
    strokes = [line(x - 80, y, x + 80, y, "fig-wire"), path(joined(outline + below, True), "fig-balloon")]
    for mark in (-reach, reach):
        strokes.append(line(x + mark, y - 4, x + mark, y + 4, "fig-marker"))
    for side in (-1, 1):
        tip = half - depth + 1
        lean = 0 if depth else 14
        strokes.append(path(smooth([(x - 4, y + side * 38), (x + lean / 2, y + side * (tip + 6)), (x + lean, y + side * tip)]), "fig-leaflet"))
        strokes.append(line(x - 70, y + side * 40, x + 70, y + side * 40, "fig-wall"))
    return "".join(strokes)


@drawn()
def waist(*, picture_id):
    """The waist of the balloon: it appears, deepens, is gone; or it melts and comes back."""
    parts = []
    for place, (name, depth, spread, more) in enumerate(WAISTS):
        left, top = 6 + 180 * (place % 2), 14 + 178 * (place // 2)
        parts.append(label(left, top, name, "fig-bad-text" if place == 3 else "fig-good-text" if place == 2 else "fig-strong"))
        parts.append(_waisted(left + 84, top + 60, depth, spread))
        parts.append(paragraph(left, top + 120, more, 172, "fig-small", step=14)[0])
    parts += [line(180, 8, 180, 350, "fig-frame"), line(0, 176, 360, 176, "fig-frame")]
    return canvas(picture_id, 352, "Waist of the balloon, appearing and gone",
                  "A balloon with two marks, pinched by the leaflets. "
                  + " ".join([name + ": " + more + "." for name, _, _, more in WAISTS]), parts)

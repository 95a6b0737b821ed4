"""Two balloons side by side in the annulus, to scale, with the belt around them."""

from math import sqrt

from pvcalc.core.units import show, show_input, show_named
from pvcalc.draw.svg import PAGE, at, canvas, circle, drawn, label, line, paragraph, path, span
from pvcalc.draw.zone_bar import FRAMES, ZONES, patterns, scale_bar, verdict_of, zone_bar, zone_in, zone_words_of
from pvcalc.sizing.two_balloons import BALLOON, two_balloon_belt_mm, two_balloon_diameter_mm
from pvcalc.sizing.zones import ANNULUS, FRAME_WORDS


def belt_path(x_wide, x_narrow, y, wide, narrow):
    """A tight band around two circles with centres on one level, as path data; radii in drawing units.

    The straight pieces touch each circle where its radius leans by theta from the upright, sin theta being
    the difference of the radii over the distance of the centres.
    """
    apart = x_narrow - x_wide
    lean = (wide - narrow) / apart
    upright = sqrt(1 - lean * lean)
    turn = " 0 1 "
    return ("M" + at(x_wide + wide * lean) + " " + at(y - wide * upright)
            + "L" + at(x_narrow + narrow * lean) + " " + at(y - narrow * upright)
            + "A" + at(narrow) + " " + at(narrow) + " 0" + turn + at(x_narrow + narrow * lean) + " " + at(y + narrow * upright)
            + "L" + at(x_wide + wide * lean) + " " + at(y + wide * upright)
            + "A" + at(wide) + " " + at(wide) + " 0" + (" 1 1 " if lean > 0 else turn) + at(x_wide + wide * lean) + " "
            + at(y - wide * upright) + "Z")


@drawn("annulus_mm balloon_a_mm balloon_b_mm frame zones", annulus_mm=ANNULUS, balloon_a_mm=BALLOON, balloon_b_mm=BALLOON, frame=FRAMES,
       zones=ZONES)
def two_balloons_belt(*, picture_id, annulus_mm, balloon_a_mm, balloon_b_mm, frame, zones):
    """Two balloons side by side, to scale, the tight band around them and the annulus before it bends.

    Args:
        annulus_mm: hinge to hinge; balloon_a_mm, balloon_b_mm: the two balloons, in whichever order.
        frame, zones: as for `balloon_on_annulus`.
    """
    zone = zone_in(zones, frame)
    pair = {"balloon_a_mm": balloon_a_mm, "balloon_b_mm": balloon_b_mm}
    belt, diameter = two_balloon_belt_mm(**pair), two_balloon_diameter_mm(**pair)
    ratio, across = diameter / annulus_mm, balloon_a_mm + balloon_b_mm
    wide_mm, narrow_mm = max(balloon_a_mm, balloon_b_mm), min(balloon_a_mm, balloon_b_mm)
    scale = min(320 / max(across, annulus_mm), 200 / max(wide_mm, annulus_mm))
    wide, narrow, half = wide_mm / 2 * scale, narrow_mm / 2 * scale, across / 2 * scale
    y = 44 + max(wide, annulus_mm / 2 * scale)
    x_wide, x_narrow = 180 - half + wide, 180 + half - narrow
    parts = [circle(x_wide, y, wide, "fig-balloon"), circle(x_narrow, y, narrow, "fig-balloon-b"),
             path(belt_path(x_wide, x_narrow, y, wide, narrow), "fig-belt"), circle(180, y, annulus_mm / 2 * scale, "fig-annulus")]
    parts += [label(x_wide, y + 5, show_input(wide_mm), "fig-strong fig-halo", "middle"),
              label(x_narrow, y + 5, show_input(narrow_mm), "fig-strong fig-halo", "middle")]
    parts += [span(180 - half, 26, 180 + half, 26), line(180 - half, 26, 180 - half, y, "fig-curve-soft"),
              line(180 + half, 26, 180 + half, y, "fig-curve-soft"),
              label(180, 16, "widest before the ring bends: " + show_named(across, "mm", 1), "fig-strong fig-halo", "middle")]
    bottom = y + max(wide, annulus_mm / 2 * scale) + 26
    parts += [scale_bar(6, bottom, scale), line(110, bottom - 3, 136, bottom - 3, "fig-belt"), label(142, bottom + 1, "belt " + show_named(belt, "mm", 1)),
              line(236, bottom - 3, 264, bottom - 3, "fig-annulus"), label(270, bottom + 1, "annulus " + show_input(annulus_mm))]
    equal = "Belt as one balloon: " + show_named(diameter, "mm", 2) + ", ratio " + show(ratio, 3) + "."
    wider = ("The pair is " + show(across / annulus_mm, 2) + " times the annulus wide before the ring bends.")
    words, look = verdict_of(ratio, zone, frame)
    parts.append(label(4, bottom + 26, equal, "fig-strong"))
    written, bottom = paragraph(4, bottom + 44, words, PAGE, look)
    more, bottom = paragraph(4, bottom, wider, PAGE)
    parts += [written, more]
    if zone:
        bar, bottom = zone_bar(picture_id, bottom + 4, zone, [(ratio, show(ratio, 3))])
        parts.append(bar)
    said = ("Two balloons of " + show_input(wide_mm) + " and " + show_input(narrow_mm) + " mm side by side, with a tight belt of "
            + show_named(belt, "mm", 1) + " around them, on an annulus of " + show_input(annulus_mm) + " mm (dashed), to scale. Frame: "
            + FRAME_WORDS[frame] + ". Widest " + show_named(across, "mm", 1) + ". " + equal + " " + words + " " + wider + zone_words_of(zone))
    return canvas(picture_id, bottom, "Two balloons in their belt, to scale", said, parts, scale=scale, defs=patterns(picture_id))

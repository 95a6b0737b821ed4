"""Balloon and annulus to scale, two balloons in their belt, and what error and phase do to the ratio."""

from math import sqrt

from pvcalc.draw import at, canvas, circle, drawn, joined, label, line, paragraph, path, rectangle, ring, span
from pvcalc.draw_chart import Axes
from pvcalc.draw_zones import patterns, verdict_of, zone_bar, zone_words_of
from pvcalc.formula import choices, records
from pvcalc.shelf import FRAME_WORDS, checked_zones, zone_for
from pvcalc.sizing import (
    ANNULUS, RATIO, annulus_other_phase_band_mm, balloon_ratio, true_ratio, two_balloon_belt_mm, two_balloon_diameter_mm,
)
from pvcalc.units import show, show_input, show_named

FRAMES = choices("open_valve_systole", "end_systole", "end_diastole", "not_stated")


def _zone(zones, frame):
    checked_zones(zones)
    return None if frame == "not_stated" else zone_for(zones, frame)


def scale_bar(x, y, scale):
    """A bar of 10 mm, or of 5 when 10 would be too long."""
    length = 10 if scale * 10 <= 140 else 5
    return span(x, y, x + length * scale, y) + label(x, y - 8, show(length, 0) + " mm", "fig-small")


@drawn("annulus_mm balloon_mm frame zones", annulus_mm=ANNULUS, balloon_mm=(2, 60), frame=FRAMES, zones=records(1, 10))
def balloon_on_annulus(*, picture_id, annulus_mm, balloon_mm, frame, zones):
    """A balloon laid on the annulus, both seen end-on and to scale, with the zones of the department.

    Args:
        annulus_mm: hinge to hinge; balloon_mm: its diameter when full.
        frame: the frame in which the annulus was measured.
        zones: records of five ratios, as for `shelf_choices`.
    """
    ratio = balloon_ratio(balloon_mm=balloon_mm, annulus_mm=annulus_mm)
    zone = _zone(zones, frame)
    widest = max(balloon_mm, annulus_mm * (zone["forbidden_above_ratio"] if zone else 1.0))
    scale = 216 / widest
    x, y = 122, 128
    parts = [circle(x, y, balloon_mm / 2 * scale, "fig-balloon")]
    if zone:
        for low, high, name in (("accepted_low_ratio", "accepted_high_ratio", "accepted"), ("target_low_ratio", "target_high_ratio", "target")):
            inner, outer = zone[low] * annulus_mm / 2 * scale, zone[high] * annulus_mm / 2 * scale
            parts.append(ring(x, y, inner, outer, "fig-zone-" + name))
        parts.append(circle(x, y, zone["forbidden_above_ratio"] * annulus_mm / 2 * scale, "fig-limit"))
    parts.append(circle(x, y, balloon_mm / 2 * scale, "fig-balloon-edge"))
    parts.append(circle(x, y, annulus_mm / 2 * scale, "fig-annulus"))
    parts.append(label(x, y - 4, "annulus", "fig-halo", "middle"))
    parts.append(label(x, y + 13, show_named(annulus_mm, "mm", 1), "fig-strong fig-halo", "middle"))
    right = 244
    parts += [label(right, 28, "balloon", ""), label(right, 46, show_named(balloon_mm, "mm", 1), "fig-strong"),
              label(right, 76, "ratio"), label(right, 94, show(ratio, 2), "fig-strong"), label(right, 124, "frame")]
    written, _ = paragraph(right, 141, FRAME_WORDS[frame], 112, "fig-strong")
    parts += [written, scale_bar(right, 226, scale)]
    words, look = verdict_of(ratio, zone, frame)
    written, bottom = paragraph(4, 262, words, 352, look)
    parts.append(written)
    if zone:
        bar, bottom = zone_bar(picture_id, bottom + 6, zone, [(ratio, show(ratio, 2))])
        parts.append(bar)
    said = ("A balloon of " + show_named(balloon_mm, "mm", 1) + " on an annulus of " + show_named(annulus_mm, "mm", 1)
            + ", seen end-on and to scale. Frame: " + FRAME_WORDS[frame] + ". Ratio " + show(ratio, 2) + ". " + words + zone_words_of(zone))
    return canvas(picture_id, bottom, "Balloon on annulus, to scale", said, parts, scale=scale, defs=patterns(picture_id))


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


@drawn("annulus_mm balloon_a_mm balloon_b_mm frame zones", annulus_mm=ANNULUS, balloon_a_mm=(2, 40), balloon_b_mm=(2, 40), frame=FRAMES,
       zones=records(1, 10))
def two_balloons_belt(*, picture_id, annulus_mm, balloon_a_mm, balloon_b_mm, frame, zones):
    """Two balloons side by side, to scale, the tight band around them and the annulus before it bends.

    Args:
        annulus_mm: hinge to hinge; balloon_a_mm, balloon_b_mm: the two balloons, in whichever order.
        frame, zones: as for `balloon_on_annulus`.
    """
    zone = _zone(zones, frame)
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
    written, bottom = paragraph(4, bottom + 44, words, 352, look)
    more, bottom = paragraph(4, bottom, wider, 352)
    parts += [written, more]
    if zone:
        bar, bottom = zone_bar(picture_id, bottom + 4, zone, [(ratio, show(ratio, 3))])
        parts.append(bar)
    said = ("Two balloons of " + show_input(wide_mm) + " and " + show_input(narrow_mm) + " mm side by side, with a tight belt of "
            + show_named(belt, "mm", 1) + " around them, on an annulus of " + show_input(annulus_mm) + " mm (dashed), to scale. Frame: "
            + FRAME_WORDS[frame] + ". Widest " + show_named(across, "mm", 1) + ". " + equal + " " + words + " " + wider + zone_words_of(zone))
    return canvas(picture_id, bottom, "Two balloons in their belt, to scale", said, parts, scale=scale, defs=patterns(picture_id))


@drawn("intended_ratio measurement_error_percent frame zones", intended_ratio=RATIO, measurement_error_percent=(-60, 60), frame=FRAMES,
       zones=records(1, 10))
def error_band(*, picture_id, intended_ratio, measurement_error_percent, frame, zones):
    """Where the true ratio may lie when the annulus may be wrong by so much either way.

    Args:
        intended_ratio: balloon over measured annulus; measurement_error_percent: size of the error, either sign.
        frame, zones: as for `balloon_on_annulus`.
    """
    zone = _zone(zones, frame)
    size = abs(measurement_error_percent)
    low = true_ratio(intended_ratio=intended_ratio, measurement_error_percent=-size)
    high = true_ratio(intended_ratio=intended_ratio, measurement_error_percent=size)
    text = ("Intended " + show(intended_ratio, 2) + ", annulus wrong by up to " + show(size, 1) + "\u00a0% either way: true ratio "
            + show(low, 2) + " to " + show(high, 2) + ".")
    written, bottom = paragraph(4, 18, text, 352, "fig-strong")
    parts = [written]
    ends = ""
    if zone:
        low_words, high_words = verdict_of(low, zone, frame)[0], verdict_of(high, zone, frame)[0]
        ends = " Lower end: " + low_words + " Upper end: " + high_words
        for name, words in (("Lower end", low_words), ("Upper end", high_words)):
            written, bottom = paragraph(4, bottom, name + ": " + words[0].lower() + words[1:], 352)
            parts.append(written)
        bar, bottom = zone_bar(picture_id, bottom + 6, zone, [(intended_ratio, "intended " + show(intended_ratio, 2))], (low, high))
        parts.append(bar)
    else:
        words, look = verdict_of(low, zone, frame)
        more, bottom = paragraph(4, bottom, words, 352, look)
        parts.append(more)
        ends = " " + words
    return canvas(picture_id, bottom, "Band of the true ratio", text + " Frame: " + FRAME_WORDS[frame] + "." + ends + zone_words_of(zone), parts,
                  defs=patterns(picture_id))


@drawn("annulus_mm measured_in valve", annulus_mm=ANNULUS, measured_in=choices("end_systole", "end_diastole"),
       valve=choices("typical", "dysplastic"))
def phase_spread(*, picture_id, annulus_mm, measured_in, valve):
    """How widely the annulus of the other phase spread in one series: a picture, never an input to sizing.

    Args:
        annulus_mm: as measured; measured_in: end_systole or end_diastole; valve: typical or dysplastic.
    """
    band = dict(annulus_other_phase_band_mm(annulus_mm=annulus_mm, measured_in=measured_in, valve=valve))
    low, high = band["low_mm"], band["high_mm"]
    other = "end_diastole" if measured_in == "end_systole" else "end_systole"
    left, right = min(annulus_mm, low) * 0.9, max(annulus_mm, high) * 1.06
    axes = Axes(12, 34, 336, 116, (left, right), (0, 1))
    x = axes.x(annulus_mm)
    rows = [(measured_in, 46), (other, 102)]
    parts = [line(x, rows[0][1] + 12, x, 150, "fig-curve-soft"),
             label(12, rows[0][1] - 16, FRAME_WORDS[measured_in] + ", measured", "fig-strong"),
             label(12, rows[1][1] - 16, FRAME_WORDS[other] + ", spread in one series", "fig-strong fig-halo"),
             circle(x, rows[0][1] + 4, 6, "fig-dot-good"),
             label(x + 10 if x < 250 else x - 10, rows[0][1] + 9, show_named(annulus_mm, "mm", 1), "fig-strong", "start" if x < 250 else "end"),
             rectangle(axes.x(low), rows[1][1] - 6, axes.x(high) - axes.x(low), 18, "fig-zone-reason"),
             path(joined([(axes.x(low), rows[1][1] - 6), (axes.x(high), rows[1][1] - 6), (axes.x(high), rows[1][1] + 12),
                          (axes.x(low), rows[1][1] + 12)], True), "fig-over", picture_id + "-lines"),
             label((axes.x(low) + axes.x(high)) / 2, rows[1][1] + 8, show(low, 1) + " to " + show_named(high, "mm", 1), "fig-strong fig-halo", "middle"),
             axes.across_marks("mm")]
    warn = "Never an input to sizing: measure in the frame you need."
    parts.append(label(12, 206, warn, "fig-bad-text"))
    said = ("Annulus " + show_named(annulus_mm, "mm", 1) + " measured at " + FRAME_WORDS[measured_in] + ", " + valve + " valve. At " + FRAME_WORDS[other]
            + " it spread from " + show(low, 1) + " to " + show_named(high, "mm", 1) + " in one series. " + warn)
    return canvas(picture_id, 216, "Annulus in the other phase: a spread", said, parts, defs=patterns(picture_id))

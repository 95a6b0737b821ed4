"""A balloon laid on the annulus, to scale."""

from pvcalc.core.units import show, show_named
from pvcalc.draw.svg import PAGE, canvas, circle, drawn, label, paragraph, ring
from pvcalc.draw.zone_bar import FRAMES, ZONES, patterns, scale_bar, verdict_of, zone_bar, zone_in, zone_words_of
from pvcalc.sizing.ratio import balloon_ratio
from pvcalc.sizing.zones import ANNULUS, FRAME_WORDS


@drawn("annulus_mm balloon_mm frame zones", annulus_mm=ANNULUS, balloon_mm=balloon_ratio.limits["balloon_mm"], frame=FRAMES, zones=ZONES)
def balloon_on_annulus(*, picture_id, annulus_mm, balloon_mm, frame, zones):
    """A balloon laid on the annulus, both seen end-on and to scale, with the zones of the department.

    Args:
        annulus_mm: hinge to hinge; balloon_mm: its diameter when full.
        frame: the frame in which the annulus was measured.
        zones: records of five ratios, as for `shelf_choices`.
    """
    ratio = balloon_ratio(balloon_mm=balloon_mm, annulus_mm=annulus_mm)
    zone = zone_in(zones, frame)
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
    written, bottom = paragraph(4, 262, words, PAGE, look)
    parts.append(written)
    if zone:
        bar, bottom = zone_bar(picture_id, bottom + 6, zone, [(ratio, show(ratio, 2))])
        parts.append(bar)
    said = ("A balloon of " + show_named(balloon_mm, "mm", 1) + " on an annulus of " + show_named(annulus_mm, "mm", 1)
            + ", seen end-on and to scale. Frame: " + FRAME_WORDS[frame] + ". Ratio " + show(ratio, 2) + ". " + words + zone_words_of(zone))
    return canvas(picture_id, bottom, "Balloon on annulus, to scale", said, parts, scale=scale, defs=patterns(picture_id))

"""What pictures of balloons share: a bar of sizing zones with its pointers, the words for where a ratio lies, a scale."""

from pvcalc.core.formula import choices, records
from pvcalc.core.units import show
from pvcalc.draw.svg import dots, hatch, joined, label, line, path, rectangle, span
from pvcalc.sizing.zones import EDGE, checked_zones, zone_for, zone_of

FRAMES = choices("open_valve_systole", "end_systole", "end_diastole", "not_stated")
ZONES = records(1, 10)
LEFT, WIDTH = 10, 340
SCALE_ROOM = 100  # drawing units beside a balloon, or before the words of the belt
LOW, HIGH = 0.8, 1.7  # ends of the bar; what lies beyond is drawn at the end and said

VERDICTS = {
    "below": ("Below the accepted zone.", "fig-odd-text"), "accepted": ("In the accepted zone.", "fig-strong"),
    "target": ("In the target zone.", "fig-good-text"), "reason": ("Above the accepted zone: written reason only.", "fig-odd-text"),
    "forbidden": ("FORBIDDEN: too large.", "fig-bad-text"),
}
LOOKS = [("target", "target", 0), ("accepted", "accepted", 66), ("reason", "written reason", 150), ("forbidden", "forbidden", 262)]  # and how far right


def zone_in(zones, frame):
    """The zones of a frame, or None when a ratio in it cannot be judged."""
    checked_zones(zones)
    return None if frame == "not_stated" else zone_for(zones, frame)


def scale_bar(x, y, scale):
    """A bar of 10 mm, or of 5, 2 or 1 when that is longer than the room for it; for 1 there always is."""
    length = [mm for mm in (10, 5, 2, 1) if mm * scale <= SCALE_ROOM][0]
    return span(x, y, x + length * scale, y) + label(x, y - 8, show(length, 0) + " mm", "fig-small")


def verdict_of(ratio, zone, frame):
    """(sentence, class) of a ratio; without zones it says why there is no verdict."""
    if frame == "not_stated":
        return "Frame not stated: this ratio cannot be judged.", "fig-bad-text"
    if zone is None:
        return "No zones are set for this frame: this ratio cannot be judged.", "fig-bad-text"
    words, look = VERDICTS[zone_of(ratio, zone)]
    for key in ("accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio", "forbidden_above_ratio"):
        if abs(ratio - zone[key]) <= 0.0005 + EDGE:
            words += " At the cut-off of " + show(zone[key], 2) + " (" + show(ratio, 3) + ")."
            break
    return words, look


def zone_words_of(zone):
    """The zones as a sentence."""
    if zone is None:
        return ""
    return (" Zones: target " + show(zone["target_low_ratio"], 2) + " to " + show(zone["target_high_ratio"], 2) + ", accepted "
            + show(zone["accepted_low_ratio"], 2) + " to " + show(zone["accepted_high_ratio"], 2) + ", with a written reason to "
            + show(zone["forbidden_above_ratio"], 2) + ", forbidden above.")


def patterns(picture_id):
    """The hatches that tell zones apart without colour."""
    return (hatch(picture_id + "-hatch", "fig-hatch-bad", 5) + hatch(picture_id + "-lines", "fig-hatch-odd", 8, 135)
            + dots(picture_id + "-dots", "fig-dots-good", 5))


def _x(ratio):
    return LEFT + (min(max(ratio, LOW), HIGH) - LOW) / (HIGH - LOW) * WIDTH


def _piece(picture_id, low, high, top, name):
    """One zone on the bar, with the hatch that goes with it."""
    x1, x2 = _x(low), _x(high)
    strokes = rectangle(x1, top, x2 - x1, 26, "fig-zone-" + name)
    pattern = {"target": "-dots", "reason": "-lines", "forbidden": "-hatch"}.get(name)
    if pattern:
        strokes += path(joined([(x1, top), (x2, top), (x2, top + 26), (x1, top + 26)], True), "fig-over", picture_id + pattern)
    return strokes


def zone_bar(picture_id, top, zone, pointers, band=None):
    """The bar with pointers (ratio, words) above and, when given, a band from low to high across it.

    Returns (strokes, y below everything).
    """
    edges = [zone["accepted_low_ratio"], zone["target_low_ratio"], zone["target_high_ratio"], zone["accepted_high_ratio"], zone["forbidden_above_ratio"]]
    bar = top + 30
    strokes = []
    for low, high, name in ((LOW, edges[0], "plain"), (edges[0], edges[1], "accepted"), (edges[1], edges[2], "target"),
                            (edges[2], edges[3], "accepted"), (edges[3], edges[4], "reason"), (edges[4], HIGH, "forbidden")):
        if high > low:
            strokes.append(_piece(picture_id, low, high, bar, name))
    for place, edge in enumerate(edges):
        drop = 14 if place % 2 else 0
        strokes.append(line(_x(edge), bar + 26, _x(edge), bar + 30 + drop, "fig-leader"))
        strokes.append(label(_x(edge), bar + 41 + drop, show(edge, 2), "fig-small", "middle"))
    if band:
        x1, x2 = _x(band[0]), _x(band[1])
        strokes.append(rectangle(x1, bar + 6, max(x2 - x1, 1), 14, "fig-band"))
        aside = max(4, 10 - (x2 - x1) / 2)  # clear of a pointer within a narrow band
        for value, x, anchor in ((band[0], x1, "end"), (band[1], x2, "start")):
            room = x - 34 > LEFT if anchor == "end" else x + 34 < LEFT + WIDTH
            if room:
                strokes.append(label(x + (-aside if anchor == "end" else aside), bar - 4, show(value, 2), "fig-strong fig-halo", anchor))
    for ratio, words in pointers:
        x = _x(ratio)
        strokes.append(path(joined([(x, bar + 2), (x - 6, bar - 10), (x + 6, bar - 10)], True), "fig-pointer"))
        strokes.append(line(x, bar, x, bar + 26, "fig-curve"))
        beyond = " (beyond the bar)" if not LOW <= ratio <= HIGH else ""
        anchor = "start" if x < 80 else "end" if x > 280 else "middle"
        strokes.append(label(x, bar - 16, words + beyond, "fig-strong fig-halo", anchor))
    key = bar + 68
    for name, words, right in LOOKS:
        x = LEFT + right
        strokes.append(rectangle(x, key, 14, 14, "fig-zone-" + name))
        pattern = {"target": "-dots", "reason": "-lines", "forbidden": "-hatch"}.get(name)
        if pattern:
            strokes.append(path(joined([(x, key), (x + 14, key), (x + 14, key + 14), (x, key + 14)], True), "fig-over", picture_id + pattern))
        strokes.append(label(x + 18, key + 11.5, words, "fig-small"))
    return "".join(strokes), key + 24

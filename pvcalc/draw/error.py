"""What an error of the annulus does to the ratio."""

from pvcalc.core.units import show
from pvcalc.draw.svg import PAGE, canvas, drawn, paragraph
from pvcalc.draw.zone_bar import FRAMES, ZONES, patterns, verdict_of, zone_bar, zone_in, zone_words_of
from pvcalc.sizing.ratio import true_ratio
from pvcalc.sizing.zones import FRAME_WORDS, RATIO


@drawn("intended_ratio measurement_error_percent frame zones", intended_ratio=RATIO, measurement_error_percent=true_ratio.limits["measurement_error_percent"],
       frame=FRAMES, zones=ZONES)
def error_band(*, picture_id, intended_ratio, measurement_error_percent, frame, zones):
    """Where the true ratio may lie when the annulus may be wrong by so much either way.

    Args:
        intended_ratio: balloon over measured annulus; measurement_error_percent: size of the error, either sign.
        frame, zones: as for `balloon_on_annulus`.
    """
    zone = zone_in(zones, frame)
    size = abs(measurement_error_percent)
    low = true_ratio(intended_ratio=intended_ratio, measurement_error_percent=-size)
    high = true_ratio(intended_ratio=intended_ratio, measurement_error_percent=size)
    text = ("Intended " + show(intended_ratio, 2) + ", annulus wrong by up to " + show(size, 1) + "\u00a0% either way: true ratio "
            + show(low, 2) + " to " + show(high, 2) + ".")
    written, bottom = paragraph(4, 18, text, PAGE, "fig-strong")
    parts = [written]
    ends = ""
    if zone:
        low_words, high_words = verdict_of(low, zone, frame)[0], verdict_of(high, zone, frame)[0]
        ends = " Lower end: " + low_words + " Upper end: " + high_words
        for name, words in (("Lower end", low_words), ("Upper end", high_words)):
            written, bottom = paragraph(4, bottom, name + ": " + words[0].lower() + words[1:], PAGE)
            parts.append(written)
        bar, bottom = zone_bar(picture_id, bottom + 6, zone, [(intended_ratio, "intended " + show(intended_ratio, 2))], (low, high))
        parts.append(bar)
    else:
        words, look = verdict_of(low, zone, frame)
        more, bottom = paragraph(4, bottom, words, PAGE, look)
        parts.append(more)
        ends = " " + words
    return canvas(picture_id, bottom, "Band of the true ratio", text + " Frame: " + FRAME_WORDS[frame] + "." + ends + zone_words_of(zone), parts,
                  defs=patterns(picture_id))

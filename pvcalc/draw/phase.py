"""What the phase of the beat does to the annulus."""

from pvcalc.core.formula import choices
from pvcalc.core.units import show, show_named
from pvcalc.draw.axes import Axes
from pvcalc.draw.svg import canvas, circle, drawn, joined, label, line, path, rectangle
from pvcalc.draw.zone_bar import patterns
from pvcalc.sizing.ratio import annulus_other_phase_band_mm
from pvcalc.sizing.zones import ANNULUS, FRAME_WORDS


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
    parts.append(label(4, 206, warn, "fig-bad-text"))
    said = ("Annulus " + show_named(annulus_mm, "mm", 1) + " measured at " + FRAME_WORDS[measured_in] + ", " + valve + " valve. At " + FRAME_WORDS[other]
            + " it spread from " + show(low, 1) + " to " + show_named(high, "mm", 1) + " in one series. " + warn)
    return canvas(picture_id, 216, "Annulus in the other phase: a spread", said, parts, defs=patterns(picture_id))

"""Length on an angiogram, and what spoils it."""

import math

from pvcalc.core.formula import formula, printed


@formula("", seen="derived", measured_px=(1, 20000), reference_px=(1, 20000), reference_mm=(0.5, 200))
def calibrated_length_mm(*, measured_px, reference_px, reference_mm):
    r"""Length from a distance on the image and a reference of known size.

    $l = l_{ref} \cdot \frac{n}{n_{ref}}$

    In words: reference length times measured pixels over reference pixels.

    The result is as good as the reference: a shaft filled with contrast reads up to 15.5 per cent small, and the
    annulus then up to 18 per cent large. Prefer a marker catheter across the valve, or a sphere at the isocentre.

    Args:
        measured_px: distance to be measured, on the image.
        reference_px: the reference, on the same image in the same plane.
        reference_mm: true length of the reference.
    Valid: 1 to 20 000 px and 0.5 to 200 mm, house limits.
    Raises: OutOfRange outside these.
    Not for: a reference in another plane (see `magnification_error_percent`) or seen obliquely.
    Source: geometry.
    """
    return reference_mm * measured_px / reference_px


# A shaft of 2.50 mm that reads 2.39 makes one true millimetre (100 px) too long; one that reads 15.5 % small, more so.
printed(calibrated_length_mm, "shaft_calibration1988", "2.50 mm shaft reading 2.39 mm", answer="1.046", seen="derived",
        kind="derived", fact="B-C6", measured_px=100, reference_px=239, reference_mm=2.5)
printed(calibrated_length_mm, "herrman1994", "contrast-filled catheter, worst", answer="1.183", seen="derived",
        kind="derived", fact="B-C8", measured_px=100, reference_px=84.5, reference_mm=1)


@formula("", seen="derived", angle_deg=(0, 60))
def foreshortening_error_percent(*, angle_deg):
    r"""How much too long everything is measured when the reference is seen at an angle.

    $e = 100 (\frac{1}{\cos \alpha} - 1)$

    In words: one over the cosine of the angle, less one, as a percentage.

    Args:
        angle_deg: angle between the reference and the image plane.
    Valid: 0 to 60 degrees, house limits.
    Raises: OutOfRange outside that range.
    Not for: a measured line that is itself oblique: that one is measured too short.
    Source: geometry.
    """
    return 100 * (1 / math.cos(angle_deg * math.pi / 180) - 1)


printed(foreshortening_error_percent, "koning2001", "15 mm marker wire", answer="7", fact="B-W9 B-C9",
        differs="the source gives a bound, less than 7 per cent below 20 degrees; the value is 6.4", angle_deg=20)
printed(foreshortening_error_percent, "koning2001", "at 20 degrees", answer="6.4", seen="derived", kind="derived",
        fact="B-W9 B-C10", angle_deg=20)


@formula("", seen="derived", offset_mm=(-200, 200), source_distance_mm=(300, 1500))
def magnification_error_percent(*, offset_mm, source_distance_mm):
    r"""How much too long a length is measured when the reference lies in another plane.

    $e = 100 \cdot \frac{o}{s}$

    In words: offset along the beam, over the distance from the X-ray source, as a percentage.

    Args:
        offset_mm: how much farther from the source the reference lies than the annulus; negative when nearer,
            and the annulus is then measured too short.
        source_distance_mm: distance from the X-ray source to the annulus.
    Valid: −200 to 200 mm and 300 to 1500 mm, house limits.
    Raises: OutOfRange outside these.
    Not for: a reference across the valve itself, which has no offset.
    Source: geometry (similar triangles).
    """
    return 100 * offset_mm / source_distance_mm


printed(magnification_error_percent, "", "50 mm at 700 mm", answer="7.1", seen="derived", kind="derived", fact="B-C13",
        offset_mm=50, source_distance_mm=700)


@formula("", seen="derived", pixel_mm=(0.02, 2), reference_mm=(0.5, 200))
def pixel_error_percent(*, pixel_mm, reference_mm):
    r"""What one pixel too many or too few on the reference does to every length.

    $e = 100 \cdot \frac{p}{l_{ref}}$

    In words: size of a pixel over length of the reference, as a percentage.

    Args:
        pixel_mm: size of one pixel at the level of the valve.
        reference_mm: true length of the reference.
    Valid: 0.02 to 2 mm and 0.5 to 200 mm, house limits.
    Raises: OutOfRange outside these.
    Not for: the error of the measured line; that adds its own.
    Source: geometry.
    """
    return 100 * pixel_mm / reference_mm


for reference, answer in [(5 / 3, "12"), (6 / 3, "10"), (10, "2"), (20, "1")]:
    printed(pixel_error_percent, "", "pixel of 0.2 mm", answer=answer, seen="derived", kind="derived", fact="B-C14",
            pixel_mm=0.2, reference_mm=reference)


@formula("", seen="derived", perimeter_mm=(6, 220))
def diameter_from_perimeter_mm(*, perimeter_mm):
    r"""Diameter of the circle with the perimeter of an annulus that is not round.

    $d = \frac{P}{\pi}$

    In words: perimeter divided by pi.

    Args:
        perimeter_mm: perimeter traced on MR or CT, in a named frame.
    Valid: 6 to 220 mm, house limits.
    Raises: OutOfRange outside that range.
    Not for: a z value or a ratio made for another way of measuring; the ways differ by a fifth.
    Source: geometry.
    """
    return perimeter_mm / math.pi


for row, key, place, perimeter, answer in [
        ("B-W6", "ligon2022", "mean perimeter", 88.9, "28.3"), ("B-N14", "chida1994", "ring, mean", 68, "21.6"),
        ("B-N14", "chida1994", "ring, one deviation less", 60, "19.1"),
        ("B-N14", "chida1994", "ring, one deviation more", 76, "24.2")]:
    printed(diameter_from_perimeter_mm, key, place, answer=answer, seen="derived", kind="derived", fact=row,
            perimeter_mm=perimeter)
printed(diameter_from_perimeter_mm, "ligon2022", "median diameter beside a mean perimeter", answer="27.7", fact="B-W6",
        differs="a median diameter is printed beside a mean perimeter", perimeter_mm=88.9)


@formula("", seen="derived", area_cm2=(0.03, 20))
def diameter_from_area_mm(*, area_cm2):
    r"""Diameter of the circle with a given area.

    $d = \sqrt{\frac{4 A}{\pi}}$

    In words: the square root of four times the area over pi; area in square centimetres, diameter given in mm.

    Args:
        area_cm2: area of the annulus.
    Valid: 0.03 to 20 square centimetres, house limits.
    Raises: OutOfRange outside that range.
    Not for: the orifice of a narrowed valve, which says nothing about its annulus.
    Source: geometry.
    """
    return 10 * math.sqrt(4 * area_cm2 / math.pi)


for area, answer in [(4.88, "24.9"), (4.32, "23.5")]:
    printed(diameter_from_area_mm, "westaby1984", "mean areas, men and women", answer=answer, seen="derived",
            kind="derived", fact="B-N13", area_cm2=area)

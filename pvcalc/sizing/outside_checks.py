"""Units and bands around balloons as other programs give them, held against the formulas of sizing.

A band is the convex hull of circles drawn with 80 000 corners, so its length is good to nine digits.
"""

from pvcalc.core.formula import printed
from pvcalc.sizing.balloon import pressure_kpa, wire_mm
from pvcalc.sizing.calibration import diameter_from_area_mm
from pvcalc.sizing.two_balloons import (
    equal_pair_mm, three_balloon_diameter_mm, two_balloon_area_mm2, two_balloon_belt_mm, two_balloon_diameter_mm,
)

UNITS = {"source": "scipy_constants", "kind": "other-software"}
HULL = {"source": "shapely", "kind": "other-software", "seen": "derived"}  # run here, not read

printed(pressure_kpa, locator="pound per square inch, in Pa", answer="6894.757293168361", fact="O-N72", **UNITS, factor=1000,
        pressure_atm=1 / 14.69594877551345, because="a double holds no more", within=1e-9)
printed(pressure_kpa, locator="millimetre of mercury, in Pa", answer="133.32236842105263", fact="O-N74", **UNITS, factor=1000,
        pressure_atm=1 / 760, because="a double holds no more", within=1e-9)
printed(wire_mm, locator="inch, in m", answer="0.0254", fact="O-N75", **UNITS, factor=0.001 / 0.035, wire_inch=0.035)

for _wide, _narrow, _belt, _area in ((18, 18, "92.548668", "578.46900"), (20, 15, "90.335625", "554.81727"), (12, 8, "51.817276", "183.68816")):
    _place = f"version 2.2.0, hull of touching circles of {_wide} and {_narrow} mm"
    printed(two_balloon_belt_mm, locator=_place, answer=_belt, fact="O-S1", **HULL, balloon_a_mm=_wide, balloon_b_mm=_narrow)
    printed(two_balloon_area_mm2, locator=_place, answer=_area, fact="O-S1", **HULL, balloon_a_mm=_wide, balloon_b_mm=_narrow)
for _wide, _narrow, _diameter in ((20, 15, "28.754723"), (12, 8, "16.493951")):
    printed(two_balloon_diameter_mm, locator="version 2.2.0, length of the hull over π", answer=_diameter, fact="O-S1", **HULL,
            balloon_a_mm=_wide, balloon_b_mm=_narrow)
printed(three_balloon_diameter_mm, locator="version 2.2.0, hull of three circles of 10 mm, over π", answer="19.5492966", fact="O-S2", **HULL,
        balloon_mm=10)
printed(equal_pair_mm, locator="version 2.2.0, hull of two circles of 18 mm, read backwards", answer="18.0000000", fact="O-S1", **HULL,
        annulus_mm=29.459155884, ratio=1)
printed(diameter_from_area_mm, locator="version 2.2.0, area of a circle of 20 mm", answer="20.0000000", fact="O-S3", **HULL,
        area_cm2=3.14159265)

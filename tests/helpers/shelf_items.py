"""Zones and a shelf to try: balloons with a full label, and the answer for them."""

from pvcalc.sizing.inventory import shelf_choices

ZONES = [{"accepted_low_ratio": 1.15, "target_low_ratio": 1.20, "target_high_ratio": 1.25,
          "accepted_high_ratio": 1.30, "forbidden_above_ratio": 1.50}]


def item(width, length=40, **more):
    """A shelf item with a full label."""
    return {"diameter_mm": width, "length_mm": length, "nominal_atm": 3, "rated_atm": 5, "sheath_french": 9,
            "wire_inch": 0.035, "family": "plain", **more}


def choose(annulus, widths, frame="open_valve_systole", zones=ZONES, **more):
    """The answer for a shelf of plain balloons, as a dict."""
    return dict(shelf_choices(annulus_mm=annulus, frame=frame, zones=zones, shelf=[item(w, **more) for w in widths]))


def names(answer, zone=None):
    return [choice["balloons"] for choice in answer["choices"] if zone in (None, choice["zone"])]

"""Zones of the ratio of balloon to annulus: what a department accepts, and where a ratio lies.

Zones come in as records, so that the department's settings rule and nothing is hidden here.
"""

from pvcalc.core.errors import NotUnderstood
from pvcalc.core.units import is_number, show, show_input

ANNULUS = (3, 45)  # mm, house limits: wide enough for any patient, narrow enough to catch cm and a lost point
RATIO = (0.8, 1.6)
EDGE = 1e-9  # 1.2 × 12 is 14.399999999999999 in binary and still belongs to the target

FRAME_WORDS = {"open_valve_systole": "early to mid systole, valve open", "end_systole": "end-systole",
               "end_diastole": "end-diastole", "not_stated": "frame not stated"}

ZONE_FIELDS = ["accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio",
               "forbidden_above_ratio"]
ZONE_RANGE = (0.5, 2)


def checked_zones(zones):
    """Zone records with their five ratios in rising order.

    Args:
        zones: list of dicts with `accepted_low_ratio`, `target_low_ratio`, `target_high_ratio`,
            `accepted_high_ratio`, `forbidden_above_ratio`, and optionally `frame`, the frame they are made for.
    Raises: NotUnderstood naming each fault.
    """
    faults = []
    for place, record in enumerate(zones):
        faults += [("zones", "Zone record " + str(place + 1) + ": " + fault + ".") for fault in zone_faults(record)]
    frames = [record.get("frame") or "" for record in zones if isinstance(record, dict)]
    if not faults and len(set(frames)) != len(frames):
        faults = [("zones", "There are two zone records for one frame.")]
    if faults:
        raise NotUnderstood(faults)
    return zones


def zone_faults(record):
    """What is wrong with one zone record, in words."""
    if not isinstance(record, dict):
        return ["it must be a record with five ratios"]
    faults = number_faults(record, [(field, ZONE_RANGE[0], ZONE_RANGE[1], True) for field in ZONE_FIELDS])
    frame = record.get("frame")
    if frame and (not isinstance(frame, str) or frame not in FRAME_WORDS or frame == "not_stated"):
        faults.append("frame must be open_valve_systole, end_systole or end_diastole")
    if not faults:
        ratios = [record[field] for field in ZONE_FIELDS]
        if sorted(ratios) != ratios:
            faults.append("the ratios must not fall from " + ", ".join(ZONE_FIELDS))
    return faults


def number_faults(record, fields):
    """Faults of the numbers of a record; `fields` are (name, least, greatest, required)."""
    faults = []
    for field, least, greatest, required in fields:
        value = record.get(field)
        if value is None:
            if required:
                faults.append(field + " is missing")
        elif not is_number(value):
            faults.append(field + " must be a finite number")
        elif not least <= value <= greatest:
            faults.append(field + " " + show_input(value) + " is outside " + show_input(least) + " to "
                          + show_input(greatest))
    return faults


def zone_for(zones, frame):
    """The zone record made for this frame, else the one that names no frame, else None."""
    general = None
    for record in zones:
        if record.get("frame") == frame:
            return record
        if not record.get("frame"):
            general = record
    return general


def zone_of(ratio, zone):
    """`below`, `target`, `accepted`, `reason` or `forbidden`; a ratio on an edge belongs to the better side."""
    if ratio < zone["accepted_low_ratio"] - EDGE:
        return "below"
    if ratio > zone["forbidden_above_ratio"] + EDGE:
        return "forbidden"
    if ratio > zone["accepted_high_ratio"] + EDGE:
        return "reason"
    if zone["target_low_ratio"] - EDGE <= ratio <= zone["target_high_ratio"] + EDGE:
        return "target"
    return "accepted"


def zone_words(ratio, zone):
    """Why a ratio falls into its zone; one that reads like an edge and is not the edge is told with more digits."""
    low, high = show(zone["accepted_low_ratio"], 2), show(zone["accepted_high_ratio"], 2)
    ceiling = show(zone["forbidden_above_ratio"], 2)
    target = show(zone["target_low_ratio"], 2) + " to " + show(zone["target_high_ratio"], 2)
    reads_like = [zone[field] for field in ZONE_FIELDS if show(ratio, 2) == show(zone[field], 2) and abs(ratio - zone[field]) > EDGE]
    finer = " (to more digits " + show(ratio, 6) + ")" if reads_like else ""
    return {"target": "within the target " + target,
            "accepted": "outside the target " + target + ", within the accepted " + low + " to " + high,
            "reason": "above the accepted " + high + ": only for a reason that is written down",
            "below": "below the accepted " + low,
            "forbidden": "above the ceiling " + ceiling + ": forbidden"}[zone_of(ratio, zone)] + finer

"""Which balloons on a shelf suit an annulus: zones, pairs and ranking, without any formula of its own.

Zones and shelf come in as records, so that the department's settings rule and nothing is hidden here.
"""

import math

from pvcalc.belt import touching_belt_mm
from pvcalc.errors import NotUnderstood
from pvcalc.units import is_number, show, show_input

TOPIC = "sizing"  # reached through pvcalc.sizing

EDGE = 1e-9  # 1.2 × 12 is 14.399999999999999 in binary and still belongs to the target

FRAME_WORDS = {"open_valve_systole": "early to mid systole, valve open", "end_systole": "end-systole",
               "end_diastole": "end-diastole", "not_stated": "frame not stated"}

ZONE_FIELDS = ["accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio",
               "forbidden_above_ratio"]
ZONE_RANGE = (0.5, 2)

# Field, least, greatest, required. House limits.
ITEM_FIELDS = [("diameter_mm", 2, 40, True), ("length_mm", 5, 100, True), ("nominal_atm", 0.5, 40, False),
               ("rated_atm", 0.5, 40, False), ("sheath_french", 1, 30, False), ("wire_inch", 0.008, 0.06, False),
               ("count", 0, 1000, False)]

# House practice: two balloons cost a second vein, so they are looked at from 25 mm, where one balloon of
# about 30 mm would be needed, and below that only when no single one is acceptable, never under 18 mm.
PAIR_FROM_MM = 25
PAIR_NEVER_BELOW_MM = 18
SMALLER_SHARE = 0.5  # house practice: the smaller of a pair is at least half the larger

ZONE_RANK = {"target": 0, "accepted": 1, "reason": 2, "below": 3, "forbidden": 4}
METHOD_RANK = {"single": 0, "belt": 1}


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


def checked_shelf(shelf):
    """Shelf items with plausible numbers.

    Args:
        shelf: list of dicts with `diameter_mm` and `length_mm`, and where the label gives them `nominal_atm`,
            `rated_atm`, `sheath_french`, `wire_inch`, `family` and `count`.
    Raises: NotUnderstood naming each fault.
    """
    faults = []
    for place, item in enumerate(shelf):
        faults += [("shelf", "Shelf item " + str(place + 1) + ": " + fault + ".") for fault in item_faults(item)]
    if faults:
        raise NotUnderstood(faults)
    return shelf


def item_faults(item):
    """What is wrong with one shelf item, in words."""
    if not isinstance(item, dict):
        return ["it must be a record with at least diameter_mm and length_mm"]
    faults = number_faults(item, ITEM_FIELDS)
    family = item.get("family")
    if family is not None and not isinstance(family, str):
        faults.append("family must be words")
    nominal, rated = item.get("nominal_atm"), item.get("rated_atm")
    if not faults and nominal is not None and rated is not None and nominal > rated:
        faults.append("nominal_atm is above rated_atm")
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


def zone_words(name, zone):
    """Why a ratio falls into its zone."""
    low, high = show(zone["accepted_low_ratio"], 2), show(zone["accepted_high_ratio"], 2)
    ceiling = show(zone["forbidden_above_ratio"], 2)
    target = show(zone["target_low_ratio"], 2) + " to " + show(zone["target_high_ratio"], 2)
    return {"target": "within the target " + target,
            "accepted": "outside the target " + target + ", within the accepted " + low + " to " + high,
            "reason": "above the accepted " + high + ": only for a reason that is written down",
            "below": "below the accepted " + low,
            "forbidden": "above the ceiling " + ceiling + ": forbidden"}[name]


def choice_of(items, annulus_mm, zone):
    """One balloon, or two side by side, held against the annulus: a record of everything a reader compares."""
    wide = max([item["diameter_mm"] for item in items])
    narrow = min([item["diameter_mm"] for item in items])
    pair = len(items) == 2
    effective = effective_mm(items)
    name = zone_of(effective / annulus_mm, zone)
    nominal, rated = pressures(items)
    return {"method": "belt" if pair else "single", "balloons": balloons_words(items),
            "diameters_mm": [wide, narrow] if pair else [wide], "length_mm": items[0]["length_mm"],
            "effective_mm": effective, "ratio": effective / annulus_mm, "zone": name, "why": zone_words(name, zone),
            "major_width_mm": wide + narrow if pair else wide, "sheath_french": greatest(items, "sheath_french"),
            "wire_inch": greatest(items, "wire_inch"), "nominal_atm": nominal, "rated_atm": rated,
            "pressure": pressure_words(nominal, rated),
            "family": " and ".join(sorted(set([item.get("family") or "" for item in items])))}


def effective_mm(items):
    """Diameter of one balloon, or the belt diameter of two."""
    if len(items) == 1:
        return items[0]["diameter_mm"] + 0.0
    return touching_belt_mm(items[0]["diameter_mm"], items[1]["diameter_mm"]) / math.pi


def balloons_words(items):
    """`20 × 40 mm`, or `22 + 20 × 40 mm` with the larger first."""
    sizes = sorted([item["diameter_mm"] for item in items], reverse=True)
    return " + ".join([show_input(size) for size in sizes]) + " × " + show_input(items[0]["length_mm"]) + " mm"


def greatest(items, field):
    """The largest value of a field, or None when any label leaves it out."""
    values = [item.get(field) for item in items]
    return None if None in values else max(values)


def pressures(items):
    """Nominal and rated pressure that suit every balloon of the choice, or two None when any label lacks one."""
    nominal = greatest(items, "nominal_atm")
    rated = [item.get("rated_atm") for item in items]
    if nominal is None or None in rated or nominal > min(rated):
        return None, None
    return nominal, min(rated)


def pressure_words(nominal, rated):
    """What may be said about inflation."""
    if nominal is None:
        return "not shown: no nominal and rated pressure from the label that holds for every balloon here"
    return (show_input(nominal) + " to " + show_input(rated)
            + " atm, nominal to rated burst on the label; never above rated burst")


def distinct(shelf):
    """Shelf items that are in stock, each once, in an order that does not depend on how they were listed."""
    kept = []
    for item in sorted(shelf, key=item_key):
        if item.get("count") != 0 and (not kept or item_key(item) != item_key(kept[-1])):
            kept.append(item)
    return kept


def item_key(item):
    """Every field that tells two shelf items apart, as something that sorts."""
    numbers = [-1 if item.get(field) is None else item[field] for field, _, _, _ in ITEM_FIELDS[:6]]
    return tuple(numbers) + (item.get("family") or "",)


def rank_key(choice, zone):
    """Order of choices: zone, single before pair, nearness to the target, smaller ratio, thinner sheath."""
    ratio = choice["ratio"]
    outside = max(zone["target_low_ratio"] - ratio, ratio - zone["target_high_ratio"], 0)
    return (ZONE_RANK[choice["zone"]], METHOD_RANK[choice["method"]], snapped(outside), snapped(ratio),
            100 if choice["sheath_french"] is None else choice["sheath_french"],
            -(choice["rated_atm"] or 0), choice["length_mm"], choice["balloons"], choice["family"])


def snapped(value):
    """A whole number that both interpreters agree on."""
    return int(value * 1000000000 + 0.5)


def pairs_of(items):
    """Every two balloons of one length that may lie side by side, and how many were left out by kind."""
    kept, unequal_length, unequal_size = [], 0, 0
    for place, one in enumerate(items):
        for other in items[place:]:
            if one is other and one.get("count") == 1:
                continue
            if one["length_mm"] != other["length_mm"]:
                unequal_length += 1
            elif min(one["diameter_mm"], other["diameter_mm"]) < SMALLER_SHARE * max(one["diameter_mm"],
                                                                                     other["diameter_mm"]):
                unequal_size += 1
            else:
                kept.append([one, other])
    return kept, unequal_length, unequal_size


def pairs_wanted(annulus_mm, singles):
    """"" when pairs are to be looked at, else the reason why not."""
    if annulus_mm >= PAIR_FROM_MM - EDGE:
        return ""
    if annulus_mm < PAIR_NEVER_BELOW_MM - EDGE:
        return "two balloons are not looked at below " + show(PAIR_NEVER_BELOW_MM, 0) + " mm"
    if [choice for choice in singles if choice["zone"] in ("target", "accepted")]:
        return ("a single balloon reaches the accepted ratio; two are looked at from " + show(PAIR_FROM_MM, 0)
                + " mm, or when none does")
    return ""

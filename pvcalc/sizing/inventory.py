"""Which balloons on a shelf suit an annulus, single and in pairs, ranked.

Zones and shelf come in as records, so that the department's settings rule and nothing is hidden here.
"""

import math

from pvcalc.core.errors import NotUnderstood
from pvcalc.core.formula import choices, formula, printed, records
from pvcalc.core.units import show, show_input, total
from pvcalc.sizing.two_balloons import touching_belt_mm
from pvcalc.sizing.zones import ANNULUS, EDGE, FRAME_WORDS, checked_zones, number_faults, zone_for, zone_of, zone_words

# Field, least, greatest, required. House limits.
ITEM_FIELDS = [("diameter_mm", 2, 40, True), ("length_mm", 5, 100, True), ("nominal_atm", 0.5, 40, False),
               ("rated_atm", 0.5, 40, False), ("sheath_french", 1, 30, False), ("wire_inch", 0.008, 0.06, False),
               ("count", 0, 1000, False)]

# House practice: two balloons cost a second vein, so they are looked at from 25 mm, where one balloon of
# about 30 mm would be needed, and below that only when no single one reaches the target, never under 18 mm.
PAIR_FROM_MM = 25
PAIR_NEVER_BELOW_MM = 18
SMALLER_SHARE = 0.5  # house practice: the smaller of a pair is at least half the larger

ZONES_IN_ORDER = ["target", "accepted", "reason", "below", "forbidden"]
METHODS_IN_ORDER = ["single", "belt"]


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


def choice_of(items, annulus_mm, zone):
    """One balloon, or two side by side, held against the annulus: a record of everything a reader compares."""
    wide = max([item["diameter_mm"] for item in items])
    narrow = min([item["diameter_mm"] for item in items])
    pair = len(items) == 2
    effective = effective_mm(items)
    ratio = effective / annulus_mm
    nominal, rated = pressures(items)
    return {"method": "belt" if pair else "single", "balloons": balloons_words(items),
            "diameters_mm": [wide, narrow] if pair else [wide], "length_mm": items[0]["length_mm"],
            "effective_mm": effective, "ratio": ratio, "zone": zone_of(ratio, zone), "why": zone_words(ratio, zone),
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
    """Shelf items that are in stock, each once, in an order that does not depend on how they were listed.

    A balloon that is listed twice is there as often as both lines say.
    """
    kept = []
    for item in sorted(shelf, key=item_key):
        if item.get("count") == 0:
            continue
        if kept and item_key(item) == item_key(kept[-1]):
            counts = [item.get("count"), kept[-1].get("count")]
            kept[-1] = dict(item, count=None if None in counts else total(counts))
        else:
            kept.append(item)
    return kept


def out_of_stock(shelf):
    """Balloons that no line of the shelf has any of, each once."""
    there, gone = [item_key(item) for item in shelf if item.get("count") != 0], []
    for item in sorted(shelf, key=item_key):
        if item_key(item) not in there:
            there.append(item_key(item))
            gone.append(item)
    return gone


def item_key(item):
    """Every field that tells two shelf items apart, as something that sorts."""
    numbers = [-1 if item.get(field) is None else item[field] for field, _, _, _ in ITEM_FIELDS[:6]]
    return tuple(numbers) + (item.get("family") or "",)


def rank_key(choice, zone, annulus_mm):
    """Order of choices: zone, single before pair, nearness to the target, smaller ratio, thinner sheath.

    Where two balloons are only listed, an accepted single one comes before them: listing is not proposing.
    """
    ratio = choice["ratio"]
    outside = max(zone["target_low_ratio"] - ratio, ratio - zone["target_high_ratio"], 0)
    place = ZONES_IN_ORDER.index(choice["zone"])
    if choice["method"] == "belt" and annulus_mm < PAIR_FROM_MM - EDGE:
        place = ZONES_IN_ORDER.index("accepted") + (0.5 if choice["zone"] == "target" else 0.6)
    return (place, METHODS_IN_ORDER.index(choice["method"]), snapped(outside), snapped(ratio),
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
    if [choice for choice in singles if choice["zone"] == "target"]:
        return ("a single balloon reaches the target; two are looked at from " + show(PAIR_FROM_MM, 0)
                + " mm, or when none does")
    return ""


SHELF_COLUMNS = ["balloons", "method", "ratio", "zone", "effective_mm", "major_width_mm", "sheath_french", "wire_inch", "pressure",
                 "family", "why"]


@formula("", seen="practice", gives=("proposal", "ratio", "why", "choices", "passed_over"),
         columns={"choices": SHELF_COLUMNS, "passed_over": ["balloons", "ratio", "zone", "why"]}, annulus_mm=ANNULUS,
         frame=choices("open_valve_systole", "end_systole", "end_diastole", "not_stated"), zones=records(1, 10),
         shelf=records(1, 200))
def shelf_choices(*, annulus_mm, frame, zones, shelf):
    r"""Balloons on the shelf that suit an annulus, ranked, single and in pairs, and why the others do not.

    $q = \frac{D}{A}$

    In words: each balloon's diameter, or the belt diameter of two, divided by the annulus and held against the zones.

    A planning aid: the label of the balloon in the hand decides on sheath, wire and pressure. The length is
    yours to choose; a longer balloon hurts the outflow more, a short one slips. A pair is as wide as the sum of
    both before the annulus bends: look at that width too. Two balloons are looked at from 25 mm, or from 18 mm
    when no single one reaches the target; there an accepted single one still comes first (house practice).

    Args:
        annulus_mm: pulmonary annulus, hinge point to hinge point.
        frame: the frame in which it was measured; there is no proposal while it is not stated.
        zones: one record, or one for each frame (`frame`), with `accepted_low_ratio`, `target_low_ratio`,
            `target_high_ratio`, `accepted_high_ratio` and `forbidden_above_ratio`.
        shelf: records with `diameter_mm`, `length_mm`, and from the label `nominal_atm`, `rated_atm`,
            `sheath_french`, `wire_inch`, `family`, `count`.
    Returns: proposal in words or nothing; its ratio; why; the choices in order; those passed over, with reasons.
    Valid: 3 to 45 mm, house limits.
    Raises: OutOfRange outside that range; NotUnderstood when a zone or shelf record is faulty.
    Not for: a dysplastic valve or an operated outflow without a senior decision; the ratio does not rescue those.
    Source: common practice; the zones are the department's.
    """
    checked_zones(zones)
    checked_shelf(shelf)
    if frame == "not_stated":
        return without_proposal("No proposal: the frame of the measurement is not stated, and a ratio without its "
                                "frame cannot be judged. State early to mid systole with the valve open, "
                                "end-systole or end-diastole.", shelf)
    zone = zone_for(zones, frame)
    if zone is None:
        return without_proposal("No proposal: no zones are set for an annulus measured in " + FRAME_WORDS[frame] + ".",
                                shelf)
    items = distinct(shelf)
    singles = [choice_of([item], annulus_mm, zone) for item in items]
    pairs, notes = chosen_pairs(items, annulus_mm, zone, singles)
    ranked = sorted(singles + pairs, key=lambda choice: rank_key(choice, zone, annulus_mm))
    taken = [choice for choice in ranked if choice["zone"] in ("target", "accepted", "reason")]
    passed = [choice for choice in ranked if choice["zone"] in ("below", "forbidden")]
    passed += [note(balloons_words([item]), "none in stock") for item in out_of_stock(shelf)]
    proposal, why = proposed(taken, annulus_mm, frame, zone)
    ratio = taken[0]["ratio"] if proposal else None
    return [("proposal", proposal), ("ratio", ratio), ("why", why), ("choices", taken), ("passed_over", passed + notes)]


def without_proposal(why, shelf):
    """The answer when no ratio may be judged."""
    passed = [note(balloons_words([item]), "not judged") for item in distinct(shelf)]
    return [("proposal", None), ("ratio", None), ("why", why), ("choices", []), ("passed_over", passed)]


def chosen_pairs(items, annulus_mm, zone, singles):
    """Pairs in the target or accepted zone, and one line for each group that was left out."""
    reason = pairs_wanted(annulus_mm, singles)
    if reason:
        return [], [note("pairs", reason)]
    groups, unequal_length, unequal_size = pairs_of(items)
    kept, below, above = [], 0, 0
    for group in groups:
        name = zone_of(effective_mm(group) / annulus_mm, zone)
        if name == "below":
            below += 1
        elif name in ("reason", "forbidden"):
            above += 1
        else:
            kept.append(choice_of(group, annulus_mm, zone))
    counted = [(unequal_length, "the two differ in length"), (unequal_size, "the smaller is less than half the larger"),
               (below, "below the accepted ratio"), (above, "above the accepted ratio")]
    return kept, [note(show(count, 0) + (" pair" if count == 1 else " pairs"), why) for count, why in counted if count]


def note(balloons, why):
    """A line about balloons that were passed over without a ratio of their own."""
    return {"balloons": balloons, "zone": "", "why": why}


def proposed(taken, annulus_mm, frame, zone):
    """The first choice in words and the sentence that goes with it; None when nothing may be proposed."""
    measured = "annulus " + show(annulus_mm, 1) + " mm, " + FRAME_WORDS[frame]
    caution = ""
    if frame == "end_diastole" and zone.get("frame") != frame:
        caution = (" The zones name no frame, and an end-diastolic annulus was 6 to 53 per cent greater than the "
                   "end-systolic one: measure in open-valve systole before a balloon is opened.")
    if not taken or taken[0]["zone"] == "reason":
        extra = " A larger one needs a reason that is written down." if taken else ""
        return None, "No proposal: no balloon or pair here is accepted for this " + measured + "." + extra + caution
    first = taken[0]
    words = (first["balloons"] + ", " + first["method"] + ", " + show(first["ratio"], 3) + " times the " + measured)
    return words, first["zone"] + ": " + first["why"] + "." + caution


# Ratios for the examples, not a setting: the site hands in the department's own.
EXAMPLE_ZONES = [{"accepted_low_ratio": 1.15, "target_low_ratio": 1.20, "target_high_ratio": 1.25,
                  "accepted_high_ratio": 1.30, "forbidden_above_ratio": 1.50}]
for row, annulus, widths, answer in [
        ("B-D22", 28, [23, 18], "1.202"), ("B-D22", 28, [25, 16], "1.210"), ("B-D22", 28, [22, 20], "1.228"),
        ("B-D22", 28, [23, 20], "1.258"), ("B-A15", 25, [20, 18], "1.245"), ("B-A15", 25, [30], "1.20"),
        ("B-A15", 24, [30], "1.25"), ("B-A4", 6, [7, 8], "1.17")]:
    printed(shelf_choices, "", "shelf of the named balloons", answer=answer, seen="derived", kind="derived", fact=row, result="ratio",
            annulus_mm=annulus, frame="open_valve_systole", zones=EXAMPLE_ZONES,
            shelf=[{"diameter_mm": width, "length_mm": 30} for width in widths])

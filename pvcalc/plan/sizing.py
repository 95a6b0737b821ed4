"""Which annulus counts, its z, the target, and what the shelf offers. A frame is never converted into another."""

from pvcalc.core.units import show, show_input
from pvcalc.decision import evaluate
from pvcalc.decision.vocabulary import name_words
from pvcalc.formulas.body_size import annulus_z, body_surface_m2
from pvcalc.plan.settings import computed, named, setting
from pvcalc.sizing.inventory import shelf_choices
from pvcalc.sizing.ratio import balloon_range_mm, combined_error_percent, true_ratio
from pvcalc.sizing.zones import FRAME_WORDS, zone_of

Z_SENTENCE = ("The coefficients were read; that the model's body surface is Haycock's is recalled. Another model may differ "
              "by a whole deviation in a newborn: never compare the z of two models.")
VIEW_OF = {"echo": "echo", "ct": "ct_or_mr", "mr": "ct_or_mr"}
# How far a measurement may size a balloon, best first; the words are the answers of the measurement table.
USE = ["size_on_this", "cannot_evaluate", "label_and_measure_again", "calibrate_again", "do_not_size_on_this_alone", "do_not_size"]
FRAME_ORDER = ["open_valve_systole", "end_systole", "end_diastole", "not_stated"]


def measured_words(entry):
    """`18.4 mm, echo, short axis, early to mid systole, valve open`."""
    view = entry["view"].replace("_", " ") if entry["view"] else "view not stated"
    return (show_input(entry["mm"]) + " mm, " + {"ct": "CT", "mr": "MR"}.get(entry["modality"], entry["modality"]) + ", "
            + view + ", " + FRAME_WORDS[entry["frame"]])


def table_view(entry):
    """The view as the measurement table asks for it, or None when it is not stated."""
    if entry["modality"] == "angiogram":
        return {"lateral": "lateral_angiogram", "other": "other_angiogram"}.get(entry["view"])
    return VIEW_OF[entry["modality"]]


def judged(data, entry, difference=None):
    """What the measurement table says of one measurement."""
    table = data["tables"]["annulus_measurement"]
    given = {"annulus_frame": entry["frame"], "annulus_view": table_view(entry),
             "calibration": entry["calibration"] or None, "modality_difference_percent": difference}
    return evaluate.decide(table, evaluate.inputs_for(table, given))


def counting(data, entries):
    """The measurement that counts: open-valve frame first, then by the measurement table, then the smaller one."""
    keyed = []
    for place, entry in enumerate(entries):
        answer = judged(data, entry)["answer"]
        rank = USE.index(answer) if answer in USE else len(USE)
        keyed.append((FRAME_ORDER.index(entry["frame"]), rank, entry["mm"], place))
    return entries[sorted(keyed)[0][3]] if keyed else None


def difference_percent(entries, chosen):
    """Largest difference to another modality in the same frame, or None when there is none to compare."""
    found = [abs(other["mm"] - chosen["mm"]) / min(other["mm"], chosen["mm"]) * 100 for other in entries
             if other["modality"] != chosen["modality"] and other["frame"] == chosen["frame"]
             and chosen["frame"] != "not_stated"]
    return max(found) if found else None


def z_scores(patient):
    """z of every echo annulus with its view: (list, what is missing)."""
    echo = [entry for entry in patient.get("annulus") or [] if entry["modality"] == "echo"]
    if not echo:
        return [], ["an echo annulus with its view, for its z"] if patient["age_years"] <= 18 else []
    if patient["age_years"] > 18:
        return [], ["a norm for adults: none is carried here, so there is no z"]
    missing = [name for name in ("height_cm", "weight_kg") if name not in patient]
    if missing:
        return [], [" and ".join([name.partition("_")[0] for name in missing]) + ", for the z of the annulus"]
    if patient["questions"]:
        return [], ["an answer to the question about age, height and weight, for the z of the annulus"]
    rows, wanted = [], []
    for entry in echo:
        if entry["view"] not in ("short_axis", "long_axis"):
            wanted.append("the echo view (short axis or long axis) of " + show_input(entry["mm"]) + " mm, for its z")
            continue
        z, fault = computed(annulus_z, annulus_mm=entry["mm"], age_years=patient["age_years"],
                            height_cm=patient["height_cm"], weight_kg=patient["weight_kg"], view=entry["view"])
        if z is None:
            wanted.append("a z that can be computed: " + fault)
            continue
        side = " below the mean" if z < 0 else " above the mean" if z > 0 else ", the mean"
        rows.append({"annulus_mm": entry["mm"], "view": entry["view"], "z": z, "formula": "annulus_z",
                     "text": show(z, 2) + " (" + show(abs(z), 2) + side + "), " + measured_words(entry), "note": Z_SENTENCE,
                     "provenance": "memory"})
    return rows, wanted


def surface(patient):
    """Body surface in square metres by Haycock's formula, or None."""
    if "height_cm" not in patient or "weight_kg" not in patient or patient["questions"]:
        return None
    return computed(body_surface_m2, height_cm=patient["height_cm"], weight_kg=patient["weight_kg"], by="haycock")[0]


def empty(why, entries, chosen=None, stops=()):
    """Sizing without a number: the reason stands in its place."""
    return {"target_mm": None, "accepted_mm": None, "choices": [], "passed_over": [], "proposal": None, "proposed": None, "why": why,
            "annulus": chosen, "annulus_words": measured_words(chosen) if chosen else "",
            "measurements": [measured_words(entry) for entry in entries], "advice": "", "error_percent": None,
            "smaller_mm": min([entry["mm"] for entry in entries]) if entries else None, "never_above_mm": None, "next_up": None,
            "high_pressure": None, "stops": list(stops)}


def sizing(data, patient, held=()):
    """The part of the plan on the balloon.

    Args:
        data: the handbook's data; patient: the inputs; held: (code, sentence) of what stops a proposal before any size.
    Returns (dict, what is missing, warnings).
    """
    entries = patient.get("annulus") or []
    if held:
        made = empty("No balloon is proposed: " + held[0][1], entries, counting(data, entries), held)
        return made, [], []
    if not entries:
        return empty("No size: no annulus was given.", entries), ["the annulus with modality, view and frame, for a balloon"], []
    chosen = counting(data, entries)
    if chosen["frame"] == "not_stated":
        why = "No size: the frame of the measurement is not stated, and a ratio without its frame cannot be judged."
        return (empty(why, entries, chosen, [("no_frame", why)]),
                ["the frame of the annulus: valve open in early to mid systole, end-systole or end-diastole"], [])
    if chosen["frame"] == "end_diastole":
        why = ("No size: an end-diastolic annulus is the largest reading, on average a quarter above end-systole and in single "
               "patients half; it is never converted. Measure the open valve in early to mid systole.")
        return empty(why, entries, chosen, [("no_frame", why)]), ["an annulus measured with the valve open in early to mid systole"], [
            "An end-diastolic annulus used as systolic makes the balloon far too large: no balloon is computed from it."]
    return sized(data, patient, entries, chosen)


def zones_of(data, patient):
    """The zone record for this age."""
    return setting(data, "sizing_zones_newborn" if patient["newborn"] == "yes" else "sizing_zones")


def shelf_of(data, patient):
    """The shelf to choose from: (records, true when diameters alone were given, without labels); each one typed is there once."""
    if patient.get("shelf_mm"):
        return [{"diameter_mm": width, "length_mm": 30, "count": 1} for width in patient["shelf_mm"]], True
    return setting(data, "balloon_shelf"), False


def sized(data, patient, entries, chosen):
    """Target, choices and proposal on the annulus that counts, each choice held against every measurement."""
    zones = zones_of(data, patient)
    shelf, bare = shelf_of(data, patient)
    answer, fault = computed(shelf_choices, annulus_mm=chosen["mm"], frame=chosen["frame"], zones=zones, shelf=shelf)
    if answer is None:
        return empty("No size: " + fault, entries, chosen), [], []
    error = error_percent(data)
    report = judged(data, chosen, difference_percent(entries, chosen))
    made = empty("", entries, chosen)
    made["target_mm"] = interval(chosen["mm"], zones[0], "target_low_ratio", "target_high_ratio")
    made["accepted_mm"] = interval(chosen["mm"], zones[0], "accepted_low_ratio", "accepted_high_ratio")
    made["choices"] = [choice_row(data, one, bare, error, [chosen] + [entry for entry in entries if entry is not chosen], zones[0]) for one in named(answer, "choices")]
    made["passed_over"] = [passed_row(one, bare) for one in named(answer, "passed_over")]
    made["error_percent"], made["never_above_mm"] = error, zones[0]["forbidden_above_ratio"] * made["smaller_mm"]
    made["advice"] = report["then"].get("advice") or ""
    warnings = frame_warnings(data, chosen, report, entries)
    propose(made, report)
    if made["stops"]:
        warnings.insert(0, made["stops"][0][1])
        made = stopped(made)
    elif made["proposed"]:
        beside(made, shelf)
    return made, missing_of(report, chosen), warnings


def stopped(made):
    """After a stop no row calls a balloon a target: what was looked at is listed as passed over, without its zone."""
    held = [{"balloons_mm": one["balloons_mm"], "words": one["words"], "ratio": one["ratio"], "effective_mm": one["effective_mm"], "zone": "",
             "why": "stopped: " + one["ratio_words"]} for one in made["choices"]]
    after = dict(made)
    after["choices"], after["passed_over"] = [], held + [dict(one, zone="", why=one["why"].replace("target", "aimed-at ratio")) for one in made["passed_over"]]
    after["target_mm"] = after["accepted_mm"] = None
    return after


def interval(annulus_mm, zone, low, high):
    """[low, high] in mm between two ratios."""
    pairs, _ = computed(balloon_range_mm, annulus_mm=annulus_mm, low_ratio=zone[low], high_ratio=zone[high])
    return [named(pairs, "low_mm"), named(pairs, "high_mm")] if pairs else None


def error_percent(data):
    """Combined error of a ratio from the department's three errors."""
    return computed(combined_error_percent, calibration_percent=setting(data, "calibration_error_percent"),
                    caliper_percent=setting(data, "caliper_error_percent"),
                    balloon_percent=setting(data, "balloon_error_percent"))[0]


def choice_row(data, choice, bare, error, entries, zone):
    """One choice as the plan shows it: what it is, what it may really be, its ratio to every measurement, and what its label says."""
    ends = [computed(true_ratio, intended_ratio=choice["ratio"], measurement_error_percent=sign * error)[0] for sign in (-1, 1)]
    words = balloon_words(choice["diameters_mm"], None if bare else choice["length_mm"])
    smaller = min([entry["mm"] for entry in entries])
    over = evaluate.decide(data["tables"]["balloon_over_smaller"], {"balloon_smaller_annulus_ratio": choice["effective_mm"] / smaller})["answer"]
    return {"balloons_mm": choice["diameters_mm"], "effective_mm": choice["effective_mm"], "ratio": choice["ratio"],
            "zone": choice["zone"], "why": choice["why"], "words": words, "method": choice["method"],
            "major_width_mm": choice["major_width_mm"], "true_ratio": ends,
            "true_zones": [zone_of(end, zone) if end is not None else "" for end in ends],
            "ratio_to_smaller": choice["effective_mm"] / smaller, "ratio_words": ratio_words(choice["effective_mm"], entries),
            "fits": len(entries) == 1 or over != "stop_and_measure_again", "family": choice["family"],
            "length_mm": None if bare else choice["length_mm"], "sheath_french": None if bare else choice["sheath_french"],
            "wire_inch": None if bare else choice["wire_inch"],
            "pressure_atm": None if bare or choice["nominal_atm"] is None else [choice["nominal_atm"], choice["rated_atm"]],
            "label": "no label given: no pressure, sheath or wire is shown" if bare else label_words(choice)}


def ratio_words(effective, entries):
    """`1.23 × 16.3 (angiogram, lateral), 1.27 × 15.8 (echo, long axis)`: one ratio to every measured annulus."""
    return ", ".join([show(effective / entry["mm"], 2) + " × " + show_input(entry["mm"]) + " (" + place_words(entry) + ")" for entry in entries])


def place_words(entry):
    """`angiogram, lateral, valve open`: where and when a measurement was taken, shortly."""
    frames = {"open_valve_systole": "valve open", "end_systole": "end-systole", "end_diastole": "end-diastole", "not_stated": "frame not stated"}
    name = {"ct": "CT", "mr": "MR"}.get(entry["modality"], entry["modality"])
    return ", ".join([text for text in (name, entry["view"].replace("_", " "), frames[entry["frame"]]) if text])


def balloon_words(diameters, length):
    """`22 + 20 mm` or `18 × 40 mm`."""
    return " + ".join([show_input(width) for width in diameters]) + ("" if length is None else " × " + show_input(length)) + " mm"


def label_words(choice):
    """What the shelf's own labels say."""
    parts = []
    if choice["sheath_french"] is not None:
        parts.append("sheath " + show_input(choice["sheath_french"]) + " F going in")
    if choice["wire_inch"] is not None:
        parts.append("wire " + show_input(choice["wire_inch"]) + " in")
    return "; ".join(parts + ["pressure " + choice["pressure"]])


def passed_row(passed, bare):
    """A balloon or a group that was passed over, with the reason."""
    words = passed["balloons"] + (", " + passed["family"] if passed.get("family") else "")
    if bare and passed.get("diameters_mm"):
        words = balloon_words(passed["diameters_mm"], None)
    return {"balloons_mm": passed.get("diameters_mm") or [], "words": words, "ratio": passed.get("ratio"),
            "effective_mm": passed.get("effective_mm"), "zone": passed.get("zone") or "", "why": passed["why"]}


def propose(made, report):
    """Sets proposal, why and stops: the first accepted choice that fits every measurement, and a stop when none does."""
    accepted = [one for one in made["choices"] if one["zone"] in ("target", "accepted")]
    if not accepted:
        made["why"] = "No proposal: no balloon or pair on the shelf is accepted for " + made["annulus_words"] + "."
        wanted = " Wanted: " + ends_words(made["target_mm"]) + ", or from " + ends_words(made["accepted_mm"]) + "." if made["target_mm"] else ""
        made["stops"] = [("no_balloon_on_shelf", made["why"] + wanted)]
        return
    fitting = [one for one in accepted if one["fits"]]
    if not fitting:
        first = accepted[0]
        made["why"] = "No proposal: measure again first."
        made["stops"] = [("annuli_differ", "No accepted balloon fits every measurement: " + first["words"] + " would be " + show(first["ratio_to_smaller"], 2)
                          + " times the smallest, " + show_input(made["smaller_mm"]) + " mm (" + first["ratio_words"] + "). Measure again before a balloon is opened.")]
        return
    if report["answer"] == "measure_again":
        made["why"] = "No proposal yet: " + made["advice"]
        made["stops"] = [("annuli_differ", "Two modalities differ too much for a size (" + "; ".join(made["measurements"]) + "): " + made["advice"])]
        return
    if report["answer"] not in ("size_on_this", "cannot_evaluate"):
        made["why"] = "No proposal yet: " + (made["advice"] or report["answer"].replace("_", " ")) + " The choices are for planning what to have ready."
        return
    first = fitting[0]
    made["proposed"] = first
    made["proposal"] = (first["words"] + (", belt method" if first["method"] == "belt" else ", single") + ", " + show(first["ratio"], 2)
                        + " times the annulus of " + made["annulus_words"])
    made["why"] = first["zone"] + ": " + first["why"] + ". A size, not an indication; the label of the balloon in your hand rules."
    if first is not accepted[0]:
        made["why"] = (accepted[0]["words"] + " would be " + show(accepted[0]["ratio_to_smaller"], 2) + " times the smallest measurement, "
                       + show_input(made["smaller_mm"]) + " mm; the next accepted one fits every measurement. " + made["why"])


def ends_words(ends):
    """`25.2 to 26.3 mm`."""
    return show(ends[0], 1) + " to " + show(ends[1], 1) + " mm"


def beside(made, shelf):
    """What else lies ready: the same size for high pressure, and the next size up that only a new measurement allows."""
    first = made["proposed"]
    sizes = sorted(set([item["diameter_mm"] for item in shelf if item.get("count") != 0]))
    larger = [size for size in sizes if size > first["effective_mm"] + 1e-9 and size <= made["never_above_mm"] + 1e-9]
    made["next_up"] = larger[0] if larger and first["method"] == "single" else None
    high = [item for item in shelf if item.get("count") != 0 and "high" in (item.get("family") or "") and item["diameter_mm"] == first["effective_mm"]]
    made["high_pressure"] = first["effective_mm"] if high and "high" not in first["family"] else None


def frame_warnings(data, chosen, report, entries):
    """What the measurement itself warns of."""
    found = []
    if report["answer"] not in ("size_on_this", "cannot_evaluate"):
        found.append("Annulus " + measured_words(chosen) + ": " + (report["then"].get("advice") or report["answer"].replace("_", " ")))
    for entry in entries:
        if entry["frame"] == "not_stated":
            found.append("Annulus " + measured_words(entry) + " is not used: its frame is not stated.")
    return found


def missing_of(report, chosen):
    """What would let this measurement size the balloon."""
    wanted = {"calibration": "the calibration of the angiogram (marker or sphere, clear catheter shaft, contrast-filled shaft, none)",
              "annulus_view": "the view of the angiogram (lateral or other)"}
    return [wanted.get(name, name_words(name)) for name in report["missing"]]

"""One patient's numbers through the whole handbook: grade, treat or not, balloon, limits, checklist, visits, family.

A planning aid: every part shows what it rests on; what is missing leaves its part blank; nothing is guessed.
"""

from pvcalc.core.errors import Refusal
from pvcalc.core.units import show, show_input, with_unit
from pvcalc.decision.binding import bound_data
from pvcalc.draw import svg
from pvcalc.plan.after import after
from pvcalc.plan.afterwards import afterwards, house_visits
from pvcalc.plan.derived import derived
from pvcalc.plan.documents import grades, known_inputs, pregnancy, treatments, visits
from pvcalc.plan.doses import head as dose_head
from pvcalc.plan.doses import rule_word, sheet
from pvcalc.plan.fit import DOPPLER_CODES, after_misfits, contrast_misfits, misfits
from pvcalc.plan.grade import headline, pressure_line
from pvcalc.plan.glance import glance
from pvcalc.plan.inputs import read_patient
from pvcalc.plan.contrast import kidney_warnings
from pvcalc.plan.limits import case_limits
from pvcalc.plan.reading import low_output_words, reading
from pvcalc.plan.settings import setting
from pvcalc.plan.sizing import sizing, z_scores, zones_of
from pvcalc.plan.stops import blocking, redirect, stops
from pvcalc.plan.tasks import bands, checklist, family, pull_back
from pvcalc.plan.verdict import verdict
from pvcalc.plan.words import sections


def plan(data, inputs):
    """The whole plan for one patient.

    Args:
        data: the handbook's data: `settings` (values by key), `notes` (seen and confirm by key), `tables`, `series`.
        inputs: field to value or typed text; `plan_inputs.FIELDS` lists them, all but the age may be left out.
    Returns a dict: `verdict` (the judgement in single words, see `plan_verdict`), `head` and `headline` (the grade over all
    documents), `pressure` (the right ventricle's own), `fit` (what contradicts what: code and text), `grade` and `treat`
    (lists of document, row, answer, class, level, why, provenance), `decision`, `conflict`, `surgery`, `sizing`, `z`,
    `limits`, `drugs`, `derived`, `derived_lines`, `checklist`, `pull_back`, `bands`, `after` and `afterwards` (None before the balloon), `visit_dates`, `follow_up` (the house first), `family`, `warnings`
    (sentences), `taken` (what was taken for granted) and `missing`.
    Raises: Refusal naming unknown fields, bad values and contradictions together, each in a sentence.
    """
    data = bound_data(data)
    patient = with_duct(data, with_newborn(data, read_patient(inputs)))
    parts = derived(data, patient)
    known, read = known_inputs(patient, parts.values), reading(data, patient, parts.values)
    fits = misfits(data, patient, parts, read)
    grade, lowered = grades(data, patient, known)
    head = headline(data, patient, grade, with_contradiction(read, fits), fits, parts.values)
    pressure, pressure_words = pressure_line(data, patient, read, parts.values)
    treat, surgery, decision, conflict = treatments(data, patient, known, lowered)
    limits, spent, limit_missing, limit_warnings = case_limits(data, patient)
    fits += contrast_misfits(spent)
    held = stops(data, patient, parts.values, spent)
    size, size_missing, size_warnings = sizing(data, patient, blocking(held))
    if conflict and size["proposal"]:
        size["proposal"] = "only if the valve team decides for a balloon: " + size["proposal"]
    z, z_missing = z_scores(patient)
    warnings = (list(patient["questions"]) + [low_output_words(data, patient)] + case_warnings(data, patient, parts, read, conflict)
                + kidney_warnings(data, patient, limits))
    made = {
        "inputs": {name: patient[name] for name in patient if name != "questions"}, "taken": taken_words(data, patient),
        "grade": grade, "head": head, "headline": head["sentence"], "pressure": pressure_words, "fit": [{"code": code, "text": text} for code, text in fits],
        "pregnancy": pregnancy(data, patient, known, head), "treat": treat, "decision": decision, "conflict": conflict, "surgery": surgery,
        "stops": held + [one for one in size["stops"] if one not in held], "redirect": redirect(patient)[0],
        "sizing": size, "z": z, "derived": parts.values, "derived_lines": parts.lines, "limits": limits, "contrast": spent,
        "drugs": sheet(data, patient), "checklist": checklist(data, patient, parts.values), "pull_back": pull_back(patient),
        "bands": bands(data, patient), "follow_up": visits(data, patient, known), "family": family(data, patient),
        "warnings": distinct(warnings + parts.warnings + size_warnings + limit_warnings),
        "missing": distinct(grade_missing(grade) + parts.missing + z_missing + size_missing + limit_missing),
    }
    made["after"] = after(data, patient, size["annulus"]["mm"] if size["annulus"] else None)
    made["afterwards"] = afterwards(data, patient, made)
    made["visit_dates"] = data["settings"]["follow_up_visits"]
    made["follow_up"] = [house_visits(data, patient, made["after"])] + made["follow_up"]
    made["fit"] += [{"code": code, "text": text} for code, text in after_misfits(data, patient)]
    if made["after"] and made["after"]["word"] == "muscle_medicine":
        made["stops"].append(("muscle_only", made["after"]["sentence"]))
    made["glance"] = glance(data, patient, made, read)
    made["verdict"] = verdict(made, pressure, dose_rule(data, patient))
    return made


def dose_rule(data, patient):
    """Whose doses count in arrest; a weight decides only where nobody said whether a big child looks adult."""
    if "weight_kg" not in patient and "looks_adult" not in patient and setting(data, "arrest_child_below_years") <= patient["age_years"] < setting(data, "dose_adult_from_years"):
        return ""
    return rule_word(data, patient)


def with_contradiction(read, fits):
    """What is known, with the word whether the pressures contradict the Doppler peak."""
    made = dict(read)
    made["doppler_contradicted"] = "yes" if [code for code, _ in fits if code in DOPPLER_CODES and code != "doppler_below_catheter"] else "no"
    return made


def with_newborn(data, patient):
    """The patient with `newborn`, "yes" below the age of the department's setting."""
    patient["newborn"] = "yes" if patient["age_days"] < setting(data, "newborn_below_days") else "no"
    return patient


def with_duct(data, patient):
    """The patient with the duct taken as closed from the age of the department's setting, when nobody said anything of it."""
    if "duct" not in patient and patient["age_years"] >= setting(data, "duct_closed_from_years"):
        patient["duct"], patient["duct_taken"] = "closed", "yes"
    return patient


def taken_words(data, patient):
    """What the plan took for granted, in words."""
    if not patient.get("duct_taken"):
        return []
    years = setting(data, "duct_closed_from_years")
    return ["duct taken as closed above " + ("one year" if years == 1 else with_unit(show_input(years), "age_years"))]


def case_warnings(data, patient, parts, read, conflict):
    """What must be said before any number."""
    found = []
    if conflict:
        found.append("Documents disagree on treatment; this plan gives no answer of its own.")
    ratio = parts.values["rv_systemic_ratio"]
    if ratio is not None and ratio >= setting(data, "suprasystemic_ratio") and read.get("systemic_pressure") != "low":
        found.append("The right ventricle is at or above systemic pressure (" + show(ratio, 2) + "): surgeon and ECMO know before the case.")
    if patient.get("valve") == "dysplastic":
        found.append("A dysplastic valve: a larger ratio does not rescue it. Surgical hand-over is part of the plan.")
    if patient.get("rv_function") in ("reduced", "falling"):
        found.append("The right ventricle is not normal: a low gradient may be low flow.")
    if read.get("measuring_state") == "anaesthesia":
        found.append("Every gradient was taken under anaesthesia: awake it is higher; look for the awake Doppler.")
    if patient.get("treated_before") == "yes":
        found.append("Treated before: zones and limits here are for a native isolated stenosis.")
    if patient.get("atrial_gap") == "right_to_left":
        found.append("Atrial flow right to left: no air, no clot; filters on every line.")
    return found


def grade_missing(grade):
    """What the house rule before all grades still needs."""
    words = {"duct": "the duct, open or closed, before any grade"}
    return [words.get(name, name) for name in grade[0]["missing"]]


def distinct(sentences):
    """Each sentence once, in order."""
    kept = []
    for sentence in sentences:
        if sentence and sentence not in kept:
            kept.append(sentence)
    return kept


def picture(data, made, place):
    """The first choice to scale on the annulus as SVG text, or "" when there is no choice."""
    size = made["sizing"]
    if not size["choices"]:
        return ""
    first, annulus = size["proposed"] or size["choices"][0], size["annulus"]
    inputs = {"annulus_mm": annulus["mm"], "frame": annulus["frame"], "zones": zones_of(data, made["inputs"])}
    name = "balloon_on_annulus"
    if len(first["balloons_mm"]) == 2:
        name = "two_balloons_belt"
        inputs["balloon_a_mm"], inputs["balloon_b_mm"] = first["balloons_mm"]
    else:
        inputs["balloon_mm"] = first["balloons_mm"][0]
    return svg.picture(name, inputs, place + "-picture")


def icon_arrays(made, place):
    """One picture of persons for each count of the family's sheet, with one denominator throughout."""
    told = made["family"]
    drawn = []
    for number, count in enumerate(told["counts"]):
        drawn.append(svg.picture("icon_array", {
            "events": count["events"], "cases": count["cases"], "out_of": told["out_of"], "confidence": count["confidence"],
            "event_words": count["words"], "population_words": count["population"] + ", " + count["era"]},
            place + "-icons-" + show(number + 1, 0)))
    return drawn


def answer(data, asked):
    """The plan as a page asks for it.

    Args:
        data: the handbook's data; asked: `given` (field to typed text or records), `place`, `pictures` (true to draw).
    Returns {"ok": true, "plan", "sections", "picture", "icons"} or {"ok": false, "faults": [(field, sentence)]}.
    """
    try:
        made = plan(data, asked.get("given") or {})
    except Refusal as refusal:
        return {"ok": False, "faults": refusal.faults}
    reply = {"ok": True, "plan": made, "sections": sections(data, made), "dose_head": dose_head(data, made["inputs"])}
    if asked.get("pictures"):
        place = asked.get("place") or "plan"
        reply["picture"] = picture(data, made, place)
        reply["icons"] = icon_arrays(made, place)
    return reply


__all__ = ["answer", "icon_arrays", "picture", "plan"]

"""The procedure report and the letter: records of what was entered, and of what was not. Nothing is filled in.

A record is {"text", "from"}: `from` names the fields it states; one that states a blank names none and says "not entered".
What the plan itself adds (what is next, visits, when to ring) stands in parts of its own whose title says so.
"""

from pvcalc.core.units import show, show_input, show_named, with_unit
from pvcalc.decision.vocabulary import name_words, value_words
from pvcalc.plan.after_words import dated_words, family_lines, interval_words
from pvcalc.plan.glance import person
from pvcalc.plan.words import annulus_words

STATED = "not entered"
# Title, what is stated one by one. A gradient names the field of its state after a stroke.
BEFORE = ["valve", "duct", "atrial_gap", "rv_function", "pulmonary_regurgitation", "tricuspid_regurgitation"]
GRADIENTS = ["doppler_peak_mmhg/doppler_state", "doppler_velocity_m_s/doppler_state", "doppler_mean_mmhg/doppler_state",
             "catheter_peak_to_peak_mmhg/catheter_state"]
PRESSURES = ["rv_systolic_mmhg", "rvot_systolic_mmhg", "pa_systolic_mmhg", "systemic_systolic_mmhg", "ra_pressure_mmhg"]
AFTER = ["after_rv_systolic_mmhg", "after_rvot_systolic_mmhg", "after_pa_systolic_mmhg", "after_systemic_systolic_mmhg", "after_ra_pressure_mmhg"]
# What says the same in another way: with these entered the gradient is no blank.
OTHERWISE = {"doppler_peak_mmhg": ["doppler_velocity_m_s"], "catheter_peak_to_peak_mmhg": ["rvot_systolic_mmhg", "pa_systolic_mmhg"]}
ONLY_IF_GIVEN = ("doppler_velocity_m_s", "doppler_mean_mmhg", "duct", "atrial_gap", "tricuspid_regurgitation")
HARM = ["after_tear", "after_effusion", "after_heart_block", "after_thrombosis", "after_died", "after_event_level"]


def report(data, made):
    """The parts of the report, each {"title", "records"}.

    Args:
        data: the handbook's data; made: a plan (`case.plan`).
    """
    patient = made["inputs"]
    parts = [("Patient", patient_records(patient)), ("Valve and ventricle before", each(patient, BEFORE)), ("Annulus", annulus_records(patient)),
             ("Gradients before", gradients(patient, GRADIENTS)), ("Pressures before", pressures(patient, PRESSURES) + steps_before(patient, made)),
             ("Balloon", balloon_records(patient, made)), ("Pressures after", after_records(patient, made)),
             ("Echo after", each(patient, ["after_pulmonary_regurgitation"]) + gradients(patient, ["after_doppler_peak_mmhg/after_doppler_state"])
              + each(patient, ["after_saturation_percent"])),
             ("Drugs and contrast given", given_records(patient)), ("Radiation", radiation_records(patient)), ("Complications", each(patient, HARM)),
             ("What is next, by the handbook's plan", [plain(made["after"]["sentence"])] if made["after"] else [plain("Nothing after the balloon was entered: this is not yet the report of a procedure.")]),
             ("Follow-up, by the department", [plain(dated_words(made["visit_dates"])), plain(interval_words(made["follow_up"][0]))]),
             ("The family rings", [plain(family_lines(data, patient, made["after"])[1]["text"])] if made["after"] else [])]
    return [{"title": title, "records": records} for title, records in parts if records]


def stated(text, fields):
    """A record of what was entered."""
    return {"text": text[0].upper() + text[1:] + ".", "from": fields}


def blank(words):
    """A record of what was not."""
    return {"text": words[0].upper() + words[1:] + ": " + STATED + ".", "from": []}


def plain(text):
    """A sentence of the plan's own, no entry."""
    return {"text": text, "from": []}


def entered(patient, name):
    """Whether somebody entered the field; a duct that was taken as closed was not."""
    return name in patient and not (name == "duct" and patient.get("duct_taken"))


def each(patient, names):
    """One record a field."""
    return [stated(value_words(name, patient[name]), [name]) if entered(patient, name) else blank(name_words(name))
            for name in names if entered(patient, name) or name not in ONLY_IF_GIVEN]


def patient_records(patient):
    """Who, as heavy and as tall as was entered."""
    made = [stated(person(patient), ["age_years"])]
    if "weight_kg" in patient:
        made.append(stated("weight " + show_input(patient["weight_kg"]) + " kg"
                           + (", measured on the day" if patient.get("weight_measured") == "yes" else ", typed"), ["weight_kg"]))
    else:
        made.append(blank("weight"))
    return made + each(patient, ["height_cm", "symptoms", "treated_before"])


def annulus_records(patient):
    """Every measurement with modality, view, frame and calibration."""
    return [stated("annulus " + annulus_words(one), ["annulus"]) for one in patient.get("annulus") or []] or [blank("annulus with its frame")]


def gradients(patient, names):
    """Gradients with their kind and the state they were taken in."""
    made = []
    for both in names:
        name, _, state = both.partition("/")
        if name in patient:
            told = patient.get(state)
            made.append(stated(value_words(name, patient[name]) + ", " + (told.replace("_", " ") if told else "sedation " + STATED),
                               [name] + ([state] if told else [])))
        elif name not in ONLY_IF_GIVEN and [one for one in OTHERWISE.get(name) or [name] if one not in patient]:
            made.append(blank(name_words(name)))
    return made


def pressures(patient, names):
    """Pressures one by one."""
    return each(patient, names)


def steps_before(patient, made):
    """The two steps and the ratio before, where their pressures were entered."""
    values, found = made["derived"], []
    if "rvot_systolic_mmhg" in patient and "pa_systolic_mmhg" in patient and values["valve_gradient_mmhg"] is not None:
        found.append(stated("step at the valve " + show(values["valve_gradient_mmhg"], 0) + " mmHg", ["rvot_systolic_mmhg", "pa_systolic_mmhg"]))
    if "rv_systolic_mmhg" in patient and "rvot_systolic_mmhg" in patient and values["subvalve_gradient_mmhg"] is not None:
        found.append(stated("step below the valve " + show(values["subvalve_gradient_mmhg"], 0) + " mmHg", ["rv_systolic_mmhg", "rvot_systolic_mmhg"]))
    return found or [blank("two-level pull-back before")]


def balloon_records(patient, made):
    """Performed or not, balloon with its ratio, waist, inflations, sheath."""
    found = each(patient, ["after_performed"])
    if patient.get("after_performed") == "no":
        return found + each(patient, ["after_abandoned_because"])
    if "after_balloon_mm" in patient:
        record = made["afterwards"]
        words, fields = "balloon " + show_input(patient["after_balloon_mm"]) + " mm", ["after_balloon_mm"]
        if record["ratio"] is not None:
            words += ", " + show(record["ratio"], 2) + " times the annulus of " + show_input(record["annulus_mm"]) + " mm"
            fields = fields + ["annulus"]
        found.append(stated(words, fields))
    else:
        found.append(blank("balloon"))
    return found + each(patient, ["after_waist", "after_inflations_count", "after_sheath_french"])


def after_records(patient, made):
    """Pressures after, the two steps, the ratio to systemic and the state."""
    after, found = made["after"], pressures(patient, AFTER)
    if not after:
        return found
    for key, words, fields in (("valve_mmhg", "step at the valve", ["after_rvot_systolic_mmhg", "after_pa_systolic_mmhg"]),
                               ("below_mmhg", "step below the valve", ["after_rv_systolic_mmhg", "after_rvot_systolic_mmhg"])):
        found.append(stated(words + " " + show(after[key], 0) + " mmHg", fields) if after[key] is not None else blank(words + " after"))
    if after["ratio"] is not None:
        found.append(stated("right ventricle over systemic " + show(after["ratio"], 2), ["after_rv_systolic_mmhg", "after_systemic_systolic_mmhg"]))
    return found + each(patient, ["after_catheter_state"])


def given_records(patient):
    """Heparin, beta-blocker and contrast that were given."""
    found = [stated("heparin " + show_input(one["units"]) + " units, " + show_input(one["minutes_ago"]) + " min before this was written", ["heparin"])
             for one in patient.get("heparin") or []] or [blank("heparin")]
    found += each(patient, ["after_beta_blocker"])
    if "contrast_used_ml" not in patient:
        return found + [blank("contrast")]
    words, fields = "contrast " + show_input(patient["contrast_used_ml"]) + " mL", ["contrast_used_ml"]
    if "weight_kg" in patient:
        words += " (" + show_named(patient["contrast_used_ml"] / patient["weight_kg"], "contrast_ml_per_kg") + ")"
        fields = fields + ["weight_kg"]
    return found + [stated(words, fields)]


def radiation_records(patient):
    """Area product, by weight too, and fluoroscopy."""
    found = each(patient, ["after_kap_ugy_m2"])
    if "after_kap_ugy_m2" in patient and "weight_kg" in patient:
        per_kg = patient["after_kap_ugy_m2"] / patient["weight_kg"]
        found.append(stated("area product by weight " + with_unit(show(per_kg, 1), "kap_per_kg_ugy_m2"), ["after_kap_ugy_m2", "weight_kg"]))
    return found + each(patient, ["after_fluoroscopy_minutes"])


FOOT = "Written from what was entered, and from nothing else. No name, no number: they are added by hand. Signed: ____________________"


def report_text(parts):
    """The report as text: a heading and its sentences a part."""
    return "\n\n".join(["PROCEDURE REPORT"] + [part["title"].upper() + "\n" + "\n".join([one["text"] for one in part["records"]]) for part in parts] + [FOOT]) + "\n"


def letter_text(parts):
    """The letter: the same sentences, a paragraph a part, blanks gathered in one sentence at the end."""
    paragraphs, open_ones = ["Dear colleague,"], []
    for part in parts:
        told = [one["text"] for one in part["records"] if not is_blank(one)]
        open_ones += [one["text"].partition(":")[0] for one in part["records"] if is_blank(one)]
        if told:
            paragraphs.append(part["title"] + ". " + " ".join(told))
    if open_ones:
        paragraphs.append("Not entered: " + ", ".join([words[0].lower() + words[1:] if words[1:2].islower() else words for words in open_ones]) + ".")
    return "\n\n".join(paragraphs + [FOOT]) + "\n"


def is_blank(record):
    """True for a record that says that nothing was entered."""
    return record["text"].endswith(": " + STATED + ".") and not record["from"]

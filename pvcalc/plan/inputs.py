"""What is known about one patient: read, held against its limits and against itself, never filled in.

Every fault is named at once. A blank stays blank; nothing here has a default.
"""

from pvcalc.core.errors import Refusal
from pvcalc.core.formula import Limit, checked_value, choices, from_text, listed, nearest_words, range_words, shortened
from pvcalc.core.units import DAYS_A_YEAR, is_number, show, show_input, trimmed
from pvcalc.decision.vocabulary import name_words
from pvcalc.formulas.body_size import POUND_KG, annulus_z, weight_fits_height, weight_range
from pvcalc.formulas.kidney import UMOL_L_PER_MG_DL
from pvcalc.plan.typed_units import without_unit

YES_NO = choices("yes", "no")
GRADES = choices("none", "mild", "moderate", "severe")
STATES = choices("awake", "sedated", "anaesthesia")

# Name, what it may be, and the group of the page it is asked in. House limits, wide enough for any patient.
PRESSURE = Limit("number", 5, 300)
OWN, OWN_CASES = Limit("number", 0, 100000), Limit("number", 1, 100000)  # the department's own counts, whole
FIELDS = [
    ("age_years", Limit("number", 0, 110), "patient"), ("age_days", Limit("number", 0, 40000), "patient"),
    ("sex", choices("female", "male"), "patient"), ("height_cm", Limit("number", 30, 220), "patient"),
    ("weight_kg", Limit("number", 0.5, 250), "patient"), ("weight_measured", YES_NO, "patient"),
    ("symptoms", YES_NO, "patient"), ("preterm", YES_NO, "patient"), ("gestation_weeks", Limit("number", 22, 44), "patient"),
    ("looks_adult", YES_NO, "patient"), ("checked", choices("yes"), "patient"),
    ("contrast_allergy", YES_NO, "alerts"), ("latex_allergy", YES_NO, "alerts"), ("heparin_thrombocytopenia", YES_NO, "alerts"),
    ("anticoagulant", YES_NO, "alerts"), ("pregnant", YES_NO, "alerts"),
    ("syndrome", choices("none", "noonan", "williams", "alagille", "other"), "alerts"), ("metformin", YES_NO, "alerts"),
    ("heart_failure", YES_NO, "alerts"), ("liver_disease", YES_NO, "alerts"), ("asthma", YES_NO, "alerts"),
    ("treated_before", YES_NO, "history"),
    ("earlier_treatment", choices("none", "balloon", "surgical_valvotomy", "tetralogy_repair", "outflow_stent", "other"), "history"),
    ("inotrope", YES_NO, "history"), ("prostaglandin", choices("running", "stopped", "none"), "history"),
    ("prostaglandin_nanograms_kg_min", Limit("number", 1, 400), "history"),
    ("valve", choices("domed", "dysplastic"), "echo"), ("duct", choices("open", "closed", "stented"), "echo"),
    ("atrial_gap", choices("none", "left_to_right", "right_to_left"), "echo"), ("critical_stenosis", YES_NO, "echo"),
    ("rv_function", choices("normal", "reduced", "falling"), "echo"), ("rv_hypertrophy", YES_NO, "echo"),
    ("tricuspid_regurgitation", GRADES, "echo"), ("pulmonary_regurgitation", GRADES, "echo"),
    ("doppler_velocity_m_s", Limit("number", 0.5, 7), "doppler"), ("doppler_peak_mmhg", Limit("number", 1, 196), "doppler"),
    ("doppler_mean_mmhg", Limit("number", 1, 150), "doppler"), ("doppler_state", STATES, "doppler"),
    ("tr_velocity_m_s", Limit("number", 0.5, 7), "doppler"),
    ("aortopulmonary_shunt", YES_NO, "levels"), ("septal_defect", YES_NO, "levels"), ("supravalvar_narrowing", YES_NO, "levels"),
    ("branch_stenosis", YES_NO, "levels"),
    ("catheter_peak_to_peak_mmhg", Limit("number", 0, 250), "catheter"),
    ("catheter_mean_mmhg", Limit("number", 1, 200), "catheter"), ("catheter_state", STATES, "catheter"),
    ("pa_systolic_mmhg", Limit("number", 1, 200), "catheter"), ("pa_diastolic_mmhg", Limit("number", 0, 150), "catheter"),
    ("rvot_systolic_mmhg", PRESSURE, "catheter"), ("rv_systolic_mmhg", PRESSURE, "catheter"),
    ("rv_end_diastolic_mmhg", Limit("number", -5, 60), "catheter"), ("ra_pressure_mmhg", Limit("number", -5, 40), "catheter"),
    ("systemic_systolic_mmhg", Limit("number", 20, 300), "catheter"), ("systemic_awake_mmhg", Limit("number", 20, 300), "catheter"),
    ("saturation_percent", Limit("number", 20, 100), "flow"), ("pa_saturation_percent", Limit("number", 10, 100), "flow"),
    ("output_l_min", Limit("number", 0.1, 15), "flow"), ("lung_flow_l_min", Limit("number", 0.1, 30), "flow"),
    ("oxygen_uptake", choices("measured", "assumed"), "flow"), ("heart_rate_bpm", Limit("number", 30, 220), "flow"),
    ("ejection_period_s", Limit("number", 0.08, 0.7), "flow"),
    ("annulus", Limit("records", least=1, most=12), "balloon"), ("shelf_mm", listed(2, 40, 1, 60), "balloon"),
    ("creatinine_umol_l", Limit("number", 10, 1500), "limits"), ("creatinine_mg_dl", Limit("number", 0.12, 16.9), "limits"),
    ("contrast_used_ml", Limit("number", 0, 1000), "limits"),
    ("contrast_earlier_72h_ml", Limit("number", 0, 1000), "limits"),
    ("contrast_agent", choices("iohexol_350", "iohexol_300", "iodixanol_320", "iopromide_370", "other"), "limits"),
    ("haematocrit_percent", Limit("number", 15, 75), "limits"), ("heparin", Limit("records", least=1, most=12), "limits"),
    ("after_rv_systolic_mmhg", PRESSURE, "after"), ("after_rvot_systolic_mmhg", PRESSURE, "after"),
    ("after_pa_systolic_mmhg", Limit("number", 1, 200), "after"), ("after_systemic_systolic_mmhg", Limit("number", 20, 300), "after"),
    ("after_ra_pressure_mmhg", Limit("number", -5, 40), "after"), ("after_pulmonary_regurgitation", GRADES, "after"),
    ("after_waist", choices("gone", "partly", "unchanged"), "after"), ("after_balloon_mm", Limit("number", 2, 60), "after"),
    ("after_tear", YES_NO, "after"), ("after_effusion", YES_NO, "after"), ("after_catheter_state", STATES, "after"),
    ("after_performed", YES_NO, "done"),
    ("after_abandoned_because", choices("not_crossed", "unstable", "anatomy", "no_balloon", "other"), "done"),
    ("after_inflations_count", Limit("number", 1, 30), "done"), ("after_sheath_french", Limit("number", 3, 24), "done"),
    ("after_heart_block", choices("none", "passing", "complete"), "done"), ("after_beta_blocker", YES_NO, "done"),
    ("after_event_level", choices("none", "minor", "moderate", "major", "catastrophic"), "done"),
    ("after_kap_ugy_m2", Limit("number", 0, 100000), "done"), ("after_fluoroscopy_minutes", Limit("number", 0, 300), "done"),
    ("after_doppler_peak_mmhg", Limit("number", 1, 196), "discharge"), ("after_doppler_state", STATES, "discharge"),
    ("after_saturation_percent", Limit("number", 20, 100), "discharge"), ("after_died", YES_NO, "discharge"),
    ("after_thrombosis", choices("yes", "no", "not_looked"), "discharge"),
    ("own_deaths_count", OWN, "own"), ("own_deaths_cases", OWN_CASES, "own"), ("own_again_count", OWN, "own"), ("own_again_cases", OWN_CASES, "own"),
    ("own_leak_count", OWN, "own"), ("own_leak_cases", OWN_CASES, "own"),
]
NAMES = [name for name, _, _ in FIELDS]
LIMITS = {name: limit for name, limit, _ in FIELDS}

FRAMES = choices("open_valve_systole", "end_systole", "end_diastole", "not_stated")
MODALITIES = choices("echo", "angiogram", "ct", "mr")
VIEWS = {"echo": ["short_axis", "long_axis", "other"], "angiogram": ["lateral", "other"],
         "ct": ["other"], "mr": ["other"]}
CALIBRATIONS = choices("marker_or_sphere", "clear_catheter_shaft", "contrast_filled_shaft", "none")
# Other spellings of the same word. "Systole" alone is none of them: it does not say which systole.
ALIKE = {"echocardiogram": "echo", "echocardiography": "echo", "angiography": "angiogram", "mri": "mr",
         "lateral_angiogram": "lateral", "other_angiogram": "other", "parasternal_short_axis": "short_axis",
         "parasternal_long_axis": "long_axis", "open_valve": "open_valve_systole"}
ANNULUS_FIELDS = ["mm", "modality", "view", "frame", "calibration"]
HEPARIN_FIELDS = [("units", Limit("number", 10, 20000)), ("minutes_ago", Limit("number", 0, 240))]
LIMITS_FROM = "house limits"


def read_patient(inputs):
    """The patient as plain values, with age in years and days, and questions that hold a result back.

    Args:
        inputs: dict of field to number, word or typed text; annulus and heparin are lists of records.
    Returns a dict of what is known, with `age_years`, `age_days` and `questions`.
    Raises: Refusal naming every fault at once.
    """
    if not isinstance(inputs, dict):
        raise Refusal([("", "The inputs must be `field: value` lines.")])
    patient, faults = {}, []
    for name in sorted([str(name) for name in inputs]):
        value, sentence = read_field(name, inputs.get(name))
        if sentence:
            faults.append((name, sentence))
        elif value is not None:
            patient[name] = value
    faults += age_faults(patient, faults) + creatinine_faults(patient)
    faults += contradictions(patient)
    if faults:
        raise Refusal(faults)
    patient["questions"] = [] if patient.get("checked") else questions_of(patient)
    return patient


def read_field(name, value):
    """(value, "") or (None, sentence); (None, "") for a blank."""
    if name not in LIMITS:
        return None, name + " is not an input of the plan" + nearest_words(name, NAMES) + "."
    if value is None or (isinstance(value, str) and trimmed(value) == ""):
        return None, ""
    if name == "annulus":
        return read_records(value, "annulus", read_annulus)
    if name == "heparin":
        return read_records(value, "heparin", read_heparin)
    limit = LIMITS[name]
    if isinstance(value, bool) and limit is YES_NO:
        value = "yes" if value else "no"
    return read_value(name, value, limit)


def read_value(name, value, limit):
    """A number, a word or typed text held against a limit: (value, sentence)."""
    start = name_words(name)
    start = start[0].upper() + start[1:]
    if isinstance(value, bool):
        return None, start + " cannot be true or false."
    if name == "shelf_mm" and isinstance(value, str) and "," in value:
        return None, (start + " “" + shortened(value) + "” has a comma, which may part two sizes or stand within one: use blanks between "
                      "the sizes (20 22), and a point within one.")
    if isinstance(value, str):
        typed = value
        value, reason = (value, "") if limit.kind == "choice" else without_unit(name, value, NAMES)
        value, reason = (None, reason) if reason else from_text(value, limit)
        if reason:
            return None, start + " “" + shortened(typed) + "” " + reason + "."
        if isinstance(value, str):
            value = ALIKE.get(value, value)
    value, _, sentence = checked_value(name, value, limit, LIMITS_FROM)
    return value, sentence


def read_records(value, name, reader):
    """A list of records, each read by `reader`: (list, sentence of all faults)."""
    if isinstance(value, dict):
        value = [value]
    limit = LIMITS[name]
    if not isinstance(value, (list, tuple)) or not limit.least <= len(value) <= limit.most:
        return None, name[0].upper() + name[1:] + " must be a list of " + range_words(name, limit) + "."
    made, sentences = [], []
    for place, record in enumerate(value):
        if not isinstance(record, dict):
            sentences.append("entry " + str(place + 1) + " is not a record.")
            continue
        read, faults = reader(record)
        made.append(read)
        sentences += ["entry " + str(place + 1) + ": " + fault for fault in faults]
    if sentences:
        return None, name[0].upper() + name[1:] + ": " + " ".join(sentences)
    return made, ""


def blank(value):
    """True for what was left out."""
    return value is None or (isinstance(value, str) and trimmed(value) == "")


def read_annulus(record):
    """One measurement: mm and modality are needed; a frame left out is not stated."""
    read = {"view": "", "frame": "not_stated", "calibration": ""}
    faults = [str(name) + " is not a field of a measurement" + nearest_words(str(name), ANNULUS_FIELDS) + "."
              for name in sorted([str(name) for name in record]) if name not in ANNULUS_FIELDS]
    for field, name, limit in [("mm", "annulus_mm", Limit("number", 3, 45)), ("modality", "modality", MODALITIES),
                               ("frame", "annulus_frame", FRAMES), ("calibration", "calibration", CALIBRATIONS)]:
        if blank(record.get(field)):
            if field in ("mm", "modality"):
                faults.append(field + " is missing" + ("." if field == "mm" else ": echo, angiogram, ct or mr."))
            continue
        value, sentence = read_value(name, record[field], limit)
        if sentence:
            faults.append(sentence + (frame_help(record[field]) if field == "frame" else ""))
        else:
            read[field] = value
    if not blank(record.get("view")) and "modality" in read:
        limit = Limit("choice", choices=VIEWS[read["modality"]])
        value, sentence = read_value("view", record["view"], limit)
        if sentence:
            faults.append("For " + read["modality"] + ": " + sentence)
        else:
            read["view"] = value
    return read, faults


def frame_help(typed):
    """What to say to a frame that names a phase but not the moment in it."""
    if isinstance(typed, str) and trimmed(typed) in ("systole", "systolic", "diastole", "diastolic"):
        return " Say which moment: valve open in early to mid systole, end-systole or end-diastole."
    return ""


def read_heparin(record):
    """One bolus of heparin."""
    read = {}
    faults = [str(name) + " is not a field of a heparin bolus." for name in sorted([str(name) for name in record])
              if name not in ("units", "minutes_ago")]
    for field, limit in HEPARIN_FIELDS:
        if blank(record.get(field)):
            faults.append(field + " is missing.")
            continue
        value, sentence = read_value("heparin_units" if field == "units" else "minutes_since", record[field], limit)
        if sentence:
            faults.append(sentence + (" Heparin of the last 4 hours counts." if field == "minutes_ago" else ""))
        else:
            read[field] = value
    return read, faults


def age_faults(patient, found):
    """Completes the age; returns what is wrong with it."""
    years, days = patient.get("age_years"), patient.get("age_days")
    if years is None and days is None:
        told = [field for field, _ in found if field in ("age_years", "age_days")]
        return [] if told else [("age_years", "Age is missing: give age_years, or age_days under one year.")]
    if years is not None and days is not None:
        own = days / DAYS_A_YEAR
        # Age in whole years is rounded down, in decimal years it is rounded.
        if not (years <= own + 0.06 and own - years < 1.0 + 0.003):
            return [("age_years", "Age " + show_input(years) + " years and " + show_input(days)
                     + " days do not agree; give one of them.")]
    if days is None:
        if years == 0:
            return [("age_years", "Age 0 years may be a newborn or an infant: give age_days.")]
        patient["age_days"] = years * DAYS_A_YEAR
    else:
        patient["age_years"] = days / DAYS_A_YEAR
    return []


CREATININE_SPARE_MG_DL = 0.06  # a laboratory rounds to one figure after the point


def creatinine_faults(patient):
    """Completes the creatinine in the unit of the rules; returns what is wrong with one given in both units."""
    mass, amount = patient.get("creatinine_mg_dl"), patient.get("creatinine_umol_l")
    if mass is None:
        return []
    if amount is None:
        patient["creatinine_umol_l"] = UMOL_L_PER_MG_DL * mass
    elif abs(amount / UMOL_L_PER_MG_DL - mass) > CREATININE_SPARE_MG_DL:
        return [("creatinine_mg_dl", "Creatinine " + show_input(amount) + " µmol/L and " + show_input(mass) + " mg/dL do not agree; give one of them.")]
    return []


def contradictions(patient):
    """Values that are each allowed but cannot belong to one patient at one time."""
    faults = []

    def over(lower, upper, spare, sentence):
        if lower in patient and upper in patient and patient[lower] > patient[upper] + spare:
            faults.append((lower, sentence + " (" + show_input(patient[lower]) + " and " + show_input(patient[upper]) + " mmHg)."))

    over("doppler_mean_mmhg", "doppler_peak_mmhg", 0, "A mean Doppler gradient cannot exceed the peak Doppler gradient of the same trace")
    over("pa_diastolic_mmhg", "pa_systolic_mmhg", 0, "Pulmonary artery diastolic pressure cannot exceed its systolic pressure")
    over("pa_systolic_mmhg", "rv_systolic_mmhg", 5, "Pulmonary artery systolic pressure cannot exceed right ventricular systolic pressure")
    over("catheter_peak_to_peak_mmhg", "rv_systolic_mmhg", 5, "A catheter peak-to-peak gradient cannot exceed the right ventricular systolic pressure")
    over("catheter_mean_mmhg", "rv_systolic_mmhg", 0, "A catheter mean gradient cannot exceed the right ventricular systolic pressure")
    over("ra_pressure_mmhg", "rv_systolic_mmhg", 0, "Right atrial pressure cannot exceed right ventricular systolic pressure")
    over("rv_end_diastolic_mmhg", "rv_systolic_mmhg", 0, "Right ventricular end-diastolic pressure cannot exceed its systolic pressure")
    for when in ("", "after_"):
        below, body, artery = when + "rvot_systolic_mmhg", when + "rv_systolic_mmhg", when + "pa_systolic_mmhg"
        after = " after the balloon" if when else ""
        over(below, body, 5, "The pressure just below the valve" + after + " cannot exceed that in the body of the ventricle")
        over(artery, below, 5, "Pulmonary artery systolic pressure" + after + " cannot exceed the pressure just below the valve")
    over("after_pa_systolic_mmhg", "after_rv_systolic_mmhg", 5,
         "Pulmonary artery systolic pressure after the balloon cannot exceed right ventricular systolic pressure after it")
    faults += gradient_faults(patient) + done_faults(patient) + own_faults(patient)
    if patient.get("heart_rate_bpm") and patient.get("ejection_period_s"):
        if patient["ejection_period_s"] * patient["heart_rate_bpm"] >= 60:
            faults.append(("ejection_period_s", "The ejection period fills the whole beat at this heart rate: is it one beat's, in seconds?"))
    return faults + size_faults(patient)


def done_faults(patient):
    """What an abandoned attempt cannot have, what a performed one cannot have, and harm that is called none."""
    faults = []
    if patient.get("after_performed") == "no":
        for name in ("after_balloon_mm", "after_waist", "after_inflations_count"):
            if name in patient:
                faults.append((name, "No balloon was filled across the valve, so " + name_words(name) + " stays blank."))
    elif "after_abandoned_because" in patient:
        faults.append(("after_abandoned_because", "A reason to abandon is only for an attempt in which no balloon was filled."))
    harms = [words for name, word, words in (("after_died", "yes", "A death"), ("after_heart_block", "complete", "A complete heart block"),
                                             ("after_tear", "yes", "A tear")) if patient.get(name) == word]
    if harms and patient.get("after_event_level") == "none":
        faults.append(("after_event_level", harms[0] + " is an adverse event: its level is not none."))
    return faults


def own_faults(patient):
    """The department's own counts: whole, both or none, and never more events than cases."""
    faults = []
    for what in ("own_deaths", "own_again", "own_leak"):
        events, cases = patient.get(what + "_count"), patient.get(what + "_cases")
        for name, value in ((what + "_count", events), (what + "_cases", cases)):
            if value is not None and value != int(value):
                faults.append((name, "A count is a whole number."))
        if (events is None) != (cases is None):
            faults.append((what + ("_cases" if cases is None else "_count"), "An own count needs both: how many it happened to, and of how many."))
        elif events is not None and events > cases:
            faults.append((what + "_count", "An own count cannot exceed the cases it is of."))
    return faults


def gradient_faults(patient):
    """A mean Doppler gradient above the peak of its own velocity."""
    faults = []
    velocity, peak, mean = [patient.get(name) for name in ("doppler_velocity_m_s", "doppler_peak_mmhg", "doppler_mean_mmhg")]
    if velocity is not None and mean is not None and peak is None and mean > 4 * velocity * velocity:
        faults.append(("doppler_mean_mmhg", "A mean Doppler gradient of " + show_input(mean) + " mmHg exceeds the peak of the velocity "
                       + show_input(velocity) + " m/s (" + show(4 * velocity * velocity, 0) + " mmHg)."))
    return faults


def size_faults(patient):
    """An echo annulus that no patient of this size can have: a slip of the unit is likelier."""
    if not ("height_cm" in patient and "weight_kg" in patient) or patient.get("age_years", 99) > 18:
        return []
    if patient["height_cm"] > 210 or patient["weight_kg"] > 150:
        return []  # larger than any patient of the norm; a smaller one is no patient of this plan
    faults = []
    for place, entry in enumerate(patient.get("annulus") or []):
        if entry["modality"] == "echo" and entry["view"] in ("short_axis", "long_axis"):
            try:
                annulus_z(annulus_mm=entry["mm"], age_years=patient["age_years"], height_cm=patient["height_cm"],
                          weight_kg=patient["weight_kg"], view=entry["view"])
            except Refusal as refusal:
                faults.append(("annulus", "Annulus: entry " + str(place + 1) + ": " + str(refusal)))
    return faults


def questions_of(patient):
    """Questions about values that are allowed but odd; what rests on weight or height waits for the answer."""
    questions = []
    weight, height, days = patient.get("weight_kg"), patient.get("height_cm"), patient["age_days"]
    measured = patient.get("weight_measured") == "yes"  # read from the scale today: a heavy patient gets the doses
    if is_number(weight) and is_number(height) and not measured:
        questions.append(weight_fits_height(patient))
    if is_number(weight):
        questions.append(odd_words("Weight", weight, "kg", weight_range(days)) or ("" if measured else alone_words(patient)))
    if is_number(height):
        questions.append(odd_words("Height", height, "cm", height_range(days)))
    return [question for question in questions if question]


# Kilograms of a usual child by age in years. House practice, rounded by hand: only to ask about a weight that has no height beside it.
USUAL_KG = [(0, 3.4), (0.08, 4.3), (0.25, 6), (0.5, 7.6), (1, 9.6), (2, 12.3), (3, 14.4), (4, 16.4), (5, 18.5), (6, 21), (7, 23.5),
            (8, 26), (9, 29), (10, 32.5), (11, 36.5), (12, 41), (13, 46), (14, 51), (15, 56), (16, 60), (17, 63), (18, 66)]
MOST_OF_USUAL = 1.7  # pounds typed as kilograms are 2.2 times the weight


def usual_kg(years):
    """Weight of a usual child of this age, between the ages of the table by proportion; of an adult, the last one's."""
    before = USUAL_KG[0]
    for after in USUAL_KG[1:]:
        if years < after[0]:
            return before[1] + (after[1] - before[1]) * (years - before[0]) / (after[0] - before[0])
        before = after
    return before[1]


def alone_words(patient):
    """A question about a heavy weight that no height stands beside: it may be pounds. A height that fits answers it."""
    weight = patient["weight_kg"]
    if is_number(patient.get("height_cm")) or weight <= MOST_OF_USUAL * usual_kg(patient["age_days"] / DAYS_A_YEAR):
        return ""
    return ("Weight " + show_input(weight) + " kg is much for this age, and no height stands beside it: was it typed in pounds ("
            + show(weight * POUND_KG, 1) + " kg)? Give the height, or look again and tick that the numbers are right.")


def odd_words(what, value, unit, limits):
    """A question when a size is outside what an age usually has."""
    if limits[0] <= value <= limits[1]:
        return ""
    return (what + " " + show_input(value) + " " + unit + " is unusual at this age (" + show_input(limits[0]) + " to "
            + show_input(limits[1]) + " " + unit + "): are age, " + what.lower() + " and unit right?")


def height_range(days):
    """House practice, wide: centimetres that pass without a question."""
    years = days / DAYS_A_YEAR
    for below_years, least, most in [(28 / DAYS_A_YEAR, 30, 65), (1, 38, 95), (3, 55, 120), (6, 70, 145), (12, 85, 190),
                                     (18, 105, 215)]:
        if years < below_years:
            return least, most
    return 120, 220

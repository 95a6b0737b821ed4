"""The ten lines on top: who, grade, pressures, treat, balloon, stop, done, contrast, drugs, what is not known.

Every line is joined from the plan's records; nothing is computed here but what the fixed words need.
"""

from pvcalc.core.units import show, show_input, show_named
from pvcalc.plan.after import down, pressure_words, step_words, up
from pvcalc.plan.contrast import contrast_words
from pvcalc.plan.documents import count_words
from pvcalc.plan.settings import setting, setting_text

# Age below which a child is a baby by its sex, and from which it is grown.
NEWBORN = ("Newborn girl", "Newborn boy", "Newborn")
NAMES = [(1, "Baby girl", "Baby boy", "Baby"), (18, "Girl", "Boy", "Child"), (200, "Woman", "Man", "Adult")]
ALERTS = [("contrast_allergy", "contrast allergy"), ("latex_allergy", "latex allergy"), ("heparin_thrombocytopenia", "heparin thrombocytopenia (no heparin)"),
          ("anticoagulant", "anticoagulant"), ("pregnant", "PREGNANT"), ("asthma", "asthma"), ("metformin", "metformin"), ("heart_failure", "heart failure"),
          ("liver_disease", "liver disease"), ("inotrope", "inotrope running")]
SYNDROMES = {"noonan": "Noonan: bleeding tests, left ventricle", "williams": "Williams: supravalvar AORTIC narrowing, coronaries", "alagille": "Alagille: liver, bleeding, branches",
             "other": "syndrome"}
PREGNANCY_YEARS = (11, 56)  # house practice: who is asked for a pregnancy test
TITLES = ["who", "grade", "pressures", "treat", "balloon", "stop", "done", "contrast", "drugs", "not_known"]


def glance(data, patient, made, known):
    """The ten lines, each {"id", "text"}.

    Args:
        data: the handbook's data; patient: the inputs; made: the plan with its records; known: what `reading.reading` made.
    """
    texts = [who(data, patient, made), grade(made), pressures(data, patient, made, known), treat(made), balloon(data, patient, made),
             stop(data, made), done(data, patient, made), contrast(data, patient, made), drugs(data, patient, made), not_known(patient, made)]
    return [{"id": name, "text": text} for name, text in zip(TITLES, texts)]


def who(data, patient, made):
    """Line 1: who, how heavy and how that is known, valve, duct, gap, ventricle, before or after, alerts."""
    parts = [person(patient), weight_words(patient)]
    if "height_cm" in patient:
        parts.append(show_input(patient["height_cm"]) + " cm")
    if made["derived"]["body_surface_m2"] is not None:
        parts.append(show(made["derived"]["body_surface_m2"], 2) + " m²")
    state = [{"domed": "Domed", "dysplastic": "DYSPLASTIC", None: "Valve not described"}[patient.get("valve")]]
    state.append(made["taken"][0] if made["taken"] else "duct " + patient.get("duct", "not stated"))
    state.append({"none": "no gap", "left_to_right": "gap left to right", "right_to_left": "gap right to left: air filter", None: "gap not stated"}[patient.get("atrial_gap")])
    state.append("RV " + patient.get("rv_function", "not stated"))
    for name, words in (("tricuspid_regurgitation", "TR "), ("pulmonary_regurgitation", "PR ")):
        state += [words + patient[name]] if name in patient else []
    state += ["saturation " + show_input(patient["saturation_percent"]) + " %"] if "saturation_percent" in patient else []
    return (", ".join([part for part in parts if part]) + ". " + ", ".join(state) + ". " + ("After" if made["after"] else "Before") + " the balloon. "
            + newborn_words(data, patient, made) + alert_words(patient))


def person(patient):
    """`Boy 8 y`, `Newborn girl 2 days, preterm 31 weeks`."""
    years = patient["age_years"]
    female, male, either = NEWBORN if patient["newborn"] == "yes" else [names for limit, *names in NAMES if years < limit][0]
    name = {"female": female, "male": male}.get(patient.get("sex"), either)
    age = show_input(int(years * 10 + 0.5) / 10) + " y" if years >= 2 else show(patient["age_days"], 0) + " days"
    if patient.get("preterm") == "yes":
        age += ", preterm" + (" " + show_input(patient["gestation_weeks"]) + " weeks" if "gestation_weeks" in patient else "")
    return name + " " + age


def weight_words(patient):
    """The weight with how it is known, or that it is missing."""
    if "weight_kg" not in patient:
        return "WEIGHT NOT ENTERED"
    words = show_input(patient["weight_kg"]) + " kg (" + ("measured" if patient.get("weight_measured") == "yes" else "typed") + ")"
    return words + (" IN QUESTION" if patient["questions"] else "")


def newborn_words(data, patient, made):
    """Prostaglandin of a newborn or an open duct: running, at what rate of the sheet's own recipe."""
    running = patient.get("prostaglandin")
    rate = patient.get("prostaglandin_nanograms_kg_min")
    if running is None and rate is None:
        return ""
    words = "Prostaglandin " + (running or "running")
    if rate is not None:
        words += " " + show_input(rate) + " nanograms/kg/min"
        for row in made["drugs"]:
            if row["id"] == "alprostadil_open" and row["value"]:
                base = setting(data, "alprostadil_open_duct_micrograms_kg_min") * 1000
                words += " = " + show_named(row["value"] * rate / base, "infusion_ml_h", 2) + " of the sheet's recipe"
                break
    return words + ". "


def alert_words(patient):
    """Alerts that were entered, then those nobody stated."""
    said = [words for name, words in ALERTS if patient.get(name) == "yes"]
    said += [SYNDROMES[patient["syndrome"]]] if patient.get("syndrome") in SYNDROMES else []
    open_ones = [words for name, words in (("contrast_allergy", "allergy"), ("anticoagulant", "anticoagulant"), ("syndrome", "syndrome")) if name not in patient]
    text = "ALERTS: " + ", ".join(said) + "." if said else "No alerts entered" + (":" if open_ones else ".")
    if open_ones:
        text += " " + ", ".join(open_ones) + " not stated."
    return text


def grade(made):
    """Line 2: the headline grade."""
    return made["headline"]


def pressures(data, patient, made, known):
    """Line 3: the right ventricle against systemic, the lung artery, the atrium, and what HIGH and LOW will be after the balloon."""
    if made["after"]:
        return pressure_words(patient, made["after"]) + fit_words(made, ("pa_pressure_high",))
    values, parts = made["derived"], []
    body = values["rv_systolic_mmhg"]
    if made["pressure"]:
        parts.append(made["pressure"].rstrip("."))
        if "RIGHT VENTRICULAR" in made["pressure"]:
            parts.append("RV " + show(body, 0) + " / systemic " + show_input(patient["systemic_systolic_mmhg"]) + " = " + show(values["rv_systemic_ratio"], 2))
    elif body is not None:
        parts.append("RV " + show(body, 0) + ", systemic not entered")
    else:
        parts.append("RV not entered")
    if "pa_systolic_mmhg" in patient:
        parts.append("PA " + show_input(patient["pa_systolic_mmhg"]) + ("/" + show_input(patient["pa_diastolic_mmhg"]) if "pa_diastolic_mmhg" in patient else ""))
    elif values["pa_systolic_mmhg"] is not None:
        parts.append("PA " + show(values["pa_systolic_mmhg"], 0) + " by subtraction")
    parts.append("RA " + show_input(patient["ra_pressure_mmhg"]) if "ra_pressure_mmhg" in patient else "RA not entered")
    if values["subvalve_gradient_mmhg"] is not None and values["valve_gradient_mmhg"] is not None:
        parts.append("Step at the valve " + show(values["valve_gradient_mmhg"], 0) + " mmHg, below it " + show(values["subvalve_gradient_mmhg"], 0) + " mmHg")
    if known.get("flow_words"):
        parts.append("Flow " + known["flow_words"])
    if values["qp_qs_ratio"] is not None:
        about = "about " if patient.get("oxygen_uptake") == "assumed" else ""
        parts.append("Lung flow " + about + show(values["qp_qs_ratio"], 1) + " times systemic")
    if "rv_systolic_mmhg" in patient:
        parts.append("After the balloon: RV is HIGH from " + up(setting(data, "rv_high_from_ratio") * body) + ", LOW to " + down(setting(data, "rv_low_to_ratio") * body))
    return ". ".join(parts) + "." + fit_words(made, ("pa_pressure_high", "step_below_valve", "step_above_valve", "step_disagrees", "saturation_unexplained", "jet_disagrees"))


def fit_words(made, codes):
    """The first sentence of what does not fit, for the codes a line speaks of."""
    return "".join([" " + one["text"].partition(". ")[0].rstrip(".") + "." for one in made["fit"] if one["code"] in codes])


def treat(made):
    """Line 4: the count, whether documents disagree, and who goes elsewhere."""
    text = count_words(made["treat"]) + "."
    if made["conflict"]:
        text += " Documents disagree: valve team."
    if made["redirect"] != "none":
        text += " They mean a native valve, which this is not."
    return text


def balloon(data, patient, made):
    """Line 5: balloon with its ratio to every measured annulus, sheath, wire, pressure, what else lies ready, the ceiling; or why there is none."""
    size = made["sizing"]
    stops = [sentence for _, sentence in made["stops"]]
    if made["after"] and made["after"]["word"] not in ("go_up_once",):
        return "BALLOON none: " + made["after"]["sentence"]
    if size["proposed"] is None:
        ruler = fit_words(made, ("shaft_ruler",))
        if stops and [code for code, _ in made["stops"]] != ["dysplastic_team"]:
            return "BALLOON none: " + " ".join([sentence for code, sentence in made["stops"] if code != "dysplastic_team"]) + ruler
        return "BALLOON none: " + (size["why"] or "no size.") + ruler + ready_words(size)
    one = size["proposed"]
    name = one["words"] if one["length_mm"] is not None else one["words"].replace(" mm", " × (length from the label) mm")
    words = "BALLOON " + name + " = " + one["ratio_words"]
    label = []
    label += [show_input(one["sheath_french"]) + " F"] if one["sheath_french"] is not None else []
    label += [show_input(one["wire_inch"]) + " in"] if one["wire_inch"] is not None else []
    label += [show_input(one["pressure_atm"][0]) + " to " + show_input(one["pressure_atm"][1]) + " atm"] if one["pressure_atm"] else ["pressure from the label in your hand"]
    words += ". " + ", ".join(label) + "."
    if made["conflict"]:
        words += " Only if the valve team decides for a balloon."
    if made["after"]:
        used = patient.get("after_balloon_mm")
        if used is None or one["effective_mm"] > used:
            words = words.replace("BALLOON " + name, "BALLOON " + name + " once up, measured again first")
        else:
            words = "BALLOON once up, measured again first:" + (next_words(size) or " no larger one lies below the ceiling.")
    ready = ["high pressure " + show_input(size["high_pressure"])] if size["high_pressure"] else []
    words += " Ready: " + ", ".join(ready) + "." if ready else ""
    words += next_words(size) if not made["after"] else ""
    words += " Never above " + show(size["never_above_mm"], 1).replace(".0", "") + " mm."
    if "dysplastic_team" in [code for code, _ in made["stops"]]:
        words += " DYSPLASTIC: the ratio does not rescue it; surgeon and valve team know."
    return words


def next_words(size):
    """The next size up, which only a new measurement allows."""
    if size["next_up"] is None:
        return ""
    return " " + show_input(size["next_up"]) + " only measured again, with a written reason."


def ready_words(size):
    """Sizes to have ready while nothing may be proposed."""
    sizes = []
    for one in size["choices"]:
        if one["zone"] in ("target", "accepted") and one["fits"] and one["words"] not in sizes:
            sizes.append(one["words"])
    return " To have ready: " + ", ".join(sizes[:3]) + "." if sizes else ""


def stop(data, made):
    """Line 6: what stops the balloon."""
    return ("STOP: pressure not back " + setting_text(data, "pressure_back_s") + "; any tear; new regurgitation moderate or more; step below the valve: "
            "no larger balloon, no inotrope FOR IT; " + setting_text(data, "crossings_stop_count") + " crossings; " + setting_text(data, "procedure_stop_minutes") + ".")


def done(data, patient, made):
    """Line 7: when it is done; after the balloon what was reached and what is next."""
    if made["after"]:
        start = "DONE: " if made["after"]["word"] == "done" else "AFTER: "
        return start + step_words(made["after"]) + ". " + made["after"]["sentence"]
    if patient["newborn"] == "yes":
        return ("DONE: forward flow, ventricle below systemic, saturation steady (" + setting_text(data, "newborn_saturation_low_percent") + " to "
                + setting_text(data, "newborn_saturation_high_percent") + " while it recovers). Valve step from " + setting_text(data, "residual_up_from_mmhg")
                + ": measure again, once up.")
    return ("DONE: valve step < " + setting_text(data, "residual_stop_below_mmhg") + ". From " + setting_text(data, "residual_up_from_mmhg") + ": measure again, once up.")


def contrast(data, patient, made):
    """Line 8: contrast used, left or passed, and one run."""
    spent = made["contrast"]
    if spent is None:
        used = show_input(patient["contrast_used_ml"]) if "contrast_used_ml" in patient else "?"
        return "CONTRAST used " + used + ": what is left needs a weight that is not in question."
    words = "CONTRAST " + contrast_words(spent) + "."
    if not spent["passed"] and spent["step"] != "hard_stop":
        volume = min(setting(data, "rv_injection_ml_kg") * spent["weight_kg"], data["settings"]["rv_injection_cap_ml"])
        words += " One run at most " + show_named(int(volume), "ml") + "."
    if patient["age_years"] < setting(data, "contrast_thyroid_to_years"):
        words += " Thyroid test within " + setting_text(data, "contrast_thyroid_weeks") + ", by risk."
    return words


def drugs(data, patient, made):
    """Line 9: heparin given or planned, protamine's condition, and what lies ready; every dose with its state."""
    rows = {}
    for row in made["drugs"]:
        rows.setdefault(row["id"], []).append(row)
    if not rows:
        given = given_words(patient)
        return (given + " " if given else "") + "No dose without a weight that is not in question."
    parts = [heparin_words(patient, rows)]
    ready = []
    for name, words in (("volume", "volume"), ("adrenaline_arrest", "Adrenaline, arrest"), ("shock", "shock")):
        for row in rows.get(name, []):
            who_for = " (" + row["rule"] + ")" if len(rows[name]) > 1 else ""
            ready.append(words + who_for + " " + dose_words(row))
    parts.append("READY: " + "; ".join(ready) + ".")
    return " ".join(parts)


def given_words(patient):
    """Heparin that was given, each bolus with its time."""
    boluses = patient.get("heparin") or []
    return "HEPARIN GIVEN " + ", ".join([show_input(one["units"]) + " units " + show_input(one["minutes_ago"]) + " min ago" for one in boluses]) + "." if boluses else ""


def heparin_words(patient, rows):
    """Heparin GIVEN with no more without a clotting time, or PLANNED; protamine only after the word on ECMO."""
    caution = " PROTAMINE only after “no ECMO in the next minutes” is said aloud: table on the sheet."
    if patient.get("heparin_thrombocytopenia") == "yes":
        return "HEPARIN none: thrombocytopenia, haematology names the other drug."
    boluses = patient.get("heparin") or []
    if boluses:
        per_kg = " (" + show(sum_units(boluses) / patient["weight_kg"], 0) + " units/kg)" if "weight_kg" in patient else ""
        return given_words(patient)[:-1] + per_kg + ". No more without a clotting time." + caution
    planned = (rows.get("heparin") or rows.get("heparin_shut") or [None])[0]
    if planned is None:
        return "HEPARIN by the sheet."
    mark = " (" + planned["mark"] + ")" if planned["mark"] else ""
    return "HEPARIN PLANNED " + planned["give"] + " = " + planned["dose"] + mark + "." + caution


def sum_units(boluses):
    """Units of all boluses."""
    units = 0
    for one in boluses:
        units += one["units"]
    return units


def dose_words(row):
    """One dose as it is drawn up: amount, volume, strength, mark; less than a milligram in micrograms."""
    mark = " (" + row["mark"] + ")" if row["mark"] else ""
    if row["unit"] == "mg" and row["amount"] is not None and row["amount"] < 1 and row["give"]:
        strength = " of " + row["strength"] if row["strength"] else ""
        return show_input(snapped(row["amount"] * 1000)) + " micrograms = " + row["give"] + strength + mark
    return row["text"].partition(";")[0] + mark


def snapped(value):
    """A product of decimals without the hair that binary arithmetic leaves: 255.00000000000003 -> 255."""
    return float(show(value, 3).replace("\u202f", ""))


def not_known(patient, made):
    """Line 10: what is not known, what must be signed first, and the blanks for the hand."""
    lacking = []
    if made["derived"]["doppler_peak_mmhg"] is not None and "doppler_state" not in patient or "catheter_peak_to_peak_mmhg" in patient and "catheter_state" not in patient:
        lacking.append("sedation at each gradient")
    lacking += [words for name, words in (("ra_pressure_mmhg", "RA"), ("rv_function", "RV function"), ("symptoms", "symptoms"), ("weight_kg", "weight")) if name not in patient]
    years = patient["age_years"]
    if patient.get("sex") == "female" and "pregnant" not in patient and PREGNANCY_YEARS[0] <= years < PREGNANCY_YEARS[1]:
        lacking.append("pregnancy (urine or serum test)")
    lacking += ["flow"] if not made["head"].get("flow_known") else []
    lacking += ["annulus"] if not patient.get("annulus") else []
    unsigned = [row for row in made["drugs"] if row["mark"]]
    text = "NOT KNOWN: " + (", ".join(lacking) if lacking else "nothing of what is asked first") + "."
    if unsigned:
        text += " To sign first: " + str(len(unsigned)) + " recalled doses, the first " + ", ".join([row["label"].partition(",")[0] for row in unsigned[:3]]) + "."
    return text + " Surgeon, ECMO, blood: ____ min. Checked by hand: ____"


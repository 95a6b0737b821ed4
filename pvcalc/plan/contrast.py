"""Contrast of this case: the house ladder with its cap, the labels beside it, the kidney's rules of an adult.

What was given in the last 72 hours counts. Under one year and with a poor filtration the ladder does not hold: the least possible.
"""

from pvcalc.core.units import show, show_input, show_named
from pvcalc.decision import evaluate
from pvcalc.formulas.doses import contrast_limit_ml, contrast_ml_per_kg, contrast_renal_ratio
from pvcalc.formulas.kidney import UMOL_L_PER_MG_DL, creatinine_clearance_ml_min
from pvcalc.plan.settings import computed, setting, setting_text, weakest_seen

LADDER = [("contrast_label_low_ml_kg", "labels of iodixanol and iopromide"), ("contrast_child_stop_and_think_ml_kg", "think"),
          ("contrast_child_high_ml_kg", "consultant's word, written"), ("contrast_child_hard_stop_ml_kg", "hard stop")]
# Agent, its label's dose by weight and its label's most in a case.
LABELS = [("iohexol_350", "label_iohexol_350_ml_kg", "label_iohexol_350_cap_ml"), ("iohexol_300", "label_iohexol_300_ml_kg", "label_iohexol_300_cap_ml"),
          ("iodixanol_320", "label_iodixanol_320_ml_kg", ""), ("iopromide_370", "label_iopromide_370_ml_kg", "")]
STEP_WORDS = {"within_labels": "within the labels that were read", "label_reached": "label of iodixanol and iopromide reached", "think": "think before every run",
              "consultant_written": "only on the consultant's word, written", "hard_stop": "hard stop: no more", "renal_rule": "above the kidney's rule",
              "not_valid": "the ladder is not valid here: least possible"}


def contrast(data, patient, rate):
    """The record of contrast, or None while the weight is blank or in question.

    Args:
        data: the handbook's data; patient: the inputs; rate: filtration in mL/min/1.73 m², or None.
    Returns a dict: `used_ml` (None when blank; the last 72 hours are in it), `earlier_ml`, `step` (a key of STEP_WORDS), `think_ml`, `hard_ml`
    (ceilings), `rules` (name, ceiling, how: the kidney's of an adult), `smallest` (name, ceiling), `passed` (name, mL) pairs.
    """
    weight = patient.get("weight_kg")
    if weight is None or patient["questions"]:
        return None
    earlier, now = patient.get("contrast_earlier_72h_ml"), patient.get("contrast_used_ml")
    used = None if now is None else now + (earlier or 0)
    cap = setting(data, "contrast_child_cap_ml")
    ceilings = [(name, min(setting(data, key) * weight, cap + 0.0)) for key, name in LADDER]
    rules = kidney_rules(data, patient, weight, rate)
    made = {"used_ml": used, "now_ml": now, "earlier_ml": earlier, "weight_kg": weight, "ladder": ceilings, "rules": rules, "cap_ml": cap,
            "careful": careful(data, patient, rate), "careful_ml": setting(data, "contrast_careful_think_ml_kg") * weight}
    made["think_ml"], made["hard_ml"] = ceilings[1][1], ceilings[3][1]
    if made["careful"]:
        made["think_ml"] = min(made["careful_ml"], made["think_ml"])
    smallest = sorted([(ceiling, name) for name, ceiling, _ in rules] + [(made["hard_ml"], "hard stop")])[0]
    made["smallest"] = [smallest[1], smallest[0]]
    made["step"] = step_of(data, patient, made, rate)
    made["passed"] = [] if used is None else [[name, used - ceiling] for name, ceiling in [("hard stop", made["hard_ml"])] + [(name, ceiling) for name, ceiling, _ in rules]
                                              if used > ceiling + 1e-9]
    return made


def careful(data, patient, rate):
    """True where the ladder does not hold: an infant, or a kidney that filters too little."""
    return patient["age_years"] < setting(data, "contrast_ladder_from_years") or (rate is not None and rate < setting(data, "contrast_ladder_filtration_ml_min_173"))


def step_of(data, patient, made, rate):
    """The rung of the ladder that has been reached; nought when nothing is known to be used."""
    used = made["used_ml"] or 0
    if used >= made["cap_ml"]:
        return "hard_stop"
    given = {"age_years": patient["age_years"], "contrast_ml_per_kg": used / made["weight_kg"]}
    if rate is not None:
        given["egfr_ml_min_173"] = rate
    step = evaluate.decide(data["tables"]["contrast_child"], given)["answer"]
    if step in ("hard_stop", "not_valid"):
        return step
    return "renal_rule" if [name for name, ceiling, _ in made["rules"] if used > ceiling] else step


def kidney_rules(data, patient, weight, rate):
    """(name, ceiling, how) of an adult's rules by creatinine and by clearance; a child has none."""
    creatinine = patient.get("creatinine_umol_l")
    if patient["age_years"] < setting(data, "adult_from_years") or creatinine is None:
        return []
    rules = []
    if creatinine >= UMOL_L_PER_MG_DL:
        value, _ = computed(contrast_limit_ml, age_years=patient["age_years"], weight_kg=weight, creatinine_umol_l=creatinine)
        if value is not None:
            rules.append(("Cigarroa's rule", value, contrast_limit_ml.name))
    if "sex" in patient:
        clearance = creatinine_clearance_ml_min(creatinine_umol_l=creatinine, age_years=patient["age_years"], weight_kg=weight, sex=patient["sex"])
        rules.append(("volume over clearance below " + setting_text(data, "contrast_renal_amber_ratio"), setting(data, "contrast_renal_amber_ratio") * clearance,
                      contrast_renal_ratio.name))
    return rules


def kidney_warnings(data, patient, limits):
    """Metformin and the next creatinine, in a sentence each; the stricter line comes first."""
    found, rate = [], limits["kidney"][0]["value"] if limits["kidney"] else None
    if patient.get("metformin") == "yes":
        found.append(metformin_words(data, patient, rate))
    low = rate is not None and rate < setting(data, "contrast_ladder_filtration_ml_min_173")
    if low or (patient.get("contrast_used_ml") or 0) >= setting(data, "contrast_child_cap_ml"):
        found.append("Creatinine again at " + setting_text(data, "creatinine_again_low_hours") + " to " + setting_text(data, "creatinine_again_high_hours") + ".")
    return found


def metformin_words(data, patient, rate):
    """What the two lines in force say of metformin; what is not known counts as a reason to stop it."""
    failing = "yes" if patient.get("rv_function") in ("reduced", "falling") else patient.get("heart_failure")
    given = {"egfr_ml_min_173": rate, "heart_failure": failing, "liver_disease": patient.get("liver_disease"), "contrast_into_artery": "no",
             "acute_kidney_injury": "no", "renal_artery_emboli_possible": "no"}
    said = {}
    for name in ("metformin_us_label", "metformin"):
        table = data["tables"][name]
        said[name] = evaluate.decide(table, evaluate.inputs_for(table, given))["answer"]
    told = "Metformin" + ("" if rate is None else " (filtration " + show(rate, 0) + ")") + ": "
    label = "carry on" if said["metformin_us_label"] == "carry_on" else "stop it at the contrast, check the filtration after 48 hours, restart when it is stable"
    college = {"carry_on": "carries on", "stop_for_48_hours": "stops it for 48 hours too"}.get(said["metformin"], "needs the filtration rate")
    return told + label + " (" + data["tables"]["metformin_us_label"]["document"] + "); the radiology college " + college + ". The stricter comes first."


def rows_of(data, patient, made, row):
    """The rows of the limits: the ladder, the kidney's rules, the labels, what has been used.

    Args:
        row: `limits.row`, which makes one line of them.
    """
    rows = []
    for (key, words), (_, ceiling) in zip(LADDER, made["ladder"]):
        by_weight = setting(data, key) * made["weight_kg"]
        steps = setting_text(data, key) + " × " + show_input(made["weight_kg"]) + " kg"
        steps += " = " + show_named(by_weight, "limit_ml") if by_weight <= made["cap_ml"] else ", the cap applies"
        steps += "; at most " + setting_text(data, "contrast_child_cap_ml")
        note = "not valid here: least possible, think at " + show_named(made["careful_ml"], "limit_ml") if made["careful"] else ""
        rows.append(row("Contrast, " + words, ceiling, "ml", left_words(made, ceiling), steps, "", note, weakest_seen(data, [key])))
    for name, ceiling, formula in made["rules"]:
        rows.append(row("Contrast, " + name, ceiling, "ml", left_words(made, ceiling), kidney_words(data, patient, name), formula,
                        "the smallest rule counts; a ceiling, never a safe volume" if name == made["smallest"][0] else "",
                        "second" if "clearance" in name else "read"))
    if "creatinine_umol_l" in patient and patient["creatinine_umol_l"] < UMOL_L_PER_MG_DL and patient["age_years"] >= setting(data, "adult_from_years"):
        rows.append(row("Contrast, Cigarroa's rule", text="not for this creatinine: below " + show(UMOL_L_PER_MG_DL, 1) + " µmol/L it only inflates", provenance="read"))
    rows += label_rows(data, patient, made, row)
    if made["used_ml"] is not None:
        dose, _ = computed(contrast_ml_per_kg, contrast_ml=made["used_ml"], weight_kg=made["weight_kg"])
        earlier = ", " + show_input(made["earlier_ml"]) + " mL of it in the 72 h before" if made["earlier_ml"] else ""
        rows.append(row("Contrast used", dose, "ml_per_kg", show_named(dose, "contrast_ml_per_kg") + ": " + STEP_WORDS[made["step"]],
                        show_input(made["used_ml"]) + " mL over " + show_input(made["weight_kg"]) + " kg" + earlier, contrast_ml_per_kg.name, provenance="read"))
    return rows


def kidney_words(data, patient, name):
    """How a kidney's rule is reached, and which of two measures it takes."""
    if "clearance" not in name:
        return "5 mL/kg, at most " + setting_text(data, "contrast_cap_ml") + ", over creatinine in mg/dL"
    return ("creatinine clearance by weight (recalled formula), as the studies had it, and not the filtration rate; never above "
            + setting_text(data, "contrast_renal_red_ratio") + " times the clearance")


def left_words(made, ceiling):
    """A ceiling and what is left to it; once any is passed no row says what is left."""
    text = "ceiling " + show_named(ceiling, "limit_ml")
    if made["used_ml"] is None:
        return text + "; what is left is not known while the volume used is blank"
    if made["used_ml"] > ceiling:
        return text + "; passed by " + show_named(made["used_ml"] - ceiling, "ml")
    return text if made["passed"] else text + "; left " + show_named(ceiling - made["used_ml"], "limit_ml")


def label_rows(data, patient, made, row):
    """What the labels print, for the agent that was named, else for all."""
    rows = []
    if not setting(data, "contrast_ladder_from_years") <= patient["age_years"] < setting(data, "adult_from_years"):
        return rows
    for agent, dose, cap in LABELS:
        if patient.get("contrast_agent") not in (None, agent):
            continue
        ceiling = setting(data, dose) * made["weight_kg"]
        if cap:
            ceiling = min(ceiling, setting(data, cap))
        rows.append(row("Label, " + agent.replace("_", " "), ceiling, "ml", "at most " + show_named(ceiling, "limit_ml") + " by its label for children",
                        setting_text(data, dose) + (", at most " + setting_text(data, cap) if cap else ""), "", "", weakest_seen(data, [dose])))
    return rows


def contrast_words(made):
    """`used 28: left 99 mL to "think", 176 mL to the hard stop` for the ten lines, or what was passed."""
    valid = "" if not made["careful"] else ". Ladder not valid: least possible, think at " + show_input(made["think_ml"] / made["weight_kg"]) + " mL/kg"
    if made["used_ml"] is None:
        return ("used ?: " + show_named(made["think_ml"], "limit_ml") + " to “think”, " + show_named(made["hard_ml"], "limit_ml") + " to the hard stop" + valid)
    used = "used " + show_input(made["used_ml"])
    if made["earlier_ml"]:
        used += " (" + show_input(made["earlier_ml"]) + " of it in the 72 h before)"
    if made["passed"]:
        return used + ": " + "; ".join([name + " passed by " + show_named(over, "ml") for name, over in made["passed"]]) + valid
    if made["step"] == "hard_stop":
        return used + ": hard stop reached, no more"
    parts = []
    if made["used_ml"] < made["think_ml"]:
        parts.append("left " + show_named(made["think_ml"] - made["used_ml"], "limit_ml") + " to “think”")
    hard = show_named(made["hard_ml"] - made["used_ml"], "limit_ml")
    parts.append(("left " if not parts else "") + hard + " to the hard stop")
    name, ceiling = made["smallest"]
    if name != "hard stop":
        parts.insert(0, "left " + show_named(ceiling - made["used_ml"], "limit_ml") + " by " + name)
    words = used + ": " + ", ".join(parts)
    if made["careful"]:
        return words + valid
    return words + ("" if made["step"] == "within_labels" else ". " + STEP_WORDS[made["step"]][0].upper() + STEP_WORDS[made["step"]][1:])

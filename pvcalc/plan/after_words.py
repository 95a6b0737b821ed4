"""The part of the plan for the time after the balloon, in words: found, next, drug or surgeon, watch, visits, family."""

from pvcalc.core.units import show, show_input
from pvcalc.decision.vocabulary import name_words
from pvcalc.plan.after import pressure_words, step_words
from pvcalc.plan.contrast import contrast_words
from pvcalc.plan.settings import line, setting_text

HELP = {"done": "none for the valve", "accept": "none for the valve", "go_up_once": "none yet; measure first",
        "muscle_medicine": "beta-blocker by the sheet, from the trial dose, with volume and a pressor step; no answer: surgeon and ECMO",
        "surgeon": "the surgeon, before leaving the laboratory", "failing": "inotrope and pressor by the anaesthetist, ECMO early, no beta-blocker",
        "lungs": "none for the valve; lungs and branches first", "stop_tear": "surgeon, ECMO and blood at first suspicion; no more heparin",
        "unknown": "cannot be said before the pull-back is complete"}
IN_BLOCK = {"muscle_medicine": "volume and a pressor step, no beta-blocker in block; no answer: surgeon and ECMO"}
CARE = {"newborn": "newborn", "suprasystemic": "ventricle at or above systemic", "beta_blocker": "beta-blocker given", "heart_block": "complete block",
        "tear": "tear", "effusion": "effusion", "leak": "new leak", "failing": "failing ventricle", "muscle": "muscle below the valve"}
FAMILY = {
    "done": "The valve opens well. An echo before going home must show the same; visits stay for life, for a valve may leak more or narrow again.",
    "accept": "The valve opens better, but not fully. In published groups some of these fell by themselves and some were treated again; visits tell which.",
    "go_up_once": "The valve opens better, but not enough. It is measured again before anything more is done.",
    "muscle_medicine": "The valve was opened. The muscle below it still squeezes; that is treated with fluid and medicine, not with a larger balloon.",
    "surgeon": "The balloon was stopped. A surgeon looks at the heart with us; what comes next is told as soon as it is known.",
    "failing": "The right side of the heart is tired and is being helped. What comes next is told as soon as it is known.",
    "lungs": "The valve is open. The pressure is still high for another reason, which is looked for: lungs or lung arteries.",
    "stop_tear": "The balloon was stopped because of a possible injury. The team is treating it; what comes next is told as soon as it is known.",
    "unknown": "What was reached is not known yet; the measurements are completed first.",
}
ABANDONED = "The valve was not opened this time. Why, and what comes next, is told by the doctor who was there."


def or_blank(patient, name, words, text=None):
    """`words` with its value, or that it was not entered."""
    if name not in patient:
        return words + " not entered"
    value = patient[name]
    return words + " " + (text or (value.replace("_", " ") if isinstance(value, str) else show_input(value)))


def section_lines(data, patient, made):
    """Lines of the part; none before the balloon.

    Args:
        data: the handbook's data; patient: what was entered; made: the plan with `after`, `afterwards`, `contrast` and `follow_up`.
    """
    after = made["after"]
    if not after:
        return []
    found = [line(text) for text in (step_words(after) + ".", pressure_words(patient, after), leak_words(patient, after), done_words(patient, made["afterwards"]),
                                     complication_words(patient), contrast_line(patient, made["contrast"]))]
    return (found + [line(after["sentence"], "head", table="residual_newborn" if patient["newborn"] == "yes" else "residual_action"),
                     line("Drug or surgeon: " + help_words(patient, after, made["afterwards"]) + ".")]
            + beta_blocker_lines(data, patient) + [line(watch_words(data, made["afterwards"]))] + house_lines(made["visit_dates"], made["follow_up"][0])
            + family_lines(data, patient, after))


def leak_words(patient, after):
    """The leak now, against before."""
    words = or_blank(patient, "after_pulmonary_regurgitation", "Regurgitation")
    if "after_pulmonary_regurgitation" in patient:
        words += ", new or worse by a grade" if after["new_regurgitation"] != "none" else ""
        words += " (before " + patient.get("pulmonary_regurgitation", "not entered") + ")"
    return words + "."


def done_words(patient, record):
    """Balloon with its ratio, waist, inflations, and the state of the pressures."""
    if patient.get("after_performed") == "no":
        return "No balloon was filled across the valve: " + or_blank(patient, "after_abandoned_because", "reason") + "."
    balloon = or_blank(patient, "after_balloon_mm", "Balloon", show_input(patient.get("after_balloon_mm", 0)) + " mm")
    if record["ratio"] is not None:
        balloon += " = " + show(record["ratio"], 2) + " × " + show_input(record["annulus_mm"])
    times = patient.get("after_inflations_count")
    inflations = "Inflations not entered" if times is None else show_input(times) + (" inflation" if times == 1 else " inflations")
    return balloon + ". " + or_blank(patient, "after_waist", "Waist") + ". " + inflations + ". " + or_blank(patient, "after_catheter_state", "State of the pressures") + "."


def complication_words(patient):
    """What happened, each named, and each blank named as a blank."""
    return "Complications: " + "; ".join([or_blank(patient, name, words) for name, words in (
        ("after_tear", "tear"), ("after_effusion", "effusion"), ("after_heart_block", "heart block"), ("after_event_level", "worst event"))]) + "."


def contrast_line(patient, spent):
    """Contrast with its ceiling, or that it is not known."""
    if "contrast_used_ml" not in patient:
        return "Contrast not entered."
    return "Contrast " + (contrast_words(spent) if spent else "used " + show_input(patient["contrast_used_ml"]) + " mL") + "."


def help_words(patient, after, record):
    """Drug or surgeon, by what is next; block and a ventricle at systemic pressure add theirs."""
    block = patient.get("after_heart_block") == "complete"
    if patient.get("after_performed") == "no":
        return "by what made the attempt end" + ("; pacing at hand" if block else "")
    words = (IN_BLOCK if block else {}).get(after["word"], HELP[after["word"]])
    if record["suprasystemic"] and after["word"] not in ("surgeon", "stop_tear"):
        words += "; the ventricle is at or above systemic: the surgeon knows before leaving the laboratory"
    return words + ("; pacing at hand, no beta-blocker in block" if block and after["word"] not in IN_BLOCK else "; pacing at hand" if block else "")


def beta_blocker_lines(data, patient):
    """When a beta-blocker that was given is looked at again."""
    if patient.get("after_beta_blocker") != "yes":
        return []
    return [line("Beta-blocker: review after " + setting_text(data, "beta_blocker_review_days") + "; stop when the step below the valve is under "
                 + setting_text(data, "beta_blocker_stop_below_mmhg") + "; an infant is fed regularly.")]


def watch_words(data, record):
    """How long on the monitor, and why longer."""
    if record["high_care"]:
        return ("Monitor " + setting_text(data, "monitor_high_care_hours") + ", high care: " + ", ".join([CARE[code] for code in record["high_care"]])
                + ". Echo for fluid before the sheaths leave, and before discharge.")
    return "Monitor " + setting_text(data, "monitor_hours") + ". Echo for fluid before the sheaths leave, and before discharge."


def dated_words(dates):
    """The department's dated visits: `before discharge; first visit 1.5 months; …`."""
    return "House visits, to be signed: " + "; ".join([
        one["visit"] + (" " + show_input(one["months"]) + " months" if one["months"] else "") for one in dates]) + "."


def house_lines(dates, house):
    """The dated visits, then the department's own table by what is left."""
    return [line(dated_words(dates), table=house["table"]), line(interval_words(house), table=house["table"])]


def interval_words(house):
    """`Then every 12 months …`, or what the interval still needs."""
    if house["answer"] == "cannot_evaluate":
        return "The interval after them needs: " + " and ".join([name_words(name) for name in house["missing"]]) + "."
    return "Then " + house["advice"]


def family_lines(data, patient, after):
    """What the family hears, and when it rings."""
    told = ABANDONED if patient.get("after_performed") == "no" else FAMILY[after["word"]]
    return [line("Tell the family: " + told),
            line("They ring at once: fever from " + setting_text(data, "family_fever_c") + " after the first day, chest pain, faint, breathless, blue, "
                 "a swollen or cold leg, groin lump or bleeding, a fit or a weak arm.")]

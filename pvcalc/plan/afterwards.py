"""The time after the balloon beyond the pressures: what was done, how long to watch, and when to be seen again.

Records only; `after_words` says them. A blank stays blank.
"""

from pvcalc.decision.words import answer_words
from pvcalc.plan.documents import entry, evaluated, short_forms, why_of
from pvcalc.plan.settings import setting

HOUSE_VISITS = "visits_house"


def afterwards(data, patient, made):
    """What follows from the record of the time after the balloon.

    Args:
        data: the handbook's data; patient: the inputs; made: the plan so far with `after` (`after.after`), `sizing` and `contrast`.
    Returns None before the balloon, else a dict: `balloon_mm`, `annulus_mm`, `ratio` (None where one of them is not known),
    `high_care` (codes of the reasons, empty for the ordinary watch), `suprasystemic` (True or False).
    """
    after, annulus = made["after"], made["sizing"]["annulus"]
    if not after:
        return None
    balloon, width = patient.get("after_balloon_mm"), annulus["mm"] if annulus else None
    above = after["ratio"] is not None and after["ratio"] >= setting(data, "suprasystemic_ratio")
    return {"balloon_mm": balloon, "annulus_mm": width, "ratio": balloon / width if balloon and width else None,
            "suprasystemic": above, "high_care": high_care(patient, after, above)}


def high_care(patient, after, above):
    """Codes of everything that asks for the longer watch in high care."""
    reasons = [("newborn", patient["newborn"] == "yes"), ("suprasystemic", above), ("beta_blocker", patient.get("after_beta_blocker") == "yes"),
               ("heart_block", patient.get("after_heart_block") == "complete"), ("tear", patient.get("after_tear") == "yes"),
               ("effusion", patient.get("after_effusion") == "yes"), ("leak", after["new_regurgitation"] in ("moderate", "severe")),
               ("failing", after["word"] == "failing"), ("muscle", after["word"] == "muscle_medicine")]
    return [code for code, holds in reasons if holds]


def house_visits(data, patient, after):
    """The department's own answer to when the next visits are, beyond the dated ones; by what is left, not by what was before."""
    known = {"treated_before": "yes", "newborn": patient["newborn"], "age_years": patient["age_years"]}
    if "after_pulmonary_regurgitation" in patient:
        known["after_pulmonary_regurgitation"] = patient["after_pulmonary_regurgitation"]
    if after and after["valve_mmhg"] is not None:
        known["after_valve_gradient_mmhg"] = after["valve_mmhg"]
    known["short_forms"] = short_forms(known)
    table = data["tables"][HOUSE_VISITS]
    report = evaluated(table, known, None)
    made = entry(table, report, report["answer"], answer_words(report["answer"]), why_of(table, report, known))
    made["missing"] = report["missing"]
    return made


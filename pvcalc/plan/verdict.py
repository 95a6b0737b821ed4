"""The plan's judgement in single words, for whoever holds it against an expert's."""

from pvcalc.plan.documents import treat_answer, treat_counts


def verdict(made, pressure, dose_rule):
    """The record of one plan's judgement.

    Args:
        made: the plan so far; pressure: `severe`, `not_severe` or `unknown` for the right ventricle's own pressure; dose_rule:
            whose doses count in arrest.
    Returns a dict: `grade`, `confirmed`, `documents_differ`, `rv_pressure`, `doubts` and `fit` (codes), `treat` (counts of
    current documents), `treat_answer`, `balloon_mm` (diameters, empty without a proposal), `stop` (codes), `redirect`, `contrast_step` (`unknown` while the weight is blank or in question),
    `dose_rule`, `stage`, `after`.
    """
    head, size = made["head"], made["sizing"]
    return {"grade": head["grade"], "confirmed": head["confirmed"], "documents_differ": head["documents_differ"], "rv_pressure": pressure,
            "doubts": head["doubts"], "fit": distinct([one["code"] for one in made["fit"]]), "treat": treat_counts(made["treat"]),
            "treat_answer": treat_answer(made["treat"], made["surgery"]),
            "balloon_mm": size["proposed"]["balloons_mm"] if size["proposed"] and (not made["after"] or made["after"]["word"] == "go_up_once") else [], "stop": distinct([code for code, _ in made["stops"]]),
            "redirect": made["redirect"], "contrast_step": made["contrast"]["step"] if made["contrast"] else "unknown",
            "dose_rule": dose_rule or "unknown", "stage": "after" if made["after"] else "before", "after": made["after"]["word"] if made["after"] else "unknown"}


def distinct(codes):
    """Each code once, in order."""
    kept = []
    for code in codes:
        if code not in kept:
            kept.append(code)
    return kept

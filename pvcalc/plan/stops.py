"""What stops the plan from proposing a balloon, and where a patient belongs who is not one for the plan.

A stop is a code and a sentence. It stands above every size; after it no row calls a balloon a target.
"""

from pvcalc.core.units import show, show_named
from pvcalc.plan.settings import setting

NOT_FOR_THE_PLAN = "This is not a case for the plan"
# Advice that stands among the codes and stops nothing.
ADVICE_CODES = ("dysplastic_team",)


LEAKS, NOT_FOR = "follow-up#ten-years-later-the-valve-leaks-which-thresholds-apply", "special#what-is-this-handbook-not-for"


def redirect(patient):
    """(where to, sentence, chapter with its heading) for a patient whose numbers the plan's tables do not mean.

    Where to is `follow_up`, `surgery_team`, or `none` with two blanks.
    """
    earlier = patient.get("earlier_treatment")
    if earlier == "tetralogy_repair":
        return "follow_up", (NOT_FOR_THE_PLAN + ": a repaired tetralogy has documents and tables of its own; go to follow-up, and to the team that knows "
                             "the operation."), LEAKS
    if earlier == "outflow_stent":
        return "surgery_team", NOT_FOR_THE_PLAN + ": a stented outflow is sized and treated as a stent; take it to the valve team with the operation note.", NOT_FOR
    late = patient.get("treated_before") == "yes" or earlier in ("balloon", "surgical_valvotomy", "other")
    if late and patient.get("pulmonary_regurgitation") in ("moderate", "severe"):
        return "follow_up", (NOT_FOR_THE_PLAN + ": a treated valve that leaks (" + patient["pulmonary_regurgitation"] + ") is followed, with magnetic "
                             "resonance of the ventricle; go to follow-up, which says when a valve is discussed."), LEAKS
    return "none", "", ""


def stops(data, patient, values, spent=None):
    """(code, sentence) of everything that stops a proposal before any size is looked at, the advice among it.

    Args:
        data: the handbook's data; patient: the inputs; values: what was derived; spent: the record of contrast, or None.
    """
    found = []
    for question in patient["questions"]:
        found.append(("weight_question", "No size, no dose: " + question))
    where, sentence, _ = redirect(patient)
    if where != "none":
        found.append(("not_for_plan", sentence))
    if patient.get("pregnant") == "yes":
        found.append(("pregnancy_ask", "Pregnant: stop and ask. Obstetric and valve team first; a balloon is for symptoms or a failing ventricle that drugs "
                      "do not hold, after organogenesis, best in the second trimester, with the abdomen out of the beam. The gradient holds the flow of pregnancy."))
    if patient.get("pulmonary_regurgitation") == "severe" and where == "none":
        found.append(("severe_regurgitation", "Severe regurgitation before any balloon: stop and ask the valve team. Was it treated before, is the valve absent "
                      "or torn? A balloon makes it worse."))
    if spent and spent["step"] == "hard_stop":
        found.append(("contrast_hard_stop", "Contrast: hard stop at " + show_named(spent["hard_ml"], "limit_ml") + "; no more contrast, and no balloon that needs it."))
    if muscle_only(data, values):
        found.append(("muscle_only", "The step is below the valve: no balloon for it. Valve " + show(values["valve_gradient_mmhg"], 0) + " mmHg, muscle "
                      + show(values["subvalve_gradient_mmhg"], 0) + " mmHg; fill, no inotrope for it, beta-blocker by the drug sheet."))
    if patient.get("valve") == "dysplastic":
        found.append(("dysplastic_team", "A dysplastic valve: the ratio does not rescue it. Surgeon and valve team know before the case; one balloon, high pressure, "
                      "then stop."))
    return found


def muscle_only(data, values):
    """True when the step at the valve is one that is called done, and a step stands below it."""
    valve, below = values["valve_gradient_mmhg"], values["subvalve_gradient_mmhg"]
    return (None not in (valve, below) and valve < setting(data, "residual_stop_below_mmhg")
            and below >= setting(data, "infundibular_small_below_mmhg"))


def blocking(found):
    """The stops that leave no proposal."""
    return [(code, sentence) for code, sentence in found if code not in ADVICE_CODES]


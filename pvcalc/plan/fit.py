"""What does not fit what: every pair of values that contradict each other, with the likely reason, before any grade.

Each finding is a code and a sentence. Nothing is mended here, and no value is preferred: the reader measures again.
"""

from pvcalc.core.units import show, show_input, show_named
from pvcalc.decision.conditions import HAIR
from pvcalc.plan import reading
from pvcalc.plan.derived import disagree
from pvcalc.plan.reading import open_to_the_aorta
from pvcalc.plan.settings import setting
from pvcalc.plan.sizing import measured_words

FITS = "Nothing that was entered contradicts anything else that was entered."
DOPPLER_CODES = ("doppler_above_rv", "doppler_above_catheter", "doppler_below_catheter")


def misfits(data, patient, parts, known):
    """(code, sentence) of everything that does not fit, in reading order.

    Args:
        data: the handbook's data; patient: the inputs; parts: what was derived; known: what `plan_reading.reading` made of both.
    """
    return (doppler_misfits(data, patient, parts.values) + pressure_misfits(data, patient, parts, known) + level_misfits(data, patient, parts.values)
            + flow_misfits(data, patient) + size_misfits(data, patient))


def doppler_misfits(data, patient, values):
    """The Doppler peak against the ventricle's own pressure and against the catheter's step with the pulse of the lung artery."""
    peak, margin = values["doppler_peak_mmhg"], setting(data, "fit_margin_mmhg")
    body, step = patient.get("rv_systolic_mmhg"), patient.get("catheter_peak_to_peak_mmhg")
    top, foot = patient.get("pa_systolic_mmhg"), patient.get("pa_diastolic_mmhg")
    found = velocity_misfits(patient)
    if None not in (step, body, top) and step > body - top + margin:
        found.append(("step_disagrees", "A peak-to-peak of " + show_input(step) + " is more than right ventricle less pulmonary artery, which leaves "
                      + show(body - top, 0) + ": peaks of two moments, or typed wrongly."))
    if peak is None:
        return found
    if body is not None and peak > body - (foot or 0) + margin:
        found.append(("doppler_above_rv", "Doppler " + show(peak, 0) + " is more than the ventricle's own systolic " + show_input(body)
                      + " allows" + ("" if foot is None else " above a lung artery of " + show_input(foot)) + ": not from the same moment. Likely: "
                      "awake against sedated, or a jet of another level; measure both together."))
    if step is None:
        return found
    pulse = top - foot if None not in (top, foot) else setting(data, "pa_high_above_mmhg")
    if peak > step + pulse + margin:
        found.append(("doppler_above_catheter", "Doppler " + show(peak, 0) + " is far above the catheter's peak-to-peak " + show_input(step)
                      + " with the pulse of the lung artery (" + show(pulse, 0) + "): sedation, a second level, a damped or badly zeroed trace?"))
    if peak < step - margin:
        found.append(("doppler_below_catheter", "Doppler " + show(peak, 0) + " is below the catheter's peak-to-peak " + show_input(step)
                      + ": the jet was missed or cut at an angle, or the catheter took in a step below the valve."))
    return found


def velocity_misfits(patient):
    """A velocity and a peak gradient that cannot be of one trace."""
    velocity, peak = patient.get("doppler_velocity_m_s"), patient.get("doppler_peak_mmhg")
    if velocity is None or peak is None or not disagree(velocity, peak):
        return []
    own = 4 * velocity * velocity
    kilo = abs(own - peak * 7.50062) <= 0.8 * velocity + 1
    return [("jet_disagrees", "Velocity " + show_input(velocity) + " m/s gives " + show(own, 0) + " mmHg, the peak Doppler gradient was typed as " + show_input(peak)
             + " mmHg: two traces, or a slip" + (" of the unit (" + show_input(peak) + " kPa is " + show(peak * 7.50062, 0) + " mmHg)" if kilo else "") + "?")]


def pressure_misfits(data, patient, parts, known):
    """The tricuspid jet, the lung artery, and a ratio that a low systemic pressure inflates."""
    found, values = [], parts.values
    body, estimate = patient.get("rv_systolic_mmhg"), parts.jet_estimate_mmhg
    if None not in (body, estimate) and abs(estimate - body) > setting(data, "jet_apart_percent") / 100 * body:
        found.append(("jet_disagrees", "The tricuspid jet gives " + show(estimate, 0) + " mmHg, the measured right ventricular pressure is "
                      + show_input(body) + " mmHg: sedation, angle or zero line?"))
    artery = values["pa_systolic_mmhg"]
    if artery is not None and artery > setting(data, "pa_high_above_mmhg"):
        found.append(("pa_pressure_high", "Pulmonary artery systolic pressure " + show(artery, 0) + " mmHg is high (above "
                      + show_input(setting(data, "pa_high_above_mmhg")) + "): shunt, branch stenosis or raised lung resistance; opening the valve will not lower it."))
    if reading.pressure_word(data, known)[1]:
        found.append(("ratio_inflated", "Systemic " + show_input(patient["systemic_systolic_mmhg"]) + " mmHg is low (below " + known["systemic_words"]
                      + "): ratio inflated by low systemic pressure: use mmHg."))
    return found


def level_misfits(data, patient, values):
    """Steps that are not at the valve."""
    found, step = [], values["subvalve_gradient_mmhg"]
    small = setting(data, "infundibular_small_below_mmhg")
    if step is not None and step >= small:
        found.append(("step_below_valve", "A step of " + show(step, 0) + " mmHg stands below the valve: muscle. The Doppler peak and the total belong "
                      "to both levels; no balloon for that step."))
    elif step is None and "catheter_peak_to_peak_mmhg" in patient and "pa_systolic_mmhg" in patient and "rv_systolic_mmhg" in patient:
        rest = patient["rv_systolic_mmhg"] - patient["pa_systolic_mmhg"] - patient["catheter_peak_to_peak_mmhg"]
        if rest >= small:
            found.append(("step_below_valve", "Right ventricle less pulmonary artery leaves " + show(rest, 0) + " mmHg that the peak-to-peak "
                          + show_input(patient["catheter_peak_to_peak_mmhg"]) + " does not explain: is there a second level? Pull back in two steps."))
    above = [words for name, words in (("supravalvar_narrowing", "narrowing above the valve"), ("branch_stenosis", "branch stenosis")) if patient.get(name) == "yes"]
    if above:
        found.append(("step_above_valve", "There is " + " and ".join(above) + ": pull back from beyond it; the gradient and the ventricle's pressure belong to all levels."))
    if patient.get("pulmonary_regurgitation") in ("moderate", "severe"):
        found.append(("regurgitation_before_balloon", "Pulmonary regurgitation is " + patient["pulmonary_regurgitation"] + " before any balloon: was the valve treated "
                      "before, or is it absent or torn? It raises the flow and with it the gradient, and a balloon makes it worse."))
    return found


def flow_misfits(data, patient):
    """A low saturation without a way for the blood."""
    saturation = patient.get("saturation_percent")
    if saturation is None or saturation >= setting(data, "desaturated_below_percent") or open_to_the_aorta(patient):
        return []
    if patient.get("atrial_gap") in ("none", "left_to_right") and patient.get("septal_defect") != "yes":
        return [("saturation_unexplained", "Saturation " + show_input(saturation) + " % is low and no flow from right to left was entered: lungs, airway, or a gap that was missed?")]
    return []


def size_misfits(data, patient):
    """Weight against height, measurements of the ring against each other and against what gave their scale, gradients that may be in kPa."""
    found = [("weight_height", question) for question in patient["questions"]]
    entries = patient.get("annulus") or []
    apart, words = widest_difference(entries)
    if apart is not None and apart > setting(data, "annulus_disagreement_percent") * (1 + HAIR):
        found.append(("annuli_differ", "Two measurements of the annulus differ by " + show(apart, 0) + " % (" + words + "): measure both again in one named frame."))
    for entry in entries:
        if entry["frame"] == "not_stated":
            found.append(("frame_not_stated", "Annulus " + measured_words(entry) + ": without its frame it sizes nothing."))
        if entry["calibration"] in ("clear_catheter_shaft", "contrast_filled_shaft"):
            found.append(("shaft_ruler", "Annulus " + measured_words(entry) + ": the ruler is a shaft, and a shaft reads the ring too wide; calibrate again on a marker or a sphere."))
    return found + kilopascals(data, patient)


def after_misfits(data, patient):
    """A high lung artery after the balloon."""
    artery = patient.get("after_pa_systolic_mmhg")
    if artery is None or artery <= setting(data, "pa_high_above_mmhg") or "pa_systolic_mmhg" in patient and patient["pa_systolic_mmhg"] > setting(data, "pa_high_above_mmhg"):
        return []
    return [("pa_pressure_high", "PA " + show_input(artery) + " mmHg after the balloon is high (above " + show_input(setting(data, "pa_high_above_mmhg"))
             + "): lungs, branches, airway, carbon dioxide, clot; a balloon at the valve does not lower it.")]


def contrast_misfits(spent):
    """Contrast that has passed a ceiling, at any age."""
    if not spent or not spent["passed"]:
        return []
    return [("contrast_passed", "Contrast " + show_input(spent["used_ml"]) + " mL: " + "; ".join([name + " passed by " + show_named(over, "ml") for name, over in spent["passed"]])
             + ". Kidneys and thyroid are watched; what follows is decided by the consultant.")]


def widest_difference(entries):
    """(per cent of the smaller, words) between two measurements of one frame; where none share a frame, between any that state one."""
    best, words = None, ""
    for same in (True, False):
        for place, one in enumerate(entries):
            for other in entries[place + 1:]:
                if "not_stated" in (one["frame"], other["frame"]) or (same and one["frame"] != other["frame"]):
                    continue
                apart = abs(one["mm"] - other["mm"]) / min(one["mm"], other["mm"]) * 100
                if best is None or apart > best:
                    best, words = apart, show_input(one["mm"]) + " and " + show_input(other["mm"]) + " mm" + ("" if same else ", not in one frame")
        if best is not None:
            break
    return best, words


def kilopascals(data, patient):
    """A gradient so low that it may have been typed in kPa; a velocity of the same trace answers it."""
    if patient.get("checked") or "doppler_velocity_m_s" in patient:
        return []
    limit = setting(data, "kpa_question_below_mmhg")
    return [("kilopascals", "The " + words + " of " + show_input(patient[name]) + " mmHg is very low for a valve that is planned for: was it typed in kPa ("
             + show(patient[name] * 7.50062, 0) + " mmHg)? No headline until it is looked at again.")
            for name, words in (("doppler_peak_mmhg", "peak Doppler gradient"), ("rv_systolic_mmhg", "right ventricular systolic pressure"))
            if name in patient and patient[name] < limit]

"""Pressures, flows and areas that follow from what was measured; each kind of gradient keeps its own name."""

from pvcalc.core.units import show, show_input, show_named
from pvcalc.decision.vocabulary import name_words
from pvcalc.formulas.flow import cardiac_index_l_min_m2, stroke_volume_ml
from pvcalc.formulas.pressure_gradient import (
    bernoulli_gradient_mmhg, pa_systolic_pressure_mmhg, rv_systemic_ratio, rv_systolic_pressure_mmhg,
)
from pvcalc.formulas.valve_area import gorlin_area_cm2, valve_area_index_cm2_m2, valve_resistance_dyn_s_cm5
from pvcalc.plan.settings import computed, line, setting
from pvcalc.plan.sizing import surface

# What `derived` holds, in the order it is shown; None where it could not be computed.
NAMES = ["doppler_peak_mmhg", "rv_systolic_mmhg", "rv_systemic_ratio", "pa_systolic_mmhg", "valve_gradient_mmhg",
         "subvalve_gradient_mmhg", "unexplained_mmhg", "body_surface_m2", "cardiac_index_l_min_m2", "qp_qs_ratio", "stroke_volume_ml",
         "valve_area_cm2", "valve_area_index_cm2_m2", "valve_resistance_dyn_s_cm5"]


class Parts:
    """What was derived, the lines that show it, what is missing and what to be warned of."""

    def __init__(self):
        self.values = {name: None for name in NAMES}
        self.lines = []
        self.missing = []
        self.warnings = []
        self.jet_estimate_mmhg = None  # right ventricular pressure by the tricuspid jet, beside a measured one

    def put(self, name, value, text, made=None, note=""):
        """Keep a value with its line; `text` says what it was computed from."""
        if value is None:
            return
        self.values[name] = value
        shown = show(value, 2) if name.endswith("_ratio") else show_named(value, name)
        self.lines.append(line(text[0].upper() + text[1:] + ": " + shown + "." + (" " + note if note else ""),
                               formula=made.name if made else "", seen=made.seen if made else "", chapter="assessment"))


def derived(data, patient):
    """Everything that follows from the measurements.

    Returns Parts.
    """
    parts = Parts()
    pressures(data, patient, parts)
    levels(patient, parts)
    flows(patient, parts)
    areas(patient, parts)
    return parts


def pressures(data, patient, parts):
    """Peak Doppler gradient, right ventricular pressure, its ratio to systemic, pulmonary artery pressure."""
    velocity = patient.get("doppler_velocity_m_s")
    if "doppler_peak_mmhg" in patient and velocity is not None and disagree(velocity, patient["doppler_peak_mmhg"]):
        # Never averaged, and a severe reading is never hidden: the higher one is graded, and said not to be confirmed.
        parts.put("doppler_peak_mmhg", max(patient["doppler_peak_mmhg"], 4 * velocity * velocity), "peak Doppler gradient, the higher of two that disagree")
    elif "doppler_peak_mmhg" in patient:
        parts.put("doppler_peak_mmhg", patient["doppler_peak_mmhg"], "peak Doppler gradient, as given")
    elif velocity is not None:
        peak, fault = computed(bernoulli_gradient_mmhg, velocity_m_s=velocity)
        low, high = [4 * (velocity + side) * (velocity + side) for side in (-setting(data, "velocity_window_m_s"), setting(data, "velocity_window_m_s"))]
        parts.put("doppler_peak_mmhg", peak, "peak Doppler gradient from " + show_input(velocity) + " m/s", bernoulli_gradient_mmhg,
                  "The velocity's own error makes that " + show(low, 1) + " to " + show(high, 1) + " mmHg. Doppler peak, not catheter peak-to-peak.")
    right_ventricle(patient, parts)
    pressure = parts.values["rv_systolic_mmhg"]
    if pressure is not None and "systemic_systolic_mmhg" in patient:
        ratio, fault = computed(rv_systemic_ratio, rv_systolic_mmhg=pressure, systemic_systolic_mmhg=patient["systemic_systolic_mmhg"])
        parts.put("rv_systemic_ratio", ratio, "right ventricular over systemic systolic pressure, " + show(pressure, 0) + " over "
                  + show_input(patient["systemic_systolic_mmhg"]) + " mmHg", rv_systemic_ratio,
                  "Both under the same sedation; low systemic pressure under anaesthesia inflates it.")
    elif pressure is not None:
        parts.missing.append("systemic systolic pressure, for the ratio of the right ventricle to it")
    pulmonary_artery(patient, parts)


def disagree(velocity, peak):
    """True when a velocity and a peak gradient cannot be of one trace: rounding of a velocity makes 0.1 m/s of it, and 1 mmHg more."""
    return abs(4 * velocity * velocity - peak) > 0.8 * velocity + 1


def right_ventricle(patient, parts):
    """Measured pressure, else from the tricuspid jet and a measured or chosen right atrial pressure."""
    jet, atrium = patient.get("tr_velocity_m_s"), patient.get("ra_pressure_mmhg")
    estimate = None
    if jet is not None and atrium is not None and patient.get("tricuspid_regurgitation") != "severe":
        estimate = computed(rv_systolic_pressure_mmhg, tr_velocity_m_s=jet, ra_pressure_mmhg=atrium)[0]
    parts.jet_estimate_mmhg = estimate
    if "rv_systolic_mmhg" in patient:
        parts.put("rv_systolic_mmhg", patient["rv_systolic_mmhg"], "right ventricular systolic pressure, as given")
        return
    if estimate is not None:
        parts.put("rv_systolic_mmhg", estimate, "right ventricular systolic pressure from the tricuspid jet of " + show_input(jet)
                  + " m/s and a right atrial pressure of " + show_input(atrium) + " mmHg", rv_systolic_pressure_mmhg,
                  "An estimate: in everyday practice from half below to two thirds above the measured pressure.")
        return
    if jet is not None and patient.get("tricuspid_regurgitation") == "severe":
        parts.missing.append("a measured right ventricular pressure; free tricuspid regurgitation makes the jet slow whatever the pressure")
    elif jet is not None:
        parts.missing.append("right atrial pressure, for the right ventricular pressure from the tricuspid jet")
    else:
        parts.missing.append("right ventricular systolic pressure (measured, or tricuspid jet with right atrial pressure)")


def pulmonary_artery(patient, parts):
    """Pulmonary artery systolic pressure: measured, else by definition of the peak-to-peak gradient."""
    step, ventricle = patient.get("catheter_peak_to_peak_mmhg"), patient.get("rv_systolic_mmhg")
    if "pa_systolic_mmhg" in patient:
        parts.put("pa_systolic_mmhg", patient["pa_systolic_mmhg"], "pulmonary artery systolic pressure, as given")
        return
    if step is None or ventricle is None:
        return
    value, fault = computed(pa_systolic_pressure_mmhg, rv_systolic_mmhg=ventricle, gradient_mmhg=step, gradient_kind="peak_to_peak")
    if value is None:
        parts.warnings.append(fault)
    parts.put("pa_systolic_mmhg", value, "pulmonary artery systolic pressure, right ventricle less the catheter peak-to-peak gradient",
              pa_systolic_pressure_mmhg)


def levels(patient, parts):
    """The step at the valve, the step below it, and what of the ventricle's pressure the valve leaves unexplained."""
    body, below, artery = [patient.get(name) for name in ("rv_systolic_mmhg", "rvot_systolic_mmhg", "pa_systolic_mmhg")]
    step, words = patient.get("catheter_peak_to_peak_mmhg"), "catheter peak-to-peak gradient"
    if below is not None and artery is None and None not in (step, body) and step > below:
        artery = body - step  # more than the pressure below the valve: the step was taken from the body of the ventricle
    if below is not None and artery is not None:
        step, words = below - artery, "just below the valve less pulmonary artery"
    if step is not None:
        parts.put("valve_gradient_mmhg", step, "step at the valve, " + words)
    if below is not None and body is not None:
        parts.put("subvalve_gradient_mmhg", body - below, "step below the valve, body of the ventricle less the pressure just below the valve")
    if step is None:
        step, words = parts.values["doppler_peak_mmhg"], "peak Doppler gradient"
    pressure = parts.values["rv_systolic_mmhg"]
    if pressure is not None and step is not None:
        parts.put("unexplained_mmhg", pressure - step, "right ventricular systolic pressure less the " + words, note="That much is left to muscle, lung artery or branches.")


def flow_of(patient):
    """The flow across the valve in L/min, or None: with a shunt the systemic output is another flow."""
    if "lung_flow_l_min" in patient:
        return patient["lung_flow_l_min"]
    shunted = patient.get("septal_defect") == "yes" or patient.get("atrial_gap") in ("left_to_right", "right_to_left")
    return None if shunted else patient.get("output_l_min")


def flows(patient, parts):
    """Body surface, output for it, stroke volume."""
    area = surface(patient)
    if area is not None:
        from_words = "body surface by Haycock from " + show_input(patient["height_cm"]) + " cm and " + show_input(patient["weight_kg"]) + " kg"
        parts.values["body_surface_m2"] = area
        parts.lines.append(line(from_words[0].upper() + from_words[1:] + ": " + show_named(area, "body_surface_m2") + ".",
                                formula="body_surface_m2", seen="read", chapter="sizing"))
    elif patient["questions"]:
        parts.missing.append("an answer to the question about age, height and weight, for the body surface")
    else:
        lacking = [name for name in ("height_cm", "weight_kg") if name not in patient]
        parts.missing.append(" and ".join([name.partition("_")[0] for name in lacking]) + ", for the body surface")
    output, rate = patient.get("output_l_min"), patient.get("heart_rate_bpm")
    if output is None:
        return
    if area is not None:
        index, _ = computed(cardiac_index_l_min_m2, output_l_min=output, body_surface_m2=area)
        about = "cardiac index, about (oxygen uptake assumed)" if patient.get("oxygen_uptake") == "assumed" else "cardiac index"
        parts.put("cardiac_index_l_min_m2", index, about, cardiac_index_l_min_m2)
    if "lung_flow_l_min" in patient:
        parts.put("qp_qs_ratio", patient["lung_flow_l_min"] / output, "lung flow over systemic output")
    if rate is None:
        parts.missing.append("heart rate, for the stroke volume")
        return
    volume, _ = computed(stroke_volume_ml, output_l_min=output, heart_rate_bpm=rate)
    parts.put("stroke_volume_ml", volume, "stroke volume", stroke_volume_ml)


def areas(patient, parts):
    """Valve area by Gorlin and resistance, when the flow across the valve and the ejection period are known."""
    flow, mean = flow_of(patient), patient.get("catheter_mean_mmhg")
    if flow is None:
        if mean is not None or "output_l_min" in patient:
            parts.missing.append("the flow across the valve, for its area" + (
                ": with a shunt it is the lung flow and not the systemic output" if "output_l_min" in patient else ""))
        return
    if patient.get("duct") != "closed" or patient.get("aortopulmonary_shunt") == "yes":
        parts.missing.append("a valve area: with a duct or shunt that is open or not stated, no flow here is the flow across the valve")
        return
    lacking = [name for name in ("catheter_mean_mmhg", "heart_rate_bpm", "ejection_period_s") if name not in patient]
    if lacking:
        parts.missing.append(" and ".join([name_words(name) for name in lacking]) + ", for the valve area and resistance")
        return
    if patient.get("pulmonary_regurgitation") in ("moderate", "severe"):
        parts.warnings.append("With " + patient["pulmonary_regurgitation"] + " pulmonary regurgitation the area from net flow is too small.")
    given = {"mean_gradient_mmhg": mean, "transvalvar_flow_l_min": flow, "heart_rate_bpm": patient["heart_rate_bpm"],
             "ejection_period_s": patient["ejection_period_s"]}
    area, fault = computed(gorlin_area_cm2, **given)
    if area is None:
        parts.missing.append("a valve area: " + fault)
    parts.put("valve_area_cm2", area, "valve area by Gorlin, from " + show_input(flow) + " L/min across the valve and a catheter mean gradient of "
              + show_input(mean) + " mmHg", gorlin_area_cm2, "No document grades this valve by its area.")
    if area is not None and parts.values["body_surface_m2"] is not None:
        index, _ = computed(valve_area_index_cm2_m2, area_cm2=area, body_surface_m2=parts.values["body_surface_m2"])
        parts.put("valve_area_index_cm2_m2", index, "valve area for the body surface", valve_area_index_cm2_m2)
    value, _ = computed(valve_resistance_dyn_s_cm5, **given)
    parts.put("valve_resistance_dyn_s_cm5", value, "valve resistance", valve_resistance_dyn_s_cm5)

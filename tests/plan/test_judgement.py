"""The judgement of the plan on invented patients: headline grade, what fits what, pressures, flow; each edge from both sides.

Words and numbers come from the department's rules as they are written down, not from the plan.
"""

import json

import pytest

from pvcalc.handbook.engine import needs
from pvcalc.plan import case, words

GRADES = ["mild", "moderate", "severe"]


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


@pytest.fixture
def made(data):
    """`made(age_years=7, …)` computes a plan."""
    return lambda **inputs: case.plan(data, inputs)


@pytest.fixture
def judged(made):
    """The verdict of `made`."""
    return lambda **inputs: made(**inputs)["verdict"]


# An adult and a child with a gradient in the mild range and nothing against it.
ADULT = {"age_years": 40, "doppler_peak_mmhg": 30, "doppler_mean_mmhg": 15, "rv_function": "normal"}
CHILD = {"age_years": 8, "doppler_peak_mmhg": 30, "rv_function": "normal"}
BODY = {"height_cm": 127, "weight_kg": 25.5}  # 0.94 m²


@pytest.mark.parametrize("patient, grade", [(ADULT, "mild"), (CHILD, "mild"), ({**ADULT, "doppler_peak_mmhg": 50}, "moderate"), ({**CHILD, "doppler_peak_mmhg": 50}, "moderate"),
                                            ({**ADULT, "doppler_peak_mmhg": 65}, "severe"), ({**CHILD, "doppler_peak_mmhg": 61}, "severe")])
def test_a_grade_heads_when_nothing_speaks_against_it(made, patient, grade):
    found = made(**patient)
    assert found["verdict"]["grade"] == grade and found["headline"].startswith(grade.upper() + " by Doppler ") and found["verdict"]["confirmed"] == "yes"
    assert found["headline"].endswith("Flow not measured.")


# Each reason by itself, one step on either side of its line.
REASONS = [
    ("rv_function_not_normal", {"rv_function": "reduced"}, {"rv_function": "normal"}), ("rv_function_not_normal", {"rv_function": "falling"}, {}),
    ("rv_function_not_stated", {"rv_function": None}, {}), ("tricuspid_severe", {"tricuspid_regurgitation": "severe"}, {"tricuspid_regurgitation": "moderate"}),
    ("ra_high", {"ra_pressure_mmhg": 8}, {"ra_pressure_mmhg": 7.9}), ("inotrope", {"inotrope": "yes"}, {"inotrope": "no"}),
    ("right_to_left_desaturated", {"atrial_gap": "right_to_left", "saturation_percent": 91.9}, {"atrial_gap": "right_to_left", "saturation_percent": 92}),
    ("right_to_left_desaturated", {"atrial_gap": "right_to_left", "saturation_percent": 85}, {"atrial_gap": "left_to_right", "saturation_percent": 91}),
    ("anaesthesia_only", {"doppler_state": "anaesthesia"}, {"doppler_state": "sedated"}),
    ("pressure_unexplained", {"rv_systolic_mmhg": 60.1}, {"rv_systolic_mmhg": 60}),
    ("ratio_two_thirds", {"rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 90}, {"rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 90.1}),
]


@pytest.mark.parametrize("code, against, beside", REASONS)
@pytest.mark.parametrize("patient", [ADULT, CHILD])
@pytest.mark.parametrize("peak", [30, 50])
def test_any_one_reason_takes_a_mild_or_moderate_grade_out_of_the_headline(made, patient, peak, code, against, beside):
    shift = peak - 30  # a ventricle as much higher as the gradient, so that the rest stays what it was
    if code == "ratio_two_thirds" and shift:
        against, beside = [{"rv_systolic_mmhg": 70, "systemic_systolic_mmhg": value} for value in (105, 105.1)]
    elif "rv_systolic_mmhg" in against:
        against, beside = [{name: value + shift for name, value in one.items()} for one in (against, beside)]
    patient = {**patient, "doppler_peak_mmhg": peak}
    hidden = made(**{name: value for name, value in {**patient, **against}.items() if value is not None})
    assert hidden["verdict"]["grade"] == "none" and code in hidden["verdict"]["doubts"] and hidden["verdict"]["confirmed"] == "no"
    assert hidden["headline"].startswith("NO HEADLINE GRADE: Doppler " + str(peak)) and "do not read it as mild" in hidden["headline"]
    own = [one["answer"] for one in hidden["grade"][1:]]
    assert ("mild" if peak == 30 else "moderate") in own, "each document's own grade stands below"
    shown = made(**{**patient, **beside})
    assert shown["verdict"]["grade"] == ("mild" if peak == 30 else "moderate") and code not in shown["verdict"]["doubts"]


@pytest.mark.parametrize("code, against, beside", REASONS)
@pytest.mark.parametrize("patient", [ADULT, CHILD])
def test_no_reason_hides_a_severe_grade(judged, patient, code, against, beside):
    given = {name: value for name, value in {**patient, "doppler_peak_mmhg": 90, "doppler_mean_mmhg": 50, **against}.items() if value is not None}
    given.pop("rv_systolic_mmhg", None)  # a ventricle of 60 would contradict a Doppler of 90; that is another rule
    assert judged(**given)["grade"] == "severe"


def test_the_three_patients_who_lost_their_grade_have_it_back(made):
    adult = made(age_years=30, doppler_velocity_m_s=5.2, doppler_mean_mmhg=65, rv_systolic_mmhg=124, systemic_systolic_mmhg=110, rv_function="normal")
    girl = made(age_years=10, doppler_velocity_m_s=5.2, rv_systolic_mmhg=125, systemic_systolic_mmhg=100, rv_function="normal")
    boy = made(age_years=7, doppler_peak_mmhg=85, rv_systolic_mmhg=95, systemic_systolic_mmhg=97, rv_function="normal")
    for found in (adult, girl, boy):
        assert (found["verdict"]["grade"], found["verdict"]["confirmed"], found["verdict"]["rv_pressure"]) == ("severe", "yes", "severe")
        assert found["headline"].startswith("SEVERE") and "duct" not in found["headline"], "no advice of the newborn for a grown patient"
        assert "RIGHT VENTRICULAR PRESSURE is severe (RV " in found["pressure"] and "The ratio does not show the cause" in found["pressure"]


def test_the_failing_ventricle_is_not_called_mild_in_bold(made):
    found = made(age_years=62, height_cm=170, weight_kg=70, doppler_peak_mmhg=30, doppler_mean_mmhg=16, rv_function="falling", tricuspid_regurgitation="severe",
                 output_l_min=2.35, saturation_percent=86, atrial_gap="right_to_left")
    assert found["verdict"]["grade"] == "none"
    assert {"rv_function_not_normal", "tricuspid_severe", "low_flow", "right_to_left_desaturated"} <= set(found["verdict"]["doubts"])
    assert "the flow is lower than normal" in found["headline"] and "MILD" not in found["headline"]


# Newborn, open or stented duct, shunt: a lower bound at any age


@pytest.mark.parametrize("peak, grade", [(30, "none"), (50, "none"), (60, "none"), (60.1, "at_least_severe"), (95, "at_least_severe")])
@pytest.mark.parametrize("lowering, code", [({"age_days": 3, "duct": "closed"}, "newborn"), ({"age_days": 27, "duct": "closed"}, "newborn"), ({"age_days": 60, "duct": "open"}, "open_duct"),
                                            ({"age_years": 20, "duct": "stented", "doppler_mean_mmhg": 20}, "open_duct"), ({"age_years": 9, "aortopulmonary_shunt": "yes"}, "open_duct")])
def test_in_a_lower_bound_mild_and_moderate_are_not_said_and_severe_is_at_least_severe(made, lowering, code, peak, grade):
    found = made(**{"doppler_peak_mmhg": peak, "rv_function": "normal", **lowering})
    assert found["verdict"]["grade"] == grade and code in found["verdict"]["doubts"]
    assert "decide on duct, saturation, forward flow" in found["headline"]
    assert found["headline"].startswith("AT LEAST SEVERE" if grade == "at_least_severe" else "NO HEADLINE GRADE")


def test_at_28_days_with_a_closed_duct_the_grade_is_a_grade(judged):
    for days, grade in ((27.9, "none"), (28, "moderate")):
        assert judged(age_days=days, duct="closed", doppler_peak_mmhg=50, rv_function="normal")["grade"] == grade
    assert judged(age_days=25, duct="closed", doppler_peak_mmhg=95)["grade"] == "at_least_severe"


# Severe can be unconfirmed

SEVERE = {"age_years": 40, "doppler_peak_mmhg": 80, "doppler_mean_mmhg": 45, "rv_function": "normal"}


@pytest.mark.parametrize("code, against, beside", [
    ("high_flow", {"lung_flow_l_min": 7.6, "output_l_min": 5}, {"lung_flow_l_min": 7.5, "output_l_min": 5}), ("high_flow", {"pulmonary_regurgitation": "moderate"}, {"pulmonary_regurgitation": "mild"}),
    ("high_flow", {"pregnant": "yes"}, {"pregnant": "no"}), ("high_flow", {"haematocrit_percent": 29.9}, {"haematocrit_percent": 30}),
    ("serial_narrowing", {"supravalvar_narrowing": "yes"}, {"supravalvar_narrowing": "no"}), ("serial_narrowing", {"branch_stenosis": "yes"}, {"branch_stenosis": "no"}),
    ("serial_narrowing", {"rv_systolic_mmhg": 120, "rvot_systolic_mmhg": 100}, {"rv_systolic_mmhg": 120, "rvot_systolic_mmhg": 100.1}),
    # 80 is more than 85 − 16 + 10, and not more than 86 − 16 + 10
    ("doppler_above_rv", {"rv_systolic_mmhg": 85, "pa_diastolic_mmhg": 16}, {"rv_systolic_mmhg": 86, "pa_diastolic_mmhg": 16}),
    # 80 is more than 58 + (20 − 9) + 10
    ("doppler_above_catheter", {"catheter_peak_to_peak_mmhg": 58, "pa_systolic_mmhg": 20, "pa_diastolic_mmhg": 9}, {"catheter_peak_to_peak_mmhg": 59, "pa_systolic_mmhg": 20, "pa_diastolic_mmhg": 9})])
def test_severe_stays_the_headline_and_is_called_not_confirmed(made, code, against, beside):
    doubtful, sure = made(**{**SEVERE, **against}), made(**{**SEVERE, **beside})
    assert doubtful["verdict"]["grade"] == sure["verdict"]["grade"] == "severe"
    assert doubtful["verdict"]["confirmed"] == "no" and code in doubtful["verdict"]["doubts"] and ", not confirmed: " in doubtful["headline"]
    assert sure["verdict"]["confirmed"] == "yes" and set(sure["verdict"]["doubts"]) <= {"flow_not_measured"} and "not confirmed" not in sure["headline"]


def test_a_catheter_that_alone_is_severe_heads_and_is_doubted_by_a_low_doppler(made):
    found = made(age_years=40, doppler_peak_mmhg=25, doppler_mean_mmhg=12, catheter_peak_to_peak_mmhg=90, rv_function="normal", rv_systolic_mmhg=115, systemic_systolic_mmhg=120)
    assert found["verdict"]["grade"] == "severe" and found["verdict"]["confirmed"] == "no" and "doppler_below_catheter" in found["verdict"]["fit"]
    assert found["headline"].startswith("SEVERE by catheter peak-to-peak 90, not confirmed: the Doppler is lower")
    # the milder Doppler beside it is not read as mild either
    assert "ratio_two_thirds" in found["verdict"]["doubts"] and "Doppler 25 (mean 12) is another quantity (mild): do not read it as mild" in found["headline"]
    alone = made(age_years=40, catheter_peak_to_peak_mmhg=90, rv_function="normal")
    assert alone["headline"].startswith("SEVERE by catheter peak-to-peak 90") and "no Doppler gradient entered" in alone["headline"]
    child = made(age_years=8, catheter_peak_to_peak_mmhg=90)
    assert child["headline"] == "NO HEADLINE GRADE: no current document could grade what was entered (catheter peak-to-peak 90 alone, no Doppler gradient)."


def test_two_readings_of_one_trace_that_disagree_are_never_averaged(made):
    # 4 × 3² is 36; 70 needs 4.18 m/s
    found = made(age_years=36, doppler_velocity_m_s=3, doppler_peak_mmhg=70, rv_function="normal")
    assert "jet_disagrees" in found["verdict"]["fit"] and found["verdict"]["grade"] == "severe" and found["verdict"]["confirmed"] == "no"
    assert "velocity 3 gives 36, peak typed 70" in found["headline"]
    # 9.2 kPa is 69 mmHg
    slip = made(age_years=7, doppler_velocity_m_s=4.15, doppler_peak_mmhg=9.2, rv_function="normal")
    assert slip["verdict"]["grade"] == "severe" and slip["derived"]["doppler_peak_mmhg"] == 4 * 4.15 * 4.15
    assert any(one["code"] == "jet_disagrees" and "9.2 kPa is 69 mmHg" in one["text"] for one in slip["fit"])
    mild = made(age_years=7, doppler_velocity_m_s=2, doppler_peak_mmhg=30, rv_function="normal")
    assert mild["verdict"]["grade"] == "none" and "jet_disagrees" in mild["verdict"]["doubts"]


@pytest.mark.parametrize("velocity, peak, fits", [(3, 36, True), (3, 39.3, True), (3, 39.5, False), (3, 32.7, True), (3, 32.5, False), (5, 95, True), (5, 105, True), (5, 105.1, False)])
def test_a_velocity_and_its_peak_may_differ_by_their_rounding(made, velocity, peak, fits):
    # 0.8 × the velocity and 1 mmHg
    assert ("jet_disagrees" in made(age_years=8, doppler_velocity_m_s=velocity, doppler_peak_mmhg=peak)["verdict"]["fit"]) is not fits


def test_a_peak_to_peak_greater_than_what_the_pressures_leave_is_said(made):
    for step, odd in ((55, False), (55.1, True)):
        found = made(age_years=9, catheter_peak_to_peak_mmhg=step, rv_systolic_mmhg=70, pa_systolic_mmhg=25)
        assert ("step_disagrees" in found["verdict"]["fit"]) is odd
    assert "which leaves 45" in next(one["text"] for one in found["fit"] if one["code"] == "step_disagrees")


def test_what_makes_a_moderate_gradient_too_high_is_said_and_hides_nothing(made):
    found = made(age_years=34, doppler_peak_mmhg=55, doppler_mean_mmhg=31, rv_function="normal", pregnant="yes")
    assert found["verdict"]["grade"] == "moderate" and "high_flow" in found["verdict"]["doubts"]
    assert "the flow across the valve is higher than normal: the gradient may be too high" in found["headline"]
    assert [one["document"] for one in found["pregnancy"]] and not made(age_years=34, pregnant="no")["pregnancy"]


# Which documents may head


def test_documents_that_differ_are_named_and_the_severe_one_heads(made):
    # 62: above 60 for the guideline of 2017, not above 64 for the recommendations of 2009
    found = made(age_years=8, doppler_peak_mmhg=62, rv_function="normal")
    assert (found["verdict"]["grade"], found["verdict"]["documents_differ"]) == ("severe", "yes")
    assert "documents differ: moderate by EAE/ASE 2009, severe by German guideline 2017, fetus to adult" in found["headline"]
    alike = made(age_years=8, doppler_peak_mmhg=70, rv_function="normal")
    assert alike["verdict"]["documents_differ"] == "no" and "differ" not in alike["headline"]


def test_only_a_current_document_for_this_age_may_head(made):
    found = made(age_years=8, doppler_peak_mmhg=30, catheter_peak_to_peak_mmhg=45, rv_function="normal")
    assert "2025" not in found["headline"], "an adult's table does not stand beside a boy"
    assert "catheter peak-to-peak 45 is another quantity" in found["headline"]
    grown = made(age_years=40, doppler_peak_mmhg=30, doppler_mean_mmhg=15, catheter_peak_to_peak_mmhg=45, rv_function="normal")
    assert "catheter peak-to-peak 45 is another quantity (mild)" in grown["headline"]
    older = made(age_years=40, doppler_peak_mmhg=55, doppler_mean_mmhg=30, rv_function="normal")
    assert older["verdict"]["grade"] == "moderate", "the document of 2008 calls 55 severe and is superseded"
    assert made(age_years=40, doppler_peak_mmhg=32, doppler_mean_mmhg=15, rv_function="normal")["verdict"]["grade"] == "mild", "a textbook calls 32 moderate and is no guideline"
    assert [one["answer"] for one in older["grade"] if one["document"].startswith("ACC/AHA 2008")] == ["severe"], "its own grade stands below"


def test_an_or_with_one_leg_absent_is_never_answered_by_the_lower_grade(made):
    lone = {one["document"]: one["answer"] for one in made(age_years=40, doppler_peak_mmhg=50, rv_function="normal")["grade"]}
    both = {one["document"]: one["answer"] for one in made(age_years=40, doppler_peak_mmhg=50, doppler_mean_mmhg=41, rv_function="normal")["grade"]}
    assert lone["ACC/AHA 2025, adults"] == "cannot_evaluate" and both["ACC/AHA 2025, adults"] == "severe"
    assert lone["EAE/ASE 2009"] == "moderate", "4 m/s is 64 mmHg; the velocity of the same trace is known from its peak"


def test_nothing_to_grade_has_no_grade(made):
    found = made(age_years=8)
    assert found["verdict"]["grade"] == "none" and found["headline"] == "NO HEADLINE GRADE: no current document could grade what was entered."


# Right ventricular pressure


@pytest.mark.parametrize("inputs, word", [
    ({"age_years": 30, "rv_systolic_mmhg": 80, "systemic_systolic_mmhg": 120}, "severe"), ({"age_years": 30, "rv_systolic_mmhg": 79.9, "systemic_systolic_mmhg": 120}, "not_severe"),
    # a trivial valve at 55 over 75 under anaesthesia is 0.73: of 100 awake, 75 is less than 80 %
    ({"age_years": 30, "rv_systolic_mmhg": 55, "systemic_systolic_mmhg": 75, "systemic_awake_mmhg": 100}, "unknown"),
    ({"age_years": 30, "rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 80, "systemic_awake_mmhg": 100}, "severe"),
    # without the awake pressure: 70 + 2 × age at 1 to 10 years, 90 from 10
    ({"age_years": 5, "rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 80}, "severe"), ({"age_years": 5, "rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 79.9}, "unknown"),
    ({"age_years": 10, "rv_systolic_mmhg": 70, "systemic_systolic_mmhg": 90}, "severe"), ({"age_years": 40, "rv_systolic_mmhg": 70, "systemic_systolic_mmhg": 89.9}, "unknown"),
    ({"age_years": 0.5, "rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 70}, "severe"), ({"age_years": 0.5, "rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 69}, "unknown"),
    # under two thirds nothing is inflated, however low the systemic pressure
    ({"age_years": 40, "rv_systolic_mmhg": 50, "systemic_systolic_mmhg": 80}, "not_severe"), ({"age_years": 40, "rv_systolic_mmhg": 50}, "unknown")])
def test_the_ratio_names_the_ventricles_pressure_unless_a_low_systemic_pressure_inflates_it(made, inputs, word):
    found = made(**inputs)
    assert found["verdict"]["rv_pressure"] == word
    low = word == "unknown" and "systemic_systolic_mmhg" in inputs
    assert ("ratio inflated by low systemic pressure: use mmHg" in found["pressure"]) is low is ("ratio_inflated" in found["verdict"]["fit"])
    assert ("RIGHT VENTRICULAR PRESSURE is severe" in found["pressure"]) is (word == "severe")


def test_the_causes_are_said_beside_a_severe_pressure_and_it_is_no_vote(made):
    found = made(age_years=8, rv_systolic_mmhg=98, rvot_systolic_mmhg=40, pa_systolic_mmhg=20, systemic_systolic_mmhg=97)
    assert "valve step 20, below 58, lung artery 20" in found["pressure"]
    bare = made(age_years=8)["verdict"]["treat"]
    assert found["verdict"]["treat"] == bare, "the ratio is not in the count"
    first = made(age_years=8, rv_systolic_mmhg=98, pa_systolic_mmhg=31, systemic_systolic_mmhg=97, septal_defect="yes")["pressure"]
    assert first.startswith("Ventricular septal defect: equal pressures are its rule. Lung artery 31 is high. RIGHT VENTRICULAR")
    assert "Lung artery" not in made(age_years=8, rv_systolic_mmhg=98, pa_systolic_mmhg=30, systemic_systolic_mmhg=97)["pressure"]


def test_a_low_pressure_under_anaesthesia_does_not_take_a_mild_grade_away(judged):
    found = judged(age_years=30, doppler_peak_mmhg=30, doppler_mean_mmhg=15, rv_function="normal", rv_systolic_mmhg=55, systemic_systolic_mmhg=75, systemic_awake_mmhg=110)
    assert found["grade"] == "mild" and "ratio_two_thirds" not in found["doubts"]


# Flow across the valve


@pytest.mark.parametrize("inputs, low", [
    # 0.94 m²: 2.82 L/min is 3.0 L/min/m²
    ({**CHILD, **BODY, "output_l_min": 2.8}, True), ({**CHILD, **BODY, "output_l_min": 2.84}, False),
    # 1.82 m²: 4.55 L/min is 2.5 L/min/m²
    ({**ADULT, "height_cm": 170, "weight_kg": 70, "output_l_min": 4.5}, True), ({**ADULT, "height_cm": 170, "weight_kg": 70, "output_l_min": 4.6}, False),
    # the flow across the valve is the lung flow
    ({**CHILD, **BODY, "output_l_min": 4, "lung_flow_l_min": 2.5, "atrial_gap": "right_to_left", "saturation_percent": 95}, True),
    ({**CHILD, **BODY, "output_l_min": 2.5, "lung_flow_l_min": 4, "atrial_gap": "left_to_right"}, False),
    # right to left the systemic output is at most exceeded: low output means low flow across the valve
    ({**CHILD, **BODY, "output_l_min": 2.5, "atrial_gap": "right_to_left", "saturation_percent": 95}, True),
    # left to right it is only a lower bound
    ({**CHILD, **BODY, "output_l_min": 2.5, "atrial_gap": "left_to_right"}, False), ({**CHILD, **BODY, "output_l_min": 2.5, "septal_defect": "yes"}, False),
    # adults: 4.7 L/min at 75 a minute over 1.82 m² is 34 mL/m²; at 70 it is 37
    ({**ADULT, "height_cm": 170, "weight_kg": 70, "output_l_min": 4.7, "heart_rate_bpm": 75}, True), ({**ADULT, "height_cm": 170, "weight_kg": 70, "output_l_min": 4.7, "heart_rate_bpm": 70}, False),
    ({**CHILD, "pa_saturation_percent": 64.9}, True), ({**CHILD, "pa_saturation_percent": 65}, False), ({**CHILD, "pa_saturation_percent": 60, "atrial_gap": "left_to_right"}, False)])
def test_low_flow_across_the_valve_takes_a_mild_grade_away(made, inputs, low):
    found = made(**inputs)
    assert ("low_flow" in found["verdict"]["doubts"]) is low and found["verdict"]["grade"] == ("none" if low else "mild")
    assert ("the flow is lower than normal" in found["headline"]) is low


@pytest.mark.parametrize("output, called", [(4.05, False), (3.95, True)])
def test_help_is_called_for_an_adult_with_a_low_output(made, output, called):
    # 1.82 m²: 4.01 L/min is 2.2 L/min/m²
    found = made(**ADULT, height_cm=170, weight_kg=70, output_l_min=output)
    assert any(text.startswith("The output is low: ") and "Call for help" in text for text in found["warnings"]) is called
    assert not any("output is low" in text for text in made(**CHILD, **BODY, output_l_min=1.5)["warnings"]), "the line is an adult's"


@pytest.mark.parametrize("inputs, told", [({}, True), ({**BODY, "output_l_min": 4}, False), ({**BODY, "output_l_min": 4, "atrial_gap": "right_to_left"}, True),
                                          ({**BODY, "output_l_min": 4, "atrial_gap": "left_to_right"}, False), ({"output_l_min": 4}, True)])
def test_a_flow_that_is_not_known_is_said_and_does_not_hide(made, inputs, told):
    found = made(**{**CHILD, **inputs})
    assert found["verdict"]["grade"] == "mild" and ("Flow not measured" in found["headline"]) is told is ("flow_not_measured" in found["verdict"]["doubts"])


# What does not fit what


def test_the_section_stands_there_even_when_everything_fits(made, data):
    text = words.plain_text(words.sections(data, made(age_years=8)))
    assert "Nothing that was entered contradicts anything else that was entered." in text
    assert text.index("WHAT DOES NOT FIT WHAT") < text.index("GRADE, BY DOCUMENT")


OPEN = {"modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}
ECHO = {"modality": "echo", "view": "long_axis", "frame": "open_valve_systole"}


@pytest.mark.parametrize("code, against, beside", [
    ("doppler_above_rv", {"doppler_peak_mmhg": 73, "rv_systolic_mmhg": 62}, {"doppler_peak_mmhg": 72, "rv_systolic_mmhg": 62}),
    ("doppler_above_rv", {"doppler_peak_mmhg": 65, "rv_systolic_mmhg": 62, "pa_diastolic_mmhg": 8}, {"doppler_peak_mmhg": 64, "rv_systolic_mmhg": 62, "pa_diastolic_mmhg": 8}),
    ("doppler_above_catheter", {"doppler_peak_mmhg": 65, "catheter_peak_to_peak_mmhg": 43, "pa_systolic_mmhg": 19, "pa_diastolic_mmhg": 8},
     {"doppler_peak_mmhg": 64, "catheter_peak_to_peak_mmhg": 43, "pa_systolic_mmhg": 19, "pa_diastolic_mmhg": 8}),
    # where nobody measured the artery its whole systolic pressure could be pulse: 43 + 30 + 10
    ("doppler_above_catheter", {"doppler_peak_mmhg": 84, "catheter_peak_to_peak_mmhg": 43}, {"doppler_peak_mmhg": 83, "catheter_peak_to_peak_mmhg": 43}),
    ("doppler_below_catheter", {"doppler_peak_mmhg": 32, "catheter_peak_to_peak_mmhg": 43}, {"doppler_peak_mmhg": 33, "catheter_peak_to_peak_mmhg": 43}),
    ("pa_pressure_high", {"pa_systolic_mmhg": 31}, {"pa_systolic_mmhg": 30}), ("pa_pressure_high", {"rv_systolic_mmhg": 90, "catheter_peak_to_peak_mmhg": 55}, {"rv_systolic_mmhg": 85, "catheter_peak_to_peak_mmhg": 55}),
    ("step_below_valve", {"rv_systolic_mmhg": 80, "rvot_systolic_mmhg": 60}, {"rv_systolic_mmhg": 80, "rvot_systolic_mmhg": 61}),
    ("step_below_valve", {"rv_systolic_mmhg": 80, "pa_systolic_mmhg": 20, "catheter_peak_to_peak_mmhg": 40}, {"rv_systolic_mmhg": 80, "pa_systolic_mmhg": 20, "catheter_peak_to_peak_mmhg": 41}),
    ("step_above_valve", {"branch_stenosis": "yes"}, {"branch_stenosis": "no"}), ("step_above_valve", {"supravalvar_narrowing": "yes"}, {"supravalvar_narrowing": "no"}),
    ("regurgitation_before_balloon", {"pulmonary_regurgitation": "moderate"}, {"pulmonary_regurgitation": "mild"}), ("regurgitation_before_balloon", {"pulmonary_regurgitation": "severe"}, {}),
    ("annuli_differ", {"annulus": [{"mm": 16, **OPEN}, {"mm": 17.7, **ECHO}]}, {"annulus": [{"mm": 16, **OPEN}, {"mm": 17.6, **ECHO}]}),
    # 4 × 5² + 5 = 105, a quarter from 84
    ("jet_disagrees", {"tr_velocity_m_s": 5, "ra_pressure_mmhg": 5, "rv_systolic_mmhg": 83}, {"tr_velocity_m_s": 5, "ra_pressure_mmhg": 5, "rv_systolic_mmhg": 84}),
    # 70 + 2 × 8 years
    ("ratio_inflated", {"rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 85}, {"rv_systolic_mmhg": 60, "systemic_systolic_mmhg": 86}),
    ("frame_not_stated", {"annulus": [{"mm": 16, **OPEN, "frame": "not_stated"}]}, {"annulus": [{"mm": 16, **OPEN}]}),
    ("shaft_ruler", {"annulus": [{"mm": 16, **OPEN, "calibration": "clear_catheter_shaft"}]}, {"annulus": [{"mm": 16, **OPEN}]}),
    ("shaft_ruler", {"annulus": [{"mm": 16, **OPEN, "calibration": "contrast_filled_shaft"}]}, {"annulus": [{"mm": 16, **OPEN, "calibration": "none"}]}),
    ("weight_height", {"weight_kg": 57}, {"weight_kg": 26}), ("weight_height", {"weight_kg": 57, "height_cm": 127}, {"weight_kg": 26, "height_cm": 127}),
    ("saturation_unexplained", {"saturation_percent": 91, "atrial_gap": "none"}, {"saturation_percent": 92, "atrial_gap": "none"}),
    ("saturation_unexplained", {"saturation_percent": 85, "atrial_gap": "left_to_right"}, {"saturation_percent": 85, "atrial_gap": "right_to_left"}),
    ("saturation_unexplained", {"saturation_percent": 85, "atrial_gap": "none"}, {"saturation_percent": 85, "atrial_gap": "none", "duct": "open"}),
    ("saturation_unexplained", {"saturation_percent": 85, "atrial_gap": "none"}, {"saturation_percent": 85, "atrial_gap": "none", "septal_defect": "yes"}),
    ("kilopascals", {"doppler_peak_mmhg": 11}, {"doppler_peak_mmhg": 16}), ("kilopascals", {"doppler_peak_mmhg": 11}, {"doppler_peak_mmhg": 11, "doppler_velocity_m_s": 1.66}),
    ("kilopascals", {"rv_systolic_mmhg": 12}, {"rv_systolic_mmhg": 12, "checked": "yes"})])
def test_what_does_not_fit_is_said_and_what_fits_is_not(made, code, against, beside):
    odd = made(age_years=8, **against)
    assert code in odd["verdict"]["fit"] and code not in made(age_years=8, **beside)["verdict"]["fit"]
    sentence = next(one["text"] for one in odd["fit"] if one["code"] == code)
    assert len(sentence) > 60 and sentence.endswith((".", "?", ")"))


def test_the_school_childs_two_gradients_are_not_from_the_same_moment(made):
    found = made(age_years=8, doppler_velocity_m_s=4.15, catheter_peak_to_peak_mmhg=43, rv_systolic_mmhg=62, systemic_systolic_mmhg=97, pa_systolic_mmhg=19, pa_diastolic_mmhg=8, rv_function="normal")
    assert found["headline"].startswith("SEVERE by Doppler 69 (velocity 4.15), not confirmed: 69 is above the ventricle's own systolic 62, so not from the same moment")
    assert found["verdict"]["rv_pressure"] == "not_severe" and found["pressure"] == "RV 62 / systemic 97 = 0.64."


def test_a_gradient_that_may_be_in_kilopascals_has_no_headline_until_it_is_looked_at(judged):
    assert judged(**{**CHILD, "doppler_peak_mmhg": 11})["grade"] == "none" and judged(**{**CHILD, "doppler_peak_mmhg": 11, "checked": "yes"})["grade"] == "mild"


def test_the_state_of_each_gradient_stands_beside_it(made):
    found = made(age_years=8, doppler_peak_mmhg=70, doppler_state="awake", catheter_peak_to_peak_mmhg=45, catheter_state="anaesthesia", rv_function="normal")
    assert "Doppler 70 awake" in found["headline"] and "catheter peak-to-peak 45 under anaesthesia" in found["headline"]


@pytest.mark.parametrize("states, only", [(("anaesthesia", None), False), (("anaesthesia", "anaesthesia"), True), (("anaesthesia", "awake"), False), ((None, "anaesthesia"), False), (("sedated", "anaesthesia"), False)])
def test_a_gradient_also_taken_awake_or_sedated_is_not_one_of_anaesthesia_only(judged, states, only):
    given = {name: state for name, state in zip(("doppler_state", "catheter_state"), states) if state}
    assert ("anaesthesia_only" in judged(**CHILD, catheter_peak_to_peak_mmhg=28, **given)["doubts"]) is only

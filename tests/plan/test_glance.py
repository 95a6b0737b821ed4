"""The ten lines on top, on invented patients: what each must hold, and what must stand nowhere in them."""

import json
import re

import pytest

from pvcalc.handbook.authoring import plan_fence
from pvcalc.handbook.engine import needs
from pvcalc.plan import case, words

WHO, GRADE, PRESSURES, TREAT, BALLOON, STOP, DONE, CONTRAST, DRUGS, NOT_KNOWN = range(10)


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


@pytest.fixture
def ten(data):
    """`ten(age_years=8, …)`: the ten lines as plain text, blanks of one kind."""
    def lines(**inputs):
        return [one["text"].replace("\u00a0", " ").replace("\u202f", " ") for one in case.plan(data, inputs)["glance"]]
    return lines


RING = {"mm": 16.3, "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}
ECHO = {"mm": 15.8, "modality": "echo", "view": "long_axis", "frame": "open_valve_systole"}
SCHOOL = {"age_years": 8, "sex": "male", "height_cm": 127, "weight_kg": 25.5, "symptoms": "no", "valve": "domed", "duct": "closed", "atrial_gap": "none",
          "doppler_velocity_m_s": 4.15, "doppler_mean_mmhg": 39, "catheter_peak_to_peak_mmhg": 43, "pa_systolic_mmhg": 19, "pa_diastolic_mmhg": 8, "rv_systolic_mmhg": 62,
          "systemic_systolic_mmhg": 97, "rv_function": "normal", "rv_hypertrophy": "yes", "annulus": [ECHO, RING], "contrast_used_ml": 28, "heparin": [{"units": 1250, "minutes_ago": 35}]}


def test_the_school_child_reads_as_the_reviewers_ten_lines(ten):
    lines = ten(**SCHOOL)
    assert len(lines) == 10
    assert lines[WHO].startswith("Boy 8 y, 25.5 kg (typed), 127 cm, 0.94 m². Domed, duct closed, no gap, RV normal") and "Before the balloon." in lines[WHO]
    assert lines[WHO].endswith("No alerts entered: allergy, anticoagulant, syndrome not stated.")
    assert lines[GRADE].startswith("SEVERE by Doppler 69 (velocity 4.15, mean 39), not confirmed: 69 is above the ventricle's own systolic 62, so not from the same moment")
    assert "catheter peak-to-peak 43 is another quantity" in lines[GRADE] and lines[GRADE].endswith("Flow not measured.")
    assert lines[PRESSURES] == "RV 62 / systemic 97 = 0.64. PA 19/8. RA not entered. After the balloon: RV is HIGH from 56, LOW to 41."
    assert lines[TREAT] == "TREAT: 3 current documents yes, 1 may, 0 no, 1 silent, 2 lack an input."
    assert lines[BALLOON].startswith("BALLOON 20 × 40 mm = 1.23 × 16.3 (angiogram, lateral, valve open), 1.27 × 15.8 (echo, long axis, valve open). 8 F, 0.035 in, 3 to 4.5 atm.")
    assert lines[BALLOON].endswith("Ready: high pressure 20. 22 only measured again, with a written reason. Never above 23.7 mm.")
    for piece in ("pressure not back 30 s", "any tear", "new regurgitation moderate or more", "step below the valve: no larger balloon, no inotrope FOR IT", "3 crossings", "90 min"):
        assert piece in lines[STOP]
    assert lines[DONE] == "DONE: valve step < 30 mmHg. From 50 mmHg: measure again, once up."
    assert lines[CONTRAST] == "CONTRAST used 28: left 99.5 mL to “think”, 176 mL to the hard stop. One run at most 25 mL."
    assert lines[DRUGS].startswith("HEPARIN GIVEN 1250 units 35 min ago (49 units/kg). No more without a clotting time. PROTAMINE only after “no ECMO in the next minutes” is said aloud")
    assert "READY: volume 128 mL" in lines[DRUGS] and "255 micrograms = 2.55 mL of 0.1 mg/mL" in lines[DRUGS] and "102 J: set 100 J" in lines[DRUGS]
    assert lines[NOT_KNOWN].startswith("NOT KNOWN: sedation at each gradient, RA, flow") and "To sign first: " in lines[NOT_KNOWN]
    assert lines[NOT_KNOWN].endswith("Surgeon, ECMO, blood: ____ min. Checked by hand: ____")


def test_the_ten_lines_stand_first_in_text_in_the_sections_and_in_the_data(data):
    made = case.plan(data, SCHOOL)
    parts = words.sections(data, made)
    assert parts[0]["id"] == "glance" and parts[0]["sheet"] == "1" and [one["text"] for one in parts[0]["lines"]] == [one["text"] for one in made["glance"]]
    assert words.plain_text(parts).splitlines()[:10] == [one["text"] for one in made["glance"]]


def test_no_second_heparin_is_invited(ten):
    given, planned = ten(**SCHOOL)[DRUGS], ten(**{**SCHOOL, "heparin": None})[DRUGS]
    assert "PLANNED" not in given and "1275" not in given and planned.startswith("HEPARIN PLANNED ") and "GIVEN" not in planned
    assert ten(**{**SCHOOL, "heparin": None, "heparin_thrombocytopenia": "yes"})[DRUGS].startswith("HEPARIN none: thrombocytopenia")


ALWAYS = [{}, {"age_days": 3, "weight_kg": 3.1}, {"age_years": 40}, {"age_years": 40, "weight_kg": 80, "doppler_peak_mmhg": 30, "rv_function": "normal"}]
PATIENTS = [SCHOOL, {**SCHOOL, "shelf_mm": [18]}, {**SCHOOL, "weight_kg": 60}, {"age_years": 8}, {"age_days": 3}, {"age_years": 60, "weight_kg": 83, "contrast_used_ml": 310},
            {**SCHOOL, "rvot_systolic_mmhg": 30, "catheter_peak_to_peak_mmhg": None, "pa_systolic_mmhg": 20}, {**SCHOOL, "after_rv_systolic_mmhg": 40, "after_pa_systolic_mmhg": 20}]


@pytest.mark.parametrize("inputs", PATIENTS)
def test_what_must_never_stand_there_stands_nowhere(ten, inputs):
    lines = ten(**inputs)
    assert len(lines) == 10 and all(lines)
    for line in lines:
        assert not re.search(r"\b(now|go on|safe|allowed)\b", line.replace("RV now", "RV at last"), re.I), line
        assert "µ" not in line and not re.search(r"\d\.\d*0 (mg|mL|micrograms|units)\b", line), line
        assert not re.search(r"\bNone\b|nan|undefined", line), line
    for dose in re.findall(r"[\d.]+ mL of", lines[DRUGS]):
        assert float(dose.split()[0]) >= 0.1, lines[DRUGS]


def test_a_ratio_never_stands_without_both_its_pressures(ten):
    for inputs in (SCHOOL, {**SCHOOL, "rv_systolic_mmhg": 90}, {**SCHOOL, "rv_systolic_mmhg": 70, "systemic_systolic_mmhg": 70}):
        line = ten(**inputs)[PRESSURES]
        for place in re.finditer(r"(?<![\d.])\d\.\d\d(?![\d])", line):
            assert re.search(r"RV \d+ / systemic \d+", line[:place.start()]), line


@pytest.mark.parametrize("inputs, said", [
    ({"contrast_allergy": "yes"}, "ALERTS: contrast allergy."), ({"pregnant": "yes"}, "ALERTS: PREGNANT."), ({"syndrome": "williams"}, "supravalvar AORTIC narrowing"),
    ({"syndrome": "noonan", "anticoagulant": "yes"}, "ALERTS: anticoagulant, Noonan: bleeding tests"), ({"weight_measured": "yes"}, "25.5 kg (measured)"),
    ({"weight_kg": 60}, "60 kg (typed) IN QUESTION"), ({"weight_kg": None}, "WEIGHT NOT ENTERED"), ({"atrial_gap": "right_to_left"}, "gap right to left: air filter"),
    ({"duct": None}, "duct taken as closed above one year"), ({"tricuspid_regurgitation": "severe", "saturation_percent": 88}, "TR severe, saturation 88 %")])
def test_who_stands_there_with_alerts_and_how_the_weight_is_known(ten, inputs, said):
    assert said in ten(**{name: value for name, value in {**SCHOOL, **inputs}.items() if value is not None})[WHO]


@pytest.mark.parametrize("inputs, name", [({"age_days": 5, "sex": "female"}, "Newborn girl 5 days"), ({"age_days": 5, "preterm": "yes", "gestation_weeks": 31}, "Newborn 5 days, preterm 31 weeks"),
                                          ({"age_days": 100, "sex": "male"}, "Baby boy 100 days"), ({"age_years": 17.9, "sex": "female"}, "Girl 17.9 y"),
                                          ({"age_years": 18, "sex": "male"}, "Man 18 y"), ({"age_years": 70}, "Adult 70 y")])
def test_a_person_is_called_by_age_and_sex(ten, inputs, name):
    assert ten(**inputs)[WHO].startswith(name + ",")


def test_a_stop_leaves_no_balloon_in_the_line(ten):
    for inputs in ({"shelf_mm": [18]}, {"pregnant": "yes"}, {"pulmonary_regurgitation": "severe"}, {"earlier_treatment": "tetralogy_repair"}, {"annulus": [{**RING, "frame": "not_stated"}]}):
        line = ten(**{**SCHOOL, **inputs})[BALLOON]
        assert line.startswith("BALLOON none: ") and "20 ×" not in line and "target" not in line, inputs
    assert "This is not a case for the plan" in ten(**{**SCHOOL, "earlier_treatment": "outflow_stent"})[BALLOON]
    alone = ten(**{**SCHOOL, "annulus": [ECHO]})[BALLOON]
    assert alone.startswith("BALLOON none: ") and "To have ready: 19" not in alone and "To have ready: " in alone


def test_a_shelf_without_labels_shows_no_length_sheath_or_pressure(ten):
    line = ten(**{**SCHOOL, "shelf_mm": [18, 20, 22]})[BALLOON]
    assert line.startswith("BALLOON 20 × (length from the label) mm = 1.23 × 16.3") and "pressure from the label in your hand" in line and " F," not in line


@pytest.mark.parametrize("before, high, low", [(62, 56, 41), (70, 63, 46), (100, 90, 66), (98, 88, 65)])
def test_high_and_low_of_the_ventricle_are_written_down_before(ten, before, high, low):
    # nine tenths to the nearest whole one; two thirds, the whole one below
    assert f"After the balloon: RV is HIGH from {high}, LOW to {low}." in ten(**{**SCHOOL, "rv_systolic_mmhg": before})[PRESSURES]


def test_every_case_of_the_handbook_has_its_ten_lines(data, root):
    for path in plan_fence.case_files(root).values():
        made = case.plan(data, plan_fence.read_case(path))
        assert [one["id"] for one in made["glance"]] == ["who", "grade", "pressures", "treat", "balloon", "stop", "done", "contrast", "drugs", "not_known"]

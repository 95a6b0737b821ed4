"""The case plan: its contract, its hazards one by one, each number against its formula, and both interpreters."""

import json
import math
import re
from pathlib import Path

import pytest

from pvcalc.core.errors import Refusal
from pvcalc.core.formula import SEEN, find
from pvcalc.handbook.cli import commands
from pvcalc.handbook.data import case_files, project
from pvcalc.handbook.engine import needs
from pvcalc.plan import case, settings, words
from pvcalc.plan.inputs import NAMES

ANSWERS = {"yes", "no", "cannot_evaluate", "silent", "not_seen", "not_applicable"}
GRADES = {"mild", "moderate", "severe", "suppressed"}
CONTRACT = {"grade", "treat", "sizing", "z", "limits", "derived", "warnings", "missing"}
OPEN_VALVE = {"modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}
CHILD = {"age_years": 5, "height_cm": 110, "weight_kg": 18, "duct": "closed", "valve": "domed", "symptoms": "no"}


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


@pytest.fixture
def made(data):
    """`made(age_years=7, …)` computes a plan."""
    return lambda **inputs: case.plan(data, inputs)


def faults(data, **inputs):
    """Fields and sentences of a refused plan."""
    with pytest.raises(Refusal) as refused:
        case.plan(data, inputs)
    return dict(refused.value.faults)


def annulus(mm, **other):
    """One measurement, by default one that may size a balloon."""
    return {"mm": mm, **OPEN_VALVE, **other}


def answer_of(made, part, document):
    """The answer of the first document whose name starts so."""
    return next(one for one in made[part] if one["document"].startswith(document))


def numbers(value, path=""):
    """Every (path, number) inside a plan."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return
    if isinstance(value, (int, float)):
        yield path, value
    elif isinstance(value, dict):
        for key in value:
            yield from numbers(value[key], f"{path}/{key}")
    else:
        for place, member in enumerate(value):
            yield from numbers(member, f"{path}/{place}")


# The contract


def test_age_alone_gives_the_whole_shape_and_no_number(made):
    found = made(age_years=7)
    assert CONTRACT <= set(found)
    for one in found["grade"] + found["treat"]:
        assert {"document", "row", "answer", "class", "level", "why", "provenance"} <= set(one)
        assert (one["provenance"] == "") if one["answer"] == "not_seen" else one["provenance"] in SEEN
    assert {one["answer"] for one in found["treat"]} <= ANSWERS
    assert {one["answer"] for one in found["grade"]} <= GRADES | ANSWERS
    assert set(found["sizing"]) >= {"target_mm", "choices", "proposal", "why"} and found["sizing"]["target_mm"] is None
    assert all(value is None for value in found["derived"].values())
    assert found["drugs"] == [] and all(rows == [] for rows in found["limits"].values())
    assert found["missing"] and all(isinstance(sentence, str) for sentence in found["missing"])


def test_every_input_of_the_contract_is_taken(data):
    inputs = "age_years age_days sex height_cm weight_kg symptoms valve duct atrial_gap doppler_velocity_m_s doppler_peak_mmhg " \
             "doppler_mean_mmhg catheter_peak_to_peak_mmhg catheter_mean_mmhg pa_systolic_mmhg pa_diastolic_mmhg tr_velocity_m_s " \
             "ra_pressure_mmhg rv_systolic_mmhg systemic_systolic_mmhg saturation_percent rv_function rv_hypertrophy " \
             "tricuspid_regurgitation pulmonary_regurgitation output_l_min heart_rate_bpm ejection_period_s annulus shelf_mm " \
             "creatinine_umol_l contrast_used_ml heparin treated_before"
    assert set(inputs.split()) <= set(NAMES)
    assert len(NAMES) == len(set(NAMES)) > 75, "the fields of alerts, levels, flow and after the balloon stand beside them"


def test_all_faults_are_told_at_once_and_name_their_field(data):
    told = faults(data, age_years=5, weight_kg="heavy", doppler_gradient_mmhg=30, valve="bicuspid", doppler_peak_mmhg=30, doppler_mean_mmhg=41)
    assert set(told) == {"weight_kg", "doppler_gradient_mmhg", "valve", "doppler_mean_mmhg"}
    assert "heavy" in told["weight_kg"] and "nearest name" in told["doppler_gradient_mmhg"] and "domed or dysplastic" in told["valve"]


@pytest.mark.parametrize("wrong, field", [
    ({}, "age_years"), ({"age_years": 0}, "age_years"), ({"age_years": 4, "age_days": 12}, "age_years"),
    ({"age_years": 4, "doppler_velocity_m_s": 3, "doppler_mean_mmhg": 40}, "doppler_mean_mmhg"),
    ({"age_years": 4, "pa_systolic_mmhg": 20, "pa_diastolic_mmhg": 25}, "pa_diastolic_mmhg"),
    ({"age_years": 4, "pa_systolic_mmhg": 60, "rv_systolic_mmhg": 40}, "pa_systolic_mmhg"),
    ({"age_years": 4, "catheter_peak_to_peak_mmhg": 70, "rv_systolic_mmhg": 60}, "catheter_peak_to_peak_mmhg"),
    ({"age_years": 4, "ra_pressure_mmhg": 30, "rv_systolic_mmhg": 25}, "ra_pressure_mmhg"),
    ({"age_years": 4, "heart_rate_bpm": 200, "ejection_period_s": 0.35}, "ejection_period_s"),
    ({"age_years": 4, "annulus": [{"mm": 12, "modality": "echo", "view": "lateral"}]}, "annulus"),
    ({"age_years": 4, "annulus": [{"mm": 12}]}, "annulus"), ({"age_years": 4, "annulus": []}, "annulus"),
    ({"age_years": 4, "heparin": [{"units": 1000}]}, "heparin"),
    ({"age_years": 4, "heparin": [{"units": 1000, "minutes_ago": 400}]}, "heparin"),
    ({"age_years": True}, "age_years"), ({"age_years": float("nan")}, "age_years"), ({"age_years": float("inf")}, "age_years"),
])
def test_a_value_or_a_pair_that_cannot_be_is_refused_in_a_sentence(data, wrong, field):
    told = faults(data, **wrong)
    assert list(told) == [field] and told[field].endswith((".", "?")) and len(told[field]) > 20


def test_yes_and_no_may_be_true_and_false_as_other_yaml_readers_give_them(made):
    assert made(**{**CHILD, "symptoms": False})["inputs"]["symptoms"] == "no"


# Hazards of the handbook that concern the plan


@pytest.mark.parametrize("mm, asked", [(1.4, "14"), (140, "")])
def test_hz1_centimetres_for_millimetres_are_refused_and_the_field_is_named(data, mm, asked):
    told = faults(data, **CHILD, annulus=[{"mm": mm, "modality": "echo", "view": "short_axis", "frame": "end_systole"}])
    assert "3 to 45" in told["annulus"] and asked in told["annulus"]


def test_hz1_an_annulus_beyond_six_deviations_is_refused(data):
    told = faults(data, **CHILD, annulus=[{"mm": 3.1, "modality": "echo", "view": "short_axis", "frame": "end_systole"}])
    assert "standard deviations" in told["annulus"] and "cm" in told["annulus"]


def test_hz2_a_weight_in_pounds_is_asked_about_and_every_dose_waits(made, data):
    entry = {"mm": 14, "modality": "echo", "view": "short_axis", "frame": "open_valve_systole"}
    held = made(**{**CHILD, "weight_kg": 39.7, "annulus": [entry]})
    assert any("pounds" in text for text in held["warnings"])
    assert held["drugs"] == [] and held["z"] == [] and held["derived"]["body_surface_m2"] is None
    assert held["limits"]["contrast"] == held["limits"]["heparin"] == held["limits"]["local_anaesthetic"] == []
    ticked = made(**{**CHILD, "weight_kg": 39.7, "annulus": [entry], "checked": "yes"})
    assert ticked["z"][0]["z"] == pytest.approx(-2.48, abs=0.005) and ticked["drugs"]
    assert "height_cm" in faults(data, **{**CHILD, "height_cm": 1.10})


def test_hz3_no_frame_no_balloon_and_the_frame_stands_in_the_proposal(made):
    for entry in (annulus(14, frame=""), annulus(14, frame="not_stated")):
        size = made(**CHILD, annulus=[entry])["sizing"]
        assert size["target_mm"] is None and size["choices"] == [] and size["proposal"] is None and "frame" in size["why"]
    assert "valve open" in made(**CHILD, annulus=[annulus(16.3)])["sizing"]["proposal"]


def test_hz3_an_end_diastolic_annulus_is_never_turned_into_a_balloon(made):
    found = made(**CHILD, annulus=[annulus(17.5, frame="end_diastole")])
    assert found["sizing"]["choices"] == [] and found["sizing"]["target_mm"] is None
    assert any("end-diastolic" in text for text in found["warnings"])


def test_hz3_a_balloon_above_1_3_of_the_smaller_measurement_is_not_proposed(made):
    both = [annulus(16.3), {"mm": 15.3, "modality": "echo", "view": "short_axis", "frame": "end_systole"}]
    found = made(**CHILD, annulus=both, shelf_mm=[20])
    assert found["sizing"]["proposal"] is None and found["verdict"]["stop"] == ["annuli_differ"] and found["verdict"]["balloon_mm"] == []
    assert made(**CHILD, annulus=both, shelf_mm=[20, 19])["verdict"]["balloon_mm"] == [19], "the next accepted one that fits every measurement"
    near = [annulus(16.3), {"mm": 15.4, "modality": "echo", "view": "short_axis", "frame": "end_systole"}]
    assert made(**CHILD, annulus=near, shelf_mm=[20])["verdict"]["balloon_mm"] == [20]


def test_hz3_systole_alone_is_no_frame(data):
    assert "Say which moment" in faults(data, **CHILD, annulus=[annulus(14, frame="systole")])["annulus"]


def test_hz4_the_norm_follows_the_view(made):
    views = [{"mm": 14, "modality": "echo", "view": view, "frame": "open_valve_systole"} for view in ("short_axis", "long_axis")]
    rows = made(**CHILD, annulus=views)["z"]
    assert [row["view"] for row in rows] == ["short_axis", "long_axis"]
    assert [row["z"] for row in rows] == [pytest.approx(-1.18, abs=0.005), pytest.approx(-1.37, abs=0.005)]
    assert all("Haycock's is recalled" in row["note"] for row in rows)
    other = made(**CHILD, annulus=[{"mm": 14, "modality": "echo", "frame": "open_valve_systole"}, annulus(15)])
    assert other["z"] == [] and any("view" in text for text in other["missing"])


def test_hz4_echo_alone_gives_choices_to_have_ready_and_no_proposal(made):
    size = made(**CHILD, annulus=[{"mm": 16.3, "modality": "echo", "view": "short_axis", "frame": "open_valve_systole"}])["sizing"]
    assert size["choices"] and size["proposal"] is None and "echo alone" in size["why"]


def test_hz4_two_modalities_more_than_a_tenth_apart_are_measured_again(made):
    pair = [annulus(16.3), {"mm": 18.1, "modality": "echo", "view": "short_axis", "frame": "open_valve_systole"}]
    found = made(**CHILD, annulus=pair)
    assert found["sizing"]["proposal"] is None and "Measure both again" in found["sizing"]["why"]


def test_hz5_the_catheter_gradient_never_answers_for_the_doppler_one(made):
    found = made(**CHILD, catheter_peak_to_peak_mmhg=70)
    assert answer_of(found, "grade", "German")["answer"] == "cannot_evaluate"
    assert found["derived"]["doppler_peak_mmhg"] is None
    other = made(**CHILD, doppler_peak_mmhg=70)
    assert answer_of(other, "grade", "Common practice, catheter")["answer"] == "cannot_evaluate"
    assert answer_of(made(age_years=30, duct="closed", doppler_peak_mmhg=70), "grade", "Canadian")["answer"] == "cannot_evaluate"
    assert answer_of(other, "treat", "Japanese")["answer"] == "cannot_evaluate"


def test_hz5_the_bare_word_gradient_never_stands_without_its_kind(made, data):
    found = made(**{**CHILD, "age_years": 41, "height_cm": 176, "weight_kg": 83}, doppler_velocity_m_s=4.2, doppler_mean_mmhg=40, catheter_peak_to_peak_mmhg=55)
    text = words.plain_text([part for part in words.sections(data, found) if part["id"] in ("inputs", "derived", "sizing")])
    for place in re.finditer(r"gradient", text):
        before = text[max(0, place.start() - 40):place.start()].lower()
        assert "doppler" in before or "peak-to-peak" in before or "mean" in before, text[max(0, place.start() - 60):place.end() + 20]


@pytest.mark.parametrize("lowering", [{"age_days": 27}, {"age_days": 60, "duct": "open"}, {"age_years": 30, "duct": "stented"},
                                      {"age_years": 30, "duct": "closed", "aortopulmonary_shunt": "yes"}])
def test_hz6_in_the_newborn_and_with_an_open_duct_a_gradient_is_a_lower_bound(made, lowering):
    found = made(doppler_peak_mmhg=34, valve="domed", symptoms="no", rv_function="normal", **lowering)
    assert found["grade"][0]["answer"] == "suppressed" and found["headline"].startswith("NO HEADLINE GRADE") and "decide on duct, saturation, forward flow" in found["headline"]
    assert not {one["answer"] for one in found["grade"]} & {"mild", "moderate", "severe"} and found["verdict"]["grade"] == "none"
    assert answer_of(found, "treat", "German")["answer"] == "cannot_evaluate", "a low gradient is no reason to wait"
    severe = made(doppler_peak_mmhg=95, valve="domed", symptoms="no", rv_function="normal", **lowering)
    assert severe["headline"].startswith("AT LEAST SEVERE by Doppler 95") and severe["verdict"]["grade"] == "at_least_severe"


def test_hz6_just_outside_the_lower_bound_the_documents_grade(made):
    found = made(age_days=28, duct="closed", doppler_peak_mmhg=34, rv_function="normal", rv_systolic_mmhg=60, systemic_systolic_mmhg=120)
    assert answer_of(found, "grade", "German")["answer"] == "mild" and found["verdict"]["grade"] == "mild" and found["headline"].startswith("MILD by Doppler 34")


def test_hz6_a_high_ventricle_names_its_pressure_and_hides_no_documents_grade(made):
    found = made(age_years=30, doppler_peak_mmhg=34, rv_function="normal", rv_systolic_mmhg=80, systemic_systolic_mmhg=120)
    assert answer_of(found, "grade", "German")["answer"] == "mild" and answer_of(found, "treat", "German")["answer"] == "no"
    assert found["verdict"]["grade"] == "none" and found["verdict"]["rv_pressure"] == "severe" and "do not read it as mild" in found["headline"]


def test_hz6_an_unknown_duct_under_one_year_leaves_the_headline_open(made):
    found = made(age_years=0.9, doppler_peak_mmhg=50, rv_function="normal")
    assert found["grade"][0]["answer"] == "cannot_evaluate" and found["headline"].startswith("NO HEADLINE GRADE") and "duct not stated" in found["headline"]
    assert made(age_years=0.9, doppler_peak_mmhg=90, rv_function="normal")["verdict"]["grade"] == "at_least_severe", "open, it would be higher still"


def test_hz6_from_one_year_a_duct_that_nobody_mentions_is_taken_as_closed_and_said_so(made, data):
    for age, taken in ((0.99, False), (1, True), (41, True)):
        found = made(age_years=age, doppler_peak_mmhg=80)
        text = words.plain_text(words.sections(data, found))
        assert ("duct taken as closed above one year" in text) == taken == ("duct" in found["inputs"]), age
        assert "arterial duct closed;" not in text.partition("WHAT FOLLOWS")[0], "what was taken is not told as entered"
    for told in ("open", "stented", "closed"):
        assert made(age_years=5, duct=told)["inputs"]["duct"] == told and made(age_years=5, duct=told)["taken"] == []


def test_hz6_the_norms_end_where_they_were_made(made):
    entry = {"mm": 24, "modality": "echo", "view": "short_axis", "frame": "open_valve_systole"}
    grown = {"height_cm": 171, "weight_kg": 64, "annulus": [entry]}
    assert made(age_years=18, **grown)["z"] and not made(age_years=18.1, **grown)["z"]


def test_hz6_a_newborn_is_sized_from_its_own_lower_accepted_ratio(made):
    child = made(age_days=40, annulus=[annulus(6)], shelf_mm=[6.7])["sizing"]
    newborn = made(age_days=12, annulus=[annulus(6)], shelf_mm=[6.7])["sizing"]
    assert child["choices"] == [] and newborn["choices"][0]["zone"] == "accepted"


def test_hz7_recalled_formulas_are_barred(data):
    recalled = find("oxygen_uptake_bergstra_ml_min")
    assert recalled.seen == "memory"
    with pytest.raises(settings.Recalled):
        settings.computed(recalled, age_years=40, sex="male", body_surface_m2=1.9)
    with pytest.raises(settings.Recalled):
        settings.setting(data, "phenylephrine_child_low_micrograms_kg")


@pytest.mark.parametrize("factor", [0.5, 2])
def test_hz7_a_number_that_moves_with_a_recalled_setting_carries_the_word(data, factor):
    moved = json.loads(json.dumps(data))
    recalled = [key for key, note in data["notes"].items() if note["seen"] == "memory" and isinstance(data["settings"][key], (int, float))]
    assert len(recalled) > 20
    for key in recalled:
        moved["settings"][key] *= factor
    for name in sorted(case_files.case_files(Path("."))):
        inputs = case_files.read_case(case_files.case_files(Path("."))[name])
        before, after = case.plan(data, inputs), case.plan(moved, inputs)
        for part in ("sizing", "derived", "z"):
            ours, theirs = dict(numbers(before[part])), dict(numbers(after[part]))
            for path in set(ours) & set(theirs):
                assert ours[path] == theirs[path], (name, part, path)
        for ours, theirs in zip(before["drugs"], after["drugs"], strict=True):
            assert ours["text"] == theirs["text"] or ours["mark"].startswith("recalled: sign first"), (name, ours["id"])
        for part, rows in before["limits"].items():
            moved_values = {row["label"]: row["value"] for row in after["limits"][part]}
            for ours in rows:
                same = ours["label"] in moved_values and ours["value"] == moved_values[ours["label"]]
                assert same or "recalled" in ours["note"] + ours["text"] or "Allowable" in ours["label"], (name, part, ours["label"])


def test_hz7_a_dose_that_rests_on_a_recalled_setting_says_so_in_its_own_line(data, made):
    for patient in ({"age_days": 3, "weight_kg": 3.1}, {"age_years": 5, "weight_kg": 18}, {"age_years": 40, "weight_kg": 83}):
        found = made(**patient)
        text = words.plain_text(words.sections(data, found))
        marked = [row for row in found["drugs"] if row["mark"]]
        assert len(marked) >= 5
        for row in found["drugs"]:
            line = next(line for line in text.splitlines() if row["label"] + ": " in line and row["text"] in line)
            assert ("recalled: sign first" in line) is bool(row["mark"]) and row["state"] in line
            recalled = [key for _, key in row["keys"] if data["notes"][key]["seen"] == "memory"]
            assert bool(recalled) is bool(row["mark"]) or row["state"] == "GIVEN", row["id"]


def test_hz7_a_recalled_row_carries_the_word(made):
    found = made(**CHILD, doppler_peak_mmhg=70)
    one = answer_of(found, "treat", "AHA 2011")
    assert one["answer"] == "yes" and one["provenance"] == "memory" and "recalled" in one["why"] and one["class"] == "I"
    assert "AHA 2011, children (recalled)" in found["decision"]


@pytest.mark.parametrize("weight, applies", [(49.9, False), (50.1, True)])
def test_hz9_a_cap_applies_at_its_weight_and_is_shown(made, weight, applies):
    row = next(row for row in made(age_years=14, weight_kg=weight)["drugs"] if row["id"] == "volume")
    assert row["value"] == (250 if applies else pytest.approx(5 * weight)) and ("applies" in row["steps"]) is applies
    assert "most 250" in row["text"] and "× " in row["steps"]


def test_hz9_no_dose_passes_its_cap_at_any_weight(made, data):
    settings_of = data["settings"]
    caps = {"adrenaline_arrest": settings_of["adrenaline_arrest_cap_mg"], "amiodarone_arrest": settings_of["amiodarone_cap_mg"], "esmolol_trial": settings_of["esmolol_load_cap_mg"],
            "adrenaline_im": settings_of["adrenaline_im_cap_mg"], "heparin": settings_of["heparin_first_cap_units"], "phenylephrine": settings_of["phenylephrine_cap_micrograms"],
            "shock": settings_of["shock_adult_j"], "lidocaine_plain": settings_of["lidocaine_plain_cap_mg"], "propranolol": settings_of["propranolol_adult_step_mg"]}
    for weight, days in ((0.5, 1), (3.2, 3), (39, 4400), (120, 16000), (180, 20000), (180, 6000)):
        rows = {row["id"]: row for row in made(age_days=days, weight_kg=weight, checked="yes")["drugs"]}
        for name, most in caps.items():
            assert rows[name]["amount"] <= most, (name, weight, days)


@pytest.mark.parametrize("velocity, grade, said", [(3.999, "moderate", "At the cut-off"), (4.0, "moderate", "exactly 64"), (4.001, "severe", "At the cut-off")])
def test_hz10_the_unrounded_velocity_is_graded_and_the_cut_off_is_said(made, velocity, grade, said):
    one = answer_of(made(age_years=41, duct="closed", doppler_velocity_m_s=velocity, doppler_mean_mmhg=30), "grade", "ACC/AHA 2025")
    assert one["answer"] == grade and said in one["at_cut_off"]
    assert ("63.9" in one["why"]) is (velocity < 4)


def test_hz10_the_nearest_threshold_is_named_with_its_distance_and_the_error(made):
    one = answer_of(made(**CHILD, doppler_peak_mmhg=52), "grade", "German")
    assert "threshold" in one["nearest"] and "60" in one["nearest"] and "8.0" in one["nearest"] and "beyond" in one["nearest"]


@pytest.mark.parametrize("typed, weight", [("17,8", 17.8), ("17.8", 17.8), (" 18 ", 18)])
def test_hz11_comma_and_point_mean_the_same(made, typed, weight):
    assert made(**{**CHILD, "weight_kg": typed})["inputs"]["weight_kg"] == weight


@pytest.mark.parametrize("typed", ["1.234,5", "1,2,3", "18 000", "1'800", "18lb", "−5", "NaN", "Infinity", "0x12", "1e1"])
def test_hz11_and_hz12_anything_else_is_a_sentence(data, typed):
    assert len(faults(data, **{**CHILD, "weight_kg": typed})["weight_kg"]) > 20


def test_hz12_a_blank_is_never_a_zero(made):
    blank = made(**{**CHILD, "weight_kg": "  ", "contrast_used_ml": ""})
    assert blank["derived"]["body_surface_m2"] is None and blank["drugs"] == []
    unused = made(**CHILD)["limits"]["contrast"][0]["text"]
    nought = made(**CHILD, contrast_used_ml=0)["limits"]["contrast"][0]["text"]
    assert "not known" in unused and "left 72\u00a0mL" in nought


def test_hz18_the_sign_of_z_is_said_in_words_too(made):
    row = made(**CHILD, annulus=[{"mm": 14, "modality": "echo", "view": "short_axis", "frame": "end_systole"}])["z"][0]
    assert "−1.18" in row["text"] and "1.18 below the mean" in row["text"] and "-1" not in row["text"]


def test_hz19_a_stop_is_a_word_and_not_only_a_colour(data, made):
    text = words.plain_text(words.sections(data, made(**CHILD)))
    assert text.count("STOP ") >= 6


def test_hz21_documents_that_disagree_give_no_answer_and_no_bare_balloon(made):
    found = made(age_years=16, duct="closed", symptoms="no", valve="domed", doppler_peak_mmhg=39, catheter_peak_to_peak_mmhg=42, annulus=[annulus(16.3)])
    assert found["conflict"] and "Documents disagree" in found["decision"] and "valve team" in found["decision"]
    assert found["sizing"]["proposal"].startswith("only if the valve team decides")
    assert any("Documents disagree" in text for text in found["warnings"])


def test_hz21_the_newest_table_that_was_not_seen_is_named(made):
    one = answer_of(made(age_years=41, duct="closed"), "treat", "ACC/AHA 2025")
    assert one["answer"] == "not_seen" and "Do not assume" in one["why"]


def test_hz23_no_pressure_without_the_label_of_the_balloon(made, data):
    bare = made(**CHILD, annulus=[annulus(16.3)], shelf_mm=[18, 20, 22])["sizing"]["choices"]
    assert bare and all("no label" in one["label"] and "atm" not in one["label"] for one in bare)
    stripped = json.loads(json.dumps(data))
    for item in stripped["settings"]["balloon_shelf"]:
        item.pop("rated_atm")
    for one in case.plan(stripped, {**CHILD, "annulus": [annulus(16.3)]})["sizing"]["choices"]:
        assert "atm," not in one["label"] and "not shown" in one["label"]
    assert all("never above rated burst" in one["label"] for one in made(**CHILD, annulus=[annulus(16.3)])["sizing"]["choices"])


def test_hz25_a_changed_setting_moves_the_plan(data):
    moved = json.loads(json.dumps(data))
    moved["settings"]["target_high_ratio"] = 1.28
    before, after = [case.plan(one, {**CHILD, "annulus": [annulus(20)]})["sizing"]["target_mm"] for one in (data, moved)]
    assert before == [24, 25] and after[1] == pytest.approx(25.6)


# Each number is the chapter's


def test_each_number_equals_its_formula(made, data):
    inputs = case_files.read_case(case_files.case_files(Path("."))["adult_two_balloons"])
    found = case.plan(data, inputs)
    derived, size = found["derived"], found["sizing"]
    surface = find("body_surface_m2")(height_cm=176, weight_kg=83, by="haycock")
    assert derived["doppler_peak_mmhg"] == find("bernoulli_gradient_mmhg")(velocity_m_s=4.55)
    assert derived["rv_systemic_ratio"] == find("rv_systemic_ratio")(rv_systolic_mmhg=81, systemic_systolic_mmhg=129)
    assert derived["body_surface_m2"] == surface
    area = find("gorlin_area_cm2")(transvalvar_flow_l_min=4.5, heart_rate_bpm=76, ejection_period_s=0.34, mean_gradient_mmhg=40)
    assert derived["valve_area_cm2"] == area
    assert derived["valve_area_index_cm2_m2"] == find("valve_area_index_cm2_m2")(area_cm2=area, body_surface_m2=surface)
    assert derived["valve_resistance_dyn_s_cm5"] == find("valve_resistance_dyn_s_cm5")(
        mean_gradient_mmhg=40, transvalvar_flow_l_min=4.5, heart_rate_bpm=76, ejection_period_s=0.34)
    assert size["target_mm"] == [value for _, value in find("balloon_range_mm")(annulus_mm=28.4, low_ratio=1.2, high_ratio=1.25)]
    for one in size["choices"]:
        if len(one["balloons_mm"]) == 2:
            wide, narrow = one["balloons_mm"]
            assert one["effective_mm"] == pytest.approx(find("two_balloon_diameter_mm")(balloon_a_mm=wide, balloon_b_mm=narrow), rel=1e-12)
        assert one["ratio"] == pytest.approx(one["effective_mm"] / 28.4, rel=1e-12)
        for side, end in zip((-1, 1), one["true_ratio"]):
            assert end == find("true_ratio")(intended_ratio=one["ratio"], measurement_error_percent=side * math.sqrt(59))
    rate = find("egfr_ckd_epi_2021_ml_min_173")(creatinine_umol_l=97, age_years=41, sex="male")
    assert found["limits"]["kidney"][0]["value"] == rate
    rules = {row["formula"]: row["value"] for row in found["limits"]["contrast"] if row["formula"]}
    assert rules["contrast_limit_ml"] == find("contrast_limit_ml")(age_years=41, weight_kg=83, creatinine_umol_l=97)
    # the studies had the clearance, and the filtration rate has a line of its own
    assert rules["contrast_renal_ratio"] == 2 * find("creatinine_clearance_ml_min")(creatinine_umol_l=97, age_years=41, weight_kg=83, sex="male") != 2 * rate


@pytest.mark.parametrize("pair, ratio", [([22, 20], 1.228), ([23, 18], 1.202), ([25, 16], 1.210)])
def test_the_pairs_worked_by_hand_for_28_mm(made, pair, ratio):
    choices = made(age_years=41, annulus=[annulus(28)], shelf_mm=pair)["sizing"]["choices"]
    one = next(one for one in choices if one["balloons_mm"] == pair)
    assert one["ratio"] == pytest.approx(ratio, abs=0.0005) and one["zone"] == "target"


def test_protamine_of_several_boluses_by_hand(made):
    rows = made(**CHILD, heparin=[{"units": 5000, "minutes_ago": 45}, {"units": 1000, "minutes_ago": 20}])["limits"]["protamine"]
    assert [row["value"] for row in rows] == [25, 10, 35]
    capped = made(**CHILD, heparin=[{"units": 5000, "minutes_ago": 10}, {"units": 5000, "minutes_ago": 10}])["limits"]["protamine"]
    assert capped[-1]["value"] == 50 and "capped from 100" in capped[-1]["text"]


def test_contrast_of_a_child_by_hand(made):
    rows = made(**CHILD, contrast_used_ml=100)["limits"]["contrast"]
    assert [row["value"] for row in rows[:4]] == [72, 90, 108, 144]
    assert "passed by 10\u00a0mL" in rows[1]["text"] and "left 44\u00a0mL" in rows[3]["text"] and "think before every run" in rows[8]["text"]


# Command line


def test_the_command_line_tells_the_plan_as_text_and_as_data(capsys, monkeypatch, root, data):
    monkeypatch.chdir(root)
    path = str(case_files.CASES / "dysplastic.yml")
    assert commands.main(["plan", path]) == 0
    assert "TREAT OR NOT, BY DOCUMENT" in capsys.readouterr().out
    assert commands.main(["plan", path, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found == json.loads(json.dumps(case.plan(data, case_files.read_case(Path(path)))))


@pytest.mark.parametrize("content, status, said", [
    ("age_years: 5\nweight: 18\n", 1, "weight is not an input"), ("- 5\n", 2, "field: value"), ("age_years: [1, 2\n", 2, "YAML"),
    ("age_years: 5\nage_years: 6\n", 2, "age_years"), ("=cmd|x\n", 2, "field: value"), ("age_years: '=1+1'\n", 1, "not a plain number"),
    ("", 1, "Age is missing"), (b"\xff\xfe\x00", 2, "UTF-8"),
])
def test_a_file_that_cannot_be_a_plan_is_told_in_a_sentence(tmp_path, capsys, monkeypatch, loaded, content, status, said):
    monkeypatch.setattr(project, "load", lambda root: loaded)  # reading the handbook again says nothing new
    path = tmp_path / "case.yml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    assert commands.main(["plan", str(path)]) == status
    told = capsys.readouterr()
    assert told.out == "" and told.err.startswith("plan: ") and said in told.err and "Traceback" not in told.err

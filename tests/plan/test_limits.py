"""The ceilings of one case on invented settings, each by hand; what is recalled says so in its own line."""

import pytest

from pvcalc.formulas.kidney import egfr_bedside_schwartz_ml_min_173, egfr_ckd_epi_2021_ml_min_173
from pvcalc.plan import doses
from pvcalc.plan.limits import blood_group, caps, case_limits

SETTINGS = {
    "contrast_label_low_ml_kg": 4.0, "contrast_ladder_from_years": 1, "contrast_ladder_filtration_ml_min_173": 60, "contrast_careful_think_ml_kg": 2, "adult_from_years": 18,
    "label_iohexol_350_ml_kg": 5, "label_iohexol_350_cap_ml": 250, "label_iohexol_300_ml_kg": 6, "label_iohexol_300_cap_ml": 291, "label_iodixanol_320_ml_kg": 4,
    "label_iopromide_370_ml_kg": 4, "contrast_child_stop_and_think_ml_kg": 5.0, "contrast_child_high_ml_kg": 6.0, "contrast_child_hard_stop_ml_kg": 8.0, "contrast_child_cap_ml": 150.0,
    "rv_injection_ml_kg": 1.0, "rv_injection_cap_ml": 30.0, "rv_injection_rate_cap_ml_s": 15.0, "contrast_renal_amber_ratio": 2.0, "contrast_renal_red_ratio": 3.0, "contrast_cap_ml": 200.0,
    "lidocaine_plain_mg_kg": 3.0, "lidocaine_plain_cap_mg": 200.0, "lidocaine_adrenaline_mg_kg": 6.0, "lidocaine_adrenaline_cap_mg": 400.0,
    "lidocaine_strength_percent": 1.0, "heparin_units_per_kg": 100.0, "heparin_no_gap_units_per_kg": 50.0, "heparin_first_cap_units": 5000.0,
    "protamine_cap_mg": 50.0, "protamine_rate_mg": 5.0, "protamine_least_time_minutes": 10.0, "haematocrit_floor_percent": 25.0,
    "drawn_least_ml": 0.1, "dilution_fold_count": 10, "newborn_below_days": 28, "dose_preterm_below_days": 90, "dose_adult_from_years": 18, "heparin_units_ml": 1000,
    "blood_volume_obese_ml_per_kg": 50.0, "blood_volume_obese_from_index": 35.0,
    "blood_volume": [{"group": "term newborn", "ml_per_kg": 85.0}, {"group": "infant", "ml_per_kg": 80.0}, {"group": "child", "ml_per_kg": 75.0}],
}
SHARE = {"name": "contrast_child", "title": "Ladder", "document": "Ladder", "topic": "contrast", "source": "practice", "seen": "practice", "policy": "only-one",
         "asks_for": ["age_years", "egfr_ml_min_173", "contrast_ml_per_kg"], "rows": [{"id": "1", "when": {}, "then": {"answer": "within_labels"}}]}
CHILD = {"age_years": 5, "age_days": 5 * 365.25, "weight_kg": 10, "questions": []}
ADULT = {"age_years": 40, "age_days": 40 * 365.25, "weight_kg": 80, "sex": "male", "questions": []}


def limits(recalled=(), settings=None, notes=None, **patient):
    """(rows by part, what is missing, warnings)."""
    told = {key: {"seen": "memory" if key in recalled else "read", "confirm": "the pharmacist" if key in recalled else "nobody"} for key in SETTINGS}
    data = {"settings": {**SETTINGS, **(settings or {})}, "notes": {**told, **(notes or {})}, "tables": {"contrast_child": SHARE}, "doses": DOSES}
    made, _, missing, warnings = case_limits(data, {name: value for name, value in patient.items() if value is not None})
    return made, missing, warnings


def plain(row):
    """Texts of a row with common blanks."""
    return {name: value.replace("\u00a0", " ").replace("\u202f", "") if isinstance(value, str) else value for name, value in row.items()}


def test_without_a_weight_or_with_an_open_question_nothing_rests_on_it():
    for given, word in (({"weight_kg": None}, "weight, for every limit and every dose"), ({"questions": ["?"]}, "an answer to the question about age, height and weight")):
        made, missing, warnings = limits(**{**CHILD, **given})
        assert made == {"contrast": [], "kidney": [], "local_anaesthetic": [], "heparin": [], "protamine": [], "blood": []} and warnings == []
        assert len(missing) == 1 and missing[0].startswith(word)


# Filtration


@pytest.mark.parametrize("patient, formula, given", [
    ({**CHILD, "height_cm": 110}, egfr_bedside_schwartz_ml_min_173, {"height_cm": 110, "age_years": 5}),
    (ADULT, egfr_ckd_epi_2021_ml_min_173, {"sex": "male", "age_years": 40}),
    ({**ADULT, "age_years": 18, "questions": ["?"]}, egfr_ckd_epi_2021_ml_min_173, {"sex": "male", "age_years": 18}),
    ({**ADULT, "questions": ["?"]}, egfr_ckd_epi_2021_ml_min_173, {"sex": "male", "age_years": 40}),
    ({**CHILD, "age_years": 17.5, "height_cm": 170, "sex": "male"}, egfr_bedside_schwartz_ml_min_173, {"height_cm": 170, "age_years": 17.5}),
    ({**CHILD, "age_years": 1, "height_cm": 75}, egfr_bedside_schwartz_ml_min_173, {"height_cm": 75, "age_years": 1})])
def test_the_filtration_rate_is_that_of_the_formula_of_the_age(patient, formula, given):
    made, missing, _ = limits(**patient, creatinine_umol_l=60)
    row = plain(made["kidney"][0])
    assert len(made["kidney"]) == 1 and row["value"] == formula(creatinine_umol_l=60, **given)
    assert (row["label"], row["unit"], row["steps"], row["formula"], row["provenance"]) == ("Filtration rate", "ml_min_173", "creatinine 60 µmol/L", formula.name, "second")
    assert row["text"] == f"{row['value']:.0f} mL/min/1.73 m²" and not any("filtration" in text for text in missing)


@pytest.mark.parametrize("patient, said", [
    ({**ADULT, "sex": None}, "sex, for the filtration rate"), ({**CHILD, "height_cm": None}, "height, for the filtration rate"),
    ({**CHILD, "age_years": 0.9, "height_cm": 70}, "a filtration rate: under one year there is no formula here"),
    ({**CHILD, "age_years": 17.9, "sex": "male"}, "height, for the filtration rate"), ({**ADULT, "age_years": 18, "sex": None, "height_cm": 170}, "sex, for the filtration rate"),
    ({**CHILD, "height_cm": 2}, "a filtration rate: Height 2")])
def test_why_there_is_no_filtration_rate(patient, said):
    made, missing, _ = limits(**patient, creatinine_umol_l=60)
    assert made["kidney"] == [] and [text for text in missing if "filtration" in text][0].startswith(said)


def test_a_childs_rate_waits_while_its_height_is_in_question():
    for age in (5, 17.5):
        made, missing, _ = limits(**{**CHILD, "age_years": age, "height_cm": 110, "questions": ["?"]}, creatinine_umol_l=60)
        assert made["kidney"] == [] and not any("filtration" in text for text in missing)


@pytest.mark.parametrize("age, asked", [(17.9, False), (18, True), (40, True)])
def test_creatinine_is_asked_of_an_adult(age, asked):
    assert ("creatinine, for the contrast limit of an adult" in limits(**{**ADULT, "age_years": age})[1]) is asked


@pytest.mark.parametrize("age, jumps", [(15.9, False), (16, True), (20, True), (25, True), (25.1, False)])
def test_between_16_and_25_years_the_jump_of_the_formulas_is_told(age, jumps):
    assert any("18th birthday" in text for text in limits(**{**ADULT, "age_years": age, "height_cm": 170}, creatinine_umol_l=60)[2]) is jumps
    assert limits(**{**ADULT, "age_years": age})[2] == []


# Contrast: one injection; the ladder has tests of its own


@pytest.mark.parametrize("weight, volume", [(29.9, 29.9), (30, 30), (30.1, None)])
def test_one_injection_above_its_cap_has_no_number(weight, volume):
    row = limits(**{**CHILD, "weight_kg": weight})[0]["contrast"][-1]
    assert row["value"] == volume and (row["steps"] == "") is (volume is None) and row["text"].startswith("up to" if volume else "not above")
    for age in (18, 18.5, 40):
        assert limits(**{**ADULT, "weight_kg": 20, "age_years": age})[0]["contrast"][-1]["value"] is None
    # four steps of the ladder, four labels of a child, one injection
    assert len(limits(**{**CHILD, "age_years": 17.5})[0]["contrast"]) == 9 and len(limits(**{**ADULT, "age_years": 18})[0]["contrast"]) == 5
    assert limits(**{**ADULT, "weight_kg": 20, "age_years": 17.99})[0]["contrast"][-1]["value"] == 20


# Doses


ROW = {"when": "once", "drills": [], "beware": "Look twice."}
DOSES = [
    {**ROW, "id": "heparin", "label": "Heparin", "group": "clotting", "kind": "bolus", "unit": "units", "state": "PLANNED", "needs": "gap",
     "choices": [{"dose": "heparin_units_per_kg", "most": "heparin_first_cap_units"}], "strengths": [{"strength": "heparin_units_ml"}]},
    {**ROW, "id": "heparin_shut", "label": "Heparin, gap shut", "group": "clotting", "kind": "bolus", "unit": "units", "state": "PLANNED", "needs": "gap_shut",
     "choices": [{"dose": "heparin_no_gap_units_per_kg", "most": "heparin_first_cap_units"}], "strengths": [{"strength": "heparin_units_ml"}]},
    {**ROW, "id": "lidocaine_plain", "label": "Lidocaine, plain", "group": "groin_more", "kind": "ceiling", "unit": "mg", "state": "PLANNED",
     "choices": [{"dose": "lidocaine_plain_mg_kg", "most": "lidocaine_plain_cap_mg"}], "strengths": [{"strength": "lidocaine_strength_percent"}]},
    {**ROW, "id": "lidocaine_adrenaline", "label": "Lidocaine with adrenaline", "group": "groin_more", "kind": "ceiling", "unit": "mg", "state": "PLANNED",
     "choices": [{"dose": "lidocaine_adrenaline_mg_kg", "most": "lidocaine_adrenaline_cap_mg"}], "strengths": [{"strength": "lidocaine_strength_percent"}]},
]


def test_local_anaesthetic_is_the_row_of_the_dose_sheet():
    plain_row, mixed = [plain(row) for row in limits(**CHILD)[0]["local_anaesthetic"]]
    # 3 mg/kg × 10 kg is 30 mg, and one per cent holds 10 mg/mL: 3 mL
    assert (plain_row["label"], plain_row["value"], plain_row["unit"], plain_row["text"]) == ("Lidocaine, plain", 30, "mg", "3 mL of 10 mg/mL (1 %) = 30 mg; most 200 mg")
    assert (plain_row["steps"], plain_row["note"]) == ("3 mg/kg × 10 kg = 30 mg", "PLANNED; Look twice.")
    assert (mixed["label"], mixed["value"], mixed["text"]) == ("Lidocaine with adrenaline", 60, "6 mL of 10 mg/mL (1 %) = 60 mg; most 400 mg")
    assert plain_row["formula"] == "local_anaesthetic_limit_ml" and plain_row["provenance"] == "read"
    heavy = [plain(row) for row in limits(**ADULT, settings={"lidocaine_strength_percent": 2.0})[0]["local_anaesthetic"]]
    assert [(row["value"], row["text"]) for row in heavy] == [(200, "10 mL of 20 mg/mL (2 %) = 200 mg; most 200 mg"), (400, "20 mL of 20 mg/mL (2 %) = 400 mg; most 400 mg")]


def test_heparin_is_the_row_of_the_dose_sheet_and_a_gap_counts_as_present_unless_it_is_shown_shut():
    open_gap, = [plain(row) for row in limits(**CHILD)[0]["heparin"]]
    assert (open_gap["label"], open_gap["value"], open_gap["unit"], open_gap["text"], open_gap["steps"]) == (
        "Heparin", 1000, "units", "1 mL of 1000 units/mL = 1000 units; most 5000 units", "100 units/kg × 10 kg = 1000 units")
    assert open_gap["provenance"] == "read" and open_gap["formula"] == "heparin_bolus_units" and open_gap["note"] == "PLANNED; Look twice."
    shut, = limits(**CHILD, atrial_gap="none")[0]["heparin"]
    assert (shut["label"], shut["value"], shut["provenance"]) == ("Heparin, gap shut", 500, "read")
    practice, = limits(**CHILD, notes={"heparin_units_per_kg": {"seen": "practice"}})[0]["heparin"]
    assert (practice["value"], practice["provenance"]) == (1000, "practice"), "how far it was seen comes from the setting"
    assert limits(**CHILD, atrial_gap="left_to_right")[0]["heparin"][0]["value"] == 1000 and limits(**ADULT)[0]["heparin"][0]["value"] == 5000


@pytest.mark.parametrize("weight, value", [(50, 5000), (49.9, 4990), (50.1, 5000)])
def test_a_recalled_cap_of_heparin_is_held_and_named_in_the_same_line(weight, value):
    row, = limits(["heparin_first_cap_units"], **{**ADULT, "weight_kg": weight})[0]["heparin"]
    assert row["value"] == pytest.approx(value) and row["note"].startswith("recalled: sign first (the most); PLANNED") and row["provenance"] == "memory"


def test_heparin_that_was_given_stands_as_given():
    row, = [plain(row) for row in limits(**CHILD, heparin=[{"units": 600, "minutes_ago": 20}])[0]["heparin"]]
    assert row["text"] == "600 units 20 min ago; 60 units/kg; no more without a clotting time" and row["note"].startswith("GIVEN")


def test_a_cap_that_is_reached_is_not_passed():
    assert [caps({"settings": SETTINGS}, value, "lidocaine_plain_cap_mg") for value in (200, 200.1)] == [False, True]


def test_protamine_of_each_bolus_by_its_age_and_the_sum_under_its_cap():
    # within 30 minutes 1 mg for 100 units, within an hour 0.5 mg
    made, _, warnings = limits(**CHILD, heparin=[{"units": 2000, "minutes_ago": 10}, {"units": 1000, "minutes_ago": 45}])
    rows = [plain(row) for row in made["protamine"]]
    assert [(row["label"], row["value"], row["unit"], row["text"]) for row in rows] == [
        ("Against 2000 units, 10 minutes ago", 20, "mg", "20 mg"), ("Against 1000 units, 45 minutes ago", 5, "mg", "5 mg"), ("Protamine, all boluses", 25, "mg", "25 mg")]
    assert rows[2]["steps"] == "cap 50 mg; at most 5 mg a minute, over at least 10 min" and warnings == [] and rows[0]["formula"] == "protamine_mg"
    for units, value, text in ((2500, 50, "50 mg"), (3000, 50, "50 mg, capped from 60 mg")):
        last = plain(limits(**CHILD, heparin=[{"units": units, "minutes_ago": 1}] * 2)[0]["protamine"][-1])
        assert (last["value"], last["text"]) == (value, text)
    assert limits(**CHILD)[0]["protamine"] == []
    refused = limits(**CHILD, heparin=[{"units": 2000, "minutes_ago": 10}, {"units": 2000, "minutes_ago": 999}])
    assert [row["label"] for row in refused[0]["protamine"]] == ["Against 2000 units, 10 minutes ago"] and refused[2][0].startswith("Protamine: ")
    assert limits(**{**CHILD, "weight_kg": None}, heparin=[{"units": 2000, "minutes_ago": 10}])[0]["protamine"][0]["value"] == 20, "it goes by the heparin, not by weight"


# Blood


@pytest.mark.parametrize("years, group", [(0.05, "infant"), (0.99, "infant"), (1, "child"), (17.99, "child"), (18, "adult")])
def test_the_group_of_an_age(years, group):
    assert blood_group(years, "no") == blood_group(years, "no", "yes") == group
    assert blood_group(years, "yes") == blood_group(years, "yes", "no") == "term newborn" and blood_group(years, "yes", "yes") == "preterm newborn"


def test_the_blood_volume_and_the_loss_to_the_floor():
    volume, loss = [plain(row) for row in limits(**CHILD, haematocrit_percent=37.5)[0]["blood"]]
    for cyanosed in ({"newborn": "yes"}, {"atrial_gap": "right_to_left"}):
        row = [plain(row) for row in limits(**CHILD, **cyanosed, haematocrit_percent=48)[0]["blood"]][-1]
        assert row["value"] is None and row["text"].startswith("not computed: the floor of 25 % is not for a newborn")
    # 75 mL/kg × 10 kg; a third of the red cells is what lies between 37.5 and 25
    assert (volume["label"], volume["value"], volume["text"], volume["steps"], volume["formula"]) == ("Blood volume, child", 750, "750 mL", "75 mL/kg × 10 kg", "blood_volume_ml")
    assert (loss["label"], loss["value"], loss["unit"], loss["text"], loss["steps"]) == ("Allowable blood loss", pytest.approx(250), "ml", "about 250 mL", "from 37.5 % to 25 %")
    assert limits(**{**CHILD, "newborn": "yes"})[0]["blood"][0]["value"] == 850 and volume["provenance"] == loss["provenance"] == "read"
    for newborn, years, ml in (("yes", 0.03, 850), ("no", 0.3, 800), ("no", 5.5, 750)):
        assert limits(settings={"blood_volume": SETTINGS["blood_volume"][::-1]}, **{**CHILD, "newborn": newborn, "age_years": years})[0]["blood"][0]["value"] == ml
    made, missing, _ = limits(**CHILD)
    assert len(made["blood"]) == 1 and missing[-1] == "haematocrit, for the blood loss that can be allowed"
    none = limits(**CHILD, haematocrit_percent=25)[0]["blood"][1]
    assert none["value"] is None and none["text"].startswith("none: ")


def test_no_blood_volume_for_a_group_that_is_not_listed():
    only, = limits(**ADULT)[0]["blood"]
    assert only["value"] is None and only["text"] == "not computed: no volume for adult"


ADULTS = {"blood_volume": [{"group": "adult", "ml_per_kg": 65.0}]}


@pytest.mark.parametrize("height, weight, each", [
    # 1.6 m: an index of 35 at 89.6 kg
    (160, 89.5, 65), (160, 89.7, 50), (160, 130, 50), (190, 100, 65)])
def test_a_heavy_adult_has_less_blood_for_each_kilogram(height, weight, each):
    row = plain(limits(["blood_volume_obese_ml_per_kg"], ADULTS, **{**ADULT, "weight_kg": weight, "height_cm": height})[0]["blood"][0])
    assert row["value"] == pytest.approx(each * weight) and row["note"].startswith("body mass index of 35 and more" if each == 50 else "from a body mass index of 35 on 50 mL/kg")
    assert doses.RECALLED in row["note"] and row["provenance"] == ("memory" if each == 50 else "read") and ("heavy" in row["label"]) is (each == 50)


def test_an_adult_without_a_height_is_told_of_the_smaller_volume():
    row = plain(limits(["blood_volume_obese_ml_per_kg"], ADULTS, **ADULT)[0]["blood"][0])
    assert row["note"] == "from a body mass index of 35 on 50 mL/kg (recalled: sign first); the height is blank" and row["value"] == 65 * 80
    assert limits(settings=ADULTS, **ADULT)[0]["blood"][0]["note"].endswith("50 mL/kg; the height is blank")
    assert limits(**{**CHILD, "age_years": 17, "weight_kg": 130, "height_cm": 160})[0]["blood"][0]["value"] == 75 * 130, "an adult's rule"
    assert limits(**CHILD)[0]["blood"][0]["note"] == ""

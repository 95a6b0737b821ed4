"""The drug table of an invented department, each dose worked out by hand; a recalled figure is named and never computed with."""

import pytest

from pvcalc.plan.drugs import DOSES, FIXED, INFUSIONS, NOTE, amount, cap_in, drugs, meant

SETTINGS = {
    "volume_bolus_ml_kg": 5.0, "volume_bolus_cap_ml": 250.0, "esmolol_load_micrograms_kg": 500.0, "esmolol_load_cap_mg": 50.0,
    "phenylephrine_child_low_micrograms_kg": 5.0, "phenylephrine_cap_micrograms": 100.0, "propranolol_iv_step_mg_kg": 0.02, "propranolol_iv_child_cap_mg": 1.0,
    "adrenaline_arrest_micrograms_kg": 10.0, "adrenaline_arrest_cap_mg": 1.0, "adrenaline_arrest_strength_mg_ml": 0.1, "shock_child_j_kg": 4.0, "shock_cap_j": 200.0,
    "amiodarone_mg_kg": 5.0, "amiodarone_cap_mg": 300.0, "atropine_mg_kg": 0.02, "atropine_child_cap_mg": 0.6, "adrenaline_im_mg_kg": 0.01,
    "adrenaline_im_cap_mg": 0.5, "adrenaline_im_strength_mg_ml": 1.0, "anaphylaxis_fluid_ml_kg": 10.0, "anaphylaxis_fluid_cap_ml": 500.0,
    "phenylephrine_adult_micrograms": 100.0, "shock_adult_j": 200.0, "atropine_adult_mg": 0.5,
    "esmolol_start_micrograms_kg_min": 50.0, "esmolol_ceiling_micrograms_kg_min": 300.0, "esmolol_strength_micrograms_ml": 10000.0,
    "phenylephrine_start_micrograms_kg_min": 0.1, "phenylephrine_ceiling_micrograms_kg_min": 2.0, "phenylephrine_strength_micrograms_ml": 100.0,
    "noradrenaline_start_micrograms_kg_min": 0.05, "noradrenaline_ceiling_micrograms_kg_min": 1.0, "noradrenaline_strength_micrograms_ml": 40.0,
    "alprostadil_open_duct_micrograms_kg_min": 0.01, "alprostadil_closing_duct_micrograms_kg_min": 0.05, "alprostadil_ceiling_micrograms_kg_min": 0.1,
    "alprostadil_open_duct_ceiling_micrograms_kg_min": 0.02, "propranolol_iv_infant_cap_mg": 0.5,
    "alprostadil_strength_micrograms_ml": 5.0,
}
CHILD = {"age_years": 5, "weight_kg": 10, "newborn": "no", "questions": []}


def table(recalled=(), settings=None, **patient):
    """Rows by their label."""
    notes = {key: {"seen": "memory" if key in recalled else "read", "confirm": "the pharmacist" if key in recalled else "nobody"} for key in SETTINGS}
    rows = drugs({"settings": {**SETTINGS, **(settings or {})}, "notes": notes}, {**CHILD, **patient})
    assert len({row["label"] for row in rows}) == len(rows)
    return {row["label"]: row for row in rows}


def test_a_dose_was_seen_no_better_than_its_weakest_setting():
    def seen(**words):
        notes = {key: {"seen": words.get(key, "read"), "confirm": "nobody"} for key in SETTINGS}
        return {row["label"]: row["provenance"] for row in drugs({"settings": SETTINGS, "notes": notes}, {**CHILD, "newborn": "no"})}
    assert set(seen().values()) == {"read"}
    assert seen(volume_bolus_ml_kg="practice")["Volume, first bolus"] == "practice" == seen(volume_bolus_cap_ml="practice")["Volume, first bolus"]
    assert seen(noradrenaline_strength_micrograms_ml="practice")["Noradrenaline, infusion"] == "practice"
    assert seen(adrenaline_arrest_strength_mg_ml="practice")["Adrenaline, arrest"] == "practice"
    assert seen(atropine_child_cap_mg="memory")["Atropine"] == "read", "a recalled cap that is not reached is only held against the dose"


def plain(text):
    """A text with common blanks."""
    return text.replace("\u00a0", " ").replace("\u202f", "")


# 10 kg: label, value, unit, what is drawn up, the steps.
TEN = [
    ("Volume, first bolus", 50, "ml", "50 mL", "5 mL/kg × 10 kg = 50 mL; cap 250 mL"),
    ("Esmolol, load over 1 to 2 minutes", 5000, "micrograms", "5000 micrograms", "500 micrograms/kg × 10 kg = 5000 micrograms; cap 50 mg"),
    ("Phenylephrine, first bolus", 50, "micrograms", "50 micrograms", "5 micrograms/kg × 10 kg = 50 micrograms; cap 100 micrograms"),
    ("Propranolol IV, one step", 0.2, "mg", "0.2 mg", "0.02 mg/kg × 10 kg = 0.2 mg; cap 1 mg"),
    # 100 micrograms are 0.1 mg, at 0.1 mg/mL 1 mL
    ("Adrenaline, arrest", 100, "micrograms", "100 micrograms = 1 mL of 0.1 mg/mL", "10 micrograms/kg × 10 kg = 100 micrograms; cap 1 mg"),
    ("Defibrillation, first shock", 40, "j", "40 J", "4 J/kg × 10 kg = 40 J; cap 200 J"),
    ("Amiodarone, shockable arrest", 50, "mg", "50 mg", "5 mg/kg × 10 kg = 50 mg; cap 300 mg"),
    ("Atropine", 0.2, "mg", "0.2 mg", "0.02 mg/kg × 10 kg = 0.2 mg; cap 0.6 mg"),
    ("Adrenaline into the muscle, anaphylaxis", 0.1, "mg", "0.1 mg = 0.1 mL of 1 mg/mL", "0.01 mg/kg × 10 kg = 0.1 mg; cap 0.5 mg"),
    ("Fluid, anaphylaxis, first bolus", 100, "ml", "100 mL", "10 mL/kg × 10 kg = 100 mL; cap 500 mL"),
    # dose × 10 kg × 60 minutes over the strength
    ("Esmolol, infusion", 3, "ml_h", "50 micrograms/kg/min = 3 mL/h of 10000 micrograms/mL", "start 50 micrograms/kg/min, ceiling 300 micrograms/kg/min"),
    ("Phenylephrine, infusion", 0.6, "ml_h", "0.1 micrograms/kg/min = 0.6 mL/h of 100 micrograms/mL", "start 0.1 micrograms/kg/min, ceiling 2 micrograms/kg/min"),
    ("Noradrenaline, infusion", 0.75, "ml_h", "0.05 micrograms/kg/min = 0.75 mL/h of 40 micrograms/mL", "start 0.05 micrograms/kg/min, ceiling 1 micrograms/kg/min"),
]


def test_ten_kilograms_by_hand():
    rows = table()
    assert list(rows) == [label for label, *_ in TEN]
    for label, value, unit, text, steps in TEN:
        row = rows[label]
        assert row["value"] == pytest.approx(value, rel=1e-12) and row["unit"] == unit, label
        assert (plain(row["text"]), plain(row["steps"]), row["note"], row["provenance"]) == (text, steps, NOTE, "read"), label


# 100 kg: every cap applies (500 > 250, 50000 micrograms are exactly 50 mg, 1000 are exactly 1 mg).
@pytest.mark.parametrize("label, value, text, capped", [
    ("Volume, first bolus", 250, "250 mL", True), ("Esmolol, load over 1 to 2 minutes", 50000, "50000 micrograms", False),
    ("Phenylephrine, first bolus", 100, "100 micrograms", True), ("Propranolol IV, one step", 1, "1 mg", True),
    ("Adrenaline, arrest", 1000, "1000 micrograms = 10 mL of 0.1 mg/mL", False), ("Defibrillation, first shock", 200, "200 J", True),
    ("Amiodarone, shockable arrest", 300, "300 mg", True), ("Atropine", 0.6, "0.6 mg", True),
    ("Adrenaline into the muscle, anaphylaxis", 0.5, "0.5 mg = 0.5 mL of 1 mg/mL", True), ("Fluid, anaphylaxis, first bolus", 500, "500 mL", True)])
def test_a_hundred_kilograms_by_hand(label, value, text, capped):
    row = table(weight_kg=100)[label]
    assert row["value"] == value and plain(row["text"]) == text and row["steps"].endswith(" applies") is capped


def test_no_weight_or_an_open_question_gives_no_row():
    assert table(weight_kg=None) == {} == table(questions=["Is that so?"])


def test_an_adult_has_fixed_doses_and_none_of_a_child():
    rows = table(age_years=18, weight_kg=60)
    assert [label for who, label, *_ in DOSES if who == "child" and label in rows] == ["Atropine"], "which has a dose of its own"
    for label, value, unit, text in (("Phenylephrine, bolus", 100, "micrograms", "100 micrograms"), ("Defibrillation, biphasic", 200, "j", "200 J"),
                                     ("Atropine", 0.5, "mg", "0.5 mg")):
        assert (rows[label]["value"], rows[label]["unit"], plain(rows[label]["text"]), rows[label]["steps"], rows[label]["provenance"]) == (
            value, unit, text, "fixed dose of an adult", "read")
    assert len(rows) == sum(who == "all" for who, *_ in DOSES) + len(FIXED) + sum(who == "all" for who, *_ in INFUSIONS)
    assert not {label for label, _ in FIXED if label != "Atropine"} & set(table(age_years=17.9))
    named = table(recalled=["shock_adult_j"], age_years=40)["Defibrillation, biphasic"]
    assert (named["value"], named["unit"], named["provenance"], plain(named["steps"])) == (None, "", "memory", "200 J (recalled: confirm)")
    assert named["text"] == "not computed: recalled, confirm with the pharmacist"


@pytest.mark.parametrize("who, patient, expected", [
    ("all", {}, True), ("child", {"age_years": 17.99}, True), ("child", {"age_years": 18}, False), ("open", {"newborn": "yes"}, True),
    ("open", {"newborn": "yes", "duct": "open"}, True), ("open", {"newborn": "yes", "duct": "closed"}, False), ("open", {"duct": "open"}, False),
    ("closing", {"newborn": "yes"}, True), ("closing", {"newborn": "yes", "duct": "closed"}, True), ("closing", {"newborn": "yes", "duct": "open"}, False),
    ("closing", {"duct": "closed"}, False), ("infant", {"age_years": 0.99}, True), ("infant", {"age_years": 1}, False),
    ("after infancy", {"age_years": 0.99}, False), ("after infancy", {"age_years": 1}, True), ("after infancy", {"age_years": 18}, False)])
def test_a_row_is_for_those_it_is_meant_for(who, patient, expected):
    assert meant(who, {**CHILD, **patient}) is expected


def test_a_newborn_has_alprostadil_by_its_duct():
    rows = table(newborn="yes", age_years=0.01, weight_kg=4)
    # 0.01 × 4 × 60 / 5 = 0.48 and 0.05 × 4 × 60 / 5 = 2.4
    assert plain(rows["Alprostadil, duct open"]["text"]) == "0.01 micrograms/kg/min = 0.48 mL/h of 5 micrograms/mL"
    assert plain(rows["Alprostadil, duct closing or shut"]["text"]) == "0.05 micrograms/kg/min = 2.4 mL/h of 5 micrograms/mL"
    assert [plain(rows["Alprostadil, " + duct]["steps"]) for duct in ("duct open", "duct closing or shut")] == [
        "start 0.01 micrograms/kg/min, ceiling 0.02 micrograms/kg/min", "start 0.05 micrograms/kg/min, ceiling 0.1 micrograms/kg/min"]
    assert "cap 0.5 mg" in plain(rows["Propranolol IV, one step"]["steps"]), "an infant has a cap of its own"


def test_a_recalled_dose_is_named_with_its_cap():
    row = table(recalled=["atropine_mg_kg"])["Atropine"]
    assert (row["value"], row["unit"], row["provenance"], row["text"]) == (None, "", "memory", "not computed: recalled, confirm with the pharmacist")
    assert plain(row["steps"]) == "0.02 mg/kg (recalled: confirm); 0.6 mg"


@pytest.mark.parametrize("weight, value", [(10, 0.2), (30, 0.6), (30.1, None)])
def test_a_recalled_cap_leaves_no_number_once_the_dose_passes_it(weight, value):
    row = table(recalled=["atropine_child_cap_mg"], weight_kg=weight)["Atropine"]
    assert row["value"] == (None if value is None else pytest.approx(value)) and "recalled: confirm" in row["steps"]


def test_a_recalled_strength_gives_no_millilitres():
    row = table(recalled=["adrenaline_im_strength_mg_ml"])["Adrenaline into the muscle, anaphylaxis"]
    assert plain(row["text"]) == "0.1 mg" and row["provenance"] == "read"
    drip = table(recalled=["esmolol_strength_micrograms_ml"])["Esmolol, infusion"]
    assert drip["value"] == 500 and drip["unit"] == "micrograms_min" and drip["provenance"] == "read"
    assert plain(drip["text"]) == "500 micrograms/min; no pump rate: strength 10000 micrograms/mL (recalled: confirm)"
    # 0.05 micrograms/kg/min × 3.1 kg: rounded to a tenth it would be a third too much
    small = table(recalled=["noradrenaline_strength_micrograms_ml"], weight_kg=3.1)["Noradrenaline, infusion"]
    assert plain(small["text"]).startswith("0.155 micrograms/min; no pump rate")
    assert plain(drip["steps"]) == "start 50 micrograms/kg/min, ceiling 300 micrograms/kg/min"
    named = table(recalled=["esmolol_start_micrograms_kg_min"])["Esmolol, infusion"]
    assert named["value"] is None and plain(named["steps"]).startswith("50 micrograms/kg/min (recalled: confirm); 300 micrograms/kg/min; 10000")


def test_half_the_strength_is_twice_the_volume():
    row = table(settings={"adrenaline_im_strength_mg_ml": 0.5})["Adrenaline into the muscle, anaphylaxis"]
    assert plain(row["text"]) == "0.1 mg = 0.2 mL of 0.5 mg/mL"


def test_a_rate_that_is_refused_is_told_and_not_given():
    row = table(settings={"esmolol_strength_micrograms_ml": 0.05})["Esmolol, infusion"]
    assert row["value"] is None and row["unit"] == "" and row["text"].startswith("not computed: Concentration 0.05") and row["provenance"] == "read"


def test_a_rate_below_one_keeps_three_decimals():
    # 0.05 × 0.7 kg × 60 / 40 = 0.0525, and 50 × 7 × 60 / 10000 = 2.1; 50 × 3.35 × 60 / 10000 = 1.005
    assert "= 0.053 mL/h" in plain(table(weight_kg=0.7)["Noradrenaline, infusion"]["text"])
    assert "= 1 mL/h" in plain(table(weight_kg=3.35)["Esmolol, infusion"]["text"]) and "= 2.1 mL/h" in plain(table(weight_kg=7)["Esmolol, infusion"]["text"])
    assert "= 1 mL/h" in plain(table(weight_kg=10 / 3)["Esmolol, infusion"]["text"])


@pytest.mark.parametrize("cap, unit, value, expected", [
    ("a_cap_mg", "micrograms", 50.0, 50000), ("a_cap_mg", "mg", 50.0, 50), ("a_cap_micrograms", "mg", 500.0, 0.5), ("a_cap_micrograms", "micrograms", 100.0, 100),
    ("a_cap_ml", "ml", 250.0, 250), ("a_cap_j", "j", 200.0, 200), ("a_cap_mg", "ml", 3.0, 3), ("a_cap_ml", "mg", 3.0, 3)])
def test_a_cap_is_held_against_the_dose_in_the_doses_own_unit(cap, unit, value, expected):
    assert cap_in(cap, unit, value) == expected


@pytest.mark.parametrize("value, unit, text", [
    (0.9994, "mg", "0.999 mg"), (1.04, "mg", "1.04 mg"), (1.004, "mg", "1 mg"), (0.0125, "mg", "0.013 mg"), (1, "mg", "1 mg"), (1.234, "mg", "1.23 mg"), (12.34, "mg", "12.3 mg"), (0.032, "micrograms", "0.032 micrograms"), (9.06, "micrograms", "9.06 micrograms"), (25.0, "mg", "25 mg"), (99.94, "micrograms", "99.9 micrograms"),
    (99.0, "micrograms", "99 micrograms"), (100, "micrograms", "100 micrograms"), (100.4, "micrograms", "100 micrograms"), (150.4, "micrograms", "150 micrograms"), (9.94, "j", "9.9 J"), (10, "j", "10 J"),
    (10.4, "j", "10 J"), (12.34, "ml", "12.3 mL"), (100.0, "ml", "100 mL"), (1200, "ml", "1200 mL")])
def test_an_amount_has_the_digits_that_can_be_drawn_up_and_no_idle_nought(value, unit, text):
    assert plain(amount(value, unit)) == text

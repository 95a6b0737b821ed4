"""The dose sheet of an invented department, each dose worked out by hand."""

import pytest

from pvcalc.plan import doses
from pvcalc.plan.dose_amounts import (
    amount_text, label_text, making_text, per_text, strength_text, syringe_text, three_digits, volume_text)
from tests.helpers.doses_in_words import plain

SETTINGS = {
    "drawn_least_ml": 0.1, "dilution_fold_count": 10, "pump_aim_ml_h": 1, "pump_purge_ml": 2, "pump_least_ml_h": 0.5, "pump_syringe_ml": 50,
    "pump_by_hand_above_ml_h": 1000, "newborn_below_days": 28, "dose_preterm_below_days": 90, "arrest_child_below_years": 8,
    "arrest_adult_from_kg": 50, "dose_adult_from_years": 18, "weak_below_kg": 10, "band_months": 6, "band_years": 6, "band_days": 3,
    "shock_steps_j": [5, 10, 20, 50, 100, 150, 200, 360],
    "drug_mg_kg": 0.5, "drug_cap_mg": 10, "drug_adult_mg": 8, "drug_next_mg": 4, "drug_mg_ml": 2, "drug_weak_mg_ml": 0.5, "drug_high_mg_kg": 2,
    "drug_total_mg_kg": 3, "drug_total_cap_mg": 40, "wait_minutes": 4, "local_percent": 1,
    "pump_micrograms_kg_min": 0.2, "pump_ceiling_micrograms_kg_min": 0.6, "pump_most_micrograms_min": 12, "pump_micrograms_ml": 20,
    "pump_recipe_micrograms_kg": 600, "pump_stock_mg_ml": 1, "fluid_ml_kg": 5, "fluid_cap_ml": 250, "drip_ml_kg_h": 15, "drip_later_ml_kg_h": 30,
    "energy_j_kg": 4, "energy_cap_j": 200, "gas_ppm": 20, "heparin_units_per_kg": 100, "heparin_cap_units": 5000, "top_units_per_kg": 20,
    "top_cap_units": 2500, "sum_units_per_kg": 150, "sum_cap_units": 10000, "heparin_units_ml": 1000, "protamine_cap_mg": 50, "protamine_mg_ml": 10,
}
BASE = {"label": "Drug", "when": "at once", "group": "allergy", "drills": ["block"], "kind": "bolus", "unit": "mg", "beware": "Look twice.",
        "choices": [{"dose": "drug_mg_kg", "most": "drug_cap_mg"}], "strengths": [{"strength": "drug_mg_ml"}]}
CHILD = {"weight_kg": 12, "age_years": 5, "age_days": 5 * 365.25}


def aged(years, **more):
    return {**CHILD, "age_years": years, "age_days": years * 365.25, **more}


def data_of(records, settings=None, seen=None):
    notes = {key: {"seen": "read"} for key in SETTINGS}
    notes.update({key: {"seen": word} for key, word in (seen or {}).items()})
    return {"settings": {**SETTINGS, **(settings or {})}, "notes": notes, "doses": records}


def rows(patient=CHILD, settings=None, seen=None, **record):
    """Rows of one record for a patient, their texts with common blanks."""
    made = doses.sheet(data_of([{"id": "drug", **BASE, **record}], settings, seen), patient)
    return [{key: plain(value) if isinstance(value, str) else value for key, value in row.items()} for row in made]


def row(*given, **more):
    only, = rows(*given, **more)
    return only


# Who


@pytest.mark.parametrize("days, preterm, group", [
    (0, None, "newborn"), (27.99, None, "newborn"), (28, None, "infant"), (89.9, "yes", "preterm"), (90, "yes", "infant"), (5, "yes", "preterm"), (5, "no", "newborn"),
    (365.24, None, "infant"), (365.25, None, "child"), (18 * 365.25 - 1, None, "child"), (18 * 365.25, None, "adult")])
def test_the_group_of_an_age(days, preterm, group):
    assert doses.group_of(data_of([]), {"age_days": days, "age_years": days / 365.25, "preterm": preterm}) == group


@pytest.mark.parametrize("years, kg, looks, rule, first", [
    (7.99, 60, "yes", "child", "child"), (8, 49.9, None, "both", "child"), (8, 50, None, "both", "adult"), (17.9, 30, None, "both", "child"), (12, 30, "yes", "adult", "adult"),
    (12, 90, "no", "child", "child"), (18, 30, None, "adult", "adult"), (18, 30, "no", "adult", "adult"), (40, 100, None, "adult", "adult")])
def test_who_counts_as_an_adult_in_arrest(years, kg, looks, rule, first):
    patient = aged(years, weight_kg=kg, looks_adult=looks)
    assert doses.rule_word(data_of([]), patient) == rule and doses.arrest_rules(data_of([]), patient)[0] == first


def test_both_arrest_doses_stand_when_the_looks_were_not_stated():
    choices = [{"who": ["child"], "dose": "drug_mg_kg", "most": "drug_cap_mg"}, {"who": ["adult"], "dose": "drug_adult_mg", "then": "drug_next_mg"}]
    both = rows(aged(13, weight_kg=14), rule="arrest", choices=choices)
    assert [(one["label"], one["rule"], one["text"]) for one in both] == [
        ("Drug, child rule", "child", "3.5 mL of 2 mg/mL = 7 mg; most 10 mg"), ("Drug, adult rule", "adult", "4 mL of 2 mg/mL = 8 mg; then 4 mg = 2 mL")]
    alone = row(aged(13, weight_kg=14, looks_adult="no"), rule="arrest", choices=choices)
    assert (alone["label"], alone["rule"], alone["amount"]) == ("Drug", "child", 7)
    assert row(aged(40, weight_kg=14), rule="arrest", choices=choices)["amount"] == 8
    assert rows(aged(3), rule="arrest", choices=choices[1:]) == [], "no dose of an adult for a child"


@pytest.mark.parametrize("key, patient, first", [
    ("weak_below_kg", aged(5, weight_kg=9.99), True), ("weak_below_kg", aged(5, weight_kg=10), False), ("band_years", aged(5.99), True), ("band_years", aged(6), False),
    ("band_months", {**CHILD, "age_days": 182, "age_years": 0.498}, True), ("band_months", {**CHILD, "age_days": 183, "age_years": 0.501}, False),
    ("band_days", {**CHILD, "age_days": 2.9, "age_years": 0.008}, True), ("band_days", {**CHILD, "age_days": 3, "age_years": 0.008}, False)])
def test_the_first_choice_that_weight_or_age_stays_under_counts(key, patient, first):
    found = row(patient, choices=[{"below": key, "dose": "drug_adult_mg"}, {"dose": "drug_next_mg"}])
    assert found["amount"] == (8 if first else 4)


def test_a_choice_is_for_those_it_names():
    choices = [{"who": ["newborn", "infant"], "dose": "drug_adult_mg"}, {"who": ["child"], "dose": "drug_next_mg"}]
    assert row(aged(0.5), choices=choices)["amount"] == 8 and row(aged(5), choices=choices)["amount"] == 4 and rows(aged(40), choices=choices) == []


@pytest.mark.parametrize("needs, known, shown", [
    ("gap", {}, True), ("gap", {"atrial_gap": "left_to_right"}, True), ("gap", {"atrial_gap": "none"}, False), ("gap_shut", {"atrial_gap": "none"}, True), ("gap_shut", {}, False),
    ("gap_shut", {"atrial_gap": "right_to_left"}, False), ("open_duct", {}, True), ("open_duct", {"duct": "open"}, True), ("open_duct", {"duct": "stented"}, True), ("open_duct", {"duct": "closed"}, False),
    ("closing_duct", {}, True), ("closing_duct", {"duct": "closed"}, True), ("closing_duct", {"duct": "open"}, True), ("closing_duct", {"duct": "stented"}, False)])
def test_a_row_that_hangs_on_gap_or_duct(needs, known, shown):
    assert bool(rows({**CHILD, **known}, needs=needs)) is shown


# What is drawn up


def test_a_dose_by_weight_under_its_cap():
    # 0.5 mg/kg × 12 kg is 6 mg, in 2 mg/mL 3 mL; 10 mg at 20 kg exactly
    found = row()
    assert (found["give"], found["strength"], found["dose"], found["most"], found["make"]) == ("3 mL", "2 mg/mL", "6 mg", "most 10 mg", "")
    assert found["text"] == "3 mL of 2 mg/mL = 6 mg; most 10 mg" and found["steps"] == "0.5 mg/kg × 12 kg = 6 mg"
    assert (found["state"], found["beware"], found["when"], found["mark"], found["provenance"], found["sheet"]) == ("READY", "Look twice.", "at once", "", "read", "1")
    for kg, amount, applies in ((20, 10, False), (20.1, 10, True), (100, 10, True)):
        capped = row(aged(5, weight_kg=kg))
        assert capped["amount"] == amount and capped["steps"].endswith("; the most applies") is applies
    fixed = row(choices=[{"dose": "drug_adult_mg"}])
    assert fixed["text"] == "4 mL of 2 mg/mL = 8 mg" and fixed["steps"] == "8 mg, whatever the weight"


@pytest.mark.parametrize("kg, give, strength, make", [
    (0.4, "0.1 mL", "2 mg/mL", ""), (0.39, "0.98 mL", "0.2 mg/mL", "dilute: 1 mL of 2 mg/mL made up to 10 mL"), (0.2, "0.5 mL", "0.2 mg/mL", "dilute: 1 mL of 2 mg/mL made up to 10 mL")])
def test_nothing_below_a_tenth_of_a_millilitre_is_drawn(kg, give, strength, make):
    found = row(aged(0.01, weight_kg=kg))
    assert (found["give"], found["strength"], found["make"]) == (give, strength, make) and found["amount"] == pytest.approx(0.5 * kg)


def test_one_strength_for_a_patient_and_how_it_is_made():
    strengths = [{"below": "weak_below_kg", "strength": "drug_weak_mg_ml", "from": "drug_mg_ml"}, {"strength": "drug_mg_ml"}]
    light, heavy = row(aged(1, weight_kg=9.9), strengths=strengths), row(aged(1, weight_kg=10), strengths=strengths)
    assert (light["strength"], light["give"], light["make"]) == ("0.5 mg/mL", "9.9 mL", "1 mL of 2 mg/mL made up to 4 mL")
    assert (heavy["strength"], heavy["give"], heavy["make"]) == ("2 mg/mL", "2.5 mL", "")
    by_who = [{"who": ["adult"], "strength": "drug_weak_mg_ml"}, {"strength": "drug_mg_ml"}]
    assert row(aged(40), strengths=by_who)["strength"] == "0.5 mg/mL" and row(strengths=by_who)["strength"] == "2 mg/mL"


def test_larger_step_next_dose_and_sum_stand_behind_the_dose():
    found = row(choices=[{"dose": "drug_mg_kg", "high": "drug_high_mg_kg", "most": "drug_cap_mg", "total": "drug_total_mg_kg", "total_most": "drug_total_cap_mg"}])
    # up to 24 mg, held at 10; in all 36 mg
    assert found["most"] == "up to 10 mg = 5 mL; most 10 mg; in all 36 mg"
    assert row(aged(5, weight_kg=14), choices=[{"dose": "drug_mg_kg", "total": "drug_total_mg_kg", "total_most": "drug_total_cap_mg"}])["most"] == "in all 40 mg"
    assert row(choices=[{"dose": "drug_mg_kg", "total": "drug_adult_mg"}])["most"] == "in all 8 mg"
    assert row(choices=[{"dose": "drug_mg_kg", "high": "drug_high_mg_kg"}])["most"] == "up to 24 mg = 12 mL"


def test_a_ceiling_is_never_shown_higher_than_it_is():
    found = row(aged(5, weight_kg=11.119), kind="ceiling", strengths=[{"strength": "local_percent"}])
    # 5.5595 mg, 0.55595 mL of 10 mg/mL
    assert (found["give"], found["dose"], found["strength"]) == ("0.55 mL", "5.55 mg", "10 mg/mL (1 %)") and row(aged(5, weight_kg=11.119))["dose"] == "5.56 mg"


def test_a_fluid_an_energy_and_a_gas():
    fluid = row(kind="volume", unit="ml", fluid="crystalloid", choices=[{"dose": "fluid_ml_kg", "most": "fluid_cap_ml"}], strengths=[])
    assert fluid["text"] == "60 mL of crystalloid = 5 mL/kg; most 250 mL" and fluid["value"] == 60
    assert row(aged(5, weight_kg=80), kind="volume", unit="ml", fluid="crystalloid", choices=[{"dose": "fluid_ml_kg", "most": "fluid_cap_ml"}])["value"] == 250
    shock = {"kind": "shock", "unit": "j", "choices": [{"dose": "energy_j_kg", "most": "energy_cap_j"}], "strengths": []}
    assert row(**shock)["text"] == "48 J: set 50 J; most 200 J" and row(aged(5, weight_kg=25.5), **shock)["text"] == "102 J: set 100 J; most 200 J"
    # 4 J/kg × 83 kg are 332: held at 200, and no step above it is set
    assert row(aged(5, weight_kg=83), **shock)["text"] == "200 J: set 200 J; most 200 J" and row(aged(5, weight_kg=83), **shock)["steps"].endswith("the most applies")
    assert row(**{**shock, "choices": [{"dose": "energy_cap_j"}]})["text"] == "200 J: set 200 J"
    assert row(kind="gas", unit="ppm", choices=[{"dose": "gas_ppm"}], strengths=[])["text"] == "20 ppm; not above"


# Pumps

PUMP = {"kind": "pump", "unit": "micrograms", "choices": [{"dose": "pump_micrograms_kg_min", "ceiling": "pump_ceiling_micrograms_kg_min"}],
        "strengths": [{"strength": "pump_micrograms_ml", "from": "pump_stock_mg_ml"}]}


@pytest.mark.parametrize("kg, text, make", [
    # 0.2 micrograms/kg/min × kg × 60 min over 20 micrograms/mL is 0.6 mL/kg/h
    (12, "7.2 mL/h of 20 micrograms/mL = 0.2 micrograms/kg/min; most 0.6 micrograms/kg/min = 21.6 mL/h", "1 mL of 1 mg/mL made up to 50 mL"),
    (5 / 3, "1 mL/h of 20 micrograms/mL = 0.2 micrograms/kg/min; most 0.6 micrograms/kg/min = 3 mL/h", "1 mL of 1 mg/mL made up to 50 mL"),
    (1.5, "0.9 mL/h of 20 micrograms/mL = 0.2 micrograms/kg/min; most 0.6 micrograms/kg/min = 2.7 mL/h; purge 2 mL before connecting", "1 mL of 1 mg/mL made up to 50 mL"),
    (0.8, "4.8 mL/h of 2 micrograms/mL = 0.2 micrograms/kg/min; most 0.6 micrograms/kg/min = 14.4 mL/h", "dilute: 0.1 mL of 1 mg/mL made up to 50 mL")])
def test_a_pump_aims_at_one_millilitre_an_hour_and_says_what_to_do_below(kg, text, make):
    found = row(aged(0.05, weight_kg=kg), **PUMP)
    assert (found["text"], found["make"]) == (text, make)


def test_a_pump_exactly_at_its_least_rate_is_purged_and_not_diluted():
    found = row(aged(0.05, weight_kg=5 / 6), **PUMP)
    assert found["give"] == "0.5 mL/h" and found["strength"] == "20 micrograms/mL" and "purge" in found["most"]


def test_a_syringe_made_for_the_weight():
    recipe = {**PUMP, "strengths": [{"recipe": "pump_recipe_micrograms_kg", "from": "pump_stock_mg_ml"}]}
    # 600 micrograms/kg in 50 mL: 1 mL/h is 0.2 micrograms/kg/min at any weight
    light, heavy = row(aged(0.05, weight_kg=1.5), **recipe), row(aged(0.05, weight_kg=3.2), **recipe)
    assert light["text"] == "1 mL/h of 900 micrograms in 50 mL = 0.2 micrograms/kg/min; most 0.6 micrograms/kg/min = 3 mL/h" and light["make"] == "0.9 mL of 1 mg/mL made up to 50 mL"
    assert (heavy["give"], heavy["strength"], heavy["make"]) == ("1 mL/h", "1.92 mg in 50 mL (38.4 micrograms/mL)", "1.92 mL of 1 mg/mL made up to 50 mL")


def test_the_ceiling_of_a_pump_is_held_by_an_adults():
    choice = {"dose": "pump_micrograms_kg_min", "ceiling": "pump_ceiling_micrograms_kg_min", "most": "pump_most_micrograms_min"}
    # 0.6 × 20 kg are exactly the 12 micrograms/min: 36 mL/h; 0.2 × 70 kg are 14, held at 12
    assert "most 0.6 micrograms/kg/min = 36 mL/h" in row(aged(5, weight_kg=20), **{**PUMP, "choices": [choice]})["most"]
    assert "most 12 micrograms/min = 36 mL/h" in row(aged(5, weight_kg=20.1), **{**PUMP, "choices": [choice]})["most"]
    heavy = row(aged(5, weight_kg=70), **{**PUMP, "choices": [choice]})
    assert heavy["value"] == pytest.approx(36) and heavy["amount"] == 12


def test_a_fluid_on_a_pump_and_one_too_fast_for_it():
    drip = {"kind": "pump", "unit": "ml", "fluid": "lipid 20 %", "choices": [{"dose": "drip_ml_kg_h", "ceiling": "drip_later_ml_kg_h", "total": "fluid_cap_ml"}], "strengths": []}
    assert row(**drip)["text"] == "180 mL/h of lipid 20 % = 15 mL/kg/h; most 30 mL/kg/h = 360 mL/h; in all 250 mL"
    for kg, told in ((66.6, False), (66.7, True)):
        assert ("by hand" in row(aged(5, weight_kg=kg), **drip)["most"]) is told
    assert row(aged(40), **{**PUMP, "choices": [{"dose": "pump_most_micrograms_min", "ceiling": "pump_most_micrograms_min"}]})["steps"] == "12 micrograms/min, whatever the weight"


# Heparin and protamine

HEPARIN = [
    {**BASE, "id": "heparin", "group": "clotting", "unit": "units", "state": "PLANNED", "needs": "gap", "choices": [{"dose": "heparin_units_per_kg", "most": "heparin_cap_units"}], "strengths": [{"strength": "heparin_units_ml"}]},
    {**BASE, "id": "heparin_shut", "group": "clotting", "unit": "units", "state": "PLANNED", "needs": "gap_shut", "choices": [{"dose": "top_units_per_kg"}], "strengths": [{"strength": "heparin_units_ml"}]},
    {**BASE, "id": "heparin_top_up", "group": "clotting", "unit": "units", "choices": [{"dose": "top_units_per_kg", "most": "top_cap_units", "total": "sum_units_per_kg", "total_most": "sum_cap_units"}], "strengths": [{"strength": "heparin_units_ml"}]},
    {**BASE, "id": "protamine", "group": "clotting", "kind": "protamine", "choices": [{"most": "protamine_cap_mg"}], "strengths": [{"strength": "protamine_mg_ml"}]},
]


def clotting(patient, seen=None):
    return {one["id"]: {key: plain(value) if isinstance(value, str) else value for key, value in one.items()} for one in doses.sheet(data_of(HEPARIN, seen=seen), patient)}


def test_protamine_goes_by_the_first_bolus_and_the_minutes_since():
    # 1200 units: 1, 0.5, 0.375 and 0.25 mg for each hundred
    found = clotting(CHILD)
    assert found["heparin"]["text"] == "1.2 mL of 1000 units/mL = 1200 units; most 5000 units" and found["heparin"]["state"] == "PLANNED"
    assert found["protamine"]["text"] == ("1.2 mL of 10 mg/mL = 12 mg to 30 min; to 60 min 0.6 mL = 6 mg; to 120 min 0.45 mL = 4.5 mg; later 0.3 mL = 3 mg; most 50 mg")
    assert found["protamine"]["steps"] == "against 1200 units, the first bolus of this sheet"
    shut = clotting({**CHILD, "atrial_gap": "none"})
    assert "heparin" not in shut and shut["protamine"]["amount"] == 2.4, "against the smaller bolus"
    # 100 units/kg × 70 kg are held at 5000, and the protamine at 50 mg
    assert clotting(aged(40, weight_kg=70))["protamine"]["text"].startswith("5 mL of 10 mg/mL = 50 mg to 30 min; to 60 min 2.5 mL = 25 mg")


def test_heparin_that_was_given_is_never_planned_again():
    found = clotting({**CHILD, "heparin": [{"units": 1500, "minutes_ago": 35}]}, seen={"heparin_cap_units": "memory"})
    assert (found["heparin"]["state"], found["heparin"]["value"], found["heparin"]["mark"]) == ("GIVEN", None, "")
    assert found["heparin"]["text"] == "1500 units 35 min ago; 125 units/kg; no more without a clotting time" and found["heparin"]["strength"] == ""
    # 150 units/kg × 12 kg are 1800: of the 240 of a top-up all may follow, after 1700 only 100
    assert found["heparin_top_up"]["text"] == "0.24 mL of 1000 units/mL = 240 units; most 2500 units; in all 1800 units; left 300 units"
    assert clotting({**CHILD, "heparin": [{"units": 1700, "minutes_ago": 35}]})["heparin_top_up"]["amount"] == 100
    reached = clotting({**CHILD, "heparin": [{"units": 1000, "minutes_ago": 70}, {"units": 800, "minutes_ago": 20}]})
    assert reached["heparin_top_up"]["give"] == "none: the sum is reached" and reached["heparin_top_up"]["amount"] == 0
    assert reached["heparin"]["give"] == "1000 units 70 min ago; 800 units 20 min ago"
    # 0.375 × 10 + 1 × 8
    assert (reached["protamine"]["amount"], reached["protamine"]["steps"]) == (11.75, "each bolus by its own minutes, the sum under the cap")
    assert reached["protamine"]["text"] == "1.18 mL of 10 mg/mL = 11.8 mg; most 50 mg"
    one = clotting({**CHILD, "heparin": [{"units": 1250, "minutes_ago": 35}]})["protamine"]
    assert one["text"] == "1.25 mL of 10 mg/mL = 12.5 mg to 30 min; to 60 min 0.63 mL = 6.3 mg; to 120 min 0.47 mL = 4.7 mg; later 0.31 mL = 3.1 mg; most 50 mg"
    assert one["steps"] == "against the 1250 units that were given"
    assert clotting({**CHILD, "heparin": [{"units": 5000, "minutes_ago": 5}, {"units": 5000, "minutes_ago": 5}]})["protamine"]["amount"] == 50


# What nobody has read


@pytest.mark.parametrize("seen, mark, provenance", [
    ({}, "", "read"), ({"drug_mg_kg": "memory"}, "recalled: sign first", "memory"), ({"drug_cap_mg": "memory"}, "recalled: sign first (the most)", "memory"),
    ({"drug_mg_ml": "memory"}, "recalled: sign first (the strength)", "memory"), ({"drug_mg_ml": "memory", "drug_cap_mg": "memory"}, "recalled: sign first (the most, the strength)", "memory"),
    ({"drug_mg_ml": "memory", "drug_mg_kg": "memory"}, "recalled: sign first", "memory"), ({"drug_mg_ml": "practice"}, "", "practice"), ({"drug_cap_mg": "derived"}, "", "derived")])
def test_a_recalled_dose_is_printed_with_its_value_and_its_mark(seen, mark, provenance):
    found = row(seen=seen)
    assert (found["mark"], found["provenance"]) == (mark, provenance) and found["text"] == "3 mL of 2 mg/mL = 6 mg; most 10 mg"


def test_parts_of_a_row_that_are_recalled_are_named():
    choice = {"dose": "drug_mg_kg", "high": "drug_high_mg_kg", "then": "drug_next_mg", "total": "drug_total_mg_kg", "total_most": "drug_total_cap_mg"}
    for key, words in (("drug_high_mg_kg", "the larger step"), ("drug_next_mg", "the next dose"), ("drug_total_mg_kg", "the sum"), ("drug_total_cap_mg", "the sum")):
        assert row(seen={key: "memory"}, choices=[choice])["mark"] == "recalled: sign first (" + words + ")"
    for key, words in (("pump_ceiling_micrograms_kg_min", "the ceiling"), ("pump_stock_mg_ml", "the ampoule"), ("pump_micrograms_ml", "the strength")):
        assert row(seen={key: "memory"}, **PUMP)["mark"] == "recalled: sign first (" + words + ")"


def test_a_setting_in_a_sentence_is_told_with_its_unit():
    found = row(when="every [=wait_minutes]", beware="Not above [=drug_cap_mg]; wait [=wait_minutes].")
    assert (found["when"], found["beware"]) == ("every 4 min", "Not above 10 mg; wait 4 min.")
    assert row(choices=[{"dose": "drug_mg_kg", "beware": "Only once."}])["beware"] == "Only once. Look twice."


def test_rows_stand_in_the_order_of_their_groups_and_of_their_file():
    records = [{**BASE, "id": name, "group": group} for name, group in (("d", "antidotes"), ("b", "pulse_lost"), ("c", "failing"), ("a", "pulse_lost"))]
    made = doses.sheet(data_of(records), CHILD)
    assert [one["id"] for one in made] == ["b", "a", "c", "d"] and [one["sheet"] for one in made] == ["1", "1", "2", "4"]
    assert [one["group_title"] for one in made][0] == "Pulse lost" and made[0]["drills"] == ["block"]
    assert [one["id"] for one in doses.named_rows(data_of(records), CHILD, ["c", "a"])] == ["c", "a"]
    for nothing in ({"weight_kg": None}, {"questions": ["Is that so?"]}):
        assert doses.sheet(data_of(records), {**CHILD, **nothing}) == []


# Words and numbers


@pytest.mark.parametrize("value, text", [
    (0.0005, "0.0005"), (0.00625, "0.00625"), (0.0388, "0.0388"), (0.25, "0.25"), (0.2555, "0.256"), (1.0, "1"), (1.004, "1"), (2.556, "2.56"), (25.55, "25.6"), (99.96, "100"), (128.4, "128"), (12450, "12 450")])
def test_three_digits_and_no_idle_nought(value, text):
    assert three_digits(value).replace("\u202f", " ") == text


@pytest.mark.parametrize("value, text", [(0.125, "0.13 mL"), (0.1, "0.1 mL"), (9.994, "9.99 mL"), (10.04, "10 mL"), (24.94, "24.9 mL"), (99.94, "99.9 mL"), (124.4, "124 mL"), (7, "7 mL")])
def test_a_volume_has_the_digits_of_a_syringe(value, text):
    assert plain(volume_text(value)) == text


def test_strengths_and_orders_in_words():
    assert plain(strength_text(0.1, "mg")) == "0.1 mg/mL" and plain(strength_text(16, "micrograms")) == "16 micrograms/mL"
    assert plain(strength_text(10000, "micrograms")) == "10 mg/mL (10000 micrograms/mL)" and plain(strength_text(999, "micrograms")) == "999 micrograms/mL"
    assert plain(strength_text(1000, "units")) == "1000 units/mL" and plain(strength_text(1000, "micrograms")) == "1 mg/mL (1000 micrograms/mL)"
    assert plain(syringe_text(96, "micrograms", 50)) == "96 micrograms in 50 mL" and plain(syringe_text(1000, "micrograms", 50)) == "1 mg in 50 mL (20 micrograms/mL)"
    assert plain(syringe_text(2, "units", 50)) == "2 units in 50 mL"
    assert plain(label_text("local_percent", 0.25)) == "2.5 mg/mL (0.25 %)" and plain(label_text("drug_mg_ml", 2)) == "2 mg/mL"
    assert plain(per_text(0.01, "mg", True, "")) == "0.01 mg/kg" and plain(per_text(0.5, "micrograms", False, "min")) == "0.5 micrograms/min" and plain(per_text(15, "ml", True, "h")) == "15 mL/kg/h"
    assert plain(amount_text(5000, "units")) == "5000 units" and plain(amount_text(0.35, "mmol")) == "0.35 mmol"


@pytest.mark.parametrize("stock, strength, syringe, made", [
    (10, 1, None, "1 mL of it made up to 10 mL"), (10, 0.1, None, "1 mL of it made up to 100 mL"), (0.6, 0.1, None, "1 mL of it made up to 6 mL"),
    (10, 0.05, None, "0.25 mL of it made up to 50 mL"), (1, 0.4, None, "20 mL of it made up to 50 mL"), (1000, 16, 50, "0.8 mL of it made up to 50 mL"),
    (20, 0.04, 50, "0.1 mL of it made up to 50 mL"), (20, 0.02, 50, "1 mL of it made up to 10 mL, then 0.5 mL of that made up to 50 mL"),
    (20, 0.002, 50, "1 mL of it made up to 10 mL, then 1 mL of that made up to 10 mL, then 0.5 mL of that made up to 50 mL")])
def test_how_a_strength_is_made_without_a_volume_that_cannot_be_drawn(stock, strength, syringe, made):
    assert plain(making_text("it", stock, strength, syringe, 0.1)) == made


# What a page asks


def test_the_sheet_as_a_page_asks_for_it():
    data = data_of([{"id": "drug", **BASE}])
    reply = doses.answer(data, {"given": {"weight_kg": "12", "age_years": "5"}})
    assert reply["ok"] and [plain(one["text"]) for one in reply["rows"]] == ["3 mL of 2 mg/mL = 6 mg; most 10 mg"] and reply["questions"] == []
    assert plain(reply["head"]["weight"]) == "12 kg" and reply["head"]["who"] == "Child, 5 years" and reply["head"]["rule"] == "arrest doses of a child"
    assert doses.answer(data, {"given": {"age_years": "5"}}) == {"ok": False, "faults": [("weight_kg", "Weight is missing.")]}
    refused = doses.answer(data, {"given": {"weight_kg": "12"}})
    assert not refused["ok"] and refused["faults"][0][0] == "age_years"
    odd = doses.answer(data, {"given": {"weight_kg": "90", "age_years": "5"}})
    assert odd["ok"] and odd["rows"] == [] and "unusual" in odd["questions"][0]
    assert doses.answer(data, {"given": {"weight_kg": "90", "age_years": "5", "checked": "yes"}})["rows"]
    assert not doses.answer(data, {})["ok"]


@pytest.mark.parametrize("days, words", [(0, "0 days"), (1, "1 day"), (5, "5 days"), (60, "60 days"), (61, "2 months"), (426, "13 months"), (729, "23 months"), (730.5, "2 years"), (6574.4, "17 years")])
def test_an_age_is_told_in_the_unit_of_its_size(days, words):
    assert doses.age_words({"age_days": days, "age_years": days / 365.25}) == words


def test_the_head_says_whose_arrest_doses_these_are():
    data = data_of([])
    assert doses.head(data, aged(13))["rule"] == "arrest doses of adult and child, for the looks were not stated" and doses.head(data, aged(40))["rule"] == "arrest doses of an adult"
    for days, who in ((5, "Newborn, 5 days"), (200, "Infant, 6 months"), (40 * 365.25, "Adult, 40 years")):
        assert doses.head(data, {"weight_kg": 3, "age_days": days, "age_years": days / 365.25})["who"] == who
    assert doses.head(data, {"weight_kg": 1.2, "age_days": 5, "age_years": 0.01, "preterm": "yes"})["who"] == "Born preterm, 5 days"


# What was said of the patient


def test_heparin_thrombocytopenia_leaves_no_dose_of_heparin():
    found = clotting({**CHILD, "heparin_thrombocytopenia": "yes"}, seen={"heparin_cap_units": "memory"})
    for name in ("heparin", "heparin_top_up", "protamine"):
        assert found[name]["text"] == plain(doses.NO_HEPARIN) and (found[name]["value"], found[name]["strength"], found[name]["mark"]) == (None, "", ""), name
    assert clotting({**CHILD, "heparin_thrombocytopenia": "no"})["heparin"]["amount"] == 1200


def test_prostaglandin_that_runs_is_given_and_its_dose_is_told():
    record = {**BASE, **PUMP, "id": "alprostadil_open"}
    made = doses.sheet(data_of([record]), {**CHILD, "prostaglandin": "running", "prostaglandin_nanograms_kg_min": 20})[0]
    assert made["state"] == "GIVEN" and "runs at 20 nanograms/kg/min; most" in plain(made["text"])
    for known in ({}, {"prostaglandin": "stopped", "prostaglandin_nanograms_kg_min": 20}, {"prostaglandin": "running"}):
        assert doses.sheet(data_of([record]), {**CHILD, **known})[0]["state"] == "READY"


def test_what_is_drawn_up_before_the_case_is_ready_and_the_rest_planned():
    assert [row(group=group)["state"] for group in ("pulse_lost", "failing", "antidotes")] == ["READY", "PLANNED", "PLANNED"]
    assert row(state="PLANNED")["state"] == "PLANNED"


def test_an_adult_without_a_weight_still_has_what_is_fixed():
    fixed = {"choices": [{"who": ["child"], "dose": "drug_mg_kg", "most": "drug_cap_mg"}, {"who": ["adult"], "dose": "drug_adult_mg", "then": "drug_next_mg"}]}
    weak = [{"below": "weak_below_kg", "strength": "drug_weak_mg_ml", "from": "drug_mg_ml"}, {"strength": "drug_mg_ml"}]
    for unsure in ({"weight_kg": None}, {"weight_kg": 180, "questions": ["Pounds?"]}):
        found = row(aged(40, **unsure), strengths=weak, **fixed)
        assert found["text"] == "4 mL of 2 mg/mL = 8 mg; then 4 mg = 2 mL" and found["steps"] == "8 mg, whatever the weight"
        assert rows(aged(40, **unsure)) == [] == rows(aged(13, **unsure), **fixed), "nothing by weight, and nothing for a child"
        assert rows(aged(40, **unsure), choices=[{"who": ["adult"], "dose": "drug_adult_mg", "total": "drug_total_mg_kg"}]) == []

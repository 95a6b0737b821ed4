"""Doses worked by hand from what the works print, held against the dose sheet; what the works print wrongly is refused."""

from pathlib import Path

import pytest
import yaml

from pvcalc.handbook.engine import needs
from pvcalc.plan import doses
from pvcalc.plan.dose_amounts import converted, dose_of, held, nearest_step, rate_ml_h, strength_of
from tests.helpers import doses_in_words as by_hand

ENTRIES = yaml.safe_load((Path(__file__).parent / "doses_by_hand.yml").read_text(encoding="utf-8"))
ON_SHEET = [entry for entry in ENTRIES if "row" in entry]
RULES = [entry for entry in ENTRIES if "rule" in entry]
DAYS_A_YEAR = 365.25


@pytest.fixture(scope="module")
def data(loaded):
    return needs.engine_data(loaded)


def name(entry):
    return f"{entry['nr']} {entry['kg']} kg {entry.get('row') or 'rule'}"


def patient_of(entry):
    """The patient of an entry as the sheet takes it."""
    days = entry.get("age_days", entry.get("age_years", 0) * DAYS_A_YEAR)
    known = {key: entry[key] for key in ("preterm", "looks_adult", "atrial_gap", "heparin") if key in entry}
    return {"weight_kg": entry["kg"], "age_days": days, "age_years": days / DAYS_A_YEAR, **known}


def test_there_are_at_least_a_hundred_and_fifty_doses_and_the_seventy_four_are_among_them():
    numbers = {str(entry["nr"]).rstrip("abcd") for entry in ENTRIES}
    assert len(ENTRIES) >= 150 and {str(number) for number in range(1, 75)} <= numbers
    assert len({str(entry["nr"]) for entry in ENTRIES}) == len(ENTRIES)
    assert all(entry.get("apart") for entry in RULES), "a rule that the sheet does not follow says why"


def test_every_dose_names_its_work_with_a_locator(loaded):
    known = set(loaded.data.sources)
    for entry in ENTRIES:
        key, _, locator = entry["work"].partition(", ")
        assert locator and key in known | {"house", "recalled"}, entry


@pytest.mark.parametrize("entry", ON_SHEET, ids=name)
def test_the_sheet_gives_the_dose_that_was_worked_by_hand(data, entry):
    rows = [row for row in doses.sheet(data, patient_of(entry)) if row["id"] == entry["row"]]
    assert len(rows) == 1
    row = rows[0]
    if "dose" in entry:
        by_hand.agrees(entry["dose"], row["amount"], row["unit"])
    if "draw" in entry:
        by_hand.agrees(entry["draw"], row["value"], row["unit"])
    if "of" in entry:
        assert by_hand.plain(row["strength"]).startswith(entry["of"]), row["strength"]
    if "says" in entry:
        assert entry["says"] in by_hand.plain(row["text"] + " | " + row["make"])
    if entry["work"].startswith("recalled"):
        assert row["mark"].startswith(doses.RECALLED), "a dose that nobody saw in print says so"


@pytest.mark.parametrize("entry", RULES, ids=name)
def test_the_arithmetic_gives_what_was_worked_by_hand_for_a_rule_the_sheet_does_not_follow(entry):
    rule = entry["rule"]
    amount, unit = by_hand.read(rule.get("fixed") or rule.get("per_kg") or rule["per_kg_min"])
    amount *= 1 if "fixed" in rule else entry["kg"]
    if "cap" in rule:
        most, most_unit = by_hand.read(rule["cap"])
        amount = held(amount, converted(most, most_unit, unit))
    if "dose" in entry:
        by_hand.agrees(entry["dose"], amount, unit)
    if "draw" in entry:
        strength, strength_unit = by_hand.read(rule["of"].removesuffix("/mL"))
        strength = converted(strength, strength_unit, unit)
        by_hand.agrees(entry["draw"], rate_ml_h(amount, strength) if "per_kg_min" in rule else amount / strength, unit)


@pytest.mark.parametrize("entry", [entry for entry in RULES if "draw" in entry], ids=name)
def test_no_row_of_the_sheet_draws_what_a_rejected_rule_would(data, entry):
    """Below 0.1 mL and below 0.5 mL/h nothing is drawn or pumped, whatever a work prints."""
    volume, unit = by_hand.read(entry["draw"])
    too_small = volume < (0.1 if unit == "mL" else 0.5)
    if too_small:
        patient = {"weight_kg": entry["kg"], "age_days": 3, "age_years": 3 / DAYS_A_YEAR}
        assert all(row["value"] >= (0.5 if "mL/h" in row["give"] else 0.1) - 1e-9 for row in doses.sheet(data, patient) if "mL" in row["give"])


# What is printed somewhere and cannot be: each was met in a work, with the dose it should have been.
SLIPS = [
    ("calcium chloride, about 200 mg/kg for adults", "calcium_chloride_mg_kg", "ml"),
    ("insulin, 0.5 mL/kg", "insulin_ml_kg", "units"),
    ("alprostadil, 0.01 to 0.1 mg/min", "alprostadil_mg_min", "micrograms"),
    ("alprostadil, 0.01 to 0.05 mg/kg/min", "alprostadil_mg_kg_min", "micrograms"),
    ("esmolol, 0.25 to 0.5 mg/kg/min as a bolus", "esmolol_mg_kg_min", "mg"),
    ("esmolol, 0.05 to 0.2 mg/kg/min on the pump", "esmolol_pump_mg_kg_min", "micrograms"),
]


@pytest.mark.parametrize("said, key, unit", SLIPS, ids=[slip[0] for slip in SLIPS])
def test_a_printed_slip_of_the_unit_cannot_become_a_row(said, key, unit):
    with pytest.raises(ValueError):
        dose_of(key, 1, unit)


def test_slips_that_keep_their_unit_are_caught_by_the_allowed_range(loaded, data):
    """A dose ten times off, a per-kilogram that was lost: each lies outside what the department may set."""
    settings = loaded.data.settings
    for key, printed in (("milrinone_micrograms_kg_min", 5), ("calcium_chloride_ml_kg", 2), ("lidocaine_rhythm_mg_kg", 0.5 / 12),
                         ("glucose_ml_kg", 0.1), ("esmolol_start_micrograms_kg_min", 500), ("phenylephrine_ceiling_micrograms_kg_min", 10),
                         ("phenylephrine_adult_micrograms", 500), ("phenylephrine_adult_micrograms", 1000),
                         ("isoprenaline_recipe_micrograms_kg", 3000), ("alprostadil_closing_duct_micrograms_kg_min", 50),
                         ("adrenaline_iv_step_micrograms_kg", 10), ("esmolol_ceiling_micrograms_kg_min", 900), ("atropine_mg_kg", 0.083)):
        setting = settings[key]
        assert not setting.low <= printed <= setting.high, (key, printed)


def test_ten_millilitres_an_hour_is_ten_times_what_the_notebooks_own_recipe_gives():
    # 300 micrograms/kg in 50 mL: 1 mL/h is 0.1 micrograms/kg/min, so 10 mL/h are 1, not the 10 that a page prints
    strength = 300 / 50
    assert rate_ml_h(0.1, strength) == pytest.approx(1) and rate_ml_h(1, strength) == pytest.approx(10) != rate_ml_h(10, strength)


def test_units_that_cannot_be_one_row_are_refused():
    for pair in (("mg", "ml"), ("units", "mg"), ("j", "mg"), ("mmol", "micrograms"), ("ppm", "mg")):
        with pytest.raises(ValueError):
            converted(1, *pair)
    assert converted(1, "mg", "micrograms") == 1000 and converted(250, "micrograms", "mg") == 0.25 and converted(3, "units", "units") == 3
    with pytest.raises(ValueError):
        strength_of("protamine_cap_mg", 1, "mg")


@pytest.mark.parametrize("wanted, step", [(102, 100), (48, 50), (4.8, 5), (12.8, 15), (180, 200), (175, 150), (0.4, 1), (1000, 360)])
def test_the_nearest_step_is_set_and_of_two_as_near_the_lower(wanted, step):
    assert nearest_step(wanted, [1, 2, 5, 10, 15, 20, 30, 50, 70, 100, 150, 200, 360]) == step

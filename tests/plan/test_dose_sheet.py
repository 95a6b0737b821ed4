"""The shipped dose sheet at every weight: what it must hold, and that it says the same everywhere."""

import json
import re
from pathlib import Path

import pytest

from pvcalc.handbook.data import project as projects
from pvcalc.handbook.engine import needs
from pvcalc.page import bridge
from pvcalc.plan import case, doses, words
from pvcalc.plan.dose_amounts import DOSE_UNITS, suffix_of
from tests.helpers.doses_in_words import plain

DAYS = 365.25
# Weight, age, and what else is known: each as child and adult where both exist.
PATIENTS = [
    ("1.2 kg, born preterm", {"weight_kg": 1.2, "age_days": 5, "preterm": "yes"}), ("3.2 kg", {"weight_kg": 3.2, "age_days": 3}),
    ("12 kg", {"weight_kg": 12, "age_years": 2}), ("45 kg, child", {"weight_kg": 45, "age_years": 13, "looks_adult": "no"}),
    ("45 kg, looks adult", {"weight_kg": 45, "age_years": 13, "looks_adult": "yes"}), ("45 kg, adult", {"weight_kg": 45, "age_years": 40}),
    ("83 kg, child", {"weight_kg": 83, "age_years": 16, "looks_adult": "no"}), ("83 kg, not stated", {"weight_kg": 83, "age_years": 16}),
    ("83 kg, adult", {"weight_kg": 83, "age_years": 40}), ("130 kg, child", {"weight_kg": 130, "age_years": 17, "looks_adult": "no"}),
    ("130 kg, adult", {"weight_kg": 130, "age_years": 40})]
WEIGHTS = [0.5, 0.7, 0.9, 1, 1.2, 1.5, 2, 2.5, 2.9, 3, 3.2, 4, 4.9, 5, 7, 7.4, 9.9, 10, 12, 15, 20, 25.5, 30, 40, 45, 49.9, 50, 60, 80, 83, 100, 130, 180, 250]


@pytest.fixture(scope="module")
def data():
    return needs.engine_data(projects.of("."))


def patients_of(weight):
    """Every age that a weight may have, wide: newborn to adult."""
    ages = [(1, 7), (100, 16), (3 * DAYS, 60), (13 * DAYS, 250), (40 * DAYS, 250)]
    for days, most in ages:
        if weight <= most and (days < 40 * DAYS or weight >= 20):
            for known in ({}, {"preterm": "yes"}) if days < 60 else ({}, {"looks_adult": "yes"}, {"looks_adult": "no"}):
                yield {"weight_kg": weight, "age_days": days, "age_years": days / DAYS, **known}


def every_row(data):
    for weight in WEIGHTS:
        for patient in patients_of(weight):
            for row in doses.sheet(data, patient):
                yield patient, row


def test_no_row_is_silently_missing_at_any_weight(data):
    """Every record gives a row to everybody it is meant for, with something for the hand."""
    for weight in WEIGHTS:
        for patient in patients_of(weight):
            names = {row["id"] for row in doses.sheet(data, patient)}
            expected = {record["id"] for record in data["doses"]} - {"heparin_shut"}
            if patient["age_days"] >= 28 and not (patient.get("preterm") and patient["age_days"] < 90):
                expected -= {"alprostadil_open", "alprostadil_closing"}
            assert names == expected, (patient, expected ^ names)
    for patient, row in every_row(data):
        assert row["give"] and row["text"] and row["beware"] and row["state"] in ("PLANNED", "READY"), (patient, row["id"])
        assert row["value"] > 0 and row["amount"] > 0, (patient, row["id"])


def test_nothing_on_any_sheet_is_too_small_to_draw_or_to_pump(data):
    for patient, row in every_row(data):
        if plain(row["give"]).endswith("mL/h"):
            assert row["value"] >= 0.5 - 1e-9, (patient, row["id"], row["give"])
            assert ("purge" in row["text"]) is (row["value"] < 1 - 1e-9), (patient, row["id"])
        elif plain(row["give"]).endswith("mL"):
            assert row["value"] >= 0.1 - 1e-9, (patient, row["id"], row["give"])
        for volume in re.findall(r"([\d.]+) mL of", plain(row["make"])):
            assert float(volume) >= 0.1, (patient, row["id"], row["make"])


def test_a_row_prints_one_unit_of_mass(data):
    """Dose, cap, ceiling, sum and strength: mg or micrograms, never both.

    One amount may be said in both: a dose under 1 mg as it is read aloud, and a label in mg before its micrograms.
    """
    for patient, row in every_row(data):
        text = plain(row["text"])
        for said, in_mg, in_micrograms in re.findall(r"(([\d.]+) mg \(([\d.]+) micrograms\))", text):
            assert row["unit"] == "mg" and float(in_mg) < 1 and float(in_micrograms) == pytest.approx(float(in_mg) * 1000, rel=0.006), (patient, text)
            text = text.replace(said, in_mg + " mg")
        text = re.sub(r"[\d.]+ mg(/mL| in \d+ mL) \([\d.]+ micrograms/mL\)", "", text)
        found = {unit for unit in ("micrograms", "mg", "units", "mmol", "nanograms") if re.search(rf"\d {unit}\b", text)}
        allowed = {"ml": {"mmol"}, "j": set(), "ppm": set()}.get(row["unit"], {row["unit"]})
        assert found <= allowed, (patient, row["id"], text)


def test_an_adult_gets_no_dose_of_a_child_and_a_child_none_of_an_adult(data):
    settings = data["settings"]
    fixed = {"adrenaline_arrest": "adrenaline_arrest_adult_mg", "amiodarone_arrest": "amiodarone_adult_first_mg", "shock": "shock_adult_j", "atropine": "atropine_adult_mg",
             "phenylephrine": "phenylephrine_adult_micrograms", "cardioversion": "cardioversion_adult_j", "adenosine": "adenosine_first_mg", "magnesium": "magnesium_cap_mg"}
    for kg in (30, 45, 83, 130, 200):
        rows = {row["id"]: row for row in doses.sheet(data, {"weight_kg": kg, "age_days": 40 * DAYS, "age_years": 40})}
        assert {name: rows[name]["amount"] for name in fixed} == {name: settings[key] for name, key in fixed.items()}, kg
    for years, looks, rules in ((7.9, "yes", ["child"]), (12, "no", ["child"]), (12, "yes", ["adult"]), (12, None, ["child", "adult"]), (18, "no", ["adult"])):
        patient = {"weight_kg": 40, "age_days": years * DAYS, "age_years": years, "looks_adult": looks}
        assert [row["rule"] for row in doses.sheet(data, patient) if row["id"] == "adrenaline_arrest"] == rules
    child = {row["id"]: row for row in doses.sheet(data, {"weight_kg": 40, "age_days": 12 * DAYS, "age_years": 12, "looks_adult": "no"})}
    assert child["adrenaline_arrest"]["amount"] == pytest.approx(0.4) and child["phenylephrine"]["amount"] == 40 and child["vasopressin"]["amount"] == pytest.approx(0.012)


def test_every_dose_by_weight_is_capped_before_the_heaviest_patient(data):
    """A row by weight for child or adult has a cap or a ceiling that an absolute amount holds, or is a pump by weight."""
    held = {"lipid": "total_ml", "lipid_pump": "total_ml"}
    for record in data["doses"]:
        for choice in record["choices"]:
            if record["kind"] in ("pump", "protamine", "gas") or not choice.get("dose") or record["id"] in held:
                continue
            by_weight = DOSE_UNITS[suffix_of(choice["dose"])][1]
            grown = not choice.get("who") or set(choice["who"]) & {"child", "adult"}
            assert not (by_weight and grown) or choice.get("most") or choice.get("total_most"), (record["id"], choice)


def test_every_setting_of_a_dose_is_one_of_the_sheet_or_of_a_limit(data):
    """No strength, cap or step of the old tables was left behind unread."""
    used = {entry[part] for record in data["doses"] for entry in record["choices"] + record.get("strengths", []) for part in entry if part not in ("who", "beware")}
    for key in ("noradrenaline_strength_micrograms_ml", "propranolol_iv_child_cap_mg", "propranolol_iv_infant_cap_mg", "protamine_strength_mg_ml", "esmolol_strength_micrograms_ml",
                "shock_cap_j", "cardioversion_next_j_kg", "atropine_adult_total_mg", "glucagon_adult_mg", "lipid_total_ml_kg", "alprostadil_strength_micrograms_ml"):
        assert key in used, key


@pytest.mark.parametrize("name, given", PATIENTS, ids=[name for name, _ in PATIENTS])
def test_every_dose_is_the_same_string_on_plan_drill_preparation_and_paper(data, name, given):
    rows = asked(given)
    planned = case.plan(data, {**given, "checked": "yes"})
    text = plain(words.plain_text(words.sections(data, planned)))
    assert [row["text"] for row in planned["drugs"]] == [row["text"] for row in rows]
    for row in rows:
        line = next(line for line in text.splitlines() if line.strip().startswith(plain(row["label"] + ": " + row["when"])))
        assert plain(row["text"]) in line and row["state"] in line and plain(row["mark"]) in line
    for limit in planned["limits"]["heparin"] + planned["limits"]["local_anaesthetic"]:
        assert limit["text"] in {row["text"] for row in rows}


def asked(given):
    """Rows as a page's engine gives them: through the one door, as JSON."""
    bridge.DATA.clear()
    bridge.add([], json.dumps(needs.engine_data(projects.of("."))))
    reply = json.loads(bridge.reply(json.dumps({"op": "doses", "given": {**given, "checked": "yes"}})))
    assert reply["ok"] and reply["rows"]
    return reply["rows"]


def test_every_drill_shows_rows_of_the_sheet_and_every_first_row_stands_in_a_drill(data):
    """No drill names a dose of its own beside its rows, and what the first sheet holds is reached from a drill."""
    drills = {drill for record in data["doses"] for drill in record["drills"]}
    pages = {path.stem: path.read_text(encoding="utf-8") for path in Path("kb/drills").glob("*.md")}
    for page, text in pages.items():
        if "```doses" in text:
            for asked_for in re.findall(r"for: ([\w-]+)", text):
                assert asked_for in drills, (page, asked_for)
    first = [group for group, _, sheet in doses.GROUPS if sheet == "1"]
    spared = {"heparin", "lidocaine_plain"}  # planned before the case, in no emergency
    for record in data["doses"]:
        assert record["group"] not in first or record["drills"] or record["id"] in spared, record["id"]

"""Checklist, pull-back, bands and the family's sheet of an invented department; counts and limits by hand or by a second library."""

import re

import pytest
from scipy.stats import beta

from pvcalc.core.units import unit_of
from pvcalc.plan.tasks import (
    AFTER, BEFORE, DURING, FAMILY, UNKNOWN, bands, checklist, family, item, own_counts, pull_back, stratum_of,
)

KEYS = sorted({key for text, _ in BEFORE + DURING + AFTER for key in re.findall(r"{(\w+)}", text)})
SETTINGS = {**dict.fromkeys(KEYS, 7.0), "arterial_line_from_ratio": 1.0, "interval_confidence": 0.95}
ADULT = {"age_years": 40, "newborn": "no"}
CHILD = {"age_years": 5, "newborn": "no"}
BABY = {"age_years": 0.01, "newborn": "yes"}


def data(**more):
    return {"settings": SETTINGS, "notes": {key: {"seen": "read"} for key in SETTINGS}, "tables": {}, **more}


def lists(patient, ratio=None):
    return checklist(data(), patient, {"rv_systemic_ratio": ratio})


def said(patient, piece, ratio=None):
    """True when a line holds this piece, in any part."""
    return any(piece in line["text"] for part in lists(patient, ratio).values() for line in part)


def test_every_setting_of_a_line_has_a_unit():
    assert len(KEYS) > 25 and all(unit_of(key) for key in KEYS)


@pytest.mark.parametrize("patient, ratio, here", [
    (CHILD, None, set()), (ADULT, None, {"Pregnancy"}), ({**CHILD, "age_years": 17.9}, None, set()), ({**CHILD, "age_years": 18}, None, {"Pregnancy"}),
    (BABY, None, {"Prostaglandin", "Blood ready", "Arterial line"}), (CHILD, 1.0, {"Blood ready", "Arterial line"}), (CHILD, 1.2, {"Blood ready", "Arterial line"}), (CHILD, 0.99, set()),
    ({**CHILD, "valve": "dysplastic"}, None, {"Noonan"}), ({**CHILD, "valve": "domed"}, None, set()), ({**CHILD, "atrial_gap": "right_to_left"}, None, {"Air filters"}),
    ({**CHILD, "atrial_gap": "left_to_right"}, None, set())])
def test_a_line_is_for_those_it_concerns(patient, ratio, here):
    special = {"Pregnancy", "Prostaglandin", "Blood ready", "Arterial line", "Noonan", "Air filters"}
    assert {piece for piece in special if said(patient, piece, ratio)} == here
    assert said(patient, "Done below") is (patient["newborn"] == "no") and said(patient, "Good enough:") is (patient["newborn"] == "yes")


def test_every_part_holds_the_lines_for_everyone():
    made = lists(CHILD)
    assert list(made) == ["before", "during", "after"]
    for part, lines in (("before", BEFORE), ("during", DURING), ("after", AFTER)):
        assert len(made[part]) == sum(who in ("all", "child_adult") for _, who in lines)


@pytest.mark.parametrize("text, words, stop", [
    ("stop: potassium below {potassium_low_mmol_l} or above {potassium_high_mmol_l} in a case", "Potassium below 7 mmol/L or above 7 mmol/L in a case.", True),
    ("arterial line", "Arterial line.", False), ("{crossings_stop_count} at once", "7 at once.", False), ("Wait {settling_minutes}", "Wait 7 min.", False),
    ("do not stop: go on", "Do not stop: go on.", False)])
def test_a_line_has_its_settings_filled_in_and_a_stop_is_marked(text, words, stop):
    assert item(data(), text) == {"text": words.replace("7 m", "7\u00a0m"), "stop": stop}


def test_the_pull_back_is_blank_but_for_what_was_given():
    rows = {row[0]: row[1:] for row in pull_back({"pa_systolic_mmhg": 20.0, "pa_diastolic_mmhg": 8, "rv_systolic_mmhg": 80, "systemic_systolic_mmhg": 0})["rows"]}
    assert rows == {"Pulmonary artery": ["20 / 8", "", ""], "Infundibulum, just below the valve": ["", "", ""], "Right ventricle, body": ["80", "", ""], "Systemic": ["0", "", ""],
                    "Step at the valve": ["", "", ""], "Step below the valve": ["", "", ""], "State: oxygen, sedation, rate": ["", "", ""]}
    assert pull_back({"pa_diastolic_mmhg": 8})["rows"][0] == ["Pulmonary artery", "8", "", ""] and len(pull_back({})["heads"]) == 4


def test_bands_are_the_rows_of_the_tables_for_this_age():
    rows = [{"id": "1", "when": {"valve_gradient_mmhg": "< 35", "tear": "no"}, "then": {"answer": "stop_here", "advice": "Wait."}}, {"id": "2", "when": {}, "then": {"answer": "again"}}]
    table = {"title": "T", "document": "D", "asks_for": ["valve_gradient_mmhg", "tear"], "choices": {"tear": ["yes", "no"]}, "rows": rows}
    tables = {"residual_newborn": {**table, "title": "N"}, "residual_action": table, "infundibular_action": {**table, "assumes": ["A trunk."]}}
    first, second = bands(data(tables=tables), CHILD)
    assert (first["table"], first["title"], first["document"], first["assumes"], second["assumes"]) == ("residual_action", "T", "D", [], ["A trunk."])
    assert first["rows"] == [["step at the valve on pull-back less than 35\u00a0mmHg; and tear: no", "stop here", "Wait."], ["", "again", ""]]
    assert [one["table"] for one in bands(data(tables=tables), BABY)] == ["residual_newborn", "infundibular_action"]


@pytest.mark.parametrize("patient, stratum", [
    (BABY, "newborn"), (CHILD, "child"), ({**CHILD, "valve": "dysplastic"}, "dysplastic"), (ADULT, "adult"), ({**ADULT, "valve": "dysplastic"}, "adult"),
    ({**CHILD, "age_years": 17.99}, "child"), ({**CHILD, "age_years": 18}, "adult"), ({**BABY, "valve": "dysplastic"}, "newborn")])
def test_the_nearest_published_group(patient, stratum):
    assert stratum_of(patient) == stratum


def counted(events, cases, **more):
    return {"kind": "proportion", "events": events, "cases": cases, "population": "children", "era": "1990s", "definition": "d", "follow_up": "a year", "source": "s", "seen": "read", **more}


def test_a_family_is_told_counts_with_their_interval():
    told = family(data(series={"registry_deaths": counted(2, 100), "children228_reintervention": counted(0, 20), "eight_sites_deaths": counted(None, 5), "adult_deaths": counted(1, 9),
                               "children228_moderate_regurgitation": counted(3, 9, kind="statistic")}), CHILD)
    first, second = told["counts"]
    assert (first["series"], first["words"], first["events"], first["cases"], first["text"], first["confidence"]) == (
        "registry_deaths", "died of the treatment", 2, 100, "2 of 100 died of the treatment", 0.95)
    assert [first[name] for name in ("population", "era", "definition", "follow_up", "source", "provenance")] == ["children", "1990s", "d", "a year", "s", "read"]
    # the exact interval by the beta distribution of another library
    assert first["low"] == pytest.approx(beta.ppf(0.025, 2, 99), rel=1e-6) and first["high"] == pytest.approx(beta.ppf(0.975, 3, 98), rel=1e-6)
    assert (second["series"], second["low"]) == ("children228_reintervention", 0) and told["stratum"] == "child"
    assert told["stratum_words"] == "children, and a registry of all ages" and told["unknown"] == UNKNOWN


# One in a hundred can be drawn among a hundred persons, anything rarer needs a thousand.
@pytest.mark.parametrize("events, cases, out_of", [(1, 100, 100), (1, 101, 1000), (0, 50, 1000), (2, 100, 100)])
def test_one_denominator_for_the_whole_sheet(events, cases, out_of):
    assert family(data(series={"registry_deaths": counted(events, cases), "eight_sites_deaths": counted(5, 10)}), CHILD)["out_of"] == out_of


@pytest.mark.parametrize("kind, told", [("proportion", True), ("statistic", False), ("curve", False)])
def test_only_a_count_is_told_as_one(kind, told):
    counts = family(data(series={"registry_deaths": counted(12, 1450, kind=kind)}), CHILD)["counts"]
    assert [one["text"] for one in counts] == (["12 of 1450 died of the treatment"] if told else [])


def test_what_is_not_known_is_told_first_where_it_matters():
    empty = family(data(), CHILD)
    assert empty["counts"] == [] and empty["unknown"] == ["No counts are carried for this group.", *UNKNOWN] and empty["out_of"] == 100
    thick = family(data(series={"registry_deaths": counted(2, 100)}), {**CHILD, "valve": "dysplastic"})
    assert thick["unknown"][0].startswith("How often the balloon is enough in a thick valve") and thick["unknown"][1:] == UNKNOWN
    assert family(data(), BABY)["unknown"] == ["No counts are carried for this group.", *UNKNOWN]
    assert family(data(), {**CHILD, "valve": "dysplastic"})["unknown"][0] == "No counts are carried for this group." and len(UNKNOWN) == 3


def test_every_series_of_every_group_is_carried(loaded):
    assert {key for told in FAMILY.values() for key, _ in told} <= set(loaded.data.series)


# The department's own counts


def test_own_counts_stand_first_with_their_exact_interval_and_the_sheets_one_denominator():
    told = family(data(series={}), {**CHILD, "own_deaths_count": 0, "own_deaths_cases": 46, "own_leak_count": 3, "own_leak_cases": 40})
    first, second = told["counts"]
    assert first["text"] == "here: 0 of 46 died within 30 days" and (first["low"], first["source"]) == (0, "")
    assert first["high"] == pytest.approx(beta.ppf(0.975, 1, 46)) and round(1000 * first["high"]) == 77
    assert second["low"] == pytest.approx(beta.ppf(0.025, 3, 38)) and second["high"] == pytest.approx(beta.ppf(0.975, 4, 37))
    assert told["out_of"] == 1000 and UNKNOWN[0] not in told["unknown"] and told["unknown"][0] == "No counts are carried for this group."


def test_without_own_counts_the_hospitals_risk_is_not_known():
    assert own_counts(CHILD, 0.95) == [] and UNKNOWN[0] in family(data(series={}), CHILD)["unknown"]

"""The data files: what is shipped has no fault, and each kind of fault is named with its file and line."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from pvcalc.core import units
from pvcalc.handbook.checks.data_faults import DATA_FAULTS as FAULTS
from pvcalc.handbook.checks.data_faults import GOOD, SIGNOFF, line_of
from pvcalc.handbook.data.entries import FOLDER, RECORD, file_of, load
from pvcalc.handbook.data.findings import Finding, nearest, report, unknown
from pvcalc.sizing.inventory import checked_shelf
from pvcalc.sizing.zones import checked_zones
from tests.frozen import ROOT



@pytest.fixture
def tree(tmp_path):
    """A function that writes the small tree with one text replaced, and loads it."""
    def written(section="sources", old="", new=""):
        for name, text in GOOD.items():
            if name == section and old:
                assert text.count(old) >= 1, f"{old!r} is not in {section}"
                text = text.replace(old, new, 1)
            path = tmp_path / file_of(name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return load(tmp_path)

    return written


def test_the_shipped_data_has_no_finding(loaded):
    data = loaded.data
    assert data.findings == []
    assert len(data.sources) > 400 and len(data.settings) > 150


def test_a_copy_of_the_shipped_data_names_a_fault_put_into_it(tmp_path):
    for folder in (FOLDER, RECORD):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    path = tmp_path / FOLDER / "settings.yml"
    lines = path.read_text(encoding="utf-8").splitlines()
    at = next(number for number, line in enumerate(lines) if line == "target_low_ratio:")
    at = next(number for number in range(at, len(lines)) if lines[number].startswith("  value:"))
    lines[at] = "  value: 12"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    faults = [str(finding) for finding in load(tmp_path).findings]
    assert f"kb/_data/settings.yml:{at + 1}: target_low_ratio: `value` is 12; allowed: 1.0 to 1.3" in faults


def test_the_small_tree_is_good(tree):
    data = tree()
    assert data.findings == []
    assert data.value("target_low_ratio") == 1.2
    assert data.where("settings", "shelf") == ("kb/_data/settings.yml", 13)
    assert data.series["restenosis"].events == 9
    assert data.signoff["sizing"].signed_on == date(2026, 11, 25)


@pytest.mark.parametrize("section, old, new, place, says", FAULTS, ids=[f"{row[0]}: {row[4][:50]}" for row in FAULTS])
def test_each_fault_is_named_with_file_and_line(tree, section, old, new, place, says):
    findings = tree(section, old, new).findings
    here = [finding for finding in findings if says in finding.message]
    assert here, report(findings)
    expected = Finding(file_of(section), line_of(section, *place), here[0].message)
    assert here[0] == expected


def test_all_faults_of_all_files_are_reported_at_once(tree):
    faulty = {"sources": ("year: 1990", "yaer: 1990"), "settings": ("value: 1.2", "value: 9"), "series": ("events: 9", "events: 99")}
    saved = dict(GOOD)
    try:
        for section, (old, new) in faulty.items():
            GOOD[section] = GOOD[section].replace(old, new, 1)
        findings = tree().findings
    finally:
        GOOD.update(saved)
    said = report(findings)
    for words in ["field `year` is missing", "unknown field `yaer`", "`value` is 9", "`events` 99 is above `cases` 82"]:
        assert words in said
    assert findings == sorted(findings)


def test_a_wrong_field_does_not_hide_a_rule_between_fields(tree):
    findings = tree("series", "events: 9\n  cases: 82", "events: 99\n  cases: 82\n  colour: red").findings
    said = report(findings)
    assert "unknown field `colour`" in said and "a part cannot exceed its whole" in said


def test_a_percentage_that_does_not_follow_may_stay_with_its_reason(tree):
    data = tree("series", 'printed_percent: "11.0"', 'printed_percent: "12"\n  differs: the paper counts 75 cases')
    assert data.findings == []


@pytest.mark.parametrize("events, cases, printed, follows", [
    (1, 8, "12.5", True), (1, 8, "13", True), (1, 8, "12", True), (1, 8, "12.6", False), (5, 822, "0.6", True),
    (13, 51, "23.6", False), (13, 55, "23.6", True), (4, 69, "5.9", False), (4, 69, "5.8", True), (0, 211, "0", True),
])
def test_a_printed_percentage_follows_within_half_its_last_digit(tree, events, cases, printed, follows):
    findings = tree("series", 'events: 9\n  cases: 82\n  printed_percent: "11.0"',
                    f'events: {events}\n  cases: {cases}\n  printed_percent: "{printed}"').findings
    assert (findings == []) is follows, report(findings)


def test_a_missing_file_and_unreadable_text_are_findings(tmp_path):
    folder = tmp_path / FOLDER
    folder.mkdir(parents=True)
    (folder / "sources.yml").write_text("a: [1, 2\nb: 3\n", encoding="utf-8")
    findings = load(tmp_path).findings
    assert any(f.path.endswith("sources.yml") and "not readable as YAML" in f.message for f in findings)
    missing = sorted(f.path for f in findings if "the file is missing" in f.message)
    assert missing == [file_of(name) for name in ("doses", "hazards", "readings", "series", "settings", "mutation", "signoff")]


def test_an_entry_that_is_no_mapping_is_a_finding(tree):
    findings = tree("signoff", SIGNOFF, "sizing: signed\n").findings
    assert findings == [Finding(file_of("signoff"), 1, "sizing: the entry must be a mapping of fields")]


def test_an_unknown_setting_is_answered_with_the_nearest_name(tree):
    with pytest.raises(KeyError, match="target_low_ratio"):
        tree().value("target_lo_ratio")


def test_findings_sort_print_and_suggest():
    late, early = Finding("b.yml", 2, "late"), Finding("a.yml", 10, "early")
    assert report([late, early, late]) == "a.yml:10: early\nb.yml:2: late"
    assert nearest("setings", ["settings", "sources"]) == "settings"
    assert nearest("qqq", ["settings"]) == ""
    assert unknown("setting", "qqq", ["settings"]) == "no setting is called `qqq`"


def both_ends(setting):
    """The shipped value and both ends of what it may be set to."""
    return [setting.low, setting.value, setting.high]


def test_the_shelf_and_the_zones_serve_the_formula_that_uses_them(loaded):
    data = loaded.data
    fields = ["accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio", "forbidden_above_ratio"]
    zone = {field: data.value(field) for field in fields}
    assert checked_zones([zone]) == [zone]
    shelf = data.value("balloon_shelf")
    assert checked_shelf(shelf) == shelf
    assert all(item["nominal_atm"] <= item["rated_atm"] for item in shelf)


def test_no_setting_leaves_the_range_of_its_unit(loaded):
    for key, setting in loaded.data.settings.items():
        unit = units.unit_of(key)
        if setting.kind == "number" and unit["low"] is not None:
            for value in both_ends(setting):
                assert unit["low"] <= value <= unit["high"], f"{key} {value} lies outside its unit's range"


def test_a_recalled_dose_says_who_must_confirm_it(loaded):
    for key, setting in loaded.data.settings.items():
        recalled_dose = setting.seen == "memory" and any(part in key for part in ("mg_", "micrograms", "_mg", "units"))
        assert not recalled_dose or setting.confirm, f"{key} is recalled, and nobody is named to confirm it"


@pytest.mark.parametrize("per_weight, cap", [
    ("atropine_mg_kg", "atropine_child_cap_mg"), ("amiodarone_mg_kg", "amiodarone_cap_mg"),
    ("adrenaline_im_mg_kg", "adrenaline_im_cap_mg"), ("lidocaine_plain_mg_kg", "lidocaine_plain_cap_mg"),
    ("bupivacaine_mg_kg", "bupivacaine_cap_mg"), ("heparin_units_per_kg", "heparin_first_cap_units"),
    ("esmolol_load_micrograms_kg", "esmolol_load_cap_mg"), ("rv_injection_ml_kg", "rv_injection_cap_ml"),
    ("volume_bolus_ml_kg", "volume_bolus_cap_ml"), ("phenylephrine_child_high_micrograms_kg", "phenylephrine_cap_micrograms"),
])
def test_every_dose_by_weight_has_a_cap_that_bites_before_the_heaviest_patient(loaded, per_weight, cap):
    data = loaded.data
    thousand = 1000 if "micrograms" in per_weight and cap.endswith("_mg") else 1
    assert data.value(cap) * thousand < data.value(per_weight) * 250


@pytest.mark.parametrize(("year", "good"), [(0, True), (1, True), (2, False)])
def test_a_work_of_the_year_to_come_is_taken_and_none_beyond(tree, year, good):
    year += date.today().year
    findings = tree("sources", "year: 1990", f"year: {year}").findings
    assert bool(findings) is not good, report(findings)

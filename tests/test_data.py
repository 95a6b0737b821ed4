"""The data files: what is shipped has no fault, and each kind of fault is named with its file and line."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from pvcalc import units
from pvcalc.handbook.data import load
from pvcalc.handbook.findings import Finding, nearest, report, unknown
from pvcalc.shelf import checked_shelf, checked_zones

ROOT = Path(__file__).resolve().parent.parent
FOLDER = "kb/_data"

# A small tree without a fault. Each test changes one line of it.
SOURCES = """\
baker1990:
  authors: Baker A, et al.
  title: A series
  journal: A journal
  year: 1990
  doi: 10.1000/xyz
  seen: read
  extent: abstract
"""
SETTINGS = """\
target_low_ratio:
  title: Target
  topic: sizing
  value: 1.2
  low: 1.0
  high: 1.3
  why: It came back less often.
  source: baker1990, abstract
  seen: read
  decided_on: 2026-11-25
  review_by: 2028-11-25
shelf:
  title: Shelf
  topic: sizing
  kind: records
  value:
    - {family: standard, diameter_mm: 20, nominal_atm: 3, rated_atm: 5}
    - {family: standard, diameter_mm: 22, nominal_atm: 2, rated_atm: 4}
  limits:
    diameter_mm: [2, 40]
    nominal_atm: [0.5, 40]
    rated_atm: [0.5, 40]
  why: Invented.
  source: house
  seen: practice
  decided_on: 2026-11-25
  review_by: 2027-11-25
schedule:
  title: Schedule
  topic: afterwards
  kind: choice
  value: yearly
  choices: [yearly, monthly]
  why: Agreed.
  source: house
  seen: practice
  decided_on: 2026-11-25
  review_by: 2027-11-25
"""
SERIES = """\
restenosis:
  title: Restenosis
  kind: proportion
  events: 9
  cases: 82
  printed_percent: "11.0"
  population: children
  era: 1980s
  follow_up: 2 years
  definition: 50 mmHg or more
  source: baker1990, abstract
  seen: read
  fact: D-R21
mean_gradient:
  title: Gradient after
  kind: statistic
  value: 28
  unit: mmhg
  spread: standard deviation 21
  population: all ages
  era: 1980s
  follow_up: none
  definition: peak to peak
  source: baker1990, table 2
  seen: read
  fact: D-R01
"""
HAZARDS = """\
phase:
  title: Wrong frame
  cause: frame not recorded
  harm: balloon too large
  severity: 5
  fact: T-HZ3
  controls: [{kind: design, says: the frame is asked for}]
  tests: ["tests/test_x.py::test_no_frame_no_result"]
  uncontrolled: a frame chosen wrongly
  residual: considerable
  owner: operator
"""
SIGNOFF = """\
sizing:
  role: consultant
  signed_on: 2026-11-25
  review_by: 2027-11-25
  rests_on: {text: '0123456789ab'}
"""
GOOD = {"sources": SOURCES, "settings": SETTINGS, "series": SERIES, "hazards": HAZARDS, "signoff": SIGNOFF}


@pytest.fixture
def tree(tmp_path):
    """A function that writes the small tree with one text replaced, and loads it."""
    folder = tmp_path / FOLDER
    folder.mkdir(parents=True)

    def written(section="sources", old="", new=""):
        for name, text in GOOD.items():
            if name == section and old:
                assert text.count(old) >= 1, f"{old!r} is not in {section}"
                text = text.replace(old, new, 1)
            (folder / f"{name}.yml").write_text(text, encoding="utf-8")
        return load(tmp_path)

    return written


def line_of(section, words, after=""):
    """Line of the small tree on which `words` stand, below the line that holds `after`."""
    lines = GOOD[section].splitlines()
    start = next((at for at, line in enumerate(lines) if after and after in line), 0)
    return next(at for at, line in enumerate(lines, 1) if at > start and words in line)


def test_the_shipped_data_has_no_finding():
    data = load(ROOT)
    assert data.findings == []
    assert len(data.sources) > 500 and len(data.settings) > 150


def test_a_copy_of_the_shipped_data_names_a_fault_put_into_it(tmp_path):
    shutil.copytree(ROOT / FOLDER, tmp_path / FOLDER)
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
    assert data.where("settings", "shelf") == ("kb/_data/settings.yml", 12)
    assert data.series["restenosis"].events == 9
    assert data.signoff["sizing"].signed_on == date(2026, 11, 25)


# section, words to replace, new words, where the finding stands (words, below), what it says
FAULTS = [
    ("sources", "  year: 1990\n", "", ("baker1990:", ""), "baker1990: field `year` is missing"),
    ("sources", "year: 1990", "year: not shown", ("year", ""), "needs a `note`"),
    ("sources", "year: 1990", "year: 2090", ("year", ""), "2026"),
    ("sources", "seen: read", "seen: reed", ("seen", ""), "allowed: read, memory, practice; nearest: `read`"),
    ("sources", "extent:", "extnt:", ("extent", ""), "unknown field `extnt`; nearest: `extent`; allowed: authors, title"),
    ("sources", "doi: 10.1000/xyz", "doi: 11.1000/xyz", ("doi", ""), "`doi` is '11.1000/xyz'; it must match"),
    ("sources", "title: A series", "title: https://example.org/a", ("title", ""), "holds an address"),
    ("sources", "seen: read\n", "seen: read\n  memory: [pages]\n", ("extent", ""), "lists `pages`, but the entry does not"),
    ("sources", "  seen: read\n", "  seen: read\n  seen: read\n", ("extent", ""), "the key `seen` stands here a second time"),
    ("settings", "value: 1.2", "value: 1.31", ("value", ""), "`value` is 1.31; allowed: 1.0 to 1.3"),
    ("settings", "value: 1.2", "value: about 1.2", ("value", ""), "allowed: a number"),
    ("settings", "value: 1.2", "value: .nan", ("value", ""), "allowed: a number"),
    ("settings", "  why: It came back less often.\n", "", ("target_low_ratio:", ""), "field `why` is missing"),
    ("settings", "  decided_on: 2026-11-25\n", "", ("target_low_ratio:", ""), "field `decided_on` is missing"),
    ("settings", "  review_by: 2028-11-25\n", "", ("target_low_ratio:", ""), "field `review_by` is missing"),
    ("settings", "review_by: 2028-11-25", "review_by: soon", ("review_by", ""), "allowed: a date such as 2026-11-25"),
    ("settings", "review_by: 2028-11-25", "review_by: 2026-11-25", ("review_by", ""), "is not after `decided_on`"),
    ("settings", "review_by: 2028-11-25", "review_by: 2028-11-27", ("review_by", ""), "at most 24 months"),
    ("settings", "review_by: 2027-11-25", "review_by: 2027-11-27", ("review_by", "shelf:"), "at most 12 months"),
    ("settings", "source: baker1990, abstract", "source: baker1991, abstract", ("source", ""),
     "no source is called `baker1991`; nearest: `baker1990` (or `house`)"),
    ("settings", "source: baker1990, abstract", "source: baker1990", ("source", ""), "`source` has no locator"),
    ("settings", "seen: practice", "seen: read", ("seen", "shelf:"), "a `house` decision was not read anywhere"),
    ("settings", "target_low_ratio:", "target_low_rate:", ("target_low_ratio:", ""), "no known unit suffix"),
    ("settings", "target_low_ratio:", "Target_ratio:", ("target_low_ratio:", ""), "must be lower case"),
    ("settings", "  low: 1.0\n", "", ("target_low_ratio:", ""), "field `low` is missing"),
    ("settings", "low: 1.0", "low: 1.4", ("value", ""), "the lower limit 1.4 is above the upper limit 1.3"),
    ("settings", "why: It", "not_above: nothing_ratio\n  why: It", ("why", ""), "no setting is called `nothing_ratio`"),
    ("settings", "value: yearly", "value: yearl", ("value", "schedule:"), "allowed: yearly, monthly; nearest: `yearly`"),
    ("settings", ", rated_atm: 4}", "}", ("diameter_mm: 22", ""), "a balloon needs its own `rated_atm`"),
    ("settings", "nominal_atm: 2, rated_atm: 4", "nominal_atm: 6, rated_atm: 4", ("diameter_mm: 22", ""),
     "nominal 6 atm is above rated 4 atm"),
    ("settings", "diameter_mm: 22", "diameter_mm: 220", ("diameter_mm: 22", ""), "`diameter_mm` is 220; allowed: 2 to 40"),
    ("settings", "    diameter_mm: [2, 40]\n", "", ("diameter_mm: 20", ""), "`limits` gives no range for the column"),
    ("series", "events: 9", "events: 83", ("events", ""), "`events` 83 is above `cases` 82"),
    ("series", "events: 9\n", "events: 8\n", ("printed_percent", ""), "printed 11.0 % does not follow from 8 of 82 (9.76 %)"),
    ("series", 'printed_percent: "11.0"', 'printed_percent: "11.0"\n  differs: rounding', ("population", ""),
     "`differs` is given, but 11.0 % does follow from 9 of 82"),
    ("series", "  cases: 82\n", "", ("restenosis:", ""), "field `cases` is missing"),
    ("series", "cases: 82", "cases: 0", ("cases", ""), "greater than or equal to 1"),
    ("series", "unit: mmhg", "unit: mmgh", ("unit", ""), "`unit` `mmgh` ends in no known unit suffix"),
    ("series", "  unit: mmhg\n", "", ("mean_gradient:", ""), "field `unit` is missing"),
    ("series", "fact: D-R21", "fact: R21", ("fact", ""), "must match"),
    ("series", "source: baker1990, abstract", "source: baker1909, abstract", ("source", ""), "nearest: `baker1990`"),
    ("hazards", "severity: 5", "severity: 6", ("severity", ""), "less than or equal to 5"),
    ("hazards", "controls: [{kind: design, says: the frame is asked for}]", "controls: []", ("controls", ""), "name at least one"),
    ("hazards", "kind: design", "kind: desing", ("controls", ""), "allowed: design, testing, content, working practice"),
    ("hazards", "  owner: operator\n", "", ("phase:", ""), "field `owner` is missing"),
    ("hazards", "tests/test_x.py::test_no_frame_no_result", "no frame no result", ("tests", ""), "must match"),
    ("signoff", "review_by: 2027-11-25", "review_by: 2025-11-25", ("review_by", ""), "is not after `signed_on`"),
    ("signoff", "'0123456789ab'", "none", ("rests_on", ""), "must match"),
]


@pytest.mark.parametrize("section, old, new, place, says", FAULTS, ids=[f"{row[0]}: {row[4][:50]}" for row in FAULTS])
def test_each_fault_is_named_with_file_and_line(tree, section, old, new, place, says):
    findings = tree(section, old, new).findings
    here = [finding for finding in findings if says in finding.message]
    assert here, report(findings)
    expected = Finding(f"{FOLDER}/{section}.yml", line_of(section, *place), here[0].message)
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
    assert missing == [f"{FOLDER}/{name}.yml" for name in ("hazards", "series", "settings", "signoff")]


def test_an_entry_that_is_no_mapping_is_a_finding(tree):
    findings = tree("signoff", SIGNOFF, "sizing: signed\n").findings
    assert findings == [Finding(f"{FOLDER}/signoff.yml", 1, "sizing: the entry must be a mapping of fields")]


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


def test_the_shelf_and_the_zones_serve_the_formula_that_uses_them():
    data = load(ROOT)
    fields = ["accepted_low_ratio", "target_low_ratio", "target_high_ratio", "accepted_high_ratio", "forbidden_above_ratio"]
    zone = {field: data.value(field) for field in fields}
    assert checked_zones([zone]) == [zone]
    shelf = data.value("balloon_shelf")
    assert checked_shelf(shelf) == shelf
    assert all(item["nominal_atm"] <= item["rated_atm"] for item in shelf)


def test_no_setting_leaves_the_range_of_its_unit():
    for key, setting in load(ROOT).settings.items():
        unit = units.unit_of(key)
        if setting.kind == "number" and unit["low"] is not None:
            for value in both_ends(setting):
                assert unit["low"] <= value <= unit["high"], f"{key} {value} lies outside its unit's range"


def test_a_recalled_dose_says_who_must_confirm_it():
    for key, setting in load(ROOT).settings.items():
        recalled_dose = setting.seen == "memory" and any(part in key for part in ("mg_", "micrograms", "_mg", "units"))
        assert not recalled_dose or setting.confirm, f"{key} is recalled, and nobody is named to confirm it"


@pytest.mark.parametrize("per_weight, cap", [
    ("atropine_mg_kg", "atropine_child_cap_mg"), ("amiodarone_mg_kg", "amiodarone_cap_mg"),
    ("adrenaline_im_mg_kg", "adrenaline_im_cap_mg"), ("lidocaine_plain_mg_kg", "lidocaine_plain_cap_mg"),
    ("bupivacaine_mg_kg", "bupivacaine_cap_mg"), ("heparin_units_per_kg", "heparin_first_cap_units"),
    ("esmolol_load_micrograms_kg", "esmolol_load_cap_mg"), ("rv_injection_ml_kg", "rv_injection_cap_ml"),
    ("volume_bolus_ml_kg", "volume_bolus_cap_ml"), ("phenylephrine_child_high_micrograms_kg", "phenylephrine_cap_micrograms"),
])
def test_every_dose_by_weight_has_a_cap_that_bites_before_the_heaviest_patient(per_weight, cap):
    data = load(ROOT)
    thousand = 1000 if "micrograms" in per_weight and cap.endswith("_mg") else 1
    assert data.value(cap) * thousand < data.value(per_weight) * 250

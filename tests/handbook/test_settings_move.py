"""Moving a setting moves what rests on it: a lever that turns nothing is no lever."""

import re

import pytest
from scipy.stats import beta

from pvcalc.core.units import show
from pvcalc.handbook.authoring import extension, compute, front_matter
from pvcalc.handbook.checks import lint
from pvcalc.handbook.data import project
from pvcalc.handbook.data.findings import AuthorFaults
from pvcalc.handbook.engine import needs
from pvcalc.plan import case
from pvcalc.plan.settings import setting_text


def with_setting(loaded, **changed):
    """The handbook's data with some settings at other values."""
    data = needs.data_of(loaded)
    assert all(data["settings"][key] != value for key, value in changed.items())
    return {**data, "settings": {**data["settings"], **changed}}


@pytest.mark.parametrize("confidence, words", [(0.9, "90\u00a0%"), (0.975, "97.5\u00a0%")])
def test_the_coverage_of_intervals_moves_every_published_count_and_its_words(loaded, confidence, words):
    counted = [entry for entry in loaded.data.series.values() if entry.kind == "proportion"]
    assert len(counted) > 100
    for entry in counted:
        text = compute.series_words(entry, confidence)
        assert f"{words} interval" in text and "95\u00a0% interval" not in text
        # Clopper and Pearson by another library.
        tail = (1 - confidence) / 2
        low = beta.ppf(tail, entry.events, entry.cases - entry.events + 1) if entry.events else 0
        high = beta.ppf(1 - tail, entry.events + 1, entry.cases - entry.events) if entry.events < entry.cases else 1
        shown = [show(100 * end, 2 if 100 * end < 1 else 1 if 100 * end < 10 else 0) for end in (low, high)]
        assert compute.series_words(entry, confidence, "interval") == f"{shown[0]} to {shown[1]}\u00a0%"


def test_the_age_of_a_newborn_moves_its_zones_and_its_blood(loaded):
    given = {"age_days": 40, "duct": "closed", "weight_kg": 4}
    for data, newborn, group in ((needs.data_of(loaded), "no", "infant"), (with_setting(loaded, newborn_below_days=60), "yes", "term newborn")):
        made = case.plan(data, given)
        assert made["inputs"]["newborn"] == newborn and f"Blood volume, {group}" in [row["label"] for row in made["limits"]["blood"]]


def test_the_ratio_never_to_be_passed_moves_what_an_adult_reads(loaded):
    given = {"age_years": 40, "sex": "male", "weight_kg": 80, "creatinine_umol_l": 176.8}
    for data, times in ((needs.data_of(loaded), "3"), (with_setting(loaded, contrast_renal_red_ratio=2.5), "2.50")):
        row = next(row for row in case.plan(data, given)["limits"]["contrast"] if "volume over clearance" in row["label"])
        assert f"never above {times} times the clearance" in row["steps"]


def written(folder, key, value):
    """Write another value of a setting into a copy of the handbook."""
    path = folder / "kb" / "_data" / "settings.yml"
    before, entry = path.read_text(encoding="utf-8").split(f"\n{key}:\n")
    path.write_text(f"{before}\n{key}:\n" + re.sub(r"\n  value: \S+", f"\n  value: {value}", entry, count=1), encoding="utf-8")


def set_to(folder, key, value):
    """The copy read again with another value of a setting."""
    written(folder, key, value)
    loaded = project.load(folder)
    assert loaded.findings == [] and loaded.data.value(key) == value
    return loaded


def page(folder, slug):
    """A chapter as HTML."""
    project.load(folder)
    return extension.convert(folder, *front_matter.source(folder, folder / "kb" / f"{slug}.md"))[0]


@pytest.mark.parametrize("key, value, slug, before, after", [
    ("glucagon_adult_mg", 2, "complications", ">1\u00a0mg</a> (printed ", ">2\u00a0mg</a> (ours; Scarth"),
    ("smallest_contrast_below_ml_min_173", 20, "reference/tables", "eGFR at least 30 and less than 45", "eGFR at least 20 and less than 45"),
    ("newborn_grade_off_days", 60, "reference/tables", "age less than 28\u00a0days", "age less than 60\u00a0days")])
def test_a_setting_moves_the_page_that_names_it(copy_of_project, key, value, slug, before, after):
    assert before in page(copy_of_project, slug)
    set_to(copy_of_project, key, value)
    moved = page(copy_of_project, slug)
    assert before not in moved and (after is None or after in moved)


def test_the_error_of_a_filtration_rate_decides_what_is_called_at_the_cut_off(copy_of_project):
    fence = "```table\nname: kidney_band\ngiven: {egfr_ml_min_173: 43, other_nephrotoxins: \"yes\"}\nwindow: {egfr_ml_min_173: =filtration_window_ml_min_173}\n```\n"
    assert "At the cut-off" not in sentence(copy_of_project, fence)
    set_to(copy_of_project, "filtration_window_ml_min_173", 3)
    assert "At the cut-off: eGFR lies 2\u00a0mL/min" in sentence(copy_of_project, fence)


def test_a_setting_that_nothing_names_is_told_with_its_line(copy_of_project):
    path = copy_of_project / "kb" / "_data" / "settings.yml"
    text = path.read_text(encoding="utf-8")
    entry = text[text.index("\nsettling_minutes:"):]
    entry = entry[:entry.index("\n\n")].replace("settling_minutes", "idle_lever_minutes")
    path.write_text(text.rstrip("\n") + "\n" + entry + "\n", encoding="utf-8")
    (told,) = lint.unread_settings(project.load(copy_of_project))
    assert told.line == text.rstrip("\n").count("\n") + 3 and told.message.startswith("idle_lever_minutes: nothing reads this setting")


def test_every_setting_of_the_handbook_is_read(loaded):
    assert lint.unread_settings(loaded) == []


# --- ours, and what the source prints ---------------------------------------------------------------------------------

def sentence(folder, text):
    """One line of a page as HTML."""
    return extension.convert(folder, "kb/invented.md", text)[0]


def test_a_departed_value_is_called_ours_and_the_source_keeps_its_figure(copy_of_project):
    line = "Shock, child: [=shock_child_j_kg] every time [@resuscitation2010, text]; printed [=printed:shock_child_j_kg]."
    before = sentence(copy_of_project, line)
    assert "ours" not in before and before.count(">4\u00a0J/kg</a>") == 2
    set_to(copy_of_project, "shock_child_j_kg", 3)
    after = sentence(copy_of_project, line)
    assert "3\u00a0J/kg</a> (ours; " in after and "2010 prints 4\u00a0J/kg)" in after
    assert ">4\u00a0J/kg</a> (ours 3\u00a0J/kg)" in after


def test_the_settings_tables_and_the_plan_say_so_too(copy_of_project):
    loaded = set_to(copy_of_project, "target_high_ratio", 1.3)
    html = page(copy_of_project, "sizing")
    assert "1.30" in html and "Rao 2024 prints 1.25" in html
    table = page(copy_of_project, "reference/settings")
    row = table[table.index('id="target_high_ratio"'):].split("</tr>")[0]
    assert "1.30<br>ours; Rao 2024 prints 1.25" in row and "mark--house" in row and "mark--read" not in row
    data = needs.data_of(loaded)
    assert data["notes"]["target_high_ratio"] == {"seen": "practice", "confirm": "", "printed": "Rao 2024 prints 1.25"}
    assert setting_text(data, "target_high_ratio") == "1.30 (ours; Rao 2024 prints 1.25)"


@pytest.mark.parametrize("printed, value, departs", [
    ("4", 4, False), ("4", 3, True), ("20 to 50", 20, False), ("20 to 50", 50, False), ("20 to 50", 30, True), ("30 or 50", 30, False),
    ("2/3", 2 / 3, False), ("2/3", 0.67, True), ("0.02, 0.05 or 0.2", 0.05, False), (["90 to 100", "80"], (90, 80), False), (["90 to 100", "80"], (90, 85), True)])
def test_a_value_is_the_sources_only_when_it_is_one_of_the_numbers_printed(loaded, printed, value, departs):
    records = value if isinstance(value, tuple) else None
    value = [{"group": "a", "ml_per_kg": one} for one in records] if records else value
    made = loaded.data.settings["shock_child_j_kg"].model_copy(update={"printed": printed, "value": value})
    assert made.departs is departs and made.provenance == ("practice" if departs else "read")


def test_every_value_that_was_read_says_what_was_read(loaded):
    read = [setting for setting in loaded.data.settings.values() if setting.seen in ("read", "second")]
    assert len(read) > 100 and all(setting.printed for setting in read)


def test_a_house_value_does_not_stand_in_a_sentence_that_names_works_only(copy_of_project):
    cited = "Accepted down to [=accepted_low_ratio] [@rao2024, abstract]"
    with pytest.raises(AuthorFaults, match=r"\[=accepted_low_ratio\] is the department's own"):
        sentence(copy_of_project, cited + ".")
    assert "1.15" in sentence(copy_of_project, cited + " [practice].")


def test_a_range_is_called_what_the_department_may_set_and_stands_on_the_settings_page_alone(copy_of_project):
    chapter, reference = page(copy_of_project, "preparation"), page(copy_of_project, "reference/settings")
    assert "<th>Allowed</th>" not in chapter + reference and "Department may set" in reference and "Department may set" not in chapter
    row = reference[reference.index('id="heparin_first_cap_units"'):].split("</tr>")[0]
    assert "2500 to 10000\u00a0units" in row
    start = chapter.index("heparin_first_cap_units")
    assert "2500 to 10" not in chapter[start:chapter.index("</tr>", start)]


# --- settings that may not cross each other ---------------------------------------------------------------------------

@pytest.mark.parametrize("changes, told", [
    ({"heparin_total_units_per_kg": 100, "heparin_units_per_kg": 120}, "heparin_units_per_kg: `value` 120 is above `heparin_total_units_per_kg` 100"),
    ({"heparin_no_gap_units_per_kg": 100, "heparin_units_per_kg": 75}, "heparin_no_gap_units_per_kg: `value` 100 is above `heparin_units_per_kg` 75"),
    ({"protamine_least_time_minutes": 9}, "protamine_cap_mg: `value` 50 is above `protamine_rate_mg` 5 times `protamine_least_time_minutes` 9, 45"),
    ({"protamine_rate_mg": 4}, "protamine_cap_mg: `value` 50 is above `protamine_rate_mg` 4 times `protamine_least_time_minutes` 10, 40"),
    ({"smallest_contrast_below_ml_min_173": 45, "recheck_creatinine_below_ml_min_173": 40},
     "smallest_contrast_below_ml_min_173: `value` 45 is above `recheck_creatinine_below_ml_min_173` 40"),
    ({"contrast_renal_amber_ratio": 3, "contrast_renal_red_ratio": 2.5}, "contrast_renal_amber_ratio: `value` 3 is above `contrast_renal_red_ratio` 2.5"),
    ({"smaller_annulus_limit_ratio": 1.45, "forbidden_above_ratio": 1.4}, "smaller_annulus_limit_ratio: `value` 1.45 is above `forbidden_above_ratio` 1.4"),
    ({"shock_adult_j": 250, "shock_cap_j": 200}, "shock_adult_j: `value` 250 is above `shock_cap_j` 200")])
def test_two_settings_that_would_cross_are_told_with_both_values(copy_of_project, changes, told):
    for key, value in changes.items():
        written(copy_of_project, key, value)
    assert told in [finding.message for finding in project.load(copy_of_project).findings]


def test_a_pair_may_meet(copy_of_project):
    written(copy_of_project, "protamine_rate_mg", 5)
    written(copy_of_project, "recheck_creatinine_below_ml_min_173", 30)
    assert project.load(copy_of_project).findings == []

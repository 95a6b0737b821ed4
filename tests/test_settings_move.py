"""Moving a setting moves what rests on it: a lever that turns nothing is no lever."""

import re

import pytest
from scipy.stats import beta

from pvcalc.core.units import show
from pvcalc.handbook.authoring import extension, compute, front_matter
from pvcalc.handbook.checks import lint
from pvcalc.handbook.data import project
from pvcalc.handbook.engine import needs
from pvcalc.plan import case


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
    for data, times in ((needs.data_of(loaded), 3), (with_setting(loaded, contrast_renal_red_ratio=2.5), 2.5)):
        row = next(row for row in case.plan(data, given)["limits"]["contrast"] if "filtration rate below" in row["label"])
        # CKD-EPI 2021 at 2 mg/dL, 40 years, male: 142 × (2 / 0.9)^-1.200 × 0.9938^40
        rate = 142 * (2 / 0.9) ** -1.2 * 0.9938 ** 40
        assert f"never above {show(times, 0 if times == 3 else 2)} times the rate, {show(times * rate, 1, down=True)}" in row["steps"]


def set_to(folder, key, value):
    """Write another value of a setting into a copy of the handbook, and read it again."""
    path = folder / "kb" / "_data" / "settings.yml"
    before, entry = path.read_text(encoding="utf-8").split(f"\n{key}:\n")
    path.write_text(f"{before}\n{key}:\n" + re.sub(r"\n  value: \S+", f"\n  value: {value}", entry, count=1), encoding="utf-8")
    loaded = project.load(folder)
    assert loaded.findings == [] and loaded.data.value(key) == value
    return loaded


def page(folder, slug):
    """A chapter as HTML."""
    project.load(folder)
    return extension.convert(folder, *front_matter.source(folder, folder / "kb" / f"{slug}.md"))[0]


@pytest.mark.parametrize("key, value, slug, before, after", [
    ("filtration_window_ml_min_173", 0.5, "preparation", "At the cut-off: eGFR lies 1", None),
    ("glucagon_adult_mg", 2, "complications", ">1\u00a0mg</a> (1 to 2), slowly", ">2\u00a0mg</a> (1 to 2), slowly"),
    ("smallest_contrast_below_ml_min_173", 20, "reference/tables", "eGFR at least 30 and less than 45", "eGFR at least 20 and less than 45"),
    ("newborn_grade_off_days", 60, "reference/tables", "age less than 28\u00a0days", "age less than 60\u00a0days")])
def test_a_setting_moves_the_page_that_names_it(copy_of_project, key, value, slug, before, after):
    assert before in page(copy_of_project, slug)
    set_to(copy_of_project, key, value)
    moved = page(copy_of_project, slug)
    assert before not in moved and (after is None or after in moved)


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

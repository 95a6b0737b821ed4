"""Contrast of invented patients: the ladder with its cap at every weight, the labels, the kidney, and what was given before."""

import json

import pytest

from pvcalc.handbook.engine import needs
from pvcalc.plan import case, contrast, words


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


@pytest.fixture
def spent(data):
    """`spent(age_years=8, weight_kg=25, …)`: (step of the verdict, the record, the whole plan)."""
    def planned(**inputs):
        made = case.plan(data, {"checked": "yes", **inputs})
        return made["verdict"]["contrast_step"], made["contrast"], made
    return planned


# 20 kg: 4, 5, 6 and 8 mL/kg are 80, 100, 120 and 160 mL.
@pytest.mark.parametrize("used, step", [(0, "within_labels"), (79.9, "within_labels"), (80, "label_reached"), (99.9, "label_reached"), (100, "think"), (119.9, "think"),
                                        (120, "consultant_written"), (159.9, "consultant_written"), (160, "hard_stop"), (300, "hard_stop")])
def test_each_rung_of_the_ladder_from_both_sides(spent, used, step):
    assert spent(age_years=6, weight_kg=20, contrast_used_ml=used)[0] == step


# 4 × 62.5, 5 × 50, 6 × 41.7 and 8 × 31.25 are 250 mL: from there on the cap rules, at every age.
@pytest.mark.parametrize("patient", [{"age_years": 16, "weight_kg": 70}, {"age_years": 30, "weight_kg": 80}, {"age_years": 12, "weight_kg": 108}])
@pytest.mark.parametrize("used, step", [(249.9, "within_labels"), (250, "hard_stop"), (310, "hard_stop")])
def test_every_step_ends_at_the_cap_whatever_the_weight(spent, patient, used, step):
    found, record, made = spent(**patient, contrast_used_ml=used)
    assert found == step and record["hard_ml"] == record["think_ml"] == 250
    assert ("contrast_passed" in made["verdict"]["fit"]) is (used > 250) and ("contrast_hard_stop" in made["verdict"]["stop"]) is (step == "hard_stop")
    text = words.plain_text(words.sections(data_of(made), made)).lower()
    assert "go on" not in text and "remaining" not in text
    if used > 250:
        assert "hard stop passed by 60" in text and "mL; left" not in text and "; left " not in text


def data_of(made):
    """Sections are made from the record alone."""
    return {}


def test_what_was_given_in_the_last_72_hours_counts(spent):
    step, record, _ = spent(age_years=34, weight_kg=80, contrast_used_ml=200, contrast_earlier_72h_ml=80)
    assert step == "hard_stop" and record["used_ml"] == 280 and record["passed"] == [["hard stop", 30]]
    assert contrast.contrast_words(record).replace("\u00a0", " ") == "used 280 (80 of it in the 72 h before): hard stop passed by 30 mL"
    assert spent(age_years=34, weight_kg=80, contrast_used_ml=200)[0] == "within_labels"


@pytest.mark.parametrize("patient, valid", [({"age_days": 364, "weight_kg": 9}, False), ({"age_days": 366, "weight_kg": 9}, True),
                                            # bedside: 36.5 × 110 over 66.9 is 60.0, over 67 it is 59.9
                                            ({"age_years": 5, "weight_kg": 18, "height_cm": 110, "creatinine_umol_l": 66.8}, True),
                                            ({"age_years": 5, "weight_kg": 18, "height_cm": 110, "creatinine_umol_l": 67.2}, False)])
def test_under_one_year_or_with_a_poor_filtration_the_ladder_does_not_hold(spent, patient, valid):
    step, record, made = spent(**patient, contrast_used_ml=10)
    assert step == ("within_labels" if valid else "not_valid") and record["careful"] is not valid
    text = contrast.contrast_words(record)
    assert ("least possible" in text) is not valid and ("think at 2 mL/kg" in text) is not valid
    assert record["think_ml"] == (5 if valid else 2) * patient["weight_kg"]
    assert spent(**patient, contrast_used_ml=10 * patient["weight_kg"])[0] == "hard_stop", "the hard stop stands above it"


def test_a_school_child_has_99_to_think_and_176_to_the_hard_stop(spent):
    record = spent(age_years=8, weight_kg=25.5, contrast_used_ml=28)[1]
    assert contrast.contrast_words(record).replace("\u00a0", " ") == "used 28: left 99.5 mL to “think”, 176 mL to the hard stop"
    blank = spent(age_years=8, weight_kg=25.5)[1]
    assert contrast.contrast_words(blank).replace("\u00a0", " ") == "used ?: 127.5 mL to “think”, 204 mL to the hard stop"


def test_the_labels_stand_beside_the_ladder_for_the_agent_named(spent):
    def labels(**inputs):
        return {row["label"]: row["value"] for row in spent(**inputs)[2]["limits"]["contrast"] if row["label"].startswith("Label")}
    child = {"age_years": 6, "weight_kg": 20}
    assert labels(**child) == {"Label, iohexol 350": 100, "Label, iohexol 300": 120, "Label, iodixanol 320": 80, "Label, iopromide 370": 80}
    assert labels(**child, contrast_agent="iodixanol_320") == {"Label, iodixanol 320": 80} and labels(**child, contrast_agent="other") == {}
    assert labels(age_years=15, weight_kg=60)["Label, iohexol 350"] == 250 and labels(age_years=15, weight_kg=60)["Label, iohexol 300"] == 291
    assert labels(age_years=30, weight_kg=60) == {} == labels(age_days=100, weight_kg=5)


def test_an_adults_kidney_rules_are_named_and_the_smallest_counts(spent):
    # creatinine 177 µmol/L is 2 mg/dL: 5 × 80 capped at 300, over 2, is 150 mL; clearance (140 - 30) × 80 / (72 × 2) is 61 mL/min, twice that 122
    adult = {"age_years": 30, "weight_kg": 80, "sex": "male", "creatinine_umol_l": 176.8}
    step, record, made = spent(**adult, contrast_used_ml=100)
    assert record["smallest"][1] == pytest.approx(2 * 110 * 80 / 144, rel=1e-3) and [name for name, _, _ in record["rules"]] == ["Cigarroa's rule", "volume over clearance below 2"]
    assert step == "not_valid", "a filtration of less than 60 comes before the rules"
    # a lighter kidney trouble: 110 µmol/L, clearance 98, twice that 196; 200 mL is above it
    mild = {**adult, "creatinine_umol_l": 110}
    assert spent(**mild, contrast_used_ml=195)[0] == "within_labels" and spent(**mild, contrast_used_ml=200)[0] == "renal_rule"
    passed = spent(**mild, contrast_used_ml=200)[2]
    assert "contrast_passed" in passed["verdict"]["fit"] and "contrast_hard_stop" not in passed["verdict"]["stop"]
    assert spent(age_years=17, weight_kg=80, sex="male", height_cm=178, creatinine_umol_l=110, contrast_used_ml=200)[1]["rules"] == [], "a child has no rule by creatinine"


def test_a_weight_in_question_leaves_contrast_unknown(data):
    found = case.plan(data, {"age_years": 8, "weight_kg": 56, "contrast_used_ml": 30})
    assert found["contrast"] is None and found["verdict"]["contrast_step"] == "unknown" and found["limits"]["contrast"] == []

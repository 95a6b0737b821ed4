"""Report, letter and register row: they state what was entered and nothing else, and the row is read back unchanged."""

import json
import re

import pytest
from markdown.extensions.toc import slugify

from pvcalc.audit.csv_file import File
from pvcalc.audit.rows import Reader, date_text, together
from pvcalc.audit.steps import Audit
from pvcalc.core.errors import NotUnderstood, Refusal
from pvcalc.handbook.data.audit_columns import schema
from pvcalc.handbook.engine import needs
from pvcalc.handbook.engine.process import Engine
from pvcalc.page import bridge
from pvcalc.plan import case, papers, register
from pvcalc.plan.inputs import LIMITS
from pvcalc.plan.outline import outline
from pvcalc.plan.report import is_blank, letter_text, report
from tests.conftest import ROOT
from tests.helpers.random_patients import patients

# Numbers that stand nowhere else in a report, so that one that appears was entered.
WHOLE = {
    "age_years": 9, "sex": "female", "height_cm": 131.7, "weight_kg": 28.9, "weight_measured": "yes", "symptoms": "no", "treated_before": "no", "valve": "domed",
    "supravalvar_narrowing": "no", "rv_function": "normal", "pulmonary_regurgitation": "none", "doppler_velocity_m_s": 4.21, "doppler_mean_mmhg": 41.3,
    "doppler_state": "awake", "catheter_state": "anaesthesia", "rv_systolic_mmhg": 83.1, "rvot_systolic_mmhg": 81.2, "pa_systolic_mmhg": 19.4,
    "systemic_systolic_mmhg": 101.3, "ra_pressure_mmhg": 6.7,
    "annulus": [{"mm": 15.3, "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}],
    "heparin": [{"units": 1437, "minutes_ago": 47}], "contrast_used_ml": 53.9, "after_rv_systolic_mmhg": 39.2, "after_rvot_systolic_mmhg": 37.3,
    "after_pa_systolic_mmhg": 22.1, "after_systemic_systolic_mmhg": 97.6, "after_ra_pressure_mmhg": 5.1, "after_pulmonary_regurgitation": "mild",
    "after_waist": "gone", "after_balloon_mm": 18.6, "after_tear": "no", "after_effusion": "no", "after_catheter_state": "anaesthesia", "after_performed": "yes",
    "after_inflations_count": 3, "after_sheath_french": 8.5, "after_heart_block": "none", "after_beta_blocker": "no", "after_event_level": "minor",
    "after_kap_ugy_m2": 271.9, "after_fluoroscopy_minutes": 14.2, "after_doppler_peak_mmhg": 21.4, "after_doppler_state": "sedated",
    "after_saturation_percent": 98.2, "after_died": "no", "after_thrombosis": "not_looked"}
NUMBERS = [name for name, value in WHOLE.items() if isinstance(value, float)]
# Small parts of a report that are no measurement: the parts that the plan adds are looked at by their titles.
OWN = ("What is next", "Follow-up", "The family rings")
NUMBER = re.compile(r"\d+(?:\.\d+)?")


@pytest.fixture(scope="module")
def data(loaded):
    return json.loads(needs.data_text(loaded))


def parts_of(data, inputs):
    return report(data, case.plan(data, inputs))


def measured(parts):
    """The text of the parts that state entries."""
    text = "\n".join(one["text"] for part in parts if not part["title"].startswith(OWN) for one in part["records"])
    return text.replace("\u00a0", " ").replace("\u202f", "")


def test_the_whole_case_states_every_entry_and_no_blank(data):
    parts = parts_of(data, WHOLE)
    text = measured(parts)
    for name in NUMBERS:
        assert str(WHOLE[name]) in text, name
    assert "1437 units" in text and "47 min" in text and "not entered" not in text, text
    assert "Doppler velocity 4.21 m/s, awake" in text and "Peak Doppler gradient after the balloon 21.4 mmHg, sedated" in text
    # by hand: 18.6 over 15.3; 37.3 - 22.1; 39.2 - 37.3; 81.2 - 19.4; 39.2 over 97.6; 53.9 and 271.9 over 28.9
    for words in ("18.6 mm, 1.22 times the annulus of 15.3 mm", "Step at the valve 62 mmHg", "Step at the valve 15 mmHg", "Step below the valve 2 mmHg",
                  "Right ventricle over systemic 0.40", "53.9 mL (1.9 mL/kg)", "9.4 µGy·m²/kg", "open valve systole marker or sphere"):
        assert words in text, words


@pytest.mark.parametrize("name", NUMBERS)
def test_what_is_taken_out_is_stated_nowhere(data, name):
    """The independent witness: each measured number is one of a kind, so it can only come from its field."""
    parts = parts_of(data, {key: value for key, value in WHOLE.items() if key != name})
    assert str(WHOLE[name]) not in measured(parts) and str(WHOLE[name]) not in letter_text(parts)
    assert not [one for part in parts for one in part["records"] if name in one["from"]]


@pytest.mark.parametrize("name", ["after_tear", "after_effusion", "after_heart_block", "after_thrombosis", "after_died", "after_event_level", "after_waist",
                                  "after_pulmonary_regurgitation", "after_performed", "after_balloon_mm", "after_inflations_count", "after_kap_ugy_m2",
                                  "after_fluoroscopy_minutes", "annulus", "heparin", "contrast_used_ml", "after_beta_blocker"])
def test_a_blank_of_the_case_is_said_as_a_blank(data, name):
    whole, open_one = parts_of(data, WHOLE), parts_of(data, {key: value for key, value in WHOLE.items() if key != name})
    assert not [one for part in whole for one in part["records"] if is_blank(one)]
    assert 1 <= len([one for part in open_one for one in part["records"] if is_blank(one)]) <= 3
    assert "Not entered: " in letter_text(open_one) and "Not entered" not in letter_text(whole)


def test_of_random_patients_no_report_states_what_was_not_entered(data):
    tried = 0
    for inputs in patients(60, seed=7):
        try:
            made = case.plan(data, inputs)
        except Refusal:
            continue
        tried += 1
        entered = {name for name, value in inputs.items() if value not in (None, "") and str(value).strip()}
        for part in report(data, made):
            for one in part["records"]:
                named = set(one["from"]) - {"age_years"}
                assert named <= entered, (named - entered, one["text"])
                if not one["from"] and not part["title"].startswith(OWN):
                    assert is_blank(one) and not NUMBER.search(one["text"].replace("30 days", "")), one["text"]
    assert tried > 30


def test_an_age_alone_states_nothing_but_the_age(data):
    parts = parts_of(data, {"age_years": 7})
    stated = [one["text"] for part in parts if not part["title"].startswith(OWN) for one in part["records"] if not is_blank(one)]
    assert stated == ["Child 7 y."] and "not yet the report of a procedure" in "\n".join(one["text"] for part in parts for one in part["records"])


# The row


def read_back(text):
    """Values of a one-row file as the audit reads them, its date as text again, and its faults."""
    known = schema(ROOT)
    file = File(text, known)
    (line, cells), = file.take(10)
    values, wrong = Reader(known, file.header).values(line, cells)
    wrong += together(line, values)
    return {**values, "date": date_text(values["date"])}, wrong + file.bad


def test_the_columns_are_those_of_the_audit_file():
    assert register.COLUMNS == schema(ROOT)["columnOrder"]


def test_the_whole_case_as_a_row_by_hand(data):
    values = register.row(case.plan(data, WHOLE), "A-17", "2026-03-31")
    assert values == {
        "attempt": "A-17", "date": "2026-03-31", "age_years": 9, "weight_kg": 28.9, "treated_before": "no", "valve": "domed", "narrowing_above": "no",
        "performed": "yes", "catheter_before_mmhg": 61.8, "catheter_after_mmhg": 15.2, "subvalve_before_mmhg": 1.9, "subvalve_after_mmhg": 1.9,
        "doppler_before_mmhg": 70.9, "doppler_after_mmhg": 21.4, "rv_systolic_before_mmhg": 83.1, "rv_systolic_after_mmhg": 39.2,
        "systemic_systolic_before_mmhg": 101.3, "systemic_systolic_after_mmhg": 97.6, "saturation_after_percent": 98.2, "annulus_mm": 15.3,
        "annulus_how": "angiogram", "annulus_frame": "open_valve_systole", "balloon_annulus_ratio": 1.22, "event_level": 2, "died": "no", "heart_block": "no",
        "thrombosis": "not_looked", "regurgitation_discharge": "mild", "contrast_ml_per_kg": 1.87, "kap_per_kg_ugy_m2": 9.41, "sheath_french": 8.5}
    assert read_back(register.csv_text(values)) == (values, [])


def rows(data):
    """Rows of the whole case, of one with little, and of random patients, as (inputs, values)."""
    found = []
    little = [{"age_days": 4, "after_performed": "no", "after_abandoned_because": "unstable"}, {"age_years": 40, "after_waist": "partly"}]
    for number, inputs in enumerate([WHOLE, *little, *patients(60, seed=11)]):
        try:
            found.append((inputs, register.row(case.plan(data, inputs), f"R-{number}", "2026-02-28")))
        except (Refusal, NotUnderstood):
            continue
    assert len(found) > 10
    return found


def test_any_row_is_read_back_unchanged_in_both_interpreters(data):
    found = rows(data)
    for _, values in found:
        told, wrong = read_back(register.csv_text(values))
        assert wrong == [], (values, wrong)
        assert told == values
    bridge.DATA.clear()
    bridge.DATA.update(data)
    asked = [{"op": "plan", "paper": "row", "given": inputs, "attempt": values["attempt"], "date": "2026-02-28"} for inputs, values in found[:4]]
    asked += [{"op": "plan", "paper": kind, "given": WHOLE} for kind in ("report", "letter", "outline")]
    here = [json.loads(bridge.reply(json.dumps(one))) for one in asked]
    text = ",".join(register.COLUMNS) + "\n" + "".join(register.csv_text(values, header=False) for _, values in found)
    audit = [{"op": "audit", "step": "open", "schema": schema(ROOT), "text": text, "options": {}}, {"op": "audit", "step": "check", "rows": 1000}]
    with Engine(json.dumps(data, ensure_ascii=False)) as engine:
        replies = json.loads(engine.reply(json.dumps(asked + audit)))
    assert replies[:len(asked)] == here and [one["text"] for one in here[:4]] == [register.csv_text(values) for _, values in found[:4]]
    assert replies[-1] == {"ok": True, "left": False, "good": len(found), "bad_lines": 0}


def test_a_row_asks_for_its_number_its_day_and_whether_it_was_performed(data):
    made = case.plan(data, {"age_years": 9})
    with pytest.raises(NotUnderstood) as refused:
        register.row(made, "", "31.3.2026")
    assert [field for field, _ in refused.value.faults] == ["attempt", "date", "after_performed"]


@pytest.mark.parametrize("attempt", ["", "a b", "=1+1", "x,y", "A" * 25, "Müller", "7;8"])
def test_no_attempt_can_hold_a_name_with_blanks_a_formula_or_a_separator(data, attempt):
    with pytest.raises(NotUnderstood, match="running number"):
        register.row(case.plan(data, WHOLE), attempt, "2026-03-31")


def test_an_abandoned_attempt_keeps_no_result(data):
    values = register.row(case.plan(data, {"age_years": 9, "after_performed": "no", "after_abandoned_because": "anatomy", "after_doppler_peak_mmhg": 60,
                                           "after_rvot_systolic_mmhg": 70, "after_pa_systolic_mmhg": 20}), "9", "2026-03-31")
    assert not set(register.ONLY_PERFORMED) & set(values) and values["abandoned_because"] == "anatomy"


def test_a_whole_step_that_may_be_muscle_is_no_gradient_of_the_valve(data):
    values = register.row(case.plan(data, {"age_years": 9, "after_balloon_mm": 20, "after_rv_systolic_mmhg": 80, "after_pa_systolic_mmhg": 20}), "9", "2026-03-31")
    assert "catheter_after_mmhg" not in values and values["rv_systolic_after_mmhg"] == 80


def test_every_paper_is_given_through_the_bridge_and_a_fault_is_a_sentence(data):
    bridge.DATA.clear()
    bridge.DATA.update(data)
    for kind, start in (("report", "PROCEDURE REPORT"), ("letter", "Dear colleague,"), ("outline", "OUTLINE OF A CASE"), ("row", "attempt,date,")):
        reply = json.loads(bridge.reply(json.dumps({"op": "plan", "paper": kind, "given": WHOLE, "attempt": "3", "date": "2026-03-31"})))
        assert reply["ok"] and reply["text"].startswith(start)
    reply = json.loads(bridge.reply(json.dumps({"op": "plan", "paper": "row", "given": {"age_years": 9}})))
    assert not reply["ok"] and len(reply["faults"]) == 3
    assert set(papers.KINDS) == {"report", "letter", "outline", "row"} and set(WHOLE) <= set(LIMITS)


# The outline


def test_the_outline_goes_from_history_to_what_colleagues_ask(data):
    made = case.plan(data, WHOLE)
    parts = outline(data, made)
    assert [part["title"] for part in parts] == ["History", "Grade, by document", "Measurement", "Choice", "Steps", "Result", "Follow-up", "What colleagues ask"]
    told = {part["title"]: "\n".join(part["lines"]) for part in parts}
    assert "ESC 2020" not in told["Grade, by document"] and made["headline"] in told["Grade, by document"]
    assert "15.3 mm" in told["Measurement"] and "Step at the valve 15 mmHg" in told["Result"] and "before discharge" in told["Follow-up"]
    assert "83.1" not in told["History"] and "domed valve" in told["History"]


def test_every_question_has_an_answer_a_place_that_exists_and_counts_have_works(data, loaded):
    lines = outline(data, case.plan(data, WHOLE))[-1]["lines"]
    places = [re.search(r"\(([a-z-]+)\.html(?:#([\w-]+))?\)$", line) for line in lines]
    assert len([place for place in places if place]) >= 6
    for place in (place for place in places if place):
        chapter = (ROOT / "kb" / f"{place[1]}.md").read_text(encoding="utf-8")
        assert place[2] is None or place[2] in {slugify(re.sub(r"\s*\{.*", "", text), "-") for text in re.findall(r"(?m)^#+ (.+)$", chapter)} | set(re.findall(r"#([\w-]+)\}", chapter))
    counted = [line for line in lines if "(work " in line]
    assert counted and all(re.search(r"\(work (\w+)", line)[1] in loaded.data.sources for line in counted)


def test_without_numbers_after_the_outline_says_so(data):
    parts = outline(data, case.plan(data, {"age_years": 7}))
    assert parts[5]["lines"] == ["Nothing after the balloon was entered."] and parts[2]["lines"][0] == "Annulus not entered."


# Own counts out of a file, and what the page fetches


def test_the_rows_give_the_units_own_counts_for_the_family(data):
    rows = [{**WHOLE, "after_died": died, "after_event_level": "major", "after_pulmonary_regurgitation": leak}
            for died, leak in (("no", "mild"), ("yes", "moderate"), ("no", "severe"), ("", "none"))]
    text = ",".join(register.COLUMNS) + "\n" + "".join(
        register.csv_text(register.row(case.plan(data, inputs), f"N-{place}", "2026-03-31"), header=False) for place, inputs in enumerate(rows))
    made = Audit(data, schema(ROOT), text, {})
    made.check(100)
    assert made.bad == [] and made.own() == {"own_deaths_count": 1, "own_deaths_cases": 3, "own_leak_count": 2, "own_leak_cases": 4}
    told = case.plan(data, {**WHOLE, **made.own()})["family"]["counts"][:2]
    assert [one["text"] for one in told] == ["here: 1 of 3 died within 30 days", "here: 2 of 4 had a valve that leaked at least moderately at discharge"]


def test_the_plan_needs_no_table_beyond_the_topics_that_its_page_fetches(data):
    few = {**data, "tables": {name: table for name, table in data["tables"].items() if table["topic"] in needs.PLAN_TOPICS}}
    assert len(few["tables"]) < len(data["tables"])
    pregnant = {"age_years": 30, "sex": "female", "pregnant": "yes", "doppler_peak_mmhg": 70, "creatinine_umol_l": 200, "metformin": "yes", "weight_kg": 60}
    for inputs in [WHOLE, pregnant, {"age_days": 3, "duct": "open", "weight_kg": 3, "after_tear": "yes"}, *patients(40, seed=5)]:
        try:
            assert json.dumps(case.plan(few, inputs), default=str) == json.dumps(case.plan(data, inputs), default=str)
        except Refusal:
            continue

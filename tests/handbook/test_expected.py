"""The case plan says what experts wrote that it must say, in both interpreters; a faulty statement is named with its line."""

import json
import shutil

import pytest

from pvcalc.handbook.checks import expected
from pvcalc.handbook.data import project
from pvcalc.handbook.engine import needs
from pvcalc.handbook.engine.process import Engine
from pvcalc.page import bridge
from tests.conftest import ROOT

READ = expected.load(ROOT)


@pytest.fixture(scope="module")
def data(loaded):
    return json.loads(needs.data_text(loaded))


@pytest.fixture(scope="module")
def replies(data):
    """Every case answered through the bridge, by id."""
    bridge.DATA.clear()
    bridge.DATA.update(data)
    return {key: json.loads(bridge.reply(json.dumps({"op": "plan", "given": case.given})))
            for key, case in READ.cases.items()}


def test_there_are_enough_cases_and_statements_from_premature_to_old_age():
    assert len(READ.cases) >= 80 and READ.statements >= 700
    ages = [case.given.get("age_years", case.given.get("age_days", 0) / 365.25) for case in READ.cases.values()]
    assert min(ages) < 0.1 and max(ages) >= 80
    assert sum(1 for case in READ.cases.values() if case.never) > len(READ.cases) / 2


@pytest.mark.parametrize("key", READ.cases)
def test_plan_says_what_is_expected(replies, key):
    faults = expected.failures(READ.cases[key], replies[key], expected.row_answer)
    assert not faults, "\n".join(faults)


def test_reader_engine_says_the_same(replies, data):
    with Engine(json.dumps(data, ensure_ascii=False)) as engine:
        for key, case in READ.cases.items():  # one by one: the engine frees memory only between requests
            reply = json.loads(engine.reply(json.dumps({"op": "plan", "given": case.given})))
            assert reply.get("sections") == replies[key].get("sections"), key
            assert expected.failures(case, reply, expected.row_answer) == [], key


STATEMENT = {"ground": "practice: an invented reason for this test", "by": "charge nurse"}


def case_of(**parts):
    return expected.Case(title="An invented patient", why="To try the comparison.", given={"age_years": 8}, **parts)


def reply_of(*lines, verdict=None):
    sections = [{"id": "glance", "title": "At a glance", "tables": [],
                 "lines": [{"text": line, "kind": "line"} for line in lines]}]
    return {"ok": True, "plan": {"verdict": verdict or {}}, "sections": sections}


@pytest.mark.parametrize("statement, line, met", [
    ({"any": ["SEVERE"]}, "Severe by Doppler", True),
    ({"any": ["mild", "11500 units"]}, "heparin 11\u202f500 units", True),
    ({"any": ["mild"]}, "Severe by Doppler", False),
    ({"all": ["heparin", "1250 units"]}, "HEPARIN GIVEN 1250\u00a0units", True),
    ({"all": ["heparin", "1275 units"]}, "HEPARIN GIVEN 1250 units", False),
])
def test_a_phrase_is_found_whatever_its_case_and_spaces(statement, line, met):
    faults = expected.failures(case_of(says=[{**statement, **STATEMENT}]), reply_of("first", line))
    assert (not faults) == met


def test_a_phrase_must_stand_within_the_first_lines_when_asked():
    case = case_of(says=[{"any": ["stop"], "within": 2, **STATEMENT}])
    assert expected.failures(case, reply_of("one", "stop here", "three")) == []
    assert expected.failures(case, reply_of("one", "two", "stop here"))


def test_what_must_never_be_said_is_noticed_as_whole_words_only():
    case = case_of(never=[{"any": ["now"], **STATEMENT}])
    assert expected.failures(case, reply_of("not known")) == []
    assert expected.failures(case, reply_of("protamine now 6.3 mg"))
    together = case_of(never=[{"all": ["adrenaline", "1 mg"], **STATEMENT}])
    assert expected.failures(together, reply_of("Atropine 1 mg", "Adrenaline 0.1 mg")) == []
    assert expected.failures(together, reply_of("Adrenaline 1 mg"))


@pytest.mark.parametrize("wanted, actual, met", [
    ({"grade": "severe"}, {"grade": "severe"}, True), ({"grade": "severe"}, {"grade": "mild"}, False),
    ({"doubts": ["low_flow"]}, {"doubts": ["low_flow", "newborn"]}, True), ({"doubts": ["low_flow"]}, {"doubts": []}, False),
    ({"stop": {"not": ["no_frame"]}}, {"stop": []}, True), ({"stop": {"not": ["no_frame"]}}, {"stop": ["no_frame"]}, False),
    ({"grade": {"not": ["mild"]}}, {"grade": "severe"}, True), ({"grade": {"not": ["mild"]}}, {"grade": "mild"}, False),
    ({"stop": []}, {"stop": ["no_frame"]}, False), ({"balloon_mm": [20]}, {"balloon_mm": [20, 20]}, False),
    ({"treat": {"yes": 2}}, {"treat": {"yes": 2, "no": 1}}, True), ({"treat": {"yes": 2}}, {"treat": {"yes": 1}}, False),
])
def test_a_verdict_is_compared_word_by_word(wanted, actual, met):
    assert (not expected.failures(case_of(verdict=[{**wanted, **STATEMENT}]), reply_of("x", verdict=actual))) == met


@pytest.mark.parametrize("old, new, sentence", [
    ("age_years:", "age_year:", "no input of the plan is called `age_year`; nearest: `age_years`"),
    ("practice: what every operator would say", "A-I1", "the ground `A-I1` is none"),
    ("practice: what every operator would say", "row: A-I9999", "no row is called `A-I9999`"),
    ("practice: what every operator would say", "setting: target_lo", "no setting is called `target_lo`"),
    ("{grade:", "{grad:", "no word of the verdict is called `grad`; nearest: `grade`"),
    ("any: [\"severe\"]", "any: []", "needs `any` or `all`"),
])
def test_a_faulty_statement_stops_lint_with_file_and_line(tmp_path, old, new, sentence):
    shutil.copytree(ROOT / "kb" / "_data", tmp_path / "kb" / "_data")
    text = """one_case:
  title: An invented patient
  why: To try the lint.
  given: {age_years: 8}
  says:
    - {any: ["severe"], ground: "practice: what every operator would say", by: charge nurse}
  verdict:
    - {grade: severe, ground: "practice: what every operator would say", by: charge nurse}
"""
    assert old in text
    (tmp_path / expected.FOLDER / "tried.yml").write_text(text.replace(old, new), encoding="utf-8")
    found = [one for one in expected.findings(project.load(tmp_path)) if one.path.endswith("tried.yml")]
    assert any(sentence in one.message and one.line > 1 for one in found), found


def test_published_cases_fit_their_schema():
    from jsonschema import Draft202012Validator
    validator = Draft202012Validator(expected.json_schema())
    document = json.loads(json.dumps(expected.as_json(READ)))
    assert list(validator.iter_errors(document)) == []
    broken = json.loads(json.dumps(document))
    next(iter(next(iter(broken["groups"].values())).values()))["says"] = "nothing"
    assert list(validator.iter_errors(broken))

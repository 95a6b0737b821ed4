"""The one door: texts in and out, several requests in order, numbers told exactly, and data that are joined."""

import json
import math
from types import SimpleNamespace

import pytest

from pvcalc.core import formula  # noqa: F401  balloon declares some of what is asked for here
from pvcalc.core.errors import PvcalcError
from pvcalc.page import bridge  # noqa: F401  balloon declares some of what is asked for here
from pvcalc.sizing import balloon, ratio  # noqa: F401  balloon declares some of what is asked for here
from tests.decision.test_evaluate import TABLE


@pytest.fixture(autouse=True)
def own_data():
    """The door as it was before, whatever a test put in."""
    before = dict(bridge.DATA)
    bridge.DATA.clear()
    yield bridge.DATA
    bridge.DATA.clear()
    bridge.DATA.update(before)


def asked(*requests):
    """The answers to several requests, or to one by itself."""
    told = json.loads(bridge.reply(json.dumps(requests[0] if len(requests) == 1 else requests)))
    return told


RATIO = {"op": "run", "name": "balloon_ratio", "given": {"balloon_mm": "20", "annulus_mm": "16"}}  # 20 / 16 = 1.25


def test_a_request_gets_an_answer_and_a_list_a_list_in_order():
    assert asked(RATIO)["value"] == 1.25 and asked(RATIO)["shown"] == "1.25"
    both = asked(RATIO, {"op": "run", "name": "balloon_ratio", "given": {"balloon_mm": 18, "annulus_mm": 20}})
    assert [one["value"] for one in both] == [1.25, 0.9]
    assert json.loads(bridge.reply(json.dumps([RATIO])))[0]["value"] == 1.25
    assert json.loads(bridge.reply("[]")) == []


@pytest.mark.parametrize("request_made, field, said", [
    ({"op": "erase"}, "", "the engine does not know"), ({}, "", "the engine does not know"),
    ({"op": "run", "name": "balloon_ration", "given": {}}, "", "nearest name: balloon_ratio"),
    ({"op": "run", "name": "balloon_ratio", "given": {"balloon_mm": 20}}, "annulus_mm", "missing"),
    ({"op": "exact", "name": "balloon_ratio", "given": {"balloon_mm": 20}}, "annulus_mm", "missing"),
    ({"op": "printed", "name": "balloon_ratio", "place": 0, "given": None}, None, ""),
    ({"op": "block", "tables": ["unheard"], "given": {}}, "", "no decision table called unheard"),
    ({"op": "picture", "name": "a cat", "given": {}, "place": "x"}, "", "no picture called a cat")])
def test_what_cannot_be_answered_is_a_fault_with_its_field_and_sentence(request_made, field, said):
    told = asked(request_made)
    if field is None:
        assert told["ok"]
    else:
        assert told["ok"] is False and told["faults"][0][0] == field and said in told["faults"][0][1]


def test_an_error_without_fields_of_its_own_is_told_as_it_reads(monkeypatch):
    def broken(request):
        raise PvcalcError("Something else.")
    monkeypatch.setitem(bridge.OPERATIONS, "run", broken)
    assert asked(RATIO) == {"ok": False, "faults": [["", "Something else."]]}


def told_back(exactly):
    """The number written as whole part and power of two."""
    return math.ldexp(exactly["whole"], exactly["power"])


@pytest.mark.parametrize("number", [0, 1, 1.25, -3.7, 0.1, 1e-300, 1.7976931348623157e308, 5, -2**40, 1 / 3])
def test_a_number_is_told_to_its_last_bit(number):
    exactly = bridge.exact(number)
    assert told_back(exactly) == number and abs(exactly["whole"]) < 2**53 + 1 and isinstance(exactly["whole"], int)
    assert number == 0 or abs(exactly["whole"]) >= 2**52, "no bit is left at the front"


def test_lists_records_words_and_truths_keep_their_shape_and_records_the_order_of_their_names():
    told = bridge.exact({"b": [1, (0.5,)], "a": "word", "c": True, "d": None})
    assert [key for key, _ in told] == ["a", "b", "c", "d"]
    values = dict(told)
    assert values["a"] == "word" and values["c"] is True and values["d"] is None
    assert told_back(values["b"][0]) == 1 and told_back(values["b"][1][0]) == 0.5


def test_the_exact_answer_is_the_usual_one_without_its_decimal_text():
    told = asked({**RATIO, "op": "exact"})
    assert told_back(told["exact"]) == 1.25 and "value" not in told and told["ok"]


def test_a_printed_example_is_counted_among_those_of_its_formula_and_compared_with_its_print():
    names = {one.formula.name for one in formula.PRINTED if one.formula.function.__module__ in ("pvcalc.sizing.balloon", "pvcalc.sizing.ratio")}
    assert len(names) > 3
    for name in names:
        for place, example in enumerate([one for one in formula.PRINTED if one.formula.name == name]):
            told = asked({"op": "printed", "name": name, "place": place})
            assert told["exact"] == bridge.exact(example.picked(example.formula(**example.inputs))), name
            assert told["agrees"] is (not example.differs) and "value" not in told


def test_a_printed_example_that_is_refused_is_a_fault(monkeypatch):
    refused = SimpleNamespace(formula=ratio.balloon_ratio, inputs={"balloon_mm": 20})
    monkeypatch.setattr(formula, "PRINTED", [refused])
    assert asked({"op": "printed", "name": "balloon_ratio", "place": 0})["ok"] is False


def test_tables_and_settings_join_those_already_there_and_other_data_are_replaced():
    bridge.start([], json.dumps({"settings": {"a": 1, "b": 2}, "tables": {"one": {"name": "one"}}}))
    bridge.add([], json.dumps({"settings": {"a": 3}, "tables": {"two": {"name": "two"}}}))
    bridge.add([], json.dumps({"series": {}}))
    assert bridge.DATA == {"settings": {"a": 3, "b": 2}, "series": {}, "tables": {"one": {"name": "one"}, "two": {"name": "two"}}}
    bridge.start(["sizing.ratio"], json.dumps({"notes": {}}))
    assert bridge.DATA == {"notes": {}, "settings": {}, "tables": {}}


def test_a_module_is_imported_by_its_name():
    with pytest.raises(ImportError, match="no_such_module"):
        bridge.start(["no_such_module"], "{}")


def test_a_block_of_a_page_is_answered_without_the_bulky_parts():
    told = asked({"op": "block", "formula": "balloon_ratio", "given": RATIO["given"]})
    assert told["ok"] and told["parts"] == [{"label": "", "text": "1.25"}] and not {"value", "shown"} & set(told)
    bridge.start([], json.dumps({"tables": {"invented": TABLE}}))
    told = asked({"op": "block", "tables": ["invented"], "given": {"age_years": "30", "doppler_peak_mmhg": "39"}})
    assert told["ok"] and [row["answer"] for row in told["rows"]] == ["mild"]


def test_a_picture_is_drawn_for_its_place():
    from pvcalc.draw import damping  # noqa: F401  declares the picture
    told = asked({"op": "picture", "name": "damping", "place": "here",
                  "given": {"natural_frequency_hz": "20", "over_damping_ratio": 2, "good_damping_ratio": "0,7", "under_damping_ratio": 0.1}})
    assert told["ok"] is True and told["picture"].startswith("<svg") and 'id="here' in told["picture"]


def test_the_plan_and_the_audit_answer_through_the_same_door():
    told = asked({"op": "plan", "given": {}})
    assert told["ok"] is False and told["faults"][0][0] == "age_years"
    assert asked({"op": "audit", "step": "x", "given": {}})["ok"] is False

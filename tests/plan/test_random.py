"""Random patients through the case plan: nothing that is no number, nothing from a blank, both interpreters."""

import json
import math
import re

import pytest

from pvcalc.handbook.engine import needs
from pvcalc.handbook.engine.process import Engine
from pvcalc.page import bridge
from tests.helpers.effort import effort
from tests.helpers.random_patients import patients
from tests.plan.test_contract import ANSWERS, GRADES, numbers

MANY = effort(fast=200, check=2000, bench=2000)
# Both interpreters; all of them only in `make bench`, for a plan takes the engine a sixth of a second.
MOST = effort(fast=10, check=75, bench=2000)


@pytest.fixture(scope="module")
def data(loaded):
    """The data as the reader's engine gets them."""
    return json.loads(needs.data_text(loaded))


@pytest.fixture(scope="module")
def replies(data):
    """Random patients answered here, through the bridge."""
    bridge.DATA.clear()
    bridge.DATA.update(data)
    asked = patients(MANY)
    return asked, [json.loads(bridge.reply(json.dumps({"op": "plan", "given": one}))) for one in asked]


def test_random_patients_never_give_nan_nor_a_number_from_a_blank(replies):
    asked, found = replies
    computed = refused = sized = 0
    for inputs, reply in zip(asked, found):
        if not reply["ok"]:
            refused += 1
            assert all(isinstance(sentence, str) and sentence.endswith((".", "?")) for _, sentence in reply["faults"])
            continue
        computed += 1
        made = reply["plan"]
        for path, value in numbers(made):
            assert math.isfinite(value), (inputs, path)
        text = json.dumps(reply["sections"], ensure_ascii=False)
        assert not re.search(r"\b[Nn]a[Nn]\b|Infinity|undefined|\bNone\b|\binf\b", text), inputs
        known = made["inputs"]
        sized += bool(made["sizing"]["choices"] or made["sizing"]["passed_over"])
        if "weight_kg" not in known:
            assert not made["limits"]["contrast"] and not made["limits"]["heparin"]
            assert all("/kg" not in row["text"] for row in made["drugs"]) and (not made["drugs"] or known["age_years"] >= 18), "only what is fixed in an adult"
        if "annulus" not in known:
            assert made["sizing"]["target_mm"] is None and made["z"] == [] and made["sizing"]["choices"] == []
        if not {"output_l_min", "lung_flow_l_min"} & set(known) or not {"catheter_mean_mmhg", "ejection_period_s"} <= set(known):
            assert made["derived"]["valve_area_cm2"] is None
        if "systemic_systolic_mmhg" not in known:
            assert made["derived"]["rv_systemic_ratio"] is None
        if not {"doppler_velocity_m_s", "doppler_peak_mmhg"} & set(known):
            assert made["derived"]["doppler_peak_mmhg"] is None
        if "heparin" not in known:
            assert made["limits"]["protamine"] == []
        if made["conflict"]:
            assert made["sizing"]["proposal"] is None or made["sizing"]["proposal"].startswith("only if")
        assert {one["answer"] for one in made["treat"]} <= ANSWERS and {one["answer"] for one in made["grade"]} <= GRADES | ANSWERS
    assert computed > 0.6 * MANY and refused > 0.07 * MANY and sized > 0.1 * MANY and any(reply["ok"] and reply["plan"]["sizing"]["proposed"] for reply in found), "the sample must reach every part"


def test_random_patients_read_the_same_in_both_interpreters(replies, data):
    """Word for word, and every number."""
    asked, ours = replies
    with Engine(json.dumps(data, ensure_ascii=False)) as engine:
        for inputs, one in zip(asked[:MOST], ours[:MOST]):  # one by one: the engine frees memory only between requests
            other = json.loads(engine.reply(json.dumps({"op": "plan", "given": inputs})))
            assert one.get("faults") == other.get("faults") and one.get("sections") == other.get("sections"), inputs
            if not one["ok"]:
                continue
            mine, its = dict(numbers(one["plan"])), dict(numbers(other["plan"]))
            assert set(mine) == set(its), inputs
            for path in mine:
                assert abs(mine[path] - its[path]) <= 1e-12 * max(1.0, abs(mine[path])), (inputs, path)

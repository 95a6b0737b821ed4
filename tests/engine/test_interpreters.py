"""The tested file and the file on the reader's phone give the same answers.

Every printed example and random inputs for every formula go through CPython and through MicroPython (the
reader's engine, under node): the shown text and every sentence must be identical, raw numbers within 1e-12 of each other
(a module that computes with lgamma or erf, subtracts near numbers or takes thousands of steps may declare a wider
`AGREES_WITHIN` for a formula). `make check` sends 1,000
inputs a formula, `make check-fast` 100, `make bench` 100,000.
"""

import hashlib
import json
import os
import random
from collections import Counter
import sys
from fractions import Fraction

import pytest

from pvcalc.core import formula as core
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine.process import Engine, EngineError, digests
from pvcalc.handbook.engine.sent import sent_files
from pvcalc.page import bridge
from tests.helpers import random_inputs, shared_lint
from tests.helpers.effort import effort

ENTRIES = catalogue.load()
CASES = effort(fast=100, check=1000, bench=int(os.environ.get("PVCALC_RANDOM_CASES", "100000")))
# A smaller share of the cases for what takes more than a millisecond there: whole traces and cohorts, searches.
SLOWER = ("kaplan_meier risk_adjusted_signals risk_adjusted_path funnel_limits funnel_alarm cases_for_power "
          "exact_interval benchmark_test run_risk shelf_choices beats_in_traces_count peak_to_peak_from_trace_mmhg "
          "peak_instantaneous_from_trace_mmhg mean_gradient_from_trace_mmhg ejection_period_from_trace_s").split()
BEAT = "simulate"
SHARE = {**dict.fromkeys(SLOWER, 0.25), BEAT: 0.02}
BATCH = 50  # the engine frees memory only between requests
LEAST_ANSWERED = 0.1  # of the cases must be answered, else only refusals would be compared


def both(engine, requests):
    """Pairs of answers, CPython's and the engine's, for a list of requests."""
    text = json.dumps(requests)
    return list(zip(json.loads(bridge.reply(text)), json.loads(engine.reply(text))))


def difference(here, there):
    """Largest relative difference between two exact results; None when their shape differs."""
    if here == there:
        return 0.0  # nearly always, and fractions are slow
    if isinstance(here, dict) and isinstance(there, dict):
        one, other = number(here), number(there)
        largest = max(abs(one), abs(other))
        return float(abs(one - other) / largest) if largest else 0.0
    if isinstance(here, list) and isinstance(there, list) and len(here) == len(there):
        parts = [difference(one, other) for one, other in zip(here, there)]
        return None if None in parts else max(parts, default=0.0)
    return 0.0 if here == there else None


def number(exact):
    """The number that `bridge.exact` wrote down."""
    return Fraction(exact["whole"]) * Fraction(2) ** exact["power"]


def allowance(made):
    """Relative difference a formula may show: 1e-12, or what its module declares."""
    module = sys.modules[made.function.__module__]
    return getattr(module, "AGREES_WITHIN", {}).get(made.name, 1e-12)


def without(answer, *fields):
    return {field: value for field, value in answer.items() if field not in fields}


def test_the_engine_gets_the_sent_files_with_their_digests():
    files = sent_files()
    assert [path for path, _ in files] == [path for path, _ in digests()] == [path for path, _ in catalogue.shared_files()]
    assert "pvcalc/core/formula.py" in dict(files) and "pvcalc/__main__.py" not in dict(files)
    assert [digest for _, digest in digests()] == [hashlib.sha256(text.encode()).hexdigest() for _, text in files]


def test_printed_examples_agree_in_both_interpreters(engine):
    examples = [example for example in core.PRINTED if example.formula.name != BEAT]
    places, requests = Counter(), []
    for example in examples:
        requests.append({"op": "printed", "name": example.formula.name, "place": places[example.formula.name]})
        places[example.formula.name] += 1
    answers = [pair for start in range(0, len(requests), BATCH) for pair in both(engine, requests[start:start + BATCH])]
    for example, (here, there) in zip(examples, answers, strict=True):
        said = f"{example.formula.name}, {example.locator}"
        assert here["ok"] and there["ok"], said
        assert without(here, "exact") == without(there, "exact"), said
        assert here["agrees"] == (not example.differs), said
        assert difference(here["exact"], there["exact"]) <= allowance(example.formula), said


def test_beats_with_printed_figures_agree_in_both_interpreters(engine):
    # Many figures were printed of one beat: each beat is simulated once, and alone, for it takes much memory.
    beats = [example.inputs for example in core.PRINTED if example.formula.name == BEAT]
    different = [inputs for place, inputs in enumerate(beats) if inputs not in beats[:place]]
    assert 1 < len(different) < len(beats)
    for inputs in different:
        (here, there), = both(engine, [{"op": "exact", "name": BEAT, "given": inputs}])
        assert here["ok"] and without(here, "exact") == without(there, "exact"), inputs
        assert difference(here["exact"], there["exact"]) <= allowance(ENTRIES[BEAT].formula), inputs


@pytest.mark.parametrize("name", sorted(ENTRIES))
def test_random_inputs_give_the_same_text_and_the_same_sentences(name, engine, record_property):
    entry = ENTRIES[name]
    dice = random.Random("two interpreters " + name)
    cases = max(10, int(CASES * SHARE.get(name, 1)))
    largest, answered, done = 0.0, 0, 0
    while done < cases:
        count = min(1 if name == BEAT else BATCH, cases - done)
        given = [random_inputs.case(dice, entry.formula, entry.printed) for _ in range(count)]
        requests = [{"op": "exact", "name": name, "given": one} for one in given]
        for inputs, (here, there) in zip(given, both(engine, requests)):
            assert without(here, "exact") == without(there, "exact"), inputs
            if here["ok"]:
                apart = difference(here["exact"], there["exact"])
                assert apart is not None and apart <= allowance(entry.formula), (inputs, here, there)
                largest, answered = max(largest, apart), answered + 1
        done += len(given)
    record_property("interpreters", {"formula": name, "cases": done, "answered": answered, "difference": largest})
    assert answered >= LEAST_ANSWERED * done, f"only {answered} of {done} were answered: the inputs test refusals only"


def test_typed_nonsense_is_a_number_or_the_same_sentence(engine):
    entry = next(entry for entry in ENTRIES.values()
                 if all(limit.kind == "number" for limit in entry.formula.limits.values()))
    field = next(iter(entry.formula.limits))
    requests = [{"op": "run", "name": entry.name, "given": {field: text}} for text in random_inputs.NONSENSE]
    for text, (here, there) in zip(random_inputs.NONSENSE, both(engine, requests)):
        assert here == there, text
        assert here["ok"] or all(sentence.endswith((".", "?")) for _, sentence in here["faults"]), here


def test_unknown_names_and_operations_are_answered_alike(engine):
    requests = [{"op": "run", "name": "bernouli_gradient_mmhg", "given": {}}, {"op": "no such"}, {}]
    for here, there in both(engine, requests):
        assert here == there
        assert not here["ok"] and here["faults"]


def test_whole_numbers_beyond_32_bits_cross_unharmed(engine):
    requests = [{"op": "exact", "name": name, "given": {field: value}}
                for name, field in [(entry.name, next(iter(entry.formula.limits))) for entry in ENTRIES.values()][:20]
                for value in (4294967371, "4294967371", 2 ** 63, -2147483649)]
    for here, there in both(engine, requests):
        assert here == there


def test_a_fault_in_the_engine_reaches_the_test(engine):
    with pytest.raises(EngineError, match="JSON"):
        engine.reply("{nonsense")
    assert json.loads(engine.reply('{"op": "no such"}'))["ok"] is False, "the engine goes on after a fault"


def test_the_mathematics_the_lint_allows_is_there(engine):
    probe = "import math\n\ndef reply(text):\n    import json\n    return json.dumps(dir(math))\n\n\ndef add(m, d):\n    pass\n"
    with Engine(files=[("pvcalc/__init__.py", ""), ("pvcalc/page/__init__.py", ""), ("pvcalc/page/bridge.py", probe)], modules=[]) as other:
        names = set(json.loads(other.reply("")))
    assert shared_lint.MATH | shared_lint.INEXACT_MATH <= names
    assert not names & {"log1p", "hypot", "comb", "fsum", "prod", "dist", "cbrt"}

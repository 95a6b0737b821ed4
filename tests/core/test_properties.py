"""Every formula over its whole range and beyond: a finite answer or a typed refusal, never anything else."""

import math

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from pvcalc.core import formula as core
from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.handbook.data import catalogue
from tests.helpers.properties import INVERSE, MONOTONE, PROPORTIONAL, RECORDS, SLOW, SYMMETRIC

catalogue.load()
FORMULAS = sorted(core.FORMULAS, key=lambda made: made.name)
NAMES = [made.name for made in FORMULAS]
LEAST_DRAWS = 3
JUNK = st.one_of(
    st.none(), st.booleans(), st.text(max_size=6), st.just(math.nan), st.just(math.inf), st.just(-math.inf),
    st.floats(), st.integers(), st.lists(st.one_of(st.none(), st.floats(), st.text(max_size=3)), max_size=4),
    st.dictionaries(st.text(max_size=3), st.floats(), max_size=2), st.just(b"7"), st.just(1e308), st.just(-1e-320))


def allowed(made, name):
    """Values that an argument's own limit allows, its edges often."""
    limit = made.limits[name]
    if limit.kind == "choice":
        return st.sampled_from(limit.choices)
    if limit.kind == "flag":
        return st.sampled_from([0, 1])
    if limit.kind == "records":
        samples = RECORDS[(made.name, name)]
        most = min(len(samples), limit.most)
        return st.lists(st.sampled_from(samples), min_size=min(limit.least, most), max_size=most)
    if limit.kind == "whole":
        # Small numbers are commoner than millions of them, in life and here.
        near = st.integers(int(limit.low), int(min(limit.high, limit.low + 60)))
        return st.one_of(near, st.integers(int(limit.low), int(limit.high)), st.just(int(limit.low)))
    number = st.one_of(st.floats(limit.low, limit.high), st.sampled_from([limit.low, limit.high]))
    if limit.kind == "list":
        return st.lists(number, min_size=limit.least, max_size=min(limit.most, limit.least + 12))
    return number


def in_range(made):
    """Inputs that pass every limit, though not always the rules between them; lists of one length more often than not."""
    drawn = st.fixed_dictionaries({name: allowed(made, name) for name in made.limits})
    lists = [name for name in made.limits if made.limits[name].kind == "list"]
    if len(lists) < 2:
        return drawn
    return drawn.map(lambda inputs: evened(inputs, lists))


def evened(inputs, lists):
    """The same inputs with all lists cut to the length of the shortest."""
    shortest = min(len(inputs[name]) for name in lists)
    return {name: value[:shortest] if name in lists else value for name, value in inputs.items()}


def beyond(made):
    """Inputs of which one or more are spoilt, left out or unknown."""
    spoilt = {name: st.one_of(allowed(made, name), JUNK) for name in made.limits}
    return st.fixed_dictionaries({}, optional={**spoilt, "no_such_argument": JUNK})


def usable(value):
    """True when everything in a result is finite, a word or nothing."""
    if isinstance(value, (list, tuple)):
        return all(usable(member) for member in value)
    if isinstance(value, dict):
        return all(usable(member) for member in value.values())
    if isinstance(value, (str, bool)) or value is None:
        return True
    return isinstance(value, (int, float)) and math.isfinite(value)


def answer(made, inputs):
    """The result, or None when it was refused; a refusal must say a sentence about a field that exists."""
    try:
        result = made(**inputs)
    except PvcalcError as refusal:
        assert isinstance(refusal, Refusal)
        assert refusal.faults
        for field, sentence in refusal.faults:
            assert field == "" or field in made.limits or field in inputs
            assert sentence[0] == sentence[0].upper() or sentence.startswith(field)
            assert sentence.endswith((".", "?")), sentence
            for word in ("nan", "inf ", "None", "Traceback"):
                assert word not in sentence.replace("nanograms", "").replace("infundib", "")
        return None
    assert usable(result), result
    if made.gives:
        assert [name for name, _ in result] == list(made.gives)
    shown = made.shown(result)
    assert shown and "nan" not in shown.replace("nanograms", "") and "None" not in shown
    questions = made.questions(made.checked(inputs))
    assert all(isinstance(question, str) and question for question in questions)
    return result


def tried(made, share=1.0):
    """Settings for one formula: a share of the profile's draws, fewer where one takes long."""
    draws = int(settings.default.max_examples * min(share, SLOW.get(made.name, 1.0)))
    return settings(max_examples=max(LEAST_DRAWS, draws), suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("made", FORMULAS, ids=NAMES)
def test_inside_the_limits(made):
    @tried(made)
    @given(in_range(made))
    def holds(inputs):
        answer(made, inputs)
    holds()


@pytest.mark.parametrize("made", FORMULAS, ids=NAMES)
def test_beyond_the_limits(made):
    @tried(made)
    @given(beyond(made))
    def holds(inputs):
        answer(made, inputs)
    holds()


@pytest.mark.parametrize("made", FORMULAS, ids=NAMES)
def test_the_door_for_typed_text_never_raises(made):
    @tried(made, 0.5)
    @given(st.fixed_dictionaries({}, optional={name: st.text(max_size=12) for name in made.limits}))
    def holds(given_text):
        reply = core.run(made.name, given_text)
        assert reply["ok"] or reply["faults"]
    holds()


def result_of(made, inputs, result=""):
    """One number, or None when refused."""
    value = answer(made, inputs)
    if value is None or not result:
        return value
    return dict(value)[result]


@pytest.mark.parametrize("name, argument, way, result", MONOTONE, ids=["-".join(row) for row in MONOTONE])
def test_monotone(name, argument, way, result):
    made = core.find(name)

    @tried(made)
    @given(in_range(made), allowed(made, argument))
    def holds(inputs, other):
        low, high = sorted([inputs[argument], other])
        first = result_of(made, {**inputs, argument: low}, result)
        second = result_of(made, {**inputs, argument: high}, result)
        assume(first is not None and second is not None)
        slack = 1e-12 * max(abs(first), abs(second), 1)
        assert (first <= second + slack) if way == "up" else (first >= second - slack)
    holds()


@pytest.mark.parametrize("name, argument, back, back_argument", INVERSE, ids=[row[0] for row in INVERSE])
def test_inverse(name, argument, back, back_argument):
    made, returning = core.find(name), core.find(back)

    @tried(made)
    @given(in_range(made))
    def holds(inputs):
        there = answer(made, inputs)
        assume(there is not None)
        others = {key: value for key, value in inputs.items() if key != argument}
        again = answer(returning, {**others, back_argument: there})
        assume(again is not None)
        assert again == pytest.approx(inputs[argument], rel=1e-9, abs=1e-9)
    holds()


@pytest.mark.parametrize("name, one, other", SYMMETRIC, ids=[row[0] for row in SYMMETRIC])
def test_symmetric(name, one, other):
    made = core.find(name)

    @tried(made)
    @given(in_range(made))
    def holds(inputs):
        swapped = {**inputs, one: inputs[other], other: inputs[one]}
        first, second = answer(made, inputs), answer(made, swapped)
        assert (first is None) == (second is None)
        assert first is None or first == pytest.approx(second, rel=1e-12)
    holds()


@pytest.mark.parametrize("name, arguments, power", PROPORTIONAL, ids=[row[0] for row in PROPORTIONAL])
def test_proportional(name, arguments, power):
    made = core.find(name)
    together = [arguments] if isinstance(arguments, str) else list(arguments)

    @tried(made)
    @given(in_range(made), st.floats(0.5, 2))
    def holds(inputs, factor):
        first = answer(made, inputs)
        second = answer(made, {**inputs, **{key: inputs[key] * factor for key in together}})
        assume(first is not None and second is not None)
        assert second == pytest.approx(first * factor ** power, rel=1e-9, abs=1e-12)
    holds()


def test_every_declared_name_exists():
    for name in [row[0] for row in MONOTONE + INVERSE + SYMMETRIC + PROPORTIONAL] + [row[2] for row in INVERSE]:
        assert name in NAMES

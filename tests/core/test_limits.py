"""Every limit of every formula, at its edge, just inside and just outside; and the docstring says the same limits."""

import math
import re

import pytest

from pvcalc.core import formula as core
from pvcalc.core.errors import NotUnderstood, OutOfRange, Refusal
from pvcalc.core.formula import edit_distance, listing, nearest_words, range_words
from pvcalc.core.units import label_of, show_input
from pvcalc.handbook.data import catalogue

catalogue.load()
RANGED = [(made, name) for made in core.FORMULAS for name, limit in made.limits.items()
          if limit.kind in ("number", "whole", "list")]
IDS = [f"{made.name}-{name}" for made, name in RANGED]


def inside(limit):
    """Some value that this limit allows."""
    if limit.kind == "choice":
        return limit.choices[0]
    if limit.kind == "list":
        return [limit.low] * limit.least
    if limit.kind == "records":
        return [{}] * limit.least
    return limit.low


def inputs_with(made, name, value):
    """Inputs that pass the limits, but for the one argument under test."""
    given = {other: inside(limit) for other, limit in made.limits.items()}
    limit = made.limits[name]
    given[name] = [value] + [limit.low] * (limit.least - 1) if limit.kind == "list" else value
    return given


def just(limit, value, towards):
    """The nearest value of the limit's kind on one side of `value`."""
    if limit.kind == "whole":
        return value + (1 if towards > value else -1)
    return math.nextafter(value, towards)


@pytest.mark.parametrize("made, name", RANGED, ids=IDS)
def test_the_edges_and_what_lies_just_inside_are_taken(made, name):
    limit = made.limits[name]
    for value in [limit.low, limit.high, just(limit, limit.low, math.inf), just(limit, limit.high, -math.inf)]:
        if limit.low <= value <= limit.high:
            checked = made.checked(inputs_with(made, name, value))[name]
            assert (checked[0] if limit.kind == "list" else checked) == value


@pytest.mark.parametrize("made, name", RANGED, ids=IDS)
def test_what_lies_just_outside_is_refused_with_field_and_range(made, name):
    limit = made.limits[name]
    for value in [just(limit, limit.low, -math.inf), just(limit, limit.high, math.inf),
                  limit.low - 0.01 * max(1, abs(limit.low)) if limit.kind != "whole" else limit.low - 1,
                  limit.high + 0.01 * max(1, abs(limit.high)) if limit.kind != "whole" else limit.high + 1]:
        with pytest.raises(OutOfRange) as caught:
            made(**inputs_with(made, name, value))
        [(field, sentence)] = caught.value.faults
        label = label_of(name)
        assert field == name
        assert label[0].upper() + label[1:] in sentence
        assert range_words(name, limit) in sentence
        assert made.limits_from in sentence
        assert sentence.endswith((".", "?"))


@pytest.mark.parametrize("made, name", RANGED, ids=IDS)
def test_what_is_no_finite_number_is_refused(made, name):
    for value in (math.nan, math.inf, -math.inf, True, "7", object()):
        with pytest.raises(NotUnderstood) as caught:
            made(**inputs_with(made, name, value))
        assert [field for field, _ in caught.value.faults] == [name], value


@pytest.mark.parametrize("made", core.FORMULAS, ids=[made.name for made in core.FORMULAS])
def test_choices_have_no_default_and_take_no_other_word(made):
    for name, limit in made.limits.items():
        if limit.kind == "choice":
            with pytest.raises(NotUnderstood) as caught:
                made(**inputs_with(made, name, "something else"))
            assert listing(limit.choices) in str(caught.value)
        given = inputs_with(made, name, inside(limit))
        del given[name]
        with pytest.raises(Refusal) as missing:
            made(**given)
        assert [field for field, _ in missing.value.faults] == [name]
        assert "is missing" in str(missing.value)


def plain(value):
    """A number as the docstrings write it, without thousands marks."""
    return show_input(value).replace("\u202f", "").replace("\u2212", "-")


def valid_part(made):
    """The docstring's part about the valid range; what it says of another quantity, or of the source's own range, left out."""
    said = re.search(r"^ *Valid:(.*?)^ *(Raises|Not for|Source):", made.function.__doc__ or "", re.S | re.M)
    assert said, "the docstring has no Valid part"
    text = " ".join(re.sub(r"(?<=\d)[,\u202f ](?=\d{3}\b)", "", said.group(1).replace("\u2212", "-")).split())
    return re.sub(r"(which is|made for) [\d.]+ to [\d.]+", "", text)


def ranges_said(made):
    """Every `low to high` of the valid part."""
    return set(re.findall(r"(-?\d+(?:\.\d+)?) to (?:under )?(-?\d+(?:\.\d+)?)", valid_part(made)))


@pytest.mark.parametrize("made, name", RANGED, ids=IDS)
def test_the_docstring_says_the_same_limits(made, name):
    limit = made.limits[name]
    low, high = plain(limit.low), plain(limit.high)
    if (low, high) in ranges_said(made):
        return
    # "up to 0.99", "to 18 years", and for events no more than the cases: the lower end goes without saying.
    numbers = re.findall(r"-?\d+(?:\.\d+)?", valid_part(made))
    assert low == "0" or f"up to {high}" in valid_part(made), f"Valid: does not say {low} to {high} for {name}"
    assert high in numbers and (low == "0" or low in numbers), f"Valid: does not say {high} for {name}"


@pytest.mark.parametrize("made", core.FORMULAS, ids=[made.name for made in core.FORMULAS])
def test_every_range_of_the_docstring_is_a_limit(made):
    own = {(plain(limit.low), plain(limit.high)) for limit in made.limits.values() if limit.kind in ("number", "whole", "list")}
    own |= {(plain(limit.least), plain(limit.most)) for limit in made.limits.values() if limit.kind in ("list", "records")}
    assert ranges_said(made) <= own


@pytest.mark.parametrize("one, other, steps", [("kitten", "sitting", 3), ("flaw", "lawn", 2), ("", "abc", 3), ("abc", "", 3), ("mm", "mm", 0)])
def test_letters_to_change_counted_by_hand(one, other, steps):
    assert edit_distance(one, other, 9) == steps == edit_distance(other, one, 9)
    assert edit_distance(one, other, 2) == min(steps, 2) == edit_distance(other, one, 2)


def test_a_nearest_name_is_named_only_when_it_is_near():
    known = ["annulus_mm", "balloon_mm"]
    assert nearest_words("anulus_mm", known) == "; nearest name: annulus_mm"
    assert nearest_words("weight_kg", known) == nearest_words("a pasted paragraph " * 4, known) == ""

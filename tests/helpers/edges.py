"""Walks the ends of a formula's ranges: at both ends it answers (or refuses for another reason), just beyond it does not."""

import math

from pvcalc.core.errors import OutOfRange, Refusal


def refused_as_out_of_range(made, inputs, field):
    """True when `made` refuses `inputs` because `field` lies outside its range."""
    try:
        made(**inputs)
    except OutOfRange as refusal:
        return [name for name, _ in refusal.faults] == [field]
    except Refusal:
        return False
    return False


def assert_range(made, good, field, low, high):
    """`field` may be `low` and `high`, written here by hand, and nothing beyond them; `good` fills the other inputs."""
    for value in (low, high):
        assert not refused_as_out_of_range(made, {**good, field: value}, field), (made.name, field, value)
    next_to = (low - 1, high + 1) if made.limits[field].kind == "whole" else (
        math.nextafter(low, -math.inf), math.nextafter(high, math.inf))
    for value in next_to:
        assert refused_as_out_of_range(made, {**good, field: value}, field), (made.name, field, value)


def assert_ranges(made, good, ranges):
    """Every numeric input of `made` has the range given here, and none is left out."""
    numeric = {name for name, limit in made.limits.items() if limit.kind in ("number", "whole")}
    assert numeric == set(ranges)
    assert math.isfinite(made(**good))
    for field, (low, high) in ranges.items():
        assert_range(made, good, field, low, high)


def fault(made, inputs):
    """The sentences of the refusal of `inputs`, joined, with plain blanks; fails when they are accepted."""
    try:
        answer = made(**inputs)
    except Refusal as refusal:
        return " ".join(sentence for _, sentence in refusal.faults).replace("\u00a0", " ")
    raise AssertionError(f"{made.name} accepted {inputs} and gave {answer}")


def asked(made, inputs):
    """The questions about accepted inputs, joined."""
    return " ".join(made.questions(made.checked(inputs)))

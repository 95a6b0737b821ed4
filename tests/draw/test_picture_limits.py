"""Limits of what a picture takes: quantities that are shown on one axis share them."""

import pytest

from pvcalc.core.errors import Refusal
from pvcalc.core.formula import FORMULAS
from pvcalc.draw import svg
from tests.helpers.draw_examples import EXAMPLES
from tests.helpers.drawn_cases import only

MOMENTS = ("inflate_s", "waist_gone_s", "deflate_s", "empty_s", "pacing_s")


@only("inflation_time_line")
def test_all_moments_of_the_time_line_lie_between_the_same_limits(name):
    limits = svg.PICTURES[name].limits
    assert len({(limits[moment].low, limits[moment].high) for moment in MOMENTS}) == 1
    assert limits["inflate_s"].low == 0 and limits["limit_s"].high == limits["empty_s"].high  # the line begins at nought


@only("inflation_time_line")
def test_a_burst_has_a_start_and_an_end_and_no_third_time(name):
    given = {**dict((one, inputs) for one, inputs, _ in EXAMPLES)[name]}
    svg.picture(name, {**given, "pacing_s": []}, "one")
    with pytest.raises(Refusal) as refused:
        svg.picture(name, {**given, "pacing_s": [*given["pacing_s"], given["pacing_s"][1] + 1]}, "one")
    assert [field for field, _ in refused.value.faults] == ["pacing_s"]


@only("two_level_pullback")
def test_the_pressures_of_a_pull_back_may_be_as_high_and_as_low_as_their_neighbours(name):
    limits = svg.PICTURES[name].limits
    asked = [made.limits["rv_systolic_mmhg"].high for made in FORMULAS if "rv_systolic_mmhg" in made.limits]
    assert {limits["infundibulum_systolic_mmhg"].high, limits["rv_systolic_mmhg"].high} == set(asked)  # without a step below the valve they are equal
    assert limits["infundibulum_systolic_mmhg"].low == limits["pa_systolic_mmhg"].low  # and without a step at the valve these
    assert limits["pa_diastolic_mmhg"].low == 0 > limits["rv_diastolic_mmhg"].low

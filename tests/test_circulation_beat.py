"""The steps of the simulated beat: how long they are, how fast their error falls, and what the search learns from a beat."""

import math

import numpy as np
import pytest

from pvcalc import circulation
from tests.circulation_witness import CLAMPED, E_MIN, FAST, HALF_DENSITY, NORMAL, SEVERE, SLOW_AND_WIDE, TIGHT, Z_C, Witness

NAMED = {"severe": SEVERE, "normal": NORMAL, "tight": TIGHT, "fast": FAST, "clamped": CLAMPED, "slow and wide": SLOW_AND_WIDE}
SHAPE = ("contractility_mmhg_ml", "orifice_area_cm2", "infundibulum_diastole_cm2", "infundibulum_systole_cm2")


def shape_of(case):
    return [case[name] for name in SHAPE]


@pytest.mark.parametrize("case", [SEVERE, CLAMPED, SLOW_AND_WIDE], ids=["severe", "clamped", "slow and wide"])
def test_each_step_knows_the_muscle_and_the_outflow_at_its_two_ends(case):
    witness = Witness(case)
    time = 0.0
    for part in circulation.plan(witness.cycle, 2, *shape_of(case)):
        for length, stiff_0, loss_0, stiff_1, loss_1 in part:
            for at, stiff, loss in ((time, stiff_0, loss_0), (time + length, stiff_1, loss_1)):
                # The pressure for each millilitre above the unstressed volume of 10 mL.
                assert stiff == pytest.approx(witness.pressure(at, 11), rel=1e-9)
                assert loss == pytest.approx(witness.loss(at), rel=1e-9)
            time += length
    assert time == pytest.approx(witness.cycle, rel=1e-12)


def test_short_steps_last_until_the_muscle_has_rested_for_30_ms():
    # At 60 a minute contraction and relaxation take 0.45 s times the root of 1.25: 0.5031 s, and 0.5331 s is in part 214 of 400.
    assert [len(part) for part in circulation.plan(1.0, 3, 1.683, 0.6, 50, 50)] == [3] * 214 + [1] * 186


@pytest.mark.parametrize("name", NAMED)
def test_the_error_of_the_steps_falls_with_their_square(name):
    case = NAMED[name]
    witness, venous_return = Witness(case), case["output_l_min"] * 1000 / 60
    volume, artery, veins = circulation.first_guess(witness.cycle, venous_return, *shape_of(case))
    places = [100, 130, 160]  # all while blood flows: where a valve opens or closes no step is smooth
    right = witness.beat([volume, 0, artery, veins], [place * witness.cycle / 400 for place in places])[0]
    misses = []
    for steps in (8, 16):
        rows = circulation.beat(volume, artery, veins, circulation.plan(witness.cycle, steps, *shape_of(case)), venous_return)
        misses.append([np.array(rows[place]) - row for place, row in zip(places, right)])
    coarse, fine = (np.linalg.norm(np.array(miss)[:, :3] / [1, 1, 0.1]) for miss in misses)
    assert 3 < coarse / fine < 5.5, (coarse, fine)


def test_a_slope_is_learnt_by_broydens_rule():
    dice = np.random.default_rng(3)
    slopes, move, fall = dice.normal(size=(3, 3)), dice.normal(size=3), dice.normal(size=3)
    learnt = slopes.tolist()
    circulation._learn(learnt, move.tolist(), fall.tolist())
    # The nearest matrix that leads from the fall to the move: H + (s - H y) s'H / (s'H y).
    expected = slopes + np.outer(move - slopes @ fall, move @ slopes) / (move @ slopes @ fall)
    assert np.array(learnt) == pytest.approx(expected, rel=1e-10)
    assert np.array(learnt) @ fall == pytest.approx(move, rel=1e-10)


def test_nothing_is_learnt_from_a_change_too_small_to_tell():
    start = [[1.6, 0.0, 12.0], [0.0, 1.0, 0.0], [0.03, 0.0, 1.6]]
    for fall, learns in (([9e-8, -9e-8, 9e-8], False), ([0, -1.1e-7, 0], True), ([1.1e-7, 0, 0], True)):
        slopes = [row[:] for row in start]
        circulation._learn(slopes, [0.01, 0.02, 0.03], fall)
        assert (slopes != start) is learns, fall
    # A fall at right angles to all that the move leads to gives no size to divide by.
    slopes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    circulation._learn(slopes, [1.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    assert slopes == [[1, 0, 0], [0, 1, 0], [0, 0, 1]]


def test_the_damping_constant_is_the_smaller_root_of_the_stable_method():
    # A two-stage Rosenbrock step forgets a stiff flow when its constant g solves g² - 2 g + 1/2 = 0; the smaller root errs less.
    assert circulation.AHEAD == pytest.approx(min(np.roots([1, -2, 0.5])), rel=1e-12)
    assert math.isclose(E_MIN, circulation.RESTING_MMHG_ML)


@pytest.mark.parametrize("case", [CLAMPED, SLOW_AND_WIDE, FAST], ids=["clamped", "slow and wide", "fast"])
def test_what_is_shown_follows_from_the_states_of_the_beat(case):
    witness, ours = Witness(case), dict(circulation.simulate(**case))
    rows = circulation.periodic_beat(witness.cycle, witness.venous_return, *shape_of(case))
    volume, flow, artery, _ = np.array(rows[:400]).T
    time = np.arange(400) * witness.cycle / 400
    rv = np.array([witness.pressure(*pair) for pair in zip(time, volume)])
    pa = artery + Z_C * flow
    area = witness.below[0] + (witness.below[1] - witness.below[0]) * np.array([witness.active(at) for at in time])
    below = rv - np.where(area < 50, HALF_DENSITY * (flow / area) ** 2, 0)
    for name, right in (("time_s", time), ("rv_mmhg", rv), ("below_valve_mmhg", below), ("pa_mmhg", pa), ("flow_ml_s", flow),
                        ("volume_ml", volume)):
        assert ours[name] == pytest.approx(right, rel=1e-9, abs=1e-9), name
    for name, right in (
            ("sampling_hz", 400 / witness.cycle), ("rv_systolic_mmhg", rv.max()), ("rv_end_diastolic_mmhg", rv[0]),
            ("pa_systolic_mmhg", pa.max()), ("pa_diastolic_mmhg", pa.min()), ("pa_mean_mmhg", pa.mean()),
            ("peak_instantaneous_mmhg", (rv - pa).max()), ("peak_to_peak_mmhg", rv.max() - pa.max()),
            ("infundibular_peak_to_peak_mmhg", rv.max() - below.max()), ("valvar_peak_to_peak_mmhg", below.max() - pa.max()),
            ("peak_flow_ml_s", flow.max()), ("peak_velocity_m_s", flow.max() / witness.orifice / 100),
            ("end_diastolic_ml", volume.max()), ("end_systolic_ml", volume.min())):
        assert ours[name] == pytest.approx(right, rel=1e-9, abs=1e-9), name

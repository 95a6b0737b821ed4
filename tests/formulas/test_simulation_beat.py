"""The steps of the simulated beat: how long they are, how fast their error falls, and what the search learns from a beat."""

import math

import numpy as np
import pytest

from pvcalc.formulas import simulation
from tests.helpers.circulation_witness import (
    CLAMPED, COMPLIANCE, E_MIN, FAST, HALF_DENSITY, NORMAL, P_LA, R_P, SEVERE, SLOW_AND_WIDE, TIGHT, Z_C, Witness,
)
from tests.helpers.edges import fault

NAMED = {"severe": SEVERE, "normal": NORMAL, "tight": TIGHT, "fast": FAST, "clamped": CLAMPED, "slow and wide": SLOW_AND_WIDE}
SHAPE = ("contractility_mmhg_ml", "orifice_area_cm2", "infundibulum_diastole_cm2", "infundibulum_systole_cm2")


def shape_of(case):
    return [case[name] for name in SHAPE]


@pytest.mark.parametrize("case", [SEVERE, CLAMPED, SLOW_AND_WIDE], ids=["severe", "clamped", "slow and wide"])
def test_each_step_knows_the_muscle_and_the_outflow_at_its_two_ends(case):
    witness = Witness(case)
    time = 0.0
    for part in simulation.plan(witness.cycle, 2, *shape_of(case)):
        for length, stiff_0, loss_0, stiff_1, loss_1 in part:
            for at, stiff, loss in ((time, stiff_0, loss_0), (time + length, stiff_1, loss_1)):
                # The pressure for each millilitre above the unstressed volume of 10 mL.
                assert stiff == pytest.approx(witness.pressure(at, 11), rel=1e-9)
                assert loss == pytest.approx(witness.loss(at), rel=1e-9)
            time += length
    assert time == pytest.approx(witness.cycle, rel=1e-12)


def test_short_steps_last_until_the_muscle_has_rested_for_30_ms():
    # At 60 a minute contraction and relaxation take 0.45 s times the root of 1.25: 0.5031 s, and 0.5331 s is in part 214 of 400.
    assert [len(part) for part in simulation.plan(1.0, 3, 1.683, 0.6, 50, 50)] == [3] * 214 + [1] * 186


@pytest.mark.parametrize("name", NAMED)
def test_the_error_of_the_steps_falls_with_their_square(name):
    case = NAMED[name]
    witness, venous_return = Witness(case), case["output_l_min"] * 1000 / 60
    volume, artery, veins = simulation.first_guess(witness.cycle, venous_return, *shape_of(case))
    places = [100, 130, 160]  # all while blood flows: where a valve opens or closes no step is smooth
    right = witness.beat([volume, 0, artery, veins], [place * witness.cycle / 400 for place in places])[0]
    misses = []
    for steps in (8, 16):
        rows = simulation.beat(volume, artery, veins, simulation.plan(witness.cycle, steps, *shape_of(case)), venous_return)
        misses.append([np.array(rows[place]) - row for place, row in zip(places, right)])
    coarse, fine = (np.linalg.norm(np.array(miss)[:, :3] / [1, 1, 0.1]) for miss in misses)
    assert 3 < coarse / fine < 5.5, (coarse, fine)


def test_a_slope_is_learnt_by_broydens_rule():
    dice = np.random.default_rng(3)
    slopes, move, fall = dice.normal(size=(3, 3)), dice.normal(size=3), dice.normal(size=3)
    learnt = slopes.tolist()
    simulation._learn(learnt, move.tolist(), fall.tolist())
    # The nearest matrix that leads from the fall to the move: H + (s - H y) s'H / (s'H y).
    expected = slopes + np.outer(move - slopes @ fall, move @ slopes) / (move @ slopes @ fall)
    assert np.array(learnt) == pytest.approx(expected, rel=1e-10)
    assert np.array(learnt) @ fall == pytest.approx(move, rel=1e-10)


def test_nothing_is_learnt_from_a_change_too_small_to_tell():
    start = [[1.6, 0.0, 12.0], [0.0, 1.0, 0.0], [0.03, 0.0, 1.6]]
    for fall, learns in (([9e-8, -9e-8, 9e-8], False), ([0, -1.1e-7, 0], True), ([1.1e-7, 0, 0], True)):
        slopes = [row[:] for row in start]
        simulation._learn(slopes, [0.01, 0.02, 0.03], fall)
        assert (slopes != start) is learns, fall
    # A fall at right angles to all that the move leads to gives no size to divide by.
    slopes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
    simulation._learn(slopes, [1.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    assert slopes == [[1, 0, 0], [0, 1, 0], [0, 0, 1]]


def test_the_damping_constant_is_the_smaller_root_of_the_stable_method():
    # A two-stage Rosenbrock step forgets a stiff flow when its constant g solves g² - 2 g + 1/2 = 0; the smaller root errs less.
    assert simulation.AHEAD == pytest.approx(min(np.roots([1, -2, 0.5])), rel=1e-12)
    assert math.isclose(E_MIN, simulation.RESTING_MMHG_ML)


@pytest.mark.parametrize("case", [CLAMPED, SLOW_AND_WIDE, FAST], ids=["clamped", "slow and wide", "fast"])
def test_what_is_shown_follows_from_the_states_of_the_beat(case):
    witness, ours = Witness(case), dict(simulation.simulate(**case))
    rows = simulation.periodic_beat(witness.cycle, witness.venous_return, *shape_of(case))
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


def test_where_the_flow_would_turn_back_the_valve_shuts():
    # A push of 12 mmHg against 10 for 2 ms, then a muscle that has let go altogether; veins below nothing, so nothing flows in.
    pushed, let_go = [(0.002, 0.12, 0.0, 0.12, 0.0)], [(0.002, 0.0, 0.0, 0.0, 0.0)]
    _, (volume, flow, artery, _), shut, later = simulation.beat(110.0, 10.0, -5.0, [pushed, let_go, let_go], 0.0)
    # An artery at 10 mmHg slows the flow by 10 / 0.0005 mL/s each second: 40 mL/s in the 2 ms, and it has not so much.
    assert 0 < flow < 40 * 0.5
    # So it falls to nothing and no further: what still leaves is a triangle, and afterwards the ventricle keeps its blood.
    assert shut[0] == pytest.approx(volume - flow * 0.002 / 2, abs=1e-12)
    assert shut[1] == later[1] == 0 and later[0] == shut[0]
    # The artery receives that triangle and gives to the lungs what its pressure over the left atrium's drives through them.
    run_off = (artery - P_LA) / R_P * 0.002
    assert shut[2] == pytest.approx(artery + (flow * 0.002 / 2 - run_off) / COMPLIANCE, abs=1e-4)


@pytest.mark.parametrize("place, changed", [(399, {1: 1.0}), (0, {2: 4.0}), (0, {2: 5.0})],
                         ids=["blood flows at the end", "it begins above the artery", "it begins at the artery's pressure"])
def test_a_beat_that_is_no_beat_by_itself_is_refused(monkeypatch, place, changed):
    rows = [list(row) for row in simulation.periodic_beat(0.8, 5000 / 60, 1.683, 0.6, 50, 50)]
    monkeypatch.setattr(simulation, "periodic_beat", lambda *_: rows)
    rows[0][0] = 110.0  # relaxed, 100 mL over the unstressed volume hold 5 mmHg: half of what the artery holds
    assert dict(simulation.simulate(**SEVERE))["rv_end_diastolic_mmhg"] == 5.0
    for state, value in changed.items():
        rows[place][state] = value
    assert "one beat into the next" in fault(simulation.simulate, SEVERE)


def test_a_valve_opens_and_shuts_at_the_ends_of_a_step():
    # In steps of a millionth of a second the damping is nothing, and the rule is Heun's: the mean of the slopes at both ends.
    def step(first, last):
        return [(1e-6, first, 0.0, last, 0.0)]
    # 7 mmHg over the artery for one step: 7 / 0.0005 mL/s a second give 0.014 mL/s. At 10 under it the flow would fall by 0.02
    # and so meets zero; the shut valve there has no slope of its own, so the flow falls by half of 0.02, to 0.004. Where the
    # ventricle is half a millimetre over the artery again at the end, the mean is of a fall by 0.02 and a rise by 0.001.
    for last, flow in ((0.0, 0.004), (0.095, 0.004), (0.105, 0.0045)):
        _, pushed, falling = simulation.beat(110.0, 10.0, -5.0, [step(0.17, 0.17), step(0.0, last)], 0.0)
        assert pushed[1] == pytest.approx(0.014, rel=1e-3)
        assert falling[1] == pytest.approx(flow, rel=1e-2)
        assert pushed[0] - falling[0] == pytest.approx(pushed[1] * 1e-6 / 2, abs=1e-10)
    # A valve shut at the start of a step lets nothing through in it, however high the pressure at its end.
    for first in (0.0, 0.095):
        _, shut, opened = simulation.beat(110.0, 10.0, -5.0, [step(first, 0.2), step(0.2, 0.2)], 0.0)
        assert shut[1] == 0 and opened[1] == pytest.approx(0.02, rel=1e-3)


def test_the_flow_takes_the_two_stage_rosenbrock_step():
    # (1 - g h J) k1 = f(y), (1 - g h J) k2 = f(y + h k1) - 2 k1, and y grows by h (3 k1 + k2) / 2; here for one flow that a
    # ventricle at 30 mmHg (so wide that it stays there) pushes through a narrow valve, and J = -(Z + 2 B Q) / L.
    h, loss, inertance, pressure, g = 0.002, 0.01, 5e-4, 30.0, 1 - math.sqrt(0.5)
    stiff = pressure / 1e9
    _, (_, flow, artery, _), (_, after, _, _) = simulation.beat(
        1e9 + 10, 10.0, -5.0, [[(h, stiff, 0.0, stiff, 0.0)], [(h, stiff, loss, stiff, loss)]], 0.0)
    assert flow > 50
    held = 1 / (1 + g * h * (Z_C + 2 * loss * flow) / inertance)
    first = held * (pressure - artery - Z_C * flow - loss * flow ** 2) / inertance
    ahead = max(0.0, flow + h * first)
    artery_ahead = artery + h * (flow - (artery - P_LA) / R_P) / COMPLIANCE
    second = held * ((pressure - artery_ahead - Z_C * ahead - loss * ahead ** 2) / inertance - 2 * first)
    assert ahead > 0 and after == pytest.approx(flow + h * (3 * first + second) / 2, rel=1e-9)


def test_a_short_ejection_through_a_wide_valve_is_measured():
    # A slow heart with little to eject: the ventricle is above the artery for under a tenth of its beat of 1.2 s.
    ours = dict(simulation.simulate(**{**SEVERE, "orifice_area_cm2": 4, "heart_rate_bpm": 50, "output_l_min": 1.5,
                                        "contractility_mmhg_ml": 1.2}))
    above = sum(one > other for one, other in zip(ours["rv_mmhg"], ours["pa_mmhg"])) * 1.2 / 400
    assert 0.08 < ours["ejection_period_s"] < 0.115
    assert ours["ejection_period_s"] == pytest.approx(above, abs=1.2 / 400)


@pytest.mark.parametrize("changed", [
    {"heart_rate_bpm": 50, "output_l_min": 1.5, "contractility_mmhg_ml": 3},
    {"heart_rate_bpm": 69, "contractility_mmhg_ml": 2, "infundibulum_systole_cm2": 0.4}], ids=["strong", "clamped"])
def test_flow_is_measured_from_the_first_time_the_ventricle_overtakes_the_artery(changed):
    # A ventricle too strong for so wide a valve, or one whose infundibulum lets go late, overtakes the artery more than once
    # while its blood flows on.
    case = {**SEVERE, "orifice_area_cm2": 4, **changed}
    ours, part_s = dict(simulation.simulate(**case)), 60 / case["heart_rate_bpm"] / 400
    above = [one > other for one, other in zip(ours["rv_mmhg"], ours["pa_mmhg"])]
    assert sum(now and not before for before, now in zip(above, above[1:])) > 1
    assert ours["flow_period_s"] == pytest.approx(sum(flow > 0 for flow in ours["flow_ml_s"]) * part_s, abs=part_s)


@pytest.mark.parametrize("state", [0, 2, 3], ids=["volume", "artery", "veins"])
def test_a_beat_that_misses_its_own_start_by_more_than_a_thousandth_is_refused(monkeypatch, state):
    def found(miss):
        def beat(volume, artery, veins, *_):
            start = [volume, 0.0, artery, veins]
            return [start, [value + miss * (place == state) for place, value in enumerate(start)]]
        monkeypatch.setattr(simulation, "beat", beat)
        return simulation.periodic_beat(0.8, 5000 / 60, 1.683, 0.6, 50, 50)
    for sign in (1, -1):
        assert len(found(sign * 0.0009)) == 2
        assert "does not settle" in fault(found, {"miss": sign * 0.0011})

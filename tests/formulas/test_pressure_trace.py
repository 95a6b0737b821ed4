"""Measures of sampled traces against numpy and scipy, and the ringing of a catheter against its equation."""

import math

import numpy as np
import pytest
from scipy import signal

from pvcalc.formulas import catheter_frequency, pressure_trace
from tests.helpers.edges import asked, assert_range, assert_ranges, fault

MEASURES = (pressure_trace.peak_to_peak_from_trace_mmhg, pressure_trace.peak_instantaneous_from_trace_mmhg, pressure_trace.mean_gradient_from_trace_mmhg,
            pressure_trace.ejection_period_from_trace_s)


def record(beats=3, sampling_hz=500, rate=75, shift_s=0.0, growth=0.0):
    """A ventricle and an artery in closed form: two pressures whose difference is a half sine during ejection."""
    cycle = 60 / rate
    time = np.arange(int(round(beats * cycle * sampling_hz))) / sampling_hz
    phase = np.mod(time - 0.1 - shift_s, cycle)
    beat = np.floor((time - 0.1 - shift_s) / cycle)
    artery = 12 + 8 * np.exp(-(phase - 0.2) ** 2 / 0.01)
    sine = np.sin(math.pi * np.minimum(phase, 0.36) / 0.36)
    gradient = np.where(phase < 0.36, 60 * (1 + growth * beat) * sine, -10 * np.sin(math.pi * (phase - 0.36) / (cycle - 0.36)))
    return dict(rv_mmhg=list(artery + gradient), pa_mmhg=list(artery), sampling_hz=sampling_hz)


def exact(growth=0.0, beats=(0, 1, 2)):
    """The same measures on a grid a hundred times finer, by numpy."""
    phase = np.linspace(0, 0.36, 100001)
    artery = 12 + 8 * np.exp(-(phase - 0.2) ** 2 / 0.01)
    sizes = [60 * (1 + growth * beat) for beat in beats]
    peaks = [np.max(artery + size * np.sin(math.pi * phase / 0.36)) - 20 for size in sizes]
    return [np.mean(peaks), np.mean(sizes), np.mean(sizes) * 2 / math.pi, 0.36]


def test_a_closed_form_record():
    given = record()
    # The record begins before the first opening and ends before the fourth: three ejections.
    assert pressure_trace.beats_in_traces_count(**given) == 3
    for made, right in zip(MEASURES, exact()):
        assert made(**given) == pytest.approx(right, rel=1e-3)


def test_each_beat_is_taken_by_itself_and_the_average_given():
    given = record(growth=0.2)
    for made, right in zip(MEASURES, exact(growth=0.2)):
        assert made(**given) == pytest.approx(right, rel=1e-3)
    # The peaks of different beats must not be mixed: the whole record's peaks give more.
    assert pressure_trace.peak_to_peak_from_trace_mmhg(**given) < max(given["rv_mmhg"]) - max(given["pa_mmhg"]) - 5


def test_a_beat_cut_off_at_either_end_is_left_out():
    given = record(beats=4)
    for first, last, beats in ((100, 2000, 3), (0, 1350, 3), (100, 1350, 2), (0, 1600, 4)):
        part = {**given, "rv_mmhg": given["rv_mmhg"][first:last], "pa_mmhg": given["pa_mmhg"][first:last]}
        assert pressure_trace.beats_in_traces_count(**part) == beats
        assert pressure_trace.mean_gradient_from_trace_mmhg(**part) == pytest.approx(60 * 2 / math.pi, rel=1e-3)


def test_straight_lines_are_measured_without_error():
    # Rises from -10 to 30 in four samples and falls back in eight: crossings at 1 and at 10 samples.
    gradient = [-10, 0, 10, 20, 30, 25, 20, 15, 10, 5, 0, -5, -10]
    given = dict(rv_mmhg=[10 + each for each in gradient], pa_mmhg=[10.0] * 13, sampling_hz=100)
    assert pressure_trace.ejection_period_from_trace_s(**given) == pytest.approx(0.09, rel=1e-12)
    assert pressure_trace.mean_gradient_from_trace_mmhg(**given) == pytest.approx((30 * 3 / 2 + 30 * 6 / 2) / 9, rel=1e-12)
    # The same line, sampled off its crossings.
    gradient = [-2.5, 7.5, 17.5, 27.5, 27.5 - 1.25, 21.25, 16.25, 11.25, 6.25, 1.25, -3.75]
    given = dict(rv_mmhg=[10 + each for each in gradient], pa_mmhg=[10.0] * 11, sampling_hz=100)
    area = 0.75 * 7.5 / 2 + np.trapezoid(gradient[1:10]) + 0.25 * 1.25 / 2
    assert pressure_trace.ejection_period_from_trace_s(**given) == pytest.approx(0.09, rel=1e-12)
    assert pressure_trace.mean_gradient_from_trace_mmhg(**given) == pytest.approx(area / 9, rel=1e-12)


def test_a_crossing_shorter_than_a_beat_is_noise():
    def pulse(samples):
        return dict(rv_mmhg=[0.0] * 5 + [20.0] * samples + [0.0] * 10, pa_mmhg=[10.0] * (15 + samples), sampling_hz=100)
    # From half a sample before the first high one to half a sample after the last: as long as there are high samples.
    assert pressure_trace.ejection_period_from_trace_s(**pulse(8)) == pytest.approx(0.08, rel=1e-12)
    assert "No complete ejection" in fault(pressure_trace.ejection_period_from_trace_s, pulse(7))
    spike = pulse(20)
    spike["rv_mmhg"] = spike["rv_mmhg"] + [20.0] * 3 + [0.0] * 4
    spike["pa_mmhg"] = spike["pa_mmhg"] + [10.0] * 7
    assert pressure_trace.beats_in_traces_count(**spike) == 1


def test_traces_that_touch_have_not_crossed():
    flat = dict(rv_mmhg=[10.0] * 20, pa_mmhg=[10.0] * 20, sampling_hz=100)
    assert "No complete ejection" in fault(pressure_trace.mean_gradient_from_trace_mmhg, flat)
    touching = dict(rv_mmhg=[0.0, 10.0] + [20.0] * 12 + [10.0, 0.0], pa_mmhg=[10.0] * 16, sampling_hz=100)
    assert pressure_trace.ejection_period_from_trace_s(**touching) == pytest.approx(0.13, rel=1e-12)


def test_a_record_that_begins_or_ends_within_an_ejection():
    # Its first sample already lies half a mmHg above the artery: the opening was not recorded.
    begun = dict(rv_mmhg=[10.5] + [30.0] * 12 + [0.0] * 5, pa_mmhg=[10.0] * 18, sampling_hz=100)
    assert "No complete ejection" in fault(pressure_trace.mean_gradient_from_trace_mmhg, begun)
    # So it was here, where the artery's pressure was lower at first than it was afterwards.
    begun = dict(rv_mmhg=[15.0] + [30.0] * 12 + [0.0] * 5, pa_mmhg=[10.0] + [20.0] * 17, sampling_hz=100)
    assert "No complete ejection" in fault(pressure_trace.mean_gradient_from_trace_mmhg, begun)
    # A stronger beat that is cut off lends its peaks to nobody.
    cut = dict(rv_mmhg=[0.0] + [30.0] * 12 + [0.0] * 5 + [90.0] * 4, pa_mmhg=[10.0] * 18 + [20.0] * 4, sampling_hz=100)
    assert pressure_trace.peak_to_peak_from_trace_mmhg(**cut) == 20
    assert pressure_trace.peak_instantaneous_from_trace_mmhg(**cut) == 20
    # The artery's peak may come after the crossing and still belongs to the beat, to its last sample.
    late = dict(rv_mmhg=[0.0] + [30.0] * 12 + [0.0] * 5, pa_mmhg=[10.0] * 17 + [14.0], sampling_hz=100)
    assert pressure_trace.peak_to_peak_from_trace_mmhg(**late) == 16
    # One that rises again from the very sample at which they met lends its peaks to nobody either.
    met = dict(rv_mmhg=[0.0] + [30.0] * 12 + [10.0] + [90.0] * 4, pa_mmhg=[10.0] * 18, sampling_hz=100)
    assert pressure_trace.peak_to_peak_from_trace_mmhg(**met) == 20
    # Traces that touch again without crossing have not begun another beat.
    touched = {**late, "rv_mmhg": [0.0] + [30.0] * 12 + [0.0, 10.0] + [0.0] * 3}
    assert pressure_trace.peak_to_peak_from_trace_mmhg(**touched) == 16


def test_the_area_is_that_of_the_line_through_the_samples():
    gradient = np.array([-4.0, 12, 50, 55, 31, 60, 44, 47, 20, 9, 6, -2, -5])
    given = dict(rv_mmhg=[float(each) for each in 10 + gradient], pa_mmhg=[10.0] * 13, sampling_hz=100)
    start, end = 4 / 16, 10 + 6 / 8
    area = np.trapezoid([0, *gradient[1:11], 0], [start, *range(1, 11), end])
    assert pressure_trace.ejection_period_from_trace_s(**given) == pytest.approx((end - start) / 100, rel=1e-12)
    assert pressure_trace.mean_gradient_from_trace_mmhg(**given) == pytest.approx(area / (end - start), rel=1e-12)


def test_shifting_one_trace_leaves_peak_to_peak_alone():
    given = record(sampling_hz=1000)
    later = record(sampling_hz=1000, shift_s=0.04)
    shifted = {**given, "pa_mmhg": later["pa_mmhg"]}
    assert pressure_trace.peak_to_peak_from_trace_mmhg(**shifted) == pytest.approx(
        pressure_trace.peak_to_peak_from_trace_mmhg(**given), abs=0.01)
    assert abs(pressure_trace.peak_instantaneous_from_trace_mmhg(**shifted) - pressure_trace.peak_instantaneous_from_trace_mmhg(**given)) > 1


def test_peak_to_peak_and_peak_instantaneous_hold_each_other():
    for sampling_hz in (60, 125, 250, 1000):
        given = record(sampling_hz=sampling_hz)
        peaks = pressure_trace.peak_to_peak_from_trace_mmhg(**given)
        pulse = max(given["pa_mmhg"]) - min(given["pa_mmhg"])
        assert peaks <= pressure_trace.peak_instantaneous_from_trace_mmhg(**given) + 0.5 <= peaks + pulse + 1


def test_unequal_or_hollow_traces_are_refused():
    given = record()
    for made in MEASURES:
        assert "same number" in fault(made, {**given, "pa_mmhg": given["pa_mmhg"][:-1]})
        assert "same number" in fault(made, {**given, "rv_mmhg": given["rv_mmhg"][:-1]})
        assert "No complete ejection" in fault(made, {**given, "rv_mmhg": given["pa_mmhg"]})


def test_coarse_sampling_is_questioned():
    for made in MEASURES:
        assert "finer record" in asked(made, record(sampling_hz=125))
        assert asked(made, {**record(sampling_hz=200)}) == asked(made, record(sampling_hz=1000)) == ""
        assert "finer" in asked(made, {**record(sampling_hz=200), "sampling_hz": 199.9})


@pytest.mark.parametrize("damping", [0.05, 0.215, 0.4, 0.6])
def test_damping_and_frequency_of_a_system_that_rings(damping):
    natural_hz = 18.0
    omega = 2 * math.pi * natural_hz
    time = np.linspace(0, 0.15, 60001)  # a frequency of 18 Hz shows three swings within 0.13 s
    _, swing = signal.impulse(([omega * omega], [1, 2 * damping * omega, omega * omega]), T=time)
    peaks = signal.argrelmax(np.abs(swing))[0][:3]
    heights = np.abs(swing[peaks])
    half = catheter_frequency.damping_ratio(first_swing_mm=10, next_swing_mm=10 * heights[1] / heights[0], apart="half_cycle")
    assert half == pytest.approx(damping, rel=1e-4)
    if heights[2] / heights[0] > 0.005:
        full = catheter_frequency.damping_ratio(first_swing_mm=10, next_swing_mm=10 * heights[2] / heights[0], apart="full_cycle")
        assert full == pytest.approx(damping, rel=1e-4)
    damped = catheter_frequency.natural_frequency_hz(period_mm=50 * (time[peaks[2]] - time[peaks[0]]), paper_speed_mm_s=50)
    assert catheter_frequency.undamped_frequency_hz(damped_hz=damped, damping_ratio=damping) == pytest.approx(natural_hz, rel=1e-4)


def test_swings_that_do_not_die_down_are_refused():
    good = dict(first_swing_mm=10, next_swing_mm=9.99, apart="half_cycle")
    assert catheter_frequency.damping_ratio(**good) > 0
    for later in (10, 10.1):
        assert "smaller" in fault(catheter_frequency.damping_ratio, {**good, "next_swing_mm": later})
    assert "must be chosen" in fault(catheter_frequency.damping_ratio, {**good, "apart": "cycle"})
    assert "missing" in fault(catheter_frequency.damping_ratio, {"first_swing_mm": 10, "next_swing_mm": 5})


def test_ranges():
    assert_ranges(catheter_frequency.natural_frequency_hz, dict(period_mm=2, paper_speed_mm_s=25),
                  dict(period_mm=(0.1, 40), paper_speed_mm_s=(10, 400)))
    assert_ranges(catheter_frequency.undamped_frequency_hz, dict(damped_hz=15, damping_ratio=0.2), dict(damped_hz=(0.5, 200), damping_ratio=(0, 0.95)))
    swings = dict(first_swing_mm=20, next_swing_mm=5, apart="half_cycle")
    assert_ranges(catheter_frequency.damping_ratio, swings, dict(first_swing_mm=(0.1, 300), next_swing_mm=(0.05, 300)))
    for made in MEASURES + (pressure_trace.beats_in_traces_count,):
        assert_range(made, record(), "sampling_hz", 40, 2000)
        for name in ("rv_mmhg", "pa_mmhg"):
            limit = made.limits[name]
            assert (limit.low, limit.high, limit.least, limit.most) == (-40, 400, 8, 20000)

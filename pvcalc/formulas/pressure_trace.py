"""Gradients read from sampled pressure traces, and how well the catheter followed the pressure."""

from math import pi, sin

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, listed, printed
from pvcalc.core.units import total

PRESSURES = listed(-40, 400, 8, 20000)
SAMPLING = (40, 2000)
SHORTEST_EJECTION_S = 0.08  # a shorter crossing of the two traces is noise, not a beat
LIMITS = {"rv_mmhg": PRESSURES, "pa_mmhg": PRESSURES, "sampling_hz": SAMPLING}


def _ask_sampling(inputs):
    if inputs["sampling_hz"] < 200:
        return "Fewer than 200 samples a second cost up to 1 mmHg of the mean gradient: is a finer record at hand?"
    return ""


def ejections(rv_mmhg, pa_mmhg, sampling_hz):
    """(start, end) of every complete ejection, in samples and parts of a sample: the ventricle above the artery.

    Raises: NoResult when the traces differ in length or hold no complete ejection.
    """
    if len(rv_mmhg) != len(pa_mmhg):
        refuse("pa_mmhg", "The two traces must have the same number of samples, taken together.")
    found, start = [], None
    last = rv_mmhg[0] - pa_mmhg[0]
    for place in range(1, len(rv_mmhg)):
        now = rv_mmhg[place] - pa_mmhg[place]
        if last <= 0 < now:
            start = place - now / (now - last)
        elif now <= 0 < last and start is not None:
            end = place - 1 + last / (last - now)
            if end - start >= SHORTEST_EJECTION_S * sampling_hz:
                found.append((start, end))
            start = None
        last = now
    if not found:
        refuse("", "No complete ejection was found: the ventricle's trace must rise above the artery's and fall below it again.")
    return found


def _average(values):
    return total(values) / len(values)


def _beats(rv_mmhg, pa_mmhg, sampling_hz):
    """(first, end) sample of each beat with a complete ejection, up to where the ventricle next rises above the artery."""
    beats = []
    for start, end in ejections(rv_mmhg, pa_mmhg, sampling_hz):
        stop = int(end) + 1
        while stop < len(rv_mmhg) and rv_mmhg[stop] <= pa_mmhg[stop]:
            stop += 1
        beats.append((int(start), stop))
    return beats


def gradient_area(rv_mmhg, pa_mmhg, start, end):
    """Area under the gradient between two crossings, in mmHg times samples, by trapezoids."""
    first, last = int(start) + 1, int(end)
    gradient = [rv_mmhg[place] - pa_mmhg[place] for place in range(first, last + 1)]
    inner = total([(one + other) / 2 for one, other in zip(gradient, gradient[1:])])
    return inner + gradient[0] * (first - start) / 2 + gradient[-1] * (end - last) / 2


@formula("", seen="practice", asks=(_ask_sampling,), **LIMITS)
def peak_to_peak_from_trace_mmhg(*, rv_mmhg, pa_mmhg, sampling_hz):
    r"""Peak-to-peak gradient, averaged over the beats of a record.

    $\max P_{RV} - \max P_{PA}$

    In words: highest ventricular pressure of a beat minus highest pulmonary artery pressure of the same beat.

    The two peaks are not simultaneous; no flow ever felt this difference. Average at least three to five beats, ten in
    atrial fibrillation, and write down how many.

    Args:
        rv_mmhg: right ventricular pressure, sample by sample.
        pa_mmhg: pulmonary artery pressure of the same moments.
        sampling_hz: samples a second.
    Valid: 8 to 20 000 samples from −40 to 400 mmHg, 40 to 2000 samples a second, house limits.
    Raises: OutOfRange outside these; NoResult when the traces differ in length or hold no complete ejection.
    Not for: a valve with another narrowing below it, unless both levels are recorded.
    Source: common practice.
    """
    return _average([max(rv_mmhg[first:end]) - max(pa_mmhg[first:end]) for first, end in _beats(rv_mmhg, pa_mmhg, sampling_hz)])


@formula("", seen="practice", asks=(_ask_sampling,), **LIMITS)
def peak_instantaneous_from_trace_mmhg(*, rv_mmhg, pa_mmhg, sampling_hz):
    r"""Peak instantaneous gradient, averaged over the beats of a record.

    $\max (P_{RV} - P_{PA})$

    In words: the largest difference between the two pressures at any one moment of a beat.

    Only traces taken together give it: a pullback shifted by 40 ms moves it by several mmHg.

    Args:
        rv_mmhg: right ventricular pressure, sample by sample.
        pa_mmhg: pulmonary artery pressure of the same moments.
        sampling_hz: samples a second.
    Valid: 8 to 20 000 samples from −40 to 400 mmHg, 40 to 2000 samples a second, house limits.
    Raises: OutOfRange outside these; NoResult when the traces differ in length or hold no complete ejection.
    Not for: two beats recorded one after the other; use `peak_to_peak_from_trace_mmhg`.
    Source: common practice.
    """
    return _average([max([rv_mmhg[place] - pa_mmhg[place] for place in range(first, end)])
                     for first, end in _beats(rv_mmhg, pa_mmhg, sampling_hz)])


@formula("", seen="practice", asks=(_ask_sampling,), **LIMITS)
def mean_gradient_from_trace_mmhg(*, rv_mmhg, pa_mmhg, sampling_hz):
    r"""Mean gradient over ejection, averaged over the beats of a record.

    $\frac{1}{T} \int (P_{RV} - P_{PA}) dt$

    In words: area between the two traces while the ventricle is above the artery, divided by the time this lasts.

    Mean pressures survive a damped catheter; the mean gradient does not, and a damped one makes the valve area too large.

    Args:
        rv_mmhg: right ventricular pressure, sample by sample.
        pa_mmhg: pulmonary artery pressure of the same moments.
        sampling_hz: samples a second.
    Valid: 8 to 20 000 samples from −40 to 400 mmHg, 40 to 2000 samples a second, house limits.
    Raises: OutOfRange outside these; NoResult when the traces differ in length or hold no complete ejection.
    Not for: an area formula together with an ejection period from other beats.
    Source: common practice.
    """
    found = ejections(rv_mmhg, pa_mmhg, sampling_hz)
    return _average([gradient_area(rv_mmhg, pa_mmhg, start, end) / (end - start) for start, end in found])


@formula("", seen="practice", asks=(_ask_sampling,), **LIMITS)
def ejection_period_from_trace_s(*, rv_mmhg, pa_mmhg, sampling_hz):
    r"""Systolic ejection period of one beat, averaged over the beats of a record.

    $T = t_2 - t_1$

    In words: time from the moment the ventricle's trace rises above the artery's to the moment it falls below again.

    Flow outlasts the crossing by some milliseconds; severe stenosis lengthens the period.

    Args:
        rv_mmhg: right ventricular pressure, sample by sample.
        pa_mmhg: pulmonary artery pressure of the same moments.
        sampling_hz: samples a second.
    Valid: 8 to 20 000 samples from −40 to 400 mmHg, 40 to 2000 samples a second, house limits.
    Raises: OutOfRange outside these; NoResult when the traces differ in length or hold no complete ejection.
    Not for: an area formula together with a mean gradient from other beats.
    Source: common practice.
    """
    return _average([end - start for start, end in ejections(rv_mmhg, pa_mmhg, sampling_hz)]) / sampling_hz


@formula("", seen="practice", **LIMITS)
def beats_in_traces_count(*, rv_mmhg, pa_mmhg, sampling_hz):
    r"""Complete ejections that a record holds.

    $n$

    In words: how often the ventricle's trace rises above the artery's and falls below it again.

    Args:
        rv_mmhg: right ventricular pressure, sample by sample.
        pa_mmhg: pulmonary artery pressure of the same moments.
        sampling_hz: samples a second.
    Valid: 8 to 20 000 samples from −40 to 400 mmHg, 40 to 2000 samples a second, house limits.
    Raises: OutOfRange outside these; NoResult when the traces differ in length or hold no complete ejection.
    Not for: the heart rate; the first and last beat may be cut off.
    Source: common practice.
    """
    return len(ejections(rv_mmhg, pa_mmhg, sampling_hz))


def _half_sine(area_cm2):
    """A beat of half-sine flow (66.67 mL in 0.33 s) through an orifice above a resting artery of 10 mmHg, at 1000 Hz."""
    # Flow 317.33 mL/s at its peak; 3.9753e-4 mmHg for each (cm/s) squared of the jet.
    jets = [317.33 * sin(pi * place / 330) / area_cm2 for place in range(331)]
    rise = [10 + 3.9753e-4 * jet * jet for jet in jets]
    return {"rv_mmhg": [0.0] + rise + [0.0], "pa_mmhg": [10.0] * 333, "sampling_hz": 1000}


for area, peak, mean in ((0.4, "250", "125"), (0.6, "111", "55.6"), (1.0, "40.0", "20.0"), (1.5, "17.8", "8.9"),
                         (3.5, "3.3", "1.6")):
    for made, answer in ((peak_instantaneous_from_trace_mmhg, peak), (peak_to_peak_from_trace_mmhg, peak),
                         (mean_gradient_from_trace_mmhg, mean)):
        printed(made, "", "half-sine flow, closed form", answer=answer, fact="C-C7", kind="identity", seen="derived",
                **_half_sine(area))
printed(ejection_period_from_trace_s, "", "half-sine flow, closed form", answer="0.33", fact="C-C7", kind="identity",
        seen="derived", **_half_sine(1.0))
printed(beats_in_traces_count, "", "half-sine flow, one beat", answer="1", fact="C-C7", kind="identity", seen="derived",
        **_half_sine(1.0))

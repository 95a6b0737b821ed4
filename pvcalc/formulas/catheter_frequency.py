"""What the fluid line between catheter and transducer does to a trace: its natural frequency and its damping."""

from math import log, pi, sqrt

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, formula, printed


@formula("anesthesia_textbook6", period_mm=(0.1, 40), paper_speed_mm_s=(10, 400))
def natural_frequency_hz(*, period_mm, paper_speed_mm_s):
    r"""Frequency at which a flushed catheter system rings.

    $f = \frac{v}{d}$

    In words: paper speed divided by the distance between two neighbouring peaks after a fast flush.

    This is the damped frequency; without its damping the system would ring a little faster: see
    `undamped_frequency_hz`. Above 24 Hz fine features survive, below 7 Hz the trace is not to be used.

    Args:
        period_mm: from one peak to the next peak on the same side.
        paper_speed_mm_s: paper or sweep speed.
    Valid: 0.1 to 40 mm, 10 to 400 mm/s, house limits.
    Raises: OutOfRange outside these.
    Not for: a flush without at least two swings; the system is then overdamped.
    Source: [@anesthesia_textbook6, figure 32-11], transcribed.
    """
    return paper_speed_mm_s / period_mm


@formula("berger2003", damped_hz=(0.5, 200), damping_ratio=(0, 0.95))
def undamped_frequency_hz(*, damped_hz, damping_ratio):
    r"""Frequency at which the catheter system would ring without its damping.

    $f_n = \frac{f_d}{\sqrt{1 - \zeta^2}}$

    In words: the frequency seen, divided by the root of one minus the squared damping ratio.

    Args:
        damped_hz: from `natural_frequency_hz`.
        damping_ratio: from the swings of the same flush.
    Valid: 0.5 to 200 Hz, damping ratio 0 to 0.95, house limits.
    Raises: OutOfRange outside these.
    Not for: an overdamped system, which does not ring.
    Source: [@berger2003, slides], transcribed.
    """
    return damped_hz / sqrt(1 - damping_ratio * damping_ratio)


@formula("anesthesia_textbook6", first_swing_mm=(0.1, 300), next_swing_mm=(0.05, 300), apart=choices("half_cycle", "full_cycle"))
def damping_ratio(*, first_swing_mm, next_swing_mm, apart):
    r"""Damping of a flushed catheter system, from two swings of its ringing.

    $\zeta = \frac{-\ln r}{\sqrt{(\pi m)^2 + \ln^2 r}}$

    In words: r is the second swing divided by the first; m is 1 when they lie half a cycle apart (a peak and the trough
    after it), 2 when a full cycle apart (a peak and the next peak on the same side).

    The ratio of the swings is not the damping ratio: swings of 10 and 5 half a cycle apart mean 0.22. About 0.6 to 0.7
    is best: below it systolic pressure reads high, above it low.

    Args:
        first_swing_mm: height of the earlier swing, from the line the ringing settles on.
        next_swing_mm: height of the later swing, from the same line.
        apart: half_cycle for a peak and the trough after it, full_cycle for two peaks on the same side.
    Valid: first swing 0.1 to 300 mm, next 0.05 to 300 mm, house limits.
    Raises: OutOfRange outside these; NotUnderstood without the choice; NoResult when the later swing is not the smaller.
    Not for: trough-to-peak distances taken as heights from different lines.
    Source: [@anesthesia_textbook6, figure 32-11], half-cycle form checked against its printed coefficient.
    """
    if next_swing_mm >= first_swing_mm:
        refuse("next_swing_mm", "The later swing must be smaller than the first: a ringing system dies down.")
    decay = -log(next_swing_mm / first_swing_mm)
    turn = pi if apart == "half_cycle" else 2 * pi
    return decay / sqrt(turn * turn + decay * decay)


DERIVED = {"kind": "derived", "seen": "derived"}

printed(natural_frequency_hz, "anesthesia_textbook6", "figure 32-11", answer="14.7", fact="C-E15", period_mm=1.7,
        paper_speed_mm_s=25)
printed(natural_frequency_hz, "arterial_line_chapter", "chapter 7.5.9, peaks 50 ms apart", answer="20", fact="C-E17",
        period_mm=1.25, paper_speed_mm_s=25)
printed(damping_ratio, "", "a teaching page's half-cycle ratio of 0.50", answer="0.215", fact="M-MJ2", **DERIVED,
        first_swing_mm=10, next_swing_mm=5, apart="half_cycle")
for apart, answer in (("half_cycle", "0.404"), ("full_cycle", "0.215")):
    printed(damping_ratio, "", "one swing four times the next", answer=answer, fact="C-W10", **DERIVED, first_swing_mm=20,
            next_swing_mm=5, apart=apart)
for ratio, answer in ((0.11, "100.6"), (0.5, "115")):
    printed(undamped_frequency_hz, "", "corrections of 0.6 and 15 %", answer=answer, fact="M-MJ3", **DERIVED, damped_hz=100,
            damping_ratio=ratio)

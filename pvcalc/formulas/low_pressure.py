"""HIGH, LOW and BETWEEN after the balloon: right ventricle and right atrium against their own values before it.

The ratio of right ventricular to systemic pressure is not used here: systemic pressure has just fallen, and any ventricle is near it.
Steps and shares come in as settings of the department; nothing is hidden here.
"""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula

RV = (5, 260)  # mmHg systolic, house limits: from a failing newborn to twice a systemic pressure
RA = (-5, 45)  # mmHg mean
SYSTEMIC = (10, 260)  # mmHg systolic
WEIGHT = (0.4, 250)  # kg
STEP = (0.5, 15)  # mmHg by which an atrial mean counts as changed
HAIR = 1e-9  # 0.9 × 70 is 63.00000000000001 in binary, and 63 is meant


def _rv_edges(before, systemic, settings):
    """(HIGH from, LOW to): the lower of the two ways to be HIGH, the lower of the two ways to stop being LOW."""
    if not settings["low_to_ratio"] < settings["high_over_systemic_ratio"] < settings["high_from_ratio"]:
        refuse("low_to_ratio", "The shares must rise: LOW to, HIGH above systemic from, HIGH from.")
    over = systemic + settings["over_systemic_mmhg"]
    high = min(settings["high_from_ratio"] * before, max(settings["high_over_systemic_ratio"] * before, over))
    return high, min(settings["low_to_ratio"] * before, over)


def _ra_edges(before, weight, settings):
    """(HIGH from, LOW to) of the atrial mean; the step up is smaller in a small child."""
    rise = settings["small_rise_mmhg"] if weight < settings["small_below_kg"] else settings["rise_mmhg"]
    high = min(before + rise, max(settings["high_from_mmhg"], before))
    return high, max(before - settings["fall_mmhg"], settings["low_to_mmhg"])


@formula("", seen="practice", gives=("rv_level", "rv_high_from_mmhg", "rv_low_to_mmhg"), decimals=0,
         rv_now_mmhg=RV, rv_before_mmhg=RV, systemic_now_mmhg=SYSTEMIC, high_from_ratio=(0.75, 1.1),
         high_over_systemic_ratio=(0.6, 0.95), over_systemic_mmhg=(0, 30), low_to_ratio=(0.4, 0.8))
def rv_level_after_balloon(*, rv_now_mmhg, rv_before_mmhg, systemic_now_mmhg, high_from_ratio, high_over_systemic_ratio,
                           over_systemic_mmhg, low_to_ratio):
    r"""Is the right ventricle HIGH, LOW or BETWEEN while the pressure is low after the balloon?

    $p \ge 0.9 \cdot b \quad p \ge 0.7 \cdot b \quad p \ge s + 10 \quad p \le \frac{2}{3} \cdot b$

    In words: HIGH when the ventricle has at least the first share of its own pressure before the balloon, or at least the second
    share and at least the step above systemic; LOW when it is not HIGH, has at most two thirds of its pressure before, and is
    less than the step above systemic; BETWEEN the rest. The numbers of the formula are the department's settings.

    A ventricle at or near systemic is NOT high by that alone: of a systemic pressure of 50 a bleeding ventricle of 45 is near.
    LOW is also what success looks like, and names no disease by itself. HIGH is no proof of muscle, and no beta-blocker is given
    on it: the outflow is seen shutting, or the step lies below the valve.

    Args:
        rv_now_mmhg: right ventricular systolic pressure while the pressure is low.
        rv_before_mmhg: right ventricular systolic pressure before the balloon, at the same depth of anaesthesia.
        systemic_now_mmhg: systemic systolic pressure of the same moment.
        high_from_ratio: share of the pressure before from which the ventricle is HIGH.
        high_over_systemic_ratio: share from which it is HIGH when it also stands above systemic by the step.
        over_systemic_mmhg: that step.
        low_to_ratio: share up to which it is LOW.
    Returns: the word; the pressure from which it is HIGH at this systemic pressure; the one up to which it is LOW, or below which
        when the step above systemic sets it.
    Valid: ventricle 5 to 260 mmHg, systemic 10 to 260 mmHg; shares 0.75 to 1.1, 0.6 to 0.95 and 0.4 to 0.8; step up to 30 mmHg;
        house limits. No worked example was found in print.
    Raises: OutOfRange outside these; NoResult when the shares do not rise.
    Not for: grading a stenosis, or a ventricle whose pressure before is not known: the echo decides then.
    Source: common practice, to be signed by the department.
    """
    settings = {"high_from_ratio": high_from_ratio, "high_over_systemic_ratio": high_over_systemic_ratio,
                "over_systemic_mmhg": over_systemic_mmhg, "low_to_ratio": low_to_ratio}
    high, low = _rv_edges(rv_before_mmhg, systemic_now_mmhg, settings)
    above = rv_now_mmhg >= systemic_now_mmhg + over_systemic_mmhg - HAIR
    word = "BETWEEN"
    if rv_now_mmhg >= high - HAIR:
        word = "HIGH"
    elif rv_now_mmhg <= low_to_ratio * rv_before_mmhg + HAIR and not above:
        word = "LOW"
    return [("rv_level", word), ("rv_high_from_mmhg", high), ("rv_low_to_mmhg", low)]


@formula("", seen="practice", gives=("ra_level", "ra_high_from_mmhg", "ra_low_to_mmhg"), decimals=0, ra_now_mmhg=RA, ra_before_mmhg=RA,
         weight_kg=WEIGHT, rise_mmhg=STEP, small_rise_mmhg=STEP, small_below_kg=(1, 30), high_from_mmhg=(8, 30), fall_mmhg=STEP,
         low_to_mmhg=(-2, 6))
def ra_level_after_balloon(*, ra_now_mmhg, ra_before_mmhg, weight_kg, rise_mmhg, small_rise_mmhg, small_below_kg, high_from_mmhg,
                           fall_mmhg, low_to_mmhg):
    r"""Is the right atrium HIGH, LOW or ORDINARY while the pressure is low after the balloon?

    $a \ge b + 5 \quad a \ge 15 \quad a \le b - 3 \quad a \le 2$

    In words: HIGH when the mean has risen by the step, or has reached the fixed line and is not below its value before; LOW when
    it has fallen by the step, or is at most the fixed floor; ORDINARY the rest. A small child has a smaller step up. The numbers
    of the formula are the department's settings.

    Read it BEFORE the volume goes in. Fluid with a low pressure is tamponade whatever the atrium reads.

    Args:
        ra_now_mmhg: right atrial mean pressure while the pressure is low, before any volume.
        ra_before_mmhg: right atrial mean pressure before the balloon.
        weight_kg: body weight.
        rise_mmhg: rise that makes it HIGH.
        small_rise_mmhg: the same in a child below the next line.
        small_below_kg: body weight below which the smaller rise counts.
        high_from_mmhg: mean from which it is HIGH whatever its value before, unless it fell.
        fall_mmhg: fall that makes it LOW.
        low_to_mmhg: mean up to which it is LOW whatever its value before, unless it rose by the step.
    Returns: the word, the mean from which it is HIGH, the mean up to which it is LOW.
    Valid: atrium −5 to 45 mmHg, 0.4 to 250 kg; steps 0.5 to 15 mmHg, small below 1 to 30 kg, lines 8 to 30 and −2 to 6 mmHg;
        house limits. No worked example was found in print.
    Raises: OutOfRange outside these.
    Not for: parting tamponade from a failing ventricle: echo does.
    Source: common practice, to be signed by the department.
    """
    settings = {"rise_mmhg": rise_mmhg, "small_rise_mmhg": small_rise_mmhg, "small_below_kg": small_below_kg,
                "high_from_mmhg": high_from_mmhg, "fall_mmhg": fall_mmhg, "low_to_mmhg": low_to_mmhg}
    high, low = _ra_edges(ra_before_mmhg, weight_kg, settings)
    word = "HIGH" if ra_now_mmhg >= high - HAIR else "LOW" if ra_now_mmhg <= low + HAIR else "ORDINARY"
    return [("ra_level", word), ("ra_high_from_mmhg", high), ("ra_low_to_mmhg", low)]


@formula("", seen="practice", gives=("ra_level", "how_sure"), ra_now_mmhg=RA, high_from_mmhg=(8, 30), low_below_mmhg=(0, 8))
def ra_level_without_before(*, ra_now_mmhg, high_from_mmhg, low_below_mmhg):
    r"""The right atrium when nobody read it before the balloon: HIGH, LOW or ORDINARY, and weak.

    $a \ge 15 \quad a < 5$

    In words: HIGH from the fixed line, LOW below the other one, ORDINARY between them. It is weak whatever it says: an atrium of 14
    may have been 6, or 14, before. The numbers of the formula are the department's settings.

    Args:
        ra_now_mmhg: right atrial mean pressure while the pressure is low, before any volume.
        high_from_mmhg: mean from which it is HIGH.
        low_below_mmhg: mean below which it is LOW.
    Returns: the word, and “weak”.
    Valid: atrium −5 to 45 mmHg, lines 8 to 30 and 0 to 8 mmHg; house limits. No worked example was found in print.
    Raises: OutOfRange outside that range.
    Not for: an atrium that was read before; use `ra_level_after_balloon`.
    Source: common practice, to be signed by the department.
    """
    word = "HIGH" if ra_now_mmhg >= high_from_mmhg else "LOW" if ra_now_mmhg < low_below_mmhg else "ORDINARY"
    return [("ra_level", word), ("how_sure", "weak: not read before the balloon")]


@formula("", seen="practice", gives=("rv_high_from_mmhg", "rv_high_over_systemic_from_mmhg", "rv_low_to_mmhg", "ra_high_from_mmhg",
                                     "ra_low_to_mmhg"), decimals=0,
         rv_before_mmhg=RV, ra_before_mmhg=RA, weight_kg=WEIGHT, high_from_ratio=(0.75, 1.1), high_over_systemic_ratio=(0.6, 0.95),
         low_to_ratio=(0.4, 0.8), rise_mmhg=STEP, small_rise_mmhg=STEP, small_below_kg=(1, 30), high_from_mmhg=(8, 30), fall_mmhg=STEP,
         low_to_mmhg=(-2, 6))
def low_pressure_triggers(*, rv_before_mmhg, ra_before_mmhg, weight_kg, high_from_ratio, high_over_systemic_ratio, low_to_ratio, rise_mmhg,
                          small_rise_mmhg, small_below_kg, high_from_mmhg, fall_mmhg, low_to_mmhg):
    r"""The patient's own lines for the board, written down at the time out.

    $h = 0.9 \cdot b \quad h_2 = 0.7 \cdot b \quad l = \frac{2}{3} \cdot b$

    In words: the shares of the right ventricular pressure before the balloon, and for the atrium its value before plus and minus the
    steps. The second line of the ventricle counts only when the ventricle also stands above systemic by the department's step.

    Args:
        rv_before_mmhg: right ventricular systolic pressure before the balloon.
        ra_before_mmhg: right atrial mean pressure before the balloon.
        weight_kg: body weight.
        high_from_ratio: share of the pressure before from which the ventricle is HIGH.
        high_over_systemic_ratio: share from which it is HIGH when it also stands above systemic.
        low_to_ratio: share up to which it is LOW.
        rise_mmhg: rise that makes the atrium HIGH.
        small_rise_mmhg: the same in a child below the next line.
        small_below_kg: body weight below which the smaller rise counts.
        high_from_mmhg: mean from which the atrium is HIGH unless it fell.
        fall_mmhg: fall that makes the atrium LOW.
        low_to_mmhg: mean up to which the atrium is LOW.
    Returns: ventricle HIGH from, HIGH from when above systemic, LOW to; atrium HIGH from, LOW to.
    Valid: ventricle 5 to 260 mmHg; shares 0.75 to 1.1, 0.6 to 0.95 and 0.4 to 0.8;
        atrium −5 to 45 mmHg, 0.4 to 250 kg; steps 0.5 to 15 mmHg, small below 1 to 30 kg, lines 8 to 30 and −2 to 6 mmHg;
        house limits. No worked example was found in print.
    Raises: OutOfRange outside these; NoResult when the shares do not rise.
    Not for: values read at another depth of anaesthesia.
    Source: common practice, to be signed by the department.
    """
    if not low_to_ratio < high_over_systemic_ratio < high_from_ratio:
        refuse("low_to_ratio", "The shares must rise: LOW to, HIGH above systemic from, HIGH from.")
    settings = {"rise_mmhg": rise_mmhg, "small_rise_mmhg": small_rise_mmhg, "small_below_kg": small_below_kg,
                "high_from_mmhg": high_from_mmhg, "fall_mmhg": fall_mmhg, "low_to_mmhg": low_to_mmhg}
    high, low = _ra_edges(ra_before_mmhg, weight_kg, settings)
    return [("rv_high_from_mmhg", high_from_ratio * rv_before_mmhg),
            ("rv_high_over_systemic_from_mmhg", high_over_systemic_ratio * rv_before_mmhg),
            ("rv_low_to_mmhg", low_to_ratio * rv_before_mmhg), ("ra_high_from_mmhg", high), ("ra_low_to_mmhg", low)]

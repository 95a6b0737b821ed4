"""Pressures and gradients across the pulmonary valve, from a velocity or from a catheter.

"Gradient" never stands alone here: peak instantaneous (Doppler), peak-to-peak (catheter) and mean
are three quantities, and none is converted into another.
"""

import math

from pvcalc.core.errors import refuse
from pvcalc.core.formula import choices, formula, printed


@formula("rao2022", seen="read", velocity_m_s=(0.5, 7))
def bernoulli_gradient_mmhg(*, velocity_m_s):
    r"""Peak instantaneous gradient from a peak Doppler velocity.

    $\Delta p = 4 v^2$

    In words: the gradient in mmHg equals four times the square of the velocity in m/s.

    A small slip in the velocity counts twice: 4.0 m/s stands for 3.95 to 4.05 m/s, which is 62.4 to
    65.6 mmHg. The result is a peak instantaneous gradient, not the peak-to-peak gradient of a catheter,
    and a failing ventricle or a low flow makes it small whatever the valve is like.

    Args:
        velocity_m_s: peak continuous-wave velocity, beam in line with the jet.
    Valid: 0.5 to 7 m/s, house limits.
    Raises: OutOfRange outside that range.
    Not for: an outflow velocity above 1 m/s below the valve (use `bernoulli_gradient_proximal_mmhg`); long
        or serial stenoses; grading a newborn with an open duct.
    Source: [@rao2022, table 3], transcribed.
    """
    return 4 * velocity_m_s * velocity_m_s


printed(bernoulli_gradient_mmhg, "gurvitz2026", "Table 27", answer="36", fact="A-W3 C-E13", velocity_m_s=3)
printed(bernoulli_gradient_mmhg, "gurvitz2026", "Table 27", answer="64", fact="A-W3 C-E13", velocity_m_s=4)
printed(bernoulli_gradient_mmhg, "otto2018", "chapter 12", answer="36", seen="second", fact="A-W1 O-N10", velocity_m_s=3)
printed(bernoulli_gradient_mmhg, "otto2018", "chapter 2", answer="100", seen="second", fact="A-W1 O-N11", velocity_m_s=5)
printed(bernoulli_gradient_mmhg, "scirep2017", "fig. 2", answer="4", fact="A-W7", velocity_m_s=0.99,
        because="the source says only that just under 1 m/s is about 4 mmHg", within=0.5)


@formula("otto2018", seen="second", velocity_m_s=(0.5, 7), proximal_velocity_m_s=(0.1, 5))
def bernoulli_gradient_proximal_mmhg(*, velocity_m_s, proximal_velocity_m_s):
    r"""Peak instantaneous gradient when the velocity below the valve is not small.

    $\Delta p = 4 (v_2^2 - v_1^2)$

    In words: four times the difference between the squares of the two velocities.

    The velocity below the valve may be left out only when it is 1 m/s or less. Two stenoses in series peak
    at different moments, so the result is an estimate of the valve's part and no more.

    Args:
        velocity_m_s: peak continuous-wave velocity through the valve.
        proximal_velocity_m_s: peak pulsed-wave velocity in the outflow, below the valve.
    Valid: 0.5 to 7 m/s and 0.1 to 5 m/s, house limits; the second below the first.
    Raises: OutOfRange outside these; NoResult when the outflow velocity is not below the jet velocity.
    Not for: a dynamic outflow with a late peak; use the pull-back pressures.
    Source: [@otto2018, chapter 17], transcribed.
    """
    if proximal_velocity_m_s >= velocity_m_s:
        refuse("proximal_velocity_m_s", "The velocity below the valve must be less than the velocity through it: "
               "are the two in each other's place?")
    return 4 * (velocity_m_s * velocity_m_s - proximal_velocity_m_s * proximal_velocity_m_s)


printed(bernoulli_gradient_proximal_mmhg, "otto2018", "chapter 17, pressures with pulmonary valve disease", answer="28", seen="second", fact="A-W2 O-N1",
        velocity_m_s=3.1, proximal_velocity_m_s=1.6)


@formula("rao2022", seen="read", gradient_mmhg=(1, 196))
def velocity_from_gradient_m_s(*, gradient_mmhg):
    r"""Peak Doppler velocity that belongs to a peak instantaneous gradient.

    $v = \sqrt{\frac{\Delta p}{4}}$

    In words: the velocity in m/s equals the square root of a quarter of the gradient in mmHg.

    Args:
        gradient_mmhg: peak instantaneous gradient.
    Valid: 1 to 196 mmHg, which is 0.5 to 7 m/s, house limits.
    Raises: OutOfRange outside that range.
    Not for: a peak-to-peak or a mean gradient; neither belongs to a peak velocity.
    Source: [@rao2022, table 3], solved for the velocity.
    """
    return math.sqrt(gradient_mmhg / 4)


printed(velocity_from_gradient_m_s, "otto2018", "chapter 2, read backwards", answer="5", seen="derived", kind="derived", fact="A-W5",
        gradient_mmhg=100)
printed(velocity_from_gradient_m_s, "severe_ps_case2018", "case 5/2018", answer="6.32",
        seen="derived", kind="derived", fact="A-W9", gradient_mmhg=160)
printed(velocity_from_gradient_m_s, "gurvitz2026", "Table 27", answer="3", fact="A-W3", gradient_mmhg=36)
printed(velocity_from_gradient_m_s, "gurvitz2026", "Table 27", answer="4", fact="A-W3", gradient_mmhg=64)


@formula("rao2022", seen="read", tr_velocity_m_s=(0.5, 7), ra_pressure_mmhg=(-5, 40))
def rv_systolic_pressure_mmhg(*, tr_velocity_m_s, ra_pressure_mmhg):
    r"""Right ventricular systolic pressure from the tricuspid regurgitant jet.

    $p_{RV} = 4 v_{TR}^2 + p_{RA}$

    In words: four times the square of the tricuspid regurgitant velocity, plus right atrial pressure.

    In everyday practice the limits of agreement were wide, about half below to two thirds above the measured
    pressure. With pulmonary stenosis this is the pressure of the ventricle, not of the pulmonary artery.

    Args:
        tr_velocity_m_s: peak velocity of the tricuspid regurgitant jet.
        ra_pressure_mmhg: right atrial mean pressure; some sources take 5 mmHg in every child.
    Valid: 0.5 to 7 m/s and −5 to 40 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: free tricuspid regurgitation, where the jet is slow whatever the pressure; use a catheter.
    Source: [@rao2022, table 3], transcribed.
    """
    return 4 * tr_velocity_m_s * tr_velocity_m_s + ra_pressure_mmhg


NO_ONE_RA = "the printed pairs imply right atrial pressures of 11 and of 6 mmHg: no single value gives both"

printed(rv_systolic_pressure_mmhg, "otto2018", "chapter 17, pressures with pulmonary valve disease", answer="51", seen="second", fact="A-W1 O-N3",
        tr_velocity_m_s=3.4, ra_pressure_mmhg=5)
printed(rv_systolic_pressure_mmhg, "tof_review2019", "table 1", answer="60", fact="A-W4",
        seen="derived", kind="derived", tr_velocity_m_s=3.5, ra_pressure_mmhg=11)
printed(rv_systolic_pressure_mmhg, "tof_review2019", "table 1", answer="80", fact="A-W4",
        seen="derived", kind="derived", tr_velocity_m_s=4.3, ra_pressure_mmhg=6)
printed(rv_systolic_pressure_mmhg, "tof_review2019", "table 1", answer="60", seen="second", fact="A-W4", differs=NO_ONE_RA,
        tr_velocity_m_s=3.5, ra_pressure_mmhg=5)
printed(rv_systolic_pressure_mmhg, "tof_review2019", "table 1", answer="80", seen="second", fact="A-W4", differs=NO_ONE_RA,
        tr_velocity_m_s=4.3, ra_pressure_mmhg=5)


def bound_words(gradient_kind):
    """How a pulmonary artery pressure found by subtraction must be read.

    Args:
        gradient_kind: `peak_to_peak` or `instantaneous`.
    Returns "" when the difference is exact by definition, "at least" when it is only a lower bound.
    """
    return "at least" if gradient_kind == "instantaneous" else ""


def lower_bound_question(inputs):
    """Says beside the result that it is a lower bound, when an instantaneous gradient was subtracted."""
    if bound_words(inputs["gradient_kind"]):
        return ("Read this as “at least”: an instantaneous gradient exceeds the peak-to-peak one, so the true "
                "pressure is higher. It neither shows nor excludes pulmonary hypertension. Is a peak-to-peak "
                "gradient at hand?")
    return ""


@formula("echo_theory_note", seen="second", asks=(lower_bound_question,), rv_systolic_mmhg=(5, 300),
         gradient_mmhg=(0, 250), gradient_kind=choices("peak_to_peak", "instantaneous"))
def pa_systolic_pressure_mmhg(*, rv_systolic_mmhg, gradient_mmhg, gradient_kind):
    r"""Pulmonary artery systolic pressure beyond a stenosed valve.

    $p_{PA} = p_{RV} - \Delta p$

    In words: right ventricular systolic pressure less the gradient.

    With a peak-to-peak gradient this is exact, by definition. With an instantaneous gradient (Doppler) and a
    measured ventricular pressure the result is only a lower bound: read "at least". With a ventricular pressure
    from a tricuspid jet and a guessed atrium it is no bound at all. Pressure recovery lowers it further, and a
    calm-looking value may hide pulmonary hypertension.

    Args:
        rv_systolic_mmhg: right ventricular systolic pressure.
        gradient_mmhg: gradient between the right ventricle and the pulmonary artery.
        gradient_kind: `peak_to_peak` from a catheter, or `instantaneous` from Doppler.
    Valid: 5 to 300 mmHg and 0 to 250 mmHg, house limits.
    Raises: OutOfRange outside these; NoResult when the gradient exceeds the ventricular pressure.
    Not for: diagnosing or excluding pulmonary hypertension; measure the pressure beyond the valve.
    Source: [@echo_theory_note, section on stenosis], transcribed; the bound follows from the definitions.
    """
    if gradient_mmhg > rv_systolic_mmhg:
        refuse("", "The gradient is greater than the right ventricular systolic pressure, so no pulmonary artery "
               "pressure follows: were the two taken at the same time and in the same state?")
    return rv_systolic_mmhg - gradient_mmhg


for source, place, row, rv, drop, answer in [
        ("fawzy2007", "cohort means before", "A-W11", 125, 105, "20"),
        ("fawzy2007", "cohort means after", "A-W11", 59, 34, "25"),
        ("ten_children1990", "cohort means before", "A-W12", 133.5, 114.5, "19.0"),
        ("ten_children1990", "cohort means after", "A-W12", 64.5, 43.0, "21.5"),
        ("thirtytwo_patients1987", "cohort means before", "A-W13", 120.2, 98, "22.2"),
        ("thirtytwo_patients1987", "cohort means after", "A-W13", 73.1, 52.7, "20.4")]:
    printed(pa_systolic_pressure_mmhg, source, place, answer=answer, seen="derived", kind="derived", fact=row,
            rv_systolic_mmhg=rv, gradient_mmhg=drop, gradient_kind="peak_to_peak")


@formula("rao2022", seen="read", pr_end_velocity_m_s=(0.2, 5), ra_pressure_mmhg=(-5, 40))
def pa_diastolic_pressure_mmhg(*, pr_end_velocity_m_s, ra_pressure_mmhg):
    r"""Pulmonary artery diastolic pressure from the end-diastolic regurgitant velocity.

    $p_{PA} = 4 v_{PR}^2 + p_{RA}$

    In words: four times the square of the end-diastolic pulmonary regurgitant velocity, plus right atrial pressure.

    What belongs in the sum is right ventricular END-DIASTOLIC pressure. Right atrial pressure stands in for it,
    and fails in a stiff ventricle, which is common in this disease.

    Args:
        pr_end_velocity_m_s: velocity of the pulmonary regurgitant jet at end-diastole.
        ra_pressure_mmhg: right atrial mean pressure.
    Valid: 0.2 to 5 m/s and −5 to 40 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: a stiff or restrictive right ventricle; use the catheter. No worked example was found.
    Source: [@rao2022, table 3], transcribed.
    """
    return 4 * pr_end_velocity_m_s * pr_end_velocity_m_s + ra_pressure_mmhg


@formula("rudski2010", seen="second", ivc_max_mm=(2, 50), ivc_min_mm=(0, 50))
def ivc_collapse_percent(*, ivc_max_mm, ivc_min_mm):
    r"""Collapse of the inferior vena cava with a sniff.

    $c = 100 \cdot \frac{d_{max} - d_{min}}{d_{max}}$

    In words: the fall in diameter as a percentage of the greater diameter.

    Args:
        ivc_max_mm: greater diameter, at end-expiration.
        ivc_min_mm: smaller diameter, with the sniff.
    Valid: 2 to 50 mm and 0 to 50 mm, house limits; the second not above the first.
    Raises: OutOfRange outside these; NoResult when the smaller diameter exceeds the greater.
    Not for: a ventilated patient, or a child (the diameter rule that goes with it is an adult's); on the
        table use the measured right atrial pressure. No worked example was found.
    Source: [@rudski2010, rule for the right atrial pressure]; the percentage is arithmetic.
    """
    if ivc_min_mm > ivc_max_mm:
        refuse("ivc_min_mm", "The smaller diameter is greater than the greater one: are the two in each other's place?")
    return 100 * (ivc_max_mm - ivc_min_mm) / ivc_max_mm


@formula("", seen="derived", peak_to_peak_mmhg=(0, 250), pa_pulse_pressure_mmhg=(0, 120))
def catheter_instantaneous_ceiling_mmhg(*, peak_to_peak_mmhg, pa_pulse_pressure_mmhg):
    r"""Highest peak instantaneous gradient that two simultaneous catheter traces can hold.

    $\Delta p_{max} \leq \Delta p_{pp} + (p_{sys} - p_{dia})$

    In words: peak-to-peak gradient plus pulmonary artery pulse pressure.

    The lowest it can be is the peak-to-peak gradient itself. It does not bound a Doppler gradient: one above
    the ceiling means recovered pressure, another state of sedation or time, poor alignment, or another level.
    With pulmonary regurgitation the pulse is wide and the bound is loose.

    Args:
        peak_to_peak_mmhg: catheter peak-to-peak gradient.
        pa_pulse_pressure_mmhg: pulmonary artery systolic less diastolic pressure, same beats.
    Valid: 0 to 250 mmHg and 0 to 120 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: Doppler velocities, or traces recorded one after the other. No worked example was found.
    Source: geometry of the two traces; proof on the physiology page.
    """
    return peak_to_peak_mmhg + pa_pulse_pressure_mmhg


@formula("recovery_children", seen="read", velocity_m_s=(0.5, 7), effective_area_cm2=(0.05, 8),
         vessel_area_cm2=(0.1, 20))
def pressure_recovery_mmhg(*, velocity_m_s, effective_area_cm2, vessel_area_cm2):
    r"""Pressure regained beyond the valve, by which Doppler exceeds the catheter.

    $\Delta p_{rec} = 4 v^2 \cdot 2 x (1 - x), \quad x = \frac{A_{eff}}{A_{vessel}}$

    In words: the Doppler gradient times twice the area fraction times one less the area fraction.

    Studied in aortic stenosis; a wide pulmonary trunk beyond the valve makes it small. In that study the
    correction left a wide scatter (14 mmHg).

    Args:
        velocity_m_s: peak velocity through the valve.
        effective_area_cm2: effective orifice area.
        vessel_area_cm2: cross-section of the pulmonary trunk where the pressure is regained.
    Valid: 0.5 to 7 m/s, 0.05 to 8 and 0.1 to 20 square centimetres, house limits; the orifice not above the vessel.
    Raises: OutOfRange outside these; NoResult when the orifice is greater than the vessel.
    Not for: turning a Doppler gradient into a catheter gradient for one patient; measure it.
    Source: [@recovery_children, Methods], transcribed.
    """
    if effective_area_cm2 > vessel_area_cm2:
        refuse("", "The effective orifice is greater than the vessel beyond it: are the two areas in each other's place?")
    share = effective_area_cm2 / vessel_area_cm2
    return 4 * velocity_m_s * velocity_m_s * 2 * share * (1 - share)


# Net static drop = 4v²(1 - 2x + 2x²): at x = 1/2 half of 4v² is regained.
printed(pressure_recovery_mmhg, "recovery_children", "identity at half the vessel area", answer="32",
        seen="derived", kind="identity", fact="C-D16", velocity_m_s=4, effective_area_cm2=1, vessel_area_cm2=2)


@formula("", seen="derived", before_mmhg=(1, 300), after_mmhg=(0, 300))
def gradient_fall_percent(*, before_mmhg, after_mmhg):
    r"""Fall of a gradient, as a percentage of what it was.

    $f = 100 \cdot \frac{\Delta p_1 - \Delta p_2}{\Delta p_1}$

    In words: the fall divided by the first value, times a hundred.

    Both must be the same kind of gradient, measured in the same state. A mean of single patients' falls is
    not the fall of the means. A negative result is a rise.

    Args:
        before_mmhg: gradient before the balloon.
        after_mmhg: the same kind of gradient after it.
    Valid: 1 to 300 mmHg and 0 to 300 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: a Doppler gradient before and a catheter gradient after, or the reverse.
    Source: arithmetic.
    """
    return 100 * (before_mmhg - after_mmhg) / before_mmhg


MEAN_OF_FALLS = "the source averages each patient's own fall; the fall of the means is another figure"

for source, place, row, before, after, answer in [
        ("fawzy2007", "cohort means", "A-W11", 105, 34, "67.6"),
        ("ten_children1990", "cohort means", "A-W12", 114.5, 43.0, "62.4"),
        ("thirtytwo_patients1987", "cohort means", "A-W13", 98, 52.7, "46.2"),
        ("doppler_bpv1988", "cohort means", "A-W14", 64, 22, "65.6"),
        ("ezhumalai", "cohort means", "B-W12", 103.4, 33.9, "67.2")]:
    printed(gradient_fall_percent, source, place, answer=answer, seen="derived", kind="derived", fact=row,
            before_mmhg=before, after_mmhg=after)
printed(gradient_fall_percent, "doppler_bpv1988", "mean reduction", answer="68", fact="A-W14",
        differs=MEAN_OF_FALLS, before_mmhg=64, after_mmhg=22)
printed(gradient_fall_percent, "ezhumalai", "results", answer="65.1", fact="B-W12 B-R19",
        differs=MEAN_OF_FALLS, before_mmhg=103.4, after_mmhg=33.9)


@formula("rv_curves2008", seen="read", rv_systolic_mmhg=(5, 300), systemic_systolic_mmhg=(20, 300))
def rv_systemic_ratio(*, rv_systolic_mmhg, systemic_systolic_mmhg):
    r"""Right ventricular systolic pressure as a part of the systemic systolic pressure.

    $r = \frac{p_{RV}}{p_{sys}}$

    In words: right ventricular systolic pressure divided by systemic systolic pressure.

    One series split its outcome after the balloon at 0.5; the wider bands 0.5, 0.75 and 1.0 are recalled.
    Low systemic pressure under anaesthesia makes the ratio large: write down the state.

    Args:
        rv_systolic_mmhg: right ventricular systolic pressure.
        systemic_systolic_mmhg: systemic systolic pressure from an arterial trace of the same moment, not a cuff.
    Valid: 5 to 300 mmHg and 20 to 300 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: a ratio of pressures taken at different times. No worked example was found.
    Source: [@rv_curves2008, Results], use of the ratio; the division is arithmetic.
    """
    return rv_systolic_mmhg / systemic_systolic_mmhg

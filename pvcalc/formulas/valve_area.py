"""Valve area and resistance from flow and gradient."""

from math import pi, sqrt

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed

GORLIN_CONSTANT = 44.3  # root of 2 × 980 cm/s², which is 44.27; the coefficient is taken as 1
BLOOD_DENSITY_G_CM3 = 1.06
DYN_CM2_PER_MMHG = 1333.22
SECONDS_PER_MINUTE = 60


def _ask_ejection(inputs):
    share = inputs["ejection_period_s"] * inputs["heart_rate_bpm"] / SECONDS_PER_MINUTE
    if share < 0.2 or share > 0.65:
        return "Ejection takes an unusual share of the beat: are period and heart rate from the same beats?"
    return ""


def _systolic_flow_ml_s(flow_l_min, heart_rate_bpm, ejection_period_s):
    """Mean flow while the valve is open; refuses an ejection that is longer than its beat."""
    if ejection_period_s * heart_rate_bpm >= SECONDS_PER_MINUTE:
        refuse("ejection_period_s", "The ejection period is as long as the whole beat: check period and heart rate.")
    return 1000 * flow_l_min / (heart_rate_bpm * ejection_period_s)


@formula("gorlin1951", seen="derived", asks=(_ask_ejection,), transvalvar_flow_l_min=(0.1, 15),
         heart_rate_bpm=(30, 220), ejection_period_s=(0.08, 0.7), mean_gradient_mmhg=(1, 200))
def gorlin_area_cm2(*, transvalvar_flow_l_min, heart_rate_bpm, ejection_period_s, mean_gradient_mmhg):
    r"""Valve area by the formula of Gorlin, semilunar valve.

    $A = \frac{1000 Q}{f \cdot t \cdot 44.3 \sqrt{\Delta p}}$

    In words: flow through the valve while it is open, in mL/s, divided by 44.3 times the root of the mean gradient.

    The flow is the flow across the pulmonary valve: pulmonary flow with an atrial shunt. With moderate or more
    regurgitation the forward flow is larger than the net flow, and the area from net flow is too small: do not
    read it as residual stenosis. The constant is the root of twice the acceleration of gravity, 2 × 980 cm/s², with
    the gradient taken as if it were a head in cm. It holds a coefficient of 1 that is assumed and was never measured
    for this valve; in 17 aortic valves the area so found did not agree with the area seen [@migliore2017, abstract].
    At low flow the area comes out too small; a damped trace makes it too large.

    Args:
        transvalvar_flow_l_min: forward flow across the pulmonary valve.
        heart_rate_bpm: rate of the same beats.
        ejection_period_s: valve opening to closure, one beat.
        mean_gradient_mmhg: mean, not peak-to-peak and not peak.
    Valid: flow 0.1 to 15 L/min, rate 30 to 220 /min, period 0.08 to 0.7 s, mean gradient 1 to 200 mmHg, house limits.
    Raises: OutOfRange outside these; NoResult when ejection is as long as the beat.
    Not for: an open arterial duct (pulmonary flow is then not the flow across the valve); use right ventricular output.
    Source: [@gorlin1951, equation as an encyclopaedia prints it] for the form; constant derived, coefficient of 1 [@migliore2017, abstract].
    """
    flow_ml_s = _systolic_flow_ml_s(transvalvar_flow_l_min, heart_rate_bpm, ejection_period_s)
    return flow_ml_s / (GORLIN_CONSTANT * sqrt(mean_gradient_mmhg))



@formula("hakki83", transvalvar_flow_l_min=(0.1, 15), mean_gradient_mmhg=(1, 200))
def hakki_area_cm2(*, transvalvar_flow_l_min, mean_gradient_mmhg):
    r"""Valve area by the short formula of Hakki.

    $A = \frac{Q}{\sqrt{\Delta p}}$

    In words: flow across the valve in L/min divided by the root of the mean gradient.

    It rests on rate times ejection period times 44.3 being near 1000, which holds at about 75 /min with a
    0.30 s ejection and drifts with the rate; a fast child makes the area too large. The rule of dividing by
    1.35 above 90 /min is for the aortic valve and was not tested in the pulmonary valve.
    With moderate or more regurgitation the area from net flow is too small. Take the mean gradient: in this
    disease the peak-to-peak gradient is about 1.7 times the mean and makes the area much smaller.

    Args:
        transvalvar_flow_l_min: forward flow across the pulmonary valve.
        mean_gradient_mmhg: mean gradient.
    Valid: flow 0.1 to 15 L/min, mean gradient 1 to 200 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: an open arterial duct, or a case whose ejection period is known or whose rate is far from 75 /min; use `gorlin_area_cm2`.
    Source: [@hakki83, abstract] after [@angel1985, abstract], transcribed.
    """
    return transvalvar_flow_l_min / sqrt(mean_gradient_mmhg)



@formula("", seen="practice", outflow_diameter_mm=(2, 50), outflow_vti_cm=(1, 60), jet_vti_cm=(2, 300))
def continuity_area_cm2(*, outflow_diameter_mm, outflow_vti_cm, jet_vti_cm):
    r"""Effective valve area by echo: what passes the outflow tract passes the valve.

    $A = \frac{\pi d^2}{4} \cdot \frac{\mathrm{VTI}_{out}}{\mathrm{VTI}_{jet}}$

    In words: area of the outflow tract times its velocity integral, divided by that of the jet.

    The right outflow tract is hard to measure and not round, and its error enters twice. No worked example was
    found for the pulmonary valve, and no document grades pulmonary stenosis by it.

    Args:
        outflow_diameter_mm: inner edge to inner edge, where the velocity was sampled.
        outflow_vti_cm: pulsed-wave integral there.
        jet_vti_cm: continuous-wave integral across the valve.
    Valid: diameter 2 to 50 mm, integrals 1 to 60 and 2 to 300 cm, house limits.
    Raises: OutOfRange outside these.
    Not for: a narrow outflow tract, where two jets add up.
    Source: common practice.
    """
    diameter_cm = outflow_diameter_mm / 10
    return pi / 4 * diameter_cm * diameter_cm * outflow_vti_cm / jet_vti_cm


@formula("", seen="derived", flow_ml_s=(1, 1500), gradient_mmhg=(0.5, 300))
def orifice_area_cm2(*, flow_ml_s, gradient_mmhg):
    r"""Effective area of an orifice from the flow and the gradient of one instant.

    $A = \frac{Q}{\sqrt{2 \Delta p / \rho}}$

    In words: flow in mL/s divided by about 50.15 times the root of the gradient, with blood at 1.06 g/cm³.

    Exact for a steady jet that is fully lost behind the orifice. No worked example was found.

    Args:
        flow_ml_s: flow through the orifice.
        gradient_mmhg: instantaneous gradient at that moment.
    Valid: flow 1 to 1500 mL/s, gradient 0.5 to 300 mmHg, house limits.
    Raises: OutOfRange outside these.
    Not for: a mean flow with a mean gradient, which leaves out the shape of the flow; use `gorlin_area_cm2`.
    Source: conservation of energy.
    """
    return flow_ml_s / sqrt(2 * gradient_mmhg * DYN_CM2_PER_MMHG / BLOOD_DENSITY_G_CM3)


@formula("ford1990", asks=(_ask_ejection,), mean_gradient_mmhg=(1, 200), transvalvar_flow_l_min=(0.1, 15),
         heart_rate_bpm=(30, 220), ejection_period_s=(0.08, 0.7))
def valve_resistance_dyn_s_cm5(*, mean_gradient_mmhg, transvalvar_flow_l_min, heart_rate_bpm, ejection_period_s):
    r"""Valve resistance: mean gradient over mean flow while the valve is open.

    $R = 1333.22 \cdot \frac{\Delta p \cdot f \cdot t}{1000 Q}$

    In words: mean gradient in dyn/cm² divided by the mean systolic flow in mL/s.

    It needs no empirical constant. The published band of 117 to 1244 dyn·s·cm⁻⁵ over 1.26 down to 0.22 cm² is of aortic valves.

    Args:
        mean_gradient_mmhg: mean gradient.
        transvalvar_flow_l_min: forward flow across the pulmonary valve.
        heart_rate_bpm: rate of the same beats.
        ejection_period_s: valve opening to closure, one beat.
    Valid: mean gradient 1 to 200 mmHg, flow 0.1 to 15 L/min, rate 30 to 220 /min, period 0.08 to 0.7 s, house limits.
    Raises: OutOfRange outside these; NoResult when ejection is as long as the beat.
    Not for: an open arterial duct; use right ventricular output as the flow.
    Source: [@ford1990, abstract], transcribed.
    """
    flow_ml_s = _systolic_flow_ml_s(transvalvar_flow_l_min, heart_rate_bpm, ejection_period_s)
    return DYN_CM2_PER_MMHG * mean_gradient_mmhg / flow_ml_s


# A simulated ventricle (rate 75 /min, 5 L/min) gives one column of areas for each formula; its gradients and
# periods were written down rounded, so the last digit may move.
for _mean, _period, _gorlin, _hakki, _resistance in ((9.6, 0.312, "1.558", "1.61", "60"), (18.3, 0.336, "1.048", "1.17", "123"),
                                                     (42.1, 0.367, "0.631", "0.77", "309"), (84.4, 0.390, "0.420", "0.54", "658")):
    printed(gorlin_area_cm2, "", "simulated ventricle at 5 L/min", answer=_gorlin, seen="derived", kind="derived", fact="C-5.3",
            because="gradient and period were written down rounded", within=0.008 if _mean < 10 else 0.0025,
            transvalvar_flow_l_min=5, heart_rate_bpm=75, ejection_period_s=_period, mean_gradient_mmhg=_mean)
    printed(hakki_area_cm2, "", "simulated ventricle at 5 L/min", answer=_hakki, seen="derived", kind="derived", fact="C-5.3",
            transvalvar_flow_l_min=5, mean_gradient_mmhg=_mean)
    printed(valve_resistance_dyn_s_cm5, "", "simulated ventricle at 5 L/min", answer=_resistance, seen="derived", kind="derived",
            fact="C-5.3", mean_gradient_mmhg=_mean, transvalvar_flow_l_min=5, heart_rate_bpm=75, ejection_period_s=_period)


@formula("ring2021", seen="read", effective_area_cm2=(0.02, 10), vessel_area_cm2=(0.1, 20))
def energy_loss_area_cm2(*, effective_area_cm2, vessel_area_cm2):
    r"""Energy-loss area: the effective area corrected for pressure regained in the vessel behind it.

    $A_e = \frac{A_1 A_2}{A_2 - A_1}$

    In words: effective area times vessel area, divided by their difference.

    It is what a catheter well downstream sees; Doppler sees the effective area. In a narrow artery they part.

    Args:
        effective_area_cm2: effective area of the valve.
        vessel_area_cm2: cross-section of the pulmonary trunk.
    Valid: effective area 0.02 to 10 cm², vessel 0.1 to 20 cm², house limits.
    Raises: OutOfRange outside these; NoResult unless the vessel is wider than the valve.
    Not for: stenosis in a row; the pressure is not regained between them.
    Source: [@ring2021, Fig 12], transcribed.
    """
    if effective_area_cm2 >= vessel_area_cm2:
        refuse("vessel_area_cm2", "The vessel must be wider than the effective area of the valve.")
    return effective_area_cm2 * vessel_area_cm2 / (vessel_area_cm2 - effective_area_cm2)


printed(energy_loss_area_cm2, "ring2021", "Fig 12, an aortic valve", answer="1.04", fact="C-5.4 O-N17", effective_area_cm2=0.9,
        vessel_area_cm2=6.6)

for _area, _answer in ((3.5, "8.4"), (1.5, "2.0"), (1.0, "1.2"), (0.6, "0.667"), (0.4, "0.429")):
    printed(energy_loss_area_cm2, "", "simulated ventricle into a vessel of 6 cm²", answer=_answer, seen="derived", kind="derived",
            fact="C-5.4", effective_area_cm2=_area, vessel_area_cm2=6)


@formula("krabill1985", area_cm2=(0.02, 10), body_surface_m2=(0.1, 3.5))
def valve_area_index_cm2_m2(*, area_cm2, body_surface_m2):
    r"""Valve area for a body surface of one square metre.

    $A_i = \frac{A}{A_{body}}$

    In words: valve area divided by body surface.

    Groups of 24 adults and 53 children were under 0.5 (only these had an abnormal answer to exercise), 0.5 to
    1.0 and over 1.0 cm²/m². Normal adults measured 2.02 ± 0.20 by echo [@adult_outflow1992, abstract], and that paper doubts
    the index.

    Args:
        area_cm2: valve area; say by which formula.
        body_surface_m2: body surface.
    Valid: area 0.02 to 10 cm², surface 0.1 to 3.5 m², house limits.
    Raises: OutOfRange outside these.
    Not for: choosing a balloon; use the annulus.
    Source: [@krabill1985, abstract], transcribed.
    """
    return area_cm2 / body_surface_m2

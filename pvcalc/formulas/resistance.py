"""Vascular resistances and the mean pressure they need."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import formula, printed

DYN_PER_WOOD_UNIT = 80  # the trade's figure; exactly 60 × 1.333224 = 79.993
MEAN_SHARE = 3  # diastole counts twice, systole once


@formula("rosenkranz2015", mean_pa_mmhg=(1, 150), wedge_mmhg=(0, 60), flow_l_min=(0.1, 20))
def pulmonary_resistance_wu(*, mean_pa_mmhg, wedge_mmhg, flow_l_min):
    r"""Resistance of the lungs.

    $R = \frac{P_{PA} - P_w}{Q_p}$

    In words: mean pulmonary artery pressure minus wedge pressure, divided by the flow through the lungs.

    Before relief, the flow may be small and the pressure beyond the valve low; the figure then says little.

    Args:
        mean_pa_mmhg: mean of the pulmonary artery beyond the valve.
        wedge_mmhg: wedge or left atrial mean, at the end of expiration.
        flow_l_min: pulmonary flow, not systemic flow, when there is a shunt.
    Valid: mean 1 to 150 mmHg, wedge 0 to 60 mmHg, flow 0.1 to 20 L/min, house limits.
    Raises: OutOfRange outside these; NoResult when the wedge is above the mean.
    Not for: total resistance without a wedge pressure.
    Source: [@rosenkranz2015, table], transcribed.
    """
    if wedge_mmhg > mean_pa_mmhg:
        refuse("wedge_mmhg", "The wedge pressure is above the mean pulmonary artery pressure: check both traces and their zero.")
    return (mean_pa_mmhg - wedge_mmhg) / flow_l_min


printed(pulmonary_resistance_wu, "cairo2023", "case 11.6, printed as 222 dyn·s·cm⁻⁵", answer="222", seen="second", fact="C-E19 O-N32", factor=80,
        mean_pa_mmhg=35, wedge_mmhg=14, flow_l_min=7.58)
printed(pulmonary_resistance_wu, "cairo2023", "case 11.7, printed as 201 dyn·s·cm⁻⁵", answer="201", seen="second", fact="C-E19 O-N35", factor=80,
        mean_pa_mmhg=33, wedge_mmhg=13, flow_l_min=7.98)


@formula("rosenkranz2015", mean_arterial_mmhg=(10, 200), mean_ra_mmhg=(-5, 40), flow_l_min=(0.1, 20))
def systemic_resistance_wu(*, mean_arterial_mmhg, mean_ra_mmhg, flow_l_min):
    r"""Resistance of the body.

    $R = \frac{P_a - P_{RA}}{Q_s}$

    In words: mean arterial pressure minus mean right atrial pressure, divided by the systemic flow.

    Args:
        mean_arterial_mmhg: mean of the arterial trace.
        mean_ra_mmhg: mean of the right atrium.
        flow_l_min: systemic flow.
    Valid: arterial 10 to 200 mmHg, atrial −5 to 40 mmHg, flow 0.1 to 20 L/min, house limits.
    Raises: OutOfRange outside these; NoResult when the atrial pressure is above the arterial one.
    Not for: pulmonary flow when there is a shunt.
    Source: [@rosenkranz2015, table], transcribed.
    """
    if mean_ra_mmhg > mean_arterial_mmhg:
        refuse("mean_ra_mmhg", "The mean right atrial pressure is above the mean arterial pressure: check both traces.")
    return (mean_arterial_mmhg - mean_ra_mmhg) / flow_l_min


printed(systemic_resistance_wu, "encyclopaedia_resistance", "worked example, 120/80", answer="18", seen="second", fact="M-XM6",
        mean_arterial_mmhg=80 + 40 / 3, mean_ra_mmhg=3, flow_l_min=5)


@formula("", seen="derived", resistance_wu=(0, 100), body_surface_m2=(0.1, 3.5))
def indexed_resistance_wu_m2(*, resistance_wu, body_surface_m2):
    r"""Resistance for a body surface of one square metre.

    $R_i = R \cdot A$

    In words: resistance in Wood units TIMES body surface, which is the same as pressure over flow index.

    A printed table divides by body surface [@rosenkranz2015, table]; that has the wrong dimension and makes a
    newborn's lungs look twenty times too stiff. No worked example was found.

    Args:
        resistance_wu: not indexed, from plain flow in L/min.
        body_surface_m2: body surface.
    Valid: resistance 0 to 100 WU, surface 0.1 to 3.5 m², house limits.
    Raises: OutOfRange outside these.
    Not for: a resistance already computed from a flow index.
    Source: dimensional analysis.
    """
    return resistance_wu * body_surface_m2


@formula("rosenkranz2015", resistance_wu=(0, 100))
def resistance_dyn_s_cm5(*, resistance_wu):
    r"""Wood units in absolute units.

    $R_{cgs} = 80 \cdot R$

    In words: eighty times the resistance in Wood units; exactly it is 79.993.

    Args:
        resistance_wu: resistance in mmHg·min/L.
    Valid: 0 to 100 WU, house limits.
    Raises: OutOfRange outside that range.
    Not for: valve resistance; use `valve_resistance_dyn_s_cm5`.
    Source: [@rosenkranz2015, table], transcribed.
    """
    return DYN_PER_WOOD_UNIT * resistance_wu


printed(resistance_dyn_s_cm5, "encyclopaedia_resistance", "worked example, from the rounded 18 WU", answer="1440", seen="second", fact="M-XM6",
        resistance_wu=18)
printed(resistance_dyn_s_cm5, "slife1990", "0.80 WU against the 64 dyn·s·cm⁻⁵ measured at rest", answer="64", seen="derived",
        kind="derived", fact="C-E28", resistance_wu=0.80)
printed(resistance_dyn_s_cm5, "oxygen_resistance_chapter", "unit change", answer="79.9", fact="C-F13", resistance_wu=1,
        differs="The chapter prints 79.9. Exactly it is 79.993, and the trade uses 80.")
printed(resistance_dyn_s_cm5, "cairo2023", "case 11.6, systemic: 107 and 13 mmHg at 7.58 L/min", answer="992", seen="second", fact="C-E19 O-N31",
        resistance_wu=(107 - 13) / 7.58)


@formula("rosenkranz2015", systolic_mmhg=(1, 300), diastolic_mmhg=(0, 200))
def mean_pressure_mmhg(*, systolic_mmhg, diastolic_mmhg):
    r"""Mean pressure of an artery estimated from its two ends.

    $P_m = P_d + \frac{P_s - P_d}{3}$

    In words: diastolic pressure plus a third of the pulse pressure.

    The integral of the trace is better, most of all in fast rhythm or with a regurgitant valve.

    Args:
        systolic_mmhg: arterial or pulmonary arterial systolic pressure.
        diastolic_mmhg: diastolic pressure of the same beat.
    Valid: systolic 1 to 300 mmHg, diastolic 0 to 200 mmHg, house limits.
    Raises: OutOfRange outside these; NoResult when diastolic is above systolic.
    Not for: ventricles or atria; read their means from the trace.
    Source: [@rosenkranz2015, table], transcribed.
    """
    if diastolic_mmhg > systolic_mmhg:
        refuse("diastolic_mmhg", "The diastolic pressure is above the systolic pressure: were they exchanged?")
    return diastolic_mmhg + (systolic_mmhg - diastolic_mmhg) / MEAN_SHARE


printed(mean_pressure_mmhg, "encyclopaedia_resistance", "worked example, 120/80", answer="93.3", seen="second", fact="M-XM6",
        systolic_mmhg=120, diastolic_mmhg=80)
printed(mean_pressure_mmhg, "rosenkranz2015", "formula only; no answer printed", answer="15.0", seen="derived", kind="derived",
        fact="C-E21", systolic_mmhg=25, diastolic_mmhg=10)

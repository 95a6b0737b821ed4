"""Cases that others printed with their answers, held against the formulas of flow, pressure and valve area.

Their facts carry the identity `O-N` and a number. A print that does not come out stays, with the reason: it shows which slip was made.
"""

from math import pi

from pvcalc.core.formula import printed
from pvcalc.formulas.catheter_frequency import damping_ratio
from pvcalc.formulas.flow import cardiac_index_l_min_m2, fick_flow_l_min, shunt_ratio, stroke_volume_ml
from pvcalc.formulas.pressure_gradient import bernoulli_gradient_mmhg, pa_systolic_pressure_mmhg, rv_systolic_pressure_mmhg
from pvcalc.formulas.radiation import kap_to_ugy_m2
from pvcalc.formulas.resistance import mean_pressure_mmhg, resistance_dyn_s_cm5, systemic_resistance_wu
from pvcalc.formulas.valve_area import continuity_area_cm2, valve_area_index_cm2_m2

# A textbook of echocardiography, read as a conversion: pressures, velocities and output of its boxes.
ECHO = {"source": "otto2018", "seen": "second"}
BOX = "chapter 17, pressures with pulmonary valve disease"
printed(bernoulli_gradient_mmhg, locator=BOX + ", outflow velocity left out", answer="38", fact="O-N2", **ECHO, velocity_m_s=3.1)
printed(pa_systolic_pressure_mmhg, locator=BOX, answer="23", fact="O-N4", **ECHO, rv_systolic_mmhg=51, gradient_mmhg=28,
        gradient_kind="instantaneous")
printed(continuity_area_cm2, locator="chapter 17, flow ratio, 2.6 cm and 32 cm against 2.4 cm and 16 cm", answer="2.4", fact="O-N12", **ECHO,
        factor=1 / (pi * 1.2 * 1.2), outflow_diameter_mm=26, outflow_vti_cm=32, jet_vti_cm=16,
        because="the print divides 170 by 72, both rounded", within=0.06)
printed(bernoulli_gradient_mmhg, locator="chapter 17, text", answer="80", fact="O-N5", **ECHO, velocity_m_s=4.5,
        because="the text says about 80", within=1)
printed(stroke_volume_ml, locator="chapter 2, outflow of 2.4 cm, integral of 18 cm", answer="81", fact="O-N6", **ECHO,
        output_l_min=6.48, heart_rate_bpm=80)
printed(stroke_volume_ml, locator="chapter 6, outflow of 2.3 cm, integral of 11 cm", answer="46", fact="O-N7", **ECHO,
        output_l_min=4.05, heart_rate_bpm=88)
printed(cardiac_index_l_min_m2, locator="chapter 6, the same patient", answer="2.25", fact="O-N7", **ECHO, output_l_min=4.05,
        body_surface_m2=1.8)
printed(rv_systolic_pressure_mmhg, locator="chapter 6", answer="39", fact="O-N8", **ECHO, tr_velocity_m_s=2.7, ra_pressure_mmhg=10)
for _atrium, _answer in ((5, "30"), (20, "45")):
    printed(rv_systolic_pressure_mmhg, locator="chapter 6, the same jet with two atria", answer=_answer, fact="O-N9", **ECHO,
            tr_velocity_m_s=2.5, ra_pressure_mmhg=_atrium)

# One patient with an aortic valve, in the caption of a figure that is open to all.
FIGURE = {"source": "ring2021", "locator": "Fig 12, an aortic valve"}
printed(continuity_area_cm2, answer="0.9", fact="O-N15", **FIGURE, outflow_diameter_mm=21.11, outflow_vti_cm=14, jet_vti_cm=55,
        because="the caption gives the outflow as 3.5 cm², a circle of 21.11 mm", within=0.05)
printed(valve_area_index_cm2_m2, answer="0.51", fact="O-N16", **FIGURE, area_cm2=0.9, body_surface_m2=1.7,
        differs="A slip of the print: 0.9 divided by 1.7 is 0.53.")
printed(valve_area_index_cm2_m2, answer="0.61", fact="O-N18", **FIGURE, area_cm2=1.04, body_surface_m2=1.7)

# Full mixing: one saturation leaves both ventricles. The mixed venous 60 % is inferred: it alone gives both printed pairs.
for _both, _answer in ((0.92, "4"), (0.80, "1")):
    printed(shunt_ratio, "key_questions", "chapter 2, on full mixing", answer=_answer, seen="second", fact="O-N21",
            aortic_saturation_fraction=_both, mixed_venous_saturation_fraction=0.6, pulmonary_vein_saturation_fraction=1,
            pulmonary_artery_saturation_fraction=_both)

# A textbook of ventilation, read as a conversion: four patients, with the print's own slips.
CASES = {"source": "cairo2023", "seen": "second"}
printed(cardiac_index_l_min_m2, locator="case 11.2", answer="1.76", fact="O-N23", **CASES, output_l_min=3.0, body_surface_m2=1.7)
for _uptake, _arterial, _venous, _answer, _place, _fact in (
        (250, 15.7, 13.1, "9.62", "case 11.5, before", "O-N26"), (375, 18.5, 13.8, "7.98", "case 11.7", "O-N37")):
    printed(fick_flow_l_min, locator=_place, answer=_answer, fact=_fact, **CASES, oxygen_uptake_ml_min=_uptake,
            arterial_content_ml_dl=_arterial, venous_content_ml_dl=_venous)
printed(fick_flow_l_min, locator="case 11.3, the second time", answer="4.7", fact="O-N25", **CASES, oxygen_uptake_ml_min=350,
        arterial_content_ml_dl=20, venous_content_ml_dl=14, differs="A slip of the print: 350 over a difference of 6 mL/dL is 5.8 L/min.")
printed(fick_flow_l_min, locator="case 11.5, after", answer="3.96", fact="O-N28", **CASES, oxygen_uptake_ml_min=230,
        arterial_content_ml_dl=17.1, venous_content_ml_dl=11.3, because="the print cuts the third decimal off", within=0.01)
printed(cardiac_index_l_min_m2, locator="case 11.6", answer="4.19", fact="O-N30", **CASES, output_l_min=7.58, body_surface_m2=1.81)
printed(stroke_volume_ml, locator="case 11.6", answer="70", fact="O-N30", **CASES, output_l_min=7.58, heart_rate_bpm=115,
        differs="A slip of the print: 7.58 L/min at 115 /min is 66 mL.")
printed(systemic_resistance_wu, locator="case 11.7, printed in dyn·s·cm⁻⁵", answer="802", fact="O-N34", **CASES, factor=80,
        mean_arterial_mmhg=92, mean_ra_mmhg=12, flow_l_min=7.98)
for _systolic, _diastolic, _answer in ((159, 64, "92"), (52, 18, "33")):
    printed(mean_pressure_mmhg, locator="case 11.7, the mean that was measured", answer=_answer, fact="O-N37", **CASES,
            systolic_mmhg=_systolic, diastolic_mmhg=_diastolic, differs="Measured; a third of the pulse pressure only estimates the mean.")

printed(damping_ratio, "anesthesia_textbook6", "figure 32-11", answer="0.11", fact="O-N70", first_swing_mm=24, next_swing_mm=17,
        apart="half_cycle")

# Units, from two open libraries.
SOFTWARE = {"kind": "other-software"}
printed(kap_to_ugy_m2, "pint", "version 0.25.3, one Gy·cm² in microgray and m²", answer="100", fact="O-N76", **SOFTWARE, seen="derived",
        kap_gy_cm2=1)
printed(resistance_dyn_s_cm5, "scipy_constants", "millimetre of mercury, minute and litre", answer="79.993432449", fact="O-N77", **SOFTWARE,
        resistance_wu=1, differs="Everybody multiplies by 80, and so does the handbook; it is 0.008 % more.")

"""Printed examples of these formulas: none may be lost, and their inputs are typed a second time here.

A coarse printed answer does not notice a slip in an input, a second reading of the inputs does.
"""

from collections import Counter

import pytest

from pvcalc.core.formula import PRINTED
from pvcalc.formulas import (  # noqa: F401  importing them records their examples
    flow, kidney, doses, oxygen_uptake, radiation, regurgitation, resistance, valve_area,
)

LEAST = {
    "oxygen_content_ml_dl": 16, "fick_flow_l_min": 3, "stroke_volume_ml": 2, "shunt_ratio": 1, "oxygen_uptake_lafarge_ml_min": 3,
    "oxygen_uptake_bergstra_ml_min": 2, "oxygen_uptake_dehmer_ml_min": 1, "oxygen_uptake_seckeler_ml_min": 1,
    "pulmonary_resistance_wu": 2, "systemic_resistance_wu": 1, "resistance_dyn_s_cm5": 4, "mean_pressure_mmhg": 2,
    "gorlin_area_cm2": 4, "hakki_area_cm2": 4, "valve_resistance_dyn_s_cm5": 4, "energy_loss_area_cm2": 6,
    "regurgitant_fraction_percent": 2, "egfr_ckd_epi_2021_ml_min_173": 3, "egfr_bedside_schwartz_ml_min_173": 1,
    "creatinine_clearance_ml_min": 2, "contrast_limit_ml": 3, "contrast_renal_ratio": 6, "contrast_ml_per_kg": 1,
    "blood_volume_ml": 3, "allowable_blood_loss_ml": 1, "local_anaesthetic_limit_ml": 7, "protamine_mg": 2,
    "infusion_rate_ml_h": 7, "kap_to_gy_cm2": 2, "kap_to_ugy_m2": 4,
}


def test_no_printed_example_was_lost():
    counts = Counter(example.formula.name for example in PRINTED)
    assert {name: counts[name] for name in LEAST if counts[name] < LEAST[name]} == {}


# Fact, printed answer, inputs in any order.
TYPED_TWICE = [
    ("C-E2", "27", (3.0, 110)), ("C-E2", "98.5", (7.98, 81)), ("C-E2", "2", (1, 0.6, 1, 0.8)), ("C-5.4", "1.04", (0.9, 6.6)),
    ("C-E25", "232.1", (40, 70, 1.9, "male")), ("C-E25", "274.9", (40, 1.9, "male")),
    ("C-E25", "275.4", (40, 1.9, "male")), ("C-E25", "237.5", (1.9,)), ("C-E26", "148.8", (10, 30, 1, 0, 0)),
    ("C-E22", "122.2", (40, 70, 1, "male")), ("C-E22", "101.7", (40, 70, 1, "female")), ("C-E1", "6", (300, 18, 13)), ("C-E1", "4.4", (350, 20, 12)),
    ("C-E3", "15.7", (13, 0.9, 0, 1.34)), ("C-E3", "13.1", (13, 0.75, 0, 1.34)), ("C-E3", "17.1", (13, 0.98, 0, 1.34)),
    ("C-E3", "11.3", (13, 0.65, 0, 1.34)), ("C-E3", "18.5", (14.5, 0.952, 0, 1.34)), ("C-E3", "13.8", (14.5, 0.712, 0, 1.34)), ("C-E8", "1.7", (15, 0.087, 0, 1.34)), ("C-E9", "1.1", (15, 0.056, 0, 1.34)),
    ("C-E10", "1.0", (15, 0.052, 0, 1.34)), ("M-XM1", "20.4", (15, 1, 0, 1.36)), ("M-XM1", "13.6", (10, 1, 0, 1.36)),
    ("M-XM2", "19.99", (15, 0.98, 0, 1.36)), ("M-XM2", "16.32", (15, 0.8, 0, 1.36)), ("M-XM2", "12.24", (15, 0.6, 0, 1.36)),
    ("M-XM4", "0.3", (15, 0, 100, 1.36)), ("M-XM4", "1.8", (15, 0, 600, 1.36)), ("C-E7", "100", (300, 0.3, 0)),
    ("C-E19", "222", (35, 14, 7.58)), ("C-E19", "201", (33, 13, 7.98)), ("C-E19", "992", (94 / 7.58,)),
    ("C-E21", "15.0", (25, 10)), ("C-E28", "64", (0.8,)), ("M-XM6", "93.3", (120, 80)), ("M-XM6", "1440", (18,)),
    ("M-XM6", "18", (80 + 40 / 3, 3, 5)), ("C-F13", "79.9", (1,)),
    ("E-EW1", "80", (96.356, 55, "male")), ("E-EW2", "66", (85, 65, "female")), ("E-EW4", "89.7175", (70, 52, "female")),
    ("E-EW7", "97", (96.356, 55, 90, "male")), ("E-EW8", "55", (85, 65, 60, "female")), ("E-EW10", "69.5", (53.04, 4, 101)),
    ("E-EX6", "167", (61, 80, 159.12)), ("E-EX6", "222", (61, 80, 159.12)), ("E-EL4", "300", (61, 80, 88.4)),
    ("E-EL4", "16.7", (167, 10)), ("E-EL11", "1.78", (107, 60)), ("E-EL11", "2", (120, 60)), ("E-EL11", "3", (180, 60)),
    ("E-EL11", "3.7", (222, 60)), ("E-EL11", "4", (240, 60)), ("E-EL11", "6.15", (369, 60)), ("E-EW12", "400", (5, 80)),
    ("E-EL42", "180", (1.8, 100)), ("E-EL45", "255", (3, 85)), ("E-EW13", "122", (400, 36, 25)), ("E-EW16", "42", (60, 7, 500, 1)),
    ("E-EW19", "60", (100, 4.5, 300, 0.5)), ("E-EW19", "3", (100, 4.5, 30, 1)), ("E-EW19", "15", (100, 4.5, 225, 1.5)),
    ("E-EW19", "20", (100, 4.5, 300, 1.5)), ("E-EW19", "10", (100, 4.5, 200, 2)), ("E-EW19", "15", (100, 4.5, 300, 2)),
    ("E-EL36", "25", (5000, 45, 50)), ("E-EW35", "30", (2500, 0, 50)), ("E-ED1", "1.92", (100, 3.2, 10000)),
    ("M-XM12", "3", (10, 1, 200)), ("M-XM13", "2", (50 / 60, 40, 1000)), ("M-XM14", "16", (8000 / 60, 1, 500)),
    ("M-XM15", "0.3", (0.005, 1, 1)), ("M-XM16", "24.4", (14 / 60, 43.6, 25)), ("M-XM16", "610", (14 / 60, 43.6, 1)),
    ("E-EW21", "25", (2.5,)), ("E-EL52", "2.49", (249,)), ("E-EL58", "41", (0.41,)), ("E-EL58", "116", (1.16,)),
    ("M-XM11", "34.7", (96.2, 33.4)), ("M-XM11", "37.3", (122.718, 45.749)),
    ("C-5.4", "8.4", (3.5, 6)), ("C-5.4", "2.0", (1.5, 6)), ("C-5.4", "1.2", (1, 6)), ("C-5.4", "0.667", (0.6, 6)), ("C-5.4", "0.429", (0.4, 6)),
]


@pytest.mark.parametrize("fact, answer, inputs", TYPED_TWICE)
def test_the_inputs_of_an_example_read_a_second_time(fact, answer, inputs):
    carried = [sorted(map(str, (value + 0.0 if not isinstance(value, str) else value for value in example.inputs.values())))
               for example in PRINTED if fact in example.fact.split() and example.answer == answer]
    assert sorted(str(value + 0.0 if not isinstance(value, str) else value) for value in inputs) in carried

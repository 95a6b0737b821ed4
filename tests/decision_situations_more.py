"""Situations of the tables beside and after the procedure; the notation is explained in `decision_situations`."""

from tests.decision_edges_more import GEVA, ONE_MORE

REGURGITATION = [
    ("ra_pressure_child", {"age_years": 4}, "5 mmHg", "A-M6"),
    ("ra_pressure_ivc", {"age_years": 40, "ventilated": "yes"}, "not_applicable", ""),
]

REPLACEMENT = [
    ("replacement_acc_2025", {"age_years": 30, "treated_before": "yes", "pulmonary_regurgitation": "moderate", "symptoms": "yes"}, "replace", "A-I32"),
    ("replacement_aha_2018", {"age_years": 30, "treated_before": "yes", "pulmonary_regurgitation": "moderate", "symptoms": "yes",
                              "rv_dilation": "none", "rv_function": "normal"}, "silent", ""),
    ("replacement_geva_2013", dict(ONE_MORE, symptoms="yes"), "replace", "A-M72"),
    ("replacement_geva_2013", ONE_MORE, "silent", ""),
    ("replacement_geva_2013", dict(GEVA, rv_end_diastolic_ml_m2=200, rv_volume_z=5, rv_lv_volume_ratio=3), "silent", ""),
]

AFTERWARDS = [
    ("visits_acc_2025", {"age_years": 30, "stage": "a"}, "every 36 to 60 months", "A-F1:A"),
    ("visits_acc_2025", {"age_years": 30, "stage": "c"}, "every 6 to 12 months", "A-F1:C"),
    ("visits_dcrv_acc_2025", {"age_years": 30, "stage": "a"}, "every 24 to 36 months", "A-F4:A"),
    ("visits_esc_2020", {"age_years": 30, "severity": "mild"}, "every 5 years", "A-F8:mild"),
    ("visits_child_2023", {"age_years": 8, "age_group": "older_child", "severity": "mild"}, "every 2 to 3 years", "A-F10:mild_older"),
    ("endocarditis_aha", {"unrepaired_cyanotic": "yes"}, "yes", "A-F20"),
    ("endocarditis_esc_2023", {"previous_endocarditis": "no", "prosthetic_valve": "no", "assist_device": "no",
                               "isolated_valve_lesion": "yes"}, "no", "A-F20:ESC_intermediate"),
    ("pregnancy_mwho_2018", {"severity": "mild", "uncomplicated": "yes"}, "class I", "A-F22"),
    ("pregnancy_mwho_2018", {"severity": "severe", "uncomplicated": "yes"}, "class II to III", "A-F23"),
    ("suboptimal_multicentre_1994", {"residual_gradient_mmhg": 20, "treated_again": "yes"}, "suboptimal", "D-D02"),
]

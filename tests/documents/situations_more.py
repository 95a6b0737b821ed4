"""Situations of regurgitation and valve replacement; the notation is explained in `decision_situations`."""

from tests.documents.edges_more import (
    ESC_2020, ESC_NARROW, GEVA, MR_ONE_MORE, ONE_MORE, TOF_2018, TOF_2025, TOF_TRICUSPID, without,
)

SILENT = ("silent", "")

REGURGITATION = [
    ("ra_pressure_child", {"age_years": 4}, "5 mmHg", "A-M6"),
    ("ra_pressure_child", {"age_years": 18}, "not_applicable", ""),
    ("ra_pressure_ivc", {"age_years": 40, "ventilated": "yes"}, "not_applicable", ""),
    ("suboptimal_multicentre_1994", {"residual_gradient_mmhg": 20, "treated_again": "yes"}, "suboptimal", "D-D02"),
    # the leak of the chapter: fraction 33 %, index 0.742, half-time 118, deceleration 310, jet 0.6 of the annulus
    ("pr_severe_ase_2017", {"jet_annulus_ratio": 0.6, "pr_index": 0.742, "deceleration_ms": 310, "pressure_half_time_ms": 118},
     "moderate_or_more", "A-M59:index"),
    ("pr_severe_ase_2017", {"jet_annulus_ratio": 0.75, "pr_index": 0.7}, "severe", "A-M59"),
]
REGURGITATION_WORDS = [
    ("pr_jet_eacvi_2013", "narrow_origin", {"jet_length_mm": 8}, {"yes": ("mild", "A-M57"), "no": SILENT}),
    ("pr_reversal_2025", "reversal_at", {"age_years": 30}, {
        "valve": ("mild", "A-M58:mild"), "main_artery": ("moderate_or_more", "A-M58:more"), "branch_artery": ("moderate_or_more", "A-M58:more")}),
]

# Moderate regurgitation after treated stenosis, no symptoms, and nothing else that any row asks for.
TREATED_2025 = {"age_years": 30, "treated_before": "yes", "pulmonary_regurgitation": "moderate", "symptoms": "no", "rv_function": "normal",
                "tricuspid_regurgitation": "none", "rv_dilation": "none", "exercise_capacity": "kept"}
TREATED_2018 = {"age_years": 30, "treated_before": "yes", "pulmonary_regurgitation": "moderate", "symptoms": "no", "rv_function": "normal",
                "rv_dilation": "none"}
SYMPTOMS_2018 = dict(TREATED_2018, symptoms="yes")
# Moderate dysfunction of a tetralogy's valve by its regurgitant fraction, and nothing else.
TOF = dict(TOF_2025, rv_function="normal", regurgitant_fraction_percent=30, rv_systemic_ratio=0.4)

REPLACEMENT = [
    ("replacement_acc_2025", TREATED_2025, "silent", ""),
    ("replacement_acc_2025", {"age_years": 30, "treated_before": "yes", "pulmonary_regurgitation": "moderate", "symptoms": "yes"}, "replace", "A-I32"),
    ("replacement_acc_2025", dict(TREATED_2025, treated_before="no", symptoms="yes"), "not_applicable", ""),
    # dysfunction has the higher class, 2a before 2b
    ("replacement_acc_2025", dict(TREATED_2025, rv_function="reduced", tricuspid_regurgitation="severe"), "replace", "A-I33"),
    ("replacement_acc_2025", dict(TREATED_2025, symptoms="yes", rv_function="reduced", rv_dilation="progressive"), "replace", "A-I32"),
    ("replacement_aha_2018", SYMPTOMS_2018, "silent", ""),
    ("replacement_aha_2018", dict(SYMPTOMS_2018, treated_before="no", rv_dilation="present"), "not_applicable", ""),
    ("replacement_geva_mr", dict(MR_ONE_MORE, symptoms="yes", qrs_ms=150), "not_applicable", ""),
    ("replacement_aha_2018", dict(SYMPTOMS_2018, pulmonary_regurgitation="mild", rv_dilation="present"), "silent", ""),
    ("replacement_aha_2018", dict(TREATED_2018, rv_dilation="present", rv_function="falling"), "may", "A-I6"),
    ("replacement_tof_2025_rows", TOF, "silent", ""),
    ("replacement_tof_2025_rows", dict(TOF, tricuspid_regurgitation="moderate", rv_dilation="present", rv_function="falling"), "replace", "A-M82"),
    ("replacement_tof_2025_rows", dict(TOF, rv_function="falling", ventricular_tachyarrhythmia="yes"), "replace", "A-M82"),
    # 2025: the row for tachyarrhythmia asks for regurgitation; obstruction alone is not in it
    ("replacement_tof_2025_rows", dict(TOF, regurgitant_fraction_percent=10, rv_systemic_ratio=0.8, ventricular_tachyarrhythmia="yes"), "silent", ""),
    ("replacement_tof_2025_rows", dict(TOF_TRICUSPID, rv_systemic_ratio=0.8), "may", "A-M83"),
    ("replacement_tof_2018", dict(TOF_2018, rv_function="reduced", exercise_capacity="kept"), "silent", ""),
    ("replacement_tof_2018", dict(TOF_2018, lv_function="reduced"), "replace", "A-M77"),
    ("replacement_geva_2013", dict(ONE_MORE, symptoms="yes"), "replace", "A-M72"),
    ("replacement_geva_2013", dict(GEVA, symptoms="yes"), "silent", ""),
    ("replacement_geva_2013", ONE_MORE, "silent", ""),
    ("replacement_geva_2013", dict(ONE_MORE, rv_systemic_ratio=0.8), "silent", ""),
    ("replacement_geva_2013", dict(ONE_MORE, qrs_ms=170), "replace", "A-M70"),
    ("replacement_geva_2013", dict(ONE_MORE, peak_oxygen_predicted_percent=65), "replace", "A-M72"),
    ("replacement_geva_2013", dict(ONE_MORE, qrs_ms=170, peak_oxygen_predicted_percent=65), "replace", "A-M72"),
    ("replacement_geva_2013", dict(ONE_MORE, symptoms="yes", peak_oxygen_predicted_percent=65), "replace", "A-M72"),
    ("replacement_geva_2013", dict(GEVA, rv_end_diastolic_ml_m2=200, rv_volume_z=5, rv_lv_volume_ratio=3), "silent", ""),
]

# With symptoms one criterion is enough, so only the fraction is still asked for.
SYMPTOMS_GEVA = without(without(dict(GEVA, symptoms="yes", rv_ejection_percent=40), "regurgitant_fraction_percent"), "tricuspid_regurgitation")
REPLACEMENT_OPEN = [
    ("replacement_acc_2025", without(dict(TREATED_2025, symptoms="yes", exercise_capacity="falling"), "pulmonary_regurgitation"),
     ["replace"], ["pulmonary_regurgitation"]),
    ("replacement_aha_2018", without(SYMPTOMS_2018, "rv_function"), ["replace"], ["rv_function"]),
    ("replacement_geva_2013", SYMPTOMS_GEVA, ["replace"], ["regurgitant_fraction_percent"]),
]

RIGHT = {"normal": SILENT}
LEAK = {"none": SILENT, "mild": SILENT}


def both(words, answer):
    """The same answer for two words more."""
    return dict.fromkeys(words, answer)


MODERATE_OR_MORE, NOT_NORMAL, DILATED = ("moderate", "severe"), ("reduced", "falling"), ("present", "progressive")

ESC_FULL, ESC_SHOULD = ("replace", "A-M76:symptoms"), ("replace", "A-M76")
REPLACEMENT_WORDS = [
    ("replacement_esc_2020", "symptoms", ESC_2020, {"no": SILENT, "yes": ESC_FULL}),
    ("replacement_esc_2020", "pulmonary_regurgitation", dict(ESC_2020, symptoms="yes"),
     LEAK | {"moderate": SILENT, "severe": ESC_FULL}),
    ("replacement_esc_2020", "obstruction", dict(ESC_NARROW, symptoms="yes"), LEAK | both(MODERATE_OR_MORE, ESC_FULL)),
    ("replacement_esc_2020", "pulmonary_regurgitation", dict(ESC_2020, exercise_capacity="falling"),
     LEAK | {"moderate": SILENT, "severe": ESC_SHOULD}),
    ("replacement_esc_2020", "obstruction", dict(ESC_NARROW, exercise_capacity="falling"), LEAK | both(MODERATE_OR_MORE, ESC_SHOULD)),
    *[("replacement_esc_2020", "exercise_capacity", worse, {"kept": SILENT, "falling": ESC_SHOULD}) for worse in (ESC_2020, ESC_NARROW)],
    ("replacement_esc_2020", "tricuspid_regurgitation", ESC_2020, LEAK | both(MODERATE_OR_MORE, ESC_SHOULD)),
    ("replacement_esc_2020", "rv_function", ESC_2020, RIGHT | {"reduced": SILENT, "falling": ESC_SHOULD}),
    ("replacement_acc_2025", "pulmonary_regurgitation", dict(TREATED_2025, symptoms="yes"), LEAK | both(MODERATE_OR_MORE, ("replace", "A-I32"))),
    ("replacement_acc_2025", "pulmonary_regurgitation", dict(TREATED_2025, rv_function="reduced"), LEAK | both(MODERATE_OR_MORE, ("replace", "A-I33"))),
    ("replacement_acc_2025", "pulmonary_regurgitation", dict(TREATED_2025, exercise_capacity="falling"),
     LEAK | both(MODERATE_OR_MORE, ("may", "A-I34"))),
    ("replacement_acc_2025", "rv_function", TREATED_2025, RIGHT | both(NOT_NORMAL, ("replace", "A-I33"))),
    ("replacement_acc_2025", "tricuspid_regurgitation", TREATED_2025, LEAK | both(MODERATE_OR_MORE, ("may", "A-I34"))),
    ("replacement_acc_2025", "rv_dilation", TREATED_2025, {"none": SILENT, "present": SILENT, "progressive": ("may", "A-I34")}),
    ("replacement_acc_2025", "exercise_capacity", TREATED_2025, {"kept": SILENT, "falling": ("may", "A-I34")}),
    ("replacement_aha_2018", "pulmonary_regurgitation", dict(SYMPTOMS_2018, rv_dilation="present"),
     LEAK | both(MODERATE_OR_MORE, ("replace", "A-I4"))),
    ("replacement_aha_2018", "rv_dilation", SYMPTOMS_2018, {"none": SILENT} | both(DILATED, ("replace", "A-I4"))),
    ("replacement_aha_2018", "rv_function", SYMPTOMS_2018, RIGHT | both(NOT_NORMAL, ("replace", "A-I4"))),
    ("replacement_aha_2018", "rv_dilation", TREATED_2018,
     {"none": SILENT, "present": ("serial_follow_up", "A-I5"), "progressive": ("may", "A-I6")}),
    ("replacement_aha_2018", "rv_function", TREATED_2018, RIGHT | both(NOT_NORMAL, ("may", "A-I6"))),
    ("replacement_aha_2018", "pulmonary_regurgitation", dict(TREATED_2018, rv_dilation="progressive"),
     {"none": SILENT, "mild": ("serial_follow_up", "A-I5")} | both(MODERATE_OR_MORE, ("may", "A-I6"))),
    ("replacement_aha_2018", "pulmonary_regurgitation", dict(TREATED_2018, rv_dilation="present"),
     {"none": SILENT} | both(("mild", "moderate", "severe"), ("serial_follow_up", "A-I5"))),
    ("replacement_tof_2025_rows", "tricuspid_regurgitation", dict(TOF, rv_dilation="present"), LEAK | both(MODERATE_OR_MORE, ("may", "A-M83"))),
    ("replacement_tof_2025_rows", "rv_dilation", dict(TOF, tricuspid_regurgitation="severe"), {"none": SILENT} | both(DILATED, ("may", "A-M83"))),
    ("replacement_tof_2025_rows", "ventricular_tachyarrhythmia", TOF, {"no": SILENT, "yes": ("may", "A-M84")}),
    ("replacement_tof_2025_rows", "rv_function", TOF, {"normal": SILENT, "reduced": SILENT, "falling": ("replace", "A-M82")}),
    ("replacement_tof_2018", "rv_function", TOF_2018, RIGHT | both(NOT_NORMAL, ("replace", "A-M77"))),
    ("replacement_geva_mr", "tricuspid_regurgitation", dict(MR_ONE_MORE, qrs_ms=150), LEAK | both(MODERATE_OR_MORE, ("replace", "A-M71"))),
    ("replacement_geva_2013", "tricuspid_regurgitation", dict(GEVA, qrs_ms=170), LEAK | both(MODERATE_OR_MORE, ("replace", "A-M70"))),
    ("replacement_geva_2013", "tricuspid_regurgitation", dict(GEVA, symptoms="yes"), LEAK | both(MODERATE_OR_MORE, ("replace", "A-M72"))),
    ("replacement_geva_2013", "tricuspid_regurgitation", dict(GEVA, peak_oxygen_predicted_percent=65),
     LEAK | both(MODERATE_OR_MORE, ("replace", "A-M72"))),
]

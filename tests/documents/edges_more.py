"""Cut-offs of the tables beside severity and treatment; the notation is explained in `decision_edges`."""

ADULT = {"age_years": 40}
IVC = {"age_years": 40, "ventilated": "no"}
SPLIT = {"symptoms": "no", "tricuspid_regurgitation": "none", "rv_volume_z": 1, "rv_lv_volume_ratio": 1.2,
         "rv_end_diastolic_ml_m2": 120, "rv_end_systolic_ml_m2": 60, "rv_ejection_percent": 55, "lv_ejection_percent": 60,
         "qrs_ms": 120, "rv_systemic_ratio": 0.4, "regurgitant_fraction_percent": 35}
GEVA = dict(SPLIT, peak_oxygen_predicted_percent=90)
ONE_MORE = dict(GEVA, tricuspid_regurgitation="moderate")  # one criterion met: the next decides
MR_ONE_MORE = dict(SPLIT, tricuspid_regurgitation="moderate")
GEVA_CRITERIA = [("rv_end_diastolic_ml_m2", ["silent", "150]", "replace"]), ("rv_volume_z", ["silent", "4]", "replace"]),
                 ("rv_lv_volume_ratio", ["silent", "2]", "replace"]), ("rv_end_systolic_ml_m2", ["silent", "80]", "replace"]),
                 ("rv_ejection_percent", ["replace", "[47", "silent"]), ("lv_ejection_percent", ["replace", "[55", "silent"]),
                 ("qrs_ms", ["silent", "160]", "replace"])]
TOF_2018 = {"age_years": 30, "rv_function": "normal", "lv_function": "normal", "rv_end_diastolic_ml_m2": 120,
            "rv_end_systolic_ml_m2": 60, "rv_lv_volume_ratio": 1.2, "rv_systemic_ratio": 0.4, "exercise_capacity": "falling"}
TOF_2025 = {"age_years": 30, "rv_function": "falling", "tricuspid_regurgitation": "none", "rv_dilation": "none",
            "ventricular_tachyarrhythmia": "no"}
TOF_TRICUSPID = dict(TOF_2025, rv_function="normal", tricuspid_regurgitation="moderate", rv_dilation="present")
# no symptoms, severe leak, none of the criteria that ask for a valve then
ESC_2020 = {"age_years": 30, "symptoms": "no", "pulmonary_regurgitation": "severe", "obstruction": "none", "exercise_capacity": "kept",
            "rv_end_systolic_ml_m2": 60, "rv_end_diastolic_ml_m2": 120, "tricuspid_regurgitation": "none", "rv_function": "normal",
            "rv_systolic_mmhg": 50}
ESC_NARROW = dict(ESC_2020, pulmonary_regurgitation="none", obstruction="moderate")


def without(inputs, name):
    """The inputs less one."""
    return {key: value for key, value in inputs.items() if key != name}


REGURGITATION = [
    ("ra_pressure_ivc", "ivc_max_mm", dict(IVC, ivc_collapse_percent=60), ["3 mmHg", "21]", "8 mmHg"]),
    ("ra_pressure_ivc", "ivc_max_mm", dict(IVC, ivc_collapse_percent=40), ["8 mmHg", "21]", "15 mmHg"]),
    ("ra_pressure_ivc", "ivc_max_mm", dict(IVC, ivc_collapse_percent=50), ["8 mmHg", "21]", "8 mmHg"]),
    ("ra_pressure_ivc", "ivc_collapse_percent", dict(IVC, ivc_max_mm=15), ["8 mmHg", "50]", "3 mmHg"]),
    ("ra_pressure_ivc", "ivc_collapse_percent", dict(IVC, ivc_max_mm=25), ["15 mmHg", "[50", "8 mmHg"]),
    ("pr_fraction_2025", "regurgitant_fraction_percent", ADULT, ["mild", "[20", "moderate", "40]", "severe"]),
    ("pr_volume_2025", "regurgitant_volume_ml", ADULT, ["mild", "[30", "moderate", "59]", "silent", "[60", "severe"]),
    ("pr_fraction_research", "regurgitant_fraction_percent", {}, ["mild", "[20", "moderate", "40]", "severe"]),
    ("pr_half_time_2003", "pressure_half_time_ms", {}, ["significant", "[100", "silent"]),
    ("pr_half_time_2019", "pressure_half_time_ms", {"pr_index": 0.9}, ["regurgitant fraction above 20 % possible", "[130", "silent"]),
    ("pr_half_time_2019", "pr_index", {"pressure_half_time_ms": 200}, ["regurgitant fraction above 20 % possible", "[0.86", "silent"]),
    ("pr_index_2004", "pr_index", {}, ["regurgitant fraction probably above 24.5 %", "[0.77", "regurgitant fraction 24.5 % or less"]),
    ("pr_velocity_integral_2012", "diastolic_systolic_ratio", {}, ["mild", "[0.49", "moderate", "0.72]", "severe"]),
    ("pr_velocity_integral_later", "diastolic_systolic_ratio", {}, ["mild", "[0.52", "moderate", "0.79]", "severe"]),
    ("pr_jet_eacvi_2013", "jet_length_mm", {"narrow_origin": "yes"}, ["mild", "[10", "silent"]),
    ("pr_severe_ase_2017", "jet_annulus_ratio", {}, ["silent", "0.7]", "severe"]),
    # the footnotes of 2017: the deceleration is not specific, the half-time unreliable in a stiff ventricle, the index in two columns
    ("pr_severe_ase_2017", "deceleration_ms", {"jet_annulus_ratio": 0.6}, ["supports_severe", "[260", "silent"]),
    ("pr_severe_ase_2017", "pressure_half_time_ms", {"jet_annulus_ratio": 0.6}, ["supports_severe", "[100", "silent"]),
    ("pr_severe_ase_2017", "pr_index", {"jet_annulus_ratio": 0.6}, ["moderate_or_more", "[0.77", "silent"]),
]

REPLACEMENT = [
    ("replacement_tof_2025", "rv_end_systolic_ml_m2", ADULT, ["silent", "80]", "refer"]),
    ("replacement_tof_2025_rows", "regurgitant_fraction_percent", TOF_2025, ["silent", "[25", "replace"]),
    ("replacement_tof_2025_rows", "rv_systemic_ratio", TOF_2025, ["silent", "2/3]", "replace"]),
    ("replacement_tof_2025_rows", "regurgitant_fraction_percent", TOF_TRICUSPID, ["silent", "[25", "may"]),
    ("replacement_tof_2025_rows", "rv_systemic_ratio", TOF_TRICUSPID, ["silent", "2/3]", "may"]),
    ("replacement_tof_2025_rows", "regurgitant_fraction_percent", dict(TOF_2025, rv_function="normal", ventricular_tachyarrhythmia="yes"),
     ["silent", "[25", "may"]),
    ("replacement_geva_2013", "regurgitant_fraction_percent", without(dict(ONE_MORE, symptoms="yes"), "regurgitant_fraction_percent"),
     ["silent", "[25", "replace"]),
    ("replacement_geva_2013", "regurgitant_fraction_percent", without(dict(ONE_MORE, peak_oxygen_predicted_percent=65), "regurgitant_fraction_percent"),
     ["silent", "[25", "replace"]),
    ("replacement_geva_2013", "regurgitant_fraction_percent", without(dict(ONE_MORE, qrs_ms=170), "regurgitant_fraction_percent"),
     ["silent", "[25", "replace"]),
    # each criterion settles it: beside another one, with symptoms, and with limited exercise
    *[("replacement_geva_2013", quantity, without(others, quantity), segments)
      for others in (ONE_MORE, dict(GEVA, symptoms="yes"), dict(GEVA, peak_oxygen_predicted_percent=65))
      for quantity, segments in GEVA_CRITERIA],
    # pressure and tricuspid leak stand under one letter: they count once
    *[("replacement_geva_2013", "rv_systemic_ratio", without(others, "rv_systemic_ratio"), ["silent", "[0.7", "replace"])
      for others in (dict(GEVA, qrs_ms=170), dict(GEVA, symptoms="yes"), dict(GEVA, peak_oxygen_predicted_percent=65))],
    ("replacement_geva_2013", "peak_oxygen_predicted_percent", without(ONE_MORE, "peak_oxygen_predicted_percent"),
     ["replace", "70]", "silent"]),
    ("replacement_geva_mr", "regurgitant_fraction_percent", without(dict(MR_ONE_MORE, qrs_ms=150), "regurgitant_fraction_percent"),
     ["silent", "[25", "replace"]),
    ("replacement_geva_mr", "rv_end_diastolic_ml_m2", without(MR_ONE_MORE, "rv_end_diastolic_ml_m2"), ["silent", "150]", "replace"]),
    ("replacement_geva_mr", "rv_volume_z", without(MR_ONE_MORE, "rv_volume_z"), ["silent", "4]", "replace"]),
    ("replacement_geva_mr", "rv_lv_volume_ratio", without(MR_ONE_MORE, "rv_lv_volume_ratio"), ["silent", "2]", "replace"]),
    ("replacement_geva_mr", "rv_end_systolic_ml_m2", without(MR_ONE_MORE, "rv_end_systolic_ml_m2"), ["silent", "80]", "replace"]),
    ("replacement_geva_mr", "rv_ejection_percent", without(MR_ONE_MORE, "rv_ejection_percent"), ["replace", "[47", "silent"]),
    ("replacement_geva_mr", "lv_ejection_percent", without(MR_ONE_MORE, "lv_ejection_percent"), ["replace", "[55", "silent"]),
    ("replacement_geva_mr", "qrs_ms", without(MR_ONE_MORE, "qrs_ms"), ["silent", "140]", "replace"]),
    ("replacement_geva_mr", "rv_systemic_ratio", without(MR_ONE_MORE, "rv_systemic_ratio"), ["silent", "[2/3", "replace"]),
    ("replacement_ccs_2009", "rv_end_diastolic_ml_m2", dict(ADULT, rv_systemic_ratio=0.3), ["silent", "[170", "replace"]),
    ("replacement_ccs_2009", "rv_systemic_ratio", dict(ADULT, rv_end_diastolic_ml_m2=120), ["silent", "[2/3", "replace"]),
    ("replacement_acc_2008", "doppler_peak_mmhg", dict(ADULT, rv_lv_ratio=0.3), ["silent", "50]", "replace"]),
    ("replacement_acc_2008", "rv_lv_ratio", dict(ADULT, doppler_peak_mmhg=30), ["silent", "0.7]", "replace"]),
    ("replacement_esc_2010", "rv_systolic_mmhg", dict(ADULT, symptoms="yes"), ["silent", "60]", "replace"]),
    ("replacement_esc_2010", "rv_systolic_mmhg", dict(ADULT, symptoms="no"), ["silent", "80]", "replace"]),
    ("replacement_esc_2020", "rv_end_systolic_ml_m2", without(ESC_2020, "rv_end_systolic_ml_m2"), ["silent", "[80", "replace"]),
    ("replacement_esc_2020", "rv_end_diastolic_ml_m2", without(ESC_2020, "rv_end_diastolic_ml_m2"), ["silent", "[160", "replace"]),
    ("replacement_esc_2020", "rv_systolic_mmhg", without(ESC_NARROW, "rv_systolic_mmhg"), ["silent", "80]", "replace"]),
    ("replacement_esc_2020", "rv_systolic_mmhg", without(dict(ESC_NARROW, obstruction="severe"), "rv_systolic_mmhg"), ["silent", "80]", "replace"]),
    ("replacement_esc_2020", "rv_end_systolic_ml_m2", without(ESC_NARROW, "rv_end_systolic_ml_m2"), ["silent", "[80", "replace"]),
    ("replacement_tof_2018", "rv_end_diastolic_ml_m2", without(TOF_2018, "rv_end_diastolic_ml_m2"), ["silent", "[160", "replace"]),
    ("replacement_tof_2018", "rv_end_systolic_ml_m2", without(TOF_2018, "rv_end_systolic_ml_m2"), ["silent", "[80", "replace"]),
    ("replacement_tof_2018", "rv_lv_volume_ratio", without(TOF_2018, "rv_lv_volume_ratio"), ["silent", "[2", "replace"]),
    ("replacement_tof_2018", "rv_systemic_ratio", without(TOF_2018, "rv_systemic_ratio"), ["silent", "[2/3", "replace"]),
    ("replacement_review_2006", "regurgitant_fraction_percent", {"rv_end_diastolic_ml_m2": 180}, ["silent", "30]", "replace"]),
    ("replacement_review_2006", "rv_end_diastolic_ml_m2", {"regurgitant_fraction_percent": 40},
     ["silent", "[150", "debatable", "[170", "replace"]),
    ("replacement_review_2006", "regurgitant_fraction_percent", {"rv_end_diastolic_ml_m2": 160}, ["silent", "30]", "debatable"]),
    ("replacement_cohort_2018", "rv_end_systolic_ml_m2", {},
     ["volume_likely_to_recover", "[120", "volume_unlikely_to_recover"]),
]

RIGHT_VENTRICLE = [(name, quantity, ADULT, segments) for name, quantity, segments in [
    ("tapse_2015", "tapse_mm", ["abnormal", "[17", "within_limits"]),
    ("tapse_2010", "tapse_mm", ["abnormal", "[16", "within_limits"]),
    ("s_wave_2015", "s_wave_cm_s", ["abnormal", "[9.5", "within_limits"]),
    ("s_wave_2010", "s_wave_cm_s", ["abnormal", "[10", "within_limits"]),
    ("area_change_2015", "area_change_percent", ["abnormal", "[35", "within_limits"]),
    ("area_change_2010", "area_change_percent", ["abnormal", "[35", "within_limits"]),
    ("rv_ejection_2015", "rv_ejection_percent", ["abnormal", "[45", "within_limits"]),
    ("rv_ejection_2010", "rv_ejection_percent", ["abnormal", "[44", "within_limits"]),
    ("rv_mid_2015", "rv_mid_mm", ["within_limits", "35]", "abnormal"]),
    ("rv_basal_2015", "rv_basal_mm", ["within_limits", "41]", "abnormal"]),
    ("rv_wall_2015", "rv_wall_mm", ["within_limits", "5]", "abnormal"]),
    ("ra_area_2015", "ra_area_cm2", ["within_limits", "18]", "abnormal"]),
    ("ra_volume_2015", "ra_volume_ml_m2", ["within_limits", "30]", "abnormal"]),
    ("rv_strain_2010", "rv_strain_percent", ["abnormal", "[19.8", "within_limits"]),
    ("rv_mid_eacvi_2013", "rv_mid_mm", ["not_enlarged", "33]", "beyond_limits"]),
    ("rv_diastolic_area_eacvi_2013", "rv_diastolic_area_cm2", ["not_enlarged", "28]", "beyond_limits"]),
    ("rv_systolic_area_eacvi_2013", "rv_systolic_area_cm2", ["not_enlarged", "16]", "beyond_limits"]),
    ("area_change_eacvi_2013", "area_change_percent", ["beyond_limits", "32]", "within_limits"]),
    ("rv_end_diastolic_mr", "rv_end_diastolic_ml_m2", ["within_limits", "108]", "abnormal"]),
    ("rv_end_systolic_mr", "rv_end_systolic_ml_m2", ["within_limits", "48]", "abnormal"]),
    ("rv_ejection_mr", "rv_ejection_percent", ["abnormal", "[50", "within_limits"]),
    ("rv_mass_mr", "rv_mass_g_m2", ["within_limits", "46]", "abnormal"]),
]]

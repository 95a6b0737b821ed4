"""What each document says at every cut-off, written from its own text and not from our tables.

A line is (table, quantity, the other inputs, segments). Segments alternate answers and cut-offs, rising:
"[36" puts 36 with the answer to its right ("36 and over"), "64]" with the answer to its left ("64 and below"),
"]64[" with neither, so that exactly 64 has no row. In a house table the cut-off is a setting, named: "[=target_low_ratio".
"""

ADULT = {"age_years": 40}
CHILD = {"age_years": 6}
NORMAL = {"rv_function": "normal"}

SEVERITY = [
    ("gradient_as_severity", "age_days", {"duct": "closed"}, ["lower_bound", "[=newborn_grade_off_days", "usable"]),
    ("headline_doubt", "ra_pressure_mmhg", NORMAL, ["may_be_the_headline", "[=doubt_ra_from_mmhg", "not_the_headline"]),
    ("headline_doubt", "saturation_percent", {**NORMAL, "atrial_gap": "right_to_left"},
     ["not_the_headline", "[=desaturated_below_percent", "may_be_the_headline"]),
    ("headline_doubt", "rv_systemic_ratio", {**NORMAL, "systemic_pressure": "ordinary"},
     ["may_be_the_headline", "[=rv_systemic_severe_ratio", "not_the_headline"]),
    ("headline_doubt", "unexplained_mmhg", NORMAL,
     ["may_be_the_headline", "=unexplained_above_mmhg]", "not_the_headline"]),
    ("severe_doubt", "qp_qs_ratio", {}, ["confirmed", "=high_flow_above_ratio]", "not_confirmed"]),
    ("severe_doubt", "haematocrit_percent", {}, ["not_confirmed", "[=anaemia_below_percent", "confirmed"]),
    ("severe_doubt", "subvalve_gradient_mmhg", {}, ["confirmed", "[=infundibular_small_below_mmhg", "not_confirmed"]),
    ("rv_pressure", "rv_systemic_ratio", {"systemic_pressure": "ordinary"},
     ["not_severe", "[=rv_systemic_severe_ratio", "severe_pressure"]),
    ("rv_pressure", "rv_systemic_ratio", {"systemic_pressure": "low"},
     ["not_severe", "[=rv_systemic_severe_ratio", "inflated"]),
    ("severity_acc_2025", "doppler_peak_mmhg", {"age_years": 40, "doppler_mean_mmhg": 20}, ["mild", "[36", "moderate", "64]", "severe"]),
    ("severity_acc_2025", "doppler_mean_mmhg", {"age_years": 40, "doppler_peak_mmhg": 60},
     ["moderate", "35]", "inside_the_printed_range", "40]", "severe"]),
    ("severity_acc_2025", "age_years", {"doppler_peak_mmhg": 50, "doppler_mean_mmhg": 20}, ["not_applicable", "[18", "moderate"]),
    ("severity_aha_2018", "doppler_peak_mmhg", {"age_years": 40, "doppler_mean_mmhg": 20}, ["mild", "[36", "moderate", "64]", "severe"]),
    ("severity_aha_2018", "doppler_mean_mmhg", {"age_years": 40, "doppler_peak_mmhg": 60}, ["moderate", "35]", "severe"]),
    ("severity_esc_2020", "doppler_peak_mmhg", ADULT, ["mild", "[36", "moderate", "64]", "severe"]),
    ("severity_eae_ase_2009", "doppler_peak_mmhg", {}, ["mild", "[36", "moderate", "64]", "severe"]),
    ("severity_acc_2008", "doppler_peak_mmhg", ADULT, ["mild", "[30", "moderate", "50]", "severe"]),
    ("severity_german_2017", "doppler_peak_mmhg", {}, ["mild", "[40", "moderate", "60]", "severe"]),
    ("severity_trade_doppler", "doppler_peak_mmhg", {}, ["mild", "[40", "moderate", "60]", "severe"]),
    ("severity_trade_catheter", "catheter_peak_to_peak_mmhg", {}, ["mild", "[40", "moderate", "60]", "severe"]),
    ("severity_catheter_era", "catheter_peak_to_peak_mmhg", ADULT,
     ["trivial", "[25", "mild", "49]", "silent", "[50", "moderate", "79]", "silent", "80]", "severe"]),
    ("severity_natural_history", "catheter_peak_to_peak_mmhg", {},
     ["band_below_50", "[50", "band_50_to_79", "79]", "silent", "[80", "band_80_and_over"]),
]

SYMPTOMS_DOMED = {"age_years": 21, "symptoms": "yes", "valve": "domed", "pulmonary_regurgitation": "none", "cardiac_output": "normal"}
NO_SYMPTOMS_DOMED = dict(SYMPTOMS_DOMED, symptoms="no")
DYSPLASTIC = dict(NO_SYMPTOMS_DOMED, valve="dysplastic")
TRADE = {"valve": "domed", "pulmonary_regurgitation": "mild"}
ESC = {"age_years": 30, "symptoms": "no", "rv_function": "normal", "tricuspid_regurgitation": "mild", "atrial_gap": "none"}
JCS = {"age_years": 30, "symptoms": "yes", "rv_function": "normal", "double_chambered_rv": "no",
       "significant_arrhythmia": "no", "atrial_gap": "none"}
CHILD_2011 = {"age_years": 6, "valve": "domed", "critical_stenosis": "no", "rv_function": "normal"}

TREAT = [
    ("treat_aha_2018", "doppler_peak_mmhg", dict(ADULT, symptoms="yes", doppler_mean_mmhg=20), ["silent", "[36", "yes"]),
    ("treat_aha_2018", "doppler_peak_mmhg", dict(ADULT, symptoms="no", doppler_mean_mmhg=30), ["silent", "64]", "yes"]),
    ("treat_aha_2018", "doppler_mean_mmhg", dict(ADULT, symptoms="no", doppler_peak_mmhg=60), ["silent", "35]", "yes"]),
    ("treat_aha_2018", "doppler_mean_mmhg", dict(ADULT, symptoms="yes", doppler_peak_mmhg=35.9), ["silent", "35]", "yes"]),
    ("treat_esc_2020", "doppler_peak_mmhg", dict(ESC, symptoms="yes"), ["yes", "]64[", "yes"]),
    ("treat_esc_2020", "doppler_peak_mmhg", ESC, ["silent", "64]", "yes"]),
    ("treat_jcs_2011", "doppler_peak_mmhg", JCS, ["yes", "]64[", "yes"]),
    ("treat_acc_2008", "doppler_peak_mmhg", dict(SYMPTOMS_DOMED, doppler_mean_mmhg=20), ["no", "[30", "silent", "50]", "yes"]),
    ("treat_acc_2008", "doppler_peak_mmhg", dict(NO_SYMPTOMS_DOMED, doppler_mean_mmhg=28), ["no", "[50", "silent", "60]", "yes"]),
    ("treat_acc_2008", "doppler_mean_mmhg", dict(SYMPTOMS_DOMED, doppler_peak_mmhg=45), ["silent", "30]", "yes"]),
    ("treat_acc_2008", "doppler_mean_mmhg", dict(NO_SYMPTOMS_DOMED, doppler_peak_mmhg=55), ["silent", "40]", "yes"]),
    ("treat_acc_2008", "doppler_peak_mmhg", dict(DYSPLASTIC, doppler_mean_mmhg=28), ["no", "[50", "silent", "60]", "may"]),
    ("treat_acc_2008", "doppler_mean_mmhg", dict(DYSPLASTIC, doppler_peak_mmhg=55), ["silent", "40]", "may"]),
    ("treat_acc_2008", "doppler_peak_mmhg", dict(DYSPLASTIC, symptoms="yes", doppler_mean_mmhg=20), ["no", "[30", "silent", "50]", "may"]),
    ("treat_acc_2008", "doppler_mean_mmhg", dict(DYSPLASTIC, symptoms="yes", doppler_peak_mmhg=45), ["silent", "30]", "may"]),
    ("treat_trade", "doppler_peak_mmhg", dict(TRADE, symptoms="yes", doppler_mean_mmhg=20), ["silent", "50]", "yes"]),
    ("treat_trade", "doppler_peak_mmhg", dict(TRADE, symptoms="no", doppler_mean_mmhg=20), ["silent", "60]", "yes"]),
    ("treat_trade", "doppler_mean_mmhg", dict(TRADE, symptoms="yes", doppler_peak_mmhg=45), ["silent", "30]", "yes"]),
    ("treat_trade", "doppler_mean_mmhg", dict(TRADE, symptoms="no", doppler_peak_mmhg=55), ["silent", "40]", "yes"]),
    ("treat_vhd_2006", "catheter_peak_to_peak_mmhg", {"age_years": 20, "symptoms": "yes"}, ["silent", "30]", "yes"]),
    ("treat_vhd_2006", "age_years", {"symptoms": "yes", "catheter_peak_to_peak_mmhg": 50}, ["not_applicable", "[10", "yes"]),
    ("treat_vhd_2006", "catheter_peak_to_peak_mmhg", {"age_years": 20, "symptoms": "no"}, ["no", "[30", "may", "39]", "silent", "40]", "yes"]),
    ("treat_aha_2011_child", "doppler_peak_mmhg", CHILD_2011, ["silent", "[40", "yes"]),
    ("treat_aha_2011_child", "catheter_peak_to_peak_mmhg", dict(CHILD_2011, doppler_peak_mmhg=30), ["silent", "[40", "yes"]),
    ("treat_aha_2011_child", "doppler_peak_mmhg", dict(CHILD_2011, valve="dysplastic"), ["silent", "[40", "yes"]),
    ("treat_aha_2011_child", "catheter_peak_to_peak_mmhg", dict(CHILD_2011, valve="dysplastic", doppler_peak_mmhg=30), ["silent", "[40", "yes"]),
    ("treat_aha_2011_child", "age_years", dict(CHILD_2011, doppler_peak_mmhg=50), ["yes", "[18", "not_applicable"]),
    ("treat_german_2017_child", "doppler_peak_mmhg", {}, ["no", "[40", "may", "60]", "yes"]),
    ("treat_japan_2016_child", "gradient_mmhg", {"age_years": 5}, ["silent", "[40", "yes"]),
    ("treat_china_2020_child", "gradient_mmhg", {"severe_dysplasia": "no", "other_level": "no"}, ["silent", "[40", "yes"]),
    ("treat_chapter_child", "doppler_peak_mmhg", {"age_years": 5, "rv_hypertrophy": "yes"}, ["silent", "[35", "yes"]),
    ("treat_review_child", "catheter_peak_to_peak_mmhg", {"critical_stenosis": "no"}, ["silent", "50]", "yes"]),
    ("treat_natural_history", "catheter_peak_to_peak_mmhg", {},
     ["no", "[25", "silent", "[40", "may", "49]", "silent", "[50", "yes"]),
    ("treat_india_2019_child", "doppler_peak_mmhg", {"age_years": 5, "critical_stenosis": "no", "rv_function": "normal"}, ["silent", "64]", "yes"]),
    ("treat_neonatal_series", "age_months", {"rv_lv_ratio": 1.2, "atrial_gap": "right_to_left", "tricuspid_z": -1},
     ["yes", "[6", "not_applicable"]),
    ("treat_neonatal_series", "rv_lv_ratio", {"age_months": 1, "atrial_gap": "right_to_left", "tricuspid_z": -1},
     ["silent", "[1", "yes"]),
    ("treat_neonatal_series", "tricuspid_z", {"age_months": 1, "atrial_gap": "right_to_left", "rv_lv_ratio": 1.2},
     ["silent", "-4]", "yes"]),
]

ESC_REPLACE = dict(ESC, replacement_only_option="yes", exercise_capacity="kept")

SURGERY = [
    ("surgery_esc_2020", "doppler_peak_mmhg", dict(ESC_REPLACE, symptoms="yes", rv_systolic_mmhg=70), ["silent", "64]", "replacement"]),
    ("surgery_esc_2020", "rv_systolic_mmhg", dict(ESC_REPLACE, doppler_peak_mmhg=70), ["silent", "80]", "replacement"]),
    ("surgery_esc_2020", "doppler_peak_mmhg", dict(ESC_REPLACE, rv_systolic_mmhg=90), ["silent", "64]", "replacement"]),
    ("surgery_jcs_2011", "rv_systolic_mmhg", {"age_years": 30, "replacement_only_option": "yes", "symptoms": "no"},
     ["silent", "80]", "replacement"]),
    ("peripheral_acc_2025", "rv_systemic_ratio",
     {"age_years": 30, "symptoms": "no", "rv_function": "normal", "tricuspid_regurgitation": "none", "exercise_capacity": "kept"},
     ["silent", "0.5]", "angioplasty_or_stent"]),
    ("peripheral_esc_2020", "diameter_narrowing_percent", {"age_years": 30, "rv_systolic_mmhg": 60, "lung_perfusion": "even"},
     ["silent", "50]", "catheter_treatment"]),
    ("peripheral_esc_2020", "rv_systolic_mmhg", {"age_years": 30, "diameter_narrowing_percent": 60, "lung_perfusion": "even"},
     ["silent", "50]", "catheter_treatment"]),
    ("peripheral_jcs_2011", "diameter_narrowing_percent", {"age_years": 30, "rv_systolic_mmhg": 60, "lung_perfusion": "even"},
     ["silent", "[50", "catheter_treatment"]),
    ("peripheral_jcs_2011", "rv_systolic_mmhg", {"age_years": 30, "diameter_narrowing_percent": 60, "lung_perfusion": "even"},
     ["silent", "50]", "catheter_treatment"]),
]

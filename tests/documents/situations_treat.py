"""Situations of treatment and surgery; the notation is explained in `decision_situations`."""

from tests.documents.edges import (
    CHILD_2011, DYSPLASTIC, ESC, ESC_REPLACE, JCS, NO_SYMPTOMS_DOMED, SYMPTOMS_DOMED, TRADE,
)

SILENT = ("silent", "")
W8 = {"age_years": 21, "symptoms": "yes", "valve": "domed", "doppler_peak_mmhg": 60, "pulmonary_regurgitation": "none"}

BOUND, FREE = ("lower_bound", "house:open_duct"), ("usable", "house:gradient_usable")
NORMAL = {"rv_function": "normal"}
HEAD, DOUBT = ("may_be_the_headline", "house:headline"), "not_the_headline"
NO_DOUBT, CONFIRMED = dict.fromkeys(("none", "mild"), ("confirmed", "house:confirmed")), ("confirmed", "house:confirmed")
READING = [
    ("gradient_as_severity", {"age_days": 3}, "lower_bound", "house:newborn"),
    ("gradient_as_severity", {"age_days": 200, "duct": "open"}, "lower_bound", "house:open_duct"),
    ("gradient_as_severity", {"age_days": 9000, "duct": "closed", "aortopulmonary_shunt": "yes"}, "lower_bound", "house:open_duct"),
    # the ratio names the ventricle's pressure at no age the valve: 400 days, duct shut, nothing else
    ("gradient_as_severity", {"age_days": 400, "duct": "closed"}, *FREE),
    ("headline_doubt", NORMAL, *HEAD),
    ("headline_doubt", {**NORMAL, "rv_systemic_ratio": 0.73, "systemic_pressure": "low"}, *HEAD),
    ("headline_doubt", {**NORMAL, "atrial_gap": "right_to_left", "saturation_percent": 97}, *HEAD),
    ("headline_doubt", {**NORMAL, "atrial_gap": "left_to_right", "saturation_percent": 85}, *HEAD),
    ("headline_doubt", {**NORMAL, "rv_systemic_ratio": 0.7, "systemic_pressure": "ordinary"}, DOUBT, "house:ratio_two_thirds"),
    ("severe_doubt", {}, *CONFIRMED),
]
READING_WORDS = [
    ("gradient_as_severity", "duct", {"age_days": 400}, {"open": BOUND, "stented": BOUND, "closed": FREE}),
    ("gradient_as_severity", "aortopulmonary_shunt", {"age_days": 400, "duct": "closed"}, {"yes": BOUND, "no": FREE}),
    ("headline_doubt", "rv_function", {}, {"normal": HEAD, "reduced": (DOUBT, "house:rv_function_not_normal"), "falling": (DOUBT, "house:rv_function_not_normal")}),
    ("headline_doubt", "tricuspid_regurgitation", NORMAL, {**dict.fromkeys(("none", "mild", "moderate"), HEAD), "severe": (DOUBT, "house:tricuspid_severe")}),
    ("headline_doubt", "inotrope", NORMAL, {"no": HEAD, "yes": (DOUBT, "house:inotrope")}),
    ("headline_doubt", "flow_across_valve", NORMAL, {"normal": HEAD, "low": (DOUBT, "house:low_flow")}),
    ("headline_doubt", "atrial_gap", {**NORMAL, "saturation_percent": 85}, {"none": HEAD, "left_to_right": HEAD, "right_to_left": (DOUBT, "house:right_to_left_desaturated")}),
    ("headline_doubt", "systemic_pressure", {**NORMAL, "rv_systemic_ratio": 0.8}, {"ordinary": (DOUBT, "house:ratio_two_thirds"), "low": HEAD}),
    ("headline_doubt", "measuring_state", NORMAL, {"awake": HEAD, "sedated": HEAD, "anaesthesia": (DOUBT, "house:anaesthesia_only")}),
    ("severe_doubt", "pulmonary_regurgitation", {}, {**NO_DOUBT, "moderate": ("not_confirmed", "house:high_flow"), "severe": ("not_confirmed", "house:high_flow")}),
    ("severe_doubt", "pregnant", {}, {"no": CONFIRMED, "yes": ("not_confirmed", "house:high_flow")}),
    ("severe_doubt", "supravalvar_narrowing", {}, {"no": CONFIRMED, "yes": ("not_confirmed", "house:serial_narrowing")}),
    ("severe_doubt", "branch_stenosis", {}, {"no": CONFIRMED, "yes": ("not_confirmed", "house:serial_narrowing")}),
    ("severe_doubt", "doppler_contradicted", {}, {"no": CONFIRMED, "yes": ("not_confirmed", "house:contradicted")}),
    ("rv_pressure", "systemic_pressure", {"rv_systemic_ratio": 0.73}, {"ordinary": ("severe_pressure", "house:severe_pressure"), "low": ("inflated", "house:inflated")}),
]
# unknown is not normal: the function of the ventricle, and under one year the duct, leave the headline open
READING_OPEN = [
    ("headline_doubt", {}, ["not_the_headline", "may_be_the_headline"], ["rv_function"]),
    ("gradient_as_severity", {"age_days": 200}, ["lower_bound", "usable"], ["duct"]),
    ("rv_pressure", {"rv_systemic_ratio": 0.73}, ["severe_pressure", "inflated"], ["systemic_pressure"]),
    # an "or" with one leg absent is never answered by a lower grade
    ("severity_acc_2025", {"age_years": 40, "doppler_peak_mmhg": 50}, ["severe", "inside_the_printed_range", "moderate"], ["doppler_mean_mmhg"]),
    ("severity_aha_2018", {"age_years": 40, "doppler_peak_mmhg": 50}, ["severe", "moderate"], ["doppler_mean_mmhg"]),
]

TREAT = [
    ("treat_acc_2008", dict(W8, pulmonary_regurgitation="severe"), "no", "A-I19:severe_regurgitation"),
    ("treat_acc_2008", dict(W8, pulmonary_regurgitation="severe", doppler_peak_mmhg=25), "no", "A-I19:severe_regurgitation"),
    ("treat_acc_2008", dict(W8, pulmonary_regurgitation="severe", valve="dysplastic"), "no", "A-I19:severe_regurgitation"),
    ("treat_acc_2008", dict(W8, pulmonary_regurgitation="moderate", cardiac_output="normal"), "silent", ""),
    ("treat_acc_2008", dict(W8, doppler_peak_mmhg=70), "yes", "A-I14"),
    ("treat_acc_2008", dict(W8, valve="dysplastic"), "may", "A-I17"),
    ("treat_acc_2008", dict(W8, valve="dysplastic", symptoms="no", doppler_peak_mmhg=61, pulmonary_regurgitation="severe"), "may", "A-I16"),
    ("treat_acc_2008", dict(W8, symptoms="no", doppler_peak_mmhg=40, cardiac_output="normal"), "no", "A-I18"),
    ("treat_acc_2008", dict(W8, symptoms="no", doppler_peak_mmhg=40, cardiac_output="reduced"), "silent", ""),
    ("treat_acc_2008", dict(W8, symptoms="no", doppler_peak_mmhg=25, cardiac_output="reduced"), "silent", ""),
    ("treat_acc_2025", {}, "not_seen", ""),
    ("treat_jcs_2011", dict(JCS, doppler_peak_mmhg=90, rv_function="reduced"), "silent", ""),
    ("treat_chapter_child", {"age_years": 5, "doppler_peak_mmhg": 50, "rv_hypertrophy": "no"}, "silent", ""),
    ("treat_china_2020_child", {"gradient_mmhg": 50, "severe_dysplasia": "yes", "other_level": "no"}, "silent", ""),
    ("treat_china_2020_child", {"gradient_mmhg": 50, "severe_dysplasia": "no", "other_level": "yes"}, "silent", ""),
    ("treat_india_2019_child", {"age_years": 5, "critical_stenosis": "yes", "rv_function": "reduced", "doppler_peak_mmhg": 90}, "yes", "A-I57:newborn"),
    ("treat_india_2019_child", {"age_years": 5, "critical_stenosis": "no", "rv_function": "reduced", "doppler_peak_mmhg": 90}, "yes", "A-I57:rv_dysfunction"),
    ("treat_aha_2011_child", dict(CHILD_2011, doppler_peak_mmhg=45, valve="dysplastic"), "yes", "A-I51"),
    ("treat_trade", dict(TRADE, symptoms="no", valve="dysplastic", doppler_peak_mmhg=90), "silent", ""),
    ("treat_trade", dict(TRADE, symptoms="yes", valve="dysplastic", doppler_peak_mmhg=90), "silent", ""),
]

ABOVE_1, LEAK = dict(NO_SYMPTOMS_DOMED, doppler_peak_mmhg=65), {"moderate": SILENT, "severe": SILENT}
ESC_11, JCS_11 = ("yes", "A-I11"), ("yes", "A-I11:JCS")
NO_JCS = dict(JCS, symptoms="no", doppler_peak_mmhg=35)
NONE_OR_MILD = {"none": SILENT, "mild": SILENT}
CHILD_DYSPLASTIC = dict(CHILD_2011, valve="dysplastic", doppler_peak_mmhg=20)

TREAT_WORDS = [
    ("treat_acc_2008", "pulmonary_regurgitation", ABOVE_1, LEAK | {"none": ("yes", "A-I13"), "mild": ("yes", "A-I13")}),
    ("treat_acc_2008", "pulmonary_regurgitation", dict(SYMPTOMS_DOMED, doppler_peak_mmhg=65), {
        "none": ("yes", "A-I14"), "mild": ("yes", "A-I14"), "moderate": SILENT, "severe": ("no", "A-I19:severe_regurgitation")}),
    ("treat_esc_2020", "rv_function", dict(ESC, doppler_peak_mmhg=35), {"normal": SILENT, "reduced": SILENT, "falling": ESC_11}),
    ("treat_esc_2020", "tricuspid_regurgitation", dict(ESC, doppler_peak_mmhg=35), NONE_OR_MILD | {"moderate": ESC_11, "severe": ESC_11}),
    ("treat_esc_2020", "atrial_gap", dict(ESC, doppler_peak_mmhg=35), {"none": SILENT, "left_to_right": SILENT, "right_to_left": ESC_11}),
    ("treat_jcs_2011", "symptoms", NO_JCS, {"no": SILENT, "yes": JCS_11}),
    ("treat_jcs_2011", "rv_function", NO_JCS, {"normal": SILENT, "reduced": JCS_11, "falling": JCS_11}),
    ("treat_jcs_2011", "double_chambered_rv", NO_JCS, {"no": SILENT, "yes": JCS_11}),
    ("treat_jcs_2011", "significant_arrhythmia", NO_JCS, {"no": SILENT, "yes": JCS_11}),
    ("treat_jcs_2011", "atrial_gap", NO_JCS, {"none": SILENT, "left_to_right": SILENT, "right_to_left": JCS_11}),
    ("treat_trade", "pulmonary_regurgitation", dict(TRADE, symptoms="no", doppler_peak_mmhg=90),
     LEAK | {"none": ("yes", "trade:no_symptoms"), "mild": ("yes", "trade:no_symptoms")}),
    ("treat_trade", "pulmonary_regurgitation", dict(TRADE, symptoms="yes", doppler_peak_mmhg=90),
     LEAK | {"none": ("yes", "trade:symptoms"), "mild": ("yes", "trade:symptoms")}),
    ("treat_aha_2011_child", "critical_stenosis", dict(CHILD_2011, doppler_peak_mmhg=20), {"no": SILENT, "yes": ("yes", "A-I50")}),
    ("treat_aha_2011_child", "rv_function", dict(CHILD_2011, doppler_peak_mmhg=35), {
        "normal": SILENT, "reduced": ("yes", "A-I50"), "falling": ("yes", "A-I50")}),
    ("treat_aha_2011_child", "critical_stenosis", CHILD_DYSPLASTIC, {"no": SILENT, "yes": ("yes", "A-I51")}),
    ("treat_aha_2011_child", "rv_function", CHILD_DYSPLASTIC, {"normal": SILENT, "reduced": ("yes", "A-I51"), "falling": ("yes", "A-I51")}),
    ("treat_aha_2011_atresia", "rv_dependent_coronaries", {"anatomy_favourable": "yes"}, {
        "excluded": ("yes", "A-I52"), "present": ("no", "A-I53"), "not_known": SILENT}),
    ("treat_aha_2011_atresia", "rv_dependent_coronaries", {"anatomy_favourable": "no"}, {
        "excluded": SILENT, "present": ("no", "A-I53"), "not_known": SILENT}),
    ("treat_india_2019_child", "rv_function", {"age_years": 5, "critical_stenosis": "no", "doppler_peak_mmhg": 35}, {
        "normal": SILENT, "reduced": ("yes", "A-I57:rv_dysfunction"), "falling": ("yes", "A-I57:rv_dysfunction")}),
    ("treat_india_2019_child", "critical_stenosis", {"age_years": 5, "rv_function": "normal", "doppler_peak_mmhg": 35}, {
        "no": SILENT, "yes": ("yes", "A-I57:newborn")}),
    ("treat_neonatal_series", "atrial_gap", {"age_months": 1, "rv_lv_ratio": 1.2, "tricuspid_z": -1}, {
        "none": SILENT, "left_to_right": SILENT, "right_to_left": ("yes", "A-I58")}),
]

SEVERE_2008 = {"age_years": 30, "severity": "severe", "hypoplastic_annulus": "no", "pulmonary_regurgitation": "none", "other_level": "no",
               "valve": "domed", "tricuspid_regurgitation": "none", "maze_needed": "no"}
OPERATE, PREFERRED = ("surgery", "A-I15:surgery"), ("surgery_preferred", "A-I15:preferred")
REPAIR, REPLACE = ("surgery", "A-I2"), ("replacement", "A-I10")
NO_BALLOON = {"age_years": 30, "symptoms": "yes", "severity": "moderate", "balloon_possible": "no"}
LATE = dict(ESC_REPLACE, doppler_peak_mmhg=70, rv_systolic_mmhg=70)
LATE_JCS = {"age_years": 30, "replacement_only_option": "yes", "symptoms": "no", "rv_systolic_mmhg": 90}
BRANCH = {"age_years": 30, "symptoms": "no", "rv_systemic_ratio": 0.4, "rv_function": "normal", "tricuspid_regurgitation": "none",
          "exercise_capacity": "kept"}
STENT = ("angioplasty_or_stent", "A-I39")

SURGERY = [
    ("surgery_acc_2008", {"age_years": 30, "severity": "severe", "hypoplastic_annulus": "yes"}, *OPERATE),
    ("surgery_acc_2008", dict(SEVERE_2008, hypoplastic_annulus="yes", valve="dysplastic"), *OPERATE),
    ("surgery_acc_2008", SEVERE_2008, "silent", ""),
    ("surgery_aha_2018", dict(NO_BALLOON, symptoms="no"), "silent", ""),
    ("surgery_esc_2020", LATE, "silent", ""),
    ("surgery_esc_2020", dict(LATE, symptoms="yes", replacement_only_option="no"), "not_applicable", ""),
    ("surgery_jcs_2011", dict(LATE_JCS, replacement_only_option="no"), "not_applicable", ""),
    ("surgery_jcs_2011", dict(LATE_JCS, symptoms="yes"), "not_applicable", ""),
    ("surgery_esc_2020", dict(LATE, symptoms="yes"), "replacement", "A-I9"),
    ("peripheral_acc_2025", dict(BRANCH, symptoms="yes"), "angioplasty_or_stent", "A-I38"),
    ("supravalvar_noonan_2024", {"noonan_syndrome": "no", "supravalvar_narrowing": "yes"}, "silent", ""),
    ("supravalvar_children_2022", {"noonan_syndrome": "yes", "supravalvar_narrowing": "yes"}, "silent", ""),
]
SURGERY_WORDS = [
    ("surgery_acc_2008", "severity", dict(SEVERE_2008, hypoplastic_annulus="yes"), {"mild": SILENT, "moderate": SILENT, "severe": OPERATE}),
    ("surgery_acc_2008", "pulmonary_regurgitation", SEVERE_2008, NONE_OR_MILD | {"moderate": SILENT, "severe": OPERATE}),
    ("surgery_acc_2008", "other_level", SEVERE_2008, {"no": SILENT, "yes": OPERATE}),
    ("surgery_acc_2008", "valve", SEVERE_2008, {"domed": SILENT, "dysplastic": PREFERRED}),
    ("surgery_acc_2008", "tricuspid_regurgitation", SEVERE_2008, NONE_OR_MILD | {"moderate": SILENT, "severe": PREFERRED}),
    ("surgery_acc_2008", "maze_needed", SEVERE_2008, {"no": SILENT, "yes": PREFERRED}),
    ("surgery_acc_2008", "severity", dict(SEVERE_2008, valve="dysplastic"), {"mild": SILENT, "moderate": SILENT, "severe": PREFERRED}),
    ("surgery_aha_2018", "severity", NO_BALLOON, {"mild": SILENT, "moderate": REPAIR, "severe": REPAIR}),
    ("surgery_aha_2018", "balloon_possible", NO_BALLOON, {"yes": SILENT, "no": REPAIR, "failed": REPAIR}),
    ("surgery_esc_2020", "exercise_capacity", LATE, {"kept": SILENT, "falling": REPLACE}),
    ("surgery_esc_2020", "rv_function", LATE, {"normal": SILENT, "reduced": SILENT, "falling": REPLACE}),
    ("surgery_esc_2020", "tricuspid_regurgitation", LATE, NONE_OR_MILD | {"moderate": REPLACE, "severe": REPLACE}),
    ("surgery_esc_2020", "atrial_gap", LATE, {"none": SILENT, "left_to_right": SILENT, "right_to_left": REPLACE}),
    ("supravalvar_noonan_2024", "supravalvar_narrowing", {"noonan_syndrome": "yes"}, {"no": SILENT, "yes": ("surgery_likely", "A-I70")}),
    ("supravalvar_children_2022", "supravalvar_narrowing", {"noonan_syndrome": "no"}, {"no": SILENT, "yes": ("balloon_defensible", "A-I72")}),
    ("double_chambered_rv_acc_2025", "obstruction", {"age_years": 30, "symptoms": "yes"}, {
        "mild": SILENT, "moderate": ("surgery", "A-I35"), "severe": ("surgery", "A-I35")}),
    ("double_chambered_rv_acc_2025", "obstruction", {"age_years": 30, "symptoms": "no"}, {
        "mild": SILENT, "moderate": SILENT, "severe": ("surgery", "A-I36")}),
    ("peripheral_acc_2025", "rv_function", BRANCH, {"normal": SILENT, "reduced": STENT, "falling": STENT}),
    ("peripheral_acc_2025", "tricuspid_regurgitation", BRANCH, NONE_OR_MILD | {"moderate": STENT, "severe": STENT}),
    ("peripheral_acc_2025", "exercise_capacity", BRANCH, {"kept": SILENT, "falling": STENT}),
]

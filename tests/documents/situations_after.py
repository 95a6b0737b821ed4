"""Situations of visits, sport, antibiotics, pregnancy and the quoted figures; the notation is explained in `decision_situations`."""

SILENT = ("silent", "")

VISITS = [
    ("visits_child_2023", {"age_years": 8, "age_group": "older_child", "severity": "moderate"}, "silent", ""),
    ("visits_child_2023", {"age_years": 0.5, "age_group": "infant", "severity": "mild"}, "silent", ""),
    ("visits_child_2023", {"age_years": 18, "age_group": "older_child", "severity": "mild"}, "not_applicable", ""),
    ("visits_textbook_2014", {"treated_before": "yes", "severity": "mild"}, "1, 6 and 12 months, then every year", "A-F33:treated"),
    ("visits_textbook_2014", {"treated_before": "yes", "severity": "severe"}, "1, 6 and 12 months, then every year", "A-F33:treated"),
]
VISITS_WORDS = [
    ("visits_acc_2025", "stage", {"age_years": 30}, {
        "a": ("every 36 to 60 months", "A-F1:A"), "b": ("every 24 months", "A-F1:B"),
        "c": ("every 6 to 12 months", "A-F1:C"), "d": ("every 3 to 6 months", "A-F1:D")}),
    ("visits_dcrv_acc_2025", "stage", {"age_years": 30}, {
        "a": ("every 24 to 36 months", "A-F4:A"), "b": ("every 24 months", "A-F4:B"),
        "c": ("every 6 to 12 months", "A-F4:C"), "d": ("every 3 to 6 months", "A-F4:D")}),
    ("visits_esc_2020", "severity", {"age_years": 30}, {
        "mild": ("every 5 years", "A-F8:mild"), "moderate": ("every year", "A-F8:most"), "severe": ("every year", "A-F8:most")}),
    ("visits_child_2023", "severity", {"age_years": 0.5, "age_group": "infant"}, {
        "mild": SILENT, "moderate": ("weeks to months", "A-F10:infant"), "severe": ("weeks to months", "A-F10:infant")}),
    ("visits_child_2023", "severity", {"age_years": 8, "age_group": "older_child"}, {
        "mild": ("every 2 to 3 years", "A-F10:mild_older"), "moderate": SILENT, "severe": SILENT}),
    ("visits_textbook_2014", "severity", {"treated_before": "no"}, {
        "trivial": ("every year", "A-F33:mild"), "mild": ("every year", "A-F33:mild"), "moderate": SILENT, "severe": SILENT}),
]

# A child after treatment with nothing left behind.
TREATED = {"treated_before": "yes", "pulmonary_regurgitation": "mild", "rv_enlarged": "no", "treated_by": "balloon", "residual_severity": "mild"}
BY_BALLOON, BY_SURGERY = ("after 2 to 4 weeks", "A-F27:balloon"), ("after about 3 months", "A-F27:surgery")

SPORT = [
    ("sport_us_2025", {}, "shared_decision", "A-F31:statement"),
    ("sport_europe_2020", {"age_years": 20}, "by_parameters", "A-F30:Europe"),
    ("sport_textbook_treated", dict(TREATED, treated_before="no"), "not_applicable", ""),
    ("sport_textbook", {"treated_before": "yes", "doppler_peak_mmhg": 30}, "not_applicable", ""),
    ("sport_textbook_treated", dict(TREATED, pulmonary_regurgitation="severe"), *BY_BALLOON),
    ("sport_textbook_treated", dict(TREATED, treated_by="surgery", rv_enlarged="yes"), *BY_SURGERY),
]
SPORT_WORDS = [
    ("sport_acc_2025", "full_evaluation", {"age_years": 30}, {"done": ("reasonable", "A-F31"), "not_done": ("evaluate_first", "A-F31:first")}),
    ("sport_esc_2020", "severity", {"age_years": 30}, {
        "mild": ("no_limits", "A-F30:ESC_mild"), "moderate": ("no_high_intensity", "A-F30:ESC_moderate"),
        "severe": ("low_intensity", "A-F30:ESC_severe")}),
    ("sport_textbook_treated", "pulmonary_regurgitation", dict(TREATED, rv_enlarged="yes"), {
        "none": BY_BALLOON, "mild": BY_BALLOON, "moderate": BY_BALLOON, "severe": ("low_classes_only", "A-F28")}),
    ("sport_textbook_treated", "rv_enlarged", dict(TREATED, treated_by="surgery", pulmonary_regurgitation="severe"), {
        "no": BY_SURGERY, "yes": ("low_classes_only", "A-F28")}),
    ("sport_textbook_treated", "residual_severity", TREATED, {
        "none": BY_BALLOON, "mild": BY_BALLOON, "moderate": SILENT, "severe": SILENT}),
    ("sport_textbook_treated", "residual_severity", dict(TREATED, treated_by="surgery"), {
        "none": BY_SURGERY, "mild": BY_SURGERY, "moderate": SILENT, "severe": SILENT}),
]

SPORT_OPEN = [
    ("sport_textbook_treated", {"treated_before": "yes", "pulmonary_regurgitation": "none", "treated_by": "balloon"},
     ["after 2 to 4 weeks"], ["residual_severity"]),
]

NO_RISK = {"prosthetic_valve": "no", "previous_endocarditis": "no", "unrepaired_cyanotic": "no", "material_under_6_months": "no",
           "residual_at_material": "no", "transplant_valve_disease": "no"}
# Recommendation Table 1 of ESC 2023, its classes; a patient with none of the risks it names is at low or intermediate risk
ESC_NO_RISK = dict.fromkeys(("previous_endocarditis", "prosthetic_valve", "assist_device", "unrepaired_cyanotic", "shunt_or_conduit",
                             "repair_under_6_months", "residual_at_material", "transcatheter_av_repair", "heart_transplant"), "no")
PROPHYLAXIS, NONE = ("yes", "A-F20"), ("no", "A-F21")
ESC_RISKS = {risk: ("yes", "A-F20:ESC_high") for risk in ESC_NO_RISK} | {
    "previous_endocarditis": ("yes", "A-F20:ESC_previous"), "transcatheter_av_repair": ("yes", "A-F20:ESC_av_repair"),
    "heart_transplant": ("may", "A-F20:ESC_transplant")}

ENDOCARDITIS_WORDS = [
    *[("endocarditis_aha", risk, NO_RISK, {"no": NONE, "yes": PROPHYLAXIS}) for risk in NO_RISK],
    *[("endocarditis_esc_2023", risk, ESC_NO_RISK, {"no": ("no", "A-F20:ESC_other"), "yes": answer}) for risk, answer in ESC_RISKS.items()],
    ("endocarditis_procedure", "device_or_stent_likely", {}, {"no": ("no", "E-EP43:plain"), "yes": ("yes", "E-EP43:device")}),
]

# the congenital table of ESC 2025: above 64 mmHg or signs of right heart failure come before the pregnancy
PREGNANCY = [
    ("pregnancy_before_esc_2025", {"doppler_peak_mmhg": 64, "rv_function": "normal"}, "silent", ""),
    ("pregnancy_before_esc_2025", {"doppler_peak_mmhg": 65, "rv_function": "normal"}, "treat_before", "A-F23:ESC_before"),
]
PREGNANCY_OPEN = [
    ("pregnancy_before_esc_2025", {"doppler_peak_mmhg": 40}, ["low_risk", "treat_before"], ["rv_function"]),
]
FAILING_BEFORE, IMPAIRED = ("treat_before", "A-F23:ESC_before"), ("class II to III or more", "A-F22:ESC_rv")
PREGNANCY_WORDS = [
    ("pregnancy_mwho_2018", "severity", {"uncomplicated": "yes"}, {
        "mild": ("class I", "A-F22"), "moderate": ("class II to III", "A-F23"), "severe": ("class II to III", "A-F23")}),
    ("pregnancy_mwho_2018", "severity", {"uncomplicated": "no"}, {
        "mild": SILENT, "moderate": ("class II to III", "A-F23"), "severe": ("class II to III", "A-F23")}),
    ("pregnancy_before_esc_2025", "rv_function", {"doppler_peak_mmhg": 40}, {
        "normal": ("low_risk", "A-F23:ESC_echo"), "reduced": FAILING_BEFORE, "falling": FAILING_BEFORE}),
    ("pregnancy_esc_2025", "severity", {"rv_function": "normal"}, {
        "mild": ("class I", "A-F22:ESC_2025"), "moderate": ("above class I", "A-F23:ESC_2025"), "severe": ("above class I", "A-F23:ESC_2025")}),
    ("pregnancy_esc_2025", "rv_function", {"severity": "mild"}, {
        "normal": ("class I", "A-F22:ESC_2025"), "reduced": IMPAIRED, "falling": IMPAIRED}),
    ("pregnancy_esc_2025", "rv_function", {"severity": "severe"}, {
        "normal": ("above class I", "A-F23:ESC_2025"), "reduced": IMPAIRED, "falling": IMPAIRED}),
]

# Figures that are quoted without a source, as the list of them prints each.
QUOTED_WORDS = [
    ("trade_figures", "figure", {}, {
        "ratio": ("1.2 to 1.4", "trade:ratio"), "dysplastic_share": ("10 to 20 %", "trade:dysplastic_share"),
        "deaths": ("0.24 %", "trade:deaths"), "major_complications": ("0.35 %", "trade:major_complications"),
        "severe_regurgitation_7_years": ("7 %", "trade:severe_regurgitation_7_years"), "restenosis": ("about 20 %", "trade:restenosis"),
        "free_of_reintervention_15_years": ("77 %", "trade:free_of_reintervention_15_years")}),
]

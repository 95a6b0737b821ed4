"""Situations of visits, sport, antibiotics, pregnancy and the quoted figures; the notation is explained in `decision_situations`."""

SILENT = ("silent", "")

VISITS = [
    ("visits_child_2023", {"age_years": 8, "age_group": "older_child", "severity": "moderate"}, "silent", ""),
    ("visits_child_2023", {"age_years": 0.5, "age_group": "infant", "severity": "mild"}, "silent", ""),
    ("visits_child_2023", {"age_years": 18, "age_group": "older_child", "severity": "mild"}, "not_applicable", ""),
    ("visits_reference", {"treated_before": "yes", "age_years": 3}, "6 to 12 months, 5 years, then every 10 years", "A-F11:treated"),
    ("visits_reference", {"treated_before": "yes", "age_years": 12}, "6 to 12 months, 5 years, then every 10 years", "A-F11:treated"),
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
    ("sport_us_2015", "severity", {}, {
        "mild": ("any_competitive_sport", "A-F29:mild"), "moderate": ("low_intensity", "A-F29:more"), "severe": ("low_intensity", "A-F29:more")}),
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
ISOLATED = {"previous_endocarditis": "no", "prosthetic_valve": "no", "assist_device": "no", "isolated_valve_lesion": "yes"}
PROPHYLAXIS, NONE = ("yes", "A-F20"), ("no", "A-F21")
HIGHEST, INTERMEDIATE = ("highest_risk", "A-F20:ESC_high"), ("no", "A-F20:ESC_intermediate")

ENDOCARDITIS_WORDS = [
    *[("endocarditis_aha", risk, NO_RISK, {"no": NONE, "yes": PROPHYLAXIS}) for risk in NO_RISK],
    *[("endocarditis_esc_2023", risk, ISOLATED, {"no": INTERMEDIATE, "yes": HIGHEST})
      for risk in ("previous_endocarditis", "prosthetic_valve", "assist_device")],
    ("endocarditis_esc_2023", "isolated_valve_lesion", ISOLATED, {"yes": INTERMEDIATE, "no": HIGHEST}),
    ("endocarditis_procedure", "device_or_stent_likely", {}, {"no": ("no", "E-EP43:plain"), "yes": ("yes", "E-EP43:device")}),
]

WELL = {"symptoms": "no", "severity": "moderate", "rv_function": "normal"}
TOLERATED = ("tolerated_or_specialist_centre", "A-F23:centre")

PREGNANCY = [
    ("pregnancy_treat_before", dict(WELL, symptoms="yes"), "treat_before", "A-F23:symptoms"),
    ("pregnancy_treat_before", dict(WELL, symptoms="yes", severity="mild"), "treat_before", "A-F23:symptoms"),
]
PREGNANCY_OPEN = [
    ("pregnancy_treat_before", {"symptoms": "no", "rv_function": "reduced"}, ["specialist_centre", "treat_before"], ["severity"]),
]
PREGNANCY_WORDS = [
    ("pregnancy_mwho_2018", "severity", {"uncomplicated": "yes"}, {
        "mild": ("class I", "A-F22"), "moderate": ("class II to III", "A-F23"), "severe": ("class II to III", "A-F23")}),
    ("pregnancy_mwho_2018", "severity", {"uncomplicated": "no"}, {
        "mild": SILENT, "moderate": ("class II to III", "A-F23"), "severe": ("class II to III", "A-F23")}),
    ("pregnancy_treat_before", "rv_function", WELL, {
        "normal": TOLERATED, "reduced": ("treat_before", "A-F23:rv"), "falling": ("treat_before", "A-F23:rv")}),
    ("pregnancy_treat_before", "rv_function", dict(WELL, severity="severe"), {
        "normal": TOLERATED, "reduced": ("treat_before", "A-F23:rv"), "falling": ("treat_before", "A-F23:rv")}),
    ("pregnancy_treat_before", "rv_function", dict(WELL, severity="mild"), {
        "normal": ("tolerated", "A-F23:mild"), "reduced": ("specialist_centre", "A-F23:mild_rv"), "falling": ("specialist_centre", "A-F23:mild_rv")}),
]

# Figures that are quoted without a source, as the list of them prints each.
QUOTED_WORDS = [
    ("trade_figures", "figure", {}, {
        "ratio": ("1.2 to 1.4", "trade:ratio"), "dysplastic_share": ("10 to 20 %", "trade:dysplastic_share"),
        "deaths": ("0.24 %", "trade:deaths"), "major_complications": ("0.35 %", "trade:major_complications"),
        "severe_regurgitation_7_years": ("7 %", "trade:severe_regurgitation_7_years"), "restenosis": ("about 20 %", "trade:restenosis"),
        "free_of_reintervention_15_years": ("77 %", "trade:free_of_reintervention_15_years")}),
]

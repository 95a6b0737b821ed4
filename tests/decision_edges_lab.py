"""Cut-offs of the laboratory's and the follow-up's tables; the notation is explained in `decision_edges`."""

ADULT = {"age_years": 40}
CHILD = {"age_years": 6}
LEFT = {"newborn": "no", "new_regurgitation": "none", "tear": "no", "step_below_valve": "no", "waist": "gone",
        "balloon_annulus_ratio": 1.22, "rv_systemic_ratio": 0.4}
MEASURED = {"annulus_frame": "open_valve_systole", "annulus_view": "lateral_angiogram", "calibration": "marker_or_sphere"}

SIZING = [
    ("annulus_measurement", "modality_difference_percent", MEASURED, ["size_on_this", "10]", "measure_again"]),
    ("balloon_over_smaller", "balloon_smaller_annulus_ratio", {}, ["within_the_limit", "1.3]", "stop_and_measure_again"]),
    ("ratio_zone", "balloon_annulus_ratio", {"newborn": "no"},
     ["below", "[1.15", "accepted", "[1.2", "target", "1.25]", "accepted", "1.3]", "reason", "1.5]", "forbidden"]),
    ("ratio_zone", "balloon_annulus_ratio", {"newborn": "yes"},
     ["below", "[1.1", "accepted", "[1.15", "accepted", "[1.2", "target", "1.25]", "accepted", "1.3]", "reason", "1.5]", "forbidden"]),
    ("ratio_trade", "balloon_annulus_ratio", {}, ["below", "[1.2", "within", "1.4]", "above"]),
    ("ratio_review_2024", "balloon_annulus_ratio", {}, ["below", "[1.2", "within", "1.25]", "above"]),
    ("sheath_and_wire", "balloon_mm", {"balloon_family": "coronary"}, ["silent", "[2", "4 to 5 F sheath, 0.014 in wire", "4]", "silent"]),
    ("sheath_and_wire", "balloon_mm", {"balloon_family": "low_profile"},
     ["silent", "[4", "4 F sheath, 0.014 to 0.021 in wire", "8]", "silent", "[9", "4 to 5 F sheath, 0.018 to 0.025 in wire",
      "12]", "silent", "[13", "5 to 6 F sheath, 0.025 to 0.035 in wire", "16]", "silent", "[18", "6 to 8 F sheath, 0.035 in wire",
      "20]", "silent", "[22", "8 to 10 F sheath, 0.035 in wire", "25]", "silent", "[26", "10 to 12 F sheath, 0.035 in wire",
      "30]", "silent"]),
    ("sheath_and_wire", "balloon_mm", {"balloon_family": "high_pressure"},
     ["silent", "[4", "5 to 6 F sheath, 0.014 to 0.021 in wire", "8]", "silent", "[9", "6 to 7 F sheath, 0.018 to 0.025 in wire",
      "12]", "silent", "[13", "7 to 8 F sheath, 0.025 to 0.035 in wire", "16]", "silent", "[18", "8 to 9 F sheath, 0.035 in wire",
      "20]", "silent", "[22", "9 to 12 F sheath, 0.035 in wire", "25]", "silent", "[26", "12 to 14 F sheath, 0.035 in wire",
      "30]", "silent"]),
]

CONTRAST = [
    ("contrast_child", "contrast_ml_per_kg", CHILD, ["within_labels", "[4", "label_reached", "[5", "think", "[6", "consultant_written", "[8", "hard_stop"]),
    ("contrast_child", "contrast_ml_per_kg", {"age_years": 0.5}, ["not_valid", "[8", "hard_stop"]),
    ("contrast_child", "age_years", {"contrast_ml_per_kg": 4}, ["not_valid", "[1", "label_reached"]),
    ("contrast_child", "egfr_ml_min_173", {"age_years": 40, "contrast_ml_per_kg": 3}, ["not_valid", "[60", "within_labels"]),
    ("contrast_clearance_2011", "contrast_clearance_ratio", ADULT, ["green", "[2", "amber", "3]", "red"]),
    ("contrast_egfr_2021", "contrast_egfr_ratio", ADULT, ["below_the_cut_off", "[1.78", "more_kidney_injury"]),
    ("contrast_egfr_2011", "contrast_egfr_ratio", ADULT, ["below_the_cut_off", "[2.39", "more_kidney_injury"]),
    ("contrast_clearance_2013", "contrast_clearance_ratio", ADULT, ["below_the_cut_off", "[4", "more_kidney_injury"]),
    ("contrast_clearance_2016", "contrast_clearance_ratio", ADULT, ["below_the_cut_off", "[6.15", "more_kidney_injury"]),
    ("contrast_clearance_2007", "contrast_clearance_ratio", ADULT, ["below_the_cut_off", "3.7]", "more_kidney_injury"]),
    ("kidney_band", "egfr_ml_min_173", {"other_nephrotoxins": "yes"}, ["protect", "[30", "protect", "[45", "usual_care"]),
    ("kidney_band", "egfr_ml_min_173", {"other_nephrotoxins": "no"}, ["protect", "[30", "usual_care", "[45", "usual_care"]),
    # the US label of 2016 prints "between 30 and 60"
    ("metformin_us_label", "egfr_ml_min_173", {"heart_failure": "no", "liver_disease": "no", "contrast_into_artery": "no"},
     ["stop_for_48_hours", "[60", "carry_on"]),
    ("metformin", "egfr_ml_min_173", {"acute_kidney_injury": "no", "renal_artery_emboli_possible": "no"},
     ["stop_for_48_hours", "[30", "carry_on"]),
]

RESIDUAL = [
    ("residual_action", "valve_gradient_mmhg", LEFT,
     ["stop", "[30", "stop_and_review", "[50", "measure_again_and_upsize_once"]),
    ("residual_action", "valve_gradient_mmhg", dict(LEFT, step_below_valve="yes"),
     ["stop_and_treat_muscle", "[30", "stop_and_review", "[50", "measure_again_and_upsize_once"]),
    # with a step below the valve no high ratio sends anybody up a size
    ("residual_action", "valve_gradient_mmhg", dict(LEFT, step_below_valve="yes", rv_systemic_ratio=0.8),
     ["stop_and_treat_muscle", "[30", "stop_and_treat_muscle", "[50", "measure_again_and_upsize_once"]),
    ("residual_action", "rv_systemic_ratio", dict(LEFT, valve_gradient_mmhg=40, step_below_valve="yes"),
     ["stop_and_review", "0.75]", "stop_and_treat_muscle"]),
    ("residual_action", "valve_gradient_mmhg", dict(LEFT, waist="persisted"),
     ["stop", "[30", "one_step_up", "[50", "measure_again_and_upsize_once"]),
    ("residual_action", "valve_gradient_mmhg", dict(LEFT, rv_systemic_ratio=0.8), ["look_further", "[30", "measure_again_and_upsize_once"]),
    ("residual_action", "rv_systemic_ratio", dict(LEFT, valve_gradient_mmhg=20), ["stop", "[0.5", "look_further"]),
    ("residual_action", "rv_systemic_ratio", dict(LEFT, valve_gradient_mmhg=40),
     ["stop_and_review", "0.75]", "measure_again_and_upsize_once"]),
    ("residual_action", "balloon_annulus_ratio", dict(LEFT, valve_gradient_mmhg=40), ["one_step_up", "[1.2", "stop_and_review"]),
    ("residual_newborn", "rv_systemic_ratio", {"newborn": "yes", "forward_flow": "yes", "saturation_stable": "yes"},
     ["stop", "[1", "not_yet"]),
    ("residual_review_2021", "residual_gradient_mmhg", {"balloon_annulus_ratio": 1.25}, ["silent", "30]", "recurrence_more_likely"]),
    ("residual_review_2021", "balloon_annulus_ratio", {"residual_gradient_mmhg": 20}, ["recurrence_more_likely", "[1.2", "silent"]),
    ("residual_adults_2015", "residual_gradient_mmhg", ADULT, ["silent", "[36", "second_procedure_more_likely"]),
    ("infundibular_review_2024", "subvalve_gradient_mmhg", {}, ["silent", "[50", "treat_the_muscle"]),
    ("infundibular_action", "rv_systemic_ratio", {"pressure_stable": "yes"},
     ["watch", "[0.5", "treat_the_muscle", "[1", "treat_and_call_surgeon"]),
]

AFTERWARDS = [
    ("sport_europe_2020", "age_years", {}, ["not_applicable", "[16", "by_parameters"]),
    ("sport_textbook", "doppler_peak_mmhg", {"treated_before": "no"}, ["any_competitive_sport", "]40[", "low_intensity"]),
    ("visits_acc_2008", "doppler_peak_mmhg", ADULT, ["every 5 years", "]30[", "every 2 to 5 years"]),
    ("pregnancy_before_esc_2025", "doppler_peak_mmhg", {"rv_function": "normal"}, ["low_risk", "]64[", "treat_before"]),
]

SUCCESS = [
    ("success_registry_2012", "residual_gradient_mmhg", {"gradient_fall_percent": 40, "rv_systemic_fall_percent": 20},
     ["success", "[25", "not_success"]),
    ("success_registry_2012", "gradient_fall_percent", {"residual_gradient_mmhg": 40, "rv_systemic_fall_percent": 20},
     ["not_success", "[50", "success"]),
    ("success_registry_2012", "rv_systemic_fall_percent", {"residual_gradient_mmhg": 40, "gradient_fall_percent": 20},
     ["not_success", "[50", "success"]),
    ("suboptimal_multicentre_1994", "residual_gradient_mmhg", {"treated_again": "no"}, ["not_suboptimal", "[36", "suboptimal"]),
    ("good_late_adults_2015", "residual_gradient_mmhg", {}, ["good", "[36", "not_good"]),
    ("immediate_childhood", "residual_gradient_mmhg", {}, ["36_or_less", "36]", "above_36"]),
    ("success_cadavid_2006", "residual_gradient_mmhg", {}, ["success", "[30", "not_success"]),
    ("suboptimal_adults_87", "residual_gradient_mmhg", {}, ["not_suboptimal", "[30", "suboptimal"]),
    ("restenosis_1998", "residual_gradient_mmhg", {}, ["not_restenosis", "[50", "restenosis"]),
    ("residual_228", "residual_gradient_mmhg", {}, ["neither", "[40", "residual_or_restenosis"]),
    ("success_adults_2014", "gradient_fall_percent", {}, ["silent", "[20", "partial_success", "50]", "success"]),
    ("success_newborn_2021", "rv_lv_ratio", {"age_months": 1, "saturation_percent": 70}, ["success", "[0.5", "not_success"]),
    ("success_newborn_2021", "saturation_percent", {"age_months": 1, "rv_lv_ratio": 0.8}, ["not_success", "75]", "success"]),
    ("success_newborn_2021", "age_months", {"rv_lv_ratio": 0.4, "saturation_percent": 70}, ["success", "[6", "not_applicable"]),
    ("restenosis_hatem_2004", "residual_gradient_mmhg", {}, ["success", "]36[", "above_36"]),
    ("restenosis_review", "residual_gradient_mmhg", {}, ["not_restenosis", "[50", "restenosis"]),
    ("catheter_risk_category", "age_days", {}, ["category_3", "[30", "category_2"]),
]

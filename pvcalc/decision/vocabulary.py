"""The words of decision tables: what an input is called in a sentence, and what its choices say.

A name that ends in a unit and is missing here is called by its own words (`units.label_of`).
"""

from pvcalc.core.formula import listing
from pvcalc.core.units import label_of, show, show_input, unit_of, with_unit

# Numbers whose plain label would not say which quantity is meant.
QUANTITIES = [
    ("doppler_peak_mmhg", "peak Doppler gradient"),
    ("doppler_mean_mmhg", "mean Doppler gradient"),
    ("catheter_peak_to_peak_mmhg", "catheter peak-to-peak gradient"),
    ("gradient_mmhg", "gradient (kind not stated in the source)"),
    ("velocity_m_s", "peak velocity across the valve"),
    ("doppler_velocity_m_s", "peak Doppler velocity"),
    ("tr_velocity_m_s", "tricuspid jet velocity"),
    ("catheter_mean_mmhg", "catheter mean gradient"),
    ("systemic_systolic_mmhg", "systemic systolic pressure"),
    ("pa_systolic_mmhg", "pulmonary artery systolic pressure"),
    ("pa_diastolic_mmhg", "pulmonary artery diastolic pressure"),
    ("ra_pressure_mmhg", "right atrial mean pressure"),
    ("rvot_systolic_mmhg", "systolic pressure just below the valve"),
    ("rv_end_diastolic_mmhg", "right ventricular end-diastolic pressure"),
    ("systemic_awake_mmhg", "systemic systolic pressure awake"),
    ("output_l_min", "systemic output"),
    ("lung_flow_l_min", "lung flow (across the valve)"),
    ("pa_saturation_percent", "pulmonary artery oxygen saturation"),
    ("after_rv_systolic_mmhg", "right ventricular systolic pressure after the balloon"),
    ("after_rvot_systolic_mmhg", "systolic pressure just below the valve after the balloon"),
    ("after_pa_systolic_mmhg", "pulmonary artery systolic pressure after the balloon"),
    ("after_systemic_systolic_mmhg", "systemic systolic pressure after the balloon"),
    ("after_ra_pressure_mmhg", "right atrial mean pressure after the balloon"),
    ("after_pulmonary_regurgitation", "pulmonary regurgitation after the balloon"),
    ("after_balloon_mm", "balloon used"),
    ("after_catheter_state", "catheter state after the balloon"),
    ("after_performed", "balloon filled across the valve"),
    ("after_abandoned_because", "why it was abandoned"),
    ("after_inflations_count", "inflations"),
    ("after_sheath_french", "largest sheath"),
    ("after_heart_block", "heart block after the balloon"),
    ("after_beta_blocker", "beta-blocker given after the balloon"),
    ("after_event_level", "adverse event, worst level"),
    ("after_kap_ugy_m2", "area product"),
    ("after_fluoroscopy_minutes", "fluoroscopy"),
    ("after_doppler_peak_mmhg", "peak Doppler gradient after the balloon"),
    ("after_doppler_state", "Doppler state after the balloon"),
    ("after_saturation_percent", "oxygen saturation after the balloon"),
    ("after_died", "died within 30 days"),
    ("after_thrombosis", "thrombosis of the access vessel"),
    ("own_deaths_count", "own deaths within 30 days"),
    ("own_deaths_cases", "of own patients treated"),
    ("own_again_count", "own patients treated again"),
    ("own_again_cases", "of own patients followed"),
    ("own_leak_count", "own patients with a moderate or severe leak at discharge"),
    ("own_leak_cases", "of own patients looked at"),
    ("after_waist", "waist"),
    ("after_tear", "sign of a tear"),
    ("after_effusion", "effusion"),
    ("contrast_earlier_72h_ml", "contrast in the 72 hours before"),
    ("prostaglandin_nanograms_kg_min", "prostaglandin"),
    ("gestation_weeks", "gestation at birth"),
    ("age_years", "age"),
    ("age_days", "age"),
    ("rv_systolic_mmhg", "right ventricular systolic pressure"),
    ("rv_systemic_ratio", "right ventricular over systemic systolic pressure"),
    ("rv_lv_ratio", "right over left ventricular systolic pressure"),
    ("rv_lv_volume_ratio", "right over left ventricular end-diastolic volume"),
    ("saturation_percent", "oxygen saturation"),
    ("ivc_max_mm", "widest inferior vena cava"),
    ("ivc_collapse_percent", "collapse of the inferior vena cava on a sniff"),
    ("balloon_annulus_ratio", "balloon over annulus"),
    ("valve_gradient_mmhg", "step at the valve on pull-back"),
    ("after_valve_gradient_mmhg", "peak-to-peak step at the valve after the balloon"),
    ("subvalve_gradient_mmhg", "step below the valve on pull-back"),
    ("unexplained_mmhg", "right ventricular systolic pressure less the step at the valve"),
    ("qp_qs_ratio", "lung flow over systemic output"),
    ("residual_gradient_mmhg", "residual gradient of the kind this document used"),
    ("gradient_fall_percent", "fall in gradient"),
    ("rv_systemic_fall_percent", "fall in right ventricular over systemic pressure"),
    ("regurgitant_fraction_percent", "regurgitant fraction"),
    ("regurgitant_volume_ml", "regurgitant volume"),
    ("pressure_half_time_ms", "pressure half-time of the regurgitation"),
    ("pr_index", "pulmonary regurgitation index"),
    ("diastolic_systolic_ratio", "diastolic over systolic velocity integral"),
    ("rv_end_diastolic_ml_m2", "right ventricular end-diastolic volume"),
    ("rv_end_systolic_ml_m2", "right ventricular end-systolic volume"),
    ("rv_ejection_percent", "right ventricular ejection fraction"),
    ("lv_ejection_percent", "left ventricular ejection fraction"),
    ("qrs_ms", "QRS duration"),
    ("rv_volume_z", "right ventricular volume z-score"),
    ("peak_oxygen_predicted_percent", "peak oxygen uptake, of predicted"),
    ("tapse_mm", "TAPSE"),
    ("s_wave_cm_s", "tricuspid annular S′"),
    ("area_change_percent", "right ventricular fractional area change"),
    ("rv_mid_mm", "right ventricular mid diameter"),
    ("rv_basal_mm", "right ventricular basal diameter"),
    ("rv_wall_mm", "right ventricular wall, subcostal"),
    ("ra_area_cm2", "right atrial end-systolic area"),
    ("ra_volume_ml_m2", "right atrial volume"),
    ("rv_strain_percent", "right ventricular free-wall strain, without its minus sign"),
    ("rv_mass_g_m2", "right ventricular mass"),
    ("rv_diastolic_area_cm2", "right ventricular end-diastolic area"),
    ("rv_systolic_area_cm2", "right ventricular end-systolic area"),
    ("jet_annulus_ratio", "width of the regurgitant jet over the annulus"),
    ("deceleration_ms", "deceleration time of the regurgitation"),
    ("jet_length_mm", "length of the regurgitant jet"),
    ("egfr_ml_min_173", "eGFR"),
    ("contrast_egfr_ratio", "contrast volume over eGFR"),
    ("contrast_clearance_ratio", "contrast volume over creatinine clearance"),
    ("contrast_ml_per_kg", "contrast per body weight"),
    ("material_under_6_months", "prosthetic material or device in its first 6 months"),
]

# Choices that read better as a phrase than as "name: word".
PHRASES = [
    ("symptoms", "yes", "with symptoms"),
    ("symptoms", "no", "without symptoms"),
    ("valve", "domed", "domed valve"),
    ("valve", "dysplastic", "dysplastic valve"),
    ("duct", "open", "arterial duct open"),
    ("duct", "closed", "arterial duct closed"),
    ("duct", "stented", "arterial duct stented"),
    ("atrial_gap", "none", "no atrial gap"),
    ("atrial_gap", "left_to_right", "atrial flow left to right"),
    ("atrial_gap", "right_to_left", "atrial flow right to left"),
    ("rv_hypertrophy", "yes", "right ventricular hypertrophy"),
    ("rv_hypertrophy", "no", "no right ventricular hypertrophy"),
    ("treated_before", "yes", "valve treated before"),
    ("treated_before", "no", "valve not treated before"),
    ("rv_function", "normal", "right ventricular function normal"),
    ("rv_function", "reduced", "right ventricular function reduced"),
    ("rv_function", "falling", "right ventricular function falling"),
    ("critical_stenosis", "yes", "critical stenosis of the newborn"),
    ("critical_stenosis", "no", "not critical stenosis"),
]


CAPITALS = ("stage",)  # inputs whose choices a document prints as capital letters


def word_shown(name, word):
    """One choice by itself, as a reader knows it: `open_valve_systole` -> `open valve systole`, stage `a` -> `A`."""
    return word.upper() if name in CAPITALS else word.replace("_", " ")


def name_words(name):
    """What an input is called in a sentence: `doppler_peak_mmhg` -> `peak Doppler gradient`."""
    for known, words in QUANTITIES:
        if known == name:
            return words
    return label_of(name)


def choice_words(name, word):
    """One choice in a sentence: `symptoms`, `no` -> `without symptoms`; `valve_step`, `yes` -> `valve step: yes`."""
    for known, choice, phrase in PHRASES:
        if known == name and choice == word:
            return phrase
    return name_words(name) + ": " + word_shown(name, word)


def choices_words(name, words):
    """Several choices in a sentence: `pulmonary regurgitation: none or mild`."""
    phrases = [phrase for word in words for known, choice, phrase in PHRASES if known == name and choice == word]
    if len(phrases) == len(words):
        return listing(phrases)
    return name_words(name) + ": " + listing([word_shown(name, word) for word in words])


def value_words(name, value):
    """An input with its value: `peak Doppler gradient 64 mmHg`, or the phrase of a choice."""
    if isinstance(value, str):
        return choice_words(name, value)
    return name_words(name) + " " + with_unit(show_input(value), name)


def number_words(number):
    """A cut-off as the document writes it: `60`, `0.5`, and thirds as `2/3`."""
    thirds = number * 3
    if 0 < number < 1 and abs(thirds - int(thirds + 0.5)) < 1e-12:
        return str(int(thirds + 0.5)) + "/3"
    return show_input(number)


def setting_words(key, value):
    """A setting's value with its unit, in as many digits as it was written with; a word as a reader knows it."""
    if isinstance(value, str):
        return value.replace("_", " ")
    text = number_words(value)
    unit = unit_of(key)
    if "." in text and unit and unit["suffix"] == "":
        # Ratios of one kind line up: 1.20 beside 1.25.
        text = show(value, max(unit["decimals"], len(text.partition(".")[2])))
    return with_unit(text, key)


COMPARISONS = [(">", "more than "), (">=", "at least "), ("<", "less than "), ("<=", "at most "), ("=", "exactly ")]


def comparison_words(name, parts):
    """The limits alone: `more than 60 mmHg`, `36 to 64 mmHg`, `more than 35 and at most 40 mmHg`."""
    signs = [sign for sign, _ in parts]
    numbers = [number_words(number) for _, number in parts]
    if signs == [">=", "<="]:
        return numbers[0] + " to " + with_unit(numbers[1], name)
    texts = []
    for (sign, _), number in zip(parts, numbers):
        for known, words in COMPARISONS:
            if known == sign:
                texts.append(words + number)
    return with_unit(" and ".join(texts), name)

"""The reading of one patient: every limit at its edges, every contradiction on both sides, and every sentence."""

import pytest

from pvcalc.core.errors import Refusal
from pvcalc.core.units import DAYS_A_MONTH, DAYS_A_YEAR
from pvcalc.formulas.body_size import weight_range
from pvcalc.plan.inputs import FIELDS, LIMITS, NAMES, height_range, odd_words, read_patient

AGE = {"age_years": 5}
# House limits typed a second time: what a patient can have at all.
EDGES = [
    ("age_years", 0, 110), ("age_days", 0, 40000), ("height_cm", 30, 220), ("weight_kg", 0.5, 250), ("doppler_velocity_m_s", 0.5, 7), ("doppler_peak_mmhg", 1, 196),
    ("doppler_mean_mmhg", 1, 150), ("tr_velocity_m_s", 0.5, 7), ("catheter_peak_to_peak_mmhg", 0, 250), ("catheter_mean_mmhg", 1, 200), ("pa_systolic_mmhg", 1, 200),
    ("pa_diastolic_mmhg", 0, 150), ("ra_pressure_mmhg", -5, 40), ("rv_systolic_mmhg", 5, 300), ("systemic_systolic_mmhg", 20, 300), ("saturation_percent", 20, 100),
    ("output_l_min", 0.1, 15), ("heart_rate_bpm", 30, 220), ("ejection_period_s", 0.08, 0.7), ("creatinine_umol_l", 10, 1500), ("creatinine_mg_dl", 0.12, 16.9), ("contrast_used_ml", 0, 1000),
    ("haematocrit_percent", 15, 75), ("gestation_weeks", 22, 44), ("prostaglandin_nanograms_kg_min", 1, 400), ("rvot_systolic_mmhg", 5, 300),
    ("rv_end_diastolic_mmhg", -5, 60), ("systemic_awake_mmhg", 20, 300), ("pa_saturation_percent", 10, 100), ("lung_flow_l_min", 0.1, 30),
    ("contrast_earlier_72h_ml", 0, 1000), ("after_rv_systolic_mmhg", 5, 300), ("after_rvot_systolic_mmhg", 5, 300), ("after_pa_systolic_mmhg", 1, 200),
    ("after_systemic_systolic_mmhg", 20, 300), ("after_ra_pressure_mmhg", -5, 40), ("after_balloon_mm", 2, 60),
    ("after_inflations_count", 1, 30), ("after_sheath_french", 3, 24), ("after_kap_ugy_m2", 0, 100000), ("after_fluoroscopy_minutes", 0, 300),
    ("after_doppler_peak_mmhg", 1, 196), ("after_saturation_percent", 20, 100),
    ("own_deaths_count", 0, 100000), ("own_deaths_cases", 1, 100000), ("own_again_count", 0, 100000), ("own_again_cases", 1, 100000),
    ("own_leak_count", 0, 100000), ("own_leak_cases", 1, 100000),
]


def read(**inputs):
    """What is known of a patient of five years and of what is given."""
    return read_patient({**AGE, **inputs})


def faults(**inputs):
    """Field and sentence of each fault of a patient of five years and of what is given."""
    with pytest.raises(Refusal) as refused:
        read(**inputs)
    return dict(refused.value.faults)


@pytest.mark.parametrize("name, low, high", EDGES, ids=[row[0] for row in EDGES])
def test_both_edges_are_taken_and_what_lies_beyond_is_refused(name, low, high):
    limit = LIMITS[name]
    assert (limit.low, limit.high) == (low, high)
    given = {"checked": "yes", **({} if name.startswith("age") else AGE)}
    if name.startswith("own_"):  # an own count needs its partner
        given |= {name.replace("_count", "_cases"): 100000} if name.endswith("_count") else {name.replace("_cases", "_count"): 0}
    for value in (low, high):
        if not name.startswith("age"):
            assert read_patient({**given, name: value})[name] == value
    for value in (low - 0.01, high + 0.01):
        with pytest.raises(Refusal) as refused:
            read_patient({**given, name: value})
        assert name in dict(refused.value.faults) and "house limits" in str(refused.value)


def test_every_field_that_is_a_number_has_edges_here():
    assert {name for name, limit, _ in FIELDS if limit.kind == "number"} == {name for name, _, _ in EDGES} and len(set(NAMES)) == len(NAMES)
    assert {group for _, _, group in FIELDS} == {
        "patient", "alerts", "history", "echo", "doppler", "levels", "catheter", "flow", "balloon", "limits", "after", "done", "discharge", "own"}
    for group in {group for _, _, group in FIELDS}:
        assert len([name for name, _, of in FIELDS if of == group]) <= 11, "a group stays short on the page"


def test_a_shelf_holds_one_to_sixty_diameters_of_2_to_40_mm():
    assert read(shelf_mm="2 40; 18.5")["shelf_mm"] == [2, 40, 18.5] and len(read(shelf_mm=[5] * 60)["shelf_mm"]) == 60
    assert read(shelf_mm=[18])["shelf_mm"] == [18]
    for wrong in ([1.9], [40.1], [], [5] * 61, "18 x"):
        assert list(faults(shelf_mm=wrong)) == ["shelf_mm"], wrong


@pytest.mark.parametrize("typed", ["20,22", "18, 20, 22", "6,8", "18,5"])
def test_a_comma_in_a_shelf_is_never_guessed_at(typed):
    # 20,22 was one balloon of 20.22 mm; 6,8 may be 6.8 mm or a 6 and an 8.
    told = faults(shelf_mm=typed)["shelf_mm"]
    assert "use blanks between the sizes" in told and typed in told


CHOICES = {
    "syndrome": "none noonan williams alagille other", "earlier_treatment": "none balloon surgical_valvotomy tetralogy_repair outflow_stent other",
    "prostaglandin": "running stopped none", "duct": "open closed stented", "doppler_state": "awake sedated anaesthesia", "catheter_state": "awake sedated anaesthesia",
    "oxygen_uptake": "measured assumed", "contrast_agent": "iohexol_350 iohexol_300 iodixanol_320 iopromide_370 other", "after_waist": "gone partly unchanged",
    "after_pulmonary_regurgitation": "none mild moderate severe", "rv_function": "normal reduced falling", "atrial_gap": "none left_to_right right_to_left",
    "after_catheter_state": "awake sedated anaesthesia", "after_doppler_state": "awake sedated anaesthesia", "after_heart_block": "none passing complete",
    "after_event_level": "none minor moderate major catastrophic", "after_thrombosis": "yes no not_looked",
}
YES_OR_NO = ("preterm weight_measured symptoms looks_adult contrast_allergy latex_allergy heparin_thrombocytopenia anticoagulant pregnant metformin heart_failure "
             "liver_disease asthma inotrope treated_before aortopulmonary_shunt septal_defect supravalvar_narrowing branch_stenosis critical_stenosis "
             "rv_hypertrophy after_tear after_effusion after_performed after_beta_blocker after_died")


def test_the_words_of_every_choice_are_taken_and_no_other():
    words = {**{name: allowed.split() for name, allowed in CHOICES.items()}, **{name: ["yes", "no"] for name in YES_OR_NO.split()}}
    for name, allowed in words.items():
        assert [read(**{name: word})[name] for word in allowed] == allowed
        assert name in faults(**{name: "perhaps"}), name


@pytest.mark.parametrize("typed, value", [("yes", "yes"), (" no ", "no"), (True, "yes"), (False, "no")])
def test_a_yes_or_no_may_be_typed_or_be_a_truth(typed, value):
    assert read(symptoms=typed)["symptoms"] == value


def test_no_other_field_takes_a_truth():
    assert faults(weight_kg=True) == {"weight_kg": "Weight cannot be true or false."} and list(faults(valve=False, checked=True)) == ["checked", "valve"]


def test_a_blank_is_not_known_and_inputs_must_be_fields():
    known = read(weight_kg=" ", valve="", height_cm=None, annulus=" ")
    assert known == {"age_years": 5, "age_days": 5 * 365.25, "questions": []}
    with pytest.raises(Refusal, match="field: value"):
        read_patient([("age_years", 5)])
    assert faults(wieght_kg=3)["wieght_kg"] == "wieght_kg is not an input of the plan; nearest name: weight_kg."


def test_faults_of_all_fields_are_told_together():
    told = faults(weight_kg="heavy", valve="bicuspid", doppler_peak_mmhg=50, doppler_mean_mmhg=60)
    assert told["weight_kg"].startswith("Weight “heavy” is not a plain number") and told["weight_kg"].endswith(".")
    assert told["valve"] == "Valve must be chosen: domed or dysplastic." and list(told)[-1] == "doppler_mean_mmhg"


@pytest.mark.parametrize("typed, word", [("left_to_right", "left_to_right"), ("none", "none")])
def test_a_word_is_taken_as_it_is(typed, word):
    assert read(atrial_gap=typed)["atrial_gap"] == word


# Age


@pytest.mark.parametrize("given, years, days", [
    ({"age_years": 2}, 2, 730.5), ({"age_days": 28}, 28 / 365.25, 28), ({"age_days": 0}, 0, 0), ({"age_days": 800, "age_years": 2}, 800 / 365.25, 800)])
def test_the_age_is_known_in_years_and_in_days(given, years, days):
    made = read_patient(given)
    assert (made["age_years"], made["age_days"]) == (pytest.approx(years), pytest.approx(days))


def test_a_year_has_its_leap_day_every_fourth_and_a_month_is_its_twelfth():
    assert DAYS_A_YEAR == (3 * 365 + 366) / 4 and DAYS_A_MONTH == DAYS_A_YEAR / 12


# Years may be rounded down (4 for just under 5) or to a decimal (5.06 for 5.0).
@pytest.mark.parametrize("years, own, agree", [(4, 4, True), (4, 4.99, True), (4, 5.002, True), (4, 5.004, False), (4, 3.95, True), (4, 3.93, False), (4.06, 4, True), (4.07, 4, False)])
def test_an_age_given_twice_must_agree(years, own, agree):
    given = {"age_years": years, "age_days": own * 365.25}
    if agree:
        assert read_patient(given)["age_days"] == own * 365.25
    else:
        with pytest.raises(Refusal, match="days do not agree; give one of them") as refused:
            read_patient(given)
        assert [field for field, _ in refused.value.faults] == ["age_years"] and f"Age {years} years" in str(refused.value)


@pytest.mark.parametrize("given, said", [({}, "Age is missing: give age_years"), ({"age_years": 0}, "Age 0 years may be a newborn or an infant: give age_days.")])
def test_an_age_that_is_missing_or_nought_is_asked_for(given, said):
    with pytest.raises(Refusal, match=said) as refused:
        read_patient(given)
    assert [field for field, _ in refused.value.faults] == ["age_years"]


def test_an_age_that_could_not_be_read_is_told_once():
    for name in ("age_years", "age_days"):
        with pytest.raises(Refusal) as refused:
            read_patient({name: "old"})
        assert [field for field, _ in refused.value.faults] == [name]


# Contradictions: what is allowed at its edge, and what lies beyond

PAIRS = [
    ("doppler_mean_mmhg", "doppler_peak_mmhg", 0, "A mean Doppler gradient cannot exceed"), ("pa_diastolic_mmhg", "pa_systolic_mmhg", 0, "Pulmonary artery diastolic"),
    ("pa_systolic_mmhg", "rv_systolic_mmhg", 5, "Pulmonary artery systolic"), ("catheter_peak_to_peak_mmhg", "rv_systolic_mmhg", 5, "A catheter peak-to-peak"),
    ("catheter_mean_mmhg", "rv_systolic_mmhg", 0, "A catheter mean"), ("ra_pressure_mmhg", "rv_systolic_mmhg", 0, "Right atrial"),
]


@pytest.mark.parametrize("lower, upper, spare, said", PAIRS, ids=[row[0] for row in PAIRS])
def test_a_part_may_not_exceed_its_whole(lower, upper, spare, said):
    assert read(**{upper: 30, lower: 30 + spare})[lower] == 30 + spare and read(**{lower: 30 + spare + 1})[lower] == 31 + spare
    told = faults(**{upper: 30, lower: 31 + spare})
    assert list(told) == [lower] and told[lower].startswith(said) and told[lower].endswith(f" ({31 + spare} and 30 mmHg).")


def test_a_mean_is_held_against_the_peak_or_against_the_velocity():
    assert [read(doppler_velocity_m_s=3, doppler_mean_mmhg=mean)["doppler_mean_mmhg"] for mean in (20, 36)] == [20, 36]
    assert faults(doppler_velocity_m_s=3, doppler_mean_mmhg=37) == {
        "doppler_mean_mmhg": "A mean Doppler gradient of 37 mmHg exceeds the peak of the velocity 3 m/s (36 mmHg)."}
    assert read(doppler_velocity_m_s=3, doppler_mean_mmhg=37, doppler_peak_mmhg=38)["doppler_mean_mmhg"] == 37


# 0.5 s × 120 a minute is a whole minute.
@pytest.mark.parametrize("rate, fits", [(119, True), (120, False), (121, False)])
def test_an_ejection_is_shorter_than_its_beat(rate, fits):
    given = {"heart_rate_bpm": rate, "ejection_period_s": 0.5}
    if fits:
        assert read(**given)["heart_rate_bpm"] == rate
    else:
        assert list(faults(**given)) == ["ejection_period_s"]


# Measurements


def test_a_measurement_is_read_with_other_spellings_and_typed_numbers():
    one = {"mm": "18,4", "modality": "echocardiography", "view": "parasternal_short_axis", "frame": "open_valve"}
    assert read(annulus=one)["annulus"] == [{"mm": 18.4, "modality": "echo", "view": "short_axis", "frame": "open_valve_systole", "calibration": ""}]
    two = read(annulus=[{"mm": 18, "modality": "mri"}, {"mm": 19, "modality": "angiography", "view": "lateral_angiogram", "calibration": "none", "frame": None}])["annulus"]
    assert two == [{"mm": 18, "modality": "mr", "view": "", "frame": "not_stated", "calibration": ""},
                   {"mm": 19, "modality": "angiogram", "view": "lateral", "frame": "not_stated", "calibration": "none"}]
    assert [len(read(annulus=[one] * count)["annulus"]) for count in (1, 12)] == [1, 12]


@pytest.mark.parametrize("modality, views", [("echo", ["short_axis", "long_axis", "other"]), ("angiogram", ["lateral", "other"]), ("ct", ["other"]), ("mr", ["other"])])
def test_each_modality_has_its_own_views(modality, views):
    for view in ("short_axis", "long_axis", "lateral", "other"):
        one = {"mm": 18, "modality": modality, "view": view}
        if view in views:
            assert read(annulus=[one])["annulus"][0]["view"] == view
        else:
            assert f"entry 1: For {modality}: View must be chosen" in faults(annulus=[one])["annulus"]


@pytest.mark.parametrize("one, said", [
    ({"mm": 2.9, "modality": "echo"}, "3 to 45"), ({"mm": 45.1, "modality": "echo"}, "3 to 45"), ({"mm": 18, "modality": "xray"}, "must be chosen: echo, angiogram, ct or mr"),
    ({"modality": "echo"}, "entry 1: mm is missing."), ({"mm": 18, "modality": " "}, "entry 1: modality is missing: echo, angiogram, ct or mr."),
    ({"mm": 18, "modality": "echo", "fram": "x"}, "entry 1: fram is not a field of a measurement; nearest name: frame."),
    ({"mm": 18, "modality": "echo", "frame": "systole"}, "Say which moment"), ({"mm": 18, "modality": "echo", "frame": "diastolic"}, "Say which moment"),
    ({"mm": 18, "modality": "echo", "calibration": "guess"}, "must be chosen: marker_or_sphere")])
def test_a_measurement_that_cannot_be_is_told_with_its_place(one, said):
    assert said in faults(annulus=[one])["annulus"]
    assert said.replace("entry 1", "entry 2") in faults(annulus=[{"mm": 18, "modality": "ct"}, one])["annulus"]


def test_an_odd_frame_is_not_asked_about_twice():
    assert "Say which moment" not in faults(annulus=[{"mm": 18, "modality": "echo", "frame": "later"}])["annulus"]
    assert "Say which moment" not in faults(annulus=[{"mm": 18, "modality": "echo", "frame": 3}])["annulus"]
    for field in ("calibration", "modality"):
        assert "Say which moment" not in faults(annulus=[{"mm": 18, "modality": "echo", field: "systole"}])["annulus"]
    for edge in (3, 45):
        assert read(annulus=[{"mm": edge, "modality": "ct"}])["annulus"][0]["mm"] == edge


@pytest.mark.parametrize("wrong", [[], "18 mm", 18, [{"mm": 18, "modality": "echo"}] * 13])
def test_measurements_are_a_list_of_one_to_twelve(wrong):
    assert faults(annulus=wrong)["annulus"] == "Annulus must be a list of 1 to 12 records."


def test_entries_that_are_no_records_are_counted_from_one():
    assert faults(annulus=[3, {"mm": 18, "modality": "ct"}, "x"])["annulus"] == "Annulus: entry 1 is not a record. entry 3 is not a record."


def test_a_bolus_of_heparin_has_units_and_minutes():
    assert read(heparin={"units": "1250", "minutes_ago": 35})["heparin"] == [{"units": 1250, "minutes_ago": 35}]
    for units, minutes in ((10, 0), (20000, 240)):
        assert read(heparin=[{"units": units, "minutes_ago": minutes}])["heparin"] == [{"units": units, "minutes_ago": minutes}]
    for wrong, said in (({"units": 9, "minutes_ago": 1}, "10 to 20"), ({"units": 20001, "minutes_ago": 1}, "10 to 20"), ({"units": 100}, "minutes_ago is missing."),
                        ({"minutes_ago": 5}, "units is missing."), ({"units": 100, "minutes_ago": -1}, "Heparin of the last 4 hours counts."),
                        ({"units": 100, "minutes_ago": 241}, "Heparin of the last 4 hours counts."), ({"units": 100, "minutes_ago": 5, "route": "iv"}, "route is not a field of a heparin bolus.")):
        told = faults(heparin=[wrong])["heparin"]
        assert told.startswith("Heparin: entry 1: ") and said in told
    assert faults(heparin=[{}])["heparin"] == "Heparin: entry 1: units is missing. entry 1: minutes_ago is missing."
    assert "Heparin 9\u00a0units is outside" in faults(heparin=[{"units": 9, "minutes_ago": 1}])["heparin"]
    assert "Minutes since 241\u00a0min is outside" in faults(heparin=[{"units": 10, "minutes_ago": 241}])["heparin"]
    assert "last 4 hours" not in faults(heparin=[{"units": 9, "minutes_ago": 1}])["heparin"]
    assert len(read(heparin=[{"units": 100, "minutes_ago": 1}] * 12)["heparin"]) == 12 and faults(heparin=[])["heparin"] == "Heparin must be a list of 1 to 12 records."
    assert faults(heparin=[{"units": 100, "minutes_ago": 1}] * 13)["heparin"] == "Heparin must be a list of 1 to 12 records."


SMALL = {"mm": 3.1, "modality": "echo", "view": "short_axis", "frame": "end_systole"}  # far below the norm of five years
FIVE = {"height_cm": 110, "weight_kg": 18}


def test_an_echo_annulus_far_from_the_norm_is_refused_where_there_is_a_norm():
    assert faults(**FIVE, annulus=[{"mm": 15, "modality": "echo", "view": "long_axis"}, SMALL])["annulus"].startswith("Annulus: entry 2: ")
    assert "annulus" in faults(**FIVE, annulus=[{**SMALL, "mm": 40, "view": "long_axis"}])
    for free in (dict(FIVE, annulus=[{**SMALL, "view": "other"}]), dict(FIVE, annulus=[{**SMALL, "modality": "angiogram", "view": "lateral"}]),
                 dict(annulus=[SMALL], height_cm=110), dict(annulus=[SMALL], weight_kg=18), dict(FIVE, age_years=18.1, checked="yes", annulus=[SMALL])):
        assert read(**free)["annulus"][0]["mm"] == 3.1
    assert "annulus" in faults(**{**FIVE, "age_years": 18}, annulus=[SMALL])


# The norm itself is for 30 to 210 cm and 0.5 to 150 kg.
@pytest.mark.parametrize("size, inside", [({"height_cm": 210, "weight_kg": 80}, True), ({"height_cm": 210.1, "weight_kg": 80}, False), ({"height_cm": 170, "weight_kg": 150}, True),
                                          ({"height_cm": 170, "weight_kg": 150.1}, False), ({"height_cm": 30, "weight_kg": 0.5}, True)])
def test_beyond_the_sizes_of_the_norm_no_annulus_is_refused(size, inside):
    wide = {"mm": 45, "modality": "echo", "view": "short_axis"} if size["height_cm"] == 30 else SMALL
    given = {**size, "age_years": 17, "checked": "yes", "annulus": [wide]}
    if inside:
        assert "annulus" in faults(**given)
    else:
        assert read(**given)["annulus"][0]["mm"] == 3.1


# Questions: age in years below which a range of kilograms and centimetres passes, typed a second time

SIZES = [(28 / 365.25, (0.5, 7), (30, 65)), (1, (1.5, 16), (38, 95)), (3, (5, 30), (55, 120)), (6, (7, 50), (70, 145)), (12, (12, 100), (85, 190)), (18, (20, 180), (105, 215)),
         (999, (30, 250), (120, 220))]


def test_the_usual_sizes_change_at_their_birthdays():
    for place, (below, weights, heights) in enumerate(SIZES):
        days = below * 365.25
        if below < 100:
            assert weight_range(days - 0.01) == weights and height_range(days - 0.01) == heights
            assert weight_range(days) == SIZES[place + 1][1] and height_range(days) == SIZES[place + 1][2]
    assert weight_range(0) == (0.5, 7) and weight_range(40000) == (30, 250) and height_range(40000) == (120, 220)


@pytest.mark.parametrize("value, asked", [(6.9, True), (7, False), (50, False), (50.1, True)])
def test_a_size_outside_its_usual_range_is_asked_about(value, asked):
    told = odd_words("Weight", value, "kg", (7, 50))
    assert told == (f"Weight {value} kg is unusual at this age (7 to 50 kg): are age, weight and unit right?" if asked else "")


def test_questions_are_about_weight_height_and_both_together():
    assert read(weight_kg=51)["questions"] == ["Weight 51 kg is unusual at this age (7 to 50 kg): are age, weight and unit right?"]
    assert read(height_cm=69)["questions"] == ["Height 69 cm is unusual at this age (70 to 145 cm): are age, height and unit right?"]
    assert read(**FIVE)["questions"] == [] == read()["questions"]
    pounds = read(height_cm=110, weight_kg=39.7)["questions"]
    assert len(pounds) == 1 and "pounds" in pounds[0]
    assert len(read(height_cm=160, weight_kg=6)["questions"]) == 3
    assert read(height_cm=160, weight_kg=6, checked="yes")["questions"] == []


# Weights of usual children and adults from six weeks to old age, in kilograms, as a ward knows them; a pound is 0.45359237 kg.
@pytest.mark.parametrize("age, kilograms", [({"age_days": 42}, 5), ({"age_days": 180}, 7.6), ({"age_years": 1}, 9.6), ({"age_years": 2}, 12.5), ({"age_years": 4}, 16.5),
                                            ({"age_years": 6}, 21), ({"age_years": 8}, 26), ({"age_years": 10}, 32), ({"age_years": 13}, 46), ({"age_years": 16}, 60),
                                            ({"age_years": 40}, 70)])
def test_pounds_are_asked_about_with_and_without_a_height(age, kilograms):
    assert read_patient({**age, "weight_kg": kilograms})["questions"] == []
    pounds = kilograms / 0.45359237
    told = read_patient({**age, "weight_kg": pounds})["questions"]
    assert len(told) >= 1 and ("pounds" in told[-1] or "is unusual at this age" in told[0])
    assert read_patient({**age, "weight_kg": pounds, "checked": "yes"})["questions"] == []


def test_a_heavy_child_whose_height_fits_is_not_asked_about():
    assert "pounds (25.4 kg)" in read_patient({"age_years": 10, "weight_kg": 56})["questions"][0]
    assert read_patient({"age_years": 10, "weight_kg": 56, "height_cm": 150})["questions"] == []
    # 1.7 times the 32.5 kg of a usual child of ten
    assert read_patient({"age_years": 10, "weight_kg": 55.2})["questions"] == [] and read_patient({"age_years": 10, "weight_kg": 55.3})["questions"]


def test_an_ordinary_preterm_is_a_patient():
    for weight, height in ((1.6, 41), (0.7, 32), (1.0, 36), (2.2, 45)):
        assert read_patient({"age_days": 3, "weight_kg": weight, "height_cm": height, "preterm": "yes", "gestation_weeks": 31})["questions"] == [], (weight, height)
    assert read_patient({"age_days": 3, "weight_kg": 1.0, "height_cm": 46})["questions"], "a body mass index under 5 is asked about"
    assert read_patient({"age_days": 3, "weight_kg": 2.2, "height_cm": 48})["questions"], "from 48 cm on 10 is the least"


@pytest.mark.parametrize("lower, upper, spare", [("pa_systolic_mmhg", "rvot_systolic_mmhg", 5), ("rvot_systolic_mmhg", "rv_systolic_mmhg", 5), ("rv_end_diastolic_mmhg", "rv_systolic_mmhg", 0),
                                                 ("after_pa_systolic_mmhg", "after_rvot_systolic_mmhg", 5), ("after_rvot_systolic_mmhg", "after_rv_systolic_mmhg", 5),
                                                 ("after_pa_systolic_mmhg", "after_rv_systolic_mmhg", 5)])
def test_no_pressure_downstream_exceeds_the_one_upstream(lower, upper, spare):
    assert read(**{lower: 40 + spare, upper: 40})[lower] == 40 + spare
    told = faults(**{lower: 40.1 + spare, upper: 40})
    assert list(told) == [lower] and "cannot exceed" in told[lower]


# What was done


@pytest.mark.parametrize("name, value", [("after_balloon_mm", 18), ("after_waist", "gone"), ("after_inflations_count", 2)])
def test_an_abandoned_attempt_has_no_balloon(name, value):
    assert list(faults(after_performed="no", **{name: value})) == [name]
    assert read(after_performed="yes", **{name: value})[name] == value and read(**{name: value})[name] == value


def test_a_reason_to_abandon_needs_an_abandoned_attempt():
    assert read(after_performed="no", after_abandoned_because="not_crossed")["after_abandoned_because"] == "not_crossed"
    for given in ({}, {"after_performed": "yes"}):
        assert "after_abandoned_because" in faults(after_abandoned_because="anatomy", **given)


@pytest.mark.parametrize("harm", [{"after_died": "yes"}, {"after_heart_block": "complete"}, {"after_tear": "yes"}])
def test_harm_is_never_an_event_of_level_none(harm):
    assert "after_event_level" in faults(after_event_level="none", **harm)
    assert read(after_event_level="minor", **harm)["after_event_level"] == "minor"
    assert read(**harm).get("after_event_level") is None


def test_without_harm_none_is_a_level():
    assert read(after_event_level="none", after_died="no", after_heart_block="passing", after_tear="no")["after_event_level"] == "none"


# The department's own counts


@pytest.mark.parametrize("given, at_fault", [
    ({"own_deaths_count": 0}, "own_deaths_cases"), ({"own_deaths_cases": 46}, "own_deaths_count"), ({"own_leak_count": 3, "own_leak_cases": 2}, "own_leak_count"),
    ({"own_again_count": 0, "own_again_cases": 0}, "own_again_cases"), ({"own_again_count": 0.5, "own_again_cases": 4}, "own_again_count")])
def test_an_own_count_is_whole_has_its_cases_and_never_exceeds_them(given, at_fault):
    assert at_fault in faults(**given)


def test_an_own_count_of_none_and_of_all_is_taken():
    assert read(own_deaths_count=0, own_deaths_cases=46, own_leak_count=4, own_leak_cases=4)["own_deaths_count"] == 0

"""Situations of the laboratory's tables; the notation is explained in `decision_situations`."""

from tests.documents.edges_lab import LEFT, MEASURED
from tests.documents.edges_more import without

SILENT = ("silent", "")
NO_STEP = {"step_beyond_valve": "no", "step_at_valve": "no", "step_below_valve": "no"}

LEVEL = [
    ("level_pullback", NO_STEP, "no_step", "C-I15:none"),
    ("level_pullback", dict(NO_STEP, step_at_valve="yes"), "valvar", "C-I15:valve"),
    ("level_pullback", dict(NO_STEP, step_below_valve="yes"), "infundibular", "C-I15:infundibulum"),
    ("level_pullback", dict(NO_STEP, step_at_valve="yes", step_below_valve="yes"), "valvar_and_infundibular", "C-I15:both"),
    ("level_pullback", {"step_beyond_valve": "yes"}, "supravalvar_or_branch", "A-I75"),
    ("level_pullback", dict(NO_STEP, step_beyond_valve="yes", step_at_valve="yes"), "supravalvar_or_branch", "A-I75"),
    ("level_rv_curve", {"double_peak": "yes", "higher_peak": "early"}, "silent", ""),
    ("level_rv_curve", {"double_peak": "no", "higher_peak": "late"}, "silent", ""),
    ("level_rv_curve", {"double_peak": "yes", "higher_peak": "late"}, "infundibular", "A-I73"),
]
LEVEL_WORDS = [
    ("level_doppler", "velocity_step_at", {"late_peaking_jet": "no", "second_step_at_leaflets": "no"}, {
        "leaflets": ("valvar", "A-M100"), "below_the_valve": ("infundibular", "A-M101:step"),
        "beyond_the_valve": ("supravalvar", "A-M102"), "nowhere": SILENT}),
    ("level_doppler", "second_step_at_leaflets", {"velocity_step_at": "below_the_valve", "late_peaking_jet": "no"}, {
        "yes": ("valvar_and_infundibular", "A-M100:both"), "no": ("infundibular", "A-M101:step")}),
    ("level_doppler", "velocity_step_at", {"late_peaking_jet": "yes", "second_step_at_leaflets": "no"}, {
        "leaflets": ("valvar_and_infundibular", "A-M100:both"), "below_the_valve": ("infundibular", "A-M101:step"),
        "beyond_the_valve": ("supravalvar", "A-M102"), "nowhere": ("infundibular", "A-M101")}),
]

LEVEL_OPEN = [
    ("level_doppler", {"velocity_step_at": "leaflets"}, ["valvar", "valvar_and_infundibular"], ["late_peaking_jet"]),
    ("level_doppler", {"velocity_step_at": "below_the_valve", "late_peaking_jet": "no"}, ["valvar_and_infundibular", "infundibular"],
     ["second_step_at_leaflets"]),
]

SIZE, LABEL = ("size_on_this", "house:size_on_this"), "label_and_measure_again"
ALONE, AGAIN = "do_not_size_on_this_alone", ("calibrate_again", "house:no_scale")

SIZING = [
    ("annulus_measurement", {"annulus_frame": "not_stated"}, "do_not_size", "house:frame_not_stated"),
    ("annulus_measurement", dict(MEASURED, annulus_frame="end_diastole", annulus_view="echo"), ALONE, "B-M1"),
]
CARRY_ON = {"egfr_ml_min_173": 90, "heart_failure": "no", "liver_disease": "no", "contrast_into_artery": "no"}
SIZING_WORDS = [
    *[("metformin_us_label", word, CARRY_ON, {"no": ("carry_on", "E-EP34:label_carry_on"), "yes": ("stop_for_48_hours", "E-EP34:label_stop")})
      for word in ("heart_failure", "liver_disease", "contrast_into_artery")],
    ("annulus_measurement", "annulus_view", MEASURED, {
        "lateral_angiogram": SIZE, "other_angiogram": (LABEL, "house:other_view"), "echo": (ALONE, "B-M1"), "ct_or_mr": (ALONE, "house:ct_or_mr")}),
    ("annulus_measurement", "calibration", MEASURED, {
        "marker_or_sphere": SIZE, "clear_catheter_shaft": AGAIN, "contrast_filled_shaft": AGAIN, "none": AGAIN}),
    ("annulus_measurement", "annulus_frame", MEASURED, {
        "open_valve_systole": SIZE, "end_systole": (LABEL, "house:end_systole"), "end_diastole": (LABEL, "house:end_diastole"),
        "not_stated": ("do_not_size", "house:frame_not_stated")}),
    ("balloon_length", "age_group", {}, {
        "newborn_or_infant": ("20 mm", "B-B16:infant"), "child": ("30 mm", "B-B16:child"), "adolescent_or_adult": ("40 mm", "B-B16:adult")}),
]

CALL, NOT_YET = "stop_and_call_surgeon", ("not_yet", "house:newborn_not_yet")
GOOD = {"newborn": "yes", "forward_flow": "yes", "rv_systemic_ratio": 0.8, "saturation_stable": "yes"}

RESIDUAL = [
    ("residual_action", dict(LEFT, tear="yes"), CALL, "E-EE6:tear"),
    ("residual_action", dict(LEFT, valve_gradient_mmhg=80, new_regurgitation="moderate"), CALL, "E-EE6:regurgitation"),
    ("residual_action", dict(LEFT, valve_gradient_mmhg=12, step_below_valve="yes", rv_systemic_ratio=0.9), "stop_and_treat_muscle", "E-EE5"),
    ("residual_action", dict(LEFT, valve_gradient_mmhg=40, waist="persisted"), "one_step_up", "E-EE3"),
    ("residual_action", dict(LEFT, newborn="yes", valve_gradient_mmhg=20), "not_applicable", ""),
    ("residual_newborn", {"newborn": "yes", "forward_flow": "no"}, *NOT_YET),
    ("residual_newborn", dict(GOOD, newborn="no"), "not_applicable", ""),
    ("infundibular_action", {"rv_systemic_ratio": 0.3, "pressure_stable": "no"}, "drill", "C-I14:unstable"),
    ("infundibular_action", {"rv_systemic_ratio": 1.2, "pressure_stable": "no"}, "drill", "C-I14:unstable"),
]
RESIDUAL_WORDS = [
    ("residual_action", "new_regurgitation", dict(LEFT, valve_gradient_mmhg=20), {
        "none": ("stop", "E-EE1"), "mild": ("stop", "E-EE1"), "moderate": (CALL, "E-EE6:regurgitation"), "severe": (CALL, "E-EE6:regurgitation")}),
    ("residual_newborn", "forward_flow", GOOD, {"yes": ("stop", "house:newborn_good"), "no": NOT_YET}),
    ("residual_newborn", "saturation_stable", GOOD, {"yes": ("stop", "house:newborn_good"), "no": NOT_YET}),
]
# Exactly 30 mmHg belongs to the band of 30 to 50, so neither a good result nor a look elsewhere is still possible.
RESIDUAL_OPEN = [
    ("residual_action", without(dict(LEFT, valve_gradient_mmhg=30), "waist"), ["one_step_up", "stop_and_review"], ["waist"]),
    ("residual_action", without(dict(LEFT, valve_gradient_mmhg=30, rv_systemic_ratio=0.6), "waist"), ["one_step_up", "stop_and_review"], ["waist"]),
    ("residual_action", dict(LEFT, waist="persisted"), ["measure_again_and_upsize_once", "one_step_up", "stop"], ["valve_gradient_mmhg"]),
    ("residual_action", dict(LEFT, balloon_annulus_ratio=1.19), ["measure_again_and_upsize_once", "one_step_up", "stop"], ["valve_gradient_mmhg"]),
    ("residual_action", dict(LEFT, rv_systemic_ratio=0.497), ["measure_again_and_upsize_once", "stop_and_review", "stop"], ["valve_gradient_mmhg"]),
]

DOWN = {"pulse": "present", "balloon_down": "yes", "rhythm": "usual", "contrast_outside": "no", "fluid": "no", "other_sign": "none"}
UNSEEN = {"ventricle_on_echo": "neither", "step_on_pullback": "not_measured"}
HIGH, LOW = dict(DOWN, **UNSEEN, rv_level="high"), dict(DOWN, **UNSEEN, rv_level="low")
LOW_PRESSURE = "hypotension_after_deflation"
MUSCLE, LATE = ("dynamic_obstruction", "E-EJ1:muscle"), ("muscle_late", "E-EJ1:muscle_late")
BY_STEP, BY_STEP_LATE = ("dynamic_obstruction", "E-EE5:step"), ("muscle_late", "E-EE5:step_late")
UNPROVEN, BOTH = ("prove_it_first", "house:high_unproven"), ("muscle_valve_or_lungs", "house:both_high")
LUNGS, EMPTY = ("lung_pressure", "house:lungs"), ("muscle_emptied", "E-EJ1:empty_muscle")
STILL, AGAIN_LOOK = ("failing_ventricle", "E-EJ1:failing"), ("look_again", "house:look_again")
LOSS, WIDE = ("blood_loss", "house:loss"), ("deep_or_allergy", "house:wide_vessels")

DRILL = [
    (LOW_PRESSURE, {"pulse": "absent"}, "arrest", "E-EJ14"),
    (LOW_PRESSURE, dict(HIGH, pulse="absent", rhythm="slow"), "arrest", "E-EJ14"),
    (LOW_PRESSURE, {"pulse": "present", "balloon_down": "no"}, "deflate", "E-EJ1:balloon"),
    (LOW_PRESSURE, dict(HIGH, balloon_down="no", contrast_outside="yes", ra_level="high"), "deflate", "E-EJ1:balloon"),
    (LOW_PRESSURE, dict(HIGH, rhythm="fast_or_chaotic", ra_level="high"), "rhythm", "E-EJ1:chaotic"),
    (LOW_PRESSURE, dict(LOW, rhythm="slow", ra_level="ordinary"), "slow_rhythm", "E-EJ4"),
    (LOW_PRESSURE, dict(LOW, contrast_outside="yes", ra_level="high"), "tear", "E-EJ3:contrast"),
    (LOW_PRESSURE, dict(LOW, contrast_outside="yes", fluid="yes", ra_level="high"), "tear", "E-EJ3:contrast"),
    (LOW_PRESSURE, dict(HIGH, ra_level="ordinary", ventricle_on_echo="outflow_shutting", step_on_pullback="below_valve"), *MUSCLE),
    (LOW_PRESSURE, dict(HIGH, ra_level="high", ventricle_on_echo="outflow_shutting", step_on_pullback="none"), *LATE),
    (LOW_PRESSURE, dict(HIGH, ra_level="low", step_on_pullback="below_valve"), *BY_STEP),
    (LOW_PRESSURE, dict(HIGH, ra_level="low", ventricle_on_echo="big_and_still", step_on_pullback="below_valve"), "obstructed_and_failing", "house:high_still"),
    (LOW_PRESSURE, dict(HIGH, ra_level="high", step_on_pullback="at_valve"), *BOTH),
    (LOW_PRESSURE, dict(LOW, ra_level="low", ventricle_on_echo="small_and_brisk"), *LOSS),
    (LOW_PRESSURE, dict(LOW, ra_level="high", ventricle_on_echo="small_and_brisk"), *AGAIN_LOOK),
    (LOW_PRESSURE, dict(LOW, rv_level="between", ra_level="high", ventricle_on_echo="outflow_shutting"), *EMPTY),
    (LOW_PRESSURE, dict(LOW, ra_level="low", step_on_pullback="below_valve"), *LOSS),
    (LOW_PRESSURE, dict(LOW, ra_level="high", step_on_pullback="below_valve"), *AGAIN_LOOK),
]
DRILL_WORDS = [
    # fluid decides whatever the numbers, the skin or the outflow show
    *[(LOW_PRESSURE, "ra_level", dict(numbers, fluid="yes", other_sign=sign, ventricle_on_echo=echo),
       dict.fromkeys(("high", "ordinary", "low"), ("tamponade", "E-EJ3:fluid")))
      for numbers in (HIGH, LOW) for sign in ("none", "skin_or_airway") for echo in ("outflow_shutting", "big_and_still")],
    *[(LOW_PRESSURE, "other_sign", dict(numbers, ra_level="ordinary", ventricle_on_echo="outflow_shutting"), {
        "none": plain, "skin_or_airway": ("allergy", "E-EJ10"), "froth_or_blood": ("lungs_flooded", "E-EJ5"), "bubbles": ("air", "E-EJ6"),
        "v_wave": ("tricuspid_leak", "house:v_wave"), "circular_shunt": ("circular_shunt", "house:circular")})
      for numbers, plain in ((HIGH, MUSCLE), (LOW, EMPTY))],
    (LOW_PRESSURE, "ra_level", dict(HIGH, ventricle_on_echo="outflow_shutting"), {"high": LATE, "ordinary": MUSCLE, "low": MUSCLE}),
    (LOW_PRESSURE, "ra_level", dict(HIGH, step_on_pullback="below_valve"), {"high": BY_STEP_LATE, "ordinary": BY_STEP, "low": BY_STEP}),
    (LOW_PRESSURE, "ra_level", HIGH, {"high": BOTH, "ordinary": UNPROVEN, "low": UNPROVEN}),
    (LOW_PRESSURE, "ra_level", dict(HIGH, step_on_pullback="none"), dict.fromkeys(("high", "ordinary", "low"), LUNGS)),
    (LOW_PRESSURE, "ra_level", LOW, {"high": AGAIN_LOOK, "ordinary": WIDE, "low": LOSS}),
    (LOW_PRESSURE, "ra_level", dict(LOW, ventricle_on_echo="big_and_still"), dict.fromkeys(("high", "ordinary", "low"), STILL)),
    (LOW_PRESSURE, "ra_level", dict(LOW, ventricle_on_echo="outflow_shutting"), dict.fromkeys(("high", "ordinary", "low"), EMPTY)),
    (LOW_PRESSURE, "rv_level", dict(LOW, ra_level="ordinary"), {"high": UNPROVEN, "between": WIDE, "low": WIDE}),
    (LOW_PRESSURE, "rv_level", dict(LOW, ra_level="high"), {"high": BOTH, "between": AGAIN_LOOK, "low": AGAIN_LOOK}),
    (LOW_PRESSURE, "rv_level", dict(LOW, ra_level="ordinary", ventricle_on_echo="outflow_shutting"), {"high": MUSCLE, "between": EMPTY, "low": EMPTY}),
    (LOW_PRESSURE, "rv_level", dict(LOW, ra_level="ordinary", ventricle_on_echo="big_and_still"), {
        "high": ("obstructed_and_failing", "house:high_still"), "between": STILL, "low": STILL}),
    (LOW_PRESSURE, "rv_level", dict(LOW, ra_level="ordinary", step_on_pullback="below_valve"), {"high": BY_STEP, "between": WIDE, "low": WIDE}),
    (LOW_PRESSURE, "ventricle_on_echo", dict(LOW, ra_level="ordinary"), {
        "outflow_shutting": EMPTY, "big_and_still": STILL, "small_and_brisk": ("blood_loss_or_allergy", "house:loss_brisk"), "neither": WIDE}),
    (LOW_PRESSURE, "step_on_pullback", dict(HIGH, ra_level="ordinary"), {
        "below_valve": BY_STEP, "at_valve": ("valve_still_tight", "house:valve_tight"), "none": LUNGS, "not_measured": UNPROVEN}),
    (LOW_PRESSURE, "step_on_pullback", dict(LOW, ra_level="ordinary"), dict.fromkeys(("below_valve", "at_valve", "none", "not_measured"), WIDE)),
]
# Nothing is settled before the fluid was looked for, whatever the numbers say.
DRILL_OPEN = [
    (LOW_PRESSURE, without(dict(HIGH, ra_level="ordinary", ventricle_on_echo="outflow_shutting"), "fluid"), ["dynamic_obstruction", "tamponade"], ["fluid"]),
    (LOW_PRESSURE, without(dict(LOW, ra_level="high", ventricle_on_echo="big_and_still"), "fluid"), ["failing_ventricle", "tamponade"], ["fluid"]),
    (LOW_PRESSURE, without(dict(HIGH, ra_level="ordinary", step_on_pullback="at_valve"), "ventricle_on_echo"),
     ["dynamic_obstruction", "obstructed_and_failing", "valve_still_tight"], ["ventricle_on_echo"]),
]

"""Situations of the laboratory's tables; the notation is explained in `decision_situations`."""

from tests.decision_edges_lab import LEFT, MEASURED
from tests.decision_edges_more import without

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
    ("level_doppler", "velocity_step_at", {"late_peaking_jet": "no"}, {
        "leaflets": ("valvar", "A-M100"), "below_the_valve": ("infundibular", "A-M101:step"),
        "beyond_the_valve": ("supravalvar", "A-M102"), "nowhere": SILENT}),
    ("level_doppler", "velocity_step_at", {"late_peaking_jet": "yes"}, {
        "leaflets": ("valvar_and_infundibular", "A-M100:both"), "below_the_valve": ("infundibular", "A-M101:step"),
        "beyond_the_valve": ("supravalvar", "A-M102"), "nowhere": ("infundibular", "A-M101")}),
]

LEVEL_OPEN = [
    ("level_doppler", {"velocity_step_at": "leaflets"}, ["valvar", "valvar_and_infundibular"], ["late_peaking_jet"]),
]

SIZE, LABEL = ("size_on_this", "house:size_on_this"), "label_and_measure_again"
ALONE, AGAIN = "do_not_size_on_this_alone", ("calibrate_again", "house:no_scale")

SIZING = [
    ("annulus_measurement", {"annulus_frame": "not_stated"}, "do_not_size", "house:frame_not_stated"),
    ("annulus_measurement", dict(MEASURED, annulus_frame="end_diastole", annulus_view="echo"), ALONE, "B-M1"),
]
SIZING_WORDS = [
    ("annulus_measurement", "annulus_view", MEASURED, {
        "lateral_angiogram": SIZE, "other_angiogram": (LABEL, "house:other_view"), "echo": (ALONE, "B-M1"), "ct_or_mr": (ALONE, "house:ct_or_mr")}),
    ("annulus_measurement", "calibration", MEASURED, {
        "marker_or_sphere": SIZE, "clear_catheter_shaft": SIZE, "contrast_filled_shaft": AGAIN, "none": AGAIN}),
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

DOWN = {"pulse": "present", "balloon_down": "yes", "rhythm": "usual", "contrast_outside": "no", "effusion": "no"}
RV_HIGH, RV_LOW = dict(DOWN, rv_pressure="high"), dict(DOWN, rv_pressure="low")

DRILL = [
    ("hypotension_after_deflation", {"pulse": "absent"}, "arrest", "E-EJ14"),
    ("hypotension_after_deflation", dict(RV_HIGH, pulse="absent", rhythm="slow"), "arrest", "E-EJ14"),
    ("hypotension_after_deflation", {"pulse": "present", "balloon_down": "no"}, "deflate", "E-EJ1:balloon"),
    ("hypotension_after_deflation", dict(RV_HIGH, balloon_down="no", contrast_outside="yes", ra_pressure="high"), "deflate", "E-EJ1:balloon"),
    ("hypotension_after_deflation", dict(RV_HIGH, rhythm="fast_or_chaotic", ra_pressure="high"), "rhythm", "E-EJ1:chaotic"),
    ("hypotension_after_deflation", dict(RV_LOW, rhythm="slow", ra_pressure="usual"), "slow_rhythm", "E-EJ4"),
    ("hypotension_after_deflation", dict(RV_LOW, contrast_outside="yes", ra_pressure="high"), "tear", "E-EJ3:contrast"),
    ("hypotension_after_deflation", dict(RV_LOW, contrast_outside="yes", effusion="yes", ra_pressure="high"), "tear", "E-EJ3:contrast"),
    ("hypotension_after_deflation", dict(RV_LOW, effusion="yes", ra_pressure="high"), "tamponade", "E-EJ3:effusion"),
]
DRILL_WORDS = [
    ("hypotension_after_deflation", "ra_pressure", RV_HIGH, {
        "usual": ("dynamic_obstruction", "E-EJ1:obstruction"), "high": ("obstructed_and_failing", "house:both_high")}),
    ("hypotension_after_deflation", "ra_pressure", RV_LOW, {
        "usual": ("look_for_loss", "house:both_low"), "high": ("failing_ventricle", "E-EJ1:failing")}),
]
DRILL_OPEN = [
    ("hypotension_after_deflation", dict(DOWN, ra_pressure="usual"), ["dynamic_obstruction", "look_for_loss"], ["rv_pressure"]),
    ("hypotension_after_deflation", dict(DOWN, ra_pressure="high"), ["failing_ventricle", "obstructed_and_failing"], ["rv_pressure"]),
    ("hypotension_after_deflation", RV_HIGH, ["dynamic_obstruction", "obstructed_and_failing"], ["ra_pressure"]),
]

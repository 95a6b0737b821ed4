"""Situations of the laboratory's tables; the notation is explained in `decision_situations`."""

from tests.decision_edges_lab import LEFT, MEASURED

LEVEL = [
    ("level_pullback", {"step_beyond_valve": "no", "step_at_valve": "yes", "step_below_valve": "yes"}, "valvar_and_infundibular", "C-I15:both"),
    ("level_pullback", {"step_beyond_valve": "yes"}, "supravalvar_or_branch", "A-I75"),
    ("level_doppler", {"velocity_step_at": "leaflets", "late_peaking_jet": "no"}, "valvar", "A-M100"),
    ("level_rv_curve", {"double_peak": "yes", "higher_peak": "late"}, "infundibular", "A-I73"),
]

SIZING = [
    ("annulus_measurement", {"annulus_frame": "not_stated"}, "do_not_size", "house:frame_not_stated"),
    ("annulus_measurement", dict(MEASURED, annulus_view="echo"), "do_not_size_on_this_alone", "B-M1"),
    ("annulus_measurement", dict(MEASURED, calibration="contrast_filled_shaft"), "calibrate_again", "house:no_scale"),
    ("annulus_measurement", dict(MEASURED, annulus_frame="end_diastole"), "label_and_measure_again", "house:end_diastole"),
]

RESIDUAL = [
    ("residual_action", dict(LEFT, tear="yes"), "stop_and_call_surgeon", "E-EE6:tear"),
    ("residual_action", dict(LEFT, valve_gradient_mmhg=80, new_regurgitation="moderate"), "stop_and_call_surgeon", "E-EE6:regurgitation"),
    ("residual_action", dict(LEFT, valve_gradient_mmhg=12, step_below_valve="yes", rv_systemic_ratio=0.9), "stop_and_treat_muscle", "E-EE5"),
    ("residual_action", dict(LEFT, valve_gradient_mmhg=40, waist="persisted"), "one_step_up", "E-EE3"),
    ("residual_newborn", {"newborn": "yes", "forward_flow": "no"}, "not_yet", "house:newborn_not_yet"),
    ("hypotension_after_deflation", {"pulse": "absent"}, "arrest", "E-EJ14"),
    ("hypotension_after_deflation", {"pulse": "present", "balloon_down": "no"}, "deflate", "E-EJ1:balloon"),
    ("hypotension_after_deflation", {"pulse": "present", "balloon_down": "yes", "rhythm": "usual", "contrast_outside": "no",
                                     "effusion": "no", "rv_pressure": "high", "ra_pressure": "usual"}, "dynamic_obstruction", "E-EJ1:obstruction"),
    ("hypotension_after_deflation", {"pulse": "present", "balloon_down": "yes", "rhythm": "usual", "contrast_outside": "no",
                                     "effusion": "yes", "rv_pressure": "low", "ra_pressure": "high"}, "tamponade", "E-EJ3:effusion"),
]

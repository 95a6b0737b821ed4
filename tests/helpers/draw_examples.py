"""Inputs for every picture: one with what its alternative text must say, and more that reach each of its branches."""

import functools
import math
import xml.etree.ElementTree as ElementTree

from pvcalc.draw import svg
from pvcalc.handbook.data import catalogue

catalogue.load()
SVG = "{http://www.w3.org/2000/svg}"
ZONES = [{"accepted_low_ratio": 1.15, "target_low_ratio": 1.2, "target_high_ratio": 1.25, "accepted_high_ratio": 1.3,
          "forbidden_above_ratio": 1.5}]
FRAME = {"frame": "open_valve_systole", "zones": ZONES}
BANDS = [{"low": 0, "words": "as planned"}, {"low": 5, "words": "think"}, {"low": 6, "words": "say why"}, {"low": 8, "words": "stop"}]
# One beat of 0.8 s: a ventricle between 5 and 85 mmHg, an artery between 10 and 22.
RV = [5 + 80 * max(0.0, math.sin(math.pi * (i - 20) / 40)) if 20 <= i <= 60 else 5 for i in range(100)]
PA = [10 + 12 * max(0.0, math.sin(math.pi * (i - 22) / 45)) if 22 <= i <= 67 else 10 for i in range(100)]

# name, inputs, and what the alternative text must say with these inputs
EXAMPLES = [
    ("balloon_on_annulus", {"annulus_mm": 18.4, "balloon_mm": 22.5, **FRAME}, ["18.4\u00a0mm", "22.5\u00a0mm", "1.22", "target", "1.20 to 1.25"]),
    ("two_balloons_belt", {"annulus_mm": 28, "balloon_a_mm": 18, "balloon_b_mm": 23, **FRAME},
     ["23 and 18 mm", "28 mm", "33.65", "1.202", "41.0\u00a0mm", "105.7"]),
    ("error_band", {"intended_ratio": 1.25, "measurement_error_percent": 10, **FRAME}, ["1.25", "10.0\u00a0%", "1.13", "1.38"]),
    ("hinge_points", {"diastole_wider_percent": 25.3, "lowest_percent": 6, "highest_percent": 53}, ["25\u00a0%", "6\u00a0%", "53\u00a0%"]),
    ("phase_spread", {"annulus_mm": 16, "measured_in": "end_systole", "valve": "typical"}, ["16.0\u00a0mm", "17.0", "24.5\u00a0mm", "Never"]),
    ("valve_open_shut", {}, ["Domed", "Dysplastic"]),
    ("outflow_levels", {}, ["below the valve", "at the valve", "above the valve"]),
    ("catheter_course", {}, ["tricuspid", "between its chords"]),
    ("balloon_position", {}, ["Too low", "Right", "Too high", "Slipped"]),
    ("low_pressure_recogniser", {}, ["Tamponade", "FLUID: drain", "RV BETWEEN", "RA mostly HIGH"]),
    ("waist", {}, ["Appears", "Gone", "Comes back"]),
    ("pressure_traces", {"rv_mmhg": RV, "pa_mmhg": PA, "sampling_hz": 125}, ["A model, not your patient", "85\u00a0mmHg", "22\u00a0mmHg", "63\u00a0mmHg"]),
    ("damping", {"natural_frequency_hz": 15, "over_damping_ratio": 1.5, "good_damping_ratio": 0.65, "under_damping_ratio": 0.15},
     ["1.50", "0.65", "0.15", "15.0\u00a0Hz"]),
    ("two_level_pullback", {"pa_systolic_mmhg": 22, "pa_diastolic_mmhg": 9, "infundibulum_systolic_mmhg": 38, "rv_systolic_mmhg": 71,
                            "rv_diastolic_mmhg": 6}, ["22 over 9", "38 over 6", "71 over 6", "16\u00a0mmHg", "33\u00a0mmHg", "49\u00a0mmHg"]),
    ("valvar_or_infundibular", {}, ["notch", "late in systole"]),
    ("inflation_time_line", {"pacing_s": [0.5, 9.5], "inflate_s": 2, "waist_gone_s": 4.5, "deflate_s": 5.5, "empty_s": 9, "limit_s": 10},
     ["0.5 s", "4.5 s", "7.0 s", "within"]),
    ("icon_array", {"events": 2, "cases": 822, "out_of": 1000, "confidence": 0.95, "event_words": "died", "population_words": "all ages, 1980s"},
     ["2 in 1000", "fewer than 1 to 9", "998 in 1000", "2 of 822", "95\u00a0%"]),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 5.6, "highest": 10, "bands": BANDS}, ["5.6\u00a0mL/kg", "band 2", "8\u00a0mL/kg: stop"]),
    ("step_hazard", {"years": [1, 2, 5, 10], "event_free_fractions": [0.94, 0.89, 0.88, 0.84], "event_words": "a second procedure"},
     ["6.19", "5.47", "0.38", "0.93", "1.74", "84\u00a0%"]),
    ("cusum_chart", {"outcomes": [0, 1, 1, 1, 1, 1], "acceptable_fraction": 0.09, "unacceptable_fraction": 0.18, "alpha": 0.1, "beta": 0.1},
     ["0.131", "2.76", "5 failures", "6 cases", "case 5"]),
    ("event_free_chart", {"times_years": [0.5, 1, 2.5, 3, 4, 6], "events": [1, 0, 1, 0, 0, 0], "confidence": 0.95, "event_words": "a second procedure"},
     ["2 events in 6", "at 2 years 83.3\u00a0%", "at 4 years 62.5\u00a0%", "2 at risk"]),
    ("funnel_chart", {"benchmark_fraction": 0.071, "inner_confidence": 0.95, "outer_confidence": 0.998, "unit_events": [4, 8],
                      "unit_cases": [50, 50], "event_words": "Adverse events"}, ["4 of 50", "8 of 50", "16.0\u00a0%", "7.1\u00a0%", "99.8\u00a0%"]),
]

ONE_FRAME = [{"frame": "open_valve_systole", **ZONES[0]}]
OUTCOMES = [1 if place % 7 == 3 or place % 11 == 5 else 0 for place in range(90)]
FOLLOWED = [0.1 + 0.13 * place for place in range(60)]
LONG_RV = [4 + 50 * max(0.0, math.sin(math.pi * (i % 160 - 30) / 70)) if 30 <= i % 160 <= 100 else 4 - 6 * (i % 160 == 110) for i in range(330)]
LONG_PA = [8 + 14 * max(0.0, math.sin(math.pi * (i % 160 - 40) / 70)) if 40 <= i % 160 <= 110 else 8 for i in range(330)]
PULLED = {"pa_systolic_mmhg": 20, "pa_diastolic_mmhg": 8, "infundibulum_systolic_mmhg": 20, "rv_systolic_mmhg": 80, "rv_diastolic_mmhg": -3}
CONSENT = {"confidence": 0.95, "event_words": "had a tear of the valve that needed an operation", "population_words": "babies up to 28 days, two centres"}
CUSUM = {"acceptable_fraction": 0.1, "unacceptable_fraction": 0.2, "alpha": 0.1, "beta": 0.1}

# name and inputs, one line for each way a picture can turn out
MORE = [
    ("balloon_on_annulus", {"annulus_mm": 5, "balloon_mm": 9, **FRAME}),
    ("balloon_on_annulus", {"annulus_mm": 25, "balloon_mm": 18, **FRAME}),
    ("balloon_on_annulus", {"annulus_mm": 24, "balloon_mm": 30, "frame": "not_stated", "zones": ZONES}),
    ("balloon_on_annulus", {"annulus_mm": 24, "balloon_mm": 30, "frame": "end_diastole", "zones": ONE_FRAME}),
    ("balloon_on_annulus", {"annulus_mm": 24, "balloon_mm": 36, **FRAME}),
    ("balloon_on_annulus", {"annulus_mm": 24, "balloon_mm": 18, "frame": "not_stated", "zones": ZONES}),
    ("balloon_on_annulus", {"annulus_mm": 20, "balloon_mm": 16, "frame": "end_systole", "zones": ZONES}),
    ("balloon_on_annulus", {"annulus_mm": 20, "balloon_mm": 34, "frame": "end_diastole", "zones": ZONES}),
    ("balloon_on_annulus", {"annulus_mm": 3, "balloon_mm": 2, "frame": "not_stated", "zones": ZONES}),
    ("balloon_on_annulus", {"annulus_mm": 4.5, "balloon_mm": 4, "frame": "not_stated", "zones": ZONES}),
    ("two_balloons_belt", {"annulus_mm": 30, "balloon_a_mm": 20, "balloon_b_mm": 20, **FRAME}),
    ("two_balloons_belt", {"annulus_mm": 9, "balloon_a_mm": 8, "balloon_b_mm": 10, **FRAME}),
    ("two_balloons_belt", {"annulus_mm": 22, "balloon_a_mm": 25, "balloon_b_mm": 12, "frame": "not_stated", "zones": ZONES}),
    ("two_balloons_belt", {"annulus_mm": 26, "balloon_a_mm": 10, "balloon_b_mm": 12, "frame": "end_diastole", "zones": ONE_FRAME}),
    ("error_band", {"intended_ratio": 1.5, "measurement_error_percent": -40, **FRAME}),
    ("error_band", {"intended_ratio": 0.9, "measurement_error_percent": 12, **FRAME}),
    ("error_band", {"intended_ratio": 1.2, "measurement_error_percent": 5, "frame": "not_stated", "zones": ZONES}),
    ("error_band", {"intended_ratio": 1.2, "measurement_error_percent": 0, **FRAME}),
    ("error_band", {"intended_ratio": 1.22, "measurement_error_percent": 0.5, **FRAME}),
    ("error_band", {"intended_ratio": 1.45, "measurement_error_percent": 9, **FRAME}),
    ("error_band", {"intended_ratio": 0.96, "measurement_error_percent": 8, **FRAME}),
    ("hinge_points", {"diastole_wider_percent": 0, "lowest_percent": 0, "highest_percent": 0}),
    ("hinge_points", {"diastole_wider_percent": 50, "lowest_percent": 20, "highest_percent": 100}),
    ("hinge_points", {"diastole_wider_percent": 100, "lowest_percent": 100, "highest_percent": 100}),
    ("phase_spread", {"annulus_mm": 24.5, "measured_in": "end_diastole", "valve": "typical"}),
    ("phase_spread", {"annulus_mm": 9, "measured_in": "end_systole", "valve": "dysplastic"}),
    ("phase_spread", {"annulus_mm": 18, "measured_in": "end_diastole", "valve": "dysplastic"}),
    ("pressure_traces", {"rv_mmhg": LONG_RV, "pa_mmhg": LONG_PA, "sampling_hz": 200}),
    ("pressure_traces", {"rv_mmhg": [value * 2.2 - 6 for value in RV], "pa_mmhg": PA, "sampling_hz": 100}),
    ("pressure_traces", {"rv_mmhg": [10 if i == 70 else value for i, value in enumerate(RV + RV[:50])], "pa_mmhg": PA + PA[:50], "sampling_hz": 125}),
    ("pressure_traces", {"rv_mmhg": [value / 5 for value in RV], "pa_mmhg": [value / 3 for value in PA], "sampling_hz": 125}),
    ("damping", {"natural_frequency_hz": 5, "over_damping_ratio": 1, "good_damping_ratio": 0.7, "under_damping_ratio": 0.05}),
    ("damping", {"natural_frequency_hz": 40, "over_damping_ratio": 1.05, "good_damping_ratio": 0.5, "under_damping_ratio": 0.3}),
    ("two_level_pullback", PULLED),
    ("two_level_pullback", {**PULLED, "infundibulum_systolic_mmhg": 60, "rv_systolic_mmhg": 60, "rv_diastolic_mmhg": 8}),
    ("two_level_pullback", {**PULLED, "infundibulum_systolic_mmhg": 100, "rv_systolic_mmhg": 180, "rv_diastolic_mmhg": 0}),
    ("inflation_time_line", {"pacing_s": [], "inflate_s": 1, "waist_gone_s": 4, "deflate_s": 4.5, "empty_s": 9, "limit_s": 6}),
    ("inflation_time_line", {"pacing_s": [1, 19], "inflate_s": 3, "waist_gone_s": 9, "deflate_s": 12, "empty_s": 17, "limit_s": 15}),
    ("inflation_time_line", {"pacing_s": [], "inflate_s": 5, "waist_gone_s": 16, "deflate_s": 25, "empty_s": 41, "limit_s": 40}),
    ("inflation_time_line", {"pacing_s": [0, 41], "inflate_s": 1, "waist_gone_s": 16, "deflate_s": 16.8, "empty_s": 40, "limit_s": 30}),
    ("inflation_time_line", {"pacing_s": [1, 9], "inflate_s": 2, "waist_gone_s": 5, "deflate_s": 5, "empty_s": 9, "limit_s": 9}),
    ("inflation_time_line", {"pacing_s": [], "inflate_s": 3, "waist_gone_s": 10, "deflate_s": 15, "empty_s": 20, "limit_s": 20}),
    ("inflation_time_line", {"pacing_s": [], "inflate_s": 1, "waist_gone_s": 4, "deflate_s": 9, "empty_s": 20, "limit_s": 23}),
    ("icon_array", {"events": 81, "cases": 263, "out_of": 100, **CONSENT}),
    ("icon_array", {"events": 0, "cases": 20, "out_of": 100, **CONSENT}),
    ("icon_array", {"events": 1, "cases": 300, "out_of": 100, **CONSENT}),
    ("icon_array", {"events": 20, "cases": 20, "out_of": 100, **CONSENT}),
    ("icon_array", {"events": 0, "cases": 822, "out_of": 1000, **CONSENT}),
    ("icon_array", {"events": 130, "cases": 800, "out_of": 1000, **CONSENT}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 0.4, "highest": 10, "bands": BANDS[:1] + BANDS[3:]}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 12, "highest": 10, "bands": BANDS[:1] + BANDS[2:]}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 6, "highest": 10, "bands": BANDS}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 5.951, "highest": 10, "bands": BANDS}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 5.946, "highest": 9, "bands": BANDS}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 10, "highest": 10, "bands": [
        {"low": 0, "words": "as planned"}, {"low": 2.0625, "words": "think"}, {"low": 5.125, "words": "say why"}, {"low": 7.5, "words": "stop"}]}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 5, "highest": 10, "bands": [{**band, "words": band["words"] + " of it, and write down why it is so much" * 2}
                                                                                  for band in BANDS]}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 8, "highest": 10, "bands": BANDS}),
    ("band_bar", {"quantity": "contrast_ml_per_kg", "value": 0.02, "highest": 10, "bands": BANDS[:1] + BANDS[2:]}),
    ("band_bar", {"quantity": "rise_mmhg", "value": 5.6, "highest": 10, "bands": BANDS}),
    ("step_hazard", {"years": [0.5, 3], "event_free_fractions": [0.5, 0.31], "event_words": "death"}),
    ("step_hazard", {"years": [1, 2, 30], "event_free_fractions": [1, 0.98, 0.7], "event_words": "valve replacement"}),
    ("cusum_chart", {"outcomes": OUTCOMES, **CUSUM}),
    ("cusum_chart", {"outcomes": [0] * 30, **CUSUM}),
    ("cusum_chart", {"outcomes": [1, 1, 0, 0] * 250, **CUSUM}),
    ("cusum_chart", {"outcomes": [0, 1, 0, 0, 0, 0, 0, 0], **CUSUM}),
    ("event_free_chart", {"times_years": FOLLOWED, "events": [int(place % 3 == 1) for place in range(60)], "confidence": 0.9, "event_words": "a second balloon"}),
    ("event_free_chart", {"times_years": [3, 20, 25, 30, 40, 40, 41, 42, 43, 45], "events": [1] + [0] * 9, "confidence": 0.95, "event_words": "death"}),
    ("event_free_chart", {"times_years": [0.01 * place for place in range(1, 601)], "events": [1] * 600, "confidence": 0.95, "event_words": "a visit"}),
    ("event_free_chart", {"times_years": [0.1, 0.2, 0.3, 0.5], "events": [0, 1, 1, 0], "confidence": 0.8, "event_words": "reopening"}),
    ("funnel_chart", {"benchmark_fraction": 0.3, "inner_confidence": 0.95, "outer_confidence": 0.998, "unit_events": [12, 3, 40],
                      "unit_cases": [20, 30, 110], "event_words": "Second procedures"}),
    ("funnel_chart", {"benchmark_fraction": 0.4, "inner_confidence": 0.95, "outer_confidence": 0.998, "unit_events": [40], "unit_cases": [40],
                      "event_words": "Recoils"}),
    ("funnel_chart", {"benchmark_fraction": 0.01, "inner_confidence": 0.9, "outer_confidence": 0.99, "unit_events": [0, 3],
                      "unit_cases": [300, 420], "event_words": "Tears"}),
]
INPUTS = [(name, inputs) for name, inputs, _ in EXAMPLES] + MORE
IDS = [f"{name}-{sum(1 for before, _ in INPUTS[:place] if before == name)}" for place, (name, _) in enumerate(INPUTS)]


def parsed(name, inputs, picture_id="one"):
    """A picture as a tree of elements."""
    return ElementTree.fromstring(svg.picture(name, inputs, picture_id))


@functools.cache
def example(place):
    """The tree of `INPUTS[place]`, drawn once."""
    return parsed(*INPUTS[place])


def by_class(root, tag, look):
    """Elements of one tag that have a look."""
    return [each for each in root.iter(SVG + tag) if look in (each.get("class") or "").split()]

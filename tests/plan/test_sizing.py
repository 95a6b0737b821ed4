"""The balloon of a plan on an invented shelf, each ratio by hand: which annulus counts, its z, the choices and what stops a proposal."""

import pytest

from pvcalc.formulas.body_size import annulus_z
from pvcalc.plan.sizing import (
    Z_SENTENCE, balloon_words, counting, difference_percent, judged, label_words, measured_words, passed_row,
    sizing, surface,
)
from pvcalc.plan.sizing import table_view, z_scores

ZONES = {"target_low_ratio": 1.2, "target_high_ratio": 1.25, "accepted_low_ratio": 1.1, "accepted_high_ratio": 1.3, "forbidden_above_ratio": 1.5}
BALLOON = {"length_mm": 40.0, "family": "Invented", "nominal_atm": 2.0, "rated_atm": 4.0, "sheath_french": 8.0, "wire_inch": 0.035}
# Errors of 3, 4 and 0 %: 5 % together.
SETTINGS = {**ZONES, "accepted_low_newborn_ratio": 1.0, "calibration_error_percent": 3.0, "caliper_error_percent": 4.0, "balloon_error_percent": 0.0,
            "smaller_annulus_limit_ratio": 1.3, "balloon_shelf": [{**BALLOON, "diameter_mm": width} for width in (18.0, 24.0, 28.0)]}
OPEN = {"mm": 20, "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}
ECHO = {"mm": 20, "modality": "echo", "view": "short_axis", "frame": "open_valve_systole", "calibration": ""}
CHILD = {"age_years": 8, "newborn": "no", "questions": [], "height_cm": 127, "weight_kg": 25}


@pytest.fixture
def data(loaded):
    """Invented settings, and the handbook's two tables about a measurement."""
    return {"settings": SETTINGS, "notes": {key: {"seen": "read"} for key in SETTINGS},
            "tables": {name: loaded.tables[name] for name in ("annulus_measurement", "balloon_over_smaller")}}


@pytest.mark.parametrize("change, words", [
    ({}, "20 mm, angiogram, lateral, early to mid systole, valve open"), ({"view": "", "modality": "ct"}, "20 mm, CT, view not stated, early to mid systole, valve open"),
    ({"modality": "mr", "view": "other", "frame": "not_stated"}, "20 mm, MR, other, frame not stated"), ({"modality": "echo", "view": "short_axis", "frame": "end_systole"}, "20 mm, echo, short axis, end-systole")])
def test_a_measurement_in_words(change, words):
    assert measured_words({**OPEN, **change}) == words


@pytest.mark.parametrize("modality, view, asked", [("angiogram", "lateral", "lateral_angiogram"), ("angiogram", "other", "other_angiogram"), ("angiogram", "", None),
                                                   ("echo", "", "echo"), ("ct", "other", "ct_or_mr"), ("mr", "", "ct_or_mr")])
def test_the_view_as_the_measurement_table_asks_for_it(modality, view, asked):
    assert table_view({**OPEN, "modality": modality, "view": view}) == asked


def test_a_measurement_is_judged_by_its_frame_view_scale_and_the_other_modality(data):
    assert judged(data, OPEN)["answer"] == "size_on_this" and judged(data, OPEN, 10)["answer"] == "size_on_this" and judged(data, OPEN, 10.1)["answer"] == "measure_again"
    assert judged(data, {**OPEN, "calibration": ""})["missing"] == ["calibration"] and judged(data, {**OPEN, "calibration": "none"})["answer"] == "calibrate_again"


# The open valve before end-systole, what may size a balloon before what may not, then the smaller one, then the first.
@pytest.mark.parametrize("entries, first", [
    ([{**OPEN, "frame": "end_systole", "mm": 18}, OPEN], 1), ([{**OPEN, "frame": "not_stated"}, {**OPEN, "frame": "end_diastole"}, {**OPEN, "frame": "end_systole"}], 2),
    ([{**ECHO, "mm": 15}, OPEN], 1), ([OPEN, {**ECHO, "mm": 15}], 0), ([OPEN, {**OPEN, "mm": 19}], 1), ([OPEN, dict(OPEN)], 0),
    ([{**OPEN, "calibration": "none", "mm": 15}, {**OPEN, "calibration": "", "mm": 30}], 1), ([ECHO, {**OPEN, "view": "other", "mm": 22}], 1),
    ([{**OPEN, "calibration": "none"}, {**OPEN, "view": "other", "mm": 30}], 1), ([{**ECHO, "mm": 15}, {**OPEN, "calibration": "none", "mm": 30}], 1)])
def test_the_measurement_that_counts(data, entries, first):
    assert counting(data, entries) is entries[first] and counting(data, []) is None


@pytest.mark.parametrize("others, percent", [
    ([], None), ([{**ECHO, "mm": 22}], 10), ([{**ECHO, "mm": 16}], 25), ([{**ECHO, "mm": 22}, {**ECHO, "mm": 25}], 25), ([{**OPEN, "mm": 30}], None),
    ([{**ECHO, "mm": 30, "frame": "end_systole"}], None)])
def test_two_modalities_are_compared_in_one_frame(others, percent):
    assert difference_percent([OPEN, *others], OPEN) == (None if percent is None else pytest.approx(percent))
    assert difference_percent([ECHO, {**OPEN, "mm": 22}], ECHO) == pytest.approx(10)
    late = {**OPEN, "frame": "end_systole"}
    assert difference_percent([late, {**ECHO, "frame": "end_systole", "mm": 22}, {**ECHO, "frame": "not_stated", "mm": 30}], late) == pytest.approx(10)
    unsaid = {**OPEN, "frame": "not_stated"}
    assert difference_percent([unsaid, {**ECHO, "frame": "not_stated", "mm": 30}], unsaid) is None


# z


def test_z_of_each_echo_annulus_with_its_view():
    rows, wanted = z_scores({**CHILD, "annulus": [{**ECHO, "view": "other", "mm": 17}, {**ECHO, "mm": 44}, ECHO, OPEN, {**ECHO, "mm": 12, "view": "long_axis"}]})
    above, below = [annulus_z(annulus_mm=mm, age_years=8, height_cm=127, weight_kg=25, view=view) for mm, view in ((20, "short_axis"), (12, "long_axis"))]
    assert [(row["annulus_mm"], row["view"], row["z"], row["formula"], row["note"], row["provenance"]) for row in rows] == [
        (20, "short_axis", above, "annulus_z", Z_SENTENCE, "memory"), (12, "long_axis", below, "annulus_z", Z_SENTENCE, "memory")]
    assert above > 0 > below and rows[0]["text"] == f"{above:.2f} ({above:.2f} above the mean), 20 mm, echo, short axis, early to mid systole, valve open"
    assert rows[1]["text"].startswith(f"−{-below:.2f} ({-below:.2f} below the mean), 12 mm")
    assert wanted[0] == "the echo view (short axis or long axis) of 17 mm, for its z" and wanted[1].startswith("a z that can be computed: Annulus 44") and len(wanted) == 2
    near = z_scores({**CHILD, "annulus": [{**ECHO, "mm": 18}]})[0][0]
    assert -1 < near["z"] < 0 and "below the mean" in near["text"]


@pytest.mark.parametrize("patient, missing", [
    ({"annulus": [OPEN]}, "an echo annulus with its view, for its z"), ({"annulus": [{**OPEN, "modality": "mr", "view": ""}, {**OPEN, "modality": "ct"}]}, "an echo annulus with its view, for its z"), ({}, "an echo annulus with its view, for its z"), ({"age_years": 18.1}, None), ({"age_years": 18}, "an echo annulus"),
    ({"annulus": [ECHO], "age_years": 18.1}, "a norm for adults: none is carried here"), ({"annulus": [ECHO], "height_cm": None}, "height, for the z of the annulus"),
    ({"annulus": [ECHO], "weight_kg": None, "height_cm": None}, "height and weight, for the z of the annulus"),
    ({"annulus": [ECHO], "questions": ["?"]}, "an answer to the question about age, height and weight, for the z of the annulus"),
    ({"annulus": [{**ECHO, "mm": 44}]}, "a z that can be computed: Annulus 44"), ({"annulus": [ECHO], "age_years": 18, "height_cm": 170, "weight_kg": 60}, "")])
def test_why_there_is_no_z(patient, missing):
    rows, wanted = z_scores({name: value for name, value in {**CHILD, **patient}.items() if value is not None})
    assert (rows == []) is (missing != "") and (wanted == [] if not missing else len(wanted) == 1 and wanted[0].startswith(missing))


def test_the_mean_itself_is_neither_above_nor_below(monkeypatch):
    from pvcalc.plan import sizing as plan_sizing
    monkeypatch.setattr(plan_sizing, "computed", lambda made, **given: (0.0, ""))
    assert z_scores({**CHILD, "annulus": [ECHO]})[0][0]["text"].startswith("0.00 (0.00, the mean), 20 mm")


def test_the_body_surface_needs_both_and_no_question():
    assert surface(CHILD) == pytest.approx(0.024265 * 25 ** 0.5378 * 127 ** 0.3964, rel=1e-12)
    assert surface({**CHILD, "questions": ["?"]}) is surface({"height_cm": 127, "questions": []}) is surface({"weight_kg": 25, "questions": []}) is None


# Size


def sized(data, *entries, **patient):
    """(size, missing, warnings) of a child with these measurements."""
    return sizing(data, {**CHILD, **patient, "annulus": list(entries)})


@pytest.mark.parametrize("entries, why, missing, warned", [
    ([], "No size: no annulus was given.", "the annulus with modality, view and frame", 0), ([{**OPEN, "frame": "not_stated"}], "No size: the frame of the measurement is not stated", "the frame of the annulus", 0),
    ([{**OPEN, "frame": "end_diastole"}], "No size: an end-diastolic annulus is the largest reading", "an annulus measured with the valve open", 1)])
def test_no_size_without_a_frame_that_can_size(data, entries, why, missing, warned):
    size, wanted, warnings = sized(data, *entries)
    assert size["why"].startswith(why) and wanted[0].startswith(missing) and len(wanted) == 1 and len(warnings) == warned
    assert [size[name] for name in ("target_mm", "accepted_mm", "proposal", "proposed", "error_percent")] == [None] * 5
    assert [code for code, _ in size["stops"]] == (["no_frame"] if entries else [])
    assert (size["choices"], size["passed_over"], size["advice"]) == ([], [], "") and size["annulus"] == (entries[0] if entries else None)
    assert size["measurements"] == [measured_words(entry) for entry in entries] and size["annulus_words"] == (measured_words(entries[0]) if entries else "")
    assert sizing(data, CHILD)[0]["why"] == "No size: no annulus was given."


def test_an_annulus_of_20_mm_by_hand(data):
    size, missing, warnings = sized(data, OPEN)
    # 1.2 and 1.25 × 20; 1.1 and 1.3 × 20
    assert size["target_mm"] == [24, 25] and size["accepted_mm"] == [22, 26] and missing == [] == warnings
    assert (size["error_percent"], size["smaller_mm"], size["stops"], size["annulus"]) == (5, 20, [], OPEN) and size["proposed"] == size["choices"][0] and size["advice"].startswith("Hinge to hinge")
    assert size["proposal"] == "24 × 40 mm, single, 1.20 times the annulus of 20 mm, angiogram, lateral, early to mid systole, valve open"
    assert size["why"] == "target: within the target 1.20 to 1.25. A size, not an indication; the label of the balloon in your hand rules."
    one, high = size["choices"]
    assert {name: one[name] for name in ("balloons_mm", "effective_mm", "ratio", "zone", "words", "method", "ratio_to_smaller", "family", "length_mm", "major_width_mm")} == {
        "balloons_mm": [24], "effective_mm": 24, "ratio": pytest.approx(1.2), "zone": "target", "words": "24 × 40 mm", "method": "single",
        "ratio_to_smaller": pytest.approx(1.2), "family": "Invented", "length_mm": 40, "major_width_mm": 24}
    # 1.2 less and more 5 %: 1.14 is accepted, 1.26 is accepted
    assert one["true_ratio"] == [pytest.approx(1.14), pytest.approx(1.26)] and one["true_zones"] == ["accepted", "accepted"]
    # 1.4 less and more 5 %: 1.33 and 1.47, both above the accepted 1.3 and not above the forbidden 1.5
    assert high["true_ratio"] == [pytest.approx(1.33), pytest.approx(1.47)] and high["true_zones"] == ["reason", "reason"] and high["words"] == "28 × 40 mm"
    assert one["ratio_words"] == "1.20 × 20 (angiogram, lateral, valve open)" and one["fits"] is True and (one["sheath_french"], one["pressure_atm"]) == (8, [2, 4])
    # the forbidden 1.5 times 20; 28 is the next size up, and no high-pressure balloon lies on this shelf
    assert (size["never_above_mm"], size["next_up"], size["high_pressure"]) == (30, 28, None)
    assert one["label"] == "sheath 8 F going in; wire 0.035 in; pressure 2 to 4 atm, nominal to rated burst on the label; never above rated burst"
    small = size["passed_over"][0]
    assert (small["balloons_mm"], small["words"], small["ratio"], small["effective_mm"], small["zone"], small["why"]) == (
        [18], "18 × 40 mm, Invented", pytest.approx(0.9), 18, "below", "below the accepted 1.10")


def test_a_ratio_beyond_what_the_error_is_computed_for_has_no_true_zone(data):
    # 33 over 20 is 1.65, and the formula ends at 1.6
    size = sized({**data, "settings": {**SETTINGS, "forbidden_above_ratio": 2.0}}, OPEN, shelf_mm=[33, 24])[0]
    far = next(one for one in size["choices"] if one["balloons_mm"] == [33])
    assert far["true_ratio"] == [None, None] and far["true_zones"] == ["", ""]


def test_a_shelf_of_diameters_alone_shows_no_length_pressure_or_sheath(data):
    size = sized(data, OPEN, shelf_mm=[24, 18, 10])[0]
    assert size["choices"][0]["words"] == "24 mm" and size["choices"][0]["length_mm"] is None and size["proposal"].startswith("24 mm, single, 1.20 times")
    assert size["choices"][0]["label"] == "no label given: no pressure, sheath or wire is shown" and size["passed_over"][0]["words"] in ("18 mm", "10 mm")
    none, missing, warnings = sized(data, OPEN, shelf_mm=[10])
    assert none["proposal"] is None and none["choices"] == [] and missing == [] and [code for code, _ in none["stops"]] == ["no_balloon_on_shelf"]
    assert none["target_mm"] is none["accepted_mm"] is None, "after a stop nothing is a target"
    assert none["why"] == "No proposal: no balloon or pair on the shelf is accepted for 20 mm, angiogram, lateral, early to mid systole, valve open."
    assert warnings == [none["why"] + " Wanted: 24.0 to 25.0 mm, or from 22.0 to 26.0 mm."]


def test_two_balloons_are_told_with_their_method(data):
    size = sized(data, {**OPEN, "mm": 28}, shelf_mm=[20, 22], age_years=30)[0]
    # 22 and 20 mm side by side reach 1.228 of 28 mm by the belt
    assert size["choices"][0]["balloons_mm"] == [22, 20] and size["choices"][0]["ratio"] == pytest.approx(1.228, abs=0.0005)
    assert size["proposal"].startswith("22 + 20 mm, belt method, 1.23 times the annulus of 28 mm")


def test_a_newborn_has_its_own_lower_accepted_ratio(data):
    # 18 over 17.5 is 1.03
    assert [code for code, _ in sized(data, {**OPEN, "mm": 17.5}, shelf_mm=[18])[0]["stops"]] == ["no_balloon_on_shelf"]
    newborn = sized(data, {**OPEN, "mm": 17.5}, shelf_mm=[18], newborn="yes")[0]
    assert newborn["choices"][0]["zone"] == "accepted" and newborn["accepted_mm"] == [17.5, pytest.approx(22.75)]


def test_a_shelf_that_is_refused_gives_no_size(data):
    size, missing, warnings = sized({**data, "settings": {**SETTINGS, "balloon_shelf": [{"diameter_mm": -3.0}]}}, OPEN)
    assert size["why"].startswith("No size: ") and size["target_mm"] is None and size["annulus"] is OPEN and missing == warnings == []


# 24 over 18.47 is 1.2994 and over 18.45 is 1.3008: the limit is 1.3 of the smallest measurement.
@pytest.mark.parametrize("smaller, proposed", [(18.47, [24]), (18.45, [23])])
def test_a_balloon_too_large_for_the_smallest_measurement_gives_way_to_the_next_accepted_one(data, smaller, proposed):
    small = {**ECHO, "mm": smaller, "frame": "end_systole"}
    size, _, warnings = sized(data, OPEN, small, shelf_mm=[23, 24])
    assert size["proposed"]["balloons_mm"] == proposed and size["smaller_mm"] == smaller and size["stops"] == [] == warnings
    assert size["choices"][0]["balloons_mm"] == [24] and size["choices"][0]["ratio_to_smaller"] == pytest.approx(24 / smaller)
    if proposed == [23]:
        assert size["why"].startswith("24 mm would be 1.30 times the smallest measurement, 18.45 mm; the next accepted one fits every measurement. accepted: ")
        assert size["proposed"]["ratio_words"] == "1.15 × 20 (angiogram, lateral, valve open), 1.25 × 18.45 (echo, short axis, end-systole)"
    alone, _, warnings = sized(data, OPEN, small, shelf_mm=[24])
    assert (alone["proposal"] is None) is (proposed == [23])
    if proposed == [23]:
        assert [code for code, _ in alone["stops"]] == ["annuli_differ"] and warnings[0] == alone["stops"][0][1] and alone["why"] == "No proposal: measure again first."
        assert alone["stops"][0][1] == ("No accepted balloon fits every measurement: 24 mm would be 1.30 times the smallest, 18.45 mm "
                                        "(1.20 × 20 (angiogram, lateral, valve open), 1.30 × 18.45 (echo, short axis, end-systole)). Measure again before a balloon is opened.")


def test_a_false_stop_of_before_goes_to_the_balloon_that_fits_both(data):
    # 15 over 12 is 1.25 and 1.304 times the echo of 11.5; 14 is 1.167 and 1.217
    size = sized(data, {**OPEN, "mm": 12}, {**ECHO, "mm": 11.5}, shelf_mm=[15, 14])[0]
    assert size["proposed"]["balloons_mm"] == [14] and size["stops"] == []


def test_after_a_stop_no_row_says_target(data):
    size = sized(data, OPEN, {**ECHO, "mm": 15, "frame": "end_systole"})[0]
    assert size["stops"] and size["choices"] == [] and size["target_mm"] is None and size["passed_over"]
    for one in size["passed_over"]:
        assert one["zone"] == "" and "target" not in one["why"] and "accepted" not in one.get("words", "")


def test_what_is_held_before_any_size_leaves_the_measurement_and_no_number(data):
    held = [("muscle_only", "The step is below the valve.")]
    size, missing, warnings = sizing(data, {**CHILD, "annulus": [OPEN]}, held)
    assert size["why"] == "No balloon is proposed: The step is below the valve." and size["stops"] == held and missing == warnings == []
    assert size["annulus"] == OPEN and size["choices"] == [] and size["proposed"] is None


def test_a_typed_balloon_is_there_once(data):
    # 20 + 20 side by side would reach 1.31 of 25 mm; there is one of them
    lone = sized(data, {**OPEN, "mm": 25}, shelf_mm=[20], age_years=30)[0]
    assert lone["choices"] == [] and lone["proposed"] is None
    both = sized(data, {**OPEN, "mm": 27}, shelf_mm=[20, 20], age_years=30)[0]
    # (4 × 10 + 2 π × 10) / π is 32.73; over 27 it is 1.21
    assert both["proposed"]["balloons_mm"] == [20, 20] and both["proposed"]["ratio"] == pytest.approx(1.2123, abs=0.0005)


def test_the_high_pressure_balloon_of_the_same_size_lies_ready(data):
    shelf = [{"diameter_mm": 24, "length_mm": 40, "sheath_french": 8, "family": "standard"}, {"diameter_mm": 31, "length_mm": 40},
             {"diameter_mm": 24, "length_mm": 40, "sheath_french": 9, "family": "high pressure"}]
    size = sized({**data, "settings": {**SETTINGS, "balloon_shelf": shelf}}, OPEN)[0]
    assert size["proposed"]["balloons_mm"] == [24] and size["high_pressure"] == 24 and size["next_up"] is None, "31 is above 1.5 times 20"


def test_one_measurement_alone_never_stops_itself(data):
    # 26.2 over 20 is 1.31 and passes 1.3 of the only measurement: the zones speak of it, the smaller of two does not
    size = sized({**data, "settings": {**SETTINGS, "accepted_high_ratio": 1.35}}, OPEN, shelf_mm=[26.2])[0]
    assert size["choices"][0]["ratio"] == pytest.approx(1.31) and size["stops"] == [] and size["proposal"]


def test_what_may_not_size_alone_gives_choices_and_no_proposal(data):
    size, missing, warnings = sized(data, ECHO)
    advice = "The authors of the comparison advise against sizing by echo alone."
    assert size["choices"] and size["proposal"] is None and size["why"] == f"No proposal yet: {advice} The choices are for planning what to have ready."
    assert warnings == [f"Annulus 20 mm, echo, short axis, early to mid systole, valve open: {advice}"] and missing == []
    apart = sized(data, OPEN, {**ECHO, "mm": 22.1})
    assert apart[0]["why"].startswith("No proposal yet: Measure both again") and apart[2][0].endswith("Measure both again, then size to the angiogram.")
    assert [code for code, _ in apart[0]["stops"]] == ["annuli_differ"] and apart[0]["choices"] == []


def test_an_answer_without_advice_is_told_by_its_own_word(data):
    bare = dict(data["tables"]["annulus_measurement"])
    bare["rows"] = [{**row, "then": {"answer": row["then"]["answer"]}} for row in bare["rows"]]
    size, _, warnings = sized({**data, "tables": {**data["tables"], "annulus_measurement": bare}}, ECHO)
    assert size["advice"] == "" and size["why"].startswith("No proposal yet: do not size on this alone The choices") and warnings[0].endswith(": do not size on this alone")


def test_an_open_measurement_may_size_and_says_what_it_lacks(data):
    size, missing, warnings = sized(data, {**OPEN, "calibration": "", "view": ""})
    assert size["proposal"] and warnings == [] and size["advice"] == ""
    assert missing == ["the view of the angiogram (lateral or other)", "the calibration of the angiogram (marker or sphere, clear catheter shaft, contrast-filled shaft, none)"]


def test_a_measurement_without_its_frame_beside_another_is_not_used(data):
    _, _, warnings = sized(data, OPEN, {**ECHO, "mm": 19, "frame": "not_stated"})
    unused = "Annulus 19 mm, echo, short axis, frame not stated is not used: its frame is not stated."
    assert warnings == [unused]
    size, _, warnings = sized(data, OPEN, *[{**ECHO, "mm": 19, "frame": "not_stated"}] * 2, {**ECHO, "mm": 15, "frame": "end_systole"})
    assert warnings == [size["stops"][0][1], unused, unused] and [code for code, _ in size["stops"]] == ["annuli_differ"]


@pytest.mark.parametrize("sheath, wire, label", [(8, 0.035, "sheath 8 F going in; wire 0.035 in; pressure p"), (None, 0.035, "wire 0.035 in; pressure p"), (8, None, "sheath 8 F going in; pressure p")])
def test_a_label_says_what_the_shelf_says(sheath, wire, label):
    assert label_words({"sheath_french": sheath, "wire_inch": wire, "pressure": "p"}) == label


def test_words_of_a_balloon_and_of_what_was_passed_over():
    assert balloon_words([22, 20], None) == "22 + 20 mm" and balloon_words([18], 40) == "18 × 40 mm"
    group = passed_row({"balloons": "pairs", "why": "x"}, True)
    assert group == {"balloons_mm": [], "words": "pairs", "ratio": None, "effective_mm": None, "zone": "", "why": "x"}
    assert passed_row({"balloons": "18 × 30 mm", "family": "F", "diameters_mm": [18], "why": "x"}, True)["words"] == "18 mm"
    assert passed_row({"balloons": "18 × 30 mm", "family": "F", "diameters_mm": [18], "why": "x"}, False)["words"] == "18 × 30 mm, F"

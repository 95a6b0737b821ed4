"""Behaviour around sizing: the shelf, its zones and pairs, and the slips that must end in a sentence."""

import itertools
import json
import math

import pytest

from pvcalc import body, formula as core, shelf, zones
from pvcalc.belt import (spaced_balloon_belt_mm, three_balloon_diameter_mm, two_balloon_diameter_equal_area_mm,
                         two_balloon_diameter_literature_mm, two_balloon_diameter_mm)
from pvcalc.body import annulus_expected_mm, annulus_z, body_surface_m2, weight_fits_height
from pvcalc.calibration import diameter_from_area_mm, diameter_from_perimeter_mm
from pvcalc.errors import NoResult, NotUnderstood, OutOfRange
from pvcalc.shelf import shelf_choices
from pvcalc.sizing import annulus_other_phase_band_mm, balloon_range_mm, balloon_ratio

ZONES = [{"accepted_low_ratio": 1.15, "target_low_ratio": 1.20, "target_high_ratio": 1.25,
          "accepted_high_ratio": 1.30, "forbidden_above_ratio": 1.50}]
USUAL = [4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 16, 18, 20, 22, 23, 25, 28, 30]


def item(width, length=40, **more):
    """A shelf item with a full label."""
    return {"diameter_mm": width, "length_mm": length, "nominal_atm": 3, "rated_atm": 5, "sheath_french": 9,
            "wire_inch": 0.035, "family": "plain", **more}


def choose(annulus, widths, frame="open_valve_systole", zones=ZONES, **more):
    """The answer for a shelf of plain balloons, as a dict."""
    return dict(shelf_choices(annulus_mm=annulus, frame=frame, zones=zones, shelf=[item(w, **more) for w in widths]))


def names(answer, zone=None):
    return [choice["balloons"] for choice in answer["choices"] if zone in (None, choice["zone"])]


# --- zones ---

@pytest.mark.parametrize("balloon, zone", [
    (11.49, "below"), (11.5, "accepted"), (11.99, "accepted"), (12, "target"), (12.25, "target"), (12.5, "target"),
    (12.51, "accepted"), (13, "accepted"), (13.01, "reason"), (15, "reason"), (15.01, "forbidden")])
def test_edges_belong_to_the_better_zone(balloon, zone):
    answer = choose(10, [balloon])
    rows = answer["choices"] + answer["passed_over"]
    assert rows[0]["zone"] == zone
    assert (zone in ("below", "forbidden")) == (not answer["choices"])


@pytest.mark.parametrize("annulus", [6, 7, 9, 11, 12, 13, 17, 18.3, 23])
@pytest.mark.parametrize("field, inside, outside", [
    ("accepted_low_ratio", "accepted", "below"), ("target_low_ratio", "target", "accepted"),
    ("target_high_ratio", "target", "accepted"), ("accepted_high_ratio", "accepted", "reason"),
    ("forbidden_above_ratio", "reason", "forbidden")])
def test_binary_rounding_moves_nothing_over_an_edge(annulus, field, inside, outside):
    zone = ZONES[0]
    ratio = zone[field]
    assert zones.zone_of(ratio * annulus / annulus, zone) == inside
    assert zones.zone_of(ratio - 9e-10 if "low" in field else ratio + 9e-10, zone) == inside
    assert zones.zone_of(ratio - 1.1e-9 if "low" in field else ratio + 1.1e-9, zone) == outside


def test_a_balloon_at_exactly_the_ceiling_is_at_the_limit_and_not_forbidden():
    answer = choose(12, [18])
    assert answer["choices"][0]["zone"] == "reason"
    assert answer["proposal"] is None and "reason" in answer["why"]


def test_fourteen_point_four_for_twelve_is_in_the_target():
    assert choose(12, [1.2 * 12])["choices"][0]["zone"] == "target"


def test_each_zone_says_why_with_its_numbers():
    said = {name: zones.zone_words(name, ZONES[0]) for name in shelf.ZONE_RANK}
    assert "1.20 to 1.25" in said["target"]
    assert "1.15 to 1.30" in said["accepted"] and "1.20 to 1.25" in said["accepted"]
    assert "1.30" in said["reason"] and "written down" in said["reason"]
    assert "below the accepted 1.15" == said["below"]
    assert "1.50" in said["forbidden"] and "forbidden" in said["forbidden"]


# --- counted by the facts with a usual shelf (annuli in steps of 0.1 mm) ---

def share(low, high, zones):
    """Whole percentage of annuli for which a single balloon of the usual shelf reaches one of the zones."""
    annuli = [tenths / 10 for tenths in range(low * 10, high * 10 + 1)]
    hits = [a for a in annuli if any(choice["zone"] in zones and choice["method"] == "single"
                                     for choice in choose(a, USUAL)["choices"])]
    return math.floor(100 * len(hits) / len(annuli) + 0.5)


@pytest.mark.parametrize("low, high, zones, printed", [
    (5, 25, ("target",), 48), (5, 9, ("target",), 37), (5, 25, ("target", "accepted"), 95),
    (5, 9, ("target", "accepted"), 85)])
def test_how_often_a_usual_shelf_holds_a_balloon(low, high, zones, printed):
    assert share(low, high, zones) == printed


# --- ranking and pairs ---

def test_pairs_for_28_mm_that_the_facts_name():
    answer = choose(28, [16, 18, 20, 22, 23, 25])
    assert names(answer, "target") == ["23 + 18 × 40 mm", "25 + 16 × 40 mm", "22 + 20 × 40 mm"]
    assert "23 + 20 × 40 mm" in names(answer, "accepted")
    first = answer["choices"][0]
    assert first["method"] == "belt" and first["major_width_mm"] == 41
    assert first["diameters_mm"] == [23, 18]
    assert first["ratio"] == pytest.approx(1.202, abs=5e-4)
    assert answer["ratio"] == first["ratio"]
    assert answer["proposal"].startswith("23 + 18 × 40 mm, belt, 1.202 times the annulus 28.0 mm")
    assert "valve open" in answer["proposal"]


def test_the_width_of_the_pair_is_the_sum():
    [pair] = [choice for choice in choose(28, [20, 23])["choices"] if choice["balloons"] == "23 + 20 × 40 mm"]
    assert pair["major_width_mm"] == 43
    assert pair["effective_mm"] == pytest.approx(35.22, abs=0.005)


def test_a_single_balloon_comes_before_a_pair_of_the_same_zone():
    answer = choose(25, [18, 20, 30])
    assert [(choice["balloons"], choice["method"]) for choice in answer["choices"][:2]] == [
        ("30 × 40 mm", "single"), ("20 + 18 × 40 mm", "belt")]


def test_a_target_pair_comes_before_an_accepted_single_in_a_large_annulus():
    answer = choose(26, [30, 22, 18])  # 30 is 1.154; 22 + 18 is 1.26, 20 + 20 not there, 18 + 18 is 1.133
    assert names(answer)[0] in ("30 × 40 mm", "22 + 18 × 40 mm")
    answer = choose(26, [30, 20, 19])  # 20 + 19 is 1.2275
    assert answer["choices"][0]["balloons"] == "20 + 19 × 40 mm" and answer["choices"][0]["zone"] == "target"


@pytest.mark.parametrize("annulus, widths, pairs", [
    (6, [4, 5], False), (17.99, [11, 12, 13], False), (18, [13, 14], True), (20, [15, 24], False),
    (20, [15, 16], True), (24.99, [18, 20, 30], False), (25, [18, 20, 30], True)])
def test_pairs_are_offered_only_when_sensible(annulus, widths, pairs):
    answer = choose(annulus, widths)
    assert any(choice["method"] == "belt" for choice in answer["choices"]) == pairs
    refused = [row for row in answer["passed_over"] if row["balloons"] == "pairs"]
    assert bool(refused) == (not pairs)
    assert all("25 mm" in row["why"] or "18 mm" in row["why"] for row in refused)


def test_a_pair_has_one_length_and_like_sizes():
    two_lengths = [item(20), item(22, 30)]
    answer = dict(shelf_choices(annulus_mm=28, frame="end_systole", zones=ZONES, shelf=two_lengths))
    assert "22 + 20 × 40 mm" not in names(answer)
    assert {"balloons": "1 pair", "zone": "", "why": "the two differ in length"} in answer["passed_over"]
    answer = choose(28, [14.9, 30])
    assert "30 + 14.9 × 40 mm" not in names(answer)
    assert any("less than half" in row["why"] for row in answer["passed_over"])
    assert "28 + 14 × 40 mm" in names(choose(28, [14, 28]))


@pytest.mark.parametrize("shorter, longer", [(20, 22), (22, 20), (22, 22)])
def test_no_pair_of_two_lengths_whichever_is_the_wider(shorter, longer):
    answer = dict(shelf_choices(annulus_mm=28, frame="end_systole", zones=ZONES,
                                shelf=[item(shorter, length=30, count=1), item(longer, length=40, count=1)]))
    assert [row for row in answer["choices"] if row["method"] == "belt"] == []
    assert [row["balloons"] for row in answer["passed_over"] if row["why"] == "the two differ in length"] == ["1 pair"]


def test_a_billionth_beyond_an_edge_still_belongs_to_the_better_side():
    for ratio, name in [(1.15 - 1e-9, "accepted"), (1.20 - 1e-9, "target"), (1.25 + 1e-9, "target"), (1.30 + 1e-9, "accepted"),
                        (1.50 + 1e-9, "reason"), (1.15 - 3e-9, "below"), (1.20 - 3e-9, "accepted"), (1.25 + 3e-9, "accepted"),
                        (1.30 + 3e-9, "reason"), (1.50 + 3e-9, "forbidden")]:
        assert zones.zone_of(ratio, ZONES[0]) == name, (ratio, name)


def test_pairs_are_looked_at_from_the_edge_on_and_a_billionth_before():
    reached = [{"zone": "target"}]
    for annulus, singles, looked in [(25 - 1e-9, reached, True), (25 - 3e-9, reached, False), (18 - 1e-9, [], True), (18 - 3e-9, [], False),
                                     (18, reached, False), (25, reached, True)]:
        assert (shelf.pairs_wanted(annulus, singles) == "") is looked, annulus


def test_a_nominal_pressure_that_is_the_rated_one_may_be_shown():
    assert shelf.pressures([item(20, nominal_atm=5, rated_atm=5)]) == (5, 5)
    assert shelf.pressures([item(20, nominal_atm=4, rated_atm=6), item(22, nominal_atm=3, rated_atm=4)]) == (4, 4)


def test_a_balloon_listed_twice_is_kept_once_wherever_it_stands():
    assert [one["diameter_mm"] for one in shelf.distinct([item(14), item(12), item(14), item(16), item(12), item(16)])] == [12, 14, 16]


def test_two_families_of_one_size_are_two_balloons():
    kept = shelf.distinct([item(14, family="stiff"), item(14, family="plain"), item(14, family=None), item(14, family="")])
    assert [one["family"] or "" for one in kept] == ["", "plain", "stiff"]


def test_zones_for_every_frame_and_for_none_stand_beside_each_other():
    every = [{**ZONES[0], "frame": frame} for frame in ("open_valve_systole", "end_systole", "end_diastole")] + ZONES
    assert zones.checked_zones(every) == every
    with pytest.raises(NotUnderstood, match="two zone records for one frame"):
        zones.checked_zones(ZONES + [{**ZONES[0], "frame": ""}])


def test_a_balloon_of_which_there_is_one_still_pairs_with_the_next():
    kept, _, _ = shelf.pairs_of([item(20, count=1), item(22, count=1)])
    assert [[one["diameter_mm"] for one in pair] for pair in kept] == [[20, 22]]


def test_a_label_without_a_number_is_not_the_label_with_the_least_one():
    for field in ("nominal_atm", "rated_atm", "sheath_french"):
        kept = shelf.distinct([item(20, **{field: 1}), item(20, **{field: None})])
        assert len(kept) == 2, field


def test_the_higher_rated_pressure_comes_first_in_halves_of_an_atmosphere():
    rows = dict(shelf_choices(annulus_mm=10, frame="end_systole", zones=ZONES,
                              shelf=[item(12, rated_atm=4.5), item(12, rated_atm=5.5)]))["choices"]
    assert [row["rated_atm"] for row in rows] == [5.5, 4.5]


def test_no_pair_of_a_balloon_of_which_there_is_one():
    assert "22 + 22 × 40 mm" in names(choose(28, [22]))
    assert names(choose(28, [22], count=1)) == []
    assert "22 + 22 × 40 mm" in names(choose(28, [22], count=2))
    none = choose(28, [22], count=0)
    assert none["choices"] == [] and {"balloons": "22 × 40 mm", "zone": "", "why": "none in stock"} in none["passed_over"]


def test_pairs_that_do_not_fit_are_counted():
    notes = {row["why"]: row["balloons"] for row in choose(28, [10, 12, 25, 28])["passed_over"] if row["zone"] == ""}
    assert notes["below the accepted ratio"] == "3 pairs"  # 10+10, 10+12, 12+12
    assert notes["above the accepted ratio"] == "3 pairs"  # 25+25, 25+28, 28+28
    assert notes["the smaller is less than half the larger"] == "4 pairs"  # 10 or 12 with 25 or 28
    notes = {row["why"]: row["balloons"] for row in choose(28, [10, 11, 12, 13])["passed_over"] if row["zone"] == ""}
    assert notes["below the accepted ratio"] == "10 pairs"  # four with themselves and 4 × 3 / 2 others; 13 + 13 is a belt of 21.3


def test_within_the_target_the_smaller_ratio_comes_first():
    assert names(choose(16, [20, 19.5, 19.2]), "target") == ["19.2 × 40 mm", "19.5 × 40 mm", "20 × 40 mm"]


def test_outside_the_target_the_nearer_comes_first():
    # 1.16 lies 0.04 under the target, 1.28 lies 0.03 over it, 1.26 lies 0.01 over it.
    assert names(choose(10, [11.6, 12.8, 12.6]), "accepted") == ["12.6 × 40 mm", "12.8 × 40 mm", "11.6 × 40 mm"]
    assert names(choose(10, [14.5, 13.5]), "reason") == ["13.5 × 40 mm", "14.5 × 40 mm"]


def test_equal_sizes_are_ranked_by_sheath_then_rated_pressure_then_length():
    items = [item(12, 40, sheath_french=8, family="a"), item(12, 40, sheath_french=6, family="b"),
             item(12, 40, sheath_french=6, rated_atm=9, family="c"), item(12, 20, sheath_french=6, family="d"),
             {"diameter_mm": 12, "length_mm": 20, "family": "e"}]
    expected = ["c", "d", "b", "a", "e"]
    for order in itertools.permutations(items):
        answer = dict(shelf_choices(annulus_mm=10, frame="end_systole", zones=ZONES, shelf=list(order)))
        assert [choice["family"] for choice in answer["choices"]] == expected


@pytest.mark.parametrize("value, whole", [(0, 0), (4e-10, 0), (6e-10, 1), (1e-9, 1), (0.1 + 0.2, 300000000), (1.25, 1250000000)])
def test_a_ratio_is_ranked_by_its_nearest_billionth(value, whole):
    assert shelf.snapped(value) == whole


def test_the_same_balloon_listed_twice_appears_once():
    answer = choose(10, [12, 12])
    assert names(answer) == ["12 × 40 mm"]


# --- inflation pressure ---

@pytest.mark.parametrize("label", [{"nominal_atm": None}, {"rated_atm": None}, {"nominal_atm": None, "rated_atm": None}])
def test_no_pressure_unless_the_label_gives_both(label):
    choice = choose(10, [12], **label)["choices"][0]
    assert choice["nominal_atm"] is None and choice["rated_atm"] is None
    assert choice["pressure"].startswith("not shown")
    assert "atm" not in choice["pressure"]


def test_pressure_is_that_of_the_label():
    choice = choose(10, [12], nominal_atm=2.5, rated_atm=6)["choices"][0]
    assert (choice["nominal_atm"], choice["rated_atm"]) == (2.5, 6)
    assert choice["pressure"].startswith("2.5 to 6 atm") and "never above rated burst" in choice["pressure"]


def test_a_pair_bears_what_both_bear():
    items = [item(20, nominal_atm=2, rated_atm=5, sheath_french=9, family="a"),
             item(22, nominal_atm=3, rated_atm=4, sheath_french=10, wire_inch=0.025, family="b")]
    answer = dict(shelf_choices(annulus_mm=28, frame="end_systole", zones=ZONES, shelf=items))
    [pair] = [choice for choice in answer["choices"] if choice["diameters_mm"] == [22, 20]]
    assert (pair["nominal_atm"], pair["rated_atm"], pair["sheath_french"]) == (3, 4, 10)
    assert pair["wire_inch"] == 0.035 and pair["family"] == "a and b"
    items[1]["nominal_atm"], items[1]["rated_atm"] = 6, 8  # now no pressure suits both
    answer = dict(shelf_choices(annulus_mm=28, frame="end_systole", zones=ZONES, shelf=items))
    [pair] = [choice for choice in answer["choices"] if choice["diameters_mm"] == [22, 20]]
    assert pair["nominal_atm"] is None and pair["pressure"].startswith("not shown")


# --- the frame ---

def test_no_proposal_while_the_frame_is_not_stated():
    answer = choose(20, [24, 25], frame="not_stated")
    assert answer["proposal"] is None and answer["ratio"] is None and answer["choices"] == []
    assert "frame of the measurement is not stated" in answer["why"]
    assert [row["balloons"] for row in answer["passed_over"]] == ["24 × 40 mm", "25 × 40 mm"]


def test_the_frame_has_no_default_and_no_other_word():
    with pytest.raises(NotUnderstood):
        choose(20, [24], frame="systole")
    with pytest.raises(core.MissingInput):
        shelf_choices(annulus_mm=20, zones=ZONES, shelf=[item(24)])


@pytest.mark.parametrize("frame, said", [("open_valve_systole", "early to mid systole, valve open"),
                                         ("end_systole", "end-systole"), ("end_diastole", "end-diastole")])
def test_the_frame_is_said_in_the_proposal(frame, said):
    answer = choose(20, [24], frame=frame)
    assert said in answer["proposal"]
    assert ("6 to 53 per cent" in answer["why"]) == (frame == "end_diastole")


def test_a_zone_made_for_a_frame_is_used_for_it_and_for_no_other():
    diastole = {**ZONES[0], "frame": "end_diastole", "target_low_ratio": 1.15, "target_high_ratio": 1.15}
    answer = choose(20, [23], frame="end_diastole", zones=[diastole] + ZONES)
    assert answer["choices"][0]["zone"] == "target" and "53" not in answer["why"]
    assert choose(20, [23], frame="end_systole", zones=[diastole] + ZONES)["choices"][0]["zone"] == "accepted"
    answer = choose(20, [23], frame="end_systole", zones=[diastole])
    assert answer["proposal"] is None and "no zones are set" in answer["why"] and answer["choices"] == []


@pytest.mark.parametrize("frame, taken", [("open_valve_systole", True), ("end_systole", True), ("end_diastole", True), ("", True),
                                          ("not_stated", False), ("systole", False), (2, False)])
def test_a_zone_may_be_made_for_each_frame_that_can_be_stated(frame, taken):
    assert (zones.zone_faults({**ZONES[0], "frame": frame}) == []) is taken


def test_nothing_suitable_gives_no_proposal_and_says_so():
    answer = choose(20, [10, 12])
    assert answer["proposal"] is None and answer["why"].startswith("No proposal")
    assert [row["zone"] for row in answer["passed_over"] if row["zone"]] == ["below", "below"]


# --- faulty records ---

@pytest.mark.parametrize("change, said", [
    ({"target_low_ratio": None}, "target_low_ratio is missing"), ({"target_low_ratio": "1.2"}, "must be a finite number"),
    ({"target_low_ratio": 12.0}, "12 is outside 0.5 to 2"), ({"target_low_ratio": 1.26}, "must not fall"),
    ({"accepted_low_ratio": 1.21}, "must not fall"), ({"accepted_high_ratio": 1.24}, "must not fall"),
    ({"forbidden_above_ratio": 1.29}, "must not fall"), ({"frame": "systole"}, "frame must be"),
    ({"forbidden_above_ratio": 2.01}, "outside 0.5 to 2"), ({"accepted_low_ratio": 0.49}, "outside 0.5 to 2"),
    ({"frame": "not_stated"}, "frame must be"), ({"frame": ["x"]}, "frame must be"),
    ({"target_high_ratio": math.nan}, "must be a finite number"), ({"target_high_ratio": True}, "finite")])
def test_a_faulty_zone_is_refused(change, said):
    with pytest.raises(NotUnderstood, match="Zone record 1") as caught:
        choose(20, [24], zones=[{**ZONES[0], **change}])
    assert said in str(caught.value)


def test_zone_edges_may_fall_together_and_reach_the_ends_of_their_range():
    assert zones.zone_faults({name: 1.2 for name in zones.ZONE_FIELDS}) == []
    assert zones.zone_faults(dict(zip(zones.ZONE_FIELDS, [0.5, 1, 1.2, 1.4, 2]))) == []


def test_two_zones_for_one_frame_are_refused():
    with pytest.raises(NotUnderstood, match="two zone records"):
        choose(20, [24], zones=ZONES * 2)


@pytest.mark.parametrize("change, said", [
    ({"diameter_mm": None}, "diameter_mm is missing"), ({"length_mm": None}, "length_mm is missing"),
    ({"diameter_mm": 2.4e2}, "240 is outside 2 to 40"), ({"diameter_mm": 1.99}, "outside 2 to 40"),
    ({"diameter_mm": 40.1}, "outside 2 to 40"), ({"length_mm": 4.9}, "outside 5 to 100"),
    ({"length_mm": 100.1}, "outside 5 to 100"), ({"nominal_atm": 0.49}, "outside 0.5 to 40"),
    ({"rated_atm": 40.1}, "outside 0.5 to 40"), ({"nominal_atm": 40.1}, "outside 0.5 to 40"),
    ({"rated_atm": 0.49}, "outside 0.5 to 40"), ({"sheath_french": 0.9}, "outside 1 to 30"),
    ({"sheath_french": 30.1}, "outside 1 to 30"), ({"wire_inch": 0.0079}, "outside 0.008 to 0.06"),
    ({"wire_inch": 0.89}, "outside 0.008 to 0.06"), ({"wire_inch": 0.061}, "outside 0.008 to 0.06"),
    ({"count": -1}, "outside 0 to 1000"), ({"count": 1001}, "outside 0 to 1000"),
    ({"nominal_atm": 5.1}, "nominal_atm is above rated_atm"), ({"family": 7}, "family must be words"),
    ({"rated_atm": "5"}, "rated_atm must be a finite number"), ({"sheath_french": math.inf}, "finite number")])
def test_a_faulty_shelf_item_is_refused(change, said):
    with pytest.raises(NotUnderstood) as caught:
        shelf_choices(annulus_mm=20, frame="end_systole", zones=ZONES, shelf=[item(24), {**item(24), **change}])
    assert "Shelf item 2" in str(caught.value) and said in str(caught.value)


@pytest.mark.parametrize("fields", [
    {"diameter_mm": 2, "length_mm": 5, "nominal_atm": 0.5, "rated_atm": 0.5, "sheath_french": 1, "wire_inch": 0.008},
    {"diameter_mm": 40, "length_mm": 100, "nominal_atm": 40, "rated_atm": 40, "sheath_french": 30, "wire_inch": 0.06,
     "count": 1000}])
def test_shelf_items_reach_the_ends_of_their_ranges(fields):
    assert shelf.item_faults(fields) == []


@pytest.mark.parametrize("zones, items, refused", [
    (0, 1, "zones"), (11, 1, "zones"), (1, 0, "shelf"), (1, 201, "shelf"), (10, 200, ""), (1, 1, "")])
def test_how_many_zones_and_balloons_are_taken(zones, items, refused):
    given = {"annulus_mm": 20, "frame": "end_systole", "zones": ZONES * zones, "shelf": [item(24)] * items}
    if not refused:
        assert shelf_choices.checked(given) == given
        return
    with pytest.raises(NotUnderstood) as caught:
        shelf_choices(**given)
    (field, sentence), = caught.value.faults
    assert field == refused and "must be a list of 1 to" in sentence


@pytest.mark.parametrize("zones, items", [(["x"], [item(24)]), (ZONES, [[1, 2]]), (ZONES, [None])])
def test_what_is_no_record_is_refused(zones, items):
    with pytest.raises(NotUnderstood, match="must be a record"):
        shelf_choices(annulus_mm=20, frame="end_systole", zones=zones, shelf=items)


def test_the_answer_passes_through_json():
    answer = core.run("shelf_choices", {"annulus_mm": "20", "frame": "end_systole", "zones": ZONES, "shelf": [item(24)]})
    assert answer["ok"] and json.loads(json.dumps(answer))["value"][0][1].startswith("24 × 40 mm")
    assert answer["shown"].startswith("proposal 24 × 40 mm")


# --- slips: cm for mm, pounds, metres, the other phase (hazards HZ1 to HZ4) ---

CHILD = {"age_years": 5, "height_cm": 110, "weight_kg": 18, "view": "short_axis"}


@pytest.mark.parametrize("typed, mended", [(1.4, "typed in cm? (14\u00a0mm)"), (140, "14\u00a0mm")])
@pytest.mark.parametrize("name, rest", [("annulus_z", CHILD), ("balloon_ratio", {"balloon_mm": 17}),
                                        ("balloon_range_mm", {"low_ratio": 1.2, "high_ratio": 1.25}),
                                        ("equal_pair_mm", {"ratio": 1.2})])
def test_centimetres_are_refused_with_the_likely_value(typed, mended, name, rest):
    answer = core.run(name, {"annulus_mm": typed, **rest})
    assert not answer["ok"]
    [(field, sentence)] = answer["faults"]
    assert field == "annulus_mm" and "14\u00a0mm" in sentence and sentence.endswith("?")


def test_an_annulus_beyond_six_deviations_asks_for_the_unit():
    for annulus in (3.5, 37):
        with pytest.raises(NoResult) as caught:
            annulus_z(annulus_mm=annulus, **CHILD)
        [(field, sentence)] = caught.value.faults
        assert field == "annulus_mm" and "mm and not in cm" in sentence and "beyond 6" in sentence


@pytest.mark.parametrize("z, taken", [(-5.99, True), (-6.01, False), (5.99, True), (6.01, False)])
def test_six_deviations_are_the_edge(z, taken):
    surface = 0.024265 * 110 ** 0.3964 * 18 ** 0.5378
    annulus = (1.91 + z * 0.24) * math.sqrt(surface) * 10
    if taken:
        assert annulus_z(annulus_mm=annulus, **CHILD) == pytest.approx(z, abs=1e-9)
    else:
        with pytest.raises(NoResult):
            annulus_z(annulus_mm=annulus, **CHILD)


def test_nobody_over_18_gets_a_z_value():
    assert annulus_z(annulus_mm=14, **{**CHILD, "age_years": 18})
    with pytest.raises(OutOfRange, match="lopez2017"):
        annulus_z(annulus_mm=14, **{**CHILD, "age_years": 18.01})
    with pytest.raises(OutOfRange):
        annulus_expected_mm(z=0, **{**CHILD, "age_years": 19})


def test_pounds_are_asked_about():
    answer = core.run("annulus_z", {"annulus_mm": 14, **CHILD, "weight_kg": 39.7})
    assert answer["ok"]
    [question] = answer["asks"]
    assert "typed in pounds? (18.0 kg)" in question
    assert core.run("annulus_z", {"annulus_mm": 14, **CHILD})["asks"] == []


def test_metres_are_refused():
    answer = core.run("annulus_z", {"annulus_mm": 14, **CHILD, "height_cm": "1.10"})
    [(field, sentence)] = answer["faults"]
    assert field == "height_cm" and "typed in metres (110\u00a0cm)?" in sentence


@pytest.mark.parametrize("height, index, asked", [
    (60, 9.99, True), (60, 10, False), (124.9, 25, False), (124.9, 25.01, True), (125, 25.01, False), (125, 30, False),
    (149.9, 30.01, True), (150, 30.01, False), (170, 40, False), (170, 40.01, True), (170, 9.99, True)])
def test_when_a_weight_is_asked_about(height, index, asked):
    weight = index * height * height / 10000
    nudge = 1 if index in (10,) else -1
    question = weight_fits_height({"height_cm": height, "weight_kg": weight * (1 + nudge * 1e-12)})
    assert bool(question) == asked
    if asked:
        assert question.endswith(("?", ")"))


def test_a_light_child_is_not_asked_about_pounds():
    question = weight_fits_height({"height_cm": 110, "weight_kg": 8})
    assert "pounds" not in question and "height in cm" in question and "6.6 kg/m²" in question
    heavy = weight_fits_height({"height_cm": 110, "weight_kg": 120})
    assert "pounds" not in heavy, "120 lb would not fit either"
    assert body.POUND_KG == pytest.approx(0.45359237, abs=1e-12)


def test_the_view_changes_z():
    short = annulus_z(annulus_mm=14, **CHILD)
    long = annulus_z(annulus_mm=14, **{**CHILD, "view": "long_axis"})
    assert (round(short, 2), round(long, 2)) == (-1.18, -1.37)
    for view in (None, "apical"):
        answer = core.run("annulus_z", {"annulus_mm": 14, **CHILD, "view": view})
        assert not answer["ok"] and answer["faults"][0][0] == "view"


def test_the_norm_says_that_its_body_surface_is_recalled():
    assert "RECALLED" in annulus_z.function.__doc__ and "RECALLED" in annulus_expected_mm.function.__doc__


def test_the_other_phase_is_a_band_with_the_published_ends():
    for valve, least, most in [("typical", 6, 53), ("dysplastic", 14, 41)]:
        wider = dict(annulus_other_phase_band_mm(annulus_mm=16, measured_in="end_systole", valve=valve))
        assert wider["low_mm"] == pytest.approx(16 * (100 + least) / 100, rel=1e-12)
        assert wider["high_mm"] == pytest.approx(16 * (100 + most) / 100, rel=1e-12)
        narrower = dict(annulus_other_phase_band_mm(annulus_mm=16, measured_in="end_diastole", valve=valve))
        assert narrower["low_mm"] == pytest.approx(1600 / (100 + most), rel=1e-12)
        assert narrower["high_mm"] == pytest.approx(1600 / (100 + least), rel=1e-12)
    assert "Never size a balloon" in annulus_other_phase_band_mm.function.__doc__


# --- rules between fields ---

def test_ratios_in_the_wrong_order_are_refused():
    with pytest.raises(NoResult, match="each other's place"):
        balloon_range_mm(annulus_mm=20, low_ratio=1.25, high_ratio=1.2)
    assert dict(balloon_range_mm(annulus_mm=20, low_ratio=1.2, high_ratio=1.2)) == {"low_mm": 24, "high_mm": 24}


def test_balloons_cannot_overlap():
    with pytest.raises(NoResult, match="overlap"):
        spaced_balloon_belt_mm(balloon_a_mm=20, balloon_b_mm=18, centres_mm=18.999)
    assert spaced_balloon_belt_mm(balloon_a_mm=20, balloon_b_mm=18, centres_mm=19) == pytest.approx(97.7429, abs=5e-5)


def test_body_surface_by_square_root_and_powers():
    assert body_surface_m2(height_cm=180, weight_kg=80, by="mosteller") == pytest.approx(2, rel=1e-12)
    grams = math.log10(75000)
    assert body_surface_m2(height_cm=170, weight_kg=75, by="boyd") == pytest.approx(
        0.0003207 * 170 ** 0.3 * 75000 ** (0.7285 - 0.0188 * grams), rel=1e-12)


def test_the_order_of_the_five_formulas_in_a_newborn():
    newborn = {by: body_surface_m2(height_cm=50, weight_kg=3.5, by=by) for by in body.BODY_SURFACE}
    assert newborn["dubois"] < newborn["mosteller"] < newborn["haycock"] < newborn["boyd"] < newborn["gehan_george"]


def test_the_long_axis_norm_is_five_per_cent_wider():
    child = {key: value for key, value in CHILD.items() if key != "view"}
    wider = annulus_expected_mm(z=0, view="long_axis", **child) / annulus_expected_mm(z=0, view="short_axis", **child)
    assert 100 * (wider - 1) == pytest.approx(5.2, abs=0.05)


def test_the_belt_lies_a_seventh_above_the_equal_area_form():
    pair = {"balloon_a_mm": 17, "balloon_b_mm": 17}
    share = two_balloon_diameter_equal_area_mm(**pair) / two_balloon_diameter_mm(**pair)
    assert 100 * (1 - share) == pytest.approx(13.6, abs=0.05)


@pytest.mark.parametrize("tenths, error", [(10, 0), (9, -0.05), (8, -0.24), (7, -0.60), (6.5, -0.87), (5, -2.1), (3, -5.5)])
def test_how_far_the_literature_form_lies_under_the_belt(tenths, error):
    pair = {"balloon_a_mm": 10, "balloon_b_mm": tenths}
    found = 100 * (two_balloon_diameter_literature_mm(**pair) / two_balloon_diameter_mm(**pair) - 1)
    assert found == pytest.approx(error, abs=0.005 if abs(error) < 1 else 0.05)


def test_circles_by_hand():
    assert diameter_from_perimeter_mm(perimeter_mm=20 * math.pi) == pytest.approx(20, rel=1e-12)
    assert diameter_from_area_mm(area_cm2=math.pi) == pytest.approx(20, rel=1e-12)


def test_ratio_and_three_balloons_by_hand():
    assert balloon_ratio(balloon_mm=18, annulus_mm=15) == pytest.approx(1.2, rel=1e-12)
    assert three_balloon_diameter_mm(balloon_mm=math.pi) == pytest.approx(math.pi + 3, rel=1e-12)

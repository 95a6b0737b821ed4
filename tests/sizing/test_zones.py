"""Zones of the ratio: their edges, the words for them, the frame they are made for, and faulty records."""

import math
import re

import pytest

from pvcalc.core.errors import NotUnderstood
from pvcalc.sizing import zones
from pvcalc.sizing.inventory import ZONES_IN_ORDER
from pvcalc.sizing.ratio import balloon_range_mm
from tests.helpers.edges import assert_range
from tests.helpers.shelf_items import ZONES, choose


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


def test_a_billionth_beyond_an_edge_still_belongs_to_the_better_side():
    for ratio, name in [(1.15 - 1e-9, "accepted"), (1.20 - 1e-9, "target"), (1.25 + 1e-9, "target"), (1.30 + 1e-9, "accepted"),
                        (1.50 + 1e-9, "reason"), (1.15 - 3e-9, "below"), (1.20 - 3e-9, "accepted"), (1.25 + 3e-9, "accepted"),
                        (1.30 + 3e-9, "reason"), (1.50 + 3e-9, "forbidden")]:
        assert zones.zone_of(ratio, ZONES[0]) == name, (ratio, name)


def test_a_balloon_at_exactly_the_ceiling_is_at_the_limit_and_not_forbidden():
    answer = choose(12, [18])
    assert answer["choices"][0]["zone"] == "reason"
    assert answer["proposal"] is None and "reason" in answer["why"]


def test_fourteen_point_four_for_twelve_is_in_the_target():
    assert choose(12, [1.2 * 12])["choices"][0]["zone"] == "target"


INSIDE = {"target": 1.22, "accepted": 1.17, "reason": 1.4, "below": 1.1, "forbidden": 1.6}


def test_each_zone_says_why_with_its_numbers():
    assert list(INSIDE) == ZONES_IN_ORDER
    said = {name: zones.zone_words(ratio, ZONES[0]) for name, ratio in INSIDE.items()}
    assert "1.20 to 1.25" in said["target"]
    assert "1.15 to 1.30" in said["accepted"] and "1.20 to 1.25" in said["accepted"]
    assert "1.30" in said["reason"] and "written down" in said["reason"]
    assert "below the accepted 1.15" == said["below"]
    assert "1.50" in said["forbidden"] and "forbidden" in said["forbidden"]


@pytest.mark.parametrize("name, ratio, finer", [
    # 20 and 18 mm by the belt on 26 mm are such a pair; a ratio on the edge itself, however computed, needs no further digit
    ("accepted", 1.1966, " (to more digits 1.196600)"), ("target", 14.4 / 12, ""), ("target", 1.2 * 12 / 12, ""), ("target", 1.2, ""), ("accepted", 1.2512, " (to more digits 1.251200)"),
    ("target", 1.2036, " (to more digits 1.203600)"), ("target", 1.21, ""), ("forbidden", 1.5001, " (to more digits 1.500100)")])
def test_a_ratio_that_reads_like_an_edge_is_told_with_further_digits(name, ratio, finer):
    words = zones.zone_words(ratio, ZONES[0])
    assert zones.zone_of(ratio, ZONES[0]) == name and words.endswith(finer) and ("more digits" in words) == bool(finer)


def test_each_zone_names_its_edges_with_two_decimals():
    said = {name: re.findall(r"[0-9.]+[0-9]", zones.zone_words(ratio, ZONES[0])) for name, ratio in INSIDE.items()}
    assert said == {"target": ["1.20", "1.25"], "accepted": ["1.20", "1.25", "1.15", "1.30"], "reason": ["1.30"], "below": ["1.15"],
                    "forbidden": ["1.50"]}


def test_an_annulus_of_3_to_45_mm_and_ratios_of_0_8_to_1_6_are_taken():
    given = dict(annulus_mm=20, low_ratio=0.8, high_ratio=1.6)
    for field, low, high in (("annulus_mm", 3, 45), ("low_ratio", 0.8, 1.6), ("high_ratio", 0.8, 1.6)):
        assert_range(balloon_range_mm, given, field, low, high)


def test_zones_for_every_frame_and_for_none_stand_beside_each_other():
    every = [{**ZONES[0], "frame": frame} for frame in ("open_valve_systole", "end_systole", "end_diastole")] + ZONES
    assert zones.checked_zones(every) == every
    with pytest.raises(NotUnderstood, match="two zone records for one frame"):
        zones.checked_zones(ZONES + [{**ZONES[0], "frame": ""}])


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

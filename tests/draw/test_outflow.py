"""The shape of the outflow: walls at their distance from the centre line, leaflets and balloons where they are asked for."""

import math
import xml.etree.ElementTree as ElementTree

import pytest

from pvcalc.draw.outflow import INFUNDIBULUM, SINUS, TRUNK, VALVE, Outflow, balloon_half_width
from pvcalc.draw.svg import smooth
from tests.helpers.drawn_axes import corners
from tests.helpers.drawn_shapes import pieces_of

PLAIN = Outflow(0, 0)
PLACES = [(30, 40, 0.5), (-100, -90, 2)]  # the second beyond the corner of the page, where every place is below nought


def elements(text):
    return list(ElementTree.fromstring("<g>" + text + "</g>"))


def off(point, body=PLAIN):
    """(distance from the valve, aside) of a point, found by looking along the centre line in small steps; size 1."""
    rough = min((math.dist(body.point(step), point), step) for step in range(-130, 130, 2))[1]
    best = min((math.dist(body.point(rough + step / 10), point), rough + step / 10) for step in range(-25, 26))
    ahead, behind = body.point(best[1] + 0.5), body.point(best[1] - 0.5)
    way = (ahead[0] - behind[0], ahead[1] - behind[1])
    here = body.point(best[1])
    return best[1], ((point[1] - here[1]) * way[0] - (point[0] - here[0]) * way[1]) / math.hypot(*way)


def test_the_valve_lies_at_nought_and_distances_are_measured_along_the_line():
    hinges = [PLAIN.hinge(side) for side in (-1, 1)]
    middle = [(hinges[0][i] + hinges[1][i]) / 2 for i in (0, 1)]
    assert PLAIN.point(0) == pytest.approx(middle, abs=1e-9)
    for distance in range(-100, 100, 7):
        path = [PLAIN.point(distance + step / 50) for step in range(51)]
        assert sum(math.dist(a, b) for a, b in zip(path, path[1:])) == pytest.approx(1, abs=1e-5)


def test_the_line_runs_from_the_body_below_to_the_artery_above_and_bends_nowhere_sharply():
    ends = PLAIN.point(-110), PLAIN.point(120)
    assert ends[0][1] > PLAIN.point(0)[1] > ends[1][1]
    turns = []
    for distance in range(-100, 110):
        (ax, ay), (bx, by), (cx, cy) = (PLAIN.point(distance + step) for step in (-1, 0, 1))
        turns.append(abs(math.atan2((bx - ax) * (cy - by) - (by - ay) * (cx - bx), (bx - ax) * (cx - bx) + (by - ay) * (cy - by))))
    assert max(turns) < math.radians(9)


@pytest.mark.parametrize("distance", [-70, -20, 0, 5, 33, 60])
@pytest.mark.parametrize("aside", [-12, 4])
def test_aside_is_square_to_the_line_and_positive_towards_the_back(distance, aside):
    here, there = PLAIN.point(distance), PLAIN.point(distance, aside)
    assert math.dist(here, there) == pytest.approx(abs(aside))
    near, far = PLAIN.point(distance - 0.01), PLAIN.point(distance + 0.01)
    assert abs((far[0] - near[0]) * (there[0] - here[0]) + (far[1] - near[1]) * (there[1] - here[1])) < 0.02 * abs(aside) * 0.2
    assert (there[0] > here[0]) is (aside > 0)  # the front of the chest is on the left


def test_the_line_is_the_soft_curve_through_the_middles_of_the_stations():
    curve, = pieces_of(smooth([station[:2] for station in PLAIN.stations]))
    assert len(PLAIN.line) == len(curve)
    for (x, y, _), there in zip(PLAIN.line, curve):
        assert (x, y) == pytest.approx(there, abs=0.02)
    assert PLAIN.line[0][2] == 0


def test_beyond_its_ends_the_line_runs_straight_on():
    for one, end, way in ((PLAIN.line[1], PLAIN.line[0], -1), (PLAIN.line[-2], PLAIN.line[-1], 1)):
        stretch = math.dist(one[:2], end[:2])
        wanted = [end[i] + (end[i] - one[i]) * 10 / stretch for i in (0, 1)]
        assert PLAIN.point(end[2] - PLAIN.zero + way * 10) == pytest.approx(wanted)


def test_every_border_stands_square_to_the_way_between_the_neighbours():
    last = len(PLAIN.stations) - 1
    for place, (x, y, front, back, _) in enumerate(PLAIN.stations):
        (ax, ay), (bx, by) = (PLAIN.stations[near][:2] for near in ((0, 1) if place == 0 else (last - 1, last) if place == last else (place - 1, place + 1)))
        for side, half in ((-1, front), (1, back)):
            px, py = PLAIN.edge(side, 0)[place]
            assert math.dist((px, py), (x, y)) == pytest.approx(half) and abs((px - x) * (bx - ax) + (py - y) * (by - ay)) < 1e-6


@pytest.mark.parametrize("left, top, size", PLACES)
def test_an_outflow_is_placed_and_sized_as_a_whole(left, top, size):
    body = Outflow(left, top, size)
    for distance, aside in ((-80, 10), (0, 0), (0, -15), (3, 0), (55, 7)):
        x, y = PLAIN.point(distance, aside)
        assert body.point(distance, aside) == pytest.approx((left + size * x, top + size * y))
    for side in (-1, 1):
        for extra in (0, 1):
            for (x, y), there in zip(PLAIN.edge(side, extra), body.edge(side, extra), strict=True):
                assert there == pytest.approx((left + size * x, top + size * y))


def test_both_borders_stand_half_a_width_off_the_line_and_the_wall_outside_them():
    changed = Outflow(0, 0, 1, [(VALVE, 20), (INFUNDIBULUM, 9), (SINUS, 31), (TRUNK, 27)])
    for station, half in ((VALVE, 20), (INFUNDIBULUM, 9), (SINUS, 31), (TRUNK, 27)):
        (fx, fy), (bx, by) = changed.edge(-1, 0)[station], changed.edge(1, 0)[station]
        assert math.dist((fx, fy), (bx, by)) == pytest.approx(2 * half)
        assert fx < bx  # the front is on the left
        along = [changed.stations[station + step][:2] for step in (-1, 1)]
        assert abs((along[1][0] - along[0][0]) * (bx - fx) + (along[1][1] - along[0][1]) * (by - fy)) < 1e-6  # square to its neighbours
        wall = changed.stations[station][4]
        for side in (-1, 1):
            assert math.dist(changed.edge(side, 0)[station], changed.edge(side, 1)[station]) == pytest.approx(wall)
            assert math.dist(changed.edge(side, 1)[station], changed.stations[station][:2]) == pytest.approx(half + wall)
    assert [changed.hinge(side) for side in (-1, 1)] == [changed.edge(side, 0)[VALVE] for side in (-1, 1)]
    for station, (x, y, *_) in enumerate(PLAIN.stations):
        if station not in (VALVE, INFUNDIBULUM, SINUS, TRUNK):
            assert changed.stations[station] == PLAIN.stations[station]


def test_anatomy_the_wall_is_muscle_below_the_valve_and_thin_above_and_the_ring_the_narrowest_place():
    walls = [station[4] for station in PLAIN.stations]
    assert min(walls[:VALVE]) > max(walls[SINUS:]) and walls[VALVE] > walls[SINUS]
    assert {b - a for a, b in zip(walls[:INFUNDIBULUM - 1], walls[1:])} == {1}  # the muscle thickens evenly towards the infundibulum
    assert len(set(walls[SINUS:])) == 1 and walls[INFUNDIBULUM] == walls[INFUNDIBULUM - 1] == max(walls)
    widths = [station[2] + station[3] for station in PLAIN.stations]
    assert widths[VALVE] == min(widths[:SINUS + 2]) and widths[SINUS] > widths[VALVE]
    assert widths[TRUNK] == max(widths[VALVE:])
    assert all(station[3] > station[2] for station in PLAIN.stations[:INFUNDIBULUM])  # the body reaches further back
    assert all(station[3] == station[2] for station in PLAIN.stations[INFUNDIBULUM:])  # a tube lies evenly about its line
    assert all(below[1] > above[1] for below, above in zip(PLAIN.stations, PLAIN.stations[1:]))  # the head is above


def test_from_the_body_to_the_trunk_the_line_bends_ever_more_towards_the_back():
    """A fair curve: its bend grows steadily, so that no station stands out of the row."""
    places = [station[:2] for station in PLAIN.stations[INFUNDIBULUM - 1:TRUNK + 3]]
    headings = [math.atan2(bx - ax, ay - by) for (ax, ay), (bx, by) in zip(places, places[1:])]
    bends = [b - a for a, b in zip(headings, headings[1:])]
    assert bends == sorted(bends) and bends[0] > 0


def test_the_body_lies_along_a_straight_line_and_the_branch_rises_a_little():
    (ax, ay), *between, (bx, by) = [station[:2] for station in PLAIN.stations[:INFUNDIBULUM]]
    for x, y in between:
        assert abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / math.dist((ax, ay), (bx, by)) < 1
    (ax, ay), (bx, by) = (station[:2] for station in PLAIN.stations[-2:])
    assert math.radians(3) < math.atan2(ay - by, bx - ax) < math.radians(5)


def test_wall_lumen_and_ridges_lie_within_each_other():
    muscle, lumen, *ridges = elements(PLAIN.drawn())
    assert [muscle.get("class"), lumen.get("class")] == ["fig-muscle", "fig-lumen"] and {one.get("class") for one in ridges} == {"fig-ridge"}
    assert elements(PLAIN.drawn("other"))[1].get("class") == "other"
    for path, extra in ((muscle, 1), (lumen, 0)):
        points, = corners(path)
        back, front = PLAIN.edge(1, extra)[::-1], PLAIN.edge(-1, extra)
        assert points[:len(back)] == [pytest.approx(point, abs=0.01) for point in back]
        assert points[len(back) + 1:] == [pytest.approx(point, abs=0.01) for point in front]
        apex, middle = points[len(back)], PLAIN.stations[0]
        assert apex[1] > max(y for _, y in back + front) - 12 and abs(apex[0] - middle[0]) < middle[2]
        assert apex[0] < middle[0]  # it points to the front of the chest
        stretch = middle[1] - PLAIN.stations[1][1]
        assert extra or apex[1] - middle[1] == pytest.approx(stretch / 2, abs=0.02)  # and closes the body half a stretch below its last station
    inner, outer = corners(lumen)[0][len(PLAIN.stations)], corners(muscle)[0][len(PLAIN.stations)]
    assert outer[1] - inner[1] == pytest.approx(PLAIN.stations[0][4], abs=0.02)
    for ridge in ridges:
        for point in corners(ridge)[0]:
            distance, aside = off(point)
            front, back = near_widths(distance)
            assert distance < -60 and -front < aside < back
        assert 12 < math.dist(corners(ridge)[0][0], corners(ridge)[0][-1]) < 22
        places = [off(point) for point in corners(ridge)[0]]
        # Each runs towards the valve and leaves its root towards the back, bowed like the muscle that it stands for.
        assert places[0][0] + 3 < places[1][0] < places[2][0] - 3
        assert places[1][1] > places[2][1] > places[0][1] + 2
    roots = [corners(ridge)[0][0] for ridge in ridges]
    assert all(math.dist(one, other) > 15 for number, one in enumerate(roots) for other in roots[:number])  # spread over the body


def near_widths(distance):
    """Half widths to front and back of the station nearest to a distance."""
    place = PLAIN.point(distance)
    nearest = min(PLAIN.stations, key=lambda station: math.dist(station[:2], place))
    return nearest[2], nearest[3]


@pytest.mark.parametrize("end", [96, 92, 40])  # of the steps of eight from −68 one ends at 92 itself
def test_a_wire_comes_from_the_back_and_follows_the_line_to_its_end(end):
    wire, = elements(PLAIN.wire(end))
    assert wire.get("class") == "fig-wire"
    points, = corners(wire)
    for place, distance in enumerate(range(-68, end + 1, 8), 3):
        assert points[place] == pytest.approx(PLAIN.point(distance), abs=0.01)
    assert len(points) == 3 + len(range(-68, end + 1, 8))
    asides = [off(point)[1] for point in points[:4]]
    assert asides == sorted(asides, reverse=True) and asides[0] > 50 and abs(asides[3]) < 0.2  # from the tricuspid side to the middle
    deep = [off(point)[0] for point in points[:4]]
    assert deep[1] < min(deep[0], deep[2]) and max(deep[0], deep[2]) < deep[3]  # it turns in the body, below where it meets the line
    usual = elements(PLAIN.wire())[0]
    assert corners(usual)[0][-1] == pytest.approx(PLAIN.point(92), abs=0.01)


def test_the_tricuspid_valve_is_a_gap_in_the_back_wall_and_the_wire_comes_through_it():
    gap, upper, lower = elements(PLAIN.tricuspid())
    assert [each.get("class") for each in (gap, upper, lower)] == ["fig-lumen-open", "fig-tricuspid", "fig-tricuspid"]
    wall, cavity = (corners(each)[0] for each in elements(PLAIN.drawn())[:2])
    wire = corners(elements(PLAIN.wire())[0])[0]
    behind, inside = (max(x for x, y in points if y > 110) for points in (wall, cavity))  # the artery above reaches further back
    assert wire[0][0] > behind > inside  # it begins behind the heart, not inside it
    tips, hinges = ([corners(leaflet)[0][end] for leaflet in (upper, lower)] for end in (-1, 0))
    for above, below in (tips, hinges):
        middle = (above[0] + below[0]) / 2
        near = min(wire[:2] + [((wire[0][0] + wire[1][0]) / 2, (wire[0][1] + wire[1][1]) / 2)], key=lambda point: abs(point[0] - middle))
        assert above[1] < near[1] < below[1]
    assert all(tip[0] < hinge[0] - 10 for tip, hinge in zip(tips, hinges))  # they hang into the ventricle


def test_what_lies_around_the_muscle_reaches_further_than_the_muscle_and_is_closed():
    around, = elements(PLAIN.around(2.5, "fig-fluid"))
    assert around.get("d").endswith("Z") and around.get("class") == "fig-fluid"
    outer, wall = corners(around)[0], corners(elements(PLAIN.drawn())[0])[0]
    assert min(x for x, _ in outer) < min(x for x, _ in wall) - 8 and max(y for _, y in outer) > max(y for _, y in wall) + 8


def test_a_body_of_another_width_may_leave_out_its_ridges():
    assert len(elements(PLAIN.drawn())) == 8 and len(elements(PLAIN.drawn(ridged=False))) == 2


@pytest.mark.parametrize("body", [PLAIN, Outflow(0, 0, 1, [(VALVE, 20)])])
@pytest.mark.parametrize("tip, gap, bow", [(15, 6, 4), (13, 4, 0), (-3, 0, -4)])
def test_leaflets_run_from_the_hinges_to_tips_that_leave_the_gap(body, tip, gap, bow):
    one, other = (corners(leaflet)[0] for leaflet in elements(body.leaflets(tip, gap, "l", bow)))
    assert [points[0] for points in (one, other)] == [pytest.approx(body.hinge(side), abs=0.01) for side in (-1, 1)]
    assert [points[-1] for points in (one, other)] == [pytest.approx(body.point(tip, side * gap / 2), abs=0.01) for side in (-1, 1)]
    middles = [off(points[1], body) for points in (one, other)]
    for distance, _ in middles:  # about half way, and moved by the bow
        assert abs(distance - bow - tip / 2) < 0.1 * abs(tip) + 0.2
    half = body.stations[VALVE][2]
    assert -middles[0][1] == pytest.approx(middles[1][1], abs=0.05)
    assert (half + gap / 2) / 2 < middles[1][1] < half  # a sail bulges to the wall: outside the straight way from hinge to tip
    assert len(one) == len(other) == 3


def test_leaflets_bulge_by_the_same_part_whatever_gap_they_leave():
    parts = []
    for half, gap in ((15, 2), (15, 5), (15, 12), (20, 6)):
        body = Outflow(0, 0, 1, [(VALVE, half)])
        for leaflet in elements(body.leaflets(12, gap)):
            parts.append(abs(off(corners(leaflet)[0][1], body)[1]) / ((half + gap / 2) / 2))
    assert parts == pytest.approx([parts[0]] * 8, rel=0.01) and 1.1 < parts[0] < 1.25  # of the straight way from hinge to tip


@pytest.mark.parametrize("left, top, size", PLACES)
@pytest.mark.parametrize("part", [lambda body: body.leaflets(15, 6, "l", 4), lambda body: body.drawn(), lambda body: body.wire(),
                                  lambda body: body.balloon(8, 24, 13, 8, 7.5)], ids=["leaflets", "walls", "wire", "balloon"])
def test_every_part_keeps_its_shape_at_another_size(part, left, top, size):
    for small, plain in zip(elements(part(Outflow(left, top, size))), elements(part(PLAIN)), strict=True):
        assert small.get("class") == plain.get("class")
        for points, there in zip(pieces_of(small.get("d")), pieces_of(plain.get("d")), strict=True):
            assert points == [pytest.approx((left + size * x, top + size * y), abs=0.03) for x, y in there]


@pytest.mark.parametrize("middle, half_length, radius", [(8, 24, 13), (-13, 24, 13), (0, 30, 10)])
def test_a_balloon_is_a_cylinder_with_shoulders_and_two_marks_at_its_ends(middle, half_length, radius):
    balloon, *marks = elements(PLAIN.balloon(middle, half_length, radius))
    points = pieces_of(balloon.get("d"))[0][:-1]
    front, back = points[:41], points[41:][::-1]
    assert len(front) == len(back) == 41 and balloon.get("class") == "fig-balloon"
    reach = half_length + 0.9 * radius
    for step, (one, other) in enumerate(zip(front, back)):
        along = -reach + reach * step / 20
        centre = PLAIN.point(middle + along)
        assert ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2) == pytest.approx(centre, abs=0.02)
        over = (abs(along) - half_length) / (0.9 * radius)
        # Full between the marks; beyond them a parabola that comes down to the shaft where the shoulder ends.
        wanted = 2 * radius if over <= 0 else max(2 * radius * (1 - over * over), 1.6)
        assert math.dist(one, other) == pytest.approx(wanted, abs=0.03)
        assert one[0] < other[0] or math.dist(one, other) < 2 or middle + along > 40
    assert len(marks) == 2 and {mark.get("class") for mark in marks} == {"fig-marker"}
    for mark, end in zip(marks, (-half_length, half_length)):
        a, b = corners(mark)[0]
        assert ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) == pytest.approx(PLAIN.point(middle + end), abs=0.02) and 4 < math.dist(a, b) < 7


def test_a_balloon_is_full_between_its_ends_and_nothing_beyond_its_shoulders():
    # Half length 24, shoulders of 10: half way down the shoulder a parabola has lost a quarter.
    assert [balloon_half_width(along, 24, 10, 12) for along in (-50, -38, -34, -29, -24, 0, 24, 29, 34, 38, 50)] == [0, 0, 0, 9, 12, 12, 12, 9, 0, 0, 0]


@pytest.mark.parametrize("middle, waist_at, depth, half", [(8, 8, 7.5, 9.0), (-13, 8, 5, 9.0), (0, 3, 6, 14.0)])
def test_a_waist_is_deepest_where_the_valve_is_and_soft_at_both_ends(middle, waist_at, depth, half):
    plain, pinched = (pieces_of(elements(PLAIN.balloon(middle, 24, 13, *more))[0].get("d"))[0] for more in ((), (waist_at, depth, half)))
    for step in range(41):
        place = middle - 24 - 11.7 + (24 + 11.7) * step / 20
        share = (place - waist_at) / half
        narrower = depth * (1 - share * share) ** 2 if abs(share) < 1 else 0
        before, after = (math.dist(points[step], points[81 - step]) for points in (plain, pinched))
        assert after == pytest.approx(max(before - 2 * narrower, 1.6), abs=0.04)
    usual = elements(PLAIN.balloon(middle, 24, 13, waist_at, depth))[0].get("d")
    assert usual == elements(PLAIN.balloon(middle, 24, 13, waist_at, depth, 9.0))[0].get("d")
    flat = elements(PLAIN.balloon(middle, 24, 13, waist_at))[0].get("d")
    assert flat == elements(PLAIN.balloon(middle, 24, 13))[0].get("d")

"""The two forms of valve and the course of the catheter: what is symmetrical, what is open, and what runs through what."""

import math

from tests.helpers.draw_examples import SVG
from tests.helpers.drawn_axes import close, corners, line_of, shapes, texts
from tests.helpers.drawn_cases import inside, nearest, only, picture
from tests.helpers.drawn_shapes import box_of, looks, outlines


# --- valves ----------------------------------------------------------------------------------------------

MIDDLES = [(45, 94), (135, 94), (225, 94), (315, 94), (45, 254), (135, 254), (225, 254), (315, 254)]
DOMED_SHUT, DOMED_OPEN, DOMED_SIDE, DOMED_SIDE_OPEN, THICK_SHUT, THICK_OPEN, THICK_SIDE, THICK_SIDE_OPEN = range(8)


def fields_of_valves(root):
    """For each of the eight drawings of valves its elements with their places, told from its middle."""
    found = [[] for _ in MIDDLES]
    for each, pieces in outlines(root):
        if "fig-frame" in looks(each):
            continue
        points = [point for piece in pieces for point in piece]
        x, y = (sum(point[i] for point in points) / len(points) for i in (0, 1))
        place = min(range(8), key=lambda field: math.dist(MIDDLES[field], (x, y)))
        found[place].append((looks(each)[0], [(px - MIDDLES[place][0], py - MIDDLES[place][1]) for px, py in points]))
    return found


def same_places(one, other, within=0.05):
    return all(nearest(point, other) <= within for point in one) and all(nearest(point, one) <= within for point in other)


def outline_points(field, *wanted):
    return [point for look, points in field if not wanted or look in wanted for point in points]


@only("valve_open_shut")
def test_every_valve_is_the_same_on_both_sides(name):
    for field in fields_of_valves(picture(name)):
        assert len(field) > 2
        for look in {look for look, _ in field}:
            points = outline_points(field, look)
            if look != "fig-leaflet-fill":
                assert same_places(points, [(-x, y) for x, y in points], 0.3 if look in ("fig-cusp", "fig-hole") else 0.06), look


@only("valve_open_shut")
def test_from_above_each_valve_is_the_same_turned_by_a_third(name):
    fields = fields_of_valves(picture(name))
    for place in (DOMED_SHUT, DOMED_OPEN, THICK_SHUT, THICK_OPEN):
        strokes = [points for look, points in fields[place] if look in ("fig-raphe", "fig-leaflet", "fig-cusp-thick")]
        assert len(strokes) % 3 == 0 and strokes
        points = [point for stroke in strokes for point in stroke]
        c, s = math.cos(2 * math.pi / 3), math.sin(2 * math.pi / 3)
        assert same_places(points, [(c * x - s * y, s * x + c * y) for x, y in points])
        lumps = [(sum(x for x, _ in points[1:]) / 32, sum(y for _, y in points[1:]) / 32) for look, points in fields[place] if look == "fig-leaflet-fill"]
        assert len(lumps) == (15 if place >= THICK_SHUT else 0)
        assert not lumps or same_places(lumps, [(c * x - s * y, s * x + c * y) for x, y in lumps]) and same_places(lumps, [(-x, y) for x, y in lumps])
        assert all(math.dist(one, other) > 4.8 for number, one in enumerate(lumps) for other in lumps[:number])
        cusps = [points for look, points in fields[place] if look == "fig-cusp-thick"]
        assert all(any(inside(lump, cusp) for cusp in cusps) for lump in lumps)


def far(points):
    return max(math.hypot(x, y) for x, y in points)


def near(points):
    return min(math.hypot(x, y) for x, y in points)


@only("valve_open_shut")
def test_fused_seams_do_not_reach_the_wall_and_free_ones_do(name):
    fields = fields_of_valves(picture(name))
    for place in (DOMED_SHUT, DOMED_OPEN):
        wall = far(outline_points(fields[place], "fig-cusp"))
        assert 3 < wall - far(outline_points(fields[place], "fig-raphe")) < 7
    hole = outline_points(fields[DOMED_OPEN], "fig-hole")
    assert 7 < far(hole) < 11 and "fig-hole" not in [look for look, _ in fields[DOMED_SHUT]]
    assert 2 < near(outline_points(fields[DOMED_OPEN], "fig-raphe")) - far(hole) < 6
    assert len([1 for look, _ in fields[DOMED_SHUT] if look == "fig-leaflet"]) == 3 and near(outline_points(fields[DOMED_SHUT], "fig-leaflet")) == 0
    assert 5 < far(outline_points(fields[DOMED_SHUT], "fig-leaflet")) < 10
    for place in (THICK_SHUT, THICK_OPEN):
        wall = far(outline_points(fields[place], "fig-hole"))
        cusps = [points for look, points in fields[place] if look == "fig-cusp-thick"]
        assert len(cusps) == 3 and all(wall - 4 < far(points) < wall for points in cusps)
        for points in cusps:  # each fills a third less the slits beside it
            arc = [math.degrees(math.atan2(y, x)) for x, y in points if math.hypot(x, y) > wall - 4]
            turned = [(degrees - arc[0] + 180) % 360 - 180 for degrees in arc]
            assert len(arc) == 7 and turned == sorted(turned) and 100 < turned[-1] - turned[0] < 118
        for lump in [points for look, points in fields[place] if look == "fig-leaflet-fill"]:
            assert far(lump) < wall
    assert near(outline_points(fields[THICK_SHUT], "fig-cusp-thick")) < near(outline_points(fields[THICK_OPEN], "fig-cusp-thick")) < 7
    assert far(outline_points(fields[THICK_SHUT], "fig-hole")) < far(outline_points(fields[DOMED_SHUT], "fig-cusp"))  # a small ring


@only("valve_open_shut")
def test_in_profile_the_dome_leaves_one_small_hole_and_thick_leaflets_hardly_open(name):
    fields = fields_of_valves(picture(name))

    def gap(field, look):
        return min(abs(x) for x, _ in outline_points(field, look)) * 2

    assert gap(fields[DOMED_SIDE], "fig-leaflet") == 0 and 5 < gap(fields[DOMED_SIDE_OPEN], "fig-leaflet") < 11
    assert gap(fields[THICK_SIDE], "fig-leaflet-thick") < gap(fields[THICK_SIDE_OPEN], "fig-leaflet-thick") < 18
    for shut, opened, look in ((DOMED_SIDE, DOMED_SIDE_OPEN, "fig-leaflet"), (THICK_SIDE, THICK_SIDE_OPEN, "fig-leaflet-thick")):
        tips = [min(y for _, y in outline_points(fields[place], look)) for place in (shut, opened)]
        assert tips[1] < tips[0]  # open leaflets stand higher, towards the artery on top
        assert [len([1 for kind, _ in fields[place] if kind == look]) for place in (shut, opened)] == [2, 2]
        for points in [points for place in (shut, opened) for kind, points in fields[place] if kind == look]:
            knots = points[::8]
            assert all(abs(b[0]) < abs(a[0]) and a[0] * b[0] >= 0 for a, b in zip(knots, knots[1:]))  # from its wall to the middle
        for place, jets in ((shut, 0), (opened, 1)):
            shafts = [points for kind, points in fields[place] if kind == "fig-jet"]
            assert len(shafts) == len([1 for kind, _ in fields[place] if kind == "fig-jet-head"]) == jets
            for points in shafts:
                head = outline_points(fields[place], "fig-jet-head")
                start, end = max(y for _, y in points), min(y for _, y in outline_points(fields[place], "fig-jet-head"))
                assert start - min(y for _, y in outline_points(fields[place], look)) > 10 and -18 < start < 10 and -45 < end < -30  # from below the tips
                assert {x for x, _ in points} == {0} and min(y for _, y in head) < min(y for _, y in points) < max(y for _, y in points)
                assert min(y for _, y in head) < min(y for _, y in outline_points(fields[place], look))  # through the hole and out
    for points in [points for kind, points in fields[DOMED_SIDE] if kind == "fig-leaflet"]:
        assert all(y > 2 for _, y in points[8::8]) and all(y > 4 for _, y in points[8:-8:8])  # shut they sag into the ventricle
    ring = {place: min(abs(x) for x, y in outline_points(fields[place], "fig-muscle") if abs(y) < 12) for place in (DOMED_SIDE, THICK_SIDE)}
    trunk = {place: min(abs(x) for x, y in outline_points(fields[place], "fig-muscle") if y < -30) for place in (DOMED_SIDE, THICK_SIDE)}
    assert ring[THICK_SIDE] < ring[DOMED_SIDE] and trunk[THICK_SIDE] < ring[DOMED_SIDE] < trunk[DOMED_SIDE]
    for place in (DOMED_SIDE, THICK_SIDE):
        roots = [point for _, points in fields[place] if _.startswith("fig-leaflet") for point in points[:1]]
        assert all(abs(abs(x) - ring[place]) < 3 and abs(y) < 3 for x, y in roots)
        walls = [points for look, points in fields[place] if look == "fig-muscle"]
        assert len(walls) == 2 and all(max(y for _, y in points) - min(y for _, y in points) > 70 for points in walls)
        for points in walls:  # inner border up, outer border down, never across each other
            half = len(points) // 2
            inner, outer = [y for _, y in points[:half]], [y for _, y in points[half:]]
            assert close(points[half - 1][1], -40, 0.1) and close(points[half][1], -40, 0.1) and close(abs(points[half][0] - points[half - 1][0]), 2, 0.1)
            assert min(inner[0], outer[-1]) > 30 and abs(points[0][0]) > ring[place] + 3  # it widens towards the ventricle
            assert all(b < a + 1 for a, b in zip(inner, inner[1:])) and all(b > a - 1 for a, b in zip(outer, outer[1:]))
            assert all(abs(x) > 8 for x, _ in points) and points[0][1] > points[half - 2][1] < points[-1][1]
            for x, y in points[half + 1:]:
                inside = min(points[:half - 1], key=lambda point: abs(point[1] - y))
                assert abs(x) > abs(inside[0]) + 0.9


@only("valve_open_shut")
def test_the_words_of_a_valve_stand_over_under_and_beside_it(name):
    root = picture(name)
    small = texts(root, look="fig-small", anchor="middle")
    assert [(x, text) for x, _, text in small[:2]] == [(90, "from above"), (270, "in profile")]
    assert [(x, text) for x, _, text in small[2:]] == [(x, word) for _ in (0, 1) for x, word in zip((45, 135, 225, 315), ("shut", "open", "shut", "open"))]
    for place, (x, y, _) in enumerate(small[2:]):
        assert 45 < y - MIDDLES[place][1] < 60
    for (x, y, text), (wanted, row) in zip(texts(root, look="fig-strong"), (("Domed valve", 94), ("Dysplastic valve", 254)), strict=True):
        assert text == wanted and 3 < x < 8 and 45 < row - y < 65
    rows = texts(root, look="fig-small", x=4)
    assert rows[0][2].startswith("Domed valve: thin leaflets") and any(text.startswith("Dysplastic valve: thick") for _, _, text in rows)
    assert {round(b[1] - a[1]) for a, b in zip(rows, rows[1:])} <= {16, 20}  # a little more between the two
    upright, level = [line_of(line) for line in shapes(root, "line", "fig-frame")]
    assert upright[0] == upright[2] == 180 and level[1] == level[3] == 156 and (level[0], level[2]) == (0, 360)
    said = root.find(SVG + "desc").text
    assert "Domed valve: thin" in said and "Dysplastic valve: thick" in said


# --- catheter --------------------------------------------------------------------------------------------


@only("catheter_course")
def test_the_catheter_runs_through_both_chambers_to_its_tip_and_stays_within_the_vessels(name):
    root = picture(name)
    shapes_of = [(looks(each), pieces[0]) for each, pieces in outlines(root)]
    atrium, ventricle = [points for names, points in shapes_of if names == ["fig-lumen-open"]]
    tubes = [(points, 12 if "fig-tube-narrow" in names else 21 if "fig-tube-wide" in names else 23)
             for names, points in shapes_of if "fig-tube" in names]
    course = [points for names, points in shapes_of if names == ["fig-catheter"]][0]
    tip = [points for names, points in shapes_of if names == ["fig-tip"]][0]
    assert all(path.get("d").endswith("Z") for path in shapes(root, "path", "fig-lumen"))
    for point in course:
        within = inside(point, atrium) or inside(point, ventricle) or any(nearest(point, fine(points)) <= half for points, half in tubes)
        assert within, point
    order = ["atrium" if inside(point, atrium) else "ventricle" if inside(point, ventricle) else "" for point in course]
    visited = [name for place, name in enumerate(order) if name and (place == 0 or order[place - 1] != name)]
    assert visited == ["atrium", "ventricle"] and course[0][1] > 240 and course[-1][1] < 100
    assert nearest(course[-1], tip) < 7 and max(x for x, _ in tip) - min(x for x, _ in tip) > 10
    borders = [(points) for names, points in shapes_of if "fig-tube-edge" in names]
    assert borders == [points for names, points in shapes_of if "fig-tube" in names and "fig-tube-orifice" not in names]


def fine(points):
    """The places of a stroke and the middles between them."""
    return points + [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(points, points[1:])]


@only("catheter_course")
def test_the_right_way_goes_between_the_leaflets_and_the_wrong_one_between_chords(name):
    root = picture(name)
    ways = [fine(corners(path)[0]) for path in shapes(root, "path", "fig-catheter")[1:] + shapes(root, "path", "fig-catheter-bad")]
    leaflets = [corners(path)[0] for path in shapes(root, "path", "fig-leaflet")][4:]
    chords = [corners(path)[0] for path in shapes(root, "path", "fig-chord")]
    heads = [corners(path)[0] for path in shapes(root, "path", "fig-muscle")]
    assert len(leaflets) == 8 and len(chords) == 12 and len(heads) == 4
    for field in (0, 1):
        flaps = leaflets[4 * field + 2:4 * field + 4]
        for chord, start in zip(chords[6 * field:6 * field + 6], [0] * 3 + [1] * 3):
            along = [point for piece in [pieces for each, pieces in outlines(root) if looks(each) == ["fig-leaflet"]] for point in piece[0]]
            assert nearest(chord[0], along) < 4 and min(nearest(chord[1], head) for head in heads[2 * field:2 * field + 2]) < 1
            assert chord[1][0] > chord[0][0]  # from the leaflet to the muscle in the ventricle
        upper, lower = flaps
        assert upper[-1][1] < lower[-1][1] and all(184 * field < x < 184 * field + 180 for flap in flaps for x, _ in flap)
    for head, side in zip(heads, (-1, 1, -1, 1)):  # a cone that opens to the right, away from the middle
        (x1, y1), (x, y), (x2, y2) = head
        assert 22 < x1 - x < 30 and close(x1, x2) and 12 < y2 - y1 < 20 and 4 < side * ((y1 + y2) / 2 - y) < 8
    edge = [leaflets[2][-1], leaflets[3][-1]]
    passed = min(ways[0], key=lambda point: abs(point[0] - edge[0][0]))
    assert edge[0][1] + 2 < passed[1] < edge[1][1] - 2  # between the free edges
    wrong = leaflets[6]
    passed = min(ways[1], key=lambda point: abs(point[0] - wrong[-1][0]))
    assert passed[1] < wrong[-1][1]  # behind the upper leaflet
    cross, = [pieces for each, pieces in outlines(root) if looks(each) == ["fig-cross"]]
    middle = [sum(point[i] for piece in cross for point in piece) / 4 for i in (0, 1)]
    assert nearest(middle, ways[1]) < 6 and all(close(math.dist(*piece), 18 * math.sqrt(2)) for piece in cross)


@only("catheter_course")
def test_words_of_the_heart_stand_beside_what_they_name(name):
    root = picture(name)
    shapes_of = [(looks(each), pieces[0]) for each, pieces in outlines(root)]
    atrium, ventricle = [points for names, points in shapes_of if names == ["fig-lumen-open"]]
    tip = [points for names, points in shapes_of if names == ["fig-tip"]][0]
    caval = [points for names, points in shapes_of if "fig-tube-edge" in names][1]
    words = {}
    for each in root.iter(SVG + "text"):
        if "fig-halo" in looks(each):
            words.setdefault(each.text, []).append(box_of(each))
    def apart(box, points):
        return min(math.hypot(max(box[0] - x, 0, x - box[2]), max(box[1] - y, 0, y - box[3])) for x, y in points)
    assert apart(words["atrium"][0], atrium) < 14 and apart(words["ventricle"][0], ventricle) < 20
    assert apart(words["left"][0], tip) < 40 and apart(words["lower caval vein"][0], caval) < 14
    for first, second in (("right", "atrium"), ("right", "ventricle"), ("left", "branch"), ("right", "branch")):
        assert any(abs(two[1] - one[1] - 14) < 0.1 and (close(one[0], two[0], 0.1) or close(one[2], two[2], 0.1)) for one in words[first] for two in words[second])
    upright = [line_of(line) for line in shapes(root, "line", "fig-frame")]
    assert close(upright, [(0, 264, 360, 264), (180, 264, 180, 432)])
    (x, y, text), = texts(root, look="fig-good-text")
    (other, also, more), = texts(root, look="fig-bad-text")
    assert text == "Right: main orifice" and more == "Wrong: between chords" and y == also and x < 180 < other and 264 < y < 290

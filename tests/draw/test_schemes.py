"""Schematic pictures of outflows, balloons and curves: what lies where, and what an arrow or a word points at."""

import math

from tests.helpers.draw_examples import SVG
from tests.helpers.drawn_axes import close, corners, line_of, of, shapes, texts
from tests.helpers.drawn_cases import arrows, each, ends, nearest, only, picture, root  # noqa: F401  root is a fixture
from tests.helpers.drawn_shapes import box_of, looks, outlines


# --- outflows --------------------------------------------------------------------------------------------


@only("outflow_levels")
def test_each_arrow_points_from_the_front_at_the_wall_of_its_level(name):
    root = picture(name)
    leaflets = [ends(path) for path in shapes(root, "path", "fig-leaflet")]
    muscles = [[point for piece in pieces for point in piece] for each, pieces in outlines(root) if "fig-muscle" in looks(each)]
    assert len(leaflets) == 6 and len(muscles) == 3
    heights = []
    for place, (tail, tip) in enumerate(arrows(root, "fig-arrow")):
        hinges = [leaflets[2 * place + side][0] for side in (0, 1)]
        level = (hinges[0][1] + hinges[1][1]) / 2
        assert tail[0] < tip[0] and 120 * place < tail[0] and tip[0] < hinges[1][0]  # the front is on the left
        assert nearest(tip, muscles[place]) < 12 < nearest(tail, muscles[place])
        heights.append((level - tip[1]) / 0.72)
    assert heights[1] - heights[0] > 15 and heights[2] - heights[1] > 15
    gaps = [math.dist(leaflets[2 * place][1], leaflets[2 * place + 1][1]) for place in (0, 1, 2)]
    assert gaps[1] < gaps[0] / 4 and close(gaps[0], gaps[2])  # only the valve itself leaves but a small hole


@only("outflow_levels")
def test_the_words_of_a_level_stand_over_and_under_its_outflow(name):
    root = picture(name)
    heads = [one for one in texts(root, look="fig-strong")]
    assert [text for _, _, text in heads] == ["1 below the valve", "2 at the valve", "3 above the valve"]
    assert close([x - heads[0][0] for x, _, _ in heads], [0, 120, 240])  # a third of the width each
    for place, (x, _, _) in enumerate(heads):
        below = [text for other, y, text in texts(root, look="fig-small") if close(other, x) and y > 180]
        assert 120 * place + 3 <= x <= 120 * place + 8 and " ".join(below).split(":")[0] in " ".join(below)
        assert ["infundibular: muscle", "valvar: leaflets fused or thick", "supravalvar: wall of the trunk"][place] in " ".join(below)


@each("hinge_points")
def test_the_frame_to_measure_in_has_domed_leaflets_a_jet_and_the_good_colours(root, given):
    leaflets = [ends(path) for path in shapes(root, "path", "fig-leaflet")]
    (one, other), (third, fourth) = leaflets[:2], leaflets[2:]
    across = math.dist(one[0], other[0])
    axis = ((other[0][1] - one[0][1]) / across, (one[0][0] - other[0][0]) / across)  # towards the artery, square to the ring
    def above(leaflet):
        return (leaflet[1][0] - leaflet[0][0]) * axis[0] + (leaflet[1][1] - leaflet[0][1]) * axis[1]
    assert above(one) > 8 and above(other) > 8 and above(third) < 0 and above(fourth) < 0
    assert 0.1 * across < math.dist(one[1], other[1]) < 0.5 * across and math.dist(third[1], fourth[1]) < 1
    for path in shapes(root, "path", "fig-leaflet")[2:]:  # shut they sag into the ventricle
        start, bend, end = corners(path)[0]
        assert above((start, bend)) < above((start, end)) - 1
    spans = [corners(path)[0] for path in shapes(root, "path", "fig-measure-strong") + shapes(root, "path", "fig-measure")]
    assert close(spans, [[one[0], other[0]], [third[0], fourth[0]]])  # from hinge to hinge
    jets = arrows(root, "fig-jet")
    assert len(jets) == 2 and all(x < 180 for jet in jets for x, _ in jet)
    tails, tips = (math.dist(jets[0][end], jets[1][end]) for end in (0, 1))
    hinges, tail, goal = ([(a[i] + b[i]) / 2 for i in (0, 1)] for a, b in ((one[0], other[0]), (jets[0][0], jets[1][0]), (one[1], other[1])))
    way = (goal[0] - hinges[0], goal[1] - hinges[1])
    aside = ((tail[0] - hinges[0]) * way[1] - (tail[1] - hinges[1]) * way[0]) / math.hypot(*way)
    assert abs(aside) < 0.4  # the jets begin on either side of the line from the ring to the hole
    assert 2 < tips / tails < 3.8 and tails < math.dist(one[1], other[1])  # it widens beyond the hole
    middle = [(one[1][i] + other[1][i]) / 2 for i in (0, 1)]
    assert math.dist([(jets[0][0][i] + jets[1][0][i]) / 2 for i in (0, 1)], middle) < 14
    good, odd = shapes(root, "circle", "fig-dot-good"), shapes(root, "circle", "fig-dot")
    assert len(good) == len(odd) == 2 and all(of(dot, "cx") < (180,) for dot in good) and all(of(dot, "cx") > (180,) for dot in odd)
    assert len({of(dot, "r") for dot in good + odd}) == 1
    assert [text for _, _, text in texts(root, look="fig-good-text")] == ["measure here"]
    assert [text for _, _, text in texts(root, look="fig-bad-text")] == ["not this frame"]
    assert [text for _, _, text in texts(root, look="fig-strong")] == ["Valve open:", "End of diastole:"]


@each("hinge_points")
def test_the_words_hinge_point_are_led_to_a_hinge_point(root, given):
    (x, y, _), = [one for one in texts(root, look="fig-small") if one[2] == "hinge point"]
    (x1, y1, x2, y2), = [line_of(line) for line in shapes(root, "line", "fig-leader")]
    dot = of(shapes(root, "circle", "fig-dot-good")[1], "cx", "cy")
    assert 3 < math.dist(dot, (x1, y1)) < 9 < math.dist(dot, (x2, y2))
    assert 0 < x - x2 < 6 and 0 < y - y2 < 12
    way, from_dot = (x2 - x1, y2 - y1), (x1 - dot[0], y1 - dot[1])
    assert way[0] * from_dot[0] + way[1] * from_dot[1] > 0.9 * math.hypot(*way) * math.hypot(*from_dot)  # straight away from the dot


# --- balloons --------------------------------------------------------------------------------------------


@only("balloon_position")
def test_the_valve_pinches_the_balloon_where_the_words_say(name):
    root = picture(name)
    marks = [corners(path)[0] for path in shapes(root, "path", "fig-marker")]
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in marks]
    leaflets = [ends(path) for path in shapes(root, "path", "fig-leaflet")]
    balloons = [corners(path)[0] for path in shapes(root, "path", "fig-balloon")]
    shares = []
    for place in range(4):
        lower, upper = middles[2 * place:2 * place + 2]
        tips = [leaflets[2 * place + side][1] for side in (0, 1)]
        points = balloons[place][:-1]
        pairs = list(zip(points[:len(points) // 2], points[len(points) // 2:][::-1]))
        between = [pair for pair in pairs if math.dist(*pair) > 8]  # the shoulders come down further
        waist = min(between, key=lambda pair: math.dist(*pair))
        way, off = [(upper[i] - lower[i]) for i in (0, 1)], [(waist[0][i] + waist[1][i]) / 2 - lower[i] for i in (0, 1)]
        shares.append((off[0] * way[0] + off[1] * way[1]) / (way[0] ** 2 + way[1] ** 2))
        if place == 3:
            assert max(math.dist(*pair) for pair in pairs) - math.dist(*pairs[20]) < 0.1  # no waist
        if place < 3:  # the leaflets lie against the waist
            assert all(nearest(tip, balloons[place]) < 9 for tip in tips)
            assert math.dist(*tips) < math.dist(leaflets[2 * place][0], leaflets[2 * place + 1][0])
    low, right, high, _ = shares
    assert 2 / 3 < low < 1.05 and 1 / 3 < right < 2 / 3 and -0.05 < high < 1 / 3
    ring = [sum(leaflets[6 + side][0][i] for side in (0, 1)) / 2 for i in (0, 1)]
    assert nearest(ring, balloons[3]) > 10 and middles[7][1] > ring[1]  # all of the slipped balloon lies below the ring
    gaps = [math.dist(leaflets[2 * place][1], leaflets[2 * place + 1][1]) for place in range(4)]
    assert gaps[3] < 0.7 * gaps[0] and close(gaps[0], gaps[1]) and close(gaps[1], gaps[2])
    assert close(right, 0.5, 0.01)
    slip, = arrows(root, "fig-arrow")
    way = [middles[7][i] - middles[6][i] for i in (0, 1)]
    along = [sum((end[i] - ring[i]) * way[i] for i in (0, 1)) / math.hypot(*way) for end in slip]
    assert along[0] < -2 and along[1] < along[0] - 20  # from below the valve back into the body
    assert slip[0][1] < slip[1][1] and slip[0][0] > 180 and slip[0][1] > 282  # back towards the body, in the fourth field


@only("balloon_position")
def test_each_position_has_its_own_field_its_name_and_its_colour(name):
    root = picture(name)
    names = [one for one in texts(root) if one[2] in ("Too low", "Right", "Too high", "Slipped")]
    assert [text for _, _, text in names] == ["Too low", "Right", "Too high", "Slipped"]
    check_fields(root, names, "fig-small", 282)
    assert [text for _, _, text in texts(root, look="fig-good-text")] == ["Right"]


def check_fields(root, names, look, split):
    """Four fields, two by two, halved by two lines: name above the drawing, words below it, both at the left of the field."""
    lines = [line_of(line) for line in shapes(root, "line", "fig-frame")]
    (upright,), (level,) = [one for one in lines if one[0] == one[2]], [one for one in lines if one[1] == one[3]]
    assert upright[0] == 180 and (level[0], level[2]) == (0, 360) and level[1] == split and upright[1] < 12
    assert float(root.get("viewBox").split()[3]) - upright[3] < 12
    for place, (x, y, _) in enumerate(names):
        row, column = divmod(place, 2)
        assert 4 <= x - 180 * column <= 8 and 13 <= y - (split * row) <= 22
        strokes = [point for each, pieces in outlines(root) if "fig-frame" not in looks(each) for piece in pieces for point in piece
                   if (point[0] > 180) is (column == 1) and (point[1] > split) is (row == 1)]
        assert 4 < min(b for _, b in strokes) - y < 40
        words = [one for one in texts(root, look=look) if close(one[0], x) and (one[1] > split) is (row == 1)]
        assert words and all(box_of(each)[2] <= 180 * (column + 1) + 2 for each in root.iter(SVG + "text") if float(each.get("x")) == x)
        assert min(one[1] for one in words) - y > 80 and max(one[1] for one in words) < [split, float(root.get("viewBox").split()[3])][row]
        assert max(b for _, b in strokes) < min(one[1] for one in words) - 9
        steps = {round(b[1] - a[1], 2) for a, b in zip(words, words[1:])}
        assert steps <= {14.0}  # lines of 12.5 units


@only("waist")
def test_each_waist_is_symmetrical_and_its_leaflets_lie_against_it(name):
    root = picture(name)
    balloons = [corners(path)[0][:-1] for path in shapes(root, "path", "fig-balloon")]
    leaflets = [corners(path)[0] for path in shapes(root, "path", "fig-leaflet")]
    marks = [line_of(line) for line in shapes(root, "line", "fig-marker")]
    wires = [line_of(line) for line in shapes(root, "line", "fig-wire")]
    walls = [line_of(line) for line in shapes(root, "line", "fig-wall")]
    depths = []
    for place, points in enumerate(balloons):
        x, y = (wires[place][0] + wires[place][2]) / 2, wires[place][1]
        assert 180 * (place % 2) < wires[place][0] and wires[place][2] < 180 * (place % 2 + 1)
        upper, lower = points[:49], points[49:][::-1]
        assert len(upper) == len(lower) == 49
        for (left, top), (also, bottom), (mirror, other) in zip(upper, lower, upper[::-1]):
            assert close(left, also, 0.02) and close(y - top, bottom - y, 0.02)
            assert close(x - left, mirror - x, 0.02) and close(top, other, 0.02)
        widest, middle = max(y - top for _, top in upper), y - upper[24][1]
        depths.append(widest - middle)
        one, other = marks[2 * place:2 * place + 2]
        assert close((x - one[0], one[0]), (other[0] - x, one[2])) and close(y - one[1], one[3] - y) and close(one[1::2], other[1::2]) and one[3] - one[1] == 8
        full = [y - top for left, top in upper if 24 <= abs(left - x) <= abs(x - one[0])]
        assert len(full) > 10 and close(full, [widest] * len(full))  # full from the waist to the marks
        at_mark = [top for left, top in upper if abs(left - one[0]) <= 1.5]
        assert at_mark and close(y - min(at_mark), widest, 0.5)  # the marks stand at the ends of the full part
        assert upper[0][1] > y - 4 and close(upper[0][0], x - 66, 1.0)
        assert wires[place][0] < upper[0][0] and wires[place][2] > upper[-1][0]
        above, below = walls[2 * place:2 * place + 2]
        assert close(above[1], above[3]) and close(y - above[1], below[1] - y) and y - above[1] > widest and close(above[0::2], below[0::2])
        assert close(x - above[0], above[2] - x) and above[0] > wires[place][0]
        for leaflet, side in zip(leaflets[2 * place:2 * place + 2], (-1, 1)):
            root_point, bend, tip = leaflet
            assert 0 < (y + side * 40 - root_point[1]) * side < 4 and 2 < x - root_point[0] < 6  # from the wall, below the valve
            assert 0.5 <= (tip[1] - y) * side - middle <= 1.5  # to the balloon
            assert close(bend[0] - x, (tip[0] - x) / 2)
            assert (tip[1] - y) * side + 3 < (bend[1] - y) * side < (root_point[1] - y) * side - 2 and x - 1 <= bend[0] <= tip[0]
            assert (tip[0] > x + 8) is (depths[place] < 0.01)  # torn leaflets are pushed aside
        for i in (0, 1, 2):
            assert close(leaflets[2 * place][i][0], leaflets[2 * place + 1][i][0]) and close(y - leaflets[2 * place][i][1], leaflets[2 * place + 1][i][1] - y)
    assert depths[1] > depths[0] > 8 and depths[2] < 0.01 and 5 < depths[3] < depths[0]
    # A sharp waist is narrow, one that melted is wide: where the balloon is less than half pinched.
    halves = [sum(1 for _, top in points[:49] if (wires[place][1] - top) < 26 - depths[place] / 2) for place, points in enumerate(balloons)]
    assert halves[3] > halves[0] and halves[1] <= halves[0] + 4


@only("waist")
def test_each_waist_has_its_own_field_its_name_and_its_colour(name):
    root = picture(name)
    names = [one for one in texts(root) if one[2][:2] in ("1 ", "2 ", "3 ", "4 ")]
    assert [text for _, _, text in names] == ["1 Appears", "2 Deepens", "3 Gone", "4 Comes back"]
    check_fields(root, names, "fig-small", 176)
    assert [text for _, _, text in texts(root, look="fig-good-text")] == ["3 Gone"] and [text for _, _, text in texts(root, look="fig-bad-text")] == ["4 Comes back"]


# --- curves ----------------------------------------------------------------------------------------------
def peaks_and_dips(points):
    """(places of the local maxima, of the local minima) of a curve on the page, where less is higher."""
    highs = [b for a, b, c in zip(points, points[1:], points[2:]) if b[1] < a[1] and b[1] <= c[1]]
    return highs, [b for a, b, c in zip(points, points[1:], points[2:]) if b[1] > a[1] and b[1] >= c[1]]


@only("valvar_or_infundibular")
def test_each_curve_has_its_dot_at_its_peak_and_only_the_infundibular_one_a_notch(name):
    root = picture(name)
    curves = [pieces[0] for each, pieces in outlines(root) if looks(each) == ["fig-rv"] and len(pieces[0]) > 9]
    arteries = [pieces[0] for each, pieces in outlines(root) if looks(each) == ["fig-pa"] and len(pieces[0]) > 9]
    frames = [corners(path)[0] for path in shapes(root, "path", "fig-axis")]
    dots = [of(dot, "cx", "cy", "r") for dot in shapes(root, "circle", "fig-dot")]
    dotted = [line_of(line) for line in shapes(root, "line", "fig-curve-soft")]
    words = [one for one in texts(root) if one[2] == "peak"]
    assert len(curves) == len(arteries) == len(frames) == len(dots) == len(dotted) == len(words) == 2
    shares = []
    for place, (curve, artery, frame, dot, line, word) in enumerate(zip(curves, arteries, frames, dots, dotted, words)):
        (left, top), (_, bottom), (right, also) = frame
        assert frame[1][0] == left and bottom == also and 180 * place < left and right < 180 * (place + 1)
        knots = corners([path for path in shapes(root, "path", "fig-rv")][place])[0]
        assert all(a < b for (a, _), (b, _) in zip(knots, knots[1:]))  # time never runs back
        # The panel shows 0.05 to 0.8 of a beat. Points lie close about the notch and the fall, and no stretch of systole is left to chance.
        beats = [0.05 + 0.75 * (x - left) / (right - left) for x, _ in knots]
        steps = [(a, b - a) for a, b in zip(beats, beats[1:]) if a < 0.57]
        assert all(step < (0.071 if place and not 0.32 < start < 0.42 else 0.111) for start, step in steps)
        peak = min(curve, key=lambda point: point[1])
        assert math.dist(peak, dot[:2]) < 1 and top < dot[1]
        assert line[0] == line[2] == dot[0] and close(line[3], bottom) and 2 < dot[1] - line[1] < 8 and line[1] >= top
        assert 5 < word[0] - dot[0] < 12 and 0 < word[1] - dot[1] < 5  # beside its dot: the letters stand across its middle
        assert close((curve[0][0], curve[-1][0]), (left, right)) and close((artery[0][0], artery[-1][0]), (left, right))
        assert all(y <= bottom for _, y in curve + artery)
        assert (bottom - min(y for _, y in artery)) < 0.4 * (bottom - peak[1])  # the artery's curve is low
        shares.append((peak[0] - left) / (right - left))
        highs, dips = peaks_and_dips([point for point in curve if point[1] < bottom - 0.3 * (bottom - top)])
        assert len(highs) == (2 if place else 1) and len(dips) == place
        if place:
            (tail, tip), = arrows(root, "fig-arrow")
            assert math.dist(tip, dips[0]) < 16 and tail[0] < tip[0] and tail[1] < tip[1] and 20 < math.dist(tail, tip) < 50
            (x, y, _), = [one for one in texts(root) if one[2] == "notch"]
            assert abs(x - tail[0]) < 20 and 4 < tail[1] - y < 14
    assert shares[0] < 0.45 < shares[1] < 0.6  # the second peak comes late
    assert abs(shares[0] - 0.37) < 0.06


@only("valvar_or_infundibular")
def test_the_words_of_a_curve_stand_over_and_under_it_and_its_line_beside_its_name(name):
    root = picture(name)
    for place, (x, y, text) in enumerate(texts(root, look="fig-strong")):
        assert text == ("At the valve", "Infundibulum")[place] and 180 * place + 4 <= x <= 180 * place + 10 and 14 <= y <= 22
        below = [one for one in texts(root, look="fig-small") if close(one[0], x) and one[1] > 200]
        assert " ".join(text for _, _, text in below) in root.find(SVG + "desc").text and len(below) == 2
        assert 205 < below[0][1] < 216 and 14 <= below[1][1] - below[0][1] <= 16
    for look, word in (("fig-rv", "ventricle"), ("fig-pa", "artery")):
        (x1, y1, x2, y2), = [line_of(line) for line in shapes(root, "line", look)]
        (x, y, _), = [one for one in texts(root) if one[2] == word]
        assert y1 == y2 and 20 < x2 - x1 < 30 and 4 <= x - x2 <= 8 and close(y - y1, 4)
    (x, _, _), = [one for one in texts(root) if one[2] == "schematic"]
    assert 350 <= x <= 358


@each("pressure_traces")
def test_the_lines_of_the_two_pressures_stand_beside_their_names(root, given):
    for look, word in (("fig-rv", "ventricle (RV)"), ("fig-pa", "artery (PA)")):
        (x1, y1, x2, y2), = [line_of(line) for line in shapes(root, "line", look)]
        (x, y, _), = [one for one in texts(root) if one[2] == word]
        assert y1 == y2 and 20 < x2 - x1 < 30 and 4 <= x - x2 <= 8 and close(y - y1, 4)


@each("two_balloons_belt")
def test_the_lines_of_belt_and_annulus_stand_beside_their_lengths(root, given):
    lines = {look: line_of(shapes(root, "line", look)[0]) for look in ("fig-belt", "fig-annulus")}
    for look, word in (("fig-belt", "belt "), ("fig-annulus", "annulus ")):
        x1, y1, x2, y2 = lines[look]
        (x, y, _), = [one for one in texts(root) if one[2].startswith(word)]
        assert y1 == y2 and 20 < x2 - x1 < 30 and 4 <= x - x2 <= 8 and close(y - y1, 4)

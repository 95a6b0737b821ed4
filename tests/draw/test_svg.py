"""The strokes that every picture is made of, tried one by one against the definitions of geometry and of SVG."""

import math
import re
import xml.etree.ElementTree as ElementTree

import pytest

from pvcalc.core.errors import MissingInput, NotUnderstood, OutOfRange, Refusal, UnknownName
from pvcalc.core.formula import Limit, choices, listed, records
from pvcalc.draw import svg
from tests.helpers.drawn_shapes import pieces_of


def element(text):
    return ElementTree.fromstring(text)


@pytest.mark.parametrize("value, text", [(0, "0"), (-0.001, "0"), (1.005, "1.01"), (12.3, "12.3"), (-7.25, "-7.25"), (100, "100"), (0.05, "0.05"),
                                         (-0.05, "-0.05"), (3.1, "3.1"), (0.994, "0.99"), (0.995, "1"), (-12.999, "-13"), (20.1, "20.1"), (7.09, "7.09"),
                                         (0.1, "0.1"), (-0.5, "-0.5"), (9.999999, "10")])
def test_a_place_has_at_most_two_decimals_and_no_idle_nought(value, text):
    assert svg.at(value) == text


def test_a_tie_is_not_tipped_by_the_last_bit():
    # 0.125 is exact in binary; a bit less must be written the same.
    assert svg.at(0.125) == svg.at(math.nextafter(0.125, 0)) == "0.13"


def test_what_could_be_taken_for_markup_is_written_out():
    assert element("<a>" + svg.escaped('<&>"') + "</a>").text == '<&>"'


def test_straight_strokes_circles_and_rectangles_stand_where_they_are_asked_for():
    assert element(svg.line(1, 2, 3, 4, "l")).attrib == {"x1": "1", "y1": "2", "x2": "3", "y2": "4", "class": "l"}
    assert element(svg.circle(1, 2, 3, "l")).attrib == {"cx": "1", "cy": "2", "r": "3", "class": "l"}
    assert element(svg.rectangle(1, 2, 3, 4, "l")).attrib == {"x": "1", "y": "2", "width": "3", "height": "4", "class": "l"}
    assert element(svg.rectangle(1, 2, 3, 4, "l", 5)).attrib["rx"] == "5"
    assert element(svg.path("M0 0", "l")).attrib == {"d": "M0 0", "class": "l"}
    assert element(svg.path("M0 0", "l", "tile")).attrib["fill"] == "url(#tile)"
    both = element(svg.group("l", [svg.circle(0, 0, 1, "a"), svg.circle(0, 0, 1, "b")]))
    assert both.get("class") == "l" and [one.get("class") for one in both] == ["a", "b"]


def test_words_start_at_their_place_unless_told_otherwise():
    plain, other = element(svg.label(1, 2, "a<b")), element(svg.label(1, 2, "c", "fig-strong", "end"))
    assert plain.attrib == {"x": "1", "y": "2", "class": "fig-text"} and plain.text == "a<b"
    assert other.attrib == {"x": "1", "y": "2", "class": "fig-text fig-strong", "text-anchor": "end"}


def test_a_ring_is_two_whole_circles_about_one_centre():
    ring = element(svg.ring(10, 20, 3, 5, "l", "tile"))
    assert ring.get("class") == "l fig-evenodd" and ring.get("fill") == "url(#tile)"
    outer, inner = pieces_of(ring.get("d"))
    for piece, radius in ((outer, 5), (inner, 3)):
        assert {round(math.dist(point, (10, 20)), 2) for point in piece} == {radius}
        turns = [math.atan2(y - 20, x - 10) for x, y in piece]
        assert len({round(turn, 1) for turn in turns}) > 40  # all the way round


def test_a_picture_says_its_frame_title_words_and_scale():
    root = element(svg.canvas("p1", 120.5, "A <title>", "What it says", ["<g/>", "<a/>"], scale=2.5, defs="<b/>"))
    assert root.get("viewBox") == "0 0 360 120.5" and root.get("id") == "p1" and root.get("data-units-per-mm") == "2.500000"
    tags = [one.tag.split("}")[1] for one in root]
    assert tags == ["title", "desc", "defs", "g", "a"] and [root[0].text, root[1].text] == ["A <title>", "What it says"]
    bare = element(svg.canvas("p1", 120, "t", "s", []))
    assert bare.get("data-units-per-mm") is None and [one.tag.split("}")[1] for one in bare] == ["title", "desc"]


@pytest.mark.parametrize("scale, text", [(1 / 3, "0.333333"), (2 / 3, "0.666667"), (12, "12.000000"), (0.000001, "0.000001"), (1.0000004, "1.000000")])
def test_a_scale_has_six_decimals(scale, text):
    assert f'data-units-per-mm="{text}"' in svg.canvas("p", 1, "t", "s", [], scale=scale)


def test_words_are_broken_at_blanks_into_rows_that_fit():
    assert svg.rows_of("aa bb cc", 5) == ["aa bb", "cc"]
    assert svg.rows_of("aa bb cc", 4) == ["aa", "bb", "cc"]
    assert svg.rows_of("a bbbbbbbb c", 3) == ["a", "bbbbbbbb", "c"]
    assert svg.rows_of("", 3) == [""]


def test_a_paragraph_goes_down_row_by_row_and_says_where_it_ends():
    # 24 units hold four letters of six.
    text, after = svg.paragraph(7, 20, "aa bb cc", 24, "l", "end", 10)
    rows = list(element("<g>" + text + "</g>"))
    assert [(row.get("x"), row.get("y"), row.text, row.get("class"), row.get("text-anchor")) for row in rows] == [
        ("7", "20", "aa", "fig-text l", "end"), ("7", "30", "bb", "fig-text l", "end"), ("7", "40", "cc", "fig-text l", "end")]
    assert after == 50
    assert svg.paragraph(7, 20, "aa", 24)[1] - 20 > 13  # a row takes more than the size of its letters
    # 35 units hold five letters and no sixth, 36 hold it.
    assert [svg.paragraph(7, 20, "aa bbb", width)[0].count("<text") for width in (35, 36)] == [2, 1]


def test_a_soft_curve_leaves_each_point_towards_the_line_between_its_neighbours():
    points = [(0, 0), (31, 60), (90, -5), (120, 33)]  # whose sixths are broken
    data = svg.smooth(points)
    steps = [float(number) for number in re.findall(r"-?\d+\.?\d*", data)]
    here, ends, handles = (steps[0], steps[1]), [(steps[0], steps[1])], []
    for place in range(2, len(steps), 6):
        one, other, end = [(here[0] + steps[place + i], here[1] + steps[place + i + 1]) for i in (0, 2, 4)]
        handles.append((one, other))
        ends.append(end)
        here = end
    assert ends == [pytest.approx(point) for point in points]
    for place in range(3):
        before, after = points[max(place - 1, 0)], points[min(place + 2, 3)]
        start, end = points[place], points[place + 1]
        # Catmull and Rom: the tangent is half the way between the neighbours, and a handle a third of it.
        for i in (0, 1):
            assert handles[place][0][i] == pytest.approx(start[i] + (end[i] - before[i]) / 2 / 3, abs=0.006)
            assert handles[place][1][i] == pytest.approx(end[i] - (after[i] - start[i]) / 2 / 3, abs=0.006)


def test_a_closed_curve_runs_the_same_wherever_it_starts():
    points = [(0, 0), (40, 10), (60, 50), (10, 40)]
    around = svg.smooth(points, True)
    assert around.endswith("Z")
    turned = svg.smooth(points[1:] + points[:1], True)
    one, other = (sorted((round(x, 1), round(y, 1)) for x, y in pieces_of(data)[0]) for data in (around, turned))
    assert set(one) == set(other) and pieces_of(around)[0][-1] == (0, 0)
    assert not svg.smooth(points).endswith("Z")


def test_a_curve_can_go_on_from_a_path():
    points = [(5, 5), (10, 20), (30, 20)]
    assert svg.smooth(points) == "M5 5" + svg.smooth_on(points) and svg.smooth(points, True) == "M5 5" + svg.smooth_on(points, True)


def test_straight_strokes_join_their_points_and_close_when_asked():
    assert pieces_of(svg.joined([(1, 2), (4, -6), (-3, 0.5)])) == [[(1, 2), (4, -6), (-3, 0.5)]]
    assert svg.joined([(1, 2), (4, 6)], True).endswith("Z") and not svg.joined([(1, 2), (4, 6)]).endswith("Z")
    # Of two numbers the second needs a blank unless it begins with its own sign; the first after the letter needs none.
    assert svg.joined([(0, 0), (1, 1), (0, 3)]) == "M0 0l1 1-1 2"


@pytest.mark.parametrize("start, end", [((10, 10), (40, 50)), ((10, 10), (10, 50)), ((60, 10), (20, 10)), ((5, 5), (5, 5))])
def test_a_measure_has_a_tick_of_eight_units_square_across_each_end(start, end):
    stroke, one, other = pieces_of(element(svg.span(*start, *end)).get("d"))
    assert stroke == [start, end]
    for (a, b), middle in ((one, start), (other, end)):
        assert ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) == pytest.approx(middle, abs=0.02)
        if start != end:
            assert math.dist(a, b) == pytest.approx(8, abs=0.03)
            assert abs((b[0] - a[0]) * (end[0] - start[0]) + (b[1] - a[1]) * (end[1] - start[1])) < 1  # square to it


@pytest.mark.parametrize("start, end, head", [((10, 10), (40, 50), 7), ((10, 10), (10, 50), 6), ((60, 10), (20, 10), 7), ((5, 5), (5, 5), 7)])
def test_an_arrow_ends_in_a_head_that_points_along_it(start, end, head):
    shaft, tip = list(element("<g>" + svg.arrow(*start, *end, "l", head) + "</g>"))
    assert (shaft.get("class"), tip.get("class")) == ("l", "l-head")
    (a, neck), = pieces_of(shaft.get("d"))
    point, one, other = pieces_of(tip.get("d"))[0][:3]
    assert a == start and point == end and tip.get("d").endswith("Z")
    if start != end:
        assert math.dist(neck, point) == pytest.approx(head, abs=0.02) and math.dist(start, neck) < math.dist(start, end)
        assert ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2) == pytest.approx(neck, abs=0.02)
        assert math.dist(one, point) == pytest.approx(math.dist(other, point), abs=0.03)
        assert 0.6 * head < math.dist(one, other) < head and abs((other[0] - one[0]) * (end[0] - start[0]) + (other[1] - one[1]) * (end[1] - start[1])) < 1


def test_a_hatch_is_one_stroke_in_a_slanted_tile_and_dots_one_dot_in_its_middle():
    tile = element(svg.hatch("h", "l", 8, 30))
    assert (tile.get("id"), tile.get("width"), tile.get("height"), tile.get("patternTransform")) == ("h", "8", "8", "rotate(30)")
    assert tile.get("patternUnits") == "userSpaceOnUse" and tile[0].attrib == {"x1": "0", "y1": "0", "x2": "0", "y2": "8", "class": "l"}
    tile = element(svg.dots("d", "l", 9))
    assert (tile.get("width"), tile.get("height"), tile[0].get("cx"), tile[0].get("cy")) == ("9", "9", "4.5", "4.5")
    assert 0.75 < float(tile[0].get("r")) < 1.5  # two to three pixels across: it is seen, and leaves most of the tile free
    assert element(svg.hatch("h", "l")).get("patternTransform") == "rotate(45)"


# --- the checks --------------------------------------------------------------------------------------


def made(**limits):
    """A picture that draws what it was given, declared for one test alone."""
    kept = dict(svg.PICTURES)

    @svg.drawn("b_mm a_mm", **limits)
    def for_a_test(*, picture_id, **given):
        return picture_id + " " + str(sorted(given.items()))

    assert svg.PICTURES["for_a_test"] is for_a_test
    svg.PICTURES.clear()
    svg.PICTURES.update(kept)
    return for_a_test


def test_a_picture_draws_from_plain_values_and_lists_them_in_the_order_asked():
    one = made(a_mm=(1, 5), b_mm=(2, 3), told=svg.words(4))
    assert one("p", a_mm=1, b_mm=3, told=" ab ") == "p [('a_mm', 1.0), ('b_mm', 3.0), ('told', 'ab')]"
    assert one.arguments == ["b_mm", "a_mm"] and one.name == "for_a_test" and one.limits["a_mm"].low == 1 and one.limits["a_mm"].high == 5


@pytest.mark.parametrize("given, kind, field, words", [
    ({"told": "abcde"}, NotUnderstood, "told", "1 to 4 letters"), ({"told": "  "}, NotUnderstood, "told", "1 to 4 letters"),
    ({"told": 3}, NotUnderstood, "told", "must be words"), ({"told": "a\x1fb"}, NotUnderstood, "told", "control sign"),
    ({"told": "a\x7fb"}, NotUnderstood, "told", "control sign"), ({"a_mm": 5.1}, OutOfRange, "a_mm", "house limits of the picture"),
    ({"a_mm": None}, MissingInput, "a_mm", "is missing"), ({"c_mm": 3}, NotUnderstood, "c_mm", "not an input"),
    ({"a_mm": None, "told": 3}, Refusal, "told", "must be words"), ({"told": ""}, NotUnderstood, "told", "1 to 4 letters")])
def test_each_fault_is_told_beside_its_field(given, kind, field, words):
    one = made(a_mm=(1, 5), b_mm=(2, 3), told=svg.words(4))
    with pytest.raises(Refusal) as refused:
        one("p", **{"a_mm": 1, "b_mm": 3, "told": "ab", **given})
    assert type(refused.value) is kind and [sentence for where, sentence in refused.value.faults if where == field and words in sentence]
    assert len(refused.value.faults) == len(given)


def test_a_fault_names_its_field_in_words_that_begin_a_sentence():
    with pytest.raises(MissingInput) as refused:
        made(told_so=svg.words(4))("p", told_so=None)
    assert refused.value.faults == [("told_so", "Told so is missing.")]


def test_words_may_be_as_long_as_allowed_and_hold_any_printed_letter():
    one = made(told=svg.words(4))
    assert one("p", told="a \u00e9~") == "p [('told', 'a \u00e9~')]"
    assert one("p", told="abcd") == "p [('told', 'abcd')]" and one("p", told="a") == "p [('told', 'a')]"


@pytest.mark.parametrize("good", ["a", "Z9", "a-b_c", "x" * 80])
def test_an_identifier_of_letters_digits_and_hyphens_is_taken(good):
    assert svg.check_id(good) is None, "it raises, or says nothing"


@pytest.mark.parametrize("bad", ["", "0", "0a", "1a", "-a", "_a", "a b", "\u00e9", "a.b", None, 7, "x" * 81])
def test_any_other_identifier_is_refused(bad):
    with pytest.raises(NotUnderstood) as refused:
        svg.check_id(bad)
    assert refused.value.faults[0][0] == "picture_id" and "first a letter" in refused.value.faults[0][1]


@pytest.fixture
def registered():
    """A picture with each kind of input, taken out of the register after the test."""
    kept = dict(svg.PICTURES)

    @svg.drawn("", a_mm=(1, 5), told=svg.words(9), kind=choices("one", "other"), many_mm=listed(0, 9, 1, 5), rows=records(1, 3))
    def for_a_test(*, picture_id, **given):
        return sorted(given.items())

    yield for_a_test
    svg.PICTURES.clear()
    svg.PICTURES.update(kept)


GIVEN = {"a_mm": " 2,5 ", "told": "12", "kind": "one", "many_mm": "1 2", "rows": [{"x": 1}]}


def test_what_a_person_typed_is_read_and_words_stay_words(registered):
    assert svg.picture("for_a_test", GIVEN, "p") == [("a_mm", 2.5), ("kind", "one"), ("many_mm", [1, 2]), ("rows", [{"x": 1}]), ("told", "12")]


@pytest.mark.parametrize("typed, fields", [({"a_mm": "x", "many_mm": "1 y"}, ["a_mm", "many_mm"]), ({"a_mm": "x", "kind": None}, ["a_mm", "kind"]),
                                           ({"a_mm": "  "}, ["a_mm"]), ({"a_mm": "", "told": ""}, ["a_mm", "told"]), ({"b_mm": "3"}, ["b_mm"])])
def test_every_fault_of_what_was_typed_is_told_once(registered, typed, fields):
    with pytest.raises(Refusal) as refused:
        svg.picture("for_a_test", {**GIVEN, **typed}, "p")
    assert [field for field, _ in refused.value.faults] == fields
    for field, sentence in refused.value.faults:
        if typed[field] and typed[field].strip() and field != "b_mm":
            assert f"“{typed[field]}”" in sentence
        elif field != "b_mm":
            assert "is missing" in sentence


def test_a_picture_is_found_by_its_name_and_no_other():
    assert svg.find_picture("waist") is svg.PICTURES["waist"]
    with pytest.raises(UnknownName, match="no picture called wast; nearest name: waist|wast.*waist"):
        svg.find_picture("wast")
    assert isinstance(svg.words(7), Limit) and svg.words(7).most == 7 and svg.words(7).kind == "words"

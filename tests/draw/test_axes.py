"""Axes and their marks: round numbers, as many as asked for, each where its value lies."""

import xml.etree.ElementTree as ElementTree

import pytest

from pvcalc.draw.axes import Axes, decimals_of_step, notice, thinned, ticks
from tests.helpers.drawn_shapes import pieces_of

AXES = Axes(50, 20, 300, 100, (2, 8), (-10, 40))


def elements(text):
    return list(ElementTree.fromstring("<g>" + text + "</g>"))


@pytest.mark.parametrize("value, place", [(2, 50), (8, 350), (5, 200), (3.5, 125), (9, 400)])
def test_a_value_lies_across_in_proportion(value, place):
    assert AXES.x(value) == pytest.approx(place)


@pytest.mark.parametrize("value, place", [(-10, 120), (40, 20), (15, 70), (0, 100)])
def test_a_value_lies_upwards_in_proportion(value, place):
    assert AXES.y(value) == pytest.approx(place)


def test_pairs_become_points_curves_and_stairs():
    assert AXES.points([(2, 40), (8, -10)]) == [(50, 20), (350, 120)]
    curve, = elements(AXES.curve([(2, 40), (5, 15), (8, -10)], "l"))
    assert curve.get("class") == "l" and pieces_of(curve.get("d")) == [[(50, 20), (200, 70), (350, 120)]]
    stairs, = elements(AXES.steps([(2, 40), (5, 15), (8, -10)], "l"))
    assert stairs.get("class") == "l" and pieces_of(stairs.get("d")) == [[(50, 20), (200, 20), (200, 70), (350, 70), (350, 120)]]


def test_the_border_joins_both_scales_at_their_corner():
    border, = elements(AXES.border())
    assert border.get("class") == "fig-axis" and pieces_of(border.get("d")) == [[(50, 20), (50, 120), (350, 120)]]


def test_marks_across_stand_under_their_values():
    drawn = elements(AXES.across_marks("seconds", 6))
    lines, words = [one for one in drawn if one.tag == "line"], [one for one in drawn if one.tag == "text"]
    assert [tuple(float(line.get(key)) for key in ("x1", "y1", "x2", "y2")) for line in lines] == [(50, 120, 350, 120)] + [
        (50 + 50 * place, 120, 50 + 50 * place, 124) for place in range(7)][:len(lines) - 1]
    assert [one.text for one in words] == ["2", "3", "4", "5", "6", "7", "8", "seconds"]
    assert words[-1].get("text-anchor") == "end" and float(words[-1].get("x")) == 350
    assert [one.text for one in elements(AXES.across_marks("", 6)) if one.tag == "text"] == ["2", "3", "4", "5", "6", "7", "8"]


def test_marks_upwards_are_level_lines_in_the_unit_that_is_written():
    drawn = elements(AXES.upward_marks(5))
    lines, words = [one for one in drawn if one.tag == "line"], [one for one in drawn if one.tag == "text"]
    assert [one.text for one in words] == ["\u221210", "0", "10", "20", "30", "40"]
    assert [tuple(float(line.get(key)) for key in ("x1", "y1", "x2", "y2")) for line in lines] == [(50, 120 - 20 * place, 350, 120 - 20 * place) for place in range(6)]
    # Middle of the digits, 0.72 of 12.5 high, on the line.
    assert all(float(line.get("y1")) == pytest.approx(float(word.get("y")) - 4.5) for line, word in zip(lines, words))
    share = Axes(0, 0, 100, 100, (0, 1), (0.2, 1))
    written = [(one.text, float(one.get("y")) - 4.5) for one in elements(share.upward_marks(5, 100)) if one.tag == "text"]
    assert written == [("20", 100), ("40", 75), ("60", 50), ("80", 25), ("100", 0)]


def test_six_stretches_are_the_usual_number_of_a_scale():
    seven = Axes(0, 0, 100, 100, (0, 7), (0, 7))  # six stretches of one do not reach
    words = [one.text for one in elements(seven.frame("years", "")) if one.tag == "text" and one.text]
    assert words == ["0", "2", "4", "6", "0", "2", "4", "6", "years"] == words[:4] + words[:4] + ["years"]
    six = Axes(0, 0, 100, 100, (0, 6), (0, 6))
    assert len(elements(six.frame("years", ""))) == 2 * 7 + 2 * 7 + 4
    assert [one.text for one in elements(seven.across_marks("years")) if one.tag == "text"] == ["0", "2", "4", "6", "years"]


def test_a_frame_has_both_scales_their_words_and_as_many_marks_as_allowed():
    words = [one.text for one in elements(AXES.frame("years", "% free", 3, 3, 2)) if one.tag == "text"]
    assert words == ["0", "50", "2", "4", "6", "8", "years", "% free"]
    over = [one for one in elements(AXES.frame("years", "% free")) if one.text == "% free"][0]
    assert 20 <= 50 - float(over.get("x")) <= 40 and 6 <= 20 - float(over.get("y")) <= 14  # over the numbers, left of the scale
    usual = [one.text for one in elements(AXES.frame("years", "% free")) if one.tag == "text"]
    assert usual == ["\u221210", "0", "10", "20", "30", "40", "2", "3", "4", "5", "6", "7", "8", "years", "% free"]


# Steps of 1, 2 or 5 times a power of ten, the finest that makes at most so many stretches; marks from the first in the range.
@pytest.mark.parametrize("low, high, most, marks", [
    (0, 10, 10, list(range(11))), (0, 10, 9, [0, 2, 4, 6, 8, 10]), (0, 10, 5, [0, 2, 4, 6, 8, 10]), (0, 10, 4, [0, 5, 10]), (0, 11, 2, [0, 10]),
    (0.3, 1.1, 8, [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1]), (-4.5, 4.4, 5, [-4, -2, 0, 2, 4]), (-6, 6, 6, [-6, -4, -2, 0, 2, 4, 6]), (101, 199, 8, [120, 140, 160, 180]),
    (0, 0.004, 8, [0, 0.0005, 0.001, 0.0015, 0.002, 0.0025, 0.003, 0.0035, 0.004]), (0, 5000, 6, [0, 1000, 2000, 3000, 4000, 5000]), (-1, -0.2, 4, [-1, -0.8, -0.6, -0.4, -0.2]),
    (7, 7.5, 8, [7, 7.1, 7.2, 7.3, 7.4, 7.5]), (-0.7, 0, 4, [-0.6, -0.4, -0.2, 0]), (2, 8, 6, [2, 3, 4, 5, 6, 7, 8])])
def test_marks_are_round_and_stand_within_their_range(low, high, most, marks):
    assert ticks(low, high, most) == pytest.approx(marks, abs=1e-12)


def test_eight_stretches_are_the_usual_number():
    assert ticks(0, 8) == pytest.approx(list(range(9))) and ticks(0, 9) == pytest.approx([0, 2, 4, 6, 8])


def test_no_mark_is_lost_to_the_last_bit():
    for tenths in range(-60, 61):
        for count in range(1, 9):
            low = tenths / 10
            marks = ticks(low, low + count * 0.1, 9)
            assert (marks[0], marks[-1]) == pytest.approx((low, low + count * 0.1), abs=1e-9) and len(marks) > count


@pytest.mark.parametrize("marks, decimals", [([0, 1, 2], 0), ([0, 0.5], 1), ([0.1, 0.2, 0.3], 1), ([0, 0.05], 2), ([0, 250], 0), ([0, 0.002], 3),
                                             ([4], 0), ([], 0), ([0, 0.000001], 6), ([1.1, 1.2], 1), ([0, 2.5], 1)])
def test_marks_have_as_many_digits_as_tell_them_apart(marks, decimals):
    assert decimals_of_step(marks) == decimals


def test_a_short_curve_is_drawn_whole():
    pairs = [(place, place % 7) for place in range(240)]
    assert thinned(pairs) == pairs and thinned(pairs[:100]) == pairs[:100] and len(thinned(pairs + [(240, 0)])) < 200


@pytest.mark.parametrize("count", [241, 600, 5000, 100001])
def test_a_long_curve_keeps_its_ends_its_peaks_and_its_order(count):
    pairs = [(place, 99 if place == count // 3 else -99 if place == count // 2 else (place * 7919) % 97) for place in range(count)]
    kept = thinned(pairs)
    assert len(kept) <= 244 and kept[0] == pairs[0] and kept[-1] == pairs[-1]
    assert [place for place, _ in kept] == sorted({place for place, _ in kept}) and set(kept) <= set(pairs)
    assert (count // 3, 99) in kept and (count // 2, -99) in kept
    # Nothing is left out between two kept places that is higher and lower than what was kept around it.
    stretch = max(b - a for (a, _), (b, _) in zip(kept, kept[1:]))
    assert stretch <= 2 * (2 * count // 240 + 1) and len(kept) > 100


def test_a_thinned_curve_keeps_the_last_stretch_and_never_the_same_place_twice():
    pairs = [(place, place) for place in range(500)]  # ever rising: the lowest of a stretch is its first, the highest its last
    kept = [place for place, _ in thinned(pairs)]
    stretch = 500 * 2 // 240 + 1
    wanted = {0, 499} | {place for start in range(1, 499, stretch) for place in (start, min(start + stretch - 1, 498))}
    assert kept == sorted(wanted)
    assert [place for place, _ in thinned([(place, 5) for place in range(503)])] == [0, *range(1, 502, 503 * 2 // 240 + 1), 502]
    falling = [(place, -place) for place in range(500)]
    assert [place for place, _ in thinned(falling)] == kept


def test_of_equal_heights_the_first_is_kept():
    kept = [place for place, _ in thinned([(place, 5) for place in range(500)])]
    stretch = 500 * 2 // 240 + 1
    assert kept == [0, *range(1, 499, stretch), 499]


def test_words_in_a_box_stand_in_its_middle():
    box, words = elements(notice(10, 20, "hear", 101))
    assert float(words.get("x")) == 60.5
    box, words = elements(notice(10, 20, "hear", 100))
    assert [float(box.get(key)) for key in ("x", "y", "width")] == [10, 20, 100] and box.get("class") == "fig-notice"
    assert float(words.get("x")) == 60 and words.get("text-anchor") == "middle" and words.text == "hear"
    high, size = float(box.get("height")), 13
    assert float(words.get("y")) - 20 == pytest.approx(high / 2 + 0.72 * size / 2, abs=1)

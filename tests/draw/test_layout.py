"""Rules for every picture with every kind of input: everything in its frame, no words upon words or upon strokes."""

import math
import re

import pytest

from tests.helpers.draw_examples import IDS, INPUTS, SVG, example
from tests.helpers.drawn_shapes import CSS, box_of, boxes_of_texts, crosses, levels, looks, meets, outlines, reach

EVERY = pytest.mark.parametrize("place", range(len(INPUTS)), ids=IDS)
WIDTH = 360
FILLED = {look for look, fill in re.findall(r"^\.(fig-[a-z-]+) \{[^}]*fill: ([^;]+);", CSS, re.M) if fill != "none"} - {"fig-muscle", "fig-lumen"}  # these run on


def height_of(root):
    return float(root.get("viewBox").split()[3])


@EVERY
def test_every_stroke_and_letter_lies_in_the_frame(place):
    root = example(place)
    left, top, right, bottom = reach(root)
    assert left >= -1 and top >= 0 and right <= WIDTH + 1 and bottom <= height_of(root), (left, top, right, bottom, height_of(root))


@EVERY
def test_the_frame_neither_cuts_nor_gapes(place):
    root = example(place)
    assert 1 <= height_of(root) - reach(root)[3] <= 16, height_of(root) - reach(root)[3]
    assert reach(root)[1] <= 21


@EVERY
def test_a_picture_uses_its_room_and_has_no_empty_band(place):
    root = example(place)
    left, top, right, _ = reach(root)
    assert left <= 14 and right >= 315
    end = top
    for start, stop in sorted(levels(root)):
        assert start - end <= 40, (end, start)
        end = max(end, stop)


@EVERY
def test_every_filled_area_is_closed(place):
    for each in example(place).iter(SVG + "path"):
        if each.get("fill") or FILLED & set(looks(each)):
            assert each.get("d").endswith("Z"), each.get("class")


@EVERY
def test_every_arrow_has_a_head_that_can_be_seen(place):
    for each, (points, *_) in outlines(example(place)):
        if looks(each)[0].endswith("-head"):
            tip, one, other = points[:3]
            assert math.dist(tip, ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)) >= 5.9 and math.dist(one, other) > 5


@EVERY
def test_two_hatches_of_a_picture_slant_opposite_ways(place):
    tilts = {tile.get("patternTransform") for tile in example(place).iter(SVG + "pattern") if tile.get("patternTransform")}
    turns = sorted(float(tilt.removeprefix("rotate(").rstrip(")")) for tilt in tilts)
    assert turns in ([], [45.0], [45.0, 135.0])  # half way between level and upright, and square to it


@EVERY
def test_rows_of_a_paragraph_are_an_even_step_apart(place):
    """One and an eighth to one and a third of the size of the letters, the same from row to row."""
    root = example(place)
    written = [each for each in root.iter(SVG + "text") if each.get("text-anchor") is None]
    columns = {}
    for each in written:
        columns.setdefault((each.get("x"), each.get("class")), []).append(float(each.get("y")))
    for (_, look), rows in columns.items():
        size = 12.5 if "fig-small" in look else 13
        near = [b - a for a, b in zip(rows, rows[1:]) if 0 < b - a < 1.5 * size]
        assert all(1.1 * size <= step <= 1.45 * size for step in near), (look, near)


@EVERY
def test_no_words_lie_upon_words(place):
    texts = boxes_of_texts(example(place))
    for number, (text, box) in enumerate(texts):
        for other, (more, there) in enumerate(texts[:number]):
            apart = box[2] <= there[0] or there[2] <= box[0] or box[3] <= there[1] or there[3] <= box[1]
            assert apart, (text, more, box, there)


NO_STROKE = {"fig-over", "fig-between", "fig-lumen-open", "fig-leaflet-fill"}
OPAQUE = ("fig-number", "fig-notice")


@EVERY
def test_no_stroke_runs_through_words_unless_their_halo_interrupts_it(place):
    root = example(place)
    painted = [each for each in root.iter() if each.tag.removeprefix(SVG) in ("text", "path", "line", "circle", "rect")]
    order = {each: number for number, each in enumerate(painted)}
    shapes = [(each, pieces) for each, pieces in outlines(root) if not NO_STROKE & set(looks(each)) and not looks(each)[0].endswith("-head")]
    bad = []
    for text in root.iter(SVG + "text"):
        left, _, right, _ = box_of(text)
        y = float(text.get("y"))
        letters = (left + 0.5, y - 6, right - 0.5, y - 0.5)
        for each, pieces in shapes:
            if "fig-halo" in looks(text) and order[each] < order[text]:
                continue
            for piece in pieces:
                if meets(piece, letters) and any(crosses(a, b, letters) for a, b in zip(piece, piece[1:])) and not covered(each, text, letters, shapes, order):
                    bad.append((text.text, looks(each)))
    assert bad == []


def covered(stroke, text, letters, shapes, order):
    """True when something painted between a stroke and the words hides the stroke where the words stand."""
    for each, pieces in shapes:
        if order[stroke] < order[each] < order[text] and looks(each)[0] in OPAQUE:
            xs, ys = [x for x, _ in pieces[0]], [y for _, y in pieces[0]]
            if min(xs) <= letters[0] and letters[2] <= max(xs) and min(ys) <= letters[1] and letters[3] <= max(ys):
                return True
    return False

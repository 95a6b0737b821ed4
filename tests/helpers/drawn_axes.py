"""Reads a picture as a reader does: the scale from the numbers written along it, the strokes by what they look like."""

import re
from decimal import ROUND_HALF_UP, Decimal

from tests.helpers.draw_examples import SVG
from tests.helpers.drawn_shapes import looks, pieces_of

NEAR = 0.06  # drawing units: places are written with two decimals, and a scale read from two of them is off by a little more


def number_in(text):
    """The number that some words begin with, as written on the page."""
    found = re.match(r"[−-]?[\d\u2009\u202f]*\.?\d+", text)
    return float(re.sub("[\u2009\u202f]", "", found[0]).replace("−", "-")) if found else None


def numbers_in(text):
    """Every number in some words."""
    return [float(found.replace("−", "-")) for found in re.findall(r"[−-]?\d+(?:\.\d+)?", re.sub("(?<=\\d)[\u2009\u202f](?=\\d)", "", text))]


def texts(root, look=None, y=None, x=None, anchor=None):
    """[(x, y, text)] of the lines of words with a look, a place or an anchor."""
    found = []
    for each in root.iter(SVG + "text"):
        at = float(each.get("x")), float(each.get("y"))
        if ((look is None or look in looks(each)) and (y is None or abs(at[1] - y) < NEAR) and (x is None or abs(at[0] - x) < NEAR)
                and (anchor is None or each.get("anchor", each.get("text-anchor", "start")) == anchor)):
            found.append((*at, each.text))
    return found


def shapes(root, tag, look):
    """Elements of a tag with a look that are strokes of the picture, not of a tile."""
    tiles = {each for tile in root.iter(SVG + "defs") for each in tile.iter()}
    return [each for each in root.iter(SVG + tag) if look in looks(each) and each not in tiles]


def of(each, *keys):
    """Numbers of an element."""
    return tuple(float(each.get(key)) for key in keys)


def line_of(each):
    return of(each, "x1", "y1", "x2", "y2")


def box(each):
    """(left, top, right, bottom) of a rectangle."""
    x, y, wide, high = of(each, "x", "y", "width", "height")
    return x, y, x + wide, y + high


def corners(each):
    """The places that a path comes to, one list for each piece; of a curve its ends alone."""
    data = each.get("d")
    if "c" not in data:
        return pieces_of(data)
    return [piece[::8] for piece in pieces_of(data)]


def half_up(value, decimals):
    """A number as written on the page: halves go up, after twelve digits."""
    return str(Decimal(f"{value:.12g}").quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP))


class Scale:
    """A straight scale through marks (value, place): two give it, all others must lie on it."""

    def __init__(self, marks):
        marks = sorted(marks)
        (low, start), (high, end) = marks[0], marks[-1]
        self.slope = (end - start) / (high - low)
        self.start, self.low, self.marks = start, low, marks
        off = [(value, place) for value, place in marks if abs(self(value) - place) > NEAR]
        assert not off, ("marks not on one scale", marks)

    def at(self, place):
        """The value that stands at a place."""
        return self.low + (place - self.start) / self.slope

    def __call__(self, value):
        return self.start + (value - self.low) * self.slope


def scale_across(root, y):
    """The scale whose numbers are written on the line y, each under its mark of four units."""
    marks = [(number_in(text), x) for x, _, text in texts(root, y=y, anchor="middle")]
    strokes = [line_of(each) for each in shapes(root, "line", "fig-axis")]
    for value, x in marks:
        assert any(close(stroke, (x, y - 18, x, y - 14)) for stroke in strokes), (value, "has no mark")
    return Scale(marks)


def scale_upwards(root, x):
    """The scale whose numbers end at x, each beside its level line; letters of 12.5 units sit 4.5 below it."""
    marks = [(number_in(text), y) for _, y, text in texts(root, x=x, anchor="end", look="fig-small") if number_in(text) is not None]
    lines = [line_of(each)[1] for each in shapes(root, "line", "fig-grid")]
    placed = []
    for value, y in marks:
        near = [line for line in lines if abs(y - 4.5 - line) <= NEAR]
        assert near, (value, "has no level line")
        placed.append((value, near[0]))
    return Scale(placed)


def close(one, other, within=NEAR):
    """True when places agree, told as numbers, points or lists of them."""
    if isinstance(one, (int, float)):
        return abs(one - other) <= within
    return len(one) == len(other) and all(close(a, b, within) for a, b in zip(one, other))

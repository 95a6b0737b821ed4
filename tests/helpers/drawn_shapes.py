"""How far the words and strokes of a picture reach, for rules about where they may lie."""

import functools
import math
import re
from pathlib import Path

from tests.helpers.draw_examples import SVG

# Advance widths of a common sans serif in thousandths of its size, as printed in its metrics file (Helvetica).
WIDTHS = {278: " !,./:;\\[]fIt", 222: "ijl'’|", 333: "()-r“”`", 355: '"', 500: "ckJsvxyz", 556: "#$?_abdeghnopquL0123456789–", 584: "+<=>~×±−",
          611: "FTZ", 667: "&ABEKPSVXY", 722: "CDHNRUw", 778: "GOQ", 833: "mM", 889: "%", 944: "W", 1000: "→…", 400: "°•·"}
WIDTH_OF = {letter: width / 1000 for width, letters in WIDTHS.items() for letter in letters}
BOLD = 1.07  # its bold is so much wider
NUMBER = re.compile(r"-?\d*\.?\d+")
SIZE, SMALL = 13.0, 12.5  # of .fig-text and .fig-small in figures.css
CSS = (Path(__file__).parents[2] / "site_overrides/css/figures.css").read_text(encoding="utf-8")
STROKES = [(set(names.split(".")[1:]), float(width)) for names, width in re.findall(r"^((?:\.fig[a-z-]*)+) \{[^}]*stroke-width: ([\d.]+)", CSS, re.M)]


def stroke_width(each):
    """How wide the style sheet makes a stroke: the rule that names most of its looks counts."""
    fitting = [(len(names), width) for names, width in STROKES if names <= set(looks(each))]
    return max(fitting)[1] if fitting else 0.0


def looks(each):
    return (each.get("class") or "").split()


def letters_wide(each):
    """Width of one line of text."""
    size = SMALL if "fig-small" in looks(each) else SIZE
    bold = any(look in looks(each) for look in ("fig-strong", "fig-good-text", "fig-bad-text", "fig-odd-text", "fig-blue-text"))
    return sum(WIDTH_OF.get(letter, 0.28 if letter.isspace() else 0.6) for letter in each.text) * size * (BOLD if bold else 1)


def box_of(each, low=0.21):
    """(left, top, right, bottom) of one line of text; `low` is how far letters such as g hang down, in parts of its size."""
    size = SMALL if "fig-small" in looks(each) else SIZE
    x, y, wide = float(each.get("x")), float(each.get("y")), letters_wide(each)
    left = x - {"start": 0, "middle": wide / 2, "end": wide}[each.get("text-anchor", "start")]
    hangs = low * size if any(letter in "gjpqy,;()" for letter in each.text) else 0
    return left, y - 0.73 * size, left + wide, y + hangs


def boxes_of_texts(root):
    """[(text, box)] of all lines of words, in the order in which they are painted."""
    return [(each.text, box_of(each)) for each in root.iter(SVG + "text")]


def arc(start, radius, large, turned, end):
    """Places along a circular arc, by the rules of the SVG standard (F.6.5)."""
    half_x, half_y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    reach_out = math.hypot(half_x, half_y)
    off = math.sqrt(max(0.0, radius * radius - reach_out * reach_out)) / (reach_out or 1) * (-1 if large == turned else 1)
    x, y = off * half_y + (start[0] + end[0]) / 2, -off * half_x + (start[1] + end[1]) / 2
    first, last = math.atan2(start[1] - y, start[0] - x), math.atan2(end[1] - y, end[0] - x)
    if turned and last < first:
        last += 2 * math.pi
    if not turned and last > first:
        last -= 2 * math.pi
    radius = max(radius, reach_out)
    return [(x + radius * math.cos(first + (last - first) * step / 24), y + radius * math.sin(first + (last - first) * step / 24)) for step in range(1, 25)]


def softly(start, one, other, end):
    """Places along a cubic curve."""
    for step in range(1, 9):
        t, u = step / 8, 1 - step / 8
        yield tuple(u ** 3 * start[i] + 3 * u * u * t * one[i] + 3 * u * t * t * other[i] + t ** 3 * end[i] for i in (0, 1))


def places(data):
    """(letters, numbers) of a path, every place told from the corner of the page, the radii of an arc as they are."""
    found, x, y, start = [], 0.0, 0.0, (0.0, 0.0)
    for kind, body in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", data):
        given = [float(number) for number in NUMBER.findall(body)]
        step = {"m": 2, "l": 2, "c": 6, "a": 7, "v": 1, "h": 1, "z": 1}[kind.lower()]
        for first in range(0, len(given), step):
            part = given[first:first + step]
            left, top = (x, y) if kind.islower() else (0.0, 0.0)
            if kind in "vV":
                part = [x - left, *part]
            if kind in "hH":
                part = [*part, y - top]
            if kind in "aA":
                found += part[:5]
                part = part[5:]
            points = [(left + part[place], top + part[place + 1]) for place in range(0, len(part), 2)]
            found += [number for point in points for number in point]
            x, y = points[-1]
            if kind in "mM" and first == 0:
                start = (x, y)
        if kind in "zZ":
            x, y = start
    return [letter for letter in data if letter.isalpha()], found


def pieces_of(data):
    """The places along each piece of a path, curves followed in short steps."""
    letters, numbers = places(data)
    found, given, start = [], iter(numbers), None
    # A letter may stand for several steps; how many numbers each took is told by walking them again.
    for kind, count in zip(letters, counts_of(data)):
        for _ in range(count):
            if kind in "mM":
                start = (next(given), next(given))
                found.append([start])
            elif kind in "lLvVhH":
                found[-1].append((next(given), next(given)))
            elif kind in "cC":
                found[-1] += softly(found[-1][-1], *[(next(given), next(given)) for _ in range(3)])
            elif kind in "aA":
                radius, _, _, large, turned = [next(given) for _ in range(5)]
                found[-1] += arc(found[-1][-1], radius, bool(large), bool(turned), (next(given), next(given)))
        if kind in "zZ":
            found[-1].append(found[-1][0])
            found.append([found[-1][0]])
    return [piece for piece in found if len(piece) > 1]


def counts_of(data):
    """How many steps each letter of a path stands for."""
    takes = {"m": 2, "l": 2, "c": 6, "a": 7, "v": 1, "h": 1, "z": 1}
    return [len(NUMBER.findall(body)) // takes[kind.lower()] for kind, body in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", data)]


@functools.cache
def outlines(root):
    """[(element, pieces)] of every stroke and area in the order in which they are painted; a tile's own strokes are left out."""
    found = []

    def walk(each, right, down):
        if each.tag == SVG + "defs":
            return
        moved = each.get("transform")
        if moved:
            x, y = (float(number) for number in moved.removeprefix("translate(").rstrip(")").split())
            right, down = right + x, down + y
        pieces = pieces_of_element(each)
        if pieces:
            found.append((each, [[(x + right, y + down) for x, y in piece] for piece in pieces]))
        for child in each:
            walk(child, right, down)

    walk(root, 0.0, 0.0)
    return found


def pieces_of_element(each):
    """The places along the outline of one element."""
    def of(key):
        return float(each.get(key, 0))
    if each.tag == SVG + "path":
        return pieces_of(each.get("d"))
    if each.tag == SVG + "line":
        return [[(of("x1"), of("y1")), (of("x2"), of("y2"))]]
    if each.tag == SVG + "rect":
        x, y, right, bottom = of("x"), of("y"), of("x") + of("width"), of("y") + of("height")
        return [[(x, y), (right, y), (right, bottom), (x, bottom), (x, y)]]
    if each.tag == SVG + "circle":
        return [[(of("cx") + of("r") * math.cos(turn * math.pi / 16), of("cy") + of("r") * math.sin(turn * math.pi / 16)) for turn in range(33)]]
    return []


@functools.cache
def reach(root):
    """(left, top, right, bottom) of all words and strokes, the strokes as wide as they are painted."""
    points = []
    for each, pieces in outlines(root):
        half = stroke_width(each) / 2
        points += [(x + way * half, y + way * half) for piece in pieces for x, y in piece for way in (-1, 1)]
    boxes = [box for _, box in boxes_of_texts(root)]
    return (min([x for x, _ in points] + [box[0] for box in boxes]), min([y for _, y in points] + [box[1] for box in boxes]),
            max([x for x, _ in points] + [box[2] for box in boxes]), max([y for _, y in points] + [box[3] for box in boxes]))


def levels(root):
    """(top, bottom) of every line of words and every stroke that does not run down the whole picture, as a frame does."""
    strokes = [(min(y for _, y in piece), max(y for _, y in piece)) for each, pieces in outlines(root) for piece in pieces if "fig-frame" not in looks(each)]
    return strokes + [(box[1], box[3]) for _, box in boxes_of_texts(root)]


def meets(piece, box):
    """True when the smallest rectangle about a stroke meets a box: most strokes are far away, and this is quickly seen."""
    xs, ys = [x for x, _ in piece], [y for _, y in piece]
    return min(xs) <= box[2] and box[0] <= max(xs) and min(ys) <= box[3] and box[1] <= max(ys)


def crosses(a, b, box):
    """True when a straight stroke comes into a box (Liang and Barsky's clipping)."""
    first, last = 0.0, 1.0
    for way, low, high, start in ((b[0] - a[0], box[0], box[2], a[0]), (b[1] - a[1], box[1], box[3], a[1])):
        if way == 0:
            if not low < start < high:
                return False
            continue
        ends = sorted(((low - start) / way, (high - start) / way))
        first, last = max(first, ends[0]), min(last, ends[1])
    return first < last

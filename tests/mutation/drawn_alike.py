"""Nobody can see it: two drawings of the same words and strokes, none of them moved by more than one unit.

A picture is 360 units wide, as wide as a telephone, so that one unit is one pixel. Words, looks and the kind and order
of the strokes must be the same to the letter. A path is followed all along its curves: no place of one may lie further
than that from the other. A rectangle and a circle are compared also by their far edges; a tile that is laid side by side many times must be the same exactly. What changes no drawing
at all is not meant: there the tests have to say what the changed line is for.
"""

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from pvcalc.core.errors import PvcalcError
from pvcalc.draw import svg
from tests.helpers.draw_examples import INPUTS
from tests.helpers.drawn_shapes import NUMBER, pieces_of

MOST_UNITS = 1.0
ROUNDED = 0.0101  # each of two places is written to the nearest hundredth
KEPT = Path(__file__).parent / "drawn_before.json"
SVG = "{http://www.w3.org/2000/svg}"


def drawings(pictures):
    """The text of every example of some pictures, or the refusal."""
    found = []
    for name, inputs in INPUTS:
        if name in pictures:
            try:
                found.append(svg.picture(name, inputs, "one"))
            except PvcalcError as refusal:
                found.append(str(refusal))
    return found


def keep(pictures):
    """Keep the drawings as they are before any change, beside this file."""
    KEPT.write_text(json.dumps({name: drawings({name}) for name in sorted(pictures)}), encoding="utf-8")


def within(pictures):
    """True when some drawing differs from what was kept, and each by one unit at most."""
    kept = json.loads(KEPT.read_text(encoding="utf-8"))
    pairs = []
    for name in sorted(pictures):
        try:
            pairs += list(zip(kept[name], drawings({name}), strict=True))
        except Exception:  # noqa: BLE001  whatever a changed line breaks, it is not invisible
            return False
    pairs = [(before, after) for before, after in pairs if before != after]
    return bool(pairs) and all(alike(before, after) for before, after in pairs)


def alike(before, after):
    """True when nobody can tell two drawings apart."""
    try:
        one, other = (read(ElementTree.fromstring(text)) for text in (before, after))
    except (ElementTree.ParseError, ValueError):
        return False
    return one[0] == other[0] and len(one[1]) == len(other[1]) and all(
        abs(here - there) <= limit + (ROUNDED if limit else 0) for (here, limit), (there, _) in zip(one[1], other[1])) and all(
        beside(here, there) and beside(there, here) for here, there in zip(one[2], other[2]))


def beside(one, other):
    """True when every place of one stroke lies within a unit of the other, which has as many places."""
    return all(min(off(point, a, b) for a, b in zip(other[max(place - 6, 0):], other[max(place - 6, 0) + 1:place + 7])) <= MOST_UNITS + ROUNDED
               for place, point in enumerate(one))


def off(point, a, b):
    """How far a place lies from a straight stroke, across or up and down, whichever is more."""
    way, start = (b[0] - a[0], b[1] - a[1]), (point[0] - a[0], point[1] - a[1])
    share = (start[0] * way[0] + start[1] * way[1]) / ((way[0] ** 2 + way[1] ** 2) or 1.0)
    share = min(max(share, 0.0), 1.0)
    return max(abs(start[0] - share * way[0]), abs(start[1] - share * way[1]))


def read(root):
    """(what must be the same, [(number, by how much it may differ)], the strokes of paths) of a drawing."""
    same, numbers, strokes = [], [], []
    tiles = {each for tile in root.iter(SVG + "pattern") for each in tile.iter()}
    for each in root.iter():
        limit = 0.0 if each in tiles else MOST_UNITS
        same.append((each.tag, each.text, each.tail, sorted(each.attrib)))
        for key, value in sorted(each.attrib.items()):
            if key == "d":
                pieces = pieces_of(value)
                same.append(([letter for letter in value if letter.isalpha()], [len(piece) for piece in pieces]))
                found = [number for piece in pieces for point in piece for number in point] if not limit else []
                strokes += pieces
            elif key in ("id", "class", "fill", "role", "aria-labelledby", "text-anchor", "patternUnits"):
                same.append(value)
                continue
            elif key == "data-units-per-mm":  # what is drawn to this scale is compared itself
                continue
            else:
                same.append(NUMBER.sub("#", value))
                found = [float(number) for number in NUMBER.findall(value)]
            numbers += [(number, limit) for number in found]
        numbers += [(number, limit) for number in far_edges(each)]
    return same, numbers, strokes


def far_edges(each):
    """The ends of a rectangle or circle that it does not name itself."""
    def of(key):
        return float(each.get(key, 0))
    if each.tag == SVG + "rect":
        return [of("x") + of("width"), of("y") + of("height")]
    if each.tag == SVG + "circle":
        return [of("cx") - of("r"), of("cx") + of("r"), of("cy") - of("r"), of("cy") + of("r")]
    return []

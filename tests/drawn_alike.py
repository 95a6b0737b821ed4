"""Nobody can see it: two drawings of the same words and strokes, none of them moved by more than one unit.

A picture is 360 units wide, as wide as a telephone, so that one unit is one pixel. Words, looks and the kind and order
of the strokes must be the same to the letter. A path is compared by the places it comes to, a rectangle and a circle
also by their far edges; a tile that is laid side by side many times must be the same exactly. What changes no drawing
at all is not meant: there the tests have to say what the changed line is for.
"""

import json
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from pvcalc import draw
from pvcalc.errors import PvcalcError
from tests.draw_examples import INPUTS

MOST_UNITS = 1.0
ROUNDED = 0.0101  # each of two places is written to the nearest hundredth
KEPT = Path(__file__).parent / "drawn_before.json"
NUMBER = re.compile(r"-?\d*\.?\d+")
SVG = "{http://www.w3.org/2000/svg}"


def drawings(pictures):
    """The text of every example of some pictures, or the refusal."""
    found = []
    for name, inputs in INPUTS:
        if name in pictures:
            try:
                found.append(draw.picture(name, inputs, "one"))
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
        abs(here - there) <= limit + (ROUNDED if limit else 0) for (here, limit), (there, _) in zip(one[1], other[1]))


def read(root):
    """(what must be the same, [(number, by how much it may differ)]) of a drawing."""
    same, numbers = [], []
    tiles = {each for tile in root.iter(SVG + "pattern") for each in tile.iter()}
    for each in root.iter():
        limit = 0.0 if each in tiles else MOST_UNITS
        same.append((each.tag, each.text, each.tail, sorted(each.attrib)))
        for key, value in sorted(each.attrib.items()):
            if key == "d":
                letters, found = places(value)
                same.append(letters)
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
    return same, numbers


def far_edges(each):
    """The ends of a rectangle or circle that it does not name itself."""
    def of(key):
        return float(each.get(key, 0))
    if each.tag == SVG + "rect":
        return [of("x") + of("width"), of("y") + of("height")]
    if each.tag == SVG + "circle":
        return [of("cx") - of("r"), of("cx") + of("r"), of("cy") - of("r"), of("cy") + of("r")]
    return []


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

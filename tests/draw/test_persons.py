"""Every stroke of persons that carries a number stands where the scale written beside it says, to within rounding."""

from tests.helpers.draw_examples import SVG
from tests.helpers.drawn_axes import close, corners, of, shapes
from tests.helpers.drawn_cases import each, root  # noqa: F401  root is a fixture
from tests.helpers.drawn_shapes import box_of, looks, outlines


@each("icon_array")
def test_a_person_fills_the_tile_and_the_square_has_room_for_all(root, given):
    tile = [each for each in root.iter() if each.get("id") == "one-free"][0]
    cell, high = of(tile, "width", "height")
    across = {100: 10, 1000: 40}[given["out_of"]]
    assert cell == high and cell * across <= 352
    for each_tile in [each for each in root.iter() if each.tag.endswith("pattern")]:
        cell = float(each_tile.get("width"))
        head, body = list(each_tile)
        x, y, r = of(head, "cx", "cy", "r")
        assert 0.12 * cell < r < 0.22 * cell and 0.5 * cell < shoulder_of(body) < 0.75 * cell
        assert close(x, cell / 2) and 0 < y - r and y + r < 0.45 * cell
        words = body.get("d").replace("M", "").replace("V", " ").replace("a", " ").replace("Z", "").split()
        left, foot, shoulder, half, bow = (float(word) for word in words[:5])
        wide, down = float(words[8]), float(words[-1])
        assert close(left + wide / 2, cell / 2) and close(half * 2, wide) and down == foot < cell and shoulder - bow > 0.35 * cell
        assert 0.5 * cell < wide < 0.7 * cell and y + r <= shoulder - bow + 0.05 * cell


def shoulder_of(body):
    """How far down a body its sides begin."""
    return float(body.get("d").split("V")[1].split("a")[0])


@each("icon_array")
def test_the_persons_of_each_kind_stand_row_by_row(root, given):
    across = {100: 10, 1000: 40}[given["out_of"]]
    tile = [each for each in root.iter() if each.get("id") == "one-free"][0]
    cell = float(tile.get("width"))
    taken = []
    for look in ("sure", "event", "may", "free"):
        kind = []
        for path in [path for path in shapes(root, "path", "fig-over") if path.get("fill") == f"url(#one-{look})"]:
            for piece in corners(path):
                left, right = min(x for x, _ in piece) / cell, max(x for x, _ in piece) / cell
                top, bottom = min(y for _, y in piece) / cell, max(y for _, y in piece) / cell
                assert all(close(edge, round(edge), 0.01) for edge in (left, right, top, bottom))
                kind += [row * across + column for row in range(round(top), round(bottom)) for column in range(round(left), round(right))]
        assert kind == sorted(kind)
        taken += kind
    assert taken == list(range(given["out_of"]))


@each("icon_array")
def test_no_words_lie_on_the_persons_and_each_kind_is_explained_beside_its_own_person(root, given):
    areas = {}
    for element, pieces in outlines(root):
        if "fig-over" in looks(element):
            points = [point for piece in pieces for point in piece]
            areas.setdefault(element.get("fill"), []).append((min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points)))
    square = [box for fill, boxes in areas.items() for box in boxes if "-key-" not in fill]
    left, top, right, bottom = (edge(box[i] for box in square) for i, edge in ((0, min), (1, min), (2, max), (3, max)))
    side = {100: 210, 1000: 352}[given["out_of"]]
    assert close((left, right - left), (4, side)) and close(bottom - top, {100: 210, 1000: 220}[given["out_of"]])
    for element in root.iter(SVG + "text"):
        x, y, end, foot = box_of(element)
        assert end <= left or right <= x or foot <= top or bottom <= y, element.text
    words = [(box_of(element), element.text) for element in root.iter(SVG + "text") if "fig-small" in looks(element)]
    for look, start in (("sure", "lower end"), ("event", "found"), ("may", "upper end"), ("free", "without")):
        (key,), ((x, y, _, foot),) = areas[f"url(#one-key-{look})"], [box for box, text in words if text.startswith(start)]
        assert close((key[2] - key[0], key[3] - key[1]), (16, 16)) and 3 <= x - key[2] <= 6
        assert key[1] - 1 <= y and foot <= key[3] + 3  # on one level
        assert key[0] >= right or key[1] >= bottom + 3
        tile = [element for element in root.iter() if element.get("id") == f"one-key-{look}"][0]
        assert of(tile, "width", "height") == (16, 16)
    keys = [areas[f"url(#one-key-{look})"][0] for look in ("sure", "event", "may", "free")]
    assert keys[0][0] > right or keys[0][1] - bottom < 12
    for place, one in enumerate(keys):
        assert all(abs(one[0] - other[0]) >= 100 or abs(one[1] - other[1]) >= 20 for other in keys[:place])
    last = [box for box, text in words if text.startswith(f"{given['events']:,} of".replace(",", "\u2009")) or text.startswith(f"{given['events']} of")]
    assert last and last[0][1] >= max(bottom, max(key[3] for key in keys)) + 4

"""The recogniser of a low pressure: bars that agree with their words, and a heart that looks as its words say."""

import math

import pytest

from tests.helpers.draw_examples import SVG, parsed
from tests.helpers.drawn_axes import corners, of, shapes, texts

ROOT = parsed("low_pressure_recogniser", {})
NAMES = ["Tamponade", "Failing ventricle", "Muscle", "Muscle, emptied", "Valve still tight", "Lungs", "Bleeding", "Allergy, too deep"]


def field(x, y):
    """Place of the field that a point lies in, row by row; None in the head of the picture."""
    tops = sorted({of(line, "y1")[0] for line in shapes(ROOT, "line", "fig-frame") if of(line, "y1") == of(line, "y2")})
    rows = [row for row in range(4) if tops[row] <= y <= tops[row + 1]]
    return 2 * rows[0] + (x > 180) if rows else None


def per_field(kind, look):
    """Elements of this look, field by field."""
    found = {place: [] for place in range(8)}
    for each in shapes(ROOT, kind, look):
        x, y = of(each, "x", "y") if kind == "rect" else corners(each)[0][0]
        place = field(x, y)
        if place is not None:
            found[place].append(each)
    return [found[place] for place in range(8)]


def heights(look):
    """Heights of the two bars of each field, the ventricle's first."""
    return [[of(bar, "height")[0] for bar in sorted(bars, key=lambda one: of(one, "x"))] for bars in per_field("rect", look)]


def words():
    """(ventricle, atrium) as written in each field."""
    lines = [text for _, _, text in texts(ROOT) if text.startswith("RV ") and ", RA " in text]
    return [tuple(part.split(" ", 1)[1] for part in line.split(", ")) for line in lines]


def test_every_field_has_its_name_in_order():
    assert [text for _, _, text in texts(ROOT, look="fig-strong")][:8] == NAMES


def test_the_bars_agree_with_the_words_beside_them():
    before, now = heights("fig-zone-plain"), heights("fig-bar")
    assert len(words()) == 8 and len({tuple(pair) for pair in before}) == 1  # the same patient before
    for (ventricle, atrium), (rv_before, ra_before), (rv_now, ra_now) in zip(words(), before, now):
        share = rv_now / rv_before
        assert {"HIGH": share >= 0.9, "LOW": share <= 2 / 3, "BETWEEN": 2 / 3 < share < 0.9, "any": True}[ventricle], ventricle
        assert {"HIGH": ra_now > 1.5 * ra_before, "LOW": ra_now < 0.5 * ra_before, "ordinary": 0.8 < ra_now / ra_before < 1.2,
                "mostly HIGH": ra_now > 1.5 * ra_before}[atrium], atrium


def test_all_bars_stand_on_the_line_of_their_field():
    axes = per_field_axes()
    for look in ("fig-zone-plain", "fig-bar"):
        for bars, base in zip(per_field("rect", look), axes):
            assert len(bars) == 2
            assert all(sum(of(bar, "y", "height")) == pytest.approx(base, abs=0.02) for bar in bars)


def per_field_axes():
    lines = [of(line, "x1", "y1") for line in shapes(ROOT, "line", "fig-axis")]
    return [y for _, (x, y) in sorted((field(x, y), (x, y)) for x, y in lines)]


def test_fluid_is_drawn_and_named_around_one_heart_only():
    fluid = per_field("path", "fig-fluid")
    assert [len(found) for found in fluid] == [1, 0, 0, 0, 0, 0, 0, 0]
    muscle = corners(per_field("path", "fig-muscle")[0][0])[0]
    around = corners(fluid[0][0])[0]
    for axis in (0, 1):
        assert min(point[axis] for point in around) < min(point[axis] for point in muscle)
    assert [field(x, y) for x, y, text in texts(ROOT) if text == "fluid"] == [0]


def breadth(place):
    """Widest of the cavity of a field."""
    points = corners(per_field("path", "fig-lumen")[place][0])[0]
    low = [point for point in points if point[1] > (min(p[1] for p in points) + max(p[1] for p in points)) / 2]
    return max(x for x, _ in low) - min(x for x, _ in low)


def test_the_failing_ventricle_is_the_widest_and_the_emptied_one_the_narrowest():
    wide = {name: breadth(place) for place, name in enumerate(NAMES)}
    assert max(wide, key=wide.get) == "Failing ventricle" and min(wide, key=wide.get) == "Muscle, emptied"
    assert wide["Valve still tight"] == pytest.approx(wide["Lungs"])
    assert max(wide[name] for name in ("Muscle", "Bleeding", "Tamponade")) < wide["Lungs"]


def narrow(place):
    """Least distance between the two borders of the cavity near the place where the muscle shuts."""
    points = corners(per_field("path", "fig-lumen")[place][0])[0]
    half = len(points) // 2
    return min(math.dist(one, other) for one in points[:half] for other in points[half + 3:len(points) - 3])


def test_only_muscle_shuts_the_outflow():
    gaps = [narrow(place) for place in range(8)]
    shut = {NAMES[place] for place in range(8) if gaps[place] < 5}
    assert shut == {"Muscle", "Muscle, emptied"}


def test_only_the_tight_valve_has_leaflets_that_nearly_meet():
    gaps = []
    for leaflets in per_field("path", "fig-leaflet"):
        one, other = (corners(leaflet)[0][-1] for leaflet in leaflets)
        gaps.append(math.dist(one, other))
    assert [NAMES[place] for place in range(8) if gaps[place] < 2] == ["Valve still tight"]
    assert min(gap for place, gap in enumerate(gaps) if NAMES[place] != "Valve still tight") > 5


def test_an_arrow_points_at_the_muscle_the_valve_or_the_artery():
    heads = {}
    for each in shapes(ROOT, "path", "fig-arrow-head"):
        tip = corners(each)[0][0]
        place = field(*tip)
        hinges = [corners(leaflet)[0][0] for leaflet in per_field("path", "fig-leaflet")[place]]
        heads[NAMES[place]] = tip[1] - sum(y for _, y in hinges) / 2
    assert set(heads) == {"Muscle", "Muscle, emptied", "Valve still tight", "Lungs"}
    assert heads["Lungs"] < 0 < heads["Muscle"] and heads["Valve still tight"] < heads["Muscle"]


def test_what_is_said_names_every_field_with_its_words():
    said = ROOT.find(SVG + "desc").text
    for name, (ventricle, atrium) in zip(NAMES, words()):
        assert f"{name}: RV {ventricle}, RA {atrium};" in said
    assert "fluid before everything" in said

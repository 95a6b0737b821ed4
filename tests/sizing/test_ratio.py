"""Behaviour around sizing: the slips that must end in a sentence, rules between fields, and sizes by hand."""

import math

import pytest

from pvcalc.core import formula as core
from pvcalc.core.errors import NoResult, OutOfRange
from pvcalc.formulas import body_size
from pvcalc.formulas.body_size import annulus_expected_mm, annulus_z, body_surface_m2, weight_fits_height
from pvcalc.sizing.calibration import diameter_from_area_mm, diameter_from_perimeter_mm
from pvcalc.sizing.ratio import annulus_other_phase_band_mm, balloon_range_mm, balloon_ratio
from pvcalc.sizing.two_balloons import (
    spaced_balloon_belt_mm, three_balloon_diameter_mm, two_balloon_diameter_equal_area_mm,
    two_balloon_diameter_literature_mm, two_balloon_diameter_mm,
)

# --- slips: cm for mm, pounds, metres, the other phase (hazards HZ1 to HZ4) ---

CHILD = {"age_years": 5, "height_cm": 110, "weight_kg": 18, "view": "short_axis"}


@pytest.mark.parametrize("typed, mended", [(1.4, "typed in cm? (14\u00a0mm)"), (140, "14\u00a0mm")])
@pytest.mark.parametrize("name, rest", [("annulus_z", CHILD), ("balloon_ratio", {"balloon_mm": 17}),
                                        ("balloon_range_mm", {"low_ratio": 1.2, "high_ratio": 1.25}),
                                        ("equal_pair_mm", {"ratio": 1.2})])
def test_centimetres_are_refused_with_the_likely_value(typed, mended, name, rest):
    answer = core.run(name, {"annulus_mm": typed, **rest})
    assert not answer["ok"]
    [(field, sentence)] = answer["faults"]
    assert field == "annulus_mm" and "14\u00a0mm" in sentence and sentence.endswith("?")


def test_an_annulus_beyond_six_deviations_asks_for_the_unit():
    for annulus in (3.5, 37):
        with pytest.raises(NoResult) as caught:
            annulus_z(annulus_mm=annulus, **CHILD)
        [(field, sentence)] = caught.value.faults
        assert field == "annulus_mm" and "mm and not in cm" in sentence and "beyond 6" in sentence


@pytest.mark.parametrize("z, taken", [(-5.99, True), (-6.01, False), (5.99, True), (6.01, False)])
def test_six_deviations_are_the_edge(z, taken):
    surface = 0.024265 * 110 ** 0.3964 * 18 ** 0.5378
    annulus = (1.91 + z * 0.24) * math.sqrt(surface) * 10
    if taken:
        assert annulus_z(annulus_mm=annulus, **CHILD) == pytest.approx(z, abs=1e-9)
    else:
        with pytest.raises(NoResult):
            annulus_z(annulus_mm=annulus, **CHILD)


def test_nobody_over_18_gets_a_z_value():
    assert annulus_z(annulus_mm=14, **{**CHILD, "age_years": 18})
    with pytest.raises(OutOfRange, match="lopez2017"):
        annulus_z(annulus_mm=14, **{**CHILD, "age_years": 18.01})
    with pytest.raises(OutOfRange):
        annulus_expected_mm(z=0, **{**CHILD, "age_years": 19})


def test_pounds_are_asked_about():
    answer = core.run("annulus_z", {"annulus_mm": 14, **CHILD, "weight_kg": 39.7})
    assert answer["ok"]
    [question] = answer["asks"]
    assert "typed in pounds? (18.0 kg)" in question
    assert core.run("annulus_z", {"annulus_mm": 14, **CHILD})["asks"] == []


def test_metres_are_refused():
    answer = core.run("annulus_z", {"annulus_mm": 14, **CHILD, "height_cm": "1.10"})
    [(field, sentence)] = answer["faults"]
    assert field == "height_cm" and "typed in metres (110\u00a0cm)?" in sentence


@pytest.mark.parametrize("height, index, asked", [
    (60, 9.99, True), (60, 10, False), (124.9, 25, False), (124.9, 25.01, True), (125, 25.01, False), (125, 30, False),
    (149.9, 30.01, True), (150, 30.01, False), (170, 40, False), (170, 40.01, True), (170, 9.99, True)])
def test_when_a_weight_is_asked_about(height, index, asked):
    weight = index * height * height / 10000
    nudge = 1 if index in (10,) else -1
    question = weight_fits_height({"height_cm": height, "weight_kg": weight * (1 + nudge * 1e-12)})
    assert bool(question) == asked
    if asked:
        assert question.endswith(("?", ")"))


def test_a_light_child_is_not_asked_about_pounds():
    question = weight_fits_height({"height_cm": 110, "weight_kg": 8})
    assert "pounds" not in question and "height in cm" in question and "6.6 kg/m²" in question
    heavy = weight_fits_height({"height_cm": 110, "weight_kg": 120})
    assert "pounds" not in heavy, "120 lb would not fit either"
    assert body_size.POUND_KG == pytest.approx(0.45359237, abs=1e-12)


def test_the_view_changes_z():
    short = annulus_z(annulus_mm=14, **CHILD)
    long = annulus_z(annulus_mm=14, **{**CHILD, "view": "long_axis"})
    assert (round(short, 2), round(long, 2)) == (-1.18, -1.37)
    for view in (None, "apical"):
        answer = core.run("annulus_z", {"annulus_mm": 14, **CHILD, "view": view})
        assert not answer["ok"] and answer["faults"][0][0] == "view"


def test_the_norm_says_that_its_body_surface_is_recalled():
    assert "RECALLED" in annulus_z.function.__doc__ and "RECALLED" in annulus_expected_mm.function.__doc__


def test_the_other_phase_is_a_band_with_the_published_ends():
    for valve, least, most in [("typical", 6, 53), ("dysplastic", 14, 41)]:
        wider = dict(annulus_other_phase_band_mm(annulus_mm=16, measured_in="end_systole", valve=valve))
        assert wider["low_mm"] == pytest.approx(16 * (100 + least) / 100, rel=1e-12)
        assert wider["high_mm"] == pytest.approx(16 * (100 + most) / 100, rel=1e-12)
        narrower = dict(annulus_other_phase_band_mm(annulus_mm=16, measured_in="end_diastole", valve=valve))
        assert narrower["low_mm"] == pytest.approx(1600 / (100 + most), rel=1e-12)
        assert narrower["high_mm"] == pytest.approx(1600 / (100 + least), rel=1e-12)
    assert "Never size a balloon" in annulus_other_phase_band_mm.function.__doc__


# --- rules between fields ---

def test_ratios_in_the_wrong_order_are_refused():
    with pytest.raises(NoResult, match="each other's place"):
        balloon_range_mm(annulus_mm=20, low_ratio=1.25, high_ratio=1.2)
    assert dict(balloon_range_mm(annulus_mm=20, low_ratio=1.2, high_ratio=1.2)) == {"low_mm": 24, "high_mm": 24}


def test_balloons_cannot_overlap():
    with pytest.raises(NoResult, match="overlap"):
        spaced_balloon_belt_mm(balloon_a_mm=20, balloon_b_mm=18, centres_mm=18.999)
    assert spaced_balloon_belt_mm(balloon_a_mm=20, balloon_b_mm=18, centres_mm=19) == pytest.approx(97.7429, abs=5e-5)


def test_body_surface_by_square_root_and_powers():
    assert body_surface_m2(height_cm=180, weight_kg=80, by="mosteller") == pytest.approx(2, rel=1e-12)
    grams = math.log10(75000)
    assert body_surface_m2(height_cm=170, weight_kg=75, by="boyd") == pytest.approx(
        0.0003207 * 170 ** 0.3 * 75000 ** (0.7285 - 0.0188 * grams), rel=1e-12)


def test_the_order_of_the_five_formulas_in_a_newborn():
    newborn = {by: body_surface_m2(height_cm=50, weight_kg=3.5, by=by) for by in body_size.BODY_SURFACE}
    assert newborn["dubois"] < newborn["mosteller"] < newborn["haycock"] < newborn["boyd"] < newborn["gehan_george"]


def test_the_long_axis_norm_is_five_per_cent_wider():
    child = {key: value for key, value in CHILD.items() if key != "view"}
    wider = annulus_expected_mm(z=0, view="long_axis", **child) / annulus_expected_mm(z=0, view="short_axis", **child)
    assert 100 * (wider - 1) == pytest.approx(5.2, abs=0.05)


def test_the_belt_lies_a_seventh_above_the_equal_area_form():
    pair = {"balloon_a_mm": 17, "balloon_b_mm": 17}
    share = two_balloon_diameter_equal_area_mm(**pair) / two_balloon_diameter_mm(**pair)
    assert 100 * (1 - share) == pytest.approx(13.6, abs=0.05)


@pytest.mark.parametrize("tenths, error", [(10, 0), (9, -0.05), (8, -0.24), (7, -0.60), (6.5, -0.87), (5, -2.1), (3, -5.5)])
def test_how_far_the_literature_form_lies_under_the_belt(tenths, error):
    pair = {"balloon_a_mm": 10, "balloon_b_mm": tenths}
    found = 100 * (two_balloon_diameter_literature_mm(**pair) / two_balloon_diameter_mm(**pair) - 1)
    assert found == pytest.approx(error, abs=0.005 if abs(error) < 1 else 0.05)


def test_circles_by_hand():
    assert diameter_from_perimeter_mm(perimeter_mm=20 * math.pi) == pytest.approx(20, rel=1e-12)
    assert diameter_from_area_mm(area_cm2=math.pi) == pytest.approx(20, rel=1e-12)


def test_ratio_and_three_balloons_by_hand():
    assert balloon_ratio(balloon_mm=18, annulus_mm=15) == pytest.approx(1.2, rel=1e-12)
    assert three_balloon_diameter_mm(balloon_mm=math.pi) == pytest.approx(math.pi + 3, rel=1e-12)

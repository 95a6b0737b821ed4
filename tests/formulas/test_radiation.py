"""Kerma-area product by another library's units, and the hundredfold slip."""

import pytest
from pint import get_application_registry

from pvcalc.formulas import radiation
from tests.helpers.edges import asked, assert_ranges, fault

UNITS = get_application_registry()


@pytest.mark.parametrize("ugy_m2", [1, 30, 249, 8600])
def test_both_directions_by_units(ugy_m2):
    exact = UNITS.Quantity(ugy_m2, "uGy * m**2").to("Gy * cm**2").magnitude
    assert radiation.kap_to_gy_cm2(kap_ugy_m2=ugy_m2) == pytest.approx(exact, rel=1e-12)
    assert radiation.kap_to_ugy_m2(kap_gy_cm2=exact) == pytest.approx(ugy_m2, rel=1e-12)


def test_the_other_units_of_displays():
    one = UNITS.Quantity(1, "Gy * cm**2")
    assert one.to("mGy * cm**2").magnitude == pytest.approx(1000)
    assert one.to("cGy * cm**2").magnitude == pytest.approx(100)
    assert one.to("uGy * m**2").magnitude == pytest.approx(radiation.kap_to_ugy_m2(kap_gy_cm2=1))


def test_a_field_times_a_kerma():
    product = UNITS.Quantity(25, "cm**2") * UNITS.Quantity(1, "mGy")
    assert product.to("uGy * m**2").magnitude == pytest.approx(2.5)
    assert radiation.kap_to_gy_cm2(kap_ugy_m2=2.5) == pytest.approx(product.to("Gy * cm**2").magnitude, rel=1e-12)


def test_five_gray_over_an_infants_field_is_not_500_gray_square_centimetres():
    assert (UNITS.Quantity(5, "Gy") * UNITS.Quantity(25, "cm**2")).to("Gy * cm**2").magnitude == 125
    assert radiation.kap_to_ugy_m2(kap_gy_cm2=125) == 12500


@pytest.mark.parametrize("typed, odd", [(2.49, True), (9.99, True), (10, False), (249, False)])
def test_gray_square_centimetres_typed_as_micrograys_are_asked_about(typed, odd):
    assert bool(asked(radiation.kap_to_gy_cm2, dict(kap_ugy_m2=typed))) == odd
    assert bool(asked(radiation.kap_per_kg_ugy_m2, dict(kap_ugy_m2=typed, weight_kg=4))) == odd


@pytest.mark.parametrize("typed, odd", [(2.49, False), (100, False), (100.1, True), (249, True)])
def test_micrograys_typed_as_gray_square_centimetres_are_asked_about(typed, odd):
    assert bool(asked(radiation.kap_to_ugy_m2, dict(kap_gy_cm2=typed))) == odd


def test_out_of_range_names_the_other_unit():
    assert "Gy·cm²" in fault(radiation.kap_to_gy_cm2, dict(kap_ugy_m2=0.4))
    assert "µGy·m²" in fault(radiation.kap_to_ugy_m2, dict(kap_gy_cm2=2490))


def test_per_kilogram_carries_its_own_unit():
    assert radiation.kap_per_kg_ugy_m2(kap_ugy_m2=133, weight_kg=4) == 33.25
    assert radiation.kap_per_kg_ugy_m2.shown(33.0) == "33.0\u00a0µGy·m²/kg"


def test_ranges():
    assert_ranges(radiation.kap_to_gy_cm2, dict(kap_ugy_m2=249), dict(kap_ugy_m2=(1, 100000)))
    assert_ranges(radiation.kap_to_ugy_m2, dict(kap_gy_cm2=2.49), dict(kap_gy_cm2=(0.01, 1000)))
    assert_ranges(radiation.kap_per_kg_ugy_m2, dict(kap_ugy_m2=249, weight_kg=4), dict(kap_ugy_m2=(1, 100000), weight_kg=(0.5, 250)))

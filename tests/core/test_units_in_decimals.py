"""Numbers as they are read, shown and added, held against decimal arithmetic."""

import math
import random
from decimal import ROUND_DOWN, ROUND_HALF_UP, Context, Decimal

import pytest
from pint import UnitRegistry

from pvcalc.core import units
from pvcalc.core.units import (
    is_number, label_of, read_number, show, show_input, show_named, total, trimmed, unit_of, with_unit,
)

WIDE = Context(prec=700)
THIN = "\u202f"

# Decimals shown of a name that carries no unit.
WITHOUT_A_UNIT = {
    0: "for_power at_risk alert_count alarm_count row_count traces_count case signals events cases needed sides outcomes event", 1: "to_compare after_failure count",
    2: "ratio z index times time limit power", 3: "interval risk risk_over_years low high path survival alpha beta confidence constant", 4: "hazard hazards upper tail weight step error"}


def test_every_name_without_a_unit_has_its_decimals():
    for decimals, words in WITHOUT_A_UNIT.items():
        for word in words.split():
            for name in (word, f"anything_{word}")[:1 if word == "risk_over_years" else 2]:  # with more before it, it is a number of years
                unit = unit_of(name)
                assert (unit["decimals"], unit["suffix"], unit["symbol"], unit["low"], unit["high"], unit["slips"]) == (decimals, "", "", None, None, []), name
    assert sum(len(words.split()) for words in WITHOUT_A_UNIT.values()) == len(units.DIMENSIONLESS)


# What was typed, in whose unit, and the unit it was meant for: the factor is that of another library.
SLIPS = [
    ("micrograms_kg_min", "nanograms", "nanogram", "microgram"), ("micrograms_kg_min", "mg", "milligram", "microgram"), ("micrograms_min", "mg/min", "milligram", "microgram"), ("micrograms_ml", "mg/mL", "milligram", "microgram"),
    ("micrograms_kg", "mg/kg", "milligram", "microgram"), ("ugy_m2", "Gy·cm²", "gray*cm**2", "microgray*m**2"), ("gy_cm2", "µGy·m²", "microgray*m**2", "gray*cm**2"),
    ("ml_min", "L/min", "liter", "milliliter"), ("ml_dl", "mL/L", "milliliter/liter", "milliliter/deciliter"), ("g_dl", "g/L", "gram/liter", "gram/deciliter"),
    ("l_min", "mL/min", "milliliter", "liter"), ("m_s", "cm/s", "cm", "m"), ("cm_s", "m/s", "m", "cm"), ("cm2", "mm²", "mm**2", "cm**2"), ("mmhg", "kPa", "kilopascal", "mmHg2"),
    ("percent", "fraction", "dimensionless", "percent"), ("fraction", "per cent", "percent", "dimensionless"), ("fractions", "per cent", "percent", "dimensionless"),
    ("inch", "mm", "mm", "inch"), ("atm", "kPa", "kilopascal", "atm"), ("atm", "psi", "psi", "atm"), ("ms", "seconds", "second", "millisecond"), ("mm", "cm", "cm", "mm"),
    ("cm", "metres", "m", "cm"), ("cm", "inches", "inch", "cm"), ("cm", "mm", "mm", "cm"), ("kg", "grams", "gram", "kg"), ("kg", "pounds", "pound", "kg"), ("gy", "mGy", "milligray", "gray"),
    ("s", "ms", "millisecond", "second")]


def test_every_slip_mends_by_its_own_factor():
    library = UnitRegistry()
    library.define("mmHg2 = 133.322 pascal")
    told = {(row[0], question): factor for row in units.SUFFIXES for factor, question in row[6]}
    for suffix, words, typed, meant in SLIPS:
        question = next(question for name, question in told if name == suffix and words in question)
        assert told.pop((suffix, question)) == pytest.approx(library.Quantity(1, typed).to(meant).magnitude, rel=2e-5), (suffix, words)
    # 1 mg/dL of creatinine is 88.4 µmol/L; a point left out is a factor of ten; degrees Fahrenheit have an offset of their own.
    assert told == {("umol_l", "typed in mg/dL?"): 88.4, ("mg_dl", "typed in µmol/L?"): 1 / 88.4, ("mm", "an extra digit, or a decimal point left out?"): 0.1, ("c", "typed in °F?"): None}


@pytest.mark.parametrize("name, suffix", [
    ("annulus_mm", "mm"), ("mm", "mm"), ("comm", None), ("contrast_ml_per_kg", "ml_per_kg"), ("dose_mg_kg", "mg_kg"), ("dose_micrograms_kg_min", "micrograms_kg_min"),
    ("risk_over_years", ""), ("follow_up_years", "years"), ("view", None), ("valve_ratio", ""), ("kap_ugy_m2", "ugy_m2"), ("body_surface_m2", "m2"), ("body_z", "z"[:0]), ("xratio", None)])
def test_the_longest_ending_of_a_name_is_its_unit(name, suffix):
    unit = unit_of(name)
    assert (unit and unit["suffix"]) == suffix if suffix is not None else unit is None


@pytest.mark.parametrize("name, words", [("rv_systolic_mmhg", "RV systolic"), ("mm", "mm"), ("annulus_mm", "annulus"), ("valve_ratio", "valve ratio"), ("view", "view"), ("body_z", "body z"),
                                         ("egfr_ml_min_173", "eGFR"), ("tr_vti_cm", "TR VTI")])
def test_a_name_is_told_by_its_words_without_the_unit(name, words):
    assert label_of(name) == words


@pytest.mark.parametrize("text, name, shown", [("5", "a_mm", "5\u00a0mm"), ("5", "a_deg", "5°"), ("5", "a_c", "5\u00a0°C"), ("5", "a_umol_l", "5\u00a0µmol/L"), ("5", "a_ratio", "5"), ("5", "view", "5"), ("5", "a_fraction", "5")])
def test_a_symbol_stands_behind_a_no_break_space(text, name, shown):
    assert with_unit(text, name) == shown


@pytest.mark.parametrize("value, name, decimals, shown", [
    (12.34, "a_mm", None, "12.3\u00a0mm"), (12.34, "a_mm", 2, "12.34\u00a0mm"), (25.0, "a_mg", None, "25\u00a0mg"), (25.04, "a_mg", None, "25\u00a0mg"), (2.5, "a_mg", None, "2.5\u00a0mg"),
    (100.0, "a_mg", 0, "100\u00a0mg"), (0.5, "a_ml_h", None, "0.5\u00a0mL/h"), (25.0, "a_ml", None, "25\u00a0mL"), (1.5, "view", None, "1.50"), (0.5, "a_z", None, "0.50"), (10.0, "a_micrograms", 1, "10\u00a0micrograms")])
def test_a_value_has_the_decimals_of_its_unit_and_a_dose_no_idle_nought(value, name, decimals, shown):
    assert show_named(value, name, decimals) == shown


@pytest.mark.parametrize("value, answer", [(1, True), (0.0, True), (-2.5, True), (True, False), (False, False), (math.nan, False), (math.inf, False), (-math.inf, False), ("1", False), (None, False), ([1], False)])
def test_what_is_a_number(value, answer):
    assert is_number(value) is answer


# Shown


def rounded(size, places):
    """Halves away from nought, at any number of digits."""
    return size.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, context=WIDE)


def placed(size):
    """Power of ten of the first digit; what rounds up to a power of ten at the fifteenth digit counts as it."""
    return rounded(size, 14 - size.adjusted()).adjusted()


def by_decimal(value, decimals):
    """The same by decimal arithmetic: twelve significant digits first, then the decimals, and more of them before a nought that is none."""
    size = abs(Decimal(value))
    if size < Decimal("1e-300"):
        return written(Decimal(0), decimals, False)
    place = placed(size)
    snapped = rounded(size, 11 - place)
    digits = rounded(snapped, decimals)
    if digits == 0:
        if place < -12:
            return "less than 0.000000000001" if value > 0 else "within 0.000000000001 of 0"
        digits = rounded(snapped, -place)
    return written(digits, None, value < 0)


def written(digits, decimals, negative):
    whole, point, rest = f"{digits if decimals is None else rounded(digits, decimals):f}".partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", THIN)
    return ("\u2212" if negative and digits else "") + whole + point + rest


CHANCE = random.Random(20261125)
NUMBERS = [0, 0.0, 1, -1, 0.5, -0.5, 1.5, 2.5, 0.05, 0.15, 1.005, 1.2 * 12, 14.4, 999.5, 9999, 9999.5, 10000, 99999, 123456, 1234567.891, -1234.5, 1e11, 123456789012345, 1e15, 1e20, 3.7e22, 2.0**70,
           0.1, 0.001, 0.00049, 0.0005, 0.00099999999999999, 1e-5, 4e-12, 1e-12, 9.99e-13, -9.99e-13, 1e-13, -1e-5, 1e-299, 1e-301, -1e-301, 5e-324, 1 / 3, -2 / 3, 99.99999999999, 0.999999999999, 0.9999999999999,
           *[CHANCE.choice((-1, 1)) * CHANCE.random() * 10.0**CHANCE.randint(-14, 18) for _ in range(150)]]


@pytest.mark.parametrize("decimals", [0, 1, 2, 3, 6, 12])
def test_a_number_is_shown_as_decimal_arithmetic_shows_it(decimals):
    for value in NUMBERS:
        assert show(value, decimals) == by_decimal(value, decimals), value


@pytest.mark.parametrize("value, decimals, shown", [
    (1.2 * 12, 1, "14.4"), (0.25, 1, "0.3"), (-0.25, 1, "−0.3"), (1234, 0, "1234"), (12345, 0, f"12{THIN}345"), (1234567, 1, f"1{THIN}234{THIN}567.0"), (0, 2, "0.00"), (0.004, 1, "0.004"),
    (-0.0, 1, "0.0"), (1e-13, 3, "less than 0.000000000001"), (-1e-13, 3, "within 0.000000000001 of 0"), (0.999, 0, "1"), (2.5, 0, "3")])
def test_a_number_is_shown_as_it_is_written_by_hand(value, decimals, shown):
    assert show(value, decimals) == shown


@pytest.mark.parametrize("decimals", [0, 1, 2, 3])
def test_what_is_rounded_down_is_cut_by_decimal_arithmetic_and_never_above(decimals):
    for value in NUMBERS:
        if 1 <= value < 1e9:
            cut = Decimal(f"{value:.11e}").quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_DOWN)
            assert show(value, decimals, True).replace(THIN, "") == f"{cut:f}"


@pytest.mark.parametrize("value, name, decimals, shown", [
    # 3 mg/kg in 3.2 and 2.5 kg, as 1 %: to the nearest tenth they would read 1 and 0.8 mL, more than is allowed
    (0.96, "local_anaesthetic_limit_ml", 2, "0.96\u00a0mL"), (0.75, "local_anaesthetic_limit_ml", None, "0.7\u00a0mL"), (20.0, "a_limit_ml", None, "20\u00a0mL"),
    (0.1 * 3 * 10, "a_limit_ml", None, "3\u00a0mL"), (9.66, "a_limit_mg", None, "9.6\u00a0mg"), (26.67, "allowable_blood_loss_ml", None, "26.6\u00a0mL"), (26.67, "contrast_ml", None, "26.7\u00a0mL")])
def test_a_ceiling_is_never_shown_higher_than_it_is(value, name, decimals, shown):
    assert show_named(value, name, decimals) == shown


@pytest.mark.parametrize("wrong", [math.nan, math.inf, True, "1", None])
def test_only_a_finite_number_can_be_shown(wrong):
    with pytest.raises(ValueError, match="only a finite number"):
        show(wrong, 1)


def test_what_was_shown_before_is_not_kept_for_ever():
    for value in range(units.MOST_SHOWN + 10):
        assert show(value, 0).replace(THIN, "") == str(value)
        assert len(units._SHOWN) <= units.MOST_SHOWN


def test_the_place_of_the_first_digit_is_right_beside_every_power_of_ten():
    for power in range(-290, 300, 7):
        for value in (10.0**power, math.nextafter(10.0**power, 0), math.nextafter(10.0**power, math.inf), 5 * 10.0**power,
                      *[10.0**power * (1 + sign * off) for sign in (-1, 1) for off in (1e-8, 1e-10, 1e-12, 2e-13, 1e-13, 5e-14, 2e-14, 1e-14, 2e-15, 1e-15)]):
            assert units._first_digit_place(value) == placed(Decimal(value)), value


@pytest.mark.parametrize("value, shown", [
    (20.0, "20"), (18.4, "18.4"), (0, "0"), (-0.5, "−0.5"), (64, "64"), (1234567.5, f"1{THIN}234{THIN}567.5"), (0.000001, "0.000001"), (1e-12, "0.000000000001"), (4 / 3, "1.33333333333"),
    (1.2 * 12, "14.4"), (1e15, f"1{THIN}000{THIN}000{THIN}000{THIN}000{THIN}000"), (100, "100"), (0.1 + 0.2, "0.3"), (123456.789012, f"123{THIN}456.789012"), (1e-301, "0"), (99.5, "99.5"),
    (123456789.125, f"123{THIN}456{THIN}789.125"), (0.00012, "0.00012"),
    # its twelfth decimal is nought, and the thirteenth is not shown
    (0.0494277794201, "0.04942777942")])
def test_a_number_is_shown_as_it_was_given(value, shown):
    assert show_input(value) == shown


def test_a_given_number_has_twelve_digits_at_most_and_no_idle_nought():
    for value in NUMBERS:
        if 1e-6 < abs(value) < 1e15:
            snapped = rounded(rounded(abs(Decimal(value)), 11 - Decimal(value).adjusted()), 12)
            assert show_input(value).replace(THIN, "").replace("\u2212", "") == (f"{snapped.normalize(WIDE):f}"), value


# Added


@pytest.mark.parametrize("numbers", [[], [1], [0.1] * 10, [1e16, 1, -1e16], [1, 1e16, -1e16], [1e16, 1, 1, -1e16], [3, -1e17, 2.5, 1e17], [-1, -1e16, 1e16], [1e-9] * 1000 + [1e9], [0.1, 0.2, 0.3, -0.6]])
def test_a_sum_loses_nothing(numbers):
    assert total(numbers) == pytest.approx(math.fsum(numbers), rel=1e-15, abs=1e-17)


# Read


@pytest.mark.parametrize("typed, value", [
    ("18.4", 18.4), ("18,4", 18.4), (" 18 ", 18), ("\t\u00a018\u202f\u2009\ufeff\n", 18), ("+5", 5), ("-5", -5), ("−5,5", -5.5), (".5", 0.5), (",5", 0.5), ("0,500", 0.5), ("00,500", 0.5), ("000,125", 0.125), ("1234,500", 1234.5),
    ("1.234", 1.234), ("0", 0), ("007", 7), ("1" * 24, float("1" * 24)), ("12,34", 12.34), ("12,3456", 12.3456), (",125", 0.125)])
def test_a_plain_number_is_read_with_a_point_or_a_comma(typed, value):
    assert read_number(typed) == (value, "")


@pytest.mark.parametrize("typed, reason", [
    ("", "is blank"), (" \u00a0 ", "is blank"), ("1" * 25, "is too long"), ("1,2.3", "has both a comma and a point"), ("1.234,5", "has both a comma and a point"), ("1,2,3", "has more than one decimal mark"),
    ("1.2.3", "has more than one decimal mark"), ("18 000", "has a space or a thousands mark inside"), ("1'800", "has a space or a thousands mark"), ("1\u202f800", "has a space or a thousands mark"),
    ("1\u00a0800", "has a space or a thousands mark"), ("18kg", "is not a plain number"), ("≥5", "is not a plain number"), ("±5", "is not a plain number"), ("--5", "is not a plain number"), ("5-", "is not a plain number"), ("1e1", "is not a plain number"), ("٣", "is not a plain number"),
    ("-", "has no digit in it"), (".", "has no digit in it"), ("+,", "has no digit in it"), ("5.", "ends with its decimal mark"), ("5,", "ends with its decimal mark"),
    ("1,234", "could mean 1.234 or 1234"), ("123,456", "could mean 123.456 or 123456"), ("-1,234", "could mean 1.234 or 1234"), ("010,500", "could mean 010.500 or 010500")])
def test_anything_else_is_told_in_words(typed, reason):
    value, told = read_number(typed)
    assert value is None and told.startswith(reason)


@pytest.mark.parametrize("text, kept", [("", ""), (" ", ""), (" a b ", "a b"), ("\ufeffa", "a"), ("a\r\n", "a"), ("a", "a"), ("\u2009\u202fa\u00a0", "a")])
def test_blanks_around_a_text_are_cut_and_none_within(text, kept):
    assert trimmed(text) == kept

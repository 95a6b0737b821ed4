"""Numbers as they are read and shown, held against what a person would write."""

import pytest

from pvcalc.core.units import MINUS, read_number, show, show_input


@pytest.mark.parametrize("value, text", [
    (18.40, "18.4"), (20.0, "20"), (0, "0"), (-0.0, "0"), (-3.5, MINUS + "3.5"), (0.1 + 0.2, "0.3"), (1e-320, "0"),
    # Twelve significant digits of each number, by hand, without the noughts behind them.
    (269.721316570377, "269.72131657"), (1 / 3, "0.333333333333"), (9.9999999999999, "10"), (807.2185636006841, "807.218563601"),
    (1.5e-8, "0.000000015"), (1.234e-11, "0.000000000012"), (105708662720820.16, "105\u202f708\u202f662\u202f721\u202f000")])
def test_a_number_that_was_given_is_shown_with_twelve_digits_and_no_trailing_nought(value, text):
    assert show_input(value) == text


@pytest.mark.parametrize("power", range(-11, 23))
def test_beside_a_power_of_ten_the_first_digit_is_found_exactly(power):
    # Ten to a power, and the doubles just below and above it, to twelve digits: all three are that power.
    from math import inf, nextafter
    written = "1" + "0" * power if power >= 0 else "0." + "0" * (-power - 1) + "1"
    for value in (10.0 ** power, nextafter(10.0 ** power, 0), nextafter(10.0 ** power, inf)):
        assert show_input(value).replace("\u202f", "") == written
        assert show(value, max(0, -power)).replace("\u202f", "") == written


@pytest.mark.parametrize("typed", ["1a2", "1\u0661", "12\u00b2", "1-2", "1e3", "--1", "1%2", "0x10"])
def test_a_sign_that_is_no_digit_is_told_wherever_it_stands(typed):
    assert read_number(typed) == (None, "is not a plain number; type digits with one decimal point or comma, such as 18.4")

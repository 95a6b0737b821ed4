"""Reading a dose that was worked by hand, and holding a computed one against it to the last digit printed."""

from decimal import Decimal

UNITS = {"micrograms": "micrograms", "mg": "mg", "units": "units", "J": "j", "mmol": "mmol", "mL": "mL", "mL/h": "mL/h"}
IN_MG = {"mg": 1.0, "micrograms": 0.001}


def plain(text):
    """A text with common blanks, and numbers without their thin spaces."""
    return text.replace("\u00a0", " ").replace("\u202f", "")


def read(text):
    """(number, unit) of `12 micrograms`."""
    number, _, unit = str(text).partition(" ")
    return float(number), UNITS[unit]


def agrees(printed, value, unit):
    """Asserts that a value, in the unit of its row, is the printed one to half its last digit."""
    number, own = read(printed)
    if own in IN_MG and unit in IN_MG:
        value = value * IN_MG[unit] / IN_MG[own]
    half = float(Decimal(1).scaleb(Decimal(str(printed).partition(" ")[0]).as_tuple().exponent)) / 2
    assert abs(value - number) <= half * (1 + 1e-9), (printed, value, unit)

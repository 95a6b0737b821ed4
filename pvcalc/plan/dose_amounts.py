"""What a hand draws up: one unit a row, the volume in one strength, the rate of a pump, and the dilution when a volume is too small."""

from pvcalc.core.units import show, show_input, unit_of

# Suffix of a setting: unit of its amount, whether for each kilogram, and the time it is for ("" is at once).
DOSE_UNITS = {
    "micrograms_kg_min": ("micrograms", True, "min"), "units_kg_min": ("units", True, "min"), "ml_kg_h": ("ml", True, "h"),
    "micrograms_min": ("micrograms", False, "min"), "units_min": ("units", False, "min"),
    "micrograms_kg": ("micrograms", True, ""), "mg_kg": ("mg", True, ""), "ml_kg": ("ml", True, ""), "units_per_kg": ("units", True, ""),
    "j_kg": ("j", True, ""), "mmol_kg": ("mmol", True, ""),
    "micrograms": ("micrograms", False, ""), "mg": ("mg", False, ""), "ml": ("ml", False, ""), "units": ("units", False, ""),
    "j": ("j", False, ""), "mmol": ("mmol", False, ""), "ppm": ("ppm", False, ""),
}
# Suffix of a strength: unit of the amount in one mL, and how many of them one of the setting is (1 % is 10 mg/mL).
STRENGTH_UNITS = {"micrograms_ml": ("micrograms", 1), "mg_ml": ("mg", 1), "units_ml": ("units", 1), "mmol_ml": ("mmol", 1), "percent": ("mg", 10)}
SYMBOLS = {"micrograms": "micrograms", "mg": "mg", "ml": "mL", "units": "units", "j": "J", "mmol": "mmol", "ppm": "ppm"}
MICROGRAMS = {"mg": 1000.0, "micrograms": 1.0}
NO_BREAK = "\u00a0"


def suffix_of(key):
    """The unit suffix of a setting's name."""
    unit = unit_of(key)
    return unit["suffix"] if unit else ""


def converted(value, unit, wanted):
    """An amount in another unit of mass; every other unit must be the same.

    Raises: ValueError when the two units cannot be one.
    """
    if unit == wanted:
        return value
    if unit not in MICROGRAMS or wanted not in MICROGRAMS:
        raise ValueError(unit + " and " + wanted + " are no units of one row")
    return value * MICROGRAMS[unit] / MICROGRAMS[wanted]


def dose_of(key, value, unit):
    """A setting as a dose of a row: (amount in the row's unit, whether for each kilogram, time).

    Raises: ValueError when the setting's unit is not the row's.
    """
    if suffix_of(key) not in DOSE_UNITS:
        raise ValueError(key + " is no dose")
    own, by_weight, time = DOSE_UNITS[suffix_of(key)]
    return converted(value, own, unit), by_weight, time


def strength_of(key, value, unit):
    """Amount in one mL, in the row's unit.

    Raises: ValueError when the setting's unit is not the row's.
    """
    if suffix_of(key) not in STRENGTH_UNITS:
        raise ValueError(key + " is no strength")
    own, factor = STRENGTH_UNITS[suffix_of(key)]
    return converted(value * factor, own, unit)


def held(amount, most):
    """The smaller of a dose and its cap; no cap is None."""
    return amount if most is None else min(amount, most)


def three_digits(value, down=False):
    """Three digits, whole numbers whole, no idle nought: 0.255, 10.4, 5000."""
    decimals = 0
    for below, more in ((0.001, 6), (0.01, 5), (0.1, 4), (1, 3), (10, 2), (100, 1)):
        if value < below:
            decimals = more
            break
    return without_noughts(show(value, decimals, down))


def without_noughts(text):
    """A decimal without trailing noughts: 25.0 mg has been read as 250 mg."""
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount_text(value, unit, down=False):
    """An amount in its unit: `0.255 mg`, `5000 units`."""
    return three_digits(value, down) + NO_BREAK + SYMBOLS[unit]


def tenths_text(mg):
    """Milligrams of protamine: tenths from 1 mg on, hundredths below."""
    return without_noughts(show(mg, 1 if mg >= 1 else 2)) + NO_BREAK + "mg"


def spoken_text(value, unit, down=False):
    """An amount as it is read aloud: under 1 mg with its micrograms behind, `0.255 mg (255 micrograms)`."""
    text = amount_text(value, unit, down)
    return text + " (" + amount_text(value * MICROGRAMS["mg"], "micrograms", down) + ")" if unit == "mg" and value < 1 else text


def volume_text(value, unit="mL", down=False):
    """What is drawn up or set on a pump: hundredths below 10, tenths below 100, then whole."""
    text = show(value, 2 if value < 10 else 1 if value < 100 else 0, down)
    return without_noughts(text) + NO_BREAK + unit


def per_text(value, unit, by_weight, time):
    """A dose as it is ordered: `0.01 mg/kg`, `0.05 micrograms/kg/min`."""
    return show_input(value) + NO_BREAK + SYMBOLS[unit] + ("/kg" if by_weight else "") + ("/" + time if time else "")


def strength_text(strength, unit, in_mg=False):
    """A strength in the row's unit, with the mg of its label in front when it is large, or when asked: `10 mg/mL (10 000 micrograms/mL)`."""
    text = show_input(strength) + NO_BREAK + SYMBOLS[unit] + "/mL"
    if unit == "micrograms" and (in_mg or strength >= 1000):
        return show_input(strength / MICROGRAMS["mg"]) + NO_BREAK + "mg/mL (" + text + ")"
    return text


def syringe_text(amount, unit, syringe_ml):
    """What one syringe holds: `96 micrograms in 50 mL`, from a milligram on with the strength that makes."""
    in_ml = NO_BREAK + "in " + show_input(syringe_ml) + NO_BREAK + "mL"
    if unit == "micrograms" and amount >= MICROGRAMS["mg"]:
        return (three_digits(amount / MICROGRAMS["mg"]) + NO_BREAK + "mg" + in_ml + " ("
                + three_digits(amount / syringe_ml) + NO_BREAK + "micrograms/mL)")
    return amount_text(amount, unit) + in_ml


def label_text(key, value):
    """A stock as its ampoule says it: `1 mg/mL`; per cent as mg/mL with the per cent behind."""
    if suffix_of(key) == "percent":
        return show_input(value * 10) + NO_BREAK + "mg/mL (" + show_input(value) + NO_BREAK + "%)"
    unit, _ = STRENGTH_UNITS[suffix_of(key)]
    return show_input(value) + NO_BREAK + SYMBOLS[unit] + "/mL"


def rate_ml_h(amount_min, strength):
    """Pump rate of an amount a minute in a strength an mL."""
    return amount_min * 60 / strength


def whole(value):
    """Whether a number is whole to nine digits, as 10 / 0.1 should be."""
    return abs(value - int(value + 0.5)) < 1e-9 * max(1, value)


def making_text(stock_text, stock, strength, syringe_ml, least_ml):
    """How a strength is made: one mL made up to so many for a bolus (`syringe_ml` None), or so many made up to the syringe.

    Args:
        stock_text: the ampoule in words; stock, strength: amounts in one mL, in one unit; least_ml: least volume drawn.
    """
    if syringe_ml is None:
        fold = stock / strength
        if whole(fold) and fold <= 100:
            return drawn_text(1, stock_text, fold)
        syringe_ml = 50
    draw = strength * syringe_ml / stock
    if draw >= least_ml - 1e-9:
        return drawn_text(draw, stock_text, syringe_ml)
    return drawn_text(1, stock_text, 10) + ", then " + making_text("that", stock / 10, strength, syringe_ml, least_ml)


def drawn_text(draw, stock_text, made_ml):
    """`1 mL of 10 mg/mL made up to 10 mL`."""
    return volume_text(draw) + " of " + stock_text + " made up to " + show_input(made_ml) + NO_BREAK + "mL"


def nearest_step(wanted, steps):
    """The step of a device next to an energy; of two as near the lower."""
    best = None
    for step in sorted(steps):
        if best is None or abs(step - wanted) < abs(best - wanted):
            best = step
    return best

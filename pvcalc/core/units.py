"""The one table of units, and the one way numbers are read, shown and added.

A name is a quantity plus a unit suffix (`annulus_mm`, `velocity_m_s`). The suffix decides the
symbol beside the number, the decimals shown and the range any input of that unit must lie in.
Everything here gives the same text in CPython and in MicroPython.
"""

import math

DAYS_A_YEAR = 365.25  # with its leap day every fourth year
DAYS_A_MONTH = DAYS_A_YEAR / 12
MINUS = "\u2212"
THIN_SPACE = "\u202f"

# suffix, symbol, meaning, decimals shown, lowest and highest plausible value,
# slips: (factor that mends it, the question to ask).
SUFFIXES = [
    ("ml_min_173", "mL/min/1.73 m²", "filtration rate indexed to 1.73 m²", 0, 1, 250, []),
    ("ml_min_m2", "mL/min/m²", "volume per minute and body surface", 0, 20, 600, []),
    ("l_min_m2", "L/min/m²", "flow indexed to body surface", 2, 0.1, 30, []),
    ("nanograms_kg_min", "nanograms/kg/min", "infused dose per body weight", 0, 0.1, 10000, []),
    ("micrograms_kg_min", "micrograms/kg/min", "infused dose per body weight", 2, 0.0001, 1000,
     [(0.001, "typed in nanograms?"), (1000, "typed in mg?")]),
    ("micrograms_min", "micrograms/min", "dose rate", 3, 0, 100000, [(1000, "typed in mg/min?")]),
    ("micrograms_ml", "micrograms/mL", "concentration", 1, 0.01, 100000, [(1000, "typed in mg/mL?")]),
    ("micrograms_kg", "micrograms/kg", "dose per body weight", 1, 0.001, 20000, [(1000, "typed in mg/kg?")]),
    ("units_per_kg", "units/kg", "heparin per body weight", 0, 1, 400, []),
    ("units_kg_min", "units/kg/min", "infused units per body weight", 4, 0, 10, []),
    ("units_min", "units/min", "infused units", 2, 0, 100, []),
    ("units_ml", "units/mL", "concentration", 2, 0.001, 50000, []),
    ("mmol_kg", "mmol/kg", "amount per body weight", 2, 0, 10, []),
    ("mmol_ml", "mmol/mL", "concentration", 2, 0.001, 10, []),
    ("mmol", "mmol", "amount", 1, 0, 1000, []),
    ("ppm", "ppm", "parts in a million of gas", 0, 0, 100, []),
    ("ml_per_kg", "mL/kg", "volume per body weight", 1, 0, 200, []),
    ("mmhg_ml", "mmHg/mL", "chamber stiffness at full contraction", 2, 0.01, 20, []),
    ("mg_kg_day", "mg/kg/day", "daily dose per body weight", 2, 0.001, 200, []),
    ("dyn_s_cm5", "dyn·s·cm⁻⁵", "resistance in absolute units", 0, 0, 20000, []),
    ("cm2_m2", "cm²/m²", "area indexed to body surface", 2, 0, 20, []),
    ("per_kg_ugy_m2", "µGy·m²/kg", "kerma-area product per body weight", 1, 0, 1000000, []),
    ("ugy_m2", "µGy·m²", "kerma-area product", 0, 0, 1000000, [(100, "typed in Gy·cm²?")]),
    ("gy_cm2", "Gy·cm²", "kerma-area product", 2, 0, 10000, [(0.01, "typed in µGy·m²?")]),
    ("ml_kg_h", "mL/kg/h", "infused volume per body weight", 1, 0, 100, []),
    ("umol_l", "µmol/L", "amount concentration", 0, 5, 2000, [(88.4, "typed in mg/dL?")]),
    ("mg_dl", "mg/dL", "mass concentration", 2, 0.05, 25, [(1 / 88.4, "typed in µmol/L?")]),
    ("mmol_l", "mmol/L", "amount concentration", 1, 0, 200, []),
    ("ml_min", "mL/min", "volume per minute", 0, 1, 1000, [(1000, "typed in L/min?")]),
    ("ml_dl", "mL/dL", "oxygen content", 2, 0, 40, [(0.1, "typed in mL/L?")]),
    ("ml_s", "mL/s", "flow", 0, 0, 2000, []),
    ("ml_m2", "mL/m²", "volume indexed to body surface", 0, 0, 600, []),
    ("g_m2", "g/m²", "mass indexed to body surface", 0, 0, 400, []),
    ("ml_g", "mL/g", "oxygen carried by one gram of haemoglobin", 2, 1.3, 1.4, []),
    ("ml_h", "mL/h", "pump rate", 2, 0, 2000, []),
    ("ml_kg", "mL/kg", "volume per body weight", 1, 0, 200, []),
    ("mg_kg", "mg/kg", "dose per body weight", 2, 0.001, 100, []),
    ("mg_ml", "mg/mL", "concentration", 2, 0.001, 1000, []),
    ("g_dl", "g/dL", "haemoglobin", 1, 2, 28, [(0.1, "typed in g/L?")]),
    ("l_min", "L/min", "flow", 2, 0.01, 40, [(0.001, "typed in mL/min?")]),
    ("wu_m2", "WU·m²", "resistance indexed to body surface", 1, 0, 400, []),
    ("mm_s", "mm/s", "paper speed", 0, 1, 400, []),
    ("c_s", "°C·s", "area under a thermodilution curve", 2, 0.01, 200, []),
    ("m_s", "m/s", "velocity", 2, 0, 8, [(0.01, "typed in cm/s?")]),
    ("cm_s", "cm/s", "velocity", 0, 0, 800, [(100, "typed in m/s?")]),
    ("mm2", "mm²", "area", 1, 0, 5000, []),
    ("cm2", "cm²", "area", 2, 0, 50, [(0.01, "typed in mm²?")]),
    ("m2", "m²", "body surface", 2, 0.1, 3.5, []),
    ("mmhg", "mmHg", "pressure", 0, -20, 760, [(7.50062, "typed in kPa?")]),
    ("percent", "%", "hundredth parts", 1, 0, 100, [(100, "typed as a fraction?")]),
    ("fraction", "", "fraction of one", 3, 0, 1, [(0.01, "typed in per cent?")]),
    ("fractions", "", "fractions of one", 3, 0, 1, [(0.01, "typed in per cent?")]),
    ("bpm", "/min", "heart rate", 0, 20, 320, []),
    ("years", "years", "age or follow-up", 1, 0, 120, []),
    ("weeks", "weeks", "gestation or interval", 0, 0, 5000, []),
    ("months", "months", "interval", 0, 0, 1200, []),
    ("days", "days", "age", 0, 0, 44000, []),
    ("hours", "hours", "interval", 1, 0, 10000, []),
    ("minutes_since", "min", "time since a dose", 0, 0, 1440, []),
    ("minutes", "min", "interval", 0, 0, 1440, []),
    ("micrograms", "micrograms", "dose", 0, 0, 1000000, []),
    ("units", "units", "heparin", 0, 0, 100000, []),
    ("inch", "in", "wire diameter", 3, 0.005, 0.1, [(0.0393701, "typed in mm?")]),
    ("french", "F", "catheter size", 1, 1, 40, []),
    ("mpa", "MPa", "wall stress", 1, 0, 5000, []),
    ("kpa", "kPa", "pressure", 1, 0, 5000, []),
    ("atm", "atm", "inflation pressure", 1, 0, 40, [(0.0098692, "typed in kPa?"), (0.068046, "typed in psi?")]),
    ("deg", "°", "angle", 0, -90, 90, []),
    ("hz", "Hz", "frequency", 1, 0.1, 100000, []),
    ("px", "px", "distance on the image", 1, 0, 20000, []),
    ("wu", "WU", "resistance in Wood units", 1, 0, 200, []),
    ("ms", "ms", "time", 0, 0, 5000, [(1000, "typed in seconds?")]),
    ("j_kg", "J/kg", "shock energy per body weight", 1, 0, 20, []),
    ("mg", "mg", "dose", 1, 0, 100000, []),
    ("ml", "mL", "volume", 1, 0, 10000, []),
    ("mm", "mm", "length", 1, 0, 1500, [(10, "typed in cm?"), (0.1, "an extra digit, or a decimal point left out?")]),
    ("cm", "cm", "length", 1, 0, 400,
     [(100, "typed in metres?"), (2.54, "typed in inches?"), (0.1, "typed in mm?")]),
    ("kg", "kg", "body weight", 1, 0.3, 350, [(0.001, "typed in grams?"), (0.45359, "typed in pounds?")]),
    ("gy", "Gy", "air kerma", 2, 0, 50, [(0.001, "typed in mGy?")]),
    ("s", "s", "time", 3, 0, 100000, [(0.001, "typed in ms?")]),
    ("j", "J", "shock energy", 0, 0, 400, []),
    ("ma", "mA", "pacing output", 0, 0, 200, []),
    ("c", "°C", "temperature", 1, -10, 50, [(None, "typed in °F?")]),
]

# Names that carry no unit: the last word or words of the name, meaning, decimals shown.
DIMENSIONLESS = [
    ("ratio", "one length, pressure or flow divided by another", 2),
    ("z", "standard deviations from the mean", 2),
    ("index", "one time divided by another", 2),
    ("interval", "lower and upper limit of a proportion", 3),
    # Longer names first, as above.
    ("for_power", "number of cases", 0),
    ("to_compare", "number of cases, to be rounded up", 1),
    ("after_failure", "number of cases", 1),
    ("at_risk", "number still followed", 0),
    ("alert_count", "number of events", 0),
    ("alarm_count", "number of events", 0),
    ("row_count", "number of events", 0),
    ("traces_count", "number of beats", 0),
    ("case", "place of a case in the series", 0),
    ("signals", "places of the cases that gave a signal", 0),
    ("times", "follow-up of each patient, all in one unit", 2),
    ("time", "follow-up, in the unit of the list", 2),
    ("hazard", "events per person-year", 4),
    ("hazards", "events per person-year, one for each step", 4),
    ("risk", "probability", 3),
    ("risk_over_years", "probability", 3),
    ("upper", "upper limit of a proportion", 4),
    ("low", "lower limit", 3),
    ("high", "upper limit", 3),
    ("tail", "probability of as many events or more", 4),
    ("weight", "log-likelihood score", 4),
    ("step", "score", 4),
    ("limit", "score", 2),
    ("path", "running score", 3),
    ("survival", "probability of being event-free", 3),
    ("error", "standard error", 4),
    ("power", "probability of finding a true difference", 2),
    ("alpha", "probability of a false alarm", 3),
    ("beta", "probability of a missed difference", 3),
    ("confidence", "coverage of an interval", 3),
    ("constant", "instrument constant", 3),
    ("count", "number of events", 1),
    ("events", "number of events", 0),
    ("cases", "number of cases", 0),
    ("needed", "number of cases", 0),
    ("sides", "one-sided or two-sided", 0),
    ("outcomes", "event (1) or none (0), case by case", 0),
    ("event", "event (1) or none (0)", 0),
]

# Words of a name that are written in capitals on the page.
CAPITALS = {
    "rv": "RV", "ra": "RA", "pa": "PA", "tr": "TR", "pr": "PR", "svc": "SVC", "ivc": "IVC",
    "vti": "VTI", "egfr": "eGFR", "kap": "KAP", "po2": "PO₂", "z": "z", "lv": "LV", "qp": "Qp", "qs": "Qs",
}

MOST_TYPED_CHARACTERS = 24
# Doses and pump rates are shown without a trailing zero: 25.0 mg has been read as 250 mg.
DOSES = ("mg", "mg_kg", "mg_ml", "mg_kg_day", "micrograms", "micrograms_kg", "micrograms_ml", "micrograms_min", "micrograms_kg_min", "nanograms_kg_min", "ml", "ml_kg",
         "ml_per_kg", "ml_kg_h", "ml_h", "j", "j_kg")
# Names of what must not be passed: it is never shown higher than it is.
CEILINGS = ("limit_ml", "limit_mg", "allowable_blood_loss_ml")
# What a reader may type or paste around a number without meaning it; see `trimmed`.
BLANKS = " \t\r\n\u00a0\u2009\u202f\ufeff"


def unit_of(name):
    """The unit a name carries.

    Args:
        name: an argument, result or formula name such as `annulus_mm`.
    Returns a dict with `suffix`, `symbol`, `meaning`, `decimals`, `low`, `high`, `slips`, or None when
    the name carries neither a unit suffix nor a declared dimensionless word (a choice such as `view`).
    """
    if name not in _FOUND:
        _FOUND[name] = _looked_up(name)
    return _FOUND[name]


_FOUND = {}  # the table is long, and one computation asks for the same few names again and again


def _looked_up(name):
    whole_names = [word for word, _, _ in DIMENSIONLESS]  # `risk_over_years` is a probability, not a number of years
    for suffix, symbol, meaning, decimals, low, high, slips in SUFFIXES:
        if name == suffix or (name.endswith("_" + suffix) and name not in whole_names):
            return {"suffix": suffix, "symbol": symbol, "meaning": meaning, "decimals": decimals,
                    "low": low, "high": high, "slips": slips}
    for word, meaning, decimals in DIMENSIONLESS:
        if name == word or name.endswith("_" + word):
            return {"suffix": "", "symbol": "", "meaning": meaning, "decimals": decimals,
                    "low": None, "high": None, "slips": []}
    return None


def label_of(name):
    """The words of a name without its unit suffix, as written beside a field: `rv_systolic_mmhg` -> `RV systolic`."""
    unit = unit_of(name)
    words = name
    if unit and unit["suffix"] and name != unit["suffix"]:
        words = name[: -len(unit["suffix"]) - 1]
    return " ".join([CAPITALS.get(word, word) for word in words.split("_")])


def with_unit(text, name):
    """Put the unit symbol of `name` behind a shown number, with a no-break space."""
    unit = unit_of(name)
    if not unit or not unit["symbol"]:
        return text
    joint = "" if unit["symbol"] == "°" else "\u00a0"
    return text + joint + unit["symbol"]


def is_number(value):
    """True for an int or float that is neither a truth value, nor infinite, nor the result of a step that has none."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    return value == value and value not in (math.inf, -math.inf)


def _scaled(value, places):
    """Whole number nearest to `value` times ten to `places`; halves go away from zero. Exact on the binary value."""
    mantissa, exponent = math.frexp(value)
    numerator = int(mantissa * 9007199254740992.0)  # 2**53: every bit of the mantissa
    exponent -= 53
    denominator = 1
    if places >= 0:
        numerator *= 10 ** places
    else:
        denominator = 10 ** -places
    if exponent >= 0:
        numerator <<= exponent
    else:
        denominator <<= -exponent
    return (2 * numerator + denominator) // (2 * denominator)


def _first_digit_place(value):
    """Power of ten of the first significant digit of a positive number."""
    power = math.log10(value)
    place = int(math.floor(power))
    if 1e-9 < power - place < 1 - 1e-9:
        return place
    # Beside a power of ten log10 may be off by a bit, and differently in the two interpreters.
    if _scaled(value, 15 - place) >= 10 ** 16:
        place += 1
    elif _scaled(value, 15 - place) < 10 ** 15:
        place -= 1
    return place


def show(value, decimals, down=False):
    """A number as the reader sees it.

    Args:
        value: finite int or float.
        decimals: digits after the point, 0 to 12. A value that is not zero but would be shown as zero
            gets as many more decimals as it takes to show its first digit, at most 12.
        down: round towards zero, for a ceiling.
    Returns text with a true minus sign, a leading zero, and thin spaces in whole parts above four digits.
    Raises: ValueError when the value is not a finite number.

    Rounding is half away from zero (or down), after snapping to 12 significant digits: 1.2 × 12 is
    14.399999999999999 in binary and must be shown like 14.4.
    """
    if not is_number(value):
        raise ValueError("only a finite number can be shown")
    key = (value, decimals, down)
    if key not in _SHOWN:
        if len(_SHOWN) >= MOST_SHOWN:
            _SHOWN.clear()
        _SHOWN[key] = _shown(value, decimals, down)
    return _SHOWN[key]


SMALLEST = 1e-300  # below it a double has fewer digits than are shown here; it is nought on every page
MOST_SHOWN = 2000
_SHOWN = {}  # a plan shows the same few hundred numbers again and again, and a phone is slow at it


def _shown(value, decimals, down):
    size = abs(float(value))
    if size < SMALLEST:
        return _written(0, decimals, False)
    place = _first_digit_place(size)
    snapped = _scaled(size, 11 - place)  # twelve significant digits, as a whole number
    shift = decimals - (11 - place)
    digits = _shifted(snapped, shift, down)
    if digits == 0:
        if place < -12:
            return "less than 0.000000000001" if value > 0 else "within 0.000000000001 of 0"
        decimals = -place
        digits = _shifted(snapped, decimals - (11 - place), down)
    return _written(digits, decimals, value < 0)


def _shifted(whole, places, down):
    """`whole` times ten to `places`, halves away from zero; or the whole part alone."""
    if places >= 0:
        return whole * 10 ** places
    divisor = 10 ** -places
    if down:
        return whole // divisor
    return (2 * whole + divisor) // (2 * divisor)


def _written(digits, decimals, negative):
    text = str(digits)
    if decimals > 0:
        text = "0" * (decimals + 1 - len(text)) + text
        whole, rest = text[:-decimals], "." + text[-decimals:]
    else:
        whole, rest = text, ""
    if len(whole) > 4:
        groups = []
        while len(whole) > 3:
            groups.insert(0, whole[-3:])
            whole = whole[:-3]
        whole = THIN_SPACE.join([whole] + groups)
    return (MINUS if negative and digits else "") + whole + rest


def show_input(value):
    """A number exactly as it was given, at most 12 significant digits and no trailing zeros: 20.0 -> 20, 18.40 -> 18.4."""
    size = abs(float(value))
    if size < SMALLEST:
        return show(value, 0)
    places = min(12, 11 - _first_digit_place(size))
    digits = str(_scaled(size, places))
    unneeded = len(digits) - len(digits.rstrip("0"))
    return show(value, max(0, places - unneeded))


def show_named(value, name, decimals=None):
    """A number with the decimals and symbol of the unit its name carries; a ceiling is rounded down."""
    unit = unit_of(name)
    if decimals is None:
        decimals = unit["decimals"] if unit else 2
    text = show(value, decimals, any([name.endswith(ceiling) for ceiling in CEILINGS]))
    if unit and unit["suffix"] in DOSES and "." in text:
        text = text.rstrip("0").rstrip(".")
    return with_unit(text, name)


def total(numbers):
    """Sum with compensation, the same in every interpreter (`sum` differs between CPython versions)."""
    result = 0.0
    lost = 0.0
    for number in numbers:
        step = result + number
        if abs(result) >= abs(number):
            lost += (result - step) + number
        else:
            lost += (number - step) + result
        result = step
    return result + lost


def trimmed(text):
    """A text without the blanks around it; the interpreters' own `strip` differs, and cuts bytes in one of them."""
    while text and text[0] in BLANKS:
        text = text[1:]
    while text and text[-1] in BLANKS:
        text = text[:-1]
    return text


def read_number(text):
    """A typed number.

    Accepts plain digits with one decimal point or one decimal comma and an optional sign.
    Returns (number, "") or (None, reason), the reason being the rest of a sentence that starts
    with the field: "has both a comma and a point; type one decimal mark only".
    """
    typed = trimmed(text)
    if typed == "":
        return None, "is blank"
    if len(typed) > MOST_TYPED_CHARACTERS:
        return None, "is too long to be a number; type digits only, such as 18.4"
    sign = 1
    body = typed
    if body[0] in "+-" or body[0] == MINUS:
        sign = 1 if body[0] == "+" else -1
        body = body[1:]
    if "," in body and "." in body:
        return None, "has both a comma and a point; type one decimal mark and no thousands mark"
    if body.count(",") > 1 or body.count(".") > 1:
        return None, "has more than one decimal mark; type one, and no thousands mark"
    whole, mark, rest = body, "", ""
    for candidate in (",", "."):
        if candidate in body:
            at = body.find(candidate)
            whole, mark, rest = body[:at], candidate, body[at + 1:]
    if " " in body or THIN_SPACE in body or "\u00a0" in body or "'" in body:
        return None, "has a space or a thousands mark inside; type the digits without it"
    if (whole + rest).strip("0123456789"):
        return None, "is not a plain number; type digits with one decimal point or comma, such as 18.4"
    if not (whole + rest):
        return None, "has no digit in it; type a number such as 18.4"
    if mark and not rest:
        return None, "ends with its decimal mark; type the digits after it, or leave it out"
    if mark == "," and len(rest) == 3 and 1 <= len(whole) <= 3 and whole.strip("0") != "":
        return None, ("could mean " + whole + "." + rest + " or " + whole + rest
                      + "; type a decimal point, and no thousands mark")
    return sign * float((whole or "0") + "." + (rest or "0")), ""

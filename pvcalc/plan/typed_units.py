"""A value typed with its unit: `127 cm` is read in a field of centimetres, `4 ft` is refused by name."""

from pvcalc.core.units import BLANKS, MINUS, SUFFIXES, THIN_SPACE, trimmed, unit_of

# Other ways to write a symbol of `units.SUFFIXES`, without blanks and in lower case.
WRITTEN = [
    ("years", "years year yrs yr y"), ("days", "days day d"), ("weeks", "weeks week wk w"), ("months", "months month"),
    ("/min", "/min bpm beats/min"), ("%", "% percent"), ("µmol/L", "umol/l micromol/l"), ("mL", "ml cc"), ("s", "s sec seconds"),
    ("min", "min minutes minute"), ("units", "units unit iu"), ("F", "f fr french"), ("kg", "kg kgs"), ("nanograms/kg/min", "nanograms/kg/min ng/kg/min"),
    ("micrograms/kg/min", "micrograms/kg/min mcg/kg/min ug/kg/min"), ("µGy·m²", "ugym2 ugy*m2"), ("Gy·cm²", "gycm2 gy*cm2"), ("in", "in inches inch"),
]
# Units of no field here, met on a chart or a scale.
FOREIGN = ["lb", "lbs", "pounds", "st", "g", "m", "ft", "feet", "mg/l", "l", "mmh2o", "cmh2o", "dgy*cm2", "mgy*cm2"]


def folded(text):
    """A unit without blanks, capitals, Greek letters or raised figures."""
    for blank in BLANKS:
        text = text.replace(blank, "")
    for written, plain in (("\u00b5", "u"), ("\u03bc", "u"), ("²", "2"), ("·", "")):
        text = text.replace(written, plain)
    return text.lower()


def symbol_of(text):
    """The symbol that a typed unit stands for, the typed unit itself when it is of no field, or "" when it is no unit."""
    plain = folded(text)
    for symbol, spellings in WRITTEN:
        if plain in spellings.split(" "):
            return symbol
    for _, symbol, _, _, _, _, _ in SUFFIXES:
        if symbol and folded(symbol) == plain:
            return symbol
    return trimmed(text) if plain in FOREIGN else ""


def parted(text):
    """(number, unit) of a typed text: the digits with their marks, and the words behind them."""
    text = trimmed(text)
    at = 0
    while at < len(text) and text[at] in "+-.,0123456789;" + MINUS + BLANKS + THIN_SPACE:
        at += 1
    return trimmed(text[:at]), text[at:]


def without_unit(name, text, fields):
    """(text, "") with the field's own unit taken off, or ("", the rest of a sentence) when it is another's.

    Args:
        name: the field; text: what was typed; fields: all names, to lead to the one that takes the other unit.
    """
    number, words = parted(text)
    unit = unit_of("mm" if name == "shelf_mm" else name)
    typed = symbol_of(words) if number and words else ""
    if not typed or not unit:
        return text, ""
    if typed == unit["symbol"]:
        return number, ""
    other = [field for field in fields if field != name and sibling(field, name) and unit_of(field)["symbol"] == typed]
    return "", "is in " + typed + ", and this field is in " + unit["symbol"] + ("; give " + other[0] + " instead" if other else "; convert it first")


def sibling(one, other):
    """True for two fields of one quantity in two units, such as an age in years and in days."""
    found = [unit_of(name) for name in (one, other)]
    if None in found or "" in (found[0]["suffix"], found[1]["suffix"]):
        return False
    return one[:-len(found[0]["suffix"])] == other[:-len(found[1]["suffix"])]

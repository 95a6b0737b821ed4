"""One row of an audit file as one case, or every fault of it at once.

A blank cell is not known. It is never taken for no, for none or for zero.
"""

from pvcalc.audit.csv_file import MOST_LETTERS, fault
from pvcalc.core.formula import listing, nearest_words
from pvcalc.core.units import DAYS_A_YEAR, read_number, show_input, trimmed, unit_of, with_unit
from pvcalc.formulas.body_size import weight_range

NEWBORN_BELOW_DAYS = 30  # a month of the risk categories
ADULT_FROM_YEARS = 18
MOST_REMEMBERED = 20000  # texts of one column, so that a file of nonsense does not fill the memory
BEFORE_MONTH = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
DIGITS = "0123456789"
# What an abandoned attempt cannot have.
ONLY_PERFORMED = ("catheter_after_mmhg", "doppler_after_mmhg", "balloon_annulus_ratio")


class Reader:
    """Reads the cells of one file; remembers texts it has read, for most come again and again."""

    def __init__(self, schema, header):
        self.columns = [(name, schema["properties"][name], {}) for name in header]
        self.required = schema["required"]

    def values(self, line, cells):
        """(values by column, faults) of one row."""
        values, faults = {}, []
        for (name, column, remembered), text in zip(self.columns, cells):
            if not text:
                continue
            value = remembered.get(text)
            if value is None:
                value, wrong = value_of(name, column, text)
                if wrong:
                    faults.append(fault(line, name, text, wrong))
                if value is None:
                    continue
                if len(remembered) < MOST_REMEMBERED:
                    remembered[text] = value
            values[name] = value
        for name in self.required:
            if name not in values and not [one for one in faults if one["column"] == name]:
                faults.append(fault(line, name, "", "is blank; it is needed in every row."))
        return values, faults


def value_of(name, column, text):
    """(value or None when blank, "") of one cell, or (None, what is wrong and what is allowed)."""
    if len(text) > MOST_LETTERS:
        return None, "is longer than any cell of an audit file."
    text = trimmed(text)
    if not text:
        return None, ""
    if "enum" in column:
        word = text.lower().replace(" ", "_")
        if word in column["enum"]:
            return word, ""
        return None, "is not one of the words for it; allowed: " + listing(column["enum"]) + nearest_words(word, column["enum"]) + "."
    if column.get("format") == "date":
        number, sentence = day_number(text)
        return number, sentence
    if column["type"] == "string":
        if len(text) > column["maxLength"]:
            return None, "is longer than " + str(column["maxLength"]) + " letters."
        return text, ""
    number, wrong = read_number(text)
    if not wrong and column["type"] == "integer" and number != int(number):
        wrong = "is not a whole number"
    elif not wrong and not column["minimum"] <= number <= column["maximum"]:
        wrong = "lies outside" + _slip(name, column, number)
    if not wrong:
        return number, ""
    return None, wrong + "; allowed: " + show_input(column["minimum"]) + " to " + with_unit(show_input(column["maximum"]), name) + "."


def _slip(name, column, number):
    """The likeliest slip of the unit, as a question."""
    unit = unit_of(name)
    for factor, question in (unit["slips"] if unit else []):
        if factor and column["minimum"] <= number * factor <= column["maximum"]:
            return ": " + question
    return ""


def day_number(text):
    """(days since 1 January 1970, "") of a date such as 2024-03-31 or 31.03.2024, or (None, what is allowed)."""
    parts = text.split("-")
    if len(parts) == 1:
        parts = text.split(".")
        parts.reverse()
    whole = [int(part) for part in parts if 1 <= len(part) <= 4 and all([letter in DIGITS for letter in part])]
    if len(parts) != 3 or len(whole) != 3 or len(parts[0]) != 4:
        return None, "is not a date; allowed: year, month and day, such as 2024-03-31 (or 31.03.2024)."
    year, month, day = whole
    if not 1950 <= year <= 2100 or not 1 <= month <= 12:
        return None, "is no day of the calendar; allowed: 1950-01-01 to 2100-12-31."
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    if not 1 <= day <= MONTH_DAYS[month - 1] + (1 if leap and month == 2 else 0):
        return None, "is no day of the calendar; allowed: 1950-01-01 to 2100-12-31."
    return _new_year(year) + BEFORE_MONTH[month - 1] + (1 if leap and month > 2 else 0) + day - 1, ""


def _new_year(year):
    """Day number of 1 January."""
    before = year - 1
    return before * 365 + before // 4 - before // 100 + before // 400 - 719162


def date_text(day):
    """A day number as a date, 2024-03-31."""
    year = year_of(day)
    month = 12
    while day_number(str(year) + "-" + str(month) + "-01")[0] > day:
        month -= 1
    left = day - day_number(str(year) + "-" + str(month) + "-01")[0] + 1
    return str(year) + "-" + ("0" if month < 10 else "") + str(month) + "-" + ("0" if left < 10 else "") + str(left)


def year_of(day):
    """Calendar year of a day number."""
    year = 1970 + int(day / 365.2425)
    while _new_year(year) > day:
        year -= 1
    return year + 1 if _new_year(year + 1) <= day else year


def together(line, values, unread=(), today=None):
    """Faults of cells that are each allowed and contradict one another; a rule with a column of `unread` is not asked.

    `today` is the day number of the reader's own day, or None where nobody knows it: then no date is called future.
    """
    found = []

    def wrong(column, sentence, *others):
        if not [name for name in (column,) + others if name in unread]:
            found.append(fault(line, column, "", sentence))

    days, years = values.get("age_days"), values.get("age_years")
    if days is None and years is None:
        wrong("age_days", "the age is missing: age_days or age_years is needed.", "age_years")
    elif days is not None and years is not None and abs(days / DAYS_A_YEAR - years) > 1:
        wrong("age_years", "age_days and age_years differ by more than a year.")
    if values.get("performed") == "no":
        for name in ONLY_PERFORMED:
            if name in values:
                wrong(name, "is filled in although the attempt was not performed; allowed: blank.")
    elif "abandoned_because" in values:
        wrong("abandoned_because", "is filled in although the attempt was performed; allowed: blank.", "performed")
    if values.get("event_level") == 1:
        for name, words in (("died", "a death within 30 days"), ("heart_block", "a new complete heart block")):
            if values.get(name) == "yes":
                wrong("event_level", "is 1, none, although the row holds " + words + "; allowed: 2 to 5, or blank.", name)
    if "weight_kg" in values and (days is not None or years is not None):
        low, high = weight_range(age_days_of(values))
        if not low <= values["weight_kg"] <= high:
            wrong("weight_kg", show_input(values["weight_kg"]) + " kg does not belong to this age (" + show_input(low) + " to " + show_input(high) + " kg): age, weight, or unit?", "age_days", "age_years")
    if today is not None:
        for name in ("date", "last_seen", "reintervention_date"):
            if name in values and values[name] > today:
                wrong(name, "lies in the future.")
    again = values.get("reintervention")
    if again == "yes" and "reintervention_date" not in values:
        wrong("reintervention_date", "is blank although reintervention is yes; the date is needed.")
    if again != "yes":
        for name in ("reintervention_date", "reintervention_because"):
            if name in values:
                wrong(name, "is filled in although reintervention is not yes.", "reintervention")
    for name in ("reintervention_date", "last_seen"):
        if name in values and "date" in values and values[name] < values["date"]:
            wrong(name, "lies before the date of the attempt.")
    if "last_seen" in values and "reintervention_date" in values and values["last_seen"] < values["reintervention_date"]:
        wrong("last_seen", "lies before the date of the reintervention.")
    return found


def age_days_of(values):
    """Age in days; the days rule when both are given."""
    return values["age_days"] if "age_days" in values else values["age_years"] * DAYS_A_YEAR


def band_of(age_days):
    """Age band of the strata; a month is 30 days here, as for the risk categories."""
    if age_days < NEWBORN_BELOW_DAYS:
        return "newborn"
    if age_days < DAYS_A_YEAR:
        return "infant"
    return "child" if age_days < ADULT_FROM_YEARS * DAYS_A_YEAR else "adult"


KEPT = ("died", "heart_block", "thrombosis", "regurgitation_discharge", "balloon_annulus_ratio", "contrast_ml_per_kg",
        "kap_per_kg_ugy_m2", "reintervention_because")


def case_of(line, values, judge):
    """What is counted of one good row.

    Args:
        line: its line in the file; values: from `Reader.values`; judge: `audit_definitions.Judge`.
    Returns a dict; a key that is missing is not known.
    """
    age = age_days_of(values)
    case = {"line": line, "day": values["date"], "year": year_of(values["date"]), "age_band": band_of(age),
            "performed": values["performed"], "valve": values.get("valve", "unknown"),
            "treatment": {"no": "first", "yes": "repeat"}.get(values.get("treated_before"), "unknown"),
            "answers": judge.answers(values, age)}
    if "event_level" in values:
        case["level"] = int(values["event_level"])
    for name in KEPT:
        if name in values:
            case[name] = values[name]
    followed = _followed(values)
    if followed:
        case["follow_days"], case["again"] = followed
    return case


def _followed(values):
    """(days, 1 when they end with a reintervention) after a performed attempt, or None when nothing is known."""
    if values["performed"] != "yes":
        return None
    if values.get("reintervention") == "yes":
        return values["reintervention_date"] - values["date"], 1
    if values.get("reintervention") == "no" and "last_seen" in values:
        return values["last_seen"] - values["date"], 0
    return None

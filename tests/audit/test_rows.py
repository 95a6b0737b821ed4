"""One row of an audit file, by hand: what a cell may hold, what cells say together, and what is counted of them."""

import calendar
from datetime import date, timedelta

import pytest

from pvcalc.audit.rows import (
    ADULT_FROM_YEARS, MOST_REMEMBERED, Reader, age_days_of, band_of, case_of, date_text, day_number, together,
    value_of, year_of,
)
from tests.helpers.audit_files import SCHEMA

COLUMNS = SCHEMA["properties"]
NUMBERS = sorted(name for name, column in COLUMNS.items() if column["type"] in ("number", "integer"))
EPOCH = date(1970, 1, 1)


def value(name, text):
    return value_of(name, COLUMNS[name], text)


def day(text):
    return (date.fromisoformat(text) - EPOCH).days


# --- one cell -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_is_taken_from_the_least_to_the_most_of_its_column(name):
    low, high = COLUMNS[name]["minimum"], COLUMNS[name]["maximum"]
    assert value(name, str(low)) == (low, "") and value(name, f" {high} ") == (high, "")
    beside = 1 if COLUMNS[name]["type"] == "integer" else 0.01
    for outside in (low - beside, high + beside):
        number, sentence = value(name, str(round(outside, 2)))
        assert number is None and sentence.startswith("lies outside") and "; allowed: " in sentence


def test_a_number_outside_says_what_is_allowed_and_the_likeliest_slip():
    assert value("annulus_mm", "1.4") == (None, "lies outside: typed in cm?; allowed: 3 to 45\u00a0mm.")  # 1.4 cm are 14 mm
    assert value("annulus_mm", "4.5") == (4.5, "")
    # A hundred times too large: read in tenths it would be 200 mm, still outside; no slip is offered.
    assert value("annulus_mm", "2000") == (None, "lies outside; allowed: 3 to 45\u00a0mm.")
    assert value("annulus_mm", "450") == (None, "lies outside: an extra digit, or a decimal point left out?; allowed: 3 to 45\u00a0mm.")
    assert value("annulus_mm", "0.3") == (None, "lies outside: typed in cm?; allowed: 3 to 45\u00a0mm.")
    assert value("weight_kg", "3200") == (None, "lies outside: typed in grams?; allowed: 0.3 to 350\u00a0kg.")
    assert value("event_level", "6") == (None, "lies outside; allowed: 1 to 5.")


def test_a_level_is_a_whole_number_and_a_pressure_need_not_be():
    assert value("event_level", "2.5") == (None, "is not a whole number; allowed: 1 to 5.") == value("event_level", "0.5") == value("event_level", "-2.5")
    assert value("event_level", "3.0") == (3, "") and value("catheter_after_mmhg", "12,5") == (12.5, "")


def test_what_is_no_number_says_why_and_what_is_allowed():
    number, sentence = value("catheter_after_mmhg", "twelve")
    assert number is None and sentence.startswith("is not a plain number") and sentence.endswith("; allowed: 0 to 300\u00a0mmHg.")
    assert value("event_level", "two")[1].endswith("; allowed: 1 to 5.")


@pytest.mark.parametrize("name", sorted(name for name, column in COLUMNS.items() if "enum" in column))
def test_every_word_of_a_column_is_read_however_it_is_typed(name):
    for word in COLUMNS[name]["enum"]:
        assert value(name, word) == (word, "") == value(name, " " + word.upper().replace("_", " ") + "\u00a0")


def test_a_word_that_is_none_of_them_is_told_with_all_and_the_nearest():
    assert value("valve", "displastic") == (None, "is not one of the words for it; allowed: domed, dysplastic or other; nearest name: dysplastic.")
    assert value("died", "dead") == (None, "is not one of the words for it; allowed: yes or no.")


def test_blanks_are_not_known_in_every_column():
    for name in COLUMNS:
        assert value(name, " \t\u00a0") == (None, "")


def test_a_text_has_its_own_length_and_no_cell_more_than_2000_letters():
    assert value("operator", "x" * 24) == ("x" * 24, "") == value("operator", " " + "x" * 24 + " ")
    assert value("operator", "x" * 25) == (None, "is longer than 24 letters.") == value("operator", "x" * 2000)
    for name in ("operator", "valve", "date", "weight_kg"):
        assert value(name, "x" * 2001) == (None, "is longer than any cell of an audit file.")


# --- dates ----------------------------------------------------------------------------------------------------------


def test_dates_equal_the_calendars():
    first, last = date(1950, 1, 1), date(2100, 12, 31)
    around = [date(year, month, 1) + timedelta(beside) for year in range(1950, 2101) for month in range(1, 13) for beside in (-1, 0, 1)]
    for found in [first, last, *around[1:], *(first + timedelta(number) for number in range(0, 55000, 13))]:
        since = (found - EPOCH).days
        assert day_number(found.isoformat()) == (since, "") == day_number(f"{found.day}.{found.month}.{found.year}"), found
        assert date_text(since) == found.isoformat() and year_of(since) == found.year


@pytest.mark.parametrize("text", [
    "", "x", "20240331", "2024-03", "2024-03-31-1", "2024-03-31-x", "2024-03-", "-2024-03-31", "24-03-31", "02024-03-31", "2024-00003-31", "2024-03-00031", "2024/03/31",
    "31/03/2024", "2024.03.31", "31.03.24", "31.3", "31-03-2024", "2024-O3-31", "2024-03-3l", "2024- 3-31", "2024-03-3²"])
def test_what_is_no_date_is_told(text):
    assert day_number(text) == (None, "is not a date; allowed: year, month and day, such as 2024-03-31 (or 31.03.2024).")


@pytest.mark.parametrize("text", [
    "1949-12-31", "2101-01-01", "2024-00-10", "2024-13-10", "2024-01-00", "2024-01-32", "2024-04-31", "2023-02-29", "2024-02-30", "2100-02-29", "0.1.2024"])
def test_a_day_the_calendar_does_not_have_is_told(text):
    assert day_number(text) == (None, "is no day of the calendar; allowed: 1950-01-01 to 2100-12-31.")


@pytest.mark.parametrize("year", [2000, 2023, 2024, 2100])
def test_no_month_has_a_day_behind_its_last(year):
    for month in range(1, 13):
        last = calendar.monthrange(year, month)[1]
        assert day_number(f"{year}-{month}-{last}")[0] is not None and day_number(f"{year}-{month}-{last + 1}")[0] is None


def test_days_at_the_ends_of_the_calendar_are_taken():
    for text in ("1950-01-01", "2100-12-31", "2000-02-29", "2024-2-29", "2024-0002-09"):
        year, month, number = map(int, text.split("-"))
        assert day_number(text) == ((date(year, month, number) - EPOCH).days, "")
    assert day_number("1970-01-01") == (0, "")


# --- a row ----------------------------------------------------------------------------------------------------------


def read(**cells):
    """(values, faults as (column, sentence)) of one row, read by a new reader."""
    values, faults = Reader(SCHEMA, list(cells)).values(7, list(cells.values()))
    assert all(one["line"] == 7 for one in faults)
    return values, [(one["column"], one["value"], one["sentence"]) for one in faults]


def test_a_row_is_read_by_the_names_of_its_columns():
    assert read(performed="Yes", weight_kg="3,5", date="31.1.2020", operator=" ", attempt="A") == (
        {"performed": "yes", "weight_kg": 3.5, "date": day("2020-01-31"), "attempt": "A"}, [])


def test_a_cell_that_is_needed_and_blank_is_told_once():
    needed = "is blank; it is needed in every row."
    assert read(attempt="", date=" ", performed="yes", valve="") == ({"performed": "yes"}, [("attempt", "", needed), ("date", "", needed)])
    assert [column for column, _, _ in read(attempt="", date="x", performed="")[1]] == ["date", "attempt", "performed"]
    values, faults = read(attempt="A", date="x", performed="2")
    assert values == {"attempt": "A"} and [column for column, _, _ in faults] == ["date", "performed"] and [typed for _, typed, _ in faults] == ["x", "2"]


def test_zero_is_known():
    assert read(attempt="A", date="1970-01-01", performed="no", age_days="0")[0] == {"attempt": "A", "date": 0, "performed": "no", "age_days": 0}


def test_a_column_with_more_texts_than_are_remembered_is_read_all_the_same():
    reader = Reader(SCHEMA, ["attempt", "date", "performed"])
    for number in [*range(MOST_REMEMBERED + 20), 0, MOST_REMEMBERED + 3]:
        assert reader.values(2, [f"A{number}", "2020-01-31", "no"]) == ({"attempt": f"A{number}", "date": day("2020-01-31"), "performed": "no"}, [])


GOOD = {"date": day("2020-01-31"), "age_days": 12, "performed": "yes"}
ABANDONED = {**GOOD, "performed": "no"}
AGAIN = {"reintervention": "yes", "reintervention_date": day("2021-01-31")}
BLANK = "is filled in although the attempt was not performed; allowed: blank."
NOT_YES = "is filled in although reintervention is not yes."


def wrong(values, unread=()):
    faults = together(7, values, unread)
    assert all(one["line"] == 7 and one["value"] == "" for one in faults)
    return [(one["column"], one["sentence"]) for one in faults]


@pytest.mark.parametrize("values", [
    GOOD, ABANDONED, {**GOOD, **AGAIN}, {**GOOD, "reintervention": "no"}, {**GOOD, "last_seen": GOOD["date"]}, {**GOOD, "catheter_after_mmhg": 3},
    {**GOOD, **AGAIN, "reintervention_because": "stenosis", "last_seen": AGAIN["reintervention_date"]}, {**GOOD, **AGAIN, "reintervention_date": GOOD["date"]},
    {**ABANDONED, "abandoned_because": "unstable"}, {**GOOD, "last_seen": day("2100-12-31")},
    {"date": -7000, "age_years": 3, "performed": "yes", "last_seen": -6000, "reintervention": "yes", "reintervention_date": -6500},
    # 1461 days are four years to the day: one year more or less is still taken for the same age.
    {**GOOD, "age_days": 1461, "age_years": 3}, {**GOOD, "age_days": 1461, "age_years": 5}, {**GOOD, "age_days": 0, "age_years": 0}])
def test_cells_that_fit_together_are_no_fault(values):
    assert wrong(values) == []


@pytest.mark.parametrize("values, fault", [
    ({"date": 1, "performed": "yes"}, ("age_days", "the age is missing: age_days or age_years is needed.")),
    ({**GOOD, "age_days": 1462, "age_years": 3}, ("age_years", "age_days and age_years differ by more than a year.")),
    ({**GOOD, "age_days": 1460, "age_years": 5}, ("age_years", "age_days and age_years differ by more than a year.")),
    ({**ABANDONED, "catheter_after_mmhg": 0}, ("catheter_after_mmhg", BLANK)), ({**ABANDONED, "doppler_after_mmhg": 30}, ("doppler_after_mmhg", BLANK)),
    ({**ABANDONED, "balloon_annulus_ratio": 1.2}, ("balloon_annulus_ratio", BLANK)),
    ({**GOOD, "abandoned_because": "unstable"}, ("abandoned_because", "is filled in although the attempt was performed; allowed: blank.")),
    ({**GOOD, "reintervention": "yes"}, ("reintervention_date", "is blank although reintervention is yes; the date is needed.")),
    ({**GOOD, "reintervention_date": 20000}, ("reintervention_date", NOT_YES)),
    ({**GOOD, "reintervention": "no", "reintervention_because": "other"}, ("reintervention_because", NOT_YES)),
    ({**GOOD, "last_seen": GOOD["date"] - 1}, ("last_seen", "lies before the date of the attempt.")),
    ({**GOOD, **AGAIN, "reintervention_date": GOOD["date"] - 1}, ("reintervention_date", "lies before the date of the attempt.")),
    ({**GOOD, **AGAIN, "last_seen": AGAIN["reintervention_date"] - 1}, ("last_seen", "lies before the date of the reintervention."))])
def test_cells_that_contradict_each_other_are_told(values, fault):
    assert wrong(values) == [fault]


def test_every_contradiction_of_a_row_is_told():
    both = {"date": 100, "performed": "no", "catheter_after_mmhg": 3, "doppler_after_mmhg": 3, "last_seen": 50, "reintervention": "yes", "reintervention_date": 60}
    assert [column for column, _ in wrong(both)] == ["age_days", "catheter_after_mmhg", "doppler_after_mmhg", "reintervention_date", "last_seen", "last_seen"]


@pytest.mark.parametrize("values, unread", [
    ({"date": 1, "performed": "yes"}, "age_days"), ({"date": 1, "performed": "yes"}, "age_years"),
    ({**GOOD, "abandoned_because": "unstable", "performed": None}, "performed"), ({**GOOD, "reintervention": "yes"}, "reintervention_date"),
    ({**GOOD, "reintervention_date": 20000}, "reintervention")])
def test_a_cell_at_fault_is_told_once_and_its_rules_are_not_asked(values, unread):
    assert wrong({name: known for name, known in values.items() if known is not None}, [unread]) == []
    assert len(wrong({name: known for name, known in values.items() if known is not None}, ["weight_kg"])) == 1


# --- a case ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("days, band", [
    (0, "newborn"), (29.9, "newborn"), (30, "infant"), (365.2, "infant"), (365.25, "child"), (6574.4, "child"), (6574.5, "adult"), (40000, "adult")])
def test_a_newborn_is_under_30_days_an_infant_under_a_year_a_child_under_18(days, band):
    assert band_of(days) == band and ADULT_FROM_YEARS * 365.25 == 6574.5


def test_the_age_in_days_rules_and_years_stand_in_for_it():
    assert age_days_of({"age_days": 0, "age_years": 1}) == 0
    assert age_days_of({"age_years": 4}) == 1461  # 3 years of 365 days and one of 366


class Judge:
    """Says what it was asked."""

    def answers(self, values, age_days):
        return [values["performed"], str(age_days)]


def test_a_case_holds_what_is_counted_and_nothing_that_is_not_known():
    assert case_of(3, {"date": day("2020-12-31"), "age_years": 2, "performed": "no"}, Judge()) == {
        "line": 3, "day": day("2020-12-31"), "year": 2020, "age_band": "child", "performed": "no", "valve": "unknown", "treatment": "unknown",
        "answers": ["no", "730.5"]}
    values = {"date": 0, "age_days": 3, "performed": "yes", "valve": "domed", "treated_before": "yes", "event_level": 3.0, "died": "no", "heart_block": "yes",
              "operator": "B", "weight_kg": 3, "contrast_ml_per_kg": 2.5, "reintervention": "no", "last_seen": 900, "thrombosis": "not_looked",
              "regurgitation_discharge": "mild", "balloon_annulus_ratio": 1.2, "kap_per_kg_ugy_m2": 4, "narrowing_above": "no"}  # the last is asked and not counted
    assert case_of(2, values, Judge()) == {
        "line": 2, "day": 0, "year": 1970, "age_band": "newborn", "performed": "yes", "valve": "domed", "treatment": "repeat", "answers": ["yes", "3"], "level": 3,
        "died": "no", "heart_block": "yes", "contrast_ml_per_kg": 2.5, "follow_days": 900, "again": 0, "thrombosis": "not_looked",
        "regurgitation_discharge": "mild", "balloon_annulus_ratio": 1.2, "kap_per_kg_ugy_m2": 4}
    assert case_of(2, {**GOOD, "treated_before": "no"}, Judge())["treatment"] == "first"


@pytest.mark.parametrize("performed, more, followed", [
    ("yes", {"reintervention": "yes", "reintervention_date": 130, "last_seen": 900, "reintervention_because": "stenosis"}, (30, 1)),
    ("yes", {"reintervention": "yes", "reintervention_date": 350}, (250, 1)), ("yes", {"reintervention": "no", "last_seen": 350}, (250, 0)),
    ("yes", {"reintervention": "yes", "reintervention_date": 100}, (0, 1)), ("yes", {"reintervention": "no", "last_seen": 101}, (1, 0)),
    ("yes", {"reintervention": "no"}, None), ("yes", {"last_seen": 101}, None), ("no", {"reintervention": "no", "last_seen": 101}, None),
    ("no", {"reintervention": "yes", "reintervention_date": 130}, None)])
def test_follow_up_runs_from_a_performed_attempt_to_the_reintervention_or_the_last_visit(performed, more, followed):
    case = case_of(2, {"date": 100, "age_days": 3, "performed": performed, **more}, Judge())
    assert ((case["follow_days"], case["again"]) if "again" in case else None) == followed
    assert ("follow_days" in case) == (followed is not None) and case.get("reintervention_because") == more.get("reintervention_because")


# --- cells that contradict one another, second part -----------------------------------------------------------------


def told(today=None, **values):
    """Columns at fault of a performed attempt."""
    whole = {"date": day("2026-03-31"), "performed": "yes", "age_days": 12, **values}
    return [one["column"] for one in together(3, whole, today=today)]


@pytest.mark.parametrize("harm", ["died", "heart_block"])
def test_a_death_or_a_block_is_never_an_event_of_level_none(harm):
    assert told(event_level=1, **{harm: "yes"}) == ["event_level"]
    for fine in ({"event_level": 2, harm: "yes"}, {"event_level": 1, harm: "no"}, {harm: "yes"}, {"event_level": 1}):
        assert told(**fine) == []


def test_both_harms_are_told_apart_and_an_unread_level_is_not_asked():
    assert told(event_level=1, died="yes", heart_block="yes") == ["event_level", "event_level"]
    assert together(3, {"date": 0, "performed": "yes", "age_days": 12, "event_level": 1, "died": "yes"}, ["died"]) == []


@pytest.mark.parametrize("age, fine, odd", [({"age_days": 15}, (0.5, 7), (0.4, 7.1, 70)), ({"age_days": None, "age_years": 30}, (30, 250), (29.9, 251)),
                                            ({"age_days": None, "age_years": 8}, (12, 100), (11.9, 101))])
def test_a_weight_belongs_to_its_age(age, fine, odd):
    for kg in fine:
        assert told(**age, weight_kg=kg) == [] if age["age_days"] else told_without_days(weight_kg=kg, **age) == []
    for kg in odd:
        assert (told(**age, weight_kg=kg) if age["age_days"] else told_without_days(weight_kg=kg, **age)) == ["weight_kg"]


def told_without_days(**values):
    """The same for an age in years."""
    return [one["column"] for one in together(3, {"date": 0, "performed": "yes", **{key: value for key, value in values.items() if value is not None}})]


def test_a_day_ahead_of_the_readers_own_is_a_fault_and_today_is_none():
    assert told(today=day("2026-03-30")) == ["date"] and told(today=day("2026-03-31")) == [] and told() == []
    later = {"last_seen": day("2026-05-02")}
    assert told(today=day("2026-05-01"), **later) == ["last_seen"] and told(today=day("2026-05-02"), **later) == []

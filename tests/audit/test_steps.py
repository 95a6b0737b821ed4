"""An audit in pieces, as a page asks for it: with tables that say nothing, so that only the steps are tried."""

import pytest

from pvcalc.audit.definitions import BENCHMARKS, DEFINITIONS, PUBLISHED_CURVE
from pvcalc.audit.steps import ERRORS, MOST_ROWS_OF_A_PAGE, Audit, answer, audit, completed, typed
from pvcalc.audit.words import SECTIONS
from pvcalc.core.errors import NotUnderstood, Refusal
from tests.helpers.audit_files import SCHEMA

HEAD = "attempt,date,age_days,performed,event_level\n"
SILENT = {"asks_for": ["age_months"], "rows": [], "policy": "first", "silent": ["s"], "title": "T", "document": "D", "source": "S"}
PRINTED = {"kind": "statistic", "value": 10.0, "population": "P", "era": "E", "follow_up": "F", "definition": "D", "source": "S", "seen": "read"}
DATA = {"settings": {"interval_confidence": 0.9}, "tables": {name: {**SILENT, "name": name} for name, _, _ in DEFINITIONS}, "series": {},
        "statistics": {name: PRINTED for name in [series for _, _, series in BENCHMARKS] + [name for _, name in PUBLISHED_CURVE]}}
CHART = {"event": "serious", "event_acceptable_fraction": 0.03, "event_unacceptable_fraction": 0.09}


def rows(*lines):
    return HEAD + "".join(line + "\n" for line in lines)


THREE = rows("A,2020-03-01,12,yes,1", "B,2019-01-31,4000,no,3", "C,2020-03-01,400,yes,")


def step(name, **more):
    return answer(DATA, {"step": name, **more})


def opened(text, **options):
    return step("open", schema=SCHEMA, text=text, options=options)


def refused(name, **more):
    with pytest.raises(Refusal) as refusal:
        step(name, **more)
    return refusal.value.faults


def test_a_page_opens_checks_computes_and_reads_section_by_section():
    assert opened(THREE, **CHART) == {"ok": True, "rows": 3}
    assert step("check", rows=2) == {"ok": True, "left": True, "good": 2, "bad_lines": 0}
    assert step("check", rows=2) == {"ok": True, "left": False, "good": 3, "bad_lines": 0}
    assert refused("section", number=0, section=0) == [("", "The file is not counted yet.")]
    left = [step("compute")["left"] for _ in range(7)]
    assert left == [6, 5, 4, 3, 2, 1, 0] and step("compute") == {"ok": True, "left": 0}
    read = [step("section", section=place) for place in range(9)]
    assert [one["left"] for one in read] == [8, 7, 6, 5, 4, 3, 2, 1, 0] and all(one["ok"] for one in read)
    assert [one["section"]["pictures"] for one in read] == [0, 0, 0, 0, 0, 1, 0, 0, 0] and len(SECTIONS) == 9
    drawn = step("picture", section=5, number=0, place="here")
    assert drawn["ok"] is True and drawn["picture"].startswith("<svg")
    assert step("close") == {"ok": True}


@pytest.mark.parametrize("name", ["check", "faults", "compute", "section", "picture"])
def test_a_file_that_was_closed_is_to_be_chosen_again(name):
    opened(THREE)
    step("close")
    assert refused(name, rows=1, most=1, section=0, number=0, place="x") == [("", "The file is no longer open; choose it again.")]


def test_a_page_holds_one_file_and_after_a_refused_one_none():
    opened(THREE)
    opened(rows("A,2020-03-01,12,yes,1"))
    assert step("check", rows=9) == {"ok": True, "left": False, "good": 1, "bad_lines": 0}
    with pytest.raises(NotUnderstood):
        opened("")
    assert refused("compute") == [("", "The file is no longer open; choose it again.")]


def test_a_page_takes_5000_rows_and_sends_more_to_the_command_line():
    lines = [f"A{n},2020-03-01,12,yes,1" for n in range(MOST_ROWS_OF_A_PAGE)]
    assert MOST_ROWS_OF_A_PAGE == 5000 and opened(rows(*lines))["rows"] == 5000
    assert refused("open", schema=SCHEMA, text=rows(*lines, "B,2020-03-01,12,yes,1"), options={}) == [
        ("", "The file has 5001 rows; a page takes 5000. Use the command line: python -m pvcalc audit FILE.csv --out DIR.")]
    step("close")


BAD = rows("A,x,y,yes,1", "B,2020-03-01,12,maybe,9", "C,2020-03-01,12,yes", "B,2020-03-01,12,yes,1", "D,2020-03-01,12,yes,1", "E,2020-03-01,,yes,1")


def test_faults_are_told_some_at_a_time_and_counted_by_rows():
    opened(BAD)
    assert step("check", rows=1) == {"ok": True, "left": True, "good": 0, "bad_lines": 1}
    assert step("check", rows=99) == {"ok": True, "left": False, "good": 1, "bad_lines": 5}
    first, rest = step("faults", most=3), step("faults", most=99)
    assert first["left"] == 4 and len(first["told"]) == 3 and rest["left"] == 0 and len(rest["told"]) == 4
    # Those that cannot be parted are found before the cells of the rows around them are looked at.
    assert [line.split(" “")[0].split(":")[0] for line in first["told"] + rest["told"]] == [
        "Line 2, date", "Line 2, age_days", "Line 4", "Line 5, attempt", "Line 3, performed", "Line 3, event_level", "Line 7, age_days"]
    assert step("faults", most=5) == {"ok": True, "told": [], "left": 0}
    step("close")


def test_without_a_good_row_nothing_is_counted():
    assert opened(rows("A,x,12,yes,1"))["rows"] == 1
    assert step("check", rows=9) == {"ok": True, "left": False, "good": 0, "bad_lines": 1}
    assert refused("compute") == [("", "No row of the file is good: there is nothing to count.")]
    made = audit(DATA, SCHEMA, rows("A,x,12,yes,1"), {})
    assert made.cases == [] and made.result == {} and len(made.steps) == 7 and made.bad_lines == 1
    step("close")


def test_a_whole_audit_goes_by_date_then_by_line_and_says_what_it_rests_on():
    made = audit(DATA, SCHEMA, THREE, {**CHART, "alpha": None, "definition": None})
    assert [(case["line"], case["day"]) for case in made.cases] == [(3, 17927), (2, 18322), (4, 18322)]
    result = made.result
    assert (result["cases"], result["left_out"], result["first_day"], result["last_day"]) == (3, 0, 17927, 18322)
    assert (result["confidence"], result["outer_confidence"]) == (0.9, 0.998) and made.steps == []
    assert result["options"] == {"alpha": 0.1, "beta": 0.1, "quantity": "catheter", **CHART} and ERRORS == 0.1
    assert result["years"] == [("serious", [(2019, 1, 1), (2020, 0, 1)])] and result["reasons"] == "" and result["medians"] == []
    assert [one["measure"] for one in result["charts"]] == ["serious"] and result["charts"][0]["outcomes"] == [1, 0]
    assert result["strata"][0] == {"stratum": "", "attempts": 3, "performed": 2, "abandoned": 1}
    serious = next(one for one in result["rates"] if (one["measure"], one["stratum"]) == ("serious", ""))
    assert (serious["events"], serious["known"], serious["unknown"]) == (1, 2, 1)
    against = next(one for one in result["benchmarks"] if one["measure"] == "serious")
    assert (against["events"], against["known"]) == (1, 2) and against["tail"] == pytest.approx(1 - 0.9 * 0.9)
    assert result["definitions"][0]["answers"] == [("abandoned", 1), ("silent", 2)] and result["follow_up"]["not_followed"] == 2
    assert any(sentence.startswith("Of the performed, 2 have no follow-up") for sentence in result["cannot_show"])
    assert "died" in result["absent"] and "event_level" not in result["absent"]


def test_many_rows_go_in_pieces():
    text = rows(*(f"A{n},2020-03-01,12,yes,1" for n in range(MOST_ROWS_OF_A_PAGE + 2)))
    made = audit(DATA, SCHEMA, text, {})
    assert len(made.cases) == 5002 == made.result["cases"] and made.result["rates"][0]["known"] == 5002
    pieces = Audit(DATA, SCHEMA, text, {})
    assert [pieces.check(2501), len(pieces.cases), pieces.check(2502), len(pieces.cases)] == [True, 2501, False, 5002]


def test_errors_and_the_kind_of_gradient_may_stand_in_and_no_rate():
    assert completed({}) == {"alpha": 0.1, "beta": 0.1, "quantity": "catheter"} == completed({"alpha": None, "event": None})
    assert completed({"alpha": 0.05, "quantity": "doppler", "event": "died"}) == {"alpha": 0.05, "beta": 0.1, "quantity": "doppler", "event": "died"}


def test_rates_are_read_as_a_person_types_them():
    assert typed({"acceptable_fraction": "0,09", "event_unacceptable_fraction": " 0.2 ", "alpha": "", "beta": " ", "definition": "", "event": None, "quantity": "doppler",
                  "unacceptable_fraction": 0.3}) == {
        "acceptable_fraction": 0.09, "event_unacceptable_fraction": 0.2, "quantity": "doppler", "unacceptable_fraction": 0.3}
    assert typed({"event": "12", "alpha": 0.05, "beta": "0.2"}) == {"event": "12", "alpha": 0.05, "beta": 0.2}
    with pytest.raises(NotUnderstood) as refusal:
        typed({"alpha": "ten", "beta": "0.1.2", "acceptable_fraction": "9 %" * 20, "event": "x"})
    assert [name for name, _ in refusal.value.faults] == ["acceptable_fraction", "alpha", "beta"]
    told = [sentence for _, sentence in refusal.value.faults]
    assert told[0].startswith("acceptable “9 %9 %9 %9 %9 %9 %9 %9 %…” is too long") and told[1].startswith("alpha “ten” is not a plain number") and told[2].endswith(".")

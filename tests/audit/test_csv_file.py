"""An audit file parted into cells, by hand: separators, quotation marks, line ends, and whose fault is told where."""

import pytest

from pvcalc.audit.csv_file import File, fault, fault_words
from pvcalc.core.errors import NotUnderstood
from tests.helpers.audit_files import SCHEMA

HEAD = "attempt,date,age_days,performed\n"
ROW = "A,2020-01-31,12,yes"


def parted(text, most=1000):
    """(rows, faults as sentences) of a whole text."""
    made = File(text, SCHEMA)
    rows = []
    while not made.done():
        rows += made.take(most)
    return rows, [fault_words(one) for one in made.bad]


def refused(text):
    with pytest.raises(NotUnderstood) as refusal:
        File(text, SCHEMA)
    return [sentence for _, sentence in refusal.value.faults]


def first_cell(quoted):
    """What the first cell of a row is read as, and what is wrong with the row."""
    rows, faults = parted(HEAD + quoted + ",2020-01-31,12,yes\n")
    return rows[0][1][0] if rows else None, faults


@pytest.mark.parametrize("quoted, cell", [
    ('"A"', "A"), ('"A,B"', "A,B"), ('"A ""B"" C"', 'A "B" C'), ('"""A"""', '"A"'), ('"A""""B"', 'A""B'), ('""', ""), ('""""', '"'),
    ('5" tube', '5" tube'), ('A "B" C', 'A "B" C'), ('"A\nB"', "A\nB"), ('"A\n\nB"', "A\n\nB"), ('"A,""\n"",B"', 'A,"\n",B'), ("A;B\tC", "A;B\tC"),
    (' A "B"', ' A "B"'), ("!A", "!A")])
def test_quotation_marks_are_read_as_every_spreadsheet_writes_them(quoted, cell):
    assert first_cell(quoted) == (cell, [])


@pytest.mark.parametrize("quoted", ['"A"B', '"A" ', '""B', '"A""" B', '"A\nB"C'])
def test_text_behind_a_closing_quotation_mark_is_told(quoted):
    assert first_cell(quoted) == (None, ["Line 2: text stands behind a closing quotation mark."])


def test_a_mark_closed_in_one_cell_is_forgotten_in_the_next():
    rows, faults = parted(HEAD + '"A","2020-01-31",12,"yes"\n')
    assert rows == [(2, ["A", "2020-01-31", "12", "yes"])] and faults == []


def test_lines_are_counted_as_the_file_has_them():
    rows, faults = parted(HEAD + '\n"A\nB\nC",2020-01-31,12,yes\n , ,,\nD,2020-01-31,12,yes\nE,2020-01-31,12\n"F,2020-01-31,12,yes\nG,2020-01-31,12,yes')
    assert [line for line, _ in rows] == [3, 7, 10]
    assert faults == ["Line 8: the row has 3 cells and the header 4.", "Line 9: a quotation mark is opened and not closed again."]


def test_a_cell_may_go_on_over_lines_for_2000_letters_and_no_further():
    assert first_cell('"' + "x" * 2000 + '\n"')[0] == "x" * 2000 + "\n"
    assert first_cell('"' + "x" * 2001 + '\n"')[0] is None
    # A mark that is never closed costs its own row; the next line is a row of its own again.
    rows, faults = parted(HEAD + '"' + "x" * 2001 + "\n" + ROW)
    assert [line for line, _ in rows] == [3] and faults == ["Line 2: a quotation mark is opened and not closed again."]


@pytest.mark.parametrize("text, sentence", [
    (HEAD + "A", "Line 2: the row has 1 cell and the header 4."), (HEAD + "A,2020-01-31,12", "Line 2: the row has 3 cells and the header 4."),
    (HEAD.replace(",", ";") + "A;2020-01-31;12;yes;x", "Line 2: the row has 5 cells and the header 4."),
    (HEAD.replace(",", "\t") + "A\t2020-01-31\t12\tyes\tx", "Line 2: the row has 5 cells and the header 4."),
    (HEAD + ROW + ",x", "Line 2: the row has 5 cells and the header 4. A decimal comma parts a number where commas part cells: "
                        "write decimal points, or part cells by semicolons.")])
def test_a_row_of_another_width_is_told(text, sentence):
    assert parted(text) == ([], [sentence])


def test_empty_cells_behind_the_last_column_are_no_cells():
    assert parted(HEAD + ROW + ",, ,") == ([(2, ROW.split(","))], [])
    assert parted(HEAD.rstrip() + ", ,\n" + ROW + ",,") == ([(2, ROW.split(","))], [])
    assert parted(HEAD + ROW + ",,x")[0] == []


def test_rows_come_as_many_as_asked_for():
    made = File(HEAD + "".join(f"A{n},2020-01-31,12,yes\n\n" for n in range(5)), SCHEMA)
    assert made.lines_left() == 5 and not made.done()
    assert [line for line, _ in made.take(2)] == [2, 4]
    assert made.lines_left() == 3 and [line for line, _ in made.take(3)] == [6, 8, 10]
    assert made.lines_left() == 0 and made.take(1) == [] and made.done()


def test_each_attempt_needs_a_name_of_its_own():
    rows, faults = parted(HEAD + "".join(name + ",2020-01-31,12,yes\n" for name in ("A", "B", " A ", "", "", "a", "B")))
    assert [line for line, _ in rows] == [2, 3, 5, 6, 7]  # a blank one is told later, with the other blanks
    assert faults == ["Line 4, attempt “A”: line 2 has the same; each attempt needs its own.",
                      "Line 8, attempt “B”: line 3 has the same; each attempt needs its own."]


def test_the_name_of_an_attempt_may_stand_in_any_column():
    rows, faults = parted("date,performed,attempt,age_days\n2020-01-31,yes,A,12\n2020-01-31,yes,B,12\n2020-01-31,yes,A,13\n")
    assert len(rows) == 2 and faults == ["Line 4, attempt “A”: line 2 has the same; each attempt needs its own."]


def test_a_fault_is_told_with_what_is_known_of_its_place():
    assert fault_words(fault(7, "", "", "is odd.")) == "Line 7: is odd."
    assert fault_words(fault(7, "date", "", "is odd.")) == "Line 7, date: is odd."
    assert fault_words(fault(7, "date", "x", "is odd.")) == "Line 7, date “x”: is odd."


# --- the header -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("before", ["", "sep=,\n", "SEP=;\n", "sep=;;;;\n", "sep=\t\n", "\n;;\n"])
def test_the_separator_is_the_one_the_header_shows(separator, before):
    if before.lower().startswith("sep=") and before[4] != separator:
        return  # the file says itself which it is; the next test
    made = File(before + HEAD.replace(",", separator) + ROW.replace(",", separator), SCHEMA)
    assert made.separator == separator and made.header == ["attempt", "date", "age_days", "performed"]
    assert made.take(9)[0][1] == ROW.split(",")


def test_a_separator_that_the_file_names_is_taken_at_its_word():
    # Parted by commas the header would show known names; by semicolons it shows none.
    assert any("“attempt,date,age_days,pe…” is no column" in sentence for sentence in refused("sep=;\n" + HEAD + ROW))
    for text in ("sep=|\n" + HEAD, "sep=;", "sep=\n" + HEAD):
        assert refused(text)[0].startswith("The first line names none of the columns of an audit file; it starts “sep=")
    assert refused("zone," + HEAD + ROW)[0].startswith("“zone” is no column")  # a header of any other beginning is one


def test_of_two_separators_that_show_as_many_names_the_comma_is_taken():
    assert any("“x;date”" in sentence for sentence in refused("attempt,x;date\nA\n"))
    assert any("“x,date”" in sentence for sentence in refused("attempt;x,date;performed\nA\n"))
    assert refused("attempt\nA\n")[0] == "The column date is missing."  # one known name is enough to know a header by


def test_a_first_line_without_a_known_name_says_what_a_header_holds():
    assert refused("  Höhe  der   Liste \n") == [
        "The first line names none of the columns of an audit file; it starts “Höhe der Liste”. The header must hold at least: attempt, date, performed, "
        "and age_days or age_years."]


def test_the_columns_that_a_file_does_not_have_are_told_in_order():
    made = File(HEAD.replace("\n", ",sheath_french,weight_kg\n") + ROW, SCHEMA)
    assert made.absent == [name for name in SCHEMA["columnOrder"] if name not in ("attempt", "date", "age_days", "performed", "sheath_french", "weight_kg")]


def test_a_column_without_a_name_is_told_wherever_it_stands():
    assert refused("," + HEAD + "," + ROW) == ["Column 1 has no name."] and refused(HEAD.replace(",", ", ,", 1) + ROW) == ["Column 2 has no name."]


def test_every_fault_of_a_header_is_told_in_the_order_of_its_columns():
    assert refused("date,,date,Name of patient,performed\nA\n") == [
        "Column 2 has no name.", "The column date stands twice in the header.",
        "“name_of_patient” is no column of the schema. Mend its name, or take it out: a column with names or numbers of patients does not belong here.",
        "The column attempt is missing.", "An age is missing: one of the columns age_days or age_years is needed."]


def test_a_quotation_mark_at_fault_in_the_header_is_told_with_its_line():
    assert refused("sep=,\n" + '"attempt"x,date,age_days,performed\n' + ROW)[0] == "Line 2: text stands behind a closing quotation mark."
    assert refused('attempt,date,age_days,"performed\n' + ROW)[0] == "Line 1: a quotation mark is opened and not closed again."


def test_a_name_that_is_nearly_right_is_offered_unless_it_is_a_paragraph():
    assert "nearest name: systemic_systolic_before_mmhg" in refused(HEAD.replace("\n", ",systemic_systol_before_mmhg\n"))[0]
    assert "nearest name" not in refused(HEAD.replace("\n", ",systemic_systolic_before_mmhg" + " and so on" * 9 + "\n"))[0]


def test_a_header_may_be_200_columns_wide_and_no_wider():
    names = [f"{n:060}" for n in range(199)]  # so long that no near name is looked for
    assert len(refused(",".join(["attempt"] + names))) == 199 + 3  # each of them, and date, performed and an age
    assert refused(",".join(["attempt"] + names + ["y"])) == ["The header has 201 columns; the schema knows 44."]
    # A known name counts for the separator only within these 200.
    assert len(refused(",".join(names + ["attempt"]))) == 199 + 3
    assert refused(",".join(names + ["y", "attempt"]))[0].startswith("The first line names none")
    assert len(SCHEMA["columnOrder"]) == 44


def test_blanks_around_a_name_do_not_matter_up_to_a_hundred_letters():
    assert File(HEAD.replace("attempt", " " * 93 + "attempt") + ROW, SCHEMA).header[0] == "attempt"
    assert File(HEAD.replace("age_days", " Age Days ") + ROW, SCHEMA).header[2] == "age_days"


def test_only_the_mark_of_the_byte_order_is_taken_off():
    assert refused("！" + HEAD + ROW)[0].startswith("“！attempt” is no column")


@pytest.mark.parametrize("text", ["\ufeff", "", "\r", "\r\n", "\ufeff\r\n,;\t\n"])
def test_a_file_of_blanks_is_empty(text):
    assert refused(text) == ["The file is empty."]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_way_to_end_a_line_is_known(end):
    rows, faults = parted((HEAD + ROW + "\n" + ROW.replace("A", "B")).replace("\n", end))
    assert rows == [(2, ROW.split(",")), (3, ["B"] + ROW.split(",")[1:])] and faults == []


def test_a_header_without_a_row_is_no_list():
    assert refused("sep=,\n" + HEAD.rstrip()) == refused(HEAD) == ["The file holds no attempt below its header."] == refused(HEAD + "\n;\n, ,\n")
    assert refused("attempt,date,age_days\n") == ["The column performed is missing."]  # one sentence at a time: the header comes first

"""Audit files as they come: every fault in a sentence with its place, nothing run, nothing lost."""

import csv
import json
import random
import re
import time

import pytest

from pvcalc.audit import steps
from pvcalc.audit.csv_file import fault_words
from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.handbook.cli import audit_command, audit_file, commands
from pvcalc.handbook.data import project, writing
from pvcalc.handbook.engine import needs
from tests.helpers.audit_files import COLUMNS, DOWNLOADS, SCHEMA, rows_of, text_of

FEW = ["attempt", "date", "age_days", "performed"]
GOOD = "A,2020-01-31,12,yes\n"
HEAD = "attempt,date,age_days,performed\n"
DEMO = DOWNLOADS / "audit-demo.csv"


@pytest.fixture(scope="module")
def data(loaded):
    return json.loads(needs.data_text(loaded))


@pytest.fixture
def read(data):
    """Audit a text: the finished audit."""
    return lambda text, **options: steps.audit(data, SCHEMA, text, options)


def told(made):
    return [fault_words(one) for one in made.bad]


def refused(read, text):
    with pytest.raises(Refusal) as refusal:
        read(text)
    return [sentence for _, sentence in refusal.value.faults]


@pytest.mark.parametrize("text", [
    HEAD + GOOD, "\ufeff" + HEAD + GOOD, (HEAD + GOOD).replace(",", ";"), (HEAD + GOOD).replace(",", "\t"), (HEAD + GOOD).replace("\n", "\r\n"),
    (HEAD + GOOD).replace("\n", "\r"), "sep=;\n" + (HEAD + GOOD).replace(",", ";"), "\n \n" + HEAD + "\n,,,\n" + GOOD + "\n\n",
    HEAD.replace("\n", ",,\n") + GOOD.replace("\n", ",,\n"), '"attempt","date","age_days","performed"\n"A","2020-01-31","12","yes"',
    "Attempt, Date ,AGE_DAYS,Performed\nA,31.1.2020, 12 ,Yes\n", HEAD + GOOD.rstrip()])
def test_one_row_is_read_whatever_the_habits_of_the_program(read, text):
    made = read(text)
    assert told(made) == [] and len(made.cases) == 1
    assert (made.cases[0]["day"], made.cases[0]["age_band"], made.cases[0]["performed"]) == (18292, "newborn", "yes")


def test_decimal_commas_are_read_where_semicolons_part_cells_and_told_where_commas_do(read):
    made = read("attempt;date;age_years;performed;contrast_ml_per_kg\nA;2020-01-31;4,5;yes;3,25\n")
    assert told(made) == [] and made.cases[0]["contrast_ml_per_kg"] == 3.25
    made = read("attempt,date,age_years,performed,contrast_ml_per_kg\nA,2020-01-31,4,5,yes,3,25\n")
    assert told(made) == ["Line 2: the row has 7 cells and the header 5. A decimal comma parts a number where commas part cells: "
                          "write decimal points, or part cells by semicolons."]


def test_quoted_cells_may_hold_separators_quotes_and_line_breaks(read):
    made = read('attempt,date,age_days,performed,operator\n"A ""1"", x",2020-01-31,12,yes,"one\ntwo"\nB,2020-02-01,x,yes,C\n')
    assert told(made) == ["Line 4, age_days “x”: is not a plain number; type digits with one decimal point or comma, such as 18.4; allowed: 0 to 44\u202f000\u00a0days."]
    assert len(made.cases) == 1


def test_a_quotation_mark_left_open_costs_its_own_row_only(read):
    made = read(HEAD + 'A,2020-01-31,12,"yes\n' + "".join(f"B{n},2020-02-01,12,yes\n" for n in range(300)))
    assert told(made) == ["Line 2: a quotation mark is opened and not closed again."]
    assert len(made.cases) == 300


@pytest.mark.parametrize("text, words", [
    ("", ["The file is empty."]), ("\n , \n", ["The file is empty."]), ("a\0b", ["zero bytes"]), (HEAD, ["no attempt below its header"]),
    ("name,birthday\nx,y\n", ["names none of the columns"]), ("hello", ["names none of the columns"]),
    ("attempt,date,age_days\nA,2020-01-31,3\n", ["The column performed is missing."]),
    ("attempt,date,performed\nA,2020-01-31,yes\n", ["An age is missing"]),
    ("attempt,date,date,age_days,performed,name,catheter_befor_mmhg\nA\n", [
        "The column date stands twice", "“name” is no column of the schema", "nearest name: catheter_before_mmhg"]),
    ("attempt,date,,age_days,performed\nA\n", ["Column 3 has no name."]),
    (",".join(["attempt"] + [f"x{n}" for n in range(5000)]), ["5001 columns"])])
def test_a_file_that_cannot_be_read_as_a_whole_says_every_reason(read, text, words):
    sentences = refused(read, text)
    for word in words:
        assert any(word in sentence for sentence in sentences), sentences
    assert len(sentences) == len(words) and all(sentence.endswith((".", "?")) for sentence in sentences)


@pytest.mark.parametrize("cells, words", [
    ({"date": "2021-02-29"}, "date “2021-02-29”: is no day of the calendar"), ({"date": "31/01/2021"}, "is not a date; allowed: year, month and day"),
    ({"date": ""}, "date: is blank; it is needed in every row."), ({"age_days": ""}, "age_days: the age is missing"),
    ({"performed": "maybe"}, "performed “maybe”: is not one of the words for it; allowed: yes or no."),
    ({"event_level": "6"}, "event_level “6”: lies outside; allowed: 1 to 5."), ({"event_level": "2.5"}, "is not a whole number"),
    ({"catheter_after_mmhg": "-4"}, "lies outside"), ({"catheter_after_mmhg": "1.234,5"}, "both a comma and a point"),
    ({"catheter_after_mmhg": "NaN"}, "is not a plain number"), ({"catheter_after_mmhg": "Infinity"}, "is not a plain number"),
    ({"catheter_after_mmhg": "=1+1"}, "catheter_after_mmhg “=1+1”: is not a plain number"), ({"annulus_mm": "1.4"}, "lies outside: typed in cm?; allowed: 3 to 45\u00a0mm."),
    ({"weight_kg": "x" * 3000}, "is longer than any cell"), ({"operator": "x" * 30}, "is longer than 24 letters"),
    ({"performed": "no", "catheter_after_mmhg": "12"}, "catheter_after_mmhg: is filled in although the attempt was not performed"),
    ({"abandoned_because": "unstable"}, "abandoned_because: is filled in although the attempt was performed"),
    ({"reintervention": "yes"}, "reintervention_date: is blank although reintervention is yes"),
    ({"reintervention_date": "2021-01-01"}, "is filled in although reintervention is not yes"),
    ({"last_seen": "2019-01-01"}, "last_seen: lies before the date of the attempt"),
    ({"reintervention": "yes", "reintervention_date": "2022-01-01", "last_seen": "2021-01-01"}, "last_seen: lies before the date of the reintervention"),
    ({"age_years": "40"}, "age_days and age_years differ")])
def test_a_bad_cell_is_told_with_line_column_value_and_what_is_allowed(read, cells, words):
    good = {"attempt": "A", "date": "2020-01-31", "age_days": 12, "performed": "yes"}
    made = read(text_of([good, {**good, "attempt": "B", **cells}]))
    assert len(made.bad) == 1 and words in told(made)[0] and told(made)[0].startswith("Line 3, "), told(made)
    assert len(made.cases) == 1 and made.bad_lines == 1


def test_all_faults_of_all_rows_are_told_at_once(read):
    made = read(text_of([{"attempt": "A", "date": "x", "age_days": "x", "performed": "x"}, {"attempt": "A", "date": "2020-01-31", "age_days": 3, "performed": "yes"},
                         {"attempt": "B", "date": "", "age_days": -1, "performed": ""}]))
    assert [(one["line"], one["column"]) for one in made.bad] == [
        (3, "attempt"), (2, "date"), (2, "age_days"), (2, "performed"), (4, "age_days"), (4, "date"), (4, "performed")]
    assert made.bad_lines == 3 and not made.cases and made.result == {}


def test_blank_is_not_known_and_never_no(read):
    made = read(HEAD + GOOD)
    died, = [one for one in made.result["rates"] if one["measure"] == "died" and one["stratum"] == ""]
    assert (died["events"], died["known"], died["unknown"]) == (0, 0, 1) and "rate" not in died
    assert all(one["unknown"] == 1 for one in made.result["definitions"] if one["stratum"] == "")
    assert made.result["follow_up"]["not_followed"] == 1
    assert sorted(made.result["absent"]) == sorted(set(COLUMNS) - set(FEW))


@pytest.mark.parametrize("options, words", [
    ({"acceptable_fraction": 0.1}, "A chart carries its definition"), ({"definition": "success_registry_2012", "acceptable_fraction": 0.1}, "needs both rates"),
    ({"definition": "best", "acceptable_fraction": 0.1, "unacceptable_fraction": 0.2}, "must be one of"),
    ({"definition": "success_registry_2012", "acceptable_fraction": 0.3, "unacceptable_fraction": 0.2}, "must lie above the acceptable"),
    ({"event": "serious", "event_acceptable_fraction": 9, "event_unacceptable_fraction": 0.2}, "per cent"), ({"quantity": "both"}, "never mixed")])
def test_options_that_do_not_fit_are_refused(read, options, words):
    with pytest.raises(Refusal, match=words):
        read(HEAD + GOOD, **options)


def test_no_rate_of_a_chart_stands_in_by_itself(read):
    made = read(DEMO.read_text(encoding="utf-8"))
    assert made.result["charts"] == []
    assert len(read(DEMO.read_text(encoding="utf-8"), definition="success_registry_2012").result["charts"]) == 0


def test_a_benchmark_is_never_left_out_in_silence(data):
    with pytest.raises(PvcalcError, match="registry_deaths"):
        steps.audit({**data, "series": {}}, SCHEMA, HEAD + GOOD, {})


@pytest.mark.parametrize("content, words", [
    ("é".encode("cp1252"), "not in UTF-8, perhaps Windows-1252: byte 0xe9 .line 1."), ("é".encode("utf-16"), "UTF-16"), (b"PK\x03\x04", "own format"),
    (b"a\n\xff\n", "byte 0xff .line 2.")])
def test_an_encoding_is_told_and_never_guessed(content, words):
    with pytest.raises(PvcalcError, match=words):
        audit_file.decoded(content)


def test_ten_megabytes_of_nonsense_end_in_a_sentence(read):
    import random
    dice = random.Random(1)
    begun = time.process_time()
    for text in ("x" * 10_000_000, "".join(map(chr, dice.choices(range(32, 1000), k=200_000))) * 50, "\n".join(["," * 999] * 10_000),
                 HEAD + '"' * 10_000_001, "attempt" + "," * 9_999_000):
        try:
            made = read(text)
        except Refusal as refusal:
            assert len(str(refusal)) < 3000
        else:
            assert made.bad and not made.cases
    assert time.process_time() - begun < 60


def test_cells_that_a_spreadsheet_would_run_are_made_texts(tmp_path):
    made = list(csv.reader(audit_file.csv_text(["a"], [["=cmd|'/c calc'!A1"], ["+1"], ["-1"], ["@x"], ["\tx"], ["fine"], [-2.5], [None]]).splitlines()))
    assert [row[0] if row else "" for row in made[1:]] == ["'=cmd|'/c calc'!A1", "'+1", "'-1", "'@x", "'\tx", "fine", "-2.5", ""]


# --- the command line ----------------------------------------------------------------------------------------------


@pytest.fixture
def run(capsys, monkeypatch, loaded):
    """Run the command: (exit status, what was printed, what was told). The handbook was read already."""
    monkeypatch.setattr(project, "load", lambda root: loaded)

    def ran(*arguments):
        try:
            status = commands.main(["audit", *map(str, arguments)])
        except SystemExit as left:
            status = left.code
        out, err = capsys.readouterr()
        return status, out, err

    return ran


CHARTS = ["--definition", "success_registry_2012", "--acceptable", "0.09", "--unacceptable", "0.18", "--event", "serious", "--event-acceptable", "0.03",
          "--event-unacceptable", "0.09"]


def test_a_good_file_gives_a_report_that_stands_alone_and_the_numbers(tmp_path, run, read):
    status, out, err = run(DEMO, "--out", tmp_path / "new" / "dir", *CHARTS)
    assert (status, err) == (0, "") and out.splitlines() == [str(tmp_path / "new/dir" / name) for name in ("numbers.csv", "report.html")]
    html = (tmp_path / "new/dir/report.html").read_text(encoding="utf-8")
    assert not re.search(r"(?:src|href)=|url\((?!#)|@import|<script|<link", html)
    assert "default-src 'none'" in html and "Edition".lower() in html and "No name" in html
    assert html.count("<svg") == 4 == html.count("<desc") and html.count("aria-labelledby") == 4
    for words in ("Success by each published definition", "What these numbers cannot show", "Wilson interval", "Case by case", "At risk", "Free of reintervention"):
        assert words in html
    numbers = list(csv.DictReader((tmp_path / "new/dir/numbers.csv").open(encoding="utf-8")))
    result = read(DEMO.read_text(encoding="utf-8")).result
    for one in result["rates"]:
        found = {row["quantity"]: row["value"] for row in numbers
                 if (row["part"], row["item"], row["group"]) == ("rates", one["measure"], one["stratum"] or "all")}
        assert (int(found["events"]), int(found["known"])) == (one["events"], one["known"])
        if "exact" in one:
            assert [float(found[f"{method}_{end}"]) for method in ("exact", "wilson") for end in ("low", "high")] == one["exact"] + one["wilson"]
    assert [float(row["value"]) for row in numbers if row["quantity"] == "survival"] == [row[3] for row in result["follow_up"]["rows"]]
    assert [float(row["value"]) for row in numbers if row["quantity"] == "tail"] == [one["tail"] for one in result["benchmarks"]]


def test_a_bad_row_gives_the_list_and_no_report_unless_partial_is_accepted(tmp_path, run):
    rows = rows_of(4, 30)
    rows[2]["event_level"], rows[5]["performed"], rows[5]["operator"], rows[9]["attempt"] = 9, "=cmd", "=cmd|calc", "INVENTED-000001"
    path = tmp_path / "unit.csv"
    path.write_text(text_of(rows), encoding="utf-8")
    status, out, err = run(path, "--out", tmp_path / "out")
    assert status == 1 and out == "" and not (tmp_path / "out").exists()
    for words in ("Line 4, event_level “9”", "Line 7, performed “=cmd”", "Line 11, attempt “INVENTED-000001”: line 2 has the same", "3 of 30 rows are at fault. No report"):
        assert words in err
    status, out, err = run(path, "--out", tmp_path / "out", "--accept-partial")
    assert status == 0 and "Left out 3 of 30 rows" in err and "Line 7, performed “=cmd”" in err
    html = (tmp_path / "out/report.html").read_text(encoding="utf-8")
    assert "Partial: 3 rows" in html and "27 attempts" in html and "Line 4, event_level" in html
    left = list(csv.reader((tmp_path / "out/left-out.csv").open(encoding="utf-8")))
    assert left[0] == ["line", "column", "value", "fault"] and ["7", "performed", "'=cmd"] in [row[:3] for row in left]


@pytest.mark.parametrize("choice", ["first rows", "some rows"])
def test_every_part_of_the_demo_file_gives_a_whole_report(choice, root, data):
    head, *lines = DEMO.read_text(encoding="utf-8").splitlines(keepends=True)
    dice = random.Random(7)
    parts = [lines[:count] for count in range(1, len(lines) + 1)]
    if choice == "some rows":
        parts = [sorted(dice.sample(lines, dice.randrange(5, 121))) for _ in range(100)]
    for part in parts:
        html = audit_command.report(root, "demo", steps.audit(data, SCHEMA, head + "".join(part), {}))
        assert f"{len(part)} attempts, " in html and "could not be drawn" not in html and html.endswith("</html>\n"), len(part)


def test_few_cases_say_that_the_limits_lie_above_the_picture(root, data, read):
    head, *lines = DEMO.read_text(encoding="utf-8").splitlines(keepends=True)
    few = audit_command.report(root, "demo", read(head + "".join(lines[:31])))
    assert "limit lies above this picture" in few or "limits lie above this picture" in few
    assert "above this picture" not in audit_command.report(root, "demo", read(head + "".join(lines)))


def test_a_picture_that_cannot_be_drawn_is_a_sentence_and_the_numbers_come_first(tmp_path, run, read, monkeypatch):
    def broken(name, given, place):
        assert (tmp_path / "out/numbers.csv").is_file(), "the numbers must not wait for a picture"
        raise ZeroDivisionError("division by zero")
    monkeypatch.setattr("pvcalc.draw.svg.picture", broken)
    assert run(DEMO, "--out", tmp_path / "out", *CHARTS)[0] == 0
    html = (tmp_path / "out/report.html").read_text(encoding="utf-8")
    assert html.count("could not be drawn; the numbers stand. ZeroDivisionError: division by zero.") == 4 and "<svg" not in html
    monkeypatch.undo()
    assert steps.drawn({"name": "funnel_chart", "given": {}}, "x")[1].startswith(
        "The picture funnel chart could not be drawn; the numbers stand. Benchmark is missing.")


def test_a_file_is_never_left_half_written(tmp_path, monkeypatch):
    path = tmp_path / "signatures.yml"
    writing.write_text(path, "old\n")
    monkeypatch.setattr("os.fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(OSError, match="No space left"):
        writing.write_text(path, "new and longer\n")
    assert path.read_text() == "old\n" and [one.name for one in tmp_path.iterdir()] == ["signatures.yml"]
    monkeypatch.undo()
    writing.write_text(path, "new\n")
    assert path.read_bytes() == b"new\n" and path.stat().st_mode & 0o777 == 0o666 & ~writing._umask()


def test_markup_in_a_cell_stays_text(tmp_path, run):
    path = tmp_path / "<b>unit.csv"
    path.write_text(HEAD + GOOD + "B,<script>alert(1)</script>,3,yes\n", encoding="utf-8")
    assert run(path, "--out", tmp_path / "out", "--accept-partial")[0] == 0
    html = (tmp_path / "out/report.html").read_text(encoding="utf-8")
    assert "<script" not in html and "<b>" not in html and "&lt;script&gt;" in html


def test_only_bad_rows_give_no_report_even_when_partial_is_accepted(tmp_path, run):
    path = tmp_path / "unit.csv"
    path.write_text(HEAD + "A,x,3,yes\n", encoding="utf-8")
    status, _, err = run(path, "--out", tmp_path / "out", "--accept-partial")
    assert status == 1 and "No row of the file is good" in err and not (tmp_path / "out").exists()


@pytest.mark.parametrize("arguments, status, words", [
    (["missing.csv", "--out", "x"], 2, "cannot be read"), ([DEMO], 2, "--out"), ([DEMO, "--out", "x", "--acceptable", "0.1"], 2, "carries its definition"),
    ([DEMO, "--out", "x", "--definition", "success_registry_2012", "--acceptable", "nan", "--unacceptable", "0.2"], 2, "finite"),
    ([DEMO, "--out", "x", "--definition", "nothing"], 2, "invalid choice"), ([DEMO, "--out", DEMO], 2, "cannot be written to")])
def test_misuse_is_told_with_status_2(arguments, status, words, run):
    found, out, err = run(*arguments)
    assert (found, out) == (status, "") and words in err


def test_a_file_in_another_encoding_is_a_finding(tmp_path, run):
    path = tmp_path / "unit.csv"
    path.write_bytes((HEAD + GOOD.replace("A", "é")).encode("cp1252"))
    status, _, err = run(path, "--out", tmp_path / "out")
    assert status == 1 and "Windows-1252" in err


def test_a_long_file_says_how_far_it_is(tmp_path, run):
    path = tmp_path / "unit.csv"
    path.write_text(HEAD + "".join(f"A{n},2020-01-31,{n},yes\n" for n in range(6000)), encoding="utf-8")
    status, _, err = run(path, "--out", tmp_path / "out")
    assert status == 0 and err == "audit: 5000 of 6000 rows\n"

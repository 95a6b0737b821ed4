"""The reviewer's worksheet holds the ledger's numbers, all of them, each with a place to open or the word why not."""

import csv
import io
import re
from html import escape as html_escape

import pytest

from pvcalc.handbook.checks import ledger, signing, worksheet_rows


@pytest.fixture(scope="module")
def sheets(loaded):
    return {slug: worksheet_rows.rows(loaded, slug) for slug in signing.signable(loaded)}


def test_each_worksheet_counts_as_many_numbers_as_the_ledger(loaded, sheets):
    lines, faults = ledger.lines(loaded)
    assert faults == []
    counts = {}
    for line in lines:
        slug, kind = line.split(" | ")[:2]
        if kind == "typed":
            continue  # a worksheet is for what is computed; the register holds what was typed
        counts[slug] = counts.get(slug, 0) + 1
    assert {slug: len(rows) for slug, rows in sheets.items() if rows} == {
        slug: count for slug, count in counts.items() if slug in sheets}
    assert sum(map(len, sheets.values())) > 300


def test_every_number_has_a_place_to_open_or_says_why_there_is_none(sheets):
    bare = [(slug, row.name) for slug, rows in sheets.items() for row in rows
            if row.kind != "plan" and not row.words and not (row.cited and all(locator for _, locator in row.cited))]
    assert bare == []


def test_a_recalled_number_is_marked_and_so_is_one_whose_work_nobody_opened(loaded, sheets):
    rows = [row for rows in sheets.values() for row in rows]
    assert all((worksheet_rows.RECALLED in row.marks) == (row.seen == "memory") for row in rows)
    assert all(worksheet_rows.UNREAD in row.marks for row in rows if row.seen == "memory")
    unopened = [row for row in rows if row.cited and all(loaded.data.sources[key].seen != "read" for key, _ in row.cited)]
    assert unopened and all(worksheet_rows.UNREAD in row.marks for row in unopened)


def test_what_does_not_follow_from_its_print_is_marked(loaded, sheets):
    series = {row.name: row for rows in sheets.values() for row in rows if row.kind == "series"}
    odd = {name for name in series if loaded.data.series[name].differs}
    assert odd and odd == {name for name, row in series.items() if worksheet_rows.DIFFERS in row.marks}


def test_the_csv_file_has_a_row_for_every_number_and_two_empty_columns(loaded, sheets):
    for slug in ("sizing", "complications"):
        read = list(csv.DictReader(io.StringIO(worksheet_rows.as_csv(loaded, slug))))
        assert [row["name"] for row in read] == [row.name for row in sheets[slug]]
        assert {row["first reader"] for row in read} == {row["second reader"] for row in read} == {""}
        assert [int(row["number"]) for row in read] == list(range(1, len(read) + 1))


def test_the_built_page_shows_every_row_with_two_boxes_and_leads_to_the_file(built_site, sheets):
    for slug in ("sizing", "drills/arrest"):
        html = (built_site / "worksheets" / f"{slug}.html").read_text(encoding="utf-8")
        assert html.count('class="tick-box"') == 2 * len(sheets[slug])
        name = slug.rsplit("/", 1)[-1]
        assert f'href="{name}.csv"' in html and (built_site / "worksheets" / f"{slug}.csv").is_file()
        chapter = (built_site / f"{slug}.html").read_text(encoding="utf-8")
        assert f'worksheets/{slug}.html">Worksheet for reviewers' in chapter and "Not signed" in chapter


def test_every_number_leads_to_an_entry_that_exists(built_site, sheets):
    text = {}
    for slug, rows in sheets.items():
        for row in rows:
            path, _, anchor = worksheet_rows.entry_of(row, slug).partition("#")
            html = text.setdefault(path, (built_site / path).read_text(encoding="utf-8"))
            assert not anchor or f'id="{anchor}"' in html, (slug, row)


def test_a_list_too_long_for_paper_ends_between_two_parts_and_is_whole_in_the_file(built_site, loaded, sheets):
    long = [row for row in sheets["sizing"] if len(row.value) > 10_000]
    html = (built_site / "worksheets" / "sizing.html").read_text(encoding="utf-8")
    assert long and html.count("characters in the CSV file</a>") >= len(long)
    whole = {row["value"] for row in csv.DictReader(io.StringIO(worksheet_rows.as_csv(loaded, "sizing")))}
    for row in long:
        begun = row.value.replace("_", " ")[:150]
        assert html_escape(begun) in html and html_escape(row.value.replace("_", " ")) not in html and row.value in whole
    # Nothing ends inside a number: what follows the last digit that is shown was a comma.
    ends = [text.split(" … ")[0] for text in re.findall(r"(?s)<td[^>]*>([^<]* … )<a", html)]
    assert len(ends) >= len(long)
    values = [html_escape(row.value.replace("_", " ")) for row in sheets["sizing"]]
    assert all(any(value.startswith(end + ", ") for value in values) for end in ends)

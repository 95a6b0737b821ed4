"""What falls due when: by the evidence of each row, never later than its interval, the same on every day."""

from datetime import date

import pytest

from pvcalc.decision.words import superseded_words
from pvcalc.handbook.checks import review_dates
from pvcalc.handbook.reference.age_page import age_page


@pytest.fixture(scope="module")
def due(loaded):
    return review_dates.list_due(loaded)


@pytest.mark.parametrize(("start", "months", "end"), [
    (date(2026, 11, 25), 12, date(2027, 11, 25)), (date(2026, 11, 25), 24, date(2028, 11, 25)),
    (date(2026, 12, 31), 2, date(2027, 2, 28)), (date(2027, 8, 31), 6, date(2028, 2, 29)), (date(2026, 1, 15), 0, date(2026, 1, 15))])
def test_months_are_counted_by_the_calendar(start, months, end):
    assert review_dates.after(start, months) == end


@pytest.mark.parametrize(("seen", "level", "short"), [
    ("memory", "A", True), ("practice", None, True), ("read", "C", True), ("read", "C-EO", True), ("read", "B-NR", False),
    ("read", "A", False), ("read", None, False)])
def test_opinion_habit_and_memory_come_up_sooner(seen, level, short):
    found = review_dates.evidence_of({"seen": seen, "then": {"answer": "yes", "level": level}})
    assert (found == "opinion, habit or memory") is short


def test_everything_with_an_age_is_on_the_list_and_nothing_waits_longer_than_three_years(loaded, due):
    rows = sum(one.count for one in due if one.what == "rows of a document")
    assert rows == sum(len(table["rows"]) for table in loaded.tables.values())
    assert sum(one.what == "setting" for one in due) == len(loaded.data.settings)
    assert sum(one.what == "published result" for one in due) == len(loaded.data.series)
    entered = loaded.data.settings["review_read_months"].decided_on
    assert max(one.on for one in due) <= review_dates.after(entered, 36)
    assert due == sorted(due)


def test_a_document_read_on_a_day_of_its_own_counts_from_it(copy_of_project):
    from pvcalc.handbook.data import project
    path = copy_of_project / "kb" / "_data" / "_tables" / "treat.yml"
    text = path.read_text(encoding="utf-8")
    head = "treat_aha_2018:\n"
    path.write_text(text.replace(head, head + '  read_on: "2025-03-31"\n', 1), encoding="utf-8")
    loaded = project.load(copy_of_project)
    assert loaded.findings == []
    assert {one.on for one in review_dates.list_due(loaded) if one.name == "treat_aha_2018"} <= {date(2026, 3, 31), date(2027, 3, 31)}


def test_the_page_is_the_same_on_every_day_and_leaves_the_verdict_to_the_clock(loaded):
    from pvcalc.handbook.authoring.extension import Page
    html = age_page(loaded, Page("kb/reference/age.md"))
    assert html.count("data-due=") == len(review_dates.list_due(loaded))
    assert html.count('class="due__past" hidden') == len(review_dates.list_due(loaded))


def test_superseded_advice_stays_at_its_address_and_says_what_replaced_it(loaded, built_site):
    old = review_dates.superseded(loaded)
    assert len(old) >= 5
    html = (built_site / "reference" / "tables.html").read_text(encoding="utf-8")
    for table in old:
        entry = html[html.index(f'id="{table["name"]}"'):]
        entry = entry[:entry.index("</section>")]
        assert superseded_words(table)[1:] in entry and table["superseded_by"] in superseded_words(table), table["name"]
        assert not table["rows"] or "<tbody>" in entry

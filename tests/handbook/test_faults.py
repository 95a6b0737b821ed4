"""The page of faults shows every fault the tests plant, with the message it really brings."""

import html

import pytest

from pvcalc.handbook.checks.chapter_faults import AUTHOR_FAULTS
from pvcalc.handbook.checks.data_faults import DATA_FAULTS
from pvcalc.handbook.checks.table_faults import TABLE_FAULTS
from pvcalc.handbook.reference.faults_page import faults_page


@pytest.fixture(scope="module")
def shown(loaded):
    return html.unescape(faults_page(loaded, None))


def test_there_are_well_over_forty_and_each_has_its_row(shown):
    count = len(AUTHOR_FAULTS) + len(DATA_FAULTS) + len(TABLE_FAULTS)
    assert count >= 100
    assert shown.count("<pre><code>") == count
    assert f"<p>{count} faults" in shown


def test_each_row_holds_the_words_and_the_line_the_tests_ask_for(shown):
    for name, _, line, words in AUTHOR_FAULTS:
        row = next(row for row in shown.split("<tr>") if f">{name}</td>" in row)
        assert f"kb/example.md:{line}: " in row and all(word in row for word in words), name
    for words in [fault[4] for fault in DATA_FAULTS] + [fault[5] for fault in TABLE_FAULTS]:
        assert words in shown


def test_no_row_speaks_of_the_mark_that_only_the_tests_need(shown):
    assert "# HERE" not in shown

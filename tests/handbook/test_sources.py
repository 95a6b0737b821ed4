"""The cited works: what each carries, how a reader finds it, and the lists that other programs read."""

import json

import bibtexparser
import pytest
from citeproc.source.json import CiteProcJSON

from pvcalc.handbook.authoring import extension, inline
from pvcalc.handbook.checks.table_faults import WORKS
from pvcalc.handbook.cli.commands import main
from pvcalc.handbook.data import cited, grounds
from pvcalc.handbook.data.schemas import Source
from pvcalc.handbook.publish import citations

ARTICLE = Source(authors="Baker A, de Vries B, O'Neil CD, et al.", title="Balloons & valves: 100 % of {all}", journal="J_A", year=1990,
                 volume="12(3)", pages="4-9", doi="10.1000/(A)1<2", pmid="123456", grade="primary", seen="read", extent="abstract", memory=["pages"])
BODY = Source(authors="Society of Hearts, Utrecht", title="A protocol", journal="Society of Hearts", year="not shown", number="sheet 4",
              grade="guideline", seen="read", second_hand=True, extent="page", note="Year not on the page seen.")
BOOK = Source(authors="Clark D (ed)", title="A book", journal="A house", year=2001, grade="textbook", seen="memory", extent="not opened", found_by="Title.")


@pytest.fixture(scope="module")
def lists(live):
    """Both lists of the shipped works, as text."""
    return {path.rpartition(".")[2]: text for path, text in citations.files(live)}


def test_an_outside_reader_takes_every_item_of_the_csl_list(live, lists):
    items = json.loads(lists["json"])
    read = CiteProcJSON(items)
    assert set(read) == set(live.data.sources)
    for item in items:
        work = live.data.sources[item["id"]]
        assert str(read[item["id"]].title) == work.title and item.get("DOI") == work.doi
        if work.year != "not shown":
            assert str(read[item["id"]].issued.year) == str(work.year)


def test_an_outside_reader_takes_every_entry_of_the_bibtex_list(live, lists):
    library = bibtexparser.parse_string(lists["bib"])
    assert library.failed_blocks == []
    entries = {entry.key: entry.fields_dict for entry in library.entries}
    assert set(entries) == set(live.data.sources)
    for key, work in live.data.sources.items():
        assert (entries[key]["doi"].value if "doi" in entries[key] else None) == work.doi
        assert ("year" in entries[key]) == (work.year != "not shown")


def test_an_article_is_written_as_both_lists_want_it():
    item = citations.csl("baker1990", ARTICLE)
    assert item["type"] == "article-journal" and item["container-title"] == "J_A" and (item["volume"], item["issue"], item["page"]) == ("12", "3", "4-9")
    assert item["author"] == [{"family": "Baker", "given": "A"}, {"family": "de Vries", "given": "B"}, {"family": "O'Neil", "given": "CD"}]
    assert item["note"] == "Seen: abstract. Recalled, not seen: pages. Further authors are not listed."
    entry = bibtexparser.parse_string(citations.bibtex("baker1990", ARTICLE)).entries[0]
    told = {name: one.value for name, one in entry.fields_dict.items()}
    assert entry.entry_type == "article" and told["author"] == "Baker, A and de Vries, B and O'Neil, CD and others"
    assert told["title"] == r"{Balloons \& valves: 100 \% of \{all\}}" and told["journal"] == r"J\_A" and told["pages"] == "4--9"
    assert (told["volume"], told["number"], told["doi"], told["year"]) == ("12", "3", "10.1000/(A)1<2", "1990")


def test_a_body_stays_one_name_and_what_was_not_shown_is_left_out():
    item = citations.csl("society", BODY)
    assert item["author"] == [{"literal": "Society of Hearts, Utrecht"}] and item["type"] == "report" and item["publisher"] == "Society of Hearts"
    assert "issued" not in item and item["number"] == "sheet 4" and "Read second-hand." in item["note"]
    assert "author = {{Society of Hearts, Utrecht}}" in citations.bibtex("society", BODY) and "year" not in citations.bibtex("society", BODY)
    assert citations.csl("clark2001", BOOK)["type"] == "book" and citations.csl("clark2001", BOOK)["author"] == [{"family": "Clark", "given": "D"}]


def test_doi_and_pubmed_number_are_links_that_a_reader_may_follow():
    html = inline.linked_citation(ARTICLE)
    assert 'href="https://doi.org/10.1000/%28A%291%3C2">doi 10.1000/(A)1&lt;2</a>' in html
    assert 'href="https://pubmed.ncbi.nlm.nih.gov/123456">PMID 123456</a>' in html and html.count("<a ") == 2
    assert "<a " not in inline.linked_citation(BODY) and "Number: sheet 4." in inline.linked_citation(BODY)


def test_an_identifier_or_journal_volume_and_page_identify_a_work():
    assert ARTICLE.identified and BODY.identified and not BOOK.identified
    bare = ARTICLE.model_copy(update={"doi": None, "pmid": None})
    assert bare.identified and not bare.model_copy(update={"pages": ""}).identified
    assert (ARTICLE.read_how, BODY.read_how, BOOK.read_how) == ("read", "second", "memory")


@pytest.mark.parametrize("seen, key, read, grade", [
    ("read", "author1900", False, False), ("read", "quoted1901", True, False), ("second", "quoted1901", False, False),
    ("read", "page1902", False, True), ("second", "page1902", False, True), ("practice", "page1902", False, False), ("memory", "quoted1901", False, False),
    ("read", "nobody", False, False)])
def test_a_value_says_how_its_work_was_read_and_rests_on_no_low_page(seen, key, read, grade):
    assert bool(grounds.read_fault(seen, key, WORKS)) is read and bool(grounds.grade_fault(seen, key, WORKS)) is grade


def test_every_use_of_a_work_is_found(live):
    places = cited.uses(live)
    kinds = {use.kind for use in places["gurvitz2026"]}
    assert {"chapter", "table", "example"} <= kinds
    assert cited.Use("setting", "target_low_ratio", live.data.settings["target_low_ratio"].source.partition(",")[2].strip()) in places[
        live.data.settings["target_low_ratio"].source.partition(",")[0]]
    assert sum(len(found) for found in places.values()) > 1500


def test_the_subject_is_the_chapter_that_cites_most():
    uses = [cited.Use("chapter", "sizing", "a"), cited.Use("chapter", "result", "b"), cited.Use("chapter", "sizing", "c"), cited.Use("table", "x", "d")]
    assert cited.subject_of(uses) == "sizing" and cited.subject_of(uses[3:]) == ""


def test_no_shipped_work_lacks_a_title_or_a_way_to_find_it(live, capsys):
    found = cited.summary(live)
    assert found["without_title"] == found["not_findable"] == []
    assert sum(found["by_grade"].values()) == sum(found["by_seen"].values()) == found["works"] == len(live.data.sources)
    assert found["identified"] + len(found["found_by"]) == found["works"]
    assert main(["--root", str(live.root), "sources", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == found
    assert main(["--root", str(live.root), "sources"]) == 0 and f"{found['works']} works" in capsys.readouterr().out


def test_the_command_names_what_cannot_be_found(live, capsys, monkeypatch):
    monkeypatch.setattr(cited, "summary", lambda project: {"works": 1, "identified": 0, "by_grade": {"low": 1}, "by_seen": {"read": 1}, "found_by": {},
                                                           "uncited": [], "without_title": ["page1902"], "not_findable": []})
    assert main(["--root", str(live.root), "sources"]) == 1 and "page1902: no title" in capsys.readouterr().out


def test_the_page_of_sources_shows_grade_reading_and_address_by_subject(live_root, live):
    html, _ = extension.convert(live_root, "kb/reference/sources.md", "# Sources\n\n```generated\npage: sources\n```\n")
    row = html[html.index('id="mccrindle1994"'):].split("</tr>")[0]
    assert 'data-grade="primary"' in row and "mended, " in row and "Independent predictors" in row
    row = html[html.index('id="baumgartner2021"'):].split("</tr>")[0]
    assert 'href="https://doi.org/10.1093/eurheartj/ehaa554"' in row and 'data-grade="guideline"' in row
    assert html.count("<h2") > 10 and "downloads/sources.json" in html and "downloads/sources.bib" in html


def test_the_page_of_what_was_seen_lists_the_second_readings(live_root, live):
    html, _ = extension.convert(live_root, "kb/reference/provenance.md", "# Seen\n\n```generated\npage: provenance\n```\n")
    part = html[html.index('id="second-reading"'):]
    assert part.count("<tr data-verdict=") == len(live.data.readings) > 200
    assert {"carries", "mended", "text not found"} == {reading.verdict for reading in live.data.readings.values()}
    assert "read second-hand" in html


def test_a_row_read_second_hand_says_so(live):
    rows = [row for table in live.tables.values() for row in table["rows"] if row["seen"] == "second"]
    assert len(rows) > 20
    assert ">read second-hand</span>" in inline.mark("second") and "mark--second" in inline.mark("second")

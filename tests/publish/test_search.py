"""The search answers as a reader's browser would: the theme's own worker, run over the built index."""

import json
import shutil
import subprocess

import pytest

from pvcalc.handbook.data import typed_words
from pvcalc.handbook.publish import search_index
from tests.conftest import ROOT

pytestmark = pytest.mark.site
NODE = shutil.which("node") or str(ROOT / ".venv/bin/node")


def asked(site, queries):
    """For each query its hits in the order of the list, sections of one page together."""
    lines = "\n".join(json.dumps(query) for query in queries)
    done = subprocess.run([NODE, str(ROOT / "tests" / "publish" / "search_worker.mjs"), str(site)], input=lines,
                          capture_output=True, text=True, check=True)
    return [[hit["location"] for page in json.loads(line)["hits"] for hit in page] for line in done.stdout.splitlines()]


@pytest.mark.parametrize("typed, right", [
    ("epinephrine", "adrenaline"), ("ballon", "balloon"), ("prostaglandn", "prostaglandin"), ("protamine", "protamine"),
])
def test_other_spellings_and_slips_find_the_handbooks_word(built_site, typed, right):
    index = json.loads((built_site / "search" / "search_index.json").read_text(encoding="utf-8"))
    held = {one["location"]: (one["title"] + one["text"]).lower() for one in index["docs"]}
    [hits] = asked(built_site, [typed])
    assert hits and right in held[hits[0]], hits[:3]


def test_a_section_stands_before_its_page_and_a_drill_before_a_list(built_site):
    [hits] = asked(built_site, ["protamine"])
    assert "#" in hits[0]
    [hits] = asked(built_site, ["hypotension"])
    assert hits[0].startswith("drills/hypotension.html")


def test_index_holds_no_badges_no_marks_and_no_glued_cells(built_site):
    index = (built_site / "search" / "search_index.json").read_text(encoding="utf-8")
    for words in ("common practice, no single source", "published 0", "derived 0", "seen in the sourceread"):
        assert words not in index


def test_words_asked_for_a_section_are_read_beside_its_heading(tmp_path):
    (tmp_path / "kb" / "drills").mkdir(parents=True)
    (tmp_path / "kb" / "a.md").write_text("# A\n\n<!-- asked: whole page -->\n\n## One, two\n<!-- asked: low bp; BP falls -->\n\n"
                                          "```text\n## no\n```\n\n### Own {#mine}\n<!-- asked: third -->\n", encoding="utf-8")
    assert search_index.asked_words(tmp_path) == {
        "a.html": ["whole page"], "a.html#one-two": ["low bp", "BP falls"], "a.html#mine": ["third"]}


@pytest.mark.parametrize("text", ["low: low\n", "low: ''\n", "low: [a]\n"])
def test_a_word_that_stands_for_nothing_is_a_fault_with_its_line(tmp_path, text):
    (tmp_path / "kb" / "_data").mkdir(parents=True)
    (tmp_path / typed_words.WORDS).write_text("bp: pressure\n" + text, encoding="utf-8")
    [fault] = typed_words.findings(tmp_path)
    assert fault.line == 2 and "needs the handbook's own word" in fault.message


def test_every_listed_word_of_ours_occurs_in_the_handbook(built_site):
    index = (built_site / "search" / "search_index.json").read_text(encoding="utf-8").lower()
    unused = [ours for ours in set(typed_words.synonyms(ROOT).values()) if ours.lower() not in index]
    assert unused == []

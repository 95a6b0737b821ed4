"""The bound book of a few pages: the same bytes twice, contents with their pages, links that lead inside, mathematics in its font."""

import os
import re
from concurrent.futures import ProcessPoolExecutor
from io import BytesIO
from multiprocessing import get_context

import pikepdf
import pytest
from mkdocs.config import load_config

from pvcalc.handbook.publish import book

# A chapter with pictures and mathematics, two drills that link to it, and the page with every formula's equation.
NAV = [{"Chapters": [{"Balloon size": "sizing.md"}]},
       {"First minute": [{"Tear": "drills/tear.md"}, {"Perforation": "drills/perforation.md"}]},
       {"Reference": [{"Names and units": "reference/units.md"}, {"Formulas": "reference/formulas.md"}]}]
WHEN = 1_700_000_000


def bind(*arguments):
    """The book, bound in a process of its own: one process cannot drive two browsers, and the other tests have one."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as apart:
        return apart.submit(book.bind, *arguments).result()


@pytest.fixture(scope="module")
def facts(root):
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    return book.facts_of(load_config(str(root / "mkdocs.yml")), WHEN)


@pytest.fixture(scope="module")
def bound(built_site, chromium, facts):
    return bind(built_site, NAV, facts, WHEN, chromium)


def test_one_site_is_one_book_byte_for_byte(built_site, chromium, facts):
    short = NAV[1:2]
    one, two = (bind(built_site, short, facts, WHEN, chromium) for _ in range(2))
    assert one == two
    with pikepdf.open(BytesIO(one)) as made:
        assert str(made.docinfo["/CreationDate"]) == "D:20231114221320Z" == str(made.docinfo["/ModDate"])


def test_contents_carry_the_page_of_every_chapter_and_heading(bound, built_site, facts):
    numbers = book.page_numbers(bound)
    html = book.assemble(built_site, NAV, facts, numbers)
    contents = html[:html.index("</nav>")]
    assert "000" not in contents
    listed = [numbers[name] for name in ("page-sizing", "page-drills-tear", "page-drills-perforation", "page-reference-units",
                                         "page-reference-formulas")]
    assert listed == sorted(set(listed)) and listed[0] > 2
    assert contents.count('class="contents__heading"') > 5


def test_every_link_leads_inside_the_book_or_to_the_web(bound):
    inside = 0
    with pikepdf.open(BytesIO(bound)) as made:
        known = {str(name).lstrip("/") for name in made.Root.Dests.keys()}
        for page in made.pages:
            for link in page.get("/Annots", []):
                if "/Dest" in link:
                    assert str(link.Dest).lstrip("/") in known
                    inside += 1
                else:
                    assert str(link.A.URI).startswith(("https://", "http://"))
    assert inside > 100


def test_mathematics_and_pictures_are_in_the_book(bound, built_site, facts):
    html = book.assemble(built_site, NAV, facts)
    assert html.count("<math") > 60 and html.count('<figure class="picture"') >= 3
    assert "\\frac" not in html and "$" not in re.sub(r"(?s)<style>.*?</style>", "", html)
    with pikepdf.open(BytesIO(bound)) as made:
        fonts = {str(thing.FontName) for thing in made.objects
                 if isinstance(thing, pikepdf.Dictionary) and "/FontName" in thing}
        # Hatching and rows of persons are drawn: as bitmaps they were blurred and half of the file.
        bitmaps = [thing for thing in made.objects if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image"]
    assert any("STIX" in name for name in fonts), fonts
    assert bitmaps == []


def test_no_table_is_wider_than_the_sheet(browser, built_site, facts, tmp_path):
    path = tmp_path / "book.html"
    path.write_text(book.assemble(built_site, load_config("mkdocs.yml")["nav"], facts), encoding="utf-8")
    page = browser.new_page(viewport={"width": 672, "height": 990})
    page.emulate_media(media="print")
    page.goto(path.as_uri())
    page.evaluate(book.SQUEEZE)
    # One element too wide and Chromium prints the whole book smaller.
    assert page.evaluate("""[...document.querySelectorAll('.book *')].filter((one) => one.getBoundingClientRect().right > 673)
        .map((one) => one.closest('section')?.id + ' ' + one.tagName + ' ' + one.textContent.trim().slice(0, 40))""") == []
    page.close()

"""Drills as they are used: on a telephone with one thumb, and on the wall."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from tests.browser.visits import visiting

PHONE_HEIGHT = 740
SMALLEST_PT = 10
PAPERS = ("A4", "Letter")
PLACES = """() => {
  const steps = [...document.querySelectorAll('.drill ol > li')].map((step) => step.getBoundingClientRect());
  return {count: steps.length, first: steps[0].top + scrollY, last: steps.at(-1).bottom + scrollY,
          box: document.querySelector('.drill').getBoundingClientRect().bottom + scrollY};
}"""


@pytest.fixture(scope="session")
def drills(built_site):
    """Addresses of every sheet but the list of them."""
    found = sorted(f"drills/{path.name}" for path in (built_site / "drills").glob("*.html") if path.name != "index.html")
    assert len(found) >= 15
    return found


def test_step_one_stands_in_the_upper_half_and_every_step_within_a_screen_and_a_half(visit, handbook, drills):
    with visit(handbook, "phone-light") as seen:
        for path in drills:
            places = seen.open(path).page.evaluate(PLACES)
            assert 4 <= places["count"] <= 7, path
            assert places["first"] <= PHONE_HEIGHT / 2, (path, places)
            assert places["last"] <= PHONE_HEIGHT * 1.5, (path, places)
            assert places["box"] > places["last"]
            assert seen.too_wide() == 0


def letters(sheet):
    """Size in points of every piece of text on one printed sheet."""
    sizes = []
    sheet.extract_text(visitor_text=lambda text, page, own, font, size: sizes.append((round(abs(size * own[3] * page[3]), 1), text))
                       if text.strip() else None)
    return sizes


@pytest.fixture(scope="module")
def printed(browser, handbook, drills):
    """(address, paper) -> the steps on the screen and the sheets of paper, of every drill and of the list of them."""
    found = {}
    with visiting(browser, handbook, "desktop-light") as seen:
        for path in [*drills, "drills/index.html"]:
            steps = seen.open(path).page.locator(".drill ol > li").all_inner_texts()
            for paper in PAPERS:
                found[path, paper] = steps, PdfReader(BytesIO(seen.page.pdf(format=paper))).pages
        assert seen.troubles == []
    return found


def test_a_drill_prints_on_one_sheet_without_a_small_letter(printed):
    for place, (_, sheets) in printed.items():
        assert len(sheets) == 1, place
        sizes = letters(sheets[0])
        assert len(sizes) > 20
        assert [(size, text) for size, text in sizes if size < SMALLEST_PT - 0.05] == [], place


def test_a_printed_drill_keeps_its_edition_its_state_and_its_steps(printed):
    for place, (steps, sheets) in printed.items():
        words = " ".join(sheets[0].extract_text().split())
        for kept in ("Edition 1, draft", "Printed 20", "not controlled", "not a medical device", "igned", *[step.split()[0] for step in steps]):
            assert kept in words, (place, kept)

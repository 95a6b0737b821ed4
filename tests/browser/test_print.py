"""Pages on paper, A4 and Letter: the edition on every sheet, nothing cut, outside addresses as notes. Drills: test_drills.py."""

from io import BytesIO

import pytest
from pypdf import PdfReader

# Width between the margins of css/print.css in CSS pixels.
PAPERS = {"A4": 687, "Letter": 710}
PAGES = ["sizing.html", "complications.html", "drills/tear.html", "drills/hypotension.html", "plan.html", "worksheets/sizing.html",
         "reference/verification.html"]


def ready_for_paper(seen, path, width):
    """The page as the printer gets it, laid out at the width of the sheet."""
    seen.page.set_viewport_size({"width": width, "height": 1000})
    seen.open(path).page.evaluate("dispatchEvent(new Event('beforeprint'))")
    seen.page.emulate_media(media="print")


@pytest.mark.parametrize("path", PAGES)
def test_nothing_is_wider_than_the_sheet(visit, handbook, path):
    with visit(handbook) as seen:
        for paper, width in PAPERS.items():
            ready_for_paper(seen, path, width)
            assert seen.page.evaluate("""(width) => [...document.querySelectorAll('body *')]
                .filter((one) => one.checkVisibility() && one.getBoundingClientRect().width > 0)
                .filter((one) => one.getBoundingClientRect().right > width + 1)
                .map((one) => one.tagName + ' ' + one.textContent.trim().slice(0, 50)).slice(0, 5)""", width) == [], paper


@pytest.mark.parametrize("path", ["result.html", "plan.html", "worksheets/anatomy.html"])
def test_every_sheet_carries_the_edition_and_the_day_it_was_printed(visit, handbook, path):
    with visit(handbook, "desktop-dark") as seen:
        seen.open(path)
        for paper in PAPERS:
            sheets = [" ".join(sheet.extract_text().split()) for sheet in PdfReader(BytesIO(seen.page.pdf(format=paper))).pages]
            for number, words in enumerate(sheets, 1):
                for part in ("Edition 1, draft", "Printed 20", "not controlled", "not a medical device"):
                    assert part in words, f"{path} on {paper}, sheet {number}: “{part}” is missing"
            # The cautions stand at the very end: Chromium once left out the last sheets of a long page.
            whole = " ".join(sheets)
            assert "Before you act on this page" in whole and "Found a fault?" in whole


def test_links_to_other_sites_become_notes_and_inside_links_do_not(visit, handbook):
    with visit(handbook) as seen:
        seen.open("sizing.html").page.evaluate("""() => {
            const text = document.querySelector('article p');
            for (const address of ['https://example.org/a', 'https://example.org/b', 'https://example.org/a'])
              text.append(Object.assign(document.createElement('a'), {href: address, textContent: 'elsewhere'}));
            dispatchEvent(new Event('beforeprint')); dispatchEvent(new Event('beforeprint')); }""")
        assert seen.page.locator(".print-notes li").all_text_contents() == ["https://example.org/a", "https://example.org/b"]
        assert seen.page.evaluate("[...document.querySelectorAll('a[data-note]')].map((one) => one.dataset.note)") == ["1", "2", "1"]
        assert not seen.page.locator(".print-notes").is_visible()
        seen.page.emulate_media(media="print")
        assert seen.page.locator(".print-notes").is_visible()

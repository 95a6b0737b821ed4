"""How long a chapter in layers is on a telephone, and whether what is folded opens for a link that leads into it."""

import re

import pytest

from tests.browser.visits import ROOT, VIEWS

PHONE = VIEWS["phone-light"]["viewport"]
MOST_SCREENS = 20
IN_LAYERS = sorted(path.stem for path in (ROOT / "kb").glob("*.md") if re.search(r"^```brief$", path.read_text(encoding="utf-8"), re.M))
STILL_LONG = {"sizing"}  # begun: not every section answers first yet; taken out when it fits

SECTIONS = """() => [...document.querySelectorAll("article h2")].map((heading) => {
  let answer = heading.nextElementSibling;
  while (answer && !answer.matches("h2, .l-answer")) answer = answer.nextElementSibling;
  if (!answer?.matches(".l-answer")) return null;
  return [heading.id, answer.getBoundingClientRect().bottom - heading.getBoundingClientRect().top];
}).filter(Boolean)"""


def test_some_chapters_are_in_layers():
    assert {"assessment", "measuring"} <= set(IN_LAYERS) and STILL_LONG <= set(IN_LAYERS)


@pytest.mark.parametrize("chapter", IN_LAYERS)
def test_a_chapter_with_its_evidence_folded_is_at_most_twenty_screens(visit, handbook, chapter):
    with visit(handbook, "phone-light") as seen:
        seen.open(f"{chapter}.html")
        assert seen.page.locator("details.l-evidence[open], details.sign[open]").count() == 0
        screens = seen.page.evaluate("document.documentElement.scrollHeight") / PHONE["height"]
        assert (screens <= MOST_SCREENS) == (chapter not in STILL_LONG), f"{screens:.1f} screens"
        assert seen.too_wide() == 0


@pytest.mark.parametrize("chapter", IN_LAYERS)
def test_a_whole_answer_stands_on_the_screen_that_its_link_opens(visit, handbook, chapter):
    with visit(handbook, "phone-light") as seen:
        found = dict(seen.open(f"{chapter}.html").page.evaluate(SECTIONS))
        assert found and {name: below for name, below in found.items() if below > PHONE["height"]} == {}


def test_a_link_into_folded_text_unfolds_it(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        page = seen.open("assessment.html#when-do-i-use-the-mean-gradient").page
        heading = page.locator("#when-do-i-use-the-mean-gradient")
        assert heading.is_visible() and 0 <= heading.bounding_box()["y"] < PHONE["height"]
        assert page.locator("ol.sources").is_hidden()
        heading.locator("xpath=following-sibling::p[.//a[contains(@class, 'cite')]]").first.locator("a.cite").first.click()
        work = page.locator(page.evaluate("location.hash"))
        assert work.is_visible() and 0 <= work.bounding_box()["y"] < PHONE["height"]


def test_paper_shows_what_the_screen_folds(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        page = seen.open("measuring.html").page
        assert page.locator("details.l-evidence[open]").count() == 0
        page.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert page.locator("details:not([open])").count() == 0

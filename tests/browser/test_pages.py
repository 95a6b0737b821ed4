"""The handbook's own pages in four views, under the site's policy."""

import pytest

from tests.browser.test_sampler import fonts_of, scheme, search_for
from tests.browser.visits import ROOT, VIEWS

# Every page is pictured small and dark, and wide and light; one of each kind in every view, and there axe looks too.
# At every page axe looks elsewhere, in one view.
CHAPTERS = sorted(path.stem + ".html" for path in (ROOT / "kb").glob("*.md"))
OTHERS = ["cases/newborn.html", "drills/hypotension.html", "reference/formulas.html", "reference/verification.html", "reference/tables.html",
          "404.html"]
KINDS = ["indications.html", "sizing.html", "plan.html", "drills/hypotension.html", "reference/tables.html"]
PICTURED = [(path, view) for path in CHAPTERS + OTHERS for view in sorted(VIEWS)
            if view in ("phone-dark", "desktop-light") or path in KINDS]


@pytest.mark.parametrize("path, view", PICTURED)
def test_page_is_quiet_fits_and_has_targets_for_a_thumb(visit, handbook, view, path):
    with visit(handbook, view) as seen:
        seen.open(path)
        seen.picture("page-" + path.replace("/", "-").split(".")[0])
        assert seen.too_wide() == 0
        assert seen.small_targets() == []
        assert seen.troubles == []


@pytest.mark.parametrize("path", KINDS)
def test_axe_finds_nothing(visit, handbook, view, path):
    with visit(handbook, view, policy=False) as seen:
        assert seen.open(path).axe() == []


@pytest.mark.parametrize("words", ["annulus", "systole", "gradient"])
def test_search_leads_to_a_chapter(visit, handbook, view, words):
    with visit(handbook, view) as seen:
        seen.open("index.html")
        search_for(seen, words)
        hit = seen.page.locator(".md-search-result__link").first
        hit.wait_for()
        hit.click()
        seen.page.wait_for_load_state("load")
        assert words in seen.page.locator("article").inner_text().lower()
        assert seen.troubles == []


def test_colour_switch_is_remembered_and_nothing_else_is_stored(visit, handbook, view):
    with visit(handbook, view) as seen:
        seen.open("sizing.html")
        before = scheme(seen)
        seen.page.locator(".md-header__option label:not([hidden])").click()
        seen.open("reference/formulas.html")
        assert {before, scheme(seen)} == {"default", "slate"}
        assert list(seen.page.evaluate("Object.keys(localStorage)")) == ["/.__palette"]
        assert seen.page.evaluate("sessionStorage.length") == 0
        assert seen.page.context.cookies() == []
        assert seen.troubles == []


def test_every_sign_of_every_formula_comes_from_our_math_font(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("reference/formulas.html")
        fonts = fonts_of(seen, "math :is(mi, mo, mn, mtext)")
        assert len(fonts) > 500 and {(font["familyName"], font["isCustomFont"]) for font in fonts} == {("STIX Two Math", True)}

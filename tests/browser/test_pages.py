"""The handbook's own pages on a phone, in both colours, under the site's policy (at a desk: test_every_page.py)."""

import pytest

from tests.browser.test_sampler import fonts_of, scheme, search_for
from tests.browser.visits import KINDS, PICTURED, picture_name


@pytest.mark.parametrize("path", PICTURED)
def test_page_is_quiet_fits_and_has_targets_for_a_thumb(visit, handbook, path):
    with visit(handbook, "phone-light") as seen:
        seen.open(path)
        for turn in range(2):
            seen.picture(picture_name(path))
            assert seen.too_wide() == 0
            assert seen.small_targets() == []
            if path in KINDS:
                assert seen.axe() == []
            if turn == 0:
                seen.switch_colours()
        assert seen.view == "phone-dark"
        assert seen.troubles == []


@pytest.mark.parametrize("words, view", [("annulus", "phone-light"), ("systole", "desktop-dark"), ("gradient", "phone-dark"),
                                         ("balloon", "desktop-light")])
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


@pytest.mark.parametrize("view", ["phone-light", "desktop-dark"])
def test_colour_switch_is_remembered_and_nothing_else_is_stored(visit, handbook, view):
    with visit(handbook, view) as seen:
        seen.open("sizing.html")
        before = scheme(seen)
        seen.switch_colours()
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

"""The theme on pages of its own: every look, in four views, under the site's policy."""

import pytest

from tests.browser.pictures import dark_share

PAGES = ["index.html", "blocks.html", "tables.html", "code.html"]


@pytest.mark.parametrize("device", ["phone", "desktop"])
@pytest.mark.parametrize("path", PAGES)
def test_page_is_quiet_fits_has_targets_for_a_thumb_and_axe_finds_nothing(visit, sampler, device, path):
    with visit(sampler, device + "-light") as seen:
        seen.open(path)
        for turn in range(2):
            seen.picture("sampler-" + path.split(".")[0])
            assert seen.too_wide() == 0
            assert seen.small_targets() == []
            assert seen.axe() == []
            if turn == 0:
                seen.switch_colours()
        assert seen.view == device + "-dark" and scheme(seen) == "slate"
        assert seen.troubles == []


@pytest.mark.parametrize("path", PAGES)
def test_nothing_is_lost_on_the_narrowest_phone_and_with_the_readers_own_text_spacing(visit, sampler, path):
    # A style of the reader's own is put in past the site's policy, as a browser's extension does.
    with visit(sampler, "phone-light", viewport={"width": 320, "height": 640}, bypass_csp=True) as seen:
        assert seen.open(path).too_wide() == 0
        seen.resize(360, 740).page.add_style_tag(content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important; "
                                                         "word-spacing: 0.16em !important } p { margin-bottom: 2em !important }")
        assert seen.still().too_wide() == 0
        assert seen.page.locator("h1").is_visible()


@pytest.mark.parametrize("view", ["phone-dark", "desktop-light"])
def test_search_finds_a_word_and_axe_nothing_in_the_open_search(visit, sampler, view):
    with visit(sampler, view) as seen:
        seen.open("index.html")
        search_for(seen, "diastole")
        hit = seen.page.locator(".md-search-result__link").first
        hit.wait_for()
        seen.picture("sampler-search", whole=False)
        assert hit.get_attribute("href").split("?")[0].endswith("blocks.html")
        assert seen.still().axe() == []
        assert seen.troubles == []


def test_search_works_from_a_folder_without_a_server(visit, sampler_site):
    with visit(sampler_site.as_uri() + "/") as seen:
        seen.open("index.html")
        search_for(seen, "diastole")
        hit = seen.page.locator(".md-search-result__link").first
        hit.wait_for()
        assert hit.get_attribute("href").startswith(sampler_site.as_uri() + "/blocks.html")
        assert seen.troubles == []


@pytest.mark.parametrize("view", ["phone-dark", "desktop-light"])
def test_colour_switch_changes_the_page_and_is_remembered(visit, sampler, view):
    with visit(sampler, view) as seen:
        seen.open("index.html")
        before = scheme(seen)
        seen.switch_colours()
        assert {before, scheme(seen)} == {"default", "slate"}
        chosen = scheme(seen)
        seen.open("tables.html")
        assert scheme(seen) == chosen
        assert list(seen.page.evaluate("Object.keys(localStorage)")) == ["/.__palette"]
        assert seen.troubles == []


@pytest.mark.parametrize("view", ["phone-dark", "desktop-light"])
def test_first_minute_is_one_tap_away_and_a_drill_two(visit, sampler, view):
    with visit(sampler, view) as seen:
        seen.open("tables.html").page.locator("header").get_by_role("link", name="First minute").click()
        seen.page.wait_for_url("**/drills/index.html")
        seen.page.locator("article li a").first.click()
        seen.page.wait_for_url("**/blocks.html")
        assert seen.page.locator(".drill").count() == 1
        assert seen.troubles == []


def test_every_page_says_what_it_is_and_who_answers_for_it(visit, sampler):
    with visit(sampler, "phone-light") as seen:
        seen.open("code.html")
        assert "For trained clinicians" in seen.page.locator(".notices").inner_text()
        foot = seen.page.locator(".book-footer").inner_text()
        for words in ("not a medical device", "label of the device in your hand", "Doses are figures as reported",
                      "Edition", "Built", "Answers for it", "Next review", "Found a fault?"):
            assert words in foot
        assert [seen.page.locator(f'[data-banner="{name}"]').is_visible() for name in ("offline", "overdue", "unsaved")] == [False] * 3


def test_contents_open_from_the_keyboard_on_a_phone(visit, sampler):
    with visit(sampler, "phone-light", reduced_motion="no-preference") as seen:
        seen.open("index.html")
        button = seen.page.get_by_role("button", name="Contents")
        button.focus()
        seen.page.keyboard.press("Enter")
        assert button.get_attribute("aria-expanded") == "true"
        seen.still().picture("sampler-contents", whole=False)
        seen.page.keyboard.press("Escape")
        assert seen.troubles == []


def test_wide_table_scrolls_by_itself_and_keeps_its_first_column(visit, sampler):
    with visit(sampler, "phone-light") as seen:
        seen.open("tables.html")
        wrap = seen.page.locator(".table-wrap").first
        wrap.focus()
        wrap.evaluate("(box) => (box.scrollLeft = box.scrollWidth)")
        edges = wrap.evaluate("(box) => [box.scrollLeft, box.getBoundingClientRect().left, "
                              "box.querySelector('tbody td').getBoundingClientRect().left]")
        assert edges[0] > 100
        assert abs(edges[1] - edges[2]) < 3
        assert wrap.get_attribute("data-overflow") is not None


def test_cards_show_every_column_with_its_heading_on_a_phone(visit, sampler):
    with visit(sampler, "phone-light") as seen:
        seen.open("tables.html")
        cells = seen.page.locator("#cards tbody tr").first.locator("td")
        boxes = [cells.nth(number).bounding_box() for number in range(cells.count())]
        assert len(boxes) == 6
        assert all(0 <= box["x"] and box["x"] + box["width"] <= 360 for box in boxes)
        assert cells.nth(3).evaluate("(cell) => getComputedStyle(cell, '::before').content") == '"difference"'


def test_radical_sign_is_drawn_and_every_sign_comes_from_our_math_font(visit, sampler):
    """Without a math font some browsers draw no radical: a formula that is wrong without looking wrong."""
    with visit(sampler, "desktop-light", device_scale_factor=4) as seen:
        seen.open("index.html")
        seen.page.locator(".equation").screenshot(path=screenshot_path("radical.png"))
        assert bar_over_root(seen) > 0.98
        assert {(font["familyName"], font["isCustomFont"]) for font in fonts_of(seen, "#radical")} == {("STIX Two Math", True)}
        seen.page.evaluate("document.querySelector('#radical msqrt').style.color = 'transparent'")
        assert bar_over_root(seen) < 0.02  # the meter measures the bar and nothing else


def bar_over_root(seen):
    """Share of the width, right of the hook, that has ink in the uppermost fifth of the root."""
    return dark_share(seen.page.locator("#radical msqrt").screenshot(), top=0.0, bottom=0.2, left=0.4, right=0.8)


def fonts_of(seen, selector):
    """Fonts that Chromium really used for the letters of every element that the selector finds."""
    devtools = seen.page.context.new_cdp_session(seen.page)
    devtools.send("DOM.enable")
    devtools.send("CSS.enable")
    root = devtools.send("DOM.getDocument")["root"]["nodeId"]
    nodes = devtools.send("DOM.querySelectorAll", {"nodeId": root, "selector": selector})["nodeIds"]
    return [font for node in nodes for font in devtools.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]]


def test_printed_sheet_is_light_dated_and_unfolded(visit, sampler):
    with visit(sampler, "desktop-dark") as seen:
        seen.open("index.html").page.evaluate("dispatchEvent(new Event('beforeprint'))")
        seen.page.emulate_media(media="print")
        foot = seen.page.locator(".print-foot")
        # Where the browser prints margin boxes the foot line stands there (tests/browser/test_print.py looks at the sheets).
        assert seen.page.evaluate("document.documentElement.hasAttribute('data-margin-foot')") and not foot.is_visible()
        assert "Printed 2" in foot.text_content() and "valid until" not in foot.text_content()
        assert seen.page.locator("details[open]").count() == seen.page.locator("details").count() == 1
        assert scheme(seen) == "default"
        assert not seen.page.locator(".first-minute").is_visible()
        seen.page.pdf(path=screenshot_path("sampler-print.pdf"), prefer_css_page_size=True, format="A4")
        seen.page.evaluate("dispatchEvent(new Event('afterprint'))")
        assert seen.page.locator("details[open]").count() == 0
        assert scheme(seen) == "slate"


def scheme(seen):
    """The colour scheme in use."""
    return seen.page.evaluate("document.body.getAttribute('data-md-color-scheme')")


def screenshot_path(name):
    """Where a picture for a person goes."""
    from tests.browser.visits import SCREENSHOTS
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    return SCREENSHOTS / name


def search_for(seen, words):
    """Open the search as a reader does in this view, and type."""
    button = seen.page.get_by_role("button", name="Search")
    if button.is_visible():
        button.click()
    field = seen.page.locator(".md-search__input")
    field.click()
    field.type(words, delay=20)

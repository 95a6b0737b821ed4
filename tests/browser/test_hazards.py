"""Hazards that only a browser can try: old results, old pages, and the two taps from a number to its place."""

import random

import pytest
from playwright.sync_api import expect

from pvcalc.handbook.checks import signing, worksheet_rows
from tests.browser.trying import Form

PAST = "2031-01-01T12:00:00"
NUMBERS = 10
SEED = 20261125


def test_hz13_a_bad_input_clears_the_result_and_reload_and_back_leave_nothing(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.open("sizing.html")
        form = Form(seen, "balloon_range_mm").open()
        field = form.field("annulus_mm")
        assert field.input_value() == ""
        form.give(annulus_mm="18,4")
        expect(form.output).to_contain_text("23.0", timeout=30000)  # 18.4 × 1.25, by hand
        form.give(annulus_mm="-5")
        expect(form.output).not_to_contain_text("23.0")
        seen.page.reload()
        expect(seen.page.locator(".try__output .worked__value")).to_have_count(0)
        seen.open("index.html")
        seen.page.go_back()
        seen.page.wait_for_load_state("load")
        kept = seen.page.evaluate("[...document.querySelectorAll('article input:not([type=checkbox], [type=range])')].map((one) => one.value).join('')")
        assert kept == ""
        assert seen.troubles == []


def test_hz20_what_is_computed_on_the_device_is_marked_not_to_be_translated(visit, handbook):
    kept = "(element) => [...element.querySelectorAll('*')].every((one) => one.translate !== true)"
    with visit(handbook, "phone-light") as seen:
        form = Form(seen.open("sizing.html"), "balloon_range_mm").open()
        form.give(annulus_mm="18,4")
        expect(form.output).to_contain_text("23.0", timeout=30000)  # 18.4 × 1.25, by hand
        assert form.echo("annulus_mm") and form.field("annulus_mm").locator("xpath=..").locator(".try__echo").evaluate("(one) => one.translate") is False
        assert form.block.locator(".try__shown").evaluate(kept)
        documents = Form(seen.open("indications.html"), place=4).open()
        documents.press("Fill in the example")
        assert documents.output.locator(".answer").count() > 2 and documents.output.evaluate(kept)
        seen.open("plan.html")
        seen.page.fill("#plan-age_years", "6")
        seen.page.wait_for_selector(".plan__sheet[data-sheet='3']", timeout=60000)
        assert seen.page.locator(".plan__output").evaluate(kept)
        assert seen.troubles == []


@pytest.mark.parametrize("path", ["sizing.html", "drills/arrest.html", "reference/settings.html", "worksheets/sizing.html"])
def test_hz14_past_its_review_date_every_kind_of_page_says_so(visit, handbook, path):
    with visit(handbook, "phone-light") as seen:
        seen.open(path)
        assert not seen.page.locator('[data-banner="overdue"]').is_visible()
    with visit(handbook, "phone-light") as seen:
        seen.page.clock.set_fixed_time(PAST)
        seen.open(path)
        banner = seen.page.locator('[data-banner="overdue"]')
        expect(banner).to_be_visible()
        assert "Past its review date" in banner.inner_text()


def test_hz14_a_saved_copy_says_that_it_is_one(visit, handbook):
    with visit(handbook, "phone-light", saves=True) as seen:
        seen.open("sizing.html")
        seen.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        seen.page.wait_for_function("caches.keys().then((names) => names.length > 0)")
        seen.page.wait_for_timeout(3000)
        seen.page.reload()
        seen.page.context.set_offline(True)
        seen.page.reload()
        banner = seen.page.locator('[data-banner="offline"]')
        expect(banner).to_be_visible()
        assert "aved copy" in banner.inner_text() or "No network" in banner.inner_text()
        assert "annulus" in seen.page.locator("article").inner_text()


def test_what_is_past_its_day_is_told_by_the_clock_of_the_device(visit, handbook):
    for clock, past in (("2026-11-26T12:00:00", 0), ("2027-12-31T12:00:00", None), (PAST, "all")):
        with visit(handbook, "phone-light") as seen:
            seen.page.clock.set_fixed_time(clock)
            seen.open("reference/age.html")
            marked, rows = (seen.page.locator(f"tr[data-due] {inside}").count() for inside in (".due__past:not([hidden])", "time"))
            assert 0 < marked < rows if past is None else marked == (rows if past else 0)
            assert f"{marked} of {rows}" in seen.page.locator("[data-due-count]").inner_text()
            assert seen.troubles == []


def picked(loaded):
    """Ten numbers of ten chapters, the same on every run."""
    chance = random.Random(SEED)
    sheets = {slug: [row for row in worksheet_rows.rows(loaded, slug) if row.kind != "plan"] for slug in signing.signable(loaded)}
    slugs = chance.sample(sorted(slug for slug, rows in sheets.items() if rows), NUMBERS)
    return [(slug, chance.choice(sheets[slug])) for slug in slugs]


def test_ten_numbers_of_ten_chapters_reach_a_place_in_two_taps(visit, handbook, loaded):
    chosen = picked(loaded)
    assert len({slug for slug, _ in chosen}) == NUMBERS
    with visit(handbook, "phone-light") as seen:
        for slug, row in chosen:
            seen.open(f"{slug}.html")
            target = worksheet_rows.entry_of(row, slug)
            tap = seen.page.locator(f'article a[href$="{target}"]').first
            assert tap.count() == 1, f"{slug}: {row.kind} {row.name} has no link to its entry"
            tap.evaluate("(link) => link.click()")
            seen.page.wait_for_url(f"**/{target}")
            assert told(seen.page, row, loaded), f"{slug}: {row.kind} {row.name}: no place at its entry or one tap further"
        assert seen.troubles == []


def told(page, row, loaded):
    """True when the entry shows the place of the source, or the first citation tapped in it does."""
    name = row.name
    entry = page.locator(f'[id="{name}"]').first
    entry = entry.locator("xpath=ancestor-or-self::*[self::tr or self::section][1]")
    places = [locator for _, locator in row.cited] or [row.words]
    text = " ".join(entry.inner_text().split())
    if any(" ".join(place.split()) in text for place in places):
        return True
    cite = entry.locator("a.cite").first
    if not cite.count():
        return False
    cite.evaluate("(link) => link.click()")
    work = page.locator(cite.get_attribute("href").replace("#", '[id="') + '"]')
    return any(" ".join(place.split()) in " ".join(work.inner_text().split()) for place in places)

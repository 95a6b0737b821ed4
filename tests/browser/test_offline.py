"""Without a network: what was opened once opens again, whole, dated, and never mixed with a newer edition."""

import re
import shutil
import threading
from datetime import date, timedelta

import pytest

from pvcalc.handbook.publish import offline
from tests.browser.serving import Handler, Server
from tests.browser.trying import Form

SAVED = "navigator.serviceWorker.ready.then(() => new Promise((done) => { const look = () => navigator.serviceWorker.controller ? done(true) : setTimeout(look, 50); look(); }))"

RENEWED = """async () => {
  for (let look = 0; look < 1200; look += 1) {
    const worker = await navigator.serviceWorker.getRegistration();
    if ((await caches.keys()).length === 2 && worker.active && !worker.installing && !worker.waiting) return true;
    await new Promise((next) => setTimeout(next, 100));
  }
  throw new Error("the new edition was not saved");
}"""


class Swap(Server):
    """A server whose folder can be replaced, and which can be told to answer nothing for a while."""

    def __init__(self, folder):
        self.folder, self.holding = folder, threading.Event()
        self.holding.set()
        swap = self

        class Swapped(Handler):
            def __init__(self, *arguments, **named):
                super().__init__(*arguments, **{**named, "directory": str(swap.folder)})

            def do_GET(self):
                swap.holding.wait(30)
                super().do_GET()

        super().__init__(folder, Swapped)


def saved(seen):
    """Open the start page and wait until the whole handbook is on the device."""
    seen.open("index.html")
    seen.page.set_default_timeout(120_000)
    assert seen.page.evaluate(SAVED)
    return seen


def banner(seen, name):
    """Text of a banner, "" when hidden."""
    place = seen.page.locator(f'[data-banner="{name}"]')
    return place.inner_text() if place.is_visible() else ""


@pytest.fixture
def newer_site(built_site, tmp_path):
    """The same handbook as a later edition: every page and one script differ, and the folder of the engine."""
    later = tmp_path / "later"
    shutil.copytree(built_site, later)
    folder = next(path.parent for path in (later / "assets").glob("*/manifest.json"))
    old, new = folder.name, "0123456789ab"
    folder.rename(folder.with_name(new))
    for path in [*later.rglob("*.html"), later / "assets" / new / "manifest.json"]:
        path.write_text(path.read_text(encoding="utf-8").replace(old, new).replace("Physiology", "PHYSIOLOGY"), encoding="utf-8")
    with (later / "js" / "shell.js").open("a") as script:
        script.write("\ndocument.documentElement.dataset.later = 'yes';\n")
    for stale in later.glob("precache-*.json"):
        stale.unlink()
    offline.write(later, 1_900_000_000)
    return later


def test_everything_opens_computes_and_is_found_after_the_network_is_cut(visit, built_site, every_page):
    with Server(built_site) as server, visit(server.address, "phone-light", saves=True) as seen:
        saved(seen)
        seen.page.context.set_offline(True)
        for name in every_page:
            if name == "404.html":
                continue
            seen.page.goto(seen.address + name, wait_until="domcontentloaded")
            assert seen.page.locator("article h1").count() == 1, name
            assert "Saved copy of the edition of 2" in banner(seen, "offline"), name
        form = Form(seen.open("sizing.html"), "balloon_range_mm").open().give(annulus_mm="18,4")
        assert "22.1 mm" in form.text() and form.block.locator(".try__picture svg").count() == 1
        assert "severe" in Form(seen.open("assessment.html"), table="severity_acc_2025").open().give(age_years="34", doppler_peak_mmhg="70").text()
        seen.page.get_by_role("button", name="Search").click()
        field = seen.page.locator(".md-search__input")
        field.click()
        field.type("annulus", delay=20)
        hit = seen.page.locator(".md-search-result__link").first
        hit.click()
        seen.page.wait_for_load_state("load")
        assert "annulus" in seen.page.locator("article").inner_text().lower()


def test_the_next_view_after_a_new_edition_is_wholly_new(visit, built_site, newer_site):
    with Swap(built_site) as server, visit(server.address, "desktop-light", saves=True) as seen:
        saved(seen).open("physiology.html")
        before = seen.page.locator('meta[name="handbook-build"]').get_attribute("content")
        server.folder = newer_site
        seen.open("physiology.html")
        assert "PHYSIOLOGY" in seen.page.locator("h1").inner_text()
        assert seen.page.locator('meta[name="handbook-build"]').get_attribute("content") == "0123456789ab" != before
        assert seen.page.evaluate("document.documentElement.dataset.later") == "yes"
        addresses = seen.page.evaluate("performance.getEntriesByType('resource').map((entry) => entry.name)")
        assert [address for address in addresses if before in address] == []
        assert banner(seen, "offline") == ""
        form = Form(seen, "simulate").open()
        assert "Still needed" in form.text()
        seen.page.evaluate(RENEWED)
        seen.page.context.set_offline(True)
        seen.open("physiology.html")
        assert "PHYSIOLOGY" in seen.page.locator("h1").inner_text()
        assert "2030-03-17" in banner(seen, "offline")


def test_a_network_that_does_not_answer_gives_way_to_the_saved_copy(visit, built_site):
    with Swap(built_site) as server, visit(server.address, "phone-light", saves=True) as seen:
        saved(seen)
        server.holding.clear()
        try:
            begun = seen.page.evaluate("Date.now()")
            seen.page.goto(seen.address + "sizing.html", wait_until="domcontentloaded")
            assert 2000 <= seen.page.evaluate("Date.now()") - begun <= 12_000
            assert "Saved copy" in banner(seen, "offline")
            form = Form(seen, "balloon_range_mm").open().give(annulus_mm="18.4")
            assert "22.1 mm" in form.text()
        finally:
            server.holding.set()


def test_a_saved_copy_older_than_the_department_allows_says_so(visit, built_site, loaded):
    most = loaded.data.value("offline_warning_days")
    with Server(built_site) as server, visit(server.address, "phone-light", saves=True) as seen:
        saved(seen)
        seen.page.context.set_offline(True)
        words = {}
        seen.open("sizing.html")
        day = re.search(r"edition of (\S+),", banner(seen, "offline"))[1]
        for days in (most, most + 1):
            seen.page.clock.set_fixed_time(f"{date.fromisoformat(day) + timedelta(days=days)}T12:00:00Z")
            seen.open("sizing.html")
            words[days] = banner(seen, "offline")
        assert "It may have been replaced since" in words[most] and "too old" not in words[most]
        assert f"{most + 1} days old" in words[most + 1] and f"allows {most}" in words[most + 1]


def test_past_its_review_date_the_page_says_so_by_the_devices_clock(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.page.clock.set_fixed_time("2099-01-01T12:00:00Z")
        seen.open("sizing.html")
        assert "Past its review date" in banner(seen, "overdue")
        assert seen.too_wide() == 0
        seen.picture("state-overdue", whole=False)


def test_a_device_that_cannot_keep_it_is_told_so(visit, handbook):
    with visit(handbook, "phone-light") as seen:
        seen.page.add_init_script("delete Navigator.prototype.serviceWorker")
        seen.open("sizing.html")
        assert "Not saved on this device" in banner(seen, "unsaved")
        seen.picture("state-not-saved", whole=False)


def test_a_copy_that_does_not_match_its_digests_is_not_kept(visit, built_site, tmp_path):
    broken = tmp_path / "broken"
    shutil.copytree(built_site, broken)
    with (broken / "js" / "shell.js").open("a") as script:
        script.write("\n")
    with Server(broken) as server, visit(server.address, "phone-light", saves=True) as seen:
        seen.open("index.html")
        seen.page.locator('[data-banner="unsaved"]', has_text="could not be completed").wait_for(timeout=120_000)


def test_a_folder_reads_well_with_search_and_says_why_it_cannot_compute(visit, built_site):
    with visit(built_site.as_uri() + "/", "desktop-light") as seen:
        form = Form(seen.open("sizing.html"), "balloon_range_mm").open()
        assert "opened from a folder" in form.text() and "stays as printed" in form.text()
        assert "22.1 mm" in " ".join(form.block.locator(".worked__result").first.inner_text().split())
        seen.picture("state-folder", whole=False)
        field = seen.page.locator(".md-search__input")
        field.click()
        field.type("annulus", delay=20)
        hit = seen.page.locator(".md-search-result__link").first
        hit.wait_for()
        assert hit.get_attribute("href").startswith(built_site.as_uri())
        assert [trouble for trouble in seen.troubles if "manifest" not in trouble] == []


def test_it_can_be_installed_with_its_own_icons(visit, handbook):
    with visit(handbook, "phone-light", saves=True) as seen:
        saved(seen)
        devtools = seen.page.context.new_cdp_session(seen.page)
        assert devtools.send("Page.getAppManifest")["errors"] == []
        assert [fault["errorId"] for fault in devtools.send("Page.getInstallabilityErrors")["installabilityErrors"]
                if fault["errorId"] != "in-incognito"] == []
        icons = seen.page.evaluate("""fetch(document.querySelector('link[rel=manifest]').href).then((answer) => answer.json())
            .then(({icons}) => Promise.all(icons.filter((icon) => icon.type === 'image/png').map(async (icon) => {
              const picture = new Image(); picture.src = icon.src; await picture.decode();
              return `${picture.naturalWidth}x${picture.naturalHeight}` === icon.sizes; })))""")
        assert icons == [True, True]
        assert seen.troubles == []

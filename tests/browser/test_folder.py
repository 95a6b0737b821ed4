"""The release's zip, unpacked and opened from the folder without a server."""

import zipfile

from pvcalc.handbook.publish import release
from tests.browser.visits import visiting


def test_zip_opens_from_a_folder_and_its_search_leads_to_a_chapter(built_site, browser, tmp_path):
    release.pack(built_site, {"READ-ME-FIRST.txt": b"Open index.html"}, tmp_path / "handbook-1.zip", 1_700_000_000)
    with zipfile.ZipFile(tmp_path / "handbook-1.zip") as made:
        made.extractall(tmp_path)
    address = (tmp_path / "handbook-1").as_uri() + "/"
    with visiting(browser, address, "desktop-light") as seen:
        seen.open("index.html")
        field = seen.page.locator(".md-search__input")
        field.click()
        field.type("annulus", delay=20)
        hit = seen.page.locator(".md-search-result__link").first
        hit.wait_for()
        hit.click()
        seen.page.wait_for_load_state("load")
        assert seen.page.url.startswith(address) and seen.page.url.split("?")[0].endswith(".html")
        assert "annulus" in seen.page.locator("article").inner_text().lower()
        assert seen.troubles == []

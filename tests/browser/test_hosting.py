"""The handbook below a path of another site, by the lines that the hosting page prints."""

import re
from urllib.request import Request, urlopen

import pytest

from tests.browser.nginx import NO_NGINX, Nginx, nginx_path
from tests.browser.visits import ROOT, visiting


@pytest.fixture(scope="module")
def below(built_site, tmp_path_factory):
    """Address of the handbook below a path."""
    if not nginx_path():
        pytest.fail(NO_NGINX, pytrace=False)
    page = (ROOT / "kb" / "reference" / "hosting.md").read_text(encoding="utf-8")
    location = re.search(r"(?ms)^```nginx\n(location .*?)^```", page)[1]
    with Nginx(built_site, tmp_path_factory.mktemp("below"), location) as running:
        yield running.other + "handbook/"


def test_headers_types_and_compression_come_through(below, built_site):
    build = re.search(r'name="handbook-build" content="(\w+)"', (built_site / "index.html").read_text(encoding="utf-8"))[1]
    for path, kind, cache in (("sizing.html", "text/html; charset=utf-8", "no-cache"), ("service-worker.js", "javascript", "no-cache"),
                              (f"assets/{build}/micropython.wasm", "application/wasm", "public, max-age=31536000, immutable")):
        with urlopen(Request(below + path, headers={"Accept-Encoding": "gzip"}), timeout=20) as answer:
            assert kind in answer.headers["Content-Type"], path
            assert (answer.headers["Cache-Control"], answer.headers["Content-Encoding"]) == (cache, "gzip"), path
            assert "'wasm-unsafe-eval'" in answer.headers["Content-Security-Policy"]


def test_a_chapter_computes_and_the_saved_copy_governs_its_own_folder_only(below, browser):
    with visiting(browser, below, "phone-light", saves=True) as seen:
        seen.open("sizing.html")
        scope = seen.page.evaluate("navigator.serviceWorker.ready.then((ready) => ready.scope)")
        assert scope == below
        example = seen.page.locator("#balloon-range-mm")
        example.locator(".try button").first.click()
        example.locator(".try input").first.fill("20")
        example.locator(".try", has_text="25.0").wait_for(timeout=60_000)  # 20 × 1.25 by hand
        assert seen.troubles == []

"""The built site in Chromium at a phone's width: pages open without an outside request, and the page computes."""

import functools
import http.server
import threading

import pytest
from playwright.sync_api import sync_playwright

POLICY = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:"


class Quiet(http.server.SimpleHTTPRequestHandler):
    extensions_map = {**http.server.SimpleHTTPRequestHandler.extensions_map, ".js": "text/javascript",
                      ".wasm": "application/wasm", ".json": "application/json"}

    def end_headers(self):
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def log_message(self, *_):
        pass


@pytest.fixture(scope="module")
def phone(built_site, chromium):
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(built_site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    with sync_playwright() as started:
        browser = started.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"])
        page = browser.new_context(viewport={"width": 360, "height": 780}, service_workers="block").new_page()
        yield page, f"http://127.0.0.1:{server.server_port}/"
        browser.close()
    server.shutdown()


def test_the_sizing_block_computes_what_is_typed_with_a_comma(phone):
    page, base = phone
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(base + "sizing.html")
    page.locator("#sizing-example-1 .try button").first.click()
    page.locator("#sizing-example-1 .try input").first.fill("18,4")
    page.locator("#sizing-example-1 .try", has_text="23.0").wait_for(timeout=30000)
    # 18.4 × 1.2 = 22.08 and 18.4 × 1.25 = 23.0, by hand.
    assert "22.1" in page.locator("#sizing-example-1 .try").inner_text()
    assert [url for url in asked if not url.startswith((base, "data:"))] == []


@pytest.mark.parametrize("name", ["index", "indications", "drills/hypotension"])
def test_a_page_does_not_scroll_sideways(phone, name):
    page, base = phone
    page.goto(f"{base}{name}.html")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360

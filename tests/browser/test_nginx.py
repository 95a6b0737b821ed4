"""The handbook through the department's nginx: headers, types, compression, cache rules, weight, and without a network."""

import gzip
import re
from urllib.error import HTTPError
from urllib.request import Request, urlopen

import pytest

from tests.browser.nginx import NO_NGINX, Nginx, nginx_path
from tests.browser.visits import CHAPTERS, FLAGS, visiting

IMMUTABLE = "public, max-age=31536000, immutable"
# Kilobytes over the line, compressed: a first visit of a chapter, its first recomputed example, and the search when it is opened.
VISIT_BUDGET_KB, ENGINE_BUDGET_KB, INDEX_BUDGET_KB = 160, 260, 200  # 22 of a visit are the handbook's own typeface, up to 12 its works in full
WALL, WALL_BUDGET_KB = "wall.html", 175  # every sheet and drill in one page, opened to be printed


@pytest.fixture(scope="module")
def nginx(built_site, tmp_path_factory):
    if not nginx_path():
        pytest.fail(NO_NGINX, pytrace=False)
    with Nginx(built_site, tmp_path_factory.mktemp("nginx")) as running:
        yield running


def ask(nginx, path, packed=True):
    """(status, headers, body as sent)."""
    request = Request(nginx.address + path, headers={"Accept-Encoding": "gzip"} if packed else {})
    try:
        with urlopen(request, timeout=20) as answer:
            return answer.status, answer.headers, answer.read()
    except HTTPError as answer:
        return answer.code, answer.headers, answer.read()


def build_of(site):
    return re.search(r'name="handbook-build" content="(\w+)"', (site / "index.html").read_text(encoding="utf-8"))[1]


@pytest.mark.parametrize("path", ["index.html", "sizing.html", "css/tokens.css", "js/shell.js", "no-such-page.html"])
def test_every_answer_carries_the_policy(nginx, path):
    status, headers, _ = ask(nginx, path)
    assert status == (404 if path.startswith("no-such") else 200)
    policy = headers["Content-Security-Policy"]
    for part in ("default-src 'self'", "script-src 'self' 'wasm-unsafe-eval'", "style-src 'self'", "frame-ancestors 'none'"):
        assert part in policy
    assert "unsafe-inline" not in policy
    assert (headers["X-Content-Type-Options"], headers["Referrer-Policy"]) == ("nosniff", "no-referrer")


def test_types_are_what_browsers_insist_on(nginx, built_site):
    folder = f"assets/{build_of(built_site)}/"
    wanted = {folder + "micropython.wasm": "application/wasm", folder + "worker.js": "javascript", folder + "data.json": "application/json",
              "manifest.webmanifest": "application/manifest+json", "index.html": "text/html; charset=utf-8",
              "fonts/math.woff2": "font/woff2", "icons/mark.svg": "image/svg+xml", "worksheets/sizing.csv": "text/csv; charset=utf-8"}
    found = {path: ask(nginx, path)[1]["Content-Type"] for path in wanted}
    assert {path: kind for path, kind in found.items() if wanted[path] not in (kind or "")} == {}


def test_text_engine_and_data_are_compressed_and_unpack_to_the_file(nginx, built_site):
    for path in ("sizing.html", "css/tokens.css", "search/search_index.js", f"assets/{build_of(built_site)}/micropython.wasm",
                 f"assets/{build_of(built_site)}/data.json"):
        _, headers, body = ask(nginx, path)
        assert headers["Content-Encoding"] == "gzip", path
        assert gzip.decompress(body) == (built_site / path).read_bytes()


def test_only_an_address_that_names_its_content_is_kept_for_ever(nginx, built_site):
    build = build_of(built_site)
    kept = [f"assets/{build}/micropython.wasm", f"assets/{build}/data.json", f"css/tokens.css?v={build}", f"js/shell.js?v={build}"]
    asked_again = ["", "index.html", "drills/tear.html", "service-worker.js", next(built_site.glob("precache-*.json")).name,
                   "css/tokens.css", "js/shell.js", "search/search_index.js", "manifest.webmanifest"]
    assert {path: ask(nginx, path)[1]["Cache-Control"] for path in kept} == dict.fromkeys(kept, IMMUTABLE)
    assert {path: ask(nginx, path)[1]["Cache-Control"] for path in asked_again} == dict.fromkeys(asked_again, "no-cache")


def test_an_unchanged_page_costs_no_second_transfer(nginx):
    mark = ask(nginx, "sizing.html", packed=False)[1]["ETag"]
    with pytest.raises(HTTPError) as answer:
        urlopen(Request(nginx.address + "sizing.html", headers={"If-None-Match": mark}), timeout=20)
    assert answer.value.code == 304


def test_search_index_keeps_within_its_weight(nginx):
    for name in ("search_index.json", "search_index.js"):
        assert len(ask(nginx, "search/" + name)[2]) / 1000 < INDEX_BUDGET_KB


@pytest.fixture
def weighed(nginx, browser):
    """A fresh visitor on a phone, and the kilobytes that came over the line so far."""
    with visiting(browser, nginx.address, "phone-light") as seen:
        sizes = []
        seen.page.context.on("requestfinished", lambda request: sizes.append(request.sizes()["responseBodySize"]))
        yield seen, lambda: sum(sizes) / 1000


@pytest.mark.parametrize("path", CHAPTERS)
def test_first_visit_keeps_within_its_weight_and_asks_no_other_host(weighed, path):
    seen, weight_kb = weighed
    seen.open(path)
    assert 60 < weight_kb() < (WALL_BUDGET_KB if path == WALL else VISIT_BUDGET_KB)
    assert seen.troubles == []


def test_first_answer_is_light_and_asks_nobody_else(weighed):
    seen, weight_kb = weighed
    seen.open("sizing.html")
    visit = weight_kb()
    example = seen.page.locator("#balloon-range-mm")
    example.locator(".try button").first.click()
    example.locator(".try input").first.fill("18,4")
    example.locator(".try", has_text="23.0").wait_for(timeout=60_000)
    example.locator(".try svg").wait_for(timeout=60_000)  # its picture too
    assert 200 < weight_kb() - visit < ENGINE_BUDGET_KB
    assert seen.troubles == []


def test_saved_copy_opens_and_computes_when_the_server_is_gone(nginx, browser):
    with visiting(browser, nginx.address, "phone-light", saves=True) as seen:
        seen.open("index.html")
        seen.page.wait_for_function("navigator.serviceWorker.ready.then(() => Boolean(navigator.serviceWorker.controller))", timeout=60_000)
        nginx.stop()
        try:
            seen.page.goto(nginx.address + "sizing.html")
            example = seen.page.locator("#balloon-range-mm")
            example.locator(".try button").first.click()
            example.locator(".try input").first.fill("20")
            example.locator(".try", has_text="25.0").wait_for(timeout=60_000)  # 20 × 1.25 = 25.0 by hand
            assert "24.0" in example.locator(".try").inner_text()  # 20 × 1.2
        finally:
            nginx.start()


def test_plain_http_still_computes_and_keeps_no_copy(nginx, browser, chromium):
    # A name that is not this machine's: browsers trust http://127.0.0.1 like https.
    plain = browser.browser_type.launch(executable_path=chromium, args=[*FLAGS, "--host-resolver-rules=MAP handbook.example 127.0.0.1"])
    try:
        with visiting(plain, nginx.address.replace("127.0.0.1", "handbook.example"), "phone-light") as seen:
            seen.open("sizing.html")
            assert seen.page.evaluate("[isSecureContext, 'serviceWorker' in navigator]") == [False, False]
            example = seen.page.locator("#balloon-range-mm")
            example.locator(".try button").first.click()
            example.locator(".try input").first.fill("20")
            example.locator(".try", has_text="25.0").wait_for(timeout=60_000)  # 20 × 1.25 by hand
            assert seen.troubles == []
    finally:
        plain.close()

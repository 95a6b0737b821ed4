"""What a page fetches when it is used, and how much of it. First views: test_nginx.py. How fast it answers: `make bench`."""

import gzip
import html
import json
import re
from functools import cache

import pytest

from tests.browser.test_sampler import search_for
from tests.browser.trying import Form

INDEX, ENGINE = 200_000, 260_000  # gzipped bytes


@cache
def gzipped_size(path):
    """Bytes of a file on its way; every page brings the same few."""
    return len(gzip.compress(path.read_bytes(), 9))


def weighed(seen, site):
    """Gathers gzipped bytes by address as files arrive."""
    arrived = {}

    def note(response):
        if response.url.startswith(seen.address) and response.status == 200:
            name = response.url.removeprefix(seen.address).split("?")[0]
            arrived[name] = gzipped_size(site / name)

    seen.page.context.on("response", note)
    return arrived


@pytest.mark.parametrize("address", ["sizing.html", "sizing.html?h=annulus"])
def test_the_search_comes_when_it_is_wanted_and_not_before(visit, handbook, built_site, address):
    with visit(handbook, "phone-light") as seen:
        arrived = weighed(seen, built_site)
        seen.open(address)
        seen.page.wait_for_timeout(500)
        sought = [name for name in arrived if name.startswith("search/")]
        if "?h=" in address:
            seen.page.locator("article mark", has_text="annulus").first.wait_for()  # where a hit led to, its words are marked
        else:
            assert sought == [] and not any("workers/" in name for name in arrived)
        search_for(seen, "annulus")
        seen.page.locator(".md-search-result__link").first.wait_for()
        assert [size <= INDEX for name, size in arrived.items() if name.startswith("search/")] == [True]


def test_the_search_index_is_small_enough_for_a_phone(built_site):
    for name in ("search_index.json", "search_index.js"):
        assert len(gzip.compress((built_site / "search" / name).read_bytes(), 9)) <= INDEX


def offered(site):
    """(page, offer) of every block with empty fields, and the manifest of the engine's folder."""
    offers = [(path.relative_to(site).as_posix(), json.loads(html.unescape(text))) for path in sorted(site.rglob("*.html"))
              for text in re.findall(r"data-try='([^']*)'", path.read_text(encoding="utf-8"))]
    manifest, = (site / "assets").glob("*/manifest.json")
    return offers, manifest.parent, json.loads(manifest.read_text(encoding="utf-8"))


def files_for(offer, manifest):
    """Names of every file that the engine loads to answer one block."""
    names = {"micropython.js", "micropython.wasm", "worker.js", "load.js", "manifest.json", "core.json"}
    waiting = [name for name in offer["from"] if name not in manifest["files"]]
    names |= set(offer["from"]) - set(waiting)
    while waiting:
        pack = waiting.pop()
        if pack in manifest["packs"]:
            names.add(f"modules/{pack}.json")
            waiting += manifest["packs"][pack]
    return names


def test_the_engine_is_light_for_every_block_of_every_page(built_site):
    offers, folder, manifest = offered(built_site)
    heavy = {}
    for page, offer in offers:
        weight = sum(len(gzip.compress((folder / name).read_bytes(), 9)) for name in files_for(offer, manifest))
        if weight > ENGINE:
            heavy[page, offer.get("formula") or tuple(offer["tables"])] = weight
    assert len(offers) > 100 and heavy == {}


@pytest.mark.parametrize("page, formula", [("index.html", "bernoulli_gradient_mmhg"), ("audit.html", "exact_interval"), ("sizing.html", "balloon_range_mm"),
                                           ("physiology.html", "simulate"), ("assessment.html", "")])
def test_the_engine_is_light_and_comes_once(visit, handbook, built_site, page, formula):
    with visit(handbook, "phone-light") as seen:
        seen.open(page)
        arrived = weighed(seen, built_site)
        form = Form(seen, formula).open().press("Fill in the example")
        used = {name: size for name, size in arrived.items() if name.startswith("assets/")}
        _, folder, manifest = offered(built_site)
        assert {name.removeprefix(f"assets/{folder.name}/") for name in used} == files_for(form.offer, manifest)
        assert sum(used.values()) <= ENGINE, sorted(used.items())
        assert seen.troubles == []

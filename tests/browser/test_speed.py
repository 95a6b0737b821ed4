"""What a page weighs on its way to a phone, and that it asks no other host. How fast it answers: `make bench`."""

import gzip

import pytest

from tests.browser.trying import Form

FIRST_VIEW, INDEX, ENGINE, ENGINE_WITH_PICTURE = 130_000, 200_000, 260_000, 280_000
ENGINE_OWN = ("micropython.js", "micropython.wasm", "worker.js", "load.js", "manifest.json")


def weighed(seen, site):
    """Gathers gzipped bytes by address as files arrive."""
    arrived = {}

    def note(response):
        if response.url.startswith(seen.address) and response.status == 200:
            name = response.url.removeprefix(seen.address).split("?")[0]
            arrived[name] = len(gzip.compress((site / name).read_bytes(), 9))

    seen.page.context.on("response", note)
    return arrived


@pytest.mark.parametrize("path", ["index.html", "drills/index.html", "drills/arrest.html", "plan.html", "indications.html"])
def test_first_view_is_light_and_asks_no_other_host(visit, handbook, built_site, path):
    with visit(handbook, "phone-light", service_workers="block") as seen:
        arrived = weighed(seen, built_site)
        seen.open(path)
        index = [arrived.pop(name) for name in list(arrived) if name.startswith("search/")]
        assert "assets/" in "".join(arrived) and sum(arrived.values()) <= FIRST_VIEW, sorted(arrived.items())
        assert all(size <= INDEX for size in index)
        assert [trouble for trouble in seen.troubles if "outside" in trouble] == []


def test_the_search_index_is_small_enough_for_a_phone(built_site):
    for name in ("search_index.json", "search_index.js"):
        assert len(gzip.compress((built_site / "search" / name).read_bytes(), 9)) <= INDEX


@pytest.mark.parametrize("page, formula, most", [("index.html", "bernoulli_gradient_mmhg", ENGINE), ("audit.html", "exact_interval", ENGINE),
                                                ("sizing.html", "balloon_range_mm", ENGINE_WITH_PICTURE),
                                                ("physiology.html", "simulate", ENGINE_WITH_PICTURE), ("assessment.html", "", ENGINE_WITH_PICTURE)])
def test_the_engine_is_light_and_comes_once(visit, handbook, built_site, page, formula, most):
    with visit(handbook, "phone-light", service_workers="block") as seen:
        seen.open(page)
        arrived = weighed(seen, built_site)
        Form(seen, formula).open().press("Fill in the example")
        used = {name: size for name, size in arrived.items() if name.startswith("assets/")}
        assert any(name.endswith("micropython.wasm") for name in used)
        assert sum(used.values()) <= most, sorted(used.items())
        own = [size for name, size in used.items() if name.endswith(ENGINE_OWN)]
        assert len(own) == len(ENGINE_OWN) and sum(own) <= ENGINE
        assert [trouble for trouble in seen.troubles if "outside" in trouble] == []

"""What a page sends the engine for: with that and nothing else, every block answers its own example."""

import html
import json
import re

import pytest

from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine import needs
from pvcalc.handbook.publish import assets
from pvcalc.page import bridge


@pytest.fixture(scope="module")
def files(loaded):
    return assets.files(loaded)


@pytest.fixture
def only():
    """A function that gives the engine's door these data and no others; what it knew comes back afterwards."""
    before = dict(bridge.DATA)

    def given(texts):
        bridge.start([], "{}")
        for text in texts:
            bridge.add([], text.decode())
    yield given
    bridge.DATA.clear()
    bridge.DATA.update(before)


def test_every_block_answers_with_what_its_page_sends_for(built_site, files, only):
    catalogue.load()
    asked = 0
    for page in sorted(built_site.rglob("*.html")):
        for text in re.findall(r"data-try='([^']*)'", page.read_text(encoding="utf-8")):
            offer = json.loads(html.unescape(text))
            only(files[name] for name in offer["from"] if name in files)
            request = {"op": "block", "given": offer["example"], "settings": offer["settings"], "window": offer.get("window"),
                       "place": "try", **({"tables": offer["tables"]} if "tables" in offer
                                          else {"formula": offer["formula"], "figure": offer["figure"] or None})}
            answer = json.loads(bridge.reply(json.dumps(request)))
            asked += 1
            assert answer["ok"] or "tables" in offer and offer["example"] == {}, (page.name, offer.get("tables"), answer)
            assert not [words for _, words in answer.get("faults", []) if "setting" in words], (page.name, answer)
    assert asked > 100


def test_what_a_request_names_comes_in_a_file_of_that_name_with_all_it_needs(loaded, files):
    """The worker fetches the file called like the module, then those that the manifest lists; Python finds the rest in them."""
    packs = json.loads(files["manifest.json"])["packs"]
    direct = needs.imports(catalogue.shared_files())
    held = {name: {catalogue.module_of(path) for path, _ in json.loads(files[f"modules/{name}.json"])} for name in packs}
    core = {catalogue.module_of(path) for path, _ in json.loads(files["core.json"])}
    assert needs.asked_for(loaded) - core <= set(packs)
    for name in needs.asked_for(loaded) - core:
        come = core.union(*(held[pack] for pack in needs.closure({pack: set(others) for pack, others in packs.items()}, name)))
        assert needs.closure(direct, name) <= come, name


def test_a_pack_names_no_other_that_comes_along_anyway():
    direct = {"a": {"b", "c"}, "b": {"c"}, "c": set()}
    assert needs.reduced(direct) == {"a": {"b"}, "b": {"c"}, "c": set()}
    packs = needs.packed({**direct, "d": {"c"}}, {"c"}, {"a", "d"})
    assert packs == {"a": "a", "b": "a", "d": "d"} and needs.leaning({**direct, "d": {"b"}}, packs) == {"a": [], "d": ["a"]}

"""The theme's search finds every word of the handbook, and the mends fail loudly when the theme changes."""

import json
import random
import subprocess
from pathlib import Path

import material
import pytest

from pvcalc.handbook.engine.process import node
from pvcalc.handbook.publish import theme_patches

THEIRS = Path(material.__file__).parent / "templates" / "assets" / "javascripts"

# Loads the theme's worker the way a browser does and asks for every word of the tree that the index cannot answer.
UNANSWERED = """
import fs from "fs"; import vm from "vm";
const [worker, index] = process.argv.slice(1);
let answer;
const world = {console, addEventListener: (kind, act) => { answer = act; }, postMessage: () => world.ready()};
world.self = world;
const made = new Promise((resolve) => { world.ready = resolve; });
const source = fs.readFileSync(worker, "utf8").replace("de=new U(t.data)", "self.made=de=new U(t.data)");
vm.runInContext(source, vm.createContext(world));
answer({data: {type: 0, data: {...JSON.parse(fs.readFileSync(index, "utf8")), options: {suggest: true}}}});
await made;
const {tokenSet, invertedIndex} = world.made.index;
const words = tokenSet.toArray();
console.log(JSON.stringify({words: words.length, listed: Object.keys(invertedIndex).length,
  unanswered: words.filter((word) => !(word in invertedIndex))}));
"""


def unanswered(worker, index):
    """What the worker's word tree holds: number of words, number listed, words it would stumble over."""
    done = subprocess.run([node(), "--input-type=module", "-e", UNANSWERED, str(worker), str(index)],
                          capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


@pytest.fixture
def copied_site(tmp_path):
    """A site folder with the theme's own worker."""
    workers = tmp_path / "assets" / "javascripts" / "workers"
    workers.mkdir(parents=True)
    (tmp_path / "assets" / "stylesheets").mkdir()
    original, = THEIRS.glob("workers/search.*.js")
    (workers / original.name).write_bytes(original.read_bytes())
    bundle, = THEIRS.glob("bundle.*.js")
    (workers.parent / bundle.name).write_bytes(bundle.read_bytes())
    return tmp_path, workers / original.name


def index_of(path, words):
    """A search index that holds these words."""
    config = {"lang": ["en"], "separator": r"[\s\-]+", "pipeline": [], "fields": {"title": {"boost": 1}, "text": {"boost": 1}, "tags": {"boost": 1}}}
    path.write_text(json.dumps({"config": config, "docs": [{"location": "a.html", "title": "a", "text": words}]}), encoding="utf-8")
    return path


def test_words_with_digits_are_found_after_the_mend_and_were_not_before(copied_site, tmp_path):
    site, worker = copied_site
    # Numbers enough for the glued names of two nodes to collide.
    chance = random.Random(0)
    index = index_of(tmp_path / "index.json", " ".join("".join(chance.choices("0123456789", k=chance.randint(3, 9)))
                                                       for _ in range(8000)))
    before = unanswered(worker, index)
    theme_patches.mend(site)
    after = unanswered(worker, index)
    assert before["unanswered"] != [] or before["words"] != before["listed"]
    assert after["unanswered"] == []
    assert after["words"] == after["listed"]


def test_a_second_mend_of_the_same_site_changes_nothing(copied_site):
    site, worker = copied_site
    theme_patches.mend(site)
    scripts = sorted(site.rglob("*.js"))
    once = [path.read_bytes() for path in scripts]
    theme_patches.mend(site)
    assert worker in scripts and [path.read_bytes() for path in scripts] == once


def test_a_changed_worker_stops_the_build(copied_site):
    site, worker = copied_site
    worker.write_text(worker.read_text(encoding="utf-8").replace(next(iter(theme_patches.WORKER)), "other"), encoding="utf-8")
    with pytest.raises(theme_patches.ThemeChanged, match="“e=e.s.o.id}return e}” changed"):
        theme_patches.mend(site)


@pytest.mark.parametrize("text", list(theme_patches.AT_ONCE))
def test_a_changed_bundle_stops_the_build(copied_site, text):
    site, worker = copied_site
    bundle, = worker.parent.parent.glob("bundle.*.js")
    bundle.write_text(bundle.read_text(encoding="utf-8").replace(text, "other"), encoding="utf-8")
    with pytest.raises(theme_patches.ThemeChanged, match="changed; see"):
        theme_patches.mend(site)


def test_a_missing_worker_stops_the_build(copied_site):
    site, worker = copied_site
    worker.unlink()
    with pytest.raises(theme_patches.ThemeChanged, match="ships 0 scripts named workers/search"):
        theme_patches.mend(site)


def test_source_maps_and_their_addresses_go(copied_site):
    site, worker = copied_site
    (worker.parent / (worker.name + ".map")).write_text("{}")
    style = site / "assets" / "stylesheets" / "main.css"
    style.write_text("a{}\n/*# sourceMappingURL=main.css.map */")
    (site / "assets" / "stylesheets" / "main.css.map").write_text("{}")
    theme_patches.mend(site)
    assert list(site.rglob("*.map")) == []
    assert "sourceMappingURL" not in worker.read_text(encoding="utf-8")
    assert style.read_text() == "a{}"


def test_cells_and_terms_are_parted():
    html = "<tr><td>600</td><td>5</td></tr><dl><div><dt>annulus</dt><dd>18.4 mm</dd></div></dl><p>a<em>b</em></p>"
    spaced = theme_patches.spaced(html)
    assert spaced.split() == ["<tr><td>600</td>", "<td>5</td>", "</tr>", "<dl><div><dt>annulus</dt>", "<dd>18.4", "mm</dd>",
                              "</div>", "</dl><p>a<em>b</em></p>"]


@pytest.mark.site
def test_search_of_the_handbook_stumbles_over_no_word(built_site):
    worker, = (built_site / "assets" / "javascripts" / "workers").glob("search.*.js")
    found = unanswered(worker, built_site / "search" / "search_index.json")
    assert found["unanswered"] == []
    assert found["words"] == found["listed"] > 500

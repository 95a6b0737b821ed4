"""The built site as files: nothing left raw, every link and anchor alive, one commit one site, and builds that must stop."""

import filecmp
import json
import os
import re
import shutil
import subprocess
import sys
from html import escape
from html.parser import HTMLParser

import pytest
import yaml

RAW = re.compile(r"\[@\w|\[=\w|```(?:formula|table|printed|picture|series|settings|generated)|wzxhzdk|\bNaN\b|\bundefined\b")


class Page(HTMLParser):
    """Text outside code, identifiers, links and attributes of one built page."""

    def __init__(self, text):
        super().__init__()
        self.ids, self.links, self.text, self.styles, self.scripts, self.outside = set(), [], [], [], [], []
        self.quiet = 0
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.quiet += tag in ("code", "pre", "script", "style")
        if "id" in given:
            self.ids.add(given["id"])
        if tag == "a" and given.get("href"):
            self.links.append(given["href"])
        if "style" in given or tag == "style":
            self.styles.append(self.getpos()[0])
        if tag == "script" and "src" not in given and given.get("type") != "application/json":
            self.scripts.append(self.getpos()[0])
        for name in ("src", "href", "action"):
            if re.match(r"(?:https?:)?//", given.get(name) or "") and tag != "a":
                self.outside.append(given[name])

    def handle_endtag(self, tag):
        self.quiet -= tag in ("code", "pre", "script", "style")

    def handle_data(self, data):
        if not self.quiet:
            self.text.append(data)


@pytest.fixture(scope="module")
def site_pages(built_site):
    return {path.relative_to(built_site).as_posix(): Page(path.read_text(encoding="utf-8"))
            for path in sorted(built_site.rglob("*.html"))}


def test_nothing_is_left_raw_on_a_page(site_pages):
    found = {name: match[0] for name, page in site_pages.items() if (match := RAW.search(" ".join(page.text)))}
    assert found == {}


def test_nothing_is_left_raw_in_the_search_index(built_site):
    index = json.loads((built_site / "search" / "search_index.json").read_text(encoding="utf-8"))
    assert len(index["docs"]) > 50
    found = [doc["location"] for doc in index["docs"] if RAW.search(re.sub(r"<code>.*?</code>", " ", doc["text"]))]
    assert found == []


def test_every_link_and_anchor_leads_somewhere(built_site, site_pages):
    dead = []
    for name, page in site_pages.items():
        if name == "404.html":  # its links are absolute: it may be served from any depth
            continue
        for link in page.links:
            target, _, anchor = link.partition("#")
            if re.match(r"[a-z]+:", link):
                continue
            path = os.path.normpath(os.path.join(os.path.dirname(name), target)) if target else name
            if path not in site_pages and not (built_site / path).is_file():
                dead.append((name, link))
            elif anchor and path in site_pages and anchor not in site_pages[path].ids:
                dead.append((name, link))
    assert dead == []


def test_no_page_carries_what_the_policy_forbids(site_pages):
    assert {name: page.styles for name, page in site_pages.items() if page.styles} == {}
    assert {name: page.scripts for name, page in site_pages.items() if page.scripts} == {}


def test_no_page_asks_another_host_for_anything(site_pages):
    assert {name: page.outside for name, page in site_pages.items() if page.outside} == {}


def test_every_page_is_for_trained_clinicians_and_says_so(site_pages):
    for name, page in site_pages.items():
        text = " ".join(" ".join(page.text).split())
        for words in ("For trained clinicians", "not a medical device", "label of the device in"):
            assert words in text, f"{name} does not say “{words}”"


def test_the_engine_lies_beside_the_pages_it_was_built_with(built_site, site_pages):
    builds = {match[1] for path in built_site.rglob("*.html")
              if (match := re.search(r'name="handbook-build" content="(\w+)"', path.read_text(encoding="utf-8")))}
    assert len(builds) == 1
    folder = built_site / "assets" / builds.pop()
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    import hashlib
    for name, digest in manifest["files"].items():
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest().startswith(digest) and len(digest) == 12
    from pvcalc.handbook.engine.sent import sent_files
    served = dict(json.loads((folder / "core.json").read_text(encoding="utf-8")))
    for path in (folder / "modules").iterdir():
        served |= dict(json.loads(path.read_text(encoding="utf-8")))
    assert served == dict(sent_files())


def build(folder, into):
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": "1700000000"}
    return subprocess.run([sys.executable, "-m", "mkdocs", "build", "--strict", "-d", str(into)], cwd=folder,
                          env=environment, capture_output=True, text=True)


@pytest.fixture
def small(root, tmp_path):
    """A handbook of two pages with the real data and looks, to break on purpose."""
    folder = tmp_path / "small"
    for name in ("_data", "_record"):
        shutil.copytree(root / "kb" / name, folder / "kb" / name)
    (folder / "kb" / "_data" / "readings.yml").write_text("{}\n", encoding="utf-8")  # they name chapters, which are not here
    shutil.copytree(root / "site_overrides", folder / "site_overrides")
    (folder / "pvcalc").symlink_to(root / "pvcalc")
    text = re.sub(r"(?ms)^nav:.*?(?=^\S)", "nav:\n  - index.md\n  - other.md\n", (root / "mkdocs.yml").read_text(encoding="utf-8"), count=1)
    (folder / "mkdocs.yml").write_text(text, encoding="utf-8")
    (folder / "kb" / "index.md").write_text("# Start\n\n## Cautions\n\nSee [the other](other.md).\n", encoding="utf-8")
    (folder / "kb" / "other.md").write_text("# Other\n\nAim for [=target_low_ratio].\n", encoding="utf-8")
    return folder


def test_two_builds_of_one_commit_are_the_same_byte_for_byte(small, tmp_path):
    for name in ("one", "two"):
        done = build(small, tmp_path / name)
        assert done.returncode == 0, done.stderr[-3000:]
    files = sorted(path.relative_to(tmp_path / "one") for path in (tmp_path / "one").rglob("*") if path.is_file())
    assert files == sorted(path.relative_to(tmp_path / "two") for path in (tmp_path / "two").rglob("*") if path.is_file())
    _, differ, odd = filecmp.cmpfiles(tmp_path / "one", tmp_path / "two", [str(name) for name in files], shallow=False)
    assert (differ, odd) == ([], [])


@pytest.mark.parametrize(("page", "words"), [
    ("# Other\n\nText.\n\n```formula\nname: no_such_formula\n```\n", ["kb/other.md:6: no formula is called `no_such_formula`"]),
    ("---\ntitle: T\n---\n# Other\n\nA gap of 5 mm.\n", ["kb/other.md:6: bare number"]),
    ("# Other\n\nSee [nothing](nowhere.md) and [no heading](index.md#nowhere).\n", ["nowhere.md", "#nowhere"]),
])
def test_a_faulty_page_stops_the_build_and_names_the_line(small, tmp_path, page, words):
    (small / "kb" / "other.md").write_text(page, encoding="utf-8")
    done = build(small, tmp_path / "site")
    assert done.returncode != 0
    for word in words:
        assert word in done.stderr


def test_a_page_missing_from_nav_stops_the_build(small, tmp_path):
    (small / "kb" / "forgotten.md").write_text("# Forgotten\n", encoding="utf-8")
    done = build(small, tmp_path / "site")
    assert done.returncode != 0 and "forgotten.md" in done.stderr


def test_the_extension_works_without_mkdocs(root):
    import markdown
    html = markdown.markdown("Aim for [=target_low_ratio].\n\n```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 16\n```\n",
                             extensions=["pvcalc.handbook.authoring.extension"], extension_configs={"pvcalc.handbook.authoring.extension": {"root": str(root)}})
    assert '<output translate="no">1.25</output>' in html and ">1.20<" in html


def test_every_chapter_in_kb_is_in_nav_once(root):
    text = (root / "mkdocs.yml").read_text(encoding="utf-8")
    nav = yaml.safe_load(re.search(r"(?ms)^nav:.*?(?=^\S)", text)[0])["nav"]

    def walk(node):
        if isinstance(node, str):
            yield node
        for child in (node.values() if isinstance(node, dict) else node if isinstance(node, list) else []):
            yield from walk(child)

    listed = list(walk(nav))
    on_disk = {path.relative_to(root / "kb").as_posix() for path in (root / "kb").rglob("*.md")}
    assert len(listed) == len(set(listed)) and set(listed) == on_disk


def test_a_fold_lists_what_stands_beside_the_documents_and_what_nobody_saw_carries_no_seal(built_site, loaded):
    html = (built_site / "indications.html").read_text(encoding="utf-8")
    unseen = re.findall(r'<tr[^>]*class="answer--not_seen"[^>]*>(.*?)</tr>', html, re.DOTALL)
    seen = re.findall(r'<tr[^>]*class="answer--yes"[^>]*>(.*?)</tr>', html, re.DOTALL)
    assert unseen and seen and not any("mark--" in row for row in unseen) and all("mark--" in row for row in seen)
    folds = re.findall(r'<details class="documents__beside"><summary>Beside these documents \((\d+)\)</summary>(.*?)</details>', html, re.DOTALL)
    assert folds and all(int(count) == body.count("<li>") > 0 for count, body in folds)
    told = " ".join(body for _, body in folds)
    for name in ("treat_aha_2018", "treat_vhd_2006"):
        for text in loaded.tables[name]["beside"]:
            assert escape(f"{loaded.tables[name]['document']}: {text}") in told

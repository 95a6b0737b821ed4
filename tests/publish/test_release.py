"""The release without a browser: which numbers moved, the zip's bytes, and a page made ready for the bound book."""

import hashlib
import subprocess
import zipfile

import pytest

from pvcalc.handbook.publish import book_parts, release

BEFORE = ["sizing | formula | area | d_mm=10 | 78.5", "sizing | formula | gone | d_mm=1 | 2", "sizing | setting | ratio |  | 1.2"]
AFTER = ["sizing | formula | area | d_mm=10 | 78.6", "sizing | formula | new | d_mm=1 | 3", "sizing | setting | ratio |  | 1.2"]


def test_difference_tells_what_changed_went_and_came():
    first, _, *rest = release.difference(BEFORE, AFTER, "release-1").splitlines()
    assert first.startswith("Numbers since release-1: 1 changed, 1 went, 1 came; ledger ")
    assert rest == ["changed  sizing | formula | area | d_mm=10: 78.5 -> 78.6", "went     sizing | formula | gone | d_mm=1: 2",
                    "came     sizing | formula | new | d_mm=1: 3"]


def test_ledger_is_compared_with_the_last_tagged_release(tmp_path):
    def git(*arguments):
        subprocess.run(["git", "-c", "user.name=a", "-c", "user.email=a@example.org", *arguments], cwd=tmp_path, check=True, capture_output=True)
    ledger = tmp_path / "kb" / "_record" / "ledger.txt"
    ledger.parent.mkdir(parents=True)
    git("init", "-q")
    for lines, tag in ((BEFORE, "release-1"), (AFTER, "release-2")):
        ledger.write_text("\n".join(lines) + "\n", encoding="utf-8")
        git("add", "."), git("commit", "-qm", tag)
        if tag == "release-1":
            assert release.ledger_difference(tmp_path).startswith("First release: 3 numbers")
        git("tag", tag)
    assert "since release-1: 1 changed" in release.ledger_difference(tmp_path)
    ledger.write_text("\n".join(BEFORE) + "\n", encoding="utf-8")
    git("commit", "-qam", "back")
    assert "since release-2: 1 changed" in release.ledger_difference(tmp_path)


@pytest.fixture
def site(tmp_path):
    folder = tmp_path / "site"
    (folder / "js").mkdir(parents=True)
    (folder / "index.html").write_text("<p>Start</p>", encoding="utf-8")
    (folder / "js" / "a.js").write_text("1", encoding="utf-8")
    return folder


def test_zip_is_the_same_bytes_sorted_dated_and_checked(site, tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        release.pack(site, {"READ-ME-FIRST.txt": b"open"}, tmp_path / name / "handbook-1.zip", 1_700_000_000)
        (site / "js" / "a.js").touch()  # a file's own time is not the edition's
    one, two = ((tmp_path / name / "handbook-1.zip").read_bytes() for name in ("one", "two"))
    assert one == two
    with zipfile.ZipFile(tmp_path / "one" / "handbook-1.zip") as made:
        names = made.namelist()
        assert names == sorted(names) and "handbook-1/index.html" in names
        assert {entry.date_time for entry in made.infolist()} == {(2023, 11, 14, 22, 13, 20)}
        for line in made.read("handbook-1/SHA256SUMS").decode().splitlines():
            digest, name = line.split("  ")
            assert hashlib.sha256(made.read(f"handbook-1/{name}")).hexdigest() == digest
        assert len(made.read("handbook-1/SHA256SUMS").decode().splitlines()) == len(names) - 1


PAGE = """<html><body><nav><a href="x.html">nav</a></nav><article class="a"><h1 id="tear">Tear<a class="headerlink" href="#tear">§</a></h1>
<h2 id="now">Act &amp; call</h2><p>See <a href="../sizing.html#which">size</a>, <a href="#now">above</a>, <a href="../data.json">data</a>,
<a href="https://example.org/x">outside</a>, <a href="../sizing.html">all</a>.</p><details><summary>More</summary><p>in</p></details>
<div class="try" data-try="{}"><button>Try</button></div><script>no()</script>
<svg aria-labelledby="t d" viewBox="0 0 1 1"><title id="t">T</title><desc id="d">D</desc><pattern id="h"></pattern><path fill="url(#h)"/></svg>
<math><mi>x</mi></math><input type="text"></article><footer>foot</footer></body></html>"""


def test_page_is_made_ready_for_the_book():
    part = book_parts.article(PAGE, "drills/tear.html", "Tear", {"drills/tear.html", "sizing.html"})
    html = part.html
    assert part.anchor == "page-drills-tear"
    assert part.headings == [("page-drills-tear--now", "Act & call")]
    for kept in ('<h2 id="page-drills-tear--tear">Tear</h2>', '<a href="#page-sizing--which">size</a>', '<a href="#page-drills-tear--now">above</a>',
                 "<a>data</a>", '<a href="https://example.org/x">outside</a>', '<a href="#page-sizing">all</a>', "<details open>",
                 'aria-labelledby="page-drills-tear--t page-drills-tear--d"', 'fill="url(#page-drills-tear--h)"', "<math><mi>x</mi></math>"):
        assert kept in html, kept
    for dropped in ("§", "nav", "foot", "Try", "no()"):
        assert dropped not in html, dropped


def test_page_without_an_article_is_refused():
    with pytest.raises(ValueError, match="x.html: there is no article"):
        book_parts.article("<p>none</p>", "x.html", "X", set())


def test_hosting_page_shows_the_configuration_that_is_tested(root):
    shown = (root / "kb" / "reference" / "hosting.md").read_text(encoding="utf-8").split("```nginx\n")[1].split("```")[0]
    assert shown == (root / "pvcalc" / "handbook" / "publish" / "hosting" / "nginx.conf").read_text(encoding="utf-8")

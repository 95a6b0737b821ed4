"""The pinned theme is the one the overrides were made for, and the built pages keep the site's policy."""

import hashlib
import re
from html.parser import HTMLParser
from pathlib import Path

import material
import pytest

from pvcalc.handbook.engine.process import PACKAGES

ROOT = Path(__file__).parents[2]
OURS = ROOT / "site_overrides"
THEIRS = Path(material.__file__).parent / "templates"

# What each override was written against. When one differs after an upgrade: read what the theme changed,
# carry it over into site_overrides/, then put the new digest here.
ORIGINALS = {
    "base.html": "a919e32d2225e09ecbdeb8076ca6ce9ca0836329760bf7871a04172569b77842",
    "main.html": "9948b55a7bc979c35825df99baba9e6971fca4eb298dea3cdde61e990a2de5e0",
    "partials/header.html": "8cf3fb15bcf969ff596649616fd99366b3c31c08d57a86d05308efc16d8fa75f",
    "partials/javascripts/base.html": "d6113712bc4deb30b4bd810ee0dfc28b6f04d2f88cc0016c0f1766eac7b762b6",
    "partials/javascripts/content.html": "3722e156f0f6339de39fbbfc178b6e401d1a4fb890f189ac5b80c2504bda7dcf",
    "partials/javascripts/palette.html": "8790389765ea6036effddba548b15093bb05bdc75624eaeaf8b13f3c24be4ab5",
    "partials/search.html": "bfd556535abcddb99396ab2a7e3acc2ebcd3f36756007d3969396caa4126be30",
}
# base.html is extended, not replaced; its blocks, scripts and order are still relied upon.
EXTENDED = ["main.html", "base.html"]

# (text, ground, least contrast): WCAG 2.2 asks 4.5 of text and 3 of the edges of controls and of the focus mark.
CONTRASTS = [
    *[(ink, ground, 4.5) for ink in ("ink", "quiet", "link", "link-hover", "code", "good-ink", "stop-ink", "caution-ink",
                                     "syntax-a", "syntax-b", "syntax-c", "syntax-d") for ground in ("paper", "panel")],
    ("bar-ink", "bar", 4.5), ("caution-ink", "caution-ground", 4.5), ("stop-ink", "stop-ground", 4.5),
    ("good-ink", "good-ground", 4.5), ("ink", "mark-ground", 4.5),
    *[(edge, ground, 3) for edge in ("edge", "focus", "caution-edge", "stop-edge", "good-edge") for ground in ("paper", "panel")],
]


@pytest.mark.parametrize("name", sorted(ORIGINALS))
def test_override_was_made_for_the_installed_theme(name):
    digest = hashlib.sha256((THEIRS / name).read_bytes()).hexdigest()
    assert digest == ORIGINALS[name], f"the theme's {name} changed: read what is new, carry it over, then note {digest}"


def test_every_override_is_watched():
    replaced = {path.relative_to(OURS).as_posix() for path in OURS.rglob("*.html")}
    replaced = {name for name in replaced if (THEIRS / name).exists()}
    assert replaced | set(EXTENDED) == set(ORIGINALS)


def test_theme_still_has_the_scripts_in_pages_that_the_overrides_remove():
    """The day the theme ships them as files, the overrides can go."""
    inline = {path.relative_to(THEIRS).as_posix() for path in (THEIRS / "partials" / "javascripts").glob("*.html")
              if "<script>" in path.read_text(encoding="utf-8")}
    assert {"partials/javascripts/base.html", "partials/javascripts/palette.html", "partials/javascripts/content.html"} <= inline


def test_worker_shim_is_the_one_in_the_lock():
    package = PACKAGES / "iframe-worker"
    assert (OURS / "js" / "iframe-worker.js").read_bytes() == (package / "shim" / "index.js").read_bytes()
    assert (OURS / "js" / "iframe-worker.LICENSE.txt").read_bytes() == (package / "LICENSE").read_bytes()


def _colours(scheme):
    css = (OURS / "css" / "tokens.css").read_text(encoding="utf-8")
    block = re.search(rf'\[data-md-color-scheme="{scheme}"\] \{{(.*?)\}}', css, re.S)[1]
    return dict(re.findall(r"--hb-([\w-]+): (#[0-9a-f]{6});", block))


def _luminance(colour):
    channels = [int(colour[place:place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = [value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in channels]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one, other):
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula_knows_black_on_white():
    """The two ends that WCAG itself states: 21 to 1 for black on white, 1 to 1 for a colour on itself."""
    assert round(_contrast("#000000", "#ffffff"), 9) == 21
    assert _contrast("#24463d", "#24463d") == 1


@pytest.mark.parametrize("scheme", ["default", "slate"])
def test_colours_have_contrast(scheme):
    colours = _colours(scheme)
    weak = [f"{ink} on {ground}: {_contrast(colours[ink], colours[ground]):.2f}, wanted {least}"
            for ink, ground, least in CONTRASTS if not _contrast(colours[ink], colours[ground]) >= least]
    assert weak == []


def test_both_schemes_name_the_same_colours():
    assert sorted(_colours("default")) == sorted(_colours("slate"))


class Policy(HTMLParser):
    """Notes everything on a page that the policy header forbids."""

    def __init__(self):
        super().__init__()
        self.faults = []

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        for name, value in attributes:
            if name == "style" or name.startswith("on") or (value or "").strip().lower().startswith("javascript:"):
                self._note(tag, name, value)
        if tag == "style" or (tag == "script" and "src" not in given and given.get("type") != "application/json"):
            self._note(tag, "inline", "")
        if tag in ("script", "link", "img", "iframe", "source") and given.get("rel") != "canonical":
            address = given.get("src") or given.get("href") or ""
            if re.match(r"(?:https?:)?//", address):
                self._note(tag, "from elsewhere", address)

    def _note(self, tag, what, value):
        self.faults.append(f"line {self.getpos()[0]}: <{tag}> {what} {value}"[:160])


def policy_faults(html):
    """Everything in a page's source that the policy forbids or that comes from another host."""
    parser = Policy()
    parser.feed(html)
    return parser.faults


@pytest.mark.parametrize("html", [
    '<p style="color:red">x</p>', "<style>p{}</style>", "<script>alert(1)</script>", '<a href="javascript:void(0)">x</a>',
    '<img src="//elsewhere.example/x.png">', '<button onclick="x()">x</button>', '<script src="https://elsewhere.example/x.js"></script>',
])
def test_policy_reader_sees_each_fault(html):
    assert len(policy_faults(html)) == 1


@pytest.mark.site
def test_no_page_holds_what_the_policy_forbids(built_site):
    pages = sorted(built_site.rglob("*.html"))
    faults = [f"{path.relative_to(built_site)}: {fault}" for path in pages for fault in policy_faults(path.read_text(encoding="utf-8"))]
    assert len(pages) > 5
    assert faults == []


@pytest.mark.site
def test_nothing_but_looks_is_published_from_the_theme_folder(built_site):
    endings = {path.suffix for folder in ("css", "js", "fonts", "icons") for path in (built_site / folder).rglob("*") if path.is_file()}
    assert endings <= {".css", ".js", ".woff2", ".svg", ".png", ".txt"}
    assert not list(built_site.rglob("*.md")) and not list(built_site.rglob("*.yml"))


@pytest.mark.site
def test_every_page_carries_cautions_edition_and_owner(built_site):
    for path in built_site.rglob("*.html"):
        html = path.read_text(encoding="utf-8")
        for words in ("For trained clinicians", "not a medical device", "label of the device in your hand", "Doses are figures as reported",
                      "State", "Answers for it", "Next review", "Found a fault?", "A printed or saved copy is not controlled", 'data-banner="overdue"'):
            assert words in html, f"{path.relative_to(built_site)} lacks “{words}”"

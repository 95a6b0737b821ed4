"""What is left out of style sheets, scripts and pages on their way to a reader, and what never is."""

import re

import pytest

from pvcalc.handbook.publish import minify

NAMES = {"a", "p", "box", "box__title", "js", "data-open", "yes", "dir", "ltr"}


@pytest.mark.parametrize("css, kept", [
    (".box{x:1}", ".box{x:1}"), (".tabs{x:1}", ""), (".box,.tabs{x:1}", ".box{x:1}"), (".box .tabs{x:1}", ""),
    ("[data-open=yes] .box{x:1}", "[data-open=yes] .box{x:1}"), ('[data-open="no"] .box{x:1}', ""), ("[data-shut] a{x:1}", ""),
    # What is asked not to be there, or to be one of several, is no reason to leave a rule out.
    (".box:not(.tabs):hover::after{x:1}", ".box:not(.tabs):hover::after{x:1}"), (".box:is(.tabs,p){x:1}", ".box:is(.tabs,p){x:1}"),
    ("[dir=rtl] .box{x:1}", ""), ("[dir=ltr] .box{x:1}", "[dir=ltr] .box{x:1}"), ("*,:root{x:1}", "*,:root{x:1}"),
    ("@media print{.tabs{x:1}.box{x:1}}", "@media print{.box{x:1}}"), ("@media print{.tabs{x:1}}", ""),
    ("@font-face{x:1}", "@font-face{x:1}"), ('@charset "UTF-8";a{x:1}', '@charset "UTF-8";a{x:1}'),
    ('.box{x:"};{"}.tabs{x:1}', '.box{x:"};{"}'), (".box{x:url(data:a;b,{})}.tabs{x:1}", ".box{x:url(data:a;b,{})}"),
    ("/* .tabs{ */.box{x:1}", ".box{x:1}")])
def test_a_rule_stays_when_something_can_meet_it(css, kept):
    assert minify.met(css, NAMES) == kept


@pytest.mark.parametrize("css", [".box{x:1", ".box{x:(1}", ".box{x:1}}"])
def test_a_style_sheet_that_is_not_understood_stops_the_build(css):
    with pytest.raises(minify.StyleChanged):
        minify.met(css, NAMES)


def test_a_property_goes_when_nothing_uses_it():
    css = ':root{--a:url("data:x;y}");--b:1px;x:1}a{--c:(1;2)}@media print{a{--a:2}}'
    assert minify.without(css, {"--b"}) == ":root{--b:1px;x:1}"
    assert minify.without(css, {"--a", "--b", "--c"}) == css


def test_own_style_sheets_lose_remarks_and_blanks_and_nothing_else():
    css = '/* why */\na  b ,\n.c > d {\n  x: 1px  2px;\n  content: "a  /* b; }";\n}\n@media (width < 3em) { a { y: calc(1px + 2px); } }\n'
    assert minify.packed(css) == 'a b,.c > d{x: 1px 2px;content: "a  /* b; }"}@media (width < 3em){a{y: calc(1px + 2px)}}\n'


def test_scripts_lose_whole_lines_of_remarks_only():
    script = '/* one\n   two */\n"use strict";\n  // three\n  a("/* b */"); // four\n  const c = `d /* e */`;\n'
    assert minify.plain_lines(script) == '"use strict";\n  a("/* b */"); // four\n  const c = `d /* e */`;\n'


def test_preformatted_text_keeps_its_lines():
    page = "<p>a\n\n   b</p>\n  <pre>c\n\n   d</pre>  \n\n<textarea>\n e</textarea>"
    assert minify.unspaced(page) == "<p>a\nb</p>\n<pre>c\n\n   d</pre>\n<textarea>\n e</textarea>"


@pytest.mark.site
def test_no_class_of_a_page_lost_its_theme_rule(built_site, theme_css):
    """Every class of every page that the theme has a plain rule for still has it."""
    sent = "".join(path.read_text(encoding="utf-8") for path in (built_site / "assets" / "stylesheets").glob("*.css"))
    classes = {name for path in built_site.rglob("*.html") for value in re.findall(r'class="([^"]*)"', path.read_text(encoding="utf-8"))
               for name in value.split()}
    looked_at = {name for name in classes if f"}}.{name}{{" in theme_css}
    assert len(looked_at) > 20
    assert {name for name in looked_at if f".{name}{{" not in sent} == set()


@pytest.fixture(scope="module")
def theme_css():
    """The theme's style sheets as they are installed."""
    from pathlib import Path

    import material
    return "".join(path.read_text(encoding="utf-8") for path in (Path(material.__file__).parent / "templates" / "assets" / "stylesheets").glob("*.css"))

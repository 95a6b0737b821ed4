"""Every formula's equation as MathML, and malformed ones refused: the converter alone lets them pass."""

from xml.etree import ElementTree

import pytest

from pvcalc.handbook.authoring import mathml
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.publish import mathfont

EQUATIONS = {name: entry.text.latex for name, entry in catalogue.load().items() if entry.text.latex}


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_equation_becomes_mathml_without_anything_raw(name):
    text = "".join(ElementTree.fromstring(mathml.mathml(EQUATIONS[name], True)).itertext())
    assert text and not set("\\${}") & set(text)


@pytest.mark.parametrize("latex", [r"a = \frac{1}", r"a = \nosuch b", r"a = {b", r"\sqrt{}", r"a = b$ with $c = d",
                                   r"\left( a"])
def test_malformed_equation_is_refused(latex):
    with pytest.raises(mathml.MathFault):
        mathml.mathml(latex, True)


@pytest.mark.parametrize("latex, signs", [
    # A one-letter name is drawn in italics (MathML Core), a longer one is not; h has its old place, U+210E.
    ("a", "a𝑎"), (r"\mathrm{ab}", "ab"), ("h", "hℎ"), (r"\theta", "θ𝜃"), (r"\Delta", "Δ𝛥"), (r"\sqrt{2}", "√2"), ("1 - 2", "1−2"),
    (r"\bar{x}", "x𝑥¯")])
def test_font_is_asked_for_every_sign_that_is_drawn(latex, signs):
    assert {chr(code) for code in mathfont.drawn_in("<p>q</p>" + mathml.mathml(latex))} >= set(signs)
    assert ord("q") not in mathfont.drawn_in("<p>q</p>" + mathml.mathml(latex))


@pytest.mark.site
def test_the_published_font_has_every_sign_of_every_page(built_site):
    from fontTools.ttLib import TTFont
    with TTFont(built_site / "fonts" / "math.woff2") as font:
        held = set(font.getBestCmap())
        assert "MATH" in font
    missing = {path.name: {chr(code) for code in mathfont.drawn_in(path.read_text(encoding="utf-8")) - held} for path in built_site.rglob("*.html")}
    assert {name: signs for name, signs in missing.items() if signs} == {}

"""Every formula's equation as MathML, and malformed ones refused: the converter alone lets them pass."""

from xml.etree import ElementTree

import pytest

from pvcalc.handbook import catalogue, mathml

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

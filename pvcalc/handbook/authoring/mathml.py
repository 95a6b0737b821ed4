"""LaTeX to MathML at build time, with the checks that the converter leaves out."""

import re
from functools import lru_cache
from xml.etree import ElementTree

from latex2mathml.converter import convert

CHILDREN = {"mfrac": 2, "msub": 2, "msup": 2, "mroot": 2, "munder": 2, "mover": 2, "msubsup": 3, "munderover": 3}
NAMESPACE = "{http://www.w3.org/1998/Math/MathML}"


class MathFault(ValueError):
    """The LaTeX does not make a whole formula."""


@lru_cache(maxsize=4096)
def mathml(latex: str, display: bool = False) -> str:
    """MathML for one formula.

    Args:
        latex: the formula without its dollar signs; display: True for a formula on its own line.
    Raises: MathFault with what is wrong; the converter itself lets malformed input pass.
    """
    _braces_match(latex)
    if "$" in latex:
        raise MathFault(f"two formulas in one: write a comma and \\quad between them in {latex}")
    try:
        text = convert(latex, display="block" if display else "inline")
        root = ElementTree.fromstring(text)
    except Exception as error:  # the converter raises bare exceptions of many kinds
        raise MathFault(f"not a formula: {latex} ({error})") from error
    for element in root.iter():
        tag = element.tag.replace(NAMESPACE, "")
        if element.text and "\\" in element.text:
            raise MathFault(f"unknown command {element.text.strip()} in {latex}")
        if tag in CHILDREN and len(element) != CHILDREN[tag]:
            raise MathFault(f"{tag} needs {CHILDREN[tag]} parts in {latex}")
        if tag == "msqrt" and not "".join(element.itertext()).strip():
            raise MathFault(f"an empty root in {latex}")
        if "style" in element.attrib:
            raise MathFault(f"a command that sets a style, which the site's policy forbids, in {latex}")
    return text


def _braces_match(latex):
    depth = 0
    for mark in re.findall(r"\\[{}]|[{}]", latex):
        depth += {"{": 1, "}": -1}.get(mark, 0)
        if depth < 0:
            break
    if depth:
        raise MathFault(f"braces do not match in {latex}")
    if latex.count(r"\left") - latex.count(r"\leftarrow") != latex.count(r"\right") - latex.count(r"\rightarrow"):
        raise MathFault(f"\\left and \\right do not pair in {latex}")

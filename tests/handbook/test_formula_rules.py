"""What a formula says of itself: an unknown work, a name under Args that is no input, an example without its place."""

from types import SimpleNamespace

import pytest

from pvcalc.core import formula as core
from pvcalc.handbook.data import formula_rules
from pvcalc.handbook.data import docstrings
from pvcalc.sizing.ratio import balloon_range_mm


def entry(docstring, source="author1900"):
    def thing_mm(*, ring_mm, other_mm):
        return ring_mm + other_mm
    thing_mm.__doc__ = docstring
    made = core.Formula(thing_mm, source, "read", {"ring_mm": core.Limit("number", 1, 2), "other_mm": core.Limit("number", 1, 2)},
                        "", (), (), None, None)
    return SimpleNamespace(formula=made, name=made.name, text=docstrings.parse(docstring))


GOOD = """Thing.

Args:
    ring_mm: of the ring.
    other_mm: of the other.
Source: [@author1900, page 3].
"""


def told(project):
    return [str(one) for one in formula_rules.findings(project)]


def project_of(made):
    return SimpleNamespace(data=SimpleNamespace(sources={"author1900": None, "author1901": None}), formulas={"thing_mm": made})


@pytest.fixture(autouse=True)
def no_examples(monkeypatch):
    monkeypatch.setattr(core, "PRINTED", [])


@pytest.mark.parametrize(("before", "after", "words"), [
    ("ring_mm:", "rnig_mm:", ["no argument is called `rnig_mm`; nearest: `ring_mm`, but Args explains it", "Args does not explain `ring_mm`"]),
    ("    other_mm: of the other.\n", "", ["Args does not explain `other_mm`"]),
    ("@author1900,", "@auhtor1900,", ["no source is called `auhtor1900`; nearest: `author1900`"]),
    ("@author1900, page 3", "@author1900", ["[@author1900] needs a locator"])])
def test_a_docstring_is_held_to_its_formula_and_to_the_sources(before, after, words):
    assert told(project_of(entry(GOOD))) == []
    found = told(project_of(entry(GOOD.replace(before, after))))
    assert len(found) == len(words) and all(word in line for word, line in zip(words, found)), found
    assert all(line.startswith("tests/handbook/test_formula_rules.py:") and ": thing_mm: " in line for line in found)


def test_the_source_of_a_declaration_is_known():
    assert [line.split(": ", 2)[2] for line in told(project_of(entry(GOOD, source="author19")))] == ["no source is called `author19`; nearest: `author1901`"]


@pytest.mark.parametrize(("changed", "words"), [
    ({}, ""), ({"source": "rao2042"}, "no source is called `rao2042`"), ({"locator": ""}, "no locator"),
    ({"source": "", "locator": "", "seen": "read"}, "names the work that prints it"), ({"source": "", "seen": "derived", "kind": "derived"}, "")])
def test_a_printed_example_names_a_work_that_is_there(loaded, monkeypatch, changed, words):
    real = {"source": "rao2024", "locator": "Table 1", "seen": "read", "kind": "published", **changed}
    example = core.Printed(balloon_range_mm, real["source"], real["locator"], "1", real["seen"], "Z-1", real["kind"], "", "", None, 1.0, "", {})
    monkeypatch.setattr(core, "PRINTED", [example])
    found = told(loaded)
    assert len(found) == bool(words) and all(words in line and "Z-1" in line for line in found)


def test_the_line_of_a_wrong_source_is_the_line_of_its_call(loaded, monkeypatch):
    example = next(one for entry in loaded.formulas.values() for one in entry.printed if one.source and one.kind == "published")
    monkeypatch.setattr(core, "PRINTED", [example])
    wanted = loaded.data.sources.pop(example.source)
    try:
        line = next(line for line in told(loaded) if "printed example" in line)
    finally:
        loaded.data.sources[example.source] = wanted
    path, number = line.split(":")[:2]
    text = (formula_rules.HOME / path).read_text(encoding="utf-8").splitlines()[int(number) - 1]
    assert f'"{example.source}"' in text and example.locator in text

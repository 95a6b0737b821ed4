"""Every example that somebody printed: ours agrees with it, or differs for the reason given and still does."""

import math
from collections import Counter

import pytest

from pvcalc.core import formula as core
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.data.docstrings import citations_in

catalogue.load()


def said(example):
    """Name of a test: formula, fact and answer."""
    return "-".join([example.formula.name, example.fact or example.source, example.answer])


@pytest.mark.parametrize("example", core.PRINTED, ids=said)
def test_a_printed_answer_is_reached_or_still_missed(example):
    computed = example.computed()
    assert math.isfinite(computed)
    # Written the other way round than in `agrees`, so that a result that is not a number cannot slip through.
    close = abs(computed - float(example.answer)) <= example.tolerance() * (1 + 1e-9)
    assert close == example.agrees()
    if example.differs:
        assert not close, f"{said(example)} now agrees ({computed}): take `differs` away"
    else:
        assert close, f"printed {example.answer}, computed {computed}"


def test_every_printed_example_says_where_it_comes_from():
    for example in core.PRINTED:
        about = said(example)
        assert example.seen in core.SEEN, about
        assert example.kind in core.KINDS, about
        for fact in example.fact.split():
            assert fact[:2] in {"A-", "B-", "C-", "D-", "E-", "G-", "M-", "O-", "T-"}, f"{about}: a fact carries its letter"
        assert (example.within is None) == (not example.because), f"{about}: a wider tolerance needs its reason, and only it"
        if example.kind in ("published", "other-software"):
            assert example.source, f"{about}: an example from outside names its source"
        else:
            assert example.seen != "read", f"{about}: what was computed here was not read"
        if example.result:
            assert example.result in example.formula.gives, about


def test_a_result_that_is_not_a_number_never_agrees():
    class Hollow:
        gives = None

        def __call__(self, **given):
            return math.nan

    hollow = core.Printed(Hollow(), "", "", "1", "read", "", "published", "", "", None, 1.0, "", {})
    assert not hollow.agrees()


@pytest.mark.parametrize("answer, tolerance", [("64", 0.5), ("6.32", 0.005), ("-1.18", 0.005), ("49.93905977", 5e-9)])
def test_the_tolerance_is_half_the_last_printed_digit(answer, tolerance):
    example = core.Printed(None, "", "", answer, "read", "", "published", "", "", None, 1.0, "", {})
    assert example.tolerance() == pytest.approx(tolerance, rel=1e-12)


def test_every_formula_has_an_example_or_says_that_none_was_found():
    counts = Counter(example.formula.name for example in core.PRINTED)
    bare = []
    for made in core.FORMULAS:
        print(f"{made.name}: {counts[made.name]} printed examples")
        said_so = "no worked example" in " ".join((made.function.__doc__ or "").lower().split())
        if not counts[made.name] and not said_so:
            bare.append(made.name)
    assert not bare, "neither a printed example nor the sentence that none was found"


def test_every_work_a_formula_cites_is_cited_with_the_place_that_was_seen():
    formulas = catalogue.load()
    bare = [(name, key) for name, entry in formulas.items() for words in (entry.text.source, entry.text.valid, entry.text.not_for, *entry.text.cautions)
            for key, locator in citations_in(words) if not locator]
    assert bare == []


def test_no_equation_stands_where_a_page_shows_the_caution():
    taken = [name for name, entry in catalogue.load().items() if entry.text.cautions and entry.text.cautions[0].startswith("$")]
    assert taken == []

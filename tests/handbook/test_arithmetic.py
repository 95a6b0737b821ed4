"""Sums in a sentence: evaluated at the build, from numbers and settings only, and nothing but arithmetic."""

import pytest

from pvcalc.handbook.authoring import arithmetic, extension
from pvcalc.handbook.data.findings import AuthorFaults

NAMED = {"half": 0.5, "ten": 10.0}


@pytest.mark.parametrize("text, wanted", [("1.25*1.253", 1.56625), ("100/5", 20), ("-2 + 3*(4 - 1)", 7), ("2**3", 8), ("ten*half", 5), ("0", 0)])
def test_a_sum_is_what_a_hand_makes_of_it(text, wanted):
    assert arithmetic.computed(text, NAMED.__getitem__)[0] == pytest.approx(wanted)


def test_the_settings_of_a_sum_are_told():
    assert arithmetic.computed("ten*2", NAMED.__getitem__)[1] == {"ten": 10.0}
    assert arithmetic.parted("1.25*1.253 to 2") == ("1.25*1.253", 2) and arithmetic.parted("2*3") == ("2*3", None)


@pytest.mark.parametrize("text", ["1/0", "2**99", "10.0**10**10", "open('x')", "a.b", "'x'", "True + 1", "1 if 2 else 3", "", "1 +", "(-1)**0.5", "1" * 201])
def test_anything_else_is_refused(text):
    with pytest.raises(arithmetic.NoSum):
        arithmetic.computed(text, NAMED.get)


def converted(root, line):
    return extension.convert(root, "kb/x.md", f"# X\n\n{line}\n", 1)


def test_a_sentence_shows_the_value_and_the_ledger_holds_the_sum(root):
    html, page = converted(root, "It is [derived: 1.25*1.253 to 2] times the other, or [derived: 100/5] in all [derived].")
    assert ">1.57</span>" in html and ">20</span>" in html and "mark--derived" in html
    assert page.ledger == ["x | derived | 1.25*1.253 |  | 1.56625", "x | derived | 100/5 |  | 20"]


def test_a_setting_in_a_sum_is_the_departments_and_its_page_rests_on_it(root, loaded):
    html, page = converted(root, "It is [derived: target_high_ratio*2 to 3] times [derived].")
    assert f">{2 * loaded.settings['target_high_ratio']:.3f}</span>" in html and ("setting", "target_high_ratio") in page.rests_on


@pytest.mark.parametrize("line, said", [("It is [derived: 1/0] mm [derived].", "no finite value"), ("It is [derived: 2*3] mm.", "add [derived]"),
                                        ("It is [derived: target_hgh_ratio*2] mm [derived].", "target_high_ratio")])
def test_a_sum_that_cannot_stand_stops_the_build_with_a_sentence(root, line, said):
    with pytest.raises(AuthorFaults) as stopped:
        converted(root, line)
    assert any(said in str(finding) for finding in stopped.value.findings)

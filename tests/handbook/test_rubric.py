"""The answers the rubric page gives are those the tests give: a pass has its running test, a miss is still a miss."""

import re

import pytest

from pvcalc.core import formula as core
from pvcalc.handbook.data import test_results, rubric_entries
from pvcalc.handbook.reference.provenance_page import records


@pytest.fixture(scope="module")
def asked(root):
    return rubric_entries.questions(root)


def words_of(path):
    """Text of a built page with single blanks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8")))


def test_there_are_twenty_questions_six_of_them_gates_and_a_pass_by_script_names_a_test_that_exists(asked, root):
    assert len(asked) == 20
    assert sum(one.gate for one in asked) == 6
    for one in asked:
        assert (one.test is not None) is (one.judged == "script"), one.question
        assert one.test is None or test_results.exists(root, one.test), one.test
        assert one.verdict == "pass" or one.note, "a miss says what is missing"


def test_the_score_counts_passes_and_a_missed_gate_outweighs_them(asked):
    found = rubric_entries.score(asked)
    assert (found.points, found.of, found.gates_missed) == (sum(one.verdict == "pass" for one in asked), 20, [])
    gate = next(one for one in asked if one.gate)
    spoilt = [one.model_copy(update={"verdict": "miss"}) if one is gate else one for one in asked]
    assert rubric_entries.score(spoilt).words.startswith("do not use")
    assert [rubric_entries.Score(points, 20, []).words for points in (18, 17, 15, 14)] == ["good", "mend and score again", "mend and score again", "not ready"]


def test_the_page_says_that_the_rubric_was_not_validated_and_shows_its_misses(built_site, asked):
    text = words_of(built_site / "reference" / "rubric.html")
    assert "has not been validated" in text and "the makers' own" in text
    for one in asked:
        assert one.question in text and (one.note or "") in text


def test_q2_every_page_says_first_for_whom_it_is_and_what_it_is_not(built_site):
    for path in built_site.rglob("*.html"):
        if path.name in ("404.html",):
            continue
        text = words_of(path)
        first = text[:text.index("Before you act on this page")] if "Before you act on this page" in text else text
        assert "For trained clinicians" in first and "not a medical device" in first, path


def test_q5_not_every_formula_has_a_published_print(loaded, asked):
    without = [name for name, entry in loaded.formulas.items()
               if not any(example.kind in ("published", "other-software") for example in entry.printed)]
    assert (asked[4].verdict == "pass") is (without == [])


@pytest.mark.parametrize("typed", ["", " ", "wide", "0", "-5", "NaN", "1e999", "1,2,3"])
def test_q6_wrong_input_names_its_field_and_gives_no_number(typed):
    reply = core.run("balloon_ratio", {"balloon_mm": "20", "annulus_mm": typed})
    assert not reply["ok"] and "value" not in reply
    field, sentence = reply["faults"][0]
    assert field == "annulus_mm" and "nnulus" in sentence and sentence.endswith((".", "?"))


def test_q14_nothing_is_signed_yet(loaded, asked):
    assert (asked[13].verdict == "pass") is bool(loaded.data.signoff)


def test_q15_recalled_numbers_are_counted_on_a_page(loaded, built_site):
    recalled = sum(seen == "memory" for _, _, _, seen, _ in records(loaded))
    assert recalled > 0 and f"To confirm: {recalled}" in words_of(built_site / "reference" / "provenance.html")


def test_q20_every_page_says_whom_to_tell_and_leads_to_the_open_faults(built_site):
    for path in built_site.rglob("*.html"):
        if path.name != "404.html":
            html = path.read_text(encoding="utf-8")
            assert "Found a fault?" in html and "open-faults.html" in html, path
    faults = words_of(built_site / "reference" / "open-faults.html")
    assert len(re.findall(r"20\d\d-\d\d-\d\d", faults)) >= 5

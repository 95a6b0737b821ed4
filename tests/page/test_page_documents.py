"""Several documents for one set of inputs, as a page shows them; the documents are invented and worked out by hand."""

import pytest

from pvcalc.decision.evaluate import decide
from pvcalc.page.documents import answer_parts, answers
from tests.decision.test_evaluate import MMHG, PEAK, R2, R4, TABLE

OLD = {**TABLE, "name": "old", "document": "Invented 1991", "superseded_by": "Invented 2001", "population": "children"}


def parts(table=TABLE, **given):
    """What a page shows of one document."""
    return answer_parts(decide(table, given))


def test_a_document_that_was_replaced_stands_last_and_each_names_its_population():
    told = answers([OLD, TABLE, {**OLD, "name": "older"}, {**TABLE, "name": "third"}], {**R2, "annulus_mm": 3})
    assert told["ok"] is True and [row["table"] for row in told["rows"]] == ["invented", "third", "old", "older"]
    assert [row["population"] for row in told["rows"]] == ["adults", "adults", "children", "children"]
    assert [row["superseded"] for row in told["rows"]] == ["", "", "superseded by Invented 2001", "superseded by Invented 2001"]


def test_faults_are_told_once_and_in_order():
    told = answers([TABLE, OLD], {"symptoms": "maybe", "doppler_peak_mmhg": "many"})
    assert told["ok"] is False and [field for field, _ in told["faults"]] == ["doppler_peak_mmhg", "symptoms"]


def test_the_window_reaches_every_document():
    near = answers([TABLE], {**R2, "doppler_peak_mmhg": "63"}, {"doppler_peak_mmhg": 2})["rows"][0]
    assert near["cut_off"].startswith("At the cut-off") and answers([TABLE], {**R2, "doppler_peak_mmhg": "63"})["rows"][0]["cut_off"] == ""


def test_an_answer_is_told_with_its_grade_reasons_and_labels():
    told = parts(**R2)
    assert {key: told[key] for key in ("table", "document", "answer", "row", "words", "grade", "advice", "why", "mark", "seen", "source")} == {
        "table": "invented", "document": "Invented 2001", "answer": "moderate_grade", "row": "R2", "words": "moderate grade", "grade": "class I, level B",
        "advice": "", "why": f"{PEAK} 62{MMHG}: more than 50 and at most 64{MMHG}", "mark": "", "seen": "practice", "source": "other1901, page 4"}
    assert told["recalled"] == "class and level recalled" and told["cautions"] == ["Ask again."]
    assert told["unchecked"] == "Not given, and not looked at: right ventricular volume z-score."
    assert parts(**{**R2, "rv_volume_z": 1})["unchecked"] == ""
    whole = parts(**R4)
    assert whole["recalled"] == "" and whole["grade"] == "" and whole["why"].count("; ") == 2, "what is recalled as a whole is said by `seen`"


def test_the_reason_is_told_by_the_kind_of_answer():
    assert parts(age_years=30, doppler_peak_mmhg=45)["why"].startswith("the bands leave 40 to 50 mmHg without a row; not met: ")
    assert parts(age_years=30, doppler_peak_mmhg=45)["unchecked"] != ""
    needed = parts(doppler_peak_mmhg=39)
    assert (needed["why"], needed["unchecked"]) == ("still needed: age; still possible: mild", "")
    child = parts(age_years=17)
    assert (child["why"], child["unchecked"]) == ("age 17\u00a0years, not at least 18\u00a0years", "")
    unseen = parts({**TABLE, "rows": [], "not_seen": ["the tables", "page 2"]}, age_years=30)
    assert (unseen["why"], unseen["unchecked"], unseen["words"]) == ("the tables; page 2", "", "not seen")
    always = {**TABLE, "rows": [{"id": "A", "then": {"answer": "yes", "advice": "Wait."}}]}
    assert parts(always, age_years=30)["why"] == "in every case" and parts(always, age_years=30)["advice"] == "Wait."
    for word in ("a", "other", "yes"):
        one = {**TABLE, "rows": [{"id": "A", "when": {"doppler_peak_mmhg": "> 1"}, "then": {"answer": word}}]}
        assert parts(one, age_years=30, doppler_peak_mmhg=9)["why"] == f"{PEAK} 9{MMHG}: more than 1{MMHG}"
    # An answer that is not given has no reason of its own to invent.
    assert parts({**TABLE, "rows": [], "applies": None, "silent": "the document has no row here"})["why"] == ""


@pytest.mark.parametrize("given, said", [(R2, "Taken for granted: A trunk; No duct."), ({"age_years": 30}, ""), ({"age_years": 30, "doppler_peak_mmhg": 45}, "")])
def test_what_is_taken_for_granted_is_said_with_an_answer_only(given, said):
    assert parts({**TABLE, "assumes": ["A trunk.", "No duct"]}, **given)["assumed"] == said
    assert parts(TABLE, **given)["assumed"] == ""

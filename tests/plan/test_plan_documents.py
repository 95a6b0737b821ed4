"""What invented documents say of one patient in a plan: grade, treat or not, visits, and the one sentence over all of them."""

import pytest

from pvcalc.decision.evaluate import decide
from pvcalc.decision.words import SILENT_WORDS
from pvcalc.plan.documents import (
    count_words, decided_words, evaluated, entry, graded, grades, known_inputs, marked, nearest_words, of_topic,
)
from pvcalc.plan.documents import (
    short_forms, shortened_values, suppression, treat_answer, treat_counts, treated, treatments, visits, why_of,
    windows,
)

MMHG = "\u00a0mmHg"
PEAK = "peak Doppler gradient"


def document(name, topic, rows, **more):
    """A table whose rows are (row, conditions, answer) with what else the row says."""
    asks = sorted({key for row in rows for key in row[1]} | set(more.pop("asks", ())))
    return {"name": name, "title": name.title(), "document": name.title(), "topic": topic, "source": "practice", "seen": "read", "population": "all", "policy": "first",
            "silent": SILENT_WORDS, "asks_for": asks, "choices": {key: ["yes", "no"] for key in asks if key == "symptoms"},
            "rows": [{"id": row[0], "when": row[1], "then": {"answer": row[2], **(row[3] if len(row) > 3 else {})}, **(row[4] if len(row) > 4 else {})} for row in rows], **more}


HOUSE = document("gradient_as_severity", "reading", [("H1", {"rv_systemic_ratio": ">= 2/3"}, "lower_bound"), ("H2", {"rv_systemic_ratio": "< 2/3"}, "usable")])
SCHEME = document("scheme", "severity", [("S1", {"doppler_peak_mmhg": "< 36"}, "mild"), ("S2", {"doppler_peak_mmhg": ">= 36 and <= 64"}, "moderate"),
                                         ("S3", {"doppler_peak_mmhg": "> 64"}, "severe", {"class": "I"})],
                  cautions=[{"when": {"doppler_peak_mmhg": "> 64"}, "text": "High."}], assumes=["A trunk."])
OTHER = document("other", "severity", [("O1", {"doppler_peak_mmhg": "< 60"}, "mild"), ("O2", {"doppler_peak_mmhg": ">= 60"}, "severe")])
OLD = document("aged", "severity", [("A1", {"doppler_peak_mmhg": "> 1"}, "severe")], superseded_by="Scheme")
QUOTED = document("quoted", "severity", [("Q1", {"doppler_peak_mmhg": "> 1"}, "severe")], mark="no source found")
YES = document("acts", "treat", [("Y1", {"doppler_peak_mmhg": "> 40"}, "yes", {"class": "I", "level": "B", "advice": "Soon."}), ("Y2", {"doppler_peak_mmhg": "<= 40"}, "no", {"class": "III"})])
MAY = document("may_be", "treat_child", [("M1", {"symptoms": "yes"}, "may"), ("M2", {"symptoms": "no"}, "no")])
UNSEEN = document("unseen", "treat", [], not_seen=["the tables"])
KNIFE = document("knife", "surgery", [("K1", {"symptoms": "yes"}, "surgery_preferred"), ("K2", {"symptoms": "no"}, "balloon")])
CHECK = document("check", "visits", [("V1", {"treated_before": "yes"}, "within_3_months"), ("V2", {"treated_before": "no"}, "yearly")], choices={"treated_before": ["yes", "no"]})
DEEP = document("deep", "visits", [("D1", {"doppler_peak_mmhg": "> 1"}, "soon")])
SETTINGS = {"gradient_window_mmhg": 2.0, "velocity_window_m_s": 0.1, "ratio_window_ratio": 0.02}
PATIENT = {"age_years": 30, "age_days": 30 * 365.25, "newborn": "no", "questions": []}


def data(*tables):
    return {"settings": SETTINGS, "notes": {key: {"seen": "read"} for key in SETTINGS}, "tables": {table["name"]: table for table in tables}}


def known(patient=None, derived=None):
    """What tables may ask for of a patient of thirty years."""
    return known_inputs({**PATIENT, **(patient or {})}, derived or {})


# What is known


def test_what_is_known_has_its_names_and_nothing_is_guessed():
    found = known({"doppler_velocity_m_s": 4, "shelf_mm": [18], "annulus": [{}], "duct": "closed"}, {"rv_systolic_mmhg": 80, "rv_systemic_ratio": None, "body_surface_m2": 2})
    assert {name: found[name] for name in found if name not in PATIENT and name != "short_forms"} == {
        "doppler_velocity_m_s": 4, "velocity_m_s": 4, "duct": "closed", "critical_stenosis": "no", "age_months": 30 * 365.25 / 30.4375, "age_group": "older_child", "rv_systolic_mmhg": 80}
    assert known({"age_years": 0.99})["age_group"] == "infant" and known({"age_years": 1})["age_group"] == "older_child"
    assert "critical_stenosis" not in known({"duct": "open"}) and known({"duct": "closed", "critical_stenosis": "yes"})["critical_stenosis"] == "yes"
    assert known({"doppler_peak_mmhg": 50}, {"doppler_peak_mmhg": 64})["doppler_peak_mmhg"] == 64 and "questions" not in found
    # the velocity of the same trace, so that a document which asks for either is answered: 64 is 4 × 4²
    assert known({"doppler_peak_mmhg": 64})["velocity_m_s"] == 4 and "velocity_m_s" not in known({})


# 8 v e is the slope of 4 v² times the error: 8 × 4 × 0.1 is 3.2, 8 × 2 × 0.1 is 1.6.
@pytest.mark.parametrize("patient, peak", [({}, 2), ({"doppler_velocity_m_s": 4}, 3.2), ({"doppler_velocity_m_s": 2}, 2), ({"doppler_velocity_m_s": 4, "doppler_peak_mmhg": 64}, 2)])
def test_the_error_of_a_gradient_from_a_velocity_is_the_velocitys_own(patient, peak):
    found = windows(data(), patient)
    assert found["doppler_peak_mmhg"] == pytest.approx(peak)
    assert {name: found[name] for name in found if name != "doppler_peak_mmhg"} == {
        "doppler_mean_mmhg": 2, "catheter_peak_to_peak_mmhg": 2, "velocity_m_s": 0.1, "rv_systemic_ratio": 0.02, "rv_systolic_mmhg": 2}


def test_tables_stand_by_name_with_the_replaced_and_the_quoted_last():
    left_out = document("treat_aha_2011_atresia", "severity", [])
    both = {**QUOTED, "name": "before_quoted", "superseded_by": "x"}
    assert [table["name"] for table in of_topic(data(SCHEME, QUOTED, OLD, OTHER, left_out, YES, both), "severity")] == ["other", "scheme", "aged", "quoted", "before_quoted"]


# Digits


def test_a_computed_value_has_a_short_form_when_it_is_longer_than_it_need_be():
    # 81 / 129 = 0.627906976744…, 4 × 4.55² = 82.81, 10974.64 days over 30.4375 are 360.563 months
    found = known({"age_years": 30.047, "age_days": 10974.64}, {"rv_systemic_ratio": 81 / 129, "doppler_peak_mmhg": 82.81})
    assert found["short_forms"] == [("rv_systemic_ratio", "0.627906976744", "0.628"), ("age_years", "30.047\u00a0years", "30.05\u00a0years"),
                                    ("age_days", "10\u202f974.64\u00a0days", "10\u202f974.6\u00a0days"), ("age_months", found["short_forms"][3][1], "360.6\u00a0months")]
    assert short_forms({"doppler_peak_mmhg": 82.812}) == [("doppler_peak_mmhg", f"82.812{MMHG}", f"82.81{MMHG}")]
    assert short_forms({"rv_systemic_ratio": 0.628, "doppler_peak_mmhg": 82.81}) == []


@pytest.mark.parametrize("near, shortened", [(None, True), ({"name": "doppler_peak_mmhg", "distance": 0.009}, False), ({"name": "doppler_peak_mmhg", "distance": 0.01}, True),
                                             ({"name": "age_years", "distance": 0.001}, True),
                                             ({"name": "doppler_peak_mmhg", "distance": 0.5}, True), ({"name": "rv_systemic_ratio", "distance": 0.001}, True)])
def test_a_value_a_hair_from_its_threshold_keeps_every_digit(near, shortened):
    told = shortened_values(f"{PEAK} 63.998{MMHG}", {"short_forms": [("doppler_peak_mmhg", f"63.998{MMHG}", f"64{MMHG}")]}, near)
    assert told == f"{PEAK} {'64' if shortened else '63.998'}{MMHG}"


# One document


def test_a_table_that_refuses_cannot_be_evaluated():
    report = evaluated(SCHEME, {"doppler_peak_mmhg": 9999}, None)
    assert (report["answer"], report["decided"], report["seen"], report["mark"]) == ("cannot_evaluate", False, "read", "") and report["why"][0].startswith("Doppler peak 9999")
    made = entry(SCHEME, report, "cannot_evaluate", "words", why_of(SCHEME, report, {"short_forms": []}))
    assert made["why"] == report["why"][0] and made["nearest"] == "" and made["missing"] == [] and made["assumes"] == []
    assert evaluated({**QUOTED}, {"doppler_peak_mmhg": 9999}, None)["mark"] == "no source found"
    assert evaluated(SCHEME, {"doppler_peak_mmhg": 50, "unheard": 1}, None)["row"] == "S2"


def test_an_entry_carries_its_document_and_what_was_said():
    report = evaluated(SCHEME, {"doppler_peak_mmhg": 70}, {"doppler_peak_mmhg": 2})
    made = entry(SCHEME, report, "severe", "severe!", "because")
    assert {name: made[name] for name in ("document", "table", "title", "row", "answer", "words", "class", "level", "advice", "why", "provenance", "recalled", "superseded", "mark")} == {
        "document": "Scheme", "table": "scheme", "title": "Scheme", "row": "S3", "answer": "severe", "words": "severe!", "class": "I", "level": "", "advice": "",
        "why": "because", "provenance": "read", "recalled": "", "superseded": "", "mark": ""}
    assert made["cautions"] == ["High."] and made["assumes"] == ["A trunk."] and made["at_cut_off"] == "" and made["missing"] == []
    assert made["nearest"] == f"nearest threshold: {PEAK} 64{MMHG}, 6.0{MMHG} away, beyond the measurement error of ± 2{MMHG}"
    recalled = evaluated({**SCHEME, "seen": "memory"}, {"doppler_peak_mmhg": 50}, None)
    assert [entry(SCHEME, recalled, "x", "x", why)["why"] for why in ("because", "")] == ["because; recalled", "recalled"]
    assert entry(SCHEME, evaluated(SCHEME, {}, None), "x", "x", "")["assumes"] == []


@pytest.mark.parametrize("value, window, said", [
    (70, None, f"64{MMHG}, 6.0{MMHG} away, error of measurement not set"), (65, 2, f"64{MMHG}, 1.0{MMHG} away, within the measurement error of ± 2{MMHG}"),
    (74, 3.246, f"64{MMHG}, 10{MMHG} away, beyond the measurement error of ± 3.25{MMHG}"), (90, 2, f"64{MMHG}, 26{MMHG} away, beyond the measurement error of ± 2{MMHG}"), (74, 3.2, f"64{MMHG}, 10{MMHG} away, beyond the measurement error of ± 3.2{MMHG}"), (73.9, 3.204, f"64{MMHG}, 9.9{MMHG} away, beyond the measurement error of ± 3.2{MMHG}")])
def test_the_nearest_threshold_is_told_with_its_distance_and_the_error(value, window, said):
    assert nearest_words(decide(SCHEME, {"doppler_peak_mmhg": value}, window)) == f"nearest threshold: {PEAK} {said}"


def test_a_ratio_is_told_to_three_decimals_and_an_open_answer_has_no_threshold():
    told = nearest_words(decide(HOUSE, {"rv_systemic_ratio": 0.5}, {"rv_systemic_ratio": 0.02}))
    assert told == "nearest threshold: right ventricular over systemic systolic pressure 2/3, 0.167 away, beyond the measurement error of ± 0.02"
    two = document("two", "severity", [("T1", {"doppler_peak_mmhg": "> 64", "velocity_m_s": "> 3"}, "severe"), ("T2", {"doppler_peak_mmhg": "<= 64"}, "mild")])
    open_answer = decide(two, {"doppler_peak_mmhg": 70})
    assert open_answer["answer"] == "cannot_evaluate" and open_answer["near"] is not None and nearest_words(open_answer) == ""


@pytest.mark.parametrize("table, given, said", [
    (SCHEME, {}, f"still needed: {PEAK}"), (UNSEEN, {}, "not seen: the tables"), (SCHEME, {"doppler_peak_mmhg": 70}, f"{PEAK} 70{MMHG}: more than 64{MMHG}"),
    ({**SCHEME, "applies": {"age_years": "< 18"}, "asks_for": ["age_years", "doppler_peak_mmhg"]}, {"age_years": 30}, "not for this patient: age 30\u00a0years, not less than 18\u00a0years"),
    (document("vague", "severity", [("G", {"gradient_mmhg": "> 1", "symptoms": "yes"}, "yes")]), {},
     "still needed: gradient (kind not stated in the source), symptoms; the document does not say which gradient it means, so none is filled in"),
    (document("few", "severity", [("F", {"doppler_peak_mmhg": "> 64"}, "severe")]), {"doppler_peak_mmhg": 50}, f"not met: F: {PEAK} 50{MMHG}, not more than 64{MMHG}"),
    (document("few", "severity", [("F", {"doppler_peak_mmhg": "> 64"}, "severe"), ("G", {"doppler_peak_mmhg": "> 80"}, "severe")], silent="two gaps"), {"doppler_peak_mmhg": 50},
     f"two gaps; not met: F: {PEAK} 50{MMHG}, not more than 64{MMHG}; G: {PEAK} 50{MMHG}, not more than 80{MMHG}"),
    (document("none", "severity", []), {}, SILENT_WORDS)])
def test_the_reason_is_told_by_the_kind_of_answer(table, given, said):
    assert why_of(table, evaluated(table, given, None), {**given, "short_forms": []}) == said


# Grades


def test_where_the_gradient_is_a_lower_bound_only_a_severe_grade_is_told():
    patient = {"doppler_peak_mmhg": 64.5}
    entries, lowered = grades(data(HOUSE, SCHEME, OTHER), patient, known(patient, {"rv_systemic_ratio": 0.7}))
    assert lowered is True and [one["answer"] for one in entries] == ["suppressed", "severe", "severe"]
    assert entries[0]["words"] == "the gradient is a lower bound" and entries[0]["row"] == "H1" and [one["words"] for one in entries[1:]] == ["at least severe"] * 2
    patient = {"doppler_peak_mmhg": 62}
    blank = grades(data(HOUSE, SCHEME, OTHER), patient, known(patient, {"rv_systemic_ratio": 0.7}))[0][2]
    assert (blank["answer"], blank["own"]) == ("suppressed", "moderate")
    assert (blank["row"], blank["at_cut_off"], blank["nearest"], blank["class"], blank["cautions"], blank["words"]) == ("", "", "", "", [], "not graded")
    assert blank["why"].endswith("the document's grade is not shown")
    silent = graded(document("none", "severity", []), evaluated(document("none", "severity", []), {}, None), {"short_forms": []}, True)
    assert silent["answer"] == "silent", "what is not decided stays as it is"


def test_a_house_rule_that_is_open_or_passed():
    ratio = {"usable": (0.5, "not_applicable", "gradient may be graded"), "open": (None, "cannot_evaluate", "cannot be evaluated")}
    for value, answer, words in ratio.values():
        first, lowered = suppression(data(HOUSE), known({}, {"rv_systemic_ratio": value}))
        assert (first["answer"], first["words"], lowered) == (answer, words, False)


def test_each_documents_own_grade_stands_in_its_row_with_the_house_rule_first():
    patient = {"doppler_peak_mmhg": 62}
    entries, lowered = grades(data(HOUSE, SCHEME, OTHER, OLD, QUOTED), patient, known(patient, {"rv_systemic_ratio": 0.5}))
    assert [one["table"] for one in entries] == ["gradient_as_severity", "other", "scheme", "aged", "quoted"] and lowered is False
    assert [(one["answer"], one["own"]) for one in entries[1:]] == [("severe", "severe"), ("moderate", "moderate"), ("severe", "severe"), ("severe", "severe")]


@pytest.mark.parametrize("word, answer, words, note", [
    ("trivial", "mild", "mild", "the document's word is trivial"), ("inside_the_printed_range", "cannot_evaluate", "cannot evaluate", "the document prints a range here and not a limit"),
    ("not_to_be_used", "not_applicable", "not applicable", "an outlier, not to be used"), ("band_2", "silent", SILENT_WORDS, "a band of a study, not a grade: band 2")])
def test_an_answer_that_is_no_grade_is_told_as_what_it_is(word, answer, words, note):
    table = document("odd", "severity", [("X", {"doppler_peak_mmhg": "> 1"}, word)])
    made = graded(table, evaluated(table, {"doppler_peak_mmhg": 9}, None), {"short_forms": []}, False)
    assert (made["answer"], made["words"], made["why"]) == (answer, words, f"{note}; {PEAK} 9{MMHG}: more than 1{MMHG}")
    bare = document("bare", "severity", [("X", {}, word)])
    assert graded(bare, evaluated(bare, {}, None), {"short_forms": []}, False)["why"] == note


# Treat or not


def test_a_may_is_a_yes_with_its_softer_word():
    made = treated(MAY, evaluated(MAY, {"symptoms": "yes"}, None), {"short_forms": []}, False)
    assert (made["answer"], made["words"], made["class"], made["why"]) == ("yes", "may be considered", "may", "may, not must; with symptoms")
    with_class = document("may_be", "treat", [("M1", {}, "may", {"class": "IIb"})])
    made = treated(with_class, evaluated(with_class, {}, None), {"short_forms": []}, False)
    assert (made["class"], made["why"]) == ("IIb", "may, not must")
    firm = treated(YES, evaluated(YES, {"doppler_peak_mmhg": 50}, None), {"short_forms": []}, False)
    assert (firm["answer"], firm["words"], firm["class"], firm["level"], firm["advice"]) == ("yes", "yes", "I", "B", "Soon.")
    for name, words in (("no", "no"), ("yes", "yes")):
        bare = document("bare", "treat", [("X", {}, name)])
        assert [treated(bare, evaluated(bare, {}, None), {"short_forms": []}, False)[key] for key in ("answer", "words", "class")] == [name, words, ""]
    assert treated(YES, evaluated(YES, {}, None), {"short_forms": []}, False)["class"] == ""
    child = {**YES, "applies": {"age_years": "< 18"}, "asks_for": ["age_years", "doppler_peak_mmhg"]}
    assert treated(child, evaluated(child, {"age_years": 30, "doppler_peak_mmhg": 30}, None), {"short_forms": []}, True)["answer"] == "not_applicable"
    odd = document("odd", "treat", [("X", {}, "perhaps")])
    assert treated(odd, evaluated(odd, {}, None), {"short_forms": []}, False)["answer"] == "cannot_evaluate"


@pytest.mark.parametrize("table, given, answer", [
    (YES, {"doppler_peak_mmhg": 30}, "cannot_evaluate"), (YES, {"doppler_peak_mmhg": 50}, "yes"), (MAY, {"symptoms": "no"}, "no"), (MAY, {"symptoms": "yes"}, "yes"),
    (document("gap", "treat", [("G", {"doppler_peak_mmhg": "> 60"}, "yes")]), {"doppler_peak_mmhg": 50}, "cannot_evaluate"),
    (document("soft", "treat", [("G", {"doppler_peak_mmhg": "> 40"}, "may")]), {"doppler_peak_mmhg": 50}, "cannot_evaluate"), (UNSEEN, {}, "not_seen")])
def test_where_the_gradient_is_no_measure_a_low_one_is_no_reason_to_wait(table, given, answer):
    made = treated(table, evaluated(table, given, 99), {"short_forms": []}, True)
    assert made["answer"] == answer and treated(table, evaluated(table, given, None), {"short_forms": []}, False)["answer"] != "cannot_evaluate"
    if answer == "cannot_evaluate":
        assert [made[name] for name in ("words", "class", "level", "advice", "nearest", "at_cut_off", "row")] == ["cannot be evaluated", "", "", "", "", "", ""]
        assert made["why"] == "the document decides by a gradient, and the gradient is only a lower bound here"


def test_treatment_and_surgery_are_told_together():
    entries, surgical, words, conflict = treatments(data(YES, MAY, UNSEEN, KNIFE), {"symptoms": "yes", "doppler_peak_mmhg": 50}, known({"symptoms": "yes", "doppler_peak_mmhg": 50}), False)
    assert [one["answer"] for one in entries] == ["yes", "yes", "not_seen"] and [(one["answer"], one["words"], one["row"]) for one in surgical] == [("yes", "surgery preferred", "K1")]
    assert conflict is True and words == ("TREAT: 1 current documents yes, 1 may, 0 no, 0 silent, 0 lack an input. Yes: Acts. May: May_Be. Something else: Knife, surgery preferred. "
                                          "Not seen: Unseen. Documents disagree; this plan does not choose: take it to the valve team.")
    found = treatments(data(YES, MAY, KNIFE), {"symptoms": "no", "doppler_peak_mmhg": 50}, known({"symptoms": "no", "doppler_peak_mmhg": 50}), False)
    assert found[1] == [] and found[3] is True and found[2] == ("TREAT: 1 current documents yes, 0 may, 1 no, 0 silent, 0 lack an input. Yes: Acts. No: May_Be. "
                                                                "Documents disagree; this plan does not choose: take it to the valve team.")


def said(document_name, answer, **more):
    return {"document": document_name, "answer": answer, "row": "r", "words": answer, "superseded": "", "recalled": "", "mark": "", **more}


SOFT = {"words": "may be considered"}


@pytest.mark.parametrize("entries, surgical, counts, answer", [
    ([said("A", "yes"), said("B", "cannot_evaluate")], [], (1, 0, 0, 0, 1), "yes"), ([said("A", "yes"), said("B", "silent")], [], (1, 0, 0, 1, 0), "yes"),
    ([said("A", "no"), said("B", "not_seen")], [], (0, 0, 1, 0, 0), "no"), ([said("A", "silent")], [said("C", "yes", words="surgery")], (0, 0, 0, 1, 0), "no"),
    ([said("A", "silent"), said("B", "not_seen")], [], (0, 0, 0, 1, 0), "none"), ([said("A", "yes"), said("B", "no"), said("D", "yes")], [], (2, 0, 1, 0, 0), "disagree"),
    ([said("A", "yes")], [said("C", "yes", words="surgery")], (1, 0, 0, 0, 0), "disagree"), ([said("A", "yes", **SOFT)], [], (0, 1, 0, 0, 0), "none"),
    ([said("A", "yes", **SOFT), said("B", "no")], [], (0, 1, 1, 0, 0), "disagree"),
    # nine names were once nine votes: a children's paper, a superseded row and a sourceless one among them
    ([said("A", "yes"), said("B", "not_applicable"), said("C", "yes", superseded="superseded by A"), said("D", "no", mark="no source found")], [], (1, 0, 0, 0, 0), "yes"),
    ([said("A", "yes")], [said("C", "yes", words="surgery", superseded="by A")], (1, 0, 0, 0, 0), "yes")])
def test_only_current_documents_are_counted_and_a_count_is_no_verdict(entries, surgical, counts, answer):
    assert tuple(treat_counts(entries)[word] for word in ("yes", "may", "no", "silent", "lack")) == counts and treat_answer(entries, surgical) == answer
    words, conflict = decided_words(entries, surgical)
    assert words.startswith(count_words(entries) + ".") and conflict is (answer == "disagree") and words.endswith(
        "take it to the valve team." if conflict else "A count, not a verdict; the team decides.")
    for one in entries:
        if one["superseded"] or one["mark"]:
            assert one["document"] in words.partition("Not counted: ")[2]


def test_the_count_is_told_in_its_fixed_words():
    entries = [said("A", "yes")] * 3 + [said("B", "yes", **SOFT), said("C", "silent")] + [said("D", "cannot_evaluate")] * 3
    assert count_words(entries) == "TREAT: 3 current documents yes, 1 may, 0 no, 1 silent, 3 lack an input"


@pytest.mark.parametrize("one, words", [
    ({}, "A"), ({"words": "certainly"}, "A"), ({"words": "may be considered"}, "A"), ({"superseded": "superseded by B"}, "A"), ({"recalled": "limits recalled"}, "A (limits recalled)"),
    ({"mark": "no source found", "recalled": "recalled"}, "A (recalled; no source found)"), ({"mark": "recalled, no source", "recalled": "recalled"}, "A (recalled, no source)")])
def test_a_document_is_marked_with_what_a_reader_must_know(one, words):
    assert marked(said("A", "yes", **one)) == words


# Visits


def test_visits_follow_the_procedure_and_not_what_was_measured_before_it():
    patient = {"doppler_peak_mmhg": 80, "treated_before": "no"}
    first, second = visits(data(CHECK, DEEP), patient, known(patient))
    assert (first["answer"], first["words"], first["row"]) == ("within 3 months", "within 3 months", "V1")
    assert (second["answer"], second["missing"]) == ("cannot_evaluate", ["doppler_peak_mmhg"]) and second["why"] == f"still needed: {PEAK}"
    assert patient["treated_before"] == "no"

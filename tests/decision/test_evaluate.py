"""One invented document, small enough to work out by hand: every field of an answer and every word about it."""

import pytest

from pvcalc.core.errors import NoResult, NotUnderstood, OutOfRange, Refusal
from pvcalc.decision.evaluate import checked, decide, inputs_for, run
from pvcalc.decision.words import SILENT_WORDS, branch_words, row_words, superseded_words

MMHG = "\u00a0mmHg"
PEAK = "peak Doppler gradient"
MEAN = "mean Doppler gradient"
TABLE = {
    "name": "invented", "title": "Invented table", "document": "Invented 2001", "topic": "severity", "source": "author1900, page 3", "seen": "read",
    "population": "adults", "policy": "only-one", "asks_for": ["age_years", "doppler_peak_mmhg", "doppler_mean_mmhg", "symptoms", "rv_volume_z"],
    "optional": ["rv_volume_z"], "choices": {"symptoms": ["yes", "no"]}, "applies": {"age_years": ">= 18"},
    "silent": "the bands leave 40 to 50 mmHg without a row",
    "cautions": [{"when": {"symptoms": "yes"}, "text": "Ask again."}, {"when": {"rv_volume_z": "> 4"}, "text": "A wide ventricle."}],
    "rows": [
        {"id": "R1", "when": {"doppler_peak_mmhg": "< 40"}, "then": {"answer": "mild"}},
        {"id": "R2", "when": {"doppler_peak_mmhg": "> 50 and <= 64"}, "then": {"answer": "moderate_grade", "class": "I", "level": "B"},
         "class_seen": "memory", "note": "A note.", "source": "other1901, page 4", "seen": "practice"},
        {"id": "R3", "when": {"doppler_peak_mmhg": "> 64"}, "any": [{"symptoms": "yes"}, {"doppler_mean_mmhg": "> 35"}],
         "then": {"answer": "severe", "class": "IIa"}, "limits_seen": "memory", "class_seen": "memory"},
        {"id": "R4", "when": {"doppler_mean_mmhg": "<= 35", "symptoms": "no", "doppler_peak_mmhg": "> 64"}, "then": {"answer": "moderate_grade"}, "seen": "memory"},
    ]}
R2 = {"age_years": 30, "doppler_peak_mmhg": 62, "symptoms": "yes"}
R4 = {"age_years": 30, "doppler_peak_mmhg": 70, "doppler_mean_mmhg": 34, "symptoms": "no"}
FIRST = {**TABLE, "policy": "first"}


def test_an_answer_carries_its_row_and_every_label():
    found = decide(TABLE, R2)
    assert {key: found[key] for key in ("table", "title", "document", "answer", "decided", "row", "then", "note", "source", "seen", "mark", "silent")} == {
        "table": "invented", "title": "Invented table", "document": "Invented 2001", "answer": "moderate_grade", "decided": True, "row": "R2",
        "then": {"answer": "moderate_grade", "class": "I", "level": "B"}, "note": "A note.", "source": "other1901, page 4", "seen": "practice",
        "mark": "", "silent": ""}
    assert (found["cautions"], found["assumes"], found["not_seen"], found["missing"], found["possible"]) == (["Ask again."], [], [], [], [])
    assert found["unchecked"] == ["rv_volume_z"] and found["superseded"] == "" and found["recalled"] == "class and level recalled"
    assert found["why"] == [f"{PEAK} 62{MMHG}: more than 50 and at most 64{MMHG}"]
    assert found["not_met"] == [("R1", [f"{PEAK} 62{MMHG}, not less than 40{MMHG}"]), ("R3", [f"{PEAK} 62{MMHG}, not more than 64{MMHG}"]),
                                ("R4", ["with symptoms; the row says without symptoms", f"{PEAK} 62{MMHG}, not more than 64{MMHG}"][::-1])]
    assert found["headline"] == "Invented 2001: moderate grade (class I, level B; class and level recalled)"


def test_a_row_without_labels_of_its_own_has_those_of_the_table():
    found = decide({**TABLE, "mark": "no source found", "assumes": ["A trunk."], "not_seen": ["page 9"], "superseded_by": "Invented 2010"}, {**R2, "doppler_peak_mmhg": 39})
    assert (found["row"], found["source"], found["seen"], found["note"], found["recalled"]) == ("R1", "author1900, page 3", "read", "", "")
    assert (found["mark"], found["assumes"], found["not_seen"], found["superseded"]) == ("no source found", ["A trunk."], ["page 9"], "superseded by Invented 2010")
    assert found["headline"] == "Invented 2001: mild (no source found)"


def test_the_alternative_that_holds_is_told_beside_the_conditions():
    told = f"{PEAK} 70{MMHG}: more than 64{MMHG}"
    assert decide(TABLE, {**R4, "symptoms": "yes"})["why"] == [told, "with symptoms"]
    assert decide(TABLE, {**R4, "symptoms": "yes", "doppler_mean_mmhg": 36})["why"] == [told, "with symptoms", f"{MEAN} 36{MMHG}: more than 35{MMHG}"]
    # the order of a reason is that in which the table asks
    found = decide(TABLE, R4)
    assert found["why"] == [told, f"{MEAN} 34{MMHG}: at most 35{MMHG}", "without symptoms"]
    assert found["recalled"] == "recalled" and found["headline"] == "Invented 2001: moderate grade (recalled)"
    assert decide(TABLE, {**R4, "symptoms": "yes"})["headline"] == "Invented 2001: severe (class IIa; limits, class and level recalled)"
    assert dict(found["not_met"])["R3"] == ["without symptoms; the row says with symptoms", f"{MEAN} 34{MMHG}, not more than 35{MMHG}"]


def test_an_input_that_another_settles_is_told_as_settled():
    # A mean of 66 makes the peak at least 66.
    found = decide(TABLE, {"age_years": 30, "doppler_mean_mmhg": 66, "symptoms": "no"})
    assert found["row"] == "R3"
    assert found["why"] == [f"{PEAK} more than 64{MMHG}, as the other gradient shows", f"{MEAN} 66{MMHG}: more than 35{MMHG}"]
    assert dict(found["not_met"])["R1"] == [f"{PEAK} not given"]


def test_an_open_answer_names_what_settles_it_in_the_tables_order_and_what_it_may_be():
    found = decide(TABLE, {"age_years": 30, "doppler_peak_mmhg": 70})
    assert (found["answer"], found["decided"], found["row"], found["then"], found["why"]) == ("cannot_evaluate", False, "", {}, [])
    assert found["missing"] == ["doppler_mean_mmhg", "symptoms"] and found["possible"] == ["severe", "moderate_grade"]
    assert [row for row, _ in found["not_met"]] == ["R1", "R2"], "an open row is not one that failed"
    assert found["headline"] == (f"Invented 2001: cannot be evaluated; still needed: {MEAN}, symptoms; still possible: severe or moderate grade")
    assert found["seen"] == "read" and found["source"] == "author1900, page 3"
    found = decide(TABLE, {"doppler_peak_mmhg": 39})
    assert (found["missing"], found["possible"], found["why"]) == (["age_years"], ["mild"], [])
    everything = decide(TABLE, {})
    assert everything["missing"] == ["age_years", "doppler_peak_mmhg", "doppler_mean_mmhg", "symptoms"]
    assert everything["possible"] == ["mild", "moderate_grade", "severe"] and everything["near"] is None
    assert decide({**TABLE, "rows": [], "silent": "x"}, {})["headline"] == "Invented 2001: cannot be evaluated; still needed: age"


def test_a_true_row_stands_beside_open_ones_unless_an_earlier_one_could_come_first():
    early_open = [{"id": "E", "when": {"doppler_peak_mmhg": "> 10", "rv_volume_z": "> 1"}, "then": {"answer": "wide"}}, TABLE["rows"][0]]
    given = {"age_years": 30, "doppler_peak_mmhg": 30}
    needed = {**TABLE, "optional": [], "rows": early_open}
    assert decide(needed, given)["answer"] == "mild"
    kept = decide({**needed, "policy": "first"}, given)
    assert (kept["answer"], kept["missing"], kept["possible"]) == ("cannot_evaluate", ["rv_volume_z"], ["wide", "mild"])
    late_open = decide({**needed, "policy": "first", "rows": early_open[::-1]}, given)
    assert late_open["answer"] == "mild", "what comes after a true row is not looked at"
    both = [{"id": name, "when": {"doppler_peak_mmhg": "< 40"}, "then": {"answer": name}} for name in "ab"]
    assert decide({**FIRST, "rows": both}, given)["row"] == decide({**TABLE, "rows": both}, given)["row"] == "a"


def test_outside_its_population_a_document_says_only_why():
    found = decide(TABLE, {"age_years": 17.9, "doppler_peak_mmhg": 30})
    assert (found["answer"], found["not_met"], found["decided"], found["row"]) == ("not_applicable", [], False, "")
    assert found["why"] == ["age 17.9\u00a0years, not at least 18\u00a0years"]
    assert found["headline"] == "Invented 2001: not for this patient (age 17.9\u00a0years, not at least 18\u00a0years)"


def test_a_silent_document_tells_what_it_says_of_itself_and_what_its_rows_ask():
    found = decide(TABLE, {"age_years": 30, "doppler_peak_mmhg": 45, "symptoms": "yes"})
    asked = f"{PEAK} less than 40{MMHG}; {PEAK} more than 50 and at most 64{MMHG}; {PEAK} more than 64{MMHG}; without symptoms"
    assert found["silent"] == f"the bands leave 40 to 50 mmHg without a row; not met: {asked}"
    assert found["headline"] == f"Invented 2001: {SILENT_WORDS} ({found['silent']})"
    assert decide({**TABLE, "silent": SILENT_WORDS}, {"age_years": 30, "doppler_peak_mmhg": 45, "symptoms": "yes"})["silent"] == "not met: " + asked
    empty = decide({**TABLE, "rows": [], "applies": None, "silent": SILENT_WORDS}, {})
    assert empty["silent"] == "" and empty["headline"] == "Invented 2001: " + SILENT_WORDS
    with pytest.raises(NoResult, match="Invented table: no row fits"):
        decide({**TABLE, "silent": ""}, {"age_years": 30, "doppler_peak_mmhg": 45})


def test_a_document_without_rows_was_not_seen():
    unseen = {**TABLE, "rows": [], "not_seen": ["the tables", "page 2"]}
    found = decide(unseen, {"age_years": 3})
    assert (found["answer"], found["decided"]) == ("not_seen", False) and decide(unseen, {})["missing"] == []
    assert found["headline"] == "Invented 2001: not seen: the tables; page 2"
    assert decide({**TABLE, "not_seen": ["page 2"]}, R2)["answer"] == "moderate_grade", "with rows it answers"


# Cut-offs of the peak: 40, 50 and 64; a mean counts above 64 only. What is on the other side is read from the rows above.
NEAR = [
    (R2, 64, 2, ["severe"]), ({**R2, "doppler_peak_mmhg": 39}, 40, 1, ["silent"]), ({**R2, "doppler_peak_mmhg": 52}, 50, 2, ["silent"]),
    ({**R2, "doppler_peak_mmhg": 41}, 40, 1, ["mild"]), ({**R2, "doppler_peak_mmhg": 48}, 50, 2, ["moderate_grade"]),
    ({**R2, "doppler_peak_mmhg": 90}, 64, 26, ["moderate_grade"]), ({**R2, "doppler_peak_mmhg": 0}, 40, 40, ["silent"]),
]


@pytest.mark.parametrize("given, threshold, distance, others", NEAR)
def test_the_nearest_cut_off_that_changes_the_row_is_found(given, threshold, distance, others):
    near = decide(TABLE, given)["near"]
    assert (near["name"], near["threshold"], near["distance"], near["others"]) == ("doppler_peak_mmhg", threshold, distance, others)
    assert (near["window"], near["within"], near["answer"]) == (None, False, decide(TABLE, given)["answer"])


def test_the_nearer_of_two_quantities_is_the_one_fewer_windows_away_or_the_smaller_share_of_its_cut_off():
    # mean 34 of 35: 1/35 away; peak 70 of 64: 6/64 away
    assert decide(TABLE, R4)["near"]["name"] == "doppler_mean_mmhg" and decide(TABLE, R4)["near"]["others"] == ["severe"]
    assert decide(TABLE, {**R4, "doppler_peak_mmhg": 65})["near"]["name"] == "doppler_peak_mmhg"
    wide = decide(TABLE, R4, {"doppler_peak_mmhg": 12, "doppler_mean_mmhg": 1})["near"]
    assert (wide["name"], wide["threshold"], wide["others"], wide["window"], wide["within"]) == ("doppler_peak_mmhg", 64, ["moderate_grade"], 12, True)
    assert decide(TABLE, R4, {"doppler_peak_mmhg": 5, "doppler_mean_mmhg": 1})["near"]["name"] == "doppler_mean_mmhg"
    # 8 of a window of 8 and 1 of a window of 1: the one the table asks for first
    assert decide(TABLE, {**R4, "doppler_peak_mmhg": 72}, {"doppler_peak_mmhg": 8, "doppler_mean_mmhg": 1})["near"]["name"] == "doppler_peak_mmhg"
    assert decide(TABLE, R4, 3)["near"]["window"] == 3


def test_a_cut_off_at_nought_counts_by_its_distance():
    rows = [{"id": "low", "when": {"rv_volume_z": "<= 0"}, "then": {"answer": "low"}}, {"id": "high", "when": {"rv_volume_z": "> 0"}, "then": {"answer": "high"}}]
    table = {**TABLE, "applies": None, "optional": None, "rows": rows}
    assert decide(table, {"rv_volume_z": 0.5})["near"]["threshold"] == 0
    assert decide(table, {"rv_volume_z": 1e-9})["near"]["within"] is True and decide(table, {"rv_volume_z": 1.1e-9})["near"]["within"] is False
    # 0.5 from nought, by itself; 6 of 10 of another
    both = {**table, "rows": [{"id": "a", "when": {"rv_volume_z": "<= 0", "doppler_peak_mmhg": "< 10"}, "then": {"answer": "a"}}]}
    assert decide(both, {"rv_volume_z": -0.5, "doppler_peak_mmhg": 4})["near"]["name"] == "rv_volume_z"
    assert decide(both, {"rv_volume_z": -0.5, "doppler_peak_mmhg": 6})["near"]["name"] == "doppler_peak_mmhg"


@pytest.mark.parametrize("value, window, within", [
    (66, 2, True), (66, 1.9, False), (66.1, 2, False), (64, None, True), (64 + 6e-8, None, True), (64 + 7e-8, None, False),
    # an error of 1.1, and 64 - 62.9, which arithmetic leaves a hair longer than 1.1
    (62.9, 1.1, True), (63.9, 0.1, True), (62.9 - 1e-7, 1.1, False)])
def test_at_the_cut_off_is_within_the_error_or_a_hair(value, window, within):
    found = decide(TABLE, {**R2, "doppler_peak_mmhg": value}, window)
    assert found["near"]["within"] is within and (found["at_cut_off"] != "") is within


def test_the_sentence_at_a_cut_off_says_what_is_beyond_it():
    def told(given, window):
        return decide(TABLE, given, window)["at_cut_off"]
    assert told({**R2, "doppler_peak_mmhg": 64}, 1) == f"At the cut-off: {PEAK} is exactly 64{MMHG}."
    start = f"At the cut-off: {PEAK} lies 1.5{MMHG} from "
    end = ", which is within the error of measurement; on the other side the answer is "
    assert told({**R2, "doppler_peak_mmhg": 62.5}, 2) == f"{start}64{MMHG}{end}severe."
    assert told({**R2, "doppler_peak_mmhg": 51.5}, 2) == f"{start}50{MMHG}{end}none, because the document has no row there."
    assert told({**R4, "doppler_peak_mmhg": 65.5, "doppler_mean_mmhg": 20}, 2) == f"{start}64{MMHG}{end}moderate grade, by another row."
    assert told({**R4, "doppler_peak_mmhg": 65.5, "doppler_mean_mmhg": 20}, 1) == ""


@pytest.mark.parametrize("low, high", [("a", "b"), ("b", "a"), ("no", "yes"), ("yes", "no")])
def test_any_other_word_beyond_a_cut_off_is_said_as_it_is(low, high):
    rows = [{"id": name, "when": {"rv_volume_z": limits}, "then": {"answer": name}, "seen": "derived"} for name, limits in {low: "<= 0", high: "> 0"}.items()]
    found = decide({**TABLE, "applies": None, "rows": rows}, {"rv_volume_z": 0.5}, 1)
    assert found["headline"] == "Invented 2001: " + high and found["recalled"] == ""
    assert found["at_cut_off"].endswith("lies 0.5 from 0, which is within the error of measurement; on the other side the answer is " + low + ".")
    assert decide({**TABLE, "applies": None, "rows": rows}, {"rv_volume_z": 1e-9}, 1)["at_cut_off"].endswith("is exactly 0.")
    assert "exactly" not in decide({**TABLE, "applies": None, "rows": rows}, {"rv_volume_z": 1.5e-9}, 1)["at_cut_off"]
    assert "exactly" in decide(TABLE, {**R2, "doppler_peak_mmhg": 64 + 6e-8}, 1)["at_cut_off"], "a hair of a large cut-off is larger"


def test_a_limit_of_the_population_is_no_cut_off_of_the_answer():
    assert decide({**TABLE, "rows": TABLE["rows"][:1]}, {"age_years": 18.1, "doppler_peak_mmhg": 30})["near"]["name"] == "doppler_peak_mmhg"


BANDS = [{"id": name, "when": {"doppler_peak_mmhg": limits}, "then": {"answer": name}}
         for name, limits in {"a": "< 10", "b": ">= 10 and < 40", "c": ">= 40 and < 50", "d": ">= 50"}.items()]


@pytest.mark.parametrize("value, threshold, others", [(52, 50, ["c"]), (48, 50, ["d"]), (41, 40, ["b"]), (38, 40, ["c"]), (11, 10, ["a"]), (9, 10, ["b"])])
def test_the_other_side_is_the_band_that_touches(value, threshold, others):
    near = decide({**TABLE, "rows": BANDS}, {"age_years": 30, "doppler_peak_mmhg": value})["near"]
    assert (near["threshold"], near["others"]) == (threshold, others)


NARROW = [{"id": name, "when": {"rv_volume_z": limits}, "then": {"answer": name}} for name, limits in {"a": "<= 0.5", "b": "> 0.5 and < 0.8", "c": ">= 0.8"}.items()]


@pytest.mark.parametrize("value, threshold, others", [(0.48, 0.5, ["b"]), (0.55, 0.5, ["a"]), (0.78, 0.8, ["c"]), (0.82, 0.8, ["b"])])
def test_a_band_narrower_than_one_is_not_stepped_over(value, threshold, others):
    near = decide({**TABLE, "applies": {}, "rows": NARROW}, {"rv_volume_z": value})["near"]
    assert (near["threshold"], near["others"]) == (threshold, others)


def test_below_the_only_cut_off_of_a_ratio_lies_another_answer():
    rows = [{"id": name, "when": {"rv_volume_z": limits}, "then": {"answer": name}} for name, limits in {"a": "< 0.5", "b": ">= 0.5"}.items()]
    assert decide({**TABLE, "applies": {}, "rows": rows}, {"rv_volume_z": 0.6})["near"]["others"] == ["a"]


def test_where_the_other_side_has_no_answer_at_all_it_is_passed_over():
    unsaid = {**TABLE, "silent": ""}
    assert decide(unsaid, {**R2, "doppler_peak_mmhg": 51})["near"]["threshold"] == 64
    beyond = decide(unsaid, {**R2, "doppler_peak_mmhg": 39})["near"]
    assert (beyond["threshold"], beyond["others"]) == (50, ["moderate_grade"])


# Faults


def test_the_first_fault_alone_gives_its_kind_and_several_kinds_a_plain_refusal():
    for given, kind in [({"doppler_peak_mmhg": 761}, OutOfRange), ({"doppler_peak_mmhg": -21}, OutOfRange), ({"symptoms": "maybe"}, NotUnderstood),
                        ({"peak": 3}, NotUnderstood), ({"doppler_peak_mmhg": 40, "doppler_mean_mmhg": 41}, NoResult), ({"symptoms": 3}, NotUnderstood),
                        ({"doppler_peak_mmhg": "60"}, NotUnderstood), ({"symptoms": "x", "doppler_peak_mmhg": True}, NotUnderstood),
                        ({"symptoms": "x", "doppler_peak_mmhg": 999}, Refusal), ({"age_years": None, "doppler_peak_mmhg": 999}, OutOfRange)]:
        with pytest.raises(Refusal) as caught:
            decide(TABLE, given)
        assert type(caught.value) is kind, given
    for allowed in (-20, 760):
        assert checked(TABLE, {"doppler_peak_mmhg": allowed, "symptoms": None}) == {"doppler_peak_mmhg": allowed}
    assert checked(TABLE, {"doppler_peak_mmhg": 40, "doppler_mean_mmhg": 40, "rv_volume_z": -9}) == {"doppler_peak_mmhg": 40, "doppler_mean_mmhg": 40, "rv_volume_z": -9}


def test_faults_are_sentences_about_their_field_in_order():
    with pytest.raises(Refusal) as caught:
        decide({**TABLE, "choices": None}, {"symptoms": "no", "doppler_peak_mmhg": 999, "anatomy": 3, "doppler_peak_mhg": 4})
    told = dict(caught.value.faults)
    assert list(told) == ["anatomy", "doppler_peak_mhg", "doppler_peak_mmhg", "symptoms"]
    assert told["anatomy"] == "anatomy is not an input of invented." and told["symptoms"] == "Symptoms must be a finite number."
    assert told["doppler_peak_mhg"] == "doppler_peak_mhg is not an input of invented; nearest name: doppler_peak_mmhg."
    assert told["doppler_peak_mmhg"].startswith("Doppler peak 999") and "−20 to 760" in told["doppler_peak_mmhg"]
    with pytest.raises(NotUnderstood, match="^Symptoms must be chosen: yes or no\\.$"):
        decide(TABLE, {"symptoms": "perhaps"})
    with pytest.raises(NotUnderstood, match="^Duct must be chosen: closed or open; nearest name: closed\\.$"):
        decide({**TABLE, "asks_for": ["duct"], "choices": {"duct": ["closed", "open"]}}, {"duct": "close"})
    with pytest.raises(NoResult) as trace:
        decide(TABLE, {"doppler_peak_mmhg": 40, "doppler_mean_mmhg": 41})
    assert trace.value.faults == [("doppler_mean_mmhg", f"A {MEAN} 41{MMHG} cannot exceed the {PEAK} 40{MMHG} of the same trace.")]


def test_typed_texts_are_read_blanks_left_out_and_each_field_told_once():
    found = run(TABLE, {"age_years": "30", "doppler_peak_mmhg": " 62,5 ", "doppler_mean_mmhg": "", "symptoms": "yes", "rv_volume_z": None})
    assert found["ok"] is True and found["row"] == "R2" and found["unchecked"] == ["rv_volume_z"]
    assert run(TABLE, {"age_years": 30, "doppler_peak_mmhg": "  ", "symptoms": ""})["missing"] == ["doppler_peak_mmhg", "doppler_mean_mmhg", "symptoms"]
    refused = run(TABLE, {"doppler_peak_mmhg": "many", "symptoms": "maybe", "age_years": "999"})
    assert (refused["ok"], refused["name"]) == (False, "invented")
    assert [field for field, _ in refused["faults"]] == ["age_years", "doppler_peak_mmhg", "symptoms"]
    assert dict(refused["faults"])["doppler_peak_mmhg"].startswith("Peak Doppler gradient “many” is not a plain number")
    assert run({**TABLE, "choices": None}, {"symptoms": "yes"})["faults"][0][1].startswith("Symptoms “yes” is not a plain number")


def test_a_table_takes_what_it_asks_for_and_no_blank():
    assert inputs_for(TABLE, {"age_years": 0, "annulus_mm": 12, "symptoms": None, "doppler_peak_mmhg": 3}) == {"age_years": 0, "doppler_peak_mmhg": 3}


# Words of a row


def test_a_row_in_words_has_its_alternatives_in_one_entry_and_counts_its_criteria():
    assert branch_words(TABLE, TABLE["rows"][3]["when"]) == [f"{PEAK} more than 64{MMHG}", f"{MEAN} at most 35{MMHG}", "without symptoms"]
    assert row_words(TABLE, TABLE["rows"][2]) == [f"{PEAK} more than 64{MMHG}", f"with symptoms or {MEAN} more than 35{MMHG}"]
    counted = {"at_least": {"count": 2, "of": [{"symptoms": "yes"}, [{"rv_volume_z": "> 4", "symptoms": "no"}, {"doppler_peak_mmhg": "> 80"}]]}}
    assert row_words(TABLE, counted) == [
        f"at least 2 of: with symptoms; without symptoms and right ventricular volume z-score more than 4 or {PEAK} more than 80{MMHG}"]


@pytest.mark.parametrize("on, said", [("3 March 2025", " on 3 March 2025"), ("9 May 2001", " on 9 May 2001"), ("0 x", " on 0 x"),
                                      ("December 2025", " in December 2025"), (None, ""), (2025, " on 2025")])
def test_the_day_a_document_was_replaced_reads_as_a_day_and_a_month_as_a_month(on, said):
    assert superseded_words({"superseded_by": "Invented 2010", "superseded_on": on}) == f"superseded{said} by Invented 2010"
    assert superseded_words({"superseded_on": on}) == ""

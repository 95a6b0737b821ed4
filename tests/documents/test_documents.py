"""Decision tables: every cut-off of every document, three-valued truth, refusals, and both interpreters."""

import json
import math
import re

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from pvcalc.core.errors import NotUnderstood, OutOfRange, Refusal
from pvcalc.core.units import unit_of
from pvcalc.decision.binding import bound, branches, names_in
from pvcalc.decision.conditions import (
    BadCondition, all_of, any_of, at_least, condition_words, edges_of, holds, read_condition,
)
from pvcalc.decision.evaluate import answer_of, decide, inputs_for, run
from pvcalc.decision.words import row_words
from pvcalc.handbook.data.table_walk import cells_of
from pvcalc.page import bridge, documents
from tests.documents import edges as first
from tests.documents import edges_lab as lab
from tests.documents import edges_more as more
from tests.documents.situations import CAUTIONS, OPEN, SITUATIONS, W8, WORDS

EDGES = (first.SEVERITY + first.TREAT + first.SURGERY + more.REGURGITATION + more.REPLACEMENT + more.RIGHT_VENTRICLE
         + lab.SIZING + lab.CONTRAST + lab.RESIDUAL + lab.AFTERWARDS + lab.SUCCESS)
A_LITTLE = 1e-4  # nearer to a cut-off than any two cut-offs of one table are to each other
# Every adult document stops at 18 years; severity_acc_2025 and the two child tables stand for that edge.
EIGHTEEN = ("age_years", 18.0)


def number(text, settings):
    """A cut-off of an expectation: a number, a share, or the setting that the house named."""
    if text.startswith("="):
        return settings[text[1:]]
    over, _, under = text.partition("/")
    return float(over) / float(under) if under else float(over)


def apart(loaded):
    """The settings with a little on top of each, so that no two of one unit have one value: a name for another is noticed."""
    values = {key: setting.value for key, setting in loaded.data.settings.items()}
    keys = {}
    for key in sorted(key for key in values if loaded.data.settings[key].kind == "number"):
        keys.setdefault(unit_of(key)["symbol"], []).append(key)
    return {**values, **{key: values[key] + 4 * A_LITTLE * place for same in keys.values() for place, key in enumerate(same, 1)}}


def expectations(segments, settings):
    """(value, expected answer) just below, at and just above every cut-off."""
    for place in range(1, len(segments), 2):
        below, mark, above = segments[place - 1:place + 2]
        edge = number(mark.strip("[]"), settings)
        at = "silent" if mark[0] == "]" else above if mark[0] == "[" else below
        yield edge - A_LITTLE, below
        yield edge, at
        yield edge + A_LITTLE, above


@pytest.mark.parametrize("name, quantity, others, segments", EDGES, ids=[f"{e[0]}-{e[1]}-{n}" for n, e in enumerate(EDGES)])
def test_each_document_at_below_and_above_its_cut_offs(loaded, name, quantity, others, segments):
    for value, expected in expectations(segments, loaded.settings):
        given = {**others, quantity: value}
        assert decide(loaded.tables[name], given)["answer"] == expected == answer_of(loaded.tables[name], given), (quantity, value)


@pytest.mark.parametrize("name, quantity, others, segments", [edge for edge in EDGES if "=" in "".join(edge[3][1::2])])
def test_each_house_table_follows_the_settings_it_names(loaded, name, quantity, others, segments):
    settings = apart(loaded)
    table = bound(loaded.written[name], settings)
    for value, expected in expectations(segments, settings):
        assert decide(table, {**others, quantity: value})["answer"] == expected, (quantity, value)


def test_every_setting_that_a_house_table_compares_with_has_an_expectation(loaded):
    expected = {(name, quantity, mark.strip("[]=")) for name, quantity, _, segments in EDGES for mark in segments[1::2] if "=" in mark}
    compared = {(name, quantity, key) for name, table in loaded.written.items() for steps, branch in branches(table)
                for quantity, condition in branch.items() for key in names_in(condition) if steps[0] != "cautions"}
    compared -= {one for one in compared if one[2] == "adult_from_years"}  # the test of adults' and children's documents below
    assert compared == expected and len(compared) > 20


def test_no_cut_off_of_any_table_is_left_without_an_expectation(loaded):
    expected = {(name, quantity, number(mark.strip("[]"), loaded.settings))
                for name, quantity, _, segments in EDGES for mark in segments[1::2]}
    for name, table in loaded.tables.items():
        for quantity in table["asks_for"]:
            if quantity not in (table.get("choices") or {}):
                for edge in edges_of(table, quantity):
                    assert (name, quantity, edge) in expected or (quantity, edge) == EIGHTEEN, (name, quantity, edge)


# Books and series that happen to speak of adults and draw no line at an age.
NO_AGE_LIMIT = {"good_late_adults_2015", "success_adults_2014", "suboptimal_adults_87",
                "pr_jet_eacvi_2013"}


def test_every_adult_document_refuses_a_child_and_every_child_document_an_adult(loaded):
    for table in loaded.tables.values():
        limit = (table.get("applies") or {}).get("age_years")
        if limit is None:
            of_adults = re.match(r"(healthy |adolescents and |[0-9,]+ )?adults\b(?! and children)", table["population"])
            assert not of_adults or not table["rows"] or table["name"] in NO_AGE_LIMIT, table["name"]
        else:
            sign, edge = read_condition(limit)[1][0]
            assert edge in (10, 16, 18), table["name"]
            wrong = edge - 0.1 if sign == ">=" else edge
            choices = table.get("choices") or {}
            answer = decide(table, {"age_years": wrong, **{n: (table["applies"].get(n) or words[0]) for n, words in choices.items()}})
            assert answer["answer"] == "not_applicable", table["name"]


W9 = {"age_years": 68, "symptoms": "yes", "doppler_peak_mmhg": 160, "valve": "domed"}


def test_the_board_question_of_the_woman_of_21_is_answered_with_a_balloon(loaded):
    answer = decide(loaded.tables["treat_acc_2008"], W8)
    assert (answer["answer"], answer["row"]) == ("yes", "A-I14")
    assert answer["recalled"] == "class and level recalled"
    assert decide(loaded.tables["treat_acc_2008"], dict(W8, symptoms="no", doppler_mean_mmhg=35, cardiac_output="normal"))["answer"] == "silent"
    assert decide(loaded.tables["severity_acc_2025"], {"age_years": 21, "doppler_peak_mmhg": 60, "doppler_mean_mmhg": 30})["answer"] == "moderate"
    assert decide(loaded.tables["treat_aha_2018"], inputs_for(loaded.tables["treat_aha_2018"], W8))["row"] == "A-I1"


def test_the_woman_of_68_with_160_mmhg_is_severe_by_every_doppler_scheme(loaded):
    seen = 0
    for table in loaded.tables.values():
        if table["topic"] == "severity" and "doppler_peak_mmhg" in table["asks_for"]:
            assert decide(table, inputs_for(table, W9))["answer"] == "severe", table["name"]
            seen += 1
    assert seen >= 7


@pytest.mark.parametrize("name, inputs, answer, row", SITUATIONS, ids=[f"{s[0]}-{n}" for n, s in enumerate(SITUATIONS)])
def test_a_situation_gets_the_documents_own_row(loaded, name, inputs, answer, row):
    found = decide(loaded.tables[name], inputs)
    assert (found["answer"], found["row"]) == (answer, row), found["headline"]


def test_a_line_of_words_names_every_word_of_its_choice(loaded):
    for name, choice, _, words in WORDS:
        assert sorted(words) == sorted(loaded.tables[name]["choices"][choice]), (name, choice)


@pytest.mark.parametrize("name, inputs, possible, missing", OPEN)
def test_an_open_situation_keeps_open_no_more_than_the_document_does(loaded, name, inputs, possible, missing):
    found = decide(loaded.tables[name], inputs)
    assert (found["answer"], found["row"], sorted(found["possible"]), found["missing"]) == ("cannot_evaluate", "", sorted(possible), missing)


@pytest.mark.parametrize("name, inputs, pieces", CAUTIONS)
def test_a_caution_is_shown_where_it_holds_and_nowhere_else(loaded, name, inputs, pieces):
    found = decide(loaded.tables[name], inputs)["cautions"]
    assert len(found) == len(pieces) and all(piece in caution for piece, caution in zip(pieces, found)), found


# Same patient, different verdict: 80 mmHg before, 38 after.
FALL = {"residual_gradient_mmhg": 38, "gradient_fall_percent": 52.5, "rv_systemic_fall_percent": 30, "treated_again": "no"}
VERDICTS = [("success_registry_2012", "success"), ("success_adults_2014", "success"), ("good_late_adults_2015", "not_good"),
            ("immediate_childhood", "above_36"), ("success_cadavid_2006", "not_success"), ("suboptimal_adults_87", "suboptimal"),
            ("suboptimal_multicentre_1994", "suboptimal"), ("restenosis_1998", "not_restenosis"), ("residual_228", "neither")]


@pytest.mark.parametrize("name, verdict", VERDICTS)
def test_a_fall_from_80_to_38_is_success_or_failure_by_the_definition(loaded, name, verdict):
    assert decide(loaded.tables[name], inputs_for(loaded.tables[name], FALL))["answer"] == verdict


def test_a_missing_input_is_never_a_no(loaded):
    found = decide(loaded.tables["treat_acc_2008"], dict(W8, symptoms="no", doppler_peak_mmhg=55))
    assert found["answer"] == "cannot_evaluate"
    assert found["missing"] == ["doppler_mean_mmhg"]
    assert found["possible"] == ["yes"]
    assert "mean Doppler gradient" in found["headline"]
    found = decide(loaded.tables["treat_acc_2008"], {"age_years": 30, "symptoms": "yes", "valve": "domed", "doppler_peak_mmhg": 70})
    assert found["missing"] == ["pulmonary_regurgitation"]
    assert found["possible"] == ["no", "yes"]
    assert decide(loaded.tables["severity_esc_2020"], {"doppler_peak_mmhg": 70})["missing"] == ["age_years"]


def test_an_earlier_open_row_keeps_a_later_true_one_back(loaded):
    found = decide(loaded.tables["residual_action"], {"newborn": "no", "tear": "no", "valve_gradient_mmhg": 80})
    assert found["answer"] == "cannot_evaluate" and "new_regurgitation" in found["missing"]


def test_the_peak_bounds_a_missing_mean_and_the_mean_a_missing_peak(loaded):
    table = loaded.tables["treat_acc_2008"]
    low = dict(W8, symptoms="no", doppler_peak_mmhg=40, cardiac_output="normal")
    assert decide(table, low)["row"] == "A-I18"  # a mean above 40 is impossible under a peak of 40
    without_peak = {key: value for key, value in W8.items() if key != "doppler_peak_mmhg"}
    assert decide(table, {**without_peak, "doppler_mean_mmhg": 55})["row"] == "A-I14"
    assert decide(loaded.tables["treat_acc_2008"], dict(low, doppler_peak_mmhg=40.5))["missing"] == ["doppler_mean_mmhg"]


def test_optional_inputs_may_be_left_out_and_are_named(loaded):
    found = decide(loaded.tables["severity_acc_2025"], {"age_years": 40, "doppler_peak_mmhg": 50, "doppler_mean_mmhg": 30})
    assert found["answer"] == "moderate" and found["unchecked"] == ["rv_function"]


def test_why_and_why_not_are_in_words(loaded):
    found = decide(loaded.tables["treat_acc_2008"], W8)
    assert "with symptoms" in found["why"]
    assert "peak Doppler gradient 60\u00a0mmHg: more than 50\u00a0mmHg" in found["why"]
    silent = decide(loaded.tables["treat_esc_2020"], dict(first.ESC, symptoms="yes", doppler_peak_mmhg=64))
    assert dict(silent["not_met"])["A-I8"] == ["peak Doppler gradient 64\u00a0mmHg, not more than 64\u00a0mmHg"]
    assert "the document has no row here" in silent["headline"]
    assert silent["silent"].startswith("the document has no row here, and no row at 64 mmHg exactly; not met: peak Doppler gradient more than 64\u00a0mmHg")


def test_a_page_tells_in_words_why_a_document_is_silent_open_or_answered_without_an_input(loaded):
    def told(name, **given):
        return documents.answer_parts(decide(loaded.tables[name], given))
    gap = told("severity_catheter_era", age_years=40, catheter_peak_to_peak_mmhg=49.5)
    assert gap["words"] == "the document has no row here"
    assert gap["why"].startswith("the printed bands leave 49 to 50 mmHg, and 79 to 80 with 80 itself, without a row; not met: ")
    needed = told("treat_china_2020_child", severe_dysplasia="no")
    assert needed["why"] == "still needed: gradient (kind not stated in the source), other level; still possible: yes"
    without = told("severity_acc_2025", age_years=40, doppler_peak_mmhg=50, doppler_mean_mmhg=30)
    assert without["unchecked"] == "Not given, and not looked at: RV function."
    beyond = documents.answer_parts(decide(loaded.tables["treat_aha_2018"], {
        "age_years": 40, "symptoms": "no", "doppler_peak_mmhg": 50, "doppler_mean_mmhg": 36}, {"doppler_mean_mmhg": 2}))
    assert beyond["cut_off"].endswith("on the other side the answer is none, because the document has no row there.")
    assumed = documents.answer_parts(decide(loaded.tables["treat_esc_2020"], dict(first.ESC, symptoms="yes", doppler_peak_mmhg=70)))
    assert assumed["assumed"].endswith(".") and not assumed["assumed"].endswith("..")


def test_at_the_cut_off_is_said_within_the_window_and_the_unrounded_value_classified(loaded):
    table = loaded.tables["severity_esc_2020"]
    found = decide(table, {"age_years": 30, "doppler_peak_mmhg": 64.2}, {"doppler_peak_mmhg": 1.6})
    assert found["answer"] == "severe" and found["near"]["threshold"] == 64
    assert "0.2\u00a0mmHg from 64\u00a0mmHg" in found["at_cut_off"] and "moderate" in found["at_cut_off"]
    assert decide(table, {"age_years": 30, "doppler_peak_mmhg": 66}, {"doppler_peak_mmhg": 1.6})["at_cut_off"] == ""
    assert decide(table, {"age_years": 30, "doppler_peak_mmhg": 65.6}, {"doppler_peak_mmhg": 1.6})["at_cut_off"] != ""
    assert "exactly 64" in decide(table, {"age_years": 30, "doppler_peak_mmhg": 64})["at_cut_off"]
    assert decide(table, {"age_years": 30, "doppler_peak_mmhg": 64 + 1e-6})["answer"] == "severe"


def test_a_hair_left_by_arithmetic_counts_as_the_cut_off(loaded):
    assert 1.2 * 12 != 14.4
    assert decide(loaded.tables["ratio_zone"], {"balloon_annulus_ratio": 1.2 * 12 / 12 - 2e-16, "newborn": "no"})["answer"] == "target"
    assert decide(loaded.tables["rv_pressure"], {"systemic_pressure": "ordinary", "rv_systemic_ratio": 80 / 120})["answer"] == "severe_pressure"


def test_cautions_and_labels_travel_with_the_answer(loaded):
    both = [decide(loaded.tables[name], inputs_for(loaded.tables[name], dict(W8, pulmonary_regurgitation="severe")))
            for name in ("treat_aha_2018", "treat_acc_2008")]
    assert [one["answer"] for one in both] == ["yes", "no"]
    assert all("valve team" in " ".join(one["cautions"]) for one in both)
    assert "under-called" in decide(loaded.tables["severity_acc_2025"],
                                    {"age_years": 40, "doppler_peak_mmhg": 35, "rv_function": "reduced"})["cautions"][0]
    trade = decide(loaded.tables["severity_trade_doppler"], {"doppler_peak_mmhg": 62})
    assert "commonly quoted, no source found" in trade["headline"] and trade["seen"] == "practice"
    assert decide(loaded.tables["severity_acc_2008"], {"age_years": 30, "doppler_peak_mmhg": 55})["recalled"] == "recalled"
    assert decide(loaded.tables["treat_aha_2018"], {"age_years": 40, "symptoms": "yes", "doppler_peak_mmhg": 50})["recalled"] == "limits recalled"
    assert decide(loaded.tables["severity_aha_2018"], {"age_years": 30, "doppler_peak_mmhg": 55})["superseded"].startswith("superseded in December 2025 by ACC/AHA 2025")


def test_every_trade_row_says_that_no_source_was_found(loaded):
    rows = [(table, row) for table in loaded.tables.values() for row in table["rows"] if row["id"].startswith("trade:")]
    assert len(rows) >= 15
    for table, row in rows:
        assert table["mark"] == "commonly quoted, no source found" and row["source"] == row["seen"] == "practice"


def test_all_faults_come_together_and_are_typed(loaded):
    table = loaded.tables["treat_acc_2008"]
    with pytest.raises(Refusal) as refusal:
        decide(table, {"age_years": "old", "symptoms": "maybe", "doppler_peak_mmhg": 9000, "annulus_mm": 3})
    assert [field for field, _ in refusal.value.faults] == ["age_years", "annulus_mm", "doppler_peak_mmhg", "symptoms"]
    with pytest.raises(NotUnderstood, match="must be chosen: yes or no"):
        decide(table, {"symptoms": "maybe"})
    with pytest.raises(NotUnderstood, match="nearest name: doppler_peak_mmhg"):
        decide(table, {"doppler_peek_mmhg": 3})
    with pytest.raises(OutOfRange):
        decide(table, {"doppler_peak_mmhg": 9000})
    with pytest.raises(Refusal, match="cannot exceed"):
        decide(table, {"doppler_peak_mmhg": 40, "doppler_mean_mmhg": 41})


@pytest.mark.parametrize("value", [math.nan, math.inf, True, [3], "60"])
def test_what_is_no_number_is_refused(loaded, value):
    with pytest.raises(NotUnderstood):
        decide(loaded.tables["severity_german_2017"], {"doppler_peak_mmhg": value})


def test_typed_text_is_read_and_its_faults_collected(loaded):
    table = loaded.tables["severity_esc_2020"]
    assert run(table, {"age_years": "30", "doppler_peak_mmhg": "64,5"})["answer"] == "severe"
    refused = run(table, {"age_years": "x", "doppler_peak_mmhg": "1,2.3"})
    assert not refused["ok"] and [field for field, _ in refused["faults"]] == ["age_years", "doppler_peak_mmhg"]
    assert run(table, {"age_years": "", "doppler_peak_mmhg": "50"})["missing"] == ["age_years"]


TRUTHS = [
    (all_of, [True, None], None), (all_of, [False, None], False), (all_of, [], True),
    (any_of, [True, None], True), (any_of, [False, None], None), (any_of, [], False),
]


@pytest.mark.parametrize("function, truths, expected", TRUTHS)
def test_three_valued_truth(function, truths, expected):
    assert function(truths) is expected


@pytest.mark.parametrize("truths, expected", [([True, True, None], True), ([True, None, False], None), ([True, False, False], False)])
def test_counting_criteria_with_open_ones(truths, expected):
    assert at_least(2, truths) is expected


@pytest.mark.parametrize("text", ["> sixty", ">", "", ">> 3", "36 to 64", "< 1/0", "> 3 and", 60, [], [""], "> nan"])
def test_a_condition_that_cannot_be_read_is_refused(text):
    with pytest.raises(BadCondition):
        read_condition(text)


def test_conditions_read_and_speak():
    assert read_condition(">= 36 and <= 64") == ("number", [(">=", 36.0), ("<=", 64.0)])
    assert condition_words("doppler_peak_mmhg", "> 60") == "peak Doppler gradient more than 60\u00a0mmHg"
    assert condition_words("doppler_mean_mmhg", "> 35 and <= 40") == "mean Doppler gradient more than 35 and at most 40\u00a0mmHg"
    assert condition_words("rv_systemic_ratio", ">= 2/3").endswith("at least 2/3")
    assert condition_words("pulmonary_regurgitation", ["none", "mild"]) == "pulmonary regurgitation: none or mild"
    assert holds("doppler_peak_mmhg", "= 64", {"doppler_peak_mmhg": 64}) is True
    assert holds("doppler_mean_mmhg", "= 64", {"doppler_peak_mmhg": 40}) is False


def test_a_row_speaks_its_alternatives_and_its_count(loaded):
    words = row_words(loaded.tables["treat_acc_2008"], loaded.tables["treat_acc_2008"]["rows"][2])
    assert words[-1] == "peak Doppler gradient more than 60\u00a0mmHg or mean Doppler gradient more than 40\u00a0mmHg"
    counted = row_words(loaded.tables["replacement_geva_mr"], loaded.tables["replacement_geva_mr"]["rows"][0])
    assert counted[-1].startswith("at least 2 of: ") and "QRS duration more than 140\u00a0ms" in counted[-1]


@drawn(peak=st.floats(0, 200), mean=st.floats(0, 200), symptoms=st.sampled_from(["yes", "no"]), valve=st.sampled_from(["domed", "dysplastic"]),
       regurgitation=st.sampled_from(["none", "mild", "moderate", "severe"]), output=st.sampled_from(["normal", "reduced"]),
       left_out=st.sets(st.sampled_from(["doppler_peak_mmhg", "doppler_mean_mmhg", "symptoms", "valve", "pulmonary_regurgitation", "cardiac_output"])))
def test_an_answer_given_early_never_changes_when_the_rest_is_told(loaded, peak, mean, symptoms, valve, regurgitation, output, left_out):
    table = loaded.tables["treat_acc_2008"]
    whole = {"age_years": 40, "doppler_peak_mmhg": max(peak, mean), "doppler_mean_mmhg": min(peak, mean), "symptoms": symptoms,
             "valve": valve, "pulmonary_regurgitation": regurgitation, "cardiac_output": output}
    full = decide(table, whole)
    part = decide(table, {key: value for key, value in whole.items() if key not in left_out})
    assert full["answer"] != "cannot_evaluate"
    if part["answer"] == "cannot_evaluate":
        assert part["missing"] and set(part["missing"]) <= left_out
    else:
        assert (part["answer"], part["row"]) == (full["answer"], full["row"])


def sample_cells(table, most=12):
    """A spread of the walk's own combinations, with one input left out now and then."""
    if not table["rows"]:
        return [{}]
    names, lists = cells_of(table)
    return [{name: values[(number * (place + 1)) % len(values)] for place, (name, values) in enumerate(zip(names, lists))
             if (number + place) % 5 != 4} for number in range(most)]


def test_both_interpreters_answer_alike_word_for_word(loaded, engine_with_tables):
    asked = [{"op": "block", "tables": [table["name"]], "window": {"doppler_peak_mmhg": 1.6, "balloon_annulus_ratio": 0.02},
              "given": {key: value for key, value in cell.items() if value is not None}}
             for table in loaded.tables.values() for cell in sample_cells(table)]
    assert len(asked) > 1000
    text = json.dumps(asked)
    ours, theirs = json.loads(bridge.reply(text)), json.loads(engine_with_tables.reply(text))
    for request, here, there in zip(asked, ours, theirs, strict=True):
        assert here == there, request
    assert sum(1 for answer in ours if answer["ok"]) > 900


@pytest.fixture(scope="module")
def engine_with_tables(loaded):
    """An engine that knows the tables; this interpreter's bridge knows them for as long."""
    from pvcalc.handbook.engine.process import Engine
    # Tables as written: each interpreter puts the settings in by itself.
    values = {key: setting.value for key, setting in loaded.data.settings.items()}
    data, before = json.dumps({"settings": values, "tables": loaded.written}, default=str), dict(bridge.DATA)
    bridge.DATA.update(json.loads(data))
    with Engine(data, modules=[]) as running:
        yield running
    bridge.DATA.clear()
    bridge.DATA.update(before)

"""Low pressure after the balloon: HIGH, LOW and BETWEEN in mmHg, and what the drill answers in the invented situations."""

from itertools import product
from types import SimpleNamespace

import pytest

from pvcalc.core.errors import Refusal
from pvcalc.decision.conditions import row_truth
from pvcalc.formulas.low_pressure import (
    low_pressure_triggers, ra_level_after_balloon, ra_level_without_before, rv_level_after_balloon,
)
from pvcalc.handbook.checks import situations
from pvcalc.handbook.data.table_walk import cells_of
from tests.helpers.edges import assert_range
from tests.handbook.test_entries import ROOT

TABLE = "hypotension_after_deflation"
SITUATIONS = situations.load(ROOT)[0]
# The rule in figures, written down apart from the settings so that another department's settings do not bend these tests.
RV = {"high_from_ratio": 0.9, "high_over_systemic_ratio": 0.7, "over_systemic_mmhg": 10, "low_to_ratio": 2 / 3}
RA = {"rise_mmhg": 5, "small_rise_mmhg": 3, "small_below_kg": 10, "high_from_mmhg": 15, "fall_mmhg": 3, "low_to_mmhg": 2}
WEAK = {"high_from_mmhg": 15, "low_below_mmhg": 5}


def rv(now, before, systemic):
    """HIGH, LOW or BETWEEN."""
    return dict(rv_level_after_balloon(rv_now_mmhg=now, rv_before_mmhg=before, systemic_now_mmhg=systemic, **RV))["rv_level"]


def ra(now, before, weight):
    """HIGH, LOW or ORDINARY."""
    return dict(ra_level_after_balloon(ra_now_mmhg=now, ra_before_mmhg=before, weight_kg=weight, **RA))["ra_level"]


@pytest.mark.parametrize("now, before, systemic, word", [
    (90, 100, 200, "HIGH"), (89.9, 100, 200, "BETWEEN"),  # nine tenths, whatever systemic is
    (70, 100, 60, "HIGH"), (69.9, 100, 50, "BETWEEN"), (70, 100, 60.1, "BETWEEN"),  # seven tenths and ten above systemic
    (66, 99, 90, "LOW"), (66.1, 99, 90, "BETWEEN"),  # two thirds
    (60, 100, 50.1, "LOW"), (60, 100, 50, "BETWEEN"),  # ten above systemic is never LOW
    (63, 70, 90, "HIGH"),  # 0.9 × 70 in binary lies above 63
    (85, 98, 52, "HIGH"), (45, 100, 50, "LOW"), (240, 125, 60, "HIGH"),
])
def test_the_ventricle_is_held_against_its_own_pressure_before(now, before, systemic, word):
    assert rv(now, before, systemic) == word


@pytest.mark.parametrize("now, before, weight, word", [
    (11, 6, 10, "HIGH"), (10.9, 6, 10, "ORDINARY"), (9, 6, 9.9, "HIGH"), (9, 6, 10, "ORDINARY"), (8.9, 6, 9.9, "ORDINARY"),
    (15, 12, 40, "HIGH"), (14.9, 12, 40, "ORDINARY"), (16, 18, 40, "ORDINARY"), (18, 18, 40, "HIGH"), (15, 18, 40, "LOW"),
    (3, 6, 40, "LOW"), (3.1, 6, 40, "ORDINARY"), (2, 3, 40, "LOW"), (2.1, 3, 40, "ORDINARY"), (2, -1, 4, "HIGH"),
])
def test_the_atrium_is_held_against_its_own_mean_before(now, before, weight, word):
    assert ra(now, before, weight) == word


@pytest.mark.parametrize("now, word", [(15, "HIGH"), (14.9, "ORDINARY"), (5, "ORDINARY"), (4.9, "LOW")])
def test_an_atrium_that_nobody_read_before_is_weak(now, word):
    answer = dict(ra_level_without_before(ra_now_mmhg=now, **WEAK))
    assert answer["ra_level"] == word and answer["how_sure"].startswith("weak")


def test_the_board_carries_the_patients_own_lines():
    board = dict(low_pressure_triggers(rv_before_mmhg=62, ra_before_mmhg=6, weight_kg=25, **RA,
                                       **{key: value for key, value in RV.items() if key != "over_systemic_mmhg"}))
    assert [round(value) for value in board.values()] == [56, 43, 41, 11, 3]


@pytest.mark.parametrize("before, systemic", list(product((30, 62, 98, 150), (30, 52, 90))))
def test_the_edges_that_are_shown_are_the_edges_that_decide(before, systemic):
    answer = dict(rv_level_after_balloon(rv_now_mmhg=50, rv_before_mmhg=before, systemic_now_mmhg=systemic, **RV))
    high, low = answer["rv_high_from_mmhg"], answer["rv_low_to_mmhg"]
    assert (rv(high, before, systemic), rv(high - 0.01, before, systemic)) == ("HIGH", "BETWEEN")
    assert (rv(low - 0.01, before, systemic), rv(low + 0.01, before, systemic)) == ("LOW", "BETWEEN")


def test_shares_that_do_not_rise_are_refused():
    with pytest.raises(Refusal, match="shares must rise"):
        rv_level_after_balloon(rv_now_mmhg=50, rv_before_mmhg=60, systemic_now_mmhg=50, **dict(RV, low_to_ratio=0.75))
    with pytest.raises(Refusal, match="shares must rise"):
        low_pressure_triggers(rv_before_mmhg=60, ra_before_mmhg=6, weight_kg=20, high_from_ratio=0.75, high_over_systemic_ratio=0.8,
                              low_to_ratio=0.6, **RA)


def test_the_ranges_are_those_of_a_patient():
    ventricle = {"rv_now_mmhg": 60, "rv_before_mmhg": 90, "systemic_now_mmhg": 60, **RV}
    assert_range(rv_level_after_balloon, ventricle, "rv_now_mmhg", 5, 260)
    assert_range(rv_level_after_balloon, ventricle, "rv_before_mmhg", 5, 260)
    assert_range(rv_level_after_balloon, ventricle, "systemic_now_mmhg", 10, 260)
    atrium = {"ra_now_mmhg": 6, "ra_before_mmhg": 6, "weight_kg": 20, **RA}
    assert_range(ra_level_after_balloon, atrium, "ra_now_mmhg", -5, 45)
    assert_range(ra_level_after_balloon, atrium, "weight_kg", 0.4, 250)


# The situations

def value(key):
    """The rule in figures, by the key of its setting."""
    figures = {"rv_high_from_ratio": 0.9, "rv_high_over_systemic_ratio": 0.7, "rv_over_systemic_mmhg": 10, "rv_low_to_ratio": 2 / 3,
               "ra_low_below_unknown_mmhg": 5, **{f"ra_{name}": number for name, number in RA.items()}}
    return figures[key]


def answered(loaded, situation):
    """The row that the drill takes."""
    return situations.answered(loaded.tables[TABLE], situation, situations.read(situation, value))


def test_the_situations_are_many_and_reach_every_answer_of_the_drill(loaded):
    assert len(SITUATIONS) >= 40
    assert sum(situation.unobstructed for situation in SITUATIONS.values()) >= 14
    assert {row["then"]["answer"] for row in loaded.tables[TABLE]["rows"]} == {situation.answer for situation in SITUATIONS.values()}
    assert situations.findings(loaded) == []


@pytest.mark.parametrize("name", SITUATIONS)
def test_the_numbers_of_a_situation_read_as_the_sheet_says(name):
    assert situations.read(SITUATIONS[name], value) == SITUATIONS[name].reads


@pytest.mark.parametrize("name", SITUATIONS)
def test_a_situation_is_answered_and_nothing_harmful_is_given(loaded, name):
    situation = SITUATIONS[name]
    found = answered(loaded, situation)
    assert found["answer"] == situation.answer
    for drug in situation.harms:
        assert found["then"][drug] == ("not_full" if drug == "oxygen" else "no"), drug
    if situation.gives:
        assert found["then"]["inotrope"] == situation.gives


@pytest.mark.parametrize("old, new, told", [
    ("sees: {ventricle_on_echo: outflow_shutting}", "sees: {ventricle_echo: outflow_shutting}", "no input of the drill is called `ventricle_echo`"),
    ("sees: {ventricle_on_echo: outflow_shutting}", "sees: {ventricle_on_echo: shut}", "`shut`"),
    ("answer: dynamic_obstruction", "answer: dynamic_obstuction", "dynamic_obstruction"),
    ('ground: "row: E-EJ1"', 'ground: "row: E-EJ99"', "E-EJ99"),
    ("harms: [inotrope, larger_balloon]", "harms: [inotropes]", "harms"),
    ("  title: Boy of 8 years", "  titel: Boy of 8 years", "titel"),
])
def test_a_slip_in_a_situation_is_told_with_file_and_line(loaded, tmp_path, old, new, told):
    text = (ROOT / situations.PLACE).read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / situations.PLACE
    path.parent.mkdir(parents=True)
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    planted = SimpleNamespace(root=tmp_path, tables=loaded.tables, data=loaded.data)
    line = text[:text.index(old)].count("\n") + 1
    found = [str(finding) for finding in situations.findings(planted)]
    assert any(told in one and one.startswith(f"{situations.PLACE.as_posix()}:") for one in found), found
    assert any(abs(int(one.split(":")[1]) - line) <= 12 for one in found)


def test_an_unobstructed_ventricle_that_is_not_said_to_be_harmed_is_a_fault(loaded, tmp_path):
    text = (ROOT / situations.PLACE).read_text(encoding="utf-8").replace("harms: [beta_blocker, inotrope, volume, larger_balloon]", "harms: [volume]")
    path = tmp_path / situations.PLACE
    path.parent.mkdir(parents=True)
    path.write_text(text, encoding="utf-8")
    found = situations.findings(SimpleNamespace(root=tmp_path, tables=loaded.tables, data=loaded.data))
    assert found and all("harmed by a beta-blocker" in str(one) for one in found)


def test_the_page_shows_every_situation_and_marks_one_that_is_not_met(built_site):
    html = (built_site / "reference" / "situations.html").read_text(encoding="utf-8")
    for situation in SITUATIONS.values():
        assert situation.title in html.replace("&#x27;", "'").replace("&amp;", "&")
    assert "the drill meets them all" in html and "Not met" not in html


def test_no_unobstructed_ventricle_reaches_a_beta_blocker(loaded):
    for name, situation in SITUATIONS.items():
        if situation.unobstructed:
            assert answered(loaded, situation)["then"]["beta_blocker"] == "no", name


def test_a_beta_blocker_asks_for_a_high_ventricle_and_a_proof_and_never_for_numbers_alone(loaded):
    table = loaded.tables[TABLE]
    names, lists = cells_of(table)
    trials = 0
    for values in product(*lists):
        given = dict(zip(names, values))
        row = next(row for row in table["rows"] if row_truth(table, row, given))
        if row["then"]["beta_blocker"] == "trial":
            trials += 1
            assert given["rv_level"] == "high" and given["fluid"] == "no" and given["rhythm"] == "usual" and given["other_sign"] == "none"
            assert given["ventricle_on_echo"] == "outflow_shutting" or given["step_on_pullback"] == "below_valve"
            assert row["then"]["inotrope"] == "no" and given["ventricle_on_echo"] != "big_and_still"
        if row["then"]["inotrope"] == "yes":
            assert given["ventricle_on_echo"] == "big_and_still" and given["rv_level"] != "high" and given["fluid"] == "no"
        if given["fluid"] == "yes" and given["pulse"] == "present" and given["balloon_down"] == "yes" and given["rhythm"] == "usual":
            assert row["then"]["answer"] in ("tamponade", "tear")
    assert trials > 0


def test_every_row_with_a_pulse_says_no_to_a_larger_balloon(loaded):
    assert {row["then"].get("larger_balloon") for row in loaded.tables[TABLE]["rows"]} == {"no"}



# The sheets that follow from it: what stands on them word for word, and in which order

EXACT = [
    "Fluid with a low pressure is tamponade whatever the atrium reads: drain.",
    "Numbers do not part tamponade from a failing ventricle: echo does.",
    "No beta-blocker on numbers: RV HIGH AND the outflow seen shutting (or the step below the valve).",
    "Muscle just before arrest empties and reads BETWEEN: fill, pressor, ECMO.",
    "second venous catheter / long side-arm sheath / none. NONE: tricuspid jet + atrium. Never give up the wire for a number.",
    "systemic, RV, PA, RA mean, RV end-diastolic, rate, saturation",
]


def sheet(name):
    """(numbered steps, whole text) of a drill."""
    text = (ROOT / f"kb/drills/{name}.md").read_text(encoding="utf-8")
    return [line.strip() for line in text.splitlines() if line.startswith("    ") and line.strip()[:1].isdigit()], text


@pytest.mark.parametrize("words", EXACT)
def test_the_low_pressure_sheet_says_it_word_for_word(words):
    assert words in sheet("hypotension")[1]


def place(steps, word):
    """Number of the step that first holds a word."""
    return next(number for number, step in enumerate(steps) if word in step)


def test_the_pressor_and_the_volume_come_before_esmolol_and_the_proof_before_all():
    steps, text = sheet("infundibular-spasm")
    assert place(steps, "PROVE") < place(steps, "inotropes off") < place(steps, "phenylephrine") < place(steps, "esmolol")
    assert place(steps, "volume") == place(steps, "phenylephrine")
    assert "[=esmolol_trial_micrograms_kg]" in steps[place(steps, "esmolol")] and "ONE trial dose" in text
    assert "no inotrope FOR IT" in text and "do not deepen while the pressure is low" in text
    assert "deepen" not in " ".join(steps)


def test_full_oxygen_in_the_low_pressure_sheet_names_its_exception_in_the_same_step():
    step, = [step for step in sheet("hypotension")[0] if "xygen" in step]
    assert "NOT in a circular shunt" in step


def test_no_drill_with_a_ventricle_that_is_not_obstructed_offers_a_beta_blocker():
    for name in ("perforation", "tear", "heart-block", "failing-ventricle", "allergy", "air", "lung-oedema", "vascular", "protamine"):
        steps, text = sheet(name)
        assert "esmolol" not in text.lower() and "propranolol" not in text.lower(), name
        assert all("beta-blocker" not in step or "stop" in step or "no beta-blocker" in step for step in steps if "beta-blocked" not in step), name


def test_the_failing_ventricle_gets_a_pressor_and_an_inotrope_and_no_volume():
    steps, text = sheet("failing-ventricle")
    assert place(steps, "NO fluid") == 0 and place(steps, "stop volume") < place(steps, "noradrenaline")
    assert "noradrenaline, adrenaline_pump, dobutamine, milrinone" in text


def test_a_monitored_fibrillation_is_shocked_before_compressions_and_adults_are_not_dosed_by_weight():
    steps, text = sheet("arrest")
    assert "shock FIRST" in steps[1] and "[=stacked_shocks_count]" in steps[1] and "Compress." in text
    for key in ("arrest_child_below_years", "arrest_adult_from_kg", "dose_adult_from_years"):
        assert f"[={key}]" in text


def test_a_sinus_rhythm_is_not_shocked():
    steps, text = sheet("fast-heart")
    assert "SINUS: find the cause, do not shock" in steps[place(steps, "SINUS")] and place(steps, "SINUS") < place(steps, "SYNCHRONISED")


@pytest.mark.parametrize("name, words", [
    ("local-anaesthetic", ["stop the local anaesthetic", "no lidocaine, no beta-blocker", "Do not** give propofol instead of lipid", "vasopressin"]),
    ("pacing", ["[=pace_newborn_low_bpm]", "[=pace_child_bpm]", "[=pace_adult_bpm]", "[=pace_output_ma]", "feel the PULSE"]),
    ("perforation", ["below the breastbone", "median 9 mL/kg, quartiles 4.5 to 27 mL/kg", "whatever the atrium reads: drain"]),
    ("protamine", ["stop protamine", "NO volume", "adrenaline"]),
])
def test_the_sheets_that_were_missing_say_what_kills_and_what_helps(name, words):
    text = sheet(name)[1]
    for piece in words:
        assert piece in text, piece

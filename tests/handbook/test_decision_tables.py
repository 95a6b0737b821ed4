"""The reader of decision tables: the shipped tables are sound, and planted faults are caught with file and line."""

from types import SimpleNamespace

import pytest

from pvcalc.handbook.checks.table_faults import SOUND, WORKS, planted
from pvcalc.handbook.checks.table_faults import TABLE_FAULTS as FAULTS
from pvcalc.handbook.data import decision_tables
from pvcalc.handbook.data.table_walk import cells_of
from pvcalc.handbook.data.yaml_lines import read_document

def data(documents, sources=("author1900",), settings=()):
    """What the reader of tables is given: documents, known sources, and settings as (key, value, low, high, not above)."""
    known = {key: SimpleNamespace(kind="number", value=value, low=low, high=high, not_above=above) for key, value, low, high, above in settings}
    return SimpleNamespace(tables=documents, sources={name: WORKS.get(name) for name in sources}, settings=known, documents={})


def read(folder, text, name="invented", sources=tuple(WORKS), settings=()):
    """Tables and findings of one file with this text."""
    path = folder / f"{name}.yml"
    path.write_text(text.lstrip("\n"), encoding="utf-8")
    document, findings = read_document(folder, path)
    found, more = decision_tables.load(folder, data({name: document}, sources, settings))
    return found, findings + more


@pytest.mark.parametrize("old, new, also, by, message", [fault[1:] for fault in FAULTS], ids=[fault[0] for fault in FAULTS])
def test_a_planted_fault_is_caught_with_its_file_and_line(tmp_path, old, new, also, by, message):
    text, line = planted(old, new, also, by)
    found, findings = read(tmp_path, text)
    matching = [one for one in findings if message in one.message]
    assert matching, "\n".join(map(str, findings))
    assert (matching[0].path, matching[0].line) == ("invented.yml", line)


def test_the_sound_table_is_sound_and_a_plain_dict(tmp_path):
    found, findings = read(tmp_path, SOUND)
    assert findings == []
    table = found["stenosis_invented"]
    assert (table["name"], table["topic"], len(table["rows"])) == ("stenosis_invented", "invented", 3)
    assert type(table["rows"][0]["when"]) is dict


def test_first_allows_an_overlap_but_not_a_row_that_is_never_first(tmp_path):
    text = SOUND.replace("policy: only-one", "policy: first").replace('"<= 60"', '"<= 200"')
    assert read(tmp_path, text)[1] == []
    hidden = text.replace('when: {symptoms: "no", doppler_peak_mmhg: "> 60"}', 'when: {symptoms: "no"}')
    assert [one.message for one in read(tmp_path, hidden)[1]] == ["stenosis_invented: X-3 is never reached"]


def test_a_table_without_rows_says_what_nobody_has_seen(tmp_path):
    head = SOUND[:SOUND.index("  rows:")].replace("asks_for: [doppler_peak_mmhg, symptoms]", "asks_for: []")
    head = head[:head.index("  choices:")]
    found, findings = read(tmp_path, head + "  rows: []\n")
    assert "must say under `not_seen`" in findings[0].message
    assert read(tmp_path, head + "  not_seen: [the table]\n  rows: []\n")[1] == []


def test_a_name_that_stands_in_two_files_is_reported(tmp_path):
    documents = {}
    for name in ("one", "two"):
        (tmp_path / f"{name}.yml").write_text(SOUND.lstrip("\n"), encoding="utf-8")
        documents[name] = read_document(tmp_path, tmp_path / f"{name}.yml")[0]
    findings = decision_tables.load(tmp_path, data(documents))[1]
    assert [str(one) for one in findings] == ["two.yml:1: stenosis_invented: a table of this name stands in one.yml too"]


def test_a_file_that_is_no_mapping_is_reported(tmp_path):
    (tmp_path / "one.yml").write_text("- a\n", encoding="utf-8")
    document = read_document(tmp_path, tmp_path / "one.yml")[0]
    findings = decision_tables.load(tmp_path, data({"one": document}, ()))[1]
    assert [one.path for one in findings] == ["one.yml"] and "mapping" in findings[0].message


def test_a_product_too_large_to_walk_is_reported_and_not_walked(tmp_path):
    names = [f"{letter}{letter}_mm" for letter in "abcdefghij"]
    rows = ""
    for number in range(1, 5):  # five patterns for each of ten names: nearly ten million cells
        when = ", ".join(f'{name}: "> {number * 10}"' for name in names)
        rows += (f'    - id: "X-{number}"\n      when: {{{when}}}\n      then: {{answer: a}}\n'
                 "      source: practice\n      seen: practice\n")
    head = SOUND[:SOUND.index("  asks_for")]
    text = head + f"  silent: here\n  asks_for: [{', '.join(names)}]\n  rows:\n" + rows
    assert "too many to walk" in read(tmp_path, text)[1][0].message


def test_the_walk_takes_both_sides_of_every_cut_off_and_the_cut_off(loaded):
    names, lists = cells_of(loaded.tables["severity_esc_2020"])
    assert names == ["age_years", "doppler_peak_mmhg"]
    assert [sum(1 for value in lists[1] if low <= value <= high) for low, high in ((-20, 35.9), (36, 64), (64.1, 400))] == [1, 1, 1]
    assert cells_of(loaded.tables["headline_doubt"])[1][2] == [7, 8], "left out is walked with the side it cannot be told from"


def test_the_shipped_tables_hold_no_fault(loaded):
    assert [str(one) for one in loaded.findings if "_tables" in one.path] == []
    assert len(loaded.tables) >= 145


def test_every_row_names_a_work_and_a_place_or_says_practice_or_recalled(loaded):
    counted = {"practice": 0, "memory": 0, "a work": 0}
    for table in loaded.tables.values():
        for row in table["rows"]:
            key = row["source"].partition(",")[0]
            counted[key if key in counted else "a work"] += 1
            assert key in counted or key in loaded.data.sources, row["id"]
            assert row["seen"] == key if key in ("practice", "memory") else row["seen"] != "practice", row["id"]
            if "recalled" in row["source"]:
                assert row["seen"] == "memory", (table["name"], row["id"])
    assert counted["a work"] > counted["practice"] > counted["memory"]


def test_no_row_types_a_dose(loaded):
    for table in loaded.written.values():  # a setting that a row names is not typed
        for row in table["rows"]:
            words = " ".join(str(value) for value in row["then"].values())
            assert not any(unit in words for unit in ("mg", "micrograms", "units/kg", "mL/kg"))


def test_the_gap_that_matters_most_is_still_called_not_seen(loaded):
    table = loaded.tables["treat_acc_2025"]
    assert table["rows"] == [] and "2018" in table["not_seen"][0]


# --- tables that name settings ---------------------------------------------------------------------------------------

HOUSE = """
steps:
  title: What to do
  document: House rule, to be signed by the department
  source: practice
  seen: practice
  population: anybody
  policy: only-one
  asks_for: [left_mmhg]
  assumes: ["Read again after [=wait_minutes]."]
  rows:
    - id: "house:low"
      when: {left_mmhg: "< =stop_mmhg"}
      then: {answer: stop}
      source: practice
      seen: practice
    - id: "house:between"
      when: {left_mmhg: ">= =stop_mmhg and < =up_mmhg"}
      then: {answer: think}
      source: practice
      seen: practice
    - id: "house:high"
      when: {left_mmhg: ">= =up_mmhg"}
      then: {answer: up}
      source: practice
      seen: practice
"""
STEPS = [("stop_mmhg", 30, 20, 60, "up_mmhg"), ("up_mmhg", 50, 25, 60, None), ("wait_minutes", 5, 1, 10, None)]


def line_of(text):
    """Line of the first place where a text stands in the house table."""
    return HOUSE.lstrip("\n")[:HOUSE.index(text) - 1].count("\n") + 1


def test_a_table_names_settings_in_conditions_and_sentences(tmp_path):
    found, findings = read(tmp_path, HOUSE, settings=STEPS)
    assert findings == [] and found["steps"]["reads"] == ["stop_mmhg", "up_mmhg", "wait_minutes"]
    assert found["steps"]["rows"][0]["when"] == {"left_mmhg": "< =stop_mmhg"}  # as written: the values are put in by whoever asks


@pytest.mark.parametrize("old, new, at, message", [
    ('"< =stop_mmhg"', '"< =stopp_mmhg"', '"< =stop_mmhg"', "steps: no setting is called `stopp_mmhg`; nearest: `stop_mmhg`"),
    ("[=wait_minutes]", "[=wait_minute]", "assumes", "steps: no setting is called `wait_minute`; nearest: `wait_minutes`"),
    ('">= =up_mmhg"', '">= =wait_minutes"', '">= =up_mmhg"', "steps: `left_mmhg` is in mmHg, the setting `wait_minutes` in min"),
    ('"< =stop_mmhg"', '"< 30"', '"< =stop_mmhg"',
     "steps: `left_mmhg` is compared with 30, typed here; a house table names a setting, `< =key`; of this value: `stop_mmhg`"),
    ("and < =up_mmhg", "and < 50", "and < =up_mmhg",
     "steps: `left_mmhg` is compared with 50, typed here; a house table names a setting, `< =key`; of this value: `up_mmhg`"),
    ('"< =stop_mmhg"', '"=stop_mmhg"', '"< =stop_mmhg"', "steps: left_mmhg: “=stop_mmhg” is not a comparison")])
def test_a_setting_that_a_table_names_wrongly_is_told_with_its_line(tmp_path, old, new, at, message):
    (told,) = read(tmp_path, HOUSE.replace(old, new, 1), settings=STEPS)[1]
    assert (told.path, told.line) == ("invented.yml", line_of(at)) and told.message.startswith(message)


def test_what_is_commonly_quoted_and_a_caution_with_its_work_keep_their_numbers(tmp_path):
    quoted = HOUSE.replace("House rule, to be signed by the department", "Common practice").replace("=stop_mmhg", "30")
    assert read(tmp_path, quoted, settings=STEPS)[1] == []
    caution = "  cautions:\n    - when: {left_mmhg: \">= 40\"}\n      text: Meets the rule again.\n      source: "
    cited = HOUSE.replace("  rows:", caution + "author1900, page 3\n  rows:")
    assert read(tmp_path, cited, settings=STEPS)[1] == []
    assert "compared with 40" in read(tmp_path, cited.replace("author1900, page 3", "practice"), settings=STEPS)[1][0].message


def test_a_gap_at_the_end_of_a_range_is_found_and_a_bound_pair_opens_none(tmp_path):
    assert read(tmp_path, HOUSE, settings=STEPS)[1] == []
    free = [("stop_mmhg", 30, 20, 60, None), *STEPS[1:]]
    told = [one.message for one in read(tmp_path, HOUSE, settings=free)[1]]
    assert any("both hold for" in words and words.endswith("with stop_mmhg at 60\u00a0mmHg") for words in told)
    assert any("both hold for" in words and words.endswith("with up_mmhg at 25\u00a0mmHg") for words in told) or len(told) == 1


def test_a_row_whose_band_a_department_closes_is_no_fault_but_one_that_no_value_reaches_is(tmp_path):
    closed = [("stop_mmhg", 50, 20, 60, "up_mmhg"), *STEPS[1:]]
    assert read(tmp_path, HOUSE, settings=closed)[1] == []
    fixed = [("stop_mmhg", 50, 50, 50, "up_mmhg"), ("up_mmhg", 50, 50, 50, None), STEPS[2]]
    assert [one.message for one in read(tmp_path, HOUSE, settings=fixed)[1]] == ["steps: house:between is never reached"]


def test_a_setting_with_a_fault_of_its_own_is_not_told_again_by_the_tables_that_name_it(tmp_path):
    path = tmp_path / "invented.yml"
    path.write_text(HOUSE.lstrip("\n"), encoding="utf-8")
    document, _ = read_document(tmp_path, path)
    given = data({"invented": document}, settings=STEPS[1:])
    given.documents = {"settings": SimpleNamespace(value={key: {} for key, *_ in STEPS})}
    assert decision_tables.load(tmp_path, given)[1] == []

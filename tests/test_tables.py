"""The reader of decision tables: the shipped tables are sound, and planted faults are caught with file and line."""

from types import SimpleNamespace

import pytest

from pvcalc.handbook import tables
from pvcalc.handbook.faultlist_tables import SOUND, planted
from pvcalc.handbook.faultlist_tables import TABLE_FAULTS as FAULTS
from pvcalc.handbook.tablechecks import cells_of
from pvcalc.handbook.yamlfile import read_document

def read(folder, text, name="invented", sources=("author1900",)):
    """Tables and findings of one file with this text."""
    path = folder / f"{name}.yml"
    path.write_text(text.lstrip("\n"), encoding="utf-8")
    document, findings = read_document(folder, path)
    found, more = tables.load(folder, SimpleNamespace(tables={name: document}, sources=dict.fromkeys(sources)))
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
    findings = tables.load(tmp_path, SimpleNamespace(tables=documents, sources={"author1900": 1}))[1]
    assert [str(one) for one in findings] == ["two.yml:1: stenosis_invented: a table of this name stands in one.yml too"]


def test_a_file_that_is_no_mapping_is_reported(tmp_path):
    (tmp_path / "one.yml").write_text("- a\n", encoding="utf-8")
    document = read_document(tmp_path, tmp_path / "one.yml")[0]
    findings = tables.load(tmp_path, SimpleNamespace(tables={"one": document}, sources={}))[1]
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
    assert None in cells_of(loaded.tables["severity_acc_2025"])[1][2]  # the optional mean, left out


def test_the_shipped_tables_hold_no_fault(loaded):
    assert [str(one) for one in loaded.findings if "_tables" in one.path] == []
    assert len(loaded.tables) >= 150


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


def test_no_row_carries_a_dose(loaded):
    for table in loaded.tables.values():
        for row in table["rows"]:
            words = " ".join(str(value) for value in row["then"].values())
            assert not any(unit in words for unit in ("mg", "micrograms", "units/kg", "mL/kg"))


def test_the_gap_that_matters_most_is_still_called_not_seen(loaded):
    table = loaded.tables["treat_acc_2025"]
    assert table["rows"] == [] and "2018" in table["not_seen"][0]

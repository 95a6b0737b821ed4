"""The ledger of numbers: stale or unexplained movement stops the check and names the command that mends it."""

import subprocess
import sys

from pvcalc.handbook.checks import ledger
from pvcalc.handbook.data import project
from pvcalc.handbook.reference.tables_page import table_lines


def test_the_committed_ledger_is_what_the_chapters_compute(live):
    assert [str(finding) for finding in ledger.check(live)] == []


def test_a_changed_setting_makes_the_ledger_stale_and_one_written_anew_needs_a_line_in_the_change_list(copy_of_project):
    path = copy_of_project / "kb" / "_data" / "settings.yml"
    text = path.read_text(encoding="utf-8")
    assert "value: 1.25" in text
    path.write_text(text.replace("value: 1.25", "value: 1.24", 1), encoding="utf-8")
    loaded = project.load(copy_of_project)
    found = ledger.check(loaded)
    assert [finding.path for finding in found] == [ledger.LEDGER]
    assert "stale" in found[0].message and "python -m pvcalc ledger --write" in found[0].message
    now, _ = ledger.lines(loaded)
    gone, come = ledger.moved(ledger.read(copy_of_project), now)
    assert any("balloon_range_mm" in line and "high_ratio=1.25" in line for line in gone)
    assert any("balloon_range_mm" in line and "high_ratio=1.24" in line for line in come)
    ledger.write(copy_of_project, now)
    found = ledger.check(loaded)
    assert [finding.path for finding in found] == [ledger.CHANGES]
    assert f"ledger {ledger.digest(now)}" in found[0].message


def test_every_line_names_page_kind_name_and_inputs(loaded):
    lines, _ = ledger.lines(loaded)
    assert len(lines) > 500
    assert all(line.count(" | ") >= 4 for line in lines)
    assert len(lines) == len(set(lines)), "a number stands once for each page that shows it"


def test_the_order_of_the_formulas_does_not_hang_on_what_was_imported_first(root):
    program = "import sys; __import__('pvcalc.' + sys.argv[1]); from pvcalc.handbook.data import catalogue; print(' '.join(catalogue.load()))"
    told = [subprocess.run([sys.executable, "-c", program, first], cwd=root, capture_output=True, text=True, check=True).stdout
            for first in ("formulas.flow", "formulas.resistance", "formulas.oxygen_uptake", "sizing.zones")]
    assert len(set(told)) == 1 and len(told[0].split()) > 100


NOT_SAID = {"name", "topic", "reads", "asks_for", "choices", "read_on"}  # of a table: its file, its questions and their words, the day of reading


def leaves(value, steps=()):
    """(steps, value) of every word and number in plain data."""
    if isinstance(value, dict):
        for key, member in value.items():
            yield from leaves(member, (*steps, key))
    elif isinstance(value, list):
        for place, member in enumerate(value):
            yield from leaves(member, (*steps, place))
    else:
        yield steps, value


def replaced(value, steps, leaf):
    """A copy of plain data with one leaf replaced."""
    if not steps:
        return leaf
    made = list(value) if isinstance(value, list) else dict(value)
    made[steps[0]] = replaced(made[steps[0]], steps[1:], leaf)
    return made


def test_every_word_and_cut_off_of_every_decision_table_stands_in_the_ledger(loaded):
    tried = 0
    for table in loaded.written.values():
        said = {key: table[key] for key in table if key not in NOT_SAID}
        before = table_lines(table)
        for steps, leaf in leaves(said):
            other = leaf + 1 if isinstance(leaf, (int, float)) else f"{leaf} moved"
            assert table_lines(replaced(table, steps, other)) != before, (table["name"], steps)
            tried += 1
    assert tried > 3500


def test_a_class_that_moved_makes_the_ledger_stale(copy_of_project):
    path = copy_of_project / "kb" / "_data" / "_tables" / "treat.yml"
    text = path.read_text(encoding="utf-8")
    assert "class: IIa" in text
    path.write_text(text.replace("class: IIa", "class: IIb", 1), encoding="utf-8")
    found = ledger.check(project.load(copy_of_project))
    assert [finding.path for finding in found] == [ledger.LEDGER] and "1 lines went and 1 came" in found[0].message

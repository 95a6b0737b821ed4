"""The ledger of numbers: stale or unexplained movement stops the check and names the command that mends it."""

import subprocess
import sys

from pvcalc.handbook import ledger, project


def test_the_committed_ledger_is_what_the_chapters_compute(loaded):
    assert [str(finding) for finding in ledger.check(loaded)] == []


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
    program = "import sys; __import__('pvcalc.' + sys.argv[1]); from pvcalc.handbook import catalogue; print(' '.join(catalogue.load()))"
    told = [subprocess.run([sys.executable, "-c", program, first], cwd=root, capture_output=True, text=True, check=True).stdout
            for first in ("flow", "resistance", "oxygen_uptake", "zones")]
    assert len(set(told)) == 1 and len(told[0].split()) > 100

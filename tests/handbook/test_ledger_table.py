"""What moved between two ledgers, for people: one screen, the same move on several pages once, and why."""

from pvcalc.handbook.checks import ledger, ledger_table

RANGE = "{page} | formula | balloon_range_mm | annulus_mm=18.4 high_ratio={high} low_ratio=1.2 | low_mm=22.08 high_mm={mm}"
OLD = [RANGE.format(page=page, high="1.25", mm="23") for page in ("plan", "sizing", "technique")] + ["sizing | setting | target_high_ratio |  | 1.25"]
NEW = [RANGE.format(page=page, high="1.2", mm="22.08") for page in ("plan", "sizing", "technique")] + ["sizing | setting | target_high_ratio |  | 1.2"]


def test_one_setting_is_told_once_with_its_reason():
    assert ledger_table.rows(OLD, NEW) == [
        ("plan and 2 more", "formula balloon_range_mm", "low_mm=22.08 high_mm=23", "low_mm=22.08 high_mm=22.08", "high_ratio 1.25 → 1.2"),
        ("sizing", "setting target_high_ratio", "1.25", "1.2", "the setting was changed")]


def test_a_typed_slip_shows_both_numerals():
    line = "drills/x | typed | #now that is # | [derived] | {} mL/kg"
    assert ledger_table.rows([line.format("0.01")], [line.format("0.1")]) == [
        ("drills/x", "typed #now that is #", "0.01 mL/kg", "0.1 mL/kg", "typed anew")]


def test_what_came_and_what_went_say_so():
    assert ledger_table.rows(["a | setting | one |  | 1"], ["a | setting | two |  | 2"]) == [
        ("a", "setting one", "1", "—", "gone"), ("a", "setting two", "—", "2", "new")]


def test_two_long_values_are_shown_from_where_they_part():
    line = "a | plan | one |  | " + "the annulus that counts and much else " * 5 + "proposal {} mm and more"
    told = ledger_table.text([line.format(22)], [line.format(23)])
    assert "proposal 22 mm" in told and "proposal 23 mm" in told


def test_a_hundred_moves_are_one_screen_and_no_line_is_long():
    old = [f"page | setting | key_{number} |  | {'1' * 90}" for number in range(100)]
    told = ledger_table.text(old, [line + "2" for line in old]).splitlines()
    assert len(told) <= 24 and max(map(len, told)) <= 5 * 44 + 8 and "… and 80 more rows" in told
    assert ledger_table.text(old, old).startswith("Nothing moved") and ledger.digest(old) in ledger_table.text(old, old)

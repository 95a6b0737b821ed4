"""The record of changed lines says what was measured and keeps the arguments that were written."""

import importlib.util
from datetime import date
from pathlib import Path

import yaml

from pvcalc import belt
from pvcalc.formula import PRINTED
from pvcalc.handbook import catalogue
from pvcalc.handbook.authoring import Page
from pvcalc.handbook.reference.mutants import LEAST_SCORE, TABLES, mutants_page
from tests import mutant_swap, mutation_record, table_mutants
from tests.mutants import compiles, evidence_lines

DIFF = "@@ -38 +38 @@\n-    if a >= b:\n+    if a == b:"
COUNTS = {"formulas": {"killed": 9, "survived": 1}, "examples": {"killed": 3, "survived": 2}}


def test_every_measured_module_exists_and_reaches_the_score(loaded):
    assert set(loaded.data.mutation) <= {*catalogue.shared_modules(), TABLES}
    for name, one in loaded.data.mutation.items():
        assert 100 * one.killed >= LEAST_SCORE * one.changes, name


def test_every_survivor_is_argued(loaded):
    assert [(name, one.line) for name, module in loaded.data.mutation.items() for one in module.survivors
            if one.argument == mutation_record.UNARGUED] == []


def test_the_page_names_the_modules_that_were_not_measured(loaded):
    html = mutants_page(loaded, Page("kb/reference/mutants.md"))
    waiting = html[html.index('id="not-measured"'):html.index('id="survivors"')]
    for name in catalogue.shared_modules():
        assert (f"<code>{name}</code>" in waiting) is (name not in loaded.data.mutation)


def test_the_decision_tables_stand_there_in_words_and_are_no_module(loaded):
    html = mutants_page(loaded, Page("kb/reference/mutants.md"))
    assert ">decision tables</td>" in html and TABLES not in html
    assert f"In the {len(loaded.data.mutation) - 1} modules measured and in the decision tables they noticed" in html


def test_a_condition_that_an_earlier_row_has_settled_is_told_from_one_that_matters():
    table = {"name": "x", "policy": "first", "silent": "s", "asks_for": ["age_days"], "rows": [
        {"id": "early", "when": {"age_days": "< 28"}, "then": {"answer": "a"}},
        {"id": "late", "when": {"age_days": ">= 28 and < 60"}, "then": {"answer": "b"}}]}
    looser, other = ({**table, "rows": [table["rows"][0], {**table["rows"][1], "when": {"age_days": limits}}]} for limits in ("< 60", "> 28 and < 60"))
    assert table_mutants.makes_no_difference(table, looser)
    assert not table_mutants.makes_no_difference(table, other)


def test_an_argument_outlives_a_new_measurement(tmp_path):
    path = tmp_path / mutation_record.RECORD
    path.parent.mkdir(parents=True)
    mutation_record.keep(tmp_path, "balloon", COUNTS, [DIFF], date(2026, 11, 25))
    first = yaml.safe_load(path.read_text(encoding="utf-8"))["balloon"]
    assert first["survivors"] == [{"line": "if a >= b:", "changed": "if a == b:", "argument": mutation_record.UNARGUED}]
    assert (first["changes"], first["killed"], first["example_changes"], first["example_killed"]) == (10, 9, 5, 3)
    path.write_text(path.read_text(encoding="utf-8").replace(mutation_record.UNARGUED, "a is never above b"), encoding="utf-8")
    mutation_record.keep(tmp_path, "balloon", COUNTS, [DIFF], date(2026, 11, 26))
    assert yaml.safe_load(path.read_text(encoding="utf-8"))["balloon"]["survivors"][0]["argument"] == "a is never above b"


def test_transcribed_examples_are_told_from_formulas():
    source = "X = 1\n\n\nprinted(f, 'a', answer='1')\n\nfor a in (1, 2):\n    printed(f, 'b',\n            answer=a)\n\n\n@formula()\ndef f():\n    return 2\n"
    assert evidence_lines(source) == {4, 6, 7, 8}
    helper = ("@formula()\ndef f():\n    return 2\n\n\ndef both(made, low, high):\n    printed(made, 'a', answer=low)\n"
              "    printed(made, 'b', answer=high)\n\n\nLOW = '1'\nboth(f, LOW, '2')\n")
    assert evidence_lines(helper) == {6, 7, 8, 11, 12}


MODULE = """
LEAST = 3


def doubled(number):
    return 2 * number


def shown(number):
    return [one for one in range(doubled(number)) if one > LEAST]


TABLE = doubled(7)
"""


def loaded_from(path):
    spec = importlib.util.spec_from_file_location("changed_later", path)
    module = importlib.util.module_from_spec(spec)
    with mutant_swap.Loading(path) as loading:
        spec.loader.exec_module(module)
    return module, loading.ran


def test_a_change_in_a_body_reaches_the_function_in_memory(tmp_path):
    path = tmp_path / "changed_later.py"
    path.write_text(MODULE, encoding="utf-8")
    module, ran = loaded_from(path)
    held = module.shown
    assert held(4) == [4, 5, 6, 7]
    pairs = mutant_swap.swaps(MODULE, MODULE.replace("one > LEAST", "one >= LEAST"), path, ran)
    assert mutant_swap.swap(mutant_swap.loaded_functions(path), pairs) == []
    assert mutant_swap.swap({}, pairs) is None
    assert held(4) == [3, 4, 5, 6, 7]


def test_what_ran_on_loading_is_loaded_again(tmp_path):
    path = tmp_path / "changed_later.py"
    path.write_text(MODULE, encoding="utf-8")
    _, ran = loaded_from(path)
    for old, new in [("2 * number", "3 * number"), ("LEAST = 3", "LEAST = 4"), ("doubled(7)", "doubled(8)")]:
        assert mutant_swap.swaps(MODULE, MODULE.replace(old, new), path, ran) is None
        assert not mutant_swap.declares(MODULE, MODULE.replace(old, new))


def test_a_change_concerns_whatever_uses_it_however_far_away():
    for old, new, names in [("2 * number", "3 * number", {"doubled", "shown", "TABLE"}), ("LEAST = 3", "LEAST = 4", {"LEAST", "shown"}),
                            ("one > LEAST", "one < LEAST", {"shown"})]:
        assert mutant_swap.concerned(MODULE, MODULE.replace(old, new)) == names


def test_a_limit_and_an_example_are_declared_anew_in_what_is_loaded():
    path = Path(belt.__file__)
    source = path.read_text(encoding="utf-8")
    held, number = belt.equal_pair_mm, len(PRINTED)
    example = next(one for one in PRINTED if one.source == "belt_case")
    for old, new, found, altered in [("ratio=(0.8, 1.6)", "ratio=(0.8, 1.7)", lambda: held.limits["ratio"].high == 1.7, []),
                                     ("centres_mm=13)", "centres_mm=14)", lambda: example.inputs["centres_mm"] == 14, [example])]:
        changed = source.replace(old, new)
        assert mutant_swap.declares(source, changed) and not found()
        try:
            assert mutant_swap.redeclare(source, changed, path) == altered
            assert found() and len(PRINTED) == number
        finally:
            assert mutant_swap.redeclare(changed, source, path) == altered
        assert not found()


def test_what_is_no_program_any_more_is_no_change():
    assert not compiles("def f(+, a):\n    return a\n")
    assert compiles("def f(*, a):\n    return a\n")

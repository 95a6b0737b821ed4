"""The record of changed lines says what was measured and keeps the arguments that were written."""

import importlib.util
import sys
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import yaml

from pvcalc.core.formula import PRINTED
from pvcalc.draw import svg
from pvcalc.handbook.authoring.extension import Page
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.data.schemas import Mutation
from pvcalc.handbook.reference.mutants_page import LEAST_SCORE, TABLES, mutants_page
from pvcalc.sizing import two_balloons
from tests.mutation import drawn_alike, mutant_pictures, mutant_swap, mutation_record, table_mutants
from tests.mutation.mutants import compiles, evidence_lines, stages_for

ROOT = Path(__file__).resolve().parents[2]

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


def test_what_nobody_can_see_is_kept_apart_and_shown(tmp_path, loaded):
    (tmp_path / mutation_record.RECORD).parent.mkdir(parents=True)
    for within in (0, 7):
        counts = {**COUNTS, "formulas": {**COUNTS["formulas"], "within": within}}
        mutation_record.keep(tmp_path, "draw_x", counts, [], date(2026, 11, 25))
        kept = yaml.safe_load((tmp_path / mutation_record.RECORD).read_text(encoding="utf-8"))["draw_x"]
        assert kept.get("within_a_pixel", 0) == within and kept["changes"] == 10 and kept["killed"] == 9
    measured = Mutation(**{**kept, "killed": 10})
    html = mutants_page(SimpleNamespace(data=SimpleNamespace(mutation={"draw_x": measured})), Page("kb/reference/mutants.md"))
    assert "Within a pixel" in html and ">7</td>" in html and "nobody can see them" in html


DRAWN = ('<svg xmlns="http://www.w3.org/2000/svg"><defs><pattern width="6"/></defs><path d="M10 10l5 5-2.5 3" class="a"/>'
         '<rect x="1" y="2" width="3" height="4" class="b"/><text x="5" y="6">7 mm</text></svg>')


def test_a_drawing_moved_by_one_unit_is_the_same_to_the_eye_and_by_more_is_not():
    for old, new, same in [("M10 10", "M11 9", True), ("M10 10", "M11.02 10", False), ("l5 5-2.5 3", "l5.6 5-2.5 3.6", True), ("l5 5-2.5 3", "l5.6 5-1.5 3", False),
                           ('width="3"', 'width="4"', True), ('x="1" y="2" width="3"', 'x="2" y="2" width="3.5"', False), ('x="5"', 'x="5.9"', True),
                           ("7 mm", "8 mm", False), ('class="a"', 'class="c"', False), ('width="6"', 'width="6.5"', False),
                           ('<text x="5" y="6">7 mm</text>', "", False), ('height="4"', 'height="4" rx="1"', False), ("-2.5 3", "-2.5 3 1 0", False), ("l5 5", "c5 5", False)]:
        assert old in DRAWN and drawn_alike.alike(DRAWN, DRAWN.replace(old, new, 1)) is same, (old, new)


def test_a_change_that_alters_no_drawing_is_not_hidden(monkeypatch, tmp_path):
    monkeypatch.setattr(drawn_alike, "KEPT", tmp_path / "kept.json")
    drawn_alike.keep({"waist"})
    assert not drawn_alike.within({"waist"})
    kept = (tmp_path / "kept.json").read_text(encoding="utf-8")
    for old, new, hidden in [('x=\\"6\\"', 'x=\\"6.5\\"', True), ('x=\\"6\\"', 'x=\\"7.5\\"', False), ("1 Appears", "1 appears", False)]:
        assert old in kept
        (tmp_path / "kept.json").write_text(kept.replace(old, new), encoding="utf-8")
        assert drawn_alike.within({"waist"}) is hidden


def test_the_pictures_that_a_line_reaches_are_found_through_all_modules():
    reached = mutant_pictures.reached(ROOT, "draw.zone_bar")
    assert reached["zone_bar"] == {"balloon_on_annulus", "two_balloons_belt", "error_band"}
    assert reached["patterns"] == reached["zone_bar"] | {"phase_spread"} and reached["_piece"] == reached["zone_bar"]
    assert mutant_pictures.reached(ROOT, "draw.outflow")["pinch"] >= {"balloon_position"} and mutant_pictures.reached(ROOT, "draw.belt")["belt_path"] == {"two_balloons_belt"}
    assert len(mutant_pictures.reached(ROOT, "draw.svg")["at"]) == len(mutant_pictures.reached(ROOT, "draw.svg")["picture"]) == len(svg.PICTURES)


def test_a_module_of_pictures_is_tried_by_the_tests_of_pictures_alone():
    (own, no_names), (files, pictures) = stages_for("draw.axes")
    assert own == ["tests/draw/test_axes.py"] and no_names == [] and "damping" in pictures and "waist" not in pictures
    assert "tests/draw/test_pictures.py" in files and "tests/draw/test_svg.py" not in files
    assert stages_for("draw.phase")[0][1] == ["phase_spread"] and stages_for("draw.svg")[0][0] == ["tests/draw/test_svg.py"]


def test_a_table_that_only_bodies_look_into_is_put_into_the_loaded_module(tmp_path, monkeypatch):
    path = tmp_path / "pvcalc" / "changed_later.py"
    path.parent.mkdir()
    source = MODULE.replace("LEAST = 3", "LEAST = 3\nMOST = 9").replace("TABLE = doubled(7)", "TABLE = doubled(MOST)")
    path.write_text(source, encoding="utf-8")
    module, ran = loaded_from(path)
    monkeypatch.setitem(sys.modules, "changed_later", module)
    for old, new, can in [("LEAST = 3", "LEAST = 4", True), ("MOST = 9", "MOST = 8", False), ("2 * number", "3 * number", False)]:
        assert mutant_swap.is_constant(source, source.replace(old, new), path, ran, []) is can
    other = path.parent / "other.py"
    other.write_text("from pvcalc.changed_later import LEAST\n", encoding="utf-8")
    assert not mutant_swap.is_constant(source, source.replace("LEAST = 3", "LEAST = 4"), path, ran, [])
    assert mutant_swap.set_constant(source, source.replace("LEAST = 3", "LEAST = 6"), path) == [] and module.shown(4) == [7]


def test_the_same_line_twice_keeps_its_two_arguments(tmp_path):
    path = tmp_path / mutation_record.RECORD
    path.parent.mkdir(parents=True)
    mutation_record.keep(tmp_path, "balloon", COUNTS, [DIFF, DIFF.replace("38", "52")], date(2026, 11, 25))
    for argument in ("the first", "the second"):
        path.write_text(path.read_text(encoding="utf-8").replace(mutation_record.UNARGUED, argument, 1), encoding="utf-8")
    third = DIFF.replace("38", "70")
    mutation_record.keep(tmp_path, "balloon", COUNTS, [DIFF, DIFF.replace("38", "52"), third], date(2026, 11, 26))
    kept = yaml.safe_load(path.read_text(encoding="utf-8"))["balloon"]["survivors"]
    assert [one["argument"] for one in kept] == ["the first", "the second", mutation_record.UNARGUED]


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
    path = Path(two_balloons.__file__)
    source = path.read_text(encoding="utf-8")
    held, number = two_balloons.equal_pair_mm, len(PRINTED)
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

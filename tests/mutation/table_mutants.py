"""Change one condition, named setting, choice, answer, caution or rule of a decision table at a time: does a test notice?

    python tests/mutation/table_mutants.py [TABLE…] [--write]       (or: make table-mutants)

The tables are data, which the tool for code does not see. What may notice is the walk that the lint makes over every
table (gaps, overlaps, rows never reached) and the expectations in tests/documents/test_documents.py, which were written from each
document's own text. The ledger is not asked: it repeats what the tables say. Exit 1 below 95 %.
"""

import argparse
import copy
import sys
from datetime import date
from itertools import product
from math import prod
from pathlib import Path
from types import SimpleNamespace

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from pvcalc.core.errors import NoResult, PvcalcError  # noqa: E402
from pvcalc.core.units import unit_of  # noqa: E402
from pvcalc.decision.binding import bound, named, names_in  # noqa: E402
from pvcalc.decision.conditions import (  # noqa: E402  the path is set above
    alternatives, branch_truth, read_condition, read_parts,
)
from pvcalc.decision.evaluate import (  # noqa: E402  the bare decision: its words would make the proof last hours
    _missing, _outcome,
)
from pvcalc.decision.evaluate import decide, inputs_for  # noqa: E402
from pvcalc.handbook.data import project  # noqa: E402
from pvcalc.handbook.data.table_walk import cells_of, possible, walk  # noqa: E402
from pvcalc.handbook.reference.mutants_page import TABLES  # noqa: E402
from tests.documents import test_documents as told  # noqa: E402
from tests.mutation import mutation_record  # noqa: E402

OTHER_SIGNS = {">": (">=", "<"), ">=": (">", "<"), "<": ("<=", ">"), "<=": ("<", ">"), "=": (">=", "<=")}
LEAST_SCORE = 97.0
MOST_CELLS = 500_000  # a proof over more combinations is not tried; the change then counts as not noticed


def changes(table, settings=()):
    """(what was there, what stands there now, changed copy) for every single change of a table.

    Args:
        table: as written; settings: keys that a condition may name instead of another.
    """
    for place, row in enumerate(table["rows"]):
        name = f"{table['name']} {row['id']}"
        for steps, branch in _branches(place, row):
            for key, condition in branch.items():
                for other in _other_conditions(table, key, condition, settings):
                    yield f"{name}: {key} {condition}", f"{key} {other}", _changed(table, steps + [key], other)
                yield f"{name}: {key} {condition}", f"without {key}", _changed(table, steps + [key], None)
        if row.get("at_least"):
            count = row["at_least"]["count"]
            for other in (count - 1, count + 1):
                if 1 <= other <= len(row["at_least"]["of"]):
                    yield f"{name}: at least {count}", f"at least {other}", _changed(table, ["rows", place, "at_least", "count"], other)
        yield f"{name}: answers {row['then']['answer']}", "another answer", _changed(table, ["rows", place, "then", "answer"], "another answer")
        without = copy.deepcopy(table)
        del without["rows"][place]
        yield name, "row left out", without
    for key, condition in (table.get("applies") or {}).items():
        for other in _other_conditions(table, key, condition, settings):
            yield f"{table['name']} applies: {key} {condition}", f"{key} {other}", _changed(table, ["applies", key], other)
        yield f"{table['name']} applies: {key} {condition}", f"without {key}", _changed(table, ["applies", key], None)
    for place, caution in enumerate(table.get("cautions") or []):
        for key, condition in caution["when"].items():
            steps, name = ["cautions", place, "when", key], f"{table['name']} caution {place + 1}: {key}"
            for other in _other_conditions(table, key, condition, settings):
                yield f"{name} {condition}", f"{key} {other}", _changed(table, steps, other)
            yield f"{name} {condition}", f"without {key}", _changed(table, steps, None)
    if table["policy"] == "first" and len(table["rows"]) > 1:
        yield f"{table['name']}: first row that holds", "rows in the other order", dict(copy.deepcopy(table), rows=copy.deepcopy(table["rows"])[::-1])


def _branches(place, row):
    """(steps, branch) of every group of conditions of a row."""
    if row.get("when"):
        yield ["rows", place, "when"], row["when"]
    for number, branch in enumerate(row.get("any") or []):
        yield ["rows", place, "any", number], branch
    for number, criterion in enumerate((row.get("at_least") or {"of": []})["of"]):
        for deep, branch in enumerate(alternatives(criterion)):
            yield ["rows", place, "at_least", "of", number] + ([deep] if isinstance(criterion, list) else []), branch


def _other_conditions(table, key, condition, settings):
    """Other conditions in the place of one; a setting it names gives way to each other setting of its unit."""
    kind, parts = ("number", read_parts(condition)) if names_in(condition) else read_condition(condition)
    if kind == "choice":
        words = [word for word in (table.get("choices") or {}).get(key, []) if word not in parts]
        yield from words
        if len(parts) > 1:
            yield from ([word for word in parts if word != left] for left in parts)
        return
    for place, (sign, value) in enumerate(parts):
        others = ([(sign, other) for other in settings if other != value and unit_of(other)["symbol"] == unit_of(value)["symbol"]]
                  if isinstance(value, str) else [(sign, value * 1.01 + 0.001), (sign, value * 0.99 - 0.001)])
        for other_sign, other in [(one, value) for one in OTHER_SIGNS[sign]] + others:
            changed = [(other_sign, other) if where == place else part for where, part in enumerate(parts)]
            yield " and ".join(f"{one} ={number}" if isinstance(number, str) else f"{one} {number!r}" for one, number in changed)


def _changed(table, steps, value):
    """A copy of the table with one member replaced, or taken out when `value` is None."""
    made = copy.deepcopy(table)
    member = made
    for step in steps[:-1]:
        member = member[step]
    if value is None:
        del member[steps[-1]]
    else:
        member[steps[-1]] = value
    return made


def bound_at(table, settings):
    """A table as written, bound to these settings; what it names is read afresh."""
    return bound(dict(table, reads=named(table)), settings)


def edges_noticed(table, settings):
    """True when an answer beside a cut-off is not the one expected, at these values of the settings."""
    return any(decide(table, {**others, quantity: value})["answer"] != expected
               for name, quantity, others, segments in told.EDGES if name == table["name"]
               for value, expected in told.expectations(segments, settings))


def noticed(written, loaded):
    """True when the walk finds a fault, or the table no longer says what the document or the house says.

    Args:
        written: the table as written; loaded: the project with its settings.
    """
    name, shipped, moved = written["name"], loaded.settings, told.apart(loaded)
    try:
        table = bound_at(written, shipped)
        if next(iter(walk([("", table)])), None):
            return True
        if edges_noticed(table, shipped) or (named(written) and edges_noticed(bound_at(written, moved), moved)):
            return True
        for _, inputs, answer, row in (one for one in told.SITUATIONS if one[0] == name):
            found = decide(table, inputs)
            if (found["answer"], found["row"]) != (answer, row):
                return True
        for _, inputs, answers, missing in (one for one in told.OPEN if one[0] == name):
            found = decide(table, inputs)
            if (sorted(found["possible"]), found["missing"]) != (sorted(answers), missing):
                return True
        for _, inputs, pieces in (one for one in told.CAUTIONS if one[0] == name):
            if len(decide(table, inputs)["cautions"]) != len(pieces):
                return True
        if any(decide(table, inputs_for(table, told.FALL))["answer"] != verdict for one, verdict in told.VERDICTS if one == name):
            return True
        told.test_every_adult_document_refuses_a_child_and_every_child_document_an_adult(SimpleNamespace(tables={name: table}, settings=shipped))
    except (AssertionError, KeyError, PvcalcError):  # a test that breaks has noticed
        return True
    return False


def figure_noticed(written, loaded):
    """True when a cut-off stands there that nobody expects; the page shows it even if no answer hangs on it."""
    told_of = SimpleNamespace(tables={written["name"]: bound_at(written, loaded.settings)}, settings=loaded.settings)
    try:
        told.test_no_cut_off_of_any_table_is_left_without_an_expectation(told_of)
    except AssertionError:
        return True
    return False


def makes_no_difference(table, changed):
    """True when no combination of inputs, each also left out once, gets another answer, row or question back."""
    # One table that holds the conditions of both: its cells are all that either can tell apart.
    beside = [when for one in (table, changed) for when in [one.get("applies") or {}, *(caution["when"] for caution in one.get("cautions") or [])]]
    both = dict(table, rows=table["rows"] + changed["rows"] + [{"when": when} for when in beside])
    names, lists = cells_of(both)
    lists = [values if None in values or name in (table.get("optional") or []) else [*values, None] for name, values in zip(names, lists)]
    if prod(map(len, lists)) > MOST_CELLS:
        return False
    for values in product(*lists):
        given = {name: value for name, value in zip(names, values) if value is not None}
        if possible(given) and _seen(table, given) != _seen(changed, given):
            return False
    return True


def _seen(table, given):
    """What the reader is told: answer and row, or the questions still open and the answers they may lead to; and the cautions."""
    cautions = [caution["text"] for caution in table.get("cautions") or [] if branch_truth(table, caution["when"], given)]
    try:
        answer, row, open_rows = _outcome(table, given)
    except NoResult:
        return "gap"
    if answer != "cannot_evaluate":
        return answer, row and row["id"], cautions
    answers = {one["then"]["answer"] for one in open_rows + [row] * (row is not None)}
    return answer, answers, _missing(table, given, open_rows), cautions


def main():
    parser = argparse.ArgumentParser(description="Does a test notice a changed decision table?")
    parser.add_argument("tables", nargs="*")
    parser.add_argument("--write", action="store_true", help="keep the result in kb/_record/mutation.yml")
    chosen = parser.parse_args()
    loaded = project.load(ROOT)
    tables = loaded.written
    numbers = [key for key, setting in loaded.data.settings.items() if setting.kind == "number"]
    counts, survivors, same = {"killed": 0, "survived": 0}, [], 0
    for name in chosen.tables or sorted(tables):
        assert not noticed(tables[name], loaded), f"{name} fails before any change"
        alive = []
        total = 0
        for before, after, changed in changes(tables[name], numbers):
            if noticed(changed, loaded):
                counts["killed"] += 1
            elif all(makes_no_difference(bound_at(tables[name], values), bound_at(changed, values)) for values in (loaded.settings, told.apart(loaded))):
                if not figure_noticed(changed, loaded):
                    same += 1
                    continue
                counts["killed"] += 1
            else:
                counts["survived"] += 1
                alive.append((before, after))
            total += 1
        if alive:
            print(f"{name}: {len(alive)} of {total} not noticed")
            for before, after in alive:
                print(f"    {before} -> {after}")
        survivors += alive
    total = counts["killed"] + counts["survived"]
    score = 100 * counts["killed"] / total
    print(f"{counts['killed']} of {total} changes noticed: {score:.1f} %; {same} more give nobody another answer")
    if chosen.write:
        mutation_record.keep(ROOT, TABLES, {"formulas": counts, "examples": {"killed": 0, "survived": 0}},
                             [f"-{before}\n+{after}" for before, after in survivors], date.today())
    return 0 if score >= LEAST_SCORE else 1


if __name__ == "__main__":
    sys.exit(main())

"""Walks a decision table over every edge and both sides of it: gaps, overlaps, rows that are never reached.

For each number the walk takes a point below its first cut-off, each cut-off itself, a point between neighbours
and one above the last; for each choice every word; for an optional input also its absence. Points that no
condition can tell apart are walked once, which keeps the product small.
"""

from itertools import product
from math import prod

from pvcalc.core.units import unit_of
from pvcalc.decision.conditions import NEVER_ABOVE, branch_truth, branches_of, edges_of, row_truth
from pvcalc.decision.vocabulary import value_words

MOST_CELLS = 300_000


def walk(variants):
    """Faults of one table as (steps, message) pairs.

    Args:
        variants: (words for a message, table) pairs: the table at the values it ships with, then at other settings. A gap
            or an overlap in any of them is a fault; a row must be reached in one of them.
    """
    reached, told = set(), set()
    for words, table in variants:
        if not table["rows"]:
            return
        names, lists = cells_of(table)
        size = prod(len(values) for values in lists)
        if size > MOST_CELLS:
            yield ("asks_for",), f"{size} combinations are too many to walk; split the table"
            return
        found, inside = _walked(table, names, lists, reached)
        if not inside:
            yield ("applies",), "no combination of inputs lies inside `applies`"
            return
        for steps, message in found:
            # What a document is silent on may vanish at the end of a range, and come back.
            if steps not in told and (steps != ("silent",) or not words):
                told.add(steps)
                yield steps, message + words
    for place, row in enumerate(variants[0][1]["rows"] if variants else []):
        if place not in reached:
            yield ("rows", place), f"{row['id']} is never reached"


def _walked(table, names, lists, reached):
    """(gaps and overlaps as (steps, message), true when any combination lies inside the table); adds to `reached`."""
    overlaps, gap, inside = {}, None, False
    for given in _combinations(table, names, lists):
        if not possible(given) or branch_truth(table, table.get("applies") or {}, given) is not True:
            continue
        inside = True
        true_rows = [place for place, row in enumerate(table["rows"]) if row_truth(table, row, given)]
        if not true_rows:
            gap = gap or given
        else:
            reached.update(true_rows if table["policy"] == "only-one" else true_rows[:1])
            if len(true_rows) > 1:
                overlaps.setdefault((true_rows[0], true_rows[1]), given)
    return list(_faults(table, overlaps, gap)) if inside else [], inside


def _combinations(table, names, lists):
    """Every combination of inputs as a dict; under the policy `first` one that is settled is not varied any further."""
    if table["policy"] != "first" or table.get("optional"):
        for values in product(*lists):
            yield {name: value for name, value in zip(names, values) if value is not None}
        return
    yield from _varied(table, list(zip(names, lists)), {})


def _varied(table, rest, given):
    if not rest or _settled(table, given):
        yield given
        return
    name, values = rest[0]
    for value in values:
        yield from _varied(table, rest[1:], {**given, name: value})


def _settled(table, given):
    """True when the first row that is not excluded holds already, whatever the inputs that are still open."""
    if branch_truth(table, table.get("applies") or {}, given) is not True:
        return False
    truths = (row_truth(table, row, given) for row in table["rows"])
    return next((truth for truth in truths if truth is not False), None) is True


def _faults(table, overlaps, gap):
    rows = table["rows"]
    if gap is not None and not table.get("silent"):
        yield (), f"gap: no row for {cell_words(table, gap)}; add one, or say `silent`"
    if gap is None and table.get("silent"):
        yield ("silent",), "`silent` is said, but every combination has a row"
    if table["policy"] == "only-one":
        for (first, second), cell in overlaps.items():
            yield ("rows", second), (f"overlap: {rows[second]['id']} and {rows[first]['id']} both hold for "
                                     f"{cell_words(table, cell)}; make the policy `first`, or part them")


def cells_of(table):
    """Names and, for each, the values the walk takes; None stands for an optional input left out."""
    used = set()
    for row in table["rows"]:
        for branch in branches_of(row):
            used.update(branch)
    used.update(table.get("applies") or {})
    names = [name for name in table["asks_for"] if name in used]
    return names, [_values(table, name, names) for name in names]


def _values(table, name, names):
    choices = table.get("choices") or {}
    partners = [other for pair in NEVER_ABOVE if name in pair for other in pair if other != name and other in names]
    points = list(choices[name]) if name in choices else _points(table, [name, *partners], name)
    points += [None] if name in (table.get("optional") or []) else []
    return points if partners else _distinct(table, name, points)


def _points(table, names, own):
    """Both sides of every cut-off and the cut-offs, inside the plausible range of the unit."""
    edges = sorted({edge for name in names for edge in edges_of(table, name)})
    points = [edges[0] - 1, *edges, edges[-1] + 1] + [(low + high) / 2 for low, high in zip(edges, edges[1:])]
    unit = unit_of(own)
    if unit["low"] is not None:
        points = [point for point in points if unit["low"] <= point <= unit["high"]]
    return sorted(points)


def _distinct(table, name, points):
    """One point for each pattern of truth over all conditions on this name."""
    conditions = []
    for branch in [table.get("applies") or {}] + [one for row in table["rows"] for one in branches_of(row)]:
        if name in branch:
            conditions.append(branch[name])
    kept = {}
    for point in points:
        given = {} if point is None else {name: point}
        pattern = tuple(branch_truth(table, {name: condition}, given) for condition in conditions)
        kept.setdefault(pattern, point)
    return list(kept.values())


def possible(given):
    """False for inputs that no patient has, a mean gradient above its own peak."""
    return all(given[low] <= given[high] for low, high in NEVER_ABOVE if low in given and high in given)


def cell_words(table, cell):
    """A combination of inputs in words."""
    words = [value_words(name, cell[name]) for name in table["asks_for"] if name in cell]
    words += [f"{name} not given" for name in table.get("optional") or [] if name not in cell]
    return ", ".join(words) if words else "no inputs at all"


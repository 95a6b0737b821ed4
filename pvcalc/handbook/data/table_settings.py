"""Settings that a decision table names: they must exist, carry the unit of what they limit, and never open a gap.

A house table holds no number of its own: what the department decides is a setting, written once, with its reason.
"""

from pvcalc.core.units import is_number, unit_of
from pvcalc.decision import binding
from pvcalc.decision.conditions import NEVER_ABOVE, BadCondition, read_condition, read_parts
from pvcalc.decision.vocabulary import setting_words
from pvcalc.handbook.data.findings import unknown

UNSOURCED = ("practice", "memory")  # of a table or row: no work is named
# Tables of this kind report what is commonly done or said; their numbers are not the department's.
COMMON = "common practice"


def is_house(table) -> bool:
    """True for a rule of the department: it names no work, and does not report what is commonly quoted."""
    return table["source"] == "practice" and not table["document"].lower().startswith(COMMON)


def known(data) -> dict:
    """Key -> setting that a table may name; None for one whose own entry has a fault, which is told there."""
    document = data.documents.get("settings")
    keys = document.value if document is not None and isinstance(document.value, dict) else data.settings
    return {key: data.settings.get(key) for key in keys}


def faults(table, settings):
    """(steps, message) for every named setting that is unknown or measures something else, and every literal of a house table."""
    for steps, branch in binding.branches(table):
        for name, condition in branch.items():
            for key in _names(condition):
                yield from (((*steps, name), message) for message in _key_faults(name, key, settings))
            if is_house(table) and not _cited(table, steps):
                yield from (((*steps, name), message) for message in _literal_faults(name, condition, settings))
    for steps, text in binding.texts_of(table):
        for key in binding.names_in_text(text):
            if key not in settings:
                yield steps, unknown("setting", key, settings)
            elif settings[key] is not None and settings[key].kind not in ("number", "choice"):
                yield steps, f"the setting `{key}` is a list, and a sentence cannot show it"


def _names(condition):
    try:
        return binding.names_in(condition)
    except BadCondition:
        return []  # told where conditions are read


def _key_faults(name, key, settings):
    if key not in settings:
        yield unknown("setting", key, settings)
        return
    setting, ours, theirs = settings[key], unit_of(name), unit_of(key)
    if setting is not None and setting.kind != "number":
        yield f"the setting `{key}` is not a single number, and `{name}` cannot be compared with it"
    elif ours and theirs and (ours["symbol"], ours["symbol"] or ours["meaning"]) != (theirs["symbol"], theirs["symbol"] or theirs["meaning"]):
        yield f"`{name}` is in {ours['symbol'] or ours['meaning']}, the setting `{key}` in {theirs['symbol'] or theirs['meaning']}"


def _cited(table, steps):
    """True for a caution that repeats the number of a work it names."""
    return steps[0] == "cautions" and table["cautions"][steps[1]]["source"] not in UNSOURCED


def _literal_faults(name, condition, settings):
    for number in _literals(condition):
        symbol = (unit_of(name) or {"symbol": ""})["symbol"]
        like = [key for key, setting in settings.items() if setting is not None and setting.value == number
                and (unit_of(key) or {"symbol": None})["symbol"] == symbol]
        hint = f"; of this value: {', '.join(f'`{key}`' for key in like[:3])}" if like else ""
        yield f"`{name}` is compared with {number:g}, typed here; a house table names a setting, `< =key`{hint}"


def _literals(condition):
    try:
        kind, parts = ("number", read_parts(condition)) if _names(condition) else read_condition(condition)
    except BadCondition:
        return []
    return [number for _, number in parts if not isinstance(number, str)] if kind == "number" else []


def variants(table, settings) -> list[tuple[str, dict]]:
    """The table bound to the values it ships with, then with each setting it compares with at either end of its range.

    Returns (words for a message, bound table) pairs, one for each order in which the cut-offs come to stand: a walk over
    another table of the same order would meet the same cells. Settings that may not cross another (`not_above`) stop beside it.
    """
    keys = {key for _, branch in binding.branches(table) for condition in branch.values() for key in _names(condition)}
    table = dict(table, reads=binding.named(table))
    shipped = {key: setting.value for key, setting in settings.items() if setting is not None}
    if any(key not in shipped for key in table["reads"]):
        return []  # the setting's own fault is told at its entry
    made, orders = [("", binding.bound(table, shipped))], set()
    orders.add(_order(made[0][1]))
    for key in sorted(keys):
        for end in (settings[key].low, settings[key].high):
            value = _held(key, end, settings)
            moved = binding.bound(table, {**shipped, key: value})
            if value != shipped[key] and _order(moved) not in orders:
                orders.add(_order(moved))
                made.append((f" with {key} at {setting_words(key, value)}", moved))
    return made


def _order(table):
    """How the cut-offs of each quantity stand to each other, and to what its unit can hold; pairs that bound each other stand together."""
    together = {name: "and".join(pair) for pair in NEVER_ABOVE for name in pair}
    numbers = {}
    for _, branch in binding.branches(table):
        for name, condition in branch.items():
            kind, parts = read_condition(condition)
            if kind == "number":
                unit = unit_of(name) or {"low": None, "high": None}
                ends = [unit["low"], unit["high"]] if unit["low"] is not None else []
                numbers.setdefault(together.get(name, name), []).extend([*ends, *(number for _, number in parts)])
    return tuple((name, tuple(sorted(set(found)).index(number) for number in found)) for name, found in sorted(numbers.items()))


def _held(key, value, settings):
    """A value of a setting, held where it would cross another."""
    above = settings.get(settings[key].not_above)
    if above is not None and is_number(above.value):
        value = min(value, above.value)
    below = [other.value for other in settings.values() if other is not None and other.not_above == key and is_number(other.value)]
    return max([value, *below])

"""Decision tables that name settings, and the department's values put in for the names.

A condition names one as `"< =residual_stop_below_mmhg"`, a text as `[=ecmo_call_minutes]`. Tables stand in their files,
and reach the reader's engine, as written; whoever evaluates them binds them first, with the settings of that moment.
"""

from pvcalc.core.errors import UnknownName
from pvcalc.core.formula import nearest_words
from pvcalc.decision.conditions import alternatives, read_parts
from pvcalc.decision.vocabulary import setting_words

# Fields of a table, of its rows and of its cautions that hold sentences.
TEXTS, LISTS = ("title", "population", "silent", "mark"), ("assumes", "beside", "not_seen")


def names_in(condition):
    """Keys of the settings that a condition names, in order."""
    if not isinstance(condition, str) or "=" not in condition:
        return []
    return [number for _, number in read_parts(condition) if isinstance(number, str)]


def names_in_text(text):
    """Keys of the settings that a sentence names as `[=key]`, in order."""
    return [part.partition("]")[0] for part in text.split("[=")[1:]] if isinstance(text, str) else []


def texts_of(table):
    """(steps, sentence) for every sentence of a table."""
    found = [((field,), table[field]) for field in TEXTS if table.get(field)]
    for field in LISTS:
        found += [((field, place), text) for place, text in enumerate(table.get(field) or [])]
    means = table.get("means") or {}
    found += [(("means", name), means[name]) for name in table["asks_for"] if name in means]
    found += [(("cautions", place, "text"), one["text"]) for place, one in enumerate(table.get("cautions") or [])]
    for place, row in enumerate(table["rows"]):
        found += [(("rows", place, "then", "advice"), row["then"]["advice"])] if row["then"].get("advice") else []
        found += [(("rows", place, "note"), row["note"])] if row.get("note") else []
    return found


def branches(table):
    """(steps, group of conditions) for every group in a table: where it applies, its cautions, its rows."""
    found = [(("applies",), table.get("applies") or {})]
    found += [(("cautions", place, "when"), one["when"]) for place, one in enumerate(table.get("cautions") or [])]
    for place, row in enumerate(table["rows"]):
        found.append((("rows", place, "when"), row.get("when") or {}))
        found += [(("rows", place, "any", at), branch) for at, branch in enumerate(row.get("any") or [])]
        for at, criterion in enumerate((row.get("at_least") or {"of": []})["of"]):
            for deep, branch in enumerate(alternatives(criterion)):
                steps = ("rows", place, "at_least", "of", at)
                found.append((steps + ((deep,) if isinstance(criterion, (list, tuple)) else ()), branch))
    return found


def named(table):
    """Keys of every setting that a table names, each once: those of its conditions, then those of its sentences."""
    found = []
    for _, branch in branches(table):
        for name in table["asks_for"]:
            if name in branch:
                found += [key for key in names_in(branch[name]) if key not in found]
    for _, text in texts_of(table):
        found += [key for key in names_in_text(text) if key not in found]
    return found


def bound(table, settings):
    """A table with the value of every setting it names.

    Args:
        table: as written, with `reads` where it names settings; settings: value by key.
    Returns the table itself when it names none, else a copy: a condition becomes {"compare": [(sign, number), …]}.
    Raises: UnknownName with the nearest key.
    """
    if not table.get("reads"):
        return table
    made = _copy(table)
    for _, branch in branches(made):
        for name in branch:
            if names_in(branch[name]):
                branch[name] = {"compare": [(sign, _value(settings, number)) for sign, number in read_parts(branch[name])]}
    for steps, text in texts_of(made):
        member = made
        for step in steps[:-1]:
            member = member[step]
        member[steps[-1]] = _filled(text, settings)
    return made


def bound_data(data):
    """The handbook's data with every decision table bound to its settings; safe to ask twice."""
    made = dict(data)
    tables = data.get("tables") or {}
    made["tables"] = {name: bound(tables[name], data.get("settings") or {}) for name in tables}
    return made


def _value(settings, number):
    """A number, or the value of the setting that stands there."""
    if not isinstance(number, str):
        return number
    if number not in settings:
        raise UnknownName("no setting is called `" + number + "`" + nearest_words(number, sorted(settings)))
    return settings[number] + 0.0


def _filled(text, settings):
    first, *rest = text.split("[=")
    for part in rest:
        key, _, after = part.partition("]")
        if key not in settings:
            raise UnknownName("no setting is called `" + key + "`" + nearest_words(key, sorted(settings)))
        first += setting_words(key, settings[key]) + after
    return first


def _copy(value):
    """A deep copy of plain data (the engine has no `copy`)."""
    if isinstance(value, dict):
        return {key: _copy(value[key]) for key in value}
    return [_copy(member) for member in value] if isinstance(value, list) else value

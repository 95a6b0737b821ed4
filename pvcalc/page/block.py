"""What one block of a page shows for given inputs; the build and the reader's browser ask in the same way.

`DATA` of the bridge (settings, tables, series) is passed in, never read here.
Pictures and decision tables are imported where they are asked for: a phone loads only what its page computes with.
"""

from pvcalc.core import formula
from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.core.settings import resolve
from pvcalc.core.units import label_of, read_number, show_input, with_unit

LONGEST_LIST = 12  # a longer list is told by its length; its place is a picture


def example(name, given, figure=None, place="live", show=""):
    """A formula's answer together with its picture.

    Args:
        name: formula; given: argument name to value or typed text; figure: name of a picture, or a dict with
            `name` and inputs of its own; place: prefix of the picture's identifier; show: the result that stands
            in front, of several.
    Returns the dict of `formula.run`; with a figure and a good answer also `picture` (SVG text), or
    `picture_faults` when these inputs cannot be drawn.
    """
    answer = formula.run(name, given)
    if not answer["ok"]:
        return answer
    made = formula.find(name)
    answer["parts"] = fronted(result_parts(made, answer["value"]), label_of(show)) if show else result_parts(made, answer["value"])
    if not figure:
        return answer
    inputs = made.checked(read_values(made, given))
    try:
        answer["picture"] = drawing(figure, known_values(made, inputs, answer["value"]), place)
    except Refusal as refusal:
        answer["picture_faults"] = refusal.faults
    return answer


def result_parts(made, value):
    """A result as the texts a page shows.

    Returns a list of dicts: `label` and `text`, or for a list of records `label`, `heads` and `rows` of texts.
    """
    if not made.gives:
        return [{"label": "", "text": made.shown(value)}]
    parts = []
    for name, member in value:
        if isinstance(member, (list, tuple)) and member and isinstance(member[0], dict):
            fields = made.columns.get(name) or sorted(member[0])
            parts.append({"label": label_of(name), "heads": [heading(field) for field in fields],
                          "rows": [[formula.shown_value(field, record.get(field)) for field in fields] for record in member]})
        elif isinstance(member, (list, tuple)) and len(member) > LONGEST_LIST:
            parts.append({"label": label_of(name), "text": str(len(member)) + " values"})
        else:
            parts.append({"label": label_of(name), "text": formula.shown_value(name, member, made.decimals)})
    return parts


def fronted(parts, wanted):
    """The part with this label first; the others follow with `more` set, lists too long to read left out."""
    first = [part for part in parts if part["label"] == wanted]
    rest = [part for part in parts if part["label"] != wanted and not part.get("text", "").endswith(" values")]
    for part in rest:
        part["more"] = True
    return first + rest


def heading(name):
    """A column's heading: its words; the unit stands in the cells."""
    words = label_of(name)
    return words[0].upper() + words[1:]


def read_values(made, given):
    """Typed texts as values, for inputs that were already found good."""
    values = {}
    for field in given:
        value = given[field]
        if isinstance(value, str):
            value = formula.from_text(value, made.limits[field])[0]
        if value is not None and value != "":
            values[field] = value
    return values


def known_values(made, inputs, value):
    """Inputs and results of an example by name: what its picture may be drawn from."""
    known = dict(inputs)
    if made.gives:
        for key, member in value:
            known[key] = member
    else:
        known[made.name] = value
    return known


def drawing(figure, known, place):
    """SVG text of a picture.

    Args:
        figure: name of the picture, or a dict with `name` and own inputs; a text that names a known value
            stands for that value (`balloon_mm: high_mm`).
        known: what the example knows, by name; inputs of the picture with the same name come from here.
        place: prefix of the identifier.
    Raises: UnknownName, Refusal.
    """
    from pvcalc.draw import svg
    name = figure if isinstance(figure, str) else figure["name"]
    made = svg.find_picture(name)
    inputs = {}
    for key in made.limits:
        if key in known:
            inputs[key] = known[key]
    if not isinstance(figure, str):
        for key in figure:
            value = figure[key]
            if key != "name":
                inputs[key] = known[value] if isinstance(value, str) and value in known else value
    return svg.picture(name, inputs, place + "-picture")


def understood(given, limits):
    """How each typed number was read, with its unit: (name, `18.4 mm`) for what was typed as `18,4`.

    Args:
        given: input name to value or typed text; limits: the limits of those that are inputs of a formula.
    """
    pairs = []
    for name in sorted(given):
        if not isinstance(given[name], str):
            continue
        if name in limits and limits[name].kind == "list":
            values, reason = formula.from_text(given[name], limits[name])
            words = "" if reason else str(len(values)) + " numbers"
        else:
            value, reason = read_number(given[name])
            words = "" if reason else with_unit(show_input(value), name)
        if words:
            pairs.append((name, words))
    return pairs


def request(data, asked):
    """Answer one block of a page.

    Args:
        data: the handbook's data: `settings`, `tables`.
        asked: `formula` or `tables`, `given` texts as typed, `settings` of the block, `figure`, `window`, `place`, `show`.
    Returns the dict of `example` or of `live_documents.answers`, with `read`: how each typed number was understood.
    """
    answer = _answered(data, asked)
    limits = {} if asked.get("tables") else formula.find(asked["formula"]).limits
    answer["read"] = understood(asked.get("given") or {}, limits)
    return answer


def _answered(data, asked):
    settings = data.get("settings") or {}
    given = dict(asked.get("given") or {})
    given.update(resolve(settings, asked.get("settings") or {}))
    if asked.get("tables"):
        from pvcalc.page.documents import answers
        known = data.get("tables") or {}
        unknown = [name for name in asked["tables"] if name not in known]
        if unknown:
            raise PvcalcError("There is no decision table called " + unknown[0] + ".")
        return answers([known[name] for name in asked["tables"]], given, resolve(settings, asked.get("window")), settings)
    return example(asked["formula"], given, resolve(settings, asked.get("figure")), asked.get("place") or "live",
                   asked.get("show") or "")

"""One door for every caller outside Python: a JSON text in, a JSON text out.

The browser's engine turns whole numbers into 32 bits without a word, so nothing but text may cross.
"""

import json
import math

from pvcalc.core import formula
from pvcalc.core.errors import PvcalcError
from pvcalc.page import block

DATA = {}  # settings, decision tables and series, as the build wrote them into data.json


def start(modules, data_text):
    """Import the topic modules (a list of names) and take the handbook's data as JSON text."""
    DATA.clear()
    add(modules, data_text)


def add(modules, data_text):
    """Import more modules and take more data; settings and decision tables join those already there."""
    for name in modules:
        __import__("pvcalc." + name)
    more = json.loads(data_text)
    for part in ("settings", "tables"):
        known = dict(DATA.get(part) or {})
        known.update(more.get(part) or {})
        more[part] = known
    DATA.update(more)


def reply(request_text):
    """Answer one request, or a list of requests in order.

    Args:
        request_text: JSON of {"op": ..., ...} or of a list of them; see `OPERATIONS`.
    Returns JSON text; an answer that could not be given is {"ok": false, "faults": [[field, sentence]]}.
    """
    request = json.loads(request_text)
    if isinstance(request, list):
        return json.dumps([_answer(one) for one in request])
    return json.dumps(_answer(request))


def _answer(request):
    try:
        operation = OPERATIONS.get(request.get("op"))
        if operation is None:
            return {"ok": False, "faults": [["", "This page asked for something the engine does not know."]]}
        return operation(request)
    except PvcalcError as error:
        return {"ok": False, "faults": getattr(error, "faults", [("", str(error))])}


def _run(request):
    return formula.run(request["name"], request["given"])


def _exact(request):
    """Like `run`, with every number of the result exactly, for comparing two interpreters."""
    answer = formula.run(request["name"], request["given"])
    if answer["ok"]:
        answer["exact"] = exact(answer.pop("value"))
    return answer


def exact(value):
    """A value with each number as whole part and power of two: no decimal text of a double is the same everywhere."""
    if isinstance(value, (list, tuple)):
        return [exact(member) for member in value]
    if isinstance(value, dict):
        return [[key, exact(value[key])] for key in sorted(value)]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        mantissa, power = math.frexp(value)
        return {"whole": int(mantissa * 9007199254740992.0), "power": power - 53}
    return value


def _printed(request):
    """One printed example of a formula: what is computed for it, in the unit of the print, and whether it agrees.

    `place` counts among the examples of the formula `name`, so that the order of imports does not matter.
    """
    example = [one for one in formula.PRINTED if one.formula.name == request["name"]][request["place"]]
    answer = formula.run(example.formula.name, example.inputs)
    if answer["ok"]:
        computed = example.picked(answer.pop("value"))
        answer["exact"] = exact(computed)
        answer["agrees"] = example.agrees(computed)
    return answer


def _block(request):
    """One block of a page: a worked example with its picture, or several documents' answers."""
    answer = block.request(DATA, request)
    for bulky in ("value", "shown"):  # the page shows `parts`; a simulated beat would be 60 kB of text
        answer.pop(bulky, None)
    return answer


def _picture(request):
    """One picture by its name, for inputs of its own."""
    from pvcalc.draw import svg
    return {"ok": True, "picture": svg.picture(request["name"], request["given"], request["place"])}


def _plan(request):
    """The case plan for what was entered."""
    if request.get("paper"):
        from pvcalc.plan import papers
        return papers.answer(DATA, request)
    from pvcalc.plan import case
    return case.answer(DATA, request)


def _doses(request):
    """The dose sheet of one weight."""
    from pvcalc.plan import doses
    return doses.answer(DATA, request)


def _audit(request):
    """One step of the audit of a file."""
    from pvcalc.audit import steps
    return steps.answer(DATA, request)


OPERATIONS = {"block": _block, "run": _run, "exact": _exact, "printed": _printed, "picture": _picture, "plan": _plan,
              "doses": _doses,
              "audit": _audit}

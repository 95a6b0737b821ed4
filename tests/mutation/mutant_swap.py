"""A change of one line, put into modules that are already loaded.

Loading the package, the tests and their libraries again for each change takes a second and more. Most changes lie in
a body, and putting another code object into the function that stands in memory takes no time; most others lie in the
limits of a formula or picture or in a transcribed example, and these stand in registers; or in a table that nothing
looks into while it is loaded. All the rest is loaded again.
"""

import ast
import dis
import functools
import gc
import importlib
import inspect
import re
import sys
import types
from pathlib import Path


class Loading:
    """Notes which functions of one file run while everything is loaded: what they left behind cannot be changed later."""

    def __init__(self, path):
        self.path, self.ran = str(path), set()

    def __enter__(self):
        sys.setprofile(self._called)
        return self

    def __exit__(self, *_):
        sys.setprofile(None)

    def _called(self, frame, event, _):
        if event == "call" and frame.f_code.co_filename == self.path:
            self.ran.add(frame.f_code)


def loaded_functions(path):
    """Every function of one file that is in memory, by its code."""
    gc.unfreeze()  # what conftest.py has put out of the collector's sight would not be listed
    found = {}
    for one in gc.get_objects():
        if isinstance(one, types.FunctionType) and one.__code__.co_filename == str(path):
            found.setdefault(one.__code__, []).append(one)
    return found


def swaps(original, changed, path, ran):
    """Pairs of old and new code that make the change; None when it takes loading the module again."""
    before, after = (compile(text, str(path), "exec") for text in (original, changed))
    pairs = _paired(before, after)
    if pairs is None or not _same_but_nested(before, after):
        return None
    changed_bodies = [old for old, new in pairs if not _same_but_nested(old, new)]
    classes = [old for old in changed_bodies if not old.co_flags & inspect.CO_OPTIMIZED]  # these bodies ran once, on loading
    if not changed_bodies or classes or any(old in ran for old in changed_bodies):
        return None
    return [(old, new) for old, new in pairs if old != new]


def _paired(before, after):
    """Code objects nested in the two, each with its counterpart; None when they do not match up."""
    old_ones, new_ones = _nested(before), _nested(after)
    if [one.co_qualname for one in old_ones] != [one.co_qualname for one in new_ones]:
        return None
    pairs = []
    for old, new in zip(old_ones, new_ones):
        below = _paired(old, new)
        if below is None:
            return None
        pairs += [(old, new)] + below
    return pairs


def _nested(code):
    return [one for one in code.co_consts if isinstance(one, types.CodeType)]


def _same_but_nested(old, new):
    """True when two code objects differ at most in the functions defined within them."""
    return _own(old) == _own(new)


def _own(code):
    consts = [None if isinstance(one, types.CodeType) else (type(one), repr(one)) for one in code.co_consts]
    return (code.co_code, consts, code.co_names, code.co_varnames, code.co_freevars, code.co_cellvars, code.co_flags,
            code.co_exceptiontable)


def swap(functions, pairs):
    """Put the new code into every loaded function that has the old one: no example changes, or None when none has it."""
    found = False
    for old, new in pairs:
        for one in functions.get(old, []):
            one.__code__ = new
            found = True
    return [] if found else None


@functools.cache
def _dumped(original):
    return [(node, ast.dump(node)) for node in ast.parse(original).body]


@functools.cache
def _statements(original):
    """Each statement of a module as (what it says, names it defines, names it uses)."""
    found = []
    for node, said in _dumped(original):
        used = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
        stored = {one.id for one in ast.walk(node) if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store)}
        defined = {node.name} if hasattr(node, "name") else set() if isinstance(node, (ast.Expr, ast.For)) else stored
        found.append((said, defined, used))
    return found


def concerned(original, changed):
    """Names a change may alter: what the changed statement defines, and all that uses it, however far away."""
    before, after = _statements(original), ast.parse(changed).body
    if len(before) != len(after):
        return {name for _, defined, _ in before for name in defined}
    names = set()
    for (said, defined, used), new in zip(before, after):
        if said != ast.dump(new):
            names |= defined or used
    while True:
        more = {name for _, defined, used in before if used & names for name in defined} - names
        if not more:
            return names
        names |= more


def declares(original, changed):
    """True when two texts differ only in how one formula or picture is declared, or in one transcribed example."""
    before, after = _dumped(original), ast.parse(changed).body
    differing = [(old, new) for (old, said), new in zip(before, after) if said != ast.dump(new)]
    if len(before) != len(after) or len(differing) != 1:
        return False
    old, new = differing[0]
    if isinstance(old, ast.FunctionDef) and isinstance(new, ast.FunctionDef):
        return [ast.dump(part) for part in (old.args, *old.body)] == [ast.dump(part) for part in (new.args, *new.body)]
    return isinstance(old, (ast.Expr, ast.For)) and type(old) is type(new)


def redeclare(original, changed, path):
    """Declare everything of a module twice, before and after, and hand the difference to what is loaded.

    Returns the examples that changed (none when a limit did), or None when it cannot.
    """
    core = sys.modules["pvcalc.core.formula"]
    formulas_before, printed_before, pictures_before = declared_before(original, path)
    formulas, printed, pictures = _declared(core, changed, path)
    if list(formulas_before) != list(formulas) or len(printed_before) != len(printed) or list(pictures_before) != list(pictures):
        return None
    for name, new in pictures.items():
        if _told(new) != pictures_before[name]:
            sys.modules["pvcalc.draw.svg"].PICTURES[name].__dict__.update({"limits": new.limits, "arguments": new.arguments})
    loaded = {made.name: made for made in core.FORMULAS}
    for name, new in formulas.items():
        if _told(new) != formulas_before[name]:
            loaded[name].__dict__.update({key: value for key, value in vars(new).items() if key not in ("function", "asks")})
    altered = []
    for old, new in zip(printed_before, printed):
        if _told(new) != old:
            same = [one for one in core.PRINTED if one.formula.name == new.formula.name and _told(one) == old]
            if not same:
                return None
            same[0].__dict__.update({**vars(new), "formula": loaded[new.formula.name]})
            altered.append(same[0])
    return altered


@functools.cache
def declared_before(original, path):
    """What the unchanged text declares; asked for once before the forks, so that no child runs it again."""
    formulas, printed, pictures = _declared(importlib.import_module("pvcalc.core.formula"), original, path)
    return [{name: _told(made) for name, made in formulas.items()}, [_told(one) for one in printed],
            {name: _told(made) for name, made in pictures.items()}]


def _declared(core, text, path):
    """What running a module's text adds to the registers, which stay as they were."""
    drawing = sys.modules.get("pvcalc.draw.svg")
    drawn = drawing.PICTURES if drawing else {}
    kept, kept_pictures = (core.FORMULAS[:], core.PRINTED[:]), dict(drawn)
    core.FORMULAS[:], core.PRINTED[:] = [], []
    drawn.clear()
    try:
        exec(compile(text, str(path), "exec"), {"__name__": _module_at(path), "__file__": str(path)})
        return {made.name: made for made in core.FORMULAS}, core.PRINTED[:], dict(drawn)
    finally:
        core.FORMULAS[:], core.PRINTED[:] = kept
        drawn.clear()
        drawn.update(kept_pictures)


def _module_at(path):
    """Dotted name of a module from its path."""
    parts = Path(path).with_suffix("").parts
    return ".".join(parts[len(parts) - 1 - parts[::-1].index("pvcalc"):])


def _told(one):
    """Everything that is said of a formula or an example, so that two can be compared."""
    if isinstance(one, (list, tuple)):
        return [_told(member) for member in one]
    if isinstance(one, dict):
        return {key: _told(value) for key, value in one.items()}
    if isinstance(one, types.FunctionType):
        return one.__qualname__
    if hasattr(one, "limits") and hasattr(one, "asks"):
        return _told({**vars(one), "function": one.name})
    if hasattr(one, "formula") and hasattr(one, "locator"):
        return _told({**vars(one), "formula": one.formula.name})
    return _told(vars(one)) if hasattr(one, "__dict__") and not isinstance(one, type) else (type(one).__name__, repr(one))


def _tables(original, changed):
    """The assignments `NAME = …` at the top of a module in which two texts differ, as (name, new value)."""
    before, after = _dumped(original), ast.parse(changed).body
    if len(before) != len(after):
        return []
    differing = [(old, new) for (old, said), new in zip(before, after) if said != ast.dump(new)]
    single = all(isinstance(one, ast.Assign) and len(one.targets) == 1 and isinstance(one.targets[0], ast.Name) for pair in differing for one in pair)
    return [(new.targets[0].id, new.value) for _, new in differing] if single else []


def is_constant(original, changed, path, ran, tests):
    """True when two texts differ in one table that only the bodies of this module's functions look into, none of which has run."""
    tables = _tables(original, changed)
    if len(tables) != 1:
        return False
    name = tables[0][0]
    code = compile(original, str(path), "exec")
    if _read_on_loading(code, name) or any(name in one.co_names for one in ran if not one.co_name.startswith("<module")):
        return False
    root = next(one for one in Path(path).parents if one.name == "pvcalc")
    others = [one for one in root.rglob("*.py") if one != Path(path)] + [root.parent / one for one in tests]
    return not any(re.search(rf"\b{name}\b", _text(one)) for one in others)


def _read_on_loading(code, name):
    """Whether a module's own code, or a class body within it, reads a name that it sets."""
    reads = [one for one in dis.get_instructions(code) if one.argval == name and one.opname.startswith("LOAD")]
    return bool(reads) or any(_read_on_loading(one, name) for one in _nested(code) if not one.co_flags & inspect.CO_OPTIMIZED)


@functools.cache
def _text(path):
    return path.read_text(encoding="utf-8")


def set_constant(original, changed, path):
    """Put the new table into the loaded module."""
    (name, value), = _tables(original, changed)
    for module in list(sys.modules.values()):
        if getattr(module, "__file__", None) == str(path):
            setattr(module, name, eval(compile(ast.Expression(value), str(path), "eval"), vars(module)))
            return []
    return None

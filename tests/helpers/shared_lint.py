"""What a shared module may not contain, because the two interpreters differ there or one lacks it.

Shared is every .py below pvcalc/ outside the build, pvcalc/handbook/ (but `__main__.py`, the door of the command line).
"""

import ast
import re

MODULES_OF_PYTHON = {"math": "everywhere", "json": "page.bridge"}
# What the engine's math has and computes exactly enough; test_interpreters.py asks the engine whether it is so.
MATH = set("pi e inf nan sqrt pow exp expm1 log log2 log10 sin cos tan asin acos atan atan2 sinh cosh tanh asinh "
           "acosh atanh ceil floor trunc fabs copysign fmod frexp ldexp modf isfinite isinf isnan degrees radians".split())
INEXACT_MATH = {"lgamma", "gamma", "erf", "erfc"}
CALLS = {
    "sum": "units.total adds alike everywhere", "round": "units.show rounds alike everywhere",
    "format": "units.show writes alike everywhere", "print": "a shared module says nothing by itself",
    "open": "data come as arguments", "input": "data come as arguments", "pow": "write the product, or **",
    "repr": "text of a number differs", "ascii": "the engine lacks it", "eval": "no code from text",
    "exec": "no code from text", "vars": "the engine lacks it", "globals": "no global state", "locals": "differs",
    "hash": "differs", "id": "differs", "complex": "real numbers only", "__import__": "only page.bridge imports by name",
}
ALLOWED_CALLS = {("page.bridge", "__import__")}
METHODS = {
    "format": "units.show writes alike everywhere", "as_integer_ratio": "the engine lacks it",
    "is_integer": "the engine lacks it", "bit_length": "the engine lacks it", "hex": "the engine lacks it",
}
for missing in "zfill rjust ljust isdecimal isnumeric isidentifier isprintable casefold title capitalize swapcase " \
               "expandtabs removeprefix removesuffix translate maketrans format_map".split():
    METHODS[missing] = "the engine lacks it or differs"
# In the modules that read what a person typed, the kind of blank or digit matters.
READS_TYPED_TEXT = ("core.units", "core.formula")
BARE_METHODS = {name: "the engine strips ASCII blanks only; name the characters" for name in
                ("strip", "lstrip", "rstrip", "split", "rsplit")}
TYPED_METHODS = {name: "the engine knows ASCII only; compare with the characters you mean" for name in
                 ("isdigit", "isalpha", "isalnum", "isspace")}
ATTRIBUTES = {"__doc__", "__annotations__", "__wrapped__", "__module__", "__qualname__", "__defaults__",
              "__kwdefaults__", "__code__", "__signature__", "__mro__", "__subclasses__"}
NODES = {
    ast.Match: "match", ast.AsyncFunctionDef: "async", ast.Global: "global state", ast.TryStar: "except*",
}


def faults(source: str, module: str, shared: list[str]) -> list[str]:
    """Every fault as `room/module.py:LINE: what, why`.

    Args:
        source: text of the module.
        module: its name below the package, such as `core.units`.
        shared: names of the shared modules, the only ones it may import from.
    """
    tree = ast.parse(source)
    found = []
    if re.search(r"\\N\{", source):
        found.append((1, "a named character \\N{...}: the engine does not read it"))
    declares = {target.id for node in tree.body if isinstance(node, ast.Assign)
                for target in node.targets if isinstance(target, ast.Name)}
    for node in ast.walk(tree):
        found += [(node.lineno, what) for what in _node_faults(node, module, shared, declares)]
    return [f"{module.replace('.', '/')}.py:{line}: {what}" for line, what in sorted(found)]


def _node_faults(node, module, shared, declares):
    if type(node) in NODES:
        yield NODES[type(node)] + " is not for shared modules"
    for check in (_import_faults, _call_faults, _text_faults, _arithmetic_faults, _definition_faults):
        yield from check(node, module, shared, declares)


def _import_faults(node, module, shared, declares):
    if isinstance(node, ast.Import):
        for name in [alias.name for alias in node.names]:
            if name not in MODULES_OF_PYTHON:
                yield f"import {name}: only math and other shared modules, as `from pvcalc.room.module import name`"
            elif MODULES_OF_PYTHON[name] not in ("everywhere", module):
                yield f"import {name}: only in {MODULES_OF_PYTHON[name]}"
    if isinstance(node, ast.ImportFrom):
        names = [alias.name for alias in node.names]
        origin = node.module or ""
        if node.level or "*" in names:
            yield "import names one by one, from a full module name"
        elif origin == "math":
            yield from [_math_fault(name, declares) for name in names if _math_fault(name, declares)]
        elif any(f"pvcalc.{name}".startswith(origin + ".") for name in shared) and origin != "pvcalc":
            yield from [f"import of {name}: not a shared module" for name in names if f"{origin[7:]}.{name}" not in shared]
        elif not (origin.startswith("pvcalc.") and origin[7:] in shared):
            yield f"import from {origin}: only math and other shared modules"


def _math_fault(name, declares):
    if name in INEXACT_MATH:
        return "" if "AGREES_WITHIN" in declares else f"math.{name} is inexact in the engine; declare AGREES_WITHIN"
    return "" if name in MATH else f"math.{name} is missing in the engine"


def _call_faults(node, module, shared, declares):
    if isinstance(node, ast.Attribute):
        if isinstance(node.value, ast.Name) and node.value.id == "math":
            fault = _math_fault(node.attr, declares)
            if fault:
                yield fault
        if node.attr in ATTRIBUTES:
            yield f"{node.attr}: the engine does not keep it"
    if not isinstance(node, ast.Call):
        return
    if isinstance(node.func, ast.Name) and node.func.id in CALLS and (module, node.func.id) not in ALLOWED_CALLS:
        yield f"{node.func.id}(): {CALLS[node.func.id]}"
    if isinstance(node.func, ast.Attribute):
        name = node.func.attr
        if name in METHODS:
            yield f".{name}(): {METHODS[name]}"
        if module in READS_TYPED_TEXT and name in TYPED_METHODS:
            yield f".{name}(): {TYPED_METHODS[name]}"
        if module in READS_TYPED_TEXT and name in BARE_METHODS and not node.args:
            yield f".{name}() without characters: {BARE_METHODS[name]}"
        if name.endswith("strip") and node.args and not _plain_text(node.args[0]):
            yield f".{name}() of other than written-out ASCII: the engine strips bytes; see units.trimmed"


def _plain_text(node):
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isascii()


def _text_faults(node, module, shared, declares):
    if isinstance(node, ast.FormattedValue) and (node.format_spec is not None or node.conversion != -1):
        yield "f-string with a format: units.show writes alike everywhere"
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mod):
        text = isinstance(node.left, ast.JoinedStr) or (
            isinstance(node.left, ast.Constant) and isinstance(node.left.value, (str, bytes)))
        if text or isinstance(node.right, (ast.Tuple, ast.Dict)):
            yield "% on text: units.show writes alike everywhere"


def _arithmetic_faults(node, module, shared, declares):
    if isinstance(node, ast.Constant) and isinstance(node.value, complex):
        yield "complex number: real numbers only"
    power = None
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
        power = (node.left, node.right)
    if isinstance(node, ast.AugAssign) and isinstance(node.op, ast.Pow):
        power = (node.target, node.value)
    if power and not _is_whole(power[0]) and _is_whole(power[1]):
        yield "** with a whole power: write the product, the last bit differs"


def _is_whole(node):
    if isinstance(node, ast.UnaryOp):
        return _is_whole(node.operand)
    return (isinstance(node, ast.Constant) and isinstance(node.value, (int, float))
            and not isinstance(node.value, bool) and node.value == int(node.value))


def _definition_faults(node, module, shared, declares):
    if isinstance(node, (ast.FunctionDef, ast.Lambda)) and node.args.posonlyargs:
        yield "/ in a signature: the engine does not read it"
    if isinstance(node, ast.ClassDef) and (len(node.bases) > 1 or node.keywords):
        yield f"class {node.name}: one base and no keywords in the engine"

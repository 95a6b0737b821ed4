"""Shared modules stay within what both interpreters do alike, and the lint that says so is itself tried."""

import ast

import pytest

from pvcalc.handbook.data import catalogue
from tests.helpers import shared_lint

SHARED = catalogue.shared_modules()


@pytest.mark.parametrize("module", SHARED)
def test_a_shared_module_holds_nothing_the_interpreters_differ_in(module):
    assert shared_lint.faults(catalogue.file_of(module).read_text(encoding="utf-8"), module, SHARED) == []


def test_every_file_in_the_package_folder_is_shared_or_of_the_build_or_the_door():
    files = {path.relative_to(catalogue.PACKAGE).as_posix() for path in catalogue.PACKAGE.rglob("*.py")}
    others = files - {catalogue.file_of(name).relative_to(catalogue.PACKAGE).as_posix() for name in SHARED}
    assert {name for name in others if not name.startswith("handbook/") and not name.endswith("__init__.py")} == {"__main__.py"}
    assert "core.units" in SHARED and "plan.sizing" in SHARED


def test_a_package_is_a_name_and_nothing_else():
    """The engine takes the folder alone, so whatever a package did on being imported would be missing there."""
    for path in catalogue.PACKAGE.rglob("__init__.py"):
        if "reference" not in path.parts and "node_modules" not in path.parts:
            kinds = [type(node) for node in ast.parse(path.read_text(encoding="utf-8")).body]
            assert kinds == [ast.Expr], path
    door = catalogue.PACKAGE / "__main__.py"
    kinds = {type(node) for node in ast.parse(door.read_text(encoding="utf-8")).body}
    assert not kinds & {ast.FunctionDef, ast.ClassDef}, "__main__.py only opens the command line"


FAULTS = [
    ("from __future__ import annotations", "import from __future__"),
    ("import os", "import os"),
    ("import datetime", "import datetime"),
    ("import json", "only in page.bridge"),
    ("from dataclasses import dataclass", "import from dataclasses"),
    ("from pvcalc.handbook.data import catalogue", "import from pvcalc.handbook"),
    ("from pvcalc import handbook", "import from pvcalc"),
    ("from pvcalc.core import nothing", "not a shared module"),
    ("from pvcalc.core.units import *", "one by one"),
    ("from .units import total", "one by one"),
    ("from math import hypot", "math.hypot is missing"),
    ("import math\nx = math.log1p(1)", "math.log1p is missing"),
    ("import math\nx = math.lgamma(3)", "declare AGREES_WITHIN"),
    ("x = sum([1, 2])", "sum()"),
    ("x = round(1.5)", "round()"),
    ("x = format(1.5, '.2f')", "format()"),
    ("x = '{}'.format(1.5)", ".format()"),
    ("x = '%s' % 1", "% on text"),
    ("def f(a):\n    return a % (1, 2)", "% on text"),
    ("x = f'{1.5:.2f}'", "f-string with a format"),
    ("x = f'{1.5!r}'", "f-string with a format"),
    ("def f(a):\n    return a ** 2", "whole power"),
    ("def f(a):\n    return a ** -1", "whole power"),
    ("def f(a):\n    a **= 2.0\n    return a", "whole power"),
    ("print('x')", "print()"),
    ("x = open('f')", "open()"),
    ("x = __import__('os')", "only page.bridge"),
    ("def f(a, /):\n    return a", "/ in a signature"),
    ("def f(a):\n    match a:\n        case 1:\n            return 2", "match"),
    ("def f():\n    global x\n    x = 1", "global state"),
    ("class A(ValueError, KeyError):\n    pass", "one base"),
    ("x = '1'.zfill(3)", ".zfill()"),
    ("x = '1'.strip('\u00a0')", "written-out ASCII"),
    ("def f(a, b):\n    return a.rstrip(b)", "written-out ASCII"),
    ("def f(a):\n    return a.__doc__", "__doc__"),
    ("x = 2j", "complex number"),
    ("x = '\\N{DEGREE SIGN}'", "named character"),
]


@pytest.mark.parametrize("source,words", FAULTS, ids=[words for _, words in FAULTS])
def test_the_lint_sees_a_planted_fault(source, words):
    found = shared_lint.faults('"""Text."""\n' + source + "\n", "planted", SHARED)
    assert len(found) == 1 and words in found[0], found
    assert found[0].startswith("planted.py:")


TYPED = [
    ("x = '1'.isdigit()", ".isdigit()"),
    ("x = ' 1'.strip()", ".strip() without characters"),
    ("x = '1 2'.split()", ".split() without characters"),
]


@pytest.mark.parametrize("source,words", TYPED, ids=[words for _, words in TYPED])
def test_where_typed_text_is_read_the_blanks_are_named(source, words):
    assert words in shared_lint.faults(source + "\n", "core.units", SHARED)[0]
    assert shared_lint.faults(source + "\n", "planted", SHARED) == []


ALLOWED = [
    "import math\nfrom math import pi, sqrt\nfrom pvcalc.core.units import total\nfrom pvcalc.core import formula",
    "def f(a, b):\n    return 10 ** a + a ** 0.425 + a ** b + a % b",
    "x = f'{1}'",
    "x = ' 1'.strip(' ')",
    "import math\nAGREES_WITHIN = {'f_mm': 1e-9}\nx = math.lgamma(3)",
]


@pytest.mark.parametrize("source", ALLOWED)
def test_the_lint_lets_plain_code_pass(source):
    assert shared_lint.faults('"""Text."""\n' + source + "\n", "planted", SHARED) == []

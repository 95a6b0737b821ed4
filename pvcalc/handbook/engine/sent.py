"""The shared modules as a reader's browser gets them: the same statements, without docstrings and remarks.

A phone waits for every letter and runs none of these; tests/engine/test_sent.py holds each module against its file.
"""

import ast
import io
import tokenize
from functools import cache

from pvcalc.handbook.data import catalogue

TOLD = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


@cache
def sent_files() -> tuple[tuple[str, str], ...]:
    """(path, text) of every module that a browser may be sent."""
    return tuple((path, wordless(text)) for path, text in catalogue.shared_files())


def wordless(source: str) -> str:
    """Python source without docstrings, remarks and blank lines; a body that was a docstring alone becomes `pass`.

    Args:
        source: a module that compiles.
    """
    lines = source.splitlines(keepends=True)
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type == tokenize.COMMENT:
            row, column = token.start
            lines[row - 1] = lines[row - 1][:column].rstrip() + "\n"
    for first, last, rest in _docstrings(ast.parse(source)):
        lines[first - 1:last] = [rest] + [""] * (last - first)
    strings = _strings(source)
    return "".join(line for number, line in enumerate(lines, 1) if line.strip() or number in strings)


def _docstrings(tree):
    """(first line, last line, what stands there instead) of every docstring."""
    for node in ast.walk(tree):
        if isinstance(node, TOLD) and ast.get_docstring(node, clean=False) is not None:
            told = node.body[0]
            if told.lineno == getattr(node, "lineno", 0):
                continue  # on the line of its function: it stays
            alone = len(node.body) == 1 and not isinstance(node, ast.Module)
            yield told.lineno, told.end_lineno, " " * told.col_offset + "pass\n" if alone else ""


def _strings(source):
    """Lines inside a text of several lines, where a blank line means something."""
    return {row for token in tokenize.generate_tokens(io.StringIO(source).readline) if token.type == tokenize.STRING
            for row in range(token.start[0], token.end[0])}

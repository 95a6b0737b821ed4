"""What a reader's browser gets of a shared module: every statement of its file, and none of its words."""

import ast
import io
import tokenize

import pytest

from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine.sent import sent_files, wordless


def statements(source):
    """A module's tree without docstrings, as text."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)) and ast.get_docstring(node, clean=False) is not None:
            node.body = node.body[1:] or ([] if isinstance(node, ast.Module) else [ast.Pass()])
    return ast.dump(tree)


def test_every_module_keeps_every_statement_and_loses_every_word():
    files = dict(catalogue.shared_files())
    assert len(files) > 60
    for path, text in sent_files():
        assert statements(text) == statements(files.pop(path)), path
        assert not [token for token in tokenize.generate_tokens(io.StringIO(text).readline) if token.type == tokenize.COMMENT], path
        told = [node for node in ast.walk(ast.parse(text)) if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef))
                and ast.get_docstring(node) is not None]
        assert told == [], path
    assert files == {}


@pytest.mark.parametrize("source, sent", [
    ('"""Why."""\n\nX = 1  # how\n', "X = 1\n"),
    ('class A(B):\n    """Only words."""\n', "class A(B):\n    pass\n"),
    ('def f():\n    """One\n\n    two."""\n    return "# no remark"\n', 'def f():\n    return "# no remark"\n'),
    ('TEXT = """a\n\n# b\n"""\n', 'TEXT = """a\n\n# b\n"""\n'),
    ('def f(): """Beside it."""\n', 'def f(): """Beside it."""\n')])
def test_words_go_and_texts_stay(source, sent):
    assert wordless(source) == sent

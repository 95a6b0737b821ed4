"""A YAML file that remembers its lines.

Duplicate keys are refused, all of them at once; a plain YAML reader keeps the last one without a word.
The files are composed by libyaml through PyYAML, which MkDocs brings: the pure Python reader took twenty
times as long, and the lint must answer while the author waits. Plain words are read as YAML 1.2 reads them:
`no` is a word here, not false.
"""

import re
from datetime import date

import yaml
from yaml.error import MarkedYAMLError, YAMLError
from yaml.nodes import MappingNode, ScalarNode, SequenceNode

from pvcalc.handbook.data import text_files
from pvcalc.handbook.data.findings import AuthorFaults, Finding

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
WHOLE = re.compile(r"[-+]?[0-9]+")
NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
WORDS = {"": None, "~": None, "null": None, "Null": None, "NULL": None, "true": True, "True": True, "TRUE": True,
         "false": False, "False": False, "FALSE": False}


class Document:
    """The content of one file.

    Attributes:
        path: as printed in findings, relative to the root of the project.
        value: plain Python lists, dicts, numbers, texts and dates.
    """

    def __init__(self, path, tree):
        self.path = path
        self.tree = tree
        self.value = {} if tree is None else _plain(tree)

    def line(self, *steps):
        """Line of the key or item reached by `steps`; a step that is not there gives the line of its parent."""
        found, node = 1, self.tree
        for step in steps:
            mark, node = _child(node, step)
            if mark is None:
                break
            found = mark.line + 1
        return found

    def finding(self, steps, message):
        """A finding at the line reached by `steps`."""
        return Finding(self.path, self.line(*steps), message)


def _child(node, step):
    """(mark, node) of a key or item; (None, None) when there is none."""
    if isinstance(node, MappingNode):
        for key, value in node.value:
            if _plain(key) == step:
                return key.start_mark, value
    elif isinstance(node, SequenceNode) and isinstance(step, int) and 0 <= step < len(node.value):
        return node.value[step].start_mark, node.value[step]
    return None, None


def read_document(root, path):
    """Read one file.

    Args:
        root: root of the project, a Path.
        path: the file, a Path below it.
    Returns (Document or None, findings). An empty file is an empty mapping.
    """
    shown = path.relative_to(root).as_posix()
    if not path.is_file():
        return None, [Finding(shown, 1, "the file is missing; an empty one holds `{}`")]
    try:
        text = text_files.read(root, path)
        merged = [Finding(shown, line, message) for line, message in text_files.merge_faults(text)]
        if merged:
            return None, merged
        odd = [Finding(shown, line, message) for line, message in text_files.character_faults(text)]
        tree = yaml.compose(text, Loader=LOADER)
        findings = odd + [Finding(shown, line, f"the key `{key}` stands here a second time; keep one")
                    for line, key in _duplicates(tree)]
        return Document(shown, tree), findings
    except AuthorFaults as faults:
        return None, faults.findings
    except MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        line = mark.line + 1 if mark else 1
        return None, [Finding(shown, line, f"not readable as YAML: {fault.problem or fault.context}")]
    except (YAMLError, ValueError) as fault:
        return None, [Finding(shown, 1, f"not readable as YAML: {str(fault).splitlines()[0]}")]


def parse(text):
    """The tree of a YAML text that stands inside a chapter, with its lines; None when it is empty.

    Raises: MarkedYAMLError, also for a key that stands twice.
    """
    tree = yaml.compose(text, Loader=LOADER)
    for line, key in _duplicates(tree):
        raise MarkedYAMLError(problem=f"duplicate key `{key}`", problem_mark=yaml.Mark("", 0, line - 1, 0, None, None))
    return tree


def _duplicates(node):
    if isinstance(node, MappingNode):
        seen = set()
        for key, value in node.value:
            if str(key.value) in seen:
                yield key.start_mark.line + 1, key.value
            seen.add(str(key.value))
            yield from _duplicates(value)
    elif isinstance(node, SequenceNode):
        for item in node.value:
            yield from _duplicates(item)


def _plain(node):
    if isinstance(node, MappingNode):
        return {_plain(key): _plain(value) for key, value in node.value}
    if isinstance(node, SequenceNode):
        return [_plain(item) for item in node.value]
    return _scalar(node)


def _scalar(node: ScalarNode):
    """A number, a date, a truth value, nothing, or a text; quoted always a text."""
    text = node.value
    if node.style not in (None, ""):
        return text
    if text in WORDS:
        return WORDS[text]
    if WHOLE.fullmatch(text):
        return int(text)
    if NUMBER.fullmatch(text):
        return float(text)
    if DATE.fullmatch(text):
        return date.fromisoformat(text)
    return text

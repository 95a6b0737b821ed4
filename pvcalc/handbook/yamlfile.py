"""A YAML file that remembers its lines.

Duplicate keys are refused, all of them at once; a plain YAML reader keeps the last one without a word.
"""

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, SequenceNode

from pvcalc.handbook.findings import Finding


class Document:
    """The content of one file.

    Attributes:
        path: as printed in findings, relative to the root of the project.
        value: plain Python lists, dicts, numbers, texts and dates.
    """

    def __init__(self, path, tree):
        self.path = path
        self.tree = tree
        self.value = _plain(tree)

    def line(self, *steps):
        """Line of the key or item reached by `steps`; a step that is not there gives the line of its parent."""
        found, node = 1, self.tree
        for step in steps:
            if isinstance(node, CommentedMap) and step in node:
                found = node.lc.key(step)[0] + 1
            elif isinstance(node, CommentedSeq) and isinstance(step, int) and 0 <= step < len(node):
                found = node.lc.item(step)[0] + 1
            else:
                break
            node = node[step]
        return found

    def finding(self, steps, message):
        """A finding at the line reached by `steps`."""
        return Finding(self.path, self.line(*steps), message)


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
    text = path.read_text(encoding="utf-8")
    try:
        findings = [Finding(shown, line, f"the key `{key}` stands here a second time; keep one")
                    for line, key in _duplicates(_yaml().compose(text))]
        tree = _yaml().load(text)
    except MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        line = mark.line + 1 if mark else 1
        return None, [Finding(shown, line, f"not readable as YAML: {fault.problem or fault.context}")]
    except (YAMLError, ValueError) as fault:
        return None, [Finding(shown, 1, f"not readable as YAML: {str(fault).splitlines()[0]}")]
    return Document(shown, CommentedMap() if tree is None else tree), findings


def parse(text):
    """The tree of a YAML text that stands inside a chapter, with its lines.

    Raises: YAMLError, also for a key that stands twice.
    """
    tree = YAML().load(text)
    return CommentedMap() if tree is None else tree


def _yaml():
    reader = YAML()
    reader.allow_duplicate_keys = True  # we report them ourselves, all at once
    return reader


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
    if isinstance(node, dict):
        return {key: _plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_plain(value) for value in node]
    if isinstance(node, bool) or node is None:
        return node
    for kind in (int, float, str):
        if isinstance(node, kind):
            return kind(node)
    return node

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
NAMED = re.compile(r"(?:^|[\s\[{,:-])[&*][^\s,\]}]", re.MULTILINE)
MOST_DEEP = 40
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
            if _key(key) == step:
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
        tree = composed(text)
        findings = odd + [Finding(shown, line, f"the key `{key}` stands here a second time; keep one")
                    for line, key in _duplicates(tree)]
        return Document(shown, tree), findings
    except AuthorFaults as faults:
        return None, faults.findings
    except MarkedYAMLError as fault:
        return None, [Finding(shown, *told(fault))]
    except (YAMLError, ValueError) as fault:
        return None, [Finding(shown, 1, f"not readable as YAML: {str(fault).splitlines()[0]}")]


def told(fault: MarkedYAMLError) -> tuple[int, str]:
    """(line, sentence) of what the YAML reader stumbled over."""
    mark = fault.problem_mark or fault.context_mark
    problem = fault.problem or fault.context
    if problem.startswith("but "):  # the reader parts some sentences in two
        problem = f"{fault.context} {problem}"
    return mark.line + 1 if mark else 1, f"not readable as YAML: {problem}"


def parse(text):
    """The tree of a YAML text that stands inside a chapter, with its lines; None when it is empty.

    Raises: MarkedYAMLError, also for a key that stands twice.
    """
    tree = composed(text)
    for line, key in _duplicates(tree):
        raise _fault(line, f"duplicate key `{key}`")
    return tree


def composed(text):
    """The tree of a YAML text. A name for another part of it (`&name`, `*name`) is refused before anything is built from it.

    A few lines of such names unfold to more than any memory holds, or to a tree without an end; no file of ours needs them.
    Raises: MarkedYAMLError.
    """
    if NAMED.search(text):
        for event in yaml.parse(text, Loader=LOADER):
            if getattr(event, "anchor", None):
                raise _fault(event.start_mark.line + 1, f"`{event.anchor}` names a part of the text to repeat it; write the part out")
    tree = yaml.compose(text, Loader=LOADER)
    line = _too_deep(tree, MOST_DEEP)
    if line:
        raise _fault(line, f"nested deeper than {MOST_DEEP} levels")
    return tree


def _fault(line, problem):
    return MarkedYAMLError(problem=problem, problem_mark=yaml.Mark("", 0, line - 1, 0, None, None))


def _too_deep(node, left):
    """Line at which a tree goes deeper than `left` levels, or None."""
    if isinstance(node, ScalarNode) or node is None:
        return None
    if not left:
        return node.start_mark.line + 1
    inner = node.value if isinstance(node, SequenceNode) else [part for pair in node.value for part in pair]
    return next((line for line in (_too_deep(part, left - 1) for part in inner if not isinstance(part, ScalarNode)) if line), None)


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
        return {_key(key): _plain(value) for key, value in node.value}
    if isinstance(node, SequenceNode):
        return [_plain(item) for item in node.value]
    return _scalar(node)


def _key(node):
    """A key; a list or a mapping as one (`? [a]`, `{{a}}`) stands as its text, which no schema knows."""
    return _plain(node) if isinstance(node, ScalarNode) else repr(_plain(node))


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
        try:
            return date.fromisoformat(text)
        except ValueError:  # no day of the calendar: a text, which the schema then refuses at its line
            return text
    return text

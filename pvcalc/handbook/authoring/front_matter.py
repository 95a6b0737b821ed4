"""Reading the source of a page: its front matter judged and cut off, its line numbers kept."""

from pathlib import Path

from yaml.error import MarkedYAMLError
from yaml.nodes import MappingNode

from pvcalc.handbook.data import text_files
from pvcalc.handbook.data.findings import AuthorFaults, Finding, nearest
from pvcalc.handbook.data.yaml_lines import parse

# What a page may say before its text: another title, and which columns beside it stay away.
FIELDS = ("title", "hide")
HIDDEN = ("navigation", "toc")
SIGNS = ("signed_on", "signed_by", "owner", "role", "state", "review_by", "valid_until")


def source(root: Path, path: Path) -> tuple[str, str, int]:
    """(shown path, Markdown text, line of the file at which that text starts).

    Raises: AuthorFaults when it is no text in UTF-8, its front matter says what it may not, or it has no title.
    """
    text = text_files.read(root, path)
    shown, first = path.relative_to(root).as_posix(), first_line(text)
    lines = text.splitlines()
    found = [Finding(shown, line, message) for line, message in faults(lines, first)]
    if found:
        raise AuthorFaults(found)
    return shown, "\n".join(lines[first - 1:]), first


def first_line(text: str) -> int:
    """Line at which the Markdown starts: after the front matter, counted from 1, blank lines skipped as MkDocs does."""
    lines = text.splitlines()
    if not lines or lines[0].strip() != "---":
        return 1
    for number in range(1, len(lines)):
        if lines[number].strip() in ("---", "..."):
            break
    else:
        return 1
    number += 1
    while number < len(lines) and not lines[number].strip():
        number += 1
    return number + 1


def faults(lines, first):
    """(line, sentence) for what stands before the text of a page, whose Markdown starts at the line `first`."""
    if first > 1:
        yield from _field_faults(lines[1:first - 1])
    begins = next((number for number in range(first, len(lines) + 1) if lines[number - 1].strip()), first)
    if begins > len(lines) or not lines[begins - 1].startswith("# "):
        yield begins, ("a page begins with its title, “# …”; a line such as “Stop: the balloon” at its head "
                       "would be taken for a field and vanish")


def _field_faults(lines):
    text = "\n".join(line for line in lines if line.strip() not in ("---", "..."))
    try:
        tree = parse(text)
    except MarkedYAMLError as fault:
        yield (fault.problem_mark.line if fault.problem_mark else 0) + 2, f"front matter not readable as YAML: {fault.problem}"
        return
    if tree is not None and not isinstance(tree, MappingNode):
        yield 2, "front matter holds no `field: value` lines"
        return
    for key, value in tree.value if tree is not None else ():
        line, name = key.start_mark.line + 2, str(key.value)
        if name in SIGNS:
            yield line, (f"`{name}` cannot be written here: who answers for a page, since when and how long, comes from the signatures alone; "
                         "`python -m pvcalc sign` records one")
        elif name == "hide" and not {one.value for one in getattr(value, "value", []) if hasattr(one, "value")} <= {*HIDDEN}:
            yield line, f"`hide` takes a list of {' and '.join(HIDDEN)}; nothing else of a page may be hidden"
        elif name not in FIELDS:
            like = nearest(name, FIELDS)
            yield line, f"unknown field `{name}`" + (f"; nearest: `{like}`" if like else "") + f"; allowed: {', '.join(FIELDS)}"

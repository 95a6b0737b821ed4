"""The shape of a page: what a slip of indent leaves behind, and what a drill must have."""

import re

DRILLS = "kb/drills/"
DRILL_INDEX = "kb/drills/index.md"
LEAST_STEPS = 2


def tree_faults(root, page):
    """(line number, sentence) for the tree of a page, before its sentences are set.

    Args:
        root: the element that Markdown built; page: what was gathered, with `written` and `path`.
    """
    for code in root.iter("pre"):
        first = next((line for line in "".join(code.itertext()).splitlines() if line.strip()), "")
        yield _line_of(first, page.written), (f"“{_plain(first)[:60]}” stands as code: indented by four blanks without a list item "
                                              "or a box above it; mend the indent, or fence code with ```")
    if page.path.startswith(DRILLS) and page.path != DRILL_INDEX:
        boxes = [box for box in root.iter("div") if "drill" in box.get("class", "").split()]
        if not any(len(steps) >= LEAST_STEPS for box in boxes for steps in box.iter("ol")):
            line = next((number for number, text in page.written if text.startswith("!!!")), 1)
            yield line, 'a drill begins with its box, and in it the steps as a numbered list: !!! danger drill "", then 1. **Who:** what'


def _line_of(text, written):
    """Line of the first written line that begins with this text; marks in it are replaced already, so words decide."""
    wanted = _plain(text)
    return next((number for number, line in written if wanted and line.strip().startswith(wanted)), written[0][0] if written else 1)


def _plain(text):
    """The text up to the first mark that was replaced, on one line."""
    return re.split("[\u0002\u0003]", text.strip())[0].strip()

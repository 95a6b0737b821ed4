"""Comments of an author, which no reader sees: a comment erases itself and nothing beside it."""

import re

FENCE = re.compile(r"^(?P<indent>\s*)(?P<ticks>`{3,}|~{3,})\s*(?P<kind>[\w-]*)")
OPENS = re.compile(r"(?P<ticks>`+).+?(?P=ticks)|(?P<comment><!--)")
CLOSES = "-->"


def closing(lines, start, fence):
    """Index of the line that closes a fence, or the number of lines when none does."""
    ticks = fence["ticks"]
    for number in range(start + 1, len(lines)):
        text = lines[number].strip()
        if text.startswith(ticks) and not text.strip(ticks[0]):
            return number
    return len(lines)


def without_comments(lines, fault):
    """What remains of a page: (number from 1, line) pairs; a line that was all comment is gone, not blank.

    Args:
        lines: the lines of a page; fences and code spans keep what looks like a comment.
        fault: called with a line number and a sentence for a comment that is not closed; its text then stays.
    """
    kept, number, opened = [], 0, None
    while number < len(lines):
        fence = FENCE.match(lines[number]) if opened is None else None
        if fence:
            end = closing(lines, number, fence)
            kept += [(place + 1, lines[place]) for place in range(number, min(end + 1, len(lines)))]
            number = end + 1
            continue
        rest, opened = _line(lines, number, opened, fault)
        if rest == lines[number]:
            kept.append((number + 1, rest))
        elif rest.strip():
            # Blanks around a comment belong to it: four of them left in front would make code of a sentence.
            indent = lines[number][:len(lines[number]) - len(lines[number].lstrip())]
            kept.append((number + 1, indent + rest.strip()))
        number += 1
    return kept


def _line(lines, number, opened, fault):
    """(what stands outside comments, where the comment still open began or None) of one line."""
    line, rest = lines[number], ""
    while line:
        if opened is not None:
            before, closed, line = line.partition(CLOSES)
            if not closed:
                return rest, opened
            opened = None
        found = next((match for match in OPENS.finditer(line) if match["comment"]), None)
        if not found:
            return rest + line, None
        rest, line = rest + line[:found.start()], line[found.end():]
        if _closed(lines, number, line):
            opened = number
        else:
            fault(number + 1, "the comment `<!--` is never closed and would hide what follows; write --> behind it")
    return rest, opened


def _closed(lines, number, after):
    """True when a comment ends before the next one begins."""
    for text in [after, *lines[number + 1:]]:
        inside, closed, _ = text.partition(CLOSES)
        if "<!--" in inside:
            return False
        if closed:
            return True
    return False

"""Text files as they come: which encoding they are in, and what a merge left in them.

Nothing is guessed: a wrong guess changes letters unseen.
"""

import re
from pathlib import Path

from pvcalc.handbook.data.findings import AuthorFaults, Finding

ZIP = b"PK\x03\x04"
# What a merge writes between two versions of a line; never the start of a line of ours.
MERGE = re.compile(r"(<{7}|\|{7}|={7}|>{7})( |$)")


def read(root: Path, path: Path) -> str:
    """The text of one file of the project, without a byte order mark.

    Raises: AuthorFaults with the line when it is no text in UTF-8 or cannot be read.
    """
    shown = path.relative_to(root).as_posix()
    try:
        content = path.read_bytes()
    except OSError as error:
        raise AuthorFaults([Finding(shown, 1, f"cannot be read: {error.strerror}")]) from None
    fault = encoding_fault(content)
    if fault:
        line, reason = fault
        raise AuthorFaults([Finding(shown, line, f"{reason}; save it as UTF-8")])
    return content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")


def encoding_fault(content: bytes) -> tuple[int, str] | None:
    """(line, what it is instead) of bytes that are no text in UTF-8."""
    for mark, name in ((b"\xff\xfe", "UTF-16"), (b"\xfe\xff", "UTF-16")):
        if content.startswith(mark):
            return 1, f"the file is in {name}, not in UTF-8"
    if content.startswith(ZIP):
        return 1, "the file is a spreadsheet's or an archive's own format, no text"
    if b"\0" in content:
        return content.count(b"\n", 0, content.index(b"\0")) + 1, "the file holds zero bytes; it is no text in UTF-8"
    try:
        content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        return line, f"the file is not in UTF-8, perhaps Windows-1252: byte {content[error.start]:#04x}"
    return None


def merge_faults(lines):
    """(line number, sentence) for every mark that a merge left in a file."""
    for number, line in enumerate(lines, 1):
        if MERGE.match(line):
            yield number, f"“{line[:7]}” is what a merge writes between two versions; keep one version and take the mark away"

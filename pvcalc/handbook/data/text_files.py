"""Text files as they come: which encoding they are in, and what a merge left in them.

Nothing is guessed: a wrong guess changes letters unseen.
"""

import re
import unicodedata
from pathlib import Path

from pvcalc.handbook.data.findings import AuthorFaults, Finding

MOST_BYTES = 5 * 10 ** 6
ZIP = b"PK\x03\x04"
# What a merge writes between two versions of a line; never the start of a line of ours.
MERGE = re.compile(r"^(<{7}|\|{7}|={7}|>{7})(?: |$)", re.MULTILINE)


def read(root: Path, path: Path) -> str:
    """The text of one file of the project, without a byte order mark.

    Raises: AuthorFaults with the line when it is no text in UTF-8 or cannot be read.
    """
    return read_shown(path, path.relative_to(root).as_posix())


def read_shown(path: Path, shown: str) -> str:
    """The text of any file, called `shown` in a finding. Raises: as `read`; also for what is no file, or too large."""
    try:
        if not path.is_file():
            raise AuthorFaults([Finding(shown, 1, "is no file" if path.exists() else "cannot be read: there is no such file")])
        if path.stat().st_size > MOST_BYTES:
            raise AuthorFaults([Finding(shown, 1, f"is larger than {MOST_BYTES // 10 ** 6} MB; no file of the handbook is")])
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


# Signs that sentences and tables use beside ASCII and Latin letters with accents; everything else is named and refused:
# what looks like a digit, a point or a hyphen and is none, what is not seen at all, what turns the direction of reading.
SIGNS = "\u00a0\u202f\u2009×²³¹±−·”“’‘°µ–—′″⁰⁴⁵⁶⁷⁸⁹⁻⁺₀₁₂₃₄₅₆₇₈₉…πΔΣαβγδεηθλρστφχψω≤≥≈≠√∞→←↑↓‰€£§½¼¾✓"
# Latin-1 and its first extension, without the letters among them that look like others.
LETTERS = "".join(map(chr, range(0xC0, 0x180)))
ODD = re.compile(f"[^\n -~{SIGNS}{LETTERS}]|[\u00f7\u0131\u0132\u0133\u0138\u0149\u017f]")


def character_faults(text):
    """(line number, sentence) for each character of a text that is not what it looks like, or is not seen; one a line."""
    told = 0
    for found in ODD.finditer(text):
        number = text.count("\n", 0, found.start()) + 1
        if number == told:
            continue
        told = number
        if found[0] == "\t":
            yield number, "a tab; write blanks"
        else:
            name = unicodedata.name(found[0], "a control character").lower()
            yield number, (f"U+{ord(found[0]):04X} ({name}) in “{around(text, found.start())}”: it looks like another character or like none; "
                           "type the plain one")


def around(text, place):
    """The word that holds a character, with what cannot be seen or trusted written as its number."""
    before, after = text[:place].rsplit(None, 1)[-1:], text[place + 1:].split(None, 1)[:1]
    word = ("" if text[place - 1:place].isspace() else "".join(before)) + text[place] + ("" if text[place + 1:place + 2].isspace() else "".join(after))
    return visible(word[:40])


def visible(text: str) -> str:
    """A text that a terminal or an editor shows as it is: what steers, hides or turns is written as its number."""
    return "".join(sign if sign in "\n\t" or unicodedata.category(sign) not in HIDDEN else f"\\u{ord(sign):04x}" for sign in text)


HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def merge_faults(text):
    """(line number, sentence) for every mark that a merge left in a text."""
    for found in MERGE.finditer(text):
        yield text.count("\n", 0, found.start()) + 1, f"“{found[1]}” is what a merge writes between two versions; keep one version and take the mark away"

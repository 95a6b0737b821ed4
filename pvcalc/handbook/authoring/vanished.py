"""Does every word that an author wrote stand on the page?

Markdown has ways to swallow a sentence without a word: a definition of a link, an abbreviation, a tag that hides.
The words of each source line, between the marks that are replaced, are looked for on the finished page, in their order.
"""

import re
from html import unescape

from pvcalc.handbook.authoring import inline

WORD = re.compile(r"[^\W\d_]{2,}")
TAG = re.compile(r"<[^>]*>")
BOX = re.compile(r'^\s*(?:!!!|\?\?\?\+?|===)[^"]*(?:"(?P<title>[^"]*)")?\s*$')
# A footnote or a link by reference would be written elsewhere; only the address of a link goes unseen.
ADDRESS = re.compile(r"\]\([^)]*\)|<https?:[^>]*>")
# An identifier, or a link to save: the only attributes a chapter gives. Others could hide the text they stand at.
ATTRIBUTE = re.compile(r"\{(?:[#.][\w-]+(?: [#.][\w-]+)*|download)\}")


def faults(lines, html):
    """(number, sentence) for every line with text that is not on the page.

    Args:
        lines: (number, line) pairs of the source, without comments and fences.
        html: the page as it was made.
    """
    page = _words(unescape(TAG.sub(" ", html)))
    place = 0
    for number, line in lines:
        for piece in _pieces(line):
            found = page.find(piece, place)
            if found < 0:
                yield number, f"“{piece.strip()}” is written here and does not stand on the page; Markdown swallowed it"
                break
            place = found + len(piece) - 1


def _pieces(line):
    """Runs of words of one line that stand side by side on the page."""
    box = BOX.match(line)
    text = ATTRIBUTE.sub(" ", ADDRESS.sub(" ", (box["title"] or "") if box else line))
    end, pieces = 0, []
    for match in inline.TOKENS.finditer(text):
        pieces += [text[end:match.start()], (match["code"] or "").strip("`")]
        end = match.end()
    return [words for words in (_words(unescape(piece)) for piece in [*pieces, text[end:]]) if words.strip()]


def _words(text):
    return f" {' '.join(WORD.findall(text))} "

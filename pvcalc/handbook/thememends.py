"""What the pinned theme gets wrong for this handbook, mended in the built site.

1. Its search (lunr 2.3) names the nodes of its word tree by gluing letters and node numbers together, so a word
   that ends in digits can be taken for another one. With many numbers in the text, a search for "pressure" then
   breaks off and finds nothing. A mark between letter and number makes the names unambiguous.
2. It publishes source maps and word lists of languages that nobody here searches in: 1.8 MB for a phone to store.
3. Cells and terms stand without a blank between them, so its index reads "600" beside "5" as "6005".
"""

import re
import shutil
from pathlib import Path

AMBIGUOUS = "e=e+s+o.id}return e}"
PLAIN = 'e=e+s+o.id+";"}return e}'
BLOCK_END = re.compile(r"(</(?:td|th|tr|dt|dd|li|p|div|option|figcaption|desc|title|text)>)(?=<)")
SOURCE_MAP = re.compile(rb"\n?(?://|/\*)# sourceMappingURL=\S+?\.map(?:\s*\*/)?\s*$")


class ThemeChanged(Exception):
    """The theme no longer holds what a mend expects: look whether the mend is still needed."""


def spaced(html: str) -> str:
    """A page's HTML with a line break after each cell, term and paragraph that lacks one; looks the same."""
    return BLOCK_END.sub(r"\1\n", html)


def mend(site: Path) -> None:
    """Mend the theme's files in a built site.

    Raises: ThemeChanged.
    """
    scripts = site / "assets" / "javascripts"
    _mend_search(scripts)
    shutil.rmtree(scripts / "lunr", ignore_errors=True)
    for path in [*scripts.rglob("*.map"), *(site / "assets" / "stylesheets").glob("*.map")]:
        path.unlink()
        owner = path.with_suffix("")
        owner.write_bytes(SOURCE_MAP.sub(b"", owner.read_bytes()))


def _mend_search(scripts):
    workers = list(scripts.glob("workers/search.*.js"))
    if len(workers) != 1:
        raise ThemeChanged(f"the theme ships {len(workers)} search workers, one was expected")
    text = workers[0].read_text(encoding="utf-8")
    if text.count(PLAIN) == 1 and AMBIGUOUS not in text:
        return  # a rebuild of changed pages only finds the file as it was mended before
    if text.count(AMBIGUOUS) != 1:
        raise ThemeChanged(f"{workers[0].name}: the naming of word-tree nodes changed; see pvcalc/handbook/thememends.py")
    workers[0].write_text(text.replace(AMBIGUOUS, PLAIN), encoding="utf-8")

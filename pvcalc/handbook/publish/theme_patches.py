"""What the pinned theme gets wrong for this handbook, mended in the built site.

1. Its search (lunr 2.3) names the nodes of its word tree by gluing letters and node numbers together, so a word
   that ends in digits can be taken for another one. With many numbers in the text, a search for "pressure" then
   breaks off and finds nothing. A mark between letter and number makes the names unambiguous. It also puts a page
   before the section that answers, forgives no slip of the finger, and lets one word that stands often beat a section
   with all of them.
2. It publishes source maps and word lists of languages that nobody here searches in: 1.8 MB for a phone to store.
3. Cells and terms stand without a blank between them, so its index reads "600" beside "5" as "6005".
4. It fetches the search's index and worker with every page, 176 kB, for the few readers who search. They come when
   the search is opened, or with a page that a hit led to, where the words sought are marked.
"""

import re
import shutil
from pathlib import Path

# What stands in the search's worker -> what it becomes.
WORKER = {
    "e=e+s+o.id}return e}": 'e=e+s+o.id+";"}return e}',
    # The section that answers comes before its page; a hit on all words counts far more than many hits on one.
    "let g=+!c.parent+Object.values(f)": "let g=Object.values(f)",
    "score:a*(1+K(g,2))": "score:a*(.02+K(g,3))",
    # A long section is no better an answer for being long.
    "this.b(0),": "this.b(.6),",
    # A typed word is looked for as it is, as a beginning, and with a slip of a letter (two in a long word), in that order; a
    # bare number says little of what is asked.
    "n=this.index.search(e).reduce(": "n=this.index.query(Q=>{for(let s of r){let o=s.presence!==lunr.Query.presence.OPTIONAL,"
    "d=/^\\d/.test(s.term),h={fields:s.fields,presence:s.presence,boost:d?1:10,usePipeline:!0};Q.term(s.term,h);"
    "o||d||(Q.term(s.term,{fields:s.fields,boost:1.5,usePipeline:!1,wildcard:lunr.Query.wildcard.TRAILING}),"
    "s.term.length>3&&Q.term(s.term,{fields:s.fields,boost:.3,usePipeline:!1,editDistance:s.term.length>7?2:1}))}}).reduce(",
}
# What stands in the theme's script -> what it becomes. Its own short names: `Je` watches the box that opens the search,
# `L` joins and `$` makes streams, `g`, `Ee` and `b` filter, take and go over to another, `we` reads the address.
AT_ONCE = {
    'document.forms.namedItem("search")?ks():tt':
        'document.forms.namedItem("search")?L(Je("search"),$(we().searchParams.has("h"))).pipe(g(Boolean),Ee(1),b(ks),Z(1)):tt',
    "function Mn(e,t=new Worker(e))":
        "function Mn(e,t=Object.assign(new EventTarget,{postMessage(r){this.w||(this.w=new Worker(e),"
        'this.w.onmessage=o=>t.dispatchEvent(new MessageEvent("message",{data:o.data}))),this.w.postMessage(r)}}))',
}
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
    _replace(scripts, "workers/search", WORKER)
    _replace(scripts, "bundle", AT_ONCE)
    shutil.rmtree(scripts / "lunr", ignore_errors=True)
    for path in [*scripts.rglob("*.map"), *(site / "assets" / "stylesheets").glob("*.map")]:
        path.unlink()
        owner = path.with_suffix("")
        owner.write_bytes(SOURCE_MAP.sub(b"", owner.read_bytes()))


def _replace(scripts, name, mends):
    """Put each text of one script into its new form; a rebuild of changed pages finds the script as it was mended before."""
    found = list(scripts.glob(name + ".*.js"))
    if len(found) != 1:
        raise ThemeChanged(f"the theme ships {len(found)} scripts named {name}, one was expected")
    text = found[0].read_text(encoding="utf-8")
    for old, new in mends.items():
        if text.count(new) == 1 and old not in text.replace(new, ""):
            continue
        if text.count(old) != 1:
            raise ThemeChanged(f"{found[0].name}: “{old}” changed; see pvcalc/handbook/publish/theme_patches.py")
        text = text.replace(old, new)
    found[0].write_text(text, encoding="utf-8")

"""Sends no style rule that nothing on the site can meet, and no remark of our own style sheets and scripts.

The theme brings looks for everything it can do, in both writing directions; this handbook meets half of them. A
rule stays when every name in one of its selectors occurs in a tag of some page, or anywhere in a script: scripts
make elements too. A property set for later use stays when something uses it.
"""

import re
from pathlib import Path

TAG = re.compile(r"<[a-zA-Z][^>]*>")
NAME = re.compile(r"[\w-]+")
QUOTED = r'"(?:\\.|[^"\\])*"|\'(?:\\.|[^\'\\])*\''
REMARK = re.compile(rf"({QUOTED})|/\*.*?\*/", re.S)
BLANKS = re.compile(rf"({QUOTED})|\s*;?\s*(\}})\s*|\s*([{{;,])\s*|\s+")
TOKEN = re.compile(rf"{QUOTED}|[(){{}};]|[^\"'(){{}};]+", re.S)
SET_FOR_LATER = re.compile(rf"(--[\w-]+):(?:{QUOTED}|\((?:{QUOTED}|[^()\"']|\([^()]*\))*\)|[^;}}\"'(])*;?")
# A remark on lines of its own; what stands behind code is left alone, since only a whole reader of scripts could tell.
REMARK_LINES = re.compile(r"^[ \t]*(?:/\*(?:(?!\*/).)*\*/|//[^\n]*)[ \t]*\n", re.S | re.M)
HOLDS_RULES = ("@media", "@supports", "@layer")


class StyleChanged(Exception):
    """A style sheet that this reader does not understand."""


def publish(site: Path) -> None:
    """Rewrite the style sheets and our scripts of a built site.

    Raises: StyleChanged.
    """
    scripts = " ".join(path.read_text(encoding="utf-8") for path in sorted(site.rglob("*.js")))
    tags = {name for page in site.rglob("*.html") for tag in TAG.findall(page.read_text(encoding="utf-8")) for name in NAME.findall(tag)}
    own = {path: packed(path.read_text(encoding="utf-8")) for path in sorted((site / "css").glob("*.css"))}
    names, users = tags | set(NAME.findall(scripts)), scripts + " ".join(own.values())
    theirs = {path: path.read_text(encoding="utf-8") for path in sorted((site / "assets" / "stylesheets").glob("*.css"))}
    kept = {path: met(text, names, "rtl" in tags) for path, text in theirs.items()}
    while True:
        used = set(re.findall(r"--[\w-]+", users)) | set(re.findall(r"var\((--[\w-]+)", " ".join(kept.values())))
        left = {path: without(text, used) for path, text in kept.items()}
        if left == kept:
            break
        kept = left
    ours = {path: plain_lines(path.read_text(encoding="utf-8")) for path in sorted((site / "js").glob("*.js"))}
    for path, text in (own | kept | ours).items():
        path.write_text(text, encoding="utf-8", newline="\n")


def packed(css: str) -> str:
    """A style sheet without remarks and without blanks that mean nothing."""
    return BLANKS.sub(lambda found: found[1] or found[2] or found[3] or " ", unremarked(css)).strip() + "\n"


def unremarked(css: str) -> str:
    """A style sheet without its remarks."""
    return REMARK.sub(lambda found: found[1] or "", css)


def plain_lines(script: str) -> str:
    """A script without the remarks that stand on lines of their own; lines stay moved in, for one may hold Python."""
    return REMARK_LINES.sub("", script)


def unspaced(page: str) -> str:
    """A page of HTML without blank lines and without blanks at the ends of lines, except where it is preformatted."""
    parts = re.split(r"(<(pre|textarea)\b.*?</\2>)", page, flags=re.S)
    kept = [part if place % 3 == 1 else re.sub(r"[ \t]*\n\s*", "\n", part) for place, part in enumerate(parts) if place % 3 != 2]
    return "".join(kept)


def met(css: str, names: set[str], right_to_left: bool = False) -> str:
    """The rules that a page of these names can meet.

    Args:
        css: a style sheet; names: every name in tags and scripts; right_to_left: whether some page is written so.
    """
    made = []
    for head, body in rules(css):
        if head.startswith(HOLDS_RULES):
            inner = met(body, names, right_to_left)
            made += [head + "{" + inner + "}"] if inner else []
        elif head.startswith("@") or body is None:
            made.append(head + (";" if body is None else "{" + body + "}"))
        else:
            kept = [one for one in _parted(head) if (right_to_left or "[dir=rtl]" not in one) and _names(one) <= names]
            made += [",".join(kept) + "{" + body + "}"] if kept else []
    return "".join(made)


def without(css: str, used: set[str]) -> str:
    """The style sheet without properties that are set and never used, and without rules that are empty then."""
    made = []
    for head, body in rules(css):
        if body is None:
            made.append(head + ";")
            continue
        inner = without(body, used) if head.startswith(HOLDS_RULES) else SET_FOR_LATER.sub(
            lambda found: found[0] if found[1] in used else "", body).rstrip(";")
        made += [head + "{" + inner + "}"] if inner else []
    return "".join(made)


def rules(css: str) -> list[tuple[str, str | None]]:
    """(what stands before the braces, what stands in them) of a style sheet, in order; None for a line without braces."""
    found, head, body, deep, round_ = [], "", "", 0, 0
    for token in TOKEN.findall(unremarked(css)):
        round_ += {"(": 1, ")": -1}.get(token, 0)
        mark = token if token in "{};" and not round_ else ""
        if mark == "{":
            deep += 1
        elif mark == "}":
            deep -= 1
        if mark == "}" and deep == 0:
            found.append((head.strip(), body))
            head = body = ""
        elif mark == ";" and deep == 0:
            found.append((head.strip(), None))
            head = ""
        elif deep == 0:
            head += token
        elif not (mark == "{" and deep == 1):
            body += token
    if deep or round_ or head.strip():
        raise StyleChanged("braces do not match in a style sheet; see pvcalc/handbook/publish/minify.py")
    return found


def _parted(head):
    """The selectors of a rule, parted at the commas that stand in no bracket."""
    parts, deep, start = [], 0, 0
    for place, sign in enumerate(head):
        deep += {"(": 1, "[": 1, ")": -1, "]": -1}.get(sign, 0)
        if sign == "," and not deep:
            parts.append(head[start:place])
            start = place + 1
    return [*parts, head[start:]]


def _names(selector):
    """Every name that an element must have to be met; what stands in the brackets of :not() or :is() asks for none."""
    plain, before = selector, ""
    while plain != before:
        before, plain = plain, re.sub(r":[\w-]+\([^()]*\)", "", plain)
    plain = re.sub(r"::?[\w-]+", "", plain)
    asked = re.findall(r"\[([\w-]+)", plain) + re.findall(r'=["\']?([\w-]+)["\']?[^\]]*\]', plain)
    return set(asked) | set(NAME.findall(re.sub(r"\[[^\]]*\]", "", plain).replace("\\", "")))

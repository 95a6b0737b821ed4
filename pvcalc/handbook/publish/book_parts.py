"""A built page as one part of the bound book: identifiers made unique, links led inside, what only a screen needs left out."""

import posixpath
import re
from dataclasses import dataclass, field
from html import escape, unescape
from html.parser import HTMLParser

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
# Nothing of these reads on paper: fields for typing, filters, the sign that copies a heading's address.
LEFT_OUT_CLASSES = {"try", "filter", "headerlink", "md-source-file", "plan-form"}
LEFT_OUT_TAGS = {"script", "form", "template", "dialog", "noscript"}
# Attributes that hold one or several identifiers of the same page.
POINTERS = {"id", "for", "headers", "aria-labelledby", "aria-describedby", "aria-controls", "aria-owns"}
# The book's own headings stand above a page's.
DEEPER = {f"h{level}": f"h{level + 1}" for level in range(1, 6)}
OUTSIDE = re.compile(r"[a-z][a-z+.-]*:", re.I)


@dataclass
class Part:
    """One page of the book.

    Attributes:
        name: its address on the site, such as `drills/tear.html`; title: its name in the contents.
        html: the article, ready to stand among others; headings: (identifier, text) of its second level.
    """

    name: str
    title: str
    html: str = ""
    headings: list[tuple[str, str]] = field(default_factory=list)

    @property
    def anchor(self) -> str:
        """Identifier of the page in the book."""
        return anchor_of(self.name)


def anchor_of(name: str, inner: str = "") -> str:
    """Identifier in the book of a page, or of a place on it."""
    page = "page-" + re.sub(r"[^a-z0-9]+", "-", name.removesuffix(".html").lower()).strip("-")
    return f"{page}--{inner}" if inner else page


def article(html: str, name: str, title: str, names: set[str]) -> Part:
    """Cut the article out of a built page.

    Args:
        html: the whole page; name: its address on the site; title: its name in the contents.
        names: addresses of every page of the book: a link to another file loses its address.
    Raises: ValueError when the page holds no article.
    """
    reader = _Reader(name, names)
    reader.feed(html)
    reader.close()
    if not reader.out:
        raise ValueError(f"{name}: there is no article on the page")
    return Part(name, title, "".join(reader.out), reader.headings)


class _Reader(HTMLParser):
    """Copies what stands inside the article, token by token, changing attributes only."""

    def __init__(self, name, names):
        super().__init__(convert_charrefs=False)
        self.name, self.names = name, names
        self.out, self.headings = [], []
        self.inside, self.quiet, self.heading = 0, [], None

    def handle_starttag(self, tag, attrs):
        given = [(key, value or "") for key, value in attrs]
        if not self.inside:
            self.inside = int(tag == "article")
            return
        if self.quiet:
            if tag not in VOID:
                self.quiet.append(tag)
            return
        classes = set(dict(given).get("class", "").split())
        if tag in LEFT_OUT_TAGS or classes & LEFT_OUT_CLASSES:
            if tag not in VOID:
                self.quiet.append(tag)
            return
        if tag == "article":
            self.inside += 1
        if tag == "h2" and dict(given).get("id"):
            self.heading = [anchor_of(self.name, dict(given)["id"]), ""]
        if tag == "details" and "open" not in dict(given):
            given.append(("open", ""))
        self.out.append(f"<{DEEPER.get(tag, tag)}{''.join(self._attribute(tag, *pair) for pair in given)}>")

    def handle_startendtag(self, tag, attrs):
        before = len(self.quiet)
        self.handle_starttag(tag, attrs)
        if tag not in VOID and self.inside:
            if len(self.quiet) > before:
                self.quiet.pop()
            elif not self.quiet:
                self.out.append(f"</{tag}>")

    def handle_endtag(self, tag):
        if self.quiet:
            if tag == self.quiet[-1]:
                self.quiet.pop()
            return
        if not self.inside:
            return
        if tag == "article":
            self.inside -= 1
            if not self.inside:
                return
        if tag == "h2" and self.heading:
            self.headings.append((self.heading[0], unescape(self.heading[1]).strip()))
            self.heading = None
        self.out.append(f"</{DEEPER.get(tag, tag)}>")

    def _text(self, raw):
        if self.inside and not self.quiet:
            self.out.append(raw)
            if self.heading:
                self.heading[1] += raw

    def handle_data(self, data):
        self._text(data)

    def handle_entityref(self, name):
        self._text(f"&{name};")

    def handle_charref(self, name):
        self._text(f"&#{name};")

    def _attribute(self, tag, key, value):
        if key in POINTERS:
            value = " ".join(anchor_of(self.name, one) for one in value.split())
        elif key in ("href", "xlink:href"):
            value = self._address(value)
            if not value:
                return ""
        elif "url(#" in value:
            value = re.sub(r"url\(#([^)]+)\)", lambda match: f"url(#{anchor_of(self.name, match[1])})", value)
        elif key in ("tabindex", "data-try"):
            return ""
        return f' {key}="{escape(value)}"' if value or key not in ("open", "hidden") else f" {key}"

    def _address(self, href):
        if OUTSIDE.match(href):
            return href
        target, _, inner = href.partition("#")
        name = posixpath.normpath(posixpath.join(posixpath.dirname(self.name), target)) if target else self.name
        return f"#{anchor_of(name, inner)}" if name in self.names else ""

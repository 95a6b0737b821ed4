"""Python-Markdown extension: the fences and inline marks of the handbook.

Works without MkDocs: `markdown.markdown(text, extensions=[Handbook(root=".", page="kb/sizing.md")])`.
Everything an author can get wrong is collected and raised once, as `AuthorFaults`.
"""

import re
from dataclasses import dataclass, field
from pathlib import Path

from markdown.extensions import Extension
from markdown.postprocessors import Postprocessor
from markdown.preprocessors import Preprocessor
from markdown.treeprocessors import Treeprocessor

from pvcalc.handbook.authoring import fences, comments, inline, layers, front_matter, prose, structure, vanished
from pvcalc.handbook.data import project, text_files
from pvcalc.handbook.data.findings import AuthorFaults, Finding

STASHED = re.compile("\u0002[^\u0003]*\u0003")
# On a telephone a table of so many columns with a cell of so many characters stands as cards.
MANY_COLUMNS, WORDY = 4, 24
HEADING = re.compile(r"^#{1,6}\s")


@dataclass
class Page:
    """What one page gathers while it is converted.

    Attributes:
        path: its source, such as `kb/sizing.md`.
        first_line: line of the source that the Markdown text starts at (front matter is cut off before).
        citations: (key, locator) in the order of first use; `uses` counts the marks of each key.
        ledger: numbers computed on the page.
        examples: how many worked examples were placed; `blocks` counts them by name.
        brief: True when the page opens with its questions and is read in layers.
        numbers: the same numbers with source and provenance, for the reviewer's worksheet.
        rests_on: (kind, name) of everything the page was made from: formula, setting, series, table, source, picture.
        written: (number, line) of every line of text, comments and fences left out.
        draft: True when only the author's faults are wanted; generated pages are then named, not made.
    """

    path: str = "kb/page.md"
    first_line: int = 1
    findings: list[Finding] = field(default_factory=list)
    citations: list[str] = field(default_factory=list)
    uses: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    ledger: list[str] = field(default_factory=list)
    examples: int = 0
    blocks: dict[str, int] = field(default_factory=dict)
    brief: bool = False
    draft: bool = False
    numbers: list[dict] = field(default_factory=list)
    written: list[tuple[int, str]] = field(default_factory=list)
    rests_on: set[tuple[str, str]] = field(default_factory=set)

    @property
    def slug(self) -> str:
        """Path below kb/ without its ending: `drills/tamponade`."""
        return self.path.split("/", 1)[-1].removesuffix(".md")

    @property
    def up(self) -> str:
        """Relative way from this page to the top of the site."""
        return "../" * self.slug.count("/")

    def place(self, name: str) -> str:
        """Anchor of a block, from what it computes: `balloon-range-mm`, the second of its kind `balloon-range-mm-2`."""
        self.examples += 1
        self.blocks[name] = self.blocks.get(name, 0) + 1
        number = self.blocks[name]
        return name.replace("_", "-") + (f"-{number}" if number > 1 else "")

    def fault(self, line: int, message: str) -> None:
        """Note an author fault at a line of the text, counted from 1."""
        self.findings.append(Finding(self.path, line + self.first_line - 1, message))


class Handbook(Extension):
    """Markdown extension; options `root` (project folder), `page` (source path) and `first_line`."""

    def __init__(self, **options):
        self.config = {
            "root": [".", "project folder"],
            "page": ["", "source path of the page, for error messages and links"],
            "first_line": [1, "line of the source that the text starts at"],
            "draft": [False, "look for the author's faults only; leave generated pages out"],
        }
        super().__init__(**options)
        self.page = Page()
        self.announced = None
        self.site_build = False
        self.finished = None
        self.stop = AuthorFaults  # what is raised with the findings of a page; MkDocs wants a kind of its own

    def announce(self, path: str, first_line: int) -> None:
        """Tell the extension which page comes next (called by the MkDocs hook)."""
        self.announced = (path, first_line)
        self.site_build = True

    def next_page(self) -> Page:
        """A fresh page to gather into."""
        path, first_line = self.announced or (self.getConfig("page") or "kb/page.md", self.getConfig("first_line"))
        self.announced = None
        self.page = Page(path, int(first_line), draft=bool(self.getConfig("draft")))
        return self.page

    @property
    def inside_page(self) -> bool:
        """True for a text that another plugin converts in the middle of a page, such as a docstring of the API page."""
        return self.site_build and self.announced is None

    def extendMarkdown(self, md):  # noqa: N802, the library's name
        md.registerExtension(self)
        # Before every other preprocessor (normalising is 30, the fenced-code ones 25): marks must not reach them.
        marks = Marks(md, self)
        md.preprocessors.register(marks, "handbook", 29)
        # Before the one that highlights code (30): an indented block still stands in the tree then.
        md.treeprocessors.register(Shape(md, marks), "handbook-shape", 60)
        md.treeprocessors.register(AlignmentClasses(md), "handbook-alignment", 0)
        md.treeprocessors.register(Settled(md, marks), "handbook-settled", -10)
        # After every other one: what is missing now is missing on the page.
        md.postprocessors.register(Judge(md, marks), "handbook-judge", -10)


class Marks(Preprocessor):
    """Replaces our fences and inline marks by finished HTML, line by line."""

    def __init__(self, md, extension):
        super().__init__(md)
        self.extension = extension
        self.page = None  # the page being converted; none for a text in the middle of one
        self.settled = False  # true once the tree of the page is whole

    def run(self, lines):
        loaded, self.page, self.settled = project.of(self.extension.getConfig("root")), None, False
        if self.extension.inside_page:
            return [self.md.htmlStash.store(fences.rich(loaded, None, line)) if inline.TOKENS.search(line) and "`" not in line
                    else line for line in lines]
        page = self.page = self.extension.next_page()
        whole = "\n".join(lines)
        for number, message in [*text_files.merge_faults(whole), *text_files.character_faults(whole)]:
            page.fault(number, message)
        self.writer = fences.Writer(loaded, page, self.md.htmlStash.store, convert)
        self.inline = inline.Inline(loaded, page, self.md.htmlStash.store)
        self.writer.headings = layers.headings(lines)
        self.gathered = None
        out = self._convert(lines, page)
        out += self._sources(loaded, page)
        self.extension.finished = page
        return out

    def _convert(self, lines, page):
        kept = comments.without_comments(lines, page.fault)
        out, place = [], 0
        while place < len(kept):
            number, line = kept[place]
            out += self._layer(line)
            fence = comments.FENCE.match(line)
            if fence:
                body = [text for _, text in kept[place:]]
                end = comments.closing(body, 0, fence)
                out += self._tried(page, number, lambda: self._fence(fence, body[:end + 1], number, end < len(body), page))
                place += end + 1
                continue
            page.written.append((number, line))
            out += self._tried(page, number, lambda: [self._sentence(line, number, page)])
            place += 1
        return out + self._sign()

    @staticmethod
    def _tried(page, number, convert):
        """What a line or fence becomes; whatever fails in it is a fault of its line."""
        try:
            return convert()
        except Exception as error:
            page.fault(number, f"cannot be converted: {type(error).__name__}: {error}")
            return []

    def _layer(self, line):
        """Lines that close the answer or reason that ends before this line: its sign; a line that opens one begins to gather."""
        closed = []
        if self.gathered is not None and line.strip() and not line.startswith(self.gathered.indent):
            closed = self._sign()
        opened = layers.layer_of(line)
        if opened and opened[0] in layers.SIGNED:
            closed = closed or self._sign()
            self.gathered = layers.Gathered(opened[1])
        return closed

    def _sign(self):
        gathered, self.gathered = self.gathered, None
        html = gathered.html() if gathered is not None else ""
        return ["", gathered.indent + self.md.htmlStash.store(html), ""] if html else []

    def _fence(self, fence, lines, number, closed, page):
        """A fence of ours as a placeholder of its HTML, another one as it stands."""
        if fence["kind"] not in fences.FENCES:
            return lines
        if not closed:
            page.fault(number, f"the {fence['kind']} fence is never closed")
        body = [text[len(fence["indent"]):] for text in (lines[1:-1] if closed else lines[1:])]
        return ["", fence["indent"] + self.writer.fence(fence["kind"], body, number), ""]

    def _sentence(self, line, number, page):
        for message in prose.faults(line):
            page.fault(number, message)
        if HEADING.match(line) and ("[@" in line or "[=" in line):
            page.fault(number, "a heading cannot carry a citation or a computed number; put it in the sentence below")
            return line
        return self.inline.convert(line, number, self.gathered)

    def _sources(self, loaded, page):
        if not page.citations:
            return []
        # Without an empty line behind it: Markdown would set the list into a paragraph.
        works = inline.sources_list(loaded, page)
        return ["", "## Sources", "", self.md.htmlStash.store(layers.folded_sources(works, len(page.citations)) if page.brief else works)]


class Shape(Treeprocessor):
    """Looks for what a slip of indent did to a page."""

    def __init__(self, md, marks):
        super().__init__(md)
        self.marks = marks

    def run(self, root):
        page = self.marks.page
        if page and not page.findings:  # a fence that was not made leaves a shape of its own
            for line, message in structure.tree_faults(root, page):
                page.fault(line, message)


class Settled(Treeprocessor):
    """Notes that the tree is whole: the table of contents runs each heading through every postprocessor before that."""

    def __init__(self, md, marks):
        super().__init__(md)
        self.marks = marks

    def run(self, root):
        self.marks.settled = True


class Judge(Postprocessor):
    """Stops a page with faults, once it is whole, and one that has lost words of its author."""

    def __init__(self, md, marks):
        super().__init__(md)
        self.marks = marks

    def run(self, text):
        page = self.marks.page if self.marks.settled else None
        if page and not page.findings:  # a mark that was not replaced stands in the way
            for line, message in vanished.faults(page.written, text):
                page.fault(line, message)
        if page and page.findings:
            raise self.marks.extension.stop(sorted(page.findings, key=lambda finding: finding.line))
        return text


class AlignmentClasses(Treeprocessor):
    """Turns a table cell's alignment from a style, which the site's policy forbids, into a class.

    Also wraps each table so that a wide one scrolls by itself and can be reached by keyboard, and
    gives each cell its column's heading for the narrow layout.
    """

    def run(self, root):
        for parent in list(root.iter()):
            for place, child in enumerate(list(parent)):
                if child.tag == "table":
                    parent[place] = self._wrapped(child)

    @staticmethod
    def _thin_columns(table, count):
        """Columns after the first whose every cell holds marks and source numbers only, which are placeholders here."""
        rows = [[STASHED.sub("", "".join(cell.itertext())).strip() for cell in row] for row in table.find("tbody")]
        return {column for column in range(1, count) if all(column < len(row) and not row[column].strip(",; ") for row in rows)}

    def _wrapped(self, table):
        from xml.etree import ElementTree
        # A mark in a heading stands as a placeholder here; an attribute must not carry the HTML it becomes.
        heads = [STASHED.sub("", "".join(cell.itertext())).strip() for cell in table.iter("th")]
        thin = self._thin_columns(table, len(heads))
        for row in table.iter("tr"):
            for column, cell in enumerate(row):
                align = cell.attrib.pop("align", "") or _style_alignment(cell.attrib.pop("style", ""))
                kinds = ([f"col-{align}"] if align else []) + (["thin"] if column in thin else [])
                if kinds:
                    cell.set("class", " ".join(kinds))
                if cell.tag == "td" and column < len(heads):
                    cell.set("data-label", heads[column])
                if cell.tag == "th" and heads[column]:
                    cell.set("scope", "col")
                elif cell.tag == "th" and not len(cell) and not cell.text:
                    cell.tag = "td"  # the empty corner of a table heads nothing
        wrap = ElementTree.Element("div", {"class": "table-wrap", "role": "group", "tabindex": "0",
                                           "aria-label": "Table: " + ", ".join(head for head in heads[:3] if head)})
        if not table.get("class"):
            # The theme's script takes every table without a class apart again.
            wordy = any(len("".join(cell.itertext())) > WORDY for cell in table.iter("td"))
            table.set("class", "cards" if wordy and len(heads) >= MANY_COLUMNS else "plain")
        if "cards" in table.get("class"):
            wrap.set("data-search-exclude", "")  # its cells would be one long glued line of a hit
        wrap.tail, table.tail = table.tail, None
        wrap.append(table)
        return wrap


def _style_alignment(style):
    found = re.search(r"text-align:\s*(left|center|right)", style)
    return found[1] if found else ""


def makeExtension(**options):  # noqa: N802, the library's name
    """Entry point for `markdown_extensions: pvcalc.handbook.authoring.extension`."""
    return Handbook(**options)


def convert(root: Path, path: str, text: str, first_line: int = 1, draft: bool = False) -> tuple[str, Page]:
    """One page to HTML without MkDocs; for the lint, the ledger and the tests.

    Raises: AuthorFaults.
    """
    import markdown
    extension = Handbook(root=str(root), page=path, first_line=first_line, draft=draft)
    html = markdown.markdown(text, extensions=[extension, "tables", "admonition", "attr_list", "def_list", "toc", "fenced_code", "pymdownx.details"])
    return html, extension.finished


def gathered(loaded, slug: str) -> Page:
    """What a chapter gathers when it is converted; each chapter is converted once for a loaded project.

    Raises: AuthorFaults.
    """
    if slug not in loaded.converted:
        path = loaded.root / "kb" / f"{slug}.md"
        loaded.converted[slug] = convert(loaded.root, *front_matter.source(loaded.root, path))[1]
    return loaded.converted[slug]

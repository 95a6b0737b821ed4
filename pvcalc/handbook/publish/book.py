"""The whole handbook bound as one PDF: every built page in the order of the navigation, printed by Chromium.

Run as `python -m pvcalc.handbook.publish.book SITE INTO.pdf`. The first copy tells on which page each chapter
begins, the second carries those numbers in its contents; it is bound when nothing moves any more.
"""

import re
import sys
from datetime import datetime, timezone
from html import escape
from io import BytesIO
from pathlib import Path

from pvcalc.handbook.data import project
from pvcalc.handbook.publish.book_parts import Part, article
from pvcalc.handbook.publish.chromium import chromium_path
from pvcalc.handbook.reference.signatures_page import state_of_book

LOOKS = Path(__file__).parent / "book.css"
SHEET = {"format": "A4", "margin": {"top": "16mm", "bottom": "18mm", "left": "16mm", "right": "16mm"}}
# Every public name with its whole docstring: the formulas chapter says the same for people.
NOT_BOUND = ("reference/api.html",)
DEEP_GROUPS = ("Chapters",)  # groups whose pages show their headings in the contents
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]

# The handbook's own faces; those that stand in for them until they come are the device's, and it may have none.
LETTERS = """() => Promise.all([...document.fonts].filter((font) => !font.family.includes("Stand-in"))
    .map((font) => font.load())).then(() => true)"""
# A table that is too wide with whole words gets smaller letters, and only then broken words.
SQUEEZE = """() => { for (const step of ["small", "broken"])
  for (const wrap of document.querySelectorAll(".table-wrap"))
    if (wrap.scrollWidth > wrap.clientWidth + 1) wrap.classList.add("table-wrap--" + step); }"""
# Chromium prints what a pattern fills as a coarse bitmap, 60 kB and more each: its tiles are drawn one by one instead.
TILES = """() => {
  const SVG = "http://www.w3.org/2000/svg";
  let number = 0;
  for (const area of document.querySelectorAll("svg [fill^='url(#']")) {
    const pattern = document.getElementById(area.getAttribute("fill").slice(5, -1));
    if (pattern?.localName !== "pattern") continue;
    const [width, height] = ["width", "height"].map((name) => Number(pattern.getAttribute(name)));
    const turned = pattern.getAttribute("patternTransform") || "";
    const box = area.getBBox();
    const back = (pattern.patternTransform.baseVal.consolidate()?.matrix || area.ownerSVGElement.createSVGMatrix()).inverse();
    const corners = [[box.x, box.y], [box.x + box.width, box.y], [box.x, box.y + box.height], [box.x + box.width, box.y + box.height]]
      .map(([x, y]) => new DOMPoint(x, y).matrixTransform(back));
    const [left, right] = [Math.min, Math.max].map((most) => most(...corners.map((one) => one.x)) / width);
    const [top, bottom] = [Math.min, Math.max].map((most) => most(...corners.map((one) => one.y)) / height);
    const clip = document.createElementNS(SVG, "clipPath");
    clip.id = `book-clip-${number += 1}`;
    const edge = area.cloneNode();
    edge.removeAttribute("fill");
    edge.removeAttribute("class");
    clip.append(edge);
    const outer = document.createElementNS(SVG, "g");
    outer.setAttribute("clip-path", `url(#${clip.id})`);
    const inner = document.createElementNS(SVG, "g");
    if (turned) inner.setAttribute("transform", turned);
    outer.append(inner);
    for (let row = Math.floor(top + 1e-6); row < bottom - 1e-6; row += 1)
      for (let column = Math.floor(left + 1e-6); column < right - 1e-6; column += 1) {
        if (!turned && !area.isPointInFill(new DOMPoint((column + 0.5) * width, (row + 0.5) * height))) continue;
        const tile = document.createElementNS(SVG, "g");
        tile.setAttribute("transform", `translate(${column * width} ${row * height})`);
        tile.append(...[...pattern.children].map((one) => one.cloneNode(true)));
        inner.append(tile);
      }
    area.replaceWith(clip, outer);
  }
}"""
MOST_COPIES = 4


class BookFault(Exception):
    """The book cannot be bound; the text says why."""


def groups_of(nav) -> list[tuple[str, list[tuple[str, str]]]]:
    """(group, [(title, page)]) in the order of the navigation; a page outside every group is a group without a name."""
    groups = []
    for entry in nav:
        (title, inner), = entry.items() if isinstance(entry, dict) else [("", entry)]
        if isinstance(inner, str):
            groups.append(("", [(title, _address(inner))]))
        else:
            groups.append((title, [(name, _address(path)) for one in inner for name, path in one.items()]))
    return groups


def _address(source):
    return re.sub(r"\.md$", ".html", source)


def assemble(site: Path, nav, facts: dict, pages: dict[str, int] | None = None) -> str:
    """The book as one HTML text.

    Args:
        site: folder of the built site; nav: navigation as in mkdocs.yml.
        facts: `title`, `edition`, `state`, `built`, `review_by`, `report`.
        pages: identifier -> page of the book, for the contents; none for the first copy.
    """
    groups = [(group, [pair for pair in members if pair[1] not in NOT_BOUND]) for group, members in groups_of(nav)]
    names = {name for _, members in groups for _, name in members}
    bound = [(group, [article((site / name).read_text(encoding="utf-8"), name, title, names) for title, name in members])
             for group, members in groups if members]
    sheets = "".join(f'<link rel="stylesheet" href="{(site / path).resolve().as_uri()}">' for path in _sheets_of(site))
    chapters = "".join(_group(group, parts) for group, parts in bound)
    return (f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{escape(facts["title"])}</title>{sheets}'
            f'<style>{LOOKS.read_text(encoding="utf-8")}</style></head>'
            '<body dir="ltr" data-md-color-scheme="default" data-md-color-primary="custom" data-md-color-accent="custom">'
            f'<div class="book md-typeset">{_title(facts)}{_contents(bound, pages or {})}{chapters}</div></body></html>')


def _sheets_of(site):
    """Style sheets of the site in their order; the one for single printed pages has no part in the book."""
    index = (site / "index.html").read_text(encoding="utf-8")
    found = re.findall(r'<link rel="stylesheet" href="([^"?]+)', index)
    return [path for path in found if not path.endswith("css/print.css")]


def _group(group, parts):
    head = f'<h1 class="book__group">{escape(group)}</h1>' if group else ""
    return head + "".join(f'<section class="book__page" id="{part.anchor}">{part.html}</section>' for part in parts)


def _title(facts):
    rows = "".join(f"<div><dt>{label}</dt><dd>{escape(str(facts[key]))}</dd></div>" for label, key in
                   (("Edition", "edition"), ("State", "state"), ("Built", "built"), ("Next review", "review_by")))
    return (f'<section class="book__title"><p class="book__name">{escape(facts["title"])}</p><dl>{rows}</dl>'
            "<p>For trained clinicians of the department that signs it. A planning and teaching aid, not a medical device: local "
            "protocol and the label of the device in your hand rule. Doses are figures as reported; formulary, pharmacist and "
            "anaesthetist decide. Numbers marked “recalled” were written down without the source in hand.</p>"
            "<p>A bound copy is not controlled: the site may have moved on. Worked examples are as the handbook computed them "
            "on the day of this edition; the site computes them again for your numbers.</p>"
            f'<p>Found a fault? {escape(facts["report"])}</p></section>')


def _contents(bound, pages):
    rows = []
    for group, parts in bound:
        if group:
            rows.append(f'<li class="contents__group">{escape(group)}</li>')
        for part in parts:
            rows.append(_line(part.anchor, part.title, pages, "contents__page"))
            if group in DEEP_GROUPS:
                rows += [_line(anchor, text, pages, "contents__heading") for anchor, text in part.headings if text != "Sources"]
    return f'<nav class="book__contents"><h1>Contents</h1><ol>{"".join(rows)}</ol></nav>'


def _line(anchor, text, pages, kind):
    # Three digits hold the place in the first copy, so that the second breaks its lines alike.
    return (f'<li class="{kind}"><a href="#{anchor}"><span>{escape(text)}</span><span class="contents__dots"></span>'
            f'<span class="contents__number">{pages.get(anchor, "000")}</span></a></li>')


def page_numbers(pdf: bytes) -> dict[str, int]:
    """Identifier -> page, counted from 1, of every place that a link of the book leads to."""
    import pikepdf
    with pikepdf.open(BytesIO(pdf)) as book:
        places = {page.objgen: number for number, page in enumerate(book.pages, 1)}
        return {name.lstrip("/"): places[target[0].objgen] for name, target in book.Root.get("/Dests", {}).items()}


def dated(pdf: bytes, when: int) -> bytes:
    """The PDF with the date of its edition in place of the time of printing, packed: the same bytes for the same pages."""
    import pikepdf
    stamp = datetime.fromtimestamp(when, timezone.utc).strftime("D:%Y%m%d%H%M%SZ")
    made = BytesIO()
    with pikepdf.open(BytesIO(pdf)) as book:
        for key in ("/CreationDate", "/ModDate"):
            book.docinfo[key] = stamp
        book.save(made, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return made.getvalue()


def bind(site: Path, nav, facts: dict, when: int, chromium: str) -> bytes:
    """Print the book and return the PDF.

    Raises: BookFault when pages still move after a few copies.
    """
    from playwright.sync_api import sync_playwright
    foot = f'{facts["title"]} · Edition {facts["edition"]}, built {facts["built"]} · not controlled when printed'
    numbers: dict[str, int] = {}
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        try:
            for _ in range(MOST_COPIES):
                pdf = _printed(browser, site, assemble(site, nav, facts, numbers), foot)
                before, numbers = numbers, page_numbers(pdf)
                if before == numbers:
                    return dated(pdf, when)
        finally:
            browser.close()
    moved = sorted(name for name in numbers if numbers[name] != before.get(name))
    raise BookFault(f"the pages do not settle: {', '.join(moved[:5])}")


def _printed(browser, site, html, foot):
    # As wide as the sheet between its margins, so that what is measured is what is printed.
    page = browser.new_page(viewport={"width": 672, "height": 990})
    page.emulate_media(media="print")
    try:
        # A file, not a text set into an empty page: only a file may read the style sheets beside it.
        path = site.parent / f".book-{site.name}.html"
        path.write_text(html, encoding="utf-8", newline="\n")
        page.goto(path.resolve().as_uri(), wait_until="load", timeout=180_000)
        page.set_default_timeout(600_000)
        page.evaluate(LETTERS)
        page.evaluate(SQUEEZE)
        page.evaluate(TILES)
        return page.pdf(**SHEET, print_background=True, display_header_footer=True, outline=True, tagged=True,
                        header_template="<span></span>", footer_template=_foot(foot))
    finally:
        page.close()
        path.unlink(missing_ok=True)


def _foot(text):
    return ('<div style="width: 100%; margin: 0 16mm; font: 7pt sans-serif; color: #333; display: flex; justify-content: space-between">'
            f'<span>{escape(text)}</span><span><span class="pageNumber"></span> of <span class="totalPages"></span></span></div>')


def facts_of(config, when: int) -> dict:
    """What the title page says, from the configuration of the site."""
    book = config["extra"]["handbook"]
    day = datetime.fromtimestamp(when, timezone.utc).date().isoformat()
    return {"title": config["site_name"], "built": day,
            "state": state_of_book(project.of(Path(config["config_file_path"]).parent)),
            **{key: book[key] for key in ("edition", "review_by", "report")}}


def main(arguments) -> int:
    """Bind the site of one folder into one file."""
    import os

    from mkdocs.config import load_config
    site, into = Path(arguments[0]), Path(arguments[1])
    config = load_config("mkdocs.yml")
    when = int(os.environ.get("SOURCE_DATE_EPOCH") or 0)
    chromium = chromium_path()
    if not chromium:
        print("book: Chromium is needed and was not found; name its path in PVCALC_CHROMIUM.", file=sys.stderr)
        return 1
    into.parent.mkdir(parents=True, exist_ok=True)
    into.write_bytes(bind(site, config["nav"], facts_of(config, when), when, chromium))
    print(f"book: {into}, {into.stat().st_size / 1e6:.1f} MB")
    return 0


__all__ = ["BookFault", "Part", "assemble", "bind", "dated", "groups_of", "page_numbers"]

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

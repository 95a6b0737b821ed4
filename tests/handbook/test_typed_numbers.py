"""The register of typed numbers: no numeral of a drill or a cited sentence changes without a line of the ledger that moves."""

import random
import re

from pvcalc.handbook.authoring import front_matter
from pvcalc.handbook.checks import ledger, typed_numbers

SEED, TRIED = 20261201, 300
# Numerals that are none of a sentence: what is computed, identifiers, addresses of links, the numbers of steps.
ASIDE = re.compile(r"\[=[^\]]*\]|\{[:#.][^}]*\}|\]\([^)]*\)|^\s*\d+\.\s|^\s*\w+: -?[\d.]+$|<!--.*?-->")


def texts(loaded):
    """(page, text) of every registered page."""
    for path in loaded.chapters:
        slug = path.relative_to(loaded.root / "kb").as_posix().removesuffix(".md")
        if typed_numbers.registered(slug):
            yield slug, front_matter.source(loaded.root, path)[1]


def digits(slug, text):
    """Places of the digits in every line of a drill and every cited line elsewhere."""
    start = 0
    for line in text.splitlines(keepends=True):
        if (slug.startswith("drills/") or "[@" in line) and not line.lstrip().startswith("<!--"):
            aside = [match.span() for match in ASIDE.finditer(line.rstrip("\n"))]
            for match in re.finditer(r"\d", line):
                if not any(low <= match.start() < high for low, high in aside):
                    yield start + match.start()
        start += len(line)


def test_any_digit_of_a_drill_or_a_cited_sentence_moves_the_ledger(loaded):
    pages = dict(texts(loaded))
    places = [(slug, place) for slug, text in pages.items() for place in digits(slug, text)]
    assert len(places) > 10 * TRIED
    dice, before = random.Random(SEED), {slug: typed_numbers.lines(slug, text) for slug, text in pages.items()}
    drills = [one for one in places if one[0].startswith("drills/")]
    for slug, place in dice.sample(drills, TRIED // 3) + dice.sample(places, TRIED - TRIED // 3):
        text = pages[slug]
        other = str((int(text[place]) + dice.randint(1, 9)) % 10)
        moved = ledger.moved(before[slug], typed_numbers.lines(slug, text[:place] + other + text[place + 1:]))
        assert moved[0] and moved[1], (slug, text[max(0, place - 40):place + 40], other)


def test_the_committed_ledger_holds_every_line_of_the_register(loaded):
    committed = set(ledger.read(loaded.root))
    wanted = [line for slug, text in texts(loaded) for line in typed_numbers.lines(slug, text)]
    assert len(wanted) > 1000 and not [line for line in wanted if line not in committed]


def test_a_line_names_section_words_marks_and_numerals():
    told = typed_numbers.lines("drills/x", "# Drill\n\n## Now {#now}\n\n1. Give 0.01 mL/kg to 5 of 8 [derived], see [page 3](air.md#4) [@work, table 2].\n")
    assert told == ["drills/x | typed | #now Give # mL/kg to # of # , see page # . | [derived] [@work, table 2] | 0.01 mL/kg; 5 of 8; 3"]


def test_tenfold_and_every_other_decimal_is_another_line():
    lines = [typed_numbers.lines("x", f"that is {dose} mL/kg [derived]") for dose in ("0.01", "0.1", "0.001", "1", "10")]
    assert len({line[0] for line in lines}) == 5


def test_the_diary_and_what_is_made_from_data_are_not_registered():
    assert not typed_numbers.registered("changes") and not typed_numbers.registered("reference/sources")
    assert typed_numbers.registered("drills/allergy") and typed_numbers.registered("sizing")

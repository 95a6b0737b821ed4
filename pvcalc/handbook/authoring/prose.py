"""Two readings of every sentence: does each clinical number say where it comes from, and is it written safely?

A line of a chapter holds one sentence, so a line is what is judged. Code spans, links' addresses and
citation marks are taken out first.
"""

import re
from html import unescape

from pvcalc.core import units
from pvcalc.handbook.data.findings import nearest

SPACE = "[ \u00a0\u202f]*"
NUMBER = r"(?<![\w.])\d+(?:[.,]\d+)?"
UNITS = (r"mmHg|mm|cm|kg|mg|g|mL|L|micrograms?|nanograms?|units?|mmol|m/s|m²|cm²|atm|kPa|bar|F|Hz|ms|Gy|mGy|WU|"
         r"per cent|percent|%|‰|°|°C|beats|bpm|/min|years?|months?|weeks?|days?|hours?|minutes?|seconds?|min|h|s|y|"
         r"times|fold|mL/kg|mg/kg|mL/min|µmol/L|inch|inches|in \d[\d\u202f ]*|of \d[\d\u202f ]*|out of \d+")
COUNTED = "ampoules?|vials?|tablets?|drops?|puffs?|syringes?"  # a dose that is counted in things
UNITS += "|" + COUNTED
# Units of a dose, a size or a pressure: no sentence may hide one of these behind a word, a hyphen or code.
DOSE = r"mmHg|mm|cm|kg|mg|g|mL|L|micrograms?|nanograms?|units?|mmol|J|kPa|atm|Gy"
IN_WORDS = r"(?:milli|centi|kilo)?(?:grams?|grammes?|met(?:re|er)s?|lit(?:re|er)s?|joules?|moles?)"
# What a drug is given in; a length or a pressure in words stays a way of speaking.
GIVEN = r"mg|mL|micrograms?|nanograms?|mmol|joules?|milli(?:gram|gramme|litre|liter|mole)s?"
SMALL = (r"one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen|"
         r"twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|thousand|half an?|a quarter of an?|a third of an?")
WITH_UNIT = re.compile(rf"{NUMBER}(?:{SPACE}(?:to|–|-|and|or){SPACE}\d+(?:[.,]\d+)?)?{SPACE}(?:{UNITS})(?![\w])")
RATIO = re.compile(r"(?<![\w.:/])\d+(?:\.\d+)?\s?:\s?\d+(?![\w:])|(?<![\w.])\d+\s?/\s?\d{2,}(?![\w/])")

CITED = re.compile(r"\[@[^\]]*\]")
COMPUTED = re.compile(r"\[=[^\]]*\]|\[derived:[^\]]*\]")  # a value, or a sum that is evaluated
MARKED = re.compile(r"\[(?:practice|memory|derived)\]")
CODE = re.compile(r"(`+)(?:.+?)\1")
LINK = re.compile(r"\]\([^)]*\)")
MATH = re.compile(r"(?<![\\$])\$[^$\n]+\$")
URL = re.compile(r"https?://\S+|doi:?\s?\S+", re.I)
ATTRIBUTES = re.compile(r"\{[:#.][^}]*\}")
DATES = re.compile(r"\b\d{4}-\d{2}-\d{2}\b|\b\d{1,2} (?:January|February|March|April|May|June|July|August|"
                   r"September|October|November|December)(?: \d{4})?\b")

# name, pattern, what to write instead. Order: most dangerous first.
NOTATION = [
    ("trailing zero in a dose", rf"\d+\.\d*0(?={SPACE}(?:mg|g|mcg|micrograms?|nanograms?|units?|mmol|mL|ml)\b)",
     "drop the zero: 1 mg, not 1.0 mg"),
    ("no leading zero", r"(?<![\d.\w])\.\d", "write 0.5, not .5"),
    ("units abbreviated", rf"\d{SPACE}(?:I\.?U\.?|iu|U|u)(?![A-Za-z])", "write “units” in full"),
    ("micrograms abbreviated", r"[\u00b5\u03bc]g\b|\bug\b|\bmcgs?\b", "write “micrograms” in full"),
    ("unit misspelt", r"\d[ \u00a0\u202f]*(?:cc|c\.c\.|ml|l|dl|mm ?Hg\b(?<!mmHg)|mmhg|Kg|KG|hrs?|secs?|mins)\b(?!/)",
     "write mL, L, dL, mmHg, kg, h, s, min"),
    ("large dose not grouped safely", rf"\b\d{{5,}}(?={SPACE}units?\b)|(?<!\d)\d{{1,3}}(?:,\d{{3}})+(?!\d)",
     "write 5000 units, or 10 thousand units"),
    ("drug or route abbreviated", r"\b(?:QD|QOD|MSO4|MgSO4|SC|SQ|HS|D/C)\b", "write the word in full"),
    ("letter in a number", rf"(?<![\w.])(?=\S*\d)(?=[\d.]*[OolI|])[\dOolI|.]{{2,}}{SPACE}(?:{DOSE})(?!\w)|(?<![\w.])[OlI|]{{2,}} (?:{DOSE})(?!\w)",
     "write digits: 10 mg, not lO mg"),
    ("emphasis inside a number", r"\d[*_]+[.,]?\d|\d[.,][*_]+\d", "set the whole number in bold, or none of it"),
    ("character written by its name", r"&#?\w+;", "type the character itself"),
    ("decimal point off the line", r"\d·\d", "write a decimal point"),
    ("unit in words", rf"\d{SPACE}(?:{IN_WORDS})\b", "write its symbol: mg, mL, mm; micrograms, nanograms and units stay words"),
    ("number in words", rf"(?<!\d )\b(?:{SMALL})[ -](?:{GIVEN}|{COUNTED})(?![\w])", "write digits"),
    ("hyphen between number and unit", rf"\d-(?:{DOSE}|{IN_WORDS}|{COUNTED}|micro|nano)(?!\w)", "write 20 mm balloon, with a blank"),
    ("no space before the unit", r"\d(?:mmHg|mm|cm|kg|mg|micrograms|g|mL|units?|atm|bpm|min|ms)\b", "put a space between number and unit"),
    ("full stop or plural on a unit", r"\b(?:mgs|kgs|mLs|mls|mms|cms)\b|\b(?:mg|mL|mm|kg|cm)\.(?=[\s\u00a0]+[a-z0-9])",
     "unit symbols take neither"),
    ("sign in a dose sentence", rf"[<>≤≥]{SPACE}\d[\d.]*{SPACE}(?:mg|micrograms?|units?|mL)\b", "write “less than” or “more than”"),
    ("hyphen for a minus or a range", r"(?<![\w\u2212.)–\-])-\d|(?<=\d)-(?=\d)",
     "write the minus sign −, and “to” or an en dash between numbers"),
    ("decimal comma", r"(?<![\d,])\d+,\d{1,2}(?![\d,])", "write a decimal point"),
    ("percent sign set tight", r"\d%", "put a space before %"),
]
# The symbols of the one table of units, up to the first stroke or dot, and some that only sentences use; "in" is a word.
SYMBOLS = {re.split("[/·]", symbol)[0] for _, symbol, *_ in units.SUFFIXES} | {"g", "m", "nanograms", "/min"}
LOOSE = re.compile(r"(?<=\d) (?=(?:" + "|".join(sorted(map(re.escape, SYMBOLS - {"", "in"}), key=len, reverse=True)) + r")(?!\w))")
# Faults that a sentence without any digit can hold.
DIGITLESS = ("micrograms abbreviated", "drug or route abbreviated", "full stop or plural on a unit", "letter in a number", "number in words",
             "character written by its name")
COMPILED = [(name, re.compile(pattern, re.I if name in ("unit in words", "number in words") else 0), mend) for name, pattern, mend in NOTATION]
WITHOUT_DIGIT = [one for one in COMPILED if one[0] in DIGITLESS]
DIGIT = re.compile(r"\d")


def faults(line: str) -> list[str]:
    """Everything wrong with one sentence of a chapter.

    Args:
        line: one source line outside fences, headings included.
    Returns sentences that say what is wrong and what to write; an empty list when nothing is.
    """
    told = list(_shape(line))
    bare = DATES.sub(" ", URL.sub(" ", LINK.sub("]", MATH.sub(" ", CODE.sub(" ", line)))))
    found = told + [f"{name}: “{_around(match)}”; {mend}" for name, match, mend in _notation(bare)]
    if not CITED.search(bare) and not MARKED.search(bare):
        rest = unescape(ATTRIBUTES.sub(" ", COMPUTED.sub(" ", bare))).replace("*", "")
        for pattern in (WITH_UNIT, RATIO):
            for match in pattern.finditer(rest):
                found.append(f"bare number: “{match.group(0).strip()}” carries no citation, computation, setting or mark; "
                             "add [@key, locator], [=…], [practice] or [memory]")
    return found


IN_CODE = re.compile(rf"(?<![\w=.,\[])\d[\d.]*{SPACE}(?:{GIVEN}|units?|g)(?!\w)")
TAG = re.compile(r"<[A-Za-z/!?][^>]*>?")
BRACKET = re.compile(r"(?<!\\)\[(?P<word>[^\[\]]*)\](?![(\[:])")
OPEN = re.compile(r"\[\s*[@=]")
TARGET = re.compile(r"\]\(\s*<?(?P<link>[^)\s>]*)|^\s*\[[^\]]+\]:\s*<?(?P<defined>\S+)")
OUTSIDE = re.compile(r"[a-z][a-z0-9+.-]*:|//", re.I)
BRACES = re.compile(r"\{[^{}]*\}")
PLAIN_BRACES = re.compile(r"\{:?\s*(?:[#.][\w-]+\s*)+\}|\{download\}")
MARKS = ("practice", "memory", "derived")


def _shape(line):
    """What a sentence is written with that no sentence may be: tags, marks nobody knows, links out, attributes, doses in code."""
    for match in CODE.finditer(line):
        if IN_CODE.search(match[0]):
            yield f"dose in code: {match[0]} carries no mark and is no text; write it without backticks"
    text = MATH.sub(" ", CODE.sub(" ", line))
    for match in TAG.finditer(text):
        yield f"raw HTML: “{match[0][:40]}” is not taken from a chapter; write it in Markdown"
    for match in TARGET.finditer(text):
        address = match["link"] or match["defined"] or ""
        if OUTSIDE.match(address):
            yield f"“{address[:60]}” leads out of the handbook; cite the work by its key"
    for match in BRACES.finditer(text):
        if not PLAIN_BRACES.fullmatch(match[0]):
            yield f"“{match[0][:40]}”: braces hold an identifier {{#name}}, a class {{.name}} or {{download}}, no other attribute"
    text = MARKED.sub(" ", COMPUTED.sub(" ", CITED.sub(" ", text)))
    for match in BRACKET.finditer(text):
        like = nearest(match["word"].strip().lower(), MARKS)
        yield f"“[{match['word']}]” is no mark" + (f"; nearest: [{like}]" if like else "; for brackets in a sentence write \\[ and \\]")
    for match in OPEN.finditer(text):
        yield f"“{text[match.start():match.start() + 24].strip()}” begins a mark that is not closed or not known: [@key, locator], [=name]"


def held(text: str) -> str:
    """The text with every number held to its unit by a blank that no line breaks at."""
    return LOOSE.sub("\u00a0", text)


def _around(match):
    """The match with the rest of its first and last word, so that the author sees 10mg and not 0mg."""
    text = match.string
    start = text.rfind(" ", 0, match.start() + 1) + 1 if not text[match.start()].isspace() else match.start()
    end = text.find(" ", match.end())
    return text[start:end if end > 0 else len(text)].strip(" .,;")


def _notation(bare):
    text = ATTRIBUTES.sub(" ", COMPUTED.sub(" ", CITED.sub(" ", bare)))
    for name, pattern, mend in COMPILED if DIGIT.search(text) else WITHOUT_DIGIT:
        for match in pattern.finditer(text):
            yield name, match, mend

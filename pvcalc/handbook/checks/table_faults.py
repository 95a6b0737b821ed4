"""A small decision table without a fault, and faults to plant in it; the line is the one that carries the mark HERE.

The tests plant every one of them, and the page of faults shows them; nothing else may list them.
"""

from pvcalc.handbook.checks.chapter_faults import Group
from pvcalc.handbook.data.schemas import Source

# The works that the small table may cite: one read itself, one read on a page that quotes it, one page of low grade.
ABOUT = {"authors": "Author A", "title": "A work", "year": 1900, "seen": "read", "extent": "page"}
WORKS = {"author1900": Source(grade="guideline", **ABOUT), "quoted1901": Source(grade="textbook", second_hand=True, **ABOUT),
         "page1902": Source(grade="low", **ABOUT)}
SOUND = """
stenosis_invented:
  title: An invented table
  document: Invented document
  source: author1900, Table 1
  seen: read
  population: nobody
  policy: only-one
  asks_for: [doppler_peak_mmhg, symptoms]
  choices:
    symptoms: ["yes", "no"]
  rows:
    - id: "X-1"
      when: {symptoms: "yes"}
      then: {answer: treat}
      source: author1900, Table 1
      seen: read
    - id: "X-2"
      when: {symptoms: "no", doppler_peak_mmhg: "> 60"}
      then: {answer: treat}
      source: author1900, Table 1
      seen: read
    - id: "X-3"
      when: {symptoms: "no", doppler_peak_mmhg: "<= 60"}
      then: {answer: wait}
      source: practice
      seen: practice
"""

# name, words to replace, new words, further words to replace, by what, what the message says
TABLES = [
    Group("Rows of a decision table", "Draw the edges so that every case meets one row; name each row's work and place, or the word practice.", [
        ("gap", 'stenosis_invented:', 'stenosis_invented: # HERE', 'doppler_peak_mmhg: "<= 60"', 'doppler_peak_mmhg: "< 60"', "gap: no row for peak Doppler gradient 60"),
        ("overlap", '- id: "X-3"', '- id: "X-3" # HERE', 'doppler_peak_mmhg: "<= 60"', 'doppler_peak_mmhg: "<= 61"', "overlap: X-3 and X-2 both hold"),
        ("unreachable", '- id: "X-2"', '- id: "X-2" # HERE', 'when: {symptoms: "no", doppler_peak_mmhg: "> 60"}',
         'when: {symptoms: "no", doppler_peak_mmhg: "> 60 and < 60"}', "X-2 is never reached"),
        ("no source", '- id: "X-3"', '- id: "X-3" # HERE', "      source: practice\n", "", "`source` is missing"),
        ("duplicate id", '- id: "X-3"', '- id: "X-2" # HERE', "", "", "the id X-2 stands here a second time"),
        ("unknown source", "population: nobody", "population: nobody", "source: practice", "source: autor1900, Table 1 # HERE", "nearest: `author1900`"),
        ("source without a place", "      source: practice\n      seen: practice", "      source: author1900 # HERE\n      seen: read", "", "", "needs a locator"),
        ("a recalled row called practice", "      source: practice\n      seen: practice", "      source: practice\n      seen: read # HERE",
         "", "", "a row whose source is practice is seen: practice"),
        ("read second-hand", "  source: author1900, Table 1\n  seen: read", "  source: quoted1901, Table 1\n  seen: read # HERE", "", "", "was read second-hand"),
        ("a page of low grade", "  source: author1900, Table 1\n  seen: read", "  source: page1902, page # HERE\n  seen: read", "", "", "is of low grade"),
        ("silent without a gap", "policy: only-one", 'policy: only-one\n  silent: nothing here # HERE', "", "", "every combination has a row"),
        ("nobody inside", "policy: only-one", 'policy: only-one\n  applies: {doppler_peak_mmhg: "> 60 and < 60"} # HERE', "", "", "no combination"),
        ("a result without a unit", "then: {answer: wait}", "then: {answer: wait, dose: 3} # HERE", "", "", "carries its unit"),
    ]),
    Group("Names and words of a decision table", "Write the name the message offers; declare each choice and ask for each quantity that a condition uses, and for no other.", [
        ("unknown quantity", 'asks_for: [doppler_peak_mmhg, symptoms]', 'asks_for: [doppler_peak_mmhg, symptoms, wobble] # HERE',
         "", "", "no quantity is called `wobble`"),
        ("name nobody asks for", 'when: {symptoms: "no", doppler_peak_mmhg: "> 60"}',
         'when: {symptoms: "no", doppler_peek_mmhg: "> 60"} # HERE', "", "", "nearest: `doppler_peak_mmhg`"),
        ("unknown choice", 'when: {symptoms: "yes"}', 'when: {symptoms: perhaps} # HERE', "", "", "no choice of `symptoms` is called `perhaps`"),
        ("condition not readable", 'when: {symptoms: "no", doppler_peak_mmhg: "> 60"}',
         'when: {symptoms: "no", doppler_peak_mmhg: "over 60"} # HERE', "", "", "neither a comparison nor a choice"),
        ("choice never used", "  choices:\n", "  choices:\n    valve: [domed, dysplastic] # HERE\n", "", "", "`valve` is declared, but no condition uses it"),
        ("input never used", "asks_for: [doppler_peak_mmhg, symptoms]", "asks_for: [doppler_peak_mmhg, symptoms, age_years] # HERE",
         "", "", "asks for `age_years`, which no condition uses"),
        ("number compared as a word", 'when: {symptoms: "no", doppler_peak_mmhg: "> 60"}',
         'when: {symptoms: "no", doppler_peak_mmhg: high} # HERE', "", "", "`doppler_peak_mmhg` is a number here"),
        ("word compared as a number", 'when: {symptoms: "yes"}', 'when: {symptoms: "> 1"} # HERE', "", "", "cannot be compared with a number"),
        ("field not known", "population: nobody", "popultion: nobody # HERE", "", "", "popultion"),
        ("policy not known", "policy: only-one", "policy: best # HERE", "", "", "'first' or 'only-one'"),
        ("a day that is none", "population: nobody", 'population: nobody\n  read_on: "last week" # HERE', "", "", "read_on"),
        ("key twice", "seen: read\n  population: nobody", "seen: read\n  seen: memory # HERE\n  population: nobody", "", "", "second time"),
        ("optional nobody asks for", "policy: only-one", "policy: only-one\n  optional: [symptom] # HERE", "", "", "nearest: `symptoms`"),
    ]),
]

TABLE_FAULTS = [fault for group in TABLES for fault in group.faults]


def planted(old, new, also="", by=""):
    """The sound table with one fault, and the line that carries the mark HERE."""
    if SOUND.count(old) != 1:
        raise ValueError(f"{old!r} must stand once in the sound table")
    text = SOUND.replace(old, new)
    if also:
        text = text.replace(also, by)
    return text, next(number for number, words in enumerate(text.lstrip("\n").split("\n"), 1) if "# HERE" in words)

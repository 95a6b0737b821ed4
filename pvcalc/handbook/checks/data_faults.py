"""A small set of data files without a fault, and faults to plant in it, each with its place and its words.

The tests plant every one of them, and the page of faults shows them; nothing else may list them.
"""

from pvcalc.handbook.checks.chapter_faults import Group

# A small tree without a fault. Each test changes one line of it.
SOURCES = """\
baker1990:
  authors: Baker A, et al.
  title: A series
  journal: A journal
  year: 1990
  doi: 10.1000/xyz
  grade: primary
  seen: read
  extent: abstract
quoted1991:
  authors: Carter C
  title: A book
  journal: A house
  year: 1991
  grade: textbook
  seen: read
  second_hand: true
  extent: a page that quotes it
  found_by: Author and title.
page1992:
  authors: not shown
  title: A page
  year: 1992
  grade: low
  seen: read
  extent: page
  found_by: Not again.
"""
SETTINGS = """\
target_low_ratio:
  title: Target
  topic: sizing
  value: 1.2
  low: 1.0
  high: 1.3
  why: It came back less often.
  source: baker1990, abstract
  seen: read
  printed: "1.2"
  decided_on: 2026-11-25
  review_by: 2028-11-25
shelf:
  title: Shelf
  topic: sizing
  kind: records
  value:
    - {family: standard, diameter_mm: 20, nominal_atm: 3, rated_atm: 5}
    - {family: standard, diameter_mm: 22, nominal_atm: 2, rated_atm: 4}
  limits:
    diameter_mm: [2, 40]
    nominal_atm: [0.5, 40]
    rated_atm: [0.5, 40]
  why: Invented.
  source: house
  seen: practice
  decided_on: 2026-11-25
  review_by: 2027-11-25
schedule:
  title: Schedule
  topic: afterwards
  kind: choice
  value: yearly
  choices: [yearly, monthly]
  why: Agreed.
  source: house
  seen: practice
  decided_on: 2026-11-25
  review_by: 2027-11-25
"""
for _key, _value in (("bolus_ml_kg", 5), ("bolus_cap_ml", 250)):
    SETTINGS += f"""\
{_key}:
  title: Volume
  topic: outflow
  value: {_value}
  low: 1
  high: 500
  why: Agreed.
  source: house
  seen: practice
  decided_on: 2026-11-25
  review_by: 2027-11-25
"""
SERIES = """\
restenosis:
  title: Restenosis
  kind: proportion
  events: 9
  cases: 82
  printed_percent: "11.0"
  population: children
  era: 1980s
  follow_up: 2 years
  definition: 50 mmHg or more
  source: baker1990, abstract
  seen: read
  fact: D-R21
mean_gradient:
  title: Gradient after
  kind: statistic
  value: 28
  unit: mmhg
  spread: standard deviation 21
  population: all ages
  era: 1980s
  follow_up: none
  definition: peak to peak
  source: baker1990, table 2
  seen: read
  fact: D-R01
"""
HAZARDS = """\
phase:
  title: Wrong frame
  cause: frame not recorded
  harm: balloon too large
  severity: 5
  fact: T-HZ3
  controls: [{kind: design, says: the frame is asked for}]
  tests: ["tests/test_x.py::test_no_frame_no_result"]
  uncontrolled: a frame chosen wrongly
  residual: considerable
  owner: operator
"""
SIGNOFF = """\
sizing:
  role: consultant
  signed_on: 2026-11-25
  review_by: 2027-11-25
  rests_on: {text: '0123456789ab'}
"""
MUTATION = """\
balloon:
  changes: 20
  killed: 19
  example_changes: 4
  example_killed: 4
  measured_on: 2026-11-25
  survivors:
    - {line: if a < b, changed: if a <= b, argument: a is never b}
"""
DOSES = """\
volume:
  label: Volume
  when: first
  group: outflow
  drills: []
  kind: volume
  unit: ml
  choices:
    - {dose: bolus_ml_kg, most: bolus_cap_ml}
  fluid: crystalloid
  beware: Not with froth.
"""
READINGS = """\
baker1990:
  against: [setting target_low_ratio, series restenosis]
  verdict: carries
  read_on: 2026-11-25
  by: second reader
"""
GOOD = {"sources": SOURCES, "readings": READINGS, "doses": DOSES, "settings": SETTINGS, "series": SERIES, "hazards": HAZARDS, "signoff": SIGNOFF, "mutation": MUTATION}

# section, words to replace, new words, where the finding stands (words, below), what it says
DATA = [
    Group("A work that is cited", "Give the field, or the value the message allows; cite the work by doi or pmid, never by an address.", [
        ("sources", "  year: 1990\n", "", ("baker1990:", ""), "baker1990: field `year` is missing"),
        ("sources", "year: 1990", "year: not shown", ("year", ""), "needs a `note`"),
        ("sources", "year: 1990", "year: 2090", ("year", ""), "the year to come"),
        ("sources", "seen: read", "seen: reed", ("seen", ""), "allowed: read, memory, practice; nearest: `read`"),
        ("sources", "extent:", "extnt:", ("extent", ""), "unknown field `extnt`; nearest: `extent`; allowed: authors, title"),
        ("sources", "doi: 10.1000/xyz", "doi: 11.1000/xyz", ("doi", ""), "`doi` is '11.1000/xyz'; it must match"),
        ("sources", "title: A series", "title: https://example.org/a", ("title", ""), "holds an address"),
        ("sources", "title: A series", "title: not shown", ("title", ""), "`title` is not shown"),
        ("sources", "  doi: 10.1000/xyz\n", "", ("baker1990:", ""), "no reader can find it"),
        ("sources", "  grade: primary\n", "", ("baker1990:", ""), "field `grade` is missing"),
        ("sources", "grade: primary", "grade: primry", ("grade", ""), "nearest: `primary`"),
        ("sources", "seen: read\n", "seen: read\n  memory: [doi]\n", ("extent", ""), "`memory` is 'doi'; allowed"),
        ("sources", "seen: read\n", "seen: read\n  memory: [pages]\n", ("extent", ""), "lists `pages`, but the entry does not"),
        ("sources", "  seen: read\n", "  seen: read\n  seen: read\n", ("extent", ""), "the key `seen` stands here a second time"),
    ]),
    Group("A setting", "Bring the value inside its range, give unit, reason, source and dates; a value nobody read is reviewed within a year.", [
        ("settings", "value: 1.2", "value: 1.31", ("value", ""), "`value` is 1.31; allowed: 1.0 to 1.3"),
        ("settings", "value: 1.2", "value: about 1.2", ("value", ""), "allowed: a number"),
        ("settings", "value: 1.2", "value: .nan", ("value", ""), "allowed: a number"),
        ("settings", "  why: It came back less often.\n", "", ("target_low_ratio:", ""), "field `why` is missing"),
        ("settings", "  decided_on: 2026-11-25\n", "", ("target_low_ratio:", ""), "field `decided_on` is missing"),
        ("settings", "  review_by: 2028-11-25\n", "", ("target_low_ratio:", ""), "field `review_by` is missing"),
        ("settings", "review_by: 2028-11-25", "review_by: soon", ("review_by", ""), "allowed: a date such as 2026-11-25"),
        ("settings", "review_by: 2028-11-25", "review_by: 2026-11-25", ("review_by", ""), "is not after `decided_on`"),
        ("settings", "review_by: 2028-11-25", "review_by: 2028-11-27", ("review_by", ""), "at most 24 months"),
        ("settings", "review_by: 2027-11-25", "review_by: 2027-11-27", ("review_by", "shelf:"), "at most 12 months"),
        ("settings", "source: baker1990, abstract", "source: baker1991, abstract", ("source", ""),
         "no source is called `baker1991`; nearest: `baker1990` (or `house`)"),
        ("settings", "source: baker1990, abstract", "source: baker1990", ("source", ""), "`source` has no locator"),
        ("settings", "seen: practice", "seen: read", ("seen", "shelf:"), "a `house` decision was not read anywhere"),
        ("settings", "source: baker1990, abstract", "source: quoted1991, page", ("seen", ""), "`quoted1991` was read second-hand"),
        ("settings", "source: baker1990, abstract", "source: page1992, page", ("source", ""), "`page1992` is of low grade"),
        ("settings", '  printed: "1.2"\n', "", ("target_low_ratio:", ""), "field `printed` is missing"),
        ("settings", 'printed: "1.2"', "printed: about 1.2", ("printed", ""), "it must match"),
        ("settings", "  seen: practice", '  printed: "5"\n  seen: practice', ("seen", "shelf:"), "`seen` is not read here"),
        ("settings", "target_low_ratio:", "target_low_rate:", ("target_low_ratio:", ""), "no known unit suffix"),
        ("settings", "target_low_ratio:", "Target_ratio:", ("target_low_ratio:", ""), "must be lower case"),
        ("settings", "  low: 1.0\n", "", ("target_low_ratio:", ""), "field `low` is missing"),
        ("settings", "low: 1.0", "low: 1.4", ("value", ""), "the lower limit 1.4 is above the upper limit 1.3"),
        ("settings", "why: It", "not_above: nothing_ratio\n  why: It", ("why", ""), "no setting is called `nothing_ratio`"),
        ("settings", "why: It", "not_above: bolus_cap_ml\n  why: It", ("why", ""), "in no unit, and `bolus_cap_ml` in mL"),
        ("settings", "why: It", "not_above: bolus_cap_ml * bolus_ml_kgg\n  why: It", ("why", ""), "no setting is called `bolus_ml_kgg`; nearest: `bolus_ml_kg`"),
        ("settings", "value: yearly", "value: yearl", ("value", "schedule:"), "allowed: yearly, monthly; nearest: `yearly`"),
        ("settings", ", rated_atm: 4}", "}", ("diameter_mm: 22", ""), "a balloon needs its own `rated_atm`"),
        ("settings", "nominal_atm: 2, rated_atm: 4", "nominal_atm: 6, rated_atm: 4", ("diameter_mm: 22", ""),
         "nominal 6 atm is above rated 4 atm"),
        ("settings", "diameter_mm: 22", "diameter_mm: 220", ("diameter_mm: 22", ""), "`diameter_mm` is 220; allowed: 2 to 40"),
        ("settings", "    diameter_mm: [2, 40]\n", "", ("diameter_mm: 20", ""), "`limits` gives no range for the column"),
    ]),
    Group("A published result", "Copy counts and percentage again from the source; when they still disagree, keep both and say why under `differs`.", [
        ("series", "events: 9", "events: 83", ("events", ""), "`events` 83 is above `cases` 82"),
        ("series", "events: 9\n", "events: 8\n", ("printed_percent", ""), "printed 11.0 % does not follow from 8 of 82 (9.76 %)"),
        ("series", 'printed_percent: "11.0"', 'printed_percent: "11.0"\n  differs: rounding', ("population", ""),
         "`differs` is given, but 11.0 % does follow from 9 of 82"),
        ("series", "  cases: 82\n", "", ("restenosis:", ""), "field `cases` is missing"),
        ("series", "cases: 82", "cases: 0", ("cases", ""), "greater than or equal to 1"),
        ("series", "unit: mmhg", "unit: mmgh", ("unit", ""), "`unit` `mmgh` ends in no known unit suffix"),
        ("series", "  unit: mmhg\n", "", ("mean_gradient:", ""), "field `unit` is missing"),
        ("series", "fact: D-R21", "fact: R21", ("fact", ""), "must match"),
        ("series", "source: baker1990, abstract", "source: baker1909, abstract", ("source", ""), "nearest: `baker1990`"),
    ]),
    Group("A second reading", "Name the work and what was held against it as they are called; the verdict is one of three.", [
        ("readings", "baker1990:", "baker1991:", ("baker1990:", ""), "no source is called `baker1991`; nearest: `baker1990`"),
        ("readings", "series restenosis", "series restenosys", ("against", ""), "no series is called `restenosys`; nearest: `restenosis`"),
        ("readings", "series restenosis", "sentence restenosis", ("against", ""), "must match"),
        ("readings", "verdict: carries", "verdict: caries", ("verdict", ""), "allowed: carries, mended, text not found; nearest: `carries`"),
        ("readings", "read_on: 2026-11-25", "read_on: 2126-11-25", ("read_on", ""), "lies in the future"),
        ("readings", "by: second reader", "by: Dr Nobody", ("by", ""), "must match"),
    ]),
    Group("A row of the dose sheet", "Name a setting that exists and whose unit is the row's; end with a choice and a strength for whoever is left.", [
        ("doses", "dose: bolus_ml_kg", "dose: bolus_ml_kgg", ("dose: bolus", ""), "`dose`: bolus_ml_kgg is no dose"),
        ("doses", "most: bolus_cap_ml", "most: bolus_max_ml", ("dose: bolus", ""), "nearest: `bolus_cap_ml`"),
        ("doses", "unit: ml", "unit: mg", ("dose: bolus", ""), "ml and mg are no units of one row"),
        ("doses", "group: outflow", "group: outfow", ("group", ""), "no group of the dose sheet is called `outfow`; nearest: `outflow`"),
        ("doses", "  fluid: crystalloid\n", "", ("volume:", ""), "field `fluid` is missing"),
        ("doses", "kind: volume", "kind: bolus", ("volume:", ""), "field `strengths` is missing"),
    ]),
    Group("A hazard, a signature, a survivor", "Name a control and a test that exist; argue each survivor; sign by the command line, never by hand.", [
        ("hazards", "severity: 5", "severity: 6", ("severity", ""), "less than or equal to 5"),
        ("hazards", "controls: [{kind: design, says: the frame is asked for}]", "controls: []", ("controls", ""), "name at least one"),
        ("hazards", "kind: design", "kind: desing", ("controls", ""), "allowed: design, testing, content, working practice"),
        ("hazards", "  owner: operator\n", "", ("phase:", ""), "field `owner` is missing"),
        ("hazards", "tests/test_x.py::test_no_frame_no_result", "no frame no result", ("tests", ""), "must match"),
        ("signoff", "review_by: 2027-11-25", "review_by: 2025-11-25", ("review_by", ""), "is not after `signed_on`"),
        ("mutation", "killed: 19", "killed: 18", ("survivors", ""), "1 survivors are listed, but 20 changes less 18 killed are 2"),
        ("mutation", ", argument: a is never b", "", ("balloon:", ""), "is missing"),
        ("signoff", "'0123456789ab'", "none", ("rests_on", ""), "must match"),
    ]),
]

DATA_FAULTS = [fault for group in DATA for fault in group.faults]


def planted(section, old, new):
    """The text of every file, by section, with one text of one section replaced."""
    if GOOD[section].count(old) < 1:
        raise ValueError(f"{old!r} is not in {section}")
    return {**GOOD, section: GOOD[section].replace(old, new, 1)}


def line_of(section, words, after=""):
    """Line of the small tree on which `words` stand, below the line that holds `after`."""
    lines = GOOD[section].splitlines()
    start = next((at for at, line in enumerate(lines) if after and after in line), 0)
    return next(at for at, line in enumerate(lines, 1) if at > start and words in line)

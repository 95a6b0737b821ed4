"""What an author can get wrong in a chapter: each fault stops with the file, the line and the words that mend it."""

import re
import time

import pytest

from pvcalc.handbook import authoring, lint, project

PAGE = "kb/sizing.md"

# name, text of a page, line of the fault, words its message must hold.
FAULTS = [
    ("unknown formula", "# T\n\n```formula\nname: baloon_ratio\nballoon_mm: 20\nannulus_mm: 16\n```", 4,
     ["no formula is called `baloon_ratio`", "balloon_ratio"]),
    ("formula without name", "# T\n\n```formula\nannulus_mm: 16\n```", 3, ["no `name:`"]),
    ("unknown argument", "```formula\nname: balloon_ratio\nbaloon_mm: 20\nannulus_mm: 16\nballoon_mm: 20\n```", 3,
     ["baloon_mm is not an input of balloon_ratio", "nearest name: balloon_mm"]),
    ("missing argument", "```formula\nname: balloon_ratio\nballoon_mm: 20\n```", 2, ["Annulus is missing"]),
    ("value out of range", "```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 1.6\n```", 4,
     ["Annulus 1.6", "is outside", "typed in cm"]),
    ("value that is no number", "```formula\nname: balloon_ratio\nballoon_mm: wide\nannulus_mm: 16\n```", 3,
     ["Balloon “wide” is not a plain number"]),
    ("unknown setting in a fence",
     "```formula\nname: balloon_range_mm\nannulus_mm: 16\nlow_ratio: =target_lo_ratio\nhigh_ratio: 1.25\n```", 4,
     ["no setting is called `target_lo_ratio`", "target_low_ratio"]),
    ("result that the formula does not give",
     "```formula\nname: balloon_range_mm\nannulus_mm: 16\nlow_ratio: 1.2\nhigh_ratio: 1.25\nshow: low\n```", 6,
     ["no result is called `low`", "low_mm"]),
    ("unknown picture of an example",
     "```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 16\nfigure: balloon_on_anulus\n```", 5,
     ["no picture called balloon_on_anulus", "balloon_on_annulus"]),
    ("unknown picture", "```picture\nname: hinge_pionts\n```", 2, ["hinge_points"]),
    ("broken YAML", "```formula\nname: balloon_ratio\nballoon_mm: [20\n```", 3, ["not readable as YAML"]),
    ("the same key twice", "```formula\nname: balloon_ratio\nballoon_mm: 20\nballoon_mm: 21\nannulus_mm: 16\n```", 4,
     ["not readable as YAML", "duplicate key"]),
    ("a fence that holds no keys", "```formula\njust words\n```", 2, ["`key: value` lines"]),
    ("a fence never closed", "# T\n\n```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 16\n", 3, ["never closed"]),
    ("unknown table", "```table\nname: severity_acc\n```", 2, ["no decision table is called `severity_acc`"]),
    ("unknown table among several", "```table\nnames: [severity_esc_2020, severity_esc_2021]\n```", 2,
     ["severity_esc_2021", "nearest"]),
    ("unknown input of a table", "```table\nname: severity_esc_2020\ngiven: {doppler_peek_mmhg: 50}\n```", 3,
     ["doppler_peek_mmhg", "doppler_peak_mmhg"]),
    ("unknown field of a table fence", "```table\nname: severity_esc_2020\ngivn: {}\n```", 3, ["givn", "given"]),
    ("unknown printed example", "```printed\nid: balloon_ratio-999\n```", 2, ["printed example"]),
    ("unknown series", "```series\nids: [no_such_series]\n```", 2, ["no series is called `no_such_series`"]),
    ("unknown topic of settings", "```settings\ntopic: ballons\n```", 2, ["no topic is called"]),
    ("unknown generated page", "```generated\npage: formula\n```", 2, ["generated page", "formulas"]),
    ("unknown source", "# T\n\nThe ratio matters [@mcrindle1994, abstract].", 3,
     ["no source is called `mcrindle1994`", "mccrindle1994"]),
    ("missing locator", "The ratio matters [@mccrindle1994].", 1, ["[@mccrindle1994] needs a locator"]),
    ("unknown setting inline", "Aim for [=target_lowratio] first.", 1, ["target_lowratio", "target_low_ratio"]),
    ("unknown series inline", "It happened to [=series:nobody].", 1, ["no series is called `nobody`"]),
    ("unknown formula inline", "That is [=balloon_rato balloon_mm=20 annulus_mm=16].", 1, ["balloon_rato", "balloon_ratio"]),
    ("inline value out of range", "That is [=balloon_ratio balloon_mm=20 annulus_mm=0.9].", 1, ["Annulus 0.9", "typed in cm (9"]),
    ("inline word that is no pair", "That is [=balloon_ratio balloon_mm 20].", 1, ["must be written argument=value"]),
    ("mark in a heading", "## Aim [=target_low_ratio]", 1, ["a heading cannot carry"]),
    ("malformed mathematics", r"The area is $\frac{1}$ of it.", 1, ["mfrac needs 2 parts"]),
    ("unknown command in mathematics", r"The area is $\foo x$ of it.", 1, [r"unknown command \foo"]),
    ("bare number with a unit", "The annulus was 18.4 mm.", 1, ["bare number: “18.4 mm”", "[practice]"]),
    ("bare percentage", "It comes back in 11 % of them.", 1, ["bare number: “11 %”"]),
    ("bare count", "It happened in 9 of 82 children.", 1, ["bare number: “9 of 82”"]),
    ("bare ratio", "Dilute it 1:4 with saline.", 1, ["bare number: “1:4”"]),
    ("bare multiple", "Take 1.2 times the annulus.", 1, ["bare number: “1.2 times”"]),
    ("bare number in a table cell", "| a | b |\n|---|---|\n| dose | 5 mg |", 3, ["bare number: “5 mg”"]),
    ("trailing zero in a dose", "Give 1.0 mg slowly [practice].", 1, ["trailing zero in a dose", "1 mg, not 1.0 mg"]),
    ("no leading zero", "Give .5 mg slowly [practice].", 1, ["no leading zero"]),
    ("units abbreviated", "Give 5000 IU at once [practice].", 1, ["units abbreviated"]),
    ("micrograms abbreviated", "Give 10 µg at once [practice].", 1, ["micrograms abbreviated"]),
    ("micrograms in the American way", "Give 10 mcg at once [practice].", 1, ["micrograms abbreviated"]),
    ("millilitres misspelt", "Inject 5 ml by hand [practice].", 1, ["unit misspelt"]),
    ("large dose with a comma", "Give 5,000 units at once [practice].", 1, ["large dose"]),
    ("no space before the unit", "Use a 20mm balloon [practice].", 1, ["no space before the unit"]),
    ("plural on a unit", "Two mLs are enough [practice].", 1, ["full stop or plural"]),
    ("sign in a dose sentence", "Keep it < 5 mg in all [practice].", 1, ["less than"]),
    ("hyphen for a minus", "The z-score was -2 at birth [practice].", 1, ["minus sign"]),
    ("hyphen for a range", "Wait 5-10 min each time [practice].", 1, ["hyphen"]),
    ("decimal comma", "The annulus was 18,4 mm [practice].", 1, ["decimal comma"]),
    ("percent sign set tight", "It comes back in 11% [practice].", 1, ["space before %"]),
]


@pytest.mark.parametrize(("name", "text", "line", "words"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_fault_is_told_with_its_line_and_words(root, name, text, line, words):
    with pytest.raises(authoring.AuthorFaults) as caught:
        authoring.convert(root, PAGE, text)
    told = [finding for finding in caught.value.findings if all(word in finding.message for word in words)]
    assert told, f"none of {[str(finding) for finding in caught.value.findings]} says {words}"
    assert [(finding.path, finding.line) for finding in told] == [(PAGE, line)]
    assert re.match(rf"{PAGE}:{line}: ", str(told[0]))


def test_there_are_at_least_thirty_planted_faults():
    assert len({fault[0] for fault in FAULTS}) == len(FAULTS) >= 30


def test_all_faults_of_a_page_are_told_at_once(root):
    text = "A 5 mm gap.\n\n```formula\nname: no_such\n```\n\nSee [@nobody, p 1] and [=no_such_setting]."
    with pytest.raises(authoring.AuthorFaults) as caught:
        authoring.convert(root, PAGE, text)
    assert [finding.line for finding in caught.value.findings] == [1, 4, 7, 7]


def test_front_matter_does_not_shift_the_lines(tmp_path, root):
    from pvcalc.handbook import pages
    page = tmp_path / "kb" / "x.md"
    page.parent.mkdir()
    page.write_text("---\ntitle: T\n---\n\n# T\n\nA gap of 5 mm.\n", encoding="utf-8")
    with pytest.raises(authoring.AuthorFaults) as caught:
        authoring.convert(root, *pages.source(tmp_path, page))
    assert [(finding.path, finding.line) for finding in caught.value.findings] == [("kb/x.md", 7)]


def test_the_shipped_handbook_has_no_finding(loaded):
    assert [str(finding) for finding in lint.findings(loaded)] == []


def test_a_worked_example_shows_inputs_result_formula_and_source(root):
    html, page = authoring.convert(
        root, PAGE, "```formula\nname: balloon_range_mm\nannulus_mm: 18.4\nlow_ratio: 1.2\nhigh_ratio: 1.25\ntitle: A title\n```")
    # 18.4 × 1.2 = 22.08 and 18.4 × 1.25 = 23.0, by hand.
    for part in ("A title", "18.4\u00a0mm", "22.1\u00a0mm", "23.0\u00a0mm", "reference/formulas.html#balloon_range_mm",
                 "reference/verification.html#balloon_range_mm", 'data-try="'):
        assert part in html
    assert page.ledger == ["sizing | formula | balloon_range_mm | annulus_mm=18.4 high_ratio=1.25 low_ratio=1.2 | low_mm=22.08 high_mm=23"]


def test_citations_are_numbered_and_lead_back(root):
    html, _ = authoring.convert(
        root, PAGE, "One [@mccrindle1994, abstract]. Two [@mccrindle1994, Table 2]. Three [@stanger1990, abstract].")
    assert re.findall(r'class="cite"[^>]*>(\d+)<', html) == ["1", "1", "2"]
    assert 'href="#source-mccrindle1994"' in html and 'id="source-mccrindle1994"' in html
    assert 'href="#use-mccrindle1994-2" class="back">Table 2</a>' in html


def test_marks_inside_code_are_left_alone(root):
    html, _ = authoring.convert(root, PAGE, "Write `[=target_low_ratio]` or `[@key, p 1]` or `5 mm`.")
    assert "[=target_low_ratio]" in html and "[@key, p 1]" in html


def test_table_alignment_becomes_a_class(root):
    html, _ = authoring.convert(root, PAGE, "| a | b |\n|:--|--:|\n| x | y |\n")
    assert 'class="col-right"' in html and "style=" not in html
    assert 'data-label="b"' in html and 'class="table-wrap"' in html


def test_a_fence_inside_an_admonition_is_rendered(root):
    html, _ = authoring.convert(root, PAGE, "!!! note\n    Text.\n\n    ```formula\n    name: balloon_ratio\n    balloon_mm: 20\n    annulus_mm: 16\n    ```\n")
    assert '<section class="worked"' in html and "wzxhzdk" not in html
    # 20 / 16 = 1.25
    assert '<output translate="no">1.25</output>' in html


def test_other_fences_stay_code(root):
    html, page = authoring.convert(root, PAGE, "```python\nx = '5 mm'\n```\n")
    assert page.findings == [] and "5 mm" in html


def test_lint_takes_less_than_a_second_and_a_half(root):
    # Processor time of this process: what else the machine does is not the lint's doing.
    project.forget()
    started = time.process_time()
    lint.findings(project.load(root))
    assert time.process_time() - started < 1.5

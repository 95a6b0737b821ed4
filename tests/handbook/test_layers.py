"""Answer, reason and evidence: marks leave the sentence and gather in one sign; the brief names every question of its page."""

import re

import pytest

from pvcalc.handbook.authoring import extension, layers
from tests.conftest import ROOT

ANSWER = '''# A page

## What then?

!!! l-answer "Answer"
    Aim for 5 mm [@rao2024, opening pages], never more [memory].

    Above it, ask for 3 minutes [practice].

!!! l-why "Why"
    A plain sentence.

??? l-evidence "Evidence"
    It was 4 mm [practice].
'''


def html_of(text):
    return extension.convert(ROOT, "kb/tried.md", text)[0]


def test_marks_of_an_answer_gather_in_one_sign_that_shows_the_weakest():
    html = html_of(ANSWER)
    answer = html[html.index("l-answer"):html.index("l-why")]
    sentence = re.search(r"<p>Aim for.*?</p>", answer)[0]
    assert "mark" not in sentence and "cite" not in sentence and "never more." in sentence
    assert answer.count('<details class="sign sign--memory"') == 1 and "<summary>recalled</summary>" in answer
    assert "mark--memory" in answer and "mark--practice" in answer and 'href="#source-rao2024"' in answer


def test_an_answer_without_a_recalled_figure_shows_the_next_weakest():
    assert "sign--practice" in html_of(ANSWER.replace(" [memory]", ""))
    assert "sign--read" in html_of(ANSWER.replace(" [memory]", "").replace(" [practice]", " [@rao2024, opening pages]"))


def test_a_reason_without_marks_has_no_sign_and_evidence_keeps_its_marks_in_place():
    html = html_of(ANSWER)
    assert "sign" not in html[html.index("l-why"):html.index("l-evidence")]
    evidence = html[html.index("l-evidence"):]
    assert re.search(r"It was 4\s*mm <span class=\"mark mark--practice\"", evidence) and "sign--" not in evidence


def test_every_citation_of_an_answer_is_counted_as_a_use():
    _, page = extension.convert(ROOT, "kb/tried.md", ANSWER)
    assert [locator for _, locator in page.uses["rao2024"]] == ["opening pages"]


BRIEF = '''# A page

```brief
what-then: "[=target_low_ratio] × [practice]"
```

## What then?

Text.
'''


def test_brief_takes_the_question_from_the_page_and_computes_the_answer():
    html = html_of(BRIEF)
    assert re.search(r'<a href="#what-then"><span>What then\?</span> <b>1\.\d\d ×</b></a>', html)


@pytest.mark.parametrize("old, new, line, sentence", [
    ("what-then:", "what-than:", 4, "no section of this page is called `what-than`; nearest: `what-then`"),
    ("\nText.", "\nText.\n\n## And then?\n", 3, "the section “And then?” has no short answer in the brief"),
    (" [practice]", " 5 mm", 4, "bare number"),
])
def test_a_faulty_brief_stops_with_its_line(old, new, line, sentence):
    assert old in BRIEF
    with pytest.raises(extension.AuthorFaults) as caught:
        html_of(BRIEF.replace(old, new))
    assert any(sentence in one.message and one.line == line for one in caught.value.findings), caught.value


def test_a_closing_section_needs_no_short_answer():
    for name in layers.CLOSING:
        html_of(BRIEF + f"\n## {name}\n\nText.\n")


def test_headings_get_the_anchors_that_the_page_gives_them():
    text = "# T\n\n## A, b!\n\n```formula\n## no heading\nname: balloon_range_mm\nannulus_mm: 18\nlow_ratio: 1.2\nhigh_ratio: 1.3\n```\n\n## A, b!\n\n## Own {#mine}\n"
    html = html_of(text)
    assert list(layers.headings(text.splitlines())) == re.findall(r'<h2 id="([^"]+)"', html)

"""The page of the rubric: twenty questions, our own answers, misses included."""

from html import escape

from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.data import rubric_entries


@generated("rubric")
def rubric_page(project, page):
    """Every question with what passes, the answer, and how it was judged."""
    asked = rubric_entries.questions(project.root)
    total = rubric_entries.score(asked)
    rows, marks = [], []
    for place, one in enumerate(asked, 1):
        gate = "<br><strong>gate</strong>" if one.gate else ""
        how = f"test <code>{escape(one.test)}</code>" if one.test else "by eye"
        note = f"<br>{escape(one.note)}" if one.note else ""
        rows.append([f"{place}{gate}", escape(one.question), escape(one.passes),
                     f'<span class="verdict verdict--{"agrees" if one.verdict == "pass" else "differs"}">{one.verdict}</span>', how + note])
        marks.append({"data-kind": one.verdict})
    return ("<p>Twenty questions that an outsider answers in about ten minutes with a phone and one worked example of their own. "
            "A missed gate means “do not use”, whatever the total; 18 or more is good, 15 to 17 is to be mended, less is not ready. "
            "<strong>The rubric has not been validated</strong>, and the answers below are the makers' own: two strangers should score "
            "apart, and where they differ by more than two points the question is at fault.</p>"
            f'<p class="worked__result"><span class="worked__part"><span class="worked__label">Our own answer</span> '
            f"<output>{total.points} of {total.of}: {escape(total.words)}</output></span></p>"
            + table(["No.", "Question", "Passes when", "Answer", "How it was judged"], rows, "rubric", marks))

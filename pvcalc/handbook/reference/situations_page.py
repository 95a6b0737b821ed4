"""The page of situations: low pressure after the balloon, what the numbers read, and what the drill answers and withholds."""

from html import escape

from pvcalc.core.units import show_input
from pvcalc.decision.vocabulary import choice_words
from pvcalc.decision.words import answer_words
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table as html_table
from pvcalc.handbook.checks import situations

HEADS = ["Situation", "Before, in mmHg", "At the low pressure", "Seen", "Reads", "Answer", "Withheld", "Ground, who could check it"]


@generated("situations")
def situations_page(project, page):
    """Every situation with this build's answer; one that is not met is marked."""
    kept = situations.load(project.root)[0]
    drill = project.tables[situations.TABLE]
    page.rests_on.add(("table", situations.TABLE))
    rows, unmet = [], 0
    for situation in kept.values():
        reads = situations.read(situation, project.data.value)
        found = situations.answered(drill, situation, reads)
        met = found["answer"] == situation.answer and reads == situation.reads and not situations.given_harm(situation, found["then"])
        unmet += not met
        rows.append(_row(situation, reads, found["answer"], met))
    free = sum(situation.unobstructed for situation in kept.values())
    said = "the drill meets them all" if not unmet else f"{unmet} are not met by this build; they are marked"
    return (f"<p>Written from the documents and not from the drill: <strong>{len(kept)} invented situations, {free} of them without muscle to "
            f"relax; {said}.</strong> None of these {free} may end at a beta-blocker, and each names what would harm. "
            "No outcome of a patient stands behind the lines HIGH and LOW.</p>" + html_table(HEADS, rows))


def _row(situation, reads, answer, met):
    before, now = situation.before, situation.now
    wanted = answer_words(situation.answer) + ("" if met else f"<br><strong>Not met: {escape(answer_words(answer))}</strong>")
    was = f"RV {_number(before.rv)}, RA {_number(before.ra)}; {show_input(before.weight)} kg"
    seen = "; ".join(choice_words(name, word) for name, word in situation.sees.items()) or "nothing yet"
    return [escape(situation.title), escape(was), f"RV {_number(now.rv)}, RA {_number(now.ra)}, systemic {_number(now.systemic)}", escape(seen),
            f"RV {reads.rv}, RA {reads.ra}" + (", weak" if reads.weak else ""), wanted,
            escape(", ".join(drug.replace("_", " ") for drug in situation.harms)), escape(f"{situation.ground}; {situation.by}")]


def _number(value):
    return "not read" if value is None else show_input(value)

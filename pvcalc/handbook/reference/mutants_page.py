"""The page of changed lines: how many changes of the code the tests notice, and each one they do not."""

from html import escape

from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.data import catalogue

LEAST_SCORE = 95
TABLES = "decision_tables"  # the record's name for them; all others are modules


@generated("mutants")
def mutants_page(project, page):
    """Score by module, the modules not measured yet, and every survivor with its argument."""
    record = project.data.mutation
    rows = [[_what(name), str(one.changes), str(one.killed), _score(one.killed, one.changes), str(len(one.survivors)),
             f"{one.example_killed} of {one.example_changes}", str(one.within_a_pixel or ""), one.measured_on.isoformat()] for name, one in sorted(record.items())]
    changes, killed = (sum(getattr(one, field) for one in record.values()) for field in ("changes", "killed"))
    waiting = [name for name in catalogue.shared_modules() if name not in record]
    survivors = [[_what(name), f"<code>{escape(one.line)}</code>", f"<code>{escape(one.changed)}</code>", escape(one.argument)]
                 for name, module in sorted(record.items()) for one in module.survivors]
    return (f"<p>A test that cannot fail proves nothing. So each constant, operator and comparison of a module is changed, one at a time, "
            f"and the tests are asked whether they notice. In the {len(record.keys() - {TABLES})} modules measured"
            f"{' and in the decision tables' if TABLES in record else ''} they noticed {killed} of {changes} changes, "
            f"{_score(killed, changes)}; {LEAST_SCORE}\u00a0% is asked of each. Of the decision tables each condition, choice, answer, caution and row is "
            "changed; what provably gives nobody another answer is not counted. Changes of lines that transcribe somebody's print are counted "
            "apart: a print of two digits cannot tell a change in the third. So are changes that move a stroke of a picture, and none by more "
            "than one of the 360 pixels across a phone, with every word the same: nobody can see them. Strokes that carry a number are held to "
            "a tenth of a pixel, and their changes are noticed.</p>"
            + table(["Module or data", "Changes", "Noticed", "Score", "Survived", "In printed examples", "Within a pixel", "Measured"], rows, "mutants")
            + f'<h2 id="not-measured">Not measured: {len(waiting)}</h2><p>No figure is claimed for '
            + (", ".join(f"<code>{escape(name)}</code>" for name in waiting) or "no module") + ".</p>"
            + f'<h2 id="survivors">Survivors: {len(survivors)}</h2>'
            + table(["Module or data", "Line", "Changed to", "Why it is not noticed"], survivors, "survivors"))


def _score(killed, changes):
    return f"{100 * killed / changes:.1f}\u00a0%" if changes else "nothing to change"


def _what(name):
    return "decision tables" if name == TABLES else f"<code>{escape(name)}</code>"

"""The hazard log as a page: what could mislead, what stands against it, which tests tried that in this build."""

from html import escape

from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.data import test_results

SEVERITY = {1: "minor", 2: "significant", 3: "considerable", 4: "major", 5: "catastrophic"}


@generated("hazards")
def hazards_page(project, page):
    """Every hazard with its controls, its tests and what is left."""
    ran = test_results.passed_in_this_build(project.root)
    hazards = project.data.hazards
    named = sorted({name for hazard in hazards.values() for name in hazard.tests})
    count = sum(name in ran for name in named)
    order = sorted(hazards, key=lambda key: (-hazards[key].severity, hazards[key].title))
    overview = table(["Hazard", "Severity before controls", "What is left", "Who answers for it"],
                     [[f'<a href="#{key}">{escape(hazards[key].title)}</a>', SEVERITY[hazards[key].severity],
                       escape(hazards[key].residual), escape(hazards[key].owner)] for key in order])
    return (f"<p>{len(hazards)} ways in which this handbook could mislead. Severity is proposed, for the department to score; "
            "likelihood is left to the department, which knows its own work. "
            f"{len(named)} tests stand behind the controls; {count} of them passed on exactly the files of this build"
            + ("." if count == len(named) else ", the others were not run in this build or did not pass.")
            + " A hazard without “nothing known” under “not controlled” is not closed.</p>"
            + overview + "".join(_hazard(key, hazards[key], ran) for key in order))


def _hazard(key, hazard, ran):
    controls = "".join(f"<li><strong>{escape(control.kind)}:</strong> {escape(control.says)}</li>" for control in hazard.controls)
    tests = "".join(f'<li><code>{escape(name)}</code> <span class="verdict verdict--{"agrees" if name in ran else "open"}">'
                    f'{"passed in this build" if name in ran else "not run in this build"}</span></li>' for name in hazard.tests)
    note = f"<p>{escape(hazard.note)}</p>" if hazard.note else ""
    return (f'<section class="entry hazard" id="{key}"><h2>{escape(hazard.title)}</h2>'
            f"<p><strong>Cause:</strong> {escape(hazard.cause)}. <strong>Harm:</strong> {escape(hazard.harm)}. "
            f"<strong>Severity before controls:</strong> {SEVERITY[hazard.severity]}.</p>"
            f"<p><strong>Controls</strong></p><ul>{controls}</ul><p><strong>Tests</strong></p><ul>{tests}</ul>"
            f"<p><strong>Not controlled:</strong> {escape(hazard.uncontrolled)}.</p>"
            f"<p><strong>What is left:</strong> {escape(hazard.residual)}. <strong>Owner:</strong> {escape(hazard.owner)}.</p>{note}</section>")

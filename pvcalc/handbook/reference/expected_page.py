"""The page of expert cases: every invented patient, every statement with its ground, and whether this build meets it."""

from html import escape

from pvcalc.core.units import show_input, with_unit
from pvcalc.decision.vocabulary import choice_words, name_words
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.checks import expected
from pvcalc.handbook.engine import needs
from pvcalc.plan import case as plan


@generated("expected")
def expected_page(project, page):
    """All cases by group; the count at the top is of this very build."""
    read = expected.load(project.root)
    data = needs.engine_data(project)
    unmet = {key: expected.failures(case, plan.answer(data, {"given": case.given}), expected.row_answer)
             for key, case in read.cases.items()}
    open_ones = sum(len(faults) for faults in unmet.values())
    said = ("every statement is met by this build" if not open_ones
            else f"{open_ones} of them are not met by this build; they are marked")
    parts = ["<p>Before any rule was written down, people who had read the documents, and not the rules, wrote what a good "
             "colleague would say about invented patients, what nobody should say, and what must stand within the first ten lines. "
             "Every build holds the case plan to it, in both interpreters. "
             f"<strong>{len(read.cases)} patients, {read.statements} statements; {said}.</strong> "
             f'As data: <a href="{page.up}downloads/expected.json">all cases</a> with their '
             f'<a href="{page.up}downloads/expected.schema.json">schema</a>, for a team that wants to try rules of its own.</p>']
    for group, keys in read.groups.items():
        parts.append(f'<h2 id="group-{escape(group.replace("_", "-"))}">{escape(group.replace("_", " ").capitalize())}</h2>')
        parts += [_case_html(key, read.cases[key], unmet[key]) for key in keys]
    return "".join(parts)


def _case_html(key, case, unmet):
    typed = "; ".join(_input_words(name, value) for name, value in case.given.items())
    rows = [("Says", _phrases(one), one.ground, one.by) for one in case.says]
    rows += [("Never", _phrases(one), one.ground, one.by) for one in case.never]
    rows += [("Judges", ", ".join(f"{name.replace('_', ' ')}: {_value(value)}" for name, value in one.items()
                                  if name not in ("ground", "by")), one["ground"], one["by"]) for one in case.verdict]
    rows += [("Row", f"{one.table}: {one.answer}", one.ground, one.by) for one in case.answers]
    lines = "".join(f"<li><strong>{kind}</strong> {escape(text)} <small>({escape(ground)}; {escape(by)})</small></li>"
                    for kind, text, ground, by in rows)
    mark = "".join(f"<li>Not met: {escape(fault)}</li>" for fault in unmet)
    not_met = f'<ul class="expected__unmet">{mark}</ul>' if unmet else ""
    return (f'<details class="expected" id="{escape(key)}"><summary>{escape(case.title)}</summary>'
            f"<p>{escape(case.why)}</p><p>Entered: {escape(typed)}.</p>{not_met}<ul>{lines}</ul></details>")


def _phrases(one):
    words = (" or " if one.any else " with ").join(f"“{phrase}”" for phrase in one.any or one.all)
    return words + (f", within the first {one.within} lines" if one.within else "")


def _value(value):
    if isinstance(value, dict) and set(value) == {"not"}:
        return "not " + ", ".join(str(one).replace("_", " ") for one in value["not"])
    if isinstance(value, dict):
        return ", ".join(f"{name} {count}" for name, count in value.items())
    if isinstance(value, list):
        return ", ".join(str(one).replace("_", " ") for one in value) or "none"
    return str(value).replace("_", " ")


def _input_words(name, value):
    if isinstance(value, (list, tuple)):
        return name_words(name) + " " + " and ".join(
            ", ".join(f"{field} {show_input(given) if isinstance(given, (int, float)) else str(given).replace('_', ' ')}"
                      for field, given in record.items()) if isinstance(record, dict) else str(record) for record in value)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return f"{name_words(name)} {with_unit(show_input(value), name)}"
    return f"{name_words(name)}: {choice_words(name, str(value))}"

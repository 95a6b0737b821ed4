"""The `doses` fence: the dose sheet in a drill, in a chapter, on its own page and for the wall.

`for: arrest` the rows of one drill as rules, until a weight is typed; `rows: [adrenaline_arrest, shock]` chosen ones.
`form: yes` the live sheet of any weight; `of: {weight_kg: 12, age_years: 2}` one worked sheet, `sheets: ["1"]` some of its four.
`read: yes` who has read what of every row; `wall: yes` the sheets of every weight and every drill, to be printed at once.
"""

from html import escape

from pvcalc.core.errors import Refusal
from pvcalc.handbook.authoring import compute, dose_rules, dose_sheets, wall
from pvcalc.handbook.authoring.entry_tables import settings_table
from pvcalc.handbook.authoring.markup import empty_offer
from pvcalc.handbook.data.entries import dose_settings
from pvcalc.handbook.data.findings import unknown
from pvcalc.handbook.engine import needs
from pvcalc.plan import doses as dose_rows
from pvcalc.plan.inputs import read_patient

FIELDS = ("for", "rows", "form", "of", "sheets", "read", "wall")


class Fault(ValueError):
    """A fence that cannot be rendered; `steps` leads to the key at fault."""

    def __init__(self, message, *steps):
        super().__init__(message)
        self.steps = steps


def render(writer, document, line):
    """The HTML of a `doses` fence."""
    fence = document.value
    for key in fence:
        if key not in FIELDS:
            raise Fault(unknown("field of a doses fence", key, FIELDS), key)
    doses = writer.project.data.doses
    if not {key for record in doses.values() for _, key in dose_settings(record)} <= set(writer.project.data.settings):
        return ""  # a setting has a fault of its own, which is told where it stands
    for key, made in (("form", form), ("of", worked), ("read", read_by), ("wall", all_sheets)):
        if key in fence:
            return made(writer, fence)
    names = wanted(fence, doses)
    keys = note(writer, names)
    rules = {rule["id"]: rule for rule in dose_rules.rules(needs.engine_data(writer.project))}
    return block([rules[name] for name in names], {"rows": names}) + settings_html(writer, keys)


def wanted(fence, doses):
    """Names of the rows a fence asks for, in the order of the sheet."""
    if "rows" in fence:
        for place, name in enumerate(fence["rows"]):
            if name not in doses:
                raise Fault(unknown("row of the dose sheet", name, doses), "rows", place)
        return list(fence["rows"])
    drills = sorted({drill for record in doses.values() for drill in record.drills})
    if fence.get("for") not in drills:
        raise Fault(unknown("drill with doses", fence.get("for"), drills), *(["for"] if "for" in fence else []))
    return [name for name, record in doses.items() if fence["for"] in record.drills]


def note(writer, names):
    """The numbers of these rows go into the ledger as the settings they are; their keys, each once."""
    project, page = writer.project, writer.page
    keys = list(dict.fromkeys(key for name in names for _, key in dose_settings(project.data.doses[name])))
    page.rests_on.update(("dose", name) for name in names)
    for key in keys:
        setting = project.data.settings[key]
        compute.note(page, "setting", key, {}, setting.value, source=setting.source, seen=setting.provenance)
    return keys


def settings_html(writer, keys):
    """Folded, the way from each dose to its setting and so to whoever read it; not on paper."""
    links = ", ".join(f'<a href="{writer.page.up}reference/settings.html#{key}">{escape(writer.project.data.settings[key].title)}</a>'
                      for key in keys)
    return ('<details class="sign doses__settings" data-search-exclude=""><summary>where these doses come from</summary>'
            f"<p>{links}</p></details>")


def block(rules, offer):
    """Rows as rules; the page's script puts the doses of a weight in their place."""
    rows = "".join(rule_html(rule) for rule in rules)
    return (f'<div class="doses" data-doses=\'{empty_offer(offer)}\'><table class="doses__table doses__rules"><thead><tr><th scope="col">drug, when</th>'
            f'<th scope="col">dose</th><th scope="col">beware</th></tr></thead><tbody>{rows}</tbody></table></div>')


def rule_html(rule):
    """One row without a weight."""
    lines = "".join(f'<span class="doses__line">{escape(text)}</span>' for text in rule["lines"])
    mark = f'<strong class="doses__mark">{escape(rule["mark"])}</strong> ' if rule["mark"] else ""
    return (f'<tr data-row="{rule["id"]}"><td class="doses__drug"><b>{escape(rule["label"])}</b> <span class="doses__state">{rule["state"]}</span> '
            f'<span class="doses__when">{escape(rule["when"])}</span></td><td class="doses__rule" translate="no">{lines}</td>'
            f'<td class="doses__beware">{mark}{escape(rule["beware"])}</td></tr>')


def form(writer, fence):
    """The live sheet; without the script the rules of every row stand there."""
    names = list(writer.project.data.doses)
    note(writer, names)
    rules = dose_rules.rules(needs.engine_data(writer.project))
    offer = {"form": True, **dose_sheets.offer()}
    return (f'<div class="doses doses--page" data-doses=\'{empty_offer(offer)}\'><details class="doses__all"><summary>Every row as a rule, for any weight</summary>'
            + block(rules, {"rules": True}) + "</details></div>")


def rests_on(writer, name):
    """The works behind a row of the sheet, as a docstring cites them; "house" where no setting of it names one."""
    project = writer.project
    keys = [key for _, key in dose_settings(project.data.doses[name])] if name in project.data.doses else []
    works = list(dict.fromkeys(project.data.settings[key].source for key in keys))
    return " ".join(f"[@{work}]" for work in works if work != "house") or "house"


def worked(writer, fence):
    """The sheet of one weight, as a worked example."""
    data, numbers = needs.engine_data(writer.project), [str(number) for number in fence.get("sheets") or dose_sheets.TITLES]
    for place, number in enumerate(numbers):
        if number not in dose_sheets.TITLES:
            raise Fault(unknown("printed sheet", number, dose_sheets.TITLES), "sheets", place)
    try:
        patient = read_patient(fence["of"])
    except Refusal as refusal:
        raise Fault(" ".join(sentence for _, sentence in refusal.faults), "of") from None
    given = {name: fence["of"][name] for name in sorted(fence["of"])}
    for row in dose_rows.sheet(data, patient):
        if row["sheet"] in numbers:
            words = (row["rule"] + " rule: " if row["rule"] else "") + row["text"]
            compute.note(writer.page, "dose", row["id"], given, words, source=rests_on(writer, row["id"]), seen=row["provenance"])
    return f'<div class="doses doses--example">{dose_sheets.sheets_html(data, patient, numbers)}</div>'


def read_by(writer, fence):
    """Every number of the sheet with its work: who has read what."""
    keys = [key for record in writer.project.data.doses.values() for _, key in dose_settings(record)]
    return settings_table(writer.project, writer.page, list(dict.fromkeys(keys)))


def all_sheets(writer, fence):
    """Every sheet for the wall."""
    return wall.sheets(writer)

"""The case plan on a page: the form's fields, and the plan of a case file set as HTML."""

import json
from html import escape

from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.core.units import unit_of
from pvcalc.decision.vocabulary import choice_words, name_words
from pvcalc.handbook.authoring import compute, dose_sheets
from pvcalc.handbook.authoring.markup import table as html_table
from pvcalc.handbook.data.case_files import case_files, read_case
from pvcalc.handbook.data.findings import unknown
from pvcalc.handbook.engine import needs
from pvcalc.plan import case
from pvcalc.plan.inputs import CALIBRATIONS, FIELDS, FRAMES, LIMITS, MODALITIES, VIEWS
from pvcalc.plan.words import sections

GROUPS = [("patient", "Patient"), ("alerts", "Alerts"), ("history", "Treated before, drugs that run"), ("echo", "Echo: valve and ventricle"),
          ("doppler", "Echo: Doppler"), ("levels", "Other levels and shunts"), ("catheter", "Catheter: pressures"), ("flow", "Catheter: flow"),
          ("balloon", "Annulus and shelf"), ("limits", "Limits of the case"), ("after", "After the balloon"),
          ("done", "What was done"), ("discharge", "At discharge"),
          ("own", "The department's own counts, for the family")]
HINTS = {
    "age_years": "or age in days, under one year", "age_days": "for a newborn or infant", "checked": "only when a question was asked about age, height or weight",
    "doppler_peak_mmhg": "Doppler peak, not catheter peak-to-peak; leave it blank when the velocity is given",
    "catheter_peak_to_peak_mmhg": "catheter, not Doppler", "catheter_mean_mmhg": "catheter mean, for the valve area",
    "output_l_min": "the systemic output; without a shunt it is also the flow across the valve",
    "lung_flow_l_min": "the flow across the valve, where an atrial or ventricular shunt makes it another", "shelf_mm": "diameters, with spaces between; blank takes the department's shelf",
    "contrast_used_ml": "0 before the case", "critical_stenosis": "lung flow that depends on the duct",
    "rv_systolic_mmhg": "body of the ventricle, measured by catheter", "rvot_systolic_mmhg": "just below the valve, on the pull-back",
    "catheter_state": "state of all catheter pressures", "doppler_state": "state in which the gradient was taken",
    "duct": "above one year a blank is taken as closed", "weight_measured": "on a scale today; else it is called typed",
    "looks_adult": "8 to 17 years: puberty; decides the arrest doses", "systemic_awake_mmhg": "cuff pressure, awake",
    "gestation_weeks": "at birth, of a preterm", "prostaglandin_nanograms_kg_min": "nanograms, not micrograms",
    "heart_failure": "asked for metformin; a failing right ventricle counts", "anticoagulant": "any, or a known bleeding trouble",
    "after_balloon_mm": "diameter of the largest balloon used, or the effective one of two",
    "after_rvot_systolic_mmhg": "just below the valve, on the pull-back after the balloon",
    "after_catheter_state": "state of the catheter pressures after the balloon", "after_performed": "no: the attempt was abandoned; it is a row of the audit all the same",
    "after_abandoned_because": "only when no balloon was filled", "after_inflations_count": "all balloons together", "after_sheath_french": "largest sheath",
    "after_event_level": "worst of all; blank is not known, and never none", "after_kap_ugy_m2": "area product of the whole case",
    "own_deaths_count": "of all treated here, the same group", "own_again_cases": "those whose last visit is known",
    "after_doppler_peak_mmhg": "the echo before discharge", "after_died": "within 30 days, of whatever cause", "after_thrombosis": "access vessel by ultrasound",
    "contrast_earlier_72h_ml": "CT or another case in the last three days", "systemic_systolic_mmhg": "same moment, same sedation",
}
WORDS = {"critical_stenosis": "critical stenosis of the newborn", "checked": "I have looked again: the numbers are right",
         "shelf_mm": "shelf", "output_l_min": "output", "rv_hypertrophy": "right ventricular hypertrophy",
         "sex": "sex", "treated_before": "valve treated before", "weight_measured": "weight measured today", "looks_adult": "looks adult (puberty)",
         "preterm": "born preterm", "duct": "arterial duct", "inotrope": "inotrope running", "lung_flow_l_min": "lung flow, across the valve"}


# A field that is typed in one of two units: the second is a choice beside the field, and the form sends it under its own name.
OTHER_UNIT = {"creatinine_umol_l": "creatinine_mg_dl"}


class Fault(ValueError):
    """A plan fence that cannot be rendered; `steps` leads to the key at fault."""

    def __init__(self, message, *steps):
        super().__init__(message)
        self.steps = steps


def render(writer, document, line):
    """The HTML of a `plan` fence: `case: name`, with `only:` a list of sections, or `form: yes`."""
    fence = document.value
    for key in fence:
        if key not in ("case", "only", "form", "title"):
            raise Fault(unknown("field of a plan fence", key, ("case", "only", "form", "title")), key)
    if "form" in fence:
        return form_html(writer)
    cases = case_files(writer.project.root)
    if fence.get("case") not in cases:
        raise Fault(unknown("case", fence.get("case"), cases), "case")
    try:
        inputs = read_case(cases[fence["case"]])
        made = case.plan(needs.engine_data(writer.project), inputs)
    except Refusal as refusal:
        raise Fault("; ".join(sentence for _, sentence in refusal.faults), "case") from None
    except PvcalcError as error:
        raise Fault(str(error), "case") from None
    return case_html(writer, fence, made)


def case_html(writer, fence, made):
    """The chosen sections of one plan, noted in the ledger line by line."""
    parts = sections(needs.engine_data(writer.project), made)
    wanted = fence.get("only") or [part["id"] for part in parts if part["id"] not in ("limits", "drugs", "checklist", "family")]
    known = [part["id"] for part in parts]
    for place, name in enumerate(wanted):
        if name not in known:
            raise Fault(unknown("section of a plan", name, known), "only", place)
    writer.page.examples += 1
    place = f"{writer.page.slug.replace('/', '-')}-plan-{writer.page.examples}"
    blocks = []
    for part in parts:
        if part["id"] in wanted and (part["lines"] or part["tables"]):
            blocks.append(section_html(writer.page.up, chapters(writer.project), part))
            told = " ".join(line["text"] for line in part["lines"] if line["kind"] in ("line", "head", "count"))
            compute.note(writer.page, "plan", f"{fence['case']}/{part['id']}", {}, told, source="", seen="derived")
    drawing = case.picture(needs.engine_data(writer.project), made, place) if "sizing" in wanted else ""
    figure = f'<figure class="picture">{drawing}</figure>' if drawing else ""
    title = fence.get("title") or f"The plan for the case: {fence['case'].replace('_', ' ')}"
    return (f'<section class="worked plan-case" id="{place}" data-case="{fence["case"]}" role="group" aria-label="{escape(title)}">'
            f'<p class="worked__title">{escape(title)}</p><p class="worked__caution">Invented case: no patient.</p>{"".join(blocks)}{figure}</section>')


def section_html(up, linked, part):
    """One section: title with its chapter, lines with their formula, tables with their documents."""
    title = escape(part["title"])
    chapter, _, heading = part["chapter"].partition("#")
    if chapter in linked:
        title = f'<a href="{up}{linked[chapter]}{"#" + heading if heading else ""}">{title}</a>'
    lines = "".join(line_html(up, line) for line in part["lines"])
    tables = "".join(table_html(up, table) for table in part["tables"])
    return f'<div class="plan__part" data-part="{part["id"]}"><p class="plan__title">{title}</p>{lines}{tables}</div>'


def line_html(up, line):
    """One line of a plan."""
    mark = '<strong class="plan__mark">Stop.</strong> ' if line["kind"] == "stop" else ""
    more = ""
    if line["formula"]:
        more += f' <a class="plan__source" href="{up}reference/formulas.html#{line["formula"]}"><code>{line["formula"]}</code></a>'
    if line["table"]:
        more += f' <a class="plan__source" href="{up}reference/tables.html#{line["table"]}">table</a>'
    if line["seen"] == "memory":
        more += ' <span class="mark mark--memory">recalled</span>'
    return f'<p class="plan__line plan__line--{line["kind"]}">{mark}{escape(line["text"])}{more}</p>'


def table_html(up, table):
    """One table of a plan; folded ones stand behind their title."""
    rows = []
    for place, row in enumerate(table["rows"]):
        cells = [escape(cell) for cell in row]
        if table["links"]:
            cells[0] = f'<a href="{up}reference/tables.html#{table["links"][place]}">{cells[0]}</a>'
        rows.append(cells)
    html = html_table(table["heads"], rows, "plan__table")
    if table["folded"]:
        return f'<details><summary>{escape(table["title"])} ({len(rows)})</summary>{html}</details>'
    return (f'<p class="plan__caption">{escape(table["title"])}</p>' if table["title"] else "") + html


def chapters(project) -> dict[str, str]:
    """Chapter slug -> address, for the chapters that exist."""
    return {path.stem: path.stem + ".html" for path in (project.root / "kb").glob("*.md")}


def field_of(name, limit):
    """One field as the form asks for it."""
    unit = unit_of(name) if limit.kind != "choice" else None
    label = WORDS.get(name) or name_words(name)
    made = {"name": name, "label": label[0].upper() + label[1:], "unit": unit["symbol"] if unit else "", "kind": limit.kind,
            "hint": HINTS.get(name, "")}
    if name == "shelf_mm":
        made["unit"] = "mm"
    if limit.kind == "choice":
        made["choices"] = [[word, short_choice(name, word)] for word in limit.choices]
    elif limit.kind == "number":
        made["range"] = f"{limit.low:g} to {limit.high:g}"
    return made


def asked(name, limit):
    """One field of the form; one that may be typed in two units carries both, each with its name, symbol and range."""
    made = field_of(name, limit)
    if name in OTHER_UNIT:
        both = [made, field_of(OTHER_UNIT[name], LIMITS[OTHER_UNIT[name]])]
        made = {**made, "units": [[one["name"], one["unit"]] for one in both], "unit": "",
                "range": " or ".join(f"{one['range']} {one['unit']}" for one in both)}
    return made


def short_choice(name, word):
    """A choice as its own option."""
    return word.replace("_", " ") if word in ("yes", "no", "none", "mild", "moderate", "severe") else choice_words(name, word).partition(": ")[2] or word.replace("_", " ")


def records() -> dict:
    """Fields of one annulus measurement and of one heparin bolus."""
    words = {"open_valve_systole": "early to mid systole, valve open", "not_stated": "not stated", "mr": "MR", "ct": "CT"}

    def options(limit):
        return [[word, words.get(word, word.replace("_", " "))] for word in limit.choices]

    views = sorted({view for some in VIEWS.values() for view in some})
    return {
        "annulus": [{"name": "mm", "label": "Annulus, hinge to hinge", "unit": "mm", "kind": "number", "range": "3 to 45"},
                    {"name": "modality", "label": "Modality", "kind": "choice", "choices": options(MODALITIES)},
                    {"name": "view", "label": "View", "kind": "choice", "choices": [[view, view.replace("_", " ")] for view in views],
                     "hint": "echo: short axis, long axis; angiogram: lateral"},
                    {"name": "frame", "label": "Frame", "kind": "choice", "choices": options(FRAMES), "hint": "no frame, no balloon"},
                    {"name": "calibration", "label": "Calibration (angiogram)", "kind": "choice", "choices": options(CALIBRATIONS)}],
        "heparin": [{"name": "units", "label": "Heparin bolus", "unit": "units", "kind": "number", "range": "10 to 20000"},
                    {"name": "minutes_ago", "label": "Given", "unit": "minutes ago", "kind": "number", "range": "0 to 240"}],
    }


def form_html(writer):
    """The place of the form; the script builds it, so without it the page says how to use the command line."""
    offer = {"groups": [{"id": group, "title": title,
                         "fields": [asked(name, limit) for name, limit, of in FIELDS
                                    if of == group and limit.kind != "records" and name not in OTHER_UNIT.values()],
                         "records": [name for name, limit, of in FIELDS if of == group and limit.kind == "records"]}
                        for group, title in GROUPS],
             "records": records(), "chapters": chapters(writer.project), "doses": dose_sheets.offer()}
    return (f'<div class="plan" id="plan" data-plan="{escape(json.dumps(offer, ensure_ascii=False))}">'
            '<p class="notice--missing plan__noscript">The form needs scripts. Without them: <code>python -m pvcalc plan FILE.yml</code>.</p></div>')

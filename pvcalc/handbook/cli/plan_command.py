"""`python -m pvcalc plan`: the case plan of one patient in a terminal."""

import json
import sys
from pathlib import Path

from pvcalc.core.errors import NotUnderstood, PvcalcError, Refusal
from pvcalc.plan import case, papers
from pvcalc.plan.words import plain_text, sections

MORE = "The names, units, choices and ranges of all fields: `python -m pvcalc plan --fields`. A value may carry its field's own unit (`height_cm: 127 cm`)."


def add_command(commands):
    """`python -m pvcalc plan FILE.yml [--json | --report | --letter | --outline | --row --attempt N --date DAY]`, or `plan --fields`.

    Exit 0 a plan, 1 a refusal in sentences, 2 a file that cannot be read.
    """
    command = commands.add_parser("plan", help="the case plan of one patient, from a file of `field: value` lines; `--fields` lists the fields", epilog=MORE)
    command.add_argument("file", type=Path, nargs="?", help="`field: value` lines, one patient, no name and no number")
    command.add_argument("--json", action="store_true", help="as data")
    command.add_argument("--report", action="store_const", const="report", dest="paper", help="the procedure report, from what was entered")
    command.add_argument("--letter", action="store_const", const="letter", dest="paper", help="the same as a letter")
    command.add_argument("--outline", action="store_const", const="outline", dest="paper", help="the case to teach from")
    command.add_argument("--row", action="store_const", const="row", dest="paper", help="one row of the audit file, with its header")
    command.add_argument("--attempt", default="", help="for --row: your own running number; no name, no hospital number")
    command.add_argument("--date", default="", help="for --row: the day, such as 2026-03-31")
    command.add_argument("--fields", action="store_true", help="list every field with its unit, choices and range")
    command.set_defaults(run=_run)


def _run(chosen):
    from pvcalc.handbook.data import project
    from pvcalc.handbook.data.case_files import case_document
    from pvcalc.handbook.data.field_spellings import lead, spellings
    from pvcalc.handbook.engine import needs
    if chosen.fields:
        print("\n".join(field_lines()))
        return 0
    if chosen.file is None:
        print("plan: no file; " + MORE, file=sys.stderr)
        return 2
    known = needs.engine_data(project.sound(chosen.root))
    try:
        document = case_document(chosen.file)
        made = case.plan(known, document.value)
    except Refusal as refusal:
        ours = spellings(chosen.root)
        for field, sentence in refusal.faults:
            print(f"plan: {chosen.file}:{document.line(field)}: {lead(ours, field) or sentence}", file=sys.stderr)
        return 1
    except PvcalcError as error:
        print(f"plan: {error}", file=sys.stderr)
        return 2
    if chosen.paper:
        return _paper(known, made, chosen)
    print(json.dumps(made, ensure_ascii=False, indent=1) if chosen.json else plain_text(sections(known, made)).rstrip())
    return 0


def _paper(known, made, chosen):
    """Print one paper; its own number and day are no line of the file."""
    try:
        print(papers.paper(known, made, chosen.paper, chosen.attempt, chosen.date).rstrip())
    except NotUnderstood as refusal:
        for _, sentence in refusal.faults:
            print(f"plan: {sentence}", file=sys.stderr)
        return 1
    return 0


def field_lines() -> list[str]:
    """Every field of a case file with what it is called, its unit, and its choices or its range, in the groups of the page."""
    from pvcalc.handbook.authoring import plan_fence
    from pvcalc.plan.inputs import FIELDS
    made, records = [], plan_fence.records()
    for group, title in plan_fence.GROUPS:
        made += ["", title]
        for name, limit, of in FIELDS:
            if of == group and limit.kind == "records":
                made.append(f"  {name}: list of records")
                made += [f"    {field_line(part)}" for part in records[name]]
            elif of == group:
                made.append("  " + field_line(plan_fence.field_of(name, limit)))
    return made[1:]


def field_line(field) -> str:
    """One field: `weight_kg: Weight, kg, 0.5 to 250`."""
    allowed = " | ".join(word for word, _ in field.get("choices", ())) or field.get("range", "") or "numbers with blanks between"
    hint = f" ({field['hint']})" if field.get("hint") else ""
    return ", ".join(part for part in (f"{field['name']}: {field['label']}", field.get("unit", ""), allowed) if part) + hint

"""`python -m pvcalc plan`: the case plan of one patient in a terminal."""

import json
import sys
from pathlib import Path

from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.plan import case
from pvcalc.plan.words import plain_text, sections


def add_command(commands):
    """`python -m pvcalc plan FILE.yml [--json]`: exit 0 a plan, 1 a refusal in sentences, 2 a file that cannot be read."""
    command = commands.add_parser("plan", help="the case plan of one patient, from a file of `field: value` lines")
    command.add_argument("file", type=Path)
    command.add_argument("--json", action="store_true", help="as data")
    command.set_defaults(run=_run)


def _run(chosen):
    from pvcalc.handbook.data import project
    from pvcalc.handbook.data.case_files import case_document
    from pvcalc.handbook.engine import needs
    known = needs.engine_data(project.sound(chosen.root))
    try:
        document = case_document(chosen.file)
        made = case.plan(known, document.value)
    except Refusal as refusal:
        for field, sentence in refusal.faults:
            print(f"plan: {chosen.file}:{document.line(field)}: {sentence}", file=sys.stderr)
        return 1
    except PvcalcError as error:
        print(f"plan: {error}", file=sys.stderr)
        return 2
    print(json.dumps(made, ensure_ascii=False, indent=1) if chosen.json else plain_text(sections(known, made)).rstrip())
    return 0

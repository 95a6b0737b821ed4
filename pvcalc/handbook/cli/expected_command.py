"""`python -m pvcalc expected`: hold the case plan to what experts wrote it must say."""

import sys

from pvcalc.plan import case as case_plan


def add_command(commands):
    """`python -m pvcalc expected`: hold the case plan to every case, or to those whose id holds a word."""
    parser = commands.add_parser("expected", help="hold the case plan to what experts wrote it must say")
    parser.add_argument("word", nargs="?", default="", help="only cases whose id or group holds it")
    parser.set_defaults(run=_run)


def _run(chosen):
    from pvcalc.handbook.checks.expected import failures, load, row_answer
    from pvcalc.handbook.data import project
    from pvcalc.handbook.engine import needs
    loaded = project.sound(chosen.root)
    data, read = needs.engine_data(loaded), load(loaded.root)
    unmet = asked = 0
    for group, keys in read.groups.items():
        for key in keys:
            if chosen.word not in key and chosen.word not in group:
                continue
            case = read.cases[key]
            asked += case.statements
            faults = failures(case, case_plan.answer(data, {"given": case.given}), row_answer)
            unmet += len(faults)
            for fault in faults:
                print(f"{group}/{key}: {fault}")
    print(f"expected: {asked} statements, {unmet} not met", file=sys.stderr)
    return 1 if unmet else 0

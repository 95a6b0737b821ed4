"""The command line: formulas, calc, lint, ledger, sign, plan, audit, expected. Exit 0 good, 1 a finding or a refusal, 2 misuse.

A command loads what it needs when it runs: `formulas` and `calc` need nothing but Python.
"""

import argparse
import gc
import json
import sys
from datetime import date
from pathlib import Path

from pvcalc.core import formula as core
from pvcalc.core.errors import PvcalcError
from pvcalc.core.units import unit_of
from pvcalc.handbook.cli import audit_command, expected_command, guard, plan_command, sources_command
from pvcalc.handbook.data import catalogue


def main(arguments=None) -> int:
    """Run one command and return its exit status."""
    typed = sys.argv[1:] if arguments is None else arguments
    return guard.run(lambda: _run(typed), next((word for word in typed if not word.startswith("-")), "pvcalc"))


def _run(typed):
    parser = _parser()
    chosen = parser.parse_args(typed)
    if not getattr(chosen, "run", None):
        parser.print_help(sys.stderr)
        return 2
    return chosen.run(chosen)


def _parser():
    parser = argparse.ArgumentParser(prog="python -m pvcalc", description="Compute and check what the handbook rests on.")
    parser.add_argument("--root", type=Path, default=Path("."), help="project folder (default: here)")
    commands = parser.add_subparsers(title="commands")
    formulas = commands.add_parser("formulas", help="list every formula")
    formulas.add_argument("--json", action="store_true", help="as data, with limits, sources and counts of printed examples")
    formulas.set_defaults(run=_formulas)
    calc = commands.add_parser("calc", help="compute one formula")
    calc.add_argument("name")
    calc.add_argument("inputs", nargs="*", metavar="argument=value", help="lists in brackets or with commas")
    calc.add_argument("--json", action="store_true")
    calc.add_argument("--checked", action="store_true", help="you have looked again at an input that was questioned")
    calc.set_defaults(run=_calc)
    lint = commands.add_parser("lint", help="all author and data faults, with file and line")
    lint.set_defaults(run=_lint)
    ledger = commands.add_parser("ledger", help="compare the ledger of numbers with the chapters")
    ledger.add_argument("--write", action="store_true", help="write it afresh and show what moved")
    ledger.add_argument("--diff", metavar="OLD", help="a short table of what moved since an older ledger file; writes nothing")
    ledger.set_defaults(run=_ledger)
    sign = commands.add_parser("sign", help="sign a chapter as it stands, with a role")
    sign.add_argument("slug", help="the page below kb/, such as sizing or drills/tear")
    sign.add_argument("--role", required=True, help="who answers for it: a role, never a name")
    sign.add_argument("--on", type=date.fromisoformat, default=None, help="day of signing (default: today)")
    sign.add_argument("--review-by", type=date.fromisoformat, default=None, help="default: a year later")
    sign.set_defaults(run=_sign)
    plan_command.add_command(commands)
    audit_command.add_command(commands)
    expected_command.add_command(commands)
    sources_command.add_command(commands)
    return parser


def _sign(chosen):
    from pvcalc.handbook.checks import signing
    from pvcalc.handbook.data import project
    on = chosen.on or date.today()
    review_by = chosen.review_by or on.replace(year=on.year + 1, day=min(on.day, 28))
    try:
        given = signing.sign(project.sound(chosen.root), chosen.slug, chosen.role, on, review_by)
    except ValueError as error:
        print(f"sign: {error}", file=sys.stderr)
        return 1
    print(f"{chosen.slug}: signed by the {chosen.role} on {on}, review by {review_by}, resting on {len(given['rests_on'])} parts")
    return 0


def _formulas(chosen):
    described = catalogue.describe(catalogue.load())
    if chosen.json:
        print(json.dumps(described, ensure_ascii=False, indent=1))
        return 0
    for entry in described:
        arguments = ", ".join(argument["name"] for argument in entry["arguments"])
        print(f"{entry['module']}.{entry['name']}({arguments}): {entry['printed']['total']} examples, {entry['seen']}")
    return 0


def _calc(chosen):
    entries = catalogue.load()
    given, faults = {}, []
    for word in chosen.inputs:
        key, mark, value = word.partition("=")
        if not mark:
            print(f"calc: “{word}” must be written argument=value", file=sys.stderr)
            return 2
        if key in given:
            faults.append(f"{key} is given twice.")
        given[key] = _value(value)
    try:
        reply = core.run(chosen.name, given)
    except PvcalcError as error:
        print(f"calc: {error}", file=sys.stderr)
        return 1
    if faults or not reply["ok"]:
        for sentence in faults + [sentence for _, sentence in reply.get("faults", [])]:
            print(f"calc: {sentence}", file=sys.stderr)
        return 1
    for note in reply["asks"]:
        print(f"calc: {note}", file=sys.stderr)
    if reply["held"] and not chosen.checked:
        print("calc: no result; if the numbers are right, add --checked.", file=sys.stderr)
        return 1
    entry = entries[chosen.name]
    if chosen.json:
        print(json.dumps(_as_data(entry, given, reply), ensure_ascii=False))
    else:
        print(reply["shown"] + (" (recalled coefficients: confirm before use)" if entry.doubted else ""))
    return 0


def _value(text):
    """A value of the command line: brackets are JSON, the rest is read as a person types it."""
    if text[:1] in "[{":
        try:
            return json.loads(text)
        except (json.JSONDecodeError, RecursionError):
            return text
    return text


def _as_data(entry, given, reply):
    from pvcalc.handbook.authoring.fences import plain_text
    made = entry.formula
    inputs = made.checked({key: core.from_text(value, made.limits[key])[0] if isinstance(value, str) else value
                           for key, value in given.items()})
    result = reply["value"]
    if made.gives:
        result = dict(result)
        unit = {name: (unit_of(name) or {}).get("symbol", "") for name in made.gives}
        unit = next(iter(set(unit.values()))) if len(set(unit.values())) == 1 else unit
    else:
        unit = (unit_of(made.name) or {}).get("symbol", "")
    return {"name": made.name, "inputs": inputs, "result": result, "unit": unit, "shown": reply["shown"],
            "source": plain_text(entry.text.source) or made.source, "seen": made.seen}


def _lint(chosen):
    # The author waits for this one. It lives a second and keeps all it reads, so collecting garbage only costs time.
    gc.disable()
    from pvcalc.handbook.checks import lint
    from pvcalc.handbook.data import project
    found = lint.findings(project.load(chosen.root), lint.usable_processes())
    for finding in found:
        print(finding)
    print(f"lint: {len(found)} findings" if found else "lint: nothing found", file=sys.stderr)
    return 1 if found else 0


def _ledger_table(loaded, older):
    """What moved since an older ledger, as one screen; 1 when the file cannot be read or a chapter has faults."""
    from pvcalc.handbook.checks import ledger, ledger_table
    try:
        before = Path(older).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        print(f"{older}: no ledger can be read there ({error.__class__.__name__})")
        return 1
    now, faults = ledger.lines(loaded)
    for finding in faults:
        print(finding)
    if not faults:
        print(ledger_table.text(before, now), end="")
    return 1 if faults else 0


def _ledger(chosen):
    from pvcalc.handbook.checks import ledger
    from pvcalc.handbook.data import project
    loaded = project.sound(chosen.root)
    if chosen.diff:
        return _ledger_table(loaded, chosen.diff)
    if not chosen.write:
        found = ledger.check(loaded)
        for finding in found:
            print(finding)
        return 1 if found else 0
    now, faults = ledger.lines(loaded)
    if faults:
        for finding in faults:
            print(finding)
        return 1
    gone, come = ledger.moved(ledger.read(loaded.root), now)
    ledger.write(loaded.root, now)
    for mark, moved in (("-", gone), ("+", come)):
        for line in moved[:40]:
            print(f"{mark} {line}")
        if len(moved) > 40:
            print(f"{mark} … {len(moved) - 40} more")
    print(f"ledger {ledger.digest(now)}: {len(now)} numbers. Quote this digest in {ledger.CHANGES} beside what changed and why.")
    return 0

"""`python -m pvcalc audit`: a file in, a printable report and the numbers out."""

import gc
import re
import sys
from datetime import date
from html import escape
from pathlib import Path

from pvcalc.audit import steps
from pvcalc.audit.csv_file import fault_words
from pvcalc.audit.definitions import DEFINITIONS, QUANTITIES
from pvcalc.audit.over_time import EVENTS, options_of
from pvcalc.audit.rows import day_number
from pvcalc.audit.words import sections
from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.handbook.cli import audit_file
from pvcalc.handbook.data import writing
from pvcalc.handbook.data.audit_columns import schema

PIECE = 5000  # rows between two lines of progress
CALLER = ("No name and no hospital number belongs into the file or into this report. Planning and teaching aid, not a medical device; "
          "a unit's numbers do not judge a person.")


def add_command(commands) -> None:
    """Exit 0 a report, 1 faults in the file, 2 misuse or a file or folder that cannot be used."""
    command = commands.add_parser("audit", help="audit a file of attempts: a printable report and the numbers as CSV")
    command.add_argument("file", type=Path)
    command.add_argument("--out", type=Path, required=True, help="folder for report.html and numbers.csv")
    command.add_argument("--accept-partial", action="store_true", help="leave out rows at fault, and say which and why")
    command.add_argument("--gradient", choices=sorted(QUANTITIES), default="catheter", help="which gradient the results at once rest on")
    command.add_argument("--definition", choices=[name for name, _, _ in DEFINITIONS], help="definition of the chart of success")
    command.add_argument("--acceptable", type=float, help="its acceptable rate of failure, a fraction such as 0.09")
    command.add_argument("--unacceptable", type=float, help="its unacceptable rate of failure")
    command.add_argument("--event", choices=EVENTS, help="what the chart of events counts")
    command.add_argument("--event-acceptable", type=float)
    command.add_argument("--event-unacceptable", type=float)
    command.add_argument("--alpha", type=float, help=f"chance of a false alarm of a chart (default {steps.ERRORS})")
    command.add_argument("--beta", type=float, help=f"chance of missing the unacceptable rate (default {steps.ERRORS})")
    command.set_defaults(run=_run)


def options(chosen) -> dict:
    """The choices of the command line as the engine takes them."""
    return {"quantity": chosen.gradient, "definition": chosen.definition, "acceptable_fraction": chosen.acceptable,
            "unacceptable_fraction": chosen.unacceptable, "event": chosen.event, "event_acceptable_fraction": chosen.event_acceptable,
            "event_unacceptable_fraction": chosen.event_unacceptable, "alpha": chosen.alpha, "beta": chosen.beta}


def _run(chosen):
    from pvcalc.handbook.data import project
    from pvcalc.handbook.engine import needs
    try:
        options_of(steps.completed(options(chosen)))
    except Refusal as refusal:
        return _told([sentence for _, sentence in refusal.faults], 2)
    try:
        text = audit_file.read_text(chosen.file)
    except PvcalcError as error:
        return _told([str(error)], 1 if chosen.file.is_file() else 2)
    data = needs.engine_data(project.sound(chosen.root))
    try:
        made = steps.Audit(data, schema(chosen.root), text, options(chosen), day_number(date.today().isoformat())[0])
    except Refusal as refusal:
        return _told([sentence for _, sentence in refusal.faults], 1)
    del text
    gc.disable()  # the cases stay to the end and hold no circles; looking through 100,000 of them again and again costs an eighth
    try:
        return _audited(chosen, made)
    finally:
        gc.enable()


def _audited(chosen, made):
    _counted(made)
    if made.bad:
        _told([fault_words(one) for one in made.bad], 1)
        if not chosen.accept_partial:
            return _told([f"{made.bad_lines} of {made.bad_lines + len(made.cases)} rows are at fault. No report; mend them, or leave them out with "
                          "--accept-partial."], 1)
        _told([f"Left out {made.bad_lines} of {made.bad_lines + len(made.cases)} rows, for the reasons above."], 0)
    try:
        while made.compute():
            pass
    except Refusal as refusal:
        return _told([sentence for _, sentence in refusal.faults], 1)
    return _written(chosen, made)


def _told(sentences, status):
    for sentence in sentences:
        print(f"audit: {sentence}", file=sys.stderr)
    return status


def _counted(made):
    """Check every row; a long file says how far it is."""
    lines = made.file.lines_left()
    shown, live = lines > PIECE, sys.stderr.isatty()
    done, next_tenth = 0, 1
    while made.check(PIECE):
        done = len(made.cases) + made.bad_lines
        if shown and (live or done * 10 >= next_tenth * lines):
            next_tenth = done * 10 // lines + 1
            bar = "#" * (done * 20 // lines) + "." * (20 - done * 20 // lines)
            print(f"\raudit: [{bar}] {done} of {lines} rows" if live else f"audit: {done} of {lines} rows", end="" if live else "\n", file=sys.stderr, flush=True)
    if shown and live:
        print(file=sys.stderr)


def _written(chosen, made):
    """Write the numbers, the list of what was left out and, last, the report: it takes longest and can fail for a picture."""
    files = {"numbers.csv": lambda: audit_file.numbers_csv(made.result)}
    if made.bad:
        files["left-out.csv"] = lambda: audit_file.faults_csv(made.bad)
    files["report.html"] = lambda: report(chosen.root, chosen.file.name, made)
    try:
        chosen.out.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            writing.write_text(chosen.out / name, content())
            print(chosen.out / name)
    except OSError as error:
        return _told([f"{chosen.out} cannot be written to: {error.strerror}."], 2)
    return 0


def report(root: Path, name: str, made: steps.Audit) -> str:
    """The whole report: one file that asks the network for nothing.

    Args:
        root: the project's folder; name: of the audited file; made: the finished audit.
    """
    style = (root / "site_overrides/css/figures.css").read_text(encoding="utf-8").partition('[data-md-color-scheme="slate"]')
    looks = style[0] + style[2].partition("}")[2] + (Path(__file__).parent / "audit_report.css").read_text(encoding="utf-8")
    edition = re.search(r'edition: "([^"]*)"', (root / "mkdocs.yml").read_text(encoding="utf-8"))
    stamp = f"File {name}; edition {edition[1] if edition else 'not stated'}; computed {date.today().isoformat()}. {CALLER}"
    partial = ""
    if made.bad:
        partial = f'<p class="warn">Partial: {made.bad_lines} rows at fault were left out; they are listed at the end.</p>'
    body = "".join(_section(part) for part in sections(made.result))
    left = ""
    if made.bad:
        left = "<h2>Left out</h2><ul>" + "".join(f"<li>{escape(fault_words(one))}</li>" for one in made.bad) + "</ul>"
    return ('<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
            f"<title>Audit of balloon relief of pulmonary valve stenosis</title><style>{looks}</style></head><body>"
            f'<h1>Audit of balloon relief of pulmonary valve stenosis</h1><p class="stamp">{escape(stamp)}</p>{partial}<main>{body}{left}</main></body></html>\n')


def _section(part):
    lines = "".join(f"<p>{escape(line)}</p>" for line in part["lines"])
    figures = "".join(_figure(one, "audit-" + part["id"].replace("_", "-") + "-" + str(place)) for place, one in enumerate(part["pictures"]))
    tables = "".join(_table(one) for one in part["tables"])
    return f'<section id="{part["id"]}"><h2>{escape(part["title"])}</h2>{lines}<div class="figures">{figures}</div>{tables}</section>'


def _figure(wanted, place):
    picture, sentence = steps.drawn(wanted, place)
    return f"<figure>{picture}</figure>" if picture else f'<p class="warn">{escape(sentence)}</p>'


def _table(one):
    caption = f"<caption>{escape(one['title'])}</caption>" if one["title"] else ""
    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in one["heads"])
    rows = "".join("<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in one["rows"])
    return f'<div class="table-wrap"><table>{caption}<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>'

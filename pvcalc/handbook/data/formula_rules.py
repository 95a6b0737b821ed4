"""What a formula and its printed examples say of themselves: every name and every source must be there.

The code that is imported is judged; a fault names its file and line as an editor opens it.
"""

import inspect
from pathlib import Path

import pvcalc
from pvcalc.core import formula as core
from pvcalc.handbook.data import docstrings, grounds
from pvcalc.handbook.data.findings import Finding, unknown

HOME = Path(pvcalc.__file__).resolve().parent.parent
NEAR = 8  # lines that one call of `printed`, or the loop around it, spans
OURS = "derived"  # an example that was worked out for this handbook has no work behind it


def findings(project) -> list[Finding]:
    """Faults of every formula and printed example, with their lines."""
    known, found = project.data.sources, []
    for entry in project.formulas.values():
        found += [_at(entry.formula.function, words, message) for words, message in _formula(entry, known)]
    for example in core.PRINTED:
        found += [_at_example(example, message) for message in _example(example, known)]
    return found


def _formula(entry, known):
    """(words of the line, message) for what is wrong in one formula's declaration and docstring."""
    made, told, explained = entry.formula, entry.formula.name, entry.text.arguments
    if made.source and made.source not in known:
        yield f'"{made.source}"', f"{told}: {unknown('source', made.source, known)}"
    if words := grounds.read_fault(made.seen, made.source, known):
        yield f'"{made.source}"', f"{told}: {words}"
    for name in explained:
        if name not in made.limits:
            yield f"{name}:", f"{told}: {unknown('argument', name, made.limits)}, but Args explains it"
    for name in made.limits:
        if name not in explained:
            yield "Args:", f"{told}: Args does not explain `{name}`"
    for key, locator in docstrings.citations_in(made.function.__doc__ or ""):
        if key not in known:
            yield f"[@{key}", f"{told}: {unknown('source', key, known)}"
        elif not locator:
            yield f"[@{key}", f"{told}: [@{key}] needs a locator: page, table, figure, section or abstract"


def _example(example, known):
    told = f"{example.formula.name}, printed example {example.fact or example.locator}"
    if example.source:
        if example.source not in known:
            yield f"{told}: {unknown('source', example.source, known)}"
        if not example.locator:
            yield f"{told}: no locator; name the page, table or figure that prints it"
        if words := grounds.read_fault(example.seen, example.source, known):
            yield f"{told}: {words}"
    elif example.kind != OURS and example.seen != OURS:
        yield f"{told}: a {example.kind} example names the work that prints it"


def _at(function, words, message):
    """A finding at the line of a function that holds the words, or at its first."""
    lines, first = inspect.getsourcelines(function)
    place = next((place for place, line in enumerate(lines) if words in line), 0)
    return Finding(_shown(inspect.getsourcefile(function)), first + place, message)


def _at_example(example, message):
    """A finding where the example is written: its source, near its fact or its formula; looked for only when something is wrong."""
    best = (0, _shown(inspect.getsourcefile(example.formula.function)), 1)
    for path in sorted(path for path in (HOME / "pvcalc").rglob("*.py") if "handbook" not in path.parts):
        lines = path.read_text(encoding="utf-8").splitlines()
        for place, line in enumerate(lines):
            if f'"{example.source}"' in line:
                around = "\n".join(lines[max(0, place - NEAR):place + NEAR])
                fit = 1 + (f'"{example.fact}"' in around) + 2 * (example.formula.name in around) + 4 * (example.locator in line)
                best = max(best, (fit, _shown(path), place + 1), key=lambda one: one[0])
    return Finding(best[1], best[2], message)


def _shown(path):
    return Path(path).resolve().relative_to(HOME).as_posix()

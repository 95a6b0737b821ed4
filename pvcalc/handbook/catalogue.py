"""Everything the shared modules declare: formulas with their texts, printed examples, pictures."""

import importlib
import pkgutil
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pvcalc
from pvcalc import formula as core
from pvcalc.handbook import docstrings, evaluate

PACKAGE = Path(pvcalc.__file__).parent


@dataclass
class Entry:
    """One formula as the site shows it."""

    formula: core.Formula
    module: str
    text: docstrings.FormulaText
    printed: list[core.Printed]

    @property
    def name(self) -> str:
        return self.formula.name

    @property
    def doubted(self) -> bool:
        """True when the equation or a coefficient was recalled, not seen."""
        return self.formula.seen == "memory"


def shared_modules() -> list[str]:
    """Names of every module directly in the package; being there is what makes a module shared."""
    return sorted(info.name for info in pkgutil.iter_modules([str(PACKAGE)])
                  if not info.ispkg and not info.name.startswith("_"))


def load() -> dict[str, Entry]:
    """Import every shared module and return the formulas by name, by topic, module and line, whatever was imported first."""
    for name in shared_modules():
        importlib.import_module(f"pvcalc.{name}")
    entries = {}
    for made in sorted(core.FORMULAS, key=_place):
        module = _topic(made)
        examples = [example for example in core.PRINTED if example.formula is made]
        entries[made.name] = Entry(made, module, docstrings.parse(made.function.__doc__), examples)
    return entries


def _topic(made):
    """The topic module a formula is reached by; a part of a long topic names it as `TOPIC`."""
    home = sys.modules[made.function.__module__]
    return getattr(home, "TOPIC", home.__name__.rsplit(".", 1)[-1])


def _place(made):
    return _topic(made), made.function.__module__, made.function.__code__.co_firstlineno


@dataclass(frozen=True)
class Outcome:
    """A printed example after computing: our answer in the unit of the print, and whether the two agree."""

    computed: float
    agrees: bool


@cache
def outcome(example: core.Printed) -> Outcome:
    """Compute one printed example, once for a build; of one simulated beat many figures were printed."""
    computed = example.picked(evaluate.run_once(example.formula.name, example.inputs)["value"])
    return Outcome(computed, example.agrees(computed))


def printed_id(example: core.Printed) -> str:
    """Stable address of a printed example: the formula, then its place among that formula's examples."""
    return _places()[id(example)]


@cache
def _places():
    counts, places = {}, {}
    for example in core.PRINTED:
        name = example.formula.name
        counts[name] = counts.get(name, 0) + 1
        places[id(example)] = f"{name}-{counts[name]}"
    return places


def describe(entries: dict[str, Entry]) -> list[dict]:
    """The formulas as plain data, for `python -m pvcalc formulas --json`."""
    return [{"name": entry.name, "module": entry.module,
             "arguments": [_argument(name, limit) for name, limit in entry.formula.limits.items()],
             "results": list(entry.formula.gives or [entry.name]),
             "source": entry.text.source or entry.formula.source,
             "seen": entry.formula.seen,
             "printed": _counts(entry.printed)} for entry in entries.values()]


def _argument(name, limit):
    from pvcalc.units import unit_of
    unit = unit_of(name)
    described = {"name": name, "unit": unit["symbol"] if unit else ""}
    if limit.kind == "choice":
        described["choices"] = list(limit.choices)
    elif limit.kind == "records":
        described.update(least=limit.least, most=limit.most)
    else:
        described.update(low=limit.low, high=limit.high)
    if limit.kind in ("list", "records"):
        described["list"] = True
    return described


def _counts(examples):
    counts = {}
    for example in examples:
        counts.setdefault("kind", {}).setdefault(example.kind, 0)
        counts["kind"][example.kind] += 1
        counts.setdefault("seen", {}).setdefault(example.seen, 0)
        counts["seen"][example.seen] += 1
    return {"total": len(examples), "kind": counts.get("kind", {}), "seen": counts.get("seen", {})}

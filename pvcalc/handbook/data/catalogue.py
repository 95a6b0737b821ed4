"""Everything the shared modules declare: formulas with their texts, printed examples, pictures."""

import importlib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pvcalc
from pvcalc.core import formula as core
from pvcalc.core.units import unit_of
from pvcalc.handbook.data import docstrings

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
    def topic(self) -> str:
        """What its module is about, in one or two words: the heading it stands under."""
        return self.module.rpartition(".")[2].replace("_", " ")

    @property
    def anchor(self) -> str:
        """The address of its topic on the page of formulas."""
        return self.topic.replace(" ", "-")

    @property
    def doubted(self) -> bool:
        """True when the equation or a coefficient was recalled, not seen."""
        return self.formula.seen == "memory"


def shared_modules() -> list[str]:
    """Names of every module below the package, such as `core.units`; being outside the build is what makes it shared."""
    paths = sorted(path.relative_to(PACKAGE.parent) for path in PACKAGE.rglob("*.py"))
    return [module_of(path.as_posix()) for path in paths if path.parts[1] != "handbook" and not path.name.startswith("_")]


def shared_files() -> list[tuple[str, str]]:
    """(path, text) of every file that a browser may be sent, verbatim; the engine takes a folder for a package."""
    return [(f"pvcalc/{name.replace('.', '/')}.py", file_of(name).read_text(encoding="utf-8")) for name in shared_modules()]


def file_of(module: str) -> Path:
    """The file of a shared module such as `core.units`."""
    return PACKAGE.joinpath(*module.split(".")).with_suffix(".py")


def module_of(path: str) -> str:
    """`pvcalc/core/units.py` -> `core.units`."""
    return path.removeprefix("pvcalc/").removesuffix(".py").replace("/", ".")


def home_of(made) -> str:
    """The shared module that declares a formula or a picture."""
    return made.function.__module__.removeprefix("pvcalc.")


def load() -> dict[str, Entry]:
    """Import every shared module and return the formulas by name, by module and line, whatever was imported first."""
    for name in shared_modules():
        importlib.import_module(f"pvcalc.{name}")
    entries = {}
    for made in sorted(core.FORMULAS, key=_place):
        examples = [example for example in core.PRINTED if example.formula is made]
        entries[made.name] = Entry(made, home_of(made), docstrings.parse(made.function.__doc__), examples)
    return entries


def _place(made):
    return home_of(made), made.function.__code__.co_firstlineno


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

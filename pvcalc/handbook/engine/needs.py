"""What the reader's engine needs: the data of the handbook, and for one request its modules and the files they come in."""

import ast
import json

from pvcalc.draw import svg
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.data.entries import dose_settings


# Topics of decision tables that the case plan asks; the page need not fetch the others.
PLAN_TOPICS = ("balloon", "contrast", "measurement", "pregnancy", "reading", "residual", "severity", "surgery", "treat", "treat_child", "visits")


def data_text(project) -> str:
    """Settings, decision tables and series as the engine reads them."""
    return plain_json(data_of(project))


def data_of(project) -> dict:
    """Settings with how far each was seen, decision tables, and the published counts."""
    notes = {key: {"seen": entry.provenance, "confirm": entry.confirm or ""} for key, entry in project.data.settings.items()}
    for key in [key for key, entry in project.data.settings.items() if entry.departs]:
        notes[key]["printed"] = project.data.printed_words(key)
    fields = ("kind", "events", "cases", "population", "era", "follow_up", "definition", "source", "seen")
    series = {key: {field: getattr(entry, field) for field in fields} for key, entry in project.data.series.items()
              if entry.kind == "proportion"}
    shares = {key: {field: getattr(entry, field) for field in (*fields, "value")} for key, entry in project.data.series.items()
              if entry.kind == "statistic" and entry.unit == "percent"}
    # A list: the sheet is printed in the order of its file.
    doses = [{"id": name, **record.model_dump(by_alias=True, exclude_defaults=True)} for name, record in project.data.doses.items()]
    return {"settings": project.settings, "notes": notes, "tables": project.written, "series": series,
            "statistics": shares, "doses": doses}


def engine_data(project) -> dict:
    """The same data read back, as the case plan, the audit and the dose sheet compute with it on this machine."""
    if project.engine_data is None:
        project.engine_data = json.loads(data_text(project))
    return project.engine_data


def sources(project, formula=None, picture="", tables=(), settings=()) -> list[str]:
    """What the engine must load to answer one block of a page: modules, and files of data.

    Args:
        formula: a Formula, if the block has one; picture: name of its picture; tables: its decision tables, as dicts;
            settings: keys that the block itself names. What a table names comes in the file of the table.
    """
    modules = [catalogue.home_of(formula)] if formula else []
    modules += ["draw.svg", catalogue.home_of(svg.PICTURES[picture])] if picture in svg.PICTURES else []
    modules += ["page.documents"] if tables else []
    of_doses = dose_keys(project)
    return modules + sorted({table_file(table) for table in tables} | {"doses.json" if key in of_doses else "data.json" for key in settings})


def dose_keys(project) -> set[str]:
    """Settings that the dose sheet names: they come with it and with nothing else, for they are many."""
    return {key for record in project.data.doses.values() for _, key in dose_settings(record)}


def table_file(table: dict) -> str:
    """The file that the decision tables of a topic come in."""
    return f'tables/{table["topic"]}.json'


def imports(shared) -> dict[str, set[str]]:
    """Module -> the shared modules it imports as it is loaded itself (an import inside a function comes later)."""
    known = {catalogue.module_of(path) for path, _ in shared}
    found = {}
    for path, text in shared:
        nodes = [node for node in ast.parse(text).body if isinstance(node, ast.ImportFrom)]
        names = {node.module.removeprefix("pvcalc.") for node in nodes}
        names |= {f"{node.module.removeprefix('pvcalc.')}.{alias.name}" for node in nodes for alias in node.names}
        found[catalogue.module_of(path)] = names & known
    return found


def closure(direct: dict[str, set[str]], name: str) -> set[str]:
    """A module and everything it needs."""
    found, waiting = set(), [name]
    while waiting:
        module = waiting.pop()
        if module not in found:
            found.add(module)
            waiting += direct[module]
    return found


def reduced(direct: dict[str, set[str]]) -> dict[str, set[str]]:
    """The same imports without those that come along with another one: a phone need not read every arrow."""
    reached = {name: set().union(*(closure(direct, one) - {one} for one in names)) for name, names in direct.items()}
    return {name: names - reached[name] for name, names in direct.items()}


def asked_for(project) -> set[str]:
    """Every module that a request may name: those that declare a formula or a picture, and the doors of the rest."""
    formulas = [entry.formula for entry in project.formulas.values()]
    return {catalogue.home_of(made) for made in [*formulas, *svg.PICTURES.values()]} | {"draw.svg", "plan.case", "plan.papers", "plan.doses", "audit.steps", "page.documents"}


def packed(direct: dict[str, set[str]], core: set[str], asked_for: set[str]) -> dict[str, str]:
    """Module -> the file it comes in: modules that always come together share one, which compresses better.

    A file is named by the one module in it that a request names; two would have to need each other.

    Args:
        direct: imports of each module; core: modules that are always there; asked_for: modules that a request names.
    """
    reached = {name: closure(direct, name) for name in sorted(asked_for)}
    askers = {name: frozenset(asker for asker in reached if name in reached[asker]) for name in direct if name not in core}
    together = {}
    for name in sorted(askers):
        together.setdefault(askers[name], []).append(name)
    return {name: next((one for one in members if one in asked_for), members[0]) for members in together.values() for name in members}


def leaning(direct: dict[str, set[str]], packs: dict[str, str]) -> dict[str, list[str]]:
    """Pack -> the packs it needs besides, without those that come along with another one."""
    needed = {pack: set() for pack in packs.values()}
    for name, pack in packs.items():
        needed[pack] |= {packs[other] for other in direct[name] if other in packs} - {pack}
    return {pack: sorted(others) for pack, others in reduced(needed).items()}


def plain_json(value) -> str:
    """JSON in as few letters as it takes, the same for the same value."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), default=str)

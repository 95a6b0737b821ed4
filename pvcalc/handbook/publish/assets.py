"""The folder `assets/<build>/`: everything the reader's browser computes with, named by its own content.

Two editions never share a folder, so a page can only ever reach the files it was built with.
A page loads no more than its own formulas need: the start, then one file a module, and the tables by topic.
"""

import ast
import hashlib
import json
from pathlib import Path

from pvcalc.draw import svg
from pvcalc.handbook.authoring import compute
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine import process
from pvcalc.handbook.publish import minify

DIGITS = 12  # of each SHA-256 in the manifest: 48 bits tell any two editions apart, as the name of the folder does
AUDITED = "success_registry_2012"  # the decision table that an audit of a file judges by
READ_ON_PAGES = ("means", "beside")  # of a decision table: words that a page shows and no shared module asks for
LICENCE = process.FOLDER / "LICENCE.txt"


def data_text(project) -> str:
    """Settings, decision tables and series as the engine reads them."""
    return _json(data_of(project))


def data_of(project) -> dict:
    """Settings with how far each was seen, decision tables, and the published counts."""
    notes = {key: {"seen": entry.seen, "confirm": entry.confirm or ""} for key, entry in project.data.settings.items()}
    fields = ("kind", "events", "cases", "population", "era", "follow_up", "definition", "source", "seen")
    series = {key: {field: getattr(entry, field) for field in fields} for key, entry in project.data.series.items()
              if entry.kind == "proportion"}
    shares = {key: {field: getattr(entry, field) for field in (*fields, "value")} for key, entry in project.data.series.items()
              if entry.kind == "statistic" and entry.unit == "percent"}
    doses = {name: record.model_dump(by_alias=True, exclude_defaults=True) for name, record in project.data.doses.items()}
    return {"settings": compute.setting_values(project), "notes": notes, "tables": project.written, "series": series,
            "statistics": shares, "doses": doses}


def edition_digest(root: Path) -> str:
    """Digest over everything that makes a page: chapters, data, looks and configuration."""
    total = hashlib.sha256()
    for folder in ("kb", "site_overrides"):
        for path in sorted((root / folder).rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                total.update(f"{path.relative_to(root).as_posix()}\0".encode() + path.read_bytes())
    total.update((root / "mkdocs.yml").read_bytes())
    return total.hexdigest()


def files(project) -> dict[str, bytes]:
    """Name -> content of every file of the folder, the manifest included."""
    shared = catalogue.shared_files()
    direct = imports(shared)
    core = closure(direct, "page.bridge")
    made = {
        # Served as .js: common servers do not know .mjs and would send it with a type that browsers refuse.
        "micropython.js": (process.MICROPYTHON / "micropython.mjs").read_bytes(),
        "micropython.wasm": (process.MICROPYTHON / "micropython.wasm").read_bytes(),
        "licence.txt": LICENCE.read_bytes(),
        "worker.js": minify.plain_lines((process.FOLDER / "worker.js").read_text(encoding="utf-8")).encode(),
        "load.js": minify.plain_lines((process.FOLDER / "load.js").read_text(encoding="utf-8")).encode(),
        "core.json": _json([list(pair) for pair in shared if catalogue.module_of(pair[0]) in core]).encode(),
    }
    packs = packed(direct, core, _asked_for(project))
    made |= {f"modules/{pack}.json": _json([list(pair) for pair in shared if packs.get(catalogue.module_of(pair[0])) == pack]).encode()
             for pack in sorted(set(packs.values()))}
    made |= _data_files(project)
    # Who asks for a formula, picture or table without saying where it is declared; pages say (`sources`).
    made["names.json"] = _json({
        "formulas": {name: catalogue.home_of(entry.formula) for name, entry in project.formulas.items()},
        "pictures": {name: catalogue.home_of(picture) for name, picture in svg.PICTURES.items()},
        "tables": {name: _table_file(table) for name, table in project.tables.items()}}).encode()
    digests = {name: hashlib.sha256(content).hexdigest()[:DIGITS] for name, content in made.items()}
    build = hashlib.sha256((_json(digests) + edition_digest(project.root)).encode()).hexdigest()[:12]
    manifest = {"build": build, "files": digests, "options": process.OPTIONS,
                "imports": {name: sorted(names - core) for name, names in reduced(direct).items() if name not in core},
                "packs": {name: pack for name, pack in packs.items() if name != pack},
                "plan": sorted({catalogue.home_of(svg.PICTURES[name]) for name in svg.PICTURES if f'"{name}"' in dict(shared)["pvcalc/plan/case.py"]}),
                "audit": [_table_file(project.tables[AUDITED])] if AUDITED in project.tables else []}
    made["manifest.json"] = _json(manifest).encode()
    return made


def _data_files(project):
    """The data, in parts: settings, what only a plan asks for, then the decision tables of each topic."""
    data = data_of(project)
    parts = {"data.json": {"settings": data.pop("settings")}}
    for name, table in data.pop("tables").items():
        part = parts.setdefault(_table_file(table), {"tables": {}})
        part["tables"][name] = {key: value for key, value in table.items() if key not in READ_ON_PAGES}
    parts["doses.json"] = {name: data.pop(name) for name in ("doses", "notes")}
    parts["plan.json"] = data
    return {name: _json(part).encode() for name, part in parts.items()}


def sources(formula=None, picture="", tables=()) -> list[str]:
    """What the engine must load to answer one block of a page: modules, and files of tables.

    Args:
        formula: a Formula, if the block has one; picture: name of its picture; tables: its decision tables, as dicts.
    """
    modules = [catalogue.home_of(formula)] if formula else []
    modules += ["draw.svg", catalogue.home_of(svg.PICTURES[picture])] if picture in svg.PICTURES else []
    return modules + (["page.documents", *sorted({_table_file(table) for table in tables})] if tables else [])


def _table_file(table):
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
    """The same imports without those that come along with another one: a phone needs the order, not every arrow."""
    reached = {name: set().union(*(closure(direct, one) - {one} for one in names)) for name, names in direct.items()}
    return {name: names - reached[name] for name, names in direct.items()}


def _asked_for(project):
    """Every module that a request may name: those that declare a formula or a picture, and the doors of the rest."""
    formulas = [entry.formula for entry in project.formulas.values()]
    return {catalogue.home_of(made) for made in [*formulas, *svg.PICTURES.values()]} | {"draw.svg", "plan.case", "plan.doses", "audit.steps", "page.documents"}


def packed(direct: dict[str, set[str]], core: set[str], asked_for: set[str]) -> dict[str, str]:
    """Module -> the file it comes in: modules that always come together share one, which compresses better.

    Args:
        direct: imports of each module; core: modules that are always there; asked_for: modules that a request names.
    """
    reached = {name: closure(direct, name) for name in sorted(asked_for)}
    askers = {name: frozenset(asker for asker in reached if name in reached[asker]) for name in direct if name not in core}
    return {name: min(other for other in askers if askers[other] == askers[name]) for name in sorted(askers)}


def build_of(made: dict[str, bytes]) -> str:
    """Identifier of the build: a digest over all its files."""
    return json.loads(made["manifest.json"])["build"]


def write(made: dict[str, bytes], site: Path) -> Path:
    """Write the folder below the built site and return it."""
    folder = site / "assets" / build_of(made)
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in made.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def _json(value) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), default=str)

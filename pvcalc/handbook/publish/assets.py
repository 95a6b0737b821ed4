"""The folder `assets/<build>/`: everything the reader's browser computes with, named by its own content.

Two editions never share a folder, so a page can only ever reach the files it was built with.
A page loads no more than its own formulas need: the start, then one file a module, and the tables by topic.
"""

import hashlib
import json
from pathlib import Path

from pvcalc.draw import svg
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine import needs, process, sent
from pvcalc.handbook.publish import minify

DIGITS = 12  # of each SHA-256 in the manifest: 48 bits tell any two editions apart, as the name of the folder does
AUDITED = "success_registry_2012"  # the decision table that an audit of a file judges by
READ_ON_PAGES = ("means", "beside")  # of a decision table: words that a page shows and no shared module asks for
LICENCE = process.FOLDER / "LICENCE.txt"


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
    shared = sent.sent_files()
    direct = needs.imports(shared)
    core = needs.closure(direct, "page.bridge")
    made = {
        # Served as .js: common servers do not know .mjs and would send it with a type that browsers refuse.
        "micropython.js": (process.MICROPYTHON / "micropython.mjs").read_bytes(),
        "micropython.wasm": (process.MICROPYTHON / "micropython.wasm").read_bytes(),
        "licence.txt": LICENCE.read_bytes(),
        "worker.js": minify.plain_lines((process.FOLDER / "worker.js").read_text(encoding="utf-8")).encode(),
        "load.js": minify.plain_lines((process.FOLDER / "load.js").read_text(encoding="utf-8")).encode(),
        "core.json": needs.plain_json([list(pair) for pair in shared if catalogue.module_of(pair[0]) in core]).encode(),
    }
    packs = needs.packed(direct, core, needs.asked_for(project))
    made |= {f"modules/{pack}.json": needs.plain_json([list(pair) for pair in shared if packs.get(catalogue.module_of(pair[0])) == pack]).encode()
             for pack in sorted(set(packs.values()))}
    made |= _data_files(project)
    # Who asks for a formula, picture or table without saying where it is declared; pages say (`sources`).
    made["names.json"] = needs.plain_json({
        "formulas": {name: catalogue.home_of(entry.formula) for name, entry in project.formulas.items()},
        "pictures": {name: catalogue.home_of(picture) for name, picture in svg.PICTURES.items()},
        "tables": {name: needs.table_file(table) for name, table in project.tables.items()}}).encode()
    digests = {name: hashlib.sha256(content).hexdigest()[:DIGITS] for name, content in made.items()}
    build = hashlib.sha256((needs.plain_json(digests) + edition_digest(project.root)).encode()).hexdigest()[:12]
    manifest = {"build": build, "files": digests, "options": process.OPTIONS,
                "packs": needs.leaning(direct, packs),
                "plan": sorted({catalogue.home_of(svg.PICTURES[name]) for name in svg.PICTURES if f'"{name}"' in dict(shared)["pvcalc/plan/case.py"]}),
                "tables": [f"tables/{topic}.json" for topic in needs.PLAN_TOPICS if f"tables/{topic}.json" in made],
                "audit": [needs.table_file(project.tables[AUDITED])] if AUDITED in project.tables else []}
    made["manifest.json"] = needs.plain_json(manifest).encode()
    return made


def _data_files(project):
    """The data, in parts: settings, the decision tables of each topic with the settings they name, doses with theirs, the rest."""
    data, of_doses = needs.data_of(project), needs.dose_keys(project)
    settings = data.pop("settings")
    parts = {"data.json": {"settings": {key: value for key, value in settings.items() if key not in of_doses}}}
    for name, table in data.pop("tables").items():
        part = parts.setdefault(needs.table_file(table), {"tables": {}, "settings": {}})
        part["tables"][name] = {key: value for key, value in table.items() if key not in READ_ON_PAGES}
        part["settings"] |= {key: settings[key] for key in table.get("reads") or []}
    parts["doses.json"] = {"settings": {key: settings[key] for key in of_doses}, **{name: data.pop(name) for name in ("doses", "notes")}}
    parts["plan.json"] = data
    return {name: needs.plain_json(part).encode() for name, part in parts.items()}


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

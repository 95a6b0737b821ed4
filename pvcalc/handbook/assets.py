"""The folder `assets/<build>/`: everything the reader's browser computes with, named by its own content.

Two editions never share a folder, so a page can only ever reach the files it was built with.
"""

import hashlib
import json
from pathlib import Path

from pvcalc.handbook import catalogue, engine, evaluate

LICENCE = engine.FOLDER / "LICENCE.txt"


def data_text(project) -> str:
    """Settings, decision tables and series as the engine reads them."""
    return _json(data_of(project))


def data_of(project) -> dict:
    """Settings with how far each was seen, decision tables, and the published counts."""
    notes = {key: {"seen": entry.seen, "confirm": entry.confirm or ""} for key, entry in project.data.settings.items()}
    fields = ("kind", "events", "cases", "population", "era", "follow_up", "definition", "source", "seen")
    series = {key: {field: getattr(entry, field) for field in fields} for key, entry in project.data.series.items()
              if entry.kind == "proportion"}
    return {"settings": evaluate.setting_values(project), "notes": notes, "tables": project.tables, "series": series}


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
    shared = engine.shared_files()
    made = {
        # Served as .js: common servers do not know .mjs and would send it with a type that browsers refuse.
        "micropython.js": (engine.MICROPYTHON / "micropython.mjs").read_bytes(),
        "micropython.wasm": (engine.MICROPYTHON / "micropython.wasm").read_bytes(),
        "licence.txt": LICENCE.read_bytes(),
        "worker.js": (engine.FOLDER / "worker.js").read_bytes(),
        "load.js": (engine.FOLDER / "load.js").read_bytes(),
        "modules.json": _json([list(pair) for pair in shared]).encode(),
        "data.json": data_text(project).encode(),
    }
    digests = {name: hashlib.sha256(content).hexdigest() for name, content in made.items()}
    build = hashlib.sha256((_json(digests) + edition_digest(project.root)).encode()).hexdigest()[:12]
    manifest = {"build": build, "files": digests, "modules": catalogue.shared_modules(), "options": engine.OPTIONS,
                "shared": [list(pair) for pair in engine.digests(shared)]}
    made["manifest.json"] = _json(manifest).encode()
    return made


def build_of(made: dict[str, bytes]) -> str:
    """Identifier of the build: a digest over all its files."""
    return json.loads(made["manifest.json"])["build"]


def write(made: dict[str, bytes], site: Path) -> Path:
    """Write the folder below the built site and return it."""
    folder = site / "assets" / build_of(made)
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in made.items():
        (folder / name).write_bytes(content)
    return folder


def _json(value) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), default=str)

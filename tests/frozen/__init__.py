"""The values that the clinical tests compute with: those the handbook was shipped with, whatever a department sets.

A department that adopts the handbook sets its own values, shelf and signatures, and the tests of the rules and of the
engine must stay green for it; its own data have checks of their own (fixture `live`). So the tests stand on
`settings.yml` of this folder. While the handbook holds the same values, `ROOT` is the project itself; when it does not,
it is a copy of the project in the folder for temporary files, with these values and without signatures.

`python -m tests.frozen` writes the file afresh from the handbook, after a change of a shipped value.
"""

import hashlib
import os
import shutil
import tempfile
from pathlib import Path

import yaml

from pvcalc.handbook.data.yaml_lines import LOADER, Document

LIVE = Path(__file__).resolve().parent.parent.parent
VALUES = Path(__file__).parent / "settings.yml"
SETTINGS, SIGNATURES = Path("kb/_data/settings.yml"), Path("kb/_record/signoff.yml")
LEFT_OUT = (".git", "build", "site", "kb", "mkdocs.yml")


def document(path: Path) -> Document:
    """A YAML file with the places of its parts."""
    return Document(path.name, yaml.compose(path.read_text(encoding="utf-8"), Loader=LOADER))


def values_of(read: Document) -> dict:
    """Value of every setting of a settings file, as written."""
    return {key: raw["value"] for key, raw in read.value.items() if isinstance(raw, dict) and "value" in raw}


def with_values(text: str, values: dict) -> str:
    """The text of a settings file with other values; all else stays, letter for letter.

    Args:
        values: for some of its keys the value to write.
    """
    places = []
    for key, entry in yaml.compose(text, Loader=LOADER).value:
        for field, node in getattr(entry, "value", []) if key.value in values else []:
            if field.value == "value":
                end = node.start_mark.index + len(text[node.start_mark.index:node.end_mark.index].rstrip())
                places.append((node.start_mark.index, end, written(values[key.value])))
    for start, end, new in reversed(places):
        text = text[:start] + new + text[end:]
    return text


def written(value) -> str:
    """A value on one line of YAML."""
    return yaml.safe_dump(value, default_flow_style=True, width=10 ** 6, allow_unicode=True).removesuffix("\n").removesuffix("\n...")


def moved(live: dict, frozen: dict) -> dict:
    """The frozen values that differ from those of the handbook."""
    return {key: value for key, value in frozen.items() if key in live and live[key] != value}


def moved_words() -> str:
    """A sentence on how far the handbook has moved from the frozen values; "" when it has not."""
    names = sorted(moved(values_of(document(LIVE / SETTINGS)), document(VALUES).value))
    return names and (f"clinical tests compute with the frozen values of tests/frozen; the handbook's differ in {len(names)}: {', '.join(names[:12])}"
                      "\nshipped values that changed are frozen anew by: python -m tests.frozen") or ""


def project_root() -> Path:
    """The project, or a copy of it with the frozen values where they differ."""
    frozen = document(VALUES).value
    changed = moved(values_of(document(LIVE / SETTINGS)), frozen)
    if not changed and document(LIVE / SIGNATURES).value == {}:
        return LIVE
    found = hashlib.sha256(str(LIVE).encode() + VALUES.read_bytes())
    for path in sorted(path for path in [LIVE / "mkdocs.yml", *(LIVE / "kb").rglob("*")] if path.is_file()):
        found.update(path.relative_to(LIVE).as_posix().encode() + path.read_bytes())
    folder = Path(tempfile.gettempdir()) / f"handbook-frozen-{os.getuid()}-{found.hexdigest()[:16]}"
    if not folder.is_dir():
        _copy(Path(tempfile.mkdtemp(prefix="handbook-frozen-new-")), folder, changed)
    return folder


def _copy(fresh, folder, changed):
    for path in LIVE.iterdir():
        if path.name not in LEFT_OUT:
            (fresh / path.name).symlink_to(path)
    shutil.copy(LIVE / "mkdocs.yml", fresh)
    shutil.copytree(LIVE / "kb", fresh / "kb")
    (fresh / SETTINGS).write_text(with_values((LIVE / SETTINGS).read_text(encoding="utf-8"), changed), encoding="utf-8")
    (fresh / SIGNATURES).write_text("{}\n", encoding="utf-8")
    _quote(fresh)
    try:
        fresh.rename(folder)
    except OSError:  # another worker was quicker
        shutil.rmtree(fresh)


def _quote(folder):
    """The ledger of the frozen values, quoted: what the tests plant in a copy is then the only fault there."""
    from pvcalc.handbook.checks import ledger
    from pvcalc.handbook.data import project
    lines, _ = ledger.lines(project.load(folder))
    ledger.write(folder, lines)
    changes = folder / ledger.CHANGES
    changes.write_text(changes.read_text(encoding="utf-8") + f"\n- The frozen values: `ledger {ledger.digest(lines)}`.\n", encoding="utf-8")


def write() -> None:
    """Take the handbook's values of today as the frozen ones."""
    lines = [f"{key}: {written(value)}" for key, value in values_of(document(LIVE / SETTINGS)).items()]
    VALUES.write_text("# Values the tests compute with; `python -m tests.frozen` writes them.\n" + "\n".join(lines) + "\n", encoding="utf-8")


ROOT = project_root() if VALUES.is_file() else LIVE

"""One handbook on disk: its formulas, data and pages, loaded once for a build or a lint."""

from dataclasses import dataclass, field
from pathlib import Path

from pvcalc.handbook import catalogue
from pvcalc.handbook.findings import Finding

CHAPTERS = "kb"


@dataclass
class Project:
    """A checkout of the handbook.

    Attributes:
        root: folder that holds mkdocs.yml and kb/.
        formulas: catalogue entries by name.
        data: sources, settings and series (`pvcalc.handbook.data.Data`).
        tables: decision tables by name, as plain dicts, with the value of every setting they name.
        written: the same tables as their files write them; the reader's engine puts the values in itself.
        findings: faults of the data files.
        converted: what each chapter gathered, by slug, once it was asked for.
        engine_data: what the reader's engine computes with, as plain data, once it was asked for.
    """

    root: Path
    formulas: dict = field(default_factory=dict)
    data: object = None
    tables: dict = field(default_factory=dict)
    written: dict = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    converted: dict = field(default_factory=dict)
    engine_data: dict | None = None

    @property
    def chapters(self) -> list[Path]:
        """Every Markdown page, in the order of their paths."""
        return sorted((self.root / CHAPTERS).rglob("*.md"))

    def setting(self, key):
        """One setting by key, or None."""
        return self.data.settings.get(key)


_LOADED: dict[Path, Project] = {}


def load(root: Path | str) -> Project:
    """Read the whole project afresh."""
    from pvcalc.binding import bound
    from pvcalc.handbook import data, tables
    root = Path(root).resolve()
    project = Project(root, catalogue.load())
    project.data = data.load(root)
    project.findings = list(project.data.findings)
    project.written, found = tables.load(root, project.data)
    values = {key: setting.value for key, setting in project.data.settings.items()}
    project.tables = {name: bound(table, values) for name, table in project.written.items()}
    project.findings += found
    _LOADED[root] = project
    return project


def of(root: Path | str) -> Project:
    """The project loaded before for this folder, or loaded now."""
    root = Path(root).resolve()
    return _LOADED.get(root) or load(root)


def forget() -> None:
    """Drop what was loaded, so that the next build reads every file again."""
    _LOADED.clear()

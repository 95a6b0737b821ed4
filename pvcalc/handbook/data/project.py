"""One handbook on disk: its formulas, data and pages, loaded once for a build or a lint."""

from dataclasses import dataclass, field
from pathlib import Path

from pvcalc.decision.binding import bound, named
from pvcalc.handbook.data import catalogue, decision_tables, entries, formula_rules
from pvcalc.handbook.data.findings import AuthorFaults, Finding, own

CHAPTERS = "kb"


@dataclass
class Project:
    """A checkout of the handbook.

    Attributes:
        root: folder that holds mkdocs.yml and kb/.
        formulas: catalogue entries by name.
        data: sources, settings and series (`pvcalc.handbook.data.entries.Data`).
        tables: decision tables by name, as plain dicts, with the value of every setting they name.
        written: the same tables as their files write them; the reader's engine puts the values in itself.
        findings: faults of the data files.
        unsure: names with a fault of their own, by kind, or None for a kind whose file cannot be read (`findings.own`).
        converted: what each chapter gathered, by slug, once it was asked for.
        engine_data: what the reader's engine computes with, as plain data, once it was asked for.
    """

    root: Path
    formulas: dict = field(default_factory=dict)
    data: object = None
    tables: dict = field(default_factory=dict)
    written: dict = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    unsure: dict = field(default_factory=dict)
    converted: dict = field(default_factory=dict)
    engine_data: dict | None = None

    @property
    def chapters(self) -> list[Path]:
        """Every Markdown page, in the order of their paths."""
        return sorted((self.root / CHAPTERS).rglob("*.md"))

    @property
    def settings(self) -> dict:
        """Values of all settings by key, as the reader's engine has them."""
        return {key: setting.value for key, setting in self.data.settings.items()}

    def setting(self, key):
        """One setting by key, or None."""
        return self.data.settings.get(key)


_LOADED: dict[Path, Project] = {}


def load(root: Path | str) -> Project:
    """Read the whole project afresh."""
    root = Path(root).resolve()
    project = Project(root, catalogue.load())
    project.data = entries.load(root)
    project.findings = list(project.data.findings)
    project.written, found = decision_tables.load(root, project.data)
    values = project.settings
    for name, table in project.written.items():
        if all(key in values for key in named(table)):  # a setting at fault is told where it stands
            project.tables[name] = bound(table, values)
    project.findings += found
    project.findings += formula_rules.findings(project)
    project.unsure = _unsure(project)
    project.findings = own(project.findings, project.unsure)
    _LOADED[root] = project
    return project


def _unsure(project):
    """Names that stand in a data file and are not usable, by the word a message has for their kind."""
    documents, made = project.data.documents, {}
    for kind, section in (("source", "sources"), ("setting", "settings"), ("series", "series")):
        read = getattr(documents.get(section), "value", None)
        made[kind] = {*read} - {*getattr(project.data, section)} if isinstance(read, dict) else None
    if made["setting"] != set():
        made["topic"] = None  # topics are those of the sound settings
    tables = {name for document in project.data.tables.values() if isinstance(document.value, dict) for name in document.value}
    made["decision table"] = None if project.data.unread_tables else tables - {*project.tables}
    if made["decision table"] != set():
        made["topic of decision tables"] = None
    if any(names != set() for names in made.values()):
        made["row"] = None  # a row is known by its identity in any of them
    return made


def sound(root: Path | str) -> Project:
    """The project read afresh, for whoever computes with it.

    Raises: AuthorFaults with the faults of the data files, so that no number rests on a faulty one.
    """
    project = load(root)
    if project.findings:
        raise AuthorFaults(project.findings)
    return project


def of(root: Path | str) -> Project:
    """The project loaded before for this folder, or loaded now."""
    root = Path(root).resolve()
    return _LOADED.get(root) or load(root)


def forget() -> None:
    """Drop what was loaded, so that the next build reads every file again."""
    _LOADED.clear()

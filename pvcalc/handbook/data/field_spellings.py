"""What people write for a field of the case plan, and the field: `kb/_data/field_spellings.yml`."""

from pathlib import Path

from pvcalc.handbook.data.findings import Finding
from pvcalc.handbook.data.yaml_lines import read_document

SPELLINGS = Path("kb/_data/field_spellings.yml")


def spellings(root: Path) -> dict[str, list[str]]:
    """Spelling to the fields it may mean, one or several: `rvsp` to `rv_systolic_mmhg`."""
    document, _ = read_document(root, root / SPELLINGS)
    return {str(typed): _listed(fields) for typed, fields in (document.value if document is not None else {}).items()}


def _listed(fields) -> list[str]:
    return [fields] if isinstance(fields, str) else list(fields)


def plain(name: str) -> str:
    """A spelling as the list has it: `RV-SP` and `rv sp` are `rv_sp`."""
    return "_".join(name.lower().replace("-", " ").replace("_", " ").replace(".", " ").split())


def lead(known: dict[str, list[str]], name: str) -> str:
    """The sentence that leads from a spelling to its field, or "" when the list does not have it."""
    fields = known.get(plain(name)) or known.get(plain(name).replace("_", ""))
    if not fields:
        return ""
    if len(fields) == 1:
        return f"{name} is not an input of the plan; its field is {fields[0]}."
    return f"{name} is not an input of the plan; choose one or more of {', '.join(fields[:-1])} and {fields[-1]}."


def findings(root: Path, names: list[str]) -> list[Finding]:
    """Faults of the list: a field that does not exist, a spelling that is a field, or one that is not written plainly."""
    document, found = read_document(root, root / SPELLINGS)
    for typed, fields in (document.value.items() if document is not None else ()):
        wrong = [field for field in _listed(fields) if field not in names]
        if wrong or not fields or typed in names or plain(str(typed)) != typed:
            found.append(document.finding((typed,), f"`{typed}` must be small letters and lead to fields of the plan, and be none itself"))
    return found

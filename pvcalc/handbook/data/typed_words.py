"""What readers type, and the handbook's own word for it: `kb/_data/words.yml`."""

from pathlib import Path

from pvcalc.handbook.data.findings import Finding
from pvcalc.handbook.data.yaml_lines import read_document

WORDS = Path("kb/_data/words.yml")


def synonyms(root: Path) -> dict[str, str]:
    """What people type to the handbook's own word: `epinephrine` to `adrenaline`."""
    document, _ = read_document(root, root / WORDS)
    return dict(document.value) if document is not None else {}


def findings(root: Path) -> list[Finding]:
    """Faults of the list of words: not words, or a word that stands for itself."""
    document, found = read_document(root, root / WORDS)
    for typed, ours in (document.value.items() if document is not None else ()):
        if not isinstance(ours, str) or not ours.strip() or ours.lower() == str(typed).lower():
            found.append(document.finding((typed,), f"`{typed}` needs the handbook's own word behind it"))
    return found

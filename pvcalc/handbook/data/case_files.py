"""Case files: one patient as `field: value` lines, invented for the handbook or written by a reader."""

from pathlib import Path

from pvcalc.core.errors import PvcalcError
from pvcalc.handbook.data.yaml_lines import Document, parse

CASES = Path("kb/_data/cases")


def read_case(path: Path) -> dict:
    """Inputs of a case file.

    Raises: PvcalcError in a sentence when the file cannot be read as `field: value` lines.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise PvcalcError(f"{path} cannot be read: {getattr(error, 'strerror', None) or 'it is not text in UTF-8'}.") from None
    try:
        found = Document(str(path), parse(text)).value
    except Exception as error:  # the YAML reader's own errors have no common root with its recursion limit
        raise PvcalcError(f"{path} is not readable as YAML: {str(error).splitlines()[0]}") from None
    if not isinstance(found, dict):
        raise PvcalcError(f"{path} holds no `field: value` lines.")
    return found


def case_files(root: Path) -> dict[str, Path]:
    """Name -> path of every case of the handbook."""
    return {path.stem: path for path in sorted((root / CASES).glob("*.yml"))}

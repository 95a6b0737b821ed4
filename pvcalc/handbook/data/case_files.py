"""Case files: one patient as `field: value` lines, invented for the handbook or written by a reader."""

from pathlib import Path

from yaml.error import MarkedYAMLError, YAMLError

from pvcalc.core.errors import PvcalcError
from pvcalc.handbook.data import text_files
from pvcalc.handbook.data.findings import AuthorFaults
from pvcalc.handbook.data.yaml_lines import Document, parse, told

CASES = Path("kb/_data/cases")


def case_document(path: Path) -> Document:
    """A case file with its lines.

    Raises: PvcalcError with file, line and what is wrong when it cannot be read as `field: value` lines.
    """
    try:
        document = Document(str(path), parse(text_files.read_shown(path, str(path))))
    except AuthorFaults as faults:
        raise PvcalcError(str(faults.findings[0])) from None
    except MarkedYAMLError as error:
        line, sentence = told(error)
        raise PvcalcError(f"{path}:{line}: {sentence}") from None
    except YAMLError as error:
        raise PvcalcError(f"{path}:1: not readable as YAML: {str(error).splitlines()[0]}") from None
    if not isinstance(document.value, dict):
        raise PvcalcError(f"{path}:1: holds no `field: value` lines")
    return document


def read_case(path: Path) -> dict:
    """Inputs of a case file. Raises: as `case_document`."""
    return case_document(path).value


def case_files(root: Path) -> dict[str, Path]:
    """Name -> path of every case of the handbook."""
    return {path.stem: path for path in sorted((root / CASES).glob("*.yml"))}

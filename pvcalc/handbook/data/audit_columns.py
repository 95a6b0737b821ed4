"""The columns of an audit file, as the department publishes them."""

import json
from pathlib import Path

COLUMNS = Path("kb/downloads/audit-columns.json")


def schema(root: Path) -> dict:
    """The columns of an audit file."""
    return json.loads((root / COLUMNS).read_text(encoding="utf-8"))

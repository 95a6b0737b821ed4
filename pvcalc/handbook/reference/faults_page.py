"""The page of faults: what an author or a data file can get wrong, what the tool then says, and what mends it.

Nothing here is retyped: each fault is planted while the page is made, and the message shown is the one it brought.
"""

import tempfile
from html import escape
from pathlib import Path
from types import SimpleNamespace

from pvcalc.handbook.authoring import extension
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.checks import chapter_faults, data_faults, table_faults
from pvcalc.handbook.data import entries, decision_tables
from pvcalc.handbook.data.findings import AuthorFaults
from pvcalc.handbook.data.yaml_lines import read_document

PAGE = "kb/example.md"
HEADS = ["Fault", "Written", "What is said, with file and line"]


@generated("faults")
def faults_page(project, page):
    """Every planted fault by kind."""
    groups = ([(group, [_author(project, fault) for fault in group.faults]) for group in chapter_faults.AUTHOR]
              + [(group, [_data(fault) for fault in group.faults]) for group in data_faults.DATA]
              + [(group, [_table(fault) for fault in group.faults]) for group in table_faults.TABLES])
    count = sum(len(rows) for _, rows in groups)
    parts = [f"<p>{count} faults of authors and of data. Each stops <code>python -m pvcalc lint</code> and the build, with the file "
             "and the line; all faults of a handbook are told at once. The messages below were brought about while this page "
             "was made.</p>"]
    for group, rows in groups:
        parts.append(f"<h2>{escape(group.title)}</h2><p><strong>What mends it:</strong> {escape(group.mends)}</p>{table(HEADS, rows, 'faults')}")
    return "".join(parts)


def _author(project, fault):
    name, text, _, words = fault
    try:
        extension.convert(project.root, PAGE, text, draft=True)
    except AuthorFaults as caught:
        return _row(name, text, [one for one in caught.findings if all(word in one.message for word in words)])
    raise ValueError(f"the planted fault “{name}” was not noticed")


def _data(fault):
    section, old, new, _, words = fault
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name, text in data_faults.planted(section, old, new).items():
            path = root / entries.file_of(name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        found = [one for one in entries.load(root).findings if words in one.message]
    return _row(f"{section}: {_change(old, new)}", new.strip() or f"(without {old.strip()})", found)


def _table(fault):
    name, old, new, also, by, words = fault
    text, _ = table_faults.planted(old, new, also, by)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "_tables" / "example.yml"
        path.parent.mkdir()
        path.write_text(text.lstrip("\n"), encoding="utf-8")
        document, found = read_document(Path(folder), path)
        _, more = decision_tables.load(Path(folder), SimpleNamespace(tables={"example": document}, sources=table_faults.WORKS, settings={}, documents={}))
    written = (by if "# HERE" in by else new).replace(" # HERE", "") if not also or "# HERE" in by else by or f"(without {also.strip()})"
    return _row(name, written, [one for one in found + more if words in one.message])


def _change(old, new):
    return f"{old.strip().splitlines()[0]} left out" if not new.strip() else f"{old.strip().splitlines()[0]} changed"


def _row(name, written, findings):
    if not findings:
        raise ValueError(f"the planted fault “{name}” was not noticed")
    return [escape(name), f"<pre><code>{escape(written)}</code></pre>", f"<code>{escape(str(findings[0]))}</code>"]

"""All author and data faults at once, without building the site."""

from pvcalc.handbook import authoring, pages
from pvcalc.handbook.findings import Finding


def findings(project) -> list[Finding]:
    """Faults of the data files and of every chapter, sorted by file and line."""
    found = list(project.findings)
    for path in project.chapters:
        try:
            authoring.convert(project.root, *pages.source(project.root, path), draft=True)
        except authoring.AuthorFaults as faults:
            found += faults.findings
    return sorted(set(found))

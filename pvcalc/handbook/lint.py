"""All author and data faults at once, without building the site."""

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from pvcalc.handbook import authoring, expected, pages, project as projects
from pvcalc.handbook.findings import Finding


def findings(project, processes: int = 1) -> list[Finding]:
    """Faults of the data files and of every chapter, sorted by file and line.

    Args:
        project: a loaded project.
        processes: how many share the chapters; more than one only where a process can be forked safely.
    """
    found = list(project.findings) + expected.findings(project)
    if processes > 1:
        # Long chapters cost most: dealt out by size, each share ends at about the same time.
        chapters = sorted(project.chapters, key=lambda path: -path.stat().st_size)
        shares = [chapters[first::processes] for first in range(processes)]
        with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
            for share in pool.map(_of_share, [project.root] * processes, shares):
                found += share
    else:
        found += _of_chapters(project, project.chapters)
    return sorted(set(found))


def usable_processes() -> int:
    """Two on a Linux machine with two free processors, otherwise one: elsewhere a fork is not safe or not there."""
    return 2 if sys.platform == "linux" and len(os.sched_getaffinity(0)) > 1 else 1


def _of_share(root, chapters):
    """In a fork the project is already loaded: `of` finds it."""
    return _of_chapters(projects.of(root), chapters)


def _of_chapters(project, chapters):
    found = []
    for path in chapters:
        try:
            authoring.convert(project.root, *pages.source(project.root, path), draft=True)
        except authoring.AuthorFaults as faults:
            found += faults.findings
    return found

"""All author and data faults at once, without building the site."""

import os
import re
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pvcalc
from pvcalc.handbook.authoring import extension, front_matter
from pvcalc.handbook.checks import expected, situations
from pvcalc.handbook.data import field_spellings, project as projects, typed_words
from pvcalc.handbook.data.findings import AuthorFaults, Finding, own
from pvcalc.plan.inputs import NAMES


def findings(project, processes: int = 1) -> list[Finding]:
    """Faults of the data files and of every chapter, sorted by file and line.

    Args:
        project: a loaded project.
        processes: how many share the chapters; more than one only where a process can be forked safely.
    """
    found = list(project.findings) + expected.findings(project) + situations.findings(project) + unread_settings(project) + typed_words.findings(project.root)
    found += field_spellings.findings(project.root, NAMES)
    if processes > 1:
        # Long chapters cost most: dealt out by size, each share ends at about the same time.
        chapters = sorted(project.chapters, key=lambda path: -path.stat().st_size)
        shares = [chapters[first::processes] for first in range(processes)]
        with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
            for share in pool.map(_of_share, [project.root] * processes, shares):
                found += share
    else:
        found += _of_chapters(project, project.chapters)
    return sorted(set(own(found, project.unsure)))


WORD = re.compile(r"[a-z][a-z0-9_]+")
SHOWN_TOPIC = re.compile(r"^```settings\n(?:(?!```).*\n)*?topic: (.+)\n", re.MULTILINE)
CASES = ("_expected", "_situations", "cases")  # patients name settings as their ground; that turns nothing


def unread_settings(project) -> list[Finding]:
    """Settings that no chapter, table, data file, template or line of code names: a lever that moves nothing."""
    if not (project.root / "mkdocs.yml").is_file():
        return []  # a copy of some files says nothing of the rest
    data = [path for path in (project.root / "kb" / "_data").rglob("*.yml") if path.name != "settings.yml" and path.parent.name not in CASES]
    chapters = [path.read_text(encoding="utf-8") for path in project.chapters if path.stem != "changes"]
    code = [*Path(pvcalc.__file__).parent.rglob("*.py"), *(project.root / "site_overrides").rglob("*.html")]
    topics = {topic.strip() for text in chapters for topic in SHOWN_TOPIC.findall(text)}
    named = set()
    for text in chapters + [path.read_text(encoding="utf-8") for path in [*data, *code]]:
        named.update(WORD.findall(text))
    document = project.data.documents.get("settings")
    return [document.finding((key,), f"{key}: nothing reads this setting; name it where it decides, or take it away")
            for key, setting in project.data.settings.items() if key not in named and setting.topic not in topics]


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
            extension.convert(project.root, *front_matter.source(project.root, path), draft=True)
        except AuthorFaults as faults:
            found += faults.findings
        except Exception as error:  # of a library, or ours: the author still learns where
            found.append(Finding(path.relative_to(project.root).as_posix(), 1, f"cannot be converted: {type(error).__name__}: {error}"))
    return found

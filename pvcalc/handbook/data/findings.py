"""Findings: what is wrong in the files of the handbook, each with its file and line."""

import difflib
import re
from typing import NamedTuple


class Finding(NamedTuple):
    """One fault. It sorts by file, then line, and prints as `kb/_data/x.yml:12: what is wrong`."""

    path: str
    line: int
    message: str

    def __str__(self):
        return f"{self.path}:{self.line}: {self.message}"


class AuthorFaults(Exception):
    """One or more author faults; `findings` holds them, the text lists them a line each."""

    def __init__(self, findings):
        super().__init__("\n" + "\n".join(str(finding) for finding in findings))
        self.findings = findings


def nearest(name, names):
    """The known name most like `name`, or "" when none is alike."""
    close = difflib.get_close_matches(str(name), [str(known) for known in names], n=1, cutoff=0.5)
    return close[0] if close else ""


def unknown(what, name, names):
    """A sentence for a name that nothing answers to: what it is, and the nearest known name."""
    like = nearest(name, names)
    sentence = f"no {what} is called `{name}`"
    return f"{sentence}; nearest: `{like}`" if like else sentence


UNKNOWN = re.compile(r"no ([a-z][a-z ]*) is called `([^`]*)`")


def own(findings, unsure):
    """The findings without those that only follow from another fault.

    Args:
        findings: all of them.
        unsure: for each kind of thing (`setting`, `source`) the names that stand in a file but have a fault of their own, or
            None when their file could not be read: that nobody knows such a name says nothing then.
    """
    return [finding for finding in findings if not any(follows(kind, name, unsure) for kind, name in UNKNOWN.findall(finding.message))]


def follows(kind, name, unsure):
    """True when an unknown name is no fault of whoever used it."""
    return kind in unsure and (unsure[kind] is None or name in unsure[kind])


def report(findings):
    """All findings as text, sorted, one a line, each once."""
    return "\n".join(str(finding) for finding in sorted(set(findings)))

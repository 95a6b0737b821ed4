"""Findings: what is wrong in the files of the handbook, each with its file and line."""

import difflib
from typing import NamedTuple


class Finding(NamedTuple):
    """One fault. It sorts by file, then line, and prints as `kb/_data/x.yml:12: what is wrong`."""

    path: str
    line: int
    message: str

    def __str__(self):
        return f"{self.path}:{self.line}: {self.message}"


def nearest(name, names):
    """The known name most like `name`, or "" when none is alike."""
    close = difflib.get_close_matches(str(name), [str(known) for known in names], n=1, cutoff=0.5)
    return close[0] if close else ""


def unknown(what, name, names):
    """A sentence for a name that nothing answers to: what it is, and the nearest known name."""
    like = nearest(name, names)
    sentence = f"no {what} is called `{name}`"
    return f"{sentence}; nearest: `{like}`" if like else sentence


def report(findings):
    """All findings as text, sorted, one a line, each once."""
    return "\n".join(str(finding) for finding in sorted(set(findings)))

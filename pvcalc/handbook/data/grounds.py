"""What a work can carry: a value says how its work was read, and no dose, limit or house rule rests on a low-grade page alone."""

from pvcalc.handbook.data.schemas import Source


def read_fault(seen: str, key: str, sources: dict[str, Source]) -> str:
    """The fault of a value that says read and rests on a work that was read second-hand, or "".

    Args:
        seen: what the value says of itself; key: its work; sources: the sound works by key.
    """
    work = sources.get(key)
    if work is None or seen != "read" or work.read_how != "second":
        return ""
    return f"`{key}` was read second-hand ({work.extent}); allowed here: second"


def grade_fault(seen: str, key: str, sources: dict[str, Source]) -> str:
    """The fault of a setting or a row of a document that rests on a low-grade page alone, or "".

    Such a page may illustrate; what is decided is practice, or has a better work.
    """
    work = sources.get(key)
    if work is None or seen not in ("read", "second") or work.grade != "low":
        return ""
    return f"`{key}` is of low grade: name a better work, or let the department decide it (practice)"

"""Reading the source of a page: its front matter cut off, its line numbers kept."""

from pathlib import Path


def source(root: Path, path: Path) -> tuple[str, str, int]:
    """(shown path, Markdown text, line of the file at which that text starts)."""
    text = path.read_text(encoding="utf-8")
    first = first_line(text)
    body = "\n".join(text.splitlines()[first - 1:])
    return path.relative_to(root).as_posix(), body, first


def first_line(text: str) -> int:
    """Line at which the Markdown starts: after the front matter, counted from 1, blank lines skipped as MkDocs does."""
    lines = text.splitlines()
    if not lines or lines[0].strip() != "---":
        return 1
    for number in range(1, len(lines)):
        if lines[number].strip() in ("---", "..."):
            break
    else:
        return 1
    number += 1
    while number < len(lines) and not lines[number].strip():
        number += 1
    return number + 1

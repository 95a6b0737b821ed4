"""Files that somebody would miss, written beside the old one and then exchanged for it.

A full disk or a kill in the middle leaves the old file as it was; a reader meets the old or the new one, never a half.
"""

import os
import tempfile
from contextlib import contextmanager
from pathlib import Path


def write_text(path: Path, text: str) -> None:
    """Write a text in UTF-8 with LF line ends. Raises: OSError; the old file then still stands."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Write bytes. Raises: OSError; the old file then still stands."""
    handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as fresh:
            fresh.write(content)
            fresh.flush()
            os.fsync(fresh.fileno())
        # A temporary file is for its owner alone; what it replaces was for whoever could read the folder.
        os.chmod(beside, path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask())
        os.replace(beside, path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


@contextmanager
def alone(path: Path):
    """Hold the folder of a file while it is read and written anew; another process that asks waits.

    Where the system knows no such lock nothing is held. The lock ends with its process, whatever ends that.
    """
    try:
        import fcntl
    except ImportError:
        yield
        return
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def _umask():
    mask = os.umask(0)
    os.umask(mask)
    return mask

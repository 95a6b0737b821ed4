"""Generated reference pages by name: each is a function in a file of `reference/`, found because it stands there."""

import importlib
import pkgutil
from functools import cache
from pathlib import Path

ROOM = "pvcalc.handbook.reference"  # nothing here imports it by name: it rests on this room, not this room on it
_DECLARED = {}


def generated(name: str):
    """Declare a page; `page: name` in a `generated` fence is its place.

    The function takes the project and the page that is being written, and returns HTML.
    """
    def declared(function):
        _DECLARED[name] = function
        return function
    return declared


@cache
def pages() -> dict:
    """Every generated page: name to function."""
    folder = Path(__file__).parents[1] / ROOM.rpartition(".")[2]
    for found in pkgutil.iter_modules([str(folder)]):
        importlib.import_module(f"{ROOM}.{found.name}")
    return dict(_DECLARED)

"""Which pictures a change in one of the drawing modules can reach, read from the text of all of them."""

import ast
import functools
from pathlib import Path


def is_drawing(module):
    """True for the modules that make pictures."""
    return module.startswith("draw.")


def path_of(root, module):
    """The file of a module such as `draw.svg`, below the folder `root`."""
    return Path(root) / "pvcalc" / (module.replace(".", "/") + ".py")


@functools.cache
def reached(root, module):
    """Each name of a module with the pictures that use it, in whatever module they stand; all pictures, when none does."""
    users, pictures = {}, set()
    for path in sorted((Path(root) / "pvcalc" / "draw").glob("*.py")):
        tree, home = ast.parse(path.read_text(encoding="utf-8")), f"draw.{path.stem}"
        came_from = {}
        for node in tree.body:
            if isinstance(node, ast.ImportFrom) and node.module.startswith("pvcalc.draw."):
                came_from.update({alias.name: node.module.removeprefix("pvcalc.") for alias in node.names})
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and any(isinstance(one, ast.Call) and one.func.id == "drawn" for one in node.decorator_list):
                pictures.add(node.name)
            for used in {one.id for one in ast.walk(node) if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Load)}:
                for name in _defined(node):
                    users.setdefault((came_from.get(used, home), used), set()).add((home, name))
    own = ast.parse(path_of(root, module).read_text(encoding="utf-8")).body
    return {name: _followed((module, name), users) & pictures or pictures for node in own for name in _defined(node)}


def _defined(node):
    if hasattr(node, "name"):
        return {node.name}
    return {one.id for one in ast.walk(node) if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store)}


def _followed(start, users):
    """Names of all that uses something, directly or through others."""
    seen, waiting = {start}, [start]
    while waiting:
        for one in users.get(waiting.pop(), ()):
            if one not in seen:
                seen.add(one)
                waiting.append(one)
    return {name for _, name in seen}

"""The rooms of the house, drawn from the files: who leans on whom, and that DEVELOPERS.md draws them so."""

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
# An import inside a function is a choice with a reason, never a way around a circle.
LATE = {
    "page.block": "a phone loads pictures and decision tables only when a page asks for them",
    "page.bridge": "a phone loads the plan, the audit and the pictures only when a page asks for them",
    "audit.steps": "its charts come after the counts, and are large",
    "handbook.hooks": "every build forgets all modules first, so that a preview shows no older number",
    "handbook.cli.commands": "a command loads what it needs when it runs",
    "handbook.cli.plan_command": "a command loads what it needs when it runs",
    "handbook.cli.audit_command": "a command loads what it needs when it runs",
    "handbook.cli.expected_command": "a command loads what it needs when it runs",
    "handbook.cli.sources_command": "a command loads what it needs when it runs",
}


def _modules():
    """Name below the package, such as `plan.sizing`, to its parsed file."""
    files = [path for path in (ROOT / "pvcalc").rglob("*.py") if "node_modules" not in path.parts]
    named = {".".join(path.relative_to(ROOT / "pvcalc").with_suffix("").parts): path for path in files}
    return {name.removesuffix(".__init__"): ast.parse(path.read_text(encoding="utf-8")) for name, path in named.items() if name != "__init__"}


MODULES = _modules()


def imports(name, tree):
    """(module, name taken from it or "", the node) of everything of the package that a module imports, wherever it stands."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "pvcalc":
            origin = node.module.removeprefix("pvcalc").removeprefix(".")
            for alias in node.names:
                inner = f"{origin}.{alias.name}".removeprefix(".")
                found.append((inner, "", node) if inner in MODULES else (origin, alias.name, node))
    return found


ARROWS = {name: {other for other, _, _ in imports(name, tree)} - {""} for name, tree in MODULES.items()}


def room_of(name):
    """`plan.sizing` stands in `plan`, `handbook.data.project` in `handbook/data`, `handbook.hooks` in `handbook`."""
    parts = name.split(".")
    if parts[0] == "handbook" and (len(parts) > 2 or (ROOT / "pvcalc" / Path(*parts)).is_dir()):
        return "/".join(parts[:2])
    return parts[0]


def drawn():
    """The table of DEVELOPERS.md: (room, rooms it leans on), the highest floor first."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `([\w/]+)` \| [^|\n]+ \| ([^|\n]*) \|$", text.partition("## The rooms")[2].partition("\n## ")[0], re.MULTILINE)
    return [(room, set(re.findall(r"`([\w/]+)`", leans))) for room, leans in rows]


def test_the_drawing_shows_every_room_with_what_it_leans_on():
    leaning = {}
    for name, others in ARROWS.items():
        leaning.setdefault(room_of(name), set()).update(room_of(other) for other in others)
    rooms = {room: others - {room} for room, others in leaning.items() if room != "__main__"}
    wrong = {room: ", ".join(f"`{other}`" for other, _ in drawn() if other in others) or "nothing"
             for room, others in rooms.items() if dict(drawn()).get(room) != others}
    assert wrong == {}, "write this into the right column of the rooms in DEVELOPERS.md"
    assert len(drawn()) == len(rooms)


def test_no_arrow_leads_up():
    order = [room for room, _ in drawn()]
    assert len(order) == len(set(order))
    assert [(name, other) for name, others in ARROWS.items() for other in others
            if room_of(name) != "__main__" and order.index(room_of(other)) < order.index(room_of(name))] == []


def test_no_module_leans_on_itself_through_others():
    def reached(name):
        found, waiting = set(), [*ARROWS[name]]
        while waiting:
            other = waiting.pop()
            if other not in found:
                found.add(other)
                waiting += ARROWS[other]
        return found
    assert [name for name in MODULES if name in reached(name)] == []


def test_an_import_inside_a_function_has_its_reason():
    late = {name for name, tree in MODULES.items() for _, _, node in imports(name, tree) if node not in tree.body}
    assert late == set(LATE)


def _declared(tree):
    names = set()
    for node in tree.body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            names.add(node.name)
        for target in getattr(node, "targets", [node.target] if isinstance(node, ast.AnnAssign) else []):
            names |= {one.id for one in ast.walk(target) if isinstance(one, ast.Name)}
    return names


def test_a_name_is_taken_from_the_module_that_declares_it():
    """A module that hands on what another declares would be a second place to look for it."""
    trees = dict(MODULES)
    for path in (ROOT / "tests").rglob("*.py"):
        trees[path.relative_to(ROOT).as_posix()] = ast.parse(path.read_text(encoding="utf-8"))
    assert [(name, other, taken) for name, tree in trees.items() for other, taken, _ in imports(name, tree)
            if taken and other in MODULES and taken not in _declared(MODULES[other])] == []


def test_in_the_build_a_file_name_means_one_thing():
    names = [name.split(".") for name in MODULES if name.startswith("handbook.")]
    count = Counter(parts[-1] for parts in names)
    assert [name for name, times in count.items() if times > 1] == []


APART = {"documents", "helpers", "mutation", "programs", "browser", "bench", "gates", "frozen"}  # of tests/: no room of the house


def test_every_test_stands_in_a_room():
    folders = {path.parent.relative_to(ROOT / "tests").as_posix() for path in (ROOT / "tests").rglob("test_*.py")}
    rooms = {room for room, _ in drawn()} | {room.removeprefix("handbook/") for room, _ in drawn()} | APART
    assert {folder.split("/")[0] for folder in folders} <= rooms and "." not in folders


@pytest.mark.parametrize("room", [room for room, _ in drawn()])
def test_a_package_says_its_rule(room):
    text = (ROOT / "pvcalc" / room / "__init__.py").read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text)) and len(text.splitlines()) == 1

"""Signatures: a role answers for a chapter as it stood, and the page says by itself when it no longer stands so.

A signature holds a digest of every part the chapter rests on: its text, its numbers, its entries in the
data files, and the code that computes them. One part moved is enough for the signature to lapse, and the
page names that part.
"""

import ast
import hashlib
import json
import sys
from datetime import date
from functools import cache
from pathlib import Path

import yaml
from pydantic import TypeAdapter, ValidationError

import pvcalc
from pvcalc.draw import svg
from pvcalc.handbook.authoring import extension
from pvcalc.handbook.data import writing
from pvcalc.handbook.data.findings import AuthorFaults
from pvcalc.handbook.data.schemas import Role
from pvcalc.handbook.data.yaml_lines import read_document

SIGNATURES = "kb/_record/signoff.yml"
NEVER_SIGNED = ("changes", "reference/")  # a list of what changed, and pages the build makes


class Quoted(str):
    """A text that is written in quotes."""


class Dumper(yaml.SafeDumper):
    """Writes the signatures."""


Dumper.add_representer(Quoted, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text, style="'"))


class NotAllowed(ValueError):
    """A signature that cannot be given, with the reason."""


def digest(text: str) -> str:
    """Twelve hexadecimal digits of a text with LF line ends."""
    return hashlib.sha256(text.replace("\r\n", "\n").encode()).hexdigest()[:12]


def signable(project) -> list[str]:
    """Slugs of the chapters that want a signature, in the order of their paths."""
    slugs = [path.relative_to(project.root / "kb").as_posix().removesuffix(".md") for path in project.chapters]
    return [slug for slug in slugs if not slug.startswith(NEVER_SIGNED)]


def parts_of(project, slug: str) -> dict[str, str]:
    """Digest of every part a chapter rests on, by name.

    Raises: NotAllowed for a page that is not there; AuthorFaults for one with faults.
    """
    path = project.root / "kb" / f"{slug}.md"
    if not path.is_file():
        raise NotAllowed(f"there is no page kb/{slug}.md")
    return parts_of_page(project, extension.gathered(project, slug), path.read_text(encoding="utf-8"))


def parts_of_page(project, page, text: str) -> dict[str, str]:
    """Digest of every part of a page that was just converted; `text` is its whole source."""
    parts = {"text": digest(text), "numbers": digest("\n".join(dict.fromkeys(page.ledger)))}
    modules = set()
    for kind, name in page.rests_on:
        if kind in ("setting", "source", "series"):
            entries = getattr(project.data, {"setting": "settings", "source": "sources", "series": "series"}[kind])
            if name in entries:
                parts[f"{kind} {name}"] = digest(entries[name].model_dump_json())
        elif kind == "table":
            parts[f"table {name}"] = digest(json.dumps(project.written[name], sort_keys=True, default=str))
        elif kind == "dose":
            parts[f"dose {name}"] = digest(project.data.doses[name].model_dump_json())
            modules.add("pvcalc.plan.doses")
        elif kind == "formula":
            modules.add(sys.modules[project.formulas[name].formula.function.__module__].__name__)
        elif kind == "picture":
            modules.add(svg.PICTURES[name].function.__module__)
    for module in sorted(_with_imports(modules)):
        parts[f"code {module}"] = _digest_of_module(module)
    return dict(sorted(parts.items()))


def _path(module):
    return Path(pvcalc.__file__).parent.joinpath(*module.split(".")[1:]).with_suffix(".py")


@cache
def _digest_of_module(module):
    return digest(_path(module).read_text(encoding="utf-8"))


@cache
def _imports(module):
    """Shared modules that one module imports."""
    found = set()
    for node in ast.walk(ast.parse(_path(module).read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("pvcalc"):
            names = [node.module, *[f"{node.module}.{alias.name}" for alias in node.names]]
            found.update(name for name in names if _path(name).is_file())
    return found


def _with_imports(modules):
    reached, waiting = set(), list(modules)
    while waiting:
        module = waiting.pop()
        if module not in reached:
            reached.add(module)
            waiting += _imports(module)
    return reached


def changed_since(signature, parts: dict[str, str]) -> list[str]:
    """Names of the parts that moved, came or went since the signature, sorted."""
    before = signature.rests_on
    return sorted(name for name in {*before, *parts} if before.get(name) != parts.get(name))


def sign(project, slug: str, role: str, on: date, review_by: date) -> dict:
    """Record a signature in the data file and return it.

    Raises: NotAllowed when the role is none, the day lies ahead, the review is not after it, or the page is not one to sign.
    """
    if slug not in signable(project):
        raise NotAllowed(f"{slug} is not a page to sign; these are: {', '.join(signable(project))}")
    try:
        TypeAdapter(Role).validate_python(role)
    except ValidationError:
        raise NotAllowed(f"{role!r} is no role; sign with one in 4 to 60 small letters, such as “consultant in charge”, never with a name") from None
    if on > date.today():
        raise NotAllowed(f"{on} lies in the future; a page is signed on the day it is read")
    if review_by <= on:
        raise NotAllowed(f"the review ({review_by}) must lie after the day of signing ({on})")
    path = project.root / SIGNATURES
    parts = parts_of(project, slug)
    with writing.alone(path):
        return _recorded(project, path, slug, {"role": role, "signed_on": on, "review_by": review_by, "rests_on": parts})


def _recorded(project, path, slug, signature):
    """Add one signature to the file as it is now, which another process may have written since."""
    document, findings = read_document(project.root, path)
    if document is None or findings:
        raise AuthorFaults(findings)
    recorded = dict(document.value)
    recorded[slug] = signature
    head = ("# Which role answers for which chapter as it stood; written by `python -m pvcalc sign`, never by hand.\n"
            "# Roles only, no names.\n")
    # Always quoted: a digest such as 123456e78901 would be read back as a number.
    written = {key: {**entry, "rests_on": {part: Quoted(value) for part, value in entry["rests_on"].items()}}
               for key, entry in recorded.items()}
    writing.write_text(path, head + yaml.dump(written, Dumper=Dumper, allow_unicode=True, sort_keys=True))
    return recorded[slug]

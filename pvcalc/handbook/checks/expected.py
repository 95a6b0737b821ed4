"""What the plan must say: invented patients with statements that experts wrote before any program answered.

A file of `kb/_data/_expected/` maps an id to a patient (`given`, in the plan's own fields) and statements of four kinds:
`says` and `never` about the text, `verdict` about the plan's record of its judgement, `answers` about one document's row.
Each statement has a ground and the role that could check it. The same file runs in both interpreters and is published.
"""

import json
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError, model_validator

from pvcalc.core import formula as core
from pvcalc.handbook.data.findings import Finding, unknown
from pvcalc.handbook.data.schemas import Entry, Words
from pvcalc.handbook.data.yaml_lines import Document, read_document
from pvcalc.plan.inputs import NAMES

FOLDER = Path("kb/_data/_expected")
GLANCE = "glance"
GROUNDS = ("row", "source", "setting", "table", "trade", "practice")
# The words of the plan's record of its judgement (`plan()["verdict"]`).
VERDICT = ("grade", "confirmed", "documents_differ", "rv_pressure", "doubts", "fit", "treat", "treat_answer", "balloon_mm",
           "stop", "redirect", "dose_rule", "contrast_step", "stage", "after")
# Lists of codes: what is expected must be among them, the rest may stand beside it.
CONTAINED = ("doubts", "fit", "stop")


class Statement(Entry):
    """One thing a colleague would hold the plan to, with its ground and who could check it."""

    ground: Words
    by: Words


def one_kind(statement):
    """A statement has `any` or `all`, one of the two."""
    if bool(statement.any) == bool(statement.all):
        raise ValueError("needs `any` or `all`, one of the two")
    return statement


class Says(Statement):
    """`any`: one of these phrases stands in the text. `all`: these stand together on one line.

    `within` asks for the first lines only.
    """

    any: list[Words] = []
    all: list[Words] = []
    within: Annotated[int, Field(strict=True, ge=1, le=40)] | None = None
    _one_kind = model_validator(mode="after")(one_kind)


class Never(Statement):
    """`any`: none of these phrases stands in the text. `all`: no line holds all of these."""

    any: list[Words] = []
    all: list[Words] = []
    within: Annotated[int, Field(strict=True, ge=1, le=40)] | None = None
    _one_kind = model_validator(mode="after")(one_kind)


class Answers(Statement):
    """The answer of one decision table, by its name."""

    table: Words
    answer: Words


class Case(Entry):
    """One invented patient."""

    title: Words
    why: Words
    given: Annotated[dict[str, Any], Field(min_length=1)]
    says: list[Says] = []
    never: list[Never] = []
    verdict: list[dict[str, Any]] = []
    answers: list[Answers] = []

    @property
    def statements(self) -> int:
        """How many statements it makes."""
        return len(self.says) + len(self.never) + len(self.verdict) + len(self.answers)


@dataclass
class Cases:
    """Every case by id, the group (file) it stands in, and the faults of the files."""

    cases: dict[str, Case] = field(default_factory=dict)
    groups: dict[str, list[str]] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    documents: dict[str, Document] = field(default_factory=dict)

    @property
    def statements(self) -> int:
        return sum(case.statements for case in self.cases.values())


def load(root: Path) -> Cases:
    """Read all files below `root`; every fault is in `.findings` with file and line, nothing is raised."""
    found = Cases()
    for path in sorted((Path(root) / FOLDER).glob("*.yml")):
        document, faults = read_document(Path(root), path)
        found.findings += faults
        if document is None:
            continue
        found.documents[path.stem] = document
        found.groups[path.stem] = []
        if not isinstance(document.value, dict):
            found.findings.append(document.finding((), f"{path.name} must be a mapping of ids to cases"))
            continue
        for key, raw in document.value.items():
            _read_case(found, document, path.stem, key, raw)
    return found


def _read_case(found, document, group, key, raw):
    if key in found.cases:
        found.findings.append(document.finding((key,), f"{key}: another file has a case of this id"))
        return
    try:
        found.cases[key] = TypeAdapter(Case).validate_python(raw)
        found.groups[group].append(key)
    except ValidationError as fault:
        for error in fault.errors(include_url=False):
            place = ".".join(str(step) for step in error["loc"])
            found.findings.append(document.finding((key, *error["loc"]), f"{key}: `{place}`: {error['msg']}"))


def findings(project) -> list[Finding]:
    """Faults that need the rest of the handbook: fields the plan does not ask for, words its verdict does not have,
    tables and grounds that do not exist."""
    fields, verdict_words = NAMES, [*VERDICT, "refused"]
    read = load(project.root)
    found = list(read.findings)
    facts = known_facts(project)
    for group, document in read.documents.items():
        for key in read.groups[group]:
            case = read.cases[key]
            for name in case.given:
                if name not in fields:
                    found.append(document.finding((key, "given", name),
                                                  f"{key}: {unknown('input of the plan', name, fields)}"))
            for kind in ("says", "never", "answers"):
                for place, statement in enumerate(getattr(case, kind)):
                    fault = ground_fault(project, facts, statement.ground)
                    if fault:
                        found.append(document.finding((key, kind, place), f"{key}: {fault}"))
            for place, statement in enumerate(case.answers):
                if statement.table not in project.tables:
                    found.append(document.finding((key, "answers", place),
                                                  f"{key}: {unknown('decision table', statement.table, project.tables)}"))
            for place, statement in enumerate(case.verdict):
                for fault in verdict_faults(project, facts, statement, verdict_words):
                    found.append(document.finding((key, "verdict", place), f"{key}: {fault}"))
    return found


def verdict_faults(project, facts, statement, verdict_words):
    """Sentences for what is wrong in one statement about the verdict."""
    for name in ("ground", "by"):
        if not isinstance(statement.get(name), str):
            yield f"a statement about the verdict needs `{name}`"
    names = [name for name in statement if name not in ("ground", "by")]
    if not names:
        yield "a statement about the verdict needs a word of the verdict"
    for name in names:
        if name not in verdict_words:
            yield unknown("word of the verdict", name, verdict_words)
    fault = ground_fault(project, facts, str(statement.get("ground", "")))
    if fault:
        yield fault


def known_facts(project) -> set[str]:
    """Every row identity that tables, settings, published results and printed examples carry, without what follows a colon."""
    facts = {row["id"] for table in project.tables.values() for row in table["rows"]}
    facts |= {one.fact for group in (project.data.settings, project.data.series, project.data.hazards)
              for one in group.values() if one.fact}
    facts |= {example.fact for example in core.PRINTED}
    return {fact.partition(":")[0] for fact in facts if fact}


def ground_fault(project, facts, ground) -> str:
    """A sentence when a ground names something that does not exist, else ""."""
    kind, colon, rest = ground.partition(":")
    rest = rest.strip()
    if not colon or kind not in GROUNDS or not rest:
        return f"the ground `{ground}` is none; begin it with one of: {', '.join(name + ':' for name in GROUNDS)}"
    name = rest.split()[0].strip(",;")
    if kind == "row":
        return "" if name.partition(":")[0] in facts else unknown("row", name, facts)
    if kind == "source":
        return "" if name in project.data.sources else unknown("source", name, project.data.sources)
    if kind == "setting":
        return "" if name in project.data.settings else unknown("setting", name, project.data.settings)
    if kind == "table":
        return "" if name in project.tables else unknown("decision table", name, project.tables)
    return "" if len(rest.split()) >= 3 or kind == "trade" else f"the ground `{ground}` says too little"


# --- holding a plan to its case ---

def normal(text: str) -> str:
    """Text as statements are compared: lower case, one kind of space, none inside a number, plain quotes and minus."""
    text = re.sub(r"(?<=\d)[\u2009\u202f](?=\d{3})", "", text)
    text = re.sub(r"\s+", " ", text.replace("\u2009", " ").replace("\u202f", " ").replace("\u00a0", " "))
    for odd, plain in (("“", '"'), ("”", '"'), ("’", "'"), ("\u2212", "-")):
        text = text.replace(odd, plain)
    return text.strip().lower()


def text_lines(sections) -> list[str]:
    """The lines of a plan as a reader gets them, the glance first, then each table row as one line."""
    ordered = sorted(sections, key=lambda part: part["id"] != GLANCE)
    found = []
    for part in ordered:
        if part["id"] != GLANCE:
            found.append(part["title"])
        found += [("Stop. " if line["kind"] == "stop" else "") + line["text"] for line in part["lines"]]
        for table in part["tables"]:
            if table.get("title"):
                found.append(table["title"])
            found += [" | ".join(str(cell) for cell in row) for row in table["rows"]]
    return [normal(line) for line in found]


def failures(case: Case, reply: dict, answers=None) -> list[str]:
    """What a reply of the plan (`{"ok", "plan", "sections"}` or refusals) does not meet, each in a sentence.

    Args:
        answers: function (table name, plan) to the answer of a decision table; None leaves `answers` unasked.
    """
    if reply["ok"]:
        lines, verdict = text_lines(reply["sections"]), reply["plan"].get("verdict", {})
    else:
        # A refusal is what the reader gets: its sentences are the text, and nothing is decided.
        lines, verdict = [normal(sentence) for _, sentence in reply["faults"]], {"refused": "yes"}
    found = [fault for statement in case.says for fault in _unsaid(statement, lines)]
    found += [fault for statement in case.never for fault in _said(statement, lines)]
    for statement in case.verdict:
        for name, wanted in statement.items():
            if name not in ("ground", "by") and not agrees(name, wanted, verdict.get(name)):
                found.append(f"verdict {name}: {verdict.get(name)!r}, expected {wanted!r} ({statement['ground']})")
    if answers is not None and reply["ok"]:
        for statement in case.answers:
            given = answers(statement.table, reply["plan"])
            if given != statement.answer:
                found.append(f"{statement.table} answers {given}, expected {statement.answer} ({statement.ground})")
    return found


def row_answer(table, made) -> str | None:
    """What one decision table answers inside a plan, or None when the plan does not ask it."""
    for part in ("grade", "treat", "surgery", "follow_up"):
        for one in made.get(part) or []:
            if one["table"] == table:
                return one["answer"]
    return None


def _unsaid(statement, lines):
    read = lines[:statement.within] if statement.within else lines
    where = f" within the first {statement.within} lines" if statement.within else ""
    if statement.any:
        if not any(normal(phrase) in line for phrase in statement.any for line in read):
            yield f"does not say {' or '.join(repr(one) for one in statement.any)}{where} ({statement.ground})"
    elif not any(all(normal(phrase) in line for phrase in statement.all) for line in read):
        yield f"has no line with {' and '.join(repr(one) for one in statement.all)}{where} ({statement.ground})"


def _said(statement, lines):
    for line in lines[:statement.within] if statement.within else lines:
        for phrases in [[phrase] for phrase in statement.any] or [statement.all]:
            # Whole words: "now" is not in "known", and "1 mg" is not in "0.1 mg".
            if all(re.search(rf"(?<![\w.]){re.escape(normal(phrase))}(?!\w)", line) for phrase in phrases):
                yield f"says {' with '.join(map(repr, phrases))} in “{line[:160]}” ({statement.ground})"


def agrees(name, wanted, actual) -> bool:
    """Whether one word of the verdict is as expected."""
    if isinstance(wanted, dict) and set(wanted) == {"not"}:
        held = actual if isinstance(actual, list) else [actual]
        return not [one for one in wanted["not"] if one in held]
    if isinstance(wanted, dict):
        return isinstance(actual, dict) and all(actual.get(key) == value for key, value in wanted.items())
    if name in CONTAINED and isinstance(wanted, list):
        return set(wanted) <= set(actual or []) if wanted else not actual
    return wanted == actual


# --- published ---

def as_json(read: Cases) -> dict:
    """All cases as one document, for a team that runs them against rules of its own."""
    return {"title": "What the plan must say: invented patients and expected statements",
            "invented": "Every patient is invented. For trained clinicians; not a medical device.",
            "groups": {group: {key: read.cases[key].model_dump(exclude_none=True, exclude_defaults=True) for key in keys}
                       for group, keys in read.groups.items()}}


def json_schema() -> dict:
    """JSON Schema (2020-12) of that document."""
    case = Case.model_json_schema()
    definitions = case.pop("$defs", {})
    definitions["Case"] = case
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Expected statements of the case plan",
            "type": "object", "required": ["title", "invented", "groups"], "additionalProperties": False,
            "properties": {"title": {"type": "string"}, "invented": {"type": "string"},
                           "groups": {"type": "object", "additionalProperties": {
                               "type": "object", "additionalProperties": {"$ref": "#/$defs/Case"}}}},
            "$defs": definitions}


def files(root: Path) -> list[tuple[str, str]]:
    """(path below the site, text) of the cases and of their schema."""
    return [("downloads/expected.json", json.dumps(as_json(load(root)), ensure_ascii=False, indent=1)),
            ("downloads/expected.schema.json", json.dumps(json_schema(), ensure_ascii=False, indent=1))]

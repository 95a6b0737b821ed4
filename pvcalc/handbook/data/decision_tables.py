"""Reads the decision tables of `kb/_data/_tables` and reports every fault with its file and line.

A file is a topic; its keys are names of tables. What a table may say is in `Table`; what must hold between its
parts is checked here (names, choices, sources) and in `table_walk` (gaps, overlaps, rows that are never reached).
"""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError

from pvcalc.core.units import unit_of
from pvcalc.decision import binding
from pvcalc.decision.conditions import BadCondition, read_condition, read_parts
from pvcalc.handbook.data import grounds, table_settings
from pvcalc.handbook.data.findings import unknown
from pvcalc.handbook.data.table_walk import walk

Words = Annotated[str, StringConstraints(strict=True, strip_whitespace=True, min_length=1)]
Seen = Literal["read", "second", "memory", "practice", "derived"]
Branch = dict[str, Any]
UNSOURCED = ("practice", "memory")  # common practice; recalled without a work to name


class Part(BaseModel):
    """Refuses fields it does not know."""

    model_config = ConfigDict(extra="forbid")


DRUGS = ("beta_blocker", "inotrope", "volume", "oxygen", "larger_balloon")  # what a row of a drill says of each


class Then(BaseModel):
    """What a row answers. Further fields are numbers that carry their unit in their name."""

    model_config = ConfigDict(extra="allow")

    answer: Words
    class_: Words | None = Field(default=None, alias="class")
    level: Words | None = None
    grade: Words | None = None
    advice: Words | None = None
    beta_blocker: Literal["no", "trial"] | None = None
    inotrope: Literal["no", "yes", "adrenaline", "senior"] | None = None
    volume: Literal["no", "once", "yes"] | None = None
    oxygen: Literal["full", "not_full"] | None = None
    larger_balloon: Literal["no"] | None = None


class AtLeast(Part):
    """So many of these criteria; a criterion is a group of conditions, or a list of groups of which one is enough."""

    count: Annotated[int, Field(strict=True, ge=1)]
    of: Annotated[list[Branch | Annotated[list[Branch], Field(min_length=2)]], Field(min_length=1)]


class Row(Part):
    """One line of a document."""

    id: Words
    when: Branch = {}
    any: list[Branch] = []
    at_least: AtLeast | None = None
    then: Then
    source: Words
    seen: Seen
    class_seen: Seen | None = None
    limits_seen: Seen | None = None
    note: Words | None = None


class Caution(Part):
    """A sentence shown beside the answer whenever its condition holds."""

    when: Annotated[Branch, Field(min_length=1)]
    text: Words
    source: Words


class Table(Part):
    """One document's word on one question."""

    title: Words
    document: Words
    source: Words
    seen: Seen
    population: Words
    policy: Literal["first", "only-one"]
    asks_for: list[Words]
    optional: list[Words] = []
    choices: dict[str, Annotated[list[Words], Field(min_length=2)]] = {}
    applies: Branch = {}
    means: dict[str, Words] = {}
    assumes: list[Words] = []
    cautions: list[Caution] = []
    rows: list[Row]
    silent: Words | None = None
    not_seen: list[Words] = []
    mark: Words | None = None
    beside: list[Words] = []
    superseded_by: Words | None = None
    superseded_on: Words | None = None
    read_on: Annotated[str, StringConstraints(strict=True, pattern=r"^\d{4}-\d\d-\d\d$")] | None = None


def load(root, data):
    """Read every table.

    Args:
        root: root of the project (the documents of `data` already know their paths).
        data: what `pvcalc.handbook.data.entries.load` read; its `tables` are documents, its `sources` the known keys, its
            `settings` what a table may name.
    Returns (tables, findings): sound tables as written, by name as plain dicts, in the order of files and of lines in
    them; `reads` lists the settings that a table names.
    """
    tables, findings, homes = {}, [], {}
    settings = table_settings.known(data)
    for topic, document in data.tables.items():
        if not isinstance(document.value, dict):
            findings.append(document.finding((), "a file of decision tables is a mapping of names to tables"))
            continue
        for name, raw in document.value.items():
            found = list(table_findings(document, name, raw, data.sources, settings))
            if name in homes:
                found.append(document.finding((name,), f"{name}: a table of this name stands in {homes[name]} too"))
            homes[name] = document.path
            findings += found
            if not found:
                tables[name] = dict(raw, name=name, topic=topic, **({"reads": reads} if (reads := binding.named(raw)) else {}))
    return tables, sorted(set(findings))


def table_findings(document, name, raw, sources, settings):
    """Every fault of one table; the walk over its cells only when its parts are sound."""
    faults = list(_schema_faults(raw))
    if not faults:
        faults = [*_name_faults(raw), *_source_faults(raw, sources), *_row_faults(raw), *table_settings.faults(raw, settings)]
    if not faults:
        faults = list(walk(table_settings.variants(raw, settings)))
    return [document.finding((name, *steps), f"{name}: {message}") for steps, message in faults]


def _schema_faults(raw):
    try:
        Table.model_validate(raw)
    except ValidationError as error:
        for fault in error.errors():
            steps = tuple(step for step in fault["loc"] if not isinstance(step, str) or step != "function-plain")
            last = str(steps[-1]) if steps else "table"
            message = fault["msg"][0].lower() + fault["msg"][1:]
            if fault["type"] == "missing":
                message = "is missing" + ("; name the work and the place, or write practice" if last == "source" else "")
            yield steps, f"`{last}` {message}"


def _name_faults(raw):
    used = set()
    for steps, branch in binding.branches(raw):
        for name, condition in branch.items():
            used.add(name)
            for message in _condition_faults(raw, name, condition):
                yield (*steps, name), message
    for place, name in enumerate(raw["asks_for"]):
        if name not in used:
            yield ("asks_for", place), f"asks for `{name}`, which no condition uses"
        if name not in (raw.get("choices") or {}) and unit_of(name) is None:
            yield ("asks_for", place), f"no quantity is called `{name}`: it carries no known unit and is not a choice"
    for field in ("choices", "means"):
        for name in raw.get(field) or {}:
            if name not in used:
                yield (field, name), f"`{name}` is declared, but no condition uses it"
    for place, name in enumerate(raw.get("optional") or []):
        if name not in raw["asks_for"]:
            yield ("optional", place), unknown("input", name, raw["asks_for"])


def _condition_faults(raw, name, condition):
    choices = raw.get("choices") or {}
    if name not in raw["asks_for"]:
        yield unknown("input in `asks_for`", name, raw["asks_for"])
    try:
        kind, parts = ("number", read_parts(condition)) if binding.names_in(condition) else read_condition(condition)
    except BadCondition as fault:
        yield f"{name}: {fault}"
        return
    if name in choices:
        if kind != "choice":
            yield f"`{name}` is a choice and cannot be compared with a number"
        else:
            for word in parts:
                if word not in choices[name]:
                    yield unknown(f"choice of `{name}`", word, choices[name])
    elif kind == "choice":
        yield f"`{name}` is a number here: declare its words under `choices`, or write a comparison"


def _source_faults(raw, sources):
    places = [(("source",), raw["source"])]
    places += [(("rows", place, "source"), row["source"]) for place, row in enumerate(raw["rows"])]
    places += [(("cautions", place, "source"), one["source"]) for place, one in enumerate(raw.get("cautions") or [])]
    for steps, reference in places:
        key, _, locator = reference.partition(",")
        if reference in UNSOURCED:
            continue
        if key.strip() not in sources:
            yield steps, unknown("source", key.strip(), sources)
        elif not locator.strip():
            yield steps, f"`{key.strip()}` needs a locator: page, table, section or abstract"
    seen = [((), raw)] + [(("rows", place), row) for place, row in enumerate(raw["rows"])]
    for steps, one in seen:
        key = one["source"].partition(",")[0].strip()
        faults = [("seen", grounds.read_fault(one["seen"], key, sources)), ("source", grounds.grade_fault(one["seen"], key, sources))]
        yield from (((*steps, field), words) for field, words in faults if words)


def _row_faults(raw):
    if not raw["rows"] and not raw.get("not_seen"):
        yield ("rows",), "a table without rows must say under `not_seen` what nobody has seen"
    ids = set()
    for place, row in enumerate(raw["rows"]):
        if row["id"] in ids:
            yield ("rows", place, "id"), f"the id {row['id']} stands here a second time"
        ids.add(row["id"])
        if row["source"] in UNSOURCED and row["seen"] != row["source"]:
            yield ("rows", place, "seen"), f"a row whose source is {row['source']} is seen: {row['source']}"
        for field, value in row["then"].items():
            if field not in ("answer", "class", "level", "grade", "advice", *DRUGS) and (
                    unit_of(field) is None or isinstance(value, bool) or not isinstance(value, (int, float))):
                yield ("rows", place, "then", field), f"`{field}` must be a number whose name carries its unit"

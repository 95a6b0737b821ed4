"""The data of the handbook: sources, settings, published series, hazards, signatures and decision tables.

`load(root)` reads everything once and reports every fault with its file and line. Tables come out
unread (as documents with lines); their rules live with the decision tables.
"""

import re
from dataclasses import dataclass, field
from math import prod
from pathlib import Path

from pydantic import ValidationError

from pvcalc.core.units import is_number, unit_of, with_unit
from pvcalc.handbook.data import grounds, test_results
from pvcalc.handbook.data.findings import Finding, nearest, unknown
from pvcalc.handbook.data.rules import HOUSE, RULES
from pvcalc.handbook.data.schemas import SCHEMAS, Dose, Hazard, Mutation, Reading, Series, Setting, SignOff, Source
from pvcalc.handbook.data.yaml_lines import Document, read_document

FOLDER = "kb/_data"
RECORD = "kb/_record"  # what machines write: signatures, changed lines, the ledger
RECORDED = ("signoff", "mutation")
KEY = {"sources": r"[a-z][a-z0-9_]*", "settings": r"[a-z][a-z0-9_]*", "series": r"[a-z][a-z0-9_]*",
       "hazards": r"[a-z][a-z0-9_-]*", "signoff": r"[a-z][a-z0-9/_-]*", "mutation": r"[a-z][a-z0-9_.]*",
       "doses": r"[a-z][a-z0-9_]*", "readings": r"[a-z][a-z0-9_]*"}


@dataclass
class Data:
    """Everything in `kb/_data` and `kb/_record`, by key; only entries without a fault of their own are here."""

    sources: dict[str, Source] = field(default_factory=dict)
    settings: dict[str, Setting] = field(default_factory=dict)
    series: dict[str, Series] = field(default_factory=dict)
    hazards: dict[str, Hazard] = field(default_factory=dict)
    signoff: dict[str, SignOff] = field(default_factory=dict)
    mutation: dict[str, Mutation] = field(default_factory=dict)
    doses: dict[str, Dose] = field(default_factory=dict)
    readings: dict[str, Reading] = field(default_factory=dict)
    tables: dict[str, Document] = field(default_factory=dict)
    unread_tables: list[str] = field(default_factory=list)
    documents: dict[str, Document] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def where(self, section: str, key: str) -> tuple[str, int]:
        """File and line of one entry, such as `where("settings", "target_low_ratio")`."""
        document = self.documents[section]
        return document.path, document.line(key)

    def printed_words(self, key: str) -> str:
        """What the source of a setting prints, with the work's name: `Nolan 2010 prints 4 J/kg`."""
        setting = self.settings[key]
        printed = setting.printed if isinstance(setting.printed, str) else "; ".join(setting.printed)
        work = self.sources.get(split_reference(setting.source)[0])  # one with a fault of its own is told there
        return f"{work.short_name if work else 'the source'} prints {with_unit(printed, key)}"

    def value(self, key: str):
        """The value of a setting. Raises KeyError with the nearest name."""
        if key not in self.settings:
            raise KeyError(unknown("setting", key, self.settings))
        return self.settings[key].value


def load(root) -> Data:
    """Read all data below `root`; nothing is raised, every fault is in `.findings`, sorted."""
    root = Path(root)
    data = Data()
    for section in SCHEMAS:
        document, findings = read_document(root, root / file_of(section))
        data.findings += findings
        if document is not None:
            data.documents[section] = document
            data.findings += _read_section(section, document, getattr(data, section))
    for path in sorted((root / FOLDER / "_tables").glob("*.yml")):
        document, findings = read_document(root, path)
        data.findings += findings
        if document is not None:
            data.tables[path.stem] = document
        else:
            data.unread_tables.append(path.stem)
    data.findings += _link_findings(data)
    data.findings += _test_findings(root, data)
    data.findings += _page_findings(root, data)
    data.findings += _reading_findings(root, data)
    data.findings = sorted(set(data.findings))
    return data


def file_of(section: str) -> str:
    """The file that holds a section, below the folder of the project."""
    return f"{RECORD if section in RECORDED else FOLDER}/{section}.yml"


def split_reference(text: str) -> tuple[str, str]:
    """Key and locator of `key, locator`; the locator is "" when none is given."""
    key, _, locator = text.partition(",")
    return key.strip(), locator.strip()


def _read_section(section, document, target):
    if not isinstance(document.value, dict):
        return [document.finding((), f"{section}.yml must be a mapping of keys to entries")]
    findings = []
    for key, raw in document.value.items():
        raw = _with_shares(raw) if section == "settings" else raw
        faults = list(_entry_faults(section, key, raw))
        findings += [document.finding((key, *steps), f"{key}: {message}") for steps, message in faults]
        if not faults:
            target[key] = SCHEMAS[section].model_validate(raw)
    return findings


def _with_shares(raw):
    """A setting whose `value`, `low` or `high` may be written as a share, 2/3: no decimal number says it."""
    if not isinstance(raw, dict):
        return raw
    made = dict(raw)
    for field in ("value", "low", "high"):
        match = re.fullmatch(r"(\d+)/([1-9]\d*)", str(raw.get(field, "")))
        if match:
            made[field] = int(match[1]) / int(match[2])
    return made


def _entry_faults(section, key, raw):
    """(steps, message) for everything wrong in one entry taken alone."""
    if not re.fullmatch(KEY[section], str(key)):
        yield (), f"the key `{key}` must be lower case letters, digits and _"
    if not isinstance(raw, dict):
        yield (), "the entry must be a mapping of fields"
        return
    schema = SCHEMAS[section]
    try:
        schema.model_validate(raw)
    except ValidationError as found:
        yield from _merged(_worded(schema, error) for error in found.errors(include_url=False))
    yield from RULES[section](str(key), raw)


def _merged(faults):
    """One fault per place; pydantic reports each branch of a union on its own."""
    by_place = {}
    for steps, message in faults:
        if not steps:
            yield steps, message
            continue
        by_place.setdefault(steps, []).append(message)
    for steps, messages in by_place.items():
        yield steps, "; or ".join(dict.fromkeys(messages))


def _worded(schema, error):
    fields = list(schema.model_fields)
    name = error["loc"][0] if error["loc"] else ""
    # A union adds the name of its branch to the place; no key or item of ours is called so.
    steps = tuple(step for step in error["loc"][:1]) + tuple(step for step in error["loc"][1:] if isinstance(step, int))
    kind, given = error["type"], error.get("input")
    if kind == "missing":
        return (), f"field `{name}` is missing"
    if kind == "extra_forbidden":
        like = nearest(name, fields)
        hint = f"nearest: `{like}`; " if like else ""
        return steps, f"unknown field `{name}`; {hint}allowed: {', '.join(fields)}"
    if kind == "literal_error":
        allowed = error["ctx"]["expected"].replace("'", "").replace(" or ", ", ")
        like = nearest(given, allowed.split(", "))
        hint = f"; nearest: `{like}`" if like else ""
        return steps, f"`{name}` is {given!r}; allowed: {allowed}{hint}"
    if kind == "string_pattern_mismatch":
        return steps, f"`{name}` is {given!r}; it must match {error['ctx']['pattern']}"
    if kind.startswith("date"):
        return steps, f"`{name}` is {given!r}; allowed: a date such as 2026-11-25"
    message = error["msg"].removeprefix("Value error, ").removeprefix("Input ").removeprefix("String ").removeprefix("List ")
    return steps, f"`{name}` is {given!r}; it {message}"


def _link_findings(data):
    for section in ("settings", "series"):
        document = data.documents.get(section)
        if document is None or not isinstance(document.value, dict):
            continue
        for key, raw in document.value.items():
            if isinstance(raw, dict):
                yield from _source_link(data, document, section, key, raw)
    yield from _order_findings(data)
    yield from _dose_findings(data)


def _test_findings(root, data):
    """A hazard may only name a test that exists. Where there are no tests (a copy of the data alone) nothing is asked."""
    if not (root / "tests").is_dir():
        return
    for key, hazard in data.hazards.items():
        for place, name in enumerate(hazard.tests):
            if not test_results.exists(root, name):
                yield data.documents["hazards"].finding((key, "tests", place), f"{key}: no test is called `{name}`")


def _page_findings(root, data):
    """A signature may only stand for a page that is there. Where there are no pages (a copy of the data alone) nothing is asked."""
    pages = [path.relative_to(root / "kb").as_posix().removesuffix(".md") for path in (root / "kb").rglob("*.md")]
    for slug in data.signoff if pages else ():
        if slug not in pages:
            yield data.documents["signoff"].finding((slug,), f"{slug}: {unknown('page', slug, pages)}")


def _reading_findings(root, data):
    """A reading may only name a work, and what was held against it, that are there; formulas are known to the code alone."""
    pages = [path.relative_to(root / "kb").as_posix().removesuffix(".md") for path in (root / "kb").rglob("*.md")]
    known = {"chapter": pages, "setting": document_keys(data, "settings"), "series": document_keys(data, "series"),
             "table": [name for document in data.tables.values() for name in document.value or {}]}
    document = data.documents.get("readings")
    for key, reading in data.readings.items():
        if key not in document_keys(data, "sources"):
            yield document.finding((key,), f"{key}: {unknown('source', key, document_keys(data, 'sources'))}")
        for place, held in enumerate(reading.against):
            kind, _, name = held.partition(" ")
            if known.get(kind) and name not in known[kind]:
                yield document.finding((key, "against", place), f"{key}: {unknown(kind, name, known[kind])}")


def _source_link(data, document, section, key, raw):
    if not isinstance(raw.get("source"), str):
        return
    if section == "settings" and raw["source"] == HOUSE:
        return
    known = data.documents["sources"].value if "sources" in data.documents else {}
    known = known if isinstance(known, dict) else {}
    source, locator = split_reference(raw["source"])
    if source not in known:
        house = " (or `house`)" if section == "settings" else ""
        yield document.finding((key, "source"), f"{key}: {unknown('source', source, known)}{house}")
    elif not locator:
        yield document.finding((key, "source"),
                               f"{key}: `source` has no locator; write `{source}, table 2` or `{source}, abstract`")
    faults = [("seen", grounds.read_fault(raw.get("seen"), source, data.sources))]
    if section == "settings":
        faults.append(("source", grounds.grade_fault(raw.get("seen"), source, data.sources)))
    for field, words in faults:
        if words:
            yield document.finding((key, field), f"{key}: {words}")


def _dose_findings(data):
    """A row of the dose sheet may only name settings that exist."""
    document = data.documents.get("doses")
    for key, record in data.doses.items():
        for steps, name in dose_settings(record):
            if name not in document_keys(data, "settings"):
                yield document.finding((key, *steps), f"{key}: {unknown('setting', name, document_keys(data, 'settings'))}")


def dose_settings(record):
    """(steps to the field, setting) for every setting that a row of the dose sheet names."""
    for list_of in ("choices", "strengths"):
        for place, entry in enumerate(getattr(record, list_of)):
            for part, name in entry.model_dump(by_alias=True, exclude_none=True).items():
                if part not in ("who", "beware"):
                    yield (list_of, place, part), name
    for part in ("when", "beware"):
        for name in re.findall(r"\[[=#](\w+)\]", getattr(record, part)):
            yield (part,), name


def document_keys(data, section):
    """Keys of a file, also of entries that have a fault of their own."""
    document = data.documents.get(section)
    return document.value if document is not None and isinstance(document.value, dict) else {}


def _order_findings(data):
    """Settings that would cross one they may not pass: another setting, or the product of two (`rate_mg * time_minutes`)."""
    document = data.documents.get("settings")
    for key, setting in data.settings.items():
        if setting.not_above is None:
            continue
        others = [other.strip() for other in setting.not_above.split("*")]
        missing = [other for other in others if other not in document.value]
        if missing:
            yield document.finding((key, "not_above"), f"{key}: {unknown('setting', missing[0], document.value)}")
        elif all(other in data.settings for other in others):  # one with a fault of its own is told there
            yield from _crossing(document, data, key, setting, others)


def _crossing(document, data, key, setting, others):
    values = [data.settings[other].value for other in others]
    if not all(is_number(value) for value in (setting.value, *values)):
        yield document.finding((key, "not_above"), f"{key}: `not_above` compares single numbers only")
        return
    units = [(unit_of(name) or {"symbol": ""})["symbol"] for name in (key, others[0])]
    if len(others) == 1 and units[0] != units[1]:
        yield document.finding((key, "not_above"), f"{key}: in {units[0] or 'no unit'}, and `{others[0]}` in {units[1] or 'no unit'}")
    elif setting.value > prod(values):
        words = " times ".join(f"`{other}` {value:g}" for other, value in zip(others, values))
        yield document.finding((key, "value"), f"{key}: `value` {setting.value:g} is above {words}" + (f", {prod(values):g}" if len(others) > 1 else ""))

"""Rules between the fields of one entry.

Each rule takes the raw entry, so that a wrong field elsewhere does not hide it, and yields
(steps, sentence): the steps that lead from the entry to the field, and what is wrong.
"""

from datetime import date, timedelta
from decimal import Decimal, InvalidOperation

from pvcalc.core import units
from pvcalc.core.units import is_number
from pvcalc.handbook.data.findings import nearest, unknown
from pvcalc.handbook.data.schemas import IDENTIFIERS
from pvcalc.plan.dose_amounts import dose_of, strength_of
from pvcalc.plan.doses import DOSE_PARTS, GROUPS, STRENGTH_PARTS

HOUSE = "house"
READ = ("read", "second")  # in the work itself, or in words that are not its own
DOSE_GROUPS = [group for group, _, _ in GROUPS]
SEEN_WITHOUT_READING = ("memory", "practice", "derived")
# A year and a day or two years and a day: the interval is counted in calendar years.
LONGEST_REVIEW_DAYS = {True: 366, False: 731}


def source_rules(key, raw):
    """A work needs a title, a way to find it, a year or a word why not, and never the address of a copy."""
    if raw.get("title") == "not shown":
        yield ("title",), "`title` is not shown; say in a few words what the work is, and that its title was not shown"
    findable = any(raw.get(field) for field in IDENTIFIERS) or all(raw.get(field, "not shown") != "not shown" for field in ("journal", "volume", "pages"))
    if not findable and not raw.get("found_by"):
        yield (), "no reader can find it: give doi, pmid, pmcid, isbn or number, or journal, volume and pages, or argue under `found_by`"
    if raw.get("year") == "not shown" and not raw.get("note"):
        yield ("year",), "`year: not shown` needs a `note` that says what was seen instead"
    for field in raw.get("memory") or []:
        if isinstance(field, str) and raw.get(field) in (None, "", "not shown"):
            yield ("memory",), f"`memory` lists `{field}`, but the entry does not give it"
    for field, value in raw.items():
        if isinstance(value, str) and ("://" in value or "www." in value):
            yield (field,), f"`{field}` holds an address; cite the work (doi or pmid), never the address of a copy"


def setting_rules(key, raw):
    """Unit, range, order of dates, and honesty about where the value comes from."""
    kind = raw.get("kind", "number")
    if kind in ("number", "list"):
        yield from _unit_faults(key, (), "the key")
    yield from {"number": _number_faults, "list": _list_faults, "records": _record_faults,
                "choice": _choice_faults}.get(kind, _no_faults)(raw)
    yield from _date_faults(raw)
    if raw.get("source") == HOUSE and raw.get("seen") in READ:
        yield ("seen",), "a `house` decision was not read anywhere; allowed: practice, memory, derived"
    yield from _printed_faults(kind, raw)


def _printed_faults(kind, raw):
    """Who says "read" says what was read; a department that departs from it changes `value` and leaves `printed`."""
    printed = raw.get("printed")
    if raw.get("seen") in READ and printed is None and kind != "choice":
        yield (), "field `printed` is missing: what the source prints, in the unit of the key, such as \"4\" or \"20 to 50\""
    elif printed is not None and raw.get("seen") not in READ:
        yield ("printed",), "`printed` is what somebody read: `seen` is not read here"
    elif kind == "records" and isinstance(raw.get("value"), list) and (not isinstance(printed, list) or len(printed) != len(raw["value"])):
        if printed is not None:
            yield ("printed",), f"`printed` must hold one text for each of the {len(raw['value'])} records"
    elif kind != "records" and isinstance(printed, list):
        yield ("printed",), "`printed` is one text here: a list goes with records"


def series_rules(key, raw):
    """Counts that are possible, and a printed percentage that follows from them or says why not."""
    events, cases = raw.get("events"), raw.get("cases")
    if raw.get("kind") == "proportion":
        for field in ("events", "cases"):
            if field not in raw:
                yield (), f"field `{field}` is missing; a proportion needs both counts"
        if is_number(events) and is_number(cases) and events > cases:
            yield ("events",), f"`events` {events} is above `cases` {cases}; a part cannot exceed its whole"
        else:
            yield from _percent_faults(raw)
    if raw.get("kind") == "statistic":
        for field in ("value", "unit"):
            if field not in raw:
                yield (), f"field `{field}` is missing; a statistic needs its value and unit"
        if isinstance(raw.get("unit"), str):
            yield from _unit_faults(raw["unit"], ("unit",), "`unit`")


def signoff_rules(key, raw):
    """A signature runs out after the day it was given."""
    signed, review = raw.get("signed_on"), raw.get("review_by")
    if isinstance(signed, date) and isinstance(review, date) and review <= signed:
        yield ("review_by",), f"`review_by` {review} is not after `signed_on` {signed}"
    if isinstance(signed, date) and signed > date.today():
        yield ("signed_on",), f"`signed_on` {signed} lies in the future; a page is signed on the day it is read"


def hazard_rules(key, raw):
    """A hazard without a control or a test of it is only a worry."""
    for field in ("controls", "tests"):
        if raw.get(field) == []:
            yield (field,), f"`{field}` is empty; name at least one"


def mutation_rules(key, raw):
    """Every survivor is listed, none is counted away."""
    counts, listed = (raw.get("changes"), raw.get("killed")), raw.get("survivors")
    if all(is_number(count) for count in counts) and isinstance(listed, list) and counts[0] - counts[1] != len(listed):
        yield ("survivors",), f"{len(listed)} survivors are listed, but {counts[0]} changes less {counts[1]} killed are {counts[0] - counts[1]}"


def dose_rules(key, raw):
    """A row has one unit, knows its groups, and ends in a choice and a strength for whoever is left."""
    if raw.get("group") not in DOSE_GROUPS:
        yield ("group",), unknown("group of the dose sheet", raw.get("group"), DOSE_GROUPS)
    kind, fluid = raw.get("kind"), raw.get("fluid")
    if kind in ("bolus", "ceiling", "protamine") or (kind == "pump" and not fluid):
        if not raw.get("strengths"):
            yield (), "field `strengths` is missing; what is drawn up has a strength"
        else:
            yield from _open_end(raw, "strengths")
    if kind == "volume" and not fluid:
        yield (), "field `fluid` is missing; name the fluid"
    for list_of, parts in (("choices", DOSE_PARTS), ("strengths", STRENGTH_PARTS)):
        entries = raw.get(list_of)
        for at, entry in enumerate(entries if isinstance(entries, list) else []):
            if isinstance(entry, dict):
                yield from _one_unit(raw, list_of, at, entry, parts)


def _open_end(raw, list_of):
    last = raw[list_of][-1] if isinstance(raw[list_of], list) else {}
    if isinstance(last, dict) and (last.get("below") or last.get("who")):
        yield (list_of, len(raw[list_of]) - 1), f"the last of `{list_of}` is for some only; end with one for whoever is left"


def _one_unit(raw, list_of, at, entry, parts):
    """Mixed units in one row are a thousandfold trap: each setting must be one in the unit of its row."""
    for part in parts:
        if isinstance(entry.get(part), str):
            reader = strength_of if part in ("strength", "from") else dose_of
            try:
                reader(entry[part], 1, raw.get("unit"))
            except ValueError as fault:
                yield (list_of, at, part), f"`{part}`: {fault}"


def reading_rules(key, raw):
    """A work is read on a day that has come."""
    if isinstance(raw.get("read_on"), date) and raw["read_on"] > date.today():
        yield ("read_on",), f"`read_on` {raw['read_on']} lies in the future"


def _no_faults(raw):
    return iter(())


def _unit_faults(name, steps, what):
    if units.unit_of(name) is not None:
        return
    known = [row[0] for row in units.SUFFIXES] + [row[0] for row in units.DIMENSIONLESS]
    words = name.split("_")
    tails = ["_".join(words[-count:]) for count in (1, 2, 3) if count <= len(words)]
    like = next((match for match in (nearest(tail, known) for tail in tails) if match), "")
    hint = f"; nearest: `{like}`" if like else ""
    yield steps, f"{what} `{name}` ends in no known unit suffix or dimensionless word (see pvcalc/core/units.py){hint}"


def _range_faults(value, low, high, steps, name):
    if is_number(low) and is_number(high) and low > high:
        yield steps, f"`{name}`: the lower limit {low} is above the upper limit {high}"
    elif is_number(value) and ((is_number(low) and value < low) or (is_number(high) and value > high)):
        yield steps, f"`{name}` is {value}; allowed: {low} to {high}"


def _number_faults(raw):
    for field in ("low", "high"):
        if field not in raw:
            yield (), f"field `{field}` is missing; a number needs the range it may be set in"
    if "value" in raw and not is_number(raw["value"]):
        yield ("value",), f"`value` is {raw['value']!r}; allowed: a number (for other content set `kind`)"
    yield from _range_faults(raw.get("value"), raw.get("low"), raw.get("high"), ("value",), "value")


def _list_faults(raw):
    values = raw.get("value")
    if not isinstance(values, list) or not values:
        yield ("value",), "`value` is not a list of numbers"
        return
    for at, item in enumerate(values):
        if not is_number(item):
            yield ("value", at), f"item {at + 1} of `value` is {item!r}; allowed: a number"
        yield from _range_faults(item, raw.get("low"), raw.get("high"), ("value", at), f"item {at + 1}")


def _choice_faults(raw):
    allowed = raw.get("choices") or []
    if not allowed:
        yield (), "field `choices` is missing; a choice needs the words to choose from"
    elif raw.get("value") not in allowed:
        like = nearest(raw.get("value"), allowed)
        hint = f"; nearest: `{like}`" if like else ""
        yield ("value",), f"`value` is {raw.get('value')!r}; allowed: {', '.join(map(str, allowed))}{hint}"


def _record_faults(raw):
    rows, limits = raw.get("value"), raw.get("limits") or {}
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
        yield ("value",), "`value` is not a list of records"
        return
    columns = list(rows[0])
    for column in columns:
        if is_number(rows[0][column]):
            yield from _unit_faults(column, ("value", 0, column), "the column")
            if column not in limits:
                yield ("value", 0, column), f"`limits` gives no range for the column `{column}`"
    for at, row in enumerate(rows):
        yield from _row_faults(at, row, columns, limits)


def _row_faults(at, row, columns, limits):
    place = ("value", at)
    for column in columns:
        if row.get(column) in (None, ""):
            yield place, f"record {at + 1}: column `{column}` is missing or blank"
    for column, value in row.items():
        if column not in columns:
            like = nearest(column, columns)
            hint = f"; nearest: `{like}`" if like else ""
            yield place + (column,), f"record {at + 1}: unknown column `{column}`{hint}"
        elif column in limits:
            low, high = (limits[column] + [None, None])[:2] if isinstance(limits[column], list) else (None, None)
            if not is_number(value):
                yield place + (column,), f"record {at + 1}: `{column}` is {value!r}; allowed: a number"
            yield from _range_faults(value, low, high, place + (column,), column)
    yield from _balloon_faults(place, row)


def _balloon_faults(place, row):
    """A balloon may be shown only with its own label: no nominal pressure above the rated one."""
    if "diameter_mm" in row and "rated_atm" not in row:
        yield place, f"record {place[1] + 1}: a balloon needs its own `rated_atm`, from its label"
    nominal, rated = row.get("nominal_atm"), row.get("rated_atm")
    if is_number(nominal) and is_number(rated) and nominal > rated:
        yield place + ("nominal_atm",), f"record {place[1] + 1}: nominal {nominal} atm is above rated {rated} atm"


def _date_faults(raw):
    decided, review = raw.get("decided_on"), raw.get("review_by")
    if not (isinstance(decided, date) and isinstance(review, date)):
        return
    unread = raw.get("seen") in SEEN_WITHOUT_READING
    if review <= decided:
        yield ("review_by",), f"`review_by` {review} is not after `decided_on` {decided}"
    elif review - decided > timedelta(days=LONGEST_REVIEW_DAYS[unread]):
        longest = "12 months, for a value nobody has read in its source" if unread else "24 months"
        yield ("review_by",), f"`review_by` {review} is too late; allowed: at most {longest} after `decided_on`"


def _percent_faults(raw):
    printed, events, cases = raw.get("printed_percent"), raw.get("events"), raw.get("cases")
    if not (isinstance(printed, str) and is_number(events) and is_number(cases) and cases):
        return
    try:
        shown = Decimal(printed)
    except InvalidOperation:
        return  # the schema reports it
    half_digit = Decimal(1).scaleb(shown.as_tuple().exponent) / 2
    exact = Decimal(100) * events / cases
    follows = abs(shown - exact) <= half_digit
    if not follows and not raw.get("differs"):
        yield ("printed_percent",), (f"printed {printed} % does not follow from {events} of {cases} "
                                     f"({exact:.2f} %); correct it, or say why under `differs`")
    if follows and raw.get("differs"):
        yield ("differs",), f"`differs` is given, but {printed} % does follow from {events} of {cases}; take it away"


RULES = {"sources": source_rules, "settings": setting_rules, "series": series_rules,
         "hazards": hazard_rules, "signoff": signoff_rules, "mutation": mutation_rules, "doses": dose_rules,
         "readings": reading_rules}

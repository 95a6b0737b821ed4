"""Computes what a chapter asks for and writes down every number in the ledger.

One place for both the inline marks and the fences, so that a number is never computed two ways.
"""

import json
import math
import shlex
from dataclasses import dataclass
from functools import cache, lru_cache
from html import escape

from pvcalc.core import formula as core
from pvcalc.core import settings
from pvcalc.core.errors import UnknownName
from pvcalc.core.units import is_number, label_of, show, show_input, show_named, with_unit
from pvcalc.decision.vocabulary import setting_words, word_shown
from pvcalc.handbook.authoring import arithmetic
from pvcalc.handbook.data.findings import unknown
from pvcalc.statistics.proportion import exact_interval


class Fault(ValueError):
    """Something an author asked for that cannot be computed; the text is the whole message."""


@dataclass
class Answer:
    """A formula's answer for a chapter: the inputs as used, the result and the words shown."""

    entry: object
    inputs: dict
    value: object
    shown: str
    asks: list

    def result(self, name):
        """One named result of several."""
        for key, value in self.value:
            if key == name:
                return value
        raise Fault(unknown("result", name, [key for key, _ in self.value]))


def resolve(project, value):
    """A value of a fence: `=key` stands for the setting of that key, at any depth.

    Raises: Fault naming the nearest key.
    """
    if not settings_in(value):
        return value
    try:
        return settings.resolve(project.settings, value)
    except UnknownName as error:
        raise Fault(str(error)) from None


def settings_in(value):
    """Keys of the settings that a value of a fence names, a composed one by its parts."""
    if isinstance(value, (list, dict)):
        return [key for member in (value.values() if isinstance(value, dict) else value) for key in settings_in(member)]
    if not isinstance(value, str) or not value.startswith("="):
        return []
    return [part for _, part in settings.COMPOSED[value[1:]]] if value[1:] in settings.COMPOSED else [value[1:]]


def rests_on_settings(value):
    """True when a value of a fence names a setting anywhere in it."""
    return bool(settings_in(value))


def setting_value(project, key):
    """The value of a setting.

    Raises: Fault naming the nearest key.
    """
    return resolve(project, f"={key}")


def formula(project, name, given):
    """Compute one formula from a chapter's inputs.

    Args:
        project: the loaded project; name: formula name; given: dict of argument to value or `=setting`.
    Raises: Fault with every sentence of the refusal.
    """
    if name not in project.formulas:
        raise Fault(unknown("formula", name, project.formulas))
    entry = project.formulas[name]
    inputs = {key: resolve(project, value) for key, value in given.items()}
    reply = run_once(name, inputs)
    if not reply["ok"]:
        raise Fault(" ".join(sentence for _, sentence in reply["faults"]))
    return Answer(entry, inputs, reply["value"], reply["shown"], reply["asks"])


_REPLIES = {}


def run_once(name, inputs):
    """A formula's reply; chapters show one simulated beat in many sentences, and it need not be simulated for each."""
    key = json.dumps(inputs, sort_keys=True, default=str)
    if (name, key) not in _REPLIES:
        _REPLIES[name, key] = core.run(name, inputs)
    return _REPLIES[name, key]


@dataclass(frozen=True)
class Outcome:
    """A printed example after computing: our answer in the unit of the print, and whether the two agree."""

    computed: float
    agrees: bool


@cache
def outcome(example: core.Printed) -> Outcome:
    """Compute one printed example, once for a build; of one simulated beat many figures were printed."""
    computed = example.picked(run_once(example.formula.name, example.inputs)["value"])
    return Outcome(computed, example.agrees(computed))


def note(page, what, name, inputs, value, **about):
    """Write one computed number down: a ledger line, and a row for the reviewer's worksheet.

    `about` holds source, locator and seen for the worksheet.
    """
    if page.draft:
        return
    given = " ".join(f"{key}={plain(inputs[key])}" for key in sorted(inputs))
    page.ledger.append(" | ".join([page.slug, what, name, given, plain(value)]))
    if what != "derived":  # a sum rests on its settings only
        page.rests_on.add((what if what != "printed" else "formula", name if what != "printed" else name.rsplit("-", 1)[0]))
    page.rests_on.update(("setting", key) for value in inputs.values() for key in settings_in(value))
    page.numbers.append({"kind": what, "name": name, "inputs": given, "value": plain(value), **about})


@lru_cache(maxsize=100_000)
def _plain_number(value):
    # A traced beat holds hundreds of numbers, and every page and worksheet that shows it writes them down again.
    return show_input(value).replace("\u2212", "-").replace("\u202f", "")


def plain(value):
    """A value as the ledger writes it: at most 12 significant digits, so that it is the same everywhere."""
    if isinstance(value, bool) or value is None:
        return str(value).lower()
    if is_number(value):
        return _plain_number(float(value))
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {plain(value[key])}" for key in sorted(value)) + "}"
    if isinstance(value, (list, tuple)):
        if value and all(isinstance(pair, (list, tuple)) and len(pair) == 2 and isinstance(pair[0], str) for pair in value):
            return " ".join(f"{name}={plain(member)}" for name, member in value)
        return "[" + ", ".join(plain(member) for member in value) + "]"
    return str(value)


def inline(project, page, text):
    """The HTML of `[=…]`: a setting, `printed:SETTING`, `series:ID [part]`, or `formula arg=value … [show=result]`.

    Raises: Fault.
    """
    try:
        words = shlex.split(text)
    except ValueError as error:
        raise Fault(f"{error}") from None
    if not words:
        raise Fault("names no setting, formula or series")
    name, rest = words[0], words[1:]
    if name.startswith("series:"):
        return _series(project, page, name[7:], rest)
    if name.startswith("printed:") and not rest:
        return _printed(project, page, name[8:])
    if name in project.formulas:
        return _formula(project, page, name, rest)
    if rest:
        raise Fault(unknown("formula", name, project.formulas))
    return _setting(project, page, name)


def derived(project, page, text):
    """The text of `[derived: SUM to DECIMALS]`, computed from numbers and settings; without decimals three significant digits.

    Raises: Fault.
    """
    told, decimals = arithmetic.parted(text)

    def named(key):
        value = setting_value(project, key)
        if not is_number(value):
            raise Fault(f"the setting {key} is no number")
        return value

    try:
        value, used = arithmetic.computed(told, named)
    except arithmetic.NoSum as error:
        raise Fault(str(error)) from None
    note(page, "derived", told, used, value, source="computed from the numbers of its sentence", seen="derived")
    page.rests_on.update(("setting", key) for key in used)
    if decimals is None:
        decimals = max(0, 2 - math.floor(math.log10(abs(value)))) if value else 0
        return show(value, decimals).rstrip("0").rstrip(".") if decimals else show(value, 0)
    return show(value, decimals)


def _formula(project, page, name, rest):
    given, shown_result = {}, ""
    for word in rest:
        key, mark, value = word.partition("=")
        if not mark:
            raise Fault(f"“{word}” must be written argument=value")
        if key == "show":
            shown_result = value
        else:
            given[key] = _typed(project, project.formulas[name], key, value)
            if value in project.data.settings:
                page.rests_on.add(("setting", value))
    answer = formula(project, name, given)
    value, shown = answer.value, answer.shown
    if shown_result:
        value = answer.result(shown_result)
        shown = core.shown_value(shown_result, value, answer.entry.formula.decimals)
    note(page, "formula", name, answer.inputs, value, source=answer.entry.text.source, seen=answer.entry.formula.seen)
    return number_link(page, f"reference/formulas.html#{name}", shown, f"computed by {name}")


def _typed(project, entry, key, value):
    limit = entry.formula.limits.get(key)
    if limit is None or limit.kind == "choice":
        return value
    if value in project.data.settings:
        return setting_value(project, value)
    try:
        return [float(part) for part in value.split(",")] if limit.kind == "list" else float(value)
    except ValueError:
        raise Fault(f"{key}={value}: neither a number nor a setting; "
                    + unknown("setting", value, project.data.settings)) from None


def _setting(project, page, key):
    value = setting_value(project, key)
    if not is_number(value) and not isinstance(value, str):
        raise Fault(f"the setting {key} is a list; show it with a table")
    setting = project.data.settings[key]
    note(page, "setting", key, {}, value, source=setting.source, seen=setting.provenance)
    link = number_link(page, f"reference/settings.html#{key}", setting_words(key, value), setting.title)
    return link + (f" (ours; {escape(project.data.printed_words(key))})" if setting.departs else "")


def _printed(project, page, key):
    """`[=printed:key]`: what the source of a setting prints, whatever the department set."""
    setting_value(project, key)
    setting = project.data.settings[key]
    if not isinstance(setting.printed, str):
        raise Fault(f"the setting {key} does not say what its source prints")
    note(page, "printed figure", key, {}, setting.printed, source=setting.source, seen=setting.seen)
    page.rests_on.add(("setting", key))
    link = number_link(page, f"reference/settings.html#{key}", with_unit(setting.printed, key), setting.title)
    return link + (f" (ours {escape(setting_words(key, setting.value))})" if setting.departs else "")


def _series(project, page, key, parts):
    if key not in project.data.series:
        raise Fault(unknown("series", key, project.data.series))
    entry = project.data.series[key]
    part = parts[0] if parts else "all"
    confidence = setting_value(project, CONFIDENCE)
    page.rests_on.add(("setting", CONFIDENCE))
    shown = series_words(entry, confidence, part)
    note(page, "series", key, {"part": part}, shown, source=entry.source, seen=entry.seen)
    return number_link(page, f"reference/series.html#{key}", shown, entry.title)


CONFIDENCE = "interval_confidence"  # the setting: coverage of every interval shown


def series_words(entry, confidence, part="all"):
    """A published result in words.

    Args:
        entry: a series record; confidence: coverage of its interval, above 0 and below 1; part: "all", "counts", "percent", "interval" or "per_1000".
    Raises: Fault when the record has no counts for the part asked.
    """
    if entry.kind != "proportion":
        if part not in ("all", "value"):
            raise Fault(f"this series is a statistic; it has no “{part}”, only its value")
        return statistic_words(entry)
    events, cases = entry.events, entry.cases
    low, high = [value for _, value in exact_interval(events=events, cases=cases, confidence=confidence)]
    share = 100 * events / cases
    percent = show(share, 0 if cases < 100 else 2 if share < 1 else 1) + "\u00a0%"
    interval = f"{_percent(low)} to {_percent(high)}\u00a0%"
    texts = {"counts": f"{events} of {show_input(cases)}", "percent": percent, "interval": interval,
             "all": f"{events} of {show_input(cases)} ({percent}, {coverage_words(confidence)} interval {interval})",
             "per_1000": f"{show(1000 * events / cases, 0)} in 1000"}
    if part not in texts:
        raise Fault(unknown("part of a series", part, texts))
    return texts[part]


def coverage_words(confidence):
    """Coverage of an interval: 0.95 -> `95 %`."""
    return show_input(100 * confidence) + "\u00a0%"


def _percent(fraction):
    percent = 100 * fraction
    return show(percent, 2 if percent < 1 else 1 if percent < 10 else 0)


def statistic_words(entry):
    """A published statistic with its unit and spread."""
    value = entry.value if isinstance(entry.value, str) else show_input(entry.value)
    unit = f"\u00a0{'%' if entry.unit == 'percent' else entry.unit}" if entry.unit else ""
    spread = f" ({entry.spread})" if entry.spread else ""
    return f"{value}{unit}{spread}"


def number_link(page, target, shown, title):
    """A computed number: one tap leads to its entry."""
    return f'<a class="num" translate="no" href="{page.up}{target}" title="{escape(title)}">{escape(shown)}</a>'


# What a list of records counts, one and several; any other counts rows.
COUNTED = {"zones": ("set of limits", "sets of limits"), "shelf": ("balloon", "balloons")}


def input_words(name, value):
    """An input as the page shows it, with its unit."""
    if is_number(value):
        return with_unit(show_input(float(value)), name)
    if isinstance(value, list) and value and is_number(value[0]):
        return "; ".join(show_named(member, name) for member in value[:8]) + (" …" if len(value) > 8 else "")
    if isinstance(value, list):
        return f"{len(value)} {COUNTED.get(name, ('row', 'rows'))[len(value) != 1]}"
    return word_shown(name, str(value))


__all__ = ["Answer", "Fault", "formula", "inline", "input_words", "label_of", "note", "number_link", "plain", "resolve",
           "series_words", "setting_value", "setting_words"]

"""Tables of what the data hold: settings, published results, printed examples; on their own pages and in chapters."""

from html import escape

from pvcalc.core.units import is_number, label_of, show, show_input, with_unit
from pvcalc.handbook.authoring import compute, inline
from pvcalc.handbook.authoring.markup import breakable, table
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.data.entries import split_reference

PRINTED_HEADS = ["Formula and inputs", "Printed", "Computed", "Difference", "Allowed", "Where printed", "Kind", "Seen", "Verdict"]


def where_from(project, page, reference):
    """A source reference as a citation, or the house's own word."""
    if not reference or reference == "house":
        return "house rule"
    key, locator = split_reference(reference)
    if key in project.data.sources:
        return inline.cite(project, page, key, locator or "whole work") + f" {escape(locator)}"
    return escape(reference)


def settings_table(project, page, keys, anchors=False):
    """Settings as rows: value, why, source; on the reference page also what may be set, when decided and when looked at again.

    The range stands on the reference page alone: in a chapter it reads as the dose that is permitted.
    """
    heads = ["Setting", "Value", "Why", "Source"] + (["Department may set", "Decided, review"] if anchors else [])
    rows, attributes = [], []
    for key in keys:
        setting = project.data.settings[key]
        printed = {"printed": setting.printed} if anchors and setting.printed else {}
        compute.note(page, "setting", key, printed, setting.value, source=setting.source, seen=setting.provenance)
        confirm = f'<br><strong>Confirm with {escape(setting.confirm)}.</strong>' if setting.confirm else ""
        name = (f"{escape(setting.title)}<br><code>{key}</code>" if anchors
                else f'<a href="{page.up}reference/settings.html#{key}">{escape(setting.title)}</a>')
        ours = f"<br>ours; {escape(project.data.printed_words(key))}" if setting.departs else ""
        rows.append([name, _value(key, setting) + ours + confirm, escape(setting.why),
                     f"{where_from(project, page, setting.source)} {inline.mark('house' if setting.departs else setting.seen)}",
                     *([_allowed(key, setting), f"{setting.decided_on.isoformat()}, {setting.review_by.isoformat()}"] if anchors else [])])
        attributes.append({"id": key} if anchors else {})
    return table(heads, rows, "settings", attributes)


def _value(key, setting):
    if setting.kind == "records" and isinstance(setting.value, list):
        heads = list(setting.value[0])
        if len(heads) == 2:  # a name and a number read as a line; a table inside a table breaks words on a telephone
            return "<br>".join(f"{_cell(heads[0], record[heads[0]])}: {_cell(heads[1], record[heads[1]])}" for record in setting.value)
        rows = [[_cell(head, record.get(head)) for head in heads] for record in setting.value]
        return table([label_of(head) for head in heads], rows, "records")
    if isinstance(setting.value, list):
        return "; ".join(_cell(key, value) for value in setting.value)
    return escape(compute.setting_words(key, setting.value))


def _cell(name, value):
    return escape(compute.setting_words(name, value) if is_number(value) else str(value if value is not None else ""))


def _allowed(key, setting):
    if setting.choices:
        return escape(", ".join(compute.setting_words(key, choice) for choice in setting.choices))
    if setting.low is None:
        return ""
    return escape(f"{compute.setting_words(key, setting.low).split(chr(160))[0]} to {with_unit(compute.plain(setting.high), key)}")


def series_table(project, page, keys, anchors=False):
    """Published results as rows."""
    heads = ["Result", "Figure", "Who and when", "Defined as", "Source", "Notes"]
    rows, attributes = [], []
    confidence = compute.setting_value(project, compute.CONFIDENCE)
    page.rests_on.add(("setting", compute.CONFIDENCE))
    for key in keys:
        entry = project.data.series[key]
        words = compute.series_words(entry, confidence)
        compute.note(page, "series", key, {}, words, source=entry.source, seen=entry.seen)
        printed = f"<br>printed {escape(entry.printed_percent)}\u00a0%" if entry.printed_percent else ""
        notes = " ".join(part for part in (f"Differs: {entry.differs}." if entry.differs else "", entry.note or "") if part)
        title = escape(entry.title) if anchors else f'<a href="{page.up}reference/series.html#{key}">{escape(entry.title)}</a>'
        rows.append([title, escape(words) + printed,
                     escape(f"{entry.population}; {entry.era}; followed {entry.follow_up}"), escape(entry.definition),
                     f"{where_from(project, page, entry.source)} {inline.mark(entry.seen)}", escape(notes)])
        marks = {"data-seen": entry.seen, "data-kind": entry.kind}
        attributes.append({**marks, "id": key} if anchors else marks)
    return table(heads, rows, "series", attributes)


def printed_table(project, page, examples, anchors=False):
    """Rows of printed examples; with `anchors` each formula's first row can be linked to."""
    first = set()
    rows, attributes = [], []
    for example in examples:
        name = example.formula.name
        entry = project.formulas[name]
        marks = {"data-topic": entry.topic, "data-seen": example.seen, "data-kind": example.kind,
                 "data-verdict": "agrees" if compute.outcome(example).agrees else "differs"}
        if anchors:
            # The row carries its own address; the formula's address stands in its first row.
            marks["id"] = catalogue.printed_id(example)
        rows.append(_printed_row(project, page, example, anchors and name not in first))
        first.add(name)
        attributes.append(marks)
    return table(PRINTED_HEADS, rows, "verification", attributes)


def _printed_row(project, page, example, with_anchor):
    name = example.formula.name
    computed = compute.outcome(example).computed
    compute.note(page, "printed", catalogue.printed_id(example), example.inputs, computed,
                  source=f"{example.source}, {example.locator}", seen=example.seen)
    given = ", ".join(f"{key} {compute.input_words(key, value)}" for key, value in example.inputs.items())
    anchor = f' id="{name}"' if with_anchor else ""
    agrees = compute.outcome(example).agrees
    verdict = "agrees" if agrees else f"differs: {example.differs}"
    decimals = (len(example.answer.split(".")[1]) if "." in example.answer else 0) + 2
    allowed = show_input(example.tolerance()) + (f" ({escape(example.because)})" if example.because else "")
    where = breakable(example.locator)
    if example.source in project.data.sources:
        where = inline.cite(project, page, example.source, example.locator) + f" {breakable(example.locator)}"
    result = f" → {breakable(example.result)}" if example.result else ""
    if example.member is not None:
        result += f", number {example.member}"
    return [f'<span{anchor}><a href="{page.up}reference/formulas.html#{name}"><code>{breakable(name)}</code></a></span>{result}<br>{breakable(given)}',
            _answer(page, example), show(computed, decimals),
            show(computed - float(example.answer), decimals), allowed, where, example.kind, inline.mark(example.seen),
            f'<span class="verdict verdict--{"agrees" if agrees else "differs"}">{escape(verdict)}</span>']


def _answer(page, example):
    """The printed digits; one tap leads to the row on the page of all examples."""
    where = f"{page.up}reference/verification.html#{catalogue.printed_id(example)}"
    return f'<strong><a class="num" translate="no" href="{where}">{escape(example.answer)}</a></strong>'

"""The pages of sources, settings and published series."""

from html import escape

from pvcalc.core.units import is_number, label_of, with_unit
from pvcalc.handbook.authoring import compute, inline
from pvcalc.handbook.authoring.markup import filters, table
from pvcalc.handbook.data.entries import split_reference


def sources_page(project, page):
    """Every source, what of it was seen, and which parts of its citation are recalled."""
    rows, attributes = [], []
    for key, source in sorted(project.data.sources.items(), key=lambda item: inline.short_name(item[1]).lower()):
        recalled = f"recalled: {', '.join(source.memory)}" if source.memory else ""
        rows.append([escape(inline.full_citation(source)), f"<code>{key}</code>", inline.mark(source.seen),
                     escape(source.extent), escape(" ".join(part for part in (recalled, source.note or "") if part))])
        attributes.append({"id": key, "data-seen": source.seen})
    seen = sorted({source.seen for source in project.data.sources.values()})
    return ("<p>Each work is cited as a work; nobody should trust the address of a copy. "
            "“Seen” says how much of it somebody on the team has read.</p>"
            + filters("source-rows", [("seen", "Seen", seen)])
            + f'<div id="source-rows">{table(["Work", "Key", "Seen", "What was seen", "Notes"], rows, "", attributes)}</div>')


def where_from(project, page, reference):
    """A source reference as a citation, or the house's own word."""
    if not reference or reference == "house":
        return "house rule"
    key, locator = split_reference(reference)
    if key in project.data.sources:
        return inline.cite(project, page, key, locator or "whole work") + f" {escape(locator)}"
    return escape(reference)


def settings_page(project, page):
    """Every setting a department may change, by topic."""
    topics = {}
    for key, setting in project.data.settings.items():
        topics.setdefault(setting.topic, []).append(key)
    parts = ["<p>These values are the department's. Changing one moves every page that uses it, and the signatures of those "
             "pages lapse. Doses are as reported; the formulary, the pharmacist and the anaesthetist decide.</p>"]
    for topic, keys in topics.items():
        parts.append(f'<h2 id="topic-{escape(topic.replace(" ", "-"))}">{escape(topic.capitalize())}</h2>')
        parts.append(settings_table(project, page, keys, anchors=True))
    return "".join(parts)


def settings_table(project, page, keys, anchors=False):
    """Settings as rows: value, allowed range, why, source; on the reference page also when decided and when looked at again."""
    heads = ["Setting", "Value", "Allowed", "Why", "Source"] + (["Decided, review"] if anchors else [])
    rows, attributes = [], []
    for key in keys:
        setting = project.data.settings[key]
        compute.note(page, "setting", key, {}, setting.value, source=setting.source, seen=setting.seen)
        confirm = f'<br><strong>Confirm with {escape(setting.confirm)}.</strong>' if setting.confirm else ""
        name = (f"{escape(setting.title)}<br><code>{key}</code>" if anchors
                else f'<a href="{page.up}reference/settings.html#{key}">{escape(setting.title)}</a>')
        rows.append([name, _value(key, setting) + confirm, _allowed(key, setting), escape(setting.why),
                     f"{where_from(project, page, setting.source)} {inline.mark(setting.seen)}",
                     *([f"{setting.decided_on.isoformat()}, {setting.review_by.isoformat()}"] if anchors else [])])
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


def series_page(project, page):
    """Every published result held as data, with the interval computed from its counts."""
    seen = sorted({entry.seen for entry in project.data.series.values()})
    return ("<p>A percentage without its count hides how little is known. Where counts were printed the interval is exact "
            f"(Clopper and Pearson, {compute.coverage_words(compute.setting_value(project, compute.CONFIDENCE))}) and computed here.</p>"
            + filters("series-rows", [("seen", "Seen", seen), ("kind", "Kind", ["proportion", "statistic"])])
            + f'<div id="series-rows">{series_table(project, page, list(project.data.series), anchors=True)}</div>')


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

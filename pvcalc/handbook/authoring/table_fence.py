"""Decision tables on a page: the rows of one document, or several documents side by side for given numbers."""

from html import escape

from pvcalc.core.errors import Refusal
from pvcalc.core.units import unit_of
from pvcalc.decision import evaluate as decision, words as decision_words
from pvcalc.decision.vocabulary import name_words, setting_words
from pvcalc.handbook.authoring import compute, inline
from pvcalc.handbook.authoring.markup import empty_fields
from pvcalc.handbook.authoring.markup import table as html_table
from pvcalc.handbook.data.entries import split_reference
from pvcalc.handbook.data.findings import unknown
from pvcalc.handbook.engine import needs
from pvcalc.page import documents

FIELDS = ("name", "names", "topic", "given", "title", "window", "live")


class Fault(ValueError):
    """A fence of decision tables that cannot be rendered; `steps` leads to the key at fault."""

    def __init__(self, message, *steps):
        super().__init__(message)
        self.steps = steps


def render(writer, document, line):
    """The HTML of a `table` fence."""
    fence = document.value
    for key in fence:
        if key not in FIELDS:
            raise Fault(unknown("field of a table fence", key, FIELDS), key)
    tables = _wanted(writer.project, fence)
    title = fence.get("title")
    head = f'<p class="worked__title">{escape(title)}</p>' if title else ""
    if "given" in fence:
        body = _answers(writer, tables, fence)
    else:
        body = "".join(rows_html(writer.project, writer.page, table) for table in tables)
    fields = _fields(writer.project, tables, fence) if fence.get("live", True) else ""
    place = writer.page.place(tables[0]["name"])
    return (f'<section class="worked decision" id="{place}" role="group" aria-label="{escape(title or tables[0]["title"])}">'
            f'{head}{fields}<div class="worked__example">{body}</div></section>')


def _wanted(project, fence):
    if "topic" in fence:
        found = [table for table in project.tables.values() if table["topic"] == fence["topic"]]
        if not found:
            raise Fault(unknown("topic of decision tables", fence["topic"], {t["topic"] for t in project.tables.values()}), "topic")
        return found
    names = fence.get("names") or ([fence["name"]] if "name" in fence else [])
    if not names:
        raise Fault("the table fence needs `name:`, `names:` or `topic:`")
    for place, name in enumerate(names):
        if name not in project.tables:
            steps = ("names", place) if "names" in fence else ("name",)
            raise Fault(unknown("decision table", name, project.tables), *steps)
    return [project.tables[name] for name in names]


def _answers(writer, tables, fence):
    given = {}
    asked = {name for table in tables for name in table["asks_for"]}
    for name, value in fence["given"].items():
        if name not in asked:
            raise Fault(unknown("input of these tables", name, asked), "given", name)
        try:
            given[name] = compute.resolve(writer.project, value)
        except compute.Fault as fault:
            raise Fault(str(fault), "given", name) from None
    try:
        window = compute.resolve(writer.project, fence.get("window"))
    except compute.Fault as fault:
        raise Fault(str(fault), "window") from None
    inputs = "".join(f'<div><dt>{escape(name_words(name))}</dt><dd translate="no">{escape(compute.input_words(name, value))}</dd></div>'
                     for name, value in given.items())
    rows, marks = [], []
    for table in tables:
        try:
            report = decision.decide(table, decision.inputs_for(table, given), window)
        except Refusal as refusal:
            field, sentence = refusal.faults[0]
            raise Fault(sentence, "given", field) from None
        writer.page.rests_on.update(("setting", key) for key in table.get("reads") or [])
        compute.note(writer.page, "table", table["name"], decision.inputs_for(table, given), report["answer"] + " " + report["row"],
                      source=report["source"], seen=report["seen"])
        rows.append(answer_row(writer.project, writer.page, report))
        marks.append({"class": f"answer--{report['answer']}", "data-table": table["name"], "translate": "no"})
    order = sorted(range(len(rows)), key=lambda place: tables[place].get("superseded_by") is not None)
    return (f'<dl class="worked__inputs">{inputs}</dl>'
            + html_table(["Document", "Answer", "Why", "Seen"], [rows[place] for place in order], "documents",
                         [marks[place] for place in order])
            + _beside([tables[place] for place in order]))


def _beside(tables):
    """What stands beside the rows of these documents, and was written there because a number needs it."""
    lines = [f"<li>{escape(table['document'])}: {escape(text)}</li>" for table in tables for text in table.get("beside") or []]
    if not lines:
        return ""
    return f'<details class="documents__beside"><summary>Beside these documents ({len(lines)})</summary><ul>{"".join(lines)}</ul></details>'


def answer_row(project, page, report):
    """One document's answer: what it says, what decided, how far it was seen."""
    parts = {key: escape(value) if isinstance(value, str) else value for key, value in documents.answer_parts(report).items()}
    document = " ".join([f'<a href="{page.up}reference/tables.html#{parts["table"]}">{parts["document"]}</a>']
                        + [f"<br>{parts[key]}" for key in ("superseded", "mark") if parts[key]])
    answer = "<br>".join([f'<span class="answer answer--{report["answer"]}">{parts["words"]}</span>']
                         + [parts[key] for key in ("grade", "advice") if parts[key]])
    why = [parts["why"]]
    if parts["cut_off"]:
        why.append(f"<strong>{parts['cut_off']}</strong>")
    why += [f'<span class="worked__caution">{escape(text)}</span>' for text in parts["cautions"]]
    why += [parts["unchecked"], parts["assumed"]]
    mark = inline.mark(parts["seen"]) + " " if parts["seen"] else ""
    seen = "<br>".join(part for part in (mark + _where(project, page, report["source"]), parts["recalled"]) if part)
    return [document, answer, "<br>".join(part for part in why if part), seen]


def _where(project, page, reference):
    key, locator = split_reference(reference)
    if key in project.data.sources:
        return inline.cite(project, page, key, locator or "whole work")
    return ""


def rows_html(project, page, table, named=False):
    """Every row of one document, in its own order; `named` when a heading above has named document and table."""
    page.rests_on.add(("table", table["name"]))
    page.rests_on.update(("setting", key) for key in table.get("reads") or [])
    rows = []
    for row in table["rows"]:
        then = row["then"]
        grade = ", ".join(f"{word} {then[word]}" for word in ("class", "level") if then.get(word))
        extra = [f"{name_words(name)} {compute.input_words(name, value)}" for name, value in then.items()
                 if name not in ("answer", "class", "level", "grade", "advice")]
        says = "; ".join(part for part in [decision_words.answer_words(then["answer"]), then.get("advice") or "", *extra] if part)
        words = "; and ".join(decision_words.row_words(table, row)) or "otherwise"
        note = f'<br><span class="note">{escape(row["note"])}</span>' if row.get("note") else ""
        source = row["source"]
        where = inline.mark(row["seen"]) + (_where(project, page, source) if source not in ("practice", "memory") else "")
        place = split_reference(source)[1]
        rows.append([escape(words) + note, escape(says), escape(grade),
                     f"{escape(row['id'])} {where}" + (f' <span class="note">{escape(place)}</span>' if place else "")])
    silent = f"<p>Elsewhere: {escape(table['silent'])}.</p>" if table.get("silent") else ""
    unseen = "".join(f'<p class="notice--missing">Not seen: {escape(text)}</p>' for text in table.get("not_seen") or [])
    mark = f'<p class="worked__caution">{escape(table["mark"])}.</p>' if table.get("mark") else ""
    superseded = decision_words.superseded_words(table)
    old = f'<p class="worked__caution">{escape(superseded[0].upper() + superseded[1:])}.</p>' if superseded else ""
    assumes = f"<p>Taken for granted: {escape('; '.join(text.rstrip('.') for text in table['assumes']))}.</p>" if table.get("assumes") else ""
    cautions = "".join(f'<p class="worked__caution">{escape(caution["text"])}</p>' for caution in table.get("cautions") or [])
    beside = "".join(f"<li>{escape(text)}</li>" for text in table.get("beside") or [])
    beside = f"<ul>{beside}</ul>" if beside else ""
    body = html_table(["When", "Then", "Class, level", "Row, source"], rows, "rows") if rows else ""
    name = (f'For: {escape(table["population"])}.' if named else
            f'<strong>{escape(table["document"])}</strong>: {escape(table["title"])} ({escape(table["population"])}).')
    return (f'<p>{name}</p>{old}{mark}{unseen}{cautions}{beside}{assumes}{body}{silent}{_set_by(project, page, table)}')


def _set_by(project, page, table):
    """Which settings of the department stand in this table, each a tap away from its reason."""
    links = [compute.number_link(page, f"reference/settings.html#{key}", setting_words(key, project.setting(key).value),
                                  project.setting(key).title) + f" {escape(project.setting(key).title[0].lower() + project.setting(key).title[1:])}"
             for key in table.get("reads") or []]
    return f'<p class="note">Set by the department: {"; ".join(links)}.</p>' if links else ""


def _fields(project, tables, fence):
    """What the page needs to ask for the numbers of these tables; built by the script."""
    fields, seen = [], set()
    for table in tables:
        for name in table["asks_for"]:
            if name in seen:
                continue
            seen.add(name)
            words = (table.get("choices") or {}).get(name)
            unit = None if words else unit_of(name)
            field = {"name": name, "label": name_words(name), "unit": unit["symbol"] if unit else "",
                     "kind": "choice" if words else "number", "meaning": (table.get("means") or {}).get(name, "")}
            if words:
                field["choices"] = list(words)
            fields.append(field)
    offer = {"from": needs.sources(project, tables=tables), "tables": [table["name"] for table in tables],
             "fields": fields, "example": fence.get("given") or {}, "settings": {}, "window": compute.resolve(project, fence.get("window")), "title": fence.get("title") or ""}
    return empty_fields(offer)

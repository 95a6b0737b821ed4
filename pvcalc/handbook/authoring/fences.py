"""The fences of a chapter: worked examples, decision tables, pictures, printed examples, generated pages."""

import re
from html import escape

from yaml.error import MarkedYAMLError, YAMLError

from pvcalc.core import formula as core
from pvcalc.core.errors import PvcalcError, Refusal
from pvcalc.core.units import label_of, unit_of
from pvcalc.draw import svg as draw
from pvcalc.handbook.authoring import (
    compute, dose_fence, entry_tables, generated, inline, layers, mathml, plan_fence, prose, sliders, table_fence,
)
from pvcalc.handbook.authoring.markup import empty_fields, table
from pvcalc.handbook.data import catalogue
from pvcalc.handbook.data.findings import unknown
from pvcalc.handbook.data.yaml_lines import Document, parse
from pvcalc.handbook.engine import needs
from pvcalc.page import block

OPEN_ROWS = 6  # a longer list is folded: as cards on a telephone it would be many screens; js/show.js has the same number
OPEN_QUESTIONS = 6  # of a chapter's brief: what fits a telephone's first screen below the title
FORMULA_FIELDS = ("name", "title", "show", "figure", "caution", "sliders")


class Stop(Exception):
    """A fence cannot be rendered; the fault is already noted on the page."""


class Writer:
    """Renders the fences of one page.

    Args:
        project: the loaded project; page: what the page gathers; store: keeps finished HTML and
        returns the placeholder that stands for it in the Markdown;
        convert: makes another page's HTML, for a page that prints others.
    """

    def __init__(self, project, page, store, convert):
        self.project = project
        self.page = page
        self.store = store
        self.convert = convert
        self.headings = {}  # anchor to question of the page's sections

    def fence(self, kind, body, line):
        """HTML placeholder for one fence that opens at `line`; "" when it has a fault."""
        try:
            return self.store(FENCES[kind](self, self._read(kind, body, line), line))
        except Stop:
            return ""

    def fault(self, line, message):
        """Note a fault and give the fence up."""
        self.page.fault(line, message)
        raise Stop

    def _read(self, kind, body, line):
        text = "\n".join(body)
        try:
            document = Document(self.page.path, parse(text))
        except MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            # An unclosed bracket is found at the end of the text: name the last line that holds something.
            self.fault(line + 1 + (min(mark.line, max(0, len(body) - 1)) if mark else 0), f"the {kind} fence is not readable as YAML: {error.problem or error.context}")
        except YAMLError as error:
            self.fault(line + 1, f"the {kind} fence is not readable as YAML: {str(error).splitlines()[0]}")
        if not isinstance(document.value, dict):
            self.fault(line + 1, f"the {kind} fence holds `key: value` lines, such as `name: …`")
        return document

    def _line(self, document, line, *steps):
        """Line of a key inside the fence that opens at `line`."""
        return line + document.line(*steps)

    def _name(self, document, line, known, what):
        name = document.value.get("name")
        if name is None:
            self.fault(line, f"the fence has no `name:`; name a {what}")
        if name not in known:
            self.fault(self._line(document, line, "name"), unknown(what, name, known))
        return name

    # Worked examples

    def worked_example(self, document, line):
        """A formula with inputs: title, the way to the reader's own numbers, then the example: result, inputs, cautions, picture."""
        given = {key: value for key, value in document.value.items() if key not in FORMULA_FIELDS}
        name = self._name(document, line, self.project.formulas, "formula")
        answer = self._answer(name, given, document, line)
        result = self._result(document, answer, line)
        place = self.page.place(name)
        entry = answer.entry
        noted = {key: given[key] if isinstance(value, list) and compute.rests_on_settings(given[key]) else value
                 for key, value in answer.inputs.items()}
        self.page.rests_on.update(("setting", key) for value in given.values() for key in compute.settings_in(value))
        compute.note(self.page, "formula", name, noted, answer.value,
                      source=entry.text.source, seen=entry.formula.seen)
        figure = self._figure(document, answer, place, line)
        title = document.value.get("title") or entry.text.summary
        return (f'<section class="worked" id="{place}" data-formula="{name}" role="group" aria-label="Worked example: {escape(title)}">'
                f'<p class="worked__title">{escape(title)}</p>{self._not_for(entry)}{self._fields(entry, document, answer)}'
                f'<div class="worked__example"><p class="worked__kind">Worked example, invented</p>{result}'
                f'{self._inputs(answer)}{self._questions(answer)}{self._cautions(document, entry)}{figure}</div>'
                f'{self._about(entry)}</section>')

    def _answer(self, name, given, document, line):
        """The computed answer; every fault is tied to the line of its own field."""
        inputs = {}
        for key, value in given.items():
            try:
                inputs[key] = compute.resolve(self.project, value)
            except compute.Fault as fault:
                self.page.fault(self._line(document, line, key), str(fault))
        if len(inputs) < len(given):
            raise Stop
        reply = compute.run_once(name, inputs)
        if not reply["ok"]:
            for field, sentence in reply["faults"]:
                self.page.fault(self._line(document, line, field if field in given else "name"), f"{name}: {sentence}")
            raise Stop
        return compute.Answer(self.project.formulas[name], inputs, reply["value"], reply["shown"], reply["asks"])

    def _result(self, document, answer, line):
        """The result as HTML: one value, several named ones, or records as a table."""
        wanted = document.value.get("show")
        if wanted:
            try:
                value = answer.result(wanted)
            except compute.Fault as fault:
                self.fault(self._line(document, line, "show"), str(fault))
            return result_html([{"label": "", "text": core.shown_value(wanted, value, answer.entry.formula.decimals)}])
        return result_html(block.result_parts(answer.entry.formula, answer.value))

    def _inputs(self, answer):
        rows = []
        for name in answer.entry.formula.limits:
            if name in answer.inputs:
                words = compute.input_words(name, answer.inputs[name])
                rows.append(f'<div><dt>{escape(label_of(name))}</dt><dd translate="no">{escape(words)}</dd></div>')
        return f'<dl class="worked__inputs">{"".join(rows)}</dl>'

    def _questions(self, answer):
        return "".join(f'<p class="worked__{"question" if "?" in text else "caution"}">{escape(text)}</p>' for text in answer.asks)

    def _cautions(self, document, entry):
        texts = [caution for caution in [document.value.get("caution")] if caution] + entry.text.cautions[:1]
        parts = [f'<p class="worked__caution">{self.text(text)}</p>' for text in texts]
        if entry.doubted:
            parts.append(f'<p class="worked__caution">{inline.mark("memory")} Computed with coefficients that nobody here '
                         "has seen in print: do not act on it before they are confirmed.</p>")
        return "".join(parts)

    def _not_for(self, entry):
        """Before the fields, so that whoever types has read it; it stays when the form takes the example's place."""
        return f'<p class="worked__caution">Not for: {self.text(entry.text.not_for)}</p>' if entry.text.not_for else ""

    def text(self, words):
        """A sentence of a docstring with its marks and its code set as on a page."""
        return rich(self.project, self.page, words)

    def _about(self, entry):
        return (f'<p class="worked__meta"><a class="worked__formula" href="{self.page.up}reference/formulas.html#{entry.name}">'
                f"<code>{entry.name}</code></a> · {self.text(entry.text.source)} · {badge(self.page, entry)}</p>")

    def _fields(self, entry, document, answer):
        """What the page needs to offer empty fields; the script builds them, so nothing shows without it."""
        formula = entry.formula
        fields = [field_of(name, limit, entry.text.arguments.get(name, "")) for name, limit in formula.limits.items()]
        settings = {key: value for key, value in document.value.items()
                    if key in formula.limits and compute.rests_on_settings(value)}
        fields = [field for field in fields if field["name"] not in settings]
        if any(field["kind"] == "records" for field in fields):
            return ""  # a list of records is nothing to type into a field
        if document.value.get("sliders"):
            for field in fields:
                if field["kind"] in ("number", "whole"):
                    field["stops"] = sliders.stops(formula.limits[field["name"]])
        chosen = [chosen_words(name, answer.inputs[name]) for name in settings]
        figure = document.value.get("figure")
        picture = figure.get("name") if isinstance(figure, dict) else figure
        named = compute.settings_in([*settings.values(), figure])
        offer = {"formula": entry.name, "from": needs.sources(self.project, formula, picture, settings=named), "fields": fields,
                 "settings": settings,
                 "example": {name: answer.inputs[name] for name in answer.inputs if name not in settings},
                 "settings_words": "; ".join(chosen), "title": document.value.get("title") or entry.text.summary,
                 "figure": figure or "", "show": document.value.get("show") or "",
                 "sliders": bool(document.value.get("sliders")), "recalled": entry.doubted, "not_for": plain_text(entry.text.not_for),
                 "population": plain_text(entry.text.valid), "source": plain_text(entry.text.source)}
        return empty_fields(offer)

    # Pictures

    def _figure(self, document, answer, place, line):
        wanted = document.value.get("figure")
        if not wanted:
            return ""
        known = block.known_values(answer.entry.formula, answer.inputs, answer.value)
        return self._picture(wanted, known, place, self._line(document, line, "figure"))

    def _picture(self, figure, known, place, line):
        """Draw by name: what the fence gives, and of the rest what the example knows under the same name."""
        try:
            self.page.rests_on.update(("setting", key) for key in compute.settings_in(figure))
            if not isinstance(figure, str):
                figure = {key: compute.resolve(self.project, value) for key, value in figure.items()}
            svg = block.drawing(figure, known, place)
        except Refusal as refusal:
            self.fault(line, f"picture: {inline.fault_words(refusal)}")
        except (PvcalcError, compute.Fault) as fault:
            self.fault(line, f"picture: {fault}")
        name = figure if isinstance(figure, str) else figure["name"]
        self.page.rests_on.add(("picture", name))
        return f'<figure class="picture" data-picture="{name}" translate="no">{svg}</figure>'

    def picture(self, document, line):
        """A picture on its own, with a caption."""
        figure = {key: value for key, value in document.value.items() if key != "caption"}
        self._name(document, line, draw.PICTURES, "picture")
        self.page.examples += 1
        place = f"{self.page.slug.replace('/', '-')}-figure-{self.page.examples}"
        html = self._picture(figure, {}, place, line)
        caption = document.value.get("caption")
        if caption:
            html = html.replace("</figure>", f'<figcaption translate="yes">{self.text(caption)}</figcaption></figure>')
        return html

    # Printed examples, decision tables, series, generated pages

    def printed(self, document, line):
        """One published example by its id, with print and computation side by side."""
        wanted = document.value.get("id")
        known = {catalogue.printed_id(example): example for example in core.PRINTED}
        if wanted not in known:
            self.fault(self._line(document, line, "id"), unknown("printed example", wanted, known))
        return entry_tables.printed_table(self.project, self.page, [known[wanted]])

    def table(self, document, line):
        """One decision table, or several documents side by side for given numbers."""
        try:
            return table_fence.render(self, document, line)
        except table_fence.Fault as fault:
            self.fault(self._line(document, line, *fault.steps), str(fault))

    def plan(self, document, line):
        """The case plan: of a case file, or the empty form."""
        if self.page.draft and "case" in document.value and document.value["case"] in plan_fence.case_files(self.project.root):
            return ""
        try:
            return plan_fence.render(self, document, line)
        except plan_fence.Fault as fault:
            self.fault(self._line(document, line, *fault.steps), str(fault))

    def doses(self, document, line):
        """Rows of the dose sheet."""
        try:
            return dose_fence.render(self, document, line)
        except dose_fence.Fault as fault:
            self.fault(self._line(document, line, *fault.steps), str(fault))

    def series(self, document, line):
        """Published results as rows."""
        keys = document.value.get("ids") or []
        for place, key in enumerate(keys):
            if key not in self.project.data.series:
                self.fault(self._line(document, line, "ids", place), unknown("series", key, self.project.data.series))
        return entry_tables.series_table(self.project, self.page, keys)

    def settings(self, document, line):
        """Settings of one topic, or by key, as rows."""
        wanted = document.value.get("keys") or []
        topic = document.value.get("topic")
        keys = [key for key, setting in self.project.data.settings.items() if key in wanted or setting.topic == topic]
        for place, key in enumerate(wanted):
            if key not in self.project.data.settings:
                self.fault(self._line(document, line, "keys", place), unknown("setting", key, self.project.data.settings))
        if not keys:
            self.fault(self._line(document, line, "topic"),
                       unknown("topic", topic, {setting.topic for setting in self.project.data.settings.values()}))
        return entry_tables.settings_table(self.project, self.page, keys)

    def generated(self, document, line):
        """A whole reference page."""
        wanted = document.value.get("page")
        known = generated.pages()
        if wanted not in known:
            self.fault(self._line(document, line, "page"), unknown("generated page", wanted, known))
        return "" if self.page.draft else known[wanted](self.project, self.page)


    # The chapter on one screen

    def brief(self, document, line):
        """Each question of the page with its answer in a few words: `anchor: short answer` lines, in the order of the page."""
        self.page.brief = True
        questions = []
        for anchor, answer in document.value.items():
            at = self._line(document, line, anchor)
            if anchor not in self.headings:
                self.page.fault(at, unknown("section of this page", anchor, self.headings))
                continue
            for message in prose.faults(str(answer)):
                self.page.fault(at, message)
            questions.append((anchor, self.headings[anchor], self._short_answer(str(answer), at)))
        for anchor, question in self.headings.items():
            if anchor not in document.value and question not in layers.CLOSING:
                self.page.fault(line, f"the section “{question}” has no short answer in the brief; add `{anchor}: …`")
        return layers.brief_html(questions, OPEN_QUESTIONS)

    def _short_answer(self, text, line):
        """Computed numbers as words, since the whole row is a link; provenance stands in the section that it leads to."""
        words = inline.Inline(self.project, self.page, lambda html: re.sub("<[^>]*>", "", html))
        return words.convert(escape(text, quote=False), line, layers.Gathered(""))


FENCES = {"formula": Writer.worked_example, "table": Writer.table, "printed": Writer.printed,
          "picture": Writer.picture, "series": Writer.series, "settings": Writer.settings,
          "generated": Writer.generated, "plan": Writer.plan, "doses": Writer.doses, "brief": Writer.brief}


def result_html(parts):
    """The parts of a result: single values in one frame, records as tables behind it."""
    single = [part for part in parts if "text" in part]
    lines = "".join(f'<span class="worked__part"><span class="worked__label">{escape(part["label"] or "Result")}</span> '
                    f'<output translate="no">{escape(part["text"])}</output></span>' for part in single)
    tables = "".join(f'<details{" open" if place == 0 and len(part["rows"]) <= OPEN_ROWS else ""}><summary>{escape(part["label"])} ({len(part["rows"])})</summary>'
                     + table(part["heads"], [[escape(cell) for cell in row] for row in part["rows"]], "compared") + "</details>"
                     for place, part in enumerate(part for part in parts if "rows" in part))
    return f'<p class="worked__result">{lines}</p>{tables}'


def badge(page, entry):
    """How many examples check this formula, by kind, and whether its coefficients were recalled."""
    published = [example for example in entry.printed if example.kind in ("published", "other-software")]
    derived = [example for example in entry.printed if example.kind in ("derived", "identity")]
    parts = [f'<span data-search-exclude="" class="badge badge--published">published {len(published)}</span>',
             f'<span data-search-exclude="" class="badge badge--derived">derived {len(derived)}</span>']
    if entry.doubted:
        parts.append('<span data-search-exclude="" class="badge badge--memory">recalled</span>')
    place = entry.name if entry.printed else "no-published-example"
    return f'<a href="{page.up}reference/verification.html#{place}">' + " ".join(parts) + "</a>"


def field_of(name, limit, meaning):
    """One input as the page asks for it."""
    unit = unit_of(name)
    described = {"name": name, "label": label_of(name), "unit": unit["symbol"] if unit else "", "kind": limit.kind,
                 "meaning": plain_text(meaning)}
    if limit.kind == "choice":
        described["choices"] = list(limit.choices)
    elif limit.kind != "records":
        described["range"] = core.range_words(name, limit)
    return described


def chosen_words(name, value):
    """A setting that an example rests on, in words; a list of records stands in a table of the reference."""
    return label_of(name) if isinstance(value, list) else f"{label_of(name)} {compute.input_words(name, value)}"


def plain_text(words):
    """A docstring sentence without its marks."""
    words = inline.TOKENS.sub(lambda match: f"{match['key']}, {match['locator']}" if match["key"] else
                              match["mark"] or (match["code"] or "").strip("`") or match["math"] or "", words)
    return words.strip()


def rich(project, page, words):
    """A docstring sentence as HTML: citations, provenance words, code and mathematics.

    Without a page there is nowhere to number a citation; it then names the work.
    """
    out, at = [], 0
    for match in inline.TOKENS.finditer(words):
        out.append(escape(words[at:match.start()]))
        at = match.end()
        if match["code"]:
            out.append(f"<code>{escape(match['code'].strip('`'))}</code>")
        elif match["key"] and page is None:
            source = project.data.sources.get(match["key"])
            out.append(escape(f"({source.short_name if source else match['key']}, {match['locator']})"))
        elif match["key"] and match["key"] in project.data.sources:
            out.append(inline.cite(project, page, match["key"], match["locator"] or "whole work"))
        elif match["mark"]:
            out.append(inline.mark(match["mark"]))
        elif match["math"] or match["display"]:
            out.append(mathml.mathml(match["math"] or match["display"]))
        else:
            out.append(escape(match[0]))
    return "".join(out) + escape(words[at:])

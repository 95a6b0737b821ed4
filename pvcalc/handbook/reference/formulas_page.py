"""The page of formulas: what each computes, its limits, where it comes from, what checks it."""

from html import escape

from pvcalc.core import formula as core
from pvcalc.core.units import label_of, unit_of
from pvcalc.handbook.authoring import inline, mathml
from pvcalc.handbook.authoring.fences import badge, rich
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.checks import worksheet_rows
from pvcalc.handbook.data.docstrings import citations_in


@generated("formulas")
def formulas_page(project, page):
    """All formulas, grouped by topic."""
    topics = {}
    for entry in project.formulas.values():
        topics.setdefault(entry.topic, []).append(entry)
    parts = [f"<p>{len(project.formulas)} formulas in {len(topics)} topics. Each is one short function, run by the tests, "
             "by this build and in the reader's browser.</p>"]
    for topic, entries in topics.items():
        parts.append(f'<h2 id="{entries[0].anchor}">{escape(topic.capitalize())}</h2>')
        parts += [_entry(project, page, entry) for entry in entries]
    return "".join(parts)


def _entry(project, page, entry):
    text = entry.text
    parts = [f'<section class="entry" id="{entry.name}"><h3><code>{entry.name}</code></h3><p>{escape(text.summary)}.</p>']
    if text.latex:
        parts.append(f'<p class="equation">{mathml.mathml(text.latex, True)}</p>')
    if text.in_words:
        parts.append(f'<p class="in-words">{escape(text.in_words)}</p>')
    parts += [f'<p class="worked__caution">{rich(project, page, caution)}</p>' for caution in text.cautions]
    parts.append(table(["Input", "Meaning", "Unit", "Allowed"], [_argument(name, limit, text) for name, limit in
                                                                   entry.formula.limits.items()], "arguments"))
    parts.append(_results(entry))
    for label, words in (("Valid", text.valid), ("Not for", text.not_for), ("Source", text.source)):
        if words:
            parts.append(f"<p><strong>{label}:</strong> {rich(project, page, words)}{_places(project, words)}</p>")
    parts.append(f"<p>{badge(page, entry)}</p></section>")
    return "".join(parts)


def _places(project, words):
    """The works cited, each with its place, in words: a reviewer reads them without another tap."""
    named = [f"{project.data.sources[key].short_name}, {locator or worksheet_rows.place_not_noted(project, key)}"
             for key, locator in citations_in(words) if key in project.data.sources]
    return f' <span class="note">({escape("; ".join(named))})</span>' if named else ""


def _argument(name, limit, text):
    unit = unit_of(name)
    return [f"<code>{name}</code>", escape(text.arguments.get(name, "")), escape(unit["symbol"] if unit else ""),
            escape(core.range_words(name, limit))]


def _results(entry):
    names = entry.formula.gives or [entry.name]
    described = []
    for name in names:
        unit = unit_of(name)
        described.append(f"{escape(label_of(name))} ({escape(unit['symbol'] or unit['meaning'] if unit else 'see text')})")
    return f"<p><strong>Gives:</strong> {'; '.join(described)}. {escape(entry.text.returns)}</p>"

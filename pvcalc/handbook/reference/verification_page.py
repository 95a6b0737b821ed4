"""The page of printed examples: what somebody published, what this code gives, and whether they agree."""

from html import escape

from pvcalc.core import formula as core
from pvcalc.core.units import show, show_input
from pvcalc.handbook.authoring import compute, inline
from pvcalc.handbook.authoring.markup import breakable, filters, table
from pvcalc.handbook.data import catalogue

HEADS = ["Formula and inputs", "Printed", "Computed", "Difference", "Allowed", "Where printed", "Kind", "Seen", "Verdict"]


def verification_page(project, page):
    """Every printed example, with filters by topic, provenance and verdict."""
    examples = [example for entry in project.formulas.values() for example in entry.printed]
    without = [entry for entry in project.formulas.values()
               if not any(example.kind in ("published", "other-software") for example in entry.printed)]
    topics = sorted({entry.topic for entry in project.formulas.values()})
    agree = sum(1 for example in examples if catalogue.outcome(example).agrees)
    parts = [
        f"<p>{len(examples)} examples: {agree} agree with the print to its last digit or the allowance named, "
        f"{len(examples) - agree} do not and say why. The computed column comes from the same file that runs in the "
        "reader's browser.</p>",
        "<p>“Published” stands in a source; “derived” was worked out for this handbook by another road; an “identity” is "
        "true by definition. A derived example proves less than a published one.</p>",
        filters("verification-rows", [("topic", "Topic", topics), ("seen", "Seen", list(core.SEEN)),
                                      ("kind", "Kind", list(core.KINDS)), ("verdict", "Verdict", ["agrees", "differs"])]),
        f'<div id="verification-rows">{printed_table(project, page, examples, anchors=True)}</div>',
        '<h2 id="no-published-example">Formulas without a published example</h2>',
        "<p>None was found for these; they stand on derived examples, identities and second witnesses in the tests: "
        + ", ".join(f'<a href="formulas.html#{entry.name}"><code>{entry.name}</code></a>' for entry in without) + ".</p>",
    ]
    return "".join(parts)


def printed_table(project, page, examples, anchors=False):
    """Rows of printed examples; with `anchors` each formula's first row can be linked to."""
    first = set()
    rows, attributes = [], []
    for example in examples:
        name = example.formula.name
        entry = project.formulas[name]
        marks = {"data-topic": entry.topic, "data-seen": example.seen, "data-kind": example.kind,
                 "data-verdict": "agrees" if catalogue.outcome(example).agrees else "differs"}
        if anchors:
            # The row carries its own address; the formula's address stands in its first row.
            marks["id"] = catalogue.printed_id(example)
        rows.append(_row(project, page, example, anchors and name not in first))
        first.add(name)
        attributes.append(marks)
    return table(HEADS, rows, "verification", attributes)


def _row(project, page, example, with_anchor):
    name = example.formula.name
    computed = catalogue.outcome(example).computed
    compute.note(page, "printed", catalogue.printed_id(example), example.inputs, computed,
                  source=f"{example.source}, {example.locator}", seen=example.seen)
    given = ", ".join(f"{key} {compute.input_words(key, value)}" for key, value in example.inputs.items())
    anchor = f' id="{name}"' if with_anchor else ""
    agrees = catalogue.outcome(example).agrees
    verdict = "agrees" if agrees else f"differs: {example.differs}"
    decimals = (len(example.answer.split(".")[1]) if "." in example.answer else 0) + 2
    allowed = show_input(example.tolerance()) + (f" ({escape(example.because)})" if example.because else "")
    where = breakable(example.locator)
    if example.source in project.data.sources:
        where = inline.cite(project, page, example.source, example.locator) + f" {breakable(example.locator)}"
    result = f" → {breakable(example.result)}" if example.result else ""
    return [f'<span{anchor}><a href="{page.up}reference/formulas.html#{name}"><code>{breakable(name)}</code></a></span>{result}<br>{breakable(given)}',
            _answer(page, example), show(computed, decimals),
            show(computed - float(example.answer), decimals), allowed, where, example.kind, inline.mark(example.seen),
            f'<span class="verdict verdict--{"agrees" if agrees else "differs"}">{escape(verdict)}</span>']


def _answer(page, example):
    """The printed digits; one tap leads to the row on the page of all examples."""
    where = f"{page.up}reference/verification.html#{catalogue.printed_id(example)}"
    return f'<strong><a class="num" translate="no" href="{where}">{escape(example.answer)}</a></strong>'

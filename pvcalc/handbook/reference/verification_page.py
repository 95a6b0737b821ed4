"""The page of printed examples: what somebody published, what this code gives, and whether they agree."""

from pvcalc.core import formula as core
from pvcalc.handbook.authoring import compute
from pvcalc.handbook.authoring.entry_tables import printed_table
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters


@generated("verification")
def verification_page(project, page):
    """Every printed example, with filters by topic, provenance and verdict."""
    examples = [example for entry in project.formulas.values() for example in entry.printed]
    without = [entry for entry in project.formulas.values()
               if not any(example.kind in ("published", "other-software") for example in entry.printed)]
    topics = sorted({entry.topic for entry in project.formulas.values()})
    agree = sum(1 for example in examples if compute.outcome(example).agrees)
    parts = [
        f"<p>{len(examples)} examples: {agree} agree with the print to its last digit or the allowance named, "
        f"{len(examples) - agree} do not and say why. The computed column comes from the same file that runs in the "
        "reader's browser.</p>",
        "<p>“Published” stands in a source; “derived” was worked out for this handbook by another road; an “identity” is "
        "true by definition; “other-software” is what another program prints, or gave when it was asked (then it says derived). "
        "A derived example proves less than a published one.</p>",
        filters("verification-rows", [("topic", "Topic", topics), ("seen", "Seen", list(core.SEEN)),
                                      ("kind", "Kind", list(core.KINDS)), ("verdict", "Verdict", ["agrees", "differs"])]),
        f'<div id="verification-rows">{printed_table(project, page, examples, anchors=True)}</div>',
        '<h2 id="no-published-example">Formulas without a published example</h2>',
        "<p>None was found for these; they stand on derived examples, identities and second witnesses in the tests: "
        + ", ".join(f'<a href="formulas.html#{entry.name}"><code>{entry.name}</code></a>' for entry in without) + ".</p>",
    ]
    return "".join(parts)

"""What a page says of its own signature, and the page that lists all of them."""

from html import escape

from pvcalc.handbook.authoring import extension
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.checks import signing, worksheet_rows

MOST_NAMED = 12  # a longer list of changes is cut on the page; the command line gives it whole


def status_of(project, slug, parts):
    """(word, sentence) for one chapter: signed, lapsed or unsigned."""
    signature = project.data.signoff.get(slug)
    if signature is None:
        return "unsigned", "Not signed: no role of the department answers for this page yet."
    moved = signing.changed_since(signature, parts)
    given = f"Signed by the {signature.role} on {signature.signed_on.isoformat()}, review by {signature.review_by.isoformat()}."
    if not moved:
        return "signed", given
    named = ", ".join(moved[:MOST_NAMED]) + (f" and {len(moved) - MOST_NAMED} more" if len(moved) > MOST_NAMED else "")
    return "lapsed", f"{given} Changed since, so the signature has lapsed: {named}."


def page_status(project, page, text):
    """The block at the end of a chapter."""
    if page.slug not in signing.signable(project):
        return ""
    word, sentence = status_of(project, page.slug, signing.parts_of_page(project, page, text))
    return (f'<section class="signature signature--{word}" aria-label="Signature"><p>{escape(sentence)} '
            f'<a href="{page.up}{worksheet_rows.FOLDER}/{page.slug}.html">Worksheet for reviewers</a> · '
            f'<a href="{page.up}reference/signatures.html">All signatures</a></p></section>')


@generated("signatures")
def signatures_page(project, page):
    """Every chapter with its signature."""
    rows = []
    for slug in signing.signable(project):
        other = extension.gathered(project, slug)
        whole = (project.root / "kb" / f"{slug}.md").read_text(encoding="utf-8")
        word, sentence = status_of(project, slug, signing.parts_of_page(project, other, whole))
        count = len(dict.fromkeys(other.ledger))
        rows.append([f'<a href="{page.up}{slug}.html">{escape(slug)}</a>', word, escape(sentence),
                     f'<a href="{page.up}{worksheet_rows.FOLDER}/{slug}.html">worksheet</a>, {count} numbers'])
    return ("<p>A signature names a role, never a person. It lapses by itself when a word, a number, a setting, a source, a table "
            "or the code behind them changes; the page then says what.</p>"
            "<p>To sign: <code>python -m pvcalc sign SLUG --role …</code></p>" + table(["Page", "State", "Signature", "For reviewers"], rows))

"""What a page says of its own signature, and the page that lists all of them."""

from dataclasses import dataclass
from html import escape

from pvcalc.handbook.authoring import extension
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table
from pvcalc.handbook.checks import signing, worksheet_rows

MOST_NAMED = 12  # a longer list of changes is cut on the page; the command line gives it whole


@dataclass(frozen=True)
class Standing:
    """What is true of a page's signature, in the words that its head, its foot and its print show.

    Attributes:
        word: "signed", "lapsed", "unsigned", or "none" for a page that nobody signs.
        brief: a few words for the head of the page.
        sentence: the whole of it.
        role: who answers for the page now, "" when nobody does.
        review_by: until when that holds, "" when it does not.
    """

    word: str
    brief: str
    sentence: str
    role: str = ""
    review_by: str = ""


UNSIGNED = Standing("unsigned", "Draft", "Not signed: no role of the department answers for this page yet.")
NEVER = Standing("none", "Made by the build", "Not a page to sign: what it lists is signed where it is used.")


def standing_of(project, slug, parts) -> Standing:
    """How one chapter stands.

    Args:
        parts: what it rests on now (`signing.parts_of`); only asked for when it was signed.
    """
    signature = project.data.signoff.get(slug)
    if slug not in signing.signable(project):
        return NEVER
    if signature is None:
        return UNSIGNED
    moved = signing.changed_since(signature, parts())
    given = f"Signed by the {signature.role} on {signature.signed_on.isoformat()}, review by {signature.review_by.isoformat()}."
    if not moved:
        return Standing("signed", f"Signed by the {signature.role}, {signature.signed_on.isoformat()}", given, signature.role,
                        signature.review_by.isoformat())
    named = ", ".join(moved[:MOST_NAMED]) + (f" and {len(moved) - MOST_NAMED} more" if len(moved) > MOST_NAMED else "")
    return Standing("lapsed", "Signature lapsed", f"{given} Changed since, so the signature has lapsed: {named}.")


def standing_of_page(project, page, text) -> Standing:
    """How a page stands that was just converted from the source `text`."""
    return standing_of(project, page.slug, lambda: signing.parts_of_page(project, page, text))


def page_status(page, standing):
    """The block at the end of a chapter."""
    if standing.word == NEVER.word:
        return ""
    return (f'<section class="signature signature--{standing.word}" id="signature" aria-label="Signature"><p>{escape(standing.sentence)} '
            f'<a href="{page.up}{worksheet_rows.FOLDER}/{page.slug}.html">Worksheet for reviewers</a> · '
            f'<a href="{page.up}reference/signatures.html">All signatures</a></p></section>')


def state_of_book(project) -> str:
    """How many pages of the handbook are signed, in a sentence for its title page."""
    words = [standing_of(project, slug, lambda slug=slug: signing.parts_of(project, slug)).word for slug in signing.signable(project)]
    signed, lapsed = words.count("signed"), words.count("lapsed")
    if not signed + lapsed:
        return f"Draft: none of {len(words)} pages is signed"
    rest = f"; {lapsed} more had a signature that lapsed" if lapsed else ""
    return f"{'Signed' if signed == len(words) else 'Draft'}: {signed} of {len(words)} pages signed{rest}"


@generated("signatures")
def signatures_page(project, page):
    """Every chapter with its signature."""
    rows = []
    for slug in signing.signable(project):
        other = extension.gathered(project, slug)
        whole = (project.root / "kb" / f"{slug}.md").read_text(encoding="utf-8")
        standing = standing_of_page(project, other, whole)
        count = len(dict.fromkeys(other.ledger))
        rows.append([f'<a href="{page.up}{slug}.html">{escape(slug)}</a>', standing.word, escape(standing.sentence),
                     f'<a href="{page.up}{worksheet_rows.FOLDER}/{slug}.html">worksheet</a>, {count} numbers'])
    return ("<p>A signature names a role, never a person. It lapses by itself when a word, a number, a setting, a source, a table "
            "or the code behind them changes; the page then says what.</p>"
            "<p>To sign: <code>python -m pvcalc sign SLUG --role …</code></p>" + table(["Page", "State", "Signature", "For reviewers"], rows))

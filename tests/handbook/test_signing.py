"""Signatures lapse when, and only when, something the chapter rests on has moved."""

import re
import shutil
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
import yaml
from jinja2 import Environment, FileSystemLoader

from pvcalc.handbook.checks import lint, signing
from pvcalc.handbook.cli import commands
from pvcalc.handbook.data import project
from pvcalc.handbook.reference.signatures_page import standing_of, state_of_book

ON, REVIEW = date(2026, 11, 25), date(2027, 11, 25)
SIGNED = ("sizing", "indications")


@pytest.fixture(scope="module")
def signed_once(root, tmp_path_factory):
    """A copy in which two chapters are signed as they stand."""
    copied = tmp_path_factory.mktemp("signed") / "copy"
    shutil.copytree(root / "kb", copied / "kb")
    shutil.copy(root / "mkdocs.yml", copied)
    loaded = project.load(copied)
    for slug in SIGNED:
        signing.sign(loaded, slug, "consultant in charge", ON, REVIEW)
    return copied


@pytest.fixture
def signed(signed_once, tmp_path):
    """That copy, to change something in."""
    return Path(shutil.copytree(signed_once, tmp_path / "signed"))


def moved(folder, slugs=SIGNED):
    """What moved since the signature, by chapter."""
    loaded = project.load(folder)
    assert loaded.findings == []
    return {slug: signing.changed_since(loaded.data.signoff[slug], signing.parts_of(loaded, slug)) for slug in slugs}


def change(path, before, after):
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")


def test_nothing_moved_nothing_lapses(signed):
    assert moved(signed) == {"sizing": [], "indications": []}


def test_one_sentence_lapses_its_own_page_only(signed):
    change(signed / "kb" / "sizing.md", "\n\n", "\n\nOne sentence more.\n\n")
    assert moved(signed) == {"sizing": ["text"], "indications": []}


def test_one_setting_lapses_the_pages_that_use_it(signed):
    change(signed / "kb" / "_data" / "settings.yml", "value: 1.25", "value: 1.24")
    assert moved(signed) == {"sizing": ["numbers", "setting target_high_ratio"], "indications": []}


def test_one_source_lapses_the_pages_that_cite_it(signed):
    path = signed / "kb" / "_data" / "sources.yml"
    before, entry = path.read_text(encoding="utf-8").split("\nharrild2010:\n")
    assert "year: 2010" in entry
    path.write_text(before + "\nharrild2010:\n" + entry.replace("year: 2010", "year: 2011", 1), encoding="utf-8")
    assert moved(signed) == {"sizing": ["source harrild2010"], "indications": []}


def test_one_row_of_a_table_lapses_the_pages_that_show_it(signed):
    change(signed / "kb" / "_data" / "_tables" / "treat.yml", "Intervention is reasonable.", "Intervention is thought reasonable.")
    assert moved(signed) == {"indications": ["table treat_aha_2018"], "sizing": []}


def test_one_constant_lapses_the_pages_computed_with_it(signed, monkeypatch):
    monkeypatch.setattr(signing, "_digest_of_module",
                        lambda module, real=signing._digest_of_module: "0" * 12 if module == "pvcalc.sizing.two_balloons" else real(module))
    assert moved(signed) == {"sizing": ["code pvcalc.sizing.two_balloons"], "indications": []}


def test_line_ends_do_not_matter():
    assert signing.digest("a\r\nb\r\n") == signing.digest("a\nb\n") != signing.digest("a\nc\n")


@pytest.mark.parametrize(("slug", "role", "review", "words"), [
    ("sizing", "Dr Somebody", REVIEW, "is no role"), ("sizing", "", REVIEW, "is no role"), ("sizing", "   ", REVIEW, "is no role"),
    ("sizing", "<img src=x>", REVIEW, "is no role"), ("sizing", "consultant\nin charge", REVIEW, "is no role"), ("sizing", "cé consultant", REVIEW, "is no role"),
    ("sizing", "consultant in charge", ON, "must lie after"),
    ("changes", "consultant in charge", REVIEW, "not a page to sign"),
    ("nowhere", "consultant in charge", REVIEW, "not a page to sign"),
])
def test_a_signature_that_cannot_be_given_says_why(loaded, slug, role, review, words):
    before = (loaded.root / signing.SIGNATURES).read_bytes()
    with pytest.raises(signing.NotAllowed, match=words):
        signing.sign(loaded, slug, role, ON, review)
    assert (loaded.root / signing.SIGNATURES).read_bytes() == before


def test_no_page_is_signed_ahead_of_time(loaded):
    tomorrow = date.today() + timedelta(1)
    with pytest.raises(signing.NotAllowed, match="lies in the future"):
        signing.sign(loaded, "sizing", "consultant in charge", tomorrow, tomorrow + timedelta(9))


SIGNATURE = "{slug}:\n  role: {role}\n  signed_on: {on}\n  review_by: 2091-01-01\n  rests_on: {{}}\n"


@pytest.mark.parametrize(("given", "line", "words"), [
    ({"role": "Dr A. Smith"}, 2, "must match"), ({"role": "''"}, 2, "at least 4 char"), ({"slug": "sizin"}, 1, "no page is called `sizin`; nearest: `sizing`"),
    ({"on": "2090-12-31"}, 3, "lies in the future")])
def test_a_signature_written_by_hand_is_held_to_the_same(copy_of_project, given, line, words):
    path = copy_of_project / signing.SIGNATURES
    path.write_text(SIGNATURE.format(**{"slug": "sizing", "role": "consultant", "on": "2026-11-25", **given}), encoding="utf-8")
    found = [str(one) for one in project.load(copy_of_project).findings]
    assert len(found) == 1 and found[0].startswith(f"{signing.SIGNATURES}:{line}: ") and words in found[0], found


def test_a_full_disk_leaves_every_signature(signed, monkeypatch):
    before = (signed / signing.SIGNATURES).read_bytes()
    monkeypatch.setattr("os.fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(OSError):
        signing.sign(project.load(signed), "audit", "consultant in charge", ON, REVIEW)
    assert (signed / signing.SIGNATURES).read_bytes() == before and before


def test_the_command_line_signs(copy_of_project, capsys):
    assert commands.main(["--root", str(copy_of_project), "sign", "sizing", "--role", "consultant in charge"]) == 0
    assert "sizing: signed by the consultant in charge" in capsys.readouterr().out
    assert moved(copy_of_project, ["sizing"]) == {"sizing": []}
    assert commands.main(["--root", str(copy_of_project), "sign", "sizing", "--role", "A Name"]) == 1


def shown(root, standing):
    """(head, foot, print foot) of a page that stands so, as plain text."""
    looks = Environment(loader=FileSystemLoader(root / "site_overrides/partials"))
    looks.filters["url"] = str
    book = yaml.safe_load((root / "mkdocs.yml").read_text(encoding="utf-8").partition("extra:\n")[2].partition("  handbook:\n")[2])
    given = {"config": SimpleNamespace(site_name="Book", extra=SimpleNamespace(handbook=book)), "pages": [], "build_date_utc": date(2026, 12, 1),
             "page": SimpleNamespace(standing=standing, meta={"signed_on": "2001-01-01", "owner": "Dr Nobody", "review_by": "2055-01-01"})}
    html = [looks.get_template(name).render(given) for name in ("notices.html", "book-footer.html")]
    head, foot = [re.sub(r"\s+", " ", re.sub("<[^>]*>", " ", text)) for text in html]
    return head, foot, foot.partition("Book . Edition")[2] or foot.partition("Book. Edition")[2]


def standing(folder, slug):
    loaded = project.load(folder)
    return standing_of(loaded, slug, lambda: signing.parts_of(loaded, slug))


def test_head_and_foot_of_a_page_say_draft_signed_or_lapsed_and_nothing_that_was_typed(root, signed):
    head, foot, printed = shown(root, standing(signed, "technique"))
    assert "Draft." in head and "Not signed: no role" in foot and "nobody yet" in foot and "Draft, not signed" in printed
    assert "valid until" not in foot and "Signed by" not in head + foot
    head, foot, printed = shown(root, standing(signed, "sizing"))
    assert "Signed by the consultant in charge, 2026-11-25" in head and "Answers for it consultant in charge" in foot
    assert "Next review 2027-11-25" in foot and "valid until 2027-11-25" in printed
    change(signed / "kb" / "sizing.md", "\n\n", "\n\nOne sentence more.\n\n")
    head, foot, printed = shown(root, standing(signed, "sizing"))
    assert "Signature lapsed." in head and "has lapsed: text." in head and "Nobody answers for this page as it stands" in head
    assert "nobody yet" in foot and "valid until" not in foot and "SIGNATURE LAPSED" in printed and "Next review of the edition" in foot
    head, foot, _ = shown(root, standing(signed, "reference/sources"))
    assert "Not a page to sign" in foot and "Draft" not in head and "valid until" not in foot
    assert not any("Nobody" in words or "2001" in words or "2055" in words for words in (foot, printed))


def test_the_title_of_the_book_counts_the_signatures(signed):
    assert state_of_book(project.load(signed)).startswith("Draft: 2 of ")
    change(signed / "kb" / "_data" / "settings.yml", "value: 1.25", "value: 1.24")
    assert re.fullmatch(r"Draft: 1 of \d+ pages signed; 1 more had a signature that lapsed", state_of_book(project.load(signed)))
    (signed / signing.SIGNATURES).write_text("{}\n", encoding="utf-8")
    assert re.fullmatch(r"Draft: none of \d+ pages is signed", state_of_book(project.load(signed)))


@pytest.mark.parametrize(("head", "line", "words"), [
    ("---\ntitle: T\nsigned_on: 2026-11-30\n---\n", 3, "comes from the signatures alone"), ("---\nowner: Dr Nobody\n---\n", 2, "comes from the signatures alone"),
    ("---\n\nreview_by: 2035-01-01\n---\n", 3, "comes from the signatures alone"), ("---\ntitel: T\n---\n", 2, "unknown field `titel`; nearest: `title`"),
    ("---\ntitle: [\n---\n", 3, "not readable as YAML"), ("---\nhide: [footer]\n---\n", 2, "nothing else of a page may be hidden"),
    ("---\njust words\n---\n", 2, "no `field: value` lines"), ("Stop: the balloon\n\n", 1, "begins with its title"), ("\n\nowner: me\n\n", 3, "begins with its title")])
def test_front_matter_claims_nothing(copy_of_project, head, line, words):
    page = copy_of_project / "kb/audit.md"
    page.write_text(head + page.read_text(encoding="utf-8"), encoding="utf-8")
    found = [one for one in lint.findings(project.load(copy_of_project))]
    assert [(one.path, one.line) for one in found] == [("kb/audit.md", line)] and words in found[0].message

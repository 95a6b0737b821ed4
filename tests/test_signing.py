"""Signatures lapse when, and only when, something the chapter rests on has moved."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from pvcalc.handbook.checks import signing
from pvcalc.handbook.cli import commands
from pvcalc.handbook.data import project

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
    change(signed / "kb" / "sizing.md", "They need two venous sheaths, and balloons of equal length [practice].", "They need a second vein as well.")
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
    ("sizing", "Dr Somebody", REVIEW, "looks like a name"),
    ("sizing", "consultant in charge", ON, "must lie after"),
    ("changes", "consultant in charge", REVIEW, "not a page to sign"),
    ("nowhere", "consultant in charge", REVIEW, "not a page to sign"),
])
def test_a_signature_that_cannot_be_given_says_why(loaded, slug, role, review, words):
    before = (loaded.root / signing.SIGNATURES).read_bytes()
    with pytest.raises(signing.NotAllowed, match=words):
        signing.sign(loaded, slug, role, ON, review)
    assert (loaded.root / signing.SIGNATURES).read_bytes() == before


def test_the_command_line_signs(copy_of_project, capsys):
    assert commands.main(["--root", str(copy_of_project), "sign", "sizing", "--role", "consultant in charge"]) == 0
    assert "sizing: signed by the consultant in charge" in capsys.readouterr().out
    assert moved(copy_of_project, ["sizing"]) == {"sizing": []}
    assert commands.main(["--root", str(copy_of_project), "sign", "sizing", "--role", "A Name"]) == 1

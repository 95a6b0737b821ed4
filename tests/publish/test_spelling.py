"""Spelling of everything people read: common misspellings, and British words only."""

import subprocess
import sys
from pathlib import Path

import codespell_lib

READ = ["README.md", "DEVELOPERS.md", "kb", "pvcalc", "site_overrides", "Makefile", "mkdocs.yml", "pyproject.toml", ".ci/run"]
SKIPPED = "*/node_modules,*/built,*.json,*.csv,*.png,*/iframe-worker*,*/ledger.txt,*.LICENSE.txt,*/__pycache__,*/LICENCE.txt,*/words.yml,*/sources.yml"
# A work is cited as it was printed: names, titles and journals keep their own spelling, and only our words about it are read.
WORKS, PRINTED = "kb/_data/sources.yml", r"^\s+(?:authors|title|book|journal|publisher|editors): .*$"
# Authors' names, words of the field that the list takes for slips, and a fault planted on a page of faults.
RIGHT = "ane,atleast,butto,desing,infarction,reson,stanger,ther,travelin,trough,zar"
# American spellings that are British words too (a practice, a meter that counts), a title of a source, and names of code.
BOTH = {"sulfate", "liter", "randomized", "practice", "program", "programs", "math", "meter", "meters", "license", "check", "checks", "story", "tire", "draft", "analog",
        "capitalize", "normalize", "dialog", "flavor", "focused", "generalized", "color", "colors", "gray", "center", "disk", "disks", "artifact", "artifacts", "fiber", "mold", "curb", "jail", "plow"}


def codespell(root, *arguments):
    runs = [["--skip", SKIPPED, *arguments, *READ], ["--ignore-regex", PRINTED, *arguments, WORKS]]
    return [line for run in runs for line in
            subprocess.run([sys.executable, "-m", "codespell_lib", *run], cwd=root, capture_output=True, text=True).stdout.splitlines()]


def american() -> list[str]:
    """Lines “american->british” for codespell, from its own list, turned round."""
    text = (Path(codespell_lib.__file__).parent / "data" / "dictionary_en-GB_to_en-US.txt").read_text(encoding="utf-8")
    pairs = [line.split("->") for line in text.splitlines() if "->" in line]
    turned = {there.strip(): here for here, there in pairs if "," not in there}
    return [f"{word}->{british}" for word, british in sorted(turned.items()) if word not in BOTH]


def test_no_common_misspelling(root):
    assert codespell(root, "--ignore-words-list", RIGHT) == []


def test_british_spelling(root, tmp_path):
    words = american()
    assert len(words) > 400 and "behavior->behaviour" in words
    (tmp_path / "american.txt").write_text("\n".join(words) + "\n", encoding="utf-8")
    assert codespell(root, "-D", str(tmp_path / "american.txt")) == []


def test_both_lists_find_a_planted_word(root, tmp_path):
    page = tmp_path / "page.md"
    page.write_text("The labor was recieved.\n", encoding="utf-8")
    (tmp_path / "american.txt").write_text("\n".join(american()) + "\n", encoding="utf-8")
    found = [subprocess.run([sys.executable, "-m", "codespell_lib", *arguments, str(page)], capture_output=True, text=True).stdout
             for arguments in ([], ["-D", str(tmp_path / "american.txt")])]
    assert "recieved" in found[0] and "labor" in found[1]

"""The controls of the hazard log that no other file tries; each test carries the number of its hazard."""

import ast
import copy
import json
import os
import re
import shutil
import subprocess
import sys

import pytest
import yaml

from pvcalc.core import formula as core
from pvcalc.core import units
from pvcalc.core.units import label_of, unit_of
from pvcalc.decision.evaluate import decide
from pvcalc.decision.vocabulary import name_words
from pvcalc.handbook.authoring import extension, fences
from pvcalc.handbook.data import test_results, project

KINDS = ("peak", "mean", "instant", "bernoulli", "pull-back", "fall", "kind")
STATES = ("answer", "verdict", "mark", "badge")


def functions_of(path):
    """Test functions of a file with the names of their decorators."""
    return {node.name: [ast.unparse(one) for one in node.decorator_list]
            for node in ast.parse(path.read_text(encoding="utf-8")).body if isinstance(node, ast.FunctionDef)}


def test_every_test_named_in_the_log_exists_and_is_never_skipped(loaded, root):
    for key, hazard in loaded.data.hazards.items():
        for name in hazard.tests:
            path, _, function = name.partition("::")
            known = functions_of(root / path)
            assert function in known, f"{key}: {name}"
            assert not any("skip" in mark or "xfail" in mark for mark in known[function]), name
    assert len(loaded.data.hazards) >= 25


def test_a_hazard_that_names_no_real_test_stops_with_its_line(copy_of_project, root):
    (copy_of_project / "tests").symlink_to(root / "tests")
    path = copy_of_project / "kb" / "_data" / "hazards.yml"
    text = path.read_text(encoding="utf-8")
    name = "tests/sizing/test_ratio.py::test_pounds_are_asked_about"
    path.write_text(text.replace(name, name.replace("pounds", "stones")), encoding="utf-8")
    line = text[:text.index(name)].count("\n") + 1
    findings = project.load(copy_of_project).findings
    assert [str(finding) for finding in findings if "stones" in finding.message] == [
        f"kb/_data/hazards.yml:{line}: pounds_or_metres: no test is called `{name.replace('pounds', 'stones')}`"]


def test_a_record_of_tests_holds_only_for_the_files_it_was_made_on(tmp_path):
    (tmp_path / "pvcalc").mkdir()
    (tmp_path / "pvcalc" / "a.py").write_text("x = 1\n")
    test_results.record(tmp_path, {"t::a", "t::b"}, set())
    test_results.record(tmp_path, {"t::c"}, {"t::b"})
    assert test_results.passed_in_this_build(tmp_path) == {"t::a", "t::c"}
    (tmp_path / "pvcalc" / "a.py").write_text("x = 2\n")
    assert test_results.passed_in_this_build(tmp_path) == set()


def test_hz1_each_field_carries_its_unit_and_a_slip_is_named(loaded):
    for entry in loaded.formulas.values():
        for name, limit in entry.formula.limits.items():
            unit = unit_of(name)
            if unit and limit.kind != "records":
                assert fences.field_of(name, limit, "")["unit"] == unit["symbol"], name
    for typed, meant in ((1.4, "14"), (140, "14")):
        reply = core.run("balloon_ratio", {"balloon_mm": 17, "annulus_mm": typed})
        assert not reply["ok"] and reply["faults"][0][0] == "annulus_mm"
        assert meant in reply["faults"][0][1]


def test_hz5_each_gradient_asked_for_or_given_names_its_kind(loaded):
    unnamed = []
    for entry in loaded.formulas.values():
        names = [*entry.formula.limits, *(entry.formula.gives or [entry.name])]
        unnamed += [(entry.name, name) for name in names if "gradient" in name and "gradient_kind" not in names
                    and not any(kind in f"{label_of(name)} {entry.text.arguments.get(name, '')} {entry.text.summary}".lower() for kind in KINDS)]
    for table in loaded.tables.values():
        unnamed += [(table["name"], name) for name in table["asks_for"] if "gradient" in name
                    and not any(kind in name_words(name).lower() for kind in KINDS)]
    assert unnamed == []


def test_hz5_no_formula_turns_doppler_into_peak_to_peak(loaded):
    for entry in loaded.formulas.values():
        gives = entry.formula.gives or [entry.name]
        if any("peak_to_peak" in name for name in gives):
            assert not any(word in name for name in entry.formula.limits for word in ("velocity", "doppler", "gradient")), entry.name


def test_hz6_what_it_is_not_for_stands_before_the_fields(loaded, root):
    html, _ = extension.convert(root, "kb/sizing.md", "```formula\nname: balloon_ratio\nballoon_mm: 20\nannulus_mm: 16\n```")
    assert html.index("Not for:") < html.index('class="try"')
    assert [entry.name for entry in loaded.formulas.values() if not entry.text.not_for] == []


@pytest.mark.parametrize(("path", "entry"), [
    ("settings.yml", "target_low_ratio"), ("sources.yml", "mccrindle1994"), ("_tables/severity.yml", "severity_esc_2020")])
def test_hz7_a_number_without_provenance_is_refused(copy_of_project, path, entry):
    path = copy_of_project / "kb" / "_data" / path
    lines = path.read_text(encoding="utf-8").splitlines()
    start = lines.index(f"{entry}:")
    place = next(number for number in range(start, len(lines)) if lines[number].strip().startswith("seen:"))
    path.write_text("\n".join(lines[:place] + lines[place + 1:]) + "\n", encoding="utf-8")
    findings = project.load(copy_of_project).findings
    assert any("seen" in finding.message and "missing" in finding.message.lower() and finding.path.endswith(path.name)
               for finding in findings), findings


def test_hz7_every_recalled_formula_says_so_beside_its_result(loaded):
    doubted = [entry for entry in loaded.formulas.values() if entry.doubted]
    assert doubted
    for entry in doubted:
        example = entry.printed[0] if entry.printed else None
        if example is None:
            continue
        given = "".join(f"{name}: {json.dumps(value)}\n" for name, value in example.inputs.items())
        html, _ = extension.convert(loaded.root, "kb/sizing.md", f"```formula\nname: {entry.name}\n{given}```")
        assert "Computed with coefficients that nobody here" in html, entry.name


def test_hz8_one_wrong_digit_in_a_printed_answer_is_noticed():
    """Two units in the last printed place are always more than half a unit: no slip of that size can agree."""
    tried = 0
    for example in core.PRINTED:
        if not example.agrees() or example.within is not None:
            continue
        decimals = len(example.answer.split(".")[1]) if "." in example.answer else 0
        for step in (-2, 2):
            wrong = copy.copy(example)
            wrong.answer = f"{float(example.answer) + step / 10 ** decimals:.{decimals}f}"
            assert not wrong.agrees(), (example.formula.name, wrong.answer)
            tried += 1
    assert tried > 300


@pytest.mark.parametrize(("velocity", "answer", "words"), [
    (3.999, "moderate", "0.03"), (4.0, "moderate", "exactly 64"), (4.001, "severe", "0.03")])
def test_hz10_just_under_on_and_over_a_cut_off_give_three_texts(loaded, velocity, answer, words):
    # 4 v²: 63.968, 64 and 64.032; all three are shown as 64 mmHg.
    peak = core.run("bernoulli_gradient_mmhg", {"velocity_m_s": velocity})["value"]
    assert units.show(peak, 0) == "64"
    found = decide(loaded.tables["severity_esc_2020"], {"age_years": 30, "doppler_peak_mmhg": peak}, {"doppler_peak_mmhg": 1.6})
    assert found["answer"] == answer
    assert words in found["at_cut_off"]


def test_hz11_a_comma_is_read_and_a_thousands_mark_is_refused():
    limit = next(made for made in core.FORMULAS if made.name == "balloon_ratio").limits["annulus_mm"]
    assert core.from_text("12,8", limit) == (12.8, "")
    assert core.from_text("12.8", limit) == (12.8, "")
    for doubtful in ("1.234,5", "1,2,3", "1,234.5", "12 8", "1.2.3"):
        value, reason = core.from_text(doubtful, limit)
        assert value is None and reason, doubtful


def test_hz18_every_equation_has_its_line_of_words_and_a_minus_is_a_minus(loaded):
    assert [entry.name for entry in loaded.formulas.values() if entry.text.latex and not entry.text.in_words] == []
    assert units.show(-2.0, 1) == "\u22122.0" and units.show(-0.04, 1) == "\u22120.04"


def test_hz19_every_state_of_a_page_is_a_word(built_site):
    seen = {}
    for path in built_site.rglob("*.html"):
        for state, text in re.findall(r'<span class="((?:%s)--[\w-]+|(?:%s) (?:%s)--[\w-]+)"[^>]*>([^<]*)<' % (("|".join(STATES),) * 3),
                                      path.read_text(encoding="utf-8")):
            seen.setdefault(state, set()).add(text.strip())
    assert len(seen) > 8
    assert [state for state, texts in seen.items() if "" in texts] == []


def test_hz20_computed_numbers_are_marked_not_to_be_translated(built_site):
    html = (built_site / "sizing.html").read_text(encoding="utf-8")
    for found in (re.findall(r'<a class="num"[^>]*>', html), re.findall(r"<output[^>]*>", html)):
        assert len(found) > 5 and all('translate="no"' in tag for tag in found)
    for page in ("sizing", "indications"):
        html = (built_site / f"{page}.html").read_text(encoding="utf-8")
        given = re.findall(r'<dl class="worked__inputs">.*?</dl>', html, re.DOTALL)
        assert len(given) > 3 and all(one.count("<dd ") == one.count('<dd translate="no"') > 0 and "<dd>" not in one for one in given)
        for tag in re.findall(r'<tr class="answer--[^>]*>|<figure class="picture"[^>]*>', html):
            assert 'translate="no"' in tag


def test_hz21_a_topic_with_several_documents_shows_several_side_by_side(loaded, root):
    shown = {}
    for path in loaded.chapters:
        slug = path.relative_to(root / "kb").as_posix().removesuffix(".md")
        if not slug.startswith("reference/"):
            for kind, name in extension.gathered(loaded, slug).rests_on:
                if kind == "table":
                    shown.setdefault(loaded.tables[name]["topic"], set()).add(loaded.tables[name]["document"])
    known = {}
    for table in loaded.tables.values():
        known.setdefault(table["topic"], set()).add(table["document"])
    assert [topic for topic, documents in known.items() if len(documents) > 1 and len(shown.get(topic, ())) < 2] == []


def test_hz23_every_page_says_that_the_label_in_hand_rules(built_site):
    silent = [path.name for path in built_site.rglob("*.html")
              if "the label of the device in your hand" not in re.sub(r"\s+", " ", path.read_text(encoding="utf-8"))]
    assert silent == []


def test_hz24_a_drill_has_no_fields_and_is_two_taps_from_every_page(built_site):
    drills = sorted(path.name for path in (built_site / "drills").glob("*.html") if path.name != "index.html")
    assert len(drills) >= 14
    first = (built_site / "drills" / "index.html").read_text(encoding="utf-8")
    for name in drills:
        assert f'href="{name}' in first, name
        html = (built_site / "drills" / name).read_text(encoding="utf-8")
        article = html[html.index("<article"):html.index("</article>")]
        assert "data-try" not in article and "<input" not in article and "data-plan" not in article, name
    pages = [path for path in built_site.rglob("*.html") if path.name != "404.html"]
    for path in pages:
        to = "index" if path.parent == built_site / "drills" else r"(?:[^\"]*/)?drills/index"
        button = rf'class="[^"]*\bfirst-minute\b[^>]*href="{to}\.html|href="{to}\.html"[^>]*class="[^"]*\bfirst-minute\b'
        assert re.search(button, path.read_text(encoding="utf-8")), path.name


SIGN = """
import datetime
from pvcalc.handbook.checks import signing
from pvcalc.handbook.data import project
loaded = project.load('.')
for slug in ("physiology", "special", "drills/air", "drills/allergy"):
    signing.sign(loaded, slug, "consultant in charge", datetime.date(2026, 11, 25), datetime.date(2027, 11, 25))
"""
CHANGED = """
import json
from pvcalc.core import formula as core
from pvcalc.handbook.authoring import compute
from pvcalc.handbook.checks import ledger, signing
from pvcalc.handbook.data import project
loaded = project.load('.')
fails = sorted({example.formula.name for example in core.PRINTED if not example.differs and not compute.outcome(example).agrees})
moved = {slug: signing.changed_since(loaded.data.signoff[slug], signing.parts_of(loaded, slug))
         for slug in signing.signable(loaded) if slug in loaded.data.signoff}
print(json.dumps({'fails': fails, 'moved': moved, 'ledger': [str(one) for one in ledger.check(loaded)]}))
"""


def test_hz25_one_changed_constant_fails_its_examples_and_moves_the_ledger_and_its_pages_only(root, tmp_path):
    skipped = shutil.ignore_patterns("node_modules", "__pycache__", "built")
    shutil.copytree(root / "pvcalc", tmp_path / "pvcalc", ignore=skipped)
    shutil.copytree(root / "kb", tmp_path / "kb")
    shutil.copy(root / "mkdocs.yml", tmp_path)

    def run(program):
        done = subprocess.run([sys.executable, "-c", program], cwd=tmp_path, capture_output=True, text=True,
                              env={**os.environ, "PYTHONPATH": str(tmp_path)})
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    before = run(SIGN + CHANGED)
    assert before["fails"] == [] and len(before["moved"]) == 4 and not any(before["moved"].values())
    path = tmp_path / "pvcalc" / "formulas" / "pressure_gradient.py"
    text = path.read_text(encoding="utf-8")
    constant = re.search(r"return 4 \* velocity_m_s \* velocity_m_s", text)
    path.write_text(text.replace(constant[0], constant[0].replace("4", "4.1", 1)), encoding="utf-8")
    after = run(CHANGED)
    assert "bernoulli_gradient_mmhg" in after["fails"]
    assert "code pvcalc.formulas.pressure_gradient" in after["moved"]["physiology"] and "numbers" in after["moved"]["physiology"]
    assert after["moved"]["drills/air"] == after["moved"]["drills/allergy"] == []
    assert after["ledger"] and "stale" in after["ledger"][0]


def test_settings_are_read_as_yaml_with_one_meaning(root):
    """A key that stands twice would silently win over the first in a plain reader."""
    text = (root / "kb" / "_data" / "settings.yml").read_text(encoding="utf-8")
    keys = re.findall(r"^([a-z]\w*):", text, re.MULTILINE)
    assert len(keys) == len(set(keys)) == len(yaml.safe_load(text))

"""Numbers that a chapter hands to a picture are those of the published series, not a second copy that drifts."""

import re
from pathlib import Path

import pytest

from pvcalc.handbook.data import project
from pvcalc.handbook.data.yaml_lines import Document, parse
from tests.frozen import ROOT

FENCE = re.compile(r"^```(picture|formula)\n(.*?)^```", re.M | re.S)
NAMED = re.compile(r"^# series: (\w+)$", re.M)


def fences(kind, name):
    """(page, text, values) of every fence of a kind that draws or computes `name`."""
    found = []
    for page in sorted((ROOT / "kb").rglob("*.md")):
        for match in FENCE.finditer(page.read_text(encoding="utf-8")):
            if match[1] == kind and re.search(rf"^name: {name}$", match[2], re.M):
                found.append((page.relative_to(ROOT).as_posix(), match[2], Document(str(page), parse(match[2])).value))
    return found


ICONS = fences("picture", "icon_array")


@pytest.fixture(scope="module")
def series():
    return project.of(ROOT).data.series


def test_icon_arrays_stand_in_the_counselling_chapter():
    assert [page for page, _, _ in ICONS].count("kb/counselling.md") >= 10


@pytest.mark.parametrize("page, text, values", ICONS, ids=[f"{page}:{values['event_words']}" for page, _, values in ICONS])
def test_an_icon_array_shows_the_counts_of_a_published_series(page, text, values, series):
    named = NAMED.search(text)
    wanted = (values["events"], values["cases"])
    if named:
        assert (series[named[1]].events, series[named[1]].cases) == wanted
    else:
        assert wanted in {(entry.events, entry.cases) for entry in series.values()}


def test_one_page_keeps_one_denominator():
    for page in {page for page, _, _ in ICONS}:
        assert len({values["out_of"] for where, _, values in ICONS if where == page}) == 1, page


def test_the_curve_of_the_follow_up_chapter_is_the_published_one(series):
    curves = [values for page, _, values in fences("formula", "step_hazards") if page == "kb/follow-up.md"]
    assert len(curves) == 1
    published = {1: "1_year", 2: "2_years", 5: "5_years", 10: "10_years"}
    assert list(curves[0]["years"]) == list(published)
    shown = [series[f"reintervention_free_{name}"].value / 100 for name in published.values()]
    assert list(curves[0]["event_free_fractions"]) == shown

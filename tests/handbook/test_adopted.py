"""A department that adopts the handbook: ten values of its own, another shelf, one signature, and the suite stays green."""

import os
import subprocess
import sys

import pytest

from pvcalc.handbook.data import project
from tests.frozen import LIVE, SETTINGS, VALUES, document, moved, values_of
from tests.helpers import adopted

# Rules, sizing, plan, doses and documents; `python tests/bench/department.py` runs everything that needs no browser.
CLINICAL = ["tests/decision", "tests/documents", "tests/sizing", "tests/plan/test_contract.py", "tests/plan/test_stops.py",
            "tests/plan/test_judgement.py", "tests/plan/test_doses_by_hand.py", "tests/statistics"]


@pytest.fixture(scope="module")
def department(tmp_path_factory):
    """A copy of the project as the department has it, and the values it set."""
    folder = adopted.copy(tmp_path_factory.mktemp("department"))
    return folder, adopted.adopt(folder, 1)


def test_a_department_moves_ten_values_and_its_shelf_and_lint_finds_nothing(department):
    folder, values = department
    before, own = values_of(document(LIVE / SETTINGS)), values_of(document(folder / SETTINGS))
    assert len(values) == adopted.COUNT + 1 and all(own[key] == value != before[key] for key, value in values.items())
    assert "sizing" in project.sound(folder).data.signoff
    lint = subprocess.run([sys.executable, "-m", "pvcalc", "lint"], cwd=folder, capture_output=True, text=True)
    assert lint.returncode == 0, lint.stdout + lint.stderr


def test_the_clinical_part_of_the_suite_stays_green_for_the_department(department):
    folder, _ = department
    ran = subprocess.run([sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *CLINICAL], cwd=folder,
                         capture_output=True, text=True, env={**os.environ, "HYPOTHESIS_PROFILE": "fast"})
    assert ran.returncode == 0, ran.stdout[-3000:]
    # The copy's own values were seen, and the tests computed with the shipped ones.
    told = subprocess.run([sys.executable, "-c", "from tests.frozen import moved_words; print(moved_words())"], cwd=folder, capture_output=True, text=True)
    differ = moved(values_of(document(folder / SETTINGS)), document(VALUES).value)
    assert f"differ in {len(differ)}" in told.stdout, told.stdout + told.stderr

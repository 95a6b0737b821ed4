"""Writes down which whole tests passed on the files as they are, so that the hazard page can say so."""

from pathlib import Path

from pvcalc.handbook.data import test_results
from tests.helpers.effort import PROFILE

ROOT = Path(__file__).resolve().parents[2]


class Outcomes:
    """One outcome for each test function: passed only if every case of it ran and passed."""

    def __init__(self):
        self.passed, self.partial = {}, set()

    def pytest_runtest_logreport(self, report):
        """A failure in setting up or tearing down is a failure too."""
        name = report.nodeid.split("[")[0]
        if report.when == "call" or not report.passed:
            self.passed[name] = self.passed.get(name, True) and report.passed

    def pytest_deselected(self, items):
        """A test of which some cases were left out has not run as a whole."""
        self.partial.update(item.nodeid.split("[")[0] for item in items)

    def pytest_sessionfinish(self, session):
        """Only the controller of several workers knows every outcome; a mutant's run is no evidence."""
        if not self.passed or hasattr(session.config, "workerinput") or PROFILE == "mutants":
            return
        failed = {name for name, passed in self.passed.items() if not passed}
        test_results.record(ROOT, self.passed.keys() - failed - self.partial, failed)

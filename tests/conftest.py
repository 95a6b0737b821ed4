"""What all tests share: the two interpreters, the built site, the browser, how hard Hypothesis tries."""

import fcntl
import gc
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

from tests.helpers.effort import PROFILE
from tests.frozen import LIVE, ROOT, moved_words
from tests.helpers.need_programs import NO_BROWSER, chromium_path
from tests.helpers.outcomes import Outcomes

LONGEST = ["test_pages.py", "test_every_page.py", "test_interpreters.py", "test_states.py", "test_live.py", "test_sampler.py",
           "test_random.py", "test_speed.py", "test_offline.py", "test_plan_page.py", "test_print.py", "test_book.py",
           "test_properties.py", "test_site.py", "test_hazards.py", "test_signing.py", "test_authoring.py"]
# The same examples on every run, so that a failure is a finding and never luck; `make bench` looks further.
QUIET = dict(deadline=None, derandomize=True, database=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("check", max_examples=60, **QUIET)
settings.register_profile("fast", max_examples=15, **QUIET)  # make check-fast: while writing
# A mutant only asks whether any example fails: no time for the smallest one.
settings.register_profile("mutants", max_examples=60, phases=[Phase.explicit, Phase.generate],
                          report_multiple_bugs=False, **QUIET)
settings.register_profile("bench", max_examples=2000, deadline=None, database=None)
settings.load_profile(PROFILE)


def pytest_configure(config):
    """Gather what passed, for the hazard page."""
    config.pluginmanager.register(Outcomes(), "outcomes")


def pytest_report_header(config):
    """Say when the clinical tests compute with other values than the handbook's."""
    return moved_words()


def pytest_collection_modifyitems(config, items):
    """Whatever lies in tests/browser/ is a browser test; without Chromium each fails with one sentence.

    The longest files come first, so that no worker is left with one of them at the end.
    """
    items.sort(key=lambda item: LONGEST.index(item.path.name) if item.path.name in LONGEST else len(LONGEST))
    # Thousands of tests and what they loaded stay to the end: looking through them for garbage each time costs a tenth.
    gc.collect()
    gc.freeze()
    for item in items:
        if "browser" in Path(item.fspath).relative_to(LIVE).parts[1:-1] or "chromium" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def root():
    """The project's folder, with the values that the tests stand on (`tests/frozen`)."""
    return ROOT


@pytest.fixture(scope="session")
def live_root():
    """The project's folder as the department has it."""
    return LIVE


@pytest.fixture(scope="session")
def loaded(root):
    """The handbook's formulas, data and tables, read once."""
    from pvcalc.handbook.data import project
    return project.load(root)


@pytest.fixture(scope="session")
def live(live_root, loaded):
    """The handbook as the department has it, read once; the one of the frozen values when they are the same."""
    from pvcalc.handbook.data import project
    return loaded if loaded.root == live_root else project.load(live_root)


@pytest.fixture
def copy_of_project(root, tmp_path):
    """A copy of the chapters and data, to break on purpose; the code stays the project's own."""
    copied = tmp_path / "copy"
    shutil.copytree(root / "kb", copied / "kb")
    shutil.copy(root / "mkdocs.yml", copied)
    return copied


@pytest.fixture(scope="session")
def chromium():
    """Path of Chromium, for Playwright's `executable_path`."""
    return chromium_path() or pytest.fail(NO_BROWSER, pytrace=False)


@pytest.fixture(scope="session")
def engine():
    """The reader's engine, running under node; `engine.reply(text)` answers like `pvcalc.page.bridge.reply`."""
    from pvcalc.handbook.engine.process import Engine
    with Engine() as running:
        yield running


@pytest.fixture(scope="session")
def built_site(tmp_path_factory):
    """The whole site, built strictly once for all tests (and for both workers)."""
    shared = tmp_path_factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        shared = shared.parent
    site = shared / "site"
    with open(shared / "site.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (site / ".built").exists():
            build_site(site)
            (site / ".built").touch()
    return site


def build_site(into):
    """Build the site strictly into a folder; what MkDocs said is the message of a failure."""
    date = subprocess.run(["git", "log", "-1", "--format=%ct"], cwd=ROOT, capture_output=True, text=True).stdout.strip()
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": date or "0"}
    done = subprocess.run([sys.executable, "-m", "mkdocs", "build", "--strict", "--clean", "-d", str(into)],
                          cwd=ROOT, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, "the site does not build:\n" + done.stdout[-2000:] + done.stderr[-4000:]


def pytest_terminal_summary(terminalreporter):
    """One line on how far the two interpreters differ; a line a formula when many cases were asked for."""
    lines = []
    for reports in terminalreporter.stats.values():
        for report in reports:
            for name, value in getattr(report, "user_properties", []):
                if name == "interpreters" and getattr(report, "when", "") == "call":
                    lines.append(value)
    if not lines:
        return
    lines.sort(key=lambda line: (-line["difference"], line["formula"]))
    if PROFILE == "bench":
        for line in lines:
            terminalreporter.write_line(f"  {line['formula']}: {line['cases']} cases, {line['answered']} answered, "
                                        f"largest relative difference {line['difference']:.2g}")
    terminalreporter.write_line(
        f"Both interpreters: {len(lines)} formulas, {sum(line['cases'] for line in lines)} random inputs, largest "
        f"relative difference {lines[0]['difference']:.2g} ({lines[0]['formula']})")

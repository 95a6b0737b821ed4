"""Runs the tests that may notice a change: in a process that has loaded them already, or in a fresh one.

Time is counted in seconds of the processor, never of the clock: on a busy machine a slow test is no endless loop.
"""

import gc
import multiprocessing
import os
import resource
import signal
import sys
import tempfile
import time
from pathlib import Path

import mutant_pictures  # these two lie beside this script; `tests` itself must stay unloaded here, the copies bring their own
import mutant_swap
import pytest

MOST_WAITED = 1800  # seconds by the clock, for a test that waits for another process
LOADING_SECONDS = 60
CANNOT = 75
ELSEWHERE = {"engine", "engine_with_tables", "built_site", "chromium"}  # fixtures that start another interpreter, or build the site
WITHIN = 76  # no test fails, and no stroke moves by more than a pixel


class Chosen:
    """Puts the tests into the order of the stages and stops one that takes far longer than it did unchanged."""

    def __init__(self, stages, usual):
        self.stages, self.usual, self.taken = stages, usual, {}
        self.noticed = []  # the tests that noticed the last changes

    def pytest_collection_modifyitems(self, items):
        """A stage is (files, formulas); where formulas are named, only the cases of these."""
        place = {name: (number, formulas) for number, (files, formulas) in enumerate(self.stages) for name in files}
        kept = []
        for item in items:
            number, formulas = place[_file_of(item)]
            if ELSEWHERE & set(item.fixturenames):
                continue
            if not formulas or any(name in item.name for name in formulas):
                kept.append((number, item))
        items[:] = [item for _, item in sorted(kept, key=lambda one: one[0])]

    def asked(self, items, stages, concerned):
        """Of the collected tests those of some stages, and of the cases about one formula those of the formulas concerned.

        First the tests that noticed the changes before, for these lay near by; then, within a stage, the quicker file first,
        and within a file the tests in their order but for the slow ones.
        """
        files = {name: (number, formulas) for number, (names, formulas) in enumerate(stages) for name in names}
        seconds = dict.fromkeys(files, 0.0)
        for name, usual in self.usual.items():
            seconds[name.split("::")[0]] = seconds.get(name.split("::")[0], 0.0) + usual
        kept = [item for item in items if _file_of(item) in files and (
            not files[_file_of(item)][1] or "inverse" in item.name or any(name in item.name for name in concerned))]
        return sorted(kept, key=lambda item: (item.nodeid not in self.noticed, files[_file_of(item)][0], seconds[_file_of(item)],
                                              round(self.usual.get(item.nodeid, 0.0), 1)))

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_protocol(self, item):
        before = time.process_time()
        if self.usual:
            signal.setitimer(signal.ITIMER_PROF, 1 + 5 * self.usual.get(item.nodeid, 0))
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            self.taken[item.nodeid] = time.process_time() - before


class Warm:
    """Holds everything loaded, and forks for each change."""

    def __init__(self, chosen, loading, link, original, pictures):
        self.chosen, self.loading, self.link, self.original, self.pictures = chosen, loading, link, original, pictures

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtestloop(self, session):
        self.loading.__exit__()
        functions = mutant_swap.loaded_functions(self.loading.path)
        mutant_swap.declared_before(self.original, Path(self.loading.path))
        if any("loaded" in item.fixturenames for item in session.items):
            hold_project(session.config.rootpath)
        if self.pictures:
            from tests.mutation import drawn_alike
            drawn_alike.keep(self.pictures)
        gc.collect()
        gc.freeze()  # what is loaded here is never looked through again in the children
        self.link.send(("loaded", None))
        while True:
            job = self.link.recv()
            if job is None:
                os._exit(0)
            if isinstance(job, dict):  # the usual seconds of each test
                self.chosen.usual = job
                self.link.send(("taken", None))
                continue
            put = self.way(job, functions)
            if put is None:
                self.link.send(("cannot", None))
                continue
            told = tempfile.TemporaryFile("w+")  # not a pipe: the names of a thousand tests would fill it, and both would wait
            child = os.fork()
            if child == 0:
                break
            outcome = waited(child)
            with told:
                told.seek(0)
                taken = [line.rstrip("\n").split(" ", 1) for line in told]
            self.link.send((outcome, {name: float(seconds) for seconds, name in taken}))
            if job == "unchanged":
                self.chosen.usual = {name: float(seconds) for seconds, name in taken}
            elif outcome == "failed" and taken:
                self.chosen.noticed = [taken[-1][1]] + [name for name in self.chosen.noticed if name != taken[-1][1]][:3]
        code = CANNOT
        try:
            os.setpgid(0, 0)
            altered = put()
            if altered is None:
                os._exit(code)
            code = 1
            if job != "unchanged":
                session.items[:] = self.chosen.asked(session.items, *job[1:])
            if altered:  # a change of what others printed is asked of that example alone
                session.items[:] = [item for item in session.items if _example_of(item) in altered]
            yield
            code = 1 if session.testsfailed else seen(self.pictures if job == "unchanged" else self.pictures & job[2])
        finally:
            with told:
                lines = [f"{seconds} {name}\n" for name, seconds in self.chosen.taken.items()]
                told.writelines(lines if job == "unchanged" else lines[-1:])  # the last noticed the change, if any did
            os._exit(code)

    def way(self, job, functions):
        """What puts the change into this process, called after the fork; None when nothing can."""
        if job == "unchanged":
            return lambda: []
        changed, path = job[0], self.loading.path
        pairs = mutant_swap.swaps(self.original, changed, path, self.loading.ran)
        if pairs is not None:
            return lambda: mutant_swap.swap(functions, pairs)
        if mutant_swap.declares(self.original, changed):
            return lambda: mutant_swap.redeclare(self.original, changed, Path(path))
        if mutant_swap.is_constant(self.original, changed, path, self.loading.ran, _files(self.chosen.stages)):
            return lambda: mutant_swap.set_constant(self.original, changed, path)
        return None


def hold_project(root):
    """Read the data and tables once for all forks: what the unchanged text read is what the changed one is asked about."""
    from pvcalc.handbook.data import project
    held, read = project.load(root), project.load
    project.load = lambda root: held if Path(root).resolve() == held.root else read(root)


def seen(pictures):
    """What survived every test: 0, or WITHIN when it moves strokes of the pictures, and none by more than a pixel."""
    if not pictures:
        return 0
    from tests.mutation import drawn_alike
    return WITHIN if drawn_alike.within(pictures) else 0


def _file_of(item):
    return item.nodeid.split("::")[0]


def _example_of(item):
    return item.callspec.params.get("example") if hasattr(item, "callspec") else None


def _files(stages):
    return [name for files, _ in stages for name in files]


def waited(child):
    """"passed", "failed", "too slow", or "cannot" when the change could not be put into what was loaded."""
    started = time.monotonic()
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            if os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGPROF, signal.SIGXCPU):
                return "too slow"
            return {0: "passed", CANNOT: "cannot", WITHIN: "within a pixel"}.get(os.waitstatus_to_exitcode(status), "failed")
        if time.monotonic() - started > MOST_WAITED:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return "too slow"
        time.sleep(0.005)


def enter(tree, root):
    """From here on the copy's package and tests are the ones imported, and nothing is said."""
    if not os.environ.get("PVCALC_MUTANTS_LOUD"):
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
    os.chdir(tree)
    sys.dont_write_bytecode = False  # the copies are ours; compiling the tests again costs more than running them
    sys.path[:] = [str(tree)] + [entry for entry in sys.path if entry not in ("", str(root), str(root / "tests" / "mutation"))]
    import pvcalc
    if not pvcalc.__file__.startswith(str(tree)):
        raise RuntimeError("the copy of the tree is not the one imported")


def arguments(stages):
    """What pytest is told."""
    return ["-x", "-q", "-s", "--tb=no", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:unraisableexception", *_files(stages)]


def fresh(tree, root, stages, usual, pictures):
    """Load everything again in a forked child and run the tests there."""
    child = os.fork()
    if child == 0:
        code = 70
        try:
            os.setpgid(0, 0)
            allowed = LOADING_SECONDS + 5 * sum(usual.values())
            resource.setrlimit(resource.RLIMIT_CPU, (int(allowed), int(allowed) + 5))
            enter(tree, root)
            code = int(pytest.main(arguments(stages), plugins=[Chosen(stages, usual)]))
            code = 0 if code == 5 else code  # no test of these concerns the module
            code = code or seen(pictures)
        finally:
            os._exit(code)
    return waited(child)


def _pictures(root, module, names=None):
    """The pictures that names of a module reach, of all its names unless some are given; none when it draws none."""
    found = mutant_pictures.reached(root, module) if mutant_pictures.is_drawing(module) else {}
    return set().union(*[found[name] for name in (found if names is None else names) if name in found])


def warm(tree, root, module, stages, link, near_end):
    """Fork a child that loads everything once and answers on `link`."""
    if os.fork() == 0:
        try:
            near_end.close()
            target = mutant_pictures.path_of(tree, module)
            original = target.read_text(encoding="utf-8")
            with mutant_swap.Loading(target) as loading:
                enter(tree, root)
                chosen = Chosen(stages, {})
                pytest.main(arguments(stages), plugins=[chosen, Warm(chosen, loading, link, original, _pictures(root, module))])
        finally:
            os._exit(70)


class Runner:
    """One copy of the tree and its warm process."""

    def __init__(self, tree, root, module, stages):
        self.tree, self.root, self.module, self.stages, self.usual = tree, root, module, stages, {}
        self.target = mutant_pictures.path_of(tree, module)
        self.original = self.target.read_text(encoding="utf-8")
        self.link, far_end = multiprocessing.Pipe()
        warm(tree, root, module, stages, far_end, self.link)
        far_end.close()

    def unchanged(self):
        """The outcome of the tests as they are, loaded both ways, and the seconds of each test."""
        if self._answer()[0] != "loaded":
            return "failed", {}
        outcome, self.usual = self._asked("unchanged")
        return (fresh(self.tree, self.root, self.stages, self.usual, set()) if outcome == "passed" else outcome), self.usual

    def take(self, usual):
        """Use the times that another copy measured."""
        self._answer()
        self._asked(usual)
        self.usual = usual

    def tried(self, changed, stages):
        """The outcome of one change, asked of the tests of `stages`."""
        self.target.write_text(changed, encoding="utf-8")
        for compiled in (self.target.parent / "__pycache__").glob(f"{self.target.stem}.*"):
            compiled.unlink()  # two changes within one second may have the same size
        concerned = mutant_swap.concerned(self.original, changed)
        pictures = _pictures(self.root, self.module, concerned)
        outcome, _ = self._asked((changed, stages, pictures or concerned))
        return fresh(self.tree, self.root, stages, self.usual, pictures) if outcome == "cannot" else outcome

    def close(self):
        """Let the warm process go."""
        self.link.send(None)

    def _asked(self, job):
        self.link.send(job)
        return self._answer()

    def _answer(self):
        try:
            return self.link.recv()
        except EOFError:
            return "failed", {}

"""Change one constant, operator or comparison of a module at a time: does a test notice?

    python tests/mutants.py gradient body       (or: make mutants MODULES="gradient body")

cosmic-ray finds and makes the changes (one session file a module, kept under build/mutants). Each change is
written into a copy of the tree, never into this one, and tried in a forked child of a process that has the heavy
test libraries already loaded. Exit 1 when the score of the formulas is under 95 %; changes in the transcribed examples
are told apart.
"""

import argparse
import ast
import difflib
import gc
import importlib
import multiprocessing
import os
import re
import shutil
import signal
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LEAST_SCORE = 95.0
COPIED = ("pvcalc", "tests", "kb", "pyproject.toml", "mkdocs.yml")
# Tests that go through every formula; those of one module stand in tests/test_<module>*.py and run first.
COMMON = ("test_printed.py", "test_limits.py", "test_properties.py")
SLOW = ("test_interpreters.py", "test_shared_lint.py", "test_authoring.py", "test_hazards.py", "test_signing.py")  # and none of them sees a wrong number first
PRELOADED = ("pytest", "hypothesis", "hypothesis.strategies", "xdist", "ruamel.yaml", "pydantic", "scipy.stats", "scipy.optimize",
             "scipy.integrate", "shapely", "pint", "numpy")


def stages_for(module):
    """Lists of pytest arguments that can notice a change in `module`, quickest first.

    Printed examples take no time and see most; then the files that name the module; then what the files about
    every formula say about its own.
    """
    own = [path for path in sorted((ROOT / "tests").glob("test_*.py"))
           if path.name not in COMMON + SLOW and (path.stem.startswith(f"test_{module}") or _names(path, module))]
    common = [name for name in COMMON if (ROOT / "tests" / name).exists()]
    chosen = formulas_of(module)
    stages = [[f"tests/{name}", "-k", " or ".join(chosen)] for name in common if chosen]
    return stages[:1] + [[f"tests/{path.name}" for path in own]] * bool(own) + stages[1:]


def _names(path, module):
    return re.search(rf"pvcalc\.{module}\b|from pvcalc import [^\n]*\b{module}\b", path.read_text(encoding="utf-8"))


def formulas_of(module):
    """Names of the formulas declared in a module, read from its text."""
    tree = ast.parse((ROOT / "pvcalc" / f"{module}.py").read_text(encoding="utf-8"))
    return [node.name for node in tree.body if isinstance(node, ast.FunctionDef) and node.decorator_list]


def evidence_lines(source):
    """Lines that transcribe what others printed: evidence about the formulas, not part of them.

    A change there that no test notices means that the print is too coarse to tell; it is counted apart.
    """
    lines = set()
    for node in ast.parse(source).body:
        called = [call.func.id for call in ast.walk(node) if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)]
        tells = any(name == "printed" or name.endswith("example") for name in called)
        if isinstance(node, (ast.Expr, ast.For)) and tells:
            lines.update(range(node.lineno, node.end_lineno + 1))
    return lines


def copy_of_tree(into):
    """The files a test needs, without caches and without the browser's packages."""
    skipped = shutil.ignore_patterns("__pycache__", "node_modules", "built", ".*")
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, into / name, ignore=skipped)
        elif source.exists():
            shutil.copy(source, into / name)


def run_stages(tree, stages, seconds):
    """Run the stages until one does not pass: the outcome and the seconds taken."""
    taken = 0.0
    for stage in stages:
        outcome, more = run_tests(tree, stage, seconds)
        taken += more
        if outcome != "passed":
            return outcome, taken
    return "passed", taken


def run_tests(tree, tests, seconds):
    """Run `tests` in a forked child: "passed", "failed" or "too slow", and the seconds taken."""
    started = time.monotonic()
    child = os.fork()
    if child == 0:
        os.setpgid(0, 0)
        _child(tree, tests)
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return ("passed" if status == 0 else "failed"), time.monotonic() - started
        if time.monotonic() - started > seconds:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return "too slow", seconds
        time.sleep(0.01)


def _child(tree, tests):
    code = 70
    try:
        quiet = os.open(os.devnull, os.O_WRONLY)
        if not os.environ.get("PVCALC_MUTANTS_LOUD"):
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
        os.chdir(tree)
        sys.path[:] = [str(tree)] + [entry for entry in sys.path if entry not in ("", str(ROOT), str(ROOT / "tests"))]
        import pvcalc
        if not pvcalc.__file__.startswith(str(tree)):
            raise RuntimeError("the copy of the tree is not the one imported")
        import pytest
        code = int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *tests]))
        code = 0 if code == 5 else code  # no test of this stage concerns the module
    finally:
        os._exit(code)


def forget_bytecode(tree, module):
    """Two changes within one second may have the same size: never let an old compiled file stand in."""
    for compiled in (tree / "pvcalc" / "__pycache__").glob(f"{module}.*"):
        compiled.unlink()


def worker(number, trees, module, stages, seconds, jobs, results):
    """Try mutants from the queue until it is empty."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    tree = Path(trees[number])
    target = tree / "pvcalc" / f"{module}.py"
    original = target.read_text(encoding="utf-8")
    while True:
        job = jobs.get()
        if job is None:
            return
        job_id, operator, arguments, occurrence = job
        changed = mutate_code(original, get_operator(operator)(**arguments), occurrence)
        if changed is None or changed == original:
            results.put((job_id, "no change", ""))
            continue
        target.write_text(changed, encoding="utf-8")
        forget_bytecode(tree, module)
        outcome, _ = run_stages(tree, stages, seconds)
        results.put((job_id, outcome, _changed_lines(original, changed)))


def _changed_lines(original, changed):
    lines = difflib.unified_diff(original.splitlines(), changed.splitlines(), lineterm="", n=0)
    return "\n".join(line for line in lines if not line.startswith(("---", "+++")))


def worth_trying(operator):
    """False for bits and identity: on numbers with a decimal point they raise at once, and only flatter the score."""
    return not operator.endswith(("Shift", "BitOr", "BitAnd", "BitXor", "_Is", "_IsNot"))


def session_of(module):
    """A fresh cosmic-ray session holding every change of the module."""
    from cosmic_ray.commands.init import init
    from cosmic_ray.work_db import WorkDB

    folder = ROOT / "build" / "mutants"
    folder.mkdir(parents=True, exist_ok=True)
    session = folder / f"{module}.sqlite"
    session.unlink(missing_ok=True)
    database = WorkDB(str(session), WorkDB.Mode.create)
    init([ROOT / "pvcalc" / f"{module}.py"], database, {})
    return database


def record(database, job_id, outcome, diff):
    """Keep the outcome in the session, where cosmic-ray's own reports find it."""
    from cosmic_ray.work_item import TestOutcome, WorkerOutcome, WorkResult

    survived = outcome == "passed"
    database.set_result(job_id, WorkResult(
        worker_outcome=WorkerOutcome.NO_TEST if outcome == "no change" else WorkerOutcome.NORMAL,
        test_outcome=TestOutcome.SURVIVED if survived else TestOutcome.KILLED, output=outcome, diff=diff))


def try_module(module, workers, write=False):
    """Try every change of one module; returns the score in per cent. `write` keeps the result in kb/_data/mutation.yml."""
    started = time.monotonic()
    stages = stages_for(module)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        trees = [Path(folder) / f"tree{number}" for number in range(workers)]
        for tree in trees:
            tree.mkdir()
            copy_of_tree(tree)
        for _ in range(2):  # the second run, with compiled files in place, tells the usual time
            outcome, seconds = run_stages(trees[0], stages, 600)
            if outcome != "passed":
                print(f"{module}: its tests do not pass unchanged ({stages})")
                return 0.0
        database = session_of(module)
        survivors, counts = _work(module, trees, stages, 10 + 5 * seconds, database)
        database.close()
    if write:
        import mutation_record  # lies beside this script; `tests` itself must stay unloaded here, the copies bring their own
        mutation_record.keep(ROOT, module, counts, [one.removeprefix("formulas ") for one in survivors if one.startswith("formulas ")], date.today())
    score = _score(counts, "formulas")
    print(f"{module}: {_told(counts, 'formulas')}; in transcribed examples {_told(counts, 'examples')};"
          f" {time.monotonic() - started:.0f} s; {seconds:.1f} s for an unchanged run of "
          + " ".join(stage[0] for stage in stages))
    for diff in survivors:  # those in formulas are the findings
        print("   " + diff.replace("\n", "\n   "), flush=True)
    return score


def _work(module, trees, stages, seconds, database):
    jobs, results = multiprocessing.SimpleQueue(), multiprocessing.SimpleQueue()
    items = [(item.job_id, item.mutations[0].operator_name, dict(item.mutations[0].operator_args or {}),
              item.mutations[0].occurrence) for item in database.work_items
             if worth_trying(item.mutations[0].operator_name)]
    processes = [multiprocessing.Process(target=worker, args=(number, trees, module, stages, seconds, jobs, results))
                 for number in range(len(trees))]
    for process in processes:
        process.start()
    evidence = evidence_lines((ROOT / "pvcalc" / f"{module}.py").read_text(encoding="utf-8"))
    kinds = {item.job_id: "examples" if item.mutations[0].start_pos[0] in evidence else "formulas"
             for item in database.work_items}
    survivors, counts = [], {"formulas": {"killed": 0, "survived": 0}, "examples": {"killed": 0, "survived": 0}}
    # A pipe holds few jobs: hand out one for each answer.
    waiting = list(reversed(items))
    open_jobs = 0
    while waiting and open_jobs < 2 * len(trees):
        jobs.put(waiting.pop())
        open_jobs += 1
    while open_jobs:
        job_id, outcome, diff = results.get()
        record(database, job_id, outcome, diff)
        open_jobs -= 1
        if waiting:
            jobs.put(waiting.pop())
            open_jobs += 1
        if outcome == "passed":
            survivors.append(f"{kinds[job_id]} {diff}")
            counts[kinds[job_id]]["survived"] += 1
        elif outcome != "no change":
            counts[kinds[job_id]]["killed"] += 1
    for _ in processes:
        jobs.put(None)
    for process in processes:
        process.join()
    return sorted(survivors), counts


def _score(counts, kind):
    tried = counts[kind]["killed"] + counts[kind]["survived"]
    return 100.0 * counts[kind]["killed"] / tried if tried else 100.0


def _told(counts, kind):
    tried = counts[kind]["killed"] + counts[kind]["survived"]
    return f"{tried} changes, {counts[kind]['survived']} survived, score {_score(counts, kind):.1f} %"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("modules", nargs="+")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--write", action="store_true", help="keep the results in kb/_data/mutation.yml, for the page")
    chosen = parser.parse_args()
    os.environ["HYPOTHESIS_PROFILE"] = "mutants"
    multiprocessing.set_start_method("fork")
    for name in PRELOADED:
        importlib.import_module(name)
    gc.collect()
    gc.freeze()  # what is loaded here is never looked through again in the children
    scores = [try_module(module, chosen.workers, chosen.write) for module in chosen.modules]
    sys.exit(0 if min(scores) >= LEAST_SCORE else 1)


if __name__ == "__main__":
    main()

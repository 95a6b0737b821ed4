"""Change one constant, operator or comparison of a module at a time: does a test notice?

    python tests/mutation/mutants.py sizing.ratio formulas.body_size       (or: make mutants MODULES="sizing.ratio")

cosmic-ray finds and makes the changes (one session file a module, kept under build/mutants). Each change is
tried in a copy of the tree, never in this one: in a forked child of a process that has loaded the tests already or,
where the change would show on loading, in one that loads all again. Exit 1 when the score of the formulas is under
95 %; changes in the transcribed examples are told apart, and so are those of a picture that move no stroke by more
than a pixel (tests/mutation/drawn_alike.py); what does not compile is not counted.
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
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from mutant_pictures import is_drawing, path_of, reached  # noqa: E402  lies beside this script and loads nothing of the package

ROOT = Path(__file__).resolve().parents[2]
LEAST_SCORE = 95.0
WITHIN = "within a pixel"  # the outcome of a change that no test notices and that moves no stroke further
COPIED = ("pvcalc", "tests", "kb", "site_overrides", "pyproject.toml", "mkdocs.yml")
# Tests that go through every formula; those of one module stand in tests/<room>/test_<name>*.py and run first.
COMMON = ("core/test_printed.py", "core/test_limits.py", "core/test_properties.py")
SLOW = ("engine/test_interpreters.py", "engine/test_shared_lint.py", "handbook/test_authoring.py", "handbook/test_entries.py", "handbook/test_hazards.py",
        "handbook/test_signing.py", "mutation/test_mutation.py", "draw/test_pictures.py")  # and none of them sees a wrong number first
PICTURES = "tests/draw/test"  # begins the names of the files that try the modules of pictures
PRELOADED = ("pytest", "hypothesis", "hypothesis.strategies", "xdist", "ruamel.yaml", "pydantic", "scipy.stats", "scipy.optimize",
             "scipy.integrate", "shapely", "pint", "numpy")

# What every table, plan and page passes through is named by many files or by none: the quick ones that look at it closest.
CLOSEST = {
    "decision.conditions": ["decision/test_conditions.py", "documents/test_documents.py"],
    "decision.evaluate": ["decision/test_evaluate.py", "documents/test_documents.py"],
    "decision.words": ["decision/test_evaluate.py", "page/test_page_documents.py", "documents/test_documents.py"],
    "decision.vocabulary": ["decision/test_vocabulary.py", "documents/test_documents.py"],
    "core.sorting": ["core/test_sorting.py"],
    "page.bridge": ["page/test_bridge.py"],
    "page.block": ["page/test_block.py"],
    "page.documents": ["page/test_page_documents.py", "documents/test_documents.py"],
    "plan.settings": ["plan/test_settings.py", "plan/test_contract.py"],
    "plan.case": ["plan/test_case.py", "plan/test_contract.py"],
    "plan.tasks": ["plan/test_tasks.py", "plan/test_contract.py"],
    "plan.derived": ["plan/test_derived.py", "plan/test_contract.py"],
    "plan.doses": ["plan/test_doses.py", "plan/test_contract.py"],
    "plan.dose_amounts": ["plan/test_doses.py"],
    "plan.documents": ["plan/test_plan_documents.py", "plan/test_contract.py"],
    "plan.sizing": ["plan/test_sizing.py", "plan/test_contract.py"],
    "plan.limits": ["plan/test_limits.py", "plan/test_contract.py"],
    "plan.inputs": ["plan/test_inputs.py"],
    "plan.words": ["plan/test_words.py", "plan/test_contract.py"],
    "core.units": ["core/test_units_in_decimals.py", "core/test_units.py"],
    "core.formula": ["core/test_formula.py"],
}


def stages_for(module):
    """Test files that can notice a change in `module`, quickest first, each with the formulas whose cases count.

    Printed examples and limits take no time and see most; then the files that name the module; random inputs last.
    A module of pictures is tried by the tests of pictures alone: first by those named for it, then by the cases of the
    pictures it reaches.
    """
    if module in CLOSEST:
        return [([f"tests/{name}"], []) for name in CLOSEST[module]]
    if is_drawing(module):
        own = [f"{PICTURES}_{module.removeprefix('draw.')}.py"]
        all_files = [f"tests/draw/{path.name}" for path in sorted((ROOT / "tests" / "draw").glob("test_*.py"))]
        named = {f"{PICTURES}_{path.stem}.py" for path in (ROOT / "pvcalc" / "draw").glob("*.py")}
        pictures = sorted(set().union(*reached(ROOT, module).values()))
        return [(own, [])] * (own[0] in all_files) + [([name for name in all_files if name not in named], pictures)]
    room, _, name = module.rpartition(".")
    files = {path.relative_to(ROOT / "tests").as_posix(): path for path in sorted((ROOT / "tests").glob("*/test_*.py"))}
    own = [f"tests/{file}" for file, path in files.items() if file not in COMMON + SLOW and not file.startswith("browser/")
           and (file.startswith(f"{room}/test_{name}") or _names(path, module))]
    own = own or [f"tests/{file}" for file in files if file.startswith(f"{room}/")]
    chosen = formulas_of(module)
    common = [([f"tests/{name}"], chosen) for name in COMMON if chosen and (ROOT / "tests" / name).exists()]
    return common[:2] + [(own, [])] * bool(own) + common[2:]


def _names(path, module):
    """True for a file that imports the module; one that starts the reader's engine is asked about its own module alone."""
    text, (room, _, name) = path.read_text(encoding="utf-8"), module.rpartition(".")
    return "handbook.engine" not in text and re.search(rf"pvcalc\.{room}\.{name}\b|from pvcalc\.{room} import [^\n]*\b{name}\b", text)


def formulas_of(module):
    """Names of the formulas declared in a module, read from its text."""
    tree = ast.parse(path_of(ROOT, module).read_text(encoding="utf-8"))
    return [node.name for node in tree.body if isinstance(node, ast.FunctionDef) and node.decorator_list]


def evidence_lines(source):
    """Lines that transcribe what others printed: evidence about the formulas, not part of them.

    A change there that no test notices means that the print is too coarse to tell; it is counted apart. A helper that
    tells several examples at once belongs to them, and so do lists and helpers below the last formula that only they use.
    """
    evidence, tellers, body = set(), {"printed"}, ast.parse(source).body
    for node in body:
        called = {call.func.id for call in ast.walk(node) if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)}
        if called & tellers and isinstance(node, (ast.Expr, ast.For, ast.FunctionDef)):
            evidence.add(node)
            tellers.update([node.name] if isinstance(node, ast.FunctionDef) else [])
    used = {node: {one.id for one in ast.walk(node) if isinstance(one, ast.Name) and isinstance(one.ctx, ast.Load)} for node in body}
    last = max([node.lineno for node in body if isinstance(node, ast.FunctionDef) and node.decorator_list], default=0)
    for node in [node for node in reversed(body) if node.lineno > last]:  # what a list is made of stands above it
        names = {node.name} if isinstance(node, ast.FunctionDef) else {one.id for one in getattr(node, "targets", []) if hasattr(one, "id")}
        users = [other for other in body if other is not node and used[other] & names]
        if users and set(users) <= evidence:
            evidence.add(node)
    return {line for node in evidence for line in range(node.lineno, node.end_lineno + 1)}


def copy_of_tree(into):
    """The files a test needs, without caches and without the browser's packages."""
    skipped = shutil.ignore_patterns("__pycache__", "node_modules", "built", ".*")
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, into / name, ignore=skipped)
        elif source.exists():
            shutil.copy(source, into / name)


def worker(module, runner, stages_of, jobs, results):
    """Try mutants from the queue until it is empty."""
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator

    while True:
        job = jobs.get()
        if job is None:
            runner.close()
            return
        job_id, operator, arguments, occurrence, kind = job
        changed = mutate_code(runner.original, get_operator(operator)(**arguments), occurrence)
        if changed is None or changed == runner.original or not compiles(changed):
            results.put((job_id, "no change", ""))
            continue
        results.put((job_id, runner.tried(changed, stages_of[kind]), _changed_lines(runner.original, changed)))


def compiles(text):
    """False for what is no program any more, such as another sign for the star of keyword arguments: any test sees that."""
    try:
        compile(text, "changed", "exec")
    except SyntaxError:
        return False
    return True


def _changed_lines(original, changed):
    lines = difflib.unified_diff(original.splitlines(), changed.splitlines(), lineterm="", n=0)
    return "\n".join(line for line in lines if not line.startswith(("---", "+++")))


def worth_trying(operator):
    """False for bits and identity: on numbers with a decimal point they raise at once, and only flatter the score."""
    return not operator.endswith(("Shift", "BitOr", "BitAnd", "BitXor", "_Is", "_IsNot"))


def session_of(module, again=False):
    """A cosmic-ray session holding every change of the module: a fresh one, or `again` the last with what it found.

    The last one counts only while the module's text is the one it was made from.
    """
    from cosmic_ray.commands.init import init
    from cosmic_ray.work_db import WorkDB

    folder = ROOT / "build" / "mutants"
    folder.mkdir(parents=True, exist_ok=True)
    session, tried, source = folder / f"{module}.sqlite", folder / f"{module}.py.txt", path_of(ROOT, module)
    if again and session.exists() and tried.exists() and tried.read_bytes() == source.read_bytes():
        return WorkDB(str(session), WorkDB.Mode.open)
    session.unlink(missing_ok=True)
    shutil.copy(source, tried)
    database = WorkDB(str(session), WorkDB.Mode.create)
    init([source], database, {})
    return database


def record(database, job_id, outcome, diff):
    """Keep the outcome in the session, where cosmic-ray's own reports find it."""
    from cosmic_ray.work_item import TestOutcome, WorkerOutcome, WorkResult

    survived = outcome in ("passed", WITHIN)
    database.set_result(job_id, WorkResult(
        worker_outcome=WorkerOutcome.NO_TEST if outcome == "no change" else WorkerOutcome.NORMAL,
        test_outcome=TestOutcome.SURVIVED if survived else TestOutcome.KILLED, output=outcome, diff=diff))


def try_module(module, workers, write=False, again=False):
    """Try every change of one module; returns the score in per cent.

    `write` keeps the result in kb/_record/mutation.yml; `again` tries only what survived or was not reached last time,
    after a test was added.
    """
    import mutant_runs  # lies beside this script; `tests` itself must stay unloaded here, the copies bring their own

    started = time.monotonic()
    stages = stages_for(module)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        trees = [Path(folder) / f"tree{number}" for number in range(workers)]
        for tree in trees:
            tree.mkdir()
            copy_of_tree(tree)
        runners = [mutant_runs.Runner(tree, ROOT, module, stages) for tree in trees]
        outcome, usual = runners[0].unchanged()
        if outcome != "passed":
            print(f"{module}: its tests do not pass unchanged ({stages})")
            return 0.0
        for runner in runners[1:]:
            runner.take(usual)
        database = session_of(module, again)
        survivors, counts = _work(module, runners, stages, database)
        database.close()
    if write:
        import mutation_record
        mutation_record.keep(ROOT, module, counts, [one.removeprefix("formulas ") for one in survivors if one.startswith("formulas ")], date.today())
    score = _score(counts, "formulas")
    print(f"{module}: {_told(counts, 'formulas')}; in transcribed examples {_told(counts, 'examples')};"
          f" {time.monotonic() - started:.0f} s; {sum(usual.values()):.1f} s for an unchanged run of "
          + " ".join(name for files, _ in stages for name in files))
    for diff in survivors:  # those in formulas are the findings
        print("   " + diff.replace("\n", "\n   "), flush=True)
    return score


def _work(module, runners, stages, database):
    jobs, results = multiprocessing.SimpleQueue(), multiprocessing.SimpleQueue()
    # What others printed is asked of the examples alone: no other test looks at it.
    printed = [stage for stage in stages if stage[0] == ["tests/core/test_printed.py"]]
    stages_of = {"formulas": stages, "examples": printed or stages}
    processes = [multiprocessing.Process(target=worker, args=(module, runner, stages_of, jobs, results)) for runner in runners]
    for process in processes:
        process.start()
    evidence = evidence_lines(path_of(ROOT, module).read_text(encoding="utf-8"))
    kinds = {item.job_id: "examples" if item.mutations[0].start_pos[0] in evidence else "formulas"
             for item in database.work_items}
    items = [(item.job_id, item.mutations[0].operator_name, dict(item.mutations[0].operator_args or {}),
              item.mutations[0].occurrence, kinds[item.job_id]) for item in database.work_items
             if worth_trying(item.mutations[0].operator_name)]
    survivors, counts = [], {kind: {"killed": 0, "survived": 0, "within": 0} for kind in ("formulas", "examples")}

    def count(job_id, outcome, diff):
        if outcome == "passed":
            survivors.append(f"{kinds[job_id]} {diff}")
            counts[kinds[job_id]]["survived"] += 1
        elif outcome == WITHIN:
            counts[kinds[job_id]]["within"] += 1
        elif outcome != "no change":
            counts[kinds[job_id]]["killed"] += 1

    known = {job_id: result for job_id, result in database.results if result.output != "passed" or kinds[job_id] == "examples"}
    for job_id, result in known.items():
        count(job_id, result.output, result.diff)
    items = [item for item in items if item[0] not in known]
    # A pipe holds few jobs: hand out one for each answer.
    waiting = list(reversed(items))
    open_jobs = 0
    while waiting and open_jobs < 2 * len(runners):
        jobs.put(waiting.pop())
        open_jobs += 1
    while open_jobs:
        job_id, outcome, diff = results.get()
        record(database, job_id, outcome, diff)
        open_jobs -= 1
        if waiting:
            jobs.put(waiting.pop())
            open_jobs += 1
        count(job_id, outcome, diff)
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
    within = f", {counts[kind]['within']} more within a pixel" if counts[kind]["within"] else ""
    return f"{tried} changes, {counts[kind]['survived']} survived, score {_score(counts, kind):.1f} %{within}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("modules", nargs="+")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--write", action="store_true", help="keep the results in kb/_record/mutation.yml, for the page")
    parser.add_argument("--again", action="store_true", help="only what survived or was not reached last time, while the module is the same")
    chosen = parser.parse_args()
    os.environ["HYPOTHESIS_PROFILE"] = "mutants"
    multiprocessing.set_start_method("fork")
    for name in PRELOADED:
        importlib.import_module(name)
    gc.collect()
    gc.freeze()  # what is loaded here is never looked through again in the children
    scores = [try_module(module, chosen.workers, chosen.write, chosen.again) for module in chosen.modules]
    sys.exit(0 if min(scores) >= LEAST_SCORE else 1)


if __name__ == "__main__":
    main()

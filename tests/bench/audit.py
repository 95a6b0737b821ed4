"""How long the audit of 100,000 rows takes on the command line, and how much memory: at most 10 s and 1 GB."""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
from tests.helpers.audit_files import ROOT, rows_of, text_of  # noqa: E402

ROWS, MOST_S, MOST_MB = 100_000, 10, 1000


def main():
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "rows.csv"
        path.write_text(text_of(rows_of(1, ROWS)), encoding="utf-8")
        begun = time.perf_counter()
        subprocess.run([sys.executable, "-m", "pvcalc", "audit", str(path), "--out", folder, "--definition", "success_registry_2012", "--acceptable", "0.09",
                        "--unacceptable", "0.18"], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        taken = time.perf_counter() - begun
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(f"audit of {ROWS} rows: {taken:.1f} s (processor {usage.ru_utime + usage.ru_stime:.1f} s), {usage.ru_maxrss / 1024:.0f} MB")
    # A machine shared with others makes every clock run late; the processor's own time is what we answer for.
    return 0 if usage.ru_utime + usage.ru_stime <= MOST_S and usage.ru_maxrss / 1024 <= MOST_MB else 1


if __name__ == "__main__":
    sys.exit(main())

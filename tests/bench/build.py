"""How the build grows: the chapters once, five, ten and fifty times, beside the plain theme on the same pages.

Prints CPU seconds and peak memory of each build, what our own parts add to the plain theme, and one rebuild after a changed
sentence. Fails when our added time grows faster than the chapters: its slope from five to ten times may be at most 1.2 times
that from one to five. `python tests/bench/build.py 1 5 10` leaves the fifty out.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
MOST_SLOPE = 1.2
# What issue and design allow our parts beside the theme: once, a worked example, a page.
ONCE_S, EXAMPLE_S, PAGE_S = 0.5, 0.005, 0.020


@dataclass
class Taken:
    """One build: CPU seconds (another program on the machine does not count), seconds on the clock, peak memory."""

    cpu_s: float
    clock_s: float
    memory_mb: float


def project(folder: Path, times: int) -> tuple[int, int]:
    """A copy of the handbook with its chapters `times` times; returns how many pages and worked examples it holds."""
    shutil.copytree(ROOT / "kb", folder / "kb")
    shutil.copytree(ROOT / "site_overrides", folder / "site_overrides")
    (folder / "pvcalc").symlink_to(ROOT / "pvcalc")
    text = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    block = re.search(r"(?m)^  - Chapters:\n((?:      .*\n)+)", text)[1]
    slugs = re.findall(r": ([\w-]+)\.md$", block, re.M)
    more = "".join(f"      - {slug} {number}: {slug}-{number}.md\n" for number in range(2, times + 1) for slug in slugs)
    (folder / "mkdocs.yml").write_text(text.replace(block, block + more), encoding="utf-8")
    for slug in slugs:
        for number in range(2, times + 1):
            shutil.copy(folder / "kb" / f"{slug}.md", folder / "kb" / f"{slug}-{number}.md")
    pages = list((folder / "kb").rglob("*.md"))
    return len(pages), sum(path.read_text(encoding="utf-8").count("```formula") for path in pages)


def plain(folder: Path) -> None:
    """A second configuration: the theme and its plugins without anything of ours."""
    text = (folder / "mkdocs.yml").read_text(encoding="utf-8")
    text = re.sub(r"(?m)^hooks:\n(?:  - .*\n)+", "", text)
    text = re.sub(r"(?m)^  - pvcalc\.handbook\.authoring.*\n", "", text)
    text = re.sub(r"(?m)^  custom_dir:.*\n|^strict: true\n|^  (?:logo|favicon):.*\n", "", text)
    text = re.sub(r"(?m)^extra(?:_css|_javascript)?:\n(?:  .*\n)+", "", text)
    (folder / "plain.yml").write_text(text, encoding="utf-8")


def build(folder: Path, *arguments) -> Taken:
    """Build once in a process of its own."""
    began = time.perf_counter()
    with open(folder / "log.txt", "w") as log:
        running = subprocess.Popen([sys.executable, "-m", "mkdocs", "build", *arguments], cwd=folder, stdout=log, stderr=log,
                                   env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": "1700000000", "PYTHONPATH": str(ROOT)})
        _, status, used = os.wait4(running.pid, 0)
        running.returncode = os.waitstatus_to_exitcode(status)
    if running.returncode:
        sys.exit(f"the build stopped:\n{(folder / 'log.txt').read_text()[-2000:]}")
    scale = 1024 if sys.platform != "darwin" else 1024 * 1024  # Linux counts in kB
    return Taken(used.ru_utime + used.ru_stime, time.perf_counter() - began, used.ru_maxrss / scale)


def measured(times: int) -> tuple[int, float]:
    """(times, our added CPU seconds) for the chapters so many times over; prints one line."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pages, examples = project(folder, times)
        plain(folder)
        theme = build(folder, "--clean", "-f", "plain.yml", "-d", "plain")
        ours = build(folder, "--clean", "--strict", "-d", "site")
        added = ours.cpu_s - theme.cpu_s
        allowed = ONCE_S + EXAMPLE_S * examples + PAGE_S * pages
        print(f"chapters x{times}: {pages} pages, {examples} worked examples; {ours.cpu_s:.1f} s CPU ({ours.clock_s:.1f} s on the clock), "
              f"{ours.memory_mb:.0f} MB; plain theme {theme.cpu_s:.1f} s; ours adds {added:.1f} s (aim {allowed:.1f} s)", flush=True)
        if times == 1:
            with open(folder / "kb" / "sizing.md", "a", encoding="utf-8") as page:
                page.write("\nOne more sentence.\n")
            again = build(folder, "--dirty", "--no-strict", "-d", "site")
            print(f"one changed sentence, only that page written: {again.cpu_s:.1f} s CPU, {again.clock_s:.1f} s on the clock", flush=True)
        return times, added


def main(arguments) -> int:
    wanted = [int(one) for one in arguments] or [1, 5, 10, 50]
    added = dict(measured(times) for times in wanted)
    if not {1, 5, 10} <= set(added):
        return 0
    slopes = (added[5] - added[1]) / 4, (added[10] - added[5]) / 5
    print(f"our added time a further set of chapters: {slopes[0]:.2f} s up to five, {slopes[1]:.2f} s up to ten")
    if not slopes[1] <= MOST_SLOPE * slopes[0]:
        print(f"it grows faster than the chapters: more than {MOST_SLOPE} times")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

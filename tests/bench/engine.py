"""How long the reader's engine takes, under node: start, a formula, an interval, a simulated beat; and what it weighs."""

import gzip
import json
import statistics
import time

from pvcalc.handbook.data import catalogue
from pvcalc.handbook.engine.process import MICROPYTHON, Engine

TRIED = [
    ("formula", "bernoulli_gradient_mmhg", {"velocity_m_s": "4"}, 50),
    ("formula with several results", "balloon_range_mm", {"annulus_mm": "18.4", "low_ratio": "1.2", "high_ratio": "1.25"}, 50),
    ("exact interval", "exact_interval", {"events": "3", "cases": "57", "confidence": "0.95"}, 20),
    ("simulated beat", "simulate", {"orifice_area_cm2": "0.6", "heart_rate_bpm": "75", "output_l_min": "5",
                                    "contractility_mmhg_ml": "0.6", "infundibulum_diastole_cm2": "50",
                                    "infundibulum_systole_cm2": "50"}, 5),
]


def weight_kb():
    """Kilobytes, gzipped, that a phone fetches before its first answer."""
    texts = [text.encode("utf-8") for _, text in catalogue.shared_files()]
    files = [(MICROPYTHON / name).read_bytes() for name in ("micropython.mjs", "micropython.wasm")]
    return [sum(len(gzip.compress(one)) for one in group) / 1000 for group in (files, texts)]


def main():
    program, modules = weight_kb()
    print(f"engine {program:.0f} kB gzipped, shared modules {modules:.0f} kB")
    started = time.perf_counter()
    with Engine() as engine:
        print(f"start with all modules: {time.perf_counter() - started:.2f} s")
        for words, name, given, times in TRIED:
            request = json.dumps({"op": "run", "name": name, "given": given})
            taken = []
            for _ in range(times):
                begun = time.perf_counter()
                answer = json.loads(engine.reply(request))
                taken.append(time.perf_counter() - begun)
                assert answer["ok"], answer
            print(f"{words} ({name}): {1000 * statistics.median(taken):.1f} ms, slowest {1000 * max(taken):.1f} ms")


if __name__ == "__main__":
    main()

"""A department that adopts the handbook: other values, another shelf, one signature, in a copy of the project."""

import random
import shutil
import subprocess
from datetime import date, timedelta
from pathlib import Path

from tests.frozen import LIVE, SETTINGS, document, with_values

COUNT = 10
# Four that much advice rests on; the rest are drawn.
CHOSEN = {"target_low_ratio": 1.22, "contrast_child_hard_stop_ml_kg": 7, "residual_stop_below_mmhg": 28, "heparin_units_per_kg": 90}
SHELF = "balloon_shelf"
# No balloon of this shelf has a diameter or length of the shipped one.
SHELF_ROW = {"family": "house", "nominal_atm": 4, "rated_atm": 6, "sheath_french": 7, "wire_inch": 0.035, "count": 3}
DIAMETERS_MM = (4.5, 6.5, 7.5, 8.5, 9.5, 11, 13, 15, 17, 19, 21, 24, 26, 29)
BESIDE = ("node_modules", "built")  # of the engine, beside what version control holds


def copy(into: Path) -> Path:
    """Every file of the project that version control knows or would know, as it stands."""
    listed = subprocess.run(["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"], cwd=LIVE, capture_output=True, check=True).stdout
    for name in listed.decode().split("\0"):
        if name and (LIVE / name).is_file():
            (into / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(LIVE / name, into / name)
    for name in BESIDE:
        target = LIVE / "pvcalc/handbook/engine" / name
        if target.is_dir():
            (into / "pvcalc/handbook/engine" / name).symlink_to(target)
    return into


def other_values(seed: int) -> dict:
    """Ten other values inside the ranges that their settings allow, and another shelf.

    Settings that another one bounds, and lists, are left alone: a department's own slip there stops the lint.
    """
    settings = document(LIVE / SETTINGS).value
    bound = {raw.get("not_above") for raw in settings.values()} | {key for key, raw in settings.items() if "not_above" in raw}
    free = [key for key, raw in settings.items() if key not in bound and all(isinstance(raw.get(field), (int, float)) for field in ("value", "low", "high"))
            and raw["low"] < raw["high"]]
    dice, made = random.Random(seed), dict(CHOSEN)
    for key in dice.sample(sorted({*free} - {*CHOSEN}), len({*free} - {*CHOSEN})):
        if len(made) == COUNT:
            break
        raw = settings[key]
        ends = [end for end in (raw["low"], raw["high"]) if end != raw["value"]]
        middle = (raw["value"] + dice.choice(ends)) / 2
        made[key] = int(middle) if all(isinstance(raw[field], int) for field in ("value", "low", "high")) else round(middle, 4)
        if made[key] == raw["value"] or not raw["low"] <= made[key] <= raw["high"]:
            del made[key]
    made[SHELF] = [{**SHELF_ROW, "diameter_mm": size, "length_mm": 25 if size < 10 else 35} for size in DIAMETERS_MM]
    return made


def adopt(folder: Path, seed: int) -> dict:
    """Set other values in a copy, sign one page, write the ledger and quote it. Returns the values."""
    from pvcalc.handbook.checks import ledger, signing
    from pvcalc.handbook.data import project
    values = other_values(seed)
    path = folder / SETTINGS
    path.write_text(with_values(path.read_text(encoding="utf-8"), values), encoding="utf-8")
    loaded = project.sound(folder)
    lines, faults = ledger.lines(loaded)
    assert not faults, faults
    ledger.write(folder, lines)
    changes = folder / ledger.CHANGES
    changes.write_text(changes.read_text(encoding="utf-8") + f"\n- The department's own values: `ledger {ledger.digest(lines)}`.\n", encoding="utf-8")
    signing.sign(loaded, "sizing", "consultant in charge", date.today(), date.today() + timedelta(365))
    return values

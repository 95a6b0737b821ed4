"""Invented audit files from a seed: the demo that the site serves, and random ones for the tests.

`python -m tests.helpers.audit_files` writes kb/downloads/audit-demo.csv and audit-template.csv afresh. The patients do not exist.
"""

import csv
import io
import json
import random
from datetime import date, timedelta
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DOWNLOADS = ROOT / "kb" / "downloads"
SCHEMA = json.loads((DOWNLOADS / "audit-columns.json").read_text(encoding="utf-8"))
COLUMNS = SCHEMA["columnOrder"]
SEED = 20261125
LAST_DAY = date(2026, 9, 30)
DEMO = (DOWNLOADS / "audit-demo.csv").read_text(encoding="utf-8")
CHART = {"definition": "success_registry_2012", "acceptable_fraction": 0.09, "unacceptable_fraction": 0.18,
         "event": "serious", "event_acceptable_fraction": 0.03, "event_unacceptable_fraction": 0.09}


def attempt(dice: random.Random, number: int, gaps: float, first: date, days: int) -> dict:
    """One invented attempt.

    Args:
        dice: the source of chance; number: its running number; gaps: chance that a cell is left blank;
        first, days: the attempts are spread over so many days from the first on.
    """
    day = first + timedelta(dice.randrange(days))
    band = dice.choices(["newborn", "infant", "child", "adult"], [20, 25, 40, 15])[0]
    age = {"newborn": dice.randrange(1, 30), "infant": dice.randrange(30, 365), "child": dice.randrange(366, 6500),
           "adult": dice.randrange(6600, 22000)}[band]
    performed = dice.random() > (0.08 if band == "newborn" else 0.02)
    row = {"attempt": f"INVENTED-{number:04d}" if number < 10000 else f"INV-{number}", "date": day.isoformat(), "age_days": age, "performed": "yes" if performed else "no",
           "weight_kg": round({"newborn": 3.2, "infant": 7, "child": 8 + 2.9 * age / 365.25, "adult": 68}[band] * dice.uniform(0.7, 1.4), 1),
           "treated_before": dice.choices(["no", "yes"], [90, 10])[0], "valve": dice.choices(["domed", "dysplastic", "other"], [78, 17, 5])[0],
           "narrowing_above": dice.choices(["no", "yes"], [94, 6])[0], "operator": dice.choice("ABC")}
    before = dice.randrange(45, 130)
    row |= {"catheter_before_mmhg": before, "doppler_before_mmhg": before + dice.randrange(0, 25), "subvalve_before_mmhg": dice.choice([0, 0, 0, 5, 12]),
            "rv_systolic_before_mmhg": before + dice.randrange(12, 26), "systemic_systolic_before_mmhg": dice.randrange(60, 115)}
    row["event_level"] = dice.choices([1, 2, 3, 4, 5], [86, 8, 4, 1.5, 0.5])[0]
    row |= {"died": "yes" if row["event_level"] == 5 else "no", "heart_block": dice.choices(["no", "yes"], [98, 2])[0],
            "thrombosis": dice.choices(["no", "yes", "not_looked"], [60, 4, 36])[0]}
    if row["heart_block"] == "yes":  # a block is an event
        row["event_level"] = max(2, row["event_level"])
    if not performed:
        row["abandoned_because"] = dice.choice(["not_crossed", "unstable", "anatomy"])
        return _with_gaps(dice, row, gaps)
    hard = row["valve"] == "dysplastic"
    after = round(before * dice.uniform(0.35, 0.8) if hard else before * dice.uniform(0.08, 0.5))
    ring = round({"newborn": 7, "infant": 10, "child": 16, "adult": 23}[band] * dice.uniform(0.85, 1.15), 1)
    row |= {"catheter_after_mmhg": after, "doppler_after_mmhg": after + dice.randrange(0, 15), "subvalve_after_mmhg": dice.choice([0, 0, 5, 10, 22]),
            "rv_systolic_after_mmhg": after + dice.randrange(14, 30), "systemic_systolic_after_mmhg": dice.randrange(60, 115),
            "annulus_mm": ring, "annulus_how": dice.choice(["echo", "angiogram"]), "annulus_frame": "open_valve_systole",
            "balloon_annulus_ratio": round(dice.uniform(1.1, 1.32), 2),
            "regurgitation_discharge": dice.choices(["none", "mild", "moderate", "severe"], [25, 60, 13, 2])[0],
            "contrast_ml_per_kg": round(dice.uniform(1, 6), 1), "kap_per_kg_ugy_m2": round(dice.uniform(2, 60), 1), "sheath_french": dice.choice([4, 5, 6, 7, 8])}
    if age < 183:
        row |= {"lv_systolic_after_mmhg": dice.randrange(55, 85), "saturation_after_percent": dice.randrange(70, 100)}
    _follow(dice, row, day, after, hard)
    return _with_gaps(dice, row, gaps)


def _follow(dice, row, day, after, hard):
    """What became of a performed attempt."""
    most = (LAST_DAY - day).days
    wait = int(dice.expovariate(0.22 if hard else 0.02) * 365.25) + 1
    seen = min(most, int(dice.uniform(0.3, 1) * most) + 1)
    if dice.random() < 0.06 or most < 2:
        return  # lost
    row["late_doppler_mmhg"] = max(4, after + dice.randrange(-12, 14))
    if wait < seen:
        row |= {"reintervention": "yes", "reintervention_date": (day + timedelta(wait)).isoformat(),
                "reintervention_because": dice.choices(["stenosis", "regurgitation", "below_valve", "other"], [70, 18, 8, 4])[0]}
    else:
        row["reintervention"] = "no"
    row["last_seen"] = (day + timedelta(seen)).isoformat()
    for years, name in ((1, "regurgitation_1_year"), (5, "regurgitation_5_years"), (10, "regurgitation_10_years")):
        if seen >= years * 365.25:
            row[name] = dice.choices(["none", "mild", "moderate", "severe"], [15, 60, 20, 5])[0]


NEVER_BLANK = ("attempt", "date", "age_days", "performed", "reintervention", "reintervention_date")


def _with_gaps(dice, row, gaps):
    return {name: value for name, value in row.items() if name in NEVER_BLANK or dice.random() >= gaps}


def rows_of(seed, count: int, gaps: float = 0.03, first=date(2012, 1, 9), days: int = 5200) -> list[dict]:
    """`count` attempts in order of their dates."""
    dice = random.Random(seed)
    rows = sorted((attempt(dice, 0, gaps, first, days) for _ in range(count)), key=lambda row: row["date"])
    for number, row in enumerate(rows, 1):
        row["attempt"] = f"INVENTED-{number:06d}"
    return rows


def text_of(rows, separator=",", columns=COLUMNS, decimal=".") -> str:
    """The rows as CSV text."""
    made = io.StringIO()
    writer = csv.writer(made, delimiter=separator, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([str(row.get(name, "")).replace(".", decimal) if isinstance(row.get(name), float) else row.get(name, "") for name in columns])
    return made.getvalue()


def random_file(number: int) -> tuple[str, list[dict]]:
    """(text, rows) of one random file, some with one centre's habits: few rows, many gaps, another separator."""
    dice = random.Random(number)
    rows = rows_of(number, dice.randrange(5, 90), gaps=dice.choice([0, 0.03, 0.3]))
    separator = dice.choice([",", ";", "\t"])
    return text_of(rows, separator, decimal="," if separator == ";" and dice.random() < 0.5 else "."), rows


def write() -> None:
    """Write the demo and the template."""
    (DOWNLOADS / "audit-demo.csv").write_text(text_of(rows_of(SEED, 150)), encoding="utf-8", newline="\n")
    (DOWNLOADS / "audit-template.csv").write_text(",".join(COLUMNS) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write()

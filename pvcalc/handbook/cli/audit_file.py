"""Audit files on this machine: bytes to text, and numbers to CSV that no spreadsheet runs."""

import csv
import io
from pathlib import Path

from pvcalc.audit.rows import date_text
from pvcalc.core.errors import PvcalcError
from pvcalc.handbook.data.text_files import encoding_fault

SAVE_AS = "Save the table as “CSV UTF-8”."
RUNS = ("=", "+", "-", "@", "\t", "\r", "\n")  # a spreadsheet takes a text that starts so for a formula


def read_text(path: Path) -> str:
    """The text of an audit file.

    Raises: PvcalcError in a sentence when it cannot be read or is no text in UTF-8.
    """
    try:
        if path.exists() and not path.is_file():  # a pipe would be waited for without an end
            raise PvcalcError(f"{path} cannot be read: it is no file.")
        content = path.read_bytes()
    except OSError as error:
        raise PvcalcError(f"{path} cannot be read: {error.strerror}.") from None
    return decoded(content)


def decoded(content: bytes) -> str:
    """Bytes as text; the byte order mark is left to the reader of the text.

    Raises: PvcalcError with the likely encoding and what to do. Nothing is guessed: a wrong guess changes letters unseen.
    """
    fault = encoding_fault(content)
    if fault:
        line, reason = fault
        raise PvcalcError(f"{reason[0].upper()}{reason[1:]} (line {line}). {SAVE_AS}")
    return content.decode("utf-8")


def safe(cell) -> str:
    """A cell for a CSV file: numbers as they are, texts so that a spreadsheet takes them for texts."""
    if cell is None:
        return ""
    if isinstance(cell, (int, float)):
        return repr(cell)
    text = str(cell)
    return "'" + text if text.startswith(RUNS) else text


def csv_text(heads, rows) -> str:
    """A CSV file with commas and plain line ends."""
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\n")
    writer.writerow(heads)
    writer.writerows([safe(cell) for cell in row] for row in rows)
    return made.getvalue()


def faults_csv(bad) -> str:
    """The faults of rows, with line, column, value and what is wrong or allowed."""
    return csv_text(["line", "column", "value", "fault"], [[one["line"], one["column"], one["value"], one["sentence"]] for one in bad])


def numbers_csv(result: dict) -> str:
    """Every number of a result, unrounded: part, item, group, quantity, value; lines of one item stay together."""
    return csv_text(["part", "item", "group", "quantity", "value"], list(_numbers(result)))


def _numbers(result):
    yield "file", "", "", "attempts", result["cases"]
    yield "file", "", "", "left_out_rows", result["left_out"]
    yield "file", "", "", "first_date", date_text(result["first_day"])
    yield "file", "", "", "last_date", date_text(result["last_day"])
    yield "file", "", "", "confidence", result["confidence"]
    for one in result["strata"]:
        for quantity in ("attempts", "performed", "abandoned"):
            yield "strata", "", one["stratum"] or "all", quantity, one[quantity]
    for one in result["rates"]:
        yield from _rate("rates", one["measure"], one["stratum"], "", one)
    for one in result["definitions"]:
        for quantity in ("good", "other", "abandoned", "unknown", "outside"):
            yield "definitions", one["name"], one["stratum"] or "all", quantity, one[quantity]
        yield from _rate("definitions", one["name"], one["stratum"], "performed_", one["performed_rate"])
        if "attempt_rate" in one:
            yield from _rate("definitions", one["name"], one["stratum"], "attempt_", one["attempt_rate"])
    for one in result["benchmarks"]:
        place = ("benchmarks", f"{one['measure']} against {one['benchmark']['series']}", one["stratum"] or "all")
        yield *place, "events", one["events"]
        yield *place, "known", one["known"]
        yield *place, "benchmark_fraction", one["benchmark"]["fraction"]
        for name in ("tail", "alert", "alarm"):
            if name in one:
                yield *place, name, one[name]
        for name in ("inner", "outer", "benchmark_exact"):
            if name in one:
                yield *place, name + "_low", one[name][0]
                yield *place, name + "_high", one[name][1]
    for one in result["charts"]:
        for name in ("acceptable_fraction", "unacceptable_fraction", "alpha", "beta", "step", "lower_limit", "upper_limit", "clean_cases",
                     "clean_cases_after_failure", "failures_in_row_count", "left_out", "verdict", "decided_after_cases"):
            yield "charts", one["measure"], "all", name, one[name]
        yield "charts", one["measure"], "all", "outcomes", " ".join(str(outcome) for outcome in one["outcomes"])
    yield from _curve(result["follow_up"])
    for name, known, low, middle, high in result["medians"]:
        for quantity, value in (("known", known), ("lowest", low), ("median", middle), ("highest", high)):
            yield "medians", name, "all", quantity, value
    for place, sentence in enumerate(result["cannot_show"], 1):
        yield "cannot_show", str(place), "all", "sentence", sentence


def _rate(part, item, stratum, prefix, one):
    place = (part, item, stratum or "all")
    for name in ("events", "known", "unknown", "rate", "upper"):
        if name in one:
            yield *place, prefix + ("upper_one_sided" if name == "upper" else name), one[name]
    for method in ("exact", "wilson"):
        if method in one:
            yield *place, prefix + method + "_low", one[method][0]
            yield *place, prefix + method + "_high", one[method][1]


def _curve(found):
    for name in ("followed", "not_followed", "events"):
        yield "follow_up", "reintervention", "all", name, found[name]
    for row in found["rows"]:
        for name, value in zip(("at_risk", "events", "survival", "greenwood_error", "low", "high"), row[1:]):
            yield "follow_up", f"day {row[0]}", "all", name, value
    for one in found["at_years"]:
        yield "follow_up", f"{one['years']} years", "all", "at_risk", one["at_risk"]

"""What several documents say for one set of inputs, as the texts a page shows."""

from pvcalc.decision import evaluate
from pvcalc.decision.binding import bound
from pvcalc.decision.words import answer_words, open_words, unchecked_words


def answers(tables, given, window=None, settings=None):
    """What several documents say for one set of inputs; a document that was replaced stands last.

    Args:
        tables: decision tables as written; given: input name to value or typed text; window: measurement error;
            settings: value by key, for the tables that name settings.
    Returns {"ok": true, "rows": [parts of each answer]} or {"ok": false, "faults": [(field, sentence)]}.
    """
    rows, faults = [], []
    # Not sorted: the engine's sort does not keep the order of equals.
    valid = [table for table in tables if table.get("superseded_by") is None]
    for table in valid + [table for table in tables if table not in valid]:
        report = evaluate.run(bound(table, settings or {}), evaluate.inputs_for(table, given), window)
        if report["ok"]:
            parts = answer_parts(report)
            parts["population"] = table["population"]
            rows.append(parts)
        else:
            faults += [fault for fault in report["faults"] if fault not in faults]
    if faults:
        return {"ok": False, "faults": sorted(faults)}
    return {"ok": True, "rows": rows}


def answer_parts(report):
    """One document's answer as the texts a page shows."""
    then = report["then"]
    why = "; ".join(report["why"])
    if report["answer"] == "cannot_evaluate":
        why = open_words(report)
    if report["answer"] == "not_seen":
        why = "; ".join(report["not_seen"])
    if report["answer"] == "silent":
        why = report["silent"]
    if report["decided"] and not why:
        why = "in every case"
    assumed = ""
    if report["assumes"] and report["decided"]:
        assumed = "Taken for granted: " + "; ".join([text.rstrip(".") for text in report["assumes"]]) + "."
    return {
        "table": report["table"], "document": report["document"], "answer": report["answer"], "row": report["row"],
        "words": answer_words(report["answer"]),
        "grade": ", ".join([word + " " + str(then[word]) for word in ("class", "level") if then.get(word)]),
        "advice": then.get("advice") or "", "why": why, "cut_off": report["at_cut_off"],
        "cautions": report["cautions"], "assumed": assumed, "unchecked": unchecked_words(report), "superseded": report["superseded"],
        "mark": report["mark"], "seen": "" if report["answer"] == "not_seen" else report["seen"], "source": report["source"],
        "recalled": "" if report["recalled"] == "recalled" else report["recalled"],
    }

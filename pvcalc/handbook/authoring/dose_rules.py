"""The rows of the dose sheet as rules, without a weight: what a drill says to whoever typed nothing."""

from pvcalc.core.units import show_input, with_unit
from pvcalc.formulas.doses import PROTAMINE_LATER_MG, PROTAMINE_STEPS_MG
from pvcalc.plan.dose_amounts import (
    amount_text, dose_of, label_text, per_text, strength_of, strength_text, suffix_of, volume_text,
)
from pvcalc.plan.doses import RECALLED, mark_of, state_of, worded

WHO = {("adult",): "adult", ("preterm",): "preterm", ("preterm", "newborn"): "newborn", ("preterm", "newborn", "infant"): "under one year",
       ("infant", "child"): "child", ("child",): "child", ("preterm", "newborn", "infant", "child"): "child"}


def rules(data, drill=""):
    """Every row of a drill (or of the sheet) as a rule.

    Args:
        data: the handbook's data as the engine reads it; drill: its name, or "" for all.
    Returns dicts: `id`, `label`, `when`, `state`, `lines` (one text for each who and strength), `beware`, `mark`.
    """
    return [rule_of(data, record) for record in data["doses"] if not drill or drill in record["drills"]]


def rule_of(data, record):
    """One row as a rule."""
    lines = [line for choice in record["choices"] for line in choice_lines(data, record, choice)]
    keys = [(part, entry[part]) for entry in record["choices"] + record.get("strengths", []) for part in entry if part not in ("who", "below", "beware")]
    return {"id": record["id"], "label": record["label"], "when": worded(data, record["when"]), "state": state_of(record),
            "lines": lines, "beware": worded(data, record["beware"]), "mark": mark_of(data, keys)}


def choice_lines(data, record, choice):
    """One choice: who, dose and cap, then millilitres for each strength."""
    unit, head = record["unit"], who_words(data, record, choice)
    if record["kind"] == "protamine":
        return protamine_lines(data, record, choice)
    value, by_weight, time = dose_of(choice["dose"], data["settings"][choice["dose"]], unit)
    order = per_text(value, unit, by_weight, time)
    caps = caps_words(data, choice, unit)
    drawn = drawn_words(data, record, choice, value, by_weight, time)
    return [head + order + "".join(f"; {text}" for text in drawn) + "".join(f"; {text}" for text in caps)]


def who_words(data, record, choice):
    """`child: `, `under 10 kg: `, or nothing for everybody."""
    words = [WHO[tuple(choice["who"])]] if choice.get("who") else []
    if choice.get("below"):
        words.append(below_words(data, choice["below"]))
    elif not choice.get("who") and len(record["choices"]) > 1:
        words.append("others")
    return ", ".join(words) + ": " if words else ""


def below_words(data, key):
    """`under 10 kg`."""
    return "under " + with_unit(show_input(data["settings"][key]), key)


def caps_words(data, choice, unit):
    """`most 1 mg`, `in all 3 mg`."""
    found = []
    for part, words in (("high", "up to "), ("then", "then "), ("most", "most "), ("ceiling", "most "), ("total", "in all "), ("total_most", "in all most ")):
        if choice.get(part) and not (part == "most" and choice.get("ceiling")):
            value, by_weight, time = dose_of(choice[part], data["settings"][choice[part]], unit)
            found.append(words + per_text(value, unit, by_weight, time))
    if choice.get("most") and choice.get("ceiling"):
        value, _, time = dose_of(choice["most"], data["settings"][choice["most"]], unit)
        found.append("never above " + per_text(value, unit, False, time or "min"))
    return found


def drawn_words(data, record, choice, value, by_weight, time):
    """Millilitres for each strength that this choice may meet."""
    found, lower = [], ""
    entries = [entry for entry in record.get("strengths", []) if not entry.get("who") or set(entry["who"]) & set(choice.get("who") or entry["who"])]
    if choice.get("who") == ["adult"]:
        own = [entry for entry in entries if entry.get("who")] or [entry for entry in entries if not entry.get("below")]
        entries = own[:1]
    for entry in entries:
        limit = below_words(data, entry["below"]) if entry.get("below") else lower.replace("under ", "from ") if lower else ""
        lower = below_words(data, entry["below"]) if entry.get("below") else ""
        found.append((limit + " " if limit else "") + one_strength(data, record, entry, value, by_weight, time))
    return found


def one_strength(data, record, entry, value, by_weight, time):
    """`0.1 mL/kg of 0.1 mg/mL`, `0.75 mL/kg/h of 4 micrograms/mL`, or the recipe of a syringe."""
    unit, settings = record["unit"], data["settings"]
    syringe = settings["pump_syringe_ml"]
    if entry.get("recipe"):
        each, _, _ = dose_of(entry["recipe"], settings[entry["recipe"]], unit)
        return (f"{amount_text(each, unit)}/kg in {show_input(syringe)}\u00a0mL: " + volume_text(value * 60 * syringe / each, "mL/h"))
    strength = strength_of(entry["strength"], settings[entry["strength"]], unit)
    drawn = value * 60 / strength if time == "min" else value / strength
    shown = label_text(entry["strength"], settings[entry["strength"]]) if suffix_of(entry["strength"]) == "percent" else strength_text(strength, unit)
    return show_input(float(f"{drawn:.3g}")) + "\u00a0mL" + ("/kg" if by_weight else "") + ("/h" if time else "") + " of " + shown


def protamine_lines(data, record, choice):
    """Protamine for each 100 units, by the minutes since."""
    ladder = [f"to {minutes}\u00a0min {amount_text(each, 'mg')}" for minutes, each in PROTAMINE_STEPS_MG] + [f"later {amount_text(PROTAMINE_LATER_MG, 'mg')}"]
    strengths, lower = [], ""
    for entry in record["strengths"]:
        limit = below_words(data, entry["below"]) if entry.get("below") else lower.replace("under ", "from ")
        lower = below_words(data, entry["below"]) if entry.get("below") else ""
        strengths.append(f"{limit} {label_text(entry['strength'], data['settings'][entry['strength']])}".strip())
    most = amount_text(data["settings"][choice["most"]], "mg")
    return ["for each 100 units: " + ", ".join(ladder) + "; " + "; ".join(strengths) + f"; most {most}"]


__all__ = ["RECALLED", "rule_of", "rules"]

"""A case to teach from: history, grade by document, measurement, choice, steps, result, follow-up, and what colleagues ask.

Parts as {"title", "lines"}; every line is the plan's own or an entry. Questions carry the handbook's place and the works behind.
"""

from pvcalc.core.units import show, show_input
from pvcalc.plan.after_words import dated_words, interval_words, section_lines
from pvcalc.plan.settings import setting_text
from pvcalc.plan.words import UNANSWERED, annulus_words, input_words

# Question, answer with settings in braces, chapter and section.
QUESTIONS = [
    ("Why this ratio, and not a larger balloon?", "The target is {target_low_ratio} to {target_high_ratio} times the ring in its own frame, accepted to {accepted_high_ratio}; beyond it the leak is paid for.",
     "sizing.html#which-balloon-for-this-annulus"),
    ("Which frame was measured?", "One frame, no conversion: a ring without its frame sizes no balloon.", "sizing.html#which-frame-do-i-measure"),
    ("Why does Doppler read more than the catheter?", "Peak instantaneous and peak-to-peak are two quantities, often taken in two states; they are never averaged.",
     "physiology.html#why-does-doppler-read-more-than-my-catheter"),
    ("The ventricle stays high after a good balloon: again?", "A step below the valve from {infundibular_small_below_mmhg} is muscle: no larger balloon for it.", "result.html#level"),
    ("What is left: when is it enough?", "Below {residual_stop_below_mmhg} at the valve it is done; from {residual_up_from_mmhg} it is measured again, once up.",
     "result.html#residual-38-dilate-again-now-or-wait"),
    ("When do you stop whatever the gradient?", "Any tear, a new leak of moderate grade or more, {crossings_stop_count} failed crossings, {procedure_stop_minutes} on the table.",
     "technique.html"),
]


def outline(data, made):
    """The parts in order.

    Args:
        data: the handbook's data, bound; made: a plan.
    """
    patient = made["inputs"]
    return [{"title": title, "lines": lines} for title, lines in (
        ("History", history(made)), ("Grade, by document", [made["headline"]] + documents(made["grade"])),
        ("Measurement", measurement(made)), ("Choice", choice(made)), ("Steps", [one["text"] for one in made["checklist"]["during"]]),
        ("Result", [one["text"] for one in section_lines(data, patient, made)] or ["Nothing after the balloon was entered."]),
        ("Follow-up", [dated_words(made["visit_dates"]), interval_words(made["follow_up"][0])] + documents(made["follow_up"][1:])),
        ("What colleagues ask", questions(data, made)))]


def history(made):
    """Who, and what was entered before any measurement."""
    patient = made["inputs"]
    measured = [name for name in patient if name.startswith("after_") or name.startswith("own_") or name in ("annulus", "heparin", "shelf_mm")
                or [unit for unit in ("_mmhg", "_m_s", "_ml", "_l_min") if name.endswith(unit)]]
    return [made["glance"][0]["text"]] + input_words({name: patient[name] for name in patient if name not in measured})


def documents(entries):
    """Answers of documents that answer: `ESC 2020, adults: severe (class I)`."""
    found = []
    for one in entries:
        if one["answer"] not in UNANSWERED:
            grade = ", ".join([word + " " + one[word] for word in ("class", "level") if one[word]])
            notes = [text for text in (grade, one["superseded"], one["mark"]) if text]
            found.append(one["document"] + ": " + one["words"] + (" (" + "; ".join(notes) + ")" if notes else "") + (". " + one["advice"] if one["advice"] else ""))
    return found


def measurement(made):
    """Every annulus, the one that counts, and what follows from the pressures."""
    found = ["Annulus " + annulus_words(one) for one in made["inputs"].get("annulus") or []] or ["Annulus not entered."]
    if made["sizing"]["annulus_words"]:
        found.append("Counts: " + made["sizing"]["annulus_words"] + ".")
    return found + [one["text"] for one in made["derived_lines"]] + [one["text"] for one in made["fit"]]


def choice(made):
    """Treat or not, the surgeon's part, the balloon, and what stops."""
    told = {one["id"]: one["text"] for one in made["glance"]}
    return [told["treat"], told["balloon"], told["stop"]] + documents(made["treat"] + made["surgery"])


def questions(data, made):
    """Questions with the handbook's answer, its place, and published counts with their work for this group."""
    found = []
    for question, answer, place in QUESTIONS:
        while "{" in answer:
            start, _, rest = answer.partition("{")
            key, _, rest = rest.partition("}")
            answer = start + setting_text(data, key) + rest
        found.append(question + " " + answer + " (" + place + ")")
    for one in made["family"]["counts"]:
        if one["source"]:
            found.append("How many " + one["words"] + "? " + show_input(one["events"]) + " of " + show_input(one["cases"]) + "; between " + show(100 * one["low"], 1) + " and "
                         + show(100 * one["high"], 1) + " % would fit. " + one["population"] + ", " + one["era"] + " (work " + one["source"] + "; reference/sources.html)")
    return found


def outline_text(parts):
    """The outline as text, to read aloud or to print."""
    return "\n\n".join(["OUTLINE OF A CASE"] + [part["title"].upper() + "\n" + "\n".join(["- " + text for text in part["lines"]]) for part in parts]
                       + ["For teaching. No name, no number."]) + "\n"

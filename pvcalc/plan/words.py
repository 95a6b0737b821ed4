"""The plan in words: sections of lines and tables, the same on the page, in a terminal, in print and in a case."""

from pvcalc.core.formula import seen_words
from pvcalc.core.units import show, show_input
from pvcalc.decision.vocabulary import value_words
from pvcalc.formulas.kidney import UMOL_L_PER_MG_DL
from pvcalc.plan.after_words import dated_words, section_lines
from pvcalc.plan.fit import FITS
from pvcalc.plan.inputs import NAMES
from pvcalc.plan.settings import line
from pvcalc.plan.stops import redirect

SHOWN_CHOICES = 4
DOSE_HEADS = ["Drug, when", "State", "Give", "Beware", "Made by", "Seen"]
LIMIT_TITLES = [("kidney", "Kidney"), ("contrast", "Contrast"), ("local_anaesthetic", "Local anaesthetic"), ("heparin", "Heparin"),
                ("protamine", "Protamine"), ("blood", "Blood")]


def section(name, title, sheet, chapter, lines, tables=()):
    """One part of the plan; `sheet` is the printed sheet it belongs to."""
    return {"id": name, "title": title, "sheet": sheet, "chapter": chapter, "lines": lines, "tables": list(tables)}


def table(heads, rows, links=None, title="", folded=False):
    """A table of texts; `links` names for each row the decision table it comes from."""
    return {"title": title, "heads": heads, "rows": rows, "links": links or [], "folded": folded}


def sections(data, made):
    """Every part of the plan in reading order; sheet 1 decision and sizing, 2 limits and checklist, 3 the family."""
    return [
        section("glance", "At a glance", "1", "", [line(one["text"], "glance") for one in made["glance"]]),
        elsewhere_section(made),
        section("inputs", "What was entered", "1", "", [line("; ".join(input_words(made["inputs"]) + made["taken"]) + ".")]),
        fit_section(made),
        section("warnings", "Before any number", "1", "", [line(text, "warn") for text in made["warnings"]]),
        section("missing", "Left blank, and what is needed", "1", "", [line(text[0].upper() + text[1:] + ".", "missing") for text in made["missing"]]),
        section("after", "After the balloon", "1", "result", section_lines(data, made["inputs"], made)),
        section("derived", "What follows from the measurements", "1", "assessment", made["derived_lines"]),
        grade_section(made), treat_section(made), pregnancy_section(made), size_section(made), limit_section(made), drug_section(made),
        task_section(made), after_section(made), visit_section(made), family_section(made), other_section(made),
    ]


def elsewhere_section(made):
    """Where a patient belongs who is not one for the plan: the sentence, and the chapter to read."""
    _, sentence, chapter = redirect(made["inputs"])
    return section("elsewhere", "Where this case belongs", "1", chapter, [line(sentence, "stop")] if sentence else [])


def chapter_words(chapter):
    """A chapter and its heading as a terminal shows them: `follow-up.html#heading`."""
    stem, _, heading = chapter.partition("#")
    return stem + ".html" + ("#" + heading if heading else "")


def input_words(inputs):
    """What was entered, each value with its unit."""
    words = []
    for name in NAMES:
        if name in inputs and name != "checked" and not (name == "duct" and inputs.get("duct_taken")):
            words += words_of(name, inputs[name], inputs)
    if inputs.get("checked"):
        words.append("unusual values looked at again")
    return words


def words_of(name, value, inputs):
    """One input in words."""
    if name == "age_days":
        # Young age is said in days, an older one in years.
        return ["age " + show(value, 0 if value >= 2 else 1) + " days"] if inputs["age_years"] < 2 else []
    if name == "age_years":
        return ["age " + show_input(float_text(value)) + " years"] if value >= 2 else []
    if name == "weight_measured":
        return ["weight measured today" if value == "yes" else "weight typed, not measured"]
    if name == "annulus":
        return ["annulus " + annulus_words(entry) for entry in value]
    if name == "heparin":
        return ["heparin " + show_input(one["units"]) + " units " + show_input(one["minutes_ago"]) + " minutes ago" for one in value]
    if name.startswith("creatinine"):
        return creatinine_words(inputs) if name == "creatinine_umol_l" else []
    if name == "shelf_mm":
        return ["shelf " + ", ".join([show_input(width) for width in value]) + " mm"]
    return [value_words(name, value)]


def creatinine_words(inputs):
    """Creatinine in both units, the one that was typed first: a slip of the unit shows itself."""
    amount, mass = inputs["creatinine_umol_l"], inputs.get("creatinine_mg_dl")
    if mass is not None:
        return ["creatinine " + show_input(mass) + " mg/dL (" + show(amount, 0) + " µmol/L)"]
    return ["creatinine " + show_input(amount) + " µmol/L (" + show(amount / UMOL_L_PER_MG_DL, 2) + " mg/dL)"]


def float_text(value):
    """An age in years to one hundredth."""
    return int(value * 100 + 0.5) / 100


def annulus_words(entry):
    """One measurement as it was entered."""
    parts = [show_input(entry["mm"]) + " mm", entry["modality"]]
    for field in ("view", "frame", "calibration"):
        if entry[field]:
            parts.append(entry[field].replace("_", " "))
    return " ".join(parts)


def document_row(one):
    """One document's answer as the cells of a table: the caution never stands last alone."""
    said = [("silent: " if one["answer"] == "silent" else "") + one["words"]]
    grade = ", ".join([word + " " + one[word] for word in ("class", "level") if one[word] and one[word] != "may"])
    said += [text for text in (grade, one["advice"]) if text]
    why = [text for text in [one["why"], one["at_cut_off"] or one["nearest"]] + one["cautions"] if text]
    if one["assumes"]:
        why.append("taken for granted: " + "; ".join(one["assumes"]))
    name = [text for text in (one["document"], one["superseded"], one["mark"]) if text]
    return ["; ".join(name), "; ".join(said), ". ".join([text.rstrip(".") for text in why]), seen_words(one["provenance"]) + (", row " + one["row"] if one["row"] else "")]


UNANSWERED = ("not_applicable", "cannot_evaluate", "silent")
DOCUMENT_HEADS = ["Document", "Answer", "Why", "Seen"]


def document_tables(entries):
    """Current documents that answer, then the superseded ones folded; those that do not answer stand at the end of the plan."""
    answering = [one for one in entries if one["answer"] not in UNANSWERED]
    shown = [one for one in answering if not one["superseded"] and not one["mark"]]
    older = [one for one in answering if one not in shown]
    made = []
    if shown:
        made.append(table(DOCUMENT_HEADS, [document_row(one) for one in shown], [one["table"] for one in shown]))
    if older:
        made.append(table(DOCUMENT_HEADS, [document_row(one) for one in older], [one["table"] for one in older],
                          "Superseded, a textbook's convention, or commonly quoted without a source", True))
    return made


def other_section(made):
    """Documents that are silent, not for this patient, or lack an input: the very end of the plan, folded, by question."""
    tables = []
    for name, entries in (("Grade", made["grade"]), ("Treat or not", made["treat"] + made["surgery"]), ("Pregnancy", made["pregnancy"]),
                          ("Follow-up", made["follow_up"])):
        hidden = [one for one in entries if one["answer"] in UNANSWERED]
        if hidden:
            tables.append(table(DOCUMENT_HEADS, [document_row(one) for one in hidden], [one["table"] for one in hidden], name, True))
    return section("others", "Documents that are silent, not for this patient, or lack an input", "2", "", [], tables)


def fit_section(made):
    """What contradicts what; it stands there even when nothing does."""
    lines = [line(one["text"], "warn") for one in made["fit"]] or [line(FITS)]
    return section("fit", "What does not fit what", "1", "assessment", lines)


def grade_section(made):
    """Severity: the headline, the ventricle's own pressure, then each document's own grade."""
    lines = [line(made["headline"], "head")] + ([line(made["pressure"], table="rv_pressure")] if made["pressure"] else [])
    return section("grade", "Grade, by document", "1", "indications", lines, document_tables(made["grade"]))


def treat_section(made):
    """Treat or not by document."""
    return section("treat", "Treat or not, by document", "1", "indications", [line(made["decision"], "head")],
                   document_tables(made["treat"] + made["surgery"]))


def pregnancy_section(made):
    """Risk class and advice by document, for a pregnant patient only."""
    return section("pregnancy", "Pregnancy, by document", "1", "special", [], document_tables(made["pregnancy"]))


def size_section(made):
    """Annulus, z, target and choices."""
    size, lines = made["sizing"], []
    for one in made["z"]:
        lines.append(line("z of the annulus: " + one["text"] + ". " + one["note"], formula=one["formula"], seen="memory"))
    if size["annulus_words"]:
        lines.append(line("The annulus that counts: " + size["annulus_words"] + "." + (" " + size["advice"] if size["advice"] else ""),
                          table="annulus_measurement"))
    lines += [line(sentence, "stop", table="balloon_over_smaller" if code == "annuli_differ" else "") for code, sentence in made["stops"]]
    lines.append(line("Proposal: " + size["proposal"] + "." if size["proposal"] else size["why"] if not size["target_mm"] else "No proposal.", "head",
                      formula="shelf_choices"))
    if size["proposed"]:
        lines.append(line("Ratio to each measurement: " + size["proposed"]["ratio_words"] + "."))
    if size["never_above_mm"] and not made["stops"]:
        lines.append(line("Never above " + show(size["never_above_mm"], 1).replace(".0", "") + " mm, the ceiling over the smallest measurement."
                          + (" " + show_input(size["next_up"]) + " mm only measured again, with a written reason." if size["next_up"] else "")))
    if size["target_mm"]:
        if size["why"]:
            lines.append(line(size["why"][0].upper() + size["why"][1:]))
        lines.append(line("Target " + show(size["target_mm"][0], 1) + " to " + show(size["target_mm"][1], 1) + " mm; accepted "
                          + show(size["accepted_mm"][0], 1) + " to " + show(size["accepted_mm"][1], 1) + " mm, for this frame only.", formula="balloon_range_mm"))
        lines.append(line("Error of a ratio " + show(size["error_percent"], 1) + " % from calibration, caliper and balloon; the true ratio of each choice stands beside it.",
                          formula="true_ratio"))
    return section("sizing", "Balloon", "1", "sizing", lines, size_tables(size))


def size_tables(size):
    """Choices in order, then what was passed over with the reason."""
    tables = []
    if size["choices"]:
        first, rest = first_of_each(size["choices"])
        heads = ["Balloon", "Zone and ratio to each measurement", "True ratio", "Label"]
        tables.append(table(heads, [choice_cells(one) for one in first]))
        if rest:
            tables.append(table(heads, [choice_cells(one) for one in rest], title="More choices, and the same sizes of other families", folded=True))
    if size["passed_over"]:
        rows = [[one["words"], show(one["ratio"], 2) if one["ratio"] is not None else "", one["why"]] for one in size["passed_over"]]
        tables.append(table(["Passed over", "Ratio", "Why"], rows, title="Passed over, with the reason", folded=True))
    return tables


def first_of_each(choices):
    """The best choice of each of the first sizes, and all others."""
    first, rest, sizes = [], [], []
    for one in choices:
        if one["balloons_mm"] not in sizes and len(first) < SHOWN_CHOICES:
            first.append(one)
            sizes.append(one["balloons_mm"])
        else:
            rest.append(one)
    return first, rest


def choice_cells(one):
    """One choice as cells."""
    wide = "; " + show_input(one["major_width_mm"]) + " mm wide before the annulus bends" if one["method"] == "belt" else ""
    effective = "effective " + show(one["effective_mm"], 1) + " mm" if one["method"] == "belt" else one["family"]
    low, high = one["true_ratio"]
    band = show(low, 2) + " to " + show(high, 2) + " (" + one["true_zones"][0] + " to " + one["true_zones"][1] + ")" if None not in (low, high) else ""
    return ["; ".join([text for text in (one["words"], effective) if text]) + wide, one["zone"] + "; " + one["ratio_words"], band, one["label"]]


def limit_rows(rows):
    """Limits as cells."""
    return [[one["label"], one["text"], "; ".join([text for text in (one["steps"], one["note"]) if text]), seen_words(one["provenance"])] for one in rows]


def limit_section(made):
    """Ceilings of the case."""
    tables = [table([title, "Limit", "Steps", "Seen"], limit_rows(made["limits"][name])) for name, title in LIMIT_TITLES if made["limits"][name]]
    return section("limits", "Limits of this case", "2", "preparation", [] if tables else [line("Blank: see what is needed.", "missing")], tables)


def drug_section(made):
    """Drug table."""
    if not made["drugs"]:
        return section("drugs", "Doses for this weight", "2", "doses", [line("Blank: weight is needed.", "missing")])
    titles = []
    for one in made["drugs"]:
        if one["group_title"] not in titles:
            titles.append(one["group_title"])
    tables = [table(DOSE_HEADS, [dose_cells(one) for one in made["drugs"] if one["group_title"] == title], title=title) for title in titles]
    lines = [line("READY is drawn up and labelled, PLANNED is made on order: nothing is given until a time stands beside it. "
                  "Two people read weight, strength and rate aloud.", "warn")]
    if [one for one in made["drugs"] if one["rule"] and one["label"].endswith(" rule")]:
        lines.append(line("Looks adult, past puberty? Not stated: both arrest doses are printed, the likelier first.", "warn"))
    return section("drugs", "Doses for this weight", "2", "doses", lines, tables)


def dose_cells(one):
    """One row of the dose sheet as cells; what is recalled stands before the caution."""
    beware = "; ".join([text for text in (one["mark"], one["beware"]) if text])
    return [one["label"] + ": " + one["when"], one["state"], one["text"], beware, one["make"], seen_words(one["provenance"])]


def task_section(made):
    """Checklist before, during and after."""
    lines = []
    for part in ("before", "during", "after"):
        lines.append(line(part[0].upper() + part[1:], "part"))
        lines += [line(one["text"], "stop" if one["stop"] else "task") for one in made["checklist"][part]]
    return section("checklist", "Checklist", "2", "technique", lines)


def after_section(made):
    """Pull-back table and what to do with what is left."""
    back = made["pull_back"]
    tables = [table(back["heads"], back["rows"], title="Pull-back, to fill")]
    for band in made["bands"]:
        tables.append(table(["When", "Then", "How"], band["rows"], [band["table"]] * len(band["rows"]), band["title"], True))
    lines = [line(text, "warn") for band in made["bands"] for text in band["assumes"]]
    return section("pull_back", "Pull-back and what is left", "2", "result", lines, tables)


def visit_section(made):
    """Visits after the procedure: the department's dated ones, its own table, then the documents."""
    return section("follow_up", "Follow-up, the house first, then by document", "2", "follow-up", [line(dated_words(made["visit_dates"]), table="visits_house")],
                   document_tables(made["follow_up"]))


def family_section(made):
    """The family's own sheet: counts first."""
    told = made["family"]
    lines = [line("For families of: " + told["stratum_words"] + ". Counts of published groups, not a forecast.", "head")]
    for one in told["counts"]:
        low, high = one["low"] * told["out_of"], one["high"] * told["out_of"]
        lines.append(line(one["text"][0].upper() + one["text"][1:] + " (" + one["population"] + "; " + one["era"] + "; followed: " + one["follow_up"]
                          + "). That is " + few(one["events"] * told["out_of"] / one["cases"]) + " in " + show(told["out_of"], 0) + "; between " + few(low) + " and " + few(high) + " in " + show(told["out_of"], 0) + " would fit that count ("
                          + show(one["confidence"] * 100, 0) + " % interval).", "count", seen=one["provenance"]))
    lines.append(line("Not known", "part"))
    lines += [line(text, "unknown") for text in told["unknown"]]
    return section("family", "For the family", "3", "counselling", lines)


def few(value):
    """A count in a hundred; less than one is said so."""
    if value == 0:
        return "0"
    return "fewer than 1" if value < 1 else show(value, 0)


def plain_text(parts):
    """The sections as text for a terminal or to be copied."""
    lines = []
    for part in parts:
        if not part["lines"] and not part["tables"]:
            continue
        # The ten lines stand first and bare: whoever reads no further has them.
        lines += ["", part["title"].upper()] if part["id"] != "glance" else [""]
        for one in part["lines"]:
            mark = {"warn": "! ", "stop": "STOP ", "missing": "? ", "task": "[ ] ", "part": "", "head": "> ", "glance": ""}.get(one["kind"], "- ")
            lines.append(mark + one["text"] + (" [recalled]" if one["seen"] == "memory" else "") + (" {" + one["formula"] + "}" if one["formula"] else ""))
        if part["id"] == "elsewhere":
            lines.append("- The chapter for this case: " + chapter_words(part["chapter"]))
        for one in part["tables"]:
            lines += ["", one["title"] or " | ".join(one["heads"])]
            lines += ["  " + " | ".join(row) for row in one["rows"]]
    return "\n".join(lines[1:]) + "\n"

"""The plan in words: cells, lines and sections of an invented plan, each written out by hand."""

import pytest

from pvcalc.plan import words as text
from pvcalc.plan.settings import line

DOCUMENT = {"document": "Invented 2001", "superseded": "", "mark": "", "words": "yes", "class": "I", "level": "B", "advice": "Soon.", "why": "because", "at_cut_off": "", "nearest": "near 64.",
            "cautions": [], "assumes": [], "provenance": "read", "row": "R1", "answer": "yes", "table": "invented"}
CHOICE = {"balloons_mm": [24], "words": "24 × 40 mm", "method": "single", "family": "Invented", "effective_mm": 24.0, "major_width_mm": 24.0, "ratio": 1.2, "zone": "target", "ratio_words": "1.20 × 20 (angiogram)",
          "true_ratio": [1.14, 1.26], "true_zones": ["accepted", "accepted"], "label": "sheath 8 F"}
SIZE = {"annulus_words": "20 mm, angiogram", "advice": "Hinge to hinge.", "never_above_mm": 30.0, "next_up": 28, "proposed": CHOICE, "proposal": "24 × 40 mm", "why": "target: within.", "target_mm": [24, 25], "accepted_mm": [22, 26],
        "error_percent": 5.0, "choices": [CHOICE], "passed_over": []}


def document(**more):
    return {**DOCUMENT, **more}


def lines(part):
    """(kind, text) of each line of a section."""
    return [(one["kind"], one["text"]) for one in part["lines"]]


# What was entered


@pytest.mark.parametrize("inputs, words", [
    ({"age_days": 730.5, "age_years": 2}, ["age 2 years"]), ({"age_days": 1.96, "age_years": 0.005}, ["age 2.0 days"]), ({"age_days": 2, "age_years": 0.005}, ["age 2 days"]),
    ({"age_days": 30.4, "age_years": 0.08}, ["age 30 days"]), ({"age_days": 730, "age_years": 1.9986}, ["age 730 days"]), ({"age_days": 4485, "age_years": 12.2793}, ["age 12.28 years"]),
    ({"age_days": 4000, "age_years": 10.955}, ["age 10.96 years"])])
def test_an_age_is_told_in_days_below_two_years_and_in_years_from_then(inputs, words):
    assert text.input_words(inputs) == words


def test_what_was_entered_stands_in_the_order_of_the_page():
    inputs = {"heparin": [{"units": 1250, "minutes_ago": 35.0}], "annulus": [{"mm": 15.8, "modality": "echo", "view": "long_axis", "frame": "open_valve_systole", "calibration": ""},
              {"mm": 16, "modality": "ct", "view": "", "frame": "not_stated", "calibration": "none"}], "shelf_mm": [18, 20.5], "doppler_peak_mmhg": 64, "symptoms": "no",
              "checked": "yes", "age_days": 2922, "age_years": 8}
    assert text.input_words(inputs) == ["age 8 years", "without symptoms", "peak Doppler gradient 64\u00a0mmHg", "annulus 15.8 mm echo long axis open valve systole",
                                        "annulus 16 mm ct not stated none", "shelf 18, 20.5 mm", "heparin 1250 units 35 minutes ago", "unusual values looked at again"]


# Documents


@pytest.mark.parametrize("change, cells", [
    ({}, ["Invented 2001", "yes; class I, level B; Soon.", "because. near 64", "read, row R1"]), ({"at_cut_off": "At the cut-off."}, ["Invented 2001", "yes; class I, level B; Soon.", "because. At the cut-off", "read, row R1"]),
    ({"class": "may", "level": "", "advice": "", "row": "", "provenance": "memory"}, ["Invented 2001", "yes", "because. near 64", "recalled"]),
    ({"class": "strong", "level": ""}, ["Invented 2001", "yes; class strong; Soon.", "because. near 64", "read, row R1"]),
    ({"superseded": "superseded by X", "mark": "no source", "cautions": ["Ask.", "Look"], "nearest": "", "assumes": ["a", "b"]},
     ["Invented 2001; superseded by X; no source", "yes; class I, level B; Soon.", "because. Ask. Look. taken for granted: a; b", "read, row R1"])])
def test_one_document_as_cells(change, cells):
    assert text.document_row(document(**change)) == cells


def test_documents_that_answer_come_first_and_the_others_are_folded():
    entries = [document(table="a"), document(table="b", answer="silent"), document(table="c", superseded="x"), document(table="d", answer="cannot_evaluate"), document(table="e", mark="m"),
               document(table="f", answer="not_applicable"), document(table="g", answer="not_seen")]
    shown, older = text.document_tables(entries)
    others = text.other_section({"grade": entries, "treat": [], "surgery": entries[1:2], "pregnancy": [document()], "follow_up": entries[3:4]})
    assert [one["links"] for one in (shown, older)] == [["a", "g"], ["c", "e"]] and [one["folded"] for one in (shown, older)] == [False, True]
    assert shown["title"] == "" and older["title"].startswith("Superseded, a textbook") and len(shown["rows"]) == 2
    assert [(one["title"], one["links"], one["folded"]) for one in others["tables"]] == [("Grade", ["b", "d", "f"], True), ("Treat or not", ["b"], True), ("Follow-up", ["d"], True)]
    assert others["title"].startswith("Documents that are silent") and others["lines"] == []
    assert shown["heads"] == older["heads"] == others["tables"][0]["heads"] == ["Document", "Answer", "Why", "Seen"]
    assert text.document_tables([]) == [] and text.document_tables(entries[1:2]) == []


def test_grade_and_treatment_have_their_headline():
    made = {"headline": "MILD.", "pressure": "RV 62 / systemic 97 = 0.64.", "grade": [document()], "decision": "For it.", "treat": [document(table="t")], "surgery": [document(table="s")]}
    grade, treat = text.grade_section(made), text.treat_section(made)
    assert text.fit_section({"fit": []})["lines"][0]["text"].startswith("Nothing that was entered contradicts")
    assert lines(text.fit_section({"fit": [{"code": "c", "text": "Odd."}]})) == [("warn", "Odd.")]
    assert [lines(text.grade_section({**made, "pressure": ""})), lines(grade)] == [[("head", "MILD.")], [("head", "MILD."), ("line", "RV 62 / systemic 97 = 0.64.")]] and lines(treat) == [("head", "For it.")] and treat["tables"][0]["links"] == ["t", "s"]
    assert [(one["id"], one["sheet"], one["chapter"]) for one in (grade, treat)] == [("grade", "1", "indications"), ("treat", "1", "indications")]


# Balloon


def test_the_balloon_in_lines():
    z = [{"text": "−1.18", "note": "Recalled.", "formula": "annulus_z"}]
    part = text.size_section({"sizing": SIZE, "z": z, "stops": []})
    assert lines(part) == [
        ("line", "z of the annulus: −1.18. Recalled."), ("line", "The annulus that counts: 20 mm, angiogram. Hinge to hinge."), ("head", "Proposal: 24 × 40 mm."),
        ("line", "Ratio to each measurement: 1.20 × 20 (angiogram)."),
        ("line", "Never above 30 mm, the ceiling over the smallest measurement. 28 mm only measured again, with a written reason."), ("line", "Target: within."),
        ("line", "Target 24.0 to 25.0 mm; accepted 22.0 to 26.0 mm, for this frame only."),
        ("line", "Error of a ratio 5.0 % from calibration, caliper and balloon; the true ratio of each choice stands beside it.")]
    assert [one["formula"] for one in part["lines"]] == ["annulus_z", "", "shelf_choices", "", "", "", "balloon_range_mm", "true_ratio"] and part["lines"][0]["seen"] == "memory"
    assert part["lines"][1]["table"] == "annulus_measurement"


def test_a_stop_stands_before_the_missing_proposal_and_no_size_gives_its_reason():
    held = {**SIZE, "proposal": None, "proposed": None, "why": "No proposal: measure again.", "advice": "", "target_mm": None, "accepted_mm": None}
    stopped = text.size_section({"sizing": held, "z": [], "stops": [("annuli_differ", "Too wide."), ("dysplastic_team", "Thick.")]})
    assert lines(stopped) == [("line", "The annulus that counts: 20 mm, angiogram."), ("stop", "Too wide."), ("stop", "Thick."), ("head", "No proposal: measure again.")]
    assert "arget" not in " ".join(words for _, words in lines(stopped)) and stopped["lines"][2]["table"] == ""
    assert stopped["lines"][1]["table"] == "balloon_over_smaller"
    none = text.size_section({"sizing": {**SIZE, "target_mm": None, "proposal": None, "why": "No size: no annulus.", "annulus_words": "", "choices": [], "proposed": None, "never_above_mm": None}, "z": [], "stops": []})
    assert lines(none) == [("head", "No size: no annulus.")] and none["tables"] == []


@pytest.mark.parametrize("change, cells", [
    ({}, ["24 × 40 mm; Invented", "target; 1.20 × 20 (angiogram)", "1.14 to 1.26 (accepted to accepted)", "sheath 8 F"]), ({"family": ""}, ["24 × 40 mm", "target; 1.20 × 20 (angiogram)", "1.14 to 1.26 (accepted to accepted)", "sheath 8 F"]),
    ({"method": "belt", "words": "22 + 20 mm", "effective_mm": 34.38, "major_width_mm": 42.0},
     ["22 + 20 mm; effective 34.4 mm; 42 mm wide before the annulus bends", "target; 1.20 × 20 (angiogram)", "1.14 to 1.26 (accepted to accepted)", "sheath 8 F"]),
    ({"true_ratio": [1.14, None]}, ["24 × 40 mm; Invented", "target; 1.20 × 20 (angiogram)", "", "sheath 8 F"]),
    ({"true_ratio": [0.99, 1.3], "true_zones": ["below", "reason"]}, ["24 × 40 mm; Invented", "target; 1.20 × 20 (angiogram)", "0.99 to 1.30 (below to reason)", "sheath 8 F"])])
def test_a_choice_as_cells(change, cells):
    assert text.choice_cells({**CHOICE, **change}) == cells


def test_the_best_of_each_of_four_sizes_is_shown_and_the_rest_folded():
    choices = [{**CHOICE, "balloons_mm": [width], "family": family} for width, family in [(24, "a"), (24, "b"), (25, "a"), (23, "a"), (26, "a"), (22, "a")]]
    first, rest = text.first_of_each(choices)
    assert [(one["balloons_mm"], one["family"]) for one in first] == [([24], "a"), ([25], "a"), ([23], "a"), ([26], "a")]
    assert [(one["balloons_mm"], one["family"]) for one in rest] == [([24], "b"), ([22], "a")]
    shown, more = text.size_tables({"choices": choices, "passed_over": []})
    assert (len(shown["rows"]), shown["folded"], len(more["rows"]), more["folded"]) == (4, False, 2, True) and more["heads"] == shown["heads"]
    assert len(text.size_tables({"choices": choices[:1], "passed_over": []})) == 1


def test_what_was_passed_over_is_told_with_its_reason():
    made, = text.size_tables({"choices": [], "passed_over": [{"words": "18 mm", "ratio": 0.9, "why": "below"}, {"words": "pairs", "ratio": None, "why": "single reaches"}]})
    assert made["rows"] == [["18 mm", "0.90", "below"], ["pairs", "", "single reaches"]] and made["folded"] is True and made["heads"] == ["Passed over", "Ratio", "Why"]


# Limits, drugs, tasks


def test_limits_stand_in_their_order_and_a_blank_says_so():
    rows = {name: [] for name, _ in text.LIMIT_TITLES}
    row = {"label": "Heparin", "text": "1000 units", "steps": "100 × 10", "note": "as reported", "provenance": "memory"}
    part = text.limit_section({"limits": {**rows, "heparin": [row, {**row, "note": "", "provenance": "read"}], "kidney": [{**row, "label": "Rate"}]}})
    assert [one["heads"][0] for one in part["tables"]] == ["Kidney", "Heparin"] and part["lines"] == []
    assert part["tables"][1]["rows"] == [["Heparin", "1000 units", "100 × 10; as reported", "recalled"], ["Heparin", "1000 units", "100 × 10", "read"]]
    blank = text.limit_section({"limits": rows})
    assert lines(blank) == [("missing", "Blank: see what is needed.")] and blank["tables"] == []


def test_doses_are_tables_by_group_under_their_warning_or_blank():
    row = {"label": "Atropine", "when": "slow", "state": "READY", "text": "0.4 mL = 0.24 mg", "mark": "", "beware": "A try.", "make": "", "provenance": "read", "group_title": "Slow", "rule": ""}
    recalled = {**row, "label": "Volume", "mark": "recalled: sign first", "make": "1 mL of it", "provenance": "memory", "group_title": "Outflow"}
    part = text.drug_section({"drugs": [row, recalled]})
    assert [one["title"] for one in part["tables"]] == ["Slow", "Outflow"] and part["chapter"] == "doses"
    assert part["tables"][0]["rows"] == [["Atropine: slow", "READY", "0.4 mL = 0.24 mg", "A try.", "", "read"]]
    assert part["tables"][1]["rows"] == [["Volume: slow", "READY", "0.4 mL = 0.24 mg", "recalled: sign first; A try.", "1 mL of it", "recalled"]]
    assert lines(part)[0][0] == "warn" and "nothing is given until a time stands beside it" in lines(part)[0][1] and len(part["lines"]) == 1
    both = text.drug_section({"drugs": [{**row, "label": "Shock, adult rule", "rule": "adult"}, {**row, "label": "Shock, child rule", "rule": "child"}]})
    assert "Looks adult" in lines(both)[1][1] and len(lines(text.drug_section({"drugs": [{**row, "rule": "adult"}]}))) == 1
    blank = text.drug_section({"drugs": []})
    assert lines(blank) == [("missing", "Blank: weight is needed.")] and blank["tables"] == []


def test_tasks_are_told_part_by_part():
    part = text.task_section({"checklist": {"before": [{"text": "A.", "stop": False}, {"text": "B.", "stop": True}], "during": [], "after": [{"text": "C.", "stop": False}]}})
    assert lines(part) == [("part", "Before"), ("task", "A."), ("stop", "B."), ("part", "During"), ("part", "After"), ("task", "C.")]


def test_the_pull_back_comes_before_the_bands_and_what_they_take_for_granted():
    band = {"table": "residual", "title": "Residual", "rows": [["a", "b", "c"], ["d", "e", "f"]], "assumes": ["A trunk."]}
    part = text.after_section({"pull_back": {"heads": ["h"], "rows": [["r"]]}, "bands": [band, {**band, "assumes": []}]})
    first, second, _ = part["tables"]
    assert (first["title"], first["heads"], first["rows"], first["links"], first["folded"]) == ("Pull-back, to fill", ["h"], [["r"]], [], False)
    assert (second["title"], second["links"], second["folded"], second["heads"]) == ("Residual", ["residual", "residual"], True, ["When", "Then", "How"])
    assert lines(part) == [("warn", "A trunk.")]


def test_visits_are_documents():
    dates = [{"visit": "before discharge", "months": 0}, {"visit": "first visit", "months": 1.5}]
    part = text.visit_section({"follow_up": [document()], "visit_dates": dates})
    assert part["tables"][0]["links"] == ["invented"]
    assert lines(part) == [("line", "House visits, to be signed: before discharge; first visit 1.5 months.")]


# Family


COUNT = {"text": "2 of 100 died", "events": 2, "cases": 100, "low": 0.0024, "high": 0.0704, "population": "children", "era": "1990s", "follow_up": "a year", "confidence": 0.95, "provenance": "read"}


@pytest.mark.parametrize("out_of, low, high, said", [(100, 0.0024, 0.0704, "That is 2 in 100; between fewer than 1 and 7 in 100"), (1000, 0.0024, 0.0704, "That is 20 in 1000; between 2 and 70 in 1000"),
                                                     (100, 0, 0.168, "That is 2 in 100; between 0 and 17 in 100"), (100, 0.01, 0.02, "That is 2 in 100; between 1 and 2 in 100")])
def test_a_count_is_told_with_its_interval_of_one_denominator(out_of, low, high, said):
    part = text.family_section({"family": {"stratum_words": "children", "counts": [{**COUNT, "low": low, "high": high}], "out_of": out_of, "unknown": ["What comes."]}})
    assert lines(part) == [("head", "For families of: children. Counts of published groups, not a forecast."),
                           ("count", f"2 of 100 died (children; 1990s; followed: a year). {said} would fit that count (95 % interval)."), ("part", "Not known"), ("unknown", "What comes.")]
    assert part["lines"][1]["seen"] == "read"


@pytest.mark.parametrize("value, said", [(0, "0"), (0.4, "fewer than 1"), (0.99, "fewer than 1"), (1, "1"), (1.4, "1"), (70.4, "70")])
def test_less_than_one_is_said_so(value, said):
    assert text.few(value) == said


# The whole, and as plain text


def test_sections_stand_in_reading_order_on_their_sheets():
    made = {"inputs": {"age_days": 2922, "age_years": 8, "duct": "closed", "duct_taken": "yes"}, "taken": ["duct taken as closed"], "fit": [], "pressure": "", "stops": [], "glance": [{"id": "who", "text": "Boy."}],
            "warnings": ["Look."], "missing": ["weight, for doses"], "derived_lines": [line("D.")], "headline": "H", "grade": [], "decision": "T", "treat": [], "pregnancy": [],
            "surgery": [], "sizing": SIZE, "z": [], "limits": {name: [] for name, _ in text.LIMIT_TITLES}, "drugs": [], "checklist": {"before": [], "during": [], "after": []},
            "pull_back": {"heads": [], "rows": []}, "bands": [], "follow_up": [], "after": None, "afterwards": None, "visit_dates": [], "family": {"stratum_words": "s", "counts": [], "out_of": 100, "unknown": []}}
    parts = text.sections({}, made)
    assert [(part["id"], part["sheet"]) for part in parts] == [("glance", "1"), ("elsewhere", "1"), ("inputs", "1"), ("fit", "1"), ("warnings", "1"), ("missing", "1"), ("after", "1"), ("derived", "1"), ("grade", "1"), ("treat", "1"), ("pregnancy", "1"), ("sizing", "1"), ("limits", "2"),
                                                               ("drugs", "2"), ("checklist", "2"), ("pull_back", "2"), ("follow_up", "2"), ("family", "3"), ("others", "2")]
    assert lines(parts[0]) == [("glance", "Boy.")]
    assert lines(parts[1]) == [] and [lines(part) for part in parts[2:3] + parts[4:6] + parts[7:8]] == [[("line", "age 8 years; duct taken as closed.")], [("warn", "Look.")], [("missing", "Weight, for doses.")], [("line", "D.")]]


def test_as_plain_text_each_kind_of_line_has_its_mark():
    kinds = ("warn", "stop", "missing", "task", "part", "head", "line", "count")
    part = text.section("a", "Title", "1", "", [line(kind, kind) for kind in kinds] + [line("z", seen="memory", formula="annulus_z"), line("y", seen="read")],
                        [text.table(["A", "B"], [["1", "2"], ["3", "4"]]), text.table(["A"], [["5"]], title="Named")])
    assert text.plain_text([part, text.section("b", "Empty", "1", "", []), text.section("c", "Last", "1", "", [line("end")])]) == (
        "TITLE\n! warn\nSTOP stop\n? missing\n[ ] task\npart\n> head\n- line\n- count\n- z [recalled] {annulus_z}\n- y\n\nA | B\n  1 | 2\n  3 | 4\n\nNamed\n  5\n\nLAST\n- end\n")
    assert text.plain_text([text.section("a", "T", "1", "", [], [text.table(["A"], [["5"]])])]) == "T\n\nA\n  5\n"

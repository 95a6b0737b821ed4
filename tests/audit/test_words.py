"""An audit in words, by hand: a small result goes in, and every sentence, table and picture that comes out is written here."""

import pytest

from pvcalc.audit.caveats import words_of
from pvcalc.audit.definitions import QUANTITIES
from pvcalc.audit.words import MEDIANS, SECTIONS, sections

SPACE, THIN = "\u00a0", "\u202f"
ORDER = ["file", "strata", "definitions", "rates", "benchmarks", "charts", "follow_up", "medians", "cannot_show"]


def percent(number):
    return f"{number}{SPACE}%"


def rate(events, known, unknown=0, **more):
    """A rate as the counts make it, with limits that are easy to tell apart."""
    made = {"events": events, "known": known, "unknown": unknown}
    if known:
        made |= {"rate": events / known, "exact": [0.1, 0.2], "wilson": [0.3, 0.4]}
    return {**made, **more}


BENCHMARK = {"fraction": 0.03, "cases": None, "bad": None, "definition": "D", "population": "P", "era": "E", "source": "S", "seen": "read"}
RESULT = {
    "cases": 1200, "left_out": 0, "absent": [], "options": {"quantity": "catheter"}, "confidence": 0.95, "outer_confidence": 0.998, "first_day": 0, "last_day": 366,
    "strata": [], "rates": [], "definitions": [], "benchmarks": [], "years": [], "charts": [], "medians": [], "reasons": "", "cannot_show": ["A.", "B."],
    "follow_up": {"followed": 0, "not_followed": 2, "events": 0, "days": [], "again": [], "rows": [], "at_years": []}}


def section(name, **parts):
    made = SECTIONS[ORDER.index(name)]({**RESULT, **parts})
    assert made["id"] == name
    return made


def test_the_sections_come_in_their_order_each_with_a_title():
    made = sections(RESULT)
    assert [one["id"] for one in made] == ORDER and all(one["title"] for one in made) and made[8]["lines"] == ["A.", "B."]
    assert all(set(one) == {"id", "title", "lines", "tables", "pictures"} for one in made)


def test_the_file_is_told_with_what_is_not_in_it():
    usual = ["Results at once by catheter peak-to-peak gradient, late results by peak Doppler gradient at the last visit; the two are never mixed.",
             f"Intervals cover {percent('95.0')}, two-sided unless said. A blank cell is not known: it is counted as that and nowhere else."]
    assert section("file")["lines"] == ["1200 attempts, 1970-01-01 to 1971-01-02, the abandoned among them.", *usual]
    more = section("file", cases=12345, left_out=13, absent=["valve", "died"], options={"quantity": "doppler"})["lines"]
    assert more == [f"12{THIN}345 attempts, 1970-01-01 to 1971-01-02, the abandoned among them.",
                    "Not complete: 13 rows at fault were left out; the rest may look better or worse for it.",
                    usual[0].replace("catheter peak-to-peak", "peak Doppler", 1), usual[1], "Columns not in the file, so not known: valve, died."]
    assert QUANTITIES == {"catheter": "catheter peak-to-peak", "doppler": "peak Doppler"}


def test_each_group_is_told_with_its_attempts_deaths_and_events():
    strata = [{"stratum": "", "attempts": 19, "performed": 12, "abandoned": 7}, {"stratum": "valve:domed", "attempts": 5, "performed": 4, "abandoned": 1}]
    rates = [{**rate(events, known), "measure": measure, "stratum": stratum} for measure, stratum, events, known in (
        ("died", "", 6, 19), ("died", "valve:domed", 0, 5), ("serious", "", 7, 17), ("serious", "valve:domed", 2, 4), ("any", "", 6, 6))]
    table, = section("strata", strata=strata, rates=rates)["tables"]
    assert table["heads"] == ["Group", "Attempts", "Performed", "Abandoned", "Died (of known)", "Level 3 to 5 (of known)"]
    assert table["rows"] == [["all", "19", "12", "7", "6 of 19", "7 of 17"], ["valve domed", "5", "4", "1", "0 of 5", "2 of 4"]]


def definition(stratum, good, other, name="success_cadavid_2006", **more):
    return {"name": name, "title": "Title", "document": "Document", "when": "at_once", "stratum": stratum, "good": good, "other": other, "unknown": 0, "abandoned": 0,
            "outside": 0, "answers": [("not_success", 12), ("success", 13)], "performed_rate": rate(good, good + other), "attempt_rate": rate(good, good + other + 1), **more}


def test_a_definition_is_told_with_its_counts_its_rate_and_its_intervals():
    late = definition("", 0, 0, "residual_228", title="Late", when="late", unknown=14, abandoned=12, outside=11)
    del late["attempt_rate"]
    made = section("definitions", definitions=[
        definition("", 18, 6), definition("valve:domed", 12, 6), definition("valve:other", 6, 0), late, {**late, "stratum": "age_band:adult"}])
    assert made["lines"] == [
        "One list, counted by each published definition. A rate without its definition means nothing.",
        "Partial successes, and results the document has no name for, count as not good.",
        "Title. Answers: not success: 12; success: 13.", "Late. Answers: not success: 12; success: 13."]
    whole, groups = made["tables"]
    exact, wilson = f"{percent('10.0')} to {percent('20.0')}", f"{percent('30.0')} to {percent('40.0')}"
    assert whole["heads"] == ["Definition", "Result", "Counts", "Of those performed and known", "Exact interval", "Wilson interval", "Of all attempts known, exact"]
    assert whole["rows"] == [
        ["Title (Document)", "at once, catheter peak-to-peak", "good 18, not good 6", percent("75.0"), exact, wilson, f"{percent('72.0')}, {exact}"],
        ["Late (Document)", "late, peak Doppler", "good 0, not good 0, abandoned 12, not known 14, outside it 11", "nothing known", "", "", "not asked of a late result"]]
    assert groups["heads"] == ["Definition", "valve domed", "valve other", "age 18 years and over"]
    assert groups["rows"] == [["Title", "12/18", "6/6", "0/0"], ["Late", "0/0", "0/0", "0/0"]]
    other = section("definitions", definitions=[definition("", 0, 0)], options={"quantity": "doppler"})["tables"][0]["rows"][0]
    assert other[1] == "at once, peak Doppler" and other[3] == "nothing known" and other[6] == f"{percent('0.0')}, {exact}"
    nothing = section("definitions", definitions=[definition("", 0, 0, attempt_rate=rate(0, 0))])["tables"][0]["rows"][0]
    assert nothing[6] == "nothing known"


def test_rates_are_told_of_all_and_four_of_them_by_group():
    rates = [{**rate(6, 24, 12), "measure": measure, "stratum": stratum} for measure in ("abandoned", "died", "major", "serious", "any", "leak")
             for stratum in ("", "valve:domed")] + [{**rate(0, 8, 0, upper=0.3123), "measure": "heart_block", "stratum": ""}]
    made = section("rates", rates=rates)
    assert made["lines"] == ["Levels 1 to 5 as the registries grade them; deaths within 30 days of whatever cause."]
    whole, groups = made["tables"]
    assert whole["heads"] == groups["heads"] == ["Event", "Count of known", "Not known", "Rate", "Exact interval", "Wilson interval", "Without an event"]
    cells = ["6 of 24", "12", percent("25.0"), f"{percent('10.0')} to {percent('20.0')}", f"{percent('30.0')} to {percent('40.0')}", ""]
    assert [row[0] for row in whole["rows"]] == [words_of(measure) for measure in ("abandoned", "died", "major", "serious", "any", "leak", "heart_block")]
    assert whole["rows"][0][1:] == cells
    assert whole["rows"][6][1:4] + whole["rows"][6][6:] == ["0 of 8", "0", percent("0.0"), f"none; one-sided up to {percent('31.2')}"]
    assert [row[0] for row in groups["rows"]] == [words_of(measure) + ", valve domed" for measure in ("abandoned", "died", "serious", "leak")]
    assert groups["rows"][3][1:] == cells


def benchmark(**more):
    return {"measure": "serious", "stratum": "", "events": 13, "known": 60, "benchmark": BENCHMARK, "tail": 0.2701, "inner": [2.26, 4.56], "outer": [1.34, 7.25],
            "alert": 6, "alarm": 8, **more}


def test_a_benchmark_is_told_with_its_counts_its_chance_and_its_limits():
    printed = {**BENCHMARK, "bad": 9, "cases": 187}
    made = section("benchmarks", benchmarks=[
        benchmark(), benchmark(stratum="age_band:adult", benchmark=printed, benchmark_exact=[0.02, 0.09], tail=0.00004, alarm=61),
        {"measure": "died", "stratum": "", "events": 0, "known": 0, "benchmark": BENCHMARK}])
    about = "D; P; E; S (read)"
    assert made["tables"][0]["heads"] == ["What, in whom", "Unit", "Published", "Chance of as many or more", "Limits in events", "Alert and alarm at",
                                          "Its definition, patients, era, source"]
    assert made["tables"][0]["rows"] == [
        ["Event of level 3 to 5", "13 of 60", percent("3.0"), "0.270", "2.3 to 4.6; 1.3 to 7.3", "6 and 8", about],
        ["Event of level 3 to 5, age 18 years and over", "13 of 60", f"9 of 187, {percent('3.0')} ({percent('2.0')} to {percent('9.0')})", "less than 0.0001",
         "2.3 to 4.6; 1.3 to 7.3", "6 and none", about],
        ["Died within 30 days, of whatever cause", "0 of 0", percent("3.0"), "nothing known", "", "", about]]
    assert made["lines"][2] == (f"Limits in events: {percent('95.0')} and {percent('99.8')}, exact, interpolated. Alert and alarm: counts reached by chance in no more "
                                "than 1 in 40 and 1 in 1000.")
    assert len(made["lines"]) == 3 and made["pictures"] == []


@pytest.mark.parametrize("tail, shown", [
    (0.00009, "less than 0.0001"), (0.0001, "0.0001"), (0.00994, "0.0099"), (0.01, "0.010"), (0.0123, "0.012"), (0.5, "0.500"), (1.0, "1.000")])
def test_a_small_chance_has_four_decimals_and_a_tiny_one_is_told_as_less(tail, shown):
    assert section("benchmarks", benchmarks=[benchmark(tail=tail)])["tables"][0]["rows"][0][3] == shown


@pytest.mark.parametrize("known, alert, alarm, words", [(8, 6, 8, "6 and 8"), (7, 6, 8, "6 and none"), (6, 6, 8, "6 and none"), (5, 6, 8, "none and none")])
def test_an_alarm_that_the_cases_cannot_reach_is_none(known, alert, alarm, words):
    assert section("benchmarks", benchmarks=[benchmark(known=known, alert=alert, alarm=alarm)])["tables"][0]["rows"][0][5] == words


def funnel(known=60, years=((2019, 1, 30), (2021, 2, 30)), benchmarks=None):
    made = section("benchmarks", benchmarks=benchmarks or [benchmark(known=known)], years=[("serious", list(years))])
    return made["lines"][3:], made["pictures"]


def test_a_funnel_is_drawn_by_calendar_year():
    lines, pictures = funnel()
    assert lines == ["Funnel by calendar year: 1 is 2019, 2 is 2021."]
    assert pictures == [{"name": "funnel_chart", "given": {
        "benchmark_fraction": 0.03, "inner_confidence": 0.95, "outer_confidence": 0.998, "unit_events": [1, 2], "unit_cases": [30, 30],
        "event_words": "Events of level 3 to 5"}}]


def test_a_funnel_needs_thirty_cases_and_years_it_can_show():
    many = ["No funnel by year: more than 60 years, or more than 5000 cases in one."]
    assert funnel(29) == (["No funnel: fewer than 30 known cases."], []) and len(funnel(30)[1]) == 1
    assert len(funnel(years=[(1950 + year, 0, 1) for year in range(60)])[1]) == 1
    assert funnel(years=[(1950 + year, 0, 1) for year in range(61)]) == (many, [])
    assert len(funnel(years=[(2019, 1, 30), (2020, 0, 5000)])[1]) == 1 and funnel(years=[(2019, 1, 5001), (2020, 0, 3)]) == (many, [])
    # Without a known year, or without a benchmark of all attempts, nothing is said of one.
    assert funnel(years=[]) == ([], []) == funnel(benchmarks=[benchmark(stratum="valve:domed"), benchmark(measure="died"), benchmark(measure="success_cadavid_2006")])


CHART = {"measure": "serious", "acceptable_fraction": 0.03, "unacceptable_fraction": 0.09, "alpha": 0.1, "beta": 0.05, "outcomes": [0, 1, 0], "left_out": 14,
         "step": 0.05493, "lower_limit": -1.8904, "upper_limit": 1.89, "clean_cases": 35, "clean_cases_after_failure": 17.2, "failures_in_row_count": 12,
         "verdict": "undecided", "decided_after_cases": 13}


def test_a_chart_is_told_with_its_rates_its_design_and_its_verdict():
    made = section("charts", charts=[CHART, {**CHART, "measure": "residual_228", "outcomes": []}])
    told = f"acceptable {percent('3.0')}, unacceptable {percent('9.0')}; 14 attempts not known or outside the definition are not in the chart."
    name = "Not good by the definition of the children of 2004 to 2019, abandoned attempts among them"
    assert made["lines"] == [f"Event of level 3 to 5: {told}", f"{name}: {told}"]
    table, = made["tables"]
    assert table["title"] == "Design and verdict"
    assert table["heads"] == ["Chart", "Step", "Lines", "Alpha and beta", "Clean cases to the lower line", "Clean cases after one failure",
                              "Failures in a row to signal", "First line passed"]
    assert table["rows"][0] == ["Event of level 3 to 5", "0.0549", "\u22121.890 and 1.890", "0.1 and 0.05", "35", "17.2", "12", "undecided after 13 cases"]
    assert table["rows"][1][0] == name
    assert made["pictures"] == [{"name": "cusum_chart", "given": {
        "outcomes": [0, 1, 0], "acceptable_fraction": 0.03, "unacceptable_fraction": 0.09, "alpha": 0.1, "beta": 0.05}}]


def test_without_a_chart_it_is_said_what_one_needs():
    made = section("charts")
    assert made["lines"] == ["No chart was asked for. A chart needs its definition, an acceptable and an unacceptable rate chosen before the list is opened; "
                             "none stands in by itself."]
    assert made["tables"] == [] == made["pictures"]


FOLLOWED = {"followed": 30, "not_followed": 14, "events": 12, "days": [731, 0, 366], "again": [0, 1, 1], "rows": [1],
            "at_years": [{"years": 1, "at_risk": 20, "survival": 0.9375, "error": 0.04321, "low": 0.8, "high": 0.99, "published": 94.0},
                         {"years": 15, "at_risk": 13, "survival": 1.0}]}
DEATHS = "A death ends the follow-up here, which makes reintervention look commoner than it is."


def test_the_curve_is_told_by_years_beside_the_published_one():
    made = section("follow_up", follow_up=FOLLOWED, reasons="stenosis 12")
    assert made["lines"] == ["30 performed attempts followed, 14 without follow-up; 12 treated again: stenosis 12.", DEATHS]
    table, = made["tables"]
    assert table["heads"] == ["Years", "At risk", "Free of reintervention", "Greenwood's error", "Interval", "Published, 1 day to 20 years of age, to 1994"]
    assert table["rows"] == [["1", "20", percent("93.8"), "0.0432", f"{percent('80.0')} to {percent('99.0')}", f"{percent('94')} published"],
                             ["15", "13", percent("100.0"), "", "", ""]]
    picture, = made["pictures"]
    assert picture["name"] == "event_free_chart" and picture["given"]["times_years"] == pytest.approx([731 / 365.25, 0, 366 / 365.25])
    assert {name: picture["given"][name] for name in ("events", "confidence", "event_words")} == {
        "events": [0, 1, 1], "confidence": 0.95, "event_words": "a reintervention"}


def test_without_an_event_or_a_day_there_is_no_picture_and_without_follow_up_nothing():
    none = {**FOLLOWED, "events": 0, "upper": 0.0951, "at_years": [{"years": 1, "at_risk": 20}]}
    made = section("follow_up", follow_up=none)
    assert made["lines"] == ["30 performed attempts followed, 14 without follow-up; 0 treated again.",
                             f"Nobody was treated again: there is no curve. One-sided up to {percent('9.5')} remains open for the time they were followed.", DEATHS]
    assert made["tables"][0]["rows"] == [["1", "20", "", "", "", ""]] and made["pictures"] == []
    assert section("follow_up", follow_up={**FOLLOWED, "days": [0, 0]})["pictures"] == []
    assert len(section("follow_up", follow_up={**FOLLOWED, "days": [0, 1]})["pictures"]) == 1
    assert section("follow_up", follow_up={**FOLLOWED, "at_years": []})["tables"] == []
    nobody = section("follow_up")
    assert nobody["lines"] == ["0 performed attempts followed, 2 without follow-up; 0 treated again."] and nobody["tables"] == [] == nobody["pictures"]


def test_medians_are_told_with_their_units():
    made = section("medians", medians=[("balloon_annulus_ratio", 3, 1.1, 1.25, 1.3), ("contrast_ml_per_kg", 12, 1, 2.25, 6), ("kap_per_kg_ugy_m2", 4, 2, 3, 4)])
    assert made["lines"] == [] and made["tables"][0]["heads"] == ["What", "Known", "Lowest", "Median", "Highest"]
    assert made["tables"][0]["rows"] == [["Balloon over annulus", "3", "1.10", "1.25", "1.30"],
                                         ["Contrast", "12", f"1{SPACE}mL/kg", f"2.3{SPACE}mL/kg", f"6{SPACE}mL/kg"],
                                         ["Area product", "4", f"2.0{SPACE}µGy·m²/kg", f"3.0{SPACE}µGy·m²/kg", f"4.0{SPACE}µGy·m²/kg"]]
    assert section("medians")["lines"] == ["Ratio, contrast and dose are not in the file."] and section("medians")["tables"] == []
    assert sorted(MEDIANS) == ["balloon_annulus_ratio", "contrast_ml_per_kg", "kap_per_kg_ugy_m2"]

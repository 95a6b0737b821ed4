"""Counts of an audit by hand: few cases, every number worked out beside it."""

import pytest
from scipy.stats import beta, binom

from pvcalc.audit import counts as audit_counts
from pvcalc.audit.counts import (
    MOST_SHARES, add_groups, bad_counts, bad_outcome, benchmarks, by_year, definitions, measure_words, medians,
    outcome, rate, rates, reasons_words, strata, strata_names, stratum_words,
)
from pvcalc.audit.definitions import BENCHMARKS, DEFINITIONS, LATE

NAMES = [name for name, _, _ in DEFINITIONS]
LATE_ONES = [when == LATE for _, _, when in DEFINITIONS]
GOOD = [answer for _, answer, _ in DEFINITIONS]
ABANDONED = ["not_applicable" if late else "abandoned" for late in LATE_ONES]


def case(answers=GOOD, **values):
    return {"age_band": "child", "valve": "domed", "treatment": "first", "performed": "yes", "year": 2020, "answers": list(answers), **values}


# Six attempts: two alike and good; one bad; one unknown; one silent and a newborn; one abandoned newborn, of whom nothing else is known.
CASES = [
    case(level=1, died="no", thrombosis="no", regurgitation_discharge="none"), case(level=1, died="no", thrombosis="no", regurgitation_discharge="none"),
    case(["failed"] * 12, level=4, died="no", thrombosis="yes", regurgitation_discharge="severe", year=2021),
    case(["cannot_evaluate"] * 12, level=3, valve="unknown", thrombosis="not_looked", year=2019),
    case(["silent"] * 12, level=5, died="yes", age_band="newborn", regurgitation_discharge="moderate", year=2021),
    case(ABANDONED, performed="no", age_band="newborn", level=2, regurgitation_discharge="severe", year=2021)]


def grouped(cases):
    found = {}
    add_groups(found, cases)
    return list(found.values())


def test_cases_that_are_counted_alike_are_counted_together():
    found = {}
    add_groups(found, CASES[:3])
    add_groups(found, CASES[1:])
    assert [(one[1], one[2]) for one in found.values()] == [
        (3, ["", "age_band:child", "valve:domed", "treatment:first"]), (2, ["", "age_band:child", "valve:domed", "treatment:first"]),
        (1, ["", "age_band:child", "valve:unknown", "treatment:first"]), (1, ["", "age_band:newborn", "valve:domed", "treatment:first"]),
        (1, ["", "age_band:newborn", "valve:domed", "treatment:first"])]


@pytest.mark.parametrize("change", [
    {"level": 2}, {"died": "yes"}, {"heart_block": "no"}, {"thrombosis": "not_looked"}, {"regurgitation_discharge": "mild"}, {"valve": "other"},
    {"age_band": "adult"}, {"treatment": "repeat"}, {"performed": "no"}, {"answers": ["failed"] + GOOD[1:]}])
def test_cases_that_differ_in_anything_counted_are_kept_apart(change):
    assert len(grouped([CASES[0], {**CASES[0], **change}])) == 2
    assert len(grouped([CASES[0], {**CASES[0], "year": 1999, "line": 7}])) == 1


@pytest.mark.parametrize("values, happened", [
    ({"performed": "no"}, {"abandoned": True}), ({}, {"abandoned": False}), ({"level": 5}, {"major": True, "serious": True, "any": True}),
    ({"level": 4}, {"major": True, "serious": True, "any": True}), ({"level": 3}, {"major": False, "serious": True, "any": True}),
    ({"level": 2}, {"major": False, "serious": False, "any": True}), ({"level": 1}, {"major": False, "serious": False, "any": False}),
    ({"regurgitation_discharge": "severe"}, {"leak": True}), ({"regurgitation_discharge": "moderate"}, {"leak": True}),
    ({"regurgitation_discharge": "mild"}, {"leak": False}), ({"regurgitation_discharge": "none"}, {"leak": False}),
    ({"died": "yes", "heart_block": "no", "thrombosis": "not_looked"}, {"died": True, "heart_block": False})])
def test_what_happened_is_true_false_or_not_known(values, happened):
    for measure in ("major", "serious", "any", "leak", "died", "heart_block", "thrombosis"):
        assert outcome(case(**values), measure) is happened.get(measure), measure
    assert outcome(case(**values), "abandoned") is happened.get("abandoned", False)


def test_a_rate_of_known_cases_carries_both_intervals_and_without_events_the_one_sided_limit():
    made = rate(3, 10, 4, 0.95)
    # Clopper and Pearson by beta quantiles; Wilson from its equation: (0.3 + 0.384146 / 2 ± 1.959964 √(0.021 + 3.841459 / 400)) / 1.384146.
    assert made["exact"] == pytest.approx([beta.ppf(0.025, 3, 8), beta.ppf(0.975, 4, 7)])
    assert made["wilson"] == pytest.approx([(0.492073 - 0.342876) / 1.384146, (0.492073 + 0.342876) / 1.384146], abs=2e-6)
    assert {name: made[name] for name in ("events", "known", "unknown", "rate")} == {"events": 3, "known": 10, "unknown": 4, "rate": 0.3} and "upper" not in made
    made = rate(0, 20, 0, 0.9)
    assert (1 - made["upper"]) ** 20 == pytest.approx(0.1) and made["rate"] == 0 and made["exact"][0] == 0
    assert (1 - made["exact"][1]) ** 20 == pytest.approx(0.05)
    assert rate(0, 0, 5, 0.95) == {"events": 0, "known": 0, "unknown": 5}


def test_a_rate_asked_again_is_the_same_whatever_was_asked_between():
    first = rate(1, 7, 0, 0.95)
    for number in range(MOST_SHARES + 5):
        assert audit_counts.rate(0, number + 1, 0, 0.9)["rate"] == 0
    assert rate(1, 7, 2, 0.95) == {**first, "unknown": 2} and rate(1, 7, 0, 0.9)["exact"] != first["exact"]


def test_rates_count_events_known_and_unknown_in_every_stratum():
    found = {(one["measure"], one["stratum"]): (one["events"], one["known"], one["unknown"]) for one in rates(grouped(CASES), 0.95)}
    assert found["abandoned", ""] == (1, 6, 0) and found["abandoned", "age_band:newborn"] == (1, 2, 0)
    assert found["died", ""] == (1, 4, 2) and found["died", "age_band:child"] == (0, 3, 1) and found["died", "valve:unknown"] == (0, 0, 1)
    assert found["major", ""] == (2, 6, 0) and found["serious", ""] == (3, 6, 0) and found["any", ""] == (4, 6, 0)
    assert found["thrombosis", ""] == (1, 3, 3) and found["heart_block", ""] == (0, 0, 6)
    # Regurgitation is asked of the performed only: the abandoned one is neither known nor unknown.
    assert found["leak", ""] == (2, 4, 1) and found["leak", "age_band:newborn"] == (1, 1, 0)
    assert ("died", "age_band:adult") not in found and ("leak", "valve:dysplastic") not in found
    assert list(found)[0] == ("abandoned", "") and len({measure for measure, _ in found}) == 8


def test_strata_that_nobody_belongs_to_are_not_told():
    assert strata(grouped(CASES)) == [
        {"stratum": "", "attempts": 6, "performed": 5, "abandoned": 1}, {"stratum": "age_band:newborn", "attempts": 2, "performed": 1, "abandoned": 1},
        {"stratum": "age_band:child", "attempts": 4, "performed": 4, "abandoned": 0}, {"stratum": "valve:domed", "attempts": 5, "performed": 4, "abandoned": 1},
        {"stratum": "valve:unknown", "attempts": 1, "performed": 1, "abandoned": 0}, {"stratum": "treatment:first", "attempts": 6, "performed": 5, "abandoned": 1}]
    assert strata(grouped(CASES[5:]))[0] == {"stratum": "", "attempts": 1, "performed": 0, "abandoned": 1}
    assert strata_names()[:2] == ["", "age_band:newborn"] and len(strata_names()) == 1 + 4 + 4 + 3


def test_strata_and_measures_have_words():
    assert [stratum_words(one) for one in ("", "age_band:newborn", "valve:unknown", "treatment:repeat")] == [
        "all", "age under 1 month", "valve not known", "treatment repeat"]
    assert stratum_words("odd:one") == "odd:one" and measure_words("odd") == "odd"
    assert measure_words("major") == "event of level 4 or 5" and measure_words("abandoned") == "attempt abandoned"


TABLES = {name: {"title": "T " + name, "document": "D " + name, "source": "S " + name} for name in NAMES}


def test_a_definition_counts_the_good_the_rest_the_unknown_the_abandoned_and_those_outside():
    made = {(one["name"], one["stratum"]): one for one in definitions(grouped(CASES), TABLES, 0.95)}
    for name, late in zip(NAMES, LATE_ONES):
        one = made[name, ""]
        assert (one["title"], one["document"], one["source"], one["when"]) == ("T " + name, "D " + name, "S " + name, "late" if late else "at_once")
        # Two good, one failed, one silent, one unknown, one abandoned, which a late definition does not count at all.
        assert [one[kind] for kind in ("good", "other", "unknown", "abandoned", "outside")] == [2, 2, 1, 0 if late else 1, 1 if late else 0]
        assert dict(one["answers"]) == {GOOD[NAMES.index(name)]: 2, "failed": 1, "silent": 1, "cannot_evaluate": 1, "not_applicable" if late else "abandoned": 1}
        assert [word for word, _ in one["answers"]] == sorted(dict(one["answers"]))
        assert one["performed_rate"] == rate(2, 4, 1, 0.95)
        assert one.get("attempt_rate") == (None if late else rate(2, 5, 1, 0.95))
        # Of all in its scope at least the two, at most three are good: 5 late, 6 with the abandoned one.
        assert one["if_unknown"] == pytest.approx([2 / 5, 3 / 5] if late else [2 / 6, 3 / 6])
        assert made[name, "age_band:newborn"]["answers"] == [] and made[name, "age_band:newborn"]["other"] == 1
        assert made[name, "age_band:child"]["performed_rate"] == rate(2, 3, 1, 0.95)
        assert [stratum for definition, stratum in made if definition == name] == [
            "", "age_band:newborn", "age_band:child", "valve:domed", "valve:unknown", "treatment:first"]


def test_a_definition_that_concerns_nobody_leaves_no_share_open():
    one = definitions(grouped([case(["not_applicable"] * 12)]), TABLES, 0.95)[0]
    assert one["if_unknown"] == [] and one["outside"] == 1 and one["performed_rate"] == {"events": 0, "known": 0, "unknown": 0}


def test_a_benchmark_counts_what_is_not_good_abandoned_attempts_among_it():
    found = bad_counts(rates(grouped(CASES), 0.95), definitions(grouped(CASES), TABLES, 0.95))
    assert found["died", ""] == (1, 4) and found["serious", "age_band:newborn"] == (1, 2)
    assert found["success_cadavid_2006", ""] == (3, 5) and found["residual_228", ""] == (2, 4)
    assert [bad_outcome(one, "success_cadavid_2006") for one in CASES] == [False, False, True, None, True, True]
    assert [bad_outcome(one, "residual_228") for one in CASES] == [False, False, True, None, True, None]
    assert [bad_outcome(one, "died") for one in CASES] == [False, False, False, None, True, None]


ENTRY = {"population": "P", "era": "E", "follow_up": "F", "definition": "D", "source": "S", "seen": "read"}
PUBLISHED = {"series": {series: {**ENTRY, "kind": "proportion", "events": 90, "cases": 100} for _, _, series in BENCHMARKS}, "statistics": {}}
PUBLISHED["series"]["registry_deaths"] |= {"events": 10}
PUBLISHED["statistics"]["national_any"] = {**ENTRY, "kind": "statistic", "value": 7.1}
del PUBLISHED["series"]["national_any"]


def against(measure, stratum, counts, data=PUBLISHED):
    return next(one for one in benchmarks(data, counts, 0.95, 0.998) if (one["measure"], one["stratum"]) == (measure, stratum))


def test_a_unit_is_held_against_a_printed_count():
    one = against("died", "", {("died", ""): (8, 40)})
    assert (one["events"], one["known"], one["benchmark"]["fraction"]) == (8, 40, 0.1)
    assert one["benchmark_exact"] == pytest.approx([beta.ppf(0.025, 10, 91), beta.ppf(0.975, 11, 90)])
    assert one["tail"] == pytest.approx(binom.sf(7, 40, 0.1))
    assert one["alert"] == next(count for count in range(40) if binom.sf(count - 1, 40, 0.1) <= 0.025)
    assert one["alarm"] == next(count for count in range(40) if binom.sf(count - 1, 40, 0.1) <= 0.001)
    assert one["outer"][0] <= one["inner"][0] < 4 < one["inner"][1] < one["outer"][1]


def test_without_a_known_case_nothing_is_said_of_the_unit_and_without_printed_counts_nothing_of_their_interval():
    one = against("any", "", {("died", ""): (8, 40)})
    assert (one["events"], one["known"]) == (0, 0) and not {"tail", "inner", "outer", "alert", "alarm", "benchmark_exact"} & set(one)
    assert len(benchmarks(PUBLISHED, {}, 0.95, 0.998)) == len(BENCHMARKS)


def test_beyond_20000_cases_there_is_a_chance_and_no_funnel():
    assert "inner" in against("died", "", {("died", ""): (2000, 20000)})
    one = against("died", "", {("died", ""): (2000, 20001)})
    assert "inner" not in one and 0.4 < one["tail"] < 0.6  # as many as the benchmark leads one to expect


def test_years_are_counted_by_themselves_and_those_without_a_known_result_left_out():
    assert by_year(CASES, "died") == [(2020, 0, 2), (2021, 1, 2)]  # nothing known in 2019
    assert by_year(CASES, "success_cadavid_2006") == [(2020, 0, 2), (2021, 3, 3)] and by_year([], "died") == []


def test_medians_of_odd_and_even_counts():
    cases = [case(balloon_annulus_ratio=ratio, contrast_ml_per_kg=ratio) for ratio in (1.3, 1.1, 1.25)] + [case(contrast_ml_per_kg=9), case()]
    assert medians(cases) == [("balloon_annulus_ratio", 3, 1.1, 1.25, 1.3), ("contrast_ml_per_kg", 4, 1.1, pytest.approx(1.275), 9)]  # (1.25 + 1.3) / 2
    assert medians([case(kap_per_kg_ugy_m2=value) for value in (9, 1, 4, 8, 2, 7, 3)])[0][3] == 4
    assert medians([case(kap_per_kg_ugy_m2=2)]) == [("kap_per_kg_ugy_m2", 1, 2, 2, 2)] and medians([]) == []


def test_reasons_are_counted_of_those_treated_again():
    again = [case(again=1, reintervention_because=reason) for reason in ("stenosis", "below_valve", "stenosis")]
    assert reasons_words(again + [case(again=0, reintervention_because="other"), case()]) == "below valve 1 and stenosis 2"
    assert reasons_words(again[:1] + [case(again=1)] + again[1:]) == "below valve 1, not known 1 and stenosis 2" and reasons_words([case(again=0)]) == ""

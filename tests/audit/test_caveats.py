"""What an audit cannot show, by hand: whole sentences, with their chances from SciPy."""

import numpy as np
import pytest
from scipy.stats import binom

from pvcalc.audit.caveats import percent, power_words, sentences, where_words, words_of

SPACE = "\u00a0"
ALWAYS = ["A benchmark has its own definition, era and patients, and its own interval; a difference may be a difference of these.",
          "Many comparisons stand side by side here: one small chance among them is expected.",
          "The rates are not adjusted for how ill the patients were.", "A unit's numbers do not judge a person."]
NO_FOLLOW_UP = {"followed": 0, "not_followed": 0}
NOTHING = {"rates": [], "benchmarks": [], "definitions": [], "follow_up": NO_FOLLOW_UP, "confidence": 0.95}


def told(**parts):
    found = sentences({**NOTHING, **parts})
    assert found[-4:] == ALWAYS
    return found[:-4]


@pytest.mark.parametrize("share, words", [
    (0, "0.0"), (0.5, "50.0"), (1, "100.0"), (0.01, "1.0"), (0.0099, "0.99"), (0.00251, "0.25"), (0.0004, "0.04"), (0.1234, "12.3"), (0.9994, "99.9"),
    (0.99949, "99.9"), (0.9995, "more than 99.9"), (0.99999, "more than 99.9")])
def test_a_small_share_keeps_two_decimals_and_a_large_one_is_never_all(share, words):
    assert percent(share) == words + SPACE + "%"


def test_measures_and_strata_have_words():
    assert words_of("died") == "Died within 30 days, of whatever cause"
    assert words_of("residual_228") == "Not good by the definition of the children of 2004 to 2019"
    assert where_words("died", "age_band:newborn") == "Died within 30 days, of whatever cause, age under 1 month" and where_words("died", "") == words_of("died")


def test_no_event_leaves_a_risk_open():
    rates = [{"measure": measure, "stratum": "", "known": 40, "events": 0, "upper": 0.0722} for measure in ("died", "major", "serious", "any", "abandoned")]
    rates += [{**rates[0], "stratum": "valve:domed"}, {"measure": "died", "stratum": "", "known": 40, "events": 1}]
    assert told(rates=rates, confidence=0.9) == [
        f"None of 40 {words}: a true risk of up to 7.2{SPACE}% remains open (one-sided 90.0{SPACE}%)."
        for words in ("died within 30 days, of whatever cause", "event of level 4 or 5", "event of level 3 to 5")]


def test_what_is_not_known_leaves_a_share_open():
    one = {"title": "Title", "stratum": "", "unknown": 13, "if_unknown": (0.4, 0.65)}
    assert told(definitions=[one, {**one, "unknown": 0}, {**one, "stratum": "valve:domed", "unknown": 6}, {**one, "if_unknown": []}]) == [
        f"Title: 13 not known; among all attempts the share that is good lies anywhere from 40.0{SPACE}% to 65.0{SPACE}%."]


def curve(*at_risk, followed=30, not_followed=0):
    years = [{"years": years, "at_risk": count} for years, count in zip((1, 2, 5), at_risk)]
    return {"followed": followed, "not_followed": not_followed, "at_years": years, "longest_years": 5.25}


def test_the_end_of_a_curve_is_told_where_fewer_than_ten_are_at_risk():
    end = "Beyond 5.3 years nobody was followed: nothing is known."  # 5.25 rounds away from zero
    few = "years on fewer than 10 are at risk: the curve's end rests on them and should not be quoted."
    assert told(follow_up=curve(30, 12, 10)) == [end]
    assert told(follow_up=curve(30, 9, 3)) == [f"From 2 {few}", end] and told(follow_up=curve(30, 10, 9)) == [f"From 5 {few}", end]
    assert told(follow_up=curve(not_followed=14)) == [end, "Of the performed, 14 have no follow-up; those lost may differ from those seen."]
    assert told(follow_up={**NO_FOLLOW_UP, "not_followed": 2}) == ["Of the performed, 2 have no follow-up; those lost may differ from those seen."]


def alarm(known, fraction):
    """The smallest count that chance reaches in no more than 1 of 20 such series."""
    return next(count for count in range(known + 2) if binom.sf(count - 1, known, fraction) <= 0.05)


def needed(fraction):
    """The fewest cases that find twice the benchmark with a chance of 80 %."""
    cases = np.arange(1, 20001)
    powers = binom.sf(binom.isf(0.05, cases, fraction), cases, 2 * fraction)
    return str(cases[powers >= 0.8][0])


@pytest.mark.parametrize("known, fraction, cases", [(90, 0.03, "282"), (60, 0.09, "87"), (30, 0.23, None), (50, 0.45, None)])
def test_what_this_number_of_cases_can_show_against_a_benchmark(known, fraction, cases):
    # Printed for 3 and 9 %: 282 and 87 cases.
    chance = binom.sf(alarm(known, fraction) - 1, known, 2 * fraction) * 100
    shown = f"{chance:.1f}" if chance < 99.95 else "more than 99.9"
    assert power_words("died", known, fraction) == [
        f"Died within 30 days, of whatever cause: a true rate twice the benchmark ({fraction * 200:.1f}{SPACE}% for {fraction * 100:.1f}{SPACE}%) would be called by "
        f"{known} cases with a chance of {shown}{SPACE}% (alarm at {alarm(known, fraction)}, one-sided 5.0{SPACE}%); a chance of 80.0{SPACE}% needs "
        f"{cases or needed(fraction)} cases."]


def test_too_few_cases_can_call_nothing_and_a_rare_event_needs_very_many():
    # All of two cases would have to fail: by chance that is 9 %, more than 5.
    assert "cannot be called by 2 cases at all; a chance of" in power_words("died", 2, 0.3)[0]
    assert "by 2 cases with a chance of" in power_words("died", 2, 0.2)[0]  # 4 %
    assert power_words("died", 40, 0.001)[0].endswith(f"a chance of 80.0{SPACE}% needs {needed(0.001)} cases.")


def test_no_power_is_told_for_a_benchmark_too_rare_or_too_common_or_for_very_many_cases():
    assert power_words("died", 40, 0.0009) == [] == power_words("died", 40, 0.46)
    assert power_words("died", 40, 0.001) and power_words("died", 40, 0.45)
    assert power_words("died", 20000, 0.03) and power_words("died", 20001, 0.03) == []


def test_power_is_told_of_every_benchmark_of_all_attempts_with_a_known_case():
    one = {"measure": "serious", "stratum": "", "known": 90, "benchmark": {"fraction": 0.03}}
    assert told(benchmarks=[one, {**one, "known": 0}, {**one, "stratum": "age_band:adult", "known": 70}]) == power_words("serious", 90, 0.03)

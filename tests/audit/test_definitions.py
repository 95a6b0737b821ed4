"""What the published definitions are asked about a case, by hand; and that a remembered answer is the one asked anew."""

import random
import re

import pytest

from pvcalc.audit.definitions import (
    AT_ONCE, BENCHMARKS, COUNTS_GOOD, DEFINITION_WORDS, DEFINITIONS, LATE, MOST_AGE_MONTHS, PUBLISHED_CURVE, Judge,
    benchmark_of, kind_of,
)
from pvcalc.core.errors import UnknownName
from pvcalc.core.units import unit_of
from pvcalc.decision.evaluate import answer_of

NAMES = [name for name, _, _ in DEFINITIONS]
# Tables that look at nothing: what a case is asked with does not depend on them.
BLIND = {name: {"name": name, "asks_for": [], "rows": []} for name in NAMES}
CATHETER, DOPPLER = Judge(BLIND, "catheter"), Judge(BLIND, "doppler")


def at_once(age_days=0, judge=CATHETER, **values):
    asked = judge.inputs(values, age_days)[0]
    assert asked.pop("age_months") == pytest.approx(12 * age_days / 365.25)
    return asked


def test_the_age_is_asked_in_months_up_to_the_most_a_table_takes():
    assert CATHETER.inputs({}, 365.25)[0] == {"age_months": pytest.approx(12)} and at_once(100) == {}
    assert CATHETER.inputs({}, 36500)[0]["age_months"] < 1200 == CATHETER.inputs({}, 44000)[0]["age_months"]
    assert MOST_AGE_MONTHS == unit_of("age_months")["high"]


def test_the_fall_is_the_share_of_the_gradient_before_that_is_gone():
    assert at_once(catheter_before_mmhg=80, catheter_after_mmhg=20) == {"residual_gradient_mmhg": 20, "gradient_fall_percent": pytest.approx(75)}
    assert at_once(catheter_before_mmhg=80, catheter_after_mmhg=0) == {"residual_gradient_mmhg": 0, "gradient_fall_percent": pytest.approx(100)}
    # A rise is no fall.
    assert at_once(catheter_before_mmhg=40, catheter_after_mmhg=50) == {"residual_gradient_mmhg": 50, "gradient_fall_percent": 0}
    # Without a gradient before there is no share of it; without one after, nothing at all.
    for before in ({}, {"catheter_before_mmhg": 0}, {"catheter_before_mmhg": 0.9}):
        assert at_once(catheter_after_mmhg=20, **before) == {"residual_gradient_mmhg": 20}
    assert at_once(catheter_before_mmhg=1, catheter_after_mmhg=0.5)["gradient_fall_percent"] == pytest.approx(50)
    assert at_once(catheter_before_mmhg=80) == {}


def test_catheter_and_doppler_gradients_are_never_mixed():
    values = {"catheter_before_mmhg": 80, "catheter_after_mmhg": 20, "doppler_before_mmhg": 100, "doppler_after_mmhg": 40}
    assert at_once(**values) == {"residual_gradient_mmhg": 20, "gradient_fall_percent": pytest.approx(75)}
    assert at_once(judge=DOPPLER, **values) == {"residual_gradient_mmhg": 40, "gradient_fall_percent": pytest.approx(60)}
    assert at_once(judge=DOPPLER, catheter_before_mmhg=80, catheter_after_mmhg=20) == {}


def test_right_ventricular_pressure_is_taken_as_a_share_of_the_systemic_one():
    before, after = {"rv_systolic_before_mmhg": 90, "systemic_systolic_before_mmhg": 60}, {"rv_systolic_after_mmhg": 30, "systemic_systolic_after_mmhg": 80}
    assert at_once(**before, **after) == {"rv_systemic_fall_percent": pytest.approx(75)}  # from 1.5 to 0.375
    assert at_once(**before, **{**after, "rv_systolic_after_mmhg": 40})["rv_systemic_fall_percent"] == pytest.approx(200 / 3)  # to 0.5
    assert at_once(**before, rv_systolic_after_mmhg=180, systemic_systolic_after_mmhg=90) == {"rv_systemic_fall_percent": 0}
    for missing in (*before, *after):
        assert at_once(**{name: value for name, value in {**before, **after}.items() if name != missing}) == {}


def test_the_left_ventricle_and_saturation_are_asked_where_they_are_known():
    assert at_once(rv_systolic_after_mmhg=30, lv_systolic_after_mmhg=60) == {"rv_lv_ratio": 0.5}
    assert at_once(rv_systolic_after_mmhg=30) == {} == at_once(lv_systolic_after_mmhg=60)
    assert at_once(saturation_after_percent=80) == {"saturation_percent": 80}


def test_a_late_result_is_the_last_gradient_and_what_was_done_again():
    assert CATHETER.inputs({}, 3)[1] == {}
    assert CATHETER.inputs({"late_doppler_mmhg": 0}, 3)[1] == {"residual_gradient_mmhg": 0}
    assert CATHETER.inputs({"reintervention": "no"}, 3)[1] == {"treated_again": "no"}


def test_the_good_answer_and_the_four_that_say_nothing_of_the_result():
    for place, (name, good, _) in enumerate(DEFINITIONS):
        told = {answer: kind_of(place, answer) for answer in (good, "cannot_evaluate", "not_applicable", "abandoned", "silent", "some_other")}
        assert list(told.values()) == ["good", "unknown", "outside", "abandoned", "other", "other"], name
    assert kind_of(0, "not_suboptimal") == "other"  # good by another definition only


def test_every_definition_has_words_and_those_at_once_are_told_from_late_ones():
    assert sorted(DEFINITION_WORDS) == sorted(NAMES) and {when for _, _, when in DEFINITIONS} == {AT_ONCE, LATE}
    assert {measure for measure, _, _ in BENCHMARKS} <= {*NAMES, "died", "serious", "any"}


# --- published counts -----------------------------------------------------------------------------------------------

ENTRY = {"population": "P", "era": "E", "follow_up": "F", "definition": "D", "source": "S", "seen": "read"}
DATA = {"series": {"registry_deaths": {**ENTRY, "kind": "proportion", "events": 2, "cases": 822},
                   "cadavid_success": {**ENTRY, "kind": "proportion", "events": 178, "cases": 187},
                   "hatem_effective_typical": {**ENTRY, "kind": "proportion", "events": 40, "cases": 170}},
        "statistics": {"national_any": {**ENTRY, "kind": "statistic", "value": 7.1}, "eight_sites_success": {**ENTRY, "kind": "statistic", "value": 91.0}}}


@pytest.mark.parametrize("series, bad, cases, fraction", [
    ("registry_deaths", 2, 822, 2 / 822), ("cadavid_success", 9, 187, 9 / 187), ("hatem_effective_typical", 130, 170, 13 / 17),
    ("national_any", None, None, 0.071), ("eight_sites_success", None, None, 0.09)])
def test_a_published_count_is_turned_into_what_is_not_good(series, bad, cases, fraction):
    assert benchmark_of(DATA, series) == {**ENTRY, "series": series, "bad": bad, "cases": cases, "fraction": pytest.approx(fraction, rel=1e-12)}


@pytest.mark.parametrize("data", [{}, {"series": None, "statistics": {}}, {"series": {}, "statistics": DATA["statistics"]}])
def test_a_published_count_that_is_not_there_is_no_silence(data):
    with pytest.raises(UnknownName, match="There is no published count called registry_deaths."):
        benchmark_of(data, "registry_deaths")


# --- against the tables of the handbook -----------------------------------------------------------------------------

HAIRS = (-2e-7, -3e-9, -1.5e-9, -0.4e-9, 0, 0.4e-9, 1.5e-9, 3e-9, 2e-7)  # as shares of the cut-off; a billionth counts as on it


def cases(seed):
    """Values on, a hair beside and between all cut-offs of the definitions, at random."""
    dice = random.Random(seed)
    pressures = [25, 30, 36, 40, 50]

    def near(edge):
        return edge * (1 + dice.choice(HAIRS))

    for _ in range(400):
        values = {"performed": dice.choice(["yes", "yes", "yes", "no"]), "reintervention": dice.choice(["yes", "no"])}
        values["late_doppler_mmhg"] = dice.choice([near(dice.choice(pressures)), dice.uniform(0, 60)])
        after = dice.choice([near(dice.choice(pressures)), dice.uniform(0, 60)])
        values |= {"catheter_after_mmhg": after, "catheter_before_mmhg": dice.choice([after * 2, after / 0.8, near(2 * after), dice.uniform(1, 100)])}
        share = dice.choice([near(0.5), dice.uniform(0.2, 1.2)])
        values |= {"rv_systolic_after_mmhg": 60 * share, "lv_systolic_after_mmhg": 60, "systemic_systolic_after_mmhg": 60 * share / dice.choice([0.5, near(0.5), 0.9]),
                   "rv_systolic_before_mmhg": 60, "systemic_systolic_before_mmhg": 60, "saturation_after_percent": dice.choice([near(75), dice.uniform(70, 80)])}
        kept = {name: value for name, value in values.items() if name == "performed" or dice.random() < 0.75}
        yield kept, dice.choice([near(6 * 365.25 / 12), dice.uniform(0, 400)])


@pytest.mark.parametrize("seed", range(4))
def test_an_answer_that_is_remembered_is_the_one_the_table_gives(loaded, seed):
    judge = Judge(loaded.tables, "catheter")
    for values, age in cases(seed):
        asked = dict(zip((AT_ONCE, LATE), judge.inputs(values, age)))
        for (name, _, when), answer in zip(DEFINITIONS, judge.answers(values, age)):
            table = loaded.tables[name]
            told = answer_of(table, {key: value for key, value in asked[when].items() if key in table["asks_for"]})
            if values["performed"] == "no":
                told = "not_applicable" if when == LATE or told == "not_applicable" else "abandoned"
            assert answer == told, (name, values, age)


def test_very_many_values_are_answered_by_their_side_of_the_cut_off(loaded):
    judge = Judge(loaded.tables, "catheter")
    for number in range(12_000):
        after = number / 200  # 0 to 60 mmHg
        found = judge.answers({"performed": "yes", "catheter_after_mmhg": after}, 40)[NAMES.index("success_cadavid_2006")]
        assert found == ("success" if after < 30 else "not_success"), after


def test_those_that_print_the_good_are_known_by_their_names_and_the_curve_by_its_years():
    for _, _, series in BENCHMARKS:
        assert (series in COUNTS_GOOD) == bool(re.search("success|good|effective", series)), series
    for years, name in PUBLISHED_CURVE:
        assert re.search(r"_free_(\d+)_years?$", name)[1] == str(years)

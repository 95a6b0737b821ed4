"""An audit over time, by hand: which charts are asked for, what goes into one, and the time to a reintervention."""

import math

import pytest

from pvcalc.audit.definitions import DEFINITIONS, PUBLISHED_CURVE
from pvcalc.audit.over_time import EVENTS, chart, follow_up, options_of
from pvcalc.core.errors import NotUnderstood

NAMES = [name for name, _, _ in DEFINITIONS]
USUAL = {"quantity": "catheter", "alpha": 0.1, "beta": 0.1}
SUCCESS = {"definition": "success_registry_2012", "acceptable_fraction": 0.09, "unacceptable_fraction": 0.18}
EVENT = {"event": "serious", "event_acceptable_fraction": 0.03, "event_unacceptable_fraction": 0.09}


def refused(**options):
    with pytest.raises(NotUnderstood) as refusal:
        options_of({**USUAL, **options})
    return refusal.value.faults


def test_a_chart_is_its_measure_with_its_two_rates_and_errors():
    assert options_of(USUAL) == [] == options_of({**USUAL, "definition": "success_registry_2012", "event": "died"})
    success = {"measure": "success_registry_2012", "acceptable_fraction": 0.09, "unacceptable_fraction": 0.18, "alpha": 0.1, "beta": 0.1}
    event = {"measure": "serious", "acceptable_fraction": 0.03, "unacceptable_fraction": 0.09, "alpha": 0.05, "beta": 0.2}
    assert options_of({**USUAL, **SUCCESS}) == [success]
    assert options_of({**USUAL, **EVENT, "alpha": 0.05, "beta": 0.2, "quantity": "doppler"}) == [event]
    assert options_of({**USUAL, **SUCCESS, **EVENT}) == [success, {**event, "alpha": 0.1, "beta": 0.1}]


@pytest.mark.parametrize("missing", ["acceptable_fraction", "unacceptable_fraction"])
def test_a_chart_needs_both_its_rates(missing):
    for field, options in (("definition", SUCCESS), ("event", EVENT)):
        name = missing if field == "definition" else "event_" + missing
        assert refused(**{**options, name: None}) == [(field, "A chart needs both rates, the acceptable and the unacceptable one; none stands in by itself.")]


def test_a_rate_needs_its_measure():
    for field, options, known in (("definition", SUCCESS, sorted(NAMES)), ("event", EVENT, ["any", "died", "major", "serious"])):
        words = ", ".join(known[:-1]) + " or " + known[-1]
        assert refused(**{**options, field: None}) == [(field, f"A chart carries its {field}: name it together with the two rates, one of: {words}.")]
        assert refused(**{**options, field: "best"}) == [(field, f"The {field} of the chart must be one of: {words}.")]
        assert refused(**{field: "best"}) == refused(**{**options, field: "best"})
    assert sorted(EVENTS) == ["any", "died", "major", "serious"]


def test_rates_that_do_not_fit_are_told_by_the_names_they_were_asked_with():
    assert refused(**{**EVENT, "event_unacceptable_fraction": 0.03}) == [
        ("event_unacceptable_fraction", "The unacceptable risk must lie above the acceptable one.")]
    assert sorted(name for name, _ in refused(**{**EVENT, "event_acceptable_fraction": 9, "alpha": 0.9})) == ["alpha", "event_acceptable_fraction"]
    assert [name for name, _ in refused(**{**SUCCESS, "acceptable_fraction": 9})] == ["acceptable_fraction"]


def test_every_fault_of_the_choices_is_told_at_once():
    told = refused(quantity="both", event="best", acceptable_fraction=0.1)
    assert [name for name, _ in told] == ["definition", "event", "quantity"]
    assert told[2][1] == "The gradient at once must be catheter or doppler; they are never mixed."


def test_a_chart_counts_failures_in_order_and_leaves_out_the_unknown():
    wanted, = options_of({**USUAL, "event": "died", "event_acceptable_fraction": 0.1, "event_unacceptable_fraction": 0.3})
    cases = [{"died": died} if died else {} for died in ("no", "yes", "", "no", "yes", "", "yes", "yes", "no")]
    made = chart(cases, wanted)
    assert made["outcomes"] == [0, 1, 0, 1, 1, 1, 0] and made["left_out"] == 2 and {name: made[name] for name in wanted} == wanted
    # Odds ratio R = (0.3 * 0.9) / (0.1 * 0.7); step ln(0.9 / 0.7) / ln R; both lines ln 9 / ln R.
    odds = math.log(0.27 / 0.07)
    step, line = math.log(0.9 / 0.7) / odds, math.log(9) / odds
    assert (made["step"], made["upper_limit"], made["lower_limit"]) == (pytest.approx(step), pytest.approx(line), pytest.approx(-line))
    # Two failures in four cases stand at 2 - 4 * 0.186 = 1.26, below the line at 1.63; three in five at 2.07, above it.
    assert (made["verdict"], made["decided_after_cases"]) == ("unacceptable", 5)
    assert made["clean_cases"] == math.ceil(line / step) and made["failures_in_row_count"] == math.ceil(line / (1 - step))
    assert chart([{"died": "no"}] * 20, wanted)["verdict"] == "acceptable" and chart([{}], wanted)["outcomes"] == []


DATA = {"statistics": {name: {"value": 100 - years} for years, name in PUBLISHED_CURVE}}


def followed(*pairs, performed=0, abandoned=0):
    """Cases with these (days, event), and others of whom nothing is known since."""
    return ([{"performed": "yes", "follow_days": days, "again": again} for days, again in pairs] + [{"performed": "yes"}] * performed
            + [{"performed": "no"}] * abandoned)


def test_the_curve_falls_at_each_reintervention_by_the_share_of_those_at_risk():
    found = follow_up(DATA, followed((800, 1), (400, 0), (4000, 0), (200, 1), performed=3, abandoned=2), 0.95)
    assert (found["followed"], found["not_followed"], found["events"]) == (4, 3, 2)
    assert found["days"] == [800, 400, 4000, 200] and found["again"] == [1, 0, 0, 1] and found["longest_years"] == pytest.approx(4000 / 365.25)
    # One of four, then one of two; Greenwood's sums 1/(4*3) and 1/(2*1).
    assert [row[:4] for row in found["rows"]] == [(200, 4, 1, 0.75), (800, 2, 1, 0.375)]
    errors = [0.75 * math.sqrt(1 / 12), 0.375 * math.sqrt(1 / 12 + 1 / 2)]
    assert [row[4] for row in found["rows"]] == pytest.approx(errors)
    assert [(one["years"], one["at_risk"], one["survival"], one["published"]) for one in found["at_years"]] == [
        (1, 3, 0.75, 99), (2, 2, 0.75, 98), (5, 1, 0.375, 95), (10, 1, 0.375, 90)]
    for one, error in zip(found["at_years"], errors[:1] * 2 + errors[1:] * 2):
        # The limits are symmetrical on the scale of ln(-ln S).
        arm = 1.959964 * error / one["survival"] / -math.log(one["survival"])
        assert one["error"] == pytest.approx(error)
        assert (one["low"], one["high"]) == (pytest.approx(one["survival"] ** math.exp(arm)), pytest.approx(one["survival"] ** math.exp(-arm)))
    assert "upper" not in found


def test_before_the_first_event_all_are_free_and_no_error_is_told():
    found = follow_up(DATA, followed((2000, 1), (1000, 0)), 0.95)
    assert found["at_years"] == [{"years": 1, "at_risk": 2, "survival": 1.0, "published": 99}, {"years": 2, "at_risk": 2, "survival": 1.0, "published": 98},
                                 {"years": 5, "at_risk": 1, "survival": 1.0, "published": 95}]


def test_a_day_at_the_end_of_a_year_belongs_to_it():
    # Twenty years are 7305 days: both are at risk until that day, and one has the event on it.
    found = follow_up(DATA, followed((7305, 1), (7305, 0)), 0.95)
    assert [(one["years"], one["at_risk"], one["survival"]) for one in found["at_years"]] == [
        (1, 2, 1.0), (2, 2, 1.0), (5, 2, 1.0), (10, 2, 1.0), (15, 2, 1.0), (20, 2, 0.5)]
    assert "published" not in found["at_years"][5]
    assert [one["years"] for one in follow_up(DATA, followed((7304, 1), (7304, 0)), 0.95)["at_years"]] == [1, 2, 5, 10, 15]
    assert follow_up(DATA, followed((10958, 1), (11000, 0)), 0.95)["at_years"][-1]["years"] == 30


def test_when_nobody_was_treated_again_there_is_a_limit_and_no_curve():
    found = follow_up(DATA, followed(*[(400, 0)] * 30), 0.9)
    assert found["rows"] == [] and found["events"] == 0 and (1 - found["upper"]) ** 30 == pytest.approx(0.1)
    assert found["at_years"] == [{"years": 1, "at_risk": 30, "published": 99}]


def test_when_nobody_was_followed_nothing_more_is_said():
    assert follow_up(DATA, followed(performed=2, abandoned=1), 0.95) == {
        "followed": 0, "not_followed": 2, "events": 0, "days": [], "again": [], "rows": [], "at_years": []}

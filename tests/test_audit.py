"""The audit against general libraries, on the demo and on 200 random files, in both interpreters."""

import csv
import io
import json
import math
import random
import re
import warnings
from datetime import date

import pytest
from lifelines import KaplanMeierFitter
from scipy.stats import binom
from statsmodels.stats.proportion import proportion_confint

from pvcalc import audit, bridge, draw, draw_audit  # noqa: F401  the last declares pictures
from pvcalc.audit_counts import MEASURES
from pvcalc.audit_rows import date_text, day_number
from pvcalc.audit_text import sections
from pvcalc.handbook import assets
from pvcalc.handbook.engine import Engine
from pvcalc.monitoring import cusum_verdict
from tests.audit_files import DOWNLOADS, SCHEMA, SEED, rows_of, text_of

CHART = {"definition": "success_registry_2012", "acceptable_fraction": 0.09, "unacceptable_fraction": 0.18,
         "event": "serious", "event_acceptable_fraction": 0.03, "event_unacceptable_fraction": 0.09}
DEMO = (DOWNLOADS / "audit-demo.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def data(loaded):
    return json.loads(assets.data_text(loaded))


def random_file(number):
    """(text, rows) of one random file, some with one centre's habits: few rows, many gaps, another separator."""
    dice = random.Random(number)
    rows = rows_of(number, dice.randrange(5, 90), gaps=dice.choice([0, 0.03, 0.3]))
    separator = dice.choice([",", ";", "\t"])
    return text_of(rows, separator, decimal="," if separator == ";" and dice.random() < 0.5 else "."), rows


FILES = [("demo", DEMO, list(csv.DictReader(io.StringIO(DEMO))))] + [(f"file {n}", *random_file(n)) for n in range(200)]


# --- a second count of everything, written from the printed definitions and not from the tables ---------------------


def number(row, name):
    value = row.get(name, "")
    return None if value == "" else float(value)


def fall(before, after):
    return None if before in (None, 0) or after is None else 100 * (before - after) / before


def any_of(*truths):
    return True if True in truths else None if None in truths else False


def compare(value, test):
    return None if value is None else test(value)


def printed_definitions(row):
    """Name -> good (True), not good (False), unknown (None) or "outside", from the print of each definition."""
    after, late, again = number(row, "catheter_after_mmhg"), number(row, "late_doppler_mmhg"), row.get("reintervention", "")
    rv = [number(row, f"rv_systolic_{when}_mmhg") for when in ("before", "after")]
    systemic = [number(row, f"systemic_systolic_{when}_mmhg") for when in ("before", "after")]
    ratio = [None if None in pair else pair[0] / pair[1] for pair in zip(rv, systemic)]
    lv, saturation = number(row, "lv_systolic_after_mmhg"), number(row, "saturation_after_percent")
    fallen = fall(number(row, "catheter_before_mmhg"), after)
    young = float(row["age_days"]) < 6 * 365.25 / 12
    rv_lv = None if lv is None or rv[1] is None else rv[1] / lv
    treated = {"yes": True, "no": False}.get(again)
    late_bad = any_of(compare(late, lambda mmhg: mmhg >= 36), treated)
    return {
        "success_registry_2012": any_of(compare(after, lambda mmhg: mmhg < 25), compare(fallen, lambda part: part >= 50),
                                        compare(fall(*ratio), lambda part: part >= 50)),
        "success_cadavid_2006": compare(after, lambda mmhg: mmhg < 30),
        "immediate_childhood": compare(after, lambda mmhg: mmhg <= 36),
        "restenosis_hatem_2004": compare(after, lambda mmhg: mmhg < 36),
        "suboptimal_adults_87": compare(after, lambda mmhg: mmhg < 30),
        "success_adults_2014": compare(fallen, lambda part: part > 50),
        "success_newborn_2021": any_of(compare(rv_lv, lambda part: part < 0.5), compare(saturation, lambda part: part > 75)) if young else "outside",
        "suboptimal_multicentre_1994": None if late_bad is None else not late_bad,
        "good_late_adults_2015": compare(late, lambda mmhg: mmhg < 36),
        "residual_228": compare(late, lambda mmhg: mmhg < 40),
        "restenosis_1998": compare(late, lambda mmhg: mmhg < 50),
        "restenosis_review": compare(late, lambda mmhg: mmhg < 50),
    }


LATE = ("suboptimal_multicentre_1994", "good_late_adults_2015", "residual_228", "restenosis_1998", "restenosis_review")


def kinds(row):
    """Name -> the column of counts that a row belongs to."""
    made = {}
    for name, good in printed_definitions(row).items():
        if good == "outside" or (row["performed"] == "no" and name in LATE):
            made[name] = "outside"
        elif row["performed"] == "no":
            made[name] = "abandoned"
        else:
            made[name] = {True: "good", False: "other", None: "unknown"}[good]
    return made


def happened(row, measure):
    level = number(row, "event_level")
    if measure == "leak" and row["performed"] == "no":
        return "not asked"
    return {"abandoned": row["performed"] == "no", "major": compare(level, lambda worst: worst >= 4), "serious": compare(level, lambda worst: worst >= 3),
            "any": compare(level, lambda worst: worst >= 2),
            "leak": {"": None, "none": False, "mild": False}.get(row.get("regurgitation_discharge", ""), True)}.get(
                measure, {"yes": True, "no": False}.get(row.get(measure, "")))


def band(row):
    days = float(row["age_days"])
    return "newborn" if days < 30 else "infant" if days < 365.25 else "child" if days < 18 * 365.25 else "adult"


def strata_of(row):
    return ["", "age_band:" + band(row), "valve:" + (row.get("valve") or "unknown"),
            "treatment:" + {"no": "first", "yes": "repeat"}.get(row.get("treated_before") or "", "unknown")]


def follow(row):
    """(days, event) of a performed row, or None."""
    first = date.fromisoformat(row["date"])
    if row["performed"] == "yes" and row.get("reintervention") == "yes":
        return (date.fromisoformat(row["reintervention_date"]) - first).days, 1
    if row["performed"] == "yes" and row.get("reintervention") == "no" and row.get("last_seen"):
        return (date.fromisoformat(row["last_seen"]) - first).days, 0
    return None


def near(one, other):
    return one == pytest.approx(other, rel=1e-8, abs=1e-10)


@pytest.fixture(scope="module")
def audited(data):
    """(name, rows, result) of every file."""
    return [(name, rows, audit.audit(data, SCHEMA, text, CHART).result) for name, text, rows in FILES]


def test_the_demo_is_the_one_the_generator_writes_and_says_that_it_is_invented():
    assert DEMO == text_of(rows_of(SEED, 150))
    assert DEMO.count("\nINVENTED-") == 150
    assert (DOWNLOADS / "audit-template.csv").read_text(encoding="utf-8") == ",".join(SCHEMA["columnOrder"]) + "\n"
    assert sorted(SCHEMA["columnOrder"]) == sorted(SCHEMA["properties"])


def test_counts_of_strata_equal_a_second_count(audited):
    for name, rows, result in audited:
        assert result["cases"] == len(rows), name
        assert sum(one["attempts"] for one in result["strata"] if one["stratum"].startswith("age_band")) == len(rows)
        for one in result["strata"]:
            members = [row for row in rows if one["stratum"] in strata_of(row)]
            assert (one["attempts"], one["performed"]) == (len(members), sum(row["performed"] == "yes" for row in members)), (name, one)


def test_definitions_equal_a_second_count_from_print(audited):
    for name, rows, result in audited:
        found = [kinds(row) for row in rows]
        for one in result["definitions"]:
            mine = [kind[one["name"]] for row, kind in zip(rows, found) if one["stratum"] in strata_of(row)]
            for column in ("good", "other", "unknown", "abandoned", "outside"):
                assert one[column] == mine.count(column), (name, one["name"], one["stratum"], column)
            good, known = mine.count("good"), mine.count("good") + mine.count("other")
            assert (one["performed_rate"]["events"], one["performed_rate"]["known"]) == (good, known)
            if "attempt_rate" in one:
                assert (one["attempt_rate"]["events"], one["attempt_rate"]["known"]) == (good, known + mine.count("abandoned"))
            scope = len(mine) - mine.count("outside")
            if scope:
                assert near(one["if_unknown"], [good / scope, (good + mine.count("unknown")) / scope])


def test_rates_and_intervals_equal_statsmodels(audited):
    for name, rows, result in audited:
        asked = set()
        for one in result["rates"]:
            told = [happened(row, one["measure"]) for row in rows if one["stratum"] in strata_of(row)]
            assert (one["events"], one["known"], one["unknown"]) == (told.count(True), told.count(True) + told.count(False), told.count(None)), (name, one)
            asked.add(one["measure"])
            check_intervals(one)
        assert asked >= {"abandoned", "died", "major", "serious", "any", "heart_block", "thrombosis"}
        for one in result["definitions"]:
            check_intervals(one["performed_rate"])


def check_intervals(one):
    """Wilson, Clopper and Pearson, and the one-sided limit, by statsmodels and by its definition."""
    if not one["known"]:
        assert "rate" not in one
        return
    for method, theirs in (("wilson", "wilson"), ("exact", "beta")):
        low, high = proportion_confint(one["events"], one["known"], 0.05, theirs)
        assert near(one[method], [0.0 if math.isnan(low) else low, 1.0 if math.isnan(high) else high]), one
    assert near(one["rate"], one["events"] / one["known"])
    assert ("upper" in one) == (one["events"] == 0)
    if "upper" in one:
        assert near((1 - one["upper"]) ** one["known"], 0.05)


def test_benchmarks_equal_scipy(audited):
    compared = set()
    for name, rows, result in audited:
        for one in result["benchmarks"]:
            members = [row for row in rows if one["stratum"] in strata_of(row)]
            if one["measure"] in [measure for measure, _, _ in MEASURES]:
                told = [happened(row, one["measure"]) for row in members]
                bad, known = told.count(True), told.count(True) + told.count(False)
            else:
                told = [kinds(row)[one["measure"]] for row in members]
                bad = told.count("other") + told.count("abandoned")
                known = bad + told.count("good")
            assert (one["events"], one["known"]) == (bad, known), (name, one["measure"], one["stratum"])
            fraction = one["benchmark"]["fraction"]
            if not known:
                continue
            compared.add(one["benchmark"]["series"])
            assert one["tail"] == pytest.approx(binom.sf(bad - 1, known, fraction), rel=1e-7, abs=1e-13)
            assert binom.sf(one["alert"] - 1, known, fraction) <= 0.025 < binom.sf(one["alert"] - 2, known, fraction)
            assert binom.sf(one["alarm"] - 1, known, fraction) <= 0.001 < binom.sf(one["alarm"] - 2, known, fraction)
            for limits, confidence in ((one["inner"], 0.95), (one["outer"], 0.998)):
                for limit, share in zip(limits, ((1 - confidence) / 2, (1 + confidence) / 2)):
                    count = int(binom.ppf(share, known, fraction))
                    over = (binom.cdf(count, known, fraction) - share) / binom.pmf(count, known, fraction)
                    assert limit == pytest.approx(max(0.0, count - over), rel=1e-6, abs=1e-9)
    assert len(compared) == 11
    printed = {one["benchmark"]["series"]: one["benchmark"]["fraction"] for one in audited[0][2]["benchmarks"]}
    # As printed: 2 deaths of 822; 91 % success; 178 of 187; 42 of 45; 23 % suboptimal.
    assert near([printed[key] for key in ("registry_deaths", "eight_sites_success", "cadavid_success", "young_infant_success", "multicentre_suboptimal")],
                [2 / 822, 0.09, 9 / 187, 3 / 45, 0.23])


def test_the_curve_equals_lifelines(audited):
    drawn = 0
    for name, rows, result in audited:
        followed = [one for one in map(follow, rows) if one]
        found = result["follow_up"]
        assert (found["followed"], found["events"]) == (len(followed), sum(event for _, event in followed)), name
        assert found["not_followed"] == sum(row["performed"] == "yes" for row in rows) - len(followed)
        if not found["rows"]:
            assert not found["events"]
            continue
        drawn += 1
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            fitter = KaplanMeierFitter().fit([days for days, _ in followed], [event for _, event in followed])
        limits = fitter.confidence_interval_survival_function_
        for day, at_risk, events, survival, error, low, high in found["rows"]:
            assert near(survival, fitter.survival_function_.loc[day].iloc[0]), (name, day)
            assert (at_risk, events) == tuple(fitter.event_table.loc[day, ["at_risk", "observed"]])
            if survival:
                assert near([low, high], list(limits.loc[day])), (name, day)
                greenwood = fitter.event_table.loc[:day].query("observed > 0")
                spread = (greenwood["observed"] / (greenwood["at_risk"] * (greenwood["at_risk"] - greenwood["observed"]))).sum()
                assert near(error, survival * math.sqrt(spread))
        for one in found["at_years"]:
            assert one["at_risk"] == sum(days >= one["years"] * 365.25 for days, _ in followed)
            assert near(one.get("survival", 1.0), float(fitter.predict(one["years"] * 365.25)))
    assert drawn > 100


def test_charts_follow_the_dates_and_carry_their_design(audited):
    for name, rows, result in audited:
        success, event = result["charts"]
        order = sorted(range(len(rows)), key=lambda place: rows[place]["date"])
        told = [kinds(rows[place])["success_registry_2012"] for place in order]
        assert success["outcomes"] == [0 if kind == "good" else 1 for kind in told if kind in ("good", "other", "abandoned")], name
        assert success["left_out"] == told.count("unknown") + told.count("outside")
        assert event["outcomes"] == [int(one) for one in (happened(rows[place], "serious") for place in order) if one is not None]
        # Printed design values: 9 to 18 % and 3 to 9 %, both errors 0.1.
        assert [round(success[key], 4) for key in ("step", "upper_limit")] == pytest.approx([0.1306, 2.756], abs=1e-3)
        assert [round(event[key], 4) for key in ("step", "upper_limit")] == pytest.approx([0.0549, 1.890], abs=1e-3)
        for chart in (success, event):
            heights = [sum(chart["outcomes"][:case]) - case * chart["step"] for case in range(1, len(chart["outcomes"]) + 1)]
            past = [(case, height) for case, height in enumerate(heights, 1) if height > chart["upper_limit"] or height < chart["lower_limit"]]
            wanted = ("undecided", len(heights)) if not past else ("unacceptable" if past[0][1] > 0 else "acceptable", past[0][0])
            assert (chart["verdict"], chart["decided_after_cases"]) == wanted


def test_a_point_on_the_line_has_not_passed_it_in_words_or_picture():
    # Alpha is chosen so that two failures in a row end exactly on the upper line.
    step = math.log(0.9 / 0.8) / math.log(0.2 * 0.9 / (0.1 * 0.8))
    alpha = 0.9 / (0.2 * 0.9 / (0.1 * 0.8)) ** (2 * (1 - step))
    chart = {"acceptable_fraction": 0.1, "unacceptable_fraction": 0.2, "alpha": alpha, "beta": 0.1}
    assert dict(cusum_verdict(outcomes=[1, 1], **chart))["verdict"] == "undecided"
    assert "Between the lines" in draw.picture("cusum_chart", {"outcomes": [1, 1], **chart}, "one")
    assert dict(cusum_verdict(outcomes=[1, 1, 1], **chart))["decided_after_cases"] == 3
    assert "Passed the upper line at case 3" in draw.picture("cusum_chart", {"outcomes": [1, 1, 1], **chart}, "one")


def test_what_cannot_be_shown_is_computed(audited):
    told = " ".join(audited[0][2]["cannot_show"])
    # Printed: 3 to 6 % needs 282 cases, 9 to 18 % needs 87 (exact, one-sided 5 %, power 80 %).
    assert "needs 282 cases" in told and "needs 87 cases" in told and "nothing is known" in told
    serious = next(one for one in audited[0][2]["rates"] if one["measure"] == "serious" and one["stratum"] == "")
    alarm = next(count for count in range(serious["known"]) if binom.sf(count - 1, serious["known"], 0.03) <= 0.05)
    assert f"chance of {binom.sf(alarm - 1, serious['known'], 0.06) * 100:.1f}\u00a0% (alarm at {alarm}," in told


def test_both_interpreters_give_the_same_report(loaded):
    text = assets.data_text(loaded)
    bridge.start([], text)
    files = [DEMO] + [random_file(number)[0] for number in range(7)] + [text_of(rows_of(5, 8)).replace("yes", "perhaps")]
    steps = [{"step": "faults", "most": 400}] + [{"step": "compute"}] * 7 + [{"step": "section", "section": place} for place in range(9)]
    steps += [{"step": "picture", "section": 4, "number": 0, "place": "x"}, {"step": "picture", "section": 5, "number": 0, "place": "y"},
              {"step": "picture", "section": 6, "number": 0, "place": "z"}, {"step": "close"}, {"step": "compute"}]
    with Engine(data=text) as engine:
        for number, content in enumerate(files):
            asked = [{"step": "open", "schema": SCHEMA, "text": content, "options": CHART}, *[{"step": "check", "rows": 40}] * 4, *steps]
            for step in asked:
                if step["step"] == "picture" and number not in (0, 1):
                    continue  # a file may be too small to be drawn
                request = json.dumps({"op": "audit", **step})
                here, there = json.loads(bridge.reply(request)), json.loads(engine.reply(request))
                assert here == there, (number, step["step"], step.get("section"))
                if number == 0 and step is not asked[-1]:
                    assert here["ok"], here
            assert here["faults"] == [["", "The file is no longer open; choose it again."]]


def test_dates_equal_the_calendars():
    for number in range(0, 55000, 7):
        day = date.fromordinal(date(1950, 1, 1).toordinal() + number)
        since = (day - date(1970, 1, 1)).days
        assert day_number(day.isoformat()) == (since, "") == day_number(f"{day.day}.{day.month}.{day.year}"), day
        assert date_text(since) == day.isoformat()


def test_no_cell_of_a_table_holds_what_is_no_number(audited):
    for name, _, result in audited[:20]:
        for part in sections(result):
            for table in part["tables"]:
                assert all(len(row) == len(table["heads"]) for row in table["rows"])
                cells = [cell for row in table["rows"] for cell in row]
                assert all(isinstance(cell, str) for cell in cells)
                assert not [cell for cell in cells if re.search(r"\b(None|nan|inf|True)\b", cell)], name

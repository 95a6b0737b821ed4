"""The audit against general libraries and a second count, on the demo and on 200 random files."""

import csv
import io
import itertools
import json
import math
import re
import warnings
from collections import Counter
from datetime import date

import numpy as np
import pytest
from scipy.stats import CensoredData, binom, ecdf
from statsmodels.stats.proportion import proportion_confint

from pvcalc.audit import steps  # noqa: F401  the last declares pictures
from pvcalc.draw import svg, audit as draw_audit  # noqa: F401  the last declares pictures
from pvcalc.audit.words import sections
from pvcalc.handbook.engine import needs
from pvcalc.statistics.monitoring import cusum_verdict
from tests.helpers.audit_files import CHART, DEMO, DOWNLOADS, SCHEMA, SEED, random_file, rows_of, text_of


@pytest.fixture(scope="module")
def data(loaded):
    return json.loads(needs.data_text(loaded))


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


MEASURES = ("abandoned", "died", "major", "serious", "any", "heart_block", "thrombosis", "leak")
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


class Second:
    """One file with its result and the second count: what was told of each row, by stratum."""

    def __init__(self, name, rows, result):
        self.name, self.rows, self.result = name, rows, result
        self.kinds = [kinds(row) for row in rows]
        self.happened = [{measure: happened(row, measure) for measure in MEASURES} for row in rows]
        self.members = {}
        for place, row in enumerate(rows):
            for stratum in strata_of(row):
                self.members.setdefault(stratum, []).append(place)

    def told(self, measure, stratum):
        """What was told of a definition or a measure in every row of a stratum."""
        what = self.kinds if measure in self.kinds[0] else self.happened
        return [what[place][measure] for place in self.members.get(stratum, [])]


@pytest.fixture(scope="module")
def audited(data):
    """A `Second` of every file: the demo and the random ones."""
    files = [("demo", DEMO, list(csv.DictReader(io.StringIO(DEMO))))] + [(f"file {n}", *random_file(n)) for n in range(200)]
    return [Second(name, rows, steps.audit(data, SCHEMA, text, CHART).result) for name, text, rows in files]


def test_the_demo_is_the_one_the_generator_writes_and_says_that_it_is_invented():
    assert DEMO == text_of(rows_of(SEED, 150))
    assert DEMO.count("\nINVENTED-") == 150
    assert (DOWNLOADS / "audit-template.csv").read_text(encoding="utf-8") == ",".join(SCHEMA["columnOrder"]) + "\n"
    assert sorted(SCHEMA["columnOrder"]) == sorted(SCHEMA["properties"])


def test_counts_of_strata_equal_a_second_count(audited):
    for one in audited:
        assert one.result["cases"] == len(one.rows), one.name
        found = {part["stratum"]: (part["attempts"], part["performed"], part["abandoned"]) for part in one.result["strata"]}
        performed = {stratum: sum(one.rows[place]["performed"] == "yes" for place in places) for stratum, places in one.members.items()}
        assert found == {stratum: (len(places), performed[stratum], len(places) - performed[stratum])
                         for stratum, places in one.members.items()}, one.name
        assert one.result["strata"][0]["stratum"] == ""


def test_definitions_equal_a_second_count_from_print(audited):
    for file in audited:
        assert [(one["name"], one["stratum"]) for one in file.result["definitions"] if one["stratum"] == ""] == [(name, "") for name in file.kinds[0]]
        for one in file.result["definitions"]:
            mine = Counter(file.told(one["name"], one["stratum"]))
            for column in ("good", "other", "unknown", "abandoned", "outside"):
                assert one[column] == mine[column], (file.name, one["name"], one["stratum"], column)
            good, known = mine["good"], mine["good"] + mine["other"]
            assert (one["performed_rate"]["events"], one["performed_rate"]["known"]) == (good, known)
            assert ("attempt_rate" in one) == (one["name"] not in LATE)
            if "attempt_rate" in one:
                assert (one["attempt_rate"]["events"], one["attempt_rate"]["known"]) == (good, known + mine["abandoned"])
            scope = mine.total() - mine["outside"]
            assert one["if_unknown"] == ([good / scope, (good + mine["unknown"]) / scope] if scope else [])


def test_rates_equal_a_second_count_and_intervals_statsmodels(audited):
    made = []
    for file in audited:
        for one in file.result["rates"]:
            told = Counter(file.told(one["measure"], one["stratum"]))
            assert (one["events"], one["known"], one["unknown"]) == (told[True], told[True] + told[False], told[None]), (file.name, one)
        assert {one["measure"] for one in file.result["rates"]} >= {"abandoned", "died", "major", "serious", "any", "heart_block", "thrombosis"}
        made += file.result["rates"] + [one[rate] for one in file.result["definitions"] for rate in ("performed_rate", "attempt_rate") if rate in one]
    check_intervals(made)


def check_intervals(rates):
    """Wilson, Clopper and Pearson, and the one-sided limit, by statsmodels and by its definition, all at once."""
    assert not [one for one in rates if not one["known"] and set(one) & {"rate", "wilson", "exact", "upper"}]
    known = [one for one in rates if one["known"]]
    assert len(known) > 50_000
    counts = np.array([[one["events"], one["known"]] for one in known])
    assert close([one["rate"] for one in known], counts[:, 0] / counts[:, 1])
    pairs, place = np.unique(counts, axis=0, return_inverse=True)
    for method, theirs in (("wilson", "wilson"), ("exact", "beta")):
        low, high = (np.array(ends) for ends in proportion_confint(pairs[:, 0], pairs[:, 1], 0.05, theirs))
        wanted = np.column_stack([np.where(np.isnan(low), 0.0, low), np.where(np.isnan(high), 1.0, high)])
        assert close([one[method] for one in known], wanted[place])
    assert all(("upper" in one) == (one["events"] == 0) for one in known)
    none = [one for one in known if "upper" in one]
    assert close((1 - np.array([one["upper"] for one in none])) ** [one["known"] for one in none], np.full(len(none), 0.05))


def close(ours, theirs, relative=1e-8, absolute=1e-10):
    """Whether two arrays agree; where they do not, numpy says so with the values."""
    np.testing.assert_allclose(np.array(ours), theirs, relative, absolute, equal_nan=False)
    return True


def test_benchmarks_equal_scipy(audited):
    rows = []
    for file in audited:
        for one in file.result["benchmarks"]:
            told = Counter(file.told(one["measure"], one["stratum"]))
            bad = told[True] + told["other"] + told["abandoned"]
            assert (one["events"], one["known"]) == (bad, bad + told[False] + told["good"]), (file.name, one["measure"], one["stratum"])
            if one["known"]:
                rows.append(one)
    assert len({one["benchmark"]["series"] for one in rows}) == 11
    bad, known, fraction, alert, alarm = (np.array([values[place] for values in (
        (one["events"], one["known"], one["benchmark"]["fraction"], one["alert"], one["alarm"]) for one in rows)]) for place in range(5))
    assert close([one["tail"] for one in rows], binom.sf(bad - 1, known, fraction), 1e-7, 1e-13)
    for count, most in ((alert, 0.025), (alarm, 0.001)):
        assert (binom.sf(count - 1, known, fraction) <= most).all() and (most < binom.sf(count - 2, known, fraction)).all()
    for name, confidence in (("inner", 0.95), ("outer", 0.998)):
        for end, share in enumerate(((1 - confidence) / 2, (1 + confidence) / 2)):
            count = binom.ppf(share, known, fraction)
            over = (binom.cdf(count, known, fraction) - share) / binom.pmf(count, known, fraction)
            assert close([one[name][end] for one in rows], np.maximum(0.0, count - over), 1e-6, 1e-9)
    printed = {one["benchmark"]["series"]: one["benchmark"]["fraction"] for one in audited[0].result["benchmarks"]}
    # As printed: 2 deaths of 822; 91 % success; 178 of 187; 42 of 45; 23 % suboptimal.
    assert near([printed[key] for key in ("registry_deaths", "eight_sites_success", "cadavid_success", "young_infant_success", "multicentre_suboptimal")],
                [2 / 822, 0.09, 9 / 187, 3 / 45, 0.23])


def test_the_curve_equals_scipy(audited):
    drawn = 0
    for file in audited:
        followed = [one for one in map(follow, file.rows) if one]
        found = file.result["follow_up"]
        assert (found["followed"], found["events"]) == (len(followed), sum(event for _, event in followed)), file.name
        assert found["not_followed"] == sum(row["performed"] == "yes" for row in file.rows) - len(followed)
        days, events = np.array(followed, dtype=int).reshape(-1, 2).T
        for one in found["at_years"]:
            assert one["at_risk"] == (days >= one["years"] * 365.25).sum()
        if not found["rows"]:
            assert not found["events"]
            continue
        drawn += 1
        survived = ecdf(CensoredData.right_censored(days, events == 0)).sf
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # where nobody is left no limit can be computed; such rows are not compared
            limits = survived.confidence_interval(0.95, method="log-log")
        rows = np.array(found["rows"])
        assert (rows[:, 0] == np.unique(days[events == 1])).all(), file.name
        assert (rows[:, 1] == (days >= rows[:, :1]).sum(axis=1)).all() and (rows[:, 2] == ((days == rows[:, :1]) & (events == 1)).sum(axis=1)).all()
        assert close(rows[:, 3], survived.evaluate(rows[:, 0]))
        left = rows[:, 3] > 0
        for column, end in ((5, limits.low), (6, limits.high)):
            assert close(rows[left, column], end.evaluate(rows[left, 0]))
        spread = np.cumsum(rows[left, 2] / (rows[left, 1] * (rows[left, 1] - rows[left, 2])))
        assert close(rows[left, 4], rows[left, 3] * np.sqrt(spread))
        for one in found["at_years"]:
            assert near(one["survival"], survived.evaluate(one["years"] * 365.25))
    assert drawn > 100


def test_charts_follow_the_dates_and_carry_their_design(audited):
    for file in audited:
        success, event = file.result["charts"]
        order = sorted(range(len(file.rows)), key=lambda place: file.rows[place]["date"])
        told = [file.kinds[place]["success_registry_2012"] for place in order]
        assert success["outcomes"] == [0 if kind == "good" else 1 for kind in told if kind in ("good", "other", "abandoned")], file.name
        assert success["left_out"] == told.count("unknown") + told.count("outside")
        assert event["outcomes"] == [int(one) for one in (file.happened[place]["serious"] for place in order) if one is not None]
        # Printed design values: 9 to 18 % and 3 to 9 %, both errors 0.1.
        assert [round(success[key], 4) for key in ("step", "upper_limit")] == pytest.approx([0.1306, 2.756], abs=1e-3)
        assert [round(event[key], 4) for key in ("step", "upper_limit")] == pytest.approx([0.0549, 1.890], abs=1e-3)
        for chart in (success, event):
            heights = [height - case * chart["step"] for case, height in enumerate(itertools.accumulate(chart["outcomes"]), 1)]
            past = [(case, height) for case, height in enumerate(heights, 1) if height > chart["upper_limit"] or height < chart["lower_limit"]]
            wanted = ("undecided", len(heights)) if not past else ("unacceptable" if past[0][1] > 0 else "acceptable", past[0][0])
            assert (chart["verdict"], chart["decided_after_cases"]) == wanted


def test_a_point_on_the_line_has_not_passed_it_in_words_or_picture():
    # Alpha is chosen so that two failures in a row end exactly on the upper line.
    step = math.log(0.9 / 0.8) / math.log(0.2 * 0.9 / (0.1 * 0.8))
    alpha = 0.9 / (0.2 * 0.9 / (0.1 * 0.8)) ** (2 * (1 - step))
    chart = {"acceptable_fraction": 0.1, "unacceptable_fraction": 0.2, "alpha": alpha, "beta": 0.1}
    assert dict(cusum_verdict(outcomes=[1, 1], **chart))["verdict"] == "undecided"
    assert "Between the lines" in svg.picture("cusum_chart", {"outcomes": [1, 1], **chart}, "one")
    assert dict(cusum_verdict(outcomes=[1, 1, 1], **chart))["decided_after_cases"] == 3
    assert "Passed the upper line at case 3" in svg.picture("cusum_chart", {"outcomes": [1, 1, 1], **chart}, "one")


def test_what_cannot_be_shown_is_computed(audited):
    demo = audited[0].result
    told = " ".join(demo["cannot_show"])
    # Printed: 3 to 6 % needs 282 cases, 9 to 18 % needs 87 (exact, one-sided 5 %, power 80 %).
    assert "needs 282 cases" in told and "needs 87 cases" in told and "nothing is known" in told
    serious = next(one for one in demo["rates"] if one["measure"] == "serious" and one["stratum"] == "")
    alarm = next(count for count in range(serious["known"]) if binom.sf(count - 1, serious["known"], 0.03) <= 0.05)
    assert f"chance of {binom.sf(alarm - 1, serious['known'], 0.06) * 100:.1f}\u00a0% (alarm at {alarm}," in told


def test_no_cell_of_a_table_holds_what_is_no_number(audited):
    for file in audited[:20]:
        for part in sections(file.result):
            for table in part["tables"]:
                assert all(len(row) == len(table["heads"]) for row in table["rows"])
                cells = [cell for row in table["rows"] for cell in row]
                assert all(isinstance(cell, str) for cell in cells)
                assert not [cell for cell in cells if re.search(r"\b(None|nan|inf|True)\b", cell)], file.name

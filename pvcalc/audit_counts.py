"""Counts of an audit: strata, rates with their intervals, definitions side by side, the published benchmarks."""

from pvcalc.audit_definitions import AT_ONCE, BENCHMARKS, DEFINITIONS, benchmark_of, kind_of
from pvcalc.formula import listing
from pvcalc.monitoring import funnel_alarm, funnel_limits
from pvcalc.proportion import binomial_tail, exact_interval, wilson_interval, zero_event_upper

# What divides the attempts, each with its values in order and their words.
STRATA = [
    ("age_band", "Age", [("newborn", "under 1 month"), ("infant", "1 to 12 months"), ("child", "1 to 17 years"), ("adult", "18 years and over")]),
    ("valve", "Valve", [("domed", "domed"), ("dysplastic", "dysplastic"), ("other", "other"), ("unknown", "not known")]),
    ("treatment", "Treatment", [("first", "first"), ("repeat", "repeat"), ("unknown", "not known")]),
]
# Measure, its words, whether only performed attempts are asked.
MEASURES = [
    ("abandoned", "attempt abandoned", False),
    ("died", "died within 30 days, of whatever cause", False),
    ("major", "event of level 4 or 5", False),
    ("serious", "event of level 3 to 5", False),
    ("any", "event of level 2 to 5", False),
    ("heart_block", "new complete heart block", False),
    ("thrombosis", "thrombosis of the access vessel, of those looked at by ultrasound", False),
    ("leak", "moderate or severe regurgitation at discharge", True),
]
COUNTED = ("performed", "level", "died", "heart_block", "thrombosis", "regurgitation_discharge")  # besides strata and answers
LEVELS = {"major": 4, "serious": 3, "any": 2}
MOST_FUNNEL_CASES = 20000
FUNNEL_FROM_CASES = 30


def outcome(case, measure):
    """True, False, or None when it is not known or not asked in this case."""
    if measure == "abandoned":
        return case["performed"] == "no"
    if measure in LEVELS:
        return case["level"] >= LEVELS[measure] if "level" in case else None
    if measure == "leak":
        return case["regurgitation_discharge"] in ("moderate", "severe") if "regurgitation_discharge" in case else None
    return {"yes": True, "no": False}.get(case.get(measure))


def measure_words(measure):
    """The words of one measure."""
    for name, words, _ in MEASURES:
        if name == measure:
            return words
    return measure


def in_stratum(case, stratum):
    """Whether a case belongs to a stratum such as `age_band:newborn`; "" is all."""
    if stratum == "":
        return True
    name, _, value = stratum.partition(":")
    return case[name] == value


def stratum_words(stratum):
    """A stratum in words; "" is all attempts."""
    if stratum == "":
        return "all"
    for name, title, values in STRATA:
        for value, words in values:
            if stratum == name + ":" + value:
                return title.lower() + " " + words
    return stratum


def strata_names():
    """Every stratum, all first."""
    return [""] + [name + ":" + value for name, _, values in STRATA for value, _ in values]


def rate(events, known, unknown, confidence):
    """A rate with its intervals.

    Returns a dict: `events`, `known`, `unknown`; when anything is known also `rate`, `wilson` and `exact` as (low, high),
    and without events `upper`, the one-sided limit.
    """
    made = {"events": events, "known": known, "unknown": unknown}
    if known:
        made["rate"] = events / known
        made["wilson"] = [value for _, value in wilson_interval(events=events, cases=known, confidence=confidence)]
        made["exact"] = [value for _, value in exact_interval(events=events, cases=known, confidence=confidence)]
        if events == 0:
            made["upper"] = zero_event_upper(cases=known, confidence=confidence, sides=1)
    return made


def add_groups(found, cases):
    """Count into `found` cases that are counted alike, once: a dict of key to [case, how many]."""
    for case in cases:
        key = "|".join([case[name] for name, _, _ in STRATA] + [str(case.get(name)) for name in COUNTED] + case["answers"])
        if key in found:
            found[key][1] += 1
        else:
            found[key] = [case, 1]


def rates(grouped, confidence):
    """Rates of every measure in every stratum: a list of dicts with `measure`, `stratum` and those of `rate`."""
    counted = {}
    for case, many in grouped:
        strata = [""] + [name + ":" + case[name] for name, _, _ in STRATA]
        for measure, _, performed_only in MEASURES:
            if performed_only and case["performed"] != "yes":
                continue
            happened = outcome(case, measure)
            for stratum in strata:
                key = measure + "|" + stratum
                if key not in counted:
                    counted[key] = [0, 0, 0]
                counted[key][2 if happened is None else 1] += many
                counted[key][0] += many if happened else 0
    made = []
    for measure, _, _ in MEASURES:
        for stratum in strata_names():
            if measure + "|" + stratum in counted:
                events, known, unknown = counted[measure + "|" + stratum]
                one = rate(events, known, unknown, confidence)
                one["measure"], one["stratum"] = measure, stratum
                made.append(one)
    return made


def strata(grouped):
    """Attempts, performed, abandoned by stratum: a list of dicts, all first."""
    made = []
    for stratum in strata_names():
        count = {"yes": 0, "no": 0}
        for case, many in grouped:
            if in_stratum(case, stratum):
                count[case["performed"]] += many
        if count["yes"] + count["no"]:
            made.append({"stratum": stratum, "attempts": count["yes"] + count["no"], "performed": count["yes"], "abandoned": count["no"]})
    return made


def definitions(grouped, tables, confidence):
    """Each published definition counted in every stratum.

    Returns a list of dicts: `name`, `title`, `document`, `source`, `when`, `stratum`, the counts `good`, `other`, `unknown`,
    `abandoned`, `outside`, `answers` as (answer, count) pairs, `performed_rate` (of those performed and known),
    `attempt_rate` (an abandoned attempt is no success) and `if_unknown`, the (lowest, highest) share of all
    attempts in its scope that the unknown leave open.
    """
    made = []
    for place, (name, _, when) in enumerate(DEFINITIONS):
        table = tables[name]
        words, by_stratum = {}, {}
        for case, many in grouped:
            answer = case["answers"][place]
            words[answer] = words.get(answer, 0) + many
            kind = kind_of(place, answer)
            for stratum in [""] + [part + ":" + case[part] for part, _, _ in STRATA]:
                if stratum not in by_stratum:
                    by_stratum[stratum] = {"good": 0, "other": 0, "unknown": 0, "abandoned": 0, "outside": 0}
                by_stratum[stratum][kind] += many
        for stratum in strata_names():
            if stratum not in by_stratum:
                continue
            count = by_stratum[stratum]
            good, known = count["good"], count["good"] + count["other"]
            one = {"name": name, "title": table["title"], "document": table["document"], "source": table["source"],
                   "when": when, "stratum": stratum,
                   "answers": [(word, words[word]) for word in sorted(words)] if stratum == "" else []}
            for key in count:
                one[key] = count[key]
            one["performed_rate"] = rate(good, known, count["unknown"], confidence)
            if when == AT_ONCE:
                one["attempt_rate"] = rate(good, known + count["abandoned"], count["unknown"], confidence)
            scope = known + count["unknown"] + count["abandoned"]
            one["if_unknown"] = [good / scope, (good + count["unknown"]) / scope] if scope else []
            made.append(one)
    return made


def bad_counts(grouped, measure, stratum):
    """(bad, known) of a measure or of a definition: events, or results that are not good, abandoned attempts among them."""
    bad = known = 0
    for case, many in grouped:
        if in_stratum(case, stratum):
            happened = bad_outcome(case, measure)
            known += 0 if happened is None else many
            bad += many if happened else 0
    return bad, known


def bad_outcome(case, measure):
    """`outcome` of a measure, or `bad_result` of the definition of that name."""
    places = [place for place, one in enumerate(DEFINITIONS) if one[0] == measure]
    return bad_result(case, places[0]) if places else outcome(case, measure)


def bad_result(case, place):
    """Whether a case is not good by definition number `place`; None when unknown or outside of it."""
    return {"good": False, "other": True, "abandoned": True}.get(kind_of(place, case["answers"][place]))


def benchmarks(data, grouped, confidence, outer_confidence):
    """The unit against published counts.

    Returns a list of dicts: `measure`, `stratum`, `events`, `known`, the benchmark (see `benchmark_of`), its own exact
    interval where its counts are printed, and, when cases are known, `tail`, the chance of as many or more at the
    benchmark; with no more than 20 000 cases `inner` and `outer` funnel limits in events, `alert` and `alarm` counts.
    """
    made = []
    for measure, stratum, series in BENCHMARKS:
        benchmark = benchmark_of(data, series)
        events, known = bad_counts(grouped, measure, stratum)
        one = {"measure": measure, "stratum": stratum, "events": events, "known": known, "benchmark": benchmark}
        if benchmark["cases"]:
            one["benchmark_exact"] = [value for _, value in exact_interval(events=benchmark["bad"], cases=benchmark["cases"],
                                                                           confidence=confidence)]
        if known:
            fraction = benchmark["fraction"]
            one["tail"] = binomial_tail(events=events, cases=known, benchmark_fraction=fraction)
            if known <= MOST_FUNNEL_CASES:
                one["inner"] = [value for _, value in funnel_limits(benchmark_fraction=fraction, cases=known, confidence=confidence)]
                one["outer"] = [value for _, value in funnel_limits(benchmark_fraction=fraction, cases=known,
                                                                    confidence=outer_confidence)]
                one["alert"], one["alarm"] = [value for _, value in funnel_alarm(benchmark_fraction=fraction, cases=known)]
        made.append(one)
    return made


def by_year(cases, measure):
    """(year, bad, known) for every calendar year with a known result."""
    counts = {}
    for case in cases:
        happened = bad_outcome(case, measure)
        if happened is not None:
            bad, known = counts.get(case["year"], (0, 0))
            counts[case["year"]] = (bad + (1 if happened else 0), known + 1)
    return [(year, counts[year][0], counts[year][1]) for year in sorted(counts)]


def medians(cases):
    """(column, how many are known, lowest, median, highest) of what is compared with the unit's own median."""
    made = []
    for name in ("balloon_annulus_ratio", "contrast_ml_per_kg", "kap_per_kg_ugy_m2"):
        values = sorted([case[name] for case in cases if name in case])
        if values:
            half = len(values) // 2
            middle = values[half] if len(values) % 2 else (values[half - 1] + values[half]) / 2
            made.append((name, len(values), values[0], middle, values[-1]))
    return made


def reasons_words(cases):
    """Reasons of the reinterventions with their counts, as words."""
    counts = {}
    for case in cases:
        if case.get("again") == 1:
            reason = case.get("reintervention_because", "not known")
            counts[reason] = counts.get(reason, 0) + 1
    texts = [reason.replace("_", " ") + " " + str(counts[reason]) for reason in sorted(counts)]
    return listing(texts).replace(" or ", " and ") if texts else ""

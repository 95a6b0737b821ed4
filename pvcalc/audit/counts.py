"""Counts of an audit: strata, rates with their intervals, definitions side by side, the published benchmarks."""

from pvcalc.audit.definitions import AT_ONCE, BENCHMARKS, DEFINITIONS, benchmark_of, kind_of
from pvcalc.core.formula import listing
from pvcalc.statistics.monitoring import funnel_alarm, funnel_limits
from pvcalc.statistics.proportion import binomial_tail, exact_interval, wilson_interval, zero_event_upper

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


def stratum_words(stratum):
    """A stratum in words; "" is all attempts."""
    if not stratum:
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
        made.update(_share(events, known, confidence))
    return made


def _share(events, known, confidence):
    """What the counts alone settle; a dozen definitions in a dozen strata give the same few counts again and again."""
    key = (events, known, confidence)
    if key not in _SHARES:
        if len(_SHARES) >= MOST_SHARES:
            _SHARES.clear()
        made = {"rate": events / known,
                "wilson": [value for _, value in wilson_interval(events=events, cases=known, confidence=confidence)],
                "exact": [value for _, value in exact_interval(events=events, cases=known, confidence=confidence)]}
        if not events:
            made["upper"] = zero_event_upper(cases=known, confidence=confidence, sides=1)
        _SHARES[key] = made
    return _SHARES[key]


MOST_SHARES = 2000
_SHARES = {}


def add_groups(found, cases):
    """Count into `found` cases that are counted alike, once: a dict of key to [case, how many, its strata]."""
    for case in cases:
        parts = [case[name] for name, _, _ in STRATA]
        key = "|".join(parts + [str(case.get(name)) for name in COUNTED] + case["answers"])
        if key in found:
            found[key][1] += 1
        else:
            found[key] = [case, 1, [""] + [name + ":" + part for (name, _, _), part in zip(STRATA, parts)]]


def rates(grouped, confidence):
    """Rates of every measure in every stratum: a list of dicts with `measure`, `stratum` and those of `rate`."""
    counted = {}
    for case, many, strata in grouped:
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
        for case, many, members in grouped:
            if stratum in members:
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
        by_stratum = {}
        for case, many, strata in grouped:
            answer = case["answers"][place]
            for stratum in strata:
                if stratum not in by_stratum:
                    by_stratum[stratum] = {}
                words = by_stratum[stratum]
                words[answer] = words.get(answer, 0) + many
        for stratum in strata_names():
            if stratum not in by_stratum:
                continue
            words = by_stratum[stratum]
            count = {"good": 0, "other": 0, "unknown": 0, "abandoned": 0, "outside": 0}
            for answer in words:
                count[kind_of(place, answer)] += words[answer]
            good, known = count["good"], count["good"] + count["other"]
            one = {"name": name, "title": table["title"], "document": table["document"], "source": table["source"],
                   "when": when, "stratum": stratum,
                   "answers": [(word, words[word]) for word in sorted(words)] if not stratum else []}
            one.update(count)
            one["performed_rate"] = rate(good, known, count["unknown"], confidence)
            if when == AT_ONCE:
                one["attempt_rate"] = rate(good, known + count["abandoned"], count["unknown"], confidence)
            scope = known + count["unknown"] + count["abandoned"]
            one["if_unknown"] = [good / scope, (good + count["unknown"]) / scope] if scope else []
            made.append(one)
    return made


def bad_counts(counted_rates, counted_definitions):
    """(bad, known) by measure or definition and stratum: events, or results that are not good, abandoned attempts among them."""
    found = {(one["measure"], one["stratum"]): (one["events"], one["known"]) for one in counted_rates}
    for one in counted_definitions:
        bad = one["other"] + one["abandoned"]
        found[(one["name"], one["stratum"])] = (bad, bad + one["good"])
    return found


PLACES = {name: place for place, (name, _, _) in enumerate(DEFINITIONS)}


def bad_outcome(case, measure):
    """`outcome` of a measure, or `bad_result` of the definition of that name."""
    return bad_result(case, PLACES[measure]) if measure in PLACES else outcome(case, measure)


def bad_result(case, place):
    """Whether a case is not good by definition number `place`; None when unknown or outside of it."""
    return {"good": False, "other": True, "abandoned": True}.get(kind_of(place, case["answers"][place]))


def benchmarks(data, bad_and_known, confidence, outer_confidence):
    """The unit against published counts; `bad_and_known` comes from `bad_counts`.

    Returns a list of dicts: `measure`, `stratum`, `events`, `known`, the benchmark (see `benchmark_of`), its own exact
    interval where its counts are printed, and, when cases are known, `tail`, the chance of as many or more at the
    benchmark; with no more than 20 000 cases `inner` and `outer` funnel limits in events, `alert` and `alarm` counts.
    """
    made = []
    for measure, stratum, series in BENCHMARKS:
        benchmark = benchmark_of(data, series)
        events, known = bad_and_known.get((measure, stratum), (0, 0))
        one = {"measure": measure, "stratum": stratum, "events": events, "known": known, "benchmark": benchmark}
        if benchmark["cases"]:
            one["benchmark_exact"] = _share(benchmark["bad"], benchmark["cases"], confidence)["exact"]
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

"""What the numbers of an audit cannot show, in sentences with computed chances."""

from pvcalc.audit.counts import measure_words, stratum_words
from pvcalc.audit.definitions import DEFINITION_WORDS
from pvcalc.core.errors import Refusal
from pvcalc.core.units import show, show_named
from pvcalc.statistics.sample_size import benchmark_test, cases_for_power

ALPHA, POWER = 0.05, 0.8
MOST_CASES = 20000
FEW_AT_RISK = 10


def percent(fraction):
    """A share as a percentage; small ones keep two decimals, so that a risk never reads as none."""
    value = fraction * 100
    if 99.95 <= value < 100:
        return "more than 99.9\u00a0%"
    return show_named(value, "percent", 2 if 0 < value < 1 else 1)


def sentences(result):
    """Every sentence for one audit result."""
    told = []
    for one in result["rates"]:
        if not one["stratum"] and one["measure"] in ("died", "major", "serious") and "upper" in one:
            told.append("None of " + show(one["known"], 0) + " " + measure_words(one["measure"]) + ": a true risk of up to "
                        + percent(one["upper"]) + " remains open (one-sided " + percent(result["confidence"]) + ").")
    for one in result["benchmarks"]:
        if not one["stratum"] and one["known"]:
            told += power_words(one["measure"], one["known"], one["benchmark"]["fraction"])
    for one in result["definitions"]:
        if not one["stratum"] and one["unknown"] and one["if_unknown"]:
            low, high = one["if_unknown"]
            told.append(one["title"] + ": " + show(one["unknown"], 0) + " not known; among all attempts the share that is good lies anywhere from "
                        + percent(low) + " to " + percent(high) + ".")
    curve = result["follow_up"]
    if curve["followed"]:
        few = [one["years"] for one in curve["at_years"] if one["at_risk"] < FEW_AT_RISK]
        if few:
            told.append("From " + show(few[0], 0) + " years on fewer than " + str(FEW_AT_RISK)
                        + " are at risk: the curve's end rests on them and should not be quoted.")
        told.append("Beyond " + show(curve["longest_years"], 1) + " years nobody was followed: nothing is known.")
    if curve["not_followed"]:
        told.append("Of the performed, " + show(curve["not_followed"], 0)
                    + " have no follow-up; those lost may differ from those seen.")
    told += [
        "A benchmark has its own definition, era and patients, and its own interval; a difference may be a difference of these.",
        "Many comparisons stand side by side here: one small chance among them is expected.",
        "The rates are not adjusted for how ill the patients were.",
        "A unit's numbers do not judge a person.",
    ]
    return told


def power_words(measure, known, fraction):
    """What this number of cases can show against one benchmark, and how many would be needed, as a list of one sentence."""
    higher = 2 * fraction
    if not (0.001 <= fraction <= 0.45) or known > MOST_CASES:
        return []
    what = words_of(measure) + ": a true rate twice the benchmark (" + percent(higher) + " for " + percent(fraction) + ") "
    try:
        power = dict(benchmark_test(benchmark_fraction=fraction, alternative_fraction=higher, cases=known, alpha=ALPHA))
        said = ("would be called by " + show(known, 0) + " cases with a chance of " + percent(power["power"]) + " (alarm at "
                + show(power["alarm_count"], 0) + ", one-sided " + percent(ALPHA) + ")")
    except Refusal:
        said = "cannot be called by " + show(known, 0) + " cases at all"
    needed = show(cases_for_power(benchmark_fraction=fraction, alternative_fraction=higher, alpha=ALPHA, power=POWER), 0)
    return [what + said + "; a chance of " + percent(POWER) + " needs " + needed + " cases."]


def words_of(measure):
    """A measure, or a definition's own name for a result that is not good."""
    if measure in DEFINITION_WORDS:
        return "Not good by the definition of the " + DEFINITION_WORDS[measure]
    words = measure_words(measure)
    return words[0].upper() + words[1:]


def where_words(measure, stratum):
    """A measure with its stratum."""
    return words_of(measure) + (", " + stratum_words(stratum) if stratum else "")

"""An audit over time: charts of failures case by case, and the time to a reintervention."""

from pvcalc.audit.counts import LEVELS, bad_outcome
from pvcalc.audit.definitions import DEFINITIONS, PUBLISHED_CURVE
from pvcalc.core.errors import NotUnderstood, Refusal
from pvcalc.core.formula import listing
from pvcalc.core.units import DAYS_A_YEAR
from pvcalc.statistics.distributions import two_sided_z
from pvcalc.statistics.monitoring import cusum_design, cusum_reach, first_passed
from pvcalc.statistics.proportion import zero_event_upper
from pvcalc.statistics.survival import CURVE, curve

SHOWN_YEARS = (1, 2, 5, 10, 15, 20, 30)
EVENTS = ("died",) + tuple(sorted(LEVELS))


def options_of(options):
    """The choices of one audit, checked.

    Args:
        options: dict that may hold `quantity` (catheter or doppler), `definition` with `acceptable_fraction` and
            `unacceptable_fraction`, `event` with `event_acceptable_fraction` and `event_unacceptable_fraction`, `alpha`, `beta`.
    Returns a list of the charts asked for: dicts with `measure`, the two fractions, `alpha` and `beta`.
    Raises: Refusal naming every fault. No rate stands in by itself: a chart's rates belong to its definition.
    """
    faults, charts = [], []
    names = [name for name, _, _ in DEFINITIONS]
    for field, prefix, known in (("definition", "", names), ("event", "event_", EVENTS)):
        fractions = [options.get(prefix + "acceptable_fraction"), options.get(prefix + "unacceptable_fraction")]
        given = [value for value in fractions if value is not None]
        chosen = options.get(field)
        if chosen is not None and chosen not in known:
            faults.append((field, "The " + field + " of the chart must be one of: " + listing(sorted(known)) + "."))
        elif chosen is None and given:
            faults.append((field, "A chart carries its " + field + ": name it together with the two rates, one of: "
                           + listing(sorted(known)) + "."))
        elif chosen is not None and len(given) == 1:
            faults.append((field, "A chart needs both rates, the acceptable and the unacceptable one; none stands in by itself."))
        elif chosen is not None and given:
            chart = {"measure": chosen, "acceptable_fraction": fractions[0], "unacceptable_fraction": fractions[1],
                     "alpha": options.get("alpha"), "beta": options.get("beta")}
            try:
                cusum_design(**_design(chart))
                charts.append(chart)
            except Refusal as refusal:
                faults += [(prefix + name if name.endswith("fraction") else name, sentence) for name, sentence in refusal.faults]
    if options.get("quantity") not in ("catheter", "doppler"):
        faults.append(("quantity", "The gradient at once must be catheter or doppler; they are never mixed."))
    if faults:
        raise NotUnderstood(faults)
    return charts


def _design(chart):
    return {name: chart[name] for name in ("acceptable_fraction", "unacceptable_fraction", "alpha", "beta")}


def chart(cases, wanted):
    """One chart of failures over the cases in the order of their dates.

    Args:
        cases: cases in order; wanted: from `options_of`.
    Returns a dict: `measure`, `outcomes`, `left_out` (not known), the design and its reach, `verdict`, `decided_after_cases`.
    """
    found = [bad_outcome(case, wanted["measure"]) for case in cases]
    outcomes = [1 if bad else 0 for bad in found if bad is not None]
    made = dict(wanted)
    made["outcomes"], made["left_out"] = outcomes, len(found) - len(outcomes)
    for pairs in (cusum_design(**_design(wanted)), cusum_reach(**_design(wanted))):
        for name, value in pairs:
            made[name] = value
    made["verdict"], made["decided_after_cases"] = first_passed(outcomes, made["step"], -made["lower_limit"], made["upper_limit"])
    return made


def follow_up(data, cases, confidence):
    """Time from a performed attempt to the first reintervention.

    Returns a dict: `followed`, `not_followed` (performed, nothing known), `events`, `days` and `again` of each one followed,
    `longest_years`, `rows` of the curve with time in days (empty when nobody was treated again, then `upper`, the
    one-sided limit of the crude share), and `at_years`: dicts of `years`, `at_risk`, `survival`, `error`, `low`, `high`, `published`.
    """
    followed = [case for case in cases if "follow_days" in case]
    days, again = [case["follow_days"] for case in followed], [case["again"] for case in followed]
    performed = len([case for case in cases if case["performed"] == "yes"])
    made = {"followed": len(followed), "not_followed": performed - len(followed), "events": len([one for one in again if one]),
            "days": days, "again": again, "rows": [], "at_years": []}
    if not followed:
        return made
    made["longest_years"] = max(days) / DAYS_A_YEAR
    if not made["events"]:
        made["upper"] = zero_event_upper(cases=len(followed), confidence=confidence, sides=1)
    else:
        made["rows"] = curve(days, again, two_sided_z(confidence))
    published = [(years, data["statistics"][name]) for years, name in PUBLISHED_CURVE]
    for years in SHOWN_YEARS:
        limit = years * DAYS_A_YEAR
        if limit > max(days):
            break
        one = {"years": years, "at_risk": len([day for day in days if day >= limit])}
        before = [row for row in made["rows"] if row[0] <= limit]
        if before:
            for name, value in zip(CURVE[3:], before[-1][3:]):
                one[name] = value
        elif made["events"]:
            one["survival"] = 1.0  # before the first event: no error can be computed
        for at, entry in published:
            if at == years:
                one["published"] = entry["value"]
        made["at_years"].append(one)
    return made

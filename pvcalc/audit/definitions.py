"""The published definitions that an audit lays side by side, and the published counts it compares with."""

from pvcalc.core.errors import UnknownName
from pvcalc.core.units import DAYS_A_MONTH
from pvcalc.decision.conditions import HAIR, edges_of
from pvcalc.decision.evaluate import answer_of
from pvcalc.formulas.pressure_gradient import gradient_fall_percent

AT_ONCE, LATE = "at_once", "late"
# Table, the answer that counts as good, and which result it is about. Every other answer, and silence, is not good.
DEFINITIONS = [
    ("success_registry_2012", "success", AT_ONCE),
    ("success_cadavid_2006", "success", AT_ONCE),
    ("immediate_childhood", "36_or_less", AT_ONCE),
    ("restenosis_hatem_2004", "success", AT_ONCE),
    ("suboptimal_adults_87", "not_suboptimal", AT_ONCE),
    ("success_adults_2014", "success", AT_ONCE),
    ("success_newborn_2021", "success", AT_ONCE),
    ("suboptimal_multicentre_1994", "not_suboptimal", LATE),
    ("good_late_adults_2015", "good", LATE),
    ("residual_228", "neither", LATE),
    ("restenosis_1998", "not_restenosis", LATE),
    ("restenosis_review", "not_restenosis", LATE),
]
DEFINITION_WORDS = {
    "success_registry_2012": "eight-centre registry", "success_cadavid_2006": "paediatric series of 2006",
    "immediate_childhood": "childhood series", "restenosis_hatem_2004": "Brazilian series of 2004",
    "suboptimal_adults_87": "adult series of 87", "success_adults_2014": "adult series of 2014",
    "success_newborn_2021": "young infants' series of 2021", "suboptimal_multicentre_1994": "multicentre study of 1994",
    "good_late_adults_2015": "adult series of 2015", "residual_228": "children of 2004 to 2019",
    "restenosis_1998": "series of 1998", "restenosis_review": "review",
}
QUANTITIES = {"catheter": "catheter peak-to-peak", "doppler": "peak Doppler"}
MOST_AGE_MONTHS = 1200  # highest age of the unit; the only cut-off lies at 6

# What is counted against which published count, and in whom: measure, stratum ("" for all), series.
BENCHMARKS = [
    ("died", "", "registry_deaths"),
    ("died", "age_band:newborn", "newborn_early_death"),
    ("serious", "", "eight_sites_serious"),
    ("any", "", "national_any"),
    ("success_registry_2012", "", "eight_sites_success"),
    ("success_cadavid_2006", "", "cadavid_success"),
    ("restenosis_hatem_2004", "valve:domed", "hatem_effective_typical"),
    ("success_adults_2014", "age_band:adult", "adult_success_half"),
    ("success_newborn_2021", "", "young_infant_success"),
    ("suboptimal_multicentre_1994", "", "multicentre_suboptimal"),
    ("good_late_adults_2015", "age_band:adult", "adult_good_late"),
]
COUNTS_GOOD = ("eight_sites_success", "cadavid_success", "hatem_effective_typical", "adult_success_half",
               "young_infant_success", "adult_good_late")  # these print the good; the audit counts the rest
PUBLISHED_CURVE = [(1, "reintervention_free_1_year"), (2, "reintervention_free_2_years"), (5, "reintervention_free_5_years"),
                   (10, "reintervention_free_10_years")]


class Judge:
    """Asks every definition about a case, through the decision tables.

    A table's answer can change only at its cut-offs, so cases whose values all lie between the same cut-offs are
    asked about once: all definitions together, and each by itself, for no table looks at every value.
    """

    def __init__(self, tables, quantity):
        """`tables`: decision tables by name; `quantity`: catheter or doppler, for the results at once."""
        self.tables = [(tables[name], when, tables[name]["asks_for"], {}) for name, _, when in DEFINITIONS]
        self.before, self.after = quantity + "_before_mmhg", quantity + "_after_mmhg"
        self.edges, self.names, self.found = {}, {AT_ONCE: [], LATE: []}, {}
        for table, when, names, _ in self.tables:
            self.names[when] += [name for name in names if name not in self.names[when]]
            for name in names:
                self.edges[name] = sorted(set(self.edges.get(name, []) + edges_of(table, name)))
        self.places = {name: {} for name in self.edges}

    def answers(self, values, age_days):
        """One word for each definition, in order: the table's own answer, `cannot_evaluate`, `not_applicable`, `silent`
        or, at once, `abandoned`. Cases that are alike share one list."""
        at_once, late = self.inputs(values, age_days)
        here, later = self._places(at_once), self._places(late)
        key = "|".join([values["performed"]] + [here.get(name, "") for name in self.names[AT_ONCE]] + [later.get(name, "") for name in self.names[LATE]])
        if key not in self.found:
            inputs, places = {AT_ONCE: at_once, LATE: late}, {AT_ONCE: here, LATE: later}
            performed = values["performed"] == "yes"
            self.found[key] = [self._answer(one, inputs[one[1]], places[one[1]], performed) for one in self.tables]
        return self.found[key]

    def inputs(self, values, age_days):
        """What the tables are asked with, for the result at once and for the late one."""
        at_once = {"age_months": min(age_days / DAYS_A_MONTH, MOST_AGE_MONTHS)}
        before, after = values.get(self.before), values.get(self.after)
        if after is not None:
            at_once["residual_gradient_mmhg"] = after
            if before is not None and before >= 1:
                # A rise is no fall: 0, the least a table takes; no cut-off lies there.
                at_once["gradient_fall_percent"] = max(0.0, gradient_fall_percent.function(before_mmhg=before, after_mmhg=after))
        was, now = _ratio(values, "before"), _ratio(values, "after")
        if was and now is not None:
            at_once["rv_systemic_fall_percent"] = max(0.0, 100 * (was - now) / was)
        if "rv_systolic_after_mmhg" in values and "lv_systolic_after_mmhg" in values:
            at_once["rv_lv_ratio"] = values["rv_systolic_after_mmhg"] / values["lv_systolic_after_mmhg"]
        if "saturation_after_percent" in values:
            at_once["saturation_percent"] = values["saturation_after_percent"]
        late = {}
        if "late_doppler_mmhg" in values:
            late["residual_gradient_mmhg"] = values["late_doppler_mmhg"]
        if "reintervention" in values:
            late["treated_again"] = values["reintervention"]
        return at_once, late

    def _places(self, inputs):
        """Where each input lies among the cut-offs, as a text by name: those it has passed, and whether it is on the next."""
        places = {}
        for name in inputs:
            value, known = inputs[name], self.places[name]
            if value not in known:
                known[value] = self._place(name, value)
            places[name] = known[value]
        return places

    def _place(self, name, value):
        if isinstance(value, str):
            return value
        passed = "known "  # what is not known has no text at all
        for edge in self.edges[name]:
            if abs(value - edge) <= HAIR * max(1.0, abs(edge)):
                return passed + "on"
            if value > edge:
                passed += ">"
        return passed

    def _answer(self, one, inputs, places, performed):
        table, when, names, answers = one
        if not performed and when == LATE:
            return "not_applicable"
        key = "|".join([places.get(name, "") for name in names])
        if key not in answers:
            answers[key] = answer_of(table, {name: inputs[name] for name in names if name in inputs})
        return answers[key] if performed or answers[key] == "not_applicable" else "abandoned"


def _ratio(values, moment):
    """Right ventricular over systemic pressure, or None."""
    rv, systemic = values.get("rv_systolic_" + moment + "_mmhg"), values.get("systemic_systolic_" + moment + "_mmhg")
    return None if rv is None or systemic is None else rv / systemic


def kind_of(place, answer):
    """good, other, unknown, abandoned or outside: what one answer of definition number `place` counts as."""
    return "good" if answer == DEFINITIONS[place][1] else NOT_GOOD.get(answer, "other")


NOT_GOOD = {"cannot_evaluate": "unknown", "not_applicable": "outside", "abandoned": "abandoned"}


def benchmark_of(data, series):
    """A published count as a benchmark: fraction of bad results, and counts where printed.

    Raises: UnknownName: a benchmark is never left out in silence.
    Returns a dict: `fraction`; `bad` and `cases` or None; and the entry's own words.
    """
    for part in ("series", "statistics"):
        if series in (data.get(part) or {}):
            entry = data[part][series]
            break
    else:
        raise UnknownName("There is no published count called " + series + ".")
    good = series in COUNTS_GOOD
    made = {"series": series, "bad": None, "cases": None}
    for word in ("population", "era", "follow_up", "definition", "source", "seen"):
        made[word] = entry[word]
    if entry["kind"] == "proportion":
        made["cases"] = entry["cases"]
        made["bad"] = entry["cases"] - entry["events"] if good else entry["events"]
        made["fraction"] = made["bad"] / entry["cases"]
    else:
        made["fraction"] = (100 - entry["value"]) / 100 if good else entry["value"] / 100
    return made

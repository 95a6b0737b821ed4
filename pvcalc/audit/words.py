"""An audit result in words: sections of lines, tables and pictures, the same on the page and in the report."""

from pvcalc.audit.caveats import percent, where_words, words_of
from pvcalc.audit.counts import stratum_words
from pvcalc.audit.definitions import AT_ONCE, DEFINITION_WORDS, QUANTITIES
from pvcalc.audit.rows import date_text
from pvcalc.core.formula import seen_words
from pvcalc.core.units import DAYS_A_YEAR, show, show_input, show_named

FUNNEL_FROM_CASES = 30
MOST_YEARS, MOST_CASES_A_YEAR = 60, 5000  # of the funnel's picture
MEDIANS = {"balloon_annulus_ratio": "Balloon over annulus", "contrast_ml_per_kg": "Contrast", "kap_per_kg_ugy_m2": "Area product"}
BY_STRATUM = ("abandoned", "died", "serious", "leak")


def section(section_id, title, lines=(), tables=(), pictures=()):
    """One section; pictures are requests of `draw.picture`."""
    return {"id": section_id, "title": title, "lines": list(lines), "tables": list(tables), "pictures": list(pictures)}


def table(title, heads, rows):
    """One table of texts."""
    return {"title": title, "heads": heads, "rows": rows}


def _between(limits):
    return percent(limits[0]) + " to " + percent(limits[1])


def _rate(one):
    return percent(one["rate"]) if "rate" in one else "nothing known"


def _limits(one, method):
    return _between(one[method]) if method in one else ""


def _file(result):
    lines = [show(result["cases"], 0) + " attempts, " + date_text(result["first_day"]) + " to " + date_text(result["last_day"])
             + ", the abandoned among them."]
    if result["left_out"]:
        lines.append("Not complete: " + show(result["left_out"], 0) + " rows at fault were left out; the rest may look better or worse for it.")
    lines.append("Results at once by " + QUANTITIES[result["options"]["quantity"]]
                 + " gradient, late results by peak Doppler gradient at the last visit; the two are never mixed.")
    lines.append("Intervals cover " + percent(result["confidence"]) + ", two-sided unless said. A blank cell is not known: it is counted as that and nowhere else.")
    if result["absent"]:
        lines.append("Columns not in the file, so not known: " + ", ".join(result["absent"]) + ".")
    return section("file", "The file", lines)


def _strata(result):
    by_key = {one["measure"] + "|" + one["stratum"]: one for one in result["rates"]}
    rows = []
    for one in result["strata"]:
        cells = [stratum_words(one["stratum"]), show(one["attempts"], 0), show(one["performed"], 0), show(one["abandoned"], 0)]
        for measure in ("died", "serious"):
            found = by_key[measure + "|" + one["stratum"]]
            cells.append(show(found["events"], 0) + " of " + show(found["known"], 0))
        rows.append(cells)
    return section("strata", "Who was treated", [], [table("", ["Group", "Attempts", "Performed", "Abandoned", "Died (of known)",
                                                                "Level 3 to 5 (of known)"], rows)])


def _definitions(result):
    rows, answers, by_stratum, strata = [], [], {}, []
    for one in result["definitions"]:
        counts = "good " + show(one["good"], 0) + ", not good " + show(one["other"], 0)
        if not one["stratum"]:
            rest = [(word, one[key]) for word, key in (("abandoned", "abandoned"), ("not known", "unknown"), ("outside it", "outside"))]
            counts += "".join([", " + word + " " + show(count, 0) for word, count in rest if count])
            about = "at once, " + QUANTITIES[result["options"]["quantity"]] if one["when"] == AT_ONCE else "late, peak Doppler"
            done = one["performed_rate"]
            rows.append([one["title"] + " (" + one["document"] + ")", about, counts, _rate(done), _limits(done, "exact"), _limits(done, "wilson"),
                         _rate(one["attempt_rate"]) + (", " + _limits(one["attempt_rate"], "exact") if "rate" in one["attempt_rate"] else "")
                         if "attempt_rate" in one else "not asked of a late result"])
            answers.append(one["title"] + ". Answers: " + "; ".join([word.replace("_", " ") + ": " + show(count, 0) for word, count in one["answers"]]) + ".")
        elif one["stratum"] not in strata:
            strata.append(one["stratum"])
        by_stratum[one["name"] + "|" + one["stratum"]] = show(one["good"], 0) + "/" + show(one["good"] + one["other"], 0)
    wide = []
    names = [(one["name"], one["title"]) for one in result["definitions"] if not one["stratum"]]
    for name, title in names:
        wide.append([title] + [by_stratum.get(name + "|" + stratum, "0/0") for stratum in strata])
    lines = ["One list, counted by each published definition. A rate without its definition means nothing.",
             "Partial successes, and results the document has no name for, count as not good."] + answers
    return section("definitions", "Success by each published definition", lines, [
        table("Share that is good", ["Definition", "Result", "Counts", "Of those performed and known", "Exact interval", "Wilson interval",
                                     "Of all attempts known, exact"], rows),
        table("Good of known, by group", ["Definition"] + [stratum_words(stratum) for stratum in strata], wide)])


def _rate_row(name, one):
    upper = "none; one-sided up to " + percent(one["upper"]) if "upper" in one else ""
    return [name, show(one["events"], 0) + " of " + show(one["known"], 0), show(one["unknown"], 0), _rate(one), _limits(one, "exact"),
            _limits(one, "wilson"), upper]


def _rates(result):
    heads = ["Event", "Count of known", "Not known", "Rate", "Exact interval", "Wilson interval", "Without an event"]
    whole = [_rate_row(words_of(one["measure"]), one) for one in result["rates"] if not one["stratum"]]
    parts = [_rate_row(where_words(one["measure"], one["stratum"]), one) for one in result["rates"]
             if one["stratum"] and one["measure"] in BY_STRATUM]
    return section("rates", "Complications and deaths", ["Levels 1 to 5 as the registries grade them; deaths within 30 days of whatever cause."],
                   [table("All attempts", heads, whole), table("By group", heads, parts)])


def _chance(tail):
    return "less than 0.0001" if tail < 0.0001 else show(tail, 4 if tail < 0.01 else 3)


def _benchmarks(result):
    rows = []
    for one in result["benchmarks"]:
        benchmark = one["benchmark"]
        printed = percent(benchmark["fraction"])
        if benchmark["cases"]:
            printed = show(benchmark["bad"], 0) + " of " + show(benchmark["cases"], 0) + ", " + printed + " (" + _between(one["benchmark_exact"]) + ")"
        limits = alarm = ""
        if "inner" in one:
            limits = show(one["inner"][0], 1) + " to " + show(one["inner"][1], 1) + "; " + show(one["outer"][0], 1) + " to " + show(one["outer"][1], 1)
            alarm = " and ".join([show(one[name], 0) if one[name] <= one["known"] else "none" for name in ("alert", "alarm")])
        tail = _chance(one["tail"]) if "tail" in one else "nothing known"
        rows.append([where_words(one["measure"], one["stratum"]), show(one["events"], 0) + " of " + show(one["known"], 0), printed, tail, limits, alarm,
                     benchmark["definition"] + "; " + benchmark["population"] + "; " + benchmark["era"] + "; " + benchmark["source"]
                     + " (" + seen_words(benchmark["seen"]) + ")"])
    pictures, lines = [], [
        "Every line counts what is not good: events, or results that are not good by the definition, abandoned attempts among them; published rates are mostly of those performed.",
        "The chance is one-sided: as many or more, if the true rate were the benchmark. A small one says that chance seldom does this; a large one does not say that the unit is at the benchmark.",
        "Limits in events: " + percent(result["confidence"]) + " and " + percent(result["outer_confidence"]) + ", exact, interpolated. Alert and alarm: counts reached by chance in no more than 1 in 40 and 1 in 1000."]
    for measure, years in result["years"]:
        found = [one for one in result["benchmarks"] if one["measure"] == measure and not one["stratum"]]
        if found and years:
            told, drawing = _funnel(result, found[0], years)
            lines.append(told)
            pictures += drawing
    return section("benchmarks", "Against published results", lines, [table("", [
        "What, in whom", "Unit", "Published", "Chance of as many or more", "Limits in events", "Alert and alarm at", "Its definition, patients, era, source"], rows)],
        pictures)


def _funnel(result, one, years):
    """(line, pictures) of the funnel by calendar year."""
    if one["known"] < FUNNEL_FROM_CASES:
        return "No funnel: fewer than " + str(FUNNEL_FROM_CASES) + " known cases.", []
    if len(years) > MOST_YEARS or max([known for _, _, known in years]) > MOST_CASES_A_YEAR:
        return "No funnel by year: more than " + str(MOST_YEARS) + " years, or more than " + show(MOST_CASES_A_YEAR, 0) + " cases in one.", []
    names = ", ".join([str(place + 1) + " is " + str(year) for place, (year, _, _) in enumerate(years)])
    given = {"benchmark_fraction": one["benchmark"]["fraction"], "inner_confidence": result["confidence"], "outer_confidence": result["outer_confidence"],
             "unit_events": [bad for _, bad, _ in years], "unit_cases": [known for _, _, known in years], "event_words": "Events of level 3 to 5"}
    return "Funnel by calendar year: " + names + ".", [{"name": "funnel_chart", "given": given}]


def _charts(result):
    lines, rows, pictures = [], [], []
    if not result["charts"]:
        lines.append("No chart was asked for. A chart needs its definition, an acceptable and an unacceptable rate chosen before the list is opened; none stands in by itself.")
    for one in result["charts"]:
        name = words_of(one["measure"])
        if one["measure"] in DEFINITION_WORDS:
            name += ", abandoned attempts among them"
        lines.append(name + ": acceptable " + percent(one["acceptable_fraction"])
                     + ", unacceptable " + percent(one["unacceptable_fraction"]) + "; " + show(one["left_out"], 0)
                     + " attempts not known or outside the definition are not in the chart.")
        rows.append([name, show(one["step"], 4), show(one["lower_limit"], 3) + " and " + show(one["upper_limit"], 3),
                     show_input(one["alpha"]) + " and " + show_input(one["beta"]), show(one["clean_cases"], 0),
                     show(one["clean_cases_after_failure"], 1), show(one["failures_in_row_count"], 0),
                     one["verdict"] + " after " + show(one["decided_after_cases"], 0) + " cases"])
        if one["outcomes"]:
            given = {key: one[key] for key in ("outcomes", "acceptable_fraction", "unacceptable_fraction", "alpha", "beta")}
            pictures.append({"name": "cusum_chart", "given": given})
    tables = [table("Design and verdict", ["Chart", "Step", "Lines", "Alpha and beta", "Clean cases to the lower line", "Clean cases after one failure",
                                           "Failures in a row to signal", "First line passed"], rows)] if rows else []
    return section("charts", "Case by case", lines, tables, pictures)


def _follow_up(result):
    found = result["follow_up"]
    lines = [show(found["followed"], 0) + " performed attempts followed, " + show(found["not_followed"], 0) + " without follow-up; "
             + show(found["events"], 0) + " treated again" + (": " + result["reasons"] if result["reasons"] else "") + "."]
    if not found["followed"]:
        return section("follow_up", "Time to a reintervention", lines)
    if not found["events"]:
        lines.append("Nobody was treated again: there is no curve. One-sided up to " + percent(found["upper"]) + " remains open for the time they were followed.")
    lines.append("A death ends the follow-up here, which makes reintervention look commoner than it is.")
    rows = []
    for one in found["at_years"]:
        published = show_named(one["published"], "percent", 0) + " published" if "published" in one else ""
        free = percent(one["survival"]) if "survival" in one else ""
        rows.append([show(one["years"], 0), show(one["at_risk"], 0), free, show(one["error"], 4) if "error" in one else "",
                     _between([one["low"], one["high"]]) if "low" in one else "", published])
    pictures = []
    if found["events"] and max(found["days"]) > 0:
        given = {"times_years": [day / DAYS_A_YEAR for day in found["days"]], "events": found["again"], "confidence": result["confidence"],
                 "event_words": "a reintervention"}
        pictures.append({"name": "event_free_chart", "given": given})
    return section("follow_up", "Time to a reintervention", lines, [table("", [
        "Years", "At risk", "Free of reintervention", "Greenwood's error", "Interval", "Published, 1 day to 20 years of age, to 1994"], rows)] if rows else [], pictures)


def _medians(result):
    rows = [[MEDIANS[name], show(known, 0), show_named(low, name), show_named(middle, name), show_named(high, name)]
            for name, known, low, middle, high in result["medians"]]
    return section("medians", "Your own medians", [] if rows else ["Ratio, contrast and dose are not in the file."],
                   [table("", ["What", "Known", "Lowest", "Median", "Highest"], rows)] if rows else [])


def _cannot_show(result):
    return section("cannot_show", "What these numbers cannot show", result["cannot_show"])


SECTIONS = (_file, _strata, _definitions, _rates, _benchmarks, _charts, _follow_up, _medians, _cannot_show)


def sections(result):
    """All sections of one audit result, in order."""
    return [make(result) for make in SECTIONS]

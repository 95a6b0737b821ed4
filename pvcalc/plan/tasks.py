"""Checklist with its stop rules, the pull-back table to fill, residual bands, and the family's own sheet."""

from pvcalc.core.units import show, show_input
from pvcalc.decision.words import answer_words, row_words
from pvcalc.plan.settings import setting, setting_text
from pvcalc.statistics.proportion import exact_interval

# A line, which may hold {setting}, and for whom it is. "stop" in front marks a stop rule.
BEFORE = [
    ("Echo not older than {echo_age_days}; a newborn on the same day", "all"),
    ("Blood sample not older than {blood_sample_age_days}; one day when unstable", "all"),
    ("Annulus: frame, view and calibration said aloud; balloon, next size and high-pressure balloon on the table with their labels read", "all"),
    ("Surgeon, ECMO and blood: who comes, how long, which number", "all"),
    ("Allergy: contrast, latex, heparin, protamine", "all"),
    ("Fasting: clear fluid {fasting_clear_hours}, breast milk {fasting_breast_milk_hours}, formula {fasting_formula_hours}; a thick ventricle needs its volume", "all"),
    ("Blood ready: {crossmatch_ml_kg}", "high"),
    ("Arterial line", "high"),
    ("Predilate with a small coronary balloon, then the one that counts; both on the table", "newborn"),
    ("Endocarditis: no antibiotic for an isolated stenosis without cyanosis; a cyanosed newborn by the department's list", "newborn"),
    ("Contrast allergy: premedication by the sheet (prednisone, antihistamine) before a case that can wait, another agent, adrenaline drawn up", "contrast_allergy"),
    ("Latex allergy: latex-free room, no balloon-tip catheter with latex", "latex_allergy"),
    ("Anticoagulant: INR not above {anticoagulant_venous_ratio} for veins and {anticoagulant_arterial_ratio} for arteries; a direct one stopped {anticoagulant_direct_hours} before", "anticoagulant"),
    ("Pregnancy test (urine or serum) on the day", "pregnancy_open"),
    ("Prostaglandin runs; airway and apnoea plan before transport; haemoglobin at least {haemoglobin_cyanosed_newborn_g_dl} if cyanosed", "newborn"),
    ("Noonan or other syndrome asked for: bleeding tests, left ventricular hypertrophy", "dysplastic"),
    ("Air filters on every line: the atrial flow goes right to left", "right_to_left"),
    ("Pregnancy excluded where it applies; coronary disease, rhythm, calcified valve looked for", "adult"),
    ("stop: potassium below {potassium_low_mmol_l} or above {potassium_high_mmol_l} in a case that can wait", "all"),
    ("stop: haemoglobin below {haemoglobin_low_g_dl} in a case that can wait", "all"),
    ("stop: no balloon on the shelf within the accepted ratio", "all"),
    ("stop: RV-dependent coronaries not excluded where the valve is closed by a membrane; that is outside this plan", "newborn"),
]
DURING = [
    ("Say the measuring state beside every gradient: oxygen, carbon dioxide, haemoglobin, heart rate, sedation; the same before and after", "all"),
    ("Pull back in two steps before the balloon; write both", "all"),
    ("On the board before the balloon: systemic, right ventricle, lung artery, right atrial mean, right ventricular end-diastolic, rate, saturation", "all"),
    ("Right ventricular pressure after the balloon from: second venous catheter, long side-arm sheath, or none: then tricuspid jet and atrium; "
     "never give up the wire for a number", "all"),
    ("Inflation and deflation together at most {inflation_cycle_s}; wait at least {recovery_between_minutes} between inflations; at most {inflations_most_count} with one balloon", "all"),
    ("Pressure from nominal to rated burst of the balloon in the hand, never above rated burst", "all"),
    ("Duct and prostaglandin stay as they are until forward flow is shown", "newborn"),
    ("stop: pressure not back {pressure_back_s} after deflation: act by the drill", "all"),
    ("stop: {crossings_stop_count} failed crossings: change the plan", "all"),
    ("stop: {procedure_stop_minutes} on the table: someone outside the case is asked", "all"),
    ("stop: any tear: no more balloon, surgeon called at once; new regurgitation of moderate grade or more: no more balloon, surgeon called before leaving", "all"),
    ("stop: step below the valve: no larger balloon, no inotrope FOR IT; failing ventricle, allergy, arrest: yes", "all"),
]
AFTER = [
    ("Wait {settling_minutes}, pull back again in two steps in the same state", "all"),
    ("Done below {residual_stop_below_mmhg} across the valve; from {residual_up_from_mmhg} check the annulus, once up", "child_adult"),
    ("Step below the valve: small below {infundibular_small_below_mmhg}, large from {infundibular_large_from_mmhg}; never a larger balloon for it; fill, no inotrope, then the table for the muscle", "all"),
    ("Good enough: forward flow, right ventricle below systemic, saturation steady; {newborn_saturation_low_percent} to {newborn_saturation_high_percent} may be accepted while the ventricle recovers", "newborn"),
    ("Prostaglandin: trial off (wean) while saturation and forward flow are watched", "newborn"),
    ("Lasting saturation below {newborn_shunt_question_percent}: shunt or duct stent is discussed; look for a circular shunt first", "newborn"),
    ("Monitor {monitor_hours}; {monitor_high_care_hours} for a newborn, a suprasystemic ventricle or a beta-blocked patient", "all"),
    ("Flat {flat_vein_hours} after a vein, {flat_artery_hours} after an artery", "all"),
    ("No lifting or sport for {groin_rest_days}; competitive sport not before {sport_return_days} and after the echo", "all"),
    ("Letter: annulus with frame, balloon, ratio, both gradients with kind and sedation, regurgitation, drugs, red flags, next echo", "all"),
]


def checklist(data, patient, derived):
    """Before, during and after, each a list of {text, stop}."""
    ratio = derived.get("rv_systemic_ratio")
    groups = ["all", "newborn" if patient["newborn"] == "yes" else "child_adult"]
    if patient["age_years"] >= 18:
        groups.append("adult")
    groups += [name for name in ("contrast_allergy", "latex_allergy", "anticoagulant") if patient.get(name) == "yes"]
    if patient.get("sex") == "female" and patient.get("pregnant") is None and patient["age_years"] >= 11:
        groups.append("pregnancy_open")
    if patient.get("valve") == "dysplastic":
        groups.append("dysplastic")
    if patient.get("atrial_gap") == "right_to_left":
        groups.append("right_to_left")
    if patient["newborn"] == "yes" or (ratio is not None and ratio >= setting(data, "arterial_line_from_ratio")):
        groups.append("high")
    return {part: [item(data, text) for text, who in lines if who in groups]
            for part, lines in (("before", BEFORE), ("during", DURING), ("after", AFTER))}


def item(data, text):
    """One line with its settings filled in."""
    stop = text.startswith("stop: ")
    parts = (text[6:] if stop else text).split("{")
    words = parts[0]
    for part in parts[1:]:
        key, _, rest = part.partition("}")
        words += setting_text(data, key) + rest
    return {"text": words[0].upper() + words[1:] + ".", "stop": stop}


def pull_back(patient):
    """The table to fill at the table: blank but for what was given."""
    given = {"Pulmonary artery": [patient.get("pa_systolic_mmhg"), patient.get("pa_diastolic_mmhg")],
             "Right ventricle, body": [patient.get("rv_systolic_mmhg"), None], "Systemic": [patient.get("systemic_systolic_mmhg"), None]}
    rows = []
    for place in ("Pulmonary artery", "Infundibulum, just below the valve", "Right ventricle, body", "Systemic",
                  "Step at the valve", "Step below the valve", "State: oxygen, sedation, rate"):
        values = [value for value in given.get(place, []) if value is not None]
        rows.append([place, " / ".join([show_input(value) for value in values]), "", ""])
    return {"heads": ["Systolic / diastolic, mmHg", "Before", "At once after", "After settling"], "rows": rows}


def bands(data, patient):
    """What to do with a residual gradient and with a step below the valve: rows of the tables in words."""
    names = ["residual_newborn" if patient["newborn"] == "yes" else "residual_action", "infundibular_action"]
    found = []
    for name in names:
        table = data["tables"][name]
        rows = [["; and ".join(row_words(table, row)), answer_words(row["then"]["answer"]), row["then"].get("advice") or ""]
                for row in table["rows"]]
        found.append({"table": name, "title": table["title"], "document": table["document"], "rows": rows,
                      "assumes": list(table.get("assumes") or [])})
    return found


# Series told to a family, by stratum; event and circumstance as the family reads them.
FAMILY = {
    "newborn": [("gournay_deaths", "died of the treatment"), ("critical_reintervention", "needed another treatment")],
    "child": [("registry_deaths", "died of the treatment"), ("eight_sites_deaths", "died of the treatment"),
              ("children228_reintervention", "were treated again"),
              ("children228_moderate_regurgitation", "had a valve that leaked at least moderately")],
    "dysplastic": [("registry_deaths", "died of the treatment"), ("eight_sites_deaths", "died of the treatment"),
                   ("noonan_reintervention", "were treated again"), ("noonan_second", "were treated again")],
    "adult": [("adult_deaths", "died, early or late"), ("adult_second_balloon", "had a second balloon"),
              ("adult_new_regurgitation", "had a valve that newly leaked")],
}
UNKNOWN = [
    "How large the risk is in this hospital, unless it has counted its own patients.",
    "What happens after the years that were followed in these groups.",
    "How one person will do: a group's count is not a forecast.",
]
STRATUM_WORDS = {"newborn": "newborns with a critical narrowing", "child": "children, and a registry of all ages",
                 "dysplastic": "a thick, stiff valve", "adult": "adolescents and adults"}


def stratum_of(patient):
    """Which published group is nearest; a child whose valve is not described counts as one of the children."""
    if patient["newborn"] == "yes":
        return "newborn"
    if patient["age_years"] >= 18:
        return "adult"
    return "dysplastic" if patient.get("valve") == "dysplastic" else "child"


# The department's own counts: field, words, what was counted.
OWN = [("own_deaths", "died within 30 days"), ("own_again", "were treated again"), ("own_leak", "had a valve that leaked at least moderately at discharge")]


def own_counts(patient, confidence):
    """The department's own counts that were typed or read from its audit, as the published ones are held."""
    counts = []
    for name, words in OWN:
        events, cases = patient.get(name + "_count"), patient.get(name + "_cases")
        if events is None or cases is None:
            continue
        limits = {key: value for key, value in exact_interval(events=int(events), cases=int(cases), confidence=confidence)}
        counts.append({"series": "", "words": words, "events": int(events), "cases": int(cases), "low": limits["low"], "high": limits["high"],
                       "confidence": confidence, "population": "this hospital", "era": "its own list", "definition": words, "follow_up": "own audit",
                       "source": "", "provenance": "derived", "text": "here: " + show(events, 0) + " of " + show(cases, 0) + " " + words})
    return counts


def family(data, patient):
    """Counts for the family's sheet: events, cases, interval, population, era, source, and what is not known."""
    stratum = stratum_of(patient)
    confidence = setting(data, "interval_confidence")
    counts = own_counts(patient, confidence)
    own = len(counts)
    for key, words in FAMILY[stratum]:
        entry = (data.get("series") or {}).get(key)
        if not entry or entry.get("kind") != "proportion" or entry.get("events") is None:
            continue
        pairs = exact_interval(events=entry["events"], cases=entry["cases"], confidence=confidence)
        limits = {name: value for name, value in pairs}
        counts.append({"series": key, "words": words, "events": entry["events"], "cases": entry["cases"], "low": limits["low"],
                       "high": limits["high"], "confidence": confidence, "population": entry["population"], "era": entry["era"],
                       "definition": entry["definition"], "follow_up": entry["follow_up"], "source": entry["source"],
                       "provenance": entry["seen"],
                       "text": show(entry["events"], 0) + " of " + show(entry["cases"], 0) + " " + words})
    unknown = list(UNKNOWN[1:] if own else UNKNOWN)
    if stratum == "dysplastic":
        unknown.insert(0, "How often the balloon is enough in a thick valve: published groups and definitions differ.")
    if len(counts) == own:
        unknown.insert(0, "No counts are carried for this group.")
    # One denominator for the whole sheet: a rare event needs a thousand persons to be seen at all.
    rare = [one for one in counts if one["events"] < 0.01 * one["cases"]]
    return {"stratum": stratum, "stratum_words": STRATUM_WORDS[stratum], "counts": counts, "unknown": unknown,
            "out_of": 1000 if rare else 100}

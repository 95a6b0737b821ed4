"""The dose sheet of one weight: each drug a row, the same on the page, in the plan, in a drill, in the preparation and on paper.

The rows come from `doses` of the handbook's data (kb/_data/doses.yml), their numbers from the settings.
A recalled number is computed with and printed, and its row says "recalled: sign first" beside it: never silently
missing, and never without that mark.
"""

from pvcalc.plan.dose_amounts import (
    DOSE_UNITS, NO_BREAK, amount_text, dose_of, held, label_text, making_text, nearest_step, per_text, rate_ml_h, spoken_text, strength_of, strength_text,
    suffix_of, syringe_text, tenths_text, volume_text)
from pvcalc.core.errors import Refusal
from pvcalc.formulas.doses import PROTAMINE_LATER_MG, PROTAMINE_STEPS_MG, protamine_mg
from pvcalc.plan.settings import setting_text, weakest_seen
from pvcalc.plan.inputs import read_patient
from pvcalc.core.units import DAYS_A_MONTH, show, show_input, total

# Group, title, printed sheet; in reading order.
GROUPS = [
    ("pulse_lost", "Pulse lost", "1"), ("outflow", "Outflow shutting, seen on echo", "1"), ("duct", "Duct", "1"), ("allergy", "Allergy, slow pulse", "1"),
    ("clotting", "Heparin and protamine", "1"),
    ("outflow_more", "Outflow, next", "2"), ("failing", "Failing ventricle, lungs", "2"), ("clotting_more", "Heparin, bleeding", "2"),
    ("rhythm", "Rhythm", "3"), ("allergy_more", "Allergy, next", "3"), ("groin_more", "Local anaesthetic", "4"), ("antidotes", "Antidotes, salts", "4"),
]
RECALLED = "recalled: sign first"
DOSE_PARTS = ("dose", "high", "then", "most", "total", "total_most", "ceiling")
STRENGTH_PARTS = ("strength", "recipe", "from")
PARTS = {"dose": "", "high": "the larger step", "then": "the next dose", "most": "the most", "total": "the sum", "total_most": "the sum",
         "ceiling": "the ceiling", "strength": "the strength", "recipe": "the strength", "from": "the ampoule",
         "heparin": "the most of the heparin"}
RULE_WORDS = {"child": "child", "adult": "adult"}


def value_of(data, key):
    """A setting's number; a recalled one too: the row that shows it carries the mark."""
    return data["settings"][key]


def group_of(data, patient):
    """preterm, newborn, infant, child or adult, by age; preterm only in the first weeks of one who was born so."""
    days = patient["age_days"]
    if patient.get("preterm") == "yes" and days < value_of(data, "dose_preterm_below_days"):
        return "preterm"
    if days < value_of(data, "newborn_below_days"):
        return "newborn"
    if patient["age_years"] < 1:
        return "infant"
    return "child" if patient["age_years"] < value_of(data, "dose_adult_from_years") else "adult"


def arrest_rules(data, patient):
    """Whose doses count in arrest: ["child"], ["adult"], or both when the looks were not stated, the likelier first.

    Under 8 years a child; 8 to 17 by "looks adult"; blank: from 50 kg adult, below child, both printed; from 18 adult.
    """
    years, looks = patient["age_years"], patient.get("looks_adult")
    if years >= value_of(data, "dose_adult_from_years"):
        return ["adult"]
    if years < value_of(data, "arrest_child_below_years"):
        return ["child"]
    if looks in ("yes", "no"):
        return ["adult" if looks == "yes" else "child"]
    heavy = (patient.get("weight_kg") or 0) >= value_of(data, "arrest_adult_from_kg")
    return ["adult", "child"] if heavy else ["child", "adult"]


def rule_word(data, patient):
    """child, adult or both: which arrest doses the sheet prints."""
    rules = arrest_rules(data, patient)
    return rules[0] if len(rules) == 1 else "both"


def below(data, key, patient):
    """Whether weight or age stays under a setting."""
    unit, limit = suffix_of(key), value_of(data, key)
    if unit == "kg" and patient["weight_kg"] is None:
        return False  # an adult whose weight nobody knows is no small patient
    own = {"kg": patient["weight_kg"], "years": patient["age_years"], "months": patient["age_days"] / DAYS_A_MONTH,
           "days": patient["age_days"]}[unit]
    return own < limit


def fits(data, choice, who, patient):
    """Whether a choice of a row or a strength is for this patient."""
    if choice.get("who") and who not in choice["who"]:
        return False
    return not choice.get("below") or below(data, choice["below"], patient)


def first_fit(data, choices, who, patient):
    """The first choice that fits, or None."""
    for choice in choices:
        if fits(data, choice, who, patient):
            return choice
    return None


def needed(record, patient):
    """Whether a row that depends on duct or atrial gap is for this patient; what was not stated leaves both."""
    gap, duct = patient.get("atrial_gap"), patient.get("duct")
    return {"": True, "gap": gap != "none", "gap_shut": gap == "none", "open_duct": duct != "closed",
            "closing_duct": duct != "stented"}[record.get("needs") or ""]


def sheet(data, patient):
    """Every row for one patient, in the order of the sheet.

    Args:
        data: the handbook's data: `settings`, `notes`, `doses`.
        patient: `weight_kg`, `age_years`, `age_days`; and if known `preterm`, `looks_adult`, `duct`, `atrial_gap`, `heparin`.
    Returns a list of rows, see `row_of`. While the weight is blank or in question only what is fixed in an adult stands,
    and nothing for a child.
    """
    blank = patient.get("weight_kg") is None or patient.get("questions")
    if blank and group_of(data, patient) != "adult":
        return []
    known, rows = dict(patient), []
    if blank:
        known["weight_kg"] = None
    for group, title, number in GROUPS:
        for record in data["doses"]:
            if record["group"] == group and needed(record, known) and (not blank or is_fixed(record)):
                for row in rows_of(data, record, known):
                    row["group_title"], row["sheet"] = title, number
                    row["state"] = state_of(record)
                    rows.append(told(data, row, known))
    return rows


def state_of(record):
    """READY: drawn up and labelled before the case, the first sheet; PLANNED: made when it is ordered."""
    sheets = [number for group, _, number in GROUPS if group == record["group"]]
    return record.get("state") or ("READY" if sheets == ["1"] else "PLANNED")


def is_fixed(record):
    """Whether an adult's dose of a row hangs on no weight at all."""
    choice = [one for one in record["choices"] if "adult" in (one.get("who") or [])]
    keys = [choice[0][part] for part in DOSE_PARTS if choice[0].get(part)] if choice else []
    return bool(keys) and not [key for key in keys if DOSE_UNITS[suffix_of(key)][1]]


def named_rows(data, patient, names):
    """Rows of the sheet by the names of their records, in that order."""
    rows = sheet(data, patient)
    return [row for name in names for row in rows if row["id"] == name]


def rows_of(data, record, patient):
    """The row of one record; two when child and adult rules of arrest are both printed; none for whom no choice fits."""
    if record.get("rule") == "arrest":
        rules = arrest_rules(data, patient)
        made = [row_of(data, record, rule, patient, len(rules) > 1) for rule in rules]
    else:
        made = [row_of(data, record, group_of(data, patient), patient, False)]
    return [row for row in made if row]


def row_of(data, record, who, patient, both):
    """One row.

    Returns None when no choice fits, or a dict: `id`, `label`, `when`, `group`, `state` (PLANNED, GIVEN, READY), `give` (what the
    hand draws up or sets), `strength`, `make` (how that strength is made), `dose`, `most`, `text` (give, strength, dose and
    most as one sentence: the one string of every page), `steps`, `beware`, `mark` (recalled), `provenance`, `value` (mL, mL/h or J), `amount`.
    """
    choice = first_fit(data, record["choices"], who, patient)
    if choice is None:
        return None
    label = record["label"] + (", " + RULE_WORDS[who] + " rule" if both else "")
    row = {"id": record["id"], "label": label, "when": worded(data, record["when"]), "group": record["group"], "drills": record["drills"],
           "state": "", "unit": record["unit"], "rule": who if record.get("rule") else "",
           "beware": worded(data, " ".join([text for text in (choice.get("beware"), record["beware"]) if text])), "make": "", "strength": "",
           "dose": "", "most": "", "steps": "", "value": None, "amount": None, "keys": []}
    KINDS[record["kind"]](data, record, choice, who, patient, row)
    row["most"] = "; ".join([text for text in row["most"] if text]) if isinstance(row["most"], list) else row["most"]
    row["mark"] = mark_of(data, row["keys"])
    row["provenance"] = weakest_seen(data, [key for _, key in row["keys"]])
    row["text"] = row_text(row)
    return row


def worded(data, text):
    """A text in which [=setting] stands for a setting in words, and [#setting] for its number alone."""
    while "[#" in text:
        before, _, rest = text.partition("[#")
        key, _, after = rest.partition("]")
        text = before + show_input(value_of(data, key)) + after
    while "[=" in text:
        before, _, rest = text.partition("[=")
        key, _, after = rest.partition("]")
        text = before + setting_text(data, key) + after
    return text


def mark_of(data, keys):
    """"recalled: sign first", with what of the row is recalled when it is not the dose; or ""."""
    parts = []
    for part, key in keys:
        if (data["notes"].get(key) or {}).get("seen") == "memory" and PARTS[part] not in parts:
            parts.append(PARTS[part])
    if not parts:
        return ""
    return RECALLED if "" in parts else RECALLED + " (" + ", ".join(parts) + ")"


def row_text(row):
    """Give, strength, dose, most: `1.2 mL of 0.1 mg/mL = 0.12 mg; most 1 mg`; a shock `102 J: set 100 J; most 200 J`."""
    if row["unit"] == "j":
        text = row["dose"] + ": " + row["give"]
    else:
        text = row["give"] + (" of " + row["strength"] if row["strength"] else "") + (" = " + row["dose"] if row["dose"] else "")
    return text + ("; " + row["most"] if row["most"] else "")


# Heparin that was given: no row may plan it a second time, and protamine goes by what was given.
HEPARIN = ("heparin", "heparin_shut", "heparin_top_up", "protamine")
NO_HEPARIN = "none: heparin thrombocytopenia; not in the flush either; bivalirudin or argatroban by the haematologist"


def told(data, row, patient):
    """A row with what was said of the patient: heparin that was given or is forbidden, prostaglandin that runs."""
    running = patient.get("prostaglandin_nanograms_kg_min")
    if row["id"] == "alprostadil_open" and patient.get("prostaglandin") == "running" and running is not None:
        row["state"], row["most"] = "GIVEN", "runs at " + show_input(running) + NO_BREAK + "nanograms/kg/min; " + row["most"]
        row["text"] = row_text(row)
    if row["id"] not in HEPARIN:
        return row
    if patient.get("heparin"):
        return given_row(data, row, patient)
    if patient.get("heparin_thrombocytopenia") == "yes":
        row["value"] = row["amount"] = None
        row["give"], row["strength"], row["dose"], row["most"], row["make"], row["steps"], row["mark"] = NO_HEPARIN, "", "", "", "", "", ""
        row["text"] = row_text(row)
    return row


def given_row(data, row, patient):
    """A row of heparin or protamine once heparin was given."""
    boluses = patient["heparin"]
    whole = total([bolus["units"] for bolus in boluses])
    if row["id"] == "protamine":
        protamine_given(data, row, boluses)
    elif row["id"] == "heparin_top_up":
        left = max(0, row["sum"] - whole)
        row["most"] += "; left " + amount_text(left, "units")
        row["amount"] = held(row["amount"], left)
        row["value"] = row["amount"] / row["one_ml"]
        row["give"] = volume_text(row["value"]) if row["amount"] else "none: the sum is reached"
        row["dose"] = amount_text(row["amount"], "units")
    else:
        row["state"], row["mark"], row["strength"], row["dose"], row["make"], row["steps"] = "GIVEN", "", "", "", "", ""
        row["provenance"] = ""
        row["amount"], row["value"] = whole, None
        row["give"] = "; ".join([amount_text(bolus["units"], "units") + " " + show_input(bolus["minutes_ago"]) + NO_BREAK + "min ago" for bolus in boluses])
        row["most"] = show(whole / patient["weight_kg"], 0) + NO_BREAK + "units/kg; no more without a clotting time"
    row["text"] = row_text(row)
    return row


def protamine_given(data, row, boluses):
    """Protamine against what was given: one bolus as a ladder by the minutes since, several each by its own age."""
    cap = value_of(data, "protamine_cap_mg")
    if len(boluses) == 1:
        protamine_ladder(row, boluses[0]["units"], cap)
        row["steps"] = "against the " + amount_text(boluses[0]["units"], "units") + " that were given"
        return
    mg = held(total([protamine_mg(heparin_units=bolus["units"], minutes_since=bolus["minutes_ago"], cap_mg=cap) for bolus in boluses]), cap)
    row["amount"], row["value"] = mg, mg / row["one_ml"]
    row["give"], row["dose"] = volume_text(row["value"]), tenths_text(mg)
    row["most"], row["steps"] = "most " + amount_text(cap, "mg"), "each bolus by its own minutes, the sum under the cap"


# The kinds of row. Each fills `row`.

def took(data, row, part, key):
    """A setting's number, noted as used in this part of the row."""
    row["keys"].append((part, key))
    return value_of(data, key)


def amount_of(data, row, part, key, unit, weight):
    """Amount of one setting for this weight: (amount, order in words)."""
    each, by_weight, time = dose_of(key, took(data, row, part, key), unit)
    return each * weight if by_weight else each, per_text(each, unit, by_weight, time)


def capped(data, row, choice, unit, amount, part="most"):
    """An amount under its cap: (amount, cap or None)."""
    if not choice.get(part):
        return amount, None
    most, _ = amount_of(data, row, part, choice[part], unit, 1)
    return held(amount, most), most


def sum_text(data, row, choice, unit, weight):
    """`in all 6 mg`, or ""."""
    if not choice.get("total"):
        return ""
    whole_sum, _ = amount_of(data, row, "total", choice["total"], unit, weight)
    whole_sum, _ = capped(data, row, choice, unit, whole_sum, "total_most")
    row["sum"] = whole_sum
    return "in all " + amount_text(whole_sum, unit)


def steps_text(order, weight, by_weight, unit, most):
    """`0.01 mg/kg × 12 kg = 0.12 mg`; where the cap applies the larger amount is not printed at all."""
    if "/kg" not in order:
        return order + ", whatever the weight"
    text = order + " × " + show_input(weight) + NO_BREAK + "kg"
    return text + ("; the most applies" if most is not None and by_weight > most else " = " + amount_text(by_weight, unit))


def chosen_strength(data, record, row, who, patient):
    """The strength of this patient: (amount in one mL, its entry)."""
    entry = first_fit(data, record["strengths"], who, patient)
    return strength_of(entry["strength"], took(data, row, "strength", entry["strength"]), record["unit"]), entry


def stock_of(data, row, entry, unit):
    """The ampoule a strength is made from: (amount in one mL, its label), or (None, "")."""
    if not entry.get("from"):
        return None, ""
    value = took(data, row, "from", entry["from"])
    return strength_of(entry["from"], value, unit), label_text(entry["from"], value)


def bolus(data, record, choice, who, patient, row, down=False):
    """A dose that is drawn up: millilitres first."""
    unit, weight = record["unit"], patient["weight_kg"]
    by_weight, order = amount_of(data, row, "dose", choice["dose"], unit, weight)
    amount, most = capped(data, row, choice, unit, by_weight)
    strength, entry = chosen_strength(data, record, row, who, patient)
    least = value_of(data, "drawn_least_ml")
    stock, stock_label = stock_of(data, row, entry, unit)
    if stock is not None:
        row["make"] = making_text(stock_label, stock, strength, None, least)
    row["strength"] = strength_shown(data, entry, strength, unit)
    if amount / strength < least - 1e-9:
        fold = value_of(data, "dilution_fold_count")
        row["make"] = ", then ".join([text for text in (row["make"], "dilute: " + making_text(row["strength"], fold, 1, None, least)) if text])
        strength = strength / fold
        row["strength"] = strength_text(strength, unit, suffix_of(entry["strength"]) == "mg_ml")
    row["amount"], row["value"], row["one_ml"] = amount, amount / strength, strength
    row["give"], row["dose"] = volume_text(row["value"], "mL", down), spoken_text(amount, unit, down)
    row["steps"] = steps_text(order, weight, by_weight, unit, most)
    row["most"] = [step_text(data, row, choice, unit, weight, strength, most), next_text(data, row, choice, unit, strength),
                   "most " + amount_text(most, unit) if most is not None else "", sum_text(data, row, choice, unit, weight)]


def strength_shown(data, entry, strength, unit):
    """A strength in words; per cent as the ampoule says it."""
    if suffix_of(entry["strength"]) == "percent":
        return label_text(entry["strength"], value_of(data, entry["strength"]))
    return strength_text(strength, unit, suffix_of(entry["strength"]) == "mg_ml")


def step_text(data, row, choice, unit, weight, strength, most):
    """`up to 60 micrograms = 0.6 mL`, or ""."""
    if not choice.get("high"):
        return ""
    high, _ = amount_of(data, row, "high", choice["high"], unit, weight)
    high = held(high, most)
    return "up to " + amount_text(high, unit) + " = " + volume_text(high / strength)


def next_text(data, row, choice, unit, strength):
    """`then 150 mg = 3 mL`, or ""."""
    if not choice.get("then"):
        return ""
    following, _ = amount_of(data, row, "then", choice["then"], unit, 1)
    return "then " + amount_text(following, unit) + " = " + volume_text(following / strength)


def ceiling(data, record, choice, who, patient, row):
    """The most of a drug that is injected by hand as needed: rounded down."""
    bolus(data, record, choice, who, patient, row, True)


def volume(data, record, choice, who, patient, row):
    """A fluid: millilitres are the dose."""
    unit, weight = record["unit"], patient["weight_kg"]
    by_weight, order = amount_of(data, row, "dose", choice["dose"], unit, weight)
    amount, most = capped(data, row, choice, unit, by_weight)
    row["amount"] = row["value"] = amount
    row["give"], row["strength"], row["dose"] = volume_text(amount), record["fluid"], order
    row["steps"] = steps_text(order, weight, by_weight, unit, most)
    row["most"] = ["most " + amount_text(most, unit) if most is not None else "", sum_text(data, row, choice, unit, weight)]


def shock(data, record, choice, who, patient, row):
    """An energy, and the nearest step of the device that does not pass the most."""
    weight = patient["weight_kg"]
    by_weight, order = amount_of(data, row, "dose", choice["dose"], "j", weight)
    amount, most = capped(data, row, choice, "j", by_weight)
    steps = [step for step in value_of(data, "shock_steps_j") if most is None or step <= most]
    row["amount"], row["value"] = amount, nearest_step(amount, steps)
    row["give"] = ("up to " if record.get("upper") else "set ") + volume_text(row["value"], "J")
    row["dose"] = amount_text(amount, "j")
    row["steps"] = steps_text(order, weight, by_weight, "j", most)
    row["most"] = "most " + amount_text(most, "j") if most is not None else ""


def gas(data, record, choice, who, patient, row):
    """A share of the inspired gas."""
    amount, order = amount_of(data, row, "dose", choice["dose"], record["unit"], patient["weight_kg"])
    row["amount"] = row["value"] = amount
    row["give"], row["steps"] = order, "whatever the weight"
    row["most"] = "not above"


def pump(data, record, choice, who, patient, row):
    """An infusion: mL/h first, its ceiling in both units, and what to do when the pump would run too slowly."""
    unit, weight = record["unit"], patient["weight_kg"]
    amount, order = amount_of(data, row, "dose", choice["dose"], unit, weight)
    amount, most = capped(data, row, choice, unit, amount)
    highest, highest_order = amount_of(data, row, "ceiling", choice["ceiling"], unit, weight)
    if most is not None and highest > most:
        highest, highest_order = most, amount_text(most, unit) + "/min"
    if record.get("fluid"):
        row["strength"], strength = record["fluid"], 60.0  # an amount an hour: an hour's minutes cancel out
    else:
        strength = pump_strength(data, record, who, patient, row, amount)
    rate = rate_ml_h(amount, strength)
    row["amount"], row["value"] = amount, rate
    row["give"], row["dose"] = volume_text(rate, "mL/h"), order
    row["steps"] = order + (" × " + show_input(weight) + NO_BREAK + "kg" if "/kg" in order else ", whatever the weight")
    row["most"] = ["most " + highest_order + " = " + volume_text(rate_ml_h(highest, strength), "mL/h"), pump_advice(data, rate),
                   sum_text(data, row, choice, unit, weight)]


def pump_strength(data, record, who, patient, row, amount):
    """What the syringe holds, an amount in one mL; weaker when the pump would run below its least rate."""
    unit, weight = record["unit"], patient["weight_kg"]
    syringe, least = value_of(data, "pump_syringe_ml"), value_of(data, "drawn_least_ml")
    entry, weaker = first_fit(data, record["strengths"], who, patient), ""
    if entry.get("recipe"):
        held_amount, _ = amount_of(data, row, "recipe", entry["recipe"], unit, weight)
        strength = held_amount / syringe
        row["strength"] = syringe_text(held_amount, unit, syringe)
    else:
        strength, _ = chosen_strength(data, record, row, who, patient)
        row["strength"] = strength_text(strength, unit)
        if rate_ml_h(amount, strength) < value_of(data, "pump_least_ml_h") - 1e-9:
            strength = strength / value_of(data, "dilution_fold_count")
            row["strength"], weaker = strength_text(strength, unit), "dilute: "
    stock, stock_label = stock_of(data, row, entry, unit)
    if stock is not None:
        row["make"] = weaker + making_text(stock_label, stock, strength, syringe, least)
    return strength


def pump_advice(data, rate):
    """What to do with a rate that is too slow or too fast for a pump."""
    if rate < value_of(data, "pump_aim_ml_h") - 1e-9:
        return "purge " + show_input(value_of(data, "pump_purge_ml")) + NO_BREAK + "mL before connecting"
    return "by hand" if rate > value_of(data, "pump_by_hand_above_ml_h") else ""


def protamine(data, record, choice, who, patient, row):
    """Protamine against the first heparin bolus by the minutes since; each bolus that was given is reckoned in the plan's limits."""
    unit, weight = record["unit"], patient["weight_kg"]
    cap, _ = amount_of(data, row, "most", choice["most"], unit, weight)
    strength, entry = chosen_strength(data, record, row, who, patient)
    stock, stock_label = stock_of(data, row, entry, unit)
    if stock is not None:
        row["make"] = making_text(stock_label, stock, strength, None, value_of(data, "drawn_least_ml"))
    units = heparin_units(data, who, patient, row)
    row["one_ml"], row["strength"] = strength, strength_text(strength, unit)
    row["steps"] = "against " + amount_text(units, "units") + ", the first bolus of this sheet"
    protamine_ladder(row, units, cap)


def protamine_ladder(row, units, cap):
    """Protamine against one bolus by the minutes since it."""
    ladder = [("to " + show(minutes, 0) + NO_BREAK + "min", each) for minutes, each in PROTAMINE_STEPS_MG] + [("later", PROTAMINE_LATER_MG)]
    doses = [(words, held(each * units / 100, cap)) for words, each in ladder]
    row["amount"], row["value"] = doses[0][1], doses[0][1] / row["one_ml"]
    row["give"], row["dose"] = volume_text(row["value"]), tenths_text(doses[0][1]) + " " + doses[0][0]
    row["most"] = "; ".join([words + " " + volume_text(mg / row["one_ml"]) + " = " + tenths_text(mg) for words, mg in doses[1:]]
                            + ["most " + amount_text(cap, "mg")])


def heparin_units(data, who, patient, row):
    """Units of the first heparin bolus of this sheet; its cap is noted in this row."""
    wanted = "heparin" if patient.get("atrial_gap") != "none" else "heparin_shut"
    record = [one for one in data["doses"] if one["id"] == wanted][0]
    choice = first_fit(data, record["choices"], who, patient)
    aside = {"keys": []}  # what that dose rests on stands in its own row
    by_weight, _ = amount_of(data, aside, "dose", choice["dose"], "units", patient["weight_kg"])
    row["keys"] += [("heparin", choice["most"])] if choice.get("most") else []
    return capped(data, aside, choice, "units", by_weight)[0]


GROUP_WORDS = {"preterm": "Born preterm", "newborn": "Newborn", "infant": "Infant", "child": "Child", "adult": "Adult"}
ARREST_WORDS = {"child": "arrest doses of a child", "adult": "arrest doses of an adult",
                "both": "arrest doses of adult and child, for the looks were not stated"}


def head(data, patient):
    """For whom a sheet is: `weight` in its own field, and who."""
    who = GROUP_WORDS[group_of(data, patient)] + ", " + age_words(patient)
    weight = patient.get("weight_kg")
    return {"weight": "weight?" if weight is None else show_input(weight) + NO_BREAK + "kg", "who": who, "rule": ARREST_WORDS[rule_word(data, patient)]}


def age_words(patient):
    """An age in days under two months, in months under two years, then in years."""
    days = patient["age_days"]
    if days < 2 * DAYS_A_MONTH:
        return show(days, 0) + (" day" if 0.5 <= days < 1.5 else " days")
    if patient["age_years"] < 2:
        return show(days / DAYS_A_MONTH, 0, True) + " months"
    return show(patient["age_years"], 0, True) + " years"


def answer(data, asked):
    """The sheet as a page asks for it.

    Args:
        data: the handbook's data; asked: `given` (weight, age, preterm, looks_adult, duct, atrial_gap, checked as typed).
    Returns {"ok": true, "head", "rows", "questions"} (no rows while a question is open, or the weight is blank) or
    {"ok": false, "faults": [(field, sentence)]}.
    """
    try:
        patient = read_patient(asked.get("given") or {})
    except Refusal as refusal:
        return {"ok": False, "faults": refusal.faults}
    if patient.get("weight_kg") is None:
        return {"ok": False, "faults": [("weight_kg", "Weight is missing.")]}
    rows = [] if patient["questions"] else sheet(data, patient)
    return {"ok": True, "head": head(data, patient), "rows": rows, "questions": patient["questions"]}


KINDS = {"bolus": bolus, "ceiling": ceiling, "volume": volume, "shock": shock, "gas": gas, "pump": pump, "protamine": protamine}
__all__ = ["GROUPS", "RECALLED", "answer", "arrest_rules", "group_of", "head", "rule_word", "sheet"]

"""The dose sheet as HTML: one weight in four printed sheets, and the sheets of every weight for the wall.

The page's script makes the same markup from the engine's rows (site_overrides/js/doses.js).
"""

import re
from html import escape

from pvcalc.plan import doses

HEADS = [("drug", "drug, when"), ("strength", "strength, only one"), ("give", "give"), ("dose", "dose, and the most"), ("beware", "beware"),
         ("hand", "time")]
TITLES = {"1": "First minutes", "2": "Outflow, ventricle, bleeding", "3": "Rhythm, allergy", "4": "Local anaesthetic, antidotes"}
SIGNS = ["Doctor", "Pharmacist", "Drawn up by", "Checked by"]
STATES = "READY is drawn up and labelled, PLANNED is made on order: nothing is given until a time stands beside it."
AMOUNT = re.compile("^(set |up to )?([\\d.\u202f]+)\u00a0(.+)$")


def offer():
    """What the page's script needs to make the same sheets."""
    return {"titles": TITLES, "heads": HEADS, "signs": [*SIGNS, "Date, time"], "states": STATES}


def sheets_html(data, patient, numbers=tuple(TITLES)):
    """The sheets of one patient; `numbers` chooses among the four."""
    rows, head = doses.sheet(data, patient), doses.head(data, patient)
    return "".join(sheet_html(head, [row for row in rows if row["sheet"] == number], number) for number in numbers)


def sheet_html(head, rows, number):
    """One printed sheet: weight on top, rows by group, lines to sign."""
    bodies = []
    for title in dict.fromkeys(row["group_title"] for row in rows):
        mine = "".join(row_html(row) for row in rows if row["group_title"] == title)
        bodies.append(f'<tbody><tr class="doses__group"><th colspan="{len(HEADS)}" scope="rowgroup">{escape(title)}</th></tr>{mine}</tbody>')
    heads = "".join(f'<th scope="col" class="doses__{name}">{escape(words)}</th>' for name, words in HEADS)
    signs = "".join(f"<span>{escape(name)}</span>" for name in [*SIGNS, "Date, time"])
    return (f'<section class="doses__sheet" tabindex="0" data-sheet="{number}" aria-label="{escape(TITLES[number])}, {escape(head["weight"])}">'
            f'<div class="doses__weight"><p class="doses__kg">{escape(head["weight"])}</p>'
            f'<p class="doses__who"><b>{escape(TITLES[number])}.</b> {escape(head["who"])}; {escape(head["rule"])}. Two people read the weight aloud.</p></div>'
            f'<p class="doses__ready">{STATES}</p><table class="doses__table doses__table--sheet" translate="no"><thead><tr>{heads}</tr></thead>{"".join(bodies)}</table>'
            f'<p class="doses__signs">{signs}</p><p class="doses__foot"></p></section>')


def row_html(row):
    """One row of a sheet."""
    mark = f'<strong class="doses__mark">{escape(row["mark"])}</strong> ' if row["mark"] else ""
    strength = f'<b>{escape(row["strength"])}</b>' if row["strength"] else ""
    make = f' <span class="doses__make">{escape(row["make"])}</span>' if row["make"] else ""
    most = f' <span class="doses__most">{escape(row["most"])}</span>' if row["most"] else ""
    cells = {"drug": f'<b>{escape(row["label"])}</b> <span class="doses__state">{row["state"]}</span> <span class="doses__when">{escape(row["when"])}</span>',
             "strength": strength + make, "give": give_html(row["give"]), "dose": escape(row["dose"]) + most, "beware": mark + escape(row["beware"]), "hand": ""}
    return f'<tr data-row="{row["id"]}">' + "".join(f'<td class="doses__{name}">{cells[name]}</td>' for name, _ in HEADS) + "</tr>"


def give_html(text):
    """What the hand gives, the number largest: `set 50 J`, `1.2 mL`; a sentence as it is."""
    found = AMOUNT.match(text)
    if not found:
        return f'<span class="doses__words">{escape(text)}</span>'
    before = f"<small>{found[1].strip()}</small> " if found[1] else ""
    return f"{before}{found[2]}\u00a0<small>{escape(found[3])}</small>"


def wall_patients(settings):
    """The patients of the wall: each weight with the age its sheet is reckoned for."""
    for record in settings["wall_sheets"]:
        years = record["age_days"] / 365.25
        yield {"weight_kg": record["weight_kg"], "age_days": record["age_days"], "age_years": years, "preterm": record["preterm"]}

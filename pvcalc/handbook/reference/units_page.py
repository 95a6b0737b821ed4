"""The page of names and units: the one table that decides symbols, decimals and plausible ranges."""

from html import escape

from pvcalc.core import units
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import table


@generated("units")
def units_page(project, page):
    """Every unit suffix, and the words of names that carry no unit."""
    rows = []
    for suffix, symbol, meaning, decimals, low, high, slips in units.SUFFIXES:
        asked = "; ".join(question for _, question in slips)
        rows.append([f"<code>_{suffix}</code>", escape(symbol or "none"), escape(meaning), str(decimals),
                     escape(f"{units.show_input(low)} to {units.show_input(high)}"), escape(asked)])
    plain = [[f"<code>{word}</code>", escape(meaning), str(decimals)] for word, meaning, decimals in units.DIMENSIONLESS]
    return ("<p>A name is a quantity and a unit: <code>annulus_mm</code>. The unit decides the symbol, the digits shown and the "
            "range in which any number of that unit must lie.</p>"
            '<h2 id="suffixes">Units</h2>'
            + table(["Ending", "Symbol", "Meaning", "Decimals", "Plausible", "Slips asked about"], rows)
            + '<h2 id="dimensionless">Names without a unit</h2>' + table(["Word", "Meaning", "Decimals"], plain))

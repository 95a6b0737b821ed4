"""A value on a bar of bands, such as contrast by weight."""

from pvcalc.core.errors import refuse
from pvcalc.core.formula import records
from pvcalc.core.units import is_number, show, show_named, unit_of
from pvcalc.draw.svg import canvas, drawn, hatch, joined, label, line, paragraph, path, rectangle, words

BAND_LOOKS = ("target", "accepted", "reason", "forbidden")  # from harmless to not to be passed


@drawn("quantity value highest bands", quantity=words(60), value=(0, 1000000), highest=(0.001, 1000000), bands=records(2, 4))
def band_bar(*, picture_id, quantity, value, highest, bands):
    """A value on a bar of bands, such as contrast by weight or a dose of radiation.

    Args:
        quantity: what is measured, named with its unit suffix, such as `contrast_ml_per_kg`.
        value: in that unit.
        highest: right end of the bar; a value beyond it is drawn at the end and said.
        bands: records of `low` (where the band begins) and `words`, from the lowest, which begins at 0.
    """
    unit = unit_of(quantity)
    if unit is None:
        refuse("quantity", "The quantity must end in a unit suffix, such as contrast_ml_per_kg.")
    edges = _band_edges(bands, highest)
    decimals = unit["decimals"]
    place = 0
    for i in range(len(bands)):
        place = i if value >= edges[i] else place
    left, width = 10, 340
    parts, said, defs = [], [], hatch(picture_id + "-hatch", "fig-hatch-bad") + hatch(picture_id + "-lines", "fig-hatch-odd", 8, 135)
    looks = BAND_LOOKS[:1] + BAND_LOOKS[4 - len(bands) + 1:]
    rows, y = [], 128
    for i in range(len(bands)):
        x1, x2 = left + edges[i] / highest * width, left + edges[i + 1] / highest * width
        parts.append(rectangle(x1, 46, x2 - x1, 34, "fig-zone-" + looks[i]))
        if looks[i] in ("reason", "forbidden"):
            parts.append(path(joined([(x1, 46), (x2, 46), (x2, 80), (x1, 80)], True), "fig-over",
                              picture_id + ("-hatch" if looks[i] == "forbidden" else "-lines")))
        parts.append(label(x1 + 5, 59, str(i + 1), "fig-strong fig-halo"))
        parts.append(label(x1, 97, show(edges[i], _decimals_needed(edges[i])), "fig-small", "start" if i == 0 else "middle"))
        reach = "from " + show_named(edges[i], quantity, _decimals_needed(edges[i]))
        said.append(reach + ": " + bands[i]["words"])
        written, y = paragraph(28, y, reach + ": " + bands[i]["words"], 326, "fig-strong" if i == place else "")
        rows.append(label(10, y - 16 * (written.count("<text")), str(i + 1), "fig-strong") + written)
    x = left + min(value, highest) / highest * width
    shown = show_named(value, quantity, decimals)
    parts.append(path(joined([(x, 48), (x - 7, 34), (x + 7, 34)], True), "fig-pointer"))
    parts.append(line(x, 46, x, 80, "fig-curve"))
    anchor = "start" if x < 90 else "end" if x > 270 else "middle"
    beyond = " (beyond the bar)" if value > highest else ""
    parts.append(label(x, 24, shown + beyond, "fig-strong", anchor))
    verdict = shown + beyond + " lies in band " + str(place + 1) + ", " + bands[place]["words"]
    for edge in edges[1:-1]:
        if abs(value - edge) <= 0.5 / 10 ** decimals:
            verdict += "; at the cut-off of " + show_named(edge, quantity, _decimals_needed(edge))
            rows.append(label(10, y + 2, "at the cut-off of " + show_named(edge, quantity, _decimals_needed(edge)), "fig-odd-text"))
            y += 18
    return canvas(picture_id, y - 4, "A value on a bar of bands", verdict + ". Bands " + "; ".join(said) + ".", parts + rows, defs=defs)


def _band_edges(bands, highest):
    edges = []
    for band in bands:
        low = band.get("low") if isinstance(band, dict) else None
        if not is_number(low) or not isinstance(band.get("words"), str):
            refuse("bands", "Each band needs `low`, a number, and `words`.")
        edges.append(low)
    for one, other in zip(edges, edges[1:] + [highest]):
        if not one < other:
            refuse("bands", "Bands must begin ever higher, and the last below the right end of the bar.")
    if edges[0] != 0:
        refuse("bands", "The first band must begin at 0.")
    return edges + [highest]


def _decimals_needed(value):
    for decimals in range(4):
        scaled = value * 10 ** decimals
        if abs(scaled - int(scaled + 0.5)) < 1e-9:
            return decimals
    return 4

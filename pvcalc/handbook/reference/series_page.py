"""The page of published results: each with its counts and the interval computed from them."""

from pvcalc.handbook.authoring import compute
from pvcalc.handbook.authoring.entry_tables import series_table
from pvcalc.handbook.authoring.generated import generated
from pvcalc.handbook.authoring.markup import filters


@generated("series")
def series_page(project, page):
    """Every published result held as data, with the interval computed from its counts."""
    seen = sorted({entry.seen for entry in project.data.series.values()})
    return ("<p>A percentage without its count hides how little is known. Where counts were printed the interval is exact "
            f"(Clopper and Pearson, {compute.coverage_words(compute.setting_value(project, compute.CONFIDENCE))}) and computed here.</p>"
            + filters("series-rows", [("seen", "Seen", seen), ("kind", "Kind", ["proportion", "statistic"])])
            + f'<div id="series-rows">{series_table(project, page, list(project.data.series), anchors=True)}</div>')

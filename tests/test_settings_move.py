"""Moving a setting moves what rests on it: a lever that turns nothing is no lever."""

import pytest
from scipy.stats import beta

from pvcalc.core.units import show
from pvcalc.handbook.authoring import compute
from pvcalc.handbook.publish import assets
from pvcalc.plan import case


def with_setting(loaded, **changed):
    """The handbook's data with some settings at other values."""
    data = assets.data_of(loaded)
    assert all(data["settings"][key] != value for key, value in changed.items())
    return {**data, "settings": {**data["settings"], **changed}}


@pytest.mark.parametrize("confidence, words", [(0.9, "90\u00a0%"), (0.975, "97.5\u00a0%")])
def test_the_coverage_of_intervals_moves_every_published_count_and_its_words(loaded, confidence, words):
    counted = [entry for entry in loaded.data.series.values() if entry.kind == "proportion"]
    assert len(counted) > 100
    for entry in counted:
        text = compute.series_words(entry, confidence)
        assert f"{words} interval" in text and "95\u00a0% interval" not in text
        # Clopper and Pearson by another library.
        tail = (1 - confidence) / 2
        low = beta.ppf(tail, entry.events, entry.cases - entry.events + 1) if entry.events else 0
        high = beta.ppf(1 - tail, entry.events + 1, entry.cases - entry.events) if entry.events < entry.cases else 1
        shown = [show(100 * end, 2 if 100 * end < 1 else 1 if 100 * end < 10 else 0) for end in (low, high)]
        assert compute.series_words(entry, confidence, "interval") == f"{shown[0]} to {shown[1]}\u00a0%"


def test_the_age_of_a_newborn_moves_its_zones_and_its_blood(loaded):
    given = {"age_days": 40, "duct": "closed", "weight_kg": 4}
    for data, newborn, group in ((assets.data_of(loaded), "no", "infant"), (with_setting(loaded, newborn_below_days=60), "yes", "term newborn")):
        made = case.plan(data, given)
        assert made["inputs"]["newborn"] == newborn and f"Blood volume, {group}" in [row["label"] for row in made["limits"]["blood"]]

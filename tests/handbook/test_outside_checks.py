"""What others printed and computed, held against the formulas: the register of it, the slips, and witnesses that carry no one answer."""

import math

import lifelines.datasets
import pytest

from pvcalc.core import formula as core
from pvcalc.formulas.body_size import annulus_expected_at_surface_mm
from pvcalc.formulas.doses import contrast_limit_ml
from pvcalc.formulas.flow import fick_flow_l_min, shunt_ratio
from pvcalc.handbook.data import catalogue
from pvcalc.statistics.monitoring import cusum_design
from pvcalc.statistics.survival import kaplan_meier_at

ENTRIES = catalogue.load()
OUTSIDE = [example for example in core.PRINTED if example.kind in ("published", "other-software")]
READ = [example for example in OUTSIDE if example.seen in ("read", "second")]


def test_outside_examples_cover_the_formulas_and_none_is_recalled():
    numbered = {fact for example in READ for fact in example.fact.split() if fact.startswith("O-N")}
    assert len(numbered) >= 54
    assert len({example.formula.name for example in READ}) >= 59
    assert len({example.formula.name for example in OUTSIDE}) >= 67
    assert not [example.fact for example in core.PRINTED if example.seen == "memory"]


def test_every_outside_example_names_a_work_and_a_place():
    assert all(example.source and example.locator for example in OUTSIDE)


def test_a_member_of_a_list_is_counted_from_one():
    chart = core.find("risk_adjusted_path")
    second = core.Printed(chart, "", "", "0.64", "read", "", "published", "", "", None, 1.0, "upper_path",
                          {"events": [0, 1], "predicted_fractions": [0.05, 0.05], "odds_ratio": 2}, member=2)
    first = core.Printed(chart, "", "", "0.00", "read", "", "published", "", "", None, 1.0, "upper_path", second.inputs, member=1)
    assert second.agrees() and first.agrees() and first.computed() == 0


def test_the_ratio_printed_upside_down_is_not_ours():
    # Another book of questions prints (PV − PA) over (Ao − RA): of the case with saturations of 60, 80, 100 and 100 % it makes a half.
    ours = shunt_ratio(aortic_saturation_fraction=1, mixed_venous_saturation_fraction=0.6, pulmonary_vein_saturation_fraction=1,
                       pulmonary_artery_saturation_fraction=0.8)
    assert ours == pytest.approx(2) and (1 - 0.8) / (1 - 0.6) == pytest.approx(0.5)


def test_the_quotient_that_a_book_misprints_is_ours_by_hand():
    assert fick_flow_l_min(oxygen_uptake_ml_min=350, arterial_content_ml_dl=20, venous_content_ml_dl=14) == pytest.approx(35 / 6)


@pytest.mark.parametrize("acceptable, unacceptable, alpha, beta", [(0.05, 0.1, 0.1, 0.1), (0.1, 0.2, 0.1, 0.1), (0.05, 0.1, 0.05, 0.2)])
def test_chart_lines_come_out_of_a_second_algebra(acceptable, unacceptable, alpha, beta):
    # A teaching page of another hospital: P = ln(p1/p0), Q = ln[(1 − p0)/(1 − p1)], s = Q/(P + Q), h0 = −b/(P + Q), h1 = a/(P + Q).
    p, q = math.log(unacceptable / acceptable), math.log((1 - acceptable) / (1 - unacceptable))
    wanted = {"step": q / (p + q), "lower_limit": -math.log((1 - alpha) / beta) / (p + q), "upper_limit": math.log((1 - beta) / alpha) / (p + q)}
    assert dict(cusum_design(acceptable_fraction=acceptable, unacceptable_fraction=unacceptable, alpha=alpha, beta=beta)) == pytest.approx(wanted)


def test_the_lung_data_give_the_curve_that_r_prints():
    lung = lifelines.datasets.load_lung()
    found = dict(kaplan_meier_at(times=list(lung["time"]), events=[int(one) for one in lung["status"]], confidence=0.95, at_time=365))
    assert found["survival"] == pytest.approx(0.4092416, abs=5e-8) and found["error"] == pytest.approx(0.0358236, abs=5e-8)


@pytest.mark.parametrize("surface", [0.25, 0.5, 1.0, 1.5, 2.0])
def test_a_second_population_puts_the_mean_annulus_within_two_per_cent(surface):
    # Daubeney 1999 as a textbook reprints it: ln(cm) = 0.6367 + 0.5028 ln(surface), short axis, hinge points.
    other = 10 * math.exp(0.6367 + 0.5028 * math.log(surface))
    ours = annulus_expected_at_surface_mm(z=0, age_years=10, body_surface_m2=surface, view="short_axis")
    assert ours == pytest.approx(other, rel=0.02)


@pytest.mark.parametrize("weight, creatinine_mg_dl", [(40, 1.2), (59, 2), (60, 1.8), (61, 3), (80, 1.8), (120, 4)])
def test_contrast_stops_where_the_authors_print_the_cap(weight, creatinine_mg_dl):
    # As their own university's page words it: 5 mL for each kilogram, maximum 300 mL, over creatinine in mg/dL.
    wanted = (300 if weight > 60 else 5 * weight) / creatinine_mg_dl
    assert contrast_limit_ml(age_years=60, weight_kg=weight, creatinine_umol_l=88.4 * creatinine_mg_dl) == pytest.approx(wanted)

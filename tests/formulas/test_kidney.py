"""Kidney formulas on the right patients only: second forms, the birthday, and one conversion constant."""

import ast
import math
from pathlib import Path

import pytest
from pint import get_application_registry

from pvcalc.formulas import kidney
from tests.helpers.edges import assert_ranges, fault

ADULT = dict(creatinine_umol_l=85, age_years=50, sex="male")
CHILD = dict(creatinine_umol_l=40, age_years=6, height_cm=115)
CLEARANCE = dict(creatinine_umol_l=85, age_years=50, weight_kg=70, sex="male")


def ckd_epi_second_form(mg_dl, age, female):
    """The same equation as a sum of logarithms with both powers always present."""
    k, a = (0.7, -0.241) if female else (0.9, -0.302)
    steps = math.log(mg_dl / k)
    return math.exp(math.log(142) + a * min(steps, 0) - 1.2 * max(steps, 0) + age * math.log(0.9938) + math.log(1.012) * female)


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("mg_dl", [0.3, 0.69, 0.71, 0.89, 0.91, 1.6, 6])
@pytest.mark.parametrize("age", [18, 41.5, 80])
def test_adult_equation_in_a_second_form(sex, mg_dl, age):
    ours = kidney.egfr_ckd_epi_2021_ml_min_173(creatinine_umol_l=88.4 * mg_dl, age_years=age, sex=sex)
    assert ours == pytest.approx(ckd_epi_second_form(mg_dl, age, sex == "female"), rel=1e-12)


@pytest.mark.parametrize("sex, knee", [("female", 0.7), ("male", 0.9)])
def test_adult_equation_has_no_step_at_its_knee(sex, knee):
    below, above = (kidney.egfr_ckd_epi_2021_ml_min_173(creatinine_umol_l=88.4 * knee * f, age_years=40, sex=sex) for f in (1 - 1e-9, 1 + 1e-9))
    assert below == pytest.approx(above, rel=1e-8)
    assert below > above


def test_four_printed_decimals_come_out_with_the_other_conversion():
    assert ckd_epi_second_form(70 / 88.42, 52, True) == pytest.approx(89.7175, abs=0.00005)
    ours = kidney.egfr_ckd_epi_2021_ml_min_173(creatinine_umol_l=70, age_years=52, sex="female")
    assert ours == pytest.approx(89.7175, abs=0.03) and abs(ours - 89.7175) > 0.001


def test_one_conversion_constant_from_the_molar_mass():
    units = get_application_registry()
    exact = (units.Quantity(1, "mg/dL") / units.Quantity(113.12, "g/mol")).to("umol/L").magnitude
    assert kidney.creatinine_from_mg_dl_umol_l(creatinine_mg_dl=1) == 88.4
    assert kidney.creatinine_from_mg_dl_umol_l(creatinine_mg_dl=2) == 176.8
    assert exact == pytest.approx(88.4, abs=0.03)
    typed = [module.name for module in sorted(Path(kidney.__file__).parents[1].rglob("*.py"))
             for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))) if isinstance(node, ast.Constant) and node.value in (88.4, 88.42)]
    # The units know the slip between the two, and a printed example is a print; nothing else may type it.
    assert typed.count("kidney.py") == 1 and set(typed) <= {"kidney.py", "units.py", "doses.py"}, typed


def test_bedside_schwartz_in_micromoles_and_in_metres():
    ours = kidney.egfr_bedside_schwartz_ml_min_173(**CHILD)
    assert ours == pytest.approx(41.3 * 1.15 / (40 / 88.4), rel=1e-12)
    assert ours == pytest.approx(36.5 * 115 / 40, rel=0.0005)


def test_the_older_constant_reads_a_third_too_high():
    ours = kidney.egfr_bedside_schwartz_ml_min_173(creatinine_umol_l=88.4, age_years=5, height_cm=100)
    assert ours == pytest.approx(41.3, rel=1e-12)
    assert 0.55 * 100 / ours - 1 == pytest.approx(0.332, abs=0.0005), "one mg/dL at 100 cm by the older constant"


def test_the_eighteenth_birthday_jumps_from_78_to_127():
    creatinine = 0.9 * 88.4
    before = kidney.egfr_bedside_schwartz_ml_min_173(creatinine_umol_l=creatinine, age_years=17.99, height_cm=170)
    after = kidney.egfr_ckd_epi_2021_ml_min_173(creatinine_umol_l=creatinine, age_years=18, sex="male")
    assert (round(before), round(after)) == (78, 127)


@pytest.mark.parametrize("made, inputs", [(kidney.egfr_ckd_epi_2021_ml_min_173, ADULT), (kidney.creatinine_clearance_ml_min, CLEARANCE)])
@pytest.mark.parametrize("age", [0, 1, 12, 17.999])
def test_a_child_on_an_adult_formula_is_refused_and_sent_to_the_other(made, inputs, age):
    assert "Schwartz" in fault(made, {**inputs, "age_years": age})


@pytest.mark.parametrize("age", [18, 18.001, 40])
def test_an_adult_on_the_childrens_formula_is_refused_and_sent_to_the_other(age):
    assert "CKD-EPI" in fault(kidney.egfr_bedside_schwartz_ml_min_173, {**CHILD, "age_years": age})


def test_an_infant_has_no_formula():
    assert "under 1 year there is no formula" in fault(kidney.egfr_bedside_schwartz_ml_min_173, {**CHILD, "age_years": 0.99})
    assert kidney.egfr_bedside_schwartz_ml_min_173(**{**CHILD, "age_years": 1}) > 0
    assert kidney.egfr_bedside_schwartz_ml_min_173(**{**CHILD, "age_years": 17.999}) > 0


def test_clearance_in_micromoles():
    per_micromole = 88.4 / 72
    assert kidney.creatinine_clearance_ml_min(**CLEARANCE) == pytest.approx(90 * 70 * per_micromole / 85, rel=1e-12)
    woman = kidney.creatinine_clearance_ml_min(**{**CLEARANCE, "sex": "female"})
    assert woman / kidney.creatinine_clearance_ml_min(**CLEARANCE) == pytest.approx(0.85, rel=1e-12)
    assert kidney.creatinine_clearance_ml_min.seen == "second"


@pytest.mark.parametrize("made, inputs", [(kidney.egfr_ckd_epi_2021_ml_min_173, ADULT), (kidney.egfr_bedside_schwartz_ml_min_173, CHILD),
                                          (kidney.creatinine_clearance_ml_min, CLEARANCE)])
def test_milligrams_typed_for_micromoles_are_named(made, inputs):
    assert "mg/dL" in fault(made, {**inputs, "creatinine_umol_l": 0.6})


def test_more_creatinine_is_less_filtration():
    for made, inputs in ((kidney.egfr_ckd_epi_2021_ml_min_173, ADULT), (kidney.egfr_bedside_schwartz_ml_min_173, CHILD),
                         (kidney.creatinine_clearance_ml_min, CLEARANCE)):
        answers = [made(**{**inputs, "creatinine_umol_l": c}) for c in range(20, 400, 7)]
        assert answers == sorted(answers, reverse=True)


def test_ranges():
    assert_ranges(kidney.creatinine_from_mg_dl_umol_l, dict(creatinine_mg_dl=1), dict(creatinine_mg_dl=(0.1, 17)))
    assert_ranges(kidney.egfr_ckd_epi_2021_ml_min_173, ADULT, dict(creatinine_umol_l=(10, 1500), age_years=(18, 110)))
    assert_ranges(kidney.egfr_bedside_schwartz_ml_min_173, CHILD, dict(creatinine_umol_l=(10, 1500), age_years=(1, 18), height_cm=(50, 210)))
    assert_ranges(kidney.creatinine_clearance_ml_min, CLEARANCE, dict(creatinine_umol_l=(10, 1500), age_years=(18, 110), weight_kg=(30, 250)))

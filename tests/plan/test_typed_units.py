"""A value with its unit: read when the unit is the field's own, refused in one sentence when it is another's."""

import pytest

from pvcalc.core.errors import Refusal
from pvcalc.plan.inputs import read_patient

OWN = [
    ("height_cm", "127 cm", 127), ("height_cm", "127CM", 127), ("weight_kg", "25,5 kg", 25.5), ("weight_kg", "25.5\u00a0kg", 25.5),
    ("gestation_weeks", "31 weeks", 31), ("doppler_velocity_m_s", "4.15 m/s", 4.15), ("doppler_peak_mmhg", "69 mm Hg", 69), ("ra_pressure_mmhg", "\u22122 mmHg", -2),
    ("saturation_percent", "93 %", 93), ("saturation_percent", "93%", 93), ("output_l_min", "3.2 l/min", 3.2), ("heart_rate_bpm", "90 bpm", 90),
    ("heart_rate_bpm", "90/min", 90), ("ejection_period_s", "0.31 s", 0.31), ("creatinine_umol_l", "168 \u00b5mol/L", 168), ("creatinine_umol_l", "168 \u03bcmol/l", 168),
    ("creatinine_mg_dl", "1.9 mg/dL", 1.9), ("contrast_used_ml", "28 ml", 28), ("prostaglandin_nanograms_kg_min", "10 ng/kg/min", 10),
    ("after_sheath_french", "8 Fr", 8), ("after_kap_ugy_m2", "120 µGy·m²", 120), ("after_fluoroscopy_minutes", "12 min", 12), ("after_balloon_mm", "20 mm", 20),
]


@pytest.mark.parametrize("name, typed, value", OWN, ids=[f"{name}-{typed}" for name, typed, _ in OWN])
def test_the_fields_own_unit_is_read(name, typed, value):
    assert read_patient({"age_years": 20, "checked": "yes", name: typed})[name] == value


def test_an_age_a_ring_a_bolus_and_a_shelf_are_read_with_their_units():
    assert read_patient({"age_years": "8 y"})["age_years"] == 8 and read_patient({"age_days": "3 days"})["age_days"] == 3
    known = read_patient({"age_years": 8, "annulus": [{"mm": "16.3 mm", "modality": "ct"}], "heparin": [{"units": "1250 IU", "minutes_ago": "35 min"}], "shelf_mm": "18 20 22 mm"})
    assert known["annulus"][0]["mm"] == 16.3 and known["heparin"] == [{"units": 1250, "minutes_ago": 35}] and known["shelf_mm"] == [18, 20, 22]


ANOTHERS = [
    ("height_cm", "4.2 ft", "Height “4.2 ft” is in ft, and this field is in cm; convert it first."),
    ("height_cm", "1.27 m", "Height “1.27 m” is in m, and this field is in cm; convert it first."),
    ("weight_kg", "56 lb", "Weight “56 lb” is in lb, and this field is in kg; convert it first."),
    ("weight_kg", "3200 g", "Weight “3200 g” is in g, and this field is in kg; convert it first."),
    ("rv_systolic_mmhg", "8 kPa", "Right ventricular systolic pressure “8 kPa” is in kPa, and this field is in mmHg; convert it first."),
    ("doppler_velocity_m_s", "415 cm/s", "Peak Doppler velocity “415 cm/s” is in cm/s, and this field is in m/s; convert it first."),
    ("after_kap_ugy_m2", "3 Gy·cm²", "Area product “3 Gy·cm²” is in Gy·cm², and this field is in µGy·m²; convert it first."),
    ("creatinine_umol_l", "1.9 mg/dL", "Creatinine “1.9 mg/dL” is in mg/dL, and this field is in µmol/L; give creatinine_mg_dl instead."),
    ("creatinine_mg_dl", "168 umol/l", "Creatinine “168 umol/l” is in µmol/L, and this field is in mg/dL; give creatinine_umol_l instead."),
    ("shelf_mm", "1.8 2.0 cm", "Shelf “1.8 2.0 cm” is in cm, and this field is in mm; convert it first."),
]


@pytest.mark.parametrize("name, typed, said", ANOTHERS, ids=[row[1] for row in ANOTHERS])
def test_anothers_unit_is_refused_in_one_sentence(name, typed, said):
    with pytest.raises(Refusal) as refused:
        read_patient({"age_years": 20, name: typed})
    assert refused.value.faults == [(name, said)]


@pytest.mark.parametrize("name, typed, said", [("age_years", "3 days", "give age_days instead"), ("age_days", "8 years", "give age_years instead"), ("age_years", "7 months", "convert it first")])
def test_an_age_in_the_other_unit_is_led_to_its_field(name, typed, said):
    with pytest.raises(Refusal) as refused:
        read_patient({name: typed})
    [(field, sentence)] = refused.value.faults
    assert field == name and said in sentence


@pytest.mark.parametrize("typed", ["kg", "about 20 kg", "20 kilos and a half", "20 21 kg", "1.234,5 kg", "1,234 kg", "2e1", "20 kg kg"])
def test_what_is_no_number_with_a_unit_is_refused_as_before(typed):
    with pytest.raises(Refusal) as refused:
        read_patient({"age_years": 8, "weight_kg": typed})
    assert [field for field, _ in refused.value.faults] == ["weight_kg"] and "convert" not in str(refused.value)


# 88.4 µmol/L is 1 mg/dL.


@pytest.mark.parametrize("given, amount", [({"creatinine_mg_dl": 1}, 88.4), ({"creatinine_mg_dl": "1,9"}, 167.96), ({"creatinine_umol_l": 168}, 168), ({"creatinine_umol_l": 168, "creatinine_mg_dl": 1.9}, 168)])
def test_a_creatinine_is_known_in_the_unit_of_the_rules(given, amount):
    assert read_patient({"age_years": 58, **given})["creatinine_umol_l"] == pytest.approx(amount)


@pytest.mark.parametrize("amount, agree", [(93.7, True), (93.8, False), (83.1, True), (83.0, False)])
def test_a_creatinine_given_twice_must_agree(amount, agree):
    given = {"age_years": 58, "creatinine_mg_dl": 1, "creatinine_umol_l": amount}
    if agree:
        assert read_patient(given)["creatinine_umol_l"] == amount
    else:
        with pytest.raises(Refusal, match="do not agree; give one of them") as refused:
            read_patient(given)
        assert [field for field, _ in refused.value.faults] == ["creatinine_mg_dl"]

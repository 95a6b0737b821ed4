"""Oxygen content, flows, shunts: second forms, units by another library, and the slips that happen."""

import pytest
from pint import get_application_registry

from pvcalc.formulas import flow
from tests.helpers.edges import asked, assert_ranges, fault

UNITS = get_application_registry()
CONTENT = dict(haemoglobin_g_dl=15, saturation_fraction=0.97, po2_mmhg=100, binding_ml_g=1.36)
FICK = dict(oxygen_uptake_ml_min=250, arterial_content_ml_dl=20, venous_content_ml_dl=15)
SHUNT = dict(aortic_saturation_fraction=0.96, mixed_venous_saturation_fraction=0.70,
             pulmonary_vein_saturation_fraction=0.98, pulmonary_artery_saturation_fraction=0.85)
THERMO = dict(injectate_ml=10, blood_temperature_c=37, injectate_temperature_c=4, constant=0.9, area_c_s=4)


def test_content_is_bound_plus_dissolved():
    bound = UNITS.Quantity(1.36, "mL/g") * UNITS.Quantity(15, "g/dL") * 0.97
    dissolved = UNITS.Quantity(0.03, "mL/L/mmHg") * UNITS.Quantity(100, "mmHg")
    assert flow.oxygen_content_ml_dl(**CONTENT) == pytest.approx((bound + dissolved).to("mL/dL").magnitude, rel=1e-12)


def test_kilopascals_of_oxygen_tension_are_turned_before_they_come_here():
    tension = UNITS.Quantity(80, "kPa").to("mmHg").magnitude
    assert tension == pytest.approx(600.05, abs=0.01)
    dissolved = flow.oxygen_content_ml_dl(haemoglobin_g_dl=15, saturation_fraction=0, po2_mmhg=tension, binding_ml_g=1.36)
    assert dissolved == pytest.approx(1.80, abs=0.001)


def test_leaving_out_dissolved_oxygen_on_high_inspired_oxygen_makes_pulmonary_flow_too_high():
    def pulmonary_flow(vein_po2, artery_po2):
        vein = flow.oxygen_content_ml_dl(haemoglobin_g_dl=14, saturation_fraction=1, po2_mmhg=vein_po2, binding_ml_g=1.36)
        artery = flow.oxygen_content_ml_dl(haemoglobin_g_dl=14, saturation_fraction=0.90, po2_mmhg=artery_po2, binding_ml_g=1.36)
        return flow.fick_flow_l_min(oxygen_uptake_ml_min=150, arterial_content_ml_dl=vein, venous_content_ml_dl=artery)

    without, counted = pulmonary_flow(0, 0), pulmonary_flow(600, 65)
    assert without == pytest.approx(15 / 1.904, rel=1e-12)
    assert counted == pytest.approx(15 / (1.904 + 1.605), rel=1e-12)
    assert without > 1.8 * counted


def test_share_of_dissolved_oxygen_and_a_line_of_slides_that_is_misprinted():
    def share_percent(haemoglobin, tension):
        def content(saturation, po2):
            return flow.oxygen_content_ml_dl(haemoglobin_g_dl=haemoglobin, saturation_fraction=saturation, po2_mmhg=po2, binding_ml_g=1.36)
        return 100 * content(0, tension) / content(1, 0)

    assert share_percent(15, 100) == pytest.approx(1.5, abs=0.05)
    assert share_percent(15, 600) == pytest.approx(9, abs=0.5)
    assert share_percent(10, 100) == pytest.approx(2.2, abs=0.05)  # printed 2.5
    assert share_percent(10, 600) == pytest.approx(13.2, abs=0.05)  # printed 14


def test_a_printed_difference_of_two_contents():
    high, low = (flow.oxygen_content_ml_dl(haemoglobin_g_dl=15, saturation_fraction=s, po2_mmhg=0, binding_ml_g=1.36) for s in (0.98, 0.80))
    assert round(high - low, 2) == 3.67


def test_content_ranges():
    assert_ranges(flow.oxygen_content_ml_dl, CONTENT, dict(
        haemoglobin_g_dl=(3, 28), saturation_fraction=(0, 1), po2_mmhg=(0, 700), binding_ml_g=(1.3, 1.4)))


def test_haemoglobin_in_grams_per_litre_and_saturation_in_per_cent_are_caught_with_the_likely_slip():
    assert "g/L" in fault(flow.oxygen_content_ml_dl, {**CONTENT, "haemoglobin_g_dl": 150})
    assert "per cent" in fault(flow.oxygen_content_ml_dl, {**CONTENT, "saturation_fraction": 97})


@pytest.mark.parametrize("tension, saturation, odd", [(151, 0.94, True), (150, 0.94, False), (151, 0.95, False), (400, 0.70, True)])
def test_asks_whether_tension_and_saturation_are_of_one_sample(tension, saturation, odd):
    assert bool(asked(flow.oxygen_content_ml_dl, {**CONTENT, "po2_mmhg": tension, "saturation_fraction": saturation})) == odd


def test_fick_by_units():
    output = UNITS.Quantity(250, "mL/min") / UNITS.Quantity(5, "mL/dL")
    assert flow.fick_flow_l_min(**FICK) == pytest.approx(output.to("L/min").magnitude, rel=1e-12)


def test_fick_refuses_exchanged_or_equal_samples():
    assert "exchanged" in fault(flow.fick_flow_l_min, {**FICK, "arterial_content_ml_dl": 14, "venous_content_ml_dl": 15})
    assert fault(flow.fick_flow_l_min, {**FICK, "venous_content_ml_dl": 20})
    assert flow.fick_flow_l_min(**{**FICK, "venous_content_ml_dl": 19.5}) == 50


def test_fick_ranges_and_question():
    assert_ranges(flow.fick_flow_l_min, FICK, dict(
        oxygen_uptake_ml_min=(5, 1000), arterial_content_ml_dl=(0.1, 40), venous_content_ml_dl=(0, 40)))
    assert not asked(flow.fick_flow_l_min, {**FICK, "venous_content_ml_dl": 18})
    assert "2 mL/dL" in asked(flow.fick_flow_l_min, {**FICK, "venous_content_ml_dl": 18.01})


def test_shunt_ratio_is_the_ratio_of_two_fick_flows_on_air():
    def content(saturation):
        return flow.oxygen_content_ml_dl(haemoglobin_g_dl=13, saturation_fraction=saturation, po2_mmhg=0, binding_ml_g=1.36)
    pulmonary = flow.fick_flow_l_min(oxygen_uptake_ml_min=170, arterial_content_ml_dl=content(0.98), venous_content_ml_dl=content(0.85))
    systemic = flow.fick_flow_l_min(oxygen_uptake_ml_min=170, arterial_content_ml_dl=content(0.96), venous_content_ml_dl=content(0.70))
    assert flow.shunt_ratio(**SHUNT) == pytest.approx(pulmonary / systemic, rel=1e-12)
    assert flow.shunt_ratio(**SHUNT) == pytest.approx(2, rel=1e-12)


def test_shunt_ratio_ranges_and_refusals():
    assert_ranges(flow.shunt_ratio, SHUNT, dict(
        aortic_saturation_fraction=(0.2, 1), mixed_venous_saturation_fraction=(0.1, 1),
        pulmonary_vein_saturation_fraction=(0.5, 1), pulmonary_artery_saturation_fraction=(0.1, 1)))
    assert "ixed venous" in fault(flow.shunt_ratio, {**SHUNT, "mixed_venous_saturation_fraction": 0.96})
    assert "ulmonary artery" in fault(flow.shunt_ratio, {**SHUNT, "pulmonary_artery_saturation_fraction": 0.98})
    assert fault(flow.shunt_ratio, {**SHUNT, "mixed_venous_saturation_fraction": 0.97})
    assert fault(flow.shunt_ratio, {**SHUNT, "pulmonary_artery_saturation_fraction": 0.99})
    assert flow.shunt_ratio(**{**SHUNT, "mixed_venous_saturation_fraction": 0.955}) > 0
    assert flow.shunt_ratio(**{**SHUNT, "pulmonary_artery_saturation_fraction": 0.975}) > 0


@pytest.mark.parametrize("ratio, noise", [(0.749, False), (0.751, True), (1.189, True), (1.191, False)])
def test_edges_of_the_noise_of_a_ratio_of_one(ratio, noise):
    inputs = dict(aortic_saturation_fraction=1, mixed_venous_saturation_fraction=1 - 0.2 * ratio,
                  pulmonary_vein_saturation_fraction=1, pulmonary_artery_saturation_fraction=0.8)
    assert bool(asked(flow.shunt_ratio, inputs)) == noise


def test_the_question_about_noise_survives_exchanged_samples():
    assert asked(flow.shunt_ratio, {**SHUNT, "pulmonary_artery_saturation_fraction": 0.98}) == ""
    assert asked(flow.shunt_ratio, {**SHUNT, "pulmonary_artery_saturation_fraction": 1, "mixed_venous_saturation_fraction": 0.98}) == ""


def test_two_rival_mixed_venous_formulas():
    inputs = dict(svc_saturation_fraction=0.66, ivc_saturation_fraction=0.78)
    three = flow.mixed_venous_saturation_fraction(weights="three_to_one", **inputs)
    two = flow.mixed_venous_saturation_fraction(weights="two_to_three", **inputs)
    assert three == pytest.approx(0.66 + 0.12 * 0.25, rel=1e-12)
    assert two == pytest.approx(0.66 + 0.12 * 0.6, rel=1e-12)
    assert_ranges(flow.mixed_venous_saturation_fraction, {**inputs, "weights": "three_to_one"}, dict(
        svc_saturation_fraction=(0.1, 1), ivc_saturation_fraction=(0.1, 1)))
    assert "three_to_one or two_to_three" in fault(flow.mixed_venous_saturation_fraction, {**inputs, "weights": "flamm"})
    assert "missing" in fault(flow.mixed_venous_saturation_fraction, inputs)


def test_thermodilution_by_heat_balance():
    heat = UNITS.Quantity(10, "mL") * UNITS.Quantity(33, "delta_degC") * 0.9
    output = heat / UNITS.Quantity(4, "delta_degC * s")
    assert flow.thermodilution_output_l_min(**THERMO) == pytest.approx(output.to("L/min").magnitude, rel=1e-12)


def test_heat_capacity_ratio_of_saline_lies_within_the_allowed_constants():
    saline = 4200 * 1004.6 / (3780 * 1025)  # J/kg/K and kg/m³, printed heat constants of fluid and blood
    assert saline == pytest.approx(1.089, abs=0.0005)
    assert flow.thermodilution_output_l_min(**{**THERMO, "constant": saline}) > 0


def test_a_monitors_computation_constant_is_refused():
    assert "0.7 to 1.2" in fault(flow.thermodilution_output_l_min, {**THERMO, "constant": 0.542})


def test_thermodilution_ranges_and_warm_fluid():
    assert_ranges(flow.thermodilution_output_l_min, THERMO, dict(
        injectate_ml=(1, 15), blood_temperature_c=(30, 42), injectate_temperature_c=(0, 30), constant=(0.7, 1.2), area_c_s=(0.1, 200)))
    assert "colder" in fault(flow.thermodilution_output_l_min, {**THERMO, "blood_temperature_c": 30, "injectate_temperature_c": 30})
    assert flow.thermodilution_output_l_min(**{**THERMO, "blood_temperature_c": 30, "injectate_temperature_c": 29.99}) > 0


def test_index_and_stroke_volume_by_units():
    assert flow.cardiac_index_l_min_m2(output_l_min=0.6, body_surface_m2=0.2) == pytest.approx(3, rel=1e-12)
    stroke = UNITS.Quantity(5, "L/min") / UNITS.Quantity(72, "1/min")
    assert flow.stroke_volume_ml(output_l_min=5, heart_rate_bpm=72) == pytest.approx(stroke.to("mL").magnitude, rel=1e-12)
    assert_ranges(flow.cardiac_index_l_min_m2, dict(output_l_min=5, body_surface_m2=1.7), dict(
        output_l_min=(0.1, 20), body_surface_m2=(0.1, 3.5)))
    assert_ranges(flow.stroke_volume_ml, dict(output_l_min=5, heart_rate_bpm=72), dict(
        output_l_min=(0.1, 20), heart_rate_bpm=(30, 250)))


def test_flow_in_millilitres_is_caught():
    assert "mL/min" in fault(flow.cardiac_index_l_min_m2, dict(output_l_min=600, body_surface_m2=0.2))

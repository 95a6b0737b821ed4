"""The command line as its callers use it: shapes of the JSON, exit codes, sentences on stderr."""

import json
import subprocess
import sys

import pytest

from pvcalc.handbook.cli import commands


def run(capsys, *arguments):
    """(exit status, stdout, stderr) of one command."""
    try:
        status = commands.main(list(arguments))
    except SystemExit as stop:  # argparse's own way out
        status = stop.code
    out, err = capsys.readouterr()
    return status, out, err


def test_formulas_json_has_the_promised_shape(capsys):
    status, out, _ = run(capsys, "formulas", "--json")
    listed = {entry["name"]: entry for entry in json.loads(out)}
    assert status == 0 and len(listed) > 80
    for entry in listed.values():
        assert {"name", "module", "arguments", "source", "printed"} <= set(entry)
        for argument in entry["arguments"]:
            assert {"name", "unit"} <= set(argument)
            assert "choices" in argument or {"low", "high"} <= set(argument) or {"least", "most"} <= set(argument)
        assert sum(entry["printed"]["kind"].values()) == sum(entry["printed"]["seen"].values()) == entry["printed"]["total"]
    assert listed["balloon_range_mm"]["module"] == "sizing.ratio"
    assert [argument["name"] for argument in listed["balloon_range_mm"]["arguments"]] == ["annulus_mm", "low_ratio", "high_ratio"]
    assert listed["annulus_z"]["arguments"][-1] == {"name": "view", "unit": "", "choices": ["short_axis", "long_axis"]}


# Module, function, arguments in order: the contract that chapters and outside scripts rest on (a sample of each module).
CONTRACT = [
    ("formulas.pressure_gradient", "bernoulli_gradient_proximal_mmhg", ["velocity_m_s", "proximal_velocity_m_s"]),
    ("formulas.pressure_gradient", "pa_systolic_pressure_mmhg", ["rv_systolic_mmhg", "gradient_mmhg", "gradient_kind"]),
    ("formulas.pressure_trace", "mean_gradient_from_trace_mmhg", ["rv_mmhg", "pa_mmhg", "sampling_hz"]),
    ("formulas.catheter_frequency", "damping_ratio", ["first_swing_mm", "next_swing_mm", "apart"]),
    ("formulas.flow", "oxygen_content_ml_dl", ["haemoglobin_g_dl", "saturation_fraction", "po2_mmhg", "binding_ml_g"]),
    ("formulas.oxygen_uptake", "oxygen_uptake_seckeler_ml_min",
     ["age_years", "weight_kg", "body_surface_m2", "single_ventricle", "critical_illness"]),
    ("formulas.resistance", "pulmonary_resistance_wu", ["mean_pa_mmhg", "wedge_mmhg", "flow_l_min"]),
    ("formulas.valve_area", "gorlin_area_cm2", ["transvalvar_flow_l_min", "heart_rate_bpm", "ejection_period_s", "mean_gradient_mmhg"]),
    ("formulas.body_size", "body_surface_m2", ["height_cm", "weight_kg", "by"]),
    ("formulas.body_size", "annulus_z", ["annulus_mm", "age_years", "height_cm", "weight_kg", "view"]),
    ("sizing.two_balloons", "two_balloon_belt_mm", ["balloon_a_mm", "balloon_b_mm"]),
    ("sizing.inventory", "shelf_choices", ["annulus_mm", "frame", "zones", "shelf"]),
    ("sizing.balloon", "balloon_volume_ml", ["diameter_mm", "length_mm", "shoulder_mm", "shaft_mm"]),
    ("formulas.regurgitation", "pr_index", ["regurgitation_ms", "diastole_ms"]),
    ("formulas.kidney", "egfr_ckd_epi_2021_ml_min_173", ["creatinine_umol_l", "age_years", "sex"]),
    ("formulas.doses", "protamine_mg", ["heparin_units", "minutes_since", "cap_mg"]),
    ("formulas.radiation", "kap_per_kg_ugy_m2", ["kap_ugy_m2", "weight_kg"]),
    ("statistics.proportion", "difference_interval", ["events_a", "cases_a", "events_b", "cases_b", "confidence"]),
    ("statistics.survival", "step_hazards", ["years", "event_free_fractions"]),
    ("statistics.monitoring", "funnel_limits", ["benchmark_fraction", "cases", "confidence"]),
    ("formulas.simulation", "simulate", ["orifice_area_cm2", "heart_rate_bpm", "output_l_min", "contractility_mmhg_ml",
                                 "infundibulum_diastole_cm2", "infundibulum_systole_cm2"]),
]


@pytest.mark.parametrize(("module", "name", "arguments"), CONTRACT, ids=[row[1] for row in CONTRACT])
def test_names_and_order_of_arguments_are_the_contract(capsys, module, name, arguments):
    _, out, _ = run(capsys, "formulas", "--json")
    entry = next(entry for entry in json.loads(out) if entry["name"] == name)
    assert (entry["module"], [argument["name"] for argument in entry["arguments"]]) == (module, arguments)


def test_calc_json_gives_several_results_by_name(capsys):
    status, out, _ = run(capsys, "calc", "balloon_range_mm", "annulus_mm=18.4", "low_ratio=1.2", "high_ratio=1.25", "--json")
    reply = json.loads(out)
    assert status == 0
    assert reply["name"] == "balloon_range_mm"
    assert reply["inputs"] == {"annulus_mm": 18.4, "low_ratio": 1.2, "high_ratio": 1.25}
    # 18.4 × 1.2 and 18.4 × 1.25, by hand.
    assert reply["result"] == {"low_mm": pytest.approx(22.08), "high_mm": pytest.approx(23.0)}
    assert reply["unit"] == "mm" and reply["source"]


def test_calc_understands_a_decimal_comma(capsys):
    assert run(capsys, "calc", "bernoulli_gradient_mmhg", "velocity_m_s=3,5")[1].strip() == "49\u00a0mmHg"


def test_a_refusal_goes_to_stderr_and_exits_1(capsys):
    status, out, err = run(capsys, "calc", "balloon_range_mm", "annulus_mm=0.9", "low_ratio=1.2", "high_ratio=x", "--json")
    assert (status, out) == (1, "")
    assert "Annulus 0.9" in err and "3 to 45" in err and "typed in cm (9" in err
    assert "High ratio “x” is not a plain number" in err, "several faults are told together"


def test_a_weight_that_does_not_fit_the_height_is_asked_about(capsys):
    given = ["calc", "annulus_z", "annulus_mm=14", "age_years=5", "height_cm=110", "weight_kg=39.7", "view=short_axis"]
    status, out, err = run(capsys, *given)
    assert (status, out) == (1, "") and "pounds" in err and "--checked" in err
    assert run(capsys, *given, "--checked")[0] == 0


@pytest.mark.parametrize(("arguments", "words"), [
    (["calc", "balloon_rang_mm"], "nearest name: balloon_range_mm"),
    (["calc", "balloon_ratio", "balloon_mm=20", "annulus_mm=16", "annulus_mm=17"], "given twice"),
    (["calc", "balloon_ratio", "balloon_mm=20"], "Annulus is missing"),
    (["calc", "balloon_ratio", "balloon_mm=20", "anulus_mm=16"], "nearest name: annulus_mm"),
])
def test_what_cannot_be_computed_exits_1(capsys, arguments, words):
    status, out, err = run(capsys, *arguments)
    assert (status, out) == (1, "") and words in err


@pytest.mark.parametrize("arguments", [[], ["nonsense"], ["calc"], ["calc", "balloon_ratio", "twenty"], ["--no-such-option"]])
def test_misuse_exits_2(capsys, arguments):
    status, _, err = run(capsys, *arguments)
    assert status == 2 and err


def test_lint_exits_1_and_prints_file_and_line(capsys, copy_of_project):
    (copy_of_project / "kb" / "sizing.md").write_text("# T\n\nA gap of 5 mm.\n", encoding="utf-8")
    status, out, _ = run(capsys, "--root", str(copy_of_project), "lint")
    assert status == 1 and "kb/sizing.md:3: bare number" in out


def test_it_runs_as_a_module(root):
    done = subprocess.run([sys.executable, "-m", "pvcalc", "calc", "balloon_ratio", "balloon_mm=20", "annulus_mm=16"],
                          cwd=root, capture_output=True, text=True)
    assert (done.returncode, done.stdout.strip(), done.stderr) == (0, "1.25", "")

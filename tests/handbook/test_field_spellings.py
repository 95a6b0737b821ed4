"""The names people write for a field of the plan: every one is led to the field, in the terminal too."""

import pytest

from pvcalc.handbook.cli import commands
from pvcalc.handbook.data import field_spellings
from pvcalc.plan.inputs import FIELDS, NAMES
from tests.conftest import ROOT

KNOWN = field_spellings.spellings(ROOT)
# What a colleague means by it, typed a second time for those that can be misread.
MEANT = {
    "bsa": ["height_cm", "weight_kg"], "weight": ["weight_kg"], "wt": ["weight_kg"], "w_kg": ["weight_kg"], "h_cm": ["height_cm"], "rvsp": ["rv_systolic_mmhg"],
    "pg": ["doppler_peak_mmhg", "catheter_peak_to_peak_mmhg"], "dopp": ["doppler_velocity_m_s", "doppler_peak_mmhg"], "cr": ["creatinine_umol_l", "creatinine_mg_dl"],
    "pr": ["pulmonary_regurgitation"], "hr": ["heart_rate_bpm"], "spo2": ["saturation_percent"], "dome": ["valve"], "cvp": ["ra_pressure_mmhg"], "pda": ["duct"],
    "svo2": ["pa_saturation_percent"], "qp": ["lung_flow_l_min"], "p2p": ["catheter_peak_to_peak_mmhg"], "tr": ["tricuspid_regurgitation", "tr_velocity_m_s"], "sex": [],
}


def test_there_are_forty_and_each_leads_to_fields_that_exist():
    assert len(KNOWN) >= 40 and field_spellings.findings(ROOT, NAMES) == []


@pytest.mark.parametrize("typed", sorted(KNOWN))
def test_each_spelling_is_led_to_its_field(typed):
    for written in (typed, typed.upper(), typed.replace("_", "-"), typed.replace("_", " ").title()):
        said = field_spellings.lead(KNOWN, written)
        assert said.startswith(written + " is not an input of the plan; ") and said.endswith(".")
        assert all(field in said for field in KNOWN[typed]) and ("choose" in said) == (len(KNOWN[typed]) > 1)


@pytest.mark.parametrize("typed, fields", sorted(MEANT.items()))
def test_a_spelling_means_what_a_colleague_means(typed, fields):
    assert KNOWN.get(typed, []) == fields and (field_spellings.lead(KNOWN, typed) == "") == (fields == [])


@pytest.mark.parametrize("text", ["zz: no_such_field\n", "weight_kg: height_cm\n", "Wt: weight_kg\n", "zz: []\n"])
def test_a_line_that_leads_nowhere_is_a_fault(tmp_path, text):
    (tmp_path / field_spellings.SPELLINGS).parent.mkdir(parents=True)
    (tmp_path / field_spellings.SPELLINGS).write_text("wt: weight_kg\n" + text, encoding="utf-8")
    [fault] = field_spellings.findings(tmp_path, NAMES)
    assert fault.line == 2


def test_the_terminal_leads_to_the_field_and_lists_all_fields(tmp_path, capsys):
    path = tmp_path / "one.yml"
    path.write_text("age_years: 8\nwt: 25\nPG: 60\nheight_cm: 4 ft\n", encoding="utf-8")
    assert commands.main(["plan", str(path)]) == 1
    told = capsys.readouterr().err.splitlines()
    assert f"plan: {path}:2: wt is not an input of the plan; its field is weight_kg." in told
    assert f"plan: {path}:3: PG is not an input of the plan; choose one or more of doppler_peak_mmhg and catheter_peak_to_peak_mmhg." in told
    assert any(f"{path}:4: Height" in one and "is in ft" in one for one in told) and len(told) == 3
    assert commands.main(["plan", "--fields"]) == 0
    listed = capsys.readouterr().out
    for name, limit, _ in FIELDS:
        [line] = [line for line in listed.splitlines() if line.strip().startswith(name + ":")]
        assert all(word in line for word in limit.choices)
        assert limit.kind != "number" or f"{limit.low:g} to {limit.high:g}" in line
    assert "weight_kg: Weight, kg, 0.5 to 250" in listed and "    frame: Frame, open_valve_systole | end_systole" in listed
    assert commands.main(["plan"]) == 2 and "--fields" in capsys.readouterr().err


def test_readme_page_and_help_say_where_the_fields_are_listed(capsys):
    with pytest.raises(SystemExit):
        commands.main(["plan", "--help"])
    for text in (capsys.readouterr().out, (ROOT / "README.md").read_text(encoding="utf-8"), (ROOT / "kb/plan.md").read_text(encoding="utf-8")):
        assert "pvcalc plan --fields" in " ".join(text.split())

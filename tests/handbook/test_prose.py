"""The two readings of a sentence: what they must catch, and what they must leave alone."""

import pytest

from pvcalc.handbook.authoring import prose

CLEAN = [
    "The waist goes, and so does the argument.",
    "Start at [=target_low_ratio] times the annulus.",
    "Nine of them came back [@rao1998, abstract].",
    "Give 1 mg slowly [practice].",
    "Give 0.5 mg slowly [practice].",
    "The annulus measured 20.0 mm on both frames [practice].",
    "Read chapter 3, then take two taps.",
    "Signed on 2026-11-25, and again on 25 November 2027.",
    "Use `annulus_mm=18.4 mm` in a terminal.",
    "See [the phase trap](sizing.md#phase-25-mm).",
    "Read https://example.org/5-mm.html first.",
    "The z-score was \u22122.5 at birth [practice].",
    "Wait 5 to 10 min, or 5\u201310 min [practice].",
    "Give 5000 units at once [practice].",
    "An edition of 2020 is older than one of 2025.",
    "$v = 4$ is not a sentence of its own.",
]


@pytest.mark.parametrize("line", CLEAN)
def test_a_clean_sentence_passes(line):
    assert prose.faults(line) == []


@pytest.mark.parametrize(("line", "told"), [
    ("A gap of 5 mm is wide.", "“5 mm”"),
    ("A gap of 5 to 10 mm is wide.", "“5 to 10 mm”"),
    ("[=target_low_ratio] and then 5 mm more.", "“5 mm”"),
    ("It fell by 40 percent.", "“40 percent”"),
    ("Come back in 6 months.", "“6 months”"),
    ("Pace at 180 beats a minute.", "“180 beats"),
    ("It holds 4 atm.", "“4 atm”"),
    ("A 7 F sheath takes it.", "“7 F”"),
    ("The dose was 5/822 in all.", "5/822"),
])
def test_a_number_without_a_source_is_told(line, told):
    assert any("bare number" in fault and told in fault for fault in prose.faults(line))


def test_a_mark_covers_its_own_sentence_only_by_line():
    assert prose.faults("A gap of 5 mm [practice].") == []
    assert prose.faults("A gap of 5 mm.") != []


@pytest.mark.parametrize(("line", "held"), [
    ("Of 0.1 mg/mL it is 0.01 mL/kg, and 5 mL in 10 min.", "Of 0.1~mg/mL it is 0.01~mL/kg, and 5~mL in 10~min."),
    ("It fell by 40 % at 100 micrograms/kg/min.", "It fell by 40~% at 100~micrograms/kg/min."),
    ("Of 189 patients 19 had a 7 F sheath; 5 months later 3 for 4 Frenchmen, at 35 /min.", "Of 189 patients 19 had a 7~F sheath; 5~months later 3 for 4 Frenchmen, at 35~/min."),
    ("A wire of 0.035 in takes 2 more minutes.", "A wire of 0.035 in takes 2 more minutes."),
])
def test_a_number_is_held_to_its_unit(line, held):
    assert prose.held(line) == held.replace("~", "\u00a0")

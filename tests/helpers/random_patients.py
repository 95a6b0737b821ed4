"""Random patients for the case plan: plausible, sparse, sometimes absurd; the same ones on every run."""

import random

from pvcalc.plan.inputs import CALIBRATIONS, FIELDS, FRAMES, LIMITS, MODALITIES, VIEWS

RUBBISH = ["", " ", "abc", "NaN", "Infinity", "-0", "1.234,5", "1,2,3", "−5", "undefined", "1e3", None, "0"]
# Sizes that go together, so that most patients are computed and not questioned: age in years, cm, kg.
BODIES = [(0.005, 50, 3.3), (0.04, 52, 3.9), (0.3, 61, 6.1), (1.2, 77, 10), (4, 103, 16.5), (8, 128, 26), (13, 156, 47),
          (17.9, 170, 62), (18, 171, 64), (34, 168, 71), (62, 174, 88)]


def patients(count, seed=20261125):
    """`count` dicts of inputs; about one in eight holds something that must be refused."""
    chance = random.Random(seed)
    return [_patient(chance) for _ in range(count)]


def _patient(chance):
    years, height, weight = chance.choice(BODIES)
    found = {"age_days": round(years * 365.25)} if years < 2 else {"age_years": years}
    if chance.random() < 0.75:
        found["height_cm"] = round(height * chance.uniform(0.94, 1.06), 1)
        found["weight_kg"] = round(weight * chance.uniform(0.85, 1.2), 2)
    density = chance.choice([0.2, 0.5, 0.9])
    # Few patients have alerts, were treated before or come back after the balloon; else nearly all would be stopped.
    seldom = [group for group in ("alerts", "history", "levels", "after", "done", "discharge") if chance.random() >= 0.2]
    for name, limit, group in FIELDS:
        if group in seldom or group == "own":  # a count without its cases is refused; the pair is made below
            continue
        if name in found or name.startswith("age_") or name in ("height_cm", "weight_kg", "checked") or limit.kind in ("list", "records"):
            continue
        if chance.random() > density:
            continue
        if name == "creatinine_mg_dl" and "creatinine_umol_l" in found:
            continue  # nobody types one value in two units
        if limit.kind == "choice":
            found[name] = chance.choice(limit.choices)
        elif limit.kind == "number":
            found[name] = _number(chance, name, limit)
    if chance.random() < 0.2:
        found["own_deaths_cases"] = chance.randint(1, 300)
        found["own_deaths_count"] = chance.randint(0, min(3, found["own_deaths_cases"]))
    _made_to_fit(chance, found)
    _records(chance, found, height, density)
    if chance.random() < 0.12:
        found[chance.choice(list(LIMITS) + ["doppler_gradient_mmhg"])] = chance.choice(RUBBISH)
    return found


USUAL = {"rv_systolic_mmhg": (30, 140), "systemic_systolic_mmhg": (55, 150), "pa_systolic_mmhg": (12, 28), "pa_diastolic_mmhg": (4, 12),
         "doppler_velocity_m_s": (2, 6), "doppler_peak_mmhg": (10, 120), "doppler_mean_mmhg": (5, 60), "catheter_mean_mmhg": (5, 30),
         "catheter_peak_to_peak_mmhg": (5, 90), "ra_pressure_mmhg": (0, 15), "creatinine_umol_l": (20, 180), "contrast_used_ml": (0, 120),
         "tr_velocity_m_s": (2, 5.5), "ejection_period_s": (0.18, 0.4), "heart_rate_bpm": (60, 140),
         "rvot_systolic_mmhg": (15, 90), "rv_end_diastolic_mmhg": (2, 18), "systemic_awake_mmhg": (60, 150), "lung_flow_l_min": (0.4, 8), "output_l_min": (0.4, 7),
         "pa_saturation_percent": (45, 85), "saturation_percent": (70, 100), "contrast_earlier_72h_ml": (0, 60), "prostaglandin_nanograms_kg_min": (5, 100),
         "after_rv_systolic_mmhg": (25, 120), "after_rvot_systolic_mmhg": (20, 90), "after_pa_systolic_mmhg": (12, 35), "after_systemic_systolic_mmhg": (45, 130),
         "after_ra_pressure_mmhg": (0, 20), "after_balloon_mm": (5, 30), "after_inflations_count": (1, 4), "after_sheath_french": (4, 12), "after_kap_ugy_m2": (20, 3000),
         "after_fluoroscopy_minutes": (5, 60), "after_doppler_peak_mmhg": (5, 60), "after_saturation_percent": (75, 100)}


def _number(chance, name, limit):
    low, high = USUAL.get(name, (limit.low, limit.high))
    edges = [36, 40, 50, 60, 64] if name.startswith("doppler_peak") or name.startswith("catheter_peak") else [low, high]
    return chance.choice(edges) if chance.random() < 0.15 else round(chance.uniform(low, high), chance.choice([0, 1, 2] if high > 10 else [2, 3]))


def _made_to_fit(chance, found):
    """Most of the time, values that contradict each other are taken out."""
    if chance.random() < 0.1:
        return
    if "doppler_velocity_m_s" in found:
        found.pop("doppler_peak_mmhg", None)
        found.pop("doppler_mean_mmhg", None)
    if found.get("doppler_mean_mmhg", 0) > found.get("doppler_peak_mmhg", 1000):
        found.pop("doppler_mean_mmhg")
    if found.get("after_performed") == "no":
        for name in ("after_balloon_mm", "after_waist", "after_inflations_count"):
            found.pop(name, None)
    else:
        found.pop("after_abandoned_because", None)
    if "yes" in (found.get("after_died"), found.get("after_tear")) or found.get("after_heart_block") == "complete":
        found.pop("after_event_level", None)
    for when in ("", "after_"):
        body, below, artery = [found.get(f"{when}{place}_systolic_mmhg") for place in ("rv", "rvot", "pa")]
        if None not in (body, below) and below > body:
            below = found[f"{when}rvot_systolic_mmhg"] = body
        if artery is not None and artery > min([value for value in (below, body) if value is not None], default=artery):
            found[f"{when}pa_systolic_mmhg"] = min(value for value in (below, body) if value is not None)
    if "rv_systolic_mmhg" in found:
        room = found["rv_systolic_mmhg"] - found.get("pa_systolic_mmhg", 0)
        if found.get("catheter_peak_to_peak_mmhg", 0) > room:
            found["catheter_peak_to_peak_mmhg"] = max(0, round(room - 2))


def _records(chance, found, height, density):
    if chance.random() < 0.7:
        found["annulus"] = [_annulus(chance, height) for _ in range(chance.choice([1, 1, 2, 3]))]
        if chance.random() < 0.4:  # one that may size a balloon
            found["annulus"][0] = {"mm": found["annulus"][0]["mm"], "modality": "angiogram", "view": "lateral", "frame": "open_valve_systole", "calibration": "marker_or_sphere"}
    if chance.random() < 0.75:
        found["shelf_mm"] = sorted(chance.sample([4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 16, 18, 20, 22, 23, 25, 28, 30], chance.choice([1, 4, 7])))
    if chance.random() < density / 2:
        found["heparin"] = [{"units": chance.randrange(100, 6000), "minutes_ago": chance.randrange(0, 240)} for _ in range(chance.choice([1, 2, 3]))]


def _annulus(chance, height):
    entry = {"mm": round(max(3.0, height * chance.uniform(0.11, 0.16)), 1), "modality": chance.choice(MODALITIES.choices)}
    if chance.random() < 0.8:
        entry["view"] = chance.choice(VIEWS[entry["modality"]])
    if chance.random() < 0.8:
        entry["frame"] = chance.choice(FRAMES.choices)
    if chance.random() < 0.5:
        entry["calibration"] = chance.choice(CALIBRATIONS.choices)
    return entry

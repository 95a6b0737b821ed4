"""The simulated circulation once more, by scipy's adaptive integrator, and the cases it is compared in."""

import math

import numpy as np
from scipy.integrate import solve_ivp

# The constants of the model once more, written from its description and not read from the module.
HALF_DENSITY = 0.5 * 1.06 / 1333.22
E_MIN, V_0, Z_C, R_P, COMPLIANCE, P_LA, R_TV, C_RA, INERTANCE = 0.05, 10, 0.0165, 0.065, 4.0, 8, 0.010, 20, 5e-4

SEVERE = dict(orifice_area_cm2=0.6, heart_rate_bpm=75, output_l_min=5, contractility_mmhg_ml=1.683,
              infundibulum_diastole_cm2=50, infundibulum_systole_cm2=50)
NORMAL = {**SEVERE, "orifice_area_cm2": 3.5, "contractility_mmhg_ml": 0.6}
TIGHT = {**SEVERE, "orifice_area_cm2": 0.4, "contractility_mmhg_ml": 2.999}
FAST = {**SEVERE, "heart_rate_bpm": 150}
CLAMPED = {**SEVERE, "orifice_area_cm2": 3.0, "contractility_mmhg_ml": 2.2, "infundibulum_diastole_cm2": 2.0,
           "infundibulum_systole_cm2": 0.4}
SLOW_AND_WIDE = {**SEVERE, "orifice_area_cm2": 1.5, "heart_rate_bpm": 52, "output_l_min": 3.3, "contractility_mmhg_ml": 0.9,
                 "infundibulum_diastole_cm2": 3.0, "infundibulum_systole_cm2": 1.2}
CASES = [SEVERE, NORMAL, TIGHT, FAST, CLAMPED, SLOW_AND_WIDE]
NAMES = ["severe", "normal", "tight", "fast", "clamped", "slow and wide"]


class Witness:
    """The same circulation by scipy's adaptive integrator, each valve event located by root finding."""

    def __init__(self, case):
        self.cycle = 60 / case["heart_rate_bpm"]
        self.venous_return = case["output_l_min"] * 1000 / 60
        self.orifice, self.e_max = case["orifice_area_cm2"], case["contractility_mmhg_ml"]
        self.below = case["infundibulum_diastole_cm2"], case["infundibulum_systole_cm2"]

    def active(self, time):
        pace = math.sqrt(self.cycle / 0.8)
        if time < 0.30 * pace:
            return (1 - math.cos(math.pi * time / (0.30 * pace))) / 2
        if time < 0.45 * pace:
            return (1 + math.cos(math.pi * (time - 0.30 * pace) / (0.15 * pace))) / 2
        return 0.0

    def pressure(self, time, volume):
        return (E_MIN + (self.e_max - E_MIN) * self.active(time)) * (volume - V_0)

    def loss(self, time):
        area = self.below[0] + (self.below[1] - self.below[0]) * self.active(time)
        return HALF_DENSITY / self.orifice ** 2 + (HALF_DENSITY / area ** 2 if area < 50 else 0)

    def slopes(self, ejecting):
        def right_side(time, state):
            volume, flow, artery, veins = state
            pressure = self.pressure(time, volume)
            inflow = max(0.0, (veins - pressure) / R_TV)
            push = (pressure - artery - Z_C * flow - self.loss(time) * flow * abs(flow)) / INERTANCE if ejecting else 0.0
            return [inflow - flow, push, (flow - (artery - P_LA) / R_P) / COMPLIANCE, (self.venous_return - inflow) / C_RA]
        return right_side

    def beat(self, start, times):
        """(states at the times, state at the end, seconds of flow)."""
        def opens(time, state):
            return self.pressure(time, state[0]) - state[2]

        def closes(time, state):
            return state[1]
        opens.terminal, opens.direction, closes.terminal, closes.direction = True, 1, True, -1
        how = dict(method="LSODA", rtol=1e-9, atol=1e-9, dense_output=True, max_step=0.005)
        filling = solve_ivp(self.slopes(False), (0, self.cycle), start, events=opens, **how)
        ejection = solve_ivp(self.slopes(True), (filling.t[-1], self.cycle), filling.y[:, -1], events=closes, **how)
        rest_from = [ejection.y[0, -1], 0, ejection.y[2, -1], ejection.y[3, -1]]
        rest = solve_ivp(self.slopes(False), (ejection.t[-1], self.cycle), rest_from, **how)
        states = [part.sol(time) for time in times
                  for part in [filling if time <= filling.t[-1] else ejection if time <= ejection.t[-1] else rest]]
        return np.array(states), rest.y[:, -1], ejection.t[-1] - filling.t[-1]

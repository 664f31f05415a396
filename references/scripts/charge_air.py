"""A turbocharged engine at full load, written independently: all balances at once, found by SciPy's root finder.

Air filter - compressor - charge pipe - cooler - manifold - engine; exhaust - turbine beside a flap that a can at boost
pressure opens. Mean values: compressor and turbine with constant efficiencies, specific heat of dry air by temperature
(CoolProp at atmospheric pressure), turbine and flap as one opening by Stodola's ellipse, engine by volumetric efficiency.
"""

import math

import CoolProp.CoolProp as cp
from scipy.optimize import root

from common import CRITICAL, GAMMA, R_AIR, hole, nozzle_flux, write_json

BAROMETER, TEMPERATURE, COEFFICIENT = 101325.0, 300.0, 0.75
EXHAUST_GAMMA = 4 / 3
# Choked flow of exhaust times the root of its temperature, per area and pressure.
EXHAUST = math.sqrt(EXHAUST_GAMMA / R_AIR) * (2 / (EXHAUST_GAMMA + 1)) ** ((EXHAUST_GAMMA + 1) / (2 * (EXHAUST_GAMMA - 1)))


def heat(temperature):
    """Specific heat of dry air [J/(kg K)] at 101.325 kPa."""
    return cp.PropsSI("C", "T", temperature, "P", 101325.0, "Air")


def ellipse(ratio):
    """Flow relative to choked flow, ISO 6358 with the critical ratio of a nozzle; an odd cubic above 0.999."""
    if ratio <= CRITICAL:
        return 1.0
    value = lambda r: math.sqrt(1 - ((r - CRITICAL) / (1 - CRITICAL)) ** 2)
    if ratio < 0.999:
        return value(ratio)
    y, psi = 1e-3, value(0.999)
    slope = -((0.999 - CRITICAL) / (1 - CRITICAL) ** 2) / psi
    first, third = 0.5 * (3 * psi / y + slope), -0.5 * (psi / y + slope) / y**2
    return (1 - ratio) * (first + third * (1 - ratio) ** 2)


def opening(bore, a, b):
    """Mass flow [kg/s] of a round opening from absolute pressure a to b, air at ambient temperature."""
    if b > a:
        return -opening(bore, b, a)
    choked = COEFFICIENT * hole(bore) * math.sqrt(GAMMA / (R_AIR * TEMPERATURE)) * (2 / (GAMMA + 1)) ** 3
    return choked * a * ellipse(b / a)


# A petrol engine of the class; figures from memory.
ENGINE = dict(displacement=1.6e-3, filling=0.9, fuel=1 / 12.5, exhaust=1100.0)
TURBO = dict(nozzle=26.0e-3, gate=24.0e-3, travel=10e-3, compressor=0.70, turbine=0.66, best=2.0, ceiling=3.4)
CAN = dict(diameter=50e-3, preload=98.0, rate=6.9e3, travel=10e-3)
FEED, FILTER, COOLER, EFFECT = 1.2e-3, 60e-3, 42e-3, 0.75


def balance(unknowns, state):
    """Residuals at inlet, compressor outlet, manifold, can and shaft; flows in kg/s, the shaft in its share of power."""
    inlet, outlet, manifold, can, ratio = unknowns
    ambient = state["barometer"]
    beyond = max(ratio - TURBO["best"], 0.0) / (TURBO["ceiling"] - TURBO["best"])
    fresh = (ratio ** (R_AIR / heat(TEMPERATURE)) - 1) / (TURBO["compressor"] * max(1 - beyond**2, 1e-3))
    hot = TEMPERATURE * (1 + fresh)
    charge = hot - EFFECT * (hot - TEMPERATURE)
    swallowed = ENGINE["filling"] * ENGINE["displacement"] * state["speed"] / 120 * manifold / (R_AIR * charge)
    area = math.pi / 4 * CAN["diameter"] ** 2
    travel = min(max((area * (can - ambient) - CAN["preload"]) / CAN["rate"], 0.0), CAN["travel"])
    if state["flap"] is not None:
        travel = state["flap"]
    open_share = state["ajar"] + (1 - state["ajar"]) * travel / TURBO["travel"]
    gate = hole(TURBO["gate"]) * open_share
    nozzle = hole(TURBO["nozzle"])
    exhaust = swallowed * (1 + ENGINE["fuel"]) * (1 - state["lost"])
    heated = ENGINE["exhaust"]
    before = math.hypot(ambient, exhaust * math.sqrt(heated) / (EXHAUST * (nozzle + gate)))
    driven = exhaust * nozzle / (nozzle + gate)
    power = TURBO["turbine"] * state["drags"] * driven * heat(heated) * heated * (1 - (ambient / before) ** (R_AIR / heat(heated)))
    through = opening(FILTER if state["filter"] is None else state["filter"], ambient, inlet)
    needed = through * heat(TEMPERATURE) * TEMPERATURE * fresh
    feed = opening(FEED, outlet, can)
    cooled = opening(COOLER, outlet, manifold)
    leak = lambda bore, p: opening(bore, p, ambient) if bore else 0.0
    return [
        (ratio * inlet - outlet) / ambient,
        through - cooled - feed,
        cooled - swallowed - leak(state["leak"], manifold),
        (feed - leak(state["signal"], can)) * 1e3,
        (needed - power) / 1e4,
    ]


def solve(**fault):
    healthy = dict(speed=3200, barometer=BAROMETER, leak=0.0, signal=0.0, filter=None, flap=None, ajar=0.0, lost=0.0, drags=1.0)
    state = healthy | fault
    ambient = state["barometer"]
    for start in (1.05, 1.1, 1.2, 1.4, 1.6, 1.8, 2.2, 2.6):
        lost = 0.1 if state["signal"] > 1.5e-3 else 0.95 * (start - 1)
        guess = [0.99 * ambient, start * ambient, 0.99 * start * ambient, (1 + lost) * ambient, start]
        found = root(balance, guess, args=(state,), method="hybr", tol=1e-13)
        if found.success and max(map(abs, found.fun)) < 1e-9 and found.x[4] > 1:
            return state, found.x
    raise RuntimeError(f"no balance: {state}")


CASES = {
    "sound": {},
    "sound, 2000 rpm": dict(speed=2000),
    "sound, 5000 rpm": dict(speed=5000),
    "sound, 1600 m": dict(barometer=83436.0),
    "flap seized shut": dict(flap=0.0),
    "signal lost, 0.8 mm": dict(signal=0.8e-3),
    "signal lost, 1.2 mm": dict(signal=1.2e-3),
    "signal lost, 2.0 mm": dict(signal=2.0e-3),
    "signal lost, 3.0 mm": dict(signal=3.0e-3),
    "cooler holed, 4 mm": dict(leak=4e-3),
    "cooler holed, 12 mm": dict(leak=12e-3),
    "air cleaner clogged, 20 mm": dict(filter=20e-3),
    "flap ajar, 30 %": dict(ajar=0.3),
    "exhaust leaks, 20 %": dict(lost=0.2),
    "wheel drags, 70 % left": dict(drags=0.7),
}
rows = []
for name, fault in CASES.items():
    state, (inlet, outlet, manifold, can, ratio) = solve(**fault)
    gauge = [p - state["barometer"] for p in (inlet, outlet, manifold, can)]
    rows.append(dict(case=name, speed=state["speed"], barometer=state["barometer"], fault=fault, gauge=[float(f"{p:.8g}") for p in gauge], ratio=float(f"{ratio:.9g}")))
write_json(
    "charge_air.json",
    "computed by references/scripts/charge_air.py with SciPy 1.17.1 and CoolProp 8.0.0; gauge pressures in Pa at compressor inlet, outlet, manifold, can",
    {"cases": rows},
)

"""Time of one steady state of a 12-part vacuum circuit by SciPy's root finder, warm-started from the point before.

Pump, pump hose, check valve, booster with a pinhole, supply hose, in-line filter, valve hose, solenoid valve, vent filter,
signal hose, actuator with a pinhole, reservoir (no flow at rest): seven unknown pressures. The laws are those of
references/scripts/vacuum_circuit.py; duty, speed and leak are drawn anew for each point, as they are for the samples of a suspect.
"""

import json
import random
import sys
import time
from pathlib import Path

from scipy.optimize import root

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent / "references" / "scripts"))

from common import R_AIR  # noqa: E402
from vacuum_circuit import BAROMETER, TEMPERATURE, ULTIMATE, orifice, pump_speed, tube  # noqa: E402

POINTS = 2000


def surplus(pressures, duty, speed, leak):
    """Mass flow [mg/s] gained by inlet, tee, filter, source, output, nipple, vent."""
    inlet, tee, clean, source, output, nipple, vent = pressures
    pump = speed * (inlet - ULTIMATE) / (R_AIR * TEMPERATURE)
    hose = tube(6e-3, 0.3, tee, inlet) if tee >= inlet else -tube(6e-3, 0.3, inlet, tee)
    supply = tube(3.5e-3, 0.4, clean, tee)
    filtered = orifice(2.5e-3, source, clean)
    through = duty * orifice(1.2e-3, output, source)
    bleed = (1 - duty) * orifice(1.2e-3, vent, output)
    fresh = orifice(3e-3, BAROMETER, vent)
    signal = tube(3e-3, 0.5, nipple, output)
    torn = orifice(leak, BAROMETER, nipple)
    booster = orifice(0.2e-3, BAROMETER, tee)
    return [1e6 * gain for gain in (hose - pump, supply + booster - hose, filtered - supply, through - filtered, bleed + signal - through, torn - signal, fresh - bleed)]


def points():
    draw = random.Random(1)
    for _ in range(POINTS):
        yield draw.uniform(0.74, 0.82), pump_speed(draw.uniform(720, 880)), draw.uniform(0.1e-3, 0.5e-3)


def main():
    start = [8e3, 9e3, 10e3, 12e3, 30e3, 31e3, 100e3]
    first = root(surplus, start, args=next(points()), method="hybr", options={"xtol": 1e-10})
    assert first.success, first.message
    state, evaluations = first.x, 0
    began = time.perf_counter()
    for point in points():
        found = root(surplus, state, args=point, method="hybr", options={"xtol": 1e-10})
        state, evaluations = found.x, evaluations + found.nfev
        assert max(map(abs, found.fun)) < 1e-6, (point, found.fun)
    micros = (time.perf_counter() - began) / POINTS * 1e6
    print(json.dumps({"name": "scipy root, 12-part vacuum circuit, warm", "micros": micros, "points": POINTS, "evaluations": evaluations / POINTS}))


if __name__ == "__main__":
    main()

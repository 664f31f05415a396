"""Pump-down, fill and blow-down of a chamber: closed forms, checked here by SciPy's integrator."""

import math

from scipy.integrate import solve_ivp

from common import CHOKED, CRITICAL, GAMMA, R_AIR, hole, nozzle_flux, write_csv

ROOM, SEA_LEVEL = 293.15, 101325.0
VOLUME, DIAMETER = 0.5e-3, 0.5e-3
K = VOLUME / (hole(DIAMETER) * math.sqrt(R_AIR * ROOM))


def pump_down():
    cases = [
        ("1 m3 at 0.1 m3/s", 1.0, 0.1, 1e5, 5e4, 0.0, "6.9"), ("1 m3 at 0.1 m3/s", 1.0, 0.1, 1e5, 1e4, 0.0, "23"), ("1 m3 at 0.1 m3/s", 1.0, 0.1, 1e5, 1e3, 0.0, "46"),
    ]
    for ultimate in (0.0, 15e3):
        cases += [("0.5 L at 20 L/min", 0.5e-3, 20 / 60000, SEA_LEVEL, end, ultimate, None) for end in (5e4, 3e4, 2e4)]
    return [("pump-down", what, v, s, a, b, ultimate, v / s * math.log((a - ultimate) / (b - ultimate)), printed) for what, v, s, a, b, ultimate, printed in cases]


def fill_time(low, high, adiabatic=False):
    """Seconds in which a 0.5 L chamber fills from `low` to `high` through a 0.5 mm nozzle from the atmosphere."""
    ends = [min(max(p / SEA_LEVEL, CRITICAL), 1.0) for p in (low, high)]
    choked = K * (min(high / SEA_LEVEL, CRITICAL) - min(low / SEA_LEVEL, CRITICAL)) / CHOKED
    u = [end ** ((GAMMA - 1) / GAMMA) for end in ends]
    slow = K * math.sqrt(2 * GAMMA / (GAMMA - 1)) * (math.sqrt(1 - u[0]) - math.sqrt(max(0.0, 1 - u[1])))
    return (choked + slow) / (GAMMA if adiabatic else 1)


def fill():
    rows = []
    for low, high in ((20e3, CRITICAL * SEA_LEVEL), (CRITICAL * SEA_LEVEL, 80e3), (CRITICAL * SEA_LEVEL, 90e3), (CRITICAL * SEA_LEVEL, 100e3), (CRITICAL * SEA_LEVEL, SEA_LEVEL), (20e3, 90e3)):
        rows.append(("fill, isothermal", "0.5 L through 0.5 mm", VOLUME, None, low, high, None, fill_time(low, high), None))
    rows.append(("fill, adiabatic", "0.5 L through 0.5 mm", VOLUME, None, 20e3, 90e3, None, fill_time(20e3, 90e3, True), None))
    integrated = solve_ivp(lambda t, p: [R_AIR * ROOM / VOLUME * hole(DIAMETER) * nozzle_flux(SEA_LEVEL, p[0], ROOM)], (0, fill_time(20e3, 90e3)), [20e3], method="DOP853", rtol=1e-10, atol=1e-6)
    assert abs(integrated.y[0, -1] - 90e3) < 0.1, integrated.y[0, -1]
    return rows


def blow_down():
    tau = K / CHOKED
    start, end = 300e3, SEA_LEVEL / CRITICAL
    isothermal = tau * math.log(start / end)
    adiabatic = 2 * tau / (GAMMA - 1) * ((end / start) ** (-(GAMMA - 1) / (2 * GAMMA)) - 1)
    return [("blow-down, isothermal", "0.5 L through 0.5 mm", VOLUME, None, start, end, None, isothermal, None), ("blow-down, adiabatic", "0.5 L through 0.5 mm", VOLUME, None, start, end, None, adiabatic, None)]


if __name__ == "__main__":
    write_csv(
        "chambers.csv",
        """source: pump-down t = V/S ln((p0-pu)/(p-pu)), formula and printed seconds seen in three vacuum handbooks online; fill and blow-down by closed form (Bar-Meir, Fundamentals of Gas Dynamics, for the method), fill confirmed here by SciPy 1.17.1 DOP853
        Nozzle with coefficient 1, gamma 1.4, 293.15 K, atmosphere 101325 Pa; the blow-down ends where the nozzle to the atmosphere stops being choked.""",
        ("kind", "what", "volume_m3", "speed_m3_s", "start_pa", "end_pa", "ultimate_pa", "seconds", "printed_s"),
        pump_down() + fill() + blow_down(),
    )

"""Hold tests, pump-down and leak-down of an invented vacuum circuit, integrated by SciPy's stiff solver.

The equations are those of the literature that DERIVATIONS.md names, written here once more and on their own: openings by
ISO 6358-1 with the critical ratio of the nozzle, hoses by isothermal Darcy flow with Churchill's friction factor, a vane
pump by displacement, room by ideal gas at constant temperature. A diaphragm that gives way counts as room: V + p dV/dp.
"""

import math

from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from common import CHOKED, CRITICAL, INHG, R_AIR, hole, write_json

AMBIENT, TEMPERATURE = 101325.0, 300.0
RT = R_AIR * TEMPERATURE
VISCOSITY = 1.458e-6 * TEMPERATURE**1.5 / (TEMPERATURE + 110.4)
COEFFICIENT, LAMINAR, SEEPAGE = 0.75, 0.999, 7e-15
FITTINGS, HAND_PUMP, STANDING = 0.5e-6, 40e-6, 1.0e-3
LEVEL, WAIT, GIVEN_UP = 15 * INHG, 60.0, 120.0


def conductance(bore):
    return COEFFICIENT * hole(bore) * CHOKED / math.sqrt(RT)


def opening(c, a, b):
    """Mass flow from `a` to `b` by ISO 6358; near equal pressures an odd cubic that meets the ellipse with its slope."""
    if b > a:
        return -opening(c, b, a)
    r = b / a
    if r <= CRITICAL:
        return c * a
    x = (min(r, LAMINAR) - CRITICAL) / (1 - CRITICAL)
    psi = math.sqrt(1 - x * x)
    if r < LAMINAR:
        return c * a * psi
    slope, end, y = -x / ((1 - CRITICAL) * psi), 1 - LAMINAR, 1 - r
    first, third = 0.5 * (3 * psi / end + slope), -0.5 * (psi / end + slope) / end**2
    return c * a * (first * y + third * y**3)


def churchill(reynolds):
    a = (2.457 * math.log(1 / (7 / reynolds) ** 0.9)) ** 16
    b = (37530 / reynolds) ** 16
    return 8 * ((8 / reynolds) ** 12 + (a + b) ** -1.5) ** (1 / 12)


def hose(bore, length, a, b):
    if b > a:
        return -hose(bore, length, b, a)
    drive = bore**3 * (a * a - b * b) / (VISCOSITY**2 * length * RT)
    if drive == 0:
        return 0.0
    reynolds = drive / 64
    if reynolds > 1200:
        reynolds = math.exp(brentq(lambda ln: churchill(math.exp(ln)) * math.exp(2 * ln) - drive, math.log(500), math.log(1e9), xtol=1e-13))
    return math.pi / 4 * VISCOSITY * bore * reynolds


def plate(full, leak, lift, a, b):
    """A check valve that lets pass from `a` to `b`."""
    if a < b:
        return opening(leak, a, b)
    if a - b >= lift:
        return opening(full, a, b)
    return (a - b) / lift * opening(full, a, a - lift)


class Can:
    """A vacuum actuator: 45 mm, starts at 27 N, 4.5 N/mm, 12 mm; room of twice its way at rest."""

    area, preload, rate, way = math.pi / 4 * 45e-3**2, 27.0, 4.5e3, 12e-3

    def room(self, p):
        travel = (self.area * (AMBIENT - p) - self.preload) / (self.rate + 1e-3)
        room = 2 * self.area * self.way - self.area * min(max(travel, 0.0), self.way)
        return room + (p * self.area**2 / (self.rate + 1e-3) if 0 < travel < self.way else 0.0)


def integrate(flows, room, start, span, until=None):
    """Pressures after `span`, or the time until node `until[0]` falls to `until[1]`. `flows(p)`: mass gained by each node."""

    def rates(_, p):
        return [RT * (gain + SEEPAGE * (AMBIENT - x)) / v(x) for gain, x, v in zip(flows(p), p, room)]

    event = None
    if until:
        event = lambda _, p: p[until[0]] - until[1]
        event.terminal = True
    solved = solve_ivp(rates, (0, span), start, method="Radau", rtol=1e-9, atol=1e-3, events=event, max_step=span / 20)
    assert solved.success, solved.message
    if until:
        return solved.t_events[0][0] if len(solved.t_events[0]) else span
    return list(solved.y[:, -1])


LINE = {"bore": 3.0e-3, "length": 0.5}
HALF = 0.5 * hole(LINE["bore"]) * LINE["length"]


def hold_can(diaphragm=0.0):
    room = lambda p: FITTINGS + HAND_PUMP + Can().room(p)
    leak = conductance(diaphragm)
    return AMBIENT - integrate(lambda p: [opening(leak, AMBIENT, p[0])], [room], [AMBIENT - LEVEL], WAIT)[0]


def hold_line(diaphragm=0.0, split=None, left=None):
    """The pump on the hose, the can at its other end; the hose may have a split in its middle or be all but blocked at its end."""
    leak, can = conductance(diaphragm), Can()
    ends = [lambda p: FITTINGS + HAND_PUMP + HALF, lambda p: FITTINGS + HALF + can.room(p), lambda p: FITTINGS]
    if split is None and left is None:
        flows = lambda p: [-hose(**LINE, a=p[0], b=p[1]), hose(**LINE, a=p[0], b=p[1]) + opening(leak, AMBIENT, p[1])]
        return AMBIENT - integrate(flows, ends[:2], [AMBIENT - LEVEL] * 2, WAIT)[0]
    if left is not None:
        throat = conductance(left)

        def flows(p):
            first, second = hose(**LINE, a=p[0], b=p[2]), opening(throat, p[2], p[1])
            return [-first, second + opening(leak, AMBIENT, p[1]), first - second]
    else:
        crack, half = conductance(split), {"bore": LINE["bore"], "length": 0.5 * LINE["length"]}

        def flows(p):
            first, second = hose(**half, a=p[0], b=p[2]), hose(**half, a=p[2], b=p[1])
            return [-first, second + opening(leak, AMBIENT, p[1]), first - second + opening(crack, AMBIENT, p[2])]

    # The pump is held at its level until nothing moves, then closed.
    still = lambda p: [0.0] + flows([AMBIENT - LEVEL, p[1], p[2]])[1:]
    start = integrate(still, ends, [AMBIENT - LEVEL] * 3, 1e4)
    start[0] = AMBIENT - LEVEL
    return AMBIENT - integrate(flows, ends, start, WAIT)[0]


BRAKE = {"bore": 9e-3, "length": 0.8}
SOURCE = {"bore": 3.5e-3, "length": 0.8}
BOOSTER, LIFT, PASS = 5e-3, 1e3, 4e-3


class Whole:
    """Pump inlet 0, reservoir 1 behind the check valve (side of the pump 2), end of the source hose 3. Valve at rest."""

    def __init__(self, reservoir=0.0, back=2e-5, filling=0.85):
        self.leak, self.back = conductance(reservoir), conductance(back)
        self.filling, self.ultimate = filling, 0.06 * AMBIENT * 0.85 / filling
        volume = lambda line: 0.5 * hole(line["bore"]) * line["length"]
        fixed = [FITTINGS + volume(BRAKE) + volume(SOURCE), FITTINGS + BOOSTER, FITTINGS + volume(BRAKE), FITTINGS + volume(SOURCE)]
        self.room = [lambda p, v=v: v for v in fixed]

    def flows(self, p, running):
        full = conductance(PASS)
        brake, valve, source = hose(**BRAKE, a=p[2], b=p[0]), plate(full, self.back, LIFT, p[1], p[2]), hose(**SOURCE, a=p[3], b=p[0])
        if running:
            drawn = 130e-6 * 0.5 * 800 / 60 * self.filling * (p[0] - self.ultimate) / RT
        else:
            drawn = -opening(conductance(STANDING), AMBIENT, p[0])
        return [brake + source - drawn, opening(self.leak, AMBIENT, p[1]) - valve, valve - brake, -source]

    def pump_down(self):
        return integrate(lambda p: self.flows(p, True), self.room, [AMBIENT] * 4, GIVEN_UP, (1, AMBIENT - LEVEL))

    def leak_down(self):
        steady = integrate(lambda p: self.flows(p, True), self.room, [AMBIENT] * 4, 3e4)
        return AMBIENT - integrate(lambda p: self.flows(p, False), self.room, steady, WAIT)[1]


WATER = 249.08891
LEAK_PRESSURE = 13 * WATER


PURGE, VAPOUR = {"bore": 6e-3, "length": 3.5}, {"bore": 10e-3, "length": 1.5}


def evaporative(bore, level):
    """What is left 60 s after a leak unit was shut, and the flow it fed: port 0, canister 1, tank of 60 L with the hole 2."""
    half = lambda line: 0.5 * hole(line["bore"]) * line["length"]
    fixed = [half(PURGE), half(PURGE) + 1.5e-3 + half(VAPOUR), half(VAPOUR) + 60e-3 * (1 - level)]
    room, c = [lambda p, v=FITTINGS + v: v for v in fixed], conductance(bore)

    def flows(p):
        purge, vapour = hose(**PURGE, a=p[0], b=p[1]), hose(**VAPOUR, a=p[1], b=p[2])
        return [-purge, purge - vapour, vapour - opening(c, p[2], AMBIENT)]

    high = AMBIENT + LEAK_PRESSURE
    steady = integrate(lambda p: [0.0] + flows([high, p[1], p[2]])[1:], room, [high] * 3, 3e4)
    steady[0] = high
    left = integrate(flows, room, steady, WAIT)[0] - AMBIENT
    return {"hole_mm": round(bore * 1e3, 6), "level": level, "left_pa": left, "flow_l_min": -flows(steady)[0] * RT / AMBIENT * 60e3}


def main():
    holds = []
    for bore in (0.0, 0.01, 0.02, 0.03, 0.05, 0.1, 0.3):
        faults = {"actuator/diaphragm leaks": bore} if bore else {}
        holds.append({"check": "hold:actuator@off", "faults_mm": faults, "vacuum_pa": hold_can(bore * 1e-3)})
        holds.append({"check": "hold:signal-line.from@off", "faults_mm": faults, "vacuum_pa": hold_line(bore * 1e-3)})
    for split in (0.02, 0.05, 0.3):
        holds.append({"check": "hold:signal-line.from@off", "faults_mm": {"signal-line/leaks": split}, "vacuum_pa": hold_line(split=split * 1e-3)})
    for left, bore in ((0.25, 0.0), (0.25, 0.02), (0.05, 0.05), (0.04, 0.2)):
        faults = {"signal-line/blocked": left} | ({"actuator/diaphragm leaks": bore} if bore else {})
        holds.append({"check": "hold:signal-line.from@off", "faults_mm": faults, "vacuum_pa": hold_line(bore * 1e-3, left=left * 1e-3)})
    downs, losses = [], []
    for bore in (0.0, 0.5, 1.0, 1.5, 2.0):
        faults = {"booster/leaks": bore} if bore else {}
        downs.append({"check": "pump-down:booster@idle", "faults_mm": faults, "seconds": Whole(reservoir=bore * 1e-3).pump_down()})
    for bore in (0.0, 0.1, 0.3, 0.5, 1.0):
        faults = {"booster/leaks": bore} if bore else {}
        losses.append({"check": "leak-down:booster@idle", "faults_mm": faults, "vacuum_pa": Whole(reservoir=bore * 1e-3).leak_down()})
    for bore in (0.2, 0.58, 1.0):
        losses.append({"check": "leak-down:booster@idle", "faults_mm": {"check/leaks back": bore}, "vacuum_pa": Whole(back=bore * 1e-3).leak_down()})
    write_json(
        "transients.json",
        "Invented vacuum circuit; equations of DERIVATIONS.md written here on their own, SciPy 1.17.1 solve_ivp Radau, rtol 1e-9. Vacuum left 60 s after a hand pump was closed at 15 inHg or the engine stopped; seconds from the start of the engine to 15 inHg, 120 where that is never reached. Evaporative system: pressure left 60 s after a unit of 13 inH2O was shut, and its flow at that pressure as air of the ambient pressure.",
        {"parameters": {"ambient_pa": AMBIENT, "temperature_k": TEMPERATURE}, "hold": holds, "pump_down": downs, "leak_down": losses, "evaporative": [evaporative(bore, level) for bore in (0.2e-3, 0.508e-3, 1.016e-3) for level in (0.15, 0.5, 0.85)]},
    )


if __name__ == "__main__":
    main()

"""Features of recorded drives: what NumPy and SciPy take from invented signals, by the features' definitions written on their own.

Rows are compared exactly. Where a signal is known in continuous time as well (an answer to a step, a warm-up), what it does there
stands beside the rows as `truth`, and `within` is how far rows may lie from it.
"""

import numpy
from common import rounded, write_json
from scipy import optimize, signal

SOURCE = (
    "computed: NumPy 2.4.6, SciPy 1.17.1 (signal.lsim and signal.step for the answers to steps, optimize.brentq for crossings; "
    "overshoot of a second-order system in closed form, exp(-pi z / sqrt(1 - z^2))); invented signals of no vehicle, simulated"
)
AMBIENT = 1.0e5
STARTER, RUNS, STANDS = 400 / 60, 500 / 60, 50 / 60
WARM = 344.26


def written(values):
    """Figures as a recorder writes them: seven digits, None where there is none."""
    return [None if not numpy.isfinite(value) else float(f"{value:.7g}") for value in values]


def feature(kind, time, rows, value, truth=None, within=None):
    found = {"kind": kind, "start_s": float(time[rows[0]]), "end_s": float(time[rows[-1]]), "value": float(value)}
    return found if truth is None else found | {"truth": float(truth), "within": float(within)}


def case(name, time, signals, wanted):
    """`wanted` reads the figures as they are written, not as they were made."""
    signals = {of: written(values) for of, values in signals.items()}
    arrays = {of: numpy.array([numpy.nan if value is None else value for value in values]) for of, values in signals.items()}
    return rounded({"name": name, "time": [float(second) for second in time], "signals": signals, "features": wanted(arrays)})


def start(random, starts):
    """Key on, starter, run-up and charging, once or more, with a stop between."""
    speed, voltage, intake, barometer = [], [], [], []
    for _ in range(starts):
        key, crank, up, run = 40, 14, 8, 160
        speed += [numpy.zeros(key), 200 / 60 + 0.4 * numpy.sin(numpy.arange(crank)), numpy.linspace(250, 850, up) / 60, 850 / 60 + 0.2 * random.standard_normal(run)]
        dip = numpy.concatenate([[8.9, 9.4], 10.4 + 0.25 * random.standard_normal(crank - 2)])
        voltage += [12.5 + 0.03 * random.standard_normal(key), dip, numpy.linspace(11, 14, up), 14.2 + 0.05 * random.standard_normal(run)]
        intake += [AMBIENT + 300 + 150 * random.standard_normal(key), numpy.full(crank, AMBIENT - 700), numpy.full(up + run, 4.0e4)]
        barometer += [numpy.full(key + crank + up + run, AMBIENT)]
    speed, voltage, intake, barometer = (numpy.concatenate(parts) for parts in (speed, voltage, intake, barometer))
    voltage[random.choice(len(voltage), 12, replace=False)] = numpy.nan
    time = numpy.arange(len(speed)) / 10

    def wanted(own):
        speed, voltage = own["engine-speed"], own["voltage"]
        key = numpy.arange(numpy.argmax(speed > STANDS))
        rows = key[:-1][numpy.isfinite(voltage[key[:-1]])]
        found = [
            feature("key-on-pressure", time, key, numpy.max((own["intake-pressure"] - own["barometer"])[key])),
            feature("key-on-voltage", time, rows, numpy.median(voltage[rows])),
        ]
        runs = numpy.flatnonzero((speed >= RUNS) & numpy.isfinite(voltage))
        found.append(feature("charging-voltage", time, runs, numpy.median(voltage[runs])))
        # A start ends where the engine first runs by itself after a standstill.
        running, standing = speed >= RUNS, speed <= STANDS
        for first in numpy.flatnonzero(standing[:-1] & ~standing[1:]):
            until = first + numpy.argmax(running[first:])
            rows = numpy.arange(first, until + 1)
            found.append(feature("cranking-voltage", time, rows, numpy.nanmin(voltage[rows])))
            rows = rows[(speed[rows] > STANDS) & (speed[rows] < STARTER) & numpy.isfinite(voltage[rows])]
            found.append(feature("cranking-steady", time, rows, numpy.median(voltage[rows])))
        return found

    return case(f"{starts} starts", time, {"engine-speed": speed, "voltage": voltage, "intake-pressure": intake, "barometer": barometer}, wanted)


def warm_up(random, falls):
    """A cold engine warms as a body of one heat capacity; an open thermostat lets it fall back. Every drop-out reads -40 degC."""
    step, outside, goal, tau = 1.0, 278.15, 363.15, 210.0
    time = numpy.arange(900) * step
    began = 10
    course = lambda second: goal - (goal - outside) * numpy.exp(-numpy.maximum(second - began, 0) / tau)
    coolant = course(time) - falls * numpy.clip(time - 700, 0, None) / 200
    speed = numpy.where(time < began, 0, 820 / 60 + 0.3 * random.standard_normal(len(time)))
    air = 290 + random.standard_normal(len(time)).cumsum() / 40
    drops = random.choice(numpy.arange(30, 880, 7), 5, replace=False)
    air[drops] = 233.15
    air[random.choice(numpy.arange(31, 880, 7), 25, replace=False)] = numpy.nan

    def wanted(own):
        coolant, speed, air = own["coolant"], own["engine-speed"], own["intake-air"]
        first = numpy.argmax(speed >= RUNS)
        warm = numpy.argmax(coolant >= WARM)
        crossing = optimize.brentq(lambda second: course(second) - WARM, began, time[-1])
        idle = numpy.flatnonzero((speed >= 5) & (speed <= 25) & (coolant >= WARM))
        there = numpy.flatnonzero(numpy.isfinite(air))
        jumped = there[1:][numpy.abs(numpy.diff(air[there])) > 15 * numpy.maximum(numpy.diff(time[there]), 1)]
        return [
            feature("warm-up", time, [first, warm], time[warm] - time[first], crossing - began, step),
            feature("warm-hold", time, [warm, len(time) - 1], numpy.min(coolant[warm:])),
            feature("warm-idle", time, idle, numpy.median(speed[idle])),
            feature("gaps", time, [0, len(time) - 1], numpy.mean(numpy.isnan(air))),
            feature("jumps", time, jumped, len(jumped)),
        ]

    return case(f"warm-up, falls {falls} K", time, {"engine-speed": speed, "coolant": coolant, "intake-air": air}, wanted)


def steps(name, system, step, ramp=0.0, offset=0.0, grain=0.0, damping=None):
    """Two steps of the asked boost, each held for 8 s, answered by a linear system."""
    rise, length, at = 8.0e4, 30.0, (4.0, 18.0)
    asks = lambda second: sum(numpy.clip((second - begins) / ramp if ramp else (second >= begins).astype(float), 0, 1) * (second < begins + 8.0) for begins in at)
    fine = numpy.arange(0, length, 1e-3)
    answer = signal.lsim(system, asks(fine), fine)[1]
    time = numpy.round(numpy.arange(offset, length - 1e-9, step), 6)
    asked, intake = AMBIENT + rise * asks(time), AMBIENT + rise * numpy.interp(time, fine, answer)
    if grain:
        intake = grain * numpy.round(intake / grain)

    def wanted(own):
        asked, intake = own["boost-commanded"], own["intake-pressure"]
        found = []
        for begins in at:
            first = numpy.flatnonzero((asked <= AMBIENT + 0.1 * rise) & (time < begins + ramp + 1e-9))[-1]
            held = numpy.flatnonzero((numpy.arange(len(time)) >= first) & (time - time[first] <= 6.0))
            goal = intake[first] + 0.9 * (asked[held].max() - intake[first])
            there = held[intake[held] >= goal]
            if not len(there):
                found.append(feature("boost-response", time, held, time[held[-1]] - time[first]))
                continue
            # In continuous time from where a tenth is asked for to where nine tenths are there.
            smooth = numpy.argmax((fine > begins) & (answer >= 0.9))
            truth = fine[smooth] - begins - 0.1 * ramp
            found.append(feature("boost-response", time, [first, there[0]], time[there[0]] - time[first], truth, 2 * step + 0.05))
            # What is left of an earlier step before this one is up is no overshoot of it.
            up = held[asked[held] >= asked[held].max() - 1e-6]
            beyond = max(0.0, (intake[up] - asked[up]).max())
            if damping is None:
                found.append(feature("boost-overshoot", time, held, beyond))
            else:
                truth = rise * numpy.exp(-numpy.pi * damping / numpy.sqrt(1 - damping**2))
                found.append(feature("boost-overshoot", time, held, beyond, truth, 0.02 * rise + grain))
        high = numpy.argmax(intake)
        rows = numpy.flatnonzero(asked - AMBIENT >= 2e4)
        if numpy.sum(intake == intake[high]) == 1:
            found.append(feature("highest-boost", time, [high], intake[high] - AMBIENT))
        found.append(feature("boost-held", time, rows, numpy.median((intake - asked)[rows])))
        return found

    return case(name, time, {"boost-commanded": asked, "intake-pressure": intake, "barometer": numpy.full(len(time), AMBIENT)}, wanted)


def second_order(natural, damping):
    return ([natural**2], [1, 2 * damping * natural, natural**2])


def main():
    random = numpy.random.default_rng(20261127)
    cases = [start(random, 1), start(random, 3), warm_up(random, 0.0), warm_up(random, 25.0)]
    for natural, damping, step in [(3.0, 0.3, 0.1), (4.0, 0.5, 0.1), (2.5, 0.7, 0.1), (4.0, 0.45, 0.05)]:
        cases.append(steps(f"step, {natural} /s, damping {damping}, {step} s a row", second_order(natural, damping), step, damping=damping))
    cases.append(steps("step between two rows", second_order(3.0, 0.6), 0.1, offset=0.037, damping=0.6))
    cases.append(steps("step read by the kilopascal", second_order(3.0, 0.5), 0.1, grain=1000.0, damping=0.5))
    cases.append(steps("ramp of half a second", second_order(3.0, 0.4), 0.1, ramp=0.5))
    cases.append(steps("followed without overshoot", ([1], [0.8, 1]), 0.1))
    cases.append(steps("not followed", ([1], [8.0, 1]), 0.1))
    write_json("drive_features.json", SOURCE, {"cases": cases})


if __name__ == "__main__":
    main()

"""An independent small model of the reference vacuum circuit, beside a table of the same circuit printed to three digits.

Pump P - hose 3.5 mm x 0.8 m - S - solenoid valve (source and vent orifices 1.2 mm, averaged by duty) - O - hose 3.0 mm x 0.5 m -
A, the actuator's nipple. Isentropic orifices with discharge coefficient 0.75, isothermal tubes (laminar, Blasius when
turbulent), pump m = S (p - pu) / (R T). The balance of the four pressures is found by SciPy's root finder.
"""

import math

from scipy.optimize import brentq, root

from common import CRITICAL, INHG, R_AIR, hole, nozzle_flux, write_json

BAROMETER, TEMPERATURE, VISCOSITY = 101300.0, 300.0, 1.846e-5
COEFFICIENT, ULTIMATE = 0.75, 6000.0


def pump_speed(rpm, filling=0.85):
    """Volume swept per second [m3/s]: 130 cm3 a turn at half engine speed."""
    return 130e-6 * filling * rpm / 2 / 60


def orifice(diameter, upstream, downstream, coefficient=COEFFICIENT):
    """Mass flow [kg/s], negative when the pressures are the other way round."""
    if diameter == 0:
        return 0.0
    area = coefficient * hole(diameter)
    if upstream >= downstream:
        return area * nozzle_flux(upstream, downstream, TEMPERATURE)
    return -area * nozzle_flux(downstream, upstream, TEMPERATURE)


def tube(bore, length, upstream, downstream):
    """Mass flow [kg/s] of a tube: laminar to Reynolds 2300, Blasius above, standing at 2300 in the gap between the two."""
    if upstream < downstream:
        return -tube(bore, length, downstream, upstream)
    drive = upstream**2 - downstream**2
    laminar = math.pi * bore**4 * drive / (256 * VISCOSITY * length * R_AIR * TEMPERATURE)
    if 4 * laminar / (math.pi * bore * VISCOSITY) < 2300:
        return laminar
    # p1^2 - p2^2 = f (L/D) R T G^2 with f = 0.3164 Re^-1/4 and G = m / area: solved for m.
    scale = 0.3164 * (math.pi * bore * VISCOSITY / 4) ** 0.25 * length / bore * R_AIR * TEMPERATURE / hole(bore) ** 2
    turbulent = (drive / scale) ** (1 / 1.75)
    return min(laminar, max(turbulent, 2300 * math.pi * bore * VISCOSITY / 4))


class Circuit:
    """The parameters of one state; every fault is a diameter or a bore that a healthy circuit does not have."""

    def __init__(self, rpm=800, duty=0.8, barometer=BAROMETER, leak_p=0.0, leak_s=0.0, leak_a=0.0, restriction=None, signal=None, vent=1.2e-3):
        self.speed, self.duty, self.barometer = pump_speed(rpm), duty, barometer
        self.leaks = (leak_p, leak_s, 0.0, leak_a)
        self.restriction, self.signal, self.vent = restriction, signal, vent

    def supply(self, tee, source):
        """From S to P: the hose, or an orifice in place of it where its bore has collapsed."""
        if self.restriction is not None:
            return orifice(self.restriction, source, tee)
        return tube(3.5e-3, 0.8, source, tee)

    def signal_line(self, output, nipple):
        if self.signal is not None:
            return orifice(self.signal, nipple, output)
        return tube(3.0e-3, 0.5, nipple, output)

    def surplus(self, pressures):
        """Mass flow [mg/s] that each of P, S, O, A receives and does not pass on."""
        p, s, o, a = pressures
        supply, signal = self.supply(p, s), self.signal_line(o, a)
        through = self.duty * orifice(1.2e-3, o, s)
        vent = (1 - self.duty) * orifice(self.vent, self.barometer, o)
        leak = [orifice(diameter, self.barometer, node) for diameter, node in zip(self.leaks, pressures)]
        pump = self.speed * (p - ULTIMATE) / (R_AIR * TEMPERATURE)
        return [1e6 * value for value in (supply + leak[0] - pump, through + leak[1] - supply, vent + signal + leak[2] - through, leak[3] - signal)]

    def solve(self):
        """Vacuum [inHg] at P, S, O, A."""
        best = None
        for share in (0.02, 0.2, 0.5, 0.8, 0.95):
            start = [ULTIMATE + share * (self.barometer - ULTIMATE) * weight for weight in (0.9, 0.93, 0.97, 1.0)]
            found = root(self.surplus, start, method="hybr", options={"xtol": 1e-13})
            worst = max(abs(value) for value in self.surplus(found.x))
            if best is None or worst < best[0]:
                best = (worst, found.x)
            if worst < 1e-6:
                break
        if best[0] > 1e-6:
            best = self.nested()
        return [(self.barometer - pressure) / INHG for pressure in best[1]]

    def nested(self):
        """Without flow the slopes at equal pressures are infinite: then P, S, O, A are found one inside the other."""

        def nipple(o):
            if self.leaks[3] == 0:
                return o
            return brentq(lambda a: self.surplus((1e4, 1e4, o, a))[3], o, self.barometer, xtol=1e-10)

        def output(s):
            if self.duty == 0:
                return self.barometer
            if self.duty == 1 and self.leaks[3] == 0:
                return s
            return brentq(lambda o: self.surplus((1e4, s, o, nipple(o)))[2], s, self.barometer, xtol=1e-10)

        def source(p):
            if self.duty in (0, 1) and not any(self.leaks[1:]):
                return p
            return brentq(lambda s: self.surplus((p, s, output(s), 0.0))[1], p, self.barometer, xtol=1e-10)

        p = brentq(lambda p: self.surplus((p, source(p), 0.0, 0.0))[0], ULTIMATE, self.barometer, xtol=1e-10)
        s = source(p)
        return 0.0, (p, s, output(s), nipple(output(s)))


def row(what, circuit, printed, places="PSOA"):
    own = dict(zip("PSOA", circuit.solve()))
    return {"what": what, "printed": dict(zip(places, printed)), "own": {place: round(own[place], 6) for place in "PSOA"}}


def duty_table():
    printed = {0: (28.1, 28.0, 0.0), 20: (26.8, 26.4, 0.4), 40: (25.6, 25.2, 2.9), 50: (25.4, 24.8, 5.8), 60: (25.5, 25.0, 10.7),
               70: (26.1, 25.6, 17.0), 80: (26.8, 26.4, 22.4), 90: (27.4, 27.2, 26.2), 100: (28.1, 28.0, 28.0)}
    return [row({"duty": duty / 100}, Circuit(duty=duty / 100), values, "PSO") for duty, values in printed.items()]


def restriction_table():
    printed = {None: (26.8, 26.4, 22.4), 0.8: (26.7, 16.4, 15.4), 0.6: (26.9, 8.5, 8.0), 0.5: (27.1, 4.9, 4.6), 0.4: (27.4, 2.2, 2.1)}
    rows = [row({"duty": 0.8, "bore_mm": bore}, Circuit(restriction=bore and bore * 1e-3), values, "PSO") for bore, values in printed.items()]
    rows.append(row({"duty": 1.0, "bore_mm": 0.45}, Circuit(duty=1.0, restriction=0.45e-3), (27.4,), "S"))
    rows.append(row({"duty": 0.8, "bore_mm": 0.45}, Circuit(restriction=0.45e-3), (3.4,), "S"))
    return rows


def leak_table():
    printed = {0.3: (26.3, 25.9, 20.1, 20.0), 0.5: (25.5, 25.1, 15.9, 15.8), 0.8: (24.1, 23.2, 8.1, 8.0), 1.0: (23.5, 22.5, 4.9, 4.7), 2.0: (22.8, 21.5, 0.8, 0.5)}
    rows = [row({"duty": 0.8, "leak_a_mm": leak}, Circuit(leak_a=leak * 1e-3), values) for leak, values in printed.items()]
    rows.append(row({"duty": 0.8, "leak_a_mm": 0.5, "signal_bore_mm": 0.3}, Circuit(leak_a=0.5e-3, signal=0.3e-3), (20.2, 0.9), "OA"))
    return rows


def pump_alone(rpm, leak, barometer=BAROMETER):
    """Vacuum [inHg] of a dead-headed pump that a total leak of one diameter feeds."""
    speed = pump_speed(rpm)
    pressure = brentq(lambda p: orifice(leak, barometer, p) - speed * (p - ULTIMATE) / (R_AIR * TEMPERATURE), ULTIMATE, barometer, xtol=1e-10)
    return (barometer - pressure) / INHG


def pump_table():
    printed = {0.0: (28.1, 28.1, 28.1), 0.5: (26.9, 27.5, 27.8), 1.0: (23.3, 25.6, 26.6), 1.5: (17.3, 22.4, 24.7), 2.0: (9.8, 17.9, 22.0), 3.0: (2.7, 7.6, 14.3)}
    rows = []
    for leak, values in printed.items():
        for rpm, value in zip((800, 1500, 2500), values):
            rows.append({"what": {"leak_mm": leak, "rpm": rpm}, "printed": {"P": value}, "own": {"P": round(pump_alone(rpm, leak * 1e-3), 6)}})
    return rows


def altitude_table():
    """Barometer by the standard atmosphere; the pump's ultimate pressure stays 6 kPa absolute."""
    rows = []
    for height, value in ((0, 28.1), (500, 26.4), (1000, 24.8), (1500, 23.2), (2000, 21.7), (2400, 20.6), (3000, 18.9)):
        barometer = 101325 * (1 - 0.0065 * height / 288.15) ** 5.2558797
        rows.append({"what": {"altitude_m": height}, "printed": {"P": value}, "own": {"P": round((barometer - ULTIMATE) / INHG, 6)}})
    barometer = 101325 * (1 - 0.0065 * 2400 / 288.15) ** 5.2558797
    rows.append(row({"altitude_m": 2400, "duty": 0.8}, Circuit(barometer=barometer), (16.7,), "O"))
    return rows


def signature_table():
    return [
        row({"duty": 0.8, "leak_p_mm": 1.5}, Circuit(leak_p=1.5e-3), ()),
        row({"duty": 0.8, "leak_s_mm": 1.5}, Circuit(leak_s=1.5e-3), (16.0, 13.4, 12.6, 12.6)),
        row({"duty": 0.8, "bore_mm": 0.5}, Circuit(restriction=0.5e-3), (27.1, 4.9, 4.6, 4.6)),
        row({"duty": 0.8, "leak_a_mm": 0.8}, Circuit(leak_a=0.8e-3), (24.1, 23.2, 8.1, 8.0)),
        row({"duty": 0.0, "what": "coil or driver open"}, Circuit(duty=0.0), (28.1, 28.0, 0.0, 0.0)),
        row({"duty": 0.8, "what": "vent blocked"}, Circuit(vent=0.0), (28.1, 28.0, 28.0, 28.0)),
    ]


def main():
    tables = {"duty": duty_table(), "restriction": restriction_table(), "leak_a": leak_table(), "pump": pump_table(), "altitude": altitude_table(), "signatures": signature_table()}
    apart = []
    for name, rows in tables.items():
        for entry in rows:
            for place, printed in entry["printed"].items():
                if abs(entry["own"][place] - printed) > 0.4:
                    apart.append({"table": name, "what": entry["what"], "place": place, "printed": printed, "own": entry["own"][place]})
    write_json(
        "vacuum_circuit.json",
        "Invented reference circuit. `printed`: an earlier computation to one decimal place, method only outlined; `own`: this script's model, isentropic orifices, isothermal tubes, SciPy 1.17.1 root finder. All vacuums in inHg (conventional) below the barometer. Neither is measured.",
        {
            "parameters": {
                "barometer_pa": BAROMETER, "temperature_k": TEMPERATURE, "viscosity_pa_s": VISCOSITY, "gamma": 1.4, "r_j_kg_k": R_AIR, "critical_ratio": CRITICAL,
                "pump": {"swept_cm3_rev": 130, "turns_per_engine_turn": 0.5, "filling": 0.85, "ultimate_pa": ULTIMATE},
                "supply_hose": {"bore_mm": 3.5, "length_m": 0.8}, "signal_hose": {"bore_mm": 3.0, "length_m": 0.5},
                "valve": {"source_mm": 1.2, "vent_mm": 1.2}, "coefficient": COEFFICIENT,
                "actuator": {"diameter_mm": 45, "start_inhg": 5, "full_inhg": 15, "travel_mm": 12, "rate_n_mm": 4.5},
                "rpm": 800, "places": "P pump tee, S solenoid supply port, O output port, A actuator nipple",
            },
            **tables,
            "apart": apart,
        },
    )


if __name__ == "__main__":
    main()

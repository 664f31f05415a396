"""Liquid: lines by a general-purpose library, viscosity over temperature, and a small fuel circuit solved independently."""

import math

import CoolProp.CoolProp as coolprop
from fluids.core import Reynolds
from fluids.friction import friction_factor, one_phase_dP
from scipy.optimize import brentq

from common import rounded, write_csv, write_json

AMBIENT = 101325.0


def lines():
    """Pressure that a smooth line takes at a flow, laminar to turbulent, by Churchill's friction factor."""
    rows = []
    for density, viscosity in [(833.0, 3.5e-3), (825.0, 2.3e-3), (745.0, 0.41e-3)]:
        for bore, length in [(4e-3, 1.0), (7e-3, 3.0), (8e-3, 0.5)]:
            for litres in (5, 20, 60, 120, 200, 400):
                flow = litres * 1e-3 / 3600
                reynolds = Reynolds(flow / (math.pi / 4 * bore**2), bore, density, viscosity)
                drop = one_phase_dP(flow * density, density, viscosity, bore, roughness=0.0, L=length, Method="Churchill_1977")
                factor = friction_factor(Re=reynolds, eD=0.0, Method="Churchill_1977")
                rows.append((density, viscosity, bore, length, flow, reynolds, factor, drop))
    write_csv(
        "liquid_lines.csv",
        """source: fluids 1.3.1, one_phase_dP with Method="Churchill_1977" (Churchill, Chemical Engineering 84(24), 1977, 91), smooth wall. fluids takes 64/Re below Re 2040.""",
        ("density", "viscosity", "bore", "length", "flow", "reynolds", "friction_factor", "pressure_drop"),
        rows,
    )


def viscosity():
    """A hydrocarbon of the class of diesel: kinematic viscosity [mm2/s] and density over temperature."""
    rows = []
    for celsius in (0, 10, 20, 30, 40, 50, 60, 80):
        kelvin = celsius + 273.15
        density = coolprop.PropsSI("D", "T", kelvin, "P", AMBIENT, "n-Dodecane")
        dynamic = coolprop.PropsSI("V", "T", kelvin, "P", AMBIENT, "n-Dodecane")
        rows.append((kelvin, density, 1e6 * dynamic / density))
    write_csv(
        "liquid_viscosity.csv",
        "source: CoolProp 8.0.0, n-dodecane at 101.325 kPa",
        ("kelvin", "density", "viscosity_mm2_s"),
        rows,
    )


def d341(at20, at40, kelvin):
    """Kinematic viscosity [mm2/s] by ASTM D341 through two points."""
    height = lambda nu: math.log10(math.log10(nu + 0.7))
    along = (math.log10(kelvin) - math.log10(293.15)) / (math.log10(313.15) - math.log10(293.15))
    return 10 ** (10 ** (height(at20) + along * (height(at40) - height(at20)))) - 0.7


class Circuit:
    """Tank, electric pump, line, filter, regulator with return line, consumer; battery and wiring as one resistance."""

    emf, wiring = 13.5, 0.15
    voltage, current, pressure, flow, winding, slip, relief = 13.0, 7.0, 4.3e5, 140e-3 / 3600, 0.6, 0.15, 7.5e5
    kelvin = 300.0
    density = 833.0 - 0.7 * (300.0 - 288.15)
    viscosity = d341(4.3, 2.8, 300.0) * 1e-6 * density
    draw, needs, speed = 0.4e-6, 50e3, 50.0
    filter_loss, filter_flow, even = 30e3, 120e-3 / 3600, 0.7
    set_pressure, regulator_bore = 4.0e5, 3.5e-3

    def __init__(self, **faults):
        self.faults = faults

    def opening(self, bore, apart):
        """Flow through a sharp opening: Cd 0.65, with the part that grows with the flow alike at a Reynolds number of 20."""
        area = 0.65 * math.pi / 4 * bore**2
        square = self.density / 2 / area**2
        linear = square * 20 * math.pi / 4 * self.viscosity * bore / self.density
        return self.quadratic(linear, square, apart)

    @staticmethod
    def quadratic(linear, square, apart):
        size = abs(apart)
        return math.copysign((math.sqrt(linear**2 + 4 * square * size) - linear) / (2 * square), apart)

    def line(self, bore, length, flow):
        """Pressure that a line takes."""
        size = one_phase_dP(abs(flow) * self.density, self.density, self.viscosity, bore, roughness=0.0, L=length, Method="Churchill_1977") if flow else 0.0
        return math.copysign(size, flow)

    def through(self, bore, flow):
        """Pressure that an opening takes."""
        return brentq(lambda apart: self.opening(bore, apart) - flow, -5e6, 5e6, xtol=1e-9, rtol=1e-14)

    def valve(self, set_pressure, bore, apart):
        beyond = (apart - set_pressure) / 200.0
        lifted = 200.0 * (beyond if beyond > 30 else math.log1p(math.exp(beyond)))
        return self.opening(bore, lifted)

    def pump(self, inlet, outlet):
        """Flow and current: V = R I + k w, k I = torque of friction and liquid, Q = D w - leak."""
        turns = 600.0
        constant = (self.voltage - self.current * self.winding) / turns
        displacement = self.flow / (1 - self.slip) / turns
        friction = max(constant * self.current - displacement * self.pressure, 0.25 * constant * self.current)
        load, drag = friction / 2, friction / 2 / turns
        leak = self.flow / (1 - self.slip) * max(self.slip, self.faults.get("worn", 0)) / self.pressure
        ohms = self.winding * (1 + self.faults.get("brushes", 0)) + self.wiring + self.faults.get("ground", 0)
        apart = max(outlet - inlet, 0)
        t = min(max((inlet / AMBIENT - 0.5) / 0.2, 0.0), 1.0)
        filled = t * (3 - t * t) / 2
        torque = load + filled * displacement * apart
        speed = max((constant * self.emf / ohms - torque) / (drag + constant**2 / ohms), 0)
        return filled * displacement * speed - leak * apart, (torque + drag * speed) / constant

    def solve(self):
        """From the pump's outlet pressure follows its flow, from that every pressure behind it; what the regulator lets through
        must be what is left over. More pressure gives less flow and a wider regulator, so there is one solution."""
        times = self.faults.get("plugged", 1)
        loss = self.filter_loss * times
        linear, square = self.even * loss / self.filter_flow, (1 - self.even) * loss / self.filter_flow**2

        def delivered(outlet):
            def surplus(strained):
                relief = self.valve(self.relief, 3e-3, outlet - strained)
                net = self.pump(AMBIENT + strained, AMBIENT + outlet)[0] - relief
                return net, self.through(10e-3, net) + self.through(self.faults.get("strainer", 8e-3), net)

            strained = brentq(lambda x: x + surplus(x)[1], -0.5 * AMBIENT, 3e6, xtol=1e-10, rtol=1e-14)
            return surplus(strained)[0], strained

        def behind(outlet):
            flow, strained = delivered(outlet)
            before = outlet - self.line(7e-3, 3.0, flow)
            after = before - linear * flow - square * flow * abs(flow)
            t = min(max(after / self.needs, 0.0), 1.0)
            kept = flow - self.draw * self.speed * t * (3 - t * t) / 2
            back = self.through(10e-3, kept) + self.line(6e-3, 3.5, kept)
            return strained, before, after, back, kept

        def imbalance(outlet):
            _, _, after, back, kept = behind(outlet)
            return self.valve(self.set_pressure, self.regulator_bore, after - back) - kept

        outlet = brentq(imbalance, 1e3, 1e6, xtol=1e-9, rtol=1e-14)
        strained, before, after, back, _ = behind(outlet)
        _, amperes = self.pump(AMBIENT + strained, AMBIENT + outlet)
        return {"faults": self.faults, "outlet": outlet, "before_filter": before, "behind_filter": after, "return": back if abs(back) > 1e-6 else 0.0, "current": amperes}


def circuits():
    cases = [{}, {"worn": 0.7}, {"brushes": 2.0}, {"ground": 0.5}, {"plugged": 20.0}, {"plugged": 60.0}, {"strainer": 1.6e-3}, {"worn": 0.7, "plugged": 20.0}, {"ground": 1.0, "plugged": 10.0}]
    write_json(
        "fuel_nets.json",
        "An invented fuel circuit, its equations written again and solved by SciPy 1.17.1 (brentq); lines by fluids 1.3.1. Pressures in Pa above ambient, current in A, at 300 K and 101.325 kPa, engine at 50 rev/s.",
        {"circuits": rounded([Circuit(**case).solve() for case in cases])},
    )


if __name__ == "__main__":
    lines()
    viscosity()
    circuits()

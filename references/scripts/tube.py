"""Friction factors and pressure losses of small tubes."""

import math

import CoolProp.CoolProp as coolprop
import fluids
from fluids.friction import Churchill_1977, Colebrook, friction_factor

from common import R_AIR, hole, write_csv


def churchill():
    reynolds = [10, 20, 50, 100, 200, 500, 1000, 1500, 1800, 2000, 2100, 2200, 2300, 2400, 2500, 2700, 3000, 3500, 4000, 5000, 7000]
    reynolds += [1e4, 2e4, 5e4, 1e5, 2e5, 5e5, 1e6, 2e6, 5e6, 1e7]
    rows = [(re, rough, Churchill_1977(re, rough)) for rough in (0.0, 1e-5, 1e-4, 1e-3, 1e-2, 0.05) for re in reynolds]
    write_csv(
        "friction_churchill.csv",
        """source: S. W. Churchill, Chemical Engineering 84(24) 91-92, 1977: Darcy friction factor for all regimes; computed with fluids 1.3.1 (friction.Churchill_1977)
        Roughness is relative to the bore. 2000 to 4000 is the transition.""",
        ("reynolds", "roughness", "darcy"),
        rows,
    )


def colebrook():
    points = [(4000, 0), (1e4, 0), (1e4, 0.0015), (1e5, 0), (1e5, 1e-4), (1e5, 1e-3), (1e6, 1e-3)]
    write_csv(
        "friction_colebrook.csv",
        """source: Colebrook 1939, Darcy friction factor; computed with fluids 1.3.1 (friction.Colebrook)
        A fit for all regimes differs from it by a few per cent near Reynolds 4000.""",
        ("reynolds", "roughness", "darcy"),
        [(re, rough, Colebrook(re, rough)) for re, rough in points],
    )


def losses():
    temperature, pressure = 293.15, 101325
    viscosity = coolprop.PropsSI("V", "T", temperature, "P", pressure, "Air")
    density = coolprop.PropsSI("D", "T", temperature, "P", pressure, "Air")
    rows = []
    for bore, length, litres in ((4e-3, 1.0, 5.0), (3e-3, 1.0, 1.0), (3.5e-3, 0.8, 5.0), (4e-3, 1.0, 20.0), (3e-3, 0.5, 30.0)):
        flow = litres / 60000
        speed = flow / hole(bore)
        reynolds = density * speed * bore / viscosity
        darcy = friction_factor(Re=reynolds, eD=0)
        regime = "laminar" if reynolds < 2040 else "turbulent"
        poiseuille = 128 * viscosity * length * flow / (math.pi * bore**4)
        loss = darcy * length / bore * density * speed**2 / 2
        churchill_loss = Churchill_1977(reynolds, 0) / darcy * loss
        rows.append((bore, length, flow, viscosity, density, reynolds, regime, darcy, loss, poiseuille, churchill_loss))
    write_csv(
        "tube.csv",
        """source: Darcy-Weisbach and Hagen-Poiseuille, incompressible; air at 293.15 K and 101325 Pa from CoolProp 8.0.0, smooth-tube friction factor from fluids 1.3.1 (friction_factor: 64/Re below 2040, then Clamond's Colebrook)
        The last column is the loss with Churchill's factor instead.""",
        ("bore_m", "length_m", "flow_m3_s", "viscosity_pa_s", "density_kg_m3", "reynolds", "regime", "darcy", "loss_pa", "poiseuille_pa", "churchill_loss_pa"),
        rows,
    )


def isothermal():
    """Compressible isothermal flow: the laminar capillary by closed form, the general equation by the library."""
    temperature = 293.15
    viscosity = coolprop.PropsSI("V", "T", temperature, "P", 101325, "Air")
    rows = []
    for bore, length, p1, p2 in ((0.5e-3, 0.5, 101325, 60000), (0.5e-3, 0.5, 101325, 90000), (1e-3, 0.5, 101325, 60000)):
        flow = math.pi * bore**4 * (p1**2 - p2**2) / (256 * viscosity * length * R_AIR * temperature)
        reynolds = 4 * flow / (math.pi * bore * viscosity)
        note = "laminar closed form" if reynolds < 2000 else "laminar closed form outside its validity"
        rows.append((bore, length, p1, p2, None, flow, reynolds, note))
    for bore, length, p1, p2, darcy, density, note in (
        (0.5, 1000, 1e6, 9e5, 0.00185, 11.3, "docstring example of the library"),
        (0.004, 1.0, 101325, 60000, 0.03, 1.2041, "isothermal_gas"),
    ):
        rows.append((bore, length, p1, p2, darcy, fluids.isothermal_gas(rho=density, fd=darcy, P1=p1, P2=p2, L=length, D=bore), None, note))
    write_csv(
        "tube_isothermal.csv",
        """source: isothermal laminar capillary m = pi D^4 (p1^2 - p2^2) / (256 mu L R T), 293.15 K, viscosity from CoolProp 8.0.0; rows with a friction factor computed with fluids 1.3.1 (isothermal_gas: keeps the acceleration term)
        """,
        ("bore_m", "length_m", "upstream_pa", "downstream_pa", "darcy", "mass_flow_kg_s", "reynolds", "note"),
        rows,
    )


if __name__ == "__main__":
    churchill()
    colebrook()
    losses()
    isothermal()

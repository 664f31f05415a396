"""Nozzles, orifices, ISO 6358 resistances and two-orifice networks."""

import math

import CoolProp.CoolProp as coolprop
from scipy.optimize import brentq, minimize_scalar

from common import CHOKED, GAMMA, INHG, PSI, R_AIR, hole, nozzle_flux, write_csv

ROOM = 293.15
SEA_LEVEL = 101325.0


def nozzle_functions():
    """Isentropic functions of the Mach number beside the printed four-figure table."""
    printed = {
        0.10: ("0.9930", "0.9950", "0.9980", "5.8218"),
        0.50: ("0.8430", "0.8852", "0.9524", "1.3398"),
        0.60: ("0.7840", "0.8405", "0.9328", "1.1882"),
        0.90: ("0.5913", "0.6870", "0.8606", "1.0089"),
        1.00: ("0.5283", "0.6339", "0.8333", "1.0000"),
    }
    rows = []
    for tenth in range(1, 11):
        mach = tenth / 10
        temperature = 1 + 0.2 * mach**2
        area = (temperature / 1.2) ** 3 / mach
        rows.append((f"{mach:.2f}", *printed.get(mach, (None,) * 4), temperature**-3.5, temperature**-2.5, 1 / temperature, area))
    write_csv(
        "nozzle_naca1135.csv",
        """source: NACA Report 1135 (1953), subsonic functions for gamma 1.4; the printed columns were seen in two reprints of the same table (appendix A.1 "Compressible Flow Tables, Ideal Gas k = 1.4"; Aeronautical Engineer's Data Book A4)
        The last four columns are the closed forms, computed. Mach numbers without printed columns: computed only.""",
        ("mach", "printed_p_pt", "printed_rho_rhot", "printed_t_tt", "printed_a_astar", "p_pt", "rho_rhot", "t_tt", "a_astar"),
        rows,
    )


def real_air_flux(upstream, downstream, temperature):
    """Mass flux of real air along its isentrope: the largest on the way to `downstream`."""
    entropy = coolprop.PropsSI("S", "P", upstream, "T", temperature, "Air")
    total = coolprop.PropsSI("H", "P", upstream, "T", temperature, "Air")

    def flux(pressure):
        density = coolprop.PropsSI("D", "P", pressure, "S", entropy, "Air")
        enthalpy = coolprop.PropsSI("H", "P", pressure, "S", entropy, "Air")
        return density * math.sqrt(max(0.0, 2 * (total - enthalpy)))

    throat = minimize_scalar(lambda p: -flux(p), bounds=(0.4 * upstream, 0.7 * upstream), method="bounded", options={"xatol": 1e-3})
    return flux(max(throat.x, downstream))


def mass_flux():
    cases = [
        (101325, 20000), (101325, 50000), (101325, 60000), (101325, 80000), (101325, 90000), (101325, 100000), (101325, 101000),
        (200000, 101325), (250000, 101325), (150000, 101325), (120000, 101325), (83432, 25000), (83432, 60000), (70000, 30000), (70000, 50000),
    ]
    rows = []
    for upstream, downstream in cases:
        ideal = nozzle_flux(upstream, downstream, ROOM)
        rows.append((upstream, downstream, ROOM, ideal, ideal * hole(1e-3), real_air_flux(upstream, downstream, ROOM)))
    write_csv(
        "mass_flux_coolprop.csv",
        """source: computed: ideal nozzle (gamma 1.4, R 287.05287) by closed form; real air with CoolProp 8.0.0, flux along the isentrope maximised numerically
        The 1 mm column is for a hole of exactly 1.000 mm with discharge coefficient 1. Real and ideal differ by at most 0.13 %.""",
        ("upstream_pa", "downstream_pa", "temperature_k", "ideal_flux_kg_m2s", "ideal_1mm_kg_s", "real_flux_kg_m2s"),
        rows,
    )
    rows = []
    for vacuum in (5, 10, 14.1, 15, 20, 25):
        rows.append((vacuum, SEA_LEVEL - vacuum * INHG, nozzle_flux(SEA_LEVEL, SEA_LEVEL - vacuum * INHG, ROOM) * hole(1e-3)))
    write_csv(
        "leak_1mm.csv",
        """source: computed by closed form (gamma 1.4): air through a 1.000 mm hole, coefficient 1, 293.15 K, from 101325 Pa into a vacuum
        "A drop in excess of 14 in. Hg is required" for choking: Zimmerman and Reist, Am. Ind. Hyg. Assoc. J. 45(5) 340, 1984 (abstract seen). Above it the flow no longer changes.""",
        ("vacuum_inhg", "absolute_pa", "mass_flow_kg_s"),
        rows,
    )


HANDBOOK = """
1 .028 0.112 0.450 1.80 7.18 16.2 28.7 45.0 64.7 88.1 115
2 .040 0.158 0.633 2.53 10.1 22.8 40.5 63.3 91.2 124 162
3 .048 0.194 0.775 3.10 12.4 27.8 49.5 77.5 111 152 198
4 .056 0.223 0.892 3.56 14.3 32.1 57.0 89.2 128 175 228
5 .062 0.248 0.993 3.97 15.9 35.7 63.5 99.3 143 195 254
6 .068 0.272 1.09 4.34 17.4 39.1 69.5 109 156 213 278
7 .073 0.293 1.17 4.68 18.7 42.2 75.0 117 168 230 300
9 .083 0.331 1.32 5.30 21.1 47.7 84.7 132 191 260 339
12 .095 0.379 1.52 6.07 24.3 54.6 97.0 152 218 297 388
15 .105 0.420 1.68 6.72 26.9 60.5 108 168 242 329 430
20 .123 0.491 1.96 7.86 31.4 70.7 126 196 283 385 503
25 .140 0.562 2.25 8.98 35.9 80.9 144 225 323 440 575
30 .158 0.633 2.53 10.1 40.5 91.1 162 253 365 496 648
35 .176 0.703 2.81 11.3 45.0 101 180 281 405 551 720
40 .194 0.774 3.10 12.4 49.6 112 198 310 446 607 793
50 .229 0.916 3.66 14.7 58.6 132 235 366 528 718 938
60 .264 1.06 4.23 16.9 67.6 152 271 423 609 828 1082
70 .300 1.20 4.79 19.2 76.7 173 307 479 690 939 1227
80 .335 1.34 5.36 21.4 85.7 193 343 536 771 1050 1371
90 .370 1.48 5.92 23.7 94.8 213 379 592 853 1161 1516
100 .406 1.62 6.49 26.0 104 234 415 649 934 1272 1661
110 .441 1.76 7.05 28.2 113 254 452 705 1016 1383 1806
120 .476 1.91 7.62 30.5 122 274 488 762 1097 1494 1951
125 .494 1.98 7.90 31.6 126 284 506 790 1138 1549 2023
"""
HOLES = ("1/64", "1/32", "1/16", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "1")


def handbook_table():
    rows = [line.split() for line in HANDBOOK.strip().splitlines()]
    worst = 0.0
    temperature, ambient = (70 - 32) / 1.8 + 273.15, 14.696 * PSI
    for gauge, *cells in rows:
        for size, cell in zip(HOLES, cells):
            flux = nozzle_flux(ambient + float(gauge) * PSI, ambient, temperature)
            numerator, _, denominator = size.partition("/")
            area = hole(float(numerator) / float(denominator or 1) * 0.0254)
            scfm = flux * area * R_AIR * temperature / ambient / 0.3048**3 * 60
            worst = max(worst, abs(scfm / float(cell) - 1))
    assert worst < 0.012, worst
    write_csv(
        "orifice_handbook.csv",
        """source: the classic compressed-air handbook table "Discharge of air through an orifice", cubic feet of free air a minute, coefficient 1, 14.696 psia, 70 F; cells seen as text in a reprint
        Footnotes of the table: 1 to 15 psig by the standard adiabatic formula, above by an approximate constant; approximate only; a sharp edge passes 0.65, a well-rounded entrance 0.97 of it.
        The exact nozzle reproduces its 264 cells within 1.2 % (the worst, 1/64 in at 2 psig, is printed to two digits). Columns: hole diameter in inches.""",
        ("psig", *HOLES),
        rows,
    )


RHO_0, T_0 = 1.185, 293.15


def iso_6358():
    rows = []
    for upstream, downstream, temperature in (
        (101325, 0, ROOM), (101325, 30397.5, ROOM), (101325, 50662.5, ROOM), (101325, 70927.5, ROOM), (101325, 91192.5, ROOM),
        (200000, 101325, ROOM), (200000, 101325, 353.15),
    ):
        conductance, critical = 1e-8, 0.3
        ratio = downstream / upstream
        shape = 1.0 if ratio <= critical else math.sqrt(1 - ((ratio - critical) / (1 - critical)) ** 2)
        flow = conductance * upstream * RHO_0 * math.sqrt(T_0 / temperature) * shape
        rows.append((conductance, critical, upstream, downstream, temperature, flow))
    write_csv(
        "iso6358.csv",
        """source: flow law of ISO 6358-1 (C, b, ellipse), form seen in two simulation libraries' documentation (Sanville 1971); values computed from it
        Reference atmosphere ISO 8778: 293.15 K, 100 kPa, 1.185 kg/m3 (from memory). Without the linear segment near equal pressures.""",
        ("c_m3_s_pa", "b", "upstream_pa", "downstream_pa", "temperature_k", "mass_flow_kg_s"),
        rows,
    )
    rows = []
    for diameter in (0.5, 1.0, 1.2, 1.5, 2.0, 3.0):
        for coefficient in (1.0, 0.75, 0.65):
            c = coefficient * hole(diameter * 1e-3) * CHOKED / (RHO_0 * math.sqrt(R_AIR * T_0))
            rows.append((diameter, coefficient, c, c * 1e8))
    write_csv(
        "iso6358_holes.csv",
        """source: computed by closed form: C = Cd A Psi* / (rho0 sqrt(R T0)), Psi* = 0.684731456 for gamma 1.4, rho0 1.185 kg/m3, T0 293.15 K (ISO 8778, from memory)
        Sonic conductance of a round hole; the last column in dm3/(s bar).""",
        ("diameter_mm", "coefficient", "c_m3_s_pa", "c_dm3_s_bar"),
        rows,
    )
    rows = []
    for ratio in (0.6, 0.7, 0.8, 0.9, 0.95, 0.99):
        exact = nozzle_flux(1.0, ratio, ROOM) / nozzle_flux(1.0, 0.1, ROOM)
        rows.append((ratio, exact, math.sqrt(1 - ((ratio - 0.52828) / (1 - 0.52828)) ** 2)))
    write_csv(
        "nozzle_and_ellipse.csv",
        """source: computed by closed form: flow over choked flow of the frictionless nozzle (gamma 1.4) and of the ISO 6358 ellipse with b = 0.52828
        The two differ by at most 0.30 %.""",
        ("ratio", "nozzle", "ellipse"),
        rows,
    )


def networks():
    rows = []
    for leak, restriction, source in ((0.5, 1.0, 10e3), (0.5, 1.0, 25e3), (1.0, 1.0, 25e3), (0.3, 1.0, 25e3), (1.0, 0.5, 25e3), (0.8, 1.2, 6e3)):
        def surplus(pressure):
            return hole(leak * 1e-3) * nozzle_flux(SEA_LEVEL, pressure, ROOM) - hole(restriction * 1e-3) * nozzle_flux(pressure, source, ROOM)

        node = brentq(surplus, source * (1 + 1e-9), SEA_LEVEL * (1 - 1e-12), xtol=1e-9, rtol=1e-14)
        flow = hole(leak * 1e-3) * nozzle_flux(SEA_LEVEL, node, ROOM)
        rows.append((leak, restriction, source, node, (SEA_LEVEL - node) / INHG, flow))
    write_csv(
        "leak_networks.csv",
        """source: computed with SciPy 1.17.1 (brentq) on the frictionless nozzle, gamma 1.4, coefficient 1, 293.15 K; rows 1 and 2 agree with ngspice 39 to 6 figures
        A leak from 101325 Pa and a restriction to a source at constant pressure meet at one node. Row 1 is exact: both choked, so p = p_atm A1 / A2.""",
        ("leak_mm", "restriction_mm", "source_pa", "node_pa", "node_inhg", "mass_flow_kg_s"),
        rows,
    )


if __name__ == "__main__":
    assert GAMMA == 1.4
    nozzle_functions()
    mass_flux()
    handbook_table()
    iso_6358()
    networks()

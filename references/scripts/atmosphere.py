"""Standard atmosphere and unit factors."""

import ambiance
import fluids
import pint

from common import INHG, PSI, write_csv


def standard_atmosphere():
    rows = []
    for height in (-300, 0, 250, 500, 750, 1000, 1250, 1500, 1609.344, 1620, 1750, 2000, 2400, 2500, 3000, 3500, 4000, 4500, 5000):
        air = fluids.ATMOSPHERE_1976(height)
        second = ambiance.Atmosphere(height)
        geopotential = 101325 * (1 - 0.0065 * height / 288.15) ** 5.2558797
        rows.append((height, air.T, air.P, float(second.pressure[0]), air.rho, geopotential))
    write_csv(
        "atmosphere.csv",
        """source: ISO 2533:1975 = US Standard Atmosphere 1976 below 32 km; computed with fluids 1.3.1 (ATMOSPHERE_1976) and, as second opinion, ambiance 1.3.1
        The height is geometric; the last column reads the same number as a geopotential height by the closed form 101325 (1 - 0.0065 H / 288.15)^5.2558797.""",
        ("geometric_m", "temperature_k", "pressure_pa", "pressure_ambiance_pa", "density_kg_m3", "pressure_if_geopotential_pa"),
        rows,
    )
    write_csv(
        "atmosphere_published.csv",
        """source: 40 CFR 86.1803-01 "high-altitude conditions" (1620 m is 83.3 kPa, limits 1 kPa) and two engineering tables of the standard atmosphere (psia at feet)
        Values seen as text. The same paragraph of the CFR also says 24.2 inHg, which is 81.95 kPa and contradicts its own kPa figure: not used.""",
        ("what", "height_m", "kind", "pressure_pa", "tolerance_pa"),
        [
            ("40 CFR 86.1803-01", 1620, "geometric", 83300, 50),
            ("5000 ft, 12.228 psia", 1524, "geopotential", 12.228 * PSI, 0.0005 * PSI),
            ("10000 ft, 10.108 psia", 3048, "geopotential", 10.108 * PSI, 0.002 * PSI),
        ],
    )


def units():
    """Factor and offset: SI value = factor * number + offset."""
    foot, gallon, pound = 0.3048, 231 * 0.0254**3, 0.45359237
    seen, exact, memory = "NIST SP 811 B.8, seen", "exact by definition", "NIST SP 811, from memory"
    rows = [
        ("pressure", "inHg", INHG, 0, "3386.389", seen),
        ("pressure", "inH2O", 1000 * 9.80665 * 0.0254, 0, "249.0889", seen),
        ("pressure", "psi", PSI, 0, "6894.757", seen),
        ("pressure", "mmHg", 13595.1 * 9.80665 * 0.001, 0, "133.3224", memory),
        ("pressure", "bar", 1e5, 0, None, exact),
        ("pressure", "mbar", 100, 0, None, exact),
        ("pressure", "hPa", 100, 0, None, exact),
        ("pressure", "kPa", 1000, 0, None, exact),
        ("pressure", "MPa", 1e6, 0, None, exact),
        ("pressure", "atm", 101325, 0, None, exact),
        ("length", "in", 0.0254, 0, None, exact),
        ("length", "ft", foot, 0, None, exact),
        ("length", "mi", 1609.344, 0, None, exact),
        ("length", "mm", 0.001, 0, None, exact),
        ("temperature", "degC", 1, 273.15, None, exact),
        ("temperature", "degF", 5 / 9, 459.67 * 5 / 9, None, exact),
        ("volume", "L", 0.001, 0, None, exact),
        ("volume", "gal", gallon, 0, "0.003785412", memory),
        ("volume", "in3", 0.0254**3, 0, "1.638706e-5", memory),
        ("volume flow", "L/min", 0.001 / 60, 0, None, exact),
        ("volume flow", "cfm", foot**3 / 60, 0, "4.719474e-4", memory),
        ("mass", "lb", pound, 0, None, exact),
        ("force", "lbf", pound * 9.80665, 0, "4.448222", memory),
        ("torque", "lbf ft", pound * 9.80665 * foot, 0, "1.355818", memory),
        ("speed", "mph", 1609.344 / 3600, 0, "0.44704", memory),
        ("speed", "km/h", 1 / 3.6, 0, "0.2777778", memory),
        ("charge", "Ah", 3600, 0, None, exact),
        ("angular speed", "rpm", 3.141592653589793 / 30, 0, "0.1047198", memory),
    ]
    second_opinion()
    write_csv(
        "units.csv",
        """source: NIST Special Publication 811, appendix B.8 (printed column); factor constructed exactly from 0.0254 m, 0.45359237 kg, 9.80665 m/s2, 13595.1 and 1000 kg/m3
        SI value = factor * number + offset. Mercury and water are the "conventional" units: inHg at 60 F is 3376.85 Pa, at 32 F 3386.38 Pa, and is another unit. Checked against pint 0.25.3.""",
        ("quantity", "unit", "factor", "offset", "printed_sp811", "provenance"),
        rows,
    )


def second_opinion():
    """The constructions above agree with pint's registry, or this script stops."""
    registry = pint.UnitRegistry()
    for name, ours in (("inHg", INHG), ("inH2O", 249.08890999), ("psi", PSI), ("mmHg", 133.322387415)):
        theirs = registry.Quantity(1, name).to("pascal").magnitude
        assert abs(ours / theirs - 1) < 5e-5, (name, ours, theirs)


if __name__ == "__main__":
    standard_atmosphere()
    units()

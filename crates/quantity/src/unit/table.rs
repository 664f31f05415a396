//! The table of units. Factors are built from constants exact by definition; the tests compare them with published ones.

use super::Unit;
use crate::Dimension;
use crate::Dimension::{
    Area, Capacitance, Current, EmfConstant, Energy, Force, Frequency, HeatCapacity, Inductance, Length,
    Mass, MassFlow, MomentOfInertia, Power, Pressure, PressureSensitivity, Ratio, Resistance,
    RotationalSpeed, SonicConductance, Speed, Stiffness, SweptVolume, Temperature, TemperatureCoefficient,
    TemperatureDifference, ThermalConductance, Time, Torque, TorqueConstant, Voltage, Volume, VolumeFlow,
};

/// Standard gravity, m/s² (CGPM 1901).
const GRAVITY: f64 = 9.806_65;
/// Inch, m (1959 agreement).
const INCH: f64 = 0.0254;
/// Pound, kg (1959 agreement).
const POUND: f64 = 0.453_592_37;
/// Conventional densities of mercury and water in pressure units, kg/m³ (NIST SP 811 App. B.8).
const MERCURY: f64 = 13_595.1;
const WATER: f64 = 1000.0;
/// One revolution per minute as an angular speed, rad/s.
const RPM_IN_RADIANS: f64 = std::f64::consts::TAU / 60.0;

/// A unit without offset and other spellings.
pub(super) const fn unit(symbol: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit {
        symbol,
        dimension,
        factor,
        offset: 0.0,
        aliases: &[],
        exact_m: false,
    }
}

impl Unit {
    const fn or(self, aliases: &'static [&'static str]) -> Self {
        Self { aliases, ..self }
    }

    const fn from(self, offset: f64) -> Self {
        Self { offset, ..self }
    }

    const fn exact_m(self) -> Self {
        Self {
            exact_m: true,
            ..self
        }
    }
}

/// Every unit, by dimension. Of units with the same spelling the first wins where nothing else decides.
#[rustfmt::skip]
pub(super) static UNITS: &[Unit] = &[
    unit("Pa", Pressure, 1.0).or(&["pascal"]),
    unit("hPa", Pressure, 100.0),
    unit("kPa", Pressure, 1e3),
    unit("MPa", Pressure, 1e6).exact_m(),
    unit("bar", Pressure, 1e5),
    unit("mbar", Pressure, 100.0).or(&["millibar"]),
    unit("inHg", Pressure, MERCURY * GRAVITY * INCH).or(&["in.Hg", "inches Hg", "\"Hg"]),
    unit("mmHg", Pressure, MERCURY * GRAVITY * 1e-3).or(&["torr"]),
    unit("cmHg", Pressure, MERCURY * GRAVITY * 1e-2),
    unit("inH2O", Pressure, WATER * GRAVITY * INCH).or(&["in.H2O", "inches H2O", "inWC", "\"H2O"]),
    unit("mmH2O", Pressure, WATER * GRAVITY * 1e-3),
    unit("psi", Pressure, POUND * GRAVITY / (INCH * INCH)).or(&["lbf/in2"]),
    unit("atm", Pressure, 101_325.0),

    unit("m", Length, 1.0).or(&["metre", "metres", "meter", "meters"]),
    unit("mm", Length, 1e-3),
    unit("cm", Length, 1e-2),
    unit("km", Length, 1e3),
    unit("um", Length, 1e-6),
    unit("in", Length, INCH).or(&["inch", "inches"]),
    unit("ft", Length, 12.0 * INCH).or(&["foot", "feet"]),
    unit("mi", Length, 5280.0 * 12.0 * INCH).or(&["mile", "miles"]),

    unit("m2", Area, 1.0),
    unit("mm2", Area, 1e-6).or(&["sq mm"]),
    unit("cm2", Area, 1e-4),
    unit("in2", Area, INCH * INCH),

    unit("m3", Volume, 1.0),
    unit("cm3", Volume, 1e-6).or(&["cc", "ccm"]),
    unit("mm3", Volume, 1e-9),
    unit("dm3", Volume, 1e-3),
    unit("in3", Volume, INCH * INCH * INCH),
    unit("L", Volume, 1e-3).or(&["litre", "litres", "liter", "liters"]),
    unit("mL", Volume, 1e-6),

    unit("m3/rev", SweptVolume, 1.0).or(&["m3/r"]),
    unit("cm3/rev", SweptVolume, 1e-6).or(&["cc/rev", "cm3/r", "mL/rev"]),
    unit("L/rev", SweptVolume, 1e-3).or(&["dm3/rev"]),

    unit("rpm", RotationalSpeed, 1.0 / 60.0).or(&["1/min", "rev/min", "r/min", "min-1"]),
    unit("rev/s", RotationalSpeed, 1.0).or(&["1/s", "r/s", "rps"]),
    unit("rad/s", RotationalSpeed, 1.0 / std::f64::consts::TAU),

    unit("Hz", Frequency, 1.0).or(&["1/s"]),
    unit("kHz", Frequency, 1e3),
    unit("mHz", Frequency, 1e-3).exact_m(),
    unit("MHz", Frequency, 1e6).exact_m(),

    unit("V", Voltage, 1.0).or(&["volt", "volts"]),
    unit("mV", Voltage, 1e-3).exact_m(),
    unit("uV", Voltage, 1e-6),
    unit("kV", Voltage, 1e3),

    unit("A", Current, 1.0).or(&["amp", "amps", "ampere", "amperes"]),
    unit("mA", Current, 1e-3).exact_m(),
    unit("uA", Current, 1e-6),

    unit("ohm", Resistance, 1.0).or(&["ohms"]),
    unit("mohm", Resistance, 1e-3).or(&["mohms"]).exact_m(),
    unit("kohm", Resistance, 1e3).or(&["kohms"]),
    unit("Mohm", Resistance, 1e6).or(&["Mohms"]).exact_m(),

    unit("H", Inductance, 1.0).or(&["henry"]),
    unit("mH", Inductance, 1e-3).exact_m(),
    unit("uH", Inductance, 1e-6),

    unit("F", Capacitance, 1.0).or(&["farad"]),
    unit("mF", Capacitance, 1e-3).exact_m(),
    unit("uF", Capacitance, 1e-6),
    unit("nF", Capacitance, 1e-9),
    unit("pF", Capacitance, 1e-12),

    unit("K", Temperature, 1.0).or(&["kelvin"]),
    unit("°C", Temperature, 1.0).or(&["degC", "C", "celsius"]).from(273.15),
    unit("°F", Temperature, 5.0 / 9.0).or(&["degF", "F", "fahrenheit"]).from(459.67 * 5.0 / 9.0),

    unit("K", TemperatureDifference, 1.0).or(&["kelvin"]),

    unit("", Ratio, 1.0).or(&["1"]),
    unit("%", Ratio, 1e-2).or(&["percent", "pct"]),

    unit("N", Force, 1.0).or(&["newton"]),
    unit("mN", Force, 1e-3).exact_m(),
    unit("kN", Force, 1e3),
    unit("lbf", Force, POUND * GRAVITY),

    unit("N/m", Stiffness, 1.0),
    unit("N/mm", Stiffness, 1e3),
    unit("N/cm", Stiffness, 1e2),
    unit("lbf/in", Stiffness, POUND * GRAVITY / INCH),

    unit("s", Time, 1.0).or(&["sec", "second", "seconds"]),
    unit("ms", Time, 1e-3),
    unit("us", Time, 1e-6),
    unit("min", Time, 60.0).or(&["minute", "minutes"]),
    unit("h", Time, 3600.0).or(&["hr", "hour", "hours"]),

    unit("kg/s", MassFlow, 1.0),
    unit("g/s", MassFlow, 1e-3),
    unit("mg/s", MassFlow, 1e-6),
    unit("g/min", MassFlow, 1e-3 / 60.0),
    unit("kg/h", MassFlow, 1.0 / 3600.0),

    unit("m3/s", VolumeFlow, 1.0),
    unit("m3/h", VolumeFlow, 1.0 / 3600.0),
    unit("L/s", VolumeFlow, 1e-3).or(&["dm3/s"]),
    unit("L/min", VolumeFlow, 1e-3 / 60.0).or(&["dm3/min", "lpm"]),
    unit("L/h", VolumeFlow, 1e-3 / 3600.0),
    unit("cfm", VolumeFlow, 1728.0 * INCH * INCH * INCH / 60.0).or(&["ft3/min"]),
    unit("mL/min", VolumeFlow, 1e-6 / 60.0).or(&["cm3/min", "cc/min"]),
    unit("mL/s", VolumeFlow, 1e-6).or(&["cm3/s", "cc/s"]),

    unit("m3/(s Pa)", SonicConductance, 1.0),
    unit("dm3/(s bar)", SonicConductance, 1e-8).or(&["L/(s bar)"]),

    unit("N m", Torque, 1.0),
    unit("mN m", Torque, 1e-3).exact_m(),
    unit("N cm", Torque, 1e-2),
    unit("lbf ft", Torque, POUND * GRAVITY * 12.0 * INCH).or(&["ft lbf", "ft lb", "lb ft"]),

    unit("V s/rad", EmfConstant, 1.0).or(&["V/(rad/s)", "V s"]),
    unit("mV s/rad", EmfConstant, 1e-3).or(&["mV/(rad/s)"]).exact_m(),
    unit("V/rpm", EmfConstant, 1.0 / RPM_IN_RADIANS),
    unit("mV/rpm", EmfConstant, 1e-3 / RPM_IN_RADIANS).or(&["V/krpm"]).exact_m(),

    unit("N m/A", TorqueConstant, 1.0),
    unit("mN m/A", TorqueConstant, 1e-3).exact_m(),

    unit("W", Power, 1.0).or(&["watt", "watts"]),
    unit("mW", Power, 1e-3).exact_m(),
    unit("kW", Power, 1e3),

    unit("J", Energy, 1.0).or(&["W s"]),
    unit("kJ", Energy, 1e3),
    unit("W h", Energy, 3600.0),

    unit("kg", Mass, 1.0),
    unit("g", Mass, 1e-3),
    unit("lb", Mass, POUND).or(&["lbs"]),
    unit("mg", Mass, 1e-6),

    unit("kg m2", MomentOfInertia, 1.0),
    unit("kg mm2", MomentOfInertia, 1e-6),
    unit("g cm2", MomentOfInertia, 1e-7),

    unit("m/s", Speed, 1.0),
    unit("km/h", Speed, 1.0 / 3.6).or(&["kph"]),
    unit("mph", Speed, 5280.0 * 12.0 * INCH / 3600.0),

    unit("J/K", HeatCapacity, 1.0).or(&["W s/K"]),

    unit("W/K", ThermalConductance, 1.0),
    unit("mW/K", ThermalConductance, 1e-3).exact_m(),

    unit("1/K", TemperatureCoefficient, 1.0).or(&["/K"]),
    unit("%/K", TemperatureCoefficient, 1e-2),

    unit("V/Pa", PressureSensitivity, 1.0),
    unit("V/kPa", PressureSensitivity, 1e-3),
    unit("mV/kPa", PressureSensitivity, 1e-6).exact_m(),
    unit("V/bar", PressureSensitivity, 1e-5),
];

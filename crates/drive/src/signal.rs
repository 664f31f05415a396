//! What a column can be: the signals of an engine that a recording may hold.

use quantity::Dimension;
use serde::Serialize;

/// A signal that has a meaning here. Values are SI; pressures are absolute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Signal {
    /// Time of the row, from whatever beginning.
    Time,
    /// Time since the engine was started; 0 while it stands.
    RunTime,
    /// Turns of the crankshaft.
    EngineSpeed,
    /// Speed over ground.
    VehicleSpeed,
    /// Coolant.
    Coolant,
    /// Air in the intake.
    IntakeAir,
    /// Air around the vehicle.
    OutsideAir,
    /// Engine oil.
    Oil,
    /// Pressure in the intake manifold, absolute.
    IntakePressure,
    /// Boost that the module asks for, absolute.
    BoostCommanded,
    /// Pressure of the air around the vehicle.
    Barometer,
    /// Duty that drives the wastegate's or the vanes' actuator.
    BoostDuty,
    /// Pressure of the fuel, absolute or above ambient as the vehicle says it.
    FuelPressure,
    /// Air that the engine takes in.
    AirFlow,
    /// Load as the module reckons it.
    Load,
    /// Opening of the throttle.
    Throttle,
    /// Pedal.
    Pedal,
    /// Voltage at the control module.
    Voltage,
    /// Warm-up cycles since the codes were cleared, as the vehicle counts them; 255 is as far as it counts.
    WarmUps,
    /// Distance since the codes were cleared.
    DistanceSinceCleared,
    /// Level in the fuel tank.
    FuelLevel,
}

/// What is known of a signal.
#[derive(Debug)]
pub(crate) struct Known {
    pub(crate) signal: Signal,
    /// How it is called here.
    pub(crate) name: &'static str,
    pub(crate) dimension: Dimension,
    /// Unit of SAE J1979 service 01, in which a column without a unit is most likely written.
    pub(crate) usual: &'static str,
    /// Other units seen in recordings.
    pub(crate) others: &'static [&'static str],
    /// Least and greatest value that a sound vehicle can show, SI.
    pub(crate) range: (f64, f64),
    /// Its names: sets of words that must all stand in a column's name. The words of SAE J1979 and the abbreviations of
    /// SAE J1930, from memory; what else is seen in recordings is common practice, no source.
    pub(crate) names: &'static [&'static str],
}

const fn known(
    signal: Signal,
    name: &'static str,
    (dimension, usual, others): (Dimension, &'static str, &'static [&'static str]),
    range: (f64, f64),
    names: &'static [&'static str],
) -> Known {
    Known {
        signal,
        name,
        dimension,
        usual,
        others,
        range,
        names,
    }
}

const TEMPERATURES: &[&str] = &["°F", "K"];
const PRESSURES: &[&str] = &["psi", "bar", "inHg", "mbar", "hPa", "Pa"];

/// Everything that is recognised.
pub(crate) static KNOWN: &[Known] = &[
    known(
        Signal::Time,
        "time",
        (Dimension::Time, "s", &["ms", "min", "h"]),
        (0.0, 4e9),
        &["time", "timestamp", "elapsed", "seconds", "clock"],
    ),
    known(
        Signal::RunTime,
        "time since engine start",
        (Dimension::Time, "s", &["min"]),
        (0.0, 65_535.0),
        &[
            "run time",
            "runtime",
            "time since engine start",
            "engine run time",
            "runtm",
        ],
    ),
    known(
        Signal::EngineSpeed,
        "engine speed",
        (Dimension::RotationalSpeed, "rpm", &[]),
        (0.0, 275.0),
        &["engine rpm", "engine speed", "rpm", "engine revolutions"],
    ),
    known(
        Signal::VehicleSpeed,
        "vehicle speed",
        (Dimension::Speed, "km/h", &["mph", "m/s"]),
        (0.0, 100.0),
        &["vehicle speed", "vss", "road speed", "speed"],
    ),
    known(
        Signal::Coolant,
        "coolant temperature",
        (Dimension::Temperature, "°C", TEMPERATURES),
        (223.15, 423.15),
        &[
            "coolant temperature",
            "coolant temp",
            "engine coolant",
            "ect",
            "coolant",
        ],
    ),
    known(
        Signal::IntakeAir,
        "intake air temperature",
        (Dimension::Temperature, "°C", TEMPERATURES),
        (223.15, 473.15),
        &[
            "intake air temperature",
            "intake air temp",
            "iat",
            "intake temperature",
            "intake temp",
            "charge air temperature",
        ],
    ),
    known(
        Signal::OutsideAir,
        "outside air temperature",
        (Dimension::Temperature, "°C", TEMPERATURES),
        (213.15, 333.15),
        &[
            "ambient air temperature",
            "ambient temperature",
            "ambient temp",
            "outside temperature",
            "outside temp",
            "aat",
        ],
    ),
    known(
        Signal::Oil,
        "oil temperature",
        (Dimension::Temperature, "°C", TEMPERATURES),
        (223.15, 463.15),
        &["oil temperature", "oil temp", "eot"],
    ),
    known(
        Signal::IntakePressure,
        "intake manifold pressure",
        (Dimension::Pressure, "kPa", PRESSURES),
        (5e3, 5e5),
        &[
            "intake manifold absolute pressure",
            "intake manifold pressure",
            "manifold absolute pressure",
            "manifold pressure",
            "intake pressure",
            "boost pressure",
            "boost actual",
            "map",
        ],
    ),
    known(
        Signal::BoostCommanded,
        "commanded boost pressure",
        (Dimension::Pressure, "kPa", PRESSURES),
        (5e3, 6e5),
        &[
            "boost pressure commanded",
            "commanded boost",
            "boost commanded",
            "boost desired",
            "boost target",
            "boost setpoint",
            "boost specified",
        ],
    ),
    known(
        Signal::Barometer,
        "barometer",
        (Dimension::Pressure, "kPa", PRESSURES),
        (4e4, 1.1e5),
        &[
            "barometric pressure",
            "barometer",
            "baro",
            "ambient pressure",
            "atmospheric pressure",
        ],
    ),
    known(
        Signal::BoostDuty,
        "duty of the boost actuator",
        (Dimension::Ratio, "%", &[]),
        (0.0, 1.0),
        &[
            "wastegate duty",
            "wastegate control",
            "boost control duty",
            "boost solenoid duty",
            "boost duty",
            "vgt control",
            "vgt duty",
            "turbo duty",
        ],
    ),
    known(
        Signal::FuelPressure,
        "fuel pressure",
        (Dimension::Pressure, "kPa", PRESSURES),
        (0.0, 3e8),
        &["fuel pressure", "fuel rail pressure", "rail pressure", "frp"],
    ),
    known(
        Signal::AirFlow,
        "air flow",
        (Dimension::MassFlow, "g/s", &["kg/h"]),
        (0.0, 1.0),
        &["mass air flow", "air flow rate", "maf"],
    ),
    known(
        Signal::Load,
        "engine load",
        (Dimension::Ratio, "%", &[]),
        (0.0, 1.0),
        &["engine load", "calculated load", "load pct", "load value"],
    ),
    known(
        Signal::Throttle,
        "throttle",
        (Dimension::Ratio, "%", &[]),
        (0.0, 1.0),
        &["throttle position", "throttle"],
    ),
    known(
        Signal::Pedal,
        "pedal",
        (Dimension::Ratio, "%", &[]),
        (0.0, 1.0),
        &[
            "accelerator pedal position",
            "accelerator pedal",
            "pedal position",
            "pedal",
            "app",
        ],
    ),
    known(
        Signal::Voltage,
        "module voltage",
        (Dimension::Voltage, "V", &["mV"]),
        (4.0, 33.0),
        &[
            "control module voltage",
            "module voltage",
            "battery voltage",
            "supply voltage",
            "voltage",
            "vpwr",
        ],
    ),
    known(
        Signal::WarmUps,
        "warm-ups since the codes were cleared",
        (Dimension::Ratio, "", &[]),
        (0.0, 255.0),
        &[
            "warm ups since codes cleared",
            "warm ups since",
            "warmups since",
            "warm ups",
            "warmups",
        ],
    ),
    known(
        Signal::DistanceSinceCleared,
        "distance since the codes were cleared",
        (Dimension::Length, "km", &[]),
        (0.0, 6.6e7),
        &["distance since codes cleared", "distance since clear", "clr dist"],
    ),
    known(
        Signal::FuelLevel,
        "fuel level",
        (Dimension::Ratio, "%", &[]),
        (0.0, 1.0),
        &["fuel level", "fuel tank level", "fuel tank"],
    ),
];

impl Signal {
    pub(crate) fn known(self) -> &'static Known {
        // Every signal has its line; a test counts them.
        KNOWN
            .iter()
            .find(|known| known.signal == self)
            .unwrap_or(&KNOWN[0])
    }

    /// How it is called.
    pub fn name(self) -> &'static str {
        self.known().name
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.known().dimension
    }

    /// Every signal.
    pub fn all() -> impl Iterator<Item = Self> {
        KNOWN.iter().map(|known| known.signal)
    }

    /// The signal called `name`.
    pub fn called(name: &str) -> Option<Self> {
        KNOWN
            .iter()
            .find(|known| known.name.eq_ignore_ascii_case(name.trim()))
            .map(|known| known.signal)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Unit;

    #[test]
    fn every_unit_named_here_is_one() {
        for known in KNOWN {
            for unit in std::iter::once(&known.usual).chain(known.others) {
                assert!(
                    Unit::named_for(unit, known.dimension).is_some(),
                    "{}: {unit}",
                    known.name
                );
            }
            assert_eq!(known.signal.known().name, known.name);
            assert_eq!(Signal::called(known.name), Some(known.signal));
        }
    }
}

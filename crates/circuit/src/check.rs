//! A check: a method at a place under a condition, what it reads and with what.

use crate::model::{AccessId, ConditionId, JointId, PartId, PortRef};
use quantity::Dimension;

/// How a check is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Hose pulled off, gauge on its source side, the other side open to the air: no flow.
    Deadhead,
    /// Gauge beside the closed joint, the circuit at work.
    Tee,
    /// Voltage at a joint against the source's negative terminal, everything plugged.
    Volts,
    /// Voltage at the source side of an unplugged port: no load.
    OpenVolts,
    /// Voltage across a part while it carries its current.
    Drop,
    /// Resistance of an unplugged part.
    Ohms,
    /// Current through a part, by clamp.
    Amps,
    /// Does it click when switched?
    Click,
    /// A careful look, feel and tug: is anything wrong to be seen?
    Look,
    /// Travel of a rod.
    Travel,
    /// Speed of a motor's shaft.
    Speed,
    /// The part fed directly: hand pump on an actuator, fused lead on a coil or motor. Does it answer?
    Jumper,
    /// A known good part in its place: is the complaint gone then?
    Swap,
    /// What the control module says the sensor reads.
    Data,
}

impl Method {
    /// All methods.
    pub const ALL: [Self; 14] = [
        Self::Deadhead,
        Self::Tee,
        Self::Volts,
        Self::OpenVolts,
        Self::Drop,
        Self::Ohms,
        Self::Amps,
        Self::Click,
        Self::Look,
        Self::Travel,
        Self::Speed,
        Self::Jumper,
        Self::Swap,
        Self::Data,
    ];

    /// The word in a check's id.
    pub fn word(self) -> &'static str {
        match self {
            Self::Deadhead => "deadhead",
            Self::Tee => "tee",
            Self::Volts => "volts",
            Self::OpenVolts => "open-volts",
            Self::Drop => "drop",
            Self::Ohms => "ohms",
            Self::Amps => "amps",
            Self::Click => "click",
            Self::Look => "look",
            Self::Travel => "travel",
            Self::Speed => "speed",
            Self::Jumper => "jumper",
            Self::Swap => "swap",
            Self::Data => "data",
        }
    }

    /// Hands-on minutes with access open and the condition reached. Common practice, no source; `swap` adds the
    /// part's own minutes.
    pub(crate) fn minutes(self) -> f64 {
        match self {
            Self::Click | Self::Data => 2.0,
            Self::Deadhead => 4.0,
            Self::Tee | Self::Look | Self::Jumper => 5.0,
            Self::Volts
            | Self::OpenVolts
            | Self::Ohms
            | Self::Amps
            | Self::Drop
            | Self::Travel
            | Self::Speed
            | Self::Swap => 3.0,
        }
    }
}

/// What a check reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reads {
    /// Pressure below ambient, positive.
    Vacuum,
    /// Pressure above ambient.
    GaugePressure,
    /// Absolute pressure.
    AbsolutePressure,
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// Ohms.
    Resistance,
    /// Travel, metres.
    Travel,
    /// Revolutions per second.
    Speed,
    /// Yes or no.
    YesNo,
}

impl Reads {
    /// Dimension of the reading; `None` for yes or no.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Vacuum | Self::GaugePressure | Self::AbsolutePressure => Some(Dimension::Pressure),
            Self::Voltage => Some(Dimension::Voltage),
            Self::Current => Some(Dimension::Current),
            Self::Resistance => Some(Dimension::Resistance),
            Self::Travel => Some(Dimension::Length),
            Self::Speed => Some(Dimension::RotationalSpeed),
            Self::YesNo => None,
        }
    }
}

impl Reads {
    /// What it is, in a sentence: `a vacuum`.
    pub(crate) fn noun(self) -> &'static str {
        match self {
            Self::Vacuum => "a vacuum",
            Self::GaugePressure => "a pressure",
            Self::AbsolutePressure => "an absolute pressure",
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Resistance => "a resistance",
            Self::Travel => "a travel",
            Self::Speed => "a speed",
            Self::YesNo => "a yes or no",
        }
    }

    /// How one would write a reading of it.
    pub(crate) fn example(self) -> &'static str {
        match self {
            Self::Vacuum => "21.5 inHg",
            Self::GaugePressure => "0.4 bar",
            Self::AbsolutePressure => "101.2 kPa",
            Self::Voltage => "12.4 V",
            Self::Current => "0.8 A",
            Self::Resistance => "14.6 ohm",
            Self::Travel => "8 mm",
            Self::Speed => "2400 rpm",
            Self::YesNo => "yes",
        }
    }
}

/// What a check is read with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Instrument {
    /// Dial gauge, 0 to 30 inHg below ambient.
    VacuumGauge,
    /// Dial gauge above ambient.
    PressureGauge,
    /// Multimeter, volts.
    Voltmeter,
    /// Multimeter, ohms.
    Ohmmeter,
    /// Clamp meter for direct current.
    Clamp,
    /// Steel rule or dial gauge on a rod.
    Rule,
    /// Tachometer.
    Tachometer,
    /// Eye, ear and finger.
    Senses,
    /// The control module's own data.
    ModuleData,
}

impl Instrument {
    /// All sorts.
    pub const ALL: [Self; 9] = [
        Self::VacuumGauge,
        Self::PressureGauge,
        Self::Voltmeter,
        Self::Ohmmeter,
        Self::Clamp,
        Self::Rule,
        Self::Tachometer,
        Self::Senses,
        Self::ModuleData,
    ];

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::VacuumGauge => "vacuum gauge",
            Self::PressureGauge => "pressure gauge",
            Self::Voltmeter => "voltmeter",
            Self::Ohmmeter => "ohmmeter",
            Self::Clamp => "current clamp",
            Self::Rule => "rule",
            Self::Tachometer => "tachometer",
            Self::Senses => "eyes and ears",
            Self::ModuleData => "module data",
        }
    }
}

/// Where a check is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// At a port of a joint.
    Port(PortRef, JointId),
    /// At a part as a whole.
    Part(PartId),
}

/// A possible check.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// `METHOD:PLACE@CONDITION`.
    pub id: String,
    /// How.
    pub method: Method,
    /// Where.
    pub place: Place,
    /// In which condition.
    pub condition: ConditionId,
    /// What it reads.
    pub reads: Reads,
    /// With what.
    pub instrument: Instrument,
    /// Hands-on minutes, access open and condition reached.
    pub minutes: f64,
    /// Accesses that must be open.
    pub needs: Vec<AccessId>,
}

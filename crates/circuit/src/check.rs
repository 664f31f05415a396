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
    /// Pressure gauge teed into a line of liquid, the circuit at work.
    Pressure,
    /// A line of liquid opened, its feeding end led into a can for a measured time: how much comes?
    Flow,
    /// The part moved, tapped, tugged while somebody watches the reading. Does it change?
    Wiggle,
    /// A second gauge beside the usual one, both on one source: what the usual one shows there.
    Compare,
    /// Share of the time an output is on, as a meter shows it.
    Duty,
    /// How hot a part is, by infrared thermometer.
    Temperature,
    /// A plain resistor or two in place of a sensor: what does the control module say then?
    Substitute,
    /// What a meter set to alternating volts shows across a part that makes direct current.
    Ripple,
    /// Resistance into the loom where a part is unplugged, power off.
    LoomOhms,
    /// Does the control module answer the tester?
    Answers,
    /// Is the lamp lit?
    Glow,
    /// A part or a piece alone, evacuated with the hand pump and closed: what is left after a while?
    Hold,
    /// How long the source takes from its start to a stated vacuum.
    PumpDown,
    /// What is left a while after the source was stopped, or shut off.
    LeakDown,
    /// What a low-pressure unit must feed to keep its pressure up.
    LeakFlow,
    /// Smoke under a little pressure let into the piping: does it come out of this part?
    Smoke,
}

impl Method {
    /// All methods.
    pub const ALL: [Self; 30] = [
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
        Self::Pressure,
        Self::Flow,
        Self::Wiggle,
        Self::Compare,
        Self::Duty,
        Self::Temperature,
        Self::Substitute,
        Self::Ripple,
        Self::LoomOhms,
        Self::Answers,
        Self::Glow,
        Self::Hold,
        Self::PumpDown,
        Self::LeakDown,
        Self::LeakFlow,
        Self::Smoke,
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
            Self::Pressure => "pressure",
            Self::Flow => "flow",
            Self::Wiggle => "wiggle",
            Self::Compare => "compare",
            Self::Duty => "duty",
            Self::Temperature => "temperature",
            Self::Substitute => "substitute",
            Self::Ripple => "ripple",
            Self::LoomOhms => "loom-ohms",
            Self::Answers => "answers",
            Self::Glow => "glow",
            Self::Hold => "hold",
            Self::PumpDown => "pump-down",
            Self::LeakDown => "leak-down",
            Self::LeakFlow => "leak-flow",
            Self::Smoke => "smoke",
        }
    }

    /// Hands-on minutes with access open and the condition reached. Common practice, no source; `swap` adds the
    /// part's own minutes.
    pub(crate) fn minutes(self) -> f64 {
        match self {
            Self::Answers | Self::Glow => 1.0,
            Self::Click | Self::Data | Self::Compare | Self::Temperature | Self::Ripple => 2.0,
            Self::Deadhead | Self::Wiggle | Self::Substitute | Self::LoomOhms | Self::PumpDown => 4.0,
            // A minute of waiting, and the pump joined on and off: 4 to 8 with the rod watched.
            Self::Hold => 6.0,
            Self::Tee | Self::Look | Self::Jumper | Self::LeakDown => 5.0,
            // With relieving the pressure and wiping up: 12 for pressure, 8 for volume once the line is open.
            Self::Pressure | Self::LeakFlow => 10.0,
            Self::Flow | Self::Smoke => 8.0,
            Self::Volts
            | Self::OpenVolts
            | Self::Ohms
            | Self::Amps
            | Self::Drop
            | Self::Travel
            | Self::Speed
            | Self::Duty
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
    /// Volume per time, of liquid, or of air as it is around.
    Flow,
    /// Kelvin.
    Temperature,
    /// A share of the whole, 0 to 1: a duty, a position.
    Share,
    /// Seconds.
    Time,
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
            Self::Flow => Some(Dimension::VolumeFlow),
            Self::Temperature => Some(Dimension::Temperature),
            Self::Share => Some(Dimension::Ratio),
            Self::Time => Some(Dimension::Time),
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
            Self::Flow => "a flow",
            Self::Temperature => "a temperature",
            Self::Share => "a share",
            Self::Time => "a time",
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
            Self::Flow => "1.4 L/min",
            Self::Temperature => "85 °C",
            Self::Share => "65 %",
            Self::Time => "12 s",
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
    /// Infrared thermometer.
    Thermometer,
    /// Multimeter, share of time.
    DutyMeter,
    /// Hand vacuum pump with its own gauge.
    HandPump,
    /// Watch with a second hand, beside a gauge.
    Watch,
    /// Low-pressure leak unit: its flow meter.
    LeakUnit,
    /// Gauge for a few inches of water.
    LowGauge,
    /// Maker of smoke under a little pressure.
    SmokeMaker,
    /// Eye, ear and finger.
    Senses,
    /// The control module's own data: a pressure.
    ModuleData,
    /// Dial gauge of a fuel pressure set, 0 to 10 bar.
    FuelGauge,
    /// Measuring can and stop-watch.
    MeasuringCan,
    /// The control module's own data: a temperature.
    ModuleTemperature,
    /// The control module's own data: a position.
    ModulePosition,
}

impl Instrument {
    /// All sorts. A new one goes to the end: whoever draws an error for each keeps what was drawn before.
    pub const ALL: [Self; 20] = [
        Self::VacuumGauge,
        Self::PressureGauge,
        Self::Voltmeter,
        Self::Ohmmeter,
        Self::Clamp,
        Self::Rule,
        Self::Tachometer,
        Self::Senses,
        Self::ModuleData,
        Self::FuelGauge,
        Self::MeasuringCan,
        Self::Thermometer,
        Self::DutyMeter,
        Self::ModuleTemperature,
        Self::ModulePosition,
        Self::HandPump,
        Self::Watch,
        Self::LeakUnit,
        Self::LowGauge,
        Self::SmokeMaker,
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
            Self::Thermometer => "infrared thermometer",
            Self::DutyMeter => "duty meter",
            Self::HandPump => "hand pump with gauge",
            Self::Watch => "stopwatch",
            Self::LeakUnit => "leak unit",
            Self::LowGauge => "low-pressure gauge",
            Self::SmokeMaker => "smoke maker",
            Self::Senses => "eyes and ears",
            Self::ModuleData => "module data",
            Self::FuelGauge => "fuel pressure gauge",
            Self::MeasuringCan => "measuring can and watch",
            Self::ModuleTemperature => "module data, temperature",
            Self::ModulePosition => "module data, position",
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

/// What gauges are brought to where two are compared: 15 inHg by a hand pump, in the middle of the dial; 1 bar by regulated air, Pa.
/// Common practice, no source.
const COMPARED_AT: (f64, f64) = (50_795.8, 1.0e5);

impl Check {
    /// What the second gauge shows while the usual one is read, SI, for a check that compares the two.
    pub fn level(&self) -> Option<f64> {
        let level = if self.reads == Reads::Vacuum {
            COMPARED_AT.0
        } else {
            COMPARED_AT.1
        };
        (self.method == Method::Compare).then_some(level)
    }
}

//! What a kind of part brings, as plain data.
//!
//! The kinds themselves live one file each in `physics`, where the same file holds the laws. Here is only what reading,
//! checking, describing and drawing a circuit need: ports, parameters with ranges, ways to fail, cautions, natural checks.
//! Numbers in these tables are SI: they sit beside a [`Dimension`].

use crate::check::{Method, Reads};
use crate::shows::Shows;
use quantity::Dimension;

/// What flows through a port.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Medium {
    /// Air below or above the ambient pressure. Potential: absolute pressure; flow: mass per time.
    Air,
    /// Electric current. Potential: voltage; flow: current.
    Electric,
    /// A liquid, such as fuel. Potential: absolute pressure; flow: volume per time.
    Liquid,
    /// A moving rod or lever. Potential: travel; flow: force.
    Rod,
}

/// What a kind supplies to its circuit, if it is a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Supplies {
    /// Air below ambient pressure.
    Vacuum,
    /// Air above ambient pressure.
    Pressure,
    /// Electric current.
    Current,
    /// A liquid at the ambient pressure: a tank.
    Liquid,
    /// A liquid above ambient pressure, drawn from a tank.
    LiquidPressure,
}

/// A place where a part connects.
#[derive(Debug, Clone, Copy)]
pub struct PortSpec {
    /// Name as written in a circuit file: `inlet`, `source`, `85`.
    pub name: &'static str,
    /// What flows there.
    pub medium: Medium,
    /// `true` if the part works with nothing joined to this port (a vent to the air, an unused contact).
    pub may_stay_open: bool,
    /// `true` if a technician can unplug it in seconds, so that the open end can be measured.
    pub unplugs: bool,
    /// What it is, in a few words.
    pub what: &'static str,
}

/// How far a value may lie from its typical one: plus or minus two standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// Share of the typical value.
    Relative(f64),
    /// In the value's own SI unit.
    Absolute(f64),
}

/// What a parameter can be set to.
#[derive(Debug, Clone, Copy)]
pub enum ParameterDomain {
    /// A quantity of one of these dimensions (mostly one).
    Quantity(&'static [Dimension]),
    /// One of these words; its value is the word's index.
    Choice(&'static [&'static str]),
}

/// One parameter of a kind.
#[derive(Debug, Clone, Copy)]
pub struct ParameterSpec {
    /// Name as written in a circuit file.
    pub name: &'static str,
    /// What it is, with the provenance of the default.
    pub what: &'static str,
    /// What it can be set to.
    pub domain: ParameterDomain,
    /// Typical value, SI. `None`: an author must give it.
    pub default: Option<f64>,
    /// Tolerance where the author gives none.
    pub spread: Spread,
    /// Lowest and highest physically sensible value, SI.
    pub range: (f64, f64),
}

/// How bad a fault is: the 5th, 50th and 95th percentile, SI.
#[derive(Debug, Clone, Copy)]
pub struct SeveritySpec {
    /// What is measured: a hole's bore, an added resistance.
    pub what: &'static str,
    /// Its dimension.
    pub dimension: Dimension,
    /// Unit it is written in.
    pub unit: &'static str,
    /// 5th percentile.
    pub low: f64,
    /// Median.
    pub typical: f64,
    /// 95th percentile.
    pub high: f64,
}

/// One way in which a kind of part fails.
#[derive(Debug, Clone, Copy)]
pub struct FaultSpec {
    /// Name within the part: `leaks`, `sticks closed`. Its id is `PART/FAULT`.
    pub name: &'static str,
    /// What happens, in a sentence.
    pub what: &'static str,
    /// Relative frequency among this kind's faults. Source: the kind's `source`.
    pub share: f64,
    /// How bad, if it can be more or less bad.
    pub severity: Option<SeveritySpec>,
    /// Probability that a careful look at the part finds it, 0 to 1.
    pub seen: f64,
    /// How often it shows, if it comes and goes; `None`: it is there in every check.
    pub shows: Option<Shows>,
}

/// A hazard and the usual precaution, shown before the step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Caution {
    /// What can hurt.
    pub hazard: &'static str,
    /// What one usually does about it.
    pub precaution: &'static str,
    /// `true` if it only matters with the engine turning.
    pub running_only: bool,
}

/// What it takes to mend a part of this kind.
#[derive(Debug, Clone, Copy)]
pub struct RepairSpec {
    /// What is done: `replace`, `clean`, `remake`.
    pub what: &'static str,
    /// Hands-on minutes.
    pub minutes: f64,
    /// Price of the part in the shop's currency.
    pub price: f64,
    /// Probability that a new part is bad out of the box.
    pub bad_new: f64,
}

/// How a part is commanded in a condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CommandSpec {
    /// `"on"` or `"off"`.
    OnOff,
    /// A duty from 0 to 100 %.
    Duty,
}

/// The symbol a part is drawn with: ISO 1219-1 for fluid parts, IEC 60617 for electric ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "each variant is the name of the part it draws")]
pub enum Symbol {
    VacuumPump,
    AirSpace,
    Hose,
    Orifice,
    Filter,
    CheckValve,
    Reservoir,
    SolenoidValve,
    DiaphragmActuator,
    Flap,
    VaneRing,
    Turbocharger,
    Cooler,
    Engine,
    Battery,
    Wire,
    Fuse,
    Switch,
    Relay,
    Connector,
    Ground,
    Chassis,
    Coil,
    StarterSolenoid,
    Motor,
    Lamp,
    GlowPlug,
    Diode,
    Resistor,
    LowSideDriver,
    HighSideDriver,
    PressureSensor,
    ModulePins,
    Tank,
    LiquidPump,
    PressureValve,
    LiquidLoad,
    TemperatureSensor,
    PositionSensor,
    TwistedPair,
    Alternator,
    BusModule,
}

/// Everything a kind of part brings to a description.
#[derive(Debug, Clone, Copy)]
pub struct KindSpec {
    /// Name as written after `kind =`.
    pub name: &'static str,
    /// What it is and does, one or two sentences.
    pub what: &'static str,
    /// Its ports, in the order its laws use.
    pub ports: &'static [PortSpec],
    /// Its parameters, in the order its laws use.
    pub parameters: &'static [ParameterSpec],
    /// The ways it fails.
    pub faults: &'static [FaultSpec],
    /// Relative frequency with which a part of this kind is the cause; the scale is that of the other kinds.
    pub weight: f64,
    /// Checks done on the part as a whole; checks at its ports follow from the ports' media.
    pub checks: &'static [Method],
    /// How it is commanded, if it is.
    pub command: Option<CommandSpec>,
    /// What it supplies, if it is a source.
    pub supplies: Option<Supplies>,
    /// Symbol in a drawing.
    pub symbol: Symbol,
    /// Cautions that go with work on it.
    pub cautions: &'static [Caution],
    /// What mending it takes.
    pub repair: RepairSpec,
    /// Where the defaults and shares come from.
    pub source: &'static str,
}

impl KindSpec {
    /// Index of the port called `name`.
    pub fn port(&self, name: &str) -> Option<usize> {
        self.ports.iter().position(|port| port.name == name)
    }

    /// Index of the parameter called `name`.
    pub fn parameter(&self, name: &str) -> Option<usize> {
        self.parameters
            .iter()
            .position(|parameter| parameter.name == name)
    }

    /// What a sensor of this kind measures, or what a control module reads from it: the quantity of its first parameter.
    /// Kinds that have [`Method::Data`] or [`Method::Substitute`] put that first.
    pub fn measures(&self) -> Option<Reads> {
        let ParameterDomain::Quantity(dimensions) = self.parameters.first()?.domain else {
            return None;
        };
        match dimensions.first()? {
            Dimension::Pressure => Some(Reads::AbsolutePressure),
            Dimension::Temperature => Some(Reads::Temperature),
            Dimension::Ratio => Some(Reads::Share),
            _ => None,
        }
    }

    /// Index of the fault called `name`.
    pub fn fault(&self, name: &str) -> Option<usize> {
        self.faults.iter().position(|fault| fault.name == name)
    }
}

/// The kinds a description may name.
#[derive(Debug, Clone, Default)]
pub struct Catalogue {
    kinds: Vec<&'static KindSpec>,
}

impl Catalogue {
    /// A catalogue of `kinds`, in the order given.
    pub fn new(kinds: Vec<&'static KindSpec>) -> Self {
        Self { kinds }
    }

    /// The kind called `name`.
    pub fn find(&self, name: &str) -> Option<&'static KindSpec> {
        self.kinds.iter().find(|kind| kind.name == name).copied()
    }

    /// All kinds.
    pub fn kinds(&self) -> &[&'static KindSpec] {
        &self.kinds
    }
}

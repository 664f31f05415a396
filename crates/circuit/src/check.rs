//! The checks that follow from a circuit: which method at which place under which condition.
//!
//! Nobody lists checks in a circuit file. A kind says which checks are natural for it, a joint's medium says which gauge
//! fits there, a condition says whether there is anything to measure. What a check *does* to the circuit is physics.

use crate::kind::{Medium, Supplies};
use crate::model::{AccessId, Circuit, Condition, ConditionId, JointId, PartId, PortRef};
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
    /// A known good part in its place: does the circuit work then?
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
    fn minutes(self) -> f64 {
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

/// Every check that makes sense on `circuit`, sorted by place as in the file, then method, then condition.
pub fn derive_checks(circuit: &Circuit) -> Vec<Check> {
    let mut checks = Vec::new();
    for index in 0..circuit.joints.len() {
        joint_checks(circuit, JointId(index), &mut checks);
    }
    for index in 0..circuit.parts.len() {
        part_checks(circuit, PartId(index), &mut checks);
    }
    checks
}

/// The check called `id`. A joint may be named by any of its ports where only two ports meet.
pub fn find_check<'a>(circuit: &Circuit, checks: &'a [Check], id: &str) -> Option<&'a Check> {
    if let Some(check) = checks.iter().find(|check| check.id == id) {
        return Some(check);
    }
    let (method, rest) = id.split_once(':')?;
    let (place, condition) = rest.split_once('@')?;
    let port = circuit.port(place)?;
    let joint = circuit.parts[port.part.0].joints[port.port]?;
    checks.iter().find(|check| {
        check.method.word() == method
            && circuit.conditions[check.condition.0].id == condition
            && matches!(check.place, Place::Port(_, at) if at == joint)
            && (circuit.joints[joint.0].ports.len() == 2 || !separates(check.method))
    })
}

/// `true` if the method takes a port off its joint, so that it matters which port is named.
fn separates(method: Method) -> bool {
    matches!(method, Method::Deadhead | Method::OpenVolts)
}

fn joint_checks(circuit: &Circuit, joint: JointId, checks: &mut Vec<Check>) {
    let methods: &[Method] = match circuit.joints[joint.0].medium {
        Medium::Air => &[Method::Deadhead, Method::Tee],
        Medium::Electric => &[Method::Volts, Method::OpenVolts],
        Medium::Rod => &[Method::Travel],
    };
    for &method in methods {
        for port in measured_ports(circuit, joint, method) {
            for (index, condition) in circuit.conditions.iter().enumerate() {
                if suits_joint(circuit, method, condition) {
                    push(
                        circuit,
                        checks,
                        method,
                        Place::Port(port, joint),
                        ConditionId(index),
                    );
                }
            }
        }
    }
}

/// The ports a method tells apart at a joint: one for a gauge beside it, each for a gauge in place of one port of a tee.
fn measured_ports(circuit: &Circuit, joint: JointId, method: Method) -> Vec<PortRef> {
    let ports = &circuit.joints[joint.0].ports;
    let spec = |port: &PortRef| &circuit.parts[port.part.0].kind.ports[port.port];
    match method {
        Method::Deadhead if ports.len() > 2 => ports.clone(),
        Method::OpenVolts => ports.iter().filter(|port| spec(port).unplugs).copied().collect(),
        _ => ports[..1].to_vec(),
    }
}

fn suits_joint(circuit: &Circuit, method: Method, condition: &Condition) -> bool {
    match method {
        Method::Deadhead | Method::Tee | Method::Travel => condition.running() && has_air_source(circuit),
        _ => condition.powered,
    }
}

fn has_air_source(circuit: &Circuit) -> bool {
    circuit
        .supplies()
        .iter()
        .any(|supplies| *supplies != Supplies::Current)
}

fn part_checks(circuit: &Circuit, part: PartId, checks: &mut Vec<Check>) {
    for &method in circuit.parts[part.0].kind.checks {
        for (index, condition) in circuit.conditions.iter().enumerate() {
            if suits_part(circuit, part, method, ConditionId(index), condition) {
                push(circuit, checks, method, Place::Part(part), ConditionId(index));
            }
        }
    }
}

fn suits_part(
    circuit: &Circuit,
    part: PartId,
    method: Method,
    id: ConditionId,
    condition: &Condition,
) -> bool {
    let off = !condition.powered && !condition.running();
    match method {
        Method::Ohms | Method::Look | Method::Jumper => off,
        // The one who listens needs a quiet engine and somebody who switches.
        Method::Click => condition.powered && switched(condition) && !has_quieter(circuit, condition),
        Method::Swap => works_condition(circuit) == Some(id),
        Method::Data => condition.powered && !condition.running(),
        _ => condition.powered && circuit.parts[part.0].joints.iter().flatten().count() > 1,
    }
}

/// `true` if a condition with the engine standing exists for what is listened to beside a running engine.
fn has_quieter(circuit: &Circuit, condition: &Condition) -> bool {
    let quiet = |other: &Condition| !other.running() && other.powered && switched(other);
    condition.running() && circuit.conditions.iter().any(quiet)
}

fn switched(condition: &Condition) -> bool {
    condition.commands.iter().any(|command| command.duty > 0.0)
}

fn works_condition(circuit: &Circuit) -> Option<ConditionId> {
    let works = circuit.works.as_ref()?;
    circuit.condition(works.check.rsplit_once('@')?.1)
}

fn push(circuit: &Circuit, checks: &mut Vec<Check>, method: Method, place: Place, condition: ConditionId) {
    let (at, part, reach) = match place {
        Place::Port(port, joint) => (circuit.port_name(port), port.part, &circuit.joints[joint.0].reach),
        Place::Part(part) => (
            circuit.parts[part.0].id.clone(),
            part,
            &circuit.parts[part.0].reach,
        ),
    };
    let reads = reads(circuit, method, place, part);
    let swap = if method == Method::Swap {
        circuit.parts[part.0].repair.minutes
    } else {
        0.0
    };
    checks.push(Check {
        id: format!("{}:{at}@{}", method.word(), circuit.conditions[condition.0].id),
        method,
        place,
        condition,
        reads,
        instrument: instrument(method, reads),
        minutes: method.minutes() + reach.minutes + swap,
        needs: reach.needs.clone(),
    });
}

fn reads(circuit: &Circuit, method: Method, place: Place, part: PartId) -> Reads {
    match method {
        Method::Deadhead | Method::Tee if air_supply(circuit, place) == Some(Supplies::Vacuum) => {
            Reads::Vacuum
        }
        Method::Deadhead | Method::Tee => Reads::GaugePressure,
        Method::Volts | Method::OpenVolts | Method::Drop => Reads::Voltage,
        Method::Ohms => Reads::Resistance,
        Method::Amps => Reads::Current,
        Method::Travel => Reads::Travel,
        Method::Speed => Reads::Speed,
        Method::Data => Reads::AbsolutePressure,
        Method::Jumper
            if circuit.parts[part.0]
                .kind
                .ports
                .iter()
                .any(|port| port.medium == Medium::Rod) =>
        {
            Reads::Travel
        }
        Method::Click | Method::Look | Method::Jumper | Method::Swap => Reads::YesNo,
    }
}

/// What the nearest air source gives to a place: nearest by the number of parts between.
fn air_supply(circuit: &Circuit, place: Place) -> Option<Supplies> {
    let Place::Port(_, start) = place else { return None };
    let (mut seen, mut ring) = (vec![false; circuit.joints.len()], vec![start]);
    while !ring.is_empty() {
        let mut next = Vec::new();
        for joint in ring {
            seen[joint.0] = true;
            for port in &circuit.joints[joint.0].ports {
                let part = &circuit.parts[port.part.0];
                if let Some(supplies) = part
                    .kind
                    .supplies
                    .filter(|supplies| *supplies != Supplies::Current)
                {
                    return Some(supplies);
                }
                let air = |other: &JointId| circuit.joints[other.0].medium == Medium::Air && !seen[other.0];
                next.extend(part.joints.iter().flatten().copied().filter(air));
            }
        }
        ring = next;
    }
    None
}

fn instrument(method: Method, reads: Reads) -> Instrument {
    match (method, reads) {
        (Method::Data, _) => Instrument::ModuleData,
        (_, Reads::Vacuum) => Instrument::VacuumGauge,
        (_, Reads::GaugePressure | Reads::AbsolutePressure) => Instrument::PressureGauge,
        (_, Reads::Voltage) => Instrument::Voltmeter,
        (_, Reads::Resistance) => Instrument::Ohmmeter,
        (_, Reads::Current) => Instrument::Clamp,
        (_, Reads::Travel) => Instrument::Rule,
        (_, Reads::Speed) => Instrument::Tachometer,
        (_, Reads::YesNo) => Instrument::Senses,
    }
}

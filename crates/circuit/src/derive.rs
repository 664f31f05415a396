//! The checks that follow from a circuit: which method at which place under which condition.
//!
//! Nobody lists checks in a circuit file. A kind says which checks are natural for it, a joint's medium says which gauge
//! fits there, a condition says whether there is anything to measure. What a check *does* to the circuit is physics.

use crate::check::{Check, Instrument, Method, Place, Reads};
use crate::kind::{Medium, PortSpec, Supplies};
use crate::liquid::{Side, sides};
use crate::model::{Circuit, Condition, ConditionId, JointId, Part, PartId, PortRef, Reach};
use crate::timed;
use std::collections::VecDeque;

/// Every check that makes sense on `circuit`, sorted by place as in the file, then method, then condition.
pub fn derive_checks(circuit: &Circuit) -> Vec<Check> {
    let air = air_supplies(circuit);
    let mut derived = Derived {
        circuit,
        works: works_condition(circuit),
        air,
        liquid: sides(circuit),
        checks: Vec::new(),
    };
    for index in 0..circuit.joints.len() {
        derived.joint(JointId(index));
    }
    for index in 0..circuit.parts.len() {
        derived.part(PartId(index));
    }
    derived.comparisons();
    derived.checks
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
    matches!(
        method,
        Method::Deadhead | Method::OpenVolts | Method::Flow | Method::Hold
    )
}

/// Checks being derived, with what is asked for each of them.
struct Derived<'c> {
    circuit: &'c Circuit,
    /// The condition in which the circuit must work.
    works: Option<ConditionId>,
    /// What the nearest air source gives to each joint.
    air: Vec<Option<Supplies>>,
    /// On which side of a pump each joint of liquid lies.
    liquid: Vec<Option<Side>>,
    checks: Vec<Check>,
}

impl Derived<'_> {
    fn joint(&mut self, joint: JointId) {
        let methods: &[Method] = match self.circuit.joints[joint.0].medium {
            Medium::Air => &[Method::Deadhead, Method::Tee, Method::Hold],
            Medium::Electric => &[Method::Volts, Method::OpenVolts],
            Medium::Rod => &[Method::Travel],
            Medium::Liquid => &[Method::Pressure, Method::Flow],
        };
        for &method in methods {
            for port in measured_ports(self.circuit, joint, method) {
                for (index, condition) in self.circuit.conditions.iter().enumerate() {
                    if self.suits_joint(joint, method, ConditionId(index), condition) {
                        self.push(method, Place::Port(port, joint), ConditionId(index));
                    }
                }
            }
        }
    }

    fn suits_joint(&self, joint: JointId, method: Method, id: ConditionId, condition: &Condition) -> bool {
        match method {
            // Nobody looks at a rod on the road.
            Method::Travel if self.air.iter().all(Option::is_none) => {
                condition.powered && switched(condition) && condition.load == 0.0
            }
            Method::Hold => timed::suits_hold(id) && self.air[joint.0].is_some(),
            Method::Tee => condition.running() && self.air.iter().any(Option::is_some),
            // Or drives with a hose off.
            Method::Deadhead | Method::Travel => {
                condition.running() && condition.load == 0.0 && self.air.iter().any(Option::is_some)
            }
            Method::Pressure => condition.powered && self.liquid[joint.0].is_some() && self.opens(joint),
            // A running engine would die of an open line.
            Method::Flow => {
                let fed = self.liquid[joint.0] == Some(Side::Fed);
                condition.powered && !condition.running() && fed && self.opens(joint)
            }
            _ => condition.powered && condition.load == 0.0,
        }
    }

    /// `true` if a coupling there can be opened by hand: not inside a tank.
    fn opens(&self, joint: JointId) -> bool {
        let ports = &self.circuit.joints[joint.0].ports;
        ports
            .iter()
            .any(|port| self.circuit.parts[port.part.0].kind.ports[port.port].unplugs)
    }

    fn part(&mut self, part: PartId) {
        for &method in self.circuit.parts[part.0].kind.checks {
            for (index, condition) in self.circuit.conditions.iter().enumerate() {
                if self.suits_part(part, method, ConditionId(index), condition) {
                    self.push(method, Place::Part(part), ConditionId(index));
                }
            }
        }
    }

    fn suits_part(&self, part: PartId, method: Method, id: ConditionId, condition: &Condition) -> bool {
        let off = !condition.powered && !condition.running();
        match method {
            Method::Ohms | Method::Look | Method::Jumper | Method::LoomOhms => off,
            // The one who listens, or moves a part and watches, needs a quiet engine and somebody who switches.
            Method::Click | Method::Wiggle => {
                condition.powered && switched(condition) && !has_quieter(self.circuit, condition)
            }
            Method::Swap => self.works == Some(id),
            Method::Smoke => off && timed::takes_smoke(self.circuit),
            // With the engine standing or without load every pressure is the barometer's.
            Method::Data => {
                let tells = !condition.running() || condition.load > 0.0;
                condition.powered && (tells || self.measures(part) != Reads::AbsolutePressure)
            }
            Method::Substitute => condition.powered && !condition.running() && reads_sensors(self.circuit),
            _ if condition.load > 0.0 => false,
            // A sensor has its place's warmth; everything else is warmed by its own current.
            Method::Temperature => {
                let works = condition.running() || switched(condition);
                condition.powered && (works || self.measures(part) == Reads::Temperature)
            }
            Method::Ripple => condition.powered && condition.running(),
            Method::Duty => (f64::MIN_POSITIVE..1.0).contains(&condition.duty(part)),
            Method::Answers => condition.powered && switched(condition),
            Method::Hold => timed::suits_hold(id) && self.air_at(part).is_some(),
            Method::LeakFlow | Method::LeakDown if timed::delicate(self.circuit.parts[part.0].kind) => {
                condition.powered && !condition.running() && switched(condition)
            }
            Method::PumpDown | Method::LeakDown => {
                self.air_at(part) == Some(Supplies::Vacuum) && timed::first_running(self.circuit) == Some(id)
            }
            _ => condition.powered && self.circuit.parts[part.0].joints.iter().flatten().count() > 1,
        }
    }

    /// One comparison for each sort of gauge, named at the first source that it is for. It touches the gauges only.
    fn comparisons(&mut self) {
        for supplies in [Supplies::Vacuum, Supplies::Pressure] {
            let source = self
                .circuit
                .parts
                .iter()
                .position(|part| part.kind.supplies == Some(supplies));
            if let Some(source) = source {
                self.push(Method::Compare, Place::Part(PartId(source)), ConditionId(0));
            }
        }
    }

    fn push(&mut self, method: Method, place: Place, condition: ConditionId) {
        let circuit = self.circuit;
        let (at, part, reach) = match place {
            Place::Port(port, joint) => (circuit.port_name(port), port.part, &circuit.joints[joint.0].reach),
            Place::Part(part) => (
                circuit.parts[part.0].id.clone(),
                part,
                &circuit.parts[part.0].reach,
            ),
        };
        let untouched = Reach::default();
        let reach = if method == Method::Compare {
            &untouched
        } else {
            reach
        };
        let reads = self.reads(method, place, part);
        // What the tester shows is read from the seat.
        let nothing = Reach::default();
        let reach = if matches!(method, Method::Answers | Method::Data) {
            &nothing
        } else {
            reach
        };
        let swap = if method == Method::Swap {
            circuit.parts[part.0].repair.minutes
        } else {
            0.0
        };
        self.checks.push(Check {
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

    /// What the nearest source gives to the first air port of a part.
    fn air_at(&self, part: PartId) -> Option<Supplies> {
        let joint = timed::first_air(self.circuit, part)?;
        self.air[joint.0]
    }

    fn reads(&self, method: Method, place: Place, part: PartId) -> Reads {
        let moves = |port: &PortSpec| port.medium == Medium::Rod;
        match method {
            Method::Deadhead | Method::Tee | Method::Compare => match place {
                Place::Port(_, joint) if self.air[joint.0] == Some(Supplies::Vacuum) => Reads::Vacuum,
                Place::Part(part) if self.circuit.parts[part.0].kind.supplies == Some(Supplies::Vacuum) => {
                    Reads::Vacuum
                }
                _ => Reads::GaugePressure,
            },
            Method::Pressure => match place {
                Place::Port(_, joint) if self.liquid[joint.0] == Some(Side::Suction) => Reads::Vacuum,
                _ => Reads::GaugePressure,
            },
            Method::Flow | Method::LeakFlow => Reads::Flow,
            Method::Volts | Method::OpenVolts | Method::Drop | Method::Ripple => Reads::Voltage,
            Method::Ohms | Method::LoomOhms => Reads::Resistance,
            Method::Amps => Reads::Current,
            Method::Travel => Reads::Travel,
            Method::Speed => Reads::Speed,
            Method::Data | Method::Substitute => self.measures(part),
            Method::Duty => Reads::Share,
            Method::Temperature => Reads::Temperature,
            Method::LeakDown if timed::delicate(self.circuit.parts[part.0].kind) => Reads::GaugePressure,
            Method::Hold | Method::LeakDown if self.air_at(part) == Some(Supplies::Pressure) => {
                Reads::GaugePressure
            }
            Method::Hold | Method::LeakDown => Reads::Vacuum,
            Method::PumpDown => Reads::Time,
            Method::Jumper if self.circuit.parts[part.0].kind.ports.iter().any(moves) => Reads::Travel,
            Method::Click
            | Method::Look
            | Method::Jumper
            | Method::Swap
            | Method::Answers
            | Method::Glow
            | Method::Smoke
            | Method::Wiggle => Reads::YesNo,
        }
    }

    /// What a sensor, or what a control module makes of it, is about.
    fn measures(&self, part: PartId) -> Reads {
        self.circuit.parts[part.0]
            .kind
            .measures()
            .unwrap_or(Reads::AbsolutePressure)
    }
}

/// The ports a method tells apart at a joint: one for a gauge beside it, each for a gauge in place of one port of a tee.
fn measured_ports(circuit: &Circuit, joint: JointId, method: Method) -> Vec<PortRef> {
    let ports = &circuit.joints[joint.0].ports;
    let spec = |port: &PortRef| &circuit.parts[port.part.0].kind.ports[port.port];
    match method {
        Method::Deadhead if ports.len() > 2 || !ports.iter().all(|port| spec(port).unplugs) => {
            ports.iter().filter(|port| spec(port).unplugs).copied().collect()
        }
        Method::Flow if ports.len() > 2 => ports.clone(),
        // The meter's other lead is at the battery's negative terminal already.
        Method::Volts if ports.iter().any(|port| is_negative(circuit, *port)) => Vec::new(),
        Method::OpenVolts => ports.iter().filter(|port| spec(port).unplugs).copied().collect(),
        Method::Hold => timed::held_ports(circuit, joint),
        _ => ports[..1].to_vec(),
    }
}

/// `true` for the terminal of a source of current from which voltages count.
fn is_negative(circuit: &Circuit, port: PortRef) -> bool {
    let kind = circuit.parts[port.part.0].kind;
    kind.supplies == Some(Supplies::Current) && kind.ports[port.port].name == "negative"
}

/// `true` if a condition with the engine standing exists for what is listened to beside a running engine.
fn has_quieter(circuit: &Circuit, condition: &Condition) -> bool {
    let quiet = |other: &Condition| !other.running() && other.powered && switched(other);
    condition.running() && circuit.conditions.iter().any(quiet)
}

/// `true` if a control module's data tell what a sensor reads.
fn reads_sensors(circuit: &Circuit) -> bool {
    circuit
        .parts
        .iter()
        .any(|part| part.kind.checks.contains(&Method::Data))
}

fn switched(condition: &Condition) -> bool {
    condition.commands.iter().any(|command| command.duty > 0.0)
}

fn works_condition(circuit: &Circuit) -> Option<ConditionId> {
    let works = circuit.works.as_ref()?;
    circuit.condition(works.check.rsplit_once('@')?.1)
}

/// What the nearest air source gives to each joint: nearest by the number of parts between, of equals the first in the
/// file.
fn air_supplies(circuit: &Circuit) -> Vec<Option<Supplies>> {
    let air = |part: &Part| {
        let joints = part.joints.iter().flatten();
        joints
            .copied()
            .filter(|joint| circuit.joints[joint.0].medium == Medium::Air)
            .collect::<Vec<_>>()
    };
    let mut given: Vec<Option<Supplies>> = vec![None; circuit.joints.len()];
    let mut queue = VecDeque::new();
    let sources = circuit
        .parts
        .iter()
        .filter_map(|part| Some((part, part.kind.supplies?)));
    for (part, supplies) in sources.filter(|(_, supplies)| *supplies != Supplies::Current) {
        queue.extend(air(part).into_iter().map(|joint| (joint, supplies)));
    }
    while let Some((joint, supplies)) = queue.pop_front() {
        if given[joint.0].is_none() {
            given[joint.0] = Some(supplies);
            let parts = circuit.joints[joint.0]
                .ports
                .iter()
                .map(|port| &circuit.parts[port.part.0]);
            queue.extend(parts.flat_map(air).map(|next| (next, supplies)));
        }
    }
    given
}

fn instrument(method: Method, reads: Reads) -> Instrument {
    match (method, reads) {
        (Method::Data | Method::Substitute, Reads::Temperature) => Instrument::ModuleTemperature,
        (Method::Data | Method::Substitute, Reads::Share) => Instrument::ModulePosition,
        (Method::Data | Method::Substitute, _) => Instrument::ModuleData,
        (Method::Pressure, Reads::GaugePressure) => Instrument::FuelGauge,
        (Method::Hold, Reads::Vacuum) => Instrument::HandPump,
        (Method::LeakFlow, _) => Instrument::LeakUnit,
        (Method::Smoke, _) => Instrument::SmokeMaker,
        (Method::LeakDown, Reads::GaugePressure) => Instrument::LowGauge,
        (_, Reads::Vacuum) => Instrument::VacuumGauge,
        (_, Reads::GaugePressure | Reads::AbsolutePressure) => Instrument::PressureGauge,
        (_, Reads::Voltage) => Instrument::Voltmeter,
        (_, Reads::Resistance) => Instrument::Ohmmeter,
        (_, Reads::Current) => Instrument::Clamp,
        (_, Reads::Travel) => Instrument::Rule,
        (_, Reads::Speed) => Instrument::Tachometer,
        (_, Reads::Flow) => Instrument::MeasuringCan,
        (_, Reads::Temperature) => Instrument::Thermometer,
        (_, Reads::Share) => Instrument::DutyMeter,
        (_, Reads::Time) => Instrument::Watch,
        (_, Reads::YesNo) => Instrument::Senses,
    }
}

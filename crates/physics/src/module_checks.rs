//! Checks made through a control module or in its loom: what it hears and answers, what it makes of a resistor in place
//! of a sensor, how long its outputs are on; and how hot a part is.
//!
//! How the network is edited for them stands here too, beside how they are read. Left out: what a module stores.

use crate::assembly::REFERENCE;
use crate::model::Model;
use crate::network::{ElectricElement, Node};
use crate::probe::{OHMMETER, Probe, Slot};
use crate::readout::OPEN_CIRCUIT;
use crate::vehicle::Vehicle;
use circuit::{Circuit, Method, PartId, PortRef};

/// What a receiver takes for a dominant and a recessive bit, V between the wires, and where it still works, V of either
/// wire against its own ground. ISO 11898-2, from memory.
const DOMINANT: f64 = 0.9;
const RECESSIVE: f64 = 0.5;
const COMMON: std::ops::RangeInclusive<f64> = -2.0..=7.0;

/// Level at which a meter's duty function tells on from off, V. Common practice, no source: between the few volts of a bad
/// output and a car's supply.
const TRIGGER: f64 = 5.0;

/// Pins with which a part of a bus hears, against which it measures, by their port numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BusPins {
    pub(crate) high: usize,
    pub(crate) low: usize,
    pub(crate) ground: usize,
    /// `true` for the module that asks for the others: it has its answer when all of them have theirs.
    pub(crate) asks: bool,
}

/// Puts the ohmmeter into the loom between the joints of the coil's ports.
pub(crate) fn measure_loom(model: &Model, part: PartId, slot: &mut Slot) {
    let Some((a, b)) = model.kinds.0[part.0].coil() else {
        return;
    };
    let joints = &model.circuit.parts[part.0].joints;
    if let (Some(a), Some(b)) = (joints[a], joints[b]) {
        let source = ElectricElement::Source {
            plus: slot.nodes.joints[a.0],
            minus: slot.nodes.joints[b.0],
            emf: OHMMETER.0,
            conductance: 1.0 / OHMMETER.1,
        };
        slot.net.electric.elements.push((source, usize::MAX));
    }
}

/// Puts a sensor's resistors into the plug in the loom.
pub(crate) fn substitute(model: &Model, part: PartId, slot: &mut Slot) {
    let joints = &model.circuit.parts[part.0].joints;
    for &(a, b, ohms) in model.kinds.0[part.0].stand_in() {
        if let (Some(a), Some(b)) = (joints[a], joints[b]) {
            let resistor = ElectricElement::Conductor {
                a: slot.nodes.joints[a.0],
                b: slot.nodes.joints[b.0],
                conductance: 1.0 / ohms,
            };
            slot.net.electric.elements.push((resistor, usize::MAX));
        }
    }
}

impl Model {
    /// The part that tells what a sensor reads: the first with data that the sensor's signal reaches through wires and
    /// plugs. The sensor itself where there is none.
    pub(crate) fn reader_of(&self, sensor: PartId) -> PartId {
        let circuit = &self.circuit;
        let kind = circuit.parts[sensor.0].kind;
        let mut seen = vec![false; circuit.parts.len()];
        seen[sensor.0] = true;
        let signal = kind.port("signal").unwrap_or(0);
        let mut queue = std::collections::VecDeque::from([PortRef {
            part: sensor,
            port: signal,
        }]);
        while let Some(from) = queue.pop_front() {
            let Some(joint) = circuit.parts[from.part.0].joints[from.port] else {
                continue;
            };
            for next in &circuit.joints[joint.0].ports {
                if std::mem::replace(&mut seen[next.part.0], true) {
                    continue;
                }
                let kind = circuit.parts[next.part.0].kind;
                if kind.checks.contains(&Method::Data) {
                    return next.part;
                }
                if kind.ports.len() == 2 && kind.supplies.is_none() {
                    queue.push_back(PortRef {
                        part: next.part,
                        port: 1 - next.port,
                    });
                }
            }
        }
        sensor
    }
}

impl Probe<'_> {
    /// A part's own values.
    pub(crate) fn values_of<'v>(&self, part: PartId, vehicle: &'v Vehicle) -> &'v [f64] {
        let parts = &self.model.circuit.parts;
        let first: usize = parts[..part.0].iter().map(|part| part.values.len()).sum();
        &vehicle.values[first..first + parts[part.0].values.len()]
    }

    /// `true` if the module hears on its bus what it is asked; for the module that asks: if all of them do.
    pub(crate) fn answers_tester(&self, slot: &Slot, part: PartId) -> bool {
        let circuit = &self.model.circuit;
        let pins = |part: PartId| self.model.kinds.0[part.0].bus();
        let hears = |part: PartId| pins(part).is_none_or(|pins| slot.hears(circuit, part, pins));
        match pins(part) {
            Some(BusPins { asks: true, .. }) => (0..circuit.parts.len()).all(|other| hears(PartId(other))),
            _ => hears(part),
        }
    }

    /// Alternating part of the voltage across the part, V.
    pub(crate) fn ripple(&self, slot: &Slot, part: PartId, vehicle: &Vehicle) -> f64 {
        let kind = self.model.kinds.0[part.0];
        let port = kind.power().map_or(0, |(port, _)| port);
        let node = slot.nodes.at(&self.model.circuit, PortRef { part, port });
        let amps = slot.mean(|phase| slot.current(part, node, phase)).abs();
        let has = |name: &str| {
            let faults = vehicle.faults.iter().filter(|(fault, _)| fault.part == part);
            faults
                .into_iter()
                .any(|(fault, _)| kind.spec().faults[fault.fault].name == name)
        };
        kind.ripple(amps, &has).unwrap_or(0.0)
    }

    /// How hot the part is, K: where it sits, or what its current makes of it.
    pub(crate) fn temperature(&self, slot: &Slot, part: PartId, running: bool, vehicle: &Vehicle) -> f64 {
        let (kind, values) = (self.model.kinds.0[part.0], self.values_of(part, vehicle));
        if let Some(place) = kind.place(values, running) {
            return place;
        }
        let (Some(cooling), Some((a, b))) = (kind.kelvin_per_watt(), kind.power()) else {
            return vehicle.ambient.temperature;
        };
        let node = |port| slot.nodes.at(&self.model.circuit, PortRef { part, port });
        let power = slot.mean(|phase| {
            let v = |node: Option<Node>| node.map_or(0.0, |node| slot.solver.state.electric[phase][node]);
            ((v(node(a)) - v(node(b))) * slot.current(part, node(a), phase)).abs()
        });
        vehicle.ambient.temperature + (cooling * power).min(HOTTEST)
    }
}

/// What burns off or falls out before it gets hotter above its surroundings, K. From memory: solder and plastics.
const HOTTEST: f64 = 250.0;

impl Slot {
    /// The resistance that the loom shows between two ports whose part is unplugged.
    pub(crate) fn loom_ohms(&self, circuit: &Circuit, a: PortRef, b: PortRef) -> f64 {
        let joint = |port: PortRef| circuit.parts[port.part.0].joints[port.port];
        let (Some(a), Some(b)) = (joint(a), joint(b)) else {
            return OPEN_CIRCUIT;
        };
        let v = &self.solver.state.electric[0];
        let v = v[self.nodes.joints[a.0]] - v[self.nodes.joints[b.0]];
        (OHMMETER.1 * v.max(0.0) / (OHMMETER.0 - v).max(1e-12)).min(OPEN_CIRCUIT)
    }

    /// `true` if the module is alive and tells the two sorts of bits apart.
    fn hears(&self, circuit: &Circuit, part: PartId, pins: BusPins) -> bool {
        let level = |port: usize, phase: usize| {
            let node = self
                .nodes
                .at(circuit, PortRef { part, port })
                .unwrap_or(REFERENCE);
            self.solver.state.electric[phase][node]
        };
        let between = |phase| level(pins.high, phase) - level(pins.low, phase);
        let common = |phase| {
            let against = |port| level(port, phase) - level(pins.ground, phase);
            COMMON.contains(&against(pins.high)) && COMMON.contains(&against(pins.low))
        };
        let alive = self
            .switches_of(part)
            .any(|switch| self.solver.state.pulled[0].get(switch) == Some(&true));
        alive
            && self.net.duty.is_some()
            && common(0)
            && common(1)
            && between(0) >= DOMINANT
            && between(1) <= RECESSIVE
    }

    /// Share of the time for which the voltage at a node lies below the meter's trigger: a low-side output is on then.
    pub(crate) fn shown_duty(&self, node: Option<Node>) -> f64 {
        let on = |phase: usize| {
            let v = node.map_or(0.0, |node| self.solver.state.electric[phase][node]);
            f64::from(u8::from(v < TRIGGER))
        };
        self.mean(on)
    }
}

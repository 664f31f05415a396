//! The joints of a circuit as nodes, edited for a check: a port taken off, a part alone on the bench, a hand pump put on.
//!
//! No part is laid out here; [`crate::assembly`] does that.

use crate::ambient::Ambient;
use crate::network::{Network, Node};
use crate::vehicle::Vehicle;
use circuit::{Circuit, Medium, PartId, PortRef};

/// What a check changes in the circuit before anything is solved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Edit {
    /// Nothing.
    None,
    /// A port is taken off its joint; `gauge_on_joint` says on which side the gauge is, the other stays open to the air.
    Detach { port: PortRef, gauge_on_joint: bool },
    /// An electric port is unplugged, both sides open.
    Unplug(PortRef),
    /// A port of liquid is taken off its joint; one side runs into a can, the other is closed.
    Can { port: PortRef, can_on_joint: bool },
    /// A part alone, unplugged, with a meter across it.
    Alone(PartId),
    /// A part fed directly.
    Fed(PartId),
    /// A known good part in place of this one.
    Swapped(PartId),
    /// A part unplugged, with a meter in the loom between the joints of its coil's ports.
    Loom(PartId),
    /// A sensor unplugged, with plain resistors in its place.
    Substituted(PartId),
    /// A port is taken off its joint and the hand pump put on it; what hangs behind it stays.
    Held(PortRef),
    /// A leak unit holds its pressure at a port.
    Pressed(PortRef),
    /// Smoke under a little pressure in all that air goes through.
    Smoked,
    /// A part alone with the hand pump on its first air port, the others open to the air.
    HeldAlone(PartId),
}

/// Node numbers that survive the assembly, for reading results.
#[derive(Debug, Clone, Default)]
pub(crate) struct Nodes {
    /// Node of each joint, in the net of its medium.
    pub(crate) joints: Vec<Node>,
    /// Nodes of detached ports.
    pub(crate) detached: Vec<(PortRef, Node)>,
}

impl Nodes {
    /// The node at a port: its own if it is detached, else its joint's.
    pub(crate) fn at(&self, circuit: &Circuit, port: PortRef) -> Option<Node> {
        if let Some((_, node)) = self.detached.iter().find(|(detached, _)| *detached == port) {
            return Some(*node);
        }
        circuit.parts[port.part.0].joints[port.port].map(|joint| self.joints[joint.0])
    }
}

/// Node 0 of the air net is the ambient air, node 0 of the electric net the negative terminal of the source.
pub(crate) const AMBIENT: Node = 0;
pub(crate) const REFERENCE: Node = 0;

/// Hand vacuum pump of a jumper check: 20 inHg below ambient, or 80 % of the barometer where that is less.
const HAND_PUMP: f64 = 67_728.0;
/// Regulated air of a jumper check, above ambient, Pa: actuators take
/// 0.5 to 2 bar (from memory).
const REGULATED: f64 = 150.0e3;
/// Pressure of smoke above ambient, Pa; common practice: 2 to 3 kPa.
pub(crate) const SMOKE: f64 = 2.5e3;

/// Lays the joints of `circuit` as nodes, edited for a check.
pub(crate) fn lay_joints(
    circuit: &Circuit,
    vehicle: &Vehicle,
    edit: Edit,
    net: &mut Network,
    nodes: &mut Nodes,
) {
    nodes.joints.clear();
    nodes.detached.clear();
    for joint in &circuit.joints {
        let grounded =
            joint.medium == Medium::Electric && joint.ports.iter().any(|port| is_reference(circuit, *port));
        nodes.joints.push(if grounded {
            REFERENCE
        } else {
            new_node(net, joint.medium, None)
        });
    }
    match edit {
        Edit::Detach { port, gauge_on_joint } => {
            let air = Some(vehicle.ambient.pressure);
            let own = net.air.node(if gauge_on_joint { air } else { None });
            nodes.detached.push((port, own));
            if let (false, Some(joint)) = (gauge_on_joint, circuit.parts[port.part.0].joints[port.port]) {
                net.air.fixed[nodes.joints[joint.0]] = air;
            }
        }
        Edit::Unplug(port) => {
            let own = net.electric.node(None);
            nodes.detached.push((port, own));
        }
        Edit::Can { port, can_on_joint } => {
            let air = Some(vehicle.ambient.pressure);
            let own = net.liquid.node(if can_on_joint { None } else { air });
            nodes.detached.push((port, own));
            if let (true, Some(joint)) = (can_on_joint, circuit.parts[port.part.0].joints[port.port]) {
                net.liquid.fixed[nodes.joints[joint.0]] = air;
            }
        }
        Edit::Alone(part) => detach_all(
            circuit,
            part,
            net,
            nodes,
            &[Medium::Air, Medium::Electric, Medium::Rod, Medium::Liquid],
        ),
        Edit::Fed(part) => {
            detach_all(circuit, part, net, nodes, &[Medium::Air, Medium::Electric]);
            feed_air(vehicle.ambient, net, nodes, circuit);
        }
        Edit::Loom(part) | Edit::Substituted(part) => {
            detach_all(circuit, part, net, nodes, &[Medium::Electric]);
        }
        Edit::Held(port) => {
            let own = net.air.node(None);
            nodes.detached.push((port, own));
        }
        Edit::Pressed(port) => {
            if let Some(joint) = circuit.parts[port.part.0].joints[port.port] {
                let pressure = vehicle.ambient.pressure + circuit::LEAK_PRESSURE.si();
                net.air.fixed[nodes.joints[joint.0]] = Some(pressure);
            }
        }
        Edit::HeldAlone(part) => {
            detach_all(circuit, part, net, nodes, &[Medium::Air]);
            for (_, open) in nodes.detached.iter().skip(1) {
                net.air.fixed[*open] = Some(vehicle.ambient.pressure);
            }
        }
        Edit::Smoked => {
            let pressure = vehicle.ambient.pressure + SMOKE;
            for (node, joint) in nodes.joints.iter().zip(&circuit.joints) {
                if joint.medium == Medium::Air {
                    net.air.fixed[*node] = Some(pressure);
                }
            }
        }
        Edit::None | Edit::Swapped(_) => {}
    }
}

fn detach_all(circuit: &Circuit, part: PartId, net: &mut Network, nodes: &mut Nodes, media: &[Medium]) {
    for (port, spec) in circuit.parts[part.0].kind.ports.iter().enumerate() {
        if media.contains(&spec.medium) {
            let node = new_node(net, spec.medium, None);
            nodes.detached.push((PortRef { part, port }, node));
        }
    }
}

/// The hand pump, or regulated air, holds the first detached air port.
fn feed_air(ambient: Ambient, net: &mut Network, nodes: &Nodes, circuit: &Circuit) {
    let air = nodes
        .detached
        .iter()
        .find(|(port, _)| circuit.parts[port.part.0].kind.ports[port.port].medium == Medium::Air);
    if let Some((port, node)) = air {
        let fed = if circuit.parts[port.part.0].moved_by_pressure() {
            ambient.pressure + REGULATED
        } else {
            ambient.pressure - HAND_PUMP.min(0.8 * ambient.pressure)
        };
        net.air.fixed[*node] = Some(fed);
    }
}

fn new_node(net: &mut Network, medium: Medium, fixed: Option<f64>) -> Node {
    match medium {
        Medium::Air => net.air.node(fixed),
        Medium::Electric => net.electric.node(fixed),
        Medium::Rod => net.rod.node(fixed),
        Medium::Liquid => net.liquid.node(fixed),
    }
}

/// `true` for the negative terminal of a source: all voltages count from it.
pub(crate) fn is_reference(circuit: &Circuit, port: PortRef) -> bool {
    let kind = circuit.parts[port.part.0].kind;
    kind.supplies == Some(circuit::Supplies::Current) && kind.ports[port.port].name == "negative"
}

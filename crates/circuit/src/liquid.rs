//! On which side of a pump a joint of liquid lies: sucked at or fed.
//!
//! What a gauge is asked there depends on it: a suction line is read in vacuum, a fed one in pressure, and only a fed one
//! fills a can. A tank is the end of every way.

use crate::kind::{Medium, Supplies};
use crate::model::{Circuit, JointId, PortRef};
use std::collections::VecDeque;

/// A side of a pump.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Between the tank and the pump.
    Suction,
    /// Behind the pump, back to the tank.
    Fed,
}

/// For each joint its side; `None` where no pump is near, and for other media. A joint that is both, beside a line from one
/// pump to the next, is fed.
pub(crate) fn sides(circuit: &Circuit) -> Vec<Option<Side>> {
    let mut sides = vec![None; circuit.joints.len()];
    for (name, side) in [("outlet", Side::Fed), ("inlet", Side::Suction)] {
        let mut queue: VecDeque<JointId> = VecDeque::new();
        for part in circuit
            .parts
            .iter()
            .filter(|part| part.kind.supplies == Some(Supplies::LiquidPressure))
        {
            queue.extend(part.kind.port(name).and_then(|port| part.joints[port]));
        }
        while let Some(joint) = queue.pop_front() {
            if sides[joint.0].is_some() {
                continue;
            }
            sides[joint.0] = Some(side);
            queue.extend(
                circuit.joints[joint.0]
                    .ports
                    .iter()
                    .flat_map(|port| beyond(circuit, *port)),
            );
        }
    }
    sides
}

/// The joints of liquid behind the part at `port`; none behind a pump or a tank.
fn beyond(circuit: &Circuit, port: PortRef) -> impl Iterator<Item = JointId> + '_ {
    let part = &circuit.parts[port.part.0];
    let passes = part.kind.supplies.is_none();
    let ports = part.kind.ports.iter().zip(&part.joints);
    ports
        .filter(move |(spec, _)| passes && spec.medium == Medium::Liquid)
        .filter_map(|(_, joint)| *joint)
}

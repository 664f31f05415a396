//! Checks that take time: to which level one pumps, how long one waits, and which piece of a circuit can hold anything.
//!
//! The levels and times are the trade's habit (common practice, no source): low enough for every diaphragm, long enough for
//! a needle to show a leak that matters. What happens meanwhile is physics.

use crate::check::Method;
use crate::kind::{KindSpec, Medium, Supplies, Symbol};
use crate::model::{Circuit, ConditionId, JointId, PartId, PortRef};
use quantity::PressureDifference;
use std::time::Duration;

/// Level to which a piece is evacuated for a hold test: 15 inHg, below what any diaphragm is made for.
pub const HOLD_LEVEL: PressureDifference = PressureDifference::from_si(15.0 * 3_386.388_640_341);
/// Pressure for a hold test where the circuit works with pressure: half a bar.
pub const HOLD_PRESSURE: PressureDifference = PressureDifference::from_si(50.0e3);
/// Wait of a hold test and of a leak-down.
pub const WAIT: Duration = Duration::from_mins(1);
/// Vacuum at which the watch of a pump-down is stopped: 15 inHg.
pub const PUMP_DOWN_LEVEL: PressureDifference = HOLD_LEVEL;
/// Pressure of a leak unit at an evaporative system: 13 inH2O, below the 14 that one may not pass.
pub const LEAK_PRESSURE: PressureDifference = PressureDifference::from_si(13.0 * 249.088_91);
/// A pump-down that takes longer is given up.
pub const GIVEN_UP: Duration = Duration::from_mins(2);

/// A hold test is made with the engine and the key off.
pub(crate) fn suits_hold(condition: ConditionId) -> bool {
    condition == ConditionId(0)
}

/// The first condition in which the engine runs: pump-down and leak-down begin there.
pub(crate) fn first_running(circuit: &Circuit) -> Option<ConditionId> {
    let running = circuit.conditions.iter().position(crate::Condition::running);
    running.map(ConditionId)
}

/// The joint at the first air port of a part.
pub(crate) fn first_air(circuit: &Circuit, part: PartId) -> Option<JointId> {
    let part = &circuit.parts[part.0];
    let first = part
        .kind
        .ports
        .iter()
        .position(|port| port.medium == Medium::Air)?;
    part.joints[first]
}

/// The ports of a joint on which a hand pump tells something: the end of a line behind which everything is shut at rest,
/// so that it should hold; and the outlet of a valve that vents, which should not.
pub(crate) fn held_ports(circuit: &Circuit, joint: JointId) -> Vec<PortRef> {
    let ports = circuit.joints[joint.0].ports.iter().copied();
    ports.filter(|port| tells(circuit, *port)).collect()
}

fn tells(circuit: &Circuit, port: PortRef) -> bool {
    let kind = circuit.parts[port.part.0].kind;
    // A hand pump has no end that fits a wide hose.
    if !kind.ports[port.port].unplugs {
        return false;
    }
    let air = |at: &usize| kind.ports[*at].medium == Medium::Air;
    let vents = (0..kind.ports.len()).any(|at| air(&at) && kind.ports[at].may_stay_open);
    if kind.checks.contains(&Method::Hold) {
        let first = (0..kind.ports.len()).find(air);
        return vents && first != Some(port.port) && !kind.ports[port.port].may_stay_open;
    }
    let line = (0..kind.ports.len()).filter(air).count() > 1 && !vents && kind.supplies.is_none();
    line && !open_to_source(circuit, port) && !beside_delicate(circuit, port.part)
}

/// `true` for what belongs to a system that no hand pump may be put on: one that is tested at a few inches of water.
pub(crate) fn delicate(kind: &KindSpec) -> bool {
    kind.checks.contains(&Method::LeakFlow)
}

/// `true` for the piping that smoke is let into: an intake under boost, and vapour lines.
pub(crate) fn takes_smoke(circuit: &Circuit) -> bool {
    let piping = |kind: &KindSpec| kind.symbol == Symbol::Turbocharger || delicate(kind);
    circuit.parts.iter().any(|part| piping(part.kind))
}

/// `true` if a source of air lies behind `port` with nothing between that is shut at rest.
fn open_to_source(circuit: &Circuit, port: PortRef) -> bool {
    let joint = circuit.parts[port.part.0].joints[port.port];
    let parts = walk(circuit, port.part, joint, |part| !shuts_at_rest(circuit, part));
    parts.iter().any(|part| {
        let supplies = circuit.parts[part.0].kind.supplies;
        matches!(supplies, Some(Supplies::Vacuum | Supplies::Pressure))
    })
}

/// A check valve, and a valve that a coil moves.
fn shuts_at_rest(circuit: &Circuit, part: PartId) -> bool {
    let kind = circuit.parts[part.0].kind;
    let driven = kind.ports.iter().any(|port| port.medium == Medium::Electric);
    kind.symbol == Symbol::CheckValve || driven
}

/// The parts that air can reach from the open end of `port`, its own part first: what a hand pump there works on.
pub fn piece(circuit: &Circuit, port: PortRef) -> Vec<PartId> {
    walk(
        circuit,
        port.part,
        circuit.parts[port.part.0].joints[port.port],
        |_| true,
    )
}

/// `true` if a part belongs to such a system, on whichever side of its valves: one of them may be open at rest.
fn beside_delicate(circuit: &Circuit, part: PartId) -> bool {
    let parts = walk(circuit, part, None, |_| true);
    parts.iter().any(|part| delicate(circuit.parts[part.0].kind))
}

/// Parts that air can reach from `part` through parts that let it pass, not by way of a joint that was taken off.
fn walk(
    circuit: &Circuit,
    part: PartId,
    taken_off: Option<JointId>,
    passes: impl Fn(PartId) -> bool,
) -> Vec<PartId> {
    // A joint of hundreds of ports is looked at once.
    let mut met = vec![false; circuit.parts.len()];
    let mut walked = vec![false; circuit.joints.len()];
    met[part.0] = true;
    if let Some(joint) = taken_off {
        walked[joint.0] = true;
    }
    let mut parts = vec![part];
    let mut at = 0;
    while let Some(part) = parts.get(at).copied() {
        at += 1;
        if !passes(part) {
            continue;
        }
        let (own, kind) = (&circuit.parts[part.0].joints, circuit.parts[part.0].kind);
        for (joint, spec) in own.iter().zip(kind.ports) {
            let Some(joint) = joint.filter(|joint| spec.medium == Medium::Air && !walked[joint.0]) else {
                continue;
            };
            walked[joint.0] = true;
            for next in &circuit.joints[joint.0].ports {
                if !std::mem::replace(&mut met[next.part.0], true) {
                    parts.push(next.part);
                }
            }
        }
    }
    parts
}

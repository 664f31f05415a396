//! What can hurt: the cautions that the parts at hand and the condition bring to a check or a repair.

use circuit::{Caution, Check, Circuit, Method, PartId, Place};

/// What can hurt during this check, each once. What turns, burns or gasses while the engine runs is everywhere near.
pub fn cautions(circuit: &Circuit, check: &Check) -> Vec<&'static Caution> {
    let running = circuit.conditions[check.condition.0].running();
    let at_hand = touched(circuit, check);
    let mut cautions: Vec<&'static Caution> = Vec::new();
    for (index, part) in circuit.parts.iter().enumerate() {
        let near = at_hand.contains(&PartId(index));
        for caution in part.kind.cautions {
            let matters = if caution.running_only {
                running
            } else {
                near && concerns(check, caution)
            };
            if matters && !cautions.contains(&caution) {
                cautions.push(caution);
            }
        }
    }
    cautions
}

/// What can hurt while a part is renewed: what its kind warns of, less what only feeding or a running engine brings.
pub fn cautions_of_work(circuit: &Circuit, part: PartId) -> Vec<&'static Caution> {
    let all = circuit.parts[part.0].kind.cautions.iter();
    all.filter(|caution| !caution.running_only && !caution.precaution.starts_with("fuse the lead"))
        .collect()
}

/// The lead's own caution goes with feeding a part, not with looking at it.
fn concerns(check: &Check, caution: &Caution) -> bool {
    !caution.precaution.starts_with("fuse the lead") || check.method == Method::Jumper
}

/// The parts a hand comes near to.
fn touched(circuit: &Circuit, check: &Check) -> Vec<PartId> {
    match check.place {
        Place::Part(part) => vec![part],
        Place::Port(_, joint) => circuit.joints[joint.0]
            .ports
            .iter()
            .map(|port| port.part)
            .collect(),
    }
}

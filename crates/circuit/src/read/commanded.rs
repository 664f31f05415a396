//! Parts that are commanded although a circuit drives them.
//!
//! A valve whose coil is joined to a driver does what its current does. A command on it would contradict the wiring; it
//! belongs to the driver.

use super::conditions::Commanded;
use super::draft::DraftPart;
use super::joints::Joints;
use crate::codes;
use crate::kind::{KindSpec, Medium, Symbol};
use crate::sheet::Sheet;
use diag::Diagnostic;
use std::collections::VecDeque;

pub(super) fn check(
    sheet: &mut Sheet<'_>,
    commanded: &[Commanded],
    draft: &[DraftPart<'_>],
    joints: &Joints,
) {
    for command in commanded {
        let part = &draft[command.part];
        let driven = part
            .kind
            .is_some_and(|kind| !drives(kind) && wired(kind, &joints.at[command.part]));
        if driven {
            let found = Diagnostic::error(
                codes::COMMAND_DRIVER,
                command.span,
                format!("`{}` is driven by its wiring", part.id),
            );
            let hint = match driver(draft, joints, command.part) {
                Some(driver) => format!("command the driver: `{}`", draft[driver].id),
                None => "command the switch or driver that feeds it".to_owned(),
            };
            sheet.push(found.labelled("its coil is joined to a circuit").hint(hint));
        }
    }
}

/// `true` if a command on this kind is what drives a circuit.
fn drives(kind: &KindSpec) -> bool {
    matches!(
        kind.symbol,
        Symbol::LowSideDriver
            | Symbol::HighSideDriver
            | Symbol::Switch
            | Symbol::ModulePins
            | Symbol::BusModule
    )
}

/// `true` if current can get in and out.
fn wired(kind: &KindSpec, joints: &[Option<usize>]) -> bool {
    kind.ports
        .iter()
        .zip(joints)
        .filter(|(spec, joint)| spec.medium == Medium::Electric && joint.is_some())
        .count()
        >= 2
}

/// The nearest part in the wiring of `start` that takes a command, not searched for beyond sources and grounds.
fn driver(draft: &[DraftPart<'_>], joints: &Joints, start: usize) -> Option<usize> {
    let mut seen = vec![false; draft.len()];
    seen[start] = true;
    let mut queue = VecDeque::from([start]);
    while let Some(part) = queue.pop_front() {
        let Some(kind) = draft[part].kind else { continue };
        if part != start && drives(kind) && kind.command.is_some() {
            return Some(part);
        }
        if kind.supplies.is_some() || matches!(kind.symbol, Symbol::Ground | Symbol::Chassis) {
            continue;
        }
        for (spec, joint) in kind.ports.iter().zip(&joints.at[part]) {
            let Some(joint) = joint.filter(|_| spec.medium == Medium::Electric) else {
                continue;
            };
            for next in joints.ports[joint].iter().map(|port| port.part.0) {
                if !std::mem::replace(&mut seen[next], true) {
                    queue.push_back(next);
                }
            }
        }
    }
    None
}

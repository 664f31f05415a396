//! Does everything that carries something reach what supplies it?
//!
//! Air and current have sources; a rod moves what it moves, so its joints are left out. A part passes on to all its ports
//! of one medium, whatever its state: what matters is whether a way exists at all.

use super::draft::DraftPart;
use super::joints::{Joints, medium_word};
use crate::codes;
use crate::kind::{KindSpec, Medium, Supplies};
use crate::sheet::Sheet;
use diag::Diagnostic;

/// Finds media without a source and parts that are cut off from every source.
pub(super) fn check(sheet: &mut Sheet<'_>, draft: &[DraftPart<'_>], joints: &Joints) {
    let Some(kinds) = draft.iter().map(|part| part.kind).collect::<Option<Vec<_>>>() else {
        return;
    };
    // What is cut off by a missing connection has been found by that connection.
    if joints.incomplete {
        return;
    }
    for medium in [Medium::Air, Medium::Electric, Medium::Liquid] {
        let users: Vec<usize> = (0..draft.len())
            .filter(|&part| uses(kinds[part], joints, part, medium))
            .collect();
        let sources: Vec<usize> = (0..draft.len())
            .filter(|&part| supplies(kinds[part], medium))
            .collect();
        match (users.first(), sources.is_empty()) {
            (Some(&first), true) => no_source(sheet, &draft[first], medium),
            (Some(_), false) => cut_off(sheet, draft, &kinds, joints, medium, &users, &sources),
            (None, _) => {}
        }
    }
}

fn supplies(kind: &KindSpec, medium: Medium) -> bool {
    match kind.supplies {
        Some(Supplies::Vacuum | Supplies::Pressure) => medium == Medium::Air,
        Some(Supplies::Current) => medium == Medium::Electric,
        // A pump needs a tank to draw from.
        Some(Supplies::Liquid) => medium == Medium::Liquid,
        Some(Supplies::LiquidPressure) | None => false,
    }
}

/// `true` if something is joined to a port of this medium.
fn uses(kind: &KindSpec, joints: &Joints, part: usize, medium: Medium) -> bool {
    kind.ports
        .iter()
        .zip(&joints.at[part])
        .any(|(spec, joint)| spec.medium == medium && joint.is_some())
}

fn no_source(sheet: &mut Sheet<'_>, first: &DraftPart<'_>, medium: Medium) {
    let (message, hint) = match medium {
        Medium::Electric => ("nothing supplies electric current", "add a battery"),
        Medium::Liquid => ("no tank holds the liquid", "add a fuel tank"),
        _ => (
            "nothing supplies vacuum or pressure",
            "add a pump or another source of air",
        ),
    };
    let found = Diagnostic::error(codes::NO_SOURCE, first.id_span, message);
    sheet.push(
        found
            .labelled(format!("carries {}", medium_word(medium)))
            .hint(hint),
    );
}

/// Finds each island that no source reaches, at its first part.
fn cut_off(
    sheet: &mut Sheet<'_>,
    draft: &[DraftPart<'_>],
    kinds: &[&KindSpec],
    joints: &Joints,
    medium: Medium,
    users: &[usize],
    sources: &[usize],
) {
    let mut reached = vec![false; draft.len()];
    spread(kinds, joints, medium, sources, &mut reached);
    for &part in users {
        if reached[part] {
            continue;
        }
        let before = reached.clone();
        spread(kinds, joints, medium, &[part], &mut reached);
        let others = (0..draft.len())
            .filter(|&other| other != part && reached[other] && !before[other])
            .count();
        let with = match others {
            0 => String::new(),
            1 => " and one part more".to_owned(),
            more => format!(" and {more} parts more"),
        };
        let source = &draft[sources[0]].id;
        let message = format!(
            "`{}`{with} cannot be reached by {}",
            draft[part].id,
            medium_word(medium)
        );
        let found = Diagnostic::error(codes::CUT_OFF, draft[part].id_span, message);
        sheet.push(
            found
                .labelled("no way to any source")
                .hint(format!("which connection leads to `{source}`?")),
        );
    }
}

/// Marks every part that can be reached from `start` through `medium`.
fn spread(kinds: &[&KindSpec], joints: &Joints, medium: Medium, start: &[usize], reached: &mut [bool]) {
    let mut queue: Vec<usize> = start.to_vec();
    let mut seen = vec![false; joints.ports.len()];
    for &part in start {
        reached[part] = true;
    }
    while let Some(part) = queue.pop() {
        for (port, joint) in joints.at[part].iter().enumerate() {
            let Some(joint) = joint.filter(|_| kinds[part].ports[port].medium == medium) else {
                continue;
            };
            if std::mem::replace(&mut seen[joint], true) {
                continue;
            }
            for next in joints.ports[joint].iter().map(|port| port.part.0) {
                if !std::mem::replace(&mut reached[next], true) {
                    queue.push(next);
                }
            }
        }
    }
}

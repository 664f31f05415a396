//! The next check as a card: caution first, then what, where, how, what to expect, and why this one.

use crate::case::Case;
use crate::how;
use crate::page::Page;
use crate::words;
use belief::Outlook;
use circuit::{Caution, Check, Circuit};
use engine::{Bay, NextCheck};

/// Width of the words at the left of a card.
const LEFT: usize = 12;

/// Writes the next check and its runners-up.
pub(crate) fn next(case: &Case, outlook: &Outlook, next: &[NextCheck], page: &mut Page) {
    let Some(best) = next.first() else {
        page.heading("Next check");
        return page.paragraph("  ", "No check is left on this circuit: look beyond it.");
    };
    let check = &case.model.checks()[best.check];
    page.heading(&format!(
        "Next check: {}   ({})",
        check.id,
        words::minutes(best.minutes)
    ));
    steps(case.model.circuit(), &case.bay, check, &mut Vec::new(), page);
    expectations(case, outlook, best.check, page);
    entry(page, "why", &desk::why(case, outlook, best));
    for other in next.iter().skip(1).take(2) {
        entry(page, "or", &desk::runner_up(case, outlook, best, other));
    }
}

/// A line of a card: a word at the left, the text beside it.
pub(crate) fn entry(page: &mut Page, left: &str, text: &str) {
    page.paragraph(&format!("  {left:<width$}", width = LEFT - 2), text);
}

/// Cautions, then the way there, then what to do. A caution `told` before is only named again.
pub(crate) fn steps(
    circuit: &Circuit,
    bay: &Bay,
    check: &Check,
    told: &mut Vec<&'static Caution>,
    page: &mut Page,
) {
    cautions(&how::cautions(circuit, check), told, page);
    let closed = circuit.closed_accesses(&check.needs, &bay.open);
    let opening = |id: &circuit::AccessId| {
        let access = &circuit.accesses[id.0];
        format!("{} ({})", access.what, words::minutes(access.minutes))
    };
    if !closed.is_empty() {
        entry(
            page,
            "open",
            &words::list(&closed.iter().map(opening).collect::<Vec<_>>()),
        );
    }
    entry(page, "when", &words::condition(circuit, check));
    entry(page, "do", &how::to_do(circuit, check));
}

/// What can hurt. A caution `told` before is only named again.
pub(crate) fn cautions(cautions: &[&'static Caution], told: &mut Vec<&'static Caution>, page: &mut Page) {
    for &caution in cautions {
        let text = if told.contains(&caution) {
            format!("as before: {}", caution.hazard)
        } else {
            format!("{}: {}", caution.hazard, caution.precaution)
        };
        page.caution(&format!("  {:<width$}", "CAUTION", width = LEFT - 2), &text);
        if !told.contains(&caution) {
            told.push(caution);
        }
    }
}

/// What can hurt, where it was not told before, behind `pad`.
pub(crate) fn told_once(
    case: &Case,
    check: &Check,
    told: &mut Vec<&'static Caution>,
    pad: &str,
    page: &mut Page,
) {
    for caution in how::cautions(case.model.circuit(), check) {
        if !told.contains(&caution) {
            told.push(caution);
            page.caution(
                &format!("{pad}CAUTION  "),
                &format!("{}: {}", caution.hazard, caution.precaution),
            );
        }
    }
}

/// What to do and when, in one paragraph behind `pad`.
pub(crate) fn to_do(case: &Case, check: &Check, pad: &str, page: &mut Page) {
    let circuit = case.model.circuit();
    let text = format!(
        "{} When: {}.",
        how::to_do(circuit, check),
        words::condition(circuit, check)
    );
    page.paragraph(pad, &text);
}

/// What it reads on a sound circuit, and under each of the leading suspects.
pub(crate) fn expectations(case: &Case, outlook: &Outlook, check: usize, page: &mut Page) {
    let rows = desk::expectations(case, outlook, check);
    let width = rows
        .iter()
        .map(|row| row.range.chars().count())
        .max()
        .unwrap_or(0);
    for (index, row) in rows.iter().enumerate() {
        let left = if index == 0 { "expect" } else { "" };
        page.paragraph(
            &format!("  {left:<gap$}{:<width$}  ", row.range, gap = LEFT - 2),
            &row.name,
        );
    }
}

//! The next check as a card: caution first, then what, where, how, what to expect, and why this one.

use crate::case::Case;
use crate::how;
use crate::page::Page;
use crate::suspects::{clear, leading};
use crate::words;
use belief::Outlook;
use circuit::{Caution, Check, Circuit, Method, Place};
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
    entry(page, "why", &why(case, outlook, best));
    for other in next.iter().skip(1).take(2) {
        entry(page, "or", &runner_up(case, outlook, best, other));
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
    let (spec, circuit) = (&case.model.checks()[check], case.model.circuit());
    let healthy = engine::expect(case.model, case.evidence.surroundings, &[], check, 400, 1);
    let mut rows = Vec::new();
    if let Ok(healthy) = healthy {
        rows.push((case.units.range(spec, healthy.percentiles), "healthy".to_owned()));
    }
    for suspect in leading(case, 4) {
        let named = &case.belief.suspects()[suspect];
        if let (false, Some(expected)) = (named.faults.is_empty(), outlook.expected(check, Some(suspect))) {
            rows.push((
                case.units.range(spec, expected.percentiles),
                words::suspect(circuit, named),
            ));
        }
    }
    let width = rows
        .iter()
        .map(|(range, _)| range.chars().count())
        .max()
        .unwrap_or(0);
    for (index, (range, name)) in rows.iter().enumerate() {
        let left = if index == 0 { "expect" } else { "" };
        page.paragraph(&format!("  {left:<gap$}{range:<width$}  ", gap = LEFT - 2), name);
    }
}

/// Why this check, in a line.
pub(crate) fn why(case: &Case, outlook: &Outlook, next: &NextCheck) -> String {
    if let Some(text) = proves(case, outlook, next.check) {
        return text;
    }
    let told = told_apart(case, outlook, next.check);
    format!(
        "{told}; on average it spares {:.0} of work and parts, for {}",
        next.gain,
        words::minutes(next.minutes)
    )
}

/// A check that is made to show the leading suspect directly, not to tell suspects apart.
fn proves(case: &Case, outlook: &Outlook, check: usize) -> Option<String> {
    let spec = &case.model.checks()[check];
    let leading = engine::proven(&case.belief, &case.evidence)
        .filter(|leading| leading.likely_enough && !leading.proven)?;
    let fault = leading
        .not_shown
        .iter()
        .find(|fault| spec.place == Place::Part(fault.part) && engine::direct(spec.method))?;
    let name = case.model.circuit().fault_name(*fault);
    let found = match (spec.method, outlook.expected(check, Some(leading.suspect))) {
        (Method::Look, Some(expected)) => format!(
            "; a careful look finds it in about {:.0} of 100",
            100.0 * expected.percentiles[1]
        ),
        _ => String::new(),
    };
    Some(format!(
        "{name} is likely enough to prove, and this shows it directly{found}"
    ))
}

/// Which of the leading suspects a reading surely sets on one side and which on the other.
fn told_apart(case: &Case, outlook: &Outlook, check: usize) -> String {
    let spec = &case.model.checks()[check];
    let mut shown: Vec<(usize, [f64; 3])> = Vec::new();
    for suspect in leading(case, 5) {
        shown.extend(
            outlook
                .expected(check, Some(suspect))
                .map(|expected| (suspect, expected.percentiles)),
        );
    }
    shown.sort_by(|a, b| a.1[1].total_cmp(&b.1[1]));
    let splits = |cut: &usize| {
        let highest = shown[..*cut]
            .iter()
            .map(|(_, range)| range[2])
            .fold(f64::NEG_INFINITY, f64::max);
        shown[*cut..]
            .iter()
            .all(|(_, range)| clear(spec, highest, range[0]))
    };
    let weight = |cut: &usize| -> f64 {
        shown[..*cut]
            .iter()
            .map(|(suspect, _)| case.belief.suspects()[*suspect].probability)
            .sum()
    };
    let total: f64 = weight(&shown.len());
    let best = (1..shown.len()).filter(splits).min_by(|a, b| {
        (weight(a) - 0.5 * total)
            .abs()
            .total_cmp(&(weight(b) - 0.5 * total).abs())
    });
    let Some(cut) = best else {
        return "no reading of it is clear-cut".to_owned();
    };
    let names = |side: &[(usize, [f64; 3])]| {
        let names: Vec<String> = side
            .iter()
            .map(|(suspect, _)| words::suspect(case.model.circuit(), &case.belief.suspects()[*suspect]))
            .collect();
        words::list(&names)
    };
    format!("tells {} from {}", names(&shown[..cut]), names(&shown[cut..]))
}

fn runner_up(case: &Case, outlook: &Outlook, best: &NextCheck, other: &NextCheck) -> String {
    let slower = other.minutes > best.minutes + 0.05;
    let reason = match (slower, other.gain < best.gain) {
        (true, true) => "takes longer and spares less",
        (true, false) => "spares more but takes longer",
        (false, _) => "spares less",
    };
    let id = &case.model.checks()[other.check].id;
    let minutes = words::minutes(other.minutes);
    format!(
        "{id}, {minutes}: {reason} ({:.0}); {}",
        other.gain,
        told_apart(case, outlook, other.check)
    )
}

//! The suspects, likeliest first, with a bar, a figure and a word.

use crate::case::Case;
use crate::page::Page;
use crate::words;
use circuit::FaultId;
use std::fmt::Write as _;

/// Suspects shown before the rest is summed.
const SHOWN: usize = 8;
/// Least probability of a suspect shown by itself, after the first three.
const LEAST: f64 = 0.02;

enum Line {
    Suspect(usize, f64),
    NotListed(f64),
}

impl Line {
    fn probability(&self) -> f64 {
        match self {
            Self::Suspect(_, probability) | Self::NotListed(probability) => *probability,
        }
    }
}

/// Writes the ranking.
pub(crate) fn ranking(case: &Case, page: &mut Page) {
    let mut lines: Vec<Line> = case
        .belief
        .suspects()
        .iter()
        .enumerate()
        .map(|(i, s)| Line::Suspect(i, s.probability))
        .collect();
    lines.push(Line::NotListed(case.belief.not_listed()));
    lines.sort_by(|a, b| b.probability().total_cmp(&a.probability()));
    let shown = lines
        .iter()
        .take(SHOWN)
        .enumerate()
        .take_while(|(i, line)| *i < 3 || line.probability() >= LEAST)
        .count();
    let mut described = Vec::new();
    for line in &lines[..shown] {
        write(case, line, &mut described, page);
    }
    let rest: f64 = lines[shown..].iter().map(Line::probability).sum();
    if shown < lines.len() {
        page.aside(
            "  ",
            &format!(
                "{} others, together {}",
                lines.len() - shown,
                words::percent(rest)
            ),
        );
    }
}

fn write(case: &Case, line: &Line, described: &mut Vec<FaultId>, page: &mut Page) {
    let probability = line.probability();
    let name = match line {
        Line::Suspect(index, _) => words::suspect(case.model.circuit(), &case.belief.suspects()[*index]),
        Line::NotListed(_) => "a cause that is not listed".to_owned(),
    };
    let bar = words::bar(probability, case.screen.ascii);
    page.line(&format!(
        "  {bar}{}  {:<14}  {name}",
        words::percent_column(probability),
        words::chance(probability)
    ));
    if let Line::Suspect(index, _) = line {
        for fault in &case.belief.suspects()[*index].faults {
            if !described.contains(fault) {
                described.push(*fault);
                page.aside(&" ".repeat(20), &description(case, *fault, probability >= 0.5));
            }
        }
    }
}

/// A fault in words, with its severity where it leads.
fn description(case: &Case, fault: FaultId, severity: bool) -> String {
    let circuit = case.model.circuit();
    let mut text = format!(
        "{}: {}",
        words::part(circuit, fault.part),
        circuit.fault_spec(fault).what
    );
    if let Some(range) =
        super::severity(case, fault).filter(|_| severity && !case.evidence.observations.is_empty())
    {
        let _ = write!(text, "; {range}");
    }
    text
}

/// Indices of the leading suspects: at most `most`, each at least a twentieth as likely as the first.
pub(crate) fn leading(case: &Case, most: usize) -> Vec<usize> {
    let suspects = case.belief.suspects();
    let first = suspects.first().map_or(0.0, |suspect| suspect.probability);
    (0..suspects.len())
        .take(most)
        .filter(|i| suspects[*i].probability >= 0.05 * first)
        .collect()
}

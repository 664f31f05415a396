//! The suspects, likeliest first, with a figure and words.

use crate::case::Case;
use crate::words;
use circuit::FaultId;
use std::fmt::Write as _;

/// Suspects shown before the rest is summed.
const SHOWN: usize = 8;
/// Least probability of a suspect shown by itself, after the first three.
const LEAST: f64 = 0.02;

/// One line of the ranking.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// Number of the suspect; `None` for a cause that is not listed.
    pub suspect: Option<usize>,
    /// Its probability.
    pub probability: f64,
    /// Its name.
    pub name: String,
    /// Its faults in words, each told where it comes first.
    pub told: Vec<String>,
}

/// The ranking, and what is summed up below it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranking {
    /// Likeliest first.
    pub lines: Vec<Ranked>,
    /// How many others there are.
    pub others: usize,
    /// Their probability together.
    pub rest: f64,
}

/// The suspects of a case.
pub fn ranking(case: &Case) -> Ranking {
    let suspects = case.belief.suspects().iter().enumerate();
    let mut all: Vec<(Option<usize>, f64)> = suspects.map(|(i, s)| (Some(i), s.probability)).collect();
    all.push((None, case.belief.not_listed()));
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let shown = all
        .iter()
        .take(SHOWN)
        .enumerate()
        .take_while(|(i, (_, probability))| *i < 3 || *probability >= LEAST)
        .count();
    let mut described = Vec::new();
    let lines = all[..shown].iter().map(|(suspect, probability)| Ranked {
        suspect: *suspect,
        probability: *probability,
        name: suspect.map_or_else(|| "a cause that is not listed".to_owned(), |s| case.name(s)),
        told: suspect.map_or_else(Vec::new, |s| told(case, s, *probability, &mut described)),
    });
    Ranking {
        lines: lines.collect(),
        others: all.len() - shown,
        rest: all[shown..].iter().map(|(_, probability)| probability).sum(),
    }
}

fn told(case: &Case, suspect: usize, probability: f64, described: &mut Vec<FaultId>) -> Vec<String> {
    let mut told = Vec::new();
    for fault in &case.belief.suspects()[suspect].faults {
        if !described.contains(fault) {
            described.push(*fault);
            told.push(description(case, *fault, probability >= 0.5));
        }
    }
    told
}

/// A fault in words, with its severity where it leads.
fn description(case: &Case, fault: FaultId, severity: bool) -> String {
    let circuit = case.model.circuit();
    let mut text = format!(
        "{}: {}",
        words::part(circuit, fault.part),
        circuit.fault_spec(fault).what
    );
    if let Some(range) = case
        .severity(fault)
        .filter(|_| severity && !case.evidence.observations.is_empty())
    {
        let _ = write!(text, "; {range}");
    }
    text
}

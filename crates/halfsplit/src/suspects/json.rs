//! The answer as JSON. Field names are a contract.

use crate::case::Case;
use crate::show::severity_unit;
use desk::DOUBTFUL;
use engine::NextCheck;
use serde::Serialize;
use std::collections::BTreeMap;

/// Everything believed after the readings. Probabilities of `suspects`, `nothing_wrong` and `not_listed` sum to 1.
#[derive(Debug, Serialize)]
pub(crate) struct Answer<'a> {
    circuit: &'a str,
    barometer: f64,
    suspects: Vec<Suspect>,
    nothing_wrong: f64,
    not_listed: f64,
    parts: BTreeMap<&'a str, f64>,
    fit: f64,
    odd_reading: Option<&'a str>,
    kept: f64,
    doubtful_instruments: Vec<Doubtful>,
    readings: Vec<Reading<'a>>,
    severities: Vec<Severity>,
    reasons: Vec<Reasons<'a>>,
    proven: Option<Proven<'a>>,
    next: Vec<Next<'a>>,
}

#[derive(Debug, Serialize)]
struct Suspect {
    faults: Vec<String>,
    probability: f64,
}

#[derive(Debug, Serialize)]
struct Doubtful {
    instrument: &'static str,
    name: Option<String>,
    probability: f64,
}

#[derive(Debug, Serialize)]
struct Reading<'a> {
    check: &'a str,
    read: String,
}

#[derive(Debug, Serialize)]
struct Severity {
    fault: String,
    unit: &'static str,
    low: f64,
    median: f64,
    high: f64,
}

#[derive(Debug, Serialize)]
struct Reasons<'a> {
    faults: Vec<String>,
    readings: Vec<Factor<'a>>,
}

#[derive(Debug, Serialize)]
struct Factor<'a> {
    check: &'a str,
    times_likelier: f64,
}

/// Where the leading suspect stands.
#[derive(Debug, Serialize)]
#[allow(clippy::struct_field_names, reason = "the fields' names are the contract's")]
struct Proven<'a> {
    faults: Vec<String>,
    probability: f64,
    proven: bool,
    shown_by: Vec<&'a str>,
    not_shown: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Next<'a> {
    check: &'a str,
    minutes: f64,
    cost: f64,
    gain: f64,
    cautions: Vec<Caution>,
}

#[derive(Debug, Serialize)]
struct Caution {
    hazard: &'static str,
    precaution: &'static str,
}

/// The case as JSON sees it.
pub(crate) fn json<'a>(case: &'a Case, next: &[NextCheck]) -> Answer<'a> {
    let belief = &case.belief;
    let id = |check: usize| case.model.checks()[check].id.as_str();
    let names = |faults: &[circuit::FaultId]| {
        faults
            .iter()
            .map(|fault| case.model.circuit().fault_name(*fault))
            .collect::<Vec<_>>()
    };
    let listed = belief
        .suspects()
        .iter()
        .filter(|suspect| !suspect.faults.is_empty());
    let fit = belief.fit();
    Answer {
        circuit: &case.model.circuit().name,
        barometer: case.evidence.surroundings.ambient.pressure,
        suspects: listed
            .map(|s| Suspect {
                faults: names(&s.faults),
                probability: s.probability,
            })
            .collect(),
        nothing_wrong: belief.nothing_wrong(),
        not_listed: belief.not_listed(),
        parts: case
            .model
            .circuit()
            .parts
            .iter()
            .zip(belief.parts())
            .map(|(part, share)| (part.id.as_str(), share))
            .collect(),
        fit: fit.fit,
        odd_reading: fit.odd.map(id),
        kept: belief.kept(),
        doubtful_instruments: doubtful(case),
        readings: case
            .readings()
            .into_iter()
            .map(|(check, read)| Reading {
                check: id(check),
                read,
            })
            .collect(),
        severities: severities(case),
        reasons: reasons(case),
        proven: engine::proven(belief, &case.evidence).map(|proven| Proven {
            faults: names(&proven.faults),
            probability: proven.probability,
            proven: proven.proven,
            shown_by: proven.shown_by.iter().map(|check| id(*check)).collect(),
            not_shown: names(&proven.not_shown),
        }),
        next: next.iter().map(|next| next_row(case, next)).collect(),
    }
}

fn next_row<'a>(case: &'a Case, next: &NextCheck) -> Next<'a> {
    let check = &case.model.checks()[next.check];
    let cautions = crate::how::cautions(case.model.circuit(), check);
    Next {
        check: &check.id,
        minutes: next.minutes,
        cost: next.cost,
        gain: next.gain,
        cautions: cautions
            .iter()
            .map(|c| Caution {
                hazard: c.hazard,
                precaution: c.precaution,
            })
            .collect(),
    }
}

fn doubtful(case: &Case) -> Vec<Doubtful> {
    let all = case
        .belief
        .doubtful_instruments()
        .into_iter()
        .filter(|(_, _, probability)| *probability > DOUBTFUL);
    all.map(|(instrument, name, probability)| Doubtful {
        instrument: instrument.word(),
        name,
        probability,
    })
    .collect()
}

/// The severities of the faults of the leading suspects, where readings say anything about them.
fn severities(case: &Case) -> Vec<Severity> {
    let mut faults: Vec<circuit::FaultId> = Vec::new();
    for fault in case
        .leading(4)
        .into_iter()
        .flat_map(|suspect| case.belief.suspects()[suspect].faults.clone())
    {
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }
    faults
        .into_iter()
        .filter_map(|fault| severity(case, fault))
        .collect()
}

fn severity(case: &Case, fault: circuit::FaultId) -> Option<Severity> {
    let spec = case.model.circuit().fault_spec(fault).severity?;
    let unit = severity_unit(&spec);
    let shown = case
        .belief
        .severity(fault)?
        .map(|si| quantity::Quantity::new(spec.dimension, si).in_unit(unit));
    let [low, median, high] = shown;
    Some(Severity {
        fault: case.model.circuit().fault_name(fault),
        unit: spec.unit,
        low,
        median,
        high,
    })
}

fn reasons<'a>(case: &'a Case) -> Vec<Reasons<'a>> {
    if case.evidence.observations.is_empty() {
        return Vec::new();
    }
    let of = |suspect: usize| Reasons {
        faults: case.belief.suspects()[suspect]
            .faults
            .iter()
            .map(|fault| case.model.circuit().fault_name(*fault))
            .collect(),
        readings: case
            .belief
            .reasons(suspect)
            .iter()
            .map(|reason| Factor {
                check: &case.model.checks()[reason.check].id,
                times_likelier: reason.factor,
            })
            .collect(),
    };
    case.leading(4).into_iter().map(of).collect()
}

//! A job as the engine takes it: its circuit with its history, its readings as evidence, and what became of the circuit's file since.

use crate::history::{History, history};
use crate::learnt;
use crate::load::Loaded;
use crate::readings::{Evidence, evidence};
use circuit::{Circuit, Part};
use diag::{Diagnostic, Source};
use job::Job;
use life::Sums;
use physics::Model;

/// Reads the description that `job` began with, moves its odds by what closed jobs teach and by what is known of the vehicle, and
/// gives its checks the minutes that they took.
///
/// Sums are those at the time of looking: the same entries and the same sums give the same answer. Empty ones leave the shipped
/// figures, bit for bit.
pub fn load_job(job: &Job, sums: &Sums) -> (Loaded, History) {
    let described = &job.intake.circuit;
    let outcome = circuit::read(&described.name, &described.text, physics::catalogue());
    let known = outcome
        .circuit
        .as_ref()
        .map_or_else(History::default, |circuit| history(circuit, job, sums));
    let loaded = Loaded {
        source: Source::new(described.name.clone(), described.text.clone()),
        model: outcome.circuit.map(|circuit| {
            let made = sums.circuits.get(&circuit.name).map(|sums| &sums.checks);
            let model = Model::new(known.apply(circuit));
            match made {
                Some(made) => {
                    model.timed(|check| learnt::minutes(check, made).map(|minutes| minutes.typical))
                }
                None => model,
            }
        }),
        findings: outcome.findings,
    };
    (loaded, known)
}

/// The readings of `job` that count. The spans of findings are those of [`Job::readings_file`].
pub fn job_evidence(model: &Model, job: &Job) -> (Option<Evidence>, Vec<Diagnostic>) {
    evidence(model, &job.readings_file())
}

/// What differs between the description that `job` began with and `now`, the text of the circuit's file today, in words; `None` if
/// nothing does. The job goes on with the description it began with.
pub fn changed(job: &Job, now: &str) -> Option<String> {
    let described = &job.intake.circuit;
    if described.text == now {
        return None;
    }
    let read = |text: &str| circuit::read(&described.name, text, physics::catalogue()).circuit;
    let what = match (read(&described.text), read(now)) {
        (Some(then), Some(now)) => differences(&then, &now),
        (_, None) => vec!["it cannot be read any more".to_owned()],
        (None, Some(_)) => vec!["it can be read now, and could not when the job began".to_owned()],
    };
    let what = if what.is_empty() {
        "only words, likelihoods or layout".to_owned()
    } else {
        what.join("; ")
    };
    Some(format!(
        "The description {} has changed since this job began: {what}. The job keeps the one it began with.",
        described.name
    ))
}

fn differences(then: &Circuit, now: &Circuit) -> Vec<String> {
    let part = |circuit: &Circuit| named(&circuit.parts, |part| (part.id.clone(), plain(part)));
    let joint = |circuit: &Circuit| {
        named(&circuit.joints, |joint| {
            let mut ports: Vec<String> = joint.ports.iter().map(|port| circuit.port_name(*port)).collect();
            ports.sort_unstable();
            (joint.name.clone(), format!("{ports:?} {:?}", joint.reach))
        })
    };
    let condition = |circuit: &Circuit| {
        named(&circuit.conditions, |condition| {
            let engine = condition.engine.typical;
            let supply = condition.supply.map(|supply| supply.typical);
            let commands: Vec<_> = condition
                .commands
                .iter()
                .map(|command| (circuit.parts[command.part.0].id.as_str(), command.duty))
                .collect();
            let plain = format!(
                "{engine} {supply:?} {} {commands:?} {}",
                condition.powered, condition.minutes
            );
            (condition.id.clone(), plain)
        })
    };
    [
        compared("part", &part(then), &part(now)),
        compared("joint", &joint(then), &joint(now)),
        compared("condition", &condition(then), &condition(now)),
    ]
    .concat()
}

/// Everything of a part but where it stands in the file and how likely it fails.
fn plain(part: &Part) -> String {
    let values: Vec<_> = part
        .values
        .iter()
        .map(|value| (value.typical, value.spread))
        .collect();
    format!("{} {values:?} {:?} {:?}", part.kind.name, part.reach, part.repair)
}

fn named<T>(all: &[T], told: impl Fn(&T) -> (String, String)) -> Vec<(String, String)> {
    all.iter().map(told).collect()
}

/// Names gone, added and changed, in the order of the files.
fn compared(what: &str, then: &[(String, String)], now: &[(String, String)]) -> Vec<String> {
    let find = |all: &[(String, String)], name: &str| all.iter().position(|(known, _)| known == name);
    let gone = then
        .iter()
        .filter(|(name, _)| find(now, name).is_none())
        .map(|(name, _)| format!("{what} {name} is gone"));
    let rest = now.iter().filter_map(|(name, plain)| match find(then, name) {
        None => Some(format!("{what} {name} is new")),
        Some(place) => (then[place].1 != *plain).then(|| format!("{what} {name} has changed")),
    });
    gone.chain(rest).collect()
}

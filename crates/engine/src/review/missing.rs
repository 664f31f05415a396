//! Conditions that are not described and would tell faults apart: the same circuit with other commands, at another speed, with the
//! key on. The physics says what their checks would read.

use super::apart::Readings;
use super::{TOLD, sea_level};
use belief::Deck;
use circuit::{Circuit, Command, Condition, ConditionId, FaultId, PartId};
use physics::Model;

/// Samples of each fault for looking beyond: what helps shows in a few.
const ROWS: usize = 8;
/// Conditions looked at beyond those described.
const MOST: usize = 10;
/// A supply with the key on and the engine still: a charged battery under a little load. Common practice, no source.
const KEY_ON: f64 = 12.4;
/// Times idle speed for a raised speed: 800 becomes 2,000 rpm, the trade's usual second speed. Common practice, no source.
const RAISED: f64 = 2.5;

/// In what a condition differs from one that is described.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Changed {
    /// Everything that can be commanded is off.
    AllOff,
    /// Everything that can be commanded is fully on.
    AllOn,
    /// This part is commanded off, the rest as before.
    Off(PartId),
    /// This part is commanded fully on, the rest as before.
    On(PartId),
    /// Two and a half times the engine's speed.
    Faster,
    /// The engine stands, the key is on.
    KeyOn,
}

/// A check that would tell faults apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Would {
    /// Its method and place as they stand in an id: `tee:valve.output`.
    pub check: String,
    /// The described condition that the new one starts from.
    pub from: ConditionId,
    /// What is changed in it.
    pub changed: Changed,
    /// How often it would be right, at least, between two of them.
    pub right: f64,
    /// Hands-on minutes, access open and condition reached.
    pub minutes: f64,
}

/// For each set of faults the cheapest check that tells at least two of them apart in a condition that is not described.
pub(super) fn would_tell(model: &Model, sets: &[Vec<FaultId>]) -> Vec<Option<Would>> {
    let mut faults: Vec<FaultId> = sets.iter().flatten().copied().collect();
    faults.sort_unstable();
    faults.dedup();
    let changes = changes(model.circuit());
    if faults.is_empty() || changes.is_empty() {
        return vec![None; sets.len()];
    }
    let mut circuit = model.circuit().clone();
    circuit.works = None;
    circuit.complaints.clear();
    circuit.conditions.truncate(1);
    circuit
        .conditions
        .extend(changes.iter().map(|(_, _, condition)| condition.clone()));
    let beyond = Model::new(circuit);
    let deck = Deck::even(&beyond, sea_level(), &faults, ROWS, 0);
    let readings = Readings::of(&deck, beyond.checks());
    let one = |set: &Vec<FaultId>| {
        let places: Vec<usize> = set
            .iter()
            .filter_map(|fault| faults.binary_search(fault).ok())
            .collect();
        let tells = |check: usize| {
            let pairs = places
                .iter()
                .enumerate()
                .flat_map(|(at, a)| places[at + 1..].iter().map(move |b| (*a, *b)));
            pairs
                .map(|(a, b)| 0.5 + 0.5 * readings.distance(check, a + 1, b + 1))
                .fold(0.5, f64::max)
        };
        // The first condition is `off`, which every circuit has already.
        let new = (0..readings.checks()).filter(|check| beyond.checks()[*check].condition.0 > 0);
        let telling = new
            .map(|check| (check, tells(check)))
            .filter(|(_, right)| *right >= TOLD.max(0.7));
        let cheapest = telling.min_by(|a, b| {
            beyond.checks()[a.0]
                .minutes
                .total_cmp(&beyond.checks()[b.0].minutes)
                .then(b.1.total_cmp(&a.1))
        })?;
        let check = &beyond.checks()[cheapest.0];
        let (from, changed, _) = &changes[check.condition.0 - 1];
        Some(Would {
            check: check
                .id
                .split_once('@')
                .map_or(check.id.as_str(), |(start, _)| start)
                .to_owned(),
            from: *from,
            changed: *changed,
            right: cheapest.1,
            minutes: check.minutes,
        })
    };
    sets.iter().map(one).collect()
}

/// Conditions that differ from all that are described, each with what it starts from.
fn changes(circuit: &Circuit) -> Vec<(ConditionId, Changed, Condition)> {
    let commanded: Vec<PartId> = {
        let mut parts: Vec<PartId> = circuit
            .conditions
            .iter()
            .flat_map(|condition| &condition.commands)
            .map(|command| command.part)
            .collect();
        parts.sort_unstable();
        parts.dedup();
        parts
    };
    let mut changes: Vec<(ConditionId, Changed, Condition)> = Vec::new();
    let mut add = |from: usize, changed: Changed, condition: Condition| {
        let like = |known: &Condition| same(known, &condition, &commanded);
        let known = circuit.conditions.iter().any(like) || changes.iter().any(|(_, _, known)| like(known));
        if !known && changes.len() < MOST {
            let id = format!("new-{}", changes.len());
            changes.push((ConditionId(from), changed, Condition { id, ..condition }));
        }
    };
    let driven = |condition: &Condition, duty: f64, only: Option<PartId>| {
        let duty_of = |part: PartId| {
            if only.is_none_or(|only| only == part) {
                duty
            } else {
                condition.duty(part)
            }
        };
        let commands = commanded.iter().map(|part| Command {
            part: *part,
            duty: duty_of(*part),
        });
        Condition {
            commands: commands.collect(),
            ..condition.clone()
        }
    };
    for (index, condition) in circuit
        .conditions
        .iter()
        .enumerate()
        .filter(|(_, condition)| condition.powered)
    {
        add(index, Changed::AllOff, driven(condition, 0.0, None));
        add(index, Changed::AllOn, driven(condition, 1.0, None));
        for part in commanded.iter().filter(|_| commanded.len() > 1) {
            add(index, Changed::Off(*part), driven(condition, 0.0, Some(*part)));
            add(index, Changed::On(*part), driven(condition, 1.0, Some(*part)));
        }
        if condition.running() {
            let mut faster = condition.clone();
            faster.engine.typical *= RAISED;
            add(index, Changed::Faster, faster);
            let mut still = condition.clone();
            still.engine.typical = 0.0;
            if let Some(supply) = &mut still.supply {
                supply.typical = supply.typical.min(KEY_ON);
            }
            add(index, Changed::KeyOn, still);
        }
    }
    changes
}

/// Whether two conditions are the same as far as the circuit feels it: speed within a quarter, supply within a volt.
fn same(a: &Condition, b: &Condition, commanded: &[PartId]) -> bool {
    let supply = |condition: &Condition| condition.supply.map_or(0.0, |supply| supply.typical);
    let (slow, fast) = (
        a.engine.typical.min(b.engine.typical),
        a.engine.typical.max(b.engine.typical),
    );
    let duties = || {
        commanded
            .iter()
            .all(|part| (a.duty(*part) - b.duty(*part)).abs() < 0.05)
    };
    a.powered == b.powered && fast - slow <= 0.25 * fast && (supply(a) - supply(b)).abs() < 1.0 && duties()
}

//! What an author should know of a circuit before anybody relies on it, worked out by its own physics on samples.
//!
//! Which faults no check tells apart, and which check would in a condition that is not described yet; what no check ever shows; which
//! figures the readings do not depend on; which are unusual; and how much each check shows of each part. Nothing here is random:
//! the same circuit has the same review. What is found is put into words by whoever shows it.

mod apart;
mod missing;
mod parameters;

use apart::Readings;
use belief::{Deck, Known, Surroundings};
use circuit::{Circuit, FaultId, PartId};
use physics::{Ambient, Model};

pub use missing::{Changed, Would};
pub use parameters::{Unusual, UnusualWhat};

/// Samples of nothing wrong and of each fault: enough that a fault that shows in one of eight vehicles is seen to.
const ROWS: usize = 16;
/// Two faults are told apart by a check that puts the likelier one right in six of ten vehicles; a toss gets five. Our own choice:
/// less would be moved by the samples, more would hide checks that help.
pub const TOLD: f64 = 0.6;
/// Most solves of networks that a review may take, each weighted by its parts: some ten seconds on two cores.
const MOST_WORK: usize = 60_000_000;

/// Faults that no check tells apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Alike {
    /// They, in the order of the circuit.
    pub faults: Vec<FaultId>,
    /// The check that comes nearest to telling two of them apart, and how often it would be right.
    pub best: Option<(usize, f64)>,
    /// A check that tells them apart in a condition that is not described.
    pub would: Option<Would>,
}

/// What there is to say of a circuit.
#[derive(Debug, Clone)]
pub struct Review {
    /// Faults of different parts that no check tells apart, and faults of one part, where it matters less. A part fitted on trial
    /// is no check here.
    pub alike: Vec<Alike>,
    /// Parts none of whose faults any check shows.
    pub unseen_parts: Vec<PartId>,
    /// Faults that no check shows, of parts that can be seen otherwise.
    pub unseen_faults: Vec<FaultId>,
    /// Parameters on which no reading depends: part and index into its kind's parameters.
    pub idle: Vec<(PartId, usize)>,
    /// Values that are unusual for their kind.
    pub unusual: Vec<Unusual>,
    /// Checks with a fault under which the circuit finds no balance on some sample.
    pub unsolved: Vec<(usize, Option<FaultId>)>,
    /// Per check, per part: how much of the part's faults the check shows, by their shares, from 0 (nothing) to 1 (surely).
    pub sensitivity: Vec<Vec<f64>>,
    /// Samples of each fault.
    pub samples: usize,
}

/// Why a circuit was not reviewed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "too large for a review: {parts} parts with {faults} faults and {networks} networks to solve for each"
)]
pub struct TooLarge {
    /// Its parts.
    pub parts: usize,
    /// Their faults.
    pub faults: usize,
    /// Networks of its checks.
    pub networks: usize,
}

/// Reviews a circuit.
///
/// # Errors
/// [`TooLarge`] for a circuit that would take minutes.
pub fn review(model: &Model) -> Result<Review, TooLarge> {
    let circuit = model.circuit();
    let faults: Vec<FaultId> = circuit.faults().into_iter().map(|(fault, _)| fault).collect();
    let networks = (0..model.checks().len())
        .filter_map(|check| model.setting(check))
        .max()
        .map_or(0, |last| last + 1);
    let work = ROWS
        .saturating_mul(faults.len() + 1)
        .saturating_mul(networks)
        .saturating_mul(circuit.parts.len());
    if work > MOST_WORK {
        return Err(TooLarge {
            parts: circuit.parts.len(),
            faults: faults.len(),
            networks,
        });
    }
    let deck = Deck::even(model, sea_level(), &faults, ROWS, 0);
    let readings = Readings::of(&deck, model.checks());
    let seen: Vec<bool> = (1..=faults.len())
        .map(|suspect| readings.best(0, suspect).is_some_and(|(_, right)| right >= TOLD))
        .collect();
    let part_seen = |part: PartId| {
        faults
            .iter()
            .zip(&seen)
            .any(|(fault, seen)| fault.part == part && *seen)
    };
    let listed = |part: PartId| faults.iter().any(|fault| fault.part == part);
    let parts = || (0..circuit.parts.len()).map(PartId);
    let unseen =
        |(index, fault): (usize, &FaultId)| (!seen[index] && part_seen(fault.part)).then_some(*fault);
    Ok(Review {
        alike: alike(model, &readings, &faults, &seen),
        unseen_parts: parts()
            .filter(|part| listed(*part) && !part_seen(*part))
            .collect(),
        unseen_faults: faults.iter().enumerate().filter_map(unseen).collect(),
        idle: parameters::idle(model, &faults),
        unusual: parameters::unusual(circuit),
        unsolved: unsolved(&deck, &faults),
        sensitivity: sensitivity(circuit, &readings, &faults),
        samples: ROWS,
    })
}

/// The air in which a review is made: nothing is wrong with the vehicle's surroundings.
fn sea_level() -> Surroundings {
    Surroundings {
        ambient: Ambient::default(),
        known: Known::FromAltitude,
    }
}

/// Groups of faults no two of which any check tells apart. What is not seen at all is told elsewhere.
fn alike(model: &Model, readings: &Readings<'_>, faults: &[FaultId], seen: &[bool]) -> Vec<Alike> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (index, _) in seen.iter().enumerate().filter(|(_, seen)| **seen) {
        let same = |other: &usize| !readings.told_apart(index + 1, other + 1, TOLD);
        match groups.iter_mut().find(|group| group.iter().all(same)) {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    groups.retain(|group| group.len() > 1);
    let sets: Vec<Vec<FaultId>> = groups
        .iter()
        .map(|group| group.iter().map(|index| faults[*index]).collect())
        .collect();
    let would = missing::would_tell(model, &sets);
    let all = groups.iter().zip(sets).zip(would);
    all.map(|((group, faults), would)| Alike {
        faults,
        best: best_of(readings, group),
        would,
    })
    .collect()
}

/// The check that comes nearest to telling any two of a group apart.
fn best_of(readings: &Readings<'_>, group: &[usize]) -> Option<(usize, f64)> {
    let mut best: Option<(usize, f64)> = None;
    for (at, first) in group.iter().enumerate() {
        for second in &group[at + 1..] {
            let one = readings.best(first + 1, second + 1);
            if one.is_some_and(|(_, right)| best.is_none_or(|(_, known)| right > known)) {
                best = one;
            }
        }
    }
    best.filter(|(_, right)| *right > 0.5)
}

/// Checks and faults for which some sample finds no balance.
fn unsolved(deck: &Deck, faults: &[FaultId]) -> Vec<(usize, Option<FaultId>)> {
    let mut found = Vec::new();
    for check in 0..deck.checks() {
        for (card, shown) in deck.cards().iter().zip(deck.shown(check)) {
            let what = (check, card.suspect.checked_sub(1).map(|index| faults[index]));
            if !shown.is_finite() && found.last() != Some(&what) {
                found.push(what);
            }
        }
    }
    found
}

/// How much each check shows of each part: over the part's faults by their shares, how far the check is from a toss.
fn sensitivity(circuit: &Circuit, readings: &Readings<'_>, faults: &[FaultId]) -> Vec<Vec<f64>> {
    let shares: Vec<f64> = circuit.faults().into_iter().map(|(_, share)| share).collect();
    let mut of_parts = vec![0.0; circuit.parts.len()];
    for (fault, share) in faults.iter().zip(&shares) {
        of_parts[fault.part.0] += share;
    }
    let row = |check: usize| {
        let mut row = vec![0.0; of_parts.len()];
        for (index, (fault, share)) in faults.iter().zip(&shares).enumerate() {
            let shown = readings.distance(check, 0, index + 1);
            row[fault.part.0] += share / of_parts[fault.part.0] * shown;
        }
        row
    };
    (0..readings.checks()).map(row).collect()
}

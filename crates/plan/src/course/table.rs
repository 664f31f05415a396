//! A circuit's belief as a problem: samples become rows, checks tests with bands, parts repairs.

use super::Choices;
use super::bands::{Cut, cut};
use crate::next::Bay;
use crate::problem::{Effect, Ending, Ground, Problem, Repair, Test};
use crate::repair::Shop;
use belief::Outlook;
use circuit::{AccessId, Check, Circuit, Method, PartId, Place};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What a test or repair of the problem is on the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    /// Renew a part, its new part tried on the bench before or not.
    Renew(PartId, bool),
    /// Look beyond this circuit.
    Beyond,
}

/// The problem, and what its numbers stand for.
pub(crate) struct Sheet {
    pub(crate) problem: Problem,
    /// The check of every test.
    pub(crate) checks: Vec<usize>,
    /// The edges between the bands of every test.
    pub(crate) edges: Vec<Vec<f64>>,
    /// What every repair is.
    pub(crate) acts: Vec<Act>,
    /// The parts of every class.
    pub(crate) classes: Vec<Vec<PartId>>,
}

impl Sheet {
    /// The problem of `outlook` with everything that is not `done` to choose from.
    pub(crate) fn new(outlook: &Outlook, shop: &Shop, bay: &Bay, choice: &Choices) -> Self {
        let belief = outlook.belief();
        let (circuit, checks) = (belief.model().circuit(), belief.model().checks());
        let (classes, of_row) = classes(outlook);
        let weighted = outlook.samples().len();
        let open: Vec<usize> = (0..checks.len())
            .filter(|check| !choice.done.contains(check))
            .collect();
        let cuts: Vec<Cut> = open
            .par_iter()
            .map(|check| {
                cut(
                    outlook,
                    *check,
                    &of_row[..weighted],
                    (choice.unit)(&checks[*check]),
                )
            })
            .collect();
        let (mut ground, rate) = (ground(circuit, shop, bay), shop.rate);
        let mut tests = Vec::with_capacity(open.len());
        let mut edges = Vec::with_capacity(open.len());
        for (check, cut) in open.iter().zip(cuts) {
            let spec = &checks[*check];
            let needs = ground.needs(accesses(circuit, &spec.needs), Some(spec.condition.0));
            tests.push(Test {
                cost: spec.minutes * rate,
                needs,
                outcomes: with_unlisted(cut.bands, outlook),
            });
            edges.push(cut.edges);
        }
        let (acts, repairs) = repairs(outlook, shop, &classes, &of_row);
        let mut weights: Vec<f64> = outlook.samples().iter().map(|(_, weight)| *weight).collect();
        weights.resize(of_row.len() - 1, 0.0);
        weights.push(belief.not_listed());
        let total: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= total;
        }
        Self {
            problem: Problem {
                weights,
                classes: of_row,
                tests,
                repairs,
                ground,
                ending: Ending::Cured,
            },
            checks: open,
            edges,
            acts,
            classes,
        }
    }
}

/// The parts that classes have wrong, and the class of every row: samples, what is left of them, and last the cause not listed,
/// which is found where nothing is wrong here.
fn classes(outlook: &Outlook) -> (Vec<Vec<PartId>>, Vec<usize>) {
    let mut index: BTreeMap<Vec<PartId>, usize> = BTreeMap::new();
    let mut classes = Vec::new();
    let sets = outlook.faults().iter().map(|faults| {
        let mut parts: Vec<PartId> = faults.iter().map(|fault| fault.part).collect();
        parts.sort_unstable();
        parts.dedup();
        parts
    });
    let of_row = sets
        .chain(std::iter::once(Vec::new()))
        .map(|parts| {
            *index.entry(parts.clone()).or_insert_with(|| {
                classes.push(parts);
                classes.len() - 1
            })
        })
        .collect();
    (classes, of_row)
}

/// Adds the cause not listed: it tells nothing, so it shows each band as often as all samples together do.
fn with_unlisted(mut bands: Vec<Vec<f64>>, outlook: &Outlook) -> Vec<Vec<f64>> {
    let samples = outlook.samples();
    let total: f64 = samples.iter().map(|(_, weight)| weight).sum();
    for band in &mut bands {
        let share: f64 = band.iter().zip(samples).map(|(p, (_, weight))| p * weight).sum();
        band.push(if total > 0.0 { share / total } else { 0.0 });
    }
    bands
}

/// Accesses stay open; conditions exclude each other.
fn ground(circuit: &Circuit, shop: &Shop, bay: &Bay) -> Ground {
    let lasting = circuit
        .accesses
        .iter()
        .map(|access| access.minutes * shop.rate)
        .collect();
    let exclusive = circuit
        .conditions
        .iter()
        .map(|condition| condition.minutes * shop.rate)
        .collect();
    let open = bay.open.iter().map(|access| access.0).collect();
    Ground::new(lasting, exclusive, open, Some(bay.condition.0))
}

/// `needs` with everything they need in turn.
fn accesses(circuit: &Circuit, needs: &[AccessId]) -> Vec<usize> {
    let all = circuit.closed_accesses(needs, &[]);
    all.iter().map(|access| access.0).collect()
}

/// `true` if a new part of this sort can be tried by itself before it is fitted: it has a coil to measure, a plunger to click, or
/// can be fed directly.
pub(crate) fn on_the_bench(checks: &[Check], part: PartId) -> bool {
    checks.iter().any(|check| {
        check.place == Place::Part(part)
            && matches!(check.method, Method::Ohms | Method::Click | Method::Jumper)
    })
}

fn repairs(
    outlook: &Outlook,
    shop: &Shop,
    classes: &[Vec<PartId>],
    of_row: &[usize],
) -> (Vec<Act>, Vec<Repair>) {
    let model = outlook.belief().model();
    let circuit = model.circuit();
    let (mut acts, mut repairs) = (Vec::new(), Vec::new());
    for (index, part) in circuit.parts.iter().enumerate() {
        let id = PartId(index);
        if !of_row.iter().any(|class| classes[*class].contains(&id)) {
            continue;
        }
        let bad = part.kind.repair.bad_new;
        let cost = (part.repair.minutes + shop.proof_minutes) * shop.rate + part.repair.price;
        let mut offer = |tried: bool, cost: f64, bad: f64| {
            acts.push(Act::Renew(id, tried));
            repairs.push(Repair {
                cost,
                needs: 0,
                effects: effects(outlook, classes, of_row, id, 1.0 - bad),
            });
        };
        offer(false, cost, bad);
        let missed = bad * (1.0 - shop.bench_catches);
        let bench = shop.bench_minutes * shop.rate;
        // A bad part found on the bench is changed for another before any work is done.
        if on_the_bench(model.checks(), id) && bench < (bad - missed) * cost {
            offer(true, cost + bench, missed);
        }
    }
    let beyond = of_row
        .iter()
        .enumerate()
        .filter(|(_, class)| classes[**class].is_empty());
    acts.push(Act::Beyond);
    repairs.push(Repair {
        cost: shop.beyond_minutes * shop.rate,
        needs: 0,
        effects: beyond
            .map(|(row, _)| Effect {
                row,
                cures: 1.0,
                turns: row,
            })
            .collect(),
    });
    (acts, repairs)
}

/// What renewing `part` does to every row that has something wrong there.
fn effects(
    outlook: &Outlook,
    classes: &[Vec<PartId>],
    of_row: &[usize],
    part: PartId,
    good: f64,
) -> Vec<Effect> {
    let hit = of_row
        .iter()
        .enumerate()
        .filter(|(_, class)| classes[**class].contains(&part));
    hit.map(|(row, _)| match outlook.left(row, part) {
        Some(left) => Effect {
            row,
            cures: 0.0,
            turns: left,
        },
        None => Effect {
            row,
            cures: good,
            turns: row,
        },
    })
    .collect()
}

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

/// Where a job stands: the vehicle, the shop, the bay.
#[derive(Debug, Clone, Copy)]
pub struct Site<'s> {
    /// The circuit.
    pub circuit: &'s Circuit,
    /// Its checks.
    pub checks: &'s [Check],
    /// What the shop charges and pays.
    pub shop: &'s Shop,
    /// The bay as it stands.
    pub bay: &'s Bay,
}

/// The ways the vehicle can be: weighted samples.
#[derive(Debug, Clone, Default)]
pub struct Rows {
    /// The parts that are faulty in each, ascending, each once; none where the cause lies beyond.
    pub parts: Vec<Vec<PartId>>,
    /// Weight of each; 0 for one that only a repair leads to.
    pub weights: Vec<f64>,
    /// The row that is left of another when a part of it is renewed and something else is still wrong.
    pub left: BTreeMap<(usize, PartId), usize>,
}

/// A check whose reading is cut into bands.
#[derive(Debug, Clone)]
pub struct Banded {
    /// Index of the check.
    pub check: usize,
    /// Probability of every band under every row, `bands[band][row]`.
    pub bands: Vec<Vec<f64>>,
}

/// The problem, and what its numbers stand for.
pub(crate) struct Sheet {
    pub(crate) problem: Problem,
    /// The check of every test.
    pub(crate) checks: Vec<usize>,
    /// What every repair is.
    pub(crate) acts: Vec<Act>,
    /// The parts of every class.
    pub(crate) classes: Vec<Vec<PartId>>,
}

impl Sheet {
    /// The problem of choosing among `tests` and all repairs.
    pub(crate) fn new(site: &Site, rows: &Rows, tests: Vec<Banded>) -> Self {
        let (circuit, rate) = (site.circuit, site.shop.rate);
        let (classes, of_row) = classes(&rows.parts);
        let mut ground = ground(circuit, site.shop, site.bay);
        let checks = tests.iter().map(|test| test.check).collect();
        let tests = tests.into_iter().map(|test| {
            let spec = &site.checks[test.check];
            Test {
                cost: spec.minutes * rate,
                needs: ground.needs(accesses(circuit, &spec.needs), Some(spec.condition.0)),
                outcomes: test.bands,
            }
        });
        let tests = tests.collect();
        let (acts, repairs) = repairs(site, rows, &classes, &of_row);
        let total: f64 = rows.weights.iter().sum();
        Self {
            problem: Problem {
                weights: rows.weights.iter().map(|weight| weight / total).collect(),
                classes: of_row,
                tests,
                repairs,
                ground,
                ending: Ending::Cured,
            },
            checks,
            acts,
            classes,
        }
    }
}

/// The problem of `outlook` with everything that is not done to choose from, and the edges between the bands of every test. The
/// last row is the cause not listed.
pub(crate) fn of_outlook(outlook: &Outlook, site: &Site, choice: &Choices) -> (Sheet, Vec<Vec<f64>>) {
    let belief = outlook.belief();
    let mut rows = Rows::default();
    for (row, faults) in outlook.faults().iter().enumerate() {
        let mut parts: Vec<PartId> = faults.iter().map(|fault| fault.part).collect();
        parts.sort_unstable();
        parts.dedup();
        for part in &parts {
            rows.left
                .extend(outlook.left(row, *part).map(|left| ((row, *part), left)));
        }
        rows.parts.push(parts);
    }
    rows.weights = outlook.samples().iter().map(|(_, weight)| *weight).collect();
    let weighted = rows.weights.len();
    rows.weights.resize(rows.parts.len(), 0.0);
    rows.parts.push(Vec::new());
    rows.weights.push(belief.not_listed());
    let (_, of_row) = classes(&rows.parts);
    let open: Vec<usize> = (0..site.checks.len())
        .filter(|check| !choice.done.contains(check))
        .collect();
    let cuts: Vec<Cut> = open
        .par_iter()
        .map(|check| {
            let unit = (choice.unit)(&site.checks[*check]);
            cut(outlook, *check, &of_row[..weighted], unit)
        })
        .collect();
    let mut edges = Vec::with_capacity(open.len());
    let mut tests = Vec::with_capacity(open.len());
    for (check, cut) in open.into_iter().zip(cuts) {
        tests.push(Banded {
            check,
            bands: with_unlisted(cut.bands, outlook),
        });
        edges.push(cut.edges);
    }
    (Sheet::new(site, &rows, tests), edges)
}

/// The parts that classes have wrong, and the class of every row. A cause not listed is found where one is found that lies
/// beyond: where nothing is wrong here.
fn classes(parts: &[Vec<PartId>]) -> (Vec<Vec<PartId>>, Vec<usize>) {
    let mut index: BTreeMap<&[PartId], usize> = BTreeMap::new();
    let mut classes: Vec<Vec<PartId>> = Vec::new();
    let of_row = parts.iter().map(|parts| {
        *index.entry(parts).or_insert_with(|| {
            classes.push(parts.clone());
            classes.len() - 1
        })
    });
    let of_row = of_row.collect();
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

/// `true` if a new part of this sort can be tried by itself before it is fitted: it has a coil to measure, a plunger to click, can
/// be fed directly, or must hold.
pub(crate) fn on_the_bench(checks: &[Check], part: PartId) -> bool {
    checks.iter().any(|check| {
        check.place == Place::Part(part)
            && matches!(
                check.method,
                Method::Ohms | Method::Click | Method::Jumper | Method::Hold
            )
    })
}

fn repairs(site: &Site, rows: &Rows, classes: &[Vec<PartId>], of_row: &[usize]) -> (Vec<Act>, Vec<Repair>) {
    let shop = site.shop;
    let (mut acts, mut repairs) = (Vec::new(), Vec::new());
    for (index, part) in site.circuit.parts.iter().enumerate() {
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
                effects: effects(rows, id, 1.0 - bad),
            });
        };
        offer(false, cost, bad);
        let missed = bad * (1.0 - shop.bench_catches);
        let bench = shop.bench_minutes * shop.rate;
        // A bad part found on the bench is changed for another before any work is done.
        if on_the_bench(site.checks, id) && bench < (bad - missed) * cost {
            offer(true, cost + bench, missed);
        }
    }
    let beyond = rows
        .parts
        .iter()
        .enumerate()
        .filter(|(_, parts)| parts.is_empty());
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
fn effects(rows: &Rows, part: PartId, good: f64) -> Vec<Effect> {
    let hit = rows
        .parts
        .iter()
        .enumerate()
        .filter(|(_, parts)| parts.contains(&part));
    hit.map(|(row, _)| match rows.left.get(&(row, part)) {
        Some(left) => Effect {
            row,
            cures: 0.0,
            turns: *left,
        },
        None => Effect {
            row,
            cures: good,
            turns: row,
        },
    })
    .collect()
}

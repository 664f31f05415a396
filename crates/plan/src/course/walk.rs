//! Goes through a plan with samples it was not made on: what it really costs.

use super::bands::spread;
use super::{Band, CourseBranch, CourseStep};
use crate::next::Bay;
use crate::repair::{Shop, repair_costs};
use belief::{Accuracy, Outcome, Outlook, ToolError, likelihood};
use circuit::{Circuit, Instrument, PartId};

/// What a plan is expected to take.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Spent {
    pub(super) minutes: f64,
    pub(super) price: f64,
}

impl Spent {
    fn add(&mut self, other: Self) {
        self.minutes += other.minutes;
        self.price += other.price;
    }
}

/// Goes through `first` with the samples of `outlook`.
pub(super) fn spent(outlook: &Outlook, shop: &Shop, bay: &Bay, first: &CourseStep) -> Spent {
    let belief = outlook.belief();
    let samples = outlook.samples();
    let mut weights: Vec<(Row, f64)> = samples
        .iter()
        .enumerate()
        .map(|(sample, (_, weight))| (Row::Sample(sample), *weight))
        .collect();
    weights.push((Row::NotListed, belief.not_listed()));
    let total: f64 = weights.iter().map(|(_, weight)| weight).sum();
    for (_, weight) in &mut weights {
        *weight /= total;
    }
    let circuit = belief.model().circuit();
    let walk = Walk {
        outlook,
        shop,
        circuit,
        // A job that the plan's last repair leaves uncured goes through what has not been done yet.
        after_all: after_all(outlook, shop),
        lost: 2.0 * repair_costs(circuit, shop).iter().sum::<f64>(),
    };
    walk.step(first, bay, &weights, &mut Vec::new())
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Row {
    Sample(usize),
    NotListed,
}

struct Walk<'o, 'b, 'm> {
    outlook: &'o Outlook<'b, 'm>,
    shop: &'o Shop,
    circuit: &'o Circuit,
    /// Everything that can be renewed, most probable for its cost first, and looking beyond.
    after_all: Vec<CourseStep>,
    lost: f64,
}

/// What is done, once each, when a plan has come to its end uncured: by probability for cost on the whole belief.
fn after_all(outlook: &Outlook, shop: &Shop) -> Vec<CourseStep> {
    let belief = outlook.belief();
    let circuit = belief.model().circuit();
    let costs = repair_costs(circuit, shop);
    let nothing_here = belief.not_listed() + belief.nothing_wrong();
    let mut order = vec![(
        nothing_here / (shop.beyond_minutes * shop.rate).max(f64::MIN_POSITIVE),
        None,
    )];
    for (part, probability) in belief.parts().into_iter().enumerate() {
        order.push((
            probability / costs[part].max(f64::MIN_POSITIVE),
            Some(PartId(part)),
        ));
    }
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let step = |act: Option<PartId>| match act {
        Some(part) => CourseStep::Renew {
            part,
            bench: false,
            probability: 0.0,
            cures: 0.0,
            otherwise: None,
        },
        None => CourseStep::Beyond {
            probability: 0.0,
            cures: 0.0,
            otherwise: None,
        },
    };
    order.into_iter().map(|(_, act)| step(act)).collect()
}

/// What a step renews, `None` for looking beyond: what has been done on the way.
type Done = Vec<Option<PartId>>;

impl Walk<'_, '_, '_> {
    fn step(&self, step: &CourseStep, bay: &Bay, rows: &[(Row, f64)], done: &mut Done) -> Spent {
        let total: f64 = rows.iter().map(|(_, weight)| weight).sum();
        match step {
            CourseStep::Check { check, branches, .. } => {
                let spec = &self.outlook.belief().model().checks()[*check];
                let mut spent = Spent {
                    minutes: total * bay.minutes(self.circuit, spec),
                    price: 0.0,
                };
                let after = bay.after(self.circuit, spec);
                for (branch, rows) in branches.iter().zip(self.split(*check, branches, rows)) {
                    spent.add(self.step(&branch.then, &after, &rows, done));
                }
                spent
            }
            CourseStep::Renew {
                part,
                bench,
                otherwise,
                ..
            } => {
                let repair = self.circuit.parts[part.0].repair;
                let bench_minutes = if *bench { self.shop.bench_minutes } else { 0.0 };
                let mut spent = Spent {
                    minutes: total * (repair.minutes + self.shop.proof_minutes + bench_minutes),
                    price: total * repair.price,
                };
                let left = self.renewed(*part, *bench, rows);
                spent.add(self.rest(otherwise.as_deref(), Some(*part), bay, &left, done));
                spent
            }
            CourseStep::Beyond { otherwise, .. } => {
                let here = |row: &Row| matches!(row, Row::Sample(sample) if !self.outlook.faults()[*sample].is_empty());
                let left: Vec<(Row, f64)> = rows.iter().filter(|(row, _)| here(row)).copied().collect();
                let mut spent = Spent {
                    minutes: total * self.shop.beyond_minutes,
                    price: 0.0,
                };
                spent.add(self.rest(otherwise.as_deref(), None, bay, &left, done));
                spent
            }
        }
    }

    /// What follows when `made` did not cure.
    fn rest(
        &self,
        otherwise: Option<&CourseStep>,
        made: Option<PartId>,
        bay: &Bay,
        rows: &[(Row, f64)],
        done: &mut Done,
    ) -> Spent {
        let left: f64 = rows.iter().map(|(_, weight)| weight).sum();
        if left <= 1e-12 {
            return Spent::default();
        }
        done.push(made);
        let open = |step: &&CourseStep| match step {
            CourseStep::Renew { part, .. } => !done.contains(&Some(*part)),
            _ => !done.contains(&None),
        };
        let spent = match otherwise.or_else(|| self.after_all.iter().find(open)) {
            Some(step) => self.step(step, bay, rows, done),
            None => Spent {
                minutes: 0.0,
                price: self.lost * left,
            },
        };
        done.pop();
        spent
    }

    /// The rows that each branch keeps.
    fn split(&self, check: usize, branches: &[CourseBranch], rows: &[(Row, f64)]) -> Vec<Vec<(Row, f64)>> {
        let shares = self.shares(check, branches, rows);
        let mut split = Vec::with_capacity(branches.len());
        for share in &shares {
            let listed = rows
                .iter()
                .zip(share)
                .filter(|((row, _), _)| *row != Row::NotListed);
            let mut kept: Vec<(Row, f64)> = listed.map(|((row, weight), p)| (*row, weight * p)).collect();
            // The cause not listed shows each band as often as all others do.
            let sum: f64 = kept.iter().map(|(_, weight)| weight).sum();
            let all: f64 = rows
                .iter()
                .filter(|(row, _)| *row != Row::NotListed)
                .map(|(_, weight)| weight)
                .sum();
            let unlisted: f64 = rows
                .iter()
                .filter(|(row, _)| *row == Row::NotListed)
                .map(|(_, weight)| weight)
                .sum();
            let part = if all > 0.0 {
                sum / all
            } else {
                1.0 / branches.len() as f64
            };
            kept.push((Row::NotListed, unlisted * part));
            split.push(kept);
        }
        split
    }

    /// Probability of every branch under every row.
    fn shares(&self, check: usize, branches: &[CourseBranch], rows: &[(Row, f64)]) -> Vec<Vec<f64>> {
        let samples: Vec<usize> = rows
            .iter()
            .map(|(row, _)| match row {
                Row::Sample(sample) => *sample,
                Row::NotListed => 0,
            })
            .collect();
        let spec = &self.outlook.belief().model().checks()[check];
        if branches
            .iter()
            .any(|branch| matches!(branch.band, Band::Yes | Band::No))
        {
            let senses = Accuracy::of(Instrument::Senses);
            let yes = |sample: &usize| {
                let shown = self.outlook.shown(*sample, check);
                likelihood(&senses, Outcome::Yes, shown, ToolError::default())
            };
            let side = |branch: &CourseBranch| {
                let p = samples.iter().map(yes);
                if branch.band == Band::Yes {
                    p.collect()
                } else {
                    p.map(|p| 1.0 - p).collect()
                }
            };
            return branches.iter().map(side).collect();
        }
        let edges: Vec<f64> = branches
            .iter()
            .filter_map(|branch| match branch.band {
                Band::Range { to, .. } => to,
                _ => None,
            })
            .collect();
        spread(
            self.outlook,
            check,
            &Accuracy::of(spec.instrument),
            &edges,
            &samples,
        )
    }

    /// The rows after `part` was renewed and the proof failed.
    fn renewed(&self, part: PartId, bench: bool, rows: &[(Row, f64)]) -> Vec<(Row, f64)> {
        let caught = if bench { self.shop.bench_catches } else { 0.0 };
        let bad = self.circuit.parts[part.0].kind.repair.bad_new * (1.0 - caught);
        let mut left = Vec::with_capacity(rows.len());
        for (row, weight) in rows {
            let hit = matches!(row, Row::Sample(sample) if self.outlook.faults()[*sample].iter().any(|fault| fault.part == part));
            match row {
                Row::Sample(sample) if hit => match self.outlook.left(*sample, part) {
                    Some(rest) => left.push((Row::Sample(rest), *weight)),
                    None => left.push((*row, weight * bad)),
                },
                _ => left.push((*row, *weight)),
            }
        }
        left
    }
}

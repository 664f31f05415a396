//! From steps on numbers to steps on the vehicle.

use super::table::{Act, Sheet, Site};
use super::{Band, CourseBranch, CourseStep};
use crate::next::Bay;
use crate::step::Step;
use circuit::{Check, Circuit, PartId, Reads};

/// Turns steps on numbers into steps on the vehicle.
pub(super) struct Teller<'s> {
    sheet: &'s Sheet,
    /// The edges between the bands of every test.
    edges: &'s [Vec<f64>],
    circuit: &'s Circuit,
    checks: &'s [Check],
}

impl<'s> Teller<'s> {
    pub(super) fn new(sheet: &'s Sheet, edges: &'s [Vec<f64>], site: &Site<'s>) -> Self {
        Self {
            sheet,
            edges,
            circuit: site.circuit,
            checks: site.checks,
        }
    }

    /// The whole plan, from where the bay is.
    pub(super) fn tell(&self, first: &Step, bay: &Bay) -> CourseStep {
        let weights: Vec<(usize, f64)> = self.sheet.problem.weights.iter().copied().enumerate().collect();
        self.step(first, bay, &weights)
    }

    fn step(&self, step: &Step, bay: &Bay, weights: &[(usize, f64)]) -> CourseStep {
        let here: f64 = weights.iter().map(|(_, weight)| weight).sum();
        match step {
            Step::Test { test, branches } => {
                let check = self.sheet.checks[*test];
                let spec = &self.checks[check];
                let after = bay.after(self.circuit, spec);
                let branches = branches.iter().map(|branch| {
                    let p = &self.sheet.problem.tests[*test].outcomes[branch.outcome];
                    let left: Vec<(usize, f64)> = weights
                        .iter()
                        .map(|(row, weight)| (*row, weight * p[*row]))
                        .collect();
                    CourseBranch {
                        band: self.band(*test, branch.outcome, spec),
                        probability: branch.weight,
                        suspects: self.suspects(&left),
                        then: self.step(&branch.then, &after, &left),
                    }
                });
                CourseStep::Check {
                    check,
                    minutes: bay.minutes(self.circuit, spec),
                    probability: here,
                    branches: joined(branches.collect()),
                }
            }
            Step::Repair {
                repair,
                weight,
                cured,
                otherwise,
            } => {
                let left = self.left(*repair, weights);
                let otherwise = otherwise
                    .as_ref()
                    .map(|step| Box::new(self.step(step, bay, &left)));
                match self.sheet.acts[*repair] {
                    Act::Renew(part, bench) => CourseStep::Renew {
                        part,
                        bench,
                        probability: *weight,
                        cures: *cured,
                        otherwise,
                    },
                    Act::Beyond => CourseStep::Beyond {
                        probability: *weight,
                        cures: *cured,
                        otherwise,
                    },
                }
            }
            // Nothing is left that any repair could cure: only a rounding's worth comes here.
            Step::End { .. } => CourseStep::Beyond {
                probability: here,
                cures: here,
                otherwise: None,
            },
        }
    }

    fn left(&self, repair: usize, weights: &[(usize, f64)]) -> Vec<(usize, f64)> {
        let mut left: Vec<f64> = vec![0.0; self.sheet.problem.weights.len()];
        for (row, weight) in weights {
            left[*row] += weight;
        }
        for effect in &self.sheet.problem.repairs[repair].effects {
            let weight = std::mem::take(&mut left[effect.row]);
            left[effect.turns] += weight * (1.0 - effect.cures);
        }
        left.into_iter()
            .enumerate()
            .filter(|(_, weight)| *weight > 0.0)
            .collect()
    }

    fn band(&self, test: usize, outcome: usize, spec: &Check) -> Band {
        let edges = &self.edges[test];
        match (spec.reads, outcome) {
            (Reads::YesNo, 0) => Band::No,
            (Reads::YesNo, _) => Band::Yes,
            _ => Band::Range {
                from: outcome.checked_sub(1).map(|edge| edges[edge]),
                to: edges.get(outcome).copied(),
            },
        }
    }

    /// Parts by how suspect they are under `weights`, up to four.
    fn suspects(&self, weights: &[(usize, f64)]) -> Vec<(Option<PartId>, f64)> {
        let mut shares = vec![0.0; self.circuit.parts.len() + 1];
        let mut total = 0.0;
        for (row, weight) in weights {
            total += weight;
            let parts = &self.sheet.classes[self.sheet.problem.classes[*row]];
            for part in parts {
                shares[part.0] += weight;
            }
            if parts.is_empty() {
                shares[self.circuit.parts.len()] += weight;
            }
        }
        let mut ranked: Vec<(Option<PartId>, f64)> = shares
            .into_iter()
            .enumerate()
            .map(|(part, share)| {
                (
                    (part < self.circuit.parts.len()).then_some(PartId(part)),
                    share / total,
                )
            })
            .filter(|(_, share)| *share > 0.01)
            .collect();
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        ranked.truncate(4);
        ranked
    }
}

/// Steps of less probability than this are not compared.
const RARE: f64 = 2e-3;

/// Neighbouring bands that are followed by the same repairs are one band.
fn joined(branches: Vec<CourseBranch>) -> Vec<CourseBranch> {
    let mut joined: Vec<CourseBranch> = Vec::with_capacity(branches.len());
    for next in branches {
        match joined.last_mut() {
            Some(last) if together(last.band, next.band).is_some() && same(&last.then, &next.then) => {
                join(last, next);
            }
            _ => joined.push(next),
        }
    }
    joined
}

/// One band out of two that meet; `None` for a yes and a no.
fn together(a: Band, b: Band) -> Option<Band> {
    match (a, b) {
        (Band::Range { from, .. }, Band::Range { to, .. }) => Some(Band::Range { from, to }),
        _ => None,
    }
}

/// `true` if both are the same repairs in the same order, as far as they matter.
fn same(a: &CourseStep, b: &CourseStep) -> bool {
    let (Some((act, rest_a)), Some((other, rest_b))) = (repair(a), repair(b)) else {
        return false;
    };
    let matters = |step: &&CourseStep| step.probability() >= RARE;
    let rests = (rest_a.filter(matters), rest_b.filter(matters));
    act == other
        && match rests {
            (Some(a), Some(b)) => same(a, b),
            (a, b) => a.is_none() && b.is_none(),
        }
}

/// What a repair is, and what follows it; `None` for a check.
fn repair(step: &CourseStep) -> Option<(Act, Option<&CourseStep>)> {
    match step {
        CourseStep::Check { .. } => None,
        CourseStep::Renew {
            part,
            bench,
            otherwise,
            ..
        } => Some((Act::Renew(*part, *bench), otherwise.as_deref())),
        CourseStep::Beyond { otherwise, .. } => Some((Act::Beyond, otherwise.as_deref())),
    }
}

/// Takes `next` into `last`.
fn join(last: &mut CourseBranch, next: CourseBranch) {
    let (mine, other) = (last.probability, next.probability);
    let total = mine + other;
    let mut shares: Vec<(Option<PartId>, f64)> = Vec::new();
    let mine = last
        .suspects
        .drain(..)
        .map(|(part, share)| (part, share * mine / total));
    let others = next
        .suspects
        .into_iter()
        .map(|(part, share)| (part, share * other / total));
    for (part, share) in mine.chain(others) {
        match shares.iter_mut().find(|(known, _)| *known == part) {
            Some((_, sum)) => *sum += share,
            None => shares.push((part, share)),
        }
    }
    shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    last.suspects = shares;
    last.probability = total;
    last.band = together(last.band, next.band).unwrap_or(last.band);
    add(&mut last.then, next.then);
}

/// Adds the probabilities of `other` to the same repairs. Beyond what matters the two may differ: the likelier's rest stands.
fn add(step: &mut CourseStep, other: CourseStep) {
    let (CourseStep::Renew {
        probability,
        cures,
        otherwise,
        ..
    }
    | CourseStep::Beyond {
        probability,
        cures,
        otherwise,
    }) = step
    else {
        return;
    };
    let (CourseStep::Renew {
        probability: p,
        cures: c,
        otherwise: rest,
        ..
    }
    | CourseStep::Beyond {
        probability: p,
        cures: c,
        otherwise: rest,
    }) = other
    else {
        return;
    };
    *probability += p;
    *cures += c;
    match (otherwise, rest) {
        (Some(mine), Some(rest)) => add(mine, *rest),
        (mine, rest) => *mine = mine.take().or(rest),
    }
}

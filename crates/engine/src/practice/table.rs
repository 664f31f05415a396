//! What is known on a job, as rows and bands for the planner.

use super::job::Seen;
use super::known::Known;
use super::strategy::Workshop;
use belief::{Accuracy, Deck, MISREADING};
use circuit::{FaultId, PartId};
use numerics::normal_cdf;
use plan::{Banded, Rows};
use std::collections::BTreeMap;

/// Bands of a reading.
const BANDS: usize = 6;
/// Share of the weight in one band from which a check tells nothing.
const ALONE: f64 = 0.998;

/// Rows and tests for the planner.
pub(super) struct Table {
    pub(super) rows: Rows,
    pub(super) tests: Vec<Banded>,
}

impl Table {
    /// Some `samples` of what is known; tests are the checks that were not made and would tell something.
    pub(super) fn new(workshop: &Workshop, known: &Known, seen: &Seen, samples: usize) -> Self {
        let deck = &workshop.deck;
        let mut cards: Vec<usize> = Vec::new();
        let mut rows = Rows::default();
        for (card, weight) in known.rows(samples) {
            cards.push(card);
            rows.weights.push(weight);
            rows.parts.push(wrong_now(deck, card, seen));
        }
        leave(workshop, &mut cards, &mut rows);
        rows.parts.push(Vec::new());
        rows.weights.push(known.hand.not_listed());
        let made = |check: &usize| {
            seen.not_done.contains(check) || seen.readings.iter().any(|reading| reading.check == *check)
        };
        // A comparison tells of the gauge alone; samples with one definite gauge each would make too much of it.
        let open = (0..seen.model.checks().len())
            .filter(|check| !made(check) && seen.model.checks()[*check].level().is_none());
        let tests = open.filter_map(|check| banded(deck, check, known.hand.width(), &cards, &rows.weights));
        Self {
            tests: tests.collect(),
            rows,
        }
    }
}

/// The parts that are faulty on a card as things stand: those not renewed yet, or, where all are, the one whose new part is
/// likeliest to be bad.
fn wrong_now(deck: &Deck, card: usize, seen: &Seen) -> Vec<PartId> {
    let all = deck.parts(deck.cards()[card].suspect);
    let renewals = |part: PartId| seen.renewed.iter().filter(|renewed| renewed.part == part).count();
    let mut left: Vec<PartId> = all.iter().filter(|part| renewals(**part) == 0).copied().collect();
    if left.is_empty() {
        let still_bad = |part: PartId| {
            let bad = seen.model.circuit().parts[part.0].kind.repair.bad_new;
            bad.powi(i32::try_from(renewals(part)).unwrap_or(i32::MAX))
        };
        left.extend(
            all.iter()
                .copied()
                .max_by(|a, b| still_bad(*a).total_cmp(&still_bad(*b))),
        );
    }
    left.sort_unstable();
    left
}

/// Adds, with no weight, what is left of pairs when one part is renewed: a card with the other fault alone.
fn leave(workshop: &Workshop, cards: &mut Vec<usize>, rows: &mut Rows) {
    let deck = &workshop.deck;
    let mut known: BTreeMap<usize, usize> = BTreeMap::new();
    for row in 0..cards.len() {
        if rows.parts[row].len() < 2 {
            continue;
        }
        let card = deck.cards()[cards[row]];
        let faults = &deck.suspects()[card.suspect];
        for part in rows.parts[row].clone() {
            let rest: Vec<FaultId> = faults
                .iter()
                .filter(|fault| fault.part != part)
                .copied()
                .collect();
            let [fault] = rest[..] else { continue };
            let Some(alone) = workshop.alone(fault, cards[row]) else {
                continue;
            };
            let place = *known.entry(alone).or_insert_with(|| {
                cards.push(alone);
                rows.parts.push(vec![fault.part]);
                rows.weights.push(0.0);
                cards.len() - 1
            });
            rows.left.insert((row, part), place);
        }
    }
}

/// A check in bands; `None` if it hardly tells anything. The last row, the cause not listed, shows each band as often as all
/// others do.
fn banded(deck: &Deck, check: usize, width: f64, cards: &[usize], weights: &[f64]) -> Option<Banded> {
    let column = deck.shown(check);
    let shown: Vec<f64> = cards.iter().map(|card| f64::from(column[*card])).collect();
    let mut bands = if deck.is_yes_no(check) {
        let yes: Vec<f64> = shown.iter().map(|p| if p.is_nan() { 0.5 } else { *p }).collect();
        let yes: Vec<f64> = yes
            .iter()
            .map(|p| 0.5 * MISREADING + (1.0 - MISREADING) * p)
            .collect();
        vec![yes.iter().map(|p| 1.0 - p).collect(), yes]
    } else {
        let own = deck.accuracy(check);
        // A reading will tell no more than it is going to be believed.
        let accuracy = Accuracy {
            noise: width * own.noise,
            relative_noise: width * own.relative_noise,
            ..*own
        };
        spread(&shown, &accuracy, &edges(&shown, weights, &accuracy))
    };
    let listed = &weights[..cards.len()];
    let total: f64 = listed.iter().sum();
    let mut most = 0.0_f64;
    for band in &mut bands {
        let share: f64 = band.iter().zip(listed).map(|(p, weight)| p * weight).sum::<f64>() / total;
        most = most.max(share);
        band.push(share);
    }
    (most < ALONE).then_some(Banded { check, bands })
}

fn spread(shown: &[f64], accuracy: &Accuracy, edges: &[f64]) -> Vec<Vec<f64>> {
    let mut bands = vec![vec![0.0; shown.len()]; edges.len() + 1];
    for (row, shown) in shown.iter().enumerate() {
        let deviation = accuracy.deviation(*shown);
        let mut above = 1.0;
        for (band, edge) in edges.iter().enumerate() {
            let gross = accuracy.gross_above(*edge);
            let over = if shown.is_nan() {
                gross
            } else {
                (1.0 - MISREADING) * above_edge((edge - shown) / deviation) + MISREADING * gross
            };
            let over = over.min(above);
            bands[band][row] = above - over;
            above = over;
        }
        bands[edges.len()][row] = above;
    }
    bands
}

/// Probability that a standard normal value lies above `x`; all or nothing beyond four deviations.
fn above_edge(x: f64) -> f64 {
    if x.abs() > 4.0 {
        f64::from(u8::from(x < 0.0))
    } else {
        1.0 - normal_cdf(x)
    }
}

/// Edges at even shares of the weight, each in the widest gap nearby, and in the widest gap of all.
fn edges(shown: &[f64], weights: &[f64], accuracy: &Accuracy) -> Vec<f64> {
    let mut sorted: Vec<(f64, f64)> = shown
        .iter()
        .zip(weights)
        .filter(|(shown, weight)| shown.is_finite() && **weight > 0.0)
        .map(|(shown, weight)| (*shown, *weight))
        .collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = sorted.iter().map(|(_, weight)| weight).sum();
    let mut edges = Vec::with_capacity(BANDS);
    let mut widest: Option<(f64, f64)> = None;
    let (mut sum, mut next) = (0.0, total / BANDS as f64);
    for pair in sorted.windows(2) {
        sum += pair[0].1;
        let (low, high) = (pair[0].0, pair[1].0);
        let middle = 0.5 * (low + high);
        let gap = (high - low) / accuracy.deviation(middle);
        if gap > widest.map_or(0.0, |(gap, _)| gap) {
            widest = Some((gap, middle));
        }
        if sum >= next && high > low {
            edges.push(middle);
            next = sum + total / BANDS as f64;
        }
    }
    edges.extend(widest.map(|(_, middle)| middle));
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    edges
}

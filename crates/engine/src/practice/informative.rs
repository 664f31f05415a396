//! Most informative check first, whatever it costs: measure what is expected to tell most bits about which parts are faulty,
//! until one set of parts is all but certain, then renew the most probable part first.
//!
//! The one-step look-ahead of de Kleer and Williams, *Diagnosing multiple faults*, Artificial Intelligence 32 (1987).

use super::job::{Action, Seen};
use super::known::Known;
use super::strategy::{Strategy, Workshop};
use circuit::PartId;
use numerics::normal_cdf;
use std::collections::BTreeMap;

/// Probability of one set of parts from which nothing more is measured.
const SURE: f64 = 0.95;
/// Bits below which a check tells nothing.
const LEAST_GAIN: f64 = 0.05;
/// Samples that stand for all when a gain is worked out.
const SAMPLES: usize = 240;
/// Bands of a reading.
const BANDS: usize = 6;

/// The strategy.
#[derive(Debug)]
pub(super) struct Informative<'w> {
    workshop: &'w Workshop<'w>,
    known: Known<'w>,
    /// Sets of parts, and which of them each suspect of the deck hits.
    sets: Vec<Vec<PartId>>,
    set_of: Vec<usize>,
    measured_out: bool,
}

impl<'w> Informative<'w> {
    pub(super) fn new(workshop: &'w Workshop<'w>) -> Self {
        let deck = &workshop.deck;
        let mut index: BTreeMap<&[PartId], usize> = BTreeMap::new();
        let mut sets = Vec::new();
        let set_of = (0..deck.suspects().len()).map(|suspect| {
            *index.entry(deck.parts(suspect)).or_insert_with(|| {
                sets.push(deck.parts(suspect).to_vec());
                sets.len() - 1
            })
        });
        let set_of = set_of.collect();
        Self {
            workshop,
            known: Known::new(workshop),
            sets,
            set_of,
            measured_out: false,
        }
    }

    /// `true` if one set of parts is all but certain, or that the cause lies beyond.
    fn sure(&self) -> bool {
        let mut sums = vec![0.0; self.sets.len()];
        for (suspect, probability) in self.known.hand.suspects().iter().enumerate() {
            sums[self.set_of[suspect]] += probability;
        }
        sums[0] += self.known.hand.not_listed();
        sums.iter().any(|sum| *sum >= SURE)
    }

    /// The check that tells most, if any tells enough.
    fn best_check(&self, seen: &Seen) -> Option<usize> {
        let rows = systematic(self.known.hand.weights(), SAMPLES);
        let (sets, count) = self.sets_among(&rows);
        let done = |check: &usize| {
            seen.not_done.contains(check)
                || seen.readings.iter().any(|reading| reading.check == *check)
                || seen.model.checks()[*check].level().is_some()
        };
        let mut best: Option<(f64, usize)> = None;
        for check in (0..seen.model.checks().len()).filter(|check| !done(check)) {
            let gain = self.gain(check, &rows, &sets, count);
            if gain >= best.map_or(LEAST_GAIN, |(gain, _)| gain) {
                best = Some((gain, check));
            }
        }
        best.map(|(_, check)| check)
    }

    /// The set of parts of each row, numbered among those that are there, and how many there are.
    fn sets_among(&self, rows: &[usize]) -> (Vec<usize>, usize) {
        let mut numbers: BTreeMap<usize, usize> = BTreeMap::new();
        let cards = self.workshop.deck.cards();
        let number = |row: &usize| {
            let next = numbers.len();
            *numbers.entry(self.set_of[cards[*row].suspect]).or_insert(next)
        };
        let sets = rows.iter().map(number).collect();
        (sets, numbers.len())
    }

    /// Bits that `check` is expected to tell about which of `count` sets of parts it is.
    fn gain(&self, check: usize, rows: &[usize], sets: &[usize], count: usize) -> f64 {
        let deck = &self.workshop.deck;
        let column = deck.shown(check);
        let shown: Vec<f64> = rows.iter().map(|row| f64::from(column[*row])).collect();
        let edges = if deck.is_yes_no(check) {
            Vec::new()
        } else {
            edges(&shown)
        };
        let bands = if deck.is_yes_no(check) { 2 } else { edges.len() + 1 };
        let mut table = vec![0.0; count * bands];
        let accuracy = deck.accuracy(check);
        for (shown, set) in shown.iter().zip(sets) {
            let row = &mut table[set * bands..(set + 1) * bands];
            if deck.is_yes_no(check) {
                row[0] += shown;
                row[1] += 1.0 - shown;
                continue;
            }
            let deviation = accuracy.deviation(*shown);
            let mut above = 1.0;
            for (band, edge) in edges.iter().enumerate() {
                let over = above_edge((edge - shown) / deviation);
                row[band] += above - over;
                above = over;
            }
            row[edges.len()] += above;
        }
        mutual_information(&table, bands)
    }

    /// The most probable part or a look beyond, whichever is likelier.
    fn repair(&self, seen: &Seen) -> Action {
        let beyond = self.known.hand.not_listed() + self.known.hand.nothing_wrong();
        let best = (0..self.known.parts.len()).max_by(|a, b| {
            self.known.parts[*a]
                .total_cmp(&self.known.parts[*b])
                .then(b.cmp(a))
        });
        match best {
            Some(part) if self.known.parts[part] >= beyond || seen.beyond.is_some() => {
                Action::Replace(PartId(part), false)
            }
            _ => Action::Beyond,
        }
    }
}

impl Strategy for Informative<'_> {
    fn next(&mut self, seen: &Seen) -> Action {
        self.known.follow(seen);
        let measuring = !self.measured_out && seen.renewed.is_empty() && seen.beyond.is_none();
        if measuring && seen.readings.is_empty() && seen.not_done.is_empty() {
            // The same for every job of the workshop.
            let first = self.workshop.first.get_or_init(|| self.best_check(seen));
            if let Some(check) = first {
                return Action::Check(*check);
            }
        }
        if measuring
            && !self.sure()
            && let Some(check) = self.best_check(seen)
        {
            return Action::Check(check);
        }
        self.measured_out = true;
        self.repair(seen)
    }

    fn said(&self, part: PartId) -> Option<f64> {
        self.known.parts.get(part.0).copied()
    }
}

/// `Σ p log₂(p / (row · column))` of a table of weights, `bands` to a row.
fn mutual_information(table: &[f64], bands: usize) -> f64 {
    let total: f64 = table.iter().sum();
    let mut columns = vec![0.0; bands];
    for row in table.chunks_exact(bands) {
        columns
            .iter_mut()
            .zip(row)
            .for_each(|(sum, weight)| *sum += weight);
    }
    let mut bits = 0.0;
    for row in table.chunks_exact(bands) {
        let sum: f64 = row.iter().sum();
        for (weight, column) in row.iter().zip(&columns).filter(|(weight, _)| **weight > 0.0) {
            bits += weight / total * (weight * total / (sum * column)).log2();
        }
    }
    bits
}

/// Probability that a standard normal value lies above `x`; all or nothing beyond four deviations.
fn above_edge(x: f64) -> f64 {
    if x.abs() > 4.0 {
        f64::from(u8::from(x < 0.0))
    } else {
        1.0 - normal_cdf(x)
    }
}

/// Edges between bands of equal weight.
fn edges(shown: &[f64]) -> Vec<f64> {
    let mut sorted: Vec<f64> = shown.iter().copied().filter(|shown| shown.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    let mut edges = Vec::with_capacity(BANDS);
    let mut next = sorted.len() / BANDS;
    for at in 1..sorted.len() {
        if at >= next && sorted[at] > sorted[at - 1] {
            edges.push(0.5 * (sorted[at - 1] + sorted[at]));
            next = at + sorted.len() / BANDS;
        }
    }
    edges
}

/// Rows drawn evenly by weight.
fn systematic(weights: &[f64], count: usize) -> Vec<usize> {
    let step = weights.iter().sum::<f64>() / count as f64;
    let (mut rows, mut sum, mut next) = (Vec::with_capacity(count), 0.0, 0.5 * step);
    for (row, weight) in weights.iter().enumerate() {
        sum += weight;
        while next < sum && rows.len() < count {
            rows.push(row);
            next += step;
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mutual information by hand: a reading that names the set, one that says nothing, and a binary channel that errs in one
    /// of four (1 − h(¼) = 1 − 0.8112781 bit; Shannon 1948).
    #[test]
    fn bits_are_those_of_shannon() {
        let check = |table: &[f64], expected: f64| {
            let bits = mutual_information(table, 2);
            assert!((bits - expected).abs() < 1e-7, "{table:?}: {bits}");
        };
        check(&[1.0, 0.0, 0.0, 1.0], 1.0);
        check(&[1.0, 1.0, 2.0, 2.0], 0.0);
        check(&[3.0, 1.0, 1.0, 3.0], 0.188_721_9);
    }
}

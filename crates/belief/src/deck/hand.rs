//! The deck after some readings: weights of its samples.
//!
//! A few thousand samples of the prior cannot all lie near what was read: after some sharp readings a handful would carry all
//! the weight, by chance. So the scatter of a reading is taken wider, by the least of a few factors that leaves enough samples
//! alive: smoothing by a kernel whose width follows from the effective sample size.

use super::Deck;
use crate::evidence::{Outcome, likelihood, misread, unlisted};
use crate::instrument::{Accuracy, MISREADING, ToolError};
use circuit::PartId;
use numerics::normal_density;

/// Factors by which the scatter of readings is widened: each two thirds more than the one before, near enough.
const WIDTHS: [f64; 5] = [1.0, 1.6, 2.5, 4.0, 6.3];
/// Equally weighted samples (Kish) that must be left; found by trying, on the shipped circuits.
const ALIVE: f64 = 24.0;
/// Share of the weights that goes by flat likelihoods, whatever the readings: where a repair that was all but certain has not
/// cured, something must be left to go on with. Our own choice.
const DOUBT: f64 = 0.02;
/// Power that makes a likelihood flat.
const FLAT: f64 = 0.2;

/// A deck after readings.
#[derive(Debug, Clone)]
pub struct Hand<'d> {
    deck: &'d Deck,
    /// Per width and sample, the product of the likelihoods so far.
    products: Vec<Vec<f64>>,
    unlisted: f64,
    /// Per part: how likely the part is faulty although it was renewed; 1 if it was not.
    renewed: Vec<f64>,
    /// `true` once the cause is known to lie within the circuit.
    within: bool,
    width: usize,
    weights: Vec<f64>,
    not_listed: f64,
    effective: f64,
}

impl<'d> Hand<'d> {
    /// The deck before any reading.
    pub fn new(deck: &'d Deck) -> Self {
        let mut hand = Self {
            deck,
            products: vec![vec![1.0; deck.cards().len()]; WIDTHS.len()],
            unlisted: 1.0,
            renewed: Vec::new(),
            within: false,
            width: 0,
            weights: Vec::new(),
            not_listed: 0.0,
            effective: 0.0,
        };
        hand.settle();
        hand
    }

    /// The deck.
    pub fn deck(&self) -> &'d Deck {
        self.deck
    }

    /// Weights of the samples; with [`Self::not_listed`] they sum to 1.
    pub fn weights(&self) -> &[f64] {
        &self.weights
    }

    /// Probability of a cause that is not listed.
    pub fn not_listed(&self) -> f64 {
        self.not_listed
    }

    /// Probability that nothing is wrong in this circuit.
    pub fn nothing_wrong(&self) -> f64 {
        let sound = self
            .deck
            .cards()
            .iter()
            .zip(&self.weights)
            .filter(|(card, _)| card.suspect == 0);
        sound.map(|(_, weight)| weight).sum()
    }

    /// Equally weighted samples that would say as much (Kish).
    pub fn effective(&self) -> f64 {
        self.effective
    }

    /// The factor by which the scatter of readings is taken wider now.
    pub fn width(&self) -> f64 {
        WIDTHS[self.width]
    }

    /// Probability of every suspect of the deck.
    pub fn suspects(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.deck.suspects().len()];
        for (card, weight) in self.deck.cards().iter().zip(&self.weights) {
            sums[card.suspect] += weight;
        }
        sums
    }

    /// Probability of every one of `count` parts: that it is faulty now. One that was renewed is so only if the new one is bad.
    pub fn parts(&self, count: usize) -> Vec<f64> {
        let mut sums = vec![0.0; count];
        for (suspect, probability) in self.suspects().iter().enumerate() {
            let parts = self.deck.parts(suspect);
            let all: f64 = parts.iter().map(|part| self.left(*part)).sum();
            let untouched = parts.iter().any(|part| self.left(*part) >= 1.0);
            for part in parts {
                let share = self.left(*part) / if untouched { 1.0 } else { all };
                sums[part.0] += probability * share;
            }
        }
        sums
    }

    /// Takes a reading into account.
    pub fn read(&mut self, check: usize, outcome: Outcome) {
        let accuracy = *self.deck.accuracy(check);
        let floor = misread(&accuracy, outcome);
        let mut healthy = (0.0, 0.0);
        for (row, (card, shown)) in self.deck.cards().iter().zip(self.deck.shown(check)).enumerate() {
            let likelihoods = widely(&accuracy, outcome, f64::from(*shown), floor);
            for (products, likelihood) in self.products.iter_mut().zip(likelihoods) {
                products[row] *= likelihood;
            }
            if card.suspect == 0 {
                healthy = (healthy.0 + likelihoods[0], healthy.1 + 1.0);
            }
        }
        self.unlisted *= unlisted(&accuracy, outcome, healthy.0 / f64::max(healthy.1, 1.0));
        self.settle();
    }

    /// A part was renewed and the complaint is still there: a suspect whose parts are all renewed is left only if a new one
    /// is bad, which it is with probability `bad_new`.
    pub fn renewed(&mut self, part: PartId, bad_new: f64) {
        if self.renewed.len() <= part.0 {
            self.renewed.resize(part.0 + 1, 1.0);
        }
        self.renewed[part.0] *= bad_new;
        self.settle();
    }

    /// Somebody looked beyond this circuit and found nothing.
    pub fn nothing_beyond(&mut self) {
        self.within = true;
        self.settle();
    }

    /// Chooses the width and normalises the weights.
    fn settle(&mut self) {
        let factors: Vec<f64> = (0..self.deck.suspects().len())
            .map(|suspect| self.factor(suspect))
            .collect();
        for width in 0..WIDTHS.len() {
            self.weights = self.at(width, &factors);
            let sum: f64 = self.weights.iter().sum();
            let squares: f64 = self.weights.iter().map(|weight| weight * weight).sum();
            self.effective = if squares > 0.0 { sum * sum / squares } else { 0.0 };
            self.width = width;
            if self.effective >= ALIVE {
                break;
            }
        }
        let not_listed = if self.within {
            0.0
        } else {
            self.deck.not_listed() * self.unlisted
        };
        let total = self.weights.iter().sum::<f64>() + not_listed;
        let doubtful = self.doubtful(&factors);
        let doubtful_total = doubtful.iter().sum::<f64>();
        for (weight, doubtful) in self.weights.iter_mut().zip(doubtful) {
            *weight = (1.0 - DOUBT) * *weight / total + DOUBT * doubtful / doubtful_total;
        }
        self.not_listed = (1.0 - DOUBT) * not_listed / total;
    }

    /// Weights at one width, not normalised.
    fn at(&self, width: usize, factors: &[f64]) -> Vec<f64> {
        let weights = self.deck.cards().iter().zip(&self.products[width]);
        weights
            .map(|(card, product)| card.weight * factors[card.suspect] * product)
            .collect()
    }

    /// Weights by likelihoods so flat that ten readings say no more than two, not normalised.
    fn doubtful(&self, factors: &[f64]) -> Vec<f64> {
        let products = &self.products[WIDTHS.len() - 1];
        let best = products.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let cards = self.deck.cards().iter().zip(products);
        let weights =
            cards.map(|(card, product)| card.weight * factors[card.suspect] * (product / best).powf(FLAT));
        weights.collect()
    }

    /// What repairs have left of a suspect.
    fn factor(&self, suspect: usize) -> f64 {
        let parts = self.deck.parts(suspect);
        if parts.is_empty() {
            return f64::from(u8::from(!self.within));
        }
        if parts.iter().any(|part| self.left(*part) >= 1.0) {
            1.0
        } else {
            parts.iter().map(|part| self.left(*part)).sum::<f64>().min(1.0)
        }
    }

    /// How likely a part that was faulty is so still.
    fn left(&self, part: PartId) -> f64 {
        self.renewed.get(part.0).copied().unwrap_or(1.0)
    }
}

/// Likelihood on one sample at every width; where the network found no balance, that of a misreading.
fn widely(accuracy: &Accuracy, outcome: Outcome, shown: f64, floor: f64) -> [f64; WIDTHS.len()] {
    if shown.is_nan() {
        return [floor; WIDTHS.len()];
    }
    let Outcome::Value(value) = outcome else {
        return WIDTHS.map(|width| {
            let wider = Accuracy {
                noise: width * accuracy.noise,
                relative_noise: width * accuracy.relative_noise,
                ..*accuracy
            };
            likelihood(&wider, outcome, shown, ToolError::default())
        });
    };
    // As `likelihood`, but all widths from one deviation: it is as many times wider as the scatter is.
    let deviation = accuracy.deviation(shown);
    let x = (value - shown) / deviation;
    WIDTHS.map(|width| {
        let y = x / width;
        if y.abs() > BEYOND {
            floor
        } else {
            (1.0 - MISREADING) * normal_density(y) / (width * deviation) + floor
        }
    })
}

/// Beyond this many deviations a normal density is nothing beside that of a misreading.
const BEYOND: f64 = 9.0;

#[cfg(test)]
mod tests {
    use super::*;
    use circuit::Instrument;

    /// The short way to the likelihoods of a value gives what the long way gives.
    #[test]
    fn all_widths_at_once_are_each_width_by_itself() {
        for instrument in [
            Instrument::VacuumGauge,
            Instrument::Voltmeter,
            Instrument::Ohmmeter,
        ] {
            let accuracy = Accuracy::of(instrument);
            for (value, shown) in [(12.0, 12.01), (0.5, 14.0), (40.0e3, 41.0e3), (4.0e7, 4.0e7)] {
                let outcome = Outcome::Value(value);
                let found = widely(&accuracy, outcome, shown, misread(&accuracy, outcome));
                for (found, width) in found.into_iter().zip(WIDTHS) {
                    let wider = Accuracy {
                        noise: width * accuracy.noise,
                        relative_noise: width * accuracy.relative_noise,
                        ..accuracy
                    };
                    let expected = likelihood(&wider, outcome, shown, ToolError::default());
                    // Both round a few times.
                    assert!(
                        (found / expected - 1.0).abs() < 1e-12,
                        "{instrument:?} {value} {shown}"
                    );
                }
            }
        }
    }
}

//! What a strategy that thinks in probabilities knows: a deck of samples, kept up with what was seen.

use super::job::Seen;
use super::strategy::Workshop;
use belief::Hand;

/// The deck after all that was seen.
#[derive(Debug)]
pub(super) struct Known<'w> {
    pub(super) hand: Hand<'w>,
    readings: usize,
    renewed: usize,
    beyond: bool,
    /// Probability of every part that it is faulty now.
    pub(super) parts: Vec<f64>,
}

impl<'w> Known<'w> {
    pub(super) fn new(workshop: &'w Workshop<'w>) -> Self {
        let hand = Hand::new(&workshop.deck);
        Self {
            parts: hand.parts(workshop.model.circuit().parts.len()),
            hand,
            readings: 0,
            renewed: 0,
            beyond: false,
        }
    }

    /// Takes in what is new.
    pub(super) fn follow(&mut self, seen: &Seen) {
        for reading in &seen.readings[self.readings..] {
            self.hand.read(reading.check, reading.outcome);
        }
        for renewed in &seen.renewed[self.renewed..] {
            let kind = seen.model.circuit().parts[renewed.part.0].kind;
            self.hand.renewed(renewed.part, kind.repair.bad_new);
        }
        if seen.beyond == Some(false) && !self.beyond {
            self.beyond = true;
            self.hand.nothing_beyond();
        }
        (self.readings, self.renewed) = (seen.readings.len(), seen.renewed.len());
        self.parts = self.hand.parts(seen.model.circuit().parts.len());
    }

    /// Rows of the deck drawn evenly by weight, each once, with the weight it stands for: together 1 less what is not listed.
    pub(super) fn rows(&self, count: usize) -> Vec<(usize, f64)> {
        let weights = self.hand.weights();
        let all: f64 = weights.iter().sum();
        let step = all / count as f64;
        let (mut rows, mut sum, mut next): (Vec<(usize, f64)>, f64, f64) =
            (Vec::with_capacity(count), 0.0, 0.5 * step);
        for (row, weight) in weights.iter().enumerate() {
            sum += weight;
            let mut times = 0.0;
            while next < sum {
                times += 1.0;
                next += step;
            }
            if times > 0.0 {
                rows.push((row, times * step));
            }
        }
        rows
    }
}

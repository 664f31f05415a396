//! Two habits of shops: renew the most frequent part, or check it first against the book and renew it if it reads wrong.
//!
//! Both go by how often parts fail and by nothing else. Neither tries a new part on the bench: new is taken for good.

use super::job::{Action, Seen};
use super::strategy::{Strategy, Workshop};
use belief::Outcome;
use circuit::{Check, Method, PartId, Place};
use physics::Model;

/// Parts are renewed by frequency, the most frequent first; then somebody looks beyond; then all over again, for a new part
/// may be bad.
#[derive(Debug)]
pub(super) struct PartsOnly {
    order: Vec<PartId>,
}

impl PartsOnly {
    pub(super) fn new(workshop: &Workshop) -> Self {
        Self {
            order: workshop.by_frequency(),
        }
    }
}

impl Strategy for PartsOnly {
    fn next(&mut self, seen: &Seen) -> Action {
        by_frequency(&self.order, seen)
    }
}

/// The first part of `order` that has been renewed least often; before any is renewed twice, a look beyond.
fn by_frequency(order: &[PartId], seen: &Seen) -> Action {
    let times = |part: &PartId| {
        seen.renewed
            .iter()
            .filter(|renewed| renewed.part == *part)
            .count()
    };
    let fewest = order.iter().map(times).min().unwrap_or(0);
    match order.iter().find(|part| times(part) == fewest) {
        Some(part) if fewest == 0 || seen.beyond.is_some() => Action::Replace(*part, false),
        _ => Action::Beyond,
    }
}

/// Rule of thumb: the book's range, half as wide again on either side and a tenth of the value. Common practice, no source.
const EITHER_WAY: f64 = 0.1;

/// Part after part in order of frequency: its own direct check, renewed if it reads otherwise than on a sound circuit. Whoever
/// comes to the end without a cure renews the rest by frequency.
#[derive(Debug)]
pub(super) struct Habit<'w> {
    workshop: &'w Workshop<'w>,
    order: Vec<PartId>,
    /// Place in the order.
    at: usize,
}

impl<'w> Habit<'w> {
    pub(super) fn new(workshop: &'w Workshop<'w>) -> Self {
        Self {
            workshop,
            order: workshop.by_frequency(),
            at: 0,
        }
    }

    /// `true` if the reading is within what the book gives for a sound circuit. A low drop across a part that only passes
    /// current on is no fault of that part: nothing flows.
    fn reads_well(&self, part: PartId, check: usize, outcome: Outcome) -> bool {
        let Some([low, middle, high]) = self.workshop.deck.sound(check) else {
            return true;
        };
        let margin = EITHER_WAY * middle.abs() + 0.5 * (high - low);
        let kind = self.workshop.model.circuit().parts[part.0].kind;
        let passes_on = self.workshop.model.checks()[check].method == Method::Drop && kind.supplies.is_none();
        match outcome {
            Outcome::Value(value) => value <= high + margin && (passes_on || value >= low - margin),
            Outcome::Over(bound) => bound <= high + margin,
            Outcome::Under(bound) => passes_on || bound >= low - margin,
            Outcome::Yes => middle >= 0.5,
            Outcome::No => middle < 0.5,
        }
    }
}

impl Strategy for Habit<'_> {
    fn next(&mut self, seen: &Seen) -> Action {
        while let Some(part) = self.order.get(self.at).copied() {
            let Some(check) = own_check(seen.model, part) else {
                self.at += 1;
                continue;
            };
            let read = seen.readings.iter().find(|reading| reading.check == check);
            if read.is_none() && !seen.not_done.contains(&check) {
                return Action::Check(check);
            }
            self.at += 1;
            let bad = read.is_some_and(|reading| !self.reads_well(part, check, reading.outcome));
            if bad && seen.renewed.iter().all(|renewed| renewed.part != part) {
                return Action::Replace(part, false);
            }
        }
        by_frequency(&self.order, seen)
    }
}

/// The check that habit makes for a part: a source by what it gives at its port; any other part measured or fed by itself,
/// heard, seen; where nothing of that is possible, what is read at one of its ports. Within a method the quickest, then the
/// first.
fn own_check(model: &Model, part: PartId) -> Option<usize> {
    let source = model.circuit().parts[part.0].kind.supplies.is_some();
    let rank = |check: &Check| match check.place {
        Place::Part(own) if own == part => at_the_part(check.method),
        Place::Port(port, _) if port.part == part => {
            at_a_port(check.method).map(|rank| if source { rank } else { 10 + rank })
        }
        _ => None,
    };
    let checks = model.checks().iter().enumerate();
    let own = checks.filter_map(|(index, check)| Some((rank(check)?, check.minutes, index)));
    own.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)))
        .map(|(_, _, index)| index)
}

fn at_the_part(method: Method) -> Option<u32> {
    match method {
        Method::Ohms => Some(5),
        Method::Jumper => Some(6),
        Method::Drop | Method::Data | Method::Speed | Method::Amps | Method::Ripple | Method::LoomOhms => {
            Some(7)
        }
        Method::Click | Method::Answers | Method::Glow | Method::Duty | Method::Substitute => Some(8),
        Method::Look => Some(9),
        _ => None,
    }
}

fn at_a_port(method: Method) -> Option<u32> {
    match method {
        Method::Travel => Some(0),
        Method::Deadhead => Some(1),
        Method::OpenVolts | Method::Volts => Some(2),
        Method::Tee | Method::Pressure => Some(3),
        Method::Flow => Some(4),
        _ => None,
    }
}

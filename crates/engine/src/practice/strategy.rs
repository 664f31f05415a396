//! What a strategy is: from what can be seen on a job to the next thing to do.

use super::job::{Action, Seen};
use belief::{Deck, Surroundings};
use circuit::{Circuit, FaultId, PartId};
use physics::Model;
use plan::{Next, Shop};
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// A way to work on a job. One is made for every job; it may remember what it did.
pub trait Strategy {
    /// What to do next. The complaint is still there.
    fn next(&mut self, seen: &Seen) -> Action;

    /// How likely it thinks, at its last step, that `part` is among the faulty ones; `None` if it does not think in
    /// probabilities.
    fn said(&self, _part: PartId) -> Option<f64> {
        None
    }

    /// What it expects to pay from here to the end if `action` comes next and it goes on itself from there; `None` if it does
    /// not reckon that.
    fn expected_cost(&mut self, _seen: &Seen, _action: Action) -> Option<f64> {
        None
    }
}

/// What is known in a shop before the first reading, made once for many jobs on one circuit.
#[derive(Debug)]
pub struct Workshop<'m> {
    /// The circuit.
    pub model: &'m Model,
    /// What the shop charges and pays.
    pub shop: Shop,
    /// The air around.
    pub surroundings: Surroundings,
    /// Sample vehicles of the model's prior.
    pub deck: Deck,
    /// Share of complaints for which each part is the cause, in the circuit's order.
    pub shares: Vec<f64>,
    /// The check that tells most before any reading, once somebody has worked it out.
    pub(super) first: OnceLock<Option<usize>>,
    /// The step to begin with, once somebody has planned it.
    pub(super) planned: OnceLock<Option<Next>>,
    /// For every fault alone, its first card and how many there are.
    singles: BTreeMap<FaultId, (usize, usize)>,
}

/// Samples of a workshop's deck.
const DECK: usize = 6000;

impl<'m> Workshop<'m> {
    /// A shop in `surroundings`.
    pub fn new(model: &'m Model, shop: Shop, surroundings: Surroundings) -> Self {
        let deck = Deck::new(model, surroundings, DECK, 1);
        Self {
            model,
            shop,
            surroundings,
            singles: singles(&deck),
            deck,
            shares: shares(model.circuit()),
            first: OnceLock::new(),
            planned: OnceLock::new(),
        }
    }

    /// A card with `fault` alone; other ones for other `card`s.
    pub(super) fn alone(&self, fault: FaultId, card: usize) -> Option<usize> {
        let (first, count) = self.singles.get(&fault)?;
        Some(first + card % count)
    }

    /// Parts that can fail, the most frequent first; of equals the first in the file.
    pub fn by_frequency(&self) -> Vec<PartId> {
        let mut order: Vec<PartId> = (0..self.shares.len())
            .map(PartId)
            .filter(|part| self.shares[part.0] > 0.0)
            .collect();
        order.sort_by(|a, b| self.shares[b.0].total_cmp(&self.shares[a.0]).then(a.cmp(b)));
        order
    }
}

fn singles(deck: &Deck) -> BTreeMap<FaultId, (usize, usize)> {
    let mut singles: BTreeMap<FaultId, (usize, usize)> = BTreeMap::new();
    for (place, card) in deck.cards().iter().enumerate() {
        if let [fault] = deck.suspects()[card.suspect][..] {
            singles.entry(fault).or_insert((place, 0)).1 += 1;
        }
    }
    singles
}

fn shares(circuit: &Circuit) -> Vec<f64> {
    let mut shares = vec![0.0; circuit.parts.len()];
    for (fault, share) in circuit.faults() {
        shares[fault.part.0] += share;
    }
    shares
}

/// Makes a strategy for a job in a workshop.
pub type Make = dyn for<'w> Fn(&'w Workshop<'w>) -> Box<dyn Strategy + 'w> + Send + Sync;

/// A strategy with its name.
pub struct Contestant {
    /// Its name in the results.
    pub name: &'static str,
    make: Box<Make>,
}

impl Contestant {
    /// The strategy called `name` that `make` makes for every job.
    pub fn new(name: &'static str, make: Box<Make>) -> Self {
        Self { name, make }
    }

    /// The strategy for one job.
    pub fn ready<'w>(&self, workshop: &'w Workshop<'w>) -> Box<dyn Strategy + 'w> {
        (self.make)(workshop)
    }
}

impl std::fmt::Debug for Contestant {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.debug_struct("Contestant")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

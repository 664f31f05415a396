//! One practice job from arrival to the end: a hidden vehicle, what was done to it, what it has cost.

use super::account::Account;
use super::hidden::Hidden;
use belief::{Observation, Outcome, Surroundings};
use circuit::{FaultId, PartId};
use physics::Model;
use plan::{Bay, Shop};

/// Steps after which a job is given up: it goes to somebody who looks beyond the circuit and renews what is broken.
const MOST_STEPS: usize = 150;

/// What can be done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Make a check: an index into the model's checks.
    Check(usize),
    /// Renew a part; `true`: the new one is tried on the bench first, where it can be.
    Replace(PartId, bool),
    /// Look for the cause beyond this circuit.
    Beyond,
}

/// A part that was renewed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Renewed {
    /// The part.
    pub part: PartId,
    /// Whether the new one was tried on the bench.
    pub checked: bool,
    /// How many readings had been taken before: later ones are of the vehicle with the new part.
    pub readings: usize,
}

/// All that whoever works on the job can see. The complaint is still there, or the job would have ended.
#[derive(Debug, Clone, Copy)]
pub struct Seen<'j> {
    /// The circuit.
    pub model: &'j Model,
    /// The air around, as far as the shop knows it.
    pub surroundings: Surroundings,
    /// Readings in their order.
    pub readings: &'j [Observation],
    /// Checks that could not be done.
    pub not_done: &'j [usize],
    /// Parts renewed, in their order.
    pub renewed: &'j [Renewed],
    /// The bay as it stands.
    pub bay: &'j Bay,
    /// `None`: nobody has looked beyond this circuit yet; else whether a cause was found there.
    pub beyond: Option<bool>,
}

/// What a step has shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Event {
    /// What was read; `None` if the check could not be done.
    Read(Option<Outcome>),
    /// A part was renewed; new ones that the bench sent back before it; whether the complaint is gone.
    Renewed {
        /// New parts that failed on the bench.
        sent_back: u32,
        /// Whether the proof shows the complaint gone.
        cured: bool,
    },
    /// Whether the cause was found beyond this circuit.
    Beyond(bool),
    /// Too many steps: the job was given away and paid to its end.
    GivenUp,
}

/// One job.
#[derive(Debug)]
pub struct Job<'w> {
    hidden: Hidden<'w>,
    /// What it has cost so far.
    pub account: Account,
    shop: Shop,
    readings: Vec<Observation>,
    not_done: Vec<usize>,
    renewed: Vec<Renewed>,
    beyond: Option<bool>,
    steps: usize,
    given_up: bool,
    wrong_parts: usize,
    first_was_faulty: Option<bool>,
}

impl<'w> Job<'w> {
    /// A job on `hidden` in `shop`.
    pub fn new(hidden: Hidden<'w>, shop: Shop) -> Self {
        Self {
            hidden,
            account: Account::new(shop),
            shop,
            readings: Vec::new(),
            not_done: Vec::new(),
            renewed: Vec::new(),
            beyond: None,
            steps: 0,
            given_up: false,
            wrong_parts: 0,
            first_was_faulty: None,
        }
    }

    /// What whoever works on it sees.
    pub fn seen(&self) -> Seen<'_> {
        Seen {
            model: self.hidden.model(),
            surroundings: self.hidden.surroundings(),
            readings: &self.readings,
            not_done: &self.not_done,
            renewed: &self.renewed,
            bay: &self.account.bay,
            beyond: self.beyond,
        }
    }

    /// The vehicle, with what is known at its door and, for the end, its cause.
    pub fn hidden(&self) -> &Hidden<'w> {
        &self.hidden
    }

    /// `true` once the complaint is gone.
    pub fn is_over(&self) -> bool {
        let lies_beyond = self.hidden.cause().is_empty();
        self.given_up || (self.hidden.is_sound() && (!lies_beyond || self.beyond == Some(true)))
    }

    /// `true` if the cause is one of the circuit's faults.
    pub fn is_listed(&self) -> bool {
        !self.hidden.cause().is_empty()
    }

    /// Parts renewed that had no fault.
    pub fn wrong_parts(&self) -> usize {
        self.wrong_parts
    }

    /// Whether the part renewed first had a fault; `None` if none was renewed.
    pub fn first_was_faulty(&self) -> Option<bool> {
        self.first_was_faulty
    }

    /// Does the next thing.
    pub fn step(&mut self, action: Action) -> Event {
        self.steps += 1;
        if self.steps > MOST_STEPS {
            return self.give_up();
        }
        match action {
            Action::Check(check) => self.check(check),
            Action::Replace(part, checked) => self.replace(part, checked),
            Action::Beyond => {
                self.account.beyond();
                let found = self.hidden.cause().is_empty();
                self.beyond = Some(found);
                Event::Beyond(found)
            }
        }
    }

    fn check(&mut self, check: usize) -> Event {
        let model = self.hidden.model();
        self.account.check(model.circuit(), &model.checks()[check]);
        let outcome = self.hidden.read(check);
        match outcome {
            Some(outcome) => self.readings.push(Observation {
                check,
                outcome,
                instrument: None,
            }),
            None => self.not_done.push(check),
        }
        Event::Read(outcome)
    }

    fn replace(&mut self, part: PartId, checked: bool) -> Event {
        let fitted = self.hidden.renew(part, checked);
        let circuit = self.hidden.model().circuit();
        self.account.renew(circuit, part, checked, fitted.sent_back);
        self.renewed.push(Renewed {
            part,
            checked,
            readings: self.readings.len(),
        });
        self.wrong_parts += usize::from(!fitted.was_faulty);
        self.first_was_faulty.get_or_insert(fitted.was_faulty);
        Event::Renewed {
            sent_back: fitted.sent_back,
            cured: self.is_over(),
        }
    }

    /// Somebody else looks beyond and renews whatever is broken.
    fn give_up(&mut self) -> Event {
        self.account.beyond();
        let mut broken: Vec<PartId> = self
            .hidden
            .faults()
            .iter()
            .map(|(fault, _): &(FaultId, f64)| fault.part)
            .collect();
        broken.dedup();
        for part in broken {
            self.account.renew(self.hidden.model().circuit(), part, false, 0);
        }
        self.given_up = true;
        Event::GivenUp
    }

    /// `true` if it was given away.
    pub fn is_given_up(&self) -> bool {
        self.given_up
    }

    /// What the shop charges and pays.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }
}

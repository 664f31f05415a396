//! What a job has cost so far: minutes of checks, repairs with their proof, parts, and looking beyond.

use super::hidden::can_be_tried;
use circuit::{Circuit, PartId};
use plan::{Bay, Shop};

/// The account of one job.
#[derive(Debug, Clone, PartialEq)]
pub struct Account {
    shop: Shop,
    /// The bay as it stands.
    pub bay: Bay,
    /// Minutes spent, all together.
    pub minutes: f64,
    /// Paid for parts.
    pub parts: f64,
    /// Checks made.
    pub checks: usize,
    /// Parts renewed.
    pub renewed: usize,
}

impl Account {
    /// Nothing spent yet.
    pub fn new(shop: Shop) -> Self {
        Self {
            shop,
            bay: Bay::default(),
            minutes: 0.0,
            parts: 0.0,
            checks: 0,
            renewed: 0,
        }
    }

    /// What it has cost.
    pub fn cost(&self) -> f64 {
        self.minutes * self.shop.rate + self.parts
    }

    /// A check: its own minutes, accesses that were closed, the change of condition.
    pub(super) fn check(&mut self, circuit: &Circuit, check: &circuit::Check) {
        self.minutes += self.bay.minutes(circuit, check);
        self.bay = self.bay.after(circuit, check);
        self.checks += 1;
    }

    /// A part renewed and the proof that follows. Of new parts that the bench sent back only the minutes are lost.
    pub(super) fn renew(&mut self, circuit: &Circuit, part: PartId, checked: bool, sent_back: u32) {
        let repair = circuit.parts[part.0].repair;
        self.minutes += repair.minutes + self.shop.proof_minutes;
        self.parts += repair.price;
        if checked && can_be_tried(circuit, part) {
            self.minutes += self.shop.bench_minutes * (1.0 + f64::from(sent_back));
        }
        self.renewed += 1;
    }

    /// A look beyond this circuit.
    pub(super) fn beyond(&mut self) {
        self.minutes += self.shop.beyond_minutes;
    }
}

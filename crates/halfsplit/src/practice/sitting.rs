//! One practice job in somebody's hands: what was done, what it cost, and what each step was worth.

use crate::card;
use crate::how;
use crate::page::Page;
use crate::show::Units;
use crate::words;
use circuit::{Caution, PartId};
use engine::Model;
use engine::practice::{Action, Event, Job, Strategy, Workshop};
use std::fmt::Write as _;

/// One step that was taken.
#[derive(Debug)]
pub(super) struct Step {
    /// In words.
    pub(super) what: String,
    /// What was paid for it.
    pub(super) cost: f64,
    /// By how much it raised the cost to be expected, beside the best step then; `None` where nobody reckons that.
    pub(super) raised: Option<f64>,
}

/// The job and who works on it.
pub(super) struct Sitting<'w> {
    pub(super) model: &'w Model,
    pub(super) job: Job<'w>,
    pub(super) steps: Vec<Step>,
    /// Looks on, to say afterwards what each step was worth.
    advisor: Box<dyn Strategy + 'w>,
    units: Units,
    /// Cautions already given in full.
    told: Vec<&'static Caution>,
}

impl<'w> Sitting<'w> {
    pub(super) fn new(
        workshop: &Workshop<'w>,
        job: Job<'w>,
        advisor: Box<dyn Strategy + 'w>,
        units: Units,
    ) -> Self {
        Self {
            model: workshop.model,
            job,
            steps: Vec::new(),
            advisor,
            units,
            told: Vec::new(),
        }
    }

    /// Checks that were made or could not be done.
    pub(super) fn done(&self) -> Vec<usize> {
        let seen = self.job.seen();
        seen.readings
            .iter()
            .map(|reading| reading.check)
            .chain(seen.not_done.iter().copied())
            .collect()
    }

    /// Makes a check: cautions and what to do first, then the reading.
    pub(super) fn check(&mut self, check: usize, page: &mut Page) {
        let spec = &self.model.checks()[check];
        let minutes = self.job.account.bay.minutes(self.model.circuit(), spec);
        page.heading(&format!("{}   ({})", spec.id, words::minutes(minutes)));
        card::steps(
            self.model.circuit(),
            &self.job.account.bay,
            spec,
            &mut self.told,
            page,
        );
        let read = match self.step(Action::Check(check), &spec.id) {
            Event::Read(Some(outcome)) => self.units.outcome(spec, outcome),
            Event::Read(None) => "could not be done".to_owned(),
            _ => given_up(),
        };
        card::entry(page, "READ", &read);
        self.so_far(page);
    }

    /// Renews a part and proves it.
    pub(super) fn renew(&mut self, part: PartId, bench: bool, page: &mut Page) {
        let (circuit, named) = (self.model.circuit(), &self.model.circuit().parts[part.0]);
        page.heading(&format!("{}: {}", named.id, named.kind.repair.what));
        card::cautions(&how::cautions_of_work(circuit, part), &mut self.told, page);
        let mut text = format!(
            "{}, part {:.0}, then {} of proof",
            words::minutes(named.repair.minutes),
            named.repair.price,
            words::minutes(self.job.shop().proof_minutes)
        );
        if bench {
            let _ = write!(text, "; the new one is tried on the bench first, where it can be");
        }
        card::entry(page, "do", &text);
        let event = self.step(Action::Replace(part, bench), &format!("renew {}", named.id));
        if let Event::Renewed { sent_back, .. } = event
            && sent_back > 0
        {
            card::entry(
                page,
                "BENCH",
                &format!("{sent_back} new one failed there and went back"),
            );
        }
        let shown = match event {
            Event::Renewed { cured: true, .. } => "the complaint is gone".to_owned(),
            Event::Renewed { .. } => "the complaint is still there".to_owned(),
            _ => given_up(),
        };
        card::entry(page, "PROOF", &shown);
        self.so_far(page);
    }

    /// Looks beyond the circuit.
    pub(super) fn beyond(&mut self, page: &mut Page) {
        page.heading("Looking beyond this circuit");
        let shown = match self.step(Action::Beyond, "look beyond") {
            Event::Beyond(true) => "the cause was there".to_owned(),
            Event::Beyond(false) => "no cause there: it must be in this circuit".to_owned(),
            _ => given_up(),
        };
        card::entry(page, "FOUND", &shown);
        self.so_far(page);
    }

    fn step(&mut self, action: Action, what: &str) -> Event {
        let raised = self.raised(action);
        let before = self.job.account.cost();
        let event = self.job.step(action);
        self.steps.push(Step {
            what: what.to_owned(),
            cost: self.job.account.cost() - before,
            raised,
        });
        event
    }

    /// By how much `action` raises the cost to be expected, beside what the advisor would do.
    fn raised(&mut self, action: Action) -> Option<f64> {
        let seen = self.job.seen();
        let best = self.advisor.next(&seen);
        let least = self.advisor.expected_cost(&seen, best)?;
        Some((self.advisor.expected_cost(&seen, action)? - least).max(0.0))
    }

    fn so_far(&self, page: &mut Page) {
        let account = &self.job.account;
        let text = format!(
            "{:.0} minutes, parts {:.0}, together {:.0}",
            account.minutes,
            account.parts,
            account.cost()
        );
        page.aside("  so far    ", &text);
    }

    /// What was read so far.
    pub(super) fn readings(&self, page: &mut Page) {
        let seen = self.job.seen();
        if seen.readings.is_empty() && seen.renewed.is_empty() {
            return page.line("  nothing yet");
        }
        for (index, reading) in seen.readings.iter().enumerate() {
            self.renewed_before(index, page);
            let check = &self.model.checks()[reading.check];
            page.line(&format!(
                "  {:<42}{}",
                check.id,
                self.units.outcome(check, reading.outcome)
            ));
        }
        self.renewed_before(seen.readings.len(), page);
    }

    fn renewed_before(&self, readings: usize, page: &mut Page) {
        for renewed in self
            .job
            .seen()
            .renewed
            .iter()
            .filter(|renewed| renewed.readings == readings)
        {
            page.line(&format!(
                "  renewed: {}",
                self.model.circuit().parts[renewed.part.0].id
            ));
        }
    }
}

fn given_up() -> String {
    "so many steps that the customer took the vehicle elsewhere".to_owned()
}

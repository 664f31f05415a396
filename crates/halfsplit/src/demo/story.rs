//! The demo told: complaint, checks with their reasons, what each reading moves, and the end.

use super::{ALTITUDE, HIDDEN, Played, Step, town};
use crate::card;
use crate::case::{Case, Manner};
use crate::failure::Failure;
use crate::page::Page;
use crate::picture;
use crate::show::Units;
use crate::suspects;
use crate::words;
use belief::{Outcome, Outlook, Surroundings};
use circuit::{Caution, FaultId};
use engine::{Model, NextCheck, Shop};
use std::path::Path;

/// Samples behind an expected reading.
const SAMPLES: usize = 1000;
/// A part's probability has moved if it changed by this much.
const MOVED: f64 = 0.03;

/// Tells the demo.
#[derive(Debug)]
pub(super) struct Teller {
    page: Page,
    units: Units,
    /// Cautions already given in full.
    told: Vec<&'static Caution>,
    checks: usize,
}

impl Teller {
    pub(super) fn new(manner: Manner) -> Self {
        Self {
            page: Page::new(manner.screen),
            units: manner.units,
            told: Vec::new(),
            checks: 0,
        }
    }

    pub(super) fn into_text(self) -> String {
        self.page.text
    }

    /// The complaint, and what the workshop before made of its one reading.
    pub(super) fn intake(&mut self, model: &Model, check: usize, first: Outcome) -> Result<(), Failure> {
        let (circuit, spec) = (model.circuit(), &model.checks()[check]);
        let read = self.units.outcome(spec, first);
        let range = |surroundings, faults: &[(FaultId, Option<f64>)]| -> Result<String, Failure> {
            let expected = engine::expect(model, surroundings, faults, check, SAMPLES, 1);
            expected
                .map(|expected| self.units.range(spec, expected.percentiles))
                .map_err(|error| Failure::could_not(error, None))
        };
        let here = range(town(), &[])?;
        let sea = range(Surroundings::default(), &[])?;
        let blocked = circuit
            .fault(HIDDEN.0)
            .map(|fault| range(town(), &[(fault, None)]))
            .transpose()?
            .unwrap_or_default();
        let height = format!("{ALTITUDE:.0} m");
        let page = &mut self.page;
        page.heading(
            "A demo job. Vehicle, town and customer are invented; the figures are computed as you watch.",
        );
        page.gap();
        page.paragraph(
            "  vehicle    ",
            &format!("a minibus from a mountain town at {height}"),
        );
        page.paragraph(
            "  complaint  ",
            "no pull uphill below 2,500 rpm, worse since spring",
        );
        page.paragraph(
            "  code       ",
            "P0299: boost below what was asked for. It names a symptom, not a part",
        );
        page.paragraph("  circuit    ", &circuit.title);
        page.paragraph("  history    ", &format!(
            "the workshop before read {read} at {}, dead-headed, idling. Their book says at least 25 inHg at sea level, so they quoted a new vacuum pump",
            words::place(circuit, spec)
        ));
        page.heading("What that one reading is worth");
        page.paragraph("  ", &format!("A sound circuit reads {sea} there at sea level, but {here} at {height}, where the air weighs less. {read} is what the altitude leaves: no word against the pump."));
        page.paragraph("  ", &format!("Nor does it clear the hoses. A gauge on the end of a pulled-off hose lets nothing flow, so a dead-headed gauge cannot see a restriction: with that hose collapsed it would still read {blocked}."));
        Ok(())
    }

    /// The suspects and the circuit before our own first check.
    pub(super) fn first_picture(&mut self, case: &Case) {
        self.page.heading("Suspects after that reading");
        suspects::ranking(case, &mut self.page);
        self.page.gap();
        self.page.text.push_str(&picture::of_case(case, None));
    }

    /// A check before it is made.
    pub(super) fn check(&mut self, case: &Case, outlook: &Outlook, next: &NextCheck, so_far: f64) {
        self.checks += 1;
        let check = &case.model.checks()[next.check];
        let head = format!(
            "Check {}: {}   ({}, {so_far:.0} so far)",
            self.checks,
            check.id,
            words::minutes(next.minutes)
        );
        self.page.heading(&head);
        card::steps(
            case.model.circuit(),
            &case.bay,
            check,
            &mut self.told,
            &mut self.page,
        );
        card::expectations(case, outlook, next.check, &mut self.page);
        card::entry(&mut self.page, "why", &desk::why(case, outlook, next));
    }

    /// What was read, and what it moved.
    pub(super) fn moved(&mut self, case: &Case, step: &Step) {
        let spec = &case.model.checks()[step.check];
        card::entry(&mut self.page, "READ", &self.units.outcome(spec, step.outcome));
        let circuit = case.model.circuit();
        let mut moved: Vec<(f64, String)> = Vec::new();
        for (part, (before, after)) in circuit.parts.iter().zip(step.before.iter().zip(&step.after)) {
            if (after - before).abs() >= MOVED {
                let text = format!(
                    "{} {} to {}",
                    part.id,
                    words::percent(*before),
                    words::percent(*after)
                );
                moved.push(((after - before).abs(), text));
            }
        }
        moved.sort_by(|a, b| b.0.total_cmp(&a.0));
        let moved: Vec<String> = moved.into_iter().take(6).map(|(_, text)| text).collect();
        card::entry(
            &mut self.page,
            "moves",
            if moved.is_empty() {
                "hardly anything".to_owned()
            } else {
                moved.join(", ")
            }
            .as_str(),
        );
        suspects::fit(case, &mut self.page);
    }

    /// The cause, what proved it, and the money.
    pub(super) fn end(&mut self, case: &Case, played: &Played) -> Result<(), Failure> {
        self.page.heading("The end");
        self.page.text.push_str(&picture::of_case(case, None));
        self.page.gap();
        suspects::ranking(case, &mut self.page);
        self.page.gap();
        suspects::proof(case, &[], &mut self.page);
        let fault = case.model.circuit().fault_name(played.hidden);
        let right = played
            .proven
            .as_ref()
            .is_some_and(|proven| proven.faults == [played.hidden]);
        let verdict = if right {
            "as was found"
        } else {
            "not what was found"
        };
        self.page.paragraph(
            "  ",
            &format!(
                "What was hidden in the scene: {fault}, {}; {verdict}.",
                Self::bore(case, played.hidden)
            ),
        );
        self.money(case, played)?;
        self.page.gap();
        self.page.aside("", desk::DEFERENCE);
        Ok(())
    }

    fn bore(case: &Case, fault: FaultId) -> String {
        let spec = case.model.circuit().fault_spec(fault).severity;
        spec.map_or_else(String::new, |spec| {
            format!("{} {}", spec.what, Units::severity(&spec, HIDDEN.1, HIDDEN.1))
        })
    }

    fn money(&mut self, case: &Case, played: &Played) -> Result<(), Failure> {
        let money = played.money;
        let rate = Shop::default().rate;
        let part = &case.model.circuit().parts[played.hidden.part.0];
        self.page.paragraph(
            "  ",
            &format!(
                "Checks took {}; to {} and prove it costs {:.0} more: {:.0} together, minutes at {} an hour.",
                words::minutes(money.checks),
                part.kind.repair.what,
                money.repair,
                money.checks * rate + money.repair,
                60.0 * rate
            ),
        );
        let works = case.model.circuit().works.as_ref().and_then(|works| {
            case.model
                .checks()
                .iter()
                .position(|check| check.id == works.check)
        });
        let still = works
            .map(|check| self.still(case, played.hidden, check))
            .transpose()?
            .unwrap_or_default();
        self.page.paragraph("  ", &format!("The pump that was quoted would have cost {:.0}, and the vehicle would have come back{still}.", money.quoted));
        Ok(())
    }

    /// What a new pump would not have changed.
    fn still(&self, case: &Case, fault: FaultId, check: usize) -> Result<String, Failure> {
        let spec = &case.model.checks()[check];
        let range = |faults: &[(FaultId, Option<f64>)]| {
            let expected = engine::expect(case.model, town(), faults, check, SAMPLES, 1);
            expected
                .map(|expected| self.units.range(spec, expected.percentiles))
                .map_err(|error| Failure::could_not(error, None))
        };
        let (faulty, healthy) = (range(&[(fault, Some(HIDDEN.1))])?, range(&[])?);
        Ok(format!(
            ": with this hose the rod still moves {faulty} at idle, where {healthy} is healthy"
        ))
    }

    /// Where the drawing went.
    pub(super) fn drawn(&mut self, path: &Path) {
        self.page.line(&format!(
            "The circuit with its readings is drawn in {}",
            super::shown(path)
        ));
    }
}

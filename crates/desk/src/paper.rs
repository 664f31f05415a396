//! Paper for a job: the shop's sheet and the customer's page.

use crate::again::compared;
use crate::case::Case;
use crate::desk::Held;
use crate::how;
use crate::left::left;
use crate::words;
use belief::Belief;
use circuit::Circuit;
use draw::CardGiven;
use engine::{Course, Effort, Evidence, Model};
use jiff::{Timestamp, tz::TimeZone};
use job::{Rules, Stage};
use report::{Card, Page, Sheet};
use std::collections::BTreeMap;

/// Suspects on a sheet, before and after the readings.
const SUSPECTS: usize = 6;

/// Who reads a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// The shop: everything.
    Shop,
    /// The customer.
    Customer,
}

/// How the drawing of a sheet is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawn {
    /// For a screen, with its colours in it.
    Screen,
    /// For a page whose style sheet has the colours.
    Outside,
    /// For paper.
    Printed,
}

/// The sheet of a job as it stands; its drawing as `drawn`.
pub fn sheet(held: &Held, case: &Case, reader: Reader, drawn: Drawn) -> Page {
    let nothing_read = Evidence {
        surroundings: case.evidence.surroundings,
        ..Evidence::default()
    };
    let before = engine::belief(case.model, &nothing_read, Effort::default());
    let sheet = facts(held, case, &before, drawn);
    match reader {
        Reader::Shop => report::job_sheet(&sheet),
        Reader::Customer => report::customer_sheet(&sheet),
    }
}

/// The test card of a job, its plan from here on, with the vehicle, the date and who works on it: `who`, or else who read last.
pub fn test_card(held: &Held, case: &Case, course: &Course, who: &str) -> Card {
    let last = || held.job.readings.last().map_or("", |last| &last.who);
    let job = &held.job;
    let invented = if job.intake.invented { " (invented)" } else { "" };
    let given = CardGiven {
        vehicle: format!("job {}: {}{invented}", held.number, job.intake.vehicle.words),
        odometer: job
            .odometer_km
            .map_or_else(String::new, |km| format!("{km:.0} km")),
        date: Timestamp::now()
            .to_zoned_datetime(TimeZone::system())
            .strftime("%Y-%m-%d")
            .to_string(),
        by: if who.is_empty() { last() } else { who }.to_owned(),
    };
    let svg = crate::course::test_card(case, course, &given);
    Card::new(format!("Test card, job {}", held.number), svg)
}

fn drawing(circuit: &Circuit, notes: &draw::Notes, sheet: draw::Sheet) -> String {
    let style = draw::Style {
        sheet,
        ..draw::Style::default()
    };
    draw::svg(&draw::layout(circuit), circuit, notes, &style)
}

/// Wide enough for most circuits, and narrow enough that the smallest words are 7 pt high on a sheet of A4.
const PAPER: u32 = 780;

/// A circuit drawn for paper: black on white, parted into bands where it is too wide for a sheet.
fn printed_drawing(circuit: &Circuit, notes: &draw::Notes) -> String {
    let style = draw::Style {
        theme: draw::Theme::Print,
        width: Some(PAPER),
        ..draw::Style::default()
    };
    draw::svg(&draw::layout(circuit), circuit, notes, &style)
}

fn facts<'h>(held: &'h Held, case: &Case, before: &Belief, drawn: Drawn) -> Sheet<'h> {
    let circuit = case.model.circuit();
    let notes = engine::notes(case.model, &case.belief, &case.readings(), None);
    let rules = Rules::us_light();
    let watch = held.job.watch(&rules);
    let described = &held.job.intake.circuit;
    Sheet {
        number: held.number.to_string(),
        job: &held.job,
        title: circuit.title.clone(),
        drawing: match drawn {
            Drawn::Printed => printed_drawing(circuit, &notes),
            Drawn::Screen => drawing(circuit, &notes, draw::Sheet::default()),
            Drawn::Outside => drawing(circuit, &notes, draw::Sheet::Outside),
        },
        suspects_before: suspects(circuit, before),
        suspects_after: suspects(circuit, &case.belief),
        reasons: reasons(case),
        cautions: cautions(held, case.model),
        compared: compared(held, case),
        stands: if held.job.stage == Stage::Closed {
            Vec::new()
        } else {
            left(held, Some(case), &|at| format!("on {}", on(at)))
        },
        words: spoken(case.model),
        watch: watch.map(|watch| (rules, watch)),
        typical: engine::shipped_called(&described.name)
            .is_some_and(|shipped| shipped.text == described.text),
        zone: TimeZone::system(),
    }
}

/// A time as the sheet says it.
fn on(at: Timestamp) -> String {
    at.to_zoned_datetime(TimeZone::system())
        .strftime("%Y-%m-%d %H:%M")
        .to_string()
}

fn suspects(circuit: &Circuit, belief: &Belief) -> Vec<(String, f64)> {
    let likeliest = belief.suspects().iter().take(SUSPECTS);
    likeliest
        .map(|suspect| (words::suspect(circuit, suspect), suspect.probability))
        .collect()
}

/// One sentence per reading: what it speaks for and against.
fn reasons(case: &Case) -> Vec<(String, String)> {
    let told = crate::reasons(case).iter();
    told.map(|told| (told.read.clone(), told.says.clone())).collect()
}

/// What can hurt during the checks that were made and the repairs, each once.
fn cautions(held: &Held, model: &Model) -> Vec<(String, String)> {
    let circuit = model.circuit();
    let made = held.job.readings.iter().map(|reading| &reading.check);
    let checks = made.filter_map(|id| model.checks().iter().find(|check| check.id == *id));
    let mut all: Vec<&circuit::Caution> = checks.flat_map(|check| how::cautions(circuit, check)).collect();
    for repair in &held.job.repairs {
        let part = circuit.parts.iter().position(|part| part.id == repair.part);
        all.extend(
            part.into_iter()
                .flat_map(|part| how::cautions_of_work(circuit, circuit::PartId(part))),
        );
    }
    let mut told = Vec::new();
    for caution in all {
        let sentence = (caution.hazard.to_owned(), caution.precaution.to_owned());
        if !told.contains(&sentence) {
            told.push(sentence);
        }
    }
    told
}

/// Words for the ids of parts, faults and checks.
fn spoken(model: &Model) -> BTreeMap<String, String> {
    let circuit = model.circuit();
    let parts = (0..circuit.parts.len()).map(|part| {
        let id = circuit::PartId(part);
        (circuit.parts[part].id.clone(), words::part(circuit, id))
    });
    let faults = circuit.faults().into_iter().map(|(fault, _)| {
        let spec = &circuit.fault_spec(fault);
        (
            circuit.fault_name(fault),
            format!("{}: {}", words::part(circuit, fault.part), spec.what),
        )
    });
    let checks = model.checks().iter().map(|check| {
        let words = format!(
            "{}, {}, {}",
            words::place(circuit, check),
            words::manner(check),
            words::condition(circuit, check)
        );
        (check.id.clone(), words)
    });
    parts.chain(faults).chain(checks).collect()
}

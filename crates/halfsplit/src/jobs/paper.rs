//! The job sheet and the customer's page.

use super::again;
use super::args::Report as Wanted;
use super::bench::{case, model};
use super::desk::Held;
use crate::case::{Case, Manner};
use crate::failure::Failure;
use crate::how;
use crate::page::{Answer, Page, Screen};
use crate::picture;
use crate::words;
use ::job::{Rules, Stage};
use belief::Belief;
use circuit::Circuit;
use draw::CardGiven;
use engine::{Evidence, Model};
use jiff::{Timestamp, tz::TimeZone};
use report::Sheet;
use std::collections::BTreeMap;
use std::time::Duration;

/// Suspects on a sheet, before and after the readings.
const SUSPECTS: usize = 6;

/// How long a plan for a card is looked for, as for a plan on its own.
const PLANNING: Duration = Duration::from_secs(2);

/// Writes one of them, to a file or to standard output.
pub(crate) fn report(held: &Held, wanted: &Wanted, who: &str, manner: Manner) -> Result<Answer, Failure> {
    let model = model(held)?;
    let (case, mut err) = case(held, &model, manner)?;
    let paper = if wanted.card {
        if !held.job.repairs.is_empty() && held.job.stage != Stage::Checking {
            err.push_str(
                "warning: the job is repaired; the card is the plan as it stood after its readings\n",
            );
        }
        Paper::Card(card(held, &case, who))
    } else {
        let nothing_read = Evidence {
            surroundings: case.evidence.surroundings,
            ..Evidence::default()
        };
        let before = engine::belief(&model, &nothing_read, engine::Effort::default());
        let printed = wanted.pdf || wanted.out.as_deref().is_some_and(crate::pdf::is_wanted);
        let sheet = sheet(held, &case, &before, printed, manner);
        Paper::Page(if wanted.customer {
            report::customer_sheet(&sheet)
        } else {
            report::job_sheet(&sheet)
        })
    };
    let out = match &wanted.out {
        Some(file) => {
            let written = if wanted.pdf || crate::pdf::is_wanted(file) {
                paper.pdf()?
            } else {
                paper.html().into_bytes()
            };
            crate::files::write(file, written)?;
            format!("{}\n", file.display())
        }
        None => paper.html(),
    };
    Ok(Answer { out, err })
}

/// What is written.
enum Paper {
    Page(report::Page),
    Card(report::Card),
}

impl Paper {
    fn html(&self) -> String {
        match self {
            Self::Page(page) => page.html(),
            Self::Card(card) => card.html(),
        }
    }

    fn pdf(&self) -> Result<Vec<u8>, Failure> {
        match self {
            Self::Page(page) => crate::pdf::page(page),
            Self::Card(card) => crate::pdf::card(card),
        }
    }
}

/// The plan from here on, with the job's vehicle, the date and who works on it.
fn card(held: &Held, case: &Case, who: &str) -> report::Card {
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
    let svg = crate::course::test_card(case, PLANNING, &given);
    report::Card::new(format!("Test card, job {}", held.number), svg)
}

fn sheet<'h>(held: &'h Held, case: &Case, before: &Belief, printed: bool, manner: Manner) -> Sheet<'h> {
    let circuit = case.model.circuit();
    let notes = engine::notes(case.model, &case.belief, &case.readings(), None);
    let rules = Rules::us_light();
    let watch = held.job.watch(&rules);
    let described = &held.job.intake.circuit;
    Sheet {
        number: held.number.to_string(),
        job: &held.job,
        title: circuit.title.clone(),
        drawing: if printed {
            picture::printed(circuit, &notes)
        } else {
            picture::svg(circuit, &notes)
        },
        suspects_before: suspects(circuit, before),
        suspects_after: suspects(circuit, &case.belief),
        reasons: reasons(case),
        cautions: cautions(held, case.model),
        compared: again::compared(held, case, manner),
        stands: if held.job.stage == Stage::Closed {
            Vec::new()
        } else {
            super::tell::left(held, Some(case), &|at| format!("on {}", on(at)))
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
fn reasons(case: &Case) -> Vec<String> {
    // Wider than any sentence, so that each stays one line.
    let mut page = Page::new(Screen {
        width: usize::MAX,
        ascii: false,
    });
    crate::suspects::reasons(case, &mut page);
    let lines = anstream::adapter::strip_str(&page.text).to_string();
    lines.lines().map(|line| line.trim().to_owned()).collect()
}

/// What can hurt during the checks that were made and the repairs, each once.
fn cautions(held: &Held, model: &Model) -> Vec<String> {
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
        let sentence = format!("{}: {}", caution.hazard, caution.precaution);
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

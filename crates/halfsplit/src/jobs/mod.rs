//! `halfsplit job`: a job from intake to closing, one step a call, everything written down before it is answered.

pub(crate) mod args;
mod bench;
pub(crate) mod desk;
mod door;
mod list;
pub(crate) mod offer;
mod paper;
mod proof;
mod record;
mod steps;
mod tell;
mod walk;

use crate::case::Manner;
use crate::failure::Failure;
use crate::page::Answer;
use args::Step;
use desk::Desk;

/// Runs one step.
pub(crate) fn run(arguments: &args::Job, manner: Manner) -> Result<Answer, Failure> {
    if let Step::Move { to } = &arguments.step {
        return record::move_to(arguments.database.as_deref(), to, manner);
    }
    let mut desk = desk::at(arguments.database.as_deref(), &arguments.who)?;
    step(&mut desk, &arguments.step, manner)
}

fn step(desk: &mut Desk, step: &Step, manner: Manner) -> Result<Answer, Failure> {
    match step {
        Step::New(new) => {
            let (events, err) = door::events(new)?;
            let held = desk.begin(events)?;
            let mut answer = tell::job(&held, manner)?;
            answer.err.insert_str(0, &err);
            Ok(answer)
        }
        Step::List { words, stage, limit } => list::list(desk, words, stage.as_deref(), *limit, manner),
        Step::Show { job } => tell::job(&desk.job(job)?, manner),
        Step::Next { job } => bench::next(&desk.job(job)?, manner),
        Step::Read {
            job,
            readings,
            instrument,
            minutes,
        } => {
            let held = desk.job(job)?;
            let (held, err) = bench::read(desk, &held, readings, instrument.as_deref(), *minutes)?;
            let mut answer = bench::next(&held, manner)?;
            answer.err.insert_str(0, &err);
            Ok(answer)
        }
        Step::Quote { job, asked } => {
            let held = desk.job(job)?;
            offer::run(desk, &held, asked, manner)
        }
        Step::Report(wanted) => {
            let held = desk.job(&wanted.job)?;
            paper::report(&held, wanted, &desk.who, manner)
        }
        Step::Export { file } => record::export(desk, file.as_deref()),
        Step::Import { file } => record::import(desk, file, manner),
        Step::Work { job } => walk::through(desk, job, manner),
        Step::ProveCause { job, faults, by_hand } => {
            let held = desk.job(job)?;
            let event = bench::proven(&held, faults, by_hand.as_deref())?;
            let held = desk.write(&held, vec![event])?;
            tell::job(&held, manner)
        }
        Step::Prove(prove) => {
            let held = desk.job(&prove.job)?;
            let event = match (&prove.reading, &prove.by_hand) {
                (_, Some(reason)) => ::desk::proven_by_hand(reason),
                (Some(reading), None) => proof::event(&held, reading, prove.good, prove.bad, manner)?,
                (None, None) => return proof::checks(&held, manner),
            };
            let held = desk.write(&held, vec![event])?;
            tell::job(&held, manner)
        }
        Step::Drive {
            job,
            recorded,
            ran,
            similar,
            words,
        } => {
            let held = desk.job(job)?;
            let bytes = crate::files::bytes(&recorded.file, "recording", crate::drives::LARGEST)?;
            let given = ::desk::DriveGiven {
                bytes: &bytes,
                name: &called(&recorded.file),
                columns: &recorded.columns,
                monitor_ran: *ran,
                similar: similar.then_some(true),
                words,
            };
            let taken = ::desk::give_drive(desk, &held, &given)?;
            let mut answer = tell::job(&taken.held, manner)?;
            answer.err.insert_str(0, &(taken.said.join("\n") + "\n"));
            Ok(answer)
        }
        other => {
            let held = desk.job(steps::job_of(other))?;
            let (events, err) = steps::events(desk, &held, other, manner)?;
            let held = desk.write(&held, events)?;
            let mut answer = tell::job(&held, manner)?;
            answer.err.insert_str(0, &err);
            Ok(answer)
        }
    }
}

/// A file's name without its folders: those are the device's.
fn called(file: &std::path::Path) -> String {
    file.file_name().map_or_else(
        || file.display().to_string(),
        |name| name.to_string_lossy().into_owned(),
    )
}

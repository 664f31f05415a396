//! The commands, each a function from arguments to an answer.

mod describe;
mod draw;
pub(crate) mod expect;
mod review;
mod sequence;
mod settings;

use crate::args::{Arguments, Command, Suspects};
use crate::case::{self, Case, Manner};
use crate::failure::Failure;
use crate::page::{Answer, Screen};
use crate::show::Units;
use serde::Serialize;

/// Runs what the arguments ask for.
pub(crate) fn run(arguments: Arguments) -> Result<Answer, Failure> {
    let (remembered, warning) = crate::settings::units();
    let manner = Manner {
        json: arguments.manner.json,
        units: Units(arguments.manner.units.unwrap_or(remembered)),
        screen: Screen::of(arguments.manner.ascii),
    };
    let mut answer = command(arguments.command, manner)?;
    if let Some(warning) = warning.filter(|_| arguments.manner.units.is_none()) {
        answer.err.insert_str(0, &format!("warning: {warning}\n"));
    }
    Ok(answer)
}

fn command(command: Option<Command>, manner: Manner) -> Result<Answer, Failure> {
    match command {
        None => Ok(settings::welcome()),
        Some(Command::Demo(demo)) => crate::demo::run(&demo, manner),
        Some(Command::Circuits(wanted)) if wanted.check => crate::circuits_check::run(manner),
        Some(Command::Circuits(wanted)) => crate::circuits::search(&wanted, manner),
        Some(Command::Describe(describe)) if describe.review => review::run(&describe, manner),
        Some(Command::Describe(describe)) => describe::run(&describe.circuit, manner),
        Some(Command::Expect(expect)) => expect::run(&expect, manner),
        Some(Command::Suspects(suspects)) => suspects_of(&suspects, manner),
        Some(Command::Practice(practice)) => crate::practice::run(&practice, manner),
        Some(Command::Plan(plan)) => crate::course::run(&plan, manner),
        Some(Command::Draw(draw)) => draw::run(&draw, manner),
        Some(Command::Sequence(sequence)) => sequence::run(&sequence, manner),
        Some(Command::Job(job)) => crate::jobs::run(&job, manner),
        Some(Command::Drive(drive)) => crate::drives::run(&drive, manner),
        Some(Command::Fleet(wanted)) => crate::fleet::run(&wanted, manner),
        Some(Command::Serve(serve)) => crate::serve::run(&serve, manner.screen),
        Some(Command::Learnt(learnt)) => crate::learnt::run(&learnt, manner),
        Some(Command::Shop(charges)) => crate::jobs::offer::charges::run(&charges, manner),
        Some(Command::Units { system }) => settings::units(system, manner),
        Some(Command::Completions { shell }) => Ok(settings::completions(shell)),
        Some(Command::Man) => settings::manual(),
        Some(Command::Other(words)) => other(&words, manner),
    }
}

fn suspects_of(arguments: &Suspects, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(&arguments.circuit)?;
    let (evidence, warnings) = case::evidence(&opened.model, &arguments.taken)?;
    let case = Case::new(&opened.model, evidence, manner);
    let outlook = engine::outlook(&case.belief);
    let next = case.next(&outlook);
    let out = if manner.json {
        json(&::desk::told(&case, &next))?
    } else {
        crate::suspects::text(&case, &outlook, &next)
    };
    Ok(Answer {
        out,
        err: opened.warnings + &warnings,
    })
}

/// A word that is no command: a code typed alone is understood.
fn other(words: &[String], manner: Manner) -> Result<Answer, Failure> {
    let word = words.first().map_or("", String::as_str);
    if case::is_code(word) {
        return crate::circuits::from_code(word, manner);
    }
    let commands = [
        "demo",
        "circuits",
        "describe",
        "expect",
        "suspects",
        "practice",
        "plan",
        "draw",
        "sequence",
        "job",
        "drive",
        "fleet",
        "serve",
        "learnt",
        "shop",
        "units",
        "completions",
        "man",
    ];
    let hint = match diag::nearest(word, commands) {
        Some(near) => format!("did you mean `halfsplit {near}`?"),
        None if engine::shipped_called(word).is_some() => format!("halfsplit suspects {word}"),
        None => "halfsplit --help  lists the commands".to_owned(),
    };
    Err(Failure::bad_input(
        format!("there is no command `{word}`"),
        Some(hint),
    ))
}

/// A value as JSON, ending in a newline.
pub(crate) fn json(value: &impl Serialize) -> Result<String, Failure> {
    let text = serde_json::to_string_pretty(value).map_err(|error| no_json(&error))?;
    Ok(text + "\n")
}

/// A piece of an answer in JSON, on one line.
pub(crate) fn compact(value: &(impl Serialize + ?Sized)) -> Result<String, Failure> {
    serde_json::to_string(value).map_err(|error| no_json(&error))
}

fn no_json(error: &serde_json::Error) -> Failure {
    Failure::could_not(format!("the answer has no JSON form: {error}"), None)
}

//! Practice: many jobs at once as a table or JSON, or one at the prompt.

mod ending;
mod json;
mod places;
mod prompt;
mod sitting;
mod table;

use crate::args::Practice;
use crate::case::{self, Manner, Opened};
use crate::commands;
use crate::failure::Failure;
use crate::page::Answer;
use engine::practice::{Contest, contest, contestants};
use engine::{Model, Shop};

/// Seed of many jobs where none is given.
const SEED: u64 = 1;

/// The strategy that is ours.
const OURS: &str = "plan";

/// Plays.
pub(crate) fn run(arguments: &Practice, manner: Manner) -> Result<Answer, Failure> {
    let opened = opened(arguments)?;
    let warnings = opened.iter().map(|opened| opened.warnings.as_str()).collect();
    match arguments.jobs {
        Some(jobs) => many(&opened, jobs, arguments.seed.unwrap_or(SEED), manner, warnings),
        None if manner.json => {
            let hint = "add for instance --jobs 200";
            Err(Failure::bad_input(
                "JSON is for many jobs at once",
                Some(hint.to_owned()),
            ))
        }
        None => alone(&opened, arguments.seed, manner, warnings),
    }
}

/// The circuits that were named.
fn opened(arguments: &Practice) -> Result<Vec<Opened>, Failure> {
    match &arguments.circuit {
        Some(name) => Ok(vec![case::open(name)?]),
        None => engine::shipped()
            .iter()
            .map(|shipped| case::open(shipped.name))
            .collect(),
    }
}

/// One job at the prompt.
fn alone(opened: &[Opened], seed: Option<u64>, manner: Manner, err: String) -> Result<Answer, Failure> {
    let Some(opened) = opened.first() else {
        return Err(Failure::could_not("there is no circuit", None));
    };
    prompt::play(&opened.model, seed.unwrap_or_else(another), manner)?;
    Ok(Answer {
        err,
        ..Answer::default()
    })
}

/// A seed that nobody chose: short enough to be typed again.
fn another() -> u64 {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    since.map_or(SEED, |since| 1 + since.as_secs() * 7919 % 9973)
}

/// Many jobs at once.
fn many(opened: &[Opened], jobs: u32, seed: u64, manner: Manner, err: String) -> Result<Answer, Failure> {
    let models: Vec<&Model> = opened.iter().map(|opened| &opened.model).collect();
    let count = usize::try_from(jobs).unwrap_or(usize::MAX);
    let results: Contest = contest(&models, Shop::default(), count, seed, &contestants());
    let out = if manner.json {
        commands::json(&json::answer(&results, count, seed))?
    } else {
        table::text(&results, count, seed, manner.screen)
    };
    Ok(Answer { out, err })
}

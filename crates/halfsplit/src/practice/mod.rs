//! Practice: many jobs at once as a table or JSON, or one at the prompt.

mod json;
mod table;

use crate::args::Practice;
use crate::commands;
use crate::failure::Failure;
use crate::job::{self, Manner, Opened};
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
        None => Err(Failure::bad_input("say how many: --jobs N", None)),
    }
}

/// The circuits that were named.
fn opened(arguments: &Practice) -> Result<Vec<Opened>, Failure> {
    match &arguments.circuit {
        Some(name) => Ok(vec![job::open(name)?]),
        None => engine::shipped()
            .iter()
            .map(|shipped| job::open(shipped.name))
            .collect(),
    }
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

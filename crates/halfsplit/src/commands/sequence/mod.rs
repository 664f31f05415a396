//! A plan for an abstract table: which test or repair comes when.
//!
//! The table is read and planned by `plan`; here stand the file, the clock, and the words.

mod json;
mod steps;
mod text;

use crate::args::Sequence as Arguments;
use crate::case::Manner;
use crate::failure::Failure;
use crate::files::{self, LARGEST_TABLE};
use crate::findings;
use crate::page::Answer;
use crate::patience::{Limit, Patience};
use diag::Source;
use plan::{Sequence, Table, TooLong};
use std::path::Path;

/// Runs `halfsplit sequence`.
pub(crate) fn run(arguments: &Arguments, manner: Manner) -> Result<Answer, Failure> {
    let (name, text) = if arguments.file == Path::new("-") {
        (
            "standard input".to_owned(),
            files::standard_input("table", LARGEST_TABLE)?,
        )
    } else {
        let text = files::text_within(&arguments.file, "table", LARGEST_TABLE)?;
        (arguments.file.display().to_string(), text)
    };
    let (table, found) = plan::read_table(&name, &text, arguments.scale_priors);
    let err = findings::accepted(&Source::new(name.as_str(), text), &found)?;
    let table = table.ok_or_else(|| Failure::could_not(format!("`{name}` cannot be used"), None))?;
    let sequence = planned(&table, Limit::of(arguments.time, arguments.nodes))?;
    let out = if manner.json {
        json::written(&table, &sequence)?
    } else {
        text::written(&table, &sequence, manner.screen)
    };
    Ok(Answer { out, err })
}

/// The best plan found within the limit.
fn planned(table: &Table, limit: Limit) -> Result<Sequence, Failure> {
    let mut patience = Patience::new(limit);
    let sequence = plan::sequence(table, &mut |progress| patience.goes_on(progress));
    patience.end();
    sequence.map_err(|TooLong { uncertain_tests }| {
        let message =
            format!("no plan with {uncertain_tests} tests without a certain outcome can be written down");
        let hint = "each doubles the plan; add a `wrong_cost`, so that it may stop before all are made";
        Failure::could_not(message, Some(hint.to_owned()))
    })
}

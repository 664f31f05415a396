//! The plan of a whole job: as text, as JSON, as a test card to print.

mod text;

use crate::args::Plan;
use crate::case::{self, Case, Manner};
use crate::commands::json as written;
use crate::failure::Failure;
use crate::page::Answer;
use crate::patience::{Limit, Patience};
use diag::nearest;
use draw::CardGiven;
use engine::{Band, Course, CourseBranch, Effort, Haste};
use std::fmt::Write as _;
use std::time::Duration;

/// Times below which the first answer is wanted, and a good one rather than the last per cent.
const AT_ONCE: Duration = Duration::from_millis(200);
const SOON: Duration = Duration::from_millis(800);

/// Plans a job.
pub(crate) fn run(arguments: &Plan, manner: Manner) -> Result<Answer, Failure> {
    let to_output = arguments
        .card
        .as_ref()
        .is_some_and(|path| path.as_os_str() == "-");
    if to_output && manner.json {
        return Err(Failure::bad_input(
            "`--json` and `--card -` both want standard output",
            Some("write the card to a file, for instance --card card.svg, or leave out --json".to_owned()),
        ));
    }
    let opened = case::open(&arguments.circuit)?;
    let (evidence, warnings) = case::evidence(&opened.model, &arguments.taken)?;
    let case = Case::with(&opened.model, evidence, manner, Effort::default());
    let instead = arguments
        .instead
        .as_deref()
        .map(|id| check(&case, id))
        .transpose()?;
    let course = planned(&case, Limit::of(arguments.time, arguments.nodes), instead);
    let mut answer = Answer {
        out: String::new(),
        err: opened.warnings + &warnings,
    };
    if to_output {
        answer.out = desk::course::test_card(&case, &course, &CardGiven::default());
        return Ok(answer);
    }
    answer.out = if manner.json {
        written(&desk::course::told(&case, &course, instead))?
    } else {
        text::text(&case, &course, instead)
    };
    if let Some(path) = arguments.card.as_ref().filter(|_| !to_output) {
        let svg = desk::course::test_card(&case, &course, &CardGiven::default());
        if crate::pdf::is_wanted(path) {
            let card = report::Card::new("Test card", svg);
            crate::files::write(path, crate::pdf::card(&card)?)?;
        } else {
            crate::files::write(path, svg)?;
        }
        if !manner.json {
            let _ = writeln!(answer.out, "Test card in {}", path.display());
        }
    }
    Ok(answer)
}

/// Looks for the plan of a case until `limit`, showing how far it is where somebody looks.
pub(crate) fn planned(case: &Case, limit: Limit, instead: Option<usize>) -> Course {
    let haste = match limit {
        Limit::Time(time) if time < AT_ONCE => Haste::AtOnce,
        Limit::Time(time) if time < SOON => Haste::Soon,
        Limit::Time(_) | Limit::Nodes(_) => Haste::InTime,
    };
    let mut patience = Patience::new(limit);
    let course = desk::course::planned(case, haste, instead, &mut |progress| patience.goes_on(progress));
    patience.end();
    course
}

/// The check called `id`.
fn check(case: &Case, id: &str) -> Result<usize, Failure> {
    if let Some(check) = case.model.check(id) {
        return Ok(check);
    }
    let ids = case.model.checks().iter().map(|check| check.id.as_str());
    let hint = nearest(id, ids).map(|near| format!("did you mean `{near}`?"));
    let name = &case.model.circuit().name;
    let list = format!("halfsplit describe {name}  lists the checks");
    Err(Failure::bad_input(
        format!("there is no check `{id}`"),
        Some(hint.unwrap_or(list)),
    ))
}

fn bands_of(branches: &[CourseBranch]) -> Vec<Band> {
    branches.iter().map(|branch| branch.band).collect()
}

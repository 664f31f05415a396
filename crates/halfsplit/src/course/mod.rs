//! The plan of a whole job: as text, as JSON, as a test card to print.

mod bands;
mod card;
mod json;
mod outline;
mod text;

use crate::args::Plan;
use crate::case::{self, Case, Manner};
use crate::commands::json as written;
use crate::failure::Failure;
use crate::page::Answer;
use crate::patience::{Limit, Patience};
use diag::nearest;
use draw::CardGiven;
use engine::{Band, Course, CourseBranch, Effort, Haste, Question, Shop};
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
        answer.out = card::svg(&case, &course, &CardGiven::default());
        return Ok(answer);
    }
    answer.out = if manner.json {
        written(&json::json(&case, &course, instead))?
    } else {
        text::text(&case, &course, instead)
    };
    if let Some(path) = arguments.card.as_ref().filter(|_| !to_output) {
        let svg = card::svg(&case, &course, &CardGiven::default());
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

/// The test card of a case, looked for that long, with what is `given` on its lines.
pub(crate) fn test_card(case: &Case, time: Duration, given: &CardGiven) -> String {
    card::svg(case, &planned(case, Limit::Time(time), None), given)
}

fn planned(case: &Case, limit: Limit, instead: Option<usize>) -> Course {
    let unit = |check: &circuit::Check| bands::unit(case.units, check);
    let question = Question {
        haste: match limit {
            Limit::Time(time) if time < AT_ONCE => Haste::AtOnce,
            Limit::Time(time) if time < SOON => Haste::Soon,
            Limit::Time(_) | Limit::Nodes(_) => Haste::InTime,
        },
        unit: &unit,
        instead,
    };
    let mut patience = Patience::new(limit);
    let course = engine::course(
        &case.belief,
        &case.evidence,
        &Shop::default(),
        &case.bay,
        &question,
        &mut |progress| patience.goes_on(progress),
    );
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

/// The figures worth knowing, each with its name.
fn figures(course: &Course, rate: f64) -> Vec<(String, String)> {
    let gap = 1.0 - course.lower_bound / course.expected_cost;
    let bound = if course.optimal {
        format!(
            "{:.0}; this plan is the best over these bands",
            course.lower_bound
        )
    } else {
        format!(
            "{:.0} whatever the plan; the gap is {:.0} %",
            course.lower_bound,
            100.0 * gap
        )
    };
    let hourly = 60.0 * rate;
    vec![
        (
            "Expected".to_owned(),
            format!(
                "{:.0} until a proven repair: {:.0} minutes at {hourly:.0} an hour and {:.0} for parts",
                course.expected_cost, course.expected_minutes, course.expected_price
            ),
        ),
        ("At least".to_owned(), bound),
        (
            "Parts first".to_owned(),
            format!("{:.0}, the most frequent part renewed first", course.parts_first),
        ),
    ]
}

/// What is done to a part: `renew the hose (source-line)`.
fn renewed(circuit: &circuit::Circuit, part: circuit::PartId) -> String {
    let own = &circuit.parts[part.0];
    format!("{} ({})", own.kind.repair.what, own.id)
}

fn bands_of(branches: &[CourseBranch]) -> Vec<Band> {
    branches.iter().map(|branch| branch.band).collect()
}

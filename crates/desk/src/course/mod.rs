//! The plan of a whole job from here on, for whoever shows it: looked for, in words, as numbered steps, as a test card.

mod bands;
mod card;
mod outline;
mod told;

pub use bands::in_words;
pub use card::test_card;
pub use outline::{Outline, Written};
pub use told::{BranchTold, InsteadTold, PlanTold, StepTold, SuspectAfter, told};

use crate::case::Case;
use crate::words;
use circuit::PartId;
use engine::{Course, CourseBranch, CourseStep, Haste, Progress, Question, Shop};

/// Looks for the plan of a case as long as `goes_on` says, with `haste`; `instead` is a check whose cost as the first one is
/// wanted too.
pub fn planned(
    case: &Case,
    haste: Haste,
    instead: Option<usize>,
    goes_on: &mut dyn FnMut(&Progress) -> bool,
) -> Course {
    let unit = |check: &circuit::Check| bands::unit(case.units, check);
    let question = Question {
        haste,
        unit: &unit,
        instead,
    };
    engine::course(
        &case.belief,
        &case.evidence,
        &Shop::default(),
        &case.bay,
        &question,
        &mut |progress| goes_on(progress),
    )
}

/// The figures worth knowing, each with its name.
pub fn figures(course: &Course, rate: f64) -> Vec<(String, String)> {
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
pub fn renewed(circuit: &circuit::Circuit, part: circuit::PartId) -> String {
    let own = &circuit.parts[part.0];
    format!("{} ({})", own.kind.repair.what, own.id)
}

/// The step in a few words.
pub fn action(case: &Case, step: &CourseStep) -> String {
    let circuit = case.model.circuit();
    match step {
        CourseStep::Check { check, .. } => case.model.checks()[*check].id.clone(),
        CourseStep::Renew { part, .. } => renewed(circuit, *part),
        CourseStep::Beyond { .. } => "look beyond this circuit".to_owned(),
    }
}

/// Who is left in a branch, the likeliest first: `pump 71 %, hose 20 %`.
pub fn suspects(circuit: &circuit::Circuit, branch: &CourseBranch) -> String {
    let name = |part: Option<PartId>| part.map_or("cause beyond", |part| circuit.parts[part.0].id.as_str());
    let list = branch.suspects.iter().take(3);
    let named: Vec<String> = list
        .map(|(part, share)| format!("{} {}", name(*part), words::percent(*share)))
        .collect();
    if named.is_empty() {
        "nothing stands out".to_owned()
    } else {
        named.join(", ")
    }
}

/// `26 of 100`.
pub fn out_of_100(probability: f64) -> String {
    match 100.0 * probability {
        p if p < 0.95 => "under 1 of 100".to_owned(),
        p => format!("{p:.0} of 100"),
    }
}

//! A plan as JSON. Field names are a contract.

use super::bands_of;
use crate::case::Case;
use desk::course::in_words;
use engine::{Band, Course, CourseBranch, CourseStep};
use serde::Serialize;

/// The plan. Costs are in the shop's currency.
#[derive(Debug, Serialize)]
pub(super) struct Plan<'c> {
    circuit: &'c str,
    expected_cost: f64,
    lower_bound: f64,
    optimal: bool,
    expected_minutes: f64,
    expected_price: f64,
    parts_first: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    instead: Option<Instead<'c>>,
    steps: Step<'c>,
}

#[derive(Debug, Serialize)]
struct Instead<'c> {
    check: &'c str,
    costs_more: f64,
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum Step<'c> {
    Check {
        check: &'c str,
        minutes: f64,
        probability: f64,
        unit: Option<&'static str>,
        branches: Vec<Branch<'c>>,
    },
    Renew {
        replace: &'c str,
        bench_check: bool,
        minutes: f64,
        price: f64,
        probability: f64,
        cures: f64,
        #[serde(rename = "else")]
        otherwise: Option<Box<Step<'c>>>,
    },
    Beyond {
        look_beyond: bool,
        probability: f64,
        cures: f64,
        #[serde(rename = "else")]
        otherwise: Option<Box<Step<'c>>>,
    },
}

/// What follows a band: from `low` up to but not including `high`, in the step's unit; open where null.
#[derive(Debug, Serialize)]
struct Branch<'c> {
    reading: String,
    low: Option<f64>,
    high: Option<f64>,
    probability: f64,
    suspects: Vec<Suspect<'c>>,
    then: Step<'c>,
}

#[derive(Debug, Serialize)]
struct Suspect<'c> {
    /// Null: the cause lies beyond this circuit.
    part: Option<&'c str>,
    probability: f64,
}

pub(super) fn json<'c>(case: &'c Case, course: &'c Course, instead: Option<usize>) -> Plan<'c> {
    let more = instead.zip(course.instead);
    Plan {
        circuit: &case.model.circuit().name,
        expected_cost: course.expected_cost,
        lower_bound: course.lower_bound,
        optimal: course.optimal,
        expected_minutes: course.expected_minutes,
        expected_price: course.expected_price,
        parts_first: course.parts_first,
        instead: more.map(|(check, cost)| Instead {
            check: &case.model.checks()[check].id,
            costs_more: cost - course.planned_cost,
        }),
        steps: step(case, &course.first),
    }
}

fn step<'c>(case: &'c Case, from: &'c CourseStep) -> Step<'c> {
    let circuit = case.model.circuit();
    let next =
        |otherwise: &'c Option<Box<CourseStep>>| otherwise.as_ref().map(|next| Box::new(step(case, next)));
    match from {
        CourseStep::Check {
            check,
            minutes,
            probability,
            branches,
        } => {
            let spec = &case.model.checks()[*check];
            let words = in_words(case.units, spec, &bands_of(branches));
            Step::Check {
                check: &spec.id,
                minutes: *minutes,
                probability: *probability,
                unit: spec.reads.dimension().map(|dimension| dimension.si().symbol()),
                branches: branches
                    .iter()
                    .zip(words)
                    .map(|(from, words)| branch(case, from, words))
                    .collect(),
            }
        }
        CourseStep::Renew {
            part,
            bench,
            probability,
            cures,
            otherwise,
        } => {
            let own = &circuit.parts[part.0];
            Step::Renew {
                replace: &own.id,
                bench_check: *bench,
                minutes: own.repair.minutes,
                price: own.repair.price,
                probability: *probability,
                cures: *cures,
                otherwise: next(otherwise),
            }
        }
        CourseStep::Beyond {
            probability,
            cures,
            otherwise,
        } => Step::Beyond {
            look_beyond: true,
            probability: *probability,
            cures: *cures,
            otherwise: next(otherwise),
        },
    }
}

fn branch<'c>(case: &'c Case, from: &'c CourseBranch, reading: String) -> Branch<'c> {
    let (low, high) = match from.band {
        Band::Range { from, to } => (from, to),
        Band::Yes | Band::No => (None, None),
    };
    let circuit = case.model.circuit();
    Branch {
        reading,
        low,
        high,
        probability: from.probability,
        suspects: from
            .suspects
            .iter()
            .map(|(part, probability)| Suspect {
                part: part.map(|part| circuit.parts[part.0].id.as_str()),
                probability: *probability,
            })
            .collect(),
        then: step(case, &from.then),
    }
}

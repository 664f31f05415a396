//! A plan as programs are told it: the one form for the command line's JSON and the bay's interface. Names of fields are a contract.

use super::in_words;
use crate::case::Case;
use engine::{Band, Course, CourseBranch, CourseStep};
use serde::Serialize;

/// The plan. Costs are in the shop's currency.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct PlanTold {
    /// The circuit's name.
    pub circuit: String,
    /// Until a proven repair.
    pub expected_cost: f64,
    /// What no plan over these bands beats.
    pub lower_bound: f64,
    /// Whether no plan over these bands is better.
    pub optimal: bool,
    /// Of the expected cost, hands-on minutes.
    pub expected_minutes: f64,
    /// Of the expected cost, the price of parts.
    pub expected_price: f64,
    /// What it would cost to renew parts without measuring, likeliest first.
    pub parts_first: f64,
    /// What another first check would cost, if that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instead: Option<InsteadTold>,
    /// The first step, with what follows.
    pub steps: StepTold,
}

/// Another first check.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct InsteadTold {
    /// The check.
    pub check: String,
    /// Than the plan.
    pub costs_more: f64,
}

/// A step, with what follows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(untagged)]
pub enum StepTold {
    /// A check, and what follows each band of its readings.
    Check {
        /// Its id.
        check: String,
        /// Until it is read.
        minutes: f64,
        /// That it comes to this step.
        probability: f64,
        /// SI unit of the bands' ends.
        unit: Option<String>,
        /// Band by band.
        branches: Vec<BranchTold>,
    },
    /// A part is renewed.
    Renew {
        /// The part.
        replace: String,
        /// The new one is tried on the bench first.
        bench_check: bool,
        /// Hands-on.
        minutes: f64,
        /// Of the part.
        price: f64,
        /// That it comes to this step.
        probability: f64,
        /// That it cures then.
        cures: f64,
        /// What follows if it does not.
        #[cfg_attr(feature = "schema", schema(no_recursion))]
        #[serde(rename = "else")]
        otherwise: Option<Box<StepTold>>,
    },
    /// Look beyond this circuit.
    Beyond {
        /// Always.
        look_beyond: bool,
        /// That it comes to this step.
        probability: f64,
        /// That the cause lies there then.
        cures: f64,
        /// What follows if it does not.
        #[cfg_attr(feature = "schema", schema(no_recursion))]
        #[serde(rename = "else")]
        otherwise: Option<Box<StepTold>>,
    },
}

/// What follows a band: from `low` up to but not including `high`, in the step's unit; open where null.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct BranchTold {
    /// The band as a person reads it.
    pub reading: String,
    /// Where it begins.
    pub low: Option<f64>,
    /// Where it ends.
    pub high: Option<f64>,
    /// That it is read.
    pub probability: f64,
    /// What is likely then.
    pub suspects: Vec<SuspectAfter>,
    /// What follows.
    #[cfg_attr(feature = "schema", schema(no_recursion))]
    pub then: StepTold,
}

/// What is likely after a reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct SuspectAfter {
    /// Null: the cause lies beyond this circuit.
    pub part: Option<String>,
    /// How likely it is.
    pub probability: f64,
}

fn bands_of(branches: &[CourseBranch]) -> Vec<Band> {
    branches.iter().map(|branch| branch.band).collect()
}

/// A plan as programs are told it; `instead` is the check whose cost as the first one was asked.
pub fn told(case: &Case, course: &Course, instead: Option<usize>) -> PlanTold {
    let more = instead.zip(course.instead);
    PlanTold {
        circuit: case.model.circuit().name.clone(),
        expected_cost: course.expected_cost,
        lower_bound: course.lower_bound,
        optimal: course.optimal,
        expected_minutes: course.expected_minutes,
        expected_price: course.expected_price,
        parts_first: course.parts_first,
        instead: more.map(|(check, cost)| InsteadTold {
            check: case.id(check).to_owned(),
            costs_more: cost - course.planned_cost,
        }),
        steps: step(case, &course.first),
    }
}

fn step(case: &Case, from: &CourseStep) -> StepTold {
    let circuit = case.model.circuit();
    let next =
        |otherwise: &Option<Box<CourseStep>>| otherwise.as_ref().map(|next| Box::new(step(case, next)));
    match from {
        CourseStep::Check {
            check,
            minutes,
            probability,
            branches,
        } => {
            let spec = &case.model.checks()[*check];
            let words = in_words(case.units, spec, &bands_of(branches));
            StepTold::Check {
                check: spec.id.clone(),
                minutes: *minutes,
                probability: *probability,
                unit: spec
                    .reads
                    .dimension()
                    .map(|dimension| dimension.si().symbol().to_owned()),
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
            StepTold::Renew {
                replace: own.id.clone(),
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
        } => StepTold::Beyond {
            look_beyond: true,
            probability: *probability,
            cures: *cures,
            otherwise: next(otherwise),
        },
    }
}

fn branch(case: &Case, from: &CourseBranch, reading: String) -> BranchTold {
    let (low, high) = match from.band {
        Band::Range { from, to } => (from, to),
        Band::Yes | Band::No => (None, None),
    };
    let circuit = case.model.circuit();
    BranchTold {
        reading,
        low,
        high,
        probability: from.probability,
        suspects: from
            .suspects
            .iter()
            .map(|(part, probability)| SuspectAfter {
                part: part.map(|part| circuit.parts[part.0].id.clone()),
                probability: *probability,
            })
            .collect(),
        then: step(case, &from.then),
    }
}

//! The façade: one function per derived thing, from a circuit's text to the next check.
//!
//! Read from top to bottom it is the pipeline: [`load`] a description, read the [`evidence`], form the [`belief`], look
//! out over what every check would show ([`outlook`]), rank the [`next`] checks, say what is [`proven`], draw it. A
//! [`Scene`] is a vehicle with a hidden fault that can be measured instead of a real one; [`practice`] plays whole jobs on such
//! vehicles. For a job there are [`load_job`], whose odds start from what is known of the vehicle ([`history`]), and
//! [`job_evidence`]; a closed job's [`lesson`] is what it teaches the next, and [`learnt`] what many have; [`cautions`] come before a
//! step, and a [`quote`] before a repair. No file, clock or network here.

mod case;
mod cautions;
mod driven;
mod history;
mod learnt;
mod lesson;
mod library;
mod load;
pub mod practice;
mod proof;
pub mod quote;
mod readings;
mod recorded;
mod review;
mod scene;
mod sweep;
mod what_if;

pub use case::{changed, job_evidence, load_job};
pub use cautions::{cautions, cautions_of_work};
pub use driven::{NoDrive, drive_response};
pub use history::{History, Moved, NotUsed, bad_from_new, history};
pub use learnt::{Learnt, LearntKind, LearntMinutes, LearntShare, learnt};
pub use lesson::lesson;
pub use library::{Shipped, leading_from, shipped, shipped_called};
pub use load::{Loaded, kinds, load, load_bundle, load_bytes};
pub use proof::{BAR, Proven, direct, proven};
pub use quote::{Terms, TermsError, quote};
pub use readings::{Evidence, as_evidence, evidence};
pub use recorded::{DriveReading, MODULE_PRESSURE, MODULE_VOLTAGE, PULLED_PRESSURE, drive_readings};
pub use review::{Alike, Changed, Review, TOLD, TooLarge, Unusual, UnusualWhat, Would, review};
pub use scene::Scene;
pub use sweep::{Sweep, SweepFailure, sweep};
pub use what_if::{WhatIf, what_if};

pub use belief::{
    Belief, Effort, Expected, Fit, Known, Observation, Outcome, Outlook, Reason, Surroundings, Suspect,
    expect,
};
pub use physics::{Ambient, Model, SolveError};
pub use plan::{Band, Bay, Course, CourseBranch, CourseStep, NextCheck, Progress, Shop, next_checks};

use diag::Diagnostic;
use plan::Choices;

/// Samples behind a ranking of checks.
const OUTLOOK: usize = 400;

/// The belief on `model` after `evidence`.
pub fn belief<'m>(model: &'m Model, evidence: &Evidence, effort: Effort) -> Belief<'m> {
    Belief::new(model, evidence.surroundings, &evidence.observations, effort)
}

/// What every check would show, over the whole of `belief`.
pub fn outlook<'b, 'm>(belief: &'b Belief<'m>) -> Outlook<'b, 'm> {
    Outlook::new(belief, OUTLOOK)
}

/// The checks worth making next, best first; those already made or found impossible are left out. Once a cause is likely
/// enough, the checks that show it directly come first.
pub fn next(outlook: &Outlook, evidence: &Evidence, shop: &Shop, bay: &Bay) -> Vec<NextCheck> {
    let done = done(outlook.belief(), evidence);
    proof::proving_first(next_checks(outlook, shop, bay, &done), outlook, evidence)
}

/// How soon a whole plan is wanted: it decides how many samples stand behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Haste {
    /// The first answer, whatever it is.
    AtOnce,
    /// A good answer within the second.
    Soon,
    /// The last per cent counts.
    InTime,
}

impl Haste {
    fn samples(self) -> usize {
        match self {
            Self::AtOnce => 240,
            Self::Soon => OUTLOOK,
            Self::InTime => 1_000,
        }
    }
}

/// The plan of least expected cost from `belief` on until a proven repair, as good as it gets while `keep_going` says so.
pub fn course(
    belief: &Belief,
    evidence: &Evidence,
    shop: &Shop,
    bay: &Bay,
    question: &Question,
    keep_going: &mut dyn FnMut(&Progress) -> bool,
) -> Course {
    let samples = question.haste.samples();
    let outlook = Outlook::new(belief, samples);
    let fresh = Outlook::other(belief, samples);
    let done = done(belief, evidence);
    let choices = Choices {
        done: &done,
        unit: question.unit,
        instead: question.instead,
    };
    plan::course(&outlook, &fresh, shop, bay, &choices, keep_going)
}

/// What is asked of a plan.
pub struct Question<'q> {
    /// How soon it is wanted.
    pub haste: Haste,
    /// One unit of those a person reads a check in, SI, so that bands end on simple numbers.
    pub unit: &'q (dyn Fn(&circuit::Check) -> f64 + Sync),
    /// A check the person would rather make first, of which the cost is wanted.
    pub instead: Option<usize>,
}

impl std::fmt::Debug for Question<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Question")
            .field("haste", &self.haste)
            .field("instead", &self.instead)
            .finish_non_exhaustive()
    }
}

/// From this probability on a gauge is doubtful enough to be compared with a second one; before any reading it is 3 %.
const DOUBTFUL: f64 = 0.08;

/// Checks that are out of the question: made already, found impossible, or the comparison of a gauge that nothing speaks against.
fn done(belief: &Belief, evidence: &Evidence) -> Vec<usize> {
    let made = evidence.observations.iter().map(|observation| observation.check);
    let mut done: Vec<usize> = made.chain(evidence.not_done.iter().copied()).collect();
    let checks = belief.model().checks().iter().enumerate();
    let comparisons: Vec<_> = checks.filter(|(_, check)| check.level().is_some()).collect();
    if !comparisons.is_empty() {
        let doubtful = belief.doubtful_instruments();
        let doubted = |sort| {
            let usual = doubtful
                .iter()
                .filter(|(other, name, _)| *other == sort && name.is_none());
            usual.map(|(_, _, gross)| *gross).fold(0.0, f64::max) >= DOUBTFUL
        };
        let sound = comparisons
            .into_iter()
            .filter(|(_, check)| !doubted(check.instrument));
        done.extend(sound.map(|(index, _)| index));
    }
    done
}

/// What is drawn on the circuit: how suspect each part is, readings at their places, the place of the next check.
pub fn notes(
    model: &Model,
    belief: &Belief,
    readings: &[(usize, String)],
    next: Option<usize>,
) -> draw::Notes {
    let shares = belief.parts();
    let parts = shares.iter().enumerate().map(|(part, share)| draw::PartNote {
        part: circuit::PartId(part),
        share: Some(*share),
        text: None,
    });
    let joints = readings
        .iter()
        .filter_map(|(check, text)| match model.checks()[*check].place {
            circuit::Place::Port(_, joint) => Some(draw::JointNote {
                joint,
                text: format!("{text}{}", taken(model.checks()[*check].method)),
            }),
            circuit::Place::Part(_) => None,
        });
    draw::Notes {
        parts: parts.collect(),
        joints: joints.collect(),
        highlight: next.map(|check| model.checks()[check].place),
    }
}

/// How a reading was taken, where one joint can be read in two ways.
fn taken(method: circuit::Method) -> &'static str {
    match method {
        circuit::Method::Deadhead => " dead-headed",
        circuit::Method::Tee => " teed",
        circuit::Method::OpenVolts => " unplugged",
        circuit::Method::Hold => " held",
        _ => "",
    }
}

/// `true` if any finding is an error.
pub fn has_errors(findings: &[Diagnostic]) -> bool {
    findings
        .iter()
        .any(|finding| finding.severity == diag::Severity::Error)
}

//! A plan as a test card on one sheet.

use super::outline::Outline;
use super::{bands, figures, renewed};
use crate::case::Case;
use crate::how;
use crate::words::{self, DEFERENCE};
use draw::{CardAction, CardBranch, CardGiven, CardStep, CardTarget, TestCard};
use engine::{Band, Course, CourseStep, Shop};
use quantity::Dimension;
use std::fmt::Write as _;

/// Most steps tried on one sheet.
const MOST: usize = 40;
/// What stands for an outcome that the sheet has no room for.
const ASK: &str = "rare: ask the program again";
/// Where a repair that cured leads.
const WORKS: &str = "works: finish with the proof";

/// The card as SVG, with what is `given` on its lines.
pub fn test_card(case: &Case, course: &Course, given: &CardGiven) -> String {
    let make = |most| card(case, course, given, most);
    draw::test_card(&draw::fullest_card(MOST, make).unwrap_or_else(|| make(1)))
}

fn card(case: &Case, course: &Course, given: &CardGiven, most: usize) -> TestCard {
    let circuit = case.model.circuit();
    let outline = Outline::new(course, most);
    let pressure = case
        .units
        .plain(Dimension::Pressure, case.evidence.surroundings.ambient.pressure);
    let mut subtitle = format!("{}Barometer {pressure}.", codes(&circuit.codes));
    if case.evidence.observations.is_empty() {
        subtitle.push_str(" Nothing read yet.");
    } else {
        let _ = write!(subtitle, " After {} readings.", case.evidence.observations.len());
    }
    let mut foot = vec![DEFERENCE.to_owned()];
    if circuit.invented {
        foot.push("An invented scene.".to_owned());
    }
    TestCard {
        title: circuit.title.clone(),
        subtitle,
        given: given.clone(),
        facts: figures(course, Shop::default().rate),
        cautions: cautions(case, &outline),
        steps: outline
            .steps
            .iter()
            .map(|from| step(case, &outline, from))
            .collect(),
        foot,
    }
}

fn codes(codes: &[String]) -> String {
    if codes.is_empty() {
        String::new()
    } else {
        format!("{}. ", codes.join(", "))
    }
}

/// What can hurt anywhere on the card, each once.
fn cautions(case: &Case, outline: &Outline) -> Vec<String> {
    let circuit = case.model.circuit();
    let mut all: Vec<&'static circuit::Caution> = Vec::new();
    for step in &outline.steps {
        if let CourseStep::Check { check, .. } = step {
            for caution in how::cautions(circuit, &case.model.checks()[*check]) {
                if !all.contains(&caution) {
                    all.push(caution);
                }
            }
        }
    }
    all.into_iter()
        .map(|caution| format!("{}: {}", caution.hazard, caution.precaution))
        .collect()
}

fn step(case: &Case, outline: &Outline, from: &CourseStep) -> CardStep {
    match from {
        CourseStep::Check {
            check,
            minutes,
            branches,
            ..
        } => {
            let spec = &case.model.checks()[*check];
            let written = outline.written(branches);
            let bands: Vec<Band> = written.iter().map(|written| written.band).collect();
            let words = bands::in_words(case.units, spec, &bands);
            let here = from.probability();
            let alone = written.len() == 1;
            CardStep {
                action: CardAction::Check,
                heading: heading(case, *check),
                lines: vec![format!("{} · {}", spec.id, words::minutes(*minutes))],
                caution: None,
                branches: written
                    .iter()
                    .zip(words)
                    .map(|(written, words)| CardBranch {
                        words,
                        share: if alone {
                            f64::NAN
                        } else {
                            written.probability / here
                        },
                        to: written.then.map_or_else(ask, |then| target(outline, then)),
                    })
                    .collect(),
            }
        }
        CourseStep::Renew {
            part,
            bench,
            cures,
            otherwise,
            ..
        } => {
            let lines = if *bench {
                vec!["Try the new part on the bench first.".to_owned()]
            } else {
                Vec::new()
            };
            repair(
                outline,
                CardAction::Replace,
                words::capital(&renewed(case.model.circuit(), *part)),
                lines,
                (from, *cures, otherwise.as_deref()),
            )
        }
        CourseStep::Beyond { cures, otherwise, .. } => {
            let heading = "Look beyond this circuit".to_owned();
            repair(
                outline,
                CardAction::LookBeyond,
                heading,
                Vec::new(),
                (from, *cures, otherwise.as_deref()),
            )
        }
    }
}

fn repair(
    outline: &Outline,
    action: CardAction,
    heading: String,
    lines: Vec<String>,
    (from, cures, otherwise): (&CourseStep, f64, Option<&CourseStep>),
) -> CardStep {
    let cured = cures / from.probability();
    let works = if action == CardAction::Replace {
        "cured"
    } else {
        "found"
    };
    let mut branches = vec![CardBranch {
        words: works.to_owned(),
        share: cured,
        to: CardTarget::Done(WORKS.to_owned()),
    }];
    if let Some(next) = otherwise.filter(|_| from.probability() - cures > 1e-3) {
        branches.push(CardBranch {
            words: format!("not {works}"),
            share: 1.0 - cured,
            to: target(outline, next),
        });
    }
    CardStep {
        action,
        heading,
        lines,
        caution: None,
        branches,
    }
}

fn target(outline: &Outline, step: &CourseStep) -> CardTarget {
    match outline.number_of(step).filter(|_| outline.shows(step)) {
        Some(number) => CardTarget::Step(number),
        None => ask(),
    }
}

fn ask() -> CardTarget {
    CardTarget::Ask(ASK.to_owned())
}

/// What is measured where and when, in a line.
fn heading(case: &Case, check: usize) -> String {
    let spec = &case.model.checks()[check];
    let circuit = case.model.circuit();
    format!(
        "{}: {}, {}",
        words::place(circuit, spec),
        words::manner(spec),
        words::condition(circuit, spec)
    )
}

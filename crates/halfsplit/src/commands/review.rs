//! A circuit looked at for its author: what cannot be told apart or seen, what does not matter, what is unusual, and how much each
//! check shows of each part.

use crate::args::Describe;
use crate::case::{self, Manner};
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use crate::show::Units;
use crate::words;
use ::draw::{Matrix, matrix_svg, matrix_text};
use circuit::{Circuit, FaultId, PartId};
use engine::{Alike, Changed, Model, Review, Unusual, UnusualWhat, Would};
use serde::Serialize;
use std::fmt::Write as _;

#[derive(Debug, Serialize)]
struct Reviewed {
    name: String,
    samples: usize,
    alike: Vec<AlikeRow>,
    unseen_parts: Vec<String>,
    unseen_faults: Vec<String>,
    idle_parameters: Vec<String>,
    unusual: Vec<UnusualRow>,
    unsolved: Vec<UnsolvedRow>,
    sensitivity: Sensitivity,
}

#[derive(Debug, Serialize)]
struct AlikeRow {
    faults: Vec<String>,
    one_part: bool,
    best: Option<BestRow>,
    would: Option<WouldRow>,
}

#[derive(Debug, Serialize)]
struct BestRow {
    check: String,
    right: f64,
}

#[derive(Debug, Serialize)]
struct WouldRow {
    check: String,
    condition: String,
    right: f64,
    minutes: f64,
}

#[derive(Debug, Serialize)]
struct UnusualRow {
    parameter: String,
    text: String,
}

#[derive(Debug, Serialize)]
struct UnsolvedRow {
    check: String,
    fault: Option<String>,
}

#[derive(Debug, Serialize)]
struct Sensitivity {
    checks: Vec<String>,
    parts: Vec<String>,
    values: Vec<Vec<f64>>,
}

/// Reviews a circuit.
pub(crate) fn run(arguments: &Describe, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(&arguments.circuit)?;
    let model = &opened.model;
    let review = engine::review(model).map_err(|large| {
        let hint = "describe its systems one by one, each as a circuit of its own";
        Failure::could_not(
            format!("`{}` is {large}", arguments.circuit),
            Some(hint.to_owned()),
        )
    })?;
    let matrix = matrix(model, &review);
    let mut answer = Answer {
        out: String::new(),
        err: opened.warnings,
    };
    let to_output = arguments
        .drawing
        .as_ref()
        .is_some_and(|path| path.as_os_str() == "-");
    if to_output {
        answer.out = matrix_svg(&matrix);
    } else if manner.json {
        answer.out = json(&reviewed(model, &review, manner.units))?;
    } else {
        answer.out = text(model, &review, &matrix, manner);
    }
    if let Some(path) = arguments.drawing.as_ref().filter(|_| !to_output) {
        crate::files::write(path, matrix_svg(&matrix))?;
        if !manner.json {
            let _ = writeln!(answer.out, "\nDrawn in {}", path.display());
        }
    }
    Ok(answer)
}

fn matrix(model: &Model, review: &Review) -> Matrix {
    let circuit = model.circuit();
    Matrix {
        title: format!("{}: what each check shows of each part", circuit.name),
        explained: "From nothing to surely: how far the part's faults move the reading beyond what sound vehicles and instruments differ by".to_owned(),
        rows: model.checks().iter().map(|check| check.id.clone()).collect(),
        columns: circuit.parts.iter().map(|part| part.id.clone()).collect(),
        values: review.sensitivity.clone(),
    }
}

fn names(circuit: &Circuit, faults: &[FaultId]) -> Vec<String> {
    faults.iter().map(|fault| circuit.fault_name(*fault)).collect()
}

fn one_part(alike: &Alike) -> bool {
    alike.faults.windows(2).all(|pair| pair[0].part == pair[1].part)
}

fn parameter(circuit: &Circuit, part: PartId, index: usize) -> String {
    let part = &circuit.parts[part.0];
    format!("{}.{}", part.id, part.kind.parameters[index].name)
}

fn reviewed(model: &Model, review: &Review, units: Units) -> Reviewed {
    let circuit = model.circuit();
    let check = |index: usize| model.checks()[index].id.clone();
    let alike = |alike: &Alike| AlikeRow {
        faults: names(circuit, &alike.faults),
        one_part: one_part(alike),
        best: alike.best.map(|(index, right)| BestRow {
            check: check(index),
            right,
        }),
        would: alike.would.as_ref().map(|would| WouldRow {
            check: would.check.clone(),
            condition: condition(circuit, would),
            right: would.right,
            minutes: would.minutes,
        }),
    };
    Reviewed {
        name: circuit.name.clone(),
        samples: review.samples,
        alike: review.alike.iter().map(alike).collect(),
        unseen_parts: review
            .unseen_parts
            .iter()
            .map(|part| circuit.parts[part.0].id.clone())
            .collect(),
        unseen_faults: names(circuit, &review.unseen_faults),
        idle_parameters: review
            .idle
            .iter()
            .map(|(part, index)| parameter(circuit, *part, *index))
            .collect(),
        unusual: review
            .unusual
            .iter()
            .map(|unusual| UnusualRow {
                parameter: parameter(circuit, unusual.part, unusual.parameter),
                text: remarkable(circuit, unusual, units),
            })
            .collect(),
        unsolved: review
            .unsolved
            .iter()
            .map(|(index, fault)| UnsolvedRow {
                check: check(*index),
                fault: fault.map(|fault| circuit.fault_name(fault)),
            })
            .collect(),
        sensitivity: Sensitivity {
            checks: model.checks().iter().map(|check| check.id.clone()).collect(),
            parts: circuit.parts.iter().map(|part| part.id.clone()).collect(),
            values: review.sensitivity.clone(),
        },
    }
}

/// A condition that is not described, in words.
fn condition(circuit: &Circuit, would: &Would) -> String {
    let from = &circuit.conditions[would.from.0].id;
    let part = |part: PartId| &circuit.parts[part.0].id;
    match would.changed {
        Changed::AllOff => format!("as `{from}`, with no command"),
        Changed::AllOn => format!("as `{from}`, with every command fully on"),
        Changed::Off(id) => format!("as `{from}`, with `{}` commanded off", part(id)),
        Changed::On(id) => format!("as `{from}`, with `{}` commanded fully on", part(id)),
        Changed::Faster => format!("as `{from}`, at two and a half times the speed"),
        Changed::KeyOn => format!("as `{from}`, with the engine standing and the key on"),
    }
}

/// What is unusual in a value, in words.
fn remarkable(circuit: &Circuit, unusual: &Unusual, units: Units) -> String {
    let part = &circuit.parts[unusual.part.0];
    let value = part.values[unusual.parameter];
    let shown = |si: f64| {
        value
            .dimension
            .map_or_else(String::new, |dimension| units.plain(dimension, si))
    };
    let kind = part.kind.name;
    match unusual.what {
        UnusualWhat::Far(usual) => format!(
            "{}; of kind `{kind}` usual is {}",
            shown(value.typical),
            shown(usual)
        ),
        UnusualWhat::AtTheEdge(end) => {
            format!(
                "{}; close to {}, where kind `{kind}` ends",
                shown(value.typical),
                shown(end)
            )
        }
        UnusualWhat::Tolerance(usual) => format!(
            "{} within {}; of kind `{kind}` usual is within {}",
            shown(value.typical),
            shown(value.spread),
            shown(usual)
        ),
    }
}

fn text(model: &Model, review: &Review, matrix: &Matrix, manner: Manner) -> String {
    let circuit = model.circuit();
    let mut page = Page::new(manner.screen);
    page.heading(&format!("{}: {}", circuit.name, circuit.title));
    page.paragraph(
        "",
        &format!(
            "What its own physics says of it, on {} vehicles within tolerances, sound and with each fault.",
            review.samples
        ),
    );
    alike(&mut page, model, review);
    unseen(&mut page, circuit, review);
    let idle = review
        .idle
        .iter()
        .map(|(part, index)| parameter(circuit, *part, *index));
    listed(
        &mut page,
        "No reading depends on",
        "Every figure moves some reading.",
        &idle.collect::<Vec<_>>(),
    );
    let unusual = review.unusual.iter().map(|unusual| {
        format!(
            "{}: {}",
            parameter(circuit, unusual.part, unusual.parameter),
            remarkable(circuit, unusual, manner.units)
        )
    });
    listed(
        &mut page,
        "Unusual for their kind",
        "No value is unusual for its kind.",
        &unusual.collect::<Vec<_>>(),
    );
    let unsolved = review.unsolved.iter().map(|(check, fault)| {
        let with = fault.map_or_else(|| "nothing wrong".to_owned(), |fault| circuit.fault_name(fault));
        format!("{} with {with}", model.checks()[*check].id)
    });
    listed(
        &mut page,
        "Without a balance",
        "Every check finds its balance under every fault.",
        &unsolved.collect::<Vec<_>>(),
    );
    page.heading("What each check shows of each part");
    page.paragraph(
        "",
        "In tenths of the part's faults; # for all of them. Checks that show nothing are left out.",
    );
    page.gap();
    page.text
        .push_str(&matrix_text(matrix, manner.screen.width, manner.screen.ascii));
    page.text
}

fn listed(page: &mut Page, heading: &str, none: &str, items: &[String]) {
    page.heading(heading);
    if items.is_empty() {
        page.paragraph("  ", none);
    }
    for item in items {
        page.paragraph("  ", item);
    }
}

fn alike(page: &mut Page, model: &Model, review: &Review) {
    page.heading("No check tells these apart, unless a part is fitted on trial");
    let (inside, across): (Vec<&Alike>, Vec<&Alike>) = review.alike.iter().partition(|alike| one_part(alike));
    if across.is_empty() {
        page.paragraph("  ", "Faults of different parts can all be told apart.");
    }
    for alike in across {
        group(page, model, alike);
    }
    if !inside.is_empty() {
        page.heading("Nor these, each of one part: the repair is the same");
        for alike in inside {
            page.paragraph("  ", &names(model.circuit(), &alike.faults).join(", "));
        }
    }
}

fn group(page: &mut Page, model: &Model, alike: &Alike) {
    page.paragraph("  ", &names(model.circuit(), &alike.faults).join(", "));
    if let Some((check, right)) = alike.best {
        page.aside(
            "      ",
            &format!(
                "nearest: {}, right in {} of cases; a toss in 50 %",
                model.checks()[check].id,
                words::percent(right)
            ),
        );
    }
    if let Some(would) = &alike.would {
        page.paragraph(
            "      ",
            &format!(
                "would tell: {} in a condition {}: right in up to {} of cases, {} min",
                would.check,
                condition(model.circuit(), would),
                words::percent(would.right),
                quantity::round_half_away(would.minutes, 1)
            ),
        );
    }
}

fn unseen(page: &mut Page, circuit: &Circuit, review: &Review) {
    let parts: Vec<String> = review
        .unseen_parts
        .iter()
        .map(|part| circuit.parts[part.0].id.clone())
        .collect();
    listed(
        page,
        "No check shows anything of these parts",
        "Every part shows in some check.",
        &parts,
    );
    if !review.unseen_faults.is_empty() {
        listed(
            page,
            "No check shows these faults",
            "",
            &names(circuit, &review.unseen_faults),
        );
    }
}

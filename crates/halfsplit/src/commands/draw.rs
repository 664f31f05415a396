//! The circuit drawn: in the terminal, as SVG, with what was read and what is suspected.

use crate::args::Draw;
use crate::case::{self, Case, Manner};
use crate::commands::json;
use crate::failure::Failure;
use crate::page::Answer;
use crate::picture;
use ::draw::Notes;
use std::fmt::Write as _;

/// Draws a circuit.
pub(crate) fn run(arguments: &Draw, manner: Manner) -> Result<Answer, Failure> {
    let opened = case::open(&arguments.circuit)?;
    let circuit = opened.model.circuit();
    let (notes, warnings) = notes(arguments, &opened.model, manner)?;
    let mut answer = Answer {
        out: String::new(),
        err: opened.warnings + &warnings,
    };
    let to_output = arguments.out.as_ref().is_some_and(|path| path.as_os_str() == "-");
    if manner.json {
        answer.out =
            json(&serde_json::json!({ "name": circuit.name, "svg": picture::svg(circuit, &notes) }))?;
    } else if to_output {
        answer.out = picture::svg(circuit, &notes);
    } else if arguments.out.is_none() || arguments.terminal {
        answer.out = picture::terminal(circuit, &notes, manner.screen);
    }
    if let Some(path) = arguments.out.as_ref().filter(|_| !to_output) {
        crate::files::write(path, picture::svg(circuit, &notes))?;
        if !manner.json {
            let _ = writeln!(answer.out, "Drawn in {}", path.display());
        }
    }
    Ok(answer)
}

/// What is written on the drawing: nothing unless readings are given.
fn notes(arguments: &Draw, model: &engine::Model, manner: Manner) -> Result<(Notes, String), Failure> {
    let taken = &arguments.taken;
    if taken.readings.is_none() && taken.reading.is_empty() {
        return Ok((Notes::default(), String::new()));
    }
    let (evidence, warnings) = case::evidence(model, taken)?;
    let case = Case::new(model, evidence, manner);
    let outlook = engine::outlook(&case.belief);
    let next = case.next(&outlook);
    let notes = engine::notes(
        model,
        &case.belief,
        &case.readings(),
        next.first().map(|next| next.check),
    );
    Ok((notes, warnings))
}

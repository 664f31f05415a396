//! The shipped circuits, all or those that a code or words of a complaint lead to.

use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use circuit::{Circuit, Medium};
use engine::Model;
use serde::Serialize;

#[derive(Debug, Serialize)]
struct Row {
    name: String,
    title: String,
    codes: Vec<String>,
    media: Vec<&'static str>,
    symptoms: Vec<String>,
}

/// Lists circuits; without words all of them.
pub(crate) fn list(words: &[String], manner: Manner) -> Answer {
    let words: Vec<String> = words
        .iter()
        .flat_map(|text| text.split_whitespace())
        .map(str::to_lowercase)
        .collect();
    let circuits = all().into_iter().filter(|model| matches(model.circuit(), &words));
    let rows: Vec<Row> = circuits.map(|model| row(model.circuit())).collect();
    let out = if manner.json {
        json(&rows).unwrap_or_default()
    } else {
        text(&rows, &words, manner)
    };
    Answer {
        out,
        ..Answer::default()
    }
}

/// What a code typed alone leads to.
pub(crate) fn from_code(code: &str, manner: Manner) -> Result<Answer, Failure> {
    let code = code.to_ascii_uppercase();
    let answer = list(std::slice::from_ref(&code), manner);
    if engine::leading_from(&code).is_empty() {
        let hint = "search by words of the complaint: halfsplit circuits WORDS";
        return Err(Failure::bad_input(
            format!("no shipped circuit is known to set `{code}`"),
            Some(hint.to_owned()),
        ));
    }
    Ok(answer)
}

fn all() -> Vec<Model> {
    engine::shipped()
        .iter()
        .filter_map(|shipped| engine::load(shipped.name, shipped.text).model)
        .collect()
}

/// Every word must occur somewhere: a code as a whole, other words as a part.
fn matches(circuit: &Circuit, words: &[String]) -> bool {
    let mut text = format!(
        "{} {} {} {}",
        circuit.name,
        circuit.title,
        circuit.about,
        circuit.symptoms.join(" ")
    );
    text.extend(
        circuit
            .parts
            .iter()
            .flat_map(|part| [" ", part.kind.name, " ", part.what.as_deref().unwrap_or("")]),
    );
    let text = text.to_lowercase();
    words.iter().all(|word| {
        circuit.codes.iter().any(|code| code.eq_ignore_ascii_case(word)) || text.contains(word.as_str())
    })
}

fn row(circuit: &Circuit) -> Row {
    let mut media: Vec<Medium> = circuit.joints.iter().map(|joint| joint.medium).collect();
    media.sort_unstable();
    media.dedup();
    Row {
        name: circuit.name.clone(),
        title: circuit.title.clone(),
        codes: circuit.codes.clone(),
        media: media.into_iter().map(medium).collect(),
        symptoms: circuit.symptoms.clone(),
    }
}

/// A medium in a word.
pub(crate) fn medium(medium: Medium) -> &'static str {
    match medium {
        Medium::Air => "air",
        Medium::Electric => "electric",
        Medium::Rod => "rod",
    }
}

fn text(rows: &[Row], words: &[String], manner: Manner) -> String {
    let mut page = Page::new(manner.screen);
    if rows.is_empty() {
        page.line(&format!("No shipped circuit has all of: {}", words.join(" ")));
        page.line("Fewer words find more; `halfsplit circuits` lists all.");
        return page.text;
    }
    for row in rows {
        page.heading(&row.name);
        page.paragraph("  ", &row.title);
        if !row.symptoms.is_empty() {
            page.paragraph("  complaints: ", &row.symptoms.join(", "));
        }
        if !row.codes.is_empty() {
            page.aside("  codes: ", &row.codes.join(" "));
        }
    }
    page.gap();
    page.line("What to suspect first, and the first check:");
    for row in rows {
        page.line(&format!("  halfsplit suspects {}", row.name));
    }
    page.text
}

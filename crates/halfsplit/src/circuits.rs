//! The shipped circuits, all or those that a code or words of a complaint lead to.

use crate::args::Circuits;
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use circuit::{Circuit, Medium, Supplies};
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

/// Lists circuits that have everything that is wanted; all if nothing is.
pub(crate) fn search(wanted: &Circuits, manner: Manner) -> Result<Answer, Failure> {
    let code = wanted.code.as_deref().map(desk::code_of).transpose()?;
    let all = all();
    let media: Vec<String> = wanted
        .medium
        .iter()
        .map(|word| medium_called(word, &all))
        .collect::<Result<_, _>>()?;
    let words = lower_words(&wanted.words);
    let symptom = lower_words(wanted.symptom.as_slice());
    let fits = |circuit: &Circuit| {
        let complaints = circuit.symptoms.join(" ").to_lowercase();
        code.as_ref()
            .is_none_or(|code| circuit.codes.iter().any(|known| known == code))
            && media.iter().all(|medium| flows(circuit, medium))
            && symptom.iter().all(|word| complaints.contains(word.as_str()))
            && matches(circuit, &words)
    };
    let circuits = all.iter().map(Model::circuit).filter(|circuit| fits(circuit));
    let rows: Vec<Row> = circuits.map(row).collect();
    let options = code.into_iter().chain(media).chain(symptom).chain(words);
    Ok(answer(&rows, &options.collect::<Vec<_>>(), manner))
}

/// What a source supplies, by the words that a technician says for air below and above ambient.
const SUPPLIED: [(&str, Supplies); 2] = [("vacuum", Supplies::Vacuum), ("pressure", Supplies::Pressure)];

/// Whether `word` flows in `circuit`.
fn flows(circuit: &Circuit, word: &str) -> bool {
    let supplied = SUPPLIED
        .iter()
        .any(|(name, supplies)| *name == word && circuit.supplies().contains(supplies));
    supplied || circuit.joints.iter().any(|joint| medium(joint.medium) == word)
}

/// A medium as somebody typed it; none that no circuit has.
fn medium_called(word: &str, all: &[Model]) -> Result<String, Failure> {
    let word = word.trim().to_lowercase();
    let joints = all.iter().flat_map(|model| &model.circuit().joints);
    let mut names: Vec<&str> = SUPPLIED
        .iter()
        .map(|(name, _)| *name)
        .chain(joints.map(|joint| medium(joint.medium)))
        .collect();
    names.sort_unstable();
    names.dedup();
    if names.contains(&word.as_str()) {
        return Ok(word);
    }
    let hint = diag::nearest(&word, names.iter().copied()).map_or_else(
        || format!("one of {}", names.join(", ")),
        |near| format!("did you mean `{near}`?"),
    );
    Err(Failure::bad_input(
        format!("`{word}` is no medium of a circuit"),
        Some(hint),
    ))
}

fn lower_words(texts: &[String]) -> Vec<String> {
    let words = texts.iter().flat_map(|text| text.split_whitespace());
    words.map(str::to_lowercase).collect()
}

/// Lists circuits; without words all of them.
fn list(words: &[String], manner: Manner) -> Answer {
    let words = lower_words(words);
    let circuits = all().into_iter().filter(|model| matches(model.circuit(), &words));
    let rows: Vec<Row> = circuits.map(|model| row(model.circuit())).collect();
    answer(&rows, &words, manner)
}

fn answer(rows: &[Row], words: &[String], manner: Manner) -> Answer {
    let out = if manner.json {
        json(&rows).unwrap_or_default()
    } else {
        text(rows, words, manner)
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
        Medium::Liquid => "liquid",
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

//! `[circuit]` and `[prior]`: what the circuit is called, what leads to it, how often the cause lies elsewhere.

use crate::amount::{Wanted, amount};
use crate::codes;
use crate::fields::{Fields, Quoted};
use crate::model::Priors;
use crate::sheet::{Sheet, shown};
use diag::Diagnostic;
use quantity::Dimension;

/// What `[circuit]` says.
#[derive(Debug, Default)]
pub(super) struct Header {
    pub(super) title: String,
    pub(super) about: String,
    pub(super) codes: Vec<String>,
    pub(super) symptoms: Vec<String>,
    pub(super) invented: bool,
}

const KEYS: &[&str] = &["title", "about", "codes", "symptoms", "invented"];

pub(super) fn read(sheet: &mut Sheet<'_>, mut fields: Fields<'_>) -> Header {
    let mut header = Header::default();
    if let Some(title) = fields.require("title", sheet, "\"Vacuum supply\"") {
        header.title = title.words(sheet).unwrap_or_default();
    }
    if let Some(about) = fields.take("about").and_then(|field| field.text(sheet)) {
        about.text.trim().clone_into(&mut header.about);
    }
    if let Some(codes) = fields.take("codes").and_then(|field| field.texts(sheet)) {
        header.codes = codes
            .into_iter()
            .filter_map(|code| trouble_code(sheet, code))
            .collect();
    }
    if let Some(symptoms) = fields.take("symptoms").and_then(|field| field.texts(sheet)) {
        header.symptoms = symptoms
            .into_iter()
            .map(|symptom| symptom.text.trim().to_owned())
            .collect();
    }
    if let Some(invented) = fields.take("invented").and_then(|field| field.flag(sheet)) {
        header.invented = invented;
    }
    fields.finish(sheet, KEYS);
    header
}

/// A code in the form of SAE J2012: system letter, a digit 0 to 3, three hexadecimal digits.
fn trouble_code(sheet: &mut Sheet<'_>, code: Quoted<'_>) -> Option<String> {
    if is_trouble_code(code.text) {
        return Some(code.text.to_owned());
    }
    // Capitals, and the letter O for the digit 0, are what hands slip on.
    let better = code.text.trim().to_uppercase().replace('O', "0");
    let hint = if is_trouble_code(&better) {
        format!("write `{better}`")
    } else {
        "P, B, C or U, a digit 0 to 3, three hexadecimal digits: `P0299`".to_owned()
    };
    let message = format!("`{}` is not a trouble code", shown(code.text));
    let found = Diagnostic::error(codes::TROUBLE_CODE, code.span, message);
    sheet.push(found.labelled("not in the form of SAE J2012").hint(hint));
    None
}

fn is_trouble_code(text: &str) -> bool {
    match text.as_bytes() {
        [b'P' | b'B' | b'C' | b'U', b'0'..=b'3', rest @ ..] => {
            rest.len() == 3 && rest.iter().all(|byte| matches!(byte, b'0'..=b'9' | b'A'..=b'F'))
        }
        _ => false,
    }
}

pub(super) fn priors(sheet: &mut Sheet<'_>, mut fields: Fields<'_>) -> Priors {
    let mut priors = Priors::default();
    let wanted = Wanted {
        dimensions: &[Dimension::Ratio],
        range: (0.0, 0.99),
        example: "4 %",
    };
    let span = fields.span;
    let mut set = |key: &str, value: &mut f64| {
        if let Some(ratio) = fields.take(key).and_then(|field| amount(sheet, &field, &wanted)) {
            *value = ratio.si();
        }
    };
    set("nothing-wrong", &mut priors.nothing_wrong);
    set("not-listed", &mut priors.not_listed);
    set("second-fault", &mut priors.second_fault);
    fields.finish(sheet, &["nothing-wrong", "not-listed", "second-fault"]);
    if priors.nothing_wrong + priors.not_listed >= 1.0 {
        let found = Diagnostic::error(
            codes::PRIORS,
            span,
            "`nothing-wrong` and `not-listed` make 100 % or more",
        );
        sheet.push(
            found
                .labelled("nothing is left for the faults")
                .hint("a few percent each is usual: `\"4 %\"`"),
        );
    }
    priors
}

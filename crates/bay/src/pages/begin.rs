//! A new circuit from a form: its parts from the catalogue of kinds, and what they are joined to, become the text that is then
//! worked on.

use super::edit::{self, Sent};
use crate::layout::{Nav, layout};
use crate::shop::Shop;
use crate::speech::{lower, plain, said};
use axum::Form;
use axum::extract::State;
use axum::response::Html;
use circuit::{KindSpec, ParameterDomain, PortSpec};
use maud::html;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

/// Rows for parts; more are added in the text.
const ROWS: usize = 14;

/// `GET /circuits/new`
pub(crate) async fn ask() -> Html<String> {
    let kinds = engine::kinds();
    let main = html! {
        link rel="stylesheet" href="/assets/learn.css";
        p { (said::name_the_parts()) }
        form method="post" action="/circuits/new" {
            label for="name" { (said::circuit_name()) }
            input id="name" name="name" autocomplete="off" autocapitalize="none" spellcheck="false" required;
            label for="title" { (said::title()) }
            input id="title" name="title" autocomplete="off" required;
            label for="codes" { (said::leading_codes()) }
            input id="codes" name="codes" autocomplete="off" autocapitalize="characters";
            label for="symptoms" { (said::leading_complaints()) }
            textarea id="symptoms" name="symptoms" rows="2" {}
            h2 { (said::parts()) }
            @for row in 0..ROWS {
                fieldset class="part-row" {
                    legend class="aside" { (said::part_row(row + 1)) }
                    input name={ "part" (row) } aria-label=(said::row_name()) placeholder=(said::row_name_short()) autocomplete="off" autocapitalize="none";
                    select name={ "kind" (row) } aria-label=(said::row_kind()) {
                        option value="" { (said::row_kind()) }
                        @for kind in kinds { option value=(kind.name) lang=[lower(kind.name).lang()] { (plain(kind.name)) } }
                    }
                    input name={ "joined" (row) } aria-label=(said::row_joined()) placeholder=(said::row_joined_short()) autocomplete="off" autocapitalize="none";
                }
            }
            p { button { (said::write_description()) } }
        }
        details {
            summary { (said::what_kinds_are()) }
            ul class="plain" { @for kind in kinds {
                li { strong { (lower(kind.name)) } " " (lower(kind.what)) span class="aside" { (said::ports()) code { (kind.ports.iter().map(|port| port.name).collect::<Vec<_>>().join(", ")) } } }
            } }
        }
    };
    layout(&said::new_circuit(), Nav::Circuits, &main)
}

/// `POST /circuits/new`: the description, on the page where it is worked on. Nothing is kept yet.
pub(crate) async fn write(
    State(shop): State<Arc<Shop>>,
    Form(fields): Form<BTreeMap<String, String>>,
) -> Html<String> {
    let field = |name: &str| fields.get(name).map_or("", |text| text.trim());
    let sent = Sent::new(field("name").to_owned(), description(&field));
    layout(
        &said::new_circuit(),
        Nav::Circuits,
        &edit::form(&sent, &shop.shelf(), None),
    )
}

/// The text that the fields make. What was typed is never left out: what makes no sense shows as a finding.
fn description<'f>(field: &dyn Fn(&str) -> &'f str) -> String {
    let list = |words: Vec<&str>| {
        let quoted: Vec<String> = words.into_iter().map(quoted).collect();
        quoted.join(", ")
    };
    let codes = field("codes")
        .split([',', ';', ' '])
        .filter(|code| !code.is_empty());
    let symptoms = field("symptoms")
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty());
    let mut text = format!("[circuit]\ntitle = {}\n", quoted(field("title")));
    // Writing to a string cannot fail, here and below.
    let _ = writeln!(text, "codes = [{}]", list(codes.collect()));
    let _ = writeln!(text, "symptoms = [{}]", list(symptoms.collect()));
    for row in 0..ROWS {
        let (name, kind) = (field(&format!("part{row}")), field(&format!("kind{row}")));
        if name.is_empty() && kind.is_empty() {
            continue;
        }
        let _ = write!(text, "\n[part.{}]\nkind = {}\n", key(name), quoted(kind));
        let joined = field(&format!("joined{row}"));
        let mut given = Vec::new();
        for joint in joined.split(',').map(str::trim).filter(|joint| !joint.is_empty()) {
            let (port, other) = joint.split_once('=').unwrap_or((joint, ""));
            given.push(port.trim());
            let _ = writeln!(text, "{} = {}", key(port.trim()), quoted(other.trim()));
        }
        if let Some(spec) = engine::kinds().iter().find(|spec| spec.name == kind) {
            rest(&mut text, spec, &given);
        }
    }
    text.push_str("\n[condition.idle]\nwhat = \"idling warm\"\nengine = \"800 rpm\"\npower = true\n");
    text
}

/// Ports that nothing was said of, and figures that the kind cannot know.
fn rest(text: &mut String, spec: &KindSpec, given: &[&str]) {
    let open = |port: &&PortSpec| !given.contains(&port.name);
    for port in spec.ports.iter().filter(open) {
        let _ = writeln!(text, "# {} = \"PART.PORT\"  # {}", key(port.name), port.what);
    }
    for parameter in spec
        .parameters
        .iter()
        .filter(|parameter| parameter.default.is_none())
    {
        let example = match parameter.domain {
            ParameterDomain::Choice(words) => words.first().copied().unwrap_or_default(),
            ParameterDomain::Quantity(_) => "",
        };
        let _ = writeln!(
            text,
            "{} = {}  # {}",
            key(parameter.name),
            quoted(example),
            parameter.what
        );
    }
}

/// A key as TOML 1.0 has it: bare where it can be.
fn key(name: &str) -> String {
    let bare = |letter: char| letter.is_ascii_alphanumeric() || letter == '-' || letter == '_';
    if !name.is_empty() && name.chars().all(bare) {
        name.to_owned()
    } else {
        quoted(name)
    }
}

/// A basic string of TOML 1.0.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            letter if letter.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(letter));
            }
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_cannot_leave_its_string() {
        assert_eq!(quoted("a\"\n[x]\\"), "\"a\\\"\\u000A[x]\\\\\"");
        assert_eq!(key("valve-2"), "valve-2");
        assert_eq!(key("a b]"), "\"a b]\"");
        assert_eq!(key(""), "\"\"");
    }

    #[test]
    fn the_form_makes_a_text_whose_only_findings_are_what_is_still_wanted() {
        let fields = BTreeMap::from([
            ("title", "Lamp"),
            ("part0", "battery"),
            ("kind0", "battery"),
            ("part1", "lamp"),
            ("kind1", "lamp"),
            ("joined1", "plus = battery.positive, minus = battery.negative"),
        ]);
        let text = description(&|name| fields.get(name).copied().unwrap_or_default());
        let loaded = engine::load("lamp", &text);
        for finding in &loaded.findings {
            assert!(!finding.message.contains("TOML"), "{text}\n{finding:?}");
        }
        assert!(text.contains("[part.lamp]\nkind = \"lamp\"\n"), "{text}");
    }
}

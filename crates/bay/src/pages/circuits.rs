//! The library of circuits: what each is, its drawing, parts and checks.

use super::thinking;
use crate::circuits::{self, Ready};
use crate::layout::{Nav, layout, layout_of};
use crate::not_done::NotDone;
use crate::shop::Shop;
use crate::speech::{drawn, lower, plain, said};
use axum::extract::{Path, Query, State};
use axum::response::{Html, IntoResponse, Redirect, Response};
use circuit::{Circuit, Medium};
use desk::words;
use draw::{Notes, Sheet, Style};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::Arc;

/// Width of a drawing in drawing units, one a pixel: on a phone held upright, and beside others.
const WIDTHS: (u32, u32) = (356, 1200);

/// What to look for.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    words: String,
}

/// `GET /circuits`
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Query(asked): Query<Asked>,
) -> Result<Html<String>, NotDone> {
    let main = thinking(move || Ok(library(&shop, &asked.words))).await?;
    Ok(layout(&said::circuits(), Nav::Circuits, &main))
}

fn library(shop: &Shop, words: &str) -> Markup {
    let mut usable = Vec::new();
    let mut broken = Vec::new();
    for name in circuits::names(shop) {
        match circuits::called(shop, &name) {
            Ok(ready) => usable.push(ready),
            Err(_) => broken.push(name),
        }
    }
    usable.retain(|ready| has_all(ready.model.circuit(), words));
    html! {
        link rel="stylesheet" href="/assets/learn.css";
        form class="search" role="search" method="get" action="/circuits" {
            label for="words" { (said::circuit_words()) }
            div class="row" {
                input id="words" name="words" type="search" value=(words) autocomplete="off";
                button { (said::search()) }
            }
        }
        p { a class="button" href="/circuits/new" { (said::describe_new()) } }
        @if usable.is_empty() {
            p { (said::no_circuit_found()) " " a href="/circuits" { (said::all_circuits()) } }
        }
        ul class="library" { @for ready in &usable { (entry(ready.model.circuit(), ready)) } }
        @if !broken.is_empty() {
            h2 { (said::kept_with_errors()) }
            ul class="plain" { @for name in &broken { li { a class="wide" href={ "/circuits/" (name) "/edit" } { (name) } } } }
        }
    }
}

/// `true` if every word stands somewhere in what the circuit says of itself.
fn has_all(circuit: &Circuit, words: &str) -> bool {
    let mut text = format!("{} {} {} ", circuit.name, circuit.title, circuit.about);
    text.extend(
        circuit
            .codes
            .iter()
            .chain(&circuit.symptoms)
            .map(|word| format!("{word} ")),
    );
    for part in &circuit.parts {
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "{} {} {} ",
            part.id,
            part.kind.name,
            part.what.as_deref().unwrap_or_default()
        );
    }
    // In the page's language and in that of the description.
    let here = text_here(circuit);
    let text = format!("{text} {here}").to_lowercase();
    words
        .to_lowercase()
        .split_whitespace()
        .all(|word| text.contains(word))
}

/// What a person reads of a circuit in a list, in the page's language.
fn text_here(circuit: &Circuit) -> String {
    let parts = circuit.parts.iter();
    let parts = parts.map(|part| plain(part.what.as_deref().unwrap_or(part.kind.name)));
    let symptoms = circuit.symptoms.iter().map(plain);
    let all: Vec<String> = std::iter::once(plain(&circuit.title))
        .chain(symptoms)
        .chain(parts)
        .collect();
    all.join(" ")
}

fn symptoms(circuit: &Circuit) -> Markup {
    html! {
        @for (index, symptom) in circuit.symptoms.iter().enumerate() {
            @if index > 0 { "; " } (lower(symptom))
        }
    }
}

fn media(circuit: &Circuit) -> String {
    let media: BTreeSet<Medium> = circuit.joints.iter().map(|joint| joint.medium).collect();
    let word = |medium: &Medium| match medium {
        Medium::Air => "air",
        Medium::Electric => "electric",
        Medium::Rod => "rods",
        Medium::Liquid => "liquid",
    };
    let words: Vec<String> = media.iter().map(|medium| word(medium).to_owned()).collect();
    words::list(&words)
}

fn entry(circuit: &Circuit, ready: &Ready) -> Markup {
    html! {
        li class="entry" {
            a class="wide" href={ "/circuits/" (circuit.name) } {
                strong { (lower(title(circuit))) }
                span class="aside" { (circuit.name) ": " (lower(media(circuit))) ", " (said::count_parts(circuit.parts.len())) ", " (said::count_checks(ready.model.checks().len())) }
            }
            p class="aside" {
                @for code in &circuit.codes { code { (code) } " " }
                (symptoms(circuit))
            }
            figure class="drawing small" aria-hidden="true" { (PreEscaped(svg(ready, None, false))) }
            p { a class="more" href={ "/what-if/" (circuit.name) } { (said::what_if()) } " " a class="more" href={ "/practice?circuit=" (circuit.name) } { (said::practice()) } }
        }
    }
}

fn svg(ready: &Ready, width: Option<u32>, natural: bool) -> String {
    let style = Style {
        title: false,
        legend: false,
        width,
        sheet: Sheet::Outside,
        natural,
        ..Style::default()
    };
    drawn(&draw::svg(
        &ready.drawing,
        ready.model.circuit(),
        &Notes::default(),
        &style,
    ))
}

/// `GET /circuits/{name}`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
) -> Result<Response, NotDone> {
    let (text, own) = circuits::whole(&shop, &name)?;
    let page = thinking(move || match circuits::ready(&name, &text) {
        Ok(ready) => Ok(one(&ready, &text, own).into_response()),
        // What was kept with errors opens where they can be mended.
        Err(_) if own => Ok(Redirect::to(&format!("/circuits/{name}/edit")).into_response()),
        Err(problem) => Err(problem),
    });
    page.await
}

fn one(ready: &Ready, text: &str, own: bool) -> Html<String> {
    let circuit = ready.model.circuit();
    let main = html! {
        link rel="stylesheet" href="/assets/learn.css";
        p { @for code in &circuit.codes { code { (code) } " " } (symptoms(circuit)) }
        p { (lower(&circuit.about)) }
        p class="row answers" {
            a class="button" href={ "/what-if/" (circuit.name) } { (said::what_if()) }
            a class="button plain" href={ "/practice?circuit=" (circuit.name) } { (said::practice_on_it()) }
            a class="button plain" href={ "/new?circuit=" (circuit.name) } { (said::take_in_on_it()) }
            a class="button plain" href={ "/circuits/" (circuit.name) "/edit" } { @if own { (said::change()) } @else { (said::copy_and_change()) } }
        }
        figure class="drawing narrow" { (PreEscaped(svg(ready, Some(WIDTHS.0), true))) }
        figure class="drawing broad" { (PreEscaped(svg(ready, Some(WIDTHS.1), true))) }
        h2 { (said::parts()) }
        ul class="plain" { @for part in &circuit.parts {
            li {
                strong { (part.id) } " " (lower(part.what.as_deref().unwrap_or(part.kind.what)))
                @if !part.kind.faults.is_empty() {
                    span class="aside" { (said::fails_as(plain(part.kind.name), part.kind.faults.iter().map(|fault| plain(fault.name)).collect::<Vec<_>>().join(", "))) }
                }
            }
        } }
        details {
            summary { (said::count_checks(ready.model.checks().len())) }
            ul class="plain" { @for check in ready.model.checks() {
                li { (lower(words::plainly(circuit, check))) ", " (lower(words::condition(circuit, check))) " " code { (check.id) } }
            } }
        }
        details {
            summary { (said::where_from()) }
            ul class="plain" { @for (kind, source) in sources(circuit) { li { strong { (lower(kind)) } ": " (lower(source)) } } }
        }
        details {
            summary { (said::as_text()) }
            pre class="text" tabindex="0" { (text) }
        }
    };
    layout_of(&circuit.title, Nav::Circuits, &main)
}

/// What it is called, with the mark of what is invented.
fn title(circuit: &Circuit) -> String {
    let mark = if circuit.invented { " (invented)" } else { "" };
    format!("{}{mark}", circuit.title)
}

/// The kinds of a circuit's parts with where their defaults and shares come from.
fn sources(circuit: &Circuit) -> BTreeSet<(&'static str, &'static str)> {
    let kinds = circuit.parts.iter().map(|part| part.kind);
    kinds.map(|kind| (kind.name, kind.source)).collect()
}

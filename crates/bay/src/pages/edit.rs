//! A circuit's text with its findings underlined as it is typed, and the drawing beside it.

use super::look::{self, Finding};
use super::thinking;
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shelf::{self, LARGEST, Shelf};
use crate::shop::Shop;
use crate::speech::said;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::{Form, Json};
use maud::{Markup, PreEscaped, html};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Widths of the drawing in drawing units, one a pixel: on a phone held upright, and beside the text.
const WIDTHS: (u32, u32) = (356, 560);

/// What is sent.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Sent {
    name: String,
    text: String,
    /// The mark of the text that was changed.
    before: String,
    /// Whether the drawing is for a phone.
    narrow: bool,
}

/// A text looked at, for the page's script.
#[derive(Debug, Serialize)]
pub(crate) struct Looked {
    findings: Vec<Finding>,
    /// Findings beyond those listed.
    more: usize,
    svg: Option<String>,
    /// Why there is no drawing.
    note: String,
}

/// `POST /circuits/look`: findings and drawing of a text that is not kept anywhere.
pub(crate) async fn look(
    State(shop): State<Arc<Shop>>,
    Form(sent): Form<Sent>,
) -> Result<Json<Looked>, NotDone> {
    if sent.text.len() > LARGEST {
        return Err(NotDone::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "the description is larger than 256 kB",
        )
        .hint("a circuit of five hundred parts takes a fifth of that"));
    }
    thinking(move || Ok(looked(&sent.name, &sent.text, &shop.shelf(), sent.narrow)))
        .await
        .map(Json)
}

fn looked(name: &str, text: &str, shelf: &Shelf, narrow: bool) -> Looked {
    // A browser sends line ends as CR LF and counts each as one.
    let width = if narrow { WIDTHS.0 } else { WIDTHS.1 };
    let looked = look::looked(name, &text.replace("\r\n", "\n"), shelf, Some(width));
    Looked {
        findings: looked.findings,
        more: looked.more,
        svg: looked.svg,
        note: looked.note,
    }
}

/// `GET /circuits/{name}/edit`: the shop's own circuit, or a copy of a shipped one.
pub(crate) async fn edit(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
) -> Result<Html<String>, NotDone> {
    let (text, own) = crate::circuits::text(&shop, &name)?;
    thinking(move || {
        let sent = if own {
            Sent {
                before: shelf::mark(&text),
                ..Sent::new(name, text)
            }
        } else {
            Sent::new(format!("our-{name}"), text)
        };
        Ok(layout(
            &said::change_circuit(),
            Nav::Circuits,
            &form(&sent, &shop.shelf(), None),
        ))
    })
    .await
}

/// `POST /circuits`: keeps a circuit in the shop's folder. What cannot be kept comes back with what was typed.
pub(crate) async fn keep(
    State(shop): State<Arc<Shop>>,
    Form(mut sent): Form<Sent>,
) -> Result<Response, NotDone> {
    sent.text = sent.text.replace("\r\n", "\n");
    let kept = thinking(move || {
        let shelf = shop.shelf();
        let kept = shelf.keep(&sent.name, &sent.text, &sent.before);
        Ok(kept.map(|()| sent.name.clone()).map_err(|problem| {
            let status = problem.status();
            (
                status,
                layout(
                    &said::change_circuit(),
                    Nav::Circuits,
                    &form(&sent, &shelf, Some(&problem)),
                ),
            )
        }))
    });
    Ok(match kept.await? {
        Ok(name) => Redirect::to(&format!("/circuits/{name}")).into_response(),
        Err(page) => page.into_response(),
    })
}

/// The text between its findings and its drawing.
pub(crate) fn form(sent: &Sent, shelf: &Shelf, problem: Option<&NotDone>) -> Markup {
    let looked = looked(&sent.name, &sent.text, shelf, sent.narrow);
    html! {
        link rel="stylesheet" href="/assets/learn.css";
        script type="module" src="/assets/edit.js" {}
        form id="edit" method="post" action="/circuits" data-look="/circuits/look" data-none=(said::nothing_found()) data-line=(said::line())
            data-old=(said::drawn_before_errors()) data-away=(said::shop_is_away()) data-found=(said::typed_last_is_here())
            data-leave=(said::take_kept_text()) {
            @if let Some(problem) = problem { (problem.told()) }
            input type="hidden" name="before" value=(sent.before);
            label for="name" { (said::circuit_name()) }
            input id="name" name="name" value=(sent.name) autocomplete="off" autocapitalize="none" spellcheck="false" required;
            div class="beside" {
                div {
                    label for="text" { (said::description()) }
                    div class="sheet" {
                        pre class="marks" id="marks" aria-hidden="true" {}
                        // The first line end behind the tag is not part of the text.
                        textarea id="text" name="text" rows="28" spellcheck="false" autocapitalize="none" autocomplete="off" wrap="off" aria-describedby="findings" {
                            (PreEscaped("\n")) (sent.text)
                        }
                    }
                    p { button { (said::keep_it()) } }
                }
                div {
                    h2 { (said::findings()) }
                    ul class="findings" id="findings" aria-live="polite" {
                        @for found in &looked.findings { li data-sort=(if found.error { "error" } else { "warning" }) lang=[found.lang] {
                            strong { (said::line()) " " (found.line) ": " (found.message) } " " (found.label)
                            @if let Some(hint) = &found.hint { span class="aside" { " " (hint) } }
                        } }
                        @if looked.findings.is_empty() { li { (said::nothing_found()) } }
                    }
                    figure class="drawing" id="seen" tabindex="0" { @if let Some(svg) = &looked.svg { (PreEscaped(svg)) } }
                    p class="aside" id="note" { (looked.note) }
                }
            }
        }
    }
}

impl Sent {
    /// A text that nobody has kept yet.
    pub(crate) fn new(name: String, text: String) -> Self {
        Self {
            name,
            text,
            ..Self::default()
        }
    }
}

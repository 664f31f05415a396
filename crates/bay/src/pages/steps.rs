//! What can be said of a job at any stage: forms on its screen, and the one address that takes them.

use super::forms::{self, Typed, choice, form, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::pages::job::screen;
use crate::shop::{Shop, Visitor};
use crate::speech::{plain, said};
use axum::extract::{Path, State};
use axum::response::Response;
use axum::{Extension, Form};
use desk::show::Units;
use desk::{Case, Desk, Held, Problem};
use job::{CodeStatus, Event, Stage};
use maud::{Markup, html};
use std::sync::Arc;

const PLACE: &str = "/steps";
/// Between the faults of one cause, as a suspect's name has it.
const AND: &str = " + ";
/// Suspects that are offered as the cause.
const OFFERED: usize = 8;

/// `POST /jobs/{number}/steps`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let again = move |desk: &mut Desk, held: &Held, typed: &Typed| screen(desk, held, units, typed);
    forms::take(
        &shop,
        &visitor,
        number,
        Typed::new(pairs),
        "",
        (layout, events, again),
    )
    .await
}

fn events(_: &mut Desk, held: &Held, typed: &Typed) -> Result<Vec<Event>, Problem> {
    Ok(vec![match typed.get("form") {
        "undo" => desk::undo(held, typed.get("why"))?,
        "caution" => return desk::acknowledge(held, typed.get("of")),
        "note" => Event::Note {
            text: typed.needed("text", "a note needs words")?,
        },
        "code" => Event::CodeNoted {
            code: desk::code_of(typed.get("of"))?,
            status: if typed.ticked("yes") {
                CodeStatus::Pending
            } else {
                CodeStatus::Stored
            },
        },
        "rule-out" => desk::rule_out(held, typed.get("of"), typed.get("why"))?,
        "cause" => {
            let faults = typed.get("of").split(AND).map(str::trim);
            let faults: Vec<String> = faults
                .filter(|fault| !fault.is_empty())
                .map(str::to_owned)
                .collect();
            desk::prove(
                held,
                &faults,
                Some(typed.get("why")).filter(|why| !why.is_empty()),
            )?
        }
        "stands" => Event::Stands {
            open: names(typed.get("of")),
            off: names(typed.get("text")),
            hot: Some(typed.ticked("yes")),
        },
        other => {
            return Err(Problem::bad_input(
                format!("`{other}` is nothing that can be said here"),
                None,
            ));
        }
    }])
}

/// Names with commas between.
fn names(text: &str) -> Vec<String> {
    let names = text.split(',').map(str::trim);
    names.filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

/// Says that the cautions of `of` were read.
pub(crate) fn caution(held: &Held, of: &str, button: &str) -> Markup {
    form(
        held,
        PLACE,
        "caution",
        &Typed::default(),
        &html! {
            input type="hidden" name="of" value=(of);
            button class="plain" { (button) }
        },
    )
}

/// Takes the last thing back.
pub(crate) fn undo(held: &Held) -> Markup {
    if held.job.stage == Stage::Closed || held.job.last_to_withdraw(&held.entries).is_none() {
        return html! {};
    }
    let button = html! { button { (said::undo()) } };
    form(held, PLACE, "undo", &Typed::default(), &button)
}

fn tick(name: &str, label: &str, ticked: bool) -> Markup {
    html! { label class="tick" { input type="checkbox" name=(name) value="true" checked[ticked]; " " (label) } }
}

/// What can be said now; `typed` is what was not taken.
pub(crate) fn now(held: &Held, case: &Case, typed: &Typed) -> Markup {
    let parts = case.model.circuit().parts.iter();
    let parts: Vec<(&str, &str)> = parts.map(|part| (part.id.as_str(), part.id.as_str())).collect();
    let causes: Vec<String> = case
        .leading(OFFERED)
        .into_iter()
        .filter(|suspect| !case.belief.suspects()[*suspect].faults.is_empty())
        .map(|suspect| case.name(suspect))
        .collect();
    let causes: Vec<(String, String)> = causes.into_iter().map(|name| (plain(&name), name)).collect();
    let causes: Vec<(&str, &str)> = causes
        .iter()
        .map(|(words, name)| (name.as_str(), words.as_str()))
        .collect();
    let form_of = |name: &str, inside: &Markup| form(held, PLACE, name, typed, inside);
    let kept = |form, name| typed.kept(form, name, "");
    let ticked = |form| typed.is(form) && typed.ticked("yes");
    html! {
        @if typed.is("undo") || typed.is("caution") { (forms::told(typed)) }
        @if held.job.stage == Stage::Checking {
            details class="step" open[typed.is("cause")] {
                summary { (said::cause_is_proven()) }
                (form_of("cause", &html! {
                    (choice("of", &said::cause(), &causes, kept("cause", "of")))
                    (text("why", &said::why_it_counts(), kept("cause", "why")))
                    button { (said::call_proven()) }
                }))
            }
        }
        details class="step" open[typed.is("note")] {
            summary { (said::note()) }
            (form_of("note", &html! { (text("text", &said::note(), kept("note", "text"))) button { (said::keep_note()) } }))
        }
        @if held.job.stage != Stage::Closed {
            details class="step" open[["rule-out", "stands", "code"].iter().any(|form| typed.is(form))] {
                summary { (said::more_steps()) }
                (form_of("rule-out", &html! {
                    (choice("of", &said::not_cause(), &parts, kept("rule-out", "of")))
                    (text("why", &said::how_known(), kept("rule-out", "why")))
                    button { (said::rule_out()) }
                }))
                (form_of("stands", &html! {
                    (text("of", &said::stands_open(), kept("stands", "of")))
                    (text("text", &said::stands_off(), kept("stands", "text")))
                    (tick("yes", &said::engine_hot(), ticked("stands")))
                    button { (said::say_stands()) }
                }))
                (form_of("code", &html! {
                    (text("of", &said::code(), kept("code", "of")))
                    (tick("yes", &said::pending(), ticked("code")))
                    button { (said::note_code()) }
                }))
            }
        }
    }
}

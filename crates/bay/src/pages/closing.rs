//! The end of a job, and its going on after that.

use super::forms::{self, Typed, choice, figure, form, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::{Extension, Form};
use desk::{Desk, Held, Problem};
use job::{Closing, Event, Stage};
use maud::{Markup, html};
use std::sync::Arc;

const PLACE: &str = "/close";

/// `GET /jobs/{number}/close`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let page = |_: &mut Desk, held: &Held| Ok(page(held, &Typed::default()));
    forms::show(&shop, &visitor, number, layout, page).await
}

/// `POST /jobs/{number}/close`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let again = |_: &mut Desk, held: &Held, typed: &Typed| Ok(page(held, typed));
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

fn events(_: &mut Desk, _: &Held, typed: &Typed) -> Result<Vec<Event>, Problem> {
    if typed.is("reopen") {
        return Ok(vec![Event::Reopened {
            reason: typed.needed("why", "say why the job goes on")?,
            comeback: typed.get("comeback") == "yes",
            odometer_km: typed.figure("odometer", "the distance driven")?,
        }]);
    }
    let why = || typed.needed("why", "say why, or what it was");
    let how = match typed.get("ending") {
        "repaired" => Closing::Repaired,
        "unverified" => Closing::Unverified(why()?),
        "nothing-wrong" => Closing::NothingWrong,
        "not-listed" => Closing::NotListed(why()?),
        "stopped" => Closing::Stopped(why()?),
        other => {
            return Err(Problem::bad_input(
                format!("`{other}` is no way for a job to end"),
                Some("choose one from the list".to_owned()),
            ));
        }
    };
    Ok(vec![Event::Closed { how }])
}

/// How a job ended, in words.
fn ended(how: &Closing) -> String {
    match how {
        Closing::Repaired => "repaired and proven".to_owned(),
        Closing::Unverified(why) => format!("handed back unverified: {why}"),
        Closing::NothingWrong => "nothing wrong in this circuit".to_owned(),
        Closing::NotListed(what) => format!("another cause: {what}"),
        Closing::Stopped(why) => format!("the customer stopped: {why}"),
    }
}

fn page(held: &Held, typed: &Typed) -> (String, Markup) {
    let closed = held.job.stage == Stage::Closed;
    let main = html! {
        (forms::back(held))
        @if typed.problem.is_some() && typed.is("reopen") != closed {
            (forms::told(typed))
            @if !typed.get("why").is_empty() { p { "You typed: " strong { (typed.get("why")) } } }
        }
        @if closed { (reopen(held, typed)) } @else { (close(held, typed)) }
    };
    let title = if closed { "Closed job" } else { "Close job" };
    (format!("{title} {}", held.number), main)
}

fn close(held: &Held, typed: &Typed) -> Markup {
    let repaired = !held.job.repairs.is_empty();
    let endings = [
        ("repaired", "repaired and proven"),
        ("unverified", "repaired, handed back unverified"),
        ("nothing-wrong", "nothing wrong in this circuit"),
        ("not-listed", "another cause, not on the list"),
        ("stopped", "the customer stopped"),
    ];
    let likely = match (repaired, held.job.missing_proof().is_empty()) {
        (true, true) => "repaired",
        (true, false) => "unverified",
        _ => "stopped",
    };
    html! {
        @if repaired {
            ul { @for sentence in desk::repair_standing(held) { li { (sentence) } } }
        }
        (form(held, PLACE, "close", typed, &html! {
            (choice("ending", "It ends", &endings, typed.kept("close", "ending", likely)))
            (text("why", "Why, or what it was; not needed where it is repaired and proven", typed.kept("close", "why", "")))
            button { "Close the job" }
        }))
        p class="aside" { "A closed job teaches the next: what was found, how long it took, what lasted. It can be reopened." }
    }
}

fn reopen(held: &Held, typed: &Typed) -> Markup {
    html! {
        @if let Some(how) = &held.job.closed { p { "It ended: " strong { (ended(how)) } "." } }
        (form(held, PLACE, "reopen", typed, &html! {
            (text("why", "Why it goes on", typed.kept("reopen", "why", "")))
            (choice("comeback", "The complaint", &[("no", "did not come back"), ("yes", "came back: a comeback")], typed.kept("reopen", "comeback", "")))
            (figure("odometer", "Distance driven, km", typed.kept("reopen", "odometer", "")))
            button { "Reopen the job" }
        }))
    }
}

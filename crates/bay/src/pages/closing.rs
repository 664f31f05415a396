//! The end of a job, and its going on after that.

use super::forms::{self, Typed, choice, figure, form, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, said};
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
        Closing::Repaired => said::ends_repaired(),
        Closing::Unverified(why) => said::ended_unverified(why),
        Closing::NothingWrong => said::ends_nothing_wrong(),
        Closing::NotListed(what) => said::ended_not_listed(what),
        Closing::Stopped(why) => said::ended_stopped(why),
    }
}

fn page(held: &Held, typed: &Typed) -> (String, Markup) {
    let closed = held.job.stage == Stage::Closed;
    let main = html! {
        (forms::back(held))
        @if typed.problem.is_some() && typed.is("reopen") != closed {
            (forms::told(typed))
            @if !typed.get("why").is_empty() { p { (said::you_typed()) strong { (typed.get("why")) } } }
        }
        @if closed { (reopen(held, typed)) } @else { (close(held, typed)) }
    };
    let title = if closed {
        said::closed_title(held.number)
    } else {
        said::close_title(held.number)
    };
    (title, main)
}

fn close(held: &Held, typed: &Typed) -> Markup {
    let repaired = !held.job.repairs.is_empty();
    let endings = [
        ("repaired", said::ends_repaired()),
        ("unverified", said::ends_unverified()),
        ("nothing-wrong", said::ends_nothing_wrong()),
        ("not-listed", said::ends_not_listed()),
        ("stopped", said::ends_stopped()),
    ];
    let endings = endings.each_ref().map(|(value, words)| (*value, words.as_str()));
    let likely = match (repaired, held.job.missing_proof().is_empty()) {
        (true, true) => "repaired",
        (true, false) => "unverified",
        _ => "stopped",
    };
    html! {
        @if repaired {
            ul { @for sentence in desk::repair_standing(held) { li { (lower(sentence)) } } }
        }
        (form(held, PLACE, "close", typed, &html! {
            (choice("ending", &said::it_ends(), &endings, typed.kept("close", "ending", likely)))
            (text("why", &said::why_or_what(), typed.kept("close", "why", "")))
            button { (said::close_job()) }
        }))
        p class="aside" { (said::closed_teaches()) }
    }
}

fn reopen(held: &Held, typed: &Typed) -> Markup {
    html! {
        @if let Some(how) = &held.job.closed { p { (said::it_ended()) strong { (ended(how)) } "." } }
        (form(held, PLACE, "reopen", typed, &html! {
            (text("why", &said::why_goes_on(), typed.kept("reopen", "why", "")))
            (choice("comeback", &said::the_complaint(), &[("no", &said::did_not_come_back()), ("yes", &said::came_back())], typed.kept("reopen", "comeback", "")))
            (figure("odometer", &said::odometer(), typed.kept("reopen", "odometer", "")))
            button { (said::reopen_job()) }
        }))
    }
}

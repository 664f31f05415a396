//! One check as a large card: caution, where, how, what to expect, why, and what was read.

use super::forms::{self, Typed};
use super::strip;
use crate::layout::{layout, layout_of};
use crate::not_done::NotDone;
use crate::pages::job::title;
use crate::shop::{Shop, Visitor};
use crate::speech::{exact, lower, said};
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::{Extension, Form};
use circuit::Reads;
use desk::show::Units;
use desk::{Case, Desk, Held, OwnInstrument, Problem, Reading, how, words};
use engine::Outlook;
use job::{Event, Said, Stage};
use maud::{Markup, html};
use quantity::Unit;
use std::sync::Arc;

/// The form of a reading, among those of a job.
const READING: &str = "reading";

/// What the card shows.
#[derive(Debug, Clone)]
pub(crate) struct Asked<'a> {
    /// The check.
    pub(crate) check: usize,
    /// Above it.
    pub(crate) heading: &'a str,
    /// Why this one.
    pub(crate) why: Option<&'a str>,
    /// The shop's own instruments for it.
    pub(crate) own: Vec<&'a OwnInstrument>,
    /// What was typed before, if it was not taken.
    pub(crate) typed: &'a Typed,
}

/// What was read, as a readings file says it: `sort` is `is`, `over`, `under`, or an answer. A comma between digits is a
/// decimal comma.
fn what(typed: &Typed) -> Said {
    let figure = typed.get("figure").replace(',', ".");
    let with_unit = if figure.ends_with(|last: char| last.is_ascii_digit()) {
        format!("{figure} {}", typed.get("unit"))
    } else {
        figure
    };
    match typed.get("sort") {
        "over" => Said::Bound(format!("> {with_unit}")),
        "under" => Said::Bound(format!("< {with_unit}")),
        answer @ ("yes" | "no" | "not done") => Said::Answer(answer.to_owned()),
        _ => Said::Value(with_unit.trim().to_owned()),
    }
}

/// Where the card of a check stands.
pub(crate) fn address(held: &Held, check: &str) -> String {
    format!("/jobs/{}/checks/{check}", held.number)
}

/// `GET /jobs/{number}/checks/{check}`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path((number, check)): Path<(String, String)>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| page(desk, held, &check, units, &Typed::default());
    forms::show(&shop, &visitor, number, layout_of, page).await
}

/// `GET /jobs/{number}/checks`: every check, the best first.
pub(crate) async fn all(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| {
        let thought = desk.thought(held, units)?;
        let (model, next) = (thought.case().model, thought.next());
        let main = html! {
            p { a class="more" href={ "/jobs/" (held.number) } { (title(held)) } }
            ul class="plain" {
                @for next in next {
                    @let check = &model.checks()[next.check];
                    li {
                        a class="wide" href=(address(held, &check.id)) {
                            strong { (lower(words::plainly(model.circuit(), check))) }
                            span class="aside" {
                                code { (check.id) } ", " (lower(words::minutes(next.minutes))) ", " (said::spares(format!("{:.0}", next.gain)))
                            }
                        }
                    }
                }
            }
        };
        Ok((said::all_checks(), main))
    };
    forms::show(&shop, &visitor, number, layout, page).await
}

/// `POST /jobs/{number}/readings`
pub(crate) async fn read(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let again =
        move |desk: &mut Desk, held: &Held, typed: &Typed| page(desk, held, typed.get("check"), units, typed);
    forms::take(
        &shop,
        &visitor,
        number,
        Typed::new(pairs),
        "",
        (layout_of, noted, again),
    )
    .await
}

fn noted(desk: &mut Desk, held: &Held, typed: &Typed) -> Result<Vec<Event>, Problem> {
    let (model, _) = desk::known(held)?;
    let facts = desk::shop_facts(desk)?;
    let reading = Reading {
        check: typed.get("check").to_owned(),
        said: what(typed),
    };
    // Picked from the shop's own, or typed; what was typed is meant.
    let instrument = ["instrument", "own"]
        .map(|field| typed.get(field))
        .into_iter()
        .find(|name| !name.is_empty());
    let minutes = typed.figure("minutes", "the minutes")?;
    Ok(desk::note(held, &model, &facts, &[reading], instrument, minutes)?.events)
}

fn page(
    desk: &mut Desk,
    held: &Held,
    check: &str,
    units: Units,
    typed: &Typed,
) -> Result<(String, Markup), Problem> {
    let facts = desk::shop_facts(desk)?;
    let thought = desk.thought(held, units)?;
    let (case, outlook) = (thought.case(), thought.outlook());
    let model = case.model;
    let index = desk::known_check(model, check)?;
    let why = thought.next().iter().find(|next| next.check == index);
    let why = why.map(|next| desk::why(case, outlook, next));
    let heading = said::check();
    let asked = Asked {
        check: index,
        heading: &heading,
        why: why.as_deref(),
        own: facts.of_sort(model.checks()[index].instrument),
        typed,
    };
    let main = html! {
        p { a class="more" href={ "/jobs/" (held.number) } { (title(held)) } }
        (card(held, case, outlook, &asked))
    };
    Ok((words::plainly(model.circuit(), &model.checks()[index]), main))
}

/// The card.
pub(crate) fn card(held: &Held, case: &Case, outlook: &Outlook, asked: &Asked) -> Markup {
    let (circuit, check) = (case.model.circuit(), &case.model.checks()[asked.check]);
    let minutes = case.bay.minutes(circuit, check);
    let unread = case.unread(held, asked.check);
    let read = how::cautions(circuit, check);
    let closed = circuit.closed_accesses(&check.needs, &case.bay.open);
    let opened: Vec<String> = closed
        .iter()
        .map(|id| &circuit.accesses[id.0])
        .map(|access| format!("{} ({})", access.what, words::minutes(access.minutes)))
        .collect();
    html! {
        section class="card" aria-labelledby="check" {
            h2 id="check" {
                (asked.heading) ": " (lower(words::plainly(circuit, check)))
                " " span class="aside" { (lower(words::minutes(minutes))) }
            }
            @for caution in &read {
                p class="caution" { strong { (lower(caution.hazard)) } " " (lower(caution.precaution)) }
            }
            @if !unread.is_empty() {
                (super::steps::caution(held, &check.id, &said::caution_read(unread.len())))
            }
            (super::hookup::drawing(check))
            dl class="how" {
                @if !opened.is_empty() { dt { (said::open()) } dd { (lower(words::list(&opened))) } }
                dt { (said::when()) } dd { (lower(words::condition(circuit, check))) }
                dt { (said::to_do()) } dd { (lower(how::to_do(circuit, check))) }
            }
            h3 { (said::expect()) }
            (strip::of(case, outlook, asked.check))
            @if let Some(why) = asked.why { p { strong { (said::why_this()) " " } (lower(why)) "." } }
            @if held.job.stage == Stage::Closed {
                @if let Some(problem) = &asked.typed.problem {
                    (wrong(problem))
                    p { (said::it_was()) " " strong { (what(asked.typed).text()) } }
                }
                p class="aside" { (said::is_closed()) }
            } @else {
                (form(held, case, asked))
            }
            p class="aside" { code { (check.id) } }
        }
    }
}

fn wrong(problem: &Problem) -> Markup {
    html! {
        p class="problem" role="alert" id="wrong" {
            (lower(&problem.message).sentence())
            @if let Some(hint) = &problem.hint { br; (lower(hint).sentence()) }
        }
    }
}

/// Where what was read is typed.
fn form(held: &Held, case: &Case, asked: &Asked) -> Markup {
    let check = &case.model.checks()[asked.check];
    let typed = asked.typed;
    let refused = typed.problem.as_ref();
    html! {
        form class="reading" method="post" action=(forms::action(held, "/readings")) data-keep=(check.id) {
            input type="hidden" name="entry" value=(typed.entry_of(READING));
            input type="hidden" name="form" value=(READING);
            input type="hidden" name="check" value=(check.id);
            @if let Some(problem) = refused { (wrong(problem)) }
            @if check.reads == Reads::YesNo {
                div class="row answers" {
                    button name="sort" value="yes" { (said::yes()) }
                    button name="sort" value="no" { (said::no()) }
                }
            } @else {
                label for="figure" { (said::what_shows()) " " span class="aside" { "(" (lower(check.instrument.word())) ")" } }
                div class="row" {
                    input id="figure" name="figure" inputmode="decimal" autocomplete="off" value=(typed.get("figure")) data-pad
                        aria-invalid=[refused.map(|_| "true")] aria-describedby=[refused.map(|_| "wrong")];
                    (units(case, check.reads, asked.typed.get("unit")))
                }
                div class="row answers" {
                    button name="sort" value="is" { (said::note_it()) }
                    button class="plain" name="sort" value="over" { (said::more_than()) }
                    button class="plain" name="sort" value="under" { (said::less_than()) }
                }
            }
            div class="row answers" {
                button class="plain" name="sort" value="not done" { (said::could_not()) }
            }
            details {
                summary { (said::more_reading()) }
                @if !asked.own.is_empty() {
                    label for="own" { (said::own_instrument()) }
                    select id="own" name="own" {
                        option value="" { (said::usual_instrument()) }
                        @for own in &asked.own {
                            option value=(own.name) selected[own.name == typed.get("own")] {
                                (own.name) @if let Some(class) = &own.accuracy { ", " (exact(class)) }
                            }
                        }
                    }
                }
                label for="instrument" { (said::other_instrument()) }
                input id="instrument" name="instrument" autocomplete="off" value=(typed.get("instrument"));
                label for="minutes" { (said::minutes_taken()) }
                input id="minutes" name="minutes" inputmode="decimal" autocomplete="off" value=(typed.get("minutes"));
            }
        }
    }
}

/// The units a figure can be typed in, the person's own first.
pub(crate) fn units(case: &Case, reads: Reads, chosen: &str) -> Markup {
    let Some(own) = case.units.of(reads) else {
        return html! {};
    };
    let others = reads.dimension().into_iter().flat_map(Unit::all_of);
    let chosen = if chosen.is_empty() { own.symbol() } else { chosen };
    html! {
        select name="unit" aria-label=(said::unit()) {
            @for unit in std::iter::once(own.symbol()).chain(others.map(Unit::symbol).filter(|unit| *unit != own.symbol())) {
                option value=(unit) selected[unit == chosen] { (unit) }
            }
        }
    }
}

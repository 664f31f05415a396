//! The repair: what can hurt first, the new part tried before it is fitted, what was done, and the cause behind the cause.

use super::forms::{self, Typed, choice, figure, form, grade, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::{Path, Query, State};
use axum::response::{Html, Response};
use axum::{Extension, Form};
use desk::{Desk, Held, Problem, how, words};
use job::{Behind, Event, Mended, QuoteOption, Stage};
use maud::{Markup, html};
use std::sync::Arc;

const PLACE: &str = "/repair";

/// `GET /jobs/{number}/repair`; `part` in the address is the one at hand.
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Result<Html<String>, NotDone> {
    let typed = Typed::new(asked);
    let page = move |desk: &mut Desk, held: &Held| page(desk, held, &typed);
    forms::show(&shop, &visitor, number, layout, page).await
}

/// `POST /jobs/{number}/repair`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let typed = Typed::new(pairs);
    let to = if typed.is("repair") { "" } else { PLACE };
    forms::take(&shop, &visitor, number, typed, to, (layout, events, page)).await
}

fn events(_: &mut Desk, held: &Held, typed: &Typed) -> Result<Vec<Event>, Problem> {
    let (model, _) = desk::known(held)?;
    let part = typed.needed("part", "say which part")?;
    desk::known_part(&model, &part)?;
    if typed.is("caution") {
        return desk::acknowledge(held, &part);
    }
    if typed.is("new-part") {
        return Ok(vec![Event::NewPartChecked {
            part,
            check: typed.needed("check", "say how the new part was tried")?,
            read: typed.needed("read", "say what was read or seen on the new part")?,
            good: typed.get("verdict") == "good",
            grade: typed.grade(),
        }]);
    }
    let how = match typed.get("how") {
        "repaired" => Mended::Repaired,
        _ => Mended::Renewed,
    };
    let behind = || typed.needed("what", "say what stood behind it, or that it was not found");
    Ok(vec![Event::Repaired {
        part,
        how,
        grade: typed.grade().filter(|_| how == Mended::Renewed),
        price: typed.figure("price", "the price of the part")?,
        minutes: typed.figure("minutes", "the minutes")?,
        behind: match typed.get("behind") {
            "mended" => Behind::Mended(behind()?),
            "left" => Behind::Left(behind()?),
            _ => Behind::NotFound,
        },
    }])
}

/// Parts that are accused: of the proven cause, or of what the customer agreed to.
fn accused(held: &Held) -> Vec<String> {
    let job = &held.job;
    let proven = job.proven.iter().flat_map(|proven| &proven.faults);
    let mut parts: Vec<String> = proven
        .map(|fault| fault.split('/').next().unwrap_or(fault).to_owned())
        .collect();
    let agreed = agreed(held).and_then(|option| option.part.as_deref());
    parts.extend(
        agreed
            .into_iter()
            .flat_map(|part| part.split(" + ").map(str::to_owned)),
    );
    parts.dedup();
    parts
}

/// What the customer agreed to.
fn agreed(held: &Held) -> Option<&QuoteOption> {
    let quote = held.job.quotes.last()?;
    quote.options.get(held.job.accepted?)
}

fn page(_: &mut Desk, held: &Held, typed: &Typed) -> Result<(String, Markup), Problem> {
    let (model, _) = desk::known(held)?;
    let circuit = model.circuit();
    let accused = accused(held);
    // After a slip of the pen the page stays, with what else was typed.
    let usable = |part: &&str| typed.problem.is_none() || desk::known_part(&model, part).is_ok();
    let asked = Some(typed.get("part"))
        .filter(|part| !part.is_empty())
        .filter(usable);
    let part = asked
        .or(accused.first().map(String::as_str))
        .or_else(|| circuit.parts.first().map(|part| part.id.as_str()))
        .unwrap_or_default();
    let id = desk::known_part(&model, part)?;
    let cautions = how::cautions_of_work(circuit, id);
    let unread = desk::unread(held, cautions.clone());
    let parts: Vec<(&str, &str)> = circuit
        .parts
        .iter()
        .map(|part| (part.id.as_str(), part.id.as_str()))
        .collect();
    let hidden = html! { input type="hidden" name="part" value=(part); };
    let main = html! {
        (forms::back(held))
        @if held.job.stage == Stage::Checking {
            p class="caution" { "The cause is not proven. Do not buy a part on this yet." }
        }
        form method="get" action={ "/jobs/" (held.number) (PLACE) } {
            (choice("part", "Part at hand", &parts, part))
            button class="plain" { "Take this part" }
        }
        h2 { (words::part(circuit, id)) }
        @for caution in &cautions { p class="caution" { strong { (caution.hazard) } " " (caution.precaution) } }
        @if !unread.is_empty() {
            (form(held, PLACE, "caution", typed, &html! { (hidden) button class="plain" { "I have read this" } }))
        }
        p { "Do: " (circuit.parts[id.0].kind.repair.what) ", as the vehicle maker's service information says." }
        @if held.job.stage == Stage::Closed {
            p { "The job is closed: " a href={ "/jobs/" (held.number) "/close" } { "reopen it" } " to note a repair." }
        } @else {
            section class="card" { h2 { "Try the new part before fitting" } (new_part(held, part, typed, &hidden)) }
            section class="card" { h2 { "Repaired" } (repair(held, part, typed, &hidden)) }
        }
    };
    Ok((format!("Repair, job {}", held.number), main))
}

fn new_part(held: &Held, part: &str, typed: &Typed, hidden: &Markup) -> Markup {
    let kept = |name| typed.kept("new-part", name, "");
    let tried = held.job.new_parts.iter().filter(|tried| tried.part == part);
    html! {
        ul class="plain" {
            @for tried in tried {
                li {
                    strong { @if tried.good { "Good" } @else { "Bad, do not fit" } }
                    ": " (tried.check) @if !tried.read.is_empty() { ", read " (tried.read) }
                }
            }
        }
        p class="aside" { "A few new parts in a hundred are bad. A bad one counts against the part, not against the diagnosis." }
        (form(held, PLACE, "new-part", typed, &html! {
            (forms::choose())
            (hidden)
            (text("check", "How it was tried: coil resistance, a click on a fused lead, a hold test", kept("check")))
            (text("read", "What was read, with its unit", kept("read")))
            (grade(typed.kept("new-part", "grade", agreed_grade(held))))
            div class="row answers" {
                button name="verdict" value="good" { "Good: it may be fitted" }
                button class="grave" name="verdict" value="bad" { "Bad: do not fit" }
            }
        }))
    }
}

fn agreed_grade(held: &Held) -> &'static str {
    agreed(held)
        .and_then(|option| option.grade)
        .map_or("", job::Grade::name)
}

fn repair(held: &Held, part: &str, typed: &Typed, hidden: &Markup) -> Markup {
    let agreed = agreed(held).filter(|option| option.part.as_deref() == Some(part));
    let price = agreed.map_or_else(String::new, |option| format!("{:.2}", option.parts));
    let kept = |name, otherwise| typed.kept("repair", name, otherwise);
    let currency = held.job.quotes.last().map_or("", |quote| quote.currency.as_str());
    let behind = [
        ("not-found", "looked for, not found"),
        ("mended", "found and put right"),
        ("left", "found and left"),
    ];
    html! {
        @if held.job.new_parts.iter().all(|tried| tried.part != part) {
            p class="aside" { "No new part was tried yet." }
        }
        (form(held, PLACE, "repair", typed, &html! {
            (hidden)
            (choice("how", "What was done", &[("renewed", "a new one fitted"), ("repaired", "the old one put right")], kept("how", "")))
            (grade(kept("grade", agreed_grade(held))))
            (figure("price", &format!("Price of the part before tax, {currency}"), kept("price", &price)))
            (figure("minutes", "Minutes it took", kept("minutes", "")))
            (choice("behind", "The cause behind the cause: oil, a chafe point, a blocked filter, heat", &behind, kept("behind", "")))
            (text("what", "What it was, or why it was left", kept("what", "")))
            button { "Note the repair" }
        }))
    }
}

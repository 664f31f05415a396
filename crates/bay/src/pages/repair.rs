//! The repair: what can hurt first, the new part tried before it is fitted, what was done, and the cause behind the cause.

use super::forms::{self, Typed, choice, figure, form, grade, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, plain, said};
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
            p class="caution" { (said::not_proven_yet()) }
        }
        form method="get" action={ "/jobs/" (held.number) (PLACE) } {
            (choice("part", &said::part_at_hand(), &parts, part))
            button class="plain" { (said::take_this_part()) }
        }
        h2 { (lower(words::part(circuit, id))) }
        @for caution in &cautions { p class="caution" { strong { (lower(caution.hazard)) } " " (lower(caution.precaution)) } }
        @if !unread.is_empty() {
            (form(held, PLACE, "caution", typed, &html! { (hidden) button class="plain" { (said::read_this()) } }))
        }
        p { (said::do_repair(plain(circuit.parts[id.0].kind.repair.what))) }
        @if held.job.stage == Stage::Closed {
            p { (said::closed_before()) a href={ "/jobs/" (held.number) "/close" } { (said::closed_link()) } (said::closed_after()) }
        } @else {
            section class="card" { h2 { (said::try_new_part()) } (new_part(held, part, typed, &hidden)) }
            section class="card" { h2 { (said::repaired()) } (repair(held, part, typed, &hidden)) }
        }
    };
    Ok((said::repair_title(held.number), main))
}

fn new_part(held: &Held, part: &str, typed: &Typed, hidden: &Markup) -> Markup {
    let kept = |name| typed.kept("new-part", name, "");
    let tried = held.job.new_parts.iter().filter(|tried| tried.part == part);
    html! {
        ul class="plain" {
            @for tried in tried {
                li {
                    strong { @if tried.good { (said::tried_good()) } @else { (said::tried_bad()) } }
                    ": " (tried.check) @if !tried.read.is_empty() { (said::tried_read(&tried.read)) }
                }
            }
        }
        p class="aside" { (said::few_are_bad()) }
        (form(held, PLACE, "new-part", typed, &html! {
            (forms::choose())
            (hidden)
            (text("check", &said::how_tried(), kept("check")))
            (text("read", &said::what_read(), kept("read")))
            (grade(typed.kept("new-part", "grade", agreed_grade(held))))
            div class="row answers" {
                button name="verdict" value="good" { (said::may_be_fitted()) }
                button class="grave" name="verdict" value="bad" { (said::do_not_fit()) }
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
        said::behind_not_found(),
        said::behind_put_right(),
        said::behind_was_left(),
    ];
    let behind = [
        ("not-found", behind[0].as_str()),
        ("mended", behind[1].as_str()),
        ("left", behind[2].as_str()),
    ];
    let (new, old) = (said::new_fitted(), said::old_mended());
    html! {
        @if held.job.new_parts.iter().all(|tried| tried.part != part) {
            p class="aside" { (said::none_tried()) }
        }
        (form(held, PLACE, "repair", typed, &html! {
            (hidden)
            (choice("how", &said::what_was_done(), &[("renewed", new.as_str()), ("repaired", old.as_str())], kept("how", "")))
            (grade(kept("grade", agreed_grade(held))))
            (figure("price", &said::part_price(currency), kept("price", &price)))
            (figure("minutes", &said::minutes_taken(), kept("minutes", "")))
            (choice("behind", &said::cause_behind(), &behind, kept("behind", "")))
            (text("what", &said::what_behind(), kept("what", "")))
            button { (said::note_repair()) }
        }))
    }
}

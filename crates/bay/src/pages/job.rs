//! A job on one screen: the next check first, then the drawing, the suspects, and what was done.

use super::card;
use super::drawing;
use super::forms::{self, Typed};
use super::log;
use super::stages;
use super::steps;
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, said};
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Html;
use desk::show::Units;
use desk::{Case, Desk, Held, Problem, ShopFacts, words};
use engine::{NextCheck, Outlook};
use job::Stage;
use maud::{Markup, html};
use std::sync::Arc;
use store::{Filter, Row};

/// Other jobs of the vehicle that are shown.
const OTHERS: usize = 8;

/// `GET /jobs/{number}`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| screen(desk, held, units, &Typed::default());
    forms::show(&shop, &visitor, number, layout, page).await
}

/// What a job is called.
pub(crate) fn title(held: &Held) -> String {
    let vehicle = held.job.intake.vehicle.words.trim();
    if vehicle.is_empty() {
        said::job(held.number)
    } else {
        format!("{}: {vehicle}", said::job(held.number))
    }
}

/// The title and everything on the screen below it; `typed` is what was not taken.
pub(crate) fn screen(
    desk: &mut Desk,
    held: &Held,
    units: Units,
    typed: &Typed,
) -> Result<(String, Markup), Problem> {
    let facts = desk::shop_facts(desk)?;
    let others = others(desk, held)?;
    let thought = desk.thought(held, units)?;
    let (case, outlook, next) = (thought.case(), thought.outlook(), thought.next());
    let (model, history) = (case.model, thought.history());
    let measuring = matches!(held.job.stage, Stage::Checking | Stage::Proven | Stage::Quoted);
    let moved = history.moved.iter().map(|moved| (moved.part, moved.why.as_str()));
    let main = html! {
        div id="job" data-job=(held.number) data-events={ "/jobs/" (held.number) "/changes" }
            data-entries=(held.entries.len()) {
            (head(held))
            (warnings(case))
            @if measuring { (next_card(held, case, outlook, next, &facts)) }
            (stages::now(held))
            (steps::now(held, case, typed))
            section aria-labelledby="circuit" {
                h2 id="circuit" { (lower(&model.circuit().title)) }
                (drawing::of(held, case, next.first().map(|next| next.check)))
                p { a class="more" href={ "/jobs/" (held.number) "/what-if" } { (said::what_if_link()) } }
            }
            (suspects(held, case, outlook, next))
            (reasons(held, case))
            @if history.moved.len() + history.learnt.len() > 0 {
                section {
                    h2 { (said::known_of_vehicle()) }
                    ul { @for (part, why) in moved { li { strong { (lower(words::part(model.circuit(), part))) } ": " (lower(why)) } } }
                }
            }
            (stages::others(&others))
            (stages::pictures(held))
            p { a class="button plain" href={ "/jobs/" (held.number) "/drives" } { (said::drives_link(held.job.drives.len())) } }
            (log::of(held))
        }
    };
    Ok((title(held), main))
}

/// Other jobs of the same vehicle, by its words.
fn others(desk: &mut Desk, held: &Held) -> Result<Vec<Row>, Problem> {
    let words = held.job.intake.vehicle.words.trim().to_owned();
    if words.is_empty() {
        return Ok(Vec::new());
    }
    let filter = Filter { stage: None, words };
    let mut rows = desk.store().list(&filter, OTHERS + 1, None)?;
    rows.retain(|row| row.number != held.number);
    rows.truncate(OTHERS);
    Ok(rows)
}

fn head(held: &Held) -> Markup {
    let job = &held.job;
    html! {
        p class="state" {
            span class="stage" { (lower(job.stage.name())) }
            @if job.intake.invented { " " span class="stage" { (said::invented_mark()) } }
            @for code in &job.codes { " " code { (code.code) } }
            @if !job.intake.complaint.is_empty() { " " q { (job.intake.complaint) } }
        }
    }
}

fn warnings(case: &Case) -> Markup {
    let odd = desk::odd(case);
    html! {
        @for warning in &odd.warnings { p class="caution" { (lower(warning)) } }
        @for aside in &odd.asides { p class="aside" { (lower(aside)) } }
    }
}

fn next_card(held: &Held, case: &Case, outlook: &Outlook, next: &[NextCheck], facts: &ShopFacts) -> Markup {
    let Some(best) = next.first() else {
        return html! {
            section class="card" { h2 { (said::no_check_left()) } p { (said::look_beyond()) } }
        };
    };
    let why = desk::why(case, outlook, best);
    let heading = said::next_check();
    let asked = card::Asked {
        check: best.check,
        heading: &heading,
        why: Some(&why),
        own: facts.of_sort(case.model.checks()[best.check].instrument),
        typed: &Typed::default(),
    };
    let others: Vec<(&NextCheck, String)> = next
        .iter()
        .skip(1)
        .take(3)
        .map(|other| (other, desk::runner_up(case, outlook, best, other)))
        .collect();
    html! {
        (card::card(held, case, outlook, &asked))
        @if !others.is_empty() {
            details class="others" {
                summary { (said::another_check()) }
                ul class="plain" {
                    @for (other, reason) in &others {
                        li {
                            a class="wide" href=(card::address(held, case.id(other.check))) {
                                strong { (lower(words::plainly(case.model.circuit(), &case.model.checks()[other.check]))) }
                                span class="aside" { (lower(reason)) }
                            }
                        }
                    }
                }
                p { a class="button plain" href={ "/jobs/" (held.number) "/checks" } { (said::all_checks()) } }
            }
        }
        p { a class="button plain" href={ "/jobs/" (held.number) "/plan" } { (said::whole_plan()) } }
    }
}

fn suspects(held: &Held, case: &Case, outlook: &Outlook, next: &[NextCheck]) -> Markup {
    let ranking = desk::ranking(case);
    let circuit = case.model.circuit();
    html! {
        section aria-labelledby="suspects" {
            h2 id="suspects" { (said::suspects()) }
            ol class="suspects" {
                @for line in &ranking.lines {
                    li {
                        span class="figure" { (words::percent(line.probability)) }
                        meter min="0" max="1" value=(format!("{:.3}", line.probability)) { (words::percent(line.probability)) }
                        span class="what" {
                            strong { (lower(words::chance(line.probability))) }
                            " " (lower(&line.name))
                            @for told in &line.told { span class="aside" { (lower(told)) } }
                            @if let Some(suspect) = line.suspect {
                                @for fault in &case.belief.suspects()[suspect].faults {
                                    @let part = &circuit.parts[fault.part.0].id;
                                    a class="more" href={ "/jobs/" (held.number) "/parts/" (part) } { (said::about(part)) }
                                }
                            }
                        }
                    }
                }
            }
            @if ranking.others > 0 {
                p class="aside" { (said::others(ranking.others, words::percent(ranking.rest))) }
            }
            p { (lower(desk::standing(case, next))) }
            @if let Some(apart) = desk::apart(case, outlook, next) { p { (lower(apart.sentence(case))) } }
        }
    }
}

fn reasons(held: &Held, case: &Case) -> Markup {
    let told = desk::reasons(case);
    html! {
        @if !told.is_empty() {
            section aria-labelledby="readings" {
                h2 id="readings" { (said::readings_say()) }
                ul class="plain" {
                    @for told in told {
                        li { @if !told.read.is_empty() { strong { (lower(&told.read)) } " " } (lower(&told.says)) }
                    }
                }
                (steps::undo(held))
            }
        }
    }
}

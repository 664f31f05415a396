//! The proof of a repair, and the watch after it: what to check again, what it should read, drives, lamp and code.

use super::forms::{self, Typed, choice, figure, form, text};
use crate::layout::layout;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, plain, said};
use axum::extract::{Path, State};
use axum::response::{Html, Response};
use axum::{Extension, Form};
use circuit::Reads;
use desk::show::Units;
use desk::{Case, Desk, Held, Problem, ToProve, Why, how, words};
use job::{Event, OTHER_MARKETS, Rules, Said, Stage, Trip};
use maud::{Markup, html};
use std::sync::Arc;

const PLACE: &str = "/proof";

/// `GET /jobs/{number}/proof`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let page = move |desk: &mut Desk, held: &Held| page(desk, held, &Typed::default(), units);
    forms::show(&shop, &visitor, number, layout, page).await
}

/// `POST /jobs/{number}/proof`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let write =
        move |_: &mut Desk, held: &Held, typed: &Typed| events(held, typed, units).map(|event| vec![event]);
    let again = move |desk: &mut Desk, held: &Held, typed: &Typed| page(desk, held, typed, units);
    forms::take(
        &shop,
        &visitor,
        number,
        Typed::new(pairs),
        PLACE,
        (layout, write, again),
    )
    .await
}

fn events(held: &Held, typed: &Typed, units: Units) -> Result<Event, Problem> {
    Ok(match typed.get("form") {
        "by-hand" => desk::proven_by_hand(&typed.needed("why", "say why it counts as proven")?),
        "road" => Event::Proof {
            check: typed.needed("check", "say what was driven")?,
            said: Said::Answer(typed.get("verdict").to_owned()),
            good: typed.get("verdict") == "yes",
        },
        "trip" => Event::Trip {
            trip: Trip {
                at: jiff::Timestamp::now(),
                monitor_ran: typed.get("monitor") != "no",
                fault_seen: typed.get("fault") == "yes",
                other_fault_seen: typed.get("fault") == "other",
                similar_conditions: match typed.get("similar") {
                    "yes" => Some(true),
                    "no" => Some(false),
                    _ => None,
                },
                start_coolant: coolant(typed.get("start"))?,
                peak_coolant: coolant(typed.get("peak"))?,
            },
        },
        "seen-again" => Event::CodeSeenAgain {
            code: desk::code_of(typed.get("code"))?,
            odometer_km: typed.figure("odometer", "the distance driven")?,
        },
        _ => {
            let check = typed.needed("check", "say which check was made")?;
            let said = match typed.get("answer") {
                "" => {
                    let figure = typed
                        .needed("figure", "type what the instrument shows")?
                        .replace(',', ".");
                    let bare = figure.ends_with(|last: char| last.is_ascii_digit());
                    let unit = if bare { typed.get("unit") } else { "" };
                    desk::said(format!("{figure} {unit}").trim())
                }
                answer => Said::Answer(answer.to_owned()),
            };
            desk::proof_of(held, &check, said, None, units)?
        }
    })
}

/// A coolant temperature; a figure alone is in degrees Celsius.
fn coolant(text: &str) -> Result<Option<quantity::Temperature>, Problem> {
    if text.is_empty() {
        return Ok(None);
    }
    let text = text.replace(',', ".");
    let bare = text.ends_with(|last: char| last.is_ascii_digit());
    desk::coolant(&if bare { format!("{text} °C") } else { text }).map(Some)
}

fn page(desk: &mut Desk, held: &Held, typed: &Typed, units: Units) -> Result<(String, Markup), Problem> {
    let thought = desk.thought(held, units)?;
    let case = thought.case();
    let rows = desk::to_prove(held, case);
    let compared = desk::compared(held, case);
    let open = held.job.stage != Stage::Closed && !held.job.repairs.is_empty();
    let listed = [
        (Why::Again, said::made_before()),
        (Why::Works, said::says_it_works()),
    ];
    let main = html! {
        (forms::back(held))
        section aria-labelledby="stands" {
            h2 id="stands" { (said::proof_stands()) }
            ul { @for sentence in desk::repair_standing(held) { li { (lower(sentence)) } } }
        }
        (condemned(held))
        @for (why, heading) in listed {
            @if rows.iter().any(|row| row.why == why) {
                h2 { (heading) }
                @for row in rows.iter().filter(|row| row.why == why) { (check(held, case, row, typed, open)) }
            }
        }
        @if !compared.is_empty() {
            h2 { (said::before_and_after()) }
            ul class="plain" {
                @for own in &compared {
                    li {
                        strong { @if own.good { (said::good()) } @else { (said::not_good()) } }
                        ": " (lower(&own.plain)) " " (lower(&own.after))
                        @if let Some(before) = &own.before { (said::before_repair(plain(before))) }
                        @if let Some(range) = &own.healthy { (said::healthy_range(plain(range))) }
                    }
                }
            }
        }
        @if open { (more(held, case, typed)) } @else {
            p { a href={ "/jobs/" (held.number) "/repair" } { (said::to_the_repair()) } }
        }
        (watch(held, typed, open))
    };
    Ok((said::proof_title(held.number), main))
}

/// What condemned the part.
fn condemned(held: &Held) -> Markup {
    html! {
        @if let Some(proven) = &held.job.proven {
            p {
                (said::condemned()) strong { (lower(proven.faults.join(" + "))) } ", "
                @if let Some(reason) = &proven.by_hand { (said::judged_by_hand(reason)) }
                @else { (said::shown_by(plain(words::list(&proven.shown_by)))) }
                "."
            }
        }
    }
}

/// One check that proves the repair.
fn check(held: &Held, case: &Case, row: &ToProve, typed: &Typed, open: bool) -> Markup {
    let (circuit, check) = (case.model.circuit(), row.check);
    let name = format!("proof {}", check.id);
    html! {
        section class="card" {
            h3 { (lower(words::plainly_how(circuit, check))) @if row.done { " " span class="stage" { (said::done_good()) } } }
            @for caution in how::cautions(circuit, check) {
                p class="caution" { strong { (lower(caution.hazard)) } " " (lower(caution.precaution)) }
            }
            dl class="how" {
                dt { (said::when()) } dd { (lower(words::condition(circuit, check))) }
                dt { (said::to_do()) } dd { (lower(how::to_do(circuit, check))) }
                dt { (said::healthy()) } dd { (lower(case.units.range(check, row.healthy.percentiles))) }
                @if let Some(before) = &row.before { dt { (said::before()) } dd { (lower(before)) } }
            }
            @if open {
                (form(held, PLACE, &name, typed, &html! {
                    input type="hidden" name="check" value=(check.id);
                    @if check.reads == Reads::YesNo {
                        div class="row answers" {
                            button name="answer" value="yes" { (said::yes()) }
                            button name="answer" value="no" { (said::no()) }
                        }
                    } @else {
                        div class="row" {
                            input name="figure" inputmode="decimal" autocomplete="off" data-pad="there" value=(typed.kept(&name, "figure", ""))
                                aria-label=(said::shows_now(plain(check.instrument.word())));
                            (super::card::units(case, check.reads, typed.kept(&name, "unit", "")))
                        }
                        div class="row answers" { button { (said::note_it()) } }
                    }
                }))
            }
            p class="aside" { code { (check.id) } }
        }
    }
}

/// Whether a proof is of a check that the circuit has; else it is a road test, in somebody's words.
fn is_check(case: &Case, name: &str) -> bool {
    case.model.checks().iter().any(|check| check.id == name)
}

/// The road test, and a proof by hand.
fn more(held: &Held, case: &Case, typed: &Typed) -> Markup {
    html! {
        section class="card" {
            h2 { (said::road_test()) }
            ul class="plain" {
                @for drive in held.job.proofs.iter().filter(|proof| proof.check != job::BY_HAND && !is_check(case, &proof.check)) {
                    li { strong { @if drive.good { (said::good()) } @else { (said::not_good()) } } ": " (drive.check) }
                }
            }
            p class="caution" { (said::one_drives()) }
            (form(held, PLACE, "road", typed, &html! {
                (forms::choose())
                (text("check", &said::what_driven(), typed.kept("road", "check", &said::a_road_test())))
                div class="row answers" {
                    button name="verdict" value="yes" { (said::complaint_gone()) }
                    button class="grave" name="verdict" value="no" { (said::still_there()) }
                }
            }))
        }
        details open[typed.is("by-hand")] {
            summary { (said::proven_by_hand()) }
            @if let Some(reason) = held.job.proof_by_hand() { p { strong { (said::is_by_hand()) } ": " (reason) } }
            (form(held, PLACE, "by-hand", typed, &html! {
                (text("why", &said::why_although(), typed.kept("by-hand", "why", "")))
                button class="plain" { (said::is_by_hand()) }
            }))
        }
        p { a class="button" href={ "/jobs/" (held.number) "/close" } { (said::close_job()) } }
    }
}

/// Drives, and what the module makes of them.
fn watch(held: &Held, typed: &Typed, open: bool) -> Markup {
    // Which rules the vehicle follows is not asked: the usual ones, and their name is said with them.
    let rules = Rules::us_light();
    let Some(watch) = held.job.watch(&rules) else {
        return html! {};
    };
    let kept = |name| typed.kept("trip", name, "");
    let code = held.job.codes.first().map_or("", |code| code.code.as_str());
    html! {
        section class="card" aria-labelledby="watch" {
            h2 id="watch" { (said::drives()) }
            ul { @for sentence in watch.sentences(&rules) { li { (lower(sentence)) } } }
            details { summary { (said::other_markets()) } ul { @for text in OTHER_MARKETS { li { (lower(text)) } } } }
            @if open {
                (form(held, PLACE, "trip", typed, &html! {
                    (choice("monitor", &said::monitor(), &[("yes", &said::monitor_ran()), ("no", &said::monitor_did_not())], kept("monitor")))
                    (choice("fault", &said::monitor_found(), &[("no", &said::found_nothing()), ("yes", &said::found_again()), ("other", &said::found_other())], kept("fault")))
                    (choice("similar", &said::similar(), &[("", &said::not_known()), ("yes", &said::said_yes()), ("no", &said::said_no())], kept("similar")))
                    div class="row" {
                        (figure("start", &said::coolant_start(), kept("start")))
                        (figure("peak", &said::coolant_peak(), kept("peak")))
                    }
                    button { (said::note_drive()) }
                }))
            }
            details open[typed.is("seen-again")] {
                summary { (said::code_is_back()) }
                (form(held, PLACE, "seen-again", typed, &html! {
                    (text("code", &said::code(), typed.kept("seen-again", "code", code)))
                    (figure("odometer", &said::odometer(), typed.kept("seen-again", "odometer", "")))
                    button class="plain" { (said::note_it()) }
                }))
            }
        }
    }
}

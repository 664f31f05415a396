//! What can be said of a job beside readings: forms on its screen, and the one address that takes them.

use crate::layout::{Nav, layout_said};
use crate::not_done::NotDone;
use crate::pages::job::{screen, title};
use crate::shop::{Shop, Visitor};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::{Extension, Form};
use desk::show::Units;
use desk::{Case, Desk, Held, Problem, Sort};
use job::{Behind, Closing, CodeStatus, EntryId, Event, Mended, Stage, Trip};
use maud::{Markup, html};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::ToSchema;
use uuid::Uuid;

/// One thing said, as it comes from a form.
#[derive(Debug, Clone, Default, Deserialize, ToSchema)]
#[serde(default)]
#[schema(example = json!({"step": "note", "text": "oil on the hose"}))]
pub(crate) struct Step {
    /// Made by the form: what is sent twice counts once.
    entry: Option<Uuid>,
    /// What is said: `undo`, `caution`, `note` ...
    #[serde(rename = "step")]
    what: String,
    /// Of which check, part or cause.
    of: String,
    /// In words.
    text: String,
    /// Why.
    why: String,
    /// Read, seen or typed beside it.
    read: String,
    /// A box that was ticked.
    yes: bool,
    /// Another box.
    other: bool,
    /// km.
    odometer: String,
}

/// `POST /jobs/{number}/steps`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path(number): Path<String>,
    Form(step): Form<Step>,
) -> Result<Response, NotDone> {
    let done = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        if held.says(step.entry.map(EntryId)) {
            return Ok(Ok((held.number, held.job.id)));
        }
        match write(desk, &held, &step) {
            Ok(after) => Ok(Ok((after.number, after.job.id))),
            // It is said where the person is, with what they typed.
            Err(problem) if problem.sort != Sort::NotFound => {
                let held = desk.job(&number)?;
                let main = screen(desk, &held, units, &step, Some(&problem))?;
                Ok(Err((title(&held), main)))
            }
            Err(problem) => Err(problem),
        }
    });
    match done.await? {
        Ok((number, job)) => {
            shop.say_changed(job);
            Ok(Redirect::to(&format!("/jobs/{number}")).into_response())
        }
        Err((title, main)) => Ok((
            StatusCode::UNPROCESSABLE_ENTITY,
            layout_said(&title, Nav::Jobs, &main),
        )
            .into_response()),
    }
}

/// Writes one thing down; the job after it.
pub(crate) fn write(desk: &mut Desk, held: &Held, step: &Step) -> Result<Held, Problem> {
    let name = step.entry.map(EntryId);
    // What was written already is not asked whether it still makes sense.
    if name.is_some_and(|name| held.entries.iter().any(|entry| entry.id == name)) {
        return Ok(held.clone());
    }
    let events = events(held, step)?;
    desk.write_as(held, events, name)
}

fn events(held: &Held, step: &Step) -> Result<Vec<Event>, Problem> {
    let odometer = || number(&step.odometer, "the distance driven");
    Ok(vec![match step.what.as_str() {
        "undo" => desk::undo(held, step.why.trim())?,
        "caution" => return read(held, &step.of),
        "note" => Event::Note {
            text: needed(&step.text, "a note needs words")?,
        },
        "code" => Event::CodeNoted {
            code: desk::code_of(&step.of)?,
            status: if step.yes {
                CodeStatus::Pending
            } else {
                CodeStatus::Stored
            },
        },
        "rule-out" => {
            let (model, _) = desk::known(held)?;
            desk::known_cause(&model, &step.of)?;
            Event::RuledOut {
                what: step.of.clone(),
                reason: needed(&step.why, "say how you know that it is not the cause")?,
            }
        }
        "cause" => {
            let faults: Vec<String> = step.of.split_whitespace().map(str::to_owned).collect();
            let by_hand = Some(step.why.trim()).filter(|why| !why.is_empty());
            desk::prove(held, &faults, by_hand)?
        }
        "new-part" | "repair" | "proof" | "trip" | "seen-again" => work(held, step)?,
        "stands" => Event::Stands {
            open: step
                .of
                .split(',')
                .map(str::trim)
                .filter(|name| !name.is_empty())
                .map(str::to_owned)
                .collect(),
            off: step
                .text
                .split(',')
                .map(str::trim)
                .filter(|name| !name.is_empty())
                .map(str::to_owned)
                .collect(),
            hot: Some(step.yes),
        },
        "close" => Event::Closed { how: closing(step)? },
        "reopen" => Event::Reopened {
            reason: needed(&step.why, "say why the job goes on")?,
            comeback: step.yes,
            odometer_km: odometer()?,
        },
        other => return Err(unknown(other)),
    }])
}

/// What is said of a repair and after it.
fn work(held: &Held, step: &Step) -> Result<Event, Problem> {
    Ok(match step.what.as_str() {
        "new-part" => {
            let (model, _) = desk::known(held)?;
            desk::known_part(&model, &step.of)?;
            Event::NewPartChecked {
                part: step.of.clone(),
                check: needed(&step.text, "say how the new part was tried")?,
                read: step.read.trim().to_owned(),
                good: step.yes,
                grade: None,
            }
        }
        "repair" => {
            let (model, _) = desk::known(held)?;
            desk::known_part(&model, &step.of)?;
            let text = step.text.trim().to_owned();
            Event::Repaired {
                part: step.of.clone(),
                how: if step.other {
                    Mended::Repaired
                } else {
                    Mended::Renewed
                },
                grade: None,
                price: None,
                minutes: number(&step.read, "the minutes")?,
                behind: match (text.is_empty(), step.yes) {
                    (true, _) => Behind::NotFound,
                    (false, true) => Behind::Mended(text),
                    (false, false) => Behind::Left(text),
                },
            }
        }
        "proof" => Event::Proof {
            check: needed(&step.of, "say which check was made")?,
            said: desk::said(&needed(&step.read, "say what was read")?),
            good: step.yes,
        },
        "trip" => Event::Trip {
            trip: Trip {
                at: jiff::Timestamp::now(),
                monitor_ran: step.yes,
                fault_seen: step.other,
                other_fault_seen: false,
                similar_conditions: None,
                start_coolant: coolant(&step.text)?,
                peak_coolant: coolant(&step.read)?,
            },
        },
        "seen-again" => Event::CodeSeenAgain {
            code: desk::code_of(&step.of)?,
            odometer_km: number(&step.odometer, "the distance driven")?,
        },
        other => return Err(unknown(other)),
    })
}

fn unknown(what: &str) -> Problem {
    Problem::bad_input(format!("`{what}` is nothing that can be said of a job"), None)
}

/// The cautions of a check or of renewing a part are read.
pub(crate) fn read(held: &Held, of: &str) -> Result<Vec<Event>, Problem> {
    let (model, _) = desk::known(held)?;
    let cautions = desk::unread(held, desk::cautions_of(&model, of)?);
    let read = cautions.into_iter().map(|caution| Event::CautionAcknowledged {
        caution: desk::sentence(caution),
    });
    Ok(read.collect())
}

fn closing(step: &Step) -> Result<Closing, Problem> {
    let why = || needed(&step.why, "say why");
    Ok(match step.of.as_str() {
        "unverified" => Closing::Unverified(why()?),
        "nothing-wrong" => Closing::NothingWrong,
        "not-listed" => Closing::NotListed(why()?),
        "stopped" => Closing::Stopped(why()?),
        _ => Closing::Repaired,
    })
}

fn coolant(text: &str) -> Result<Option<quantity::Temperature>, Problem> {
    Some(text.trim())
        .filter(|text| !text.is_empty())
        .map(desk::coolant)
        .transpose()
}

fn needed(text: &str, otherwise: &str) -> Result<String, Problem> {
    let text = text.trim();
    if text.is_empty() {
        Err(Problem::bad_input(otherwise, None))
    } else {
        Ok(text.to_owned())
    }
}

/// A figure that may be left out; a comma is a decimal comma.
pub(crate) fn number(text: &str, what: &str) -> Result<Option<f64>, Problem> {
    let text = text.trim().replace(',', ".").replace(' ', "");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(figure) if figure.is_finite() && figure >= 0.0 => Ok(Some(figure)),
        _ => Err(Problem::bad_input(
            format!("`{text}` cannot be {what}"),
            Some("a figure of 0 or more, without a unit".to_owned()),
        )),
    }
}

/// A form that says one thing; `inside` stands between its hidden fields and its button.
fn form(held: &Held, step: &str, button: &str, inside: &Markup) -> Markup {
    html! {
        form method="post" action={ "/jobs/" (held.job.id) "/steps" } data-keep=(step) {
            input type="hidden" name="entry" value=(Uuid::now_v7());
            input type="hidden" name="step" value=(step);
            (inside)
            button { (button) }
        }
    }
}

/// Says that the cautions of `of` were read.
pub(crate) fn caution(held: &Held, of: &str, button: &str) -> Markup {
    form(
        held,
        "caution",
        button,
        &html! { input type="hidden" name="of" value=(of); },
    )
}

/// Takes the last thing back.
pub(crate) fn undo(held: &Held) -> Markup {
    if held.job.stage == Stage::Closed || held.job.last_to_withdraw(&held.entries).is_none() {
        return html! {};
    }
    form(held, "undo", &crate::speech::said::undo(), &html! {})
}

fn text(name: &str, label: &str, value: &str) -> Markup {
    html! {
        label { span { (label) } input name=(name) value=(value) autocomplete="off"; }
    }
}

fn tick(name: &str, label: &str) -> Markup {
    html! { label class="tick" { input type="checkbox" name=(name) value="true"; " " (label) } }
}

/// What can be said while a job is open; `step` is what was typed before, `problem` why it was not taken.
pub(crate) fn now(held: &Held, case: &Case, step: &Step, problem: Option<&Problem>) -> Markup {
    let parts: Vec<&str> = case
        .model
        .circuit()
        .parts
        .iter()
        .map(|part| part.id.as_str())
        .collect();
    let kept = |name: &str, value: &str| {
        let mine = problem.is_some() && step.what == name;
        if mine { value.to_owned() } else { String::new() }
    };
    let typed = |name: &str| problem.is_some() && step.what == name;
    let closed = held.job.stage == Stage::Closed;
    let others = ["rule-out", "stands", "code"];
    html! {
        @if let Some(problem) = problem {
            p class="problem" role="alert" {
                (problem.message)
                @for line in problem.hint.iter().flat_map(|hint| hint.lines()) { br; (line) }
            }
        }
        @if held.job.stage == Stage::Checking {
            details class="step" open[typed("cause")] {
                summary { "The cause is proven" }
                (form(held, "cause", "Call it proven", &text("why", "Why it counts, if a check has not shown it directly", &kept("cause", &step.why))))
            }
        }
        details class="step" open[typed("note")] {
            summary { "Note" }
            (form(held, "note", "Keep the note", &text("text", "Note", &kept("note", &step.text))))
        }
        @if !closed {
            details class="step" open[others.into_iter().any(typed)] {
                summary { "Rule out, how it stands, another code" }
                (form(held, "rule-out", "Rule it out", &html! {
                    (choice("of", "Not the cause", &parts, Some(&kept("rule-out", &step.of))))
                    (text("why", "How you know", &kept("rule-out", &step.why)))
                }))
                (form(held, "stands", "Say how it stands", &html! {
                    (text("of", "Open, with commas between", &kept("stands", &step.of)))
                    (text("text", "Off the vehicle, with commas between", &kept("stands", &step.text)))
                    (tick("yes", "The engine is hot"))
                }))
                (form(held, "code", "Note the code", &html! {
                    (text("of", "Trouble code", &kept("code", &step.of)))
                    (tick("yes", "Pending only"))
                }))
            }
        }
    }
}

fn choice(name: &str, label: &str, options: &[&str], chosen: Option<&str>) -> Markup {
    html! {
        label {
            span { (label) }
            select name=(name) {
                @for option in options { option value=(option) selected[Some(*option) == chosen] { (option) } }
            }
        }
    }
}

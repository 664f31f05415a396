//! Practice: a vehicle with a hidden fault, gauges that swing, an account, and at the end what others would have paid.

mod dial;
mod ending;
mod sitting;
mod steps;

use super::thinking;
use crate::circuits;
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shop::Shop;
use crate::speech::{drawn, lower, plain, said};
use axum::Form;
use axum::extract::{Path, Query, State};
use axum::response::{Html, IntoResponse as _, Redirect, Response};
use circuit::{Check, PartId, Place};
use desk::show::Units;
use desk::{how, words};
use draw::{JointNote, Notes, Style, Touch};
use engine::practice::{Action, Event, Job};
use engine::{Model, Outcome};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;
use std::sync::Arc;
use uuid::Uuid;

pub(crate) use sitting::{Sitting, Step, find, own};
pub(crate) use steps::{Sent, begun, made};

/// Width of a drawing in drawing units, one a pixel, on a phone held upright and on a laptop.
const WIDTHS: (u32, u32) = (356, 1200);

/// What is chosen at the beginning.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Wanted {
    circuit: String,
    seed: String,
}

/// `GET /practice`
pub(crate) async fn ask(State(shop): State<Arc<Shop>>, Query(wanted): Query<Wanted>) -> Html<String> {
    first(&shop, &wanted, None)
}

/// Where one begins, with what was chosen before if it was not taken.
fn first(shop: &Shop, wanted: &Wanted, problem: Option<&NotDone>) -> Html<String> {
    let main = html! {
        link rel="stylesheet" href="/assets/learn.css";
        p { (said::practice_is()) }
        form method="post" action="/practice" {
            @if let Some(problem) = problem { (problem.told()) }
            label for="circuit" { (said::circuit()) }
            select id="circuit" name="circuit" {
                option value="" { (said::any()) }
                @for name in circuits::names(shop) {
                    option value=(name) selected[wanted.circuit == name] { (super::circuit(&name)) }
                }
            }
            label for="seed" { (said::vehicle_number()) }
            input id="seed" name="seed" inputmode="numeric" value=(wanted.seed) autocomplete="off";
            p { button { (said::begin()) } }
        }
    };
    layout(&said::practice(), Nav::Practice, &main)
}

/// `POST /practice`
pub(crate) async fn begin(State(shop): State<Arc<Shop>>, Form(wanted): Form<Wanted>) -> Response {
    match asked_for(&shop, &wanted) {
        Ok(id) => Redirect::to(&format!("/practice/{id}")).into_response(),
        Err(problem) => (problem.status(), first(&shop, &wanted, Some(&problem))).into_response(),
    }
}

fn asked_for(shop: &Shop, wanted: &Wanted) -> Result<Uuid, NotDone> {
    let seed = match wanted.seed.trim() {
        "" => None,
        text => Some(text.parse().map_err(|_| {
            NotDone::bad_input("the number of the vehicle is not a whole number")
                .hint("leave it empty for another vehicle")
        })?),
    };
    steps::begun(shop, None, wanted.circuit.clone(), seed)
}

/// Where one looks.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Look {
    part: String,
    joint: String,
    check: String,
}

/// `GET /practice/{id}`
pub(crate) async fn show(Path(id): Path<Uuid>, Query(look): Query<Look>) -> Result<Html<String>, NotDone> {
    let page = thinking(move || {
        let sitting = sitting::find(id)?;
        sitting.played(|model, job, steps| screen(&sitting, model, job, steps, &look))
    });
    page.await
}

/// `POST /practice/{id}`
pub(crate) async fn step(Path(id): Path<Uuid>, Form(sent): Form<Sent>) -> Result<Redirect, NotDone> {
    thinking(move || made(id, &sent)).await?;
    Ok(Redirect::to(&format!("/practice/{id}")))
}

fn screen(
    sitting: &Sitting,
    model: &Model,
    job: &Job,
    steps: &[Step],
    look: &Look,
) -> Result<Html<String>, NotDone> {
    let circuit = model.circuit();
    let (complaint, stored) = job.hidden().complaint();
    let account = &job.account;
    let over = job.is_over() || sitting.left;
    let ending = over
        .then(|| ending::tell(sitting, model, job, steps))
        .transpose()?;
    let main = html! {
        link rel="stylesheet" href="/assets/learn.css";
        script type="module" src="/assets/practice.js" {}
        p class="state" {
            span class="stage" { (said::practice_mark()) } " "
            @if let Some(code) = stored { code { (code) } " " }
            @if let Some(complaint) = complaint { q { (lower(complaint)) } " " }
            span class="aside" { (said::practice_vehicle(plain(&circuit.title), sitting.seed, format!("{:.0}", job.hidden().height().si()))) }
        }
        @if let Some(ending) = &ending { (ending) }
        @if let Some(step) = steps.last() { (last(model, job, step)) }
        p class="so-far" role="status" {
            (said::account(format!("{:.0}", account.minutes), format!("{:.0}", account.parts)))
            strong { (format!("{:.0}", account.cost())) }
        }
        @if !over { (chosen(sitting, model, job, look)?) }
        (drawing(sitting, model, job, over))
        @if !over { (all(sitting, model)) }
        h2 { (said::what_was_done()) }
        @if steps.is_empty() { p { (said::nothing_yet()) } }
        ol class="done" { @for step in steps {
            li { (step_words(model, step.action)) ": " strong { (shown(model, step)) } span class="aside" { " " (format!("{:.0}", step.cost)) } }
        } }
        p class="aside" { (lower(desk::DEFERENCE)) }
    };
    Ok(layout(&said::practice(), Nav::Practice, &main))
}

/// What the last step showed; a figure on a dial.
fn last(model: &Model, job: &Job, step: &Step) -> Markup {
    let told = shown(model, step);
    let dial = match (step.action, step.event) {
        (Action::Check(check), Event::Read(Some(Outcome::Value(value)))) => {
            let ambient = job.seen().surroundings.ambient;
            let sound = engine::what_if(model, ambient, &[], &[check]);
            let sound = sound.first().and_then(|read| read.sound.as_ref().ok().copied());
            Some(dial::dial(
                &model.checks()[check],
                value,
                &told,
                sound.unwrap_or_default(),
            ))
        }
        _ => None,
    };
    html! {
        section class="card last" aria-labelledby="last" {
            h2 id="last" { (step_words(model, step.action)) }
            @match dial { Some(dial) => (dial), None => p class="shown" { strong { (told) } } }
        }
    }
}

fn step_words(model: &Model, action: Action) -> String {
    let circuit = model.circuit();
    match action {
        Action::Check(check) => {
            let check = &model.checks()[check];
            let (manner, condition) = (words::manner(check), words::condition(circuit, check));
            format!(
                "{} {}, {}",
                words::place(circuit, check),
                plain(manner),
                plain(condition)
            )
        }
        Action::Replace(part, bench) => {
            let part = plain(words::part(circuit, part));
            if bench {
                said::renewed_after_bench(part)
            } else {
                said::renewed(part)
            }
        }
        Action::Beyond => said::looked_beyond(),
    }
}

pub(crate) fn shown(model: &Model, step: &Step) -> String {
    match (step.action, step.event) {
        (Action::Check(check), Event::Read(Some(outcome))) => {
            plain(Units::default().outcome(&model.checks()[check], outcome))
        }
        (_, Event::Read(_)) => said::not_possible(),
        (_, Event::Renewed { sent_back, cured }) => {
            let now = if cured { said::gone() } else { said::not_gone() };
            match usize::try_from(sent_back) {
                Ok(count) if count > 0 => said::sent_back(count, now),
                _ => now,
            }
        }
        (_, Event::Beyond(true)) => said::was_beyond(),
        (_, Event::Beyond(false)) => said::not_beyond(),
        (_, Event::GivenUp) => said::given_up(),
    }
}

/// What was chosen on the drawing: a check with what to do before it, or what can be done at a place.
fn chosen(sitting: &Sitting, model: &Model, job: &Job, look: &Look) -> Result<Markup, NotDone> {
    let circuit = model.circuit();
    if !look.check.is_empty() {
        let check = model
            .check(&look.check)
            .ok_or_else(|| NotDone::bad_input("the circuit has no such check"))?;
        return Ok(one_check(sitting, model, job, &model.checks()[check]));
    }
    let part = circuit.part(&look.part);
    let here = |check: &&Check| match check.place {
        Place::Port(port, joint) => circuit.joints[joint.0].name == look.joint || part == Some(port.part),
        Place::Part(at) => part == Some(at),
    };
    let checks: Vec<&Check> = model.checks().iter().filter(here).collect();
    if checks.is_empty() && part.is_none() {
        return Ok(html! { p { (said::choose_here()) } });
    }
    let heading = part.map_or_else(|| look.joint.clone(), |part| words::part(circuit, part));
    Ok(html! {
        section class="card" id="here" {
            h2 { (lower(heading)) }
            ul class="plain" { @for check in checks {
                li { a class="wide" href=(at_check(sitting, check)) {
                    strong { (lower(words::plainly(circuit, check))) ", " (said::manner_at(plain(words::manner(check)), words::place(circuit, check))) }
                    span class="aside" { (lower(words::condition(circuit, check))) ", " (lower(words::minutes(job.account.bay.minutes(circuit, check)))) }
                } }
            } }
            @if let Some(part) = part { (renew(sitting, model, part)) }
        }
    })
}

fn at_check(sitting: &Sitting, check: &Check) -> String {
    format!("/practice/{}?check={}", sitting.id, check.id.replace(' ', "+"))
}

fn one_check(sitting: &Sitting, model: &Model, job: &Job, check: &Check) -> Markup {
    let circuit = model.circuit();
    html! {
        section class="card" id="here" {
            h2 { (lower(words::plainly(circuit, check))) }
            p class="aside" { (lower(words::condition(circuit, check))) ", " (lower(words::minutes(job.account.bay.minutes(circuit, check)))) ", " code { (check.id) } }
            @for caution in how::cautions(circuit, check) { p class="caution" { strong { (lower(caution.hazard)) } " " (lower(caution.precaution)) } }
            p { (lower(how::to_do(circuit, check))) }
            form method="post" action={ "/practice/" (sitting.id) } {
                input type="hidden" name="step" value=(sitting.actions.len());
                input type="hidden" name="check" value=(check.id);
                button { (said::make_check()) }
            }
        }
    }
}

fn renew(sitting: &Sitting, model: &Model, part: PartId) -> Markup {
    let circuit = model.circuit();
    let known = &circuit.parts[part.0];
    html! {
        details {
            summary { (said::renew_it(plain(words::minutes(known.repair.minutes)), format!("{:.0}", known.repair.price))) }
            @for caution in how::cautions_of_work(circuit, part) { p class="caution" { strong { (lower(caution.hazard)) } " " (lower(caution.precaution)) } }
            form method="post" action={ "/practice/" (sitting.id) } {
                input type="hidden" name="step" value=(sitting.actions.len());
                input type="hidden" name="renew" value=(known.id);
                label class="tick" { input type="checkbox" name="bench" value="true"; " " (said::try_on_bench()) }
                button class="grave" { (said::and_prove(plain(known.kind.repair.what))) }
            }
        }
    }
}

/// The circuit with what was read at its places; its parts and measuring points lead to what can be done there.
fn drawing(sitting: &Sitting, model: &Model, job: &Job, over: bool) -> Markup {
    let circuit = model.circuit();
    let mut notes = Notes::default();
    for reading in job.seen().readings {
        let check = &model.checks()[reading.check];
        if let Place::Port(_, joint) = check.place {
            notes.joints.push(JointNote {
                joint,
                text: plain(Units::default().outcome(check, reading.outcome)),
            });
        }
    }
    let layout = draw::layout(circuit);
    let svg = |width| {
        let touch = Touch::Links {
            part: format!("/practice/{}?part={{}}", sitting.id),
            joint: format!("/practice/{}?joint={{}}", sitting.id),
        };
        let style = Style {
            touch: if over { Touch::Nothing } else { touch },
            ..Style::within(width)
        };
        PreEscaped(drawn(&draw::svg(&layout, circuit, &notes, &style)))
    };
    html! {
        figure class="drawing narrow" { (svg(WIDTHS.0)) }
        figure class="drawing broad" { (svg(WIDTHS.1)) }
    }
}

/// Everything else that can be done.
fn all(sitting: &Sitting, model: &Model) -> Markup {
    let circuit = model.circuit();
    html! {
        details {
            summary { (said::every_check(model.checks().len())) }
            ul class="plain" { @for check in model.checks() {
                li { a class="wide" href=(at_check(sitting, check)) {
                    strong { (lower(words::plainly(circuit, check))) ", " (said::manner_at(plain(words::manner(check)), words::place(circuit, check))) }
                    span class="aside" { (lower(words::condition(circuit, check))) " " code { (check.id) } }
                } }
            } }
        }
        form class="row answers" method="post" action={ "/practice/" (sitting.id) } {
            input type="hidden" name="step" value=(sitting.actions.len());
            button class="plain" name="beyond" value="true" { (said::look_beyond_it()) }
            button class="grave" name="leave" value="true" { (said::leave()) }
        }
    }
}

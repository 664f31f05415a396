//! Taking a vehicle in, in under a minute on a phone.

use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::pages::forms::number;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, said};
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::{Extension, Form};
use desk::{Desk, Held, Problem, Sort};
use job::{CodeStatus, Described, Event, Intake, JobId, Vehicle};
use maud::{Markup, html};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};
use uuid::Uuid;

/// What was typed at the door.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(crate) struct Typed {
    /// Made by the form: what is sent twice is one job.
    pub(crate) job: Option<Uuid>,
    pub(crate) codes: String,
    pub(crate) complaint: String,
    pub(crate) vehicle: String,
    pub(crate) odometer: String,
    pub(crate) circuit: String,
    pub(crate) altitude: String,
    pub(crate) limit: String,
    pub(crate) invented: bool,
    /// Not typed: names of the shop's own circuits, and the one that was picked.
    #[serde(skip)]
    pub(crate) own: Own,
}

/// The shop's own circuits, as far as a form needs them.
#[derive(Debug, Clone, Default)]
pub(crate) struct Own {
    names: Vec<String>,
    picked: Option<Described>,
}

impl Own {
    /// Looks in the shop's folder.
    pub(crate) fn of(shop: &Shop, picked: &str) -> Result<Self, NotDone> {
        let shelf = shop.shelf();
        let described = |text: String| Described {
            name: picked.to_owned(),
            text: shelf.bundle(picked, &text).source.text,
        };
        Ok(Self {
            names: shelf.names(),
            picked: shelf.text(picked)?.map(described),
        })
    }
}

/// `GET /new`; what stands in the address is filled in.
pub(crate) async fn ask(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Query(mut typed): Query<Typed>,
) -> Result<Html<String>, NotDone> {
    typed.own = Own::of(&shop, &typed.circuit)?;
    let facts = shop.with(&visitor, desk::shop_facts).await?;
    if typed.altitude.is_empty() {
        typed.altitude = facts.altitude.unwrap_or_default();
    }
    Ok(layout(&said::take_in(), Nav::Jobs, &form(&typed, None)))
}

/// `POST /new`
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Form(mut typed): Form<Typed>,
) -> Result<Response, NotDone> {
    typed.own = Own::of(&shop, &typed.circuit)?;
    let begun = shop.with(&visitor, move |desk| match begin(desk, &typed) {
        Ok(held) => Ok(Ok((held.number, held.job.id))),
        Err(problem) if problem.sort == Sort::BadInput => Ok(Err(form(&typed, Some(&problem)))),
        Err(problem) => Err(problem),
    });
    match begun.await? {
        Ok((number, job)) => {
            shop.say_changed(job);
            Ok(Redirect::to(&format!("/jobs/{number}")).into_response())
        }
        Err(main) => Ok((
            StatusCode::UNPROCESSABLE_ENTITY,
            layout(&said::take_in(), Nav::Jobs, &main),
        )
            .into_response()),
    }
}

/// Begins a job with what was typed.
pub(crate) fn begin(desk: &mut Desk, typed: &Typed) -> Result<Held, Problem> {
    let words = typed
        .codes
        .split([',', ';', ' ', '\n'])
        .map(str::trim)
        .filter(|word| !word.is_empty());
    let codes: Vec<String> = words.map(desk::code_of).collect::<Result<_, _>>()?;
    let circuit = circuit(typed, &codes)?;
    let altitude = desk::altitude_of(&typed.altitude)?;
    let intake = Intake {
        vehicle: Vehicle {
            words: typed.vehicle.trim().to_owned(),
            odometer_km: number(&typed.odometer, "the distance driven")?,
            ..Vehicle::default()
        },
        complaint: typed.complaint.trim().to_owned(),
        circuit,
        altitude,
        limit: number(&typed.limit, "what the customer will spend")?,
        invented: typed.invented,
        ..Intake::default()
    };
    let mut events = vec![Event::TakenIn { intake }];
    events.extend(codes.into_iter().map(|code| Event::CodeNoted {
        code,
        status: CodeStatus::Stored,
    }));
    desk.begin_as(JobId(typed.job.unwrap_or_else(Uuid::now_v7)), events)
}

/// The circuit that was picked, or the only one that all codes can come from.
fn circuit(typed: &Typed, codes: &[String]) -> Result<Described, Problem> {
    if let Some(own) = &typed.own.picked {
        return Ok(own.clone());
    }
    let shipped = if typed.circuit.is_empty() {
        match desk::circuit_for(codes).as_slice() {
            [only] => Some(*only),
            [] => None,
            several => {
                let names: Vec<&str> = several.iter().map(|circuit| circuit.name).collect();
                return Err(Problem::bad_input(
                    format!("this can come from {} circuits: pick one", several.len()),
                    Some(names.join(", ")),
                ));
            }
        }
    } else {
        engine::shipped_called(&typed.circuit)
    };
    let shipped = shipped.ok_or_else(|| {
        Problem::bad_input(
            "a job needs a circuit to work on, or a code that leads to one",
            Some("pick a circuit from the list".to_owned()),
        )
    })?;
    Ok(Described {
        name: shipped.name.to_owned(),
        text: shipped.text.to_owned(),
    })
}

fn form(typed: &Typed, problem: Option<&Problem>) -> Markup {
    html! {
        form method="post" action="/new" class="intake" data-keep="new" {
            input type="hidden" name="job" value=(typed.job.unwrap_or_else(Uuid::now_v7));
            @if let Some(problem) = problem {
                p class="problem" role="alert" { (lower(&problem.message).sentence()) @if let Some(hint) = &problem.hint { " " (lower(hint).sentence()) } }
            }
            label for="codes" { (said::codes()) }
            input id="codes" name="codes" value=(typed.codes) autocomplete="off" autocapitalize="characters" list="known-codes";
            datalist id="known-codes" {
                @for code in known_codes() { option value=(code) {} }
            }
            label for="circuit" { (said::circuit()) }
            select id="circuit" name="circuit" {
                option value="" { (said::circuit_of_code()) }
                @for circuit in engine::shipped() {
                    option value=(circuit.name) selected[typed.circuit == circuit.name] { (super::circuit(circuit.name)) }
                }
                @for name in &typed.own.names {
                    option value=(name) selected[typed.circuit == *name] { (super::circuit(name)) }
                }
            }
            label for="complaint" { (said::complaint()) }
            input id="complaint" name="complaint" value=(typed.complaint) autocomplete="off";
            label for="vehicle" { (said::vehicle()) }
            input id="vehicle" name="vehicle" value=(typed.vehicle) autocomplete="off";
            details open[!typed.odometer.is_empty() || !typed.altitude.is_empty() || !typed.limit.is_empty()] {
                summary { (said::more_intake()) }
                label for="odometer" { (said::odometer()) }
                input id="odometer" name="odometer" inputmode="decimal" value=(typed.odometer) autocomplete="off";
                label for="altitude" { (said::altitude()) }
                input id="altitude" name="altitude" inputmode="decimal" value=(typed.altitude) autocomplete="off";
                label for="limit" { (said::limit()) }
                input id="limit" name="limit" inputmode="decimal" value=(typed.limit) autocomplete="off";
                label class="tick" { input type="checkbox" name="invented" value="true" checked[typed.invented]; " " (said::invented()) }
            }
            button { (said::take_it_in()) }
        }
    }
}

/// The codes that shipped circuits name.
fn known_codes() -> &'static BTreeSet<String> {
    static CODES: OnceLock<BTreeSet<String>> = OnceLock::new();
    CODES.get_or_init(|| {
        let models = engine::shipped()
            .iter()
            .filter_map(|shipped| engine::load(shipped.name, shipped.text).model);
        models.flat_map(|model| model.circuit().codes.clone()).collect()
    })
}

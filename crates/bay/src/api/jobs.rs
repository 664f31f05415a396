//! Jobs for programs.

use super::body::{Asked, At, Body};
use super::refused::{NotTaken, OfJob, Refused};
use super::said::{JobLine, JobState, NewJob, NewReading, stage};
use super::steps::NewStep;
use crate::not_done::NotDone;
use crate::pages::{Intake, Own, begin};
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::http::StatusCode;
use axum::{Extension, Json};
use desk::{Desk, Held, Problem, Reading};
use job::{EntryId, Event};
use serde::Deserialize;
use std::sync::Arc;
use store::Filter;
use utoipa::IntoParams;
use uuid::Uuid;

/// Most jobs in one answer.
const MOST: usize = 200;

/// What to look for.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default)]
pub(crate) struct Wanted {
    /// Words of the vehicle or the complaint.
    words: String,
    /// Only jobs in this stage.
    stage: Option<String>,
}

/// The newest jobs, 200 at most.
#[utoipa::path(get, path = "/api/jobs", params(Wanted), responses((status = 200, body = Vec<JobLine>), Refused))]
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Asked(wanted): Asked<Wanted>,
) -> Result<Json<Vec<JobLine>>, NotDone> {
    let stage = match wanted.stage.as_deref() {
        None | Some("") => None,
        Some(name) => {
            Some(stage(name).ok_or_else(|| NotDone::bad_input(format!("no job has a stage `{name}`")))?)
        }
    };
    let filter = Filter {
        stage,
        words: wanted.words,
    };
    let rows = shop
        .with(&visitor, move |desk| desk.store().list(&filter, MOST, None))
        .await?;
    Ok(Json(rows.iter().map(JobLine::from).collect()))
}

/// Takes a vehicle in.
#[utoipa::path(post, path = "/api/jobs", request_body = NewJob, responses((status = 201, body = JobState), NotTaken))]
pub(crate) async fn take_in(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Body(new): Body<NewJob>,
) -> Result<(StatusCode, Json<JobState>), NotDone> {
    let intake = Intake {
        job: new.job,
        codes: new.codes.join(","),
        complaint: new.complaint,
        vehicle: new.vehicle,
        odometer: new.odometer_km.map_or_else(String::new, |km| km.to_string()),
        own: Own::of(&shop, &new.circuit)?,
        circuit: new.circuit,
        altitude: new.altitude,
        limit: String::new(),
        invented: new.invented,
    };
    let held = shop.with(&visitor, move |desk| begin(desk, &intake)).await?;
    shop.say_changed(held.job.id);
    Ok((StatusCode::CREATED, Json(JobState::from(&held))))
}

/// A job by its number, or the beginning of its name.
#[utoipa::path(get, path = "/api/jobs/{number}", params(OfJob), responses((status = 200, body = JobState), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<JobState>, NotDone> {
    let held = shop.with(&visitor, move |desk| desk.job(&number)).await?;
    Ok(Json(JobState::from(&held)))
}

/// A job's record: every entry, in its order.
#[utoipa::path(get, path = "/api/jobs/{number}/record", params(OfJob), responses((status = 200, body = Vec<serde_json::Value>), Refused))]
pub(crate) async fn record(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<Vec<job::Entry>>, NotDone> {
    let held = shop.with(&visitor, move |desk| desk.job(&number)).await?;
    Ok(Json(job::in_order(&held.entries).into_iter().cloned().collect()))
}

/// Notes a reading.
#[utoipa::path(post, path = "/api/jobs/{number}/readings", request_body = NewReading, params(OfJob), responses((status = 200, body = JobState), NotTaken))]
pub(crate) async fn read(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
    Body(new): Body<NewReading>,
) -> Result<Json<JobState>, NotDone> {
    let entry = new.entry;
    let events = move |desk: &mut Desk, held: &Held| {
        let (model, _) = desk::known(held)?;
        let facts = desk::shop_facts(desk)?;
        let said = new
            .said()
            .ok_or_else(|| Problem::bad_input("a reading is one of `value`, `bound` and `answer`", None))?;
        let reading = Reading {
            check: new.check.clone(),
            said,
        };
        Ok(desk::note(
            held,
            &model,
            &facts,
            &[reading],
            new.instrument.as_deref(),
            new.minutes,
        )?
        .events)
    };
    write(&shop, &visitor, number, entry, events).await
}

/// Says one thing of a job.
#[utoipa::path(post, path = "/api/jobs/{number}/steps", request_body = NewStep, params(OfJob), responses((status = 200, body = JobState), NotTaken))]
pub(crate) async fn step(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
    Body(new): Body<NewStep>,
) -> Result<Json<JobState>, NotDone> {
    let entry = new.entry;
    write(&shop, &visitor, number, entry, |_, held| new.events(held)).await
}

/// Writes what was said, once, and tells the job after it.
pub(super) async fn write(
    shop: &Arc<Shop>,
    visitor: &Visitor,
    number: String,
    entry: Option<Uuid>,
    events: impl FnOnce(&mut Desk, &Held) -> Result<Vec<Event>, Problem> + Send + 'static,
) -> Result<Json<JobState>, NotDone> {
    let name = entry.map(EntryId);
    let held = shop.with(visitor, move |desk| {
        let held = desk.job(&number)?;
        if held.says(name) {
            return Ok(held);
        }
        let events = events(desk, &held)?;
        desk.write_as(&held, events, name)
    });
    let held = held.await?;
    shop.say_changed(held.job.id);
    Ok(Json(JobState::from(&held)))
}

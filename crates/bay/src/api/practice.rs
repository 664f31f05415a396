//! Practice for programs: a vehicle with a hidden fault, steps on it, and at the end what was hidden.

use super::body::{At, Body};
use super::refused::{NotTaken, Refused};
use crate::not_done::NotDone;
use crate::pages::practice::{self as page, Sent, Sitting, Step};
use crate::pages::thinking;
use crate::shop::Shop;
use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use engine::Model;
use engine::practice::{Action, Event, Job, Record};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};
use uuid::Uuid;

/// A practice job to begin.
#[derive(Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
#[schema(example = json!({"id": "00000000-0000-4000-8000-000000000001", "circuit": "vacuum-wastegate", "seed": 7}))]
pub(crate) struct NewPractice {
    /// Its name, made by the caller: said twice it is one.
    id: Option<Uuid>,
    /// Name of a circuit; without it, any shipped one.
    circuit: String,
    /// The number of the vehicle, to play the same one as somebody else; without it, another one.
    #[schema(value_type = Option<u64>)]
    seed: Option<u32>,
}

/// A practice job.
#[derive(Debug, IntoParams)]
#[into_params(parameter_in = Path)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct OfPractice {
    /// Its name.
    #[param(example = "00000000-0000-4000-8000-000000000001")]
    id: Uuid,
}

/// A practice job as it stands.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct PracticeState {
    id: Uuid,
    circuit: String,
    /// The number of the vehicle.
    seed: u64,
    /// Height above the sea.
    altitude_m: f64,
    /// The customer's words.
    complaint: Option<String>,
    /// The code that is stored.
    code: Option<String>,
    /// What was done, in order.
    steps: Vec<Done>,
    /// Hands-on minutes.
    minutes: f64,
    /// Price of parts.
    parts: f64,
    /// Both.
    cost: f64,
    /// Whether the job has ended, or was left.
    over: bool,
    /// What was hidden; only once it is over.
    hidden: Option<String>,
}

/// A step that was made.
#[derive(Debug, Serialize, ToSchema)]
struct Done {
    /// `check`, `renew` or `beyond`.
    action: &'static str,
    /// The check or the part.
    of: Option<String>,
    /// What was read, SI; absent for what is no figure.
    value: Option<f64>,
    /// What it showed, in words.
    shown: String,
    /// What it cost.
    cost: f64,
}

/// A step to make. One of `check`, `renew`, `beyond` and `leave` is given.
#[derive(Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
#[schema(example = json!({"step": 0, "check": "tee:valve.source@idle"}))]
pub(crate) struct NewPracticeStep {
    /// How many steps came before: one sent twice counts once.
    step: usize,
    /// Id of a check.
    check: String,
    /// A part to renew.
    renew: String,
    /// With `renew`: the new one is tried on the bench first, where it can be.
    bench: bool,
    /// Look beyond this circuit.
    beyond: bool,
    /// Leave, and see what was hidden.
    leave: bool,
}

/// The end of a practice job: one's own account beside what others would have paid on the same vehicle.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Ending {
    /// What was hidden.
    hidden: String,
    accounts: Vec<Account>,
}

/// What somebody paid.
#[derive(Debug, Serialize, ToSchema)]
struct Account {
    /// `you`, `plan` or `habit`.
    who: &'static str,
    cost: f64,
    checks: usize,
    /// Parts renewed.
    renewed: usize,
    /// Of them, parts without a fault.
    wrong_parts: usize,
}

/// Begins a practice job. It is kept for half a day.
#[utoipa::path(post, path = "/api/practice", request_body = NewPractice, responses((status = 201, body = PracticeState), NotTaken))]
pub(crate) async fn begin(
    State(shop): State<Arc<Shop>>,
    Body(new): Body<NewPractice>,
) -> Result<(StatusCode, Json<PracticeState>), NotDone> {
    let begun = thinking(move || {
        let known = new.id.filter(|id| page::find(*id).is_ok());
        let id = match known {
            Some(id) => id,
            None => page::begun(&shop, new.id, new.circuit, new.seed.map(u64::from))?,
        };
        state(id)
    });
    Ok((StatusCode::CREATED, Json(begun.await?)))
}

/// A practice job as it stands.
#[utoipa::path(get, path = "/api/practice/{id}", params(OfPractice), responses((status = 200, body = PracticeState), Refused))]
pub(crate) async fn show(At(id): At<Uuid>) -> Result<Json<PracticeState>, NotDone> {
    thinking(move || state(id)).await.map(Json)
}

/// Makes a step.
#[utoipa::path(post, path = "/api/practice/{id}/steps", request_body = NewPracticeStep, params(OfPractice), responses((status = 200, body = PracticeState), NotTaken))]
pub(crate) async fn step(
    At(id): At<Uuid>,
    Body(new): Body<NewPracticeStep>,
) -> Result<Json<PracticeState>, NotDone> {
    let said = [
        !new.check.is_empty(),
        !new.renew.is_empty(),
        new.beyond,
        new.leave,
    ];
    if said.into_iter().filter(|said| *said).count() != 1 {
        return Err(NotDone::bad_input(
            "a step is one of `check`, `renew`, `beyond` and `leave`",
        ));
    }
    let sent = Sent {
        step: new.step,
        check: new.check,
        renew: new.renew,
        bench: new.bench,
        beyond: new.beyond,
        leave: new.leave,
    };
    thinking(move || {
        page::made(id, &sent)?;
        state(id)
    })
    .await
    .map(Json)
}

/// The end of a practice job, once it is over.
#[utoipa::path(get, path = "/api/practice/{id}/ending", params(OfPractice), responses((status = 200, body = Ending), Refused))]
pub(crate) async fn ending(At(id): At<Uuid>) -> Result<Json<Ending>, NotDone> {
    thinking(move || {
        let sitting = page::find(id)?;
        sitting.played(|model, job, _| {
            if !(job.is_over() || sitting.left) {
                return Err(
                    NotDone::new(StatusCode::CONFLICT, "this practice job is not over")
                        .hint("go on, or leave it with the step `leave`"),
                );
            }
            let own = [("you", page::own(job))];
            let accounts = own.into_iter().chain(sitting.others()?);
            Ok(Json(Ending {
                hidden: hidden(model, job),
                accounts: accounts.map(account).collect(),
            }))
        })
    })
    .await
}

fn account((who, record): (&'static str, Record)) -> Account {
    Account {
        who,
        cost: record.cost,
        checks: record.checks,
        renewed: record.renewed,
        wrong_parts: record.wrong_parts,
    }
}

fn hidden(model: &Model, job: &Job) -> String {
    desk::hidden(model.circuit(), job.hidden().cause())
}

fn state(id: Uuid) -> Result<PracticeState, NotDone> {
    let sitting = page::find(id)?;
    sitting.played(|model, job, steps| Ok(told(&sitting, model, job, steps)))
}

fn told(sitting: &Sitting, model: &Model, job: &Job, steps: &[Step]) -> PracticeState {
    let (said, stored) = job.hidden().complaint();
    let over = job.is_over() || sitting.left;
    PracticeState {
        id: sitting.id,
        circuit: sitting.circuit.clone(),
        seed: sitting.seed,
        altitude_m: job.hidden().height().si(),
        complaint: said.map(ToString::to_string),
        code: stored.map(ToString::to_string),
        steps: steps.iter().map(|step| done(model, step)).collect(),
        minutes: job.account.minutes,
        parts: job.account.parts,
        cost: job.account.cost(),
        over,
        hidden: over.then(|| hidden(model, job)),
    }
}

fn done(model: &Model, step: &Step) -> Done {
    let (action, of) = match step.action {
        Action::Check(check) => ("check", Some(model.checks()[check].id.clone())),
        Action::Replace(part, _) => ("renew", Some(model.circuit().parts[part.0].id.clone())),
        Action::Beyond => ("beyond", None),
    };
    let value = match step.event {
        Event::Read(Some(engine::Outcome::Value(value))) => Some(value),
        _ => None,
    };
    Done {
        action,
        of,
        value,
        shown: page::shown(model, step),
        cost: step.cost,
    }
}

//! What is believed of a job, for programs: in the form that the command line's JSON has too.

use super::body::At;
use super::refused::{OfJob, Refused};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use desk::show::Units;
use desk::{Believed, Problem};
use serde::Serialize;
use std::sync::Arc;
use utoipa::ToSchema;

/// What is believed of a job.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Belief {
    #[serde(flatten)]
    believed: Believed,
    /// Where the leading suspect stands, in words.
    standing: String,
}

/// What is believed of a job, and the checks worth making next.
#[utoipa::path(get, path = "/api/jobs/{number}/belief", params(OfJob), responses((status = 200, body = Belief), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<Belief>, NotDone> {
    let belief = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let thought = desk.thought(&held, Units::default())?;
        Ok::<_, Problem>(Belief {
            believed: desk::told(thought.case(), thought.next()),
            standing: desk::standing(thought.case(), thought.next()),
        })
    });
    Ok(Json(belief.await?))
}

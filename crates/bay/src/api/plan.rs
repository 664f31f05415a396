//! The plan of a job from here on, for programs.

use super::body::At;
use super::refused::{OfJob, Refused};
use crate::not_done::NotDone;
use crate::pages::planned;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use desk::Problem;
use desk::course::{PlanTold, told};
use desk::show::Units;
use std::sync::Arc;

/// The plan until a proven repair, as good as the time of a page allows: checks with what follows each band of readings, repairs.
#[utoipa::path(get, path = "/api/jobs/{number}/plan", params(OfJob), responses((status = 200, body = PlanTold), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<PlanTold>, NotDone> {
    let plan = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let thought = desk.thought(&held, Units::default())?;
        let course = planned(thought.case());
        Ok::<_, Problem>(told(thought.case(), &course, None))
    });
    Ok(Json(plan.await?))
}

//! Paper for a job, for programs: where each sheet is.

use super::body::At;
use super::refused::{OfJob, Refused};
use crate::not_done::NotDone;
use crate::pages::SHEETS;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use serde::Serialize;
use std::sync::Arc;
use utoipa::ToSchema;

/// A sheet.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Sheet {
    /// `job`, `card` or `customer`.
    name: &'static str,
    /// Whom it is for, and what stands on it.
    what: String,
    /// Where it is as a page.
    html: String,
    /// Where it is as PDF; absent where this build writes none.
    pdf: Option<String>,
}

/// The sheets of a job.
#[utoipa::path(get, path = "/api/jobs/{number}/sheets", params(OfJob), responses((status = 200, body = Vec<Sheet>), Refused))]
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<Vec<Sheet>>, NotDone> {
    let held = shop.with(&visitor, move |desk| desk.job(&number)).await?;
    let sheets = SHEETS.iter().map(|sheet| {
        let [html, pdf] = sheet.addresses(&held);
        Sheet {
            name: sheet.name,
            what: (sheet.what)(),
            html,
            pdf: cfg!(feature = "pdf").then_some(pdf),
        }
    });
    Ok(Json(sheets.collect()))
}

//! The shop for programs: JSON over HTTP, described by the OpenAPI document that the program itself serves.
//!
//! Figures are SI unless a unit stands beside them. What cannot be done is told as problem details (RFC 9457). A write
//! carries a name that the caller makes; said twice it counts once.

mod belief;
mod body;
mod circuits;
mod jobs;
mod refused;
mod said;
mod steps;

use crate::not_done::Details;
use crate::shop::Shop;
use axum::routing::get;
use axum::{Json, Router};
use std::sync::{Arc, LazyLock};
use utoipa::OpenApi;

/// The document.
#[derive(Debug, OpenApi)]
#[openapi(
    info(
        title = "Halfsplit",
        description = "Jobs from a trouble code to a proven repair. Figures are SI unless a unit stands beside them. \
                       The vehicle maker's service information, local law and licensed practice come first."
    ),
    paths(
        jobs::list,
        jobs::take_in,
        jobs::show,
        jobs::record,
        jobs::read,
        jobs::step,
        belief::show,
        circuits::list,
        circuits::show
    ),
    components(schemas(Details))
)]
struct Document;

static DOCUMENT: LazyLock<utoipa::openapi::OpenApi> = LazyLock::new(Document::openapi);

/// Every address for programs.
pub(crate) fn all() -> Router<Arc<Shop>> {
    Router::new()
        .route("/api/openapi.json", get(async || Json(&*DOCUMENT)))
        .route("/api/circuits", get(circuits::list))
        .route("/api/circuits/{name}", get(circuits::show))
        .route("/api/jobs", get(jobs::list).post(jobs::take_in))
        .route("/api/jobs/{number}", get(jobs::show))
        .route("/api/jobs/{number}/belief", get(belief::show))
        .route("/api/jobs/{number}/record", get(jobs::record))
        .route("/api/jobs/{number}/readings", axum::routing::post(jobs::read))
        .route("/api/jobs/{number}/steps", axum::routing::post(jobs::step))
}

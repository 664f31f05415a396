//! The shop for programs: JSON over HTTP, described by the OpenAPI document that the program itself serves.
//!
//! Figures are SI unless a unit stands beside them. What cannot be done is told as problem details (RFC 9457). A write
//! carries a name that the caller makes; said twice it counts once.

mod belief;
mod body;
mod circuits;
mod devices;
mod jobs;
mod offer;
mod photos;
mod places;
mod plan;
mod practice;
mod proof;
mod refused;
mod said;
mod sheets;
mod shop;
mod steps;
mod what_if;

use crate::not_done::Details;
use crate::shop::Shop;
use axum::routing::{get, post};
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
        places::check,
        places::part,
        places::joint,
        plan::show,
        offer::show,
        offer::answer,
        proof::show,
        photos::list,
        photos::keep,
        photos::show,
        sheets::list,
        what_if::of_job,
        circuits::list,
        circuits::look,
        circuits::show,
        circuits::keep,
        circuits::copy,
        circuits::remove,
        what_if::of_circuit,
        practice::begin,
        practice::show,
        practice::step,
        practice::ending,
        shop::show,
        shop::change,
        devices::list,
        devices::code,
        devices::revoke
    ),
    components(schemas(Details))
)]
struct Document;

static DOCUMENT: LazyLock<utoipa::openapi::OpenApi> = LazyLock::new(Document::openapi);

/// Every address for programs but that of pictures sent, which may be larger.
pub(crate) fn all() -> Router<Arc<Shop>> {
    let job = Router::new()
        .route("/", get(jobs::show))
        .route("/belief", get(belief::show))
        .route("/record", get(jobs::record))
        .route("/readings", post(jobs::read))
        .route("/steps", post(jobs::step))
        .route("/checks/{check}", get(places::check))
        .route("/parts/{part}", get(places::part))
        .route("/joints/{joint}", get(places::joint))
        .route("/offer", get(offer::show).post(offer::answer))
        .route("/plan", get(plan::show))
        .route("/proof", get(proof::show))
        .route("/sheets", get(sheets::list))
        .route("/what-if", get(what_if::of_job));
    let circuit = Router::new()
        .route(
            "/",
            get(circuits::show).put(circuits::keep).delete(circuits::remove),
        )
        .route("/copy", post(circuits::copy))
        .route("/what-if", get(what_if::of_circuit));
    Router::new()
        .route("/api/openapi.json", get(async || Json(&*DOCUMENT)))
        .route("/api/jobs", get(jobs::list).post(jobs::take_in))
        .nest("/api/jobs/{number}", job)
        .route("/api/photos/{hash}", get(photos::show))
        .route("/api/circuits", get(circuits::list))
        .route("/api/circuits/look", post(circuits::look))
        .nest("/api/circuits/{name}", circuit)
        .route("/api/practice", post(practice::begin))
        .route("/api/practice/{id}", get(practice::show))
        .route("/api/practice/{id}/steps", post(practice::step))
        .route("/api/practice/{id}/ending", get(practice::ending))
        .route("/api/shop", get(shop::show).patch(shop::change))
        .route("/api/devices", get(devices::list))
        .route("/api/devices/code", post(devices::code))
        .route("/api/devices/{id}", axum::routing::delete(devices::revoke))
}

/// The address at which pictures are sent and listed.
pub(crate) fn pictures() -> Router<Arc<Shop>> {
    Router::new().route("/api/jobs/{number}/photos", get(photos::list).post(photos::keep))
}

//! The pages, each a function from a request to a page; this is their list of addresses.

mod card;
mod changes;
mod drawing;
mod hookup;
mod intake;
mod job;
mod jobs;
mod log;
mod place;
mod steps;
mod strip;

use crate::assets;
use crate::not_done::NotDone;
use crate::shop::Shop;
use axum::Router;
use axum::routing::{get, post};
use std::sync::Arc;

/// Every address of the shop.
pub(crate) fn all() -> Router<Arc<Shop>> {
    Router::new()
        .route("/", get(jobs::list))
        .route("/new", get(intake::ask).post(intake::take))
        .route("/jobs/{number}", get(job::show))
        .route("/jobs/{number}/changes", get(changes::listen))
        .route("/jobs/{number}/checks", get(card::all))
        .route("/jobs/{number}/checks/{check}", get(card::show))
        .route("/jobs/{number}/joints/{joint}", get(place::joint))
        .route("/jobs/{number}/parts/{part}", get(place::part))
        .route("/jobs/{number}/readings", post(card::read))
        .route("/jobs/{number}/steps", post(steps::take))
        .route("/assets/{*name}", get(assets::asset))
        .fallback(async || NotDone::nothing_here())
}

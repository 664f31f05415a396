//! The pages, each a function from a request to a page; this is their list of addresses.

mod jobs;

use crate::assets;
use crate::not_done::NotDone;
use crate::shop::Shop;
use axum::Router;
use axum::routing::get;
use std::sync::Arc;

/// Every address of the shop.
pub(crate) fn all() -> Router<Arc<Shop>> {
    Router::new()
        .route("/", get(jobs::list))
        .route("/assets/{*name}", get(assets::asset))
        .fallback(async || NotDone::nothing_here())
}

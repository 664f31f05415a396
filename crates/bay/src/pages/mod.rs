//! The pages, each a function from a request to a page; this is their list of addresses.

mod begin;
mod card;
mod changes;
mod circuits;
mod closing;
mod columns;
mod devices;
mod drawing;
mod drives;
mod edit;
mod forms;
mod hookup;
mod intake;
mod job;
mod jobs;
mod log;
pub(crate) mod look;
mod me;
mod offer;
mod pair;
mod paper;
pub(crate) mod photos;
mod place;
mod plan;
pub(crate) mod practice;
mod proof;
mod repair;
mod settings;
mod stages;
mod steps;
mod strip;
pub(crate) mod what_if;

use crate::api;
use crate::assets;
use crate::doors::{PICTURE, SMALL, at_most};
use crate::not_done::NotDone;
use crate::shop::Shop;
use crate::speech::{during, lower, manner};
use axum::Router;
use axum::middleware::from_fn;
use axum::routing::{get, post};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use maud::{Markup, html};
use std::sync::Arc;

pub(crate) use devices::new_code;
pub(crate) use intake::{Own, Typed as Intake, begin};
pub(crate) use paper::SHEETS;
pub(crate) use plan::planned;

/// Every address of the shop.
pub(crate) fn all() -> Router<Arc<Shop>> {
    let small = Router::new()
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
        .route("/jobs/{number}/offer", get(offer::show).post(offer::take))
        .route("/jobs/{number}/repair", get(repair::show).post(repair::take))
        .route("/jobs/{number}/proof", get(proof::show).post(proof::take))
        .route("/jobs/{number}/close", get(closing::show).post(closing::take))
        .route("/jobs/{number}/drives", get(drives::list))
        .route("/jobs/{number}/drives/{hash}", get(drives::show))
        .route(
            "/jobs/{number}/drives/{hash}/columns",
            get(columns::show).post(columns::take),
        )
        .route("/jobs/{number}/drives/{hash}/window", get(drives::window))
        .route("/jobs/{number}/plan", get(plan::show))
        .route("/jobs/{number}/paper", get(paper::list))
        .route("/jobs/{number}/paper/{sheet}", get(paper::show))
        .route("/shop", get(settings::show).post(settings::take))
        .route("/shop/me", post(settings::me))
        .route("/devices", get(devices::list))
        .route("/devices/code", post(devices::code))
        .route("/devices/{id}/revoke", post(devices::revoke))
        .route("/pair", get(pair::ask).post(pair::pair))
        .route("/circuits", get(circuits::list).post(edit::keep))
        .route("/circuits/look", post(edit::look))
        .route("/circuits/new", get(begin::ask).post(begin::write))
        .route("/circuits/{name}/edit", get(edit::edit))
        .route("/circuits/{name}", get(circuits::show))
        .route("/practice", get(practice::ask).post(practice::begin))
        .route("/practice/{id}", get(practice::show).post(practice::step))
        .route("/what-if/{circuit}", get(what_if::show))
        .route("/what-if/{circuit}/solve", get(what_if::solve))
        .route("/jobs/{number}/what-if", get(what_if::show_job))
        .route("/jobs/{number}/what-if/solve", get(what_if::solve_job))
        .route("/manner", post(crate::speech::choose))
        .route("/assets/{*name}", get(assets::asset))
        .route("/photos/{hash}", get(photos::show))
        .merge(api::all());
    let pictures = Router::new()
        .route("/jobs/{number}/photos", post(photos::keep))
        .route("/jobs/{number}/drives", post(drives::keep))
        .merge(api::pictures());
    at_most(small, SMALL)
        .merge(at_most(pictures, PICTURE))
        .fallback(async || NotDone::nothing_here())
        .layer(from_fn(me::known))
}

/// What a circuit is called: a shipped one in words, the shop's own as they wrote it.
pub(crate) fn circuit(name: &str) -> String {
    let words = name.replace('-', " ");
    if engine::shipped_called(name).is_some() {
        lower(words).plain()
    } else {
        words
    }
}

/// Does what takes a while on a thread for it, in the manner of the request.
pub(crate) async fn thinking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, NotDone> + Send + 'static,
) -> Result<T, NotDone> {
    let manner = manner();
    let done = tokio::task::spawn_blocking(move || during(manner, work)).await;
    done.unwrap_or_else(|_| Err(NotDone::broken()))
}

/// A moment on this shop's clock.
pub(crate) fn moment(at: Timestamp) -> Markup {
    let here = TimeZone::system().to_datetime(at);
    html! {
        time datetime=(at) { (here.strftime("%Y-%m-%d %H:%M")) }
    }
}

//! The proof of a repair and the watch after it, for programs.

use super::body::At;
use super::refused::{OfJob, Refused};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::State;
use axum::{Extension, Json};
use desk::show::Units;
use desk::{Problem, Why};
use job::{Lamp, Memory, Rules};
use serde::Serialize;
use std::sync::Arc;
use utoipa::ToSchema;

/// Where the proof of a repair stands.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct ProofState {
    /// In sentences: what is still missing, or that nothing is.
    standing: Vec<String>,
    /// The checks that prove it.
    checks: Vec<ToProve>,
    /// What was measured before and after.
    compared: Vec<Compared>,
    watch: Option<Watch>,
}

/// A check that proves the repair.
#[derive(Debug, Serialize, ToSchema)]
struct ToProve {
    check: String,
    /// `again`: it was made before the repair; `works`: it says that the circuit works.
    why: &'static str,
    /// 5th, 50th and 95th percentile on a sound circuit, SI; the probability of yes.
    healthy: [f64; 3],
    /// What it read before the repair.
    before: Option<String>,
    /// It was made since, and was good.
    done: bool,
}

/// A check before and after the repair, as a person reads it.
#[derive(Debug, Serialize, ToSchema)]
struct Compared {
    what: String,
    before: Option<String>,
    after: String,
    healthy: Option<String>,
    good: bool,
}

/// What a module that does just what the rules for light vehicles in the United States allow (40 CFR 86) would have done.
#[derive(Debug, Serialize, ToSchema)]
struct Watch {
    /// Good trips in sequence while the lamp is lit; absent once it may be out.
    good_trips: Option<u32>,
    /// How many put the lamp out.
    good_trips_needed: u32,
    /// Warm-up cycles since the lamp went out; absent once the code may be erased.
    warm_ups: Option<u32>,
    /// How many allow the code to be erased.
    warm_ups_needed: u32,
    /// The same in sentences.
    told: Vec<String>,
}

fn told(rules: &Rules, watch: &job::Watch) -> Watch {
    Watch {
        good_trips: match watch.lamp {
            Lamp::On { good_trips, .. } => Some(good_trips),
            Lamp::Out => None,
        },
        good_trips_needed: rules.good_trips,
        warm_ups: match watch.code {
            Memory::Stored { warm_ups, .. } => Some(warm_ups),
            Memory::Erased => None,
        },
        warm_ups_needed: rules.warm_ups,
        told: watch.sentences(rules),
    }
}

/// The checks that prove the repair, what is missing, and the watch after it.
#[utoipa::path(get, path = "/api/jobs/{number}/proof", params(OfJob), responses((status = 200, body = ProofState), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<ProofState>, NotDone> {
    let state = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let thought = desk.thought(&held, Units::default())?;
        let case = thought.case();
        let checks = desk::to_prove(&held, case).into_iter();
        let rules = Rules::us_light();
        Ok::<_, Problem>(ProofState {
            standing: desk::repair_standing(&held),
            checks: checks
                .map(|row| ToProve {
                    check: row.check.id.clone(),
                    why: match row.why {
                        Why::Again => "again",
                        Why::Works => "works",
                    },
                    healthy: row.healthy.percentiles,
                    before: row.before,
                    done: row.done,
                })
                .collect(),
            compared: desk::compared(&held, case)
                .into_iter()
                .map(|own| Compared {
                    what: own.plain,
                    before: own.before,
                    after: own.after,
                    healthy: own.healthy,
                    good: own.good,
                })
                .collect(),
            watch: held.job.watch(&rules).map(|watch| told(&rules, &watch)),
        })
    });
    Ok(Json(state.await?))
}

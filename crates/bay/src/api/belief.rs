//! What is believed of a job, for programs.

use super::refused::{OfJob, Refused};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::{Path, State};
use axum::{Extension, Json};
use desk::show::Units;
use desk::{Case, Problem};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;
use utoipa::ToSchema;

/// Suspects after the readings that count, and the next checks. Probabilities of `suspects`, `nothing_wrong` and `not_listed` sum to 1.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Belief {
    suspects: Vec<Suspect>,
    nothing_wrong: f64,
    not_listed: f64,
    /// Per part, how likely it is at fault.
    parts: BTreeMap<String, f64>,
    /// Probability of readings at least as odd as these.
    fit: f64,
    /// The check whose reading is odd beside the others.
    odd_reading: Option<String>,
    /// Where the leading suspect stands, in words.
    standing: String,
    /// Best first.
    next: Vec<Next>,
}

/// A set of faults.
#[derive(Debug, Serialize, ToSchema)]
struct Suspect {
    /// `PART/FAULT`.
    faults: Vec<String>,
    probability: f64,
}

/// A check that could be next.
#[derive(Debug, Serialize, ToSchema)]
struct Next {
    check: String,
    /// Until it is read, with access and condition.
    minutes: f64,
    /// Expected cost until repaired if it is made first.
    cost: f64,
    /// What it is expected to spare.
    gain: f64,
    /// What can hurt.
    cautions: Vec<String>,
}

/// What is believed of a job, and the checks worth making next.
#[utoipa::path(get, path = "/api/jobs/{number}/belief", params(OfJob), responses((status = 200, body = Belief), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
) -> Result<Json<Belief>, NotDone> {
    let belief = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let (model, _) = desk::known(&held)?;
        let (case, _) = Case::of(&held, &model, Units::default())?;
        Ok::<_, Problem>(told(&case))
    });
    Ok(Json(belief.await?))
}

fn told(case: &Case) -> Belief {
    let circuit = case.model.circuit();
    let (belief, fit) = (&case.belief, case.belief.fit());
    let next = case.next(&engine::outlook(belief));
    let listed = belief
        .suspects()
        .iter()
        .filter(|suspect| !suspect.faults.is_empty());
    Belief {
        suspects: listed
            .map(|suspect| Suspect {
                faults: suspect
                    .faults
                    .iter()
                    .map(|fault| circuit.fault_name(*fault))
                    .collect(),
                probability: suspect.probability,
            })
            .collect(),
        nothing_wrong: belief.nothing_wrong(),
        not_listed: belief.not_listed(),
        parts: circuit
            .parts
            .iter()
            .map(|part| part.id.clone())
            .zip(belief.parts())
            .collect(),
        fit: fit.fit,
        odd_reading: fit.odd.map(|check| case.id(check).to_owned()),
        standing: desk::standing(case, &next),
        next: next
            .iter()
            .map(|next| Next {
                check: case.id(next.check).to_owned(),
                minutes: next.minutes,
                cost: next.cost,
                gain: next.gain,
                cautions: desk::how::cautions(circuit, &case.model.checks()[next.check])
                    .into_iter()
                    .map(desk::sentence)
                    .collect(),
            })
            .collect(),
    }
}

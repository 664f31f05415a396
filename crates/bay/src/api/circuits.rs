//! Circuits for programs: the shipped ones and the shop's own, a text looked at with its findings, keeping and taking away.

use super::body::{Asked, At, Body};
use super::refused::{NotTaken, Refused};
use crate::circuits::{names, ready, text as text_of};
use crate::not_done::NotDone;
use crate::pages::look::{Finding, looked};
use crate::pages::thinking;
use crate::shelf::{self, LARGEST, Shelf};
use crate::shop::Shop;
use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use engine::Model;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};

/// Width of a drawing that is asked for, in drawing units.
const WIDTH: u32 = 560;

/// A circuit in the list.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct CircuitLine {
    name: String,
    title: String,
    /// SAE J2012 codes that lead there.
    codes: Vec<String>,
    /// Complaints that lead there.
    symptoms: Vec<String>,
    /// Whether it is one of the shop's own.
    own: bool,
    /// Whether it can be used: a text with errors can be kept and mended later.
    usable: bool,
}

/// A circuit.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct CircuitState {
    #[serde(flatten)]
    line: CircuitLine,
    parts: Vec<Part>,
    checks: Vec<Check>,
    conditions: Vec<String>,
    /// The description itself, as its author wrote it: without what it includes.
    text: String,
    /// The mark of this text, to be said when it is changed or taken away; empty for a shipped circuit.
    mark: String,
}

/// A part.
#[derive(Debug, Serialize, ToSchema)]
struct Part {
    id: String,
    kind: String,
    /// How it can fail, `PART/FAULT`.
    faults: Vec<String>,
}

/// A check.
#[derive(Debug, Serialize, ToSchema)]
struct Check {
    id: String,
    /// What it is read with.
    instrument: String,
    /// Its figures' SI unit; absent for yes or no.
    unit: Option<String>,
    /// Hands-on minutes, access open and condition reached.
    minutes: f64,
}

/// A circuit.
#[derive(Debug, IntoParams)]
#[into_params(parameter_in = Path)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct OfCircuit {
    /// As in the list.
    #[param(example = "vacuum-wastegate")]
    name: String,
}

/// A text to look at.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"name": "our-lamp", "text": "[circuit]\ntitle = \"Lamp\"\n"}))]
pub(crate) struct Draft {
    /// What it is to be called.
    #[serde(default)]
    name: String,
    /// The description, 256 kB at most.
    text: String,
    /// Whether the drawing is wanted, as SVG.
    #[serde(default)]
    drawing: bool,
}

/// A text looked at; nothing of it is kept.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Looked {
    /// Whether a job can be worked on it.
    usable: bool,
    findings: Vec<Finding>,
    /// Findings beyond those listed.
    more: usize,
    /// Checks that follow from it.
    checks: Vec<Check>,
    /// The drawing, if it was asked for and there are no errors.
    svg: Option<String>,
}

/// A text to keep.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"text": "[circuit]\ntitle = \"Lamp\"\n", "before": ""}))]
pub(crate) struct NewCircuit {
    /// The description, 256 kB at most.
    text: String,
    /// The mark of the text that was changed; empty for a new one.
    #[serde(default)]
    before: String,
}

/// What a copy is called.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"to": "our-wastegate"}))]
pub(crate) struct NewCopy {
    /// Small letters, digits, and hyphens between them.
    to: String,
}

/// The mark of a text.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub(crate) struct Before {
    /// The mark of the text that is taken away.
    before: String,
}

/// The shipped circuits, then the shop's own.
#[utoipa::path(get, path = "/api/circuits", responses((status = 200, body = Vec<CircuitLine>)))]
pub(crate) async fn list(State(shop): State<Arc<Shop>>) -> Result<Json<Vec<CircuitLine>>, NotDone> {
    thinking(move || {
        let lines = names(&shop).into_iter().filter_map(|name| {
            // One that another took away meanwhile is not there.
            let (text, own) = text_of(&shop, &name).ok()?;
            let ready = ready(&name, &shop.shelf().bundle(&name, &text).source.text).ok();
            Some(line(&name, own, ready.as_ref().map(|ready| &ready.model)))
        });
        Ok(Json(lines.collect()))
    })
    .await
}

/// A circuit.
#[utoipa::path(get, path = "/api/circuits/{name}", params(OfCircuit), responses((status = 200, body = CircuitState), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    At(name): At<String>,
) -> Result<Json<CircuitState>, NotDone> {
    thinking(move || {
        let (text, own) = text_of(&shop, &name)?;
        Ok(Json(state(&shop.shelf(), &name, text, own)))
    })
    .await
}

/// Looks at a text: findings with their places, the checks that follow, the drawing. Nothing is kept.
#[utoipa::path(post, path = "/api/circuits/look", request_body = Draft, responses((status = 200, body = Looked), NotTaken))]
pub(crate) async fn look(
    State(shop): State<Arc<Shop>>,
    Body(draft): Body<Draft>,
) -> Result<Json<Looked>, NotDone> {
    if draft.text.len() > LARGEST {
        return Err(too_large());
    }
    thinking(move || {
        let text = draft.text.replace("\r\n", "\n");
        let looked = looked(&draft.name, &text, &shop.shelf(), draft.drawing.then_some(WIDTH));
        Ok(Json(Looked {
            usable: looked.model.is_some(),
            checks: looked.model.as_ref().map_or_else(Vec::new, checks),
            findings: looked.findings,
            more: looked.more,
            svg: looked.svg,
        }))
    })
    .await
}

/// Keeps a text in the shop's folder, with errors too: they can be mended later. The same sent twice is kept once.
#[utoipa::path(put, path = "/api/circuits/{name}", request_body = NewCircuit, params(OfCircuit), responses((status = 200, body = CircuitState), NotTaken))]
pub(crate) async fn keep(
    State(shop): State<Arc<Shop>>,
    At(name): At<String>,
    Body(new): Body<NewCircuit>,
) -> Result<Json<CircuitState>, NotDone> {
    if new.text.len() > LARGEST {
        return Err(too_large());
    }
    thinking(move || {
        let text = new.text.replace("\r\n", "\n");
        shop.shelf().keep(&name, &text, &new.before)?;
        Ok(Json(state(&shop.shelf(), &name, text, true)))
    })
    .await
}

/// Copies a circuit into the shop's folder under another name.
#[utoipa::path(post, path = "/api/circuits/{name}/copy", request_body = NewCopy, params(OfCircuit), responses((status = 201, body = CircuitState), NotTaken))]
pub(crate) async fn copy(
    State(shop): State<Arc<Shop>>,
    At(name): At<String>,
    Body(new): Body<NewCopy>,
) -> Result<(StatusCode, Json<CircuitState>), NotDone> {
    thinking(move || {
        let (text, _) = text_of(&shop, &name)?;
        shop.shelf().keep(&new.to, &text, "")?;
        Ok((
            StatusCode::CREATED,
            Json(state(&shop.shelf(), &new.to, text, true)),
        ))
    })
    .await
}

/// Takes one of the shop's own away. Jobs that began with it keep their copy.
#[utoipa::path(delete, path = "/api/circuits/{name}", params(OfCircuit, Before), responses((status = 204), NotTaken))]
pub(crate) async fn remove(
    State(shop): State<Arc<Shop>>,
    At(name): At<String>,
    Asked(asked): Asked<Before>,
) -> Result<StatusCode, NotDone> {
    thinking(move || {
        shop.shelf().take_away(&name, &asked.before)?;
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}

fn too_large() -> NotDone {
    NotDone::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        "the description is larger than 256 kB",
    )
    .hint("a circuit of five hundred parts takes a fifth of that")
}

fn state(shelf: &Shelf, name: &str, text: String, own: bool) -> CircuitState {
    let ready = ready(name, &shelf.bundle(name, &text).source.text).ok();
    let model = ready.as_ref().map(|ready| &ready.model);
    let circuit = model.map(Model::circuit);
    CircuitState {
        line: line(name, own, model),
        parts: circuit.map_or_else(Vec::new, parts),
        checks: model.map_or_else(Vec::new, checks),
        conditions: circuit.map_or_else(Vec::new, |circuit| {
            circuit
                .conditions
                .iter()
                .map(|condition| condition.id.clone())
                .collect()
        }),
        mark: if own { shelf::mark(&text) } else { String::new() },
        text,
    }
}

fn line(name: &str, own: bool, model: Option<&Model>) -> CircuitLine {
    let circuit = model.map(Model::circuit);
    CircuitLine {
        name: name.to_owned(),
        title: circuit.map_or_else(String::new, |circuit| circuit.title.clone()),
        codes: circuit.map_or_else(Vec::new, |circuit| circuit.codes.clone()),
        symptoms: circuit.map_or_else(Vec::new, |circuit| circuit.symptoms.clone()),
        own,
        usable: circuit.is_some(),
    }
}

fn parts(circuit: &circuit::Circuit) -> Vec<Part> {
    let faults = circuit.faults();
    let own = |part: usize| {
        let own = faults.iter().filter(|(fault, _)| fault.part.0 == part);
        own.map(|(fault, _)| circuit.fault_name(*fault)).collect()
    };
    let parts = circuit.parts.iter().enumerate();
    parts
        .map(|(index, part)| Part {
            id: part.id.clone(),
            kind: part.kind.name.to_owned(),
            faults: own(index),
        })
        .collect()
}

fn checks(model: &Model) -> Vec<Check> {
    let checks = model.checks().iter();
    checks
        .map(|check| Check {
            id: check.id.clone(),
            instrument: check.instrument.word().to_owned(),
            unit: check
                .reads
                .dimension()
                .map(|dimension| dimension.si_unit().to_owned()),
            minutes: check.minutes,
        })
        .collect()
}

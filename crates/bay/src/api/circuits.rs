//! Circuits for programs.

use super::refused::Refused;
use crate::not_done::NotDone;
use axum::Json;
use axum::extract::Path;
use serde::Serialize;
use utoipa::ToSchema;

/// A circuit in the list.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct CircuitLine {
    name: String,
    title: String,
    /// SAE J2012 codes that lead there.
    codes: Vec<String>,
}

/// A circuit.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct CircuitState {
    #[serde(flatten)]
    line: CircuitLine,
    parts: Vec<Part>,
    checks: Vec<Check>,
    /// The description itself.
    text: String,
}

/// A part.
#[derive(Debug, Serialize, ToSchema)]
struct Part {
    id: String,
    kind: String,
}

/// A check.
#[derive(Debug, Serialize, ToSchema)]
struct Check {
    id: String,
    /// Its figures' SI unit; absent for yes or no.
    unit: Option<String>,
    /// Hands-on minutes, access open and condition reached.
    minutes: f64,
}

/// The shipped circuits.
#[utoipa::path(get, path = "/api/circuits", responses((status = 200, body = Vec<CircuitLine>)))]
pub(crate) async fn list() -> Json<Vec<CircuitLine>> {
    let models = engine::shipped().iter().filter_map(|shipped| {
        let model = engine::load(shipped.name, shipped.text).model?;
        Some(line(shipped.name, &model))
    });
    Json(models.collect())
}

/// A shipped circuit.
#[utoipa::path(get, path = "/api/circuits/{name}", params(("name" = String, Path, description = "As in the list", example = "vacuum-wastegate")), responses((status = 200, body = CircuitState), Refused))]
pub(crate) async fn show(Path(name): Path<String>) -> Result<Json<CircuitState>, NotDone> {
    let shipped = engine::shipped_called(&name).ok_or_else(NotDone::nothing_here)?;
    let model = engine::load(shipped.name, shipped.text)
        .model
        .ok_or_else(NotDone::broken)?;
    let circuit = model.circuit();
    Ok(Json(CircuitState {
        line: line(shipped.name, &model),
        parts: circuit
            .parts
            .iter()
            .map(|part| Part {
                id: part.id.clone(),
                kind: part.kind.name.to_owned(),
            })
            .collect(),
        checks: model
            .checks()
            .iter()
            .map(|check| Check {
                id: check.id.clone(),
                unit: check
                    .reads
                    .dimension()
                    .map(|dimension| dimension.si_unit().to_owned()),
                minutes: check.minutes,
            })
            .collect(),
        text: shipped.text.to_owned(),
    }))
}

fn line(name: &str, model: &engine::Model) -> CircuitLine {
    CircuitLine {
        name: name.to_owned(),
        title: model.circuit().title.clone(),
        codes: model.circuit().codes.clone(),
    }
}

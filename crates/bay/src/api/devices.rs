//! The shop's phones and tablets for programs: who may come in, the code for one more, and showing one out.

use super::body::At;
use super::refused::Refused;
use crate::doors::{Door, Guard};
use crate::invitation::Invitation;
use crate::not_done::NotDone;
use crate::pages::new_code;
use axum::http::StatusCode;
use axum::{Extension, Json};
use serde::Serialize;
use std::sync::Arc;
use utoipa::{IntoResponses, ToSchema};
use uuid::Uuid;

/// A paired device.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Device {
    id: Uuid,
    /// What a person called it.
    name: String,
    #[schema(format = DateTime)]
    paired: String,
    /// When it was last here, within some minutes.
    #[schema(format = DateTime)]
    seen: String,
}

/// How one more device comes in.
#[derive(Debug, Serialize, ToSchema)]
#[allow(clippy::struct_field_names, reason = "the word that stands in the answer")]
pub(crate) struct PairingCode {
    /// Good for one device.
    code: String,
    /// Addresses at which it is said.
    addresses: Vec<String>,
    /// SHA-256 of the shop's certificate, to be compared on the device.
    fingerprint: String,
}

/// No code is made.
#[derive(Debug, IntoResponses, ToSchema)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) enum NoCode {
    /// At the shop's machine only, so that a device that was lost adds no others.
    #[response(status = 403, content_type = "application/problem+json")]
    Elsewhere(#[to_schema] crate::not_done::Details),
    /// No door is open to the shop's network.
    #[response(status = 409, content_type = "application/problem+json")]
    NoDoor(#[to_schema] crate::not_done::Details),
}

/// The paired devices, the last paired first.
#[utoipa::path(get, path = "/api/devices", responses((status = 200, body = Vec<Device>)))]
pub(crate) async fn list(Extension(guard): Extension<Arc<Guard>>) -> Result<Json<Vec<Device>>, NotDone> {
    let devices = guard.devices()?;
    let told = devices.into_iter().map(|device| Device {
        id: device.id,
        name: device.name,
        paired: device.paired.to_string(),
        seen: device.seen.to_string(),
    });
    Ok(Json(told.collect()))
}

/// Makes a code for one more device; the one before is no longer good.
#[utoipa::path(post, path = "/api/devices/code", responses((status = 201, body = PairingCode), NoCode))]
pub(crate) async fn code(
    Extension(guard): Extension<Arc<Guard>>,
    Extension(door): Extension<Arc<Door>>,
) -> Result<(StatusCode, Json<PairingCode>), NotDone> {
    let (network, code) = new_code(&guard, &door)?;
    let invitation = Invitation::new(&network, code);
    let code = PairingCode {
        code: invitation.spoken(),
        addresses: network.addresses,
        fingerprint: network.fingerprint,
    };
    Ok((StatusCode::CREATED, Json(code)))
}

/// Lets a device in no more.
#[utoipa::path(delete, path = "/api/devices/{id}", params(("id" = Uuid, Path, description = "As in the list")), responses((status = 204), Refused))]
pub(crate) async fn revoke(
    Extension(guard): Extension<Arc<Guard>>,
    At(id): At<Uuid>,
) -> Result<StatusCode, NotDone> {
    guard.revoke(id)?;
    Ok(StatusCode::NO_CONTENT)
}

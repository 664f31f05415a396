//! The shop's phones and tablets: who may come in, and the code for one more.

use super::moment;
use crate::doors::{Device, Door, Guard, Network};
use crate::invitation::Invitation;
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::speech::said;
use axum::Extension;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::{Html, Redirect};
use maud::{Markup, html};
use std::sync::Arc;
use uuid::Uuid;

/// `GET /devices`
pub(crate) async fn list(
    Extension(guard): Extension<Arc<Guard>>,
    Extension(door): Extension<Arc<Door>>,
) -> Result<Html<String>, NotDone> {
    let devices = guard.devices()?;
    let main = html! {
        @if door.network {
            p { (said::added_at_machine()) }
        } @else {
            (add(&guard))
        }
        h2 { (said::paired()) }
        @if devices.is_empty() {
            p { (said::none_paired()) }
        } @else {
            ul class="devices" {
                @for device in &devices { (one(device)) }
            }
        }
    };
    Ok(layout(&said::devices(), Nav::Devices, &main))
}

/// How one more comes in.
fn add(guard: &Guard) -> Markup {
    let Some(network) = guard.network() else {
        return html! {
            p { (said::only_this_machine()) }
            p { code { "halfsplit serve --listen 0.0.0.0:8443" } }
        };
    };
    html! {
        @if let Some((code, left)) = guard.code() {
            @let invitation = Invitation::new(&network, code);
            p { (said::scan_this(usize::try_from(left.as_secs() / 60 + 1).unwrap_or(usize::MAX))) }
            (invitation.picture())
            p class="code" { (invitation.spoken()) }
            p { (said::address()) code { (network.addresses.first().map_or("", String::as_str)) "pair" } }
            p { (said::compare_fingerprint()) }
            p { code { (network.fingerprint) } }
        }
        form method="post" action="/devices/code" { button { (said::new_code()) } }
    }
}

fn one(device: &Device) -> Markup {
    html! {
        li {
            strong { (device.name) }
            span class="aside" { (said::paired_on()) (moment(device.paired)) (said::last_here()) (moment(device.seen)) }
            form method="post" action={ "/devices/" (device.id) "/revoke" } {
                button class="grave" aria-label=(said::revoke_this(&device.name)) { (said::revoke()) }
            }
        }
    }
}

/// `POST /devices/code`: at this machine only, so that a device that was lost adds no others.
pub(crate) async fn code(
    Extension(guard): Extension<Arc<Guard>>,
    Extension(door): Extension<Arc<Door>>,
) -> Result<Redirect, NotDone> {
    new_code(&guard, &door)?;
    Ok(Redirect::to("/devices"))
}

/// A new code, and the network in which it is good.
pub(crate) fn new_code(guard: &Guard, door: &Door) -> Result<(Network, String), NotDone> {
    if door.network {
        return Err(NotDone::new(
            StatusCode::FORBIDDEN,
            "a code is made at the shop's machine only",
        ));
    }
    let network = guard.network().ok_or_else(|| {
        NotDone::new(
            StatusCode::CONFLICT,
            "no door is open to the shop's network, so a code would be of no use",
        )
    })?;
    let code = guard
        .new_code()
        .map_err(|error| NotDone::new(StatusCode::SERVICE_UNAVAILABLE, error.to_string()))?;
    Ok((network, code))
}

/// `POST /devices/{id}/revoke`
pub(crate) async fn revoke(
    Extension(guard): Extension<Arc<Guard>>,
    Path(id): Path<Uuid>,
) -> Result<Redirect, NotDone> {
    guard.revoke(id)?;
    Ok(Redirect::to("/devices"))
}

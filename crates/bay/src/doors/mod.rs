//! The doors: what a request must show before a page sees it, and what every answer carries.
//!
//! From the outside in: a `gate` counts connections; `dress` puts on what tells a browser to stay strict and gives
//! a [`NotDone`] the form that the one who asked reads; `let_in` looks at the name the request calls us by, how often it
//! comes and which device it is; then where it comes from, before anything is written; `sizes` bounds what it brings.

mod devices;
mod dress;
mod gate;
mod guard;
mod keep;
mod names;
mod origin;
mod pairing;
mod rates;
mod sizes;
mod tls;

pub(crate) use devices::Device;
pub(crate) use gate::Gate;
pub(crate) use guard::{Guard, Network};
pub(crate) use keep::{folder, make};
pub(crate) use names::{hosts, names_of};
pub(crate) use sizes::{PICTURE, SMALL, at_most};
pub(crate) use tls::{Certificate, certificate};

use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::Response;
use axum::{Extension, Router};
use rates::Rate;
use std::collections::BTreeSet;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tower_http::timeout::TimeoutLayer;

/// The cookie of a device. The prefix makes a browser insist on TLS, this host and no other (RFC 6265bis, section 4.1.3.2).
const COOKIE: &str = "__Host-halfsplit-device";
/// How long a browser keeps it, s: 400 days, the most that browsers allow.
const COOKIE_S: u32 = 34_560_000;
/// How long a request may take until its answer begins, with what it brings.
const THINKING: Duration = Duration::from_mins(3);
/// Programs and pages of this machine.
const HERE: Rate = Rate {
    burst: 1000,
    per_second: 200,
};
/// A paired device: a page asks for a handful of things at once.
const PAIRED: Rate = Rate {
    burst: 200,
    per_second: 20,
};
/// Whoever else reaches the shop's network.
const STRANGER: Rate = Rate {
    burst: 40,
    per_second: 2,
};

/// One way in: an address that is listened on.
#[derive(Debug)]
pub(crate) struct Door {
    /// Names and addresses by which a browser may call it, each as in `Host`, small letters.
    pub(crate) hosts: BTreeSet<String>,
    /// Others than this machine can reach it: TLS, and paired devices only.
    pub(crate) network: bool,
}

/// The shop behind a door.
pub(crate) fn shop_behind(shop: Arc<Shop>, guard: Arc<Guard>, door: Arc<Door>) -> Router {
    crate::pages::all()
        .with_state(shop)
        .layer(TimeoutLayer::with_status_code(
            StatusCode::SERVICE_UNAVAILABLE,
            THINKING,
        ))
        .layer(origin::ours())
        .layer(from_fn_with_state((guard.clone(), door.clone()), let_in))
        .layer(Extension(guard))
        .layer(Extension(door))
        .layer(from_fn(dress::dress))
        .layer(from_fn(crate::speech::listen))
}

/// Lets a request in with its visitor's name, or says why not.
async fn let_in(
    State((guard, door)): State<(Arc<Guard>, Arc<Door>)>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    mut request: Request,
    next: Next,
) -> Result<Response, NotDone> {
    let host = origin::host(&request);
    if !host.is_some_and(|host| door.hosts.contains(&host)) {
        // Another name that leads here is somebody's trick to have a browser speak to us as if we were theirs.
        return Err(NotDone::new(
            StatusCode::MISDIRECTED_REQUEST,
            "this shop does not go by that name",
        )
        .hint("use an address that `halfsplit serve` shows when it starts"));
    }
    let visitor = if door.network {
        known_device(&guard, from, &request)?
    } else {
        guard.rate("this machine", HERE)?;
        Visitor {
            who: String::new(),
            device: "this machine".to_owned(),
        }
    };
    request.extensions_mut().insert(visitor);
    Ok(next.run(request).await)
}

/// The paired device that asks; nobody where strangers may look too.
fn known_device(guard: &Guard, from: SocketAddr, request: &Request) -> Result<Visitor, NotDone> {
    if let Some(token) = token(request.headers())
        && let Some(device) = guard.holder(token)?
    {
        guard.rate(&device.id.to_string(), PAIRED)?;
        return Ok(Visitor {
            who: String::new(),
            device: device.name,
        });
    }
    guard.rate(&pairing::network_of(from.ip()).to_string(), STRANGER)?;
    let path = request.uri().path();
    if path == "/pair" || path.starts_with("/assets/") {
        return Ok(Visitor::default());
    }
    Err(
        NotDone::new(StatusCode::UNAUTHORIZED, "this device is not one of the shop's")
            .hint("scan or type the code that the shop's machine shows")
            .onward("/pair", "Pair this device"),
    )
}

/// The token that a request shows: its cookie, or `Authorization: Bearer` from a program.
fn token(headers: &HeaderMap) -> Option<&str> {
    let bearer = headers.get(header::AUTHORIZATION).and_then(|value| {
        let (scheme, token) = value.to_str().ok()?.split_once(' ')?;
        scheme.eq_ignore_ascii_case("bearer").then_some(token.trim())
    });
    bearer.or_else(|| {
        let lines = headers.get_all(header::COOKIE).iter();
        let mut pairs = lines
            .filter_map(|line| line.to_str().ok())
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='));
        pairs.find_map(|(name, value)| (name == COOKIE).then_some(value))
    })
}

/// What makes a browser keep a device's token, out of the reach of scripts and of other sites.
pub(crate) fn cookie(token: &str) -> String {
    format!("{COOKIE}={token}; Path=/; Max-Age={COOKIE_S}; Secure; HttpOnly; SameSite=Strict")
}

//! The doors: what a request must show before a page sees it, and what every answer carries.
//!
//! From the outside in: `dress` puts on what tells a browser to stay strict and gives a [`NotDone`] the form that the one
//! who asked reads; `let_in` looks at the name the request calls us by; then, before anything is written, at where it comes
//! from.

mod dress;
mod origin;

use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::Response;
use axum::{Extension, Router};
use std::collections::BTreeSet;
use std::sync::Arc;

/// One way in: an address that is listened on.
#[derive(Debug)]
pub(crate) struct Door {
    /// Names and addresses by which a browser may call it, each as in `Host`, small letters.
    pub(crate) hosts: BTreeSet<String>,
}

impl Door {
    /// The door of this machine alone: no other can reach it.
    pub(crate) fn loopback(port: u16) -> Self {
        let names = ["localhost", "127.0.0.1", "[::1]"];
        Self {
            hosts: names.iter().flat_map(|name| called(name, port, 80)).collect(),
        }
    }
}

/// `Host` of a name at a port; the scheme's usual port is left out by browsers.
fn called(name: &str, port: u16, usual: u16) -> Vec<String> {
    let mut hosts = vec![format!("{name}:{port}")];
    if port == usual {
        hosts.push(name.to_owned());
    }
    hosts
}

/// The shop behind a door.
pub(crate) fn shop_behind(shop: Arc<Shop>, door: Arc<Door>) -> Router {
    crate::pages::all()
        .with_state(shop)
        .layer(origin::ours())
        .layer(from_fn_with_state(door.clone(), let_in))
        .layer(Extension(door))
        .layer(from_fn(dress::dress))
}

async fn let_in(
    State(door): State<Arc<Door>>,
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
    request.extensions_mut().insert(Visitor {
        who: String::new(),
        device: "this machine".to_owned(),
    });
    Ok(next.run(request).await)
}

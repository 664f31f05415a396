//! Where a phone or tablet shows the code and becomes one of the shop's devices.

use crate::doors::{self, Door, Guard};
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::speech::said;
use axum::extract::{ConnectInfo, Query};
use axum::http::header;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::{Extension, Form};
use maud::html;
use serde::Deserialize;
use std::net::SocketAddr;
use std::sync::Arc;

/// What the scanned address brings along.
#[derive(Debug, Deserialize)]
pub(crate) struct Scanned {
    #[serde(default)]
    code: String,
}

/// What is sent.
#[derive(Debug, Deserialize)]
pub(crate) struct Shown {
    code: String,
    #[serde(default)]
    name: String,
}

/// `GET /pair`: only asks; looking at a link does not use the code up.
pub(crate) async fn ask(Query(scanned): Query<Scanned>) -> Html<String> {
    let main = html! {
        p { (said::pair_makes()) }
        form method="post" action="/pair" {
            label for="code" { (said::code_shown()) }
            input id="code" name="code" value=(scanned.code) required autocomplete="off" autocapitalize="characters" spellcheck="false" maxlength="20";
            label for="name" { (said::device_name()) }
            input id="name" name="name" placeholder=(said::device_example()) autocomplete="off" maxlength="60";
            p { button { (said::pair_this()) } }
        }
    };
    layout(&said::pair_title(), Nav::None, &main)
}

/// `POST /pair`
pub(crate) async fn pair(
    Extension(guard): Extension<Arc<Guard>>,
    Extension(door): Extension<Arc<Door>>,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    Form(shown): Form<Shown>,
) -> Result<Response, NotDone> {
    if !door.network {
        // This machine needs no code, and one must not be used up here.
        return Ok(Redirect::to("/devices").into_response());
    }
    let token = guard.pair(from.ip(), &shown.code, &shown.name)?;
    let kept = [(header::SET_COOKIE, doors::cookie(&token))];
    Ok((kept, Redirect::to("/")).into_response())
}

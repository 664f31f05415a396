//! Where a request comes from, as far as a browser says it.

use crate::not_done::NotDone;
use axum::extract::Request;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use tower_http::csrf::{CsrfLayer, ProtectionError};

/// The name the request calls us by, small letters; `None` if there is none or more than one.
pub(crate) fn host(request: &Request) -> Option<String> {
    let mut named = request.headers().get_all(header::HOST).iter();
    let (host, second) = (named.next()?, named.next());
    let host = host.to_str().ok()?.to_ascii_lowercase();
    // A request may name its target in the first line too (RFC 9112, section 3.2.2).
    let target = request.uri().authority();
    let same = target.is_none_or(|target| target.as_str().eq_ignore_ascii_case(&host));
    (second.is_none() && same).then_some(host)
}

/// Refuses whatever may change something and does not come from a page of ours.
///
/// A browser says where a request comes from (`Sec-Fetch-Site`, `Origin`) and no page can keep it from doing so; a program
/// that says neither is no browser that was tricked.
pub(crate) fn ours() -> CsrfLayer<fn(ProtectionError) -> Response> {
    CsrfLayer::new().with_rejection_response(foreign as fn(ProtectionError) -> Response)
}

fn foreign(_: ProtectionError) -> Response {
    NotDone::new(
        StatusCode::FORBIDDEN,
        "this was sent from a page that is not the shop's; nothing was written",
    )
    .hint("open the shop's own page and do it there")
    .into_response()
}

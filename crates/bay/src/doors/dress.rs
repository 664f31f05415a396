//! What every answer carries.

use crate::not_done::{Form, NotDone};
use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// Everything from here and nothing inline; nobody frames us; forms come back here.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; \
     connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Headers that an answer gets whatever it is.
const ALWAYS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "same-origin"),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(self), microphone=(), geolocation=(), payment=(), usb=()",
    ),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
];

/// Dresses an answer; a problem gets the form that the one who asked reads.
pub(crate) async fn dress(request: Request, next: Next) -> Response {
    let form = Form::of(request.uri().path(), request.headers());
    let mut response = next.run(request).await;
    let problem = response.extensions_mut().remove::<NotDone>();
    if let Some(problem) = problem.or_else(|| bare(&response)) {
        response = problem.answer(form);
    }
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    response
}

/// The problem behind an answer that a part of the server made without words of ours.
fn bare(response: &Response) -> Option<NotDone> {
    let status = response.status();
    let kind = response.headers().get(header::CONTENT_TYPE);
    // A page of ours says itself what is wrong, with what was typed still on it.
    let ours = kind.is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if ours || !(status.is_client_error() || status.is_server_error()) {
        return None;
    }
    let what = match status.as_u16() {
        405 => "this address does not take that kind of request",
        408 => "the request did not come to its end in time",
        413 => "that is larger than this address takes",
        415 => "what was sent is not of a kind that is understood here",
        _ if status.is_server_error() => return Some(NotDone::broken()),
        _ => "the request cannot be understood",
    };
    Some(NotDone::new(status, what))
}

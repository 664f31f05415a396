//! How much a request may bring, and how long it may take to bring it.

use crate::not_done::NotDone;
use axum::Router;
use axum::body::Body;
use axum::extract::{DefaultBodyLimit, Request};
use axum::http::{StatusCode, header};
use axum::middleware::{Next, from_fn};
use axum::response::Response;
use http_body_util::BodyExt;
use std::time::Duration;
use tower_http::timeout::RequestBodyDeadlineLayer;

/// Bytes of anything but a picture.
pub(crate) const SMALL: usize = 1_000_000;
/// Bytes of a picture, as a phone makes it.
pub(crate) const PICTURE: usize = 25_000_000;
/// How long a body may take: a picture over a slow network of a shop.
const DEADLINE: Duration = Duration::from_mins(2);
/// Bytes that are read and forgotten so that the answer arrives: a browser reads it only after it has sent everything.
const FORGOTTEN: u64 = 64_000_000;

/// These addresses take `most` bytes.
pub(crate) fn at_most<S: Clone + Send + Sync + 'static>(pages: Router<S>, most: usize) -> Router<S> {
    pages
        .layer(DefaultBodyLimit::max(most))
        .layer(RequestBodyDeadlineLayer::new(DEADLINE))
        .layer(from_fn(move |request, next| bound(most, request, next)))
}

async fn bound(most: usize, request: Request, next: Next) -> Result<Response, NotDone> {
    let said = request.headers().get(header::CONTENT_LENGTH);
    let said = said.and_then(|value| value.to_str().ok()?.parse::<u64>().ok());
    match said {
        Some(bytes) if bytes > most as u64 => {
            if bytes <= FORGOTTEN {
                let _ = tokio::time::timeout(DEADLINE, forget(request.into_body())).await;
            }
            Err(too_large(bytes, most))
        }
        _ => Ok(next.run(request).await),
    }
}

/// Reads a body to its end and keeps nothing of it.
async fn forget(mut body: Body) {
    while let Some(Ok(_)) = body.frame().await {}
}

#[allow(
    clippy::cast_precision_loss,
    reason = "a size in megabytes is told to one decimal"
)]
fn too_large(bytes: u64, most: usize) -> NotDone {
    let (bytes, most) = (bytes as f64 / 1e6, most as f64 / 1e6);
    NotDone::new(
        StatusCode::PAYLOAD_TOO_LARGE,
        format!("this has {bytes:.1} megabytes, and {most:.0} is the most here; nothing was written"),
    )
    .hint("make it smaller, or send it in parts")
}

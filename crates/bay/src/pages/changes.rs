//! Word of what happens to a job, as server-sent events.

use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::Extension;
use axum::extract::{Path, State};
use axum::response::Sse;
use axum::response::sse::{Event, KeepAlive};
use std::convert::Infallible;
use std::sync::Arc;
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{Stream, StreamExt as _};

/// `GET /jobs/{number}/changes`: how many entries there are, then one event each time something was written.
pub(crate) async fn listen(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, NotDone> {
    // Listening begins before looking, so that nothing falls between.
    let changes = BroadcastStream::new(shop.changes());
    let held = shop.with(&visitor, move |desk| desk.job(&number)).await?;
    let job = held.job.id;
    let told = changes.filter_map(move |changed| match changed {
        Ok(changed) if changed != job => None,
        // Whoever lagged behind may have missed it.
        Ok(_) | Err(_) => Some(Ok(Event::default().event("changed").data("job"))),
    });
    let stands = Event::default()
        .event("stands")
        .data(held.entries.len().to_string());
    let told = tokio_stream::once(Ok(stands)).chain(told);
    Ok(Sse::new(told).keep_alive(KeepAlive::default()))
}

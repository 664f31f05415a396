//! Pictures of a job: taken in and shown.

use crate::doors::SMALL;
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use axum::Extension;
use axum::body::Bytes;
use axum::extract::multipart::MultipartError;
use axum::extract::{Multipart, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use desk::Held;
use job::EntryId;
use std::sync::Arc;
use tokio::sync::Semaphore;
use uuid::Uuid;

/// Pictures made anew at once: each takes memory for its pixels.
static AT_ONCE: Semaphore = Semaphore::const_new(1);

/// `POST /jobs/{number}/photos`: the parts `photo`, `words` and `entry`, the name of the entry that the page made.
pub(crate) async fn keep(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(job): Path<String>,
    mut sent: Multipart,
) -> Result<Redirect, NotDone> {
    let (mut photo, mut name, mut words, mut entry) = (None, String::new(), String::new(), None);
    while let Some(part) = sent.next_field().await.map_err(|error| not_sent(&error))? {
        match part.name() {
            Some("photo") => {
                part.file_name().unwrap_or("picture").clone_into(&mut name);
                photo = Some(part.bytes().await.map_err(|error| not_sent(&error))?);
            }
            Some("words") => words = part.text().await.map_err(|error| not_sent(&error))?,
            Some("entry") => {
                let name = part.text().await.map_err(|error| not_sent(&error))?;
                entry = Some(entry_called(&name)?);
            }
            _ => {}
        }
    }
    let photo = photo.ok_or_else(no_picture)?;
    let sent = Sent {
        photo,
        name,
        words,
        entry,
    };
    let held = kept(&shop, &visitor, job, sent).await?;
    Ok(Redirect::to(&format!("/jobs/{}", held.number)))
}

/// A picture that was sent.
#[derive(Debug)]
pub(crate) struct Sent {
    /// The file.
    pub(crate) photo: Bytes,
    /// What it is called where it comes from.
    pub(crate) name: String,
    /// What it shows.
    pub(crate) words: String,
    /// The name of the entry.
    pub(crate) entry: Option<EntryId>,
}

/// Makes a picture anew and keeps it; the job after it.
pub(crate) async fn kept(
    shop: &Arc<Shop>,
    visitor: &Visitor,
    job: String,
    sent: Sent,
) -> Result<Held, NotDone> {
    let Sent {
        photo,
        name,
        words,
        entry,
    } = sent;
    if words.len() > SMALL {
        return Err(NotDone::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "the words of a picture may have a megabyte at most",
        ));
    }
    if photo.is_empty() {
        return Err(no_picture());
    }
    let _turn = AT_ONCE.acquire().await.map_err(|_| NotDone::broken())?;
    let held = shop.with(visitor, move |desk| {
        let held = desk.job(&job)?;
        if held.says(entry) {
            return Ok(held);
        }
        let event = desk::picture(desk, &photo, &name, &words)?;
        desk.write_as(&held, vec![event], entry)
    });
    let held = held.await?;
    shop.say_changed(held.job.id);
    Ok(held)
}

fn no_picture() -> NotDone {
    NotDone::bad_input("no picture was sent").hint("choose or take one first")
}

/// `GET /photos/{hash}`: what is called by its own sum never changes.
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(hash): Path<String>,
) -> Result<Response, NotDone> {
    let (bytes, media) = shop.with(&visitor, move |desk| desk.store().photo(&hash)).await?;
    // An import can bring anything along; a browser is told of pictures only.
    let media = ["image/jpeg", "image/png", "image/webp"]
        .into_iter()
        .find(|known| *known == media)
        .unwrap_or("application/octet-stream");
    let headers = [
        (header::CONTENT_TYPE, media),
        (header::CACHE_CONTROL, "private, max-age=31536000, immutable"),
    ];
    Ok((headers, bytes).into_response())
}

fn entry_called(name: &str) -> Result<EntryId, NotDone> {
    let id: Uuid = name
        .trim()
        .parse()
        .map_err(|_| NotDone::bad_input("`entry` has to be a UUID that the page made"))?;
    Ok(EntryId(id))
}

fn not_sent(error: &MultipartError) -> NotDone {
    NotDone::new(
        error.status(),
        "the picture did not arrive whole, or is larger than 25 megabytes",
    )
    .hint("send it again; nothing was written")
}

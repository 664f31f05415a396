//! Pictures of a job for programs: taken in, listed, read.

use super::body::{Asked, At};
use super::refused::{NotTaken, OfJob, Refused};
use crate::not_done::NotDone;
use crate::pages::photos;
use crate::shop::{Shop, Visitor};
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::Response;
use axum::{Extension, Json};
use desk::Held;
use job::EntryId;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};
use uuid::Uuid;

/// A picture.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Photo {
    /// SHA-256 of the file, hexadecimal.
    hash: String,
    bytes: u64,
    /// `image/jpeg`.
    media: String,
    /// What it shows.
    words: String,
    /// When it was taken in.
    #[schema(format = DateTime)]
    at: String,
    /// Where it is.
    address: String,
}

/// A file.
#[derive(Debug, ToSchema)]
#[schema(value_type = String, format = Binary)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct File(Vec<u8>);

/// What is said of a picture.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub(crate) struct About {
    /// What it shows.
    words: String,
    /// The entry's name for good, made by the caller: sent twice it counts once.
    entry: Option<Uuid>,
}

/// The pictures of a job.
#[utoipa::path(get, path = "/api/jobs/{number}/photos", params(OfJob), responses((status = 200, body = Vec<Photo>), Refused))]
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
) -> Result<Json<Vec<Photo>>, NotDone> {
    let held = shop.with(&visitor, move |desk| desk.job(&number)).await?;
    Ok(Json(told(&held)))
}

/// Takes a picture in, JPEG, PNG or WebP: it is made anew from its pixels, and nothing else that a phone wrote into it is kept.
#[utoipa::path(post, path = "/api/jobs/{number}/photos", params(OfJob, About),
    request_body(content = File, content_type = "application/octet-stream", description = "The file, 25 megabytes at most. `image/jpeg` and its like are taken as well."),
    responses((status = 201, body = Vec<Photo>), NotTaken))]
pub(crate) async fn keep(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(number): At<String>,
    Asked(about): Asked<About>,
    headers: HeaderMap,
    sent: Result<Bytes, BytesRejection>,
) -> Result<(StatusCode, Json<Vec<Photo>>), NotDone> {
    let media = headers
        .get(header::CONTENT_TYPE)
        .and_then(|value| value.to_str().ok());
    let media = media.unwrap_or_default();
    if media != "application/octet-stream" && !media.starts_with("image/") {
        return Err(NotDone::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "a picture is sent as `application/octet-stream` or `image/jpeg`",
        ));
    }
    let photo = sent.map_err(|wrong| NotDone::new(wrong.status(), wrong.body_text()))?;
    let sent = photos::Sent {
        photo,
        name: "picture".to_owned(),
        words: about.words,
        entry: about.entry.map(EntryId),
    };
    let held = photos::kept(&shop, &visitor, number, sent).await?;
    Ok((StatusCode::CREATED, Json(told(&held))))
}

/// A picture itself.
#[utoipa::path(get, path = "/api/photos/{hash}", params(("hash" = String, Path, description = "As in the list", example = "00")),
    responses((status = 200, body = File, content_type = "image/jpeg"), Refused))]
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    At(hash): At<String>,
) -> Result<Response, NotDone> {
    photos::show(State(shop), Extension(visitor), Path(hash)).await
}

fn told(held: &Held) -> Vec<Photo> {
    let photos = held.job.photos.iter();
    photos
        .map(|photo| Photo {
            hash: photo.hash.clone(),
            bytes: photo.bytes,
            media: photo.media.clone(),
            words: photo.words.clone(),
            at: photo.at.to_string(),
            address: format!("/api/photos/{}", photo.hash),
        })
        .collect()
}

//! What programs send: JSON of a known form, or a problem that says where it is wrong.

use crate::not_done::NotDone;
use axum::Json;
use axum::extract::rejection::{JsonRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts, Path, Query, Request};
use axum::http::request::Parts;
use serde::de::DeserializeOwned;

/// A body.
pub(crate) struct Body<T>(pub(crate) T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = NotDone;

    async fn from_request(request: Request, state: &S) -> Result<Self, NotDone> {
        let taken = Json::<T>::from_request(request, state).await;
        taken
            .map(|Json(body)| Self(body))
            .map_err(|wrong: JsonRejection| NotDone::new(wrong.status(), wrong.body_text()))
    }
}

/// What stands behind the question mark.
pub(crate) struct Asked<T>(pub(crate) T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequestParts<S> for Asked<T> {
    type Rejection = NotDone;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, NotDone> {
        let taken = Query::<T>::from_request_parts(parts, state).await;
        taken
            .map(|Query(asked)| Self(asked))
            .map_err(|wrong: QueryRejection| NotDone::new(wrong.status(), wrong.body_text()))
    }
}

/// What stands in the address itself.
pub(crate) struct At<T>(pub(crate) T);

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for At<T> {
    type Rejection = NotDone;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, NotDone> {
        let taken = Path::<T>::from_request_parts(parts, state).await;
        taken
            .map(|Path(at)| Self(at))
            .map_err(|wrong: PathRejection| NotDone::new(wrong.status(), wrong.body_text()))
    }
}

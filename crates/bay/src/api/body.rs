//! What programs send: JSON of a known form, or a problem that says where it is wrong.

use crate::not_done::NotDone;
use axum::Json;
use axum::extract::rejection::{JsonRejection, PathRejection, QueryRejection};
use axum::extract::{FromRequest, FromRequestParts, Path, Query, Request};
use axum::http::request::Parts;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

/// A body.
pub(crate) struct Body<T>(pub(crate) T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = NotDone;

    async fn from_request(request: Request, state: &S) -> Result<Self, NotDone> {
        // A list would be taken for the fields in their order.
        let taken = Json::<Map<String, Value>>::from_request(request, state).await;
        let Json(body) =
            taken.map_err(|wrong: JsonRejection| NotDone::new(wrong.status(), wrong.body_text()))?;
        serde_json::from_value(Value::Object(body))
            .map(Self)
            .map_err(|wrong| NotDone::bad_input(wrong.to_string()))
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

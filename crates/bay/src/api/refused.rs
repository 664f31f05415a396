//! What every address for programs may answer instead, and the job that many are about.

use crate::not_done::Details;
use utoipa::{IntoParams, IntoResponses, ToSchema};

/// A job.
#[derive(Debug, IntoParams)]
#[into_params(parameter_in = Path)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) struct OfJob {
    /// Its number, or the beginning of its name.
    #[param(example = "1")]
    number: String,
}

/// What was asked cannot be answered.
#[derive(Debug, IntoResponses, ToSchema)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) enum Refused {
    /// The address cannot be understood.
    #[response(status = 400, content_type = "application/problem+json")]
    Address(#[to_schema] Details),
    /// There is no such thing.
    #[response(status = 404, content_type = "application/problem+json")]
    Unknown(#[to_schema] Details),
    /// Something else comes first: the hint says what.
    #[response(status = 409, content_type = "application/problem+json")]
    TooEarly(#[to_schema] Details),
    /// Something in it cannot be used.
    #[response(status = 422, content_type = "application/problem+json")]
    Content(#[to_schema] Details),
}

/// What was sent cannot be taken.
#[derive(Debug, IntoResponses, ToSchema)]
#[allow(dead_code, reason = "only its description is used")]
pub(crate) enum NotTaken {
    /// It is no JSON.
    #[response(status = 400, content_type = "application/problem+json")]
    Form(#[to_schema] Details),
    /// There is no such thing.
    #[response(status = 404, content_type = "application/problem+json")]
    Unknown(#[to_schema] Details),
    /// Something else comes first: the hint says what.
    #[response(status = 409, content_type = "application/problem+json")]
    TooEarly(#[to_schema] Details),
    /// It is too large.
    #[response(status = 413, content_type = "application/problem+json")]
    TooLarge(#[to_schema] Details),
    /// It is not said to be JSON.
    #[response(status = 415, content_type = "application/problem+json")]
    Media(#[to_schema] Details),
    /// Something in it cannot be used.
    #[response(status = 422, content_type = "application/problem+json")]
    Content(#[to_schema] Details),
}

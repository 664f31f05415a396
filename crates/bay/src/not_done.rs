//! What could not be done, once: told as a page to a person, as problem details (RFC 9457) to a program.

use crate::layout::{Nav, layout};
use crate::speech::{Heard, lower, plain, said};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::Sort;
use maud::html;
use serde::Serialize;
use store::StoreError;
use utoipa::ToSchema;

/// Why an answer is not what was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotDone {
    status: StatusCode,
    what: String,
    hint: Option<String>,
    /// Seconds until it makes sense to ask again.
    wait_s: Option<u64>,
    /// Where to go from here: an address and its words.
    onward: (&'static str, &'static str),
}

impl NotDone {
    /// `what` in one sentence.
    pub fn new(status: StatusCode, what: impl Into<String>) -> Self {
        Self {
            status,
            what: what.into(),
            hint: None,
            wait_s: None,
            onward: ("/", "To the jobs"),
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// When to ask again.
    #[must_use]
    pub fn wait_seconds(mut self, seconds: u64) -> Self {
        self.wait_s = Some(seconds);
        self
    }

    /// Where a person goes from here, if not to the jobs.
    #[must_use]
    pub fn onward(mut self, address: &'static str, words: &'static str) -> Self {
        self.onward = (address, words);
        self
    }

    /// What was sent cannot be used.
    pub fn bad_input(what: impl Into<String>) -> Self {
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, what)
    }

    /// No such page.
    pub fn nothing_here() -> Self {
        Self::new(StatusCode::NOT_FOUND, "there is nothing at this address")
            .hint("the list of jobs leads to everything")
    }

    /// The program's own fault.
    pub(crate) fn broken() -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "the program could not finish this",
        )
        .hint("what was acknowledged before is kept; to send it again is safe, an entry counts once")
    }

    /// The status of the answer.
    pub fn status(&self) -> StatusCode {
        self.status
    }

    /// The answer, in the form that whoever asked reads.
    pub(crate) fn answer(&self, form: Form) -> Response {
        let mut response = match form {
            Form::Program => self.details(),
            Form::Person => (self.status, self.page()).into_response(),
        };
        let headers = response.headers_mut();
        if let Some(seconds) = self.wait_s {
            headers.insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        if self.status == StatusCode::UNAUTHORIZED {
            headers.insert(
                header::WWW_AUTHENTICATE,
                HeaderValue::from_static("Bearer realm=\"shop\""),
            );
        }
        response
    }

    /// The problem as it stands on a page beside what was typed.
    pub(crate) fn told(&self) -> maud::Markup {
        html! {
            p class="problem" role="alert" { (sentence(&self.what)) @if let Some(hint) = &self.hint { " " (sentence(hint)) } }
        }
    }

    fn page(&self) -> axum::response::Html<String> {
        let title = match self.status {
            StatusCode::NOT_FOUND => said::not_found(),
            status if status.is_server_error() => said::did_not_work(),
            _ => said::not_taken(),
        };
        let main = html! {
            // A page's script takes the reason from here to the form that was sent.
            div data-alone="yes" {
                p class="problem" role="alert" { (sentence(&self.what)) " " }
                @if let Some(hint) = &self.hint { p { (sentence(hint)) } }
            }
            p { a class="button" href=(self.onward.0) { @if self.onward.0 == "/" { (said::to_jobs()) } @else { (lower(self.onward.1)) } } }
        };
        layout(&title, Nav::None, &main)
    }

    fn details(&self) -> Response {
        let details = Details {
            title: self.status.canonical_reason().unwrap_or("Problem").to_owned(),
            status: self.status.as_u16(),
            // English for programs; a page's script shows it in the language of the page.
            detail: plain(&self.what),
            hint: self.hint.as_ref().map(plain),
        };
        // Strings and a number always have a JSON form.
        let body = serde_json::to_string(&details).unwrap_or_default();
        let kind = [(header::CONTENT_TYPE, "application/problem+json")];
        (self.status, kind, body).into_response()
    }
}

/// RFC 9457, section 3.1; without `type` it is `about:blank`, whose title is that of the status.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Details {
    /// The status in words.
    title: String,
    status: u16,
    /// What is wrong.
    detail: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    hint: Option<String>,
}

/// In the language of whoever looks, a capital in front, a full stop behind.
fn sentence(text: &str) -> Heard {
    lower(text.trim()).sentence()
}

/// Who reads an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// Somebody with a browser.
    Person,
    /// A program or a page's script.
    Program,
}

impl Form {
    /// What is asked for below `/api/` is for programs, and so is what asks for JSON before pages.
    pub(crate) fn of(path: &str, headers: &HeaderMap) -> Self {
        let accept = headers.get(header::ACCEPT).and_then(|value| value.to_str().ok());
        let accept = accept.unwrap_or_default();
        let (json, page) = (accept.find("json"), accept.find("html"));
        let sooner = json.is_some_and(|json| page.is_none_or(|page| json < page));
        if path.starts_with("/api/") || sooner {
            Self::Program
        } else {
            Self::Person
        }
    }
}

/// The doors put it into the form that the one who asked reads; without them it is for programs.
impl IntoResponse for NotDone {
    fn into_response(self) -> Response {
        let mut response = self.answer(Form::Program);
        response.extensions_mut().insert(self);
        response
    }
}

impl From<desk::Problem> for NotDone {
    fn from(problem: desk::Problem) -> Self {
        let status = match problem.sort {
            Sort::BadInput => StatusCode::UNPROCESSABLE_ENTITY,
            Sort::NotFound => StatusCode::NOT_FOUND,
            Sort::NotYet => StatusCode::CONFLICT,
            Sort::CouldNot => StatusCode::SERVICE_UNAVAILABLE,
        };
        Self {
            hint: problem.hint,
            ..Self::new(status, problem.message)
        }
    }
}

impl From<StoreError> for NotDone {
    fn from(error: StoreError) -> Self {
        desk::Problem::from(error).into()
    }
}

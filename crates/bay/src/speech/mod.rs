//! In which language a page speaks: what the person chose on a page, else what their browser asks for.
//!
//! Pages take their own sentences from `said`, one function each with a text in every language. What lower rooms say is
//! English; `lower` finds it in the other languages, and what it does not find is marked as English.

mod drawn;
mod exact;
mod lower;
pub(crate) mod said;

pub(crate) use drawn::drawn;
pub(crate) use exact::{exact, exact_read};
pub(crate) use lower::{Heard, lower, plain};

use axum::Form;
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// A language that the bay speaks.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Language {
    #[default]
    English,
    German,
    Spanish,
}

impl Language {
    /// All, with what each calls itself.
    const ALL: [(Self, &'static str); 3] = [
        (Self::English, "English"),
        (Self::German, "Deutsch"),
        (Self::Spanish, "Español"),
    ];

    /// BCP 47.
    pub(crate) fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::Spanish => "es",
        }
    }

    fn called(tag: &str) -> Option<Self> {
        let primary = tag.trim().split('-').next().unwrap_or_default();
        let mut known = Self::ALL.into_iter().map(|(language, _)| language);
        known.find(|language| language.tag().eq_ignore_ascii_case(primary))
    }

    /// The first of a list like `de-AT, en;q=0.7` that is spoken here, the most wanted first (RFC 9110, section 12.5.4).
    fn wanted(list: &str) -> Option<Self> {
        let mut wanted: Vec<(f32, Self)> = list
            .split(',')
            .filter_map(|item| {
                let (tag, weight) = item.split_once(';').unwrap_or((item, ""));
                let weight = weight
                    .trim()
                    .strip_prefix("q=")
                    .map_or(Some(1.0), |q| q.parse().ok())?;
                Some((weight, Self::called(tag)?)).filter(|(weight, _)| *weight > 0.0)
            })
            .collect();
        wanted.sort_by(|(one, _), (other, _)| other.total_cmp(one));
        wanted.first().map(|(_, language)| *language)
    }
}

/// How a page speaks to whoever looks at it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Manner {
    pub(crate) language: Language,
}

tokio::task_local! {
    static MANNER: Manner;
}

/// The manner of the request under way.
pub(crate) fn manner() -> Manner {
    MANNER.try_with(|manner| *manner).unwrap_or_default()
}

/// Does `work` in a manner, on a thread that thinks for a request.
pub(crate) fn during<T>(manner: Manner, work: impl FnOnce() -> T) -> T {
    MANNER.sync_scope(manner, work)
}

/// Takes the manner from a request and answers in it. Programs are always told in English: what they look for stays the same.
pub(crate) async fn listen(request: Request, next: Next) -> Response {
    let manner = if request.uri().path().starts_with("/api/") {
        Manner::default()
    } else {
        of(request.headers())
    };
    MANNER.scope(manner, next.run(request)).await
}

/// The cookie that keeps what a person chose.
const LANGUAGE: &str = "language";
/// A year, as long as browsers keep a cookie at most anyway.
const KEPT_S: u32 = 31_536_000;

fn of(headers: &HeaderMap) -> Manner {
    let text = |name| {
        headers
            .get(name)
            .and_then(|value: &HeaderValue| value.to_str().ok())
    };
    let chosen = |name: &str| {
        let mut pairs = text(header::COOKIE)?
            .split(';')
            .filter_map(|pair| pair.trim().split_once('='));
        pairs.find_map(|(found, value)| (found == name).then_some(value))
    };
    let language = chosen(LANGUAGE)
        .and_then(Language::called)
        .or_else(|| text(header::ACCEPT_LANGUAGE).and_then(Language::wanted));
    Manner {
        language: language.unwrap_or_default(),
    }
}

/// What is chosen at the foot of a page.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Chosen {
    language: Option<String>,
}

/// `POST /manner`: kept in this browser; back to the page it was chosen on.
pub(crate) async fn choose(headers: HeaderMap, Form(chosen): Form<Chosen>) -> Response {
    let language = chosen
        .language
        .as_deref()
        .and_then(Language::called)
        .map(Language::tag);
    let mut answer = Redirect::to(&page_before(&headers)).into_response();
    let kept =
        language.map(|tag| format!("{LANGUAGE}={tag}; Path=/; Max-Age={KEPT_S}; HttpOnly; SameSite=Lax"));
    if let Some(kept) = kept.and_then(|kept| HeaderValue::from_str(&kept).ok()) {
        answer.headers_mut().append(header::SET_COOKIE, kept);
    }
    answer
}

/// The page of ours that a request came from: its path alone, so that nobody is led elsewhere.
fn page_before(headers: &HeaderMap) -> String {
    let from = headers.get(header::REFERER).and_then(|value| value.to_str().ok());
    let from = from.and_then(|from| from.parse::<axum::http::Uri>().ok());
    let path = from.as_ref().and_then(axum::http::Uri::path_and_query);
    path.map(ToString::to_string)
        .filter(|path| path.starts_with('/') && !path.starts_with("//"))
        .unwrap_or_else(|| "/".to_owned())
}

/// Where the language is chosen, at the foot of every page.
pub(crate) fn choices() -> Markup {
    let now = manner();
    html! {
        form class="row answers" method="post" action="/manner" {
            @for (language, name) in Language::ALL {
                button class="plain" name="language" value=(language.tag()) lang=(language.tag())
                    aria-current=[(language == now.language).then_some("true")] { (name) }
            }
        }
    }
}

/// `en` where the page around speaks another language: a mark on what nobody has translated.
pub(crate) fn english() -> Option<&'static str> {
    (manner().language != Language::English).then_some("en")
}

/// A text's figures with the decimal mark of the language.
pub(crate) fn figures(text: &str) -> String {
    match manner().language {
        Language::English => text.to_owned(),
        Language::German | Language::Spanish => with_commas(text),
    }
}

/// Points between digits as commas.
fn with_commas(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| {
        at.and_then(|at| letters.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let marked = letters.iter().enumerate().map(|(at, letter)| {
        let mark = *letter == '.' && digit(at.checked_sub(1)) && digit(Some(at + 1));
        if mark { ',' } else { *letter }
    });
    marked.collect()
}

/// `150,000` with the language's mark between thousands.
pub(crate) fn thousands(text: &str) -> String {
    if manner().language == Language::English {
        return text.to_owned();
    }
    text.replace(',', ".")
}

#[cfg(test)]
mod tests;

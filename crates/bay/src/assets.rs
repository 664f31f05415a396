//! Styles and scripts, held in the program itself: a bay may have no network beyond its own.

use crate::not_done::NotDone;
use axum::extract::Path;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;
use std::fmt::Write as _;

#[derive(RustEmbed)]
#[folder = "assets/"]
struct Held;

/// One file of `assets/`, by its name there, or the style sheet of drawings: only what was built in is found, so no path leads out.
pub(crate) async fn asset(Path(name): Path<String>, asked: HeaderMap) -> Result<Response, NotDone> {
    if name == "drawing.css" {
        let kind = [
            (header::CONTENT_TYPE, media(&name)),
            (header::CACHE_CONTROL, "no-cache"),
        ];
        let styles = draw::stylesheet(draw::Theme::Auto) + draw::CURVES_STYLE;
        return Ok((kind, styles).into_response());
    }
    let file = Held::get(&name).ok_or_else(NotDone::nothing_here)?;
    let tag = file
        .metadata
        .sha256_hash()
        .iter()
        .take(16)
        .fold(String::from("\""), |mut tag, byte| {
            let _ = write!(tag, "{byte:02x}");
            tag
        })
        + "\"";
    // The browser asks each time whether its copy is still the one: a newer program shows at once.
    let kept = [
        (header::ETAG, tag.clone()),
        (header::CACHE_CONTROL, "no-cache".to_owned()),
    ];
    let same = asked
        .get(header::IF_NONE_MATCH)
        .and_then(|value| value.to_str().ok());
    if same == Some(&tag) {
        return Ok((StatusCode::NOT_MODIFIED, kept).into_response());
    }
    let kind = [(header::CONTENT_TYPE, media(&name))];
    Ok((kept, kind, file.data.into_owned()).into_response())
}

/// The media type that a name's ending stands for.
fn media(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "svg" => "image/svg+xml",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "png" => "image/png",
        "woff2" => "font/woff2",
        _ => "application/octet-stream",
    }
}

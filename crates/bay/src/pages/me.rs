//! Who stands at this device, and the units they read: two cookies, so that each device keeps its own.

use crate::shop::Visitor;
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;
use desk::show::Units;
use percent_encoding::{NON_ALPHANUMERIC, percent_decode_str, utf8_percent_encode};
use quantity::UnitSystem;

const WHO: &str = "who";
const UNITS: &str = "units";
/// A year: nobody wants to say their name every morning.
const KEPT_S: u64 = 365 * 24 * 60 * 60;
/// Longest name, letters.
const LONGEST: usize = 80;

/// Gives a request the name and the units that its device keeps.
pub(crate) async fn known(mut request: Request, next: Next) -> Response {
    let headers = request.headers();
    let units = cookie(headers, UNITS)
        .and_then(|name| name.parse::<UnitSystem>().ok())
        .unwrap_or_default();
    let who = cookie(headers, WHO).map(|name| clean(&percent_decode_str(name).decode_utf8_lossy()));
    if let Some(visitor) = request.extensions_mut().get_mut::<Visitor>()
        && visitor.who.is_empty()
    {
        visitor.who = who.unwrap_or_default();
    }
    request.extensions_mut().insert(Units(units));
    next.run(request).await
}

/// The cookies that keep them.
pub(crate) fn keep(who: &str, units: UnitSystem) -> [HeaderValue; 2] {
    let name = utf8_percent_encode(&clean(who), NON_ALPHANUMERIC).to_string();
    [(WHO, name.as_str()), (UNITS, units.name())].map(|(key, value)| {
        let line = format!("{key}={value}; Path=/; Max-Age={KEPT_S}; HttpOnly; SameSite=Strict");
        // Letters, digits, `%` and what stands above: always a header's value.
        HeaderValue::from_str(&line).unwrap_or(HeaderValue::from_static(""))
    })
}

fn cookie<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    let lines = headers.get_all(header::COOKIE).iter();
    let mut pairs = lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='));
    pairs.find_map(|(key, value)| (key == name).then_some(value))
}

/// A name on one line, no longer than names are.
fn clean(name: &str) -> String {
    let letters = name.trim().chars().filter(|letter| !letter.is_control());
    letters.take(LONGEST).collect()
}

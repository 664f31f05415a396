//! Forms as a browser sends them.

#![allow(dead_code, reason = "every story uses its own part")]

use crate::common::{Answer, FORM, Shop};
use std::fmt::Write as _;
use uuid::Uuid;

/// What a form sends.
pub(crate) fn form(fields: &[(&str, &str)]) -> String {
    let coded = |text: &str| {
        text.bytes().fold(String::new(), |mut coded, byte| {
            // Writing to a String cannot fail.
            let _ = write!(coded, "%{byte:02X}");
            coded
        })
    };
    let pairs = fields
        .iter()
        .map(|(name, value)| format!("{}={}", coded(name), coded(value)));
    pairs.collect::<Vec<_>>().join("&")
}

/// Sends a form.
pub(crate) fn send(shop: &Shop, path: &str, fields: &[(&str, &str)]) -> Answer {
    shop.ask("POST", path, &[FORM], form(fields).as_bytes())
}

/// Sends a form as a new entry.
pub(crate) fn say(shop: &Shop, path: &str, fields: &[(&str, &str)]) -> Answer {
    let entry = Uuid::now_v7().to_string();
    send(shop, path, &[&[("entry", entry.as_str())], fields].concat())
}

/// A page.
pub(crate) fn look(shop: &Shop, path: &str) -> String {
    let answer = shop.ask("GET", path, &[], b"");
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    answer.text()
}

/// It was taken.
pub(crate) fn taken(answer: &Answer) {
    assert_eq!(answer.status, 303, "{}", answer.text());
}

/// An invented vehicle, taken in.
pub(crate) fn taken_in(shop: &Shop, vehicle: &str) {
    let job = Uuid::now_v7().to_string();
    taken(&send(
        shop,
        "/new",
        &[
            ("job", job.as_str()),
            ("circuit", "vacuum-wastegate"),
            ("vehicle", vehicle),
            ("complaint", "no power uphill"),
            ("altitude", "440 m"),
            ("invented", "true"),
        ],
    ));
}

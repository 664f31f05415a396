//! A browser that asks a shop's own machine for pages, sends forms and reads JSON.

#![allow(clippy::unwrap_used, reason = "tests")]
#![allow(dead_code, reason = "each test file uses its own share of this")]

use crate::common::{FORM, Shop};

/// The browser with its shop.
pub(crate) struct Bay(Shop);

impl Bay {
    pub(crate) fn new() -> Self {
        Self(Shop::alone())
    }

    pub(crate) fn folder(&self) -> &std::path::Path {
        &self.0.folder
    }

    /// Status, head and body of an answer.
    pub(crate) fn ask(&self, method: &str, path: &str, body: &str, accept: &str) -> (u16, String, String) {
        let (accept, origin) = (
            format!("Accept: {accept}"),
            format!("Origin: http://{}", self.0.here),
        );
        let answer = self
            .0
            .ask(method, path, &[FORM, &accept, &origin], body.as_bytes());
        (answer.status, answer.head.clone(), answer.text())
    }

    pub(crate) fn page(&self, path: &str) -> (u16, String) {
        let (status, _, body) = self.ask("GET", path, "", "text/html");
        (status, body)
    }

    pub(crate) fn json(&self, path: &str) -> (u16, serde_json::Value) {
        let (status, _, body) = self.ask("GET", path, "", "application/json");
        (status, inside(&body))
    }
}

/// A long answer may come in pieces; the JSON stands between the first and the last brace.
pub(crate) fn inside(body: &str) -> serde_json::Value {
    let (first, last) = (body.find('{').unwrap(), body.rfind('}').unwrap());
    serde_json::from_str(&body[first..=last]).unwrap()
}

/// Where an answer sends the browser.
pub(crate) fn sent_to(head: &str) -> String {
    let mut lines = head.lines().filter_map(|line| line.split_once(": "));
    let line = lines.find(|(name, _)| name.eq_ignore_ascii_case("location"));
    line.unwrap().1.to_owned()
}

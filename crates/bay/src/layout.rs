//! The frame around every page.

use axum::response::Html;
use maud::{DOCTYPE, Markup, html};

/// Where in the shop a page belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nav {
    /// The jobs.
    Jobs,
    /// The circuits, and what faults do to them.
    Circuits,
    /// Hidden faults to find.
    Practice,
    /// What the shop says of itself.
    Shop,
    /// Phones and tablets that may come in.
    Devices,
    /// Nowhere: something went wrong, or nobody is in yet.
    None,
}

impl Nav {
    /// Those with an entry, in order: address and word.
    const ENTRIES: [(Self, &'static str, &'static str); 5] = [
        (Self::Jobs, "/", "Jobs"),
        (Self::Circuits, "/circuits", "Circuits"),
        (Self::Practice, "/practice", "Practice"),
        (Self::Shop, "/shop", "Shop"),
        (Self::Devices, "/devices", "Devices"),
    ];
}

/// A whole page: `main` between the way around the shop and what always has to be said.
pub fn layout(title: &str, nav: Nav, main: &Markup) -> Html<String> {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " – Halfsplit" }
                link rel="stylesheet" href="/assets/bay.css";
                link rel="stylesheet" href="/assets/drawing.css";
                script type="module" src="/assets/bay.js" {}
                link rel="icon" href="/assets/icon.svg" type="image/svg+xml";
            }
            body data-waiting="Kept on this device until the shop answers: {n}." data-refused="Not taken:"
                data-there="To its page" data-discard="Discard"
                data-meanwhile="Meanwhile others went on; what you are typing here is kept." data-go="Leave it and go on"
                data-pad="Number pad" data-back="Take the last digit back" data-minus="Minus" data-keys="The device's own keys" {
                a class="skip" href="#main" { "Skip to the content" }
                div id="outbox" role="status" {}
                header {
                    nav aria-label="Shop" {
                        @for (entry, address, word) in Nav::ENTRIES {
                            a href=(address) aria-current=[(entry == nav).then_some("page")] { (word) }
                        }
                    }
                }
                main id="main" tabindex="-1" {
                    h1 { (title) }
                    (main)
                }
                footer {
                    p {
                        "The vehicle maker's service information, local law and licensed practice come first."
                    }
                }
            }
        }
    };
    Html(page.into_string())
}

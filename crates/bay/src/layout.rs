//! The frame around every page.

use crate::speech::{choices, lower, manner, said};
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

/// A word in the language of whoever looks.
type Word = fn() -> String;

impl Nav {
    /// Those with an entry, in order: address and word.
    const ENTRIES: [(Self, &'static str, Word); 5] = [
        (Self::Jobs, "/", said::jobs),
        (Self::Circuits, "/circuits", said::circuits),
        (Self::Practice, "/practice", said::practice),
        (Self::Shop, "/shop", said::shop),
        (Self::Devices, "/devices", said::devices),
    ];
}

/// A whole page: `main`, in the language of whoever looks, between the way around the shop and what always has to be said.
pub fn layout(title: &str, nav: Nav, main: &Markup) -> Html<String> {
    frame(title, None, nav, main)
}

/// The same under a title that a lower room gave.
pub(crate) fn layout_of(title: &str, nav: Nav, main: &Markup) -> Html<String> {
    let title = lower(title);
    frame(&title.plain(), title.lang(), nav, main)
}

/// `lang` is that of the title, if it is not the page's.
fn frame(title: &str, lang: Option<&str>, nav: Nav, main: &Markup) -> Html<String> {
    let page = html! {
        (DOCTYPE)
        html lang=(manner().language.tag()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title lang=[lang] { (title) " – Halfsplit" }
                link rel="stylesheet" href="/assets/bay.css";
                link rel="stylesheet" href="/assets/drawing.css";
                script type="module" src="/assets/bay.js" {}
                link rel="icon" href="/assets/icon.svg" type="image/svg+xml";
            }
            body data-waiting=(said::waiting()) data-refused=(said::refused())
                data-most=(crate::doors::SMALL) data-long=(said::too_long()) data-unsent=(said::not_sent())
                data-there=(said::to_its_page()) data-discard=(said::discard())
                data-meanwhile=(said::meanwhile()) data-go=(said::leave_it()) data-pad=(said::number_pad())
                data-back=(said::last_digit_back()) data-minus=(said::minus()) data-keys=(said::own_keys()) {
                a class="skip" href="#main" { (said::to_content()) }
                div id="outbox" role="status" {}
                header {
                    nav aria-label=(said::shop()) {
                        @for (entry, address, word) in Nav::ENTRIES {
                            a href=(address) aria-current=[(entry == nav).then_some("page")] { (word()) }
                        }
                    }
                }
                main id="main" tabindex="-1" {
                    h1 lang=[lang] { (title) }
                    (main)
                }
                footer {
                    p { (said::comes_first()) }
                    (choices())
                }
            }
        }
    };
    Html(page.into_string())
}

//! A test card on paper: one drawn sheet as large as it is, margins and all.

use maud::{DOCTYPE, PreEscaped, html};

/// The sheet's own style says how large the paper is.
const STYLE: &str = "\
:root{color-scheme:light}body{margin:0;background:#fff}svg{display:block;margin:0 auto;max-width:100%;height:auto}\
@media print{svg{max-width:none}}";

/// A test card, ready to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Card {
    pub(crate) title: String,
    pub(crate) svg: String,
}

impl Card {
    /// A card called `title`. The SVG is written out as it is, so only a drawing of our own belongs here.
    pub fn new(title: impl Into<String>, svg: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            svg: svg.into(),
        }
    }

    /// The card as HTML that stands alone.
    pub fn html(&self) -> String {
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) }
                    style { (PreEscaped(STYLE)) }
                }
                body { (PreEscaped(&self.svg)) }
            }
        }
        .into_string()
    }
}

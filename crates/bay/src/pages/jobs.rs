//! The list of jobs, the shop's first page.

use super::{circuit, moment};
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{lower, said};
use axum::Extension;
use axum::extract::{Query, State};
use axum::response::Html;
use maud::{Markup, html};
use serde::Deserialize;
use std::sync::Arc;
use store::{Filter, Row};

/// Jobs on one page.
const AT_ONCE: usize = 50;

/// What to look for.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    words: String,
}

/// `GET /`
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Query(asked): Query<Asked>,
) -> Result<Html<String>, NotDone> {
    let filter = Filter {
        stage: None,
        words: asked.words.clone(),
    };
    let rows = shop
        .with(&visitor, move |desk| desk.store().list(&filter, AT_ONCE, None))
        .await?;
    Ok(layout(&said::jobs(), Nav::Jobs, &page(&rows, &asked.words)))
}

fn page(rows: &[Row], words: &str) -> Markup {
    html! {
        form class="search" role="search" method="get" action="/" {
            label for="words" { (said::search_words()) }
            div class="row" {
                input id="words" name="words" type="search" value=(words) autocomplete="off";
                button { (said::search()) }
            }
        }
        p { a class="button" href="/new" { (said::take_in()) } }
        @if rows.is_empty() && words.is_empty() {
            p { (said::no_jobs()) }
        } @else if rows.is_empty() {
            p { (said::none_found()) " " a href="/" { (said::all_jobs()) } }
        } @else {
            ol class="jobs" {
                @for row in rows { (line(row)) }
            }
        }
    }
}

pub(crate) fn line(row: &Row) -> Markup {
    html! {
        li {
            a href={ "/jobs/" (row.number) } {
                span class="number" { (row.number) }
                span class="what" {
                    strong { (or(&row.words, &said::no_vehicle())) }
                    span { (or(&row.complaint, &said::no_complaint())) }
                    span class="aside" { (circuit(&row.circuit)) ", " (moment(row.changed)) }
                }
                span class="stage" { (lower(row.stage.name())) }
            }
        }
    }
}

fn or<'a>(text: &'a str, instead: &'a str) -> &'a str {
    if text.trim().is_empty() { instead } else { text }
}

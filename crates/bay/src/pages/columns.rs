//! What the columns of a drive are taken for: confirmed once for every recording from the same source, or forgotten.

use super::drives::address;
use super::forms::{Typed, back};
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{english, said};
use ::drive::{Column, Recording, Signal};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::{Extension, Form};
use desk::{Held, Problem, Source, column_said, confirm_columns, forget_columns, known_source, taken_for};
use maud::{Markup, html};
use quantity::Unit;
use std::collections::BTreeSet;
use std::sync::Arc;

/// `GET /jobs/{number}/drives/{hash}/columns`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path((number, hash)): Path<(String, String)>,
) -> Result<Html<String>, NotDone> {
    let own = shop.clone();
    let page = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let recording = own.drive(desk, &held, &hash)?;
        let source = known_source(desk, &recording)?;
        Ok::<_, Problem>((
            said::columns_title(held.number),
            page(&held, &hash, &recording, source.as_ref(), &Typed::default(), None),
        ))
    });
    let (title, main) = page.await?;
    Ok(layout(&title, Nav::Jobs, &main))
}

/// `POST /jobs/{number}/drives/{hash}/columns`: `do` is `confirm`, with a field for each column, or `forget`.
pub(crate) async fn take(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path((number, hash)): Path<(String, String)>,
    Form(pairs): Form<Vec<(String, String)>>,
) -> Result<Response, NotDone> {
    let typed = Typed::new(pairs);
    let own = shop.clone();
    let taken = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let to = format!("{}/columns", address(&held, &hash));
        let recording = own.drive(desk, &held, &hash)?;
        if typed.get("do") == "forget" {
            if let Some(source) = known_source(desk, &recording)? {
                forget_columns(desk, &source.id)?;
            }
            return Ok::<_, Problem>(Ok(to));
        }
        match as_said(&recording, &typed) {
            Ok(said) => {
                let drives = &held.job.drives;
                let own = drives.iter().find(|drive| drive.recording.hash == hash);
                let file = own.map_or("", |drive| drive.recording.name.as_str());
                confirm_columns(desk, &said, file)?;
                Ok(Ok(to))
            }
            Err(wrong) => {
                let source = known_source(desk, &recording)?;
                let page = page(&held, &hash, &recording, source.as_ref(), &typed, Some(&wrong));
                Ok(Err((said::columns_title(held.number), page)))
            }
        }
    });
    Ok(match taken.await? {
        Ok(to) => Redirect::to(&to).into_response(),
        Err((title, main)) => {
            (StatusCode::UNPROCESSABLE_ENTITY, layout(&title, Nav::Jobs, &main)).into_response()
        }
    })
}

/// The recording with its columns taken for what was typed; else what cannot be used of it.
fn as_said(recording: &Recording, typed: &Typed) -> Result<Recording, String> {
    let mut said = Recording {
        heads: recording.heads.clone(),
        ..Recording::default()
    };
    for (at, column) in recording.columns.iter().enumerate() {
        let text = match typed.get(&field(at)) {
            "" => "none",
            text => text,
        };
        let known = column_said(&format!("column = {text}")).map_err(|_| text.to_owned())?;
        let before = column.unit.filter(|_| known.signal == column.signal);
        said.columns.push(Column {
            signal: known.signal,
            // Without a unit it is the usual one.
            unit: known.unit.or(before),
            values: Vec::new(),
            ..column.clone()
        });
    }
    Ok(said)
}

fn field(at: usize) -> String {
    format!("column-{at}")
}

fn page(
    held: &Held,
    hash: &str,
    recording: &Recording,
    source: Option<&Source>,
    typed: &Typed,
    wrong: Option<&str>,
) -> Markup {
    html! {
        (back(held))
        p { a class="more" href=(address(held, hash)) { (said::columns_drive()) } }
        @if recording.heads.is_empty() {
            p { (said::columns_none()) }
        } @else {
            @if let Some(wrong) = wrong { p class="problem" role="alert" { (said::columns_wrong(format!("`{wrong}`"))) } }
            @match source {
                Some(source) => p { (said::columns_confirmed(source.at.strftime("%Y-%m-%d"), &source.file)) },
                None => p { (said::columns_not_yet()) },
            }
            form method="post" action={ (address(held, hash)) "/columns" } {
                (fields(recording, typed))
                p class="aside" { (said::columns_next()) }
                button name="do" value="confirm" { (said::columns_right()) }
                @if source.is_some() {
                    " " button class="plain" name="do" value="forget" { (said::columns_forget()) }
                }
            }
            (signals())
        }
    }
}

fn fields(recording: &Recording, typed: &Typed) -> Markup {
    html! {
        @for (at, column) in recording.columns.iter().enumerate() {
            label {
                span {
                    strong lang=[english()] { (column.name) }
                    @if column.signal.is_some() { " " span class="aside" { (said::column_sure((100.0 * column.confidence).round())) } }
                }
                @let before = taken_for(column).unwrap_or_default();
                input name=(field(at)) list="signals" autocomplete="off" lang=[english()]
                    value=(if typed.get("do").is_empty() { before.as_str() } else { typed.get(&field(at)) });
            }
        }
    }
}

/// Every signal in every unit that it is recorded in.
fn signals() -> Markup {
    let mut all = BTreeSet::new();
    for signal in Signal::all() {
        for unit in Unit::all_of(signal.dimension()) {
            all.insert(match unit.symbol() {
                "" => signal.name().to_owned(),
                symbol => format!("{}, {symbol}", signal.name()),
            });
        }
    }
    html! { datalist id="signals" { @for one in &all { option value=(one) lang=[english()] {} } } }
}

//! What if: any fault at any severity on a typical vehicle, and what every gauge and the drawing would show, solved at once.

mod asked;
mod gauge;

use super::thinking;
use crate::circuits::{self, Ready};
use crate::layout::{Nav, layout};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{drawn, lower, plain, said};
pub(crate) use asked::{Asked, Typed, how_bad};
use asked::{HIGHEST, SLIDER, Set};
use axum::extract::{Path, Query, State};
use axum::response::Html;
use axum::{Extension, Json};
use circuit::{Circuit, Method, Place};
use desk::show::Units;
use desk::words;
use draw::{JointNote, Notes, PartNote, Style};
use engine::{Known, Surroundings, WhatIf};
use gauge::Gauge;
pub(crate) use gauge::{share, top};
use maud::{Markup, PreEscaped, html};
use quantity::Dimension;
use serde::Serialize;
use std::sync::Arc;
use std::time::Instant;

/// Width in drawing units, one a pixel, that a phone held upright has for a drawing, and a laptop.
pub(crate) const WIDTHS: (u32, u32) = (356, 1200);
/// Sound vehicles behind a healthy band.
const VEHICLES: usize = 40;
/// Their seed: the same band every time.
const SEED: u32 = 3;

/// `GET /what-if/{circuit}`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
    Query(typed): Query<Typed>,
) -> Result<Html<String>, NotDone> {
    let address = format!("/what-if/{name}");
    thinking(move || page(&*circuits::called(&shop, &name)?, &typed, &address, None)).await
}

/// `GET /what-if/{circuit}/solve`
pub(crate) async fn solve(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
    Query(typed): Query<Typed>,
) -> Result<Json<Answer>, NotDone> {
    thinking(move || answer(&*circuits::called(&shop, &name)?, &typed))
        .await
        .map(Json)
}

/// `GET /jobs/{number}/what-if`: the job's own circuit, at its altitude.
pub(crate) async fn show_job(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
    Query(mut typed): Query<Typed>,
) -> Result<Html<String>, NotDone> {
    let (ready, altitude, number) = of_job(&shop, &visitor, number).await?;
    if typed.altitude.is_empty() {
        typed.altitude = altitude;
    }
    let address = format!("/jobs/{number}/what-if");
    thinking(move || page(&ready, &typed, &address, Some(number))).await
}

/// `GET /jobs/{number}/what-if/solve`
pub(crate) async fn solve_job(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
    Query(typed): Query<Typed>,
) -> Result<Json<Answer>, NotDone> {
    let (ready, _, _) = of_job(&shop, &visitor, number).await?;
    thinking(move || answer(&ready, &typed)).await.map(Json)
}

pub(crate) async fn of_job(
    shop: &Arc<Shop>,
    visitor: &Visitor,
    number: String,
) -> Result<(Arc<Ready>, String, i64), NotDone> {
    let work = move |desk: &mut desk::Desk| {
        let held = desk.job(&number).map_err(NotDone::from)?;
        let circuit = &held.job.intake.circuit;
        let ready = circuits::ready(&circuit.name, &circuit.text)?;
        let altitude = held.job.intake.altitude.as_deref().unwrap_or_default();
        let altitude = quantity::parse(altitude, &[Dimension::Length]).ok();
        let altitude = altitude.map_or(0.0, |parsed| parsed.quantity.si().clamp(0.0, HIGHEST));
        Ok::<_, NotDone>((ready, format!("{altitude:.0}"), held.number))
    };
    shop.with(visitor, work).await
}

/// What one step of a slider brings.
#[derive(Debug, Serialize)]
pub(crate) struct Answer {
    /// What the server took for it, ms.
    took_ms: f64,
    /// How bad each fault is, in its unit; empty where it cannot be more or less bad.
    severities: Vec<String>,
    gauges: Vec<Gauge>,
    svg: String,
}

fn answer(ready: &Ready, typed: &Typed) -> Result<Answer, NotDone> {
    let begun = Instant::now();
    let circuit = ready.model.circuit();
    let asked = Asked::of(circuit, typed)?;
    let read = read(ready, &asked);
    let units = Units::default();
    let gauges = read.iter().map(|read| {
        let band = typed.bands.then(|| band(ready, &asked, read.check)).flatten();
        Gauge::new(&ready.model, read, band, units)
    });
    let gauges = gauges.collect();
    let width = if typed.narrow { WIDTHS.0 } else { WIDTHS.1 };
    let svg = drawing(ready, &asked, &read, width);
    let told = |set: &Set| plain(how_bad(circuit, set).unwrap_or_default());
    Ok(Answer {
        severities: asked.set.iter().map(told).collect(),
        gauges,
        svg,
        took_ms: (begun.elapsed().as_secs_f64() * 1e4).round() / 10.0,
    })
}

/// What every check of the condition shows.
pub(crate) fn read(ready: &Ready, asked: &Asked) -> Vec<WhatIf> {
    let checks: Vec<usize> = (0..ready.model.checks().len())
        .filter(|check| ready.model.checks()[*check].condition == asked.condition)
        .collect();
    engine::what_if(&ready.model, asked.ambient(), &asked.faults(), &checks)
}

/// What sound vehicles show.
pub(crate) fn band(ready: &Ready, asked: &Asked, check: usize) -> Option<[f64; 3]> {
    let surroundings = Surroundings {
        ambient: asked.ambient(),
        known: Known::FromAltitude,
    };
    let expected = engine::expect(&ready.model, surroundings, &[], check, VEHICLES, SEED).ok()?;
    Some(expected.percentiles)
}

/// The circuit with what is read at its joints while it works, and the faults beside their parts.
pub(crate) fn drawing(ready: &Ready, asked: &Asked, read: &[WhatIf], width: u32) -> String {
    let units = Units::default();
    let (model, circuit) = (&ready.model, ready.model.circuit());
    let mut notes = Notes::default();
    for set in &asked.set {
        let name = circuit.fault_spec(set.fault).name;
        let graded = circuit.fault_spec(set.fault).severity;
        // Both do not fit beside a part of usual width; which fault it is stands above the drawing.
        let note = graded.map_or_else(
            || plain(name),
            |spec| plain(Units::severity(&spec, set.severity, set.severity)),
        );
        notes.parts.push(PartNote {
            part: set.fault.part,
            share: None,
            text: Some(note),
        });
        notes.highlight.get_or_insert(Place::Part(set.fault.part));
    }
    for read in read {
        let check = &model.checks()[read.check];
        let Ok(value) = read.faulty else { continue };
        let text = plain(units.value(check, value));
        match (check.place, check.method) {
            (Place::Port(_, joint), Method::Tee | Method::Volts | Method::Pressure) => {
                notes.joints.push(JointNote { joint, text });
            }
            (Place::Part(part), Method::Travel | Method::Speed | Method::Amps)
                if notes.part(part).is_none() =>
            {
                notes.parts.push(PartNote {
                    part,
                    share: None,
                    text: Some(text),
                });
            }
            _ => {}
        }
    }
    drawn(&draw::svg(&ready.drawing, circuit, &notes, &Style::within(width)))
}

fn page(ready: &Ready, typed: &Typed, address: &str, job: Option<i64>) -> Result<Html<String>, NotDone> {
    let circuit = ready.model.circuit();
    let mut typed = typed.clone();
    typed.bands = true;
    let asked = Asked::of(circuit, &typed)?;
    let broad = answer(ready, &typed)?;
    let narrow = Typed {
        narrow: true,
        bands: false,
        ..typed.clone()
    };
    let narrow = answer(ready, &narrow)?;
    let main = html! {
        link rel="stylesheet" href="/assets/learn.css";
        script type="module" src="/assets/what-if.js" {}
        p { (lower(&circuit.title)) @if let Some(job) = job { ". " a href={ "/jobs/" (job) } { (said::job(job)) } } }
        p class="aside" { (said::typical_vehicle()) }
        form id="what-if" method="get" action=(address) data-solve={ (address) "/solve" } {
            (controls(circuit, &typed, &asked))
        }
        p id="told" class="aside" role="status" data-took=(said::solved_in()) {}
        figure class="drawing broad" { (PreEscaped(&broad.svg)) }
        h2 { (said::gauges()) }
        p class="key aside" {
            span { (said::key_this()) } " " span { (said::key_sound()) } " " span { (said::key_healthy()) }
        }
        ul class="gauges" id="gauges" data-healthy=(said::healthy_band()) { @for gauge in &broad.gauges { (gauge.drawn()) } }
        figure class="drawing narrow" { (PreEscaped(&narrow.svg)) }
    };
    Ok(layout(&said::what_if(), Nav::Circuits, &main))
}

fn controls(circuit: &Circuit, typed: &Typed, asked: &Asked) -> Markup {
    let place = |index: usize, chosen: &str| -> Option<&Set> {
        let index = if index == 1 && typed.fault.is_empty() {
            0
        } else {
            index
        };
        asked.set.get(index).filter(|_| !chosen.is_empty())
    };
    html! {
        div class="choices" {
            div { (faults(circuit, "fault", &said::fault(), &typed.fault)) }
            div { (faults(circuit, "other", &said::second_fault(), &typed.other)) }
            div {
                label for="condition" { (said::condition()) }
                select id="condition" name="condition" {
                    @for (index, condition) in circuit.conditions.iter().enumerate() {
                        option value=(condition.id) selected[index == asked.condition.0] {
                            (plain(if condition.what.is_empty() { &condition.id } else { &condition.what }))
                        }
                    }
                }
            }
            div {
                label for="altitude" { (said::altitude_now()) output id="altitude-told" { (format!("{:.0} m", asked.altitude)) } }
                input id="altitude" name="altitude" type="range" min="0" max=(HIGHEST) step="50" value=(format!("{:.0}", asked.altitude));
            }
        }
        div class="drag" {
            (slider(circuit, "severity", place(0, &typed.fault)))
            (slider(circuit, "other_severity", place(1, &typed.other)))
        }
        button class="plain" { (said::show()) }
    }
}

fn faults(circuit: &Circuit, name: &str, word: &str, chosen: &str) -> Markup {
    let mut all = circuit.faults();
    all.sort_by_key(|(fault, _)| *fault);
    html! {
        label for=(name) { (word) }
        select id=(name) name=(name) {
            option value="" { (said::no_fault()) }
            @for (part, named) in circuit.parts.iter().enumerate() {
                @let own: Vec<_> = all.iter().filter(|(fault, _)| fault.part.0 == part).collect();
                @if !own.is_empty() {
                    optgroup label=(plain(words::part(circuit, circuit::PartId(part)))) {
                        @for (fault, _) in own {
                            @let id = circuit.fault_name(*fault);
                            @let spec = circuit.fault_spec(*fault);
                            option value=(id) selected[id == chosen] data-graded=[spec.severity.map(|_| "yes")] {
                                (named.id) " " (plain(spec.name))
                            }
                        }
                    }
                }
            }
        }
    }
}

fn slider(circuit: &Circuit, name: &str, set: Option<&Set>) -> Markup {
    let told = set.and_then(|set| how_bad(circuit, set)).unwrap_or_default();
    let told = plain(told);
    let place = set.map_or(SLIDER / 2.0, |set| set.place);
    html! {
        div class="slide" data-of=(name) hidden[told.is_empty()] {
            label for=(name) { (said::how_bad()) output { (told) } }
            input id=(name) name=(name) type="range" min="0" max=(SLIDER) step="0.5" value=(place);
        }
    }
}

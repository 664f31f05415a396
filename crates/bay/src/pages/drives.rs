//! Recorded drives of a job: given once each, looked at with zoom and cursor, two beside each other.

use super::{forms, moment};
use crate::layout::{Nav, layout_of};
use crate::not_done::NotDone;
use crate::shop::{Shop, Visitor};
use crate::speech::{english, said};
use axum::body::Bytes;
use axum::extract::multipart::MultipartError;
use axum::extract::{Multipart, Path, Query, State};
use axum::http::header;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::{Extension, Json};
use desk::show::Units;
use desk::{Desk, DriveGiven, DriveView, Held, Problem, drive_clock, drive_curves, give_drive};
use draw::{Curves, curves_svg_unstyled};
use job::{Drive, Stage};
use maud::{Markup, PreEscaped, html};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use tokio::sync::Semaphore;

/// Recordings taken in at once: each takes memory for its figures.
static AT_ONCE: Semaphore = Semaphore::const_new(1);
/// Steps of a line where the screen did not say how wide it is.
const STEPS: usize = 480;
/// Most steps: wider screens see no more.
const MOST_STEPS: usize = 1_600;
/// How far one step of zoom goes.
const ZOOM: f64 = 2.0;

/// `GET /jobs/{number}/drives`
pub(crate) async fn list(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(number): Path<String>,
) -> Result<Html<String>, NotDone> {
    let page =
        move |_: &mut Desk, held: &Held| Ok::<_, Problem>((said::drives_title(held.number), listed(held)));
    forms::show(&shop, &visitor, number, layout_of, page).await
}

fn listed(held: &Held) -> Markup {
    let drives = &held.job.drives;
    html! {
        (forms::back(held))
        @if drives.is_empty() { p { (said::no_drive_yet()) } }
        ul class="plain" {
            @for drive in drives { li { (row(held, drive)) } }
        }
        @if let [.., before, after] = drives.as_slice() {
            p { a class="button plain" href={ (address(held, &before.recording.hash)) "?beside=" (after.recording.hash) } { (said::last_two()) } }
        }
        @if held.job.stage != Stage::Closed { (give(held)) }
        p class="aside" {
            (said::drives_source())
        }
    }
}

fn row(held: &Held, drive: &Drive) -> Markup {
    let known = &drive.recording;
    html! {
        a class="wide" href=(address(held, &known.hash)) {
            strong { (known.name) }
            @if known.simulated { " " span class="stage" { (said::drive_simulated()) } }
            span class="aside" {
                (said::drive_counts(drive_clock(known.seconds), known.driving_cycles, known.warm_up_cycles, known.trips.len()))
                @if !known.words.is_empty() { "; " (known.words) }
                (said::drive_given()) (moment(drive.at))
                @if drive.repairs_before > 0 { (said::drive_after_repair()) }
            }
        }
    }
}

fn give(held: &Held) -> Markup {
    html! {
        section class="card" {
            h2 { (said::give_drive_heading()) }
            p class="caution" { (said::one_at_wheel()) }
            form method="post" enctype="multipart/form-data" action={ "/jobs/" (held.number) "/drives" } {
                label for="recording" { (said::drive_file()) }
                input id="recording" type="file" name="recording" required;
                label for="words" { (said::drive_shows()) }
                input id="words" name="words" autocomplete="off";
                @if !held.job.repairs.is_empty() {
                    label for="ran" { (said::drive_monitor()) }
                    select id="ran" name="ran" {
                        option value="no" { (said::monitor_not_known()) }
                        option value="yes" { (said::monitor_to_end()) }
                    }
                }
                button { (said::take_drive_in()) }
            }
        }
    }
}

pub(super) fn address(held: &Held, hash: &str) -> String {
    format!("/jobs/{}/drives/{hash}", held.number)
}

/// `POST /jobs/{number}/drives`: the parts `recording`, `words` and `ran`.
pub(crate) async fn keep(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Path(job): Path<String>,
    mut sent: Multipart,
) -> Result<Redirect, NotDone> {
    let (mut recording, mut name, mut words, mut ran) = (Bytes::new(), String::new(), String::new(), false);
    while let Some(part) = sent.next_field().await.map_err(|error| not_sent(&error))? {
        match part.name() {
            Some("recording") => {
                part.file_name().unwrap_or("recording").clone_into(&mut name);
                recording = part.bytes().await.map_err(|error| not_sent(&error))?;
            }
            Some("words") => words = part.text().await.map_err(|error| not_sent(&error))?,
            Some("ran") => ran = part.text().await.map_err(|error| not_sent(&error))? == "yes",
            _ => {}
        }
    }
    if recording.is_empty() {
        return Err(NotDone::bad_input("no recording was sent").hint("choose a file first"));
    }
    let _turn = AT_ONCE.acquire().await.map_err(|_| NotDone::broken())?;
    let taken = shop.with(&visitor, move |desk| {
        let held = desk.job(&job)?;
        let given = DriveGiven {
            bytes: &recording,
            name: &name,
            columns: &[],
            monitor_ran: ran,
            similar: None,
            words: words.trim(),
        };
        give_drive(desk, &held, &given)
    });
    let taken = taken.await?;
    shop.say_changed(taken.held.job.id);
    Ok(Redirect::to(&format!("/jobs/{}/drives", taken.held.number)))
}

fn not_sent(error: &MultipartError) -> NotDone {
    NotDone::new(
        error.status(),
        "the recording did not arrive whole, or is larger than 25 megabytes",
    )
    .hint("a larger one goes in at the shop's machine: halfsplit job drive")
}

/// What of a drive is looked at.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Window {
    from: Option<f64>,
    to: Option<f64>,
    steps: Option<usize>,
    /// Another drive of the job.
    beside: Option<String>,
}

impl Window {
    fn view(&self, units: Units) -> DriveView {
        DriveView {
            between_s: self.from.zip(self.to),
            steps: self.steps.unwrap_or(STEPS).clamp(20, MOST_STEPS),
            units,
        }
    }
}

/// The pictures of a drive, and of the one beside it.
fn drawn(
    shop: &Shop,
    desk: &mut Desk,
    held: &Held,
    hash: &str,
    window: &Window,
    units: Units,
) -> Result<Vec<Curves>, Problem> {
    let wanted = std::iter::once(hash).chain(window.beside.as_deref());
    let each = wanted.map(|hash| {
        let recording = shop.drive(desk, held, hash)?;
        let mut known = held
            .job
            .drives
            .iter()
            .filter(|drive| drive.recording.hash == hash);
        let title = known.next().map_or_else(String::new, |drive| {
            let when = if drive.repairs_before > 0 {
                "given after the repair"
            } else {
                "given before a repair"
            };
            format!("{}, {when}", drive.recording.name)
        });
        Ok(drive_curves(&title, &recording, window.view(units)))
    });
    each.collect()
}

/// `GET /jobs/{number}/drives/{hash}`
pub(crate) async fn show(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path((number, hash)): Path<(String, String)>,
    Query(window): Query<Window>,
) -> Result<Html<String>, NotDone> {
    let own = shop.clone();
    let page = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        let all = drawn(&own, desk, &held, &hash, &window, units)?;
        Ok::<_, Problem>((
            said::drive_title(held.number),
            picture(&held, &hash, &window, &all),
        ))
    });
    let (title, main) = page.await?;
    Ok(layout_of(&title, Nav::Jobs, &main))
}

fn picture(held: &Held, hash: &str, window: &Window, all: &[Curves]) -> Markup {
    let (from, to) = all.first().map_or((0.0, 0.0), |one| (one.from_s, one.to_s));
    let here = address(held, hash);
    let beside = window
        .beside
        .as_ref()
        .map_or_else(String::new, |other| format!("&beside={other}"));
    let (middle, half) = (f64::midpoint(from, to), 0.5 * (to - from));
    let ways = [
        (
            "Nearer",
            said::drive_nearer(),
            middle - half / ZOOM,
            middle + half / ZOOM,
        ),
        (
            "Wider",
            said::drive_wider(),
            middle - half * ZOOM,
            middle + half * ZOOM,
        ),
        ("Earlier", said::drive_earlier(), from - half, to - half),
        ("Later", said::drive_later(), from + half, to + half),
    ];
    html! {
        p {
            a class="more" href={ "/jobs/" (held.number) "/drives" } { (said::all_drives()) }
            " " a class="more" href={ (here) "/columns" } { (said::columns_look()) }
        }
        div id="ways" class="row" {
            @for (way, word, from, to) in &ways {
                a class="button plain" data-way=(way) href={ (here) "?from=" (format!("{:.1}", from.max(0.0))) "&to=" (format!("{:.1}", to.max(1.0))) (beside) } { (word) }
            }
            a class="button plain" data-way="All" href={ (here) "?" (beside.trim_start_matches('&')) } { (said::drive_all()) }
        }
        p id="values" class="aside" role="status" { (said::drive_how()) }
        figure lang=[english()] id="drive" class="drive" tabindex="0" aria-label="The drive over time" data-window={ (here) "/window" } data-beside=(window.beside.as_deref().unwrap_or_default())
            data-from=(format!("{from:.2}")) data-to=(format!("{to:.2}")) {
            (PreEscaped(curves_svg_unstyled(all)))
        }
        script type="module" src="/assets/drives.js" {}
    }
}

/// A window of a drive for the script: the picture, and the figures for the cursor.
#[derive(Debug, Serialize)]
struct Opened {
    svg: String,
    from: f64,
    to: f64,
    panes: Vec<Figures>,
}

#[derive(Debug, Serialize)]
struct Figures {
    name: String,
    unit: String,
    /// Second, least, greatest.
    steps: Vec<[f64; 3]>,
}

/// `GET /jobs/{number}/drives/{hash}/window`
pub(crate) async fn window(
    State(shop): State<Arc<Shop>>,
    Extension(visitor): Extension<Visitor>,
    Extension(units): Extension<Units>,
    Path((number, hash)): Path<(String, String)>,
    Query(window): Query<Window>,
) -> Result<Response, NotDone> {
    let own = shop.clone();
    let all = shop.with(&visitor, move |desk| {
        let held = desk.job(&number)?;
        drawn(&own, desk, &held, &hash, &window, units)
    });
    let all = all.await?;
    let Some(first) = all.first() else {
        return Err(NotDone::broken());
    };
    let lines = first
        .panes
        .iter()
        .flat_map(|pane| pane.lines.iter().map(move |line| (pane, line)));
    let panes = lines.map(|(pane, line)| Figures {
        name: line.name.clone(),
        unit: pane.unit.clone(),
        steps: line
            .steps
            .iter()
            .map(|step| [short(step.at_s), short(step.least), short(step.most)])
            .collect(),
    });
    let opened = Opened {
        svg: curves_svg_unstyled(&all),
        from: first.from_s,
        to: first.to_s,
        panes: panes.collect(),
    };
    let headers = [(header::CACHE_CONTROL, "private, no-cache")];
    Ok((headers, Json(opened)).into_response())
}

/// Two decimals: what a cursor shows.
fn short(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

//! What a technician looks for in a recording.

use super::{clock, shown};
use crate::case::Manner;
use crate::commands::json;
use crate::failure::Failure;
use crate::page::{Answer, Page};
use ::drive::{Feature, FeatureKind, Recording};
use serde::Serialize;

/// Figures are SI.
#[derive(Debug, Serialize)]
struct Row<'f> {
    kind: FeatureKind,
    signal: &'static str,
    start_s: f64,
    end_s: f64,
    value: f64,
    unit: &'static str,
    usual: Option<[f64; 2]>,
    as_usual: Option<bool>,
    what: &'f str,
    source: &'static str,
}

pub(super) fn run(recording: &Recording, manner: Manner) -> Result<Answer, Failure> {
    let features = ::drive::features(recording);
    if manner.json {
        let rows: Vec<Row> = features.iter().map(row).collect();
        return Ok(Answer {
            out: json(&rows)?,
            err: String::new(),
        });
    }
    let mut page = Page::new(manner.screen);
    page.heading("What stands out");
    let odd: Vec<&Feature> = features
        .iter()
        .filter(|feature| feature.as_usual() == Some(false))
        .collect();
    if odd.is_empty() {
        page.line("  nothing beyond what is usual");
    }
    for feature in &odd {
        told(feature, manner, &mut page);
    }
    page.heading("As usual, or without a usual range");
    for feature in features
        .iter()
        .filter(|feature| feature.as_usual() != Some(false))
    {
        told(feature, manner, &mut page);
    }
    page.gap();
    page.aside(
        "",
        "Usual ranges are common practice, no source. The vehicle maker's service information comes first.",
    );
    Ok(Answer {
        out: page.text,
        err: String::new(),
    })
}

fn told(feature: &Feature, manner: Manner, page: &mut Page) {
    let usual = feature
        .usual
        .filter(|_| !counts(feature))
        .map_or_else(String::new, |(low, high)| {
            format!("; usual {} to {}", shown(manner, low), shown(manner, high))
        });
    let when = if feature.end_s > feature.start_s {
        format!("{} to {}", clock(feature.start_s), clock(feature.end_s))
    } else {
        clock(feature.start_s)
    };
    page.paragraph(
        &format!("  {:<12}", figure(feature, manner)),
        &format!("{} ({when}){usual}", feature.what),
    );
}

fn row(feature: &Feature) -> Row<'_> {
    Row {
        kind: feature.kind,
        signal: feature.signal.name(),
        start_s: feature.start_s,
        end_s: feature.end_s,
        value: feature.value.si(),
        unit: feature.value.dimension().si().symbol(),
        usual: feature.usual.map(|(low, high)| [low.si(), high.si()]),
        as_usual: feature.as_usual(),
        what: &feature.what,
        source: feature.source,
    }
}

/// Whether its figure counts things, which the words beside it do.
fn counts(feature: &Feature) -> bool {
    matches!(feature.kind, FeatureKind::Jumps | FeatureKind::StandsStill)
}

fn figure(feature: &Feature, manner: Manner) -> String {
    if counts(feature) {
        feature.signal.name().to_owned()
    } else {
        shown(manner, feature.value)
    }
}

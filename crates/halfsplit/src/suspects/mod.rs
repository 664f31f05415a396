//! What can be wrong, how likely, why, and what to do next: as text and as JSON.

mod apart;
mod json;
mod proof;
mod ranking;
mod reasons;

pub(crate) use apart::clear;
pub(crate) use json::json;
pub(crate) use proof::standing as proof;
pub(crate) use ranking::{leading, ranking};
pub(crate) use reasons::reasons;

use crate::card;
use crate::case::Case;
use crate::page::Page;
use crate::picture;
use crate::show::Units;
use crate::words;
use belief::{Known, Outlook};
use engine::{NextCheck, Shop};
use quantity::Dimension;

/// From this probability on an instrument is worth a test of its own.
pub(crate) const DOUBTFUL: f64 = 0.3;

/// Stands at the end of every advice.
pub(crate) const DEFERENCE: &str = "The vehicle maker's service information and data, local law and licensed practice come first. \
                                    Values here are typical of the class and unverified on your vehicle.";

/// The whole answer as text; the next check stands last, where the eye is.
pub(crate) fn text(case: &Case, outlook: &Outlook, next: &[NextCheck]) -> String {
    let mut page = Page::new(case.screen);
    head(case, &mut page);
    page.gap();
    page.text
        .push_str(&picture::of_case(case, next.first().map(|next| next.check)));
    page.heading("Suspects");
    ranking(case, &mut page);
    if !case.evidence.observations.is_empty() {
        page.heading("What the readings say");
        reasons(case, &mut page);
        fit(case, &mut page);
    }
    stand(case, outlook, next, &mut page);
    card::next(case, outlook, next, &mut page);
    page.gap();
    page.aside("", DEFERENCE);
    page.text
}

fn head(case: &Case, page: &mut Page) {
    let circuit = case.model.circuit();
    page.heading(&circuit.title);
    let surroundings = case.evidence.surroundings;
    let pressure = case
        .units
        .plain(Dimension::Pressure, surroundings.ambient.pressure);
    let source = match surroundings.known {
        Known::FromAltitude => "from the altitude",
        Known::Barometer | Known::Exactly => "read",
    };
    page.line(&format!(
        "Barometer {pressure}, {source}. Minutes at {} an hour.",
        60.0 * Shop::default().rate
    ));
}

/// How the readings fit together, and which instrument to doubt.
pub(crate) fn fit(case: &Case, page: &mut Page) {
    let fit = case.belief.fit();
    if let Some(odd) = fit.odd {
        let id = &case.model.checks()[odd].id;
        page.caution("  ! ", &format!("`{id}` fits nothing else here: take that reading again, or test the instrument, before trusting the list."));
    } else if fit.fit < 0.05 {
        page.caution("  ! ", "The readings hardly fit anything on the list: the cause may not be listed, or the circuit may differ from the drawing.");
    }
    for (instrument, name, share) in case.belief.doubtful_instruments() {
        if share > DOUBTFUL {
            let name = name.map_or_else(String::new, |name| format!(" \"{name}\""));
            page.caution(
                "  ! ",
                &format!(
                    "Doubt the {}{name} itself ({}). One minute tells: {}.",
                    instrument.word(),
                    words::percent(share),
                    crate::how::cross_check(instrument)
                ),
            );
        }
    }
    if case.belief.kept() < 0.9 {
        let left = words::percent(1.0 - case.belief.kept());
        page.paragraph(
            "  ",
            &format!("More faults at once than were counted could hold {left} of the evidence."),
        );
    }
}

/// How far from proven, and what cannot be told apart.
fn stand(case: &Case, outlook: &Outlook, next: &[NextCheck], page: &mut Page) {
    page.heading("Where this stands");
    proof::standing(case, next, page);
    if let Some(apart) = apart::apart(case, outlook, next) {
        page.paragraph("  ", &apart.sentence(case));
    }
}

/// The range of a fault's severity after the readings, in words; `None` if it has none.
pub(crate) fn severity(case: &Case, fault: circuit::FaultId) -> Option<String> {
    let spec = case.model.circuit().fault_spec(fault).severity?;
    let [low, _, high] = case.belief.severity(fault)?;
    Some(format!("{} {}", spec.what, Units::severity(&spec, low, high)))
}

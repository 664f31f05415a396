//! What can be wrong, how likely, why, and what to do next: as text and as JSON.

mod ranking;

pub(crate) use ranking::ranking;

use crate::card;
use crate::case::Case;
use crate::page::Page;
use crate::picture;
use belief::{Known, Outlook};
use desk::DEFERENCE;
use engine::{NextCheck, Shop};
use quantity::Dimension;

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
    let odd = desk::odd(case);
    for warning in &odd.warnings {
        page.caution("  ! ", warning);
    }
    for aside in &odd.asides {
        page.paragraph("  ", aside);
    }
}

/// Writes what each reading says.
pub(crate) fn reasons(case: &Case, page: &mut Page) {
    for told in desk::reasons(case) {
        if told.read.is_empty() {
            page.aside("  ", &told.says);
        } else {
            page.paragraph(&format!("  {:>12} ", told.read), &told.says);
        }
    }
}

/// Writes where the leading suspect stands.
pub(crate) fn proof(case: &Case, next: &[NextCheck], page: &mut Page) {
    page.paragraph("  ", &desk::standing(case, next));
}

/// How far from proven, and what cannot be told apart.
fn stand(case: &Case, outlook: &Outlook, next: &[NextCheck], page: &mut Page) {
    page.heading("Where this stands");
    proof(case, next, page);
    if let Some(apart) = desk::apart(case, outlook, next) {
        page.paragraph("  ", &apart.sentence(case));
    }
}

//! The offer to the customer: made as things stand, and given.

mod words;

pub use words::{ROUGH, above, cheapest, going_on, in_a_line, money, so_far, thousands, what};

use crate::case::{Case, known};
use crate::charges::terms;
use crate::desk::{Desk, Held};
use crate::intake::known_part;
use crate::problem::Problem;
use crate::show::Units;
use diag::Diagnostic;
use job::{Event, GivenPrice, Quote, Refused, Stage};

/// The offer as things stand, with prices from the last one and new ones; and warnings of the readings.
///
/// # Errors
/// There is nothing to offer, the shop has not said what it charges, or a price is none.
pub fn made(
    desk: &mut Desk,
    held: &Held,
    prices: &[GivenPrice],
    units: Units,
) -> Result<(Quote, Vec<Diagnostic>), Problem> {
    match held.job.stage {
        Stage::Closed => return Err(Problem::bad_input(Refused::Closed, None)),
        Stage::Watch => {
            return Err(Problem::bad_input(
                "the repair is proven to work: there is nothing to offer",
                None,
            ));
        }
        _ => {}
    }
    let (model, _) = known(held)?;
    let mut terms = terms(desk)?;
    for given in prices {
        known_part(&model, &given.part)?;
    }
    let before = held.job.quotes.last().map_or(&[][..], |quote| &quote.prices);
    for given in before.iter().chain(prices) {
        terms = terms
            .with_price(given.clone())
            .map_err(|error| Problem::bad_input(error, None))?;
    }
    let (case, warnings) = Case::of(held, &model, units)?;
    let quote = engine::quote(
        &case.belief,
        &case.evidence,
        &case.bay,
        &held.job,
        &terms,
        &held.learnt,
    );
    Ok((quote, warnings))
}

/// What writes an offer down; nothing if just this one waits for an answer.
pub fn giving(held: &Held, quote: &Quote) -> Vec<Event> {
    if held.job.stage == Stage::Quoted && held.job.quotes.last() == Some(quote) {
        return Vec::new();
    }
    vec![Event::QuoteGiven { quote: quote.clone() }]
}

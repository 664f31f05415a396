//! The offer to the customer: made as things stand, and given.

mod words;

pub use words::{ROUGH, above, cheapest, going_on, in_a_line, money, so_far, thousands, what};

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
    let mut terms = terms(desk)?;
    let thought = desk.thought(held, units)?;
    let case = thought.case();
    for given in prices {
        known_part(case.model, &given.part)?;
    }
    let before = held.job.quotes.last().map_or(&[][..], |quote| &quote.prices);
    for given in before.iter().chain(prices) {
        terms = terms
            .with_price(given.clone())
            .map_err(|error| Problem::bad_input(error, None))?;
    }
    let quote = engine::quote(
        &case.belief,
        &case.evidence,
        &case.bay,
        &held.job,
        &terms,
        &held.learnt,
    );
    Ok((quote, thought.warnings().to_vec()))
}

/// The offer that waits for an answer if it has these prices, or one made as things stand with them; `anew` makes one whatever
/// waits.
///
/// # Errors
/// As [`made`].
pub fn standing(
    desk: &mut Desk,
    held: &Held,
    prices: &[GivenPrice],
    anew: bool,
    units: Units,
) -> Result<Quote, Problem> {
    let last = held.job.quotes.last();
    let waiting = last.filter(|_| matches!(held.job.stage, Stage::Quoted | Stage::Agreed));
    let same = |quote: &Quote| prices.iter().all(|price| quote.prices.contains(price));
    match waiting {
        Some(quote) if same(quote) && !anew => Ok(quote.clone()),
        _ => Ok(made(desk, held, prices, units)?.0),
    }
}

/// What a customer says to an offer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answered {
    /// Nothing yet: the offer is given.
    Later,
    /// Yes to the option with this number, counted from 1.
    Option(usize),
    /// No repair yet, and yes to going on with measuring.
    GoOn,
    /// No.
    No,
}

/// What writes down that an offer was given and answered; `words` are those of the customer. `turn` is the job's next turn at the
/// time the offer was looked at.
///
/// # Errors
/// Something was written since, or there is no such option.
pub fn answer(
    held: &Held,
    quote: &Quote,
    turn: Option<u64>,
    answered: Answered,
    words: &str,
) -> Result<Vec<Event>, Problem> {
    if turn != Some(held.job.next_turn) {
        return Err(Problem::bad_input(
            "something was written in this job since this offer was shown",
            Some("look at it as it stands now, then answer".to_owned()),
        ));
    }
    let mut events = giving(held, quote);
    let note = |about: String| {
        (!words.is_empty()).then(|| Event::Note {
            text: format!("{about}: {words}"),
        })
    };
    match answered {
        Answered::Later => {}
        Answered::GoOn => {
            events.push(Event::GoOnAgreed);
            events.extend(note("The customer agreed to go on measuring".to_owned()));
        }
        Answered::No => events.push(Event::QuoteRefused {
            reason: words.to_owned(),
        }),
        Answered::Option(number) => {
            let option = number
                .checked_sub(1)
                .filter(|option| *option < quote.options.len());
            let option = option.ok_or_else(|| {
                Problem::bad_input(
                    format!("the offer has no option {number}"),
                    Some(format!("it has {}", quote.options.len())),
                )
            })?;
            events.push(Event::QuoteAccepted { option });
            events.extend(note(format!("The customer agreed to option {number}")));
        }
    }
    Ok(events)
}

/// What writes an offer down; nothing if just this one waits for an answer.
pub fn giving(held: &Held, quote: &Quote) -> Vec<Event> {
    if held.job.stage == Stage::Quoted && held.job.quotes.last() == Some(quote) {
        return Vec::new();
    }
    vec![Event::QuoteGiven { quote: quote.clone() }]
}

//! The offer to the customer: made, shown, given, answered.

pub(crate) mod args;
pub(crate) mod charges;
mod talk;
mod text;

pub(crate) use talk::{Ended, talk};

use super::bench;
use super::desk::{Desk, Held};
use super::door::known_part;
use super::tell;
use crate::case::Manner;
use crate::failure::Failure;
use crate::page::Answer;
use ::desk::offer::giving;
use ::desk::{Problem, Sort};
use ::job::{Event, GivenPrice, Quote, Stage};
use args::Asked;
use std::fmt::Write as _;

/// Makes an offer, or writes down what the customer says to it.
pub(crate) fn run(desk: &mut Desk, held: &Held, asked: &Asked, manner: Manner) -> Result<Answer, Failure> {
    if let Some(events) = answered(asked)? {
        let held = desk.write(held, events)?;
        return tell::job(&held, manner);
    }
    let (quote, mut err) = made(desk, held, &asked.prices, manner)?;
    if asked.draft {
        let out = text::answer(held, &quote, false, manner)?;
        return Ok(Answer { out, err });
    }
    if let Some(agreed) = held.job.accepted.filter(|_| held.job.stage == Stage::Agreed) {
        let _ = writeln!(
            err,
            "warning: the customer had agreed to option {} of the last offer; this one asks anew",
            agreed + 1
        );
    }
    let held = desk.write(held, giving(held, &quote))?;
    let out = text::answer(&held, &quote, true, manner)?;
    Ok(Answer { out, err })
}

/// What the customer says, as events; `None` where nothing is said.
fn answered(asked: &Asked) -> Result<Option<Vec<Event>>, Failure> {
    let note = |about: String, words: &[String]| {
        let words = words.join(" ");
        let text = format!("{about}: {}", words.trim());
        (!words.trim().is_empty()).then_some(Event::Note { text })
    };
    let (said, note) = match (&asked.answer.accept, &asked.answer.go_on, &asked.answer.refuse) {
        (Some(words), ..) => {
            let (first, rest) = words
                .split_first()
                .map_or(("", &[][..]), |(k, rest)| (k.as_str(), rest));
            let option = option(first)?;
            let note = note(format!("The customer agreed to option {}", option + 1), rest);
            (Event::QuoteAccepted { option }, note)
        }
        (_, Some(words), _) => (
            Event::GoOnAgreed,
            note("The customer agreed to go on measuring".to_owned(), words),
        ),
        (.., Some(words)) => {
            let reason = words.join(" ").trim().to_owned();
            (Event::QuoteRefused { reason }, None)
        }
        _ => return Ok(None),
    };
    Ok(Some(std::iter::once(said).chain(note).collect()))
}

/// The index of the option that a person calls `K`.
fn option(text: &str) -> Result<usize, Failure> {
    let number = text.trim().parse::<usize>().ok();
    number.and_then(|number| number.checked_sub(1)).ok_or_else(|| {
        Failure::bad_input(
            format!("`{text}` is no option's number"),
            Some("options are numbered from 1: --accept 1 \"agreed by telephone\"".to_owned()),
        )
    })
}

/// The offer as things stand, with prices from the last one and new ones; and warnings.
fn made(
    desk: &mut Desk,
    held: &Held,
    prices: &[GivenPrice],
    manner: Manner,
) -> Result<(Quote, String), Failure> {
    let model = bench::model(held)?;
    for given in prices {
        known_part(&model, &given.part, "--price")?;
    }
    let (quote, found) =
        ::desk::offer::made(desk, held, prices, manner.units).map_err(|problem| hinted(held, problem))?;
    Ok((quote, bench::shown(held, &held.job.readings_file(), &found)))
}

/// The problem with what to type about it.
fn hinted(held: &Held, problem: Problem) -> Problem {
    let hint = match problem.hint {
        Some(hint) if matches!(problem.sort, Sort::NotYet | Sort::CouldNot) && problem.found.is_none() => {
            Some(format!(
                "{hint}, for instance: halfsplit shop --currency EUR --rate 95 --tax 19"
            ))
        }
        None if held.job.stage == Stage::Watch => Some(format!("halfsplit job close {}", held.number)),
        hint => hint,
    };
    Problem { hint, ..problem }
}

/// The offer as things stand, as text that is not given to the customer.
pub(crate) fn draft(desk: &mut Desk, held: &Held, manner: Manner) -> Result<String, Failure> {
    let (quote, err) = made(desk, held, &[], manner)?;
    Ok(err + &text::text(held, &quote, false, manner.screen))
}

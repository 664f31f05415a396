//! The offer at the prompt: shown, priced, given, answered.

use super::super::desk::{Desk, Held};
use super::super::walk::{Stopped, line};
use super::args::price;
use super::{giving, made, option, text};
use crate::case::Manner;
use crate::failure::Failure;
use ::job::{Event, GivenPrice};
use std::io::{BufRead, Write};

const HELP: &str = "\
  accept K, accept K WORDS           the customer agrees to option K
  go on, go on WORDS                 no repair yet, we go on measuring
  refuse, refuse REASON              the customer says no
  price PART=GRADE:AMOUNT            a real price before tax: original, equivalent or budget
  give                               the offer is given; the answer comes later
  leave                              stops here; everything is kept
";

/// How a talk about an offer ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ended {
    /// The person stopped, or there are no more lines.
    Left,
    /// It is given, and answered or not: the walk ends here.
    Done,
    /// The customer agreed to go on measuring.
    GoesOn,
}

/// Shows the offer and asks until it is answered.
pub(crate) fn talk(
    desk: &mut Desk,
    held: &mut Held,
    manner: Manner,
    lines: &mut dyn BufRead,
    out: &mut dyn Write,
) -> Result<Ended, Stopped> {
    let mut prices: Vec<GivenPrice> = Vec::new();
    let (mut quote, warnings) = made(desk, held, &prices, manner)?;
    write!(
        out,
        "{warnings}\n{}",
        text::text(held, &quote, false, manner.screen)
    )?;
    loop {
        write!(out, "\naccept K, go on, refuse, price, give or leave > ")?;
        out.flush()?;
        let Some(said) = line(lines)? else {
            return Ok(Ended::Left);
        };
        let said = match understood(&said) {
            Ok(said) => said,
            Err(failure) => {
                out.write_all(failure.text.as_bytes())?;
                continue;
            }
        };
        let (answer, ended) = match said {
            Said::Help => {
                out.write_all(HELP.as_bytes())?;
                continue;
            }
            Said::Leave => return Ok(Ended::Left),
            Said::Price(one) => {
                let mut tried = prices.clone();
                tried.push(one);
                match made(desk, held, &tried, manner) {
                    Ok((again, _)) => {
                        (quote, prices) = (again, tried);
                        write!(out, "\n{}", text::text(held, &quote, false, manner.screen))?;
                    }
                    Err(failure) => out.write_all(failure.text.as_bytes())?,
                }
                continue;
            }
            Said::Give => (Vec::new(), Ended::Done),
            Said::Answer(events, ended) => (events, ended),
        };
        // The offer and its answer are written down together, or neither.
        let mut events = giving(held, &quote);
        events.extend(answer);
        match desk.write(held, events) {
            Ok(after) => {
                *held = after;
                return Ok(ended);
            }
            Err(problem) => out.write_all(Failure::from(problem).text.as_bytes())?,
        }
    }
}

enum Said {
    Help,
    Leave,
    Give,
    Price(GivenPrice),
    Answer(Vec<Event>, Ended),
}

fn understood(said: &str) -> Result<Said, Failure> {
    let (first, rest) = said.split_once(' ').unwrap_or((said, ""));
    let rest = rest.trim();
    let note = |about: String, words: &str| {
        (!words.is_empty()).then(|| Event::Note {
            text: format!("{about}: {words}"),
        })
    };
    Ok(match first {
        "" | "?" | "help" => Said::Help,
        "leave" => Said::Leave,
        "give" => Said::Give,
        "price" => Said::Price(price(rest).map_err(|why| Failure::bad_input(why, None))?),
        "accept" => {
            let (number, words) = rest.split_once(' ').unwrap_or((rest, ""));
            let option = option(number)?;
            let note = note(
                format!("The customer agreed to option {}", option + 1),
                words.trim(),
            );
            let agreed = Event::QuoteAccepted { option };
            Said::Answer(std::iter::once(agreed).chain(note).collect(), Ended::Done)
        }
        "go" if rest == "on" || rest.starts_with("on ") => {
            let note = note(
                "The customer agreed to go on measuring".to_owned(),
                rest["on".len()..].trim(),
            );
            Said::Answer(
                std::iter::once(Event::GoOnAgreed).chain(note).collect(),
                Ended::GoesOn,
            )
        }
        "refuse" => Said::Answer(
            vec![Event::QuoteRefused {
                reason: rest.to_owned(),
            }],
            Ended::Done,
        ),
        _ => {
            return Err(Failure::bad_input(
                format!("`{said}` is no answer to an offer"),
                Some("help  lists what can be said".to_owned()),
            ));
        }
    })
}

//! Why an event would make no sense now.

use crate::event::{Closing, Event, Said};
use crate::money::Quote;
use crate::proof::Unproven;
use crate::stage::Stage;
use crate::state::Job;

/// Why an event is not taken, and what to do instead.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// The job is closed.
    #[error("the job is closed; reopen it first, and say whether the complaint came back")]
    Closed,
    /// The job is open.
    #[error("the job is open already")]
    Open,
    /// A second intake.
    #[error("the vehicle was taken in already")]
    TakenIn,
    /// Distance driven runs backwards.
    #[error(
        "the odometer read {before:.0} km before and cannot read {now:.0} km now; if the earlier figure was wrong, write a note and leave the distance out"
    )]
    Backwards {
        /// Before, km.
        before: f64,
        /// Now, km.
        now: f64,
    },
    /// A number that nothing can read.
    #[error("{what} cannot be {value}")]
    Impossible {
        /// Of what.
        what: &'static str,
        /// It.
        value: f64,
    },
    /// There is no offer to answer.
    #[error("no offer waits for an answer; make a quote first")]
    NoQuote,
    /// The offer has fewer options.
    #[error("the quote has {options} {}; they are numbered from 1", if *.options == 1 { "option" } else { "options" })]
    NoSuchOption {
        /// How many.
        options: usize,
    },
    /// The offer says nothing of going on.
    #[error("the quote offers no more measuring: the cause is proven; accept a repair or refuse")]
    NothingToGoOn,
    /// Nothing was repaired.
    #[error("nothing has been repaired yet, so there is nothing to prove or to watch")]
    NothingRepaired,
    /// The job cannot be closed as repaired.
    #[error(
        "the repair is not proven: {}; close the job as handed back unverified, with the reason, or call the repair proven by hand, with the reason",
        told(missing)
    )]
    Unproven {
        /// What is missing; nothing if nothing was repaired.
        missing: Vec<Unproven>,
    },
    /// The new part was found bad.
    #[error(
        "the last new `{part}` that was tried is bad; try another before fitting, or record that one good"
    )]
    BadNewPart {
        /// The part.
        part: String,
    },
    /// A text that must say something is empty.
    #[error("{0} must not be empty")]
    Empty(&'static str),
}

impl Job {
    /// Whether `event` makes sense now.
    pub fn admits(&self, event: &Event) -> Result<(), Refused> {
        self.counts(event)?;
        let closes = matches!(
            event,
            Event::Closed {
                how: Closing::Repaired
            }
        );
        match self.missing_proof() {
            missing if closes && !missing.is_empty() => Err(Refused::Unproven { missing }),
            _ => Ok(()),
        }
    }

    /// Whether `event`, once written down, counts. A job that was closed as repaired on one good check stays closed, although
    /// more is asked for today.
    pub(crate) fn counts(&self, event: &Event) -> Result<(), Refused> {
        match event {
            Event::TakenIn { .. } => return Err(Refused::TakenIn),
            Event::Reopened { odometer_km, .. } => {
                if self.stage != Stage::Closed {
                    return Err(Refused::Open);
                }
                return self.drives_on(*odometer_km);
            }
            Event::CodeSeenAgain { code, odometer_km } => {
                said("the code", code)?;
                return self.drives_on(*odometer_km);
            }
            // What is written down, or taken back, harms nothing after the closing.
            Event::Note { text } => return said("a note", text),
            Event::Withdrawn { .. } | Event::Photo { .. } if self.stage != Stage::Closed => return Ok(()),
            Event::Photo { .. } => return Ok(()),
            _ => {}
        }
        if self.stage == Stage::Closed {
            return Err(Refused::Closed);
        }
        match event {
            Event::CodeNoted { code, .. } => said("the code", code),
            Event::Reading {
                check,
                said: read,
                minutes,
                ..
            } => {
                said("the check", check)?;
                has_words(read)?;
                minutes.map_or(Ok(()), |minutes| number("minutes", minutes))
            }
            Event::RuledOut { what, reason } => {
                said("what is ruled out", what)?;
                said("the reason for ruling it out", reason)
            }
            Event::CauseProven {
                faults, probability, ..
            } => {
                if faults.is_empty() {
                    return Err(Refused::Empty("the proven cause"));
                }
                number("a probability", *probability)
            }
            Event::QuoteGiven { quote } => {
                let mut figures = quote.figures().into_iter();
                figures.try_for_each(|(what, value)| number(what, value))
            }
            Event::QuoteAccepted { option } => self.has_option(*option),
            Event::GoOnAgreed if self.waiting()?.going_on.is_none() => Err(Refused::NothingToGoOn),
            Event::QuoteRefused { .. } => self.waiting().map(|_| ()),
            Event::Repaired {
                part, price, minutes, ..
            } => {
                said("the part", part)?;
                price.map_or(Ok(()), |price| number("a price", price))?;
                minutes.map_or(Ok(()), |minutes| number("minutes", minutes))?;
                self.new_part_is_good(part)
            }
            Event::Proof { said: read, .. } => {
                if self.repairs.is_empty() {
                    return Err(Refused::NothingRepaired);
                }
                has_words(read)
            }
            Event::Recorded { recording } => said("the recording's hash", &recording.hash),
            Event::Trip { .. } if self.repairs.is_empty() => Err(Refused::NothingRepaired),
            Event::Closed {
                how: Closing::Repaired,
            } if !self.has_good_proof() => Err(Refused::Unproven {
                missing: self.missing_proof(),
            }),
            _ => Ok(()),
        }
    }

    /// After a repair something was checked, and all of it was good.
    fn has_good_proof(&self) -> bool {
        matches!(self.stage, Stage::Repaired | Stage::Watch)
            && !self.proofs.is_empty()
            && self.proofs.iter().all(|proof| proof.good)
    }

    fn drives_on(&self, odometer_km: Option<f64>) -> Result<(), Refused> {
        let Some(now) = odometer_km else { return Ok(()) };
        number("an odometer", now)?;
        match self.odometer_km {
            Some(before) if now < before => Err(Refused::Backwards { before, now }),
            _ => Ok(()),
        }
    }

    /// The offer that waits for an answer.
    fn waiting(&self) -> Result<&Quote, Refused> {
        let last = self.quotes.last().filter(|_| self.stage == Stage::Quoted);
        last.ok_or(Refused::NoQuote)
    }

    fn has_option(&self, option: usize) -> Result<(), Refused> {
        let options = self.waiting()?.options.len();
        if option < options {
            Ok(())
        } else {
            Err(Refused::NoSuchOption { options })
        }
    }

    fn new_part_is_good(&self, part: &str) -> Result<(), Refused> {
        let last = self.new_parts.iter().rev().find(|tried| tried.part == part);
        match last {
            Some(tried) if !tried.good => Err(Refused::BadNewPart {
                part: part.to_owned(),
            }),
            _ => Ok(()),
        }
    }
}

fn said(what: &'static str, text: &str) -> Result<(), Refused> {
    if text.trim().is_empty() {
        Err(Refused::Empty(what))
    } else {
        Ok(())
    }
}

fn has_words(read: &Said) -> Result<(), Refused> {
    said("what was read", read.text())
}

fn number(what: &'static str, value: f64) -> Result<(), Refused> {
    if value.is_finite() && value >= 0.0 {
        Ok(())
    } else {
        Err(Refused::Impossible { what, value })
    }
}

fn told(missing: &[Unproven]) -> String {
    if missing.is_empty() {
        return "nothing was repaired and checked".to_owned();
    }
    let sentences: Vec<String> = missing.iter().map(|one| format!("missing is {one}")).collect();
    sentences.join("; ")
}

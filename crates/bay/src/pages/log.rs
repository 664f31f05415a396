//! What was done in a job, newest first, with who and when.

use crate::speech::{exact, plain, said as sentences};
use desk::Held;
use job::{BY_HAND, Behind, Event, Said};
use maud::{Markup, html};

/// The record.
pub(crate) fn of(held: &Held) -> Markup {
    let mut entries = job::in_order(&held.entries);
    entries.reverse();
    html! {
        details class="log" {
            summary { (sentences::done(entries.len())) }
            ol class="plain" reversed {
                @for entry in entries {
                    li {
                        time datetime=(entry.at) { (jiff::tz::TimeZone::system().to_datetime(entry.at).strftime("%Y-%m-%d %H:%M")) }
                        @if !entry.who.is_empty() { " " (entry.who) }
                        ": " (said(&entry.event))
                    }
                }
            }
        }
    }
}

/// An event in one line. What was typed stands as it was typed, names as the circuit has them.
pub(crate) fn said(event: &Event) -> String {
    match event {
        Event::TakenIn { .. } => sentences::taken_in(),
        Event::CodeNoted { code, .. } => sentences::code_noted(code),
        Event::CautionAcknowledged { caution } => sentences::caution_was_read(plain(caution)),
        Event::Reading {
            check,
            said,
            instrument,
            accuracy,
            ..
        } => {
            let class = accuracy
                .as_ref()
                .map_or_else(String::new, |class| format!(", {}", exact(class)));
            let with = instrument.as_ref().map_or_else(String::new, |name| {
                sentences::with_instrument(format!("{name}{class}"))
            });
            format!("{check}: {}{with}", read(said))
        }
        Event::Withdrawn { reason, .. } if reason.is_empty() => sentences::taken_back(),
        Event::Withdrawn { reason, .. } => sentences::taken_back_for(reason),
        Event::Note { text } => text.clone(),
        Event::Photo { words, .. } => sentences::picture_of(words),
        Event::RuledOut { what, reason } => sentences::was_ruled_out(what, reason),
        Event::Stands { open, off, hot } => {
            let hot = match hot {
                Some(true) => sentences::left_hot(),
                Some(false) => sentences::left_cold(),
                None => String::new(),
            };
            format!(
                "{}{hot}",
                sentences::left_standing(or_nothing(open), or_nothing(off))
            )
        }
        Event::CauseProven { faults, by_hand, .. } => {
            let by_hand = by_hand.as_ref().map_or_else(String::new, sentences::by_hand);
            format!("{}{by_hand}", sentences::was_proven(plain(faults.join(" + "))))
        }
        Event::QuoteGiven { .. } => sentences::offer_made(),
        Event::QuoteAccepted { .. } => sentences::offer_accepted(),
        Event::GoOnAgreed => sentences::goes_on(),
        Event::QuoteRefused { reason } => sentences::offer_refused(reason),
        Event::NewPartChecked { part, read, good, .. } if *good => sentences::new_part_good(part, read),
        Event::NewPartChecked { part, read, .. } => sentences::new_part_bad(part, read),
        Event::Repaired { part, behind, .. } => {
            let behind = match behind {
                Behind::Mended(what) => sentences::behind_mended(what),
                Behind::Left(what) => sentences::behind_left(what),
                Behind::NotFound => String::new(),
            };
            format!("{}{behind}", sentences::was_repaired(part))
        }
        Event::Proof { check, said, good } if *good => sentences::proof_good(made(check), read(said)),
        Event::Proof { check, said, .. } => sentences::proof_bad(made(check), read(said)),
        Event::Trip { .. } => sentences::driven(),
        Event::Recorded { recording } => sentences::recorded_drive(&recording.name),
        Event::CodeSeenAgain { code, .. } => sentences::seen_again(code),
        Event::Closed { .. } => sentences::was_closed(),
        Event::Reopened { reason, .. } => sentences::was_reopened(reason),
        #[allow(unreachable_patterns, reason = "events that are added get their words here")]
        _ => String::new(),
    }
}

/// A check by its id, a drive as it was called, or that a person judged.
fn made(check: &str) -> String {
    if check == BY_HAND {
        plain(check)
    } else {
        check.to_owned()
    }
}

/// What was read, as it was typed: a figure is the record's and keeps its mark.
fn read(said: &Said) -> String {
    match said {
        Said::Answer(answer) => plain(answer),
        other => other.text().to_owned(),
    }
}

fn or_nothing(names: &[String]) -> String {
    if names.is_empty() {
        sentences::nothing()
    } else {
        names.join(", ")
    }
}

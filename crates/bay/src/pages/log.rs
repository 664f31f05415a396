//! What was done in a job, newest first, with who and when.

use crate::speech::{lower, said as sentences};
use desk::Held;
use job::{Behind, Event};
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
                        ": " (lower(said(&entry.event)))
                    }
                }
            }
        }
    }
}

/// An event in one line.
pub(crate) fn said(event: &Event) -> String {
    match event {
        Event::TakenIn { .. } => "taken in".to_owned(),
        Event::CodeNoted { code, .. } => format!("code {code}"),
        Event::CautionAcknowledged { caution } => format!("caution read: {caution}"),
        Event::Reading {
            check,
            said,
            instrument,
            accuracy,
            ..
        } => {
            let class = accuracy
                .as_ref()
                .map_or_else(String::new, |class| format!(", {class}"));
            let with = instrument
                .as_ref()
                .map_or_else(String::new, |name| format!(" (with {name}{class})"));
            format!("{check}: {}{with}", said.text())
        }
        Event::Withdrawn { reason, .. } if reason.is_empty() => "took the last thing back".to_owned(),
        Event::Withdrawn { reason, .. } => format!("took something back: {reason}"),
        Event::Note { text } => text.clone(),
        Event::Photo { words, .. } => format!("picture: {words}"),
        Event::RuledOut { what, reason } => format!("ruled out {what}: {reason}"),
        Event::Stands { open, off, hot } => {
            let hot = match hot {
                Some(true) => "; engine hot",
                Some(false) => "; engine cold",
                None => "",
            };
            format!(
                "left with open: {}; off: {}{hot}",
                or_nothing(open),
                or_nothing(off)
            )
        }
        Event::CauseProven { faults, by_hand, .. } => {
            let by_hand = by_hand
                .as_ref()
                .map_or_else(String::new, |why| format!(", by hand: {why}"));
            format!("cause proven: {}{by_hand}", faults.join(" + "))
        }
        Event::QuoteGiven { .. } => "offer made".to_owned(),
        Event::QuoteAccepted { .. } => "offer accepted".to_owned(),
        Event::GoOnAgreed => "customer agrees to go on measuring".to_owned(),
        Event::QuoteRefused { reason } => format!("offer refused: {reason}"),
        Event::NewPartChecked { part, read, good, .. } => {
            format!("new {part} tried: {read}, {}", if *good { "good" } else { "bad" })
        }
        Event::Repaired { part, behind, .. } => {
            let behind = match behind {
                Behind::Mended(what) => format!("; cause behind it put right: {what}"),
                Behind::Left(what) => format!("; cause behind it left: {what}"),
                Behind::NotFound => String::new(),
            };
            format!("repaired {part}{behind}")
        }
        Event::Proof { check, said, good } => {
            format!(
                "after the repair, {check}: {}, {}",
                said.text(),
                if *good { "healthy" } else { "not healthy" }
            )
        }
        Event::Trip { .. } => "driven".to_owned(),
        Event::Recorded { recording } => format!("recorded drive {}", recording.name),
        Event::CodeSeenAgain { code, .. } => format!("code {code} seen again"),
        Event::Closed { .. } => "closed".to_owned(),
        Event::Reopened { reason, .. } => format!("reopened: {reason}"),
        #[allow(unreachable_patterns, reason = "events that are added get their words here")]
        _ => String::new(),
    }
}

fn or_nothing(names: &[String]) -> String {
    if names.is_empty() {
        "nothing".to_owned()
    } else {
        names.join(", ")
    }
}

//! Steps that are one thing said: arguments in, events out.

use super::args::{How, Step};
use super::bench;
use super::desk::{Desk, Held};
use super::door::{code_of, known_part};
use crate::case::Manner;
use crate::failure::Failure;
use ::job::{Behind, Closing, CodeStatus, Event, Mended, Trip};
use jiff::Timestamp;

/// The job a step is about.
pub(crate) fn job_of(step: &Step) -> &str {
    match step {
        Step::New(_) | Step::List { .. } | Step::Export { .. } | Step::Import { .. } | Step::Move { .. } => {
            ""
        }
        Step::Show { job }
        | Step::Next { job }
        | Step::Read { job, .. }
        | Step::Undo { job, .. }
        | Step::Caution { job, .. }
        | Step::Note { job, .. }
        | Step::Photo { job, .. }
        | Step::Code { job, .. }
        | Step::Stands { job, .. }
        | Step::RuleOut { job, .. }
        | Step::ProveCause { job, .. }
        | Step::Quote { job, .. }
        | Step::NewPart { job, .. }
        | Step::Repair { job, .. }
        | Step::Trip { job, .. }
        | Step::Drive { job, .. }
        | Step::SeenAgain { job, .. }
        | Step::Close { job, .. }
        | Step::Reopen { job, .. }
        | Step::Work { job } => job,
        Step::Prove(prove) => &prove.job,
        Step::Report(wanted) => &wanted.job,
    }
}

/// What a step says, with warnings.
pub(crate) fn events(
    desk: &mut Desk,
    held: &Held,
    step: &Step,
    manner: Manner,
) -> Result<(Vec<Event>, String), Failure> {
    let mut warnings = String::new();
    let event = match step {
        Step::Undo { because, .. } => ::desk::undo(held, because)?,
        Step::Caution { of, .. } => return Ok((bench::acknowledged(held, of.as_deref(), manner)?, warnings)),
        Step::Note { text, .. } => Event::Note { text: text.clone() },
        Step::Photo { file, words, .. } => photo(desk, file, words)?,
        Step::Code {
            code,
            pending,
            permanent,
            ..
        } => Event::CodeNoted {
            code: code_of(code)?,
            status: match (pending, permanent) {
                (true, _) => CodeStatus::Pending,
                (_, true) => CodeStatus::Permanent,
                _ => CodeStatus::Stored,
            },
        },
        Step::Stands {
            open, off, hot, cold, ..
        } => Event::Stands {
            open: open.clone(),
            off: off.clone(),
            hot: (*hot || *cold).then_some(*hot),
        },
        Step::RuleOut { what, because, .. } => ::desk::rule_out(held, what, because)?,
        Step::NewPart {
            part,
            check,
            read,
            bad,
            grade,
            ..
        } => {
            let opened = bench::model(held)?;
            known_part(&opened, part, "new-part")?;
            Event::NewPartChecked {
                part: part.clone(),
                check: check.clone(),
                read: read.clone(),
                good: !bad,
                grade: grade.map(Into::into),
            }
        }
        Step::Repair { .. } => repair(held, step, &mut warnings)?,
        Step::Trip {
            not_run,
            fault,
            other_fault,
            similar,
            from,
            to,
            ..
        } => Event::Trip {
            trip: Trip {
                at: Timestamp::now(),
                monitor_ran: !not_run,
                fault_seen: *fault,
                other_fault_seen: *other_fault,
                similar_conditions: similar.then_some(true),
                start_coolant: from.as_deref().map(::desk::coolant).transpose()?,
                peak_coolant: to.as_deref().map(::desk::coolant).transpose()?,
            },
        },
        Step::SeenAgain { code, odometer, .. } => Event::CodeSeenAgain {
            code: code_of(code)?,
            odometer_km: *odometer,
        },
        Step::Close { how, .. } => Event::Closed { how: closing(how) },
        Step::Reopen {
            because,
            comeback,
            odometer,
            ..
        } => Event::Reopened {
            reason: because.clone(),
            comeback: *comeback,
            odometer_km: *odometer,
        },
        // The others are answered before.
        _ => return Ok((Vec::new(), warnings)),
    };
    Ok((vec![event], warnings))
}

fn photo(desk: &mut Desk, file: &std::path::Path, words: &str) -> Result<Event, Failure> {
    let bytes = crate::files::bytes(file, "picture", store::LARGEST_PHOTO as u64)?;
    Ok(::desk::picture(desk, &bytes, &file.display().to_string(), words)?)
}

fn repair(held: &Held, step: &Step, warnings: &mut String) -> Result<Event, Failure> {
    let Step::Repair {
        part,
        kept,
        grade,
        price,
        minutes,
        behind,
        left,
        ..
    } = step
    else {
        return Err(Failure::could_not("not a repair", None));
    };
    let model = bench::model(held)?;
    let id = known_part(&model, part, "repair")?;
    let tried = held.job.new_parts.iter().any(|tried| tried.part == *part);
    if !kept && !tried {
        warnings.push_str(
            "warning: the new part was not tried before fitting: of two hundred new parts, one to ten are bad. Next time: halfsplit job new-part\n",
        );
    }
    let cautions = bench::unread_of_work(held, &model, id);
    warnings.push_str(&bench::told(&cautions, held.number, part));
    Ok(Event::Repaired {
        part: part.clone(),
        how: if *kept { Mended::Repaired } else { Mended::Renewed },
        grade: grade.map(Into::into),
        price: *price,
        minutes: *minutes,
        behind: match (behind, left) {
            (Some(what), _) => Behind::Mended(what.clone()),
            (_, Some(what)) => Behind::Left(what.clone()),
            _ => Behind::NotFound,
        },
    })
}

fn closing(how: &How) -> Closing {
    match how {
        How {
            unverified: Some(reason),
            ..
        } => Closing::Unverified(reason.clone()),
        How {
            nothing_wrong: true, ..
        } => Closing::NothingWrong,
        How {
            not_listed: Some(what),
            ..
        } => Closing::NotListed(what.clone()),
        How {
            stopped: Some(reason),
            ..
        } => Closing::Stopped(reason.clone()),
        _ => Closing::Repaired,
    }
}

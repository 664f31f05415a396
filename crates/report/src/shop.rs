//! The job sheet: everything the shop knows of a job, on paper.

use crate::page::{cautions, drawing, list, page};
use crate::sheet::Sheet;
use job::{Behind, Closing, CodeStatus, Grade, Mended, OTHER_MARKETS, Replaced};
use maud::{Markup, html};

/// The shop's record of a job as one HTML page.
pub fn job_sheet(sheet: &Sheet) -> String {
    let body = html! {
        (intake(sheet))
        (cautions(&sheet.cautions))
        (drawing(&sheet.drawing))
        (readings(sheet))
        (suspects("Suspects before the readings", &sheet.suspects_before))
        (suspects("Suspects after the readings", &sheet.suspects_after))
        @if sheet.typical { p { "Figures of parts: typical, unverified." } }
        (list("Why", &sheet.reasons))
        (ending(sheet))
        (record(sheet))
    };
    page(
        &format!("Job {}: {}", sheet.number, sheet.title),
        sheet.job.intake.invented,
        &body,
    )
}

fn intake(sheet: &Sheet) -> Markup {
    let (job, intake) = (sheet.job, &sheet.job.intake);
    let codes: Vec<String> = job
        .codes
        .iter()
        .map(|code| {
            let kept = match code.status {
                CodeStatus::Stored => "stored",
                CodeStatus::Pending => "pending",
                CodeStatus::Permanent => "permanent",
            };
            format!("{}, {kept}, noted {}", code.code, sheet.time(code.at))
        })
        .collect();
    let frozen: Vec<String> = intake
        .freeze_frame
        .iter()
        .map(|frozen| format!("{}: {}", frozen.what, frozen.value))
        .collect();
    let renewed: Vec<String> = intake.replaced.iter().map(|part| renewed(sheet, part)).collect();
    let conditions = [
        ("Height", &intake.altitude),
        ("Barometer", &intake.barometer),
        ("Air", &intake.temperature),
    ];
    html! {
        p { "Opened " (sheet.time(job.opened)) "; " (job.stage.name()) "; " (format!("{:.0}", job.minutes())) " minutes of work." }
        p { strong { "Vehicle: " } (intake.vehicle.words) @if let Some(km) = job.odometer_km { ", " (format!("{km:.0}")) " km" } }
        p { strong { "Complaint: " } (intake.complaint) }
        @for (name, value) in conditions { @if let Some(value) = value { p { strong { (name) ": " } (value) } } }
        @if let Some(limit) = intake.limit { p { strong { "To be spent at most: " } (format!("{limit:.2}")) } }
        (list("Codes", &codes))
        (list("Frozen when the code was set", &frozen))
        (list("Renewed before", &renewed))
    }
}

/// A part that was renewed before, with what is known of it.
fn renewed(sheet: &Sheet, replaced: &Replaced) -> String {
    let mut words = vec![sheet.word(&replaced.part).to_owned()];
    words.extend(replaced.km_ago.map(|km| format!("{km:.0} km ago")));
    words.extend(replaced.days_ago.map(|days| format!("{days:.0} days ago")));
    words.extend(replaced.grade.map(|grade| grade_name(grade).to_owned()));
    words.join(", ")
}

fn grade_name(grade: Grade) -> &'static str {
    match grade {
        Grade::Original => "original part",
        Grade::Equivalent => "equivalent part",
        Grade::Budget => "budget part",
    }
}

fn readings(sheet: &Sheet) -> Markup {
    html! {
        @if !sheet.job.readings.is_empty() {
            h2 { "Readings" }
            table {
                thead { tr { th { "When" } th { "Who" } th { "Check" } th { "Read" } th { "Instrument" } } }
                tbody { @for reading in &sheet.job.readings { tr {
                    td { (sheet.time(reading.at)) }
                    td { (reading.who) }
                    td { (sheet.word(&reading.check)) }
                    td {
                        @if let Some(reason) = &reading.withdrawn { s { (reading.said.text()) } " withdrawn" @if !reason.is_empty() { ": " (reason) } }
                        @else { (reading.said.text()) }
                    }
                    td { (reading.instrument.as_deref().unwrap_or("usual")) }
                } } }
            }
        }
    }
}

fn suspects(heading: &str, all: &[(String, f64)]) -> Markup {
    let lines: Vec<String> = all
        .iter()
        .map(|(words, share)| format!("{words}: {:.1} %", 100.0 * share))
        .collect();
    list(heading, &lines)
}

fn ending(sheet: &Sheet) -> Markup {
    let job = sheet.job;
    let ruled_out = job.ruled_out.iter();
    let ruled_out: Vec<String> = ruled_out
        .map(|out| format!("{}: {}{}", sheet.word(&out.what), out.reason, by(&out.who)))
        .collect();
    let parts = job.new_parts.iter();
    let parts: Vec<String> = parts
        .map(|part| {
            let verdict = if part.good {
                "good"
            } else {
                "bad, not to be fitted"
            };
            let (name, check) = (sheet.word(&part.part), sheet.word(&part.check));
            format!("{name}: {check}, read {}; {verdict}", part.read)
        })
        .collect();
    let repairs = job.repairs.iter();
    let repairs: Vec<String> = repairs
        .map(|repair| {
            let how = match repair.how {
                Mended::Renewed => "renewed",
                Mended::Repaired => "repaired",
            };
            let behind = match &repair.behind {
                Behind::Mended(words) => format!("{words}, put right"),
                Behind::Left(words) => format!("found and left, {words}"),
                Behind::NotFound => "looked for and not found".to_owned(),
            };
            let (at, part) = (sheet.time(repair.at), sheet.word(&repair.part));
            format!(
                "{at}{}: {part} {how}. Cause behind it: {behind}.",
                by(&repair.who)
            )
        })
        .collect();
    let proofs = job.proofs.iter();
    let proofs: Vec<String> = proofs
        .map(|proof| {
            let verdict = if proof.good { "good" } else { "not good" };
            format!(
                "{}{}: {}, {}, {verdict}",
                sheet.time(proof.at),
                by(&proof.who),
                sheet.word(&proof.check),
                proof.said.text()
            )
        })
        .collect();
    html! {
        (list("Ruled out by hand", &ruled_out))
        @if let Some(proven) = &job.proven {
            h2 { @if proven.by_hand.is_some() { "Cause, judged by hand" } @else { "Proven cause" } }
            p { (sheet.list(&proven.faults)) ", " (format!("{:.1} %", 100.0 * proven.probability)) }
            @if !proven.shown_by.is_empty() { p { "Shown by: " (sheet.list(&proven.shown_by)) } }
            @if let Some(why) = &proven.by_hand { p { "Judged" (by(&proven.who)) ": " (why) } }
        }
        (list("New parts tried before fitting", &parts))
        (list("Repairs", &repairs))
        (list("Proof after the repair", &proofs))
        @if let Some((rules, watch)) = &sheet.watch {
            (list("Watch", &watch.sentences(rules)))
            (list("Elsewhere", OTHER_MARKETS))
        }
        @if let Some(closed) = &job.closed { h2 { "Closed" } p { (closing(closed)) } }
    }
}

/// `, Ann`, or nothing for nobody.
fn by(who: &str) -> String {
    if who.is_empty() {
        String::new()
    } else {
        format!(", {who}")
    }
}

fn closing(how: &Closing) -> String {
    match how {
        Closing::Repaired => "Repaired, and the proof checks were good.".to_owned(),
        Closing::Unverified(why) => format!("Repaired, not proven: {why}"),
        Closing::NothingWrong => "Nothing wrong in this circuit.".to_owned(),
        Closing::NotListed(what) => format!("A cause that the circuit does not list: {what}"),
        Closing::Stopped(why) => format!("The customer stopped: {why}"),
    }
}

fn record(sheet: &Sheet) -> Markup {
    let job = sheet.job;
    let notes = job.notes.iter();
    let notes: Vec<String> = notes
        .map(|note| format!("{} {}: {}", sheet.time(note.at), note.who, note.text))
        .collect();
    let photos = job.photos.iter();
    let photos: Vec<String> = photos
        .map(|photo| format!("{} (SHA-256 {})", photo.words, photo.hash))
        .collect();
    let back = job.comebacks.iter();
    let back: Vec<String> = back
        .map(|back| format!("{}: {}", sheet.time(back.at), back.reason))
        .collect();
    let odd: Vec<String> = job.odd.iter().map(|odd| odd.why.clone()).collect();
    html! {
        (list("Notes", &notes))
        (list("Photos", &photos))
        (list("Came back", &back))
        (list("Entries that do not count", &odd))
    }
}

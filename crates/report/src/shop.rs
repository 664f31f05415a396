//! The job sheet: everything the shop knows of a job, on paper.

use crate::page::{Page, Words};
use crate::sheet::Sheet;
use job::{BY_HAND, Behind, Closing, CodeStatus, Grade, Mended, OTHER_MARKETS, Reading, Replaced};

/// The shop's record of a job.
pub fn job_sheet(sheet: &Sheet) -> Page {
    let mut page = Page::new(
        format!("Job {}: {}", sheet.number, sheet.title),
        sheet.job.intake.invented,
    );
    intake(&mut page, sheet);
    page.list("Where it stands", sheet.stands.iter().map(String::as_str));
    page.cautions(&sheet.cautions);
    page.drawing(&sheet.drawing);
    readings(&mut page, sheet);
    compared(&mut page, sheet);
    page.list("Suspects before the readings", suspects(&sheet.suspects_before));
    page.list("Suspects after the readings", suspects(&sheet.suspects_after));
    if sheet.typical {
        page.text("Figures of parts: typical, unverified.");
    }
    let reasons = sheet.reasons.iter();
    page.list(
        "Why",
        reasons.map(|(read, says)| {
            let between = if read.is_empty() { "" } else { " " };
            Words::from(read.as_str()).plain(between).plain(says)
        }),
    );
    ending(&mut page, sheet);
    crate::quote::for_shop(&mut page, sheet);
    record(&mut page, sheet);
    page
}

fn intake(page: &mut Page, sheet: &Sheet) {
    let (job, intake) = (sheet.job, &sheet.job.intake);
    let known: Vec<job::TroubleCode> = job
        .codes
        .iter()
        .filter_map(|code| code.code.parse().ok())
        .collect();
    let roots = job::root_first(&known);
    let codes: Vec<Words> = job
        .codes
        .iter()
        .map(|code| {
            let kept = match code.status {
                CodeStatus::Stored => "stored",
                CodeStatus::Pending => "pending",
                CodeStatus::Permanent => "permanent",
            };
            let named = code.code.parse().ok().and_then(job::wording);
            let named = named.map_or_else(String::new, |named| format!(": {named}"));
            let roots = roots.iter().find(|ranked| ranked.code.to_string() == code.code);
            let roots: Vec<String> = roots
                .iter()
                .flat_map(|ranked| ranked.explained_by.iter().map(ToString::to_string))
                .collect();
            let explained = if roots.is_empty() {
                String::new()
            } else {
                format!("; may come of {}, that one first", roots.join(", "))
            };
            // The standard's wording is the standard's.
            Words::own(format!("{}{named}", code.code))
                .plain(format!("; {kept}, noted {}", sheet.time(code.at)))
                .plain(explained)
        })
        .collect();
    let frozen: Vec<Words> = intake
        .freeze_frame
        .iter()
        .map(|frozen| Words::from(format!("{}: ", frozen.what)).and_own(&frozen.value))
        .collect();
    let renewed: Vec<String> = intake.replaced.iter().map(|part| renewed(sheet, part)).collect();
    let conditions = [
        ("Height", &intake.altitude),
        ("Barometer", &intake.barometer),
        ("Air", &intake.temperature),
    ];
    page.text(format!(
        "Opened {}; {}; {:.0} minutes of work.",
        sheet.time(job.opened),
        job.stage.name(),
        job.minutes()
    ));
    let driven = job
        .odometer_km
        .map_or_else(String::new, |km| format!(", {km:.0} km"));
    page.text(Words::strong("Vehicle: ").and_own(format!("{}{driven}", intake.vehicle.words)));
    page.text(Words::strong("Complaint: ").and_own(&intake.complaint));
    for (name, value) in conditions {
        if let Some(value) = value {
            page.text(Words::strong(format!("{name}: ")).and_own(value));
        }
    }
    if let Some(limit) = intake.limit {
        page.text(Words::strong("To be spent at most: ").plain(format!("{limit:.2}")));
    }
    page.list("Codes", codes);
    page.list("Frozen when the code was set", frozen);
    page.list("Renewed before", renewed);
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

fn readings(page: &mut Page, sheet: &Sheet) {
    let rows = sheet.job.readings.iter().map(|reading| {
        let read = match reading.withdrawn.as_deref() {
            Some("") => Words::struck(reading.said.text()).plain(" withdrawn"),
            Some(reason) => Words::struck(reading.said.text())
                .plain(" withdrawn: ")
                .and_own(reason),
            None => reading.said.text().into(),
        };
        vec![
            sheet.time(reading.at).into(),
            Words::own(&reading.who),
            sheet.word(&reading.check).into(),
            read,
            instrument(reading).into(),
        ]
    });
    page.table(
        "Readings",
        vec!["When", "Who", "Check", "Read", "Instrument"],
        rows.collect(),
    );
}

/// What it was read with, and how right that is.
fn instrument(reading: &Reading) -> String {
    match (&reading.instrument, &reading.accuracy) {
        (Some(name), Some(accuracy)) => format!("{name}, {accuracy}"),
        (Some(name), None) => name.clone(),
        (None, _) => "usual".to_owned(),
    }
}

/// What was measured before the repair and after it.
fn compared(page: &mut Page, sheet: &Sheet) {
    let rows = sheet.compared.iter().map(|compared| {
        let before = compared.before.as_deref().unwrap_or("not made");
        let verdict = if compared.good {
            "healthy".into()
        } else {
            Words::strong("NOT healthy")
        };
        vec![
            sheet.word(&compared.check).into(),
            before.into(),
            compared.after.as_str().into(),
            compared.healthy.as_deref().unwrap_or("-").into(),
            verdict,
        ]
    });
    page.table(
        "Before and after the repair",
        vec!["Check", "Before", "After", "A sound circuit", "Now"],
        rows.collect(),
    );
}

fn suspects(all: &[(String, f64)]) -> Vec<Words> {
    all.iter()
        .map(|(words, share)| Words::from(words.as_str()).plain(format!(": {:.1} %", 100.0 * share)))
        .collect()
}

fn ending(page: &mut Page, sheet: &Sheet) {
    let job = sheet.job;
    let ruled_out = job.ruled_out.iter();
    let ruled_out: Vec<Words> = ruled_out
        .map(|out| {
            let words = Words::from(format!("{}: ", sheet.word(&out.what)));
            words.and_own(format!("{}{}", out.reason, by(&out.who)))
        })
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
            if proof.check == BY_HAND {
                return format!(
                    "{}{}: the repair called proven by hand: {}",
                    sheet.time(proof.at),
                    by(&proof.who),
                    proof.said.text()
                );
            }
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
    page.list("Ruled out by hand", ruled_out);
    if let Some(proven) = &job.proven {
        page.heading(if proven.by_hand.is_some() {
            "Cause, judged by hand"
        } else {
            "Proven cause"
        });
        let sure = format!(", {:.1} %", 100.0 * proven.probability);
        page.text(Words::from(sheet.list(&proven.faults)).plain(sure));
        if !proven.shown_by.is_empty() {
            page.text(format!("Shown by: {}", sheet.list(&proven.shown_by)));
        }
        if let Some(why) = &proven.by_hand {
            page.text(Words::from(format!("Judged{}: ", by(&proven.who))).and_own(why));
        }
    }
    page.list("New parts tried before fitting", parts);
    page.list("Repairs", repairs);
    page.list("Proof after the repair", proofs);
    if let Some((rules, watch)) = &sheet.watch {
        page.list("Watch", watch.sentences(rules));
        page.list("Elsewhere", OTHER_MARKETS.iter().copied());
    }
    if let Some(closed) = &job.closed {
        page.heading("Closed");
        page.text(closing(closed));
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

fn record(page: &mut Page, sheet: &Sheet) {
    let job = sheet.job;
    let notes = job.notes.iter();
    let notes: Vec<Words> = notes
        .map(|note| Words::own(format!("{} {}: {}", sheet.time(note.at), note.who, note.text)))
        .collect();
    let photos = job.photos.iter();
    let photos: Vec<Words> = photos
        .map(|photo| Words::own(format!("{} (SHA-256 {})", photo.words, photo.hash)))
        .collect();
    let back = job.comebacks.iter();
    let back: Vec<Words> = back
        .map(|back| Words::own(format!("{}: {}", sheet.time(back.at), back.reason)))
        .collect();
    let odd: Vec<String> = job.odd.iter().map(|odd| odd.why.clone()).collect();
    page.list("Notes", notes);
    page.list("Photos", photos);
    page.list("Came back", back);
    page.list("Entries that do not count", odd);
}

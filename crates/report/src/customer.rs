//! The customer's page: plain words, no abbreviations, and nothing surer than it is.

use crate::page::{Page, Words};
use crate::sheet::Sheet;
use job::{BY_HAND, Behind, Job, Lamp, Mended, Proven, Unproven, Watch};

/// The customer's page.
pub fn customer_sheet(sheet: &Sheet) -> Page {
    let job = sheet.job;
    let mut page = Page::new(format!("Your vehicle, job {}", sheet.number), job.intake.invented);
    page.text(Words::own(&job.intake.vehicle.words));
    page.heading("What you told us");
    page.text(Words::own(&job.intake.complaint));
    let frozen = job.intake.freeze_frame.iter();
    let frozen: Vec<String> = frozen
        .map(|frozen| format!("{} {}", frozen.what, frozen.value))
        .collect();
    if !frozen.is_empty() {
        page.text(format!(
            "When the warning came, the engine control noted: {}.",
            frozen.join(", ")
        ));
    }
    page.heading("What we found");
    page.text(found(sheet));
    page.heading("What we did");
    if job.repairs.is_empty() {
        page.text("Nothing has been repaired yet.");
    }
    page.list("", repairs(sheet));
    page.list("What we measured after the repair", measured(sheet));
    crate::quote::for_customer(&mut page, sheet);
    page.list("What is not known", unknown(sheet));
    page.list(
        "What happens next",
        next(sheet.watch.as_ref().map(|(_, watch)| watch)),
    );
    page
}

fn repairs(sheet: &Sheet) -> Vec<String> {
    let repairs = sheet.job.repairs.iter();
    repairs
        .map(|repair| {
            let how = match repair.how {
                Mended::Renewed => "renewed",
                Mended::Repaired => "repaired",
            };
            let done = capital(format!("{}: {how}.", sheet.word(&repair.part)));
            format!("{done} {}", behind(&repair.behind))
        })
        .collect()
}

/// What made the part fail, so that nobody pays for the same part twice without knowing why.
fn behind(behind: &Behind) -> String {
    match behind {
        Behind::Mended(words) => format!("What had made it fail was put right too: {words}."),
        Behind::Left(words) => format!("What had made it fail was found and left: {words}."),
        Behind::NotFound => "What made it fail was looked for and not found.".to_owned(),
    }
}

/// Before and after, in plain words; road tests as they were said.
fn measured(sheet: &Sheet) -> Vec<String> {
    let compared = sheet.compared.iter().map(|compared| {
        let before = compared
            .before
            .as_ref()
            .map_or_else(String::new, |before| format!("{before} before, "));
        let healthy = compared
            .healthy
            .as_ref()
            .map_or_else(String::new, |healthy| format!("; healthy is {healthy}"));
        let verdict = if compared.good {
            ""
        } else {
            "; this is not as it should be"
        };
        capital(format!(
            "{}: {before}{} after{healthy}{verdict}.",
            compared.plain, compared.after
        ))
    });
    let in_words = sheet
        .job
        .proofs
        .iter()
        .filter(|proof| proof.check != BY_HAND && !proof.check.contains('@'));
    let in_words = in_words.map(|proof| {
        let verdict = if proof.good {
            "as it should be"
        } else {
            "not as it should be"
        };
        capital(format!("{}: {}, {verdict}.", proof.check, proof.said.text()))
    });
    compared.chain(in_words).collect()
}

/// A sentence begins with a capital letter.
fn capital(text: String) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => text,
    }
}

/// The cause, as sure as it is and no surer.
fn found(sheet: &Sheet) -> String {
    match &sheet.job.proven {
        Some(proven) if proven.by_hand.is_none() => capital(format!(
            "{}. A test of the part itself showed it.",
            sheet.list(&proven.faults)
        )),
        Some(proven) => format!(
            "We take it to be this: {}. Our measurements alone make it {:.0} in 100; what decided was: {}.",
            sheet.list(&proven.faults),
            100.0 * proven.probability,
            proven.by_hand.as_deref().unwrap_or_default()
        ),
        None => "The cause is not proven yet.".to_owned(),
    }
}

/// What a page that says only what was done would hide.
fn unknown(sheet: &Sheet) -> Vec<String> {
    let job = sheet.job;
    let mut lines = Vec::new();
    match &job.proven {
        None => lines.push("Which part is the cause; we would have to go on measuring.".to_owned()),
        Some(proven) => {
            if proven.by_hand.is_some() {
                lines.push(
                    "Whether that is the whole cause: it was judged, not measured to the end.".to_owned(),
                );
            }
            lines.extend(not_of_the_cause(job, proven).into_iter().map(|part| {
                format!(
                    "Why {} was worked on as well: it is not the part that was found at fault.",
                    sheet.word(part)
                )
            }));
        }
    }
    if !job.repairs.is_empty() {
        lines.extend(unproven(job));
    }
    lines
}

/// What the proof of the repair leaves open.
fn unproven(job: &Job) -> Vec<String> {
    let missing = job.missing_proof();
    let mut lines = Vec::new();
    for missing in &missing {
        let line = match missing {
            Unproven::Bad { .. } => "What is still wrong: a check after the repair was not as it should be.",
            Unproven::Drive => "Whether the complaint is gone on the road: that has not been driven yet.",
            _ if job.proofs.is_empty() => {
                "Whether the repair cures the complaint: it has not been measured yet."
            }
            _ => "Whether the repair cures the complaint: what was wrong has not been measured again yet.",
        };
        if !lines.iter().any(|known| known == line) {
            lines.push(line.to_owned());
        }
    }
    if let Some(reason) = job.proof_by_hand() {
        lines.push(format!(
            "Whether the repair cures the complaint for good: it was judged, not measured to the end. What decided was: {reason}."
        ));
    } else if missing.is_empty() {
        lines.push(
            "Whether something else in the vehicle will fail; we measured this circuit only.".to_owned(),
        );
    }
    lines
}

/// Parts that were worked on and are not at fault by what was proven.
fn not_of_the_cause<'j>(job: &'j Job, proven: &Proven) -> Vec<&'j str> {
    let at_fault = |part: &str| {
        let mut faults = proven.faults.iter();
        faults.any(|fault| fault.split('/').next() == Some(part))
    };
    let parts = job.repairs.iter().map(|repair| repair.part.as_str());
    parts.filter(|part| !at_fault(part)).collect()
}

/// What the customer sees of the lamp, and when to come back.
fn next(watch: Option<&Watch>) -> Vec<String> {
    let mut lines = Vec::new();
    match watch.map(|watch| watch.lamp) {
        Some(Lamp::On { good_trips, needed }) => {
            let missing = needed.saturating_sub(good_trips);
            lines.push(format!(
                "If the warning lamp is still lit, it goes out by itself after about {missing} more {} in which the engine \
                 control finds no fault. Some drives do not count, so it may take longer.",
                if missing == 1 { "trip" } else { "trips" }
            ));
        }
        Some(Lamp::Out) => lines.push("The warning lamp should be out by now.".to_owned()),
        None => {}
    }
    lines
        .push("If the complaint or the warning lamp comes back, bring the vehicle and this page.".to_owned());
    lines
}
